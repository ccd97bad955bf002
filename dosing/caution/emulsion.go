package caution

import (
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// emulsions tells of the oil that comes with the polymer of an emulsion: it is dosed too, and no polymer's figures speak of it.
func (v *reviewer) emulsions() {
	if !v.forAnimals() {
		return
	}
	share := v.rule("emulsion-oil").Limit / 100
	for _, d := range v.s.Doses {
		sold, err := product.Convert(d.Dose, d.Product, quantity.AsProduct)
		if d.Product.Form == product.Emulsion && err == nil && sold.Concentration > 0 {
			v.say("emulsion-oil", Words{"chemical": d.name(), "value": mgL(sold.Concentration * quantity.Concentration(share)), "share": amount(100 * share)}, d.name(), d.At)
		}
	}
}
