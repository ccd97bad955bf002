package flotation

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// Published answers of F. R. Spellman's wastewater operators' examples 10.11 to 10.15 and of the VRWA's quiz of spring
// 2012 (whose answer was not seen: 9.311 is the sum done apart), in their own units.
func TestThickenersOfOperators(t *testing.T) {
	disc := func(feet float64) quantity.Known[quantity.Area] {
		return quantity.Some(quantity.Area(math.Pi * feet * feet / 4 * 0.09290304))
	}
	gpd := func(v float64) quantity.Flow { return quantity.Flow(v * 3.785411784 / 1000 / 24) }
	const perFoot = 24 / 4.882427636 // kg/m2/h in lb/ft2/d
	for _, x := range []struct {
		what          string
		diameter, gpd float64
		percent       float64
		want, within  float64
	}{
		{"10.12, 1.6 % on 50 ft", 50, 39000, 1.6, 2.652, 0.003},
		{"quiz, 3.2 % on 25 ft radius", 50, 68500, 3.2, 9.311, 0.01},
	} {
		s := (Unit{Area: disc(x.diameter)}).At(gpd(x.gpd), quantity.Concentration(x.percent*1e4))
		if got := float64(s.Solids.V) * perFoot; !s.Solids.OK || math.Abs(got-x.want) > x.within {
			t.Errorf("%s: %.4f lb/ft2/d, want %g", x.what, got, x.want)
		}
	}
	// 32,000 gpd on 70 ft across are 8.32 gpd/ft2 (10.11); 140 gpm of recycle on 80 are 175 % (10.15).
	s := (Unit{Area: disc(70), White: quantity.Some(quantity.Flow(0))}).At(gpd(32000), 0)
	if got := float64(s.Loading.V) / (0.001 * 3.785411784 / 0.09290304 / 24); !s.Loading.OK || math.Abs(got-8.319) > 0.01 {
		t.Errorf("10.11: %.3f gpd/ft2", got)
	}
	s = (Unit{Area: disc(50), White: quantity.Some(gpd(140 * 1440))}).At(gpd(80*1440), 0)
	if !s.Recycle.OK || math.Abs(float64(s.Recycle.V)-1.75) > 1e-9 {
		t.Errorf("10.15: recycle %v", s.Recycle)
	}
	// 13 cubic feet a minute at 0.075 lb/ft3 on 50 gpm of 0.85 % are 0.28 (10.14; 0.2751 by the sum, with air of 1.201 g/L).
	s = (Unit{Source: AirPump, Drawn: quantity.Some(quantity.Flow(13 * 0.028316846592 * 60)), Water: Water{Temperature: 20}}).At(gpd(50*1440), 8500)
	if !s.AirToSolids.OK || math.Abs(float64(s.AirToSolids.V)-0.2751) > 0.001 {
		t.Errorf("10.14: air to solids %v", s.AirToSolids)
	}
}

// Loads in m/h are 60 to 80 as 25 to 33 gpm/ft2, 20 to 35 as 8 to 14 (Voutchkov 2017, p. 145), 30 to 40 as 12 to 16
// (Edzwald et al., Journal AWWA).
func TestLoadsInUSUnits(t *testing.T) {
	for mh, want := range map[quantity.Loading]float64{60: 25, 80: 33, 20: 8, 35: 14, 30: 12, 40: 16} {
		if got := mh.In("gpm/ft2"); math.Abs(got-want) > 0.5 {
			t.Errorf("%v is %.2f gpm/ft2, want %g", mh, got, want)
		}
	}
}
