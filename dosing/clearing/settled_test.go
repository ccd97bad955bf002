package clearing

import (
	"math"
	"math/rand/v2"
	"testing"
)

// flows are runs of one unit at 12 and at 5 m3/h on a tank of 60 m3 that settles too, and a run with the unit off.
func flows(r *rand.Rand, noise float64) Trial {
	x := truth{start: 80, f: 4, e: 0.5, settles: 0.02}
	off := truth{start: 80, settles: 0.02}.read(r, even(5, 24), noise)
	off.Off = true
	fast, slow := x, x
	fast.flow, slow.flow = 12, 5
	return Trial{Runs: []Run{fast.read(r, even(12, 45), noise), slow.read(r, even(12, 90), noise), off}}
}

// What settles is taken off the captures of two flows as one rate, which is 60/12 = 5 h of its doubt for the fast run and 60/5 = 12 h for the
// slow one: 7 h of it stay in the difference. The ends of a run off are those of Student's t of its 3 left of 5 readings at 90 %, 2.3534, and of a
// difference at 95 %, 3.1824. At one flow nothing stays.
func TestDoubtOfSettlingAtTwoFlows(t *testing.T) {
	j := Judge(flows(rand.New(rand.NewPCG(4, 4)), 0.05))
	a, b := j.Results[0], j.Results[1]
	s := a.Settled.V
	if !a.Settled.OK || s.V <= 0 {
		t.Fatalf("%+v", s)
	}
	below, above := ofSettling(a, b)
	scale := 3.1824 / 2.3534
	near(t, "below", below, 7*scale*(s.V-s.Low.V), 1e-4) // less settles, so more of the slow run's is the unit's
	near(t, "above", above, 7*scale*(s.High.V-s.V), 1e-4)
	b.Flow = a.Flow
	if below, above := ofSettling(a, b); below != 0 || above != 0 {
		t.Errorf("at one flow %v and %v", below, above)
	}
	c := j.Comparisons[0]
	x, y := a.forDifference(j.Results[1]), j.Results[1].forDifference(a)
	near(t, "low end", float64(c.Points.V-c.Points.Low.V), math.Hypot(math.Hypot(x.at-x.low, y.high-y.at), below), 1e-9)
}

// Of 120 such trials, whose captures are the same at both flows, no more than one in ten shows a difference.
func TestFalseDifferencesOfTwoFlowsThatSettle(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	shown, n := 0, 0
	for range 120 {
		j := Judge(flows(r, 0.07))
		if v := j.Comparisons[0].Verdict; v != CannotTell {
			n++
			if v != NotShown {
				shown++
			}
		}
	}
	t.Logf("%d of %d", shown, n)
	if n < 110 || shown > n/10 {
		t.Errorf("%d of %d show a difference", shown, n)
	}
}
