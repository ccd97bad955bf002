package templates

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/templates/figure"
)

// TestWrap lays words out by hand, letter by letter.
func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 20, []string{""}},
		{"aa bb cc", 8, []string{"aa bb cc"}}, // exactly eight
		{"aa bb ccc", 8, []string{"aa bb", "ccc"}},
		{"abcdefghij", 8, []string{"abcdefgh", "ij"}},
		{"x abcdefghij y", 8, []string{"x", "abcdefgh", "ij y"}},
		{"abcdefgh", 3, []string{"abcdefgh"}}, // fewer than eight columns count as eight
		{"a\n\n b  c ", 9, []string{"a", "", "b c"}},
		{"漢字漢字漢", 8, []string{"漢字漢字", "漢"}}, // two columns each
		{"a漢字漢字", 8, []string{"a漢字漢", "字"}},
		{strings.Repeat("e\u0301", 8) + " z", 8, []string{strings.Repeat("e\u0301", 8), "z"}}, // an accent takes no column
	} {
		if got := Wrap(c.text, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%q in %d columns: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

// TestColumns holds the ends of the blocks of wide letters (Unicode's East Asian
// Width, UAX 11, from memory): the first and the last are two columns wide, their
// neighbours one.
func TestColumns(t *testing.T) {
	for _, block := range [][2]rune{{0x1100, 0x115F}, {0x2E80, 0xA4CF}, {0xAC00, 0xD7A3}, {0xF900, 0xFAFF}, {0xFE30, 0xFE6F}, {0xFF00, 0xFF60},
		{0x1F300, 0x1FAFF}} {
		for r, want := range map[rune]int{block[0]: 2, block[1]: 2, block[1] + 1: 1} {
			if got := columns(string(r)); got != want {
				t.Errorf("U+%04X takes %d columns, want %d", r, got, want)
			}
		}
	}
	for s, want := range map[string]int{"": 0, "mg/L": 4, "\u10FF": 1, "\u2E7F": 1, "\uABFF": 1, "\uF8FF": 1, "\uFE20": 0, "\uFEFF": 1, "e\u0301": 1, "e\u20DD": 1} {
		if got := columns(s); got != want {
			t.Errorf("%q takes %d columns, want %d", s, got, want)
		}
	}
	if padRight("漢", 4)+"|"+padLeft("漢", 4)+"|"+padLeft("abcde", 4) != "漢  |  漢|abcde" {
		t.Error("padding does not count columns")
	}
}

// laid writes with a Text of a width and gives the lines.
func laid(o Options, write func(*Text)) []string {
	var b bytes.Buffer
	w := NewText(&b, o)
	write(w)
	_ = w.Flush() // a buffer takes everything
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

func TestTextWidth(t *testing.T) {
	for asked, want := range map[int]int{-1: 80, 0: 80, 1: 40, 39: 40, 40: 40, 41: 41, 200: 200} {
		if got := NewText(nil, Options{Width: asked}).Width(); got != want {
			t.Errorf("asked for %d columns: %d, want %d", asked, got, want)
		}
	}
}

// TestTextLayout lays each kind of piece out at two widths.
func TestTextLayout(t *testing.T) {
	facts := []Fact{{"Dose", figure.Written("", 12.5, "mg/L")}, {"Name of a thing that is long indeed", "words that take more than one line here"}}
	cells := [][]any{{"a line of words that is far too long for it", figure.Written("", 12, "mg/L")}, {"b"}, {"c", "3", "beyond the table"}}
	cols := []Col{{Head: "what"}, {Head: "n", Right: true, Bare: true}}
	note3 := func(place ...string) note.List {
		var l note.List
		for _, p := range place {
			l.Add(note.New(note.Caution, "x", "the dose is high").Do("test more").From("a book").At(note.Place{Cell: p}))
		}
		return l
	}
	for _, c := range []struct {
		name  string
		o     Options
		write func(*Text)
		want  []string
	}{
		{"head", Options{}, func(w *Text) { w.Head("First"); w.Head("Second one") }, []string{"First", "-----", "", "Second one", "----------"}},
		{"head over two lines", Options{Width: 40}, func(w *Text) { w.Head("A heading that is longer than forty columns") },
			[]string{"A heading that is longer than forty", "columns", "-------"}},
		{"colour", Options{Color: true}, func(w *Text) { w.Head("Hot") }, []string{"\x1b[1mHot\x1b[0m", "---"}},
		{"items", Options{Width: 40}, func(w *Text) { w.Item("-", "one two three four five six seven eight nine"); w.Item("10.", "x") },
			[]string{"- one two three four five six seven", "  eight nine", "10. x"}},
		{"facts, narrow", Options{Width: 40}, func(w *Text) { w.Facts(facts) },
			[]string{"Dose                  12.5 mg/L", "Name of a thing that  words that take", "is long indeed        more than one line", "                      here"}},
		{"facts, wide", Options{Width: 100}, func(w *Text) { w.Facts(facts) },
			[]string{"Dose                                 12.5 mg/L", "Name of a thing that is long indeed  words that take more than one line here"}},
		{"table, narrow", Options{Width: 40}, func(w *Text) { w.Grid(cols, cells) },
			[]string{"what                              n mg/L", "a line of words that is far too       12", "long for it", "b", "c                                      3"}},
		{"table, wide", Options{Width: 100}, func(w *Text) { w.Grid(cols, cells) },
			[]string{"what                                         n mg/L", "a line of words that is far too long for it      12", "b", "c                                                 3"}},
		{"notes, four places", Options{}, func(w *Text) { w.Notes(note3("A1", "A2", "A3", "A4")) },
			[]string{"CAUTION The dose is high (A1, A2, A3, A4). Test more"}},
		{"notes, six places", Options{Explain: true}, func(w *Text) { w.Notes(note3("A1", "A2", "A3", "A4", "A5", "A6")) },
			[]string{"CAUTION The dose is high (A1, A2, A3, A4 and 2 more). Test more [a book]"}},
		{"notes by level", Options{Color: true}, func(w *Text) {
			w.Notes(note.List{note.New(note.Info, "i", "known"), note.New(note.Stop, "s", "stop it")})
		}, []string{"\x1b[31mSTOP\x1b[0m Stop it", "\x1b[2mnote\x1b[0m Known"}},
	} {
		if got := laid(c.o, c.write); !slices.Equal(got, c.want) {
			t.Errorf("%s:\n%q, want\n%q", c.name, got, c.want)
		}
	}
}

// TestColumnsGiveWay: left-aligned columns give way first, the widest of them, down to the least of each; then headings
// that stand wider than their numbers, until all and two blanks between them fit.
func TestColumnsGiveWay(t *testing.T) {
	left, right := Col{}, Col{Right: true}
	for _, c := range []struct {
		cols     []Col
		w, least []int
		width    int
		want     []int
	}{
		{[]Col{left, right}, []int{36, 2}, []int{12, 2}, 40, []int{36, 2}},                                       // 36 + 2 + 2 = 40
		{[]Col{left, right}, []int{37, 2}, []int{12, 2}, 40, []int{36, 2}},                                       // one over
		{[]Col{left, right, left}, []int{30, 10, 30}, []int{12, 4, 12}, 40, []int{13, 10, 13}},                   // 4 + 10 leave 26
		{[]Col{left, right, left}, []int{20, 10, 30}, []int{12, 4, 12}, 60, []int{20, 10, 26}},                   // the widest alone
		{[]Col{left, left, left, left}, []int{20, 20, 20, 20}, []int{12, 12, 12, 12}, 40, []int{12, 12, 12, 12}}, // no less than twelve
		{[]Col{left, right, right}, []int{13, 14, 20}, []int{12, 9, 8}, 40, []int{12, 12, 12}},                   // 4 + 12 leave 24 for two headings, the wider first
		{[]Col{right, right}, []int{30, 30}, []int{30, 30}, 40, []int{30, 30}},                                   // numbers are never broken
	} {
		lay := layout{cols: c.cols, w: slices.Clone(c.w), least: c.least}
		if lay.fit(c.width); !slices.Equal(lay.w, c.want) {
			t.Errorf("%v in %d columns: %v, want %v", c.w, c.width, lay.w, c.want)
		}
	}
}

// TestInert: what a spreadsheet would run gets an apostrophe; a number stays one.
func TestInert(t *testing.T) {
	for s, want := range map[string]string{"": "", "a": "a", "=1": "'=1", "-1.5": "-1.5", "+2e3": "+2e3", "-x": "'-x", "@x": "'@x", "1.5": "1.5"} {
		if got := (Options{}).inert(s); got != want {
			t.Errorf("%q: %q, want %q", s, got, want)
		}
	}
	var b bytes.Buffer
	if err := WriteCSV(&b, figure.Table{Cols: figure.Columns("a", "b", "c", "d"), Rows: []*figure.Object{figure.New().Set("b", 1.5).Set("c", "v1.5").Set("d", "x;y")}}, Options{DecimalComma: true}); err != nil || b.String() != "a;b;c;d\n;1,5;v1.5;\"x;y\"\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
}

// TestHeadsFitTheirNotes: what asks to act does not stand under a heading of what is only to be borne in mind.
func TestHeadsFitTheirNotes(t *testing.T) {
	calm, caution, stop := note.New(note.Info, "a", "calm"), note.New(note.Caution, "b", "high"), note.New(note.Stop, "c", "halt")
	const minded = "To bear in mind\n---------------\nnote Calm\n"
	for _, c := range []struct {
		notes note.List
		want  string
	}{
		{nil, ""},
		{note.List{calm}, minded},
		{note.List{calm, caution}, "Cautions\n--------\nCAUTION High\n\n" + minded},
		{note.List{caution, stop}, "Stops and cautions\n------------------\nSTOP Halt\nCAUTION High\n"},
	} {
		if got := shownText(t, PumpReport{Notes: c.notes}, Options{}); strings.TrimSpace(got) != strings.TrimSpace(c.want) {
			t.Errorf("%v: %q, not %q", c.notes, got, c.want)
		}
	}
}

// TestNumbersKeepWhatTheyAreOf: of a table of numbers the words beside a number give way before those that say what it is of: in 40 columns
// "Dose really fed" takes 15, two blanks, and 23 are left for the number and its words.
func TestNumbersKeepWhatTheyAreOf(t *testing.T) {
	list := []Number{{For: "Tests", Words: "1 of 1"}, {For: "Dose really fed", Words: "53.9 mg/L", Under: "planned 20.7 mg/L for such water"}}
	got := laid(Options{Width: 40}, func(w *Text) { w.numbers(list) })
	if want := []string{"Tests            1 of 1", "Dose really fed  53.9 mg/L, planned 20.7", "                 mg/L for such water"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	got = laid(Options{Width: 40}, func(w *Text) { w.numbers(list[:1]) })
	if want := []string{"Tests  1 of 1"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
