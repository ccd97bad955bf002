package draw

import (
	"bytes"
	"fmt"
	"image"
	imagedraw "image/draw"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// marks is a picture with every sign that a layer can have, its ends fixed so that
// some of it lies outside.
func marks() Drawing {
	low, high, ten, three := -2.0, 12.0, 10.0, 3.0
	var shapes []Layer
	for s := Round; s <= Plus; s++ {
		x := float64(s) * 2
		shapes = append(shapes, Points{Name: fmt.Sprint("shape ", int(s)), Shape: s, Tone: Tone(s % 5), At: []Point{{XY: XY{x, 2}}, {XY: XY{x, 5}, Censor: Under},
			{XY: XY{x + 0.7, 8}, Censor: Over, Spread: 1}, {XY: XY{x + 0.3, 14}}}})
	}
	shapes[0].(Points).At[0].Label = "a jar"
	several := Panel{X: Axis{Name: "Place", Least: &low, Most: &high}, Y: Axis{Name: "Height", Unit: "m", Least: &low, Most: &ten}, Layers: append(shapes,
		Line{Name: "broken", Stroke: Dotted, Tone: Doubt, At: []XY{{-5, -5}, {3, 3}, {4, math.NaN()}, {6, 6}, {20, 20}}},
		Line{Name: "dashed", Stroke: Dashed, At: []XY{{-1, 9}, {11, 1}}})}
	flags := Panel{X: Axis{Name: "Hour", Clock: true, Step: 6, Least: &three}, Y: Axis{Name: "Feed", Zero: true}, Layers: []Layer{
		Steps{Name: "open", Stroke: Dashed, Tone: Limit, At: []XY{{4, 5}, {10, -3}, {16, 8}, {28, 0}}}, Steps{Name: "one", At: []XY{{20, 2}}},
		Marker{Label: "first of many words", Vertical: true, At: 10}, Marker{Label: "second of many", Vertical: true, At: 10.5, Stroke: Dashed},
		Marker{Label: "third of them all", Vertical: true, At: 11, Stroke: Dotted}, Marker{Label: "at the very end of the day", Vertical: true, At: 28},
		Marker{Label: "a limit that nobody may ever pass, told in many words", At: 6}, Marker{Label: "beside it", At: 6.1}, Marker{Vertical: true, At: 7}}}
	bars := Panel{X: Axis{Name: "Kind", Labels: []string{"one", "two", "three", "four"}}, Y: Axis{Name: "Change", Unit: "%"}, Layers: []Layer{
		Bars{Name: "plain", At: []Bar{{XY: XY{0, 3}}, {XY: XY{1, -2}}, {XY: XY{2, 4}, Low: 3.5, High: 4.75}}}, Bars{Name: "hatched", Hatch: true, Tone: Mud, Width: 0.3, At: []Bar{{XY: XY{3, -1}, Base: 2}}}}}
	return Drawing{Title: "Marks", Description: "All marks.", DecimalComma: true, Foot: "a foot", Panels: []Panel{several, flags, bars}}
}

// saddles is a surface of four cells with a saddle and a hole, on uneven crossings.
func saddles() Drawing {
	g := Grid{X: []float64{0, 1, 3, 6}, Y: []float64{0, 2, 3}, Z: [][]float64{{0, 4, 1, 5}, {4, 0, 3, math.NaN()}, {1, 5, 2, 4}}}
	return Drawing{Title: "Saddles", Panels: []Panel{{X: Axis{Name: "x"}, Y: Axis{Name: "y"}, Layers: []Layer{
		Hatched{Name: "high", Grid: g, Limit: 2.5, AtLeast: true}, Contours{Name: "z", Unit: "m", Grid: g, Levels: []float64{1.25, 2, 3.5}}}}}}
}

// inked tells how much ink stands in each square of a picture, in half percents:
// finer steps may differ between machines.
func inkSquares(t *testing.T, d Drawing) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.PNG(&b); err != nil {
		t.Fatal(err)
	}
	decoded, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	size := decoded.Bounds()
	img := image.NewRGBA(size)
	imagedraw.Draw(img, size, decoded, image.Point{}, imagedraw.Src)
	const side = 40
	var out strings.Builder
	for y := 0; y < size.Dy(); y += side {
		for x := 0; x < size.Dx(); x += side {
			dark := 0
			for v := y; v < min(y+side, size.Dy()); v++ {
				for u := x; u < min(x+side, size.Dx()); u++ {
					p := img.Pix[img.PixOffset(u, v):]
					dark += 3*255 - int(p[0]) - int(p[1]) - int(p[2])
				}
			}
			fmt.Fprintf(&out, "%3.0f", float64(200*dark)/(3*255*side*side))
		}
		out.WriteByte('\n')
	}
	return out.String()
}

