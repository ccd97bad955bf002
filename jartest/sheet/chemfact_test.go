package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestChemicalFact: a fact on the chemical is one name; whatever else stands in its label or
// value speaks, unless it tells of the goods alone.
func TestChemicalFact(t *testing.T) {
	for _, c := range []struct{ fact, head, name, says string }{
		{"Coagulant,Alum", "Dose (mg/L)", "alum", ""},
		{`Coagulant used,"Alum (kibbled, technical grade)"`, "Dose (mg/L)", "dry alum", ""},
		{`Type of coagulant,"Alum, batch 2291"`, "Dose (mg/L)", "alum", ""},
		{"Coagulant,alum from Brunnen Chemicals", "Dose (mg/L)", "alum", ""},
		{"Coagulant,PACl (Zorpfloc 33)", "Dose (mg/L)", "PACl", ""},
		{"Coagulante utilizado,Sulfato de aluminio granulado", "Dose (mg/L)", "dry alum", ""},
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
		{"Chemical,.", "Dose (mg/L)", "coagulant", "chemical-not-named"},
		{"Chemical,?", "Dose (mg/L)", "coagulant", "chemical-not-named"},
		{"Chemical,...", "Alum dose (mg/L)", "alum", ""},
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

// TestProductCodes: a product with its number is the chemical, in whatever order; a known word
// with a number is none.
func TestProductCodes(t *testing.T) {
	for head, want := range map[string]string{
		"Dose ZK-18 (mg/L)": "ZK-18", "ZK-18 dose (mg/L)": "ZK-18", "Dose 18-ZK (mg/L)": "18-ZK", "18-ZK dose (mg/L)": "18-ZK", "Dose of ZK-18 mg/L": "ZK-18",
		"ZK18 dose (mg/L)": "ZK18", "ZK 18 dose (mg/L)": "ZK 18", "Dose ZK 18 (mg/L)": "ZK 18", "Dose (mg/L) ZK-18": "ZK-18", "Zorp-33 dose (mg/L)": "Zorp-33",
		"Dose Jar-2 (mg/L)": "", "Dose PE 2 mg/L (mg/L)": "", "Dose + PE 0.5 mg/L": "", "DOSE ZK 18 (MG/L)": "", "Dose 2 zork (mg/L)": "",
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Site,Beck", ""}, column("Jar", 1, 2, 3), column(head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		if len(r.Series) == 0 {
			if want != "" {
				t.Errorf("%s: %v", head, r.Notes)
			}
			continue
		}
		if got, said := r.Series[0].Chemicals[0].Name, cautionsOf(r); want != "" && (got != want || said != "") || want == "" && said == "" || r.Series[0].Jars[1].Doses[0].Concentration != 20 {
			t.Errorf("%s: %q, says %q; want %q", head, got, said, want)
		}
	}
	for _, name := range []string{"ZK-18", "18-ZK", "ZK 18"} {
		r := mustRead(t, "t.csv", sheetOf([]string{"Coagulant," + name, ""}, column("Jar", 1, 2, 3), column("Dose (mg/L)", 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		if got := r.Series[0].Chemicals[0].Name; got != name || cautionsOf(r) != "" {
			t.Errorf("Coagulant %s: %q, says %q", name, got, cautionsOf(r))
		}
	}
}

// TestChemicalFactsOnce: several facts on the chemical with one fault are one matter.
func TestChemicalFactsOnce(t *testing.T) {
	for _, c := range []struct{ facts, head, says string }{
		{"Coagulant,Alum\nCoagulant,Ferric chloride", "Dose (mg/L)", "facts-disagree"},
		{"Coagulant,PACl\nCoagulant used,PACl\nProduct,PACl", "Alum (mg/L)", "chemical-unclear"},
		{"Coagulant,Alum (as Fe)", "Dose (mg/L)", "basis-of-other"},
		{"Coagulant,Alum zorp\nCoagulant,Alum zork", "Dose (mg/L)", "chemical-unclear chemical-unclear"}, // two faults
	} {
		r := mustRead(t, "t.csv", sheetOf([]string{c.facts, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("Turbidity (NTU)", 30, 14, 5)), Options{})
		if got := strings.Join(codesAt(r.Notes, note.Caution), " "); got != c.says {
			t.Errorf("%s above %s: says %q, want %q\n%v", c.facts, c.head, got, c.says, r.Notes)
		}
	}
}
