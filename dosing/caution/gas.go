package caution

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Gas is what the unit's bubbles leave in the water that goes on.
type Gas struct {
	// Total is the most that all gases together may press, in percent of the air outside, of
	// bubbles so deep. Assumed is true where the site does not tell how deep.
	Total   quantity.Number
	Depth   quantity.Length
	Assumed bool
	// Degassed is true where the water is sprayed, trickled or let fall before the animals.
	Degassed bool
	At       note.Place
}

// gas judges the gas that bubbles under pressure leave in water that goes to animals.
func (v *reviewer) gas() {
	g := v.s.Gas
	if g == nil || !v.forAnimals() {
		return
	}
	how := ""
	if g.Assumed {
		how = ", for its depth is not given"
	}
	limit := v.rule("gas-high").Limit
	v.judge("gas-high", "", note.Say("%s %%", amount(float64(g.Total))).If(g.Degassed, ", but degassed"), counted(amount(limit), "%"),
		float64(g.Total) > limit && !g.Degassed,
		Words{"total": amount(float64(g.Total)), "depth": quantity.To(g.Depth, 3), "how": how, "limit": amount(limit)}, g.At)
}
