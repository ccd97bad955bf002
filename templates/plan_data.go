package templates

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/flow"
	"jarwright/dosing/month"
	"jarwright/dosing/pump"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// data is the plan as its object.
func (p Plan) data() *figure.Object {
	o := figure.New().Set("schema", "jarwright.plan/1").Word("site", p.Site).Part("flow", p.flowData())
	feeds := objects(p.Feeds, p.feedData)
	o.List("feeds", feeds)
	o.Some("tasks", objects(p.todo, p.taskData))
	o.Some("hours", objects(p.Hours, p.hourData)).Part("solids", p.solidsData()).Part("sludge", sludgeData(p.Sludge)).Part("phosphorus", phosphorusDayData(p.Phosphorus)).Part("unit", unitData(p.Unit)).Part("money", moneyData(p.Cost))
	if p.watches() {
		o.Part("watch", watchData(p.Watch))
	}
	all := caution.WorstFirst(slices.Concat(p.Unit.First, p.Notes, p.solidsNotes(), p.phosphorusNotes(), p.sludgeNotes(), p.Unit.Notes, p.Cost.Notes, p.Findings.All()))
	return reviewData(o, p.Findings).Set("notes", Notes(all))
}

func (p Plan) flowData() *figure.Object {
	return figure.New(water("average", p.Day.Average()), water("least", p.Day.Least()), water("peak", p.Day.Peak()), inHours("hours", p.Running, 3),
		figure.Of("treated", p.Treated, "m3", 3)).Word("source", p.FlowSource).Part("late", p.lateData())
}

// lateData is what the plan's own day doses where it begins late; nil where it does not.
func (p Plan) lateData() *figure.Object {
	treated, running, late := p.Late()
	if !late || p.Findings.Stopped {
		return nil
	}
	return figure.New(hours("hours", running, 3), figure.Of("treated", treated, "m3", 3)).Set("begins", clockOf(p.Begins))
}

// feedData is one chemical of the plan.
func (p Plan) feedData(f dosing.Feed) *figure.Object {
	o := figure.New().Set("chemical", f.Name).Word("product", f.Stock.Product.ID)
	active := massRate("active_use", f.Active, 4)
	active.Basis = f.ActiveBasis
	o.Put(figure.Dose("dose", f.Dose, 4), doseOf("dose_low", f.Low, f.Dose.Basis, 3).If(f.Low > 0), doseOf("dose_high", f.High, f.Dose.Basis, 3).If(f.High > 0)).
		Word("dose_source", f.DoseSource)
	o.Put(figure.Dose("dose_as_product", f.AsProduct, 4), water("flow", f.Flow), active.If(f.HasActive), massRate("product_use", f.Product, 4),
		litres("product_volume", f.Volume, 4).Daily().If(f.HasVolume))
	if f.Fed {
		p.fedData(o, f)
	} else {
		switch {
		case p.Running <= 0:
		case p.Findings.Stopped: // nothing to feed by
			o.Put(anHour("product_rate", p.inAnHour(f.Product)))
		default:
			handData(o, f, p.inAnHour(f.Product), 0)
			if given := p.Portions(f); len(given) > 0 {
				o.Phrase("portions", portionsWords(f, given))
			}
		}
		o.Part("range", p.rangeData(f))
	}
	if f.Past != nil && !p.Findings.Stopped {
		var own pump.Pump
		if f.Pump != nil {
			own = *f.Pump
		}
		o.Set("past_tests", byRawData(*f.Past, f.ByRawWater(dosing.CardFlows(p.Day.Least(), f.Flow, p.Day.Peak())), f.Dose.Basis, own))
	}
	o.List("batches", objects(f.Batches, batchData))
	if f.Every != 0 {
		o.Set(either(f.Fills == nil, "batches_every_days", "filled_every_days"), f.Every).Put(figure.Of("reserve", f.Reserve, "%", 2))
	}
	if f.Fed {
		o.Part("closure", figure.New(kilos("dose_times_water", f.Closure.Asked, 6), kilos("stock_times_strength", f.Closure.Given, 6)))
	}
	return o.Part("bench", heardData(f.Heard)).List("working", objects(f.Working, workingData))
}

