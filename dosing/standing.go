package dosing

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/pond"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Standing is water that stands and is treated by hand, one pond or tank after the other.
type Standing struct {
	Site string
	// Keeper is who keeps the site's file up to date; empty where not told.
	Keeper string
	Ponds  []PondPlan
	// Sludge is what becomes of what settles out; nil where the site describes no line.
	Sludge *SludgeDay
	// Notes are of the site; what is of one pond stands there.
	Notes note.List
}

// PondPlan is one pond or tank of it.
type PondPlan struct {
	Name string
	// Size is its size as it was written; empty where the measures stand one by one.
	Size string
	// Acres is true where that is in acres or acre-feet.
	Acres  bool
	Volume quantity.Volume
	// Surface and Depth are not known where nothing tells them, Bottom where its sides do not slope.
	Surface quantity.Known[quantity.Area]
	Bottom  quantity.Known[quantity.Area]
	Depth   quantity.Known[quantity.Length]
	Goods   []ByHand
	// LeftOut are the chemicals of the site that do not go into it, since its row names what does.
	LeftOut []string
	// Hardness is that of the raw water, where it is known.
	Hardness quantity.Known[quantity.Concentration]
	// Portions is the number of goes of what is not given ahead, Chosen true where the plan chose it.
	Portions int
	Chosen   bool
	// Better is the number of goes at which the animals bear each, or that come nearest to it, where it is more than was asked for; 0 where none helps.
	Better int
	// Between is from one go to the next, Start the clock time of the first.
	Between, Start quantity.Time
	// Late is true where carbon dioxide is what to fear, of which green water has least in the afternoon; else its pH is, which
	// is lowest at dawn.
	Late bool
	// fixed is true where the site says when, started where that is so of the first go.
	fixed, started bool
	// there is the shift in which the goes are laid, each with the look before it and an hour after it; round the clock where nobody says.
	there shift
	// staff is that shift as the place tells it.
	staff shift
	// stops are the lines of pH at which its animals call for no further go; not known where none are watched.
	stops  quantity.Known[stopLines]
	Goes   []Go
	Review Review
	// Record is the account of the whole treatment, without prices.
	Record day.Record
	// Watch is what to look at in the animals; nil where none are in the water, or nothing goes in that harms as an overdose.
	Watch *caution.Watch
	// Lines are the same of all animals that get its water, whatever goes in; nil where none do.
	Lines *caution.Watch
	Notes note.List
}

// ByHand is one chemical that is given to a pond by hand.
type ByHand struct {
	FeedInput
	// Written is the dose as it was written, empty where it was written in mg/L or was not written.
	Written string
	// AsProduct is the dose counted as product; Use is what the whole dose takes.
	AsProduct quantity.Dose
	Use       day.Use
	Bucket    quantity.Known[quantity.Mass]
	Bag       quantity.Known[quantity.Mass]
	// BucketVolume and BagVolume are those of a liquid that is carried and bought by volume.
	BucketVolume, BagVolume quantity.Known[quantity.Volume]
	// Hardness is what it adds, as CaCO3; zero where it adds none or nobody knows.
	Hardness quantity.Concentration
	// Ahead is true of an alkali that goes in on the day before what takes alkalinity, or days before where it is slow; Portions is the number of its goes.
	Ahead    bool
	Portions int
}

// Slow reports an alkali that dissolves over days, of which nothing is counted before that.
func (h ByHand) Slow() bool {
	_, slow := water.Slowly(h.Stock.Product.Basis)
	return slow
}

// Go is one portion of one chemical.
type Go struct {
	// At is a clock time in hours after midnight of the day of the first portion, below zero on the day before.
	At quantity.Time
	// Feed is its place among the goods; it is number Number of so many portions.
	Feed, Number int
	Product      quantity.Mass
	// Water is what the pond is with it and all before it in; nil where too little is known.
	Water *caution.Chemistry
	// Past is true where that is past the pH at which the animals' card stops: it is given only after an alkali, or not at all.
	Past bool
	// Passes is the line that it is past where that is none of pH; Behind is how long after its time it goes in, behind a coagulant.
	Passes *Passed
	Behind quantity.Time
}

// stopLines are the least and the highest pH that a watch card lets a pond come to, and whose they are.
type stopLines struct {
	low, high quantity.PH
	of        string
}

// passed is the line that water is past which a go brought further that way; zero where it is not.
func (l stopLines) passed(before, after quantity.PH) quantity.PH {
	after = quantity.PH(math.Round(float64(after)*100) / 100) // as it is read
	switch {
	case after < l.low && after < before:
		return l.low
	case after > l.high && after > before:
		return l.high
	}
	return 0
}

// Where a plan is free (all common practice, no source): hours from one portion to the next, the clock time of
// the first, when the pH of green water is lowest, and less between, so that the last is long before the night, in which oxygen is lowest; where carbon dioxide is scarce hours between those in the afternoon, the
// latest of the first and of the last; the most portions that it chooses, as many as a day has hours for, and as many as it chooses where even those are not
// borne. An alkali that dissolves over days goes in so many days before.
const (
	usualBetween    quantity.Time = 4
	usualDawn       quantity.Time = 6
	lateBetween     quantity.Time = 2
	lateFirst       quantity.Time = 14
	lateLast        quantity.Time = 16
	mostPortions                  = 6
	unbornePortions               = 4
	slowAhead                     = 3
)

// IsStanding reports that a site's water is treated where it stands, by hand.
func IsStanding(s site.Site) bool { return s.Place.Passes.V == site.Standing }

