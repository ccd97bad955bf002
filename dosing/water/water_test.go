package water

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

func TestImpossibleWaters(t *testing.T) {
	c := Conditions{Temperature: 15}
	for name, err := range map[string]error{
		"hydroxide alone exceeds the alkalinity": second(FromPHAlkalinity(c, 11, 5)),
		"pH 17":                                  second(FromPHAlkalinity(c, 17, 5)),
		"not a number":                           second(FromPHAlkalinity(c, 7, quantity.Alkalinity(math.NaN()))),
		"boiling":                                second(FromPHAlkalinity(Conditions{Temperature: 90}, 7, 50)),
		"brine":                                  second(FromPHAlkalinity(Conditions{Salinity: 90}, 7, 50)),
		"negative carbonate":                     second(fromPHCarbonate(c, 7, -1)),
		"more CO2 than carbonate":                second(fromCarbonateCO2(c, 1, 100)),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func second(_ State, err error) error { return err }

// 44 mg of carbon dioxide per meq: 27 mg/L from 60 mg/L of alum 14-hydrate.
func TestFreedCO2(t *testing.T) {
	if got := FreedCO2(quantity.Alkalinity(60 * 0.010095 * caco3PerMeq)); math.Abs(float64(got)-26.66) > 0.05 {
		t.Errorf("60 mg/L alum frees %v", got)
	}
}

// To give back 1 mg/L of alkalinity: 0.80 of caustic soda and 1.06 of soda ash
// (US EPA handbook of composite correction, feed guidelines, prints 0.80 and 1.08
// for trade soda ash), 0.74 of pure lime and 1.68 of bicarbonate by formula weight.
func TestAlkaliFactors(t *testing.T) {
	for id, want := range map[string]float64{"caoh2": 0.740, "naoh": 0.799, "na2co3": 1.059, "nahco3": 1.679} {
		a, ok := alkaliNamed(id)
		if !ok || math.Abs(1/a.PerMg-want) > 0.0006 {
			t.Errorf("%s: %.4f mg per mg CaCO3, want %.3f", id, 1/a.PerMg, want)
		}
	}
}

// At 28 C a step from pH 7.5 to 8.5 takes free ammonia from about 2 to 18 % of the total.
func TestAmmoniaRisesWithPH(t *testing.T) {
	s, err := FromPHAlkalinity(Conditions{Temperature: 28}, 7.5, 80)
	if err != nil {
		t.Fatal(err)
	}
	naoh, _ := alkaliNamed("naoh")
	pure, err := HoldPH(s, 8.5, naoh)
	if err != nil {
		t.Fatal(err)
	}
	closed, _ := Dose(s, naoh.Gives(pure))
	before, after := s.UnionisedFraction(), closed.UnionisedFraction()
	if math.Abs(float64(before)-0.022) > 0.001 || math.Abs(float64(after)-0.18) > 0.005 {
		t.Errorf("free ammonia %v, then %v", before, after)
	}
}

// ln K of ammonium in sea water of salinity 35 at 25 C is -21.3 on the seawater
// scale (formula of Millero 1995, so pKa 9.25 to 9.27), a little less ionised than in fresh water.
func TestAmmoniaInSeaWater(t *testing.T) {
	fresh := State{Conditions: Conditions{Temperature: 20}, PH: 8}.UnionisedFraction()
	sea := State{Conditions: Conditions{Temperature: 20, Salinity: 35}, PH: 8}.UnionisedFraction()
	kelvin, r := 293.15, math.Sqrt(35)
	lnK := -6285.33/kelvin + 0.0001635*kelvin - 0.25444 + (0.46532-123.7184/kelvin)*r + (-0.01992+3.17556/kelvin)*35
	want := 1 / (1 + math.Pow(10, -lnK/math.Ln10-8))
	if math.Abs(float64(sea)/want-1) > 0.005 || sea >= fresh {
		t.Errorf("sea %v, want %v; fresh %v", sea, want, fresh)
	}
}

func BenchmarkDose(b *testing.B) {
	s, err := FromPHAlkalinity(Conditions{Temperature: 15}, 7.8, 60)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Dose(s, Addition{Acid: 20})
	}
}

func BenchmarkAluminium(b *testing.B) {
	for b.Loop() {
		Aluminium(7, 100, 1)
	}
}

func alkaliNamed(id string) (Alkali, bool) {
	for _, a := range Alkalis() {
		if a.ID == id {
			return a, true
		}
	}
	return Alkali{}, false
}
