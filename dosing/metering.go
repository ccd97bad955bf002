package dosing

import (
	"slices"

	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Metering is one dose delivered from one stock, by one pump where there is one:
// the one place where a feed's rate and the pump's setting are worked out.
type Metering struct {
	// Dose and Stock count the same substance.
	Dose, Stock quantity.Concentration
	// MadeUp is that of [pump.Need].
	MadeUp quantity.Concentration
	Pump   *pump.Pump
}

// Metered is what a pump has to feed at a flow.
type Metered struct {
	Rate quantity.FeedRate
	// Choice is where the pump has to stand.
	Choice quantity.Known[pump.Choice]
}

// At gives rate and setting at a flow of water.
func (m Metering) At(q quantity.Flow) Metered { return m.Feeding(RateFor(m.Dose, q, m.Stock)) }

// Feeding gives the setting for a rate.
func (m Metering) Feeding(rate quantity.FeedRate) Metered {
	out := Metered{Rate: rate}
	if m.Pump != nil {
		out.Choice = quantity.Some(m.Pump.For(rate))
	}
	return out
}

// Metering is the feed's own dose from its stock by its pump.
func (f Feed) Metering() Metering {
	return Metering{Dose: f.AsProduct.Concentration, Stock: f.PerLitre, MadeUp: f.Stock.madeUp(), Pump: f.Pump}
}

// OutOfReach reports that a pump cannot be set for what it has to feed at the average flow:
// then no dose can be given by it, whichever command is asked.
func OutOfReach(average pump.Choice) bool { return average.Reach != pump.Within }

// Stands reports that the pump can be set for the average flow, so that it has a setting; [Setting.Beyond] says at
// which flows of the day it has none all the same.
func (s Setting) Stands() bool { return !OutOfReach(s.Average) }

// Beyond names the flows beside the average at which a pump that has a setting is out of reach.
func (s Setting) Beyond() (out []string) {
	if s.Stands() && OutOfReach(s.Least) {
		out = append(out, "least flow")
	}
	if s.Stands() && OutOfReach(s.Peak) {
		out = append(out, "peak flow")
	}
	return out
}

// OutOfReach reports that no pump of a feed can be set for the plan's average flow.
func (p Plan) OutOfReach() bool {
	for _, f := range p.Feeds {
		if f.Setting != nil && !f.Setting.Stands() {
			return true
		}
	}
	return false
}

// Impossible are the faults for which the plan cannot be carried out, but for pumps that are too small: that is an answer, [Plan.OutOfReach].
func (p Plan) Impossible() note.List {
	return slices.DeleteFunc(p.Notes.Only(note.Error), func(n note.Note) bool { return n.Code == "pump-too-small" })
}

// OutOfReachIn are the feeds whose pump cannot be set for the dose of water of another class at the plan's average flow.
func (p Plan) OutOfReachIn(class string) (out []Feed) {
	average := p.Day.Average()
	for _, f := range p.Feeds {
		if f.DoseIn(class) != f.Dose && f.unreached(class, average, average) {
			out = append(out, f)
		}
	}
	return out
}
