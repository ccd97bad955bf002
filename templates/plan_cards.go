package templates

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// ask says whom to ask, with a line to write on where nobody is named.
func ask(keeper string) string { return "Ask: " + cmp.Or(keeper, "______________") }

// logCols are columns to write in, the first at the left.
func logCols(heads ...string) (out []page.Col) {
	for _, h := range heads {
		out = append(out, page.Col{Head: h})
	}
	return out
}

// Cards gives a card for each pump or chemical fed by hand, for each stock that is made up, and for animals whose water is dosed by hand; while
// a stop stands, one that says so alone.
func (p Plan) Cards(o Options) []page.Card {
	var out []page.Card
	if p.Findings.Stopped {
		c := stopCard(o, cmp.Or(p.Site, "this water"), []string{"Dosing pumps and feeders off, and marked to stay off"}, p.answer(o, p.data()).Stops)
		c.Place, c.When, c.Ask = p.Site, dated(o.Date), ask(p.Keeper)
		return []page.Card{c}
	}
	feeds := p.data().Objects("feeds")
	for i, f := range p.Feeds {
		switch {
		case f.Setting != nil:
			out = append(out, p.pumpCard(f, feeds[i], o))
		case f.Pump == nil && f.AsProduct.Concentration > 0:
			out = append(out, p.handCard(f, feeds[i], o))
		}
	}
	for i := range out { // who stands at the pump has not read the question
		out[i].Cautions = append(p.doubts(o), out[i].Cautions...)
	}
	for i, f := range p.Feeds {
		if f.Fed && !f.Stock.Neat() && (f.TankWith == nil || f.Tank != nil) {
			out = append(out, p.stockCard(f, feeds[i], o))
		}
	}
	if c, ok := sludgeCard(p.Sludge, o); ok {
		out = append(out, c)
	}
	out = append(out, p.watchCards(o)...)
	for i := range out {
		out[i].Place, out[i].When, out[i].Valid, out[i].Ask = p.Site, dated(o.Date), p.valid(o), ask(p.Keeper)
	}
	return out
}

// doubts are the questions that have to be answered before anything is set.
func (p Plan) doubts(o Options) (out []string) {
	for _, n := range o.Notes(p.Notes) {
		if n.Doubts() {
			out = append(out, "Ask before you set this: "+remedied(upperFirst(n.Message), n.Remedy)+".")
		}
	}
	return out
}

// pumpCard is the setting of a pump for flows around the plan's: rows are flows,
// columns the dose of usual water with the ends of its interval, and of storm water.
func (p Plan) pumpCard(f dosing.Feed, d *figure.Object, o Options) page.Card {
	n := pageNumber(o, p.settingNumber(o, f, d))
	n.Beside = page.Pairs{{"Dose", o.Show(d.Fig("dose").To(3).In(figure.Full))}, {"Feed", o.Show(d.Fig("stock_rate").To(3).In(figure.Full))},
		{"Stock", o.Show(stockWords(o, f, d))}}
	if c := f.Setting.Average; c.Reach == pump.Within && c.Gives > 0 {
		column := (PumpAnswer{}).column(c.Gives)
		n.Beside = append(n.Beside, [2]string{"Stopwatch", o.Say("%s in %s", figure.Figure{Q: marked{column}}, figure.Figure{Q: pump.TimeFor(column, c.Gives), Form: figure.Watch})})
	}
	c := page.Card{Title: "Pump card: " + cmp.Or(f.PumpName, "Pump") + ", " + f.Name, Numbers: []page.Number{n},
		Lead: upperFirst(o.Say("%s, for %s of water%s.", knobWords("set to", d.Sub("pump"), f.Setting.Average), d.Fig("flow").In(figure.Full),
			figure.Say("").If(d.Has("past_tests"), " of %s", d.Fig("past_tests.raw_turbidity"))))}
	if x := d.Sub("past_tests"); x.Has("by_raw_water") {
		c.Tables = []page.Table{byRawTable(o, x)}
		c.Lead += " " + o.Show(byRawSays(x))
	} else {
		c.Tables = []page.Table{p.cardTable(f, "Setting for the flow and the water", p.classes(f), o)}
	}
	if k := cleaningClasses(f, o); len(k) > 1 {
		caption := "While a tank is cleaned up, by its reading" + either(f.CleaningCurve, "; between two readings the dose follows the straight line", "")
		c.Tables = append(c.Tables, p.cardTable(f, caption, k, o))
	}
	c.Checks = []string{"Flow of water read and written down", "Setting made; stroke and speed locked", "Feed checked on the measuring column", "Stock in the tank enough until the next round"}
	c.Log = page.Log{Title: "Check drawdowns", Lines: 4, Cols: logCols("Date, hour", "Flow", "Knob", "Drawn, mL", "In, s", "mL/min", "By")}
	c.Cautions = slices.Concat(p.acceptedFor(f, o), cardCautions(f, o))
	return c
}

