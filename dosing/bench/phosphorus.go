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
		return p
	}
	return nil
}
