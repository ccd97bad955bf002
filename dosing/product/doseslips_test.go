package product

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestDoseSlips: a dose is asked about by what the product acts by, whatever it
// counts. By hand: alum 14-hydrate is 594.4 g/mol with two Al of 26.98 g/mol, so
// 9.078 % Al; FeCl3 is 162.2 g/mol, 34.43 % Fe.
func TestDoseSlips(t *testing.T) {
	for _, x := range []struct {
		id    string
		dose  float64
		basis quantity.Basis
		waste bool
		says  string // empty: nothing
	}{
		{"alum-liquid", 12.5, quantity.AsAlum14, false, ""},
		{"alum-liquid", 121, quantity.AsAlum14, false, ""}, // 10.98 mg/L Al
		{"alum-liquid", 122, quantity.AsAlum14, false, "more than is usual"},
		{"alum-liquid", 1.66, quantity.AsAlum14, false, ""}, // 0.1507
		{"alum-liquid", 1.64, quantity.AsAlum14, false, "less than is usual"},
		{"alum-liquid", 185, quantity.AsAlum14, false, "did you mean 18.5 mg/L as alum 14-hydrate?"},
		{"alum-liquid", 185, quantity.AsAlum14, true, ""},
		{"alum-liquid", 12.5, quantity.AsAl, false, "did you mean 12.5 mg/L as alum 14-hydrate, or 1.25 mg/L as Al?"},
		{"alum-liquid", 0, quantity.AsAlum14, false, ""},
		{"ferric-chloride", 24, quantity.AsFeCl3, false, ""},
		{"ferric-chloride", 145, quantity.AsFeCl3, false, ""}, // 49.9 mg/L Fe
		{"ferric-chloride", 146, quantity.AsFeCl3, false, "more"},
		{"ferric-chloride", 0.24, quantity.AsFeCl3, false, "did you mean 2.4 mg/L as FeCl3?"},
		{"apam-dry", 0.2, quantity.AsProduct, false, ""},
		{"apam-dry", 1.7, quantity.AsProduct, false, "as much clay or sludge may ask for"}, // 1.53 active
		{"apam-dry", 5, quantity.AsProduct, false, "as much clay or sludge may ask for"},   // 4.5 active, three times 1.5
		{"apam-dry", 6, quantity.AsProduct, false, "did you mean 0.6 mg/L as product?"},
		{"apam-dry", 2, quantity.AsProduct, true, ""},
		{"cpam-dry", 2, quantity.AsProduct, false, ""},
		{"cpam-dry", 20, quantity.AsProduct, false, "did you mean 2 mg/L as product?"},
		{"polyamine", 15, quantity.AsProduct, false, "as much clay or sludge may ask for"}, // 7.5 active; 40 CFR 141.111 counts up to 20 as sold
		{"polyamine", 20, quantity.AsProduct, false, "as much clay or sludge may ask for"},
		{"polyamine", 21, quantity.AsProduct, false, "did you mean 2.1 mg/L as product?"},
		{"soda-ash", 24, quantity.AsNa2CO3, false, ""},
		{"gypsum", 250, quantity.AsProduct, false, ""}, // what clay ponds commonly get
		{"gypsum", 501, quantity.AsProduct, false, "as much clay or sludge may ask for"},
		{"gypsum", 1429, quantity.AsProduct, false, "did you mean 142.9 mg/L as product?"},
		{"soda-ash", 2400, quantity.AsNa2CO3, false, "did you mean 240 mg/L as Na2CO3?"},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		said := DoseSlips(p, quantity.Dose{Concentration: quantity.Concentration(x.dose), Basis: x.basis}, x.waste)
		if (len(said) > 0) != (x.says != "") || len(said) > 0 && (!strings.Contains(said[0].Message, x.says) || said[0].Code != "dose-unusual" || said[0].Source == "") {
			t.Errorf("%s %g %s: %v, want %q", x.id, x.dose, x.basis, said, x.says)
		}
		if len(said) > 0 && (said[0].Level == note.Info) != strings.Contains(x.says, "clay") {
			t.Errorf("%s %g: level %v", x.id, x.dose, said[0].Level)
		}
	}
	for _, u := range usualDoses() {
		if u.low <= 0 || u.high <= u.low || u.waste < u.high || u.source == "" {
			t.Errorf("%+v", u)
		}
	}
}

// TestTenfold: a strength or density that is ten times off is asked for.
func TestTenfold(t *testing.T) {
	p, err := Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		strength quantity.Fraction
		density  quantity.Density
		says     string
	}{{0.0485, 0, "did you mean 48.5 %?"}, {0, 0.1335, "did you mean 1.335 kg/L?"}, {0, 13.3, "did you mean 1.33 kg/L?"}} {
		said := Slips(p, x.strength, quantity.AsAlum14, x.density)
		if len(said) != 1 || !strings.Contains(said[0].Message, x.says) {
			t.Errorf("%v %v: %v", x.strength, x.density, said)
		}
	}
}
