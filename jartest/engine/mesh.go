package engine

import (
	"math"
	"slices"
	"sort"
)

// Mesh is the fit of two factors that follows no model: it interpolates between
// the tested pairs and never leaves them, on the triangles between neighbouring
// jars. Where four jars stand in a rectangle the triangles of both diagonals
// count alike, so that neither direction is preferred.
type Mesh struct {
	At []Point
	// Mean is the jars' mean at each distinct pair and Fit the same made to fall and
	// then perhaps rise along every line of jars; Weight is the jars' precision there.
	Mean, Fit, Weight []float64
	region            Region
	triangles         [][3]int
	within            float64 // sum of squares about the means, with that of the scatter's prior
	df                float64 // of a jar about the means, with the prior's worth
	lines             [][]int // rows of three or more jars, in both directions
}

// newMesh builds the triangles whose circumcircle holds no other pair
// (Delaunay, 1934). All triples are tried, which for some dozens of jars costs less
// than a clever method would cost to read. A reading beyond a limit counts at its limit.
func newMesh(o *Observations) *Mesh {
	m := &Mesh{}
	var pts []Point
	for i := range o.U {
		p := o.At(i)
		pts = append(pts, p)
		k := m.index(p)
		if k < 0 {
			k = len(m.At)
			m.At, m.Mean, m.Weight = append(m.At, p), append(m.Mean, 0), append(m.Weight, 0)
		}
		m.Weight[k] += o.W[i]
		m.Mean[k] += (o.Y[i] - m.Mean[k]) * o.W[i] / m.Weight[k]
	}
	m.within, m.df = o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD, o.Scatter.Worth+float64(len(o.U)-len(m.At))
	for i, y := range o.Y {
		d := y - m.Mean[m.index(pts[i])]
		m.within += o.W[i] * d * d
	}
	m.region = NewRegion(pts)
	n := len(m.At)
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				if m.empty(i, j, k) {
					m.triangles = append(m.triangles, [3]int{i, j, k})
				}
			}
		}
	}
	m.lines = append(m.rows(func(p Point) (float64, float64) { return p.Y, p.X }),
		m.rows(func(p Point) (float64, float64) { return p.X, p.Y })...)
	m.Fit = append([]float64(nil), m.Mean...)
	m.settle(m.Fit, new(valleyFitter))
	return m
}

// carries reports that the pairs are many enough for a model's parameters.
func (m *Mesh) carries(k *Model) bool {
	return len(m.region.Xs) >= k.Levels[0] && len(m.region.Ys) >= k.Levels[1] && len(k.Params) < len(m.At)
}

// levelSpread is the prior of how far the readings of two pairs lie apart, as a
// standard deviation of the logarithm.
const levelSpread = 1.0

// evidence is the log of the mesh's integrated likelihood, in the measure of
// [Observations.complete]: every pair has a level of its own and nothing foretells
// it. Where the models miss the jars by more than scatter this outweighs them.
func (m *Mesh) evidence() float64 {
	k := float64(len(m.At) - 1)
	with, _ := math.Lgamma(m.df / 2)
	without, _ := math.Lgamma((m.df + k) / 2)
	l := -m.df/2*math.Log(m.within) + k/2*math.Log(math.Pi) + with - without - k*math.Log(levelSpread*math.Sqrt(2*math.Pi))
	total := 0.0
	for _, w := range m.Weight {
		l -= 0.5 * math.Log(w)
		total += w
	}
	return l + 0.5*math.Log(total)
}

// index finds the tested pair at p; -1 if none is.
func (m *Mesh) index(p Point) int {
	for i, q := range m.At {
		if math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-6 {
			return i
		}
	}
	return -1
}

// settleRounds is how often both directions have their turn; each halves what is left.
const settleRounds = 8

// settle makes values fall and then perhaps rise along every line of three or
// more jars, in both directions by turns, so that scatter does not pass for a
// hill or a hollow between jars (least squares under that order, see [Valley]).
func (m *Mesh) settle(v []float64, fitter *valleyFitter) {
	var y, w, fit [64]float64
	for range settleRounds {
		for _, line := range m.lines {
			n := min(len(line), len(y))
			for k, i := range line[:n] {
				y[k], w[k] = v[i], m.Weight[i]
			}
			fitter.fit(y[:n], w[:n], fit[:n])
			for k, i := range line[:n] {
				v[i] = (v[i] + fit[k]) / 2
			}
		}
	}
}