// handCard is what to give by hand, or with a dry feeder or a tap, for flows around the plan's.
func (p Plan) handCard(f dosing.Feed, d *figure.Object, o Options) page.Card {
	each, feed := handData(figure.New(), f, p.inAnHour(f.Product), f.Rate), "product_rate"
	c := page.Card{Title: "Feed card: " + f.Name + ", by hand", Facts: page.Pairs{{"Dose", o.Show(d.Fig("dose").To(3).In(figure.Full))}}}
	portion := each.Fig("portion")
	if f.Fed {
		feed, portion = "stock_rate", each.Fig("portion_volume")
		c.Facts = append(c.Facts, [2]string{"Stock", o.Show(stockWords(o, f, d))})
	}
	c.Numbers = []page.Number{pageNumber(o, Number{For: "By hand, " + f.Name, Value: portion, Under: o.Say("every %s", each.Fig("portion_every"))})}
	given := figure.Say("%s", handWords(f, each)).If(!f.Fed, ", %s", caution.Portion(f.Stock.Product))
	c.Lead = upperFirst(o.Say("%s, or a feeder or tap set to %s, for %s of water.", given, each.Fig(feed), d.Fig("flow").In(figure.Full)))
	c.Tables = []page.Table{p.cardTable(f, "What to give, and how often", p.classes(f), o)}
	c.Checks = []string{"Flow of water read and written down", "Portion weighed, measured or counted", "Given evenly, into moving water", "Time of each portion written down"}
	if !f.Fed && !f.Scoop.OK {
		c.Checks = append(c.Checks, "One level scoop weighed: ______ (give it as the scoop of the chemical, and this card counts in scoops)")
	}
	c.Cautions = slices.Concat(p.acceptedFor(f, o), cardCautions(f, o))
	return c
}

// handWords is a portion: of stock by volume, of a dry product by weight.
func handWords(f dosing.Feed, d *figure.Object) figure.Phrase {
	if f.Fed {
		return figure.Say("%s every %s, dripped in evenly", d.Fig("portion_volume"), d.Fig("portion_every"))
	}
	return portionWords(d)
}

// acceptedFor are the stops that somebody took the risk of, for a card of a chemical: who stands at the
// pump has not read the plan.
func (p Plan) acceptedFor(f dosing.Feed, o Options) (out []string) {
	for _, a := range p.Findings.Taken {
		if a.By.Chemical == "" || dosing.SameName(a.By.Chemical, f.Name) {
			stop := o.Notes(note.List{a.Stop})[0]
			out = append(out, fmt.Sprintf("A stop, the risk accepted by %s (%s): %s.", a.By.By, a.By.Why, stop.Message))
		}
	}
	return out
}

// cardCautions are what a card warns of: the gravest of the feed, what was not checked, and the chemical.
func cardCautions(f dosing.Feed, o Options) (out []string) {
	for _, n := range o.Notes(f.Notes.Sorted()) {
		if n.Level > note.Caution || n.Level == note.Caution && len(out) < 3 {
			out = append(out, upperFirst(n.Message)+".")
		}
	}
	switch {
	case f.Storm.V > 0:
		out = append(out, "The planned dose has been checked against animals and alkalinity, that of storm water for what would stop the plan; have any other checked before it is set.")
	case len(f.Cleaning) > 1:
		out = append(out, "Only the planned dose has been checked against animals and alkalinity; have the others checked before they are set.")
	}
	if g := f.Stock.Product; g.Protection.Text != "" {
		out = append(out, o.Say("%s: %s. Wear %s. Safety data sheet first.", upperFirst(f.Name), g.Danger(), g.Protection.Told()))
	} else {
		out = append(out, "Goggles and gloves; the safety data sheet of "+f.Name+" first.")
	}
	return out
}

// cardSetting is where a pump has to stand, in few words.
func cardSetting(f dosing.Feed, c pump.Choice) any {
	d := choiceData(c, *f.Pump)
	at := d.Fig("knob").To(3).In(figure.Full)
	switch {
	case c.Reach != pump.Within:
		return "OUT OF RANGE"
	case d.Has("on_scale"):
		at = d.Fig("on_scale").In(figure.Full)
	}
	return figure.Say("%s", at).If(d.Has("stroke"), " at stroke %s", d.Fig("stroke").In(figure.Full))
}

// doseClass is a dose for a kind of raw water.
type doseClass struct {
	name string
	dose quantity.Concentration
}

