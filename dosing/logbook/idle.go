package logbook

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const (
	// idleShare is the part of the usual feed below which a pump stood for most of a row.
	idleShare = 0.1
	// mostNamed is how many stretches of days a sentence names.
	mostNamed = 5
	// farTimes is how many times the highest of all other readings one has to be to be asked about.
	farTimes = 10
	// fewestKnown is how many readings tell what is usual.
	fewestKnown = 5
)

// idle marks the days on which the pump stood and says which they are.
func (j *Judged) idle() {
	var fed []float64
	for _, d := range j.Days {
		if d.PerWater.OK && d.PerWater.V > 0 {
			fed = append(fed, float64(d.PerWater.V))
		}
	}
	if len(fed) < fewestKnown {
		return
	}
	slices.Sort(fed)
	usual := fed[len(fed)/2]
	var spans []string
	n, first := 0, note.Place{}
	for i := range j.Days {
		d := &j.Days[i]
		if d.Idle = d.PerWater.OK && float64(d.PerWater.V) < idleShare*usual; !d.Idle {
			continue
		}
		if n++; n == 1 {
			first = d.Place
		}
		if i > 0 && j.Days[i-1].Idle {
			from, _, _ := strings.Cut(spans[len(spans)-1], " to ")
			spans[len(spans)-1] = from + " to " + d.Day().Spelled()
		} else {
			spans = append(spans, d.Day().Spelled())
		}
	}
	if n == 0 {
		return
	}
	if more := len(spans) - mostNamed; more > 0 {
		spans = append(spans[:mostNamed], strconv.Itoa(more)+" times more")
	}
	j.Notes.Add(note.New(note.Caution, "pump-stood", "next to nothing was fed while water went, in %s: %s; no chart counts %s", rowsOf(n), strings.Join(spans, ", "), side(n == 1, "it", "them")).At(first).
		Do("find out why the pump stood, and what went out untreated"))
}

// stands tells of a pump that stands still at the last of the log.
func (j *Judged) stands() {
	at := len(j.Days)
	for at > 0 && j.Days[at-1].Idle {
		at--
	}
	if at == len(j.Days) {
		return
	}
	d, last := j.Days[at], j.Days[len(j.Days)-1]
	j.Drift = append(j.Drift, Drift{What: string(OfDose), Since: d.Day(), Seen: last.Day(), Size: -1, Readings: len(j.Days) - at, Advice: CheckPump, Place: d.Place,
		Reason: note.Say("next to nothing is fed, though water goes")})
}

// farOff asks about a turbidity that is so far above all others of its column that it was likely written wrong, and leaves it out.
func (j *Judged) farOff() {
	for _, of := range []func(*Day) *quantity.Known[quantity.Cloudiness]{
		func(d *Day) *quantity.Known[quantity.Cloudiness] { return &d.Raw },
		func(d *Day) *quantity.Known[quantity.Cloudiness] { return &d.Treated },
	} {
		var top, next quantity.Cloudiness
		n, at := 0, 0
		for i := range j.Days {
			v := of(&j.Days[i])
			if !v.OK {
				continue
			}
			if n++; v.V > top {
				top, next, at = v.V, top, i
			} else {
				next = max(next, v.V)
			}
		}
		if n <= fewestKnown || next <= 0 || top < farTimes*next {
			continue
		}
		d := &j.Days[at]
		v := of(d)
		j.Notes.Add(note.New(note.Caution, "reading-far", "%s on %s is more than %s times all others of the log, the highest of which is %s; it is left out", quantity.To(top, 4), d.Day().Spelled(), strconv.Itoa(farTimes), quantity.To(next, 4)).
			At(v.At).Do("look whether it was written right"))
		v.OK, d.Removal.OK = false, false
	}
}

// oneOf makes one note of several of a code, with how many rows they are of and the day of the first.
func (j *Judged) oneOf(code, says string) {
	var rest, same note.List
	for _, n := range j.Notes {
		if n.Code == code {
			same.Add(n)
		} else {
			rest.Add(n)
		}
	}
	if len(same) < 2 {
		return
	}
	day := ""
	for _, d := range j.Days {
		if d.Place == same[0].Place || d.Level.OK && d.Level.At == same[0].Place {
			day = d.Day().Spelled()
		}
	}
	n := note.New(note.Caution, code, says, strconv.Itoa(len(same)), day).At(same[0].Place)
	n.Remedy = same[0].Remedy
	rest.Add(n)
	j.Notes = rest
}

