// Package caution says what a dose may do to the water, to the animals and to the
// people, and what to do about it.
//
// Every caution is a line of one table, rules.txt, with its level, the condition
// in words, its limit, its text and its source; the code here decides only
// whether the condition holds. [Review] looks at a whole site and gives its
// findings as values; it prints nothing and looks nothing up outside its input.
package caution

import (
	"cmp"
	_ "embed" // the table is part of the program
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed rules.txt
var rulesTable string

// Rule is one line of the table.
type Rule struct {
	ID    string
	Level note.Level
	// Accepter may take the risk of a stop; empty for what stops nothing.
	Accepter string
	// When is the condition in words.
	When string
	// Limit is the figure that the condition compares with, where it has one.
	Limit    float64
	HasLimit bool
	Unit     string
	// Says and Do are what is printed, as [quantity.Told] reads it.
	Says, Do string
	// Pond is what to do where the animals stand in the water as it is dosed, Round where that water goes round
	// through a unit and is dosed there; empty where that is the same.
	Pond, Round string
	// PondSays is what is said where nobody pumps, as in a pond that is treated by hand; empty where that is the same.
	PondSays string
	// Carbon is what to do where the dose is there to take out organic carbon; empty where that is the same.
	Carbon string
	Source string
	// Status is "read", "computed" or "memory".
	Status string
}

// Rules lists the table in its order.
func Rules() []Rule { return slices.Clone(rules()) }

var rules = sync.OnceValue(func() []Rule {
	sources, rows := table.Sourced(rulesTable)
	says := map[string]string{}
	where := map[string]map[string]string{"in a pond": {}, "round a unit": {}, "for organic carbon": {}}
	for _, f := range rows {
		if do, ok := where[f[0]]; ok {
			for _, id := range table.List(f[1]) {
				if do[id] = f[2]; len(f) > 3 {
					says[id] = f[3]
				}
			}
		}
	}
	rows = slices.DeleteFunc(rows, func(f []string) bool { return where[f[0]] != nil })
	out := make([]Rule, len(rows))
	for i, f := range rows {
		word, accepter, _ := strings.Cut(f[1], " for ")
		level, ok := map[string]note.Level{"note": note.Info, "caution": note.Caution, "stop": note.Stop}[word]
		source, known := sources[f[7]]
		if !ok || !known || len(f) != 9 {
			panic(fmt.Sprintf("caution: rules.txt: level, source or fields of %q", f[0])) // a test reads every line
		}
		r := Rule{ID: f[0], Level: level, Accepter: accepter, When: f[2], Unit: f[4], Says: f[5], Do: f[6], Source: source, Status: f[8], Pond: where["in a pond"][f[0]], Round: where["round a unit"][f[0]],
			Carbon: where["for organic carbon"][f[0]], PondSays: says[f[0]]}
		r.Limit, r.HasLimit = table.Number(f[3])
		out[i] = r
	}
	return out
})

// RuleNamed finds a rule by its id. One that is not there is a programmer's mistake.
func RuleNamed(id string) Rule {
	r, ok := ruleOf(id)
	if !ok {
		panic("caution: no rule " + id) // a test visits every rule
	}
	return r
}

// Name is what the rule looks at, in words.
func (r Rule) Name() string {
	words := strings.Split(r.ID, "-")
	for i, w := range words {
		words[i] = cmp.Or(inFull[w], w)
	}
	return strings.Join(words, " ")
}

// inFull are the words that ids have in short.
var inFull = map[string]string{"ph": "pH", "co2": "carbon dioxide", "nh3": "free ammonia", "tan": "total ammonia", "al": "aluminium", "fe": "iron",
	"dw": "drinking water", "doc": "DOC"}

func ruleOf(id string) (Rule, bool) {
	i := slices.IndexFunc(rules(), func(r Rule) bool { return r.ID == id })
	if i < 0 {
		return Rule{}, false
	}
	return rules()[i], true
}

// Note makes the note of a rule with its places filled in, for answers that find
// out by themselves that its condition holds.
func Note(id string, w Words) note.Note { return RuleNamed(id).note(w) }

// Words fill the places in braces of a rule's text. The word "source", where
// given, goes before the rule's own source.
// Figures are put in as quantities, so that the note reaches each reader in his units.
type Words map[string]any

// source is the word of that name, empty where there is none.
func (w Words) source() string {
	s, _ := w["source"].(string)
	return s
}

// Bound is the limit as a quantity: a temperature with its unit, else a bare number,
// since all other limits are in units that every reader sees.
func (r Rule) Bound() quantity.Quantity {
	if r.Unit == "C" {
		return quantity.Temperature(r.Limit)
	}
	return quantity.Number(r.Limit)
}

// Listed are the words of a rule that are the same whatever it is said of, for a list of all rules.
func (r Rule) Listed() Words {
	w := Words{}
	switch {
	case r.ofLethal():
		w["part"] = fractions[r.Limit]
	case r.HasLimit:
		w["limit"] = quantity.Rounded{Q: r.Bound(), Digits: 3, Way: quantity.Trace}
	}
	return w
}

// fromMemory reports that the limit compared with was not read in any source.
func fromMemory(r Rule, w Words) bool {
	if own := w.source(); own != "" {
		return strings.HasPrefix(own, "from memory")
	}
	return r.Status == "memory"
}

// note makes the rule's note with its places filled in.
func (r Rule) note(w Words) note.Note {
	fill := make(Words, len(w)+1)
	if r.HasLimit {
		fill["limit"] = quantity.Rounded{Q: r.Bound(), Digits: 3, Way: quantity.Trace}
	}
	maps.Copy(fill, w)
	if fromMemory(r, w) && slices.ContainsFunc([]string{"{limit}", "{low}", "{range}"}, func(place string) bool { return strings.Contains(r.Says, place) }) {
		of, beside, also := strings.Cut(r.Says, "{keeps}") // beside the limit, which is no figure from memory
		if r.Says = of + " (limit from memory, not checked in its source)"; also {
			r.Says += "{keeps}" + beside
		}
	}
	says, do := quantity.Told(r.Says, fill), quantity.Told(r.Do, fill)
	return note.New(r.Level, r.ID, says.Format, says.Args...).Do(do.Format, do.Args...).From(r.source(w))
}

// source is where what the rule says of something comes from.
func (r Rule) source(w Words) string {
	if own := w.source(); own != "" {
		return own
	}
	if r.Status == "memory" && !strings.Contains(r.Source, "no source") && !strings.Contains(r.Source, "memory") {
		return r.Source + " (from memory, not checked in its source)"
	}
	return r.Source
}
