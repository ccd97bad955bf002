package engine

import (
	"math"
	"sort"
)

// Region is where the test can speak: the convex hull of the tested pairs and,
// for a factor with fewer than three levels, those levels only.
type Region struct {
	Hull           []Point   // anticlockwise; one or two points where the jars lie on a line
	Xs, Ys         []float64 // tested levels, rising
	OnlyXs, OnlyYs bool      // nothing between the levels may be advised
}

// Slack is how far outside an edge still counts as on it.
const Slack = 1e-9

// leastLevels is how many levels of a factor a curve between them needs: through
// two levels every curve passes.
const leastLevels = 3

// NewRegion is the region of tested pairs.
func NewRegion(pts []Point) Region {
	r := Region{Hull: convexHull(pts)}
	for _, p := range pts {
		r.Xs = InsertLevel(r.Xs, p.X)
		r.Ys = InsertLevel(r.Ys, p.Y)
	}
	r.OnlyXs, r.OnlyYs = len(r.Xs) < leastLevels, len(r.Ys) < leastLevels
	return r
}

// InsertLevel adds a level to a rising list; levels closer than a millionth are one.
func InsertLevel(levels []float64, v float64) []float64 {
	i := sort.SearchFloat64s(levels, v)
	for _, k := range [...]int{i - 1, i} {
		if k >= 0 && k < len(levels) && math.Abs(levels[k]-v) < 1e-6 {
			return levels
		}
	}
	levels = append(levels, 0)
	copy(levels[i+1:], levels[i:])
	levels[i] = v
	return levels
}

// OnLevel reports that a level was tested.
func OnLevel(levels []float64, v float64) bool {
	for _, l := range levels {
		if math.Abs(l-v) < 1e-6 {
			return true
		}
	}
	return false
}

// cross is twice the signed area of the triangle a, b, c; positive anticlockwise.
func cross(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// convexHull is Andrew's monotone chain; points on an edge are left out.
func convexHull(pts []Point) []Point {
	ps := append([]Point(nil), pts...)
	sort.Slice(ps, func(i, j int) bool {
		if ps[i].X != ps[j].X {
			return ps[i].X < ps[j].X
		}
		return ps[i].Y < ps[j].Y
	})
	var u []Point
	for _, p := range ps {
		if len(u) == 0 || math.Hypot(p.X-u[len(u)-1].X, p.Y-u[len(u)-1].Y) > Slack {
			u = append(u, p)
		}
	}
	if len(u) < 3 {
		return u
	}
	half := func(seq []Point) []Point {
		var h []Point
		for _, p := range seq {
			for len(h) >= 2 && cross(h[len(h)-2], h[len(h)-1], p) <= Slack {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	lower := half(u)
	for i, j := 0, len(u)-1; i < j; i, j = i+1, j-1 {
		u[i], u[j] = u[j], u[i]
	}
	return append(lower, half(u)...)
}

// Contains reports that the pair lies in the hull, edge included, and on a
// tested level where only those may be advised.
func (r Region) Contains(p Point) bool {
	if r.OnlyXs && !OnLevel(r.Xs, p.X) || r.OnlyYs && !OnLevel(r.Ys, p.Y) {
		return false
	}
	switch len(r.Hull) {
	case 0:
		return false
	case 1:
		return math.Hypot(p.X-r.Hull[0].X, p.Y-r.Hull[0].Y) <= Slack
	case 2:
		a, b := r.Hull[0], r.Hull[1]
		along := (p.X-a.X)*(b.X-a.X) + (p.Y-a.Y)*(b.Y-a.Y)
		long := (b.X-a.X)*(b.X-a.X) + (b.Y-a.Y)*(b.Y-a.Y)
		return math.Abs(cross(a, b, p)) <= Slack && along >= -Slack && along <= long+Slack
	}
	for i, a := range r.Hull {
		if cross(a, r.Hull[(i+1)%len(r.Hull)], p) < -Slack {
			return false
		}
	}
	return true
}

// Span gives the range of x inside the hull at a level of y.
func (r Region) Span(y float64) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range r.Hull {
		b := r.Hull[(i+1)%len(r.Hull)]
		if math.Abs(a.Y-y) <= Slack {
			lo, hi = math.Min(lo, a.X), math.Max(hi, a.X)
		}
		if (a.Y-y)*(b.Y-y) < 0 {
			x := a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	return lo, hi, lo <= hi
}

// Flipped is the same Region with the factors exchanged.
func (r Region) Flipped() Region {
	f := Region{Xs: r.Ys, Ys: r.Xs, OnlyXs: r.OnlyYs, OnlyYs: r.OnlyXs}
	for i := len(r.Hull) - 1; i >= 0; i-- {
		f.Hull = append(f.Hull, Point{r.Hull[i].Y, r.Hull[i].X})
	}
	return f
}

// Flat reports that the tested pairs lie on one line, so that no surface can be told.
func (r Region) Flat() bool { return len(r.Hull) < 3 }

// WithLevels gives n even steps over the range of the levels, and the levels.
func WithLevels(levels []float64, n int) []float64 {
	out := append([]float64(nil), levels...)
	lo, hi := levels[0], levels[len(levels)-1]
	for i := 0; i <= n; i++ {
		out = InsertLevel(out, lo+(hi-lo)*float64(i)/float64(n))
	}
	return out
}
