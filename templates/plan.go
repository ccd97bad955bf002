package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// Plan shows a day plan, with what it does to water, animals and people. A plan
// that a stop stands against is shown without anything a pump could be set by.
type Plan struct {
	dosing.Plan
	Findings caution.Findings
	Solids   *dosing.SolidsDay
	// Phosphorus is the day's, where it is known; it may be absent.
	Phosphorus *dosing.PhosphorusDay
	// Sludge is what becomes of its float or sludge; nil where the site describes no line.
	Sludge *dosing.SludgeDay
	// Watch is what to look at in animals whose water is dosed by hand; nil where it is not.
	Watch *caution.Watch
	Unit  dosing.UnitDay
	Cost  month.DayCost
	// todo is the list of the day, the bin included.
	todo []dosing.Task
}

// NewPlan makes the report of a plan.
func NewPlan(p dosing.Plan, f caution.Findings, s *dosing.SolidsDay, u dosing.UnitDay, cost month.DayCost) Plan {
	if f.Stopped {
		p = p.Withheld()
	}
	var todo []dosing.Task
	if !f.Stopped {
		todo = p.WithBin(s)
	}
	return Plan{Plan: p, Findings: f, Solids: s, Unit: u, Cost: cost, todo: todo}
}

// Text writes the page to work from first, then the figures behind it.
func (p Plan) Text(t *Text, o Options) {
	d := p.data()
	t.Answer(p.answer(o, d))
	t.noted(lookFirst, p.grave())
	acceptedText(t, p.Findings.Taken)
	t.Blank()
	p.waterLine(t, d.Sub("flow"))
	p.taskTable(t, d)
	p.binText(t, d)
	p.hourText(t, d)
	p.recipes(t, d)
	for i, f := range p.Feeds {
		p.feedText(t, f, d.Objects("feeds")[i])
	}
	for i, f := range p.Feeds {
		if x := d.Objects("feeds")[i].Sub("past_tests"); x.Has("by_raw_water") {
			t.Head(upperFirst(joined(", ", f.PumpName, f.Name)) + ": setting by raw water and flow")
			byRawText(t, x)
		}
	}
	p.watchText(t, d)
	p.unitPart(t, o, d.Sub("unit"))
	limits := limitsText(t, p.Findings)
	p.solidsText(t, o, d.Sub("solids"))
	sludgeText(t, p.Sludge, d.Sub("sludge"))
	phosphorusDayText(t, p.Phosphorus, d.Sub("phosphorus"))
	cost := p.Cost
	cost.Notes = below(cost.Notes, note.Caution, nil)
	moneyText(t, t.Behind, "Cost of the day", cost, d.Sub("money"))
	waterText(t, d, limits)
	cautionText(t, p.Findings, o)
	handlingText(t, p.Findings.Handling, o)
	if calm := append(p.Notes.Only(note.Info), p.phosphorusNotes().Only(note.Info)...); len(calm) > 0 {
		t.Behind("Notes")
		t.Notes(calm)
	}
	if o.Explain {
		p.workingText(t, d)
		checkText(t, p.Findings.Checks)
	}
}

// grave gives every caution, as it matters before anything is set: a unit that cannot do its work, then those of animals and people.
func (p Plan) grave() note.List {
	grave := slices.DeleteFunc(slices.Clone(p.Notes), func(n note.Note) bool { return n.Level < note.Caution })
	found := slices.DeleteFunc(below(p.Findings.Grave(), note.Stop, p.Findings.Taken), func(n note.Note) bool { return p.Findings.Stopped && caution.Uncounted(n) })
	return slices.Concat(p.Unit.First, found, grave, p.solidsNotes(), p.phosphorusNotes().Only(note.Caution), p.sludgeNotes(), p.Unit.Notes, p.Cost.Notes.Only(note.Caution))
}

// lasting is how long a full tank lasts: hours of running, or days where it is many.
func lasting(d *figure.Object) figure.Figure {
	if d.Has("tank.lasts_days") {
		return d.Fig("tank.lasts_days")
	}
	return d.Fig("tank.lasts")
}

func (p Plan) taskTable(t *Text, d *figure.Object) {
	if !p.listsJobs() {
		return
	}
	t.Head(whatToDoWhen)
	objects := d.Objects("tasks")
	t.each(cols(timesAndTasks...), objects, func(i int, x *figure.Object) []any {
		return []any{clockOf(p.todo[i].At), p.taskText(p.todo[i], x)}
	})
	t.Numbered(p.jobNumbers())
	if r := reserve(p.Feeds); r.Format != "" {
		t.Say("%s", r)
	}
}

