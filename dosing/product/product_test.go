package product

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}

func TestMolarMass(t *testing.T) {
	// Hendricks 2011, appendix F, prints 594.136, 666.132, 342.15 and 101.961 (with
	// H taken as 1.000 in the hydrates, hence the wider tolerance there).
	for _, c := range []struct {
		b         quantity.Basis
		want, tol float64
	}{
		{quantity.AsAlum14, 594.136, 0.26},
		{quantity.AsAlum18, 666.132, 0.32},
		{quantity.AsAlum0, 342.15, 0.02},
		{quantity.AsAl2O3, 101.961, 0.002},
	} {
		m, ok := MolarMass(c.b)
		if !ok {
			t.Fatalf("%s has no molar mass", c.b)
		}
		near(t, string(c.b), m, c.want, c.tol)
	}
	if composition("Xx2") != nil || composition("Al(2") != nil {
		t.Error("a formula that cannot be read gave atoms")
	}
}

// The factors are the design's table of bases, computed there from the molar
// masses that Hendricks 2011, appendix F prints; 1.889 (Al2O3 per Al) is
// 101.961/53.963 (IUPAC atomic masses).
func TestConvertFactors(t *testing.T) {
	c := Default()
	alum, err := c.Find("liquid alum")
	if err != nil {
		t.Fatal(err)
	}
	ferric, err := c.Find("FeCl3")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		p         Product
		from, to  quantity.Basis
		want, tol float64
	}{
		{alum, quantity.AsAlum14, quantity.AsAl, 0.0908, 0.00005},
		{alum, quantity.AsAlum14, quantity.AsAl2O3, 0.1716, 0.00005},
		{alum, quantity.AsAlum18, quantity.AsAl, 0.0810, 0.00005},
		{alum, quantity.AsAlum18, quantity.AsAl2O3, 0.1531, 0.0001},
		{alum, quantity.AsDryAlum, quantity.AsAl2O3, 0.17, 1e-9},      // as it is traded
		{alum, quantity.AsDryAlum, quantity.AsAl, 0.08997, 0.00001},   // 0.17 x 53.964/101.961
		{alum, quantity.AsDryAlum, quantity.AsAlum14, 0.9910, 0.0002}, // 0.17/0.17155
		{alum, quantity.AsAl2O3, quantity.AsAl, 0.5293, 0.00005},
		{alum, quantity.AsAl, quantity.AsAl2O3, 1.889, 0.0006},
		{ferric, quantity.AsFeCl3, quantity.AsFe, 0.3443, 0.00005},
		{ferric, quantity.AsFe2SO43, quantity.AsFe, 0.2793, 0.00005},
		{alum, quantity.AsProduct, quantity.AsAlum14, 0.485, 1e-12},
		{alum, quantity.AsAlum14, quantity.AsProduct, 1 / 0.485, 1e-12},
	} {
		d, err := Convert(quantity.Dose{Concentration: 1, Basis: x.from}, x.p, x.to)
		if err != nil {
			t.Errorf("%s to %s: %v", x.from, x.to, err)
			continue
		}
		if d.Basis != x.to {
			t.Errorf("basis %s, want %s", d.Basis, x.to)
		}
		near(t, string(x.from)+" → "+string(x.to), float64(d.Concentration), x.want, x.tol)
	}
}

func TestConvertRefuses(t *testing.T) {
	c := Default()
	alum, _ := c.Find("alum-liquid")
	for _, x := range []struct {
		from, to quantity.Basis
		code     string
	}{
		{quantity.AsFe, quantity.AsAl, "basis-mismatch"},
		{quantity.NotStated, quantity.AsAl, "basis-missing"},
		{quantity.AsActive, quantity.AsProduct, "basis-mismatch"},
	} {
		_, err := Convert(quantity.Dose{Concentration: 1, Basis: x.from}, alum, x.to)
		if l := note.Of(err, "?"); len(l) != 1 || l[0].Code != x.code || l[0].Remedy == "" {
			t.Errorf("%s to %s: %v, want code %s with a remedy", x.from, x.to, err, x.code)
		}
	}
	alum.Strength = Figure[quantity.Fraction]{}
	_, err := Convert(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct}, alum, quantity.AsAl)
	if l := note.Of(err, "?"); len(l) != 1 || l[0].Code != "strength-unknown" {
		t.Errorf("without strength: %v", err)
	}
}

