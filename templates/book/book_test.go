package book

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/templates/draw"
)

func write(t *testing.T, b *Book) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

func parts(t *testing.T, file []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = string(data)
	}
	return out
}

// rich is a workbook of five sheets with charts, lists and names.
func rich() *Book {
	b := New(Meta{Title: "Rich", Paper: "letter", Date: time.Date(2026, 3, 2, 15, 4, 5, 0, time.UTC)})
	for _, n := range []string{"One", "Two", "Three", "Four"} {
		s := b.Sheet(n)
		s.Row(T(Head, "x"), T(Head, "y"))
		for i := range 4 {
			s.Row(Num(float64(i), "0"), Calc("A2*2", 2.5, "0.0"))
		}
		s.Choose(s.At(9, 1), b.List("Letters", []string{"a", "b, c"}), "Letter", "Pick one", false)
		s.Put(9, 1, In("a", ""))
		s.Put(11, 1, Cell{Kind: Wrap, Value: "joined", Span: 2})
		s.Chart(2, 4, 300, 200, Chart{Alt: n, Series: []Series{{Name: "y", X: s.Block(2, 1, 5, 1), Y: s.Block(2, 2, 5, 2), Up: s.Block(2, 1, 5, 1)}}})
		b.Name("First_"+n, s.At(2, 1))
		s.Flag(s.Block(2, 1, 5, 1), "A2>2", Stop)
		s.Protect()
	}
	return b
}

func TestSameBytes(t *testing.T) {
	want := write(t, rich())
	for range 5 {
		if !bytes.Equal(want, write(t, rich())) {
			t.Fatal("two builds of the same workbook differ")
		}
	}
}

func TestParts(t *testing.T) {
	p := parts(t, write(t, rich()))
	for name, body := range p {
		if strings.HasSuffix(name, ".png") { // the mark
			continue
		}
		if err := xml.Unmarshal([]byte(body), new(any)); err != nil {
			t.Errorf("%s is not well formed: %v", name, err)
		}
	}
	charts := 0
	for name, body := range p {
		if strings.HasPrefix(name, "xl/charts/chart") {
			charts++
			for _, want := range []string{"<c:errBars>", "<c:xVal><c:numRef>", "<c:numCache>", `<c:v>2.5</c:v>`} {
				if !strings.Contains(body, want) {
					t.Errorf("%s lacks %s", name, want)
				}
			}
		}
	}
	if charts != 4 {
		t.Errorf("%d charts, want 4", charts)
	}
	sheet := p["xl/worksheets/sheet1.xml"]
	for _, want := range []string{`<dimension ref="A1:B11"`, `<f>A2*2</f><v>2.5</v>`, "<sheetProtection", "<dataValidation ", "<conditionalFormatting", "<drawing ", `<mergeCell ref="A11:B11"`, `paperSize="1"`, `fitToHeight="0"`} {
		if !strings.Contains(sheet, want) {
			t.Errorf("the sheet lacks %s", want)
		}
	}
	if strings.Contains(sheet, "password") || strings.Contains(sheet, "hashValue") {
		t.Error("the sheet is locked by a password")
	}
	if core := p["docProps/core.xml"]; !strings.Contains(core, "2026-03-02T15:04:05Z") || !strings.Contains(core, "jarwright") || strings.Contains(core, "xuri") {
		t.Errorf("core properties: %s", core)
	}
	if d := p["xl/drawings/drawing1.xml"]; !strings.Contains(d, `descr="One"`) {
		t.Errorf("the chart has no words for those who cannot see it: %s", d)
	}
}

func TestMistakesAreRefused(t *testing.T) {
	for name, c := range map[string]Cell{
		"not a number":       Num(math.NaN(), ""),
		"infinite":           Num(math.Inf(1), ""),
		"no value":           {Kind: Worked, Formula: "A1"},
		"too new a function": Calc("XLOOKUP(A1,B1:B2,C1:C2)", 1.0, ""),
		"another file":       Calc("[other.xlsx]Sheet1!A1", 1.0, ""),
		"strange type":       {Value: []int{1}},
	} {
		b := New(Meta{})
		b.Sheet("S").Row(c)
		var buf bytes.Buffer
		if err := b.Write(&buf); err == nil || buf.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes", name, err, buf.Len())
		}
	}
	b := New(Meta{})
	s := b.Sheet("S")
	s.Row(T(Text, "x"))
	for _, n := range []string{"A1", "R1C1", "two words", "", "1st"} {
		b.Name(n, s.At(1, 1))
	}
	b.Name("Good", s.At(1, 1))
	b.Name("good", s.At(1, 1))
	if len(b.errs) != 6 {
		t.Errorf("%d mistakes in names found, want 6: %v", len(b.errs), b.errs)
	}
	if err := New(Meta{}).Write(io.Discard); err == nil {
		t.Error("a workbook without sheets was written")
	}
}

func TestSheetNames(t *testing.T) {
	b := New(Meta{})
	for _, c := range []struct{ in, want string }{
		{"Feed", "Feed"}, {"feed", "feed 2"}, {"a/b:c*d?[e]\\f", "a-b-c-d--e--f"}, {"", "Sheet"}, {"'quoted'", "quoted"},
		{"History", "Sheet History"},
		{strings.Repeat("long ", 10), "long long long long long long l"},
		{strings.Repeat("long ", 10), "long long long long long long 2"},
		{"x\u202ey", "x<U+202E>y"},
	} {
		if got := b.Sheet(c.in).Name(); got != c.want {
			t.Errorf("Sheet(%q) is named %q, want %q", c.in, got, c.want)
		}
		b.sheets[len(b.sheets)-1].Row(T(Text, "x"))
	}
	write(t, b)
}

