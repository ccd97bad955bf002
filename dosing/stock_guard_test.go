package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

func byHand(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %.9g, by hand %.9g", what, got, want)
	}
}

// TestStockByHand: 200 L at 50 g/L of a liquid of 1.33 kg/L: 10 kg or 7.5188 L of it. Volumes are taken to add up, so
// the rest of a litre, 1 − 0.05/1.33, is water of 0.998: density 0.05 + 0.998 × 0.962406 = 1.010481, by mass 4.9481 %;
// water 200 × 0.962406 = 192.481 L.
func TestStockByHand(t *testing.T) {
	liquid := product.Product{Name: "liquid", Form: product.Liquid}
	liquid.Density.V, liquid.Density.OK = 1.33, true
	s := Stock{Product: liquid, PerLitre: 50e3}
	byHand(t, "density", float64(s.DensityOfStock()), 1.010481, 1e-6)
	byHand(t, "by mass", s.PercentByMass().In("%"), 4.94814, 1e-4)
	r, err := s.Recipe(200)
	if err != nil {
		t.Fatal(err)
	}
	byHand(t, "product", float64(r.Product), 10, 1e-12)
	byHand(t, "its volume", float64(r.ProductVolume), 10/1.33, 1e-9)
	byHand(t, "water", float64(r.Water), 192.4812, 1e-3)
	byHand(t, "final", float64(r.Final), 200, 0)
	// Dry: 2 g/L of powder takes half its mass as volume, 0.002 + 0.998 × 0.999 = 0.999002; water 199.8 L in 200.
	dry := Stock{Product: product.Product{Form: product.Dry}, PerLitre: 2000}
	byHand(t, "density of a dry one", float64(dry.DensityOfStock()), 0.999002, 1e-9)
	if r, err = dry.Recipe(200); err != nil {
		t.Fatal(err)
	}
	byHand(t, "powder", float64(r.Product), 0.4, 1e-12)
	byHand(t, "its water", float64(r.Water), 199.8, 1e-9)
	byHand(t, "no volume of powder", float64(r.ProductVolume), 0, 0)
	// A measured density goes before the estimate: 50/1020 by mass, 970 g of water in a litre.
	s.Density = 1.02
	byHand(t, "measured", s.PercentByMass().In("%"), 100*50/1020.0, 1e-9)
	if r, err = s.Recipe(1); err != nil {
		t.Fatal(err)
	}
	byHand(t, "water of the measured", float64(r.Water), 0.97/0.998, 1e-9)
	// Neat: 1.33 kg in a litre, all of it product; no recipe.
	neat := Stock{Product: liquid}
	per, err := neat.ProductPerLitre()
	if err != nil || !neat.Neat() {
		t.Fatal(err)
	}
	byHand(t, "neat", per.In("g/L"), 1330, 1e-9)
	byHand(t, "neat by mass", float64(neat.PercentByMass()), 1, 0)
	byHand(t, "neat density", float64(neat.DensityOfStock()), 1.33, 0)
	if _, err = neat.Recipe(10); err == nil {
		t.Error("a neat product has a recipe")
	}
	// A litre cannot hold more than a litre.
	if _, err = (Stock{Product: liquid, PerLitre: 1331e3}).Recipe(10); err == nil {
		t.Error("1331 g/L of a liquid of 1330")
	}
	if _, err = (Stock{Product: product.Product{Form: product.Dry}}).ProductPerLitre(); err == nil {
		t.Error("a dry product is fed neat")
	}
	weightless := liquid
	if weightless.Density.V = 0; weightless.Density.OK {
		if _, err = (Stock{Product: weightless}).ProductPerLitre(); err == nil {
			t.Error("a liquid that weighs nothing")
		}
	}
	if _, err = (Stock{Product: product.Product{Form: product.Liquid}}).ProductPerLitre(); err == nil {
		t.Error("a neat liquid of unknown density")
	}
}

// TestDilute: 100 kg at 5 % from 40 %: 12.5 kg and 87.5 kg of water; a factor of eight.
func TestDilute(t *testing.T) {
	d, err := Dilute(100, 0.4, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	byHand(t, "strong", float64(d.Strong), 12.5, 1e-12)
	byHand(t, "water", float64(d.Water), 87.5, 1e-12)
	byHand(t, "final", float64(d.Final), 100, 0)
	if d, err = Dilute(100, 0.4, 0.4); err != nil || d.Water != 0 {
		t.Errorf("as strong as it was: %v %v", d, err)
	}
	if d, err = Dilute(100, 0.4, 0); err != nil || d.Strong != 0 || d.Water != 100 {
		t.Errorf("water alone: %v %v", d, err)
	}
	for _, c := range [][2]quantity.Fraction{{0.05, 0.4}, {0, 0}, {0.4, -0.1}, {-0.1, -0.2}, {quantity.Fraction(math.NaN()), 0.1}} {
		if _, err := Dilute(100, c[0], c[1]); err == nil {
			t.Errorf("%v from %v passes", c[1], c[0])
		}
	}
}

// TestFeedSums: 3.6 m3/h at 25 mg/L is 90 g/h; of a stock of 50 g/L 1.8 L/h or 30 mL/min; over 10 h 0.9 kg,
// at 40 % 2.25 kg of product, of 1.25 kg/L 1.8 L.
func TestFeedSums(t *testing.T) {
	byHand(t, "feed", float64(RateFor(25, 3.6, 50e3)), 30, 1e-9)
	byHand(t, "use", float64(Use(25, 3.6, 10)), 0.9, 1e-12)
	byHand(t, "mass", float64(Mass(50e3, 18)), 0.9, 1e-12)
}
