package dosing

import (
	"jarwright/dosing/product"
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

// working lists the figures of a feed with formula, inputs and source.
func (f Feed) working(p Plan) []Working {
	const balance = "mass balance"
	n := func(q quantity.Quantity) quantity.Rounded { return quantity.Full(q, 5) }
	w := []Working{{
		"dose as product", "dose ÷ strength on the same basis", note.Phrase{}, f.AsProduct, balance,
	}}
	switch {
	case f.Dose.Basis == quantity.AsProduct:
		w[0].Formula, w[0].Inputs = "the dose counts product already: strength does not enter", note.Say("%s as product", n(f.Dose))
	default:
		share, _ := f.Stock.Product.StrengthAs(f.Dose.Basis)
		w[0].Inputs = note.Say("%s ÷ %s", n(f.Dose), n(share))
		s := f.Stock.Product.Strength
		w[0].Source = balance + "; strength: " + source(s.Source, s.Status)
		if f.Stock.Product.Basis != f.Dose.Basis {
			w = append(w, Working{"strength " + string(f.Dose.Basis), "strength × moles of the common element", note.Say("%s %s", n(s.V), string(f.Stock.Product.Basis)), share, "atomic masses (IUPAC abridged values, from memory)"})
		}
	}
	w = append(w, Working{"product a day", "dose as product × average flow × hours run",
		note.Say("%s × %s × %s", n(f.AsProduct), n(f.Flow), n(p.Running)), f.Product, balance + "; flow: " + p.FlowSource})
	if f.HasActive {
		if f.Dose.Basis == quantity.AsProduct {
			s := f.Stock.Product.Strength
			w = append(w, Working{"active a day", "product a day × strength", note.Say("%s × %s %s", n(f.Product), n(s.V), string(f.ActiveBasis)), f.Active, "strength: " + source(s.Source, s.Status)})
		} else {
			w = append(w, Working{"active a day", "dose × average flow × hours run", note.Say("%s × %s × %s", n(f.Dose), n(f.Flow), n(p.Running)), f.Active, balance})
		}
	}
	if f.HasVolume {
		d := f.Stock.Product.Density
		w = append(w, Working{"product volume a day", "product a day ÷ density", note.Say("%s ÷ %s", n(f.Product), n(d.V)), f.Volume, "density: " + source(d.Source, d.Status)})
	}
	if !f.Fed {
		return w
	}
	if f.Stock.Neat() {
		d := f.Stock.Product.Density
		w = append(w, Working{"product per litre of stock", "neat: density", note.Say("%s", n(d.V)), product.Active(1, d.V), "density: " + source(d.Source, d.Status)})
	} else {
		w = append(w, Working{"product per litre of stock", "as made up", note.Say("%s", n(f.PerLitre)), f.PerLitre, "as stated"})
	}
	w = append(w,
		Working{"feed rate", "dose as product × average flow ÷ product per litre of stock", note.Say("%s × %s ÷ %s", n(f.AsProduct), n(f.Flow), n(f.PerLitre)), f.Rate, balance},
		Working{"stock a day", "dose as product × water treated ÷ product per litre of stock", note.Say("%s × %s ÷ %s", n(f.AsProduct), n(p.Treated), n(f.PerLitre)), f.StockUse, balance})
	if f.Setting != nil {
		c := f.Setting.Average
		formula := "pump line at the feed rate"
		src := "drawdown readings"
		if f.Pump.Calibration.Readings == nil {
			formula, src = "feed rate ÷ largest rate", "nameplate, not calibrated"
		}
		in := note.Say("%s", n(f.Rate))
		if a, b, ok := f.Pump.Calibration.Line(); ok {
			in = note.Say("(%s − (%s)) ÷ %s per %%", n(f.Rate), n(a), n(b))
		}
		w = append(w, Working{"pump setting", formula, in, c.Exact.Setting, src})
	}
	if f.Lasts > 0 {
		w = append(w, Working{"tank lasts", "usable volume ÷ feed rate", note.Say("%s ÷ %s", n(f.Tank.Holds()), n(f.Rate)), f.Lasts, balance})
	}
	if f.Range.Known {
		w = append(w,
			Working{"least feed rate", "low dose × low flow ÷ product per litre of stock", note.Say("%s, %s", n(f.Range.DoseLow), n(f.Range.FlowLow)), f.Range.RateLow, "interval of the dose; flow uncertainty"},
			Working{"largest feed rate", "high dose × high flow ÷ product per litre of stock", note.Say("%s, %s", n(f.Range.DoseHigh), n(f.Range.FlowHigh)), f.Range.RateHigh, "interval of the dose; flow uncertainty"})
	}
	return w
}
