package sheet

import (
	"strings"
	"testing"
)

// TestChemicalFact: a fact on the chemical is one name; whatever else stands in its label or
// value speaks, unless it tells of the goods alone.
func TestChemicalFact(t *testing.T) {
	for _, c := range []struct{ fact, head, name, says string }{
		{"Coagulant,Alum", "Dose (mg/L)", "alum", ""},
		{`Coagulant used,"Alum (kibbled, technical grade)"`, "Dose (mg/L)", "alum", ""},
		{`Type of coagulant,"Alum, batch 2291"`, "Dose (mg/L)", "alum", ""},
		{"Coagulant,alum from Brunnen Chemicals", "Dose (mg/L)", "alum", ""},
		{"Coagulant,PACl (Zorpfloc 33)", "Dose (mg/L)", "PACl", ""},
		{"Coagulante utilizado,Sulfato de aluminio granulado", "Dose (mg/L)", "alum", ""},
		{"Verwendetes Flockungsmittel,\"Aluminiumsulfat, technisch\"", "Dose (mg/L)", "alum", ""},
		{"Coagulant,not alum", "Dose (mg/L)", "not alum", "chemical-unclear"},
		{"Coagulant,Alum-free", "Dose (mg/L)", "Alum-free", "chemical-unclear"},
		{"Koagulant,kein Alaun", "Dose (mg/L)", "kein Alaun", "chemical-unclear"},
		{"Coagulant,alum or PAC", "Dose (mg/L)", "alum or PAC", "chemical-unclear"},
		{`Coagulant,"Alum, lime"`, "Dose (mg/L)", "Alum, lime", "chemical-unclear"},
		{"Coagulant,Chitosan/Alum", "Dose (mg/L)", "Chitosan/Alum", "chemical-unclear"},
		{"Coagulant,alum in jars 1-2", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"Coagulant,alum sludge", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"Coagulant,Alum?", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"Coagulant,diluted alum 1:10", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"half Coagulant,Alum", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"Coagulant: alum zorp", "Dose (mg/L)", "alum", "chemical-unclear"},
		{"Coagulant,none", "Dose (mg/L)", "coagulant", "chemical-not-named"},
		{"Coagulant,none", "Polymer (mg/L)", "polymer", ""},
		{"Coagulant,not alum", "PACl (mg/L)", "PACl", ""},
		{"Coagulant,Alum", "PAC (mg/L)", "PACl", "chemical-unclear"},
		{"Coagulant,Ferric chloride", "FeCl3 dose (mg/L)", "ferric chloride", ""},
		{"Coagulant,Alum", "Dose (ppm Fe)", "alum", "basis-of-other"},
		{"Dawa: alum", "Kipimo (mg/L)", "alum", "chemical-unknown"},
		{"Old coagulant,Alum", "Dose (mg/L)", "coagulant", "chemical-not-named"},
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{c.fact, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		name := ""
		if len(r.Series) == 1 {
			name = r.Series[0].Chemicals[0].Name
		}
		if said := cautionsOf(r); name != c.name || (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s above %s: %q, says %q; want %q, %q\n%v", c.fact, c.head, name, said, c.name, c.says, r.Notes)
		}
	}
}
