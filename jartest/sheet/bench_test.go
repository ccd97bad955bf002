package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// sixJars builds the ordinary case: a title, facts, six jars.
func sixJars(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	rows := [][]any{{"Beck after the storm"}, {"Coagulant", "alum"}, {"Raw turbidity (NTU)", 85.5}, {}, {"Jar", "Dose (mg/L)", "Turbidity (NTU)", "pH"}}
	for i := range 6 {
		rows = append(rows, []any{i + 1, 10 * (i + 1), 40 / float64(i+1), 7.4 - 0.1*float64(i)})
	}
	return bookOf(t, f, "Sheet1", rows)
}

func bookOf(t testing.TB, f *excelize.File, sheet string, rows [][]any) []byte {
	t.Helper()
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			t.Fatal(err)
		}
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// longLog builds a workbook whose first sheet is a meter log of 20,000 rows and
// whose second holds the jars.
func longLog(t testing.TB) []byte {
	t.Helper()
	f := excelize.NewFile()
	w, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		t.Fatal(err)
	}
	_ = w.SetRow("A1", []any{"Time", "NTU"})
	for i := range 20000 {
		if err := w.SetRow(fmt.Sprintf("A%d", i+2), []any{45350 + float64(i)/1440, 22 + math.Sin(float64(i)/100)}); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	if _, err := f.NewSheet("jars"); err != nil {
		t.Fatal(err)
	}
	return bookOf(t, f, "jars", [][]any{{"Jar", "Alum mg/L", "NTU"}, {1, 8, 17.1}, {2, 16, 10.4}, {3, 24, 5.57}, {4, 32, 2.79}})
}

func readBytes(b testing.TB, name string, data []byte, series int) {
	r, err := Read(name, bytes.NewReader(data), Options{})
	if err != nil || len(r.Series) != series {
		b.Fatalf("%d series, %v, %v", len(r.Series), err, r.Notes)
	}
}

func BenchmarkSixJars(b *testing.B) {
	data := sixJars(b)
	readBytes(b, "six.xlsx", data, 1)
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "six.xlsx", data, 1)
	}
}

func BenchmarkLongLog(b *testing.B) {
	data := longLog(b)
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "log.xlsx", data, 1)
	}
}

// Benchmark500Files reads 500 small files one after another, as one command would.
func Benchmark500Files(b *testing.B) {
	book := sixJars(b)
	text := []byte("Jar,Alum (mg/L),Turbidity (NTU)\n" + strings.Repeat("1,10,28.1\n", 1) + "2,20,17.9\n3,30,9.21\n4,40,4.5\n")
	b.ReportAllocs()
	for b.Loop() {
		for range 250 {
			readBytes(b, "a.xlsx", book, 1)
			readBytes(b, "a.csv", text, 1)
		}
	}
}

// rowsOf writes a text of one heading and n rows.
func rowsOf(head string, n int, row func(i int) string) []byte {
	var b bytes.Buffer
	b.WriteString(head)
	for i := range n {
		b.WriteString(row(i))
	}
	return b.Bytes()
}

// BenchmarkManyTests reads 3,000 tests of six jars from one table.
func BenchmarkManyTests(b *testing.B) {
	data := rowsOf("Date,Test,Jar,Alum (mg/L),Turbidity (NTU),pH,Note\n", 18_000, func(i int) string {
		test, jar := i/6, i%6
		return fmt.Sprintf("2024-%02d-%02d,%d,%d,%d,%.2f,%.1f,big floc\n", 1+test%12, 1+test%28, test+1, jar+1, 10*(jar+1), 30/float64(jar+1)+float64(test)/100, 7.4-float64(jar)/10)
	})
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "tests.csv", data, 3_000)
	}
}

// BenchmarkOneText reads 600,000 cells of one text.
func BenchmarkOneText(b *testing.B) {
	line := strings.Repeat("turbidity of the storm water,", 9) + "turbidity of the storm water\n"
	data := rowsOf("", 60_000, func(int) string { return line })
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "same.csv", data, 0)
	}
}

// BenchmarkNoJars reads a table of 100,000 rows that is no jar test.
func BenchmarkNoJars(b *testing.B) {
	data := rowsOf("Order,City,Item,Qty,Comment\n", 100_000, func(i int) string {
		return fmt.Sprintf("%d,Lima,widget %d,%d,shipped by road on day %d\n", i, i%321, i%9, i%9000)
	})
	b.ReportAllocs()
	for b.Loop() {
		readBytes(b, "orders.csv", data, 0)
	}
}
