package dosing

import (
	"math"
	"sort"

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

// level gives what stands in the tank at a time, once the pattern has set in.
func (f Feed) level(day flow.Day, t quantity.Time) (quantity.Volume, bool) {
	if len(f.Batches) == 0 || f.Tank == nil {
		return 0, false
	}
	d := f.demand(day)
	period := quantity.Time(24 * max(f.Every, 1))
	var v quantity.Volume
	for _, b := range f.Batches {
		for at := t - 2*period; at <= t+2*period; at += period { // the same time in the rounds before and after
			if at >= b.Moved && at < b.Till {
				v += d.between(max(at, b.From), b.Till)
			}
		}
	}
	return min(v, f.Tank.Holds()), true
}

// Task is something that somebody has to do at an hour.
type Task struct {
	At   quantity.Time // clock time, hours after midnight of the plan's day
	Feed int           // index of the feed; -1 for the unit as a whole
	Kind TaskKind
	// Batch is set for MakeUp and Move.
	Batch Batch
	// Choice is set for Set.
	Choice pump.Choice
	Flow   quantity.Flow
}

// TaskKind says what a task is about.
type TaskKind string

const (
	SetPump    TaskKind = "set pump"
	MakeUp     TaskKind = "make up"
	MoveStock  TaskKind = "move stock"
	ChangeDrum TaskKind = "change drum"
	StopPump   TaskKind = "stop pump"
)

// tasks lists the day's work in the order of the clock, from the plan's start.
func (p Plan) tasks() []Task {
	var out []Task
	clock := func(t quantity.Time) quantity.Time {
		return p.Start + quantity.Time(math.Mod(math.Mod(float64(t-p.Start), 24)+24, 24))
	}
	for i, f := range p.Feeds {
		out = append(out, p.settings(i, f)...)
		for _, b := range f.Batches {
			out = append(out, Task{At: clock(b.Start), Feed: i, Kind: MakeUp, Batch: b})
			if b.Moved > b.Made+hair {
				out = append(out, Task{At: clock(b.Moved), Feed: i, Kind: MoveStock, Batch: b})
			}
		}
		if f.Stock.Neat() && f.HasEmpty && f.Empty < p.Start+24 {
			out = append(out, Task{At: f.Empty, Feed: i, Kind: ChangeDrum})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].At < out[j].At-hair })
	return out
}

// fromStart gives the day's flow from the plan's start on for 24 h; what lies
// before the start follows at the end, as the next day's.
func (p Plan) fromStart() []flow.Segment {
	var out []flow.Segment
	for _, later := range []quantity.Time{0, 24} {
		for _, s := range p.Day.Segments() {
			s.From, s.To = max(s.From+later, p.Start), min(s.To+later, p.Start+24)
			if s.Length() > 0 && s.Flow > 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// settings lists the times at which a pump must be set anew by hand.
func (p Plan) settings(i int, f Feed) []Task {
	if f.Setting == nil {
		return nil
	}
	if f.Follows {
		return []Task{{At: p.Start, Feed: i, Kind: SetPump, Choice: f.Setting.Peak, Flow: p.Day.Peak()}}
	}
	var out []Task
	const moment = 1e-6 // h
	var last quantity.Setting
	end := p.Start
	stop := func(till quantity.Time) {
		if end > p.Start && end < till-moment {
			out, last = append(out, Task{At: end, Feed: i, Kind: StopPump}), -1
		}
	}
	for _, s := range p.fromStart() {
		stop(s.From)
		if c := f.Pump.For(f.rate(s.Flow)); c.Position.Setting != last || len(out) == 0 {
			out, last = append(out, Task{At: s.From, Feed: i, Kind: SetPump, Choice: c, Flow: s.Flow}), c.Position.Setting
		}
		end = s.To
	}
	stop(p.Start + 24)
	return out
}
