package caution

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Gas is what the unit's bubbles leave in the water that goes on.
type Gas struct {
	// Total is the most that all gases together may press, in percent of the air outside;
	// not known where the unit's depth is not.
	Total quantity.Known[quantity.Number]
	Depth quantity.Known[quantity.Length]
	// Degassed is true where the water is sprayed, trickled or let fall before the animals.
	Degassed bool
	At       note.Place
}

// unknownDepth is what a unit counts as that does not tell its own: the least of the usual 2–3 m
// is for works; farms' units are about a metre (common practice, no source).
const unknownDepth quantity.Length = 1

// gas judges the gas that bubbles under pressure leave in water that goes to animals. Where
// the depth is not known the unit counts as a metre deep, and the answer says so.
func (v *reviewer) gas() {
	g := v.s.Gas
	if g == nil || !v.forAnimals() {
		return
	}
	total, deep, how := g.Total.V, g.Depth.V, ""
	if !g.Total.OK {
		total, deep, how = 100+9.7*quantity.Number(unknownDepth), unknownDepth, ", for its depth is not given"
	}
	limit := v.rule("gas-high").Limit
	v.judge("gas-high", "", note.Say("%s %%", amount(float64(total))).If(g.Degassed, ", but degassed"), counted(amount(limit), "%"), float64(total) > limit && !g.Degassed,
		Words{"total": amount(float64(total)), "depth": quantity.To(deep, 3), "how": how, "limit": amount(limit)}, g.At)
}
