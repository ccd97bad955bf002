package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A word, a unit or a number is understood where a fact or a role has used it, once, and not because the
// vocabulary knows it somewhere. What nothing has used is left over, and speaks: here is what counts as used
// in the sentences of facts and in the headings and labels of jars; inplace.go has the headings of doses
// and readings.

// linking are the words that join a volume of stock to what it holds or adds, which a fact of both has used.
var linking = worded(`\b{links}\b`)

// passing are the kinds of units that stand without a number beside a fact and say how something was done.
var passing = map[words.Kind]bool{
	words.NoUnit: true, words.Minutes: true, words.Clock: true, words.Length: true, words.Flow: true, words.Speed: true, words.Pressure: true, words.Household: true,
}

// readIn reports a unit in which a reading of the raw water can be given.
func readIn(u words.Unit, x fact) bool {
	return !u.Known() || u.Kind == x.unit.Kind || x.key == jartest.TemperatureKey && (u.Kind == words.TempF || u.Kind == words.Temp || u.Kind == words.Degree || u.Kind == words.Hardness) || // "°f", folded, is one of both
		layout.KeyOfUnit(u) == x.key || u.Kind == words.Conc && strings.Contains(x.key.Info().Unit, "mg/L")
}

// ofAmounts reports facts of which one is an amount of a chemical, or says what that counts.
func ofAmounts(facts []fact) bool {
	return slices.ContainsFunc(facts, func(x fact) bool { return x.kind != factRaw && x.kind != factWhite || x.unit.Kind == words.Conc })
}

