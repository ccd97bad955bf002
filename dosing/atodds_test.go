package dosing

import (
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// TestTypedBesideJars: at 13 mg/L the jars read pH 7.14 (7.0 to 7.2) and 0.102 mg/L (0.06 to 0.12). What the site gives of its chosen jar
// beyond that is told, and the worse judged: more metal, or the pH farther from the raw water's 7.5. The jars' pH in the site's water is
// 7.5 less the 0.26 that they lost.
func TestTypedBesideJars(t *testing.T) {
	for _, x := range []struct {
		field, typed string
		told         bool
		ph, al       float64
	}{
		{"residual aluminium", "0.02 mg/L", true, 7.24, 0.102},
		{"residual aluminium", "0.09 mg/L", false, 7.24, 0.09},
		{"residual aluminium", "0.3 mg/L", true, 7.24, 0.3},
		{"pH of the chosen jar", "7.45", true, 7.24, 0.102},
		{"pH of the chosen jar", "7.25", false, 7.25, 0.102},
		{"pH of the chosen jar", "6.7", true, 6.7, 0.102},
	} {
		_, r := heardSite(t, func(v site.Values) { v["Water"][0][x.field] = x.typed })
		w, review := r.situation(site.UsualWater).Water, r.Review()
		if !heardNear(float64(w.JarPH.V), x.ph) || !heardNear(float64(w.ResidualAl.V), x.al) {
			t.Errorf("%s %s: judged pH %v, aluminium %v", x.field, x.typed, w.JarPH.V, w.ResidualAl.V)
		}
		told := slices.DeleteFunc(slices.Clone(review.Notes), func(n note.Note) bool { return n.Code != "jar-at-odds" })
		if (len(told) == 1) != x.told || len(told) > 1 {
			t.Errorf("%s %s: told %v", x.field, x.typed, told)
		}
		if x.typed == "0.02 mg/L" && x.told {
			for _, want := range []string{"as 0.02 mg/L", "read 0.102 mg/L (0.06 mg/L to 0.12 mg/L)"} {
				if !strings.Contains(told[0].Message, want) {
					t.Errorf("%q lacks %q", told[0].Message, want)
				}
			}
		}
	}
	_, r := heardSite(t, func(v site.Values) {
		v["Water"][0]["pH"], v["Water"][0]["residual aluminium"] = "7.95", "0.02 mg/L"
	})
	if w := r.situation(site.UsualWater).Water; !heardNear(float64(w.ResidualAl.V), 0.02) {
		t.Errorf("jars of other water judged: %v", w.ResidualAl.V)
	}
}
