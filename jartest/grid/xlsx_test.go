package grid

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/unicode"
)

// Every kind of cell, as a workbook stores it and as it is read.
func TestCells(t *testing.T) {
	for _, x := range []struct{ xml, want string }{
		{`<c t="s"><v>0</v></c>`, "text Alum"},
		{`<c t="s"><v> 1 </v></c>`, "text mg /L"},
		{`<c t="s"><v>2</v></c>`, "text a\rb <5 µ"},
		{`<c t="inlineStr"><is><t>12,5</t></is></c>`, "text 12,5"},
		{`<c t="inlineStr"><is><r><rPr><b/></rPr><t>a</t></r><r><t><![CDATA[<&b]]></t></r></is></c>`, "text a<&b"},
		{`<c t="str"><f>A1&amp;"x"</f><v>7</v></c>`, "text 7 formula"},
		{`<c t="b"><v>1</v></c>`, "truth TRUE"},
		{`<c t="b"><v>0</v></c>`, "truth FALSE"},
		{`<c t="e"><v>#DIV/0!</v></c>`, "fault #DIV/0!"},
		{`<c><v>#REF!</v></c>`, "fault #REF!"},
		{`<c t="d"><v>2026-03-01</v></c>`, "text 2026-03-01"},
		{`<c><v>12.5</v></c>`, "number 12.5 =12.5"},
		{`<c t="n"><v>-1.5E-3</v></c>`, "number -1.5E-3 =-0.0015"},
		{`<c><v>+4</v></c>`, "number +4 =4"},
		{`<c><v>e5</v></c>`, "text e5"},
		{`<c><v>.</v></c>`, "text ."},
		{`<c><v>1e999</v></c>`, "text 1e999"},
		{`<c><v>12 mg</v></c>`, "text 12 mg"},
		{`<c s="1"><v>0.485</v></c>`, "number 0.485 =0.485 [% ]"},
		{`<c s="2"><v>46082</v></c>`, "number 46082 =46082 [date ]"},
		{`<c s="3"><v>0.25</v></c>`, "number 0.25 =0.25 [clock ]"},
		{`<c s="4"><v>3.1</v></c>`, "number 3.1 =3.1 [NTU]"},
		{`<c s="5"><v>3</v></c>`, "number 3 =3"},
		{`<c s="1" t="s"><v>0</v></c>`, "text Alum"},
		{`<c><f>1+1</f><v>2</v></c>`, "number 2 =2 formula"},
		{`<c><f t="shared" si="0"/><v>2</v></c>`, "number 2 =2 formula"},
		{`<c><f>1+1</f></c>`, "-  formula hollow"},
		{`<c><f>1+1</f><v></v></c>`, "-  formula hollow"},
		{`<c><f></f><v>2</v></c>`, "number 2 =2"},
		{`<c s="1"/>`, "-"},
		{`<c t="s"><v></v></c>`, "-"},
		{`<c t="inlineStr"><is><t>  </t></is></c>`, "-"},
		{`<x:c t="s" xmlns:x="u"><x:v>0</x:v></x:c>`, "text Alum"},
		{`<c t='s' ><v>0</v ></c >`, "text Alum"},
		{`<c><ext/><v>5</v></c>`, "number 5 =5"},
		{`<c t="str"><v>a&#9;b&#xa;c&#13;d&#x1F642;</v></c>`, "text a\tb\nc\rd🙂"},
		{`<c><v>4</v><extLst><ext><v>5</v></ext></extLst></c>`, "number 5 =5"},
	} {
		s := readSheet(t, zipOf(t, parts(rowsOf("<row>"+x.xml+"</row>"))...))
		if got := shown(s.At(0, 0)); got != strings.TrimSpace(x.want) {
			t.Errorf("%s is read as %q, want %q", x.xml, got, x.want)
		}
	}
}

