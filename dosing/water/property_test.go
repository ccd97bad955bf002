package water

import (
	"math"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

// anyState draws a water that could stand in a beck, a pond, an estuary or the sea.
func anyState(t *rapid.T) State {
	c := Conditions{
		Temperature: quantity.Temperature(rapid.Float64Range(0, 40).Draw(t, "temperature")),
		Scale:       Scale(rapid.IntRange(0, 2).Draw(t, "scale")),
	}
	if rapid.Bool().Draw(t, "sea") {
		c.Salinity = quantity.Salinity(rapid.Float64Range(0, 45).Draw(t, "salinity"))
	} else {
		c.Conductivity = quantity.Conductance(rapid.Float64Range(0, 3000).Draw(t, "conductivity"))
	}
	ph := quantity.PH(rapid.Float64Range(5, 9).Draw(t, "ph"))
	s, err := fromPHCarbonate(c, ph, quantity.Molarity(rapid.Float64Range(0.01, 10).Draw(t, "carbonate")))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*max(1, math.Abs(a), math.Abs(b)) }

func TestAcidNeverRaisesPH(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t)
		a := quantity.Alkalinity(rapid.Float64Range(0, 500).Draw(t, "acid"))
		more := a + quantity.Alkalinity(rapid.Float64Range(0, 500).Draw(t, "more"))
		if one, two := s.AfterAcid(a), s.AfterAcid(more); one.PH > s.PH+1e-9 || two.PH > one.PH+1e-9 {
			t.Fatalf("pH %v, then %v after %v, then %v after %v", s.PH, one.PH, a, two.PH, more)
		}
	})
}

func TestAerationMovesTowardsAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t)
		a := Addition{Acid: quantity.Alkalinity(rapid.Float64Range(-200, 400).Draw(t, "acid"))}
		closed, open := Dose(s, a)
		if !near(float64(closed.Alkalinity), float64(open.Alkalinity), 1e-12) {
			t.Fatal("aeration changed alkalinity")
		}
		if closed.CO2 > open.CO2 && open.PH < closed.PH-1e-9 {
			t.Fatalf("stripping lowered pH from %v to %v", closed.PH, open.PH)
		}
		if closed.CO2 < open.CO2 && open.PH > closed.PH+1e-9 {
			t.Fatalf("taking up carbon dioxide raised pH from %v to %v", closed.PH, open.PH)
		}
	})
}

func TestNeutralisingReturnsTheStart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t)
		a := quantity.Alkalinity(rapid.Float64Range(-500, 500).Draw(t, "acid"))
		back := s.AfterAcid(a).AfterAcid(-a)
		if !near(float64(back.PH), float64(s.PH), 1e-7) || !near(float64(back.CO2), float64(s.CO2), 1e-6) {
			t.Fatalf("started at %+v, came back to %+v", s, back)
		}
	})
}

func TestAnyTwoAmountsGiveTheSameWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t)
		c := s.Conditions
		for name, make := range map[string]func() (State, error){
			"pH and alkalinity":        func() (State, error) { return FromPHAlkalinity(c, s.PH, s.Alkalinity) },
			"pH and CO2":               func() (State, error) { return FromPHCO2(c, s.PH, s.CO2) },
			"alkalinity and carbonate": func() (State, error) { return fromAlkalinityCarbonate(c, s.Alkalinity, s.Carbonate) },
			"alkalinity and CO2":       func() (State, error) { return FromAlkalinityCO2(c, s.Alkalinity, s.CO2) },
			"carbonate and CO2":        func() (State, error) { return fromCarbonateCO2(c, s.Carbonate, s.CO2) },
		} {
			got, err := make()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if !near(float64(got.PH), float64(s.PH), 1e-5) || !near(float64(got.Alkalinity), float64(s.Alkalinity), 1e-5) ||
				!near(float64(got.Carbonate), float64(s.Carbonate), 1e-5) {
				t.Fatalf("%s: got %+v, want %+v", name, got, s)
			}
		}
	})
}

func TestSolverNeverFails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t)
		closed, open := Dose(s, Addition{
			Acid:      quantity.Alkalinity(rapid.Float64Range(-1e6, 1e6).Draw(t, "acid")),
			Carbonate: quantity.Molarity(rapid.Float64Range(0, 1e4).Draw(t, "carbonate")),
		})
		for _, v := range []float64{float64(closed.PH), float64(closed.CO2), float64(open.PH), float64(open.Carbonate)} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("closed %+v open %+v", closed, open)
			}
		}
	})
}

