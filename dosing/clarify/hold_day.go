package clarify

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Corner is a reading of the day on which a tank is held, at a clock time: from one to the next the reading goes to its own end by an
// exponential, which over hours is nearly even.
type Corner struct {
	At      quantity.Time
	Reading float64
}

// Day is the course of a day on which the tank is held, from its first run on: falling while the unit runs, rising while it rests, each day
// like the last. The level that is held is its mean while the unit runs. Nil where it cannot be held, or stands still.
func (h Hold) Day() []Corner { return h.course }

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

// day is a day, each like the last, in which the unit runs in the hours of a hold, from where they begin: the one account of how the
// reading goes, whether it is held or not. Within a run or a rest it goes to its own end by an exponential; a day of them is a straight line
// of where it begins. Nil where the unit runs all day, or the tank never comes to an even course.
func (k Tank) day(h Hold) []Corner {
	if h.Runs.Length() >= 24*(1-1e-9) {
		return nil
	}
	v := k.Volume.In("m3")
	after := func(reading float64, long quantity.Time, e quantity.Fraction) float64 {
		if k.Plateau(e) == math.Inf(1) {
			return reading + k.Rise*float64(long)
		}
		out := float64(e)*float64(k.Flow) + float64(k.Exchange)
		return k.Plateau(e) + (reading-k.Plateau(e))*math.Exp(-out/v*float64(long))
	}
	from := func(reading float64) []Corner {
		at := h.Begins
		all := []Corner{{at, reading}}
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
	end := func(reading float64) float64 { all := from(reading); return all[len(all)-1].Reading }
	fixed, kept := end(0), end(1)-end(0)
	if kept >= 1-1e-9 {
		return nil
	}
	return from(fixed / (1 - kept))
}

// bounds are the lowest and the highest reading of that day.
func (k Tank) bounds(h Hold) (low, high quantity.Known[Corner]) {
	for i, c := range k.day(h) {
		c.At = quantity.Wrapped(c.At, 24)
		if i > 0 && (!low.OK || c.Reading < low.V.Reading) {
			low = quantity.Some(c)
		}
		if i > 0 && (!high.OK || c.Reading > high.V.Reading) {
			high = quantity.Some(c)
		}
	}
	return low, high
}

// Between says between what the reading goes each day where the unit cannot hold it; nothing where it stands.
func (h Hold) Between(read func(float64) note.Phrase) note.Phrase {
	return note.Say("").If(h.Lowest.OK, ", each day from %s at %s to %s at %s", read(h.Lowest.V.Reading), flow.Clock(h.Lowest.V.At), read(h.Highest.V.Reading), flow.Clock(h.Highest.V.At))
}