// middle is that of something of some days; not a number where none has it.
func (j Judged) middle(days []int, of func(Day) (float64, bool)) float64 {
	var all []float64
	for _, i := range days {
		if v, ok := of(j.Days[i]); ok {
			all = append(all, v)
		}
	}
	if len(all) == 0 {
		return math.NaN()
	}
	return engine.Median(all)
}

// cause is what makes up for most of a move of the dose, in words, since which of its chart's readings; set is true where somebody turned a knob.
type cause struct {
	why note.Phrase
	at  int
	set bool
}

// changed says what somebody or the water changed that makes up for most of a move of the dose, and on which day: the setting, of which the
// log tells the day itself, or how much water goes while the pump runs as before.
func (j Judged) changed(c Chart) (by cause, ok bool) {
	middle := j.middle
	moved := c.Mean * c.SD
	explains := func(by float64) bool { return by/moved > 0.5 && by/moved < 1.5 }
	setting := func(d Day) (float64, bool) { return d.knobs(), d.Setting.OK && d.knobs() > 0 }
	at, most := c.Since, 0.0
	for k := max(1, c.Since-sameTime); k <= min(c.Since+sameTime, len(c.Days)-1); k++ {
		a, was := setting(j.Days[c.Days[k-1]])
		b, is := setting(j.Days[c.Days[k]])
		if by := math.Abs(math.Log(b / a)); was && is && by > most {
			at, most = k, by
		}
	}
	if a, b := middle(c.Days[:at], setting), middle(c.Days[at:], setting); explains(math.Log(b / a)) {
		why := setTo(func(of func(Day) (float64, bool)) (was, is float64) {
			return middle(c.Days[:at], of), middle(c.Days[at:], of)
		})
		return cause{why, at, true}, true
	}
	before, since := c.Days[:c.Since], c.Days[c.Since:]
	water := func(d Day) (float64, bool) {
		return float64(d.Gone.V) / float64(d.Hours.V), d.Gone.OK && d.Hours.OK && d.Hours.V > 0
	}
	stock := func(d Day) (float64, bool) { return float64(d.Stock.V), d.Stock.OK && d.Stock.V > 0 }
	if a, b := middle(before, water), middle(since, water); explains(-math.Log(b/a)) && math.Abs(math.Log(middle(since, stock)/middle(before, stock))) < math.Abs(moved)/2 {
		return cause{why: note.Say("as the water is %s in place of %s and the pump runs as before", quantity.To(quantity.Flow(b/litres), 3), quantity.To(quantity.Flow(a/litres), 3)), at: c.Since}, true
	}
	return by, false
}

// setFor says of a knob that somebody turned that the raw water moved to the same side by as much as makes it another: it may be set so for that.
func (j Judged) setFor(c Chart, by cause) (why note.Phrase, ok bool) {
	raw := func(d Day) (float64, bool) { return float64(d.Raw.V), d.Raw.OK && d.Raw.V > 0 }
	was, is := j.middle(c.Days[:by.at], raw), j.middle(c.Days[by.at:], raw)
	if ln := math.Log(is / was); !by.set || !(math.Abs(ln) >= math.Log(farTurned)) || (ln > 0) != (c.Mean > 0) {
		return why, false
	}
	t := Turn{From: quantity.Cloudiness(was), To: quantity.Cloudiness(is)}
	return note.Say("%s, and %s: is it set so for that? A jar test of this water tells whether the dose is right", by.why, t.says()), true
}

// setTo says which knobs stand otherwise than they did: one alone by its place, of two each that was moved.
func setTo(middles func(of func(Day) (float64, bool)) (was, is float64)) note.Phrase {
	moved := func(what string, was, is float64) note.Phrase {
		return note.Say("%s set to %s in place of %s", what, quantity.To(quantity.Number(is), 3), quantity.To(quantity.Number(was), 3))
	}
	was, is := middles(func(d Day) (float64, bool) { return float64(d.Setting.V), d.Setting.OK })
	strokeWas, strokeIs := middles(func(d Day) (float64, bool) { return float64(d.Stroke.V), d.Stroke.OK })
	switch {
	case !(strokeWas > 0 && strokeIs > 0):
		return moved("as the pump is", was, is)
	case strokeWas == strokeIs:
		return moved("as its speed is", was, is)
	case was == is:
		return moved("as its stroke is", strokeWas, strokeIs)
	}
	return moved("as its stroke is", strokeWas, strokeIs).And(" and its speed to %s in place of %s", quantity.To(quantity.Number(is), 3), quantity.To(quantity.Number(was), 3))
}

// rowsOf is so many rows in words.
func rowsOf(n int) string { return strconv.Itoa(n) + side(n == 1, " row", " rows") }
