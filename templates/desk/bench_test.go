package desk

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// drawingOf reads a text and draws it, each heading leading to its own name.
func drawingOf(t *testing.T, text string) BenchPage {
	t.Helper()
	r, err := sheet.Read("t.csv", strings.NewReader(text), sheet.Options{Account: true})
	if err != nil {
		t.Fatal(err)
	}
	b, err := BenchOf(Page{}, templates.ReadCells{Read: templates.Read{Series: r.Series, Notes: r.Notes}, Account: r.Account}, templates.Options{},
		func(h Head) string { return "/change?of=" + h.Key() })
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestDrawingOfATable: the rows of the table with what each column was taken for, a cell that
// was not understood marked, a column set aside hatched down to its empty cells, the head folded.
func TestDrawingOfATable(t *testing.T) {
	b := drawingOf(t, "Raw turbidity,46,NTU\n\nJar,Alum (mg/L as Al),Turbidity (NTU),Remark\n1,1,30,hazy\n2,2,12 wiggle,\n3,3,5,\n")
	if len(b.Sheets) != 1 || len(b.Sheets[0].Bands) != 1 || b.Sheets[0].Rest == nil || len(b.Sheets[0].Facts) != 1 {
		t.Fatalf("%+v", b.Sheets)
	}
	band := b.Sheets[0].Bands[0]
	for i, want := range []string{"A jar  ", "B dose of alum mg/L as Al ", "C turbidity NTU ", "D remark  aside"} {
		h := band.Heads[i]
		if got := strings.Join([]string{h.Letter, h.As, h.Unit, h.Class}, " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if band.Heads[2].Values != "30, 12 wiggle (not understood), 5" || band.Heads[1].Change != "/change?of=Alum (mg/L as Al)" {
		t.Errorf("%q, %q", band.Heads[2].Values, band.Heads[1].Change)
	}
	var lines []string
	for _, r := range band.Rows {
		line := r.Line
		for _, c := range r.Cells {
			line += "|" + c.Text + ":" + c.Class
		}
		lines = append(lines, line)
	}
	want := "3|Jar:|Alum (mg/L as Al):|Turbidity (NTU):|Remark:\n4|1:|1:num|30:num|hazy:aside\n5|2:|2:num|12 wiggle:odd|:aside\n6|3:|3:num|5:num|:aside"
	if got := strings.Join(lines, "\n"); got != want {
		t.Errorf("it is drawn as\n%s\nwant\n%s", got, want)
	}
}

// TestNamesAreNoFacts: what the head of a sheet calls a thing is not told as what it says of it, be the cell beside it empty or not.
func TestNamesAreNoFacts(t *testing.T) {
	b := drawingOf(t, "Date,\nOperator:,\nTarget,\nChemical:,alum\nDay of test,2026-03-02\nRaw turbidity,46,NTU\n\nJar,Dose (mg/L as Al),Turbidity (NTU)\n1,0,30\n2,1,12\n3,2,5\n")
	var got []string
	for _, f := range b.Sheets[0].Facts {
		got = append(got, f.What+"="+f.Text)
	}
	if want := "chemical=alum|date=2026-03-02|raw turbidity=46 NTU"; strings.Join(got, "|") != want {
		t.Errorf("%q, want %q", strings.Join(got, "|"), want)
	}
}

// TestDrawingIsCutWithAWord: of more rows and columns than a drawing holds it is said which are left out.
func TestDrawingIsCutWithAWord(t *testing.T) {
	text := "Jar,Alum (mg/L as Al),Turbidity (NTU)"
	for i := range 40 {
		text += fmt.Sprintf(",Photo %d", i)
	}
	text += "\n"
	for i := range mostRows + 20 {
		text += fmt.Sprintf("%d,%d,30%s\n", i+1, i%9+1, strings.Repeat(",x", 40))
	}
	band := drawingOf(t, text).Sheets[0].Bands[0]
	if len(band.Rows) != mostRows || len(band.Heads) != mostColumns || !band.Many() {
		t.Errorf("%d rows, %d columns", len(band.Rows), len(band.Heads))
	}
	if want := "Rows 61 to 81 are left out of this drawing; what was said of them stands below. Columns AE to AQ are left out of it."; band.Cut != want {
		t.Errorf("%q, want %q", band.Cut, want)
	}
}

// TestDrawingOfJarsAcross has the meanings beside the rows.
func TestDrawingOfJarsAcross(t *testing.T) {
	band := drawingOf(t, "Jar,1,2,3\nAlum (mg/L as Al),10,20,30\nTurbidity (NTU),30,12,5\n").Sheets[0].Bands[0]
	items := band.Items()
	if !band.Across || len(items) != 3 || items[1].Letter != "2" || items[1].As != "dose of alum" || items[1].Values != "10, 20, 30" {
		t.Errorf("%+v", items)
	}
}
