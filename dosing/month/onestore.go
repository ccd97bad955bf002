package month

import (
	"slices"

	"jarwright/dosing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// oneStore parts what is on hand of goods that water and sludge both draw on, as each of them takes of it on the usual day: both then run out
// on the day on which the store does. What is on order is of the water, which orders it.
func (a *adapter) oneStore(p *Plan, sludge *Chemical) {
	goods := dosing.GoodsOf(sludge.Name)
	i := slices.IndexFunc(p.Chemicals, func(c Chemical) bool { return dosing.SameName(c.Name, goods) })
	if i < 0 || goods == sludge.Name {
		return
	}
	water := &p.Chemicals[i]
	of, sludges := water.usually(p.Classes), sludge.usually(nil)
	if of+sludges <= 0 {
		return
	}
	share := quantity.Mass(sludges / (of + sludges))
	store := water.Supply.Opening
	sludge.Supply.Opening, sludge.Supply.OpeningAge, sludge.Supply.NotSaid = store*share, water.Supply.OpeningAge, water.Supply.NotSaid
	water.Supply.Opening -= sludge.Supply.Opening
	a.notes.Add(note.New(note.Info, "sludge-store", "%s: water and sludge draw on one store. The %s on hand are counted as %s for the water and %s for the sludge, as each takes on the usual day, so both run out together; what is on order is counted for the water, and each is ordered by itself",
		goods, quantity.To(store, 3), quantity.To(water.Supply.Opening, 3), quantity.To(sludge.Supply.Opening, 3)).Do("place both orders as one where the supplier charges for each delivery"))
}

// usually is the product that a chemical takes of so much water, on the average of its classes.
func (c Chemical) usually(classes []Class) (out quantity.Concentration) {
	of := quantity.Concentration(1)
	if c.Basis != quantity.AsProduct && c.Strength.OK && c.Strength.V > 0 {
		of = 1 / quantity.Concentration(c.Strength.V)
	}
	if len(classes) == 0 || len(c.Doses) == 1 {
		if len(c.Doses) > 0 {
			return c.Doses[0].Plan * of
		}
		return 0
	}
	for i, class := range classes {
		out += c.Doses[i].Plan * quantity.Concentration(class.Share) * of
	}
	return out
}
