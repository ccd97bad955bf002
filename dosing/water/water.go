// Package water does the acid-base chemistry of the water that is dosed, from
// fresh water to sea: the carbonate system, un-ionised ammonia, the alkali that
// puts back what a coagulant takes, and published criteria for metals.
//
// Every pH it gives is honest to about 0.1 ([Uncertainty]) where no metal dissolves: organic acids, phosphate
// and silicate are left out, and the metal is taken as precipitated hydroxide, but for what
// stays dissolved: aluminium as aluminate, and both metals as ions where the alkalinity is gone. Where much does, as
// above a raw pH of about 8.3 and below 6, the pH lies between that with
// [Fresh] and with floc that has aged ([Spread]).
package water

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Uncertainty of a pH that this package computes, where little metal dissolves: see [Spread].
const Uncertainty quantity.PH = 0.1

const (
	// caco3PerMeq is mg of calcium carbonate per meq.
	caco3PerMeq = quantity.CaCO3PerEquivalent
	// co2PerMmol is mg of carbon dioxide per mmol.
	co2PerMmol = 44.0095
)

// Air is the share of carbon dioxide in present-day air (about 420 ppm, from memory).
const Air quantity.Fraction = 420e-6

// State is a water in acid-base equilibrium: any two of its four amounts fix the
// other two under its conditions. Make one with a From function.
type State struct {
	Conditions
	PH         quantity.PH         // on the scale of Conditions
	Alkalinity quantity.Alkalinity // of the water with all metal as floc; below zero the acid that is over, free or held by metal
	Carbonate  quantity.Molarity   // total dissolved inorganic carbon
	CO2        quantity.Concentration
	// Aluminium and Iron (III) are all that was dosed: floc, and what is dissolved. Aluminate counts as alkalinity,
	// ions of a metal as acid that it has not let go.
	Aluminium, Iron quantity.Molarity
}

// FromPHAlkalinity makes a state from what a pond keeper measures. It fails
// where that alkalinity cannot stand at that pH.
func FromPHAlkalinity(c Conditions, ph quantity.PH, a quantity.Alkalinity) (State, error) {
	if err := check(c, float64(ph), float64(a)); err != nil {
		return State{}, err
	}
	k := ConstantsAt(c)
	dic := k.carbonate(k.h(ph), k.perKg(a))
	if dic <= -1e-9 {
		return State{}, note.Fault("alkalinity-impossible", "alkalinity %s cannot stand at pH %s", a, ph).
			Do("measure both again on the same sample")
	}
	return k.state(c, ph, a, max(dic, 0)), nil
}

// FromPHCO2 makes a state from pH and dissolved carbon dioxide.
func FromPHCO2(c Conditions, ph quantity.PH, co2 quantity.Concentration) (State, error) {
	if err := checkCO2(c, float64(ph), co2); err != nil {
		return State{}, err
	}
	k := ConstantsAt(c)
	h := k.h(ph)
	ct := k.co2PerKg(co2) * (1 + k.K1/h + k.K1*k.K2/(h*h))
	return k.state(c, ph, k.caco3(k.alkalinity(h, ct)), ct), nil
}

// FromAlkalinityCO2 makes a state from alkalinity and dissolved carbon dioxide.
func FromAlkalinityCO2(c Conditions, a quantity.Alkalinity, co2 quantity.Concentration) (State, error) {
	if err := checkCO2(c, 7, co2, float64(a)); err != nil {
		return State{}, err
	}
	k := ConstantsAt(c)
	return k.fixedCO2(c, a, k.co2PerKg(co2), held{}), nil
}

// Addition is what a dose brings into the water: acid as the alkalinity it uses
// (negative for a base) once all its metal is floc, carbonate of its own (soda ash, bicarbonate), aluminium, iron(III), and total
// ammonia, mg/L as N.
type Addition struct {
	Acid      quantity.Alkalinity
	Carbonate quantity.Molarity
	Aluminium quantity.Molarity
	Iron      quantity.Molarity
	Ammonia   quantity.Concentration
}

// Plus gives both additions together.
func (a Addition) Plus(b Addition) Addition {
	return Addition{a.Acid + b.Acid, a.Carbonate + b.Carbonate, a.Aluminium + b.Aluminium, a.Iron + b.Iron, a.Ammonia + b.Ammonia}
}

