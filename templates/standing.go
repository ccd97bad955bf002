package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/month"
	"jarwright/dosing/pond"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// Standing shows how water that stands is treated by hand: what to weigh out, in how many buckets, over what, in how
// many goes and when; then what it does to water, animals and people. A pond that a stop stands against is
// shown without anything to dose by.
type Standing struct {
	dosing.Standing
	Cost month.DayCost
	// Day is the day of the first go that does not go ahead; the zero value where nobody said.
	Day month.Date
}

// On gives the plan its day, and so a date to what its notes have done on the day before.
func (p Standing) On(day month.Date) Standing {
	p.Day, p.Ponds = day, slices.Clone(p.Ponds)
	for i := range p.Ponds {
		notes := slices.Clone(p.Ponds[i].Review.Notes)
		for k, n := range notes {
			if strings.HasSuffix(n.Remedy, goDay(-1)) {
				notes[k] = n.Do("%s (%s)", n.Remedy, day.AddDays(-1).InWords())
			}
		}
		p.Ponds[i].Review.Notes = notes
	}
	return p
}

// Text writes the page to work from first, then the figures behind it.
func (p Standing) Text(t *Text, o Options) {
	d := p.data()
	ponds := d.Objects("ponds")
	t.Answer(p.answer(o, ponds))
	first, rest := p.parted()
	t.noted(lookFirst, first)
	t.Blank()
	for i, x := range ponds {
		if !p.Ponds[i].Review.Stopped {
			p.leadText(t, p.Ponds[i], x)
		}
	}
	for i, x := range ponds {
		if x.Has("alkali_first") {
			t.Say("%s.", firstAlkali(p.Ponds[i], x.Sub("alkali_first")))
		}
	}
	for i, x := range ponds {
		t.Say("%s.", waterOfPond(p.Ponds[i], x, o))
		if len(p.Ponds[i].LeftOut) > 0 {
			t.Say("%s.", leftOut(p.Ponds[i]))
		}
	}
	for _, x := range d.Objects("total") {
		t.Say("%s.", figure.Say("%s together take %s", p.counted(), totalWords(x)))
	}
	for i := range ponds {
		if i == 0 || !p.alike() {
			acceptedText(t, p.Ponds[i].Review.Taken)
		}
	}
	p.stopsText(t, ponds)
	if len(rest) > 0 && len(p.Open()) > 0 {
		t.Say("%s more to read before you begin: under the list.", either(len(rest) == 1, "One caution", o.Say("%s cautions", figure.Count("", len(rest)))))
	}
	p.goesText(t, ponds)
	t.noted("Read these too before you begin", rest)
	for i, x := range ponds {
		if i == 0 || !p.alike() {
			p.portionText(t, i, x)
		}
	}
	for i, x := range ponds {
		p.goodsText(t, i, x)
	}
	for i, x := range ponds {
		if i == 0 || !p.alike() {
			if len(ponds) > 1 && !p.alike() {
				t.Head(upperFirst(x.Said("name")))
			}
			waterText(t, x, false)
		}
	}
	p.spreadText(t)
	p.watchText(t, ponds)
	sludgeText(t, p.Sludge, d.Sub("sludge"))
	cost := p.Cost
	cost.Notes = below(cost.Notes, note.Caution, nil)
	moneyText(t, t.Head, "Cost", cost, d.Sub("money"))
	if orders := d.Objects("money.orders"); len(orders) > 0 {
		var each []any
		for _, x := range orders {
			each = append(each, figure.Say("%s %s x %s, %s", x.Get("chemical"), x.Get("packs"), packOf(x), x.Fig("charge")))
		}
		t.Say("Delivery is that of one order for these ponds, spread over what it brings: %s.", figure.And("; ", each...))
	}
	all := p.findings()
	cautionText(t, all, o)
	handlingText(t, all.Handling, o)
	if calm := unrepeated(p.calm()); len(calm) > 0 {
		t.Behind("Notes")
		t.Notes(calm)
	}
	if o.Explain {
		p.workingText(t, ponds)
		checkText(t, all.Checks)
	}
}

// findings joins what the reviews of all ponds say, each once.
func (p Standing) findings() (all caution.Findings) {
	for i, x := range p.Ponds {
		f := x.Review.Findings
		all.Notes = append(all.Notes, p.ofPond(i, f.Notes)...)
		all.Taken, all.Stopped = append(all.Taken, f.Taken...), all.Stopped || f.Stopped
		all.Handling = append(all.Handling, f.Handling...)
		for _, s := range f.NotChecked {
			if !slices.Contains(all.NotChecked, s) {
				all.NotChecked = append(all.NotChecked, s)
			}
		}
		if i == 0 || !p.alike() {
			all.Checks = append(all.Checks, f.Checks...)
		}
	}
	all.Notes, all.Handling = unrepeated(all.Notes), unrepeated(all.Handling)
	return all
}

