package clarify

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestHoldUsesByHand: as [TestHoldByHand], 17.647 h a day at 12 m3/h are 211.76 m3; of a dose of 8 mg/L 1.6941 kg of it a day, of one
// that is set at 8 and fed at 10 2.1176. With new water of 20 NTU at 1 m3/h instead of a rise, (20 - 5) x 24/40.8 = 8.8235 h hold it, and
// left alone it passes 5 after ln((20 - 4)/(20 - 5)) x 60 h = 3.8723 h. New water clearer than 5 holds it by itself. The hours that it
// may run are enough to the last.
func TestHoldUsesByHand(t *testing.T) {
	tank := Tank{Key: jartest.Turbidity, Volume: 60000, Flow: 12, Start: 4, Stop: 5, Removal: 0.85, Floor: 1, Rise: 0.5,
		Chemicals: []Chemical{{Name: "alum",
			Rule: Always(8)}, {Name: "floc", Rule: Always(8), Gives: func(quantity.Concentration) quantity.Concentration { return 10 }}}}
	h, outcome := tank.hold()
	if outcome != Held || len(h.Uses) != 2 {
		t.Fatalf("%v, %+v", outcome, h)
	}
	for i, want := range []float64{8 * 12 * 24 * 30 / 40.8 / 1000, 10 * 12 * 24 * 30 / 40.8 / 1000} {
		if math.Abs(float64(h.Uses[i].Dosed)-want) > 1e-9 {
			t.Errorf("%+v, want %g", h.Uses[i], want)
		}
	}
	for _, x := range []struct {
		what         string
		change       func(*Tank)
		outcome      Outcome
		hours, alone float64
	}{
		{"new water", func(k *Tank) { k.Rise, k.Exchange, k.New = 0, 1, 20 }, Held, 24 * 15 / 40.8, 60 * math.Log(16.0/15)},
		{"little new water", func(k *Tank) { k.Rise, k.Exchange, k.New = 0, 0.5, 20 }, Held, 12 * 15 / 40.8, 120 * math.Log(16.0/15)},
		{"clear new water", func(k *Tank) { k.Rise, k.Exchange, k.New = 0, 1, 5 }, ClearAlready, 0, 0},
		{"nothing comes", func(k *Tank) { k.Rise = 0 }, ClearAlready, 0, 0},
		{"just the hours that it takes", func(k *Tank) { k.Rise, k.Hours = 40.8/60/2, flow.Hours{{From: 6, To: 18}} }, Held, 12,
			1 / (40.8 / 60 / 2)},
		{"an hour less", func(k *Tank) { k.Rise, k.Hours = 40.8/60/2, flow.Hours{{From: 6, To: 17}} }, NotHeld, 12, 1 / (40.8 / 60 / 2)},
		{"all day", func(k *Tank) { k.Rise = 40.8 / 60 }, Held, 24, 60 / 40.8},
	} {
		k := tank
		x.change(&k)
		h, outcome := k.hold()
		if outcome != x.outcome || (h == nil) != (outcome == ClearAlready) {
			t.Errorf("%s: %v, %+v", x.what, outcome, h)
			continue
		}
		if h != nil && (math.Abs(float64(h.PerDay.V)-x.hours) > 1e-6 || math.Abs(float64(h.Passes)-x.alone) > 1e-6) {
			t.Errorf("%s: %+v, want %g h a day, after %g h", x.what, h, x.hours, x.alone)
		}
	}
}

// TestRulesAtTheirPoints: a step has the larger dose of its two ends, so that none is too little between them; a curve is straight
// between its points and level beyond them; one dose follows nothing.
func TestRulesAtTheirPoints(t *testing.T) {
	points := []Step{{Reading: 30, Dose: 20}, {Reading: 10, Dose: 8}}
	steps, err := Stepped(points)
	if err != nil {
		t.Fatal(err)
	}
	curve, err := Following(points)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ reading, step, line float64 }{{5, 0, 8}, {10, 20, 8}, {20, 20, 14}, {30, 20, 20}, {40, 20, 20}} {
		if s := float64(steps.At(x.reading)); s != x.step {
			t.Errorf("%g: %g by steps, want %g", x.reading, s, x.step)
		}
		if c := float64(curve.At(x.reading)); math.Abs(c-x.line) > 1e-12 {
			t.Errorf("%g: %g by the curve, want %g", x.reading, c, x.line)
		}
		if c := float64(curve.Times(0.5).At(x.reading)); math.Abs(c-x.line/2) > 1e-12 {
			t.Errorf("%g: %g of half the curve", x.reading, c)
		}
	}
	if !steps.Follows() || !curve.Follows() || Always(8).Follows() || Always(8).At(99) != 8 {
		t.Error("what follows the reading")
	}
	lowest, is := curve.Tested()
	_, stepped := steps.Tested()
	if lowest != 10 || !is || stepped {
		t.Errorf("tested from %g, %v, %v", lowest, is, stepped)
	}
}
