package residual

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// minutes runs the balance of a loop minute by minute, with the amount that stands in
// it and shares of that taken out in turn: another road to the level at the end of
// each day's run. The second value is the minute in which it first passes a limit
// while the unit runs, -1 where it never does.
func minutes(d Daily, days int, limit float64) (ends []float64, passes int) {
	litres := float64(d.Volume)
	mg := float64(d.Start) * litres
	const part = 1.0 / 60 / 8 // of an hour
	passes = -1
	for day := range days {
		for i := range 24 * 60 * 8 {
			if at := float64(i) * part; at < float64(d.Hours)-1e-9 {
				through := float64(d.Flow) * 1000 * part
				mg += through*float64(d.Dose)*(1-float64(d.Capture)) - through*float64(d.Recapture)*mg/litres
			}
			fresh := float64(d.Exchange) * 1000 * part
			mg += fresh * (float64(d.MakeUp) - mg/litres)
			mg += float64(d.Makes) / 24 * part * litres
			if d.HalfLife > 0 {
				mg *= math.Pow(0.5, part/float64(d.HalfLife))
			}
			running := float64(i+1)*part <= float64(d.Hours)+1e-9
			if running && passes < 0 && (mg/litres >= limit) != (float64(d.Start) >= limit) {
				passes = (day*24*60*8 + i + 1) / 8
			}
			if math.Abs(float64(i+1)*part-float64(d.Hours)) < 1e-9 {
				ends = append(ends, mg/litres)
			}
		}
	}
	return ends, passes
}

// TestSixtyDays holds the closed form to the minutes of 60 days.
func TestSixtyDays(t *testing.T) {
	for name, d := range map[string]Daily{
		"polymer, some caught": {Loop{Volume: 40000, Flow: 10, Dose: 0.05, Capture: 0.97, Exchange: 4.0 / 24}, 16},
		"it breaks down":       {Loop{Volume: 40000, Flow: 10, Dose: 0.05, HalfLife: 60}, 8},
		"closed":               {Loop{Volume: 80000, Flow: 7.5, Dose: 0.1}, 20},
		"all day":              {Loop{Volume: 80000, Flow: 7.5, Dose: 0.1, Exchange: 0.4}, 24},
		"metal caught again":   {Loop{Volume: 20000, Flow: 6, Dose: 1.2, Capture: 0.9, Recapture: 0.05, Exchange: 0.05}, 10},
		"alkalinity":           {Loop{Volume: 60000, Flow: 8, Dose: -5, Start: 120, MakeUp: 120, Exchange: 0.25, Makes: -2.1}, 12},
		"alkalinity, closed":   {Loop{Volume: 60000, Flow: 8, Dose: -0.5, Start: 120, MakeUp: 120, Makes: -0.7}, 12},
		"salt of new water":    {Loop{Volume: 50000, Flow: 5, Dose: 4, Start: 12, MakeUp: 30, Exchange: 0.2}, 6},
	} {
		limit := float64(d.After(8)+3*d.After(9)) / 4 // passed on day 9
		ends, passes := minutes(d, 60, limit)
		for day, want := range ends {
			if got := float64(d.After(day + 1)); math.Abs(got-want) > 2e-3*math.Abs(want)+1e-6 {
				t.Errorf("%s: day %d ends at %g, by minutes %g", name, day+1, got, want)
				break
			}
		}
		got, ok := d.Reaches(quantity.Concentration(limit), 60)
		if !ok || math.Abs(float64(got)*60-float64(passes)) > 30 {
			t.Errorf("%s: passes %g at minute %g, by minutes %d", name, limit, float64(got)*60, passes)
		}
		if settles, ok := d.Settles(); ok && math.Abs(float64(settles-d.After(20000))) > 1e-6*math.Abs(float64(settles)) {
			t.Errorf("%s: settles at %v, yet stands at %v after 20,000 days", name, settles, d.After(20000))
		}
	}
}

// TestDaysFollowEachOther: each day is one step from the one before, whatever is lost or gained.
func TestDaysFollowEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLoop(t)
		l.HalfLife = quantity.Time(rapid.SampledFrom([]float64{0, 5, 100}).Draw(t, "half-life"))
		l.Makes = quantity.Concentration(rapid.Float64Range(-1, 1).Draw(t, "makes"))
		d := Daily{l, quantity.Time(rapid.Float64Range(0.5, 24).Draw(t, "hours"))}
		level := d.Loop.At(d.Hours)
		for day := 1; day < 9; day++ {
			if got := float64(d.After(day)); math.Abs(got-float64(level)) > 1e-6*math.Max(1, math.Abs(got)) {
				t.Fatalf("day %d: %g, one step after another %v", day, got, level)
			}
			level = d.step(level)
		}
	})
}

