package grid

import (
	"fmt"
	"jarwright/jartest/note"
	"slices"
	"strings"
	"testing"
)

func TestPieces(t *testing.T) {
	for line, want := range map[string]string{
		"  a b   c d": "2-5 a b|8-11 c d",
		"a\tb":        "0-1 a|8-9 b",
		"\ta  b":      "8-9 a|11-12 b",
		"é  µg/L":     "0-1 é|3-7 µg/L",
		"":            "",
	} {
		var got []string
		for _, p := range pieces(line, wideGap) {
			got = append(got, fmt.Sprintf("%d-%d %s", p.from, p.to, p.text))
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
	if n := len(pieces(strings.Repeat("a ", 5000), anyBlank)); n != columnNumber.Most()+1 {
		t.Errorf("a line of 5000 words is cut into %d", n)
	}
}

// TestUnder holds which column something stands over, and how far off it and the next are:
// below 1 over it, 1 touching it.
func TestUnder(t *testing.T) {
	cs := columns{{2, 5}, {10, 14}, {20, 22}}
	for s, want := range map[stretch][3]int{
		{3, 4}: {0, -1, 7}, {0, 1}: {0, 2, 10}, {5, 6}: {0, 1, 5}, {4, 7}: {0, 0, 4}, {7, 8}: {0, 3, 3}, {8, 9}: {1, 2, 4},
		{11, 12}: {1, -1, 7}, {12, 18}: {1, -1, 3}, {13, 21}: {1, 0, 0}, {3, 21}: {1, -10, -1}, {19, 25}: {2, -2, 6}, {30, 31}: {2, 9, 17},
	} {
		if c, near, second := cs.under(s); c != want[0] || near != want[1] || second != want[2] {
			t.Errorf("%v is over %d, %d and %d off, want %d", s, c, near, second, want)
		}
	}
}

// TestPlace holds what a line is to a table: * whole, + of the table, - neither.
func TestPlace(t *testing.T) {
	cs := columns{{0, 3}, {10, 14}, {20, 24}}
	for line, want := range map[string]string{
		"1         10        30":                "*",
		"          mg/L":                        "*",
		"1":                                     "*",
		"1         10        30   40":           "+", // two in the last column
		"1      10        30":                   "*",
		"1     10         30":                   "+", // between two
		"a long title":                          "-",
		"a long title  over all the columns":    "-",
		"1         a value across":              "-",
		"1         10        30  and  more":     "+",
		"     Before       After":               "*",
		"           Before it        After it":  "*",
		"x  y":                                  "-", // both in the first column
		"1         10 two columns":              "-",
		"1         10          30 on the right": "*",
	} {
		p, got := cs.place(pieces(line, wideGap)), "-"
		if p.whole() {
			got = "*"
		} else if p.ofTable() {
			got = "+"
		}
		if got != want {
			t.Errorf("%q: %s, want %s (%+v)", line, got, want, p)
		}
	}
}

// TestFixedWidth reads tables whose lines leave cells empty: "~" is an empty cell.
func TestFixedWidth(t *testing.T) {
	for name, x := range map[string]struct{ text, want string }{
		"units with gaps": {
			"Jar  Alum  Polymer  Turb  pH   Colour\n     mg/L  mg/L     NTU        Pt-Co\n1    10    0.2      30    7.1  40\n2    20    0.2      9     7.0  22\n",
			"Jar|Alum|Polymer|Turb|pH|Colour\n~|mg/L|mg/L|NTU|~|Pt-Co\n1|10|0.2|30|7.1|40\n2|20|0.2|9|7.0|22\n"},
		"single blanks": {
			"Jar Alum Polymer Turb  pH Colour\n    mg/L    mg/L  NTU      Pt-Co\n  1   10     0.2 30.0 7.1     40\n  2   20     0.2 12.0 7.0     22\n",
			"Jar|Alum|Polymer|Turb|pH|Colour\n~|mg/L|mg/L|NTU|~|Pt-Co\n1|10|0.2|30.0|7.1|40\n2|20|0.2|12.0|7.0|22\n"},
		"right-aligned, cells left out": {
			" Jar    Alum     NTU\n   1       5    30.1\n   2      10\n           5     7.2\n   4     100     4.0\n",
			"Jar|Alum|NTU\n1|5|30.1\n2|10\n~|5|7.2\n4|100|4.0\n"},
		"words of a remark": {
			"Jar   Alum   NTU   Note\n1     10     30    cloudy\n2            9     fine  flocs\n3     30     4     good\n",
			"Jar|Alum|NTU|Note\n1|10|30|cloudy\n2|~|9|fine  flocs\n3|30|4|good\n"},
		"a blank line below the headings": {
			"Jar   Alum   NTU\n      mg/L\n\n1     10     30\n2     20     9\n",
			"Jar|Alum|NTU\n~|mg/L\n\n1|10|30\n2|20|9\n"},
		"groups": {
			"Jar   Alum   NTU   NTU\n             in    out\n1     10     30    3\n2     20     29    2\n",
			"Jar|Alum|NTU|NTU\n~|~|in|out\n1|10|30|3\n2|20|29|2\n"},
		"titles keep their order": {
			"Beck after the storm of May   by hand   and by eye, too\nJar   Alum   NTU   pH\n1     10     30    7\n2     20     9     7\n3     30     4     7\n4     40     3     7\n",
			"Beck after the storm of May|by hand|and by eye, too\nJar|Alum|NTU|pH\n1|10|30|7\n2|20|9|7\n3|30|4|7\n4|40|3|7\n"},
		"two tables": {
			"Jar   Alum   NTU\n1     10     30\n      20     9\n\nNTU            Alum       Jar\n3              10         1\n               20         2\n",
			"Jar|Alum|NTU\n1|10|30\n~|20|9\n\nNTU|Alum|Jar\n3|10|1\n~|20|2\n"},
		"lines that line up with nothing": {
			"Jar 1 - 0 ppm - 84 NTU\nJar 2 - 5 ppm - 61 NTU\nJar 33 - 10 ppm - 31 NTU\nraw 88\n",
			"Jar|1|-|0|ppm|-|84|NTU\nJar|2|-|5|ppm|-|61|NTU\nJar|33|-|10|ppm|-|31|NTU\nraw|88\n"},
	} {
		got, _, notes, err := table(t, x.text)
		var lines []string
		for _, l := range strings.Split(strings.TrimSuffix(got, "\n"), "\n") {
			_, l, _ = strings.Cut(l, ": ")
			lines = append(lines, strings.ReplaceAll(l, " | ", "|"))
		}
		if s := strings.Join(lines, "\n") + "\n"; err != nil || s != x.want || len(notes) > 0 {
			t.Errorf("%s: got\n%s(%v, %v) want\n%s", name, s, notes, err, x.want)
		}
	}
}

// A cell that could stand in another column as well is told, at most ten times.
func TestBetweenColumns(t *testing.T) {
	whole := strings.Repeat("1        10        30        7\n", 60)
	_, _, notes, err := table(t, "Jar      Alum      NTU       pH\n"+whole+"2              9         7\n")
	if err != nil || len(notes) != 1 || notes[0].Code != "between-columns" || notes[0].Cell != "line 62" || !strings.Contains(notes[0].Message, `"9"`) {
		t.Errorf("a cell between two columns: %v, %v", notes, err)
	}
	_, _, notes, _ = table(t, "Jar      Alum      NTU       pH\n"+whole+strings.Repeat("2              9         7\n", 14))
	if len(notes) != mostTorn {
		t.Errorf("%d notes on fourteen such cells", len(notes))
	}
	_, _, notes, _ = table(t, "Jar      Alum      NTU       pH\n"+whole+"2              9         7  7\n")
	if slices.ContainsFunc(notes, func(n note.Note) bool { return n.Code == "between-columns" }) {
		t.Errorf("a line with a cell for each column: %v", notes)
	}
}
