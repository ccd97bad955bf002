package grid

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"jarwright/jartest/note"
)

// heads are the headings of this file's tables.
var heads = Words{
	Heading: func(s string) bool { return s == "Jar" || s == "Alum" || s == "NTU" || s == "Trübung" },
	Known: func(s string) int {
		if strings.Contains(s, "Trübung") {
			return 1
		}
		return 0
	},
}

// table reads a text and writes its rows with " | " between cells, "~" for empty
// ones, and the line before each.
func table(t *testing.T, text string) (string, rune, note.List, error) {
	t.Helper()
	f, err := Open("f.csv", []byte(text), heads)
	if err != nil {
		return "", 0, nil, err
	}
	s, notes, err := f.Text.Sheet()
	if err != nil {
		return "", 0, notes, err
	}
	var b strings.Builder
	for r, row := range s.Rows {
		var cells []string
		for _, c := range row {
			if c.Kind == Empty {
				c.Text = "~"
			} else if c.Kind == Faulty {
				c.Text += "!"
			}
			cells = append(cells, c.Text)
		}
		fmt.Fprintf(&b, "%d: %s\n", s.Line(r), strings.Join(cells, " | "))
	}
	return b.String(), s.Separator, notes, nil
}

func TestTextTables(t *testing.T) {
	for name, x := range map[string]struct {
		text, want string
		sep        rune
	}{
		"comma":          {"Jar,Alum,NTU\n1,10,30\n2,,4.5\n", "1: Jar | Alum | NTU\n2: 1 | 10 | 30\n3: 2 | ~ | 4.5\n", ','},
		"semicolon":      {"Jar;Alum;NTU\n1;10;3,5\n2;20;4,5\n", "1: Jar | Alum | NTU\n2: 1 | 10 | 3,5\n3: 2 | 20 | 4,5\n", ';'},
		"tab":            {"Jar\tAlum\tNTU\n1\t10\t3,5\n", "1: Jar | Alum | NTU\n2: 1 | 10 | 3,5\n", '\t'},
		"bar":            {"| Jar | Alum |\n|---|---|\n| 1 | 10 |\n", "1: Jar | Alum\n3: 1 | 10\n", '|'},
		"bar outside":    {"Jar|Alum\n1|10\n", "1: Jar | Alum\n2: 1 | 10\n", '|'},
		"aligned":        {"Jar   Alum   NTU\n---   ----   ---\n1     10     30\n2     20     4.5\n", "1: Jar | Alum | NTU\n2: \n3: 1 | 10 | 30\n4: 2 | 20 | 4.5\n", ' '},
		"single blank":   {"Jar Alum NTU\n1 10 30\n", "1: Jar | Alum | NTU\n2: 1 | 10 | 30\n", ' '},
		"blank lines":    {"\nJar,Alum\r\n\r\n1,10\r\n", "1: \n2: Jar | Alum\n3: \n4: 1 | 10\n", ','},
		"quotes":         {"Jar,\"Alum\"\n1,\"a, b\"\n2,\"say \"\"x\"\"\"\n3 , \"c\" \n", "1: Jar | Alum\n2: 1 | a, b\n3: 2 | say \"x\"\n4: 3 | c\n", ','},
		"quoted last":    {"Jar,Alum\n1,\"a\"", "1: Jar | Alum\n2: 1 | a\n", ','},
		"two lines":      {"Jar,\"Alum\r\n(mg/L)\",NTU\n1,10,5\n", "1: Jar | Alum\n(mg/L) | NTU\n3: 1 | 10 | 5\n", ','},
		"inches":         {"Jar,Alum\n5\" tube,7\n6\",8\n", "1: Jar | Alum\n2: 5\" tube | 7\n3: 6\" | 8\n", ','},
		"word":           {"\"Beck\" after storm,x\nJar,Alum\nthe \"old\" jar,7\n", "1: \"Beck\" after storm | x\n2: Jar | Alum\n3: the \"old\" jar | 7\n", ','},
		"remark":         {"Jar,Alum,\"good,\nfine\"\n1,2,3\n", "1: Jar | Alum | good,\nfine\n3: 1 | 2 | 3\n", ','},
		"errors":         {"Jar,Alum\n1,#N/A\n=\"2\",\"=\"\"3\"\"\"\n=\"\",4\n", "1: Jar | Alum\n2: 1 | #N/A!\n3: 2 | 3\n4: =\"\" | 4\n", ','},
		"sep":            {"sep=;\nJar;Alum,b\n1;2\n", "2: Jar | Alum,b\n3: 1 | 2\n", ';'},
		"sep in quote":   {"\"sep=;\"\r\nJar;Alum\r\n1;2\r\n", "2: Jar | Alum\n3: 1 | 2\n", ';'},
		"sep empty":      {"sep=\nJar;Alum\n1;2\n", "2: Jar | Alum\n3: 1 | 2\n", ';'},
		"sep empty cr":   {"sep=\r\nJar;Alum\r\n1;2\r\n", "2: Jar | Alum\n3: 1 | 2\n", ';'},
		"sep quote":      {"sep=\"\nJar;Alum\n1;2\n", "2: Jar | Alum\n3: 1 | 2\n", ';'},
		"sep of two":     {"sep=;;\nJar;Alum\n1;2\n", "1: sep= | ~ | ~\n2: Jar | Alum\n3: 1 | 2\n", ';'},
		"sep of its own": {"sep=.\nJar.Alum,b\n1.2,3\n", "2: Jar | Alum,b\n3: 1 | 2,3\n", '.'},
		"sep odd":        {"sep=·\nJar·Alum\n1·2\n", "2: Jar | Alum\n3: 1 | 2\n", '·'},
		"mark":           {"\ufeffJar,Alum\n1,2\n", "1: Jar | Alum\n2: 1 | 2\n", ','},
		"mark, tabs":     {"\ufeffJar\tAlum\n1\t2\n", "1: Jar | Alum\n2: 1 | 2\n", '\t'},
		"mark, blanks":   {"\ufeffJar   Alum\n1     2\n", "1: Jar | Alum\n2: 1 | 2\n", ' '},
		"mark and sep":   {"\ufeffsep=;\nJar;Alum\n1;2\n", "2: Jar | Alum\n3: 1 | 2\n", ';'},
	} {
		got, sep, notes, err := table(t, x.text)
		if err != nil || got != x.want || sep != x.sep || len(notes) > 0 {
			t.Errorf("%s: got\n%s(%q, %v, %v) want\n%s(%q)", name, got, sep, notes, err, x.want, x.sep)
		}
	}
	if _, _, notes, err := table(t, "a note\nand another\n"); err != nil || len(notes) > 0 {
		t.Errorf("two words a line: %v, %v", notes, err)
	}
	if _, _, notes, err := table(t, "note\nanother\n"); err != nil || len(notes) != 1 || notes[0].Code != "one-column" || notes[0].File != "f.csv" {
		t.Errorf("one column: %v, %v", notes, err)
	}
}

