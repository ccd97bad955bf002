package sheet

import (
	"slices"
	"sort"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// labelDose is a dose written into a jar label or a heading.
type labelDose struct {
	chem  string
	dose  quantity.Concentration
	basis quantity.Basis
}

// dosesInLabel reads "with alum 35 mg/L", "PACl 20 mg/L + polymer 0.2 mg/L".
func (b *bench) dosesInLabel(label string, dec layout.Decimals) []labelDose {
	var out []labelDose
	for _, part := range splitPlus(label) {
		for _, u := range words.Amounts(part) {
			if u.Kind != words.Conc || u.Factor > 1 {
				continue
			}
			x := layout.Numeral(u.Number, dec)
			if !x.OK() || x.Num < 0 {
				continue
			}
			h := layout.ReadHeading(part)
			name := h.Chem
			if name == "" {
				name = "coagulant"
			}
			basis, err := quantity.ParseBasis(u.As)
			if err != nil {
				basis = quantity.NotStated
			}
			out = append(out, labelDose{name, quantity.Concentration(round12(x.Num * u.Factor)), basis})
			break
		}
	}
	return out
}

// doseText reads a dose cell in words: "alum 10 mg/L", "no alum".
func (b *bench) doseText(s string, dec layout.Decimals) (labelDose, bool) {
	if a := b.dosesInLabel(s, dec); len(a) == 1 && !slices.ContainsFunc(layout.Pieces(s), besideDose) {
		return a[0], true
	}
	return labelDose{}, withoutChemical(s)
}

// besideDose reports a piece of a dose cell in words that leaves its number open: "10 + 5
// mg/L", "10 mg/L x 2". Its words are spoken of by themselves.
func besideDose(p layout.Piece) bool {
	return p.Concept == layout.SaysNumber || p.Concept == layout.SaysUnit && (p.Unit.Times > 0 || p.Counted && p.Unit.Kind != words.Conc)
}

// withoutChemical reports "no alum", "senza coagulante", "koagülant yok": a word for
// nothing and the name of what was not dosed, in either order.
func withoutChemical(s string) bool {
	nothing, named := false, false
	for _, p := range layout.Pieces(words.Fold(s)) {
		switch {
		case p.Concept == "label:control":
			nothing, named = true, true
		case words.Means(p.Text, "value:zero"):
			nothing = true
		case strings.HasPrefix(p.Concept, "chem:"), p.Concept == "role:chemical", p.Concept == "role:dose":
			named = true
		case p.Concept != layout.SaysFiller:
			return false
		}
	}
	return nothing && named
}

// splitPlus parts a label at "+", "&" and "and".
func splitPlus(s string) []string {
	return strings.FieldsFunc(strings.NewReplacer(" and ", "+", " & ", "+", " with ", " ", " then ", "+").Replace(" "+s), func(r rune) bool { return r == '+' || r == ';' })
}

// sectionDoses gives the jars under a line such as "Polymer 0.2 mg/L" that dose too.
func (m *maker) sectionDoses() {
	if len(m.rows) == 0 || m.rows[0].section == "" || len(m.s.Jars) == 0 {
		return
	}
	for _, d := range m.rows[1:] {
		if d.section != m.rows[0].section {
			return
		}
	}
	for _, a := range m.b.dosesInLabel(m.rows[0].section, m.b.dec(m.t)) {
		h := layout.ReadHeading(m.rows[0].section)
		known := h.Chem == "" || h.Reading != "" || h.Raw || h.Stock || h.Strength || h.Removal
		for _, c := range m.s.Chemicals {
			known = known || c.Name == a.chem
		}
		if known {
			continue
		}
		at := m.t.View.PlaceAt(m.rows[0].r-1, m.t.C0)
		m.s.Chemicals = append(m.s.Chemicals, jartest.Chemical{Name: a.chem, Basis: a.basis})
		for i := range m.s.Jars {
			m.s.Jars[i].Doses = append(m.s.Jars[i].Doses, jartest.JarDose{Concentration: a.dose, Known: true, At: at})
			m.s.Jars[i].Control = m.s.Jars[i].Control && a.dose == 0
		}
		m.b.say(note.Caution, "fixed-dose", at, "the jars under %q are taken to have got %s mg/L of %s each; is that right?", clip(m.rows[0].section), trimFloat(float64(a.dose)), a.chem).
			do(m.b, "give it a column of its own if it differs between jars")
	}
}

func sortStrings(s []string) { sort.Strings(s) }