// classes gives the doses of a card: the plan's, the ends of its interval where
// they are known, and that of storm water where there is one.
func (p Plan) classes(f dosing.Feed) []doseClass {
	out := []doseClass{}
	usual, planned := "", "Planned"
	if f.Storm.V > 0 {
		usual, planned = "Usual water, ", "Usual water"
	}
	if f.Low > 0 && f.Low < f.Dose.Concentration {
		out = append(out, doseClass{upperFirst(usual + "low end"), f.Low})
	}
	out = append(out, doseClass{planned, f.Dose.Concentration})
	if f.High > f.Dose.Concentration {
		out = append(out, doseClass{upperFirst(usual + "high end"), f.High})
	}
	if f.Storm.V > 0 {
		out = append(out, doseClass{"Storm water", f.Storm.V})
	}
	return out
}

// cleaningClasses gives the doses by a tank's reading, from clear to muddy.
func cleaningClasses(f dosing.Feed, o Options) []doseClass {
	var out []doseClass
	unit := f.CleaningKey.Info().Unit
	reading := func(v float64) figure.Figure { return brief("", v) }
	for i, s := range f.Cleaning {
		name := figure.Say("%s %s and more", reading(s.Reading), unit)
		switch last := i == len(f.Cleaning)-1; {
		case last:
		case f.CleaningCurve && i == 0 && s.Reading > 0:
			name = figure.Say("%s %s and less", reading(s.Reading), unit)
		case f.CleaningCurve:
			name = figure.Say("At %s %s", reading(s.Reading), unit)
		default:
			name = figure.Say("%s to %s %s", reading(s.Reading), reading(f.Cleaning[i+1].Reading), unit)
		}
		out = append(out, doseClass{o.Show(name), s.Dose})
	}
	return out
}

