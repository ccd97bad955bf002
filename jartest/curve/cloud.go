package curve

import (
	"math"
	"slices"
	"sort"
)

// cloud is a set of equally likely curves of one reading, given its jars, on a
// grid of scaled doses from the lowest to the highest tested.
type cloud struct {
	o     *observations
	u     []float64   // the grid, ascending
	f     [][]float64 // one curve a row, on the working scale
	sigma []float64   // the scatter that goes with each
	// models as fitted, their shares, and the nonparametric fit.
	models []modelSample
	shares []float64
	flat   shapeFree
	stairs stairs
	left   []*leftOut // the best model's fits without each jar, once asked for
}

// shapeFree is the nonparametric fit: means of the distinct doses and their
// shape-restricted version.
type shapeFree struct {
	u, mean, weight, fit []float64
	turn                 int
	up                   bool // additive readings may also rise, then fall
	share                float64
}

// groups gathers the jars of each distinct dose; doses ascend. A reading beyond a
// limit counts at its limit here.
func (o *observations) groups() (u, mean, weight []float64, count []int) {
	order := make([]int, len(o.u))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return o.u[order[a]] < o.u[order[b]] })
	for _, i := range order {
		k := len(u) - 1
		if k < 0 || u[k] != o.u[i] {
			u, mean, weight, count = append(u, o.u[i]), append(mean, 0), append(weight, 0), append(count, 0)
			k++
		}
		mean[k] += o.w[i] * o.y[i]
		weight[k] += o.w[i]
		count[k]++
	}
	for k := range mean {
		mean[k] /= weight[k]
	}
	return u, mean, weight, count
}

// build samples every model and the shape-restricted fit and mixes them;
// freeShare is the share of the latter.
func (e *engine) build(o *observations, models []Model, freeShare float64) *cloud {
	c := &cloud{o: o}
	distinct, _, _, _ := o.groups()
	c.stairs = o.stair()
	rival := c.stairs.evidence
	logw := make([]float64, len(models))
	for i := range models {
		c.models = append(c.models, e.sample(o, &models[i], i, rival))
		logw[i] = c.models[i].evidence
		rival = max(rival, logw[i])
	}
	steps := c.stairs.evidence + math.Log(stairsPrior*float64(len(models)))
	total := logSumExp(append(slices.Clone(logw), steps))
	c.stairs.share = math.Exp(steps - total)
	c.shares = make([]float64, len(logw))
	for i, l := range logw {
		c.shares[i] = math.Exp(l - total)
	}
	c.grid(distinct)
	c.flat.share = freeShare
	free := int(math.Round(freeShare * cloudSize))
	treads := int(math.Round(c.stairs.share * float64(cloudSize-free)))
	c.drawModels(cloudSize-free-treads, logSumExp(logw))
	c.drawStairs(e, &c.stairs, treads)
	c.drawFree(e, free)
	return c
}

// gridSteps is the number of equal steps between lowest and highest dose; the
// tested doses themselves are added.
const gridSteps = 48

func (c *cloud) grid(distinct []float64) {
	lo, hi := distinct[0], distinct[len(distinct)-1]
	for i := 0; i <= gridSteps; i++ {
		c.u = append(c.u, lo+(hi-lo)*float64(i)/gridSteps)
	}
	for _, d := range distinct {
		k, found := slices.BinarySearch(c.u, d)
		near := found || k < len(c.u) && c.u[k]-d < 1e-9 || k > 0 && d-c.u[k-1] < 1e-9
		if !near {
			c.u = slices.Insert(c.u, k, d)
		}
	}
	c.u[len(c.u)-1] = hi
}

// drawModels resamples n curves from all models' draws by their weights, at equal
// steps through the cumulative weight.
func (c *cloud) drawModels(n int, total float64) {
	step := 1 / float64(n)
	next, cum := step/2, 0.0
	for k := range c.models {
		m := &c.models[k]
		for i := range m.draws {
			cum += math.Exp(m.logw[i] - total)
			var row []float64
			for next < cum && len(c.f) < n {
				if row == nil {
					row = make([]float64, len(c.u))
					d := &m.draws[i]
					for j, u := range c.u {
						row[j] = d.at(m.model, u, c.o.additive)
					}
				}
				c.f, c.sigma = append(c.f, row), append(c.sigma, m.draws[i].sigma)
				next += step
			}
		}
	}
	for len(c.f) < n && len(c.f) > 0 { // rounding at the very end
		c.f, c.sigma = append(c.f, c.f[len(c.f)-1]), append(c.sigma, c.sigma[len(c.sigma)-1])
	}
}

// bow is how far a curve between two jars may bend away from the straight line:
// the standard deviation of the logarithm of the exponent.
const bow = 0.4

