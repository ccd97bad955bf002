package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestStepsInAPauseAreSetAtTheNextStart: 60 m3 at 12 m3/h and 0.85 a pass are 0.17 an hour, with 10 mg/L below 30 NTU and
// 20 mg/L above. What the tank does while the unit stands sets no dose; what it reads when the unit starts again does.
//
//	Clear water: 2 m3/h of it more are 0.2033 an hour while the unit runs and 1/30 while it stands. From 80 NTU at 08:00,
//	35.47 at 12:00, 30 at 17:01, and 19.47 at 06:00 the next day; from there 8 NTU after ln(19.47 / 8) / 0.2033 = 4.374 h.
//	Rising 3 NTU an hour by itself: 17.647 + 62.353 exp(-0.17 t) is 30 after 9.522 h and 29.04 at 18:00, 65.04 at 06:00,
//	30 again after ln(47.39 / 12.353) / 0.17 = 7.909 h and 25 after 10.960 h.
func TestStepsInAPauseAreSetAtTheNextStart(t *testing.T) {
	rule, err := clarify.Stepped([]clarify.Step{{Reading: 0, Dose: 4}, {Reading: 30, Dose: 10}, {Reading: 60, Dose: 20}})
	if err != nil {
		t.Fatal(err)
	}
	const flows, takes = 12, 0.17
	mixed := takes + 2.0/60
	evening := 80 * math.Exp(-4*mixed)
	morning := evening * math.Exp(-18.0/30)
	level := 3 / takes
	above := func(from, to float64) float64 { return math.Log((from-level)/(to-level)) / takes }
	risen := level + (80-level)*math.Exp(-10*takes) + 12*3
	for name, x := range map[string]struct {
		hours          flow.Hours
		exchange, rise float64
		stop           float64
		set            [][2]float64 // hours since the start, mg/L
		ends, grams    float64
		says           []string
	}{
		"clears by new water": {flow.Hours{{From: 6, To: 12}}, 2, 0, 8, [][2]float64{{0, 20}, {22, 10}}, 22 + math.Log(morning/8)/mixed,
			flows * (20*4 + 10*math.Log(morning/8)/mixed), []string{"12:00 stop dosing first, then the circulation, until 06:00 the day after"}},
		"rises by itself": {flow.Hours{{From: 6, To: 18}}, 0, 3, 25, [][2]float64{{0, 20}, {above(80, 30), 10}, {22, 20}, {22 + above(risen, 30), 10}},
			22 + above(risen, 25), flows * (20*above(80, 30) + 10*(10-above(80, 30)) + 20*above(risen, 30) + 10*(above(risen, 25)-above(risen, 30))), nil},
		"is clear while it stands": {flow.Hours{{From: 6, To: 12}}, 2, 0, 20, [][2]float64{{0, 20}}, 4 + 30*math.Log(evening/20), flows * 20 * 4,
			[]string{"12:00 stop dosing first, then the circulation", "05:11 the day after clear while the unit stands still: do not start it again; read the tank again after an hour"}},
	} {
		t.Run(name, func(t *testing.T) {
			in := muddy()
			in.Tank.Hours, in.Tank.Exchange, in.Tank.Rise, in.Tank.Stop = x.hours, quantity.Flow(x.exchange), x.rise, x.stop
			in.Tank.Chemicals[0].Rule = rule
			c, err := Clean(in)
			if err != nil {
				t.Fatal(err)
			}
			var set [][2]float64
			for _, s := range c.Stages {
				for _, f := range s.Feeds {
					set = append(set, [2]float64{float64(s.At), float64(f.Dose.Concentration)})
				}
			}
			if len(set) != len(x.set) {
				t.Fatalf("set %v, want %v", set, x.set)
			}
			for i, want := range x.set {
				if math.Abs(set[i][0]-want[0]) > 1e-3 || set[i][1] != want[1] {
					t.Errorf("set %v, want %v", set[i], want)
				}
			}
			if end := float64(c.Time); math.Abs(end-x.ends) > 1e-3 {
				t.Errorf("clear after %g h, want %g", end, x.ends)
			}
			if dosed := float64(c.Uses[0].Dosed) * 1000; math.Abs(dosed/x.grams-1) > 1e-4 {
				t.Errorf("%g g dosed, want %g", dosed, x.grams)
			}
			list := "\n" + listOf(c) + "\n"
			for _, says := range x.says {
				if n := strings.Count(list, "\n"+says+"\n"); n != 1 {
					t.Errorf("%d times %q in%s", n, says, list)
				}
			}
			if len(x.says) == 2 && strings.Count(list, "stop dosing first") != 1 {
				t.Error(fmt.Sprint("stopped twice: ", list))
			}
		})
	}
}

// TestFirstDoseIsThatOfTheStart: begun at 02:00, the unit first runs at 06:00: 4 h of 2 m3/h of clear water bring
// 33 NTU to 33 exp(-4 / 30) = 28.88, under the step at 30: the one dose set is that of then.
func TestFirstDoseIsThatOfTheStart(t *testing.T) {
	in := muddy()
	rule, _ := clarify.Stepped([]clarify.Step{{Reading: 0, Dose: 4}, {Reading: 30, Dose: 10}, {Reading: 60, Dose: 20}})
	in.Tank.Hours, in.Tank.Exchange, in.Tank.Begin, in.Tank.Start, in.Tank.Chemicals[0].Rule = flow.Hours{{From: 6, To: 22}}, 2, 2, 33, rule
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range c.Stages {
		for _, f := range s.Feeds {
			if s.At != 4 || f.Dose.Concentration != 10 {
				t.Errorf("%v at %v", f.Dose, s.At)
			}
		}
	}
	if n := strings.Count(listOf(c), "set"); n != 1 {
		t.Errorf("set %d times in\n%s", n, listOf(c))
	}
}
