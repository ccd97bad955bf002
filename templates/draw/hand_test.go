package draw

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"reflect"
	"strings"
	"testing"
)

// TestPlacesOfAPlot works the places of a small plot out by hand. Paper is 1004 wide
// and its small words 13 high, a line of them 16.9: the plot begins 10 below the one
// that names y, is 320 high, and its board of 9 stands 7 + 9 lower, for the interval on it.
func TestPlacesOfAPlot(t *testing.T) {
	zero, ten := 0.0, 10.0
	d := Drawing{Panels: []Panel{{X: Axis{Name: "x", Least: &zero, Most: &ten, Step: 5}, Y: Axis{Name: "y", Least: &zero, Most: &ten, Step: 5}, Layers: []Layer{
		Line{At: []XY{{0, 0}, {10, 10}, {math.NaN(), 1}, {5, 20}}},
		Marker{Label: "limit", At: 2.5, Number: "2.5", Unsafe: Below},
		Points{Shape: Square, At: []Point{{XY: XY{5, 5}, Spread: 2.5}}},
		Bars{Width: 2, At: []Bar{{XY: XY{2, 5}, Base: 2.5, Low: 4, High: 6}}},
		Interval{Low: 4, At: 5, High: 7}, Mark{At: 8, Number: "8", Label: "mg/L"},
	}}}}
	rules := TextWidth("2.5", 14, true) + 8 // the widest number, and a gap
	left, right := rules+2*4.6+4, 1004-12-TextWidth("limit", 14, true)
	const top, bottom = 13*1.3 + 10, 13*1.3 + 10 + 320
	const board = bottom + 7 + 9
	x := func(v float64) float64 { return left + v/10*(right-left) }
	y := func(v float64) float64 { return bottom - v/10*320 }
	want := map[string]string{}
	line := func(what string, at ...XY) { want["stroke "+path(at)] = what }
	fill := func(what string, b box) { want["area "+path(b.corners())] = what }
	for _, v := range []float64{0, 5, 10} {
		line("a hairline", XY{rules, y(v)}, XY{right, y(v)})
		line("a tick", XY{x(v), board + 9}, XY{x(v), board + 9 + 5})
	}
	line("the line", XY{left, bottom}, XY{right, top})
	line("the limit", XY{rules, y(2.5)}, XY{right, y(2.5)})
	line("the spread", XY{x(5), y(2.5)}, XY{x(5), y(7.5)})
	line("its lower end", XY{x(5) - 4, y(2.5)}, XY{x(5) + 4, y(2.5)})
	line("its upper end", XY{x(5) - 4, y(7.5)}, XY{x(5) + 4, y(7.5)})
	line("the point", box{x(5) - 4.6, y(5) - 4.6, x(5) + 4.6, y(5) + 4.6}.corners()...)
	line("the bar's edge", append(box{x(1), y(2.5), x(3), y(5)}.corners(), XY{x(1), y(2.5)})...)
	line("the bar's range", XY{x(2), y(4)}, XY{x(2), y(6)})
	line("the board", box{left, board, right, board + 9}.corners()...)
	fill("the first block", box{left, board, x(1), board + 9}) // a fifth of a step of 5
	fill("the third block", box{x(2), board, x(3), board + 9})
	fill("the interval", box{x(4), board - 7, x(7), board})
	fill("its notch", box{x(5) - 1.6, board - 8, x(5) + 1.6, board})
	line("its low end", XY{x(4), board - 11}, XY{x(4), board})
	line("its high end", XY{x(7), board - 11}, XY{x(7), board})
	fill("the mark", box{x(8) - 3.5, board - 20, x(8) + 3.5, board + 9 + 16})
	said := map[string]XY{"y": {0, 13}, "limit": {right + 4.6 + 6, y(2.5) - 14*1.25/2 + 0.95*14}, "2.5": {rules - 8, y(2.5) + 0.33*14},
		"10": {rules - 8, y(10) + 0.33*14}, "0": {rules - 8, y(0) + 0.33*14}, "8": {x(8) - 3.5, 0}}
	hatches := 0
	for _, it := range d.layout(Wide).items {
		switch it := it.(type) {
		case area:
			delete(want, "area "+path(it.at))
		case stroke:
			delete(want, "stroke "+path(it.at))
			if it.color == redHatch {
				hatches++
				for _, p := range it.at {
					if p.Y < y(2.5)-0.01 || p.Y > bottom+0.01 {
						t.Errorf("hatching on the safe side, at %v", p)
					}
				}
			}
		case words:
			at, ok := said[it.text]
			if ok && (math.Abs(it.x-at.X) < 0.01 && (at.Y == 0 || math.Abs(it.y-at.Y) < 0.1)) {
				delete(said, it.text)
			}
		}
	}
	for p, what := range want {
		t.Errorf("%s is not drawn: %s", what, p)
	}
	if len(said) > 0 || hatches == 0 {
		t.Errorf("not said where it should be: %v; %d strokes of hatching", said, hatches)
	}
}

