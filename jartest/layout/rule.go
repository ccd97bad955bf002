package layout

import (
	"cmp"
	"slices"
	"strings"
)

// Rule is a row of a table: it votes for a role where every test of needs holds and
// none of against. The tests are named, parted by blanks, and stand in the table's
// book of tests; a rule without needs always votes. The heaviest vote wins, in
// whatever order the rows stand.
type Rule[R cmp.Ordered, E any] = struct {
	Role           R
	Weight         int
	Needs, Against string
	Why            string
	Then           func(E) // what else follows where this rule decides
}

// Near is the margin below which two roles are as likely as each other.
const Near = 3

// Vote is what one rule says.
type Vote[R cmp.Ordered, E any] struct {
	Role   R
	Weight int
	Why    string
	Then   func(E)
}

// check is a rule with its tests looked up.
type check[R cmp.Ordered, E any] struct {
	Vote[R, E]
	needs, against []func(E) bool
}

// Rules are the rows of a table, ready for use.
type Rules[R cmp.Ordered, E any] []check[R, E]

// NewRules looks up the tests of a table's rows. A test that the book does not hold is
// a fault of the program.
func NewRules[R cmp.Ordered, E any](book map[string]func(E) bool, rows []Rule[R, E]) Rules[R, E] {
	find := func(names string) []func(E) bool {
		var out []func(E) bool
		for _, n := range strings.Fields(names) {
			test, ok := book[n]
			if !ok {
				panic("layout: no test is called " + n)
			}
			out = append(out, test)
		}
		return out
	}
	out := make(Rules[R, E], 0, len(rows))
	for _, r := range rows {
		out = append(out, check[R, E]{Vote[R, E]{r.Role, r.Weight, r.Why, r.Then}, find(r.Needs), find(r.Against)})
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

// Votes gives what the rules say of e, heaviest first.
func (rs Rules[R, E]) Votes(e E) []Vote[R, E] {
	var out []Vote[R, E]
	for _, r := range rs {
		if r.speaks(e) {
			out = append(out, r.Vote)
		}
	}
	ByWeight(out)
	return out
}

// ByWeight sorts votes, the heaviest first.
func ByWeight[R cmp.Ordered, E any](votes []Vote[R, E]) {
	slices.SortStableFunc(votes, heavier[R, E])
}

// heavier orders two votes: the heavier first, then by role and reason, so that the
// order of the rows never tells.
func heavier[R cmp.Ordered, E any](a, b Vote[R, E]) int {
	return cmp.Or(b.Weight-a.Weight, cmp.Compare(a.Role, b.Role), strings.Compare(a.Why, b.Why))
}

// Decide gives the role with the heaviest vote; ok is false where no rule speaks.
func (rs Rules[R, E]) Decide(e E) (role R, ok bool) {
	var best Vote[R, E]
	for _, r := range rs {
		if (!ok || heavier(r.Vote, best) < 0) && r.speaks(e) {
			best, ok = r.Vote, true
		}
	}
	if best.Then != nil {
		best.Then(e)
	}
	return best.Role, ok
}
