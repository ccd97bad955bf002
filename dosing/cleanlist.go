package dosing

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Stage is something to do at a time.
type Stage struct {
	At      quantity.Time // since the start; what is done before it is negative
	Reading float64
	// Before is what to do first, then the feeds are set, then the rest.
	Before, Do []note.Phrase
	// Feeds are what to set from here on; none where nothing changes.
	Feeds []StageFeed
	// Alone is true where it falls into hours when nobody is there.
	Alone bool
}

// StageFeed is the feed of a chemical from a stage on.
type StageFeed struct {
	Chemical string
	Dose     quantity.Dose
	Rate     quantity.FeedRate // of stock or neat product; zero where its strength is not known
	Neat     string            // the word for a product that is fed without water; empty for a stock
	// Product is what a feeder without pump has to give; zero where the strength is not known.
	Product quantity.MassRate
	Setting *pump.Choice
	Pump    *pump.Pump
}

// Nearest is what the pump can feed next to a rate that is out of its reach, and the dose of that: all it gives, or the least that it
// feeds steadily; false where the rate is in its reach, or nothing is known of the least.
func (f StageFeed) Nearest() (rate quantity.FeedRate, dose quantity.Concentration, ok bool) {
	if f.Setting == nil || f.Pump == nil || f.Setting.Reach == pump.Within || f.Rate <= 0 {
		return 0, 0, false
	}
	if rate = f.Pump.Capacity(); f.Setting.Reach == pump.TooLittle {
		rate = max(f.Pump.Least(), f.Setting.Gives)
	}
	return rate, f.Dose.Concentration * quantity.Concentration(rate/f.Rate), rate > 0
}

// cleanList gathers the stages of a cleaning.
type cleanList struct{ *Cleaning }

// at gives the stage of a time, a new one where there is none so near.
func (l cleanList) at(t quantity.Time) *Stage {
	const near = 1.0 / 120 // h; what comes so close is one stage
	i := slices.IndexFunc(l.Stages, func(s Stage) bool { return math.Abs(float64(s.At-t)) < near })
	if i < 0 {
		i = len(l.Stages)
		clock := l.Tank().Begin + t
		l.Stages = append(l.Stages, Stage{At: t, Reading: l.ReadingAt(max(t, 0)), Alone: l.Tank().Staffed.Last(clock) < clock-hair})
	}
	return &l.Stages[i]
}

func (l cleanList) before(t quantity.Time, format string, args ...any) {
	s := l.at(t)
	s.Before = append(s.Before, note.Say(format, args...))
}

func (l cleanList) then(t quantity.Time, format string, args ...any) {
	s := l.at(t)
	s.Do = append(s.Do, note.Say(format, args...))
}

// daily is how a unit that holds a tank runs each day.
func (l cleanList) daily() note.Phrase {
	h := l.Hold
	part := h.PerDay.V < 24-moment
	return note.Say("").If(!part, "all day").If(part, "%s every day, %s", quantity.To(h.PerDay.V, 3), h.Runs.String()).
		If(part && len(l.Tank().Chemicals) > 0, ", the pumps only while it runs")
}

// rises says what becomes of a tank that is clear and that rises by itself, and what holds it there.
func (l cleanList) rises() {
	k := l.Tank()
	h := k.Holding()
	if h == nil {
		return
	}
	read := k.Says
	said := note.Say("it rises by itself: left alone it is above %s again at once, and reads %s a day later", read(h.At), read(k.Alone(h.At, 24)))
	switch {
	case h.Fails:
		said = said.And("; the unit cannot hold it there, but at %s%s", read(h.Settles), h.Between(read))
	case len(k.Chemicals) > 0:
		said = said.And("; run %s a day and dosed while it runs, the unit holds it there", quantity.To(h.PerDay.V, 3))
	default:
		said = said.And("; run %s a day, the unit holds it there", quantity.To(h.PerDay.V, 3))
	}
	l.then(l.Time, "%s", said)
}

