package engine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// grid9 are nine jars at even levels of two factors, with readings on the working scale.
func grid9(f func(x, y float64) float64) *Observations {
	o := &Observations{Scatter: UsualScatter}
	for _, x := range []float64{0, 0.5, 1} {
		for _, y := range []float64{0, 0.5, 1} {
			o.U, o.V, o.Y, o.W, o.Limit = append(o.U, x), append(o.V, y), append(o.Y, f(x, y)), append(o.W, 1), append(o.Limit, 0)
		}
	}
	return o
}

// at gives the mesh's value of v at a place.
func (m *Mesh) at(p Point, v []float64) (sum float64) {
	for _, c := range m.Corners(p) {
		sum += c.Share * v[c.Pair]
	}
	return sum
}

// TestMesh checks the interpolation on a plane, which it must give back exactly, also at the jars; outside it stands at
// the border; half-way over a saddle both diagonals count alike.
func TestMesh(t *testing.T) {
	plane := func(x, y float64) float64 { return 1 - 2*x - 0.5*y }
	o := &Observations{}
	for _, p := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}, {0.5, 0.5}, {0.3, 0.9}} {
		o.U, o.V, o.Y, o.W, o.Limit = append(o.U, p[0]), append(o.V, p[1]), append(o.Y, plane(p[0], p[1])), append(o.W, 1), append(o.Limit, 0)
	}
	m := newMesh(o)
	for _, p := range []Point{{0.1, 0.1}, {0.9, 0.2}, {0.5, 0.5}, {0.25, 0.8}, {1, 1}, {0.3, 0.9}, {0, 0.4}} {
		matches(t, "plane", m.at(p, m.Fit), plane(p.X, p.Y), 1e-12)
		sum := 0.0
		for _, c := range m.Corners(p) {
			sum += c.Share
		}
		matches(t, "shares", sum, 1, 1e-12)
	}
	for _, c := range [][2]Point{{{1.3, 0.5}, {1, 0.5}}, {{-1, -1}, {0, 0}}, {{0.2, 1.4}, {0.2, 1}}, {{2, 3}, {1, 1}}} {
		matches(t, "outside", m.at(c[0], m.Fit), plane(c[1].X, c[1].Y), 1e-12)
	}
	saddle := newMesh(&Observations{U: []float64{0, 1, 0, 1}, V: []float64{0, 0, 1, 1}, Y: []float64{0, 4, 2, 1}, W: []float64{1, 1, 1, 1}, Limit: make([]int8, 4)})
	matches(t, "middle of a saddle", saddle.at(Point{0.5, 0.5}, saddle.Mean), (0.5+3)/2, 1e-12)
}

// TestNeighbours: of nine jars on a grid, with both diagonals, the corner has three, the middle of a side five and the
// centre all; of four where the diagonal is no toss-up, the far corners are none to each other.
func TestNeighbours(t *testing.T) {
	m := newMesh(grid9(func(x, y float64) float64 { return -x - y }))
	for i, want := range [][]int{{1, 3, 4}, {0, 2, 3, 4, 5}, {1, 4, 5}, {0, 1, 4, 6, 7}, {0, 1, 2, 3, 5, 6, 7, 8}} {
		if got := m.Neighbours(i); !slices.Equal(got, want) {
			t.Errorf("of pair %d: %v, want %v", i, got, want)
		}
	}
	kite := newMesh(&Observations{U: []float64{0, 0.5, 0.5, 1}, V: []float64{0.5, 0.3, 0.7, 0.5}, Y: make([]float64, 4), W: []float64{1, 1, 1, 1}, Limit: make([]int8, 4)})
	if got := kite.Neighbours(0); !slices.Equal(got, []int{1, 2}) {
		t.Errorf("across a kite: %v", got)
	}
}

