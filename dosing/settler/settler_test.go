package settler

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tol)
	}
}

// TestRates: depth over time by hand. 10 cm at 2.44 m/h (1 gpm/ft2, NIST SP 811: 2.4447 m/h) takes 0.1/2.44 h = 2.459 min;
// 10 cm in 10 min is 0.6 m/h, in 2 min 3 m/h.
func TestRates(t *testing.T) {
	near(t, "time for 2.44 m/h", TimeFor(0.1, 2.44).In("min"), 2.459, 0.0005)
	near(t, "time for 1 gpm/ft2", TimeFor(0.1, quantity.Loading(2.4447)).In("min"), 2.454, 0.0005)
	near(t, "10 cm in 10 min", float64(RateOf(0.1, 10.0/60)), 0.6, 1e-12)
	near(t, "10 cm in 2 min", float64(RateOf(0.1, 2.0/60)), 3, 1e-12)
	safe, bold := Real(3)
	near(t, "safe", float64(safe), 3/1.75, 1e-12)
	near(t, "bold", float64(bold), 2.4, 1e-12)
}

// TestCurve: 10 cm deep after 2, 5 and 10 min, 18, 8 and 4 NTU, stand for 3, 1.2 and 0.6 m/h. Half-way by ratio
// between 0.6 and 1.2 is 0.6·√2 = 0.8485 m/h and 6 NTU; 13 NTU lies half-way from 1.2 to 3, √3.6 = 1.8974 m/h.
func TestCurve(t *testing.T) {
	c := NewCurve(0.1, []Point{{Time: 2.0 / 60, Reading: 18}, {Time: 5.0 / 60, Reading: 8}, {Time: 10.0 / 60, Reading: 4}})
	for _, x := range [][2]float64{{0.6, 4}, {0.6 * math.Sqrt2, 6}, {1.2, 8}, {math.Sqrt(3.6), 13}, {3, 18}} {
		got, ok := c.At(quantity.Loading(x[0]))
		if !ok {
			t.Errorf("no reading at %g m/h", x[0])
		}
		near(t, "reading", got, x[1], 1e-9)
	}
	for _, out := range []quantity.Loading{0.5, 3.1} {
		if v, ok := c.At(out); ok {
			t.Errorf("%v was not tested and reads %g", out, v)
		}
	}
	for _, x := range []struct {
		most, rate float64
		open, ok   bool
	}{{6, 0.6 * math.Sqrt2, false, true}, {13, math.Sqrt(3.6), false, true}, {20, 3, true, true}, {3, 0, false, false}, {4, 0.6, false, true}} {
		rate, open, ok := c.Fastest(x.most)
		if open != x.open || ok != x.ok {
			t.Errorf("%g NTU: open %v, ok %v", x.most, open, ok)
		}
		near(t, "fastest", float64(rate), x.rate, 1e-9)
	}
	if _, _, ok := (Curve{}).Fastest(5); ok {
		t.Error("no readings gave a rate")
	}
}

