package clarify

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestMixedTankByHand: 60 m3 at 12 m3/h of which a pass takes 60 % above 4 NTU, from 80: 4 + 76·exp(−0.12·t), worked out apart
// from this program; with 0.5 NTU/h coming in it settles at 4 + 0.5·60/7.2 = 8.1667.
func TestMixedTankByHand(t *testing.T) {
	k := plain()
	k.Removal, k.Floor = 0.6, 4
	for hours, want := range map[float64]float64{2.5: 60.3022, 5: 45.7097, 10: 26.8908, 20: 10.8946, 40: 4.6255} {
		k.Stop = want
		near(t, "hours to a reading", float64(cleaned(t, k).Time), hours, 2e-3)
	}
	k.Rise = 0.5
	near(t, "plateau", k.Plateau(0.6), 8.1667, 1e-5)
	k.Stop = 29.8025
	near(t, "hours with solids coming in", float64(cleaned(t, k).Time), 10, 1e-5)
	// A mixed tank that a pass clears has lost 63.2 % after one volume (a question page prints 63.2).
	k = plain()
	k.Removal, k.Start, k.Stop = 1, 100, 100*(1-0.6321)
	near(t, "a volume takes 63.21 %", cleaned(t, k).Turnovers, 1, 2e-4)
	near(t, "the same, by the formula", TurnoversFor(quantity.Fraction(1-math.Exp(-1)), 1), 1, 1e-12)
}