// reserve says how far the batches reach beyond what is planned.
func reserve(feeds []dosing.Feed) figure.Phrase {
	least := quantity.Fraction(math.Inf(1))
	var dry, heels []any
	for _, f := range feeds {
		if len(f.First) > 0 {
			least = min(least, f.Reserve)
		}
		if f.DryAtPeak {
			dry = append(dry, f.Tank.Name)
		}
		if mark, ok := stirredInto(f); ok {
			heels = append(heels, figure.Say("%s of %s", litres("", quantity.Volume(dosing.Heel)*mark, 2), f.Name))
		}
	}
	return figure.Phrase{}.If(!math.IsInf(float64(least), 1),
		"A batch fills its tank to what lasts until the next even if %s more is drawn. Make as much more as the tank stands lower than the list says, as much less as it stands higher.",
		figure.Figure{Q: least, Digits: 2}).
		If(len(dry) > 0, " On a day at the peak flow %s runs empty before: the caution on it says what to do.", figure.And(" and ", dry...)).
		If(len(heels) > 0, " What is left of the batch before is stirred in: up to %s of what then stands there it counts as fresh. Of what has gone off let out all but %s.",
			figure.Figure{Q: dosing.Heel, Digits: 2}, figure.And(" and ", heels...))
}

// stirredInto is the lowest mark to which a batch fills a feed's tank on top of what is left of the one before; false where nothing is.
func stirredInto(f dosing.Feed) (mark quantity.Volume, ok bool) {
	for _, b := range f.First {
		if !f.Stock.Neat() && b.Left > 0 && !b.LetOut && (!ok || b.Full < mark) {
			mark, ok = b.Full, true
		}
	}
	return mark, ok
}

func (p Plan) recipes(t *Text, d *figure.Object) {
	if !slices.ContainsFunc(p.Feeds, func(f dosing.Feed) bool { return len(f.Batches) > 0 }) {
		return
	}
	t.Behind("Stock recipes")
	for i, f := range p.Feeds {
		if len(f.Batches) > 0 {
			t.Say("%s", recipe(f, d.Objects("feeds")[i]))
		}
	}
}

// binText says when the bin is full if it is not emptied in the plan's day.
func (p Plan) binText(t *Text, d *figure.Object) {
	if p.Solids == nil || p.Solids.Bin == nil || !p.Solids.Emptys.Fills || d.Sub("solids").Has("empty_at") {
		return
	}
	t.Blank()
	x := d.Sub("solids")
	t.Say("%s: full %safter %s%s%s, if left alone; empty it %s.", upperFirst(p.Solids.Bin.Name), p.fullOn(t.opt.Date), x.Fig("bin_full_in"), p.ofRunning(),
		either(p.Solids.BinTold(), "", " from empty (nobody says what stands in it now)"),
		either[any](x.Has("emptied_every") && p.Solids.Bin.Now == 0, figure.Say("every %s, at the end of a shift", x.Fig("emptied_every")), "then"))
}

// fullOn is the day and hour at which the bin is full if it is left alone, as the calendar has the days ahead; nothing where a clean-up or
// a day that cannot be planned comes before, as nobody knows what that brings.
func (p Plan) fullOn(day time.Time) string {
	at := p.Solids.Emptys.FullAt
	if p.Solids.NoDate {
		return ""
	}
	if ahead := int(math.Floor(float64(at) / 24)); ahead > 1 && !day.IsZero() {
		return "on " + dated(day.AddDate(0, 0, ahead)) + " at " + clockOf(at) + ", "
	}
	return "at " + dayClock(at) + ", "
}

// ofRunning says that hours count while the unit runs, where it stands still for part of the day.
func (p Plan) ofRunning() figure.Phrase {
	return figure.Say("").If(p.Running < 24-1e-6, " of running").If(p.Solids.NoDate, " with days like this one")
}