// Acid per mg of pure product: stoichiometry as printed for alum (0.50 to 0.51 per
// mg 14-hydrate, 0.45 per mg 18-hydrate) and ferric chloride (0.93) in Hendricks
// 2011, appendix F; the rest follows from the charge of the ion.
func TestAlkalinityUsed(t *testing.T) {
	c := Default()
	for _, x := range []struct {
		id        string
		basis     quantity.Basis
		want, tol float64
	}{
		{"alum-liquid", quantity.AsAlum14, 0.5052, 0.0003},
		{"alum-liquid", quantity.AsAlum18, 0.4506, 0.0003},
		{"alum-liquid", quantity.AsAl, 5.56, 0.01},
		{"ferric-chloride", quantity.AsFeCl3, 0.9256, 0.0003},
		{"ferric-chloride", quantity.AsFe, 2.69, 0.005},
		{"ferric-sulfate", quantity.AsFe2SO43, 0.7509, 0.0003},
		{"ferrous-sulfate", quantity.AsFeSO4x7, 0.3600, 0.0003},
		{"pacl-10", quantity.AsAl, 2.78, 0.005},
		{"ach", quantity.AsAl, 0.927, 0.005},
		{"caustic-50", quantity.AsNaOH, -1.2512, 0.0005},
		{"lime", quantity.AsCaOH2, -1.3508, 0.0005},
		{"quicklime", quantity.AsCaO, -1.7848, 0.0005},
		{"soda-ash", quantity.AsNa2CO3, -0.9443, 0.0005},
		{"bicarbonate", quantity.AsNaHCO3, -0.5957, 0.0005},
		{"magnesia", quantity.AsMgOH2, -1.7162, 0.0005},
		{"sulfuric-acid", quantity.AsH2SO4, 1.0205, 0.0005},
		{"hydrochloric-acid", quantity.AsHCl, 1.3725, 0.0005},
		{"cpam-dry", quantity.AsActive, 0, 0},
	} {
		p, err := c.Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		a, err := p.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: x.basis})
		if err != nil {
			t.Errorf("%s: %v", x.id, err)
			continue
		}
		near(t, x.id+" "+string(x.basis), float64(a), x.want, x.tol)
	}
}

