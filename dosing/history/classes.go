package history

import (
	"maps"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
)

// Class is a range of raw turbidity, from Low up to High.
type Class struct {
	Low, High quantity.Cloudiness
	// Tests are those with a dose whose water is of the class.
	Tests int
	// Planning is the dose for the dirtiest water of the class; none where no test had such water.
	Planning quantity.Known[quantity.Concentration]
}

// bounds of the classes: one, two and five in each decade, which anybody can read off a meter.
func bounds() (out []float64) {
	out = append(out, 0)
	for d := 0; d < 5; d++ {
		for _, m := range [...]float64{1, 2, 5} {
			out = append(out, m*math.Pow10(d))
		}
	}
	return out
}

// Classes are those of the group's own law; none where it has none.
func (g Group) Classes(sure quantity.Fraction, like Water) []Class {
	if !g.Model.OK {
		return nil
	}
	return g.Model.V.Classes(sure, like)
}

// Worst is the further readings that a table by turbidity stands for: those of a water as far as it tells them and tests
// had such, else the end of the tests' range that asks most, named in assumed. So no water of a class is left short.
func (m Model) Worst(like Water) (w Water, assumed []jartest.Key) {
	w = Water{}
	for _, k := range m.Terms {
		if v, ok := like[k]; ok && m.Range[k].holds(v) {
			w[k] = v
		} else {
			assumed = append(assumed, k)
		}
	}
	most := -1.0
	for corner := range 1 << len(assumed) {
		x := maps.Clone(w)
		x[jartest.Turbidity] = m.Range[jartest.Turbidity].High
		for i, k := range assumed {
			x[k] = either(corner>>i&1 == 1, m.Range[k].High, m.Range[k].Low)
		}
		if asks := m.law.enough(x, float64(Confidence)); asks > most {
			most, w = asks, x
		}
	}
	delete(w, jartest.Turbidity)
	return w, assumed
}

// Classes are those from the cleanest water tested to the dirtiest, and the next on either side. A class ends where tests
// end, since no dose of it may be taken for dirtier water, nor for cleaner. Its dose is that of [Model.Worst].
func (m Model) Classes(sure quantity.Fraction, like Water) (out []Class) {
	r := m.Range[jartest.Turbidity]
	w, _ := m.Worst(like)
	for _, part := range parts(r) {
		c := Class{Low: quantity.Cloudiness(part.Low), High: quantity.Cloudiness(part.High)}
		if part.Low >= r.Low && part.High <= r.High {
			for _, t := range m.law.tests {
				if v := t.Raw[jartest.Turbidity]; v <= part.High && (v > part.Low || v == r.Low && v == part.Low) {
					c.Tests++
				}
			}
			w[jartest.Turbidity] = part.High
			c.Planning = quantity.Some(m.at(w, float64(sure)))
		}
		out = append(out, c)
	}
	return out
}

// parts are the classes of a range of tests, cut at its ends, and the next on either side.
func parts(r Span) (out []Span) {
	cut, whole := append(bounds(), r.Low, r.High), bounds()
	slices.Sort(cut)
	if cut = slices.Compact(cut); r.Low == r.High { // a class of that one water
		cut = append(cut, r.Low)
		slices.Sort(cut)
	}
	below, _ := slices.BinarySearch(whole, r.Low)
	above := slices.IndexFunc(whole, func(v float64) bool { return v > r.High })
	least := whole[max(0, below-either(below < len(whole) && whole[below] == r.Low, 1, 2))]
	most := whole[min(len(whole)-1, max(0, above+either(slices.Contains(whole, r.High), 0, 1)))]
	for i := range cut[1:] {
		if s := (Span{cut[i], cut[i+1]}); s.Low >= least && s.High <= max(most, r.High) {
			out = append(out, s)
		}
	}
	return out
}

// beyondTop is how far the jars of the next test go beyond those that were not enough. Common practice, no source.
const beyondTop = 1.5

// Next is the water to test next, with the doses of its jars.
type Next struct {
	Class
	// Doses are those of the jars, a control first.
	Doses []quantity.Concentration
	// Beyond is true where no test had water so dirty, or so clean: the doses are then a first guess.
	Beyond bool
	// Unmet is how many tests of such water found no dose, as it needed more than their jars had.
	Unmet int
}

// Next is the water to test next, and what to test after it: first the class between tests that has none, then the dirtier
// one; where each has tests, the one with the fewest. Cleaner water than any test comes after, as it needs no more than what
// was tested, and not at all where it meets the target as it is.
func (g Group) Next() []Next {
	classes := g.Classes(0.5, nil)
	if len(classes) == 0 {
		return nil
	}
	r := g.Model.V.Range[jartest.Turbidity]
	var first Next
	var cleaner []Next // that which is next to the tests
	best := math.Inf(1)
	for _, c := range classes {
		beyond, below := float64(c.Low) >= r.High && float64(c.High) > r.High, float64(c.High) <= r.Low && float64(c.Low) < r.Low
		rank := float64(c.Tests)
		switch {
		case below:
			if !g.clears(c) {
				cleaner = []Next{g.jarsFor(Next{Class: c, Beyond: true})}
			}
			continue
		case beyond:
			rank = 0.5
		}
		if rank < best {
			best, first = rank, Next{Class: c, Beyond: beyond}
		}
	}
	return append([]Next{g.jarsFor(first)}, cleaner...)
}

// clears reports a water that meets the target on turbidity before anything is dosed.
func (g Group) clears(c Class) bool {
	return slices.ContainsFunc(g.Targets, func(t jartest.Target) bool {
		return t.Key == jartest.Turbidity && t.Kind == jartest.Absolute && !t.AtLeast && float64(c.High) <= t.Value
	})
}

// jarsFor gives a water its jars, a control first: from less than one in twenty such waters needs to more than all but one do.
func (g Group) jarsFor(n Next) Next {
	m := g.Model.V
	w := m.Usual()
	w[jartest.Turbidity] = math.Sqrt(math.Max(float64(n.Low), float64(n.High)/4) * float64(n.High))
	low, high := float64(m.at(w, 0.05))*0.7, float64(m.at(w, 0.95))*1.3
	for _, t := range g.Tests {
		if raw, ok := t.Raw[jartest.Turbidity]; ok && t.Outcome == curve.StillImproving && raw >= float64(n.Low) && raw <= float64(n.High) {
			n.Unmet++
			high = math.Max(high, beyondTop*float64(t.TestedHigh))
		}
	}
	n.Doses = []quantity.Concentration{0}
	const jars = 5
	for i := range jars {
		d := quantity.RoundSig(low+(high-low)*float64(i)/(jars-1), 2)
		if last := float64(n.Doses[len(n.Doses)-1]); d > last {
			n.Doses = append(n.Doses, quantity.Concentration(d))
		}
	}
	return n
}