func TestCuts(t *testing.T) {
	b := box{0, 0, 10, 10}
	for _, c := range []struct {
		at   []XY
		want string
	}{
		{[]XY{{-5, 5}, {15, 5}}, "[[{0 5} {10 5}]]"},
		{[]XY{{5, -10}, {5, 5}, {20, 5}, {20, 8}, {5, 8}}, "[[{5 0} {5 5} {10 5}] [{10 8} {5 8}]]"},
		{[]XY{{-1, 0}, {-1, 10}}, "[]"}, {[]XY{{0, 20}, {20, 0}}, "[[{10 10} {10 10}]]"}, {[]XY{{0, 21}, {21, 0}}, "[]"},
		{[]XY{{1, 1}, {math.NaN(), 1}, {2, 2}, {3, 3}}, "[[{2 2} {3 3}]]"}, {[]XY{{1, 1}}, "[]"},
	} {
		if got := fmt.Sprint(cutLine(c.at, b)); got != c.want {
			t.Errorf("%v is cut to %s, want %s", c.at, got, c.want)
		}
	}
	for _, c := range []struct {
		at   []XY
		want string
	}{
		{[]XY{{2, 2}, {20, 2}, {20, 8}, {2, 8}}, "[{2 8} {2 2} {10 2} {10 8}]"},
		{[]XY{{-10, 5}, {5, -10}, {5, 5}}, "[{0 5} {0 0} {5 0} {5 5}]"}, // one side runs through the corner
		{[]XY{{20, 20}, {30, 20}, {30, 30}}, "[]"},
	} {
		got := cutPolygon(c.at, b)
		area := func(p []XY) (sum float64) {
			for i, q := range p {
				n := p[(i+1)%len(p)]
				sum += (q.X*n.Y - n.X*q.Y) / 2
			}
			return math.Abs(sum)
		}
		var want []XY
		for _, f := range strings.Split(strings.Trim(c.want, "[]{}"), "} {") {
			var p XY
			if _, err := fmt.Sscan(f, &p.X, &p.Y); err == nil {
				want = append(want, p)
			}
		}
		if math.Abs(area(got)-area(want)) > 1e-9 {
			t.Errorf("%v is cut to %v, want the area of %s", c.at, got, c.want)
		}
		for _, p := range got {
			if p.X < 0 || p.X > 10 || p.Y < 0 || p.Y > 10 {
				t.Errorf("%v leaves the box at %v", c.at, p)
			}
		}
	}
}

func TestDashes(t *testing.T) {
	for _, c := range []struct {
		at   []XY
		dash []float64
		want string
	}{
		{[]XY{{0, 0}, {10, 0}}, []float64{3, 2}, "[[{0 0} {3 0}] [{5 0} {8 0}]]"},
		{[]XY{{0, 0}, {12, 0}}, []float64{3, 2}, "[[{0 0} {3 0}] [{5 0} {8 0}] [{10 0} {12 0}]]"},
		{[]XY{{0, 0}, {2, 0}, {2, 4}}, []float64{3, 1}, "[[{0 0} {2 0} {2 1}] [{2 2} {2 4}]]"},
		{[]XY{{0, 0}, {2, 0}}, nil, "[[{0 0} {2 0}]]"}, {[]XY{{0, 0}, {2, 0}}, []float64{1}, "[[{0 0} {2 0}]]"},
	} {
		if got := fmt.Sprint(dashed(c.at, c.dash)); got != c.want {
			t.Errorf("%v in dashes %v: %s, want %s", c.at, c.dash, got, c.want)
		}
	}
}

