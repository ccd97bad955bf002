package sheet

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// What doses count is told by the value and not by the name it stands under: "Bezug | als Fe",
// "Reported as | Fe". What may be such a value and was not taken speaks.

// counts gives the basis that a name and its value state together, where the value is nothing but
// a basis.
func (n *named) counts() string {
	val := words.Fold(strings.TrimSpace(undenied(n.val)))
	for _, f := range [...]string{val, words.Fold(strings.TrimRight(n.key, " :=")) + " " + val} {
		for _, at := range words.Counted(f) {
			_, known := quantity.BasisOf(at.As)
			if begins := at.From == 0 || len(f) > len(val) && at.From < len(f)-len(val); known && begins && at.To == len(f) {
				return at.As
			}
		}
	}
	return ""
}

// substance reports a value that is a substance that doses can count, under a name that says nothing
// of it: "Metal | Fe".
func (n *named) substance() bool { return n.basis != quantity.NotStated && n.of.Chem == "" }

// maybeBasis speaks of a value that may say what doses count.
func (n *named) maybeBasis() { n.b.basisNotTaken(n.base, n.key+" | "+n.val) }

func (b *bench) basisNotTaken(line fact, text string) {
	b.say(note.Caution, "basis-not-taken", line.at, "%q may say what the doses count; it was not taken", clip(strings.TrimSpace(text))).
		do(b, `write "Basis" with it in the cell beside, or state it with --basis, such as --basis "as product"`)
}

// basesOfHeads books what the titles and headings of a table that was rewritten, which no reader of lines
// sees, say that its doses count: "pH x dose, ferric chloride as FeCl3".
func (b *bench) basesOfHeads(g *layout.Area, tables []*layout.Table) {
	v := layout.View{Area: g}
	for _, t := range tables {
		if t.View.Origin != g || t.Area() != g {
			continue
		}
		for box, r := t.Box(), t.Box().R0; r <= box.R1 && r < len(g.Rows); r++ {
			for c := box.C0; c <= box.C1 && c < len(g.Rows[r]); c++ {
				x := g.Rows[r][c]
				if x.Kind != grid.Textual || len(x.Text) > mostTitle || !strings.Contains(x.Text, " ") {
					continue
				}
				line := fact{r: r, c: c, g: g, at: v.Place(r, c), kind: factBasis}
				if line.text = basisOf(x.Text); line.text == "" {
					line.chem, line.text = chemicalCounts(x.Text)
				}
				if line.text != "" {
					b.facts = append(b.facts, line)
				}
			}
		}
	}
}

// mostTitle is longer than any title or heading.
const mostTitle = 200

// basisUnheard speaks of a line outside the tables that says "as X" of something that doses can count,
// where no fact of the line took it and it is of no reading and no stock.
func (b *bench) basisUnheard(line fact) {
	h := layout.ReadHeading(line.text)
	took := func(x fact) bool {
		return x.kind == factBasis || x.kind == factDoseUnit || x.unit.As != "" || x.kind == factStock
	}
	read := h.Reading != "" && !(h.Chem != "" && (h.Reading == jartest.ResidualAl || h.Reading == jartest.ResidualFe)) // "siarczan glinu" has the word for aluminium
	said := undenied(line.text)
	as := cmp.Or(basisIn(said), basisBare(said, h))
	priced := slices.ContainsFunc(words.Find(words.Fold(line.text)), func(x words.Hit) bool { return x.Concept == "role:cost" })
	if as == "" || priced || read || h.Amount || h.Raw || h.Stock || slices.ContainsFunc(b.factsOf(line), took) || b.asked(line.at) || b.cautioned(line.at) {
		return
	}
	b.basisNotTaken(line, line.text)
}

// basisIn gives the metal, or what holds it, that a text says something counts; what is spelt like a
// word and is no symbol, "como al inicio", is none.
func basisIn(text string) string {
	counted := func(as string) bool {
		basis, known := quantity.BasisOf(as)
		return known && basis.Metal() != ""
	}
	for _, u := range words.Units(text) {
		if u.Kind == words.Conc && counted(u.As) {
			return u.As
		}
	}
	f := words.Fold(text)
	for _, at := range words.Counted(text) {
		symbol := strings.HasSuffix(strings.TrimRight(f[:at.To], " "), at.As)
		if counted(at.As) && (!symbol || slices.Contains(countedIn(text), at.As)) {
			return at.As
		}
	}
	if as, ok := words.CountedAs(text); ok && counted(as) && strings.Contains(as, " ") { // "alum 14-hydrate", no symbol
		return as
	}
	return ""
}

// basisBare gives what a text that names a chemical or a dose says to be counted without a word that
// is known for it: the metal as such, or its symbol in a part of its own, "Ferric chloride, Fe".
func basisBare(text string, h layout.Heading) string {
	f := words.Fold(text)
	if h.Chem == "" && !h.Dose || h.Operator || strings.Contains(text, "%") {
		return ""
	}
	if m := metalIon.FindString(f); m != "" {
		return m
	}
	for _, part := range partSign.Split(text, -1) {
		part = strings.TrimSpace(part)
		if of := countedIn(part); len(of) == 1 && words.Fold(part) == of[0] && slices.Contains(metalOrOxide, of[0]) {
			return of[0]
		}
	}
	return ""
}

var (
	metalIon     = words.NewPattern(`\b(?:(?:as|in|to|of) (?:the )?metal(?: ions?)?|metal (?:ions?|basis))\b`)
	metalOrOxide = []string{"al", "fe", "al2o3", "fe2o3"}
)