// stages lays out what to do when.
func (c *Cleaning) stages() {
	if c.Outcome == clarify.ClearAlready || c.Stopped {
		return
	}
	l := cleanList{c}
	begin := l.begin()
	if c.Watch != nil {
		l.before(begin, "aerators on, and look at the animals as the lines to watch say")
	}
	l.before(begin, "start the circulation")
	draws := l.feeds(begin)
	c.MakeUps = make([][]Batch, len(draws))
	keepers := l.together(draws)
	if c.Outcome == clarify.Held {
		l.then(begin, "run the unit %s", l.daily())
		l.held(begin)
	}
	stops := l.pauses(begin)
	if c.Outcome == clarify.Cleared {
		for _, i := range keepers {
			l.makeUps(i, draws[i])
		}
	}
	l.jarTests(begin)
	l.bins()
	if c.Outcome == clarify.Cleared {
		h := c.Hold
		goes := h != nil && !h.Fails && c.Tank().Level > 0 // it keeps running
		switch {
		case goes && len(c.Tank().Chemicals) == 0:
			l.then(c.Time, "it is there: let the circulation go on")
		case goes:
			l.then(c.Time, "it is there: the circulation goes on, dosed only while the unit runs")
		case l.idle():
			l.then(c.Time, "clear while the unit stands still: do not start it again; read the tank again after an hour")
			l.leftOver(draws)
		case len(c.Tank().Chemicals) == 0:
			l.then(c.Time, "clear: stop the circulation; read the tank again after an hour")
		default:
			l.then(c.Time, "clear: stop dosing first, then the circulation; read the tank again after an hour")
			l.leftOver(draws)
		}
		if !goes {
			l.rises()
		}
		if goes {
			l.then(c.Time, "from the next day on hold it at %s: run the unit %s", l.Tank().Says(h.At), l.daily())
			l.held(c.Time)
		}
		if !l.idle() {
			stops = append(stops, c.Time)
		}
	}
	l.alone(stops)
	l.handAlone()
	slices.SortFunc(c.Stages, func(a, b Stage) int { return cmp.Compare(a.At, b.At) })
	l.reach()
}

// idle reports that the unit stands still when the run ends.
func (l cleanList) idle() bool {
	return len(l.Moments) > 1 && l.still(len(l.Moments)-1)
}

// still reports that the unit stands from the moment before to one.
func (l cleanList) still(i int) bool { return l.Moments[i].Running-l.Moments[i-1].Running < moment }

// jarTest is how long a jar test takes, from filling the jars to setting out what they read (common practice, no source).
const jarTest quantity.Time = 1

// jarTests lists when to test. The first finds the dose to begin with, on which the stock rests: it is done before any is made up.
func (l cleanList) jarTests(begin quantity.Time) {
	l.JarTests = slices.Clone(l.JarTests)
	for i := range l.JarTests {
		j := &l.JarTests[i]
		if j.At > 0 {
			wanted := j.At
			switch j.At = l.testedAt(wanted); {
			case j.At > wanted:
				l.before(j.At, "jar test before it starts again: %s", j.Why)
			case j.At < wanted:
				l.then(j.At, "jar test: by %s %s", l.Tank().Clock(wanted), j.Why)
			default:
				l.then(j.At, "jar test: %s", j.Why)
			}
			continue
		}
		j.At = begin
		for n, batches := range l.MakeUps {
			if len(batches) > 0 {
				j.At = min(j.At, l.latest(n, batches[0].Start-jarTest, jarTest))
			}
		}
		s := l.at(j.At)
		s.Before = slices.Insert(s.Before, 0, note.Say("jar test: %s", j.Why))
	}
}

// testedAt is the time of a jar test that is wanted at one. Where the unit stops before it is done it tells the dose of the next start
// and is done before that, by who is there by then; else it is sooner where people leave before it is done. It is as it is where nobody is there at all.
func (l cleanList) testedAt(wanted quantity.Time) quantity.Time {
	k := l.Tank()
	there := func(t quantity.Time) bool { return k.Staffed.Last(k.Begin+t) > k.Begin+t-hair }
	if on, stops := l.restart(wanted, jarTest); stops && there(on-jarTest) && there(on) && k.Staffed.Began(k.Begin+on) < k.Begin+on-jarTest+hair {
		return on - jarTest
	}
	leave := k.Staffed.Last(k.Begin+wanted+jarTest) - k.Begin
	at := leave - jarTest
	if !there(wanted) || leave > wanted+jarTest-hair || at < 0 || k.Begin+at < k.Staffed.Began(k.Begin+leave-moment)-hair {
		return wanted
	}
	return at
}

