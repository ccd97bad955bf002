package clarify

import (
	"slices"

	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Of gives a chemical of the run from a product: what a dose on that basis takes
// of alkalinity, leaves as floc, and weighs as product. perLitre is product per
// litre of stock; zero means neat. animals set the limits of a polymer.
func Of(name string, p product.Product, basis quantity.Basis, rule Rule, perLitre quantity.Concentration,
	animals []caution.Animal) (Chemical, error) {
	c := Chemical{Name: name, Basis: basis, Rule: rule}
	if basis == quantity.NotStated {
		return c, note.Fault("basis-missing", "the dose of %s has no basis", name).
			Do(`say what it counts, such as "as product" or "as alum 14-hydrate"`)
	}
	effects, _, err := day.EffectsOf(p, name, basis)
	c.Effects = effects
	if err == nil { // else product and stock are not worked out
		share := quantity.Concentration(c.Strength.V)
		if p.Density.OK {
			c.Density = p.Density.V
		}
		switch {
		case perLitre > 0:
			c.Stock = perLitre * share
		case p.Form != product.Dry && p.Density.OK:
			c.Stock, c.Neat = product.Active(c.Strength.V, p.Density.V), true
		}
	}
	if l, ok := caution.PolymerLimits(name, p, animals); ok {
		active := c.counted(p, l)
		c.StopAt, c.WarnAt, c.Where, c.Care = l.Stop/active, l.Warn/active, l.Where, l.Care
		for _, x := range caution.PolymerStops(name, p, animals) {
			c.bounded(Bound{x.Rule, x.Stop / active, x.Where})
		}
	}
	return c, nil
}

// counted has its residual told as its limits count it, and gives how much of that is in a mass of dose.
func (c *Chemical) counted(p product.Product, l caution.Limits) quantity.Concentration {
	c.As, c.Holds = l.As, c.Floc
	if !p.IsPolymer() {
		c.Holds = c.Product()
	}
	return quantity.Concentration(c.Holds)
}

// ForBack takes over the limits of animals that are kept out while it is dosed and come back to what it leaves: they are told beside that, and
// stop nothing. It does nothing where animals in the water set limits already.
func (c *Chemical) ForBack(p product.Product, animals []caution.Animal) {
	if l, ok := caution.PolymerLimits(c.Name, p, animals); ok && c.Holds <= 0 && len(animals) > 0 {
		active := c.counted(p, l)
		c.BackStop, c.BackCare = l.Stop/active, l.Warn/active
	}
}

// bounded takes a limit over, the least of each rule.
func (c *Chemical) bounded(b Bound) {
	i := slices.IndexFunc(c.Stops, func(x Bound) bool { return x.Rule == b.Rule })
	switch {
	case i < 0:
		c.Stops = append(c.Stops, b)
	case b.At < c.Stops[i].At:
		c.Stops[i] = b
	}
}

// account is the chemical as the account of a day takes it.
func (c Chemical) account() day.Chemical {
	return day.Chemical{Name: c.Name, Effects: c.Effects, Density: c.Density, Stock: c.Stock * quantity.Concentration(c.Product())}
}

// use is what a mass of dose takes of product and stock, as far as they are known.
func (c Chemical) use(dosed quantity.Mass) Use {
	use := c.account().Use(dosed, quantity.Price{})
	u := Use{Chemical: c.Name, Basis: c.Basis, Dosed: use.Dosed}
	if c.Strength.OK {
		u.Product, u.Volume = use.Product, use.Volume
	}
	if c.Stock > 0 {
		u.Stock = use.Stock
	}
	return u
}