// Of two signs the one counts under which the cells are headings and numbers; where both
// do as well, the other is named.
func TestSeparatorBySense(t *testing.T) {
	f := heads
	f.Data = func(s string) bool { return regexp.MustCompile(`^\d+(,\d+)?$`).MatchString(s) }
	for text, want := range map[string]struct {
		sep    rune
		unsure bool
	}{
		"Alum, mg;NTU, x;NTU, y\n0;22,0;31,0\n10;14,1;22,4\n20;6,3;11,9\n": {';', false},
		"Jar,Alum,NTU\n1,10;a,30\n2,20;b,4\n":                              {',', false},
		"Jar;x,Jar\n1;x,1\n4;x,4\n":                                        {',', true},
		"a,b;c\n":                                                          {',', false}, // one line alone tells nothing
	} {
		o, err := Open("f.csv", []byte(text), f)
		if err != nil {
			t.Fatal(err)
		}
		s, notes, err := o.Text.Sheet()
		if err != nil || s.Separator != want.sep || (len(notes) == 1 && notes[0].Code == "separator-unsure") != want.unsure {
			t.Errorf("%q is split at %q, %v, %v", text, s.Separator, notes, err)
		}
	}
}

func TestGaps(t *testing.T) {
	for line, want := range map[string][2]string{
		"a  b":      {"a|b", "a|b"},
		"a b   c d": {"a b|c d", "a|b|c|d"},
		"a\tb\t\tc": {"a|b|c", "a|b|c"},
		"a \tb":     {"a |b", "a|b"},
		"a\t b":     {"a| b", "a|b"},
		"a":         {"a", "a"},
		"a  ":       {"a|", "a|"},
	} {
		for i, g := range []*regexp.Regexp{wideGap, anyBlank} {
			if got := strings.Join(g.Split(line, columnNumber.Most()+1), "|"); got != want[i] {
				t.Errorf("%q is cut into %q, want %q", line, got, want[i])
			}
		}
	}
	for line, want := range map[string]bool{"---": true, "|:--|==|": true, "+ - +": true, "": false, "- a": false} {
		if dashed([]byte(line)) != want {
			t.Errorf("%q rules off: %v", line, !want)
		}
	}
}