// restart is when the unit starts again that stops within so long after a time; false where it goes on, or is clear by then.
func (l cleanList) restart(t, within quantity.Time) (quantity.Time, bool) {
	for i := 1; i < len(l.Moments); i++ {
		if l.Moments[i].At <= t+moment || !l.still(i) {
			continue
		}
		stop := l.Moments[i-1].At
		for i < len(l.Moments) && l.still(i) {
			i++
		}
		return l.Moments[i-1].At, stop < t+within-moment && i < len(l.Moments)
	}
	return 0, false
}

// latest is the last time not after t at which those who make up a stock can begin work that takes so long.
func (l cleanList) latest(i int, t, work quantity.Time) quantity.Time {
	return shift{l.Feeds[i].From, l.Feeds[i].Till}.latestAfter(l.Tank().Begin, t, work)
}

// latestAfter is the last time not after t, both since a start by the clock, at which work so long can begin in the shift; t where no
// shift is long enough.
func (s shift) latestAfter(begin, t, work quantity.Time) quantity.Time {
	if at, ok := s.latest(begin+t, work); ok {
		return at - begin
	}
	return t
}

// leftOver says what is then left of the stocks, which were made up with some to spare, and how long it is good.
func (l cleanList) leftOver(draws []draw) {
	for i, batches := range l.MakeUps {
		if len(batches) == 0 {
			continue
		}
		last := batches[len(batches)-1]
		left := last.Full - (draws[i].total()-draws[i].by(last.Moved))/(1+Spare)
		l.then(l.Time, "about %s of %s is left: good until %s; let it out after that, not into the tank", quantity.To(left, 2), l.stockCalled(i),
			l.Tank().Clock(last.Expires))
	}
}

// stockCalled is what people call a stock; one that several pumps draw has the name of its own row.
func (l cleanList) stockCalled(i int) string {
	f := l.Feeds[i]
	if slices.Contains(l.shared, i) && f.StockName != "" {
		return f.StockName
	}
	return f.StockCalled()
}

// MakesUp reports that the list has stock made up for its run.
func (c Cleaning) MakesUp() bool {
	return slices.ContainsFunc(c.MakeUps, func(b []Batch) bool { return len(b) > 0 })
}

// bins has the bin emptied; where that is often, all of it is one line.
func (l cleanList) bins() {
	all, name := l.Waste.Bins, cmp.Or(l.Tank().Bin.Name, "the bin")
	if len(all) > manyBins*max(1, int(math.Ceil(float64(l.Time)/24))) {
		l.then(all[0], "empty %s, from then on about every %s while the unit runs", name, usualGap(all))
		return
	}
	for _, t := range all {
		l.then(t, "empty %s", name)
	}
}

// byHand reports a chemical that is fed without a pump; where no site tells of its feed nobody knows.
func (l cleanList) byHand(i int) bool { return i < len(l.Feeds) && l.Feeds[i].Pump == nil }

// handAlone says of what is fed by hand how much of the run, else of the days in which it is held, nobody is there to feed it.
func (l cleanList) handAlone() {
	k := l.Tank()
	for i, f := range l.Feeds {
		if len(k.Staffed) == 0 || !l.byHand(i) {
			continue
		}
		if alone, dosed := l.unattended(i); alone > moment {
			l.listNotes.Add(f.unattended(alone, dosed, k.Staffed))
			continue
		}
		h := l.Hold
		if h == nil || h.Fails || k.Level <= 0 || k.Chemicals[i].Rule.At(h.At) <= 0 {
			continue
		}
		if alone := h.Runs.Outside(k.Staffed); alone > moment {
			l.listNotes.Add(f.unattended(alone, h.Runs.Length(), k.Staffed).After("while it is held: "))
		}
	}
}

// unattended is how long of the time that a chemical is dosed in the run nobody is there.
func (l cleanList) unattended(i int) (alone, dosed quantity.Time) {
	k := l.Tank()
	for n := 1; n < len(l.Moments); n++ {
		from, to := l.Moments[n-1], l.Moments[n]
		long := to.Running - from.Running
		if long < moment || from.Doses[i] <= 0 {
			continue
		}
		dosed += long
		parts := math.Ceil(float64(long) / portionEvery)
		for part := 0.5; part < parts; part++ {
			if at := k.Begin + from.At + long*quantity.Time(part/parts); !k.Staffed.Covers(quantity.Wrapped(at, 24)) {
				alone += long / quantity.Time(parts)
			}
		}
	}
	return alone, dosed
}

