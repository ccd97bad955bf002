package dosing

import (
	"fmt"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Working shows how one figure came about.
type Working struct {
	Figure  string      // what it is
	Formula string      // in words
	Inputs  note.Phrase // the formula with the numbers put in
	Value   quantity.Quantity
	Source  string // of the formula and of the inputs that were not given
}

// working lists the figures of a feed with formula, inputs and source. It branches
// often because a feed has a line or has none.
func (f Feed) working(p Plan) []Working {
	const balance, interval = "mass balance", "passed one day in ten: the range of the doses, the flow uncertainty"
	const oneInTen = "%s with doses and flow in their middle × e to the root of the squared logarithms of what the end of each does"
	var w []Working
	n := func(q quantity.Quantity) quantity.Rounded { return quantity.Full(q, 5) }
	line := func(figure, formula string, v quantity.Quantity, source, inputs string, args ...any) {
		for i, q := range args {
			if q, ok := q.(quantity.Quantity); ok {
				args[i] = n(q)
			}
		}
		w = append(w, Working{figure, formula, note.Say(inputs, args...), v, source})
	}
	strength, density := f.Stock.Product.Strength, f.Stock.Product.Density
	strengthFrom, densityFrom := "strength: "+source(strength.Source, strength.Status), "density: "+source(density.Source, density.Status)
	asProduct := f.Dose.Basis == quantity.AsProduct
	if asProduct {
		line("dose as product", "the dose counts product already: strength does not enter", f.AsProduct, balance, "%s as product", f.Dose)
	} else {
		share, _ := f.Stock.Product.StrengthAs(f.Dose.Basis)
		line("dose as product", "dose ÷ strength on the same basis", f.AsProduct, balance+"; "+strengthFrom, "%s ÷ %s", f.Dose, share)
		if own := f.Stock.Product.Basis; own != f.Dose.Basis {
			line("strength "+string(f.Dose.Basis), "strength × moles of the common element", share,
				"atomic masses (IUPAC abridged values, from memory)", "%s %s", strength.V, string(own))
		}
	}
	line("product a day", "dose as product × average flow × hours run", f.Product, balance+"; flow: "+p.FlowSource, "%s × %s × %s",
		f.AsProduct, f.Flow, p.Running)
	switch {
	case f.HasActive && asProduct:
		line("active a day", "product a day × strength", f.Active, strengthFrom, "%s × %s %s", f.Product, strength.V, string(f.ActiveBasis))
	case f.HasActive:
		line("active a day", "dose × average flow × hours run", f.Active, balance, "%s × %s × %s", f.Dose, f.Flow, p.Running)
	}
	if f.HasVolume {
		line("product volume a day", "product a day ÷ density", f.Volume, densityFrom, "%s ÷ %s", f.Product, density.V)
	}
	if !f.Fed {
		if r := f.Range; r.Known {
			line("least product a day", fmt.Sprintf(oneInTen, "product a day"), r.ProductLow, interval, "%s, %s", r.DoseLow, r.FlowLow)
			line("largest product a day", fmt.Sprintf(oneInTen, "product a day"), r.ProductHigh, interval, "%s, %s", r.DoseHigh, r.FlowHigh)
		}
		return w
	}
	if f.Stock.Neat() {
		line("product per litre of stock", "neat: density", f.PerLitre, densityFrom, "%s", density.V)
	} else {
		line("product per litre of stock", "as made up", f.PerLitre, "as stated", "%s", f.PerLitre)
	}
	line("feed rate", "dose as product × average flow ÷ product per litre of stock", f.Rate, balance, "%s × %s ÷ %s", f.AsProduct, f.Flow,
		f.PerLitre)
	line("stock a day", "dose as product × water treated ÷ product per litre of stock", f.StockUse, balance, "%s × %s ÷ %s", f.AsProduct,
		p.Treated, f.PerLitre)
	if f.Setting != nil {
		formula, from := "pump line at the feed rate", "drawdown readings"
		if f.Pump.Calibration.Readings == nil {
			formula, from = "feed rate ÷ largest rate", "nameplate, not calibrated"
		}
		if a, b, ok := f.Pump.Calibration.Line(); ok {
			line("pump setting", formula, f.Setting.Average.Exact.Setting, from, "(%s − (%s)) ÷ %s per %%", f.Rate, a, b)
		} else {
			line("pump setting", formula, f.Setting.Average.Exact.Setting, from, "%s", f.Rate)
		}
	}
	if f.Lasts > 0 && f.Tank != nil {
		formula, inputs, args := "usable volume ÷ feed rate: hours that the pump runs", "%s ÷ %s", []any{f.Tank.Holds(), f.Rate}
		for _, x := range f.beside {
			formula, inputs, args = "usable volume ÷ feed rates of all that draw from it: hours that the pumps run", inputs+" and %s", append(args, x.Rate)
		}
		if f.GoesOff {
			formula, inputs, args = "hours that the pump runs while the stock keeps, less its ageing", "%s − %s, %s of 24 h running", []any{f.Keeps() + f.Ageing, f.Ageing, p.Running}
		}
		line("tank lasts", formula, f.Lasts, balance, inputs, args...)
	}
	if r := f.Range; r.Known {
		line("least feed rate", fmt.Sprintf(oneInTen, "feed rate"), r.RateLow, interval, "%s, %s", r.DoseLow, r.FlowLow)
		line("largest feed rate", fmt.Sprintf(oneInTen, "feed rate"), r.RateHigh, interval, "%s, %s", r.DoseHigh, r.FlowHigh)
	}
	return w
}