// TestSettler: 60 m3/h on 32 m2 of 3 m depth with 8 m of weir are 1.875 m/h, 96/60 = 1.6 h and 7.5 m3/h a metre. Its
// bounds are 2.5 m/h × 32 = 80 m3/h, 96/1.5 = 64 m3/h, and 250/24 × 8 = 83.33 m3/h: the time ends it.
func TestSettler(t *testing.T) {
	u := Unit{Area: quantity.Some(quantity.Area(32)), Depth: quantity.Some(quantity.Length(3)), Weir: quantity.Some(quantity.Length(8))}
	s := u.At(60)
	near(t, "loading", float64(s.Loading.V), 1.875, 1e-12)
	near(t, "stay", float64(s.Stay.V), 1.6, 1e-12)
	near(t, "weir", float64(s.Weir.V), 7.5, 1e-12)
	for i, want := range []float64{80, 64, 83.3333} {
		near(t, u.Guides()[i].Name, float64(u.Guides()[i].Most), want, 1e-3)
	}
	if most, by, ok := u.Most(); !ok || by != "time in the settler" || most != 64 {
		t.Errorf("good to %v by %s", most, by)
	}
	for _, x := range []struct {
		q    quantity.Flow
		want string
	}{
		{64, ""}, {70, "settler-stay note "}, {79, "settler-stay caution "}, {110, "settler-loading caution settler-weir caution "},
	} {
		got := ""
		for _, n := range u.Faults(x.q) {
			got += n.Code + " " + n.Level.String() + " "
		}
		if got != x.want {
			t.Errorf("%v: %q, want %q", x.q, got, x.want)
		}
	}
	// Over tubes the water stays shorter, and 7.5 m/h × 32 m2 = 240 m3/h; the weir ends it.
	u.Tubes = true
	if most, by, _ := u.Most(); by != "weir loading" || len(u.Guides()) != 2 || math.Abs(float64(u.Guides()[0].Most)-240) > 1e-9 {
		t.Errorf("with tubes good to %v by %s", most, by)
	}
	// Nothing is judged of what is not known; a flow of nothing has no figures.
	if none := (Unit{}); none.Told() || len(none.Guides()) != 0 || len(none.Unjudged()) != 3 || none.Faults(50) != nil {
		t.Error("a unit of which nothing is known is judged")
	}
	if s := u.At(0); s.Loading.OK || s.Stay.OK || s.Weir.OK {
		t.Error("no flow has a loading")
	}
}

// TestPond: 900 m2 are a pond below 0.25 m/h, a tenth of 2.5: at 224 m3/h and not at 226. With tubes, held to 7.5 m/h, below 0.75.
func TestPond(t *testing.T) {
	u := Unit{Area: quantity.Some(quantity.Area(900)), Depth: quantity.Some(quantity.Length(1.5))}
	if !u.Kept(224).Pond || u.Kept(226).Pond || (Unit{}).Kept(1).Pond {
		t.Error("what a pond is")
	}
	if pond := u.Kept(60); len(pond.Guides()) != 0 || pond.Faults(60) != nil || len(pond.Unjudged()) != 1 || len(u.Kept(300).Guides()) != 2 {
		t.Errorf("%+v", pond.Unjudged())
	}
	if u.Tubes = true; !u.Kept(670).Pond || u.Kept(680).Pond {
		t.Error("what a pond of tubes is")
	}
}

// TestLimit: the curve of TestCurve keeps 6 NTU up to 0.848528 m/h, for a real settler 0.484873 to 0.678823 m/h, on 10 m2 4.84873 to 6.78823
// m3/h; 9.69746 m3/h take 20 m2. 3 NTU it keeps nowhere, 0.6 m/h is the slowest; 20 NTU everywhere.
func TestLimit(t *testing.T) {
	c := NewCurve(0.1, []Point{{Time: 2.0 / 60, Reading: 18}, {Time: 5.0 / 60, Reading: 8}, {Time: 10.0 / 60, Reading: 4}})
	l, ok := c.Limit(6)
	safe, bold := l.Flows(10)
	near(t, "rate", float64(l.Rate), 0.848528, 1e-6)
	near(t, "safe", float64(l.Safe), 0.484873, 1e-6)
	near(t, "bold", float64(l.Bold), 0.678823, 1e-6)
	near(t, "safe flow", float64(safe), 4.84873, 1e-5)
	near(t, "bold flow", float64(bold), 6.78823, 1e-5)
	near(t, "surface", float64(l.Surface(9.69746)), 20, 1e-4)
	if !ok || !l.Met || l.Open || l.Most != 6 {
		t.Errorf("%+v", l)
	}
	if l, _ := c.Limit(3); l.Met || l.Rate != c[0].Rate {
		t.Errorf("%+v", l)
	}
	if l, _ := c.Limit(20); !l.Met || !l.Open {
		t.Errorf("%+v", l)
	}
	if _, ok := (Curve{}).Limit(6); ok {
		t.Error("no readings have a limit")
	}
}
