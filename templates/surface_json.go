package templates

import (
	"math"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/surface"
)

// The part of fit's document that only a series of two factors has. The other
// fields of such a series speak of the first chemical at the chosen level of the
// second.
type (
	surfaceDoc struct {
		Factors   []surfaceFactor `json:"factors"`
		Design    surface.Kind    `json:"design"`
		Planning  *surfaceChoice  `json:"planning_pair,omitempty"`
		Estimate  *surfaceChoice  `json:"estimate_pair,omitempty"`
		LeastLeft *surfaceChoice  `json:"least_residual_pair,omitempty"`
		Clearest  *surfaceChoice  `json:"best_pair,omitempty"`
		Lowest    *surfaceJar     `json:"lowest_passing_pair,omitempty"`
		Saving    *surfaceSaving  `json:"saving,omitempty"`
		Slices    []surfaceSlice  `json:"slices"`
		Region    [][2]float64    `json:"tested_region"`
		Goal      *float64        `json:"target_reading,omitempty"`
		Grid      *surfaceGrid    `json:"grid,omitempty"`
		Limits    []string        `json:"limits,omitempty"`
	}
	surfaceFactor struct {
		Name       string    `json:"name"`
		Basis      string    `json:"basis,omitempty"`
		Unit       string    `json:"unit"`
		Levels     []float64 `json:"levels"`
		OnlyLevels bool      `json:"only_tested_levels,omitempty"`
	}
	surfaceChoice struct {
		Doses      map[string]float64 `json:"doses"`
		PH         *float64           `json:"ph,omitempty"`
		Fit        *float64           `json:"fit,omitempty"`
		Confidence float64            `json:"confidence"`
		Cost       *surfaceMoney      `json:"cost_per_1000m3,omitempty"`
	}
	surfaceMoney struct {
		Value    float64 `json:"value"`
		Currency string  `json:"unit"`
	}
	surfaceJar struct {
		Label   string             `json:"label"`
		Doses   map[string]float64 `json:"doses"`
		PH      *float64           `json:"ph,omitempty"`
		Reading float64            `json:"reading"`
	}
	surfaceSaving struct {
		Verdict   string         `json:"verdict"`
		Of        string         `json:"of"`
		Value     *float64       `json:"value,omitempty"`
		Low       *float64       `json:"low,omitempty"`
		High      *float64       `json:"high,omitempty"`
		Unit      string         `json:"unit"`
		Chance    float64        `json:"chance"`
		Alone     *surfaceChoice `json:"alone,omitempty"`
		BreakEven *float64       `json:"break_even_price_ratio,omitempty"`
	}
	surfaceSlice struct {
		Level     float64      `json:"level"`
		Tested    bool         `json:"tested"`
		Effective *fitInterval `json:"lowest_effective_dose,omitempty"`
		Planning  *float64     `json:"planning_dose,omitempty"`
	}
	surfaceGrid struct {
		First      []float64    `json:"first"`
		Second     []float64    `json:"second"`
		Fit        [][]*float64 `json:"fit"`
		Confidence [][]*float64 `json:"confidence"`
	}
)

func pairDoses(r surface.Result, p surface.Pair) (map[string]float64, *float64) {
	d := map[string]float64{r.First.Name: float64(p.First)}
	if r.Second.PH {
		return d, number(p.PH)
	}
	d[r.Second.Name] = float64(p.Second)
	return d, nil
}

func choiceDoc(r surface.Result, c surface.Choice) *surfaceChoice {
	d := &surfaceChoice{Fit: number(c.Fit), Confidence: float64(c.Confidence)}
	d.Doses, d.PH = pairDoses(r, c.Pair)
	if c.Cost.Currency != "" {
		d.Cost = &surfaceMoney{c.Cost.Amount, c.Cost.Currency}
	}
	return d
}