// unknownIn gives the words of a folded text that nothing knows, or that a heading would pass over.
func unknownIn(part string) []string {
	out := strings.Fields(strangeWords(layout.ReadHeading(part).Rest))
	for _, p := range layout.Pieces(part) {
		if w := strangeWords(p.Text); p.Concept == "" && w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// countsNothing gives the phrases for what an amount counts that none of the facts has a use for:
// turbidity is not "as Al".
func (h *held) countsNothing() []string {
	if ofAmounts(h.facts) {
		return nil
	}
	var out []string
	for _, c := range words.Counted(h.text) {
		out = append(out, h.text[c.From:c.To])
	}
	return out
}

// timesBefore is a factor between a number and the one that was taken: "4.1 ×10 NTU".
var timesBefore = words.NewPattern(`\d \.\d+`)

// eachUnit is a unit of volume behind a word for each; a jar, a litre of water are what a dose is for.
var eachUnit = words.NewPattern(`(?i)(\pL+) (?:of )?(m[lL])\b`)

// eachOne writes each unit of volume with its number, "each mL adds 10 mg/L" as "1 mL adds 10 mg/L", where
// nothing stands before it that it would be a part of.
func eachOne(text string) string {
	return eachUnit.ReplaceAllStringFunc(text, func(s string) string {
		m := eachUnit.FindStringSubmatch(s)
		if !spoken()["each of a unit"].is(words.Fold(m[1])) {
			return s
		}
		return "1 " + m[2]
	})
}

// rawUnread speaks of a clause among those on the raw water whose number was not taken because of a phrase.
func (b *bench) rawUnread(base fact, clause, because string) {
	b.say(note.Caution, "raw-unread", base.at, "%q says %q, and may be of another water; its number was not taken", clip(strings.TrimSpace(clause)), because).
		do(b, "write the reading of the raw water in a line of its own")
}

// tapBehind gives the word for water of the mains that a folded clause has behind its number, "pH 7.6 tap water": the
// number can be of either water.
func tapBehind(f string) string {
	m := bareNum.FindStringIndex(f)
	if m == nil {
		return ""
	}
	for _, list := range [...]string{"mains", "tap"} {
		if word := spoken()[list].found(f[m[1]:]); word != "" && !spoken()[list].in(f[:m[0]]) {
			return word
		}
	}
	return ""
}

// perWhat gives what a reading of a clause is given per, which no reading is: "41 NTU per 2 L".
func perWhat(clause string) string {
	for _, p := range layout.Pieces(clause) {
		if p.After == "per" {
			return "per " + p.Text
		}
		if p.Concept == layout.SaysUnit && p.Unit.Left != "" {
			return p.Unit.Left
		}
	}
	return ""
}

// notOfTarget gives what in the name of a target makes it another thing: a word for the raw water, which has
// readings and no target, or a factor of which nobody knows whether it was applied.
func (n *named) notOfTarget() string {
	filtered := slices.ContainsFunc(layout.Pieces(n.key), func(p layout.Piece) bool { return p.Concept == "filtered" || p.Text == "before" })
	if m := changing.FindString(words.Fold(n.key)); m != "" {
		return strings.TrimSpace(m)
	}
	for _, p := range layout.Pieces(n.key) {
		if p.Factor() {
			return strings.NewReplacer(". ", "x ").Replace(p.Text)
		}
		if !filtered && (p.Concept == "stage:before" || p.Concept == "label:raw") {
			return p.Text
		}
	}
	return ""
}

// misread reports an amount whose number a fact has, in a unit that no reading of the fact's kind is in: "36 kg/ha NTU".
func (h *held) misread(i int) bool {
	a := h.amounts[i]
	return a.Number != "" && !passing[a.Kind] && h.any(func(x fact) bool { return x.kind == factRaw && a.ok && same(a.num, x.value) && !readIn(a.Unit, x) }) &&
		!h.any(func(x fact) bool { return x.kind == factRaw && readIn(a.Unit, x) || x.kind != factRaw && has(a, x) })
}

// denied gives the phrases in which a word for no stands before something that was understood without it: "no settling".
func (h *held) denied() []string {
	var out []string
	for _, p := range layout.Pieces(string(h.mask)) {
		if spoken()["denied"].has(p.After) && p.Concept != layout.SaysNumber && p.Concept != layout.SaysFiller {
			out = append(out, p.After+" "+p.Text)
		}
	}
	return out
}

// unitLetter reports a letter at the end of a heading that is a unit beside the unit of its numbers, "Volume g (mL)".
func (f field) unitLetter(word string) bool {
	u, ok := words.OnlyUnit(word)
	return ok && f.Head.Unit.Known() && weighty[u.Kind]
}

// perElse reports what the numbers under a heading would be given per, beyond the unit that they have: a reading is of no
// jar, day or tonne, a dose in mg/L of no jar, a volume of stock of nothing but a jar.
func (f field) perElse(p layout.Piece) bool {
	if p.After != "per" || p.Concept == layout.SaysFiller {
		return false
	}
	switch f.role {
	case asReading:
		return true
	case asDose:
		return f.Head.Unit.Kind == words.Conc
	}
	return p.Concept != "role:jar" && p.Concept != layout.SaysUnit
}

// countsOfReading gives the phrase in the heading of a reading for what its numbers would count, where they have
// no use for one: turbidity and pH are not "as Al".
func (f field) countsOfReading() []layout.Piece {
	if f.role != asReading || !f.key.Known() || strings.Contains(f.key.Info().Unit, "mg") || f.metalRead() {
		return nil
	}
	var out []layout.Piece
	said := words.Fold(f.Head.Stated())
	for _, c := range words.Counted(said) {
		out = append(out, layout.Piece{Text: said[c.From:c.To]})
	}
	return out
}

// leftUnit gives the first unit without a number in the heading that its role has no use for.
func (d headDoubt) leftUnit() string {
	if unitOfUnit(d.Head.Unit) {
		return d.Head.Unit.Word
	}
	for _, p := range d.left {
		if p.Concept == layout.SaysUnit && !p.Counted && p.Unit.Kind != words.NoUnit || p.Concept == "" && d.unitLetter(p.Text) {
			return textsOf([]layout.Piece{p})
		}
	}
	return ""
}

// leftInJars gives what in the heading of the labels says more than that they number jars.
func leftInJars(h layout.Heading) string {
	var left []layout.Piece
	for _, p := range layout.Pieces(h.Text) {
		kind, _, _ := strings.Cut(p.Concept, ":")
		_, unit := words.OnlyUnit(p.Text)
		switch {
		case p.After == "per", p.Factor(), p.Text == "?", p.Text == "±", p.Text == "%":
		case p.Concept == "" && (unit || !ofLabels(p.Text)):
		case p.Concept == layout.SaysUnit && p.Unit.Kind != words.NoUnit:
		case slices.Contains([]string{"stat", "stage", "filtered", "operation", "uncertain", "void", "dilution", "metal", "reading", "removal", "given"}, kind):
		default:
			continue
		}
		left = append(left, p)
	}
	if sign := labelFactor.FindString(h.Text); sign != "" && len(left) == 0 {
		left = append(left, layout.Piece{Text: sign})
	}
	f := words.Fold(h.Text)
	for _, c := range words.Counted(f) {
		left = append(left, layout.Piece{Text: f[c.From:c.To]})
	}
	return textsOf(left)
}

// ofLabels reports a word that may stand over labels.
func ofLabels(word string) bool {
	return labelCode.MatchString(word) || spoken()["plain"].has(word) || len(say(word).left(places.label)) == 0 || strangeWords(word) == ""
}

// nameDoubted reports a value whose name, left of it, was asked about and not taken.
func (t *textCell) nameDoubted() bool {
	return onlyAmount(t.text) && slices.ContainsFunc(t.b.notes, func(n note.Note) bool {
		return n.Code == "fact-words" && n.Place == t.v.Place(t.r, t.c-1) && strings.Contains(n.Message, "not taken from it: raw")
	})
}

// unitOfUnit reports a unit of what is called like one: "mL mg/L" is no mL of a thing called mg.
func unitOfUnit(u words.Unit) bool {
	_, unit := words.OnlyUnit(u.Word)
	return u.Word != "" && unit
}
