package dosing

import (
	"cmp"
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// firstDay lays out the batches and fills of the plan's own day, from what its tanks hold
// when it starts, and finds when dosing can begin.
func (p *Plan) firstDay() {
	p.Begins = p.Start
	begin := p.begin()
	for i := range p.Feeds {
		p.carry(&p.Feeds[i], begin)
		p.found(i, begin)
	}
	begin = p.begin() // a list on what a tank holds may begin later
	for i := range p.Feeds {
		f := &p.Feeds[i]
		f.First = p.occurring(*f, begin)
		p.rested(f, begin)
		f.takeOver(begin)
		p.waiting(i, begin)
	}
	opening, ready := make([]*Batch, len(p.Feeds)), make([]quantity.Time, len(p.Feeds))
	for i := range p.Feeds {
		if b, at, ok := p.opening(i, begin, opening); ok {
			opening[i], ready[i] = &b, at
			p.Begins = max(p.Begins, at)
		}
	}
	for i := range p.Feeds {
		f := &p.Feeds[i]
		p.lay(f, opening[i], begin, p.work(i, opening))
		p.closing(f, begin)
		p.freshened(f, begin)
	}
	for i := range p.Feeds {
		f := &p.Feeds[i]
		p.provide(i, begin)
		if ready[i] > p.Start+hair && len(f.First) > 0 {
			f.Notes.Add(p.short(f))
		}
		f.Notes = append(f.Notes, p.goneOff(*f)...)
	}
}

// round is what comes back every day or every few days: batches, or fills of a neat product.
func (f Feed) round() []Batch {
	if f.Fills != nil {
		return f.Fills
	}
	return f.Batches
}

// later is the same batch some time later.
func (b Batch) later(t quantity.Time) Batch {
	for _, at := range [...]*quantity.Time{&b.Start, &b.Made, &b.Aged, &b.Moved, &b.From, &b.Till, &b.Expires} {
		*at += t
	}
	return b
}

// occurring gives the batches of a feed's round as they come into the tank on the day that begins then. Where
// somebody looked into the tank, one that was half made at that time is the day after's.
func (p Plan) occurring(f Feed, begin quantity.Time) []Batch {
	var out []Batch
	for _, b := range f.round() {
		b = b.later(quantity.Time(-24 * math.Floor(float64(b.Moved-begin)/24+hair)))
		if f.Tank != nil && f.Tank.Now.OK && b.Start < begin-hair && (b.Made > begin+hair || b.Moved <= b.Made+hair) {
			b = b.later(24)
		}
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b Batch) int { return cmp.Compare(a.Moved, b.Moved) })
	return out
}

// waiting has what was made up the day before let over first thing, where its tank has room:
// what stands there may not last until it is due. Where it has none by the round's time either, it waits until there is.
func (p Plan) waiting(i int, begin quantity.Time) {
	f := &p.Feeds[i]
	if f.Tank == nil || !f.Tank.Now.OK || !f.waits(begin) {
		return
	}
	b, now := &f.First[0], f.Tank.Now.V
	m := p.hands(i)
	if full := now + b.Volume; b.Aged <= p.Start && full <= f.Tank.Holds() {
		b.Moved, b.Left, b.Full = max(begin, b.Aged), now, full
	} else if f.Mix != nil && full-f.planned(p.Day).between(p.Start, b.Moved) > f.Tank.Holds()*(1+hair) {
		*b = p.comesIn(f, *b, begin, m)
	}
	p.queued(f, begin, m)
}

// waits reports that the first batch of a day was made up the day before.
func (f Feed) waits(begin quantity.Time) bool {
	return len(f.First) > 0 && f.First[0].Start < begin-hair
}

// dosed is what a draw takes between two times of the first day, on which it begins later
// where a first batch has to be ready.
func (p Plan) dosed(d demand, from, to quantity.Time) quantity.Volume {
	return d.between(max(from, p.Begins), max(to, p.Begins))
}

