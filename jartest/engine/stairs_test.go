package engine

import (
	"math"
	"testing"
)

// jumps are jars that stand on two levels, 3.4 and 0.7 on the logarithm, but one.
func jumps(odd float64) *Observations {
	o := &Observations{Scatter: UsualScatter, Limit: make([]int8, 6)}
	for i, y := range []float64{3.4, 3.42, 3.38, 0.7, 0.72, 0.7 + odd} {
		o.U, o.Y, o.W = append(o.U, float64(i)/5), append(o.Y, y), append(o.W, 1)
	}
	return o
}

// TestStairsExplain: a jar on a level of several doses is explained by it, one that
// stands alone is not, however well its own level fits it.
func TestStairsExplain(t *testing.T) {
	for _, c := range []struct{ odd, shown float64 }{{0, 6}, {2.3, 5}} {
		o := jumps(c.odd)
		s := o.stairs()
		s.Share = 1
		shown := 0.0
		for i := range o.U {
			if s.Explain(o, i) {
				shown++
			}
		}
		if shown != c.shown {
			t.Errorf("last jar off by %g: %g of 6 jars explained, want %g", c.odd, shown, c.shown)
		}
	}
}

// TestStairsWithout: the density that the other jars gave to one, summed over all that it
// might have read, is what the family counts beforehand with that jar over what it counts
// without, since every number of steps counts one and a jar more makes room for a step
// more. The five jars stand on two levels, so that the step lies in one of four gaps: 1/4
// of one step, down (85 in 100). With the sixth jar that gap is 1/5 of the range, and a second
// step may lie before the sixth: 2 x 1/5 x 1/5, down (85) or up (half of 15).
// (0.2 x 85 + 0.08 x 92.5)/(0.25 x 85) = 1.148.
func TestStairsWithout(t *testing.T) {
	sum := 0.0
	const step = 0.01
	for odd := -8 + step/2; odd < 8; odd += step {
		o := jumps(odd)
		s := o.stairs()
		rest, more := s.Without(o, 5)
		if len(rest.U) != 5 {
			t.Fatalf("%d doses without one of six", len(rest.U))
		}
		sum += step / more
	}
	if math.Abs(sum-1.148) > 0.02 {
		t.Errorf("the density of the sixth jar's reading sums to %.3f", sum)
	}
	o := jumps(0)
	o.Limit[5] = -1
	s := o.stairs()
	if _, more := s.Without(o, 5); more != 1 {
		t.Errorf("a reading below its limit changes the weight by %g", more)
	}
}

// TestStairsLeftOut: between two factors the jars have no order, and there are no stairs.
func TestStairsLeftOut(t *testing.T) {
	o := jumps(0)
	o.V = make([]float64, 6)
	if s := o.stairs(); !math.IsInf(s.evidence, -1) || len(s.ways) > 0 {
		t.Errorf("%d ways", len(s.ways))
	}
}

// additive are jars of a reading that is fitted as it is, on the scale of unit.
func additive(unit, zero float64, y ...float64) *Observations {
	o := &Observations{Additive: true, Scatter: ScatterPrior{SD: 0.9 * math.Abs(unit), Worth: 2}, Limit: make([]int8, len(y))}
	for i, v := range y {
		o.U, o.Y, o.W = append(o.U, float64(i)/float64(len(y)-1)), append(o.Y, zero+unit*v), append(o.W, 1)
	}
	return o
}

// TestAdditiveSteps: a zeta potential that jumps between two jars is told by levels, one
// that rises steadily is not, and neither the unit, nor the zero, nor which way is up
// matters to that.
func TestAdditiveSteps(t *testing.T) {
	jump, steady := []float64{-22, -21, -20.5, 8, 9, 9.5}, []float64{-22, -18, -13, -8, -3, 1}
	e := New()
	for _, c := range []struct {
		y        []float64
		low, top float64
	}{{jump, 0.9, 1}, {steady, 0, 0.02}} {
		plain := e.Build(additive(1, 0, c.y...), AdditiveModels(), 0.1).Stairs.Share
		if plain < c.low || plain > c.top {
			t.Errorf("%v: levels have %.3f, want %g to %g", c.y, plain, c.low, c.top)
		}
		for _, u := range [][2]float64{{0.001, 0}, {1000, 7}, {1, -300}, {-1, 0}} {
			if got := e.Build(additive(u[0], u[1], c.y...), AdditiveModels(), 0.1).Stairs.Share; math.Abs(got-plain) > 0.01 {
				t.Errorf("%v times %g from %g: levels have %.3f, not %.3f", c.y, u[0], u[1], got, plain)
			}
		}
	}
}

