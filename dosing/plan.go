package dosing

import (
	"cmp"
	"math"
	"slices"

	"jarwright/dosing/clarify"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Input is what a day is planned from.
type Input struct {
	Site string
	// Keeper is who keeps the site's file up to date, whom a card says to ask; empty where not told.
	Keeper string
	Day    flow.Day
	// FlowRange is how far the flow may be off, either way.
	FlowRange quantity.Fraction
	// FlowSource says where the flow comes from, in words; FlowAt is its cell.
	FlowSource string
	FlowAt     note.Place
	// Stream is true where the site calls its water a stream.
	Stream bool
	// Start is the clock time at which the day's list begins.
	Start quantity.Time
	// Staffed are the hours when somebody is there; nil is round the clock.
	Staffed flow.Hours
	// Rest is what the calendar closes beside the day.
	Rest Rest
	// Before is what the day before leaves, where it was another day than this one; nil where it is as every day.
	Before *Evening
	// Next is what the day after needs of this one, where it is another day than this one; nil where it is as every day.
	Next *Morning
	// Ahead is what comes into the bin on the n-th day after, false where nobody knows that; nil where all days are as this one.
	Ahead func(n int) (solids.Coming, bool)
	Feeds []FeedInput
	Notes note.List
}

// FeedInput is one chemical to be fed.
type FeedInput struct {
	Name string
	At   note.Place
	// Dose is the dose to plan for. Low and High bound it; zero where not known.
	Dose       quantity.Dose
	Low, High  quantity.Concentration
	DoseSource string
	DoseAt     note.Place
	// FedADay is what the site says in place of a dose.
	FedADay quantity.Known[quantity.MassRate]
	// Clear and Storm are doses of their own for such water, on the basis of Dose:
	// the plan is for Dose, the operator's card has that for storms too.
	Clear, Storm quantity.Known[quantity.Concentration]
	// Usual is the dose of usual water where the day's water has one of its own.
	Usual quantity.Known[quantity.Concentration]
	// Quantile gives the lowest effective dose that is exceeded with chance 1 − p,
	// where a bench sheet tells; nil else.
	Quantile func(p float64) (quantity.Concentration, bool)
	// Tested says that a bench sheet gave the dose.
	Tested bool
	// Past is the dose by raw water where past tests gave it; nil else.
	Past *PastTests
	// Jars are those of the bench sheet that the row names; nil where it tells nothing.
	Jars *Jars
	// Phosphate is the soluble phosphorus that its metal meets, where it is known: its share of the water's.
	Phosphate quantity.Known[quantity.Concentration]
	OnTotal   bool // it is a part of the total, for want of the soluble
	// Balance is set where the dose follows from the alkalinity to leave.
	Balance *day.Balance
	// Cleaning are doses by the reading of a tank while it is cleaned up, on the
	// basis of Dose, from the lowest reading up; CleaningKey is what is read.
	Cleaning    []clarify.Step
	CleaningKey jartest.Key
	// CleaningCurve says that they are points of straight lines, level beyond the ends,
	// not steps that hold from their reading up.
	CleaningCurve bool

	Stock     Stock
	StockName string
	StockAt   note.Place

	// Scoop is what a level scoop of the product weighs, for a chemical fed by hand.
	Scoop quantity.Known[quantity.Mass]

	Pump     *pump.Pump
	PumpName string
	PumpAt   note.Place
	// Follows is true for a pump that follows the flow meter by itself.
	Follows bool
	Heads   []quantity.FeedRate // other heads to be had

	Tank *Vessel
	// Mix is the tank in which stock is made up and aged; nil for in the tank itself.
	Mix *Vessel
	// Batch is the volume made up at a time; zero lets the plan choose.
	Batch   quantity.Volume
	BatchAt note.Place
	// Ageing and Life are those that the user stated.
	Ageing, Life quantity.Known[quantity.Time]
	// Shelf is how long the goods keep, as their price row says.
	Shelf quantity.Known[quantity.Time]
	// From and Till bound the time when somebody can make it up; equal is any time.
	From, Till quantity.Time
	Work       quantity.Time
	// Post is the carrier water after the pump.
	Post      quantity.Flow
	MakeWater *quantity.Temperature
}

// Vessel is a tank.
type Vessel struct {
	Name   string
	Volume quantity.Volume
	Usable quantity.Fraction
	// Now is what can be drawn from it when the day starts, where that was told.
	Now quantity.Known[quantity.Volume]
	At  note.Place
}

// Stands is what can be drawn from it when the day starts; it counts as full where nothing was told.
func (v Vessel) Stands() quantity.Volume { return v.Now.Or(v.Holds()) }

// Holds gives the usable volume.
func (v Vessel) Holds() quantity.Volume { return v.Volume * quantity.Volume(v.Usable) }

// Plan is the day.
type Plan struct {
	Input
	// Treated is the water of the day, Running the time that the unit runs.
	Treated quantity.Volume
	Running quantity.Time
	// Begins is when dosing begins: at the start, or on a day that opens with too little in a
	// tank when more is ready.
	Begins quantity.Time
	Feeds  []Feed
	Tasks  []Task
	Hours  []HourRow
	Notes  note.List
}

// Feed is one chemical of the plan.
type Feed struct {
	FeedInput
	// AsProduct is the dose counted as product.
	AsProduct quantity.Dose
	// Flow is the average while the unit runs.
	Flow quantity.Flow
	// Active is the substance that the dose or the strength counts; HasActive is
	// false where the product's strength is not known.
	Active      quantity.MassRate
	ActiveBasis quantity.Basis
	HasActive   bool
	Product     quantity.MassRate
	// Volume is the product per day as a liquid; HasVolume is false for dry goods
	// and liquids of unknown density.
	Volume    quantity.Volume
	HasVolume bool
	// Fed is false where nothing can be pumped (a dry product without stock).
	Fed bool
	// PerLitre is product per litre of stock, StockUse the stock of the day.
	PerLitre quantity.Concentration
	StockUse quantity.Volume
	// Rate is at the average flow, Least and Peak at the ends of the day's flow.
	Rate, Least, Peak quantity.FeedRate
	Setting           *Setting
	Range             Range
	// TankWith are the feeds, by their place in the plan, that draw from one tank with this one, itself among them; nil where
	// it has a tank to itself. The first of them has the tank, with its batches and levels; those of beside draw from it too.
	TankWith []int
	beside   []Feed
	// Lasts is for how many hours of running a full tank lasts at the average rate; zero without tank.
	// GoesOff is true where its content has gone off before it is drawn.
	Lasts   quantity.Time
	GoesOff bool
	// Drawn is for how many hours of running it would last if it kept.
	Drawn quantity.Time
	// Empty is the clock time at which the tank as it stands now runs empty.
	Empty    quantity.Time
	HasEmpty bool
	Ageing   quantity.Time
	Life     quantity.Time
	// lifeSource is where the life comes from.
	lifeSource string
	Batches    []Batch
	// Fills are those of the tank of a neat product, in the same way; First are the batches
	// or fills of the plan's own day, from what the tank holds when it starts.
	Fills, First []Batch
	// ahead are batches for the day after that are begun on the day itself, beside First.
	ahead []Batch
	// stays was found in the make-up tank when the day starts, and has no room in the day tank until after its list.
	stays []Batch
	// provides is true where batches of the day or those ahead are made for what the day after needs.
	provides bool
	// carried is what the day before left in its tank, where that is not what the round counts on.
	carried *Left
	// Reserve is by how much the batches are larger than what is planned to be drawn.
	Reserve quantity.Fraction
	// DryAtPeak is true where a day at the peak flow all through draws a batch before the next is ready.
	DryAtPeak bool
	// upper is by how much the flow may be above the day's while the batches still last.
	upper quantity.Fraction
	// Every is the days between two rounds of batches; 1 is daily, 0 none.
	Every int
	// AtPoint is the share by mass of product in the feed at the dosing point,
	// after the carrier water.
	AtPoint quantity.Fraction
	Closure Closure
	// Heard is what the jars say of the dose; nil where there are none.
	Heard   *Heard
	Working []Working
	Notes   note.List
}

// Setting is where the pump has to stand.
type Setting struct {
	Average, Least, Peak pump.Choice
	Range                [2]pump.Choice // at the low and high end of the feed's range
	HasRange             bool
	// InRange is true where the pump gives what all flows of the day ask of it.
	InRange bool
	Remedy  pump.Remedy
	// Head is the other head to be had that would reach; zero where none does or none is needed.
	Head quantity.FeedRate
}

// Range carries what is not certain of doses and flow. Each end is passed in one day of
// ten, as those of a month are; see [doubt.Ends].
type Range struct {
	Known bool
	// Open is true where the bench does not bound the dose above: what stands as high
	// then counts the planning dose.
	Open              bool
	DoseLow, DoseHigh quantity.Dose
	FlowLow, FlowHigh quantity.Flow
	// RateLow and RateHigh are of a stock; zero where the product is given dry.
	RateLow, RateHigh       quantity.FeedRate
	ProductLow, ProductHigh quantity.MassRate
}

// Closure is the check that nothing is lost between dose and drum.
type Closure struct {
	// Asked is dose × water treated, Given stock used × strength, both as product.
	Asked, Given quantity.Mass
}

// Make works the day out. Inputs that cannot be worked with are an error, each
// naming its cell; what is possible but needs attention stands in the notes of
// the plan. A note at level Error means that the plan cannot be carried out.
func Make(in Input) (Plan, error) {
	p := Plan{Input: in, Treated: in.Day.Volume(), Running: in.Day.Running()}
	p.Start = p.began()
	p.Notes = append(p.Notes, in.Notes...)
	p.besideRest()
	var errs note.List
	if p.Treated <= 0 {
		errs.Add(note.Fault("no-flow", "no water flows on this day").At(in.FlowAt).Do(`give a flow above zero, such as "3.6 m3/h"`))
		return p, errs
	}
	if len(in.Feeds) == 0 {
		errs.Add(note.Fault("no-chemical", "no chemical is dosed").Do("describe at least one in the site under Chemicals"))
	}
	for i, f := range in.Feeds {
		feed, err := p.feed(i)
		if err != nil {
			for _, n := range elseAt(note.Of(err, "plan"), f.At) {
				if f.Name != "" {
					n.Message = f.Name + ": " + n.Message
				}
				errs.Add(n)
			}
			continue
		}
		p.Feeds = append(p.Feeds, feed)
	}
	errs = append(errs, p.stored()...)
	if err := errs.Err(); err != nil {
		return p, err
	}
	p.Tasks = p.tasks()
	p.Hours = p.hours()
	for _, f := range p.Feeds {
		p.Notes = append(p.Notes, f.Notes...)
	}
	p.Notes = p.fewer()
	return p, nil
}

// feed works one chemical out, by its place in the list.
func (p Plan) feed(k int) (Feed, error) {
	in := p.Input.Feeds[k]
	f := Feed{FeedInput: in, Flow: p.Day.Average()}
	if in.Dose.Basis == quantity.NotStated {
		return f, note.Fault("basis-missing", "the dose %s has no basis", in.Dose.Concentration).At(in.DoseAt).
			Do(`say what it counts, such as "as product" or "as alum 14-hydrate"`)
	}
	if in.Dose.Concentration < 0 || !quantity.Finite(in.Dose) {
		return f, note.Fault("negative-dose", "the dose %s is negative", in.Dose).At(in.DoseAt).Do("a dose is zero or more")
	}
	var err error
	if f.AsProduct, err = product.Convert(in.Dose, in.Stock.Product, quantity.AsProduct); err != nil {
		return f, err
	}
	p.account(&f)
	f.PerLitre, err = in.Stock.ProductPerLitre()
	switch l := note.Of(err, "stock"); {
	case err == nil:
		f.Fed = true
	case l[0].Code == "dry-without-stock" && in.Pump == nil:
		n := note.New(note.Info, "dry-feed", "%s is dry and no stock is given: the plan gives its mass, %s an hour, for scoop or dry feeder",
			in.Name,
			quantity.Mass(float64(f.Product)/float64(p.Running))).At(in.StockAt)
		if !in.Scoop.OK {
			n = n.Do("weigh one level scoop of it and give that as its scoop, to have the portions in scoops too")
		}
		f.Notes.Add(n)
	default:
		return f, l[0].At(in.StockAt)
	}
	f.Range = p.ranged(k, f)
	if f.Fed {
		p.pumped(&f)
	} else {
		p.varies(&f)
	}
	return f, nil
}

// stored works out tanks and batches once what every feed draws is known.
func (p *Plan) stored() note.List {
	errs := p.share()
	feeds := p.Feeds
	for i := range feeds {
		f := &feeds[i]
		p.Feeds = feeds[:i] // those whose stocks are laid out already
		switch {
		case !f.Fed:
		case f.TankWith != nil && f.Tank == nil:
			first := feeds[f.TankWith[0]]
			f.Lasts, f.GoesOff, f.Drawn = first.Lasts, first.GoesOff, first.Drawn
		default:
			p.tank(f)
			errs = append(errs, elseAt(note.Of(p.batches(f), "plan"), f.At)...)
		}
		f.Working = f.working(*p)
	}
	p.Feeds = feeds
	return errs
}

// account fills in what the day's account says of one feed.
func (p Plan) account(f *Feed) {
	c, _, _ := f.Chemical(site.UsualWater) // the dose counts product by now, so its strength is known
	u := c.Use(Mass(f.Dose.Concentration, p.Treated), quantity.Price{})
	f.Product, f.Volume, f.HasVolume, f.StockUse = quantity.MassRate(u.Product), u.Volume, c.Density > 0, u.Stock
	f.Active, f.HasActive, f.ActiveBasis = quantity.MassRate(u.Active), c.Active.OK, f.Dose.Basis
	if f.ActiveBasis == quantity.AsProduct {
		f.ActiveBasis = f.Stock.Product.Basis
	}
}

// rate is what has to be fed at a flow of water, demand what the day draws.
func (f Feed) rate(q quantity.Flow) quantity.FeedRate {
	return RateFor(f.AsProduct.Concentration, q, f.PerLitre)
}

func (f Feed) demand(d flow.Day) demand {
	return demand{day: d, per: float64(f.AsProduct.Concentration / f.PerLitre)}
}

// gives is what the pump feeds at a flow of water, its knob standing where it can.
func (f Feed) gives(q quantity.Flow) quantity.FeedRate {
	rate := f.rate(q)
	if f.Pump == nil || f.Follows || rate <= 0 {
		return rate
	}
	if c := f.Pump.For(rate); c.Reach == pump.Within && c.Gives > 0 {
		return c.Gives
	}
	return rate
}

// asked is how the tank of a feed is drawn at the rates that the doses ask, planned as the pumps stand, fastest with the
// flow at its upper end, or the pumps feeding as much more than their line as goes unnoticed.
func (f Feed) asked(d flow.Day) demand { return f.drawn(d, Feed.rate) }

func (f Feed) planned(d flow.Day) demand { return f.drawn(d, Feed.gives) }

func (f Feed) fastest(d flow.Day, upper quantity.Fraction) demand {
	return f.drawn(d, func(x Feed, q quantity.Flow) quantity.FeedRate {
		return max(x.gives(q)*(1+Spare), x.gives(q*quantity.Flow(1+upper)))
	})
}

// drawn is the draw on the tank of a feed, by all that draw from it, at rates of the flow's own.
func (f Feed) drawn(d flow.Day, rate func(Feed, quantity.Flow) quantity.FeedRate) demand {
	segments := d.Segments()
	for i, s := range segments {
		if asked := f.together(func(x Feed) quantity.FeedRate { return x.rate(s.Flow) }); asked > 0 {
			segments[i].Flow *= quantity.Flow(f.together(func(x Feed) quantity.FeedRate { return rate(x, s.Flow) }) / asked)
		}
	}
	day, _ := flow.FromSegments(segments) // as many and as long as those of a day that is one already
	per := 0.0
	for _, x := range f.fromTank() {
		per += x.demand(d).per
	}
	return demand{day: day, per: per}
}

// pumped works out rates, pump and range.
func (p Plan) pumped(f *Feed) {
	dose := f.AsProduct.Concentration
	f.Rate, f.Least, f.Peak = f.rate(f.Flow), f.rate(p.Day.Least()), f.rate(p.Day.Peak())
	if f.Pump != nil {
		left := f.Pump.Leave(f.Least, f.Rate, f.Peak)
		f.Pump = &left
	}
	f.Closure = Closure{Asked: Mass(dose, p.Treated)}
	for _, s := range p.Day.Segments() { // by another road: rate × time, segment by segment
		fed := quantity.Volume(float64(f.rate(s.Flow)) / 1000 * float64(s.Length()) * 60)
		f.Closure.Given += Mass(f.PerLitre, fed)
	}
	f.AtPoint = f.Stock.PercentByMass()
	if f.Post > 0 {
		stock := float64(f.Rate) * 60 / 1000 * float64(f.Stock.DensityOfStock()) // kg/h
		f.AtPoint *= quantity.Fraction(stock / (stock + float64(f.Post)*1000*float64(WaterDensity)))
	}
	p.set(f)
	f.Notes = oneCause(f.Notes)
	p.varies(f)
	f.lifeSource = f.keeping()
	p.neatNotes(f)
}

// keeping is how long the stock has to age and how long it keeps, with the source of the latter.
func (f *Feed) keeping() (lifeSource string) {
	f.Ageing = f.FeedInput.Ageing.Or(f.Stock.Ageing())
	f.Life, lifeSource = f.Stock.LifeOf()
	if own := f.FeedInput.Life; own.OK {
		f.Life, lifeSource = own.V, "as stated"
	}
	return lifeSource
}

// neatNotes questions an emulsion fed as it is delivered: its polymer is coiled up in
// oil until water inverts it, so that little of it works.
func (p Plan) neatNotes(f *Feed) {
	if x := f.Stock.Product; f.Stock.Neat() && x.Form == product.Emulsion {
		n := note.New(note.Caution, "emulsion-neat", "%s is an emulsion and is fed neat: without make-up in water its polymer does not unfold, and it clots at the dosing point",
			f.Name).At(f.StockAt)
		if l := x.Dilution; l.High > 0 {
			n = n.Do("make it up with water to %s to %s and let it age %s, or say so where a make-up unit does that", perLitre(l.Low), perLitre(l.High), x.Ageing.V).
				From(source(l.Source, l.Status))
		}
		f.Notes.Add(n)
	}
}

// A flow that swings by no more than its meter is off is not told. One that swings by no more than a dose
// does anyway, between two drawdowns of its pump, is a note (both common practice, no source).
const meterSwing, pumpSwing quantity.Fraction = 0.1, 0.2

// varies says what a setting for the average does to the dose where the flow
// swings within the hours that the plan knows.
func (p Plan) varies(f *Feed) {
	low, high, logged := p.Day.Swing()
	within := func(swing quantity.Fraction) bool { return low*swing > 1 && high < swing }
	if f.Follows || f.Dose.Concentration <= 0 || within(1+meterSwing) {
		return
	}
	how, remedy := "the pump is set", "let the pump follow the flow meter"
	if f.Pump == nil {
		how, remedy = "feeding by hand is", "weigh out by the flow as it stands"
	}
	level := note.Caution
	if within(1 + pumpSwing) {
		level = note.Info
	}
	goes := note.Say("the flow goes from %s to %s", p.Day.Least(), p.Day.Peak())
	if logged {
		goes = note.Say("within an hour the flow goes from %s to %s of that", quantity.Full(low, 2), quantity.Full(high, 3))
	}
	at := func(share quantity.Fraction) quantity.Dose {
		return quantity.Dose{Concentration: quantity.Concentration(quantity.RoundSig(float64(f.Dose.Concentration)/float64(share), 3)), Basis: f.Dose.Basis}
	}
	f.Notes.Add(note.New(level, "flow-swings", "%s: %s for the flow of the hour, but %s; the dose then goes from %s to %s", f.Name, how, goes,
		at(high).Concentration, at(low)).At(p.FlowAt).Do("give the flow by hour, or %s", remedy))
}

// set finds the pump's settings and says what to change where it cannot follow.
func (p Plan) set(f *Feed) {
	if f.Pump == nil {
		return
	}
	s := &Setting{Average: f.Pump.For(f.Rate), Least: f.Pump.For(f.Least), Peak: f.Pump.For(f.Peak)}
	if f.Range.Known {
		s.Range, s.HasRange = [2]pump.Choice{f.Pump.For(f.Range.RateLow), f.Pump.For(f.Range.RateHigh)}, true
	}
	s.InRange = s.Average.Reach == pump.Within && s.Least.Reach == pump.Within && s.Peak.Reach == pump.Within
	s.Remedy = f.Fit(f.Least, f.Peak)
	f.Setting = s
	say := func(l note.List) { f.Notes = append(f.Notes, at(l, f.PumpAt)...) }
	say(f.Pump.Calibration.Notes)
	switch {
	case s.InRange:
		say(s.Average.Notes)
		say(s.Remedy.Notes) // of a turndown that is only assumed
		return
	case len(s.Remedy.Notes) == 0:
		say(s.Peak.Notes)
		say(s.Least.Notes)
	}
	for _, n := range at(s.Remedy.Notes, f.PumpAt) {
		n.Message = f.Name + ": " + n.Message
		if s.Peak.Reach == pump.TooMuch || s.Average.Reach == pump.TooMuch {
			n.Level, n.Code = note.Error, "pump-too-small"
		}
		if i := slices.IndexFunc(f.Heads, func(h quantity.FeedRate) bool { return h >= f.Peak && h/10 <= f.Least }); i >= 0 {
			s.Head = f.Heads[i]
			n = n.Also("; the head of %s that you have would do", quantity.Full(f.Heads[i], 3).In("L/h"))
		}
		f.Notes.Add(n)
	}
}

// Fit tells whether the feed's pump gives its stock between two rates, and if not what to change.
func (f Feed) Fit(least, peak quantity.FeedRate) pump.Remedy {
	return f.Pump.Fit(pump.Need{Least: least, Peak: peak, Stock: f.PerLitre, Neat: f.Stock.strongest(), MadeUp: f.Stock.madeUp()})
}

// oneCause tells in one caution that a pump is too large for a feed, where nobody said how
// little it can feed: that its plate is all there is and its steps are coarse comes of the same.
func oneCause(l note.List) note.List {
	i := slices.IndexFunc(l, func(n note.Note) bool { return n.Code == "turndown-assumed" })
	if i < 0 {
		return l
	}
	follows := func(n note.Note) bool {
		return n.Place == l[i].Place && (n.Code == "knob-coarse" || n.Code == "not-calibrated")
	}
	all := l[i]
	for _, n := range slices.Backward(l) {
		if follows(n) {
			all = all.With(n)
		}
	}
	l[i] = all
	return slices.DeleteFunc(l, follows)
}

// tank says how long the tank lasts: until it is drawn or its content has gone off.
func (p Plan) tank(f *Feed) {
	rate := f.TankRate()
	if f.Tank == nil || rate <= 0 {
		return
	}
	f.Lasts = quantity.Time(float64(f.Tank.Holds()) / (float64(rate) / 1000 * 60))
	f.Drawn = f.Lasts
	keeps := f.Keeps()
	days := math.Floor(float64(keeps) / 24)
	if running := p.Running*quantity.Time(days) + min(p.Running, keeps-quantity.Time(24*days)); !math.IsInf(days, 1) && running < f.Lasts {
		f.Lasts, f.GoesOff = max(running, 0), true
		if f.Stock.Neat() && (f.Shelf.OK || f.FeedInput.Life.OK) {
			f.Notes.Add(note.New(note.Caution, "tank-outlives-goods", "%s: a full %s is %s of use, and it keeps %s", f.Name, f.Tank.Name, quantity.To(calendarTime(f.Drawn, p.Running), 3), keeps).
				At(f.Tank.At).Do("put in no more than %s at a time, and let out what is older", quantity.To(quantity.Volume(float64(rate)/1000*60*float64(running)), 3)))
		}
	}
	f.Empty = f.asked(p.Day).until(p.Start, f.Tank.Stands())
	f.HasEmpty = f.Empty <= p.Start+keeps // else what is left has gone off by then
}

// Keeps is how long what stands in the tank is good from when it may be fed, good from when it was made: a
// stock its life, a neat product the shorter of its shelf life, as the site's price row has it or else usual, and a life that its stock is given.
func (f Feed) Keeps() quantity.Time { return f.good() - f.Ageing }

func (f Feed) good() quantity.Time {
	if !f.Stock.Neat() {
		return f.Life
	}
	keeps := f.FeedInput.Life.Or(quantity.Time(math.Inf(1)))
	switch shelf := f.Stock.Product.Shelf; {
	case f.Shelf.OK:
		keeps = min(keeps, f.Shelf.V)
	case !f.FeedInput.Life.OK && shelf.OK:
		keeps = shelf.V
	}
	return keeps
}

// batches lays out when the stock is made up, or the tank of a neat product filled.
func (p Plan) batches(f *Feed) error {
	if f.asked(p.Day).daily() <= 0 {
		return nil
	}
	if f.upper = p.FlowRange; f.Stock.Neat() {
		p.fills(f)
		return nil
	}
	p.stockNotes(f)
	if f.Tank == nil {
		f.Notes.Add(note.New(note.Info, "no-tank", "%s: no tank is given, so batch times are not worked out", f.Name).At(f.StockAt).
			Do("name the tank of the stock to get make-up times"))
		return nil
	}
	p.reach(f)
	m := p.making(f)
	if f.Batch > 0 && f.Batch > m.most() {
		where, holds := f.Tank, m.tank
		if f.Mix != nil && m.mix < m.tank {
			where, holds = f.Mix, m.mix
		}
		f.Notes.Add(note.Fault("tank-too-small", "%s: a batch of %s does not go into %s, which holds %s usable", f.Name, f.Batch,
			where.Name, holds).At(where.At).
			Do("make batches of at most %s, or use a tank of at least %s", holds, f.Batch/quantity.Volume(where.Usable)))
		return nil
	}
	batches, every, ok := m.schedule()
	if !ok {
		f.Notes.Add(f.impossible(m))
		return nil
	}
	for i := range batches {
		r, err := f.Stock.Recipe(batches[i].Volume)
		if err != nil {
			return note.Of(err, "recipe")[0].At(f.StockAt)
		}
		batches[i].Recipe = r
	}
	slices.SortFunc(batches, func(a, b Batch) int { return cmp.Compare(a.Start, b.Start) })
	f.Batches, f.Every = batches, every
	f.Notes = append(f.Notes, f.tooLittle()...)
	p.reopens(f)
	if v := f.letOut(); v > 0 {
		f.Notes.Add(note.New(note.Caution, "stock-let-out", "%s: what is left of each batch has gone off before it could be drawn: about %s a day, %s of product, is let out", f.Name,
			v, f.LetOut()).At(f.StockAt).Do("make it up more often, or use a stock that keeps longer; the use and cost of the day do not count it"))
	}
	return nil
}

// making is what the schedule of a feed has to keep to.
func (p Plan) making(f *Feed) making {
	fastest, mix := f.fastest(p.Day, f.upper), quantity.Volume(0)
	if f.Mix != nil && !f.Stock.Neat() {
		mix = f.Mix.Holds()
	}
	f.Reserve = quantity.Fraction(fastest.daily()/f.planned(p.Day).daily() - 1)
	return making{demand: fastest, planned: f.planned(p.Day), busy: p.busy(), tank: f.Tank.Holds(), mix: mix, ageing: f.Ageing, life: f.good(), work: f.Work,
		shift: shift{f.From, f.Till}, fixed: f.Batch, runStart: p.Start}
}

// fills lays out when the tank of a neat product is filled, so that it does not run dry at
// the fastest draw allowed for; one that lasts longer than a plan looks ahead is left to what stands in it.
func (p Plan) fills(f *Feed) {
	if f.Tank == nil {
		return
	}
	m := p.making(f)
	m.fixed = 0
	if m.tank > m.demand.daily()*mostDays {
		return
	}
	fills, every, ok := m.schedule()
	if !ok {
		f.Notes.Add(f.runsDry(m))
		return
	}
	planned := f.planned(p.Day)
	for i := range fills {
		b, before, ago := &fills[i], fills[(i+len(fills)-1)%len(fills)], quantity.Time(0)
		if i == 0 {
			ago = quantity.Time(24 * every)
		}
		b.Full = m.tank
		b.Left = m.tank - planned.between(before.Moved-ago, b.Moved)
		b.Volume = b.Full - b.Left
	}
	slices.SortFunc(fills, func(a, b Batch) int { return cmp.Compare(a.Start, b.Start) })
	f.Fills, f.Every = fills, every
}

// runsDry says that a tank of neat product cannot be kept from running dry.
func (f *Feed) runsDry(m making) note.Note {
	n := note.New(note.Caution, "tank-runs-dry", "%s: %s (%s usable, at most %s a day) runs dry before it can be filled again", f.Name, f.Tank.Name, m.tank, m.demand.daily()).
		At(f.Tank.At)
	var do []note.Phrase
	for _, w := range m.ways() {
		switch w.what {
		case "tank":
			do = append(do, note.Say("use a tank of at least %s", quantity.Volume(roundUp(w.value/float64(f.Tank.Usable), 1))))
		case "staff":
			do = append(do, note.Say("have somebody to fill it outside %s", span(m.shift)))
		}
	}
	if do == nil {
		return n.Do("use a larger tank")
	}
	return n.Do("%s", note.AnyOf(do))
}

// letOut is the stock that has to go on an average day.
func (f Feed) letOut() (v quantity.Volume) {
	for _, b := range f.Batches {
		if b.LetOut {
			v += b.Left / quantity.Volume(f.Every)
		}
	}
	return v
}

// LetOut is the product that goes with the stock let out on an average day, which no use and no cost counts.
func (f Feed) LetOut() quantity.Mass { return Mass(f.PerLitre, f.letOut()) }

// busy are the hours in which the stocks of the feeds before are made up, by the same person.
func (p Plan) busy() flow.Hours {
	var out flow.Hours
	for _, f := range p.Feeds {
		for _, b := range f.round() {
			from := quantity.Wrapped(b.Start, 24)
			out = append(out, flow.Span{From: from, To: from + b.Made - b.Start})
		}
	}
	return out
}

// impossible says why no schedule exists and what would make one.
func (f *Feed) impossible(m making) note.Note {
	n := note.Fault("stock-schedule", "%s: no make-up times keep aged stock ready and use it within its life (%s a day, tank %s, ageing %s, life %s, %s)",
		f.Name, m.expected().daily(), m.tank, m.ageing, m.life, f.lifeSource).At(f.StockAt)
	var do []note.Phrase
	for _, w := range m.ways() {
		do = append(do, f.out(w))
		switch w.what {
		case "batch":
			n.Place = f.BatchAt
		case "tank":
			n.Code, n.Place = "tank-too-small", f.Tank.At
		case "life":
			n.Code, n.Place = "stock-expires", f.FeedInput.Life.At
		}
	}
	if len(do) == 0 {
		for _, w := range m.pairs() {
			do = append(do, note.Say("do two things at once: %s, and %s", f.out(w[0]), f.out(w[1])))
		}
	}
	if len(do) == 0 {
		do = append(do, note.Say("use a larger tank, a stock that keeps longer and more hours with somebody there, all of them"))
	}
	return n.Do("%s", note.AnyOf(do))
}

// out says a way out of an impossible schedule.
func (f *Feed) out(w way) note.Phrase {
	switch w.what {
	case "batch":
		return note.Say("leave the batch volume free (it is %s)", f.Batch)
	case "second tank":
		return note.Say("age it in a make-up tank of its own, about %s usable", quantity.Volume(w.value))
	case "tank":
		return note.Say("use a tank of at least %s", quantity.Volume(roundUp(w.value/float64(f.Tank.Usable), 1)))
	case "life":
		return note.Say("use a stock that keeps at least %s", quantity.Time(roundUp(w.value, 0.25)))
	}
	if w.shift.always() {
		return note.Say("have somebody to make it up round the clock")
	}
	return note.Say("have somebody to make it up from %s", span(w.shift))
}

// roundUp rounds up to whole steps; what the search left over is no step.
func roundUp(v, step float64) float64 { return math.Ceil(v/step-1e-6) * step }

func span(s shift) string {
	return flow.Clock(s.From) + " to " + flow.Clock(quantity.Wrapped(s.Till, 24))
}

// hottest is the make-up water from which on polymer breaks (industry fact sheet WSEC-2019-FS-007,
// Polymer/Flocculants 101).
const hottest quantity.Temperature = 40

// stockNotes compares the stock with what the catalogue knows of it.
func (p Plan) stockNotes(f *Feed) {
	limits := f.Stock.Product.Dilution
	if limits.High > 0 && f.PerLitre > limits.High*(1+1e-9) {
		f.Notes.Add(note.New(note.Caution, "stock-too-strong", "%s: a stock of %s is stronger than usual (up to %s)", f.Name,
			perLitre(f.PerLitre), perLitre(limits.High)).
			At(f.StockAt).Do("make it weaker: it may not dissolve or may not pump").From(source(limits.Source, limits.Status)))
	}
	if limits.Low > 0 && f.PerLitre < limits.Low*(1-1e-9) {
		f.Notes.Add(note.New(note.Caution, "stock-too-weak", "%s: a stock of %s is weaker than usual (from %s) and may go off in the tank",
			f.Name, perLitre(f.PerLitre), perLitre(limits.Low)).
			At(f.StockAt).Do("make it stronger, or make it up more often").From(source(limits.Source, limits.Status)))
	}
	if f.MakeWater != nil && *f.MakeWater > hottest && f.Stock.Product.Group == product.Polymer {
		f.Notes.Add(note.New(note.Caution, "make-up-water-hot", "%s: make-up water of %s breaks polymer; keep it below %s", f.Name,
			*f.MakeWater, hottest).At(f.StockAt).From("common practice, no source"))
	}
}
