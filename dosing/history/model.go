package history

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Span is from the least to the most of a reading among tests.
type Span struct{ Low, High float64 }

func (s Span) holds(v float64) bool { return v >= s.Low && v <= s.High }

// Coefficient is one number of a law with its standard error, as the law is written.
type Coefficient struct {
	Name      string
	Of        jartest.Key // of a further term
	Value, SE float64
}

// Model is the law of a group.
type Model struct {
	Form         Form
	Terms        []jartest.Key
	Coefficients []Coefficient
	// Points are the tests it was put through; Range are their raw readings.
	Points int
	Range  map[jartest.Key]Span
	// Tested are the lowest and the highest dose in their jars, Clouds the lowest dose from which one of them clouded again.
	Tested Span
	Clouds quantity.Known[quantity.Concentration]
	// Scatter is how far waters of one turbidity differ in the dose they need, Miss how far the law misses a test
	// that is left out, both as shares of the dose; R2 is the share of the squares of the doses that it explains.
	Scatter, Miss quantity.Fraction
	R2            float64
	Tried         []Tried
	law           law
	used          []Test
}

// learn finds the law of a group, or says why there is none.
func (g *Group) learn() {
	switch n := len(g.Used); {
	case len(g.Tests) > 0 && g.Tests[0].Pair:
		g.Refused = note.Say("two things differ between the jars, so their doses follow no law of turbidity alone")
		return
	case n < Fewest:
		g.Refused = note.Say("%d of %d tests found a dose and know the raw turbidity; a law takes %d at least", n, len(g.Tests), Fewest)
		return
	}
	by, tried, ok := choose(g.Used, func(jartest.Key) bool { return true })
	if !ok {
		g.Refused = note.Say("the tests do not settle a law")
		return
	}
	m := modelOf(by, tried, g.Used)
	g.Model = quantity.Some(m)
	g.doubts(m)
	g.drift(m)
	g.apart(m)
}

// modelOf is a law as it is told.
func modelOf(f law, tried []Tried, used []Test) Model {
	m := Model{Form: f.Form, Terms: f.terms, Points: len(f.tests), Range: map[jartest.Key]Span{}, Scatter: quantity.Fraction(f.scatter()),
		Miss: quantity.Fraction(f.miss), Tried: tried, law: f, used: used, Tested: Span{math.Inf(1), 0}}
	mean, all, left := 0.0, 0.0, 0.0
	for _, t := range f.tests {
		mean += float64(t.Effective.Value) / float64(len(f.tests))
	}
	for _, t := range f.tests {
		d := float64(t.Effective.Value)
		all, left = all+(d-mean)*(d-mean), left+math.Pow(d-f.own(t.Raw), 2)
		for _, k := range Told {
			v, ok := t.Raw[k]
			s, there := m.Range[k]
			switch {
			case !ok:
			case !there:
				m.Range[k] = Span{v, v}
			default:
				m.Range[k] = Span{math.Min(s.Low, v), math.Max(s.High, v)}
			}
		}
		m.Tested = Span{math.Min(m.Tested.Low, float64(t.TestedLow)), math.Max(m.Tested.High, float64(t.TestedHigh))}
		if t.Clouds.OK && (!m.Clouds.OK || t.Clouds.V < m.Clouds.V) {
			m.Clouds = t.Clouds
		}
	}
	if all > 0 {
		m.R2 = 1 - left/all
	}
	for i, b := range f.middleFit.beta {
		c := Coefficient{Value: b, SE: math.Sqrt(f.middleFit.unit.At(i, i))}
		if i < len(f.names) {
			c.Name = f.names[i]
		} else {
			c.Of = f.terms[i-len(f.names)]
			c.Name = "k_" + string(c.Of)
		}
		if i == 0 && f.log { // it multiplies
			c.Value, c.SE = math.Exp(c.Value), math.Exp(c.Value)*c.SE
		}
		m.Coefficients = append(m.Coefficients, c)
	}
	return m
}

