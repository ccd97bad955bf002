package water

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// Un-ionised ammonia of fresh water by Emerson et al. 1975, worked out from pKa = 0.09018 + 2729.92/T apart from this
// program: pKa at 5 to 30 C, and percent of total ammonia at 10, 15, 20 and 25 C.
func TestEmerson(t *testing.T) {
	for c, want := range map[quantity.Temperature]float64{5: 9.9047, 10: 9.7314, 15: 9.5641, 20: 9.4025, 25: 9.2464, 28: 9.1552, 30: 9.0954} {
		if got := AmmoniaPKa(c); math.Abs(got-want) > 0.00006 {
			t.Errorf("%v: pKa %.5f, want %g", c, got, want)
		}
	}
	for ph, row := range map[quantity.PH][4]float64{7: {0.185, 0.272, 0.394, 0.564}, 7.5: {0.583, 0.855, 1.236, 1.762},
		8: {1.822, 2.656, 3.807, 5.366}, 8.5: {5.544, 7.942, 11.12, 15.21}} {
		for i, c := range []quantity.Temperature{10, 15, 20, 25} {
			s := State{PH: ph}
			s.Temperature = c
			if got := 100 * float64(s.UnionisedFraction()); math.Abs(got/row[i]-1) > 0.003 {
				t.Errorf("pH %v, %v: %.4f %%, want %g", ph, c, got, row[i])
			}
		}
	}
}

// Clegg and Whitfield 1995 count pH on the free scale, which lies below a meter's in sea water; where there is no salt
// both are one: 0.0183 of it at 10 C and 0.0539 at 25 C is NH3 at pH 8 (their published check), within 3 %.
func TestCleggAndWhitfieldInFreshWater(t *testing.T) {
	for c, want := range map[quantity.Temperature]float64{10: 0.0183, 25: 0.0539} {
		s := State{PH: 8}
		s.Temperature = c
		if got := float64(s.UnionisedFraction()); math.Abs(got/want-1) > 0.03 {
			t.Errorf("%v: %.4f, want %g", c, got, want)
		}
	}
}
