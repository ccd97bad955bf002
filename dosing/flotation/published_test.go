package flotation

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6g, want %.6g within %g", what, got, want, within)
	}
}

// TestSolubilityOfAir holds it to the classical table of moist air at one atmosphere, 29.2, 22.8,
// 18.7 and 15.7 mL/L at 0, 10, 20 and 30 C (Metcalf and Eddy, from memory), and to a second
// working of Weiss's equation in mg/L, dry and moist, fresh and at sea (our own, another route).
func TestSolubilityOfAir(t *testing.T) {
	for _, x := range []struct{ celsius, salinity, dry, moist, classical float64 }{
		{0, 0, 38.83, 38.59, 29.2}, {10, 0, 30.53, 30.16, 22.8}, {20, 0, 25.12, 24.54, 18.7}, {30, 0, 21.52, 20.62, 15.7},
		{0, 35, 30.17, 29.99, 0}, {10, 35, 24.16, 23.88, 0}, {20, 35, 20.21, 19.75, 0}, {30, 35, 17.56, 16.84, 0},
		{20, 10, 23.61, 23.07, 0}, {20, 20, 22.19, 21.68, 0}, {25, 0, 23.14, 22.42, 0}, {25, 35, 18.76, 18.18, 0},
	} {
		w := Water{quantity.Temperature(x.celsius), quantity.Salinity(x.salinity)}
		near(t, "dry", float64(w.Solubility()), x.dry, 0.006)
		near(t, "moist", float64(w.Holds(quantity.Atmosphere)), x.moist, 0.006)
		if x.classical > 0 {
			// mL of gas at 0 C: the mean mass of a mole of what is dissolved differs from that of air, so volumes are summed
			near(t, "classical", volume(w)*float64(w.Holds(quantity.Atmosphere)/w.Solubility()), x.classical, 0.11)
		}
	}
}

// volume of the gases that water holds under an atmosphere of dry air, mL/L.
func volume(w Water) float64 {
	t := w.Temperature.In("K") / 100
	sum := 0.0
	for _, g := range gases {
		sum += 1000 * g.share * math.Exp(g.a1+g.a2/t+g.a3*math.Log(t)+float64(w.Salinity)*(g.b1+t*(g.b2+t*g.b3)))
	}
	return sum
}

// TestGasesAtSea: nitrogen 500.885 and argon 13.4622 umol/kg at salinity 35 and 10 C under moist
// air (Hamme and Emerson 2004, table 4); Weiss lies up to 1 % below. Oxygen in fresh water at
// 20 C is 9.09 mg/L (handbook value); Weiss gives 9.07. Sea water holds 0.777, 0.791, 0.804 and
// 0.816 of what fresh water does at 0, 10, 20 and 30 C.
func TestGasesAtSea(t *testing.T) {
	gas := func(i int, w Water) float64 { // mol/m3
		t, g := w.Temperature.In("K")/100, gases[i]
		b := math.Exp(g.a1 + g.a2/t + g.a3*math.Log(t) + float64(w.Salinity)*(g.b1+t*(g.b2+t*g.b3)))
		return b * g.share * 1000 / molarVolume * (quantity.Atmosphere - w.vapour()) / quantity.Atmosphere
	}
	sea := Water{10, 35}
	const kgPerLitre = 1.02695 // sea water of salinity 35 at 10 C
	near(t, "nitrogen", gas(0, sea)*1000/kgPerLitre, 500.885, 5.009)
	near(t, "argon", gas(2, sea)*1000/kgPerLitre, 13.4622, 0.1346)
	near(t, "oxygen", gas(1, Water{20, 0})*31.9988, 9.09, 0.025)
	for i, want := range []float64{0.777, 0.791, 0.804, 0.816} {
		c := quantity.Temperature(10 * i)
		near(t, "sea against fresh", float64(Water{c, 35}.Solubility()/Water{c, 0}.Solubility()), want, 0.0006)
	}
	// Salt of 35 lowers the vapour pressure to 0.9816 of that of fresh water (Robinson 1954, from memory).
	near(t, "vapour at sea", Water{25, 35}.vapour()/Water{25, 0}.vapour(), 0.9816, 0.0008)
}

