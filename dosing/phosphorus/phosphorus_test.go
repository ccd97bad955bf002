package phosphorus

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// The manual gives each row by weight too: 1.2, 1.5 and 2.0 kg of aluminium, which are 13, 16 and 22 kg of
// alum (9.1 % Al), for each kg of phosphorus (EPA 625/1-76-001a, from memory).
func TestNeedsByWeight(t *testing.T) {
	for i, want := range []struct{ removal, al, alum float64 }{{0.75, 1.2, 13}, {0.85, 1.5, 16}, {0.95, 2.0, 22}} {
		n := Needs()[i]
		weight := n.Ratio * 26.982 / 30.974
		near(t, "removal", float64(n.Removal), want.removal, 0)
		near(t, "aluminium", weight, want.al, 0.01)
		near(t, "alum", weight/0.091, want.alum, 0.55)
	}
}

// 60 mg/L FeCl3 is 60/162.2 = 0.370 mmol, 6 mg/L P is 6/30.974 = 0.194: 1.91.
func TestRatio(t *testing.T) {
	r, ok := Ratio(quantity.Molarity(60/162.2), 6)
	if near(t, "ratio", r, 1.910, 0.001); !ok {
		t.Error("not told")
	}
	if _, ok := Ratio(1, 0); ok {
		t.Error("a ratio to no phosphorus")
	}
}

// Along the rows, straight between them: half of 1.38 takes half of 75 %, 1.55 lies midway to 1.72.
func TestExpected(t *testing.T) {
	for ratio, want := range map[float64]float64{0: 0, 0.69: 0.375, 1.38: 0.75, 1.55: 0.80, 1.72: 0.85, 2.01: 0.90, 2.3: 0.95, 5: 0.95} {
		near(t, "expected", float64(Expected(ratio)), want, 1e-9)
	}
}

// A mole of phosphorus makes 121.95 g of AlPO4 of 26.98 of aluminium, 150.82 of FePO4 of 55.845 of iron
// (IUPAC weights); no more than the metal can hold.
func TestPhosphateSolids(t *testing.T) {
	for metal, want := range map[string][2]float64{"Al": {26.982, 121.953}, "Fe": {55.845, 150.816}} {
		bound, made := Solids(metal, 1, 15.487)
		near(t, metal+" bound", float64(bound), want[0]/2, 0.01)
		near(t, metal+" made", float64(made), want[1]/2, 0.01)
	}
	bound, made := Solids("Al", 0.25, 15.487)
	near(t, "short of metal", float64(made), 121.953/4, 0.01)
	near(t, "all of it", float64(bound), 26.982/4, 0.01)
}

// The ratio for a removal is the other way along the same rows: 83.87 % lies 8.87 of the 10 from 75 to 85, 1.38 + 0.887·0.34.
// Half of 75 % needs half of 1.38; nothing needs nothing, and above 95 % the table does not reach.
func TestRatioFor(t *testing.T) {
	for _, c := range []struct {
		removal, want float64
		ok            bool
	}{{0.8387, 1.68158, true}, {0.375, 0.69, true}, {0.95, 2.3, true}, {0.9501, 0, false}, {0, 0, false}} {
		r, ok := RatioFor(quantity.Fraction(c.removal))
		if near(t, "ratio", r, c.want, 1e-5); ok != c.ok {
			t.Errorf("%g: %v", c.removal, ok)
		}
		if ok {
			near(t, "and back", float64(Expected(r)), c.removal, 1e-9)
		}
	}
}
