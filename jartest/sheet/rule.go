package sheet

import (
	"cmp"
	"slices"
	"strings"
)

// rule is a row of a table: it votes for a role where every test of needs holds and
// none of against. The tests are named, parted by blanks, and stand in the table's
// book of tests; a rule without needs always votes. The heaviest vote wins, in
// whatever order the rows stand.
type rule[R cmp.Ordered, E any] struct {
	role           R
	weight         int
	needs, against string
	why            string
	then           func(E) // what else follows where this rule decides
}

// near is the margin below which two roles are as likely as each other.
const near = 3

// vote is what one rule says.
type vote[R cmp.Ordered, E any] struct {
	role   R
	weight int
	why    string
	then   func(E)
}

// check is a rule with its tests looked up.
type check[R cmp.Ordered, E any] struct {
	vote[R, E]
	needs, against []func(E) bool
}

// rules are the rows of a table, ready for use.
type rules[R cmp.Ordered, E any] []check[R, E]

// ruled looks up the tests of a table's rows. A test that the book does not hold is
// a fault of the program.
func ruled[R cmp.Ordered, E any](book map[string]func(E) bool, rows []rule[R, E]) rules[R, E] {
	find := func(names string) []func(E) bool {
		var out []func(E) bool
		for _, n := range strings.Fields(names) {
			test, ok := book[n]
			if !ok {
				panic("sheet: no test is called " + n)
			}
			out = append(out, test)
		}
		return out
	}
	out := make(rules[R, E], 0, len(rows))
	for _, r := range rows {
		out = append(out, check[R, E]{vote[R, E]{r.role, r.weight, r.why, r.then}, find(r.needs), find(r.against)})
	}
	return out
}

// speaks reports that the rule votes.
func (c check[R, E]) speaks(e E) bool {
	for _, test := range c.needs {
		if !test(e) {
			return false
		}
	}
	return !slices.ContainsFunc(c.against, func(test func(E) bool) bool { return test(e) })
}

// votes gives what the rules say of e, heaviest first.
func (rs rules[R, E]) votes(e E) []vote[R, E] {
	var out []vote[R, E]
	for _, r := range rs {
		if r.speaks(e) {
			out = append(out, r.vote)
		}
	}
	byWeight(out)
	return out
}

func byWeight[R cmp.Ordered, E any](votes []vote[R, E]) {
	slices.SortStableFunc(votes, heavier[R, E])
}

// heavier orders two votes: the heavier first, then by role and reason, so that the
// order of the rows never tells.
func heavier[R cmp.Ordered, E any](a, b vote[R, E]) int {
	return cmp.Or(b.weight-a.weight, cmp.Compare(a.role, b.role), strings.Compare(a.why, b.why))
}

// decide gives the role with the heaviest vote; ok is false where no rule speaks.
func (rs rules[R, E]) decide(e E) (role R, ok bool) {
	var best vote[R, E]
	for _, r := range rs {
		if (!ok || heavier(r.vote, best) < 0) && r.speaks(e) {
			best, ok = r.vote, true
		}
	}
	if best.then != nil {
		best.then(e)
	}
	return best.role, ok
}
