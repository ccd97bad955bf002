package surface

import (
	"math"
	"sort"
)

// point is a pair in scaled units: each factor divided by its largest tested level.
type point struct{ x, y float64 }

// region is where the test can speak: the convex hull of the tested pairs and,
// for a factor with fewer than three levels, those levels only.
type region struct {
	hull           []point   // anticlockwise; one or two points where the jars lie on a line
	xs, ys         []float64 // tested levels, rising
	onlyXs, onlyYs bool      // nothing between the levels may be advised
}

// slack is how far outside an edge still counts as on it.
const slack = 1e-9

// leastLevels is how many levels of a factor a curve between them needs: through
// two levels every curve passes.
const leastLevels = 3

func newRegion(pts []point) region {
	r := region{hull: convexHull(pts)}
	for _, p := range pts {
		r.xs = insertLevel(r.xs, p.x)
		r.ys = insertLevel(r.ys, p.y)
	}
	r.onlyXs, r.onlyYs = len(r.xs) < leastLevels, len(r.ys) < leastLevels
	return r
}

// insertLevel adds a level to a rising list; levels closer than a millionth are one.
func insertLevel(levels []float64, v float64) []float64 {
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

func onLevel(levels []float64, v float64) bool {
	for _, l := range levels {
		if math.Abs(l-v) < 1e-6 {
			return true
		}
	}
	return false
}

// cross is twice the signed area of the triangle a, b, c; positive anticlockwise.
func cross(a, b, c point) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

// convexHull is Andrew's monotone chain; points on an edge are left out.
func convexHull(pts []point) []point {
	ps := append([]point(nil), pts...)
	sort.Slice(ps, func(i, j int) bool {
		if ps[i].x != ps[j].x {
			return ps[i].x < ps[j].x
		}
		return ps[i].y < ps[j].y
	})
	var u []point
	for _, p := range ps {
		if len(u) == 0 || math.Hypot(p.x-u[len(u)-1].x, p.y-u[len(u)-1].y) > slack {
			u = append(u, p)
		}
	}
	if len(u) < 3 {
		return u
	}
	half := func(seq []point) []point {
		var h []point
		for _, p := range seq {
			for len(h) >= 2 && cross(h[len(h)-2], h[len(h)-1], p) <= slack {
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

// contains reports that the pair lies in the hull, edge included, and on a
// tested level where only those may be advised.
func (r region) contains(p point) bool {
	if r.onlyXs && !onLevel(r.xs, p.x) || r.onlyYs && !onLevel(r.ys, p.y) {
		return false
	}
	switch len(r.hull) {
	case 0:
		return false
	case 1:
		return math.Hypot(p.x-r.hull[0].x, p.y-r.hull[0].y) <= slack
	case 2:
		a, b := r.hull[0], r.hull[1]
		along := (p.x-a.x)*(b.x-a.x) + (p.y-a.y)*(b.y-a.y)
		long := (b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y)
		return math.Abs(cross(a, b, p)) <= slack && along >= -slack && along <= long+slack
	}
	for i, a := range r.hull {
		if cross(a, r.hull[(i+1)%len(r.hull)], p) < -slack {
			return false
		}
	}
	return true
}

// span gives the range of x inside the hull at a level of y.
func (r region) span(y float64) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range r.hull {
		b := r.hull[(i+1)%len(r.hull)]
		if math.Abs(a.y-y) <= slack {
			lo, hi = math.Min(lo, a.x), math.Max(hi, a.x)
		}
		if (a.y-y)*(b.y-y) < 0 {
			x := a.x + (b.x-a.x)*(y-a.y)/(b.y-a.y)
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
	}
	return lo, hi, lo <= hi
}

// flipped is the same region with the factors exchanged.
func (r region) flipped() region {
	f := region{xs: r.ys, ys: r.xs, onlyXs: r.onlyYs, onlyYs: r.onlyXs}
	for i := len(r.hull) - 1; i >= 0; i-- {
		f.hull = append(f.hull, point{r.hull[i].y, r.hull[i].x})
	}
	return f
}

// flat reports that the tested pairs lie on one line, so that no surface can be told.
func (r region) flat() bool { return len(r.hull) < 3 }
