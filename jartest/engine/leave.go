package engine

import (
	"cmp"
	"slices"

	"jarwright/jartest/engine/lsq"
)

// LeftOut is a fit without one of the jars.
type LeftOut struct {
	Fit lsq.Fit
	Obs *Observations
}

// LeaveOut fits a model again without observation i; the result is kept, because
// several questions are asked of it.
func (c *Cloud) LeaveOut(m *ModelSample, i int) (*lsq.Fit, *Observations) {
	if c.left == nil {
		c.left = map[[2]int]*LeftOut{}
	}
	l := c.left[[2]int{m.index, i}]
	if l == nil {
		w := c.Obs.Less(i)
		l = &LeftOut{m.again(w), w}
		c.left[[2]int{m.index, i}] = l
	}
	if l.Fit.Status == lsq.Failed {
		return nil, nil
	}
	return &l.Fit, l.Obs
}

// again fits a model once more, to other jars, from its own fit and from a plain shape.
func (m *ModelSample) again(o *Observations) lsq.Fit {
	start := m.Params(o)
	flat := append(slices.Clone(start[:o.Linear()]), make([]float64, len(m.Mode))...)
	return lsq.Coarse(o.Penalised(m.Model, m.Sigma, 1), [][]float64{start, flat})
}

// Params are the parameters of a model's own fit: level, slope on the additive scale,
// search coordinates.
func (m *ModelSample) Params(o *Observations) []float64 {
	if o.Additive {
		return append([]float64{m.A, m.B}, m.Mode...)
	}
	return append([]float64{m.A}, m.Mode...)
}

// leadModels is how many models are fitted again without each jar: those that make up
// most of the answer.
const leadModels = 3

// Leads are the models with the largest shares, from a tenth on.
func (c *Cloud) Leads() []int {
	var out []int
	for i, s := range c.Shares {
		if s >= 0.1 && c.Models[i].Mode != nil {
			out = append(out, i)
		}
	}
	if len(out) == 0 && c.Models[c.BestModel()].Mode != nil {
		out = append(out, c.BestModel())
	}
	slices.SortFunc(out, func(a, b int) int { return cmp.Compare(c.Shares[b], c.Shares[a]) })
	return out[:min(len(out), leadModels)]
}

// Mode is a model's own curve on the grid, for these parameters of its fit.
func (c *Cloud) Mode(m *ModelSample, params []float64) []float64 {
	var shape [MaxParams]float64
	m.Model.Natural(params[c.Obs.Linear():], shape[:])
	f := make([]float64, len(c.U))
	m.Model.Values(c.Places(), shape[:], f)
	for j, v := range f {
		f[j] = c.Obs.Predict(params, v)
	}
	return f
}

// ShapeWithout is the fit that only falls and then may rise, without observation i
// (none left out for -1), on the grid.
func (c *Cloud) ShapeWithout(i int) []float64 {
	o := c.Obs.Less(i)
	u, mean, weight, _ := o.Groups()
	fit := make([]float64, len(u))
	var v valleyFitter
	if c.Free.Up {
		for k := range mean {
			mean[k] = -mean[k]
		}
	}
	v.fit(mean, weight, fit)
	bu, bv := centred(u, fit, weight, nil, nil)
	row := make([]float64, len(c.U))
	seg := 0
	for j, x := range c.U {
		for seg < len(bu)-2 && x > bu[seg+1] {
			seg++
		}
		row[j] = between(bu, bv, seg, x, 1)
		if c.Free.Up {
			row[j] = -row[j]
		}
	}
	return row
}

// Less gives the observations without one.
func (o *Observations) Less(i int) *Observations {
	w := &Observations{Additive: o.Additive, Scatter: o.Scatter, DoseError: o.DoseError}
	w.U, w.Y, w.W, w.Limit = but(o.U, i), but(o.Y, i), but(o.W, i), but(o.Limit, i)
	if o.V != nil {
		w.V = but(o.V, i)
	}
	return w
}

// but is a copy without value i, where there is one.
func but[T any](v []T, i int) []T {
	if i < 0 || i >= len(v) {
		return slices.Clone(v)
	}
	return append(append(make([]T, 0, len(v)-1), v[:i]...), v[i+1:]...)
}

// ValleySquares is the sum of squares about the fit that falls and then may rise.
func (o *Observations) ValleySquares() float64 {
	u, mean, weight, _ := o.Groups()
	fit, _ := Valley(mean, weight)
	ss := 0.0
	for i, x := range o.U {
		k := slices.Index(u, x)
		if o.Limit[i] == 0 {
			ss += o.W[i] * (o.Y[i] - fit[k]) * (o.Y[i] - fit[k])
		}
	}
	return ss
}
