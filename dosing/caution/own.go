package caution

import (
	"slices"
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// unknown reports a product of which nothing is known but its name: what it does to animals neither.
func unknown(p product.Product) bool {
	return p.Group == product.UnknownProduct && p.Metal() == ""
}

// deadly are chemicals that are dosed to kill something, by their family or a word of their names, and what is known of them
// with animals (all from memory, none read in its source).
var deadly = []struct{ family, word, why string }{
	{"hypochlorite", "", freeChlorine},
	{"chlorine giver", "", freeChlorine},
	{"chlorite", "", "chlorite and chlorine dioxide kill shrimp and young fish at tenths of a mg/L"},
	{"permanganate", "", "trout have died of 1 to 2 mg/L within days, and clear or hard water makes it worse"},
	{"peracid", "", "a few mg/L kill fish within hours, least in soft water"},
	{"peroxide", "", "baths kill where they are strong, long or warm"},
	{"", "copper", "a few hundredths to tenths of a mg/L of copper kill trout, shrimp, crabs and snails, least in soft water"},
	{"", "formal", "formaldehyde takes oxygen out of the water, and kills with warmth and in soft water at little more than baths hold"},
}

const freeChlorine = "free chlorine kills fish and shrimp at a few hundredths to tenths of a mg/L, and stays until something takes it out"

// byName is what is known of a product by its name alone; nothing where that is nothing.
func byName(name string) note.Phrase {
	of := otherFamilies(name)
	for _, x := range deadly {
		if x.family != "" && slices.Contains(of, x.family) || x.word != "" && strings.Contains(strings.ToLower(name), x.word) {
			return note.Say(". By its name it may be deadly: %s (from memory)", x.why)
		}
	}
	return note.Phrase{}
}

// own says of a product of which nothing is known that animals get it, and what is known of its name: a check that is
// not made must not look like one that found nothing. A test that the site made itself is judged as that of a polymer is.
func (v *reviewer) own() {
	for _, d := range v.s.Doses {
		if !unknown(d.Product) || d.Dose.Concentration <= 0 {
			continue
		}
		for _, a := range v.s.Stock {
			if len(v.s.figures(d.name(), d.Product, a)) > 0 {
				continue
			}
			if v.chlorine(d, a) {
				continue
			}
			v.say("own-unknown", Words{"chemical": d.name(), "who": a.who(), "dose": d.Dose, "why": byName(d.name())}, d.name(), a.At)
		}
	}
}

// holdChlorine is the least that goods of a family hold of available chlorine, as sold (common practice, no source): old
// household bleach, and the weakest of what gives it slowly.
var holdChlorine = map[string]quantity.Fraction{"hypochlorite": 0.03, "chlorine giver": 0.25}

// inSea is the acute criterion of chlorine for salt water, mg/L (source of the rule; from memory).
const inSea = 0.013

// chlorine judges what gives chlorine by its name, at the least that such goods hold or as its strength is given: unlike what is
// dosed to cure animals, no dose of it that does anything is borne by them. It reports a stop.
func (v *reviewer) chlorine(d Dose, a Animal) bool {
	var least quantity.Fraction
	for _, f := range otherFamilies(d.name()) {
		least = max(least, holdChlorine[f])
	}
	if least == 0 {
		return false
	}
	holds, share := least, note.Say(" (such goods hold %s or more)", least)
	switch named, ok := product.StrengthNamed(d.name()); {
	case d.Product.Strength.OK:
		holds, share = d.Product.Strength.V, note.Say(" (at %s as stated)", d.Product.Strength.V)
	case ok && named > 0:
		holds, share = named, note.Say(" (at %s, by its name)", named)
	}
	sold := d.Dose.Concentration
	if p, err := product.Convert(d.Dose, d.Product, quantity.AsProduct); err == nil {
		sold = p.Concentration
	}
	bound := quantity.Concentration(0)
	for _, x := range v.s.Doses {
		if sure, _, err := x.Product.ChlorineBound(x.Dose); err == nil {
			bound += sure
		}
	}
	gives, limit := sold*quantity.Concentration(holds)-bound, quantity.Concentration(v.rule("own-chlorine").Limit)
	if !v.fresh() {
		limit = inSea
	}
	v.judge("own-chlorine", d.name()+", "+a.who(), counted(mgL(max(0, gives)), "mg/L"), counted(mgL(limit), "mg/L"), gives > limit,
		Words{"chemical": d.name(), "who": a.who(), "dose": d.Dose, "value": mgL(gives), "limit": mgL(limit), "share": share,
			"bound": note.Say("").If(bound > 0, ", beyond the %s mg/L that what is dosed beside it takes for sure", mgL(bound))}, a.At)
	return gives > limit
}
