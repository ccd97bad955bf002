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
	Pump    *pump.Pump
	// Keeps is how long stock is good.
	Keeps quantity.Known[quantity.Time]
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
	Removal  quantity.Known[quantity.Fraction]
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
}

// Latest is how many entries tell how things stand now: a week of daily ones.
const Latest = 7

// Judge works a log out.
func Judge(l Log, p Plan, tests []Bench) Judged {
	j := Judged{Log: l, Plan: p}
	j.Notes = slices.Clone(l.Notes)
	p = l.plan(p, &j.Notes)
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
			d.Line = quantity.Some(p.Pump.Calibration.Rate(pump.Position{Setting: e.Setting.V, Stroke: p.Pump.Stays}))
		}
		j.Days = append(j.Days, d)
	}
	j.oneOf("level-rose", "the tank was filled in %s rows and nobody wrote what was added, so they tell no use, the first on %s")
	j.farOff()
	j.idle()
	j.Bench = j.nearest(tests)
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
	case d.Used.OK:
		return d.Used
	case d.Weighed.OK && p.Density.OK:
		return quantity.Some(quantity.Volume(float64(d.Weighed.V) / float64(p.Density.V)))
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
	if !stock.OK && d.Level.OK && before.Level.OK {
		used := before.Level.V + d.Added.V - d.Level.V
		counted = true
		switch {
		case used < -quantity.Volume(refill)*before.Level.V && !d.Added.OK:
			d.Fresh = true
			notes.Add(note.New(note.Caution, "level-rose", "the tank rose from %s to %s and nobody wrote what was added, so this row tells no use", quantity.To(before.Level.V, 4), quantity.To(d.Level.V, 4)).
				At(d.Level.At).Do("write what is added beside the level, in a column such as Stock added (L)"))
		case used < -quantity.Volume(refill)*before.Level.V:
			notes.Add(note.New(note.Caution, "level-rose", "the tank holds more than was left and was added: %s after %s and %s", quantity.To(d.Level.V, 4), quantity.To(before.Level.V, 4), quantity.To(d.Added.V, 4)).
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
		water, running = quantity.Some(quantity.Volume(float64(q)*float64(d.Hours.V)*litres)), true
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

// Late is how things stand by the latest entries.
type Late struct {
	Entries int
	// Fed is all the product of these entries over all their water, OfPlanned its share of the planned dose.
	Fed       quantity.Known[quantity.Concentration]
	OfPlanned quantity.Known[quantity.Fraction]
	PerWater  quantity.Known[quantity.Fraction]
	// Removal is the mean of theirs.
	Removal quantity.Known[quantity.Fraction]
}

// Late works out how things stand.
func (j Judged) Late() (l Late) {
	days := j.Days[max(0, len(j.Days)-Latest):]
	l.Entries = len(days)
	var stock, water quantity.Volume
	removal, n := quantity.Fraction(0), 0
	for _, d := range days {
		if d.PerWater.OK {
			stock, water = stock+d.Stock.V, water+d.Gone.V
		}
		if d.Removal.OK {
			removal, n = removal+d.Removal.V, n+1
		}
	}
	if n > 0 {
		l.Removal = quantity.Some(removal / quantity.Fraction(n))
	}
	if water <= 0 {
		return l
	}
	l.PerWater = quantity.Some(quantity.Fraction(stock / water))
	if !j.Plan.Strength.OK {
		return l
	}
	l.Fed = quantity.Some(doseFrom(l.PerWater.V, j.Plan.Strength.V))
	if j.Plan.Dose.OK {
		l.OfPlanned = quantity.Some(quantity.Fraction(l.Fed.V / j.Plan.Dose.V.Concentration))
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
	// most is what a ratio counts at most; a pump that stood still has no logarithm.
	most = 10
)

// logRatio is ln(a/b), held between ln(1/most) and ln(most).
func logRatio(a, b float64) float64 {
	return math.Log(min(max(a/b, 1.0/most), most))
}

// charts draws those that the log has readings for.
func (j *Judged) charts() {
	planned := j.Plan.Dose.OK && j.Plan.Strength.OK
	perSetting := func(d Day) (float64, bool) {
		switch {
		case !d.Drawdown.OK:
			return 0, false
		case d.Line.OK && d.Line.V > 0:
			return logRatio(float64(d.Drawdown.V), float64(d.Line.V)), true
		case d.Setting.OK && d.Setting.V > 0:
			return math.Log(max(float64(d.Drawdown.V), 1e-3) / float64(d.Setting.V)), true
		}
		return 0, false
	}
	lined := slices.ContainsFunc(j.Days, func(d Day) bool { return d.Line.OK })
	for _, x := range []struct {
		what Kind
		own  bool
		of   func(Day) (float64, bool)
	}{
		{OfDose, !planned, func(d Day) (float64, bool) {
			if !d.PerWater.OK {
				return 0, false
			}
			if planned {
				return logRatio(float64(d.Fed.V), float64(j.Plan.Dose.V.Concentration)), true
			}
			return math.Log(max(float64(d.PerWater.V), 1e-9)), true
		}},
		{OfPump, !lined, perSetting},
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
			c.First = j.first(c)
			doubt = j.center(&c)
		}
		c.run(doubt)
		j.Charts = append(j.Charts, c)
		if c.Off && !c.Own && c.Since < fewestMoved { // it never was as planned, which hides what came later
			own := Chart{What: c.What, Own: true, First: j.first(c), Days: c.Days, Ratio: slices.Clone(c.Ratio)}
			own.run(j.center(&own))
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
		c.Ratio[i] = math.Log(min(max(math.Exp(c.Ratio[i]-m), 1.0/most), most))
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

// Advice is what is to be done.
type Advice string

// What is advised.
const (
	CheckPump Advice = "check the pump"
	TestAgain Advice = "test again"
	MakeFresh Advice = "make fresh stock"
	SetPump   Advice = "set the pump anew"
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
		if !c.Off || c.What == OfRemoval && c.Mean < 0 {
			continue
		}
		at := j.Days[c.Days[c.Since]]
		d := Drift{What: string(c.What), Since: at.Day(), Seen: j.Days[c.Days[c.At]].Day(), Size: c.Size(), Readings: len(c.Days) - c.Since, Advice: CheckPump, Place: at.Place}
		by := quantity.To(quantity.Number(math.Abs(d.Size.In("%"))), 2)
		than := map[bool]string{true: "in the log's first weeks", false: "planned"}[c.Own]
		switch c.What {
		case OfDose:
			d.Reason = note.Say("the dose fed is about %s %% %s than %s", by, side(c.Mean < 0, "less", "more"), than)
			if why, changed := j.changed(c); changed {
				d.Advice, d.Reason = SetPump, note.Say("%s, %s", d.Reason, why)
			} else if k := slices.IndexFunc(j.Charts, func(k Chart) bool { return k.What == OfPump && k.Ready() && !k.Off }); k >= 0 {
				d.Reason = note.Say("%s, though its drawdown is as it was: look at the setting, the level's marks, the stock's strength and the flow", d.Reason)
			}
		case OfPump:
			d.Reason = note.Say("at its setting it gives about %s %% %s than %s", by, side(c.Mean < 0, "less", "more"), side(c.Own, than, "its calibration says"))
		case OfRemoval:
			d.Advice, d.Reason = j.whyWorse(d.Since, by, low)
		}
		if j.Drift = append(j.Drift, d); c.What != OfRemoval && c.Mean < 0 && low == nil {
			low = &d
		}
	}
	j.stale()
}

func side(holds bool, one, other string) string {
	if holds {
		return one
	}
	return other
}

// whyWorse is why the treated water got worse: by the dose, by stock that is too old, or by the water.
func (j Judged) whyWorse(since month.Date, by quantity.Rounded, low *Drift) (Advice, note.Phrase) {
	worse := note.Say("of the same raw water about %s %% more is left than in the log's first weeks", by)
	if low != nil {
		if low.Since == since {
			return low.Advice, note.Say("%s, while too little is fed", worse)
		}
		return low.Advice, note.Say("%s, while too little is fed since %s", worse, low.Since.Spelled())
	}
	if made, ok := j.made(since); ok && j.Plan.Keeps.OK && made.DaysTo(since) >= int(j.Plan.Keeps.V/24) {
		return MakeFresh, note.Say("%s; the stock was made on %s and keeps %s", worse, made.Spelled(), j.Plan.Keeps.V)
	}
	if fed := func(c Chart) bool { return c.What != OfRemoval && c.Ready() }; !slices.ContainsFunc(j.Charts, fed) {
		return TestAgain, note.Say("%s; the log does not tell what was fed: look at the pump too", worse)
	}
	return TestAgain, note.Say("%s, and the dose is fed as before: the water has changed", worse)
}

// made is the day on which the stock of a day was made, as far as the log says.
func (j Judged) made(on month.Date) (day month.Date, ok bool) {
	for _, d := range j.Days {
		if d.Fresh && !on.Before(d.Day()) {
			day, ok = d.Day(), true
		}
	}
	return day, ok
}

// stale tells of stock that is older than it keeps.
func (j *Judged) stale() {
	last := j.Days[len(j.Days)-1]
	made, ok := j.made(last.Day())
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
