package sheet

import (
	"slices"
	"testing"

	"jarwright/jartest"
)

// A title that names the raw water, a row of headings and one number under each are its readings; with
// two numbers under a heading the table speaks, and gives none.
func TestRawWaterInATableOfItsOwn(t *testing.T) {
	const head = "\nTemp (°C),pH,Turbidity (NTU),Alkalinity (mg/L CaCO3)\n11,7.4,29,58\n"
	const jars = "\nJar,Alum (mg/L),Turbidity (NTU),pH\n1,10,15,7.2\n2,20,9,7.1\n3,30,4,7.0\n4,40,2,6.9\n"
	for _, title := range []string{"RAW WATER", "Raw water", "Raw water:", "Rohwasser", "Eau brute"} {
		r := mustRead(t, "s.csv", title+head+jars, Options{})
		if len(r.Series) != 1 || len(loud(r)) > 0 {
			t.Errorf("%s: %d series, %v", title, len(r.Series), r.Notes)
			continue
		}
		raw := r.Series[0].Raw
		for key, want := range map[jartest.Key]float64{jartest.Turbidity: 29, jartest.PH: 7.4, jartest.TemperatureKey: 11, jartest.AlkalinityKey: 58} {
			if got := raw[key].Value; got != want {
				t.Errorf("%s: raw %s %g, want %g", title, key, got, want)
			}
		}
	}
	r := mustRead(t, "s.csv", "RAW WATER"+head+"12,7.5,31,60\n"+jars, Options{})
	if len(r.Series) != 1 || len(r.Series[0].Raw) > 0 || !slices.Contains(loud(r), "raw-table") {
		t.Errorf("two lines of the raw water: %v, %v", r.Series, r.Notes)
	}
	r = mustRead(t, "s.csv", "RAW WATER\nTurbidity (NTU),pH,Quux\n29,7.4,60\n"+jars, Options{})
	if len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 29 || !slices.Contains(loud(r), "raw-table") {
		t.Errorf("a heading that is no reading: %v", r.Notes)
	}
}
