package clarify

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
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

// bounds are the lowest and the highest reading of a day, each day like the last, in which the unit runs in the hours of a hold. Within a
// run or a rest the reading goes to its own end by an exponential; a day of them is a straight line of where it begins.
func (k Tank) bounds(h Hold) (low, high quantity.Known[Corner]) {
	if h.Runs.Length() >= 24*(1-1e-9) {
		return low, high
	}
	v := k.Volume.In("m3")
	after := func(reading float64, long quantity.Time, e quantity.Fraction) float64 {
		if k.Plateau(e) == math.Inf(1) {
			return reading + k.Rise*float64(long)
		}
		out := float64(e)*float64(k.Flow) + float64(k.Exchange)
		return k.Plateau(e) + (reading-k.Plateau(e))*math.Exp(-out/v*float64(long))
	}
	day := func(reading float64) (all []Corner) {
		at := h.Begins
		to := func(t quantity.Time, e quantity.Fraction) {
			if t > at {
				reading, at = after(reading, t-at, e), t
				all = append(all, Corner{at, reading})
			}
		}
		for _, s := range h.fromTheFirst() {
			to(s.From, 0)
			to(s.To, k.Removal)
		}
		to(h.Begins+24, 0)
		return all
	}
	end := func(reading float64) float64 { all := day(reading); return all[len(all)-1].Reading }
	fixed, kept := end(0), end(1)-end(0)
	if kept >= 1-1e-9 {
		return low, high
	}
	for _, c := range day(fixed / (1 - kept)) {
		c.At = quantity.Wrapped(c.At, 24)
		if !low.OK || c.Reading < low.V.Reading {
			low = quantity.Some(c)
		}
		if !high.OK || c.Reading > high.V.Reading {
			high = quantity.Some(c)
		}
	}
	return low, high
}

// Between says between what the reading goes each day where the unit cannot hold it; nothing where it stands.
func (h Hold) Between(read func(float64) note.Phrase) note.Phrase {
	return note.Say("").If(h.Lowest.OK, ", each day from %s at %s to %s at %s", read(h.Lowest.V.Reading), flow.Clock(h.Lowest.V.At), read(h.Highest.V.Reading), flow.Clock(h.Highest.V.At))
}