// leftOut says which chemicals of the site do not go into a pond, and why.
func leftOut(x dosing.PondPlan) figure.Phrase {
	var names, in []any
	for _, n := range x.LeftOut {
		names = append(names, n)
	}
	for _, h := range x.Goods {
		if h.Use.Product > 0 {
			in = append(in, h.Name)
		}
	}
	return figure.Say("Into %s goes only %s, as its row under Ponds names it: not %s", x.Name, figure.And(", ", in...), figure.And(", ", names...))
}

// graveOf gives every caution of one pond: what the review found, and what is said of its own.
func (p Standing) graveOf(i int) (found, own note.List) {
	f := p.Ponds[i].Review.Findings
	return slices.DeleteFunc(below(f.Grave(), note.Stop, f.Taken), func(n note.Note) bool { return f.Stopped && caution.Uncounted(n) }), atLeastCaution(p.Ponds[i].Notes)
}

// beforeTasks is how many cautions stand before the list of tasks, where there are more and none is among the gravest: a longer
// list hides the work, and is not read (common practice, no source).
const beforeTasks = 4

// parted gives the cautions that stand before the tasks and those that follow them: all of the gravest and what asks about a figure
// first, then others until there are so many.
func (p Standing) parted() (first, rest note.List) {
	all := caution.WorstFirst(p.grave())
	asks := func(n note.Note) bool { return caution.Gravest(n) || dosing.AsksFigure(n) }
	must := slices.DeleteFunc(slices.Clone(all), func(n note.Note) bool { return !asks(n) })
	can := slices.DeleteFunc(all, asks)
	more := min(max(0, beforeTasks-len(must)), len(can))
	return append(must, can[:more]...), can[more:]
}

// grave gives every caution, as it matters before anything is weighed out: what is said alike of several ponds in one.
func (p Standing) grave() (out note.List) {
	for _, n := range p.graves() {
		i := slices.IndexFunc(out, func(o note.Note) bool {
			return len(p.Ponds) > 1 && o.Code == n.Code && o.Level == n.Level && o.Place == n.Place && o.Remedy == n.Remedy
		})
		if i < 0 {
			out = append(out, n)
			continue
		}
		out[i] = out[i].With(n)
	}
	return out
}

// graves gives them one by one.
func (p Standing) graves() note.List {
	var found, own note.List
	for i := range p.Ponds {
		f, o := p.graveOf(i)
		found, own = append(found, p.ofPond(i, f)...), append(own, p.ofPond(i, o)...)
	}
	return unrepeated(slices.Concat(found, atLeastCaution(p.Notes), own, p.Cost.Notes.Only(note.Caution)))
}

// atLeastCaution are the notes to act on.
func atLeastCaution(l note.List) note.List {
	return slices.DeleteFunc(slices.Clone(l), func(n note.Note) bool { return n.Level < note.Caution })
}

// calm is what is only to know of the site and its ponds.
func (p Standing) calm() note.List {
	out := p.Notes.Only(note.Info)
	for _, x := range p.Ponds {
		out = append(out, x.Notes.Only(note.Info)...)
	}
	return out
}

// stopsText is the lines to stop at in short, before the tasks that speak of them; those of ponds that have the same once.
func (p Standing) stopsText(t *Text, ponds []*figure.Object) {
	told := map[string]bool{}
	for i, x := range ponds {
		if p.Ponds[i].Watch == nil || p.Ponds[i].Review.Stopped || len(x.Objects("goes")) == 0 {
			continue
		}
		w := x.Sub("watch")
		lines := figure.Say("pH below %s or above %s", unitless(w.Fig("ph_low")), unitless(w.Fig("ph_high"))).
			If(w.Has("oxygen"), "; oxygen below %s", w.Fig("oxygen")).If(w.Has("hardness"), "; hardness above %s", w.Fig("hardness")).If(w.Has("tan"), "; total ammonia above %s as N", w.Fig("tan")).
			And("; animals that gasp, crowd or lie on the side")
		if said := t.opt.Show(lines); !told[said] {
			t.Say("Stop %sat %s. What to do then stands under \"Watch the animals\".", either(len(told) > 0, "in "+x.Said("name")+" ", ""), lines)
			told[said] = true
		}
	}
}

