package engine

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// Cloud is a set of equally likely curves (or surfaces) of one reading, given its
// jars, on a grid of scaled doses from the lowest to the highest tested.
type Cloud struct {
	Obs *Observations
	// U is the grid, ascending; V that of a second factor, nil where one was varied.
	U, V []float64
	// F holds one curve a row, on the working scale. The value of a surface at U[i]
	// and V[j] stands at j*len(U)+i.
	F     [][]float64
	Sigma []float64 // the scatter that goes with each
	// Models as fitted, their shares, and the nonparametric fit.
	Models []ModelSample
	Shares []float64
	Free   ShapeFree
	Stairs Stairs              // curves that are level and step between neighbouring jars
	Mesh   *Mesh               // the nonparametric fit of two factors
	late   []bool              // whether each runs late, as [Model.Late]
	left   map[[2]int]*LeftOut // fits by model and jar left out, once asked for
	room   []float64           // for further rows
	lent   *[]float64          // of all rows, where it is lent
	places []Place             // of the grid, once asked for
}

// Nodes is the number of places on the grid.
func (c *Cloud) Nodes() int { return len(c.U) * max(len(c.V), 1) }

// Node is the place that value j of a row belongs to.
func (c *Cloud) Node(j int) Point {
	if c.V == nil {
		return Point{X: c.U[j]}
	}
	return Point{c.U[j%len(c.U)], c.V[j/len(c.U)]}
}

// Places are all places of the grid.
func (c *Cloud) Places() []Place {
	if n := c.Nodes(); len(c.places) != n {
		c.places = make([]Place, n)
		for j := range c.places {
			c.places[j] = placed(c.Node(j))
		}
	}
	return c.places
}

// rooms are those of curves that nobody needs any more.
var rooms = sync.Pool{New: func() any { return new([]float64) }}

// furnish takes room for so many curves.
func (c *Cloud) furnish(size int) {
	c.F, c.Sigma = make([][]float64, 0, size), make([]float64, 0, size)
	c.lent = rooms.Get().(*[]float64)
	*c.lent = slices.Grow((*c.lent)[:0], size*c.Nodes())
	c.room = (*c.lent)[:size*c.Nodes()]
}

// Release gives the room of the curves to the next cloud, and lets go of them.
func (c *Cloud) Release() {
	if c.lent != nil {
		rooms.Put(c.lent)
		c.lent = nil
	}
	c.F, c.room = nil, nil
}

// row is room for one more curve, with anything in it.
func (c *Cloud) row() []float64 {
	const together = 32
	n := c.Nodes()
	if len(c.room) < n {
		c.room = make([]float64, together*n)
	}
	row := c.room[:n:n]
	c.room = c.room[n:]
	return row
}

// ShapeFree is the nonparametric fit: means of the distinct doses and their
// shape-restricted version.
type ShapeFree struct {
	U, Mean, Weight, Fit []float64
	Turn                 int
	Up                   bool // additive readings may also rise, then fall
	Share                float64
}

// Groups gathers the jars of each distinct dose; doses ascend. A reading beyond a
// limit counts at its limit here.
func (o *Observations) Groups() (u, mean, weight []float64, count []int) {
	order, n := make([]int, len(o.U)), len(o.U)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(o.U[a], o.U[b]) })
	u, mean, weight, count = make([]float64, 0, n), make([]float64, 0, n), make([]float64, 0, n), make([]int, 0, n)
	for _, i := range order {
		k := len(u) - 1
		if k < 0 || u[k] != o.U[i] {
			u, mean, weight, count = append(u, o.U[i]), append(mean, 0), append(weight, 0), append(count, 0)
			k++
		}
		mean[k] += o.W[i] * o.Y[i]
		weight[k] += o.W[i]
		count[k]++
	}
	for k := range mean {
		mean[k] /= weight[k]
	}
	return u, mean, weight, count
}

// minModels is how many surfaces of models there are at least: the mesh borrows
// from them how far the jars scatter and whether the water falls late.
const minModels = 24

// Build samples every model, levels and steps, and the shape-restricted fit and
// mixes them; freeShare is the share of the last. Models that need more levels or more
// different places than were tested are left out.
func (e *Engine) Build(o *Observations, models []Model, freeShare float64) *Cloud {
	return e.build(o, models, freeShare, thorough, CloudSize)
}

