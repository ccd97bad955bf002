package caution

import (
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func aluminiumSalt(t *testing.T, id string, loop *Loop) Situation {
	return Situation{Purpose: Animals, Stock: stock(t, "trout"), Doses: []Dose{dose(t, id, 30, quantity.AsProduct)}, Loop: loop,
		Flow: quantity.Some(quantity.Flow(10)), Hours: 24,
		Water: Water{Temperature: quantity.Some(quantity.Temperature(18)), PH: quantity.Some(quantity.PH(8.2)),
			Alkalinity: quantity.Some(quantity.Alkalinity(150)), Hardness: quantity.Some(quantity.Concentration(100)),
			DOC: quantity.Some(quantity.Concentration(2)), Ammonia: quantity.Some(quantity.Concentration(0.05)),
			ResidualAl: quantity.Some(quantity.Concentration(0.1))}}
}

// 30 mg/L of ammonium alum at 99 % bring 30 x 0.99 x 14.007/453.31 = 0.918 mg/L as N, so the
// water has 0.968; of that a share of 1/(1 + 10^(pKa - pH)) is free, pKa = 0.09018 + 2729.92/291.15 = 9.4666
// (Emerson et al. 1975). In pH 8.55 that is 0.127 mg/L NH3, where trout should have 0.019 or less.
func TestAmmoniumAlumBringsAmmonia(t *testing.T) {
	s := aluminiumSalt(t, "ammonium-alum", nil)
	f := Review(s)
	c := f.Water
	const added = 30 * 0.99 * 14.007 / 453.31
	free := func(p quantity.PH, asN float64) float64 {
		return asN * 17.0305 / 14.0067 / (1 + math.Pow(10, 0.09018+2729.92/291.15-float64(p)))
	}
	for what, x := range map[string][2]float64{
		"added":  {float64(c.AmmoniaAdded), added},
		"before": {float64(c.NH3Before), free(c.Before.PH, 0.05)},
		"closed": {float64(c.NH3Closed), free(c.Closed.PH, 0.05+added)},
		"open":   {float64(c.NH3Open), free(c.Open.PH, 0.05+added)},
	} {
		if math.Abs(x[0]-x[1]) > 0.002*x[1] {
			t.Errorf("%s: %.5f, want %.5f", what, x[0], x[1])
		}
	}
	if math.Abs(float64(c.NH3Open)-0.127) > 0.003 {
		t.Errorf("open to the air %.4f, want 0.127", c.NH3Open)
	}
	says(t, f, "ammonia-dosed", "brings 0.918 mg/L of ammonia as N: it is not for water with animals")
	if codes(f.Notes)["ammonia-dosed"] != note.Caution {
		t.Error("no caution")
	}
	if got := said(aluminiumSalt(t, "potash-alum", nil)); got["ammonia-dosed"]+got["ammonia-brought"] != 0 {
		t.Error("potash alum brings none")
	}
	s.Water.Ammonia, s.Water.PH = quantity.Known[quantity.Concentration]{}, quantity.Some(quantity.PH(9.0))
	s.Doses = append(s.Doses, dose(t, "caustic-50", 40, quantity.AsProduct)) // 0.918 mg/L alone, in water that stays high
	f = Review(s)
	if !f.Water.HasNH3 || f.Water.NH3Before != 0 {
		t.Errorf("%v before %v", f.Water.HasNH3, f.Water.NH3Before)
	}
	if l := codes(f.Notes); l["nh3-lethal"] != note.Stop || l["ammonia-dosed"] != 0 {
		t.Errorf("%v", l)
	}
	s.Stock = nil
	if l := said(s); l["ammonia-brought"] != note.Info {
		t.Errorf("without animals %v", l)
	}
}

// A loop of 50 m3 that 10 m3/h pass gains 0.918 x 0.2 = 0.184 mg/L of nitrogen an hour and loses a tenth a day:
// 44.06 (1 - exp(-0.1)) = 4.193 mg/L after a day. Nitrified, each mg takes 2 x 50.0435/14.007 = 7.145 mg CaCO3.
func TestAmmoniaOfALoop(t *testing.T) {
	s := aluminiumSalt(t, "ammonium-alum", &Loop{Volume: 50000, Exchange: quantity.Some(quantity.Flow(5.0 / 24))})
	v := &reviewer{s: s}
	v.chemistry()
	const perPass = 30 * 0.99 * 14.007 / 453.31
	if got, want := float64(v.brought(v.out.Water.AmmoniaAdded)), perPass*48*(1-math.Exp(-0.1)); math.Abs(got-want) > 0.002 {
		t.Errorf("after a day %.4f, want %.4f", got, want)
	}
	l, _ := v.alkalinityLoop()
	taken := 30 * 0.99 * 3 * 50.0435 / 453.31 // by the aluminium
	if got, want := float64(l.Dose), -taken-7.1455*perPass; math.Abs(got-want) > 0.005 {
		t.Errorf("each pass takes %.4f, want %.4f", got, want)
	}
}
