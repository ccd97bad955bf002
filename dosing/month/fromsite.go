package month

import (
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/doubt"
	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Options are what a site does not say by itself.
type Options struct {
	// Given is the catalogue and what the site's files hold.
	Given dosing.Given
	// Month to plan; zero takes the month of the site's date.
	Month     Month
	OrderFrom Date
	// Today decides whether an accepted stop still counts; zero takes any.
	Today time.Time
	Draws int
	Seed  uint64
}

// FromSite makes the plan of a month from a site. Faults are reported together;
// notes tell what was taken for granted.
func FromSite(s site.Site, o Options) (Plan, note.List, error) {
	a := adapter{site: s, opt: o}
	p := a.plan()
	return p, a.notes, a.faults.Err()
}

type adapter struct {
	// silent is true where only the figures are wanted, and none of the notes that days of their own would have to be planned for.
	silent bool
	site   site.Site
	opt    Options
	day    flow.Day // that is planned
	feeds  []dosing.FeedInput
	notes  note.List
	faults note.List
}

func (a *adapter) plan() Plan {
	p := Plan{OrderFrom: a.opt.OrderFrom, MoneyAt: MoneyAt(a.site), Doubt: Doubt{Draws: a.opt.Draws, Seed: a.opt.Seed}}
	m := ThatOf(a.site, a.opt.Month)
	if m == (Month{}) {
		a.notes.Add(dosing.Asked(a.site, a.opt.Given)...)
		a.faults.Add(a.site.Place.Date.Missing("the month", `give a day of it as date in the site under Place, or use --date 2026-03`))
		return p
	}
	seasons := a.site.Seasons
	s, given, err := dosing.InSeason(a.site, a.opt.Given, m.Month)
	a.faults = append(a.faults, note.Of(err, "season")...)
	a.site, a.opt.Given = s, given
	a.notes.Add(dosing.Asked(s, given)...)
	p.Calendar.Month, p.Varies = m, len(seasons) > 0
	a.flow(&p)
	a.calendar(&p)
	p.Varies = p.Varies || p.Calendar.Season != 0
	a.classes(&p)
	a.chemicals(&p)
	a.otherPrices(&p)
	if len(a.faults) == 0 && !dosing.CleansTank(s) {
		a.cautions(&p)
	}
	if len(a.faults) == 0 {
		a.cleanUps(&p)
	}
	if len(a.faults) == 0 && !dosing.CleansTank(s) {
		a.usualDay(&p)
	}
	return p
}

// usualDay takes from the plan of the usual day what the month needs of it: whether its pumps reach, and the sludge line.
func (a *adapter) usualDay(p *Plan) {
	in, err := dosing.FromSite(a.site, a.opt.Given)
	var one dosing.Plan
	if err == nil {
		one, err = dosing.Make(in)
	}
	if err != nil {
		a.unplanned(p, note.Of(err, "plan"))
		return
	}
	a.unplanned(p, one.Impossible())
	if p.OutOfReach = one.OutOfReach(); p.OutOfReach {
		for _, f := range one.Feeds {
			if f.Setting != nil && !f.Setting.Stands() {
				a.notes.Add(note.New(note.Caution, "pump-out-of-reach", "%s cannot feed the %s of %s that the usual day asks for: the month is that of a dose that this pump does not give",
					f.PumpName, f.Rate, f.Name).At(f.PumpAt).Do("`plan` says which pump or stock would do"))
			}
		}
	}
	if !a.silent {
		a.lateDays(*p)
	}
	for _, class := range []string{site.ClearWater, site.StormWater} {
		if !p.counts(class) {
			continue
		}
		for _, f := range one.OutOfReachIn(class) {
			p.OutOfReach = true
			a.notes.Add(note.New(note.Caution, "pump-out-of-reach", "%s cannot feed the %s of %s that %s water asks for: those days are counted at a dose that this pump does not give",
				f.PumpName, f.DoseIn(class).Concentration, f.Name, class).At(f.PumpAt).Do("use a pump or a stock that reaches it, or hold the flow down on such days"))
		}
	}
	for _, f := range one.Feeds {
		if c := slices.IndexFunc(p.Chemicals, func(c Chemical) bool { return c.Name == f.Name }); c >= 0 {
			p.Chemicals[c].LetOut = f.LetOut()
		}
	}
	if a.site.Sludge.Told() {
		a.sludge(p, one)
	}
}

// unplanned says that no plan can be made of the usual day, and why: what the month comes to is then worked out for days that nobody can run.
func (a *adapter) unplanned(p *Plan, why note.List) {
	p.Impossible = why
	for _, n := range why {
		n.Level, n.Code = note.Caution, "no-plan"
		a.notes.Add(n.After("no plan can be made of the usual day: "))
	}
}

// sludge adds what a sludge line is fed: of the water treated as much as on the usual day.
func (a *adapter) sludge(p *Plan, one dosing.Plan) {
	x := one.Sludge(a.site, one.Solids(a.site), a.opt.Given.Catalogue)
	if a.notes.Add(x.Notes...); !x.Known() {
		return
	}
	p.Sludge, p.SludgeOf = x, one.Treated
	f, c, ok := x.Bought(a.site, one.Treated)
	if !ok {
		return
	}
	dose := Dose{Plan: f.Dose.Concentration}
	ch := Chemical{Name: f.Name, Basis: f.Dose.Basis, Role: Polymer, Doses: []Dose{dose}, Cleaning: dose, Density: c.Density, ForSludge: true}
	a.price(&ch, x.Product)
	a.oneStore(p, &ch)
	p.Chemicals = append(p.Chemicals, ch)
}

// flow sets the design flow and the week: those of the day that is planned, with
// the days of the week from the log where there is one.
func (a *adapter) flow(p *Plan) {
	d, _, err := dosing.DayOf(a.site.Flow, a.opt.Given.Log)
	if err != nil {
		a.faults = append(a.faults, note.Of(err, "flow")...)
		return
	}
	a.day = d
	p.Calendar.Week, p.Calendar.Flow = EveryDay(d.Running()), d.Average()
	if a.opt.Given.Log != nil {
		a.fromLog(p, *a.opt.Given.Log)
	}
	p.Doubt.Flow = doubt.Either(a.site.Flow.Range.V)
}

// fromLog takes the days of the week and the scatter between days from a meter
// log, leaving days with less than 20 hours of readings out. A day counts by what it
// had over what the average day has in the hours that were read, so that a gap at
// night does not make a busy day of it.
func (a *adapter) fromLog(p *Plan, l flow.Log) {
	var had, usual [7]float64
	var n [7]int
	var days []flow.Date
	for _, d := range l.Dates() {
		if d.Covered < 20 {
			continue
		}
		days = append(days, d)
		k := d.Date.Weekday()
		had[k] += float64(d.Volume)
		usual[k] += float64(d.Usual)
		n[k]++
	}
	if len(days) == 0 {
		a.faults.Add(note.Fault("log-too-short", "no day of the meter log has 20 hours of readings").
			At(a.site.Flow.Log.At).Do("give a longer log, or the average flow"))
		return
	}
	average, err := l.Day(nil) // of which the planned day is the part within the hours
	if err != nil {
		a.faults = append(a.faults, note.Of(err, "flow")...)
		return
	}
	for d := range 7 {
		if usual[d] > 0 {
			p.Calendar.Week[d].Share = quantity.Fraction(had[d] / usual[d])
		}
	}
	var square, freedom float64
	for _, d := range days {
		if k := d.Date.Weekday(); had[k] > 0 && n[k] > 1 && d.Usual > 0 {
			r := float64(d.Volume/d.Usual)*usual[k]/had[k] - 1
			square += r * r
		}
	}
	for d := range 7 {
		freedom += float64(max(n[d]-1, 0))
	}
	if freedom > 0 {
		p.Doubt.DayToDay = quantity.Fraction(math.Sqrt(square / freedom))
	}
	a.notes.Add(note.New(note.Info, "flow-from-log", "flow from %d days of the meter log: %s a day on average, days of the week apart",
		len(days), quantity.Full(average.Volume(), 4).In("m3")))
	a.notes.Add(told(row{slices.Max(n[:]) < 2, note.New(note.Caution, "log-short",
		"the meter log holds less than two weeks, so days of the week rest on one reading each").Do("use a longer log")})...)
}

func (a *adapter) calendar(p *Plan) {
	c := &p.Calendar
	seen := map[Date]bool{}
	for _, r := range a.site.Calendar {
		if r.Weekday.OK {
			for d := range time.Weekday(7) {
				if strings.EqualFold(d.String(), r.Weekday.V) {
					a.weekly(c, d, r)
				}
			}
			continue
		}
		if !r.From.OK {
			a.faults.Add(note.Fault("rule-without-day", "the rule names neither a date nor a weekday").At(r.At).Do("give one of them"))
			continue
		}
		if !r.Runs.OK && !r.Hours.OK && !r.Flow.OK && !r.Water.OK && !r.CleanUp.OK && !r.Brings.OK {
			a.faults.Add(note.Fault("rule-says-nothing", "the rule for %s does not say what is different then", DateOf(r.From.V)).At(r.At).
				Do(`fill in what is, such as "no" in runs, or the raw water`))
			continue
		}
		from, till := DateOf(r.From.V), DateOf(r.Till.Or(r.From.V))
		if till.Before(from) {
			a.faults.Add(note.Fault("days-backwards", "the rule ends on %s, before it begins on %s", till, from).At(r.Till.At).
				Do("correct one of the days"))
			continue
		}
		for d := from; !till.Before(d) && from.DaysTo(d) < 3700; d = d.AddDays(1) {
			if seen[d] {
				a.faults.Add(note.Fault("day-twice", "%s stands in the calendar twice", d).At(r.From.At).Do("keep one rule for each day"))
				break
			}
			seen[d] = true
			c.Exceptions = append(c.Exceptions, Exception{Date: d, Closed: !r.Runs.Or(true), Open: r.Runs.V && !c.Week[d.Weekday()].Operating,
				Flow: r.Flow.V, Hours: r.Hours.V, CleanUp: r.CleanUp.V, Class: r.Water.V,
				NoDelivery: r.Brings.OK && !r.Brings.V, Remark: r.Note.V, At: r.At})
		}
	}
	a.season(c)
}

// season turns one flow that dated rules give to every day of the month into the
// season of the design flow, so that the design flow goes on moving those days.
func (a *adapter) season(c *Calendar) {
	for _, w := range c.Week {
		if w.Share != 1 {
			return // the rules' flow stands for itself, whatever the weekday
		}
	}
	var month []*Exception
	var own quantity.Flow
	for i := range c.Exceptions {
		e := &c.Exceptions[i]
		if MonthOf(e.Date) != c.Month {
			continue
		}
		month = append(month, e)
		switch {
		case e.Closed:
		case e.Flow == 0 || own > 0 && e.Flow != own:
			return
		default:
			own = e.Flow
		}
	}
	if len(month) < c.Month.Days() || own == 0 || c.Flow == 0 {
		return
	}
	c.Season = quantity.Ratio(own / c.Flow)
	for _, e := range month {
		e.Flow = 0
	}
	a.notes.Add(note.New(note.Info, "season", "%s is planned at %s throughout, %s times the average flow",
		c.Month.Long(), own, quantity.Full(quantity.Number(c.Season), 3)))
}

// weekly puts a rule of every week into the week.
func (a *adapter) weekly(c *Calendar, d time.Weekday, r site.Day) {
	w := &c.Week[d]
	w.Operating = r.Runs.Or(w.Operating)
	if r.Hours.OK {
		w.Hours = r.Hours.V
	}
	if r.Flow.OK {
		if c.Flow == 0 {
			c.Flow = r.Flow.V
		}
		w.Share = quantity.Fraction(float64(r.Flow.V) / float64(c.Flow))
	}
	if r.Brings.OK {
		w.Delivery = r.Brings.V
	}
	w.CleanUp = r.CleanUp.V
	if r.Water.OK {
		a.notes.Add(note.New(note.Caution, "rule-ignored",
			"raw water is planned by date; in a rule for every %s it is passed over", d).
			At(r.At).Do("give the dates"))
	}
}

// classes describes the usual, the clear and the storm water, those that are spoken of anywhere.
func (a *adapter) classes(p *Plan) {
	w := a.site.Water
	sum := w.ClearDays.V + w.StormDays.V
	a.faults.Add(told(row{sum > 1+1e-9, note.Fault("shares", "clear and storm days together are %s %% of all days",
		quantity.Full(quantity.Number(sum.In("%")), 4)).At(w.StormDays.At).Do("keep them at 100 %% or less")})...)
	spoken := func(class string, own func(site.Chemical) bool) bool {
		return slices.ContainsFunc(p.Calendar.Exceptions, func(e Exception) bool { return e.Class == class }) ||
			slices.ContainsFunc(a.site.Chemicals, own)
	}
	clear := spoken(site.ClearWater, func(c site.Chemical) bool { return c.Clear.OK })
	storm := spoken(site.StormWater, func(c site.Chemical) bool { return c.Storm.OK })
	for _, c := range []struct {
		name   string
		share  quantity.Fraction
		spoken bool
	}{
		{site.UsualWater, max(0, 1-sum), true},
		{site.ClearWater, w.ClearDays.V, clear || w.ClearDays.OK || w.ClearTurbidity.OK},
		{site.StormWater, w.StormDays.V, storm || w.StormDays.OK || w.StormTurbidity.OK},
	} {
		if c.spoken {
			p.Classes = append(p.Classes, Class{Name: c.name, Share: c.share, Removed: dosing.RecordOf(a.site, c.name).Removed})
		}
	}
	a.notes.Add(told(row{!w.TSS.OK && !w.Turbidity.OK && !dosing.CleansTank(a.site) && a.site.Held == nil, note.New(note.Caution, "solids-unknown",
		"the suspended solids of the raw water are not known, so the solids hold only what the chemicals make").At(w.TSS.At).
		Do("give the turbidity or the suspended solids in the site under Water")})...)
	if usual := p.Classes[0].Removed; usual.Likely > 0 && usual.High > usual.Likely {
		p.Doubt.Solids = dosing.SolidsDoubt(a.site.Solids.Doubt.V, usual)
		a.notes.Add(told(row{a.site.Solids.Doubt.V <= 0, note.New(note.Info, "solids-per-ntu",
			"suspended solids are taken as %s mg/L per NTU, %s to %s in eight months of ten",
			quantity.Number(1.5), quantity.Number(0.7), quantity.Number(2.2)).
			Do("measure them once and give solids per NTU").From("1.5: Davis 2010, Water and Wastewater Engineering, p. 6-51; 0.7 to 2.2 from memory, not checked in its source")})...)
	}
}

func (a *adapter) chemicals(p *Plan) {
	feeds, notes, err := dosing.Chemicals(a.site, a.opt.Given)
	if err != nil {
		a.faults = append(a.faults, note.Of(err, "chemical")...)
		return
	}
	a.feeds = feeds
	a.notes = dosing.Better(a.notes, notes)
	for _, f := range feeds {
		ch, err := a.chemical(f, p)
		if err != nil {
			a.faults = append(a.faults, placed(err, f.At)...)
			continue
		}
		p.Chemicals = append(p.Chemicals, ch)
	}
	if len(a.faults) > 0 {
		return
	}
	for i := range p.Chemicals {
		a.price(&p.Chemicals[i], feeds[i].Stock.Product)
	}
}

// cautions tells what the cautions say of the doses that the month is made of, as
// the plan of the day does.
func (a *adapter) cautions(p *Plan) {
	r := dosing.Running{Site: a.site, Flow: a.day.Average(), Least: a.day.Least(), Peak: a.day.Peak(), Hours: a.day.Running(), Feeds: dosing.WithPumps(a.site, a.feeds), Today: a.opt.Today,
		Unattended: dosing.Unattended(a.day, dosing.Staffed(a.site))}.Review()
	a.notes.Add(r.ToldOfDays()...)
	p.Stopped, p.Unheld = r.Stopped, a.site.Held != nil && a.site.Held.Fails
	a.notes.Add(alkaliLacks(r)...)
	a.notes.Add(dosing.BenchAge(a.feeds, a.site, a.opt.Today)...)
}

// alkaliLacks says that the doses take more alkalinity than may be taken, and that
// nothing in the cost gives it back. It names the alkali that troubles the water least.
func alkaliLacks(r dosing.Review) (l note.List) {
	if slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == dosing.AlkaliUnreached }) {
		return nil // it has a dose and a cost, and is only not fed
	}
	var best *caution.Option
	for i, o := range r.Alkalis {
		if o.Cannot || o.Pure <= 0 || o.Alkali.PerMg <= 0 || !o.PerDay.OK || r.Water == nil {
			continue
		}
		if best == nil || o.Level < best.Level {
			best = &r.Alkalis[i]
		}
	}
	if best == nil {
		return l
	}
	n := note.New(note.Caution, "alkali-not-in-cost",
		"holding %s takes an alkali that is in no dose and in no cost, such as %s of %s",
		best.Goal, quantity.To(best.PerDay.V, 3), best.Alkali.Name).
		Do("dose an alkali for it, and give its price")
	if best.Level >= note.Stop {
		n = note.New(note.Caution, "alkali-not-in-cost",
			"%s is to be held, which no alkali does without a stop of its own (%s)",
			best.Goal, best.Why).Do("dose less, or choose a product of higher basicity")
	}
	l.Add(n)
	return l
}