// Beside is how far the pH after an addition may be off by what salts do to carbonate in
// fresh water: twice the difference to the same water without any, since calcium that
// pairs with carbonate moves it about as far again. It is zero in sea water, whose salts are known.
func Beside(s State, a Addition) quantity.PH {
	if s.Salinity > 0 || s.Conductivity == 0 {
		return 0
	}
	closed, _ := Dose(s, a)
	c := s.Conditions
	c.Conductivity = 0
	plain, err := FromPHAlkalinity(c, s.PH, s.Alkalinity)
	if err != nil {
		return 0
	}
	without, _ := Dose(plain, a)
	return quantity.PH(2 * math.Abs(float64(closed.PH-without.PH)))
}

// AfterAcid gives the water after that much alkalinity is used (negative: given
// back) and no gas has passed: the jar, and the plant's first minutes.
func (s State) AfterAcid(acid quantity.Alkalinity) State {
	closed, _ := Dose(s, Addition{Acid: acid})
	return closed
}

// Dose gives the water after an addition: closed, before any carbon dioxide
// passes, as in the jar and the first minutes; and open, after aeration has
// brought it to balance with air. What acid keeps of the metal as ions is in both. Aluminate is left out of
// the latter, whose floc is gone: it moves that pH by 0.03 at most.
func Dose(s State, a Addition) (closed, open State) {
	closed = s.closed(a, false)
	return closed, closed.Aerated(Air)
}

// closed is that before any gas passes; whole where ions of the metal count at every pH.
func (s State) closed(a Addition, whole bool) State {
	k := ConstantsAt(s.Conditions)
	alk, ct := s.Alkalinity-a.Acid, s.carbonateWith(k, a)
	h := bisect(s.excess(k, a, whole))
	closed := k.state(s.Conditions, k.ph(h), alk, ct)
	closed.Aluminium, closed.Iron = s.Aluminium+a.Aluminium, s.Iron+a.Iron
	return closed
}

// carbonateWith is the total carbonate in mol/kg once something is added.
func (s State) carbonateWith(k Constants, a Addition) float64 {
	return max(float64(s.Carbonate+a.Carbonate), 0) / 1000 / k.Density
}

// excess gives by how much the alkalinity at [H] = h would be more than the closed water has once something is added, in mol/kg:
// it falls as h rises, and is zero at the water's own.
func (s State) excess(k Constants, a Addition, whole bool) func(h float64) float64 {
	kg, ct := k.perKg(s.Alkalinity-a.Acid), s.carbonateWith(k, a)
	metals := held{k.mol(s.Aluminium + a.Aluminium), k.mol(s.Iron + a.Iron), whole}
	return func(h float64) float64 { return k.alkalinity(h, ct) - k.charge(h, metals) - kg }
}

// Reaches tells of additions whether the closed water then has a pH or a higher one: as [Dose] would, without solving for its pH.
func (s State) Reaches(ph quantity.PH) func(Addition) bool {
	k := ConstantsAt(s.Conditions)
	h := k.h(ph)
	return func(a Addition) bool { return s.excess(k, a, false)(h) <= 0 }
}

// Aerated gives the water after aeration to balance with air of that share of
// carbon dioxide at one atmosphere. Alkalinity stays, and of the metal what is dissolved as ions.
func (s State) Aerated(air quantity.Fraction) State {
	k := ConstantsAt(s.Conditions)
	ions := s.ions(k)
	open := k.fixedCO2(s.Conditions, s.Alkalinity, k.K0*float64(air), ions)
	open.Aluminium, open.Iron = k.molarity(ions.aluminium), k.molarity(ions.iron)
	return open
}

// FreedCO2 is the carbon dioxide that acid frees from bicarbonate, as far as
// there is bicarbonate: 44 mg per meq.
func FreedCO2(acid quantity.Alkalinity) quantity.Concentration {
	return quantity.Concentration(float64(acid) / caco3PerMeq * co2PerMmol)
}

// alkalinity in mol/kg of a water with total carbonate ct at [H] = h.
func (k Constants) alkalinity(h, ct float64) float64 {
	a := ct*k.K1*(h+2*k.K2)/(h*h+k.K1*h+k.K1*k.K2) + k.KW/h - h
	if k.Boron > 0 {
		a += k.Boron * k.KB / (k.KB + h)
	}
	return a
}