// fedData is what is known of a chemical that is pumped.
func (p Plan) fedData(o *figure.Object, f dosing.Feed) {
	o.Put(gramsPerLitre("stock", f.PerLitre), figure.Of("at_dosing_point", f.AtPoint, "%", 3).If(f.AtPoint < f.Stock.PercentByMass()*0.999),
		figure.Of("carrier_water", figure.Fixed{Q: f.Post, Unit: "L/h"}, "L/h", 3).If(f.Post > 0),
		litres("stock_use", f.StockUse, 4).Daily(), rate("stock_rate", f.Rate, 4), rate("stock_rate_least_flow", f.Least, 3), rate("stock_rate_peak_flow", f.Peak, 3))
	o.Part("range", p.rangeData(f))
	o.Part("carrier", p.carrierData(f))
	if s := f.Setting; s != nil {
		x := choiceData(s.Average, *f.Pump).Word("name", f.PumpName).Set("in_range", s.Stands()).Set("calibrated", !f.Pump.Calibration.FromPlate())
		if beyond := s.Beyond(); len(beyond) > 0 {
			x.Set("out_of_range_at", beyond)
		}
		if f.Follows {
			x.Set("follows_signal", true)
		}
		if turns := p.Turns(f); len(turns) > 0 {
			x.Set("settings", turnWords(turns, *f.Pump))
		}
		o.Part("pump", x)
	}
	if f.Lasts > 0 {
		days := quantity.Time(24 * float64(f.Lasts/p.Running))
		tank := p.TankOf(f)
		x := figure.New(litres("holds", tank.Holds(), 3), inHours("lasts", f.Lasts, 3), figure.Of("lasts_days", days, "d", 3).If(days >= 72)).
			Set("name", tank.Name)
		if others := p.BesideIn(f); others != nil {
			x.Set("shared_with", others)
		}
		o.Part("tank", x)
	}
}

// rangeData is how far dose, use and feed may be off, of a stock or of product that is given dry; nil where they are exact.
func (p Plan) rangeData(f dosing.Feed) *figure.Object {
	r := f.Range
	if !r.Known {
		return nil
	}
	x := figure.New(mgL("dose_low", r.DoseLow.Concentration, 3), mgL("dose_high", r.DoseHigh.Concentration, 3),
		massRate("product_use_low", r.ProductLow, 3), massRate("product_use_high", r.ProductHigh, 3))
	switch {
	case f.Fed:
		x.Put(rate("stock_rate_low", r.RateLow, 3), rate("stock_rate_high", r.RateHigh, 3))
	case p.Running > 0:
		x.Put(anHour("product_rate_low", p.inAnHour(r.ProductLow)), anHour("product_rate_high", p.inAnHour(r.ProductHigh)))
	}
	if s := f.Setting; s != nil && s.HasRange {
		x.Put(knob("setting_low", s.Range[0].Exact.Setting, 3), knob("setting_high", s.Range[1].Exact.Setting, 3))
	}
	if r.Open {
		x.Set("open_high", true)
	}
	return x
}

// inAnHour is what a day's use of product is while the day runs.
func (p Plan) inAnHour(aDay quantity.MassRate) quantity.MassRate {
	return aDay * 24 / quantity.MassRate(p.Running)
}

// hourly shows a mass rate by the hour, as it is weighed out.
type hourly struct{ quantity.MassRate }

// Show gives g/h, kg/h or lb/h.
func (h hourly) Show(u quantity.System) (float64, string) {
	unit := either(h.In("kg/h") >= 1, "kg/h", "g/h")
	if u == quantity.US {
		unit = "lb/h"
	}
	return h.In(unit), unit
}