// doubts says what speaks against a law.
func (g *Group) doubts(m Model) {
	if m.Points < Plenty {
		g.Notes.Add(note.New(note.Caution, "few-tests", "%d tests make the law: until there are %d, count on errors of 5 to 10 mg/L as laws of other places have", m.Points, Plenty).
			Do("test each new water"))
	}
	rising := false
	for i, c := range m.Coefficients {
		rising = rising || i == 1 && c.Of == "" && c.Value > 0
	}
	switch {
	case m.Form == Constant && spread(g.Used):
		g.Notes.Add(note.New(note.Info, "no-law-of-turbidity", "turbidity does not tell the dose of these tests better than their mean does"))
	case m.Form == Constant:
		g.Notes.Add(note.New(note.Info, "one-water", "all tests are of water of about one turbidity, so none tells how the dose follows it"))
	case !rising:
		g.Notes.Add(note.New(note.Caution, "falling-law", "by these tests dirtier water needs less, which is rare: look at each test, and at what else changed"))
	}
	g.aside(m)
	g.odd(m)
	if n := len(slices.DeleteFunc(slices.Clone(m.law.tests), func(t Test) bool { return !t.Control })); n > 0 {
		g.Notes.Add(note.New(note.Caution, "settled-control", "of %d of %d tests the turbidity is that of the jar without chemical, which had settled: the raw water was dirtier", n, m.Points).
			Do("write the raw water's turbidity on the sheets; a dose by it is on the high side meanwhile"))
	}
	under, over := 0, 0
	var shown Test
	for _, t := range g.Tests {
		low, high, ok := m.about(t.Raw)
		switch {
		case !ok:
		case t.Outcome == curve.StillImproving && high < t.TestedHigh:
			if under++; under == 1 {
				shown = t
			}
		case (t.Outcome == curve.LowestDosePasses || t.Outcome == curve.UntreatedPasses) && low > t.TestedLow:
			over++
		}
	}
	if under > 0 {
		g.Notes.Add(note.New(note.Caution, "needed-more", "%d test(s) needed more than their highest dose where the law says less, the first %s; no dose came of them, so they are not in the law", under, shown.Day.Spelled()).
			At(shown.At).Do("test such water again with more dose"))
	}
	if over > 0 {
		g.Notes.Add(note.New(note.Info, "needed-less", "%d test(s) passed with less than the law says; no dose came of them, so they are not in the law", over))
	}
}

// aside says which readings of the tests the law does not go by, and why, and where the tests lean by one of them all the same.
func (g *Group) aside(m Model) {
	for _, k := range furtherTerms {
		c := candidate{m.law.form, append(slices.Clone(m.Terms), k)}
		tests := c.knowing(m.law.tests)
		if slices.Contains(m.Terms, k) || len(tests) == 0 || m.Range[k].Low == m.Range[k].High {
			continue
		}
		label := k.Info().Label
		why := note.Say("with it the law does not miss enough less, for %d tests", len(tests))
		switch few := len(tests) < c.fewestFor(); {
		case few:
			why = note.Say("that takes %d tests that tell it, and %d do", c.fewestFor(), len(tests))
		case 3*len(tests) < 2*len(m.law.tests):
			why = note.Say("only %d of %d tests tell it", len(tests), len(m.law.tests))
		case len(tests) >= fewestSure*c.numbers():
			continue // tried in earnest, and of no use
		}
		if low, high, above, leans := m.leaning(k, tests); leans {
			say := spokenOf(k)
			g.Notes.Add(note.New(note.Caution, "leans-by-reading", "all %d tests of a %s up to %s needed %s than the law says, all %d from %s on %s: the dose seems to go by it, and the law does not (%s)", low.n, label, say(low.at),
				either(above, "less", "more"), high.n, say(high.at), either(above, "more", "less"), why).Do("test such water before you go by the law, and write the %s on every sheet", label))
			continue
		}
		g.Notes.Add(note.New(note.Info, "reading-aside", "the law does not go by the tests' %s: %s", label, why))
	}
}

// side is how many tests lie on one side of the middle of a reading's range, and the one of them that is nearest to it.
type side struct {
	n  int
	at float64
}

