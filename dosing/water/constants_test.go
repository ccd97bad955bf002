package water

import (
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestCheckValues: the constants at salinity 35 and 25 C, as handbooks print them, from memory: Dickson, Sabine and
// Christian 2007 for carbon dioxide, water, boric acid, hydrogen sulfate and ionic strength; Millero et al. 2006 for
// carbonic acid on the seawater scale.
func TestCheckValues(t *testing.T) {
	const kelvin, s = 298.15, 35
	total, sws := scaleRatios(kelvin, s)
	k := ConstantsAt(Conditions{Temperature: 25, Salinity: s, Scale: Seawater})
	i := ionicStrength(s)
	sulfate := 0.14 / 96.062 * 35 / 1.80655 // mol/kg, by hand 0.028235
	for _, c := range []struct {
		what           string
		got, want, tol float64
	}{
		{"ln K0", lnK0(kelvin, s), -3.5617, 5e-5}, {"ln KW", lnKWTotal(kelvin, s), -30.434, 5e-4}, {"ln KB", lnKBTotal(kelvin, s), -19.7964, 5e-5},
		{"ln KS", math.Log(sulfate / (total - 1)), -2.30, 5e-3}, {"ionic strength", i, 0.7227, 1e-4},
		{"pK1", -math.Log10(k.K1), 5.8401, 1e-4}, {"pK2", -math.Log10(k.K2), 8.9636, 1e-4},
		// Hydrogen fluoride by hand: 1590.2/298.15 - 12.641 + 1.525 x 0.85015 + ln 0.964825 = -6.04677; 6.8325e-5 mol/kg of fluoride.
		{"fluoride over KF", sws - total, 6.8325e-5 / math.Exp(-6.04677), 1e-5},
		// 1.310388/1.281504 carries from the total to the seawater scale: 19.7964/ln 10 less its logarithm.
		{"pKB", -math.Log10(k.KB), 19.7964/math.Ln10 - math.Log10(1.310388/1.281504), 1e-4},
		{"pKW", -math.Log10(k.KW), 30.434/math.Ln10 - math.Log10(1.310388/1.281504), 3e-4},
		{"boron", k.Boron, 415.7e-6, 1e-12},
		// The Davies equation at 0.1 mol/kg: the slope from the permittivities 78.30 and 69.91 of Malmberg and Maryott 1956 (from
		// memory), times 0.3162/1.3162 - 0.03 = 0.21025.
		{"activity at 25 C", daviesH(kelvin, 0.1), 1.82e6 * math.Pow(78.30*298.15, -1.5) * 0.21025, 5e-5},
		{"activity at 50 C", daviesH(323.15, 0.1), 1.82e6 * math.Pow(69.91*323.15, -1.5) * 0.21025, 5e-5},
	} {
		if math.IsNaN(c.got) || math.Abs(c.got-c.want) > c.tol {
			t.Errorf("%s: %.6g, want %.6g", c.what, c.got, c.want)
		}
	}
	// Below salinity 5 boric acid keeps its value there; conductivity tells nothing beside a salinity.
	if a, b := ConstantsAt(Conditions{Salinity: 3, Scale: Total}), ConstantsAt(Conditions{Salinity: 3, Scale: Total, Conductivity: 900}); a != b {
		t.Errorf("%v, with conductivity %v", a, b)
	}
	low, sal := scaleRatios(283.15, 3)
	if got, want := ConstantsAt(Conditions{Temperature: 10, Salinity: 3}).KB, math.Exp(lnKBTotal(283.15, 5))*sal/low; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("boric acid below salinity 5: %g, want %g", got, want)
	}
}

// TestAmmoniaCriteriaTable: what tables 5a and 6 of the criteria document of 2013 print, from memory.
func TestAmmoniaCriteriaTable(t *testing.T) {
	for _, c := range []struct {
		ph             quantity.PH
		temp           quantity.Temperature
		acute, chronic float64
	}{{7, 20, 17, 1.9}, {8, 20, 3.9, 0.78}, {8, 7, 5.6, 1.8}, {6.5, 0, 33, 4.9}, {8, 25, 2.6, 0.56}, {6.5, 30, 9.9, 1.1}, {9, 0, 0.88, 0.36}} {
		acute, chronic := AmmoniaCriteria(c.ph, c.temp)
		for i, x := range [][2]float64{{float64(acute), c.acute}, {float64(chronic), c.chronic}} {
			unit := math.Pow(10, math.Floor(math.Log10(x[1]))-1) // two digits are printed
			if math.Abs(x[0]-x[1]) > unit/2*1.001 {
				t.Errorf("pH %v, %v, number %d: %g, want %g", c.ph, c.temp, i, x[0], x[1])
			}
		}
	}
}

