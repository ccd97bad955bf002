package templates

import (
	"math"

	"jarwright/dosing/clarify"
	"jarwright/dosing/gauge"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// answer is when the tank is clear or what holds it, and what that takes.
func (r ClarifyReport) answer(o Options, d *figure.Object) Answer {
	holds := r.held() && (r.Outcome == clarify.Held || r.Outcome == clarify.NotHeld)
	a := Answer{Title: either(holds, "Holding ", "Clean-up of ") + r.theTank(), Place: r.Site, When: joined(", ", dated(o.Date), "begun at "+r.clock(0))}
	n := Number{For: o.Say("Until it reads %s, from %s", r.beside(d, "stop_reading", "stop"), r.beside(d, "start_reading", "start"))}
	by := either(r.Tank().Scale == nil && r.Tank().Key != gauge.Cone, "meter", "reading")
	a.Order = "Go by the " + by + ", not by the clock: take each step when the tank reads what stands beside it."
	switch {
	case r.Stopped:
		n = Number{For: "STOPPED: do not begin", Words: "No start"}
		a.Stops, a.Order = r.CleaningNotes().Only(note.Stop), "Do not begin before what stops it is put right."
	case r.Outcome == clarify.ClearAlready:
		n.Words, a.Order = "Nothing to do", "Leave the unit off, and read the tank again when it looks muddy."
		if _, idle := r.idle(); idle {
			n.For = o.Say("To hold it at %s", r.beside(d, "hold.at", "hold"))
			n.Words, n.Under = "No unit needed", o.Say("it settles at %s", d.Fig("hold.settles_at"))
			a.Order = "Leave the unit off, and read the tank every day."
		}
	case r.Outcome == clarify.NeverClears:
		n.Words, n.Under = "Never clear", o.Say("it settles at about %s", r.beside(d, "final_reading", "final"))
		a.Order = "Do not begin: more flow, a better capture or another target come first." + o.Say("%s", r.holdTakes(d))
	case r.Outcome == clarify.TooLong:
		n.Words, n.Under = "Not in time", o.Say("after %s it reads %s", hours("", r.Time, 3).In(figure.Long), r.beside(d, "final_reading", "final"))
		a.Order = "Do not begin: more flow, a better capture or another target come first." + o.Say("%s", r.holdTakes(d))
	case holds || r.Outcome == clarify.Held || r.Outcome == clarify.NotHeld:
		n, a.Order = r.holdNumber(o, d)
	default:
		n.Value, n.Under = d.Fig("time").In(figure.Long), either(r.held(), "there at ", "clear at ")+r.clockOn(o, r.Time)
		n.Beside = usesBeside(d.Objects("use"))
	}
	a.Numbers = []Number{n}
	return a
}

// holdTakes says of a tank that does not clear what holding it takes through the unit.
func (r ClarifyReport) holdTakes(d *figure.Object) figure.Phrase {
	h := d.Sub("hold")
	return figure.Say("").If(r.held() && h.Has("flow"), " To hold it at %s takes %s through the unit, %s a day at %s.", r.beside(d, "hold.at", "hold"), h.Fig("flow"),
		or(h.Fig("run_a_day").In(figure.Long), "more than 24 h"), d.Fig("flow"))
}

// holdNumber is the flow through the unit that holds a tank, or the hours a day where no level is asked for.
func (r ClarifyReport) holdNumber(o Options, d *figure.Object) (n Number, order string) {
	h := d.Sub("hold")
	n.For = "Run the unit a day"
	if r.held() {
		n.For = o.Say("To hold it at %s, through the unit", r.beside(d, "hold.at", "hold"))
	}
	n.Beside = usesBeside(h.Objects("use"))
	fails := r.Hold.Fails || r.Outcome == clarify.NotHeld
	switch {
	case r.held() && h.Has("flow"):
		n.Value = h.Fig("flow")
		n.Under = o.Say("%s a day at %s", or(h.Fig("run_a_day").In(figure.Long), "more than 24 h"), d.Fig("flow"))
	case h.Has("run_a_day"):
		n.Value, n.Under = h.Fig("run_a_day").In(figure.Long), o.Say("at %s", d.Fig("flow"))
	default:
		n.Words, n.Under = "It cannot be held", "by this unit"
	}
	if fails {
		return n, "Send more flow through, feed less or ask for another level: this unit does not hold it."
	}
	return n, o.Say("Run the unit %s a day, and read the tank every day.", or(h.Fig("run_a_day").In(figure.Long), "as long as it takes"))
}

// usesBeside are the products that something takes.
func usesBeside(use []*figure.Object) (l facts) {
	for _, u := range use {
		l.add(upperFirst(u.Said("chemical")), figure.Say("%s of product", u.Fig("product")).If(u.Has("stock"), ", %s of stock", u.Fig("stock")))
	}
	return l
}

// clockOn is a time since the start by the clock, with its day where the first day is known.
func (r ClarifyReport) clockOn(o Options, since quantity.Time) string {
	if o.Date.IsZero() {
		return r.clock(since)
	}
	at := r.Tank().Begin + since
	day := int(math.Floor(float64(at)/24 + 1e-9))
	return clockOf(quantity.Wrapped(at, 24)) + ", " + dated(o.Date.AddDate(0, 0, day))
}
