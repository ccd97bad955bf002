package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/mixing"
	"jarwright/dosing/pond"
	"jarwright/dosing/product"
	"jarwright/dosing/water"
	"jarwright/jartest/quantity"
)

// TestAlkaliThatHoldsAlkalinity: problems of textbook kind, read without a printed answer; the
// answers are from atomic weights (IUPAC 2021), written out in TestAlkaliByWeights of package
// month: 110 mg/L of alum 14-hydrate in water of 20 mg/L CaCO3 takes 19.93 mg/L of CaO and
// leaves 28.88 mg/L of Al(OH)3; 41 mg/L at 32 MGD leaves 1304 kg of it a day; 40 mg/L of FeCl3
// takes 29.59 mg/L of NaOH or 20.74 mg/L of CaO.
func TestAlkaliThatHoldsAlkalinity(t *testing.T) {
	effects := func(id string, b quantity.Basis) day.Effects {
		p, err := products.Find(id)
		if err != nil {
			t.Fatal(err)
		}
		e, _, err := day.EffectsOf(p, id, b)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	alum, ferric := effects("alum-liquid", quantity.AsAlum14), effects("ferric-chloride", quantity.AsFeCl3)
	lime, caustic := effects("quicklime", quantity.AsCaO), effects("caustic-50", quantity.AsNaOH)
	hydroxide := float64(alum.SolidsYield().Low) // as Al(OH)3
	mgd := flowOf(t, "32 MGD")
	for what, x := range map[string][3]float64{
		"lime beside alum":          {(float64(alum.AlkalinityUse)*110 - 20) / -float64(lime.AlkalinityUse), 19.930, 0.02},
		"hydroxide of alum":         {hydroxide * 110, 28.8734, 0.02},
		"hydroxide at 32 MGD, kg/d": {hydroxide * 41 * float64(mgd) * 24 / 1000, 1304.07, 2},
		"caustic beside ferric":     {float64(ferric.AlkalinityUse) * 40 / -float64(caustic.AlkalinityUse), 29.592, 0.02},
		"lime beside ferric":        {float64(ferric.AlkalinityUse) * 40 / -float64(lime.AlkalinityUse), 20.7443, 0.02},
	} {
		near(t, what, x[0], x[1], x[2])
	}
}

// TestRapidMixBasin: 4 MGD for 30 s in a square basin 1.25 times as deep as wide; 5 ft 4 in,
// rounded up to the inch, is enough and an inch less is not (source and sum in TestSquareBasin
// of package mixing).
func TestRapidMixBasin(t *testing.T) {
	q := flowOf(t, "4 MGD")
	for inches, enough := range map[float64]bool{64: true, 63: false} {
		side := inches * 2.54 / 10 // dm
		if stay := mixing.Stay(quantity.Volume(1.25*side*side*side), q).In("s"); (stay >= 30) != enough {
			t.Errorf("%g in: %g s", inches, stay)
		}
	}
}

// TestLiquidAlumByDensity: between 1.3303 and 1.3426 a pump supplier's table, "Properties of
// liquid alum", gives 640.938 and 668.078 g/L of dry alum (17 % Al2O3), so 651.3 at 1.335; the catalogue's 48.5 %
// as 14-hydrate comes to the same alumina within half a per cent.
func TestLiquidAlumByDensity(t *testing.T) {
	table := 640.938 + (668.078-640.938)*(1.335-1.3303)/(1.3426-1.3303)
	near(t, "table", table, 651.309, 0.05)
	alumina := float64(product.Active(0.485, 1.335)) / 1000 * (2*26.982 + 3*15.999) / (2*26.982 + 3*(32.06+4*15.999) + 14*18.015)
	if off := math.Abs(alumina/0.17/table - 1); off > 0.005 {
		t.Errorf("%.1f g/L, the table %.1f", alumina/0.17, table)
	}
}

// TestMolesAndRoom: 30 mg/L into 4000 m3/d are 120 kg/d of alum 18-hydrate (formula weight 666), 180.18
// mol/d, each of two Al (a student's problem); 73,287.5 kg of lime at 850 kg/m3 take 86.22 m3 (Davis
// 2010, example 5-1).
func TestMolesAndRoom(t *testing.T) {
	alum, err := products.Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	flow, err := quantity.Parse[quantity.Flow]("4000 m3/d")
	if err != nil {
		t.Fatal(err)
	}
	dose := quantity.Dose{Concentration: 30, Basis: quantity.AsAlum18}
	near(t, "alum a day, kg", float64(Use(dose.Concentration, flow, 24)), 120, 1e-9)
	al, err := product.Convert(dose, alum, quantity.AsAl)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mol a day", float64(Use(al.Concentration, flow, 24))*1000/26.982/2, 180.18, 0.12) // at 666.43 g/mol 180.07
	bulk, err := quantity.Parse[quantity.Density]("850 kg/m3")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "room for lime, m3", 73287.5/float64(bulk)/1000, 86.22, 0.005)
}

