package words

import (
	"slices"
	"strings"
	"testing"
)

// A spelling in letters of Latin is found in the smaller reading of the tables as in the
// whole one: what the smaller leaves out cannot stand in such a text.
func TestLatinTablesHoldAllOfLatin(t *testing.T) {
	left := 0
	for _, table := range []string{wordsCSV, atomsCSV} {
		for w := range strings.FieldsFuncSeq(table, func(r rune) bool { return strings.ContainsRune("|,\n\"", r) }) {
			if !Foreign(w) {
				continue
			}
			left++
			if !Foreign(Fold(w)) {
				t.Errorf("%q folds to %q and is left out", w, Fold(w))
			}
		}
	}
	if left < 3000 || left > 9000 {
		t.Errorf("%d spellings are left out", left)
	}
}

// Every spelling of the table is found whole, and by its concept, whichever reading looks.
func TestEverySpellingIsFound(t *testing.T) {
	for row := range strings.Lines(wordsCSV) {
		f := strings.SplitN(strings.TrimSuffix(row, "\n"), ",", 3)
		if f[0] == "concept" {
			continue
		}
		for w := range strings.SplitSeq(f[2], "|") {
			s := Fold(w)
			if s == "" {
				continue
			}
			if !Means(w, f[0]) || Means(w, "reading:none") {
				t.Errorf("%q does not mean %s", w, f[0])
			}
			var latinly, wholly []Phrase
			if wholly = every().whole(s); !Foreign(s) {
				latinly = latin().whole(s)
			} else {
				latinly = words(s).whole(s)
			}
			if !slices.EqualFunc(latinly, wholly, samePhrase) || !slices.ContainsFunc(wholly, func(p Phrase) bool { return p.Concept == f[0] && p.Text == s }) {
				t.Errorf("%q: %v, %v", w, latinly, wholly)
			}
		}
	}
}

func samePhrase(a, b Phrase) bool {
	return a.Concept == b.Concept && a.Language == b.Language && a.Text == b.Text
}

// A slip of the pen is mended alike by both readings.
func TestSlipsAreMendedAlike(t *testing.T) {
	near := 0
	for i, n := range latin().spellings {
		w := firstToken(n.text).Text
		if i%7 > 0 || len(w) < 5 || Foreign(w) || !ascii(w) {
			continue
		}
		slip := w[:2] + w[3:]
		a, ok := latin().near(slip)
		b, also := every().near(slip)
		if ok != also || !samePhrase(a, b) {
			t.Errorf("%q: %+v, %+v", slip, a, b)
		}
		if ok {
			near++
		}
	}
	if near < 200 {
		t.Errorf("only %d slips were mended", near)
	}
}
