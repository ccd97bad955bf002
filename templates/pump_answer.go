package templates

import (
	"cmp"
	"slices"

	"jarwright/dosing/caution"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// answer is where each pump is set at the flow that is usual, or what a line gives where no feed is asked for.
func (r PumpReport) answer(o Options) Answer {
	a := Answer{Title: "Pump setting", Place: r.Place, When: dated(o.Date), Order: "Hold the feed against a stopwatch before you leave the pump."}
	out, stopped, follow, untold := 0, 0, 0, 0
	for _, x := range r.Pumps {
		n := x.number(o, x.data())
		out += either(n.Words == "Out of reach", 1, 0)
		stopped += either(x.Stopped, 1, 0)
		follow += either(x.Follows, 1, 0)
		untold += either(x.Untold.OK, 1, 0)
		a.Numbers = append(a.Numbers, n)
	}
	switch {
	case stopped > 0:
		a.Order = "Set nothing before what stops the plan is put right."
	case untold > 0:
		i := slices.IndexFunc(r.Pumps, func(x PumpAnswer) bool { return x.Untold.OK })
		a.Order = upperFirst(o.Notes(note.List{r.Pumps[i].Untold.V})[0].Message) + ". Run a jar test of today's water before it is dosed; what else is fed stays as below."
	case out > 0:
		a.Order = "Do not set what is out of reach: change stock or pump, as said below."
	case follow > 0 && follow == len(r.Pumps):
		a.Order = "It follows the flow meter: hold the feed against a stopwatch at the flow that then stands, by the table to pin beside the pump."
	case len(r.Pumps) == 0:
		for i, f := range (Plan{Plan: r.Day}).byHand() {
			h := r.hand()[i]
			a.Numbers = append(a.Numbers, Number{For: "By hand, " + f.Name,
				Value: either(h.Has("portion"), h.Fig("portion"), h.Fig("portion_volume")), Under: o.Say("every %s", h.Fig("portion_every"))})
		}
		var how []string
		for _, f := range (Plan{Plan: r.Day}).byHand() {
			if !f.Fed {
				how = append(how, caution.Portion(f.Stock.Product))
			}
		}
		a.Order = "Give that by hand, weighed out, for as long as the water runs" + handedOver(how) + "."
	}
	return a
}

// number is the setting of a pump, for the first of what it is asked for.
func (a PumpAnswer) number(o Options, d *figure.Object) Number {
	n := Number{For: a.name()}
	settings := d.Objects("settings")
	switch {
	case a.Stopped:
		n.Words, n.Under = "No setting", "the plan is stopped"
	case a.Untold.OK:
		n.Words, n.Under = "No dose", "past tests do not reach today's water"
	case len(settings) == 0:
		n.Value, n.Under = d.Fig("capacity"), "is about the most that it gives"
	case a.Follows:
		n.Words = "Follows the flow"
		n.Under = o.Say("%s at the least flow, %s at the peak", settings[0].Fig("rate"), settings[1].Fig("rate"))
	case !settings[0].Has("setting"):
		n.Words, n.Under = "Out of reach", o.Say("for %s", settings[0].Fig("rate"))
	default:
		x := settings[0]
		n.Value, n.Under = x.Fig("setting"), o.Say("for %s", x.Fig("rate"))
		if beside := besideKnob(x); beside.Format != "" {
			n.Under = o.Show(beside.And(", for %s", x.Fig("rate")))
		}
		n.Beside = []Fact{{"For", cmp.Or(a.Settings[0].For, "the feed asked for")},
			{"Stopwatch", figure.Say("%s for %s", x.Fig("stopwatch_time"), x.Fig("stopwatch_volume"))}}
		n.Ruler = a.ruler(o)
		if d.Has("past_tests") && a.Settings[0].For != "rate asked for" {
			n.Beside = append(n.Beside, Fact{"Raw water", d.Fig("past_tests.raw_turbidity")})
		}
		if a.Settings[0].NotSet {
			n.Beside[0].Value = "the average flow, which the day never has"
		}
	}
	return n
}

// ruler tells the knob for other flows of water, or for other feeds where no flow is known; none for two knobs.
func (a PumpAnswer) ruler(o Options) *page.Ruler {
	now := a.Settings[0].Choice
	if a.Pump.Calibration.TwoKnobs() {
		return nil
	}
	if of := slices.IndexFunc(a.Pace, func(r pump.PaceRow) bool { return r.Rate > 0 }); of >= 0 && !a.Signals {
		per := float64(a.Pace[of].Flow) / float64(a.Pace[of].Rate)
		var at []mark
		for _, r := range a.Pace {
			at = append(at, mark{water("", r.Flow), r.Choice})
		}
		return knobRuler(o, at, mark{water("", quantity.Flow(per*float64(now.Wanted))), now})
	}
	var at []mark
	for step, k := boardStep(float64(a.Pump.Capacity())), 1.0; k*step <= float64(a.Pump.Capacity()); k++ {
		at = append(at, mark{rate("", quantity.FeedRate(k*step), 3), a.Pump.For(quantity.FeedRate(k * step))})
	}
	return knobRuler(o, at, mark{rate("", now.Wanted, 3), now})
}
