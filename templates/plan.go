package templates

import (
	"fmt"
	"math"
	"strings"

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
	Cost     month.DayCost
}

// NewPlan makes the report of a plan.
func NewPlan(p dosing.Plan, f caution.Findings, s *dosing.SolidsDay, cost month.DayCost) Plan {
	if f.Stopped {
		p = p.Withheld()
	}
	return Plan{p, f, s, cost}
}

// Text writes the page to work from first, then the figures behind it.
func (p Plan) Text(t *Text, o Options) {
	d := p.data()
	title := "Day plan"
	if p.Site != "" {
		title += ": " + p.Site
	}
	if !o.Date.IsZero() {
		title += ", " + o.Date.Format("2006-01-02")
	}
	t.Head(title)
	p.waterLine(t, d.Sub("flow"))
	stoppedText(t, p.Findings)
	acceptedText(t, p.Findings.Taken)
	if len(p.Feeds) > 1 {
		p.feedTable(t, d)
	}
	p.taskTable(t, d)
	p.hourText(t, d)
	p.recipes(t, d)
	p.binText(t, d)
	if grave := p.grave(); len(grave) > 0 {
		t.Head("Look at this first")
		t.Notes(grave)
	}
	for i, f := range p.Feeds {
		p.feedText(t, f, d.Objects("feeds")[i])
	}
	p.solidsText(t, o, d.Sub("solids"))
	p.moneyText(t, d.Sub("money"))
	waterText(t, d)
	cautionText(t, p.Findings, o)
	handlingText(t, p.Findings.Handling, o)
	if rest := p.Notes.Only(note.Info); len(rest) > 0 {
		t.Head("Notes")
		t.Notes(rest)
	}
	if o.Explain {
		p.workingText(t, d)
		checkText(t, p.Findings.Checks)
	}
}

// grave gives the plan's own notes that matter before anything is set.
func (p Plan) grave() note.List {
	var out note.List
	for _, n := range p.Notes {
		if n.Level >= note.Caution {
			out.Add(n)
		}
	}
	if p.Solids != nil {
		out = append(out, p.Solids.Notes...)
	}
	return out
}

// feedTable writes one line a chemical: what a pump is to do.
func (p Plan) feedTable(t *Text, d *figure.Object) {
	t.Head("Pumps")
	cols := []Col{{Head: "Chemical"}, {Head: "Dose"}, {Head: "Pump"}, {Head: "Set to", Right: true}, {Head: "Feed", Right: true}, {Head: "Stock/day", Right: true}, {Head: "Tank lasts", Right: true}}
	var rows [][]any
	for i, f := range p.Feeds {
		x := d.Objects("feeds")[i]
		row := []any{f.Name, x.Fig("dose").To(3), f.PumpName, "", "", "", ""}
		switch {
		case !x.Has("pump"):
		case !f.Setting.InRange:
			row[3] = "out of range"
		case f.Follows:
			row[3] = "follows flow"
		case x.Has("pump.stroke"):
			row[3] = figure.Say("%s, stroke %s", x.Fig("pump.knob").To(3), x.Fig("pump.stroke"))
		default:
			row[3] = x.Fig("pump.knob").To(3)
		}
		switch {
		case f.Fed:
			row[4], row[5] = x.Fig("stock_rate").To(3), x.Fig("stock_use").To(3)
			if x.Has("tank") {
				row[6] = x.Fig("tank.lasts")
			}
		case p.Findings.Stopped:
			row[3] = "withheld"
		default:
			row[4] = x.Fig("product_use").To(3)
		}
		rows = append(rows, row)
	}
	t.Grid(cols, rows)
}

func (p Plan) taskTable(t *Text, d *figure.Object) {
	if len(p.Tasks) == 0 || len(p.Feeds) < 2 && len(p.Tasks) < 2 {
		return
	}
	t.Head("What to do when")
	var rows [][]any
	bins := p.binTasks()
	for i, k := range p.Tasks {
		for len(bins) > 0 && bins[0].at < k.At {
			rows = append(rows, []any{figure.Clock(bins[0].at), bins[0].what})
			bins = bins[1:]
		}
		x := d.Objects("tasks")[i]
		rows = append(rows, []any{figure.Clock(k.At), p.taskText(k, x, feedOf(d, k.Feed))})
	}
	for _, b := range bins {
		rows = append(rows, []any{figure.Clock(b.at), b.what})
	}
	t.Grid([]Col{{Head: "Time"}, {Head: "Task"}}, rows)
}