// leadText is the whole of what goes in: a line for each chemical, in the order in which they go in.
func (p Standing) leadText(t *Text, x dosing.PondPlan, d *figure.Object) {
	goods := d.Objects("chemicals")
	told := map[int]bool{}
	for _, g := range x.Goes {
		i, h := g.Feed, x.Goods[g.Feed]
		if told[i] {
			continue
		}
		told[i] = true
		c, goes := goods[i], slices.DeleteFunc(slices.Clone(d.Objects("goes")), func(g *figure.Object) bool { return g.Get("chemical") != h.Name })
		s := figure.Say("%s of %s", byEither(c), h.Name).
			If(len(p.Ponds) > 1, " into %s", x.Name).If(c.Has("bag"), ", %s", inMeasures(c.Sub("bag"), "bag")).
			If(c.Has("stock"), ", made up to %s of stock", c.Fig("stock"))
		part := handed(goes[0])
		if len(goes) == 1 {
			t.Say("%s.", s.If(part.Format != "", ": %s", part).And(", in one go at %s", goTime(goes[0])).If(g.Past, ", but not as the water is"))
			continue
		}
		t.Say("%s.", s.And(", in %s goes, %s: each %s", len(goes), goTimes(goes), byEither(goes[0])).If(part.Format != "", ", %s", part).
			If(c.Has("bucket"), " (%s in all)", inMeasures(c.Sub("bucket"), "bucket")).
			If(x.WithinOf(i) < len(goes) && !h.Ahead, "; as the water is give %s", either(x.WithinOf(i) == 0, "none of them", fmt.Sprintf("only the first %d", x.WithinOf(i)))).
			If(c.Has("as_the_water_is") && x.WithinOf(i) > 0, ", %s", measuredOut(partOf(c, "as_the_water_is"))))
	}
}

// firstAlkali is what to spread before what takes the alkalinity of a pond that has too little of it.
func firstAlkali(p dosing.PondPlan, d *figure.Object) figure.Phrase {
	more := slices.ContainsFunc(p.Goods, func(h dosing.ByHand) bool { return h.Ahead && h.Use.Product > 0 })
	lead := either(more, "More alkali first", "Alkali first")
	if slices.ContainsFunc(p.Review.Notes, func(n note.Note) bool { return n.Level >= note.Caution && strings.HasPrefix(n.Code, "nh3-") }) {
		lead = "New water first, until total ammonia is down; then alkali"
	}
	return figure.Say(lead+", for %s: %s of %s, %s%%, over %s, %s (%s of it; others below). %s, and the plan lays its goes ahead", d.Get("goal"), d.Fig("product_use"),
		d.Get("alkali"), unitless(d.Fig("purity")), p.Name, d.Get("when"), d.Fig("dose_product"),
		either(d.Said("in_store") == "", "Write it in the site as a chemical", either(slices.Contains(p.LeftOut, d.Said("in_store")), "Name "+d.Said("in_store")+" in the row of "+p.Name+" under Ponds too", "Raise the dose of "+d.Said("in_store"))))
}

// counted are the ponds of which totals are: all, or those that nothing stops.
func (p Standing) counted() string {
	if !p.Stopped() {
		return "All ponds"
	}
	var names []string
	for _, x := range p.Open() {
		names = append(names, x.Name)
	}
	return upperFirst(strings.Join(names, ", "))
}

// totalWords is what all ponds take of a chemical, in what it is bought and carried in.
func totalWords(x *figure.Object) figure.Phrase {
	return figure.Say("%s of %s", byEither(x), x.Get("chemical")).If(x.Has("bag"), ", %s", inMeasures(x.Sub("bag"), "bag")).If(x.Has("bucket"), ", %s in all", inMeasures(x.Sub("bucket"), "bucket"))
}

// wear is what is worn by whoever handles the chemicals that go in, each once.
func (p Standing) wear() (out []figure.Phrase) {
	told := map[string]bool{}
	for _, x := range p.Open() {
		for _, h := range x.Goods {
			if g := h.Stock.Product; h.Use.Product > 0 && g.Protection.Text != "" && !told[h.Name] {
				told[h.Name] = true
				out = append(out, figure.Say("Before the first of %s is opened put on: %s.", h.Name, g.Protection.Told()))
			}
		}
	}
	return out
}

// madeUp reports a dry polymer, which is made up before it goes in.
func madeUp(h dosing.ByHand) bool {
	return h.Stock.Product.IsPolymer() && h.Stock.Product.Form == product.Dry
}

// makeUpWords is how a dry polymer is made up before its goes.
func (p Standing) makeUpWords(i int, m dosing.MadeUp) figure.Phrase {
	h := p.Ponds[i].Goods[m.Feed]
	each, _, _ := caution.Thins(h.Stock.Product)
	return figure.Say("make up %s of %s in %s of water: sprinkle it into stirred water, and let it age %s", kilos("", m.Product, 3), h.Name, litres("", quantity.Volume(float64(m.Product)*each), 2), hours("", m.Ages, 3)).
		If(h.Portions > 1, "; the same before each of its goes")
}

// handed is a portion in what it is carried in, with what each covers.
func handed(g *figure.Object) figure.Phrase {
	for _, unit := range []string{"bucket", "scoop"} {
		if g.Has(unit) && (unit == "scoop" || g.Get("bucket.whole") != 0 || !g.Has("scoop")) { // less than a bucket is counted in scoops
			return inMeasures(g.Sub(unit), unit).If(g.Has(unit+".covers"), ", a "+unit+" to each %s", g.Fig(unit+".covers")).
				If(g.Get(unit+".whole") == 0, ", over the whole surface")
		}
	}
	return figure.Phrase{}
}

