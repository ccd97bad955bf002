package water

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestTableOfAlkalis: by formula weights (IUPAC 2021, abridged): one equivalent of alkalinity is 50.04 mg of CaCO3, and so many mg of each;
// moles of carbon that come with it; limestones
// dissolve below pH 8.3 alone (Boyd).
func TestTableOfAlkalis(t *testing.T) {
	type row struct{ perEquivalent, carbonPer, weight, highest float64 } // mg; moles a formula weight; g/mol
	want := map[string]row{
		"naoh": {39.997, 0, 39.997, 0}, "caoh2": {74.092 / 2, 0, 74.092, 0}, "na2co3": {105.988 / 2, 1, 105.988, 0},
		"nahco3": {84.006, 1, 84.006, 0},
		"koh":    {56.105, 0, 56.105, 0}, "khco3": {100.114, 1, 100.114, 0}, "caco3": {100.086 / 2, 1, 100.086, 8.3},
		"dolomite": {184.399 / 4, 2, 184.399, 8.3},
		"h2so4":    {-98.072 / 2, 0, 98.072, 0}, "hcl": {-36.458, 0, 36.458, 0}, "co2": {math.Inf(1), 1, 44.009, 0},
	}
	all := append(Alkalis(), Acids()...)
	if len(all) != len(want) {
		t.Errorf("%d of them", len(all))
	}
	for _, a := range all {
		w, ok := want[a.ID]
		if !ok {
			t.Errorf("%s", a.ID)
			continue
		}
		for _, x := range []struct {
			what      string
			got, want float64
		}{{"alkalinity", a.PerMg, 50.0435 / w.perEquivalent}, {"carbon", a.CarbonatePerMg, w.carbonPer / w.weight},
			{"dissolves to", float64(a.Highest), w.highest},
			{"10 mg/L give", float64(a.Gives(10).Acid), -10 * 50.0435 / w.perEquivalent}, {"and carbon", float64(a.Gives(10).Carbonate),
				10 * w.carbonPer / w.weight}} {
			if math.Abs(x.got-x.want) > 2e-4*math.Abs(x.want)+1e-12 {
				t.Errorf("%s: %s %g, want %g", a.ID, x.what, x.got, x.want)
			}
		}
		if w.perEquivalent > 0 && !math.IsInf(w.perEquivalent, 1) {
			for by, pure := range map[quantity.Alkalinity]float64{10: 10 * w.perEquivalent / 50.0435, 0: 0, -5: 0,
				0.5: 0.5 * w.perEquivalent / 50.0435} {
				if got := float64(a.Raising(by)); math.Abs(got-pure) > 2e-4*pure {
					t.Errorf("%s: %v of alkalinity takes %g, want %g", a.ID, by, got, pure)
				}
			}
		}
	}
}
