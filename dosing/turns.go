package dosing

import (
	"slices"

	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// Turn is one position of a pump that is set by hand, with the hours in which it stands there.
type Turn struct {
	Choice pump.Choice
	Flow   quantity.Flow // for which it is set first
	Hours  []flow.Span   // clock times from the plan's start on
}

// MostTurns is how many stretches of hours are told in a line; of more the list of the day tells.
const MostTurns = 3

// Few reports that the stretches of all turns can be told in a line.
func Few(turns []Turn) bool {
	n := 0
	for _, k := range turns {
		n += len(k.Hours)
	}
	return n <= MostTurns
}

// Turns are the positions to which a feed's pump is set in the course of the day, in the order of the
// clock; none where one serves all day, the pump follows the flow or nothing may be set.
func (p Plan) Turns(f Feed) []Turn {
	if f.Pump == nil || f.Setting == nil || f.Follows {
		return nil
	}
	var out []Turn
	for _, run := range p.runs() {
		set := p.byHand(0, f, run)
		for i, k := range set {
			hours := flow.Span{From: k.At, To: run.To}
			if i+1 < len(set) {
				hours.To = set[i+1].At
			}
			at := 0
			for at < len(out) && out[at].Choice.Position != k.Choice.Position {
				at++
			}
			if at == len(out) {
				out = append(out, Turn{Choice: k.Choice, Flow: k.Flow})
			}
			out[at].Hours = append(out[at].Hours, hours)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// Portion is what a hand gives from a time on, with the hours in which it is that.
type Portion struct {
	Product quantity.MassRate
	Hours   flow.Span
}

// Portions are what is given by hand of a dry product in the course of the day, in the order of the clock; none where it is the same all day.
func (p Plan) Portions(f Feed) (out []Portion) {
	if f.Pump != nil || f.Fed {
		return nil
	}
	for _, run := range p.runs() {
		given := p.withoutPump(0, f, run)
		for i, k := range given {
			hours := flow.Span{From: k.At, To: run.To}
			if i+1 < len(given) {
				hours.To = given[i+1].At
			}
			out = append(out, Portion{k.Product, hours})
		}
	}
	if !slices.ContainsFunc(out, func(x Portion) bool { return x.Product != out[0].Product }) {
		return nil
	}
	return out
}
