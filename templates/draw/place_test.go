package draw

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// faults are what nobody may find in a picture: words over words or over a reading, anything off
// the paper, and words too small to read: 12 points on a screen, 9 of a printer in print, where a
// point here is three quarters of one.
func faults(s *scene) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	paper := box{-0.5, -0.5, s.width + 0.5, s.height + 0.5}
	const least = 12.0
	var said []words
	var rings []box
	for _, it := range s.items {
		switch it := it.(type) {
		case words:
			b := it.box()
			if !paper.holds(b) {
				say("%q leaves the paper: %.0f to %.0f of %.0f, %.0f to %.0f of %.0f", it.text, b.x0, b.x1, s.width, b.y0, b.y1, s.height)
			}
			for _, r := range it.runs() {
				if r.size < least {
					say("%q is %g small", r.text, r.size)
				}
			}
			for _, o := range said {
				if b.meets(o.box()) {
					say("%q overlaps %q", it.text, o.text)
				}
			}
			said = append(said, it)
		case stroke:
			around := extent(it.at)
			if !paper.holds(around) {
				say("a line leaves the paper: %v of %.0f x %.0f", around, s.width, s.height)
			}
			if len(it.at) == 24 && it.fill == Paper {
				rings = append(rings, around)
			}
		case area:
			if around := extent(it.at); !paper.grown(1).holds(around) {
				say("an area leaves the paper: %v", around)
			}
		}
	}
	for _, r := range rings {
		for _, w := range said {
			if w.box().meets(r) {
				say("%q covers the reading at %.0f, %.0f", w.text, r.x0, r.y0)
			}
		}
	}
	return out
}

func extent(at []XY) box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range at {
		b = box{math.Min(b.x0, p.X), math.Min(b.y0, p.Y), math.Max(b.x1, p.X), math.Max(b.y1, p.Y)}
	}
	return b
}

func TestNothingOverlapsOrLeavesThePaper(t *testing.T) {
	all := samples()
	all["marks"], all["saddles"] = marks(), saddles()
	for name, d := range all {
		for _, width := range []float64{Wide, Print, Phone, 500, 840} {
			for _, f := range faults(d.layout(width)) {
				t.Errorf("%s at %g: %s", name, width, f)
			}
		}
	}
}

// TestNoPictureOfAFitIsSpoilt draws many invented fits, crowded and sparse, at each width.
func TestNoPictureOfAFitIsSpoilt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, width := anyFit(t), rapid.SampledFrom([]float64{Wide, Print, Phone}).Draw(t, "width")
		if f := faults(d.layout(width)); len(f) > 0 {
			t.Fatal(f)
		}
	})
}

