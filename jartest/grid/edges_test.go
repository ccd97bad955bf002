package grid

import (
	"archive/zip"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestDescriptorForms: the record behind a part's data, as long as it must be and a byte less.
func TestDescriptorForms(t *testing.T) {
	text := strings.Repeat("x", 300)
	f := &zip.File{}
	f.CRC32, f.CompressedSize64, f.UncompressedSize64 = binary.LittleEndian.Uint32(descriptor(text, false, false)), 300, 300
	for _, c := range []struct {
		mark, wide bool
		length     int
	}{{true, false, 16}, {false, false, 12}, {true, true, 24}, {false, true, 20}} {
		d := descriptor(text, c.mark, c.wide)
		if got := descriptorLength(d, f); got != c.length || len(d) != c.length {
			t.Errorf("%+v: %d of %d", c, got, len(d))
		}
		if got := descriptorLength(d[:len(d)-1], f); got != 0 {
			t.Errorf("%+v cut: %d", c, got)
		}
		for i := range d { // every byte of it counts
			bad := slices.Clone(d)
			bad[i]++
			if got := descriptorLength(bad, f); got != 0 {
				t.Errorf("%+v, byte %d: %d", c, i, got)
			}
		}
	}
}

// TestDirectoryEnds: a directory, the record of large archives where there is one, and the closing record, to the byte.
func TestDirectoryEnds(t *testing.T) {
	var z raw
	z.part("a", "1", false, nil, nil)
	z.part("bb", "2", false, nil, nil)
	whole := z.bytes()[len(z.b):]
	z.large, z.comment = large(44, 56), "note"
	big := z.bytes()[len(z.b):]
	for i, b := range [][]byte{whole, big} {
		if !directoryEnds(b, 2) || directoryEnds(b, 1) || directoryEnds(b, 3) {
			t.Errorf("directory %d: %v with two entries", i, directoryEnds(b, 2))
		}
		for n := range b {
			if directoryEnds(b[:n], 2) {
				t.Errorf("directory %d ends after %d of %d bytes", i, n, len(b))
			}
		}
		if directoryEnds(append(slices.Clone(b), 0), 2) {
			t.Errorf("directory %d: a byte too many", i)
		}
	}
	z.large = large(45, 56)
	if directoryEnds(z.bytes()[len(z.b):], 2) {
		t.Error("a closing record of another length")
	}
	z.large = large(44, 55)
	if directoryEnds(z.bytes()[len(z.b):], 2) {
		t.Error("a locator elsewhere")
	}
}

// TestOddSigns: what does not follow in writing, and which letters stand in one word.
func TestOddSigns(t *testing.T) {
	for pair, odd := range map[string]bool{
		"a\uFFFD": true, "a\u0080": true, "a\u009F": true, "a\u00A0": false, "\u00A0b": false, "a\uE000": true, "a\uFF61": true, "a\uFF9F": true, "a\uFF60": true,
		"a\uFFA0": false, "a°": false, "a¿": true, "aé": false, "éa": false, "éÉ": true, "Éé": false, "aÉ": true, "aA": false, "aж": true, "жa": true, "жж": false,
		"αж": true, "אa": true, "กa": true, " ж": false, "1ж": false, "日本": false, "a日": false, "ж1": false, "\u0301\u0301": false,
	} {
		before, n := utf8.DecodeRuneInString(pair)
		after, _ := utf8.DecodeRuneInString(pair[n:])
		if got := oddAfter(before, after); got != odd {
			t.Errorf("%q: %v", pair, got)
		}
	}
	for i, r := range []rune{'日', 'é', 'ж', 'α', 'ع', 'א', 'ก'} {
		if got := alphabet(r); got != i {
			t.Errorf("%c: %d, want %d", r, got, i)
		}
	}
}

// TestBuiltInFormats: the numbers that stand for a format without a code, first and last of each row, and those beside them.
func TestBuiltInFormats(t *testing.T) {
	for id, want := range map[int]string{0: "-", 8: "-", 9: "%", 10: "%", 11: "-", 13: "-", 14: "date", 17: "date", 18: "clock", 21: "clock", 22: "date", 23: "-", 26: "-",
		27: "date", 36: "date", 37: "-", 44: "-", 45: "clock", 47: "clock", 48: "-", 49: "-", 50: "date", 58: "date", 59: "-"} {
		if got := shape(readFormat(id, "")); got != want {
			t.Errorf("%d: %s, want %s", id, got, want)
		}
	}
	for code, want := range map[string]string{"General": "-", "0.0%": "%", "yyyy-mm-dd": "date", "dd/mm": "date", "hh:mm": "clock", "[h]:mm": "clock", "mm:ss.0": "clock",
		"0.00": "-", `0" mg/L"`: "text mg/L", `0.0\d`: "text d", "[Red]0": "-", "0.0;[Red]-0.0%": "-", "h:mm:ss.00": "clock", "m": "-", `"d"0`: "text d", "#,##0": "-", "?d": "-"} {
		if got := shape(readFormat(164, code)); got != want {
			t.Errorf("%s: %s, want %s", code, got, want)
		}
	}
}

func shape(f *Format) string {
	switch {
	case f == nil:
		return "-"
	case f.Percent:
		return "%"
	case f.Date:
		return "date"
	case f.Clock:
		return "clock"
	}
	return "text " + f.Text
}

// TestCellNames: columns and cells by their letters, both ways, by hand.
func TestCellNames(t *testing.T) {
	for c, name := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA", 16383: "XFD"} {
		if got := ColumnName(c); got != name {
			t.Errorf("%d: %s, want %s", c, got, name)
		}
		if r, col, ok := ParseCell(" $" + strings.ToLower(name) + "$7 "); r != 6 || col != c || !ok {
			t.Errorf("%s7: %d, %d, %v", name, r, col, ok)
		}
	}
	for _, bad := range []string{"", "7", "A", "A0", "A-1", "ABCDE1", "A1B", "É1"} {
		if r, c, ok := ParseCell(bad); ok || r != 0 || c != 0 {
			t.Errorf("%q: %d, %d, %v", bad, r, c, ok)
		}
	}
	for text, want := range map[string]Span{"B3": {2, 1, 2, 1}, "A5:F11": {4, 0, 10, 5}, "F11:A5": {4, 0, 10, 5}, "F5:A11": {4, 0, 10, 5}} {
		if got, ok := ParseRange(text); got != want || !ok {
			t.Errorf("%s: %v, %v", text, got, ok)
		}
	}
	for _, bad := range []string{"", "A5:", ":A5", "A:B"} {
		if got, ok := ParseRange(bad); ok {
			t.Errorf("%q: %v", bad, got)
		}
	}
	for text, want := range map[string]string{"": "-", " ": "-", "3.6": "number 3.6 =3.6", "-1e3": "number -1e3 =-1000", "1e": "text 1e", "+": "text +", "0x1": "text 0x1", "inf": "text inf",
		"#N/A": "fault #N/A", "#N/B": "text #N/B", "0.1": "number 0.1 =0.1", "16777217": "number 16777217 =1.6777217e+07"} {
		if got := shown(storedCell(text)); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// TestHiddenColumns: columns are counted from 1, and as many groups are allowed as columns.
func TestHiddenColumns(t *testing.T) {
	cols := func(s string) []byte {
		return zipOf(t, parts("<worksheet><cols>"+s+`</cols><sheetData><row><c><v>1</v></c></row></sheetData></worksheet>`)...)
	}
	s := readSheet(t, cols(`<col min="2" max="3" hidden="1"/><col min="5" max="5"/><col min="2000" max="16384" hidden="true"/>`))
	var hidden []int
	for c, is := range s.HiddenCol {
		if is {
			hidden = append(hidden, c)
		}
	}
	slices.Sort(hidden)
	if fmt.Sprint(hidden) != "[1 2 1999]" {
		t.Errorf("hidden: %v", hidden)
	}
	group := `<col min="1" max="1" hidden="1"/>`
	if _, err := open(t, cols(strings.Repeat(group, columnNumber.Most()))); err != nil {
		t.Error(err)
	}
	if _, err := open(t, cols(strings.Repeat(group, columnNumber.Most()+1))); err == nil {
		t.Error("a group of columns too many is read")
	}
	for _, bad := range []string{`<col min="0" max="1" hidden="1"/>`, `<col min="3" max="2" hidden="1"/>`, `<col max="2" hidden="1"/>`, `<col min="2" hidden="1"/>`} {
		if _, err := open(t, cols(bad)); err == nil {
			t.Errorf("%s is read", bad)
		}
	}
}

// TestHarmlessQuotes: pairs, inches and the mark of a Hebrew abbreviation stand in a field; others do not.
func TestHarmlessQuotes(t *testing.T) {
	for field, want := range map[string]bool{`a "b" c`: true, `5"`: true, `0"`: true, `9" pipe`: true, `a"`: false, `"a`: false, `"`: false, `a"b`: false, `מ"ג`: true, `מ"a`: false,
		`a"ג`: false, `מ"`: false, `"מ`: false, `5" 6" 7"`: true, `5" a"b 7"`: false, `:"`: false, `/"`: false} {
		if got := harmless([]byte(field)); got != want {
			t.Errorf("%s: %v", field, got)
		}
	}
}