// opening is the batch that a tank needs before the first of the round, as less stands in
// it than that counts on, and when the pump may then start.
func (p Plan) opening(i int, begin quantity.Time, others []*Batch) (b Batch, ready quantity.Time, ok bool) {
	f := &p.Feeds[i]
	if !f.Fed || f.Tank == nil || !f.Tank.Now.OK || len(f.round()) == 0 && !f.Stock.Neat() {
		return b, 0, false
	}
	if f.Stock.Neat() && f.Tank.Now.V >= f.Tank.Holds()*(1-hair) || len(f.stays) > 0 {
		return b, 0, false // nothing can be filled into it, or made up
	}
	stands, at, next, rest, fast := f.Tank.Now.V, p.Start, begin+24+f.Work, f.First, f.fastest(p.Day, f.upper)
	if f.waits(begin) && fast.next(fast.until(at, stands)) >= rest[0].Moved-hair {
		made := rest[0]
		made.Left = max(0, stands-fast.between(at, made.Moved))
		stands = made.onTop(f.Tank, made.Left)
		at, next, rest = max(at, made.Moved), made.Moved+quantity.Time(24*max(f.Every, 1)), rest[1:]
	}
	if len(rest) > 0 {
		next = rest[0].Moved
	}
	dry := fast.next(max(p.Start, fast.until(at, stands))) // an empty tank is missed when water flows again
	if dry >= next-hair {
		return b, 0, false
	}
	usable, lead := dry, f.Work+f.Ageing
	if f.Mix == nil && f.Ageing > 0 {
		usable = p.Start // nothing may be drawn while it ages in the tank
	}
	m := making{shift: shift{f.From, f.Till}, busy: p.work(i, others)}
	if f.waits(begin) { // then the make-up tank is free
		begin = max(begin, f.First[0].Moved)
	}
	b.Start, ok = m.latest(min(max(usable-Reserve, p.Start), begin+24, p.needsMix(f, begin))-lead, f.Work)
	if !ok || b.Start < begin-hair {
		b.Start = m.earliest(begin, f.Work)
	}
	b.Made = b.Start + f.Work
	b.Aged, b.Moved = b.Made+f.Ageing, b.Made
	if f.Mix != nil {
		b.Moved = b.Aged
	}
	b.From, b.Expires = max(b.Aged, p.Start), b.Made+f.good()
	if b.Aged > usable+hair {
		return b, b.Aged, true
	}
	return b, p.Start, true
}

// needsMix is when the make-up tank has to be free for a batch that is made for the day after; plus infinity where none is.
func (p Plan) needsMix(f *Feed, begin quantity.Time) quantity.Time {
	at := quantity.Time(math.Inf(1))
	if f.Mix == nil {
		return at
	}
	for _, b := range f.ahead {
		at = min(at, b.Start)
	}
	if f.carried == nil && f.waits(begin) {
		at = min(at, f.First[0].Start+24)
	}
	return at
}

// work are the hours of the first day in which the stocks of the other feeds are made up,
// by the same person.
func (p Plan) work(but int, opening []*Batch) flow.Hours {
	var out flow.Hours
	for i, f := range p.Feeds {
		if i == but {
			continue
		}
		for _, b := range slices.Concat(f.First, f.ahead) {
			out = append(out, flow.Span{From: b.Start, To: b.Made})
		}
		if b := opening[i]; b != nil {
			out = append(out, flow.Span{From: b.Start, To: b.Made})
		}
	}
	return out
}

// earliest is the first time from t on at which work of a length can be done, within a
// shift and beside other work; t where there is none.
func (m making) earliest(t, work quantity.Time) quantity.Time {
	at := t
	for range 4 * 24 * mostDays {
		if start, ok := m.shift.latest(at, work); ok && start < at-hair { // in no shift, or too late in it
			at = m.shift.From + quantity.Time(24*math.Ceil(float64(at-m.shift.From)/24))
		} else if !ok {
			return t
		}
		other, clash := m.clash(at, work)
		if !clash {
			return at
		}
		at = other.To
	}
	return t
}

