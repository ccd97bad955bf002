package page

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/templates/draw"
)

// TestContrast holds the inks to WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text, by the relative luminance of its glossary.
func TestContrast(t *testing.T) {
	inks := map[string]float64{"white": 1}
	for _, m := range regexp.MustCompile(`--(\w+): #(\w{6});`).FindAllStringSubmatch(pageCSS, -1) {
		light := 0.0
		for i, weight := range [...]float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(m[2][2*i:2*i+2], 16, 8)
			if err != nil {
				t.Fatal(err)
			}
			c := float64(v) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			light += weight * c
		}
		inks[m[1]] = light
	}
	for _, pair := range [][2]string{{"paper", "ink"}, {"paper", "soft"}, {"paper", "blue"}, {"white", "soft"}, {"white", "red"}, {"white", "ink"}} {
		if got := (inks[pair[0]] + 0.05) / (inks[pair[1]] + 0.05); inks[pair[1]] == 0 || got < 4.5 {
			t.Errorf("%s on %s: %.2f", pair[1], pair[0], got)
		}
	}
}

// TestOdds: a chance is told by the fewest jars that tell it, and by as many words.
func TestOdds(t *testing.T) {
	for _, x := range []struct {
		of         float64
		clear, all int
		words      string
	}{
		{0.9, 9, 10, "meets it 9 times in 10"}, {0.75, 3, 4, "meets it 3 times in 4"}, {0.5, 1, 2, "meets it every second time"},
		{0.2, 1, 5, "meets it once in 5 times"}, {0.97, 10, 10, "meets it nearly every time"}, {0.93, 9, 10, "meets it 9 times in 10"},
	} {
		if clear, all := inJars(x.of); clear != x.clear || all != x.all {
			t.Errorf("%g: %d of %d jars, not %d of %d", x.of, clear, all, x.clear, x.all)
		}
		if got := odds(Chance{Of: x.of}); got != x.words {
			t.Errorf("%g: %q, not %q", x.of, got, x.words)
		}
		clear, all := inJars(x.of)
		if svg := string(jars(clear, all)); strings.Count(svg, "var(--clear)") != clear || strings.Count(svg, "var(--silt)") != all {
			t.Errorf("%g: other jars are drawn: %s", x.of, svg)
		}
	}
}

// TestRulerWords: a number that would touch the place it stands at gives way, its line stays.
func TestRulerWords(t *testing.T) {
	r := &Ruler{Above: "flow", Below: "knob", Blocks: 8, Now: 0.5, NowTop: "3.6", NowLow: "38 %",
		Top: []Tick{{0.1, "1.8"}, {0.49, "3.5"}, {0.9, "5.4"}}, Bottom: []Tick{{0, "20"}, {0.52, "40"}, {1, "60"}}}
	svg := string(r.svg("Pump 1"))
	for words, n := range map[string]int{">1.8<": 3, ">3.5<": 0, ">5.4<": 3, ">20<": 3, ">40<": 0, ">3.6<": 3, set(">38 %<"): 3, "v14": 9, "v5\"": 9} {
		if got := strings.Count(svg, words); got != n {
			t.Errorf("%s stands %d times in three drawings, not %d", words, got, n)
		}
	}
}

// TestLargeFigures: a span of time has a small unit after each of its numbers.
func TestLargeFigures(t *testing.T) {
	for want, n := range map[string]Number{
		`13.3<span class="u">&nbsp;mg/L</span>`:                               {Value: "13.3", Unit: "mg/L"},
		`20<span class="u">&nbsp;h</span> 14<span class="u">&nbsp;min</span>`: {Value: "20 h 14 min"},
		`3,5<span class="u">&nbsp;days</span>`:                                {Value: "3,5 days"},
		`1.15`:                                                                {Value: "1.15"},
	} {
		var b strings.Builder
		if err := (Page{Answer: &Answer{Title: "a", Numbers: []Number{n}}}).Write(&b); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), `<p class="big">`+want+"</p>") {
			t.Errorf("%+v is not written %s", n, want)
		}
	}
}

