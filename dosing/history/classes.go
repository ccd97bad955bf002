package history

import (
	"maps"
	"math"

	"jarwright/jartest"
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

// Classes are those from the cleanest water tested to the dirtiest, and the next on either side. A class ends where
// tests end, since no dose of it may be taken for dirtier water. Its dose is that of [Model.Worst].
func (m Model) Classes(sure quantity.Fraction, like Water) (out []Class) {
	r := m.Range[jartest.Turbidity]
	w, _ := m.Worst(like)
	b := bounds()
	for i := 1; i < len(b); i++ {
		if i+1 < len(b) && b[i+1] <= r.Low || i > 1 && b[i-2] >= r.High {
			continue // neither has tests nor lies beside one that has
		}
		for _, part := range [...]Span{{b[i-1], math.Min(b[i], r.High)}, {math.Max(b[i-1], r.High), b[i]}} {
			if part.High <= part.Low {
				continue
			}
			c := Class{Low: quantity.Cloudiness(part.Low), High: quantity.Cloudiness(part.High)}
			for _, t := range m.law.tests {
				if v := t.Raw[jartest.Turbidity]; v > part.Low && v <= part.High {
					c.Tests++
				}
			}
			if part.High >= r.Low && part.High <= r.High {
				w[jartest.Turbidity] = part.High
				c.Planning = quantity.Some(m.at(w, float64(sure)))
			}
			out = append(out, c)
		}
	}
	return out
}

// Next is the water to test next, with the doses of its jars.
type Next struct {
	Class
	// Doses are those of the jars, a control first.
	Doses []quantity.Concentration
	// Beyond is true where no test had water so dirty, or so clean: the doses are then a first guess.
	Beyond bool
}

// Next is the class that has no test, those between tests first, then the dirtier one; where each has tests, the
// one with the fewest.
func (g Group) Next() (n Next, ok bool) {
	list := g.Classes(0.5, nil)
	if len(list) == 0 {
		return n, false
	}
	m := g.Model.V
	r := m.Range[jartest.Turbidity]
	best := math.Inf(1)
	for _, c := range list {
		beyond := float64(c.Low) >= r.High
		below := float64(c.High) <= r.Low
		rank := float64(c.Tests)
		switch {
		case c.Tests == 0 && !beyond && !below:
			rank = -2
		case beyond:
			rank = 0.5
		case below: // cleaner water needs no more than what was tested
			rank = 1e6
		}
		if rank < best {
			best, n = rank, Next{Class: c, Beyond: beyond}
		}
	}
	mid := math.Sqrt(math.Max(float64(n.Low), float64(n.High)/4) * float64(n.High))
	w := m.Usual()
	w[jartest.Turbidity] = mid
	low, high := float64(m.at(w, 0.05))*0.7, float64(m.at(w, 0.95))*1.3
	n.Doses = []quantity.Concentration{0}
	const jars = 5
	for i := range jars {
		d := quantity.RoundSig(low+(high-low)*float64(i)/(jars-1), 2)
		if last := float64(n.Doses[len(n.Doses)-1]); d > last {
			n.Doses = append(n.Doses, quantity.Concentration(d))
		}
	}
	return n, true
}