// WrittenUS reports a site that does not say in which units answers are wanted, and whose ponds all have sizes in units of the US.
func WrittenUS(s site.Site) bool {
	return !s.Place.Units.OK && len(s.Ponds) > 0 && !slices.ContainsFunc(s.Ponds, func(p site.Pond) bool { return !p.Size.V.InUS() })
}

// Flows is the error of a command that is about water that flows, on a site whose water stands.
func Flows(s site.Site, command, about string) error {
	if !IsStanding(s) {
		return nil
	}
	return note.Fault("water-stands", "the water of this site stands and is treated by hand, and %s is about %s", command, about).At(s.Place.Passes.At).
		Do(`"jarwright plan" says what to dose by hand; for water that flows write "once through" or "recirculating" under water passes`)
}

// PlanStanding works the treatment of all ponds of a site out. Every fault names its cell.
func PlanStanding(s site.Site, g Given, today time.Time) (Standing, error) {
	out := Standing{Site: s.Place.Name.V, Keeper: s.Place.Keeper.V, Notes: ofItself(s)}
	ponds := s.Ponds
	if len(ponds) == 0 && s.Water.System.OK {
		ponds = []site.Pond{{Name: quantity.Some(cmp.Or(s.Place.Name.V, "pond")), Volume: s.Water.System}}
	}
	var errs note.List
	if len(ponds) == 0 {
		errs.Add(note.Fault("no-pond", "the water stands, and no pond or tank is described").At(note.Place{File: s.File, Sheet: "Ponds"}).Do("fill in one row a pond"))
	}
	if len(s.Chemicals) == 0 {
		errs.Add(note.Fault("no-chemical", "no chemical is described").At(note.Place{File: s.File, Sheet: "Chemicals"}).Do("fill in one row a chemical"))
	}
	if errs.Err() != nil {
		return out, errs
	}
	for _, p := range ponds {
		one, err := planPond(s, p, g, today)
		errs.Add(note.Of(err, "pond")...)
		out.Ponds = append(out.Ponds, one)
	}
	if errs.Err() == nil {
		out.Notes.Add(out.short(s)...)
		out.sludge(s, g)
	}
	return out, once(errs).Err()
}

// short says of what the ponds that nothing stops need more than stands in the store; of a store that nobody told of nothing is known.
func (p Standing) short(s site.Site) (out note.List) {
	for i, h := range p.Ponds[0].Goods {
		row, ok := priceRow(s, h.Name)
		need := quantity.Mass(0)
		for _, x := range p.Open() {
			need += x.Goods[i].Use.Product
		}
		if ok && row.OnHand.OK && need > row.OnHand.V*(1+1e-9) {
			out.Add(note.New(note.Caution, "store-short", "all of it takes %s of %s, and %s are on hand: %s are missing", quantity.To(need, 3), h.Name, quantity.To(row.OnHand.V, 3), quantity.To(need-row.OnHand.V, 3)).
				At(row.OnHand.At).Do("fetch them before the first go, or leave a pond for later: goes that stop half way are a dose that nobody chose"))
		}
	}
	return out
}

// sludge works the sludge line of the site out, by what it states: water that stands has no unit from which a day's would follow.
func (p *Standing) sludge(s site.Site, g Given) {
	x := Plan{}.Sludge(s, nil, g.Catalogue)
	if x == nil {
		return
	}
	p.Sludge = x
	x.priced(s)
	p.Notes.Add(x.Notes...)
	if x.Known() && x.Returns && x.Drains() {
		p.Notes.Add(note.New(note.Caution, "sludge-back-to-ponds", "what drains off goes back into water that stands: what it brings of solids%s stays there and adds up from day to day, which is not worked out",
			note.Say("").If(x.Dose > 0, ", and of %s up to %s a day,", cmp.Or(x.Polymer, "polymer"), quantity.To(x.Line.Polymer(), 3))).At(s.Sludge.Returns.At).
			Do("let it out elsewhere, or measure turbidity, total ammonia and pH of the pond before and after"))
	}
}

// priced works out what the polymer of a line costs a day, and says so where no price tells it.
func (x *SludgeDay) priced(s site.Site) {
	if !x.Known() || x.Dose <= 0 || x.Polymer == "" {
		return
	}
	row, ok := priceRow(s, x.Polymer)
	price, err := row.Price.V.PerKg(Stock{Product: x.Product}.liquid(), row.Pack.V)
	if !ok || !row.Price.OK || err != nil {
		x.Notes.Add(note.New(note.Info, "sludge-unpriced", "what %s for the sludge costs is not known, and is in no sum", x.Polymer).At(s.Sludge.Polymer.At).Do("give its price in the site under Prices"))
		return
	}
	x.Costs = quantity.Some(quantity.Money{Amount: price.Amount * float64(x.Line.Polymer()), Currency: price.Currency})
}

// once leaves out what is said again.
func once(l note.List) (out note.List) {
	for _, n := range l {
		if !slices.ContainsFunc(out, func(o note.Note) bool { return o.Message == n.Message && o.Place == n.Place }) {
			out.Add(n)
		}
	}
	return out
}

// Stopped reports that nothing may be dosed in one of the ponds.
func (s Standing) Stopped() bool {
	return slices.ContainsFunc(s.Ponds, func(p PondPlan) bool { return p.Review.Stopped })
}

// Open are the ponds that nothing stops: what is bought, fetched and paid for is theirs.
func (s Standing) Open() []PondPlan {
	return slices.DeleteFunc(slices.Clone(s.Ponds), func(p PondPlan) bool { return p.Review.Stopped })
}

// Stock are the animals of a site as the checks of its ponds see them.
func (s Standing) Stock(of site.Site, today time.Time) []caution.Animal {
	return Running{Site: of, Today: today}.situation(site.UsualWater).Stock
}

