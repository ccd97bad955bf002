package clearing

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"jarwright/jartest/quantity"
)

// Plan is when to sample, worked out before a run.
type Plan struct {
	// At are the times since the start.
	At []quantity.Time
	// Rate and Floor are the relative standard errors that such readings will have, as shares.
	Rate, Floor quantity.Fraction
	// Constant is the time constant that it was worked out for.
	Constant quantity.Time
}

// falls are the times to sample in time constants: eight readings, the last two beyond four of them, since a long tail
// tells more of the floor, and so of the rate, than more readings at the start.
var falls = []float64{0, 0.5, 1, 1.6, 2.4, 3.2, 4.2, 5.2}

// Expected share of the start that never comes out, and what is expected of a pass where nobody says (common practice,
// no source).
const (
	usualFloor   = 0.05
	UsualCapture = quantity.Fraction(0.6)
)

// handy are steps that somebody with a watch can keep, in hours.
var handy = []float64{1.0 / 12, 0.25, 0.5, 1}

// Sampling works the times out from the volume, the flow and the capture expected.
func Sampling(v quantity.Volume, q quantity.Flow, e quantity.Fraction) Plan {
	constant := v.In("m3") / (float64(q) * float64(e))
	step := handy[0]
	for _, h := range handy { // the longest that moves no time by more than a tenth of a time constant
		if h <= constant/10 {
			step = h
		}
	}
	p := Plan{Constant: quantity.Time(constant)}
	for _, f := range falls {
		p.At = append(p.At, quantity.Time(math.Max(0, math.Ceil(f*constant/step-1e-9))*step))
	}
	cov := precision(p.At, 1/constant, usualFloor, usualScatter)
	p.Rate, p.Floor = quantity.Fraction(math.Sqrt(cov.At(int(rate), int(rate)))), quantity.Fraction(math.Sqrt(cov.At(int(floor), int(floor))))
	return p
}

// precision is the covariance of the logarithms that a course is fitted by, of readings at those times of a course with that rate
// and that share of the start as floor, each off by that part of itself: the inverse of the information.
func precision(at []quantity.Time, k, part, scatter float64) *mat.Dense {
	j := mat.NewDense(len(at), int(parameters), nil)
	for i, t := range at {
		falls := (1 - part) * math.Exp(-k*float64(t))
		all := falls + part
		j.SetRow(i, []float64{falls / all, part / all, -k * float64(t) * falls / all})
	}
	var info, cov mat.Dense
	info.Mul(j.T(), j)
	if err := cov.Inverse(&info); err != nil { // too few times
		return mat.NewDense(int(parameters), int(parameters), []float64{math.Inf(1), 0, 0, 0, math.Inf(1), 0, 0, 0, math.Inf(1)})
	}
	cov.Scale(scatter*scatter, &cov)
	return &cov
}

// Course gives the fitted reading at a time since the start of the hours that were read, for a picture; false where there
// is no fit.
func (x Result) Course(at quantity.Time) (float64, bool) {
	if !x.told {
		return 0, false
	}
	return x.fit.at(x.passage.at(float64(at))), true
}
