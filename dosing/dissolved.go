package dosing

import (
	"slices"

	"jarwright/dosing/caution"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// Dissolve lets every feed know how much of its metal the site's water keeps dissolved, as the cautions tell it: what acid or
// a high pH keeps makes no floc. Where two feeds hold a metal they keep as much of it, share for share.
func Dissolve(s site.Site, feeds []FeedInput) {
	for i, f := range feeds {
		symbol, m := f.metalIn(f.Dose)
		if m <= 0 {
			continue
		}
		feeds[i].stays = func(d quantity.Dose) quantity.Fraction {
			all := slices.Clone(feeds)
			for j := range all {
				all[j].stays = nil
			}
			all[i].Dose, all[i].Clear, all[i].Storm = d, quantity.Known[quantity.Concentration]{}, quantity.Known[quantity.Concentration]{}
			w := caution.WaterOf(Running{Site: s, Feeds: all}.situation(site.UsualWater))
			if w == nil {
				return 0
			}
			al, fe := w.Stays()
			kept := map[string]quantity.Concentration{"Al": al, "Fe": fe}[symbol]
			dosed := 0.0
			for _, o := range all {
				if of, m := o.metalIn(o.Dose); of == symbol {
					dosed += float64(m) * quantity.AtomicMass[symbol]
				}
			}
			return quantity.Fraction(min(1, float64(kept)/max(dosed, 1e-12)))
		}
	}
}

// Dissolved is the metal of a dose that stays dissolved, per mass of dose.
func (f FeedInput) Dissolved(d quantity.Dose) quantity.Ratio {
	if f.stays == nil || d.Concentration <= 0 {
		return 0
	}
	symbol, m := f.metalIn(d)
	return quantity.Ratio(float64(f.stays(d)) * float64(m) * quantity.AtomicMass[symbol] / float64(d.Concentration))
}