// alone says which stops of the pumps fall into hours when nobody is there; what is fed by hand nobody feeds then.
func (l cleanList) alone(stops []quantity.Time) {
	k := l.Tank()
	hand := 0
	for i := range k.Chemicals {
		if l.byHand(i) {
			hand++
		}
	}
	if hand == len(k.Chemicals) { // nothing goes on by itself
		return
	}
	var when []string
	for _, t := range stops {
		if at := k.Begin + t; k.Staffed.Last(at) < at-hair {
			when = append(when, flow.Clock(at))
		}
	}
	if when != nil {
		l.listNotes.Add(note.New(note.Caution, "stop-unstaffed",
			"the pumps are to be stopped at %s, when nobody is there: until somebody stops them they dose into standing or clear water",
			strings.Join(when, " and ")).Do("have a timer stop the pumps first, then the unit; send somebody, or begin at another hour"))
	}
}

// begin is when the unit first runs.
func (l cleanList) begin() quantity.Time {
	for i, m := range l.Moments {
		if m.Running > 0 {
			return l.Moments[i-1].At
		}
	}
	return 0
}

// feeds adds the settings: at the start, and wherever the run sets another dose. It
// gives what each pump then draws.
func (l cleanList) feeds(begin quantity.Time) []draw {
	k := l.Tank()
	set, first := make([]quantity.Concentration, len(k.Chemicals)), make([]bool, len(k.Chemicals))
	draws := make([]draw, len(k.Chemicals))
	moments := dosed(l.Result)
	rates := make([]quantity.FeedRate, len(k.Chemicals))
	for n, at := range l.Moments {
		for i := range draws {
			if n > 0 {
				draws[i].add(at.At, quantity.Volume(float64(rates[i])*60/1000)*quantity.Volume(at.Running-l.Moments[n-1].Running))
			}
			if n >= len(moments) {
				continue
			}
			if d := at.Doses[i]; at.At > begin-hair && (!first[i] || d != set[i]) {
				first[i], set[i] = true, d
				f := l.feed(i, d)
				s := l.at(at.At)
				s.Feeds = append(s.Feeds, f)
				rates[i] = f.gives()
			}
		}
	}
	return draws
}

// gives is what the pump feeds as it is set.
func (f StageFeed) gives() quantity.FeedRate {
	if f.Setting != nil && f.Setting.Reach == pump.Within {
		return f.Setting.Gives
	}
	return f.Rate
}

// dosed are the moments of a run from which on something is dosed.
func dosed(r clarify.Result) []clarify.Moment {
	if r.Outcome == clarify.Cleared {
		return r.Moments[:len(r.Moments)-1] // then dosing stops
	}
	return r.Moments
}

// asSet runs the tank with what is really fed: the stroke of each pump with two knobs stays
// where it is, where one place will do, and a dose that follows the reading comes to what
// the pump gives where it is set.
func (in *CleaningInput) asSet() (clarify.Result, error) {
	r, err := in.Tank.Run()
	if err != nil {
		return r, err
	}
	in.Pumps, in.Tank.Chemicals = slices.Clone(in.Pumps), slices.Clone(in.Tank.Chemicals)
	again := false
	for i, p := range in.Pumps {
		x := &in.Tank.Chemicals[i]
		if p == nil || x.Stock <= 0 {
			continue
		}
		var rates []quantity.FeedRate
		for _, at := range dosed(r) {
			rates = append(rates, RateFor(at.Doses[i], in.Tank.Flow, x.Stock))
		}
		own := *p
		own.NoLess = own.NoLess || x.Rule.Follows()
		left := own.Leave(rates...)
		in.Pumps[i] = &left
		if x.Rule.Follows() {
			again = true
			x.Gives = func(d quantity.Concentration) quantity.Concentration {
				f := in.feed(i, d)
				if f.Rate <= 0 {
					return d
				}
				return d * quantity.Concentration(f.gives()/f.Rate)
			}
		}
	}
	if !again {
		return r, nil
	}
	return in.Tank.Run()
}

