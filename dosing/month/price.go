package month

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Tier is the price from so many packs in one order upward.
type Tier struct {
	From  int
	Price quantity.Price
}

// PriceList is what a supplier asks: tiers by size of order, the lowest first,
// and a charge for each delivery whatever its size. No tier means not priced.
type PriceList struct {
	Tiers    []Tier
	Delivery quantity.Money
}

// Priced reports that there is a price.
func (l PriceList) Priced() bool { return len(l.Tiers) > 0 }

// At gives the price in an order of so many packs: that of the highest tier
// reached, or of the lowest tier for an order below it.
func (l PriceList) At(packs int) quantity.Price {
	var p quantity.Price
	for i, t := range l.Tiers {
		if i == 0 || packs >= t.From {
			p = t.Price
		}
	}
	return p
}

// perKg turns every tier into a price per kg.
func (l PriceList) perKg(c Chemical) (PriceList, error) {
	out := PriceList{Delivery: l.Delivery}
	for _, t := range l.Tiers {
		p, err := t.Price.PerKg(c.Density, c.Supply.Pack)
		if err != nil {
			return out, err
		}
		out.Tiers = append(out.Tiers, Tier{t.From, p})
	}
	return out, nil
}

func (l PriceList) check(name string) note.List {
	var out note.List
	for i, t := range l.Tiers {
		if !t.Price.Valid() {
			out.Add(note.Fault("bad-price", "%s: price %s is not possible", name, t.Price).Do("a price is zero or more, with currency and unit"))
		}
		if i > 0 && t.From <= l.Tiers[i-1].From {
			out.Add(note.Fault("tiers", "%s: price tiers are not in rising order of packs", name).Do("list them from the smallest order up"))
		}
	}
	if l.Delivery.Amount < 0 {
		out.Add(note.Fault("bad-price", "%s: the delivery charge is negative", name).Do("a charge is zero or more"))
	}
	return out
}
