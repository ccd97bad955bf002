package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}

func quick(t *testing.T, q Quick) Plan {
	t.Helper()
	in, err := q.Input(product.Default())
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// A hand calculation: 3.6 m3/h × 12.5 mg/L = 45 g/h of 14-hydrate; ÷ 0.485 =
// 92.7835 g/h of product; ÷ 1335 g/L = 0.0695008 L/h = 1.158346 mL/min. A day takes
// 24 × 45 g = 1.08 kg of 14-hydrate, 2.22680 kg or 1.66802 L of product.
func TestQuickByHand(t *testing.T) {
	p := quick(t, Quick{Flow: 3.6, Dose: quantity.Dose{Concentration: 12.5, Basis: quantity.AsAlum14}, Strength: 0.485, Density: 1.335, PumpMax: 10000.0 / 60})
	f := p.Feeds[0]
	near(t, "feed, mL/min", float64(f.Rate), 45/0.485/1335*1000/60, 1e-9)
	near(t, "feed, mL/min", float64(f.Rate), 1.158346, 0.00001)
	near(t, "14-hydrate, kg/d", float64(f.Active), 1.08, 1e-12)
	near(t, "product, kg/d", float64(f.Product), 2.22680, 0.00001)
	near(t, "product, L/d", float64(f.Volume), 1.66802, 0.00001)
	near(t, "setting, %", float64(f.Setting.Average.Exact.Setting), 1.158346/(10000.0/60)*100, 0.00001)
}

// The trap of a supplier data sheet: a dose as product must not be divided by the
// active strength. 45 mg/L as product × 120 m3/h ÷ 1430 g/L is 3.78 L/h, not 9.44.
func TestAsProductNeverMeetsStrength(t *testing.T) {
	d := quantity.Dose{Concentration: 45, Basis: quantity.AsProduct}
	f := quick(t, Quick{Flow: 120, Dose: d, Chemical: "ferric chloride", Strength: 0.40, Density: 1.43}).Feeds[0]
	near(t, "feed, L/h", f.Rate.In("L/h"), 3.7762, 0.0001)
	near(t, "active FeCl3, kg/d", float64(f.Active), 129.6*0.4, 1e-9)
	without := quick(t, Quick{Flow: 120, Dose: d, Density: 1.43}).Feeds[0]
	if without.Rate != f.Rate || without.HasActive {
		t.Errorf("without strength: %v, active %v", without.Rate, without.HasActive)
	}
}
