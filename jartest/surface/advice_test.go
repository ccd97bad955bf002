package surface

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// TestAdviceBounds: what goes with a surface, each rule on both sides of its bound.
func TestAdviceBounds(t *testing.T) {
	prices := [2]quantity.Money{{Amount: 1, Currency: "EUR"}, {Amount: 3, Currency: "EUR"}}
	base := func() *Result {
		r := &Result{Outcome: curve.Found, HasEstimate: true, HasPlanning: true, Relative: true, opt: Options{PricePerKg: prices}}
		r.First, r.Second = Factor{Name: "alum", Levels: []float64{10, 20, 30}}, Factor{Name: "polymer", Levels: []float64{0, 0.3, 0.6}}
		r.design.scale.x, r.design.scale.y = 30, 0.6
		r.Estimate.Pair, r.Planning.Pair = Pair{First: 10, Second: 0.3}, Pair{First: 12, Second: 0.3}
		return r
	}
	asked, err := laundry().Reads(target(t, "turbidity removal >= 85 %")[0])
	removal, bad := prepare(newDesign(laundry(), func(jartest.Jar) (string, bool) { return "", true }), asked, nil)
	if err != nil || bad != nil {
		t.Fatal(err, bad)
	}
	never := func(r *Result) {}
	for _, c := range []struct {
		name string
		make func(r *Result)
		b    *response
		want string
	}{
		{"nothing to say", never, nil, ""},
		// 0.999 of 0.6 mg/L is 0.5994.
		{"just below the highest polymer", func(r *Result) { r.Planning.Pair.Second, r.Estimate.Pair.Second = 0.5993, 0.5993 }, nil, ""},
		{"at the highest polymer", func(r *Result) { r.Planning.Pair.Second, r.Estimate.Pair.Second = 0.5995, 0.5995 }, nil, "cheapest-at-edge"},
		{"at the highest of two levels", func(r *Result) { r.Planning.Pair.Second, r.Estimate.Pair.Second, r.OnlyLevelsSecond = 0.6, 0.6, true }, nil, "two-levels"},
		{"at the highest polymer without prices", func(r *Result) {
			r.Planning.Pair.Second, r.Estimate.Pair.Second, r.opt = 0.6, 0.6, Options{}
		}, nil, "no-prices"},
		{"no prices and no answer", func(r *Result) { r.Outcome, r.opt = curve.NotReached, Options{} }, nil, ""},
		{"no prices against pH", func(r *Result) { r.Second.PH, r.opt = true, Options{} }, nil, ""},
		// 1.5 times 10 mg/L.
		{"plan at 15", func(r *Result) { r.Planning.Pair.First = 15 }, nil, ""},
		{"plan beyond 15", func(r *Result) { r.Planning.Pair.First = 15.1 }, nil, "wide-interval"},
		{"plan beyond 15 on a plain scale", func(r *Result) { r.Planning.Pair.First, r.Relative = 15.1, false }, nil, ""},
		{"plan beyond 15, no estimate", func(r *Result) { r.Planning.Pair.First, r.HasEstimate = 15.1, false }, nil, ""},
		{"estimate of none", func(r *Result) { r.Estimate.Pair.First = 0 }, nil, ""},
		// a tenth of 0.6 mg/L is 0.06.
		{"polymer moved by 0.05", func(r *Result) { r.Planning.Pair = Pair{First: 16, Second: 0.35} }, nil, "wide-interval"},
		{"polymer moved by 0.07", func(r *Result) { r.Planning.Pair = Pair{First: 16, Second: 0.37} }, nil, ""},
		{"one at a time", func(r *Result) { r.Design = OneAtATime }, nil, "one-at-a-time"},
		{"removal of 99.9 %", func(r *Result) { r.Clearest.Fit = 99.9 }, &removal, ""},
		{"removal of 99.96 %", func(r *Result) { r.Clearest.Fit = 99.96 }, &removal, "removal-near-all"},
		{"two levels of both", func(r *Result) { r.OnlyLevelsFirst, r.OnlyLevelsSecond = true, true }, nil, "two-levels two-levels"},
	} {
		r := base()
		c.make(r)
		b := c.b
		if b == nil {
			b = &response{}
		}
		r.region = engine.NewRegion(points(0.1, 0.1, 0.9, 0.1, 0.9, 1.2, 0.1, 1.2)) // no pair above lies on its border
		var codes []string
		for _, n := range r.advice(b) {
			codes = append(codes, n.Code)
		}
		if got := strings.Join(codes, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	r := base()
	r.OnlyLevelsFirst, r.First.Levels = true, []float64{10, 30}
	r.Notes = r.advice(&response{})
	if said := noteOf(*r, "two-levels"); !strings.Contains(said, "alum was tested at two levels only (10 mg/L and 30 mg/L)") {
		t.Error(said)
	}
}

// TestBorder: more could be tested past a side of the tested region, but not past none of a chemical.
func TestBorder(t *testing.T) {
	square, inner, slanted := points(0, 0, 1, 0, 1, 1, 0, 1), points(0.2, 0.3, 1, 0.3, 1, 1, 0.2, 1), points(0.2, 0.2, 1, 0.2, 0.2, 1)
	for _, c := range []struct {
		name string
		hull []engine.Point
		ph   bool
		at   engine.Point
		want bool
	}{
		{"without alum", square, false, engine.Point{X: 0, Y: 0.5}, false}, {"without polymer", square, false, engine.Point{X: 0.5, Y: 0}, false},
		{"lowest pH", square, true, engine.Point{X: 0.5, Y: 0}, true}, {"without alum at some pH", square, true, engine.Point{X: 0, Y: 0.5}, false},
		{"most alum", square, false, engine.Point{X: 1, Y: 0.5}, true}, {"most polymer", square, false, engine.Point{X: 0.5, Y: 1}, true},
		{"in the middle", square, false, engine.Point{X: 0.5, Y: 0.5}, false},
		{"half a thousandth inside", square, false, engine.Point{X: 1 - 0.5e-3, Y: 0.5}, true}, {"two thousandths inside", square, false, engine.Point{X: 1 - 2e-3, Y: 0.5}, false},
		{"least alum of some", inner, false, engine.Point{X: 0.2, Y: 0.5}, true}, {"least polymer of some", inner, false, engine.Point{X: 0.5, Y: 0.3}, true},
		{"on the slanted side", slanted, false, engine.Point{X: 0.6, Y: 0.6}, true}, {"short of it", slanted, false, engine.Point{X: 0.6, Y: 0.59}, false},
	} {
		r := &Result{region: engine.NewRegion(c.hull)}
		r.Second.PH = c.ph
		if got := r.border(c.at); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// TestPlanesSlices: of the planes, the alum needed at one level of polymer, by hand; where the
// tested region ends in a point there is one dose and no interval, and where its lowest dose
// passes nothing bounds it from below.
func TestPlanesSlices(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	r.decide()
	s := r.slice(0)
	for what, c := range map[string][2]float64{
		"half": {float64(s.Effective.Value), lineAt(50, 8, 0)}, "5 %": {float64(s.Effective.Low), lineAt(5, 8, 0)},
		"95 %": {float64(s.Effective.High), lineAt(95, 8, 0)}, "90 %": {float64(s.Planning), lineAt(90, 8, 0)},
	} {
		matches(t, what, c[0], c[1], 0.01)
	}
	if !s.Reached || !s.HasPlanning || !s.Effective.HasLow || !s.Effective.HasHigh || !s.Tested || s.Effective.Confidence != 0.9 || len(s.Curve) != 41 {
		t.Errorf("%+v", s)
	}
	if q := s.Curve[20]; q.Dose != 15 {
		t.Errorf("half-way stands %v", q.Dose)
	} else {
		// ln f = 4 - 1.5, and of 300 planes a third-thousandth apart the 5 % and 95 % bounds 0.45 to either side
		matches(t, "reading", q.Fit, 12.1825, 0.02)
		matches(t, "5 % bound", q.Low, 12.1825*0.6376, 0.05)
		matches(t, "95 % bound", q.High, 12.1825*1.5683, 0.1)
	}
	r.region = engine.NewRegion(points(0, 0, 0.5, 0, 1, 0, 1, 0.5, 1, 1)) // the alum tested starts at 30 y
	tip := r.slice(1)
	if tip.Effective.Value != 30 || tip.Effective.HasLow || tip.Effective.HasHigh || len(tip.Curve) != 1 {
		t.Errorf("at the tip: %+v, %d points", tip.Effective, len(tip.Curve))
	}
	low := r.slice(0.75) // 30 × 0.75 = 22.5 mg/L, where 11.7 would do
	if low.Effective.Value != 22.5 || low.Effective.HasLow || !low.Effective.HasHigh || low.Tested {
		t.Errorf("the lowest passes: %+v", low)
	}
	if out := r.slice(2); out.Reached || out.Curve != nil {
		t.Errorf("outside: %+v", out)
	}
}

// TestOddJarBound: a jar is odd past four times the expected scatter, that taken as 5 % at least.
func TestOddJarBound(t *testing.T) {
	for _, c := range []struct {
		sd, off float64
		limit   int8
		odd     bool
	}{{0.02, 0.19, 0, false}, {0.02, 0.21, 0, true}, {0.02, -0.21, 0, true}, {0.1, 0.39, 0, false}, {0.1, 0.41, 0, true}, {0.1, 0.41, 1, false}} {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		b := &r.responses[0]
		b.Obs.Scatter.SD = c.sd
		b.Obs.Y[4] += c.off - (b.Obs.Y[4] - b.mean(b.Obs.At(4)))
		b.Obs.Limit[4] = c.limit
		r.scattered(b)
		said := noteOf(*r, "odd-jar")
		if (said != "") != c.odd || c.odd && !strings.Contains(said, fmt.Sprintf("%q", r.Jars[b.Jar[4]].Label)) {
			t.Errorf("%+v: %q", c, said)
		}
	}
}

// TestNextPastTheTop: polymer beyond the highest tested, 0.6 mg/L, is tried where the cheapest
// pair stands at 0.999 of it or more, and prices say that it is the cheapest.
func TestNextPastTheTop(t *testing.T) {
	for second, want := range map[float64]bool{0.5993: false, 0.5995: true} {
		r := planes(t, "turbidity <= 8 NTU", Options{PricePerKg: [2]quantity.Money{{Amount: 1, Currency: "EUR"}, {Amount: 3, Currency: "EUR"}}})
		r.decide()
		r.Estimate.Pair.Second = quantity.Concentration(second)
		for _, priced := range []bool{true, false} {
			if !priced {
				r.opt = Options{}
			}
			beyond := false
			out, _ := r.Next(20)
			for _, x := range out {
				beyond = beyond || x.Pair.Second == 0.78
			}
			if beyond != (want && priced) {
				t.Errorf("estimate at %g, prices %v: %+v", second, priced, out)
			}
		}
	}
}
