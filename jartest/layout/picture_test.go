package layout

import (
	"fmt"
	"jarwright/jartest/grid"
	"jarwright/jartest/note"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/rogpeppe/go-internal/txtar"
)

// says writes what a heading says, without its text.
func says(h Heading) string {
	var out []string
	for name, flag := range flags {
		if *flag(&h) {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	for _, f := range []struct{ name, value string }{
		{"reading", string(h.Reading)}, {"chem", strings.Join(h.Chems, "+")}, {"first", h.Chem}, {"metal", h.Metal}, {"stage", h.Stage}, {"stat", h.Stat},
		{"unit", h.Unit.Name}, {"as", h.Unit.As}, {"index", h.Index}, {"extra", h.Extra}, {"rest", h.Rest}, {"scale", h.Scale}, {"place", h.Place},
	} {
		if f.value != "" && !(f.name == "first" && h.Chem == strings.Join(h.Chems, "+")) {
			out = append(out, f.name+"="+f.value)
		}
	}
	if len(h.Readings) > 1 {
		out = append(out, "readings="+strings.Join(h.Readings, "+"))
	}
	if h.Timed {
		out = append(out, fmt.Sprintf("minutes=%.4g", h.Minutes))
	}
	if h.Top > 0 {
		out = append(out, fmt.Sprintf("top=%g", h.Top))
	}
	for name, yes := range map[string]bool{"amount": h.Amount, "number": h.Number, "said": h.Said} {
		if yes {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

// told writes a value.
func told(v Value) string {
	s := [...]string{Missing: "missing", Number: "number", Below: "below", Above: "above", Zero: "zero", Ditto: "ditto", Dated: "date", Fault: "fault", Hollow: "hollow", Unclear: "unclear"}[v.State]
	if v.Num != 0 || v.State == Number {
		s += fmt.Sprintf(" %.10g", v.Num)
	}
	if v.Limit {
		s += " limit"
	}
	if v.Unit.Known() {
		s += " " + v.Unit.Name
	}
	if v.SD != 0 {
		s += fmt.Sprintf(" ±%g", v.SD)
	}
	if v.N != 0 {
		s += fmt.Sprintf(" n=%d", v.N)
	}
	if v.List != nil {
		s += fmt.Sprint(" ", v.List)
	}
	for _, f := range []struct {
		name string
		yes  bool
	}{{"percent", v.Percent}, {"dash", v.Dash}, {"blank", v.Blank}, {"approx", v.Approx}} {
		if f.yes {
			s += " " + f.name
		}
	}
	if v.Doubt != "" {
		s += ": " + v.Doubt
	}
	return s
}

// picture writes a table: its headings with what they say, and its rows.
func picture(t *Table) string {
	var b strings.Builder
	turned := ""
	if t.View.Turned {
		turned = ", jars across"
	}
	fmt.Fprintf(&b, "%s%s: %d header lines\n", t.RangeName(), turned, t.First-t.HeadTop)
	for _, x := range []struct{ name, text string }{{"title", t.Title}, {"foot", t.Foot}} {
		if x.text != "" {
			fmt.Fprintf(&b, "  %s: %s\n", x.name, x.text)
		}
	}
	for _, c := range t.Cols {
		fmt.Fprintf(&b, "  %s %q %q: %s\n", c.Place.Cell, c.Group, c.Parts, says(c.Head))
	}
	for _, r := range t.Rows {
		if s := t.Sections[r]; s != "" {
			fmt.Fprintf(&b, "  - %s\n", s)
		}
		var cells []string
		t.Each(r, r, func(_, c int, x grid.Cell, at note.Place) { cells = append(cells, at.Cell+"="+x.Text) })
		fmt.Fprintf(&b, "  %s\n", strings.Join(cells, " "))
	}
	return b.String()
}

// crossed writes the cross-tabs of a sheet as they are rewritten, and gives their boxes.
func crossed(b *strings.Builder, f *Finder, g *Area) []grid.Span {
	var boxes []grid.Span
	for _, x := range f.Crosstabs() {
		long, notes := f.Unfold(x)
		boxes = append(boxes, long.Box)
		fmt.Fprintf(b, "cross-tab %s\n", g.RangeName(long.Box))
		for _, n := range notes {
			fmt.Fprintf(b, "  %s %s: %s\n", n.Cell, n.Code, n.Message)
		}
		for _, row := range long.Rows {
			var cells []string
			for _, c := range row {
				cells = append(cells, c.Home+"="+c.Text)
			}
			fmt.Fprintf(b, "  %s\n", strings.Join(cells, " "))
		}
	}
	return boxes
}

// pictures finds the tables of a small sheet as the reader does.
func pictures(t *testing.T, text string) string {
	t.Helper()
	grids, notes, err := Open("small.csv", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, n := range notes {
		fmt.Fprintf(&b, "%s\n", n.Code)
	}
	g := grids[0]
	d := DecimalsOf(g)
	fmt.Fprintf(&b, "decimals %d\n", d)
	upright := NewFinder(View{Area: g}, d, nil)
	boxes := crossed(&b, upright, g)
	jotted, said := upright.Jotted()
	for i, long := range jotted {
		boxes = append(boxes, long.Box)
		fmt.Fprintf(&b, "%s %s\n", said[i].Cell, said[i].Message)
		for _, y := range Choose(NewFinder(View{Area: long}, d, nil).Tables()) {
			b.WriteString(picture(y))
		}
	}
	lists, listed := upright.Listed(boxes)
	for _, n := range listed {
		fmt.Fprintf(&b, "%s %s: %s\n", n.Cell, n.Code, n.Message)
	}
	for _, long := range lists {
		boxes = append(boxes, long.Box)
		for _, y := range Choose(NewFinder(View{Area: long}, d, nil).Tables()) {
			b.WriteString("listed: " + picture(y))
		}
	}
	all := append(upright.Tables(), NewFinder(View{Area: g, Turned: true}, d, nil).Tables()...)
	chosen := Choose(Outside(all, boxes))
	for _, x := range chosen {
		if long := Unpivot(x); long != nil {
			b.WriteString("one result a line: ")
			for _, y := range Choose(NewFinder(View{Area: long}, d, nil).Tables()) {
				b.WriteString(picture(y))
			}
			continue
		}
		f := NewFinder(x.View, d, nil)
		further := f.Further(x, chosen)
		for _, part := range f.Parts(x) {
			b.WriteString(picture(part))
		}
		for _, y := range further {
			for _, part := range f.Parts(y) {
				b.WriteString("under the headings above: " + picture(part))
			}
		}
	}
	return b.String()
}

// TestTables holds the tables of small sheets: what heads them, where they begin and end.
func TestTables(t *testing.T) {
	const file = "testdata/tables.txt"
	ar, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(ar.Files); i += 2 {
		in, want := ar.Files[i], &ar.Files[i+1]
		if strings.TrimSuffix(in.Name, ".in") != strings.TrimSuffix(want.Name, ".want") {
			t.Fatalf("%s is followed by %s", in.Name, want.Name)
		}
		got := pictures(t, string(in.Data))
		if d := diff.Diff("want", want.Data, "got", []byte(got)); len(d) > 0 && os.Getenv("JARWRIGHT_UPDATE") == "" {
			t.Errorf("%s: %s", in.Name, d)
		}
		want.Data = []byte(got)
	}
	if os.Getenv("JARWRIGHT_UPDATE") != "" {
		if err := os.WriteFile(file, txtar.Format(ar), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