func TestAnionAndCarbon(t *testing.T) {
	c := Default()
	for _, x := range []struct {
		id, ion string
		basis   quantity.Basis
		want    float64
	}{
		{"alum-liquid", "SO4", quantity.AsAlum14, 0.485},
		{"ferric-chloride", "Cl", quantity.AsFeCl3, 0.656},
		{"ferric-sulfate", "SO4", quantity.AsFe2SO43, 0.721},
		{"ferrous-sulfate", "SO4", quantity.AsFeSO4x7, 0.346},
	} {
		p, _ := c.Find(x.id)
		ion, a, err := p.AnionAdded(quantity.Dose{Concentration: 1, Basis: x.basis})
		if err != nil || ion != x.ion {
			t.Fatal(x.id, ion, err)
		}
		near(t, x.id, float64(a), x.want, 0.0006)
	}
	soda, _ := c.Find("soda ash")
	got, err := soda.CarbonAdded(quantity.Dose{Concentration: 105.99, Basis: quantity.AsNa2CO3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one mole of carbonate", float64(got), 12.011, 0.001)
}

func TestActive(t *testing.T) {
	// Hendricks 2011, table F.2: 48.5 % at 1.335 is 647 g/L.
	near(t, "liquid alum", Active(0.485, 1.335).In("g/L"), 647, 0.5)
}

func TestCatalogueIsWhole(t *testing.T) {
	c := Default()
	seen := map[string]string{}
	for _, p := range c.All() {
		if p.Name == "" || p.Group == "" || p.Form == "" || p.Basis == quantity.NotStated || !p.Strength.OK {
			t.Errorf("%s lacks name, group, form, basis or strength", p.ID)
		}
		if p.Form != Dry && !p.Density.OK {
			t.Errorf("%s is no dry good and has no density", p.ID)
		}
		if _, ok := p.Equivalents(); !ok {
			t.Errorf("%s: acidity unknown", p.ID)
		}
		if p.Hazard.Text == "" || p.Protection.Text == "" || len(p.Apart) == 0 || p.Life.V <= 0 || p.Shelf.V <= 0 || p.Dilution.High <= 0 {
			t.Errorf("%s lacks hazard, protection, what to keep apart, life, shelf life or stock limits", p.ID)
		}
		if p.Strength.Low > p.Strength.V || p.Strength.High < p.Strength.V || p.Strength.V > 1 {
			t.Errorf("%s: strength %v outside its own range", p.ID, p.Strength)
		}
		if p.Group == Polymer && p.Charge == "" {
			t.Errorf("%s: polymer without charge", p.ID)
		}
		for _, name := range append([]string{p.ID, p.Name}, p.Also...) {
			if other, ok := seen[fold(name)]; ok && other != p.ID {
				t.Errorf("%q means both %s and %s", name, other, p.ID)
			}
			seen[fold(name)] = p.ID
			if q, err := c.Find(name); err != nil || q.ID != p.ID {
				t.Errorf("Find(%q) = %s, %v", name, q.ID, err)
			}
		}
	}
	if _, err := c.Find("liqiud alum"); err == nil || !strings.Contains(err.Error(), `did you mean "liquid alum"?`) {
		t.Errorf("misspelt name: %v", err)
	}
}

// Conversions through moles commute: going by a third basis changes nothing, and
// going back gives the start.
func TestConversionsCommute(t *testing.T) {
	all := Default().All()
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(all).Draw(t, "product")
		bases := p.Bases()
		a := rapid.SampledFrom(bases).Draw(t, "a")
		b := rapid.SampledFrom(bases).Draw(t, "b")
		via := rapid.SampledFrom(bases).Draw(t, "via")
		x := rapid.Float64Range(1e-6, 1e6).Draw(t, "dose")
		d := quantity.Dose{Concentration: quantity.Concentration(x), Basis: a}
		direct, err := Convert(d, p, b)
		if err != nil {
			t.Fatal(err)
		}
		m, err := Convert(d, p, via)
		if err != nil {
			t.Fatal(err)
		}
		through, err := Convert(m, p, b)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Convert(direct, p, a)
		if err != nil {
			t.Fatal(err)
		}
		if r := float64(through.Concentration / direct.Concentration); math.Abs(r-1) > 1e-12 {
			t.Fatalf("%s: %s → %s → %s differs by %g", p.ID, a, via, b, r-1)
		}
		if r := float64(back.Concentration / d.Concentration); math.Abs(r-1) > 1e-12 {
			t.Fatalf("%s: %s → %s and back differs by %g", p.ID, a, b, r-1)
		}
	})
}

// TestDryAlumOfTrade: liquid alum that is 48.5 % dry alum of 17 % Al2O3 is alum still: 20 mg/L
// hold 20 x 0.17 x 53.964/101.961 = 1.7995 mg/L Al, which takes 3 x 50.0435/26.982 mg CaCO3 a mg.
func TestDryAlumOfTrade(t *testing.T) {
	p, err := Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	if p, err = p.WithStrength(0.485, quantity.AsDryAlum, "as stated"); err != nil {
		t.Fatal(err)
	}
	d := quantity.Dose{Concentration: 20, Basis: quantity.AsDryAlum}
	if used, err := p.AlkalinityUsed(d); err != nil || math.Abs(float64(used)-10.0126) > 0.001 || p.Metal() != "Al" {
		t.Errorf("%v %v, metal %q", used, err, p.Metal())
	}
	if ion, added, err := p.AnionAdded(d); err != nil || ion != "SO4" || math.Abs(float64(added)-9.609) > 0.001 { // 1.7995/26.982 x 1.5 x 96.056
		t.Errorf("%v %v %v", ion, added, err)
	}
}

