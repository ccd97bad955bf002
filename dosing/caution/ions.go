package caution

import (
	"slices"

	"jarwright/dosing/animal"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// ionRules are what chloride and sulfate are held to before animals of fresh water, the gravest of each first. Sea water is full of both, and animals
// that are kept in salt water go by its salinity.
//
// Chloride: four days and an hour of the criteria for the life of fresh waters (US EPA 1988, EPA 440/5-88-001; from memory). They were made for table
// salt; that of calcium, magnesium or potassium may harm more, so that care is called for whatever an animal bears of sea salt. The stop is of animals of which
// no such figure is known: what they themselves bear goes before a criterion for all life. Sulfate: the guideline of British Columbia, which goes by the
// hardness (from memory).
var ionRules = []struct {
	ion, rule string
	limit     func(*reviewer, Rule) quantity.Concentration
	// bears reports that an animal is known to bear so much; nil where none is asked.
	bears func(*reviewer, Animal, quantity.Concentration) bool
}{
	{"chloride", "chloride-acute", ofRule, (*reviewer).bearsAsSalt},
	{"chloride", "chloride-high", ofRule, nil},
	{"sulfate", "sulfate-high", (*reviewer).sulfateBorne, nil},
}

// saltOfChloride is the sea salt that comes with chloride (S = 1.80655 Cl, the definition of salinity by chlorinity, JPOTS 1966; from memory).
const saltOfChloride = 1.80655

// bearsAsSalt reports that an animal's own range of salinity holds the water with so much more chloride.
func (v *reviewer) bearsAsSalt(a Animal, chloride quantity.Concentration) bool {
	r, ok := a.Profile.Range(animal.Salinity, a.Stage)
	return ok && r.HasHigh && float64(v.s.Water.Salinity.Or(0))+saltOfChloride*float64(chloride)/1000 <= r.High
}

func ofRule(_ *reviewer, r Rule) quantity.Concentration { return quantity.Concentration(r.Limit) }

// softSulfate is sulfate, mg/L, that the life of fresh water bears up to a hardness, mg/L as CaCO3; that of the hardest holds beyond it.
var softSulfate = []struct{ hardness, bears quantity.Concentration }{{30, 128}, {75, 218}, {180, 309}, {250, 429}}

// sulfateBorne is that of the water with all that the doses add to its hardness; that of the softest where its hardness is not given.
func (v *reviewer) sulfateBorne(Rule) quantity.Concentration {
	if !v.s.Water.Hardness.OK {
		return softSulfate[0].bears
	}
	hard := v.s.Water.Hardness.V + v.hardens(true)
	for _, x := range softSulfate {
		if hard <= x.hardness {
			return x.bears
		}
	}
	return softSulfate[len(softSulfate)-1].bears
}

// ionsForAnimals judges what all doses together bring of chloride and sulfate into fresh water that animals get, on top of what it has, which nobody is asked
// for: in a loop what its passes come to.
func (v *reviewer) ionsForAnimals() {
	if !v.forAnimals() || v.salt() {
		return
	}
	said := map[string]bool{}
	for _, x := range ionRules {
		var brings quantity.Concentration
		var from []string
		var at note.Place
		for _, d := range v.s.Doses {
			for _, s := range ionsOf(d) {
				if s.Ion == x.ion {
					brings += s.PerPass
					if from = append(from, d.name()); len(from) == 1 {
						at = d.At
					}
				}
			}
		}
		if brings <= 0 || said[x.ion] {
			continue
		}
		rule, when := v.rule(x.rule), note.Phrase{}
		limit := x.limit(v, rule)
		if v.runs() {
			var how note.Phrase
			brings, how = v.comes(v.passing(brings))
			when = note.Say(" %s", how)
		}
		who := v.s.Stock
		if x.bears != nil {
			who = slices.DeleteFunc(slices.Clone(who), func(a Animal) bool { return x.bears(v, a, brings) })
		}
		if len(who) == 0 {
			continue
		}
		said[x.ion] = brings > limit
		v.judge(x.rule, join(from), counted(mgL(brings), "mg/L"), counted(mgL(limit), "mg/L"), brings > limit,
			Words{"chemical": join(from), "value": mgL(brings), "when": when, "limit": mgL(limit), "who": who[0].who(),
				"hardness": note.Say("").If(v.s.Water.Hardness.OK, "hardness %s mg/L", mgL(v.s.Water.Hardness.V+v.hardens(true))).If(!v.s.Water.Hardness.OK, "hardness is not given: that of the softest water")}, at)
	}
}
