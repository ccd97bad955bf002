package clearing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// A flow that changes at 20 h from 12 to 6 m3/h, of a tank of 60 m3 and a capture of 60 %: C = 4 + 76·exp(−0.6·∫Q dt/60), ∫Q dt = 12·t to 20 h, then 240 + 6·(t − 20). The row of the change may
// have either flow; both tell 60 %, where a mean of the rows would tell 82. It is at 7 NTU when 76·exp(−0.6·∫/60) = 3, so at ∫ = 100·ln(76/3) = 323.2 m3 and 20 + 83.2/6 = 33.87 h;
// at 5 NTU, beyond the last reading, at 433.1 m3 and 52.18 h.
func TestFlowThatChanges(t *testing.T) {
	passed := func(h float64) float64 { return 12*math.Min(h, 20) + 6*math.Max(0, h-20) }
	for _, x := range []struct {
		at20 float64
		as   standing
	}{{12, sinceRowAbove}, {6, untilNextRow}} {
		text := "Volume,60 m3\nTime (h),Tank (NTU),Flow (m3/h)\n"
		for i, h := range []float64{0, 5, 10, 15, 20, 30, 40, 45} {
			q := 12.0
			if h == 20 {
				q = x.at20
			} else if h > 20 {
				q = 6
			}
			text += fmt.Sprintf("%g,%.4f,%g\n", h, (4+76*math.Exp(-0.01*passed(h)))*(1+0.002*float64(i%3-1)), q)
		}
		got, err := Read("log.csv", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		got.Goal = quantity.Some(7.0)
		r := Judge(got).Results[0]
		near(t, "capture", float64(r.Capture.V), 0.6, 0.005)
		if r.Outcome != Found || r.Capture.Low.V > 0.6 || r.Capture.High.V < 0.6 || r.Capture.High.V-r.Capture.Low.V > 0.05 {
			t.Errorf("%s %+v", r.Outcome, r.Capture)
		}
		near(t, "floor", r.Floor.V, 4, 0.05)
		near(t, "to 7 NTU", float64(r.ToGoal.V), 20+(100*math.Log(76.0/3)-240)/6, 0.3)
		if c, ok := r.Course(30); !ok || math.Abs(c-(4+76*math.Exp(-3))) > 0.05 {
			t.Errorf("at 30 h %v", c)
		}
		j := Judge(got)
		if n := notesOf(j, "flow-varied"); len(n) != 1 || n[0].Cell != "C2" {
			t.Errorf("%v", n)
		}
		if n := notesOf(j, "flow-counts"); len(n) != 1 || n[0].Message != "the readings go best with a flow that counts "+x.as.says() {
			t.Errorf("%v", n)
		}
		got.Goal = quantity.Some(5.0)
		near(t, "to 5 NTU", float64(Judge(got).Results[0].ToGoal.V), 20+(100*math.Log(76)-240)/6, 1.5)
	}
}

// A flow that is logged between the readings counts too, and one that stood still while nobody read: of 12 m3/h for 10 h, none for 10 h and 12 again, by hand.
func TestPassage(t *testing.T) {
	r := Run{Settings: Settings{Flow: quantity.Some[quantity.Flow](8)}, Flows: []FlowAt{{At: 0, Flow: quantity.Some[quantity.Flow](12)}, {At: 10, Flow: quantity.Some[quantity.Flow](12)}, {At: 20, Flow: quantity.Some[quantity.Flow](0)}, {At: 30, Flow: quantity.Some[quantity.Flow](12)}}}
	for _, x := range []struct {
		as           standing
		hours, passd float64 // at the mean flow of 8 m3/h
	}{
		{sinceRowAbove, 10, 15}, {sinceRowAbove, 20, 15}, {sinceRowAbove, 25, 22.5}, {sinceRowAbove, 40, 45}, {untilNextRow, 20, 30}, {untilNextRow, 30, 30}, {evenly, 20, 22.5}, {evenly, 30, 30},
	} {
		p := passageOf(r, x.as)
		near(t, fmt.Sprint(x.as, x.hours), p.at(x.hours), x.passd, 1e-9)
		if x.passd != 15 && x.passd != 30 { // which the tank stood at for a while
			near(t, fmt.Sprint("back ", x.as, x.hours), p.back(x.passd), x.hours, 1e-9)
		}
	}
	var steady passage
	near(t, "a steady flow", steady.at(7)+steady.back(7), 14, 0)
}