// BuildBriefly is [Engine.Build] with half the draws and half the curves, for a reading that
// is told beside the answer.
func (e *Engine) BuildBriefly(o *Observations, models []Model, freeShare float64) *Cloud {
	return e.build(o, models, freeShare, brief, CloudSize/2)
}

func (e *Engine) build(o *Observations, models []Model, freeShare float64, by effort, size int) *Cloud {
	c := &Cloud{Obs: o}
	distinct, _, _, _ := o.Groups()
	if o.V != nil {
		c.Mesh = newMesh(o)
		models = slices.DeleteFunc(slices.Clone(models), func(m Model) bool { return !c.Mesh.carries(&m) })
	}
	c.Stairs = o.stairs()
	rival := c.Stairs.evidence
	logw, shift := make([]float64, len(models)), o.levelShift()
	for i := range models {
		c.Models = append(c.Models, e.sample(o, &models[i], i, rival-shift, by))
		m := &c.Models[i]
		m.evidence += shift
		for k := range m.logw {
			m.logw[k] += shift
		}
		logw[i] = m.evidence
		rival = max(rival, logw[i])
	}
	steps := c.Stairs.evidence + math.Log(stairsPrior*float64(len(models)))
	total := c.Stairs.follow(e, o, models, logSumExp(append(slices.Clone(logw), steps)))
	c.Stairs.Share = math.Exp(steps-total) + c.Stairs.Fallen
	c.Stairs.Slopes = (c.Stairs.Share - c.Stairs.Fallen) * c.Stairs.slopes()
	c.Shares = make([]float64, len(logw))
	for i, l := range logw {
		c.Shares[i] = math.Exp(l - total)
	}
	c.Free.Share = freeShare
	free := int(math.Round(freeShare * float64(size)))
	if c.Mesh != nil {
		own := int((1 - freeShare) / (1 + math.Exp(total-c.Mesh.evidence())) * float64(size-minModels))
		free += own
		c.Free.Share = float64(free) / float64(size)
		c.U, c.V = WithLevels(c.Mesh.region.Xs, surfaceSteps[0]), WithLevels(c.Mesh.region.Ys, surfaceSteps[1])
		c.drawModels(e, size-free, total)
		c.drawMesh(e, free, own)
		c.forget()
		return c
	}
	c.grid(distinct)
	c.furnish(size)
	treads := int(math.Round(c.Stairs.Share * float64(size-free)))
	c.drawModels(e, size-free-treads, logSumExp(logw))
	fallen := int(math.Round(c.Stairs.Fallen * float64(size-free)))
	c.drawStairs(e, treads-fallen)
	c.drawBranches(e, fallen)
	c.drawFree(e, free)
	c.forget()
	return c
}

// forget lets go of what curves were drawn from.
func (c *Cloud) forget() {
	for i := range c.Models {
		c.Models[i].forget()
	}
	for i := range c.Stairs.branches {
		c.Stairs.branches[i].fall.forget()
	}
}

// gridSteps is the number of equal steps between lowest and highest dose; the
// tested doses themselves are added.
const gridSteps = 48

func (c *Cloud) grid(distinct []float64) {
	lo, hi := distinct[0], distinct[len(distinct)-1]
	for i := 0; i <= gridSteps; i++ {
		c.U = append(c.U, lo+(hi-lo)*float64(i)/gridSteps)
	}
	for _, d := range distinct {
		k, found := slices.BinarySearch(c.U, d)
		near := found || k < len(c.U) && c.U[k]-d < 1e-9 || k > 0 && d-c.U[k-1] < 1e-9
		if !near {
			c.U = slices.Insert(c.U, k, d)
		}
	}
	c.U[len(c.U)-1] = hi
}

// drawModels resamples n curves from all models' draws by their weights, at equal
// steps through the cumulative weight. The jars about a dose got other doses than are
// written, and so does each draw: curves of one draw are one curve, taken as often as it weighs.
func (c *Cloud) drawModels(e *Engine, n int, total float64) {
	step := 1 / float64(n)
	next, cum := step/2, 0.0
	at := make([]Place, c.Nodes())
	for k := range c.Models {
		m := &c.Models[k]
		for i := range m.draws {
			cum += exp(m.logw[i] - total)
			var row []float64
			for next < cum && len(c.F) < n {
				if row == nil {
					row = c.row()
					c.moved(e, len(c.F), at)
					m.draws[i].Along(m.Model, at, c.Obs.Additive, row)
				}
				c.F, c.Sigma, c.late = append(c.F, row), append(c.Sigma, m.draws[i].sigma), append(c.late, m.Model.Late)
				next += step
			}
		}
	}
	for len(c.F) < n && len(c.F) > 0 { // rounding at the very end
		k := len(c.F) - 1
		c.F, c.Sigma, c.late = append(c.F, c.F[k]), append(c.Sigma, c.Sigma[k]), append(c.late, c.late[k])
	}
}

