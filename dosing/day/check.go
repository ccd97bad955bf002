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

// Check finds a price that cannot be worked out, for want of the dry solids.
func (d Disposal) Check() (l note.List) {
	if d.Price.Amount > 0 && d.DrySolids <= 0 && (d.Price.Per == "m3" || d.Price.Per == "t") {
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
