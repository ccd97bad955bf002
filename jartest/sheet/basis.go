package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// statedBasis reads what a dose counts from the heading or a sentence of the sheet. Where
// both speak and differ, the heading counts, it is said, and it is not sure.
func (m *maker) statedBasis(chemical string, f field) (found quantity.Basis, sure bool) {
	b := m.b
	sure = true
	as, from, at := cmp.Or(m.headingBasis(f), m.basisBeside(f), m.basisColumn(f), m.basisOfUnits(f)), fmt.Sprintf("in column %q", f.Head.Text), f.Place
	if f.counted != nil {
		from, at = fmt.Sprintf("in %q", clip(f.counted.text)), f.counted.at
	}
	x, stated := b.look(m.t, factBasis, "")
	named := cmp.Or(x.chem, layout.ReadHeading(x.text).Chem) // dry alum is no basis of lime
	switch basis, _ := quantity.ParseBasis(x.text); {
	case !stated:
	case !countsIn(f.chem, x.text) || named != "" && f.chem != "" && named != f.chem || b.ofOther(m.t, x, named, chemical):
		if !m.countsInAny(x.text) {
			m.strangeBasis(f, x.at, x.text, fmt.Sprintf("in %q", clip(b.lineAt(x))))
		}
	case as == "":
		as, from, at = x.text, fmt.Sprintf("in %q", clip(orWord(strings.TrimSpace(m.b.lineAt(x)), x.text))), x.at
	default:
		if head, _ := quantity.ParseBasis(as); head != basis {
			const says = "the heading %q counts as %s, and %q (%s) says otherwise; the heading is taken"
			sure = false
			b.say(note.Caution, "basis-twice", f.Place, says, f.Head.Text, as, clip(m.b.lineAt(x)), x.at.Cell).
				do(b, "%s", stateIt(f))
		}
	}
	if as == "" {
		m.productUnused(f)
		return quantity.NotStated, false
	}
	basis, err := quantity.ParseBasis(as)
	switch {
	case err != nil:
		b.say(note.Caution, "basis-unknown", f.Place, "the basis %q %s is not known; the dose is kept as it stands", as, from).
			do(b, "%s", stateIt(f))
		return quantity.NotStated, false
	case !countsIn(f.chem, as):
		m.strangeBasis(f, at, as, from)
		return quantity.NotStated, false
	}
	return basis, sure
}

// ofOther reports a basis in the title of another table, which names another chemical than that of the doses.
func (b *bench) ofOther(t *layout.Table, x fact, named, chemical string) bool {
	owner := b.owner(x)
	return named != "" && !unnamedChem(chemical) && !related(named, chemical) && owner != nil && owner != t && owner.TitleAt == x.at
}

// productUnused speaks of what a product holds, or how dense it is, where masses of it can be
// meant and no dose was computed with it.
func (m *maker) productUnused(f field) {
	if f.role != asDose || f.Head.Unit.Kind != words.Conc {
		return
	}
	x, ok := m.b.look(m.t, factHolds, f.chem)
	of, other := "strength", "what it holds"
	if !ok && strings.Contains(words.Fold(f.Head.Text), "ppm") {
		x, ok = m.b.look(m.t, factDensity, f.chem)
		of, other = "density", "its volume"
	}
	if ok && !m.b.cautioned(x.at) {
		m.b.say(note.Caution, "product-unused", x.at, "%q gives the %s of a product, and nothing says whether column %q counts the product or %s; the doses were kept as they stand",
			clip(m.b.lineAt(x)), of, f.Head.Text, other).do(m.b, `say what they count with --basis, such as --basis "as product"`)
	}
}

// strangeBasis speaks of a basis that doses of a chemical cannot count.
func (m *maker) strangeBasis(f field, at note.Place, as, from string) {
	m.b.say(note.Caution, "basis-of-other", at, "the basis %q %s is none of %s; the dose is kept as it stands", as, from, orWord(f.chem, "a chemical that nothing names")).
		do(m.b, "%s", stateIt(f))
}

// countsInAny reports a basis that doses of some chemical of the table can count.
func (m *maker) countsInAny(as string) bool {
	return slices.ContainsFunc(m.dose, func(i int) bool { return countsIn(m.fs[i].chem, as) })
}

// countsIn reports that doses of a chemical can count a basis: those of a chemical that is
// not known may, alum does not count as Fe, nor lime as Al.
func countsIn(chem, as string) bool {
	basis, _ := quantity.ParseBasis(as)
	of := layout.ReadHeading(as).Chem
	switch {
	case chem == "" || !words.Means(chem, "chem:"+chem):
		return true
	case basis == quantity.AsActive:
		return holdsActive(chem)
	case basis.Metal() != "" || metalOf(chem) != "" && !ofAny[basis]:
		return metalOf(chem) == basis.Metal()
	}
	return of == "" || related(of, chem)
}

// ofAny are the bases that every chemical can be dosed on.
var ofAny = map[quantity.Basis]bool{quantity.NotStated: true, quantity.AsProduct: true}

// holdsActive reports a chemical of which a part is what works, as of a polymer: what is active of a
// metal salt nobody can say.
func holdsActive(chem string) bool {
	return strings.HasSuffix(chem, "polymer") || slices.Contains([]string{"chitosan", "tannin", "moringa"}, chem)
}

