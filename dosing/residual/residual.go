// Package residual keeps account of what a dose leaves in the water: once
// through, in a loop that comes round again, and in a batch.
//
// The worst case comes first: all of the dose stays and none is washed out. A
// measured capture or exchange may improve on it; nothing else does, because
// humic matter and solids bind polymer by amounts that no site knows beforehand.
package residual

import (
	"math"

	"jarwright/jartest/quantity"
)

// Once is the residual of water treated once, or of a batch dosed once: what of
// the dose is not captured.
func Once(dose quantity.Concentration, capture quantity.Fraction) quantity.Concentration {
	return dose * quantity.Concentration(1-clip(capture))
}

// Loop is a well-mixed volume whose water is dosed on its way round:
//
//	V dR/dt = Q D (1 - c) - E (R - M) - Q k R + V (m - b R)
//
// It serves residual polymer and metal, salts that build up, and (with Dose
// below zero) alkalinity that is used.
type Loop struct {
	Volume quantity.Volume // V
	Flow   quantity.Flow   // Q, through the unit
	// Dose per volume of water treated (D).
	Dose quantity.Concentration
	// Capture is the measured share of the dose that leaves with the floc (c).
	Capture quantity.Fraction
	// Recapture is the measured share of what is already in the water that the
	// unit takes out at each pass (k).
	Recapture quantity.Fraction
	// Exchange is new water in, old water out (E), which holds MakeUp (M).
	Exchange quantity.Flow
	MakeUp   quantity.Concentration
	// Start is what the water holds before (R at time 0).
	Start quantity.Concentration
	// Makes is what the water itself makes of it in a day (24 m), below zero what it uses up.
	Makes quantity.Concentration
	// HalfLife is the measured time in which half of it breaks down (ln 2 / b); zero is never.
	HalfLife quantity.Time
}

// At is the residual after that long.
func (l Loop) At(t quantity.Time) quantity.Concentration {
	gain, loss := l.rates()
	r0 := float64(l.Start)
	return quantity.Concentration(r0 + (gain-loss*r0)*reach(loss, float64(t)))
}

// reach is (1 - exp(-loss t)) / loss, which is t where nothing is lost.
func reach(loss, t float64) float64 {
	if loss*t < 1e-9 {
		return t * (1 - loss*t/2)
	}
	return -math.Expm1(-loss*t) / loss
}

// Reaches is how long until the residual comes to a limit from below or, where
// it starts above, from above; false where it never gets there.
func (l Loop) Reaches(limit quantity.Concentration) (quantity.Time, bool) {
	if l.Start == limit {
		return 0, true
	}
	gain, loss := l.rates()
	slope := gain - loss*float64(l.Start)
	x := float64(limit-l.Start) / slope
	if slope == 0 || x < 0 || loss*x >= 1 || math.IsInf(x, 0) {
		return 0, false
	}
	if loss*x < 1e-9 {
		return quantity.Time(x), true
	}
	return quantity.Time(-math.Log1p(-loss*x) / loss), true
}

// Turnovers is how many times the volume passes the unit in that time.
func (l Loop) Turnovers(t quantity.Time) float64 {
	if l.Volume <= 0 {
		return 0
	}
	return float64(l.Flow) * 1000 * float64(t) / float64(l.Volume)
}

// rates gives the gain in mg/L per hour and the loss per hour.
func (l Loop) rates() (gain, loss float64) {
	if l.Volume <= 0 {
		return 0, 0
	}
	v := float64(l.Volume)
	q, e := float64(l.Flow)*1000/v, float64(l.Exchange)*1000/v
	gain, loss = q*float64(l.Dose)*float64(1-clip(l.Capture))+e*float64(l.MakeUp)+float64(l.Makes)/24, e+q*float64(clip(l.Recapture))
	if l.HalfLife > 0 {
		loss += math.Ln2 / float64(l.HalfLife)
	}
	return gain, loss
}

func clip(f quantity.Fraction) quantity.Fraction { return min(max(f, 0), 1) }
