package templates

import (
	"fmt"
	"slices"

	"jarwright/jartest/note"
	"jarwright/jartest/surface"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// nextOf are the jars of the next test, none while the unit of its doses is in doubt, and what is to be said of them.
func nextOf(r surface.Result, jars int) ([]surface.Proposal, note.List) {
	if asked := slices.DeleteFunc(slices.Clone(r.Notes), func(n note.Note) bool { return !doubtsUnit(n) }); len(asked) > 0 {
		return nil, asked
	}
	return r.Next(jars)
}

// nextPairs shows the jars of the next test over two factors.
func nextPairs(t *Text, r surface.Result, jars int, drawn draw.Drawing) {
	list, notes := nextOf(r, jars)
	t.Answer(nextPairsAnswer(t.opt, r, list))
	t.Drawn(drawn)
	if len(list) > 0 {
		label := jarNumbers()
		var rows [][]any
		for _, p := range list {
			rows = append(rows, []any{label(p.Jars), unitless(along("", false, float64(p.Pair.First))),
				stockCell(stockVolume("", p.FirstStock), p.Pair.First),
				unitless(along("", r.Second.PH, surfaceXY(r, p.Pair).Y)), stockCell(stockVolume("", p.SecondStock), p.Pair.Second), p.Why})
		}
		t.Grid(cols("jars", ">"+r.First.Name+" (mg/L)", ">stock (mL)", ">"+secondHead(r.Second), either(r.Second.PH, absent, ">stock (mL)"),
			"why"), rows)
		t.Blank()
	}
	if slices.ContainsFunc(r.Notes, doubtsUnit) {
		t.aside(notes)
		return
	}
	if r.HasPlanning {
		t.Say("Today's planning pair is %s.", pairPhrase(r, r.Planning.Pair))
	} else {
		t.Para("Today's answer: " + outcomeWords(r.Outcome) + ".")
	}
	t.aside(notes)
}

// nextPairsAnswer is how many jars to fill, and of what.
func nextPairsAnswer(o Options, r surface.Result, list []surface.Proposal) Answer {
	a := Answer{Title: "What to test next", Place: "after " + seriesName(r.Series, r.Place), When: dated(o.Date)}
	n := Number{For: "Fill jars of " + r.First.Name + " and " + r.Second.Name, Words: "No jars"}
	a.Order = "Fill none before what stands below is settled."
	if slices.ContainsFunc(r.Notes, doubtsUnit) {
		return a.unitFirst(n)
	}
	jars := 0
	for _, p := range list {
		jars += p.Jars
	}
	if jars > 0 {
		n.Words, n.Under = fmt.Sprintf("%d jars", jars), "their doses stand below"
		a.Order = "Fill them from the same water, read each as before, and fit both tests together."
	}
	a.Numbers = []Number{n}
	return a
}

// nextPairsData is the next test of one series of two factors.
func nextPairsData(r surface.Result, list []surface.Proposal) *figure.Object {
	d := seriesData(r.Series, r.Place, r.Sample).Set("outcome", string(r.Outcome)).Set("factor", "pair").
		Set("basis", r.First.Chemical.Basis.String()).
		Set("rule", "around the cheapest pair and along the target line to both sides of it").Set("units", figure.New().Set("dose", "mg/L"))
	doses := objects(list, func(p surface.Proposal) *figure.Object {
		x := withPair(figure.New().Bare(along("dose", false, float64(p.Pair.First))), r, p.Pair)
		x.Part("stocks", figure.New(stockVolume(r.First.Name, p.FirstStock), stockVolume(r.Second.Name, p.SecondStock)))
		return x.Set("unit", "mg/L").Bare(figure.Count("jars", p.Jars)).Set("why", p.Why)
	})
	return d.List("doses", doses)
}
