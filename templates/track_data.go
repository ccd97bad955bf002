package templates

import (
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/history"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// rawData is what is known of a raw water.
func rawData(w history.Water) *figure.Object {
	o := figure.New()
	for _, k := range history.Told {
		if v, ok := w[k]; ok {
			f := read(string(k), k, v)
			f.Unit = k.Info().Unit
			o.Put(f)
		}
	}
	return o
}

// pastData is one past test.
func pastData(t history.Test) *figure.Object {
	o := figure.New().Word("date", t.Day.String()).Word("name", t.Name).Set("chemical", t.Chemical.Name).Set("basis", t.Chemical.Basis.String()).
		Some("beside", objects(t.Beside, func(f curve.Fixed) *figure.Object {
			return figure.New().Set("chemical", f.Chemical.Name).Bare(doseOf("dose", f.Dose, f.Chemical.Basis, 3))
		})).Set("targets", targetWords(t.Targets)).Set("raw", rawData(t.Raw))
	if t.Control {
		o.Set("turbidity_of_control", true)
	}
	if t.Outcome == curve.Found {
		o.Set("lowest_effective_dose", intervalData(t.Effective, false, doseDigits(curve.Result{Effective: t.Effective}), t.Chemical.Basis).Set("basis", t.Chemical.Basis.String()))
	}
	o.Set("outcome", string(t.Outcome)).Put(doseOf("tested_from", t.TestedLow, t.Chemical.Basis, 3), doseOf("tested_to", t.TestedHigh, t.Chemical.Basis, 3),
		doseOf("clouds_from", t.Clouds.V, t.Chemical.Basis, 3).If(t.Clouds.OK))
	return o.Set("file", t.At.File).Word("sheet", t.At.Sheet).Word("range", t.At.Cell).
		Some("copies", objects(t.Copies, func(c history.Copy) *figure.Object {
			return figure.New().Set("file", c.At.File).Word("sheet", c.At.Sheet).Word("date", c.Day.String())
		}))
}

// groupData is a law with what its tests share.
func (r TrackReport) groupData(g history.Group) *figure.Object {
	o := figure.New().Set("chemical", g.Chemical.Name).Set("basis", g.Chemical.Basis.String()).Word("beside", g.Beside).
		Set("targets", targetWords(g.Targets)).Bare(figure.Count("tests", len(g.Tests)), figure.Count("points", len(g.Used)))
	if !g.Model.OK {
		return o.Phrase("why", g.Refused)
	}
	lawData(o, g.Model.V)
	return nextTestData(o.List("classes", r.classesData(g)).Some("classes_for", alikeData(r.standsFor(r.tableLaw(g)))), nextTests(g), g.Chemical.Basis)
}

// lawData adds a law to what its tests share.
func lawData(o *figure.Object, m history.Model) {
	o.Set("form", string(m.Form)).Bare(figure.Count("points", m.Points))
	o.Some("terms", objects(m.Terms, func(k jartest.Key) *figure.Object { return figure.New().Set("reading", string(k)) }))
	o.List("coefficients", objects(m.Coefficients, func(c history.Coefficient) *figure.Object {
		return figure.New().Set("name", c.Name).Bare(worked("value", c.Value, "", 4), worked("standard_error", c.SE, "", 2))
	}))
	ranges := figure.New()
	for _, k := range history.Told {
		if s, ok := m.Range[k]; ok {
			low, high := read("low", k, s.Low), read("high", k, s.High)
			low.Unit, high.Unit = k.Info().Unit, k.Info().Unit
			ranges.Set(string(k), figure.New().Put(low, high))
		}
	}
	o.Set("range", ranges).Put(ofDose("scatter", m.Scatter), ofDose("miss", m.Miss)).Bare(worked("r2", m.R2, "", 3))
	o.List("tried", objects(m.Tried, func(x history.Tried) *figure.Object {
		return figure.New().Set("form", string(x.Form)).Word("terms", termWords(x.Terms)).Bare(figure.Count("tests", x.Tests)).Put(ofDose("miss", x.Miss))
	}))
}

// ofDose is a share of the dose.
func ofDose(key string, f quantity.Fraction) figure.Figure { return figure.Of(key, f, "%", 2) }

// termWords are further readings of a law in words.
func termWords(terms []jartest.Key) string {
	var out []string
	for _, k := range terms {
		out = append(out, k.Info().Label)
	}
	return strings.Join(out, " and ")
}

// ntu is a turbidity of raw water.
func ntu(key string, v quantity.Cloudiness) figure.Figure { return figure.Of(key, v, "NTU", 3) }

// tableLaw is the law that the table of a group goes by: that of the answer for today's water, so that both agree.
func (r TrackReport) tableLaw(g history.Group) history.Model {
	for _, x := range r.Predictions {
		if y := r.Groups[x.Group]; y.Chemical == g.Chemical && y.Beside == g.Beside && slices.EqualFunc(y.Targets, g.Targets, func(a, b jartest.Target) bool { return a.String() == b.String() }) {
			return x.Model
		}
	}
	return g.Model.V
}

// standsFor is the further readings that a table of a law is for: today's, or the end of the tests' range that asks most.
func (r TrackReport) standsFor(m history.Model) (out []dosing.LikeReading) {
	w, assumed := m.Worst(r.Water)
	for _, k := range m.Terms {
		out = append(out, dosing.LikeReading{Key: k, V: w[k], AsksMost: slices.Contains(assumed, k)})
	}
	return out
}

// alikeData are the further readings that a table by raw water is for.
func alikeData(like []dosing.LikeReading) []*figure.Object {
	return objects(like, func(x dosing.LikeReading) *figure.Object {
		f := read("value", x.Key, x.V)
		f.Unit = x.Key.Info().Unit
		return figure.New().Set("reading", string(x.Key)).Put(f).Set("asks_most", x.AsksMost)
	})
}

// alikeWords say them.
func alikeWords(like []*figure.Object) figure.Phrase {
	var parts []any
	for _, x := range like {
		worst := x.Get("asks_most") == true
		parts = append(parts, figure.Say("%s %s", jartest.Key(x.Said("reading")).Info().Label, x.Fig("value")).
			If(worst, ", which of the tests' range asks most").If(!worst, " as today"))
	}
	return figure.And("; ", parts...)
}

// classesData are the classes of raw water with the dose that each takes.
func (r TrackReport) classesData(g history.Group) []*figure.Object {
	return objects(r.tableLaw(g).Classes(r.Sure, r.Water), func(c history.Class) *figure.Object {
		return figure.New(ntu("from", c.Low), ntu("to", c.High)).Bare(figure.Count("tests", c.Tests)).Put(
			doseOf("planning_dose", c.Planning.V, g.Chemical.Basis, 3).In(figure.Full).If(c.Planning.OK))
	})
}

// nextTests are the waters of a group to test next.
func nextTests(g history.Group) (out []dosing.NextTest) {
	for _, n := range g.Next() {
		out = append(out, dosing.NextTest{RawClass: dosing.RawClass{Low: n.Low, High: n.High, Tests: n.Tests}, Jars: n.Doses, Beyond: n.Beyond, Unmet: n.Unmet})
	}
	return out
}

// predictionData is what past tests say of today's water.
func (r TrackReport) predictionData(x GroupPrediction) *figure.Object {
	g, p := r.Groups[x.Group], x.Prediction
	o := figure.New().Set("chemical", g.Chemical.Name).Set("basis", g.Chemical.Basis.String()).Word("beside", g.Beside).Set("targets", targetWords(g.Targets)).Set("raw", rawData(p.Raw)).
		Set("inside", p.Inside)
	if len(p.Outside) > 0 {
		o.Set("outside", termWords(p.Outside))
	}
	if len(p.Unlike) > 0 {
		o.Set("unlike", termWords(p.Unlike))
	}
	if p.Inside {
		i := figure.Interval{Figure: doseOf("dose", p.Value, g.Chemical.Basis, 3).In(figure.Full), Low: p.Low, High: p.High, Confidence: float64(history.Confidence)}
		o.Set("dose", i).Put(doseOf("planning_dose", p.Planning.V, g.Chemical.Basis, 3).In(figure.Full), sure("sure", float64(p.Sure)))
	}
	return o.Set("form", string(p.Model.Form)).Word("terms", termWords(p.Model.Terms))
}

// JSON gives the document jarwright.track/1.
func (r TrackReport) JSON() any {
	d := figure.New().Set("schema", "jarwright.track/1").
		Set("files", figure.New().Bare(figure.Count("read", r.Files-len(r.skippedFiles())), figure.Count("skipped", len(r.skippedFiles())), figure.Count("left_alone", len(r.Others)))).
		List("tests", objects(r.Tests, pastData)).List("models", objects(r.with(true), r.groupData)).Some("without_law", objects(r.with(false), r.groupData))
	if len(r.Predictions) > 0 {
		d.Set("prediction", r.predictionData(r.Predictions[0]))
	}
	if len(r.Predictions) > 1 {
		d.List("predictions", objects(r.Predictions, r.predictionData))
	}
	d.Some("logs", objects(r.Logs, logData))
	return d.List("drift", r.driftData()).Set("notes", Notes(r.allNotes()))
}

// driftData are the groups whose latest tests have left their law.
func (r TrackReport) driftData() (out []*figure.Object) {
	for _, j := range r.Logs {
		out = append(out, objects(j.Drift, logDrift)...)
	}
	for _, g := range r.Groups {
		if x := g.Drift; x.OK {
			out = append(out, figure.New().Set("what", "dose of "+g.Chemical.Name).Set("since", x.V.Since.String()).Set("seen", x.V.Seen.String()).
				Bare(figure.Count("tests", x.V.Tests)).Put(share("size", x.V.Size)).
				Set("advice", either(x.V.Size > 0, "test again: the same water needs more", "test again: the same water needs less")))
		}
	}
	return out
}

// with are the groups that have a law, or have none.
func (r TrackReport) with(law bool) []history.Group {
	return slices.DeleteFunc(slices.Clone(r.Groups), func(g history.Group) bool { return g.Model.OK != law })
}

// skippedFiles are the files of which something was skipped.
func (r TrackReport) skippedFiles() (out []string) {
	for _, n := range r.Skipped {
		if len(out) == 0 || out[len(out)-1] != n.Place.File {
			out = append(out, n.Place.File)
		}
	}
	return out
}

// allNotes are those of the files, the tests, the laws and the predictions.
func (r TrackReport) allNotes() (l note.List) {
	l.Add(r.Skipped...)
	for _, x := range r.Predictions {
		l.Add(x.Notes...)
	}
	for _, g := range r.Groups {
		l.Add(g.Notes...)
	}
	for _, j := range r.Logs {
		l.Add(j.Notes...)
	}
	l.Add(r.History.Notes...)
	l.Add(r.Notes...)
	return l
}

// Table gives a row for each test.
func (r TrackReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("date", "series name", "chemical", "basis", "beside", "targets", "raw_turbidity raw.turbidity NTU", "temperature raw.temperature C", "ph raw.ph",
		"alkalinity raw.alkalinity mg/L CaCO3", "uv254 raw.uv254 1/cm", "lowest_effective_dose lowest_effective_dose.value mg/L", "low lowest_effective_dose.low mg/L",
		"high lowest_effective_dose.high mg/L", "outcome", "copies", "file", "sheet")}
	for _, x := range r.Tests {
		d := pastData(x)
		var beside []string
		for _, b := range d.Objects("beside") {
			beside = append(beside, figure.Style{}.Show(b.Fig("dose"))+" "+b.Said("chemical"))
		}
		d.Set("beside", strings.Join(beside, " and ")).Set("targets", strings.Join(targetWords(x.Targets), " and ")).Put(figure.Count("copies", len(x.Copies)))
		t.Rows = append(t.Rows, d.Only(t.Cols))
	}
	if len(r.Logs) > 0 {
		logRows(&t, r.Logs)
	}
	return t
}