func TestTextIsInert(t *testing.T) {
	hostile := []string{"=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1:A2)", "=HYPERLINK(\"http://a.invalid\",\"x\")", "<script>&", "\t=1", "tab\x00end\u202e", "{=1}"}
	b := New(Meta{Title: "<b>&"})
	s := b.Sheet("<S> & 'co'")
	for _, h := range hostile {
		for k := Text; k <= Stop; k++ {
			s.Put(s.next+1, 1, Cell{Kind: k, Value: h})
		}
	}
	s.Choose(s.At(1, 1), b.List("<l>&", hostile), "<t>&", "<p>&\x00", true)
	s.Chart(1, 3, 200, 200, Chart{Title: "<t>&", Alt: "\"<a>&", XName: "<x>", Series: []Series{{Name: "<n>&", X: s.Block(1, 1, 2, 1), Y: s.Block(1, 1, 2, 1)}}})
	file := write(t, b)
	for name, body := range parts(t, file) {
		if strings.HasSuffix(name, ".png") { // the mark
			continue
		}
		if err := xml.Unmarshal([]byte(body), new(any)); err != nil {
			t.Errorf("%s is not well formed: %v", name, err)
		}
	}
	f, err := excelize.OpenReader(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows(s.name)
	if err != nil {
		t.Fatal(err)
	}
	for r, row := range rows {
		at := a1(r+1, 1)
		if fx, err := f.GetCellFormula(s.name, at); err != nil || fx != "" {
			t.Errorf("%s %q became the formula %q (%v)", at, row[0], fx, err)
		}
		if strings.ContainsAny(row[0], "\x00\u202e") {
			t.Errorf("%s holds an invisible mark: %q", at, row[0])
		}
	}
}

func TestDigits(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{{12.345, 3, "0.0"}, {0.00123, 2, "0.0000"}, {123456, 3, "#,##0"}, {1, 3, "0.00"}, {999, 3, "0"}, {0, 3, "0"}, {1e-9, 3, "0.000000"}} {
		if got := Digits(c.v, c.n); got != c.want {
			t.Errorf("Digits(%g, %d) = %s, want %s", c.v, c.n, got, c.want)
		}
	}
}

func TestColumnsHoldTheirNumbers(t *testing.T) {
	b := New(Meta{})
	s := b.Sheet("S")
	s.Row(Num(123456789.123, "#,##0.000"), T(Label, "a label of middling length"), T(Wrap, strings.Repeat("words ", 60)))
	w := s.fitWidths()
	if got := textPixels("123,456,789.123", Value.look()); w[0]*digit < got {
		t.Errorf("column of %.1f holds %.0f pixels", w[0], got)
	}
	if w[1] < 20 || w[2] > 20 {
		t.Errorf("widths %v", w)
	}
	if h := s.fitHeight(1, w); h < 200 {
		t.Errorf("sixty words in a narrow column get a height of %.0f", h)
	}
}

func TestDays(t *testing.T) {
	// 2000-01-01 is 36526 in workbooks of the 1900 system (ECMA-376 part 1, 18.17.4.1, from memory).
	if d := excelDay(time.Date(2000, 1, 1, 23, 0, 0, 0, time.FixedZone("x", 3600))); d != 36526 {
		t.Errorf("serial %g", d)
	}
	b := New(Meta{})
	b.Sheet("S").Row(Cell{Value: time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC), Kind: Value})
	if p := parts(t, write(t, b))["xl/worksheets/sheet1.xml"]; !strings.Contains(p, "<v>36526</v>") {
		t.Error("the day is not stored as its number")
	}
}

func TestTones(t *testing.T) {
	for k := Text; k <= Stop; k++ {
		if l := k.look(); l.color == "" || l.size < 9 || l.fill != "" && !strings.HasPrefix(l.fill, "#") {
			t.Errorf("kind %d: %+v", k, l)
		}
	}
	if draw.Ink == draw.Muted {
		t.Error("lesser text looks like text")
	}
}

// A column says its value by its length, so the axis begins at zero; a chart of
// lines, one whose columns go below zero, and one that asks otherwise keep their own.
func TestColumnsStandOnZero(t *testing.T) {
	chart := func(kind ChartKind, ymin *float64, values ...float64) string {
		b := New(Meta{Title: "t"})
		s := b.Sheet("S")
		for i, v := range values {
			s.Put(i+1, 1, Num(v, "0"))
			s.Put(i+1, 2, Num(v, "0"))
		}
		return Chart{Kind: kind, YMin: ymin, Series: []Series{{Name: "a", X: s.Block(1, 1, len(values), 1), Y: s.Block(1, 2, len(values), 2)}}}.xml()
	}
	five := 5.0
	for _, c := range []struct {
		name string
		xml  string
		want string
		has  bool
	}{
		{"columns", chart(Columns, nil, 205, 240), `<c:min val="0"/>`, true},
		{"columns below zero", chart(Columns, nil, -3, 4), `<c:min val=`, false},
		{"columns from five", chart(Columns, &five, 205, 240), `<c:min val="5"/>`, true},
		{"points", chart(Scatter, nil, 205, 240), `<c:min val=`, false},
	} {
		if strings.Contains(c.xml, c.want) != c.has {
			t.Errorf("%s: %s in the chart: %v, want %v", c.name, c.want, !c.has, c.has)
		}
	}
}
