package solids

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestSolidsOfPureProducts: plain hydroxide that a mg of each makes, by IUPAC's atomic masses (Al(OH)3 2.891 per mg of aluminium,
// Fe(OH)3 1.914 per mg of iron), and 0.444 of dry alum with three waters bound.
func TestSolidsOfPureProducts(t *testing.T) {
	for _, x := range []struct {
		what  string
		al    float64 // mg in a mg
		fe    float64
		plain float64
	}{
		{"potash alum", 26.982 / 474.38, 0, 0.164}, {"ammonium alum", 26.982 / 453.31, 0, 0.172},
		{"aluminium chloride, 6 waters", 26.982 / 241.42, 0, 0.323}, {"aluminium chloride", 26.982 / 133.33, 0, 0.585},
		{"alum, 14 waters", 2 * 26.982 / 594.34, 0, 0.2625}, {"aluminium", 1, 0, 2.891}, {"iron", 0, 1, 1.914},
	} {
		r, _ := Dry(Water{Al: quantity.Concentration(x.al), Fe: quantity.Concentration(x.fe)})
		near(t, x.what, float64(r.Low), x.plain, 0.0006)
	}
	r, _ := Dry(Water{Al: 2 * 26.982 / 594.34})
	near(t, "alum with bound water", float64(r.Likely), 0.444, 0.0006)
	// 3.5 % thickened to 7.7 % shrinks 2.2 times (Spellman, wastewater operators, example 10.13).
	near(t, "thickened", float64(VolumeOf(100, 0.035, 1)/VolumeOf(100, 0.077, 1)), 2.2, 1e-9)
}
