package templates

import (
	"cmp"
	"iter"
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// acidity is a pH that stands where doses do: without a unit for people, "pH" in documents.
type acidity float64

// Show implements [quantity.Quantity].
func (a acidity) Show(quantity.System) (float64, string) { return float64(a), "" }

// In gives the number in documents.
func (a acidity) In(unit string) float64 {
	if unit == "pH" {
		return float64(a)
	}
	return math.NaN()
}

// chance is shown in percent and stands as a share of one in documents.
type chance float64

// Show implements [quantity.Quantity].
func (c chance) Show(quantity.System) (float64, string) { return 100 * float64(c), "%" }

// In gives the share.
func (c chance) In(unit string) float64 {
	if unit == "share" {
		return float64(c)
	}
	return math.NaN()
}

// sure is a chance, in whole percent where people read it.
func sure(key string, p float64) figure.Figure {
	return figure.Of(key, chance(p), "share", 3).In(figure.Whole)
}

// along is what differs between the jars: a dose, or the pH at which they stood, as
// the sheet has it.
func along(key string, ph bool, v float64) figure.Figure {
	f := figure.Written(key, v, "mg/L")
	f.Unit = "mg/L"
	if ph {
		f.Q, f.Unit = acidity(v), "pH"
	}
	return f
}

// workedOut has as many digits as mean anything, zeros too.
func workedOut(f figure.Figure, digits int) figure.Figure { return f.To(digits).In(figure.Full) }

// readingOf is a reading of a kind in the kind's unit.
func readingOf(k jartest.Key, v float64) quantity.Quantity {
	if u := k.Info().Unit; u != "C" {
		return figure.Plain{V: v, U: u}
	}
	return quantity.Temperature(v)
}

// read is a reading as the sheet has it.
func read(key string, k jartest.Key, v float64) figure.Figure {
	f := figure.Written(key, v, "")
	f.Q = readingOf(k, v)
	return f
}

// bounds are the states in which a reading is a limit only: its key in documents, its
// sign, and what a sheet has where the limit is not stated.
var bounds = map[jartest.State]struct{ key, sign, word string }{
	jartest.Below: {"below", "<", "ND"}, jartest.Above: {"above", ">", "over range"}}

// readAs is a reading under its key, a limit under "below" or "above".
func readAs(key string, s jartest.State, k jartest.Key, v float64) figure.Figure {
	b, bound := bounds[s]
	return read(cmp.Or(b.key, key), k, v).If(bound || s == jartest.Number)
}

// readCell is what a jar read, as a cell of a column that names the unit.
func readCell(j *figure.Object) any {
	for _, b := range bounds {
		if j.Has(b.key) {
			return figure.Say(b.sign+" %s", unitless(j.Fig(b.key)))
		}
	}
	return unitless(j.Fig("reading"))
}

// worked is a number that was worked out, with a unit of its own.
func worked(key string, v float64, unit string, digits int) figure.Figure {
	return figure.Of(key, figure.Plain{V: v, U: unit}, unit, digits).In(figure.Full)
}

// seriesData begins the object of a series with what tells it from others.
func seriesData(name string, at note.Place, water jartest.Sample) *figure.Object {
	o := figure.New().Set("name", seriesName(name, at)).Word("file", at.File).Word("sheet", at.Sheet).Word("range", at.Cell).
		Word("date", water.Date)
	if t := water.Turbidity; t.State == jartest.Number {
		o.Put(read("raw_turbidity", jartest.Turbidity, t.Value))
	} else if raw := readAs("", t.State, jartest.Turbidity, t.Value); raw.Known() {
		o.Part("raw_turbidity", figure.New().Bare(raw).Set("unit", "NTU"))
	}
	return o
}

// question adds what was asked of a series and how that ended.
func question(o *figure.Object, targets []jartest.Target, binding int, outcome curve.Outcome) *figure.Object {
	list := targetWords(targets)
	o.Set("targets", list)
	if len(list) > 1 && outcome == curve.Found {
		o.Set("binding_target", list[binding])
	}
	return o
}

// targetWords is the targets as documents have them.
func targetWords(targets []jartest.Target) []string {
	out := []string{}
	for _, g := range targets {
		out = append(out, g.String())
	}
	return out
}

// targetsPhrase is the targets in words.
func targetsPhrase(targets []jartest.Target) figure.Phrase {
	var all []any
	for _, g := range targets {
		all = append(all, targetPhrase(g))
	}
	return figure.And(" and ", all...)
}

// targetPhrase is a target as one says it: "turbidity of 5 NTU at most".
func targetPhrase(g jartest.Target) figure.Phrase {
	name := either(g.Key.Known(), g.Key.Info().Label, string(g.Key))
	at := either(g.Minutes > 0, figure.Say(" at %s", figure.Of("", figure.Plain{V: g.Minutes, U: "min"}, "min", 12)), figure.Phrase{})
	value := figure.Figure{Q: figure.Plain{V: g.Value, U: g.Unit}, Digits: 12}
	switch {
	case g.ByRule && g.Value == 0:
		return figure.Say("the removal of %s by 40 CFR 141.135", name)
	case g.Kind == jartest.Removal:
		name += " removal"
		value.Q = figure.Plain{V: g.Value, U: "%"}
	case g.Kind == jartest.WithinBest:
		return figure.Say("%s%s within %s of the best", name, at, figure.Figure{Q: figure.Plain{V: g.Value, U: "%"}, Digits: 12})
	case g.Kind == jartest.Slope:
		value.Q = figure.Plain{V: g.Value, U: g.Key.Base().Info().Unit}
		return figure.Say("%s%s no longer falling by %s per mg/L", name, at, value).If(g.Basis != quantity.NotStated, " %s", g.Basis.String())
	}
	return figure.Say("%s%s of %s %s", name, at, value, either(g.AtLeast, "at least", "at most"))
}

// intervalData is a dose (or a pH) with the ends of its interval.
func intervalData(i curve.Interval, ph bool, digits int, basis quantity.Basis) *figure.Object {
	end := func(key string, v quantity.Concentration) figure.Figure {
		f := workedOut(along(key, ph, float64(v)), digits)
		f.Basis = basis
		return f
	}
	value := end("value", i.Value)
	return figure.New().Bare(value, end("low", i.Low).If(i.HasLow), end("high", i.High).If(i.HasHigh),
		sure("confidence", float64(i.Confidence))).Set("unit", value.Unit)
}

// windowData is the lowest and the highest dose, or pH, that meet every target; nothing where
// no highest dose lies in the tested range.
func windowData(r curve.Result, digits int) *figure.Object {
	if !r.Window.Seen {
		return nil
	}
	ph := r.Factor == "ph"
	end := func(key string, v quantity.Concentration) figure.Figure {
		f := workedOut(along(key, ph, float64(v)), digits)
		f.Basis = either(ph, quantity.NotStated, r.Chemical.Basis)
		return f
	}
	bounds := func(i curve.Interval) *figure.Object {
		return figure.New().Bare(end("low", i.Low).If(i.HasLow), end("high", i.High).If(i.HasHigh))
	}
	low, high := r.Window.Low, r.Window.High
	o := figure.New().Bare(end("low", low.Value), end("high", high.Value), sure("confidence", float64(low.Confidence))).
		Set("low_interval", bounds(low)).Set("high_interval", bounds(high))
	if ph {
		return o.Set("unit", "pH")
	}
	return o.Set("unit", "mg/L").Set("basis", r.Chemical.Basis.String())
}

// interval takes it out of its object again, for sentences.
func interval(o *figure.Object) figure.Interval {
	return figure.Interval{Figure: o.Fig("value"), Low: o.Fig("low").Q, High: o.Fig("high").Q, Open: true}
}

// endsPhrase is "9.91 to 11.2", for columns that name the unit.
func endsPhrase(low, high figure.Figure) figure.Phrase {
	return figure.Say("%s to %s", or(unitless(low), "below"), or(unitless(high), "beyond"))
}

// planningData is a planning dose with the rule that gave it.
func planningData(dose float64, digits int, basis quantity.Basis, rule string, confidence quantity.Fraction) *figure.Object {
	value := workedOut(along("value", false, dose), digits)
	value.Basis = basis
	return figure.New().Bare(value).Set("unit", value.Unit).Set("basis", basis.String()).Set("rule", rule).
		Bare(sure("confidence", float64(confidence)))
}

// scatterData is how far jars lie off the curve.
func scatterData(scatter float64, relative bool, k jartest.Key) *figure.Object {
	f := either(relative, worked("value", 100*scatter, "%", 2), worked("value", scatter, k.Info().Unit, 2))
	return figure.New().Bare(f).Word("unit", f.Unit)
}

// JSON implements [Report]; doses in mg/L. A note stands once, at the end, and
// names the series that it belongs to by its place.
func (f FitReport) JSON() any {
	all := append(note.List(nil), f.Notes...)
	for i, r := range f.Results {
		all.Add(placed(r.Notes, r.Place)...)
		if i < len(f.Water) {
			all.Add(placed(f.Water[i].Notes, r.Place)...)
		}
	}
	for _, r := range f.Surfaces {
		all.Add(placed(r.Notes, r.Place)...)
	}
	return figure.New().Set("schema", "jarwright.fit/1").Set("series", f.each()).Set("notes", Notes(all))
}

// each makes the objects of all series one by one, those of two factors last.
func (f FitReport) each() iter.Seq[*figure.Object] {
	return func(yield func(*figure.Object) bool) {
		for i := range f.Results {
			if !yield(f.one(i)) {
				return
			}
		}
		lazily(f.Surfaces, surfaceData)(yield)
	}
}

// one is the object of a series of one factor.
func (f FitReport) one(i int) *figure.Object {
	d := fitData(f.Results[i])
	if i < len(f.Bench) {
		x, basis := f.Bench[i], f.Results[i].Chemical.Basis
		d.Part("clouded_again", againData(x.Again)).Part("enhanced_coagulation", carbonData(x.Carbon, basis)).Part("suva", suvaData(x.SUVA)).
			Part("phosphorus", phosphorusData(x.Phosphorus, basis))
	}
	if i < len(f.Water) {
		d.Part("water", benchWaterData(f.Water[i]))
	}
	if i < len(f.Settling) {
		d.Part("settling", settlingData(f.Settling[i], f.Results[i].Targets))
	}
	return d
}

// data is the objects of all series at once.
func (f FitReport) data() []*figure.Object { return slices.Collect(f.each()) }

// placed gives notes that have no place that of their series.
func placed(l note.List, at note.Place) note.List {
	out := append(note.List(nil), l...)
	for i := range out {
		if out[i].Place == (note.Place{}) {
			out[i].Place = at
		}
	}
	return out
}

// chances are those at which a series tells what dose would be enough.
var chances = [...]float64{0.05, 0.25, 0.5, 0.75, 0.9, 0.95}

// fitData is one series of one factor.
func fitData(r curve.Result) *figure.Object {
	ph, digits, found := r.Factor == "ph", doseDigits(r), r.Outcome == curve.Found
	o := seriesData(r.Series, r.Place, r.Sample).Set("response", string(r.Response)).Set("factor", r.Factor).
		Set("chemical", r.Chemical.Name).Set("basis", r.Chemical.Basis.String())
	o.Some("beside", objects(r.Beside, func(f curve.Fixed) *figure.Object {
		return figure.New().Set("chemical", f.Chemical.Name).Set("basis", f.Chemical.Basis.String()).Bare(doseOf("dose", f.Dose, f.Chemical.Basis, 3))
	}))
	question(o, r.Targets, r.Binding, r.Outcome)
	o.Part("reference", referenceData(r.Reference))
	o.Set("outcome", string(r.Outcome)).Set("units", figure.New().Set("dose", along("", ph, 0).Unit).Set("reading", r.Response.Info().Unit))
	if found && r.Factor == "dose" {
		o.Set("lowest_effective_dose", intervalData(r.Effective, false, digits, r.Chemical.Basis).Set("basis", r.Chemical.Basis.String()))
	}
	o.Part(either(ph, "ph_window", "dose_window"), windowData(r, either(ph, 3, digits)))
	if found && ph {
		o.Set("optimum_ph", intervalData(r.Optimum, true, 3, quantity.NotStated))
	}
	if r.HasPlanning {
		o.Set("planning_dose", planningData(float64(r.Planning.Concentration), digits, r.Planning.Basis, r.Rule, r.Sure).
			Bare(sure("chance_next_jar", float64(r.NextJar.V)).If(r.NextJar.OK)))
	}
	if j := r.LowestPassing; r.HasLowestPassing {
		o.Set("lowest_passing_jar", figure.New().Set("label", j.Label).Bare(along("dose", ph, float64(j.Dose)),
			read("reading", r.Response, j.Reading), figure.Count("jars", r.PassingJars).If(r.PassingJars > 1)))
	}
	if len(r.Curve) > 0 || r.Best != (curve.Spot{}) {
		o.Set("best", spotData(r.Best, ph, r.Response))
		o.Set("tested", figure.New().Bare(along("low", ph, float64(r.TestedLow)), along("high", ph, float64(r.TestedHigh))))
	}
	from := workedOut(along("from", ph, float64(r.Overdose.From)), 3)
	o.Set("overdose", figure.New().Set("seen", r.Overdose.Seen).Bare(from.If(r.Overdose.Seen)))
	if r.Cliff.OK {
		end := func(s curve.Spot) *figure.Object { return spotData(s, ph, r.Response) }
		o.Set("cliff", figure.New().Set("fails", end(r.Cliff.V.Low)).Set("passes", end(r.Cliff.V.High)))
	}
	if found && r.Factor == "dose" {
		o.List("trade_off", objects(chances[:], func(p float64) *figure.Object {
			d, ok := r.Quantile(p)
			return figure.New().Bare(sure("chance", p), workedOut(along("dose", false, float64(d)), 4).If(ok))
		}))
	}
	if len(r.Models) > 0 {
		modelData(o, r)
	}
	o.Set("curve", curveData(r.Curve)).List("jars", jarsData(r.Jars, r.Curve, ph, r.Response))
	if len(r.Readings) > 1 {
		o.List("readings", otherReadings(r.Readings[1:], ph)) // the first stands above
	}
	if len(r.Method) > 0 {
		o.Set("method", r.Method)
	}
	if len(r.Lacks) > 0 {
		o.Set("lacks", Notes(r.Lacks))
	}
	return o
}

// referenceData is what removal is counted from; nothing where no target needs it.
func referenceData(r curve.Reference) *figure.Object {
	if r.What == "" {
		return nil
	}
	return figure.New().Set("what", r.What).Bare(figure.Written("value", r.Value, r.Unit)).Word("unit", r.Unit)
}

func spotData(s curve.Spot, ph bool, k jartest.Key) *figure.Object {
	return figure.New().Bare(workedOut(along("dose", ph, float64(s.Dose)), 3), workedOut(read("reading", k, s.Reading), 3))
}

// modelData adds the models, the scatter about them, and the one that counts most.
func modelData(o *figure.Object, r curve.Result) {
	ph := r.Factor == "ph"
	var rows []*figure.Object
	weights, lead := figure.New(), 0
	for i, m := range r.Models {
		if len(m.Params) > 0 && m.Weight > r.Models[lead].Weight {
			lead = i
		}
		share := figure.Of("weight", chance(m.Weight), "share", 1).In(figure.Tenth)
		weights.Bare(share.As(m.Name))
		at := func(key string, v quantity.Concentration, digits int, ok bool) figure.Figure {
			return workedOut(along(key, ph, float64(v)), digits).If(ok && m.HasDose)
		}
		row := figure.New().Set("name", m.Name).Set("formula", m.Formula).Bare(share, worked("sum_of_squares", m.RSS, "", 3),
			worked("aicc", m.Criterion, "", 3).If(m.Criterion != 0),
			at("dose", m.Dose, 4, true), at("profile_low", m.Profile.Low, 3, m.Profile.HasLow),
			at("profile_high", m.Profile.High, 3, m.Profile.HasHigh)).Set("status", m.Status)
		rows = append(rows, row.Some("parameters", objects(m.Params, func(p curve.ParamValue) *figure.Object {
			return figure.New().Set("name", p.Name).Bare(worked("value", p.Value, "", 4), worked("standard_error", p.SE, "", 2).If(p.SE > 0)).
				Word("unit", p.Unit).Set("meaning", p.Meaning)
		})))
	}
	parameters := figure.New()
	for _, p := range r.Models[lead].Params {
		parameters.Bare(worked(p.Name, p.Value, "", 4))
	}
	o.Set("model", figure.New().Set("name", r.Models[lead].Name).Set("scale", r.Scale).Set("parameters", parameters).Set("weights", weights))
	o.List("models", rows).Set("scatter", scatterData(r.Scatter, r.Relative, r.Response))
}

func curveData(c []curve.Point) figure.Curve {
	out := figure.Curve{}
	for _, p := range c {
		out = append(out, []float64{float64(p.Dose), p.Fit, p.Low, p.High})
	}
	return out
}

// jarsData is the jars: what each read, the best model's reading there (fitted) and
// that of the curve.
func jarsData(jars []curve.JarUse, c []curve.Point, ph bool, k jartest.Key) []*figure.Object {
	return objects(jars, func(j curve.JarUse) *figure.Object {
		fit := j.Used && j.Fit != 0
		d := figure.New().Set("label", j.Label).Bare(along("dose", ph, float64(j.Dose)), readAs("reading", j.State, k, j.Reading)).
			Set("used", j.Used).Word("why", j.Why).
			Bare(workedOut(read("fitted", k, j.Fit), 4).If(fit), worked("residual", j.Residual, "", 1).In(figure.Signed).If(fit))
		if p := curve.At(c, j.Dose); p != nil && j.Used {
			d.Bare(workedOut(read("on_curve", k, p.Fit), 3))
		}
		if len(j.Repeats) > 1 {
			d.Set("replicates", tidied(j.Repeats))
		}
		if j.Outlier {
			d.Set("outlier", true)
		}
		return d.Word("cell", j.At.Cell)
	})
}

// otherReadings are the sheet's readings that no target asks about.
func otherReadings(list []curve.ReadingCurve, ph bool) []*figure.Object {
	return objects(list, func(q curve.ReadingCurve) *figure.Object {
		unit := q.Key.Info().Unit
		d := figure.New().Set("reading", string(q.Key)).Word("unit", unit).
			Set("units", figure.New().Set("dose", along("", ph, 0).Unit).Set("reading", unit)).Set("scale", q.Scale)
		if len(q.Curve) > 0 {
			d.Set("best", spotData(q.Best, ph, q.Key))
		}
		if p := q.AtPlanning; p != nil {
			d.Set("at_planning_dose", figure.New().Bare(workedOut(read("fit", q.Key, p.Fit), 3), workedOut(read("low", q.Key, p.Low), 3),
				workedOut(read("high", q.Key, p.High), 3)))
		}
		used := slices.DeleteFunc(slices.Clone(q.Jars), func(j curve.JarUse) bool { return !j.Used })
		return d.Put(figure.Count("jars_used", len(used))).Set("curve", curveData(q.Curve)).List("jars", jarsData(q.Jars, q.Curve, ph, q.Key))
	})
}

// Table implements [Report]: one row a series.
func (f FitReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("series name", "response", "chemical", "basis", "targets", "outcome",
		"lowest_effective_dose lowest_effective_dose.value mg/L", "low lowest_effective_dose.low mg/L", "high lowest_effective_dose.high mg/L",
		"planning_dose planning_dose.value mg/L", "rule planning_dose.rule", "lowest_passing_dose lowest_passing_jar.dose mg/L",
		"best_dose best.dose mg/L", "best_reading best.reading", "overdose_from overdose.from mg/L", "notes",
		"reading_unit units.reading", "second_chemical", "second_dose = mg/L", "ph", "file", "sheet", "date", "raw_turbidity = NTU",
		"window_low dose_window.low mg/L", "window_high dose_window.high mg/L",
		"clouded_again clouded_again.cause", "clouded_from clouded_again.from.dose mg/L", "toc_removal enhanced_coagulation.removal",
		"toc_removal_required enhanced_coagulation.removal_required", "toc_removal_alternative enhanced_coagulation.step_2.alternative_removal",
		"metal_to_p phosphorus.metal_to_raw",
		"cost_per_1000m3", "currency", "ph_set_with", "ph_set_dose = mg/L", "ph_set_cost", "restored_with", "restored_dose = mg/L", "restored_cost",
		"settling_depth settling.depth m", "settled_readings settling.in_short", "settling_rate settling.target.rate m/h",
		"settler_safe settling.target.settler_safe m/h", "settler_bold settling.target.settler_bold m/h")}
	for d := range f.each() {
		var notes note.List
		if i := len(t.Rows); i < len(f.Results) {
			r := f.Results[i]
			notes = r.Notes
			d.Set("targets", strings.Join(targetWords(r.Targets), " and ")).Put(d.Fig("optimum_ph.value").As("ph"))
		} else {
			r := f.Surfaces[i-len(f.Results)]
			notes = r.Notes
			surfaceRow(d, r)
		}
		if d.Has("settling") {
			d.Sub("settling").Set("in_short", settledInShort(d.Sub("settling")))
		}
		t.Rows = append(t.Rows, d.Set("notes", codes(notes)).Only(t.Cols))
	}
	return t
}

// codes are the codes of notes in one word each.
func codes(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}