// Cells stand where the file says, or behind the one before.
func TestPlaces(t *testing.T) {
	s := readSheet(t, zipOf(t, parts(`<?xml version="1.0"?><!-- made by hand --><worksheet><cols><col min="2" max="3" hidden="1"/><col min="5" max="5"/></cols><sheetData>`+
		`<row r="2" hidden="1"><c r="C2"><v>1</v></c><c><v>2</v></c></row><row><c r="AA3"><v>3</v></c></row><row r="9"/><row r="12" hidden="true"><c r="A12" s="1"/></row></sheetData>`+
		`<mergeCells count="2"><mergeCell ref="C2:D2"/><mergeCell ref="B5"/></mergeCells></worksheet>`)...))
	want := `sheet "Jars" hidden false 1904 false rows map[1:true 11:true] columns map[1:true 2:true] merges [{1 2 1 3} {4 1 4 1}] lines [] separator '\x00' fault <nil>
C2 number 1 =1
AA3 number 3 =3
`
	if got := all([]*Sheet{s}); got != want {
		t.Errorf("got\n%s want\n%s", got, want)
	}
	if len(s.Rows) != 3 || s.Width() != 27 || len(s.Rows[0]) != 0 || len(s.Rows[1]) != 4 {
		t.Errorf("%d rows of %d columns, the first of %d, the second of %d", len(s.Rows), s.Width(), len(s.Rows[0]), len(s.Rows[1]))
	}
	if m, ok := s.Merged(1, 3); !ok || m != (Span{1, 2, 1, 3}) {
		t.Errorf("D2 lies in %v", m)
	}
	if _, ok := s.Merged(2, 3); ok {
		t.Error("D3 lies in a block")
	}
	if p := s.Place(1, 26).String(); p != "f.xlsx: Jars!AA2" {
		t.Errorf("the place is %s", p)
	}
}

// What is wrong inside a sheet is told with its cell, and the other sheets are read.
func TestBrokenSheets(t *testing.T) {
	for _, x := range []struct{ sheet, place, says string }{
		{rowsOf(`<row r="3"><c r="B3" t="s"><v>3</v></c></row>`), "f.xlsx: Jars!B3", `text number "3" is not in the workbook`},
		{rowsOf(`<row r="3"><c r="B3" t="s"><v>-1</v></c></row>`), "f.xlsx: Jars!B3", "is not in the workbook"},
		{rowsOf(`<row r="3"><c r="B3" t="s"><v>x</v></c></row>`), "f.xlsx: Jars!B3", "is not in the workbook"},
		{rowsOf(`<row r="3"><c r="B3" s="6"><v>3</v></c></row>`), "f.xlsx: Jars!B3", `style "6" is not in the workbook`},
		{rowsOf(`<row r="3"><c r="B3" s="-1"><v>3</v></c></row>`), "f.xlsx: Jars!B3", `style "-1"`},
		{rowsOf(`<row r="3"><c r="B4"><v>3</v></c></row>`), "f.xlsx: Jars!A3", `cell "B4" stands in row 3`},
		{rowsOf(`<row r="3"><c r="B3"><v>3</v></c><c r="B3"><v>3</v></c></row>`), "f.xlsx: Jars!C3", `cell "B3" stands in row 3 behind B3`},
		{rowsOf(`<row r="3"><c r="3B"><v>3</v></c></row>`), "f.xlsx: Jars!A3", `cell "3B"`},
		{rowsOf(`<row r="3"/><row r="3"/>`), "f.xlsx: Jars!A3", `row "3" stands behind row 3`},
		{rowsOf(`<row r="0"/>`), "f.xlsx: Jars", `row "0"`},
		{rowsOf(`<c r="A1"><v>3</v></c>`), "f.xlsx: Jars", "stands in no row"},
		{rowsOf(`<row r="1"><c r="A1"><v>3</v></row>`), "f.xlsx: Jars!A1", "</row> ends what is not open"},
		{`<worksheet><sheetData><row r="1"><c r="A1"><v>3`, "f.xlsx: Jars!A1", "breaks off inside <v>"},
		{rowsOf(`<row r="1"><c r="A1"><v>3 & 4</v></c></row>`), "f.xlsx: Jars!A1", "an & stands alone"},
		{rowsOf(`<row r="1"><c r="A1"><v>&#1;</v></c></row>`), "f.xlsx: Jars!A1", "&#1; is no sign"},
		{rowsOf(`<row r="1"><c r="A1"><v>&#xd800;</v></c></row>`), "f.xlsx: Jars!A1", "&#xd800; is no sign"},
		{rowsOf(`<row r="1"><c r="A1"><v>&nbsp;</v></c></row>`), "f.xlsx: Jars!A1", "&nbsp; is no sign"},
		{rowsOf("<row r=\"1\"><c r=\"A1\"><v>1\x002</v></c></row>"), "f.xlsx: Jars", "control character (0)"},
		{rowsOf("<row r=\"1\"><c r=\"A1\"><v>\xff</v></c></row>"), "f.xlsx: Jars", "not UTF-8"},
		{`<!DOCTYPE x [<!ENTITY a "b">]>` + rowsOf(""), "f.xlsx: Jars", "has a document type"},
		{`<chartsheet/>`, "f.xlsx: Jars", "is no worksheet"},
		{``, "f.xlsx: Jars", "it holds nothing"},
		{`<worksheet><mergeCells><mergeCell ref="A1:"/></mergeCells></worksheet>`, "f.xlsx: Jars", `merged block "A1:"`},
		{`<worksheet><cols><col min="3" max="2" hidden="1"/></cols></worksheet>`, "f.xlsx: Jars", `columns "3" to "2"`},
	} {
		two := strings.Replace(oneSheet, "</sheets>", `<sheet name="Log" sheetId="2" r:id="r9" state="hidden"/></sheets>`, 1)
		rels := strings.Replace(bookRels, "</R", `<Relationship Id="r9" Type="`+officeRel+`worksheet" Target="worksheets/log.xml"/></R`, 1)
		f, err := Open("f.xlsx", zipOf(t, parts(x.sheet, entry{"xl/workbook.xml", two}, entry{"xl/_rels/workbook.xml.rels", rels},
			entry{"xl/worksheets/log.xml", rowsOf(`<row><c><v>5</v></c></row>`)})...), Words{})
		if err != nil || len(f.Sheets) != 2 || f.Sheets[0].Fault == nil || len(f.Sheets[0].Rows) != 0 {
			t.Errorf("%s: %v, %s", x.sheet, err, all(f.Sheets))
			continue
		}
		wants(t, x.sheet, *f.Sheets[0].Fault, "sheet-unreadable", x.place, x.says)
		if s := f.Sheets[1]; shown(s.At(0, 0)) != "number 5 =5" || !s.Hidden || s.Fault != nil {
			t.Errorf("%s: the other sheet is %s", x.sheet, all(f.Sheets[1:]))
		}
	}
}

