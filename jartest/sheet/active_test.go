package sheet

import (
	"testing"

	"jarwright/jartest/quantity"
)

// "Active" belongs to polymers and other organic flocculants: of a salt it says no basis that is
// known, and speaks; nowhere is it the product.
func TestActiveIsNoProduct(t *testing.T) {
	for _, form := range []string{"? (mg/L active)", "Active ? (mg/L)", "? (mg/L) active", "?, active (mg/L)", "? actives (mg/L)", "? (mg/L, active substance)", "? (mg/L as active)"} {
		for chem, basis := range map[string]quantity.Basis{"PACl": "", "Alum": "", "FeCl3": "", "Ferric sulfate": "", "Lime": "", "Polymer": quantity.AsActive, "Cationic polymer": quantity.AsActive, "Chitosan": quantity.AsActive} {
			head := ""
			for _, r := range form {
				if r == '?' {
					head += chem
				} else {
					head += string(r)
				}
			}
			r := mustRead(t, "s.csv", "Jar,"+quoted(head)+",NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
			if len(r.Series) != 1 {
				t.Errorf("%s: %v", head, r.Notes)
				continue
			}
			if got := r.Series[0].Chemicals[0].Basis; got != basis || basis == "" && len(loud(r)) == 0 {
				t.Errorf("%s: counted %q, %v", head, got, r.Notes)
			}
		}
	}
	for _, head := range []string{"PACl (mg/L a.i.)", "Alum (mg/L d.b.)", "FeCl3 40 (mg/L)", "PAC 10 (mg/L)", "Alum (mg/L p)"} {
		r := mustRead(t, "s.csv", "Jar,"+head+",NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		if len(loud(r)) == 0 {
			t.Errorf("%s is silent: %v", head, r.Notes)
		}
	}
	for _, head := range []string{"Alum 1 (mg/L)", "Polymer A (mg/L)", "Alum (mg/L)", "PACl-18 (mg/L)"} {
		r := mustRead(t, "s.csv", "Jar,"+head+",NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		if len(loud(r)) > 0 {
			t.Errorf("%s speaks: %v", head, r.Notes)
		}
	}
}

// A formula with brackets is one basis, in a heading and in brackets of it.
func TestFormulasWithBracketsAreBases(t *testing.T) {
	for form, chem := range map[string]string{"Fe2(SO4)3": "Ferric sulfate", "Al2(SO4)3": "Alum", "Ca(OH)2": "Lime", "FeCl3": "Ferric chloride", "Al2O3": "PACl"} {
		want, err := quantity.ParseBasis(form)
		if err != nil {
			t.Fatal(err)
		}
		for _, head := range []string{chem + " (mg/L as " + form + ")", chem + ", mg/L as " + form, chem + " [mg " + form + "/L]"} {
			r := mustRead(t, "s.csv", "Jar,"+quoted(head)+",NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
			if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != want || len(loud(r)) > 0 {
				t.Errorf("%s: %v, want %s", head, r, want)
			}
		}
	}
}
