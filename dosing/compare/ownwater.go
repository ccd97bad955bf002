package compare

import (
	"jarwright/dosing"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// RawWater is what is known of the water that jars were filled with.
type RawWater struct {
	Alkalinity quantity.Known[quantity.Alkalinity]
	// Removed is the suspended solids taken out of it; not OK where nothing tells them.
	Removed quantity.Known[solids.Range[quantity.Concentration]]
}

// rawWater is what the command line says of a series' water, then the site, then its own
// sheet: no other sheet speaks for it. A nil series has no sheet.
func (g *gathering) rawWater(s *jartest.Series) (w RawWater) {
	var so solids.Water
	known := false
	if g.facts.Site != nil {
		w.Alkalinity = quantity.Known[quantity.Alkalinity]{V: g.facts.Site.Water.Alkalinity.V, OK: g.facts.Site.Water.Alkalinity.OK}
		so, known = dosing.RawSolids(*g.facts.Site, site.UsualWater)
	}
	if g.facts.Raw > 0 {
		w.Alkalinity = quantity.Some(g.facts.Raw)
	}
	if s != nil {
		if v, ok := s.RawReading(jartest.AlkalinityKey); ok && !w.Alkalinity.OK {
			w.Alkalinity = quantity.Some(quantity.Alkalinity(v))
		}
		if v, ok := s.RawReading(jartest.TSS); ok && !known {
			so.TSS, so.HasTSS = quantity.Concentration(v), true
		}
		if v, ok := s.RawReading(jartest.Turbidity); ok && !known {
			so.Turbidity = quantity.Cloudiness(v)
		}
	}
	w.Removed.V, _ = solids.Dry(so)
	w.Removed.OK = known || so.HasTSS || so.Turbidity > 0
	return w
}

// shared gives the water of all series where it is one.
func (g *gathering) shared() (RawWater, bool) {
	if len(g.series) == 0 {
		return g.rawWater(nil), true
	}
	first := g.rawWater(&g.series[0])
	for i := range g.series {
		if g.rawWater(&g.series[i]) != first {
			return RawWater{}, false
		}
	}
	return first, true
}

// raw is the water of an option: its own, else that of all.
func (w Water) raw(o Option) RawWater {
	r := RawWater{Alkalinity: w.Raw, Removed: quantity.Some(w.Removed)}
	if o.Own != nil {
		r = *o.Own
	}
	if o.SetIn.OK { // the acid is that of this water
		r.Alkalinity = o.SetIn
	}
	return r
}
