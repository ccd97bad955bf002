package caution

import (
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Returned is what a polymer leaves in the treated water that comes back into it with every pass, so much to the water that passes: in a
// loop what all passes come to, together with what of the same polymer is dosed there, as of any dose. Nothing of it is caught
// for sure; its limits are those of a dose, and it stops nothing. Told says the limit in words; false where no animal has one.
func Returned(s Situation, d Dose) (r Residual, told note.Phrase, ok bool) {
	v := &reviewer{s: s, quiet: true}
	if v.s.Hours <= 0 {
		v.s.Hours = 24
	}
	all := v.counted(d, d.Dose)
	r = Residual{Chemical: d.name() + " of the filtrate", As: all.as}
	perPass := all.of
	for _, x := range s.Doses {
		if strings.EqualFold(x.name(), d.name()) {
			perPass += v.counted(x, x.Dose).of
			r.Chemical = d.name() + " with the filtrate's"
		}
	}
	r.Worst = perPass
	if v.runs() {
		v.built(&r, perPass, perPass, d.HalfLife.V)
	}
	if !d.HalfLife.OK {
		r.Expected = quantity.Known[quantity.Concentration]{}
	}
	limits, ok := s.PolymerLimits(d.name(), d.Product)
	if !ok {
		return r, told, false
	}
	stays, _ := r.of()
	at, name := limits.Warn, limits.Care
	told = note.Say("above %s take care (%s)", quantity.To(at, 3), name)
	if limits.Stop > 0 && (stays >= limits.Stop || at == 0) {
		at, name = limits.Stop, limits.Where
		told = note.Say("%s stops a dose (%s)", quantity.To(at, 3), name)
	}
	r.Limit, r.LimitName = quantity.Some(at), name
	if stays >= at {
		r.Level = note.Caution
	}
	if v.runs() {
		_, r.Reached = v.when(v.feeding(perPass, d.HalfLife.V), at)
	}
	return r, told, true
}