func feedOf(d *figure.Object, i int) *figure.Object {
	if feeds := d.Objects("feeds"); i >= 0 && i < len(feeds) {
		return feeds[i]
	}
	return nil
}

type binTask struct {
	at   quantity.Time
	what figure.Phrase
}

// binTasks lists the emptyings of the plan's first day.
func (p Plan) binTasks() []binTask {
	if p.Solids == nil || p.Solids.Bin == nil {
		return nil
	}
	var out []binTask
	for _, e := range p.Solids.Emptys.Emptyings {
		if e.At >= p.Start+24 {
			break
		}
		s := figure.Say("empty %s (%s in it)", p.Solids.Bin.Name, litres("", e.Contents, 3))
		if e.Early {
			s = figure.Say("%s: it would run over while nobody is there", s)
		}
		out = append(out, binTask{e.At, s})
	}
	return out
}

func (p Plan) recipes(t *Text, d *figure.Object) {
	headed := false
	for i, f := range p.Feeds {
		if len(f.Batches) == 0 {
			continue
		}
		if !headed {
			t.Head("Stock recipes")
			headed = true
		}
		t.Para(t.opt.Show(recipe(f, d.Objects("feeds")[i])))
	}
}

// binText says when the bin is full if it is not emptied in the plan's day.
func (p Plan) binText(t *Text, d *figure.Object) {
	if p.Solids == nil || p.Solids.Bin == nil || !p.Solids.Emptys.Fills || len(p.binTasks()) > 0 {
		return
	}
	t.Blank()
	t.Say("%s: full in %s if left alone; empty it then.", upperFirst(p.Solids.Bin.Name), d.Fig("solids.bin_full_in"))
}

func (p Plan) solidsText(t *Text, o Options, d *figure.Object) {
	s := p.Solids
	if s == nil {
		return
	}
	word := "float"
	if s.Unit == "settler" {
		word = "sludge"
	}
	t.Head("Solids")
	facts := []Fact{
		{"Dry solids a day", figure.Say("%s (%s to %s)", d.Fig("dry"), d.Fig("dry_low"), d.Fig("dry_high"))},
		{upperFirst(word) + " a day", figure.Say("%s at %s dry (%s); %s to %s", d.Fig("float"), d.Fig("dry_share"), s.ShareFrom, d.Fig("float_low"), d.Fig("float_high"))},
	}
	if d.Has("skims") {
		facts = append(facts, Fact{"Water skimmed off", figure.Say("%s a day in %s passes", d.Fig("water_skimmed"), d.Fig("skims"))})
	}
	if d.Has("bin_full_in") {
		facts = append(facts, Fact{upperFirst(s.Bin.Name), figure.Say("%s until it is full, to be emptied %s times a day", d.Fig("bin_full_in"), d.Fig("emptied_a_day"))})
	}
	t.Facts(append(facts, unitFacts(d.Sub("unit"))...))
	if !o.Explain {
		return
	}
	unitText(t, s.Day, d.Sub("unit"))
	for _, x := range d.Objects("parts") {
		t.Item("-", o.Say("%s: %s = %s per litre of water (%s to %s) [%s]", x.Get("what"), x.Get("working"), x.Fig("likely"), x.Fig("low"), x.Fig("high"), x.Get("source")))
	}
}

// moneyText is what the day costs, and what that leaves out.
func (p Plan) moneyText(t *Text, d *figure.Object) {
	if !p.Cost.Priced() && len(p.Cost.Notes) == 0 {
		return
	}
	t.Head("Cost of the day")
	if p.Cost.Priced() {
		var facts []Fact
		for _, l := range d.Objects("lines") {
			facts = append(facts, Fact{upperFirst(word(l, "item")), l.Fig("cost")})
		}
		t.Facts(append(facts, Fact{"All of it", figure.Say("%s, %s", d.Fig("total"), d.Fig("per_1000m3"))}))
	}
	t.Notes(p.Cost.Notes)
}

// waterLine says what water there is to treat.
func (p Plan) waterLine(t *Text, d *figure.Object) {
	s := figure.Say("Water to treat: %s at %s on average", d.Fig("treated"), d.Fig("average"))
	if p.Day.Least() < p.Day.Average()*0.999 || p.Day.Peak() > p.Day.Average()*1.001 {
		s = figure.Say("%s (%s to %s)", s, d.Fig("least"), d.Fig("peak"))
	}
	t.Say("%s, running %s (%s).", s, d.Fig("hours"), p.FlowSource)
}

