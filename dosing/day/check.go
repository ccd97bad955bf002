package day

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Check finds a strength that no product of that name can have.
func (e Effects) Check(name string) (l note.List) {
	if e.Strength.V < 0 || e.Strength.V > 1 {
		l.Add(note.Fault("bad-strength", "%s: strength %s is outside 0 to 100 %%", name, e.Strength.V).
			Do("give the mass of the basis substance per mass of product"))
	}
	return l
}

// Check refuses a price that is for nothing that solids are measured by, and one of
// wet solids where it is not known how much dry solids they hold.
func (d Disposal) Check() (l note.List) {
	switch dry, wet, volume := d.paid(); {
	case d.Price.Amount <= 0 || dry > 0:
	case wet <= 0 && volume <= 0:
		l.Add(note.Fault("price-unit", "the price of disposal of solids is per %s", d.Price.Per).Do("give it per m3, t, kg dry, t dry"))
	case d.DrySolids <= 0:
		l.Add(note.Fault("no-dry-solids", "solids are paid by %s and their dry solids are not given", d.Price.Per).
			Do("give the %% dry solids of the float or sludge, or a price per kg dry"))
	}
	return l
}

// Currency is the one currency of prices, "" where nothing has a price, and the
// fault of another beside it.
func Currency(prices ...quantity.Price) (first string, l note.List) {
	for _, p := range prices {
		switch p.Currency {
		case "", first:
		default:
			if first != "" {
				l.Add(note.Fault("currencies", "prices are in %s and in %s", first, p.Currency).Do("give all prices in one currency"))
				return first, l
			}
			first = p.Currency
		}
	}
	return first, l
}
