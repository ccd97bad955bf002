package surface

import (
	"jarwright/jartest/engine"
	"math"
	"math/rand/v2"
	"testing"
)

// randomSurface is a smooth surface of a plane and a few bumps.
func randomSurface(r *rand.Rand) func(engine.Point) float64 {
	type bump struct {
		at           engine.Point
		high, wx, wy float64
	}
	a, b := uniform(r, 0.3, 3), uniform(r, -1, 3)
	var bumps []bump
	for range 1 + r.IntN(4) {
		bumps = append(bumps, bump{engine.Point{X: r.Float64(), Y: r.Float64()}, uniform(r, -1.5, 1.5), uniform(r, 0.15, 0.8), uniform(r, 0.15, 0.8)})
	}
	return func(p engine.Point) float64 {
		v := -a*p.X - b*p.Y
		for _, k := range bumps {
			dx, dy := (p.X-k.at.X)/k.wx, (p.Y-k.at.Y)/k.wy
			v += k.high * math.Exp(-dx*dx-dy*dy)
		}
		return v
	}
}

// TestLeastCostAgainstGrid sets the search against brute force: a grid of 101 x
// 101, then finer grids about its best crossings. Grid and search are independent
// of each other.
func TestLeastCostAgainstGrid(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2026))
	const n = 100
	worst, compared, thinner := math.Inf(-1), 0, 0
	for k := 0; k < 1000; k++ {
		f := randomSurface(r)
		var pts []engine.Point
		switch k % 3 {
		case 0:
			pts = points(0, 0, 1, 0, 1, 1, 0, 1, 0.5, 0.5)
		case 1:
			pts = points(0.2, 0, 1, 0, 0.6, 0.5, 0.6, 1)
		default:
			for range 7 {
				pts = append(pts, engine.Point{X: r.Float64(), Y: r.Float64()})
			}
		}
		reg := engine.NewRegion(pts)
		reg.OnlyXs, reg.OnlyYs = false, false
		level := f(engine.Point{X: uniform(r, 0.2, 0.9), Y: uniform(r, 0, 1)})
		price := uniform(r, 0.02, 1.5)
		if k%7 == 0 {
			price = -price // a second factor that makes the first cheaper, such as pH
		}
		cost := func(p engine.Point) float64 { return 1 + p.X + price*p.Y }
		ok := func(p engine.Point) bool { return f(p) <= level }
		brute := math.Inf(1)
		var near []engine.Point
		look := func(x0, x1, y0, y1 float64) engine.Point {
			at := engine.Point{}
			for i := 0; i <= n; i++ {
				for j := 0; j <= n; j++ {
					p := engine.Point{X: x0 + (x1-x0)*float64(i)/n, Y: y0 + (y1-y0)*float64(j)/n}
					if c := cost(p); c < brute && reg.Contains(p) && ok(p) {
						brute, at = c, p
						near = append(near, p)
					}
				}
			}
			return at
		}
		look(0, 1, 0, 1)
		got, any := search{reg, ok, cost}.least()
		if math.IsInf(brute, 1) {
			if any && !(reg.Contains(got.at) && ok(got.at)) {
				t.Fatalf("surface %d: a pair that will not do was given", k)
			}
			continue
		}
		if !any {
			t.Fatalf("surface %d: no pair found, the grid has one", k)
		}
		for w := 2.0 / n; w > 1e-4; w /= 8 {
			p := near[len(near)-1]
			look(p.X-w, p.X+w, p.Y-w, p.Y+w)
		}
		compared++
		if !reg.Contains(got.at) || !ok(got.at) {
			t.Fatalf("surface %d: pair %v will not do", k, got.at)
		}
		if over := got.cost/brute - 1; over > 0.001 {
			t.Errorf("surface %d: cost %.5f, grid %.5f", k, got.cost, brute)
		} else {
			worst = math.Max(worst, over)
			// The grid may miss a tongue of pairs thinner than its cells, never the other way round.
			if over < -0.001 {
				thinner++
			}
		}
	}
	if compared < 800 {
		t.Fatalf("only %d surfaces had an answer", compared)
	}
	if thinner > compared/30 {
		t.Errorf("on %d of %d surfaces the search is more than 0.1 %% below the grid, more than thin tongues explain", thinner, compared)
	}
	t.Logf("%d surfaces, at most %.5f %% above the grid, %d below it by over 0.1 %%", compared, 100*worst, thinner)
}