func TestAlkaliHoldsItsGoal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyState(t).AfterAcid(quantity.Alkalinity(rapid.Float64Range(0, 100).Draw(t, "acid")))
		for _, a := range Alkalis() {
			floor := quantity.Alkalinity(rapid.Float64Range(0, 200).Draw(t, "floor"))
			closed, _ := Dose(s, a.Gives(a.Raising(floor-s.Alkalinity)))
			if !near(float64(closed.Alkalinity), max(float64(floor), float64(s.Alkalinity)), 1e-9) {
				t.Fatalf("%s: alkalinity %v, asked %v", a.Name, closed.Alkalinity, floor)
			}
			ph := quantity.PH(rapid.Float64Range(6, 8.5).Draw(t, "ph"))
			pure, err := HoldPH(s, ph, a)
			if err != nil {
				continue
			}
			if held, _ := Dose(s, a.Gives(pure)); held.PH < ph-1e-6 {
				t.Fatalf("%s: pH %v, asked %v", a.Name, held.PH, ph)
			}
			if pure > 0 {
				if less, _ := Dose(s, a.Gives(pure*0.999)); less.PH > ph+1e-6 {
					t.Fatalf("%s: a smaller dose would do", a.Name)
				}
			}
		}
	})
}

func TestAluminiumStaysOrdered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Aluminium(quantity.PH(rapid.Float64Range(3, 12).Draw(t, "ph")),
			quantity.Alkalinity(rapid.Float64Range(0, 600).Draw(t, "hardness")),
			quantity.Concentration(rapid.Float64Range(0, 20).Draw(t, "doc")))
		if !(c.Acute > 0 && c.Chronic > 0 && c.Chronic <= c.Acute*(1+1e-9)) {
			t.Fatalf("chronic %v over acute %v", c.Chronic, c.Acute)
		}
	})
}

// fromPHCarbonate makes a state from pH and total dissolved inorganic carbon.
func fromPHCarbonate(c Conditions, ph quantity.PH, dic quantity.Molarity) (State, error) {
	if err := check(c, float64(ph), float64(dic)); err != nil {
		return State{}, err
	}
	if dic < 0 {
		return State{}, checkCO2(c, 7, quantity.Concentration(dic))
	}
	k := ConstantsAt(c)
	ct := float64(dic) / 1000 / k.Density
	return k.state(c, ph, k.caco3(k.alkalinity(k.h(ph), ct)), ct), nil
}

// fromAlkalinityCarbonate makes a state from alkalinity and total dissolved
// inorganic carbon. Every pair of a finite alkalinity and a carbonate of zero or
// more has one pH, which is found by bisection.
func fromAlkalinityCarbonate(c Conditions, a quantity.Alkalinity, dic quantity.Molarity) (State, error) {
	if err := check(c, 7, float64(a), float64(dic)); err != nil {
		return State{}, err
	}
	if dic < 0 {
		return State{}, checkCO2(c, 7, quantity.Concentration(dic))
	}
	k := ConstantsAt(c)
	ct, alk := float64(dic)/1000/k.Density, k.perKg(a)
	h := bisect(func(h float64) float64 { return k.alkalinity(h, ct) - alk })
	return k.state(c, k.ph(h), a, ct), nil
}

// fromCarbonateCO2 makes a state from total dissolved inorganic carbon and the
// part of it that is carbon dioxide, which must be the smaller.
func fromCarbonateCO2(c Conditions, dic quantity.Molarity, co2 quantity.Concentration) (State, error) {
	if err := check(c, 7, float64(dic), float64(co2)); err != nil {
		return State{}, err
	}
	k := ConstantsAt(c)
	ct, free := float64(dic)/1000/k.Density, k.co2PerKg(co2)
	if free <= 0 || ct <= free {
		return State{}, note.Fault("carbonate-impossible", "carbon dioxide must be above zero and below total carbonate")
	}
	h := bisect(func(h float64) float64 { return free*(1+k.K1/h+k.K1*k.K2/(h*h)) - ct })
	return k.state(c, k.ph(h), k.caco3(k.alkalinity(h, ct)), ct), nil
}
