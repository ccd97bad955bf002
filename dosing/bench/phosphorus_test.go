package bench

import (
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// By hand: 6 mg/L P is 0.1937 mmol, d mg/L FeCl3 d/162.20 mmol. 75, 85 and 95 % need 1.38, 1.72 and 2.3 times
// 0.1937 mmol, which are 43.4, 54.0 and 72.3 mg/L.
func TestPhosphorusOfJars(t *testing.T) {
	p := []float64{6, 5.0, 4.1, 3.1, 1.9, 0.9}
	s := jars("ferric chloride", quantity.AsFeCl3, map[jartest.Key][]float64{jartest.Phosphate: p}, nil)
	r, f := found(t, s, "phosphate <= 2 mg/L")
	x := f.Phosphorus
	if x == nil || !x.Planned || x.Metal != "Fe" || x.Key != jartest.Phosphate {
		t.Fatalf("%+v %v", x, r.Notes)
	}
	moles, raw := float64(r.Planning.Concentration)/162.20, 6/30.974
	near(t, "used", x.Used, moles/raw, 0.002)
	near(t, "for each taken out", x.Taken.V, moles/(raw-float64(x.Left)/30.974), 0.002)
	if x.Left < 1.2 || x.Left > 2 {
		t.Errorf("left %v", x.Left)
	}
	for i, want := range []float64{43.4, 54.0, 72.3} {
		near(t, "dose needed", float64(x.Needs[i].Dose), want, 0.06)
	}
	total := jars("alum", quantity.AsAl, map[jartest.Key][]float64{jartest.TotalPhosphorus: p}, nil)
	if _, f := found(t, total, "total_phosphorus <= 0.1 mg/L"); f.Phosphorus == nil || f.Phosphorus.Planned || f.Phosphorus.Key != jartest.TotalPhosphorus {
		t.Errorf("%+v", f.Phosphorus)
	} else { // at the best dose, 60 mg/L Al: 60/26.982 over 6/30.974
		near(t, "aluminium", f.Phosphorus.Used, float64(f.Phosphorus.Dose)/26.982/(6/30.974), 0.01)
	}
	for name, s := range map[string]jartest.Series{
		"a polymer":     jars("cationic polymer", quantity.AsActive, map[jartest.Key][]float64{jartest.Phosphate: p}, nil),
		"no phosphorus": jars("alum", quantity.AsAl, map[jartest.Key][]float64{jartest.Turbidity: turned}, nil),
	} {
		target := "phosphate <= 2 mg/L"
		if name == "no phosphorus" {
			target = "turbidity <= 8 NTU"
		}
		if _, f := found(t, s, target); f.Phosphorus != nil {
			t.Errorf("%s: %+v", name, f.Phosphorus)
		}
	}
}

// Counted as product, a 40 % solution takes 2.5 times the dose: 108.4, 135.1 and 180.7 mg/L.
func TestPhosphorusByProduct(t *testing.T) {
	s := jars("ferric-chloride", quantity.AsProduct, map[jartest.Key][]float64{jartest.Phosphate: {6, 5.0, 4.1, 3.1, 1.9, 0.9}}, nil)
	_, f := found(t, s, "phosphate <= 2 mg/L")
	if f.Phosphorus == nil || f.Phosphorus.Metal != "Fe" {
		t.Fatalf("%+v", f.Phosphorus)
	}
	for i, ratio := range []float64{1.38, 1.72, 2.3} {
		near(t, "dose needed", float64(f.Phosphorus.Needs[i].Dose), ratio*6/30.974*162.20/0.40, 0.15)
	}
}