// lay works out what each batch of the first day has to make. The one that opens the day
// takes the place of as many of the round as the tank and the stock's life allow; busy are the
// hours of other work.
func (p Plan) lay(f *Feed, opening *Batch, begin quantity.Time, busy flow.Hours) {
	stands, told := quantity.Volume(0), f.Tank != nil && f.Tank.Now.OK
	if told {
		stands = f.Tank.Now.V
	} else if p.Begins <= p.Start || len(f.First) == 0 {
		p.standing(f)
		return
	} else {
		stands, _ = f.level(p.Day, p.handover()) // a batch of this list may come in before the start
	}
	planned, fast := f.planned(p.Day), f.fastest(p.Day, f.upper)
	if waits := f.waits(begin); opening != nil && waits {
		made := f.First[0]
		made.Left = max(0, stands-p.dosed(planned, p.Start, made.Moved))
		left := max(0, made.onTop(f.Tank, made.Left)-p.dosed(planned, made.Moved, opening.Moved))
		f.First = append(f.First[:1:1], p.opened(f, f.First[1:], *opening, left, made.Moved+quantity.Time(24*max(f.Every, 1)), busy)...)
	} else if opening != nil {
		f.First = p.opened(f, f.First, *opening, max(0, stands-p.dosed(planned, p.Start, opening.Moved)), 0, busy)
	}
	level, at, low := stands, p.Start, stands // low is at the fastest draw
	var out []Batch
	for i := range f.First {
		b := f.First[i]
		if b.Start >= begin-hair && told && f.Every > 1 && p.keeps(f, b.Moved+24) && level >= p.dosed(fast, at, b.Moved+24)*(1-hair) { // what stands there keeps, and lasts until the day after
			continue
		}
		b.Stands = max(0, level-p.dosed(planned, at, b.Start))
		b.Left = max(0, level-p.dosed(planned, at, b.Moved))
		if b.Start < begin-hair { // made up the day before, as the round has it
			low = b.onTop(f.Tank, max(0, low-p.dosed(fast, at, b.Moved)))
			b.Spilled = b.spilled(f.Tank)
			out, level, at = append(out, b), b.Full, b.Moved
			continue
		}
		if b.Moved < p.Begins && !f.Stock.Neat() {
			b.Full = min(b.Full, p.dosed(fast, b.Moved, b.Till))
		}
		b.Volume = b.Full
		if !b.LetOut {
			b.Volume -= b.Left
		}
		least := max(0, low-p.dosed(fast, at, b.Moved))
		switch {
		case least >= b.Full*(1-hair): // enough stands there, whatever is drawn
			continue
		case b.Volume <= 0:
			b.Volume = min(b.Full-least, f.Tank.Holds()-b.Left)
			b.Full = b.Left + b.Volume
		}
		stays := b.Left
		if b.LetOut {
			stays = 0
		}
		if worth := f.worthMaking(b.Volume, stays, func(v quantity.Volume) quantity.Time { return planned.until(max(b.Moved, p.Begins), v) }, b.Expires); worth > b.Volume {
			b.Volume, b.Full = worth, stays+worth
		}
		if f.Mix != nil && b.Volume > f.Mix.Holds() {
			more := quantity.Volume(0)
			if n := len(out); n > 0 && out[n-1].Start >= begin-hair && !b.LetOut {
				more = p.earlier(f, &out[n-1], b, b.Volume-f.Mix.Holds())
			}
			b.Left, stays = b.Left+more, stays+more
			b.Volume, b.Full = f.Mix.Holds(), min(b.Full, stays+f.Mix.Holds())
			p.hasten(f, i, b, busy)
		}
		b.Recipe, _ = f.Stock.Recipe(b.Volume) // as strong as those that had a recipe
		out, level, at, low = append(out, b), b.Full, b.Moved, b.Full
	}
	f.First = out
}

// earlier has the batch before one of which its make-up tank does not hold all take up to so much of it, as far as there is room and it keeps.
func (p Plan) earlier(f *Feed, before *Batch, b Batch, v quantity.Volume) quantity.Volume {
	more := min(v, f.Mix.Holds()-before.Volume, f.Tank.Holds()-before.Full)
	if more <= 0 || p.dosed(f.planned(p.Day), before.Expires, f.planned(p.Day).until(b.Moved, b.Left+more)) > 0 {
		return 0
	}
	before.Volume, before.Full = before.Volume+more, before.Full+more
	before.Recipe, _ = f.Stock.Recipe(before.Volume)
	return more
}

// hasten has the batch after one that is smaller than it should be ready before that is drawn, as far as somebody can.
func (p Plan) hasten(f *Feed, i int, b Batch, busy flow.Hours) {
	if i+1 >= len(f.First) {
		return
	}
	next, fast, m := &f.First[i+1], f.fastest(p.Day, f.upper), making{shift: shift{f.From, f.Till}, busy: busy}
	start, ok := m.latest(fast.until(max(b.Moved, p.Begins), b.Full)-Reserve-f.Ageing-f.Work, f.Work)
	if start = max(start, m.earliest(b.Moved, f.Work)); !ok || start >= next.Start-hair {
		return
	}
	usual := *next
	*next = next.later(start - next.Start)
	next.Moved, next.Till = next.Aged, usual.Till
	next.From, next.Full = next.Moved, min(f.Tank.Holds(), usual.Full+p.dosed(fast, next.Moved, usual.Moved))
}

