package words

import (
	_ "embed"
	"slices"
	"strings"
	"sync"
	"unicode"
)

// Form is what goods come as: dry ones hold several times what a solution of them does.
type Form string

// The forms that a name may say; a name that says none has the empty one.
const (
	Dry      Form = "dry"
	Liquid   Form = "liquid"
	Emulsion Form = "emulsion"
)

// The words for forms by language; a star ends a stem or begins an ending. They are those of
// labels and price lists (from memory of the languages).
//
//go:embed forms.csv
var formsCSV string

// FormAt is a word for a form with its place in the folded text.
type FormAt struct {
	Form
	Text     string
	From, To int
}

// InEnglish is the word where it is an English one, and whether it stands before the name, as "dry" does and "powder"
// does not; empty for words of other languages and for those that name the chemical too.
func (x FormAt) InEnglish() (word string, before bool) {
	for _, list := range [...]struct {
		words  map[string]bool
		before bool
	}{{formNouns, false}, {formAdjectives, true}} {
		if list.words[x.Text] {
			return x.Text, list.before
		}
	}
	return "", false
}

var (
	formNouns      = set("powder granules crystals flakes lumps pellets prills emulsion")
	formAdjectives = set("dry liquid")
)

// formWords are the words for forms: whole ones by their first word, and those that a star
// opens or that stand in scripts without blanks.
type formWords struct {
	whole map[string][]FormAt
	parts []FormAt
}

var formTable = sync.OnceValue(func() formWords {
	out := formWords{whole: map[string][]FormAt{}}
	for row := range strings.Lines(formsCSV) {
		col := strings.SplitN(strings.TrimSpace(row), ",", 3)
		for w := range strings.SplitSeq(col[2], "|") {
			x := FormAt{Form: Form(col[0]), Text: Fold(w)}
			if strings.Contains(w, "*") || Spaceless(x.Text) {
				out.parts = append(out.parts, x)
				continue
			}
			first, _, _ := strings.Cut(x.Text, " ")
			out.whole[first] = append(out.whole[first], x)
		}
	}
	return out
})

// Forms finds the words for forms in a folded text, from left to right, the longest at each place.
func Forms(f string) []FormAt {
	table := formTable()
	var out []FormAt
	for _, t := range Tokens(f) {
		if n := len(out); n > 0 && t.From < out[n-1].To {
			continue
		}
		best := FormAt{}
		for _, x := range table.whole[t.Text] {
			x.From, x.To = t.From, t.From+len(x.Text)
			if strings.HasPrefix(f[t.From:], x.Text) && x.To > best.To && (x.To == len(f) || !letterFollows(f[x.To:])) {
				best = x
			}
		}
		for _, x := range table.parts {
			if at, ok := x.within(t.Text); ok && best.To == 0 {
				best = FormAt{x.Form, t.Text, t.From + at, t.To}
				if Spaceless(x.Text) {
					best.Text, best.To = x.Text, best.From+len(x.Text)
				}
			}
		}
		if best.To > 0 {
			out = append(out, best)
		}
	}
	return out
}

// within reports a word that a word of the table with a star, or one of a script without blanks, is in, and where it begins there.
func (x FormAt) within(word string) (from int, ok bool) {
	stem, more := strings.CutSuffix(x.Text, "*")
	ending, joined := strings.CutPrefix(stem, "*")
	switch at := strings.Index(word, ending); {
	case at < 0:
		return 0, false
	case !more && !joined: // without blanks
		return at, true
	case joined:
		return len(word) - len(ending), strings.HasSuffix(word, ending)
	default:
		return 0, at == 0
	}
}

// NamedForm is the chemical that a text names and the form that it says it comes in, right beside
// the name: "PAC powder", "PAC (30 % Al2O3, powder)", "polvo de alumbre". What doses count is no form of the goods ("mg/L as dry alum"), nor is one
// that is denied, or two.
func NamedForm(text string) (chem string, form FormAt, ok bool) {
	f := Fold(text)
	forms := Forms(f)
	if len(forms) == 0 {
		return "", FormAt{}, false
	}
	counted := Counted(f)
	for _, x := range Find(f) {
		name, isChem := strings.CutPrefix(x.Concept, "chem:")
		if !isChem || len(Forms(name)) > 0 { // powdered carbon is no other product
			continue
		}
		for _, w := range forms {
			from := min(x.From, w.From)
			inCounted := func(c CountedAt) bool { return c.From <= w.From && w.To <= c.To }
			switch {
			case slices.ContainsFunc(counted, inCounted), !beside(f, x.From, x.To, w, forms), countsHere(f, from):
			case ok && w.Form != form.Form:
				return "", FormAt{}, false
			case !ok:
				chem, form, ok = name, w, true
			}
		}
	}
	return chem, form, ok
}

// beside reports that nothing stands between a name and a form but what a label has there: signs, a
// share of what, a word that joins, and other forms.
func beside(f string, from, to int, w FormAt, forms []FormAt) bool {
	lo, hi := min(to, w.To), max(from, w.From)
	if lo >= hi {
		return true // the one holds the other, or they touch
	}
	for _, t := range Tokens(f[lo:hi]) {
		inForm := func(x FormAt) bool { return x.From <= lo+t.From && lo+t.To <= x.To }
		_, species := Species(t.Text)
		if !species && !joinsForm[t.Text] && strings.IndexFunc(t.Text, unicode.IsLetter) >= 0 && !slices.ContainsFunc(forms, inForm) {
			return false
		}
	}
	return !strings.ContainsAny(f[lo:hi], ";/|")
}

// joinsForm are the words between a form and the name of what comes in it.
var joinsForm = set("of in de en em di d du al w v u als as grade technical food")

// countsHere reports words before a place that make of a form what doses count, or deny it: a unit, "as", "not".
func countsHere(f string, from int) bool {
	before := strings.TrimRightFunc(f[:from], func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	for _, u := range Units(f) {
		if u.From < len(before) && u.To >= len(before) {
			return true
		}
	}
	ts := Tokens(before)
	return len(ts) > 0 && countsOrDenies[ts[len(ts)-1].Text]
}

// countsOrDenies stand before what doses count, or what was not used.
var countsOrDenies = set("as of no not than als como comme como come jako som без не no nicht kein keine pas non ikke niet")

func set(list string) map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq(list) {
		out[w] = true
	}
	return out
}
