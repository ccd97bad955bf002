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
	var jars []Jar
	var points []Point
	for i, r := range [...][3]float64{{0, 41, 43}, {10, 28, 30}, {20, 12.5, 14.5}, {30, 4.8, 5}, {40, 2, 2.3}, {50, 2.2, 2.4}, {60, 2.9, 3.1}} {
		points = append(points, Point{XY: XY{r[0], r[1]}}, Point{XY: XY{r[0], r[2]}})
		jars = append(jars, Jar{X: r[0], Mud: math.Log(r[1]/2) / math.Log(43.0/2), Label: fmt.Sprint(i + 1)})
	}
	interval := Interval{Label: "lowest effective 28.9 (26.2 to 32.5)", Short: "lowest 28.9", Low: 26.2, At: 28.9, High: 32.5}
	mark := Mark{At: 33.2, Number: "33.2", Label: "mg/L, planning dose"}
	low, high, two, ten := 22.0, 42.0, 1.5, 12.0
	closeup := Panel{Title: "Close up, 22 to 42 mg/L; the reading on a log scale", X: Axis{Least: &low, Most: &high, Ends: true}, Y: Axis{Log: true, Least: &two, Most: &ten}, Layers: []Layer{
		Gap{From: 30, To: 40, Label: "no jar between 30 and 40"}, Band{At: band}, Line{At: curve}, Marker{Label: "target 5 NTU", At: 5, Stroke: Dashed, Tone: Limit, Number: "5"},
		Interval{Label: "28.9 (26.2 to 32.5)", Low: 26.2, At: 28.9, High: 32.5}, Mark{At: 33.2, Number: "33.2"}, Points{At: points}}}
	return Drawing{
		Title:       "33.2 mg/L of alum brings the beck under 5 NTU nine times in ten",
		Description: "Settled turbidity falls from 42 NTU untreated to about 2 NTU at 40 mg/L; the target of 5 NTU is met from 29 mg/L.",
		Panels: []Panel{{
			X: Axis{Name: "mg/L alum as product", Ends: true, Zero: true},
			Y: Axis{Name: "turbidity, NTU, two readings a jar", Zero: true},
			Layers: []Layer{
				Band{Name: "nine curves in ten lie in the band", At: band},
				Line{Name: "fitted curve", At: curve},
				Marker{Label: "target: 5 NTU at most", At: 5, Stroke: Dashed, Tone: Limit, Number: "5"},
				interval, mark,
				Points{At: points},
				Points{Name: "left out", Shape: Cross, Tone: Aside, At: []Point{{XY: XY{20, 33}}}},
				Jars{Word: "jar", At: jars, Braces: []Brace{{From: 0, To: 20, Label: "over 5 NTU"}, {From: 30, To: 60, Label: "passes", Strong: true}}},
			},
			Closeup: &closeup,
		}},
	}
}

