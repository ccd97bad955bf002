package templates

import (
	"fmt"
	"math"
	"strconv"

	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// nextPairs shows the jars of the next test over two factors.
func nextPairs(t *Text, o Options, r surface.Result, jars int) {
	t.Head("Next test after " + seriesName(r.Series, r.Place))
	list, notes := r.Next(jars)
	if len(list) > 0 {
		ml := func(v quantity.Volume, dose quantity.Concentration) string {
			switch {
			case v > 0:
				return asWritten(o, v.In("mL"))
			case dose == 0:
				return "0"
			}
			return "-"
		}
		first := r.First.Name + " (mg/L)"
		second := r.Second.Name
		if !r.Second.PH {
			second += " (mg/L)"
		}
		var rows [][]string
		jar := 0
		for _, p := range list {
			label := fmt.Sprint(jar + 1)
			if p.Jars > 1 {
				label += "-" + fmt.Sprint(jar+p.Jars)
			}
			jar += p.Jars
			row := []string{label, asWritten(o, float64(p.Pair.First)), ml(p.FirstStock, p.Pair.First), asWritten(o, surfaceXY(r, p.Pair).Y)}
			if !r.Second.PH {
				row = append(row, ml(p.SecondStock, p.Pair.Second))
			}
			rows = append(rows, append(row, p.Why))
		}
		cols := []Col{{Head: "jars"}, {Head: first, Right: true}, {Head: "stock (mL)", Right: true}, {Head: second, Right: true}}
		if !r.Second.PH {
			cols = append(cols, Col{Head: "stock (mL)", Right: true})
		}
		t.Table(append(cols, Col{Head: "why"}), rows)
		t.Blank()
	}
	if r.HasPlanning {
		t.Para("Today's planning pair is " + pairText(o, r, r.Planning.Pair) + ".")
	} else {
		t.Para("Today's answer: " + outcomeWords(r.Outcome) + ".")
	}
	if len(notes) > 0 {
		t.Blank()
		t.Notes(notes)
	}
}

// nextPairsDoc is the document of one series of two factors.
func nextPairsDoc(r surface.Result, jars int) nextSeries {
	list, notes := r.Next(jars)
	x := nextSeries{Name: seriesName(r.Series, r.Place), Outcome: r.Outcome, Factor: "pair", Basis: r.First.Chemical.Basis.String(),
		Rule: "around the cheapest pair and along the target line to both sides of it", Doses: []nextDose{}, Notes: Notes(notes)}
	for _, p := range list {
		j := nextDose{Dose: float64(p.Pair.First), Unit: "mg/L", Jars: p.Jars, Why: p.Why}
		j.Doses, j.PH = pairDoses(r, p.Pair)
		j.Stocks = map[string]*JSONQuantity{}
		if p.FirstStock > 0 {
			j.Stocks[r.First.Name] = QIn(p.FirstStock.In("mL"), "mL")
		}
		if p.SecondStock > 0 {
			j.Stocks[r.Second.Name] = QIn(p.SecondStock.In("mL"), "mL")
		}
		x.Doses = append(x.Doses, j)
	}
	return x
}

// nextPairRows is a row for each chemical of each pair; the reason names the other.
func nextPairRows(r surface.Result, jars int) [][]string {
	list, _ := r.Next(jars)
	var out [][]string
	jar := 1
	num := func(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
	ml := func(v quantity.Volume) string {
		if v <= 0 {
			return ""
		}
		return num(math.Round(v.In("mL")*1e6) / 1e6)
	}
	for _, p := range list {
		out = append(out, []string{seriesName(r.Series, r.Place) + ": " + r.First.Name, fmt.Sprint(jar), fmt.Sprint(p.Jars), num(float64(p.Pair.First)), ml(p.FirstStock), p.Why, "pair"},
			[]string{seriesName(r.Series, r.Place) + ": " + r.Second.Name, fmt.Sprint(jar), fmt.Sprint(p.Jars), num(surfaceXY(r, p.Pair).Y), ml(p.SecondStock), p.Why, "pair"})
		jar += p.Jars
	}
	return out
}