// TestAirBalance: at 25 C fresh water holds 0.0341 mol/L of carbon dioxide under one atmosphere of it (Henry's constant, a
// handbook figure from memory), so 0.0341 x 420e-6 x 44.0095 g/mol = 0.630 mg/L under air, and ten times that
// under ten times the share.
func TestAirBalance(t *testing.T) {
	s, err := FromPHAlkalinity(Conditions{Temperature: 25}, 7, 100)
	if err != nil {
		t.Fatal(err)
	}
	for share, want := range map[quantity.Fraction]float64{Air: 0.630, 10 * Air: 6.30} {
		if got := float64(s.Aerated(share).CO2); math.Abs(got/want-1) > 0.01 {
			t.Errorf("under %v: %g mg/L, want %g", share, got, want)
		}
	}
}

// TestWaterBounds: what is a water, to the bound, and what is none beyond it.
func TestWaterBounds(t *testing.T) {
	for _, c := range []struct {
		what string
		c    Conditions
		ph   float64
		code string
	}{
		{"pH 0", Conditions{}, 0, ""}, {"pH 14", Conditions{}, 14, ""}, {"below", Conditions{}, -0.01, "bad-ph"}, {"above", Conditions{}, 14.01, "bad-ph"},
		{"-2 C", Conditions{Temperature: -2}, 7, ""}, {"50 C", Conditions{Temperature: 50}, 7, ""}, {"-2.1 C", Conditions{Temperature: -2.1}, 7, "bad-temperature"},
		{"50.1 C", Conditions{Temperature: 50.1}, 7, "bad-temperature"}, {"salinity 50", Conditions{Salinity: 50}, 7, ""},
		{"50.1", Conditions{Salinity: 50.1}, 7, "bad-salinity"}, {"-0.1", Conditions{Salinity: -0.1}, 7, "bad-salinity"},
		{"conductivity", Conditions{Conductivity: -1}, 7, "bad-conductivity"}, {"heat", Conditions{Temperature: quantity.Temperature(math.Inf(1))}, 7, "not-a-number"},
	} {
		got := ""
		if err := check(c.c, c.ph); err != nil {
			got = note.Of(err, "other")[0].Code
		}
		if got != c.code {
			t.Errorf("%s: %q, want %q", c.what, got, c.code)
		}
	}
	if checkCO2(Conditions{}, 7, 0) != nil || checkCO2(Conditions{}, 7, -0.01) == nil {
		t.Error("carbon dioxide may be none, and not less")
	}
	naoh, _ := alkaliNamed("naoh")
	if pure, err := HoldPH(State{PH: 7}, 7, naoh); pure != 0 || err != nil {
		t.Errorf("a water that is there takes %v, %v", pure, err)
	}
}

// TestAluminiumBounds: what the criteria allow, 5 to 10.5, 430 mg/L and 12 mg/L, and 6.0 to 8.7 that the tests cover.
func TestAluminiumBounds(t *testing.T) {
	for _, c := range []struct {
		ph                   quantity.PH
		hardness             quantity.Alkalinity
		doc                  quantity.Concentration
		capped, extrapolated bool
	}{
		{6, 430, 12, false, false}, {8.7, 50, 1, false, false}, {5.9, 50, 1, false, true}, {8.8, 50, 1, false, true}, {5, 50, 1, false, true},
		{4.9, 50, 1, true, true}, {10.5, 50, 1, false, true}, {10.6, 50, 1, true, true}, {7, 431, 1, true, false}, {7, 50, 12.1, true, false},
	} {
		if got := Aluminium(c.ph, c.hardness, c.doc); got.Capped != c.capped || got.Extrapolated != c.extrapolated {
			t.Errorf("%+v: capped %v, extrapolated %v", c, got.Capped, got.Extrapolated)
		}
	}
	for _, c := range [][2]AluminiumCriteria{ // beyond the bound and on it
		{Aluminium(4, 50, 1), Aluminium(5, 50, 1)}, {Aluminium(11, 50, 1), Aluminium(10.5, 50, 1)}, {Aluminium(7, 600, 1), Aluminium(7, 430, 1)},
		{Aluminium(7, 50, 20), Aluminium(7, 50, 12)}, {Aluminium(7, 50, 0), Aluminium(7, 50, 0.08)}, {Aluminium(7, 50, 0.01), Aluminium(7, 50, 0.08)},
		{Aluminium(7, 0, 1), Aluminium(7, 0.01, 1)},
	} {
		if c[0].Acute != c[1].Acute || c[0].Chronic != c[1].Chronic {
			t.Errorf("%v and %v, on the bound %v and %v", c[0].Acute, c[0].Chronic, c[1].Acute, c[1].Chronic)
		}
	}
}
