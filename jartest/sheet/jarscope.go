package sheet

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// jarScope is which jars a sentence speaks of: only some, or all but some.
type jarScope struct {
	only, but []int
	// control is left out
	control bool
	spans   [][]int // where in the folded sentence it says so
	// open is a list that goes on in words that are not read: "from jar 3 on"
	open bool
}

var (
	jarNumbers = words.Jointed(`^ ?(?:nos?\b\.?|nr\b\.?|#)? ?(\d{1,2}(?:(?: ?[-–,&+~] ?| (?:{to}|{and}|{and of numbers}) |, (?:{and}) )\d{1,2})*)(?:$|[^\d.,:]|[.,:](?:$|\D))`)
	exceptFor  = words.NewPattern(`(?:\b(?:except|excepting|excluding|but|not|none|nothing|without|save|leaving out|ausser|ausgenommen|nicht|keines?|sauf|excepte|hors|salvo|excepto|menos|nada|exceto|nao|tranne|eccetto|behalve|niet|utom|inte|unntatt|ikke|undtagen|paitsi|oprocz|krome|kromě|haric)|кроме)(?: (?:for|in|to|the|im|in|der|dem|den|en|el|la|le|au|a|al|em|no|nel|het|i|w|v))*,? *$`)
	onlyAfter  = words.NewPattern(`^ ?(?:(?:only|nur|solo|seulement|so|alleen|bara|kun|tylko|pouze)\b|только)`)
	// listBefore ends what may stand before a list of jars, goesOn begins what changes it.
	listBefore = words.NewPattern(`(?:^|[^\pL ] ?|\b(?:in|to|into|for|of|on|the|only|all|each|and|but|except|im|den|die|der|und|nur|bei|en|les|las|los|dans|aux|a|al|nos|nas|no|na|nei|nel|i|w|v|do|ve|jars?|none|not|nothing|got|mg/l|ppm|also|de|van|og|och) )$`)
	goesOn     = words.NewPattern(`^ ?(?:on\b|onwards?|upwards?|up\b|and (?:up|above|on|higher)|ff\b|plus\b|or\b|oder\b|ab\b|auf\b|aufwarts|an\b|en adelante|et plus|e segg|вверх|以上|以后|から)`)
	listRange  = words.NewPattern(`(\d+)(?: ?[-–~] ?| (?:to|through|bis|a|hasta|ate|tot|til|do) )(\d+)`)
)

// jarsNamed reads "in jars 2 to 6", "all jars except jar 1", "all but the control" in a
// folded sentence.
func jarsNamed(f string) (jarScope, bool) {
	var s jarScope
	units := words.Units(f)
	for _, x := range words.Find(f) {
		if x.Concept != "label:control" && x.Concept != "role:jar" {
			continue
		}
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
		s.open = s.open || !listBefore.MatchString(f[:x.From]) || goesOn.MatchString(f[to:])
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
	return s, len(s.spans) > 0 && !s.open
}

// someOf gives the jars that a text limits what it says to, by number, place or as a rest; nil where it
// is of all.
func (b *bench) someOf(text string) *jarScope {
	f := words.Fold(text)
	scope, _ := jarsNamed(f)
	for _, x := range words.Find(f) {
		before, after := restBefore.FindStringIndex(f[:x.From]), restAfter.FindStringIndex(f[x.To:])
		switch {
		case x.Concept != "role:jar":
		case before != nil:
			scope.open, scope.spans = true, append(scope.spans, []int{before[0], x.To})
		case after != nil:
			scope.open, scope.spans = true, append(scope.spans, []int{x.From, x.To + after[1]})
		}
	}
	if len(scope.spans) == 0 || b.ofAllJars(scope) {
		return nil
	}
	return &scope
}

// restBefore and restAfter tell jars by their place or as the rest: "last two jars", "jarras restantes".
var (
	restBefore = worded(`\b{some of} (?:of the |der |de |des |dei |van de |av de )?(?:(?:one|two|three|four|five|zwei|drei|vier|dos|tres|cuatro|deux|trois|quatre|due|tre|to|tva|twee|drie|\d) )?$`)
	restAfter  = worded(`^ {some of}\b`)
)

// withoutJars gives a clause without the jars that it names, whose numbers are theirs. It
// is of the water before treatment where it says so besides: a reading in a jar is not.
func withoutJars(clause string) (string, bool) {
	f := words.Fold(clause)
	s, _ := jarsNamed(f)
	if len(s.spans) == 0 {
		return clause, true
	}
	for _, x := range slices.Backward(s.spans) {
		f = inThe.ReplaceAllString(f[:x[0]], "") + " " + f[x[1]:]
	}
	h := layout.ReadHeading(f)
	return f, h.Raw || h.Stage == "before"
}

// inThe joins a reading to a jar; alone "in" would be the water that comes in.
var inThe = words.NewPattern(`\bin (?:the )?$`)

// numbered gives the numbers of a list with ranges.
func numbered(list string) []int {
	var out []int
	list = listRange.ReplaceAllStringFunc(list, func(r string) string {
		m := listRange.FindStringSubmatch(r)
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		for n := min(a, b); n <= max(a, b); n++ {
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

// jarNumber is the number in the label of a jar; 01 is 1.
func jarNumber(j jartest.Jar) (int, bool) {
	n, err := strconv.Atoi(bareNum.FindString(j.Label))
	return n, err == nil
}

// has reports a jar that the scope is of.
func (s *jarScope) has(j jartest.Jar) bool {
	if s == nil {
		return true
	}
	n, _ := jarNumber(j)
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
		return !slices.ContainsFunc(jars, func(j jartest.Jar) bool {
			of, ok := jarNumber(j)
			return ok && of == n
		})
	})
}

// ofAllJars reports a scope that names each jar of each table by its number.
func (b *bench) ofAllJars(s jarScope) bool {
	if len(s.only) == 0 || len(s.but) > 0 || s.control || s.open {
		return false
	}
	return len(b.tables) > 0 && !slices.ContainsFunc(b.tables, func(t *layout.Table) bool {
		k := slices.IndexFunc(t.Cols, func(c layout.Column) bool { return c.Head.Jar })
		return k < 0 || slices.ContainsFunc(t.Rows, func(r int) bool {
			n, err := strconv.Atoi(strings.TrimSpace(t.View.At(r, t.Cols[k].C).Text))
			return err != nil || !slices.Contains(s.only, n)
		})
	})
}
