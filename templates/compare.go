package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
	"jarwright/templates/figure"
)

// Compare is the answer of "compare".
type Compare struct {
	compare.Comparison
	// Target is what all were asked, as --target reads it; Goal the same in words.
	Target string
	Goal   []jartest.Target
	// Site is what the site is called that gave the water and the prices, empty without one.
	Site string
	More note.List
}

// Text implements [Report].
func (c Compare) Text(t *Text, o Options) {
	d := c.data()
	t.Answer(c.answer(o, d))
	c.table(t, o, d)
	c.doses(t, o, d)
	c.refused(t)
	if o.Explain {
		c.working(t, o)
	}
	t.minded(c.notes())
}

// placed lists the rows that have a cost.
func (c Compare) placed() []compare.Row {
	var out []compare.Row
	for _, r := range c.Comparison.Rows {
		if !r.Refused && r.Priced {
			out = append(out, r)
		}
	}
	return out
}

// same names the series whose cost is not told apart from the least.
func (c Compare) same() []string {
	var out []string
	for i, r := range c.placed() {
		if i > 0 && r.Same {
			out = append(out, r.Name)
		}
	}
	return out
}

// goal is what all were asked, in words; nothing where it is not the same.
func (c Compare) goal(o Options) string {
	if len(c.Goal) > 0 {
		return " for " + o.Show(targetsPhrase(c.Goal))
	}
	return either(c.Target == "", "", " for "+c.Target)
}

// answer is what costs least, or why that cannot be told.
func (c Compare) answer(o Options, d *figure.Object) Answer {
	placed, usable := c.placed(), 0
	for _, r := range c.Comparison.Rows {
		usable += either(r.Refused, 0, 1)
	}
	a := Answer{Title: "Chemicals side by side", When: dated(o.Date), Place: cmp.Or(c.Site, either(len(c.Comparison.Rows) == 1, "1 jar test", fmt.Sprintf("%d jar tests", len(c.Comparison.Rows))))}
	one := len(c.Comparison.Rows) == 1
	n := Number{For: either(one, "What it costs", "What costs least") + c.goal(o)}
	switch {
	case usable == 0:
		n.Words, n.Under = "No dose", either(one, "the test gives none that can be recommended", o.Say("none of the %s tests gives one that can be recommended", len(c.Comparison.Rows)))
		a.Order = "Dose nothing by " + either(one, "this test: look at what it lacks", "these tests: look at what each lacks") + ", and test again."
	case len(placed) == 0:
		n.Words = "Cannot be told"
		n.Under = either(one, "the test gives a dose; it has no cost, because "+c.missing(), o.Say("%s of %s tests give a dose; none can be placed by cost, because %s", usable, len(c.Comparison.Rows), c.missing()))
		a.Order = either(c.missing() == "a price is missing", "Give the prices, and compare again.", "Give what is missing, and compare again.")
	default:
		n, a.Sure = c.least(o, d, placed)
		if c.alone() {
			a.Order = c.nothingBeside()
			break
		}
		a.Order = o.Say("Before you change over, run %s of %s on the plant's own water.", d.Objects("options")[c.at(placed[0])].Fig("dose"), placed[0].Parts[0].Chemical)
	}
	a.Numbers = []Number{n}
	return a
}

// alone reports that nothing with a cost is of another chemical than what costs least: then that is compared with nothing, however many
// tests there are of it.
func (c Compare) alone() bool {
	placed := c.placed()
	return !slices.ContainsFunc(placed, func(r compare.Row) bool { return !slices.Equal(chemicalsIn(r), chemicalsIn(placed[0])) })
}

// chemicalsIn are the names of what an option doses, in one order.
func chemicalsIn(r compare.Row) (names []string) {
	for _, p := range r.Parts {
		names = append(names, words.Fold(p.Chemical))
	}
	slices.Sort(names)
	return names
}

// nothingBeside says that an option is compared with nothing, and what to do for it to be.
func (c Compare) nothingBeside() string {
	switch {
	case len(c.Comparison.Rows) == 1:
		return "There is nothing to compare it with: put the sheet of another chemical beside it."
	case len(c.placed()) < len(c.Comparison.Rows):
		return "There is nothing to compare it with: the other tests have no cost, as stands below."
	}
	return "There is nothing to compare it with: all these tests are of one chemical. Put the sheet of another beside them."
}