// rows finds the rows of at least three jars; key gives a point's row and its place in it.
func (m *Mesh) rows(key func(Point) (row, at float64)) (out [][]int) {
	order := make([]int, len(m.At))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		ra, xa := key(m.At[order[a]])
		rb, xb := key(m.At[order[b]])
		if math.Abs(ra-rb) > 1e-6 {
			return ra < rb
		}
		return xa < xb
	})
	for i := 0; i < len(order); {
		j := i
		row, _ := key(m.At[order[i]])
		for j < len(order) {
			if r, _ := key(m.At[order[j]]); math.Abs(r-row) > 1e-6 {
				break
			}
			j++
		}
		if j-i >= 3 {
			out = append(out, order[i:j])
		}
		i = j
	}
	return out
}

// empty reports that the circle through three pairs has no other inside.
func (m *Mesh) empty(i, j, k int) bool {
	a, b, c := m.At[i], m.At[j], m.At[k]
	area := cross(a, b, c)
	if math.Abs(area) < 1e-9 {
		return false
	}
	d := 2 * area
	a2, b2, c2 := a.X*a.X+a.Y*a.Y, b.X*b.X+b.Y*b.Y, c.X*c.X+c.Y*c.Y
	o := Point{(a2*(b.Y-c.Y) + b2*(c.Y-a.Y) + c2*(a.Y-b.Y)) / d, (a2*(c.X-b.X) + b2*(a.X-c.X) + c2*(b.X-a.X)) / d}
	r := math.Hypot(a.X-o.X, a.Y-o.Y)
	for l, p := range m.At {
		if l != i && l != j && l != k && math.Hypot(p.X-o.X, p.Y-o.Y) < r*(1-1e-9) {
			return false
		}
	}
	return true
}

// Corner is what a tested pair counts for at some place.
type Corner struct {
	Pair  int // its place in [Mesh.At]
	Share float64
}

// Corners gives the tested pairs around a place and what each counts for there;
// outside the tested pairs, those at the nearest place on their border.
func (m *Mesh) Corners(p Point) []Corner {
	share := make([]float64, len(m.At))
	found := 0.0
	for _, t := range m.triangles {
		a, b, c := m.At[t[0]], m.At[t[1]], m.At[t[2]]
		area := cross(a, b, c)
		la, lb := cross(p, b, c)/area, cross(a, p, c)/area
		lc := 1 - la - lb
		if la < -Slack || lb < -Slack || lc < -Slack {
			continue
		}
		found++
		share[t[0]] += la
		share[t[1]] += lb
		share[t[2]] += lc
	}
	if found == 0 {
		found = 1
		i, j, t := m.border(p)
		share[i] += 1 - t
		share[j] += t
	}
	var out []Corner
	for i, s := range share {
		if math.Abs(s) > Slack {
			out = append(out, Corner{i, s / found})
		}
	}
	return out
}

// Neighbours gives the tested pairs that share a triangle with pair i.
func (m *Mesh) Neighbours(i int) (out []int) {
	for _, t := range m.triangles {
		if !slices.Contains(t[:], i) {
			continue
		}
		for _, j := range t {
			if j != i && !slices.Contains(out, j) {
				out = append(out, j)
			}
		}
	}
	slices.Sort(out)
	return out
}

// border is the nearest place on the sides of the triangles: between pairs i and
// j, at share t of the way.
func (m *Mesh) border(p Point) (i, j int, t float64) {
	least := math.Inf(1)
	for _, tri := range m.triangles {
		for k := range tri {
			a, b := m.At[tri[k]], m.At[tri[(k+1)%3]]
			dx, dy := b.X-a.X, b.Y-a.Y
			along := math.Min(math.Max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/(dx*dx+dy*dy), 0), 1)
			if d := math.Hypot(p.X-a.X-along*dx, p.Y-a.Y-along*dy); d < least-1e-12 {
				least, i, j, t = d, tri[k], tri[(k+1)%3], along
			}
		}
	}
	return i, j, t
}

// surfaceSteps are the even steps of a surface's grid along either factor; the
// tested levels are added.
var surfaceSteps = [2]int{32, 16}