// anyFit is a picture with all that a fit has, in any place.
func anyFit(t *rapid.T) Drawing {
	num := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	word := rapid.StringMatching(`[a-z]{2,9}( [a-z]{2,9}| [0-9.]{1,4} mg/L){0,4}`)
	top := num("top", 0.5, 500)
	high, fall, rise := num("high", 1, 400), num("fall", 0.05, 1)*top, num("rise", 0, 0.5)
	var curve []XY
	var band []Span
	under := num("low", 0.5, 0.9)
	for k := range 80 {
		x := top * float64(k) / 79
		y := high/(1+math.Pow(x/fall, 3)) + 0.02*high + rise*high*x/top
		curve, band = append(curve, XY{x, y}), append(band, Span{x, y * under, y * 1.2})
	}
	var points []Point
	var jars []Jar
	for i := range rapid.IntRange(1, 14).Draw(t, "jars") {
		x := num("dose", 0, 1) * top
		for range rapid.IntRange(1, 3).Draw(t, "repeats") {
			points = append(points, Point{XY: XY{x, high * num("reading", 0.001, 1.3)}, Censor: Censor(rapid.IntRange(0, 2).Draw(t, "censor"))})
		}
		jars = append(jars, Jar{X: x, Mud: num("mud", 0, 1), Label: fmt.Sprint(i + 1), Empty: rapid.Bool().Draw(t, "empty")})
	}
	at := num("lowest", 0, 1) * top
	i := Interval{Low: at * num("share", 0.3, 1), At: at, High: at * num("more", 1, 3), Label: "lowest effective 12.6 (11.6 to 13.7)", Short: "lowest 12.6"}
	if rapid.Bool().Draw(t, "open") {
		i.High = math.Inf(1)
	}
	target := high * num("target", 0.01, 1.2)
	layers := []Layer{Band{Name: "nine curves in ten", At: band}, Line{Name: "fitted curve", At: curve}, i, Mark{At: num("plan", 0, 1) * top, Number: "13.4", Label: "mg/L, planning dose"},
		Points{At: points}, Gap{From: 0.3 * top, To: num("gap", 0.3, 0.9) * top, Label: "no jar here"},
		Jars{Word: "jar", At: jars, Braces: []Brace{{From: 0, To: at, Label: "over 5 NTU"}, {From: at, To: top, Label: "passes", Strong: true}}}}
	for range rapid.IntRange(1, 4).Draw(t, "targets") {
		layers = append(layers, Marker{Label: word.Draw(t, "limit"), At: target * num("times", 0.9, 1.3), Number: "5", Stroke: Dashed, Tone: Limit})
	}
	p := Panel{X: Axis{Name: word.Draw(t, "x"), Ends: true, Zero: true}, Y: Axis{Name: word.Draw(t, "y"), Log: rapid.Bool().Draw(t, "log"), Zero: true}, Layers: layers}
	if rapid.Bool().Draw(t, "closeup") {
		lo, hi := at*0.8, at*1.2+top/20
		p.Closeup = &Panel{Title: "Close up, log scale", X: Axis{Least: &lo, Most: &hi, Ends: true}, Y: Axis{Log: true}, Layers: layers[:5]}
	}
	return Drawing{Title: word.Draw(t, "title"), Panels: []Panel{p}}
}

// TestSpread: things in a row move apart as little as they must.
func TestSpread(t *testing.T) {
	for _, c := range []struct{ at, size, want []float64 }{
		{[]float64{10, 50}, []float64{20, 20}, []float64{10, 50}},                 // room enough
		{[]float64{50, 50}, []float64{20, 20}, []float64{40, 60}},                 // 10 each way
		{[]float64{2, 50}, []float64{20, 20}, []float64{10, 50}},                  // not over the edge
		{[]float64{0, 0, 0}, []float64{20, 20, 20}, []float64{10, 30, 50}},        // all pushed from the edge
		{[]float64{99, 100}, []float64{20, 20}, []float64{70, 90}},                // and from the other one
		{[]float64{40, 45, 90}, []float64{10, 30, 10}, []float64{32.5, 52.5, 90}}, // 20 apart instead of 5: 7.5 each
	} {
		if got := spread(c.at, c.size, 0, 100); !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }) {
			t.Errorf("%v of sizes %v: %v, want %v", c.at, c.size, got, c.want)
		}
	}
}