// at is the place of a row among all.
func (c Compare) at(r compare.Row) int {
	return slices.IndexFunc(c.Comparison.Rows, func(x compare.Row) bool { return x.Name == r.Name && x.Place == r.Place })
}

// least is what costs least of the rows with a cost, and how surely that is so.
func (c Compare) least(o Options, d *figure.Object, placed []compare.Row) (Number, string) {
	first := c.costData(placed[0])
	n := Number{For: upperFirst(placed[0].Name) + either(c.alone(), ": the cost", " costs least") + c.goal(o), Value: first.Fig("value"), Under: "per " + o.thousand() + " of water, all in"}
	if lacks := placed[0].Unpriced.Names; len(lacks) > 0 {
		n.Under = "per " + o.thousand() + " of water, without " + listed(lacks)
	}
	l := (*facts)(&n.Beside)
	low, high := unitless(first.Fig("low")), unitless(first.Fig("high"))
	l.when(low.Known() && high.Known(), "How sure", figure.Say("%s to %s, with %s confidence", low, high, d.Fig("confidence")))
	l.when(low.Known() && !high.Known(), "How sure", figure.Say("from %s, upper end open", low))
	same := c.same()
	if len(same) == 0 && len(placed) > 1 && !c.alone() {
		more := quantity.Money{Amount: placed[1].Total.Amount - placed[0].Total.Amount}
		l.add("The next", figure.Say("%s costs %s more", placed[1].Name, unitless(costPerWater("", more))))
	}
	left := c.unplaced()
	l.when(len(left) > 0, "Not placed by cost", figure.Say("%s, because %s", listed(left), c.missing()))
	if len(same) > 0 && !c.alone() {
		return n, "It cannot be told apart on these data from " + listed(same) + ": the cost ranges overlap."
	}
	return n, ""
}

// unplaced names the series that give a dose and have no cost.
func (c Compare) unplaced() (names []string) {
	for _, r := range c.Comparison.Rows {
		if !r.Refused && !r.Priced {
			names = append(names, r.Name)
		}
	}
	return names
}

// missing says why series have no cost.
func (c Compare) missing() string {
	price, counts := false, false
	for _, r := range c.Comparison.Rows {
		if !r.Refused && !r.Priced {
			price, counts = price || r.Counted, counts || !r.Counted
		}
	}
	return either(!counts, "a price is missing", either(price, "a price or what a dose counts is missing", "what a dose counts is not stated"))
}

