package caution

import (
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestCaptureSilencesNoLimit: what a capture lets stay of a metal is held to the limit that what a jar left is held to. 30 mg/L of
// alum 14-hydrate hold 30 x 2 x 26.982/594.34 = 2.724 mg/L Al: of that 60 % leave 1.09, 90 % 0.272 and 95 % 0.136 beside the 0.2
// of drinking water (Directive (EU) 2020/2184, Annex I C). 15 mg/L of ferric chloride hold 15 x 55.845/162.20 = 5.165 mg/L Fe.
func TestCaptureSilencesNoLimit(t *testing.T) {
	drinking := func(capture quantity.Fraction) Situation {
		d := dose(t, "alum-liquid", 30, quantity.AsAlum14)
		d.Capture = quantity.Some(capture)
		return Situation{Purpose: Drinking, Rules: "EU", Doses: []Dose{d}, Water: water15(7.2, 100, func(w *Water) { w.ResidualAl.OK = false })}
	}
	discharged := func(capture quantity.Fraction) Situation {
		d := dose(t, "ferric-chloride", 15, quantity.AsFeCl3)
		d.Capture = quantity.Some(capture)
		return Situation{Purpose: Wastewater, Doses: []Dose{d}, Consent: Consent{Fe: quantity.Some(quantity.Concentration(1))}, Water: water15(7.2, 200)}
	}
	for _, x := range []struct {
		name  string
		s     Situation
		stays float64
		limit quantity.Concentration
		over  bool
	}{
		{"0 % of the alum", drinking(0), 2.724, 0.2, true},
		{"5 % of the alum", drinking(0.05), 2.588, 0.2, true},
		{"60 % of the alum", drinking(0.6), 1.090, 0.2, true},
		{"90 % of the alum", drinking(0.9), 0.2724, 0.2, true},
		{"95 % of the alum", drinking(0.95), 0.1362, 0.2, false},
		{"60 % of the iron", discharged(0.6), 2.066, 1, true},
		{"90 % of the iron", discharged(0.9), 0.5165, 1, false},
	} {
		f := Review(x.s)
		fired := false
		for _, n := range f.All() {
			fired = fired || n.Code == "metal-unmeasured" && n.Level == note.Caution
		}
		r := f.Residuals[0]
		if fired != x.over || (r.Level == note.Caution) != x.over {
			t.Errorf("%s: caution %v, level %v of %+v", x.name, fired, r.Level, r)
		}
		if off := float64(r.Expected.V)/x.stays - 1; !r.Expected.OK || off > 1e-3 || off < -1e-3 || !r.Limit.OK || r.Limit.V != x.limit {
			t.Errorf("%s: %v stays, judged by %v", x.name, r.Expected, r.Limit)
		}
	}
}
