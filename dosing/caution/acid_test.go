package caution

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// What a dose brings of acid, carbonate and metal, by the formulas of what it is counted as (molar masses: alum 14-hydrate 594.4, FeCl3 162.2, sodium bicarbonate
// 84.007, soda ash 105.99, caustic soda 39.997, hydrated lime 74.09; an equivalent is 50.04 mg of CaCO3). 30 mg/L of alum are 6 x 30/594.4 = 0.3028 meq/L, 15.15 mg/L.
func TestWhatADoseBringsOfAcid(t *testing.T) {
	for _, x := range []struct {
		id               string
		mgL              float64
		basis            quantity.Basis
		acid             float64 // mg/L CaCO3
		carbonate, metal float64 // mmol/L
	}{
		{"alum-dry", 30, quantity.AsAlum14, 50.04 * 6 * 30 / 594.4, 0, 2 * 30 / 594.4},
		{"ferric-chloride", 20, quantity.AsFeCl3, 50.04 * 3 * 20 / 162.2, 0, 20 / 162.2},
		{"bicarbonate", 84.007, quantity.AsNaHCO3, -50.04, 1, 0},
		{"soda-ash", 105.99, quantity.AsNa2CO3, -2 * 50.04, 1, 0},
		{"caustic-soda", 39.997, quantity.AsNaOH, -50.04, 0, 0},
		{"lime", 74.09, quantity.AsCaOH2, -2 * 50.04, 0, 0},
		{"gypsum", 300, quantity.AsGypsum, 0, 0, 0},
		{"calcium-chloride", 300, quantity.AsCaCl2, 0, 0, 0},
	} {
		got, err := AdditionOf(chemical(t, x.id), quantity.Dose{Concentration: quantity.Concentration(x.mgL), Basis: x.basis})
		if err != nil {
			t.Errorf("%s: %v", x.id, err)
			continue
		}
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-3*max(math.Abs(b), 1e-3) }
		if !near(float64(got.Acid), x.acid) || !near(float64(got.Carbonate), x.carbonate) || !near(float64(got.Aluminium+got.Iron), x.metal) {
			t.Errorf("%s: %+v, want acid %g, carbonate %g, metal %g", x.id, got, x.acid, x.carbonate, x.metal)
		}
		if iron := chemical(t, x.id).Metal() == "Fe"; iron != (got.Iron > 0) || iron && got.Aluminium != 0 {
			t.Errorf("%s: %+v", x.id, got)
		}
	}
	if got, err := AdditionOf(chemical(t, "ferrous-sulfate"), quantity.Dose{Concentration: 278, Basis: quantity.AsFeSO4x7}); err != nil || got.Iron != 0 || got.Acid <= 0 {
		t.Errorf("iron(II): %+v, %v", got, err)
	}
}

// All doses together: what takes alkalinity is summed apart from what gives it, who gives it is named, what dissolves in days counts nothing at once, and what a run
// has taken goes before what its doses take. 30 mg/L of alum take 15.15, 20 of bicarbonate give 50.04 x 20/84.007 = 11.91.
func TestDosesTogether(t *testing.T) {
	alum, soda, stone := dose(t, "alum-dry", 30, quantity.AsAlum14), dose(t, "bicarbonate", 20, quantity.AsNaHCO3), dose(t, "ag-lime", 50, quantity.AsLimestone)
	v := &reviewer{s: Situation{Doses: []Dose{alum, soda, stone}}}
	sum, takes, givers := v.addition()
	if math.Abs(float64(sum.Acid)-(15.153-11.913)) > 0.005 || math.Abs(float64(takes)-15.153) > 0.005 || len(givers) != 1 || givers[0] != soda.name() {
		t.Errorf("%+v, takes %v, %v", sum, takes, givers)
	}
	v.s.Overnight = 0.25
	v.s.Taken = known(quantity.Alkalinity(7))
	if after, takes, _ := v.addition(); after.Acid != 7 || math.Abs(float64(after.Carbonate-sum.Carbonate)-0.25) > 1e-9 || math.Abs(float64(takes)-15.153) > 0.005 {
		t.Errorf("%+v, takes %v", after, takes)
	}
	v.s.Doses = []Dose{{Name: "own", Product: product.Product{Name: "own"}, Dose: quantity.Dose{Concentration: 5, Basis: quantity.AsProduct}}}
	v.s.Taken.OK, v.s.Overnight = false, 0
	if sum, takes, givers := v.addition(); sum != (water.Addition{}) || takes != 0 || givers != nil {
		t.Errorf("of nobody's making: %+v, %v, %v", sum, takes, givers)
	}
}
