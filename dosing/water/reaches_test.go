package water

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
)

// TestReachesAsDoseDoes: what an addition reaches without solving is what the water that [Dose] solves for has, with metals and
// salt too; within 1e-9 of that pH either may stand.
func TestReachesAsDoseDoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
		s, err := FromPHAlkalinity(Conditions{Temperature: quantity.Temperature(f(0, 35, "C")), Salinity: quantity.Salinity(f(0, 35, "salt"))},
			quantity.PH(f(6, 9, "pH")), quantity.Alkalinity(f(5, 300, "alkalinity")))
		if err != nil {
			t.Skip(err)
		}
		s.Aluminium, s.Iron = quantity.Molarity(f(0, 2, "Al")), quantity.Molarity(f(0, 2, "Fe"))
		add := Addition{Acid: quantity.Alkalinity(f(-400, 400, "acid")), Carbonate: quantity.Molarity(f(0, 4, "carbonate"))}
		ph := quantity.PH(f(3, 12, "asked"))
		closed, _ := Dose(s, add)
		if got := s.Reaches(ph)(add); got != (closed.PH >= ph) && math.Abs(float64(closed.PH-ph)) > 1e-9 {
			t.Fatalf("reaches pH %v: %v, and Dose gives %v", ph, got, closed.PH)
		}
	})
}
