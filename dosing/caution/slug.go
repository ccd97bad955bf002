package caution

import (
	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// slugs warns of chemicals without a pump that flow on to animals: a portion thrown in at once is many times the dose
// for as long as it takes to pass. A pond, or a loop with its volume, thins it; a stream of water does not.
func (v *reviewer) slugs() {
	if !v.forAnimals() || v.s.Loop != nil || v.s.Pond && !v.s.Piped {
		return
	}
	times := quantity.Concentration(v.rule("fed-in-slugs").Limit)
	for _, d := range v.s.pass() {
		if d.ByHand && d.Dose.Concentration > 0 && overdoses(d.Product) {
			high := d.Dose
			high.Concentration *= times
			v.say("fed-in-slugs", Words{"chemical": d.name(), "times": amount(float64(times)), "value": high}, d.name(), d.At)
		}
	}
}

// overdoses reports a product of which many times the dose harms, however soon it is past.
func overdoses(p product.Product) bool {
	return p.Group.Coagulant() || p.Group == product.Acid || p.IsPolymer() || lime(p) || alkaliOf(p, quantity.AsNaOH, quantity.AsKOH)
}
