package draw

import (
	"bytes"
	"encoding/xml"
	"flag"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// doseResponse is an invented bench: trout-hatchery water from a beck after a storm.
func doseResponse() Drawing {
	var curve []XY
	var band []Span
	for x := 0.0; x <= 60; x += 1 {
		y := 2.1 + 40/(1+math.Pow(x/14, 2.6)) + 0.0012*math.Pow(math.Max(x-38, 0), 2)
		curve = append(curve, XY{x, y})
		band = append(band, Span{x, y * 0.82, y * 1.2})
	}
	return Drawing{
		Title:       "Storm water, Tuesday: turbidity against alum",
		Description: "Settled turbidity falls from 42 NTU untreated to about 2 NTU at 40 mg/L; the target of 5 NTU is met from 29 mg/L.",
		Panels: []Panel{{
			X: Axis{Name: "Alum dose as product", Unit: "mg/L", Zero: true},
			Y: Axis{Name: "Settled turbidity", Unit: "NTU", Zero: true},
			Layers: []Layer{
				Band{Name: "95 % interval of the curve", At: band},
				Line{Name: "fitted curve", At: curve},
				Marker{Label: "target 5 NTU", At: 5, Stroke: Dashed, Tone: Rust},
				Marker{Label: "lowest effective 28.9 mg/L", Vertical: true, At: 28.9, Stroke: Dotted, Tone: Grey},
				Marker{Label: "planning 33.2 mg/L", Vertical: true, At: 33.2, Tone: Plum},
				Points{Name: "jar", At: []Point{{XY: XY{0, 42}}, {XY: XY{10, 29}}, {XY: XY{20, 13.5}, Spread: 2}, {XY: XY{30, 4.8}}, {XY: XY{40, 2}, Censor: Under}, {XY: XY{50, 2.2}}, {XY: XY{60, 2.9}}}},
				Points{Name: "jar left out", Shape: Cross, Tone: Grey, At: []Point{{XY: XY{20, 33}}}},
			},
		}},
	}
}

func hours() Drawing {
	return Drawing{
		Title:       "The day: feed and tank",
		Description: "Feed rate through the day in steps, and the level of the day tank falling from 90 to 12 litres.",
		Panels: []Panel{
			{X: Axis{Step: 3}, Y: Axis{Name: "Stock feed rate", Unit: "mL/min", Zero: true}, Layers: []Layer{
				Steps{Name: "feed rate", Filled: true, At: []XY{{0, 12}, {6, 31}, {9, 22}, {18, 14}, {24, 14}}},
				Marker{Label: "most the pump gives 40 mL/min", At: 40, Stroke: Dashed, Tone: Rust}}},
			{X: Axis{Name: "Hour of the day", Unit: "h", Step: 3}, Y: Axis{Name: "Day tank", Unit: "L", Zero: true}, Layers: []Layer{
				Line{Name: "level", At: []XY{{0, 90}, {6, 80}, {9, 65}, {18, 30}, {24, 12}}, Tone: Plum},
				Marker{Label: "refill below 15 L", At: 15, Stroke: Dotted, Tone: Grey}}},
		},
		Foot: "site.xlsx, 2026-03-02",
	}
}

func cost() Drawing {
	return Drawing{
		Title: "Cost of 1000 m³ treated", Description: "Three chemicals with their 80 % ranges.",
		Panels: []Panel{{X: Axis{Labels: []string{"alum", "ferric chloride", "polyaluminium chloride"}}, Y: Axis{Name: "Cost per 1000 m³", Unit: "EUR", Zero: true},
			Layers: []Layer{
				Bars{Name: "chemical", Width: 0.5, At: []Bar{{XY: XY{0, 21}, Low: 33, High: 47}, {XY: XY{1, 26}, Low: 41, High: 60}, {XY: XY{2, 38}, Low: 44, High: 58}}},
				Bars{Name: "sludge and alkali", Width: 0.5, Tone: Rust, Hatch: true, At: []Bar{{XY: XY{0, 39}, Base: 21}, {XY: XY{1, 49}, Base: 26}, {XY: XY{2, 50}, Base: 38}}},
			}}},
	}
}

func bowl() Grid {
	g := Grid{}
	for i := 0; i <= 30; i++ {
		g.X = append(g.X, float64(i)*2)
		g.Y = append(g.Y, float64(i)*0.05)
	}
	for _, y := range g.Y {
		var row []float64
		for _, x := range g.X {
			row = append(row, 1.5+math.Pow((x-35)/12, 2)+math.Pow((y-0.8)/0.3, 2))
		}
		g.Z = append(g.Z, row)
	}
	return g
}

func surface() Drawing {
	return Drawing{Title: "Turbidity over alum and polymer", Description: "Contours of turbidity; the part that meets 3 NTU is hatched.",
		Panels: []Panel{{X: Axis{Name: "Alum", Unit: "mg/L"}, Y: Axis{Name: "Polymer", Unit: "mg/L"}, Layers: []Layer{
			Hatched{Name: "meets 3 NTU", Grid: bowl(), Limit: 3},
			Contours{Name: "turbidity", Unit: "NTU", Tone: Plum, Grid: bowl(), Levels: []float64{2, 3, 5, 10}},
			Points{Name: "jar", At: []Point{{XY: XY{10, 0.2}}, {XY: XY{30, 0.8}}, {XY: XY{50, 1.2}, Censor: Over}}},
		}}}}
}

// many has what the other drawings lack: holes, values beyond the axes, every shape,
// crowded markers, long words.
func many() Drawing {
	least, most := 0.0, 20.0
	var shapes []Layer
	for s := Round; s <= Plus; s++ {
		shapes = append(shapes, Points{Name: "shape " + string(rune('a'+s)), Shape: s, Tone: Tone(s % 5),
			At: []Point{{XY: XY{float64(s), 5}}, {XY: XY{float64(s) + 0.5, 15}, Censor: Censor(s % 3)}, {XY: XY{float64(s), 3}, Spread: 1, Label: "no. 1"}}})
	}
	return Drawing{
		Title: "A title that is so long that it takes more than a single line of the paper on which it is to be printed, with words left over",
		Foot:  strings.Repeat("a foot of many words ", 12),
		Panels: []Panel{
			{X: Axis{Name: "x", Unit: "h"}, Y: Axis{Name: "y", Least: &least, Most: &most}, Layers: append(shapes,
				Band{Name: "band", Tone: Olive, At: []Span{{0, 1, 4}, {1, 2, 25}, {2, math.NaN(), 3}, {3, -5, 3}, {5, 1, 2}}},
				Line{Name: "broken line", Stroke: Dotted, At: []XY{{0, 8}, {1, 30}, {2, 8}, {3, math.NaN()}, {4, 9}, {5.5, 12}}},
				Marker{Label: "first", Vertical: true, At: 2}, Marker{Label: "second one", Vertical: true, At: 2.2}, Marker{Label: "third", Vertical: true, At: 2.4},
				Marker{Label: "limit of the one thing that must not be passed", At: 10}, Marker{Label: "another", At: 10.3}, Marker{Label: "beyond", At: 99}, Marker{At: 4})},
			{X: Axis{Clock: true, Step: 3}, Y: Axis{Name: "feed"}, Layers: []Layer{
				Steps{Name: "below and above", Filled: true, Tone: Plum, At: []XY{{0, -5}, {6, 5}, {9, -2}, {12, 0}}},
				Steps{Name: "open steps", At: []XY{{0, 3}, {4, 4}, {12, 4}}}}},
			{X: Axis{Labels: []string{"a", "b"}}, Y: Axis{Name: "bars"}, Layers: []Layer{
				Bars{Name: "down and up", At: []Bar{{XY: XY{0, -4}, Low: -6, High: -3}, {XY: XY{1, 4}}}}, Bars{Name: "thin", Width: 0.2, Hatch: true, At: []Bar{{XY: XY{1, 2}}}}}},
			{X: Axis{Name: "a"}, Y: Axis{Name: "b"}, Layers: []Layer{
				Hatched{Name: "at least 8", Grid: bowl(), Limit: 8, AtLeast: true, Tone: Rust}, Contours{Grid: bowl(), Levels: []float64{2.5, 8, 99}}}},
		},
	}
}

func samples() map[string]Drawing {
	log := doseResponse()
	log.Panels[0].Y = Axis{Name: "Settled turbidity", Unit: "NTU", Log: true}
	log.DecimalComma = true
	return map[string]Drawing{"many": many(), "dose": doseResponse(), "log": log, "hours": hours(), "cost": cost(), "surface": surface()}
}

func TestGolden(t *testing.T) {
	for name, d := range samples() {
		for ending, got := range map[string][]byte{".txt": []byte(strings.Join(d.Text(80, 18), "\n") + "\n"), ".svg": d.SVG()} {
			file := filepath.Join("testdata", name+ending)
			if *update {
				if err := os.WriteFile(file, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s differs; run with -update and look at it. got:\n%s", file, got)
			}
		}
	}
}

func TestPicturesAreTheSameEachTime(t *testing.T) {
	for name, d := range map[string]Drawing{"many": many(), "surface": surface()} { // every layer
		var a, b bytes.Buffer
		if err := d.PNG(&a); err != nil {
			t.Fatal(err)
		}
		if err := d.PNG(&b); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: two pictures of the same drawing differ", name)
		}
		img, err := png.Decode(&a)
		if err != nil {
			t.Fatal(err)
		}
		if w := img.Bounds().Dx(); w != 2*pictureWidth {
			t.Errorf("%s: %d pixels wide", name, w)
		}
		if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" { // leaves the pictures for the eye
			if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestNothingLeavesThePaper checks that every word and stroke lies on the paper
// and that no two pieces of text overlap.
func TestNothingLeavesThePaper(t *testing.T) {
	for name, d := range samples() {
		s := d.layout()
		var seen []words
		for _, it := range s.items {
			switch it := it.(type) {
			case words:
				x0, x1 := extentOf(it)
				if x0 < 0 || x1 > s.width || it.y-it.size < -1 || it.y > s.height {
					t.Errorf("%s: %q leaves the paper: %.0f to %.0f of %.0f, %.0f of %.0f", name, it.text, x0, x1, s.width, it.y, s.height)
				}
				for _, o := range seen {
					o0, o1 := extentOf(o)
					if x0 < o1 && o0 < x1 && math.Abs(it.y-o.y) < math.Min(it.size, o.size)*0.8 {
						t.Errorf("%s: %q overlaps %q", name, it.text, o.text)
					}
				}
				seen = append(seen, it)
			case stroke:
				for _, p := range it.at {
					if p.X < 0 || p.X > s.width || p.Y < 0 || p.Y > s.height {
						t.Errorf("%s: a line leaves the paper at %v", name, p)
					}
				}
			}
		}
	}
}

func extentOf(w words) (float64, float64) {
	l := TextWidth(w.text, w.size, w.bold)
	switch w.anchor {
	case "middle":
		return w.x - l/2, w.x + l/2
	case "end":
		return w.x - l, w.x
	}
	return w.x, w.x + l
}

func TestTextKeepsToItsWidth(t *testing.T) {
	for _, width := range []int{40, 60, 80, 132} {
		for name, d := range samples() {
			for _, l := range d.Text(width, 12) {
				if n := len([]rune(l)); n > width {
					t.Errorf("%s at %d columns: %d in %q", name, width, n, l)
				}
			}
		}
	}
}

func TestHostileWordsStayWords(t *testing.T) {
	evil := "\"><script>alert(1)</script><a href='x'>&\x1b[2J\u202e\x00"
	d := Drawing{Title: evil, Description: evil, Foot: evil, Panels: []Panel{{
		X: Axis{Name: evil, Unit: evil}, Y: Axis{Name: evil, Labels: []string{evil, "b"}},
		Layers: []Layer{Marker{Label: evil, Vertical: true, At: 1}, Marker{Label: evil, At: 1}, Points{Name: evil, At: []Point{{XY: XY{1, 1}, Label: evil}}}},
	}}}
	dec := xml.NewDecoder(bytes.NewReader(d.SVG()))
	known := map[string]bool{"svg": true, "title": true, "desc": true, "rect": true, "path": true, "text": true}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok && !known[e.Name.Local] {
			t.Errorf("element %q came out of the words", e.Name.Local)
		}
	}
	all := string(d.SVG()) + strings.Join(d.Text(80, 10), "\n")
	for _, bad := range []string{"\x1b", "\u202e", "\x00"} {
		if strings.Contains(all, bad) {
			t.Errorf("%q is still in the picture", bad)
		}
	}
	if !strings.Contains(all, "&lt;U+202E&gt;") {
		t.Error("the mark that turns the writing is not made visible")
	}
}

func TestNothingToShow(t *testing.T) {
	for _, d := range []Drawing{{}, {Panels: []Panel{{}}}, {Panels: []Panel{{Y: Axis{Log: true}, Layers: []Layer{
		Line{At: []XY{{math.NaN(), 1}, {1, -1}}}, Points{At: []Point{{XY: XY{math.Inf(1), 0}}}}, Band{At: []Span{{0, -1, math.NaN()}}},
		Contours{Levels: []float64{1}}, Hatched{}, Steps{}, Bars{}}}}}} {
		if err := xml.Unmarshal(d.SVG(), new(any)); err != nil {
			t.Error(err)
		}
		if strings.Contains(string(d.SVG()), "NaN") || strings.Contains(string(d.SVG()), "Inf") {
			t.Error("a place that is no number is in the picture")
		}
		if err := d.PNG(io.Discard); err != nil {
			t.Error(err)
		}
		d.Text(80, 10)
	}
}

// TestContrast computes the contrast of WCAG 2.1 (definitions of relative
// luminance and contrast ratio) for every colour of text on every fill.
func TestContrast(t *testing.T) {
	texts := []string{Ink, Muted}
	for tone := Teal; tone <= Grey; tone++ {
		texts = append(texts, tone.Hex())
	}
	for _, on := range []string{Paper, FillHead, FillInput, FillFormula, FillCaution, FillStop, FillGood} {
		for _, text := range texts {
			if c := contrast(text, on); c < 4.5 {
				t.Errorf("%s on %s: contrast %.2f, AA asks for 4.5", text, on, c)
			}
		}
	}
	if c := contrast("#000000", "#FFFFFF"); math.Abs(c-21) > 1e-9 {
		t.Errorf("black on white is %g, not 21", c)
	}
	if c := contrast("#777777", "#FFFFFF"); math.Abs(c-4.48) > 0.005 { // 4.48:1, a value often quoted for #777 on white; from memory
		t.Errorf("#777 on white is %g", c)
	}
}

func contrast(a, b string) float64 {
	l, m := luminance(a), luminance(b)
	return (math.Max(l, m) + 0.05) / (math.Min(l, m) + 0.05)
}

func luminance(hex string) float64 {
	var r, g, b int
	if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b); err != nil {
		panic(err)
	}
	lin := func(v int) float64 {
		c := float64(v) / 255
		if c <= 0.03928 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(r) + 0.7152*lin(g) + 0.0722*lin(b)
}

func TestContourOfACone(t *testing.T) {
	// z = distance from (5, 5): the contour of 3 is a circle, its length 6 pi.
	g := Grid{}
	for i := 0; i <= 100; i++ {
		g.X, g.Y = append(g.X, float64(i)/10), append(g.Y, float64(i)/10)
	}
	for _, y := range g.Y {
		var row []float64
		for _, x := range g.X {
			row = append(row, math.Hypot(x-5, y-5))
		}
		g.Z = append(g.Z, row)
	}
	lines := g.contour(3)
	if len(lines) != 1 {
		t.Fatalf("%d pieces, want one closed line", len(lines))
	}
	if l := length(lines[0]); math.Abs(l-6*math.Pi) > 0.02 {
		t.Errorf("length %.4f, want %.4f", l, 6*math.Pi)
	}
	if lines[0][0] != lines[0][len(lines[0])-1] {
		t.Error("the line is not closed")
	}
}

func TestTicks(t *testing.T) {
	ten, zero := 10.0, 0.0
	for _, c := range []struct {
		a      Axis
		v      []float64
		comma  bool
		want   string
		lo, hi float64
	}{
		{Axis{Zero: true}, []float64{3, 58}, false, "0 10 20 30 40 50 60", 0, 60},
		{Axis{}, []float64{0.12, 0.31}, true, "0,10 0,15 0,20 0,25 0,30 0,35", 0.1, 0.35},
		{Axis{Least: &zero, Most: &ten, Step: 2.5}, nil, false, "0.0 2.5 5.0 7.5 10.0", 0, 10},
		{Axis{Log: true}, []float64{0.3, 42}, false, "0.2 0.5 1 2 5 10 20 50", 0.2, 50},
		{Axis{Log: true}, []float64{0.004, 4200}, false, "0.001 0.01 0.1 1 10 100 1000 10000", 0.001, 10000},
		{Axis{}, []float64{7, 7}, false, "2 4 6 8 10 12", 2, 12},
	} {
		s := newScale(c.a, c.v, 6, c.comma)
		var got []string
		for _, tk := range s.ticks {
			got = append(got, tk.text)
		}
		if g := strings.Join(got, " "); g != c.want || math.Abs(s.lo-c.lo) > 1e-9 || math.Abs(s.hi-c.hi) > 1e-9*c.hi {
			t.Errorf("%v: %s from %g to %g, want %s from %g to %g", c.v, g, s.lo, s.hi, c.want, c.lo, c.hi)
		}
	}
}

func BenchmarkPNG(b *testing.B) {
	d := doseResponse()
	for b.Loop() {
		if err := d.PNG(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}