// TestRoomInTanks: 101 m3 with 15 % of freeboard are 116.15 m3, in four tanks of 3 m each 4.10 m deep: 116 / 4 / (pi/4 x 9)
// (Voutchkov 2017, s. 6.8.2, p. 134-135). Two bags of 45 kg at 480 kg/m3 take 90 / 480 = 0.1875 m3 (UFC 3-280-03,
// design example 1, which prints 0.2).
func TestRoomInTanks(t *testing.T) {
	near(t, "with freeboard, m3", Vessel{Volume: 116150, Usable: 1 / 1.15}.Holds().In("m3"), 101, 1e-9)
	tank, err := pond.ParseSize("3 m round x 4.102661 m")
	if err != nil {
		t.Fatal(err)
	}
	one, ok, err := tank.Measured()
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	near(t, "four tanks, m3", 4*one.In("m3"), 116, 1e-4)
	bulk, err := quantity.Parse[quantity.Density]("480 kg/m3")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "two bags, m3", product.LiquidVolume(90, bulk).In("m3"), 0.1875, 1e-12)
}

// TestBlendOfTwoStrengths: 20 lb of 10 % in 50 lb of 1 % hold 2 + 0.5 = 2.5 lb in 70, 3.571 % (from memory). What is above
// 1 % comes of the strong part alone: 70 lb at 2.571 % more than that take 70 x 2.571 / 9 = 20 lb of what has 9 % more.
func TestBlendOfTwoStrengths(t *testing.T) {
	d, err := Dilute(70, 0.10-0.01, 0.0357142857-0.01)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "strong", float64(d.Strong), 20, 1e-6)
	near(t, "weak", float64(d.Water), 50, 1e-6)
}

// TestAlkalinityAndGasOfAFlow: 30 mg/L of alum take 15 mg/L CaCO3 by the rule of a half, 60 kg a day of 4000 m3 (a student's
// problem). 14 mg/L of 18-hydrate in 18 ML a day are 252 kg, 252 / 666.4 = 0.3781 kmol; each mole frees six of carbon
// dioxide, 6 x 0.3781 x 44.01 = 99.85 kg (99.9 with 666 and 44, from memory).
func TestAlkalinityAndGasOfAFlow(t *testing.T) {
	near(t, "alkalinity, kg/d", float64(Use(15, flowOf(t, "4000 m3/d"), 24)), 60, 1e-9)
	taken, err := catalogued(t, "alum-liquid").AlkalinityUsed(quantity.Dose{Concentration: 14, Basis: quantity.AsAlum18})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carbon dioxide, kg/d", float64(Use(water.FreedCO2(taken), flowOf(t, "18 ML/d"), 24)), 99.85, 0.06)
}

// TestFeedsByDrySolids: of 5600 kg/d of dry solids 2 % are 112 kg/d of polymer, 20 g/kg, and 5 % are 280 kg/d of lime (UFC
// 3-280-03, design example 2): as a dose in sludge of 50 g/L, 112 m3 a day, 1000 and 2500 mg/L.
func TestFeedsByDrySolids(t *testing.T) {
	near(t, "polymer, kg/d", float64(Use(0.02*50000, flowOf(t, "112 m3/d"), 24)), 112, 1e-9)
	near(t, "lime, kg/d", float64(Use(0.05*50000, flowOf(t, "112 m3/d"), 24)), 280, 1e-9)
}