// TestPixels looks at single pixels; a point of the paper is two of them.
func TestPixels(t *testing.T) {
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, 100, 100)), scale: 2}
	draw.Draw(c.img, c.img.Bounds(), image.White, image.Point{}, draw.Src)
	c.paint([][]XY{box{10, 10, 20, 15}.corners()}, "#123456")
	c.stroke(stroke{at: []XY{{5, 30}, {40, 30}, {40, 45}}, width: 4, color: "#FF0000"})
	c.stroke(stroke{at: box{30, 5, 40, 15}.corners(), width: 2, color: "#0000FF", fill: "#FFFFFF"})
	blue, red, green, white := color.RGBA{18, 52, 86, 255}, color.RGBA{255, 0, 0, 255}, color.RGBA{0, 0, 255, 255}, color.RGBA{255, 255, 255, 255}
	for _, p := range []struct {
		x, y int
		want color.RGBA
	}{
		{20, 20, blue}, {39, 29, blue}, {19, 20, white}, {40, 29, white}, {20, 19, white}, {39, 30, white},
		{11, 57, red}, {11, 63, red}, {11, 55, white}, {11, 64, white}, {8, 60, white}, {77, 88, red}, {82, 88, red}, {75, 88, white}, {84, 88, white},
		{82, 58, red}, {84, 55, white}, // the round joint reaches over the corner, but not into it
		{60, 10, green}, {80, 30, green}, {60, 20, green}, {70, 20, white}, {80, 9, green}, {57, 20, white}, {62, 20, white},
	} {
		if got := c.img.RGBAAt(p.x, p.y); got != p.want {
			t.Errorf("pixel %d, %d is %v, want %v", p.x, p.y, got, p.want)
		}
	}
	if u := c.source("#zzzzzz"); u.C != (color.RGBA{A: 255}) {
		t.Error("a colour that is none is not black")
	}
	// Words: where their ink begins and ends.
	for _, w := range []words{{anchor: "start"}, {anchor: "middle"}, {anchor: "end"}, {anchor: "start", halo: true}} {
		c := &canvas{img: image.NewRGBA(image.Rect(0, 0, 200, 60)), scale: 2}
		draw.Draw(c.img, c.img.Bounds(), image.NewUniform(color.RGBA{255, 0, 0, 255}), image.Point{}, draw.Src)
		w.x, w.y, w.size, w.color, w.text = 50, 20, 12, "#000000", "HH"
		c.words(w)
		wide := advance("HH", 12, false)
		from := map[string]float64{"start": 50, "middle": 50 - wide/2, "end": 50 - wide}[w.anchor]
		ink, edge := inked(c.img, func(p color.RGBA) bool { return p.G < 100 && p.R < 160 }), inked(c.img, func(p color.RGBA) bool { return p == rgb(Paper) })
		if lo, hi := float64(ink.Min.X)/2, float64(ink.Max.X)/2; lo < from || lo > from+2.5 || hi > from+wide || hi < from+wide-2.5 || ink.Max.Y != 40 {
			t.Errorf("words at the %s stand from %g to %g on %d, want %g to %g on 40", w.anchor, lo, hi, ink.Max.Y, from, from+wide)
		}
		if w.halo != !edge.Empty() || w.halo && (edge.Min.X >= ink.Min.X || edge.Max.X <= ink.Max.X || edge.Min.Y >= ink.Min.Y || edge.Max.Y <= ink.Max.Y) {
			t.Errorf("the white edge of words takes %v, their ink %v", edge, ink)
		}
	}
}

