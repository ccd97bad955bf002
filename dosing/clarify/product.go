package clarify

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Of gives a chemical of the run from a product: what a dose on that basis takes
// of alkalinity, leaves as floc, and weighs as product. perLitre is product per
// litre of stock; zero means neat. animals set the limits of a polymer.
func Of(name string, p product.Product, basis quantity.Basis, rule Rule, perLitre quantity.Concentration, animals []caution.Animal) (Chemical, error) {
	c := Chemical{Name: name, Basis: basis, Rule: rule}
	if basis == quantity.NotStated {
		return c, note.Fault("basis-missing", "the dose of %s has no basis", name).Do(`say what it counts, such as "as product" or "as alum 14-hydrate"`)
	}
	one := quantity.Dose{Concentration: 1, Basis: basis}
	if a, err := p.AlkalinityUsed(one); err == nil {
		c.Acid = a
	}
	switch p.Metal() {
	case "Al":
		if d, err := product.Convert(one, p, quantity.AsAl); err == nil {
			c.Al = float64(d.Concentration)
		}
	case "Fe":
		if d, err := product.Convert(one, p, quantity.AsFe); err == nil {
			c.Fe = float64(d.Concentration)
		}
	}
	share, err := p.StrengthAs(basis)
	if err == nil && share > 0 {
		c.Product = 1 / float64(share)
		if p.Density.OK {
			c.Density = p.Density.V
		}
		switch {
		case perLitre > 0:
			c.Stock = perLitre * quantity.Concentration(share)
		case p.Form != product.Dry && p.Density.OK:
			c.Stock, c.Neat = product.Active(share, p.Density.V), true
		}
	}
	if p.Group == product.Polymer || p.Group == product.Biopolymer {
		active := 1.0 // of the dose
		if basis == quantity.AsProduct {
			if s, err := p.StrengthAs(p.Basis); err == nil && p.Basis != quantity.NotStated {
				active = float64(s)
			}
		}
		c.Floc = active
		if l, ok := caution.PolymerLimits(p, animals); ok {
			c.StopAt, c.WarnAt, c.Where = l.Stop/quantity.Concentration(active), l.Warn/quantity.Concentration(active), l.Where
		}
	}
	return c, nil
}
