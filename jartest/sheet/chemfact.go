package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// chemNamed is what the name of a chemical and its value say: the chemicals, whether the one
// that the doses are of is left open, and what beside them was not understood.
type chemNamed struct {
	chems  []string
	denied bool // "not alum"
	left   []string
}

// open reports that the text does not say which chemical the doses are of.
func (n chemNamed) open() bool { return n.denied || len(n.chems) > 1 }

// besideName and besideLabel are the concepts that may stand beside the name of a
// chemical, and in the label of such a fact.
const (
	besideName  = "stop chem metal role:chemical role:dose role:cost role:date role:stock role:neat role:value meta:product meta:strength meta:density meta:operator meta:all"
	besideLabel = "stop chem metal role:chemical role:dose role:test role:stock role:neat role:value role:parameter meta:product meta:all"
)

var (
	// freeOf denies a chemical by an ending.
	freeOf = words.NewPattern(`\b\pL+[- ](?:free|frei|freie[rs]?|fri|vrij|libre)\b`)
)

// denialIn gives where a text first denies something or sets it aside, -1 where it does not.
func denialIn(text string) int {
	first := -1
	for _, kind := range [...]string{"denies", "set aside", "denied after"} {
		if at := spoken()[kind].at(text); at >= 0 && (first < 0 || at < first) {
			first = at
		}
	}
	return first
}

func denies(text string) bool { return denialIn(text) >= 0 }

// undenied leaves out of a text what it says that doses do not count: "as Al (not as product)".
func undenied(text string) string { return undeniedTexts.Of(text, withoutDenied) }

var undeniedTexts words.Memory[string, string]

func withoutDenied(text string) string {
	var b strings.Builder
	from := 0
	for at := denialIn(text); at >= 0; at = denialIn(text[from:]) {
		at += from
		end := at + strings.IndexAny(text[at:]+".", ",;.()")
		begin := max(from, len(strings.TrimRight(text[:at], " \t\n,;(")))
		if strings.HasPrefix(text[end:], ")") {
			end++
		}
		part := text[at:end]
		if _, counted := words.CountedAs(part); counted || spoken()["goods"].in(words.Fold(strings.Trim(part, " !)"))) || layout.ReadHeading(part).Product {
			b.WriteString(text[from:begin])
		} else {
			b.WriteString(text[from:end])
		}
		from = end
	}
	return b.String() + text[from:]
}

// namingOf takes the label and the value of a chemical's fact apart.
func namingOf(label, value string, ofAll func(jarScope) bool) chemNamed {
	var n chemNamed
	value = undenied(sentences(value, sentenceEnd)[0]) // what follows is read by itself
	for _, m := range slices.Backward(densitiesIn(words.Fold(value))) {
		value = words.Fold(value)[:m[0]] + " " + words.Fold(value)[m[1]:]
	}
	f, key := words.Fold(value), words.Fold(label)
	head := layout.ReadHeading(value)
	n.chems = apartFrom(append(slices.Clone(head.Chems), layout.ReadHeading(label).Chems...))
	if one := dosedOf(value); one != "" && len(n.chems) > 1 && head.Amount {
		n.chems = []string{one}
	}
	n.denied = len(n.chems) > 0 && (denies(f) || denies(key) || freeOf.MatchString(f))
	n.left = append(restBeside(value, besideName, "besidename", ofAll), restBeside(label, besideLabel, "besidelabel", ofAll)...)
	return n
}

// apartFrom leaves out of a list of chemicals those of which another is a kind.
func apartFrom(all []string) []string {
	var out []string
	for _, c := range all {
		kind := func(o string) bool { return o != c && related(o, c) && len(o) > len(c) }
		if !slices.Contains(out, c) && !slices.ContainsFunc(all, kind) {
			out = append(out, c)
		}
	}
	return out
}

