package caution

import (
	"jarwright/dosing/animal"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limits are what the residual of a polymer is held against where animals get
// the water: the least of all animals named.
type Limits struct {
	Stop, Warn quantity.Concentration
	// Where says in words what the limits are part of, such as "a tenth of what
	// kills rainbow trout (0.271 mg/L)"; a borrowed figure is named as borrowed.
	Where string
	// NoData names the animals of which nothing is known with this product.
	NoData []string
}

// PolymerLimits gives the limits of a polymer for those animals; false for a
// product that is no polymer, or where no animal is named. The limits count
// active polymer.
func PolymerLimits(p product.Product, stock []Animal) (Limits, bool) {
	if !isPolymer(p) || len(stock) == 0 {
		return Limits{}, false
	}
	k := kind(p)
	var l Limits
	for _, a := range stock {
		lethal, own, known := animal.Lethal(k, a.Profile.Group)
		if !known {
			l.NoData = append(l.NoData, a.who())
			continue
		}
		stopRule, warnRule, words := "cationic-lethal", "cationic-near", "a tenth of what kills "+a.who()
		switch {
		case k == animal.AnionicPolymer:
			stopRule, warnRule, words = "anionic-lethal", "anionic-high", "a thirtieth of what kills "+a.who()
			if a.Profile.ID == "water-fleas" {
				warnRule = "anionic-fleas"
			}
		case !own:
			stopRule, warnRule = "cationic-borrowed-stop", "cationic-borrowed"
		}
		if !own {
			l.NoData = append(l.NoData, a.who())
			words = "no data for " + a.who() + ", bioassay needed; borrowed from " + lethal.Animal + ", part of"
		}
		s, w := limitOf(stopRule, lethal), limitOf(warnRule, lethal)
		if l.Stop == 0 || s < l.Stop {
			l.Stop, l.Warn, l.Where = s, w, words+" ("+amount(lethal.Low)+" mg/L)"
		}
	}
	return l, l.Stop > 0
}

// limitOf is a rule's limit as a concentration: plain mg/L, or a part of the lethal figure.
func limitOf(id string, lethal animal.Result) quantity.Concentration {
	r, ok := RuleNamed(id)
	if !ok {
		panic("caution: no rule " + id)
	}
	if r.Unit == partsOfLC50 {
		return lethal.Dose() / quantity.Concentration(r.Limit)
	}
	return quantity.Concentration(r.Limit)
}

// Note makes the note of a rule with its places filled in, for answers that find
// out by themselves that its condition holds. An unknown id is a programmer's mistake.
func Note(id string, w Words) note.Note {
	r, ok := RuleNamed(id)
	if !ok {
		panic("caution: no rule " + id)
	}
	return r.note(w)
}