// carbonate is the total carbonate that gives alkalinity a at [H] = h.
func (k Constants) carbonate(h, a float64) float64 {
	return (a - k.alkalinity(h, 0)) * (h*h + k.K1*h + k.K1*k.K2) / (k.K1 * (h + 2*k.K2))
}

func (k Constants) fixedCO2(c Conditions, a quantity.Alkalinity, free float64, metals held) State {
	alk := k.perKg(a)
	ctAt := func(h float64) float64 { return free * (1 + k.K1/h + k.K1*k.K2/(h*h)) }
	h := bisect(func(h float64) float64 { return k.alkalinity(h, ctAt(h)) - k.charge(h, metals) - alk })
	return k.state(c, k.ph(h), a, ctAt(h))
}

func (k Constants) state(c Conditions, ph quantity.PH, a quantity.Alkalinity, ct float64) State {
	h := k.h(ph)
	free := ct / (1 + k.K1/h + k.K1*k.K2/(h*h))
	return State{Conditions: c, PH: ph, Alkalinity: a, Carbonate: quantity.Molarity(ct * k.Density * 1000),
		CO2: quantity.Concentration(free * k.Density * 1000 * co2PerMmol)}
}

func (k Constants) h(ph quantity.PH) float64 { return math.Pow(10, k.offset-float64(ph)) }
func (k Constants) ph(h float64) quantity.PH { return quantity.PH(k.offset - math.Log10(h)) }

// perKg and caco3 pass between mg/L CaCO3 and mol/kg.
func (k Constants) perKg(a quantity.Alkalinity) float64 {
	return float64(a) / caco3PerMeq / 1000 / k.Density
}
func (k Constants) caco3(a float64) quantity.Alkalinity {
	return quantity.Alkalinity(a * k.Density * 1000 * caco3PerMeq)
}

// mol and molarity pass between mmol/L and mol/kg.
func (k Constants) mol(m quantity.Molarity) float64 { return float64(m) / 1000 / k.Density }
func (k Constants) molarity(m float64) quantity.Molarity {
	return quantity.Molarity(m * 1000 * k.Density)
}
func (k Constants) co2PerKg(c quantity.Concentration) float64 {
	return float64(c) / co2PerMmol / 1000 / k.Density
}

// bisect finds [H] where f, which falls as [H] rises, is zero. The bracket, pH -2
// to 18, holds every alkalinity below 100 mol/kg, so it cannot fail to close.
func bisect(f func(h float64) float64) float64 {
	acid, base := -2.0, 18.0
	for {
		mid := (acid + base) / 2
		if mid == acid || mid == base { // no number stands between them
			return math.Pow(10, -mid)
		}
		if f(math.Pow(10, -mid)) > 0 {
			base = mid
		} else {
			acid = mid
		}
	}
}

// check refuses what no water can be.
func check(c Conditions, ph float64, amounts ...float64) error {
	for _, v := range append(amounts, ph, float64(c.Temperature), float64(c.Salinity), float64(c.Conductivity)) {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return note.Fault("not-a-number", "a water reading is not a number")
		}
	}
	switch {
	case ph < 0 || ph > 14:
		return note.Fault("bad-ph", "pH %s is outside 0 to 14", quantity.Full(quantity.Number(ph), 4))
	case c.Temperature < -2 || c.Temperature > 50:
		return note.Fault("bad-temperature", "water temperature %s is outside %s to %s", c.Temperature,
			quantity.To(quantity.Temperature(-2), 3).Bare(), quantity.To(quantity.Temperature(50), 3))
	case c.Salinity < 0 || c.Salinity > 50:
		return note.Fault("bad-salinity", "salinity %s is outside 0 to 50", c.Salinity)
	case c.Conductivity < 0:
		return note.Fault("bad-conductivity", "conductivity is negative")
	}
	return nil
}

// checkCO2 refuses what no water can be, and carbon dioxide below zero.
func checkCO2(c Conditions, ph float64, co2 quantity.Concentration, others ...float64) error {
	if err := check(c, ph, append(others, float64(co2))...); err != nil {
		return err
	}
	if co2 < 0 {
		return note.Fault("negative-amount", "carbon dioxide is negative")
	}
	return nil
}

// TakesMuch reports that what is dosed takes so much of a soft water's alkalinity, a quarter, that it
// is said to take it (common practice, no source).
func TakesMuch(before, left quantity.Alkalinity) bool { return before-left >= before/4 }
