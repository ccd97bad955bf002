package dosing

import (
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Morning is what a day needs of the one before it, on its own clock: stock to draw until it can have more. A day
// beside one of other hours, flow or water has to leave that, and not what its own round would.
type Morning struct {
	// Tanks has the need of each chemical whose stock comes back in a round, by its name.
	Tanks map[string]Needed
}

// Needed is what a day needs of one stock before it makes its own.
type Needed struct {
	// start is when the day starts, begin when its list does, ready when the first stock that is made on it can be drawn, usual
	// when its round has that.
	start, begin, ready, usual quantity.Time
	// waits are the batches of its round that are made on the evening before.
	waits []Batch
	// fast and planned are how it draws.
	fast, planned demand
	// ago are the hours by which its clock is behind that of the day before.
	ago quantity.Time
}

// Morning is what the plan's day needs of the one before it, so many days ahead; a plan that begins with an evening of its own has no say.
func (p Plan) Morning(days int) Morning {
	out, begin := Morning{Tanks: map[string]Needed{}}, p.begin()
	for i, f := range p.Feeds {
		if f.Tank == nil || len(f.round()) == 0 {
			continue
		}
		n := Needed{start: p.Start, begin: begin, usual: p.Start + 24, fast: f.fastest(p.Day, f.upper), planned: f.planned(p.Day), ago: quantity.Time(24 * days)}
		for _, b := range p.occurring(f, begin) {
			if b.Start < begin-hair {
				n.waits = append(n.waits, b)
			} else {
				n.usual = min(n.usual, b.Moved)
			}
		}
		m := p.hands(i)
		n.ready = min(n.usual, m.earliest(begin, f.Work)+f.Work+f.Ageing)
		out.Tanks[f.Name] = n
	}
	return out
}

// draws is what the next day draws, at the fastest, from its start until a time of the day before's clock.
func (n Needed) draws(till quantity.Time) quantity.Volume {
	return n.fast.between(n.start, max(n.start, till-n.ago))
}

// at puts a time of the next day on the clock of the day before.
func (n Needed) at(t quantity.Time) quantity.Time { return t + n.ago }

// provide has a day leave what the next one needs before it can have stock of its own: the batch that waits for it is the
// next day's own, the last of the day is larger, or one more is made. What tank, life and shift do not allow is told.
func (p *Plan) provide(i int, begin quantity.Time) {
	f := &p.Feeds[i]
	if p.Next == nil || !f.Fed || f.Tank == nil || len(f.round()) == 0 {
		return
	}
	n, ok := p.Next.Tanks[f.Name]
	if !ok {
		return
	}
	s := supply{p: p, f: f, n: n, m: p.hands(i), begin: begin}
	s.ahead = f.ahead
	if f.carried == nil && !p.restedAway(*f) && !f.goesOff(p.Rest.After) && f.waits(begin) {
		s.ahead = []Batch{f.First[0].later(24)}
	}
	s.waiting()
	s.enlarge()
	if s.short(n.at(n.ready)) {
		s.another()
	}
	s.tell()
}

// supply is what one feed's day leaves for the next.
type supply struct {
	p     *Plan
	f     *Feed
	n     Needed
	m     making
	begin quantity.Time
	ahead []Batch // those that are begun on the day for the next one
	more  *Batch  // the batch that is larger, or one more, for the next day's sake
	by    quantity.Volume
}

// first is the batch that waits for the next day, in the clock of the day; nil where none does.
func (s supply) first() *Batch {
	for i := range s.ahead {
		if b := &s.ahead[i]; b.Moved > s.p.handover()+24 {
			return b
		}
	}
	return nil
}

// comes is when a batch that waits comes into the tank.
func (s supply) comes(b Batch) quantity.Time { return max(b.Moved, s.n.at(s.n.begin)) }

// waiting puts the batches that the next day's round has made on this evening in place of those of this day's own round.
func (s *supply) waiting() {
	f, n, own := s.f, s.n, s.ahead
	if f.goesOff(s.p.Rest.After) || f.Every > 1 || len(own) == 0 && len(n.waits) == 0 {
		return
	}
	level, _ := s.leaves()
	var next []Batch
	switch {
	case len(n.waits) > 0:
		b := n.waits[0].later(n.ago)
		if start, ok := s.m.latest(b.Start, f.Work); ok {
			b = s.moved(b, start)
		}
		if free := s.free(); b.Start < free {
			b = s.moved(b, s.m.earliest(free, f.Work))
		}
		if b.Aged <= s.comes(b)+hair && b.Start < s.p.handover()+24 && b.Start >= s.begin-hair {
			next = []Batch{s.sized(b, level, n.draws(b.Till)-n.draws(s.comes(b)))}
		}
	case len(own) > 0:
		b := own[0]
		next = []Batch{s.sized(b, level, max(b.Full, n.draws(n.at(n.usual))-n.draws(s.comes(b))))}
	}
	if len(next) > 0 && next[0].Volume <= 0 { // what is left does
		if s.ahead = nil; len(own) > 0 {
			s.changes()
		}
		return
	}
	if len(next) == 0 || len(own) > 0 && s.nearly(own[0].Volume, next[0].Volume) && math.Abs(float64(own[0].Start-next[0].Start)) < moment {
		return
	}
	if len(own) == 0 || next[0].Volume > own[0].Volume {
		s.more = &next[0]
		if s.by = next[0].Volume; len(own) > 0 {
			s.by -= own[0].Volume
		}
	}
	s.ahead = next
	s.changes()
}

// changes has the day keep what was changed in place of its round.
func (s *supply) changes() { s.f.ahead, s.f.provides = s.ahead, true }

// moved is a batch begun at another time, let over when it was.
func (s supply) moved(b Batch, start quantity.Time) Batch {
	by := start - b.Start
	b.Start, b.Made, b.Aged, b.Expires = start, b.Made+by, b.Aged+by, b.Expires+by
	return b
}

// free is when the make-up tank is free for stock of the next day.
func (s supply) free() quantity.Time {
	free := s.begin
	for _, b := range s.f.First {
		if s.f.Mix != nil {
			free = max(free, b.Moved)
		} else {
			free = max(free, b.Made)
		}
	}
	return free
}

// sized is a batch that waits, made as large as the next day takes with what is left for it, as far as there is room.
func (s supply) sized(b Batch, level, wanted quantity.Volume) Batch {
	left := max(0, level-s.n.planned.between(s.n.start, max(s.n.start, s.comes(b)-s.n.ago)))
	b.Left, b.LetOut = left, false
	b.Volume = s.f.worthMaking(max(0, min(wanted-left, s.f.room(left))), left, s.drawn(s.comes(b)), b.Expires)
	b.Full = left + b.Volume
	b.Recipe, _ = s.f.Stock.Recipe(b.Volume)
	return b
}

// drawn tells when the next day has drawn what stands in the tank at a time.
func (s supply) drawn(from quantity.Time) func(quantity.Volume) quantity.Time {
	return func(v quantity.Volume) quantity.Time {
		return s.n.at(s.n.planned.until(max(s.n.start, from-s.n.ago), v))
	}
}

// nearly reports that two volumes are the same to somebody at the tank.
func (s supply) nearly(a, b quantity.Volume) bool {
	return math.Abs(float64(a-b)) <= nearly*float64(s.f.Tank.Holds())
}

// leaves is what stands in the tank when the day's list ends, with when it goes off.
func (s supply) leaves() (quantity.Volume, quantity.Time) {
	f := *s.f
	f.ahead, f.provides = s.ahead, true
	left := s.p.left(f)
	return left.Stands, left.Expires
}

// lacks is what the tank lacks at the next day's start to last, with what waits, until a time.
func (s supply) lacks(till quantity.Time) quantity.Volume {
	level, expires := s.leaves()
	if b := s.first(); b != nil {
		comes := s.comes(*b)
		if over := s.n.draws(till) - s.n.draws(comes) - b.Full; till > comes && over > 0 {
			level -= over
		} else {
			till = min(till, comes)
		}
	}
	if last := s.n.fast.last(till-s.n.ago) + s.n.ago; expires < last-hair { // of that as much as is drawn in time
		level = min(level, s.n.draws(expires))
	}
	return s.n.draws(till) - level
}

func (s supply) short(till quantity.Time) bool {
	return s.lacks(till) > hair*s.f.Tank.Holds() // however little it is, the next day would wait for stock of its own
}

// enlarge makes the last batch of the day larger by what the next day lacks, as far as tanks have room.
func (s *supply) enlarge() {
	f := s.f
	if f.Stock.Neat() || len(f.First) == 0 || !s.short(s.n.at(s.n.usual)) {
		return
	}
	b := &f.First[len(f.First)-1]
	room := f.Tank.Holds() - b.Full
	if f.Mix != nil {
		room = min(room, f.Mix.Holds()-b.Volume)
	}
	for _, till := range [...]quantity.Time{s.n.at(s.n.usual), s.n.at(s.n.ready)} {
		by := s.lacks(till)
		if b.Start < s.begin-hair || b.Moved > s.p.handover()+24 || by <= 0 || by > room || b.Expires < s.n.fast.last(till-s.n.ago)+s.n.ago-hair {
			continue
		}
		b.Volume, b.Full = b.Volume+by, b.Full+by
		b.Recipe, _ = f.Stock.Recipe(b.Volume)
		s.more, s.by = b, by
		s.changes()
		return
	}
}

// another adds a batch as late as it can be made before the next day starts, where the last one has no room for more.
func (s *supply) another() {
	f := s.f
	if s.first() != nil {
		return
	}
	end, lead := s.p.handover()+24, f.Work+f.Ageing
	start, ok := s.m.latest(min(end, s.n.at(s.n.start)-lead)-hair, f.Work)
	if !ok || start < s.free()-hair || start < s.begin-hair {
		return
	}
	b := Batch{Start: start, Made: start + f.Work, Aged: start + lead, Expires: start + f.Work + f.good()}
	b.Moved = b.Made
	planned := f.planned(s.p.Day)
	if f.Mix != nil {
		b.Moved = max(b.Aged, s.n.at(s.n.begin))
	} else if f.Ageing > 0 && planned.between(b.Start, min(b.Aged, end)) > 0 {
		return
	}
	b.From, b.Till = s.n.at(s.n.start), s.n.at(s.n.usual)
	for _, till := range [...]quantity.Time{b.Till, s.n.at(s.n.ready)} {
		stood, _ := s.leaves()
		if f.Mix == nil {
			stood += planned.between(b.Moved, end)
		}
		by := f.worthMaking(s.lacks(till), stood, s.drawn(s.n.at(s.n.start)), b.Expires)
		if by > f.room(stood) || b.Expires < s.n.fast.last(till-s.n.ago)+s.n.ago-hair {
			continue
		}
		b.Stands, b.Left, b.Volume, b.Full, b.Till = stood, stood, by, stood+by, till
		if f.Stock.Neat() {
			b.Full, b.Volume = f.Tank.Holds(), f.Tank.Holds()-stood
		} else {
			b.Recipe, _ = f.Stock.Recipe(b.Volume)
		}
		if f.Mix != nil {
			s.ahead = append(slices.Clone(s.ahead), b)
		} else {
			f.First = append(f.First, b)
		}
		s.more, s.by = &b, by
		s.changes()
		return
	}
}

// tell says what is made for the next day's sake, and what cannot be.
func (s supply) tell() {
	f := s.f
	if ready := s.n.at(s.n.ready); s.short(ready) && !f.goesOff(s.p.Rest.After) {
		f.Notes.Add(note.New(note.Info, "next-day-short", "%s: the next day cannot have stock of its own before %s, and %s holds too little until then, or it goes off: that day begins late",
			f.Name, flow.Clock(quantity.Wrapped(ready, 24)), f.Tank.Name).At(f.Tank.At).Do("have somebody there earlier on that day, or use a larger tank"))
		return
	}
	if s.more != nil && s.by > 5*nearly*f.Tank.Holds() {
		f.Notes.Add(note.New(note.Info, "stock-for-next", "%s: what is made up at %s is %s more than a day like this one takes: the next one draws it before it can have its own",
			f.Name, flow.Clock(quantity.Wrapped(s.more.Start, 24)), quantity.To(s.by, 3)).At(f.Tank.At))
	}
}