// leaning tells whether all tests below the middle of a reading's range lie on one side of the law and all above it on the
// other; above where those with more of it need more. Three on each side at least: less than one in thirty times by chance.
func (m Model) leaning(k jartest.Key, tests []Test) (low, high side, above, leans bool) {
	const least = 3
	s := m.Range[k]
	low.at, high.at = s.Low, s.High
	more := [2]int{}
	for _, t := range tests {
		v, over := t.Raw[k], either(float64(t.Effective.Value) > m.law.own(t.Raw), 1, 0)
		if 2*v <= s.Low+s.High {
			low.n, low.at, more[0] = low.n+1, math.Max(low.at, v), more[0]+over
		} else {
			high.n, high.at, more[1] = high.n+1, math.Min(high.at, v), more[1]+over
		}
	}
	above = more[1] == high.n
	leans = low.n >= least && high.n >= least && (above && more[0] == 0 || more[1] == 0 && more[0] == low.n)
	return low, high, above, leans
}

// odd tells of tests that lie far off the law of the others: less than one in a thousand waters would need so much, or so
// little. They count all the same, and widen every range, until somebody has looked at them.
func (g *Group) odd(m Model) {
	const far, most = 0.0005, 3
	by := make([]int, len(m.law.tests))
	for i := range by {
		by[i] = i
	}
	off := func(i int) float64 {
		return math.Abs(m.law.middleFit.left[i]) / m.law.sizeAt(m.law.row(m.law.tests[i].Raw))
	}
	slices.SortStableFunc(by, func(i, j int) int { return cmp.Compare(off(j), off(i)) })
	for _, i := range by[:min(most, len(by))] {
		t := m.law.tests[i]
		f, ok := fit(m.law.candidate, slices.Delete(slices.Clone(m.law.tests), i, i+1))
		if !ok {
			return
		}
		alone := law{f, []weighed{{f, 1}}}
		if p := alone.below(t.Raw)(float64(t.Effective.Value)); math.Min(p, 1-p) < far {
			g.Notes.Add(note.New(note.Caution, "odd-test", "the test of %s needed %s, where by the others such water needs %s to %s", cmp.Or(t.Day.Spelled(), "no day"), quantity.To(t.Effective.Value, 3),
				quantity.To(quantity.Number(alone.enough(t.Raw, 0.05)), 3), quantity.To(quantity.Concentration(alone.enough(t.Raw, 0.95)), 3)).
				At(t.At).Do("look for a slip on that sheet (dose, stock, turbidity); put it away if it is one"))
		}
	}
}

// about is the range in which nine further waters in ten lie, where the law knows what it needs of the water.
func (m Model) about(w Water) (low, high quantity.Concentration, ok bool) {
	if !m.law.knows(w) {
		return 0, 0, false
	}
	return m.at(w, 0.05), m.at(w, 0.95), true
}

// at is the dose that is enough for that share of waters like this one.
func (m Model) at(w Water, share float64) quantity.Concentration {
	return quantity.Concentration(m.law.enough(w, share))
}

// Band is the law at a turbidity, further readings as in the middle of the tests or as in the water given.
func (m Model) Band(ntu quantity.Cloudiness, like Water) (value, low, high quantity.Concentration) {
	w := Water{jartest.Turbidity: float64(ntu)}
	for _, k := range m.Terms {
		v, ok := like[k]
		if !ok {
			v = m.usual(k)
		}
		w[k] = v
	}
	low, high, _ = m.about(w)
	return quantity.Concentration(m.law.own(w)), low, high
}

// usual is the mean of a reading among the tests.
func (m Model) usual(k jartest.Key) (mean float64) {
	for _, t := range m.law.tests {
		mean += t.Raw[k] / float64(len(m.law.tests))
	}
	return mean
}

// Usual is the water that the law is drawn for: the mean of each further term.
func (m Model) Usual() Water {
	w := Water{}
	for _, k := range m.Terms {
		w[k] = m.usual(k)
	}
	return w
}