// A surface between jars bends away from the plane through them: it is straight in
// some power of the reading. At power 0 it is straight in the logarithm, at 1 in the
// reading itself, which falls later, below 0 it falls earlier. sag is the standard
// deviation of the power: over a fall to a tenth it spreads the half-way value as
// [bow] does that of a curve. The power is about lateSag where the model surface
// that lends its scatter is one that falls late, else about earlySag, as what decays
// falls early: how the water falls along one factor, where the jars show it, says how it
// may fall along the other.
const (
	sag      = 0.6
	lateSag  = 1.0
	earlySag = -0.5
)

// drawMesh adds n surfaces of the mesh: the means of the jars are moved by scatter,
// settled, and joined by bent planes, because the jars say nothing of how the
// surface runs between them. The scatter is what the models' surfaces left; of the
// last own surfaces, which stand for the mesh as a model among the others, that of
// the jars about their means.
func (c *Cloud) drawMesh(e *Engine, n, own int) {
	m := c.Mesh
	have := len(c.Sigma)
	if have == 0 || n == 0 {
		return
	}
	corners := make([][]Corner, c.Nodes())
	for j := range corners {
		corners[j] = m.Corners(c.Node(j))
	}
	r := 0
	normal := func() float64 { r++; return e.Rough[r%len(e.Rough)] }
	v, power, written := make([]float64, len(m.At)), make([]float64, len(m.At)), make([]float64, c.Nodes())
	var fitter valleyFitter
	for k := range n {
		// The models' surfaces stand in order of weight; an odd stride visits all.
		partner := (k*37 + 11) % have
		sigma := c.Sigma[partner]
		if k >= n-own {
			sigma = math.Sqrt(m.within / chiSquared(m.df, normal()))
		}
		for i := range v {
			v[i] = m.Mean[i] + sigma/math.Sqrt(m.Weight[i])*normal()
		}
		m.settle(v, &fitter)
		b := sag*normal() + earlySag
		if c.late[partner] {
			b += lateSag - earlySag
		}
		for i := range v {
			power[i] = exp(b * v[i])
		}
		for j := range written {
			straight, bent := 0.0, 0.0
			for _, k := range corners[j] {
				straight += k.Share * v[k.Pair]
				bent += k.Share * power[k.Pair]
			}
			if written[j] = straight; math.Abs(b) > 1e-3 && len(corners[j]) > 1 {
				written[j] = ln(bent) / b
			}
		}
		row := c.row()
		c.shift(row, written, c.off(e, len(c.F)))
		c.F, c.Sigma = append(c.F, row), append(c.Sigma, sigma)
	}
}

// shift reads a surface that stands at the doses written off at those, times a factor
// each; beyond the highest tested it goes on as at that.
func (c *Cloud) shift(out, written []float64, off Point) {
	n := len(c.U)
	for j, y := range c.V {
		k, t := place(c.V, y*off.Y)
		low, high := written[k*n:(k+1)*n], written[(k+1)*n:(k+2)*n]
		for i, x := range c.U {
			l, s := place(c.U, x*off.X)
			out[j*n+i] = (1-t)*((1-s)*low[l]+s*low[l+1]) + t*((1-s)*high[l]+s*high[l+1])
		}
	}
}

// Cell is a place between the crossings of a grid: the four nodes about it and
// what each counts for.
type Cell struct {
	Node  [4]int
	Share [4]float64
}

// Cell finds the place of a pair on a surface's grid, on straight lines between the crossings.
func (c *Cloud) Cell(p Point) Cell {
	i, s := place(c.U, p.X)
	j, t := place(c.V, p.Y)
	n := len(c.U)
	return Cell{[4]int{j*n + i, j*n + i + 1, (j+1)*n + i, (j+1)*n + i + 1},
		[4]float64{(1 - s) * (1 - t), s * (1 - t), (1 - s) * t, s * t}}
}

// place finds the step of a grid that holds x, and how far along it x lies.
func place(grid []float64, x float64) (int, float64) {
	k := min(max(sort.SearchFloat64s(grid, x)-1, 0), len(grid)-2)
	return k, math.Min(math.Max((x-grid[k])/(grid[k+1]-grid[k]), 0), 1)
}

// Of gives the value at the cell of values that stand at the nodes.
func (c Cell) Of(v []float64) float64 {
	return c.Share[0]*v[c.Node[0]] + c.Share[1]*v[c.Node[1]] + c.Share[2]*v[c.Node[2]] + c.Share[3]*v[c.Node[3]]
}
