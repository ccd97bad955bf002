package words

import "testing"

// A formula after a unit is one thing, whatever stands in its brackets: its groups are no bases and no
// words left over.
func TestFormulasAreOne(t *testing.T) {
	for formula, as := range map[string]string{"Fe2(SO4)3": "fe2(so4)3", "Al2(SO4)3": "al2(so4)3", "Al2(SO4)3·14H2O": "al2(so4)3.14h2o", "Al2(SO4)3.18H2O": "al2(so4)3.18h2o", "Ca(OH)2": "ca(oh)2", "Mg(OH)2": "mg(oh)2",
		"Fe2(SO4)3·9H2O": "fe2(so4)3.9h2o", "KAl(SO4)2·12H2O": "kal(so4)2.12h2o", "Al2(OH)5Cl": "al2(oh)5cl", "FeSO4·7H2O": "feso4.7h2o", "FeCl3·6H2O": "fecl3.6h2o", "Fe₂(SO₄)₃": "fe2(so4)3", "Ca(HCO3)2": "ca(hco3)2",
		"Al": "al", "Fe": "fe", "FeCl3": "fecl3"} {
		for _, form := range []string{"mg/L as ", "mg/L ", "g/m3 als ", "mg/L (as "} {
			us := Units(form + formula + ")")
			if len(us) != 1 || us[0].As != as || us[0].Kind != Conc || us[0].Left != "" {
				t.Errorf("%s%s: %+v", form, formula, us)
			}
		}
		if got, ok := As("as " + formula); !ok || got != as {
			t.Errorf("As(%s) = %q, %v", formula, got, ok)
		}
	}
	for _, text := range []string{"mg/L as (L)", "mg(L)", "mg/L (jar 2)", "mg/L in(1 L)"} {
		for _, u := range Units(text) {
			if u.As != "" {
				t.Errorf("%s counts %s", text, u.As)
			}
		}
	}
}
