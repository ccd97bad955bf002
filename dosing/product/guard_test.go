package product

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

func named(t *testing.T, id string) Product {
	t.Helper()
	p, err := Default().Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestSlipsOfALabel: polyaluminium chloride is sold at 9.5 to 11 % Al2O3 and 1.18 to 1.22 kg/L (catalogue), asked about beyond 7 % of
// either: below 8.835 or above 11.828 %, below 1.0974 or above 1.3118 kg/L. Aluminium is 53.964/101.961 = 0.52926 of Al2O3, so 4.676 to
// 6.260 %; a pound per US gallon is 0.119826 kg/L, so 9.158 to 10.948 of them.
func TestSlipsOfALabel(t *testing.T) {
	p := named(t, "pacl-10")
	for _, x := range []struct {
		strength float64
		basis    quantity.Basis
		density  float64
		says     string // code, then a part of what is said or asked; empty for nothing
	}{
		{0, quantity.AsAl2O3, 0, ""}, {0.10, quantity.AsAl2O3, 1.2, ""}, {0.0884, quantity.AsAl2O3, 0, ""}, {0.1182, quantity.AsAl2O3, 0,
			""},
		{0.0883, quantity.AsAl2O3, 0, "strength-odd: (9.5 % to 11 %)"}, {0.0468, quantity.AsAl, 0, ""}, {0.0625, quantity.AsAl, 0, ""},
		{0.0467, quantity.AsAl, 0, "strength-odd: (5.028 % to 5.822 %)"}, {0.5, quantity.AsProduct, 0, ""},
		{0.001, quantity.AsAl2O3, 0, `strength-slip: looks like a share written as a percentage; if 10 % is meant, write "10.00 %"`},
		{0.0005, quantity.AsAl, 0, `strength-slip: looks like a share written as a percentage; if 5 % is meant, write "5.000 %"`},
		{0.119, quantity.AsAl2O3, 0, "strength-slip: would be usual as % by volume (g per 100 mL); by mass it is 9.917 %"},
		{0.064, quantity.AsAl, 0, "strength-slip: would be usual as % by volume (g per 100 mL); by mass it is 5.333 %"},
		{0.05, quantity.AsAl2O3, 0, "strength-slip: strength 5 % as Al2O3 is not what"}, {0.10, quantity.AsAl, 0,
			"would be usual as Al2O3; look at the label"},
		{0.01, quantity.AsAl2O3, 0, "strength-odd: ; did you mean 10 %?"},
		{0, "", 1.098, ""}, {0, "", 1.0973, "density-odd: (1.18 kg/L to 1.22 kg/L)"}, {0, "", 1.3117, ""}, {0, "", 1.3119,
			"density-odd: is far from"},
		{0, "", 9.16, `density-slip: would be usual in lb per US gallon; if it is, write "9.160 lb/gal"`}, {0, "", 10.94, "density-slip: "},
		{0, "", 9.15, "density-odd: (1.18 kg/L to 1.22 kg/L); check"}, {0, "", 11.5, "density-odd: ; did you mean 1.15 kg/L?"},
		{0, "", 0.12, "density-odd: ; did you mean 1.2 kg/L?"}, {0, "", 120, "density-odd: ; did you mean 1.2 kg/L?"},
	} {
		got := Slips(p, quantity.Fraction(x.strength), x.basis, quantity.Density(x.density))
		text := ""
		for _, n := range got {
			text += n.Code + ": " + n.Message + "; " + n.Remedy
		}
		code, part, _ := strings.Cut(x.says, ": ")
		if x.says == "" {
			if text != "" {
				t.Errorf("%g %s, %g kg/L: %q, want nothing", x.strength, x.basis, x.density, text)
			}
			continue
		}
		if len(got) != 1 || part == "" && !strings.Contains(text, code) || !strings.Contains(text, part) || part != "" &&
			got[0].Code != code {
			t.Errorf("%g %s, %g kg/L: %q, want %q", x.strength, x.basis, x.density, text, x.says)
		}
	}
	if got := Slips(named(t, "alum-dry"), 0, "", 5); len(got) != 0 {
		t.Errorf("dry goods have no density: %v", got)
	}
	if got := Slips(Product{Name: "x", Basis: quantity.AsAl}, 0.9, quantity.AsAl, 9); len(got) != 0 {
		t.Errorf("what the catalogue does not know is not asked about: %v", got)
	}
	if got := Slips(p, 0.3, quantity.AsAl2O3, 3); len(got) != 2 {
		t.Errorf("both are asked about: %v", got)
	}
}

// TestUsualDosesAtBothEnds: every row of the table of doses from both sides of each end, in wastewater too.
func TestUsualDosesAtBothEnds(t *testing.T) {
	for _, u := range usualDoses() {
		p := Product{Name: "a product", Group: u.group, Charge: Charge(u.charge), Monomer: u.charge, Basis: u.basis, Strength: Given(quantity.Fraction(1), "made up")}
		if u.low <= 0 || u.high <= u.low || u.waste < u.high || u.source == "" {
			t.Errorf("%+v", u)
		}
		for _, x := range []struct {
			c     quantity.Concentration
			waste bool
			far   string
		}{
			{u.low, false, ""}, {u.low * 0.999, false, "less than is usual"}, {u.high, false, ""}, {u.high * 1.001, false,
				"more than is usual"},
			{u.waste, true, ""}, {u.waste * 1.001, true, "more than is usual"}, {u.low * 0.999, true, "less than is usual"}, {0, false,
				""}, {-1, false, ""},
		} {
			got := DoseSlips(p, quantity.Dose{Concentration: x.c, Basis: u.basis}, x.waste)
			if (len(got) > 0) != (x.far != "") || x.far != "" && !strings.Contains(got[0].Message, x.far) {
				t.Errorf("%s %s, %v in wastewater %v: %v", u.group, u.charge, x.c, x.waste, got)
			}
		}
	}
	if got := DoseSlips(Product{Group: UnknownProduct}, quantity.Dose{Concentration: 1e6, Basis: quantity.AsProduct},
		false); len(got) != 0 {
		t.Errorf("nothing is known of it: %v", got)
	}
}

// TestStrengthsAndVolumes: a share of the whole is one above nothing and up to all of it, on a basis that the product holds.
func TestStrengthsAndVolumes(t *testing.T) {
	p := named(t, "pacl-10")
	for _, x := range []struct {
		f     quantity.Fraction
		basis quantity.Basis
		want  float64 // mass of Al2O3; negative for refused
	}{
		{1, quantity.AsAl2O3, 1}, {1.0001, quantity.AsAl2O3, -1}, {0, quantity.AsAl2O3, -1}, {-0.1, quantity.AsAl2O3, -1}, {0.12,
			quantity.AsProduct, 0.12},
		{0.12, quantity.NotStated, 0.12}, {0.05, quantity.AsAl, 0.05 / 0.529261}, {0.4, quantity.AsFeCl3, -1}, {1e-6, quantity.AsAl2O3,
			1e-6},
	} {
		got, err := p.WithStrength(x.f, x.basis, "label")
		if (err != nil) != (x.want < 0) {
			t.Errorf("%v %s: %v", x.f, x.basis, err)
			continue
		}
		if err != nil {
			continue
		}
		if s, err := got.StrengthAs(quantity.AsAl2O3); err != nil || math.Abs(float64(s)/x.want-1) > 1e-4 ||
			got.Strength.Source != "label" || got.Strength.Status != Stated {
			t.Errorf("%v %s: %v Al2O3, %v", x.f, x.basis, s, err)
		}
	}
	none := Product{Name: "none", Basis: quantity.AsAl}
	if q, err := none.WithStrength(0.1, quantity.AsAl2O3, ""); err != nil || q.Basis != quantity.AsAl2O3 {
		t.Errorf("%v, %v", q.Basis, err)
	}
	if q, err := (Product{}).WithStrength(0.1, quantity.AsFeCl3, ""); err != nil || q.Basis != quantity.AsFeCl3 {
		t.Errorf("a product of no basis takes the one that is stated: %v, %v", q.Basis, err)
	}
	for _, s := range []Figure[quantity.Fraction]{{}, Given(quantity.Fraction(0), "")} {
		none.Strength = s
		if f, err := none.StrengthAs(quantity.AsAl); err == nil {
			t.Errorf("strength %v", f)
		}
		if f, err := none.StrengthAs(quantity.AsProduct); err != nil || f != 1 {
			t.Errorf("as product: %v, %v", f, err)
		}
	}
	if v := LiquidVolume(12, 1.2); math.Abs(float64(v)-10) > 1e-12 {
		t.Errorf("12 kg at 1.2 kg/L fill %v", v)
	}
	for g, want := range map[Group]bool{AluminiumSalt: true, Polyaluminium: true, IronSalt: true, Aluminate: true, Alkali: false,
		Acid: false, Polymer: false,
		Biopolymer: false, UnknownProduct: false} {
		if g.Coagulant() != want {
			t.Errorf("%q is a coagulant: %v", g, !want)
		}
	}
}

// TestElementsOfFormulas: by atomic weights (IUPAC 2021, abridged). Dolomite CaMg(CO3)2 is 184.40 and has two of carbon, ammonium alum
// NH4Al(SO4)2·12H2O 453.32 and one of nitrogen, soda ash 105.99 and one of carbon; alum none of either. What an alkali leaves is no
// acid's ion.
func TestElementsOfFormulas(t *testing.T) {
	for _, x := range []struct {
		id, element string
		basis       quantity.Basis
		want        float64 // of 10 mg/L
	}{
		{"dolomite", "C", quantity.AsDolomite, 10 * 2 * 12.011 / 184.40}, {"ammonium-alum", "N", quantity.AsAmmoniumAlum,
			10 * 14.007 / 453.32},
		{"soda-ash", "C", quantity.AsNa2CO3, 10 * 12.011 / 105.99}, {"bicarbonate", "C", quantity.AsNaHCO3, 10 * 12.011 / 84.006},
		{"alum-liquid", "C", quantity.AsAlum14, 0}, {"alum-liquid", "N", quantity.AsAlum14, 0}, {"potash-alum", "K", quantity.AsPotashAlum,
			10 * 39.098 / 474.38},
	} {
		got, err := named(t, x.id).ElementAdded(quantity.Dose{Concentration: 10, Basis: x.basis}, x.element)
		if err != nil || math.Abs(float64(got)-x.want) > 1e-4*10 {
			t.Errorf("%s of %s: %v, want %g (%v)", x.element, x.id, float64(got), x.want, err)
		}
	}
	for _, id := range []string{"lime", "caustic-50", "apam-dry", "aluminate-liquid"} {
		p := named(t, id)
		if ion, c, err := p.AnionAdded(quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}); err != nil || c != 0 {
			t.Errorf("%s leaves %v of %s (%v)", id, c, ion, err)
		}
	}
	// a made-up salt of two aluminium with potassium shows whose atoms the charge is shared among
	for f, want := range map[string]map[string]float64{"Al2(SO4)3": {"Al": 2, "S": 3, "O": 12}, "Mg(OH)2": {"Mg": 1, "O": 2, "H": 2},
		"K2SO4": {"K": 2, "S": 1, "O": 4}} {
		got := map[string]float64{}
		if !count(f, 1, got) || fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: %v", f, got)
		}
	}
	if count("Xx2", 1, map[string]float64{}) || count("(", 1, map[string]float64{}) {
		t.Error("no such element")
	}
}