// inMeasures counts whole measures of one weight, and what is over: of buckets one that is not full, to weigh out.
func inMeasures(d *figure.Object, what string) figure.Phrase {
	holds, rest := d.Fig("holds"), d.Fig("rest")
	word := either(what == "scoop", "level scoop", what)
	if d.Has("holds_volume") { // a liquid
		holds, rest, word = d.Fig("holds_volume"), d.Fig("rest_volume"), either(what == "bag", "can", what)
	}
	switch whole := d.Get("whole"); {
	case whole == 0:
		return figure.Say("less than a %s of %s", word, holds)
	default:
		return figure.Say("%s "+word+either(whole == 1, "", "s")+" of %s", whole, holds).If(d.Has("rest"), either(what == "bucket", " and 1 of %s", " and %s"), rest)
	}
}

// goTimes lists the times of portions, each day said once.
func goTimes(goes []*figure.Object) string {
	var out []string
	day := ""
	for _, g := range goes {
		at := fmt.Sprint(g.Get("at"))
		if d := g.Said("day"); d != day {
			at, day = joined(" ", either(d == "" && day != "", "the day itself", dayOfGo(g)), "at", at), d
		}
		out = append(out, at)
	}
	return either(goes[0].Said("day") == "", "at ", "") + strings.Join(out, ", ")
}

// goTime is when a portion goes in.
func goTime(g *figure.Object) string {
	return joined(" ", fmt.Sprint(g.Get("at")), dayOfGo(g))
}

// dayOfGo is another day than that of the document, with its date where that is known.
func dayOfGo(g *figure.Object) string {
	if date, ok := g.Get("date").(month.Date); ok && g.Has("day") {
		return g.Said("day") + " (" + date.InWords() + ")"
	}
	return g.Said("day")
}

// waterOfPond says how much water there is and how that is known.
func waterOfPond(p dosing.PondPlan, d *figure.Object, o Options) figure.Phrase {
	said := figure.Say("%s: %s of standing water", upperFirst(p.Name), d.Fig("volume"))
	size, err := pond.ParseSize(p.Size)
	switch {
	case err == nil && p.Acres && size.Volume.OK:
		said = said.And(" (%s)", figure.Of("", converted{p.Volume}, "m3", 4))
	case p.Size != "" && !strings.EqualFold(p.Size, o.Show(d.Fig("volume"))):
		said = said.And(" (%s)", p.Size)
	case p.Size == "" && d.Has("area") && d.Has("depth"):
		said = said.And(" (%s, %s deep on average)", d.Fig("area"), d.Fig("depth"))
	}
	return said.If(d.Has("bottom"), " over %s of bottom", d.Fig("bottom"))
}

// goesText writes the list to work by.
func (p Standing) goesText(t *Text, ponds []*figure.Object) {
	type task struct {
		at  quantity.Time
		row []any
	}
	var tasks []task
	for i, x := range ponds {
		if len(x.Objects("goes")) == 0 {
			continue
		}
		if p.Ponds[i].Watch != nil {
			at := p.Ponds[i].Before()
			tasks = append(tasks, task{at, []any{goTime(p.goObject(at)), p.Ponds[i].Name, readyWords}})
		}
		for _, m := range p.Ponds[i].MakeUps() {
			tasks = append(tasks, task{m.At, []any{goTime(p.goObject(m.At)), p.Ponds[i].Name, p.makeUpWords(i, m)}})
		}
		for k, g := range x.Objects("goes") {
			at := p.Ponds[i].Goes[k]
			tasks = append(tasks, task{at.At + at.Behind, []any{goTime(g), p.Ponds[i].Name, gated(g).And("%s", p.goWords(p.Ponds[i].Goods[at.Feed], g))}})
		}
	}
	slices.SortStableFunc(tasks, func(a, b task) int { return cmp.Compare(a.at, b.at) }) // by the clock, whichever pond
	var rows [][]any
	for _, x := range tasks {
		rows = append(rows, x.row)
	}
	if len(rows) == 0 {
		return
	}
	t.Carded(whatToDoWhen)
	for _, s := range p.wear() {
		t.Say("%s", s)
	}
	t.Grid(cols("Time", either(len(ponds) > 1, "Pond", absent), "Task"), rows)
	switch {
	case p.onlySalts() && p.watched():
		t.Para("A salt clears over hours to days: look before each go but the first, and 1, 2 and 3 days after the last, at the turbidity or at the depth where a white plate is lost from sight, " +
			"and give no more where the water is clear enough (common practice, no source). These animals bear only so much hardness: measure it before each go.")
	case p.onlySalts():
		t.Para("A salt clears over hours to days: look before each go but the first, and 1, 2 and 3 days after the last, at the turbidity or at the depth where a white plate is lost from sight, " +
			"and give no more where the water is clear enough (common practice, no source). It harms no animals as an overdose, so there is no watch card; look at them in the morning as on any day.")
	case slices.ContainsFunc(p.Ponds, func(x dosing.PondPlan) bool { return len(x.Goes) > 1 && !x.Review.Stopped }):
		watched := slices.ContainsFunc(p.Ponds, func(x dosing.PondPlan) bool { return x.Watch != nil })
		t.Say("Before each go but the first measure pH and alkalinity%s %s", either(watched, ", and oxygen where the animals are: give what hangs on them only as its line says, and where the animals feed.",
			": give what hangs on them only as its line says."), gateWords())
	}
	if p.together() {
		t.Para("Goes of several ponds stand at one time: one person takes the ponds one after another, and each is measured before its own go.")
	}
}

