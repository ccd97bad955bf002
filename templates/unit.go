package templates

import (
	"fmt"

	"jarwright/dosing"
	"jarwright/dosing/mixing"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// unitRows gives the unit's figures as pairs for the solids part of a plan.
func unitRows(u dosing.UnitDay, o Options) [][2]string {
	var rows [][2]string
	if u.Check.HasLoading {
		rows = append(rows, [2]string{"Surface loading", fmt.Sprintf("%s at peak flow, solids %s", o.Quantity(u.Check.Loading, 3), o.Quantity(u.Check.Solids, 2))})
	}
	if u.Check.HasAir {
		rows = append(rows, [2]string{"Air to solids", fmt.Sprintf("%s at peak flow (0.01 to 0.1 is usual)", o.Number(u.Check.AirToSolids, 2))})
	}
	for _, m := range u.Matches {
		rows = append(rows, [2]string{upperFirst(m.Bench.Duty.String()), fmt.Sprintf("jar G %s for %s, Gt %s; plant G %s for %s, Gt %s", o.Quantity(m.Bench.G, 2), o.tidy(m.Bench.Stay, 2),
			o.Number(quantity.RoundSig(m.Bench.Gt(), 2), 2), o.Quantity(m.Plant.G, 2), o.tidy(m.Plant.Stay, 2), o.Number(quantity.RoundSig(m.Plant.Gt(), 2), 2))})
	}
	return rows
}

// unitText writes what other skimming intervals would do.
func unitText(t *Text, u dosing.UnitDay, o Options) {
	if len(u.Skimming) == 0 {
		return
	}
	t.Blank()
	cols := []Col{{Head: "skim every", Right: true}, {Head: "passes a day", Right: true}, {Head: "float depth", Right: true}, {Head: "water lost a day", Right: true}, {Head: "of the flow", Right: true}, {Head: "bin full in", Right: true}, {Head: ""}}
	var rows [][]string
	for _, s := range u.Skimming {
		row := []string{o.tidy(s.Every, 2), o.Number(s.Passes, 3), "-", o.tidy(s.Lost, 2), o.Number(s.Share.Percent(), 2) + " %", "-", ""}
		if s.HasDepth {
			row[2] = o.Number(s.Depth.In("mm"), 2) + " mm"
			if s.TooDeep {
				row[6] = "too deep"
			}
		}
		if s.BinIn > 0 {
			row[5] = o.Show(hours("", s.BinIn, 3).In(figure.Long))
		}
		if s.Every == u.Longest {
			row[6] = "longest"
		}
		rows = append(rows, row)
	}
	t.Table(cols, rows)
}

// jsonUnit is the unit's day in a document.
type jsonUnit struct {
	Loading     *JSONQuantity  `json:"surface_loading,omitempty"`
	Solids      *JSONQuantity  `json:"solids_loading,omitempty"`
	AirToSolids *float64       `json:"air_to_solids,omitempty"`
	Mixing      []jsonMixing   `json:"mixing,omitempty"`
	Skimming    []jsonSkimming `json:"skimming,omitempty"`
	Longest     *JSONQuantity  `json:"skim_at_most_every,omitempty"`
}

type jsonMixing struct {
	Stage   string  `json:"stage"`
	BenchG  float64 `json:"bench_g_per_s"`
	BenchGt float64 `json:"bench_gt"`
	PlantG  float64 `json:"plant_g_per_s"`
	PlantGt float64 `json:"plant_gt"`
}

type jsonSkimming struct {
	Every *JSONQuantity `json:"every"`
	Depth *JSONQuantity `json:"float_depth,omitempty"`
	Lost  *JSONQuantity `json:"water_lost"`
	Bin   *JSONQuantity `json:"bin_full_in,omitempty"`
}

// unitJSON gives nil where nothing is known of the unit.
func unitJSON(u dosing.UnitDay) *jsonUnit {
	j := &jsonUnit{}
	if u.Check.HasLoading {
		j.Loading, j.Solids = QIn(float64(u.Check.Loading), "m/h"), QIn(float64(u.Check.Solids), "kg/m2/h")
	}
	if u.Check.HasAir {
		v := u.Check.AirToSolids
		j.AirToSolids = &v
	}
	for _, m := range u.Matches {
		j.Mixing = append(j.Mixing, mixingJSON(m))
	}
	for _, s := range u.Skimming {
		x := jsonSkimming{Every: QIn(s.Every.In("min"), "min"), Lost: QIn(float64(s.Lost), "L/d")}
		if s.HasDepth {
			x.Depth = QIn(s.Depth.In("mm"), "mm")
		}
		if s.BinIn > 0 {
			x.Bin = QIn(float64(s.BinIn), "h")
		}
		j.Skimming = append(j.Skimming, x)
	}
	if u.Longest > 0 {
		j.Longest = QIn(u.Longest.In("min"), "min")
	}
	if !u.Check.HasLoading && !u.Check.HasAir && len(j.Mixing)+len(j.Skimming) == 0 {
		return nil
	}
	return j
}

func mixingJSON(m mixing.Match) jsonMixing {
	return jsonMixing{m.Bench.Duty.String(), float64(m.Bench.G), m.Bench.Gt(), float64(m.Plant.G), m.Plant.Gt()}
}
