// Package upkeep is control charts of a plant's own record: whether readings that should scatter about a middle
// have moved off it, since when, and how often a chart cries out over nothing.
package upkeep

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// EWMA is a chart of the exponentially weighted moving average: z = Lambda·x + (1 − Lambda)·z, which cries out beyond
// Limit standard deviations of z (Roberts 1959; Lucas and Saccucci 1990, Technometrics 32:1-12). Readings are in
// standard deviations from their middle.
type EWMA struct{ Lambda, Limit float64 }

// CUSUM is a pair of cumulative sums of what lies more than Slack off the middle, which cry out beyond Limit (Page 1954;
// Lucas and Crosier 1982, Technometrics 24:199-205).
type CUSUM struct{ Slack, Limit float64 }

var (
	// Seldom is for readings whose false alarm costs a day's work: once in 370.
	Seldom = EWMA{0.2, 2.859}
	// Dating tells since when at most a shift goes on that another chart found: the sum of a shift of one standard deviation.
	Dating = CUSUM{Slack: 0.5, Limit: 5}
)

// ByMovingRange counts readings in the standard deviation that neighbours tell.
func ByMovingRange(x []float64) []float64 {
	out, sd := make([]float64, len(x)), MovingRange(x)
	if sd == 0 {
		return out
	}
	for i, v := range x {
		out[i] = v / sd
	}
	return out
}

// MovingRange is the standard deviation that neighbours tell: the mean of how far each reading differs from the one before, over
// 1.128 (the d2 of two, Montgomery, Introduction to Statistical Quality Control). A move of the middle adds to it once alone.
func MovingRange(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	sum := 0.0
	for i := 1; i < len(x); i++ {
		sum += math.Abs(x[i] - x[i-1])
	}
	return sum / float64(len(x)-1) / 1.128
}

// Move is what a chart found.
type Move struct {
	// At is the reading at which it cried out, Since the one from which on readings had moved.
	At, Since int
	// Mean is that of the readings since then, in standard deviations: the size of the move.
	Mean float64
}

// Off tells whether readings, in their order, have moved off and are off still at the last of them.
func (c EWMA) Off(x []float64) (m Move, off bool) { return c.Course(x, 0).Off(x) }

// Course is a chart reading by reading, in standard deviations.
type Course struct{ Average, Limit []float64 }

// Course follows readings. Doubt is the variance of their middle in that of a reading: nought where it is known, 1/m where it is
// the mean of m earlier readings, which widens the limits.
func (c EWMA) Course(x []float64, doubt float64) (k Course) {
	l, z := c.Lambda, 0.0
	for i, v := range x {
		z = l*v + (1-l)*z
		left := math.Pow(1-l, float64(i+1)) // of the middle at the start
		k.Average = append(k.Average, z)
		k.Limit = append(k.Limit, c.Limit*math.Sqrt(l/(2-l)*(1-left*left)+doubt*(1-left)*(1-left)))
	}
	return k
}

// Off is [EWMA.Off] of the readings that the course is of.
func (k Course) Off(x []float64) (m Move, off bool) {
	first := -1
	for i, z := range k.Average {
		if math.Abs(z) <= k.Limit[i] {
			first = -1
		} else if first < 0 {
			first = i
		}
	}
	if first < 0 {
		return m, false
	}
	m.At = first
	m.Since, m.Mean = StepIn(x, Dating.rose(x[:first+1], k.Average[len(x)-1] > 0), first)
	return m, true
}

// Sums are a pair of cumulative sums reading by reading, in standard deviations: Up of what lies above the middle, Down of
// what lies below it, both from nothing upwards.
type Sums struct{ Up, Down []float64 }

// Course follows readings, which are in standard deviations from their middle.
func (c CUSUM) Course(x []float64) (s Sums) {
	up, down := 0.0, 0.0
	for _, v := range x {
		up, down = math.Max(0, up+v-c.Slack), math.Max(0, down-v-c.Slack)
		s.Up, s.Down = append(s.Up, up), append(s.Down, down)
	}
	return s
}

