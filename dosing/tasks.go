package dosing

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Task is something that somebody has to do at an hour.
type Task struct {
	At   quantity.Time // clock time, hours after midnight of the plan's day
	Feed int           // index of the feed; -1 for the unit as a whole
	Kind TaskKind
	// Batch is set for MakeUp, MoveStock and ChangeDrum.
	Batch Batch
	// Choice is set for SetPump.
	Choice pump.Choice
	Flow   quantity.Flow
	// Product and Rate are set for FeedByHand: what a dry feeder or a hand has to give, and of
	// a liquid its volume.
	Product quantity.MassRate
	Rate    quantity.FeedRate
	// Emptying is set for EmptyBin.
	Emptying solids.Emptying
	// Every is the time between one and the next, where many alike are told as one.
	Every quantity.Time
	// Alone is true where it falls into hours when nobody is there.
	Alone bool
	// Day is 0 on the day on which the list's shift begins, or else the plan's run; 1 is the
	// day after, -1 the one before.
	Day int
}

// TaskKind says what a task is about.
type TaskKind string

const (
	StopPump   TaskKind = "stop pump"
	StopHand   TaskKind = "stop feeding"
	StopUnit   TaskKind = "stop unit"
	MoveStock  TaskKind = "move stock"
	ChangeDrum TaskKind = "change drum"
	StartUnit  TaskKind = "start unit"
	Stands     TaskKind = "stands" // a pump that runs already when the shift begins
	SetPump    TaskKind = "set pump"
	FeedByHand TaskKind = "feed by hand"
	MakeUp     TaskKind = "make up"
	EmptyBin   TaskKind = "empty bin"
)

// turns is the order of what falls on one moment: feeds stop before the unit and are
// set after it has started, with stock in the tank; what takes time comes last.
var turns = map[TaskKind]int{Stands: 0, StopPump: 1, StopHand: 1, StopUnit: 2, MoveStock: 3, StartUnit: 4, SetPump: 5, FeedByHand: 5, ChangeDrum: 6, MakeUp: 7, EmptyBin: 8}

// turn is the place of a chemical among those that start together: what sets the pH, then
// coagulants, then what binds their floc. They stop the other way round.
func (f Feed) turn() int {
	switch f.Stock.Product.Group {
	case product.Alkali, product.Acid:
		return -1
	case product.Polymer, product.Biopolymer:
		return 1
	}
	return 0
}

// inOrder sorts tasks as one person does them.
func (p Plan) inOrder(tasks []Task) []Task {
	turn := func(k Task) int {
		switch {
		case k.Feed < 0:
			return 0
		case turns[k.Kind] == turns[StopPump]:
			return -p.Feeds[k.Feed].turn()
		}
		return p.Feeds[k.Feed].turn()
	}
	slices.SortStableFunc(tasks, func(a, b Task) int {
		if math.Abs(float64(a.At-b.At)) > hair {
			return cmp.Compare(a.At, b.At)
		}
		return cmp.Or(cmp.Compare(turns[a.Kind], turns[b.Kind]), cmp.Compare(turn(a), turn(b)))
	})
	return tasks
}

// clock gives a time that comes back every day as it falls on the plan's day.
func (p Plan) clock(t quantity.Time) quantity.Time {
	return p.Start + quantity.Wrapped(t-p.Start, 24)
}

// began is when the run began in which the stated start falls, or the next run where the unit stands still then; the stated
// start itself where the unit runs round the clock.
func (p Plan) began() quantity.Time {
	runs := p.Day.Segments()
	runs = slices.DeleteFunc(runs, func(s flow.Segment) bool { return s.Flow <= 0 || s.Length() <= 0 })
	start := p.Start
	at := slices.IndexFunc(runs, func(s flow.Segment) bool { return s.From <= start+moment && start < s.To-moment })
	switch {
	case p.Running > 24-moment || len(runs) == 0:
		return start
	case at < 0:
		return quantity.Wrapped(demand{p.Day, 1}.next(start), 24)
	}
	for {
		start = min(start, runs[at].From)
		before := (at + len(runs) - 1) % len(runs)
		if gap := math.Mod(float64(runs[at].From-runs[before].To)+24, 24); gap > moment {
			return start
		}
		if at = before; start < moment { // it goes on before midnight
			start = 24
		}
	}
}

