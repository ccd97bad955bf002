package caution

import (
	"math"

	"jarwright/jartest/note"
)

// comeBack says what may stay of polymers, and of what nobody knows, for animals that come back into a tank or pond
// treated without them, and how much water washes it down to what calls for no care.
func (v *reviewer) comeBack() {
	var who []string
	for _, a := range v.s.Back {
		who = append(who, a.who())
	}
	left, most := note.Phrase{}, 0.0
	for _, d := range v.s.Doses {
		stays := d.Dose
		stays.Concentration = d.Left.Or(d.Dose.Concentration)
		if stays.Concentration <= 0 || !d.Product.IsPolymer() && !unknown(d.Product) {
			continue
		}
		told := false
		for _, a := range v.s.Back {
			l, ok := PolymerLimits(d.name(), d.Product, []Animal{a})
			if !ok {
				continue
			}
			told = true
			amount := v.counted(d, stays)
			left = left.And(". %s: as much as %s mg/L of %s may stay, and from %s on take care (%s)", d.name(), mgL(amount.of), amount.as, mgL(l.Warn), l.Care)
			most = max(most, math.Log(float64(amount.of/l.Warn)))
		}
		left = left.If(!told, ". Of %s nothing is known here: look up its LC50 in section 12 of its safety data sheet", d.name())
	}
	wash := note.Say("").If(most > 0, ": clean water of about %s times the volume, let through it, washes that out though nothing is caught",
		amount(math.Ceil(most)))
	v.say("animals-back", Words{"who": join(who), "left": left, "wash": wash}, "", note.Place{})
}
