package clearing

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/jartest/quantity"
)

// Simulated trials, marked as such: no published run of a tank's turbidity while a unit clears it was found.

// drawn is a trial at random: capture 20 to 95 %, a floor of 1 to 6 % of the start, half of the time with solids that come in,
// 8 to 15 readings of 5 to 10 % scatter; run for 8 turns of the tank, or until five time constants are over.
func drawn(r *rand.Rand) (x truth, at []float64, noise float64) {
	x = truth{start: 80, f: 0.8 + 4*r.Float64(), e: 0.2 + 0.75*r.Float64(), flow: 12}
	if r.IntN(2) == 0 {
		x.s = 0.05 + 0.4*r.Float64()
	}
	end := 40.0
	if r.IntN(2) == 0 {
		end = 5 / (x.e * 12 / 60)
	}
	return x, even(8+r.IntN(8), end), 0.05 + 0.05*r.Float64()
}

// TestCoverage: of intervals that are 90 % sure, 86 to 94 % hold the truth: of the capture, of what never comes out, of the
// time to a reading, whatever the capture. Few trials are refused, and those of which the floor was seen are not.
func TestCoverage(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 11))
	const trials = 360
	var told, capture, floors, times, refused, seen float64
	for range trials {
		x, at, noise := drawn(r)
		rest := x.f + x.s/(x.e*x.flow/60)
		goal := rest + 0.15*x.start
		got := one(x.read(r, at, noise), goal)
		if !got.Outcome.Tells() {
			refused++
			continue
		}
		told++
		within := func(e Estimate[float64], v float64) float64 {
			if (!e.Low.OK || e.Low.V <= v) && (!e.High.OK || v <= e.High.V) {
				return 1
			}
			return 0
		}
		capture += within(Estimate[float64]{Low: quantity.Some(float64(got.Capture.Low.V)), High: quantity.Some(float64(got.Capture.High.V))}, x.e)
		floors += within(got.Floor, rest)
		hours := math.Log((x.start-rest)/(goal-rest)) / (x.e * x.flow / 60)
		times += within(Estimate[float64]{Low: quantity.Known[float64]{V: float64(got.ToGoal.Low.V), OK: got.ToGoal.Low.OK}, High: quantity.Known[float64]{V: float64(got.ToGoal.High.V), OK: got.ToGoal.High.OK}}, hours)
		if got.Outcome == Found {
			seen++
		}
	}
	t.Logf("capture %.3f, floor %.3f, time %.3f, refused %.3f, floor seen %.3f", capture/told, floors/told, times/told, refused/trials, seen/told)
	for what, share := range map[string]float64{"capture": capture / told, "floor": floors / told, "time": times / told} {
		if share < 0.86 || share > 0.94 {
			t.Errorf("%s: %.3f of the intervals hold the truth", what, share)
		}
	}
	if refused/trials > 0.02 {
		t.Errorf("%.3f refused", refused/trials)
	}
	if seen/told < 0.8 {
		t.Errorf("the floor was seen in %.3f", seen/told)
	}
}

// TestDifferences: between two runs of 12 readings, captures 15 points apart are told apart in 80 % of the comparisons or
// more, equal ones in no more than 10 %; with 95 % confidence it should be 5 %.
func TestDifferences(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 5))
	const pairs = 120
	var found, wrong, falsely, told float64
	for range pairs {
		low := 0.2 + 0.6*r.Float64()
		noise := 0.05 + 0.05*r.Float64()
		f := 0.8 + 4*r.Float64()
		run := func(e float64) Run {
			return truth{start: 80, f: f, e: e, flow: 12}.read(r, even(12, 5/(e*0.2)), noise)
		}
		j := Judge(Trial{Runs: []Run{run(low + 0.15), run(low), run(low)}})
		told++
		switch j.Comparisons[0].Verdict {
		case More:
			found++
		case Less:
			wrong++
		}
		if v := j.Comparisons[2].Verdict; v == More || v == Less {
			falsely++
		}
	}
	t.Logf("found %.3f, wrong way round %.3f, falsely %.3f", found/told, wrong/told, falsely/told)
	if found/told < 0.8 || wrong > 0 {
		t.Errorf("found %.3f, wrong way round %v", found/told, wrong)
	}
	if falsely/told > 0.1 {
		t.Errorf("false differences %.3f", falsely/told)
	}
}

// TestSevenReadings repeats a simulation that was made apart from this program: 7 readings at 0 to 8 turns, E 60 %, C0 80, a floor of
// 4 and 7 % scatter. There 95 % intervals held the truth in 95.5 %, nine in ten captures were 54.6 to 64.7 %, and a straight line
// through the first three turns, which knows no floor, gave 52.7 %.
func TestSevenReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	const runs = 400
	var inside, line float64
	var captures []float64
	x := truth{start: 80, f: 4, e: 0.6, flow: 12}
	for range runs {
		p := tankPoints(x.read(r, []float64{0, 5, 10, 15, 20, 30, 40}, 0.07).Readings)
		f := p.fit()
		low, high := f.rateEnds(allowed(0.95, f.variance(), f.df()))
		if low <= math.Log(0.12) && math.Log(0.12) <= high {
			inside++
		}
		captures = append(captures, math.Exp(f.shape[rate])*5)
		_, slope := points{p.t[:4], p.y[:4], p.w[:4]}.line()
		line -= slope * 5 / runs
	}
	near(t, "coverage", inside/runs, 0.955, 0.025) // two standard errors of either
	low, high := quantiles(captures)
	near(t, "5 % of the captures are below", low, 0.546, 0.01)
	near(t, "5 % are above", high, 0.6*math.Exp(1.645*0.055), 0.01) // by the table of standard errors; that simulation had 64.7 %, which the table does not bear out
	near(t, "a straight line", line, 0.527, 0.005)
}

// TestBlankCoverage: where what settles is told by a short run with the unit off, the 90 % interval of the capture holds the truth in 86 to
// 94 % of trials: its own doubt counts. Blank runs of 2 h with four readings and of 20 h with eight, on tanks that settle by nothing
// to 4 % an hour.
func TestBlankCoverage(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(31, 4))
	const trials = 300
	for _, blanks := range [][]float64{{0, 0.7, 1.4, 2}, even(8, 20)} {
		var inside, told, width float64
		for range trials {
			x := truth{start: 60 + 30*r.Float64(), f: 3, e: 0.35 + 0.35*r.Float64(), flow: 12, settles: 0.02 * float64(r.IntN(3))}
			off := x
			off.e = 0
			b := off.read(r, blanks, 0.05)
			b.Off = true
			got := Judge(Trial{Runs: []Run{b, x.read(r, []float64{0, 2, 5, 8, 12, 17, 23, 30, 38}, 0.05)}}).Results[1]
			if got.Outcome != Found && got.Outcome != FloorUnknown {
				continue
			}
			told++
			width += float64(got.Capture.High.V - got.Capture.Low.V)
			if float64(got.Capture.Low.V) <= x.e && x.e <= float64(got.Capture.High.V) {
				inside++
			}
		}
		t.Logf("%d readings: %.3f of %v inside, %.2f wide", len(blanks), inside/told, told, width/told)
		if share := inside / told; told < 0.9*trials || share < 0.86 || share > 0.94 {
			t.Errorf("%d readings: %.3f of %v inside", len(blanks), share, told)
		}
	}
}
