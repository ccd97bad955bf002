package quantity

import (
	"math"
	"testing"
)

// TestMetals: bases convert through their metal, and use up the alkalinity that the
// usual hand figures say (alum 0.505, FeCl3 0.92 mg CaCO3 per mg: 3 x 50.04 / 162.2).
func TestMetals(t *testing.T) {
	for _, c := range []struct {
		from, to Basis
		want     float64
		ok       bool
	}{
		{AsAlum14, AsAl, 0.0908, true}, {AsAl, AsAlum14, 11.01, true}, {AsAl2O3, AsAl, 0.5293, true}, {AsAlum14, AsAlum14, 1, true},
		{AsFeCl3, AsFe, 0.3443, true}, {AsFeCl3x6, AsFeCl3, 0.6001, true}, {AsAl, AsFe, 0, false}, {AsProduct, AsAl, 0, false},
		{NotStated, NotStated, 1, false},
	} {
		got, ok := c.from.As(c.to)
		if ok != c.ok || ok && math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%s as %s = %.5g, %v; want %g, %v", c.from, c.to, got, ok, c.want, c.ok)
		}
	}
	for _, c := range []struct {
		b    Basis
		want float64
	}{{AsAlum14, 0.505}, {AsAl, 5.564}, {AsFeCl3, 0.9256}, {AsFe2SO43, 0.7509}, {AsFeSO4x7, 0.3600}} {
		if got, ok := c.b.AcidPer(); !ok || math.Abs(got/c.want-1) > 1e-3 {
			t.Errorf("%s uses %.5g, want %g", c.b, got, c.want)
		}
	}
	if _, ok := AsActive.AcidPer(); ok {
		t.Error("a polymer uses no alkalinity that could be told")
	}
}