func (p Plan) solidsText(t *Text, o Options, d *figure.Object) {
	s := p.Solids
	if s == nil {
		return
	}
	word, ranged := either(s.Unit == "settler", "sludge", either(s.Unit == "flotation" || d.Has("skims"), "float", "float or sludge")), s.Dry.Low < s.Dry.High
	t.Head("Solids")
	l := facts{
		{"Dry solids a day", figure.Say("%s", d.Fig("dry")).If(ranged, " (%s to %s in eight days of ten)", d.Fig("dry_low"), d.Fig("dry_high"))},
		{upperFirst(word) + " a day", figure.Say("%s at %s dry (%s)", d.Fig("float"), d.Fig("dry_share"), s.ShareFrom).If(ranged, "; %s to %s", d.Fig("float_low"), d.Fig("float_high"))},
	}
	both := upperFirst(word) + " and water"
	l.when(d.Has("skims") && (p.Unit.Now.Every <= 0), "Water skimmed off", figure.Say("%s a day in %s passes", d.Fig("water_skimmed"), d.Fig("skims")))
	l.when(d.Has("skims"), both, figure.Say("%s together: what the bin takes and disposal counts", d.Fig("volume")))
	if d.Has("bin_full_in") {
		seldom := d.Has("emptied_every")
		once := len(s.Daily) == 1
		l.add(upperFirst(s.Bin.Name), figure.Say("%s%s until it is full, ", d.Fig("bin_full_in"), p.ofRunning()).If(seldom && s.Bin.Now > 0, "then ").
			If(!seldom && once, "to be emptied once a day").
			If(!seldom && !once, "to be emptied %s times a day", d.Fig("emptied_a_day").In(figure.Brief)).
			If(seldom, "to be emptied every %s", d.Fig("emptied_every")))
	}
	t.Facts(l)
	if !o.Explain {
		return
	}
	t.Part("Solids: working")
	for _, x := range d.Objects("parts") {
		low, _ := x.Fig("low").Document()
		likely, _ := x.Fig("likely").Document()
		high, _ := x.Fig("high").Document()
		t.Item("-", o.Say("%s", figure.Say("%s: %s = %s of water", x.Get("what"), x.Get("working"), x.Fig("likely")).
			If(low < likely && likely < high, " (%s to %s)", x.Fig("low"), x.Fig("high")).
			If(low < likely && likely == high, ", counted as the most that is usual (%s at least)", x.Fig("low")).And(" [%s]", x.Get("source"))))
	}
}

// moneyText is what a day costs, and what that leaves out, under a name that head sets.
func moneyText(t *Text, head func(string), name string, c month.DayCost, d *figure.Object) {
	if !c.Priced() && len(c.Notes) == 0 {
		return
	}
	head(name)
	if c.Priced() && c.Total().Amount == 0 && len(c.Lacks) > 0 {
		t.Say("Nothing that is used has a price.")
	} else if c.Priced() {
		var facts []Fact
		for _, l := range d.Objects("lines") {
			facts = append(facts, Fact{upperFirst(l.Said("item")), l.Fig("cost")})
		}
		t.Facts(append(facts, Fact{either(len(c.Lacks) > 0, "All of it, INCOMPLETE", "All of it"), figure.Say("%s, %s", d.Fig("total"), d.Fig("per_1000m3"))}))
		var orders []any
		for i, x := range d.Objects("usual_orders") {
			amount := figure.Say("%s x %s", x.Get("packs"), packOf(x))
			if y := c.Orders[i]; y.Loose {
				amount = figure.Say("%s", mass("", quantity.Mass(y.Packs)*y.Pack, 3))
			}
			orders = append(orders, figure.Say("%s %s", x.Get("chemical"), amount))
		}
		if len(orders) > 0 {
			t.Say("Delivery charges are those of usual orders, spread over what they bring: %s. `budget` has the orders of a month and what they really cost.",
				figure.And(", ", orders...))
		}
	}
	t.Notes(c.Notes)
}

// waterLine says what water there is to treat.
func (p Plan) waterLine(t *Text, d *figure.Object) {
	varies := p.Day.Least() < p.Day.Average()*0.999 || p.Day.Peak() > p.Day.Average()*1.001
	s := figure.Say("Water to treat: %s%s at %s on average", d.Fig("treated"), either(p.Stream, " of the stream", ""), d.Fig("average")).
		If(varies, " (%s to %s)", d.Fig("least"), d.Fig("peak"))
	t.Say("%s, running %s (%s).", s, d.Fig("hours"), p.FlowSource)
	if l := d.Sub("late"); d.Has("late") {
		t.Say("This day begins late, at %s: it doses %s of it in %s. What a day uses, makes and costs below is that of a full one.",
			l.Get("begins"), l.Fig("treated"), l.Fig("hours").In(figure.Long))
	}
}