// TestMarks keeps pictures of every mark as they were looked at: as characters at two
// widths, as SVG, and how much ink stands where in the PNG, in half percents.
func TestMarks(t *testing.T) {
	files := map[string]string{}
	for name, d := range map[string]Drawing{"marks": marks(), "saddles": saddles()} {
		files[name+".txt"] = strings.Join(slices.Concat(d.Text(80, 16, ASCII), d.Text(46, 9, Blocks)), "\n") + "\n"
		files[name+".svg"] = string(d.SVG(Wide))
		files[name+".ink"] = inkSquares(t, d)
	}
	files["dose.ink"] = inkSquares(t, doseResponse())
	for name, got := range files {
		file := filepath.Join("testdata", name)
		if *update || os.Getenv("JARWRIGHT_UPDATE") == "1" {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs from what was looked at; write it anew with JARWRIGHT_UPDATE=1 and look at it", file)
		}
	}
}

// TestCutLine cuts lines to the box from (0, 0) to (10, 10) by hand.
func TestCutLine(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		at   []XY
		want string
	}{
		{"inside", []XY{{1, 1}, {2, 5}, {9, 9}}, "[[{1 1} {2 5} {9 9}]]"},
		{"through", []XY{{-5, 5}, {15, 5}}, "[[{0 5} {10 5}]]"},
		{"upright", []XY{{4, 20}, {4, -20}}, "[[{4 10} {4 0}]]"},
		{"a corner cut off", []XY{{-2, 4}, {4, -2}}, "[[{0 2} {2 0}]]"}, // x + y = 2
		{"past a corner", []XY{{-4, 2}, {2, -4}}, "[]"},
		{"beside", []XY{{-1, 0}, {-1, 10}}, "[]"},
		{"along the edge", []XY{{0, 2}, {0, 8}}, "[[{0 2} {0 8}]]"},
		{"out and in again", []XY{{5, 5}, {15, 5}, {15, 6}, {5, 6}}, "[[{5 5} {10 5}] [{10 6} {5 6}]]"},
		{"a gap", []XY{{1, 1}, {2, 2}, {nan, 3}, {4, 4}, {5, 5}}, "[[{1 1} {2 2}] [{4 4} {5 5}]]"},
		{"a place", []XY{{1, 1}}, "[]"},
	} {
		if got := fmt.Sprint(cutLine(c.at, box{0, 0, 10, 10})); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestCutPolygon: a square that hangs over two edges keeps what lies inside.
func TestCutPolygon(t *testing.T) {
	area := func(at []XY) float64 {
		sum := 0.0
		for i, p := range at {
			q := at[(i+1)%len(at)]
			sum += p.X*q.Y - q.X*p.Y
		}
		return math.Abs(sum) / 2
	}
	for _, c := range []struct {
		at   []XY
		want float64
	}{
		{[]XY{{2, 2}, {4, 2}, {4, 4}, {2, 4}}, 4},
		{[]XY{{-2, -3}, {4, -3}, {4, 5}, {-2, 5}}, 20},  // 0 to 4 by 0 to 5
		{[]XY{{7, 8}, {14, 8}, {14, 30}, {7, 30}}, 6},   // 7 to 10 by 8 to 10
		{[]XY{{-5, 5}, {5, -5}, {15, 5}, {5, 15}}, 100}, // a rhombus whose edges touch the corners
		{[]XY{{11, 0}, {20, 0}, {20, 5}, {11, 5}}, 0},
	} {
		if got := area(cutPolygon(c.at, box{0, 0, 10, 10})); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v keeps %g, want %g", c.at, got, c.want)
		}
	}
}

func TestDecimalsOf(t *testing.T) {
	for v, want := range map[float64]int{0: 0, 5: 0, 50: 0, 0.5: 1, 1.25: 2, -0.125: 3, 0.0625: 4, 1.0 / 3: 4, 0.1 + 0.2: 1} {
		if got := decimalsOf(v); got != want {
			t.Errorf("%v needs %d decimals, want %d", v, got, want)
		}
	}
}

func TestNiceStep(t *testing.T) {
	for raw, want := range map[float64]float64{0.9: 1, 1: 1, 1.1: 2, 2: 2, 2.1: 5, 5.1: 10, 70: 100, 0.03: 0.05, 0: 1, -1: 1, math.Inf(1): 1} {
		if got := niceStep(raw); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v becomes %v, want %v", raw, got, want)
		}
	}
}