// restBeside gives what of a text is none of the concepts, in no list of harmless words,
// and no name: names have a capital letter, or a number of their own. That all jars are meant
// says nothing more; some of them do.
func restBeside(text, concepts, list string, ofAll func(jarScope) bool) []string {
	f := words.Fold(text)
	mask := []byte(dayPattern(f).ReplaceAllStringFunc(f, func(s string) string { return strings.Repeat("\x00", len(s)) }))
	blank := func(from, to int) {
		for i := from; i < to; i++ {
			mask[i] = '\x00'
		}
	}
	var out []string
	scope, _ := jarsNamed(f)
	for _, x := range scope.spans {
		if !ofAll(scope) {
			out = append(out, f[x[0]:x[1]])
		}
		blank(x[0], x[1])
	}
	for _, m := range dilutionTokens.FindAllStringIndex(string(mask), -1) {
		out = append(out, f[m[0]:m[1]])
		blank(m[0], m[1])
	}
	for _, at := range measuresIn(f) {
		blank(at[0], at[1])
	}
	for _, x := range words.Find(f) {
		if holds(concepts, x.Concept) && !spoken()["speaks"].has(x.Text) {
			blank(x.From, x.To)
		}
	}
	for _, w := range spoken()[list].of(f).inside {
		for i := strings.Index(string(mask), w); i >= 0; i = strings.Index(string(mask), w) {
			blank(i, i+len(w))
		}
	}
	named, from := names(text), origins(text)
	rest := string(mask)
	for _, t := range words.Tokens(rest) {
		ending := t.From > 0 && mask[t.From-1] == 0 || t.To < len(mask) && mask[t.To] == 0
		if !ending && !from[t.Text] && !harmlessBeside(rest, t, list, named) {
			out = append(out, t.Text)
		}
	}
	if m := doubting.FindString(rest); m != "" && !slices.Contains(out, m) {
		out = append(out, m)
	}
	return out
}

// measuresIn gives where amounts, units and what doses count stand in a text.
func measuresIn(f string) (out [][2]int) {
	for _, a := range words.Amounts(f) {
		out = append(out, [2]int{a.Start, a.To})
	}
	for _, u := range words.Units(f) {
		out = append(out, [2]int{u.From, u.To})
	}
	counted := words.Counted(f)
	if len(counted) > 0 && counted[0].As != counted[len(counted)-1].As { // of two the doses may count either
		return out
	}
	for _, x := range counted {
		out = append(out, [2]int{x.From, x.To})
	}
	return out
}

// numberFirst begins the name of a product that begins with its number.
var numberFirst = words.NewPattern(`^\d{1,4}-\p{L}{2}`)

// harmlessBeside reports a word or number that says nothing more beside the name of a chemical.
func harmlessBeside(text string, t words.Token, list string, named map[string]bool) bool {
	letters := strings.IndexFunc(t.Text, unicode.IsLetter) >= 0
	_, species := words.Species(t.Text)
	concepts := func(w string) bool {
		return slices.ContainsFunc(words.Find(w), func(x words.Hit) bool { return x.Concept != "stop" })
	}
	switch before := strings.TrimRight(text[:t.From], " -"); {
	case !letters:
		of := before[strings.LastIndexAny(before, " (\x00")+1:]
		code := strings.HasSuffix(text[:t.From], "-") && t.From > 1 && text[t.From-2] != ' ' || numberFirst.MatchString(text[t.From:]) // ZK-18, 18-ZK
		return len(t.Text) > 2 || countsOrNames(text, t.From, t.To) || code || named[of] && !concepts(of)
	case spoken()[list].has(t.Text), hydrated.MatchString(t.Text), species:
		return true
	}
	return named[t.Text] && !concepts(t.Text) && !denies(t.Text) && !changing.MatchString(t.Text) || model.MatchString(t.Text)
}

// misnamed speaks of the facts on the chemical that say more than one name, and of those
// that name another chemical than the series beside them have: once where several say the same,
// and not of those that were said to disagree.
func (b *bench) misnamed(series []jartest.Series) {
	said := map[string]bool{}
	for _, x := range b.facts {
		if x.kind != factChemical || b.opt.Chemical != "" || b.disagree[x.at] {
			continue
		}
		if c, ok := b.otherMetal(series, x); ok && !b.cautioned(x.at) && !said[x.at.Sheet+c.Name] {
			said[x.at.Sheet+c.Name] = true
			b.say(note.Caution, "basis-of-other", x.at, "%q names %s, and the doses count %s, which is none of it", clip(x.text), c.Name, c.Basis).
				do(b, "name the chemical with --chemical NAME, or state the basis with --basis")
		}
		if says := b.amissHere(series, x); says != "" && !said[x.at.Sheet+says] {
			said[x.at.Sheet+says] = true
			b.say(note.Caution, "chemical-unclear", x.at, "%s", says).do(b, "write one name, or name the chemical with --chemical NAME")
		}
	}
}

