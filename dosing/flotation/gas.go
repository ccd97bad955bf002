package flotation

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TotalGas is the most that all gases together may press in the water that leaves the unit, in
// percent of the air outside: water in balance with bubbles as deep as the unit. False where the
// depth is not known. It is worse where white water reaches the outlet or a pump sucks air.
func (u Unit) TotalGas() (quantity.Number, bool) {
	outside := Barometer(u.Height)
	return quantity.Number(100 * (outside + perMetre*float64(u.Depth.V)) / outside), u.Depth.OK
}

// Total gas that is held before animals: in water a metre deep or more (British Columbia
// guidelines, Fidler and Miller 1994, sections 8–9: 76 mm Hg, about 110 %), and in shallower water
// or before larvae (CCME, 24 mm Hg, about 103 %, from memory).
const GasDeep, GasShallow quantity.Number = 110, 103

// Shallow is the depth up to which a unit's water may be let straight to animals: 0.3 m of water is 103 %.
const Shallow quantity.Length = 0.3

// Gas is the caution on gas where water of the unit goes to animals without being degassed; false where it is shallow.
func (u Unit) Gas() (note.Note, bool) {
	worst, ok := u.TotalGas()
	if ok && u.Depth.V <= Shallow {
		return note.Note{}, false
	}
	const do = "let it spray, trickle or fall before the animals, and measure total gas there: at most %s %% in shallow tanks and with larvae, %s %% in water a metre deep"
	const from = "Fish Hatchery Management (USFWS); British Columbia guidelines, Fidler and Miller 1994; CCME, from memory"
	n := note.New(note.Caution, "gas", "water leaves a unit %s deep with up to %s %% of the gas that open water holds", u.Depth.V, quantity.To(worst, 3))
	if !ok {
		n = note.New(note.Caution, "gas", "water that leaves flotation holds more gas than open water, 10 %% more a metre of depth; how deep this unit is is not given")
	}
	return n.Do(do, GasShallow, GasDeep).From(from), true
}
