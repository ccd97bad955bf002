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
	"strconv"
	"strings"

	"jarwright/jartest/note"
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
	// Says and Do are what is printed, with words in braces filled in.
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
type Words map[string]string

// fromMemory reports that the limit compared with was not read in any source.
func fromMemory(r Rule, w Words) bool {
	if own := w["source"]; own != "" {
		return strings.HasPrefix(own, "from memory")
	}
	return r.Status == "memory"
}

// note makes the rule's note with its places filled in.
func (r Rule) note(w Words) note.Note {
	fill := make([]string, 0, 2*len(w)+2)
	if _, given := w["limit"]; !given && r.HasLimit {
		fill = append(fill, "{limit}", amount(r.Limit))
	}
	for k, v := range w {
		fill = append(fill, "{"+k+"}", v)
	}
	f := strings.NewReplacer(fill...)
	source := r.Source
	if r.Status == "memory" && !strings.Contains(source, "no source") && !strings.Contains(source, "memory") {
		source += " (from memory)"
	}
	if own := w["source"]; own != "" {
		source = own
	}
	says := f.Replace(r.Says)
	if fromMemory(r, w) && (strings.Contains(r.Says, "{limit}") || strings.Contains(r.Says, "{low}")) {
		says += " (limit from memory)"
	}
	return note.Note{Level: r.Level, Code: r.ID, Message: says, Remedy: f.Replace(r.Do), Source: source}
}