// metalOf gives the symbol of the metal that a coagulant works by, "" for other chemicals.
func metalOf(chem string) string {
	for _, x := range []struct{ stem, metal string }{{"alum", "Al"}, {"PACl", "Al"}, {"ACH", "Al"}, {"ferr", "Fe"}} {
		if strings.Contains(chem, x.stem) {
			return x.metal
		}
	}
	return ""
}

// lineAt gives the text of the cell that a fact stands in.
func (b *bench) lineAt(x fact) string {
	if x.g == nil {
		return x.text
	}
	return layout.View{Area: x.g}.At(x.r, x.c).Text
}

// columnOfBases reports a column that says of every jar what its dose counts: by its heading, or by
// texts that are a basis and nothing else.
func (b *bench) columnOfBases(t *layout.Table, f field) bool {
	if f.numbers > 0 || f.texts == 0 || f.dosed() {
		return false
	}
	if layout.NamesBasis(f.Head.Text) {
		return true
	}
	n := 0
	for _, r := range t.Rows {
		if said := b.label(t, r, f.C); said != "" && !onlyBasis(said) {
			return false
		} else if said != "" {
			n++
		}
	}
	return n > 1
}

// onlyBasis reports a text that says what something counts and nothing else, "as FeCl3".
func onlyBasis(text string) bool {
	f := strings.Trim(words.Fold(text), " .()[]")
	for _, at := range words.Counted(f) {
		if _, known := quantity.BasisOf(at.As); known && at.From == 0 && at.To == len(f) {
			return true
		}
	}
	return false
}

// basisColumn gives the basis that a column of its own states for all jars of the series; bases that
// differ, or that leave open of which of several chemicals they are, speak.
func (m *maker) basisColumn(f field) string {
	for _, o := range m.fs {
		if !m.b.columnOfBases(m.t, o) {
			continue
		}
		said, one := "", true // of a control nothing may be said
		for _, d := range m.rows {
			here := m.b.label(m.t, d.r, o.C)
			said = cmp.Or(said, here)
			one = one && (layout.SameText(here, said) || here == "" && m.b.zeroDose(m.t, m.fs, d.r))
		}
		if !one || len(m.dose) > 1 {
			m.b.say(note.Caution, "basis-column", o.Place, "column %q does not give one basis for the doses of %s; it was not used", o.Head.Text, orWord(f.chem, "the chemical")).do(m.b, "%s", stateIt(f))
			return ""
		}
		if as, ok := words.CountedAs(said); ok {
			return as
		}
		return said
	}
	return ""
}

// basisOfUnits gives the basis that the units in a column beside the doses state, the same for every jar.
func (m *maker) basisOfUnits(f field) string {
	as := ""
	for i, d := range m.rows {
		u, ok := m.unitBeside(d, f, 1)
		if !ok || u.As == "" || i > 0 && u.As != as {
			return ""
		}
		as = u.As
	}
	return as
}

// basisBeside gives the basis that stands with the name of the chemical where that is not in the heading: in the
// column of chemicals, "alum (as Al)", in the heading of the part or over the jars, and in that of a column of readings under
// the name of what was dosed.
func (m *maker) basisBeside(f field) string {
	for _, name := range [...]string{m.columnChemical(f), m.part.name, m.rows[0].section, m.rows[0].test} {
		if as, ok := words.CountedAs(name); ok {
			if h := layout.ReadHeading(name); h.Chem != "" && (f.chem == "" || f.chem == h.Chem) || name == m.columnChemical(f) && f.chem == "" {
				return as
			}
		}
	}
	for _, o := range m.fs {
		if as, ok := words.CountedAs(o.Head.Text); ok && o.part != "" && o.part == m.part.name && o.Head.Chem != "" && !o.dosed() {
			return as
		}
	}
	return ""
}

// headingBasis reads what a dose counts from its heading.
func (m *maker) headingBasis(f field) string {
	if said := undenied(f.Head.Text); said != f.Head.Text {
		f.Head = layout.ReadHeading(said)
	}
	as := countsAs(f)
	switch {
	case as != "" && f.Head.Metal != "" && f.Head.Chem == "" && f.Head.Unit.As == "" && as == strings.ToLower(f.Head.Metal):
		m.b.say(note.Info, "basis", f.Place, "the dose in column %q is taken to be as %s", f.Head.Text, f.Head.Metal)
	case as != "" || !f.Head.Product:
	default:
		as = "product"
		if at, ok := words.Active(words.Fold(f.Head.Text)); ok {
			as = at.As
		}
	}
	return as
}

// stockCounts gives what the strength of a stock counts: with its unit, or anywhere in a line that
// states no other stock and counts one thing only.
func (b *bench) stockCounts(x fact) string {
	if x.unit.As != "" {
		return x.unit.As
	}
	said := words.Counted(undenied(saidOf(x)))
	other := func(o fact) bool { return o.kind == factStock && o.at == x.at && o.value != x.value }
	if len(said) == 0 || slices.ContainsFunc(said, func(o words.CountedAt) bool { return o.As != said[0].As }) || slices.ContainsFunc(b.facts, other) || !countsIn(x.chem, said[0].As) {
		return ""
	}
	return said[0].As
}

// saidOf gives the text of a fact, of a name with the value in the cell beside it.
func saidOf(x fact) string {
	if x.g == nil || !x.keyed {
		return x.text
	}
	v := layout.View{Area: x.g}
	if k, ok := layout.Beside(v, x.r, x.c); ok {
		return x.text + " " + v.At(x.r, k).Text
	}
	return x.text
}
