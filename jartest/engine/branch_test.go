package engine

import (
	"math"
	"slices"
	"testing"
)

// rebounding are jars of a water that falls by half a step of the logarithm per tenth of
// the range to a floor, and stands at one level once it is overdosed, beyond 0.7.
func rebounding() (o *Observations, fall func(u float64) float64) {
	fall = func(u float64) float64 { return math.Log(1.5 + 40*math.Exp(-8*u)) }
	o = &Observations{Scatter: UsualScatter, Limit: make([]int8, 8)}
	for i, off := range []float64{0.03, -0.04, 0.02, 0.05, -0.03, -0.02, 0.04, -0.04} {
		u := float64(i+1) / 8
		y := fall(u)
		if u > 0.7 {
			y = 3
		}
		o.U, o.Y, o.W = append(o.U, u), append(o.Y, y+off), append(o.W, 1)
	}
	return o, fall
}

// TestBranchTellsTheFall: where a sudden rise shuts out every smooth model, the models
// still say how the water falls between the jars before it; levels alone do not.
func TestBranchTellsTheFall(t *testing.T) {
	o, fall := rebounding()
	c := New().Build(o, Models(), 0.1)
	if s := &c.Stairs; s.Fallen < 0.5 || s.Fallen > s.Share || s.Share > 1 {
		t.Fatalf("branches have %.3f of %.3f", s.Fallen, s.Share)
	}
	level := fall(0.3125) // half-way between two jars
	var doses []float64
	for _, f := range c.F {
		doses = append(doses, FirstCrossing(c.U, f, level, false))
	}
	slices.Sort(doses)
	low, mid, high := Quantile(doses, 0.05), Quantile(doses, 0.5), Quantile(doses, 0.95)
	if low > 0.3125 || high < 0.3125 || math.Abs(mid-0.3125) > 0.015 || high-low > 0.1 {
		t.Errorf("the dose is 0.3125, the curves say %.4f (%.4f to %.4f)", mid, low, high)
	}
	if n := len(c.F); n != CloudSize || len(c.Sigma) != n {
		t.Errorf("%d curves, %d scatters", n, len(c.Sigma))
	}
	for _, u := range []float64{0.1875, 0.4375, 0.6} {
		if got := Along(c.U, c.Stairs.Curve(c.U), u); math.Abs(got-fall(u)) > 0.1 {
			t.Errorf("the likeliest branch is %.3f at %g, the water %.3f", got, u, fall(u))
		}
	}
	rest, _ := c.Stairs.Without(o, 2)
	if got := Along(c.U, rest.Curve(c.U), 0.375); rest.lead() == nil || math.Abs(got-fall(0.375)) > 0.15 {
		t.Errorf("without its jar the branch is %.3f at 0.375, the water %.3f", got, fall(0.375))
	}
}