// amissHere says what is wrong with a fact on the chemical for the series beside it.
func (b *bench) amissHere(series []jartest.Series, x fact) string {
	here, taken := b.seriesBeside(series, x), b.takenBy(x)
	if x.naming == nil || len(here) == 0 {
		return ""
	}
	has := func(chem string) bool {
		return slices.ContainsFunc(here, func(s jartest.Series) bool {
			return slices.ContainsFunc(s.Chemicals, func(c jartest.Chemical) bool { return related(c.Name, chem) && c.Name != x.chem || c.Name == chem })
		})
	}
	return x.naming.amiss(x, has, taken)
}

// amiss says what is wrong with a fact on the chemical; has reports the chemicals of the
// series beside it, taken that one is named by it.
func (n chemNamed) amiss(x fact, has func(string) bool, taken bool) string {
	missing := slices.DeleteFunc(slices.Clone(n.chems), has)
	quoted := clip(x.text)
	switch list := strings.Join(n.chems, " and "); {
	case n.denied && (taken || len(missing) < len(n.chems)):
		return fmt.Sprintf("%q does not say which chemical was dosed", quoted)
	case n.denied, len(missing) == 0 && len(n.left) == 0:
		return ""
	case len(n.chems) > 1 && len(missing) == len(n.chems):
		return fmt.Sprintf("%q names %s, and nothing says which of them the doses are of", quoted, list)
	case len(n.chems) > 1 && len(missing) > 0:
		return fmt.Sprintf("%q names %s, and the sheet has no dose of %s", quoted, list, strings.Join(missing, " and "))
	case len(n.chems) == 1 && len(missing) == 1 && !taken:
		return fmt.Sprintf("%q names %s, and the doses are headed otherwise; the heading is taken", quoted, list)
	case len(n.left) > 0:
		return fmt.Sprintf("%q beside %q is not understood; the chemical is taken to be %s", strings.Join(n.left, " … "), quoted, x.chem)
	}
	return ""
}

// otherMetal gives the chemical that a fact names where its doses count as a metal which it
// does not have.
func (b *bench) otherMetal(series []jartest.Series, x fact) (jartest.Chemical, bool) {
	for _, s := range b.seriesBeside(series, x) {
		for _, c := range s.Chemicals {
			if m := c.Basis.Metal(); c.Name == x.chem && m != "" && metalOf(c.Name) != "" && m != metalOf(c.Name) {
				return c, true
			}
		}
	}
	return jartest.Chemical{}, false
}

// takenBy reports a fact that a table was told.
func (b *bench) takenBy(x fact) bool { return len(b.taken[taking{x.kind, x.at}]) > 0 }

// seriesBeside gives the series that a fact can be of: those of its table, of its sheet
// where it heads that, or those that took it.
func (b *bench) seriesBeside(series []jartest.Series, x fact) []jartest.Series {
	owner := b.owner(x)
	ofSheet := owner == nil || b.headsSheet(x, owner)
	return slices.DeleteFunc(slices.Clone(series), func(s jartest.Series) bool {
		told := slices.ContainsFunc(b.taken[taking{x.kind, x.at}], func(t *layout.Table) bool {
			return s.Place.Sheet == t.View.Name && s.Place.Cell == t.RangeName()
		})
		same := s.Place.Sheet == x.at.Sheet && s.Place.File == x.at.File
		return !told && !(same && (ofSheet || s.Place.Cell == owner.RangeName()))
	})
}

// knownBeside gives the known chemical that the sheet names where the heading of the only
// dose has a word that is not known for one: it may be the word for a dose.
func (m *maker) knownBeside(f field) (string, bool) {
	i := slices.IndexFunc(m.b.notes, func(n note.Note) bool { return n.Code == "chemical-unknown" && n.Place == f.Place })
	if i < 0 || len(m.dose) != 1 {
		return "", false
	}
	x, ok := m.b.look(m.t, factChemical, "")
	if !ok || !words.Means(x.chem, "chem:"+x.chem) || x.naming != nil && x.naming.open() {
		return "", false
	}
	name := x.chem
	if plainPAC(x.text) {
		name = m.pac(x.at)
	}
	m.b.notes = slices.Delete(m.b.notes, i, i+1)
	m.b.say(note.Caution, "chemical-unknown", f.Place, "%q in the heading %q is not known; the column is taken for the dose of %s, from %q", f.chem, f.Head.Text, name, clip(x.text)).
		do(m.b, `if it is a reading, say so with --column "%s=…"`, f.header())
	return name, true
}
