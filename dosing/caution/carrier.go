package caution

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Carried is a coagulant that raw water carries to its point.
type Carried struct {
	Chemical string
	// Share is the carrier's alkalinity over the coagulant's acidity, which it uses up before the mixer does: more than one where
	// it could use up more than there is. Most is the most carrier at which that stays below what the rule on it bears.
	Share quantity.Fraction
	Most  quantity.Flow
}

// carried judges coagulants that raw water carries to their point: its alkalinity meets them
// there before the mixer does. What a dose takes from the water is the acid that the carrier
// holds: least at the least flow, which the feed follows and the carrier does not.
func (v *reviewer) carried(raw quantity.Alkalinity) {
	r := v.rule("carrier-precipitates")
	flow := v.s.Least.Or(v.s.Flow.V)
	for _, d := range v.s.pass() {
		used, err := d.Product.AlkalinityUsed(d.Dose)
		if err != nil || !d.Product.Group.Coagulant() || used <= 0 || d.Carrier <= 0 || flow <= 0 {
			continue
		}
		share := 100 * float64(raw) * float64(d.Carrier) / (float64(used) * float64(flow))
		most := d.Carrier * quantity.Flow(r.Limit/share)
		if raw > 0 {
			v.out.Carried = append(v.out.Carried, Carried{d.name(), quantity.Fraction(share / 100), most})
		}
		v.judge(r.ID, d.name(), counted(amount(share), r.Unit), counted(amount(r.Limit), r.Unit), share > r.Limit*(1+1e-9),
			Words{"chemical": d.name(), "uses": note.Say("").If(share <= 100, "uses up").If(share > 100, "could use up").And(" %s %%", percent(share)),
				"most": quantity.Rounded{Q: most, Digits: 2, Way: quantity.Down}.In("L/h"),
				"flow": note.Say("").If(flow < v.s.Flow.V, " at the least flow of %s", flow)}, d.At)
	}
}

// percent is a share with two digits, with three where it is more than all.
func percent(share float64) quantity.Rounded {
	digits := 2
	if share > 100 {
		digits = 3
	}
	return amount(quantity.RoundSig(share, digits))
}