// placed gives the faults of an error the place of a row, where they have none.
func placed(err error, at note.Place) note.List {
	l := note.Of(err, "bad-value")
	for i := range l {
		if l[i].Place == (note.Place{}) {
			l[i].Place = at
		}
	}
	return l
}

// chemical is a chemical of the day with its doses by class of water.
func (a *adapter) chemical(f dosing.FeedInput, p *Plan) (Chemical, error) {
	x, notes, err := f.Chemical(site.UsualWater)
	a.notes.Add(notes...)
	ch := Chemical{Name: f.Name, Basis: f.Dose.Basis, Role: Other, Balance: f.Balance, Effects: x.Effects,
		Stock: x.Stock, Density: x.Density, Carrier: x.Carrier}
	if err != nil {
		return ch, err
	}
	switch prod := f.Stock.Product; {
	case prod.Group == product.Alkali:
		ch.Role = Alkali
	case prod.Group.Coagulant():
		ch.Role = Coagulant
	case prod.IsPolymer():
		ch.Role = Polymer
	}
	if f.Balance != nil {
		return ch, nil
	}
	q, dose := f.Doubt(), f.Dose.Concentration
	ch.Tested = f.Tested
	a.byPast(f, p)
	for _, k := range p.Classes {
		own, _, _ := f.Chemical(k.Name) // told with the usual dose
		d := own.Dose.Concentration
		ch.Doses = append(ch.Doses, Dose{Plan: d, Quantile: scaled(q, dose, d), Effects: &own.Effects})
	}
	return ch, nil
}

