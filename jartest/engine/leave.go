package engine

import "jarwright/jartest/engine/lsq"

// LeftOut is a fit without one of the jars.
type LeftOut struct {
	Fit lsq.Fit
	Obs *Observations
}

// LeaveOut fits the best model again without observation i; the result is kept,
// because two questions are asked of it.
func (c *Cloud) LeaveOut(m *ModelSample, i int) (*lsq.Fit, *Observations) {
	if c.left == nil {
		c.left = make([]*LeftOut, len(c.Obs.U))
	}
	if l := c.left[i]; l != nil {
		if l.Fit.Status == lsq.Failed {
			return nil, nil
		}
		return &l.Fit, l.Obs
	}
	o := c.Obs
	w := &Observations{Additive: o.Additive, Scatter: o.Scatter}
	for k := range o.U {
		if k != i {
			w.U, w.Y, w.W, w.Limit = append(w.U, o.U[k]), append(w.Y, o.Y[k]), append(w.W, o.W[k]), append(w.Limit, o.Limit[k])
			if o.V != nil {
				w.V = append(w.V, o.V[k])
			}
		}
	}
	start := append([]float64{m.A}, m.Mode...)
	flat := append([]float64{m.A}, make([]float64, len(m.Mode))...)
	if o.Additive {
		start = append([]float64{m.A, m.B}, m.Mode...)
		flat = append([]float64{m.A, m.B}, make([]float64, len(m.Mode))...)
	}
	c.left[i] = &LeftOut{lsq.Coarse(w.Penalised(m.Model, m.Sigma, 1), [][]float64{start, flat}), w}
	return c.LeaveOut(m, i)
}
