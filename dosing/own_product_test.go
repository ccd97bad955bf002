package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// What a row can say of a product of the user's own so that it counts in the alkalinity of the water, each for 10 mg/L on its own basis: what he
// measured on a jar (0.45 a mg is 4.5), the charge of a polymer or a name that says it (none), one substance as its basis (10 mg/L of NaOH,
// 40.00 g/mol, give 10 / 40.00 x 50.04 = 12.51). A name alone leaves it unknown.
func TestOwnProductsThatCount(t *testing.T) {
	some := func(s string) quantity.Known[string] { return quantity.Some(s) }
	for what, x := range map[string]struct {
		row   site.Chemical
		basis quantity.Basis
		takes float64
		known bool
	}{
		"name alone":        {site.Chemical{Name: some("antifoam")}, quantity.AsProduct, 0, false},
		"measured":          {site.Chemical{Name: some("antifoam"), Takes: quantity.Some(0.45)}, quantity.AsProduct, 4.5, true},
		"gives some":        {site.Chemical{Name: some("sweetener"), Takes: quantity.Some(-0.8)}, quantity.AsProduct, -8, true},
		"measured as none":  {site.Chemical{Name: some("antifoam"), Takes: quantity.Some(0.0)}, quantity.AsProduct, 0, true},
		"charge":            {site.Chemical{Name: some("ZetaClear 44"), Charge: some("anionic")}, quantity.AsProduct, 0, true},
		"charge by name":    {site.Chemical{Name: some("cationic flocculant")}, quantity.AsProduct, 0, true},
		"its substance":     {site.Chemical{Name: some("lye of ours"), Strength: quantity.Some(quantity.Fraction(0.2)), Counts: quantity.Some(quantity.AsNaOH)}, quantity.AsNaOH, -12.51, true},
		"metal of a liquor": {site.Chemical{Name: some("brand x"), Strength: quantity.Some(quantity.Fraction(0.05)), Counts: quantity.Some(quantity.AsAl)}, quantity.AsAl, 0, false},
	} {
		x.row.Basis = quantity.Some(x.basis)
		p, _, err := ProductOf(x.row, x.basis, product.Default())
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		got, err := p.AlkalinityUsed(quantity.Dose{Concentration: 10, Basis: x.basis})
		if (err == nil) != x.known || x.known && math.Abs(float64(got)-x.takes) > 0.01 {
			t.Errorf("%s: %v, %v", what, got, err)
		}
	}
	p, _, err := ProductOf(site.Chemical{Name: some("cationic flocculant"), Basis: quantity.Some(quantity.AsProduct)}, quantity.AsProduct, product.Default())
	if err != nil || !p.IsPolymer() || p.Charge != product.Cationic {
		t.Errorf("%+v, %v", p, err)
	}
}
