package templates

import (
	"math"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
)

// The document of fit; fields as the contract of the program names them.
type (
	fitDoc struct {
		Schema string      `json:"schema"`
		Series []fitSeries `json:"series"`
		Notes  note.List   `json:"notes"`
	}
	fitSeries struct {
		Name      string        `json:"name"`
		File      string        `json:"file,omitempty"`
		Sheet     string        `json:"sheet,omitempty"`
		Range     string        `json:"range,omitempty"`
		Response  jartest.Key   `json:"response"`
		Factor    string        `json:"factor"`
		Chemical  string        `json:"chemical"`
		Basis     string        `json:"basis"`
		Targets   []string      `json:"targets"`
		Binding   string        `json:"binding_target,omitempty"`
		Reference *fitReference `json:"reference,omitempty"`
		Outcome   curve.Outcome `json:"outcome"`
		Effective *fitInterval  `json:"lowest_effective_dose,omitempty"`
		Planning  *fitPlanning  `json:"planning_dose,omitempty"`
		Optimum   *fitInterval  `json:"optimum_ph,omitempty"`
		Lowest    *fitJarDose   `json:"lowest_passing_jar,omitempty"`
		Best      *fitSpot      `json:"best,omitempty"`
		Overdose  fitOverdose   `json:"overdose"`
		Tested    *fitRange     `json:"tested,omitempty"`
		TradeOff  []fitChance   `json:"trade_off,omitempty"`
		Model     *fitModel     `json:"model,omitempty"`
		Models    []fitModelRow `json:"models,omitempty"`
		Scatter   *fitScatter   `json:"scatter,omitempty"`
		Curve     [][4]float64  `json:"curve"`
		Jars      []fitJar      `json:"jars"`
		Readings  []fitReading  `json:"readings,omitempty"`
		Surface   *surfaceDoc   `json:"surface,omitempty"`
		Method    []string      `json:"method,omitempty"`
		Water     *fitWater     `json:"water,omitempty"`
		Notes     note.List     `json:"notes"`
	}
	fitReference struct {
		What  string  `json:"what"`
		Value float64 `json:"value"`
		Unit  string  `json:"unit,omitempty"`
	}
	fitInterval struct {
		Value      float64  `json:"value"`
		Low        *float64 `json:"low,omitempty"`
		High       *float64 `json:"high,omitempty"`
		Confidence float64  `json:"confidence"`
		Unit       string   `json:"unit"`
		Basis      string   `json:"basis,omitempty"`
	}
	fitPlanning struct {
		Value      float64 `json:"value"`
		Unit       string  `json:"unit"`
		Basis      string  `json:"basis"`
		Rule       string  `json:"rule"`
		Confidence float64 `json:"confidence"`
	}
	fitJarDose struct {
		Label   string  `json:"label"`
		Dose    float64 `json:"dose"`
		Reading float64 `json:"reading"`
	}
	fitSpot struct {
		Dose    float64 `json:"dose"`
		Reading float64 `json:"reading"`
	}
	fitOverdose struct {
		Seen bool     `json:"seen"`
		From *float64 `json:"from,omitempty"`
	}
	fitRange struct {
		Low  float64 `json:"low"`
		High float64 `json:"high"`
	}
	fitChance struct {
		Chance float64  `json:"chance"`
		Dose   *float64 `json:"dose,omitempty"`
	}
	fitModel struct {
		Name       string             `json:"name"`
		Scale      string             `json:"scale"`
		Parameters map[string]float64 `json:"parameters"`
		Weights    map[string]float64 `json:"weights"`
	}
	fitModelRow struct {
		Name    string     `json:"name"`
		Formula string     `json:"formula"`
		Weight  float64    `json:"weight"`
		RSS     float64    `json:"sum_of_squares"`
		AICc    *float64   `json:"aicc,omitempty"`
		Dose    *float64   `json:"dose,omitempty"`
		Low     *float64   `json:"profile_low,omitempty"`
		High    *float64   `json:"profile_high,omitempty"`
		Status  string     `json:"status"`
		Params  []fitParam `json:"parameters,omitempty"`
	}
	fitParam struct {
		Name    string   `json:"name"`
		Value   float64  `json:"value"`
		SE      *float64 `json:"standard_error,omitempty"`
		Unit    string   `json:"unit,omitempty"`
		Meaning string   `json:"meaning"`
	}
	fitScatter struct {
		Value float64 `json:"value"`
		Unit  string  `json:"unit,omitempty"`
	}
	fitJar struct {
		Label    string             `json:"label"`
		Dose     float64            `json:"dose"`
		Doses    map[string]float64 `json:"doses,omitempty"` // of a series of two factors
		PH       *float64           `json:"ph,omitempty"`
		Reading  *float64           `json:"reading,omitempty"`
		Below    *float64           `json:"below,omitempty"`
		Above    *float64           `json:"above,omitempty"`
		Used     bool               `json:"used"`
		Why      string             `json:"why,omitempty"`
		Fitted   *float64           `json:"fitted,omitempty"`
		Residual *float64           `json:"residual,omitempty"`
		Outlier  bool               `json:"outlier,omitempty"`
		Cell     string             `json:"cell,omitempty"`
	}
	fitReading struct {
		Reading    jartest.Key  `json:"reading"`
		Unit       string       `json:"unit,omitempty"`
		Scale      string       `json:"scale"`
		Best       *fitSpot     `json:"best,omitempty"`
		AtPlanning *fitBand     `json:"at_planning_dose,omitempty"`
		Curve      [][4]float64 `json:"curve"`
		Jars       []fitJar     `json:"jars"`
	}
	fitBand struct {
		Fit  float64 `json:"fit"`
		Low  float64 `json:"low"`
		High float64 `json:"high"`
	}
)

