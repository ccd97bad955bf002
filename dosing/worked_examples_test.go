package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/mixing"
	"jarwright/dosing/product"
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
