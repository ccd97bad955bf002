package grid

import (
	"reflect"
	"strings"
	"testing"
)

// commented are the parts of a workbook with comments, plain and in threads.
func commented(plain, threads string) []entry {
	rels := `<Relationships><Relationship Id="r1" Type="` + officeRel + `comments" Target="../comments1.xml"/>`
	other := []entry{{"xl/comments1.xml", plain}}
	if threads != "" {
		rels += `<Relationship Id="r2" Type="http://example.invalid/threadedComment" Target="/xl/threads.xml"/>`
		other = append(other, entry{"xl/threads.xml", threads})
	}
	other = append(other, entry{"xl/worksheets/_rels/sheet1.xml.rels", rels + "</Relationships>"})
	return parts(rowsOf(`<row><c r="A1"><v>5</v></c></row>`), other...)
}

func TestComments(t *testing.T) {
	const plain = `<comments><authors><author>Beck</author></authors><commentList>` +
		`<comment ref="B2"><text><r><rPr><b/></rPr><t>Beck:</t></r><r><t xml:space="preserve">
knocked over</t></r></text></comment>` +
		`<comment ref="C3"><text><t>[Threaded comment] Comment: swapped</t></text></comment>` +
		`<comment ref="D4"><text><r><rPr><strike/></rPr><t>gone</t></r></text></comment>` +
		`<comment ref="nowhere"><text><t>lost</t></text></comment></commentList></comments>`
	const threads = `<ThreadedComments><threadedComment ref="C3"><text>swapped &amp; read</text></threadedComment>` +
		`<threadedComment ref="C3" parentId="1"><text>with jar 5?</text></threadedComment></ThreadedComments>`
	want := map[[2]int]Mark{{1, 1}: {Comment: "knocked over"}, {2, 2}: {Comment: "swapped & read\nwith jar 5?"}}
	if got := readSheet(t, zipOf(t, commented(plain, threads)...)).Marks; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	for name, broken := range map[string][]entry{
		"broken comments": commented("<comments><comment", ""),
		"broken threads":  commented(plain, "<ThreadedComments><threadedComment ref='A1'><text>"),
	} {
		if s, err := open(t, zipOf(t, broken...)); err == nil || s.Marks != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	lost := append(commented(plain, threads)[:6:6], commented(plain, threads)[7:]...) // without the plain ones
	if got := readSheet(t, zipOf(t, lost...)).Marks; len(got) != 1 {
		t.Errorf("threads alone: %+v", got)
	}
}

func TestStruckOut(t *testing.T) {
	styles := strings.Replace(styles6, "<cellStyleXfs>", `<fonts><font/><font><strike/></font><font><strike val="0"/></font><font><strike val="1"/></font></fonts><cellStyleXfs>`, 1)
	styles = strings.Replace(styles, `<xf/></cellXfs>`, `<xf/><xf fontId="1"/><xf fontId="2"/><xf fontId="3" numFmtId="10"/><xf fontId="9"/></cellXfs>`, 1)
	texts := `<sst><si><r><rPr><strike/></rPr><t>31</t></r><r><t xml:space="preserve"> 28</t></r></si><si><r><rPr><strike/></rPr><t>jar 4</t></r></si>` +
		`<si><r><rPr><strike val="false"/></rPr><t>ok</t></r></si></sst>`
	sheet := rowsOf(`<row><c r="A1" s="6"><v>1</v></c><c r="B1" s="7"><v>2</v></c><c r="C1" s="8"><v>3</v></c><c r="D1" s="9"><v>4</v></c><c r="E1"><v>5</v></c></row>` +
		`<row><c r="A2" t="s"><v>0</v></c><c r="B2" t="s"><v>1</v></c><c r="C2" t="s"><v>2</v></c>` +
		`<c r="D2" t="inlineStr"><is><r><rPr><strike/></rPr><t>9</t></r><r><t>8</t></r></is></c><c r="E2" s="6"/></row>`)
	s := readSheet(t, zipOf(t, parts(sheet, entry{"xl/styles.xml", styles}, entry{"xl/sharedStrings.xml", texts})...))
	want := map[[2]int]Mark{{0, 0}: {Struck: true}, {0, 2}: {Struck: true}, {1, 0}: {Erased: "31"}, {1, 1}: {Struck: true}, {1, 3}: {Erased: "9"}}
	if !reflect.DeepEqual(s.Marks, want) {
		t.Errorf("%+v, want %+v", s.Marks, want)
	}
	for at, text := range map[[2]int]string{{0, 0}: "number 1 =1", {1, 0}: "text  28", {1, 1}: "text jar 4", {1, 3}: "text 8"} {
		if got := shown(s.At(at[0], at[1])); got != text {
			t.Errorf("%v: %q, want %q", at, got, text)
		}
	}
}
