// Package caution says what a dose may do to the water, to the animals and to the
// people, and what to do about it.
//
// Every caution is a line of one table, rules.txt, with its level, the condition
// in words, its limit, its text and its source; the code here decides only
// whether the condition holds. [Review] looks at a whole site and gives its
// findings as values; it prints nothing and looks nothing up outside its input.
package caution

import (
	_ "embed" // the table is part of the program
	"fmt"
	"maps"
	"strconv"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

//go:embed rules.txt
var rulesTable string

// Rule is one line of the table.
type Rule struct {
	ID    string
	Level note.Level
	// When is the condition in words.
	When string
	// Limit is the figure that the condition compares with, where it has one.
	Limit    float64
	HasLimit bool
	Unit     string
	// Says and Do are what is printed, as [quantity.Told] reads it.
	Says, Do string
	Source   string
	// Status is "read", "computed" or "memory".
	Status string
}

// Rules lists the table in its order.
func Rules() []Rule {
	sources := map[string]string{}
	var out []Rule
	for _, line := range strings.Split(rulesTable, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		f := strings.Split(line, "|")
		for i := range f {
			f[i] = strings.TrimSpace(f[i])
		}
		if f[0] == "source" {
			sources[f[1]] = f[2]
			continue
		}
		if len(f) != 9 {
			panic(fmt.Sprintf("caution: rules.txt: %d fields in %q", len(f), line)) // a test reads every line
		}
		level, ok := map[string]note.Level{"note": note.Info, "caution": note.Caution, "stop": note.Stop}[f[1]]
		source, known := sources[f[7]]
		if !ok || !known {
			panic(fmt.Sprintf("caution: rules.txt: level or source of %q", f[0]))
		}
		r := Rule{ID: f[0], Level: level, When: f[2], Unit: f[4], Says: f[5], Do: f[6], Source: source, Status: f[8]}
		if f[3] != "" {
			v, err := strconv.ParseFloat(f[3], 64)
			if err != nil {
				panic("caution: rules.txt: " + err.Error())
			}
			r.Limit, r.HasLimit = v, true
		}
		out = append(out, r)
	}
	return out
}

// RuleNamed finds a rule by its id, or false.
func RuleNamed(id string) (Rule, bool) {
	for _, r := range Rules() {
		if r.ID == id {
			return r, true
		}
	}
	return Rule{}, false
}

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
	source := r.Source
	if r.Status == "memory" && !strings.Contains(source, "no source") && !strings.Contains(source, "memory") {
		source += " (from memory)"
	}
	if own := w.source(); own != "" {
		source = own
	}
	says, do := quantity.Told(r.Says, fill), quantity.Told(r.Do, fill)
	if fromMemory(r, w) && (strings.Contains(r.Says, "{limit}") || strings.Contains(r.Says, "{low}")) {
		says.Format += " (limit from memory)"
	}
	return note.New(r.Level, r.ID, says.Format, says.Args...).Do(do.Format, do.Args...).From(source)
}
