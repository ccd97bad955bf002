package dosing

import (
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Evening is what a day leaves for the next, on the clock of the day that it ends. Days that are all alike leave each
// other what their round has; beside another day the list has to begin with what is there.
type Evening struct {
	// Tanks has what stands ready of each chemical whose stock or fill comes back in a round, by its name.
	Tanks map[string]Left
	// Bin is what stands in the bin, BinTold true where that is known: where nobody told it, since a day has emptied it. Until then it is
	// followed from empty.
	Bin     quantity.Known[quantity.Volume]
	BinTold bool
	// Runs is true where the unit goes on into the next day.
	Runs bool
}

// Left is what a day leaves of one stock.
type Left struct {
	// Stands is what can be drawn from the tank when the day ends, as planned, Expires when that goes off.
	Stands  quantity.Volume
	Expires quantity.Time
	// Waiting are batches made up by then that come into the tank after it.
	Waiting []Batch
}

// handover is when one list ends and the next begins, as far as stocks go: before the first work of a list where no water goes
// through between that and the start, else with the start.
func (p Plan) handover() quantity.Time {
	if begin := p.begin(); begin < p.Start && (demand{p.Day, 1}).between(begin, p.Start) <= 0 {
		return begin - moment
	}
	return p.Start - moment
}

// Evening is what the plan's day leaves, with what it takes out; nil where nobody knows that.
func (p Plan) Evening(s *SolidsDay) Evening {
	out := Evening{Tanks: map[string]Left{}}
	for _, f := range p.Feeds {
		if f.Tank != nil && len(f.round()) > 0 {
			out.Tanks[f.Name] = p.left(f)
		}
	}
	if s != nil && s.Bin != nil {
		today := s.Today(p.Start)
		out.Bin, out.BinTold = quantity.Some(s.leaves(p.Day, max(p.Start, p.UnitBegins()), p.Start+24, today)), s.told || len(today) > 0
	}
	out.Runs = slices.ContainsFunc(p.runs(), func(r flow.Span) bool { return r.To >= p.Start+24-moment && !p.ends(r) })
	return out
}

// Remembers reports that the plan's day does not leave all of its tanks and its bin as any day before it would have: one of them
// is not filled or emptied every day.
func (p Plan) Remembers(s *SolidsDay) bool {
	return s != nil && s.Bin != nil && len(s.Daily) == 0 || slices.ContainsFunc(p.Feeds, func(f Feed) bool {
		return f.Tank != nil && !f.Tank.Now.OK && f.Every > 1 && len(f.round()) > 0
	})
}

// left is what the plan's day leaves of one stock.
func (p Plan) left(f Feed) (left Left) {
	end, batches := p.handover()+24, f.round()
	if p.ownList(f) {
		batches = slices.Concat(f.First, f.ahead, f.stays)
		if f.carried == nil && !f.provides && !f.goesOff(p.Rest.After) && f.waits(p.begin()) { // this list has it for its end too
			batches = append(batches, f.First[0].later(24))
		}
		at := p.Start
		left.Stands, left.Expires = p.opensWith(f)
		for _, b := range f.First {
			if b.Moved <= end {
				left.Stands, left.Expires, at = b.Full, b.Expires, b.Moved
			}
		}
		left.Stands = max(0, left.Stands-p.dosed(f.planned(p.Day), at, end))
	} else {
		left.Stands, _ = f.level(p.Day, end)
		made, _ := f.usuallyMade(end)
		left.Expires = made + f.good()
		batches = slices.Clone(batches)
		for i, b := range batches { // as it comes into the tank after this
			batches[i] = b.later(quantity.Time(24 * math.Ceil(float64(end-b.Moved)/24)))
		}
	}
	for _, b := range batches {
		if b.Start < end && b.Moved > end {
			left.Waiting = append(left.Waiting, b)
		}
	}
	return left
}

// ownList reports that the batches of the day are not those that its round has every day.
func (p Plan) ownList(f Feed) bool {
	return f.Tank.Now.OK || p.Begins > p.Start+hair || f.goesOff(p.Rest.After) || f.provides
}

// opensWith is what stands in a feed's tank when the day starts, and when it goes off.
func (p Plan) opensWith(f Feed) (quantity.Volume, quantity.Time) {
	switch {
	case f.carried != nil:
		return f.Tank.Now.V, f.carried.Expires
	case f.Tank.Now.OK:
		return f.Tank.Now.V, p.Start + f.good()
	}
	level, _ := f.level(p.Day, p.handover())
	made, _ := f.usuallyMade(p.handover())
	return level, made + f.good()
}

// Later is the same evening on the clock of a day so many days later.
func (e Evening) Later(days int) Evening {
	ago := quantity.Time(-24 * days)
	tanks := map[string]Left{}
	for name, l := range e.Tanks {
		l.Expires += ago
		l.Waiting = slices.Clone(l.Waiting)
		for i, b := range l.Waiting {
			l.Waiting[i] = b.later(ago)
		}
		tanks[name] = l
	}
	e.Tanks = tanks
	return e
}

// nearly is the share of a tank by which what a day finds may differ from what its round counts on, and still be that.
const nearly = 0.002

// carry has the tank of a feed hold what the evening before left, where that is not what the round of its day counts on.
// What has gone off by the time it would be drawn counts for nothing. A tank of which the site says what it holds, or that
// stands empty after a rest, keeps to that.
func (p Plan) carry(f *Feed, begin quantity.Time) {
	if p.Before == nil || f.Tank == nil || f.Tank.Now.OK || len(f.round()) == 0 {
		return
	}
	left, ok := p.Before.Tanks[f.Name]
	if !ok {
		return
	}
	left.Waiting = slices.DeleteFunc(slices.Clone(left.Waiting), func(b Batch) bool { return b.Expires <= p.Start+hair })
	usual, _ := f.level(p.Day, p.handover())
	round := p.occurring(*f, begin)
	good, planned := left.Stands, f.planned(p.Day)
	if keeps := max(left.Expires, p.Start); !math.IsInf(float64(keeps), 1) {
		full, moved := round[0].Full, round[0].Moved
		if len(left.Waiting) > 0 { // that comes in first
			full, moved = left.Stands+left.Waiting[0].Volume, left.Waiting[0].Moved
		}
		heel := left.Stands <= quantity.Volume(Heel)*full && planned.between(keeps, max(keeps, moved)) <= 0 && (p.Rest.Before <= 0 || left.Expires > p.Start)
		if !heel { // which is stirred in
			good = min(good, f.fastest(p.Day, f.upper).between(p.Start, keeps))
		}
	}
	over := quantity.Volume(0) // for which there is no room beside the batch that waits
	if len(left.Waiting) > 0 {
		b := left.Waiting[0]
		over = max(0, good-planned.between(p.Start, max(p.Start, b.Moved, begin))-(f.Tank.Holds()-b.Volume))
		good -= over
	}
	same := func(a, b quantity.Volume) bool { return math.Abs(float64(a-b)) <= nearly*float64(f.Tank.Holds()) }
	waits := len(round) > 0 && round[0].Start < begin-hair
	if same(usual, good) && same(left.Stands, good) && waits == (len(left.Waiting) > 0) && (!waits || same(round[0].Volume, left.Waiting[0].Volume)) {
		return
	}
	tank := *f.Tank
	tank.Now = quantity.Some(good)
	f.Tank, f.carried = &tank, &left
	f.Empty, f.HasEmpty = f.asked(p.Day).until(p.Start, good), true
	lost, few := left.Stands-good-over, 5*nearly*f.Tank.Holds()
	out := func(lost quantity.Volume, said note.Phrase) {
		if lost > few {
			f.Notes.Add(note.New(note.Info, "stock-left-over", "%s: of the %s that the day before leaves in %s %s", f.Name, quantity.To(left.Stands, 3), tank.Name, said).
				At(tank.At).Do("let out so much before the first batch goes in"))
		}
	}
	if p.Rest.Before > 0 && left.Expires <= p.Start && len(left.Waiting) == 0 && lost > few {
		f.Notes.Add(p.goneWithRest(*f))
		return
	}
	out(lost, note.Say("%s is not drawn by %s, when it goes off", quantity.To(lost, 3), flow.Clock(quantity.Wrapped(max(left.Expires, p.Start), 24))))
	out(over, note.Say("%s has no room beside the batch that waits", quantity.To(over, 3)))
}

// takeOver puts what was made up the day before in place of what the round of this day has for that time, and leaves the latter
// as work for the day after, where that comes every day.
func (f *Feed) takeOver(begin quantity.Time) {
	if f.carried == nil {
		return
	}
	for f.waits(begin) {
		if f.Every <= 1 {
			f.ahead = append(f.ahead, f.First[0].later(24))
		}
		f.First = f.First[1:]
	}
	waiting := slices.Clone(f.carried.Waiting)
	for i := range waiting {
		waiting[i].Moved = max(waiting[i].Moved, begin)
	}
	f.First = append(waiting, f.First...)
}