func scaled(q func(float64) (quantity.Concentration, bool), from, to quantity.Concentration) func(float64) (quantity.Concentration, bool) {
	if q == nil || from == to || from == 0 {
		return q
	}
	return func(p float64) (quantity.Concentration, bool) {
		v, ok := q(p)
		return v / from * to, ok
	}
}

// otherPrices takes the rows of Prices that are no chemical.
func (a *adapter) otherPrices(p *Plan) {
	so := a.site.Solids
	r := dosing.RecordOf(a.site, site.UsualWater)
	if p.Disposal, p.Skim = r.Disposal.Drained(), r.Skim; r.Disposal.Cake > 0 { // the water that skimming carries over drains off
		p.Skim, p.Cake = solids.Skimmer{}, true
	}
	p.Water, p.Energy = r.MakeUp, Energy{Power: r.Power, Price: r.Electricity}
	_, source := dosing.ShareOf(a.site)
	a.notes.Add(told(row{!so.FloatSolids.OK && !p.Cake, note.New(note.Info, "solids-share",
		"the dry solids of the float or sludge are not given and taken as %s", r.Disposal.DrySolids).
		At(so.FloatSolids.At).Do("measure them").From(source)})...)
	a.faults.Add(dosing.OtherPrices(a.site)...)
	a.notes.Add(powerUnknown(a.site, r.Electricity)...)
}
