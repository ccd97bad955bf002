package dosing

import (
	"math"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Rest is for how long the unit stands still before a day and after it, beyond what it does every day.
type Rest struct{ Before, After quantity.Time }

// besideRest has the day of a unit that stands still beside it begin with the shift's first water. One
// that starts when nobody is there keeps its usual round of stocks.
func (p *Plan) besideRest() {
	first := p.Start
	if p.Running <= 24-moment { // flows by the hour may have none at the start of their day
		first = demand{p.Day, 1}.next(first)
	}
	switch began := p.Staffed.Began(first); {
	case p.Rest == Rest{}:
	case len(p.Staffed) == 0:
		p.Start = quantity.Wrapped(demand{p.Day, 1}.next(p.Start), 24)
	case p.Staffed.Covers(quantity.Wrapped(first, 24)) && began >= 0:
		p.Start = min(first, demand{p.Day, 1}.next(began))
	case p.Running > 24-moment:
		p.Start = p.Staffed.Began(p.Start + 24)
	default:
		p.Rest = Rest{}
		p.Notes.Add(note.New(note.Info, "rest-unstaffed", "the days beside this one are closed, and the unit starts when nobody is there: the stocks are those of a usual day").
			At(p.FlowAt).Do("make up none that goes off before the unit runs again"))
	}
}

// goesOff reports that the stock of a feed's round does not keep over a rest in the middle of its use.
func (f Feed) goesOff(rest quantity.Time) bool {
	for _, b := range f.Batches {
		if rest > 0 && b.Till-b.Made+rest > f.good()+hair {
			return true
		}
	}
	return false
}

// restedAway reports that the stock of a feed went off over the rest before the day, as far as anybody knows: where the list of the day
// before is known, that says what it leaves.
func (p Plan) restedAway(f Feed) bool {
	if p.Before != nil {
		if _, known := p.Before.Tanks[f.Name]; known {
			return false
		}
	}
	return f.goesOff(p.Rest.Before)
}

// reopens has a tank stand empty when the unit starts after a rest over which its stock went off.
func (p Plan) reopens(f *Feed) {
	if !p.restedAway(*f) {
		return
	}
	empty := *f.Tank
	empty.Now = quantity.Some(quantity.Volume(0))
	f.Tank, f.HasEmpty = &empty, false
	f.Notes.Add(p.goneWithRest(*f))
}

// goneWithRest says that all that stood in a tank went off over a rest.
func (p Plan) goneWithRest(f Feed) note.Note {
	return note.New(note.Info, "stock-rested", "%s: what is left in %s from before the unit stood still for %s has gone off, and none was made for this day",
		f.Name, f.Tank.Name, p.Rest.Before).At(f.Tank.At).Do("let it out before the first batch goes in")
}

// rested leaves out of the day's batches those that would have been made before it while the unit
// stood still; what is made for the day after it stays work of the day.
func (p Plan) rested(f *Feed, begin quantity.Time) {
	if !p.restedAway(*f) {
		return
	}
	for f.waits(begin) {
		f.ahead, f.First = append(f.ahead, f.First[0].later(24)), f.First[1:]
	}
}

// closing makes no more stock than the pump draws before the unit stands still for a rest over
// which it would go off.
func (p Plan) closing(f *Feed, begin quantity.Time) {
	if !f.goesOff(p.Rest.After) {
		return
	}
	f.ahead = nil
	for _, b := range f.First { // what the next list has for the end of this day
		if b.From < p.Start-hair && b.Moved < p.Start-hair && b.From+24 < p.Start+24-hair {
			f.First = append(f.First, b.later(24))
		}
	}
	fast, end := f.fastest(p.Day, f.upper), p.Start+24
	var out []Batch
	for _, b := range f.First {
		if b.Start >= begin-hair {
			b.Till = min(b.Till, end)
			stays := b.Left
			if b.LetOut {
				stays = 0
			}
			b.Full = min(b.Full, p.dosed(fast, b.Moved, end))
			b.Volume = min(b.Volume, b.Full-stays)
			if b.Volume <= f.Tank.Holds()*hair {
				continue
			}
			b.Volume = f.worthMaking(b.Volume, stays, func(quantity.Volume) quantity.Time { return quantity.Time(math.Inf(1)) }, b.Expires)
			b.Full = max(b.Full, stays+b.Volume)
			b.Recipe, _ = f.Stock.Recipe(b.Volume) // as strong as those that had a recipe
		}
		out = append(out, b)
	}
	f.First = out
}

// freshened has what is left of a batch let out before the next beside a rest, where it is more than a
// heel and goes off before it is drawn.
func (p Plan) freshened(f *Feed, begin quantity.Time) {
	if f.carried == nil && !f.goesOff(p.Rest.Before) && !f.goesOff(p.Rest.After) {
		return
	}
	for i := range f.First {
		b := &f.First[i]
		room := f.Mix == nil || b.Full <= f.Mix.Holds()*(1+hair)
		if i == 0 && f.carried == nil || b.Start < begin-hair || !room || b.Left <= quantity.Volume(Heel)*b.Full {
			continue
		}
		expires := quantity.Time(0)
		if _, expires = p.opensWith(*f); i > 0 {
			expires = f.First[i-1].Expires
		}
		if f.planned(p.Day).until(b.Moved, b.Left) > expires {
			b.LetOut, b.Volume = true, b.Full
			b.Recipe, _ = f.Stock.Recipe(b.Volume)
		}
	}
}

// made are the tasks of making up the batches of a day, with those for the next that are begun on it.
func (p Plan) made(i int, f Feed, begin quantity.Time) (out []Task) {
	kind := MakeUp
	if f.Stock.Neat() {
		kind = ChangeDrum
	}
	rests := f.carried != nil || f.provides || f.goesOff(p.Rest.After) || f.Every > 1 && f.Tank != nil && f.Tank.Now.OK
	for _, b := range f.First {
		if b.Start >= begin-hair || !rests { // else it was made the day before, and none is for the next
			out = append(out, Task{At: b.Start, Feed: i, Kind: kind, Batch: b})
		}
		if b.Moved > b.Made+hair {
			out = append(out, Task{At: b.Moved, Feed: i, Kind: MoveStock, Batch: b})
		}
	}
	for _, b := range f.ahead {
		out = append(out, Task{At: b.Start, Feed: i, Kind: kind, Batch: b})
	}
	return out
}

// onList is the time of a task in the list that begins then: what the day before or after has
// it has too, but for what moves the unit and its feeds beside a rest.
func (p Plan) onList(k Task, begin quantity.Time) quantity.Time {
	switch {
	case k.At >= begin+24-hair && p.Rest == (Rest{}):
		return k.At - 24
	case k.At < begin-hair:
		return k.At + 24
	}
	return k.At
}

// shortAs is why a tank holds too little when the day starts.
func (p Plan) shortAs(f *Feed) note.Phrase {
	if f.goesOff(p.Rest.Before) && f.Tank.Now.V <= 0 {
		return note.Say("%s: no stock is ready when the unit has stood still for %s", f.Name, p.Rest.Before)
	}
	return note.Say("%s: %s holds %s when the day starts, too little until more is ready", f.Name, f.Tank.Name, f.Tank.Now.V)
}

// still reports that the unit stands still for part of the day, or beside it.
func (p Plan) still() bool { return p.Day.Running() <= 24-moment || p.Rest != Rest{} || p.stood() }

// stood reports that the unit stands still when the day begins, as the day before has stopped it.
func (p Plan) stood() bool { return p.Rest.Before > 0 || p.Before != nil && !p.Before.Runs }

// runsOn reports that a unit that runs round the clock was running before its day.
func (p Plan) runsOn(run flow.Span) bool {
	return p.Day.Running() > 24-moment && !p.stood() && run.From <= p.Start+moment
}