// planPond is one pond.
func planPond(s site.Site, row site.Pond, g Given, today time.Time) (PondPlan, error) {
	p := PondPlan{Name: row.Name.V, Hardness: s.Water.Hardness}
	if err := p.measure(row); err != nil {
		return p, err
	}
	s, g, err := p.dosed(s, row, g)
	if err != nil {
		return p, err
	}
	feeds, notes, err := Chemicals(s, g)
	if err != nil {
		return p, err
	}
	run := Running{Site: s, Feeds: feeds, Today: today}
	p.Record = day.Record{Treated: p.Volume, Chemicals: run.Record(site.UsualWater).Chemicals}
	uses := p.Record.Account().Uses
	takes := slices.ContainsFunc(uses, func(u day.Use) bool { return u.Alkalinity > 0 })
	var errs note.List
	for i, f := range feeds {
		h := ByHand{FeedInput: f, Use: uses[i], Bucket: s.Chemicals[i].Bucket, BucketVolume: s.Chemicals[i].BucketVolume, Written: s.Chemicals[i].Written}
		if h.AsProduct, err = product.Convert(f.Dose, f.Stock.Product, quantity.AsProduct); err != nil {
			errs = append(errs, elseAt(note.Of(err, "dose"), f.At)...)
			continue
		}
		h.Hardness, _ = f.Stock.Product.HardnessAdded(f.Dose) // what is not known of it is no figure
		h.Ahead = takes && f.Stock.Product.Group == product.Alkali
		if price, ok := priceRow(s, f.Name); ok {
			h.Bag, h.BagVolume = price.Pack, price.PackVolume
		}
		p.Goods = append(p.Goods, h)
	}
	if errs.Err() != nil {
		return p, errs
	}
	around, animals := caution.WatchOf(run.situation(site.UsualWater))
	harms := func(h ByHand) bool {
		return h.Use.Product > 0 && (caution.Overdoses(h.Stock.Product) || h.Hardness > 0 && around.Hardness.OK)
	}
	if w := around; animals && slices.ContainsFunc(p.Goods, harms) {
		p.stops = quantity.Some(stopLines{w.PHLow, w.PHHigh, w.PHOf})
	}
	p.portioned(row, run)
	run.Portions, run.Better, run.Step, run.Overnight = p.Portions, p.Better, p.step(), p.overnight()
	p.Review = p.reviewed(run)
	if p.Review.Stopped { // no go is given at all
		p.Notes = slices.DeleteFunc(p.Notes, func(n note.Note) bool { return n.Code == "go-past-stop" || n.Code == "portions-chosen" })
	}
	if w, ok := caution.WatchOf(run.situation(site.UsualWater), p.waters()...); ok {
		p.Lines = &w
	}
	if w := p.Lines; w != nil && slices.ContainsFunc(p.Goods, harms) {
		p.Watch = w
		if !p.Review.Stopped {
			p.passLines(s)
		}
		p.Notes = append(p.Notes, w.Untold(p.Review.Notes)...)
		if w.Filters && !p.Review.Stopped { // the lines to watch end in it
			p.Review.Notes = slices.DeleteFunc(slices.Clone(p.Review.Notes), func(n note.Note) bool { return n.Code == caution.CleanNitrifiers })
		}
	}
	day := Plan{Input: Input{Notes: notes}}
	for _, f := range feeds {
		day.Feeds = append(day.Feeds, Feed{FeedInput: f})
	}
	p.Notes = slices.Concat(p.Notes, notes, day.doseSlips(s), day.priceSlips(s), day.judged(s), BenchAge(fedBy(day.Feeds), s, today))
	return p, nil
}

// apart is how far two statements of a pond's water may lie from each other before it is asked, and before one of them is
// wrong (common practice, no source): measures of an earthen pond are seldom nearer.
const asksApart, wrongApart = 1.05, 1.5

// deepest is the mean depth beyond which a pond or tank is asked about: those of fish and shrimp farms are one to three metres deep, and hardly
// any is dosed by hand that is deeper than this (common practice, no source).
const deepest quantity.Length = 5

