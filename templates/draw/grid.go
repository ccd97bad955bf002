package draw

import (
	"math"
	"slices"
)

// value interpolates the surface at a place; NaN outside and in holes.
func (g Grid) value(x, y float64) float64 {
	i, fx := locate(g.X, x)
	j, fy := locate(g.Y, y)
	if i < 0 || j < 0 || j+1 >= len(g.Z) || i+1 >= len(g.Z[j]) || i+1 >= len(g.Z[j+1]) {
		return math.NaN()
	}
	low := g.Z[j][i]*(1-fx) + g.Z[j][i+1]*fx
	high := g.Z[j+1][i]*(1-fx) + g.Z[j+1][i+1]*fx
	return low*(1-fy) + high*fy
}

// locate gives the cell of v between ascending values and the share of the way through it.
func locate(at []float64, v float64) (int, float64) {
	for i := 0; i+1 < len(at); i++ {
		if v >= at[i] && v <= at[i+1] && at[i+1] > at[i] {
			return i, (v - at[i]) / (at[i+1] - at[i])
		}
	}
	return -1, 0
}

// contour gives the line of equal value as chains of places, by marching squares.
// A level that a crossing has exactly is moved by a hair, so that no line runs
// through a crossing and every piece has two ends.
func (g Grid) contour(level float64) [][]XY {
	for _, row := range g.Z {
		for _, z := range row {
			if z == level {
				level += 1e-9 * math.Max(math.Abs(level), 1e-3)
			}
		}
	}
	var segs [][2]XY
	for j := 0; j+1 < len(g.Y) && j+1 < len(g.Z); j++ {
		for i := 0; i+1 < len(g.X) && i+1 < len(g.Z[j]) && i+1 < len(g.Z[j+1]); i++ {
			segs = append(segs, g.cell(i, j, level)...)
		}
	}
	return chain(segs)
}

// cell gives the pieces of a contour within one cell.
func (g Grid) cell(i, j int, level float64) [][2]XY {
	corner := [4]XY{{g.X[i], g.Y[j]}, {g.X[i+1], g.Y[j]}, {g.X[i+1], g.Y[j+1]}, {g.X[i], g.Y[j+1]}}
	z := [4]float64{g.Z[j][i], g.Z[j][i+1], g.Z[j+1][i+1], g.Z[j+1][i]}
	var cut []XY
	for k := range 4 {
		a, b := z[k], z[(k+1)%4]
		if math.IsNaN(a) || math.IsNaN(b) {
			return nil
		}
		if (a < level) != (b < level) {
			p, q := corner[k], corner[(k+1)%4]
			if k >= 2 { // the same edge from the same end in both cells, so that chains meet exactly
				p, q, a, b = q, p, b, a
			}
			cut = append(cut, p.toward(q, (level-a)/(b-a)))
		}
	}
	switch len(cut) {
	case 2:
		return [][2]XY{{cut[0], cut[1]}}
	case 4: // a saddle: the middle value decides which corners belong together
		if ((z[0]+z[1]+z[2]+z[3])/4 < level) == (z[0] < level) {
			return [][2]XY{{cut[0], cut[1]}, {cut[2], cut[3]}}
		}
		return [][2]XY{{cut[3], cut[0]}, {cut[1], cut[2]}}
	}
	return nil
}

// chain joins pieces that share an end.
func chain(segs [][2]XY) [][]XY {
	ends := map[XY][]int{}
	for i, s := range segs {
		ends[s[0]] = append(ends[s[0]], i)
		ends[s[1]] = append(ends[s[1]], i)
	}
	used := make([]bool, len(segs))
	next := func(at XY) (XY, bool) {
		for _, i := range ends[at] {
			if !used[i] {
				used[i] = true
				if segs[i][0] == at {
					return segs[i][1], true
				}
				return segs[i][0], true
			}
		}
		return XY{}, false
	}
	var out [][]XY
	for i, s := range segs {
		if used[i] {
			continue
		}
		used[i] = true
		path := []XY{s[0], s[1]}
		for p, ok := next(path[len(path)-1]); ok; p, ok = next(p) {
			path = append(path, p)
		}
		var back []XY
		for p, ok := next(path[0]); ok; p, ok = next(p) {
			back = append(back, p)
		}
		slices.Reverse(back)
		out = append(out, append(back, path...))
	}
	return out
}

// in reports whether a place belongs to the hatched part.
func (h Hatched) in(x, y float64) bool {
	v := h.Grid.value(x, y)
	if h.AtLeast {
		return v >= h.Limit
	}
	return v <= h.Limit
}

// Lines gives each level's lines of equal value, as chains of places.
func (c Contours) Lines() [][][]XY {
	out := make([][][]XY, len(c.Levels))
	for i, l := range c.Levels {
		out[i] = c.Grid.contour(l)
	}
	return out
}
