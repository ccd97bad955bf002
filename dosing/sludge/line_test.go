package sludge

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Errorf("%s is %.12g, want %.12g", what, got, want)
	}
}

// TestLineByHand: 4 m3 a day of backwash with 1,500 mg/L are 6 kg dry; 6 mg/L of polymer in it are 24 g, 4.0 kg to the tonne. Of 95 % kept
// at 12 % dry 5.7 kg take up 47.5 L; a bag of 1 m3 fills in 21.05 d. 3952.5 L drain off with 0.3 kg. A bed under 0.3 m
// that dries in 21 d needs 4/0.3 × 21 = 280 m2; 70 m2 are covered in 5.25 d.
func TestLineByHand(t *testing.T) {
	l := Line{Volume: 4000, Solids: 1500, Dose: 6, Captured: UsualCaptured, Cake: UsualCake, Bag: 1000, Bed: 70, Layer: UsualLayer, Drying: UsualDrying}
	volume, solids := l.Filtrate()
	for what, x := range map[string][2]float64{
		"dry": {float64(l.Dry()), 6}, "polymer": {float64(l.Polymer()), 0.024}, "per tonne": {float64(l.PerDry()) * 1000, 4}, "dose of 4 kg/t": {float64(l.DoseOf(0.004)), 6},
		"kept": {float64(l.Kept()), 5.7}, "cake": {float64(l.CakeVolume()), 47.5}, "bag": {float64(l.BagLasts()), 24 * 1000 / 47.5}, "filtrate": {float64(volume), 3952.5},
		"solids of it": {float64(solids), 0.3}, "bed needs": {float64(l.BedNeeds()), 280}, "beds covered in": {float64(l.BedLasts()), 24 * 5.25},
		"sodium at 20 g/kg": {float64(l.Sodium(20)), (47.5 - 5.7) * 0.020 * 10.784 / 35.165}, "a year on half a hectare": {float64(PerLand(5.7*0.04, 5000)), 5.7 * 0.04 * 365 * 2},
	} {
		near(t, what, x[0], x[1])
	}
	l.Bag, l.Bed = 0, 0 // it goes to land as it is
	if volume, solids = l.Filtrate(); volume != 0 || solids != 0 || l.Kept() != l.Dry() || l.CakeVolume() != 4000 {
		t.Errorf("undrained: %v %v %v %v", volume, solids, l.Kept(), l.CakeVolume())
	}
}

// TestNothingIsLost: solids and water that come in are in the cake or in the filtrate, whatever the line.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Line{Volume: quantity.Volume(rapid.Float64Range(1, 1e6).Draw(t, "volume")), Solids: quantity.Concentration(rapid.Float64Range(10, 1e5).Draw(t, "solids")),
			Captured: quantity.Fraction(rapid.Float64Range(0.1, 1).Draw(t, "captured")), Cake: quantity.Fraction(rapid.Float64Range(0.01, 0.5).Draw(t, "cake")), Bag: 1000}
		volume, solids := l.Filtrate()
		if math.Abs(float64(solids+l.Kept()-l.Dry())) > 1e-9*float64(l.Dry()) || math.Abs(float64(volume+l.CakeVolume()-l.Volume)) > 1e-9*float64(l.Volume) || volume < 0 {
			t.Fatalf("%+v: %v and %v of %v, %v of %v", l, solids, l.Kept(), l.Dry(), volume, l.Volume)
		}
	})
}

// TestToLandIsToldInOneUnit: 170 kg to a hectare of 2.4710538 acres, a pound being 0.45359237 kg, are 170/0.45359237/2.4710538 = 151.67 lb to the acre.
func TestToLandIsToldInOneUnit(t *testing.T) {
	v, unit := MuchNitrogen.Show(quantity.US)
	if near(t, "the limit in the US", math.Round(v*100)/100, 151.67); unit != "lb/acre" {
		t.Error(unit)
	}
	if v, unit = MuchNitrogen.Show(quantity.Metric); v != 170 || unit != "kg/ha" {
		t.Error(v, unit)
	}
}