// A quote that is lost is told by its line and swallows nothing.
func TestStrayQuotes(t *testing.T) {
	for name, x := range map[string]struct{ text, place, says string }{
		"unclosed":        {"Jar,Alum,NTU\n1,10,\"30\n2,20,4.5\n", "f.csv: line 2", "opens a field here and does not close it"},
		"closed far down": {"Jar,Alum,NTU\n1,\"10,30\n2,20,4.5\n3,\"x\",4\n", "f.csv: line 2", "opens a field here"},
		"like other rows": {"Jar,Alum,NTU\n1,10,\"30\n2,20,4.5\n3,30,4\"\n4,40,3\n", "f.csv: line 2", "runs over 3 lines like other rows"},
		"in a field":      {"Jar,Alum,NTU\n1,a\"b,3\n", "f.csv: line 2", "inside a field that does not begin with one"},
		"comma in it":     {"Jar,Alum,NTU\n1,the \"old, cold\" jar,3\n", "f.csv: line 2", "inside a field"},
		"after a field":   {"Jar,Alum,NTU\n1,\"a\"b\",3\n", "f.csv: line 2", "opens a field"},
		"ditto":           {"Jar,Alum,NTU\n1,10,3\n2,\",4\n", "f.csv: line 3", "opens a field here and does not close it"},
		"alone":           {"Jar,Alum\n\"", "f.csv: line 2", "does not close it"},
		"with tabs":       {"\ufeffJar\tAlum\n1\t\"2\n", "f.csv: line 2", "does not close it"},
	} {
		_, _, _, err := table(t, x.text)
		wants(t, name, err, "stray-quote", x.place, x.says)
		f, err := Open("f.csv", []byte(x.text), Words{})
		if err != nil {
			t.Fatal(err)
		}
		_, err = f.Text.Records(f.Text.Separator())
		wants(t, name+", as a log", err, "stray-quote", x.place, x.says)
	}
	_, _, _, err := table(t, "Jar,Alum\n1,\"2\n2,3\n3,\"4\n4,\"5\n")
	if l := note.Of(err, "?"); len(l) != 3 || l[0].Cell != "line 2" || l[1].Cell != "line 4" || l[2].Cell != "line 5" {
		t.Errorf("three lost quotes: %v", err)
	}
	_, _, _, err = table(t, "Jar,Alum\n"+strings.Repeat("1,\"2\n", 60))
	if l := note.Of(err, "?"); len(l) != quoteFaults.Most()+1 {
		t.Errorf("sixty lost quotes give %d faults", len(l))
	}
}

func TestEncodings(t *testing.T) {
	const text = "Jar;Trübung;µ\n1;2;3\n"
	latin, err := charmap.Windows1252.NewEncoder().String(text)
	if err != nil {
		t.Fatal(err)
	}
	mac, err := charmap.Macintosh.NewEncoder().String(text)
	if err != nil {
		t.Fatal(err)
	}
	wide := func(big, mark bool) string {
		u := utf16.Encode([]rune(text + "𝛼"))
		if mark {
			u = append([]uint16{0xfeff}, u...)
		}
		var b []byte
		for _, x := range u {
			if big {
				b = append(b, byte(x>>8), byte(x))
			} else {
				b = append(b, byte(x), byte(x>>8))
			}
		}
		return string(b)
	}
	for name, x := range map[string]struct{ data, says string }{
		"UTF-8": {text, ""}, "Windows-1252": {latin, "read as Windows-1252"}, "Macintosh": {mac, "read as Macintosh"},
		"UTF-16 little": {wide(false, false), ""}, "UTF-16 big": {wide(true, false), ""}, "UTF-16 little, marked": {wide(false, true), ""}, "UTF-16 big, marked": {wide(true, true), ""},
	} {
		got, notes := decode("f.csv", []byte(x.data), heads)
		if g := strings.TrimSuffix(string(got), "𝛼"); g != text || strings.HasPrefix(name, "UTF-16") != strings.HasSuffix(string(got), "𝛼") {
			t.Errorf("%s reads %q", name, got)
		}
		if (x.says == "") != (len(notes) == 0) || x.says != "" && !strings.Contains(notes[0].Message, x.says) {
			t.Errorf("%s says %v, want %q", name, notes, x.says)
		}
	}
	if got, _ := decode("f.csv", []byte(latin), Words{}); string(got) != text {
		t.Errorf("without words Windows-1252 reads %q", got)
	}
	if got, notes := decode("f.csv", []byte("\xef\xbb\xbfa\xffb"), Words{}); string(got) != "a\uFFFDb" || len(notes) != 0 {
		t.Errorf("a wrong sign behind the mark reads %q, %v", got, notes)
	}
	_, notes := decode("f.csv", []byte("Jar,Alum\n1,2\n2,3\x004\n"), heads)
	wants(t, "NUL", notes.Err(), "nul-byte", "f.csv: line 3", "zero byte")
	_, _, _, err = table(t, "Jar,Alum\n1,2\n2,3\x004\n")
	wants(t, "NUL in a file", err, "nul-byte", "f.csv: line 3", "zero byte")
	if got := utf16Text([]byte{0x00, 0xd8, 'a', 0, 'b'}, unicode.LittleEndian); string(got) != "\uFFFDa" {
		t.Errorf("half a pair reads %q", got)
	}
}