// anHour is what is weighed out in an hour.
func anHour(key string, m quantity.MassRate) figure.Figure {
	return figure.Of(key, hourly{m}, "g/h", 3)
}

// choiceData is where a pump has to stand: exactly, and as its knob can.
func choiceData(c pump.Choice, p pump.Pump) *figure.Object {
	return figure.New(knob("setting", c.Exact.Setting, 3), knob("knob", c.Position.Setting, 4), onScale(p, c.Position.Setting),
		knob("stroke", c.Position.Stroke, 3).If(p.Calibration.NamesStroke()), rate("gives", c.Gives, 3), figure.Of("off", c.Error, "%", 2))
}

// turnWords is what a pump that is set by hand stands at in the course of the day, each with its hours; of more than a
// line can tell it points to the list. Its average beside it is never set.
func turnWords(turns []dosing.Turn, p pump.Pump) string {
	if !dosing.Few(turns) {
		return "by the list"
	}
	var each []any
	for _, k := range turns {
		o := choiceData(k.Choice, p)
		at := standing(o.Fig("knob").To(3), o.Fig("on_scale")).If(o.Has("stroke"), ", stroke %s", o.Fig("stroke"))
		each = append(each, at.And(" %s", SpansText(k.Hours)))
	}
	return figure.Style{}.Show(figure.And(", ", each...))
}

// SpansText writes hours of the clock: "06:00-10:00 and 16:00-20:00".
func SpansText(spans []flow.Span) string {
	var out []string
	for _, s := range spans {
		out = append(out, clockOf(s.From)+"-"+clockOf(s.To))
	}
	return strings.Join(out, " and ")
}

// portionsWords is what a hand gives in the course of the day: each portion with its hours, or of more than a line can tell the least and
// the most. Its average is never given.
func portionsWords(f dosing.Feed, given []dosing.Portion) figure.Phrase {
	of := func(x dosing.Portion) figure.Phrase {
		every, scoops := rhythmOf(f, x.Product)
		return figure.Say("%s", kilos("", portionOf(x.Product, every), 3)).If(scoops > 0, " every %s", rhythm(every))
	}
	by := func(a, b dosing.Portion) int { return cmp.Compare(a.Product, b.Product) }
	if len(given) > dosing.MostTurns {
		return figure.Say("%s to %s, by the list", of(slices.MinFunc(given, by)), of(slices.MaxFunc(given, by)))
	}
	var each []any
	for _, x := range given {
		each = append(each, figure.Say("%s %s", of(x), SpansText([]flow.Span{x.Hours})))
	}
	return figure.And(", ", each...)
}

// onScale is what a knob with marks of its own shows.
func onScale(p pump.Pump, at quantity.Setting) figure.Figure {
	return figure.Figure{Key: "on_scale", Q: figure.Plain{V: p.Scale.Shows(at), U: p.Scale.Unit}, Digits: 3}.If(p.Scale.Top > 0)
}

// standing is a position of the knob, in marks of its own where it has them.
func standing(percent figure.Figure, own figure.Figure) figure.Phrase {
	return figure.Say("%s", percent).If(own.Known(), " (%s)", own)
}

func batchData(b dosing.Batch) *figure.Object {
	o := figure.New(litres("volume", b.Volume, 3), kilos("product", b.Recipe.Product, 3), litres("product_volume", b.Recipe.ProductVolume, 3).If(b.Recipe.ProductVolume > 0),
		litres("water", b.Recipe.Water, 3), litres("left", b.Left, 3), litres("full", b.Full, 3)).Set("start", figure.Clock(b.Start)).Set("ready", figure.Clock(b.Aged))
	if b.Moved > b.Made+1e-9 {
		o.Set("moved", figure.Clock(b.Moved))
	}
	if b.LetOut {
		o.Set("left_is_let_out", true)
	}
	return o.Set("used_from", figure.Clock(max(b.From, b.Aged, b.Moved))).Set("used_till", figure.Clock(b.Till)).Set("expires", figure.Clock(b.Expires))
}