// What is wrong with the workbook as a whole.
func TestBrokenWorkbooks(t *testing.T) {
	sheet := rowsOf(`<row><c><v>5</v></c></row>`)
	without := func(name string) []entry {
		var out []entry
		for _, p := range parts(sheet) {
			if p.name != name {
				out = append(out, p)
			}
		}
		return out
	}
	for name, x := range map[string]struct {
		parts []entry
		code  string
		says  string
	}{
		"no rels":         {without("_rels/.rels"), "sheet-unreadable", "_rels/.rels is missing"},
		"no list":         {without("xl/workbook.xml"), "sheet-unreadable", "xl/workbook.xml is missing"},
		"no book rels":    {without("xl/_rels/workbook.xml.rels"), "sheet-unreadable", "workbook.xml.rels is missing"},
		"no texts":        {without("xl/sharedStrings.xml"), "sheet-unreadable", "sharedStrings.xml is missing"},
		"no styles":       {without("xl/styles.xml"), "sheet-unreadable", "styles.xml is missing"},
		"broken texts":    {parts(sheet, entry{"xl/sharedStrings.xml", "<sst><si><t>a</si></sst>"}), "sheet-unreadable", "part xl/sharedStrings.xml: </si>"},
		"broken styles":   {parts(sheet, entry{"xl/styles.xml", "<styleSheet"}), "sheet-unreadable", "part xl/styles.xml: <styleSheet> is broken"},
		"no such sheet":   {parts(sheet, entry{"xl/workbook.xml", strings.Replace(oneSheet, "r1", "r7", 1)}), "sheet-unreadable", `sheet "Jars" has no part`},
		"charts only":     {parts(sheet, entry{"xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "/worksheet\"", "/chartsheet\"", 1)}), "no-sheets", "only charts"},
		"root alone":      {parts(sheet, entry{"xl/styles.xml", "<a>"}), "sheet-unreadable", "breaks off inside <a>"},
		"two roots":       {parts(sheet, entry{"xl/styles.xml", "<a/><b/>"}), "sheet-unreadable", "<b> stands behind its end"},
		"text outside":    {parts(sheet, entry{"xl/styles.xml", "<a/>b"}), "sheet-unreadable", "text stands outside"},
		"nothing":         {parts(sheet, entry{"xl/styles.xml", " "}), "sheet-unreadable", "it holds nothing"},
		"document type":   {parts(sheet, entry{"xl/styles.xml", "<!DOCTYPE a><a/>"}), "sheet-unreadable", "document type"},
		"open comment":    {parts(sheet, entry{"xl/styles.xml", "<a/><!-- "}), "sheet-unreadable", "a comment does not end"},
		"open notice":     {parts(sheet, entry{"xl/styles.xml", "<?xml "}), "sheet-unreadable", "an instruction does not end"},
		"open text":       {parts(sheet, entry{"xl/styles.xml", "<a><![CDATA[ </a>"}), "sheet-unreadable", "a text does not end"},
		"bare attribute":  {parts(sheet, entry{"xl/styles.xml", "<a b=c/>"}), "sheet-unreadable", "<a> is broken"},
		"no value":        {parts(sheet, entry{"xl/styles.xml", "<a b="}), "sheet-unreadable", "<a> is broken"},
		"no sign":         {parts(sheet, entry{"xl/styles.xml", "<a b"}), "sheet-unreadable", "<a> is broken"},
		"two equals":      {parts(sheet, entry{"xl/styles.xml", `<a b=="c"/>`}), "sheet-unreadable", "<a> is broken"},
		"no equals":       {parts(sheet, entry{"xl/styles.xml", `<a b "c"/>`}), "sheet-unreadable", "<a> is broken"},
		"joined":          {parts(sheet, entry{"xl/styles.xml", `<a b="c"d="e"/>`}), "sheet-unreadable", "<a> is broken"},
		"angle in quotes": {parts(sheet, entry{"xl/styles.xml", `<a b="<"/>`}), "sheet-unreadable", "<a> is broken"},
		"bad escape":      {parts(sheet, entry{"xl/styles.xml", `<a b="&x;"/>`}), "sheet-unreadable", "<a> is broken"},
		"no name":         {parts(sheet, entry{"xl/styles.xml", `<a>1 < 2</a>`}), "sheet-unreadable", "a < stands where"},
		"end open":        {parts(sheet, entry{"xl/styles.xml", `<a></a`}), "sheet-unreadable", "does not end"},
	} {
		_, err := open(t, zipOf(t, x.parts...))
		wants(t, name, err, x.code, "f.xlsx", x.says)
	}
	missing := without("xl/worksheets/sheet1.xml")
	_, err := open(t, zipOf(t, missing...))
	wants(t, "no sheet", err, "sheet-unreadable", "f.xlsx: Jars", "sheet1.xml is missing")
}

