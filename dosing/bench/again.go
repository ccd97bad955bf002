package bench

import (
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Cause is why jars that had cleared clouded again at higher doses.
type Cause string

// The causes. Acid: the dose has made the water too sour for the metal to form floc.
// Reversal: the coagulant has turned the charge of the particles.
const (
	Acid     Cause = "acid"
	Reversal Cause = "charge-reversal"
	Both     Cause = "acid-and-charge-reversal"
	Untold   Cause = "cannot-be-told"
)

// Again is why the jars of a series clouded again, and what the next ones should hold.
type Again struct {
	Cause Cause
	// Reading is the kind that clouded. Best is the best jar, From the lowest dose above it whose jars are worse.
	Reading    jartest.Key
	Best, From curve.Spot
	// There is the water in the jars at From.
	There JarWater
	// Sour is the lowest dose whose jars are worse and too sour for floc.
	Sour quantity.Known[quantity.Concentration]
	// Charge is what the jars at From read of it, under ChargeKey.
	Charge    quantity.Known[float64]
	ChargeKey jartest.Key
	// Turns is the dose between two jars at which it passes zero, on the straight line.
	Turns quantity.Known[quantity.Concentration]
	// Acidless is true of a chemical that takes no alkalinity, such as a polymer.
	Acidless bool
	// Tells are the readings that would tell what these jars do not.
	Tells []jartest.Key
	Next  NextJars
}

// JarWater is pH and alkalinity in the jars of a dose, by their own readings where they have any.
type JarWater struct {
	PH         quantity.Known[quantity.PH]
	Alkalinity quantity.Known[quantity.Alkalinity]
	Read       bool // else worked out
	// Aged is a pH worked out once the floc has aged, where that moves it; PH is that with fresh floc.
	Aged quantity.Known[quantity.PH]
	// Raw is the raw water's alkalinity, Used what the dose takes of it.
	Raw, Used quantity.Known[quantity.Alkalinity]
}

// sour reports water that is too sour for floc, and what shows it.
func (w JarWater) sour(f curve.FlocWater) (note.Phrase, bool) {
	switch {
	case w.Alkalinity.OK && w.Alkalinity.V < f.Gone:
		return note.Say("their alkalinity comes to %s mg/L as CaCO3", quantity.Full(quantity.Number(max(0, w.Alkalinity.V)), 2)), true
	case w.PH.OK && w.PH.V < f.Least:
		return note.Say("their pH comes to %s", quantity.Full(quantity.Number(w.PH.V), 2)), true
	}
	return note.Phrase{}, false
}

// again tells why the jars of a series clouded again; nil where they did not, or too little to fail the target.
func (t tested) again(r *curve.Result) *Again {
	o := &r.Overdose
	if len(o.Worse) == 0 {
		return nil
	}
	if !o.Sour.OK {
		for _, x := range o.Worse {
			w := t.waterAt(x.Dose)
			if said, sour := w.sour(r.FlocWater()); sour && !w.Read {
				r.RanOut(x.Dose, said)
				break
			}
		}
	}
	if o.Passes || !o.Seen && !o.Sour.OK {
		return nil
	}
	a := &Again{Reading: r.Response, Best: o.Least, From: o.Worse[0], There: t.waterAt(o.Worse[0].Dose), Sour: o.Sour, Acidless: t.acidless()}
	for _, k := range []jartest.Key{jartest.Zeta, jartest.StreamingCurrent} {
		if v := t.at(k, a.From.Dose); v.OK && !a.Charge.OK {
			a.Charge, a.ChargeKey = v, k
		}
	}
	if a.Charge.OK {
		a.Turns = t.turns(a.ChargeKey)
	}
	a.judge()
	t.plan(a, r)
	return a
}

// turns is the dose at which a charge that was negative passes zero, on the straight line between two doses.
func (t tested) turns(k jartest.Key) (at quantity.Known[quantity.Concentration]) {
	var doses []quantity.Concentration
	for _, j := range t.Jars {
		if t.chem < len(j.Doses) && j.Doses[t.chem].Known {
			doses = append(doses, j.Doses[t.chem].Concentration)
		}
	}
	slices.Sort(doses)
	last, below := quantity.Concentration(0), 0.0
	for _, d := range doses {
		v := t.at(k, d)
		if v.OK && v.V >= 0 && below < 0 {
			return quantity.Some(last + (d-last)*quantity.Concentration(below/(below-v.V)))
		}
		if v.OK {
			last, below = d, v.V
		}
	}
	return at
}

// judge weighs acid and charge.
func (a *Again) judge() {
	positive := a.Charge.OK && a.Charge.V > 0
	switch here := a.Sour.OK && same(a.Sour.V, a.From.Dose); {
	case a.Sour.OK && positive:
		a.Cause = Both
	case here, a.Sour.OK && a.Charge.OK: // still negative: the charge has not turned
		a.Cause = Acid
	case positive:
		a.Cause = Reversal
	default:
		a.Cause = Untold
	}
	if a.Cause != Acid && !a.Acidless && !a.There.PH.OK && !a.There.Alkalinity.OK {
		a.Tells = append(a.Tells, jartest.PH, jartest.AlkalinityKey)
	}
	if !a.Charge.OK {
		a.Tells = append(a.Tells, jartest.Zeta, jartest.StreamingCurrent)
	}
}

// waterAt is the water in the jars of a dose.
func (t tested) waterAt(d quantity.Concentration) (w JarWater) {
	ph, alk := t.at(jartest.PH, d), t.at(jartest.AlkalinityKey, d)
	w.PH, w.Alkalinity = quantity.Known[quantity.PH]{V: quantity.PH(ph.V), OK: ph.OK},
		quantity.Known[quantity.Alkalinity]{V: quantity.Alkalinity(alk.V), OK: alk.OK}
	w.Read = ph.OK || alk.OK
	per, counts := t.acidPer()
	if counts {
		w.Used = quantity.Some(quantity.Alkalinity(float64(per) * float64(d)))
	}
	if raw, ok := t.RawReading(jartest.AlkalinityKey); ok {
		w.Raw = quantity.Some(quantity.Alkalinity(raw))
	}
	if w.Read {
		return w
	}
	for _, j := range t.water.Jars {
		if t.chem < len(j.Doses) && same(j.Doses[t.chem], d) {
			w.PH, w.Alkalinity = quantity.Some(j.PH), quantity.Some(j.Alkalinity)
			w.Aged = quantity.Known[quantity.PH]{V: j.Aged, OK: j.Ages()}
			w.Used = quantity.Some(t.water.Raw.Alkalinity - j.Alkalinity)
			return w
		}
	}
	if w.Raw.OK && counts {
		w.Alkalinity = quantity.Some(w.Raw.V - w.Used.V)
	}
	return w
}

// Words says in plain words why it clouded.
func (a *Again) Words() string {
	switch told := a.Acidless || a.There.PH.OK || a.There.Alkalinity.OK; {
	case a.Cause == Acid:
		return "acid, the dose has made the water too sour for floc"
	case a.Cause == Reversal:
		return "charge reversal, more coagulant than the particles can hold"
	case a.Cause == Both:
		return "acid and charge reversal together"
	case told && !a.Charge.OK:
		return "not acid; whether the charge has turned was not read"
	case told:
		return "neither acid nor charge, as read; run these jars again"
	}
	return "cannot be told from these jars"
}