// TestPlace: words go to the cheapest spot that covers nothing, and a curve under them costs.
func TestPlace(t *testing.T) {
	l := label{lines: [][]run{styled("name", 10, false, Ink)}}
	w, h := l.size()
	if math.Abs(w-TextWidth("name", 10, false)) > 1e-9 || math.Abs(h-12.5) > 1e-9 {
		t.Fatalf("%g x %g", w, h)
	}
	near, far := spot{at: XY{100, 100}, cost: 1}, spot{at: XY{300, 100}, cost: 10}
	l.spots = []spot{near, far}
	room := box{0, 0, 500, 500}
	for _, c := range []struct {
		name   string
		taken  []box
		curves [][]XY
		room   box
		want   float64
	}{
		{"free", nil, nil, room, 100},
		{"words there", []box{{90, 95, 110, 110}}, nil, room, 300},
		{"a curve there", nil, [][]XY{{{0, 105}, {200, 105}}}, room, 300},
		{"a curve beside it", nil, [][]XY{{{0, 150}, {200, 150}}}, room, 100},
		{"a curve in both", nil, [][]XY{{{0, 105}, {400, 105}}}, room, 100},
		{"out of the room", nil, nil, box{200, 0, 500, 500}, 300},
		{"nowhere", []box{room}, nil, room, -1},
	} {
		s := &scene{taken: c.taken, curves: c.curves}
		got := -1.0
		if s.place(l, c.room) {
			got = s.items[0].(words).x
		}
		if got != c.want {
			t.Errorf("%s: at %g, want %g", c.name, got, c.want)
		}
	}
	// A curve between the words and what they name costs as one under them does.
	on := XY{100, 140}
	s := &scene{curves: [][]XY{{{0, 130}, {200, 130}}}}
	s.place(label{l.lines, []spot{{at: XY{90, 100}, of: &on}, {at: XY{90, 150}, cost: 30, of: &on}}}, room)
	if at := s.items[0].(words); at.y < 140 {
		t.Errorf("the words stand beyond another curve, at %g", at.y)
	}
	// A hairline through the letters reads as a hyphen between two words; one at their edge does not.
	for y, want := range map[float64]float64{107: 300, 100.5: 100, 112.4: 100} {
		s = &scene{}
		s.line(0, y, 200, y, Rule, 1)
		if s.place(l, room); s.items[1].(words).x != want {
			t.Errorf("with a hairline at %g the words stand at %g, not %g", y, s.items[1].(words).x, want)
		}
	}
	// The name of a level line does not stand beyond another one.
	high, low := []XY{{0, 100}, {400, 100}}, []XY{{0, 108}, {400, 108}}
	s = &scene{curves: [][]XY{high, low}}
	s.place(label{l.lines, onLine(low)}, room)
	s.place(label{l.lines, onLine(high)}, room)
	if below, above := s.items[0].(words), s.items[1].(words); below.y < 108 || above.y > 100 {
		t.Errorf("the names of lines at 100 and 108 stand at %g and %g", above.y, below.y)
	}
	s = &scene{}
	lead := XY{100, 200}
	s.place(label{l.lines, []spot{{at: XY{100, 100}, ax: 0.5, of: &lead, lead: true}}}, room)
	if at := s.items[0].(stroke).at; at[0] != (XY{100, 112.5}) || at[1] != at[0].toward(lead, 0.94) {
		t.Errorf("the leader runs along %v", at)
	}
}

// TestBlocks: the board has a block for each part of a step, as small as stays clear, and a block
// for each digit of a logarithmic scale.
func TestBlocks(t *testing.T) {
	for _, c := range []struct {
		a    Axis
		v    []float64
		wide float64
		want string
	}{
		{Axis{Step: 5}, []float64{0, 10}, 500, "[0 1 2 3 4 5 6 7 8 9 10]"},
		{Axis{Step: 5}, []float64{0, 10}, 60, "[0 5 10]"},
		{Axis{Step: 3, Clock: true}, []float64{6, 12}, 200, "[6 7 8 9 10 11 12]"},
		{Axis{Step: 2}, []float64{0, 4}, 200, "[0 0.5 1 1.5 2 2.5 3 3.5 4]"},
		{Axis{Log: true}, []float64{2, 20}, 200, "[2 3 4 5 6 7 8 9 10 20]"},
	} {
		if got := fmt.Sprint(newScale(c.a, c.v, 3, false).blocks(c.wide)); got != c.want {
			t.Errorf("%+v: %s, want %s", c.a, got, c.want)
		}
	}
}

// TestMuddy: a jar's tone runs from clear water to the silt of the raw water.
func TestMuddy(t *testing.T) {
	for share, want := range map[float64]string{-1: clearWater, 0: clearWater, 1: silt, 2: silt, 0.5: "#BCAB91"} { // halfway from F1 F5 F2 to 86 61 2F
		if got := muddy(share); got != want {
			t.Errorf("%g muddy is %s, want %s", share, got, want)
		}
	}
}
