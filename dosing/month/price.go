package month

import (
	"strconv"

	"jarwright/dosing/formula"
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
	if !l.Priced() {
		return quantity.Price{}
	}
	rules := given("packs")
	cells := map[string]float64{"packs": float64(packs)}
	for i, t := range l.Tiers {
		rules = append(rules, formula.Rule{Name: TierFrom(i + 1)})
		cells[TierFrom(i+1)] = float64(t.From)
	}
	rules = append(rules, formula.Rule{Name: "tier", Text: tier("packs", len(l.Tiers), strconv.Itoa)})
	return l.Tiers[int(formula.New(rules, nil).Work(0, cells, nil).Cell("tier"))-1].Price
}

// Tiers is the largest number of prices by size of order, at least one.
func (p Plan) Tiers() int {
	n := 1
	for _, c := range p.Chemicals {
		n = max(n, len(c.Prices.Tiers))
	}
	return n
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

func (l PriceList) check(name string) (out note.List) {
	for i, t := range l.Tiers {
		out.Add(told(
			row{!t.Price.Valid(), note.Fault("bad-price", "%s: price %s is not possible", name, t.Price).
				Do("a price is zero or more, with currency and unit")},
			row{i > 0 && t.From <= l.Tiers[i-1].From,
				note.Fault("tiers", "%s: price tiers are not in rising order of packs", name).Do("list them from the smallest order up")},
		)...)
	}
	return append(out, told(row{l.Delivery.Amount < 0, note.Fault("bad-price", "%s: the delivery charge is negative", name).
		Do("a charge is zero or more")})...)
}