// TestMeshMeans: jars of one pair count by their precision, and the sum of squares about the means by hand.
func TestMeshMeans(t *testing.T) {
	o := grid9(func(x, y float64) float64 { return 4 - 2*x - y })
	o.U, o.V, o.Y, o.W, o.Limit = append(o.U, 0.5), append(o.V, 1), append(o.Y, 2.4), append(o.W, 3), append(o.Limit, 0)
	m := newMesh(o)
	k := m.index(Point{0.5, 1})
	matches(t, "mean", m.Mean[k], (2+3*2.4)/4, 1e-12)
	matches(t, "weight", m.Weight[k], 4, 0)
	matches(t, "sum of squares", m.within, 2*0.08*0.08+0.3*0.3+3*0.1*0.1, 1e-12)
	matches(t, "degrees of freedom", m.df, 3, 0)
	if len(m.At) != 9 || len(m.lines) != 6 || len(m.triangles) != 16 {
		t.Errorf("%d pairs, %d lines, %d triangles", len(m.At), len(m.lines), len(m.triangles))
	}
}

// TestMeshSettles: what only falls is left alone, a hill on the way down is taken off, and sums of a line are kept.
func TestMeshSettles(t *testing.T) {
	m := newMesh(grid9(func(x, y float64) float64 { return 3 - 2*x - y*y }))
	for i := range m.Fit {
		matches(t, "falling", m.Fit[i], m.Mean[i], 1e-12)
	}
	hill := newMesh(grid9(func(x, y float64) float64 {
		if x == 0.5 && y == 0.5 {
			return 5
		}
		return 3 - 2*x - y
	}))
	k := hill.index(Point{0.5, 0.5})
	if left, right := hill.Fit[hill.index(Point{0, 0.5})], hill.Fit[k]; right > left+0.02 || right > 4 {
		t.Errorf("the hill stays: %.3f after %.3f", right, left)
	}
	a, b := 0.0, 0.0
	for i := range hill.Fit {
		a, b = a+hill.Fit[i], b+hill.Mean[i]
	}
	matches(t, "sum", a, b, 1e-9)
}

// TestMeshEvidence: the integrated likelihood of levels of their own against a sum over a fine grid of levels and
// scatters, for two pairs of two jars each; only differences between data count, as among models.
func TestMeshEvidence(t *testing.T) {
	brute := func(y []float64) float64 {
		ss0, sum := UsualScatter.Worth*UsualScatter.SD*UsualScatter.SD, 0.0
		const h = 0.004
		for a := -1.2; a < 1.2; a += h { // level of the first pair; of the second: a + b
			for b := -1.2; b < 1.2; b += h {
				ss := ss0
				for i, v := range y {
					d := v - a
					if i >= 2 {
						d -= b
					}
					ss += d * d
				}
				// scatter integrated out: ss^-(n + worth)/2, with b ~ N(0, 1)
				sum += math.Pow(ss, -(4+UsualScatter.Worth)/2) * math.Exp(-b*b/2) * h * h
			}
		}
		return math.Log(sum)
	}
	mesh := func(y []float64) float64 {
		o := &Observations{U: []float64{0, 0, 1, 1}, V: []float64{0, 0, 0, 0}, Y: y, W: []float64{1, 1, 1, 1}, Limit: make([]int8, 4), Scatter: UsualScatter}
		return newMesh(o).evidence()
	}
	one, two := []float64{0.05, -0.05, 0.1, 0.02}, []float64{0.15, -0.12, 0.3, -0.1}
	matches(t, "difference of evidence", mesh(one)-mesh(two), brute(one)-brute(two), 0.06)
}