// measure works out the water of a pond from all that is said of it: of two statements the smaller
// counts, so that no dose is larger than was meant.
func (p *PondPlan) measure(row site.Pond) error {
	size := row.Size.V
	if row.Slope.OK && !size.Slope.OK {
		size.Slope = row.Slope
	}
	by := pond.Shape{Area: row.Area, Length: row.Length, Breadth: row.Breadth, Diameter: row.Diameter, Depth: row.Depth, Other: row.Other}
	if !by.Surface().OK { // a depth or a surface beside a size
		by.Area, by.Length, by.Breadth, by.Diameter = size.Area, size.Length, size.Breadth, size.Diameter
	}
	if by.Slope = size.Slope; row.Slope.OK {
		by.Slope = row.Slope
	}
	if !by.Depth.OK {
		by.Depth, by.Other = size.Depth, size.Other
	}
	type statement struct {
		quantity.Known[quantity.Volume]
		what string
	}
	stated := row.Volume
	if !stated.OK {
		stated = quantity.Known[quantity.Volume]{V: size.Volume.V, OK: size.Volume.OK, At: row.Size.At}
	}
	all := []statement{{row.Volume, "the volume"}, {quantity.Known[quantity.Volume]{V: size.Volume.V, OK: size.Volume.OK, At: row.Size.At}, "the size"}}
	for _, x := range []struct {
		pond.Shape
		at   note.Place
		what string
	}{{size, row.Size.At, "the size"}, {by, cmp.Or(row.Area.At, row.Length.At, row.Depth.At), "surface and depth"}} {
		v, ok, err := x.Measured()
		if err != nil {
			return note.Of(err, "pond")[0].At(x.at)
		}
		all = append(all, statement{quantity.Known[quantity.Volume]{V: v, OK: ok, At: x.at}, x.what})
	}
	all = slices.DeleteFunc(all, func(x statement) bool { return !x.OK })
	if len(all) == 0 {
		return note.Fault("pond-size", "the water in %s is not known", p.Name).At(cmp.Or(row.Size.At, row.At)).
			Do(`give its size, such as "5000 m2 x 1.2 m" or "14 m3"`)
	}
	least, most := all[0], all[0]
	for _, x := range all[1:] {
		if x.V < least.V {
			least = x
		}
		if x.V > most.V {
			most = x
		}
	}
	if far := most.V / least.V; far > asksApart {
		n := note.New(note.Caution, "pond-volumes", "%s: %s makes %s of water, %s %s: the smaller is taken", p.Name, most.what, most.V, least.what, least.V).
			At(most.At).Do("correct one of the two")
		if far > wrongApart {
			n.Level, n.Message = note.Error, note.New(note.Error, "", "%s: %s makes %s of water, %s %s%s", p.Name, most.what, most.V, least.what, least.V,
				quantity.TimesOff(float64(most.V), float64(least.V))).Message
			return n
		}
		p.Notes.Add(n)
	}
	p.Volume, p.Size, p.Acres = least.V, size.Said, size.InAcres()
	by.Volume, size.Volume = stated, quantity.Known[quantity.Volume]{V: p.Volume, OK: true}
	if p.Surface = size.Surface(); !p.Surface.OK {
		p.Surface = by.Surface()
	}
	if p.Bottom = by.Bottom(); !p.Bottom.OK {
		p.Bottom = size.Bottom()
	}
	if p.Depth = by.Deep(); p.Surface.OK && (!p.Depth.OK || p.Bottom.OK) { // of sloping sides less than between the banks
		p.Depth = quantity.Some(quantity.Length(p.Volume.In("m3") / float64(p.Surface.V)))
	}
	if d := p.Depth; d.OK && d.V > deepest {
		p.Notes.Add(note.New(note.Caution, "value-unusual", "%s: a mean depth of %s is more than ponds and tanks have as a rule, %s at most; did you mean %s?", p.Name, quantity.To(d.V, 3), deepest, quantity.To(d.V/10, 3)).
			At(cmp.Or(row.Depth.At, row.Size.At)).ByTen(true).Do("correct it, or leave it if it is so"))
	}
	return nil
}

// dosed gives the site with the doses of a pond: those of its own, and those told for a pond, an area or a bucket. Where its row
// names chemicals no other goes in.
func (p *PondPlan) dosed(s site.Site, row site.Pond, g Given) (site.Site, Given, error) {
	s.Chemicals, g.Bench = slices.Clone(s.Chemicals), maps.Clone(g.Bench)
	var errs note.List
	own := row.Dose.OK || row.Hand.OK
	named, err := goIn(*p, row, s.Chemicals)
	if err != nil {
		return s, g, err
	}
	if own && !row.Chemical.OK && len(s.Chemicals) > 1 {
		errs.Add(note.Fault("pond-chemical", "%s has a dose of its own, and it is not said of which chemical", p.Name).At(row.Dose.At).Do("name the chemical's row beside it"))
	}
	for i := range s.Chemicals {
		c := &s.Chemicals[i]
		if named != nil && !slices.Contains(named, i) {
			if c.Fed.OK || c.Hand.OK || c.Dose.V > 0 || !c.Dose.OK { // a dose of none is left out as it is
				p.LeftOut = append(p.LeftOut, c.Name.V)
			}
			c.Dose, c.Hand, c.Written, c.DoseLow.OK, c.DoseHigh.OK, c.Fed.OK = quantity.Some[quantity.Concentration](0), quantity.Known[pond.Dose]{}, "", false, false, false
			delete(g.Bench, i)
		}
		if own && (named != nil && named[0] == i || named == nil && len(s.Chemicals) == 1) {
			c.Dose, c.Hand, c.Written, c.DoseLow.OK, c.DoseHigh.OK = row.Dose, row.Hand, row.Written, false, false
			delete(g.Bench, i)
		}
		switch {
		case c.Fed.OK:
			errs.Add(note.Fault("fed-standing", "%s is fed a day, and the water of %s stands", c.Name.V, p.Name).At(c.Fed.At).Do("give the dose instead"))
		case c.Hand.OK:
			errs.Add(note.Of(p.byHand(c, g.Catalogue), "dose")...)
		}
	}
	return s, g, errs.Err()
}

// goIn are the places of the chemicals that a pond's row names, of which the first has the row's own dose; nil where it names none, so that
// all go in.
func goIn(p PondPlan, row site.Pond, chemicals []site.Chemical) (out []int, err error) {
	var rows []string
	for _, c := range chemicals {
		rows = append(rows, c.Name.V)
	}
	for _, name := range row.Named(rows) {
		i := slices.IndexFunc(rows, func(n string) bool { return SameName(name, n) })
		if i < 0 {
			return nil, note.Fault("pond-chemical", "%s names %q as what goes in, and Chemicals has no such row", p.Name, name).At(row.Chemical.At).
				Do("write it as Chemicals has it; of several part the names by commas, the one of the pond's own dose first")
		}
		out = append(out, i)
	}
	return out, nil
}