// The forms in which other programs write the same workbook.
func TestOtherWriters(t *testing.T) {
	sheet := rowsOf(`<row><c r="A1"><v>5</v></c></row>`)
	wide, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(sheet)
	if err != nil {
		t.Fatal(err)
	}
	back := parts(sheet)
	for i := range back {
		back[i].name = strings.ReplaceAll(back[i].name, "/", "\\")
	}
	caps := parts(sheet)
	for i := range caps {
		caps[i].name = strings.ReplaceAll(caps[i].name, "sheet1", "Sheet1")
	}
	for name, p := range map[string][]entry{
		"UTF-16":      parts(wide),
		"BOM":         parts("\ufeff" + sheet),
		"prefixes":    parts(strings.NewReplacer("</", "</x:", "<", "<x:", "<x:/x:", "</x:").Replace(sheet)),
		"backslashes": back,
		"capitals":    caps,
		"no texts or styles": parts(sheet, entry{"xl/_rels/workbook.xml.rels",
			`<Relationships><Relationship Id="r1" Type="` + officeRel + `worksheet" Target="/xl/worksheets/sheet1.xml"/></Relationships>`}),
		"relation prefix": parts(sheet, entry{"xl/workbook.xml", strings.Replace(oneSheet, "r:id", "d3p1:id", 1)}),
		"link outside": parts(sheet, entry{"xl/_rels/workbook.xml.rels",
			strings.Replace(bookRels, "</R", `<Relationship Id="r1" Type="x/worksheet" Target="elsewhere.xml" TargetMode="External"/></R`, 1)}),
	} {
		if got := shown(readSheet(t, zipOf(t, p...)).At(0, 0)); got != "number 5 =5" {
			t.Errorf("%s: %s", name, got)
		}
	}
	prefixed := strings.NewReplacer("</", "</x:", "<", "<x:").Replace(styles6)
	if got := shown(readSheet(t, zipOf(t, parts(rowsOf(`<row><c s="4"><v>5</v></c></row>`), entry{"xl/styles.xml", prefixed})...)).At(0, 0)); got != "number 5 =5 [NTU]" {
		t.Errorf("prefixed styles: %s", got)
	}
	s := readSheet(t, zipOf(t, parts(sheet, entry{"xl/workbook.xml", `<workbook><workbookPr date1904="1"/><sheets><sheet name="A &amp; B" state="veryHidden" r:id="r1"/></sheets></workbook>`})...))
	if !s.Date1904 || s.Name != "A & B" || !s.Hidden {
		t.Errorf("%v %q %v", s.Date1904, s.Name, s.Hidden)
	}
}

