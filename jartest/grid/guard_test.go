package grid

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestNameBytes: which bytes a name of XML may have (XML 1.0, production 4a, for ASCII; all beyond it stand).
func TestNameBytes(t *testing.T) {
	const ascii = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789:_-."
	for c := range 256 {
		if want := c >= 128 || strings.IndexByte(ascii, byte(c)) >= 0; nameByte(byte(c)) != want {
			t.Errorf("%q in a name: %v", rune(c), !want)
		}
	}
}

// TestControlCharacters: of those below a blank, a part may hold tab, line feed and return (XML 1.0, production 2).
func TestControlCharacters(t *testing.T) {
	for c := range 33 {
		x, err := newScanner("<a>" + string(rune(c)) + "</a>")
		if want := c == 9 || c == 10 || c == 13 || c == 32; (err == nil) != want {
			t.Errorf("%d: %v, %v", c, x, err)
		}
		if err != nil && !strings.Contains(err.Error(), fmt.Sprintf("byte 3 is a control character (%d)", c)) {
			t.Error(err)
		}
	}
}

// TestEvenness: the share of lines whose pieces have a column each, of all areas together; counted on paper.
func TestEvenness(t *testing.T) {
	for text, want := range map[string]float64{
		"Jar  NTU\n1    2\n2    3\n":                                       1,
		"Jar  NTU\n1    2\na word over both\n":                             2.0 / 3,
		"Jar  NTU\n1    2\n\nJar  pH  NTU\n1    7   2\na word over them\n": 4.0 / 5,
		"": 0,
	} {
		f, err := Open("f.txt", []byte(text), Words{})
		if err != nil || f.Text == nil {
			if text != "" {
				t.Fatal(err)
			}
			continue
		}
		if got := f.Text.evenness(wideGap); math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: %g, want %g", text, got, want)
		}
	}
}

// TestNearTies: what touches two columns, or is one character nearer to the first, is torn; two nearer it is not.
func TestNearTies(t *testing.T) {
	cs := columns{{0, 3}, {10, 13}}
	for s, torn := range map[stretch]bool{
		{5, 8}: true, // two blanks on either side: 3 and 3
		{4, 8}: true, // 2 and 3
		{4, 7}: false, {3, 7}: false, {5, 9}: true, {6, 9}: false, {1, 5}: false, {2, 10}: false, {2, 11}: true,
	} {
		line := []piece{{stretch: s}}
		if got := cs.place(line).torn != nil; got != torn {
			_, near, second := cs.under(s)
			t.Errorf("%v is torn: %v (%d and %d off)", s, got, near, second)
		}
	}
}

// TestFixedWidthOfMany: beyond the lines that columns are found by, lines are still held against them.
func TestFixedWidthOfMany(t *testing.T) {
	var b strings.Builder
	b.WriteString("Jar   NTU\n")
	for i := range 3 * trialLines {
		fmt.Fprintf(&b, "%-5d %d\n", i, i%7)
	}
	b.WriteString("\n9     6\n")
	got, _, _, err := table(t, b.String())
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(got), "\n")
	if len(lines) < 3*trialLines+2 || lines[0] != "1: Jar | NTU" || lines[trialLines+5] != fmt.Sprintf("%d: %d | %d", trialLines+6,
		trialLines+4, (trialLines+4)%7) ||
		!strings.HasSuffix(lines[len(lines)-1], ": 9 | 6") {
		t.Errorf("%d lines: %q, %q", len(lines), lines[:2], lines[len(lines)-1])
	}
}

// TestEncodingInDoubt: a text of which no word is known is asked about from four letters beyond a to z on; with fewer it is told how it was read.
func TestEncodingInDoubt(t *testing.T) {
	for letters, level := range map[string]note.Level{"\xe9\xe8\xe0\xea": note.Caution, "\xe9\xe8\xe0": note.Info, "\xe9": note.Info} {
		_, notes := decode("f.csv", []byte("Jar;Alum\n1;x"+letters+"\n"), Words{})
		if len(notes) != 1 || notes[0].Code != "encoding" || notes[0].Level != level {
			t.Errorf("%q: %v", letters, notes)
		}
	}
}