// feed is what a dose of a chemical takes.
func (in CleaningInput) feed(i int, d quantity.Concentration) StageFeed {
	k := in.Tank
	x := k.Chemicals[i]
	f := StageFeed{Chemical: x.Name, Dose: quantity.Dose{Concentration: d, Basis: x.Basis}}
	if x.Neat {
		f.Neat = Stock{Undiluted: i < len(in.Feeds) && in.Feeds[i].Stock.Undiluted}.AsBought()
	}
	if x.Strength.OK {
		f.Product = Use(d*quantity.Concentration(x.Product()), k.Flow, 24)
	}
	if x.Stock > 0 {
		f.Rate = RateFor(d, k.Flow, x.Stock)
		if p := in.Pumps[i]; p != nil && d > 0 {
			choice := p.For(f.Rate)
			f.Setting, f.Pump = &choice, p
		}
	}
	return f
}

// pauses stops the circulation and the pumps where the unit stands still, and starts
// them again with the doses of then. It gives when they stop.
func (l cleanList) pauses(begin quantity.Time) (stops []quantity.Time) {
	k := l.Tank()
	for i := 1; i < len(l.Moments); i++ {
		still := func(i int) bool { return i < len(l.Moments) && l.still(i) }
		from, first := l.Moments[i-1].At, i
		for still(i) {
			i++
		}
		if i == first || from < begin {
			continue
		}
		if i >= len(l.Moments) { // it is clear before it would start again
			l.before(from, "stop dosing first, then the circulation")
			return append(stops, from)
		}
		to := l.Moments[i-1]
		stops = append(stops, from)
		l.before(from, "stop dosing first, then the circulation, until %s", k.Clock(to.At))
		l.before(to.At, "start the circulation again")
		s := l.at(to.At)
		for c := range k.Chemicals {
			if !slices.ContainsFunc(s.Feeds, func(f StageFeed) bool { return f.Chemical == k.Chemicals[c].Name }) {
				s.Feeds = append(s.Feeds, l.feed(c, to.Doses[c]))
			}
		}
	}
	return stops
}

// draw is how much stock a pump has drawn by times since the start.
type draw struct {
	at     []quantity.Time
	volume []quantity.Volume
}

func (d *draw) add(t quantity.Time, v quantity.Volume) {
	if len(d.at) == 0 {
		d.at, d.volume = []quantity.Time{0}, []quantity.Volume{0}
	}
	d.at, d.volume = append(d.at, t), append(d.volume, d.volume[len(d.volume)-1]+v*(1+Spare))
}

// total is all that is drawn, with what is to spare.
func (d draw) total() quantity.Volume {
	if len(d.volume) == 0 {
		return 0
	}
	return d.volume[len(d.volume)-1]
}

// and is what two pumps draw from one tank in the same run.
func (d draw) and(o draw) draw {
	out := draw{d.at, slices.Clone(d.volume)}
	for i, v := range o.volume {
		out.volume[i] += v
	}
	return out
}

// end is the last time of the run.
func (d draw) end() quantity.Time { return d.at[len(d.at)-1] }

// by is what has been drawn by a time.
func (d draw) by(t quantity.Time) quantity.Volume {
	for i := 1; i < len(d.at); i++ {
		if t < d.at[i] {
			a, b := d.at[i-1], d.at[i]
			return d.volume[i-1] + (d.volume[i]-d.volume[i-1])*quantity.Volume(max(t-a, 0)/(b-a))
		}
	}
	return d.total()
}

// when is the time by which a volume has been drawn, and when drawing then goes on.
func (d draw) when(v quantity.Volume) (done, on quantity.Time) {
	done = quantity.Time(math.Inf(1))
	for i := 1; i < len(d.at); i++ {
		if step := d.volume[i] - d.volume[i-1]; d.volume[i] >= v-d.total()*hair && step > 0 {
			t := d.at[i-1] + (d.at[i]-d.at[i-1])*quantity.Time(max(v-d.volume[i-1], 0)/step)
			done = min(done, t)
			if d.volume[i] > v+d.total()*hair {
				return done, t
			}
		}
	}
	return min(done, d.end()), d.end()
}

