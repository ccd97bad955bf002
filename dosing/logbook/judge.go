package logbook

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/dosing/month"
	"jarwright/dosing/pump"
	"jarwright/dosing/upkeep"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Plan is what the site tells of the chemical whose stock the log follows; all of it may be missing.
type Plan struct {
	Chemical string
	// Dose and Strength, that of the stock, count product.
	Dose     quantity.Known[quantity.Dose]
	Strength quantity.Known[quantity.Concentration]
	// Density is that of the stock, for what is weighed of it.
	Density quantity.Known[quantity.Density]
	// Product is the density of the product as delivered.
	Product quantity.Known[quantity.Density]
	Pump    *pump.Pump
	// Law is the dose by raw water, where the site takes it from past tests; Dose is then that of one water.
	Law *Law
	// Keeps is how long stock is good.
	Keeps quantity.Known[quantity.Time]
	// Tank is what the stock tank holds.
	Tank quantity.Known[quantity.Volume]
	// Tests are those of the site's own bench sheets.
	Tests []Bench
	// asDelivered is true where the log counts product, unsaid where its column of use tells no dose.
	asDelivered, unsaid bool
}

// Law is a dose that follows the raw water.
type Law struct {
	// Low and High are the turbidities of its tests.
	Low, High quantity.Cloudiness
	// Dose is what water of a turbidity is planned to get, as product; false outside the tests.
	Dose func(quantity.Cloudiness) (quantity.Concentration, bool)
}

// Bench is a jar test that the removal of the plant is held against: at its lowest effective dose a raw water read Left.
type Bench struct {
	Day       string
	Raw, Left quantity.Cloudiness
}

// Removal is the share that the jars took out.
func (b Bench) Removal() quantity.Fraction { return quantity.Fraction(1 - b.Left/b.Raw) }

// Day is an entry with what it tells.
type Day struct {
	Entry
	// Hours are those since the entry before.
	Hours quantity.Known[quantity.Time]
	// Stock went and Gone is the water treated since then; both are known only where they are of the same hours.
	Stock, Gone quantity.Known[quantity.Volume]
	// Fed is the dose that was really fed, as product. PerWater is stock by water, where its strength is not known too.
	Fed      quantity.Known[quantity.Concentration]
	PerWater quantity.Known[quantity.Fraction]
	// Planned is the dose that its water was to get, as product.
	Planned quantity.Known[quantity.Concentration]
	Removal quantity.Known[quantity.Fraction]
	// Line is what the pump's calibration says of its setting.
	Line quantity.Known[quantity.FeedRate]
	// Idle is true where water went and next to nothing was fed: the pump stood. No chart takes such a day.
	Idle bool
}

// Judged is a log with its days worked out, its charts, and what they found.
type Judged struct {
	Log
	Plan Plan
	Days []Day
	// Charts are those of the dose, the pump and the removal that the log has readings for.
	Charts []Chart
	Drift  []Drift
	// Bench is the past test whose raw water is nearest to that of the latest entries.
	Bench quantity.Known[Bench]
	// Water is a raw water that changed and is so still at the last of the log.
	Water quantity.Known[Turn]
	// stepped is the day within the first weeks on which what is fed stepped.
	stepped quantity.Known[int]
	// absurd is true where stock and water together would be a dose that no plant feeds.
	absurd bool
}

// Latest is how many entries tell how things stand now: a week of daily ones.
const Latest = 7

