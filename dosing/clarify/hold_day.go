package clarify

import (
	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// Corner is a reading of the day on which a tank is held, at a clock time: the reading moves evenly from one to the next.
type Corner struct {
	At      quantity.Time
	Reading float64
}

// Day is the course of a day on which the tank is held, from its first run on: falling while the unit runs, rising while
// it rests, as [Hold.Swing] counts it, with the level that is held as its mean. Nil where it cannot be held.
func (h Hold) Day() (out []Corner) {
	if h.Fails || h.Swing <= 0 {
		return nil
	}
	rise := h.Swing / float64(h.Runs.Rests())
	fall := rise * (24/float64(h.PerDay.V) - 1) // over the day it falls as far as it rises
	at, reading, area := h.Begins, 0.0, 0.0
	out = append(out, Corner{at, reading})
	to := func(t quantity.Time, slope float64) {
		long := float64(t - at)
		if long <= 0 {
			return
		}
		area += long * (reading + slope*long/2)
		at, reading = t, reading+slope*long
		out = append(out, Corner{at, reading})
	}
	for _, s := range h.fromTheFirst() {
		to(s.From, rise)
		to(s.To, -fall)
	}
	to(h.Begins+24, rise)
	for i := range out {
		out[i].Reading += h.At - area/24
	}
	return out
}

// fromTheFirst are the runs in their order from [Hold.Begins] on, those after midnight with 24 h added.
func (h Hold) fromTheFirst() (out []flow.Span) {
	for _, day := range [...]quantity.Time{0, 24} {
		for _, s := range h.Runs {
			from, last := s.From+day, len(out)-1
			switch {
			case from < h.Begins-1e-9 || from > h.Begins+24-1e-9:
			case last >= 0 && out[last].To == from: // on over midnight
				out[last].To = s.To + day
			default:
				out = append(out, flow.Span{From: from, To: s.To + day})
			}
		}
	}
	return out
}