// makeUps adds the stock to make up and when: each batch as large as its tank with what stands in it,
// its life and what is still to be dosed allow, ready before what was there has run out; where it cannot be,
// as soon as it can, and that is said.
func (l cleanList) makeUps(i int, d draw) {
	if i >= len(l.Feeds) || l.Feeds[i].Stock.Neat() || d.total() <= 0 {
		return
	}
	mu := l.stockedAs(i, d)
	free := quantity.Time(math.Inf(-1)) // the make-up tank
	drawn := mu.stands()
	added := drawn // all that stood or came in
	if drawn > 0 {
		l.listNotes.Add(note.New(note.Info, "stock-stands", "%s: of the %s that %s holds when the clean-up starts as much as %s is fed, and so much less is made up",
			mu.name, mu.Tank.Now.V, mu.Tank.Name, quantity.To(drawn, 3)).At(mu.Tank.At).Do("let it out if it has gone off, and empty its cell"))
	}
	for drawn < d.total()*(1-1e-6) {
		dry, from := d.when(drawn)
		b := mu.ready(from)
		b.Left = added - d.by(b.Moved)/(1+Spare)
		b.Volume = min(mu.most(), d.total()-drawn, mu.tank-b.Left, d.by(b.Expires)-drawn)
		young := mu.mix == 0 && mu.Ageing > 0 && d.by(b.Aged)-d.by(b.Start) > d.total()*1e-6
		if end, on, ok := mu.lasts(drawn, dry); young && ok {
			l.thin(mu, end, added-d.by(end)/(1+Spare))
			drawn, from = d.by(end), on
			if drawn >= d.total()*(1-1e-6) {
				break
			}
			b = mu.ready(from)
			b.Left = added - d.by(b.Moved)/(1+Spare)
			b.Volume = min(mu.most(), d.total()-drawn, mu.tank-b.Left, d.by(b.Expires)-drawn)
			young = b.Start < end-moment
		}
		if b.Volume < mu.most()/100 && b.Volume < d.total()-drawn || young || b.Start < free-moment {
			b = mu.late(from, dry, free)
			if b.From > from+moment {
				if young && drawn > 0 && from <= dry+moment && l.rests == nil {
					l.rests = &rest{mu.name, mu.Tank.Name, mu.Tank.At, flow.Span{From: dry, To: b.From}}
				}
				if drawn == 0 {
					l.late = max(l.late, b.From-from)
				} else if from > dry+moment && b.From-from > l.againLate { // it stood still between
					l.again, l.againLate = from, b.From-from
				}
				l.gap(mu, dry, b.From, drawn)
				drawn = d.by(b.From)
				added = drawn
			}
			b.Left = max(0, added-d.by(b.Moved)/(1+Spare))
			b.Volume = min(mu.most(), d.total()-drawn, mu.tank-b.Left, d.by(b.Expires)-drawn)
			if b.Volume < mu.most()/100 && b.Volume < d.total()-drawn || b.Volume <= 0 {
				l.gap(mu, dry, b.From, drawn)
				return
			}
		}
		var err error
		if b.Recipe, err = mu.Stock.Recipe(b.Volume); err != nil {
			return // told where the day is planned
		}
		b.Full = b.Left + b.Volume
		_, b.Till = d.when(drawn + b.Volume)
		l.MakeUps[i] = append(l.MakeUps[i], b)
		l.batch(mu.FeedInput, mu.Feed, b, mu.name)
		drawn, added, free = drawn+b.Volume, added+b.Volume, b.Moved
	}
}

// rest is a time in which the unit has to stand still, since the tank that its pump draws from is empty and its stock ages in it.
type rest struct {
	stock, tank string
	at          note.Place
	flow.Span
}

// lasts reports that stock which runs out by what is to spare at a time lasts, as planned, until the unit stops next or the run
// ends; it gives when that is, and when it goes on.
func (mu stocked) lasts(drawn quantity.Volume, dry quantity.Time) (end, on quantity.Time, ok bool) {
	d := mu.draw
	i := slices.IndexFunc(d.at, func(t quantity.Time) bool { return t > dry+moment })
	if i < 1 {
		return 0, 0, false
	}
	still := func(i int) bool { return d.volume[i] == d.volume[i-1] }
	for i < len(d.at) && !still(i) {
		i++
	}
	end = d.at[i-1]
	for i < len(d.at) && still(i) {
		i++
	}
	// a minute of drawing is no more than how well a pump is set
	return end, d.at[i-1], drawn > 0 && d.by(end-1.0/60) <= drawn*(1+Spare)
}

