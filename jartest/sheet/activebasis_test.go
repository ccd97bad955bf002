package sheet

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// A word for what is active gives a basis with a polymer alone; with a metal salt, or with a chemical
// that nothing names, it is asked about, and never counts as product.
func TestActiveBelongsToAPolymer(t *testing.T) {
	forms := []string{"%s (mg/L active)", "Active %s (mg/L)", "%s (mg/L) active", "%s, actives (mg/L)", "%s (mg/L, active substance)", "%s (mg/L a.i.)", "%s (mg/L Wirkstoff)", "%s (mg/L materia activa)",
		"%s (mg/L as active)", "%s (mg/L matière active)"}
	for _, form := range forms {
		for chem, of := range map[string]quantity.Basis{"PACl": quantity.NotStated, "Alum": quantity.NotStated, "FeCl3": quantity.NotStated, "Lime": quantity.NotStated, "Coagulant": quantity.NotStated,
			"Polymer": quantity.AsActive, "Chitosan": quantity.AsActive} {
			r := mustRead(t, "s.csv", fmt.Sprintf("Jar;"+form+";NTU\n1;0;50\n2;10;12\n3;20;5\n", chem), Options{})
			if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != of || float64(r.Series[0].Jars[1].Doses[0].Concentration) != 10 {
				t.Errorf(form+": %+v", chem, r.Series)
				continue
			}
			if asked := slices.Contains(loud(r), "basis-of-other"); asked != (of == quantity.NotStated) {
				t.Errorf(form+": says %v", chem, loud(r))
			}
		}
	}
}

// No number and no letter that stands beside a salt in the heading of its dose is too short to speak;
// what numbers a column of doses, of repeats or of a product's name is no such thing.
func TestShortWordsOfDoseHeadings(t *testing.T) {
	for heading, speaks := range map[string]bool{
		"FeCl3 40 (mg/L)": true, "PACl 18 (mg/L)": true, "Alum (mg/L d.b.)": true, "Alum (mg/L x)": true, "Alum (mg/L d)": true, "Alum b (mg/L)": true, "Alum (mg/L) 2": true, "Lime 90 (mg/L)": true,
		"Alum (mg/L a.s.)": true, "Sulfato de aluminio 8 (mg/L)": true,
		"Alum dose 2 (mg/L)": false, "Polymer A (mg/L)": false, "Alum (mg/L)": false, "Dose d'alun (mg/L)": false, "Dosis de alumbre (mg/L)": false, "PAC-18 (mg/L)": false,
	} {
		r := mustRead(t, "s.csv", "Jar;"+heading+";NTU\n1;0;50\n2;10;12\n3;20;5\n", Options{})
		if got := len(loud(r)) > 0; got != speaks {
			t.Errorf("%s: says %v", heading, loud(r))
		}
	}
}
