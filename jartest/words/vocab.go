package words

import (
	_ "embed"
	"hash/maphash"
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

// vocabulary is the table of words. A process reads few sheets of few words, so its spellings are
// noted by their first word alone, and taken apart when a text has that word.
type vocabulary struct {
	rows      [][2]string    // of each row of the table, its concept and language
	spellings []noted        // in the order of the table
	last      [1 << 13]int32 // by hash of the key, the number of the last such spelling, from 1 on

	mu        sync.Mutex
	taken     map[string]*shelf
	lengths   map[int][]spelt     // one-word phrases by length, for near spellings
	slipped   map[string]Phrase   // what near found, the zero phrase for nothing
	shortened map[string][]Phrase // what cutShort found
}

// noted is a spelling not yet taken apart: its folded text, its row, and the number of the one
// before it with the same hash.
type noted struct {
	text        string
	row, before int32
}

// shelf is the phrases of one key, split.
type shelf struct {
	all  []Phrase // in the order of the table
	said []Phrase // those that a sentence can hold, longest first
}

// spelt is a phrase of one word with its letters.
type spelt struct {
	noted
	word    string
	letters uint64
}

// Texts in the alphabets of Latin need no more than the spellings in these: the others
// cost several times as much to fold.
var (
	latin = sync.OnceValue(func() *vocabulary { return readVocabulary(wordsCSV, true) })
	every = sync.OnceValue(func() *vocabulary { return readVocabulary(wordsCSV, false) })
)

// words gives the vocabulary for a folded text.
func words(folded string) *vocabulary {
	if Foreign(folded) {
		return every()
	}
	return latin()
}

// Foreign reports letters of an alphabet that is not folded to Latin.
func Foreign(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < utf8.RuneSelf {
			continue
		}
		for _, r := range s[i:] {
			if r >= 0x370 && (r < 0x1e00 || r >= 0x2c00) { // between them: Vietnamese letters, accents of Greek, signs
				return true
			}
		}
		return false
	}
	return false
}

// readVocabulary reads a table of rows "concept,language,spelling|spelling".
func readVocabulary(table string, latinOnly bool) *vocabulary {
	v := &vocabulary{taken: map[string]*shelf{}, slipped: map[string]Phrase{}, shortened: map[string][]Phrase{}}
	v.rows, v.spellings = make([][2]string, 0, strings.Count(table, "\n")), make([]noted, 0, 8192)
	_, table, _ = strings.Cut(table, "\n")
	for row := range strings.Lines(table) {
		concept, rest, _ := strings.Cut(strings.TrimSuffix(row, "\n"), ",")
		language, list, _ := strings.Cut(rest, ",")
		for w := range strings.SplitSeq(list, "|") {
			if latinOnly && Foreign(w) {
				continue
			}
			if f := Fold(w); f != "" {
				v.note(f)
			}
		}
		v.rows = append(v.rows, [2]string{concept, language})
	}
	return v
}

// note adds a spelling of the row in hand.
func (v *vocabulary) note(text string) {
	last := v.chain(key(text))
	v.spellings = append(v.spellings, noted{text, int32(len(v.rows)), *last})
	*last = int32(len(v.spellings))
}

// chain is where the spellings of a key, and by chance of others, are found.
func (v *vocabulary) chain(key string) *int32 {
	return &v.last[maphash.String(seed, key)%uint64(len(v.last))]
}

var seed = maphash.MakeSeed()

// phrase gives a spelling with its row, not split.
func (v *vocabulary) phrase(n noted) Phrase {
	r := v.rows[n.row]
	return Phrase{Concept: r[0], Language: r[1], Text: n.text}
}

// key is what a folded text is found by: its first word, or its first letter where
// words stand without blanks; "" for signs alone.
func key(folded string) string {
	t := firstToken(folded)
	if r, n := utf8.DecodeRuneInString(t.Text); spaceless(r) {
		return t.Text[:n]
	}
	return t.Text
}