// byHand turns a dose that is told for a pond, an area or a bucket into one of its water.
func (p PondPlan) byHand(c *site.Chemical, catalogue product.Catalogue) error {
	d, err := c.Hand.V.Weighed(c.Scoop, c.Bucket)
	if err != nil {
		return note.Of(err, "dose")[0].At(c.Hand.At)
	}
	if d.Basis != quantity.NotStated {
		if c.Basis.OK && c.Basis.V != d.Basis {
			return note.Fault("basis-twice", "the dose of %s counts %s, its row says %s", c.Name.V, d.Basis, c.Basis.V).At(c.Hand.At).Do("leave one of them out")
		}
		c.Basis = quantity.Known[quantity.Basis]{V: d.Basis, OK: true, At: c.Hand.At}
	}
	goods, _, err := ProductOf(*c, c.Basis.V, catalogue)
	if err != nil {
		return err
	}
	density := Stock{Product: goods}.liquid()
	v, err := d.In(p.Volume, p.Surface, density)
	if err == nil && d.Liquid > 0 { // which is product, whatever else its doses count
		var as quantity.Dose
		as, err = product.Convert(quantity.Dose{Concentration: v, Basis: quantity.AsProduct}, goods, c.Basis.V)
		v = as.Concentration
	}
	if err != nil {
		return note.Of(err, "dose")[0].At(c.Hand.At)
	}
	c.Dose = quantity.Known[quantity.Concentration]{V: v, OK: true, At: c.Hand.At}
	return nil
}

// portioned lays the goes out: as many as the row says, else the fewest at which no animal feels a shock. An
// alkali that goes ahead has as few as that by itself.
func (p *PondPlan) portioned(row site.Pond, run Running) {
	p.Chosen = row.Portions.V == 0
	p.Late = slices.ContainsFunc(caution.Review(run.situation(site.UsualWater)).Notes, func(n note.Note) bool {
		return n.Level >= note.Caution && strings.HasPrefix(n.Code, "co2-")
	})
	p.Between, p.Start = row.Between.Or(usualBetween), row.Start.Or(usualDawn)
	p.fixed, p.started = row.Start.OK || row.Between.OK, row.Start.OK
	p.there = attending(run.Site.Place)
	if run.Site.Place.From.OK && run.Site.Place.Till.OK {
		p.staff = shift{run.Site.Place.From.V, run.Site.Place.Till.V}
	}
	bears, animals := run.situation(site.UsualWater).Bears()
	ahead := p.fewest(!animals, func(n int) bool { p.lay(1, n, run); return p.bearable(bears, true, n, run) })
	main := row.Portions.V
	if main == 0 {
		main = p.fewest(!animals, func(n int) bool { p.lay(n, ahead, run); return p.bearable(bears, false, n, run) })
	}
	for n := main + 1; n <= mostPortions && animals && !p.Chosen && p.Better == 0; n++ {
		if p.lay(n, ahead, run); p.bearable(bears, false, n, run) {
			p.Better = n
		}
	}
	if p.Chosen {
		main = p.mostWithin(main, ahead, run)
	}
	p.lay(main, ahead, run)
	switch {
	case p.bearable(bears, false, main, run):
		p.Better = 0
	case p.Better == 0 && animals && !p.Chosen && main < unbornePortions && p.step().V > bears.Step: // none is borne: the least step
		p.Better = unbornePortions
	}
	if p.Chosen && main > 1 {
		p.Notes.Add(note.New(note.Info, "portions-chosen", "%s: the plan chose %d goes: in fewer the pH would change by more than %s at a time, or carbon dioxide would pass what the animals bear%s",
			p.Name, main, quantity.To(quantity.Number(bears.Step), 1), note.Say("").If(p.Within() < main, ", or less of it could go in before the line at which to stop").
				If(!p.bearable(bears, false, main, run), "; it still does in these, and would in as many as a day has hours for")).
			Do("give the portions in the site under Ponds to have another number"))
	}
	p.unattended(row, run.Site)
	if i := p.firstPast(); i >= 0 {
		g := p.Goes[i]
		line := p.stops.V.passed(p.phBefore(i), g.Water.Closed.PH)
		p.Notes.Add(note.New(note.Caution, "go-past-stop", "%s: with go %d of %d of %s the pH comes to %s, past the %s at which to give no further go (%s)",
			p.Name, g.Number, p.Goods[g.Feed].Portions, p.Goods[g.Feed].Name, quantity.Places(quantity.Number(g.Water.Closed.PH), 2), line, p.stops.V.of).
			Do("stop before it, or bring alkali or new water in first and measure again"))
	}
}

// lookBefore and lookAfter are how long before and after a go somebody has to be there (common practice, no source).
const lookBefore, lookAfter quantity.Time = 0.5, 1

// attending is the shift of a place without the time at its ends in which a go would not be looked at before and after; all of a short one.
func attending(p site.Place) shift {
	if !p.From.OK || !p.Till.OK {
		return shift{}
	}
	s := shift{p.From.V, p.Till.V}
	if s.always() || s.length() < 2*(lookBefore+lookAfter) {
		return s
	}
	return shift{s.From + lookBefore, s.From + s.length() - lookAfter}
}

// staffed reports that somebody is there at a time, and how long after they came.
func (p PondPlan) staffed(t quantity.Time) (since quantity.Time, there bool) {
	since = quantity.Wrapped(t-p.staff.From, 24)
	if since > 24-hair {
		since = 0
	}
	return since, p.staff.always() || since <= p.staff.length()+hair
}

// Attended reports that the place says when somebody is there, and that this is not all the time.
func (p PondPlan) Attended() bool { return !p.staff.always() }

// Before is when the pond is looked at before its first go: half an hour ahead, or as soon as somebody comes.
func (p PondPlan) Before() quantity.Time {
	first := p.Goes[0].At
	since, there := p.staffed(first)
	if !there || p.staff.always() {
		return first - lookBefore
	}
	return first - min(lookBefore, since)
}