// feedText writes the figures of a chemical.
func (p Plan) feedText(t *Text, f dosing.Feed, d *figure.Object) {
	head := upperFirst(f.Name)
	if f.Stock.Product.Name != "" && !strings.EqualFold(f.Stock.Product.Name, f.Name) {
		head += ": " + f.Stock.Product.Name
	}
	t.Head(head)
	facts := []Fact{{"Dose", doseWords(f, d)}}
	if f.Dose.Basis != quantity.AsProduct {
		product := d.Fig("dose_as_product")
		product.Basis = quantity.NotStated
		facts = append(facts, Fact{"", figure.Say("%s as product, which is the same", product)})
	}
	use := figure.Say("%s of product", d.Fig("product_use"))
	if d.Has("product_volume") {
		use = figure.Say("%s, %s", use, d.Fig("product_volume"))
	}
	if d.Has("active_use") {
		use = figure.Say("%s (%s)", use, d.Fig("active_use"))
	}
	facts = append(facts, Fact{"Use a day", use})
	if f.Fed {
		facts = append(facts, p.fedFacts(t.opt, f, d)...)
	}
	t.Facts(facts)
}

// doseWords is a dose with its interval and where it comes from.
func doseWords(f dosing.Feed, d *figure.Object) figure.Phrase {
	low, high := d.Fig("dose_low"), d.Fig("dose_high")
	low.Basis, high.Basis = quantity.NotStated, quantity.NotStated
	s := figure.Say("%s", d.Fig("dose"))
	switch {
	case low.Known() && high.Known():
		s = figure.Say("%s (%s to %s)", d.Fig("dose"), low, high)
	case low.Known():
		s = figure.Say("%s (from %s, upper end open)", d.Fig("dose"), low)
	}
	if f.DoseSource != "" {
		s = figure.Say("%s, %s", s, f.DoseSource)
	}
	return s
}

// fedFacts are stock, feed, pump and tank of a chemical that is pumped.
func (p Plan) fedFacts(o Options, f dosing.Feed, d *figure.Object) []Fact {
	stock := any("neat product")
	if !f.Stock.Neat() {
		stock = strengthWords(o, d)
	}
	if d.Has("at_dosing_point") {
		stock = figure.Say("%s; with %s of carrier water %s by mass at the dosing point", stock, d.Fig("carrier_water"), d.Fig("at_dosing_point"))
	}
	feed := figure.Say("%s", d.Fig("stock_rate"))
	if f.Least < f.Rate*0.999 || f.Peak > f.Rate*1.001 {
		feed = figure.Say("%s on average; %s at least flow, %s at peak", d.Fig("stock_rate"), d.Fig("stock_rate_least_flow"), d.Fig("stock_rate_peak_flow"))
	}
	facts := []Fact{{"Stock", figure.Say("%s, %s a day", stock, d.Fig("stock_use"))}, {"Feed", feed}}
	if d.Has("pump") {
		s := settingWords(d.Sub("pump"), f)
		if !f.Setting.InRange {
			s = figure.Say("%s; OUT OF RANGE, see below", s)
		}
		facts = append(facts, Fact{"Setting", s})
	}
	if d.Has("tank") {
		s := figure.Say("%s usable in %s: a full one lasts %s", d.Fig("tank.holds"), f.Tank.Name, d.Fig("tank.lasts"))
		if f.HasEmpty && f.Stock.Neat() {
			s = figure.Say("%s; as it stands, empty at %s", s, dayClock(f.Empty))
		}
		facts = append(facts, Fact{"Tank", s})
	}
	if d.Has("range") {
		facts = append(facts, Fact{"Not certain", uncertain(d.Sub("range"))})
	}
	return facts
}

// strengthWords is the product in a litre of stock, in a gallon to readers of US units.
func strengthWords(o Options, d *figure.Object) figure.Phrase { return strengthOf(o, d, "") }

// strengthOf says so of a product by its name, which a blank follows.
func strengthOf(o Options, d *figure.Object, name string) figure.Phrase {
	grams, _ := d.Fig("stock").Document()
	if o.Units == quantity.US {
		return figure.Say("%s of %sproduct per gallon", kilos("", quantity.Mass(grams/1000*gallon), 4), name)
	}
	return figure.Say("%s of %sproduct per litre", figure.Figure{Q: figure.Plain{V: grams, U: "g"}, Digits: 4}, name)
}

// uncertain says how far use, feed and setting may be off.
func uncertain(r *figure.Object) figure.Phrase {
	s := figure.Say("%s to %s of product a day, %s to %s", r.Fig("product_use_low"), r.Fig("product_use_high"), r.Fig("stock_rate_low"), r.Fig("stock_rate_high"))
	if r.Has("setting_low") {
		s = figure.Say("%s, setting %s to %s", s, r.Fig("setting_low"), r.Fig("setting_high"))
	}
	if r.Has("open_high") {
		s = figure.Say("%s; how much higher the dose may have to be, the bench does not tell", s)
	}
	return s
}