func workingData(w dosing.Working) *figure.Object {
	value := figure.Figure{Key: "value", Q: w.Value, Digits: 5}
	switch v := w.Value.(type) {
	case quantity.Dose:
		value = figure.Dose("value", v, 5)
	case quantity.Time: // the hours that a pump runs are no days of the calendar
		value = inHours("value", v, 5)
	}
	return figure.New().Set("figure", w.Figure).Set("formula", w.Formula).Phrase("inputs", w.Inputs).Put(value).Word("source", w.Source)
}

// taskData is one task; its sentence has the figures of the object.
func (p Plan) taskData(k dosing.Task) *figure.Object {
	o := figure.New().Set("at", figure.Clock(k.At)).Word("day", dayWord(k.At, k.Day))
	if k.Feed >= 0 {
		o.Set("chemical", p.Feeds[k.Feed].Name)
	}
	o.Set("kind", string(k.Kind))
	switch k.Kind {
	case dosing.SetPump, dosing.Stands:
		f := p.Feeds[k.Feed]
		o.Part("pump", choiceData(k.Choice, *f.Pump).Set("in_range", k.Choice.Reach == pump.Within)).Put(water("flow", k.Flow).If(k.Flow > 0), rate("stock_rate", k.Rate, 3).If(k.Rate > 0))
	case dosing.MakeUp:
		o.Part("batch", batchData(k.Batch).Put(litres("stands", k.Batch.Stands, 3)))
	case dosing.FeedByHand:
		handData(o, p.Feeds[k.Feed], k.Product, k.Rate).Put(water("flow", k.Flow))
	case dosing.ChangeDrum:
		if k.Batch.Full > 0 {
			f := p.Feeds[k.Feed]
			o.Put(litres("stands", k.Batch.Stands, 3), litres("volume", k.Batch.Volume, 3), litres("full", k.Batch.Full, 3),
				kilos("product", quantity.Mass(float64(k.Batch.Volume)*float64(f.Stock.Product.Density.V)), 3).If(f.Stock.Product.Density.V > 0))
		}
	case dosing.MoveStock:
		o.Put(litres("stands", k.Batch.Left, 3), litres("let_out", k.Batch.Spilled, 3).If(k.Batch.Spilled > 1e-3*k.Batch.Full))
	case dosing.EmptyBin:
		o.Put(litres("contents", k.Emptying.Contents, 3))
		o.Put(hours("every", k.Every, 2).In(figure.Long).If(k.Every > 0))
	}
	if k.Alone {
		o.Set("nobody_there", true)
	}
	return o.Set("text", figure.Style{}.Show(p.taskText(k, o)))
}

// handData is what a hand or a feeder has to give: so much an hour, and in a portion.
func handData(o *figure.Object, f dosing.Feed, dry quantity.MassRate, wet quantity.FeedRate) *figure.Object {
	if f.Fed {
		return o.Put(rate("stock_rate", wet, 3), litres("portion_volume", quantity.Volume(wet.In("L/h"))*quantity.Volume(portionEvery), 3), rhythm(portionEvery))
	}
	every, n := rhythmOf(f, dry)
	if f.Scoop.OK {
		o.Put(kilos("scoop", f.Scoop.V, 3)).Set("scoops", n)
	}
	return o.Put(anHour("product_rate", dry), kilos("portion", portionOf(dry, every), 3), rhythm(every))
}

// rhythmOf is how often a portion is given by hand: that of whole scoops, where one was weighed, is that of what is weighed out too.
func rhythmOf(f dosing.Feed, dry quantity.MassRate) (every quantity.Time, scoops int) {
	if !f.Scoop.OK {
		return portionEvery, 0
	}
	scoops, every = wholeScoops(float64(portionOf(dry, portionEvery) / f.Scoop.V))
	return every, scoops
}