// Look is when animals are looked at so long after a go: then, or, where nobody is there any more, before they go home; where that is as
// soon as the look of an hour, when they come again. Of a go that is itself given when nobody should be there the plan asks.
func (p PondPlan) Look(g Go, after quantity.Time) quantity.Time {
	at := g.At + after
	since, there := p.staffed(at)
	if _, given := p.staffed(g.At); there || !given {
		return at
	}
	home := at - since + p.staff.length()
	switch {
	case home > g.At+lookAfter+hair, after <= lookAfter && home > g.At+hair:
		return home
	case after <= lookAfter:
		return at
	}
	return at - since + 24
}

// attended is the first time from t on at which a go is looked after.
func (p PondPlan) attended(t quantity.Time) quantity.Time {
	since := quantity.Wrapped(t-p.there.From, 24)
	if p.there.always() || since <= p.there.length()+hair || since > 24-hair {
		return t
	}
	return t + 24 - since
}

// times are those of so many goes: as the site has them, else each when somebody is there.
func (p PondPlan) times(n int) (out []quantity.Time) {
	for k := range n {
		at := p.Start + quantity.Time(k)*p.Between
		if !p.fixed && k > 0 {
			at = p.attended(out[k-1] + p.Between)
		}
		out = append(out, at)
	}
	return out
}

// unattended asks about goes that the site puts where nobody is there.
func (p *PondPlan) unattended(row site.Pond, s site.Site) {
	staffed := Staffed(s)
	var when []string
	for _, g := range p.Goes {
		at := quantity.Wrapped(g.At, 24)
		if clock := flow.Clock(at); staffed != nil && !staffed.Covers(at) && !slices.Contains(when, clock) {
			when = append(when, clock)
		}
	}
	if when != nil {
		p.Notes.Add(note.New(note.Caution, "go-unstaffed", "%s: goes at %s are given when nobody is there (%s)", p.Name, strings.Join(when, ", "), staffed.String()).
			At(cmp.Or(row.Between.At, row.Start.At)).Do(`change "first portion" or "hours between" under Ponds, or leave both empty: the plan then keeps to the hours in which somebody is there`))
	}
}

// mostWithin is the number of goes, from n on, by which most goes in before the line at which to stop, where not all of it does.
func (p *PondPlan) mostWithin(n, ahead int, run Running) int {
	p.lay(n, ahead, run)
	best, share := n, float64(p.Within())/float64(n)
	for n++; n <= mostPortions && share < 1; n++ {
		p.lay(n, ahead, run)
		if s := float64(p.Within()) / float64(n); s > share {
			best, share = n, s
		}
	}
	return best
}

// Within is how many goes of what is not given ahead go in before the pH is past the line at which to stop: all, where it never is.
func (p PondPlan) Within() int {
	within := p.Portions
	for _, g := range p.Goes {
		switch {
		case g.Past && p.Goods[g.Feed].Ahead:
			return 0
		case g.Past:
			within = min(within, g.Number-1)
		}
	}
	return within
}

// WithinOf is that of one of the goods: all goes of a salt, whose go hangs on no reading.
func (p PondPlan) WithinOf(feed int) int {
	for i, g := range p.Goes {
		if _, held := p.leads(i); g.Feed == feed && held {
			return p.Within()
		}
	}
	return p.Goods[feed].Portions
}

// firstPast is the first go that itself brings the pond past a line; -1 where none does.
func (p PondPlan) firstPast() int {
	for i, g := range p.Goes {
		if g.Past && p.moves(i) {
			return i
		}
	}
	return -1
}

// moves reports a go of a chemical that moves pH or alkalinity.
func (p PondPlan) moves(i int) bool { return p.Goods[p.Goes[i].Feed].Use.Alkalinity != 0 }

// leads is the go whose condition a go shares: itself where it moves pH or alkalinity; of what else harms as an overdose, such as the polymer
// that binds a coagulant's floc, the last of its time that does. False of a salt, which waits for nothing.
func (p PondPlan) leads(i int) (lead int, ok bool) {
	if p.moves(i) {
		return i, true
	}
	for k, g := range p.Goes {
		if g.At == p.Goes[i].At && p.moves(k) && caution.Overdoses(p.Goods[p.Goes[i].Feed].Stock.Product) {
			lead, ok = k, true
		}
	}
	return lead, ok
}

// fewest is the least number of goes that is bearable, one where nothing tells or where any is.
func (p *PondPlan) fewest(any bool, bearable func(n int) bool) int {
	if any {
		return 1
	}
	for n := 1; n <= mostPortions; n++ {
		if bearable(n) {
			return n
		}
		if p.step() == (quantity.Known[quantity.PH]{}) { // nothing tells what more would do
			return 1
		}
	}
	return unbornePortions
}

// bearable reports that no portion by itself does more than animals bear, of what goes ahead or of the rest.
func (p PondPlan) bearable(b caution.Bears, ahead bool, n int, run Running) bool {
	if p.stepOf(func(h ByHand) bool { return h.Ahead == ahead }).V > b.Step {
		return false
	}
	one := run.situation(site.UsualWater)
	for i := range one.Doses {
		one.Doses[i].Dose.Concentration /= quantity.Concentration(n)
		if p.Goods[i].Ahead != ahead {
			one.Doses[i].Dose.Concentration = 0
		}
	}
	c := caution.WaterOf(one)
	return c == nil || !c.HasPH || !b.CO2.OK || c.Closed.CO2 <= max(b.CO2.V, c.Before.CO2)
}