// keeps reports that what stands in a tank when the day begins is good for all that is drawn until a time.
func (p Plan) keeps(f *Feed, till quantity.Time) bool {
	return f.Stock.Neat() || f.carried != nil && p.dosed(f.planned(p.Day), f.carried.Expires, till) <= 0
}

// onTop has a batch that was made already come in on what stands in its tank, as planned and where
// the least stands there; it gives what that comes to.
func (b *Batch) onTop(tank *Vessel, least quantity.Volume) quantity.Volume {
	stays := b.Left
	if b.LetOut {
		stays, least = 0, 0
	}
	b.Full = min(stays+b.Volume, tank.Holds())
	return min(least+b.Volume, tank.Holds())
}

// standing adds what stands in the tank when the work for a batch of the round begins.
func (p Plan) standing(f *Feed) {
	for i, b := range f.First {
		f.First[i].Stands = b.Left + f.planned(p.Day).between(b.Start, b.Moved)
	}
}

// opened gives the batches of a day that a batch of its own opens, which comes in on what is left in the tank
// and lasts a day, or till the next one that waits in the make-up tank.
func (p Plan) opened(f *Feed, rest []Batch, b Batch, left quantity.Volume, waits quantity.Time, busy flow.Hours) []Batch {
	planned, fast := f.planned(p.Day), f.fastest(p.Day, f.upper)
	holds := f.Tank.Holds()
	for n := len(rest); n > 0; n-- {
		till := rest[0].Moved + quantity.Time(24*max(f.Every, 1))
		if n < len(rest) {
			till = rest[n].Moved
		}
		b.Till, b.Full = till, p.dosed(fast, b.Moved, till)
		room := b.Full <= holds*(1+hair) && (f.Mix == nil || b.Full-left <= f.Mix.Holds()*(1+hair))
		if room && b.Full > left && b.Expires >= planned.last(till)-hair {
			return append([]Batch{p.filled(f, b)}, rest[n:]...)
		}
	}
	out := slices.Clone(rest)
	b.Till = max(p.Begins+24, waits)
	if len(out) > 0 {
		free := b.Made
		if f.Mix != nil { // until it is let over
			free = b.Moved
		}
		if free > out[0].Start {
			m := making{shift: shift{f.From, f.Till}, busy: busy}
			out[0] = out[0].later(m.earliest(free, f.Work) - out[0].Start)
		}
		b.Till = out[0].Moved
	}
	b.Full = min(holds, p.dosed(fast, b.Moved, b.Till))
	return append([]Batch{p.filled(f, b)}, out...)
}

// filled is a batch as it comes into the tank: a neat product fills it.
func (p Plan) filled(f *Feed, b Batch) Batch {
	if f.Stock.Neat() {
		b.Full = f.Tank.Holds()
	}
	return b
}

// UnitBegins is when the unit starts: with dosing, where it stands still for part of a day; else
// its water runs on without a dose until dosing begins.
func (p Plan) UnitBegins() quantity.Time {
	if p.still() {
		return p.Begins
	}
	return p.Start
}

// Late is the water that the plan's own day doses, and for how long, where dosing begins after the day's start:
// the figures of a day are those of a full one. False where the day is one.
func (p Plan) Late() (treated quantity.Volume, running quantity.Time, late bool) {
	if p.Begins <= p.Start+hair {
		return 0, 0, false
	}
	treated = demand{p.Day, 1}.between(p.Begins, p.Start+24)
	for _, s := range p.Day.Segments() {
		for _, day := range [...]quantity.Time{0, 24} { // the day may go over midnight
			if from, to := max(s.From+day, p.Begins), min(s.To+day, p.Start+24); s.Flow > 0 && from < to {
				running += to - from
			}
		}
	}
	return treated, running, true
}

