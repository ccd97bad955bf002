package templates

import (
	"jarwright/dosing/bioassay"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// proofLine is how likely chance may be where a dose is said to kill.
const proofLine = 0.05

// leastChance is the chance below which nobody asks how small it is; it is told as less than that.
const leastChance quantity.Fraction = 1e-4

// byChance is how likely something is by chance alone.
func byChance(key string, p quantity.Fraction) figure.Figure {
	digits := 2
	for p != proofLine && quantity.RoundSig(float64(p), digits) == proofLine && digits < 6 { // 0.0498 is not the line it is held against
		digits++
	}
	said := figure.Figure{Key: key, Q: figure.Plain{V: float64(p)}, Digits: digits}
	if p < leastChance {
		return said.In(figure.Gas)
	}
	return said
}

// died is a share of animals.
func died(key string, f quantity.Fraction) figure.Figure { return figure.Of(key, f, "%", 3) }

// standData is a group at one time.
func (a TrialAnswer) standData(s bioassay.Stand, control bool) *figure.Object {
	o := figure.New().Word("name", a.standName(s, control))
	o.Put(doseOf("dose", s.Dose.V, a.Basis, 4).If(s.Dose.OK)).Bare(figure.Count("dead", s.Dead), figure.Count("animals", s.Of))
	return o.Put(died("died", s.Share()), died("at_most", s.AtMost)).Bare(byChance("p_more", s.More).If(s.More > 0), byChance("p_either", s.Either).If(s.Either > 0))
}

// standName is what a group is called where its dose does not tell.
func (a TrialAnswer) standName(s bioassay.Stand, control bool) string {
	switch {
	case control:
		return "control"
	case s.Dose.OK:
		return ""
	}
	return s.Name
}

// readingData is the trial at one time.
func (a TrialAnswer) readingData(r bioassay.Reading) *figure.Object {
	o := figure.New(inHours("at", r.At.V, 3).If(r.At.OK)).Set("outcome", string(r.Outcome))
	if r.Control.Of > 0 {
		o.Part("control", a.standData(bioassay.Stand{Count: r.Control, AtMost: r.Control.AtMost(bioassay.Sure)}, true))
	}
	o.List("groups", objects(r.Stands, func(s bioassay.Stand) *figure.Object { return a.standData(s, false) }))
	if r.Outcome == bioassay.Found && r.Bracketed {
		o.Part("between", figure.New(doseOf("from", r.From, a.Basis, 4), doseOf("to", r.To, a.Basis, 4),
			doseOf("more_than", r.Low, a.Basis, 4).If(r.Low > 0), doseOf("less_than", r.High, a.Basis, 4).If(r.High > 0)))
	} else if r.Outcome == bioassay.Found {
		i := figure.Interval{Figure: doseOf("lc50", r.LC50, a.Basis, 3), Confidence: float64(bioassay.Sure), Open: true}
		if r.Low > 0 {
			i.Low = r.Low
		}
		if r.High > 0 {
			i.High = r.High
		}
		o.Set("lc50", i).Put(died("trimmed", r.Trim)).Set("smoothed", r.Smoothed)
	}
	if r.KeepOut() {
		o.Set("keep_out", true)
	}
	from, harmful := r.Harmful()
	return o.Put(doseOf("safe_dose", r.Safe, a.Basis, 4).If(r.Safe > 0), doseOf("harmful_from", from, a.Basis, 4).If(harmful))
}

// data is one trial.
func (a TrialAnswer) data() *figure.Object {
	o := figure.New().Word("name", a.Name).Word("chemical", a.Chemical).Word("animal", a.Animal).Word("counts", string(a.Basis)).
		List("readings", objects(a.Readings, a.readingData))
	if a.Entry.LC50 > 0 || a.Entry.Killed > 0 {
		o.Part("enter", figure.New(mgL("lc50", a.Entry.LC50, 3).If(a.Entry.LC50 > 0), mgL("killing_dose", a.Entry.Killed, 3).If(a.Entry.Killed > 0), mgL("lc50_low", a.Entry.Low, 3).If(a.Entry.Low > 0 && !a.Entry.Bound), inHours("lc50_hours", a.Entry.Hours.V, 3).If(a.Entry.Hours.OK)).
			Word("lc50_animal", a.Entry.Animal).Set("bound", a.Entry.Bound).Set("judged", a.Entry.Judged))
	}
	return o.Phrase("enter_why_not", a.Why)
}

// proofData is how many animals prove how little, where all of them live.
func proofData() []*figure.Object {
	return objects([]quantity.Fraction{0.10, 0.05}, func(f quantity.Fraction) *figure.Object {
		return figure.New(died("fewer_than", f)).Bare(figure.Count("animals", bioassay.Needed(f)))
	})
}

// JSON gives the document jarwright.trial/1.
func (r TrialReport) JSON() any {
	return figure.New().Set("schema", "jarwright.trial/1").
		Part("animals", figure.New().List("trials", objects(r.Trials, TrialAnswer.data)).List("proof", proofData())).Set("notes", Notes(r.notes()))
}

// notes are those of all trials.
func (r TrialReport) notes() (l note.List) {
	for _, a := range r.Trials {
		l.Add(a.Notes...)
	}
	return l
}

// Table gives a row for each group at each time, with what that time tells.
func (r TrialReport) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("trial", "chemical", "animal", "at = h", "group name", "dose = mg/L", "counts", "dead", "animals", "died = %", "at_most = %",
		"p_more", "p_either", "outcome", "lc50 = mg/L", "lc50_low = mg/L", "lc50_high = mg/L", "trimmed = %")}
	for _, a := range r.Trials {
		d := a.data()
		for _, x := range d.Objects("readings") {
			groups := x.Objects("groups")
			if x.Has("control") {
				groups = append([]*figure.Object{x.Sub("control")}, groups...)
			}
			for _, g := range groups {
				row := figure.New().Word("trial", a.Name).Word("chemical", a.Chemical).Word("animal", a.Animal).Word("counts", string(a.Basis)).
					Put(x.Fig("at")).Set("outcome", x.Said("outcome")).Join(g)
				if i, ok := x.Get("lc50").(figure.Interval); ok {
					low, high := i.Ends()
					row.Put(i.Figure, low.As("lc50_low"), high.As("lc50_high"), x.Fig("trimmed"))
				}
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}
