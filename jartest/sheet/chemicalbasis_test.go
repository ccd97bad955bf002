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