// onlySalts reports that nothing goes in but salts such as gypsum, which take no alkalinity and harm nobody as an overdose.
func (p Standing) onlySalts() bool {
	return !slices.ContainsFunc(p.Ponds, func(x dosing.PondPlan) bool {
		return slices.ContainsFunc(x.Goods, func(h dosing.ByHand) bool { return h.Use.Product > 0 && h.Stock.Product.Group != product.Salt })
	})
}

// watched reports a pond whose animals have a watch card.
func (p Standing) watched() bool {
	return slices.ContainsFunc(p.Ponds, func(x dosing.PondPlan) bool { return x.Watch != nil })
}

// together reports goes of several ponds at one time.
func (p Standing) together() bool {
	of := map[quantity.Time]int{}
	for i, x := range p.Ponds {
		for _, g := range x.Goes {
			if k, ok := of[g.At]; ok && k != i && !x.Review.Stopped {
				return true
			} else if !x.Review.Stopped {
				of[g.At] = i
			}
		}
	}
	return false
}

// gateWords says how pH and alkalinity of a line are made: see [dosing.PHDoubt] and [dosing.AlkalinityDoubt], a twentieth.
func gateWords() figure.Phrase {
	return figure.Say("A computed pH is good to about %s, a titrated alkalinity to about a twentieth: a line asks for the pH and the alkalinity of the plan less that, for more where the go would pass the stop line or leave less alkalinity than it takes, and of a go that raises the pH the other way round.",
		brief("", float64(dosing.PHDoubt)))
}

// gateCheck is what hangs on it, on the card.
func gateCheck() figure.Phrase {
	return figure.Say("Before each go but the first: pH and alkalinity are as its line asks, and the animals feed; else no go, and wait")
}

// readyWords is what is done then.
const readyWords = "aerators on; measure pH, alkalinity, oxygen and total ammonia, and look how the animals swim: begin only where no stop line is passed further than it stands here"

// goObject is a time as the goes are told: by the clock, on a day that has a name where it is not the first, and a date where one is known.
func (p Standing) goObject(at quantity.Time) *figure.Object {
	o := figure.New().Set("at", figure.Clock(quantity.Wrapped(at, 24))).Word("day", goDay(at))
	if !p.Day.IsZero() {
		o.Set("date", p.Day.AddDays(dayCount(at)))
	}
	return o
}

// gated is what has to hold before a go: that the pond is no lower than the plan has it, and that the go does not bring it past a stop line.
func gated(g *figure.Object) figure.Phrase {
	gate := g.Sub("only_if")
	switch {
	case g.Get("past_stop_line") == true:
		if x := g.Sub("past"); g.Has("past") {
			return figure.Say("NOT as the water is, for it would bring %s to %s %s, past the stop line of %s: ", x.Get("of"), x.Fig("comes_to"), x.Get("as"), x.Fig("line"))
		}
		return figure.Say("NOT as the water is, for it would bring the pH to %s, past the stop line; only after an alkali or new water, and measured again: ", unitless(g.Fig("water.ph")))
	case !g.Has("only_if"):
		return figure.Phrase{}
	}
	return figure.Say("only if ").If(gate.Has("ph"), "pH is %s or more, ", unitless(gate.Fig("ph"))).If(gate.Has("ph_at_most"), "pH is %s or less, ", unitless(gate.Fig("ph_at_most"))).
		If(gate.Has("alkalinity"), "alkalinity %s or more ", gate.Fig("alkalinity")).And("and the animals feed: ")
}

// byEither is how much product, by the scales and, of a liquid, by the jug: that first where the dose or what it is carried in is told so.
func byEither(x *figure.Object) figure.Phrase {
	if x.Get("by_volume") == true {
		return figure.Say("%s (%s)", x.Fig("product_volume"), x.Fig("product"))
	}
	return figure.Say("%s", x.Fig("product")).If(x.Has("product_volume"), " (%s)", x.Fig("product_volume"))
}

// goWords is one portion as a task.
func (p Standing) goWords(h dosing.ByHand, g *figure.Object) figure.Phrase {
	part := handed(g)
	of, _ := g.Get("of").(int)
	return figure.Say("%s %s of %s", either(g.Has("stock"), "spread the stock of", either(madeUp(h), "spread what was made up of", either(g.Get("by_volume") == true, "measure out and spread", "weigh out and spread"))), byEither(g), h.Name).
		If(of > 1, " (go %s of %s)", g.Get("number"), of).
		If(g.Has("stock"), ", %s of it", g.Fig("stock")).
		If(part.Format != "", ": %s", part).
		If(g.Has("dissolve_bucket_in"), "; each bucket %s %s of water or more", g.Get("water_how"), g.Fig("dissolve_bucket_in")).
		If(g.Has("dissolve_in") && !g.Has("dissolve_bucket_in"), "; %s %s of water or more", g.Get("water_how"), g.Fig("dissolve_in")).
		If(h.Ahead && h.Slow(), "; it dissolves over days, and the plan counts none of it: go on as the alkalinity reads")
}

