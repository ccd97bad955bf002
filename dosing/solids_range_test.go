package dosing

import (
	"testing"

	"jarwright/dosing/product"
)

// TestDrySolidsRangeAsThatOfTheProduct: 60 NTU x 1.5 x 92 % caught is 82.8 mg/L, 30 % off either way; alum of
// 10.5, 12.5 and 14 mg/L makes 2 x 78.004..132.049/594.342 of it as hydroxide, polymer of 0.15, 0.2 and
// 0.3 mg/L is 90 % dry; 86.4 m3 may be a tenth off. So the low end is (57.96 + 2.756 + 0.135) x 77.76 m3,
// the high one (107.64 + 6.221 + 0.27) x 95.04 m3, as the product of the same plan has both.
func TestDrySolidsRangeAsThatOfTheProduct(t *testing.T) {
	s := exampleSite(t, nil)
	in, err := FromSite(s, Given{Catalogue: product.Default()})
	if err != nil {
		t.Fatal(err)
	}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	d := p.Solids(s)
	near(t, "dry at least, kg", float64(d.Dry.Low), 4.7318, 5e-4)
	near(t, "dry, kg", float64(d.Dry.Likely), 7.6494, 5e-4)
	near(t, "dry at most, kg", float64(d.Dry.High), 10.8470, 5e-4)
	near(t, "float at most, L", float64(d.Float.High), 10.8470/0.02, 0.05)
	near(t, "volume at most, L", float64(d.Volume.High), 10.8470/0.02+float64(d.Carried), 0.05)
	f := p.Feeds[0].Range
	near(t, "product, high over low", float64(f.ProductHigh/f.ProductLow), 14*1.1/(10.5*0.9), 1e-9)
}
