package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// formulas are the salts that stocks are made of: the formula without its crystal water, and how
// many atoms of its metal one holds.
var formulas = map[string]struct {
	formula, metal string
	atoms          float64
}{
	"alum": {"Al2(SO4)3", "Al", 2}, "aluminium chloride": {"AlCl3", "Al", 1}, "ferric chloride": {"FeCl3", "Fe", 1},
	"ferric sulfate": {"Fe2(SO4)3", "Fe", 2}, "ferrous sulfate": {"FeSO4", "Fe", 1},
}

var (
	// molarAmount is a strength by amount of substance; a lone M is one in a capital.
	molarAmount = words.NewPattern(`(\d[\d.,]*) ?(m?M|m?mol ?(?:/|per) ?(?:L|l|litre|liter|dm3|dm³))(?:[\s,;)]|$)`)
	// crystalWater stands apart from the formula that it belongs to: "(14 H2O)", "18-hydrate".
	crystalWater = words.NewPattern(`(?i)[(\[]\s*(?:as\s+)?(\d{1,2})[\s-]?(?:H2O|hydrate)\s*[)\]]`)
	inParens     = words.NewPattern(`[(\[]([^()\[\]]{2,30})[)\]]`)
	formulaToken = words.NewPattern(`^[(\[]?[A-Z][A-Za-z]?\d?\(?[A-Z0-9][\w()·*.•⋅₀-₉]*`)
)

// plainly rewrites what stands beside the tables where a stock is given by its formula, so that
// its strength reads as a mass with a basis; the cells are put back by what it gives.
func (b *bench) plainly(g *layout.Area, in func(r, c int) bool) (restore func()) {
	type kept struct {
		r, c int
		x    grid.Cell
	}
	var was []kept
	for r := range g.Rows {
		for c, x := range g.Rows[r] {
			if x.Kind != grid.Textual || in(r, c) || len(x.Text) > 300 || !strings.ContainsAny(x.Text, "0123456789") {
				continue
			}
			if text := b.byMass(g, r, c, x.Text); text != x.Text {
				was = append(was, kept{r, c, x})
				g.Rows[r][c].Text = text
			}
		}
	}
	return func() {
		for _, k := range was {
			g.Rows[k.r][k.c] = k.x
		}
	}
}

// byMass gives a text on a stock with its strength as a mass and its basis in plain words.
func (b *bench) byMass(g *layout.Area, r, c int, text string) string {
	h, left := layout.ReadHeading(text), layout.Heading{}
	if c > 0 {
		left = layout.ReadHeading(layout.View{Area: g}.At(r, c-1).Text)
	}
	if !h.Stock && !left.Stock && !left.Strength && !h.Strength {
		return text
	}
	chem := cmp.Or(h.Chem, left.Chem, saltOf(h.Unit.As))
	salt, known := formulas[chem]
	out := text
	if m := molarAmount.FindStringSubmatchIndex(text); m != nil && known {
		out = molarByMass(text, m, chem, b.decimals[g])
	}
	if m := crystalWater.FindStringSubmatchIndex(out); m != nil && known {
		if basis, ok := quantity.BasisOf(salt.formula + "." + out[m[2]:m[3]] + "H2O"); ok {
			plain := "as " + salt.formula + "·" + out[m[2]:m[3]] + "H2O"
			if strings.Contains(salt.formula, "(") { // brackets part what a text says
				plain = string(basis)
			}
			out = out[:m[0]] + plain + out[m[1]:]
		}
	}
	if out != text {
		b.say(note.Info, "stock-by-formula", g.Place(r, c), "%q is read as %q", clip(text), clip(out))
	}
	return openBases(out)
}

// saltOf names the salt of a formula, with or without its crystal water.
func saltOf(formula string) string {
	for name, salt := range formulas {
		if strings.HasPrefix(formula, strings.ToLower(salt.formula)) {
			return name
		}
	}
	return ""
}

// molarByMass writes the amount of substance of a stock as the mass of its metal, which all its
// hydrates have in common; their formulas go.
func molarByMass(text string, m []int, chem string, dec layout.Decimals) string {
	salt := formulas[chem]
	x, u := layout.Numeral(text[m[2]:m[3]], dec), text[m[4]:m[5]]
	if !x.OK() || x.Num <= 0 {
		return text
	}
	grams := x.Num * salt.atoms * quantity.AtomicMass[salt.metal]
	if strings.HasPrefix(u, "mM") || strings.HasPrefix(u, "mmol") {
		grams /= 1000
	}
	rest := slices.DeleteFunc(strings.Fields(text[m[5]:]), formulaToken.MatchString)
	rest = slices.DeleteFunc(rest, func(w string) bool { return layout.ReadHeading(w).Chem == chem })
	return strings.TrimSpace(fmt.Sprintf("%s %s %s g/L as %s %s", strings.TrimSpace(text[:m[2]]), chem, trimFloat(grams), salt.metal, strings.Join(rest, " ")))
}

// openBases takes the brackets off what a strength counts: "10 g/L (as Al)".
func openBases(text string) string {
	return inParens.ReplaceAllStringFunc(text, func(s string) string {
		as, counted := words.CountedAs(s[1 : len(s)-1])
		if _, known := quantity.BasisOf(as); counted && known {
			return s[1 : len(s)-1]
		}
		return s
	})
}