// begin is when the list of the day begins: with the shift in which the unit starts or
// that was before it, or with the work for a stock that the start needs. What tanks hold is
// told of the plan's start: where water goes through before it in that shift, what its people did is
// in the tanks already, and the list begins with who is there from the start on.
func (p Plan) begin() quantity.Time {
	if len(p.Staffed) > 0 {
		began := p.Staffed.Began(p.Start)
		if p.told() && (demand{p.Day, 1}).between(began, p.Start) > 0 {
			return p.Staffed.Next(p.Start)
		}
		return began
	}
	first := p.Start
	for _, f := range p.Feeds {
		for _, b := range f.round() {
			if used, made := p.clock(b.From), p.clock(b.Start)-24; used < p.Start+1 && made > p.Start-6 {
				first = min(first, made)
			}
		}
	}
	return first
}

// told reports that somebody said what stands in a tank that a pump draws from, or in one in which its stock is made up, when the day starts.
func (p Plan) told() bool {
	return slices.ContainsFunc(p.Feeds, func(f Feed) bool { return f.Fed && (f.Tank != nil && f.Tank.Now.OK || f.Mix != nil && f.Mix.Now.OK) })
}

// there is the last time not after t when somebody is there, from the plan's start on;
// t itself where nobody is before.
func (p Plan) there(t quantity.Time) (quantity.Time, bool) {
	if last := p.Staffed.Last(t); last >= p.Start {
		return last, true
	}
	return t, false
}

// tasks lists the day's work in the order of the clock, from the plan's start.
func (p *Plan) tasks() []Task {
	p.firstDay()
	out := p.unit()
	for i, f := range p.Feeds {
		out = append(out, p.settings(i, f)...)
		out = append(out, p.made(i, f, p.begin())...)
		if f.Stock.Neat() && len(f.First) == 0 && f.HasEmpty && f.Empty < p.Start+24 {
			at, _ := p.there(f.Empty)
			if other, busy := (making{busy: p.work(i, make([]*Batch, len(p.Feeds)))}).clash(at, f.Work); busy && other.From-f.Work >= p.begin() {
				at = other.From - f.Work
			}
			out = append(out, Task{At: at, Feed: i, Kind: ChangeDrum})
		}
	}
	begin := p.begin()
	for i, k := range out {
		out[i].At = p.onList(k, begin)
		p.place(&out[i])
	}
	out = p.already(p.inOrder(out), begin)
	for i := range p.Feeds {
		p.Feeds[i].Notes.Add(p.unstaffed(i, out)...)
		p.Feeds[i].Notes.Add(p.handAlone(i)...)
	}
	return out
}

// place says on which day of the list a task falls, and whether nobody is there then.
func (p Plan) place(k *Task) {
	k.Alone = p.Staffed.Last(k.At) < k.At-hair
	k.Day = p.ListDay(k.At)
}

// ListDay counts the days from the one on which the list begins to that of a time.
func (p Plan) ListDay(at quantity.Time) int {
	base := p.Start
	if len(p.Staffed) > 0 {
		base = p.begin()
	}
	return int(math.Floor(float64(at+hair)/24) - math.Floor(float64(base+hair)/24))
}

// already begins the list of a shift with what every feed that runs then stands at. Where the
// plan's start finds a feed as it stands, that is no work.
func (p Plan) already(tasks []Task, begin quantity.Time) []Task {
	if len(p.Staffed) == 0 || p.Begins > p.Start+hair || p.stood() {
		return tasks
	}
	var before []Task
	for i, f := range p.Feeds {
		own := slices.DeleteFunc(slices.Clone(tasks), func(k Task) bool { return k.Feed != i || !sets[k.Kind] && !stops[k.Kind] })
		if len(own) == 0 || stops[own[len(own)-1].Kind] || own[0].At < begin+hair {
			continue
		}
		now := own[len(own)-1]
		for n, k := range own {
			last := own[(n+len(own)-1)%len(own)]
			same := k.Choice.Position == last.Choice.Position && k.Product == last.Product && k.Rate == last.Rate && sets[last.Kind]
			if same && quantity.Wrapped(k.At-p.Start+hair, 24) < 2*hair {
				tasks = slices.DeleteFunc(tasks, func(x Task) bool { return x.Feed == i && x.At == k.At && sets[x.Kind] })
			}
		}
		if now.At = begin; f.Pump != nil {
			now.Kind = Stands
		}
		p.place(&now)
		before = append(before, now)
	}
	return p.inOrder(append(before, tasks...))
}

