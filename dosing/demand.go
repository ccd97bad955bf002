package dosing

import (
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// demand is how a stock is drawn, day after day alike: litres of stock for each
// litre of water. Times may lie in any day; day 0 is the plan's.
type demand struct {
	day flow.Day
	per float64 // litres of stock per litre of water
}

// daily is what one day draws.
func (d demand) daily() quantity.Volume { return quantity.Volume(float64(d.day.Volume()) * d.per) }

// between gives what is drawn from one time to a later one.
func (d demand) between(from, to quantity.Time) quantity.Volume {
	if to <= from {
		return 0
	}
	first, last := math.Floor(float64(from)/24), math.Floor(float64(to)/24)
	a, b := from-quantity.Time(24*first), to-quantity.Time(24*last)
	var water quantity.Volume
	if first == last {
		water = d.day.Between(a, b)
	} else {
		water = d.day.Between(a, 24) + d.day.Volume()*quantity.Volume(last-first-1) + d.day.Between(0, b)
	}
	return quantity.Volume(float64(water) * d.per)
}

// until gives the time by which a volume is drawn, counted from a time on; plus
// infinity where nothing is ever drawn.
func (d demand) until(from quantity.Time, v quantity.Volume) quantity.Time {
	daily := d.daily()
	if daily <= 0 {
		return quantity.Time(math.Inf(1))
	}
	if v <= 0 {
		return from
	}
	whole := math.Floor(float64(v/daily) * (1 - 1e-12))
	v -= daily * quantity.Volume(whole)
	base := quantity.Time(24 * math.Floor(float64(from)/24))
	for k := 0; k < 3; k++ {
		for _, s := range d.day.Segments() {
			a, b := max(from, base+s.From), base+s.To
			if b <= a || s.Flow <= 0 {
				continue
			}
			perHour := float64(s.Flow) * 1000 * d.per
			if w := perHour * float64(b-a); w >= float64(v)*(1-1e-12) {
				return a + quantity.Time(float64(v)/perHour) + quantity.Time(24*whole)
			} else {
				v -= quantity.Volume(w)
			}
		}
		base += 24
	}
	return from + quantity.Time(24*(whole+1))
}

// last is when something was last drawn before a time; that time itself where
// nothing ever is.
func (d demand) last(t quantity.Time) quantity.Time {
	const touch = 1e-7 // a draw that begins as the time comes is none
	for base := quantity.Time(24 * math.Floor(float64(t)/24)); base > t-72; base -= 24 {
		for _, s := range slices.Backward(d.day.Segments()) {
			if s.Flow > 0 && s.Length() > 0 && base+s.From < t-touch {
				return min(t, base+s.To)
			}
		}
	}
	return t
}
