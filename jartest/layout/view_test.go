package layout

import (
	"strings"
	"testing"

	"jarwright/jartest/grid"
)

// sheetOf makes a sheet of lines with bars between cells; figures are numbers.
func sheetOf(lines ...string) *grid.Sheet {
	s := &grid.Sheet{File: "f.xlsx", Name: "S", HiddenRow: map[int]bool{}, HiddenCol: map[int]bool{}}
	for _, l := range lines {
		var row []grid.Cell
		for _, f := range strings.Split(l, "|") {
			c := grid.Cell{Kind: grid.Textual, Text: f}
			if v := ParseText(f, DecimalPoint); v.OK() && !v.Unit.Known() {
				c.Kind, c.Num = grid.Numeric, v.Num
			} else if f == "" {
				c = grid.Cell{}
			}
			row = append(row, c)
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// TestTurned looks at a sheet both ways.
func TestTurned(t *testing.T) {
	s := sheetOf("a|b|c", "d|e", "f")
	s.HiddenRow[1], s.HiddenCol[2] = true, true
	s.Merges = []grid.Span{{R0: 0, C0: 1, R1: 0, C1: 2}}
	up, turned := View{Area: &Area{Sheet: s}}, View{Area: &Area{Sheet: s}, Turned: true}
	if up.height() != 3 || up.breadth() != 3 || turned.height() != 3 || turned.breadth() != 3 || up.At(0, 1).Text != "b" || turned.At(1, 0).Text != "b" {
		t.Errorf("%d × %d, %d × %d, %q, %q", up.height(), up.breadth(), turned.height(), turned.breadth(), up.At(0, 1).Text, turned.At(1, 0).Text)
	}
	for _, at := range [][2]int{{-1, 0}, {0, -1}, {3, 0}, {1, 2}} {
		if !up.At(at[0], at[1]).Blank() {
			t.Errorf("outside at %v stands something", at)
		}
	}
	if up.PlaceAt(1, 0).Cell != "A2" || turned.PlaceAt(1, 0).Cell != "B1" {
		t.Errorf("places %v and %v", up.PlaceAt(1, 0), turned.PlaceAt(1, 0))
	}
	if !up.RowHidden(1) || up.RowHidden(2) || !up.ColumnHidden(2) || up.ColumnHidden(1) || !turned.RowHidden(2) || turned.RowHidden(1) || !turned.ColumnHidden(1) || turned.ColumnHidden(2) {
		t.Error("what is hidden is not turned")
	}
	if m, ok := up.MergedAt(0, 2); !ok || m != (grid.Span{R0: 0, C0: 1, R1: 0, C1: 2}) {
		t.Errorf("merged %v %v", m, ok)
	}
	if m, ok := turned.MergedAt(2, 0); !ok || m != (grid.Span{R0: 1, C0: 0, R1: 2, C1: 0}) || turned.upright(m) != (grid.Span{R0: 0, C0: 1, R1: 0, C1: 2}) {
		t.Errorf("turned and merged %v %v", m, ok)
	}
	only := View{Area: &Area{Sheet: s}, Only: &grid.Span{R0: 0, C0: 1, R1: 0, C1: 2}}
	if only.At(0, 1).Text != "b" || !only.At(0, 0).Blank() || !only.At(1, 1).Blank() {
		t.Error("cells outside the range are seen")
	}
}

// TestMerged reads headings from cells merged to the right and downwards.
func TestMerged(t *testing.T) {
	s := sheetOf("Jar|Alum|Turbidity (NTU)||pH", "|mg/L|5 min|20 min|", "1|10|30|9|7", "2|20|20|5|7")
	s.Merges = []grid.Span{{R0: 0, C0: 0, R1: 1, C1: 0}, {R0: 0, C0: 2, R1: 0, C1: 3}, {R0: 0, C0: 4, R1: 1, C1: 4}}
	ts := Choose(NewFinder(View{Area: &Area{Sheet: s}}, DecimalPoint, nil).Tables())
	if len(ts) != 1 {
		t.Fatalf("%d tables", len(ts))
	}
	want := `S!A1:E4: 2 header lines
  A1 "" ["Jar"]: role:jar
  B1 "" ["Alum" "mg/L"]: chem=alum extra=chemalum unit=mg/L
  C1 "" ["Turbidity (NTU)" "5 min"]: minutes=5 reading=turbidity unit=NTU
  D1 "" ["Turbidity (NTU)" "20 min"]: minutes=20 reading=turbidity unit=NTU
  E1 "" ["pH"]: reading=ph
  A3=1 B3=10 C3=30 D3=9 E3=7
  A4=2 B4=20 C4=20 D4=5 E4=7
`
	if got := picture(ts[0]); got != want && got != strings.Replace(want, "S!", "", 1) {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

// TestHiddenLines leaves hidden lines out of what is rewritten, unless they are shown.
func TestHiddenLines(t *testing.T) {
	s := sheetOf("alum \\ polymer mg/L|0|0.5|1", "10|30|20|15", "20|12|8|7", "30|6|4|3")
	s.HiddenRow[2], s.HiddenCol[3] = true, true
	g := &Area{Sheet: s}
	f := NewFinder(View{Area: g}, DecimalPoint, nil)
	xs := f.Crosstabs()
	if len(xs) != 1 {
		t.Fatalf("%d cross-tabs", len(xs))
	}
	count := func() (rows, said int) {
		long, notes := f.Unfold(xs[0])
		for _, n := range notes {
			if strings.HasPrefix(n.Code, "hidden") {
				said++
			}
		}
		return len(long.Rows) - 1, said
	}
	if rows, said := count(); rows != 4 || said != 3 {
		t.Errorf("%d jars and %d notes", rows, said)
	}
	g.Unhide()
	if rows, said := count(); rows != 9 || said != 0 {
		t.Errorf("all asked for: %d jars and %d notes", rows, said)
	}
	long := sheetOf("Jar|Dose (mg/L)|Parameter|Value", "1|10|NTU|30", "2|20|NTU|12", "3|30|NTU|5")
	long.HiddenRow[2] = true
	g = &Area{Sheet: long}
	for _, rows := range []int{3, 4} {
		ts := Choose(NewFinder(View{Area: g}, DecimalPoint, nil).Tables())
		if len(ts) != 1 || len(Unpivot(ts[0]).Rows) != rows {
			t.Errorf("%d tables of results, not of %d rows", len(ts), rows)
		}
		g.Unhide()
	}
}

// TestDates1904 moves the dates of a workbook that counts from 1904 by 1462 days.
func TestDates1904(t *testing.T) {
	s := sheetOf("Date|x", "40000|40000")
	s.Rows[1][0].Format = &grid.Format{Date: true}
	shiftDates(s)
	if s.Rows[1][0].Num != 40000 {
		t.Errorf("a workbook of 1900 is moved to %g", s.Rows[1][0].Num)
	}
	s.Date1904 = true
	if shiftDates(s); s.Rows[1][0].Num != 41462 || s.Rows[1][0].Text != "41462" || s.Rows[1][1].Num != 40000 {
		t.Errorf("%g %q, %g", s.Rows[1][0].Num, s.Rows[1][0].Text, s.Rows[1][1].Num)
	}
}

// TestKnownLetters counts the letters outside ASCII that belong to words and units.
func TestKnownLetters(t *testing.T) {
	for text, want := range map[string]int{"Trübung": 1, "Trübung ö": 1, "µg/L": 1, "ö": 0, "Turbidity": 0, "浊度": 2, "wiggle": 0} {
		if got := knownLetters(text); got != want {
			t.Errorf("%q has %d known letters, want %d", text, got, want)
		}
	}
}

// TestBeside finds the value right of a name, past merged cells and up to two empty ones.
func TestBeside(t *testing.T) {
	s := sheetOf("Stock||10|g/L", "Stock|||10", "Stock||||10", "A title||||10")
	s.Merges = []grid.Span{{R0: 0, C0: 0, R1: 0, C1: 1}, {R0: 3, C0: 0, R1: 3, C1: 3}}
	for r, want := range []int{2, 3, 3} {
		if c, ok := Beside(View{Area: &Area{Sheet: s}}, r, 0); !ok || c != want {
			t.Errorf("line %d: column %d (%v), want %d", r+1, c, ok, want)
		}
	}
	if _, ok := Beside(View{Area: &Area{Sheet: s}}, 3, 0); ok {
		t.Error("a heading over facts has a value")
	}
}
