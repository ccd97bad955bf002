// Package clarify cleans up a tank on paper: its water is circulated through a
// unit that takes out part of the solids at each pass, until it is clear enough.
// The tank is taken as well mixed. How long, how much chemical, how much waste,
// and what builds up in the water come from integrating the mass balances
// numerically, because the dose may follow the reading:
//
//	V dC/dt = −E·Q·(C − f) + X·(Cx − C) + V·s      reading
//	V dR/dt = Q·D·(1 − c) − X·R                    residual of each chemical
//	V dA/dt = −Q·Σ(a·D) + X·(Ax − A) − N           alkalinity
//
// with tank V, flow Q, removal per pass E, floor f that no pass gets below, new
// water X, rise s from solids coming in, dose D, capture c, acid a of the
// product, and what nitrifying takes, N. Where the coefficients are constant the answers are exponentials, and
// the tests hold the integration to those.
package clarify

import (
	"math"

	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Chemical is something dosed on the way round.
type Chemical struct {
	Name  string
	Basis quantity.Basis
	Rule  Rule
	// Gives is what is fed in truth where a dose is set, as by a pump that moves in steps; nil
	// where it is the dose.
	Gives func(quantity.Concentration) quantity.Concentration
	// Capture is the measured share of the dose that leaves with the floc.
	Capture    quantity.Fraction
	HasCapture bool
	// Effects are those of a dose: alkalinity used, solids made, product taken.
	day.Effects
	Density quantity.Density // of the product; zero where not known
	// Stock is the strength of what the pump delivers, on the dose's basis.
	Stock quantity.Concentration
	Neat  bool // the pump delivers the product as it is
	// Residuals that stop the plan or call for care, on the dose's basis; zero where there is none.
	// Where and Care say what each rests on, As what they are told as, of which a mass of dose holds Holds.
	StopAt, WarnAt quantity.Concentration
	// BackStop and BackCare are those of animals that are kept out while it is dosed and come back to what it leaves.
	BackStop, BackCare quantity.Concentration
	As                 string
	Holds              quantity.Ratio
	Where, Care        note.Phrase
	// Stops are the residuals that stop the plan, one for each rule; none where only StopAt is known.
	Stops []Bound
}

// Bound is a residual that stops the plan by a rule, with what it rests on.
type Bound struct {
	Rule  string
	At    quantity.Concentration
	Where note.Phrase
}

// BuildsUp is the name of any stop by what builds up in a run. Each is called by the rule that its
// limit is of, where there is one, by which the day accepts it too.
const BuildsUp = "residual-builds-up"

// bounds are those of a chemical.
func (c Chemical) bounds() []Bound {
	if len(c.Stops) == 0 && c.StopAt > 0 {
		return []Bound{{BuildsUp, c.StopAt, c.Where}}
	}
	return c.Stops
}

// Tank is the whole task.
type Tank struct {
	// Key is what is read: turbidity (NTU), suspended solids (mg/L), or mL/L in a settling cone where nobody knows what they weigh.
	Key jartest.Key
	// Scale is that of the gauge by which it is read; nil where it is a meter or a laboratory.
	Scale  *gauge.Scale
	Volume quantity.Volume
	Flow   quantity.Flow
	// Hours are those in which the unit runs; Begin is the clock time of the start.
	Hours flow.Hours
	// Breaks are times since the start in which it stands still though its hours let it run.
	Breaks []flow.Span
	Begin  quantity.Time

	Start, Stop float64           // readings
	Removal     quantity.Fraction // of the reading above Floor, at each pass with chemical
	// Bare is the removal at a pass without chemical.
	Bare  quantity.Fraction
	Floor float64
	// Rise is what comes in: how much the reading would rise in an hour if nothing were taken out.
	Rise float64
	// Level is the reading to hold the tank at, once it is clear; zero where it is not to be held.
	Level float64
	// Exchange is new water in and old water out, of reading New.
	Exchange quantity.Flow
	New      float64

	Chemicals []Chemical

	Alkalinity    quantity.Alkalinity
	NewAlkalinity quantity.Alkalinity
	HasAlkalinity bool
	// Nitrified is the alkalinity, as CaCO3, that nitrifying takes, whether the unit runs or not, and NitrifiedOf what it nitrifies, in words.
	Nitrified   quantity.MassRate
	NitrifiedOf string
	// FeedAssumed is true where new water cannot bring what the feed takes, so that something else does: it stops nothing then.
	FeedAssumed bool
	// Phosphate is the soluble phosphorus, as P, of the tank at the start and of what comes in; zero where not known.
	Phosphate quantity.Concentration
	// Works is true where the water is for no animals: what ponds should have of alkalinity is no matter then.
	Works bool
	// Asks is the alkalinity that AskedBy, the animals in it, should have, where that is more than most waters should.
	Asks    quantity.Alkalinity
	AskedBy string

	// PerUnit is mg/L of suspended solids per unit of the reading; 1 for suspended
	// solids, 1.5 per NTU where zero.
	PerUnit float64
	// Share and Density of float or sludge, Bin and Skim as in package solids.
	Share   quantity.Fraction
	Density quantity.Density
	Bin     solids.Bin
	Skim    solids.Skimmer
	Staffed flow.Hours

	// Longest ends the run when the tank does not clear; zero counts as 14 days.
	Longest quantity.Time
}

// Within is the longest time that a run is given to clear the tank.
func (k Tank) Within() quantity.Time {
	if k.Longest <= 0 {
		return 14 * 24
	}
	return k.Longest
}

// SolidsPerUnit is mg/L of suspended solids per unit of the reading: as given, 1 for
// suspended solids themselves, else what is usual of turbidity; zero of a cone's mL/L, of which nobody knows it.
func (k Tank) SolidsPerUnit() float64 {
	switch {
	case k.PerUnit > 0:
		return k.PerUnit
	case k.Key == jartest.TSS:
		return 1
	case k.Key == gauge.Cone:
		return 0
	default:
		return solids.PerNTU
	}
}

// NTU is a reading as turbidity, by which floc's room for a polymer goes: suspended solids by what usually goes with it;
// not known of a cone's mL/L.
func (k Tank) NTU(reading float64) quantity.Known[float64] {
	if k.Key == jartest.TSS {
		reading /= solids.PerNTU
	}
	return quantity.Known[float64]{V: reading, OK: k.Key != gauge.Cone}
}

// Unit gives the unit of the reading.
func (k Tank) Unit() string { return k.Key.Info().Unit }

// Gauged is what the tank's tube or cone shows of a reading; false where it has none, its pairs do not reach so far or it does not tell there.
func (k Tank) Gauged(reading float64) (shows float64, ok bool) {
	if k.Scale == nil {
		return 0, false
	}
	shows, ok = k.Scale.Shows(reading)
	return shows, ok && (k.Scale.Key != gauge.Tube || reading >= gauge.LeastByTube)
}

// Says is a reading in a note: as the tank is read, with what is worked with beside it where that is another.
func (k Tank) Says(reading float64) note.Phrase {
	said := note.Say("%s %s", quantity.To(quantity.Number(reading), 3), k.Unit())
	if shows, ok := k.Gauged(reading); ok {
		return note.Say("%s %s in the %s (%s)", quantity.To(quantity.Number(shows), 3), gauge.Unit(k.Scale.Key), gauge.Name(k.Scale.Key), said)
	}
	return said
}

// Plateau is the reading that a tank run without pause would come to in the end
// with removal E.
func (k Tank) Plateau(e quantity.Fraction) float64 {
	out := float64(e)*float64(k.Flow) + float64(k.Exchange)
	in := float64(e)*float64(k.Flow)*k.Floor + float64(k.Exchange)*k.New + k.Rise*k.Volume.In("m3")
	if out <= 0 {
		if in > 0 {
			return math.Inf(1)
		}
		return k.Start
	}
	return in / out
}

// TurnoversFor gives the turnovers that take a share away from a well-mixed tank
// without anything coming in: −ln(1 − share)/E. For 90 % it is 2.30/E, for 99 % 4.61/E.
func TurnoversFor(share, e quantity.Fraction) float64 {
	return -math.Log1p(-float64(share)) / float64(e)
}

// HoldBelowClear is the code of [Tank.HeldBelow].
const HoldBelowClear = "hold-below-clear"

// HeldBelow is a fault where a tank is to be held at a lower reading than it is cleared to.
func (k Tank) HeldBelow() error {
	if k.Level == 0 || k.Level >= k.Stop {
		return nil
	}
	return note.Fault(HoldBelowClear, "the tank is to be held at a lower reading than it is cleared to").
		Do("clear it to the reading that it is held at, or below it")
}

// check refuses what cannot be integrated.
func (k Tank) check() error {
	var l note.List
	need := func(ok bool, code, what, do string) {
		if !ok {
			l.Add(note.Fault(code, "%s", what).Do("%s", do))
		}
	}
	positive := func(v float64) bool { return v > 0 && !math.IsInf(v, 1) } // no number is not above zero
	need(positive(float64(k.Volume)), "no-volume", "the tank has no volume", `give it, such as "60 m3"`)
	need(positive(float64(k.Flow)), "no-flow", "no water goes round", `give the flow through the unit, such as "12 m3/h"`)
	need(positive(k.Start), "no-start", "the tank's reading at the start is missing", `give it, such as "80 NTU"`)
	need(positive(k.Stop), "no-stop", "the reading to stop at is missing", `give it, such as "5 NTU"`)
	need(k.Removal > 0 && k.Removal <= 1, "no-removal", "the removal at each pass is missing or not above 0 and up to 100 %",
		`give it, such as "85 %": 1 − outlet/inlet of the unit`)
	need(k.Bare >= 0 && k.Bare <= 1, "bad-removal", "the removal without chemical is not from 0 to 100 %", "correct it")
	need(k.Floor >= 0 && k.Rise >= 0 && k.New >= 0 && k.Exchange >= 0, "negative", "floor, rise, new water and its reading cannot be negative",
		"give zero or more")
	l = append(l, note.Of(k.HeldBelow(), "hold")...)
	for _, c := range k.Chemicals {
		need(c.Capture >= 0 && c.Capture <= 1, "bad-capture", "the capture of "+c.Name+" is not from 0 to 100 %", "correct it")
	}
	return l.Err()
}
