package clarify

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestHeldDay: stepped by seconds through forty days with nothing but its balance, run in the hours that the day names, a tank
// of weak flow is at every corner where it is told to be, and between them never farther from a straight line than its curve bends, 57 mg/L x
// 0.7 x 4.76/14 / 8; its mean while the unit runs is the level.
func TestHeldDay(t *testing.T) {
	for _, x := range []struct {
		hours string
		begin float64
		want  int
	}{{"", 6, 3}, {"05:00-08:00, 09:00-12:00", 5, 5}, {"22-04", 22, 3}} {
		k := Tank{Key: jartest.TSS, Volume: 14000, Flow: 1, Removal: 0.7, Start: 300, Stop: 300, Level: 300, Rise: 1e6 / 24 / 14000}
		if x.hours != "" {
			var err error
			if k.Hours, err = flow.ParseHours(x.hours); err != nil {
				t.Fatal(err)
			}
		}
		k.Begin = 6
		h, _ := k.hold()
		day := h.Day()
		if len(day) != x.want || float64(day[0].At) != x.begin || day[len(day)-1].At != day[0].At+24 {
			t.Fatalf("%q: %+v", x.hours, day)
		}
		near(t, "it ends as it began", day[len(day)-1].Reading, day[0].Reading, 1e-9)
		least, most := math.Inf(1), 0.0
		for _, c := range day {
			least, most = min(least, c.Reading), max(most, c.Reading)
		}
		if len(day) == 3 {
			near(t, "from crest to foot", most-least, h.Swing, 1e-9)
		}
		c, far, at, mean := 300.0, 0.0, 0.0, 0.0
		const steps, days = 840, 40 // of which the 1000/210 h of a run are a whole number
		for i := range steps * 24 * days {
			clock := math.Mod(float64(day[0].At)+float64(i)/steps, 24)
			q := 0.0
			if h.Runs.Covers(quantity.Time(clock)) {
				q = 1
			}
			if i >= steps*24*(days-1) {
				mean += q * c / steps / float64(h.PerDay.V)
			}
			c += (k.Rise - q*0.7*c/14) / steps
			if i < steps*24*(days-1) {
				continue
			}
			since := float64(i+1)/steps - 24*(days-1)
			for j := range day[1:] {
				from, to := day[j], day[j+1]
				if a, b := float64(from.At-day[0].At), float64(to.At-day[0].At); since > a && since <= b {
					far = max(far, math.Abs(c-from.Reading-(to.Reading-from.Reading)*(since-a)/(b-a)))
					if b-since < 1.0/steps {
						at = max(at, math.Abs(c-to.Reading))
					}
				}
			}
		}
		if bends := 57 * 0.7 * 4.76 / 14 / 8; at > 0.02 || far > 1.1*bends {
			t.Errorf("%q: the balance is up to %g away at a corner, %g between them", x.hours, at, far)
		}
		near(t, "mean while it runs", mean, 300, 1e-3)
	}
	if day := (Hold{Fails: true, Swing: 3}).Day(); day != nil {
		t.Errorf("what cannot be held goes %+v", day)
	}
}

// TestADayThatFailsToHold: 2.4 kg/d of solids into 40 m3, of which 5 m3/h pass a unit for nine hours: stepped by the minute through sixty days
// the reading ends each run lowest and each rest highest, at what is told with its times; run all day it goes nowhere.
func TestADayThatFailsToHold(t *testing.T) {
	for _, x := range []struct {
		hours     string
		exchange  quantity.Flow
		low, high float64
	}{{"08:00-17:00", 0, 17, 8}, {"08:00-17:00", 0.4, 17, 8}, {"05:00-09:00, 13:00-18:00", 0, 18, 5}} {
		k := Tank{Key: jartest.TSS, Volume: 40000, Flow: 5, Removal: 0.5, Start: 90, Stop: 30, Level: 30, Rise: 2.4e6 / 24 / 40000, Floor: 4, Exchange: x.exchange, New: 10, Begin: 7}
		hours, err := flow.ParseHours(x.hours)
		if err != nil {
			t.Fatal(err)
		}
		k.Hours = hours
		h, outcome := k.hold()
		if outcome != NotHeld || !h.Lowest.OK || !h.Highest.OK {
			t.Fatalf("%s: %v %+v", x.hours, outcome, h)
		}
		c, low, high := 60.0, math.Inf(1), math.Inf(-1)
		const steps, days = 600, 60
		for i := range steps * 24 * days {
			q := 0.0
			if hours.Covers(quantity.Time(math.Mod(float64(i)/steps, 24))) {
				q = 5
			}
			c += (2.4e6/24/40000 + (float64(x.exchange)*(10-c)-q*0.5*(c-4))/40) / steps
			if i >= steps*24*(days-1) {
				low, high = min(low, c), max(high, c)
			}
		}
		near(t, "lowest", h.Lowest.V.Reading, low, 2e-3)
		near(t, "highest", h.Highest.V.Reading, high, 2e-3)
		near(t, "lowest at", float64(h.Lowest.V.At), x.low, 1e-9)
		near(t, "highest at", float64(h.Highest.V.At), x.high, 1e-9)
		if !(h.Lowest.V.Reading < h.Settles && h.Settles < h.Highest.V.Reading) {
			t.Errorf("%v is not between %v and %v", h.Settles, h.Lowest, h.Highest)
		}
		k.Hours, k.Flow = nil, 1
		if h, outcome = k.hold(); outcome != NotHeld || h.Lowest.OK || h.Between(func(float64) note.Phrase { return note.Say("") }).Format != "" {
			t.Errorf("round the clock: %v %+v", outcome, h)
		}
	}
}