// TestAirBalance holds the balance to Hendricks 2011, table p. 177: the absolute pressure in kPa
// for a recycle, at H = 0.2435 g/m3/kPa and 24.0 g/m3 in the inflow; inputs are printed to two digits.
func TestAirBalance(t *testing.T) {
	for _, x := range []struct {
		efficiency, free, deep, within float64
		kPa                            map[float64]float64
	}{
		{0.90, 4.8, 26.4, 0.0045, map[float64]float64{0.05: 798, 0.10: 470, 0.15: 361, 0.20: 307, 0.25: 274, 0.30: 252, 0.40: 225, 0.50: 208, 1: 176}},
		{0.70, 6.9, 25.3, 0.0089, map[float64]float64{0.05: 1141, 0.10: 665, 0.15: 507, 0.20: 427, 0.25: 380, 0.30: 348, 0.40: 308, 0.50: 284, 1: 237}},
	} {
		for r, printed := range x.kPa {
			lo, hi := 0.0, 5000.0
			for hi-lo > 1e-6 {
				mid := (lo + hi) / 2
				full := quantity.Concentration(x.efficiency * 0.2435 * mid)
				if freed(quantity.Number(r), full, quantity.Concentration(x.deep), 24) > quantity.Concentration(x.free*(1+r)) {
					hi = mid
				} else {
					lo = mid
				}
			}
			near(t, "pressure", hi, printed, x.within*printed)
		}
	}
}

// TestSmallFarmUnit: 6 m3/h, 12 % white water, 4 bar, 70 %, 24 C, salinity 20, 1.2 m2, 0.8 m deep,
// 45 mg/L. By hand, with dry air: 0.12·20.83·(0.7·4.948 − 1) = 6.16 g/m3 at the surface, less
// 1.12·20.83·9.79·0.8/101.3 = 1.80 for the depth; the vapour in both pressures adds 0.02.
func TestSmallFarmUnit(t *testing.T) {
	u := Unit{Area: quantity.Some(quantity.Area(1.2)), White: quantity.Some(quantity.Flow(0.72)), Pressure: quantity.Some(quantity.Pressure(400)),
		Efficiency: quantity.Some(quantity.Fraction(0.7)), Water: Water{24, 20}}
	near(t, "solubility", float64(u.Water.Solubility()), 20.83, 0.005)
	near(t, "at the surface", float64(u.At(6, 45).Free.V), 6.16, 0.03)
	near(t, "dissolved", float64(u.At(6, 45).Dissolved.V), 6.16, 0.03)
	weak := u
	weak.Pressure.V = 20 // 0.7 x 1.197 atmospheres hold less than open water does
	near(t, "dissolved at 20 kPa", float64(weak.At(6, 45).Dissolved.V), 0, 0)
	u.Depth = quantity.Some(quantity.Length(0.8))
	s := u.At(6, 45)
	near(t, "free", float64(s.Free.V), 4.36, 0.03)
	near(t, "air to solids", float64(s.AirToSolids.V), 0.097, 0.0007)
	near(t, "loading", float64(s.Loading.V), 5.6, 1e-12)
	near(t, "loading of the raw flow", float64(s.Raw.V), 5, 1e-12)
	near(t, "solids loading", float64(s.Solids.V), 0.225, 1e-12)
	near(t, "stay, min", s.Stay.V.In("min"), 1.2*0.8/6.72*60, 1e-9)
	near(t, "recycle", float64(s.Recycle.V), 0.12, 1e-12)
	gas, _ := u.TotalGas()
	near(t, "total gas", float64(gas), 107.7, 0.05)
}

// TestTotalGas: 102.9, 104.8, 109.7, 114.5 and 119.3 % at 0.3, 0.5, 1, 1.5 and 2 m, by hand.
func TestTotalGas(t *testing.T) {
	for d, want := range map[float64]float64{0.3: 102.9, 0.5: 104.8, 1: 109.7, 1.5: 114.5, 2: 119.3} {
		gas, depth := Unit{Depth: quantity.Some(quantity.Length(d))}.TotalGas()
		near(t, "total gas", float64(gas), want, 0.05)
		near(t, "depth", float64(depth), d, 0)
	}
	// at 1500 m the air weighs 84.56 kPa (standard atmosphere), so a metre of water counts 11.58 %
	high, _ := Unit{Depth: quantity.Some(quantity.Length(1)), Height: 1500}.TotalGas()
	near(t, "at 1500 m", float64(high), 111.58, 0.01)
	gas, depth := Unit{}.TotalGas()
	near(t, "a unit that does not tell its depth", float64(gas), 109.66, 0.01)
	near(t, "counts as deep as usual", float64(depth), 1, 0)
	near(t, "barometer at 11 km", Barometer(11000), 22.63, 0.01)
}

// TestNeededAir: 6 g/m3 up to 600 mg/L of solids, a hundredth of them above (Hendricks 2011, p. 176 and 181).
func TestNeededAir(t *testing.T) {
	for solids, want := range map[quantity.Concentration]float64{0: 6, 30: 6, 600: 6, 700: 7, 3000: 30} {
		near(t, "needed", float64(Needed(solids)), want, 1e-12)
	}
}

