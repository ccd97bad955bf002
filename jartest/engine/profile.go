package engine

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/engine/lsq"
)

// Profile gives the 90 % profile-likelihood interval of the dose at which one
// model's curve is at level, in scaled dose, about its own estimate at: the doses
// that can be imposed on the curve without making the fit worse than the F
// distribution allows (Bates and Watts 1988, section 6.1, from memory). It stands
// beside the averaged interval as a check: no draws are used. A bound that is not
// found inside the tested range is NaN.
func (c *Cloud) Profile(m *ModelSample, level, at float64) (low, high float64) {
	o := c.Obs
	q := len(m.Model.Params)
	df := o.Scatter.Worth + float64(len(o.U)-1-q)
	if o.Additive || m.Mode == nil || df < 1 {
		return math.NaN(), math.NaN()
	}
	limit := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile((1 + IntervalConfidence) / 2)
	limit *= limit
	free := o.Penalised(m.Model, m.Sigma, 1)
	r := make([]float64, free.N)
	squares := func(pr lsq.Problem, p []float64) (s float64) {
		pr.Residuals(p, r)
		for _, v := range r {
			s += v * v
		}
		return s
	}
	least := squares(free, append([]float64{m.A}, m.Mode...))
	z := append([]float64(nil), m.Mode...)
	worse := func(u float64) float64 {
		pr := o.through(m.Model, m.Sigma, level, u)
		if w := squares(pr, z) - least - limit; w < 0 { // a fit would only be better
			return w
		}
		fit := lsq.Levenberg(pr, z, lsq.Settings{Coarse: true, Iterations: 25, Enough: least + limit})
		if fit.Status == lsq.Failed {
			return math.Inf(1)
		}
		copy(z, fit.Params) // the neighbour's fit is the next start
		return fit.RSS - least - limit
	}
	bound := func(end float64) float64 {
		copy(z, m.Mode)
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
	return bound(c.U[0]), bound(c.U[len(c.U)-1])
}

// through is the penalised problem of curves that are at level at scaled dose u;
// the shape alone is free.
func (o *Observations) through(m *Model, sigma, level, u float64) lsq.Problem {
	q, n := len(m.Params), len(o.U)
	at := append(o.Places(), placed(Point{X: u}))
	var p [MaxParams]float64
	v, room, g := m.rooms(n + 1)
	shape := m.keeping(at, p[:], v)
	return lsq.Problem{N: n + q, P: q, Pulls: q,
		Residuals: func(z, r []float64) {
			shape(z)
			a := level - v[n]
			for i := range o.U {
				t := math.Sqrt(o.W[i]) / sigma * (a + v[i] - o.Y[i])
				if o.Limit[i] != 0 {
					t = lsq.CensoredResidual(float64(o.Limit[i]) * t)
				}
				r[i] = t
			}
			copy(r[n:], z)
		},
		Jacobian: func(z, j []float64) {
			shape(z)
			a := level - v[n]
			m.gradients(at, p[:], v, room, g)
			for i := range o.U {
				scale := math.Sqrt(o.W[i]) / sigma
				if o.Limit[i] != 0 {
					side := float64(o.Limit[i])
					scale *= side * lsq.CensoredSlope(side*scale*(a+v[i]-o.Y[i]))
				}
				for k := range q {
					j[i*q+k] = scale * (g[i*q+k] - g[n*q+k])
				}
			}
			clear(j[n*q:])
			for k := range q {
				j[(n+k)*q+k] = 1
			}
		}}
}
