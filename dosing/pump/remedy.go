package pump

import (
	"math"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Load is the share of a pump's capacity that the largest feed should take, in
// the middle of 85–90 %.
const Load = 0.875

// Need is what a pump has to do over the day.
type Need struct {
	Least, Peak quantity.FeedRate
	// Stock is the strength of the stock now, Neat that of the product as
	// delivered, both on the same basis. Zero where not known.
	Stock, Neat quantity.Concentration
	// MadeUp is the strongest stock of a product that is either neat or made up to no more than
	// this, as an emulsion is; zero for one that may be thinned by any share.
	MadeUp quantity.Concentration
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
	if p.Setting.Low > 0 && !p.Calibration.TwoKnobs() {
		low = max(low, p.Calibration.Rate(Position{p.Setting.round(p.Setting.Low), p.Calibration.Stroke}))
	}
	big, small := more(n.Peak, top), n.Least > 0 && p.For(n.Least).below(low)
	if n.Least > 0 && !small && !p.Calibration.TwoKnobs() && p.FarOff(p.For(n.Least)) {
		small, low = true, max(low, min(p.fine(), top*Load*n.Least/n.Peak))
	}
	if !big && !small {
		return r
	}
	r.Head = n.Peak / Load
	r.Reach = TooMuch
	if !big {
		r.Reach = TooLittle
	}
	wide := n.Peak / n.Least
	switch {
	case n.Least > 0 && more(wide*low, top):
		r.Pumps = 2
		r.Notes.Add(note.New(note.Caution, "range-too-wide", "the feed goes from %s to %s, %s to 1; %s can do %s to 1",
			n.Least, n.Peak, twoDigits(wide), p.name(), twoDigits(top/low)).
			Do("use two pumps, one of about %s for the low hours and one of about %s for the peak, or even out the flow",
				round(quantity.FeedRate(math.Sqrt(float64(n.Least*n.Peak)))/Load), round(n.Peak/Load)))
	case !big:
		r.dilute(p, n, low, top)
	default:
		r.strengthen(p, n, low, top)
	}
	return r
}

// fine is the least rate at which half a step of the knob is within [OffDose].
func (p Pump) fine() quantity.FeedRate {
	return p.Calibration.Rate(Position{p.Setting.step() / (2 * OffDose), p.Calibration.Stroke})
}

// dilute is for a least feed below the turndown, or between two steps of the knob that are both too far off: a stock no
// weaker than needed brings the least up to 1.15 times what the pump, or its knob, does well, if the peak allows.
func (r *Remedy) dilute(p Pump, n Need, low, top quantity.FeedRate) {
	r.Times = math.Min(math.Max(float64(low/n.Least)*1.15, 1), n.times(low, top))
	madeUp := n.MadeUp > 0 && n.Stock > n.MadeUp
	if madeUp {
		r.Times = math.Max(r.Times, float64(n.Stock/n.MadeUp))
	}
	head := note.Say("a pump head of about %s", round(r.Head))
	fault := note.New(note.Caution, "feed-too-small", "the least feed of %s is below what %s feeds steadily (%s)", n.Least, p.name(), low)
	switch c := p.For(n.Least); {
	case p.FarOff(c) && !c.below(p.Smallest()):
		fault = p.tooCoarse(c)
	case p.Turndown <= 0:
		fault = note.New(note.Caution, "turndown-assumed", "the least feed of %s is below what %s feed steadily (%s, a turndown of %s to 1, which nobody gave)",
			n.Least, p.alike(), low, twoDigits(p.turndown()))
		head = note.Say("%s; give its least rate or turndown, if it is known", head)
	}
	if madeUp && more(n.Peak*quantity.FeedRate(r.Times), top) { // made up it would be more than the pump gives
		r.Times = 0
		r.Notes.Add(fault.Do("use %s", head))
		return
	}
	if n.Stock <= 0 {
		r.Notes.Add(fault.Do("dilute the stock %s times, or use %s", twoDigits(r.Times), head))
		return
	}
	r.Stock = n.Stock / quantity.Concentration(r.Times)
	runs := note.Say("at %s", n.Least*quantity.FeedRate(r.Times))
	if more(n.Peak, n.Least) {
		runs = note.Say("between %s and %s", n.Least*quantity.FeedRate(r.Times), n.Peak*quantity.FeedRate(r.Times))
	}
	r.Notes.Add(fault.Do("dilute the stock to %s (%s times weaker), so that the pump runs %s, or use %s", stockText(r.Stock), twoDigits(r.Times), runs, head))
}

// strengthen is for a peak above the capacity.
func (r *Remedy) strengthen(p Pump, n Need, low, top quantity.FeedRate) {
	times := n.times(low, top)
	r.Pumps = int(math.Ceil(float64(n.Peak)/(float64(top)*Load) - 1e-9))
	others := note.Say("use a pump head of about %s, or %d pumps", round(r.Head), r.Pumps)
	fault := note.New(note.Caution, "feed-too-large", "the peak feed of %s is more than %s gives (%s)", n.Peak, p.name(), top)
	stronger := n.Stock / quantity.Concentration(times)
	switch {
	case n.Stock <= 0 || n.Neat <= n.Stock:
		r.Notes.Add(fault.Do("%s", others))
	case stronger > n.Neat:
		r.Notes.Add(fault.Do("even neat product is not strong enough: %s", others))
	default:
		r.Stock, r.Times = stronger, times
		r.Notes.Add(fault.Do("make the stock %s (%s times stronger), %s", stockText(stronger), twoDigits(1/times), others))
	}
}

// times is how many times weaker the stock is at which the peak takes Load of the
// capacity, unless the least then falls below the turndown.
func (n Need) times(low, top quantity.FeedRate) float64 {
	t := float64(top) * Load / float64(n.Peak)
	if n.Least > 0 {
		t = math.Max(t, float64(low/n.Least))
	}
	return t
}

// alike names pumps of its kind.
func (p Pump) alike() string {
	if p.Name == "" || strings.EqualFold(p.Name, "pump") { // which says no more
		return "most such pumps"
	}
	return "most pumps like " + p.name()
}

func twoDigits[T ~float64](v T) quantity.Rounded { return quantity.Full(quantity.Number(v), 2) }

func round(r quantity.FeedRate) quantity.FeedRate {
	return quantity.FeedRate(quantity.RoundSig(float64(r), 2))
}

func stockText(c quantity.Concentration) quantity.Rounded { return quantity.Full(c, 3).In("g/L") }