// What a split is worth: a point for each filled cell, up to twelve a row, of a
// row as long as the one above, and three for each heading, up to twenty.
func TestScore(t *testing.T) {
	row := func(n int, text string) (out []Cell) {
		for range n {
			out = append(out, textCell(text))
		}
		return out
	}
	long := strings.Repeat("x", 59)
	words := Words{Heading: func(s string) bool { return s == "Jar" || strings.HasPrefix(s, long) }}
	for name, x := range map[string]struct {
		rows [][]Cell
		want float64
	}{
		"nothing":           {nil, 0},
		"one column":        {[][]Cell{row(1, "Jar"), row(1, "1")}, 0},
		"two by two":        {[][]Cell{row(2, "a"), row(2, "1")}, 2},
		"heads":             {[][]Cell{row(2, "Jar"), row(2, "1"), row(2, "1")}, 10},
		"uneven":            {[][]Cell{row(2, "Jar"), row(3, "1")}, 6},
		"twelve":            {[][]Cell{row(12, "a"), row(12, "1")}, 12},
		"thirteen":          {[][]Cell{row(13, "a"), row(13, "1")}, 12},
		"twenty heads":      {[][]Cell{row(20, "Jar")}, 60},
		"twenty-one heads":  {[][]Cell{row(21, "Jar")}, 60},
		"a long heading":    {[][]Cell{row(2, long)}, 6},
		"too long":          {[][]Cell{row(2, long+"x")}, 0},
		"faults":            {[][]Cell{row(2, "#N/A"), row(2, "")}, 0},
		"half filled":       {[][]Cell{row(4, "a"), append(row(2, "1"), row(2, "")...)}, 2},
		"an empty row even": {[][]Cell{row(2, ""), row(2, "1")}, 2},
	} {
		if got, _ := (&Text{words: words}).score(&Sheet{Rows: x.rows}); got != x.want {
			t.Errorf("%s is worth %g, want %g", name, got, x.want)
		}
	}
	if got, known := (&Text{}).score(&Sheet{Rows: [][]Cell{row(2, "Jar"), row(2, "1")}}); got != 2 || known != 1 {
		t.Errorf("without words two by two is worth %g, with %g known", got, known)
	}
	words.Data = func(s string) bool { return s == "1" }
	for cell, want := range map[string]float64{"Jar": 1, "1": 1, "odd": 3. / 5} {
		if _, known := (&Text{words: words}).score(&Sheet{Rows: [][]Cell{row(1, "odd"), row(2, cell), row(2, "1")}}); known != want {
			t.Errorf("with rows of %q %g is known, want %g", cell, known, want)
		}
	}
}

