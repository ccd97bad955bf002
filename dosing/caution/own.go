package caution

import (
	"strings"

	"jarwright/dosing/product"
	"jarwright/jartest/note"
)

// unknown reports a product of which nothing is known but its name: what it does to animals neither.
func unknown(p product.Product) bool {
	return p.Group == product.UnknownProduct && p.Metal() == ""
}

// deadly are chemicals that are dosed to kill something, by a word of their names, and what is known of them with
// animals (all from memory, none read in its source).
var deadly = []struct{ word, why string }{
	{"chlor", "free chlorine kills fish and shrimp at a few hundredths to tenths of a mg/L, and stays until something takes it out"},
	{"bleach", "free chlorine kills fish and shrimp at a few hundredths to tenths of a mg/L, and stays until something takes it out"},
	{"javel", "free chlorine kills fish and shrimp at a few hundredths to tenths of a mg/L, and stays until something takes it out"},
	{"permanganate", "trout have died of 1 to 2 mg/L within days, and clear or hard water makes it worse"},
	{"copper", "a few hundredths to tenths of a mg/L of copper kill trout, shrimp, crabs and snails, least in soft water"},
	{"formalin", "it takes oxygen out of the water, and kills with warmth and in soft water at little more than baths hold"},
	{"formaldehyde", "it takes oxygen out of the water, and kills with warmth and in soft water at little more than baths hold"},
	{"peracetic", "a few mg/L kill fish within hours, least in soft water"},
	{"peroxide", "baths kill where they are strong, long or warm"},
}

// own says of a product of which nothing is known that animals get it, and what is known of its name: a check that is
// not made must not look like one that found nothing. A test that the site made itself is judged as that of a polymer is.
func (v *reviewer) own() {
	for _, d := range v.s.Doses {
		if !unknown(d.Product) || d.Dose.Concentration <= 0 {
			continue
		}
		for _, a := range v.s.Stock {
			if _, known := toxicity(d.name(), d.Product, a); known {
				continue
			}
			words := Words{"chemical": d.name(), "who": a.who(), "dose": d.Dose, "why": note.Phrase{}}
			for _, x := range deadly {
				if strings.Contains(strings.ToLower(d.name()), x.word) {
					words["why"] = note.Say(". By its name it may be deadly: %s (from memory)", x.why)
					break
				}
			}
			v.say("own-unknown", words, d.name(), a.At)
		}
	}
}
