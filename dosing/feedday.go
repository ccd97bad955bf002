package dosing

import (
	"jarwright/dosing/day"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// DoseIn is the dose in water of a class: the usual one where the class has none of its own.
func (f FeedInput) DoseIn(class string) quantity.Dose {
	d := f.Dose
	if own := f.own(class); own != nil {
		d.Concentration = own.Or(d.Concentration)
	}
	return d
}

// own is the dose of its own that a feed may have in water of a class; nil for the usual one.
func (f *FeedInput) own(class string) *quantity.Known[quantity.Concentration] {
	switch class {
	case site.ClearWater:
		return &f.Clear
	case site.StormWater:
		return &f.Storm
	}
	return nil
}

// onDay gives the feed the dose of the day's water, where that has one of its own; the range
// of the usual dose says nothing of it.
func (f *FeedInput) onDay(class string) {
	own := f.own(class)
	if own == nil || !own.OK {
		return
	}
	f.Dose.Concentration, f.Low, f.High = own.V, 0, 0
	f.DoseSource = "for " + class + " water, by the calendar"
}

// Chemical is the feed as the account of a day takes it, without prices; the error
// and the notes are those of [day.EffectsOf].
func (f FeedInput) Chemical(class string) (day.Chemical, note.List, error) {
	e, notes, err := day.EffectsOf(f.Stock.Product, f.Name, f.Dose.Basis)
	return day.Chemical{Name: f.Name, Dose: f.DoseIn(class), Balance: f.Balance, Effects: e, Stock: f.Stock.PerLitre, Carrier: f.Post,
		Density: f.Stock.liquid()}, notes, err
}
