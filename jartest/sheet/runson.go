package sheet

import (
	"slices"
	"strconv"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// runsOn asks about a table that goes on where the one before it ends, in the numbers of its jars
// and in its doses, under the same headings: a test printed over two pages reads like that, and so
// do two tests. It is read as a test of its own, which leaves each with half a curve.
func (b *bench) runsOn(all []jartest.Series) {
	for i := 1; i < len(all); i++ {
		s, t := all[i-1], all[i]
		if s.Name != t.Name || s.Place.File != t.Place.File || s.Place.Sheet != t.Place.Sheet || !slices.EqualFunc(s.Chemicals, t.Chemicals, sameChemical) {
			continue
		}
		if len(s.Jars) == 0 || len(t.Jars) == 0 || otherWater(s, t) {
			continue
		}
		last, first := s.Jars[len(s.Jars)-1], t.Jars[0]
		n, err := strconv.Atoi(last.Label)
		if err != nil || first.Label != strconv.Itoa(n+1) || !(highestDose(s.Jars) < lowestDose(t.Jars)) {
			continue
		}
		b.say(note.Caution, "jars-run-on", t.Place, "jar %s goes on where jar %s of the table at %s ends, in its number and its dose, under the same headings; they are read as two tests",
			first.Label, last.Label, s.Place.Cell).do(b, "put them under one heading if they are one test")
	}
}

// otherWater reports two tests whose raw turbidities are given and differ.
func otherWater(a, c jartest.Series) bool {
	x, y := a.Raw[jartest.Turbidity], c.Raw[jartest.Turbidity]
	return x.State != jartest.Missing && y.State != jartest.Missing && x.Value != y.Value
}

func sameChemical(a, c jartest.Chemical) bool { return a.Name == c.Name && a.Basis == c.Basis }

func highestDose(jars []jartest.Jar) float64 { return slices.Max(firstDoses(jars)) }
func lowestDose(jars []jartest.Jar) float64  { return slices.Min(firstDoses(jars)) }

// firstDoses are the doses of the first chemical.
func firstDoses(jars []jartest.Jar) []float64 {
	out := make([]float64, len(jars))
	for i, j := range jars {
		if len(j.Doses) > 0 {
			out[i] = float64(j.Doses[0].Concentration)
		}
	}
	return out
}
