package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest/quantity"
)

// TestCarriageByHand: water of L/h carries a stock of so many g/L. A litre of line is passed in 3600 s over both flows in L/h. A polymer powder of
// 90 %: at 1.146 L/h of 0.8 g/L 0.825 g/h of active polymer leave with 12 + 1.146 L/h at 0.0063 %; to 0.5 and 0.1 g/L (0.05 and 0.01 %: common
// practice, no source) they want 1.65 and 8.25 L/h in all, less those of the stock. Such weak solutions weigh 0.998 kg/L.
func TestCarriageByHand(t *testing.T) {
	powder := product.Product{Group: product.Polymer, Basis: quantity.AsActive, Form: product.Dry}
	powder.Strength.V, powder.Strength.OK = 0.9, true
	alum, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	for name, x := range map[string]struct {
		p                    product.Product
		stock, rate, carrier float64 // g/L, L/h
		seconds              float64
		strength             float64 // % active at the point; zero where that is no polymer
		least, most          float64
		strong, weak         bool
	}{
		"weak":   {powder, 0.8, 1.146, 12, 3600 / 13.146, 0.0063, 1.65 - 1.146, 8.25 - 1.146, false, true},
		"usual":  {powder, 2, 10, 50, 3600.0 / 60, 0.030, 36 - 10, 180 - 10, false, false},
		"strong": {powder, 5, 10, 20, 3600.0 / 30, 0.15, 90 - 10, 450 - 10, true, false},
		"alum":   {alum, 0, 2, 118, 30, 0, 0, 0, false, false},
	} {
		f := Feed{Fed: true, Rate: quantity.FeedRate(x.rate * 1000 / 60)}
		f.Post, f.Stock = quantity.Flow(x.carrier/1000), Stock{Product: x.p, PerLitre: quantity.Concentration(1000 * x.stock)}
		f.AtPoint = f.Stock.PercentByMass() * quantity.Fraction(x.rate/(x.rate+x.carrier))
		c, ok := f.Carriage()
		if !ok || math.Abs(c.Litre.In("s")-x.seconds) > 1e-6*x.seconds || c.Polymer != (x.strength > 0) || c.Strong() != x.strong || c.Weak() != x.weak {
			t.Errorf("%s: %+v %v", name, c, ok)
		}
		for what, w := range map[string][2]float64{"strength": {c.Strength.In("%"), x.strength}, "least": {c.Least.In("L/h"), x.least},
			"most": {c.Most.In("L/h"), x.most}} {
			if math.Abs(w[0]-w[1]) > 0.015*w[1] {
				t.Errorf("%s: %s %g, by hand %g", name, what, w[0], w[1])
			}
		}
	}
	if _, ok := (Feed{Fed: true, Rate: 10}).Carriage(); ok {
		t.Error("nothing carries it")
	}
}
