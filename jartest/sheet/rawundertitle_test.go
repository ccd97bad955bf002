package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestRawLineUnderATitleOfChemicals: a line of names and numbers of the raw water is no table lying across with the
// title above it, whatever chemicals that names.
func TestRawLineUnderATitleOfChemicals(t *testing.T) {
	for _, title := range []string{"Lime goes in with the alum", "Soft water, lime goes in with the alum", "Alum", "Kalk und Alaun"} {
		text := title + "\nRaw,NTU,41,pH,6.6\n\nJar,A,B,C,D,E,F\nAlum (mg/L),0,20,40,60,80,100\nTurbidity (NTU),40,22,8.9,3.3,2.1,2.2\n"
		r, err := Read("f.csv", strings.NewReader(text), Options{})
		if err != nil || len(r.Series) != 1 {
			t.Fatalf("%s: %v", title, err)
		}
		if raw := r.Series[0].Raw; raw[jartest.Turbidity].Value != 41 || raw[jartest.PH].Value != 6.6 {
			t.Errorf("%s: %v", title, raw)
		}
	}
}
