package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/compare"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// Compare is the answer of "compare".
type Compare struct {
	compare.Comparison
	Target string // in words, the same for all
	More   note.List
}

// Text implements [Report].
func (c Compare) Text(t *Text, o Options) {
	d := c.data()
	t.Head("Chemicals side by side")
	t.Para(o.Show(c.answer(o, d)))
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

func (c Compare) answer(o Options, d *figure.Object) figure.Phrase {
	placed := c.placed()
	usable := 0
	for _, r := range c.Comparison.Rows {
		if !r.Refused {
			usable++
		}
	}
	target := ""
	if c.Target != "" {
		target = " for " + c.Target
	}
	switch {
	case usable == 0:
		return figure.Say("None of the %s series gives a dose that can be recommended%s.", len(c.Comparison.Rows), target)
	case len(placed) == 0:
		return figure.Say("%s of %s series give a dose%s; none can be placed by cost, because %s.", usable, len(c.Comparison.Rows), target, c.missing())
	}
	first := c.costData(placed[0])
	s := figure.Say("%s costs least%s: %s per %s, ", upperFirst(placed[0].Name), target, first.Fig("value"), o.thousand())
	if lacks := placed[0].Unpriced.Names; len(lacks) > 0 {
		s = s.And("without %s", listed(lacks))
	} else {
		s = s.And("all in")
	}
	low, high := unitless(first.Fig("low")), unitless(first.Fig("high"))
	s = s.If(low.Known() && high.Known(), " (%s to %s with %s confidence)", low, high, d.Fig("confidence")).
		If(low.Known() && !high.Known(), " (from %s, upper end open)", low)
	switch same := c.same(); {
	case len(same) > 0:
		s = s.And(". It cannot be told apart on these data from %s: the cost ranges overlap.", listed(same))
	case len(placed) > 1:
		more := quantity.Money{Amount: placed[1].Total.Amount - placed[0].Total.Amount}
		s = s.And(". The next, %s, costs %s more.", placed[1].Name, unitless(costPerWater("", more)))
	default:
		s = s.And(".")
	}
	left := c.unplaced()
	return s.If(len(left) > 0, " Not placed by cost: %s, because %s.", listed(left), c.missing())
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
	heads := []string{"series", ">all in", ">range"}
	shown := c.lines()
	for _, name := range shown {
		heads = append(heads, ">"+name)
	}
	var rows [][]any
	for i, r := range placed {
		mark := either(i == 0, "least", either(r.Same, "not told apart", "dearer"))
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
	return figure.Say("A range is what the doses may cost by the bench alone, with %s confidence. Those of `plan` and `budget` mean another thing: "+
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
			residual = figure.Say("%s %s, %s", x.Fig("residual"), r.ResidualOf, r.ResidualLevel)
		}
		effects = append(effects, []any{r.Name, unitless(x.Fig("alkalinity.used")), left, x.Fig("solids"), residual})
	}
	if len(doses) == 0 {
		return
	}
	t.Head("Doses")
	t.Grid(cols("series", "chemical", "planning dose", ">product per "+o.thousand()), doses)
	t.Head("What each takes and leaves")
	t.Grid(cols("series", ">alkalinity used", ">left", ">dry solids per "+o.thousand(), "residual metal"), effects)
	t.Para("Alkalinity in mg/L CaCO3, before any alkali is added.")
}

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
	t.Para("The cost range follows from the interval of the lowest effective dose. Two ranges that overlap are not told apart; the chance of costing least takes the doses of different series as independent.")
}
