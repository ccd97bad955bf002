package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/doubt"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// TestSolidsDoubt: what the site says goes before the range of the factor.
func TestSolidsDoubt(t *testing.T) {
	for _, x := range []struct {
		doubt quantity.Fraction
		r     solids.Range[quantity.Concentration]
		want  doubt.Span
	}{
		{0.25, solids.Range[quantity.Concentration]{Low: 1, Likely: 2, High: 3}, doubt.Span{Low: 0.75, High: 1.25}}, {0,
			solids.Range[quantity.Concentration]{Low: 20, Likely: 30, High: 45}, doubt.Span{Low: 2.0 / 3, High: 1.5}},
		{0, solids.Range[quantity.Concentration]{Low: 0.25, Likely: 0.5, High: 1}, doubt.Span{Low: 0.5, High: 2}}, {0,
			solids.Range[quantity.Concentration]{Low: 30, Likely: 30, High: 30}, doubt.Span{}},
		{0, solids.Range[quantity.Concentration]{}, doubt.Span{}}, {0.01, solids.Range[quantity.Concentration]{}, doubt.Span{Low: 0.99, High: 1.01}},
	} {
		if got := SolidsDoubt(x.doubt, x.r); math.Abs(float64(got.Low-x.want.Low)) > 1e-12 || math.Abs(float64(got.High-x.want.High)) > 1e-12 {
			t.Errorf("%+v: %v", x, got)
		}
	}
}
