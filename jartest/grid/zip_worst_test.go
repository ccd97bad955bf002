package grid

import (
	"bytes"
	"fmt"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// These tests cost the most, so their file stands last: a fault shows before them.

// most is what reading any file may allocate in all, so that it cannot need more
// than the 300 MB at once that are promised.
const most = 300 << 20

// measured runs a reading and fails when it allocates more than it may.
func measured(t *testing.T, name string, size int, read func() error) error {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	err := read()
	runtime.ReadMemStats(&after)
	used := after.TotalAlloc - before.TotalAlloc
	if used > most {
		t.Errorf("%s: %d kB of file cost %d MB", name, size>>10, used>>20)
	}
	t.Logf("%-28s %6d kB of file, %4d MB allocated: %.90v", name, size>>10, used>>20, err)
	return err
}

// repeat writes a text n times, with its number from 1 in place of each %d.
func repeat(n int, format string) string {
	pieces := strings.Split(format, "%d")
	b := make([]byte, 0, n*(len(format)+3*len(pieces)))
	for i := 1; i <= n; i++ {
		for k, p := range pieces {
			if k > 0 {
				b = strconv.AppendInt(b, int64(i), 10)
			}
			b = append(b, p...)
		}
	}
	return string(b)
}

// hostile is a file made to cost much, or one of the largest that people bring.
type hostile struct {
	name  string
	data  []byte
	code  string // of the fault; "" where the file is read
	limit limit
	place string
}

// Files made to cost much, and the largest that people bring: each is read or
// refused with the limit it breaks, and costs no more than it may.
func TestHostileWorkbooks(t *testing.T) {
	sheet := func(rows string) []byte { return zipOf(t, parts(rowsOf(rows))...) }
	merges := func(s string) []byte {
		return zipOf(t, parts("<worksheet><sheetData><row><c><v>1</v></c></row></sheetData><mergeCells>"+s+"</mergeCells></worksheet>")...)
	}
	remarked := func(s string) []byte { return zipOf(t, commented("<comments>"+s+"</comments>", "")...) }
	far := ColumnName(columnNumber.Most() - 1)
	tabs := repeat(sheetCount.Most()+1, `<sheet name="s%d" r:id="r1"/>`)
	many := func(n int) []entry {
		out := parts(rowsOf(""))
		for i := len(out); i < n; i++ {
			out = append(out, entry{fmt.Sprint("xl/media/", i), ""})
		}
		return out
	}
	list := []hostile{
		{"a cell in the last corner", sheet(`<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`), "too-large", columnNumber, "f.xlsx: Jars!XFD1048576"},
		{"a row too many", sheet(`<row r="1048577"><c><v>1</v></c></row>`), "too-large", rowNumber, "f.xlsx: Jars!A1048577"},
		{"a far cell", sheet(`<row r="1"><c r="` + far + `1"><v>1</v></c></row><row r="2001"><c><v>1</v></c></row>`), "too-large", areaCells, "f.xlsx: Jars!A2001"},
		{"the farthest allowed", sheet(`<row r="1"><c r="` + far + `1"><v>1</v></c></row><row r="2000"><c><v>1</v></c></row>`), "", 0, ""},
		{"sparse rows", sheet(repeat(1999, `<row r="%d"><c r="`+far+`%d"><v>1</v></c></row>`)), "too-large", cellCount, "f.xlsx: Jars!" + far + "1201"},
		{"empty styled rows", sheet(repeat(300_000, `<row r="%d" s="1"/>`)), "", 0, ""},
		{"empty styled cells", sheet(repeat(200_000, `<row r="%d"><c r="A%d" s="1"/></row>`)), "", 0, ""},
		{"merged blocks", merges(repeat(mergeCount.Most()+1, `<mergeCell ref="A%d:B%d"/>`)), "too-large", mergeCount, "f.xlsx: Jars"},
		{"merged blocks allowed", merges(repeat(mergeCount.Most(), `<mergeCell ref="A%d:B%d"/>`)), "", 0, ""},
		{"comments", remarked(repeat(commentCount.Most()+1, `<comment ref="A%d"><text><t>B%d</t></text></comment>`)), "too-large", commentCount, "f.xlsx: Jars"},
		{"comments allowed", remarked(repeat(commentCount.Most(), `<comment ref="A%d"><text><t>B%d</t></text></comment>`)), "", 0, ""},
		{"a long comment", remarked(repeat(2, `<comment ref="A1"><text><t>%d`+strings.Repeat("a", textLength.Most()/2)+`%d</t></text></comment>`)), "too-large", textLength, "f.xlsx: Jars!A1"},
		{"merged blocks one on another", zipOf(t, parts("<worksheet><sheetData>"+repeat(20_000, `<row><c><v>%d</v></c></row>`)+"</sheetData><mergeCells>"+
			repeat(900, `<mergeCell ref="A%d:CV1048576"/>`)+"</mergeCells></worksheet>")...), "sheet-unreadable", 0, "f.xlsx: Jars"},
		{"a long text", zipOf(t, parts(rowsOf(""), entry{"xl/sharedStrings.xml", "<sst><si><t>" + repeat(20_000, "%d ") + "</t></si></sst>"})...), "too-large", textLength, "f.xlsx"},
		{"a long text in a cell", sheet(`<row><c r="B1" t="str"><v>` + repeat(20_000, "%d ") + `</v></c></row>`), "too-large", textLength, "f.xlsx: Jars!B1"},
		{"nesting", zipOf(t, parts(rowsOf(""), entry{"xl/styles.xml", repeat(40_000, "<a b='%d'>")})...), "too-large", xmlDepth, "f.xlsx"},
		{"nesting in a cell", sheet(`<row><c r="A1">` + repeat(40_000, "<a b='%d'>") + `</c></row>`), "too-large", xmlDepth, "f.xlsx: Jars!A1"},
		{"attributes", sheet("<row " + repeat(200_000, "a%d='1' ") + "/>"), "", 0, ""},
		{"hidden columns", zipOf(t, parts("<worksheet><cols>"+repeat(100_000, `<col min="1" max="16384" hidden="1" width="%d"/>`)+"</cols></worksheet>")...), "sheet-unreadable", 0, "f.xlsx: Jars"},
		{"entities", sheet(`<!DOCTYPE a [<!ENTITY a "aaaaaaaa">]><row/>`), "sheet-unreadable", 0, "f.xlsx: Jars"},
		{"packed well", zipOf(t, parts(rowsOf(""), entry{"xl/theme.xml", strings.Repeat("<a>1234567</a>", 70_000)})...), "", 0, ""},
		{"parts", zipOf(t, many(zipParts.Most()+1)...), "too-large", zipParts, "f.xlsx"},
		{"parts allowed", zipOf(t, many(zipParts.Most())...), "", 0, ""},
		{"sheets", zipOf(t, parts(rowsOf(""), entry{"xl/workbook.xml", "<workbook><sheets>" + tabs + "</sheets></workbook>"})...), "too-large", sheetCount, "f.xlsx"},
	}
	oneText := func(words int) []byte {
		return zipOf(t, parts(rowsOf(repeat(300_000, `<row r="%d"><c t="s"><v>0</v></c></row>`)),
			entry{"xl/sharedStrings.xml", "<sst><si><t>" + strings.Repeat("xyz ", words) + "</t></si></sst>"})...)
	}
	blanks, first := strings.Repeat(" ", 1<<20), []string{"xl/worksheets/sheet1.xml"}
	if !testing.Short() {
		list = append(list, []hostile{
			{"texts", zipOf(t, parts(rowsOf(""), entry{"xl/sharedStrings.xml", "<sst>" + repeat(stringCount.Most()+1, `<si><t>%d</t></si>`) + "</sst>"})...), "too-large", stringCount, "f.xlsx"},
			{"blanks", zipTimes(t, 97, blanks, first), "too-large", partBytes, "f.xlsx"},
			{"zeros", zipTimes(t, 90, blanks, first), "too-large", unpackRatio, "f.xlsx"},
			{"a year of minutes", sheet(yearRows()), "", 0, ""},
			{"one text in every cell", oneText(24_000), "too-large", cellTexts, "f.xlsx: Jars!A350"}, // 32 MB / 96,000 = 349.5
			{"one text in every cell allowed", oneText(25), "", 0, ""},
		}...)
	}
	for _, x := range list {
		err := measured(t, x.name, len(x.data), func() error { _, err := open(t, x.data); return err })
		if x.code == "" && err != nil {
			t.Errorf("%s: %v", x.name, err)
		} else if x.code == "too-large" {
			wants(t, x.name, err, x.code, x.place, x.limit.Fault(note.Place{}).Message)
		} else if x.code != "" {
			wants(t, x.name, err, x.code, x.place, "")
		}
	}
	if testing.Short() {
		return
	}
	// Many parts that are each allowed are too much together.
	data := zipTimes(t, 800, repeat(5000, "<row a='%d'/>"), []string{"xl/a.xml", "xl/b.xml", "xl/c.xml"}, parts(rowsOf(""))...)
	err := measured(t, "all parts", len(data), func() error { _, err := open(t, data); return err })
	wants(t, "all parts", err, "too-large", "f.xlsx", unpackedBytes.Fault(note.Place{}).Message)
}

func TestHostileTexts(t *testing.T) {
	sheet := func(text []byte) error {
		f, err := Open("f.csv", text, heads)
		if err == nil {
			_, _, err = f.Text.Sheet()
		}
		return err
	}
	log := func(text []byte) error {
		f, err := Open("f.csv", text, Words{})
		if err == nil {
			_, err = f.Text.Records(f.Text.Separator())
		}
		return err
	}
	quote := []byte("Jar,Alum\n\"" + repeat(200_000, "%d,%d\n"))
	for _, x := range []struct {
		name  string
		text  []byte
		read  func([]byte) error
		code  string
		limit limit
		place string
	}{
		{"a large file", make([]byte, fileBytes.Most()+1), sheet, "too-large", fileBytes, "f.csv"},
		{"commas", bytes.Repeat([]byte(","), 8<<20), sheet, "too-large", columnNumber, "f.csv: line 1"},
		{"commas in a log", append([]byte("a,b\n"), bytes.Repeat([]byte(","), 8<<20)...), log, "too-large", columnNumber, "f.csv: line 2"},
		{"columns allowed in a log", append([]byte("a,b\n"), bytes.Repeat([]byte(","), columnNumber.Most()-1)...), log, "", 0, ""},
		{"quotes and commas", bytes.Repeat([]byte(`"",`), 2<<20), sheet, "too-large", columnNumber, "f.csv: line 1"},
		{"blanks apart", bytes.Repeat([]byte("a  "), 2<<20), sheet, "too-large", columnNumber, "f.csv: line 1"},
		{"cells", bytes.Repeat([]byte("1,2,3,4,5,6,7,8,9,10\n"), 240_001), sheet, "too-large", cellCount, "f.csv: line 240001"},
		{"cells allowed", bytes.Repeat([]byte("1,2,3,4,5,6,7,8,9,10\n"), 120_000), sheet, "", 0, ""},
		{"lines", bytes.Repeat([]byte("\n"), 1<<20+100), func(b []byte) error { return sheet(append([]byte("Jar,Alum"), b...)) }, "too-large", rowNumber, "f.csv: line 1048577"},
		{"lines of a log", bytes.Repeat([]byte("1,2\n"), lineCount.Most()), log, "too-large", lineCount, "f.csv"},
		{"lines allowed in a log", bytes.Repeat([]byte("1,2\n"), lineCount.Most()-1), log, "", 0, ""},
		{"a long cell", []byte("Jar,Alum\n1," + strings.Repeat("x", textLength.Most()+1)), sheet, "too-large", textLength, "f.csv: B2"},
		{"a lost quote in a long file", quote, sheet, "stray-quote", 0, "f.csv: line 2"},
		{"a lost quote in a long log", quote, log, "stray-quote", 0, "f.csv: line 2"},
		{"a lost quote in each line", bytes.Repeat([]byte("1,\"2\n"), 400_000), sheet, "stray-quote", 0, "f.csv: line 1"},
		{"sep= and a line end", append([]byte("sep=\n"), bytes.Repeat([]byte("1,2\n"), 200_000)...), sheet, "", 0, ""},
		{"sep= and a line end of another system", append([]byte("sep=\r\n"), bytes.Repeat([]byte("1,2\r\n"), 200_000)...), sheet, "", 0, ""},
	} {
		if testing.Short() && len(x.text) > 3<<20 {
			continue
		}
		err := measured(t, x.name, len(x.text), func() error { return x.read(x.text) })
		switch {
		case x.code == "" && err != nil:
			t.Errorf("%s: %v", x.name, err)
		case x.code == "too-large":
			wants(t, x.name, err, x.code, x.place, x.limit.Fault(note.Place{}).Message)
		case x.code != "":
			wants(t, x.name, err, x.code, x.place, "")
		}
	}
	if _, err := ReadAll("f", bytes.NewReader(make([]byte, fileBytes.Most()+1))); err == nil {
		t.Error("a file of any size is read in")
	}
	if data, err := ReadAll("f", bytes.NewReader(make([]byte, 99))); err != nil || len(data) != 99 {
		t.Errorf("%d bytes, %v", len(data), err)
	}
}

// yearRows is a year of minutes, a time and a flow each.
func yearRows() string {
	return repeat(525_600, `<row r="%d"><c r="A%d" s="2"><v>45350.%d</v></c><c r="B%d"><v>3.%d</v></c></row>`)
}

func BenchmarkYearWorkbook(b *testing.B) {
	data := zipOf(b, parts(rowsOf(yearRows()))...)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := open(b, data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMillionCellsOfText(b *testing.B) {
	data := bytes.Repeat([]byte("1,2,3,4,5,6,7,8,9,10\n"), 120_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := Open("f.csv", data, heads)
		if err == nil {
			_, _, err = f.Text.Sheet()
		}
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMillionRows is a log of three columns that is refused for its length, at a line that is told:
// 1.9 s and 312 MB when its cells were made first, 1 s and 125 MB since.
func BenchmarkMillionRows(b *testing.B) {
	data := bytes.Repeat([]byte("86399,3.61,24.37\n"), 1_000_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		f, err := Open("f.csv", data, heads)
		if err == nil {
			_, _, err = f.Text.Sheet()
		}
		if err == nil || !strings.Contains(err.Error(), "line 800001") {
			b.Fatal(err)
		}
	}
}

// Every limit has its words, and numbers that go together do.
func TestLimitTable(t *testing.T) {
	for l := range limits {
		x := limits[l]
		if x.name == "" || x.most <= 0 || x.unit <= 0 || x.most%x.unit != 0 || strings.Count(x.says, "%d") != 1 || x.do == "" || x.reason == "" {
			t.Errorf("limit %d is not whole: %+v", l, x)
		}
		n := limit(l).Fault(note.Place{File: "f", Cell: "A1"})
		if n.Code != "too-large" || n.Cell != "A1" || !strings.Contains(n.Message, fmt.Sprint(x.most/x.unit)) || strings.Contains(n.Message, "%!") {
			t.Errorf("limit %v says %v", limit(l), n)
		}
	}
	if partBytes.Most() > unpackedBytes.Most() || cellCount.Most() < 2*525_600 || cellCount.Most() > areaCells.Most() || lineCount.Most() < 525_600 {
		t.Error("limits do not go together")
	}
}