// UTF-16 without a mark is told by zero bytes: more than a quarter of the first
// 512 in one half, less than a sixteenth in the other.
func TestUTF16Order(t *testing.T) {
	make64 := func(even, odd int) []byte {
		b := bytes.Repeat([]byte("a"), 64)
		for i := range even {
			b[2*i] = 0
		}
		for i := range odd {
			b[2*i+1] = 0
		}
		return b
	}
	for _, x := range []struct {
		even, odd int
		want      string
	}{
		{0, 16, ""}, {0, 17, "little"}, {3, 17, "little"}, {4, 17, ""}, {16, 0, ""}, {17, 0, "big"}, {17, 3, "big"}, {17, 4, ""}, {0, 0, ""}, {32, 32, ""},
	} {
		order, mark, ok := utf16Order(make64(x.even, x.odd))
		got := ""
		if ok {
			got = map[bool]string{true: "little", false: "big"}[order == unicode.LittleEndian]
		}
		if got != x.want || mark != 0 {
			t.Errorf("%d and %d zeros: %q, mark %d, want %q", x.even, x.odd, got, mark, x.want)
		}
	}
	late := append(bytes.Repeat([]byte("a"), 512), bytes.Repeat([]byte("a\x00"), 5000)...)
	if _, _, ok := utf16Order(late); ok {
		t.Error("zeros behind the first 512 bytes count")
	}
	for n, want := range map[int]bool{3: false, 4: true, 50: true} {
		if got := binaryData(append(bytes.Repeat([]byte("a"), 60), bytes.Repeat([]byte{1}, n)...)); got != want {
			t.Errorf("%d control bytes: %v", n, got)
		}
	}
	if binaryData(append(bytes.Repeat([]byte("a"), 500-4), 1, 2, 3, 4)) || binaryData([]byte("\t\n\v\f\r\x1b\t\t")) {
		t.Error("text passes for binary data")
	}
}

// A log is split without being kept.
func TestRecords(t *testing.T) {
	for text, want := range map[string]string{
		"a;b\n1 ; 2,5\n\n3":                 "1:a/b 2:1/2,5 3: 4:3 ",
		"time\tflow\r\n1\t\"2\"\r\n":        "1:time/flow 2:1/2 ",
		"sep=|\na|b\n":                      "2:a/b ",
		"\"t\",\"f, g\"\n1,\"x\ny\"\n2,3\n": "1:t/f, g 2:1/x\ny 4:2/3 ",
		"a,b;c,d;e,f;g\n":                   "1:a,b/c,d/e,f/g ",
		"a|b|c\n":                           "1:a/b/c ",
		"alone\n":                           "1:alone ",
	} {
		f, err := Open("f.csv", []byte(text), Words{})
		if err != nil {
			t.Fatal(err)
		}
		rows, err := f.Text.Records(f.Text.Separator())
		if err != nil {
			t.Fatal(err)
		}
		for range 2 { // as often as asked for
			var b strings.Builder
			for line, fields := range rows {
				fmt.Fprintf(&b, "%d:%s ", line, bytes.Join(fields, []byte("/")))
			}
			if b.String() != want {
				t.Errorf("%q gives %q, want %q", text, b.String(), want)
			}
		}
		for range rows {
			break // and may be left
		}
		if n := f.Text.Lines(); n < strings.Count(text, "\n") {
			t.Errorf("%q has %d lines", text, n)
		}
	}
}

