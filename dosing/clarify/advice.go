package clarify

import (
	"slices"

	"jarwright/dosing/caution"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// JarTest is when to take a jar test again, and why.
type JarTest struct {
	At      quantity.Time
	Reading float64
	Why     note.Phrase
}

// advise works out jar tests and notes.
func (r *Result) advise() {
	r.ending()
	r.jarTests()
	r.residuals()
	r.alkalinity()
	k := r.Tank
	if k.Share > 0 && k.Bin.Room() > 0 && len(k.Staffed) > 0 {
		for _, t := range r.Waste.Bins {
			if clock := k.Begin + t; k.Staffed.Last(clock) < clock-1e-9 {
				r.Notes.Add(note.New(note.Caution, "bin-full-unstaffed", "bin %s is full at %s, when nobody is there", k.Bin.Name, k.Clock(t)).
					Do("empty it before leaving, begin at another hour, or use a bigger bin").At(k.Bin.At))
				break
			}
		}
	}
}

// Endings are the codes of the notes that say how a run ends that does not simply clear its tank.
func Endings() []string {
	return []string{"clear-already", "tank-rises", "not-held", "never-clears", "too-long"}
}

func (r *Result) ending() {
	k := r.Tank
	read := k.Says
	switch r.Outcome {
	case ClearAlready:
		r.Notes.Add(note.New(note.Info, "clear-already",
			"the tank reads %s and is to be cleared to %s: there is nothing to do", read(k.Start), read(k.Stop)))
	case Cleared:
		if r.Hold != nil && r.Hold.Fails {
			r.holding(read)
		}
	case Held, NotHeld:
		r.holding(read)
	case NeverClears:
		n := note.New(note.Caution, "never-clears", "the reading settles at %s and never comes down to %s", read(r.Final.Reading), read(k.Stop))
		switch {
		case len(k.Chemicals) > 0 && !r.dosing():
			n = n.Do("the dose steps end at a reading above the one to stop at: add a step below it")
		case k.Floor >= k.Stop:
			n = n.Do("the unit's own outlet reads %s: stop at a higher reading, or polish the outlet", read(k.Floor))
		case k.Rise > 0 || k.Exchange > 0 && k.New > k.Stop:
			in := k.Rise*k.Volume.In("m3") + float64(k.Exchange)*(k.New-k.Stop)
			n = n.Do("stop what comes in (feed, runoff, bottom stirred up), or send more than %s round",
				quantity.Flow(in/(float64(k.Removal)*(k.Stop-k.Floor))))
		default:
			n = n.Do("raise the removal at each pass")
		}
		r.Notes.Add(n)
	case TooLong:
		enough := k.Enough()
		r.Notes.Add(note.New(note.Caution, "too-long", "after %s the tank still reads %s", k.Within(), read(r.Final.Reading)).
			Do("send more water round%s, run more hours a day, or raise the removal", note.Say("").If(enough > 0, " (about %s would do in that time)", quantity.To(enough, 3))))
	}
}

// Enough is the flow that would clear the tank in the longest time that it may take, its hours and what a pass takes out being as they are;
// zero where none of a thousand times its own would.
func (k Tank) Enough() quantity.Flow {
	clears := func(q quantity.Flow) bool {
		k := k
		k.Flow = q
		return k.after(k.Start, k.mean(), k.Within()) <= k.Stop
	}
	low, high := k.Flow, 1000*k.Flow
	if !clears(high) {
		return 0
	}
	for range 60 {
		if mid := (low + high) / 2; clears(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// holding says what a tank takes that is clear and would not stay so.
func (r *Result) holding(read func(float64) note.Phrase) {
	k, h := r.Tank, r.Hold
	rises := note.Say("the tank reads %s, but rises by itself", read(min(k.Start, k.Stop))).
		If(h.Passes > 0, ": left alone it passes %s after %s", read(h.At), h.Passes)
	n := note.New(note.Info, "tank-rises", "%s. The unit has to run %s a day to hold it there", rises, quantity.To(h.PerDay.V, 3))
	if k.Level > 0 && !h.Fails { // it is the answer, and told as such
		return
	}
	if h.Fails {
		n = note.New(note.Caution, "not-held", "%s, and the unit cannot hold it there: it settles at %s%s", rises, read(h.Settles), h.Between(read)).
			Do("stop what comes in (feed, runoff, bottom stirred up), send more water round, or run more hours a day")
	}
	r.Notes.Add(n)
}

func (r Result) dosing() bool {
	return slices.ContainsFunc(r.Final.Doses, func(d quantity.Concentration) bool { return d > 0 })
}

// jarTests: the dose that works depends on the water, and the water changes with
// every pass. A halving of the reading is when the trade tests again (common
// practice, no source); a step of the dose and the end of a dose curve's range
// are reasons of their own.
func (r *Result) jarTests() {
	k := r.Tank
	if r.Outcome != Cleared && r.Outcome != NeverClears && r.Outcome != TooLong || len(k.Chemicals) == 0 {
		return
	}
	r.JarTests = append(r.JarTests, JarTest{0, k.Start, note.Say("before you begin, on the tank's own water")})
	last := k.Start
	for i := 1; i < len(r.Moments); i++ {
		m, p := r.Moments[i], r.Moments[i-1]
		test := JarTest{At: m.At, Reading: m.Reading}
		passes := func(reading float64, why note.Phrase) { // somewhere between the two moments
			test = JarTest{p.At + (m.At-p.At)*quantity.Time((p.Reading-reading)/(p.Reading-m.Reading)), reading, why}
		}
		for c := range m.Doses {
			rule := k.Chemicals[c].Rule
			if rule.stepped && m.Doses[c] != p.Doses[c] {
				test.Why = note.Say("%s goes from %s to %s here", k.Chemicals[c].Name, p.Doses[c], m.Doses[c])
				if m.Doses[c] == 0 {
					test.Why = note.Say("%s ends here", k.Chemicals[c].Name)
				}
			}
			if low, curve := rule.Tested(); curve && p.Reading > low && m.Reading <= low {
				passes(low, note.Say("below %s %s the dose curve of %s was never tested", quantity.Full(quantity.Number(low), 3), k.Unit(), k.Chemicals[c].Name))
			}
		}
		if half := last / 2; test.Why.Format == "" && m.Reading <= half && half > 1.2*k.Stop {
			passes(half, note.Say("the reading has halved: the dose needed falls as the water clears"))
		}
		clear := r.Outcome == Cleared && test.Reading <= k.Stop*(1+1e-9) // then nothing more is dosed
		if test.Why.Format != "" && !clear {
			r.JarTests = append(r.JarTests, test)
			last = test.Reading
		}
	}
}

// residuals compares what stays with the limits. The water is clear when the
// residual is highest, so that nothing is left to bind it.
func (r *Result) residuals() {
	for i, c := range r.Tank.Chemicals {
		if r.Final.Residuals[i].Bound <= 0 {
			continue
		}
		stopped := false
		of := func(m Moment) float64 { return float64(r.Expected(m, i)) }
		end := of(r.Final)
		for _, b := range c.bounds() {
			if end >= float64(b.At) {
				stopped = true
				t, when := r.reached(of, float64(b.At))
				r.Notes.Add(note.New(note.Stop, b.Rule, "%s would build up to %s %s; %s stops it (%s). %s, when the tank reads %s %s",
					c.Name, c.told(quantity.Concentration(end), 2), c.how(), c.told(b.At, 3), b.Where, when, quantity.To(quantity.Number(r.ReadingAt(t)), 3), r.Tank.Unit()).
					Do("stop dosing %s by then, dose less as the water clears, bring in new water, or measure what the unit catches", c.Name))
			}
		}
		if !stopped && c.WarnAt > 0 && end >= float64(c.WarnAt) {
			_, when := r.reached(of, float64(c.WarnAt))
			r.Notes.Add(note.New(note.Caution, Rises, "%s builds up to %s %s; above %s take care (%s). %s",
				c.Name, c.told(quantity.Concentration(end), 2), c.how(), c.told(c.WarnAt, 3), c.Care, when).
				Do("dose less as the water clears, and measure what the unit catches"))
		}
	}
}

// Rises is the code of a caution that what is dosed builds up past what calls for care.
const Rises = "residual-rises"

// told is a residual as its limits are told: as active polymer where that is known, named.
func (c Chemical) told(dose quantity.Concentration, digits int) note.Phrase {
	if c.Holds <= 0 {
		return note.Say("%s", quantity.To(dose, digits))
	}
	return note.Say("%s of %s", quantity.To(dose*quantity.Concentration(c.Holds), digits), c.As)
}

// how says what of a chemical is taken to be caught.
func (c Chemical) how() note.Phrase {
	if c.HasCapture {
		return note.Say("with the measured capture of %s", c.Capture)
	}
	return note.Say("if all of it stays in the water")
}

// Expected is the residual that calls for care: the measured one where capture was measured,
// else the worst case.
func (r Result) Expected(m Moment, chemical int) quantity.Concentration {
	if x := m.Residuals[chemical]; x.HasMeasured {
		return x.Measured
	}
	return m.Residuals[chemical].Worst
}

// at gives a figure of the tank at a time since the start, on the straight line
// between two moments; beyond the last one, end.
func (r Result) at(t quantity.Time, of func(Moment) float64, end float64) float64 {
	for i := 1; i < len(r.Moments); i++ {
		a, b := r.Moments[i-1], r.Moments[i]
		if t <= b.At {
			return of(a) + (of(b)-of(a))*float64((t-a.At)/(b.At-a.At))
		}
	}
	return end
}

// ReadingAt gives the tank's reading at a time since the start.
func (r Result) ReadingAt(t quantity.Time) float64 {
	return r.at(t, func(m Moment) float64 { return m.Reading }, r.Final.Reading)
}

// reached says when something that only rises reaches a value.
func (r Result) reached(of func(Moment) float64, value float64) (quantity.Time, note.Phrase) {
	t := r.when(of, value)
	turnovers := r.at(t, func(m Moment) float64 { return m.Turnovers }, r.Turnovers)
	if float64(t) < 1.0/120 {
		return t, note.Say("That is so from the start")
	}
	return t, note.Say("That is reached at %s, after %s, %s turnovers", r.Tank.Clock(t), quantity.HoursMinutes(t), quantity.Full(quantity.Number(turnovers), 2))
}

// LoopGone is the name of the stop of a loop whose alkalinity its doses and what it nitrifies take, by which the day accepts it too.
const LoopGone = "loop-alkalinity-gone"

// AlkalinityFed is the name of the caution of a run that ends with less alkalinity than its water should have, by what it nitrifies.
const AlkalinityFed = "alkalinity-fed"

// nitrified tells what nitrifying takes of the run's alkalinity; dosed is the least that the doses by themselves would leave. It stops
// what a plan of the same days stops.
func (r *Result) nitrified(dosed quantity.Alkalinity) {
	k, least := r.Tank, r.Final.Alkalinity
	for _, m := range r.Moments {
		least = min(least, m.Alkalinity)
	}
	takes := k.NitrifiedBy(r.Final.At)
	if !k.HasAlkalinity || takes <= 0 {
		return
	}
	crossed := func(limit quantity.Alkalinity) bool { return least < limit && dosed >= limit && k.Alkalinity >= limit }
	says := func(level note.Level, code string, limit quantity.Alkalinity, asked string) {
		_, when := r.reached(func(m Moment) float64 { return -float64(m.Alkalinity) }, -float64(limit))
		r.Notes.Add(note.New(level, code, "nitrifying %s takes alkalinity from %s to %s as the run goes on; %s%s. %s", k.NitrifiedOf,
			quantity.To(k.Alkalinity, 3), quantity.To(max(0, least), 3), limit, asked, when.If(least <= 0, ". With none left the bacteria stop, and ammonia builds up")).
			Do("give back %s, as CaCO3", quantity.To(k.Nitrified, 3)))
	}
	switch limit := max(soft, k.Asks); {
	case crossed(gone) && r.dosing() && !k.FeedAssumed:
		says(note.Stop, LoopGone, gone, " is the least for any dose")
	case crossed(limit):
		says(note.Caution, AlkalinityFed, limit, " should be left")
	default:
		r.Notes.Add(note.New(note.Info, "alkalinity-nitrified", "nitrifying %s takes %s of alkalinity while the run goes on", k.NitrifiedOf, quantity.To(takes, 3)))
	}
}

// soft is the alkalinity below which water of animals turns quickly.
const soft quantity.Alkalinity = 50

// gone is the alkalinity below which nothing holds the pH of animals' water.
const gone quantity.Alkalinity = 20

// alkalinity tells when the water runs short of it: judged by what the doses take, told as it comes with what is nitrified besides.
func (r *Result) alkalinity() {
	k := r.Tank
	least, comes := k.Dosed(r.Final), r.Final.Alkalinity
	for _, m := range r.Moments {
		least, comes = min(least, k.Dosed(m)), min(comes, m.Alkalinity)
	}
	r.nitrified(least)
	if !k.HasAlkalinity || least >= k.Alkalinity {
		return
	}
	taken := k.Alkalinity - least
	stops := gone
	if k.Works { // as a plan stops works
		stops = 0
	}
	of := func(m Moment) float64 { return -float64(m.Alkalinity) }
	for _, limit := range [...]struct {
		at    quantity.Alkalinity
		level note.Level
		code  string
		says  string
		holds bool
	}{ // a dose twice as large leaves none; it takes much of a soft water's, or brings a good one low
		{stops, note.Stop, "alkalinity-gone", "the pH gives way", least < taken},
		{20, note.Caution, "alkalinity-low", "twice the dose leaves nothing to hold the pH", k.Works && least >= 0 && least < taken},
		{soft, note.Caution, "alkalinity-low", "water is soft, and its pH turns quickly", !k.Works && water.TakesMuch(k.Alkalinity, least)},
	} {
		if least < limit.at && limit.holds {
			when := note.Say("It is below that from the start")
			if k.Alkalinity >= limit.at {
				_, when = r.reached(of, -float64(limit.at))
			}
			left := note.Say("%s", quantity.To(comes, 3))
			if comes <= 0 { // an alkalinity below zero is acid
				left = note.Say("none, with acid left over that takes the pH below about %s", quantity.Number(caution.Acidic))
			}
			why := note.Say(limit.says).If(k.AskedBy != "", ", and %s should have %s or more", k.AskedBy, k.Asks)
			r.Notes.Add(note.New(limit.level, limit.code, "alkalinity falls from %s to %s; below %s %s. %s",
				quantity.To(k.Alkalinity, 3), left, limit.at, why, when).
				Do("feed alkali, a little at each turnover, or use a coagulant of higher basicity"))
			return
		}
	}
}
