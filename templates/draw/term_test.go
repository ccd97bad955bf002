package draw

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/templates/plain"
)

// TestTerminal draws a small plot and holds every row against what was worked by hand: 44 columns
// leave, after 3 for the numbers, 1 between and 3 to spare, a plot of 37 (0 to 36) and 7 rows (12 at
// the top, 2 a row).
func TestTerminal(t *testing.T) {
	zero, most, top := 0.0, 36.0, 12.0
	d := Drawing{Panels: []Panel{{X: Axis{Name: "dose", Unit: "mg/L", Least: &zero, Most: &most, Step: 12}, Y: Axis{Name: "turbidity", Unit: "NTU", Least: &zero, Most: &top, Step: 4}, Layers: []Layer{
		Line{At: []XY{{0, 12}, {6, 6}, {36, 6}}}, Marker{Label: "limit", At: 4, Stroke: Dashed}, Points{Quiet: true, At: []Point{{XY: XY{0, 12}}, {XY: XY{24, 2}, Censor: Under}}},
		Interval{Label: "lowest 8 (4 to 10)", Low: 4, At: 8, High: 10}, Mark{At: 13, Number: "13", Label: "plan"},
		Jars{At: []Jar{{X: 0, Mud: 1, Label: "1"}, {X: 12, Mud: 0.5, Label: "2"}, {X: 36, Label: "3"}, {X: 24, Empty: true, Label: "4", Under: "1 mL"}},
			Braces: []Brace{{From: 0, To: 12, Label: "over"}, {From: 36, To: 36, Label: "ok"}}}}}}}
	want := strings.Split(strings.Trim(`
turbidity, NTU; o a reading
 12 o*
      **
  8    **
         ********************************
  4 -------------------------------------
                            v     limit
  0
        [===+=]  #
    ===---===---=#=---===---===---===---=
    0            #         24          36
                 13 plan
            lowest 8 (4 to 10)
   |#|         |:|         : :         | |
`, "\n"), "\n")
	got := d.Text(44, 7, ASCII)
	for i, w := range want {
		if i < len(got) && got[i] != w {
			t.Errorf("line %d is %q, want %q", i, got[i], w)
		}
	}
	all := strings.Join(got, "\n")
	for _, w := range []string{"lowest 8 (4 to 10)", "13 plan", "|#|", "|:|", ": :", ":.:", "1 mL", "over", "limit", "v reading: below this value"} {
		if !strings.Contains(all, w) {
			t.Errorf("no %q in\n%s", w, all)
		}
	}
	blocks := strings.Join(d.Text(44, 7, Blocks), "\n")
	for _, w := range []string{"┣━━━╋━┫", "▀▀▀▔▔▔▀▀▀▔▔▔▀█▀▔▔▔", "│█│", "└─┘", "┆ ┆", "┆╌┆", "╌╌╌╌", "○ a reading", "↓"} {
		if !strings.Contains(blocks, w) {
			t.Errorf("no %q in\n%s", w, blocks)
		}
	}
}

// TestHalves: a level line runs through the upper or the lower half of its row.
func TestHalves(t *testing.T) {
	zero, one := 0.0, 10.0
	for y, want := range map[float64]string{9.5: "▄", 8.5: "▀", 7.5: "▄"} { // of 6 rows the first has 10 at its middle, the next 8: 9 lies between
		d := Drawing{Panels: []Panel{{X: Axis{Least: &zero, Most: &one}, Y: Axis{Least: &zero, Most: &one}, Layers: []Layer{Line{At: []XY{{0, y}, {10, y}}}}}}}
		if got := strings.Join(d.Text(50, 6, Blocks)[:6], "\n"); strings.Count(got, want) < 40 {
			t.Errorf("%g:\n%s", y, got)
		}
	}
}

// TestNoTerminalPictureIsTooWide draws the random fits in characters.
func TestNoTerminalPictureIsTooWide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, width := anyFit(t), rapid.IntRange(40, 120).Draw(t, "columns")
		for _, signs := range []Signs{ASCII, Blocks} {
			got := d.Text(width, 12, signs)
			for _, l := range got {
				if n := len([]rune(l)); n > width {
					t.Fatalf("%d of %d columns: %q", n, width, l)
				}
			}
			if all := strings.Join(got, " "); !strings.Contains(all, "13.4") {
				t.Fatalf("the planning value is lost in %s", strings.Join(got, "\n"))
			}
		}
	})
}

// TestNames: words stand on blanks near what they name, or below where there are none.
func TestNames(t *testing.T) {
	blank := func() *terminal {
		m := &terminal{glyphSet: glyphSets[ASCII], rows: 3, cols: 20, width: 30}
		for range m.rows {
			m.at = append(m.at, []rune(strings.Repeat(" ", m.cols)))
		}
		return m
	}
	m := blank()
	m.set(5, 1, '*')
	m.name("name", 5, 1)
	m.write()
	if got := string(m.at[1]); got != "     * name         " {
		t.Errorf("%q", got)
	}
	m = blank()
	for r := range m.rows {
		for c := range m.cols {
			m.set(c, r, '#')
		}
	}
	m.name("name", 5, 1)
	m.write()
	if len(m.below) != 1 || m.below[0] != "name" {
		t.Errorf("%q", m.below)
	}
	if got := flow([]string{"one", "two", "a third of some length"}, 12); !slices.Equal(got, []string{"one   two", "a third o..."}) {
		t.Errorf("%q", got)
	}
}

// TestSmooth: the line goes through its places and never beyond those beside it.
func TestSmooth(t *testing.T) {
	at := []XY{{0, 10}, {1, 10}, {2, 4}, {4, 3}, {5, 6}}
	got := smooth(at)
	if len(got) != 1+6*4 {
		t.Fatalf("%d places", len(got))
	}
	for i, p := range at {
		if q := got[6*i]; math.Abs(q.X-p.X)+math.Abs(q.Y-p.Y) > 1e-9 {
			t.Errorf("place %d is %v, want %v", i, q, p)
		}
	}
	for i, p := range got {
		k := min(i/6, len(at)-2)
		if lo, hi := math.Min(at[k].Y, at[k+1].Y), math.Max(at[k].Y, at[k+1].Y); p.Y < lo-1e-9 || p.Y > hi+1e-9 {
			t.Errorf("%v lies beyond %g to %g", p, lo, hi)
		}
	}
	if back := []XY{{1, 1}, {0, 2}, {2, 0}}; len(smooth(back)) != 3 {
		t.Error("a line that turns back is left as it is")
	}
}

// TestTold: paper has a true minus and signs above and below the line.
func TestTold(t *testing.T) {
	for is, want := range map[string]string{"-0.06": "−0.06", "pH (-1 to 2)": "pH (−1 to 2)", "14-hydrate": "14-hydrate", "3.6 m3/h": "3.6 m³/h", "mg/L CaCO3": "mg/L CaCO₃", "room3": "room3"} {
		if got := plain.Told(is); got != want {
			t.Errorf("%q becomes %q, want %q", is, got, want)
		}
	}
}
