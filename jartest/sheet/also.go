package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

var (
	// joinedTo stands before a chemical that was dosed with another.
	joinedTo = words.NewPattern(`(?:\b(?:with|plus|and|mit|und|con|y|e|ed|avec|et|com|med|och|og|met|en|z|s|a|i|ile|ve|dengan|dan|cu|si|with a little|with some)|\+|&|с|со|и|与|和|加) ?(?:the |a |an |some |el |la |le |un |une |du |de la |etwas )*$`)
	// joinedBy stands between a chemical and another one after it.
	joinedBy = words.Jointed(`^ ?(?:\+|&|(?:plus|{and}|{and of names})(?:$|[^a-z])) ?`)
	// leftAway stands before a chemical that was not dosed, or only instead of another.
	leftAway = words.NewPattern(`(?:\b(?:no|not|without|non|sin|ohne|kein\w*|sans|sem|senza|zonder|utan|uden|uten|bez|fara|ilman|instead of|or|oder|ou|o|for|from|vs\.?|versus|against)|без|无|不加) ?(?:the |a |an |any )*$`)
	// turbid is what raw water is made turbid with.
	turbid = map[string]bool{"kaolin": true}
)

// alsoDosed books the chemicals that a line says the jars got without saying how much:
// "lime was added to all jars", "alum with polymer".
func (b *bench) alsoDosed(line fact) {
	for _, part := range sentences(line.text, heedEnd) {
		f := softened.ReplaceAllString(words.Fold(part), " ")
		h := layout.ReadHeading(f)
		if h.Amount || h.Raw || h.Stage == "before" || h.Next || h.Old || spoken()["formerly"].in(f) || spoken()["elsewhere"].in(f) || h.Target {
			continue
		}
		added := spoken()["add"].in(f) || saysAll(f)
		for _, x := range reagents(f) {
			if leftAway.MatchString(f[:x.From]) || turbid[x.Concept] || !added && !((len(h.Chems) > 0 || x.Text == "") && joinedTo.MatchString(f[:x.From])) && !(len(h.Chems) > 1 && joinedBy.MatchString(f[x.To:])) {
				continue
			}
			d := line
			d.kind, d.chem = factAlso, x.Concept
			b.facts = append(b.facts, d)
		}
	}
}

// reagents finds the chemicals in a folded text, by the name of each as its concept, and
// kinds of them such as acids.
func reagents(f string) []words.Hit {
	var out []words.Hit
	for _, x := range words.Find(f) {
		if name, ok := strings.CutPrefix(x.Concept, "chem:"); ok {
			x.Concept = name
			out = append(out, x)
		}
	}
	for _, t := range words.Tokens(f) {
		within := func(x words.Hit) bool { return x.From <= t.From && t.To <= x.To }
		if spoken()["reagent"].has(t.Text) && !slices.ContainsFunc(out, within) {
			out = append(out, words.Hit{Phrase: words.Phrase{Concept: t.Text}, From: t.From, To: t.To})
		}
	}
	return out
}

// undosed speaks of chemicals that the jars of a sheet are said to have got, and that no
// test of it has a dose of.
func (b *bench) undosed(series []jartest.Series) {
	for _, x := range b.facts {
		if x.kind != factAlso || b.cautioned(x.at) {
			continue
		}
		if slices.ContainsFunc(b.facts, func(o fact) bool { return o.kind == factFixed && o.at == x.at && o.value == 0 }) { // it says none
			continue
		}
		here := func(s jartest.Series) bool { return s.Place.Sheet == x.at.Sheet }
		has := func(s jartest.Series) bool {
			return here(s) && slices.ContainsFunc(s.Chemicals, func(c jartest.Chemical) bool { return related(c.Name, x.chem) })
		}
		if slices.ContainsFunc(series, here) && !slices.ContainsFunc(series, has) {
			b.say(note.Caution, "dose-unstated", x.at, "%q says that jars got %s, and not how much; what is read as the work of the other chemical is that of both", clip(x.text), x.chem).
				do(b, "give it a column of doses, or write the dose of every jar, such as \"%s 0.5 mg/L in all jars\"", x.chem)
		}
	}
}

// related reports two names of which one is a kind of the other.
func related(a, b string) bool {
	a, b = strings.ToLower(a), strings.ToLower(b)
	return strings.Contains(a, b) || strings.Contains(b, a)
}

// cautioned reports a cell that a caution speaks of already.
func (b *bench) cautioned(at note.Place) bool {
	return slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Place == at && n.Level >= note.Caution })
}
