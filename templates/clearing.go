package templates

import (
	"math"
	"slices"
	"strings"

	"jarwright/dosing/clearing"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// ClearingReport is the answer of "trial" of a unit that clears a tank.
type ClearingReport struct {
	clearing.Judged
	// File is what it was read from.
	File string
	// Entry is what to put into the site, where Entered.
	Entry   clearing.Entry
	Entered bool
}

// Clearing makes the report of a judged trial.
func Clearing(j clearing.Judged, file string) ClearingReport {
	r := ClearingReport{Judged: j, File: file}
	r.Entry, r.Entered = j.Enter()
	return r
}

// named is what the site calls the trial: its name, or that of the one run that it enters, its file and the day of that run.
func (r ClearingReport) named() string {
	name, day := r.Name, ""
	if r.Entered {
		x := r.Results[r.Entry.Run]
		day = x.Date
		if name == "" && x.Named && len(r.Entry.Runs) == 1 {
			name = x.Name
		}
	}
	return joined(", ", name, r.File, day)
}

// Text implements [Report].
func (r ClearingReport) Text(t *Text, o Options) {
	d := r.data()
	t.Answer(r.answer(o, d))
	notes := r.notes()
	t.noted("Look at this first", notes.Only(note.Caution))
	t.Blank()
	for _, x := range d.Objects("groups") {
		t.Item("-", o.Show(x.Get("says")))
	}
	for i, x := range d.Objects("comparisons") {
		if !r.inGroups(r.Comparisons[i]) {
			t.Item("-", o.Show(x.Get("says")))
		}
	}
	runs := d.Objects("runs")
	for i, x := range r.Results {
		if len(r.Results) == 1 || !x.Outcome.Tells() {
			t.Item("-", o.Show(r.lead(x, runs[i])))
		}
	}
	r.runs(t, runs)
	r.remarks(t, runs)
	r.times(t, runs)
	r.source(t, d)
	r.flows(t, runs)
	r.bins(t, runs)
	r.enter(t, d.Sub("enter"))
	if o.Explain {
		t.steps("Working", clearingWorking)
	}
	t.list("What this rests on", r.assumed(o))
	t.noted("To bear in mind", notes.Only(note.Info))
}

// answer is the capture of the run that the site is told, or why there is none.
func (r ClearingReport) answer(o Options, d *figure.Object) Answer {
	out := Answer{Title: "Clearing trial of the unit", Place: joined(", ", r.Name, r.File), When: dated(o.Date)}
	if !r.Entered {
		x := r.Results[0]
		if i := slices.IndexFunc(r.Results, func(x clearing.Result) bool { return !x.Off }); i >= 0 {
			x = r.Results[i]
		}
		n := Number{For: "What a pass takes out", Words: "Not told"}
		if x.Outcome == clearing.Blank {
			n.For = "Without the unit"
		}
		if x.Outcome == clearing.TooFew && x.Capture.V > 0 {
			n = Number{For: "From end to end, a pass takes out at least", Value: d.Objects("runs")[0].Fig("capture_at_least"), Under: "no interval: too few readings"}
		}
		out.Numbers, out.Order = []Number{n}, remedyOf[x.Outcome]
		if x.Outcome == clearing.TooFew && x.OfPairs.OK {
			out.Numbers[0].For = strings.Replace(n.For, "From end to end, a pass takes out at least", "By inlet and outlet, a pass takes out", 1)
			out.Numbers[0].Under = strings.Replace(n.Under, "too few readings", "too few pairs", 1)
			out.Order = "Read inlet and outlet six times or more, after three times the unit's detention of steady running."
		}
		switch first := r.firstLook(x); {
		case first != "":
			out.Order = first
		case x.Doubtful:
			out.Order = "Look at volume and flow: beside the readings they make no sense."
		case x.Outcome.Tells() && x.Outcome != clearing.NotMixed: // its lower end is nothing
			out.Order = "Run it with the unit off for longer: as it is, settling alone may have cleared the tank."
		}
		return out
	}
	x, e := r.Results[r.Entry.Run], d.Sub("enter")
	low := e.Fig("capture_low")
	n := Number{For: "A pass takes out", Value: e.Fig("capture")}
	if x.Outcome == clearing.FloorUnknown {
		n.For, n.Value = "A pass takes out at least", low
		out.Sure = o.Say("With %s confidence.", share("", clearing.Sure).In(figure.Brief))
	} else {
		out.Sure = o.Say("%s to %s, with %s confidence.", unitless(low), e.Fig("capture_high"), share("", clearing.Sure).In(figure.Brief))
	}
	switch names := r.namesOf(r.Entry.Runs); {
	case len(names) > 1:
		n.For += r.setting(o)
		n.Under = o.Say("the mean of %s runs: %s", len(names), strings.Join(names, ", "))
	case len(r.Results) > 1:
		n.For += ": " + x.Name
	}
	out.Numbers = []Number{n}
	out.Order, out.Detail = r.order(x), ""
	return out
}

// namesOf are the names of some runs.
func (r ClearingReport) namesOf(runs []int) (out []string) {
	for _, i := range runs {
		out = append(out, r.Results[i].Name)
	}
	return out
}

// setting says how the runs that the site is told of were set, where others were set otherwise.
func (r ClearingReport) setting(o Options) string {
	for _, g := range r.Groups {
		if slices.Contains(g.A, r.Entry.Run) || slices.Contains(g.B, r.Entry.Run) {
			return " " + o.Say("%s", r.with(r.Results[r.Entry.Run], g.Differs))
		}
	}
	return ""
}

// remedyOf is what to do where a run tells no capture.
var remedyOf = map[clearing.Outcome]string{
	clearing.TooFew:      "Read the tank seven to nine times, the last two long after it looks clear: \"jarwright new trial FILE --of unit\" writes when.",
	clearing.TooShort:    "Run it longer: until the reading has fallen to a fifth at least.",
	clearing.Rises:       "Find what muddies the tank, and stop it for the trial; look whether the unit ran.",
	clearing.WaterAdded:  "Give the readings before or after the water came in as a run of their own.",
	clearing.StepsUp:     "Run it again without feeding or work in the tank, or give the readings before or after the step as a run of their own.",
	clearing.NotMixed:    "Look at flow, volume and mixing: a mixed tank cannot clear so fast.",
	clearing.SourceGrows: "Hold what comes in steady, as by no feeding and no work in the tank, and run it again.",
	clearing.RateOnly:    "Give the flow through the unit and the volume of all the water that goes round.",
	clearing.Blank:       "Now run the same water with the unit on.",
}

// order is what to do with the answer.
func (r ClearingReport) order(x clearing.Result) string {
	switch first := r.firstLook(x); {
	case first != "":
		return first
	case x.Outcome == clearing.FloorUnknown:
		return "Go by the lower end, and run the next trial until the reading stands still."
	}
	for _, pair := range r.Unexplained() {
		if slices.Contains(pair[:], r.Entry.Run) {
			return "Find what was not the same in " + r.Results[pair[0]].Name + " and " + r.Results[pair[1]].Name + "; until then the lower goes into the site, as said below."
		}
	}
	if !x.Balanced() {
		return "Weigh the bin again before the figures go into the site: what it held and what left the water by the readings do not agree."
	}
	if u := r.Entry.Unlike; u != nil {
		return "Put the figures into the site as said below: of " + strings.Join(r.namesOf(u.Runs), ", ") + " and " + strings.Join(r.namesOf(r.Entry.Runs), ", ") + ", which are not shown to differ, they are the lower."
	}
	for _, g := range r.Groups {
		if (g.Verdict == clearing.More || g.Verdict == clearing.Less) && !g.Confounded && slices.Contains(g.Differs, clearing.ByPolymer) {
			return "Dose as in the better runs, and put the figures into the site as said below."
		}
		if (g.Verdict == clearing.More || g.Verdict == clearing.Less) && !g.Confounded && slices.Contains(g.Differs, clearing.ByName) && slices.Contains(slices.Concat(g.A, g.B), r.Entry.Run) {
			return "Run it as in " + x.Name + ", and put the figures into the site as said below."
		}
	}
	for _, c := range r.Comparisons {
		if r.inGroups(c) {
			continue
		}
		if c.A != r.Entry.Run && c.B != r.Entry.Run || c.Verdict != clearing.More && c.Verdict != clearing.Less || c.Confounded {
			continue
		}
		if slices.Contains(c.Differs, clearing.ByPolymer) && r.Results[c.A].Polymer.V != r.Results[c.B].Polymer.V {
			return "Dose as in that run, and put the figures into the site as said below."
		}
		switch {
		case slices.Contains(c.Differs, clearing.ByCoagulant):
			return "Dose as in that run, and put the figures into the site as said below."
		case slices.Contains(c.Differs, clearing.BySkim):
			return "Skim as in that run, and put the figures into the site as said below."
		}
		if slices.Contains(c.Differs, clearing.ByName) {
			return "Run it as in " + x.Name + ", and put the figures into the site as said below."
		}
	}
	return "Put the figures into the site as said below."
}

// firstLooks are what has to be looked at before any figure of a run, by the notes that tell of it; the first that a run has counts.
var firstLooks = []struct{ code, order string }{
	{"reading-off", "Look first at %s: was it written right? It may change all that follows."},
	{"flow-far", "Look first at %s: was it written right? It may change all that follows."},
	{"code-for-reading", "Look first at %s: it looks like the sign of an instrument for no reading."},
	{"changed-meanwhile", "Look first at what was written at %s: something was put in or changed, and the figures may not hold. Give the readings before or after it as a run of their own."},
	{"stopped-meanwhile", "Look first at what was written at %s: give the time that the unit stood as a flow of 0, or take it off all later times."},
}

// firstLook is what has to be looked at before the figures of a run; empty for nothing.
func (r ClearingReport) firstLook(x clearing.Result) string {
	if x.Changed() {
		return "Look first whether inlet and outlet are changed round: the outlet reads more than the inlet."
	}
	own := func(n note.Note) bool {
		in := func(p note.Place) bool { return p.Cell != "" && p == n.Place }
		return slices.ContainsFunc(x.Notes, func(m note.Note) bool { return m.Code == n.Code && m.Place == n.Place }) ||
			slices.ContainsFunc(x.Remarks, func(m clearing.Remark) bool { return in(m.Place) }) ||
			slices.ContainsFunc(x.Readings, func(y clearing.Reading) bool { return in(y.Tank.At) || in(y.In.At) || in(y.Out.At) })
	}
	for _, look := range firstLooks {
		for _, n := range r.notes() {
			if n.Code != look.code || !own(n) {
				continue
			}
			what := n.Cell
			for _, end := range [...]string{" lies far off", " looks like"} {
				if is, _, ok := strings.Cut(n.Message, end); ok {
					what = strings.ToLower(is[:1]) + is[1:] + " (" + n.Cell + ")"
				}
			}
			return strings.Replace(look.order, "%s", what, 1)
		}
	}
	return ""
}

// takes says what a pass takes out in a run, "61 % (55 to 66)".
func takes(x *figure.Object) figure.Phrase {
	i, ok := x.Get("capture").(figure.Interval)
	if !ok {
		return figure.Say("%s or more", x.Fig("capture_at_least")).If(!x.Has("capture_at_least"), "")
	}
	low, high := i.Ends()
	return figure.Say("%s (%s to %s)", i.Figure, unitless(low), unitless(high))
}

// with names a run within a sentence: by what was set otherwise, else by its name.
func (r ClearingReport) with(x clearing.Result, differs []clearing.Differs) figure.Phrase {
	var parts []any
	for _, d := range differs {
		switch d {
		case clearing.ByPolymer:
			if x.Polymer.V == 0 {
				parts = append(parts, "without polymer")
			} else {
				parts = append(parts, figure.Say("with %s of polymer", mgL("", x.Polymer.V, 3)))
			}
		case clearing.ByCoagulant:
			if x.Coagulant.V == 0 {
				parts = append(parts, "without coagulant")
			} else {
				parts = append(parts, figure.Say("with %s of coagulant", mgL("", x.Coagulant.V, 3)))
			}
		case clearing.ByFlow:
			parts = append(parts, figure.Say("at %s", water("", x.Flow.V)))
		case clearing.BySkim:
			parts = append(parts, figure.Say("skimmed every %s", figure.Of("", figure.Fixed{Q: x.Skim.V, Unit: "min"}, "min", 3)))
		}
	}
	if len(parts) == 0 {
		return figure.Say(either(strings.HasPrefix(strings.ToLower(x.Name), "run "), "in %s", "in run “%s”"), x.Name)
	}
	return figure.And(", ", parts...)
}

// compared is a comparison in words that somebody can act on.
func (r ClearingReport) compared(c clearing.Comparison) figure.Phrase {
	a, b := r.Results[c.A], r.Results[c.B]
	if c.Verdict == clearing.Less { // the better one first
		a, b = b, a
		c.Points = clearing.Estimate[quantity.Fraction]{V: -c.Points.V, Low: minus(c.Points.High), High: minus(c.Points.Low)}
		if c.Faster >= 0 {
			c.Faster = 1 - c.Faster
		}
	}
	x, y := r.runData(a), r.runData(b)
	p := figure.Say("%s and %s are not compared: %s tells no capture.", a.Name, b.Name, either(a.Outcome.Tells(), b.Name, a.Name))
	if c.Verdict == clearing.CannotTell {
		return p
	}
	p = figure.Say("%s a pass takes out %s, %s %s", upperPhrase(r.with(a, c.Differs)), takes(x), r.with(b, c.Differs), takes(y))
	low, high := points("", c.Points.Low.V), points("", c.Points.High.V)
	if c.Verdict == clearing.NotShown {
		p = p.And(": no difference is shown. It may be anything from %s fewer to %s more", unitless(points("", -c.Points.Low.V)), high)
	} else {
		p = p.And(": %s more (%s to %s, with %s confidence)", points("", c.Points.V), unitless(low), unitless(high), share("", clearing.SureOfDifference).In(figure.Brief))
	}
	p = p.And(".")
	if slices.Contains(c.Differs, clearing.ByFlow) && x.Has("cleared") && y.Has("cleared") {
		p = p.And(" It clears %s, and %s %s: ", x.Fig("cleared"), r.with(b, []clearing.Differs{clearing.ByFlow}), y.Fig("cleared"))
		switch c.Faster {
		case 0:
			p = p.And("so the tank is clear sooner %s.", r.with(a, []clearing.Differs{clearing.ByFlow}))
		case 1:
			p = p.And("so the tank is clear sooner %s", r.with(b, []clearing.Differs{clearing.ByFlow})).If(c.Verdict != clearing.NotShown, ", though a pass takes out less").And(".")
		default:
			p = p.And("neither is shown to clear the tank sooner.")
		}
	}
	others := slices.DeleteFunc(slices.Clone(c.Differs), func(d clearing.Differs) bool { return d == clearing.ByStart || d == clearing.ByWarmth })
	p = p.If(len(others) > 1, " Both were set otherwise, so neither alone can be held to account.").
		If(slices.Contains(c.Differs, clearing.ByStart), " The water did not start as muddy in both.").
		If(slices.Contains(c.Differs, clearing.ByWarmth), " It was not as warm in both.")
	return p.If(c.Confounded && c.Verdict != clearing.NotShown, " Only one order was run, so that the age of the solids may have a part in it: run them once more the other way round.")
}

// grouped is a comparison of two settings by all their runs.
func (r ClearingReport) grouped(g clearing.Grouped) figure.Phrase {
	a, b, ofA, ofB := g.A, g.B, g.OfA, g.OfB
	if g.Verdict == clearing.Less { // the better one first
		a, b, ofA, ofB = b, a, ofB, ofA
		g.Points = clearing.Estimate[quantity.Fraction]{V: -g.Points.V, Low: minus(g.Points.High), High: minus(g.Points.Low)}
	}
	of := func(runs []int) figure.Phrase { return r.with(r.Results[runs[0]], g.Differs) }
	p := figure.Say("%s a pass takes out %s over %s runs, %s %s over %s", upperPhrase(of(a)), caught("", ofA), len(a), of(b), caught("", ofB), len(b))
	low, high := points("", g.Points.Low.V), points("", g.Points.High.V)
	if g.Verdict == clearing.NotShown {
		p = p.And(": no difference is shown. It may be anything from %s fewer to %s more.", unitless(points("", -g.Points.Low.V)), high)
	} else {
		p = p.And(": %s more (%s to %s, with %s confidence).", points("", g.Points.V), unitless(low), unitless(high), share("", clearing.SureOfDifference).In(figure.Brief))
	}
	return p.If(g.Apart, " Runs of one setting differ by more than their readings scatter: look what else changed between them.").
		If(g.Confounded && g.Verdict != clearing.NotShown, " Only one order was run, so that the age of the solids may have a part in it: run them once more the other way round.")
}

// inGroups reports two runs that groups speak for.
func (r ClearingReport) inGroups(c clearing.Comparison) bool {
	return slices.ContainsFunc(r.Groups, func(g clearing.Grouped) bool {
		all := slices.Concat(g.A, g.B)
		return slices.Contains(all, c.A) && slices.Contains(all, c.B)
	})
}

// minus turns an end of an interval about.
func minus(k quantity.Known[quantity.Fraction]) quantity.Known[quantity.Fraction] {
	k.V = -k.V
	return k
}

// upperPhrase begins a phrase with a capital.
func upperPhrase(p figure.Phrase) figure.Phrase {
	if strings.HasPrefix(p.Format, "%s") && len(p.Args) > 0 {
		switch a := p.Args[0].(type) {
		case figure.Phrase:
			p.Args = append([]any{upperPhrase(a)}, p.Args[1:]...)
		case string:
			p.Args = append([]any{upperFirst(a)}, p.Args[1:]...)
		}
		return p
	}
	p.Format = upperFirst(p.Format)
	return p
}

// lead is what a run alone tells, in a sentence or two.
func (r ClearingReport) lead(x clearing.Result, d *figure.Object) figure.Phrase {
	name := figure.Say("").If(len(r.Results) > 1, "%s: ", upperFirst(x.Name))
	few := func(p figure.Phrase) figure.Phrase {
		if x.OfPairs.OK {
			return p.If(d.Has("capture_at_least"), " By these a pass takes out %s; that is no more than a guess.", d.Fig("capture_at_least"))
		}
		return p.If(d.Has("capture_at_least"), " From the first to the last reading alone a pass takes out %s or more; that is no more than a guess.", d.Fig("capture_at_least"))
	}
	switch x.Outcome {
	case clearing.Found:
		floor := d.Get("floor").(figure.Interval)
		return figure.Say("%sA pass takes out %s, and %s never comes out at this flow (%s of the start).", name, takes(d), floor, d.Fig("floor_share"))
	case clearing.FloorUnknown:
		floor := d.Get("floor").(figure.Interval)
		low, high := floor.Ends()
		c := d.Get("capture").(figure.Interval)
		least, most := c.Ends()
		return figure.Say("%sA pass takes out at least %s, at most %s: the run ended before the reading stood still, so that what never comes out may be anything", name, least, most).
			If(high.Known(), " from %s to %s.", unitless(low), high).If(!high.Known(), ".")
	case clearing.NotMixed:
		c := d.Get("capture").(figure.Interval)
		least, _ := c.Ends()
		return figure.Say("%sThe tank clears faster than the unit can clear a mixed one, even if a pass took out everything. So it is not mixed, or its volume is smaller, the flow larger than said, or solids settle in it: look which. Where volume and flow are right, nothing settles and the water goes round as a plug, a pass takes out at least %s.", name, least)
	case clearing.Pairs:
		return figure.Say("%sBy inlet and outlet a pass takes out %s (%s pairs).", name, takes(d), d.Fig("by_pairs.pairs")).
			If(x.OfPairs.V.Few(), " Six pairs or more tell it better.").If(d.Has("floor"), " It gets no lower than %s.", d.Fig("floor"))
	case clearing.StepsUp:
		return figure.Say("%sThe reading steps up from %s to %s at %s: solids came in at once, as by feeding, stirred mud or a unit that stood. So the run is not one course and tells no capture.", name, d.Fig("step.from"), d.Fig("step.to"), d.Fig("step.at"))
	case clearing.WaterAdded:
		return figure.Say("%sThe volume rises while the unit runs. What came in thinned the water by an amount that nobody knows, so the run is not one course and tells no capture.", name)
	case clearing.RateOnly:
		return figure.Say("%sWhat can come out falls to half in %s. Without volume and flow that is no capture.", name, d.Fig("half_time"))
	case clearing.Blank:
		s, rise := d.Get("settles").(figure.Interval), d.Get("rise").(figure.Interval)
		sl, sh := s.Ends()
		rl, rh := rise.Ends()
		switch {
		case x.Settles.V > 0:
			return figure.Say("%sWith the unit off the tank clears by itself by %s (%s to %s): solids settle in it. That is taken off what the unit does, and its doubt counts in that of the unit.", name, s.Figure, unitless(sl), unitless(sh))
		case x.Rise.V > 0:
			return figure.Say("%sWith the unit off the reading rises by %s (%s to %s): that is what comes in.", name, rise.Figure, unitless(rl), unitless(rh))
		}
		return figure.Say("%sWith the unit off the reading stands: nothing is shown to settle (no more than %s), or to come in (no more than %s).", name, sh, rh)
	case clearing.TooFew:
		return few(figure.Say("%sToo few readings: a course takes four at different times, and seven to nine tell it well.", name))
	case clearing.TooShort:
		return figure.Say("%sThe readings fall no more than they scatter, so that they tell no capture. The run was too short, or hardly anything comes out.", name)
	case clearing.Rises:
		return figure.Say("%sThe readings rise: more comes in than the unit takes out, or it did not run. They tell no capture.", name)
	default:
		return figure.Say("%sThe reading falls and rises again: what comes in grew while the unit ran, and nobody knows by how much. They tell no capture.", name)
	}
}

// outcomeBrief is an outcome in a cell.
var outcomeBrief = map[clearing.Outcome]string{clearing.Found: "", clearing.FloorUnknown: "at least the lower end", clearing.NotMixed: "not mixed: at least", clearing.Pairs: "by pairs",
	clearing.RateOnly: "no volume or flow", clearing.Blank: "unit off", clearing.TooFew: "too few readings", clearing.TooShort: "too short", clearing.Rises: "rises", clearing.SourceGrows: "falls and rises",
	clearing.StepsUp: "steps up", clearing.WaterAdded: "water added"}

// runs is the table of all runs.
func (r ClearingReport) runs(t *Text, list []*figure.Object) {
	tells := slices.ContainsFunc(list, func(x *figure.Object) bool { return x.Has("time_constant") || x.Has("capture") })
	if !tells && len(list) == 1 {
		return
	}
	t.Head("The runs")
	some := func(path string) bool {
		return slices.ContainsFunc(list, func(x *figure.Object) bool { return x.Has(path) })
	}
	need := func(path, head string) string { return either(some(path), head, absent) }
	within := func(of figure.Figure, x *figure.Object, path string) any {
		i, ok := x.Get(path).(figure.Interval)
		if !ok {
			return or(of, "")
		}
		low, high := i.Ends()
		ends := figure.Say("%s to %s", or(unitless(low), "open"), or(unitless(high), "open"))
		if !of.Known() {
			return ends
		}
		return figure.Say("%s (%s)", of, ends)
	}
	t.each(cols("run", need("flow", ">flow"), need("polymer", ">polymer"), either(slices.ContainsFunc(r.Results, func(x clearing.Result) bool { return x.Coagulant.V > 0 }), ">coagulant", absent), "takes out", need("half_time", ">half in"), need("floor", "never out"), ""), list,
		func(i int, x *figure.Object) []any {
			takes := within(either(x.Has("capture"), x.Fig("capture"), x.Fig("capture_at_least")), x, "capture")
			half := or(x.Fig("half_time"), "")
			if c := r.Results[i].Capture; r.Results[i].Outcome == clearing.FloorUnknown && c.V >= 1 { // a guess that is no find
				low, _ := x.Get("capture").(figure.Interval).Ends()
				takes, half = figure.Say("%s or more", low), ""
			}
			return []any{x.Said("name"), or(x.Fig("flow"), ""), or(x.Fig("polymer"), ""), or(x.Fig("coagulant"), ""), takes, half,
				within(x.Fig("floor").If(r.Results[i].Floor.Low.V > 0), x, "floor"), outcomeBrief[r.Results[i].Outcome]}
		})
	if !tells {
		return
	}
	t.Say("In brackets: %s intervals. Half in: the time in which what can come out falls to half. Never out: where the reading would stand still at that flow.", share("", clearing.Sure).In(figure.Brief))
	for i, x := range list {
		if x.Has("by_pairs") && r.Results[i].Outcome != clearing.Pairs && r.Results[i].OfPairs.V.Capture.Bounded() {
			t.Say("%s: inlet and outlet say %s by themselves, %s.", upperFirst(x.Said("name")), takes(x.Sub("by_pairs")), agreement(r.Results[i]))
		}
	}
}

// remarks are what was written beside the rows of the runs.
func (r ClearingReport) remarks(t *Text, list []*figure.Object) {
	said := func(x *figure.Object) bool { return len(x.Objects("remarks")) > 0 }
	if !slices.ContainsFunc(list, said) {
		return
	}
	t.Head("What was written beside them")
	seen := map[string]bool{}
	for _, x := range list {
		for _, m := range x.Objects("remarks") {
			if cell := m.Said("cell"); !seen[cell] { // runs beside each other share their rows
				seen[cell] = true
				t.Item("-", t.opt.Show(figure.Say("%s", upperFirst(x.Said("name"))).If(m.Has("at"), ", at %s", m.Fig("at")).And(": “%s”", m.Said("text"))))
			}
		}
	}
}

// agreement says whether the pairs of a run and its course say the same.
func agreement(x clearing.Result) string {
	p, c := x.OfPairs.V.Capture, x.Capture
	switch {
	case !c.Bounded():
		return "and the tank tells nothing"
	case p.Low.V > c.High.V:
		return "more than the tank shows: part of its water may stand aside, or more comes in than one thinks"
	case p.High.V < c.Low.V:
		return "less than the tank shows: solids may settle in it"
	}
	return "as the tank does"
}

// times is when the tank is at the reading asked for.
func (r ClearingReport) times(t *Text, list []*figure.Object) {
	if !slices.ContainsFunc(list, func(x *figure.Object) bool { return x.Has("time_to") }) {
		return
	}
	first := list[slices.IndexFunc(list, func(x *figure.Object) bool { return x.Has("time_to") })]
	t.Head(t.opt.Say("Time to %s", first.Fig("time_to.reading")))
	for _, x := range list {
		d := x.Sub("time_to")
		switch {
		case !x.Has("time_to"):
		case r.below(x):
			t.Item("-", t.opt.Say("%s: it is below already, %s at the start.", upperFirst(x.Said("name")), x.Fig("start")))
		case d.Get("reached") != true && d.Has("low"):
			t.Item("-", t.opt.Say("%s: never, as it looks: %s never comes out at that flow. It would take %s at the very least.", upperFirst(x.Said("name")), x.Fig("floor"), d.Fig("low")))
		case d.Get("reached") != true:
			t.Item("-", t.opt.Say("%s: never: %s never comes out at that flow.", upperFirst(x.Said("name")), x.Fig("floor")))
		default:
			t.Item("-", t.opt.Show(figure.Say("%s: %s from the start", upperFirst(x.Said("name")), d.Fig("value")).If(d.Has("high"), " (%s to %s)", unitless(d.Fig("low")), unitless(d.Fig("high"))).
				If(!d.Has("high"), " (%s or longer; it may never get there)", unitless(d.Fig("low"))).If(d.Get("beyond_readings") == true, ". That is after the last reading, so told by the course alone").And(".")))
		}
	}
}

// below reports a run that begins below the reading asked for.
func (r ClearingReport) below(x *figure.Object) bool {
	if !x.Has("start") || !x.Has("time_to.reading") {
		return false
	}
	start, _ := x.Fig("start").Document()
	goal, _ := x.Fig("time_to.reading").Document()
	return start <= goal
}

// source tells what a pass cannot take from what comes in.
func (r ClearingReport) source(t *Text, d *figure.Object) {
	told := slices.ContainsFunc(r.Results, func(x clearing.Result) bool { return x.Outcome == clearing.Found })
	switch s := d.Sub("source"); {
	case d.Has("source") && s.Get("shown") == true:
		t.Head("What comes in")
		t.Say("%s: the reading would rise by %s with the unit off, and a pass gets no lower than %s.", either(r.Source.V.Blank, "By the run with the unit off", "By runs at two flows"), s.Get("rise"), s.Get("floor"))
	case d.Has("source"):
		rise := s.Get("rise").(figure.Interval)
		_, high := rise.Ends()
		t.Head("What comes in")
		t.Say("Nothing is shown to come in: %s at most.", high)
	case told:
		t.Head("What comes in")
		t.Say("What never comes out is what a pass cannot take, and what comes in all the while. One flow does not tell the two apart: a run at another flow, or one with the unit off, does.")
	}
}

// flows says what the flow does, where runs have several and nothing else is set otherwise.
func (r ClearingReport) flows(t *Text, list []*figure.Object) {
	rows := slices.DeleteFunc(slices.Clone(list), func(x *figure.Object) bool { return !x.Has("cleared") || !x.Has("flow") })
	if len(rows) < 2 || !slices.ContainsFunc(r.Comparisons, func(c clearing.Comparison) bool { return slices.Contains(c.Differs, clearing.ByFlow) }) {
		return
	}
	t.Head("By the flow")
	t.each(cols("run", ">flow", ">takes out", ">clears"), rows, func(_ int, x *figure.Object) []any {
		return []any{x.Said("name"), x.Fig("flow"), or(x.Fig("capture"), ""), x.Fig("cleared")}
	})
	t.Say("What clears the tank is the capture times the flow. Where more flow clears no more, the unit is at its end: run it slower and save the pumping.")
}

// bins holds what was weighed against what left the water.
func (r ClearingReport) bins(t *Text, list []*figure.Object) {
	if !slices.ContainsFunc(list, func(x *figure.Object) bool { return x.Has("closure") }) {
		return
	}
	t.Head("Solids in the bin")
	for i, x := range list {
		c := x.Sub("closure")
		if !x.Has("closure") {
			continue
		}
		k := r.Results[i].Closure.V
		says := figure.Say("%s: the bin held %s of dry solids, %s of the %s that left the water by its readings", upperFirst(x.Said("name")), c.Fig("weighed"), c.Fig("share"), c.Fig("gone")).
			If(c.Has("made"), " and the %s of "+either(k.OfCoagulant > 0, "what the chemicals made", "polymer"), c.Fig("made")).
			If(k.Uncounted, ", what the coagulant made not counted").And(". ")
		unit := r.Results[i].Key.Info().Unit
		switch {
		case k.Share < clearing.TooLittle:
			says = says.And("That is little: solids settle in the tank, or leave it elsewhere.")
		case k.Share > clearing.TooMuch:
			says = says.And("That is more than left: solids came in meanwhile, or the readings count them too low.")
		case k.Share < clearing.GoodFrom || k.Share > clearing.GoodTo:
			says = says.And("That closes badly: weigh again.")
		default:
			says = says.And("That closes.")
		}
		says = says.If(k.Assumed && math.Abs(k.Fits/k.PerUnit-1) > 0.05 && k.Share >= clearing.TooLittle && k.Share <= clearing.TooMuch && !k.Uncounted, " It closes fully with %s mg/L of solids for each %s, where %s was taken: %s.", c.Fig("fits"), unit, c.Fig("solids_per_unit"),
			either(k.Share < clearing.GoodFrom || k.Share > clearing.GoodTo, "where a second weighing says the same, put that into the site", "put that into the site"))
		t.Item("-", t.opt.Show(says))
	}
}

// enter is what the site is told.
func (r ClearingReport) enter(t *Text, e *figure.Object) {
	t.Head("What to put into the site")
	if !r.Entered {
		t.Say("Nothing: no run tells for sure what a pass takes out.")
		return
	}
	x := r.Results[r.Entry.Run]
	t.Para("Under Solids:")
	l := facts{{"solids caught", figure.Say("%s", e.Fig("capture")).If(r.Entry.Low.V < r.Entry.Capture, "; or %s, the lower end, to be on the safe side", e.Fig("capture_low"))}}
	l.when(e.Has("bare"), "caught undosed", e.Fig("bare"))
	l.when(e.Has("floor"), "outlet at best", figure.Say("%s", e.Fig("floor")).If(r.Entry.Together, ", what comes in counted in").
		If(x.Key != jartest.Turbidity, ", of a tank whose readings in the site are in %s too", x.Key.Info().Unit))
	l.when(e.Has("rise"), "turbidity coming in", e.Fig("rise"))
	l.when(e.Said("trial") != "", "clearing trial", e.Said("trial"))
	t.Facts(l)
	for _, y := range e.Objects("others") {
		c := y.Fig("capture")
		t.Say("These are of \"%s\". Where the unit will run as in \"%s\", solids caught is %s.", e.Said("run"), y.Said("run"), either(c.Known(), c, y.Fig("capture_low")))
	}
	t.Say("`plan` and `clarify` then go by them, and `clarify` names this trial.%s", figure.Say("").If(x.Outcome == clearing.FloorUnknown, " What never comes out is not known: leave outlet at best as it is."))
}

// ForSite are the fields of the site, under Solids, that the trial answers, each as it is typed there.
func (r ClearingReport) ForSite(o Options) (out [][2]string) {
	if !r.Entered {
		return nil
	}
	e := r.enterData()
	for _, x := range [...][2]string{{"solids caught", "capture"}, {"caught undosed", "bare"}, {"outlet at best", "floor"}, {"turbidity coming in", "rise"}} {
		if e.Has(x[1]) {
			out = append(out, [2]string{x[0], strings.Join(strings.Fields(o.Say("%s", e.Fig(x[1]))), " ")})
		}
	}
	if name := e.Said("trial"); name != "" {
		out = append(out, [2]string{"clearing trial", name})
	}
	return out
}

// assumed is what the figures rest on.
func (r ClearingReport) assumed(o Options) (out []string) {
	some := func(is func(clearing.Result) bool) bool { return slices.ContainsFunc(r.Results, is) }
	tells := func(x clearing.Result) bool { return x.Outcome == clearing.Found || x.Outcome == clearing.FloorUnknown }
	if i := slices.IndexFunc(r.Results, func(x clearing.Result) bool { return tells(x) && !x.Raceway && x.Plug > 0 }); i >= 0 {
		at := i
		if r.Entered && tells(r.Results[r.Entry.Run]) {
			at = r.Entry.Run
		}
		out = append(out, o.Say("The tank is mixed. If nothing mixed in it, as in a raceway, a pass would take out %s in place of %s.", caught("", r.Results[at].Plug), caught("", r.Results[at].Capture.V)))
	}
	if some(func(x clearing.Result) bool { return tells(x) && x.VolumeUnsure == 0 && x.FlowUnsure == 0 }) {
		const example quantity.Volume = 60000
		out = append(out, o.Say(`Volume and flow are as said. An error of either is one of the capture, and no interval counts it: write "%s ± 5 %%" where you know how sure they are.`, figure.Of("", example, "m3", 4)))
	}
	if some(tells) && !some(func(x clearing.Result) bool { return x.Off }) {
		out = append(out, "Nothing settles in the tank. What does counts as if the unit caught it: an hour or two with the unit by-passed and the water going round tells.")
	}
	if i := slices.IndexFunc(r.Results, func(x clearing.Result) bool { return x.Settled.V.V > 0 }); i >= 0 {
		out = append(out, o.Say("What the tank loses by itself, %s, is taken off, and its doubt counts.", figure.Figure{Q: figure.Plain{V: 100 * r.Results[i].Settled.V.V, U: "%/h"}, Digits: 2}))
	}
	if i := slices.IndexFunc(r.Results, func(x clearing.Result) bool { return x.Scatter.OK }); i >= 0 {
		worst := quantity.Fraction(0)
		for _, x := range r.Results {
			worst = max(worst, x.Scatter.V)
		}
		out = append(out, o.Say("Readings scatter about their course by %s%s; 5 to 10 %% is usual of a hand meter.", figure.Of("", worst, "%", 2), either(len(r.Results) > 1, " at most", "")))
	}
	if len(r.Comparisons) > 3 {
		out = append(out, "Of many comparisons one in twenty shows a difference by chance.")
	}
	return out
}

// clearingWorking is how the figures come about.
var clearingWorking = []string{
	"a mixed tank clears as C = F + (C0 − F)·exp(−k·t), with k = E·Q/V: capture E, flow Q, volume V, and F what never comes out",
	"the logarithm of C is fitted by least squares over C0 − F, F and k, since the errors of a reading are a share of it; readings in coarse steps weigh less",
	"an interval holds all values that can be imposed without the sum of squares rising by more than t²·s² (profile; t of n − 3 readings)",
	"with a run with the unit off: k less what settles, the ends of both put together (Zou and Donner 2008), what settles never less than nothing",
	"volume and flow: (half the interval of ln E)² and (1.645·their uncertainty)² are added",
	"if nothing mixed in the tank E = 1 − exp(−k·V/Q); above k·V/Q = 1 a tank cannot be mixed",
	"what comes in: F = f + s/k, fitted to the runs of all flows together",
	"inlet and outlet: the mean of ln(outlet/inlet); where the inlet varies threefold, outlet/inlet against 1/inlet",
	"settings run twice or more: each run counts the same; the ends of its runs together, widened where runs of one setting differ by more than chance does",
	"two runs: their scatter pooled where it is alike; the difference of E with both intervals, at 95 %",
}

// Drawing shows the readings of each run with the fitted course, what never comes out and the goal.
func (r ClearingReport) Drawing(o Options) draw.Drawing {
	d := o.drawing("Readings while the unit clears the tank", "")
	for i, x := range r.Results {
		if p, ok := r.panel(o, x); ok {
			d.Panels = append(d.Panels, p)
			run := r.runData(x)
			if x.Outcome.Tells() {
				d.Description += o.Say("%s%s: from %s to %s; a pass takes out %s.", either(d.Description == "", "", " "), upperFirst(x.Name), run.Fig("start"), lastReading(x), takes(run))
			}
			if r.Entered && i == r.Entry.Run {
				d.Title = o.Say("A pass takes out %s%s", takes(run), either(len(r.Results) > 1, ": "+x.Name, ""))
				if n := len(r.Entry.Runs); n > 1 {
					e := r.enterData()
					d.Title = o.Say("A pass takes out %s (%s to %s), the mean of %s runs", e.Fig("capture"), unitless(e.Fig("capture_low")), unitless(e.Fig("capture_high")), n)
				}
			}
		}
	}
	return d
}

// lastReading is that of the tank.
func lastReading(x clearing.Result) figure.Figure {
	for _, y := range slices.Backward(x.Readings) {
		if y.Tank.OK {
			return tankRead(x, "", y.Tank.V)
		}
	}
	return figure.Figure{}
}

// panel is one run; false where its tank was not read.
func (r ClearingReport) panel(o Options, x clearing.Result) (draw.Panel, bool) {
	var read draw.Points
	for _, y := range x.Readings {
		if y.Tank.OK {
			read.At = append(read.At, draw.Point{XY: draw.XY{X: float64(y.At), Y: y.Tank.V}})
		}
	}
	if len(read.At) == 0 {
		return draw.Panel{}, false
	}
	read.Name = "read"
	last := read.At[len(read.At)-1].X
	p := draw.Panel{Title: x.Name, X: draw.Axis{Name: "hours since the start", Zero: true}, Y: draw.Axis{Name: "tank reads", Unit: joined(", ", x.Key.Info().Unit, "log scale"), Log: true}}
	line := draw.Line{Name: "fitted"}
	const steps = 120
	for i := range steps + 1 {
		at := last * float64(i) / steps
		if v, ok := x.Course(quantity.Time(at)); ok {
			line.At = append(line.At, draw.XY{X: at, Y: v})
		}
	}
	if len(line.At) > 0 {
		p.Layers = append(p.Layers, line)
	}
	p.Layers = append(p.Layers, read)
	if x.Outcome == clearing.Found && x.Floor.V > 0 {
		p.Layers = append(p.Layers, draw.Marker{Label: o.Say("never out: %s", tankRead(x, "", x.Floor.V).To(2)), At: x.Floor.V, Stroke: draw.Dotted, Tone: draw.Doubt})
	}
	if x.Goal.OK {
		p.Layers = append(p.Layers, draw.Marker{Label: o.Say("goal: %s", tankRead(x, "", x.Goal.V)), At: x.Goal.V, Stroke: draw.Dashed, Tone: draw.Limit})
	}
	return p, true
}