// off are the factors by which the doses that curve k is read off at are off those written.
func (c *Cloud) off(e *Engine, k int) Point {
	n := len(e.Rough)
	return Point{exp(-c.Obs.DoseError * e.Rough[k%n]), exp(-c.Obs.SecondError * e.Rough[(k+n/2)%n])}
}

// moved writes where curve k is read off for the places of the grid.
func (c *Cloud) moved(e *Engine, k int, at []Place) {
	off := c.off(e, k)
	log := ln(off.X)
	for j, x := range c.Places() {
		at[j] = Place{Point{x.X * off.X, x.Y * off.Y}, x.Log + log}
	}
}

// bow is how far a curve between two jars may bend away from the straight line:
// the standard deviation of the logarithm of the exponent.
const bow = 0.4

// drawFree adds n curves of the shape-restricted fit: the means of the jars are
// moved by the scatter that the models' curves left, projected on "falls, then
// may rise", and joined by bowed lines, because the jars say nothing of how the
// curve runs between them.
func (c *Cloud) drawFree(e *Engine, n int) {
	var v valleyFitter
	c.Free.through(c.Obs, &v)
	s := &c.Free
	u, mean, weight := s.U, s.Mean, s.Weight
	fit := make([]float64, len(u))
	have := len(c.Sigma)
	if have == 0 || n == 0 {
		return
	}
	m := len(u)
	y, at := make([]float64, m), make([]float64, m)
	bu, bv := make([]float64, 0, m), make([]float64, 0, m)
	r := 0
	normal := func() float64 { r++; return e.Rough[r%len(e.Rough)] }
	for k := range n {
		// The models' curves stand in order of weight; an odd stride visits all.
		sigma := c.Sigma[(k*37+11)%have]
		for i := range y {
			y[i] = mean[i] + sigma/math.Sqrt(weight[i])*normal()
			if s.Up {
				y[i] = -y[i]
			}
		}
		v.fit(y, weight, fit)
		bu, bv = centred(c.Obs.given(u, normal, at), fit, weight, bu[:0], bv[:0])
		row := c.row()
		seg, exponent := 0, exp(bow*normal())
		for j, x := range c.U {
			for seg < len(bu)-2 && x > bu[seg+1] {
				seg++
				exponent = exp(bow * normal())
			}
			row[j] = between(bu, bv, seg, x, exponent)
			if s.Up {
				row[j] = -row[j]
			}
		}
		c.F, c.Sigma = append(c.F, row), append(c.Sigma, sigma)
	}
}

