package dosing

import (
	"math"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// Working shows how one figure came about.
type Working struct {
	Figure  string // what it is
	Formula string // in words
	Inputs  string // the formula with the numbers put in
	Value   quantity.Quantity
	Source  string // of the formula and of the inputs that were not given
}

// working lists the figures of a feed with formula, inputs and source.
func (f Feed) working(p Plan) []Working {
	const balance = "mass balance"
	n := func(q quantity.Quantity) string {
		v, u := q.Show(quantity.Metric)
		if math.Abs(v) < 1e-12 { // what a subtraction leaves of zero
			v = 0
		}
		return quantity.Sig(v, 5) + " " + u
	}
	w := []Working{{
		"dose as product", "dose ÷ strength on the same basis", "", f.AsProduct, balance,
	}}
	switch {
	case f.Dose.Basis == quantity.AsProduct:
		w[0].Formula, w[0].Inputs = "the dose counts product already: strength does not enter", n(f.Dose)+" as product"
	default:
		share, _ := f.Stock.Product.StrengthAs(f.Dose.Basis)
		w[0].Inputs = n(f.Dose) + " ÷ " + n(share)
		s := f.Stock.Product.Strength
		w[0].Source = balance + "; strength: " + source(s.Source, s.Status)
		if f.Stock.Product.Basis != f.Dose.Basis {
			w = append(w, Working{"strength " + string(f.Dose.Basis), "strength × moles of the common element", n(s.V) + " " + string(f.Stock.Product.Basis), share, "atomic masses (IUPAC abridged values, from memory)"})
		}
	}
	w = append(w, Working{"product a day", "dose as product × average flow × hours run",
		n(f.AsProduct) + " × " + n(f.Flow) + " × " + n(p.Running), f.Product, balance + "; flow: " + p.FlowSource})
	if f.HasActive {
		if f.Dose.Basis == quantity.AsProduct {
			s := f.Stock.Product.Strength
			w = append(w, Working{"active a day", "product a day × strength", n(f.Product) + " × " + n(s.V) + " " + string(f.ActiveBasis), f.Active, "strength: " + source(s.Source, s.Status)})
		} else {
			w = append(w, Working{"active a day", "dose × average flow × hours run", n(f.Dose) + " × " + n(f.Flow) + " × " + n(p.Running), f.Active, balance})
		}
	}
	if f.HasVolume {
		d := f.Stock.Product.Density
		w = append(w, Working{"product volume a day", "product a day ÷ density", n(f.Product) + " ÷ " + n(d.V), f.Volume, "density: " + source(d.Source, d.Status)})
	}
	if !f.Fed {
		return w
	}
	if f.Stock.Neat() {
		d := f.Stock.Product.Density
		w = append(w, Working{"product per litre of stock", "neat: density", n(d.V), product.Active(1, d.V), "density: " + source(d.Source, d.Status)})
	} else {
		w = append(w, Working{"product per litre of stock", "as made up", n(f.PerLitre), f.PerLitre, "as stated"})
	}
	w = append(w,
		Working{"feed rate", "dose as product × average flow ÷ product per litre of stock", n(f.AsProduct) + " × " + n(f.Flow) + " ÷ " + n(f.PerLitre), f.Rate, balance},
		Working{"stock a day", "dose as product × water treated ÷ product per litre of stock", n(f.AsProduct) + " × " + n(p.Treated) + " ÷ " + n(f.PerLitre), f.StockUse, balance})
	if f.Setting != nil {
		c := f.Setting.Average
		formula := "pump line at the feed rate"
		src := "drawdown readings"
		if f.Pump.Calibration.Readings == nil {
			formula, src = "feed rate ÷ largest rate", "nameplate, not calibrated"
		}
		in := n(f.Rate)
		if a, b, ok := f.Pump.Calibration.Line(); ok {
			in = "(" + n(f.Rate) + " − (" + n(a) + ")) ÷ " + n(b) + " per %"
		}
		w = append(w, Working{"pump setting", formula, in, c.Exact.Setting, src})
	}
	if f.Lasts > 0 {
		w = append(w, Working{"tank lasts", "usable volume ÷ feed rate", n(f.Tank.Holds()) + " ÷ " + n(f.Rate), f.Lasts, balance})
	}
	if f.Range.Known {
		w = append(w,
			Working{"least feed rate", "low dose × low flow ÷ product per litre of stock", n(f.Range.DoseLow) + ", " + n(f.Range.FlowLow), f.Range.RateLow, "interval of the dose; flow uncertainty"},
			Working{"largest feed rate", "high dose × high flow ÷ product per litre of stock", n(f.Range.DoseHigh) + ", " + n(f.Range.FlowHigh), f.Range.RateHigh, "interval of the dose; flow uncertainty"})
	}
	return w
}
