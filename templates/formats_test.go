package templates

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/figure"
)

// TestNumberFormats: a cell shows as many decimals as text would.
func TestNumberFormats(t *testing.T) {
	plain := func(form figure.Form, digits int) figure.Figure {
		return figure.Figure{Q: figure.Plain{V: 1}, Form: form, Digits: digits}
	}
	for _, c := range []struct {
		f    figure.Figure
		v    float64
		want string
	}{
		{plain(figure.Signed, 3), 12.34, "+0.0;-0.0;0"},
		{plain(figure.Sign, 2), -0.0421, "+0.000;-0.000;0"}, // two digits: 0.042
		{plain(figure.Tenth, 5), 12.34, "0.0"},
		{plain(figure.Cents, 1), 1234.5, "#,##0.00"},
		{plain(figure.SignCents, 1), 1, "+0.00;-0.00;0.00"},
		{plain(figure.Whole, 5), 1.5, "#,##0"},
		{plain(figure.Full, 0), 12.34, "0.0"}, // three digits where none are asked for
		{plain(figure.Full, 4), 12.3, "0.00"},
		{plain(figure.Full, 3), 12345, "#,##0"},
		{plain(figure.Brief, 3), 12.34, "0.0"},
		{plain(figure.Brief, 3), 12, "0"}, // no idle zeros
		{plain(figure.Brief, 4), 0.05, "0.00"},
		{plain(figure.Brief, 0), 1.234, "0.00"},
		{plain(figure.Brief, 3), 12345, "#,##0"},
	} {
		if got := format(c.f, c.v); got != c.want {
			t.Errorf("form %d, %d digits of %v: %s, want %s", c.f.Form, c.f.Digits, c.v, got, c.want)
		}
	}
}

// TestCellsOfTables: a column has the unit of its largest figure, the others stand in
// it too, and a kind that the unit does not fit brings its own.
func TestCellsOfTables(t *testing.T) {
	kg := func(v float64) figure.Figure { return figure.Of("", quantity.Mass(v), "kg", 3) }
	b := Block{Cols: []Col{{Head: "mass", Right: true}, {Head: "words"}, {Head: "n", Right: true}}, Cells: [][]any{
		{kg(0.05), "8.5"}, {kg(2), "b", "8.50"}, {figure.Figure{}, "c", figure.Clock(25.5)}, {figure.Of("", quantity.Flow(3), "m3/h", 3), "d", 1234}, {kg(0.5)}}}
	x := &bookWriter{}
	if got := x.unit(b, 0); got != "kg" { // what is no mass does not count
		t.Errorf("the column stands in %q", got)
	}
	b.Cells[3][0] = kg(-3)
	if got := x.unit(b, 0) + "|" + x.unit(b, 1) + "|" + x.headed(b, b.Cols[0], 0) + "|" + x.headed(b, b.Cols[1], 1); got != "kg||mass (kg)|words" {
		t.Errorf("units and headings %q", got)
	}
	b.Cells[3][0] = figure.Of("", quantity.FeedRate(1), "mL/min", 3)
	for _, c := range []struct {
		row, col int
		want     string
	}{
		{0, 0, fmt.Sprintf("%d 0.05 0.00 false 0", book.Value)}, // 50 g among kg
		{1, 0, fmt.Sprintf("%d 2 0 false 0", book.Value)},
		{2, 0, fmt.Sprintf("%d - true 0", book.Value)},
		{3, 0, fmt.Sprintf(`%d 1 0 "mL/min" false 0`, book.Value)},
		{0, 1, fmt.Sprintf("%d 8.5 false 0", book.Wrap)}, // a left-aligned column holds words
		{1, 2, fmt.Sprintf("%d 8.5 0.00 false 0", book.Value)},
		{2, 2, fmt.Sprintf("%d 0.0625 hh:mm false 0", book.Value)}, // 25:30 is 01:30, 1.5/24 of a day
		{3, 2, fmt.Sprintf("%d 1234 #,##0 false 0", book.Value)},
	} {
		cell := x.cellOf(b, b.Cells[c.row][c.col], c.col)
		got := fmt.Sprintf("%d %v", cell.Kind, cell.Value)
		if cell.Format != "" {
			got += " " + cell.Format
		}
		if got += fmt.Sprintf(" %t %d", cell.Center, cell.Span); got != c.want {
			t.Errorf("row %d, column %d: %s, want %s", c.row, c.col, got, c.want)
		}
	}
	if got := x.cellOf(b, figure.Clock(-1), 0).Value; got != 23.0/24 {
		t.Errorf("an hour before midnight is %v", got)
	}
	comma := &bookWriter{o: Options{DecimalComma: true}}
	for text, want := range map[string]any{"8,25": 8.25, "1e3": 1000.0, "x": "x", "": ""} {
		if got := comma.cell(text, true).Value; got != want {
			t.Errorf("%q becomes %v", text, got)
		}
	}
	// 0.4 kg for 1000 m3 are 0.4 x 3.785411784 g for 1000 gal, 0.00333817 lb of 453.59237 g, as they stand beside what is pounds
	per := func(v float64) figure.Figure { return massPerWater("", quantity.Mass(v), 3) }
	us := &bookWriter{o: Options{Units: quantity.US}}
	b = Block{Cols: []Col{{Head: "of it", Right: true}}, Cells: [][]any{{per(0.4)}, {per(400)}}}
	if got, _ := us.cellOf(b, per(0.4), 0).Value.(float64); us.unit(b, 0) != "lb" || math.Abs(got-0.4e-3*gallon/0.45359237) > 1e-9 {
		t.Errorf("0.4 kg for 1000 m3 in a column of pounds for 1000 gal: %v %s", got, us.unit(b, 0))
	}
}