// TestPlaceWords: a page says where something stands as people do, without the folder of a file.
func TestPlaceWords(t *testing.T) {
	for want, p := range map[string]note.Place{
		"site.xlsx: Flow, cell B5":            {File: "/home/me/site.xlsx", Sheet: "Flow", Cell: "B5"},
		"bench.xlsx: Bench, cells A17 to J24": {File: `C:\jars\bench.xlsx`, Sheet: "Bench", Cell: "A17:J24"},
		"grid.csv: cell A8":                   {File: "grid.csv", Cell: "A8"},
		"site.yaml: line 29, column 5":        {File: "a/site.yaml", Cell: "line 29, column 5"},
		"Place, B8, B9":                       {Sheet: "Place", Cell: "B8, B9"},
		"Flow":                                {Sheet: "Flow"},
		"--alkalinity":                        {File: "--alkalinity"},
		"":                                    {},
	} {
		if got := placeWords(p); got != want {
			t.Errorf("%+v is told as %q, not %q", p, got, want)
		}
	}
}

// TestAside: what stands in brackets at the end of a fact is set apart from it.
func TestAside(t *testing.T) {
	for s, want := range map[string][2]string{"below 6 mg/L (fry (trout), 1992)": {"below 6 mg/L", "(fry (trout), 1992)"}, "1 (of 2) jars": {"1 (of 2) jars"}, "6 mg/L": {"6 mg/L"}} {
		if got := aside(s); got != want {
			t.Errorf("%q is parted as %q", s, got)
		}
	}
}

// TestRowsOfAPage: folded parts go to the end, a picture takes the whole width, a card stands apart.
func TestRowsOfAPage(t *testing.T) {
	v, err := Page{Title: "x", Parts: []any{Section("a"), Para("1"), Folded("b"), Para("2"), Sheet("next"), Section("c"), Picture{}, Para("3"), Card{Title: "card"}}}.view()
	if err != nil {
		t.Fatal(err)
	}
	if len(v.Sheets) != 2 || len(v.Folds) != 1 || len(v.Cards) != 1 {
		t.Fatalf("%d sheets, %d folded, %d cards", len(v.Sheets), len(v.Folds), len(v.Cards))
	}
	if a, c := v.Sheets[0].Rows, v.Sheets[1].Rows; len(a) != 1 || a[0].Full || len(c) != 2 || !c[0].Full || c[0].Head != "c" || c[1].Full || v.Folds[0].Head != "b" {
		t.Errorf("rows %+v, %+v", a, c)
	}
	if _, err := (Page{Parts: []any{1}}).view(); err == nil {
		t.Error("a part that no page can show is taken")
	}
}

// TestDateByHand: paper for the wall that no date was given for has a line to write it on, at the head of the page and of each card.
func TestDateByHand(t *testing.T) {
	for _, x := range []struct {
		p     Page
		lines int
	}{
		{Page{Parts: []any{Card{Title: "one"}, Card{Title: "two"}}}, 3},
		{Page{When: "Mon 2 March 2026", Parts: []any{Card{Title: "one", When: "Mon 2 March 2026"}}}, 0},
		{Page{Answer: &Answer{Title: "a", When: "06:00 to 06:00 tomorrow"}, Parts: []any{Card{Title: "one"}}}, 2},
		{Page{Parts: []any{Para("no card")}}, 0},
	} {
		var b strings.Builder
		if err := x.p.Write(&b); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), `<span class="print">Date ____`); n != x.lines {
			t.Errorf("%+v: %d lines for a date, not %d", x.p, n, x.lines)
		}
	}
}

// TestHalves: a page in two halves says each thing once, and has its pictures for the two widths that its column can have, which are
// drawn at once for both halves; by itself it has them for three.
func TestHalves(t *testing.T) {
	p := Page{Answer: &Answer{Title: "The dose", Order: "Set the pump."}, Parts: []any{Section("The jars"), Picture{draw.Drawing{Title: "Curve", Panels: []draw.Panel{{}}}}, Section("Else"), Para("what else")}}
	var above, below, whole strings.Builder
	for _, err := range []error{p.WriteHalves(&above, &below), p.WriteMatter(&whole)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		of                   string
		above, below, inAlls int
	}{
		{"Set the pump.", 1, 0, 1}, {"what else", 0, 1, 1}, {`class="wide"`, 0, 0, 1}, {`class="print"`, 0, 1, 1}, {`class="phone"`, 0, 1, 1},
	} {
		if a, b, all := strings.Count(above.String(), c.of), strings.Count(below.String(), c.of), strings.Count(whole.String(), c.of); a != c.above || b != c.below || all != c.inAlls {
			t.Errorf("%s: %d times above, %d below, %d in all; not %d, %d, %d", c.of, a, b, all, c.above, c.below, c.inAlls)
		}
	}
}