// TestScales holds ends and ticks that TestTicks does not reach.
func TestMarkScales(t *testing.T) {
	zero, five, hundred := 0.0, 5.0, 100.0
	for _, c := range []struct {
		name   string
		a      Axis
		v      []float64
		n      int
		want   string
		lo, hi float64
	}{
		{"nothing", Axis{}, nil, 5, "0.0 0.2 0.4 0.6 0.8 1.0", 0, 1},
		{"only zero", Axis{}, []float64{0}, 4, "-1.0 -0.5 0.0 0.5 1.0", -1, 1},
		{"only zero, from zero", Axis{Zero: true}, []float64{0}, 2, "0.0 0.5 1.0", 0, 1},
		{"below zero, to zero", Axis{Zero: true}, []float64{-8}, 4, "-8 -6 -4 -2 0", -8, 0},
		{"ends the wrong way round", Axis{Least: &hundred, Most: &zero}, nil, 4, "0 50 100", 0, 100},
		{"steps too many", Axis{Least: &zero, Most: &hundred, Step: 1}, nil, 5, "0 20 40 60 80 100", 0, 100},
		{"no number", Axis{}, []float64{math.NaN(), math.Inf(1), 1, 3}, 4, "1.0 1.5 2.0 2.5 3.0", 1, 3},
		{"clock", Axis{Clock: true, Step: 6}, []float64{6, 30}, 9, "06:00 12:00 18:00 00:00 06:00", 6, 30},
		{"half hours", Axis{Clock: true, Step: 1.5}, []float64{22.5, 25.5}, 9, "22:30 00:00 01:30", 22.5, 25.5},
		{"labels", Axis{Labels: []string{"a", "b", "c", "d", "e"}}, nil, 5, "a b c d e", -0.5, 4.5},
		{"labels, every other", Axis{Labels: []string{"a", "b", "c", "d", "e"}}, nil, 4, "a c e", -0.5, 4.5},
		{"labels, no room", Axis{Labels: []string{"a", "b", "c", "d", "e"}}, nil, 0, "a d", -0.5, 4.5},
		{"log of nothing", Axis{Log: true}, []float64{-1, 0}, 5, "1 2 5 10", 1, 10},
		{"log from zero", Axis{Log: true, Least: &zero, Most: &five}, []float64{1}, 5, "0.01 0.1 1", 0.005, 5}, // a thousandth of the other end
		{"log on its ticks", Axis{Log: true}, []float64{2, 20}, 5, "2 5 10 20", 2, 20},
	} {
		s := newScale(c.a, c.v, c.n, false)
		var got []string
		for _, tk := range s.ticks {
			got = append(got, tk.text)
		}
		if g := strings.Join(got, " "); g != c.want || math.Abs(s.lo-c.lo) > 1e-9 || math.Abs(s.hi-c.hi) > 1e-9 {
			t.Errorf("%s: %s from %g to %g, want %s from %g to %g", c.name, g, s.lo, s.hi, c.want, c.lo, c.hi)
		}
	}
	log := newScale(Axis{Log: true}, []float64{1, 100}, 5, false)
	for v, want := range map[float64]float64{1: 0, 10: 0.5, 100: 1} {
		if got := log.at(v); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v stands at %v, want %v", v, got, want)
		}
	}
	if !math.IsNaN(log.at(0)) || !math.IsNaN(log.at(-1)) {
		t.Error("zero has a place on a log axis")
	}
}

// TestSurfaceBetweenCrossings: by hand between the crossings of an uneven grid.
func TestSurfaceBetweenCrossings(t *testing.T) {
	g := Grid{X: []float64{0, 2, 6}, Y: []float64{0, 1}, Z: [][]float64{{0, 4, 8}, {10, 14, 26}}}
	for _, c := range []struct{ x, y, want float64 }{
		{0, 0, 0}, {1, 0, 2}, {2, 0, 4}, {4, 0, 6}, {6, 1, 26}, {4, 1, 20}, {4, 0.5, 13}, {1, 0.25, 4.5}, // 2·0.75 + 12·0.25
		{-0.1, 0, math.NaN()}, {6.1, 0, math.NaN()}, {1, 1.1, math.NaN()}, {1, -0.1, math.NaN()},
	} {
		if got := g.value(c.x, c.y); math.Abs(got-c.want) > 1e-12 || math.IsNaN(got) != math.IsNaN(c.want) {
			t.Errorf("(%v, %v): %v, want %v", c.x, c.y, got, c.want)
		}
	}
}

// TestContoursOfACell: where a line of equal value leaves a cell is worked by hand.
func TestContoursOfACell(t *testing.T) {
	square := func(z ...float64) Grid {
		return Grid{X: []float64{0, 10}, Y: []float64{0, 4}, Z: [][]float64{{z[0], z[1]}, {z[3], z[2]}}}
	}
	for _, c := range []struct {
		name string
		g    Grid
		want []string // lines, by their ends
	}{
		{"from the left edge to the right", square(0, 0, 4, 4), []string{"(0, 1) (10, 1)"}},
		{"about a corner", square(0, 2, 2, 2), []string{"(0, 2) (5, 0)"}}, // halfway to 2 on both edges
		{"nothing", square(2, 3, 4, 5), nil},
		{"a hole", square(0, math.NaN(), 4, 4), nil},
		// The middle of 0, 4, 0, 4 is 2, above 1: the low corners stand alone.
		{"a saddle, high in the middle", square(0, 4, 0, 4), []string{"(0, 1) (2.5, 0)", "(10, 3) (7.5, 4)"}},
		// The middle of 0, 1.5, 0, 1.5 is 0.75: the high corners stand alone.
		{"a saddle, low in the middle", square(0, 1.5, 0, 1.5), []string{"(0, 2.666667) (3.333333, 4)", "(10, 1.333333) (6.666667, 0)"}},
	} {
		var got []string
		for _, l := range c.g.contour(1) {
			ends := []string{}
			for _, p := range l {
				ends = append(ends, fmt.Sprintf("(%.7g, %.7g)", p.X, p.Y))
			}
			slices.Sort(ends)
			got = append(got, strings.Join(ends, " "))
		}
		slices.Sort(got)
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
