package engine

import (
	"slices"
	"testing"
)

// TestRegion: the hull of a triangle with points on its edge and inside, by hand, and its mirror image.
func TestRegion(t *testing.T) {
	r := NewRegion([]Point{{0, 0}, {1, 0}, {0.5, 0}, {0, 1}, {0.2, 0.2}})
	if len(r.Hull) != 3 || !slices.Equal(r.Xs, []float64{0, 0.2, 0.5, 1}) || !slices.Equal(r.Ys, []float64{0, 0.2, 1}) || r.OnlyXs || r.OnlyYs || r.Flat() {
		t.Errorf("%+v", r)
	}
	for _, c := range []struct {
		p    Point
		want bool
	}{{Point{0.5, 0.5}, true}, {Point{0.51, 0.51}, false}, {Point{1, 0}, true}, {Point{-0.01, 0.5}, false}, {Point{0.3, 0.1}, true}, {Point{0.3, -0.01}, false}} {
		if got := r.Contains(c.p); got != c.want {
			t.Errorf("%v inside: %v, want %v", c.p, got, c.want)
		}
		if got := r.Flipped().Contains(Point{c.p.Y, c.p.X}); got != c.want {
			t.Errorf("%v inside the mirror image: %v, want %v", c.p, got, c.want)
		}
	}
	for _, c := range []struct{ y, lo, hi float64 }{{0.25, 0, 0.75}, {0, 0, 1}, {1, 0, 0}} {
		lo, hi, ok := r.Span(c.y)
		if !ok {
			t.Fatalf("no span at %g", c.y)
		}
		matches(t, "from", lo, c.lo, 1e-12)
		matches(t, "to", hi, c.hi, 1e-12)
	}
	if _, _, ok := r.Span(1.1); ok {
		t.Error("a span above the region")
	}
}

// TestRegionOfFewLevels: through two levels every curve passes, so only they are in the region; jars on a line are flat.
func TestRegionOfFewLevels(t *testing.T) {
	r := NewRegion([]Point{{0, 0}, {0.5, 0}, {1, 0}, {0, 1}, {0.5, 1}, {1, 1}})
	if r.OnlyXs || !r.OnlyYs || r.Contains(Point{0.3, 0.5}) || !r.Contains(Point{0.3, 1}) || !OnLevel(r.Ys, 1+1e-8) || OnLevel(r.Ys, 0.99) {
		t.Errorf("%+v", r)
	}
	line := NewRegion([]Point{{0, 0}, {1, 1}, {0.5, 0.5}})
	if !line.Flat() || !line.Contains(Point{0.5, 0.5}) || line.Contains(Point{0.5, 0.4}) || line.Contains(Point{1.5, 1.5}) {
		t.Errorf("jars on a line: %+v", line)
	}
	one := NewRegion([]Point{{0.2, 0.4}, {0.2, 0.4}})
	if !one.Flat() || !one.OnlyXs || one.Contains(Point{0.2, 0.5}) || !one.Contains(Point{0.2, 0.4}) || (Region{}).Contains(Point{}) {
		t.Errorf("one pair: %+v", one)
	}
	if got := WithLevels([]float64{0, 0.3, 1}, 4); !slices.Equal(got, []float64{0, 0.25, 0.3, 0.5, 0.75, 1}) {
		t.Errorf("%v", got)
	}
}
