package sheet

import "testing"

// TestStocksByFormula: a stock by amount of substance is the mass of its metal, whatever its crystal
// water; what a strength counts is read with brackets as without. One mL goes into a jar of 1 L.
func TestStocksByFormula(t *testing.T) {
	const jars = "\nJar volume,1 L\n\nJar,Stock (mL),Turbidity (NTU)\n1,1,20\n2,2,12\n3,3,8\n"
	for stock, want := range map[string]struct {
		dose  float64 // mg/L in the first jar
		basis string
		chem  string
	}{
		"Stock,0.1 M FeCl3":                         {5.5845, "as Fe", "ferric chloride"}, // 0.1 mol × 55.845 g
		"Stock: 0.1 M Al2(SO4)3·14H2O":              {5.3964, "as Al", "alum"},            // 0.1 mol × 2 × 26.982 g
		"Stock,0.05 mol/L alum (Al2(SO4)3·18H2O)":   {2.6982, "as Al", "alum"},
		"Ferric chloride stock,20 mM":               {1.1169, "as Fe", "ferric chloride"}, // 0.02 mol × 55.845 g
		"Stock: alum 10 g/L (as Al)":                {10, "as Al", "alum"},
		"Stock,alum 10 g/L (as alum 14-hydrate)":    {10, "as alum 14-hydrate", "alum"},
		"Alum stock 10 g/L (14 H2O)":                {10, "as alum 14-hydrate", "alum"},
		"Stock: ferric chloride 10 g/L (6-hydrate)": {10, "as FeCl3 hexahydrate", "ferric chloride"},
		"Alum stock 10 g/L (18H2O)":                 {10, "as alum 18-hydrate", "alum"},
		"Alum stock 10 g/L (made fresh)":            {10, "", "alum"},
	} {
		r := mustRead(t, "s.csv", stock+jars, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %v", stock, r.Notes)
			continue
		}
		s := r.Series[0]
		if got := float64(s.Jars[0].Doses[0].Concentration); !same(got, want.dose) || string(s.Chemicals[0].Basis) != want.basis || s.Chemicals[0].Name != want.chem {
			t.Errorf("%s: %v mg/L of %s, %q", stock, got, s.Chemicals[0].Name, s.Chemicals[0].Basis)
		}
		if said := loud(r); len(said) > 0 {
			t.Errorf("%s: says %v", stock, said)
		}
	}
	for _, stock := range []string{"Stock,0.1 M PACl", "Alum stock 10 g/L (13 H2O)"} { // nobody can say of what
		if r := mustRead(t, "s.csv", stock+jars, Options{}); len(loud(r)) == 0 {
			t.Errorf("%s: silent, %v", stock, r.Series)
		}
	}
}

// TestCellsStandAsTheyAre: a text that was read in plain words is shown as it stands.
func TestCellsStandAsTheyAre(t *testing.T) {
	r := mustRead(t, "s.csv", "\"Stock: alum 10 g/L (as Al)\"\nJar volume,1 L\n\nJar,Stock (mL),NTU\n1,1,20\n2,2,12\n", Options{Account: true})
	if got := r.Account.Sheets[0].Cells[0].Text; got != "Stock: alum 10 g/L (as Al)" {
		t.Errorf("shown as %q", got)
	}
}