// feedText writes the figures of a chemical.
func (p Plan) feedText(t *Text, f dosing.Feed, d *figure.Object) {
	product := f.Stock.Product.Name
	if strings.EqualFold(product, f.Name) {
		product = ""
	}
	t.Behind(joined(": ", upperFirst(f.Name), product))
	l := facts{{"Dose", doseWords(f, d)}}
	l.when(f.Dose.Basis != quantity.AsProduct, "", figure.Say("%s as product, which is the same", d.Fig("dose_as_product").NoBasis()))
	l.add("Use a day", figure.Say("%s of product", d.Fig("product_use")).
		If(d.Has("product_volume"), ", %s", d.Fig("product_volume")).If(d.Has("active_use"), " (%s)", d.Fig("active_use")))
	if f.Fed {
		p.fedFacts(&l, t.opt, f, d)
	}
	l.when(d.Has("range"), "Not certain", uncertain(d.Sub("range")))
	if d.Has("bench") {
		heardFacts(&l, d.Sub("bench"))
	}
	t.Facts(l)
}

// doseWords is a dose with its interval and where it comes from.
func doseWords(f dosing.Feed, d *figure.Object) figure.Phrase {
	low, high := d.Fig("dose_low").NoBasis(), d.Fig("dose_high").NoBasis()
	return figure.Say("%s", d.Fig("dose")).If(low.Known() && high.Known(), " (%s to %s)", low, high).
		If(low.Known() && !high.Known(), " (from %s, upper end open)", low).If(f.DoseSource != "", ", %s", f.DoseSource)
}

// fedFacts adds stock, feed, pump and tank of a chemical that is pumped.
func (p Plan) fedFacts(l *facts, o Options, f dosing.Feed, d *figure.Object) {
	stock := stockWords(o, f, d).If(d.Has("at_dosing_point"), "; with %s of carrier water %s by mass at the dosing point",
		d.Fig("carrier_water"), d.Fig("at_dosing_point"))
	feed := figure.Say("%s", d.Fig("stock_rate")).If(o.Units == quantity.US, " (%s)", perHour(f.Rate, d.Fig("stock_rate").Digits)).If(f.Least < f.Rate*0.999 || f.Peak > f.Rate*1.001,
		" on average; %s at least flow, %s at peak", d.Fig("stock_rate_least_flow"), d.Fig("stock_rate_peak_flow"))
	l.add("Stock", stock.And(", %s a day", d.Fig("stock_use")))
	l.add("Feed", feed)
	l.when(d.Has("carrier"), "Carried", carrierWords(d.Sub("carrier")))
	if d.Has("pump") {
		l.add("Setting", settingWords(d.Sub("pump"), f).If(!f.Setting.Stands(), "; OUT OF RANGE, see below").
			If(len(f.Setting.Beyond()) > 0, "; OUT OF RANGE at %s, see below", strings.Join(f.Setting.Beyond(), " and ")))
	}
	if d.Has("tank") {
		l.add("Tank", figure.Say("%s usable in %s: a full one lasts %s", d.Fig("tank.holds"),
			joined(", from which ", p.TankOf(f).Name, either(f.TankWith == nil, "", strings.Join(p.BesideIn(f), " and ")+" draws too")), lasting(d)).
			If(!d.Has("tank.lasts_days"), " of running").
			If(f.GoesOff, ", then what is left has gone off").
			If(f.HasEmpty && f.Stock.Neat() && len(f.First) == 0, "; %s, empty at %s", asFilled(*p.TankOf(f)), dayClock(f.Empty)))
	}
}

// asFilled is what is known of a tank when the day starts.
func asFilled(tank dosing.Vessel) string {
	return either(tank.Now.OK, "as it stands", "if it is full now")
}

// stockWords is what a pump feeds.
func stockWords(o Options, f dosing.Feed, d *figure.Object) figure.Phrase {
	if f.Stock.Neat() {
		return figure.Say("%s product", f.Stock.AsBought())
	}
	return strengthOf(o, d, "")
}

