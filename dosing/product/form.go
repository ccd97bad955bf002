package product

import (
	"slices"
	"strings"

	"jarwright/jartest/words"
)

// FormNamed is the form that a name says the goods come in, in any language of the bench sheets; empty where it says none.
func FormNamed(name string) words.Form {
	_, form, _ := words.NamedForm(name)
	return form.Form
}

// Comes reports that a product comes in a form that a name says; no form fits all, and an emulsion is a liquid.
func (p Product) Comes(as words.Form) bool {
	return as == "" || Form(as) == p.Form || as == words.Liquid && p.Form != Dry
}

// inForm lists the products in the form that a name says of goods that the catalogue knows by the rest of it: "ferric
// chloride crystals", "polvo de PAC". Where what goes by the rest comes in another form, the same salt in this one counts; none where the catalogue
// has it in no such form, and then the goods are to be described by their label.
func (c Catalogue) inForm(name string) []Product {
	chem, form, ok := words.NamedForm(name)
	if !ok {
		return nil
	}
	own := c.named(chem)
	if full := withoutForms(name); len(c.named(full)) > 0 { // "cationic PAM", of which the vocabulary has less
		own = c.named(full)
	}
	fits := func(list []Product) []Product {
		return slices.DeleteFunc(slices.Clone(list), func(p Product) bool { return !p.Comes(form.Form) })
	}
	if out := fits(own); len(out) > 0 {
		return out
	}
	return fits(slices.DeleteFunc(c.All(), func(p Product) bool {
		return !slices.ContainsFunc(own, func(o Product) bool { return sameSalt(o, p) })
	}))
}

// withoutForms is a name without its words for forms, what stands in brackets and signs.
func withoutForms(name string) string {
	f := words.Fold(name)
	if before, _, ok := strings.Cut(f, "("); ok {
		f = before
	}
	for _, x := range slices.Backward(words.Forms(f)) {
		f = f[:x.From] + f[x.To:]
	}
	return strings.Trim(f, " ,-:")
}

// sameSalt reports two products of one salt, if not of one strength or form: of one metal, anion and acid. Of polymers
// and of what has no metal the name alone tells.
func sameSalt(a, b Product) bool {
	one, _, metal := elementMoles(a.Basis)
	two, _, also := elementMoles(b.Basis)
	return metal && also && one == two && a.Group == b.Group && a.Anion == b.Anion && a.Anion != "" && Alike([]Product{a, b})
}
