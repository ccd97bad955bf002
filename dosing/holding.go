package dosing

import (
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/gauge"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// holding is the tank as it is held, dosed day after day: what the cautions of a plan look at. False where nothing is
// dosed to hold it, or nothing that is dosed would.
func (c Cleaning) holding() (caution.Situation, bool) {
	if h := c.Hold; h == nil || h.Fails || !h.PerDay.OK || c.Outcome != clarify.Cleared && c.Outcome != clarify.Held {
		return c.Usual, false
	}
	return c.asHeld()
}

// Alkali is the alkali a day, as CaCO3, that the tank takes to keep its alkalinity, held at its level or, where it is to be held at none, in the
// hours of its clean-up, and what that is; all that is taken, and zero, where its alkalinity is not known. False where it keeps it by itself. A plan of such days says the same.
func (c Cleaning) Alkali() (lacks quantity.MassRate, holds quantity.Alkalinity, ok bool) {
	s, _ := c.asHeld()
	if c.Hold == nil || c.Tank().Level <= 0 { // what its feed takes, whatever clears it
		for i := range s.Doses {
			s.Doses[i].Dose.Concentration = 0
		}
	}
	l, ok := caution.LoopOf(s)
	if !ok { // nobody said what alkalinity it has, nor what new water has
		lacks = c.Tank().Nitrified
		if c.Hold != nil {
			lacks += c.Hold.Acid
		}
		return lacks, 0, lacks > 0
	}
	return l.Lacks.V, l.Holds, l.Lacks.OK
}

// asHeld is the tank as it is held, or would be in all the hours that its unit is let; false where nothing is dosed then.
func (c Cleaning) asHeld() (caution.Situation, bool) {
	h, k, s := c.Hold, c.Tank(), c.Usual
	if len(s.Doses) != len(k.Chemicals) {
		return s, false
	}
	level, hours := k.Stop, quantity.Time(k.Hours.Length())
	if h != nil {
		level = h.At
		if !h.Fails && h.PerDay.OK {
			hours = h.PerDay.V
		}
	}
	s.Loop = &caution.Loop{Volume: k.Volume, Held: true}
	if c.Outcome == clarify.Cleared && k.HasAlkalinity { // the days of holding go on from there
		s.Loop.Begins = quantity.Some(c.Final.Alkalinity)
	}
	if k.Exchange > 0 {
		s.Loop.Exchange = quantity.Some(k.Exchange)
	}
	s.Flow, s.Least, s.Hours = quantity.Some(k.Flow), quantity.Known[quantity.Flow]{}, hours
	s.Once, s.Accepted, s.Doses = nil, nil, slices.Clone(s.Doses)
	s.Water.Turbidity = k.NTU(level)
	dosed := false
	for i, x := range k.Chemicals {
		d := x.Fed(x.Rule.At(level))
		if d > s.Doses[i].Dose.Concentration*(1+hair) { // a jar with less tells too well of it
			s.Water.JarPH = quantity.Known[quantity.PH]{}
		}
		s.Doses[i].Dose.Concentration = d
		dosed = dosed || d > 0
	}
	return s, dosed
}

// whileHeld adds what is graver in the days of holding than what the clearing before them is told.
func (c *Cleaning) whileHeld(said []caution.Said) []caution.Said {
	if c.Holding == nil {
		return said
	}
	for _, x := range c.Holding.Said {
		same := func(o caution.Said) bool { return o.Code == x.Code && o.Place == x.Place && o.Level == x.Level }
		if c.heavier(x.Code) { // the larger of both is told
			said = slices.DeleteFunc(said, same)
		}
		known := func(o caution.Said) bool { return o.Code == x.Code && o.Place == x.Place && o.Level >= x.Level }
		if x.Level >= note.Caution && !slices.ContainsFunc(said, known) {
			x.Note = x.After("while it is held: ")
			said = append(said, x)
		}
	}
	if c.Strip == nil {
		c.Strip = c.Holding.Strip
	}
	return said
}

// heavier reports a rule of a metal of which the days of holding leave more in the water than the clearing before them.
func (c *Cleaning) heavier(code string) bool {
	kind, _, _ := strings.Cut(code, "-")
	most := func(all []caution.Residual) (top quantity.Concentration) {
		for _, r := range all {
			if ofMetal := strings.ToLower(r.As) == kind; ofMetal || kind == "metal" && (r.As == "Al" || r.As == "Fe") {
				top = max(top, r.Worst)
			}
		}
		return top
	}
	cleared := make([]caution.Residual, 0, len(c.Metals))
	for _, m := range c.Metals {
		cleared = append(cleared, m.Residual)
	}
	return most(c.Holding.Residuals) > most(cleared)
}

// fedWhileHeld are the cautions of the alkalinity that the feed takes of a tank that is held without a dose.
func (c Cleaning) fedWhileHeld() (out []caution.Said) {
	h := c.Hold
	s, dosed := c.holding()
	if dosed || h == nil || h.Fails || !h.PerDay.OK || len(s.Doses) != len(c.Tank().Chemicals) {
		return nil
	}
	for _, x := range caution.FedLoop(s) {
		if c.Outcome != clarify.Held {
			x.Note = x.After("while it is held: ")
		}
		out = append(out, x)
	}
	return out
}

// chemistryOf is what the run makes of the water, nil where it clears nothing.
func (c *Cleaning) chemistryOf(cleared bool) *caution.Chemistry {
	if !cleared {
		return nil
	}
	return &c.Chemistry
}

// watched has the animals in the tank looked at: where what is dosed harms as an overdose, or where it is their floc that
// is taken out, which nitrifies for them.
// What they are past before anything is done is added to what is said.
func (c *Cleaning) watched(said note.List) note.List {
	k := c.Tank()
	cleared := c.Outcome == clarify.Cleared
	if !cleared && c.Outcome != clarify.Held {
		return said
	}
	s := c.at(c.Final)
	s.Nitrified = 0 // which takes a while, and lets more ammonia stand: until then pH is higher
	var met []*caution.Chemistry
	if c.Holding != nil {
		if !cleared {
			s.Doses = c.Usual.Doses
		}
		met = append(met, c.Holding.Waters()...)
	}
	w, ok := caution.WatchOf(s, met...)
	floc := cleared && (k.Key == gauge.Cone || k.Scale != nil && k.Scale.Key == gauge.Cone)
	w.Filters = w.Filters || floc
	dosed := slices.ContainsFunc(s.Doses, func(d caution.Dose) bool { return d.Dose.Concentration > 0 && caution.Overdoses(d.Product) })
	if ok && (dosed || floc || !cleared) { // who is held is fed all along
		w, brought := w.Brought(c.chemistryOf(cleared))
		c.Watch = &w
		said = append(append(said, w.InPassing(said)...), brought...) // that of the days of holding is told with them
		if w.Filters && !c.Stopped {                                  // the lines to watch end in it
			said = slices.DeleteFunc(said, func(n note.Note) bool { return n.Code == caution.CleanNitrifiers })
		}
	}
	return said
}
