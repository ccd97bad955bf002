package templates

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// bookCell is a cell of a written workbook.
type bookCell struct{ sheet, at, formula, value string }

// openCells opens a workbook with the spreadsheet library and lists what stands in it.
func openCells(t *testing.T, data []byte) (*excelize.File, []bookCell) {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	var out []bookCell
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c, v := range row {
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				if err != nil {
					t.Fatal(err)
				}
				fx, err := f.GetCellFormula(s, at)
				if err != nil {
					t.Fatal(err)
				}
				if v != "" || fx != "" {
					out = append(out, bookCell{s, at, fx, v})
				}
			}
		}
	}
	return f, out
}

// cells lists every cell of a workbook, normalised: sheet, address, formula, value.
func cells(t *testing.T, data []byte) string {
	t.Helper()
	_, list := openCells(t, data)
	return cellLines(list)
}

func cellLines(list []bookCell) string {
	var b strings.Builder
	for _, c := range list {
		fx := c.formula
		if fx != "" {
			fx = " FORMULA =" + fx
		}
		fmt.Fprintf(&b, "%s!%s%s %q\n", c.sheet, c.at, fx, c.value)
	}
	return b.String()
}

func TestWorkbookGolden(t *testing.T) {
	o := Options{Version: "test", Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteBook(w, everyBlock{"turbidity of the beck"}, o); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two workbooks of the same answer differ")
	}
	golden(t, "workbook.txt", []byte(cells(t, a.Bytes())))
}

// TestWorkbookKeepsWordsWords feeds words that a spreadsheet would run.
func TestWorkbookKeepsWordsWords(t *testing.T) {
	for _, evil := range []string{"=1+1", "+1", "-1+2", "@SUM(1)", "=HYPERLINK(\"http://a.invalid\",\"x\")", "<b>&\x00\u202e", "\t=1"} {
		var b bytes.Buffer
		if err := WriteBook(&b, everyBlock{evil}, Options{}); err != nil {
			t.Fatalf("%q: %v", evil, err)
		}
		if got := cells(t, b.Bytes()); strings.Contains(got, " FORMULA ") {
			t.Errorf("%q became a formula:\n%s", evil, got)
		}
		if got := cells(t, b.Bytes()); strings.ContainsAny(got, "\x00\u202e") {
			t.Errorf("%q: an invisible mark is left", evil)
		}
		b.Reset()
		if err := WriteCSV(&b, everyBlock{evil}.Table(), Options{}); err != nil {
			t.Fatal(err)
		}
		if first := strings.Trim(b.String(), "\"\n"); strings.HasPrefix(first, "=") || strings.HasPrefix(first, "@") || strings.HasPrefix(first, "-1+2") {
			t.Errorf("%q stands in the CSV as a formula: %q", evil, first)
		}
	}
}