// goodsText writes the figures of each chemical of a pond.
func (p Standing) goodsText(t *Text, i int, d *figure.Object) {
	x := p.Ponds[i]
	for k, c := range d.Objects("chemicals") {
		h := x.Goods[k]
		if h.Use.Product <= 0 { // none of it goes into this pond
			continue
		}
		sold := h.Stock.Product.Name
		if strings.EqualFold(sold, h.Name) {
			sold = ""
		}
		t.Head(joined(": ", joined(", ", upperFirst(h.Name), either(len(p.Ponds) > 1, x.Name, ""), either(x.Review.Stopped, "STOPPED", "")), sold))
		dose := figure.Say("%s", c.Fig("dose"))
		if w, unit, err := quantity.Split(h.Written); err == nil && unit != "mg/L" {
			dose = figure.Say("%s, which is %s", figure.Written("", w, unit), c.Fig("dose"))
		}
		l := facts{{"Dose", dose.If(h.DoseSource != "" && h.DoseSource != "dose as stated" && h.DoseSource != "as stated", " (%s)", h.DoseSource)}}
		l.when(h.Dose.Basis != quantity.AsProduct, "", figure.Say("%s as product, which is the same", c.Fig("dose_as_product").NoBasis()))
		all := figure.Say("%s of product", c.Fig("product")).If(c.Has("product_volume"), ", %s", c.Fig("product_volume"))
		if byVolume(h) {
			all = figure.Say("%s of product, %s", c.Fig("product_volume"), c.Fig("product"))
		}
		l.add(either(x.Review.Stopped, "It would take", "For the pond"), all.
			If(c.Has("stock"), ", in %s of stock of %s", c.Fig("stock"), c.Fig("stock_strength")))
		l.when(c.Has("bag"), either(h.BagVolume.OK, "Cans", "Bags"), inMeasures(partOf(c, "bag"), "bag"))
		if c.Has("bucket") {
			l.add("Buckets", inMeasures(c.Sub("bucket"), "bucket").If(c.Has("bucket.covers"), ", one to each %s", c.Fig("bucket.covers")).
				If(h.Portions > 1 && c.Has("bucket.covers"), " if all went in at once").If(c.Get("bucket.whole") == 0, ", over the whole surface"))
		}
		if c.Has("scoop") {
			l.add("Scoops", inMeasures(c.Sub("scoop"), "scoop"))
		}
		l.when(c.Has("product_per_area"), "Over the surface", figure.Say("%s", c.Fig("product_per_area")))
		l.when(c.Has("hardness_added"), "Hardness", figure.Say("%s as CaCO3 more", c.Fig("hardness_added")).If(c.Has("hardness"), ", up to %s", c.Fig("hardness")).If(c.Has("hardness") && harder(x) > 1, " with all that goes in"))
		if c.Has("alkalinity_used") {
			used, _ := c.Fig("alkalinity_used").Document()
			l.add("Alkalinity", figure.Say("%s %s", caCO3("", quantity.Alkalinity(max(used, -used)), 3), either(used > 0, "less", "more")))
		}
		t.Facts(l)
	}
}

// harder is how many chemicals make a pond's water harder.
func harder(p dosing.PondPlan) (n int) {
	for _, h := range p.Goods {
		if h.Hardness > 0 {
			n++
		}
	}
	return n
}

// portionText shows the water after each portion, where there are several.
func (p Standing) portionText(t *Text, i int, d *figure.Object) {
	cols, rows := portionRows(d)
	if len(rows) < 2 {
		return
	}
	t.Head("The water after each go" + either(p.alike(), "", ", "+p.Ponds[i].Name))
	t.Grid(cols, rows)
	lies := "aired where it comes to in balance with the air: the pond lies between the two."
	if ahead := p.Ponds[i].ComesBack(); ahead != "" {
		t.Say("pH is as if no gas passed but in the night after %s, over which the pond is taken to come back to the carbon dioxide that it had; %s", ahead, lies)
		return
	}
	t.Para("pH is as if no gas passed from the first go to the last, which is the lowest and the most carbon dioxide that the animals can meet; " + lies)
}