// Files that are no sheets: what they are, and what to do instead.
func TestStrangers(t *testing.T) {
	ole := "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1" + strings.Repeat("\x00", 600)
	for name, x := range map[string]struct{ data, code, says string }{
		"nothing":     {"", "empty-file", "0 bytes"},
		"blanks":      {" \n\n\t", "empty-file", "nothing but blanks"},
		"xls":         {ole, "old-xls", ".xls"},
		"locked":      {ole + utf16Bytes("EncryptedPackage"), "encrypted", "password"},
		"locked too":  {ole + utf16Bytes("EncryptionInfo"), "encrypted", "password"},
		"pdf":         {"%PDF-1.7\n", "pdf", "PDF"},
		"page":        {"<html><table><tr><td>Jar</td></tr></table></html>", "html", "HTML"},
		"page 5":      {" \n<!DOCTYPE html><table>", "html", "HTML"},
		"table":       {"\ufeff<TABLE><tr>", "html", "HTML"},
		"xml":         {`<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet">`, "xml-sheet", "2003"},
		"flat ods":    {`<?xml version="1.0"?><office:document xmlns="urn:oasis:names:tc:opendocument:xmlns:office:1.0">`, "ods", "OpenDocument"},
		"rtf":         {"{\\rtf1 Jar}", "rtf", "word-processor"},
		"picture":     {"\x89PNG\r\n\x1a\n" + strings.Repeat("\x00", 200), "not-a-sheet", "not a spreadsheet"},
		"ods":         {string(zipOf(t, entry{"mimetype", "x"}, entry{"content.xml", "x"}, entry{"META-INF/manifest.xml", "x"})), "other-format", ".ods"},
		"xlsb":        {string(zipOf(t, entry{"[Content_Types].xml", "x"}, entry{"xl/workbook.bin", "x"})), "other-format", ".xlsb"},
		"docx":        {string(zipOf(t, entry{"[Content_Types].xml", "x"}, entry{"word/document.xml", "x"})), "other-format", "word-processor"},
		"numbers":     {string(zipOf(t, entry{"Index/Document.iwa", "x"})), "other-format", "another maker"},
		"zip":         {string(zipOf(t, entry{"jars.csv", "x"})), "not-a-sheet", "zip archive"},
		"empty zip":   {string(zipOf(t)), "not-a-sheet", "zip archive"},
		"cut":         {string(zipOf(t, parts(rowsOf(""))...)[:300]), "damaged-file", "its end is missing"},
		"begin alone": {"PK\x03\x04", "damaged-file", "its end is missing"},
	} {
		_, err := Open("f", []byte(x.data), Words{})
		wants(t, name, err, x.code, "f", x.says)
		_, err = Workbook("f", []byte(x.data))
		wants(t, name+" for a workbook", err, x.code, "f", x.says)
	}
	_, err := Workbook("f", []byte("a,b\n1,2\n"))
	wants(t, "text for a workbook", err, "not-a-workbook", "f", "plain text")
	if s, err := Workbook("f", zipOf(t, parts(rowsOf(""))...)); err != nil || len(s) != 1 {
		t.Errorf("a workbook: %v, %v", s, err)
	}
	if _, err := Open("f", []byte("<5 mg/L,7\n"), Words{}); err != nil {
		t.Errorf("a text that begins with <: %v", err)
	}
	if _, err := Open("f", []byte("a\x01\x02\x03,7\n"), Words{}); err != nil {
		t.Errorf("three odd bytes: %v", err)
	}
}

// TestOverfull: the cells of a text are counted as they are made, rules and frames of bars left out; 2 x 3, 1 and 2 on paper.
func TestOverfull(t *testing.T) {
	for text, n := range map[string]int{"a,b,c\n1,2,3\n\nx\n4,5\n": 9, "|a|b|c|\n|---|---|---|\n|1|2|3|\n\n|x|\n|4|5|\n": 9, "a,\"b,\nc\",d\n": 3} {
		f, err := Open("f.csv", []byte(text), Words{})
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := f.Text.Sheet()
		if err != nil {
			t.Fatal(err)
		}
		made := 0
		for _, row := range s.Rows {
			made += len(row)
		}
		counted := 0
		for p := f.Text.split(s.Separator); p.next(); {
			if fields, ruled := p.record(); !ruled {
				counted += len(fields)
			}
		}
		if made != n || counted != n {
			t.Errorf("%q: %d cells made, %d counted, want %d", text, made, counted, n)
		}
	}
	for rows, line := range map[int]int{800_000: 0, 800_001: 800_001} {
		f, err := Open("f.csv", bytes.Repeat([]byte("1,2,3\n"), rows), Words{})
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Text.overfull(','); got != line {
			t.Errorf("%d rows of three: line %d, want %d", rows, got, line)
		}
	}
}

// A text that has one field a line, as sheets of one column are saved, is the lines that were written: the
// quotes are no part of them, and the signs inside part cells as they do in any text. One line of two
// fields, or a quote that is lost, and every quote means what it does elsewhere.
func TestOneFieldALine(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"\"a, 1, 2\"\n\"b, 3, 4\"\n", "a, 1, 2\nb, 3, 4\n"},
		{"plain\n\n\"b, 3\" \r\n\"say \"\"hm\"\", 4\"", "plain\n\nb, 3\nsay \"hm\", 4\n"},
		{"\"a, 1\",2\n\"b, 3\"\n", ""},
		{"\"a, 1\"\nb,3\n", ""},
		{"\"a, 1\n\"b, 3\"\n", ""},
		{"\"a\" b\n\"c\"\n", ""},
		{"a\nb\n", ""},
		{"a \"b\" c\n", ""},
	} {
		want := c.want
		if want == "" {
			want = c.text
		}
		if got := string(oneField([]byte(c.text))); got != want {
			t.Errorf("%q: %q, want %q", c.text, got, want)
		}
	}
}
