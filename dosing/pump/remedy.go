package pump

import (
	"math"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Load is the share of a pump's capacity that the largest feed should take, in
// the middle of 85–90 % (supplier data sheet).
const Load = 0.875

// Need is what a pump has to do over the day.
type Need struct {
	Least, Peak quantity.FeedRate
	// Stock is the strength of the stock now, Neat that of the product as
	// delivered, both on the same basis. Zero where not known.
	Stock, Neat quantity.Concentration
}

// Remedy is what would bring a need within a pump's reach.
type Remedy struct {
	Reach Reach // of the worse end
	// Stock is a strength at which the whole need fits; zero where none does.
	Stock quantity.Concentration
	// Times is how many times weaker (above 1) or stronger (below 1) that stock is.
	Times float64
	// Head is the capacity of a pump or pump head for the stock as it is.
	Head quantity.FeedRate
	// Pumps is how many pumps like this one would share the peak; 1 where one is enough.
	Pumps int
	Notes note.List
}

// Fit tells whether a pump can do what is needed, and if not what to change.
func (p Pump) Fit(n Need) Remedy {
	r := Remedy{Times: 1, Pumps: 1}
	top, low := p.Capacity(), p.Smallest()
	if lowest := p.Calibration.Rate(Position{p.Setting.round(p.Setting.Low), p.Calibration.Stroke}); p.Setting.Low > 0 && !p.Calibration.TwoKnobs() {
		low = max(low, lowest)
	}
	const hair = 1e-9
	big := float64(n.Peak) > float64(top)*(1+hair)
	small := n.Least > 0 && float64(n.Least) < float64(low)*(1-hair)
	if !big && !small {
		return r
	}
	r.Head = n.Peak / Load
	if wide := float64(n.Peak / n.Least); n.Least > 0 && wide*float64(low) > float64(top)*(1+hair) {
		r.Reach = TooMuch
		if !big {
			r.Reach = TooLittle
		}
		r.Pumps = 2
		r.Notes.Add(note.New(note.Caution, "range-too-wide", "the feed goes from %s to %s, %s to 1; %s can do %s to 1",
			n.Least, n.Peak, quantity.Full(quantity.Number(wide), 2), p.name(), quantity.Full(quantity.Number(top/low), 2)).
			Do("use two pumps, one of about %s for the low hours and one of about %s for the peak, or even out the flow",
				round(quantity.FeedRate(math.Sqrt(float64(n.Least*n.Peak)))/Load), round(n.Peak/Load)))
		return r
	}
	// The stock at which the peak takes Load of the capacity, unless the least
	// then falls below the turndown.
	r.Times = float64(top) * Load / float64(n.Peak)
	if n.Least > 0 {
		r.Times = math.Max(r.Times, float64(low/n.Least))
	}
	if small && !big {
		r.Reach = TooLittle
		// no weaker than needed: bring the least up to 1.15 times the turndown, if the peak allows
		r.Times = math.Min(math.Max(float64(low/n.Least)*1.15, 1), math.Max(r.Times, float64(low/n.Least)))
		remedy := note.Say("a pump head of about %s", round(n.Peak/Load))
		if n.Stock > 0 {
			r.Stock = n.Stock / quantity.Concentration(r.Times)
			r.Notes.Add(note.New(note.Caution, "feed-too-small", "the least feed of %s is below what %s feeds steadily (%s)", n.Least, p.name(), low).
				Do("dilute the stock to %s (%s times weaker), so that the pump runs between %s and %s, or use %s", stockText(r.Stock), quantity.Full(quantity.Number(r.Times), 2),
					n.Least*quantity.FeedRate(r.Times), n.Peak*quantity.FeedRate(r.Times), remedy))
			return r
		}
		r.Notes.Add(note.New(note.Caution, "feed-too-small", "the least feed of %s is below what %s feeds steadily (%s)", n.Least, p.name(), low).
			Do("dilute the stock %s times, or use %s", quantity.Full(quantity.Number(r.Times), 2), remedy))
		return r
	}
	r.Reach = TooMuch
	r.Pumps = int(math.Ceil(float64(n.Peak)/(float64(top)*Load) - 1e-9))
	head := round(r.Head)
	fault := note.New(note.Caution, "feed-too-large", "the peak feed of %s is more than %s gives (%s)", n.Peak, p.name(), top)
	stronger := n.Stock / quantity.Concentration(r.Times)
	switch {
	case n.Stock > 0 && n.Neat > n.Stock && stronger <= n.Neat:
		r.Stock = stronger
		r.Notes.Add(fault.Do("make the stock %s (%s times stronger), use a pump head of about %s, or %d pumps", stockText(stronger), quantity.Full(quantity.Number(1/r.Times), 2), head, r.Pumps))
	case n.Stock > 0 && n.Neat > n.Stock:
		r.Times = 1
		r.Notes.Add(fault.Do("even neat product is not strong enough: use a pump head of about %s, or %d pumps", head, r.Pumps))
	default:
		r.Times = 1
		r.Notes.Add(fault.Do("use a pump head of about %s, or %d pumps", head, r.Pumps))
	}
	return r
}

func round(r quantity.FeedRate) quantity.FeedRate {
	return quantity.FeedRate(quantity.RoundSig(float64(r), 2))
}

func stockText(c quantity.Concentration) quantity.Rounded { return quantity.Full(c, 3).In("g/L") }
