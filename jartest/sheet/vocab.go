package sheet

import (
	_ "embed"
	"encoding/csv"
	"sort"
	"strings"
	"sync"
	"unicode/utf8"

	"jarwright/jartest/note"
)

// The vocabulary is two tables that anybody can extend: words.csv says which
// words of which language stand for a concept, units.csv which spellings stand
// for a unit. A concept is "kind:name", such as "reading:turbidity".

//go:embed words.csv
var wordsCSV string

//go:embed units.csv
var unitsCSV string

// phrase is one spelling of a concept, folded and split.
type phrase struct {
	concept, language string
	words             []string
	text              string
}

// vocabulary is the read form of the tables.
type vocabulary struct {
	byFirst  map[string][]phrase // by first word, longest phrase first
	whole    map[string][]phrase // by the whole folded text, signs kept
	unspaced []phrase            // scripts without blanks, longest first
	lengths  map[int][]phrase    // one-word phrases by length, for near spellings
	units    []unitSpelling      // longest first
}

// words gives the vocabulary; the embedded tables are read once.
var words = sync.OnceValue(func() *vocabulary {
	v, err := readVocabulary(wordsCSV, unitsCSV)
	if err != nil {
		panic("embedded vocabulary: " + err.Error()) // a table that ships with the program
	}
	return v
})

func readVocabulary(wordTable, unitTable string) (*vocabulary, error) {
	v := &vocabulary{byFirst: map[string][]phrase{}, whole: map[string][]phrase{}, lengths: map[int][]phrase{}}
	r := csv.NewReader(strings.NewReader(wordTable))
	r.LazyQuotes, r.FieldsPerRecord = true, 3
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	for _, row := range rows[1:] {
		for _, w := range strings.Split(row[2], "|") {
			f := fold(w)
			if f == "" || seen[row[0]+"|"+f] {
				continue
			}
			seen[row[0]+"|"+f] = true
			p := phrase{concept: row[0], language: row[1], text: f}
			for _, t := range tokens(f) {
				p.words = append(p.words, t.text)
			}
			v.whole[f] = append(v.whole[f], p)
			if j := strings.Join(p.words, " "); j != f && j != "" && !strings.HasPrefix(f, "<") {
				v.whole[j] = append(v.whole[j], p)
			}
			if len(p.words) == 0 || strings.HasPrefix(p.concept, "value:") {
				continue
			}
			first, _ := utf8.DecodeRuneInString(f)
			if spaceless(first) {
				v.unspaced = append(v.unspaced, p)
				continue
			}
			v.byFirst[p.words[0]] = append(v.byFirst[p.words[0]], p)
			if n := len(p.words[0]); len(p.words) == 1 && n >= 5 && !strings.HasPrefix(p.concept, "label:") {
				v.lengths[n] = append(v.lengths[n], p)
			}
		}
	}
	for _, ps := range v.byFirst {
		sort.SliceStable(ps, func(i, j int) bool { return len(ps[i].words) > len(ps[j].words) })
	}
	sort.SliceStable(v.unspaced, func(i, j int) bool { return len(v.unspaced[i].text) > len(v.unspaced[j].text) })
	return v, v.readUnits(unitTable)
}

// hit is a phrase found in a text. Near is set for a spelling slip.
type hit struct {
	phrase
	from, to int // byte span in the folded text
	near     string
}

// find gives the phrases in folded text, longest first at each place, several
// where one spelling has several meanings.
func (v *vocabulary) find(s string) []hit {
	var out []hit
	ts := tokens(s)
	for i := 0; i < len(ts); {
		n := v.at(s, ts, i, &out)
		i += max(n, 1)
	}
	return out
}

// at adds the phrases that begin at word i and gives the words they span.
func (v *vocabulary) at(s string, ts []token, i int, out *[]hit) int {
	w := ts[i].text
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
			same = same && ts[i+k].text == x
		}
		if same {
			span = len(p.words)
			*out = append(*out, hit{phrase: p, from: ts[i].from, to: ts[i+span-1].to})
		}
	}
	if span > 0 {
		return span
	}
	if p, ok := v.near(w); ok {
		for _, q := range v.byFirst[p.words[0]] {
			if len(q.words) == 1 {
				*out = append(*out, hit{phrase: q, from: ts[i].from, to: ts[i].to, near: w})
			}
		}
		return 1
	}
	// Compounds, such as "resttrubung": a known word at the end, then one at the beginning.
	for cut := 3; cut <= len(w)-4; cut++ {
		if tail := v.single(w[cut:]); len(tail) > 0 && len(w)-cut >= 5 {
			for _, p := range tail {
				*out = append(*out, hit{phrase: p, from: ts[i].from + cut, to: ts[i].to})
			}
			for _, p := range v.single(w[:cut]) {
				*out = append(*out, hit{phrase: p, from: ts[i].from, to: ts[i].from + cut})
			}
			return 1
		}
	}
	for cut := len(w) - 1; cut >= 6; cut-- {
		if head := v.single(w[:cut]); len(head) > 0 {
			for _, p := range head {
				*out = append(*out, hit{phrase: p, from: ts[i].from, to: ts[i].from + cut})
			}
			return 1
		}
	}
	return 0
}

// single gives the one-word phrases with that spelling.
func (v *vocabulary) single(w string) []phrase {
	var out []phrase
	for _, p := range v.byFirst[w] {
		if len(p.words) == 1 && !strings.HasPrefix(p.concept, "label:") {
			out = append(out, p)
		}
	}
	return out
}

// unspacedIn finds words inside a run of a script without blanks.
func (v *vocabulary) unspacedIn(t token, out *[]hit) {
	for i := 0; i < len(t.text); {
		n := 0
		for _, p := range v.unspaced {
			if len(p.text) >= n && strings.HasPrefix(t.text[i:], p.text) {
				*out = append(*out, hit{phrase: p, from: t.from + i, to: t.from + i + len(p.text)})
				n = len(p.text)
			}
		}
		if n == 0 {
			_, n = utf8.DecodeRuneInString(t.text[i:])
		}
		i += n
	}
}

// near finds a word with one slip (two from eight letters on), for words of five
// letters and more.
func (v *vocabulary) near(w string) (phrase, bool) {
	if len(w) < 4 || strings.ContainsAny(w, "0123456789") {
		return phrase{}, false
	}
	var best phrase
	dist := 1
	if len(w) >= 8 {
		dist = 2
	}
	found := false
	for n := len(w) - dist; n <= len(w)+dist; n++ {
		for _, p := range v.lengths[n] {
			if d := slips(w, p.words[0], dist); d <= dist && (!found || d < dist) {
				best, dist, found = p, d, true
			}
		}
	}
	return best, found
}

// slips is [note.Slips], not worked out for words whose lengths alone differ by more than limit.
func slips(a, b string, limit int) int {
	if len(a)-len(b) > limit || len(b)-len(a) > limit {
		return limit + 1
	}
	return note.Slips([]rune(a), []rune(b))
}

// means reports that the whole text is a spelling of the concept.
func (v *vocabulary) means(s, concept string) bool {
	f := strings.Trim(fold(s), " .:*()[]")
	if f == "" {
		f = strings.TrimSpace(fold(s))
	}
	for _, p := range v.whole[f] {
		if p.concept == concept {
			return true
		}
	}
	if strings.HasPrefix(f, "<") || strings.HasPrefix(f, ">") {
		return false
	}
	var parts []string
	for _, t := range tokens(f) {
		parts = append(parts, t.text)
	}
	for _, p := range v.whole[strings.Join(parts, " ")] {
		if p.concept == concept && len(parts) > 0 {
			return true
		}
	}
	return false
}