// drawFree adds n curves of the shape-restricted fit: the means of the jars are
// moved by the scatter that the models' curves left, projected on "falls, then
// may rise", and joined by bowed lines, because the jars say nothing of how the
// curve runs between them.
func (c *cloud) drawFree(e *engine, n int) {
	u, mean, weight, _ := c.o.groups()
	var v valleyFitter
	fit := make([]float64, len(u))
	s := &c.flat
	s.u, s.mean, s.weight = u, mean, weight
	s.turn = v.fit(mean, weight, fit)
	if c.o.additive {
		neg, other := make([]float64, len(u)), make([]float64, len(u))
		for i, y := range mean {
			neg[i] = -y
		}
		turn := v.fit(neg, weight, other)
		sse, sseUp := 0.0, 0.0
		for i := range mean {
			sse += weight[i] * (mean[i] - fit[i]) * (mean[i] - fit[i])
			sseUp += weight[i] * (mean[i] + other[i]) * (mean[i] + other[i])
		}
		if sseUp < sse || sseUp == sse && mean[0] < mean[len(mean)-1] {
			s.up, s.turn = true, turn
			for i := range fit {
				fit[i] = -other[i]
			}
		}
	}
	s.fit = append([]float64(nil), fit...)
	have := len(c.sigma)
	if have == 0 || n == 0 {
		return
	}
	m := len(u)
	y := make([]float64, m)
	bu, bv := make([]float64, 0, m), make([]float64, 0, m)
	r := 0
	normal := func() float64 { r++; return e.rough[r%len(e.rough)] }
	for k := range n {
		// The models' curves stand in order of weight; an odd stride visits all.
		sigma := c.sigma[(k*37+11)%have]
		for i := range y {
			y[i] = mean[i] + sigma/math.Sqrt(weight[i])*normal()
			if s.up {
				y[i] = -y[i]
			}
		}
		v.fit(y, weight, fit)
		bu, bv = centred(u, fit, weight, bu[:0], bv[:0])
		row := make([]float64, len(c.u))
		seg, exponent := 0, math.Exp(bow*normal())
		for j, x := range c.u {
			for seg < len(bu)-2 && x > bu[seg+1] {
				seg++
				exponent = math.Exp(bow * normal())
			}
			row[j] = between(bu, bv, seg, x, exponent)
			if s.up {
				row[j] = -row[j]
			}
		}
		c.f, c.sigma = append(c.f, row), append(c.sigma, sigma)
	}
}

// centred draws flat blocks together to their mean dose (Oron and Flournoy 2017,
// Statistics in Biopharmaceutical Research 9, 258), keeping the ends of the range.
func centred(u, fit, w, bu, bv []float64) ([]float64, []float64) {
	for i := 0; i < len(u); {
		j := i
		sw, su := 0.0, 0.0
		for j < len(u) && fit[j] == fit[i] {
			sw += w[j]
			su += w[j] * u[j]
			j++
		}
		switch {
		case i == 0 && j == len(u):
			return append(bu, u[0], u[j-1]), append(bv, fit[0], fit[0])
		case i == 0:
			bu, bv = append(bu, u[0]), append(bv, fit[0])
			if c := su / sw; c > u[0] {
				bu, bv = append(bu, c), append(bv, fit[0])
			}
		case j == len(u):
			if c := su / sw; c < u[j-1] {
				bu, bv = append(bu, c), append(bv, fit[i])
			}
			bu, bv = append(bu, u[j-1]), append(bv, fit[i])
		default:
			bu, bv = append(bu, su/sw), append(bv, fit[i])
		}
		i = j
	}
	return bu, bv
}

func between(bu, bv []float64, seg int, x, exponent float64) float64 {
	if len(bu) == 1 || x <= bu[seg] {
		return bv[seg]
	}
	t := (x - bu[seg]) / (bu[seg+1] - bu[seg])
	if t >= 1 {
		return bv[seg+1]
	}
	return bv[seg] + (bv[seg+1]-bv[seg])*math.Exp(exponent*math.Log(t))
}

// firstCrossing gives the smallest scaled dose u at which f is at or below level
// (at or above it, where above is asked for), on straight lines between the
// points; +Inf where it never is.
func firstCrossing(u, f []float64, level float64, above bool) float64 {
	for j, v := range f {
		if above && v < level || !above && v > level {
			continue
		}
		if j == 0 || f[j-1] == v {
			return u[j]
		}
		t := (level - f[j-1]) / (v - f[j-1])
		return u[j-1] + t*(u[j]-u[j-1])
	}
	return math.Inf(1)
}

// band gives the pointwise median and two other quantiles of the curves over the grid.
func (c *cloud) band(low, high float64) (mid, lo, hi []float64) {
	col := make([]float64, len(c.f))
	n := len(col)
	at := func(p float64) int { return min(max(int(p*float64(n)), 0), n-1) }
	l, h := at(low), at(high)
	for j := range c.u {
		for k := range c.f {
			col[k] = c.f[k][j]
		}
		// The middle first: the other two then have half the curves to search.
		selectNth(col, n/2)
		m := col[n/2]
		if n%2 == 0 {
			m = (m + slices.Max(col[:n/2])) / 2
		}
		selectNth(col[:n/2], l)
		selectNth(col[n/2:], h-n/2)
		mid, lo, hi = append(mid, m), append(lo, col[l]), append(hi, col[h])
	}
	return mid, lo, hi
}

// selectNth puts the k-th smallest value in its place, smaller ones before it and
// larger ones after it.
func selectNth(v []float64, k int) {
	lo, hi := 0, len(v)-1
	for lo < hi {
		// The median of three keeps sorted input from being the worst case.
		a, b, c := v[lo], v[(lo+hi)/2], v[hi]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

// quantileSorted interpolates between order statistics; infinite ones stay so.
func quantileSorted(v []float64, p float64) float64 {
	x := p*float64(len(v)) - 0.5
	i := int(math.Floor(x))
	if i < 0 {
		return v[0]
	}
	if i >= len(v)-1 {
		return v[len(v)-1]
	}
	t := x - float64(i)
	if t == 0 || v[i] == v[i+1] {
		return v[i]
	}
	return v[i] + t*(v[i+1]-v[i])
}
