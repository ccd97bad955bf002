package bench

import (
	"jarwright/dosing/caution"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// NextJars is what the next jars should hold: doses from Low to High, and where acid kept these from the target, alkali.
type NextJars struct {
	Low, High quantity.Concentration
	// Clear is true of a dose that was found so far below the clouding that the next jars need not look there: they narrow
	// its interval, and Low and High are none.
	Clear bool
	// WithAlkali is true where every jar should be given alkali, so that Kept is left in it.
	WithAlkali bool
	Kept       quantity.Alkalinity
	// PerDose is the alkalinity that 1 mg/L of the dose takes, UsedUp the dose that takes all of the raw water's.
	PerDose quantity.Known[quantity.Ratio]
	UsedUp  quantity.Known[quantity.Concentration]
	// RawMissing is true where the raw water's alkalinity is not known and has to be taken off.
	RawMissing bool
	// Alkali are those to choose from, Harsh those that would take the pH above Most, where floc dissolves.
	Alkali []AlkaliDose
	Harsh  []string
	Most   quantity.PH
}

// AlkaliDose is a pure alkali with its dose in the jars of the lowest and of the highest dose; the jars between follow.
type AlkaliDose struct {
	Name      string
	Low, High InJar
}

// InJar is a dose of alkali in a jar, and the pH that jar then has.
type InJar struct {
	Dose quantity.Concentration
	PH   quantity.Known[quantity.PH]
}

// benchAlkalis are those of [water.Alkalis] that a bench has at hand and that dissolve at once.
var benchAlkalis = []string{"na2co3", "nahco3", "caoh2"}

// sour reports acid among the causes.
func (a *Again) sour() bool { return a.Cause == Acid || a.Cause == Both }

// plan says what the next jars should hold: alkali where acid spoilt these, else smaller steps. Where a dose was found,
// they go no further than from the jar below the best one to the first that is worse.
func (t tested) plan(a *Again, r *curve.Result) {
	n := &a.Next
	n.Low, n.High = a.Best.Dose, a.From.Dose
	if e := r.Effective; r.Outcome == curve.Found && e.HasHigh && e.High <= a.Best.Dose {
		n.Clear, n.Low, n.High = true, 0, 0
		return
	}
	if !a.sour() || r.Outcome == curve.Found {
		for _, j := range r.Jars {
			if j.Used && j.Dose < a.Best.Dose && (j.Dose > n.Low || n.Low == a.Best.Dose) {
				n.Low = j.Dose
			}
		}
	} else {
		n.High = r.TestedHigh
	}
	if !a.sour() {
		return
	}
	f := r.FlocWater()
	n.WithAlkali, n.Kept, n.Most = true, f.Kept, f.Most
	per, ok := t.acidPer()
	if !ok {
		return
	}
	n.PerDose = quantity.Some(per)
	raw, known := t.RawReading(jartest.AlkalinityKey)
	if n.RawMissing = !known; known && per > 0 {
		n.UsedUp = quantity.Some(quantity.Concentration(raw / float64(per)))
	}
	for _, id := range benchAlkalis {
		for _, x := range water.Alkalis() {
			if x.ID == id {
				n.offer(AlkaliDose{x.Name, t.inJar(x, n.Low, *n, quantity.Alkalinity(raw)), t.inJar(x, n.High, *n, quantity.Alkalinity(raw))})
			}
		}
	}
}

// offer takes an alkali among those to choose from, or among the harsh ones.
func (n *NextJars) offer(x AlkaliDose) {
	if ph := max(x.Low.PH.V, x.High.PH.V); ph > n.Most {
		n.Harsh = append(n.Harsh, x.Name)
		return
	}
	n.Alkali = append(n.Alkali, x)
}

// inJar is the alkali that leaves what is to be kept beside a dose, and the pH before gas passes.
func (t tested) inJar(x water.Alkali, d quantity.Concentration, n NextJars, raw quantity.Alkalinity) InJar {
	in := InJar{Dose: x.Raising(quantity.Alkalinity(float64(n.PerDose.V)*float64(d)) + n.Kept - raw)}
	if !t.water.Computed || len(t.Chemicals) != 1 {
		return in
	}
	add, err := caution.AdditionOf(t.water.Products[0], quantity.Dose{Concentration: d, Basis: t.Chemicals[0].Basis})
	if err == nil {
		closed, _ := water.Dose(t.water.Raw, add.Plus(x.Gives(in.Dose)))
		in.PH = quantity.Some(closed.PH)
	}
	return in
}

// Span gives the doses of the next series to [curve.Result.Next].
func (a *Again) Span() curve.Span {
	if a == nil {
		return curve.Span{}
	}
	if a.Next.Clear {
		return curve.Span{High: a.From.Dose}
	}
	s := curve.Span{Low: a.Next.Low, High: a.Next.High, Steps: !a.Next.WithAlkali,
		Rule: "smaller steps between the doses on either side of the best, before it clouds again", Why: "before it clouds again"}
	if a.Next.WithAlkali {
		s.Changed, s.Why = true, "with alkali"
		s.Rule = "from the best dose to the highest tested, every jar with alkali first, which the last ones lacked"
		if a.Next.Low < a.Best.Dose {
			s.Rule = "equal steps between the doses on either side of the best, every jar with alkali first, which the last ones lacked"
		}
	}
	return s
}

// Note tells the one who plans the next jars what spoilt the last ones.
func (a *Again) Note() note.Note {
	n := note.New(note.Caution, "clouded-again", "the last jars clouded again from %s on; why: %s", a.From.Dose, a.Words())
	x := a.Next
	switch {
	case len(x.Alkali) > 0:
		first := x.Alkali[0]
		return n.Do("%s", note.Say("give every jar alkali first, as much more as its dose: %s of %s with %s of dose, %s with %s",
			quantity.Full(first.Low.Dose, 2), first.Name, x.Low, quantity.Full(first.High.Dose, 2), x.High).
			If(x.RawMissing, ", less what the raw water's own alkalinity is worth").
			And("; each leaves %s mg/L as CaCO3", quantity.Number(x.Kept)).
			If(first.High.PH.OK, ", at pH %s to %s", quantity.Full(first.Low.PH.V, 2), quantity.Full(first.High.PH.V, 2)))
	case x.WithAlkali:
		return n.Do("give every jar alkali first, so that %s mg/L as CaCO3 is left", quantity.Number(x.Kept))
	}
	if x.Clear {
		return n.Do("keep the next jars below that; the dose that was found lies clear of it")
	}
	return n.Do("take smaller steps between %s and %s", x.Low, x.High)
}