// goneOff says that what stands in a tank when the day starts is more than is fed before it goes
// off, where it is as old as the round has it then.
func (p Plan) goneOff(f Feed) note.List {
	if f.Stock.Neat() || !f.Fed || f.Tank == nil || !f.Tank.Now.OK || f.Tank.Now.V <= 0 {
		return nil
	}
	now, planned := f.Tank.Now.V, f.planned(p.Day)
	last := planned.until(max(p.Start, p.Begins), now)
	for _, b := range f.First {
		if b.LetOut || b.Left <= quantity.Volume(Heel)*b.Full*(1+hair) { // stirred in, or gone
			last = min(last, b.Moved)
		}
	}
	made := last - f.good()
	if usual, ok := f.usuallyMade(p.Start); ok && made <= usual+hair || math.IsInf(float64(made), 0) {
		return p.outlived(f)
	}
	said := note.Say("%s: %s holds %s when the day starts, and its stock keeps %s", f.Name, f.Tank.Name, now, f.good())
	if most := planned.between(p.Start, p.Start+f.good()); made > p.Start+hair {
		return note.List{note.New(note.Caution, "stock-old", "%s: as much as %s of it is fed by then, the rest goes off",
			said, quantity.To(most, 3)).At(f.Tank.At).Do("make up no more than that; let out what has gone off")}
	}
	return note.List{note.New(note.Caution, "stock-old", "%s: the last of it is fed at %s, so what was made before %s has gone off by then",
		said, flow.Clock(last), flow.Clock(made)).At(f.Tank.At).Do("let out what is older")}
}

// outlived says that a batch of the day is still fed when its life has ended, as more stands in its tank than the
// round counts on.
func (p Plan) outlived(f Feed) note.List {
	planned := f.planned(p.Day)
	for i, b := range f.First[:max(0, len(f.First)-1)] {
		next := f.First[i+1]
		if next.LetOut || next.Left <= quantity.Volume(Heel)*next.Full*(1+hair) {
			continue
		}
		if last := planned.until(max(b.Moved, p.Begins), b.Full); last > b.Expires+hair {
			return note.List{note.New(note.Caution, "stock-old", "%s: of the batch that is ready at %s the last is fed at %s, and it has gone off at %s",
				f.Name, flow.Clock(b.Aged), flow.Clock(last), flow.Clock(b.Expires)).At(f.Tank.At).Do("let out what is left of it then")}
		}
	}
	return nil
}

// usuallyMade is when the stock that is fed at a time was made, by the round.
func (f Feed) usuallyMade(t quantity.Time) (made quantity.Time, ok bool) {
	made = quantity.Time(math.Inf(-1))
	for _, b := range f.round() {
		made, ok = max(made, t-quantity.Wrapped(t-b.Moved, quantity.Time(24*max(f.Every, 1)))-(b.Moved-b.Made)), true
	}
	return made, ok
}

// short says what comes of a tank that holds too little when the day starts.
func (p Plan) short(f *Feed) note.Note {
	b, starts := f.First[0], "the unit and its pumps start"
	if p.UnitBegins() < p.Begins {
		starts = "dosing starts"
	}
	n := note.New(note.Caution, "stock-short", "%s: %s at %s, not at %s", p.shortAs(f), starts, flow.Clock(p.Begins), flow.Clock(p.Start)).At(f.Tank.At)
	lead := b.Aged - b.Start
	if f.Mix != nil {
		lead += Reserve
	}
	before, ok := making{shift: shift{f.From, f.Till}}.latest(p.Start-lead, f.Work)
	if ok && before+f.Work+f.good() >= f.planned(p.Day).last(p.Start+24) {
		what := "make it up"
		if f.Stock.Neat() {
			what = "fill it"
		}
		return n.Do("to start at %s, begin to %s at %s at the latest", flow.Clock(p.Start), what, flow.Clock(before))
	}
	return n.Do("have it ready before the start")
}

// levelOn is what stands in a feed's tank at a time of the plan's day.
func (p Plan) levelOn(f Feed, t quantity.Time) (quantity.Volume, bool) {
	told, ends := f.Tank != nil && f.Tank.Now.OK, f.goesOff(p.Rest.After)
	switch {
	case len(f.round()) == 0 && len(f.First) == 0:
		return 0, false
	case !ends && !told && (p.Begins <= p.Start && !f.provides || t > p.begin()+24+hair && len(f.round()) > 0 && len(f.First) > 0):
		return f.level(p.Day, t)
	}
	level, at := quantity.Volume(0), p.Start
	if told {
		level = f.Tank.Now.V
	} else {
		level, _ = f.level(p.Day, p.Start)
	}
	for _, b := range f.First {
		if b.Moved <= t+hair {
			level, at = b.Full, b.Moved
		}
	}
	planned, begin := f.planned(p.Day), p.begin()
	if t > begin+24+hair && !ends && f.Every <= 1 && len(f.stays) == 0 { // the next list fills up to the marks of the round
		for _, b := range p.occurring(f, begin) {
			if b = b.later(24); b.Moved <= t+hair {
				level, at = max(b.Full, level-p.dosed(planned, at, b.Moved)), b.Moved
			}
		}
	}
	return max(0, level-p.dosed(planned, at, t)), true
}