// rhythm is how often a portion is given.
func rhythm(every quantity.Time) figure.Figure { return figure.Of("portion_every", every, "min", 4) }

// portionOf is what is given at a time, that often, of so much in a day of 24 hours.
func portionOf(dry quantity.MassRate, every quantity.Time) quantity.Mass {
	return quantity.Mass(dry.In("kg/d")) * quantity.Mass(every/24)
}

// wholeScoops is how many level scoops are given at a time, and how often, where so many would do for each
// portion: nobody measures half of one. It is the next whole minute; of a half the one that gives no less.
func wholeScoops(each float64) (n int, every quantity.Time) {
	n = max(1, int(math.Round(each)))
	minutes := float64(n) / each * portionEvery.In("min")
	return n, quantity.Time(max(1, math.Ceil(minutes-0.5-1e-9)) / 60)
}

func (p Plan) hourData(h dosing.HourRow) *figure.Object {
	feeds := []*figure.Object{}
	for k, f := range p.Feeds {
		if !f.Fed {
			continue
		}
		x := h.Feeds[k]
		feeds = append(feeds, figure.New(rate("stock_rate", x.Rate, 3).In(figure.Full),
			knob("setting", x.Setting, 3).In(figure.Full).If(f.Setting != nil && !x.OutOfReach), hourScale(f, x),
			knob("stroke", x.Stroke, 3).If(f.Setting != nil && f.Pump.Calibration.NamesStroke() && x.Rate > 0 && !x.OutOfReach), litres("stock_used", x.Used, 3),
			litres("tank_level", x.Level, 3).In(figure.Tenth).If(x.HasLevel)).Set("chemical", f.Name))
		if x.OutOfReach {
			feeds[len(feeds)-1].Set("out_of_reach", true)
		}
	}
	return figure.New(water("flow", h.Flow).In(figure.Full)).Set("from", figure.Clock(h.From)).List("feeds", feeds)
}

// hourScale is the setting of an hour in the marks of the knob's own scale.
func hourScale(f dosing.Feed, x dosing.HourFeed) figure.Figure {
	if f.Setting == nil || x.OutOfReach || x.Rate == 0 {
		return figure.Figure{}
	}
	return onScale(*f.Pump, x.Setting)
}

func (p Plan) solidsData() *figure.Object {
	s := p.Solids
	if s == nil {
		return nil
	}
	o := figure.New(kilos("dry", s.Dry.Likely, 3).Daily(), kilos("dry_low", s.Dry.Low, 3).Daily(), kilos("dry_high", s.Dry.High, 3).Daily(),
		litres("volume", s.Volume.Likely, 3).Daily(), litres("float", s.Float.Likely, 3).Daily(), litres("float_low", s.Float.Low, 3).Daily(),
		litres("float_high", s.Float.High, 3).Daily(), figure.Of("dry_share", s.Share, "%", 2), litres("water_skimmed", s.Carried, 3).Daily().If(s.Skims > 0)).
		Bare(plainNumber("skims", s.Skims, 0).If(s.Skims > 0))
	if s.Bin != nil && s.Emptys.Fills {
		full := hours("bin_full_in", s.Emptys.FullIn, 3)
		if p.Running < 24-1e-6 { // hours of running are no days
			full = figure.Of("bin_full_in", figure.Fixed{Q: s.Emptys.FullIn, Unit: "h"}, "h", 3)
		}
		o.Put(full).Bare(plainNumber("emptied_a_day", s.ADay(), 2))
		o.Put(figure.Of("emptied_every", figure.Fixed{Q: s.Emptys.Every(), Unit: "d"}, "h", 3).In(figure.Full).If(len(s.Daily) == 0))
		var at []figure.Clock
		for _, e := range s.Today(p.Start) {
			at = append(at, figure.Clock(e.At))
		}
		if at != nil {
			o.Set("empty_at", at)
		}
	}
	return o.List("parts", objects(s.Parts, func(x solids.Part) *figure.Object {
		return figure.New(mgL("likely", x.Range.Likely, 3), mgL("low", x.Range.Low, 3), mgL("high", x.Range.High, 3)).
			Set("what", x.What).Set("working", x.Working).Set("source", x.Source)
	}))
}