// TestPart takes jars apart by hand: before the gap doses scaled by the last of them,
// after it a level of 2.6 = (2.4 + 2 x 2.7)/3, about which 0.04 + 2 x 0.01 = 0.06 is left
// on one degree of freedom; with the prior's 2 x 0.08^2 = 0.0128 on two that is 0.0728 on
// three. The gap is a quarter of the range. Five jars leave nu = 2 + 5 - 1 = 6, five with the step:
// ln(Gamma(2.5)/Gamma(3)) = ln(1.32934/2).
func TestPart(t *testing.T) {
	o := &Observations{U: []float64{0, 0.25, 0.5, 0.75, 1}, Y: []float64{4, 3, 1, 2.4, 2.7}, W: []float64{1, 1, 1, 1, 2}, Limit: make([]int8, 5), Scatter: UsualScatter}
	s := o.stairs()
	b, same := s.part(o, 2, 0)
	if want := []float64{0, 0.5, 1}; !slices.Equal(b.left.U, want) || b.last != 2 {
		t.Errorf("doses of the fall %v, want %v", b.left.U, want)
	}
	matches(t, "level", b.treads[0].level, 2.6, 1e-12)
	matches(t, "weight", b.treads[0].weight, 3, 0)
	matches(t, "worth", b.left.Scatter.Worth, 3, 0)
	matches(t, "scatter", b.left.Scatter.SD, math.Sqrt(0.0728/3), 1e-12)
	want := 0.5*math.Log(6*math.Pi/3/3) + math.Log(1.329340388/2) + math.Log(riseShare) + math.Log(0.25)
	matches(t, "common weight", same, want, 1e-8)
	o.Limit[3], o.Limit[4] = 1, 1 // beyond a limit they say nothing of the scatter
	b, _ = s.part(o, 2, 0)
	matches(t, "worth of limits", b.left.Scatter.Worth, 2, 0)
	// With the first of them caught half-way up each has its own level, 2.4 and 2.7: nothing is
	// left about them, and of the worth of 2 + 2 two go for the levels. Each level is
	// integrated out by itself, and the two steps may come in either order.
	o.Limit[3], o.Limit[4] = 0, 0
	b, same = s.part(o, 2, 1)
	if len(b.treads) != 2 || b.treads[0] != (tread{3, 2.4, 1}) || b.treads[1] != (tread{4, 2.7, 2}) {
		t.Errorf("treads %v", b.treads)
	}
	matches(t, "worth with one caught", b.left.Scatter.Worth, 2, 0)
	matches(t, "scatter with one caught", b.left.Scatter.SD, 0.08, 1e-9)
	want = 0.5*math.Log(6*math.Pi*math.Pi/(1*2*3)) + math.Log(1/2.0) + math.Log(riseShare) + math.Log(0.25) + math.Log(0.25*2) // Gamma(2)/Gamma(3) = 1/2
	matches(t, "common weight with one caught", same, want, 1e-8)
}

// TestOverdosed: the fall as far as the step, a straight rise of the reading to the level, here from a
// quarter of the gap to its end, and that level from there on; one drawn below the foot
// is turned up.
func TestOverdosed(t *testing.T) {
	s := Stairs{U: []float64{0.2, 0.4, 0.8, 1}}
	m := logQuadratic()                                                                     // -b u + c u^2 of the share of the fall's range, here to 0.4
	half := func(a, b float64) float64 { return math.Log((math.Exp(a) + math.Exp(b)) / 2) } // of the readings
	b := &branch{last: 1, fall: ModelSample{Model: &m}, treads: []tread{{from: 2}}}
	d := &Draw{A: 3, B: 1, Shape: [MaxParams]float64{2, 0.5}}
	curve := func(rise [2]float64, levels []float64, doses ...float64) []float64 {
		at, row := (&Observations{U: doses}).Places(), make([]float64, len(doses))
		b.scaled(&s, at, 1, at)
		s.overdosed(b, d, rise, levels, at, row)
		return row
	}
	for _, level := range []float64{2.5, 3 - 2*1.25 + 0.5*1.5625 - (2.5 - (3 - 2*1.25 + 0.5*1.5625))} { // the foot at 0.5 is 1.28125
		row := curve([2]float64{0.25, 1}, []float64{level}, 0.2, 0.5, 0.65, 0.8, 1)
		for i, want := range []float64{3 - 2*0.5 + 0.5*0.25, 1.28125, half(1.28125, 2.5), 2.5, 2.5} {
			matches(t, "curve", row[i], want, 1e-12)
		}
	}
	// A dose at 0.8 caught half-way up, on 2: straight to it, and on to 4 at half of the next gap, 0.9.
	b.treads = []tread{{from: 2}, {from: 3}}
	row := curve([2]float64{0.25, 0.5}, []float64{2, 4}, 0.5, 0.65, 0.8, 0.85, 0.9, 1)
	for i, want := range []float64{1.28125, half(1.28125, 2), 2, half(2, 4), 4, 4} {
		matches(t, "curve through a dose caught", row[i], want, 1e-12)
	}
}

