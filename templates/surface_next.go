package templates

import (
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
	"jarwright/templates/figure"
)

// nextPairs shows the jars of the next test over two factors.
func nextPairs(t *Text, r surface.Result, jars int) {
	t.Head("Next test after " + seriesName(r.Series, r.Place))
	list, notes := r.Next(jars)
	if len(list) > 0 {
		cols := []Col{{Head: "jars"}, {Head: r.First.Name + " (mg/L)", Right: true}, {Head: "stock (mL)", Right: true},
			{Head: secondHead(r.Second), Right: true}}
		if !r.Second.PH {
			cols = append(cols, Col{Head: "stock (mL)", Right: true})
		}
		label := jarNumbers()
		var rows [][]any
		for _, p := range list {
			row := []any{label(p.Jars), unitless(along("", false, float64(p.Pair.First))),
				stockCell(stockVolume("", p.FirstStock), p.Pair.First), unitless(along("", r.Second.PH, surfaceXY(r, p.Pair).Y))}
			if !r.Second.PH {
				row = append(row, stockCell(stockVolume("", p.SecondStock), p.Pair.Second))
			}
			rows = append(rows, append(row, p.Why))
		}
		t.Grid(append(cols, Col{Head: "why"}), rows)
		t.Blank()
	}
	if r.HasPlanning {
		t.Say("Today's planning pair is %s.", pairPhrase(r, r.Planning.Pair))
	} else {
		t.Para("Today's answer: " + outcomeWords(r.Outcome) + ".")
	}
	t.aside(notes)
}

// nextPairsData is the next test of one series of two factors.
func nextPairsData(r surface.Result, list []surface.Proposal) *figure.Object {
	d := seriesData(r.Series, r.Place, r.Sample).Set("outcome", string(r.Outcome)).Set("factor", "pair").
		Set("basis", r.First.Chemical.Basis.String()).
		Set("rule", "around the cheapest pair and along the target line to both sides of it").Set("units", figure.New().Set("dose", "mg/L"))
	var doses []*figure.Object
	for _, p := range list {
		x := figure.New().Bare(along("dose", false, float64(p.Pair.First)))
		withPair(x, r, p.Pair)
		stocks := figure.New()
		for _, s := range []struct {
			name string
			v    quantity.Volume
		}{{r.First.Name, p.FirstStock}, {r.Second.Name, p.SecondStock}} {
			stocks.Put(stockVolume(s.name, s.v))
		}
		doses = append(doses, x.Part("stocks", stocks).Set("unit", "mg/L").Bare(figure.Count("jars", p.Jars)).Set("why", p.Why))
	}
	return d.List("doses", doses)
}
