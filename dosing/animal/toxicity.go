package animal

import (
	_ "embed" // the table is part of the program
	"sort"
	"strings"

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
	Ammonia          Chemical = "ammonia"
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
	// Lethal marks the results that checks divide by their factor.
	Lethal bool
}

// Dose gives the lowest figure of a result.
func (r Result) Dose() quantity.Concentration { return quantity.Concentration(r.Low) }

// Results lists the table in its order.
func Results() []Result {
	sources, rows := table.Sourced(toxicityTable)
	out := make([]Result, 0, len(rows))
	for _, f := range rows {
		r := Result{Chemical: Chemical(f[0]), Substance: f[1], Animal: f[2], Group: f[3], Water: f[4],
			Endpoint: f[5], Duration: f[6], Unit: f[9], Note: f[10], Source: sources[f[11]], Lethal: f[12] == "lethal"}
		r.Low, r.HasLow = table.Number(strings.TrimPrefix(f[7], ">"))
		r.High, r.HasHigh = table.Number(strings.TrimPrefix(f[8], ">"))
		r.More = strings.HasPrefix(f[7], ">")
		out = append(out, r)
	}
	return out
}

// Lethal is the lowest lethal result of a kind of chemical for a group of
// animals. own is true where it is that group's; otherwise the result is the
// lowest of any animal, borrowed, and must be named as such. ok is false where
// the table has none at all (ferric salts).
//
// Cationised tannin, of which nothing lethal is known, is taken as a cationic
// polymer, and so is any animal of chitosan that has no figure of its own: then
// the lower of the two kinds counts.
func Lethal(c Chemical, group string) (r Result, own, ok bool) {
	kinds := map[Chemical]bool{c: true}
	var all []Result
	pick := func() {
		all = all[:0]
		for _, x := range Results() {
			if kinds[x.Chemical] && x.Lethal && x.HasLow {
				all = append(all, x)
			}
		}
		sort.SliceStable(all, func(i, j int) bool { return all[i].Low < all[j].Low })
	}
	pick()
	for _, x := range all {
		if x.Group == group && group != "" {
			return x, true, true
		}
	}
	if c == Chitosan || c == CationisedTannin {
		kinds[CationicPolymer] = true
		pick()
	}
	if len(all) == 0 {
		return Result{}, false, false
	}
	return all[0], false, true
}