// thin says that a stock lasts until the unit stops only as planned.
func (l cleanList) thin(mu stocked, end quantity.Time, left quantity.Volume) {
	if slices.ContainsFunc(l.listNotes, func(n note.Note) bool { return n.Code == "stock-thin" && n.Place == mu.Tank.At }) {
		return // said of the first
	}
	said := note.Say("%s lasts until the unit stops at %s", mu.name, l.Tank().Clock(end))
	said = said.If(left > mu.tank/1000, " with %s to spare", quantity.To(left, 2)).If(left <= mu.tank/1000, " with nothing to spare")
	l.listNotes.Add(note.New(note.Caution, "stock-thin", "%s: it ages in %s, so that no more is made before", said, mu.Tank.Name).
		At(mu.Tank.At).Do("look at it an hour before; should it run out, stop dosing, then the circulation"))
}

// stocked is what the stock of a chemical is made up with in a clean-up.
type stocked struct {
	Feed
	making
	name  string
	begin quantity.Time // the clock of the start
	draw  draw
}

func (l cleanList) stockedAs(i int, d draw) stocked {
	in := l.Feeds[i]
	mu := stocked{Feed: Feed{FeedInput: in}, name: l.stockCalled(i), begin: l.Tank().Begin, draw: d}
	mu.keeping()
	if in.Tank == nil { // of any size
		mu.Tank = &Vessel{Volume: d.total(), Usable: 1, At: in.StockAt}
	}
	mu.making = making{tank: mu.Tank.Holds(), work: in.Work, shift: shift{in.From, in.Till}}
	if in.Mix != nil {
		mu.mix = in.Mix.Holds()
	}
	return mu
}

// stands is what can be drawn of what is in the tank when the clean-up starts, taken as fresh.
func (mu stocked) stands() quantity.Volume {
	return min(mu.Tank.Now.V, mu.tank, mu.draw.by(mu.Feed.Life), mu.draw.total())
}

// ready places a batch as late as it can be so that it is there by a time, in a shift.
func (mu stocked) ready(from quantity.Time) Batch {
	latest := func(t, work quantity.Time) quantity.Time { return mu.shift.latestAfter(mu.begin, t, work) }
	moved := from
	if mu.mix > 0 {
		moved = latest(from-Reserve, 0)
	}
	b := Batch{From: from, Start: latest(moved-mu.Ageing-mu.Work, mu.Work)}
	b.Made = b.Start + mu.Work
	b.Aged, b.Moved, b.Expires = b.Made+mu.Ageing, b.Made, b.Made+mu.Feed.Life
	if mu.mix > 0 {
		b.Moved = moved
	}
	return b
}

// late places a batch that cannot be there in time as early as it can be: within a shift, when the make-up tank is
// free, and where it ages in the tank that the pump draws from, when that has run dry.
func (mu stocked) late(from, dry, free quantity.Time) Batch {
	at := max(from-mu.Ageing-mu.Work, free)
	if mu.mix == 0 {
		at = max(at, min(dry, from)-mu.Work-mu.Ageing)
		if mu.Ageing > 0 && mu.draw.by(dry) > 0 {
			at = max(at, dry)
		}
	}
	b := Batch{Start: mu.earliest(mu.begin+at, mu.Work) - mu.begin}
	b.Made = b.Start + mu.Work
	b.Aged, b.Moved, b.Expires = b.Made+mu.Ageing, b.Made, b.Made+mu.Feed.Life
	if mu.mix > 0 {
		b.Moved = mu.earliest(mu.begin+b.Aged, 0) - mu.begin
	}
	b.From = max(b.Aged, b.Moved, from)
	return b
}

// gap says that a stock is not there from one time to another.
func (l cleanList) gap(mu stocked, dry, until quantity.Time, drawn quantity.Volume) {
	if slices.ContainsFunc(l.listNotes, func(n note.Note) bool { return n.Code == "stock-gap" && n.Place == mu.Tank.At }) {
		return // said of the first
	}
	clock := l.Tank().Clock
	gap := note.Say("%s runs out at %s, before more can be made, aged and let over: there is none until %s", mu.name, clock(dry), clock(until))
	if drawn == 0 { // none was ever there
		gap = note.Say("%s is wanted from %s on, before the first of it can be made, aged and let over: it is ready at %s", mu.name, clock(dry), clock(until))
	}
	l.listNotes.Add(note.New(note.Caution, "stock-gap", gap.Format, gap.Args...).
		At(mu.Tank.At).Do("use a larger tank or a make-up tank of its own, a stock that keeps longer, or stop the unit until it is ready"))
}