// Judge works a log out.
func Judge(l Log, p Plan, tests []Bench) Judged {
	j := Judged{Log: l, Plan: p}
	j.Notes = slices.Clone(l.Notes)
	l = l.totals(&j.Notes)
	l = l.left(p, &j.Notes)
	p = l.plan(p, &j.Notes)
	j.Log.Of = l.Of
	j.Plan = p
	usual := l.usual()
	for i, e := range l.Entries {
		d := Day{Entry: e}
		if i > 0 {
			d.since(l.Entries[i-1], usual, p, &j.Notes)
		} else {
			d.alone(p)
		}
		d.dose(p)
		if e.Raw.OK && e.Treated.OK && e.Raw.V > 0 {
			d.Removal = quantity.Some(quantity.Fraction(1 - e.Treated.V/e.Raw.V))
		}
		if p.Pump != nil && e.Setting.OK && !l.Marks {
			at := pump.Position{Setting: e.Setting.V, Stroke: p.Pump.Stays}
			if e.Stroke.OK && p.Pump.Stays > 0 {
				at.Stroke = e.Stroke.V
			}
			d.Line = quantity.Some(p.Pump.Calibration.Rate(at))
		}
		j.Days = append(j.Days, d)
	}
	j.oneOf("level-rose", "the tank was filled in %s rows and nobody wrote what was added, so they tell no use, the first on %s")
	l.gaps(usual, &j.Notes)
	j.unfed()
	j.farOff()
	j.planned()
	j.noDose()
	j.strayed()
	j.idle()
	j.Bench = j.nearest(tests)
	if t, ok := j.turn(); ok {
		j.Water = quantity.Some(t)
	}
	j.cloudier()
	j.charts()
	j.find()
	return j
}

