package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/product"
)

// tenInTwenty turns the end of a 90 % interval into one that is passed one time in ten: the
// standard normal quantiles at 0.9 and 0.95, 1.28155 and 1.64485.
const tenInTwenty = 1.2815515655446004 / 1.6448536269514722

// TestDrySolidsRangeAsThatOfTheProduct: 60 NTU x 1.5 x 92 % caught is 82.8 mg/L, 30 % off either way; alum of
// 10.5, 12.5 and 14 mg/L makes 2 x 132.049/594.342 of it as hydroxide, polymer of 0.15, 0.2 and
// 0.3 mg/L is 90 % dry; 86.4 m3 may be a tenth off. Each is moved to its end by itself, and what that makes
// of the whole is rooted, in logarithms.
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
	of := func(raw, alum, polymer float64) float64 { return raw + alum*2*132.049/594.342 + 0.9*polymer }
	mid := of(82.8, 12.5, 0.2)
	end := func(flow, raw, alum, polymer float64) float64 {
		a, b := 12.5*math.Pow(alum/12.5, tenInTwenty), 0.2*math.Pow(polymer/0.2, tenInTwenty)
		return math.Hypot(math.Hypot(math.Log(flow), math.Log(of(82.8*raw, 12.5, 0.2)/mid)), math.Hypot(math.Log(of(82.8, a, 0.2)/mid), math.Log(of(82.8, 12.5, b)/mid)))
	}
	low, high := mid*0.0864*math.Exp(-end(0.9, 0.7, 10.5, 0.15)), mid*0.0864*math.Exp(end(1.1, 1.3, 14, 0.3))
	d := p.Solids(s)
	near(t, "dry at least, kg", float64(d.Dry.Low), low, 5e-4)
	near(t, "dry, kg", float64(d.Dry.Likely), 7.6494, 5e-4)
	near(t, "dry at most, kg", float64(d.Dry.High), high, 5e-4)
	near(t, "float at most, L", float64(d.Float.High), high/0.02, 0.05)
	near(t, "volume at most, L", float64(d.Volume.High), high/0.02+float64(d.Carried), 0.05)
	f := p.Feeds[0].Range
	less, more := math.Hypot(tenInTwenty*math.Log(10.5/12.5), math.Log(0.9)), math.Hypot(tenInTwenty*math.Log(14/12.5), math.Log(1.1))
	near(t, "product, high over low", math.Log(float64(f.ProductHigh/f.ProductLow)), less+more, 1e-9)
}
