package day

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// within fails unless two numbers agree within a tolerance.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// Atomic masses of IUPAC (abridged values, from memory): Al 26.982, Fe 55.845, S 32.06,
// O 15.999, H 1.008, Cl 35.45, Na 22.990, C 12.011, Ca 40.078.
const (
	alum14 = 2*26.982 + 3*(32.06+4*15.999) + 14*(2*1.008+15.999) // 594.35
	feCl3  = 55.845 + 3*35.45
	caCO3  = 40.078 + 12.011 + 3*15.999
	na2CO3 = 2*22.990 + 12.011 + 3*15.999
)

// TestEffects: what 1 mg/L does, by stoichiometry. Alum's two Al take 3 equivalents
// each, of half a CaCO3; iron(III) chloride's one takes 3; soda ash gives 2.
func TestEffects(t *testing.T) {
	const al = 2 * 26.982 / alum14
	for _, x := range []struct {
		product                                    string
		basis                                      quantity.Basis
		strength, active, alkalinity, al, fe, floc float64
	}{
		{"alum-liquid", quantity.AsAlum14, 0.485, 1, 2 * 3 * caCO3 / 2 / alum14, al, 0, 0},
		{"alum-liquid", quantity.AsProduct, 1, 0.485, 0.485 * 2 * 3 * caCO3 / 2 / alum14, 0.485 * al, 0, 0},
		{"alum-liquid", quantity.AsAl, 0.485 * al, 1, 3 * caCO3 / 2 / 26.982, 1, 0, 0},
		{"ferric-chloride", quantity.AsFeCl3, 0.40, 1, 3 * caCO3 / 2 / feCl3, 0, 55.845 / feCl3, 0},
		{"soda-ash", quantity.AsNa2CO3, 0.99, 1, -caCO3 / na2CO3, 0, 0, 0},
		{"apam-dry", quantity.AsProduct, 1, 0.90, 0, 0, 0, 0.90},
		{"apam-dry", quantity.AsActive, 0.90, 1, 0, 0, 0, 1},
	} {
		p, err := product.Default().Find(x.product)
		if err != nil {
			t.Fatal(err)
		}
		e, notes, err := EffectsOf(p, x.product, x.basis)
		if err != nil || len(notes) > 0 {
			t.Errorf("%s %s: %v %v", x.product, x.basis, err, notes)
		}
		what := x.product + " " + string(x.basis) + ": "
		within(t, what+"strength", float64(e.Strength.V), x.strength, 1e-4)
		within(t, what+"active", float64(e.Active.V), x.active, 1e-4)
		within(t, what+"alkalinity", float64(e.AlkalinityUse), x.alkalinity, 2e-3)
		within(t, what+"Al", float64(e.Al), x.al, 1e-4)
		within(t, what+"Fe", float64(e.Fe), x.fe, 1e-4)
		within(t, what+"floc", float64(e.Floc), x.floc, 1e-12)
		within(t, what+"product", float64(e.Product()), 1/x.strength, 2e-2)
		if !e.Strength.OK || !e.Active.OK {
			t.Errorf("%s%+v", what, e)
		}
	}
}

// TestEffectsUnknown: what lacks figures says so and takes the safe side.
func TestEffectsUnknown(t *testing.T) {
	own := product.Product{Name: "our own", Group: product.Polymer, Basis: quantity.AsActive}
	e, _, err := EffectsOf(own, "our own", quantity.AsProduct)
	if err != nil || e.Floc != 1 || e.Active.OK { // all of a product of unknown strength may be polymer
		t.Errorf("%+v %v", e, err)
	}
	if e, _, err = EffectsOf(own, "our own", quantity.AsActive); err == nil || e.Floc != 1 || e.Strength.OK || !e.Active.OK || e.Product() != 1 {
		t.Errorf("%+v %v", e, err)
	}
	pacl := product.Product{Name: "our PACl", Group: product.Polyaluminium, Basis: quantity.AsAl2O3, Strength: product.Given[quantity.Fraction](0.1, "label")}
	if e, notes, err := EffectsOf(pacl, "our PACl", quantity.AsAl2O3); err != nil || len(notes) != 1 || notes[0].Code != "acidity-unknown" || math.Abs(float64(e.AlkalinityUse)-2*3*50.04/101.96) > 0.01 || e.Al == 0 || e.Floc != 0 { // 2 Al of 3 equivalents each in 101.96 g of Al2O3
		t.Errorf("%+v %v %v", e, notes, err)
	}
	bare := pacl
	bare.Strength = product.Figure[quantity.Fraction]{}
	if _, _, err := EffectsOf(bare, "bare", quantity.AsProduct); err == nil {
		t.Error("metal of an unknown strength passes")
	}
	other := product.Product{Name: "carbon", Basis: quantity.AsProduct}
	if e, _, err := EffectsOf(other, "carbon", quantity.AsProduct); err != nil || e.Active.OK || e.Floc != 0 || e.Product() != 1 {
		t.Errorf("%+v %v", e, err)
	}
	if e, _, _ := EffectsOf(own, "our own", quantity.NotStated); e.Active.OK {
		t.Errorf("a dose without basis counts %+v", e)
	}
}

// TestSolidsYield: Al(OH)3 78.00 and Al(OH)3·3H2O 132.05 over Al 26.98, iron 106.87 and
// 160.91 over 55.845, all else as it is.
func TestSolidsYield(t *testing.T) {
	y := Effects{Al: 0.09, Fe: 0.2, Floc: 0.3}.SolidsYield()
	within(t, "low", float64(y.Low), 0.09*78.004/26.982+0.2*106.867/55.845+0.3, 1e-12)
	within(t, "likely", float64(y.Likely), 0.09*132.049/26.982+0.2*160.912/55.845+0.3, 1e-12)
	within(t, "high", float64(y.High), 0.09*132.049/26.982+0.2*160.912/55.845+0.3, 1e-12)
}

func TestProduct(t *testing.T) {
	for strength, want := range map[quantity.Fraction]quantity.Ratio{0.5: 2, 1: 1, 0: 1, -1: 1} {
		if got := (Effects{Strength: quantity.Some(strength)}).Product(); got != want {
			t.Errorf("strength %v: %v of product per dose, want %v", strength, got, want)
		}
	}
	if (Effects{Strength: quantity.Known[quantity.Fraction]{V: 0.5}}).Product() != 1 {
		t.Error("a strength that is not known counts")
	}
}
