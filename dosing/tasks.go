package dosing

import (
	"cmp"
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Task is something that somebody has to do at an hour.
type Task struct {
	At   quantity.Time // clock time, hours after midnight of the plan's day
	Feed int           // index of the feed; -1 for the unit as a whole
	Kind TaskKind
	// Batch is set for MakeUp and MoveStock.
	Batch Batch
	// Choice is set for SetPump.
	Choice pump.Choice
	Flow   quantity.Flow
	// Emptying is set for EmptyBin.
	Emptying solids.Emptying
	// Alone is true where it falls into hours when nobody is there.
	Alone bool
}

// TaskKind says what a task is about.
type TaskKind string

const (
	StopPump   TaskKind = "stop pump"
	StopUnit   TaskKind = "stop unit"
	MoveStock  TaskKind = "move stock"
	ChangeDrum TaskKind = "change drum"
	StartUnit  TaskKind = "start unit"
	SetPump    TaskKind = "set pump"
	MakeUp     TaskKind = "make up"
	EmptyBin   TaskKind = "empty bin"
)

// turns is the order of what falls on one moment: pumps stop before the unit and are
// set after it has started, with stock in the tank; what takes time comes last.
var turns = []TaskKind{StopPump, StopUnit, MoveStock, ChangeDrum, StartUnit, SetPump, MakeUp, EmptyBin}

// inOrder sorts tasks as one person does them.
func inOrder(tasks []Task) []Task {
	slices.SortStableFunc(tasks, func(a, b Task) int {
		if math.Abs(float64(a.At-b.At)) > hair {
			return cmp.Compare(a.At, b.At)
		}
		return cmp.Compare(slices.Index(turns, a.Kind), slices.Index(turns, b.Kind))
	})
	return tasks
}

// clock gives a time that comes back every day as it falls on the plan's day.
func (p Plan) clock(t quantity.Time) quantity.Time {
	return p.Start + quantity.Wrapped(t-p.Start, 24)
}

// begin is when the list of the day begins: with the shift in which the unit starts or
// that was before it, or with the work for a stock that the start needs.
func (p Plan) begin() quantity.Time {
	if len(p.Staffed) > 0 {
		return p.Staffed.Began(p.Start)
	}
	first := p.Start
	for _, f := range p.Feeds {
		for _, b := range f.Batches {
			if used, made := p.clock(b.From), p.clock(b.Start)-24; used < p.Start+1 && made > p.Start-6 {
				first = min(first, made)
			}
		}
	}
	return first
}

// there is the last time not after t when somebody is there, from the plan's start on;
// t itself where nobody is before.
func (p Plan) there(t quantity.Time) (quantity.Time, bool) {
	if last := p.Staffed.Last(t); last >= p.Start {
		return last, true
	}
	return t, false
}

// tasks lists the day's work in the order of the clock, from the plan's start.
func (p *Plan) tasks() []Task {
	out := p.unit()
	for i, f := range p.Feeds {
		out = append(out, p.settings(i, f)...)
		for _, b := range p.dayOne(&p.Feeds[i]) {
			out = append(out, Task{At: p.clock(b.Start), Feed: i, Kind: MakeUp, Batch: b})
			if b.Moved > b.Made+hair {
				out = append(out, Task{At: p.clock(b.Moved), Feed: i, Kind: MoveStock, Batch: b})
			}
		}
		if f.Stock.Neat() && f.HasEmpty && f.Empty < p.Start+24 {
			at, _ := p.there(f.Empty)
			out = append(out, Task{At: at, Feed: i, Kind: ChangeDrum})
		}
	}
	begin := p.begin()
	for i, k := range out {
		if k.At >= begin+24-hair {
			k.At -= 24 // the same every day
		}
		out[i].At = k.At
		out[i].Alone = p.Staffed.Last(k.At) < k.At-hair
		if out[i].Alone && k.Kind == SetPump {
			p.Feeds[k.Feed].Notes.Add(note.New(note.Caution, "set-unstaffed", "%s is to be set at %s, when nobody is there", cmp.Or(p.Feeds[k.Feed].PumpName, "the pump"), flow.Clock(k.At)).
				At(p.Feeds[k.Feed].PumpAt).Do("let the pump follow the flow meter or a timer, or send somebody"))
		}
	}
	return inOrder(out)
}

// WithBin is the list of tasks with the emptying of the bin on the plan's first day.
func (p Plan) WithBin(s *SolidsDay) []Task {
	out := slices.Clone(p.Tasks)
	if s != nil && s.Bin != nil {
		for _, e := range s.Emptys.Emptyings {
			if e.At < p.begin()+24 {
				out = append(out, Task{At: e.At, Feed: -1, Kind: EmptyBin, Emptying: e})
			}
		}
	}
	return inOrder(out)
}

// unit starts and stops the unit where it does not run round the clock.
func (p Plan) unit() []Task {
	var out []Task
	for _, run := range p.runs() {
		out = append(out, Task{At: run.From, Feed: -1, Kind: StartUnit})
		if run.To < p.Start+24-moment {
			out = append(out, Task{At: run.To, Feed: -1, Kind: StopUnit})
		}
	}
	if p.Day.Running() > 24-moment {
		return nil
	}
	return out
}

// dayOne gives the batches of the round, the first of them for what the tank holds
// when the day begins, where that is known. Where that runs out before, a batch comes
// before all others.
func (p Plan) dayOne(f *Feed) []Batch {
	if f.Tank == nil || !f.Tank.Now.OK || len(f.Batches) == 0 {
		return f.Batches
	}
	out := slices.Clone(f.Batches)
	i := slices.IndexFunc(out, func(b Batch) bool {
		return !slices.ContainsFunc(out, func(x Batch) bool { return p.clock(x.Moved) < p.clock(b.Moved) })
	})
	b, stands := &out[i], f.Tank.Now.V
	moved := p.clock(b.Moved)
	if left := stands - f.planned(p.Day).between(p.Start, moved); left >= 0 {
		b.Left, b.Volume = left, b.Full
		if !b.LetOut {
			b.Volume = max(0, b.Full-left)
		}
		b.Recipe, _ = f.Stock.Recipe(b.Volume) // as strong as those that had a recipe
		if b.Volume <= b.Full*hair {
			out = slices.Delete(out, i, i+1)
		}
		return out
	}
	want, _ := f.level(p.Day, p.Start)
	first := Batch{Volume: want - stands, Full: want, Left: stands, Start: p.Start, Made: p.Start + f.Work, Aged: p.Start + f.Work + f.Ageing,
		Expires: p.Start + f.Work + f.Life}
	first.Moved, first.From, first.Till = first.Aged, first.Aged, moved
	first.Recipe, _ = f.Stock.Recipe(first.Volume)
	f.Notes.Add(note.New(note.Caution, "stock-short", "%s: %s holds %s, the day counts on %s at %s: it runs empty at %s", f.Name, f.Tank.Name, stands, want,
		flow.Clock(p.Start), flow.Clock(f.planned(p.Day).until(p.Start, stands))).At(f.Tank.At).
		Do("make up %s first; it may be fed from %s", first.Volume, flow.Clock(first.Aged)))
	return append([]Batch{first}, out...)
}

// moment is what counts as no time, in hours.
const moment = 1e-6

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

// runs are the stretches of the plan's day in which the unit runs.
func (p Plan) runs() []flow.Span {
	var out []flow.Span
	for _, s := range p.fromStart() {
		if n := len(out); n > 0 && s.From <= out[n-1].To+moment {
			out[n-1].To = s.To
		} else {
			out = append(out, s.Span)
		}
	}
	return out
}

// settings lists the times at which a pump must be set anew by hand.
func (p Plan) settings(i int, f Feed) []Task {
	if f.Setting == nil {
		return nil
	}
	var out []Task
	runs := p.runs()
	for _, run := range runs {
		if f.Follows {
			out = append(out, Task{At: run.From, Feed: i, Kind: SetPump, Choice: f.Setting.Peak, Flow: p.Day.Peak()})
		} else {
			out = append(out, p.byHand(i, f, run)...)
		}
		if run.To < p.Start+24-moment {
			out = append(out, Task{At: run.To, Feed: i, Kind: StopPump})
		}
	}
	return out
}

// byHand lists the settings of one run: at its start, and wherever the knob has to move.
func (p Plan) byHand(i int, f Feed, run flow.Span) []Task {
	var out []Task
	var last pump.Position
	for _, s := range p.fromStart() {
		if s.From < run.From || s.From >= run.To {
			continue
		}
		if c := f.Pump.For(f.rate(s.Flow)); c.Position != last || len(out) == 0 {
			out, last = append(out, Task{At: s.From, Feed: i, Kind: SetPump, Choice: c, Flow: s.Flow}), c.Position
		}
	}
	return out
}