// usual is the middle of the times between entries.
func (l Log) usual() quantity.Time {
	var gaps []quantity.Time
	for i := 1; i < len(l.Entries); i++ {
		gaps = append(gaps, l.Entries[i].Time-l.Entries[i-1].Time)
	}
	if len(gaps) == 0 {
		return 24
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}

// spent is stock used by a row of its own.
func (d Day) spent(p Plan) (v quantity.Known[quantity.Volume]) {
	switch {
	case p.unsaid:
	case d.Used.OK:
		return d.Used
	case d.Weighed.OK && p.Density.OK:
		return quantity.Some(quantity.Volume(float64(d.Weighed.V) / float64(p.Density.V)))
	case d.Start.OK && d.Level.OK && !p.asDelivered:
		used, least := d.Start.V-d.Level.V, -quantity.Volume(refill)*d.Start.V
		if used < least && d.Added.OK { // poured in meanwhile
			used += d.Added.V
		}
		if used >= least {
			return quantity.Some(max(0, used))
		}
	}
	return v
}

// alone works out the first row, which has none before it.
func (d *Day) alone(p Plan) {
	if d.Water.OK {
		d.Stock, d.Gone = d.spent(p), d.Water
	}
}

// refill is by what share of its level a tank has to rise before it was refilled: less is how well a level is read.
const refill = 0.02

// since works out what went since the row before. Over missing rows only what both counts on: two levels, two meters, a flow.
func (d *Day) since(before Entry, usual quantity.Time, p Plan, notes *note.List) {
	d.Hours = quantity.Some(d.Time - before.Time)
	gap := d.Hours.V > 1.5*usual
	stock, counted := d.spent(p), false
	if !stock.OK && d.Counter.OK && before.Counter.OK && !p.unsaid {
		if counted = true; d.Counter.V >= before.Counter.V {
			stock = quantity.Some(d.Counter.V - before.Counter.V)
		} else {
			notes.Add(note.New(note.Caution, "meter-fell", "the counter of stock fell from %s to %s, so this row tells no use", quantity.To(before.Counter.V, 6).In("L"), quantity.To(d.Counter.V, 6).In("L")).At(d.Counter.At).
				Do("look whether it was changed or misread"))
		}
	}
	d.Fresh = d.Fresh || d.Start.OK && before.Level.OK && d.Start.V > before.Level.V*(1+refill)
	if !stock.OK && !counted && d.Level.OK && (before.Level.OK || d.Start.OK) && !p.asDelivered {
		from := before.Level
		if counted = !d.Start.OK; d.Start.OK {
			from = d.Start
		}
		used := from.V + d.Added.V - d.Level.V
		switch {
		case used < -quantity.Volume(refill)*from.V && !d.Added.OK:
			d.Fresh = true
			notes.Add(note.New(note.Caution, "level-rose", "the tank rose from %s to %s and nobody wrote what was added, so this row tells no use", quantity.To(from.V, 4).In("L"), quantity.To(d.Level.V, 4).In("L")).
				At(d.Level.At).Do("write what is added beside the level, in a column such as Stock added (L)"))
		case used < -quantity.Volume(refill)*from.V:
			notes.Add(note.New(note.Caution, "level-rose", "the tank holds more than was left and was added: %s after %s and %s", quantity.To(d.Level.V, 4).In("L"), quantity.To(from.V, 4).In("L"), quantity.To(d.Added.V, 4).In("L")).
				At(d.Level.At).Do("look whether a level or what was added is wrong"))
		default:
			stock = quantity.Some(max(0, used))
		}
	}
	d.Fresh = d.Fresh || d.Added.OK && d.Added.V > 0
	water, running := d.Water, false
	switch {
	case water.OK:
	case d.Meter.OK && before.Meter.OK && d.Meter.V >= before.Meter.V:
		water, running = quantity.Some(d.Meter.V-before.Meter.V), true
	case d.Meter.OK && before.Meter.OK:
		notes.Add(note.New(note.Caution, "meter-fell", "the water meter fell from %s to %s, so this row tells no water", quantity.To(before.Meter.V, 6), quantity.To(d.Meter.V, 6)).At(d.Meter.At).
			Do("look whether it was changed or misread"))
	case d.Flow.OK:
		q := d.Flow.V
		if before.Flow.OK {
			q = (q + before.Flow.V) / 2
		}
		hours := d.Hours.V
		if d.Ran.OK {
			if hours = d.Ran.V; hours > d.Hours.V*(1+clockSlack) {
				notes.Add(note.New(note.Caution, "ran-too-long", "the unit ran %s in the %s since the row before, so this row tells no water", quantity.To(hours, 4), quantity.To(d.Hours.V, 4)).At(d.Ran.At).
					Do("write how long it ran since the row before, not a running total"))
				break
			}
		}
		water, running = quantity.Some(quantity.Volume(float64(q)*float64(hours)*litres)), true
	}
	if gap && stock.OK && water.OK && counted != running {
		notes.Add(note.New(note.Caution, "rows-missing", "rows are missing before this one (%s hours after the last), and its %s is that of one row alone, so it tells no dose", quantity.To(quantity.Number(d.Hours.V), 3),
			map[bool]string{true: "water", false: "stock"}[counted]).At(d.Place).Do("write a row a day, or note tank level and water meter"))
		return
	}
	if stock.OK && water.OK && water.V > 0 {
		d.Stock, d.Gone = stock, water
	}
}

// clockSlack is by what share hours run may pass the time between two rows: rows are written to the nearest half hour. Judgement, no source.
const clockSlack = 0.02

// litres are those of a cubic metre.
const litres = 1000

// dose is stock by water, and by its strength the dose.
func (d *Day) dose(p Plan) {
	if !d.Stock.OK || !d.Gone.OK || d.Gone.V <= 0 {
		return
	}
	d.PerWater = quantity.Some(quantity.Fraction(d.Stock.V / d.Gone.V))
	if p.Strength.OK {
		d.Fed = quantity.Some(doseFrom(d.PerWater.V, p.Strength.V))
	}
}

// planned gives each day the dose that its water was to get: by past tests that of its raw water, as far as they reach.
func (j *Judged) planned() {
	p := &j.Plan
	if p.Law != nil && !slices.ContainsFunc(j.Days, func(d Day) bool { return d.Raw.OK }) {
		p.Law = nil
	}
	n, first := 0, note.Place{}
	for i := range j.Days {
		d := &j.Days[i]
		switch {
		case p.Law == nil:
			d.Planned = quantity.Known[quantity.Concentration]{V: p.Dose.V.Concentration, OK: p.Dose.OK}
		case d.Raw.OK:
			if dose, ok := p.Law.Dose(d.Raw.V); ok {
				d.Planned = quantity.Some(dose)
			} else if n++; n == 1 {
				first = d.Raw.At
			}
		}
	}
	if n > 0 {
		j.Notes.Add(note.New(note.Caution, "log-outside-tests", "in %s the raw water was outside that of the past tests, %s to %s, so that no dose is planned for %s", rowsOf(n), quantity.To(p.Law.Low, 3), quantity.To(p.Law.High, 3), side(n == 1, "it", "them")).
			At(first).Do("test such water when it comes"))
	}
}

// Late is how things stand by the latest entries.
type Late struct {
	Entries int
	// Fed is all the product of these entries over all their water; of those whose dose was planned, Planned is what was to be fed by
	// their water, and OfPlanned what was, as a share of it.
	Fed       quantity.Known[quantity.Concentration]
	Planned   quantity.Known[quantity.Concentration]
	OfPlanned quantity.Known[quantity.Fraction]
	PerWater  quantity.Known[quantity.Fraction]
	// Removal is that of all their raw turbidity together, so that a day of floc gone over counts by what it left.
	Removal quantity.Known[quantity.Fraction]
}

// Late works out how things stand.
func (j Judged) Late() (l Late) {
	days := j.Days[max(0, len(j.Days)-Latest):]
	l.Entries = len(days)
	var stock, water, ofPlan quantity.Volume
	fed, planned := 0.0, 0.0
	raw, left := quantity.Cloudiness(0), quantity.Cloudiness(0)
	for _, d := range days {
		if d.PerWater.OK {
			stock, water = stock+d.Stock.V, water+d.Gone.V
		}
		if d.Fed.OK && d.Planned.OK {
			ofPlan += d.Gone.V
			fed, planned = fed+float64(d.Fed.V)*float64(d.Gone.V), planned+float64(d.Planned.V)*float64(d.Gone.V)
		}
		if d.Removal.OK {
			raw, left = raw+d.Raw.V, left+d.Treated.V
		}
	}
	if raw > 0 {
		l.Removal = quantity.Some(quantity.Fraction(1 - left/raw))
	}
	if water <= 0 {
		return l
	}
	l.PerWater = quantity.Some(quantity.Fraction(stock / water))
	if !j.Plan.Strength.OK {
		return l
	}
	l.Fed = quantity.Some(doseFrom(l.PerWater.V, j.Plan.Strength.V))
	if planned > 0 {
		l.OfPlanned, l.Planned = quantity.Some(quantity.Fraction(fed/planned)), quantity.Some(quantity.Concentration(planned/float64(ofPlan)))
	}
	return l
}

// doseFrom is what stock of a strength gives to the water that it goes into.
func doseFrom(perWater quantity.Fraction, strength quantity.Concentration) quantity.Concentration {
	return strength * quantity.Concentration(perWater)
}

// nearest is the test whose raw water is most like that of the latest entries.
func (j Judged) nearest(tests []Bench) (k quantity.Known[Bench]) {
	raw, n := 0.0, 0.0
	for _, d := range j.Days[max(0, len(j.Days)-Latest):] {
		if d.Raw.OK && d.Raw.V > 0 {
			raw, n = raw+math.Log(float64(d.Raw.V)), n+1
		}
	}
	far := math.Inf(1)
	for _, b := range tests {
		if by := math.Abs(math.Log(float64(b.Raw)) - raw/n); n > 0 && b.Left > 0 && b.Left < b.Raw && by < far {
			far, k = by, quantity.Some(b)
		}
	}
	return k
}

// Kind is what a chart watches.
type Kind string

// What is watched.
const (
	OfDose    Kind = "dose fed"
	OfPump    Kind = "pump"
	OfRemoval Kind = "treated water"
)

// Chart is readings of one kind, each the logarithm of a ratio whose middle is nought while nothing drifts.
type Chart struct {
	What Kind
	// Own is true where the middle is that of the log's own first readings, of which there are First.
	Own   bool
	First int
	// Early is true where these are fewer than there might be, as the log's first weeks are not steady.
	Early bool
	// Days are the indexes of the days of the readings, Ratio their logarithms.
	Days  []int
	Ratio []float64
	// SD is the scatter of a reading. From is the first reading that the chart follows.
	SD   float64
	From int
	upkeep.Course
	// Sums tell the day on which a move began.
	Sums upkeep.Sums
	upkeep.Move
	Off bool
}

// Ready reports that there are readings enough for the chart to tell.
func (c Chart) Ready() bool { return c.SD > 0 }

// Needed is how many readings the chart takes before it tells anything.
func (c Chart) Needed() int {
	if c.few() {
		return c.First + fewestAfter
	}
	return c.First + fewest
}

// few reports a chart whose own middle is that of few readings, as of drawdowns once a week: its limits are wider.
func (c Chart) few() bool { return c.Own && c.First < first }

// limits are those of the chart: where few readings tell the scatter, as much wider as Student's t of them is than the normal. Neighbours
// of n readings tell it about as well as 0.6 (n − 1) of degrees of freedom, from memory and held by simulation.
func (c Chart) limits() upkeep.EWMA {
	e := upkeep.Seldom
	if c.few() {
		df := 0.6 * float64(len(c.Ratio)-1)
		e.Limit = distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(distuv.UnitNormal.CDF(e.Limit))
	}
	return e
}

const (
	// fewest readings tell a scatter; common practice, no source.
	fewest = 8
	// first readings of a log are the middle of what has no other (twenty are usual for the middle of a chart).
	first = 20
	// firstWeeks are those of which the readings are the middle: fewestFirst of them at least, or the first there are.
	firstWeeks  quantity.Time = 28 * 24
	fewestFirst               = 6
	// fewestAfter is how many readings after so few of them are judged.
	fewestAfter = 4
	// leastSD is how well a log tells a day at best: a level, a timed drawdown and a turbidity are read to 2 %. Common practice, no source.
	leastSD = 0.02
	// fewestMoved is how many readings as planned a chart has to begin with: with fewer it never was.
	fewestMoved = 3
	// madeWithin is how many entries before a move new stock may be its cause.
	madeWithin = 2
	// most is what a ratio counts at most; a pump that stood still has no logarithm.
	most = 10
)

// logRatio is ln(a/b), held between ln(1/most) and ln(most).
func logRatio(a, b float64) float64 { return held(math.Log(a / b)) }

// held is a logarithm of a ratio held between ln(1/most) and ln(most).
func held(ln float64) float64 { return min(max(ln, -math.Log(most)), math.Log(most)) }

// charts draws those that the log has readings for.
func (j *Judged) charts() {
	planned := slices.ContainsFunc(j.Days, func(d Day) bool { return d.Planned.OK && d.Fed.OK })
	fed := func(d Day) (float64, bool) { return math.Log(max(float64(d.PerWater.V), 1e-9)), d.PerWater.OK }
	lined := slices.ContainsFunc(j.Days, func(d Day) bool { return d.Line.OK })
	for _, x := range []struct {
		what Kind
		own  bool
		of   func(Day) (float64, bool)
	}{
		{OfDose, !planned, func(d Day) (float64, bool) {
			if !d.PerWater.OK || planned && !d.Planned.OK {
				return 0, false
			}
			if planned {
				return logRatio(float64(d.Fed.V), float64(d.Planned.V)), true
			}
			return fed(d)
		}},
		{OfPump, !lined, func(d Day) (float64, bool) {
			v, ok := perSetting(d)
			if lined {
				v = held(v)
			}
			return v, ok
		}},
		{OfRemoval, true, func(d Day) (float64, bool) {
			return math.Log(max(float64(d.Treated.V), 0.01)), d.Removal.OK
		}},
	} {
		c := Chart{What: x.what, Own: x.own}
		for i, d := range j.Days {
			if v, ok := x.of(d); ok && (!d.Idle || x.what == OfPump) {
				c.Days, c.Ratio = append(c.Days, i), append(c.Ratio, v)
			}
		}
		if len(c.Days) == 0 {
			continue
		}
		doubt := 0.0
		if c.Own {
			doubt = j.ownMiddle(&c)
		}
		c.run(doubt)
		j.Charts = append(j.Charts, c)
		if c.Off && !c.Own && c.Since < fewestMoved { // it never was as planned, which hides what came later
			own := Chart{What: c.What, Own: true, Days: c.Days, Ratio: slices.Clone(c.Ratio)}
			if c.What == OfDose { // what is fed, whatever was planned meanwhile
				for k, i := range c.Days {
					own.Ratio[k], _ = fed(j.Days[i])
				}
			}
			own.run(j.ownMiddle(&own))
			j.Charts = append(j.Charts, own)
		}
	}
}

// first is how many readings are the middle of a chart of a log's own: those of its first weeks, as far as they are many enough. What is left in the
// treated water is held against the raw water besides, which takes more.
func (j Judged) first(c Chart) (n int) {
	if c.What == OfRemoval {
		return first
	}
	for _, i := range c.Days {
		if j.Days[i].Time-j.Days[c.Days[0]].Time < firstWeeks {
			n++
		}
	}
	return min(max(n, fewestFirst), first)
}

// center takes the middle of the first readings off all, and gives its doubt in the variance of a reading. What is left in the
// treated water goes with the raw water by a power of its own, from none, where it is always the same, to one, where the removal is.
func (j Judged) center(c *Chart) (doubt float64) {
	n := min(c.First, len(c.Ratio))
	mean := func(x []float64) (m float64) {
		for _, v := range x[:n] {
			m += v / float64(n)
		}
		return m
	}
	doubt = 1 / float64(n)
	if c.What == OfRemoval {
		var raw []float64
		for _, i := range c.Days {
			raw = append(raw, math.Log(float64(j.Days[i].Raw.V)))
		}
		x0, y0, xx, xy := mean(raw), mean(c.Ratio), 0.0, 0.0
		for i := range n {
			xx += (raw[i] - x0) * (raw[i] - x0)
			xy += (raw[i] - x0) * (c.Ratio[i] - y0)
		}
		slope := 0.0
		if xx > 0 {
			slope = min(max(xy/xx, 0), 1)
		}
		for i := range c.Ratio {
			c.Ratio[i] -= slope * raw[i]
		}
		doubt *= 2 // a slope is told by them too
	}
	m := mean(c.Ratio)
	for i := range c.Ratio {
		c.Ratio[i] = held(c.Ratio[i] - m)
	}
	return doubt
}

// run follows the readings after those of the middle.
func (c *Chart) run(doubt float64) {
	if c.From = min(c.First, len(c.Ratio)); len(c.Ratio) < c.Needed() {
		return
	}
	c.SD = max(upkeep.MovingRange(c.Ratio), leastSD)
	var x []float64
	for _, v := range c.Ratio[c.From:] {
		x = append(x, v/c.SD)
	}
	c.Course, c.Sums = c.limits().Course(x, doubt), upkeep.Dating.Course(x)
	if c.Move, c.Off = c.Course.Off(x); c.Off {
		c.Move.At += c.From
		c.Move.Since += c.From
	}
}

// AsShare is so many scatters of the chart as a share of its middle.
func (c Chart) AsShare(sds float64) quantity.Fraction {
	return quantity.Fraction(math.Exp(sds*c.SD) - 1)
}

// Size is by what share the readings since the move differ from their middle.
func (c Chart) Size() quantity.Fraction { return c.AsShare(c.Mean) }

// sizeSaid is the size of the move as it is said; what a chart holds is told as at least that.
func (c Chart) sizeSaid() note.Phrase {
	by := quantity.To(quantity.Number(math.Abs(c.Size().In("%"))), 2)
	if math.Abs(c.Mean*c.SD) > 0.98*math.Log(most) {
		return note.Say("at least %s %%", by)
	}
	return note.Say("about %s %%", by)
}

// Advice is what is to be done.
type Advice string

// What is advised.
const (
	CheckPump Advice = "check the pump"
	TestAgain Advice = "test again"
	MakeFresh Advice = "make fresh stock"
	SetPump   Advice = "set the pump anew"
	// LookAtUnit is for a plant that misses what its bench shows with the dose as planned.
	LookAtUnit Advice = "look at mixing, settling and the unit"
)

// Drift is what has moved off, since which day, seen on which, by how much, and what to do.
type Drift struct {
	What        string
	Since, Seen month.Date
	Size        quantity.Fraction
	Readings    int
	Advice      Advice
	// Reason is a sentence that goes on from "since that day".
	Reason note.Phrase
	Place  note.Place
}

// find turns charts that are off into advice. What feeds the dose comes first: water that is worse while the dose is
// off tells nothing of itself.
func (j *Judged) find() {
	var low *Drift
	j.stands()
	for _, c := range j.Charts {
		var also *Drift
		if !c.Off {
			continue
		}
		at := j.Days[c.Days[c.Since]]
		d := Drift{What: string(c.What), Since: at.Day(), Seen: j.Days[c.Days[c.At]].Day(), Size: c.Size(), Readings: len(c.Days) - c.Since, Advice: CheckPump, Place: at.Place}
		by := c.sizeSaid()
		than := side(c.Own, j.firstOf(c), side(j.Plan.Law != nil, "past tests ask of its raw water", "planned"))
		switch c.What {
		case OfDose:
			d.Reason = note.Say("the dose fed is %s %s than %s", by, side(c.Mean < 0, "less", "more"), than)
			a, asks := j.asksAnew(c)
			if by, changed := j.changed(c); changed {
				on := j.Days[c.Days[by.at]]
				d.Since, d.Place, d.Advice = on.Day(), on.Place, SetPump
				if why, asked := j.setFor(c, by); asked && (c.Own || j.Plan.Law == nil) {
					d.Advice, by.why = TestAgain, why
				}
				d.Reason = note.Say("%s, %s", d.Reason, by.why)
			} else if asks && a.since == c.Since {
				d.Advice, d.Reason = SetPump, a.says()
			} else if j.followed(c) && (c.Own || j.Plan.Law == nil) {
				if j.Water.V.Worse {
					continue // told with the water below
				}
				d.Advice, d.Reason = TestAgain, note.Say("%s, and %s since: if nobody set the dose for that, check the pump", d.Reason, j.Water.V.says())
			} else if k := slices.IndexFunc(j.Charts, func(k Chart) bool { return k.What == OfPump && k.Ready() && !k.Off }); k >= 0 {
				d.Reason = note.Say("%s, though %s", d.Reason, side(j.Charts[k].Own, "its drawdown is as it was", "at its setting the pump gives what its calibration says"))
				if c.Since < fewestMoved && j.Plan.Law != nil && !j.Charts[k].Own {
					d.Advice = SetPump
				} else {
					d.Reason = note.Say("%s: look at the setting, the level's marks, the stock's strength and the flow", d.Reason)
				}
			}
			if asks && a.since != c.Since {
				at := j.Days[c.Days[a.since]]
				also = &Drift{What: d.What, Since: at.Day(), Seen: d.Seen, Size: a.size, Readings: len(c.Days) - a.since, Advice: SetPump, Reason: a.says(), Place: at.Place}
			}
		case OfPump:
			d.Reason = note.Say("at its setting it gives %s %s than %s", by, side(c.Mean < 0, "less", "more"), side(c.Own, than, "its calibration says"))
		case OfRemoval:
			switch together := j.Water.OK && j.Water.V.together(c); {
			case together && (j.Water.V.Worse || c.Mean < 0):
				continue // by the water, which is told below where it comes out worse
			case c.Mean < 0 && j.more():
				continue // by the dose, which is told above
			case c.Mean < 0:
				d.Advice, d.Reason = TestAgain, j.whyBetter(c, by, low)
			default:
				d.Advice, d.Reason = j.whyWorse(c, d.Since, by, low)
			}
		}
		if j.Drift = append(j.Drift, d); c.What != OfRemoval && c.Mean < 0 && d.Advice != TestAgain && (low == nil || c.Own) {
			low = &d
		}
		if also != nil {
			j.Drift = append(j.Drift, *also)
		}
	}
	if j.Water.OK && j.Water.V.Worse {
		j.Drift = append(j.Drift, j.turned(low))
	}
	j.behind()
	j.stale()
}

func side(holds bool, one, other string) string {
	if holds {
		return one
	}
	return other
}

// whyWorse is why the treated water got worse: by the dose, by stock that is too old, or by what the log cannot tell apart, the water,
// the stock or the meter, of which it says the one to look at first.
func (j Judged) whyWorse(c Chart, since month.Date, by note.Phrase, low *Drift) (Advice, note.Phrase) {
	worse := note.Say("of the same raw water %s more is left than %s", by, j.firstOf(c))
	if low != nil {
		if low.Since == since {
			return low.Advice, note.Say("%s, while too little is fed", worse)
		}
		return low.Advice, note.Say("%s, while too little is fed since %s", worse, low.Since.Spelled())
	}
	made, known := j.made(since)
	if known && j.Plan.Keeps.OK && made.DaysTo(since) >= int(j.Plan.Keeps.V/24) {
		return MakeFresh, note.Say("%s; the stock was made on %s and keeps %s", worse, made.Spelled(), j.Plan.Keeps.V)
	}
	fed := func(c Chart) bool { return c.What != OfRemoval && c.Ready() }
	if !slices.ContainsFunc(j.Charts, fed) {
		return TestAgain, note.Say("%s; the log does not tell what was fed: look at the pump too", worse)
	}
	worse = note.Say("%s, and the dose is fed as before, so the water, the stock or the meter has changed", worse)
	switch fresh, made2 := j.madeNear(c); {
	case fresh:
		worse = note.Say("%s; new stock was made on %s: look first whether it was made up right", worse, made2.Spelled())
	case known && !j.Plan.Keeps.OK && j.Plan.Chemical == "" && made.DaysTo(since) > 0: // a site knows that it keeps
		worse = note.Say("%s; the stock was made on %s, %s before, and nobody says how long it keeps: make it anew first", worse, made.Spelled(), quantity.To(24*quantity.Time(made.DaysTo(since)), 3))
	default:
		worse = note.Say("%s: hold the meter against a standard first", worse)
	}
	return TestAgain, worse
}

// more reports that more is fed than was.
func (j Judged) more() bool {
	return slices.ContainsFunc(j.Charts, func(c Chart) bool { return c.What != OfRemoval && c.Off && c.Mean > 0 })
}

// whyBetter is why less is left in the treated water, with no more fed: a dose that is found on the water of before may be too much for it.
func (j Judged) whyBetter(c Chart, by note.Phrase, low *Drift) note.Phrase {
	better := note.Say("of the same raw water %s less is left than %s", by, j.firstOf(c))
	switch {
	case low != nil:
		return note.Say("%s, though less is fed: the smaller dose may do", better)
	case !slices.ContainsFunc(j.Charts, func(c Chart) bool { return c.What != OfRemoval && c.Ready() }):
		return note.Say("%s; the log does not tell what was fed: look at the setting and hold the meter against a standard first; a smaller dose may do", better)
	}
	return note.Say("%s, and the dose is fed as before, so the water, the stock or the meter has changed: hold the meter against a standard first; a smaller dose may do", better)
}

// madeNear is the day of stock that was made when a chart moved, within the entries by which its day may be wrong.
func (j Judged) madeNear(c Chart) (near bool, day month.Date) {
	at := c.Days[c.Since]
	for i := max(1, at-madeWithin); i <= min(at+1, len(j.Days)-1); i++ {
		switch d := j.Days[i]; {
		case d.Made.OK && d.Made.V.DaysTo(d.Day()) <= madeWithin:
			near, day = true, d.Made.V
		case d.Fresh || d.Added.OK && d.Added.V > 0:
			near, day = true, d.Day()
		}
	}
	return near, day
}

// made is the day on which the stock of a day was made, as far as the log says, up to that day.
func (j Judged) made(on month.Date) (day month.Date, ok bool) {
	for _, d := range j.Days {
		switch {
		case on.Before(d.Day()):
		case d.Made.OK:
			day, ok = d.Made.V, true
		case d.Fresh || d.Added.OK && d.Added.V > 0:
			day, ok = d.Day(), true
		}
	}
	return day, ok
}

// Made is the day on which the stock of the last entry was made, as far as the log says.
func (j Judged) Made() (day month.Date, ok bool) { return j.made(j.Days[len(j.Days)-1].Day()) }

// stale tells of stock that is older than it keeps.
func (j *Judged) stale() {
	last := j.Days[len(j.Days)-1]
	made, ok := j.Made()
	if !ok || !j.Plan.Keeps.OK || slices.ContainsFunc(j.Drift, func(d Drift) bool { return d.Advice == MakeFresh }) {
		return
	}
	age := 24 * quantity.Time(made.DaysTo(last.Day()))
	if age <= j.Plan.Keeps.V {
		return
	}
	j.Drift = append(j.Drift, Drift{What: "stock", Since: made.AddDays(int(j.Plan.Keeps.V / 24)), Seen: last.Day(), Size: quantity.Fraction(age/j.Plan.Keeps.V - 1), Advice: MakeFresh, Place: last.Place,
		Reason: note.Say("it is older than it keeps: made on %s, it is good for %s", made.Spelled(), j.Plan.Keeps.V)})
}
