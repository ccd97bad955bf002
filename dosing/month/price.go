package month

import (
	"strconv"

	"jarwright/dosing/formula"
	"jarwright/dosing/site"
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
	// Cells are those of the tiers, where a site gives them.
	Cells []note.Place
}

// cell is that of a tier, no place where none is known.
func (l PriceList) cell(tier int) (at note.Place) {
	if tier < len(l.Cells) {
		at = l.Cells[tier]
	}
	return at
}

// inCell puts what is wrong with the price of a tier at its cell.
func (l PriceList) inCell(tier int, err error) error {
	faults := note.Of(err, "price")
	for k := range faults {
		faults[k] = faults[k].At(l.cell(tier))
	}
	return faults.Err()
}

// MoneyAt is the first cell of a site's prices in each currency.
func MoneyAt(s site.Site) map[string]note.Place {
	out := map[string]note.Place{}
	first := func(currency string, at note.Place) {
		if _, seen := out[currency]; !seen && currency != "" {
			out[currency] = at
		}
	}
	for _, r := range s.Prices {
		first(r.Price.V.Currency, r.Price.At)
		first(r.Delivery.V.Currency, r.Delivery.At)
		first(r.Price2.V.Currency, r.Price2.At)
		first(r.Price3.V.Currency, r.Price3.At)
	}
	return out
}

// Priced reports that there is a price.
func (l PriceList) Priced() bool { return len(l.Tiers) > 0 }

// Charged reports that it is known what a delivery costs, be it nothing.
func (l PriceList) Charged() bool { return l.Delivery.Currency != "" }

// At gives the price in an order of so many packs: that of the highest tier
// reached, or of the lowest tier for an order below it.
func (l PriceList) At(packs int) quantity.Price {
	if !l.Priced() {
		return quantity.Price{}
	}
	return l.Tiers[l.reached(packs)].Price
}

// reached is the tier of an order of so many packs, of a list that has any.
func (l PriceList) reached(packs int) int {
	rules := given("packs")
	cells := map[string]float64{"packs": float64(packs)}
	for i, t := range l.Tiers {
		rules = append(rules, formula.Rule{Name: TierFrom(i + 1)})
		cells[TierFrom(i+1)] = float64(t.From)
	}
	rules = append(rules, formula.Rule{Name: "tier", Text: tier("packs", len(l.Tiers), strconv.Itoa)})
	return int(formula.New(rules, nil).Work(0, cells, nil).Cell("tier")) - 1
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
	for i, t := range l.Tiers {
		p, err := t.Price.PerKg(c.Density, c.Supply.Pack)
		if err != nil {
			return out, l.inCell(i, err)
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
