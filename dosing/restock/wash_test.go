package restock

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
)

// 17 mg/L down to 0.0271: ln(627.3) = 6.4415 volumes; 2^9 = 512 and 2^10 = 1024, so ten halves; 10^2 and 10^3, so three
// drains of nine tenths; four of three quarters leave 1/256, five 1/1024.
func TestWash(t *testing.T) {
	v, ok := Volumes(17, 0.0271)
	if !ok || math.Abs(float64(v)-6.4414) > 5e-5 {
		t.Errorf("%v volumes", v)
	}
	for share, want := range map[quantity.Fraction]int{0.5: 10, 0.75: 5, 0.9: 3, 1: 1} {
		if got := Drains(v, share); got != want {
			t.Errorf("drains of %v: %d, want %d", share, got, want)
		}
	}
	// Exactly a quarter is two halves and not three; a limit that is met needs none; without one nothing can be told.
	quarter, _ := Volumes(4, 1)
	if n := Drains(quarter, 0.5); n != 2 {
		t.Errorf("a quarter: %d", n)
	}
	if v, ok := Volumes(1, 2); v != 0 || !ok || Drains(v, 0.5) != 0 {
		t.Errorf("met: %v %v", v, ok)
	}
	if _, ok := Volumes(1, 0); ok {
		t.Error("no limit")
	}
}

// 60 m3 at 6 m3/h: 6.4415 volumes are 386.5 m3 and 64.4 h. Half drained twice leaves a quarter, so ln 4 = 1.386 less to let
// through: 5.055; and one volume drained in all, 60 m3, with 303.3 m3 let through.
func TestWays(t *testing.T) {
	tank := Tank{Volume: quantity.Some(quantity.Volume(60000)), Flow: quantity.Some(quantity.Flow(6)), Share: quantity.Some(quantity.Fraction(0.5))}
	if v := tank.Volume.V.In("m3"); v != 60 {
		t.Fatalf("%v m3", v)
	}
	v, _ := Volumes(17, 0.0271)
	ways := tank.Ways(v)
	if len(ways) != 6 {
		t.Fatalf("%d ways", len(ways))
	}
	for i, want := range []struct {
		drains            int
		then, water, take float64
	}{{0, 6.4415, 386.49, 64.415}, {1, 5.7484, 374.90, 62.484}, {2, 5.0552, 363.31, 60.552}, {3, 4.3621, 351.72, 58.621}, {4, 3.6689, 340.14, 56.689}, {10, 0, 300, 50}} {
		w := ways[i]
		near := func(got, want float64) bool { return math.Abs(got-want) < 2e-4*max(want, 1) }
		if w.Drains != want.drains || !near(float64(w.Then), want.then) || !near(w.Water.V.In("m3"), want.water) || !near(float64(w.Takes.V), want.take) {
			t.Errorf("%d: %+v, want %+v", i, w, want)
		}
	}
	tank.Share.OK = false
	if ways = tank.Ways(v); len(ways) != 4 || ways[3].Drains != 3 || math.Abs(ways[3].Water.V.In("m3")-162) > 1e-6 { // 3 × 0.9 × 60
		t.Errorf("usual: %+v", ways)
	}
	if tank.Ways(0) != nil {
		t.Error("ways to nothing")
	}
}

// Each way, followed step by step in a tank that is stirred, ends at the limit: drains by multiplying, the flow by small steps.
func TestWaysMeetTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		left := rapid.Float64Range(0.01, 100).Draw(t, "left")
		limit := rapid.Float64Range(0.001, 10).Draw(t, "limit")
		tank := Tank{Volume: quantity.Some(quantity.Volume(1000))}
		if rapid.Bool().Draw(t, "share given") {
			tank.Share = quantity.Some(quantity.Fraction(rapid.Float64Range(0.05, 1).Draw(t, "share")))
		}
		v, _ := Volumes(quantity.Concentration(left), quantity.Concentration(limit))
		for _, w := range tank.Ways(v) {
			c := left
			for range w.Drains {
				c *= 1 - float64(w.Share)
			}
			const steps = 20000
			for range steps {
				c /= 1 + float64(w.Then)/steps
			}
			if c > limit*1.005 {
				t.Fatalf("%+v leaves %v of %v, limit %v", w, c, left, limit)
			}
			if math.Abs(c-left*float64(w.Leaves)) > 0.005*max(c, limit) {
				t.Fatalf("%+v says it leaves %v, not %v", w, w.Leaves, c/left)
			}
			if w.Drains > 0 && w.Then > 0 && c < limit*0.995 {
				t.Fatalf("%+v washes more than needed: %v, limit %v", w, c, limit)
			}
		}
	})
}

// What governs is what needs most water; of what nothing is known it says so.
func TestMake(t *testing.T) {
	known := func(v float64) quantity.Known[quantity.Concentration] {
		return quantity.Some(quantity.Concentration(v))
	}
	a := Make(Answer{Residues: []Residue{
		{Chemical: "alum", As: "Al", Left: 1.2, Limit: known(0.3), Metal: true},
		{Chemical: "polymer", As: "active polymer", Left: 0.2, Limit: known(0.00271), Stop: known(0.1355)},
		{Chemical: "secret", As: "as product", Left: 3},
		{Chemical: "iron", As: "Fe", Left: 1, Metal: true},
	}})
	if a.Governs != 1 || math.Abs(float64(a.Needs)-4.3014) > 1e-4 || math.Abs(float64(a.ToStop)-0.3894) > 1e-4 || !a.Told() {
		t.Errorf("%+v", a)
	}
	if len(a.Notes) != 2 || a.Notes[0].Code != "no-limit" || a.Notes[1].Code != "no-metal-limit" {
		t.Errorf("notes %v", a.Notes)
	}
	// Nothing of a chemical that nobody knows, before one that is over its limit, does not stand in its way.
	if a := Make(Answer{Residues: []Residue{{Chemical: "secret"}, {Chemical: "polymer", Left: 2, Limit: known(1)}}}); a.Governs != 1 || math.Abs(float64(a.Needs)-math.Ln2) > 1e-12 {
		t.Errorf("behind nothing: %+v", a)
	}
	if Make(Answer{Residues: []Residue{{Left: 3}}}).Told() {
		t.Error("told without a limit")
	}
}
