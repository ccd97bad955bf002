package templates

import (
	"fmt"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
)

// FitWater works out pH and alkalinity along the jars of each series, and what
// the planning dose makes of the water. It gives one review a result, in order.
func FitWater(series []jartest.Series, results []curve.Result) []caution.BenchReview {
	out := make([]caution.BenchReview, len(results))
	catalogue := product.Default()
	for i, r := range results {
		if i < len(series) && r.Factor == "dose" {
			out[i] = caution.Bench(series[i], planningDoses(series[i], r), catalogue)
		}
	}
	return out
}

// planningDoses are those of all chemicals at the planning dose of the one that
// was varied; nil where there is none or a fixed dose is not known.
func planningDoses(s jartest.Series, r curve.Result) []quantity.Concentration {
	if !r.HasPlanning {
		return nil
	}
	varied := s.Factors()
	doses := make([]quantity.Concentration, len(s.Chemicals))
	for i := range s.Chemicals {
		if len(varied) == 1 && i == varied[0] || len(s.Chemicals) == 1 {
			doses[i] = r.Planning.Concentration
			continue
		}
		known := false
		for _, j := range s.Jars {
			if i < len(j.Doses) && j.Doses[i].Known {
				doses[i], known = j.Doses[i].Concentration, true
				break
			}
		}
		if !known {
			return nil
		}
	}
	return doses
}

// benchWaterText writes the water along a series.
func benchWaterText(t *Text, o Options, b caution.BenchReview) {
	if !b.Computed {
		if len(b.Notes) > 0 {
			t.Blank()
			t.Notes(b.Notes)
		}
		return
	}
	t.Blank()
	s := fmt.Sprintf("Water: raw pH %s, alkalinity %s.", two(o, float64(b.Raw.PH)), o.Quantity(b.Raw.Alkalinity, 3))
	if b.HasPlanning {
		a := b.AtPlanning
		s += fmt.Sprintf(" At the planning dose pH %s, alkalinity %s, carbon dioxide %s before aeration.", two(o, float64(a.PH)), o.Quantity(a.Alkalinity, 3), o.Quantity(a.CO2, 2))
	}
	s += " " + phDoubt(o)
	if b.Read > 0 {
		s += fmt.Sprintf(" The pH read on %s differs from it by %s on average, %s at most.", jarCount(b.Read), signed(o, b.MeanGap), signed(o, b.WorstGap))
	}
	t.Para(s)
	cols := []Col{{Head: "jar"}, {Head: "pH computed", Right: true}, {Head: "pH read", Right: true}, {Head: "alkalinity left", Right: true}, {Head: "read", Right: true}, {Head: "CO2 mg/L", Right: true}}
	var rows [][]string
	for _, j := range b.Jars {
		row := []string{j.Label, two(o, float64(j.PH)), "-", o.Number(float64(j.Alkalinity), 3), "-", o.Number(float64(j.CO2), 2)}
		if j.ReadPH.OK {
			row[2] = two(o, float64(j.ReadPH.V))
		}
		if j.ReadAlkalinity.OK {
			row[4] = o.Number(float64(j.ReadAlkalinity.V), 3)
		}
		rows = append(rows, row)
	}
	t.Table(cols, rows)
	if len(b.Notes) > 0 {
		t.Blank()
		t.Notes(b.Notes)
	}
}

func jarCount(n int) string {
	if n == 1 {
		return "1 jar"
	}
	return fmt.Sprintf("%d jars", n)
}

// two writes two decimals in the reader's mark.
func two(o Options, v float64) string {
	return strings.Replace(fmt.Sprintf("%.2f", v), ".", o.mark(), 1)
}

func signed(o Options, v float64) string {
	return strings.Replace(fmt.Sprintf("%+.2f", v), ".", o.mark(), 1)
}

type fitWater struct {
	PHRaw         float64       `json:"ph_raw"`
	AlkalinityRaw *JSONQuantity `json:"alkalinity_raw"`
	PH            *float64      `json:"ph,omitempty"`
	Alkalinity    *JSONQuantity `json:"alkalinity,omitempty"`
	CO2           *JSONQuantity `json:"co2,omitempty"`
	Uncertainty   float64       `json:"ph_uncertainty"`
	MeanGap       *float64      `json:"ph_read_less_computed,omitempty"`
	Jars          []fitWaterJar `json:"jars"`
}

type fitWaterJar struct {
	Label          string   `json:"label"`
	PH             float64  `json:"ph"`
	PHRead         *float64 `json:"ph_read,omitempty"`
	Alkalinity     float64  `json:"alkalinity"`
	AlkalinityRead *float64 `json:"alkalinity_read,omitempty"`
	CO2            float64  `json:"co2"`
}

// benchWaterDoc puts the water along a series into a document.
func benchWaterDoc(b caution.BenchReview) *fitWater {
	if !b.Computed {
		return nil
	}
	d := &fitWater{PHRaw: float64(b.Raw.PH), AlkalinityRaw: Q(b.Raw.Alkalinity), Uncertainty: 0.1, Jars: []fitWaterJar{}}
	if b.HasPlanning {
		d.PH, d.Alkalinity, d.CO2 = number(float64(b.AtPlanning.PH)), Q(b.AtPlanning.Alkalinity), mgPerL(b.AtPlanning.CO2)
	}
	if b.Read > 0 {
		d.MeanGap = number(b.MeanGap)
	}
	for _, j := range b.Jars {
		x := fitWaterJar{Label: j.Label, PH: float64(j.PH), Alkalinity: float64(j.Alkalinity), CO2: float64(j.CO2)}
		if j.ReadPH.OK {
			x.PHRead = number(float64(j.ReadPH.V))
		}
		if j.ReadAlkalinity.OK {
			x.AlkalinityRead = number(float64(j.ReadAlkalinity.V))
		}
		d.Jars = append(d.Jars, x)
	}
	return d
}