// TestBuildSurface: jars of a known surface give back that surface at the jars, a scatter near that put in, and the band
// holds the truth between them; a mesh takes the weight where no model can follow.
func TestBuildSurface(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	truth := func(x, y float64) float64 { return 4 - 3*(1-math.Exp(-3*x*math.Exp(0.5*y))) }
	o := grid9(func(x, y float64) float64 { return truth(x, y) + 0.05*r.NormFloat64() })
	e := New()
	c := e.Build(o, PairModels(), 0.15)
	if len(c.F) != CloudSize || len(c.Sigma) != CloudSize || len(c.F[0]) != c.Nodes() || c.Nodes() != len(c.U)*len(c.V) {
		t.Fatalf("%d surfaces of %d values on %d crossings", len(c.F), len(c.F[0]), c.Nodes())
	}
	mid, lo, hi := c.Band(0.05, 0.95)
	for _, p := range []Point{{0.5, 0.5}, {1, 1}, {0.25, 0.75}, {0.77, 0.31}} {
		cell, want := c.Cell(p), truth(p.X, p.Y)
		matches(t, "middle", cell.Of(mid), want, 0.17)
		if cell.Of(lo) > want+0.02 || cell.Of(hi) < want-0.02 {
			t.Errorf("at %v the band %.3f to %.3f misses %.3f", p, cell.Of(lo), cell.Of(hi), want)
		}
	}
	if s := Median(c.Sigma); s < 0.03 || s > 0.12 {
		t.Errorf("scatter %.3f", s)
	}
	if c.Free.Share > 0.2 {
		t.Errorf("the mesh has %.2f where a model follows the jars", c.Free.Share)
	}
	rough := grid9(func(x, y float64) float64 { return 3 - x + 1.5*math.Cos(9*x+7*y) })
	if c := e.Build(rough, PairModels(), 0.15); c.Free.Share < 0.9 {
		t.Errorf("the mesh has %.2f where no model follows the jars", c.Free.Share)
	}
	few := &Observations{U: []float64{0, 1, 0, 1, 0.5}, V: []float64{0, 0, 1, 1, 0}, Y: []float64{4, 2, 3, 1, 3}, W: []float64{1, 1, 1, 1, 1}, Limit: make([]int8, 5), Scatter: UsualScatter}
	for _, m := range e.Build(few, PairModels(), 0.15).Models {
		if m.Model.Levels[1] > 2 || len(m.Model.Params) > 4 {
			t.Errorf("%s on two levels of the second factor and five pairs", m.Model.Name)
		}
	}
}

// TestMeshBends: half-way of a fall from 40 to 4 a surface that lends from one that falls late
// reads about the mean of the two, 22, another about the mean of their inverse roots, squared and
// inverted: 9.24; spread by a power of 0.6 either way, 16.3 to 26.3 and 7.0 to 13.5 for 2 in 3.
func TestMeshBends(t *testing.T) {
	mean := func(power float64) float64 { return math.Pow((math.Pow(40, power)+math.Pow(4, power))/2, 1/power) }
	for late, power := range map[bool]float64{true: 1, false: -0.5} {
		o := &Observations{Scatter: UsualScatter, U: []float64{0, 1, 0, 1}, V: []float64{0, 0, 1, 1}, W: []float64{1, 1, 1, 1}, Limit: make([]int8, 4),
			Y: []float64{math.Log(40), math.Log(4), math.Log(40), math.Log(4)}}
		c := &Cloud{Obs: o, U: []float64{0, 0.5, 1}, V: []float64{0, 1}, Mesh: newMesh(o), Sigma: []float64{1e-9}, late: []bool{late}}
		c.drawMesh(New(), 600, 0)
		var half []float64
		for _, row := range c.F {
			half = append(half, math.Exp(row[1]))
		}
		slices.Sort(half)
		for share, z := range map[float64]float64{0.5: 0, 0.1587: -1, 0.8413: 1} {
			want := mean(power + 0.6*z)
			matches(t, "half-way", Quantile(half, share)/want, 1, 0.06)
		}
	}
}

// TestCell: shares of the four crossings by hand, at the ends too.
func TestCell(t *testing.T) {
	c := Cloud{U: []float64{0, 0.5, 1}, V: []float64{0, 1}}
	v := []float64{1, 2, 4, 10, 20, 40}
	for _, k := range []struct {
		p    Point
		want float64
	}{{Point{0, 0}, 1}, {Point{1, 1}, 40}, {Point{0.25, 0}, 1.5}, {Point{0.75, 0.5}, (3 + 30) / 2.0}, {Point{0.5, 0.25}, 2 + 18*0.25}, {Point{-1, 2}, 10}} {
		matches(t, "value", c.Cell(k.p).Of(v), k.want, 1e-12)
	}
	if c.Node(4) != (Point{0.5, 1}) || c.Nodes() != 6 {
		t.Error(c.Node(4), c.Nodes())
	}
	one := Cloud{U: []float64{0, 0.5, 1}}
	if one.Node(1) != (Point{X: 0.5}) || one.Nodes() != 3 {
		t.Error(one.Node(1), one.Nodes())
	}
}

