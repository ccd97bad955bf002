package sheet

import (
	"testing"

	"jarwright/jartest/quantity"
)

// "PAC" against taste and odour may be carbon, which is asked about; against turbidity it is not.
func TestPACAgainstTaste(t *testing.T) {
	const table = "\n\nJar,PAC (mg/L),Turbidity (NTU),Remarks\n1,0,40,no taste or odour\n2,10,22,\n3,20,9,\n"
	for title, asks := range map[string]bool{
		"Taste and odour trial with PAC": true, "Geosmin in the reservoir": true, "Geruch und Geschmack": true, "Turbidity trial with PAC": false, "Mibau pond": false,
	} {
		if r := mustRead(t, "s.csv", title+table, Options{}); told(r, "pac-unclear") > 0 != asks {
			t.Errorf("%s: %v", title, r.Notes)
		}
		if r := mustRead(t, "s.csv", title+table, Options{Chemical: "PACl"}); told(r, "pac-unclear") > 0 {
			t.Errorf("%s, chemical given: %v", title, r.Notes)
		}
	}
}

// The water of a hydrate is told in either spelling of the salt; another number still asks.
func TestHydrateInEitherSpelling(t *testing.T) {
	const rows = ",Turbidity (NTU)\n1,0,40\n2,10,22\n3,20,9\n"
	for _, heading := range []string{"Aluminium sulphate 14-hydrate mg/L", "Aluminium sulphate 14-hydrate (mg/L)", "Aluminum sulfate 14-hydrate (mg/L)"} {
		r := mustRead(t, "s.csv", "Jar,"+heading+rows, Options{})
		if got := r.Series[0].Chemicals[0]; got.Basis != quantity.AsAlum14 || len(loud(r)) > 0 {
			t.Errorf("%s: %+v, says %v", heading, got, r.Notes)
		}
	}
	if r, _ := readAny("Jar,Aluminium sulphate 12 (mg/L)" + rows); told(r, "number-in-heading") == 0 {
		t.Errorf("a number is not asked about: %v", r.Notes)
	}
}
