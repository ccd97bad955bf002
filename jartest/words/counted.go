package words

import (
	"cmp"
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// The phrases by which doses are said to count something, by basis and language: what
// stands before the word for it, that word, and what stands after it. Any of those before
// goes with any word and any of those after; "{}" is a species, which is the basis then.
// The phrases are those of bench sheets (from memory of the languages).
//
//go:embed counted.csv
var countedCSV string

// CountedAt is a phrase that says what doses count, with its place in the folded text.
type CountedAt struct {
	As       string
	From, To int
}

// countedForms are the phrases of one row: where before or after is empty, none is needed.
type countedForms struct {
	before, after []string
	nouns         map[string]string // the basis by the word for it
	ofSpecies     bool
}

var countedTable = sync.OnceValue(func() []countedForms {
	species := map[string]string{}
	for _, s := range speciesTable {
		for w := range strings.SplitSeq(s.spellings, "|") {
			if !s.noun && !strings.Contains(w, " ") && s.name != "product" && s.name != "active" && s.name != "dry product" {
				species[w] = s.name
			}
		}
	}
	var out []countedForms
	for row := range strings.Lines(countedCSV) {
		col := strings.Split(strings.TrimSpace(row), ",")
		form := countedForms{foldedList(col[2]), foldedList(col[4]), species, col[3] == "{}"}
		if !form.ofSpecies {
			form.nouns = map[string]string{}
			for _, w := range foldedList(col[3]) {
				form.nouns[w] = col[0]
			}
		}
		out = append(out, form)
	}
	return out[1:] // the first is the heading
})

// countedNoun is a word for what doses count, with its form.
type countedNoun struct {
	noun, as string
	form     *countedForms
}

// countedNouns are all of them by their first byte.
var countedNouns = sync.OnceValue(func() *[256][]countedNoun {
	var out [256][]countedNoun
	for i := range countedTable() {
		form := &countedTable()[i]
		for noun, as := range form.nouns {
			out[noun[0]] = append(out[noun[0]], countedNoun{noun, as, form})
		}
	}
	return &out
})

func foldedList(list string) []string {
	if list == "" {
		return nil
	}
	out := strings.Split(list, "|")
	for i, w := range out {
		out[i] = Fold(w)
	}
	return out
}

// formulaGoesOn begins with what goes on with a formula: that of Ca(OH)2 is none of Ca.
var formulaGoesOn = NewPattern(`^(?:\([a-z]{1,2}\d*\)|[·.*•] ?\d{0,2} ?h2o)`)

// OfProduct reports a folded phrase that is a word for the product as it is sold and nothing else,
// "producto comercial".
func OfProduct(f string) bool {
	return slices.ContainsFunc(countedTable(), func(form countedForms) bool { return form.nouns[f] == "product" })
}

var countedTexts Memory[string, []CountedAt]

// Counted gives the phrases of a text that say what doses count: "als Produkt", "jako Al",
// "按产品计".
func Counted(text string) []CountedAt {
	return countedTexts.Of(Fold(text), func(f string) []CountedAt {
		var out []CountedAt
		for i := range f {
			for _, n := range countedNouns()[f[i]] {
				to := i + len(n.noun)
				if !strings.HasPrefix(f[i:], n.noun) || !whole(f, i, to) || formulaGoesOn.MatchString(f[to:]) || n.noun == "alumina" && ofSalt(f, i, to) {
					continue
				}
				a, before := beginsAt(f, i, n.form.before)
				if b, after := endsAt(f, to, n.form.after); before && after {
					out = append(out, CountedAt{n.as, a, b})
				}
			}
		}
		out = append(out, metalsCounted(f)...)
		slices.SortFunc(out, func(a, b CountedAt) int { return cmp.Or(a.From-b.From, b.To-a.To) })
		return out
	})
}

// metalsCounted gives the same of the metals by their names, which go with what stands beside a
// species: "calculated as iron", "als Eisen".
func metalsCounted(f string) []CountedAt {
	var out []CountedAt
	for _, x := range Find(f) {
		as := strings.ToLower(strings.TrimPrefix(x.Concept, "metal:"))
		if x.Near != "" || !strings.HasPrefix(x.Concept, "metal:") || f[x.From:x.To] == as || formulaGoesOn.MatchString(f[x.To:]) {
			continue
		}
		for _, form := range countedTable() {
			a, before := beginsAt(f, x.From, form.before)
			b, after := endsAt(f, x.To, form.after)
			if form.ofSpecies && before && after {
				out = append(out, CountedAt{as, a, b})
			}
		}
	}
	return out
}

// activeNouns are the words for what a product holds that works, longest first.
var activeNouns = sync.OnceValue(func() []string {
	var out []string
	for _, form := range countedTable() {
		for noun, as := range form.nouns {
			if as == "active" {
				out = append(out, noun)
			}
		}
	}
	slices.SortFunc(out, func(a, b string) int { return cmp.Or(len(b)-len(a), strings.Compare(a, b)) })
	return slices.Compact(out)
})

// Active gives the words of a folded text for what works of a product, also where nothing says that
// doses are counted in it: "active PACl", "mg/L a.i.".
func Active(f string) (at CountedAt, found bool) {
	for _, noun := range activeNouns() {
		for from := 0; ; from++ {
			i := strings.Index(f[from:], noun)
			if i < 0 {
				break
			}
			if from += i; whole(f, from, from+len(noun)) {
				return CountedAt{"active", from, from + len(noun)}, true
			}
		}
	}
	return CountedAt{}, false
}

// beginsAt gives where the longest of some phrases begins that ends before i.
func beginsAt(f string, i int, phrases []string) (int, bool) {
	at, found := i, len(phrases) == 0
	said := strings.TrimRight(f[:i], " ")
	for _, w := range phrases {
		if n := len(said) - len(w); strings.HasSuffix(said, w) && n < at && whole(f, n, len(said)) {
			at, found = n, true
		}
	}
	return at, found
}

// endsAt gives where the longest of some phrases ends that begins after i.
func endsAt(f string, i int, phrases []string) (int, bool) {
	at, found := i, len(phrases) == 0
	n := i + len(f[i:]) - len(strings.TrimLeft(f[i:], " -"))
	for _, w := range phrases {
		if to := n + len(w); strings.HasPrefix(f[n:], w) && to > at && whole(f, n, to) {
			at, found = to, true
		}
	}
	return at, found
}

// whole reports a span of a folded text whose ends are those of words.
func whole(f string, from, to int) bool {
	before, _ := utf8.DecodeLastRuneInString(f[:from])
	first, _ := utf8.DecodeRuneInString(f[from:])
	last, _ := utf8.DecodeLastRuneInString(f[:to])
	after, _ := utf8.DecodeRuneInString(f[to:])
	return parted(before, first) && parted(last, after)
}

// parted reports that a word can end between two runes.
func parted(a, b rune) bool {
	inWord := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) }
	joins := func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
	}
	return !inWord(a) || !inWord(b) || joins(a) || joins(b)
}
