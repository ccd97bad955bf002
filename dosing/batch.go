package dosing

import (
	"math"

	"jarwright/jartest/quantity"
)

// Reserve is how long before the old stock runs out the next one goes over from
// the make-up tank (common practice, no source).
const Reserve quantity.Time = 0.25

// mostDays is how many days a long-lived stock is made up for at most.
const mostDays = 7

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
	if s.length() < work-1e-9 {
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

func (m making) most() quantity.Volume {
	if m.mix > 0 {
		return min(m.mix, m.tank)
	}
	return m.tank
}

// schedule finds when to make up how much so that aged stock is always ready and
// none expires before it is used. The pattern repeats: every day, or every few
// days for a stock that keeps. It is false where no pattern does.
func (m making) schedule() (batches []Batch, everyDays int, ok bool) {
	daily := m.demand.daily()
	if daily <= 0 || m.tank <= 0 {
		return nil, 0, false
	}
	if m.fixed > 0 {
		return m.repeat(m.fixed)
	}
	for days := mostDays; days > 1; days-- {
		if v := daily * quantity.Volume(days); v <= m.most()*(1+1e-12) {
			for _, t0 := range m.anchors() {
				if b, ok := m.pattern(t0, []quantity.Volume{v}, quantity.Time(24*days)); ok {
					return b, days, true
				}
			}
		}
	}
	for n := 1; n <= 12; n++ {
		v := daily / quantity.Volume(n)
		if v > m.most()*(1+1e-12) {
			continue
		}
		volumes := make([]quantity.Volume, n)
		for i := range volumes {
			volumes[i] = v
		}
		for _, t0 := range m.anchors() {
			if b, ok := m.pattern(t0, volumes, 24); ok {
				return b, 1, true
			}
		}
	}
	// Equal batches do not fit: fill the tank at each visit instead.
	for _, t0 := range m.anchors() {
		if volumes, ok := m.greedy(t0); ok {
			if b, ok := m.pattern(t0, volumes, 24); ok {
				return b, 1, true
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

// greedy takes as much as the tank holds for each batch but the last.
func (m making) greedy(t0 quantity.Time) ([]quantity.Volume, bool) {
	var out []quantity.Volume
	left := m.demand.daily()
	for len(out) < 12 && left > 1e-12 {
		v := min(left, m.most())
		out = append(out, v)
		left -= v
	}
	return out, left <= 1e-12
}

// pattern tries batches of these volumes, used one after the other from t0 on,
// repeating after a period.
func (m making) pattern(t0 quantity.Time, volumes []quantity.Volume, period quantity.Time) ([]Batch, bool) {
	out := make([]Batch, len(volumes))
	from := t0
	for i, v := range volumes {
		till := m.demand.until(from, v)
		if i == len(volumes)-1 {
			till = t0 + period // the pattern closes, whatever idle time follows
		}
		b, ok := m.batch(v, from, till)
		if !ok {
			return nil, false
		}
		out[i] = b
		from = till
	}
	for i := range out { // the make-up tank must be free when the next batch begins
		if m.mix == 0 {
			break
		}
		before := out[(i+len(out)-1)%len(out)].Moved
		if i == 0 {
			before -= period
		}
		if out[i].Start < before-1e-9 {
			return nil, false
		}
	}
	return out, true
}

// batch places one batch as late as it can be, so that it is as fresh as can be.
func (m making) batch(v quantity.Volume, from, till quantity.Time) (Batch, bool) {
	b := Batch{Volume: v, From: from, Till: till}
	first := m.firstUse(from)
	if m.mix > 0 {
		moved, ok := m.shift.latest(first-Reserve, 0)
		if !ok {
			return b, false
		}
		start, ok := m.shift.latest(moved-m.ageing-m.work, m.work)
		if !ok {
			return b, false
		}
		b.Start, b.Made, b.Aged, b.Moved = start, start+m.work, start+m.work+m.ageing, moved
	} else {
		start, ok := m.shift.latest(first-m.ageing-m.work, m.work)
		if !ok {
			return b, false
		}
		if m.ageing > 0 && m.demand.between(start, start+m.work+m.ageing) > 1e-12 {
			return b, false // the pump would draw stock that has not aged
		}
		b.Start, b.Made, b.Aged, b.Moved = start, start+m.work, start+m.work+m.ageing, start+m.work
	}
	b.Expires = b.Made + m.life
	// What is still in the tank when this batch comes in must leave room for it.
	if m.demand.between(b.Moved, from)+v > m.tank*(1+1e-9) {
		return b, false
	}
	return b, b.Expires >= m.demand.last(till)-1e-9
}

// firstUse is when something is next drawn at or after t: idle time does not count.
func (m making) firstUse(t quantity.Time) quantity.Time {
	u := m.demand.until(t, m.demand.daily()*1e-9)
	if u-t < 1e-3 {
		return t
	}
	return u
}

// repeat uses batches of the size that the user wants, one after the other from
// the run's start through the plan's day.
func (m making) repeat(v quantity.Volume) ([]Batch, int, bool) {
	if v > m.most()*(1+1e-12) {
		return nil, 0, false
	}
	for _, t0 := range m.anchors() {
		var out []Batch
		from, fine := t0, true
		for from < t0+24-1e-9 {
			till := m.demand.until(from, v)
			b, ok := m.batch(v, from, till)
			if !ok || m.mix > 0 && len(out) > 0 && b.Start < out[len(out)-1].Moved-1e-9 {
				fine = false
				break
			}
			out = append(out, b)
			from = till
		}
		if fine {
			days := 1
			if len(out) == 1 {
				days = max(1, int(math.Round(float64(out[0].Till-out[0].From)/24)))
			}
			return out, days, true
		}
	}
	return nil, 0, false
}

// way is one change that would make an impossible schedule possible.
type way struct {
	what  string // "tank", "make-up tank", "life", "staff", "second tank", "batch"
	value float64
}

// ways tries single changes to an impossible schedule and lists those that work.
func (m making) ways() []way {
	var out []way
	works := func(change func(*making)) bool {
		x := m
		change(&x)
		_, _, ok := x.schedule()
		return ok
	}
	if m.fixed > 0 && works(func(x *making) { x.fixed = 0 }) {
		out = append(out, way{"batch", 0})
	}
	least := func(lo, hi float64, try func(float64) bool) (float64, bool) {
		if !try(hi) {
			return 0, false
		}
		for range 30 {
			mid := (lo + hi) / 2
			if try(mid) {
				hi = mid
			} else {
				lo = mid
			}
		}
		return hi, true
	}
	if m.ageing > 0 && m.mix == 0 && works(func(x *making) { x.mix = x.tank }) {
		out = append(out, way{"second tank", float64(m.tank)})
	}
	daily := float64(m.demand.daily())
	big := math.Max(2*daily, 2*float64(m.fixed))
	if v, ok := least(float64(m.tank), math.Max(big, 2*float64(m.tank)), func(v float64) bool {
		return works(func(x *making) {
			x.tank = quantity.Volume(v)
			if x.mix > 0 {
				x.mix = max(x.mix, quantity.Volume(v))
			}
		})
	}); ok {
		out = append(out, way{"tank", v})
	}
	if h, ok := least(float64(m.life), 96, func(h float64) bool { return works(func(x *making) { x.life = quantity.Time(h) }) }); ok && h > float64(m.life)*1.001 {
		out = append(out, way{"life", h})
	}
	if !m.shift.always() && works(func(x *making) { x.shift = shift{} }) {
		out = append(out, way{"staff", 0})
	}
	return out
}
