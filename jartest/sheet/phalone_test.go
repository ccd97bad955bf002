package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestAPHByItself: a line that is a pH and nothing else is the raw water's where the jar without a dose reads as much, the group's
// above one of several groups of jars, and asks otherwise.
func TestAPHByItself(t *testing.T) {
	const jars = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4\n"
	const read = "Jar,Alum (mg/L),Turbidity (NTU),pH\n1,0,44,7.3\n2,10,30,7.1\n3,20,12,6.9\n4,30,4,6.8\n"
	for text, want := range map[string]struct {
		series int
		raw    float64
		asks   bool
	}{
		"Jar test\npH 7.4\n\n" + jars:                       {1, 0, true},
		"pH 6\n" + jars:                                     {1, 0, true},
		"Jar test\npH 7.4\n\n" + read:                       {1, 7.4, false},
		"Jar test\npH 6\n\n" + read:                         {1, 0, true},
		"Jar test\nRaw turbidity 45 NTU\npH 7.4\n\n" + jars: {1, 7.4, false},
		"Jar test\npH: 7.4\n\n" + jars:                      {1, 7.4, false},
		"Jar test\npH 6\n" + jars + "pH 7\n" + strings.Replace(jars, "12", "15", 1):                             {2, 0, false},
		"Jar,Alum (mg/L),Turbidity (NTU)\npH 6,,\n1,0,44\n2,10,30\n3,20,12\npH 7,,\n1,0,43\n2,10,33\n3,20,14\n": {2, 0, false},
	} {
		r := mustRead(t, "s.csv", text, Options{})
		if got := r.Series[0].Raw[jartest.PH].Value; len(r.Series) != want.series || got != want.raw || slices.Contains(loud(r), "ph-alone") != want.asks || !want.asks && len(loud(r)) > 0 {
			t.Errorf("%s%d series, raw pH %g; says %v", text, len(r.Series), got, r.Notes)
		}
	}
}
