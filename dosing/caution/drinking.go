package caution

import (
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// drinking checks what 40 CFR 141.111 limits: the dose of a polymer times the
// monomer left in it. 1 mg/L at 0.05 % acrylamide, 20 mg/L at 0.01 %
// epichlorohydrin, or an equal product of the two.
func (v *reviewer) drinking() {
	if v.s.Purpose != Drinking {
		return
	}
	v.say("dw-practice", nil, "", note.Place{})
	for _, d := range v.s.Doses {
		if d.Product.Monomer == "" || d.Dose.Concentration <= 0 {
			continue
		}
		dose, err := product.Convert(d.Dose, d.Product, quantity.AsActive)
		if err != nil {
			dose = d.Dose
		}
		if !d.Monomer.OK {
			v.say("dw-monomer-unknown", Words{"chemical": d.name(), "name": d.Product.Monomer}, d.name(), d.At)
			continue
		}
		id := "dw-acrylamide"
		if d.Product.Monomer == "epichlorohydrin" {
			id = "dw-epichlorohydrin"
		}
		percent := d.Monomer.V.In("%")
		load := float64(dose.Concentration) * percent
		r := v.rule(id)
		v.judge(id, d.name(), counted(amount(load), r.Unit), counted(amount(r.Limit), r.Unit), load > r.Limit*(1+1e-9),
			Words{"chemical": d.name(), "dose": mgL(dose.Concentration), "monomer": amount(percent), "value": amount(load)}, d.At)
	}
	for _, x := range []struct {
		id       string
		measured quantity.Known[quantity.Concentration]
	}{{"dw-aluminium", v.s.Water.ResidualAl}, {"dw-iron", v.s.Water.ResidualFe}} {
		if x.measured.OK {
			r := v.rule(x.id)
			v.judge(x.id, "", counted(mgL(x.measured.V), "mg/L"), counted(amount(r.Limit), "mg/L"), float64(x.measured.V) > r.Limit,
				Words{"value": mgL(x.measured.V)}, note.Place{})
		}
	}
}
