package grid

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// entry is a part of a zip to be made.
type entry struct{ name, text string }

// packer makes every part of every test's zips: a new one takes a megabyte.
var packer, _ = flate.NewWriter(nil, flate.BestSpeed)

func zipOf(t testing.TB, parts ...entry) []byte { return zipTimes(t, 0, "", nil, parts...) }

// zipTimes adds parts of these names that hold a text n times over. It is packed once and its bytes repeated, so that
// a large part costs little to make.
func zipTimes(t testing.TB, n int, text string, names []string, parts ...entry) []byte {
	t.Helper()
	var b, block bytes.Buffer
	z := zip.NewWriter(&b)
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) { packer.Reset(w); return packer, nil })
	must := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	packer.Reset(&block)
	_, err := io.WriteString(packer, text)
	must(err)
	must(packer.Flush())
	for _, p := range parts {
		w, err := z.Create(p.name)
		must(err)
		_, err = io.WriteString(w, p.text)
		must(err)
	}
	data := append(bytes.Repeat(block.Bytes(), n), 3, 0) // an empty last block
	sum := crc32.NewIEEE()
	for range n {
		io.WriteString(sum, text)
	}
	for _, name := range names {
		w, err := z.CreateRaw(&zip.FileHeader{Name: name, Method: zip.Deflate, CRC32: sum.Sum32(),
			CompressedSize64: uint64(len(data)), UncompressedSize64: uint64(n * len(text))})
		must(err)
		_, err = w.Write(data)
		must(err)
	}
	must(z.Close())
	return b.Bytes()
}

const (
	officeRel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
	topRels   = `<Relationships><Relationship Id="r1" Type="` + officeRel + `officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookRels  = `<Relationships><Relationship Id="r1" Type="` + officeRel + `worksheet" Target="worksheets/sheet1.xml"/>` +
		`<Relationship Id="r2" Type="` + officeRel + `sharedStrings" Target="/xl/sharedStrings.xml"/>` +
		`<Relationship Id="r3" Type="` + officeRel + `styles" Target="styles.xml"/></Relationships>`
	oneSheet = `<workbook><sheets><sheet name="Jars" sheetId="1" r:id="r1"/></sheets></workbook>`
	strings3 = `<sst><si><t>Alum</t></si><si><r><t>mg</t></r><r><t xml:space="preserve"> /L</t></r><rPh><t>sound</t></rPh></si><si><t>a_x000D_b &lt;5 &#181;</t></si></sst>`
	styles6  = `<styleSheet><numFmts><numFmt numFmtId="164" formatCode="0.0&quot; NTU&quot;"/></numFmts><cellStyleXfs><xf numFmtId="9"/></cellStyleXfs>` +
		`<cellXfs><xf numFmtId="0"/><xf numFmtId="10"/><xf numFmtId="14"/><xf numFmtId="20"/><xf numFmtId="164"/><xf/></cellXfs></styleSheet>`
)

// parts are those of a workbook with one sheet; some can be replaced by others of the same name.
func parts(sheet string, other ...entry) []entry {
	out := []entry{{"_rels/.rels", topRels}, {"xl/workbook.xml", oneSheet}, {"xl/_rels/workbook.xml.rels", bookRels},
		{"xl/sharedStrings.xml", strings3}, {"xl/styles.xml", styles6}, {"xl/worksheets/sheet1.xml", sheet}}
	for _, o := range other {
		found := false
		for i := range out {
			if out[i].name == o.name {
				out[i].text, found = o.text, true
			}
		}
		if !found {
			out = append(out, o)
		}
	}
	return out
}

// rowsOf makes a worksheet of its rows.
func rowsOf(rows string) string { return "<worksheet><sheetData>" + rows + "</sheetData></worksheet>" }

func open(t testing.TB, data []byte) (*Sheet, error) {
	t.Helper()
	f, err := Open("f.xlsx", data, Words{})
	if err != nil {
		return nil, err
	}
	s := f.Sheets[0]
	if s.Fault != nil {
		return s, *s.Fault
	}
	return s, nil
}

// readSheet reads a workbook that must be whole and gives its first sheet.
func readSheet(t testing.TB, data []byte) *Sheet {
	t.Helper()
	s, err := open(t, data)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// shown writes a cell as the tables of this package's tests have it: kind, text,
// value, format, formula.
func shown(c Cell) string {
	s := [...]string{"-", "text", "number", "truth", "fault"}[c.Kind] + " " + c.Text
	if c.Kind == Numeric {
		s += fmt.Sprintf(" =%g", c.Num)
	}
	if f := c.Format; f != nil {
		s += fmt.Sprintf(" [%s%s%s%s]", map[bool]string{true: "date "}[f.Date], map[bool]string{true: "clock "}[f.Clock], map[bool]string{true: "% "}[f.Percent], f.Text)
	}
	if c.Formula {
		s += " formula"
	}
	if c.Hollow {
		s += " hollow"
	}
	return strings.TrimSpace(s)
}

// all writes every sheet of a file, for comparing two readings.
func all(sheets []*Sheet) string {
	var b strings.Builder
	for _, s := range sheets {
		fmt.Fprintf(&b, "sheet %q hidden %v 1904 %v rows %v columns %v merges %v lines %v separator %q fault %v\n",
			s.Name, s.Hidden, s.Date1904, s.HiddenRow, s.HiddenCol, s.Merges, s.Lines, s.Separator, s.Fault)
		for r, row := range s.Rows {
			for c, x := range row {
				if x != (Cell{}) {
					fmt.Fprintf(&b, "%s %s\n", s.Address(r, c), shown(x))
				}
			}
		}
	}
	return b.String()
}

// wants checks that an error is one note with a place, that says this and what to do.
func wants(t *testing.T, name string, err error, code, place, says string) {
	t.Helper()
	l := note.Of(err, "?")
	if len(l) == 0 {
		t.Errorf("%s: no error, want %s", name, code)
		return
	}
	n := l[0]
	if n.Level != note.Error || n.Code != code || n.Place.String() != place || !strings.Contains(n.Message, says) || n.Remedy == "" {
		t.Errorf("%s: %s %v (do %q), want %s at %q with %q", name, n.Code, n, n.Remedy, code, place, says)
	}
}
