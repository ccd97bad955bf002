package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/grid"
)

// A workbook is known by its content, whatever its name says; so is text.
func TestWrongNames(t *testing.T) {
	readBytes(t, "jars.xls", sixJars(t), 1)
	readBytes(t, "jars.csv", sixJars(t), 1)
	readBytes(t, "jars.xlsx", []byte("Jar;Alum (mg/L);NTU\n1;10;30\n2;20;12\n3;30;5,5\n"), 1)
}

// Sheets in which jars cannot be looked for in reasonable time say so, and the
// others are still read.
func TestTooMuchForABench(t *testing.T) {
	long := "Jar,Alum (mg/L),NTU\n" + strings.Repeat("1,10,5\n", grid.BenchRows.Most()+1)
	texts := "Jar,Alum (mg/L),NTU\n"
	for i := range 30_719 { // of 10 letters, with 17 in the headings: 307,207, where 300 x 1024 are 307,200
		texts += fmt.Sprintf("floc %05d,,\n", i)
	}
	for text, want := range map[string]string{long: "f.csv: A1: the table has more than 120000 rows of jars", texts: "f.csv: the sheets hold more than 300 kB of different texts",
		strings.Repeat("jar 1 had alum\n", grid.BenchCells.Most()+1): "f.csv: the sheets hold more than 500000 cells of text"} {
		r, err := Read("f.csv", strings.NewReader(text), Options{})
		if err != nil || len(r.Series) != 0 || !strings.Contains(r.Notes.Error(), want) {
			t.Errorf("%d series, %v, %v, want %q", len(r.Series), err, r.Notes, want)
		}
	}
	f := excelize.NewFile()
	for i := range grid.BenchTexts.Most()/20 + 1 {
		if err := f.SetCellValue("Sheet1", fmt.Sprintf("A%d", i+1), fmt.Sprintf("a remark, number %05d", i)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := f.NewSheet("jars"); err != nil {
		t.Fatal(err)
	}
	data := bookOf(t, f, "jars", [][]any{{"Jar", "Alum mg/L", "NTU"}, {1, 8, 17.1}, {2, 16, 10.4}, {3, 24, 5.57}, {4, 32, 2.79}})
	r, err := Read("f.xlsx", bytes.NewReader(data), Options{Sheet: "jars"})
	if err != nil || len(r.Series) != 1 || r.Notes.Err() != nil {
		t.Errorf("%d series, %v, %v", len(r.Series), err, r.Notes)
	}
	r, err = Read("f.xlsx", bytes.NewReader(data), Options{})
	if err != nil || len(r.Series) != 1 || !strings.Contains(r.Notes.Error(), "f.xlsx: Sheet1: the sheets hold more than 300 kB") {
		t.Errorf("beside a sheet that is too much: %d series, %v, %v", len(r.Series), err, r.Notes)
	}
}

// BenchmarkManyJars reads 20,000 jars of 3,333 tests, no two readings alike: 26 s when each jar was held
// against all others and each figure searched for words, 1 s since.
func BenchmarkManyJars(b *testing.B) {
	var text strings.Builder
	text.WriteString("Test,Jar,Alum (mg/L),Turbidity (NTU)\n")
	for i := range 20_000 {
		fmt.Fprintf(&text, "%d,%d,%d,%.4f\n", i/6+1, i%6+1, i%6*5, 1+float64(i*7919%20_000)/500)
	}
	b.ReportAllocs()
	for b.Loop() {
		if r, err := Read("f.csv", strings.NewReader(text.String()), Options{}); err != nil || len(r.Series) != 3_334 {
			b.Fatal(len(r.Series), err)
		}
	}
}