// TestDrawnAir: 10 L a minute into 12 m3/h is 1.204 g/L × 10 × 60 / 12 = 60.2 g/m3.
func TestDrawnAir(t *testing.T) {
	u := Unit{Source: AirPump, Drawn: quantity.Some(quantity.Flow(0.6))}
	s := u.At(12, 100)
	near(t, "air", float64(s.Free.V), 60.2, 1e-9)
	near(t, "air to solids", float64(s.AirToSolids.V), 0.602, 1e-12)
	if s.Dissolved.OK {
		t.Error("a pump dissolves nothing that is told")
	}
}

// TestWeir: twice the flow lifts the level over a weir by 59 % of its head, h = (Q/(1.84·L))^(2/3).
func TestWeir(t *testing.T) {
	u := Unit{Weir: quantity.Some(quantity.Length(0.5)), Set: 3.6}
	head := math.Pow(0.001/(1.84*0.5), 2.0/3) // 10.6 mm at 1 L/s
	near(t, "head", float64(u.head(3.6)), head, 1e-12)
	near(t, "head at a flow", float64(u.At(7.2, 0).Head.V), 1.5874*head, 1e-5*head)
	near(t, "lift", float64(u.At(7.2, 0).Lift.V), 0.5874*head, 1e-5*head)
}

// TestPrintedExamples holds worked examples of flotation.
func TestPrintedExamples(t *testing.T) {
	// Environmental Engineers' Handbook, pressurised recycle: 124,800 gal/d at 2500 gal/d per ft2 (answer computed).
	q, _ := quantity.Parse[quantity.Flow]("124800 gpd")
	rate, _ := quantity.Parse[quantity.Loading]("2500 gpd/ft2")
	area := quantity.Area(float64(q) / float64(rate))
	near(t, "area", area.In("ft2"), 49.92, 0.005)
	near(t, "loading", float64(Unit{Area: quantity.Some(area)}.At(q, 0).Loading.V), float64(rate), 1e-9)
	// The same example: A/S 0.03, 7000 mg/L, 5.1 atm absolute, f 0.6, 18.7 mL/L of air of 1.3 mg/mL gives R/Q 4.193 (answer computed).
	const sa quantity.Concentration = 18.7 * 1.3
	near(t, "air to solids", float64(freed(4.193, 0.6*5.1*sa, sa, sa)/7000), 0.03, 0.00001)
	// Metcalf and Eddy, flotation thickener (from memory): A/S 0.008, 3000 mg/L, 18.7 mL/L, f 0.5, whole flow
	// pressurised, gives 3.97 atm absolute (printed 3.98).
	near(t, "whole flow", float64(freed(1, 0.5*3.9745*sa, sa, sa)/3000), 0.008, 0.00001)
	// The same with recycle at 275 kPa, 3.714 atm absolute: 461.9 m3/d on 400 m3/d.
	near(t, "recycle", float64(freed(461.9/400, 0.5*(275+101.325)/101.325*sa, sa, sa)/3000), 0.008, 0.00002)
	// The same: 400 m3/d at 8 L/(m2 min) takes 34.7 m2.
	rate, _ = quantity.Parse[quantity.Loading]("8 L/m2/min")
	near(t, "loading", float64(Unit{Area: quantity.Some(quantity.Area(34.7))}.At(400.0/24, 0).Loading.V), float64(rate), 0.001)
	// UFC 4-832-01N: 1 gpm/ft2 is 40.7 L/min m2; 5 lb/(ft2 h) is 24.4 kg/(m2 h), not the printed 20.1.
	rate, _ = quantity.Parse[quantity.Loading]("1 gpm/ft2")
	near(t, "gpm/ft2", rate.In("L/m2/min"), 40.7, 0.05)
	load, _ := quantity.Parse[quantity.SolidsLoading]("5 lb/ft2/h")
	near(t, "lb/ft2 h", float64(load), 24.41, 0.005)
	// Sincero and Sincero 2003 print 39 mg/L at 20 C (oxygen saturation times 4.29): half too high, nitrogen taken for as soluble as oxygen.
	if a := (Water{Temperature: 20}).Solubility(); a > 30 {
		t.Errorf("air at 20 C %v", a)
	}
	// Hendricks 2011 p. 175 prints 25.61 mg/L at 20 C by a fit of its own, 2 % above.
	near(t, "air at 20 C", float64(Water{Temperature: 20}.Solubility()), 25.61, 0.52)
}