func TestFormats(t *testing.T) {
	for _, x := range []struct {
		id   int
		code string
		want Format
	}{
		{0, "", Format{}}, {8, "", Format{}}, {9, "", Format{Percent: true}}, {10, "", Format{Percent: true}}, {11, "", Format{}}, {13, "", Format{}},
		{14, "", Format{Date: true}}, {17, "", Format{Date: true}}, {18, "", Format{Clock: true}}, {21, "", Format{Clock: true}}, {22, "", Format{Date: true}}, {23, "", Format{}},
		{26, "", Format{}}, {27, "", Format{Date: true}}, {36, "", Format{Date: true}}, {37, "", Format{}}, {44, "", Format{}}, {45, "", Format{Clock: true}}, {47, "", Format{Clock: true}},
		{48, "", Format{}}, {49, "", Format{}}, {50, "", Format{Date: true}}, {58, "", Format{Date: true}}, {59, "", Format{}},
		{164, "General", Format{}}, {164, "0.0", Format{}}, {164, "0.0%", Format{Percent: true}}, {164, `0" %"`, Format{Text: "%"}},
		{164, `0.0 "mg/L"`, Format{Text: "mg/L"}}, {164, `"dose "0" mg"`, Format{Text: "dose mg", Before: "dose"}}, {164, `0;"minus" 0`, Format{}},
		{164, "yyyy-mm-dd", Format{Date: true}}, {164, "dd/mm/yy hh:mm", Format{Date: true}}, {164, "h:mm", Format{Clock: true}}, {164, "mm:ss.0", Format{Clock: true}},
		{164, "[h]:mm", Format{Clock: true}}, {164, "[Red]0.0", Format{}}, {164, `0.0\d`, Format{Text: "d"}}, {164, `0.0\ \m\g\/\L`, Format{Text: "mg/L"}}, {164, `yyyy\-mm\-dd`, Format{Date: true}}, {164, "0.0_d", Format{}}, {164, "mmm", Format{Clock: true}}, {164, "0%;[Red]-0%", Format{Percent: true}},
	} {
		got := Format{}
		if f := readFormat(x.id, x.code); f != nil {
			got = *f
		}
		if got != x.want {
			t.Errorf("format %d %q is %+v, want %+v", x.id, x.code, got, x.want)
		}
	}
	for code, shown := range map[string]string{
		"0,": "10", "#,##0,": "10", "0.0,,": "0.01", "0,.0": "10", `0"."00`: "100.00", `0"00"`: "1000000", `"<"0`: "<10000", `0" x10"`: "10000 x10", `0" k"`: "10000 k", `~0`: "", `\~0`: "~10000",
		"#,##0": "", "0.0": "", `0.0" mg/L"`: "", `"Jar "0`: "", "#,##0.00_);(#,##0.00)": "", "0%": "", "# ?/?": "", "0.00E+00": "", `0.0" m"`: "", `#,##0\ "€"`: "",
	} {
		if got := (Cell{Kind: Numeric, Num: 10000, Format: readFormat(164, code)}).Shown(); got != shown {
			t.Errorf("%s shows 10000 as %q, want %q", code, got, shown)
		}
	}
	c := Cell{Kind: Numeric, Format: &Format{Date: true, Clock: true, Percent: true, Text: "NTU"}}
	if !c.Date() || !c.Clock() || !c.Percent() || c.Suffix() != "NTU" {
		t.Error("a cell does not tell its format")
	}
	if c = (Cell{}); c.Date() || c.Clock() || c.Percent() || c.Suffix() != "" || !c.Blank() {
		t.Error("an empty cell tells a format")
	}
}