// cardTable has a row for each flow and a column for each class of water.
func (p Plan) cardTable(f dosing.Feed, caption string, classes []doseClass, o Options) page.Table {
	t := page.Table{Caption: caption, Cols: []page.Col{{Head: "Flow of water", Right: true}}}
	var doses []quantity.Concentration
	for _, k := range classes {
		d, err := product.Convert(quantity.Dose{Concentration: k.dose, Basis: f.Dose.Basis}, f.Stock.Product, quantity.AsProduct)
		if err != nil {
			continue
		}
		t.Cols = append(t.Cols, page.Col{Head: o.Say("%s: %s", k.name, mgL("", k.dose, 3).In(figure.Full)), Right: true})
		doses = append(doses, d.Concentration)
	}
	for i, q := range cardFlows(p.Day.Least(), f.Flow, p.Day.Peak(), o.Units) {
		if math.Abs(float64(q/f.Flow-1)) < 0.005 {
			t.Pick = i + 1
		}
		said := water("", q).In(figure.Full)
		if f.Pump == nil { // a portion is weighed by its row, which is of the plan's own flow or of a round one
			if said = water("", q).In(figure.Brief); t.Pick == i+1 {
				q, said = f.Flow, water("", f.Flow)
			}
		}
		row := []string{o.Show(said)}
		for _, dose := range doses {
			if f.Pump == nil {
				var wet quantity.FeedRate
				if f.Fed {
					wet = dosing.RateFor(dose, q, f.PerLitre)
				}
				row = append(row, o.Show(handWords(f, handData(figure.New(), f, dosing.Use(dose, q, 24), wet))))
				continue
			}
			fed := dosing.RateFor(dose, q, f.PerLitre)
			cell := figure.Say("%s", cardSetting(f, f.Pump.For(fed)))
			if len(doses) < 4 || !f.Pump.Calibration.TwoKnobs() { // two knobs leave no room for it
				cell = cell.And(" (%s)", rate("", fed, 3).In(figure.Full))
			}
			row = append(row, o.Show(cell))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// cardFlows gives seven flows, round in two digits of the reader's unit, from below
// the least to above the peak.
func cardFlows(least, average, peak quantity.Flow, s quantity.System) []quantity.Flow {
	low, high := math.Min(float64(least), 0.5*float64(average)), math.Max(float64(peak), 1.5*float64(average))
	one, _ := quantity.Flow(1).Show(s)
	var out []quantity.Flow
	const n = 7
	for i := range n {
		q := quantity.Flow(quantity.RoundSig((low+float64(i)*(high-low)/(n-1))*one, 2) / one)
		if q > 0 && (len(out) == 0 || q > out[len(out)-1]) {
			out = append(out, q)
		}
	}
	return out
}

// cardBatches are volumes that people make up, beside the plan's own.
var cardBatches = map[quantity.System][]quantity.Volume{
	quantity.Metric: {5, 10, 20, 50, 100},
	quantity.US:     {gallon, 2 * gallon, 5 * gallon, 10 * gallon, 25 * gallon},
}

// gallon is a US gallon (exactly 231 cubic inches, NIST Handbook 44, appendix C).
const gallon = 231 * 2.54 * 2.54 * 2.54 / 1000

// batchRuler tells the product for other batches of a stock, as much of each as there is of the other: two scales of one board.
func batchRuler(f dosing.Feed, o Options) *page.Ruler {
	now := f.Batches[0]
	unit := func(g figure.Figure) float64 { v, _ := g.Q.Show(o.Units); return v }
	volume, product := litres("", now.Volume, 3), kilos("", now.Recipe.Product, 3)
	if unit(volume) <= 0 || unit(product) <= 0 {
		return nil
	}
	perBatch := unit(product) / unit(volume)
	r := &page.Ruler{Small: true, Above: "batch of stock, " + o.style().Unit(volume), Below: "product, " + o.style().Unit(product),
		NowTop: o.style().Number(volume), NowLow: o.Show(product)}
	number := func(v float64) string { return o.style().Number(plainNumber("", v, 3).In(figure.Brief)) }
	on := laidOut(r, 0, 1.5*unit(product), unit(product), number)
	step := boardStep(1.5 * unit(volume))
	for v := step; on(v*perBatch) <= 1.0001; v += step {
		r.Top = append(r.Top, page.Tick{At: on(v * perBatch), Words: number(v)})
	}
	return r
}

// stockCard is how to make one batch of a stock, with steps to tick.
func (p Plan) stockCard(f dosing.Feed, d *figure.Object, o Options) page.Card {
	c := page.Card{Title: "Stock card: " + cmp.Or(f.StockName, f.Name)}
	strength := o.Show(strengthOf(o, d, f.Name+" "))
	var volumes []quantity.Volume
	pick := 0
	if len(f.Batches) > 0 {
		volumes, pick = append(volumes, f.Batches[0].Volume), 1
		b := d.Objects("batches")[0]
		n := pageNumber(o, Number{For: upperFirst(f.StockCalled()) + ", " + strength, Value: b.Fig("product"), Under: o.Say("for %s of stock", b.Fig("volume").In(figure.Full))})
		if b.Has("product_volume") {
			n.Beside = append(n.Beside, [2]string{"As liquid", o.Show(b.Fig("product_volume"))})
		}
		n.Beside = append(n.Beside, [2]string{"Water, about", o.Show(b.Fig("water"))})
		n.Ruler = batchRuler(f, o)
		c.Numbers, c.Lead = []page.Number{n}, o.Show(reserve([]dosing.Feed{f}))
	} else {
		c.Lead = strength + "."
	}
	for _, v := range cardBatches[o.Units] {
		if f.Tank == nil || v <= f.Tank.Holds() || len(volumes) == 0 {
			volumes = append(volumes, v)
		}
	}
	t := page.Table{Caption: "For one batch", Pick: pick, Cols: []page.Col{{Head: "Batch", Right: true}, {Head: "Product", Right: true}, {Head: "As liquid", Right: true}, {Head: "Water, about", Right: true}}}
	for _, v := range volumes {
		r, err := f.Stock.Recipe(v)
		if err != nil {
			continue
		}
		row := batchData(dosing.Batch{Volume: r.Final, Recipe: r})
		cells := []string{}
		for _, key := range [...]string{"volume", "product", "product_volume", "water"} {
			cells = append(cells, o.Show(or(row.Fig(key).In(figure.Full), "–")))
		}
		t.Rows = append(t.Rows, cells)
	}
	c.Tables = []page.Table{t}
	for i, b := range f.Batches {
		day := p.ListDay(b.Start)
		c.Facts = append(c.Facts, [2]string{joined(" ", "Make up at "+clockOf(b.Start), dayWord(b.Start, day)),
			o.Say("%s, use by %s", d.Objects("batches")[i].Fig("volume").In(figure.Full), useBy(b, day))})
	}
	c.Checks = []string{"Goggles and gloves on; eye wash at hand", "Tank rinsed, most of the water in", "Product weighed or measured: ________", "Product added to the water, slowly, stirring", "Filled to the mark"}
	if f.Ageing > 0 {
		c.Checks = append(c.Checks, o.Say("Stirred gently and aged %s before use", hours("", f.Ageing, 3)))
	}
	if f.Life > 0 {
		c.Checks = append(c.Checks, "Labelled as below")
		c.Label = page.Pairs{{"Stock", strength}, {"Made at", ""}, {o.Say("Use within %s, by", inHours("", f.Life, 3)), ""}, {"Name", ""}}
	}
	c.Cautions = []string{"Add product to water, never water to product. Safety data sheet first."}
	if g := f.Stock.Product; g.Protection.Text != "" {
		c.Cautions = append(c.Cautions, upperFirst(o.Say("%s. Wear %s.", g.Danger(), g.Protection.Told())))
	}
	return c
}
