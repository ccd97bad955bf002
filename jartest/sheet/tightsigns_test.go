package sheet

import (
	"testing"

	"jarwright/jartest"
)

// TestTightSigns: readings of one line are parted by commas and slashes without blanks; a slash of a unit parts nothing, and
// where a number has two commas the sheet asks.
func TestTightSigns(t *testing.T) {
	for line, want := range map[string][4]float64{ // turbidity, pH, colour, alkalinity
		"Raw: turbidity 45 NTU,pH 7.4,colour 40": {45, 7.4, 40}, "Raw: turbidity 45 NTU/pH 7.4/colour 40": {45, 7.4, 40}, "Raw 45 NTU,pH 7.4": {45, 7.4},
		"Raw water: alkalinity 80 mg/L CaCO3,pH 7.4": {0, 7.4, 0, 80}, "Raw water: alkalinity 80 mg/L as CaCO3, colour 40": {0, 0, 40, 80}, "Raw: 45 NTU,colour 40 Pt-Co,12 C,pH 7.4": {45, 7.4, 40}, "Raw: colour 40,12 C,pH 7.4": {},
	} {
		r := mustRead(t, "s.csv", "Jar test\n\""+line+"\"\n\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4.5\n", Options{})
		raw := r.Series[0].Raw
		got := [4]float64{raw[jartest.Turbidity].Value, raw[jartest.PH].Value, raw[jartest.Colour].Value, raw[jartest.AlkalinityKey].Value}
		if asks := want == [4]float64{}; !asks && got != want || (len(loud(r)) > 0) != asks {
			t.Errorf("%s: %v, want %v; says %v", line, got, want, r.Notes)
		}
	}
}
