package caution

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestSlowAlkalis: limestone and magnesia dissolve in hours to days, limestones below pH 8.3 (Boyd, Liming materials for aquaculture),
// magnesium hydroxide below about 9 (common practice, no source): 15 mg/L CaCO3 in a water of 10 gives no alkalinity in the pipe,
// and no pH above its end; what dissolves at once does as before.
func TestSlowAlkalis(t *testing.T) {
	soft := func(w *Water) {
		w.PH, w.Alkalinity, w.Ammonia = quantity.Some(quantity.PH(6.6)), quantity.Some(quantity.Alkalinity(10)), quantity.Some(quantity.Concentration(0.5))
		w.Temperature = quantity.Some(quantity.Temperature(10))
	}
	for _, x := range []struct {
		id    string
		basis quantity.Basis
		ends  quantity.PH // zero for what is not slow
	}{{"ag-lime", quantity.AsLimestone, 8.3}, {"dolomite", quantity.AsDolomite, 8.3}, {"magnesia", quantity.AsMgOH2, 9}, {"lime", quantity.AsCaOH2, 0}} {
		f := Review(Situation{Purpose: Animals, Water: with(beck(), soft), Stock: stock(t, "rainbow trout"), Doses: []Dose{dose(t, x.id, 15, x.basis)}})
		c := f.Water
		if (c.Slow != nil) != (x.ends > 0) {
			t.Fatalf("%s: slow %v", x.id, c.Slow)
		}
		if x.ends == 0 {
			if c.AlkalinityLeft <= 25 || !f.Stopped {
				t.Errorf("lime: %+v", c)
			}
			continue
		}
		if c.AlkalinityLeft != 10 || math.Abs(float64(c.Closed.PH-6.6)) > 1e-6 || math.Abs(float64(c.Slow.Closed.PH-x.ends)) > 1e-3 || f.Stopped {
			t.Errorf("%s: left %v, pH %v, in the end %v, stopped %v", x.id, c.AlkalinityLeft, c.Closed.PH, c.Slow.Closed.PH, f.Stopped)
		}
		if a := c.Slow.Alkalinity(); a <= 10 || a >= 36 {
			t.Errorf("%s: alkalinity in the end %v", x.id, a)
		}
		noNote(t, f, "ph-step")
		level(t, f, "alkali-slow", note.Info)
	}
}

// TestSlowAlkaliJudgedBothWays: 25 mg/L of alum takes 12.6 mg/L CaCO3 of 45, and 15 mg/L of limestone give back 15.0 in days: 32.4 as it
// leaves, 47.4 in the end. Too little is judged by the former; too much ammonia, from 3 mg/L as N, by the pH of the latter.
func TestSlowAlkaliJudgedBothWays(t *testing.T) {
	water := with(beck(), func(w *Water) {
		w.PH, w.Alkalinity = quantity.Some(quantity.PH(7.4)), quantity.Some(quantity.Alkalinity(45))
	})
	both := []Dose{dose(t, "alum-dry", 25, quantity.AsAlum14), dose(t, "ag-lime", 15, quantity.AsLimestone)}
	f := Review(Situation{Purpose: Animals, Water: water, Stock: stock(t, "channel catfish"), Doses: both})
	c := f.Water
	if math.Abs(float64(c.AlkalinityLeft)-32.4) > 0.05 || math.Abs(float64(c.Slow.Alkalinity())-47.4) > 0.05 || c.Slow.Closed.PH <= c.Closed.PH {
		t.Errorf("left %v, in the end %v, pH %v and %v", c.AlkalinityLeft, c.Slow.Alkalinity(), c.Closed.PH, c.Slow.Closed.PH)
	}
	noNote(t, f, "alkalinity-rests")
	s := Situation{Purpose: Animals, Stock: stock(t, "sturgeon"), Doses: both[1:],
		Water: with(water, func(w *Water) {
			w.PH, w.Ammonia = quantity.Some(quantity.PH(7)), quantity.Some(quantity.Concentration(1))
		})}
	for _, n := range Review(s).Notes {
		if n.Code == "nh3-high" && strings.Contains(n.Message, " once agricultural lime has dissolved as far as it does; ") {
			return
		}
	}
	t.Errorf("%v", Review(s).Notes)
}
