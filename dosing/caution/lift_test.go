package caution

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestAlkaliOnlyWhereAcidDissolves: aluminium is least soluble about pH 6 to 7. Below, alkali takes it out; above 7.6 less of it stays where the
// pH is lowered; between them neither helps (common practice, no source).
func TestAlkaliOnlyWhereAcidDissolves(t *testing.T) {
	for ph, want := range map[quantity.PH]string{5.5: "float longer, raise the alkalinity; measure", 6.8: "float longer; measure", 8.1: "float longer, lower the pH; measure"} {
		s := Situation{Purpose: Animals, Water: with(beck(), func(w *Water) {
			w.ResidualAl, w.JarPH = quantity.Some(quantity.Concentration(6)), quantity.Some(ph)
		}), Doses: []Dose{dose(t, "alum-liquid", 100, quantity.AsAlum14)}, Stock: stock(t, "trout")}
		f := Review(s)
		i := slices.IndexFunc(f.Notes, func(n note.Note) bool { return n.Code == "al-acute" })
		if i < 0 || !strings.Contains(f.Notes[i].Remedy, want) {
			t.Errorf("pH %s: %v", ph, f.Notes)
		}
	}
}
