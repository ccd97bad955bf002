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

// step is a loop by the second for four hundred hours and nothing but what its parts do in that second: the unit frees, stages on the way and
// in the side stream each bring water and air to balance, new water or the tank's own losses and what is breathed out go on.
func step(r Round, air float64, stages int, side quantity.Flow) float64 {
	balance := func(c float64) float64 { return (c + air*r.Henry*float64(r.Air)) / (1 + air*r.Henry) }
	c, v := float64(r.Stands), 20.0
	for range 400 * 3600 {
		back := c + float64(r.Frees)
		for range stages {
			back = balance(back)
		}
		g := float64(r.Flow)*(back-c) + float64(side)*(balance(c)-c)
		if r.Breathed > 0 { // all of it goes to the air while nothing is dosed
			g += r.Breathed - r.Breathed/float64(r.Stands-r.Air)*(c-float64(r.Air))
		} else {
			g += float64(r.Renewed) * (float64(r.Stands) - c)
		}
		c += g / v / 3600
	}
	return c
}

// TestRoundByStepping: the side stream, the stages and the level they lead to are those of a loop that is stepped.
func TestRoundByStepping(t *testing.T) {
	s := StripperAt(Conditions{Temperature: 20})
	for _, r := range []Round{
		{Stripper: s, Flow: 6, Frees: 20, Stands: 8},
		{Stripper: s, Flow: 6, Frees: 20, Stands: 8, Renewed: 0.5},
		{Stripper: s, Flow: 6, Frees: 11, Stands: 18, Renewed: 0.3},
		{Stripper: s, Flow: 6, Frees: 11, Stands: 18, Breathed: 30},
	} {
		for _, air := range []float64{1, 2, 5, 10} {
			side, ok := r.Side(15, air)
			if c := step(r, air, 0, side); !ok || math.Abs(c-15) > 1e-3 {
				t.Errorf("%+v: %g m3/h hold %g", r, float64(side), c)
			}
			n, ok := r.Stages(15, air)
			at, fewer := step(r, air, n, 0), step(r, air, n-1, 0)
			if !ok || n < 1 || at > 15+1e-3 || fewer < 15 {
				t.Errorf("%+v: %d stages leave %g, one less %g", r, n, at, fewer)
			}
			if got := r.Settles(air, n); math.Abs(float64(got)-at) > 1e-3 {
				t.Errorf("%+v: settles at %g, stepped %g", r, float64(got), at)
			}
		}
	}
}

// TestRoundThatCannot: nothing strips below what air gives, stages on a small flow do not take what animals in a large tank breathe out, and
// what stands low enough asks for nothing.
func TestRoundThatCannot(t *testing.T) {
	s := StripperAt(Conditions{Temperature: 20})
	r := Round{Stripper: s, Flow: 1, Frees: 10, Stands: 40, Breathed: 400}
	if _, ok := r.Side(s.Air/2, 10); ok {
		t.Error("a side stream strips below what air gives")
	}
	if _, ok := r.Stages(s.Air/2, 10); ok {
		t.Error("air strips below what air gives")
	}
	if _, ok := r.Stages(10, 10); ok {
		t.Error("1 m3/h of stripped water holds 400 g/h at 10 mg/L, of which it carries 9.4 g")
	}
	r = Round{Stripper: s, Flow: 1, Frees: 1, Stands: 5, Renewed: 2}
	if side, ok := r.Side(15, 1); side != 0 || !ok {
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
	at := StripperAt(c)
	left := at.Air + (40-at.Air)*quantity.Concentration(1-at.Removes(2))
	gone := quantity.Molarity(float64(40-left) / co2PerMmol)
	after, _ := Dose(before, Addition{Carbonate: -gone})
	if math.Abs(float64(after.CO2-left)) > 0.1 {
		t.Errorf("%g mg/L are left, %g once it has settled", float64(left), float64(after.CO2))
	}
}
