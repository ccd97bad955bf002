package sheet

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// "Raw water for the second test: 80 NTU" is of the test that it counts; on a sheet without that test it is of none.

var testNumberAfter = words.NewPattern(`^ ?(?:no\.? ?|nr\.? ?|# ?)?([1-9])(?:[.,:]?(?:$|[^\d.,:/%]))`)

// countedTests are the kinds of words that count a test.
var countedTests = [...]string{"nth one", "nth two", "nth three", "nth four"}

// testCounted gives the number of the test that a text names; one that it begins with is the name of these jars.
func testCounted(text string) (int, bool) {
	f := withoutAmounts(withoutDays(words.Fold(text)))
	for _, x := range words.Tokens(f) {
		if x.From == 0 || !spoken()["tests"].has(x.Text) {
			continue
		}
		if m := testNumberAfter.FindStringSubmatch(f[x.To:]); m != nil {
			n, err := strconv.Atoi(m[1])
			return n, err == nil
		}
		before := strings.Fields(f[:x.From])
		for n, kind := range countedTests {
			if len(before) > 0 && spoken()[kind].has(before[len(before)-1]) {
				return n + 1, true
			}
		}
	}
	return 0, false
}

// ofAnotherTest reports a fact of the raw water of a test that this one is not, and speaks of it where no table is that test.
func (m *maker) ofAnotherTest(x fact) bool {
	n, counted := testCounted(m.b.lineAt(x))
	if !counted || m.b.isCounted(m.t, n) || m.countedAs(n) {
		return false
	}
	if !m.columnCounts(n) && !slices.ContainsFunc(m.b.tables, func(t *layout.Table) bool { return t != m.t && m.b.isCounted(t, n) }) {
		m.b.say(note.Caution, "raw-of-other-test", x.at, "%q is of test %d, and the sheet has no such test; it was not taken", clip(m.b.lineAt(x)), n).
			do(m.b, "leave the number out where it is the water of these jars")
	}
	return true
}

// countedAs reports a series or rows that are called by the number.
func (m *maker) countedAs(n int) bool {
	is := func(k layout.Piece) bool { return k.Text == strconv.Itoa(n) }
	called := m.s.Name
	for _, d := range m.rows {
		called += " " + d.test + " " + d.section
	}
	return slices.ContainsFunc(layout.Pieces(words.Fold(called)), is)
}

// columnCounts reports a table with a column of tests that has the number.
func (m *maker) columnCounts(n int) bool {
	i := slices.IndexFunc(m.fs, func(f field) bool { return f.role == asTest })
	return i >= 0 && slices.ContainsFunc(m.t.Rows, func(r int) bool {
		return slices.ContainsFunc(words.Tokens(words.Fold(m.b.label(m.t, r, m.fs[i].C))), func(k words.Token) bool { return k.Text == strconv.Itoa(n) })
	})
}

// isCounted reports a table that has the number of a test in its title, or that is in this place among the tests of its
// sheet where none has.
func (b *bench) isCounted(t *layout.Table, n int) bool {
	k, numbered := 0, false
	for _, o := range b.tables {
		if o.Area() != t.Area() || !b.isTest(o) {
			continue
		}
		said, counted := testCounted("of " + o.Title)
		if numbered = numbered || counted; o == t && counted {
			return said == n
		}
		if o.Box().R0 <= t.Box().R0 {
			k++
		}
	}
	return !numbered && k == n
}
