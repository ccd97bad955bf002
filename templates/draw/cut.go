package draw

import "math"

// cutLine cuts a line to a box; what lies inside comes back in pieces.
func cutLine(at []XY, b box) [][]XY {
	var out [][]XY
	var run []XY
	flush := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	for i := 1; i < len(at); i++ {
		p, q, ok := cutSegment(at[i-1], at[i], b)
		if !ok {
			flush()
			continue
		}
		if len(run) == 0 || run[len(run)-1] != p {
			flush()
			run = []XY{p}
		}
		run = append(run, q)
	}
	flush()
	return out
}

// cutSegment cuts one segment to a box (after Liang and Barsky, 1984).
func cutSegment(p, q XY, b box) (XY, XY, bool) {
	if !p.finite() || !q.finite() {
		return p, q, false
	}
	t0, t1 := 0.0, 1.0
	dx, dy := q.X-p.X, q.Y-p.Y
	for _, e := range [...][2]float64{{-dx, p.X - b.x0}, {dx, b.x1 - p.X}, {-dy, p.Y - b.y0}, {dy, b.y1 - p.Y}} {
		switch {
		case e[0] == 0:
			if e[1] < 0 {
				return p, q, false
			}
		case e[0] < 0:
			t0 = math.Max(t0, e[1]/e[0])
		default:
			t1 = math.Min(t1, e[1]/e[0])
		}
	}
	if t0 > t1 {
		return p, q, false
	}
	a, z := p, q
	if t0 > 0 {
		a = p.toward(q, t0)
	}
	if t1 < 1 {
		z = p.toward(q, t1)
	}
	return a, z, true
}

// cutPolygon cuts a polygon to a box, edge by edge (after Sutherland and Hodgman, 1974).
func cutPolygon(at []XY, b box) []XY {
	for _, e := range [...]func(XY) float64{ // how far a place lies inside an edge
		func(p XY) float64 { return p.X - b.x0 }, func(p XY) float64 { return b.x1 - p.X },
		func(p XY) float64 { return p.Y - b.y0 }, func(p XY) float64 { return b.y1 - p.Y },
	} {
		var next []XY
		for i, p := range at {
			prev := at[(i+len(at)-1)%len(at)]
			in, was := e(p), e(prev)
			if (in >= 0) != (was >= 0) {
				next = append(next, prev.toward(p, was/(was-in)))
			}
			if in >= 0 {
				next = append(next, p)
			}
		}
		at = next
	}
	return at
}

// smooth bends a line through its places, which ascend in X, by cubic pieces that rise or
// fall nowhere but where the places do (after Fritsch and Carlson, 1980).
func smooth(at []XY) []XY {
	n := len(at)
	slope := make([]float64, n)
	steep := func(i int) float64 { return (at[i+1].Y - at[i].Y) / (at[i+1].X - at[i].X) }
	for i := 1; i < n; i++ {
		if !(at[i].X > at[i-1].X) {
			return at
		}
	}
	if n < 3 {
		return at
	}
	slope[0], slope[n-1] = steep(0), steep(n-2)
	for i := 1; i < n-1; i++ {
		if a, b := steep(i-1), steep(i); a*b > 0 {
			slope[i] = 2 * a * b / (a + b)
		}
	}
	const parts = 6
	out := []XY{at[0]}
	for i := 0; i+1 < n; i++ {
		h := at[i+1].X - at[i].X
		for k := 1; k <= parts; k++ {
			t := float64(k) / parts
			u := 1 - t
			y := at[i].Y*(1+2*t)*u*u + at[i+1].Y*t*t*(3-2*t) + h*(slope[i]*t*u*u-slope[i+1]*t*t*u)
			out = append(out, XY{at[i].X + t*h, y})
		}
	}
	return out
}
