package clarify

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
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

// TestHoldFromFeed: 4 kg of feed a day, a quarter of it suspended solids, make 1 kg a day. A pass takes 0.7 of what it finds, so
// that 300 mg/L are held by 1e6/(0.7 × 300) = 4762 L a day: Q = P/(E·C), the mass balance of any textbook on reactors. Half of
// that flow lets it settle at twice as much.
func TestHoldFromFeed(t *testing.T) {
	k := Tank{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 300, Stop: 300, Level: 300}
	made := Ration{Eaten: 4, Share: 0.25}.Solids()
	k.Rise = k.RiseOf(made)
	h, outcome := k.hold()
	if outcome != Held || h == nil || h.Fails || !h.PerDay.OK || !h.Needs.OK || h.Passes != 0 || h.At != 300 {
		t.Fatalf("%v %+v", outcome, h)
	}
	near(t, "made", float64(h.Made.V), 1, 1e-12)
	near(t, "flow a day", 24*float64(h.Needs.V), 1e6/0.7/300/1000, 1e-12)
	near(t, "hours a day at 1 m3/h", float64(h.PerDay.V), 4.761904761904762, 1e-12)
	near(t, "settles at 24 m3 a day", h.Settles, 1e6/0.7/24000, 1e-12)
	k.Flow = quantity.Flow(0.5 * 1e6 / 0.7 / 300 / 24000)
	h, outcome = k.hold()
	if outcome != NotHeld || !h.Fails || h.PerDay.OK {
		t.Fatalf("half the flow: %v %+v", outcome, h)
	}
	near(t, "settles with half the flow", h.Settles, 600, 1e-12)
	k.Key, k.PerUnit = jartest.Turbidity, 1.5 // 1.5 mg/L a unit: 1e6/(24 × 14000 × 1.5) an hour
	near(t, "rise as NTU", k.RiseOf(made), 1e6/24/14000/1.5, 1e-12)
}

// TestHeldByStepping: a tank run for the hours that [Tank.hold] gives, stepped by the minute through thirty days by nothing but
// its own balance, keeps the level in the mean: run a few minutes in each hour it never strays from it by more than
// it rises in an hour.
func TestHeldByStepping(t *testing.T) {
	for _, k := range []Tank{
		{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 300, Stop: 300, Level: 300, Rise: 1e6 / 24 / 14000},
		{Key: jartest.TSS, Volume: 30000, Flow: 4, Removal: 0.45, Start: 180, Stop: 180, Level: 220, Rise: 3, Floor: 12, Exchange: 0.2, New: 15},
		{Key: jartest.Turbidity, PerUnit: 1.2, Volume: 8000, Flow: 3, Removal: 0.6, Start: 20, Stop: 20, Level: 20, Exchange: 0.5, New: 60},
	} {
		h, outcome := k.hold()
		if outcome != Held {
			t.Fatalf("%+v: %v", k, outcome)
		}
		c, on := k.Level, float64(h.PerDay.V)/24 // of each hour
		v, sum := k.Volume.In("m3"), 0.0
		const steps, hours = 3600, 720
		for i := range steps * hours {
			const dt = 1.0 / steps
			q := 0.0
			if float64(i%steps)+0.5 < on*steps {
				q = float64(k.Flow)
			}
			c += dt * (k.Rise + (float64(k.Exchange)*(k.New-c)-q*float64(k.Removal)*(c-k.Floor))/v)
			sum += c
		}
		near(t, "mean of thirty days", sum/steps/hours, k.Level, 0.01)
	}
}

// TestWhenItIsHeld: 1 kg/d into 14 m3 raises the reading by 1e6/24/14000 = 2.976 mg/L an hour, and 4.762 h a day hold it: they run from the start on,
// within the hours that the unit is let, and the reading moves by what comes in over the longest rest.
func TestWhenItIsHeld(t *testing.T) {
	k := Tank{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 300, Stop: 300, Level: 300, Rise: 1e6 / 24 / 14000}
	for _, x := range []struct {
		hours  string
		begin  quantity.Time
		runs   string
		begins quantity.Time
		rests  float64
	}{
		{"", 6, "06:00-10:46", 6, 24 - 1e3/210},
		{"0-24", 6, "06:00-10:46", 6, 24 - 1e3/210},
		{"05:00-08:00, 09:00-12:00", 6, "05:00-08:00, 09:00-10:46", 5, 24 - 1e3/210 - 1},
		{"05:00-08:00, 09:00-12:00", 8.5, "05:00-06:46, 09:00-12:00", 9, 17},
		{"22-04", 1, "00:00-02:46, 22:00-24:00", 22, 24 - 1e3/210},
	} {
		k.Hours, k.Begin = nil, x.begin
		if x.hours != "" {
			var err error
			if k.Hours, err = flow.ParseHours(x.hours); err != nil {
				t.Fatal(err)
			}
		}
		h, _ := k.hold()
		if h.Runs.String() != x.runs || h.Begins != x.begins {
			t.Errorf("%q from %g: %s, from %g", x.hours, x.begin, h.Runs, h.Begins)
		}
		near(t, x.hours+": swing", h.Swing, k.Rise*x.rests, 1e-9)
	}
	k.Hours, k.Flow = flow.Hours{{From: 5, To: 7}, {From: 9, To: 11}}, 1
	if h, _ := k.hold(); !h.Fails || h.Runs.String() != "05:00-07:00, 09:00-11:00" || h.Swing != 0 {
		t.Errorf("what cannot be held runs %s", h.Runs)
	}
}