// TestRise: one step up is sharp, or one that catches a dose; three are a slope, and none is no rise.
func TestRise(t *testing.T) {
	for _, c := range []struct {
		w      stairway
		caught int
		sharp  bool
	}{{stairway{steps: 0b0011}, 0, false}, {stairway{steps: 0b1001, turn: 4}, 0, true}, {stairway{steps: 0b1101, turn: 3}, 1, true},
		{stairway{steps: 0b1111, turn: 2}, 0, false}, {stairway{steps: 0b101, turn: 1}, 0, false}} {
		if caught, sharp := c.w.rise(); caught != c.caught || sharp != c.sharp {
			t.Errorf("%+v: %d %v", c.w, caught, sharp)
		}
	}
}

// TestCaughtHalfWay: a jar half-way up the rise does not hide how the water falls before
// it: the curves' dose half-way between two jars is as well known as without that jar.
func TestCaughtHalfWay(t *testing.T) {
	o, fall := rebounding()
	o.Y[5] = 1.9 // at 0.75; the floor is ln 1.5 = 0.41, the level 3
	c := New().Build(o, Models(), 0.1)
	var doses []float64
	for _, f := range c.F {
		doses = append(doses, FirstCrossing(c.U, f, fall(0.3125), false))
	}
	slices.Sort(doses)
	if low, high := Quantile(doses, 0.05), Quantile(doses, 0.95); c.Stairs.Fallen < 0.5 || low > 0.3125 || high < 0.3125 || high-low > 0.1 {
		t.Errorf("branches have %.2f; the dose is 0.3125, the curves say %.4f to %.4f", c.Stairs.Fallen, low, high)
	}
	if lead := c.Stairs.lead(); lead == nil || len(lead.treads) != 2 || lead.last != 4 {
		t.Fatalf("the likeliest branch is %+v", lead)
	}
	for _, jar := range []struct{ out, treads int }{{2, 2}, {5, 1}, {7, 2}} { // left of the rise, the one caught, one beyond
		rest, _ := c.Stairs.Without(o, jar.out)
		if lead := rest.lead(); lead == nil || len(lead.treads) != jar.treads {
			t.Errorf("without jar %d the branch is %+v", jar.out, lead)
		}
	}
}

// TestBranchDosesOff: branches drawn with doses off by a tenth cross half-way between two
// jars with that tenth more spread of the logarithm than those drawn as written, the two
// adding as squares.
func TestBranchDosesOff(t *testing.T) {
	e := New()
	spread := func(off float64) float64 {
		o, fall := rebounding()
		o.DoseError = off
		c := &Cloud{Obs: o, Stairs: o.stairs()}
		c.Stairs.follow(e, o, Models(), c.Stairs.evidence)
		c.grid(c.Stairs.U)
		c.drawBranches(e, 800)
		sum, squares := 0.0, 0.0
		for _, f := range c.F {
			x := math.Log(FirstCrossing(c.U, f, fall(0.3125), false))
			sum, squares = sum+x, squares+x*x
		}
		n := float64(len(c.F))
		return math.Sqrt(squares/n - sum*sum/n/n)
	}
	exact := spread(0)
	matches(t, "spread with doses off", spread(0.1), math.Hypot(exact, 0.1), 0.01)
}

// TestLevels: ways that step in every gap are no levels, so that they neither make levels
// tell most nor keep a branch from leading.
func TestLevels(t *testing.T) {
	fit := ModelSample{Mode: []float64{0}}
	s := Stairs{Share: 0.6, Slopes: 0.3, Fallen: 0.2, branches: []branch{{fall: fit}}}
	if s.Tell() || s.lead() == nil {
		t.Errorf("levels have %.1f of it: tell %v, a branch leads %v", s.Levels(), s.Tell(), s.lead() != nil)
	}
	if s.Slopes = 0.1; !s.Tell() || s.lead() != nil {
		t.Errorf("levels have %.1f of it: tell %v, a branch leads %v", s.Levels(), s.Tell(), s.lead() != nil)
	}
}
