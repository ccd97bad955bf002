package layout

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest/grid"
)

// A column decides together what its marks part: "1.200" above 850, 140 and 60 is no 1.2.

// Thousands is a cell whose mark parts thousands, as the numbers above and below it show.
type Thousands struct {
	R, C int
	Text string // without the mark
}

// MarksInColumns looks at the columns of figures in which a mark before three digits stands
// among whole numbers. It gives the cells that are in order with their neighbours, and of
// their size, only as thousands; open reports a column that nothing settles. d is how the
// sheet writes fractions otherwise.
func MarksInColumns(g *Area, d Decimals) (parted []Thousands, open bool) {
	v := View{Area: g}
	for c := range g.Width() {
		for r := 0; r < min(len(g.Rows), MostLines); {
			run := figuresFrom(v, r, c)
			if slices.ContainsFunc(run, func(s string) bool { return strings.ContainsAny(s, ".,") }) && typed(v, r, c, len(run)) {
				r += len(run) + 1
				continue
			}
			marked, fractions, thousands := marksOf(run, d)
			switch {
			case len(marked) == 0 || len(marked) == len(run):
			case thousands.ordered() && !fractions.ordered() && alikeInSize(run, marked):
				for _, i := range marked {
					parted = append(parted, Thousands{r + i, c, unmarked.Replace(run[i])})
				}
			case thousands.ordered() == fractions.ordered():
				open = true
			}
			r += len(run) + 1
		}
	}
	return parted, open
}

// typed reports a run with a fraction that the file holds as a number, which has no marks.
func typed(v View, r, c, n int) bool {
	for i := range n {
		if x := v.At(r+i, c); x.Kind == grid.Numeric && x.Num != math.Trunc(x.Num) {
			return true
		}
	}
	return false
}

var unmarked = strings.NewReplacer(".", "", ",", "")

// marksOf finds the numbers of a run whose mark can part thousands, none where a number
// beside them shows that it parts fractions, and reads the run both ways.
func marksOf(run []string, d Decimals) (marked []int, fractions, thousands axis) {
	for i, s := range run {
		asFraction, asThousands := Numeral(s, DecimalComma), Numeral(s, DecimalPoint)
		if strings.Contains(s, ".") {
			asFraction, asThousands = asThousands, asFraction
		}
		switch {
		case Numeral(s, DecimalsMixed).ambiguous():
			if strings.Contains(s, ",") && d == DecimalPoint || strings.Contains(s, ".") && d == DecimalComma {
				return nil, axis{}, axis{} // settled by the rest of the sheet
			}
			marked = append(marked, i)
		case strings.ContainsAny(s, ".,"):
			return nil, axis{}, axis{}
		}
		fractions.add(mark{num: asFraction.Num})
		thousands.add(mark{num: asThousands.Num})
	}
	return marked, fractions, thousands
}

// mostJump is how far neighbours in a column of doses or readings are apart, as a ratio;
// common practice, no source.
const mostJump = 10

// alikeInSize reports that each marked number, read as thousands, is of the size of one
// beside it.
func alikeInSize(run []string, marked []int) bool {
	value := func(i int) float64 { return Numeral(unmarked.Replace(run[i]), DecimalPoint).Num }
	for _, i := range marked {
		near := false
		for _, k := range [...]int{i - 1, i + 1} {
			near = near || k >= 0 && k < len(run) && value(k) > 0 && math.Abs(math.Log(value(k)/value(i))) < math.Log(mostJump)
		}
		if !near {
			return false
		}
	}
	return true
}

// Part writes a cell without the mark between its thousands.
func (g *Area) Part(t Thousands) {
	g.Rows[t.R][t.C] = grid.Cell{Kind: grid.Textual, Text: t.Text, Home: g.Rows[t.R][t.C].Home}
}
