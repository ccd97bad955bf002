package animal

import (
	_ "embed" // the table is part of the program
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/quantity"
)

//go:embed toxicity.txt
var toxicityTable string

// Chemical is a kind of chemical that toxicity data are kept for.
type Chemical string

// The kinds in the table.
const (
	CationicPolymer  Chemical = "cationic polymer"
	Chitosan         Chemical = "chitosan"
	CationisedTannin Chemical = "cationised tannin"
	AnionicPolymer   Chemical = "anionic polymer" // and non-ionic
	Aluminium        Chemical = "aluminium"
	Iron             Chemical = "iron"
	FerrousIron      Chemical = "ferrous iron" // while it turns to ferric
	Ammonia          Chemical = "ammonia"
	MoringaSeed      Chemical = "moringa seed"
)

// Result is one line of the toxicity table.
type Result struct {
	Chemical                  Chemical
	Substance, Animal, Group  string
	Water, Endpoint, Duration string
	Low, High                 float64
	HasLow, HasHigh           bool
	More                      bool // more than Low
	Unit, Note, Source        string
	// Lethal marks the results that checks divide by their factor, Harm the least
	// that was seen to kill.
	Lethal, Harm bool
	// Weeks marks what was seen to harm over weeks and does not kill.
	Weeks bool
	// Acid marks what killed half in acid water.
	Acid bool
}

// Half reports a result by which half of the animals die or lie still; others tell deaths alone.
func (r Result) Half() bool {
	return strings.HasPrefix(r.Endpoint, "LC50") || strings.HasPrefix(r.Endpoint, "EC50")
}

// Killed says what a lethal figure of a result is: what killed half of the animals, or what
// they were seen to die of; one that is only "more than" did not kill half of them.
func (r Result) Killed() string {
	switch {
	case r.More:
		return "what fewer than half of " + r.Animal + " died of"
	case r.Half():
		return "what killed half of " + r.Animal
	}
	return "what " + r.Animal + " died of in " + r.Duration
}

// Dose gives the lowest figure of a result.
func (r Result) Dose() quantity.Concentration { return quantity.Concentration(r.Low) }

// Results lists the table in its order.
func Results() []Result { return toxicityRows().results }

// toxicityRows is the table, read once.
var toxicityRows = sync.OnceValue(func() (t struct {
	kin     [][]string
	results []Result
}) {
	sources, rows := table.Sourced(toxicityTable)
	for _, f := range rows {
		if f[0] == "kin" {
			t.kin = append(t.kin, f)
			continue
		}
		r := Result{Chemical: Chemical(f[0]), Substance: f[1], Animal: f[2], Group: f[3], Water: f[4],
			Endpoint: f[5], Duration: f[6], Unit: f[9], Note: f[10], Source: sources[f[11]],
			Lethal: f[12] == "lethal", Harm: f[12] == "harm", Weeks: f[12] == "weeks", Acid: f[12] == "acid"}
		r.Low, r.HasLow = table.Number(strings.TrimPrefix(f[7], ">"))
		r.High, r.HasHigh = table.Number(strings.TrimPrefix(f[8], ">"))
		r.More = strings.HasPrefix(f[7], ">")
		t.results = append(t.results, r)
	}
	return t
})

// NothingOf reports a group of animals of which a search found no result of any chemical of the table.
func NothingOf(group string) bool {
	searched := false
	for _, r := range Results() {
		if r.Group != group {
			continue
		}
		if !strings.HasPrefix(r.Note, "gap") {
			return false
		}
		searched = true
	}
	return searched
}

// kinOf names the kin of a group of animals, empty for a group that the table does not hold.
func kinOf(group string) string {
	for _, f := range toxicityRows().kin {
		if slices.Contains(table.List(f[2]), group) {
			return f[1]
		}
	}
	return ""
}

// SameClass reports that two groups are of one class of animals, near enough for a figure
// of one to stop what reaches the other.
func SameClass(a, b string) bool {
	return a == b || slices.ContainsFunc(toxicityRows().kin, func(f []string) bool {
		list := table.List(f[2])
		return len(f) > 3 && slices.Contains(list, a) && slices.Contains(list, b)
	})
}