// portionRows are the water of a pond after each portion.
func portionRows(d *figure.Object) (heads []Col, rows [][]any) {
	for _, g := range d.Objects("goes") {
		if !g.Has("water") {
			continue
		}
		w := g.Sub("water")
		rows = append(rows, []any{goTime(g), figure.Say("%s", g.Get("chemical")).If(g.Get("of") != 1, ", %s of %s", g.Get("number"), g.Get("of")), w.Fig("alkalinity"), unitless(w.Fig("ph")),
			unitless(w.Fig("ph_aerated")), w.Fig("co2"), either(g.Get("past_stop_line") == true, "past the stop line", "")})
	}
	all := []string{"Time", "Given", "#alkalinity", ">pH", ">pH, aired", "#CO2", ""}
	if !slices.ContainsFunc(rows, func(r []any) bool { return r[6] != "" }) {
		all = all[:6]
		for i := range rows {
			rows[i] = rows[i][:6]
		}
	}
	return cols(all...), rows
}

// spreadText says how each chemical is spread.
func (p Standing) spreadText(t *Text) {
	if len(p.Open()) == 0 {
		return
	}
	var lines []string
	add := func(s string) {
		if !slices.Contains(lines, s) {
			lines = append(lines, s)
		}
	}
	for _, x := range p.Open() {
		for _, h := range x.Goods {
			if h.Use.Product <= 0 {
				continue
			}
			add(upperFirst(h.Name) + ": " + caution.Spread(h.Stock.Product))
		}
	}
	add("walk or row the whole surface, with the wind at your back; never one heap: what lies in one place harms what is there and works nowhere else")
	for _, x := range p.Open() {
		for _, h := range x.Goods {
			if h.Stock.Product.Group.Coagulant() && h.Use.Product > 0 {
				add(either(x.Late, "with the aerators on, in the afternoon, when the water has least carbon dioxide",
					"where the water is green, begin at dawn, when its pH is lowest, with the aerators on"))
			}
		}
		if x.Watch != nil {
			add("leave the aerators on through the night after the last go, and measure oxygen at dusk and before dawn: animals breathe it then, and so do algae that have sunk")
			add("feed nothing " + either(x.Late, "before the goes", "that morning") + "; aerators on before the first go, and until the animals feed again")
		}
	}
	for i, s := range lines {
		lines[i] = upperFirst(s) + "."
	}
	t.list("How to spread it (common practice, no source)", lines)
}

// watchText says what to look at in the animals, and at what to stop.
func (p Standing) watchText(t *Text, ponds []*figure.Object) {
	i := slices.IndexFunc(p.Ponds, func(x dosing.PondPlan) bool { return x.Watch != nil && !x.Review.Stopped })
	if i < 0 {
		return
	}
	t.Carded("Watch the animals")
	when, moults := figure.Say(""), false
	var all []string
	of := map[string][]any{} // the ponds that are looked at then
	for k, x := range p.Ponds {
		if x.Watch != nil && !x.Review.Stopped {
			times := goTimes(ponds[k].Objects("looks"))
			if of[times] == nil {
				all = append(all, times)
			}
			of[times] = append(of[times], x.Name)
			moults = moults || ponds[k].Has("watch.moults")
		}
	}
	for _, times := range all {
		when = when.And(" For %s that is %s.", figure.And(", ", of[times]...), times)
	}
	t.Say("Look before, and %s after each go, until the next is due: pH, oxygen, total ammonia, how they swim and feed, their gills%s.%s%s", whenWatched(),
		either(moults, ", soft shells", ""), either(p.Ponds[i].Attended(), " Looks keep to the hours of the place: one that would fall later is before people go home, or when they come again.", ""), when)
	told := ""
	for k, x := range p.Ponds {
		if x.Watch == nil || x.Review.Stopped {
			continue
		}
		lines, said := stopLines(ponds[k].Sub("watch"), "first go"), ""
		for _, l := range lines {
			said += t.opt.Show(l.Value)
		}
		if said == told { // as those of the pond before
			continue
		}
		if told != "" {
			t.Say("The lines of %s:", x.Name)
		}
		told = said
		t.Facts(lines)
	}
	for _, s := range onStop(p.Ponds[i].Watch, "no further go") {
		t.Item("-", s)
	}
}

// whenWatched lists the times.
func whenWatched() figure.Phrase {
	var out []any
	for _, h := range caution.Looks {
		out = append(out, hours("", h, 3))
	}
	return figure.And(", ", out...)
}

// wallLines are the same as a card tells them: the figures, with the units, and what is to be done without a source, which stands in the report.
func wallLines(d *figure.Object, start string) facts {
	low := d.Has("ph_asked_low") && lessThan(d.Fig("ph_low"), d.Fig("ph_asked_low"))
	l := facts{{"pH", figure.Say("below %s", unitless(d.Fig("ph_low"))).If(low, ", which it has already,").And(" or above %s", unitless(d.Fig("ph_high"))).
		If(d.Has("ph_asked_low") && !low, ", which it has already").If(d.Has("ph_brought"), "; the dose itself brings it to %s: do not begin", unitless(d.Fig("ph_brought")))}}
	l.when(d.Has("oxygen"), "oxygen", figure.Say("below %s", d.Fig("oxygen")).If(d.Get("oxygen_own") == false, ", or below what there was before the %s where that is less", start))
	l.when(d.Has("hardness"), "hardness", figure.Say("above %s as CaCO3", d.Fig("hardness")))
	l.when(d.Has("tan"), "total ammonia", figure.Say("above %s as N", d.Fig("tan")).If(d.Has("tan_stands"), ", which there is already,").And(" at pH %s and %s", unitless(d.Fig("tan_at_ph")), d.Fig("tan_at_temperature")))
	l.when(!d.Has("tan"), "free ammonia", figure.Say("above %s; pH and temperature tell how much of the total ammonia that is", d.Fig("nh3")))
	l.add("animals", signs(d))
	return l
}