// TestJoint: the share of surfaces at or below their levels, counted by hand; two readings are paired as [Partner] says.
func TestJoint(t *testing.T) {
	a := &Cloud{U: []float64{0, 1}, V: []float64{0, 1}, F: [][]float64{{0, 2, 0, 2}, {1, 3, 1, 3}, {2, 4, 2, 4}, {5, 5, 5, 5}}}
	j := Join([]*Cloud{a}, [][]float64{{1, 1, 1.5, 5}})
	for _, c := range []struct{ x, want float64 }{{0, 0.75}, {0.4, 0.5}, {0.6, 0.25}, {1, 0.25}} {
		matches(t, "met", j.Met(Point{c.x, 0.5}), c.want, 0)
	}
	b := &Cloud{U: []float64{0, 1}, V: []float64{0, 1}, F: [][]float64{{9, 9, 9, 9}, {0, 0, 0, 0}, {0, 0, 0, 0}, {9, 9, 9, 9}}}
	both := Join([]*Cloud{a, b}, [][]float64{{1, 1, 1, 5}, {1, 1, 1, 1}})
	n := 0
	for k := range 4 {
		if a.F[k][0] <= []float64{1, 1, 1, 5}[k] && b.F[Partner(1, k, 4)][0] <= 1 {
			n++
		}
	}
	matches(t, "both met", both.Met(Point{}), float64(n)/4, 0)
	seen := []int{}
	for k := range CloudSize {
		if Partner(0, k, CloudSize) != k {
			t.Fatal("the first reading's curves change place")
		}
		seen = append(seen, Partner(2, k, CloudSize))
	}
	slices.Sort(seen)
	for k, v := range seen {
		if k != v {
			t.Fatalf("curve %d has no partner or two", k)
		}
	}
}

// TestPairDosesOff: surfaces drawn with doses off by a tenth are those drawn as written,
// read at the doses that the jars then got: of a plane 4 - 2x - y that is a spread of
// 0.1 x 1 at half of the first alone, and of 0.1 x 0.5 at half of the second. Each
// factor's error moves its own axis only.
func TestPairDosesOff(t *testing.T) {
	e := New()
	c := &Cloud{Obs: grid9(func(x, y float64) float64 { return 4 - 2*x - y }), U: WithLevels([]float64{0, 0.5, 1}, 8), V: WithLevels([]float64{0, 0.5, 1}, 4)}
	written, got := make([]float64, c.Nodes()), make([]float64, c.Nodes())
	for j := range written {
		at := c.Node(j)
		written[j] = 4 - 2*at.X - at.Y
	}
	spread := func(first, second float64, p Point) float64 {
		c.Obs.DoseError, c.Obs.SecondError = first, second
		sum, squares, n := 0.0, 0.0, 4000.0
		for k := range int(n) {
			c.shift(got, written, c.off(e, k))
			v := c.Cell(p).Of(got)
			sum, squares = sum+v, squares+v*v
		}
		return math.Sqrt(max(squares/n-sum*sum/n/n, 0))
	}
	matches(t, "first off, half of the first", spread(0.1, 0, Point{0.5, 0}), 0.1, 0.004)
	matches(t, "first off, none of the first", spread(0.1, 0, Point{0, 0.5}), 0, 1e-6)
	matches(t, "second off, half of the second", spread(0, 0.1, Point{0, 0.5}), 0.05, 0.002)
	matches(t, "both off", spread(0.1, 0.1, Point{0.5, 0.5}), math.Hypot(0.1, 0.05), 0.006)
	c.shift(got, written, Point{1.2, 1.2}) // beyond the highest tested it goes on as at that
	matches(t, "beyond", got[len(got)-1], 1, 1e-12)
}