// JSON gives the document, doses in mg/L.
func (f FitReport) JSON() any {
	d := fitDoc{Schema: "jarwright.fit/1", Series: []fitSeries{}}
	all := append(note.List(nil), f.Notes...)
	for i, r := range f.Results {
		s := fitSeriesDoc(r)
		all = append(all, r.Notes...)
		if i < len(f.Water) {
			s.Water = benchWaterDoc(f.Water[i])
			s.Notes = Notes(append(append(note.List(nil), r.Notes...), f.Water[i].Notes...))
			all = append(all, f.Water[i].Notes...)
		}
		d.Series = append(d.Series, s)
	}
	for _, r := range f.Surfaces {
		d.Series = append(d.Series, surfaceSeries(r))
		all = append(all, r.Notes...)
	}
	d.Notes = Notes(all)
	return d
}

// number gives a pointer to v, nil where it is no ordinary number.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func fitSeriesDoc(r curve.Result) fitSeries {
	s := fitSeries{Name: seriesName(r.Series, r.Place), File: r.Place.File, Sheet: r.Place.Sheet, Range: r.Place.Cell, Response: r.Response, Factor: r.Factor, Chemical: r.Chemical.Name,
		Basis: r.Chemical.Basis.String(), Targets: []string{}, Outcome: r.Outcome, Curve: [][4]float64{}, Jars: []fitJar{}, Method: r.Method, Notes: Notes(r.Notes)}
	for _, g := range r.Targets {
		s.Targets = append(s.Targets, g.String())
	}
	if len(r.Targets) > 1 && r.Outcome == curve.Found {
		s.Binding = r.Targets[r.Binding].String()
	}
	if r.Reference.What != "" {
		s.Reference = &fitReference{r.Reference.What, r.Reference.Value, r.Reference.Unit}
	}
	if r.Outcome == curve.Found && r.Factor == "dose" {
		s.Effective = intervalDoc(r.Effective, "mg/L")
		s.Effective.Basis = r.Chemical.Basis.String()
		for _, p := range [...]float64{0.25, 0.5, 0.75, 0.9, 0.95} {
			c := fitChance{Chance: p}
			if q, ok := r.Quantile(p); ok {
				c.Dose = number(float64(q))
			}
			s.TradeOff = append(s.TradeOff, c)
		}
	}
	if r.Outcome == curve.Found && r.Factor == "ph" {
		s.Optimum = intervalDoc(r.Optimum, "pH")
	}
	if r.HasPlanning {
		s.Planning = &fitPlanning{Value: float64(r.Planning.Concentration), Unit: "mg/L", Basis: r.Planning.Basis.String(), Rule: r.Rule, Confidence: float64(r.Confidence(r.Planning.Concentration))}
	}
	if r.HasLowestPassing {
		s.Lowest = &fitJarDose{r.LowestPassing.Label, float64(r.LowestPassing.Dose), r.LowestPassing.Reading}
	}
	if len(r.Curve) > 0 || r.Best != (curve.Spot{}) {
		s.Best = &fitSpot{float64(r.Best.Dose), r.Best.Reading}
		s.Tested = &fitRange{float64(r.TestedLow), float64(r.TestedHigh)}
	}
	s.Overdose.Seen = r.Overdose.Seen
	if r.Overdose.Seen {
		s.Overdose.From = number(float64(r.Overdose.From))
	}
	s.Curve = curveDoc(r.Curve)
	s.Jars = jarsDoc(r.Jars)
	if len(r.Models) > 0 {
		s.Model = &fitModel{Scale: r.Scale, Parameters: map[string]float64{}, Weights: map[string]float64{}}
		lead := 0
		for i, m := range r.Models {
			s.Model.Weights[m.Name] = m.Weight
			if len(m.Params) > 0 && m.Weight > r.Models[lead].Weight {
				lead = i
			}
			row := fitModelRow{Name: m.Name, Formula: m.Formula, Weight: m.Weight, RSS: m.RSS, Status: m.Status}
			if m.Criterion != 0 {
				row.AICc = number(m.Criterion)
			}
			if m.HasDose {
				row.Dose = number(float64(m.Dose))
				if m.Profile.HasLow {
					row.Low = number(float64(m.Profile.Low))
				}
				if m.Profile.HasHigh {
					row.High = number(float64(m.Profile.High))
				}
			}
			for _, p := range m.Params {
				q := fitParam{Name: p.Name, Value: p.Value, Unit: p.Unit, Meaning: p.Meaning}
				if p.SE > 0 {
					q.SE = number(p.SE)
				}
				row.Params = append(row.Params, q)
			}
			s.Models = append(s.Models, row)
		}
		s.Model.Name = r.Models[lead].Name
		for _, p := range r.Models[lead].Params {
			s.Model.Parameters[p.Name] = p.Value
		}
		s.Scatter = &fitScatter{Value: r.Scatter}
		if r.Relative {
			s.Scatter.Value, s.Scatter.Unit = 100*r.Scatter, "%"
		} else {
			s.Scatter.Unit = r.Response.Info().Unit
		}
	}
	for i, q := range r.Readings {
		if i == 0 {
			continue // the response itself stands above
		}
		d := fitReading{Reading: q.Key, Unit: q.Key.Info().Unit, Scale: q.Scale, Curve: curveDoc(q.Curve), Jars: jarsDoc(q.Jars)}
		if len(q.Curve) > 0 {
			d.Best = &fitSpot{float64(q.Best.Dose), q.Best.Reading}
		}
		if q.AtPlanning != nil {
			d.AtPlanning = &fitBand{q.AtPlanning.Fit, q.AtPlanning.Low, q.AtPlanning.High}
		}
		s.Readings = append(s.Readings, d)
	}
	return s
}