// heldDay is the plan of a day on which the tank is held, as "plan" makes it of the hours and doses that hold it.
func (l cleanList) heldDay() (Plan, bool) {
	k, h := l.Tank(), l.Hold
	hours := h.Runs
	if h.PerDay.V >= 24*(1-hair) {
		hours = nil
	}
	day, err := flow.Constant(k.Flow, hours)
	if err != nil || len(l.Feeds) != len(k.Chemicals) {
		return Plan{}, false
	}
	in := Input{Day: day, Start: h.Begins, Staffed: k.Staffed, Feeds: slices.Clone(l.Feeds)}
	for i, x := range k.Chemicals {
		f := &in.Feeds[i]
		f.Dose = quantity.Dose{Concentration: x.Fed(x.Rule.At(h.At)), Basis: x.Basis}
		f.Low, f.High, f.Quantile = 0, 0, nil
		if stock := h.Uses[i].Stock; f.Tank == nil && stock > 0 { // of any size
			f.Tank = &Vessel{Volume: stock * (1 + Spare), Usable: 1, At: f.StockAt}
		}
	}
	p, err := Make(in)
	return p, err == nil
}

// held has the stock for each day of holding made up, at the hours that the plan of such a day has: told at t, or before it where the
// first of it has to be there by then. What was made up for the run does not count.
func (l cleanList) held(t quantity.Time) {
	p, planned := l.heldDay()
	for i, u := range l.Hold.Uses {
		if !planned || u.Stock <= 0 || l.Feeds[i].Stock.Neat() {
			continue
		}
		f := p.Feeds[i]
		if len(f.Batches) == 0 {
			for _, n := range f.Notes.Only(note.Error) {
				n.Level = note.Caution
				l.listNotes.Add(n.After("while it is held: "))
			}
			continue
		}
		at := t
		if l.Outcome == clarify.Held {
			if at = quantity.Wrapped(f.Batches[0].Start, 24) - l.Tank().Begin; at > t+hair {
				at -= 24
			}
		}
		l.then(at, "%s", f.daily())
	}
}

// daily says which batches of its stock are made up while a tank is held, and when: those alike together.
func (f Feed) daily() note.Phrase {
	n := func(q quantity.Quantity) quantity.Rounded { return quantity.To(q, 3) }
	said := note.Say("while it is held make up")
	for i := 0; i < len(f.Batches); {
		b, times := f.Batches[i], []string{}
		for ; i < len(f.Batches) && math.Abs(float64(f.Batches[i].Volume/b.Volume-1)) < 5e-3; i++ {
			times = append(times, flow.Clock(quantity.Wrapped(f.Batches[i].Start, 24)))
		}
		said = said.If(i > len(times), ", and").And(" %s of %s (%s of product) at %s", n(b.Volume), f.StockCalled(), n(b.Recipe.Product), strings.Join(times, ", "))
	}
	return said.If(f.Every > 1, ", every %d days", f.Every).If(f.Every <= 1, " every day").And(", each used within %s", n(f.Keeps()))
}

// batch writes one batch into the list.
func (l cleanList) batch(in FeedInput, f Feed, b Batch, name string) {
	k := l.Tank()
	n := func(q quantity.Quantity) quantity.Rounded { return quantity.To(q, 3) }
	what := note.Say("make up %s of %s (%s of product)", n(b.Volume), name, n(b.Recipe.Product))
	clock := k.Clock
	if k.Begin+b.Start < -hair || flow.Midnight(k.Begin+b.Expires) { // its line names the day, or "00:00 the day after" could be either night
		clock = func(t quantity.Time) string { return flow.ClockAfter(k.Begin+t, k.Begin+b.Start) }
	}
	if f.Ageing > 0 {
		what = note.Say("%s, aged at %s", what, clock(b.Aged))
	}
	l.then(b.Start, "%s, use by %s", what, clock(b.Expires))
	if b.Moved > b.Made+moment {
		l.before(b.Moved, "let the aged %s over into %s", name, cmp.Or(in.Tank.Name, "its tank"))
	}
}