// moneyData is what a day costs; nothing where nothing has a price.
func moneyData(c month.DayCost) *figure.Object {
	if !c.Priced() {
		return nil
	}
	lines := []*figure.Object{}
	for _, l := range c.Lines() {
		if l.Amount.Amount > 0 {
			lines = append(lines, figure.New(amount("cost", l.Amount)).Set("item", l.Name))
		}
	}
	orders := objects(c.Orders, func(x month.Order) *figure.Object {
		return packed(figure.New(), x.Pack, x.PackVolume).Put(amount("charge", x.Charge)).Set("chemical", x.Chemical).Set("packs", x.Packs)
	})
	o := figure.New(amount("total", c.Total()), pricePer("per_1000m3", c.Per1000(), 4)).List("lines", lines).Some("usual_orders", orders)
	if len(c.Lacks) > 0 {
		o.Set("lacks_the_price_of", c.Lacks)
	}
	if none := c.NotPriced(); len(none) > 0 {
		o.Set("not_priced", none)
	}
	return o
}

func (p Plan) solidsNotes() note.List {
	if p.Solids == nil {
		return nil
	}
	return p.Solids.Notes
}

func (p Plan) phosphorusNotes() note.List {
	if p.Phosphorus == nil {
		return nil
	}
	return p.Phosphorus.Notes
}

// JSON gives the document jarwright.plan/1.
func (p Plan) JSON() any { return p.data() }

// Table gives one row a feed, and below them the card of those whose dose is that of past tests: a row for each class of raw water and flow.
func (p Plan) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("chemical", "dose = mg/L", "basis", "flow = m3/h", "active_use = kg/d", "product_use = kg/d", "product_volume = L/d",
		"stock = g/L", "stock_rate = mL/min", "stock_rate_least stock_rate_least_flow mL/min", "stock_rate_peak stock_rate_peak_flow mL/min", "pump pump.name", "setting pump.setting %",
		"in_range pump.in_range", "tank_lasts tank.lasts h", "batches", "settings pump.settings")}
	var card []*figure.Object
	for _, f := range p.Feeds {
		x := p.feedData(f)
		if x.Has("pump.settings") { // the average is not set
			x.Sub("pump").Set("setting", nil)
		}
		t.Rows = append(t.Rows, x.Set("basis", f.Dose.Basis.String()).Set("batches", len(f.Batches)).Set("stopped", figure.Worded(p.stoppedBy)))
		card = append(card, byRawRows(x, f.Dose.Basis.String())...)
	}
	if p.Findings.Stopped {
		t.Cols = append(t.Cols, figure.Columns("stopped")...)
	}
	if t = withStripping(withSludge(t, p.Sludge), p.Findings.Strip); len(card) > 0 {
		t.Cols = append(t.Cols, figure.Columns("for", "raw_from = NTU", "raw_to = NTU")...)
		t.Rows = append(t.Rows, card...)
	}
	return t
}

// stoppedBy says what stops a plan, in one line; empty where nothing does.
func (p Plan) stoppedBy(show func(note.List) note.List) string {
	if !p.Findings.Stopped {
		return ""
	}
	var why []string
	for _, n := range show(p.Findings.Notes.Only(note.Stop)) {
		why = append(why, n.Message)
	}
	return "STOPPED: " + strings.Join(why, "; ")
}

// clockOf writes a time of day.
func clockOf(h quantity.Time) string { return figure.Clock(h).String() }
