package dosing

import (
	"math"

	"jarwright/dosing/flow"
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
		row := HourRow{Hour: h}
		for _, f := range p.Feeds {
			hf := HourFeed{}
			if f.Fed {
				m := f.Metering().At(h.Flow)
				hf.Rate, hf.Used = m.Rate, h.Volume*quantity.Volume(f.demand(p.Day).per)
				if hf.Rate > 0 {
					hf.Setting, hf.Stroke = m.Choice.V.Position.Setting, m.Choice.V.Position.Stroke
				}
				hf.Level, hf.HasLevel = f.level(p.Day, quantity.Time(first+k+1))
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
	if len(f.Batches) == 0 || f.Tank == nil {
		return 0, false
	}
	period := quantity.Time(24 * max(f.Every, 1))
	var last Batch
	at := quantity.Time(math.Inf(-1)) // the last that came in before
	for _, b := range f.Batches {
		if moved := t - quantity.Wrapped(t-b.Moved, period); moved > at {
			last, at = b, moved
		}
	}
	return max(0, last.Full-f.planned(day).between(at, t)), true
}