// hours is an invented clean-up as small multiples.
func hours() Drawing {
	six, end := 6.0, 28.0
	clock := Axis{Name: "clock", Clock: true, Step: 2, Least: &six, Most: &end}
	return Drawing{
		Title: "Clear after 20 h; carbon dioxide passes 15 mg/L on the way", Note: "Hatched: not there. Marks 1 to 4 are the steps.", Multiples: true,
		Description: "The tank clears from 90 to 5 NTU in 20 hours while alkalinity falls and carbon dioxide rises.",
		Panels: []Panel{
			{X: clock, Y: Axis{Name: "tank reads", Unit: "NTU, log scale", Log: true}, High: 86, Layers: []Layer{
				Stops{At: []float64{6, 10.6, 15.3, 26.2}}, Line{At: []XY{{6, 90}, {10.6, 45}, {15.3, 22.4}, {26.2, 5}}, End: "5"},
				Marker{Label: "clear at 5 NTU", At: 5, Stroke: Dashed, Tone: Limit}, Points{At: []Point{{XY: XY{6, 90}}, {XY: XY{10.6, 45}}, {XY: XY{15.3, 22.4}}, {XY: XY{26.2, 5}}}}}},
			{X: clock, Y: Axis{Name: "alum dose", Unit: "mg/L as alum 14-hydrate", Zero: true}, High: 36, Layers: []Layer{Steps{Filled: true, At: []XY{{6, 13.4}, {26.2, 0}, {28, 0}}}}},
			{X: clock, Y: Axis{Name: "alkalinity", Unit: "mg/L CaCO₃"}, Layers: []Layer{Marker{Label: "keep above 50", At: 50, Stroke: Dashed, Tone: Limit, Unsafe: Below},
				Line{At: []XY{{6, 85}, {26.2, 62.2}}, Begin: "85", End: "62.2"}}},
			{X: clock, Y: Axis{Name: "carbon dioxide", Unit: "mg/L, before aeration", Zero: true}, Layers: []Layer{Marker{Label: "care at 15", At: 15, Stroke: Dashed, Tone: Limit, Unsafe: Above},
				Line{At: []XY{{6, 5.2}, {26.2, 25}}, Begin: "5.2", End: "25"}}},
			{X: clock, Y: Axis{Name: "in store", Unit: "kg", Zero: true}, Layers: []Layer{Steps{Filled: true, At: []XY{{6, 30}, {15, 90}, {28, 60}}, End: "60 at the end"},
				Riser{X: 15, From: 30, To: 90, Label: "3 × 33 kg arrive"}, Marker{Label: "order again at 40 kg", At: 40, Stroke: Dotted}, Marker{Label: "always keep 33 kg", At: 33, Stroke: Dashed, Tone: Limit}}},
		},
		Foot: "site.xlsx, Mon 2 March 2026",
	}
}