// TestClearedThenHeld: a tank that is cleared is told what holds it then, from the reading it was cleared to; what fails is said.
func TestClearedThenHeld(t *testing.T) {
	k := Tank{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 500, Stop: 250, Level: 300, Rise: 1e6 / 24 / 14000}
	r := cleaned(t, k)
	if r.Outcome != Cleared || r.Hold == nil || r.Hold.Fails {
		t.Fatalf("%v %+v", r.Outcome, r.Hold)
	}
	near(t, "from 250 it rises to 300 in", float64(r.Hold.Passes), 50/(1e6/24/14000), 1e-12)
	near(t, "cleared in", float64(r.Time), 14/0.7*math.Log((500-1e6/24/700)/(250-1e6/24/700)), 1e-6) // it settles at P/(E·Q)
	k.Hours, k.Begin, k.Start, k.Stop = flow.Hours{{From: 8, To: 12}}, 8, 310, 300                   // in its first hours it comes down
	if r = cleaned(t, k); r.Outcome != Cleared || !r.Hold.Fails || len(r.Notes) != 1 || r.Notes[0].Code != "not-held" {
		t.Fatalf("%v %+v %v", r.Outcome, r.Hold, r.Notes)
	}
	near(t, "settles, run 4 h a day", r.Hold.Settles, 1e6/0.7/4000, 1e-12)
}

// TestFeedTakesAlkalinityInTheCourse: 2.76 kg/d in 250 m3 are 11.04 mg/L a day: after 57.33 h 26.37 of 130 mg/L are gone, whatever the unit does. With 25 m3/h of new water of
// 130 mg/L a tenth of what is missing goes an hour, so that 4.6 mg/L are missing in the long run. The run integrates what the closed form says.
func TestFeedTakesAlkalinityInTheCourse(t *testing.T) {
	k := Tank{Volume: 250000, Flow: 4, Start: 260, Stop: 172, Level: 172, Removal: 0.6, Key: jartest.TSS, Alkalinity: 130, NewAlkalinity: 130, HasAlkalinity: true, Nitrified: 2.76}
	k.Rise = k.RiseOf(3)
	for _, x := range []struct {
		exchange quantity.Flow
		missing  float64
	}{{0, 2.76e6 / 250000 * 57.33 / 24}, {25, 4.6 * (1 - math.Exp(-5.733))}} {
		k.Exchange, k.New = x.exchange, 260
		if got := float64(k.NitrifiedBy(57.33)); math.Abs(got-x.missing) > 1e-6*x.missing {
			t.Errorf("%v m3/h: %v, want %v", x.exchange, got, x.missing)
		}
	}
	k.Exchange, k.New = 0, 0
	r, err := k.Run()
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Moments {
		if want := 130 - 2.76e6/250000*float64(m.At)/24; math.Abs(float64(m.Alkalinity)-want) > 1e-3 || math.Abs(float64(k.Dosed(m))-130) > 1e-3 {
			t.Errorf("at %v: %v, want %v", m.At, m.Alkalinity, want)
		}
	}
	if r.Final.At < 50 || len(r.Notes) > 0 && r.Notes[0].Code == "alkalinity-fed" {
		t.Errorf("%v %v", r.Final.At, r.Notes)
	}
	k.Asks = 120
	if r, _ = k.Run(); !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "alkalinity-fed" && n.Level == note.Caution }) {
		t.Errorf("%v", r.Notes)
	}
}

// TestNoJarTestOfClearWater: a dose curve that ends at 5 NTU calls for a jar test there while the tank is still being cleared, and for
// none where it is clear then and nothing more is dosed.
func TestNoJarTestOfClearWater(t *testing.T) {
	for stop, want := range map[float64]int{3: 1, 5: 0, 6: 0} {
		rule, err := Following([]Step{{Reading: 80, Dose: 20}, {Reading: 5, Dose: 6}})
		if err != nil {
			t.Fatal(err)
		}
		k := Tank{Key: jartest.Turbidity, Volume: 60000, Flow: 12, Start: 80, Stop: stop, Removal: 0.85, Chemicals: []Chemical{{Name: "alum", Rule: rule}}}
		got := 0
		for _, j := range cleaned(t, k).JarTests {
			if strings.Contains(j.Why.String(), "was never tested") {
				got++
			}
			if j.Reading <= stop {
				t.Errorf("to %g NTU: a jar test at %g", stop, j.Reading)
			}
		}
		if got != want {
			t.Errorf("to %g NTU: %d, want %d", stop, got, want)
		}
	}
}