func listed(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func (c Compare) table(t *Text, o Options, all *figure.Object) {
	placed := c.placed()
	if len(placed) == 0 {
		return
	}
	t.Head("Cost per " + o.thousand() + " of water, " + c.Currency)
	heads := []string{"test", ">all in", ">range"}
	shown := c.lines()
	for _, name := range shown {
		heads = append(heads, ">"+name)
	}
	var rows [][]any
	for i, r := range placed {
		mark := either(c.alone(), "", either(i == 0, "least", either(r.Same, "not told apart", "dearer")))
		d := c.costData(r)
		row := []any{r.Name, unitless(d.Fig("value")), costRange(d)}
		for _, name := range shown {
			cell := any(figure.Unknown)
			if key := strings.Replace(name, "water", "make_up_water", 1); d.Has(key) {
				cell = unitless(d.Fig(key))
			}
			row = append(row, cell)
		}
		rows = append(rows, append(row, mark))
	}
	t.Grid(cols(append(heads, "")...), rows)
	if energy := placed[0].Energy; energy.Amount > 0 {
		t.Para(o.Say("All in holds %s of energy, the same for each.", costPerWater("", energy)))
	}
	if c.ranged() {
		t.Para(o.Show(rangeMeans(all)))
	}
}

// ranged reports that a cost has a range.
func (c Compare) ranged() bool {
	return slices.ContainsFunc(c.placed(), func(r compare.Row) bool { return r.Open || r.High.Amount > r.Low.Amount })
}

// rangeMeans says in every form what the range of a cost is, which that of a day or a month is not.
func rangeMeans(all *figure.Object) figure.Phrase {
	return figure.Say("A range is what the doses may cost by the bench alone, with %s confidence. That of a day or a month means another thing: "+
		"eight days or months of ten, flow and solids in doubt too.", all.Fig("confidence"))
}

// lines names those lines of the cost that cost anything, apart from the energy, which is the same for all.
func (c Compare) lines() (names []string) {
	for i, l := range (compare.Row{}).Lines() {
		if l.Name != "energy" && slices.ContainsFunc(c.placed(), func(r compare.Row) bool { return r.Lines()[i].Amount.Amount > 0 }) {
			names = append(names, l.Name)
		}
	}
	return names
}

func costRange(d *figure.Object) any {
	low, high := unitless(d.Fig("low")), unitless(d.Fig("high"))
	switch {
	case !low.Known():
		return figure.Unknown
	case !high.Known():
		return figure.Say("%s up", low)
	}
	return figure.Say("%s-%s", low, high)
}

func (c Compare) doses(t *Text, o Options, d *figure.Object) {
	var doses, effects [][]any
	for i, x := range d.Objects("options") {
		r := c.Comparison.Rows[i]
		if r.Refused {
			continue
		}
		name := r.Name
		for _, p := range x.Objects("chemicals") {
			doses = append(doses, []any{name, p.Get("name"), p.Fig("dose"), p.Fig("product_per_1000m3")})
			name = ""
		}
		if a := x.Fig("alkalinity.alkali_dose"); r.AlkaliDose > 0 && a.Known() { // as product: 1 mg/L is 1 kg in 1000 m3
			kg := massPerWater("", quantity.Mass(r.AlkaliDose), 3).In(figure.Full)
			doses = append(doses, []any{name, cmp.Or(strings.ToLower(c.Water.Alkali.Name), "alkali") + ", for alkalinity", a, kg})
		}
		left, residual := any("not known"), any(r.ResidualLevel)
		if x.Has("alkalinity.left") {
			left = remaining(x.Sub("alkalinity"), "left")
		}
		if x.Has("residual") {
			residual = figure.Say("%s %s, %s", x.Fig("residual"), r.ResidualOf, residualWords[r.ResidualLevel])
		}
		effects = append(effects, []any{r.Name, unitless(x.Fig("alkalinity.used")), left, x.Fig("solids"), residual})
	}
	if len(doses) == 0 {
		return
	}
	t.Head("Doses")
	t.Grid(cols("test", "chemical", "planning dose", ">product per "+o.thousand()), doses)
	t.Head("What each takes and leaves")
	t.Grid(cols("test", ">alkalinity used", ">left", ">dry solids per "+o.thousand(), "residual metal"), effects)
	t.Para("Alkalinity in mg/L CaCO3, before any alkali is added.")
}

// residualWords say how a residual metal stands.
var residualWords = map[string]string{"note": "within its limit", "caution": "above the limit for care", "stop": "above the limit that stops a plan", compare.NotChecked: "not checked"}

func (c Compare) refused(t *Text) {
	var list []string
	for _, r := range c.Comparison.Rows {
		if r.Refused {
			list = append(list, bracketed(r.Name+": "+outcomeWords(curve.Outcome(r.Outcome)), r.Why))
		}
	}
	t.list("No dose from these", list)
}

func (c Compare) working(t *Text, o Options) {
	t.Head("Working")
	t.Para(o.Say("1 mg/L is %s per %s.", massPerWater("", 1, 3).In(figure.Brief), o.thousand()) + " Product = planning dose over strength. Chemical and freight = product x price. Alkali = what is needed to keep the alkalinity wanted. Solids = suspended solids removed and what the chemicals make, x disposal of dry solids, and the water that a skimmer carries over. Water = that of the stocks and carriers. Energy = what the unit draws while it treats that much.")
	for _, r := range c.placed() {
		for _, p := range c.optionData(r).Objects("chemicals") {
			t.Item("-", o.Show(figure.Say("%s, %s: %s", r.Name, p.Get("name"), p.Fig("dose").To(4)).
				If(p.Has("strength"), " over %s", p.Fig("strength")).And(" is %s x %s", p.Fig("product_per_1000m3").To(4), p.Fig("price")).
				If(p.Has("freight"), " + %s freight", unitless(p.Fig("freight")))))
		}
		if len(c.placed()) > 1 {
			t.Item(" ", fmt.Sprintf("chance of costing least: %s", o.chance(r.Cheapest)))
		}
	}
	t.Para("The cost range follows from the interval of the lowest effective dose. Two ranges that overlap are not told apart; the chance of costing least takes the doses of different tests as independent.")
}