// signs are how animals show that they suffer.
func signs(d *figure.Object) string {
	return either(d.Has("moults"), "crowding at the surface or the banks, jumping, lying on the side, pale or clogged gills, soft shells among them", "gasping at the surface, crowding at inlet or aerator, lying on the side, pale or clogged gills")
}

// stopLines are the figures at which to stop.
func stopLines(d *figure.Object, start string) facts {
	stands := d.Has("ph_asked_low")
	low := stands && lessThan(d.Fig("ph_low"), d.Fig("ph_asked_low"))
	l := facts{{"Stop at pH", figure.Say("below %s", unitless(d.Fig("ph_low"))).If(low, ", which it has already,").And(" or above %s", unitless(d.Fig("ph_high"))).
		If(stands && !low, ", which it has already").
		If(stands, "; they should have %s to %s", unitless(d.Fig("ph_asked_low")), unitless(d.Fig("ph_asked_high"))).And(" (%s)", d.Get("ph_of")).
		If(d.Has("ph_brought"), "; the dose itself brings it to %s: do not begin", unitless(d.Fig("ph_brought")))}}
	l.when(d.Has("oxygen"), "oxygen", figure.Say("below %s", d.Fig("oxygen")).
		If(d.Get("oxygen_own") == false, ", or below what there was before the %s where that is less", start).And(" (%s", d.Get("oxygen_of")).
		If(d.Get("oxygen_own") == false, "; of waters in general, no figure of its own is known").And(")"))
	l.when(d.Has("hardness"), "hardness", figure.Say("above %s as CaCO3 (%s)", d.Fig("hardness"), d.Get("hardness_of")))
	if d.Has("tan") {
		l.add("total ammonia", figure.Say("above %s as N", d.Fig("tan")).
			If(d.Has("tan_stands"), ", which there is already; they should have no more than %s", d.Fig("tan_asked")).
			And(", at pH %s, the highest that this water is to come to, aired or not, and %s (%s free, %s)",
				unitless(d.Fig("tan_at_ph")), d.Fig("tan_at_temperature"), d.Fig("nh3"), d.Get("nh3_of")))
	} else {
		l.add("total ammonia", figure.Say("what makes %s of it free (%s); pH and temperature tell how much that is", d.Fig("nh3"), d.Get("nh3_of")))
	}
	l.add("animals", signs(d))
	return l
}

// onStop is what to do when a line is passed, and what to look at later (common practice, no source).
func onStop(w *caution.Watch, first string) []string {
	out := []string{"At any of these: " + first + ", all aerators on, new water in; take out what is dead, and write down the time."}
	if w.Moults {
		out = append(out, "Animals that moult are soft for a day or two and bear the least: wait where many do, as after a full or new moon.")
	}
	for _, n := range w.Untested {
		out = append(out, upperFirst(n.Message)+". "+upperFirst(n.Remedy)+".")
	}
	if w.Filters {
		out = append(out, "A deep clean takes nitrifying bacteria down with the floc: total ammonia and nitrite every day for a week, and little feed.")
	}
	return out
}

// workingText shows how the figures came about.
func (p Standing) workingText(t *Text, ponds []*figure.Object) {
	for i, x := range ponds {
		t.Head("Working: " + p.Ponds[i].Name)
		if x.Has("area") && x.Has("depth") {
			t.Item("-", t.opt.Say("water = by %s of surface and %s of depth = %s [prismoidal rule, h/6 x (A1 + 4 Am + A2)]", x.Fig("area"), x.Fig("depth"), x.Fig("volume")))
		}
		for _, c := range x.Objects("chemicals") {
			t.Item("-", t.opt.Say("%s = dose as product x water = %s x %s = %s [mass balance]", c.Get("chemical"), c.Fig("dose_as_product").NoBasis(), x.Fig("volume"), c.Fig("product")))
			if c.Has("bucket") {
				t.Item("-", t.opt.Say("buckets of %s = %s / %s = %s", c.Get("chemical"), c.Fig("product"), c.Fig("bucket.holds"), c.Fig("bucket.number")))
			}
			if c.Has("bucket.covers") {
				t.Item("-", t.opt.Say("each covers %s / %s = %s", x.Fig("area"), c.Fig("bucket.number"), c.Fig("bucket.covers")))
			}
		}
	}
}
