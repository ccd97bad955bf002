package solids

import (
	"cmp"
	"math"
	"slices"

	"jarwright/dosing/flow"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Bin is where float or sludge goes.
type Bin struct {
	Name   string
	Volume quantity.Volume
	Usable quantity.Fraction // zero counts as 90 %
	Now    quantity.Volume   // in it when the day starts
	At     note.Place
}

// Room gives what the bin takes when empty.
func (b Bin) Room() quantity.Volume {
	return b.Volume * quantity.Volume(cmp.Or(max(b.Usable, 0), 0.9))
}

// Load is what comes into a bin: so much per volume of water treated (float), and
// so much per running hour (water that the skimmer carries over).
type Load struct {
	PerWater   quantity.Volume // L per m3 of water
	PerRunning quantity.Volume // L per running hour
}

// over gives what comes in while a segment of constant flow lasts for t.
func (l Load) over(f quantity.Flow, t quantity.Time) quantity.Volume {
	if f <= 0 {
		return 0
	}
	return l.PerWater*quantity.Volume(float64(f)*float64(t)) + l.PerRunning*quantity.Volume(t)
}

// Of gives what comes in on a whole day.
func (l Load) Of(d flow.Day) quantity.Volume {
	return l.PerWater*quantity.Volume(d.Volume().In("m3")) + l.PerRunning*quantity.Volume(d.Running())
}

// Emptying is one time that the bin is emptied.
type Emptying struct {
	At       quantity.Time // hours after the first midnight
	Contents quantity.Volume
	// Early is true where the bin is emptied before it is full, because it would
	// fill while nobody is there.
	Early bool
}

// Schedule is when to empty a bin.
type Schedule struct {
	// FullAt is when the bin, left alone from the start, is full; false for never
	// within the days looked at. FullIn is how long the unit runs from the start till then.
	FullAt, FullIn quantity.Time
	Fills          bool
	Emptyings      []Emptying
	PerDay         float64 // what comes in a day over what an emptying takes, the first left out
	// Days is how many whole days an empty bin holds, none where a day fills it: emptied as often at
	// one clock time it never runs over.
	Days  int
	Notes note.List
	fills quantity.Time // of an empty bin from the start
}

// Every is how long it is between two emptyings: whole days, or where a day takes more than one
// the mean, never longer than an empty bin takes to fill.
func (s Schedule) Every() quantity.Time {
	if s.Days > 0 {
		return quantity.Time(24 * s.Days)
	}
	return min(quantity.Time(24/s.PerDay), s.fills)
}

// staffedAt tells whether somebody is there.
func staffedAt(t quantity.Time, staffed flow.Hours) bool {
	return staffed.Covers(quantity.Time(math.Mod(float64(t), 24)))
}

// Plan gives the emptying schedule of a bin over so many like days, starting at
// a clock time. The bin is emptied when full; where that would fall into hours
// without staff, at the end of the staffed hours before.
func (b Bin) Plan(d flow.Day, l Load, staffed flow.Hours, start quantity.Time, days int) Schedule {
	var s Schedule
	room := b.Room()
	if room <= 0 || l.Of(d) <= 0 {
		return s
	}
	s.Days = int(math.Floor(min(float64(room/l.Of(d)), 1e6) + 1e-9))
	end := start + quantity.Time(24*days)
	s.FullAt, s.Fills = fullAt(d, l, room-b.Now, start, end)
	s.FullIn = running(d, start, s.FullAt)
	s.fills = quantity.Time(math.Inf(1))
	if at, ok := fullAt(d, l, room, start, end); ok {
		s.fills = at - start
	}
	now, contents := start, b.Now
	for len(s.Emptyings) < 500 {
		full, fills := fullAt(d, l, room-contents, now, end)
		if !fills {
			break
		}
		e := Emptying{At: full, Contents: room}
		if !staffedAt(full, staffed) {
			last, ok := lastStaffed(now, full, staffed)
			if ok {
				e = Emptying{At: last, Contents: contents + l.Between(d, now, last), Early: true}
			} else {
				next := nextStaffed(full, staffed)
				need := contents + l.Between(d, now, next)
				s.Notes.Add(note.New(note.Caution, "bin-overflows", "bin %s, emptied at %s, is full at %s while nobody is there until %s",
					b.Name, flow.Clock(now), flow.Clock(full), flow.Clock(next)).At(b.At).
					Do("use a bin of %s or more, or send somebody at %s", binSize(need, b), flow.Clock(full)))
			}
		}
		s.Emptyings = append(s.Emptyings, e)
		now, contents = e.At, 0
	}
	told := map[string]bool{} // the same fault comes back every night
	s.Notes = slices.DeleteFunc(s.Notes, func(n note.Note) bool {
		again := told[n.Code]
		told[n.Code] = true
		return again
	})
	takes, n := room, len(s.Emptyings)
	if n > 1 {
		takes = l.Between(d, s.Emptyings[0].At, s.Emptyings[n-1].At) / quantity.Volume(n-1)
	}
	s.PerDay = float64(l.Of(d) / takes)
	return s
}

func binSize(need quantity.Volume, b Bin) quantity.Volume {
	return quantity.Volume(math.Ceil(float64(need)/float64(b.Room())*float64(b.Volume)/10) * 10)
}

// Between gives what comes in between two clock times, in hours after midnight, of days that are all like d.
func (l Load) Between(d flow.Day, from, to quantity.Time) quantity.Volume {
	whole := wholeDays(from, to)
	v := l.Of(d) * quantity.Volume(whole)
	walk(d, from+24*whole, to, func(a, b quantity.Time, f quantity.Flow) bool {
		v += l.over(f, b-a)
		return true
	})
	return v
}

// running is how long water flows between two times of repeating days.
func running(d flow.Day, from, to quantity.Time) (t quantity.Time) {
	whole := wholeDays(from, to)
	t = d.Running() * whole
	walk(d, from+24*whole, to, func(a, b quantity.Time, q quantity.Flow) bool {
		if q > 0 {
			t += b - a
		}
		return true
	})
	return t
}

// wholeDays is how many whole days there are from one time to another: each brings what any day does, whenever it begins.
func wholeDays(from, to quantity.Time) quantity.Time {
	return quantity.Time(max(0, math.Floor(float64(to-from)/24)))
}

// fullAt gives when so much has come in, from a time on.
func fullAt(d flow.Day, l Load, room quantity.Volume, from, end quantity.Time) (quantity.Time, bool) {
	at, found := end, false
	if day := l.Of(d); day > 0 && room > 2*day { // the last of them is walked, whatever rounding leaves
		whole := min(quantity.Time(math.Floor(float64(room/day))-1), wholeDays(from, end))
		from, room = from+24*whole, room-day*quantity.Volume(whole)
	}
	walk(d, from, end, func(a, b quantity.Time, f quantity.Flow) bool {
		in := l.over(f, b-a)
		if in >= room && in > 0 {
			at, found = a+(b-a)*quantity.Time(max(room, 0)/in), true
			return false
		}
		room -= in
		return true
	})
	return at, found
}

// Coming is what comes into a bin on a day: of how it runs, so much.
type Coming struct {
	Day  flow.Day
	Load Load
}

// FullOver is when the bin, left alone, is full over days that differ, the first of them that of the start, which each begins at the same
// clock time; running is how long the unit runs till then. False where it is not within so many days, known false where the list ends before
// that: day gives the n-th day, false where nobody knows it.
func (b Bin) FullOver(start quantity.Time, days int, day func(n int) (Coming, bool)) (at, runs quantity.Time, full, known bool) {
	room := b.Room() - b.Now
	for n := range days {
		x, ok := day(n)
		if !ok {
			return 0, 0, false, false
		}
		from, to := start+quantity.Time(24*n), start+quantity.Time(24*(n+1))
		if at, ok := fullAt(x.Day, x.Load, room, from, to); ok {
			return at, runs + running(x.Day, from, at), true, true
		}
		room -= x.Load.Between(x.Day, from, to)
		runs += running(x.Day, from, to)
	}
	return 0, 0, false, true
}

// walk calls f for every stretch of constant flow between two times of repeating days.
func walk(d flow.Day, from, to quantity.Time, f func(a, b quantity.Time, q quantity.Flow) bool) {
	for day := math.Floor(float64(from) / 24); quantity.Time(day*24) < to; day++ {
		for s := range d.All() {
			a, b := max(from, s.From+quantity.Time(day*24)), min(to, s.To+quantity.Time(day*24))
			if b > a && !f(a, b, s.Flow) {
				return
			}
		}
	}
}

// lastStaffed gives the end of the last staffed stretch between two times.
func lastStaffed(from, to quantity.Time, staffed flow.Hours) (quantity.Time, bool) {
	best, ok := quantity.Time(0), false
	for day := math.Floor(float64(from) / 24); quantity.Time(day*24) <= to; day++ {
		for _, s := range staffed {
			if t := s.To + quantity.Time(day*24); t > from && t <= to && t > best {
				best, ok = t, true
			}
		}
	}
	return best, ok
}

// nextStaffed gives when somebody is there again.
func nextStaffed(t quantity.Time, staffed flow.Hours) quantity.Time {
	best := quantity.Time(math.Inf(1))
	for day := math.Floor(float64(t) / 24); day <= math.Floor(float64(t)/24)+1; day++ {
		for _, s := range staffed {
			if x := s.From + quantity.Time(day*24); x >= t {
				best = min(best, x)
			}
		}
	}
	return best
}