// TestAdditiveGapIsFilled: the curves cross a level inside the jump anywhere in its gap,
// 0.4 to 0.6 of the doses: a tenth of them in the first quarter and in the last.
func TestAdditiveGapIsFilled(t *testing.T) {
	c := New().Build(additive(1, 0, -22, -21, -20.5, 8, 9, 9.5), AdditiveModels(), 0.1)
	first, last := 0, 0
	for _, row := range c.F {
		switch x := FirstCrossing(c.U, row, -5, true); {
		case x < 0.45:
			first++
		case x > 0.55:
			last++
		}
	}
	if least := CloudSize / 10; first < least || last < least {
		t.Errorf("%d of %d curves cross in the first quarter of the gap, %d in the last", first, CloudSize, last)
	}
}

// TestSlopesAreNoLevels: of four jars that fall in every gap the ways with a step in each
// know no level, and what they weigh is told apart; of jars on two levels hardly any do.
func TestSlopesAreNoLevels(t *testing.T) {
	// Four doses, duplicate jars: ln 35 to ln 1.36 by falls of 0.92, 0.67 and 1.63, which no
	// smooth fall has; all of the family's weight lies on the one way with three steps.
	o := &Observations{Scatter: UsualScatter, Limit: make([]int8, 8)}
	for i, v := range []float64{35, 33.5, 14.1, 13.1, 6.95, 7.08, 1.37, 1.36} {
		o.U, o.Y, o.W = append(o.U, float64(i/2+1)/4), append(o.Y, math.Log(v)), append(o.W, 1)
	}
	e := New()
	falls := e.Build(o, Models(), 0.1).Stairs
	if falls.Share < 0.9 || falls.Slopes < 0.95*(falls.Share-falls.Fallen) {
		t.Errorf("share %.3f, of that slopes %.3f", falls.Share, falls.Slopes)
	}
	if two := e.Build(jumps(0), Models(), 0.1).Stairs; two.Share < 0.9 || two.Slopes > 0.05 {
		t.Errorf("two levels: share %.3f, of that slopes %.3f", two.Share, two.Slopes)
	}
}

// TestDosesGiven: a dose is off by a share of itself, the order of the jars stands.
func TestDosesGiven(t *testing.T) {
	e, r := New(), 0
	normal := func() float64 { r++; return e.Rough[r] }
	o := &Observations{DoseError: 0.05}
	sum, squares, n := 0.0, 0.0, 4000.0
	u, out := []float64{0, 0.3, 0.31, 0.6, 1}, make([]float64, 5)
	for range int(n) {
		o.given(u, normal, out)
		if out[0] != 0 || out[2] <= out[1] || out[3] <= out[2] || out[4] > 1 {
			t.Fatalf("doses %v", out)
		}
		x := math.Log(out[3] / 0.6)
		sum, squares = sum+x, squares+x*x
	}
	matches(t, "standard deviation of ln dose", math.Sqrt(squares/n-sum*sum/n/n), 0.05, 0.003)
	if o.DoseError = 0; o.given(u, normal, out)[1] != 0.3 {
		t.Errorf("without an error the dose is %g", out[1])
	}
}

// TestDosesOffInEveryFamily: with jars that got what is written no curve crosses the jump of
// ln 3.4 to ln 0.7 outside its gap, 0.4 to 0.6 of the doses, but for the few that scatter at its
// ends; with doses off by a tenth many do, whichever way the curve was drawn.
func TestDosesOffInEveryFamily(t *testing.T) {
	e := New()
	outside := func(off float64, draw func(c *Cloud)) float64 {
		o := jumps(0)
		o.DoseError = off
		c := e.Build(o, Models(), 0.1)
		c.F, c.Sigma = nil, nil
		draw(c)
		n := 0.0
		for _, row := range c.F {
			if x := FirstCrossing(c.U, row, 2, false); x < 0.4-1e-9 || x > 0.6+1e-9 {
				n++
			}
		}
		return n / float64(len(c.F))
	}
	for name, draw := range map[string]func(c *Cloud){
		"stairs": func(c *Cloud) { c.drawStairs(e, 400) },
		"free":   func(c *Cloud) { c.drawFree(e, 400) },
	} {
		exact, off := outside(0, draw), outside(0.1, draw)
		if exact > 0.02 || off < exact+0.05 {
			t.Errorf("%s: %.3f of the curves cross outside the gap, with doses off by a tenth %.3f", name, exact, off)
		}
	}
}
