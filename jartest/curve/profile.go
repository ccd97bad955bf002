package curve

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/curve/lsq"
)

// profileFrom is the least share of the answer at which a model's own profile
// interval is worked out.
const profileFrom = 0.1

// profile gives the 90 % profile-likelihood interval of the dose at which one
// model's curve is at level, in scaled dose, about its own estimate at: the doses
// that can be imposed on the curve without making the fit worse than the F
// distribution allows (Bates and Watts 1988, section 6.1, from memory). It stands
// beside the averaged interval as a check: no draws are used. A bound that is not
// found inside the tested range is NaN.
func (c *cloud) profile(m *modelSample, level, at float64) (low, high float64) {
	o := c.o
	q := len(m.model.Params)
	df := o.scatter.nu0 + float64(len(o.u)-1-q)
	if o.additive || m.mode == nil || df < 1 {
		return math.NaN(), math.NaN()
	}
	limit := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + intervalConfidence) / 2)
	limit *= limit
	free := o.penalised(m.model, m.sigma, 1)
	r := make([]float64, free.N)
	free.Residuals(append([]float64{m.modeA}, m.mode...), r)
	least := 0.0
	for _, v := range r {
		least += v * v
	}
	z := append([]float64(nil), m.mode...)
	worse := func(u float64) float64 {
		fit := lsq.Levenberg(o.through(m.model, m.sigma, level, u), z, lsq.Settings{Coarse: true, Iterations: 25})
		if fit.Status == lsq.Failed {
			return math.Inf(1)
		}
		copy(z, fit.Params) // the neighbour's fit is the next start
		return fit.RSS - least - limit
	}
	bound := func(end float64) float64 {
		copy(z, m.mode)
		const steps = 6
		inside := at
		for i := 1; i <= steps; i++ {
			t := float64(i) / steps
			outside := at + (end-at)*t*t // small steps first
			if worse(outside) < 0 {
				inside = outside
				continue
			}
			for range 6 {
				mid := (inside + outside) / 2
				if worse(mid) < 0 {
					inside = mid
				} else {
					outside = mid
				}
			}
			return (inside + outside) / 2
		}
		return math.NaN()
	}
	return bound(c.u[0]), bound(c.u[len(c.u)-1])
}

// through is the penalised problem of curves that are at level at scaled dose u;
// the shape alone is free.
func (o *observations) through(m *Model, sigma, level, u float64) lsq.Problem {
	q, n := len(m.Params), len(o.u)
	var p, g, h [maxParams]float64
	return lsq.Problem{N: n + q, P: q,
		Residuals: func(z, r []float64) {
			m.natural(z, p[:])
			a := level - m.Value(u, p[:])
			for i, x := range o.u {
				t := math.Sqrt(o.w[i]) / sigma * (a + m.Value(x, p[:]) - o.y[i])
				if o.limit[i] != 0 {
					t = lsq.CensoredResidual(float64(o.limit[i]) * t)
				}
				r[i] = t
			}
			copy(r[n:], z)
		},
		Jacobian: func(z, j []float64) {
			m.natural(z, p[:])
			a := level - m.Value(u, p[:])
			m.Gradient(u, p[:], h[:])
			m.slopes(p[:], h[:])
			for i, x := range o.u {
				scale := math.Sqrt(o.w[i]) / sigma
				if o.limit[i] != 0 {
					side := float64(o.limit[i])
					scale *= side * lsq.CensoredSlope(side*scale*(a+m.Value(x, p[:])-o.y[i]))
				}
				m.Gradient(x, p[:], g[:])
				m.slopes(p[:], g[:])
				for k := range q {
					j[i*q+k] = scale * (g[k] - h[k])
				}
			}
			clear(j[n*q:])
			for k := range q {
				j[(n+k)*q+k] = 1
			}
		}}
}
