package clarify

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest"
)

// TestHoldByHand: 60 m3 that rise by 0.5 NTU an hour bring 30 NTU x m3 an hour; a pass of
// 12 m3/h takes 0.85 × (5 − 1) of each: 40.8 an hour, so that 24 × 30/40.8 = 17.65 h a day hold
// it. No hours of a day hold it where more comes in than goes out, or the outlet is no clearer.
func TestHoldByHand(t *testing.T) {
	tank := Tank{Key: jartest.Turbidity, Volume: 60000, Flow: 12, Start: 4, Stop: 5, Removal: 0.85, Floor: 1, Rise: 0.5}
	for _, x := range []struct {
		what        string
		change      func(*Tank)
		outcome     Outcome
		hours, left float64 // zero: not given
	}{
		{"held", func(*Tank) {}, Held, 24 * 30 / 40.8, 2},
		{"more than it may run", func(k *Tank) { k.Hours = flow.Hours{{From: 6, To: 12}} }, NotHeld, 24 * 30 / 40.8, 2},
		{"more than a day", func(k *Tank) { k.Rise = 5 }, NotHeld, 0, 0.2},
		{"an outlet that is no clearer", func(k *Tank) { k.Floor = 5 }, NotHeld, 0, 2},
		{"an outlet that is worse", func(k *Tank) { k.Floor = 9 }, NotHeld, 0, 2},
	} {
		k := tank
		x.change(&k)
		h, outcome := k.hold()
		if outcome != x.outcome || h == nil {
			t.Fatalf("%s: %v %+v", x.what, outcome, h)
		}
		if h.PerDay.OK != (x.hours > 0) || math.Abs(float64(h.PerDay.V)-x.hours) > 1e-9 || math.Abs(float64(h.Passes)-x.left) > 1e-9 {
			t.Errorf("%s: %+v, want %g h a day, after %g h", x.what, h, x.hours, x.left)
		}
	}
}
