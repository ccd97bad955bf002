package bench

import (
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Cause is why jars that had cleared clouded again at higher doses.
type Cause string

// The causes. Acid: the dose has used up the alkalinity, so that the metal no longer forms floc.
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
	// Sour is the lowest dose whose jars are worse and have no alkalinity left.
	Sour quantity.Known[quantity.Concentration]
	// Charge is what the jars at From read of it, under ChargeKey.
	Charge    quantity.Known[float64]
	ChargeKey jartest.Key
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
	// Raw is the raw water's alkalinity, Used what the dose takes of it.
	Raw, Used quantity.Known[quantity.Alkalinity]
}

// sour reports water in which a metal salt forms no good floc.
func (w JarWater) sour() bool {
	return w.PH.OK && w.PH.V < curve.SourPH || w.Alkalinity.OK && w.Alkalinity.V < curve.SourAlkalinity
}

// said is what shows it.
func (w JarWater) said() note.Phrase {
	if w.Alkalinity.OK && w.Alkalinity.V < curve.SourAlkalinity {
		return note.Say("their alkalinity comes to %s mg/L as CaCO3", quantity.Full(quantity.Number(max(0, w.Alkalinity.V)), 2))
	}
	return note.Say("their pH comes to %s", quantity.Full(quantity.Number(w.PH.V), 2))
}

// NextJars is what the next jars should hold: doses from Low to High, and where acid spoilt these, alkali.
type NextJars struct {
	Low, High quantity.Concentration
	// Need is the alkalinity that every jar should be given for Kept to be left at High, by any one of
	// Alkali; RawMissing where the raw water's is not known and has to be taken off.
	Need       quantity.Known[quantity.Alkalinity]
	Kept       quantity.Alkalinity
	RawMissing bool
	Alkali     []AlkaliDose
}

// AlkaliDose is a pure alkali with its dose.
type AlkaliDose struct {
	Name string
	Dose quantity.Concentration
}

// benchAlkalis are those of [water.Alkalis] that a bench has at hand and that dissolve at once.
var benchAlkalis = []string{"na2co3", "nahco3", "caoh2"}

// again tells why the jars of a series clouded again; nil where they did not.
func (t tested) again(r *curve.Result) *Again {
	o := &r.Overdose
	if len(o.Worse) == 0 {
		return nil
	}
	if !o.Sour.OK {
		for _, x := range o.Worse {
			if w := t.waterAt(x.Dose); w.sour() && !w.Read {
				r.RanOut(x.Dose, w.said())
				break
			}
		}
	}
	if !o.Seen && !o.Sour.OK {
		return nil
	}
	a := &Again{Reading: r.Response, Best: o.Least, From: o.Worse[0], There: t.waterAt(o.Worse[0].Dose), Sour: o.Sour, Acidless: t.acidless()}
	for _, k := range []jartest.Key{jartest.Zeta, jartest.StreamingCurrent} {
		if v := t.at(k, a.From.Dose); v.OK && !a.Charge.OK {
			a.Charge, a.ChargeKey = v, k
		}
	}
	a.judge()
	t.plan(a, r)
	return a
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
			w.Used = quantity.Some(t.water.Raw.Alkalinity - j.Alkalinity)
			return w
		}
	}
	if w.Raw.OK && counts {
		w.Alkalinity = quantity.Some(w.Raw.V - w.Used.V)
	}
	return w
}

// plan says what the next jars should hold.
func (t tested) plan(a *Again, r *curve.Result) {
	n := &a.Next
	n.Low, n.High = a.Best.Dose, a.From.Dose
	if a.Cause != Acid && a.Cause != Both {
		for _, j := range r.Jars {
			if j.Used && j.Dose < a.Best.Dose && (j.Dose > n.Low || n.Low == a.Best.Dose) {
				n.Low = j.Dose
			}
		}
		return
	}
	n.High, n.Kept = r.TestedHigh, curve.KeptAlkalinity
	per, ok := t.acidPer()
	if !ok {
		return
	}
	need := quantity.Alkalinity(float64(per)*float64(n.High)) + n.Kept
	raw, known := t.RawReading(jartest.AlkalinityKey)
	if n.RawMissing = !known; known {
		need = max(0, need-quantity.Alkalinity(raw))
	}
	n.Need = quantity.Some(need)
	for _, id := range benchAlkalis {
		for _, x := range water.Alkalis() {
			if x.ID == id {
				n.Alkali = append(n.Alkali, AlkaliDose{x.Name, x.Raising(need)})
			}
		}
	}
}

// Span gives the doses of the next series to [curve.Result.Next].
func (a *Again) Span() curve.Span {
	if a == nil {
		return curve.Span{}
	}
	s := curve.Span{Low: a.Next.Low, High: a.Next.High,
		Rule: "smaller steps between the doses on either side of the best, before it clouds again", Why: "before it clouds again"}
	if a.Cause == Acid || a.Cause == Both {
		s.Rule, s.Why = "from the best dose to the highest tested, every jar with alkali first, which the last ones lacked", "with alkali"
	}
	return s
}

// Note tells the one who plans the next jars what spoilt the last ones.
func (a *Again) Note() note.Note {
	n := note.New(note.Caution, "clouded-again", "the last jars clouded again from %s on; why: %s", a.From.Dose, a.Words())
	switch {
	case len(a.Next.Alkali) > 0:
		first := a.Next.Alkali[0]
		return n.Do("%s", note.Say("give every jar alkali first, %s of %s", quantity.Full(first.Dose, 2), first.Name).
			If(a.Next.RawMissing, " less what the raw water's own alkalinity is worth").
			And(": it leaves %s mg/L as CaCO3 at %s", quantity.Number(a.Next.Kept), a.Next.High))
	case a.Cause == Acid || a.Cause == Both:
		return n.Do("give every jar alkali first, so that %s mg/L as CaCO3 is left", quantity.Number(a.Next.Kept))
	}
	return n.Do("take smaller steps between %s and %s", a.Next.Low, a.Next.High)
}

// Words says in plain words why it clouded.
func (a *Again) Words() string {
	switch told := a.Acidless || a.There.PH.OK || a.There.Alkalinity.OK; {
	case a.Cause == Acid:
		return "acid, the dose has used up the alkalinity"
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
