package history

import (
	"math"

	"jarwright/dosing/upkeep"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Drift is a group whose latest tests have left its law.
type Drift struct {
	// Since is the day of the first of them, Seen that of the test at which the chart cried out.
	Since, Seen Day
	Tests       int
	// Size is how much more the waters since then need than the law says, as a share; negative for less.
	Size quantity.Fraction
}

// fewestMoved is how many tests a move takes: fewer are told as odd ones.
const fewestMoved = 3

// drift holds the tests, in the order of their days, against the law of all: each by how far it lies off in units of
// what it and the waters scatter, less what the test itself draws the law to it. A move widens that scatter, so the chart
// goes by how far tests that follow each other differ.
func (g *Group) drift(m Model) {
	if m.Points < Plenty {
		return
	}
	scatter := float64(m.Scatter)
	var x, off []float64
	var tests []Test
	for i, t := range m.law.tests {
		if t.Day.Date.IsZero() {
			continue
		}
		size, s := m.law.sizeAt(m.law.row(t.Raw)), t.relative()
		sd := math.Sqrt((scatter*scatter+s*s)*math.Max(1-m.law.middleFit.hat[i], 0.05)) * size
		x = append(x, m.law.middleFit.left[i]/math.Max(sd, 1e-9))
		off = append(off, math.Log(float64(t.Effective.Value)/math.Max(m.law.own(t.Raw), 1e-9)))
		tests = append(tests, t)
	}
	move, is := upkeep.Seldom.Off(upkeep.ByMovingRange(x))
	if !is || len(tests)-move.Since < fewestMoved {
		return
	}
	d := Drift{Since: tests[move.Since].Day, Seen: tests[move.At].Day, Tests: len(tests) - move.Since}
	mean := 0.0
	for _, v := range off[move.Since:] {
		mean += v / float64(d.Tests)
	}
	d.Size = quantity.Fraction(math.Exp(mean) - 1)
	g.Drift = quantity.Some(d)
	words := either(d.Size > 0, "more", "less")
	n := note.New(note.Caution, "law-left", "the last %d tests, from %s on, needed %s %% %s than the law of all tests says", d.Tests, d.Since.Spelled(), quantity.To(quantity.Number(math.Abs(d.Size.In("%"))), 2), words).At(tests[move.Since].At)
	g.Notes.Add(n.Do("%s", either(d.Size > 0, "look for what changed (product, stock, pH, season), and test today's water before you rely on this dose", "test today's water before you dose less")))
}