// knobWords says where the knobs stand and what comes of it.
func knobWords(d *figure.Object, c pump.Choice) figure.Phrase {
	if c.Reach != pump.Within {
		return figure.Say("would need %s of its range", d.Fig("setting"))
	}
	at := figure.Say("%s", d.Fig("knob"))
	if d.Has("stroke") {
		at = figure.Say("speed %s, stroke %s", d.Fig("knob"), d.Fig("stroke"))
	}
	return figure.Say("set to %s %s", at, givesWords(d, c))
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
	case d.Has("stroke"):
		return figure.Say("%s speed, %s stroke%s %s", d.Fig("knob"), d.Fig("stroke"), on, givesWords(d, c))
	default:
		return figure.Say("%s%s %s", d.Fig("knob"), on, givesWords(d, c))
	}
}

// givesWords is what a setting gives, and how far off that is.
func givesWords(d *figure.Object, c pump.Choice) figure.Phrase {
	if math.Abs(float64(c.Error)) < 0.005 {
		return figure.Say("(gives %s)", d.Fig("gives"))
	}
	word := "over"
	if c.Error < 0 {
		word = "under"
	}
	return figure.Say("(gives %s, %s %s)", d.Fig("gives"), figure.Of("", max(c.Error, -c.Error), "%", 2), word)
}

// recipe says how a batch of stock is made up.
func recipe(f dosing.Feed, d *figure.Object) figure.Phrase {
	b := d.Objects("batches")[0]
	name := f.StockName
	if name == "" {
		name = f.Name
	}
	s := figure.Say("%s: to make up %s, weigh %s", upperFirst(name), b.Fig("volume"), b.Fig("product"))
	if b.Has("product_volume") {
		s = figure.Say("%s (%s)", s, b.Fig("product_volume"))
	}
	s = figure.Say("%s of product into most of %s of water, fill up to %s", s, b.Fig("water"), b.Fig("volume"))
	if f.Ageing > 0 {
		s = figure.Say("%s, stir gently and let it age %s", s, hours("", f.Ageing, 3))
	}
	s = figure.Say("%s. It keeps %s.", s, inHours("", f.Life, 3))
	for _, x := range f.Batches {
		if math.Abs(float64(x.Volume-f.Batches[0].Volume)) >= 1e-9 {
			s = figure.Say("%s Other batches in proportion: see the times below.", s)
			break
		}
	}
	if f.Every > 1 {
		s = figure.Say("%s One batch lasts %s days.", s, f.Every)
	}
	return s
}

// useBy gives the end of a batch's life as the one who makes it up would say it.
func useBy(b dosing.Batch) string {
	made := math.Floor(float64(b.Start) / 24)
	switch days := math.Floor(float64(b.Expires)/24) - made; {
	case days <= 0:
		return clockOf(b.Expires) + " today"
	case days == 1:
		return clockOf(b.Expires) + " tomorrow"
	default:
		return fmt.Sprintf("%s in %.0f days", clockOf(b.Expires), days)
	}
}

func dayClock(h quantity.Time) string {
	if h >= 24 {
		return fmt.Sprintf("%s, %d day(s) on", clockOf(h), int(math.Floor(float64(h)/24)))
	}
	return clockOf(h)
}

// taskText is what to do, from the task's own object and that of its feed.
func (p Plan) taskText(k dosing.Task, d, feed *figure.Object) figure.Phrase {
	if k.Feed < 0 {
		return figure.Say("%s", string(k.Kind))
	}
	f := p.Feeds[k.Feed]
	pumpName, stock := orWord(f.PumpName, "the pump"), orWord(f.StockName, f.Name)
	switch k.Kind {
	case dosing.SetPump:
		if f.Follows {
			return figure.Say("%s follows the flow meter: check that it gives %s at %s", pumpName, feed.Fig("stock_rate_peak_flow"), d.Fig("flow"))
		}
		s := figure.Say("%s for %s: %s", pumpName, f.Name, knobWords(d.Sub("pump"), k.Choice))
		if d.Has("flow") && p.Day.Peak() > p.Day.Least()*1.001 {
			s = figure.Say("%s for %s", s, d.Fig("flow"))
		}
		return s
	case dosing.StopPump:
		return figure.Say("stop %s (%s): the unit stands still", pumpName, f.Name)
	case dosing.MakeUp:
		b := d.Sub("batch")
		s := figure.Say("make up %s of %s (%s of product)", b.Fig("volume"), stock, b.Fig("product"))
		if f.Ageing > 0 {
			s = figure.Say("%s, aged at %s", s, clockOf(k.Batch.Aged))
		}
		s = figure.Say("%s, use by %s", s, useBy(k.Batch))
		if f.Every > 1 {
			s = figure.Say("%s, every %s days", s, f.Every)
		}
		return s
	case dosing.MoveStock:
		return figure.Say("let %s over into %s", stock, f.Tank.Name)
	case dosing.ChangeDrum:
		return figure.Say("%s (%s) runs empty: fill or change it before", f.Tank.Name, f.Name)
	}
	return figure.Say("%s %s", string(k.Kind), f.Name)
}

