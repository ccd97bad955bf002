package dosing

import (
	"slices"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Given is what the site only points at: doses from bench sheets, the meter log.
type Given struct {
	Catalogue product.Catalogue
	// Bench has the dose of each chemical that names a bench sheet, by its index.
	Bench map[int]BenchDose
	// Jars has the jars of each chemical that names a bench sheet, by its index.
	Jars map[int]*Jars
	Log  *flow.Log
	// Class is the water of the day that is planned, where a calendar says which; empty is the usual one.
	Class string
	// Usual is the water of the usual day, which counts for what is fed a day, where another is planned.
	Usual quantity.Known[quantity.Volume]
	// CleansUp is true of a day on which the calendar lets no ordinary water through and a clean-up begins.
	CleansUp bool
	// Rest is what the calendar closes beside the day that is planned.
	Rest Rest
	// Before is what the day before the one that is planned leaves, where one of the two is not as every day.
	Before *Evening
	// Next is what the day after it needs, where one of the two is not as every day.
	Next *Morning
	// Ahead is what comes into the bin on the n-th day after it, false where nobody knows that; nil where all days are as this one.
	Ahead func(n int) (solids.Coming, bool)
}

// BenchDose is a dose that a jar test gave.
type BenchDose struct {
	Dose      quantity.Dose
	Low, High quantity.Concentration // zero where open
	// Quantile gives the lowest effective dose that is exceeded with chance 1 − p,
	// false where it lies beyond the tested doses; nil where it is not known.
	Quantile func(p float64) (quantity.Concentration, bool)
	Source   string
	// Past is the dose by raw water where past tests gave it; nil else.
	Past *PastTests
	// Jars are those that it was found by; nil where they tell nothing at it.
	Jars  *Jars
	Notes note.List
}

// FromSite turns a site into the input of a plan. Every fault names its cell.
func FromSite(s site.Site, g Given) (Input, error) {
	if err := Flows(s, "this", "water that flows"); err != nil {
		return Input{Notes: ofItself(s)}, err
	}
	in := Input{Site: s.Place.Name.V, Keeper: s.Place.Keeper.V, Stream: s.Place.Stream, Start: StartOf(s.Flow), Staffed: Staffed(s), Rest: g.Rest, Before: g.Before, Next: g.Next, Ahead: g.Ahead}
	in.Notes = ofItself(s)
	var errs note.List
	if f := s.Flow; !f.Start.OK && StartOf(f) > 0 {
		in.Notes.Add(note.New(note.Info, "start-assumed", "the run of %s is taken to start at %s: nobody says when it does", f.Hours.V, flow.Clock(StartOf(f))).
			At(f.Start.At).Do("give the time at which the run starts"))
	}
	errs = append(errs, halfGiven(s.Place.From, s.Place.Till)...)
	errs = append(errs, Backwards(s)...)
	day, source, err := DayOf(s.Flow, g.Log)
	errs = append(errs, note.Of(err, "flow")...)
	if s.Held != nil {
		source += ", in the hours that hold the loop"
	}
	in.Day, in.FlowSource, in.FlowAt, in.FlowRange = day, source, s.Flow.Average.At, s.Flow.Range.V
	if g.Log != nil {
		for _, n := range g.Log.Notes {
			if n.Level != note.Error {
				in.Notes.Add(n)
			}
		}
	}
	if v := s.Water.System; s.Place.Passes.V == site.Batch && v.OK && v.V > 0 && day.Volume() > v.V*1.01 {
		in.Notes.Add(note.New(note.Caution, "batch-many-passes", "the day sends the batch of %s through the unit %s times: what is dosed adds up in it", v.V,
			quantity.Full(quantity.Number(day.Volume()/v.V), 2)).At(v.At).Do(`"jarwright clarify" follows a tank through all its passes`))
	}
	if len(s.Chemicals) == 0 {
		errs.Add(note.Fault("no-chemical", "no chemical is described").
			At(note.Place{File: s.File, Sheet: "Chemicals"}).Do("fill in one row a chemical"))
	}
	feeds, notes, err := gathered(s, g, feedOf)
	errs = append(errs, note.Of(err, "chemical")...)
	for i := range feeds {
		feeds[i].onDay(g.Class)
	}
	balanceOn(feeds, g.Class)
	in.Feeds, in.Notes = feeds, Better(in.Notes, notes)
	return in, errs.Err()
}

// Better joins what was asked of single values with what is known of the product: of
// one cell, what the product's own figures say goes first.
func Better(asks, known note.List) note.List {
	same := func(n note.Note) bool {
		return n.Code == "value-unusual" && slices.ContainsFunc(known, func(k note.Note) bool { return AsksFigure(k) && k.Place == n.Place })
	}
	return append(slices.DeleteFunc(slices.Clone(asks), same), known...)
}

// usualStart is when a run of some hours a day begins where nobody said when (common
// practice, no source).
const usualStart = 6

// StartOf gives the clock time at which the run of a site starts: where nobody says it, when somebody comes.
func StartOf(f site.Flow) quantity.Time {
	if !f.Start.OK && f.Hours.OK && f.Hours.V < 24 {
		return f.Opens.Or(usualStart)
	}
	return f.Start.V
}

// HoursOf gives the operating hours of a site.
func HoursOf(f site.Flow) flow.Hours {
	if !f.Hours.OK || f.Hours.V >= 24 {
		return nil
	}
	if f.Runs != nil {
		return *f.Runs
	}
	from := StartOf(f)
	if from >= 24 {
		from -= 24
	}
	return clocked(from, from+f.Hours.V)
}

// clocked gives the hours from a clock time on, which may go over midnight.
func clocked(from, to quantity.Time) flow.Hours {
	if to <= 24 {
		return flow.Hours{{From: from, To: to}}
	}
	return flow.Hours{{From: 0, To: to - 24}, {From: from, To: 24}}
}

// DayOf gives the day's flow of a site and says where it comes from: the meter
// log if there is one, else the hours, else the average.
func DayOf(f site.Flow, log *flow.Log) (flow.Day, string, error) {
	hours := HoursOf(f)
	var day flow.Day
	var err error
	source := ""
	switch {
	case log != nil:
		source = "average day of the meter log"
		day, err = log.Day(hours)
	case f.HasHours():
		source = "flow by hour"
		var steps []flow.Step
		for h, v := range f.ByHour {
			if v.OK {
				steps = append(steps, flow.Step{From: quantity.Time(h), Flow: v.V, At: v.At})
			}
		}
		day, err = flow.ByHour(steps, hours)
	case f.Average.OK:
		source = "average flow as stated"
		day, err = flow.Constant(f.Average.V, hours)
	default:
		return day, "", f.Average.Missing("the flow", `give an average flow, such as "3.6 m3/h", the flow by hour, or a meter log`)
	}
	if err == nil && day.Volume() > 0 { // no plant has less than an average that is refused
		err = new(site.Site).Put("Flow", 0, "average flow", quantity.Brief(float64(day.Average()), 6)+" m3/h", "", f.Average.At)
	}
	if err != nil {
		return day, source, elseAt(note.Of(err, "flow"), f.Average.At)
	}
	wrong := func(end quantity.Known[quantity.Flow], is string) error {
		return note.Fault("flow-range", is+" the average of %s%s", end.V, day.Average(), quantity.TimesOff(float64(end.V), float64(day.Average()))).
			At(end.At).Do("correct one of the two")
	}
	switch {
	case f.Least.OK && f.Least.V > day.Average():
		return day, source, wrong(f.Least, "least flow %s is above")
	case f.Peak.OK && f.Peak.V < day.Average():
		return day, source, wrong(f.Peak, "peak flow %s is below")
	}
	return day.WithRange(f.Least.V, f.Peak.V), source, nil
}

// feedOf gathers what belongs to one chemical, with its stock's tanks and its pump.
func feedOf(s site.Site, c site.Chemical, index int, g Given) (FeedInput, note.List, error) {
	f, notes, err := ChemicalOf(s, c, index, g)
	errs := note.Of(err, "chemical")
	if k, ok := s.Stock(c.Stock.V); c.Stock.OK && ok {
		errs = append(errs, f.stocked(s, k)...)
	}
	if r := PriceRow(&s, f.Name, g.Catalogue); r != nil {
		f.Shelf = r.Shelf
	}
	errs = append(errs, note.Of(f.pumpedBy(s, c), "pump")...)
	if metal := f.Stock.Product.Metal(); c.HalfLife.OK && metal != "" {
		notes.Add(note.New(note.Caution, "half-life-of-metal", "the half-life in the water of %s counts for nothing: %s settles or stays, it does not break down", f.Name, metal).
			At(c.HalfLife.At).Do("delete it, or give it to the polymer that it was measured on"))
	}
	return f, notes, errs.Err()
}

// pumpedBy takes over the pump that a chemical's row names.
func (f *FeedInput) pumpedBy(s site.Site, c site.Chemical) error {
	pp, ok := s.Pump(c.Pump.V)
	if !c.Pump.OK || !ok {
		return nil
	}
	made, err := PumpOf(pp, s.Readings(pp.Name.V))
	f.Pump, f.PumpAt, f.Follows = f.pumpFor(made), pp.Max.At, pp.Signal.V
	f.Heads = heads(pp.Heads.V)
	return err
}

// pumpFor is a pump as it feeds this dose, nil where there is none: what past tests tell is on the safe side, and no setting feeds less.
func (f FeedInput) pumpFor(p *pump.Pump) *pump.Pump {
	if p == nil || f.Past == nil {
		return p
	}
	own := *p
	own.NoLess = true
	return &own
}

// WithPumps gives feeds the pumps that a site's rows name, so that their doses are judged as the plan of a day judges them. A pump that cannot
// be read is left out: the plan of the day says so.
func WithPumps(s site.Site, feeds []FeedInput) []FeedInput {
	feeds = slices.Clone(feeds)
	for i := range feeds {
		for _, c := range s.Chemicals {
			if c.Name.V != feeds[i].Name {
				continue
			}
			if err := feeds[i].pumpedBy(s, c); err != nil {
				feeds[i].Pump = nil
			}
		}
	}
	return feeds
}

// stocked takes over what a row of Stocks says.
func (f *FeedInput) stocked(s site.Site, k site.Stock) note.List {
	f.Ageing, f.Life = k.Ageing, k.Life
	f.Batch, f.BatchAt = k.Batch.V, k.Batch.At
	f.Work = k.Mixing.Or(0.25)
	f.From, f.Till = k.From.V, k.Till.V
	if !k.From.OK && !k.Till.OK {
		f.From, f.Till = s.Place.From.V, s.Place.Till.V
	}
	if k.WaterMax.OK {
		f.MakeWater = &k.WaterMax.V
	}
	if t, ok := s.Tank(k.Tank.V); k.Tank.OK && ok {
		f.Tank = vessel(t)
	}
	if t, ok := s.Tank(k.MixTank.V); k.MixTank.OK && ok {
		f.Mix = vessel(t)
	}
	return halfGiven(k.From, k.Till)
}

// Backwards are the faults of rules of the calendar that end before they begin.
func Backwards(s site.Site) (out note.List) {
	for _, r := range s.Calendar {
		if from, till := r.From.V, r.Till.V; r.From.OK && r.Till.OK && till.Before(from) {
			out.Add(note.Fault("days-backwards", "the rule ends on %s, before it begins on %s", till.Format("2006-01-02"), from.Format("2006-01-02")).At(r.Till.At).
				Do("correct one of the days"))
		}
	}
	return out
}

// halfGiven is the fault of a time with one end.
func halfGiven(from, till quantity.Known[quantity.Time]) note.List {
	missing := from
	if from.OK {
		missing = till
	}
	if from.OK == till.OK {
		return nil
	}
	return note.List{missing.Missing("the other end of the staffed time", "give both times, or none")}
}

func vessel(t site.Tank) *Vessel {
	return &Vessel{Name: t.Name.V, Volume: t.Volume.V, Usable: t.Usable.Or(0.9), Now: t.Now, At: t.Volume.At}
}

// at gives notes that place, elseAt only those that have none of their own.
func at(l note.List, p note.Place) note.List {
	out := make(note.List, 0, len(l))
	for _, n := range l {
		out.Add(n.At(p))
	}
	return out
}

func elseAt(l note.List, p note.Place) note.List {
	for i := range l {
		if l[i].Place == (note.Place{}) {
			l[i].Place = p
		}
	}
	return l
}
