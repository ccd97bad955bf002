package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// What doses count is told by what stands there, whatever the name it stands under: the doses count
// it, or something speaks of it.
func TestBasisInOtherWords(t *testing.T) {
	const table = "Jar;Ferric chloride (mg/L);Turbidity (NTU)\n1;0;58\n2;12;31\n3;24;14\n4;36;6.2\n"
	for _, c := range []struct {
		says string
		of   quantity.Basis // NotStated: asked about
	}{
		{"Bezug;als Fe", quantity.AsFe}, {"Reference;as Fe", quantity.AsFe}, {"Reported as;Fe", quantity.AsFe}, {"Reported as: Fe", quantity.AsFe},
		{"Exprimé en;Fe", quantity.AsFe}, {"Expresado como;Fe", quantity.AsFe}, {"Podáno jako;Fe", quantity.AsFe}, {"Counts;as Fe", quantity.AsFe},
		{"Zählung;als Eisen", quantity.AsFe}, {"Cuenta;como hierro", quantity.AsFe}, {"Konto;jako żelazo", quantity.AsFe}, {"Ref.;as FeCl3", quantity.AsFeCl3},
		{"mg/L = mg Fe per litre", quantity.AsFe}, {"mg/L refers to the commercial product", quantity.AsProduct}, {"mg/L: as product", quantity.AsProduct},
		{"mg/L bezieht sich auf Handelsware", quantity.AsProduct},
		{"Ferric chloride jar test (mg/L as Fe)", quantity.AsFe}, {"Jar test, mg Fe/L", quantity.AsFe}, {"Concentration;mg/L as Fe", quantity.AsFe},
		{"All doses calculated as iron", quantity.AsFe}, {"Dosen berechnet als Eisen", quantity.AsFe}, {"Doses exprimées en fer", quantity.AsFe}, {"Dosis como hierro", quantity.AsFe},
		{"注入率は鉄換算", quantity.AsFe}, {"Dosing in mg/L, active", quantity.NotStated}, {"Metal;Fe", quantity.NotStated}, {"Everything here is as Fe", quantity.NotStated},
		{"Reference;as Al", quantity.NotStated}, {"as Fe", quantity.AsFe}, {"以铁计", quantity.AsFe}, {"Expressed in;iron", quantity.AsFe}, {"Doses in terms of iron", quantity.AsFe}, {"Iron basis", quantity.AsFe},
		{"mg/L means mg of iron per litre", quantity.AsFe}, {"Doses refer to product", quantity.AsProduct}, {"Doses as ferric", quantity.NotStated}, {"Дозы в пересчете на железо", quantity.AsFe},
		{"Dozlar demir cinsinden", quantity.AsFe}, {"นับเป็นเหล็ก", quantity.AsFe}, {"الجرعات محسوبة على أساس الحديد", quantity.AsFe}, {"מינון לפי ברזל", quantity.AsFe}, {"मात्रा लोहा के रूप में", quantity.AsFe}, {"মাত্রা লোহা হিসাবে", quantity.AsFe},
	} {
		r := mustRead(t, "s.csv", c.says+"\n\n"+table, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %v", c.says, r.Notes)
			continue
		}
		asked := slices.ContainsFunc(loud(r), func(code string) bool { return strings.HasPrefix(code, "basis-") || strings.HasPrefix(code, "line-") })
		got := r.Series[0].Chemicals[0].Basis
		if got != c.of || asked != (c.of == quantity.NotStated) || got != quantity.NotStated && len(loud(r)) > 0 {
			t.Errorf("%s: %s, says %v", c.says, got, loud(r))
		}
	}
}

// What is no basis of doses gives none, and nothing speaks of it.
func TestNoBasisInOtherWords(t *testing.T) {
	const table = "Jar;Ferric chloride (mg/L);Turbidity (NTU);Alkalinity (mg/L as CaCO3)\n1;0;58;90\n2;12;31;85\n3;24;14;80\n4;36;6.2;74\n"
	for _, says := range []string{
		"Operator;Al", "Analyst: Al", "Alkalinity;as CaCO3", "Alkalinity as CaCO3", "Hardness;as CaCO3", "Jar test as usual", "Method;as standard", "Agua como al inicio", "Reference;as last year's sheet", "Site;Iron Bridge",
	} {
		r := mustRead(t, "s.csv", says+"\n\n"+table, Options{})
		if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != quantity.NotStated || len(loud(r)) > 0 {
			t.Errorf("%s: %+v, says %v", says, r.Series, loud(r))
		}
	}
}
