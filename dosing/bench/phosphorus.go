package bench

import (
	"jarwright/dosing/phosphorus"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
)

// Phosphorus is how much metal the phosphorus of a series takes.
type Phosphorus struct {
	// Key is what was read: soluble phosphate, or total phosphorus, which holds it.
	Key   jartest.Key
	Metal string
	Raw   quantity.Concentration // as P
	// Dose is the planning dose, else the best of the tested range, where Planned is false.
	Dose    quantity.Concentration
	Planned bool
	Left    quantity.Concentration
	// Used is moles of metal for each mole of raw phosphorus, Taken for each mole taken out.
	Used  float64
	Taken quantity.Known[float64]
	// Needs is what removals need, with the dose of each on the series' basis.
	Needs []PhosphorusNeed
	// Asked is the removal that a target asks of the raw water's AskedKey, with its ratio and dose counted on that; a
	// ratio of zero is beyond the table.
	Asked    quantity.Known[PhosphorusNeed]
	AskedKey jartest.Key
}

// PhosphorusNeed is a row of the table as a dose.
type PhosphorusNeed struct {
	phosphorus.Need
	Dose quantity.Concentration
}

// phosphorus sets a metal's moles beside those of the phosphorus that was read; nil where none was
// read, before or after, or no metal is dosed.
func (t tested) phosphorus(r *curve.Result) *Phosphorus {
	for _, k := range []jartest.Key{jartest.Phosphate, jartest.TotalPhosphorus} {
		raw, ok := t.RawReading(k)
		line := readingCurve(r, k)
		p := &Phosphorus{Key: k, Raw: quantity.Concentration(raw), Dose: r.Best.Dose, Planned: r.HasPlanning}
		if r.HasPlanning {
			p.Dose = r.Planning.Concentration
		}
		at := curve.At(line, p.Dose)
		metal, moles, has := t.metal(p.Dose)
		if !ok || raw <= 0 || !has || at == nil || moles <= 0 {
			continue
		}
		p.Metal, p.Left = metal, quantity.Concentration(at.Fit)
		p.Used, _ = phosphorus.Ratio(moles, p.Raw)
		if v, some := phosphorus.Ratio(moles, p.Raw-p.Left); some {
			p.Taken = quantity.Some(v)
		}
		for _, n := range phosphorus.Needs() {
			p.Needs = append(p.Needs, PhosphorusNeed{n, p.Dose * quantity.Concentration(n.Ratio/p.Used)})
		}
		t.asked(p, r)
		return p
	}
	return nil
}

// asked works out what the first target on phosphorus needs.
func (t tested) asked(p *Phosphorus, r *curve.Result) {
	for _, g := range r.Targets {
		raw, ok := t.RawReading(g.Key)
		if g.Key != jartest.Phosphate && g.Key != jartest.TotalPhosphorus || !ok || raw <= 0 {
			continue
		}
		n := PhosphorusNeed{}
		switch {
		case g.Kind == jartest.Removal:
			n.Removal = quantity.Fraction(g.Value / 100)
		case g.Kind == jartest.Absolute && !g.AtLeast && g.Value < raw:
			n.Removal = quantity.Fraction(1 - g.Value/raw)
		default:
			continue
		}
		n.Ratio, _ = phosphorus.RatioFor(n.Removal)
		n.Dose = p.Dose * quantity.Concentration(n.Ratio/p.Used*raw/float64(p.Raw))
		p.Asked, p.AskedKey = quantity.Some(n), g.Key
		return
	}
}
