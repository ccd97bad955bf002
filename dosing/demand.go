package dosing

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// demand is how a stock is drawn, day after day alike: litres of stock for each
// litre of water. Times may lie in any day; day 0 is the plan's.
type demand struct {
	day flow.Day
	per float64 // litres of stock per litre of water
}

// crumb is the share of a volume that is left over from rounding.
const crumb = 1e-12

// daily is what one day draws.
func (d demand) daily() quantity.Volume { return quantity.Volume(float64(d.day.Volume()) * d.per) }

// upTo is what has been drawn since the midnight that begins the plan's day.
func (d demand) upTo(t quantity.Time) quantity.Volume {
	var before quantity.Volume
	days := math.Floor(float64(t) / 24)
	if days != 0 {
		before = d.daily() * quantity.Volume(days)
	}
	return before + d.day.Between(0, t-quantity.Time(24*days))*quantity.Volume(d.per)
}

// between gives what is drawn from one time to a later one.
func (d demand) between(from, to quantity.Time) quantity.Volume {
	return max(0, d.upTo(to)-d.upTo(from))
}

// until gives the time by which a volume is drawn, counted from a time on; plus
// infinity where nothing is ever drawn.
func (d demand) until(from quantity.Time, v quantity.Volume) quantity.Time {
	daily := d.daily()
	switch {
	case !(daily > 0) || math.IsInf(float64(v/daily), 1):
		return quantity.Time(math.Inf(1))
	case !(v > 0):
		return from
	}
	whole := math.Floor(float64(v/daily) * (1 - crumb)) // days; the rest is no more than one day's
	v -= daily * quantity.Volume(whole)
	day := quantity.Time(24 * math.Floor(float64(from)/24))
	for base := day; base <= day+48; base += 24 { // what is drawn may be too little to add up
		for s := range d.day.All() {
			begin, perHour := max(from, base+s.From), float64(s.Flow)*1000*d.per
			drawn := quantity.Volume(perHour * float64(base+s.To-begin))
			if drawn <= 0 {
				continue
			}
			if drawn >= v*(1-crumb) {
				return begin + quantity.Time(float64(v)/perHour) + quantity.Time(24*whole)
			}
			v -= drawn
		}
	}
	return from + quantity.Time(24*(whole+1))
}

// touch is how long a draw must last to be one, in hours: where one ends or begins at a time, rounding counts for nothing.
const touch = 1e-7

// next is when something is drawn at or after a time: that time itself where the unit runs then, or where nothing ever is.
func (d demand) next(t quantity.Time) quantity.Time {
	for base := quantity.Time(24 * math.Floor(float64(t)/24)); base < t+48; base += 24 {
		for s := range d.day.All() {
			if s.Flow > 0 && base+s.To-max(t, base+s.From) > touch {
				return max(t, base+s.From)
			}
		}
	}
	return t
}

// last is when something was last drawn before a time; that time itself where
// nothing ever is.
func (d demand) last(t quantity.Time) quantity.Time {
	for base := quantity.Time(24 * math.Floor(float64(t)/24)); base > t-72; base -= 24 {
		drawn, end := false, t
		for s := range d.day.All() {
			if s.Flow > 0 && s.Length() > 0 && base+s.From < t-touch {
				drawn, end = true, min(t, base+s.To)
			}
		}
		if drawn {
			return end
		}
	}
	return t
}
