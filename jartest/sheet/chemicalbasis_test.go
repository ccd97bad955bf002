package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// The basis that stands with the name of the chemical is what its doses count; what a
// product holds is none, and that of another chemical neither.
func TestBasisWithChemical(t *testing.T) {
	const jars = "Jar,Dose (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n"
	limed := strings.Replace(jars, "Dose", "Lime dose", 1)
	for _, c := range []struct {
		sheet, says string
		want        quantity.Basis
	}{
		{"Chemical,Alum (as product)\nTarget,turbidity <= 5 NTU\n\n" + jars, "", quantity.AsProduct},
		{"Chemical,Alum (as product)\nTarget,turbidity <= 5 NTU\n" + jars, "", quantity.AsProduct},
		{"Chemical,Alum (as product),Target,turbidity <= 5 NTU\n\n" + jars, "", quantity.AsProduct},
		{"Chemical,Alum\nBasis,as Al\n\n" + jars, "", quantity.AsAl},
		{"Chemical: alum as Al2O3\n\n" + jars, "", quantity.AsAl2O3},
		{"Chemical,Ferric chloride (as Fe)\n\n" + jars, "", quantity.AsFe},
		{"Chemical,Alum\n\n" + jars, "", quantity.NotStated},
		{"Chemical,Alum (as product)\n\n" + limed, "chemical-unclear", quantity.NotStated},
		{"Jar,Chemical,Dose (mg/L),NTU\n1,alum (as Al),0,50\n2,alum (as Al),3,12\n3,alum (as Al),4,5\n", "", quantity.AsAl},
		{"Jar,Chemical,Dose (mg/L),NTU\n1,alum,0,50\n2,alum,3,12\n3,alum,4,5\n", "", quantity.NotStated},
	} {
		res := mustRead(t, "s.csv", c.sheet, Options{})
		if got := res.Series[0].Chemicals[0].Basis; got != c.want {
			t.Errorf("%s: basis %q, want %q", c.sheet, got, c.want)
		}
		if got := strings.Join(codesAt(res.Notes, note.Caution), " "); got != c.says {
			t.Errorf("%s: says %q, want %q", c.sheet, got, c.says)
		}
		if s := res.Series[0]; strings.Contains(c.sheet, "Target") && len(s.Targets) != 1 {
			t.Errorf("%s: targets %v", c.sheet, s.Targets)
		}
	}
}

// TestBasisDenied: what doses do not count is no basis of theirs.
func TestBasisDenied(t *testing.T) {
	for _, c := range []struct {
		above, head, says string
		want              quantity.Basis
	}{
		{"Doses are not as product", "Dose (mg/L)", "line-not-understood", quantity.NotStated},
		{"Doses in mg/L - not as product", "Dose (mg/L)", "line-not-understood", quantity.NotStated},
		{"Dosis no como producto comercial", "Dose (mg/L)", "line-not-understood", quantity.NotStated},
		{"Dosen nicht als Handelsware", "Dose (mg/L)", "", quantity.NotStated},
		{"Basis,not as product", "Dose (mg/L)", "basis-unknown", quantity.NotStated},
		{"Basis,not as Al", "Dose (mg/L)", "basis-unknown", quantity.NotStated},
		{"Basis,as Al (not as product)", "Dose (mg/L)", "", quantity.AsAl},
		{"Site,Beck", "Dose (mg/L not as product)", "heading-words", quantity.NotStated},
		{"Doses as product", "Dose (mg/L)", "", quantity.AsProduct},
		{"Site,Beck", "Dose (mg/L as product)", "", quantity.AsProduct},
	} {
		res := mustRead(t, "s.csv", sheetOf([]string{"Coagulant,Alum", c.above, ""}, column("Jar", 1, 2, 3), column(c.head, 10, 20, 40), column("NTU", 30, 14, 5)), Options{})
		if got, said := res.Series[0].Chemicals[0].Basis, strings.Join(codesAt(res.Notes, note.Caution), " "); got != c.want || said != c.says {
			t.Errorf("%s above %s: %q, says %q; want %q, %q", c.above, c.head, got, said, c.want, c.says)
		}
	}
	res := mustRead(t, "s.csv", "Chemical,Alum (not as product)\n\nJar,Dose (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
	if c := res.Series[0].Chemicals[0]; c.Name != "alum" || c.Basis != quantity.NotStated {
		t.Errorf("alum, not as product: %q %q", c.Name, c.Basis)
	}
}
