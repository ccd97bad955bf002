package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestDrySolidsOfACleanUpRangeAsADay: 32 NTU of 14 m3 at 1.5 mg/L an NTU are 672 g, 0.7 to 2.2 of them in eight waters of ten 313.6 g to 985.6 g. What a site says of its solids goes before the factor's range.
func TestDrySolidsOfACleanUpRangeAsADay(t *testing.T) {
	for _, x := range []struct {
		doubt     quantity.Fraction
		low, high float64
	}{{0, 313.6, 985.6}, {0.1, 604.8, 739.2}} {
		in := CleaningInput{Alone: true, Name: "tank", SolidsDoubt: x.doubt}
		in.Tank = clarify.Tank{Volume: 14000, Flow: 1.5, Start: 40, Stop: 8, Removal: 0.8, Key: jartest.Turbidity, Share: 0.02}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		if low, high := float64(c.Waste.Dry.Low)*1000, float64(c.Waste.Dry.High)*1000; c.Waste.Dry.Likely <= 0 || math.Abs(low-x.low) > 0.5 || math.Abs(high-x.high) > 0.5 {
			t.Errorf("%v: %g to %g g, not %g to %g", x.doubt, low, high, x.low, x.high)
		}
	}
}