// through fits the shape to the jars' means: it falls and then may rise, or on the additive
// scale the other way about, whichever lies nearer.
func (s *ShapeFree) through(o *Observations, v *valleyFitter) {
	s.U, s.Mean, s.Weight, _ = o.Groups()
	mean, weight := s.Mean, s.Weight
	s.Fit = make([]float64, len(mean))
	s.Turn = v.fit(mean, weight, s.Fit)
	if !o.Additive {
		return
	}
	neg, other := make([]float64, len(mean)), make([]float64, len(mean))
	for i, y := range mean {
		neg[i] = -y
	}
	turn := v.fit(neg, weight, other)
	sse, sseUp := 0.0, 0.0
	for i := range mean {
		sse += weight[i] * (mean[i] - s.Fit[i]) * (mean[i] - s.Fit[i])
		sseUp += weight[i] * (mean[i] + other[i]) * (mean[i] + other[i])
	}
	if sseUp < sse || sseUp == sse && mean[0] < mean[len(mean)-1] {
		s.Up, s.Turn = true, turn
		for i := range other {
			s.Fit[i] = -other[i]
		}
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
	if len(bu) == 1 || x <= bu[seg] || bv[seg] == bv[seg+1] {
		return bv[seg]
	}
	t := (x - bu[seg]) / (bu[seg+1] - bu[seg])
	if t >= 1 {
		return bv[seg+1]
	}
	return bv[seg] + (bv[seg+1]-bv[seg])*exp(exponent*ln(t))
}

// FirstCrossing gives the smallest scaled dose u at which f is at or below level
// (at or above it, where above is asked for), on straight lines between the
// points; +Inf where it never is.
func FirstCrossing(u, f []float64, level float64, above bool) float64 {
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

// Band gives the pointwise median and two other quantiles of the curves over the grid.
func (c *Cloud) Band(low, high float64) (mid, lo, hi []float64) {
	const together = 8 // nodes gathered at once, as they lie side by side in a row
	n := len(c.F)
	at := func(p float64) int { return min(max(int(p*float64(n)), 0), n-1) }
	rank, found := []int{at(low), (n - 1) / 2, n / 2, at(high)}, make([]float64, 4)
	r := ranking.Get().(*ranks)
	defer ranking.Put(r)
	r.gathered = slices.Grow(r.gathered[:0], together*n)[:together*n]
	gathered := r.gathered
	mid, lo, hi = make([]float64, 0, c.Nodes()), make([]float64, 0, c.Nodes()), make([]float64, 0, c.Nodes())
	for j := range c.Nodes() {
		first := j % together
		if first == 0 {
			for k, row := range c.F {
				for i, v := range row[j:min(j+together, len(row))] {
					gathered[i*n+k] = v
				}
			}
		}
		r.find(gathered[first*n:(first+1)*n], rank, found)
		mid, lo, hi = append(mid, (found[1]+found[2])/2), append(lo, found[0]), append(hi, found[3])
	}
	return mid, lo, hi
}

// ranks finds values by their rank among many: sorted out into classes of even width, of
// which only those that hold a rank are looked at closer.
type ranks struct {
	class []uint8
	count [256]int
	// next is where the next value of a class that is wanted goes among same; -1 for others.
	next [256]int
	// same and gathered are room, for the values of those classes and for those of some nodes.
	same, gathered []float64
}

// ranking is room of bands that are found.
var ranking = sync.Pool{New: func() any { return new(ranks) }}

// sortOut puts values into classes and counts them.
func (r *ranks) sortOut(v []float64) {
	r.class, r.same = slices.Grow(r.class[:0], len(v))[:len(v)], slices.Grow(r.same[:0], len(v))[:len(v)]
	clear(r.count[:])
	low, high := v[0], v[0]
	for _, x := range v {
		if x < low {
			low = x
		} else if x > high {
			high = x
		}
	}
	scale := 255 / (high - low)
	if !(scale > 0) || !Finite(scale) { // all alike, or any beyond all bounds
		clear(r.class)
		r.count[0] = len(v)
		return
	}
	for i, x := range v {
		c := uint8((x - low) * scale)
		r.class[i] = c
		r.count[c]++
	}
}

// wanted is a rank that is looked for: its class, where that begins among same, and which
// of the class it is.
type wanted struct{ class, from, nth int }

// find writes the values of some ranks, counted from zero and ascending, among values in any order.
func (r *ranks) find(v []float64, rank []int, out []float64) {
	r.sortOut(v)
	for c := range r.next {
		r.next[c] = -1
	}
	var all [4]wanted
	c, below, room := 0, 0, 0
	for i, k := range rank {
		for ; k-below >= r.count[c]; c++ {
			below += r.count[c]
		}
		if r.next[c] < 0 {
			r.next[c] = room
			room += r.count[c]
		}
		all[i] = wanted{c, r.next[c], k - below}
	}
	for i, c := range r.class {
		if p := r.next[c]; p >= 0 {
			r.same[p] = v[i]
			r.next[c] = p + 1
		}
	}
	for i := range rank {
		w := all[i]
		same := r.same[w.from : w.from+r.count[w.class]]
		selectNth(same, w.nth)
		out[i] = same[w.nth]
	}
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

// Quantile interpolates between order statistics; infinite ones stay so.
func Quantile(v []float64, p float64) float64 {
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

// Median is the median of values in any order.
func Median(v []float64) float64 {
	s := slices.Clone(v)
	half := len(s) / 2
	selectNth(s, half)
	if len(s)%2 == 1 {
		return s[half]
	}
	return Quantile([]float64{slices.Max(s[:half]), s[half]}, 0.5)
}

// BestModel is the model with the largest share.
func (c *Cloud) BestModel() int {
	b := 0
	for i, s := range c.Shares {
		if s > c.Shares[b] {
			b = i
		}
	}
	return b
}
