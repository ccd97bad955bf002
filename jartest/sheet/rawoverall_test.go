package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest"
)

// A line on the raw water above the titles of all tests holds for each that gives none of its own; where
// the tests have no titles it is asked about.
func TestRawWaterAboveAllTests(t *testing.T) {
	const raw = "\"Raw water 140 NTU, pH 7.0\"\n\n"
	const first = "Jar,1,2,3,4\nDose (mg/L),10,20,30,40\nSettled turbidity (NTU),60,30,12,6\n\n"
	const second = "Jar,1,2,3,4\nDose (mg/L),50,100,150,200\nSettled turbidity (NTU),80,50,22,14\n"
	for sheet, want := range map[string]struct {
		ntu  float64
		said bool
	}{
		raw + "Test 1: alum\n" + first + "Test 2: moringa seed powder\n" + second:             {140, false},
		raw + "Alum\n" + first + "Moringa seed powder\n" + second:                             {140, false},
		raw + "Test 1: alum\n" + first + "Test 2: moringa seed powder\nRaw 90 NTU\n" + second: {90, false},
		raw + first + second:                              {0, true},
		"Raw water for both 140 NTU\n\n" + first + second: {140, false},
		raw + "Alum\n" + first + "Ferric chloride\nJar,Dose (mg/L),NTU,Raw NTU\n1,10,60,90\n2,20,30,90\n3,30,9,90\n": {90, false},
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 2 {
			t.Fatalf("%s\n%d series, %v", sheet, len(r.Series), r.Notes)
		}
		one, two := r.Series[0].Raw[jartest.Turbidity].Value, r.Series[1].Raw[jartest.Turbidity].Value
		if said := slices.Contains(loud(r), "raw-of-first"); one != 140 || two != want.ntu || said != want.said {
			t.Errorf("%s\nraw %g and %g NTU, want 140 and %g; %v", sheet, one, two, want.ntu, r.Notes)
		}
	}
}