func intervalDoc(i curve.Interval, unit string) *fitInterval {
	d := &fitInterval{Value: float64(i.Value), Confidence: float64(i.Confidence), Unit: unit}
	if i.HasLow {
		d.Low = number(float64(i.Low))
	}
	if i.HasHigh {
		d.High = number(float64(i.High))
	}
	return d
}

func curveDoc(c []curve.Point) [][4]float64 {
	out := make([][4]float64, 0, len(c))
	for _, p := range c {
		out = append(out, [4]float64{float64(p.Dose), p.Fit, p.Low, p.High})
	}
	return out
}

func jarsDoc(jars []curve.JarUse) []fitJar {
	out := make([]fitJar, 0, len(jars))
	for _, j := range jars {
		d := fitJar{Label: j.Label, Dose: float64(j.Dose), Used: j.Used, Why: j.Why, Outlier: j.Outlier, Cell: j.At.Cell}
		switch j.State {
		case jartest.Number:
			d.Reading = number(j.Reading)
		case jartest.Below:
			d.Below = number(j.Reading)
		case jartest.Above:
			d.Above = number(j.Reading)
		}
		if j.Used && j.Fit != 0 {
			d.Fitted, d.Residual = number(j.Fit), number(j.Residual)
		}
		out = append(out, d)
	}
	return out
}

// Rows is one row a series.
func (f FitReport) Rows() [][]string {
	out := [][]string{{"series", "response", "chemical", "basis", "targets", "outcome", "lowest_effective_dose_mg_per_l", "low_mg_per_l", "high_mg_per_l", "planning_dose_mg_per_l", "rule",
		"lowest_passing_dose_mg_per_l", "best_dose_mg_per_l", "best_reading", "overdose_from_mg_per_l", "notes"}}
	for _, r := range f.Results {
		row := []string{seriesName(r.Series, r.Place), string(r.Response), r.Chemical.Name, r.Chemical.Basis.String(), targetsText(r), string(r.Outcome)}
		opt := func(v float64, ok bool) {
			if ok {
				row = append(row, strconv.FormatFloat(v, 'g', 6, 64))
			} else {
				row = append(row, "")
			}
		}
		dose := r.Factor == "dose"
		found := r.Outcome == curve.Found && dose
		opt(float64(r.Effective.Value), found)
		opt(float64(r.Effective.Low), found && r.Effective.HasLow)
		opt(float64(r.Effective.High), found && r.Effective.HasHigh)
		opt(float64(r.Planning.Concentration), r.HasPlanning)
		row = append(row, r.Rule)
		opt(float64(r.LowestPassing.Dose), r.HasLowestPassing && dose)
		opt(float64(r.Best.Dose), len(r.Curve) > 0 && dose)
		opt(r.Best.Reading, len(r.Curve) > 0)
		opt(float64(r.Overdose.From), r.Overdose.Seen)
		var codes []string
		for _, n := range r.Notes {
			codes = append(codes, n.Code)
		}
		out = append(out, append(row, strings.Join(codes, " ")))
	}
	for _, r := range f.Surfaces {
		out = append(out, surfaceRow(r))
	}
	return out
}