// rose is the first reading after the sum on that side was last nothing.
func (c CUSUM) rose(x []float64, up bool) (at int) {
	s := c.Course(x)
	side := s.Down
	if up {
		side = s.Up
	}
	for i, sum := range side {
		if sum == 0 {
			at = i + 1
		}
	}
	return min(at, len(x)-1)
}

// StepIn is where readings stepped off their middle, which is nought, and the mean of those from there on: of the readings from the one
// to the other, that one which leaves the least sum of squares. For normal scatter it is the likeliest (Hinkley 1970, Biometrika
// 57:1-17, from memory). All readings after the last of them count.
func StepIn(x []float64, from, last int) (at int, mean float64) {
	sum, best := 0.0, -1.0
	for i := len(x) - 1; i >= from; i-- {
		sum += x[i]
		n := float64(len(x) - i)
		if less := sum * sum / n; i <= last && less > best { // by so much the sum of squares is less
			at, mean, best = i, sum/n, less
		}
	}
	return at, mean
}

// nodes is how many places the integral equations are solved at; the answers do not change from forty on.
const nodes = 60

// RunLength is the average number of readings until the chart cries out, their mean being so many standard deviations
// off, with limits as wide as they become (Crowder 1987, Technometrics 29:401-407, an integral equation).
func (c EWMA) RunLength(shift float64) float64 {
	h := c.Limit * math.Sqrt(c.Lambda/(2-c.Lambda))
	at, weight := places(-h, h)
	length := solveRun(at, weight, func(from, to float64) float64 {
		return distuv.UnitNormal.Prob((to-(1-c.Lambda)*from)/c.Lambda-shift) / c.Lambda
	}, nil)
	run := 1.0
	for i, y := range at {
		run += weight[i] * length[i] * distuv.UnitNormal.Prob(y/c.Lambda-shift) / c.Lambda
	}
	return run
}

// RunLength is that of the pair of sums (Lucas and Crosier 1982, by the integral equation of Page 1954): both sides together
// end as often as each does.
func (c CUSUM) RunLength(shift float64) float64 {
	return 1 / (1/c.oneSided(shift) + 1/c.oneSided(-shift))
}

// oneSided is the run length of one sum.
func (c CUSUM) oneSided(shift float64) float64 {
	n := distuv.UnitNormal
	at, weight := places(0, c.Limit)
	density := func(from, to float64) float64 { return n.Prob(to + c.Slack - from - shift) }
	reset := func(from float64) float64 { return n.CDF(c.Slack - from - shift) }
	return solveRun(append([]float64{0}, at...), append([]float64{0}, weight...), density, reset)[0]
}

// places are those of Gauss and Legendre between two ends.
func places(low, high float64) (at, weight []float64) {
	at, weight = make([]float64, nodes), make([]float64, nodes)
	quad.Legendre{}.FixedLocations(at, weight, low, high)
	return at, weight
}

// solveRun solves L(u) = 1 + reset(u)·L(0) + ∫ L(y)·density(u, y) dy at places, the first of which is 0 where there is a reset.
func solveRun(at, weight []float64, density func(from, to float64) float64, reset func(from float64) float64) []float64 {
	k := len(at)
	a, b := mat.NewDense(k, k, nil), mat.NewVecDense(k, nil)
	for i := range at {
		for j := range at {
			v := -weight[j] * density(at[i], at[j])
			if j == 0 && reset != nil {
				v -= reset(at[i])
			}
			if i == j {
				v++
			}
			a.Set(i, j, v)
		}
		b.SetVec(i, 1)
	}
	var x mat.VecDense
	_ = x.SolveVec(a, b) // well conditioned: its rows sum to the chance that the chart cries out at once
	return x.RawVector().Data
}