func inked(img *image.RGBA, is func(color.RGBA) bool) image.Rectangle {
	var r image.Rectangle
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if is(img.RGBAAt(x, y)) {
				r = r.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return r
}

func TestGrids(t *testing.T) {
	g := Grid{X: []float64{0, 1, 3}, Y: []float64{0, 2}, Z: [][]float64{{0, 1, 3}, {4, 5, 7}}} // z = x + 2y
	for _, c := range [][3]float64{{0, 0, 0}, {2, 1, 4}, {3, 2, 7}, {0.5, 0.5, 1.5}, {1, 2, 5}} {
		if v := g.value(c[0], c[1]); math.Abs(v-c[2]) > 1e-12 {
			t.Errorf("at %g, %g the value is %g, want %g", c[0], c[1], v, c[2])
		}
	}
	for _, c := range [][2]float64{{-0.1, 1}, {3.1, 1}, {1, -0.1}, {1, 2.1}} {
		if v := g.value(c[0], c[1]); !math.IsNaN(v) {
			t.Errorf("outside, at %v, the value is %g", c, v)
		}
	}
	short := Grid{X: g.X, Y: g.Y, Z: [][]float64{{0, 1}, {4, 5, 7}}}
	if v := short.value(2, 1); !math.IsNaN(v) || short.value(0.5, 1) != 2.5 {
		t.Errorf("a row that is too short gives %g", v)
	}
	for _, h := range []struct {
		x       float64
		atLeast bool
		want    bool
	}{{1, false, true}, {2, false, true}, {2.1, false, false}, {1.9, true, false}, {2, true, true}, {9, true, false}, {9, false, false}} {
		if got := (Hatched{Grid: g, Limit: 2, AtLeast: h.atLeast}).in(h.x, 0); got != h.want {
			t.Errorf("%+v: %v", h, got)
		}
	}
	// z = x + 2y is 2 on the line from (2, 0) to (0, 1), over both cells.
	lines := g.contour(2)
	if len(lines) != 1 || len(lines[0]) != 3 {
		t.Fatalf("%v", lines)
	}
	for _, p := range lines[0] {
		if math.Abs(p.X+2*p.Y-2) > 1e-6 {
			t.Errorf("the contour runs through %v", p)
		}
	}
	// Two saddles: high corners joined where the middle is high, apart where it is low.
	for _, c := range []struct {
		level float64
		want  string
	}{{0.4, "[[{0.4 0} {0 0.4}] [{1 0.6} {0.6 1}]]"}, {0.6, "[[{0.6 0} {1 0.4}] [{0.4 1} {0 0.6}]]"}} {
		saddle := Grid{X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, 1}, {1, 0}}}
		got := saddle.contour(c.level)
		ends := map[string]bool{}
		for _, l := range got {
			a, b := l[0], l[len(l)-1]
			ends[fmt.Sprintf("%.1f %.1f|%.1f %.1f", a.X, a.Y, b.X, b.Y)], ends[fmt.Sprintf("%.1f %.1f|%.1f %.1f", b.X, b.Y, a.X, a.Y)] = true, true
		}
		for _, w := range strings.Split(strings.Trim(c.want, "[]{}"), "}] [{") {
			var a, b XY
			if _, err := fmt.Sscanf(w, "%g %g} {%g %g", &a.X, &a.Y, &b.X, &b.Y); err != nil {
				t.Fatal(err)
			}
			if len(got) != 2 || !ends[fmt.Sprintf("%.1f %.1f|%.1f %.1f", a.X, a.Y, b.X, b.Y)] {
				t.Errorf("level %g of a saddle: %v, want %s", c.level, got, c.want)
			}
		}
	}
	if hole := (Grid{X: []float64{0, 1}, Y: []float64{0, 1}, Z: [][]float64{{0, math.NaN()}, {1, 1}}}).contour(0.5); hole != nil {
		t.Errorf("a contour through a hole: %v", hole)
	}
}