// sets and stops are the tasks that move a feed.
var (
	sets  = map[TaskKind]bool{SetPump: true, FeedByHand: true}
	stops = map[TaskKind]bool{StopPump: true, StopHand: true}
)

// unstaffed says which pump is to be set, or a chemical fed by hand, when nobody is there.
func (p Plan) unstaffed(feed int, tasks []Task) note.List {
	var what []string
	for _, k := range tasks {
		if did := aloneWords[k.Kind]; k.Alone && k.Feed == feed && did != "" {
			what = append(what, did+" at "+flow.Clock(quantity.Time(math.Mod(float64(k.At)+24, 24))))
		}
	}
	if what == nil {
		return nil
	}
	f := p.Feeds[feed]
	name := cmp.Or(f.PumpName, "the pump")
	if f.Pump == nil {
		name = f.Name
	}
	return note.List{note.New(note.Caution, "set-unstaffed", "%s is to be %s, when nobody is there", name, strings.Join(what, " and ")).
		At(f.PumpAt).Do("let the pump follow the flow meter or a timer, or send somebody")}
}

// handAlone says of a chemical that is fed by hand all the time the unit runs how much of that nobody is there.
func (p Plan) handAlone(feed int) note.List {
	f := p.Feeds[feed]
	if f.Pump != nil || f.Dose.Concentration <= 0 {
		return nil
	}
	alone := Unattended(p.Day, p.Staffed)
	if alone == 0 {
		return nil
	}
	return note.List{f.unattended(alone, p.Running, p.Staffed)}
}

// unattended says of a chemical that is fed by hand in how much of the time that the unit runs nobody is there to do it.
func (f FeedInput) unattended(alone, running quantity.Time, staffed flow.Hours) note.Note {
	return note.New(note.Caution, "hand-unstaffed", "%s is fed by hand, and in %s of the %s that the unit runs nobody is there (%s): the water then goes on without it, while the use counts them",
		f.Name, quantity.To(alone, 3).In("h"), quantity.To(running, 3).In("h"), staffed.String()).
		At(f.At).Do("run only while somebody is there, give it a pump or a tap from a tank that holds as long, or send somebody")
}

// aloneWords are what may not be left undone until somebody is there.
var aloneWords = map[TaskKind]string{SetPump: "set", StopPump: "stopped", FeedByHand: "fed by hand", StopHand: "stopped"}

// WithBin is the list of tasks with the emptying of the bin on the plan's first day.
func (p Plan) WithBin(s *SolidsDay) []Task {
	out := slices.Clone(p.Tasks)
	if s != nil && s.Bin != nil {
		var bins []Task
		for _, e := range s.Today(p.Start) {
			k := Task{At: e.At, Feed: -1, Kind: EmptyBin, Emptying: e}
			if k.At >= p.begin()+24-hair { // the same every day
				k.At -= 24
			}
			p.place(&k)
			bins = append(bins, k)
		}
		out = append(out, folded(bins)...)
	}
	return p.inOrder(out)
}

// manyBins is how often a day a bin may be emptied before the list tells it as one line.
const manyBins = 6

// folded tells many emptyings as the first of them with the time that is usual between two.
func folded(bins []Task) []Task {
	if len(bins) <= manyBins {
		return bins
	}
	slices.SortFunc(bins, func(a, b Task) int { return cmp.Compare(a.At, b.At) })
	one := bins[0]
	var times []quantity.Time
	for _, k := range bins {
		times = append(times, k.At)
		one.Emptying.Contents = max(one.Emptying.Contents, k.Emptying.Contents)
		one.Alone = one.Alone || k.Alone
	}
	one.Every = usualGap(times)
	return []Task{one}
}