// TestIntervalsStandApart: an interval takes three columns, its ends words where open.
func TestIntervalsStandApart(t *testing.T) {
	dose := func(v float64) figure.Figure { return figure.Of("", quantity.Concentration(v), "mg/L", 3) }
	i := figure.Interval{Figure: dose(12.5), Low: quantity.Concentration(11)}
	got := apart(Block{Cols: []Col{{Head: "name"}, {Head: "dose", Right: true}, {Head: "end"}}, Cells: [][]any{{"a", i, "z"}, {"b", "-", "y"}, {"c"}}})
	var heads []string
	for _, c := range got.Cols {
		heads = append(heads, c.Head)
	}
	show := Options{}
	var rows [][]string
	for _, r := range got.Cells {
		var row []string
		for _, v := range r {
			row = append(row, show.Show(v))
		}
		rows = append(rows, row)
	}
	if text := fmt.Sprint(heads, rows); text != "[name dose from to end] [[a 12.5 mg/L 11 mg/L beyond the range z] [b -   y] [c  ]]" {
		t.Errorf("%s", text)
	}
}

// noted is a report of notes alone.
type noted struct{ l note.List }

func (n noted) Text(t *Text, _ Options) { t.Head("Notes"); t.Notes(n.l) }
func (noted) JSON() any                 { return nil }
func (noted) Table() figure.Table       { return figure.Table{} }

// TestNotesJoin: the same said of several places is one note, the gravest first.
func TestNotesJoin(t *testing.T) {
	at := func(n note.Note, cell string) note.Note { return n.At(note.Place{Cell: cell}) }
	l := note.List{at(note.New(note.Info, "a", "seen"), "A1"), at(note.New(note.Caution, "b", "high").Do("test more"), "A2"), at(note.New(note.Info, "a", "seen"), "A3"),
		note.New(note.Info, "a", "seen"), note.New(note.Stop, "c", "stop it")}
	var b bytes.Buffer
	if err := WriteBook(&b, noted{l}, Options{}); err != nil {
		t.Fatal(err)
	}
	got := cells(t, b.Bytes())
	for _, want := range []string{`Summary!A2 "STOP: Stop it"`, `Summary!A3 "CAUTION: High. Test more"`, `Summary!A4 "Note: Seen"`, `Assumed!A4 "Note"`, `Assumed!B4 "Seen"`, `Assumed!D4 "A1, A3"`,
		`Cautions!A4 "STOP"`, `Cautions!A5 "CAUTION"`, `Cautions!C5 "Test more"`, `Cautions!D5 "A2"`} {
		if !strings.Contains(got, want+"\n") {
			t.Errorf("no %s in\n%s", want, got)
		}
	}
	if strings.Contains(got, "Summary!A5 \"n") || strings.Contains(got, "Assumed!A5") {
		t.Errorf("a note stands twice:\n%s", got)
	}
	for level, want := range map[note.Level]book.Kind{note.Info: book.Wrap, note.Caution: book.Caution, note.Stop: book.Stop, note.Error: book.Stop} {
		if kindOf(level) != want {
			t.Errorf("%v is kind %v", level, kindOf(level))
		}
	}
}
