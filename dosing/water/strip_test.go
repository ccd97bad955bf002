package water

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// henryPB is Henry's constant of carbon dioxide in fresh water, mol/(L·atm) (Plummer and Busenberg 1982, Geochimica et
// Cosmochimica Acta 46:1011-1040; read in two sources that copy it, 0.03404 at 25 C: log KH = -1.468).
func henryPB(c float64) float64 {
	t := c + 273.15
	return math.Pow(10, 108.3865+0.01985076*t-6919.53/t-40.45154*math.Log10(t)+669365/(t*t))
}

// TestStripperByPlummerBusenberg: what one stage removes by constants that this package does not work with, R from 22.414 L a
// mole at 0 C: at 25 C H is 1.20, so that air as much as the water takes 1.20/2.20 = 54.6 %, twice 70.6 %, five times 85.7 %, ten times 92.3 %.
func TestStripperByPlummerBusenberg(t *testing.T) {
	for c := 0.0; c <= 35; c += 0.5 {
		s := StripperAt(Conditions{Temperature: quantity.Temperature(c)})
		h := 1 / (henryPB(c) * 22.414 * (c + 273.15) / 273.15)
		if math.Abs(s.Henry/h-1) > 0.006 {
			t.Errorf("%g C: H %g, by Plummer and Busenberg %g", c, s.Henry, h)
		}
		for _, air := range []float64{1, 2, 5, 10} {
			if got, want := float64(s.Removes(air)), h*air/(1+h*air); math.Abs(got-want) > 0.002 {
				t.Errorf("%g C, %g of air: %g, want %g", c, air, got, want)
			}
		}
	}
	s := StripperAt(Conditions{Temperature: 25})
	for air, want := range map[float64]float64{1: 0.546, 2: 0.706, 5: 0.857, 10: 0.923} {
		if got := float64(s.Removes(air)); math.Abs(got-want) > 0.001 {
			t.Errorf("%g of air: %g, want %g", air, got, want)
		}
	}
	// 420 ppm over fresh water of 25 C: 0.03404 × 420e-6 × 44.01 g are 0.629 mg/L.
	if math.Abs(float64(s.Air)-0.629) > 0.002 {
		t.Errorf("air gives %g", float64(s.Air))
	}
	if sea := StripperAt(Conditions{Temperature: 25, Salinity: 35}); sea.Henry <= s.Henry*1.1 || sea.Henry >= s.Henry*1.25 { // K0 is a sixth less: 0.02839 to 0.03406
		t.Errorf("sea water: %g against %g", sea.Henry, s.Henry)
	}
}

// TestStagesByCounting: stages one by one, each a balance of what water and air bring and take away, until the limit is met.
func TestStagesByCounting(t *testing.T) {
	s := StripperAt(Conditions{Temperature: 15})
	for _, x := range []struct{ co2, limit, air float64 }{{40, 15, 1}, {40, 15, 2}, {25, 5, 1}, {60, 2, 5}, {16, 15, 10}, {15, 15, 1}} {
		c, n := x.co2, 0
		for ; c > x.limit; n++ { // water c + air·H·(what fresh air holds) = out·(1 + air·H)
			c = (c + x.air*s.Henry*float64(s.Air)) / (1 + x.air*s.Henry)
		}
		got, ok := s.Stages(quantity.Concentration(x.co2), quantity.Concentration(x.limit), x.air)
		if !ok || got != n {
			t.Errorf("%+v: %d stages, counted %d", x, got, n)
		}
		if left := s.After(quantity.Concentration(x.co2), x.air, n); math.Abs(float64(left)-c) > 1e-9 {
			t.Errorf("%+v: leaves %g, counted %g", x, float64(left), c)
		}
	}
	if _, ok := s.Stages(40, s.Air/2, 10); ok {
		t.Error("air strips below what air gives")
	}
	if _, ok := s.Side(10, 40, s.Air/2, 10); ok {
		t.Error("a side stream strips below what air gives")
	}
}

// TestSideStreamByStepping: a tank stepped by the second, with water of 40 mg/L coming in and the side stream going round one
// stage, settles at the limit.
func TestSideStreamByStepping(t *testing.T) {
	s := StripperAt(Conditions{Temperature: 20})
	side, ok := s.Side(6, 40, 15, 2)
	if !ok {
		t.Fatal("none")
	}
	c, v := 40.0, 20.0
	for range 100 * 3600 {
		out := float64(s.After(quantity.Concentration(c), 2, 1))
		c += (6*(40-c) + float64(side)*(out-c)) / v / 3600
	}
	if math.Abs(c-15) > 1e-6 {
		t.Errorf("%g m3/h hold %g", float64(side), c)
	}
	if side, ok := s.Side(6, 12, 15, 2); side != 0 || !ok {
		t.Errorf("nothing to strip takes %g", float64(side))
	}
}

// TestBicarbonateGivesLittleBack: taken out of a closed water of unchanged alkalinity, the carbon dioxide that a stage leaves is that
// which the whole carbonate system then holds, to a few hundredths of a mg/L at the pH of waters that were dosed with acid.
func TestBicarbonateGivesLittleBack(t *testing.T) {
	c := Conditions{Temperature: 15}
	before, err := FromAlkalinityCO2(c, 85, 40)
	if err != nil {
		t.Fatal(err)
	}
	left := StripperAt(c).After(40, 2, 1)
	gone := quantity.Molarity(float64(40-left) / co2PerMmol)
	after, _ := Dose(before, Addition{Carbonate: -gone})
	if math.Abs(float64(after.CO2-left)) > 0.1 {
		t.Errorf("%g mg/L are left, %g once it has settled", float64(left), float64(after.CO2))
	}
}