// hourText writes the hour table, hours that are alike in one row.
func (p Plan) hourText(t *Text, d *figure.Object) {
	varies, levels := p.Day.Peak() > p.Day.Least()*1.001 || p.Running < 24, false
	var fed []int
	for k, f := range p.Feeds {
		if f.Fed {
			fed = append(fed, k)
		}
	}
	for _, h := range p.Hours {
		for _, f := range h.Feeds {
			levels = levels || f.HasLevel
		}
	}
	if len(fed) == 0 || len(p.Hours) == 0 || !varies && !levels {
		return
	}
	t.Head("Hour by hour")
	cols := []Col{{Head: "Hour"}, {Head: "Flow", Right: true, Bare: true}}
	tanked := func(f dosing.Feed) bool { return len(f.Batches) > 0 && f.Tank != nil }
	for _, k := range fed {
		f := p.Feeds[k]
		cols = append(cols, Col{Head: f.Name, Right: true, Bare: true})
		if f.Setting != nil {
			cols = append(cols, Col{Right: true, Bare: true})
		}
		if tanked(f) {
			cols = append(cols, Col{Head: "tank", Right: true, Bare: true})
		}
	}
	var rows [][]any
	hours := d.Objects("hours")
	for i := 0; i < len(p.Hours); i++ {
		j := i
		for j+1 < len(p.Hours) && alike(p.Hours[i], p.Hours[j+1]) && (j+2-i) <= 4 {
			j++
		}
		row := []any{flow.Clock(p.Hours[i].From) + "-" + flow.Clock(p.Hours[j].From+1), hours[i].Fig("flow")}
		for n, k := range fed {
			x := hours[i].Objects("feeds")[n]
			row = append(row, x.Fig("stock_rate"))
			if p.Feeds[k].Setting != nil {
				if p.Hours[i].Feeds[k].Rate == 0 {
					row = append(row, "off")
				} else {
					row = append(row, knobsOf(x))
				}
			}
			if tanked(p.Feeds[k]) {
				row = append(row, tankLevel(hours[j].Objects("feeds")[n].Fig("tank_level"), t.opt))
			}
		}
		rows = append(rows, row)
		i = j
	}
	t.Grid(cols, rows)
	if levels {
		t.Para("Tank: what should stand in it, usable, at the end of those hours.")
	}
}

// knobsOf is where the knob of an hour stands, with the stroke of a pump that has two.
func knobsOf(d *figure.Object) any {
	if d.Has("stroke") {
		return figure.Say("%s, stroke %s", unitless(d.Fig("setting")), unitless(d.Fig("stroke")))
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
	if math.Abs(float64(a.Flow-b.Flow)) > 1e-9 || a.Running != b.Running {
		return false
	}
	for k := range a.Feeds {
		if a.Feeds[k].Setting != b.Feeds[k].Setting || a.Feeds[k].Stroke != b.Feeds[k].Stroke {
			return false
		}
	}
	return true
}

func (p Plan) workingText(t *Text, d *figure.Object) {
	for _, f := range d.Objects("feeds") {
		t.Head(fmt.Sprintf("Working: %s", f.Get("chemical")))
		for _, w := range f.Objects("working") {
			t.Item("-", t.opt.Say("%s = %s = %s = %s [%s]", w.Get("figure"), w.Get("formula"), w.Get("inputs"), w.Fig("value"), word(w, "source")))
		}
		if f.Has("closure") {
			t.Item("-", t.opt.Say("check: stock used × strength = %s, dose × water = %s", f.Fig("closure.stock_times_strength"), f.Fig("closure.dose_times_water")))
		}
	}
}

// word is a piece of text of an object, empty where there is none.
func word(o *figure.Object, key string) string {
	s, _ := o.Get(key).(string)
	return s
}
