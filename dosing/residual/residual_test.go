package residual

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

func anyLoop(t *rapid.T) Loop {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	return Loop{
		Volume:    quantity.Volume(f("volume", 100, 1e6)),
		Flow:      quantity.Flow(f("flow", 0, 100)),
		Dose:      quantity.Concentration(f("dose", 0, 50)),
		Capture:   quantity.Fraction(f("capture", 0, 1)),
		Recapture: quantity.Fraction(f("recapture", 0, 1)),
		Exchange:  quantity.Flow(f("exchange", 0, 10)),
		MakeUp:    quantity.Concentration(f("make-up", 0, 5)),
		Start:     quantity.Concentration(f("start", 0, 5)),
	}
}

// The closed form against plain numerical integration of the balance.
func TestAtAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		hours := rapid.Float64Range(0, 20).Draw(t, "time")
		slope := func(r float64) float64 {
			q, e := float64(l.Flow)*1000, float64(l.Exchange)*1000
			return (q*float64(l.Dose)*(1-float64(l.Capture)) - e*(r-float64(l.MakeUp)) - q*float64(l.Recapture)*r) / float64(l.Volume)
		}
		if fast := (float64(l.Flow) + float64(l.Exchange)) * 1000 / float64(l.Volume) * hours; fast > 100 {
			t.Skip("too stiff for fixed steps")
		}
		const n = 2000
		r, h := float64(l.Start), hours/n
		for range n {
			k1 := slope(r)
			k2 := slope(r + h*k1/2)
			k3 := slope(r + h*k2/2)
			k4 := slope(r + h*k3)
			r += h * (k1 + 2*k2 + 2*k3 + k4) / 6
		}
		if got := float64(l.At(quantity.Time(hours))); math.Abs(got-r) > 1e-5*math.Max(1, math.Abs(r)) {
			t.Fatalf("closed form %g, integrated %g", got, r)
		}
	})
}

func TestWorstBoundsEveryCase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		h := quantity.Time(rapid.Float64Range(0, 500).Draw(t, "time"))
		bound := math.Max(float64(l.Start), float64(l.MakeUp)) + l.Turnovers(h)*float64(l.Dose) // Q t D / V
		if got := float64(l.At(h)); got > bound*(1+1e-9)+1e-9 {
			t.Fatalf("%g above the worst case %g", got, bound)
		}
		if once := Once(l.Dose, l.Capture); once > l.Dose {
			t.Fatalf("once through leaves %v of %v", once, l.Dose)
		}
	})
}

func TestReachesIsWhereAtMeetsTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		limit := quantity.Concentration(rapid.Float64Range(0.001, 100).Draw(t, "limit"))
		at, ok := l.Reaches(limit)
		if !ok {
			far := l.At(1e9)
			if (l.Start < limit) != (far < limit) && math.Abs(float64(far-limit)) > 1e-6 {
				t.Fatalf("said never, yet it goes from %v to %v past %v", l.Start, far, limit)
			}
			return
		}
		if got := l.At(at); math.Abs(float64(got-limit)) > 1e-6*math.Max(1, float64(limit)) {
			t.Fatalf("at %v the residual is %v, not %v", at, got, limit)
		}
	})
}

// Without capture, 0.5 mg/L a pass puts 0.5 mg/L in the tank at every turnover
// (the bound Q t D / V). 20 m3 at 10 m3/h turn over in two hours.
func TestTurnoversByHand(t *testing.T) {
	l := Loop{Volume: 20000, Flow: 10, Dose: 0.5}
	if got := l.Turnovers(6); got != 3 {
		t.Errorf("turnovers %g, want 3", got)
	}
	if got := l.At(6); got != 1.5 {
		t.Errorf("worst case %v, want 1.5", got)
	}
	if at, ok := l.Reaches(0.25); !ok || at != 1 {
		t.Errorf("0.25 mg/L is reached after %v, want 1 h", at)
	}
}

// A fifth of the water exchanged a day, continuously, leaves 82 % of a salt after
// one day (worked answer in public discussion of water changes: 81.9 %); steady,
// a salt stands at what each pass adds over the share replaced.
func TestExchangeByHand(t *testing.T) {
	l := Loop{Volume: 1000, Exchange: 0.2 / 24, Start: 100}
	if got := float64(l.At(24)); math.Abs(got-81.87) > 0.01 {
		t.Errorf("after one day %g, want 81.87", got)
	}
	d := Daily{Loop{Volume: 10000, Flow: 10, Dose: 29, Exchange: 0.5}, 24}
	if got, ok := d.Settles(); !ok || math.Abs(float64(got)-29/0.05) > 1e-9 {
		t.Errorf("steady %v, want 580", got)
	}
}

// TestEdges: without a volume nothing is known and nothing rises; a capture outside 0
// to 1 counts as its end; what never comes has no time.
func TestEdges(t *testing.T) {
	none := Loop{Flow: 10, Dose: 1, HalfLife: 5, Makes: 3, Start: 0.2}
	if none.Turnovers(5) != 0 || none.At(9) != 0.2 {
		t.Errorf("without a volume: %g turnovers, %v", none.Turnovers(5), none.At(9))
	}
	if Once(2, 1.05) != 0 || Once(2, -0.3) != 2 || Once(2, 1) != 0 {
		t.Error("a capture outside 0 to 1")
	}
	still := Loop{Volume: 100, Start: 3}
	for limit, want := range map[quantity.Concentration]bool{3: true, 4: false, 2: false} {
		if at, ok := still.Reaches(limit); ok != want || at != 0 {
			t.Errorf("still water comes to %v after %v, %v", limit, at, ok)
		}
	}
	closed := Daily{Loop{Volume: 100, Flow: 1, Dose: 1}, 8}
	if level, ok := closed.Settles(); ok || level != 0 {
		t.Errorf("a closed loop settles at %v", level)
	}
	if at, ok := closed.Reaches(1e6, 30); ok || at != 0 {
		t.Errorf("after %v", at)
	}
	// 1 m3/h through 100 L puts 10 mg/L an hour into it: 80 a day, 100 two hours into the second run.
	if at, ok := closed.Reaches(100, 30); !ok || at != 26 {
		t.Errorf("after %v, want 26 h", at)
	}
	if at, ok := closed.Reaches(40, 30); !ok || at != 4 {
		t.Errorf("after %v, want 4 h", at)
	}
	// Broken down by half in an hour: x = e^(-ln 2 t); a slow loss is the line that it begins as.
	half := Loop{Volume: 100, Start: 8, HalfLife: 1}
	if got := float64(half.At(3)); math.Abs(got-1) > 1e-12 {
		t.Errorf("three half-lives leave %g of 8", got)
	}
	slow := Loop{Volume: 1e6, Flow: 1, Dose: 1, HalfLife: 1e12}
	if got := float64(slow.At(100)); math.Abs(got-0.1*(1-math.Ln2*50/1e12)) > 1e-15 {
		t.Errorf("a slow loss: %.18g", got)
	}
}
