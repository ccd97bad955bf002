package clearing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// The tank and the flow of the checks.
const (
	tank    quantity.Volume = 60000 // 60 m3
	passing quantity.Flow   = 12    // m3/h
)

// runOf is a run of readings of a tank; a step of 0 is that of an instrument with all digits.
func runOf(t, c []float64, step float64) Run {
	r := Run{Key: jartest.Turbidity, Settings: Settings{Flow: quantity.Some(passing), Volume: quantity.Some(tank)}}
	for i := range t {
		r.Readings = append(r.Readings, Reading{At: quantity.Time(t[i]), Tank: quantity.Some(c[i]), Step: step})
	}
	return r
}

// truth is a course with all that it is made of.
type truth struct {
	start, f, s, e float64
	flow           float64 // m3/h
	settles        float64 // 1/h, without the unit
}

// at is the reading at an hour: the closed form of V dC/dt = −E·Q·(C − f) − ks·V·C + s·V.
func (x truth) at(t float64) float64 {
	k := x.e * x.flow / 60
	all := k + x.settles
	rest := (k*x.f + x.s) / all
	return rest + (x.start-rest)*math.Exp(-all*t)
}

// read is a run of that truth, each reading off by a proportional error.
func (x truth) read(r *rand.Rand, at []float64, noise float64) Run {
	var c []float64
	for _, t := range at {
		v := x.at(t)
		if r != nil {
			v *= math.Exp(noise * r.NormFloat64())
		}
		c = append(c, v)
	}
	run := runOf(at, c, 0)
	run.Flow = quantity.Some(quantity.Flow(x.flow))
	return run
}

func even(n int, end float64) (out []float64) {
	for i := range n {
		out = append(out, end*float64(i)/float64(n-1))
	}
	return out
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.8g, want %.8g within %g", what, got, want, within)
	}
}

func one(r Run, goal ...float64) Result {
	j := Trial{Runs: []Run{r}}
	if len(goal) > 0 {
		j.Goal = quantity.Some(goal[0])
	}
	return Judge(j).Results[0]
}

// quantiles are those that 5 and 95 % lie below.
func quantiles(v []float64) (low, high float64) {
	v = slices.Sorted(slices.Values(v))
	return v[len(v)/20], v[len(v)-1-len(v)/20]
}
