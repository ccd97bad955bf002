package caution

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// brought is the ammonia that the doses add to what stands in the water: of one pass, and
// in a loop what its first run comes to where none is nitrified, the worst that is plausible.
func (v *reviewer) brought(perPass quantity.Concentration) quantity.Concentration {
	if perPass > 0 && v.runs() {
		return v.passing(perPass).After(1)
	}
	return perPass
}

// ammoniaGivers are the doses that bring ammonia, and how much together.
func (v *reviewer) ammoniaGivers() (names []string, asN quantity.Concentration, at note.Place) {
	for _, d := range v.s.Doses {
		n, err := d.Product.AmmoniaAdded(d.Dose)
		if err != nil || n <= 0 {
			continue
		}
		if names == nil {
			at = d.At
		}
		names, asN = append(names, d.name()), asN+n
	}
	return names, asN, at
}

// adds says how much of the ammonia the doses bring; nothing where they bring none.
func (v *reviewer) adds(perPass quantity.Concentration) note.Phrase {
	names, _, _ := v.ammoniaGivers()
	return note.Say("").If(perPass > 0, ". %s brings %s mg/L of it as N and is not for water with animals", join(names), mgL(v.brought(perPass)))
}

// ammoniaDosed says what ammonia the doses bring: a caution where animals get the water, and
// it may come to too much of it or nobody can tell, unless free ammonia was said already.
func (v *reviewer) ammoniaDosed() {
	names, asN, at := v.ammoniaGivers()
	if asN <= 0 || v.has("nh3-lethal") || v.has("nh3-high") || v.has("nh3-aerated-lethal") || v.has("nh3-deadly") {
		return
	}
	words := Words{"chemical": join(names), "value": mgL(asN), "loop": note.Phrase{}}
	if v.runs() {
		words["loop"] = note.Say(" at every pass, which comes to %s in the first day of a loop where none is nitrified, and takes %s mg/L CaCO3 of alkalinity where all is",
			mgL(v.brought(asN)), mgL(nitrified*v.brought(asN)))
	}
	id := "ammonia-brought"
	if c := v.out.Water; v.forAnimals() && (v.runs() || c == nil || !c.HasNH3 || c.airFrees) {
		id = "ammonia-dosed"
	}
	v.say(id, words, "", at)
}
