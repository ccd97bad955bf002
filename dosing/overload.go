package dosing

import (
	"slices"

	"jarwright/dosing/settler"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Limit is what the jars say of the settler's loading at the target; false where they say nothing.
func (d SettlerDay) Limit() (settler.Limit, bool) {
	if d.Jars == nil || !d.Unit.Area.OK {
		return settler.Limit{}, false
	}
	return d.Jars.Limit(d.Targets)
}

// Most is the flow up to which the settler is good, and what ends it: what its own flocs did in the jars, and every
// guide that it can be held to; false where nothing ends it.
func (d SettlerDay) Most() (most quantity.Flow, by string, ok bool) {
	most, by, ok = d.Unit.Most()
	l, told := d.Limit()
	if !told || l.Met && l.Open { // the jars do not say where it ends
		return most, by, ok
	}
	safe, bold := l.Flows(d.Unit.Area.V)
	if !l.Met { // it ends below what the slowest reading stands for
		safe = bold
	}
	if !ok || safe < most {
		return safe, "the target, as the jars settled,", true
	}
	return most, by, true
}

// Unjudged names what the settler is not held to, each with what is wanting for it.
func (d SettlerDay) Unjudged() [][2]string {
	out := d.Unit.Unjudged()
	if _, told := d.Limit(); d.Unit.Pond && !told {
		out = append([][2]string{{"surface loading, light as a pond's", "jars read at several settling times"}}, out...)
	}
	return out
}

// overload says that the settler does not keep the target at the average flow, else at the peak; false where it
// does, or the jars do not tell.
func (d SettlerDay) overload() (note.Note, bool) {
	l, told := d.Limit()
	if !told {
		return note.Note{}, false
	}
	safe, bold := l.Flows(d.Unit.Area.V)
	ends := safe
	if !l.Met { // which is only known to be below that
		ends = bold
	}
	for _, x := range d.Expected() {
		q := quantity.Flow(float64(x.Loading) * float64(d.Unit.Area.V))
		if q <= ends || l.Met && l.Open {
			continue
		}
		return d.misses(x, q, l), true
	}
	return note.Note{}, false
}

// misses says by how much at one flow, and what may be changed.
func (d SettlerDay) misses(x Settles, q quantity.Flow, l settler.Limit) note.Note {
	safe, bold := l.Flows(d.Unit.Area.V)
	info := d.Jars.Key.Info()
	can := "cannot keep"
	if l.Met && q <= bold {
		can = "may not keep"
	}
	when := note.Say("at %s", quantity.To(q, 3))
	if x.When != "always" {
		when = note.Say("at the %s flow of %s", x.When, quantity.To(q, 3))
	}
	target := note.Say("%s of %s %s", info.Label, quantity.To(quantity.Number(l.Most), 3), info.Unit)
	says := note.Say("as the jars settled it lets out %s at %s", d.letsOut(x), quantity.To(x.Loading, 3))
	if !l.Met {
		return note.New(note.Caution, "settler-overloaded", "the settler %s %s %s: %s, and the jars did not reach it at the slowest "+
			"that they tell, %s", can, target, when, says, quantity.To(l.Rate, 3)).
			Do("read jars after longer settling, try more dose, polymer or flocculation in them, or ask for less").From(safetyFrom)
	}
	return note.New(note.Caution, "settler-overloaded", "the settler %s %s %s: %s, and it is good up to %s to %s", can, target, when, says,
		quantity.To(safe, 2), quantity.To(bold, 2)).
		Do("hold the flow to %s, or see to %s of surface, or to flocs that settle faster (flocculation, dose or polymer: try it in jars), "+
			"or ask for less", quantity.To(safe, 2), quantity.To(l.Surface(q), 2)).From(safetyFrom)
}

const safetyFrom = "a real settler takes 1.25 to 1.75 times less than a jar: Eckenfelder, from memory, not checked in its source"

// reading is a value of a kind in a sentence.
func reading(v float64, unit string) note.Phrase {
	return note.Say("%s %s", quantity.Full(quantity.Number(v), 2), unit)
}

// letsOut is what the settler is expected to let out, as far as the jars were tested.
func (d SettlerDay) letsOut(x Settles) note.Phrase {
	unit := d.Jars.Key.Info().Unit
	switch {
	case x.Low.OK && x.High.OK:
		return note.Say("%s to %s", quantity.Full(quantity.Number(x.Low.V), 2), reading(x.High.V, unit))
	case x.Low.OK:
		return note.Say("%s or more", reading(x.Low.V, unit))
	case x.Jar.OK:
		return note.Say("more than the %s of the jar", reading(x.Jar.V, unit))
	case x.Loading < d.Jars.Curve[0].Rate:
		return note.Say("less than %s", reading(d.Jars.Curve[0].Reading, unit))
	}
	return note.Say("more than %s", reading(d.Jars.Curve[len(d.Jars.Curve)-1].Reading, unit))
}

// without leaves the notes of some codes out.
func without(l note.List, codes ...string) note.List {
	return slices.DeleteFunc(l, func(n note.Note) bool { return slices.Contains(codes, n.Code) })
}
