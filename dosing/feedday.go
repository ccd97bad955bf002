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
// of the usual dose and what is fed on a usual day say nothing of it.
func (f *FeedInput) onDay(class string) {
	own := f.own(class)
	if own == nil || !own.OK {
		return
	}
	f.Usual = quantity.Some(f.Dose.Concentration)
	f.Dose.Concentration, f.Low, f.High, f.Quantile = own.V, 0, 0, nil
	f.DoseSource, f.DoseAt, f.FedADay = "for "+class+" water, by the calendar", own.At, quantity.Known[quantity.MassRate]{}
}

// balanceOn gives a feed whose dose follows from the alkalinity to leave what the day's doses of the others ask for.
func balanceOn(feeds []FeedInput, class string) {
	doses := dosesIn(feeds, class)
	for i := range feeds {
		if f := &feeds[i]; f.Balance != nil && doses[i] != f.Dose {
			f.Usual, f.Dose = quantity.Some(f.Dose.Concentration), doses[i]
		}
	}
}

// OfUsual is the usual dose as a multiple of the day's, 1 where the day has it or has none.
func (f FeedInput) OfUsual() quantity.Ratio {
	if !f.Usual.OK || f.Dose.Concentration <= 0 {
		return 1
	}
	return quantity.Ratio(f.Usual.V / f.Dose.Concentration)
}

// Chemical is the feed as the account of a day takes it, without prices; the error
// and the notes are those of [day.EffectsOf].
func (f FeedInput) Chemical(class string) (day.Chemical, note.List, error) {
	e, notes, err := day.EffectsOf(f.Stock.Product, f.Name, f.Dose.Basis)
	e.Bound, e.Phosphate = f.Phosphates(f.DoseIn(class))
	return day.Chemical{Name: f.Name, Dose: f.DoseIn(class), Balance: f.Balance, Effects: e, Stock: f.Stock.PerLitre, Carrier: f.Post,
		Density: f.Stock.liquid()}, notes, err
}