// under gives the phrases of a key.
func (v *vocabulary) under(key string) *shelf {
	last := *v.chain(key)
	if last == 0 {
		return &noPhrase
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	s, ok := v.taken[key]
	if !ok {
		s = v.takeApart(key, last)
		if len(s.all) == 0 {
			return &noPhrase
		}
		v.taken[key] = s
	}
	return s
}

var noPhrase shelf

func (v *vocabulary) takeApart(k string, last int32) *shelf {
	var texts []noted
	for last > 0 {
		n := v.spellings[last-1]
		if last = n.before; key(n.text) == k {
			texts = append(texts, n)
		}
	}
	s := &shelf{}
	for _, n := range slices.Backward(texts) {
		p := v.phrase(n)
		if !slices.ContainsFunc(s.all, func(q Phrase) bool { return q.Concept == p.Concept && q.Text == p.Text }) {
			s.all = append(s.all, p)
		}
	}
	for i := range s.all {
		for _, t := range Tokens(s.all[i].Text) {
			s.all[i].words = append(s.all[i].words, t.Text)
		}
		if p := s.all[i]; !strings.HasPrefix(p.Concept, "value:") && len(p.words) > 0 {
			s.said = append(s.said, p)
		}
	}
	slices.SortStableFunc(s.said, func(a, b Phrase) int {
		if spaceless(firstRune(a.Text)) {
			return len(b.Text) - len(a.Text)
		}
		return len(b.words) - len(a.words)
	})
	return s
}

// whole gives the phrases that a folded text is; the signs between words may be others.
func (v *vocabulary) whole(s string) []Phrase {
	var out []Phrase
	for _, p := range v.under(key(s)).all {
		if p.is(s) {
			out = append(out, p)
		}
	}
	return out
}

// is reports that a folded text is the phrase, or its words parted by blanks.
func (p Phrase) is(s string) bool {
	return p.Text == s || len(p.words) > 0 && !strings.HasPrefix(p.Text, "<") && strings.Join(p.words, " ") == s
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
	v := words(s)
	var out []Hit
	ts := Tokens(s)
	for i := 0; i < len(ts); {
		n := v.at(s, ts, i, &out)
		i += max(n, 1)
	}
	return out
}

// at adds the phrases that begin at word i and gives the words they span.
func (v *vocabulary) at(s string, ts []Token, i int, out *[]Hit) int {
	t := ts[i]
	if spaceless(firstRune(t.Text)) {
		v.unspacedIn(t, out)
		return 1
	}
	span := 0
	for _, p := range v.under(t.Text).said {
		if len(p.words) >= span && p.begin(ts[i:]) {
			span = len(p.words)
			*out = append(*out, Hit{Phrase: p, From: t.From, To: ts[i+span-1].To})
		}
	}
	if span > 0 {
		return v.goesOn(s, ts, i, span, out)
	}
	if goesOn := strings.HasPrefix(s[t.To:], ".") && t.To+1 < len(s); goesOn {
		if all := v.cutShort(t.Text); len(all) > 0 {
			for _, p := range all {
				*out = append(*out, Hit{Phrase: p, From: t.From, To: t.To, Near: t.Text})
			}
			return 1
		}
	}
	if p, ok := v.near(t.Text); ok {
		for _, q := range v.under(p.words[0]).said {
			if len(q.words) == 1 {
				*out = append(*out, Hit{Phrase: q, From: t.From, To: t.To, Near: t.Text})
			}
		}
		return 1
	}
	if v.tail(t, out) || v.head(t, out) {
		return 1
	}
	return 0
}

// goesOn lets a phrase just found go on with a longer one of its concept that begins inside it: "volume
// of stock" with "stock solution". It gives the words spanned then.
func (v *vocabulary) goesOn(s string, ts []Token, i, span int, out *[]Hit) int {
	from := len(*out)
	for from > 0 && (*out)[from-1].From == ts[i].From {
		from--
	}
	longest := span
	for k := 1; k < span; k++ {
		for _, p := range v.under(ts[i+k].Text).said {
			if k+len(p.words) <= longest || len(p.words) < 2 || !p.begin(ts[i+k:]) {
				continue
			}
			for at := from; at < len(*out); at++ {
				if x := &(*out)[at]; x.Concept == p.Concept && x.To == ts[i+span-1].To {
					x.To, longest = ts[i+k+len(p.words)-1].To, k+len(p.words)
				}
			}
		}
	}
	return longest
}

// begin reports that a text of words begins with the phrase.
func (p Phrase) begin(ts []Token) bool {
	if len(p.words) > len(ts) {
		return false
	}
	for k, w := range p.words {
		if ts[k].Text != w {
			return false
		}
	}
	return true
}

// tail finds a known word at the end of a compound, such as "resttrubung", and then one
// at its beginning.
func (v *vocabulary) tail(t Token, out *[]Hit) bool {
	w := t.Text
	for cut := 3; cut <= len(w)-4; cut++ {
		if tail := v.single(w[cut:]); len(tail) > 0 && weight(w[cut:]) >= 5 {
			for _, p := range tail {
				*out = append(*out, Hit{Phrase: p, From: t.From + cut, To: t.To})
			}
			for _, p := range v.single(w[:cut]) {
				*out = append(*out, Hit{Phrase: p, From: t.From, To: t.From + cut})
			}
			return true
		}
	}
	return false
}

// head finds a known word at the beginning of a compound.
func (v *vocabulary) head(t Token, out *[]Hit) bool {
	w := t.Text
	for cut := len(w) - 1; cut >= 6 && weight(w[:cut]) >= 6; cut-- {
		head := v.single(w[:cut])
		for _, p := range head {
			if !strings.HasPrefix(p.Concept, "metal:") { // a salt of the metal is not the metal
				*out = append(*out, Hit{Phrase: p, From: t.From, To: t.From + cut})
			}
		}
		if len(head) > 0 {
			return true
		}
	}
	return false
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
	for _, p := range v.under(w).said {
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
		_, letter := utf8.DecodeRuneInString(t.Text[i:])
		for _, p := range v.under(t.Text[i : i+letter]).said {
			if len(p.Text) >= n && strings.HasPrefix(t.Text[i:], p.Text) {
				*out = append(*out, Hit{Phrase: p, From: t.From + i, To: t.From + i + len(p.Text)})
				n = len(p.Text)
			}
		}
		i += max(n, letter)
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
	if v.lengths == nil {
		v.lengths = v.byLength()
	}
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
		for _, c := range v.lengths[n] {
			// each slip takes one letter and brings one; those that make the word longer only bring
			if bits.OnesCount64(c.letters&^letters) > dist-max(0, size-n) || bits.OnesCount64(letters&^c.letters) > dist-max(0, n-size) {
				continue
			}
			p := v.phrase(c.noted)
			if d := note.Slips(runes, []rune(c.word)); d <= min(dist, p.slips(n)) && (!found || d < dist) {
				p.words = []string{c.word}
				best, dist, found = p, d, true
			}
		}
	}
	if len(v.slipped) < 20_000 {
		v.slipped[w] = best
	}
	return best, found
}

// leastCut is how many letters of a word an abbreviation keeps at least.
const leastCut = 5

// cutShort gives what a word means that a point cuts short, "zbytk." for "zbytkovy": the one thing that all words mean that begin
// so. English words end sentences too often to be told from their beginnings.
func (v *vocabulary) cutShort(w string) []Phrase {
	if utf8.RuneCountInString(w) < leastCut || strings.ContainsAny(w, "0123456789") {
		return nil
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.lengths == nil {
		v.lengths = v.byLength()
	}
	if found, ok := v.shortened[w]; ok {
		return found
	}
	var found []Phrase
	several := false
	for n, all := range v.lengths {
		for _, c := range all {
			if n <= leastCut || !strings.HasPrefix(c.word, w) || len(c.word) == len(w) {
				continue
			}
			p := v.phrase(c.noted)
			p.words = []string{c.word}
			several = several || p.Language == "en" || len(found) > 0 && found[0].Concept != p.Concept
			if len(found) == 0 || p.Text < found[0].Text { // whatever the order
				found = []Phrase{p}
			}
		}
	}
	if several {
		found = nil
	}
	if len(v.shortened) < 20_000 {
		v.shortened[w] = found
	}
	return found
}

// byLength gives the phrases of one word that a slip could have made, by their length.
func (v *vocabulary) byLength() map[int][]spelt {
	out := map[int][]spelt{}
	for _, s := range v.spellings {
		p := v.phrase(s)
		t := firstToken(p.Text)
		if t.Text == "" || strings.HasPrefix(p.Concept, "value:") || strings.HasPrefix(p.Concept, "label:") || spaceless(firstRune(p.Text)) {
			continue
		}
		n := utf8.RuneCountInString(t.Text)
		if p.slips(n) == 0 || firstToken(p.Text[t.To:]).Text != "" {
			continue
		}
		out[n] = append(out[n], spelt{s, t.Text, letterSet(t.Text)})
	}
	return out
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
func Whole(s string) []Phrase { return words(s).whole(s) }

// Means reports that the whole text is a spelling of the concept.
func Means(s, concept string) bool {
	f := Fold(s)
	if bare := strings.Trim(f, " .:*()[]"); bare != "" {
		f = bare
	}
	spaced := "" // the words alone
	for _, p := range words(f).under(key(f)).all {
		if p.Concept != concept {
			continue
		}
		if spaced == "" && !strings.HasPrefix(f, "<") && !strings.HasPrefix(f, ">") {
			spaced = spacedOut(f)
		}
		if p.is(f) || spaced != "" && p.is(spaced) {
			return true
		}
	}
	return false
}

// spacedOut gives the words of a folded text, parted by blanks.
func spacedOut(s string) string {
	var parts []string
	for _, t := range Tokens(s) {
		parts = append(parts, t.Text)
	}
	return strings.Join(parts, " ")
}
