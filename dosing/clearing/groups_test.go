package clearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/quantity"
)

// withPolymer is a run of a truth with so much polymer, readings at even times.
func withPolymer(r *rand.Rand, e, polymer, noise float64) Run {
	x := truth{start: 80, f: 4, e: e, flow: 12}.read(r, even(12, 5/(e*0.2)), noise)
	x.Polymer = quantity.Some(quantity.Concentration(polymer))
	return x
}

// TestGroups: two runs with and two without are two groups, whose means and ends are those of the runs by hand; one run alone is none.
func TestGroups(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	j := Judge(Trial{Runs: []Run{withPolymer(r, 0.61, 0.2, 0.04), withPolymer(r, 0.38, 0, 0.04), withPolymer(r, 0.38, 0, 0.04), withPolymer(r, 0.61, 0.2, 0.04)}})
	if len(j.Groups) != 1 {
		t.Fatalf("%+v", j.Groups)
	}
	g := j.Groups[0]
	if !slices.Equal(g.A, []int{0, 3}) || !slices.Equal(g.B, []int{1, 2}) || g.Verdict != More || g.Confounded || !slices.Equal(g.Differs, []Differs{ByPolymer}) {
		t.Errorf("%+v", g)
	}
	e := func(i int) float64 { return float64(j.Results[i].Capture.V) }
	near(t, "with", float64(g.OfA), (e(0)+e(3))/2, 1e-9)
	near(t, "without", float64(g.OfB), (e(1)+e(2))/2, 1e-9)
	near(t, "points", float64(g.Points.V), 0.23, 0.03)
	if g.Apart {
		t.Error("runs of 4 % scatter differ")
	} else { // the half of each run, which is widened by how much those of a setting differ
		var below, squares float64
		mean := []float64{(e(0) + e(3)) / 2, (e(1) + e(2)) / 2}
		for i, x := range j.Results {
			d := x.forDifference(Result{})
			side := d.at - d.low
			if i == 1 || i == 2 {
				side = d.high - d.at
			}
			below += side * side / 4
			sd := (d.high - d.low) / 2 / 2.2622 // Student's t of the 9 left of 12 readings, 0.975
			off := e(i) - mean[map[int]int{1: 1, 2: 1}[i]]
			squares += off * off / sd / sd
		}
		over, wide := squares/2, 1.0 // 36 readings of the runs, 2 of what differs between them
		if over > 1 {
			t90 := distuv.StudentsT{Sigma: 1, Nu: over * over / (1.0/36 + (over-1)*(over-1)/2)}.Quantile(0.975)
			wide = math.Sqrt(over) * math.Min(t90, 4.3027) / 2.0281
		}
		near(t, "low end", float64(g.Points.V-g.Points.Low.V), math.Sqrt(below)*math.Max(1, wide), 1e-5)
	}
	if j := Judge(Trial{Runs: []Run{withPolymer(r, 0.61, 0.2, 0.04), withPolymer(r, 0.38, 0, 0.04), withPolymer(r, 0.61, 0.2, 0.04)}}); len(j.Groups) != 0 {
		t.Errorf("%+v", j.Groups)
	}
	// with, with, without, without stands in one order
	if j := Judge(Trial{Runs: []Run{withPolymer(r, 0.6, 0.2, 0.04), withPolymer(r, 0.6, 0.2, 0.04), withPolymer(r, 0.4, 0, 0.04), withPolymer(r, 0.4, 0, 0.04)}}); !j.Groups[0].Confounded {
		t.Error("one order")
	}
	// runs of one setting that are 30 points apart show no difference of 10
	j = Judge(Trial{Runs: []Run{withPolymer(r, 0.75, 0.2, 0.03), withPolymer(r, 0.5, 0, 0.03), withPolymer(r, 0.5, 0, 0.03), withPolymer(r, 0.45, 0.2, 0.03)}})
	if g := j.Groups[0]; !g.Apart || g.Verdict != NotShown {
		t.Errorf("%+v", g)
	}
}

// TestGroupsInSimulation: of equal settings, drifting evenly from run to run or not, no more than one trial in ten shows a difference, and 15 points
// are seen in most; also where runs differ by two points for no reason.
func TestGroupsInSimulation(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(21, 6))
	for _, x := range []struct {
		drift, differ, noise, most, least float64
		trials                            int
	}{{0, 0, 0.05, 0.1, 0.8, 50}, {0, 0, 0.1, 0.1, 0.8, 60}, {0.02, 0, 0.07, 0.1, 0.5, 40}, {0, 0.02, 0.07, 0.1, 0.6, 150}} {
		var falsely, found, told float64
		for range x.trials {
			low := 0.3 + 0.3*r.Float64()
			abba := func(more float64) Verdict {
				var runs []Run
				for i, with := range []float64{1, 0, 0, 1} {
					runs = append(runs, withPolymer(r, low+with*more+x.drift*float64(i)+x.differ*r.NormFloat64(), 0.2*with, x.noise))
				}
				if g := Judge(Trial{Runs: runs}).Groups; len(g) == 1 {
					return g[0].Verdict
				}
				return CannotTell // one of its runs
			}
			if v := abba(0); v == More || v == Less {
				falsely += 1 / float64(x.trials)
			}
			switch abba(0.15) {
			case More:
				found++
				told++
			case NotShown, Less:
				told++
			}
		}
		found /= told
		t.Logf("%+v: falsely %.3f, found %.3f", x, falsely, found)
		if falsely > x.most || found < x.least {
			t.Errorf("%+v: falsely %.3f, found %.3f", x, falsely, found)
		}
	}
}

// TestSettingOfRunsCovers: of a setting run twice the 90 % interval of its mean, which a site is told, holds the truth 86 to 96 times in
// a hundred and is narrower than that of one run wherever the two agree; the mean is no more than the truth on average, which the better of two runs is.
func TestSettingOfRunsCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 21))
	const runs = 150
	for _, e := range []float64{0.3, 0.6} {
		held, narrower, n, sum, better := 0, 0, 0, 0.0, 0.0
		for range runs {
			j := Judge(Trial{Runs: []Run{withPolymer(r, e, 0.2, 0.07), withPolymer(r, e, 0.2, 0.07)}})
			got, ok := j.Enter()
			if !ok || !slices.Equal(got.Runs, []int{0, 1}) {
				continue
			}
			n++
			if float64(got.Low.V) <= e && e <= float64(got.High.V) {
				held++
			}
			sum += float64(got.Capture)
			better += math.Max(float64(j.Results[0].Capture.V), float64(j.Results[1].Capture.V))
			if width, alone := got.High.V-got.Low.V, j.Results[0].Capture.High.V-j.Results[0].Capture.Low.V; width < alone {
				narrower++
			}
		}
		share := float64(held) / float64(n)
		t.Logf("%v: %d runs, held %.3f, mean %.4f (the better %.4f), narrower %d", e, n, share, sum/float64(n), better/float64(n), narrower)
		if n < runs*9/10 || share < 0.86 || share > 0.96 || math.Abs(sum/float64(n)-e) > 0.01*e+0.003 || narrower < n*6/10 {
			t.Errorf("%v: %d runs, held %.3f, mean %.4f, narrower %d", e, n, share, sum/float64(n), narrower)
		}
	}
}