// Kin reports that two groups are of one kin: fish, crustaceans, molluscs, echinoderms.
func Kin(a, b string) bool { return kinOf(a) != "" && kinOf(a) == kinOf(b) }

// Lethal is the lowest lethal result of a kind of chemical for a group of
// animals. own is true where it is that group's; otherwise the result is the
// lowest of its kin, of any animal where its kin have none: borrowed, and to be
// named as such. ok is false where the table has none at all.
//
// Results of the substance itself, where one is named, go before those of others of its kind.
//
// Cationised tannin, of which nothing lethal is known, is taken as a cationic
// polymer, and so is any animal of chitosan that has no figure of its own: then
// the lower of the two kinds counts.
func Lethal(c Chemical, substance, group string) (r Result, own, ok bool) {
	lowest := func(of func(Result) bool) bool {
		for _, x := range Results() {
			better := !ok || x.Low < r.Low
			if substance != "" && ok && (x.Substance == substance) != (r.Substance == substance) {
				better = x.Substance == substance
			}
			if x.Lethal && x.HasLow && of(x) && better {
				r, ok = x, true
			}
		}
		return ok
	}
	kinds := []Chemical{c}
	if lowest(func(x Result) bool { return x.Chemical == c && x.Group == group && group != "" }) {
		return r, true, true
	}
	if c == Chitosan || c == CationisedTannin {
		kinds = append(kinds, CationicPolymer)
	}
	kind := func(x Result) bool { return slices.Contains(kinds, x.Chemical) }
	if kin := kinOf(group); kin != "" && lowest(func(x Result) bool { return kind(x) && kinOf(x.Group) == kin }) {
		return r, false, true
	}
	substance = "" // whose animal nobody knows is held to the lowest of all
	lowest(kind)
	return r, false, ok
}

// Hardier is the result whose hardiest animals bore the least, among lethal results of a kind of chemical with a
// highest figure: of the group's kin, of any animal where its kin have none. Results of the substance itself,
// where one is named, go before those of others of its kind.
func Hardier(c Chemical, substance, group string) (best Result, ok bool) {
	rank := func(r Result) (near, same bool) {
		return Kin(r.Group, group), substance != "" && r.Substance == substance
	}
	for _, x := range Results() {
		if !x.Lethal || !x.HasHigh || x.Chemical != c {
			continue
		}
		near, same := rank(x)
		nearest, sameest := rank(best)
		if !ok || near && !nearest || near == nearest && (same && !sameest || same == sameest && x.High < best.High) {
			best, ok = x, true
		}
	}
	return best, ok
}

// Unharmed is the most of a chemical that did a group of animals no harm in a long test in water of that kind, fresh or salt:
// the lower figure of a test that found both what did none and what did.
func Unharmed(c Chemical, group, water string) (Result, bool) {
	for _, r := range Results() {
		if r.Chemical == c && r.Group == group && r.Water == water && r.HasLow && strings.HasPrefix(r.Endpoint, "no effect") {
			return r, true
		}
	}
	return Result{}, false
}

// Weeks is the least of a chemical that was seen to harm a group of animals over weeks, short of killing them.
func Weeks(c Chemical, group string) (Result, bool) {
	for _, r := range Results() {
		if r.Weeks && r.Chemical == c && r.Group == group {
			return r, true
		}
	}
	return Result{}, false
}

// InAcid is what of a metal killed half of a group of animals in acid water.
func InAcid(c Chemical, group string) (Result, bool) {
	for _, r := range Results() {
		if r.Acid && r.Chemical == c && r.Group == group {
			return r, true
		}
	}
	return Result{}, false
}

// Harmful is the least of a chemical that was seen to kill animals of a group, short of
// a figure by which half of them die.
func Harmful(c Chemical, group string) (Result, bool) {
	r, own, ok := HarmfulToAny(c, group)
	return r, ok && own
}

// HarmfulToAny is the same, of any animal where the group has no figure: then own is false,
// and it is borrowed and to be named as such.
func HarmfulToAny(c Chemical, group string) (r Result, own, ok bool) {
	for _, x := range Results() {
		if mine := x.Group == group; x.Harm && x.Chemical == c && !own && (mine || !ok) {
			r, own, ok = x, mine, true
		}
	}
	return r, own, ok
}
