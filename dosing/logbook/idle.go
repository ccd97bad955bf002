package logbook

import (
	"math"
	"slices"
	"strconv"
	"strings"

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
	j.Notes.Add(note.New(note.Caution, "pump-stood", "next to nothing was fed while water went, in %s rows: %s; no chart counts them", strconv.Itoa(n), strings.Join(spans, ", ")).At(first).
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
		if d.Level.OK && d.Level.At == same[0].Place {
			day = d.Day().Spelled()
		}
	}
	n := note.New(note.Caution, code, says, strconv.Itoa(len(same)), day).At(same[0].Place)
	n.Remedy = same[0].Remedy
	rest.Add(n)
	j.Notes = rest
}

// changed says what somebody or the water changed that makes up for most of a move of the dose: the setting, or how much water goes while
// the pump runs as before.
func (j Judged) changed(c Chart) (why note.Phrase, ok bool) {
	mean := func(days []int, of func(Day) (float64, bool)) float64 {
		sum, n := 0.0, 0.0
		for _, i := range days {
			if v, ok := of(j.Days[i]); ok {
				sum, n = sum+v, n+1
			}
		}
		return sum / n
	}
	before, since := c.Days[:c.Since], c.Days[c.Since:]
	moved := c.Mean * c.SD
	explains := func(by float64) bool { return by/moved > 0.5 && by/moved < 1.5 }
	setting := func(d Day) (float64, bool) { return float64(d.Setting.V), d.Setting.OK && d.Setting.V > 0 }
	if a, b := mean(before, setting), mean(since, setting); explains(math.Log(b / a)) {
		return note.Say("as the pump is set to %s in place of %s", quantity.To(quantity.Number(b), 3), quantity.To(quantity.Number(a), 3)), true
	}
	water := func(d Day) (float64, bool) {
		return float64(d.Gone.V) / float64(d.Hours.V), d.Gone.OK && d.Hours.OK && d.Hours.V > 0
	}
	stock := func(d Day) (float64, bool) { return float64(d.Stock.V), d.Stock.OK && d.Stock.V > 0 }
	if a, b := mean(before, water), mean(since, water); explains(-math.Log(b/a)) && math.Abs(math.Log(mean(since, stock)/mean(before, stock))) < math.Abs(moved)/2 {
		return note.Say("as the water is %s in place of %s and the pump runs as before", quantity.To(quantity.Flow(b/litres), 3), quantity.To(quantity.Flow(a/litres), 3)), true
	}
	return why, false
}