func cost() Drawing {
	return Drawing{
		Title: "Delivery decides: chemical and solids cost nearly the same", Note: "EUR per 1000 m³; blue bar: 90 % range of the whole", Description: "Two chemicals with their 90 % ranges.",
		Panels: []Panel{{X: Axis{Name: "EUR per 1000 m³"}, Layers: []Layer{
			Stack{Name: "Polyaluminium chloride", Note: "23.5 mg/L as product", Total: "205.92", Remark: "costs least", Low: 201.97, High: 206.67, Range: "201.97 to 206.67",
				Parts: []Part{{Name: "getting rid of solids", Figure: "191.33", Value: 191.33, Tone: Mud}, {Name: "chemical", Figure: "14.59", Value: 14.59, Tone: Doubt}}},
			Stack{Name: "Alum", Note: "13.4 mg/L as alum 14-hydrate", Total: "240.22", Remark: "34.30 more", Low: 231.29, Mid: 238, High: 241.57, Range: "231.29 to 241.57",
				Parts: []Part{{Name: "getting rid of solids", Figure: "186.94", Value: 186.94, Tone: Mud}, {Name: "delivery", Figure: "37.67", Value: 37.67, Open: true},
					{Name: "alum", Figure: "11.60", Value: 11.6, Tone: Doubt}, {Name: "make-up water", Figure: "3.00", Value: 3}, {Name: "electricity", Figure: "1.01", Value: 1.01}}},
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
			Contours{Name: "turbidity", Unit: "NTU", Tone: Doubt, Grid: bowl(), Levels: []float64{2, 3, 5, 10}},
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
				Band{Name: "band", Tone: Mud, At: []Span{{0, 1, 4}, {1, 2, 25}, {2, math.NaN(), 3}, {3, -5, 3}, {5, 1, 2}}},
				Line{Name: "broken line", Stroke: Dotted, At: []XY{{0, 8}, {1, 30}, {2, 8}, {3, math.NaN()}, {4, 9}, {5.5, 12}}},
				Marker{Label: "first", Vertical: true, At: 2}, Marker{Label: "second one", Vertical: true, At: 2.2}, Marker{Label: "third", Vertical: true, At: 2.4},
				Marker{Label: "limit of the one thing that must not be passed", At: 10}, Marker{Label: "another", At: 10.3}, Marker{Label: "beyond", At: 99}, Marker{At: 4})},
			{X: Axis{Clock: true, Step: 3}, Y: Axis{Name: "feed"}, Layers: []Layer{
				Steps{Name: "below and above", Filled: true, Tone: Doubt, At: []XY{{0, -5}, {6, 5}, {9, -2}, {12, 0}}},
				Steps{Name: "open steps", At: []XY{{0, 3}, {4, 4}, {12, 4}}}}},
			{X: Axis{Labels: []string{"a", "b"}}, Y: Axis{Name: "bars"}, Layers: []Layer{
				Bars{Name: "down and up", At: []Bar{{XY: XY{0, -4}, Low: -6, High: -3}, {XY: XY{1, 4}}}}, Bars{Name: "thin", Width: 0.2, Hatch: true, At: []Bar{{XY: XY{1, 2}}}}}},
			{X: Axis{Name: "a"}, Y: Axis{Name: "b"}, Layers: []Layer{
				Hatched{Name: "at least 8", Grid: bowl(), Limit: 8, AtLeast: true, Tone: Limit}, Contours{Grid: bowl(), Levels: []float64{2.5, 8, 99}}}},
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
		for ending, got := range map[string][]byte{".txt": []byte(strings.Join(d.Text(80, 18, ASCII), "\n") + "\n"), ".svg": d.SVG(Wide), "-phone.svg": d.SVG(Phone)} {
			file := filepath.Join("testdata", name+ending)
			if *update || os.Getenv("JARWRIGHT_UPDATE") == "1" {
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
		if w := img.Bounds().Dx(); w != 2*(Wide+2*edge) {
			t.Errorf("%s: %d pixels wide", name, w)
		}
		if dir := os.Getenv("JARWRIGHT_LOOK"); dir != "" { // leaves the pictures for the eye
			if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestTextKeepsToItsWidth(t *testing.T) {
	for _, signs := range []Signs{ASCII, Blocks} {
		for _, width := range []int{40, 60, 80, 132} {
			for name, d := range samples() {
				for _, l := range d.Text(width, 12, signs) {
					if n := len([]rune(l)); n > width {
						t.Errorf("%s at %d columns: %d in %q", name, width, n, l)
					}
					if signs == ASCII && strings.IndexFunc(strings.NewReplacer("³", "", "₃", "", "×", "").Replace(l), func(r rune) bool { return r > 126 }) >= 0 {
						t.Errorf("%s at %d columns: more than plain characters in %q", name, width, l)
					}
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
	dec := xml.NewDecoder(bytes.NewReader(d.SVG(Wide)))
	known := map[string]bool{"svg": true, "title": true, "desc": true, "rect": true, "path": true, "text": true, "tspan": true}
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
	all := string(d.SVG(Wide)) + strings.Join(d.Text(80, 10, ASCII), "\n")
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
		if err := xml.Unmarshal(d.SVG(Wide), new(any)); err != nil {
			t.Error(err)
		}
		if strings.Contains(string(d.SVG(Wide)), "NaN") || strings.Contains(string(d.SVG(Wide)), "Inf") {
			t.Error("a place that is no number is in the picture")
		}
		if err := d.PNG(io.Discard); err != nil {
			t.Error(err)
		}
		d.Text(80, 10, ASCII)
	}
}

// TestContrast computes the contrast of WCAG 2.1 (definitions of relative
// luminance and contrast ratio) for every colour of text on every fill.
func TestContrast(t *testing.T) {
	texts := []string{Ink, Muted}
	for tone := Plain; tone <= Aside; tone++ {
		texts = append(texts, tone.Hex())
	}
	for _, tone := range []Tone{Plain, Doubt} { // words over a band
		if c := contrast(tone.Hex(), Pale); c < 4.5 {
			t.Errorf("%s on a band: contrast %.2f", tone.Hex(), c)
		}
	}
	for _, dark := range []string{Ink, Limit.Hex(), Mud.Hex(), Doubt.Hex()} { // white words in marks and bars
		if c := contrast(White, dark); c < 4.5 {
			t.Errorf("white on %s: contrast %.2f", dark, c)
		}
	}
	for _, on := range []string{Paper, White, FillInput} {
		for _, text := range texts {
			if text == Mud.Hex() && on != Paper && on != White {
				continue // the tone of solids fills bars and jars; words in it stand on paper alone
			}
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
