package sheet

import (
	"cmp"
	_ "embed"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// The words of sentences beside the tables, by language: "of" and "subject" are what a
// sentence may speak of and mean the numbers of a table, "verb" and "past" tell a sentence
// from a title, and only the former by words that say nothing more, "denied" says no, "topic"
// is what sheets speak of that no jar is changed by. "reckon" is an operation on numbers,
// "process" what is done to a "water", with "since" before the test, "clear" water without
// turbidity, "shows" what a meter does, "instruct" begins what somebody is told to do,
// "backward" is an order against that of the numbers; "copied" numbers are those of a "former"
// day, "household" what doses are spooned with; a time of "settling" is set, one "waited" too,
// one "observed" is not, one of "stirring" is before anything settled, "handled" is what was
// done to some samples, "goes on" a table on the next page. What changes nothing is "quiet"
// where jars are spoken of, "harmless" in how and by whom things were done, "plain" in how jars
// were run, and "seen" in what was seen in them; a "vial" read twice is "sameread", and "skies"
// are what a line on the weather begins with, a "page" has a number of its own. "preparing" is how
// stocks are made and kept, which changes no strength, "made by" stands before a name; a vessel
// with another "use" is no jar; a "working"
// solution is made of the "stock"; doses are of a "coagulant" or of an "aid" to it; a meter is
// checked with a "standard", by which it is "off" or "in order". A "remark" is what a sentence may
// begin with; a "portion" of something is no strength. In a remark on a jar, "sight" is what flocs and
// water look like, "sounds" what is heard of equipment, and "mishap" what was done to a jar, went wrong
// with it or is denied. What was "formerly", and not "today", is "supposed", of which some is "expected", or of "elsewhere" or "bounded" was not read in
// this water; what is
// "sampled" is no jar, what is "done often" may be done "so often" as one likes, what is "brought to" a volume was diluted, what a laboratory "weighed" no dose; a "vessel of stock" is one too where it is "of a test". A word
// that voids is not meant where something "denies" it before or it is "denied after", where the remark
// "asks whether", or where it is a part of a "void otherwise". A star ends a stem, two hold a part of words; words of several kinds stand once,
// under "a&b". What is said of "every test" is of this one too, a chemical added "in turn" with another every jar got, a reading of
// "later" keeps its own name, "buckets" are jars where nothing else is, and what is "set aside" does not count. "basicity" is how far
// a product is neutralised, and what is "warm elsewhere" has a temperature that is not the water's;
// What is "of the laboratory" are readings and by whom they were taken, of which a line says no more than how they count.
// "nth one" to "nth four" count tests. "at most" and "at least" are bounds before their number, of what "has to be". A column with a "lab number" tells samples apart.
// An "ordinal ending" makes a number one that counts readings, and a "doubtful unit" is used for several.
// The words are those of bench sheets (from memory of the languages).

//go:embed spoken.csv
var spokenCSV string

// wordList is the words of one kind. Texts in letters of Latin need no others, and most sheets are;
// the rest are folded when a text has such letters.
type wordList struct {
	rows   []string // as they stand
	latin  func() *lists
	others []string
	once   sync.Once
	every  lists
}

// lists are whole words, stems, and those of several words or of scripts without blanks, which
// are looked for inside a text.
type lists struct {
	whole  map[string]bool
	stems  []string
	parts  []string // between two stars: anywhere in a word
	inside []string // the longest first: what it takes the others do not break
}

var spoken = sync.OnceValue(func() map[string]*wordList {
	kindsOf := map[string]*wordList{}
	for row := range strings.Lines(spokenCSV) {
		kinds, rest, _ := strings.Cut(strings.TrimSpace(row), ",")
		_, list, _ := strings.Cut(rest, ",")
		for kind := range strings.SplitSeq(kinds, "&") { // words of several kinds stand once
			l := kindsOf[kind]
			if l == nil {
				l = &wordList{}
				l.latin = sync.OnceValue(l.read)
				kindsOf[kind] = l
			}
			l.rows = append(l.rows, list)
		}
	}
	return kindsOf
})

// read takes the rows apart: it gives the words in Latin letters and keeps the others.
func (l *wordList) read() *lists {
	latin := lists{whole: map[string]bool{}}
	for _, list := range l.rows {
		for w := range strings.SplitSeq(list, "|") {
			if words.Foreign(w) {
				l.others = append(l.others, w)
			} else {
				latin.add(words.Fold(w))
			}
		}
	}
	latin.sort()
	return &latin
}

// of gives the lists for a text.
func (l *wordList) of(text string) *lists {
	if !words.Foreign(text) {
		return l.latin()
	}
	return l.all()
}

// all gives the lists of every script.
func (l *wordList) all() *lists {
	l.once.Do(func() {
		e := &l.every
		latin := l.latin()
		*e = lists{maps.Clone(latin.whole), slices.Clone(latin.stems), slices.Clone(latin.parts), slices.Clone(latin.inside)}
		for _, w := range l.others {
			e.add(words.Fold(w))
		}
		e.sort()
	})
	return &l.every
}

func (l *lists) sort() {
	slices.SortStableFunc(l.inside, func(a, b string) int { return len(b) - len(a) })
}

func (l *lists) add(w string) {
	stem, star := strings.CutSuffix(w, "*")
	part, within := strings.CutPrefix(stem, "*")
	switch {
	case star && within:
		l.parts = append(l.parts, part)
	case star:
		l.stems = append(l.stems, stem)
	case strings.Contains(w, " "), unspaced(w):
		l.inside = append(l.inside, w)
	default:
		l.whole[w] = true
	}
}

func (l *lists) has(w string) bool {
	return l.whole[w] || slices.ContainsFunc(l.stems, func(s string) bool { return strings.HasPrefix(w, s) }) ||
		slices.ContainsFunc(l.parts, func(s string) bool { return strings.Contains(w, s) })
}

// has reports a folded word of the list.
func (l *wordList) has(w string) bool { return l.of(w).has(w) }

// is reports a folded text that is one entry of the list.
func (l *wordList) is(text string) bool {
	return l.has(text) || slices.Contains(l.of(text).inside, text)
}

// in reports that a folded text holds something of the list.
func (l *wordList) in(text string) bool { return l.found(text) != "" }

// found gives what a folded text holds of the list, "" for nothing.
func (l *wordList) found(text string) string {
	of, ts := l.of(text), words.Tokens(text)
	for _, t := range ts {
		if of.has(t.Text) {
			return t.Text
		}
	}
	spaced := ""
	for _, w := range of.inside {
		if !strings.Contains(text, w) {
			continue
		}
		if spaced == "" {
			spaced = spacedOut(text, ts)
		}
		if unspaced(w) || strings.Contains(spaced, " "+w+" ") {
			return w
		}
	}
	return ""
}

// at gives where a text, folded or not, first holds something of the list, -1 where it does not.
func (l *wordList) at(text string) int {
	of, ts, first := l.of(text), words.Tokens(text), -1
	for _, t := range ts {
		if of.has(words.Fold(t.Text)) {
			first = t.From
			break
		}
	}
	low := strings.ToLower(text)
	for _, w := range of.inside {
		at := strings.Index(low, w)
		if at < 0 || at >= len(text) || first >= 0 && at >= first {
			continue
		}
		if unspaced(w) || strings.Contains(spacedOut(low, ts), " "+w+" ") {
			first = at
		}
	}
	return first
}

// spans gives where phrases of the list stand in a folded text.
func (l *wordList) spans(text string) [][]int {
	var out [][]int
	for _, w := range l.of(text).inside {
		if at := strings.Index(text, w); at >= 0 && (unspaced(w) || strings.Contains(spacedOut(text, words.Tokens(text)), " "+w+" ")) {
			out = append(out, []int{at, at + len(w)})
		}
	}
	return out
}

// spacedOut gives a text between blanks as it stands and without its signs, for these part no phrase from
// what it stands with: "last year, 60".
func spacedOut(text string, ts []words.Token) string {
	var b strings.Builder
	b.WriteString(" " + text + " ")
	for _, t := range ts {
		b.WriteString(t.Text + " ")
	}
	return b.String()
}

// begins reports that a folded text begins with something of the list, signs aside.
func (l *wordList) begins(text string) bool {
	ts := words.Tokens(text)
	if len(ts) == 0 {
		return false
	}
	text = text[ts[0].From:]
	return l.has(ts[0].Text) || slices.ContainsFunc(l.of(text).inside, func(w string) bool {
		rest, ok := strings.CutPrefix(text, w)
		return ok && (unspaced(w) || !letterFirst(rest))
	})
}

func letterFirst(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r)
}