// What a mg of a pure product holds and takes, worked out from IUPAC's atomic masses apart from this program:
// aluminium or iron in percent, alkalinity in mg CaCO3 (given: below zero).
func TestStoichiometryByFormulaMasses(t *testing.T) {
	for _, x := range []struct {
		id, metal         string
		basis             quantity.Basis
		share, alkalinity float64
	}{
		{"potash-alum", "Al", quantity.AsPotashAlum, 5.69, 0.3165},
		{"ammonium-alum", "Al", quantity.AsAmmoniumAlum, 5.95, 0.3312},
		{"alcl3-liquid", "Al", quantity.AsAlCl3, 20.24, 1.126},
		{"alcl3-liquid", "Al", quantity.AsAlCl3x6, 11.18, 0.622},
		{"ach", "Al", quantity.AsAl, 100, 0.927},
		{"koh-45", "", quantity.AsKOH, 0, -0.892},
		{"khco3", "", quantity.AsKHCO3, 0, -0.500},
		{"ag-lime", "", quantity.AsLimestone, 0, -1.000},
		{"dolomite", "", quantity.AsDolomite, 0, -1.086},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		one := quantity.Dose{Concentration: 1, Basis: x.basis}
		used, err := p.AlkalinityUsed(one)
		if err != nil || math.Abs(float64(used)/x.alkalinity-1) > 0.003 {
			t.Errorf("1 mg %s takes %v (%v), want %g", x.basis, used, err, x.alkalinity)
		}
		if p.Metal() != x.metal {
			t.Errorf("%s holds %q", x.id, p.Metal())
		} else if x.metal != "" {
			if al, err := Convert(one, p, quantity.AsAl); err != nil || math.Abs(100*float64(al.Concentration)/x.share-1) > 0.002 {
				t.Errorf("%s holds %v (%v), want %g %%", x.basis, al, err, x.share)
			}
		}
	}
	// Polyferric sulfate of basicity 8 and 16 % takes 2.47 and 2.26 mg CaCO3 per mg of iron; the catalogue's 12 % lies half way.
	pfs, _ := Default().Find("polyferric")
	if used, err := pfs.AlkalinityUsed(quantity.Dose{Concentration: 1, Basis: quantity.AsFe}); err != nil || math.Abs(float64(used)-2.365) > 0.006 {
		t.Errorf("polyferric takes %v (%v)", used, err)
	}
}

// What the double alums leave of 10 mg/L, from atomic weights (K 39.098, N 14.007, sulfate 96.056, formula masses
// 474.37 and 453.31): two sulfates each, one potassium or one ammonium, beside the aluminium.
func TestDoubleAlumsLeaveAllTheirIons(t *testing.T) {
	for _, x := range []struct {
		id                           string
		basis                        quantity.Basis
		sulfate, potassium, ammoniaN float64
	}{
		{"potash-alum", quantity.AsPotashAlum, 10 * 2 * 96.056 / 474.37, 10 * 39.098 / 474.37, 0},
		{"ammonium-alum", quantity.AsAmmoniumAlum, 10 * 2 * 96.056 / 453.31, 0, 10 * 14.007 / 453.31},
		{"alum-liquid", quantity.AsAlum14, 10 * 3 * 96.056 / 594.35, 0, 0},
	} {
		p, err := Default().Find(x.id)
		if err != nil {
			t.Fatal(err)
		}
		d := quantity.Dose{Concentration: 10, Basis: x.basis}
		_, sulfate, err := p.AnionAdded(d)
		if err != nil {
			t.Fatal(err)
		}
		k, _ := p.ElementAdded(d, "K")
		n, _ := p.AmmoniaAdded(d)
		near(t, x.id+" sulfate", float64(sulfate), x.sulfate, 0.002)
		near(t, x.id+" potassium", float64(k), x.potassium, 0.001)
		near(t, x.id+" ammonia as N", float64(n), x.ammoniaN, 0.0005)
	}
}