// surfaceSeries is the document of one series of two factors.
func surfaceSeries(r surface.Result) fitSeries {
	s := fitSeries{Name: seriesName(r.Series, r.Place), File: r.Place.File, Sheet: r.Place.Sheet, Range: r.Place.Cell, Response: r.Response, Factor: "pair",
		Chemical: r.First.Name, Basis: r.First.Chemical.Basis.String(), Targets: []string{}, Outcome: r.Outcome,
		Curve: curveDoc(r.Curve), Jars: []fitJar{}, Method: r.Method, Notes: Notes(r.Notes)}
	for _, g := range r.Targets {
		s.Targets = append(s.Targets, g.String())
	}
	if len(r.Targets) > 1 && r.Outcome == curve.Found {
		s.Binding = r.Targets[r.Binding].String()
	}
	level := r.Estimate.Pair
	if r.HasPlanning {
		level = r.Planning.Pair
		s.Planning = &fitPlanning{Value: float64(r.Planning.Pair.First), Unit: "mg/L", Basis: r.First.Chemical.Basis.String(), Rule: r.Rule, Confidence: float64(r.Planning.Confidence)}
	}
	if r.HasEstimate {
		at := float64(level.Second)
		if r.Second.PH {
			at = level.PH
		}
		if sl := sliceNear(r, at); sl != nil && sl.Reached {
			s.Effective = intervalDoc(sl.Effective, "mg/L")
			s.Effective.Basis = s.Basis
		}
	}
	if r.HasLowestPassing {
		s.Lowest = &fitJarDose{r.LowestPassing.Label, float64(r.LowestPassing.Pair.First), r.LowestPassing.Reading}
	}
	if len(r.Slices) > 0 {
		s.Best = &fitSpot{float64(r.Clearest.Pair.First), r.Clearest.Fit}
	}
	for _, j := range r.Jars {
		d := fitJar{Label: j.Label, Dose: float64(j.Pair.First), Used: j.Used, Why: j.Why, Cell: j.At.Cell}
		d.Doses, d.PH = pairDoses(r, j.Pair)
		switch j.State {
		case jartest.Number:
			d.Reading = number(j.Reading)
		case jartest.Below:
			d.Below = number(j.Reading)
		case jartest.Above:
			d.Above = number(j.Reading)
		}
		if j.Used && len(r.Slices) > 0 {
			d.Fitted = number(j.Fit)
		}
		s.Jars = append(s.Jars, d)
	}
	if len(r.Models) > 0 {
		s.Model = &fitModel{Name: r.Models[0].Name, Scale: r.Scale, Parameters: map[string]float64{}, Weights: map[string]float64{}}
		for _, p := range r.Models[0].Params { // the fitted models come by weight, the interpolation last
			s.Model.Parameters[p.Name] = p.Value
		}
		if k := r.Scaling(); len(r.Models[0].Params) > 0 {
			s.Model.Parameters["first_divided_by"], s.Model.Parameters["second_divided_by"] = k.First, k.Second
			s.Model.Parameters["second_less"] = k.Origin
		}
		for _, m := range r.Models {
			s.Model.Weights[m.Name] = m.Weight
		}
		s.Scatter = &fitScatter{Value: 100 * r.Scatter, Unit: "%"}
		if !r.Relative {
			s.Scatter = &fitScatter{r.Scatter, r.Response.Info().Unit}
		}
	}
	s.Surface = surfacePart(r)
	return s
}

// sliceNear finds the slice at a level of the second factor.
func sliceNear(r surface.Result, level float64) *surface.Slice {
	for i := range r.Slices {
		if math.Abs(r.Slices[i].Level-level) <= 1e-6*math.Max(1, math.Abs(level)) {
			return &r.Slices[i]
		}
	}
	return nil
}

func surfacePart(r surface.Result) *surfaceDoc {
	d := &surfaceDoc{Design: r.Design, Slices: []surfaceSlice{}, Region: [][2]float64{}, Limits: r.Limits}
	for i, f := range [...]surface.Factor{r.First, r.Second} {
		if f.Name == "" {
			continue
		}
		x := surfaceFactor{Name: f.Name, Basis: f.Chemical.Basis.String(), Unit: f.Unit(), Levels: append([]float64{}, f.Levels...), OnlyLevels: i == 0 && r.OnlyLevelsFirst || i == 1 && r.OnlyLevelsSecond}
		if f.PH {
			x.Basis, x.Unit = "", "pH"
		}
		d.Factors = append(d.Factors, x)
	}
	if r.HasPlanning {
		d.Planning = choiceDoc(r, r.Planning)
	}
	if r.HasEstimate {
		d.Estimate = choiceDoc(r, r.Estimate)
	}
	if r.HasLeastLeft {
		d.LeastLeft = choiceDoc(r, r.LeastLeft)
	}
	if r.HasLowestPassing {
		j := &surfaceJar{Label: r.LowestPassing.Label, Reading: r.LowestPassing.Reading}
		j.Doses, j.PH = pairDoses(r, r.LowestPassing.Pair)
		d.Lowest = j
	}
	if len(r.Slices) == 0 {
		return d
	}
	d.Clearest = choiceDoc(r, r.Clearest)
	d.Goal = number(r.Goal())
	if v := r.Saving; v.Verdict != surface.NotCompared && v.Verdict != "" {
		s := &surfaceSaving{Verdict: string(v.Verdict), Of: "dose of " + r.First.Name, Unit: "%", Chance: float64(v.Chance)}
		if v.OfCost {
			s.Of = "cost"
		}
		if v.Has {
			s.Value, s.Low = number(v.Share.In("%")), number(v.Low.In("%"))
			if v.HasHigh {
				s.High = number(v.High.In("%"))
			}
		}
		if v.HasAlone {
			s.Alone = choiceDoc(r, v.Alone)
		}
		if v.BreakEven > 0 {
			s.BreakEven = number(v.BreakEven)
		}
		d.Saving = s
	}
	for _, v := range r.Slices {
		s := surfaceSlice{Level: v.Level, Tested: v.Tested}
		if v.Reached {
			s.Effective = intervalDoc(v.Effective, "mg/L")
		}
		if v.HasPlanning {
			s.Planning = number(float64(v.Planning))
		}
		d.Slices = append(d.Slices, s)
	}
	for _, p := range r.Hull {
		xy := surfaceXY(r, p)
		d.Region = append(d.Region, [2]float64{xy.X, xy.Y})
	}
	g := &surfaceGrid{First: r.Grid.First, Second: r.Grid.Second}
	rows := func(z [][]float64) (out [][]*float64) {
		for _, row := range z {
			line := make([]*float64, len(row))
			for i, v := range row {
				line[i] = number(v)
			}
			out = append(out, line)
		}
		return out
	}
	g.Fit, g.Confidence = rows(r.Grid.Fit), rows(r.Grid.Confidence)
	d.Grid = g
	return d
}
