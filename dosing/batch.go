package dosing

import (
	"math"
	"slices"

	"jarwright/jartest/quantity"
)

// Reserve is how long before the old stock runs out the next one goes over from
// the make-up tank (common practice, no source).
const Reserve quantity.Time = 0.25

// mostDays is how many days a long-lived stock is made up for at most, mostBatches
// how often a day the plan has one made up, mostFixed how often the user may.
const mostDays, mostBatches, mostFixed = 7, 12, 24 * 60

// Batch is one make-up of stock. Times are hours after the plan day's midnight;
// what lies before it is negative, what comes after the day above 24.
type Batch struct {
	Volume quantity.Volume
	// Start is when the work begins, Made when it is done, Aged when it may be fed.
	Start, Made, Aged quantity.Time
	// Moved is when it goes into the tank that the pump draws from; it equals Made
	// where it is made in that tank.
	Moved quantity.Time
	// From and Till bound its use, Expires is when its life ends.
	From, Till, Expires quantity.Time
	Recipe              Recipe
}

// shift is when somebody can make up stock; From equal to Till is round the clock.
type shift struct{ From, Till quantity.Time }

func (s shift) always() bool { return s.From == s.Till }

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
	demand   demand
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

// most is the largest batch that there is room for.
func (m making) most() quantity.Volume {
	if m.mix > 0 {
		return min(m.mix, m.tank)
	}
	return m.tank
}

// shape is a way to lay out batches: their volumes in turn, and after how many
// days they begin anew. An open one goes on with its own size, whatever the day.
type shape struct {
	volumes []quantity.Volume
	days    int
	open    bool
}

// shapes lists what a schedule tries, the least work first: a batch for several
// days, so many equal ones a day, and the tank filled at each visit. Where the user
// wants batches of a size, as many of that as the day takes.
func (m making) shapes() []shape {
	daily, most := m.demand.daily(), m.most()*(1+hair)
	if daily <= 0 || most <= 0 {
		return nil
	}
	var out []shape
	add := func(v quantity.Volume, n, days int) {
		if v <= most {
			out = append(out, shape{slices.Repeat([]quantity.Volume{v}, n), days, m.fixed > 0})
		}
	}
	if m.fixed > 0 {
		if n := math.Ceil(float64(daily/m.fixed) - hair); n <= mostFixed {
			add(m.fixed, max(1, int(n)), max(1, int(math.Round(float64(m.fixed/daily)))))
		}
		return out
	}
	for days := mostDays; days > 1; days-- {
		add(daily*quantity.Volume(days), 1, days)
	}
	for n := 1; n <= mostBatches; n++ {
		add(daily/quantity.Volume(n), n, 1)
	}
	if filled, ok := m.filled(); ok {
		out = append(out, shape{filled, 1, false})
	}
	return out
}

// schedule finds when to make up how much so that aged stock is always ready and
// none expires before it is used. The pattern repeats: every day, or every few
// days for a stock that keeps. It is false where no pattern does.
func (m making) schedule() (batches []Batch, everyDays int, ok bool) {
	for _, s := range m.shapes() {
		for _, t0 := range m.anchors() {
			if b, ok := m.pattern(t0, s); ok {
				return b, s.days, true
			}
		}
	}
	return nil, 0, false
}

// anchors lists the times at which the first batch of the pattern may begin to be
// used: the run's start and the earliest of a shift first, then every quarter hour.
func (m making) anchors() []quantity.Time {
	out := []quantity.Time{}
	if !m.shift.always() {
		ready := m.shift.From + m.work + m.ageing
		if m.mix > 0 {
			ready += Reserve
		}
		out = append(out, quantity.Time(math.Mod(float64(ready), 24)))
	}
	out = append(out, m.runStart)
	for q := range 96 {
		out = append(out, quantity.Time(math.Mod(float64(m.runStart)+float64(q)/4, 24)))
	}
	return out
}

// filled takes as much as the tank holds for each batch of a day but the last;
// false where that makes too many.
func (m making) filled() ([]quantity.Volume, bool) {
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
		if !s.open && i == len(s.volumes)-1 {
			till = t0 + period // the pattern closes, whatever idle time follows
		}
		b, ok := m.batch(v, from, till)
		if !ok || i > 0 && !m.free(out[i-1].Moved, b) {
			return nil, false
		}
		out, from = append(out, b), till
	}
	return out, s.open || m.free(out[len(out)-1].Moved-period, out[0])
}

// free reports that the make-up tank is free for a batch when the one before was moved.
func (m making) free(moved quantity.Time, b Batch) bool { return m.mix == 0 || b.Start >= moved-hair }

// batch places one batch as late as it can be, so that it is as fresh as can be.
func (m making) batch(v quantity.Volume, from, till quantity.Time) (Batch, bool) {
	b := Batch{Volume: v, From: from, Till: till}
	ready := m.demand.next(from)
	if m.mix > 0 {
		ready, _ = m.shift.latest(ready-Reserve, 0)
	}
	start, ok := m.shift.latest(ready-m.ageing-m.work, m.work)
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
	if m.demand.between(b.Moved, from)+v > m.tank*(1+hair) {
		return b, false
	}
	return b, b.Expires >= m.demand.last(till)-hair
}

// way is one change that would make an impossible schedule possible.
type way struct {
	what  string // "tank", "make-up tank", "life", "staff", "second tank", "batch"
	value float64
}

// ways tries single changes to an impossible schedule and lists those that work,
// each no larger than needed.
func (m making) ways() []way {
	var out []way
	tank, life := float64(m.tank), float64(m.life)
	big := 2 * max(float64(m.demand.daily()), float64(m.fixed), tank)
	for _, x := range []struct {
		what     string
		tried    bool
		from, to float64
		change   func(m *making, v float64)
	}{
		{"batch", m.fixed > 0, 0, 0, func(m *making, _ float64) { m.fixed = 0 }},
		{"second tank", m.ageing > 0 && m.mix == 0, tank, tank, func(m *making, v float64) { m.mix = quantity.Volume(v) }},
		{"tank", true, tank, big, func(m *making, v float64) {
			m.tank = quantity.Volume(v)
			if m.mix > 0 {
				m.mix = max(m.mix, m.tank)
			}
		}},
		{"life", life < 96, life, 96, func(m *making, v float64) { m.life = quantity.Time(v) }},
		{"staff", !m.shift.always(), 0, 0, func(m *making, _ float64) { m.shift = shift{} }},
	} {
		works := func(v float64) bool {
			with := m
			x.change(&with, v)
			_, _, ok := with.schedule()
			return ok
		}
		if !x.tried || !works(x.to) {
			continue
		}
		for low := x.from; x.to-low > x.to*hair; { // bisection on the least that works
			if mid := (low + x.to) / 2; works(mid) {
				x.to = mid
			} else {
				low = mid
			}
		}
		out = append(out, way{x.what, x.to})
	}
	return out
}