// TestNeverReached: a limit above where it settles, and none that lies behind.
func TestNeverReached(t *testing.T) {
	d := Daily{Loop{Volume: 40000, Flow: 10, Dose: 0.05, Exchange: 0.5}, 12}
	top, ok := d.Settles()
	if !ok {
		t.Fatal("does not settle")
	}
	if at, ok := d.Reaches(top*1.001, 3650); ok {
		t.Errorf("above where it settles it stands after %v", at)
	}
	if _, ok := d.Reaches(top*0.999, 3650); !ok {
		t.Error("just below where it settles it never comes")
	}
	if at, ok := d.Reaches(0, 30); !ok || at != 0 {
		t.Errorf("where it starts it stands after %v, %v", at, ok)
	}
	if _, ok := (Daily{Loop{Volume: 40000, Flow: 10, Dose: 0.05}, 12}).Settles(); ok {
		t.Error("a closed loop settles")
	}
	if at, ok := d.Reaches(top*0.9, 2); ok {
		t.Errorf("within two days it stands there after %v", at)
	}
}

// A loop of 60 m3 that is run 16 h a day without new water and loses 90 mg/L a day all along, of which 100 m3/h x 16 h bring 3.375 mg/L a pass back
// (26.67 turnovers): it ends each run 30 mg/L higher, and stands 8/24 x 90 = 30 mg/L lower again before the next. By 3.75 mg/L an hour from 130 it is at 101 after 7.73 h of rest.
func TestALevelRestsToo(t *testing.T) {
	d := Daily{Hours: 16, Loop: Loop{Volume: 60_000, Flow: 100, Dose: 3.375, Makes: -90, Start: 100}}
	first := d.After(1)
	if math.Abs(float64(first-100)-(90-60)) > 1e-6 || math.Abs(float64(d.Rested(first))-100) > 1e-6 {
		t.Errorf("%v after the run, %v after the rest, want 130 and 100", first, d.Rested(first))
	}
	if at, ok := d.Sags(101, 5); !ok || math.Abs(float64(at)-(16+29/3.75)) > 1e-6 {
		t.Errorf("below 101 after %v, %v; want 23.73 h, in the first rest", at, ok)
	}
	if at, ok := d.Sags(99, 1000); ok {
		t.Errorf("below 99 after %v", at)
	}
	d.Dose -= 0.375 // 10 mg/L a day less than is taken: 100 - 10 n after n rests, below 75 in the third, which begins at 100 and ends at 70
	if at, ok := d.Sags(75, 1000); !ok || math.Abs(float64(at)-(48+16+25/3.75)) > 1e-6 {
		t.Errorf("below 75 after %v, %v; want 70.67 h", at, ok)
	}
	// The run ends at 120 - 10 (n - 1), so that none ends below 75 before the sixth day: the rest of the third day is there first.
	if at, ok := d.Reaches(75, 1000); !ok || math.Abs(float64(at)-(48+16+25/3.75)) > 1e-6 {
		t.Errorf("comes to 75 after %v, %v; want 70.67 h", at, ok)
	}
}

// A loop that is taken 11.04 mg/L of alkalinity a day all along, and whose unit runs 7.27 h a day and doses nothing: from 130 it comes to 100 after
// 30/11.04 = 2.717 days and to 20 after 110/11.04 = 9.964, both in the rest between runs (0.717 and 0.964 of a day lie behind 7.27/24 = 0.303).
func TestALimitIsComeToInTheRest(t *testing.T) {
	d := Daily{Hours: 7.27, Loop: Loop{Volume: 250_000, Flow: 4, Makes: -11.04, Start: 130}}
	for limit, days := range map[quantity.Concentration]float64{100: 30 / 11.04, 20: 110 / 11.04} {
		if at, ok := d.Reaches(limit, 60); !ok || math.Abs(float64(at)/24-days) > 1e-9 {
			t.Errorf("comes to %v after %v days, %v; want %v", limit, float64(at)/24, ok, days)
		}
	}
	// The same by minutes, where the unit's dose brings some of it back while it runs.
	d = Daily{Hours: 8, Loop: Loop{Volume: 60_000, Flow: 10, Dose: 5, Makes: -30, Exchange: 0.05, MakeUp: 40, Start: 120}}
	const limit = 60
	level, hours := 120.0, 0.0
	for step := 1.0 / 600; level > limit; hours += step {
		change := -30.0/24 + 0.05/60*(40-level)
		if math.Mod(hours, 24) < 8 {
			change += 10.0 / 60 * 5
		}
		level += change * step
	}
	if at, ok := d.Reaches(limit, 60); !ok || math.Abs(float64(at)-hours) > 0.05 {
		t.Errorf("comes to %v after %v h, %v; by steps of 6 s %v", limit, at, ok, hours)
	}
}
