package words

import (
	_ "embed"
	"encoding/csv"
	"math/bits"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"jarwright/jartest/note"
)

// The vocabulary is a table that anybody can extend: words.csv says which words of
// which language stand for a concept. A concept is "kind:name", such as
// "reading:turbidity".

//go:embed words.csv
var wordsCSV string

// Phrase is one spelling of a concept, folded and split.
type Phrase struct {
	Concept, Language string
	Text              string
	words             []string
}

// spelt is a phrase of one word with its letters.
type spelt struct {
	Phrase
	letters uint64
}

// vocabulary is the read form of the tables.
type vocabulary struct {
	byFirst  map[string][]Phrase // by first word, longest phrase first
	whole    map[string][]Phrase // by the whole folded text, signs kept
	unspaced []Phrase            // scripts without blanks, longest first
	lengths  map[int][]spelt     // one-word phrases by length, for near spellings
	mu       sync.Mutex
	slipped  map[string]Phrase // what near found, the zero phrase for nothing
}

// words gives the vocabulary; the embedded table is read once.
var words = sync.OnceValue(func() *vocabulary {
	v, err := readVocabulary(wordsCSV)
	if err != nil {
		panic("embedded vocabulary: " + err.Error()) // a table that ships with the program
	}
	return v
})

func readVocabulary(wordTable string) (*vocabulary, error) {
	v := &vocabulary{byFirst: make(map[string][]Phrase, 4096), whole: make(map[string][]Phrase, 8192), lengths: map[int][]spelt{}, slipped: map[string]Phrase{}}
	r := csv.NewReader(strings.NewReader(wordTable))
	r.LazyQuotes, r.FieldsPerRecord = true, 3
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	for _, row := range rows[1:] {
		for _, w := range strings.Split(row[2], "|") {
			f := Fold(w)
			if f == "" || slices.ContainsFunc(v.whole[f], func(p Phrase) bool { return p.Concept == row[0] && p.Text == f }) {
				continue
			}
			p := Phrase{Concept: row[0], Language: row[1], Text: f}
			ts := Tokens(f)
			p.words = make([]string, len(ts))
			for i, t := range ts {
				p.words[i] = t.Text
			}
			v.whole[f] = append(v.whole[f], p)
			if j := strings.Join(p.words, " "); j != f && j != "" && !strings.HasPrefix(f, "<") {
				v.whole[j] = append(v.whole[j], p)
			}
			if len(p.words) == 0 || strings.HasPrefix(p.Concept, "value:") {
				continue
			}
			first, _ := utf8.DecodeRuneInString(f)
			if spaceless(first) {
				v.unspaced = append(v.unspaced, p)
				continue
			}
			v.byFirst[p.words[0]] = append(v.byFirst[p.words[0]], p)
			if n := utf8.RuneCountInString(p.words[0]); len(p.words) == 1 && p.slips(n) > 0 && !strings.HasPrefix(p.Concept, "label:") {
				v.lengths[n] = append(v.lengths[n], spelt{p, letterSet(p.words[0])})
			}
		}
	}
	for _, ps := range v.byFirst {
		slices.SortStableFunc(ps, func(a, b Phrase) int { return len(b.words) - len(a.words) })
	}
	slices.SortStableFunc(v.unspaced, func(a, b Phrase) int { return len(b.Text) - len(a.Text) })
	return v, nil
}

// Hit is a phrase found in a text. Near is the word as it stands, for a spelling slip.
type Hit struct {
	Phrase
	From, To int // byte span in the folded text
	Near     string
}

// Find gives the phrases in folded text, longest first at each place, several
// where one spelling has several meanings.
func Find(s string) []Hit {
	v := words()
	var out []Hit
	ts := Tokens(s)
	for i := 0; i < len(ts); {
		n := v.at(ts, i, &out)
		i += max(n, 1)
	}
	return out
}

