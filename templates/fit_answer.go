package templates

import (
	"cmp"
	"fmt"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// several is the answer for several series at once: how many have a dose.
func (f FitReport) several(o Options, n int) Answer {
	planned := 0
	for _, r := range f.Results {
		planned += either(r.HasPlanning || r.Factor == "ph" && r.Outcome == curve.Found, 1, 0)
	}
	for _, r := range f.Surfaces {
		planned += either(r.HasPlanning, 1, 0)
	}
	a := Answer{Title: "Lowest dose that works", Place: fmt.Sprintf("%d jar tests", n), When: dated(o.Date)}
	a.Numbers = []Number{{For: "Tests that give an answer", Words: fmt.Sprintf("%d of %d", planned, n)}}
	if i := slices.IndexFunc(f.Results, func(r curve.Result) bool { return r.HasPlanning }); planned == 1 && i >= 0 {
		one := fitSeries{f.Results[i], fitData(f.Results[i])}.reply(o)
		a.Numbers, a.Sure = one.Numbers, fmt.Sprintf("Of %d tests only “%s” gives an answer. ", n, one.Place)+one.Sure
	}
	a.Order = either(planned == 1, "Take it where the water of that test is today's; else test again.", either(planned > 0, "Take the dose of the test whose water is today's.", "Dose nothing by these tests: each says below what to test next."))
	if slices.ContainsFunc(slices.Concat(f.notesOfResults()...), doubtsUnit) {
		a.Order = "Dose nothing by a test whose unit is in doubt: each says so below."
	}
	return a
}

// notesOfResults are what is said of each series.
func (f FitReport) notesOfResults() (out []note.List) {
	for _, r := range f.Results {
		out = append(out, r.Notes)
	}
	for _, r := range f.Surfaces {
		out = append(out, r.Notes)
	}
	return out
}

// testDay is the day that a test has on its sheet, else that of the document.
func testDay(s jartest.Sample, o Options) string { return cmp.Or(datedText(s.Date), dated(o.Date)) }

// goal is what a dose is sought for: the targets, else the reading itself.
func goal(targets []jartest.Target, response jartest.Key) figure.Phrase {
	if len(targets) == 0 {
		return figure.Say("%s", response.Info().Label)
	}
	return targetsPhrase(targets)
}

// reply is what the jars of a series say, in one number.
func (r fitSeries) reply(o Options) Answer {
	a := Answer{Title: "Lowest dose that works", Place: seriesName(r.Series, r.Place), When: testDay(r.Sample, o), Stops: atLeastCaution(r.Notes)}
	n := Number{For: o.Say("Planning dose of %s for %s", cmp.Or(r.Chemical.Name, "the chemical"), goal(r.Targets, r.Response))}
	switch {
	case r.Factor == "ph":
		a.Title, n.For = "The best pH", o.Say("Best pH for %s", goal(r.Targets, r.Response))
		if n.Words = "No best pH"; r.Outcome == curve.Found {
			n.Words, n.Value = "", r.d.Fig("optimum_ph.value")
			a.Sure = o.Say("%s, 90 %% interval.", interval(r.d.Sub("optimum_ph")))
			a.Order = "Hold this pH, look at the water, then test the dose at it."
			break
		}
		n.Under, a.Order = outcomeWords(r.Outcome), "Test other pH, or two jars at each, before you hold one."
	case r.HasPlanning:
		n.Value, n.Under = r.d.Fig("planning_dose.value"), either(r.Chemical.Basis == quantity.NotStated, "", r.Chemical.Basis.String())
		a.Sure, a.Chances = r.tradeOff(o), r.chances(o)
		a.Order = o.Say("Dose %s, look at the water, then test again.", r.plan())
	default:
		n.For = o.Say("Dose of %s for %s", cmp.Or(r.Chemical.Name, "the chemical"), goal(r.Targets, r.Response))
		n.Words, n.Under = "No dose", either(r.Outcome == curve.Found, "none is sure enough", outcomeWords(r.Outcome))
		a.Order = cmp.Or(noDose[r.Outcome], noDose[curve.Ambiguous])
	}
	n.Value.Basis = quantity.NotStated
	if r.HasPlanning && slices.ContainsFunc(r.Notes, doubtsUnit) {
		n.Words, n.Under = "Is the unit right?", o.Say("as it stands the planning dose is %s", n.Value)
		n.Value = figure.Figure{}
		a.Sure, a.Chances, a.Order = "", nil, "Dose nothing before the unit of the doses is settled."
	}
	a.Numbers = []Number{n}
	return a
}

// noDose is what to do where no dose comes of a test.
var noDose = map[curve.Outcome]string{
	curve.Found:            "Dose nothing by this test: fill jars above the highest dose, two of each.",
	curve.UntreatedPasses:  "Dose nothing, and test again when the water gets worse.",
	curve.LowestDosePasses: "Fill jars below the lowest dose, and one without chemical.",
	curve.NotReached:       "Dose nothing by this test: change the pH, the chemical or the target, and test again.",
	curve.StillImproving:   "Fill jars above the highest dose: nothing is read off beyond it.",
	curve.NoResponse:       "Dose nothing by this test: try other doses or another chemical.",
	curve.TooFewJars:       "Fill six jars or more, one without chemical, and test again.",
	curve.Ambiguous:        "Dose nothing by this test: fill two or three jars at each dose, and test again.",
}

// chances are the planning dose and smaller ones, with how often each meets the target.
func (r fitSeries) chances(o Options) []Chance {
	plan := r.plan()
	out := []Chance{{plan, r.d.Fig("planning_dose.confidence")}}
	for _, p := range [...]float64{0.75, 0.5} {
		d, ok := r.Quantile(p)
		c := Chance{workedOut(along("", false, float64(d)), plan.Digits), sure("", p)}
		if ok && d < r.Planning.Concentration && !slices.ContainsFunc(out, func(b Chance) bool { return o.Show(b.Dose) == o.Show(c.Dose) }) {
			out = append(out, c)
		}
	}
	return out
}

// fails says how often a dose falls short that meets the target so often.
var fails = map[string]string{"75 %": "fails one time in four", "50 %": "fails every second time"}

// tradeOff says how often the planning dose meets the target, and how often smaller ones fail.
func (r fitSeries) tradeOff(o Options) string {
	var parts []any
	for i, c := range r.chances(o) {
		switch {
		case i > 0:
			parts = append(parts, figure.Say("%s %s", c.Dose, fails[Options{}.Show(c.Of)]))
		case o.Show(c.Of) == o.Show(sure("", 0.9)):
			parts = append(parts, figure.Say("%s meets it 9 times in 10", c.Dose))
		default:
			parts = append(parts, figure.Say("%s meets it with %s confidence", c.Dose, c.Of))
		}
	}
	return o.Say("%s.", figure.And("; ", parts...))
}

// reply is what the jars of a series of two factors say: the pair, each part a number of its own.
func (r surfaceSeries) reply(o Options) Answer {
	a := Answer{Title: "The pair to dose", Place: seriesName(r.Series, r.Place), When: testDay(r.Sample, o), Stops: atLeastCaution(r.Notes)}
	if !r.HasPlanning {
		n := Number{For: o.Say("Pair for %s", goal(r.Targets, r.Response)), Words: "No pair",
			Under: either(r.Outcome == curve.Found, "no tested pair is sure enough", outcomeWords(r.Outcome))}
		if r.First.Name != "" {
			n.For = o.Say("Pair of %s and %s for %s", r.First.Name, r.Second.Name, goal(r.Targets, r.Response))
		}
		a.Numbers, a.Order = []Number{n}, cmp.Or(noDose[r.Outcome], noDose[curve.Ambiguous])
		return a
	}
	pair := r.d.Sub("surface.planning_pair")
	basis := func(c jartest.Chemical) string { return either(c.Basis == quantity.NotStated, "", c.Basis.String()) }
	second := secondDose("", r.Result, r.Planning.Pair)
	a.Numbers = []Number{
		{For: o.Say("Planning dose of %s for %s", r.First.Name, goal(r.Targets, r.Response)), Value: firstDose("", r.Planning.Pair), Under: basis(r.First.Chemical)},
		{For: either(r.Second.PH, "at pH", "with "+r.Second.Name), Value: second, Under: either(r.Second.PH, "", basis(r.Second.Chemical))}}
	a.Sure = o.Say("The pair meets the target with %s confidence.", pair.Fig("confidence"))
	a.Order = either(r.Second.PH, o.Say("Hold pH %s, dose %s, look at the water, then test again.", second, firstDose("", r.Planning.Pair)),
		"Dose both, look at the water, then test again.")
	return a
}