func TestScales(t *testing.T) {
	for _, c := range []struct {
		s           scale
		v, f        float64
		n, cell     int
		inside      bool
		comesBackTo float64
	}{
		{scale{lo: 10, hi: 20}, 15, 0.5, 11, 5, true, 15}, {scale{lo: 10, hi: 20}, 10, 0, 11, 0, true, 10}, {scale{lo: 10, hi: 20}, 20.4, 1.04, 11, 10, true, 20.4},
		{scale{lo: 10, hi: 20}, 20.5, 1.05, 11, 11, false, 20.5}, {scale{lo: 10, hi: 20}, 9.6, -0.04, 11, 0, true, 9.6}, {scale{lo: 10, hi: 20}, 9.5, -0.05, 11, -1, false, 9.5},
		{scale{axis: Axis{Log: true}, lo: 1, hi: 100}, 10, 0.5, 21, 10, true, 10},
	} {
		f := c.s.at(c.v)
		cell, ok := c.s.nearest(c.v, c.n)
		if math.Abs(f-c.f) > 1e-12 || ok != c.inside || ok && cell != c.cell || math.Abs(c.s.value(f)-c.comesBackTo) > 1e-9 {
			t.Errorf("%g: %g, %d %v, back %g", c.v, f, cell, ok, c.s.value(f))
		}
	}
	if s := (scale{axis: Axis{Log: true}, lo: 1, hi: 100}); !math.IsNaN(s.at(0)) || !math.IsNaN(s.at(-1)) {
		t.Error("zero has a place on a logarithmic axis")
	}
	least, most := 30.0, 20.0
	for _, c := range []struct {
		a    Axis
		v    []float64
		n    int
		want string
	}{
		{Axis{Labels: []string{"a", "b", "c", "d", "e"}}, nil, 2, "a d from -0.5 to 4.5"}, {Axis{Labels: []string{"a", "b", "c"}}, nil, 3, "a b c from -0.5 to 2.5"},
		{Axis{Clock: true, Step: 6}, []float64{6, 30}, 5, "06:00 12:00 18:00 00:00 06:00 from 6 to 30"}, {Axis{Clock: true, Step: 3}, []float64{0, 6}, 5, "00:00 03:00 06:00 from 0 to 6"}, {Axis{Clock: true, Step: 0.5}, []float64{1, 2}, 5, "01:00 01:30 02:00 from 1 to 2"},
		{Axis{}, nil, 5, "0.0 0.2 0.4 0.6 0.8 1.0 from 0 to 1"}, {Axis{Log: true}, []float64{-1, 0}, 5, "1 2 5 10 from 1 to 10"}, {Axis{}, []float64{0, 0}, 2, "-1 0 1 from -1 to 1"},
		{Axis{Zero: true}, []float64{0, 0}, 2, "0.0 0.5 1.0 from 0 to 1"}, {Axis{Zero: true}, []float64{-3, -8}, 4, "-8 -6 -4 -2 0 from -8 to 0"}, {Axis{Least: &least, Most: &most}, nil, 2, "20 25 30 from 20 to 30"},
		{Axis{Step: 0.1}, []float64{0, 100}, 5, "0 20 40 60 80 100 from 0 to 100"}, {Axis{Step: 0.25}, []float64{0, 0.5}, 5, "0.00 0.25 0.50 from 0 to 0.5"}, {Axis{Log: true}, []float64{7, 7}, 5, "5 10 from 5 to 10"},
		{Axis{Log: true, Least: &most}, []float64{5, 90}, 5, "20 50 100 from 20 to 100"},
	} {
		s := newScale(c.a, c.v, c.n, false)
		var got []string
		for _, k := range s.ticks {
			got = append(got, k.text)
		}
		if g := fmt.Sprintf("%s from %g to %g", strings.Join(got, " "), s.lo+0, s.hi+0); g != c.want {
			t.Errorf("%+v over %v: %s, want %s", c.a, c.v, g, c.want)
		}
	}
	for _, c := range [][2]float64{{0.9, 1}, {1, 1}, {1.1, 2}, {2.1, 5}, {5.1, 10}, {0.03, 0.05}, {0, 1}, {-1, 1}} {
		if got := niceStep(c[0]); math.Abs(got-c[1]) > 1e-12 {
			t.Errorf("a step of %g becomes %g, want %g", c[0], got, c[1])
		}
	}
}

func TestWordsOfPlots(t *testing.T) {
	if got := joined("target 5 NTU and 2.5 m3/h or 7,5 thousandths"); !reflect.DeepEqual(got, []string{"target", "5 NTU", "and", "2.5 m3/h", "or", "7,5", "thousandths"}) {
		t.Errorf("%q", got)
	}
	wide := TextWidth("mmmm", 10, false)
	for text, want := range map[string]string{"mm mm": "mm|mm", "mmmm mm m": "mmmm|mm m", "mmmmmmmmm": "mmmm|mmmm|m", "m mmmmm": "m|mmmm|m", "": ""} {
		got := breakWords(text, 10, false, wide)
		if strings.Join(got, "|") != want {
			t.Errorf("%q is broken into %q, want %q", text, got, want)
		}
		for _, l := range got {
			if TextWidth(l, 10, false) > wide {
				t.Errorf("%q is too wide", l)
			}
		}
	}
	if a, b := TextWidth("mm", 20, false), TextWidth("m", 10, false); math.Abs(a-4*b) > 1e-9 || TextWidth("m", 10, true) <= b {
		t.Errorf("widths %g and %g", a, b)
	}
	for v, want := range map[float64]int{1: 0, 1.5: 1, 0.25: 2, 0.125: 3, 1.0 / 3: 4, 1e6: 0} {
		if got := decimalsOf(v); got != want {
			t.Errorf("%g has %d decimals, want %d", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "0", -0.001: "0", 1.5: "1.5", 1.25: "1.25", 100: "100", -2: "-2", 1.999: "2"} {
		if got := num(v); got != want {
			t.Errorf("%g is written %s, want %s", v, got, want)
		}
	}
	if got := number(math.Copysign(0, -1), 1, true) + number(1.25, 2, true) + number(3, 0, false); got != "0,01,253" {
		t.Error(got)
	}
}