// at adds the phrases that begin at word i and gives the words they span.
func (v *vocabulary) at(ts []Token, i int, out *[]Hit) int {
	w := ts[i].Text
	if r, _ := utf8.DecodeRuneInString(w); spaceless(r) {
		v.unspacedIn(ts[i], out)
		return 1
	}
	span := 0
	for _, p := range v.byFirst[w] {
		if len(p.words) < span || i+len(p.words) > len(ts) {
			continue
		}
		same := true
		for k, x := range p.words {
			same = same && ts[i+k].Text == x
		}
		if same {
			span = len(p.words)
			*out = append(*out, Hit{Phrase: p, From: ts[i].From, To: ts[i+span-1].To})
		}
	}
	if span > 0 {
		return span
	}
	if p, ok := v.near(w); ok {
		for _, q := range v.byFirst[p.words[0]] {
			if len(q.words) == 1 {
				*out = append(*out, Hit{Phrase: q, From: ts[i].From, To: ts[i].To, Near: w})
			}
		}
		return 1
	}
	// Compounds, such as "resttrubung": a known word at the end, then one at the beginning.
	for cut := 3; cut <= len(w)-4; cut++ {
		if tail := v.single(w[cut:]); len(tail) > 0 && weight(w[cut:]) >= 5 {
			for _, p := range tail {
				*out = append(*out, Hit{Phrase: p, From: ts[i].From + cut, To: ts[i].To})
			}
			for _, p := range v.single(w[:cut]) {
				*out = append(*out, Hit{Phrase: p, From: ts[i].From, To: ts[i].From + cut})
			}
			return 1
		}
	}
	for cut := len(w) - 1; cut >= 6; cut-- {
		if weight(w[:cut]) < 6 {
			break
		}
		if head := v.single(w[:cut]); len(head) > 0 {
			for _, p := range head {
				if strings.HasPrefix(p.Concept, "metal:") { // a salt of the metal is not the metal
					continue
				}
				*out = append(*out, Hit{Phrase: p, From: ts[i].From, To: ts[i].From + cut})
			}
			return 1
		}
	}
	return 0
}

// weight is how much a piece of a word tells: its letters, a Korean syllable for three.
func weight(s string) int {
	n := 0
	for _, r := range s {
		if n++; unicode.Is(unicode.Hangul, r) {
			n += 2
		}
	}
	return n
}

// single gives the one-word phrases with that spelling.
func (v *vocabulary) single(w string) []Phrase {
	var out []Phrase
	for _, p := range v.byFirst[w] {
		if len(p.words) == 1 && !strings.HasPrefix(p.Concept, "label:") {
			out = append(out, p)
		}
	}
	return out
}

// unspacedIn finds words inside a run of a script without blanks.
func (v *vocabulary) unspacedIn(t Token, out *[]Hit) {
	for i := 0; i < len(t.Text); {
		n := 0
		for _, p := range v.unspaced {
			if len(p.Text) >= n && strings.HasPrefix(t.Text[i:], p.Text) {
				*out = append(*out, Hit{Phrase: p, From: t.From + i, To: t.From + i + len(p.Text)})
				n = len(p.Text)
			}
		}
		if n == 0 {
			_, n = utf8.DecodeRuneInString(t.Text[i:])
		}
		i += n
	}
}

// slips is how many slips of the pen a word of the vocabulary of so many letters may hold. A word of
// another language in Latin letters needs more of them, because so many English words
// are but a letter away: "usine" and "using", "stale" and "stable".
func (p Phrase) slips(letters int) int {
	one, two := 5, 8
	if p.Language != "en" && p.Text[0] < utf8.RuneSelf {
		one, two = 7, 12
	}
	switch {
	case letters >= two:
		return 2
	case letters >= one:
		return 1
	}
	return 0
}

// near finds a word with one slip (two from eight letters on), for words of five
// letters and more. What was found is remembered: sheets repeat their words.
func (v *vocabulary) near(w string) (Phrase, bool) {
	size := utf8.RuneCountInString(w)
	if size < 4 || size > 40 || strings.ContainsAny(w, "0123456789") {
		return Phrase{}, false
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if p, ok := v.slipped[w]; ok {
		return p, p.Concept != ""
	}
	var best Phrase
	dist := 1
	if size >= 8 {
		dist = 2
	}
	found, letters, runes := false, letterSet(w), []rune(w)
	for n := size - dist; n <= size+dist; n++ {
		for _, p := range v.lengths[n] {
			if bits.OnesCount64(p.letters^letters) > 2*dist { // a slip changes two letters at most
				continue
			}
			if d := note.Slips(runes, []rune(p.words[0])); d <= min(dist, p.slips(n)) && (!found || d < dist) {
				best, dist, found = p.Phrase, d, true
			}
		}
	}
	if len(v.slipped) < 20_000 {
		v.slipped[w] = best
	}
	return best, found
}

// letterSet is the set of letters of a word.
func letterSet(w string) uint64 {
	var set uint64
	for _, r := range w {
		set |= 1 << (uint(r) % 64)
	}
	return set
}

// Whole gives the phrases that a folded text is, signs kept.
func Whole(s string) []Phrase { return words().whole[s] }

// Means reports that the whole text is a spelling of the concept.
func Means(s, concept string) bool {
	v := words()
	f := strings.Trim(Fold(s), " .:*()[]")
	if f == "" {
		f = strings.TrimSpace(Fold(s))
	}
	for _, p := range v.whole[f] {
		if p.Concept == concept {
			return true
		}
	}
	if strings.HasPrefix(f, "<") || strings.HasPrefix(f, ">") {
		return false
	}
	var parts []string
	for _, t := range Tokens(f) {
		parts = append(parts, t.Text)
	}
	for _, p := range v.whole[strings.Join(parts, " ")] {
		if p.Concept == concept && len(parts) > 0 {
			return true
		}
	}
	return false
}