// strengthOf is the product in a litre of stock, in a gallon to readers of US units; a
// blank follows its name.
func strengthOf(o Options, d *figure.Object, name string) figure.Phrase {
	grams, _ := d.Fig("stock").Document()
	if o.Units == quantity.US {
		return figure.Say("%s of %sproduct per gallon", kilos("", quantity.Mass(grams/1000*gallon), 4), name)
	}
	return figure.Say("%s of %sproduct per litre", figure.Figure{Q: figure.Plain{V: grams, U: "g"}, Digits: 4}, name)
}

// uncertain says how far use, feed and setting may be off.
func uncertain(r *figure.Object) figure.Phrase {
	feed := either(r.Has("stock_rate_low"), "stock_rate", "product_rate")
	return figure.Say("in eight days of ten %s to %s of product a day", r.Fig("product_use_low"), r.Fig("product_use_high")).
		If(r.Has(feed+"_low"), ", %s to %s", r.Fig(feed+"_low"), r.Fig(feed+"_high")).
		If(r.Has("setting_low"), ", setting %s to %s", r.Fig("setting_low"), r.Fig("setting_high")).
		If(r.Has("open_high"), "; how much higher the dose may have to be, the bench does not tell")
}

// knobWords says what to set the knobs to, or where they stand, and what comes of it.
func knobWords(verb string, d *figure.Object, c pump.Choice) figure.Phrase {
	switch {
	case c.Reach != pump.Within:
		return figure.Say("would need %s of its range", d.Fig("setting"))
	case d.Has("settings"):
		return figure.Say("%s %s", verb, d.Get("settings"))
	}
	at := standing(d.Fig("knob"), d.Fig("on_scale"))
	if d.Has("stroke") {
		at = figure.Say("speed %s, stroke %s", at, d.Fig("stroke"))
	}
	return figure.Say("%s %s %s", verb, at, givesWords(d, c))
}

// settingWords says the same with the figure first, and on which pump.
func settingWords(d *figure.Object, f dosing.Feed) figure.Phrase {
	on, whose := "", "its"
	if f.PumpName != "" {
		on, whose = " on "+f.PumpName, f.PumpName+"'s"
	}
	switch c := f.Setting.Average; {
	case c.Reach != pump.Within:
		return figure.Say("%s of %s range would be needed", d.Fig("setting"), whose)
	case f.Follows && f.Least < f.Peak:
		return figure.Say("follows the flow meter%s", on)
	case d.Has("settings"):
		return figure.Say("%s%s", d.Get("settings"), either(on == "", "", ","+on))
	case c.Off():
		return figure.Say("off%s: nothing is fed", on)
	case d.Has("stroke"):
		return figure.Say("%s speed, %s stroke%s %s", standing(d.Fig("knob"), d.Fig("on_scale")), d.Fig("stroke"), on, givesWords(d, c))
	default:
		return figure.Say("%s%s %s", standing(d.Fig("knob"), d.Fig("on_scale")), on, givesWords(d, c))
	}
}

// givesWords is what a setting gives, and how far off that is.
func givesWords(d *figure.Object, c pump.Choice) figure.Phrase {
	if math.Abs(float64(c.Error)) < 0.005 {
		return figure.Say("(gives %s)", d.Fig("gives"))
	}
	return figure.Say("(gives %s, %s %s)", d.Fig("gives"), figure.Of("", max(c.Error, -c.Error), "%", 2), either(c.Error < 0, "under", "over"))
}

// recipe says how a batch of stock is made up.
func recipe(f dosing.Feed, d *figure.Object) figure.Phrase {
	b := d.Objects("batches")[0]
	other := slices.ContainsFunc(slices.Concat(f.Batches, f.First), func(x dosing.Batch) bool { return math.Abs(float64(x.Volume-f.Batches[0].Volume)) >= 1e-9 })
	return figure.Say("%s: to make up %s, weigh %s", upperFirst(bracketed(f.StockCalled(), either(strings.EqualFold(f.StockName, f.StockCalled()), "", f.StockName))),
		b.Fig("volume"), b.Fig("product")).
		If(b.Has("product_volume"), " (%s)", b.Fig("product_volume")).
		And(" of product into most of %s of water, fill up to %s", b.Fig("water"), b.Fig("volume")).
		If(f.Ageing > 0, ", stir gently and let it age %s", hours("", f.Ageing, 3)).
		And(". It keeps %s.", inHours("", f.Life, 3)).
		If(other, " Other batches in proportion: see the list.").
		If(f.Every > 1, " One batch lasts %s days.", f.Every)
}