// lay parts the doses into so many goes: alkali that something else takes on the day before, then
// at each time what sets the pH, coagulants, and what binds their floc.
func (p *PondPlan) lay(n, ahead int, run Running) {
	p.Portions, p.Goes = n, nil
	if p.Late && !p.fixed {
		p.Between = lateBetween
		p.Start = min(lateFirst, lateLast-quantity.Time(n-1)*p.Between)
	}
	if !p.started {
		p.Start = p.attended(p.Start)
	}
	if !p.Late && !p.fixed {
		p.Between = usualBetween
		if last := p.Start + quantity.Time(n-1)*p.Between; n > 1 && last > lateLast {
			p.Between = max(lateBetween, quantity.Time(math.Floor(2*float64(lateLast-p.Start)/float64(n-1))/2))
		}
	}
	for i := range p.Goods {
		h := &p.Goods[i]
		if h.Portions = n; h.Ahead {
			h.Portions = ahead
		}
		times := p.times(h.Portions)
		for k, at := range times {
			if h.Ahead {
				at -= 24 * quantity.Time(math.Ceil(float64(times[len(times)-1]-p.Start+p.Between)/24)) // all of it before the first of the other
			}
			if h.Ahead && h.Slow() {
				at -= 24 * (slowAhead - 1)
			}
			if h.Use.Product > 0 {
				p.Goes = append(p.Goes, Go{At: at, Feed: i, Number: k + 1, Product: h.Use.Product / quantity.Mass(h.Portions)})
			}
		}
	}
	turn := func(g Go) int { return Feed{FeedInput: p.Goods[g.Feed].FeedInput}.turn() }
	slices.SortStableFunc(p.Goes, func(a, b Go) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(turn(a), turn(b))) })
	p.behind()
	p.follow(run)
}

// follow works the water out after each go, as if no gas passed between them, which takes the pH lowest and leaves the most carbon
// dioxide; only in the night after what went ahead, an alkali, the pond comes back to the carbon dioxide that it had.
func (p *PondPlan) follow(run Running) {
	s := run.situation(site.UsualWater)
	doses := s.Doses
	s.Doses = slices.Clone(doses)
	clear := func() {
		for i := range s.Doses {
			s.Doses[i].Dose.Concentration = 0
		}
	}
	clear()
	s.Water.JarPH, s.Water.JarAlkalinityUsed = quantity.Known[quantity.PH]{}, quantity.Known[quantity.Alkalinity]{} // of the whole dose
	for i, g := range p.Goes {
		if w := p.before(i); w != nil && w.HasPH {
			s.Water.PH, s.Water.Alkalinity, s.Water.CO2 = quantity.Known[quantity.PH]{}, quantity.Some(w.AlkalinityLeft), quantity.Some(w.Before.CO2)
			clear()
		}
		s.Doses[g.Feed].Dose.Concentration += doses[g.Feed].Dose.Concentration / quantity.Concentration(p.Goods[g.Feed].Portions)
		p.Goes[i].Water = caution.WaterOf(s)
		if w := p.Goes[i].Water; p.stops.OK && w != nil && w.HasPH && p.moves(i) {
			p.Goes[i].Past = p.stops.V.passed(p.phBefore(i), w.Closed.PH) != 0
		}
	}
	for i := range p.Goes {
		if lead, ok := p.leads(i); ok {
			p.Goes[i].Past = p.Goes[lead].Past
		}
	}
}

// expected is what the pond should read before a go, by the plan. False of the goes of the first time, of what moves neither pH nor alkalinity,
// and where too little is known. Goes of one time have one reading, before all of them.
func (p PondPlan) expected(i int) (ph quantity.Known[quantity.PH], alk quantity.Alkalinity, ok bool) {
	first := slices.IndexFunc(p.Goes, func(g Go) bool { return g.At == p.Goes[i].At })
	if first == 0 || !p.moves(i) || p.Goes[i].Water == nil || p.Goes[first].Water == nil || p.Goes[first-1].Water == nil {
		return ph, 0, false
	}
	alk = max(0, p.Goes[first-1].Water.AlkalinityLeft)
	return quantity.Known[quantity.PH]{V: p.phBefore(first), OK: p.Goes[i].Water.HasPH}, alk, true
}

// Gate is what a pond has to read before a go.
type Gate struct {
	// Least and Most bound the pH: the least of a go that lowers it, the most of one that raises it.
	Least, Most quantity.Known[quantity.PH]
	// Alkalinity is the least; not known of a go that takes none.
	Alkalinity quantity.Known[quantity.Alkalinity]
}

// PHDoubt is what a computed pH is good to, as the cautions tell it: a reading that near to the plan is as the plan has it.
const PHDoubt quantity.PH = 0.1

// AlkalinityDoubt is what a titrated alkalinity is good to: a drop or two of a kit in a pond's water (common practice, no source). Without
// it half of all readings of a pond that is just as the plan has it would hold up the next go.
const AlkalinityDoubt quantity.Fraction = 0.05

// GateOf is what has to hold before a go: pH and alkalinity of the plan within what they are good to, and never so far that the go would bring
// the pond past a line at which its animals call for no further go, or leave less alkalinity than it takes. False where a go hangs on no reading.
func (p PondPlan) GateOf(i int) (out Gate, ok bool) {
	lead, ok := p.leads(i)
	if !ok {
		return out, false
	}
	i = lead
	ph, alk, ok := p.expected(i)
	if !ok {
		return out, false
	}
	takes := p.Goods[p.Goes[i].Feed].Use.Alkalinity > 0
	if takes {
		twice := 2 * (alk - p.Goes[i].Water.AlkalinityLeft)
		out.Alkalinity = quantity.Some(max(alk*quantity.Alkalinity(1-AlkalinityDoubt), min(alk, twice)))
	}
	if !ph.OK {
		return out, takes
	}
	hundredth := func(round func(float64) float64, v quantity.PH) quantity.PH {
		return quantity.PH(round(float64(v)*100-math.Copysign(1e-6, float64(v))) / 100)
	}
	change := p.Goes[i].Water.Closed.PH - ph.V
	if change < 0 {
		least := ph.V - PHDoubt
		if p.stops.OK {
			least = max(least, min(ph.V, hundredth(math.Ceil, p.stops.V.low-change)))
		}
		out.Least = quantity.Some(least)
		return out, true
	}
	most := ph.V + PHDoubt
	if p.stops.OK {
		most = min(most, max(ph.V, hundredth(math.Floor, p.stops.V.high-change)))
	}
	out.Most = quantity.Some(most)
	return out, true
}

