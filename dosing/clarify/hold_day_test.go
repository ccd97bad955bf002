package clarify

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestHeldDay: stepped by the minute through twenty days with nothing but its balance, run in the hours that the day names, a tank
// of weak flow goes the way of the corners, but for what an even rise and fall leaves out of a curve; its mean is the level.
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
		least, most, mean := math.Inf(1), 0.0, 0.0
		for i, c := range day {
			least, most = min(least, c.Reading), max(most, c.Reading)
			if i > 0 {
				mean += float64(c.At-day[i-1].At) * (c.Reading + day[i-1].Reading) / 48
			}
		}
		near(t, "mean", mean, 300, 1e-9)
		if len(day) == 3 {
			near(t, "from crest to foot", most-least, h.Swing, 1e-9)
		}
		c, far := 300.0, 0.0
		const steps, days = 600, 20
		for i := range steps * 24 * days {
			clock := math.Mod(float64(day[0].At)+float64(i)/steps, 24)
			q := 0.0
			if h.Runs.Covers(quantity.Time(clock)) {
				q = 1
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
				}
			}
		}
		if far > 0.02*300 { // the rest of a fall that bends: about an eighth of its 57 x 0.7 x 4.76/14
			t.Errorf("%q: the balance is up to %g away", x.hours, far)
		}
	}
	if day := (Hold{Fails: true, Swing: 3}).Day(); day != nil {
		t.Errorf("what cannot be held goes %+v", day)
	}
}
