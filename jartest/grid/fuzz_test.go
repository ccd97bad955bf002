package grid

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// whole checks what holds of any file: an error with its remedy and its file, or
// the same cells each time, within the limits.
func whole(t *testing.T, name string, data []byte, read func() ([]*Sheet, error)) {
	t.Helper()
	sheets, err := read()
	if err != nil {
		for _, n := range note.Of(err, "?") {
			if n.Level != note.Error || n.Code == "?" || n.Message == "" || n.Remedy == "" || n.File != name {
				t.Fatalf("an error without words, file or remedy: %+v", n)
			}
		}
		return
	}
	again, err := read()
	if err != nil || all(again) != all(sheets) {
		t.Fatalf("a second reading differs (%v):\n%s\nfirst:\n%s", err, all(again), all(sheets))
	}
	cells := 0
	for _, s := range sheets {
		if s.Fault != nil && (len(s.Rows) > 0 || s.Fault.Remedy == "" || s.Fault.File != name) {
			t.Fatalf("a sheet with a fault has %d rows: %v", len(s.Rows), s.Fault)
		}
		if len(s.Rows)*s.Width() > areaCells.Most() || len(s.Merges) > mergeCount.Most() || s.Lines != nil && len(s.Lines) != len(s.Rows) {
			t.Fatalf("%d rows, %d columns, %d merges, %d lines", len(s.Rows), s.Width(), len(s.Merges), len(s.Lines))
		}
		for i := range s.Lines {
			if i > 0 && s.Lines[i] <= s.Lines[i-1] {
				t.Fatalf("lines run backwards: %d after %d", s.Lines[i], s.Lines[i-1])
			}
		}
		text := 0
		for _, row := range s.Rows {
			cells += len(row)
			for _, c := range row {
				if s.Separator != 0 {
					text += len(c.Text)
				}
				if len(c.Text) > textLength.Most() || strings.ContainsRune(c.Text, 0) || c.Kind == Empty && c.Text != "" {
					t.Fatalf("cell %+.200v", c)
				}
			}
		}
		if text > 4*len(data)+16 {
			t.Fatalf("%d bytes of cells out of %d", text, len(data))
		}
	}
	if cells > cellCount.Most() {
		t.Fatalf("%d cells", cells)
	}
}

// FuzzWorkbook: any bytes, as they are and as the sheet of a whole workbook.
func FuzzWorkbook(f *testing.F) {
	book := benchBook(f)
	f.Add(book)
	f.Add(book[:len(book)/2])
	f.Add(siteBook(f))
	f.Add([]byte(rowsOf(`<row r="2" hidden="1"><c r="C2" t="s"><v>1</v></c><c><f>A1</f><v>2</v></c></row>`)))
	f.Add([]byte(`<worksheet><cols><col min="2" max="3" hidden="1"/></cols><sheetData><row><c t="inlineStr"><is><r><t>a</t></r></is></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells></worksheet>`))
	f.Add([]byte(`<worksheet><!-- x --><?y?><sheetData><row><c s="2"><v>4&#x35;</v></c><c t="e"><v>#N/A</v></c></row></sheetData></worksheet>`))
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<16 {
			return
		}
		whole(t, "f.xlsx", data, func() ([]*Sheet, error) { return Workbook("f.xlsx", data) })
		if !isZip(data) {
			book := zipOf(t, parts(string(data))...)
			whole(t, "f.xlsx", book, func() ([]*Sheet, error) { return Workbook("f.xlsx", book) })
			sameXML(t, string(data))
		}
	})
}

// sameXML holds the scanner against the library's decoder: what it takes, the
// library takes too, with the same elements and texts.
func sameXML(t *testing.T, s string) {
	var ours, theirs strings.Builder
	x, err := newScanner(s)
	if err != nil {
		return
	}
	for {
		k, err := x.next()
		if err != nil {
			return // stricter than the library it may be
		}
		if k == atEnd {
			break
		}
		switch k {
		case opens:
			ours.WriteString("<" + x.name + ">")
		case closes:
			ours.WriteString("</>")
		case says:
			text := x.text
			if !x.cdata {
				if text, err = unescape(text); err != nil {
					return
				}
			}
			ours.WriteString(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"))
		}
	}
	d := xml.NewDecoder(strings.NewReader(x.s))
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	for depth := 0; ; {
		tok, err := d.RawToken()
		if err == io.EOF {
			break
		}
		if err != nil {
			if oddName(x.s) {
				return
			}
			t.Fatalf("%q is taken, and the library says %v", s, err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			depth++
			theirs.WriteString("<" + tok.Name.Local + ">")
		case xml.EndElement:
			depth--
			theirs.WriteString("</>")
		case xml.CharData:
			if depth > 0 {
				theirs.WriteString(strings.ReplaceAll(string(tok), "\r", "\n"))
			}
		}
	}
	if ours.String() != theirs.String() && !oddName(x.s) {
		t.Fatalf("%q is read as\n%s\nthe library reads\n%s", s, ours.String(), theirs.String())
	}
}

// oddName reports signs in which the library is stricter about names, versions
// and instructions, none of which reach a cell.
func oddName(s string) bool {
	return strings.Contains(s, "<?") || strings.Contains(s, "<!--") || strings.Contains(s, "]]>") || strings.ContainsFunc(s, func(r rune) bool { return r >= 0x80 || r == ':' }) ||
		strings.Contains(s, "<-") || strings.Contains(s, "<.") || strings.Contains(s, " -") || strings.Contains(s, " .") || strings.ContainsAny(s, "\t\r&")
}

// FuzzText: any bytes as a text table and as a log.
func FuzzText(f *testing.F) {
	for _, s := range []string{"Jar,Alum\n1,10\n", "sep=;\na;b\n1;2\n", "sep=\r\na\n", "\"a\nb\",c\n1,2\n", "1,\"2\n3,4\n", "a|b\n-|-\n1|2\n", "Jar   Alum\n1     2\n", "\ufeffa\tb\n",
		"\xff\xfeJ\x00a\x00,\x00b\x00", "Tr\xfcbung;NTU\n1;2\n", "a,5\" b\n\"x\" y,2\n", "1,2\x00\n", "\n\n,,,\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<16 || isZip(data) {
			return
		}
		whole(t, "f.csv", data, func() ([]*Sheet, error) {
			x, err := Open("f.csv", data, heads)
			if err != nil {
				return nil, err
			}
			s, _, err := x.Text.Sheet()
			return []*Sheet{s}, err
		})
		x, err := Open("f.csv", data, Words{})
		if err != nil {
			return
		}
		sep := x.Text.Separator()
		rows, err := x.Text.Records(sep)
		if err != nil {
			return
		}
		if s, _, err := x.Text.cells(sep, nil, rowNumber.Most()); err == nil && sep != '|' {
			i := 0
			for line, fields := range rows { // the two ways to walk a text agree
				if s.Lines[i] != line || len(s.Rows[i]) > 0 && len(s.Rows[i]) != len(fields) || !bytes.HasPrefix(fields[0], []byte("=")) && s.At(i, 0).Text != strings.ReplaceAll(string(fields[0]), "\r\n", "\n") {
					t.Fatalf("row %d: line %d, %v; the log has line %d, %q", i, s.Lines[i], s.Rows[i], line, fields)
				}
				i++
			}
		}
	})
}