// The library that writes our workbooks reads the same cells from them.
func TestSameAsLibrary(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 12))
	for round := range 8 {
		f := excelize.NewFile()
		styles := []int{0}
		for _, id := range []int{9, 14, 20} {
			s, err := f.NewStyle(&excelize.Style{NumFmt: id})
			if err != nil {
				t.Fatal(err)
			}
			styles = append(styles, s)
		}
		for range 60 {
			at := fmt.Sprintf("%s%d", ColumnName(rnd.IntN(30)), 1+rnd.IntN(40))
			var v any
			switch rnd.IntN(6) {
			case 0:
				v = rnd.NormFloat64() * 1e3
			case 1:
				v = rnd.IntN(2) == 0
			case 2:
				v = []string{"Alum <mg/L> & \"x\"", "a\nb", " 7 ", "µ_x0041_", "_x000D_", "12,5", "日本"}[rnd.IntN(7)]
			case 3:
				v = 45000 + rnd.IntN(2000)
			case 4:
				v = ""
			default:
				v = fmt.Sprint("jar ", rnd.IntN(9))
			}
			if err := f.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
			if err := f.SetCellStyle("Sheet1", at, at, styles[rnd.IntN(len(styles))]); err != nil {
				t.Fatal(err)
			}
		}
		if err := f.SetCellFormula("Sheet1", "AF1", "SUM(A1:A9)"); err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := f.Write(&b); err != nil {
			t.Fatal(err)
		}
		g, err := excelize.OpenReader(bytes.NewReader(b.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		s := readSheet(t, b.Bytes())
		for r := range 45 {
			for c := range 33 {
				at := s.Address(r, c)
				raw, err := g.GetCellValue("Sheet1", at, excelize.Options{RawCellValue: true})
				if err != nil {
					t.Fatal(err)
				}
				x := s.At(r, c)
				got := x.Text
				if x.Kind == Boolean {
					got = map[string]string{"TRUE": "1", "FALSE": "0"}[x.Text]
				}
				if got != raw && strings.TrimSpace(raw) != "" {
					t.Fatalf("round %d: %s is %q (%s), the library reads %q", round, at, got, shown(x), raw)
				}
				formula, err := g.GetCellFormula("Sheet1", at)
				if err != nil || x.Formula != (formula != "") {
					t.Fatalf("round %d: %s has a formula %v, the library reads %q, %v", round, at, x.Formula, formula, err)
				}
				id, err := g.GetCellStyle("Sheet1", at)
				if err != nil {
					t.Fatal(err)
				}
				if x.Kind == Numeric && (x.Percent() != (id == styles[1]) || x.Date() != (id == styles[2]) || x.Clock() != (id == styles[3])) {
					t.Fatalf("round %d: %s has style %d and reads %s", round, at, id, shown(x))
				}
			}
		}
	}
}

// A workbook of results is refused for what it is; one of somebody else with the same sheet,
// and another one that the program wrote, are read.
func TestResultsAreNoSheet(t *testing.T) {
	const propsRel = `<Relationship Id="r9" Type="http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties" Target="docProps/core.xml"/>`
	of := func(by, tab string) []byte {
		return zipOf(t, parts(rowsOf(`<row><c><v>5</v></c></row>`),
			entry{"_rels/.rels", strings.Replace(topRels, "</Relationships>", propsRel+"</Relationships>", 1)},
			entry{"xl/workbook.xml", strings.Replace(oneSheet, "Jars", tab, 1)},
			entry{"docProps/core.xml", "<coreProperties><dc:title>Plan</dc:title><dc:creator>" + by + "</dc:creator></coreProperties>"})...)
	}
	_, err := open(t, of("jarwright", "Summary"))
	wants(t, "results", err, "results-file", "f.xlsx", "results that jarwright wrote")
	for _, other := range [][2]string{{"", "Summary"}, {"M. Muster", "Summary"}, {"jarwright", "Bench"}} {
		if got := readSheet(t, of(other[0], other[1])).Name; got != other[1] {
			t.Errorf("%v: sheet %q", other, got)
		}
	}
}
