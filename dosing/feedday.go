package dosing

import (
	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// DoseIn is the dose in water of a class: the usual one where the class has none of its own.
func (f FeedInput) DoseIn(class string) quantity.Dose {
	d := f.Dose
	switch class {
	case site.ClearWater:
		d.Concentration = f.Clear.Or(d.Concentration)
	case site.StormWater:
		d.Concentration = f.Storm.Or(d.Concentration)
	}
	return d
}

// Chemical is the feed as the account of a day takes it, without prices; the error
// and the notes are those of [day.EffectsOf].
func (f FeedInput) Chemical(class string) (day.Chemical, note.List, error) {
	p := f.Stock.Product
	e, notes, err := day.EffectsOf(p, f.Name, f.Dose.Basis)
	c := day.Chemical{Name: f.Name, Dose: f.DoseIn(class), Balance: f.Balance, Effects: e, Stock: f.Stock.PerLitre, Carrier: f.Post}
	if p.Form != product.Dry && p.Density.OK {
		c.Density = p.Density.V
	}
	return c, notes, err
}