// batchClock gives a time in a batch's life as the one who makes it up would say it, who begins
// so many days after the day of the list; of one begun before it the days count from its own.
func batchClock(t quantity.Time, b dosing.Batch, day int) string {
	if day < 0 {
		return flow.ClockAfter(t, b.Start)
	}
	made := math.Floor(float64(b.Start)/24) - float64(day)
	return flow.OnDay(t, int(math.Floor(float64(t)/24)-made), func(days int) string {
		if days == 2 && day > 0 {
			return "the day after tomorrow"
		}
		return dayAhead(days)
	}, " today")
}

// dayAhead names a day so many days ahead.
func dayAhead(days int) string {
	switch days {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return fmt.Sprintf("in %d days", days)
}

// useBy is the end of a batch's life, agedAt when it may be used.
func useBy(b dosing.Batch, day int) string { return batchClock(b.Expires, b, day) }

func agedAt(b dosing.Batch, day int) string {
	return strings.TrimSuffix(strings.Replace(batchClock(b.Aged, b, day), "at the end of today", "tonight", 1), " today")
}

// dayClock is a clock time with the day where that is not the plan's.
func dayClock(h quantity.Time) string {
	if h < -1e-6 {
		return flow.Clock(h)
	}
	return flow.OnDay(h, int(math.Floor(float64(h)/24)), dayAhead, "")
}

// taskText is what to do, from the task's own object.
func (p Plan) taskText(k dosing.Task, d *figure.Object) figure.Phrase {
	said := p.taskSaid(k, d).If(k.Every > 0, ", from then on about every %s while the unit runs", d.Fig("every")).
		If(k.Alone && k.Every == 0, " (nobody is there then)").If(k.Alone && k.Every > 0, " (also when nobody is there)")
	if day := dayWord(k.At, k.Day); day != "" {
		return figure.Say("%s: %s", day, said)
	}
	return said
}

// dayWord names another day than the one on which the list begins.
func dayWord(at quantity.Time, day int) string {
	switch {
	case day > 0:
		return "tomorrow"
	case day < 0:
		return either(quantity.Wrapped(at, 24) >= 17, "the evening before", "the day before")
	}
	return ""
}

func (p Plan) taskSaid(k dosing.Task, d *figure.Object) figure.Phrase {
	switch k.Kind {
	case dosing.StartUnit:
		return figure.Say("start the unit")
	case dosing.StopUnit:
		return figure.Say("stop the unit")
	case dosing.EmptyBin:
		return figure.Say("empty %s (%s in it)", p.Solids.Bin.Name, d.Fig("contents")).
			If(k.Emptying.Early, ": it would run over while nobody is there")
	}
	f := p.Feeds[k.Feed]
	pumpName, stock := cmp.Or(f.PumpName, "the pump"), f.StockCalled()
	switch k.Kind {
	case dosing.SetPump, dosing.Stands:
		if f.Follows {
			return figure.Say("%s follows the flow meter: check that it gives %s at %s", pumpName, d.Fig("stock_rate"), d.Fig("flow"))
		}
		if k.Choice.Off() {
			return figure.Say("%s (%s) stays off: none of it is fed", pumpName, f.Name)
		}
		if k.Kind == dosing.Stands {
			return figure.Say("%s (%s) %s", pumpName, f.Name, knobWords("stands at", d.Sub("pump"), k.Choice)).If(p.varies(d), " for %s", d.Fig("flow")).
				And(": check that it does")
		}
		return figure.Say("%s for %s: %s", pumpName, f.Name, knobWords("set to", d.Sub("pump"), k.Choice)).If(p.varies(d), " for %s", d.Fig("flow"))
	case dosing.FeedByHand:
		return p.feedWords(f, d, stock)
	case dosing.StopPump:
		return figure.Say("stop %s (%s): the unit stands still", pumpName, f.Name)
	case dosing.StopHand:
		return figure.Say("stop feeding %s: the unit stands still", f.Name)
	case dosing.MakeUp:
		return makeUp(f, k, d.Sub("batch"), stock).And("%s", again(f))
	case dosing.MoveStock:
		return figure.Say("let the aged %s over into %s, which stands at %s then", stock, f.Tank.Name, d.Fig("stands")).
			If(k.Batch.LetOut, ": let those out first, they have gone off").If(d.Has("let_out"), ": let %s of those out first, as there is no room for both", d.Fig("let_out"))
	case dosing.ChangeDrum:
		if !d.Has("full") {
			return figure.Say("fill or change %s (%s): %s, it runs empty at %s", f.Tank.Name, f.Served(), asFilled(*f.Tank), dayClock(f.Empty))
		}
		return figure.Say("fill or change %s (%s): it stands at %s then and takes about %s", f.Tank.Name, f.Served(), d.Fig("stands"), d.Fig("volume")).
			If(d.Has("product"), " (%s)", d.Fig("product")).And(" to hold %s", d.Fig("full")).And("%s", again(f))
	}
	return figure.Say("%s %s", string(k.Kind), f.Name)
}

// varies reports that a setting goes with a flow of its own.
func (p Plan) varies(d *figure.Object) bool {
	return d.Has("flow") && p.Day.Peak() > p.Day.Least()*1.001
}

// feedWords says what a feeder or a hand has to give of a chemical that no pump feeds. A liquid is let drip: tipped in it would be
// many times the dose for as long as it takes to pass.
func (p Plan) feedWords(f dosing.Feed, d *figure.Object, stock string) figure.Phrase {
	if f.Fed {
		return figure.Say("feed %s of %s by hand: %s every %s, dripped in evenly, or a tap set to %s", d.Fig("stock_rate"), either(f.Stock.Neat(), f.Name, stock),
			d.Fig("portion_volume"), d.Fig("portion_every"), d.Fig("stock_rate")).If(p.varies(d), ", for %s", d.Fig("flow"))
	}
	return figure.Say("feed %s by hand: %s, that is %s, %s; or a feeder set to %s", f.Name, d.Fig("product_rate"), portionWords(d), caution.Portion(f.Stock.Product),
		d.Fig("product_rate")).If(p.varies(d), ", for %s", d.Fig("flow"))
}

// portionWords is a portion by weight, in whole scoops too where one was weighed, with its interval.
func portionWords(d *figure.Object) figure.Phrase {
	if !d.Has("scoop") {
		return figure.Say("%s every %s", d.Fig("portion"), d.Fig("portion_every"))
	}
	n, _ := d.Get("scoops").(int)
	each, _ := d.Fig("scoop").Document()
	all, _ := d.Fig("portion").Document()
	return figure.Say("").If(quantity.RoundSig(float64(n)*each, 3) != quantity.RoundSig(all, 3), "%s or ", d.Fig("portion")).
		And("%s of %s every %s", scoopWords(d), d.Fig("scoop"), d.Fig("portion_every"))
}

func scoopWords(d *figure.Object) figure.Phrase {
	return figure.Say(either(d.Get("scoops") == 1, "%s level scoop", "%s level scoops"), d.Get("scoops"))
}

// portionEvery is how often a portion is fed by hand (common practice, no source).
const portionEvery quantity.Time = 0.25

var quarterHour = hours("", portionEvery, 2)

// makeUp says how much stock to make, where it goes, and until when it keeps.
func makeUp(f dosing.Feed, k dosing.Task, d *figure.Object, stock string) figure.Phrase {
	b := k.Batch
	apart := b.Moved > b.Made+1e-6
	return figure.Say("make up %s of %s (%s of product)", d.Fig("volume"), stock, d.Fig("product")).
		If(!apart, " into %s, which stands at %s then", f.Tank.Name, d.Fig("stands")).
		If(!apart && b.LetOut, ": let those out first, they have gone off").
		If(f.Ageing > 0, ", aged at %s", agedAt(b, k.Day)).And(", use by %s", useBy(b, k.Day))
}

// again is when something that is not done every day comes next: "every 5 days" alone names no day.
func again(f dosing.Feed) figure.Phrase {
	return figure.Say("").If(f.Every > 1, ", the next in %s days", f.Every)
}

// hourText writes the hour table, hours that are alike in one row.
func (p Plan) hourText(t *Text, d *figure.Object) {
	varies := p.Day.Peak() > p.Day.Least()*1.001 || p.Running < 24
	levels := slices.ContainsFunc(p.Hours, func(h dosing.HourRow) bool {
		return slices.ContainsFunc(h.Feeds, func(f dosing.HourFeed) bool { return f.HasLevel })
	})
	heads := []string{"Hour", "#Flow"}
	var fed []int
	for k, f := range p.Feeds {
		if f.Fed {
			fed = append(fed, k)
			heads = append(heads, "#"+f.Name, either(f.Setting != nil, "#", absent), either(len(p.Hours) > 0 && p.Hours[0].Feeds[k].HasLevel, "#tank", absent))
		}
	}
	if len(fed) == 0 || len(p.Hours) == 0 || !varies && !levels {
		return
	}
	t.Behind("Hour by hour")
	var rows [][]any
	hours := d.Objects("hours")
	for i := 0; i < len(p.Hours); i++ {
		first := i
		for i+1 < len(p.Hours) && alike(p.Hours[first], p.Hours[i+1]) && i+2-first <= 4 {
			i++
		}
		row := []any{clockOf(p.shownFrom(first)) + "-" + clockOf(p.shownTill(i)), hours[first].Fig("flow")}
		for n, k := range fed {
			x, end := hours[first].Objects("feeds")[n], hours[i].Objects("feeds")[n]
			row = append(row, x.Fig("stock_rate"), either[any](p.Hours[first].Feeds[k].Rate == 0, "off", knobsOf(x)),
				tankLevel(end.Fig("tank_level"), t.opt))
		}
		rows = append(rows, row)
	}
	t.Grid(cols(heads...), rows)
	if levels {
		t.Para("Tank: what should stand in it, usable, at the end of those hours.")
	}
}

// shownFrom is when a row of hours begins: where the run does within its first hour, or has ended within the one before.
func (p Plan) shownFrom(k int) quantity.Time {
	h := p.Hours[k]
	if t := p.UnitBegins(); t > p.Start && k == int(t-quantity.Time(math.Floor(float64(p.Start)))) {
		return t
	}
	switch before := p.Hours[(k+len(p.Hours)-1)%len(p.Hours)]; {
	case part(h) && before.Running == 0:
		return h.From + 1 - h.Running
	case h.Running == 0 && part(before):
		return before.From + before.Running
	}
	return h.From
}

// shownTill is when a row of hours ends: where the run does within its last hour, or begins within the next.
func (p Plan) shownTill(k int) quantity.Time {
	h := p.Hours[k]
	switch next := p.Hours[(k+1)%len(p.Hours)]; {
	case part(h) && next.Running == 0:
		return h.From + h.Running
	case h.Running == 0 && part(next):
		return next.From + 1 - next.Running
	}
	return h.From + 1
}

// part reports an hour of which only a part runs.
func part(h dosing.HourRow) bool { return h.Running > 0 && h.Running < 1 }

// knobsOf is where the knob of an hour stands, with the stroke of a pump that has two.
func knobsOf(d *figure.Object) any {
	switch {
	case d.Get("out_of_reach") == true:
		return "out of range"
	case d.Has("stroke"):
		return figure.Say("%s, stroke %s", standing(unitless(d.Fig("setting")), d.Fig("on_scale")), unitless(d.Fig("stroke")))
	case d.Has("on_scale"):
		return standing(unitless(d.Fig("setting")), d.Fig("on_scale"))
	}
	return d.Fig("setting")
}

// tankLevel is a level in one unit whatever its size, so that a column has one.
func tankLevel(f figure.Figure, o Options) figure.Figure {
	if v, ok := f.Q.(quantity.Volume); ok {
		f.Q = figure.Plain{V: v.In(tankUnit(o)), U: tankUnit(o)}
	}
	return f
}

func unitOf(q quantity.Quantity, o Options) string { _, u := q.Show(o.Units); return u }

func alike(a, b dosing.HourRow) bool {
	same := func(x, y dosing.HourFeed) bool { return x.Setting == y.Setting && x.Stroke == y.Stroke }
	return math.Abs(float64(a.Flow-b.Flow)) <= 1e-9 && a.Running == b.Running && slices.EqualFunc(a.Feeds, b.Feeds, same)
}

func (p Plan) workingText(t *Text, d *figure.Object) {
	for _, f := range d.Objects("feeds") {
		t.Head(fmt.Sprintf("Working: %s", f.Get("chemical")))
		for _, w := range f.Objects("working") {
			t.Item("-", t.opt.Say("%s = %s = %s = %s [%s]", w.Get("figure"), w.Get("formula"), w.Get("inputs"), w.Fig("value"), w.Said("source")))
		}
		if f.Has("closure") {
			t.Item("-", t.opt.Say("check: stock used × strength = %s, dose × water = %s", f.Fig("closure.stock_times_strength"), f.Fig("closure.dose_times_water")))
		}
	}
}