// phBefore is the pH that a go meets.
func (p PondPlan) phBefore(i int) quantity.PH {
	if i > 0 && p.before(i) == nil {
		return p.Goes[i-1].Water.Closed.PH
	}
	return p.Goes[i].Water.Before.PH
}

// waters are those after each go.
func (p PondPlan) waters() (out []*caution.Chemistry) {
	for _, g := range p.Goes {
		out = append(out, g.Water)
	}
	return out
}

// before is the water of the last go of what went ahead, where a go is the first of the rest; nil for any other.
func (p PondPlan) before(i int) *caution.Chemistry {
	if i == 0 || p.Goods[p.Goes[i].Feed].Ahead || !p.Goods[p.Goes[i-1].Feed].Ahead {
		return nil
	}
	return p.Goes[i-1].Water
}

// ComesBack names what goes in before a night over which the pond comes back to the carbon dioxide that it had; empty where none is counted on.
func (p PondPlan) ComesBack() string {
	for i := range p.Goes {
		if w := p.before(i); w != nil && w.HasPH {
			return p.Goods[p.Goes[i-1].Feed].Name
		}
	}
	return ""
}

// overnight is the carbonate that the pond has more after the night than at its end of the day before.
func (p PondPlan) overnight() quantity.Molarity {
	for i, g := range p.Goes {
		if w := p.before(i); w != nil && w.HasPH && g.Water != nil && g.Water.HasPH {
			return g.Water.Before.Carbonate - w.Closed.Carbonate
		}
	}
	return 0
}

// step is the largest change of pH at one go, to the hundredths in which it is told and held against what animals bear; not known where the water is not.
func (p PondPlan) step() quantity.Known[quantity.PH] {
	return p.stepOf(func(ByHand) bool { return true })
}

func (p PondPlan) stepOf(these func(ByHand) bool) (most quantity.Known[quantity.PH]) {
	for i, g := range p.Goes {
		if g.Water == nil || !g.Water.HasPH {
			return quantity.Known[quantity.PH]{}
		}
		if these(p.Goods[g.Feed]) {
			most = quantity.Some(max(most.V, quantity.PH(math.Round(math.Abs(float64(g.Water.Closed.PH-p.phBefore(i)))*100)/100)))
		}
	}
	return most
}

// Harder is the hardness of the raw water with what all goods add.
func (p PondPlan) Harder() quantity.Concentration {
	sum := p.Hardness.V
	for _, h := range p.Goods {
		sum += h.Hardness
	}
	return sum
}

// reviewed is what the cautions say of all doses together, and of what goes ahead while it is alone in the water.
func (p PondPlan) reviewed(run Running) Review {
	r := run.Review()
	if !slices.ContainsFunc(p.Goods, func(h ByHand) bool { return h.Ahead && h.Use.Product > 0 }) {
		return r
	}
	alone := run
	alone.Portions, alone.Better, alone.Overnight, alone.Step = 0, 0, 0, p.stepOf(func(h ByHand) bool { return h.Ahead })
	alone.Feeds = slices.Clone(run.Feeds)
	var names []string
	for i, h := range p.Goods {
		if f := &alone.Feeds[i]; h.Ahead {
			f.Balance = nil
			names = append(names, h.Name)
		} else {
			f.Dose.Concentration, f.Clear, f.Storm = 0, quantity.Known[quantity.Concentration]{}, quantity.Known[quantity.Concentration]{}
		}
	}
	first := alone.Review()
	for _, n := range first.Notes {
		if n.Level >= note.Caution && ofPHOrAmmonia(n) && !slices.ContainsFunc(r.Notes, func(x note.Note) bool { return x.Code == n.Code }) {
			if strings.HasPrefix(n.Code, "nh3-") { // the alkali is the plan's own: "keep alkali away" would be against it
				n = n.Do("stop feeding, change part of the water first, and give less %s, or bicarbonate, which raises the pH less", strings.Join(names, " and "))
			}
			r.Notes = append(r.Notes, n.After("%s"+aheadAlone, strings.Join(names, " and ")))
		}
	}
	r.Stopped = r.Stopped || first.Stopped
	for _, t := range first.Taken {
		if !slices.ContainsFunc(r.Taken, func(x caution.Taken) bool { return x.Stop.Code == t.Stop.Code }) {
			r.Taken = append(r.Taken, t)
		}
	}
	r.Notes = caution.WorstFirst(needed(r.Notes, first.Taken))
	return r
}

// aheadAlone is how a note begins, behind the names, that is of what goes ahead while it is alone in the water.
const aheadAlone = " alone, before the rest goes in: "

// InPassing reports a note of a pond that is over once all of its goes are in.
func InPassing(n note.Note) bool { return strings.Contains(n.Message, aheadAlone) }

// ofPHOrAmmonia reports a note of what an alkali does by itself.
func ofPHOrAmmonia(n note.Note) bool {
	return strings.HasPrefix(n.Code, "ph-") || strings.HasPrefix(n.Code, "nh3-")
}
