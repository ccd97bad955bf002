package sheet

import (
	_ "embed"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// The words of labels and remarks are a table that anybody can extend: rows.csv says
// which words of which language say nothing against a jar (look, little), which speak
// although each of their words is harmless (telling), stand beside the number of a
// label (label), name another water (water), or answer a question (yes, no).
//
//go:embed rows.csv
var rowsCSV string

// lexicon is the words of one concept of rows.csv.
type lexicon struct {
	phrases map[string][][]string // split, by the first word
	runs    []string              // in scripts that put no blanks between words
}

var lexicons words.Memory[string, *lexicon]

// lexiconOf gives the words of a concept, which are taken out of the table when they are
// first asked for.
func lexiconOf(concept string) *lexicon {
	return lexicons.Of(concept, func(concept string) *lexicon {
		x := &lexicon{phrases: map[string][][]string{}}
		for row := range strings.Lines(rowsCSV) {
			rest, ok := strings.CutPrefix(strings.TrimSuffix(row, "\n"), concept+",")
			if !ok {
				continue
			}
			_, list, _ := strings.Cut(rest, ",")
			for w := range strings.SplitSeq(list, "|") {
				x.add(words.Fold(w))
			}
		}
		return x
	})
}

func (x *lexicon) add(folded string) {
	if unspaced(folded) {
		x.runs = append(x.runs, folded)
		return
	}
	split := make([]string, 0, 1) // most are one word
	for _, k := range words.Tokens(folded) {
		split = append(split, k.Text)
	}
	if len(split) == 0 {
		split = []string{folded} // a sign
	}
	x.phrases[split[0]] = append(x.phrases[split[0]], split)
}

// unspaced reports a script whose words stand against each other, or against their endings.
func unspaced(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool {
		return r >= utf8.RuneSelf && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul,
			unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
	}) >= 0
}

// saying is a label or a remark taken apart, with what is known of each of its words.
type saying struct {
	text   string // folded
	tokens []words.Token
	hits   []words.Hit
	head   layout.Heading
}

var sayings words.Memory[string, *saying]

func say(text string) *saying {
	return sayings.Of(text, func(text string) *saying {
		f := words.Fold(text)
		return &saying{text: f, tokens: words.Tokens(f), hits: words.Find(f), head: layout.ReadHeading(text)}
	})
}

// place is where a saying stands, and with that what it can hold that needs no word.
type place struct {
	concepts []string // of the vocabulary; those that end in ":" with all of their kind
	words    []string // of rows.csv
}

// places say what each place consumes or may hold harmlessly.
var places = struct{ remark, label place }{
	remark: place{
		[]string{"reading:", "role:note", "role:time", "role:jar", "role:speed", "stage:after", "label:chosen", "removal", "change"},
		[]string{"look", "little"},
	},
	label: place{[]string{"role:jar"}, []string{"label"}},
}

// left gives the words of a saying that its place does not consume, numbers aside.
func (s *saying) left(in place) []string {
	known := make([]bool, len(s.text))
	for _, x := range s.hits {
		if x.Near == "" && slices.ContainsFunc(in.concepts, func(c string) bool {
			return x.Concept == c || strings.HasSuffix(c, ":") && strings.HasPrefix(x.Concept, c)
		}) {
			fill(known, x.From, x.To)
		}
	}
	for _, w := range in.words {
		lexiconOf(w).find(s, func(from, to int) { fill(known, from, to) })
	}
	var out []string
	for _, k := range s.tokens {
		if !layout.IsFigure(k.Text) && slices.Contains(known[k.From:k.To], false) {
			out = append(out, k.Text)
		}
	}
	return out
}

func fill(known []bool, from, to int) {
	for i := from; i < to; i++ {
		known[i] = true
	}
}

// find gives the spans of the lexicon's words in a saying.
func (x *lexicon) find(s *saying, at func(from, to int)) {
	for i, k := range s.tokens {
		for _, p := range x.phrases[k.Text] {
			if n := i + len(p); n <= len(s.tokens) && slices.EqualFunc(p, s.tokens[i:n], func(w string, k words.Token) bool { return w == k.Text }) {
				at(k.From, s.tokens[n-1].To)
			}
		}
	}
	if !unspaced(s.text) {
		return
	}
	for _, w := range x.runs {
		for from := 0; ; {
			i := strings.Index(s.text[from:], w)
			if i < 0 {
				break
			}
			at(from+i, from+i+len(w))
			from += i + len(w)
		}
	}
}

// has reports a word of rows.csv.
func (s *saying) has(concept string) bool {
	found := false
	lexiconOf(concept).find(s, func(int, int) { found = true })
	return found
}

// is reports that a saying is nothing but a word of rows.csv.
func (s *saying) is(concept string) bool {
	x, f := lexiconOf(concept), strings.Trim(s.text, " .!")
	if slices.Contains(x.runs, f) {
		return true
	}
	for _, p := range x.phrases[first(f)] {
		if strings.Join(p, " ") == f {
			return true
		}
	}
	return false
}

func first(s string) string {
	w, _, _ := strings.Cut(s, " ")
	return w
}

// means reports a concept of the vocabulary.
func (s *saying) means(concept string) bool {
	return slices.ContainsFunc(s.hits, func(x words.Hit) bool { return x.Concept == concept })
}

// uncovered gives the words of a text that the vocabulary has no concept for, the
// little ones too.
func uncovered(s string) []string {
	f := words.Fold(s)
	hits := words.Find(f)
	var out []string
	for _, k := range words.Tokens(f) {
		known := false
		for _, x := range hits {
			known = known || k.From >= x.From && k.To <= x.To
		}
		if !known && len([]rune(k.Text)) > 1 && strings.IndexFunc(k.Text, unicode.IsLetter) >= 0 {
			out = append(out, k.Text)
		}
	}
	return out
}
