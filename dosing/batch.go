package dosing

import (
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// Reserve is how long before the old stock runs out the next one goes over from
// the make-up tank (common practice, no source).
const Reserve quantity.Time = 0.25

// mostDays is how many days a long-lived stock is made up for at most, mostBatches
// how often a day the plan has one made up, mostFixed how often the user may.
const mostDays, mostBatches, mostFixed = 7, 12, 24 * 60

// Spare is the share by which a pump may feed more than its line says before a check
// drawdown calls for a new calibration (5 % is the usual limit; common practice, no
// source): a batch holds at least so much more than is planned to be drawn.
const Spare = 0.05

// Heel is the share of a tank's mark that may be left when fresh stock comes in and counts as
// part of it: it is stirred in, and a batch more a day for its sake would be work for nothing
// (common practice, no source).
const Heel quantity.Fraction = 0.1

// Batch is one make-up of stock. Times are hours after the plan day's midnight;
// what lies before it is negative, what comes after the day above 24.
type Batch struct {
	// Volume is what is to be made, Full what then stands in the tank that the pump
	// draws from, usable, and Left what stood in it before, all as planned.
	// Stands is what stands in it when the work begins, in the list of a day.
	Volume, Full, Left, Stands quantity.Volume
	// LetOut is true where what is left has to go, as it would outlive its life.
	LetOut bool
	// Spilled is what has to be let out of the tank before it comes in, as there is no room for both, in the list of a day.
	Spilled quantity.Volume
	// Start is when the work begins, Made when it is done, Aged when it may be fed.
	Start, Made, Aged quantity.Time
	// Moved is when it goes into the tank that the pump draws from; it equals Made
	// where it is made in that tank.
	Moved quantity.Time
	// From and Till bound its use at the fastest draw allowed for, Expires is when its life ends.
	From, Till, Expires quantity.Time
	Recipe              Recipe
}

// shift is when somebody can make up stock; one that ends when it begins, or a day later, is round the clock.
type shift struct{ From, Till quantity.Time }

func (s shift) always() bool { return s.Till == s.From || s.Till == s.From+24 }

func (s shift) length() quantity.Time {
	if s.always() {
		return 24
	}
	return quantity.Time(math.Mod(float64(s.Till-s.From)+24, 24))
}

// latest gives the last time not after t at which work of a length can begin and
// end within one shift; false where no shift is long enough.
func (s shift) latest(t, work quantity.Time) (quantity.Time, bool) {
	if s.always() {
		return t, true
	}
	if s.length() < work-hair {
		return 0, false
	}
	day := math.Floor(float64(t-s.From) / 24)
	begin := s.From + quantity.Time(24*day) // of the shift that began last
	return min(t, begin+s.length()-work), true
}

// making is what a schedule has to keep to.
type making struct {
	// demand is the fastest draw, for which batches are large enough; planned is the
	// draw that is expected, by which stock grows old. One without water is demand.
	demand, planned demand
	// letOut allows what is left of a batch to be let out before the next.
	letOut bool
	// busy are the hours in which the one who makes it up has other work.
	busy     flow.Hours
	tank     quantity.Volume // usable, of the tank that the pump draws from
	mix      quantity.Volume // usable, of a make-up tank; zero where there is none
	ageing   quantity.Time
	life     quantity.Time // from Made on
	work     quantity.Time
	shift    shift
	fixed    quantity.Volume // batch that the user wants; zero lets the schedule choose
	runStart quantity.Time
}

// hair is the share, or the hours, by which numbers may differ from rounding alone.
const hair = 1e-9

// expected is the draw by which stock grows old.
func (m making) expected() demand {
	if m.planned.per == 0 {
		return m.demand
	}
	return m.planned
}

// latest is the last time not after t at which work of a length can be done, within
// a shift and beside other work.
func (m making) latest(t, work quantity.Time) (quantity.Time, bool) {
	for range 4 * 24 * mostDays { // each turn goes back by some work
		start, ok := m.shift.latest(t, work)
		if !ok || work == 0 {
			return start, ok
		}
		other, ok := m.clash(start, work)
		if !ok {
			return start, true
		}
		t = other.From - work
	}
	return 0, false
}

// clash is other work that such work would run into; it comes back every day.
func (m making) clash(start, work quantity.Time) (flow.Span, bool) {
	for _, b := range m.busy {
		for day := math.Floor(float64(start)/24) - 1; day <= math.Floor(float64(start+work)/24); day++ {
			from, to := b.From+quantity.Time(24*day), b.To+quantity.Time(24*day)
			if start < to-hair && from < start+work-hair {
				return flow.Span{From: from, To: to}, true
			}
		}
	}
	return flow.Span{}, false
}

// most is the largest batch that there is room for.
func (m making) most() quantity.Volume {
	if m.mix > 0 {
		return min(m.mix, m.tank)
	}
	return m.tank
}

// shape is a way to lay out batches: their volumes in turn, at the fastest draw, and
// after how many days they begin anew.
type shape struct {
	volumes []quantity.Volume
	days    int
	early   bool // the last is only for the start of the next day
}

// shapes lists what a schedule tries, the least work first: a batch for several
// days, so many equal ones a day, and the tank filled at each visit. Where the user
// wants batches of a size, as few as need no larger one.
func (m making) shapes() []shape {
	daily, most := m.demand.daily(), m.most()*(1+hair)
	if daily <= 0 || most <= 0 {
		return nil
	}
	var out []shape
	add := func(v quantity.Volume, n, days int) {
		if v <= most {
			out = append(out, shape{volumes: slices.Repeat([]quantity.Volume{v}, n), days: days})
		}
	}
	if m.fixed > 0 {
		per := m.expected().daily() / m.fixed
		if n := math.Ceil(float64(per) - hair); n > 1 && n <= mostFixed {
			add(daily/quantity.Volume(n), int(n), 1)
		} else if n <= 1 {
			days := math.Floor(float64(1/per) + hair)
			add(daily*quantity.Volume(days), 1, int(days))
		}
		return out
	}
	for days := mostDays; days > 1; days-- {
		add(daily*quantity.Volume(days), 1, days)
	}
	before := m.early()
	for n := 1; n <= mostBatches; n++ {
		add(daily/quantity.Volume(n), n, 1)
		if rest := (daily - before) / quantity.Volume(max(1, n-1)); n > 1 && before > 0 && rest >= before && rest <= most {
			out = append(out, shape{volumes: append(slices.Repeat([]quantity.Volume{rest}, n-1), before), days: 1, early: true})
		}
	}
	if filled, ok := m.tankfuls(); ok {
		out = append(out, shape{volumes: filled, days: 1})
	}
	return out
}

// early is what is drawn, at the fastest draw, from the run's start until the first stock of a shift can be fed: a last
// batch of the day before may be no more than that where the stock does not keep.
func (m making) early() quantity.Volume {
	if ready := m.freeReady(); !m.shift.always() && ready > m.runStart {
		return m.demand.between(m.runStart, ready)
	}
	return 0
}

// freeReady is when a stock can be fed that a shift makes up once the make-up tank has been let over for the run's start.
func (m making) freeReady() quantity.Time {
	if m.mix == 0 {
		return m.firstReady(m.shift.From)
	}
	return m.firstReady(max(m.shift.From, m.runStart-Reserve))
}

// schedule finds when to make up how much so that aged stock is always ready and
// none expires before it is used. The pattern repeats: every day, or every few
// days for a stock that keeps. It is false where no pattern does.
// What is left of a batch is let out before the next only where it would outlive its
// life in every pattern that keeps it.
func (m making) schedule() (batches []Batch, everyDays int, ok bool) {
	for _, m.letOut = range [...]bool{false, true} {
		for _, s := range m.shapes() {
			for _, t0 := range m.anchors() {
				b, ok := m.pattern(t0, s)
				if ok && m.fill(b, quantity.Time(24*s.days)) {
					return b, s.days, true
				}
			}
		}
	}
	return nil, 0, false
}

// fill works out what each batch of a round has to make as planned: it fills up to
// what the fastest draw would take, and what that leaves need not be made again. It is
// false where that leaves next to nothing to make.
func (m making) fill(round []Batch, period quantity.Time) bool {
	for i := range round {
		b, before, ago := &round[i], &round[(i+len(round)-1)%len(round)], quantity.Time(0)
		if i == 0 {
			ago = period
		}
		b.Full = m.mark(*b)
		stood := m.mark(*before)
		b.Left = max(0, stood-m.expected().between(before.Moved-ago, b.Moved))
		b.LetOut = m.letOut && b.Left > stood*1e-6
		b.Volume = b.Full
		if !m.letOut {
			b.Volume -= b.Left
		}
		if b.Volume < Spare*b.Full {
			return false
		}
	}
	return true
}

// anchors lists the times at which the first batch of the pattern may begin to be
// used: the run's start and the earliest of a shift first, then every quarter hour.
func (m making) anchors() []quantity.Time {
	out := []quantity.Time{}
	if !m.shift.always() {
		out = append(out, m.firstReady(m.shift.From))
	}
	out = append(out, m.runStart)
	for q := range 96 {
		out = append(out, quantity.Time(math.Mod(float64(m.runStart)+float64(q)/4, 24)))
	}
	if !m.shift.always() && m.mix > 0 {
		out = append(out, m.freeReady())
	}
	return out
}

// firstReady is when the first stock that is made up from a time on can be fed.
func (m making) firstReady(start quantity.Time) quantity.Time {
	for range m.busy {
		if other, ok := m.clash(start, m.work); ok { // then the first time after it
			start = other.To
		}
	}
	ready := start + m.work + m.ageing
	if m.mix > 0 {
		ready += Reserve
	}
	return quantity.Time(math.Mod(float64(ready), 24))
}

// tankfuls takes as much as the tank holds for each batch of a day but the last;
// false where that makes too many.
func (m making) tankfuls() ([]quantity.Volume, bool) {
	var out []quantity.Volume
	left, none := m.demand.daily(), m.demand.daily()*hair
	for len(out) < mostBatches && left > none {
		out = append(out, min(left, m.most()))
		left -= m.most()
	}
	return out, left <= none
}

// pattern tries batches of a shape, used one after the other from t0 on.
func (m making) pattern(t0 quantity.Time, s shape) ([]Batch, bool) {
	period := quantity.Time(24 * s.days)
	var out []Batch
	from := t0
	for i, v := range s.volumes {
		till := m.demand.until(from, v)
		if s.early && i == len(s.volumes)-2 {
			till = m.runStart + period
		}
		if i == len(s.volumes)-1 {
			till = t0 + period // the pattern closes, whatever idle time follows
		}
		b, ok := m.batch(v, from, till)
		if !ok || i > 0 && !m.free(out[i-1].Moved, b) {
			return nil, false
		}
		out, from = append(out, b), till
	}
	return out, m.free(out[len(out)-1].Moved-period, out[0]) && m.keep(out, period)
}

// free reports that the make-up tank is free for a batch when the one before was moved.
func (m making) free(moved quantity.Time, b Batch) bool { return m.mix == 0 || b.Start >= moved-hair }

// batch places one batch as late as it can be, so that it is as fresh as can be; false
// where it cannot be had in time or has no room.
func (m making) batch(v quantity.Volume, from, till quantity.Time) (Batch, bool) {
	b := Batch{Volume: v, From: from, Till: till}
	ready := m.demand.next(from)
	if m.mix > 0 {
		ready, _ = m.shift.latest(ready-Reserve, 0)
	}
	start, ok := m.latest(ready-m.ageing-m.work, m.work)
	if !ok {
		return b, false
	}
	b.Start, b.Made, b.Aged = start, start+m.work, start+m.work+m.ageing
	b.Moved, b.Expires = b.Made, b.Made+m.life
	if m.mix > 0 {
		b.Moved = ready
	} else if m.ageing > 0 && m.demand.between(start, b.Aged) > m.demand.daily()*hair {
		return b, false // the pump would draw stock that has not aged
	}
	// What is still in the tank when this batch comes in must leave room for it.
	full := m.mark(b)
	return b, full <= m.tank*(1+hair) && !(m.letOut && m.mix > 0 && full > m.mix*(1+hair))
}

// mark is what stands in the tank when a batch has come in, to last until the next at the
// fastest draw.
func (m making) mark(b Batch) quantity.Volume { return m.demand.between(b.Moved, b.Till) }

// keep reports that no batch of a round is drawn beyond its life: till the next at the
// fastest draw; as is planned first in, first out, but for a heel that the next takes in, and
// for what is let out before it.
func (m making) keep(round []Batch, period quantity.Time) bool {
	for i, b := range round {
		next := round[(i+1)%len(round)]
		if i == len(round)-1 {
			next = next.later(period)
		}
		used, full := m.demand.last(b.Till), m.mark(b)
		if !m.letOut && full-m.expected().between(b.Moved, next.Moved) > quantity.Volume(Heel)*m.mark(next)*(1+hair) {
			used = m.expected().until(b.Moved, full*(1-hair))
		}
		if b.Expires < used-hair {
			return false
		}
	}
	return true
}

// way is one change that would make an impossible schedule possible.
type way struct {
	what  string // "tank", "make-up tank", "life", "staff", "second tank", "batch"
	value float64
	shift shift // for "staff", the least that does
}

// change is a way to be tried: up to how much, and what it makes of a schedule.
type change struct {
	what     string
	tried    bool
	from, to float64
	with     func(m *making, v float64)
}

// changes lists what may be changed. More hours with somebody there begin before the shift or, where that does not do, end after it.
func (m making) changes() []change {
	tank, life, alone := float64(m.tank), float64(m.life), 24-float64(m.shift.length())
	big := 2 * max(float64(m.demand.daily()), float64(m.fixed), tank)
	return []change{
		{"batch", m.fixed > 0, 0, 0, func(m *making, _ float64) { m.fixed = 0 }},
		{"second tank", m.ageing > 0 && m.mix == 0, tank, tank, func(m *making, v float64) { m.mix = quantity.Volume(v) }},
		{"tank", true, tank, big, func(m *making, v float64) {
			m.tank = quantity.Volume(v)
			if m.mix > 0 {
				m.mix = max(m.mix, m.tank)
			}
		}},
		{"life", life < 96, life, 96, func(m *making, v float64) { m.life = quantity.Time(v) }},
		{"staff", !m.shift.always(), 0, alone, func(m *making, v float64) { m.shift = m.shift.longer(quantity.Time(v), 0) }},
	}
}

// longer is the shift begun and ended so much earlier and later; round the clock where that leaves no gap.
func (s shift) longer(before, after quantity.Time) shift {
	if s.always() || s.length()+before+after >= 24-hair {
		return shift{}
	}
	return shift{quantity.Wrapped(s.From-before, 24), quantity.Wrapped(s.Till+after, 24)}
}

// works reports that a schedule exists.
func (m making) works() bool {
	_, _, ok := m.schedule()
	return ok
}

// least is the least of a change that does, found by halving; false where all of it does not.
func (x change) least(m making) (way, bool) {
	with := func(v float64) making {
		x.with(&m, v)
		return m
	}
	plain := m.shift
	if !x.tried || !with(x.to).works() {
		return way{}, false
	}
	for low := x.from; x.to-low > x.to*hair; {
		m.shift = plain
		if mid := (low + x.to) / 2; with(mid).works() {
			x.to = mid
		} else {
			low = mid
		}
	}
	return way{what: x.what, value: x.to}, true
}

// ways tries single changes to an impossible schedule and lists those that work,
// each no larger than needed.
func (m making) ways() []way {
	var out []way
	for _, x := range m.changes() {
		if w, ok := x.least(m); ok {
			out = append(out, m.staffed(w))
		}
	}
	return out
}

// staffed fills in the shift of a way that has more hours with somebody there: begun earlier, to five minutes, or ended later where less of that does.
func (m making) staffed(w way) way {
	if w.what != "staff" {
		return w
	}
	const step = 1. / 12
	w.shift = m.shift.longer(quantity.Time(roundUp(w.value, step)), 0)
	later := change{"staff", true, 0, 24 - float64(m.shift.length()), func(m *making, v float64) { m.shift = m.shift.longer(0, quantity.Time(v)) }}
	if l, ok := later.least(m); ok && l.value < w.value*(1-hair) {
		w.value, w.shift = l.value, m.shift.longer(0, quantity.Time(roundUp(l.value, step)))
	}
	return w
}

// pairs tries two changes together, for a schedule that no single one makes possible.
func (m making) pairs() (out [][2]way) {
	all := m.changes()
	for i, x := range all {
		for _, y := range all[i+1:] {
			if !x.tried || !y.tried {
				continue
			}
			with := m
			x.with(&with, x.to)
			second, ok := y.least(with)
			if !ok {
				continue
			}
			with = m
			y.with(&with, second.value)
			if first, ok := x.least(with); ok {
				without := m
				x.with(&without, first.value)
				out = append(out, [2]way{first, without.staffed(second)})
			}
		}
	}
	return out
}
