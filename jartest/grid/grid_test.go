package grid

import "testing"

func TestAddresses(t *testing.T) {
	for c, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA", 16383: "XFD"} {
		if got := ColumnName(c); got != want {
			t.Errorf("column %d is %s, want %s", c, got, want)
		}
		if r, got, ok := ParseCell(want + "7"); !ok || got != c || r != 6 {
			t.Errorf("%s7 is row %d, column %d, %v", want, r, got, ok)
		}
	}
	for _, s := range []string{"", "A", "7", "A0", "A-1", "A1B", "AAAAA1", "A 1", "Ä1"} {
		if r, c, ok := ParseCell(s); ok {
			t.Errorf("%q is row %d, column %d", s, r, c)
		}
	}
	for s, want := range map[string]Span{"A5:F11": {4, 0, 10, 5}, "F11:A5": {4, 0, 10, 5}, "A11:F5": {4, 0, 10, 5}, "$c$7": {6, 2, 6, 2}, " b2 : b2 ": {1, 1, 1, 1}} {
		if got, ok := ParseRange(s); !ok || got != want {
			t.Errorf("%q is %v, %v, want %v", s, got, ok, want)
		}
	}
	for _, s := range []string{"", ":", "A1:", ":A1", "A1:B", "A:B"} {
		if got, ok := ParseRange(s); ok {
			t.Errorf("%q is %v", s, got)
		}
	}
}

func TestSpans(t *testing.T) {
	s := Span{2, 3, 4, 5}
	for r := 1; r <= 5; r++ {
		for c := 2; c <= 6; c++ {
			in := r >= 2 && r <= 4 && c >= 3 && c <= 5
			if s.Has(r, c) != in {
				t.Errorf("%d, %d in the block: %v", r, c, s.Has(r, c))
			}
			if one := (Span{r, c, r, c}); s.Overlaps(one) != in || one.Overlaps(s) != in {
				t.Errorf("%v overlaps: %v", one, s.Overlaps(one))
			}
		}
	}
}

func TestSheetPlaces(t *testing.T) {
	s := &Sheet{File: "f.csv", Rows: [][]Cell{{{Text: "a", Kind: Textual}}, nil, {{}, {Text: "b", Kind: Textual}}}, Lines: []int{1, 4, 7}}
	if s.Width() != 2 || s.At(2, 1).Text != "b" || s.Line(2) != 7 || s.Line(3) != 4 || s.Line(-1) != 0 || s.RangeName(Span{0, 0, 2, 1}) != "A1:B7" {
		t.Errorf("width %d, %v, lines %d %d %d, %s", s.Width(), s.At(2, 1), s.Line(2), s.Line(3), s.Line(-1), s.RangeName(Span{0, 0, 2, 1}))
	}
	for _, at := range [][2]int{{-1, 0}, {0, -1}, {3, 0}, {0, 1}, {1, 0}} {
		if x := s.At(at[0], at[1]); x != (Cell{}) {
			t.Errorf("%v holds %v", at, x)
		}
	}
	for c, want := range map[Cell]bool{{}: true, {Kind: Textual}: true, {Kind: Textual, Text: "a"}: false, {Hollow: true}: false, {Kind: Numeric}: false, {Kind: Boolean}: false, {Kind: Faulty}: false} {
		if c.Blank() != want {
			t.Errorf("%+v is blank: %v", c, c.Blank())
		}
	}
	for _, s := range []string{"#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!", "#SPILL!", "#CALC!", "#GETTING_DATA"} {
		if !ErrorValue(s) {
			t.Errorf("%s is no error", s)
		}
	}
	if ErrorValue("#1") || ErrorValue("") {
		t.Error("texts pass for errors")
	}
}

// The width is kept, and follows rows that come later.
func TestWidth(t *testing.T) {
	s := &Sheet{Rows: [][]Cell{make([]Cell, 2), make([]Cell, 5), nil}}
	for _, want := range []int{5, 5} {
		if got := s.Width(); got != want {
			t.Errorf("%d columns, want %d", got, want)
		}
	}
	s.Rows = append(s.Rows, make([]Cell, 7), make([]Cell, 1))
	if got := s.Width(); got != 7 {
		t.Errorf("%d columns with the later rows", got)
	}
	if got := (&Sheet{}).Width(); got != 0 {
		t.Errorf("an empty sheet has %d columns", got)
	}
}