// usualGap is the middle one of the spans between times that stand in their order; there are two at least.
func usualGap(times []quantity.Time) quantity.Time {
	gaps := make([]quantity.Time, len(times)-1)
	for i := range gaps {
		gaps[i] = times[i+1] - times[i]
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}

// unit starts and stops the unit where it does not run round the clock.
func (p Plan) unit() []Task {
	var out []Task
	for _, run := range p.runs() {
		if !p.runsOn(run) {
			out = append(out, Task{At: run.From, Feed: -1, Kind: StartUnit})
		}
		if p.ends(run) {
			out = append(out, Task{At: run.To, Feed: -1, Kind: StopUnit})
		}
	}
	if !p.still() {
		return nil
	}
	return out
}

// moment is what counts as no time, in hours.
const moment = 1e-6

// fromStart gives the day's flow from the plan's start on for 24 h; what lies
// before the start follows at the end, as the next day's.
func (p Plan) fromStart() []flow.Segment {
	var out []flow.Segment
	for _, later := range []quantity.Time{0, 24} {
		for _, s := range p.Day.Segments() {
			s.From, s.To = max(s.From+later, p.Start), min(s.To+later, p.Start+24)
			if s.Length() > 0 && s.Flow > 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// runs are the stretches of the plan's day in which the unit runs, from when dosing begins.
func (p Plan) runs() []flow.Span {
	var out []flow.Span
	for _, s := range p.fromStart() {
		if s.From = max(s.From, p.Begins); s.Length() <= moment {
			continue
		}
		if n := len(out); n > 0 && s.From <= out[n-1].To+moment {
			out[n-1].To = s.To
		} else {
			out = append(out, s.Span)
		}
	}
	return out
}

// ends reports that the unit stands still after a run: one that reaches the end of the plan's
// day goes on where the next begins with water.
func (p Plan) ends(run flow.Span) bool {
	return run.To < p.Start+24-moment || p.Rest.After > 0 || p.fromStart()[0].From > p.Start+moment
}

// settings lists the times at which a feed must be set anew by hand, and stopped.
func (p Plan) settings(i int, f Feed) []Task {
	if f.Pump != nil && f.Setting == nil || f.Pump == nil && f.AsProduct.Concentration <= 0 { // nothing to set
		return nil
	}
	stop := StopPump
	if f.Pump == nil {
		stop = StopHand
	}
	var out []Task
	for _, run := range p.runs() {
		switch {
		case f.Pump == nil:
			out = append(out, p.withoutPump(i, f, run)...)
		case f.Follows:
			q := p.within(run)[0].Flow // that which then flows
			out = append(out, Task{At: run.From, Feed: i, Kind: SetPump, Choice: f.Pump.For(f.rate(q)), Flow: q, Rate: f.rate(q)})
		default:
			out = append(out, p.byHand(i, f, run)...)
		}
		if p.ends(run) {
			out = append(out, Task{At: run.To, Feed: i, Kind: stop})
		}
	}
	return out
}

// byHand lists the settings of one run: at its start, and wherever the knob has to move.
func (p Plan) byHand(i int, f Feed, run flow.Span) []Task {
	var out []Task
	var last pump.Position
	for _, s := range p.within(run) {
		if c := f.Pump.For(f.rate(s.Flow)); c.Position != last || len(out) == 0 {
			out, last = append(out, Task{At: s.From, Feed: i, Kind: SetPump, Choice: c, Flow: s.Flow}), c.Position
		}
	}
	return out
}

// withoutPump lists what a feeder, a tap or a hand has to give in one run: at its start,
// and wherever the flow moves it by more than the share that a pump's feed may be off.
func (p Plan) withoutPump(i int, f Feed, run flow.Span) []Task {
	var out []Task
	last := quantity.Flow(0)
	for _, s := range p.within(run) {
		if len(out) > 0 && math.Abs(float64(s.Flow/last-1)) <= Spare {
			continue
		}
		k := Task{At: s.From, Feed: i, Kind: FeedByHand, Flow: s.Flow, Product: Use(f.AsProduct.Concentration, s.Flow, 24)}
		if f.Fed {
			k.Rate = f.rate(s.Flow)
		}
		out, last = append(out, k), s.Flow
	}
	return out
}

// within are the flows of one run.
func (p Plan) within(run flow.Span) []flow.Segment {
	var out []flow.Segment
	for _, s := range p.fromStart() {
		if s.From, s.To = max(s.From, run.From), min(s.To, run.To); s.Length() > 0 {
			out = append(out, s)
		}
	}
	return out
}
