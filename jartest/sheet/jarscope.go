package sheet

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// jarScope is which jars a sentence speaks of: only some, or all but some.
type jarScope struct {
	only, but []int
	// control is left out
	control bool
	spans   [][]int // where in the folded sentence it says so
}

var (
	jarNumbers = words.NewPattern(`^ ?(?:nos?\b\.?|nr\b\.?|#)? ?(\d{1,2}(?:(?: ?[-–,&+~] ?| (?:to|and|through|bis|und|a|y|hasta|e|ate|et|en|tot|og|och|til|ja|do|i|ve) |, (?:and|und|y|et|e) )\d{1,2})*)(?:$|[^\d.,:]|[.,:](?:$|\D))`)
	exceptFor  = words.NewPattern(`(?:\b(?:except|excepting|excluding|but|not|none|nothing|without|save|leaving out|ausser|ausgenommen|nicht|keines?|sauf|excepte|hors|salvo|excepto|menos|nada|exceto|nao|tranne|eccetto|behalve|niet|utom|inte|unntatt|ikke|undtagen|paitsi|oprocz|krome|kromě|haric)|кроме)(?: (?:for|in|to|the|im|in|der|dem|den|en|el|la|le|au|a|al|em|no|nel|het|i|w|v))*,? *$`)
	onlyAfter  = words.NewPattern(`^ ?(?:only|nur|solo|seulement|so|alleen|bara|kun|tylko|pouze|только)\b`)
	listRange  = words.NewPattern(`(\d+)(?: ?[-–~] ?| (?:to|through|bis|a|hasta|ate|tot|til|do) )(\d+)`)
)

// jarsNamed reads "in jars 2 to 6", "all jars except jar 1", "all but the control" in a
// folded sentence.
func jarsNamed(f string) (jarScope, bool) {
	var s jarScope
	units := words.Units(f)
	for _, x := range words.Find(f) {
		out := exceptFor.FindStringIndex(f[:x.From])
		if x.Concept == "label:control" && out != nil {
			s.control = true
			s.spans = append(s.spans, []int{out[0], x.To})
		}
		m := jarNumbers.FindStringSubmatchIndex(f[x.To:])
		if x.Concept != "role:jar" || m == nil {
			continue
		}
		from, to := x.To+m[2], x.To+m[3]
		if slices.ContainsFunc(units, func(u words.UnitAt) bool { return u.From >= to && strings.TrimSpace(f[to:u.From]) == "" }) {
			continue // jars of 2 L
		}
		jars := numbered(f[from:to])
		if out != nil {
			s.but = append(s.but, jars...)
			s.spans = append(s.spans, []int{out[0], to})
			continue
		}
		if w := onlyAfter.FindString(f[to:]); w != "" {
			to += len(w)
		}
		s.only = append(s.only, jars...)
		s.spans = append(s.spans, []int{x.From, to})
	}
	return s, len(s.spans) > 0
}

// numbered gives the numbers of a list with ranges.
func numbered(list string) []int {
	var out []int
	list = listRange.ReplaceAllStringFunc(list, func(r string) string {
		m := listRange.FindStringSubmatch(r)
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		for n := a; n <= b; n++ {
			out = append(out, n)
		}
		return ""
	})
	for _, n := range bareNum.FindAllString(list, -1) {
		x, _ := strconv.Atoi(n)
		out = append(out, x)
	}
	return out
}

// has reports a jar that the scope is of.
func (s *jarScope) has(j jartest.Jar) bool {
	if s == nil {
		return true
	}
	n, _ := strconv.Atoi(bareNum.FindString(j.Label))
	return !(s.control && j.Control) && !slices.Contains(s.but, n) && (len(s.only) == 0 || slices.Contains(s.only, n))
}

// fits reports that all the jars that the scope names stand in a table.
func (s *jarScope) fits(jars []jartest.Jar) bool {
	if s == nil {
		return true
	}
	if s.control && !slices.ContainsFunc(jars, func(j jartest.Jar) bool { return j.Control }) {
		return false
	}
	return !slices.ContainsFunc(append(slices.Clone(s.only), s.but...), func(n int) bool {
		return !slices.ContainsFunc(jars, func(j jartest.Jar) bool { return bareNum.FindString(j.Label) == strconv.Itoa(n) })
	})
}
