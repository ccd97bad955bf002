package surface

import (
	"math"
	"sort"

	"jarwright/jartest/engine"
)

// mesh interpolates between the tested pairs and never leaves them: linear in
// the dose and in the transformed reading on the triangles between neighbouring
// jars. Where four jars stand in a rectangle the triangles of both diagonals
// count alike, so that neither direction is preferred.
type mesh struct {
	at        []point
	mean      []float64 // at each distinct pair
	weight    []float64 // jars there
	triangles [][3]int
}

// newMesh builds the triangles whose circumcircle holds no other pair
// (Delaunay, 1934). All triples are tried, which for some dozens of jars costs less
// than a clever method would cost to read.
func newMesh(at []point, value []float64) mesh {
	var m mesh
	for i, p := range at {
		k := m.index(p)
		if k < 0 {
			m.at = append(m.at, p)
			m.mean = append(m.mean, 0)
			m.weight = append(m.weight, 0)
			k = len(m.at) - 1
		}
		m.mean[k] += (value[i] - m.mean[k]) / (m.weight[k] + 1)
		m.weight[k]++
	}
	n := len(m.at)
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				if m.empty(i, j, k) {
					m.triangles = append(m.triangles, [3]int{i, j, k})
				}
			}
		}
	}
	return m
}

// index finds the tested pair at p; -1 if none is.
func (m mesh) index(p point) int {
	for i, q := range m.at {
		if math.Hypot(p.x-q.x, p.y-q.y) < 1e-6 {
			return i
		}
	}
	return -1
}

// settle makes the values fall and then perhaps rise along every line of three
// or more jars, in both directions by turns, so that scatter does not pass for a
// hill or a hollow between jars (least squares under that order, see engine.Valley).
func (m *mesh) settle() {
	lines := append(m.lines(func(p point) (float64, float64) { return p.y, p.x }),
		m.lines(func(p point) (float64, float64) { return p.x, p.y })...)
	for range 20 {
		for _, line := range lines {
			y, w := make([]float64, len(line)), make([]float64, len(line))
			for k, i := range line {
				y[k], w[k] = m.mean[i], m.weight[i]
			}
			fit, _ := engine.Valley(y, w)
			for k, i := range line {
				m.mean[i] = (m.mean[i] + fit[k]) / 2
			}
		}
	}
}

// lines finds the rows of at least three jars; key gives a point's row and its place in it.
func (m *mesh) lines(key func(point) (row, at float64)) (out [][]int) {
	order := make([]int, len(m.at))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		ra, xa := key(m.at[order[a]])
		rb, xb := key(m.at[order[b]])
		if math.Abs(ra-rb) > 1e-6 {
			return ra < rb
		}
		return xa < xb
	})
	for i := 0; i < len(order); {
		j := i
		row, _ := key(m.at[order[i]])
		for j < len(order) {
			if r, _ := key(m.at[order[j]]); math.Abs(r-row) > 1e-6 {
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
func (m mesh) empty(i, j, k int) bool {
	a, b, c := m.at[i], m.at[j], m.at[k]
	area := cross(a, b, c)
	if math.Abs(area) < 1e-9 {
		return false
	}
	d := 2 * area
	a2, b2, c2 := a.x*a.x+a.y*a.y, b.x*b.x+b.y*b.y, c.x*c.x+c.y*c.y
	o := point{(a2*(b.y-c.y) + b2*(c.y-a.y) + c2*(a.y-b.y)) / d, (a2*(c.x-b.x) + b2*(a.x-c.x) + c2*(b.x-a.x)) / d}
	r := math.Hypot(a.x-o.x, a.y-o.y)
	for l, p := range m.at {
		if l != i && l != j && l != k && math.Hypot(p.x-o.x, p.y-o.y) < r*(1-1e-9) {
			return false
		}
	}
	return true
}

// value gives the interpolated value and the share of a jar's variance in it,
// straight in the logarithm and straight in the reading itself; ok is false
// outside the triangles.
func (m mesh) value(p point) (v meshValue, ok bool) {
	share, ok := m.shares(p)
	if !ok {
		return v, false
	}
	sum := 0.0
	for i, s := range share {
		if s != 0 {
			v.log += s * m.mean[i]
			v.logVar += s * s / m.weight[i]
			f := s * math.Exp(m.mean[i])
			sum += f
			v.straightVar += f * f / m.weight[i]
		}
	}
	v.straight = math.Log(sum)
	v.straightVar /= sum * sum
	return v, true
}

// shares gives what each tested pair counts for at p; ok is false outside.
func (m mesh) shares(p point) (share []float64, ok bool) {
	found := 0.0
	share = make([]float64, len(m.at))
	for _, t := range m.triangles {
		a, b, c := m.at[t[0]], m.at[t[1]], m.at[t[2]]
		area := cross(a, b, c)
		la, lb := cross(p, b, c)/area, cross(a, p, c)/area
		lc := 1 - la - lb
		if la < -slack || lb < -slack || lc < -slack {
			continue
		}
		found++
		share[t[0]] += la
		share[t[1]] += lb
		share[t[2]] += lc
	}
	for i := range share {
		share[i] /= math.Max(found, 1)
	}
	return share, found > 0
}

// meshValue is the reading between jars, taken straight in its logarithm and
// straight in the reading itself, each with its share of a jar's variance.
type meshValue struct{ log, logVar, straight, straightVar float64 }
