package dosing

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// HourRow is one clock hour of the day, for every feed in the plan's order.
type HourRow struct {
	flow.Hour
	Feeds []HourFeed
}

// HourFeed is what one feed does in an hour.
type HourFeed struct {
	Rate    quantity.FeedRate
	Setting quantity.Setting // as the knob can stand; zero without pump
	Stroke  quantity.Setting // beside it, of a pump with two knobs
	Used    quantity.Volume  // stock drawn in the hour
	Level   quantity.Volume  // usable stock in the tank at the end of the hour
	// OutOfReach is true where the pump cannot be set for the rate; it has no setting then.
	OutOfReach bool
	// HasLevel is false without tank or schedule.
	HasLevel bool
}

// hours lays the day out from its start, clock hour by clock hour.
func (p Plan) hours() []HourRow {
	all := p.Day.Hours()
	first := int(math.Floor(float64(p.Start)))
	out := make([]HourRow, 0, 24)
	for k := range 24 {
		h := all[(first+k)%24]
		share := quantity.Volume(1) // of the hour's water, from when dosing has begun
		if t := quantity.Time(first + k); p.Begins > p.Start && h.Volume > 0 {
			share = p.dosed(demand{p.Day, 1}, t, t+1) / h.Volume
		}
		row := HourRow{Hour: h}
		if p.UnitBegins() > p.Start { // until then no water goes through
			if row.Volume = h.Volume * share; share == 0 {
				row.Flow = 0
			}
		}
		for _, f := range p.Feeds {
			hf := HourFeed{}
			if f.Fed {
				m := f.Metering().At(h.Flow)
				hf.Rate, hf.Used = m.Rate, h.Volume*quantity.Volume(f.demand(p.Day).per)*share
				if share == 0 {
					hf.Rate = 0
				}
				if hf.OutOfReach = hf.Rate > 0 && m.Choice.V.Reach != pump.Within; hf.Rate > 0 && !hf.OutOfReach {
					hf.Setting, hf.Stroke = m.Choice.V.Position.Setting, m.Choice.V.Position.Stroke
				}
				hf.Level, hf.HasLevel = p.levelOn(f, quantity.Time(first+k+1))
			}
			row.Feeds = append(row.Feeds, hf)
		}
		out = append(out, row)
	}
	return out
}

// level gives what stands in the tank at a time, once the pattern has set in, drawn
// as planned.
func (f Feed) level(day flow.Day, t quantity.Time) (quantity.Volume, bool) {
	if len(f.round()) == 0 || f.Tank == nil {
		return 0, false
	}
	period := quantity.Time(24 * max(f.Every, 1))
	var last Batch
	at := quantity.Time(math.Inf(-1)) // the last that came in before
	for _, b := range f.round() {
		if moved := t - quantity.Wrapped(t-b.Moved, period); moved > at {
			last, at = b, moved
		}
	}
	return max(0, last.Full-f.planned(day).between(at, t)), true
}