// worded makes a pattern in which {kind} stands for any word of a kind, {vessel of stock}, and {*kind} for
// those of every script.
func worded(expr string) *words.Pattern {
	return words.PatternOf(func() string { return spelledOut(expr) })
}

// spelledOut puts words in the place of their kinds.
func spelledOut(expr string) string {
	return kindInBraces.ReplaceAllStringFunc(expr, func(kind string) string {
		kind, every := strings.CutPrefix(strings.Trim(kind, "{}"), "*")
		if every {
			return spoken()[kind].all().alternatives()
		}
		return spoken()[kind].latin().alternatives()
	})
}

var kindInBraces = words.NewPattern(`\{\*?[a-z][a-z ]*\}`)

// alternatives writes the words of a list as one expression, the longest first.
func (l *lists) alternatives() string {
	all := append(slices.Collect(maps.Keys(l.whole)), l.inside...)
	slices.SortFunc(all, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	for i, w := range all {
		all[i] = regexp.QuoteMeta(w)
	}
	for _, s := range l.stems {
		all = append(all, regexp.QuoteMeta(s)+`\w*`)
	}
	return "(?:" + strings.Join(all, "|") + ")"
}

// besideJars are the concepts that sentences on how a test was run are made of, as kinds
// or whole. What else the vocabulary has is understood elsewhere, and not here.
const besideJars = "stop chem metal reading label stat:mean place value role:date role:time role:speed role:flow role:cost role:test role:note role:chemical role:unit role:value " +
	"role:parameter role:jar role:dose role:stock role:replicate role:sludge meta:all meta:operator meta:product meta:volume meta:strength stage:set stage:before filtered dilution"

// strangers gives the words of a folded sentence that nothing is known of: neither the
// vocabulary has them for something that belongs there, nor the list of quiet words.
func strangers(part string) []string {
	mask := []byte(part)
	blank := func(from, to int) {
		for i := from; i < to; i++ {
			mask[i] = '\x00' // of what was a word, its ending may be left
		}
	}
	for _, u := range words.Units(part) {
		blank(u.From, u.To)
	}
	if basisOf(part) != "" {
		for _, x := range words.Counted(part) {
			blank(x.From, x.To)
		}
	}
	h := layout.ReadHeading(part)
	for _, x := range words.Find(part) {
		if holds(besideJars, x.Concept) || x.Concept == "stage:after" && (h.Reading != "" || h.Jar) || !strange(x.Text, false) {
			blank(x.From, x.To)
		}
	}
	var out []string
	for _, t := range words.Tokens(string(mask)) {
		ending := t.From > 0 && mask[t.From-1] == 0 || t.To < len(mask) && mask[t.To] == 0
		if w := t.Text; strange(w, ending) {
			out = append(out, w)
		}
	}
	return out
}

// strange reports a word that is not known to be quiet; ending, that it is joined to one
// that is known.
func strange(w string, ending bool) bool {
	if unspaced(w) {
		for _, kind := range [...]string{"quiet", "counted"} {
			for _, q := range spoken()[kind].of(w).inside {
				w = strings.ReplaceAll(w, q, " ")
			}
		}
		return strings.IndexFunc(w, unicode.IsLetter) >= 0
	}
	_, unit := words.OnlyUnit(w)
	_, species := words.Species(w)
	switch {
	case ending, unit, species, utf8.RuneCountInString(w) < 2, layout.IsFigure(w), layout.Ordinal(w):
		return false
	case spoken()["harmless"].has(w), spoken()["plain"].has(w), spoken()["seen"].has(w), spoken()["verb"].has(w), spoken()["counted"].has(w), spoken()["copied"].has(w):
		return false
	}
	return strings.IndexFunc(w, unicode.IsLetter) >= 0 && !spoken()["quiet"].has(w) && !spoken()["reagent"].has(w)
}

// names are the words of a text that begin with a capital letter, and the numbers of
// models such as 417K, folded: in a title they are names.
func names(text string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		if r, _ := utf8.DecodeRuneInString(w); unicode.IsUpper(r) || model.MatchString(w) {
			out[words.Fold(w)] = true
		}
	}
	return out
}

// origin is whom or where something comes from, by name.
var origin = words.NewPattern(`(?:\b(?:from|by|at|of|von|bei|aus|de|do|da|du|chez|van|bij|fran|fra|od|z)|(?:^| )(?:от|из|από)) (\p{Lu}\p{L}+)`)

// origins gives the names of whom or where things come from, folded.
func origins(text string) map[string]bool {
	out := map[string]bool{}
	for _, m := range origin.FindAllStringSubmatch(text, -1) {
		out[words.Fold(m[1])] = true
	}
	return out
}

var model = words.NewPattern(`^\d{3,}\p{Lu}{1,3}$`)
