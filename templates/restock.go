package templates

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"jarwright/dosing/caution"
	"jarwright/dosing/restock"
	"jarwright/jartest/note"
	"jarwright/templates/book"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// RestockReport is the answer of "restock".
type RestockReport struct {
	restock.Answer
	// Stated is true where the limit is the reader's own.
	Stated bool
}

// Text implements [Report].
func (r RestockReport) Text(t *Text, o Options) {
	d := r.data()
	t.Answer(r.answer(o, d))
	t.noted("Look at this first", slices.Concat(r.cautions(), r.Notes.Only(note.Caution)))
	t.Blank()
	t.Say("%s", either(t.paper() && r.Needs > 0, r.governs, r.headline)(d)) // the large number of paper says the rest
	if len(r.Residues) > 0 {
		r.residues(t, d)
	}
	r.ponds(t, d)
	if len(r.Ways) > 0 {
		r.ways(t, d)
	}
	t.Carded("What to do")
	for i, s := range r.steps(d) {
		t.Item(fmt.Sprintf("%d.", i+1), o.Show(s))
	}
	if o.Explain && r.Needs > 0 {
		r.working(t, d)
	}
	t.noted("To bear in mind", r.Notes.Only(note.Info))
}

// who are the animals in words.
func (r RestockReport) who() string { return cmp.Or(strings.Join(r.Animals, ", "), "animals") }

// answer is how much clean water it takes before the animals come back.
func (r RestockReport) answer(o Options, d *figure.Object) Answer {
	a := Answer{Title: joined(": ", "Back to stock", r.Name), Place: r.Site, When: dated(o.Date)}
	n := Number{For: "Clean water before " + r.who() + " come back"}
	a.Order = "Put a few animals in first, and look at them for a day before the rest."
	switch {
	case r.Held() && (len(r.Residues) == 0 || r.Told() && r.Needs == 0):
		n.Words, n.Under = "Not yet", "what is dosed needs no washing out, but the water itself is not fit for them"
		a.Order = o.Say("Keep them out until the water reads %s.", r.lines(d))
	case len(r.Residues) == 0 || r.Told() && r.Needs == 0:
		n.Words = "No water needed"
	case !r.Told():
		n.Words, n.Under = "Cannot be told", "no limit of what is dosed is known"
		a.Order = "Keep the animals out until the limit is known: measure, and give it with --limit."
	default:
		n.Value, n.Under = d.Fig("needs"), o.Say("or drain and fill up: %s", r.drains(d))
		l := (*facts)(&n.Beside)
		first := r.way(d, 0)
		l.when(first.Has("water"), "Let through", first.Fig("water"))
		l.when(first.Has("takes"), "Takes", figure.Say("%s at %s", first.Fig("takes").In(figure.Long), d.Fig("flow")))
		a.Order = "Stop dosing, take out the settled floc, then give the water."
		if r.Held() {
			a.Order += o.Say(" Keep them out until it reads %s.", r.lines(d))
		}
	}
	for _, h := range r.Holds {
		if h.Stop {
			a.Stops.Add(h.Note)
		}
	}
	a.Numbers = []Number{n}
	return a
}

// cautions are the holds that stop no plan.
func (r RestockReport) cautions() (out note.List) {
	for _, h := range r.Holds {
		if !h.Stop {
			out.Add(h.Note)
		}
	}
	return out
}

// held are all holds, as a card tells them.
func (r RestockReport) held() (out note.List) {
	for _, h := range r.Holds {
		out.Add(h.Note)
	}
	return out
}

// lines are what the water has to read before any come back.
func (r RestockReport) lines(d *figure.Object) figure.Phrase {
	x := d.Sub("lines")
	return figure.Say("pH %s to %s", unitless(x.Fig("ph_low")), unitless(x.Fig("ph_high"))).If(x.Has("tan"), ", total ammonia %s as N or less", x.Fig("tan")).
		And(" and alkalinity %s or more", x.Fig("alkalinity"))
}

// headline is the answer in a few sentences.
func (r RestockReport) headline(d *figure.Object) figure.Phrase {
	if len(r.Residues) == 0 && len(r.Salts) > 0 {
		return figure.Say("%s stays in the water, as salt and as hardness", upperFirst(strings.Join(r.Salts, ", "))).If(d.Has("hardness"), ", which is %s as CaCO3 with it", d.Fig("hardness")).
			And("; a plan says where that is more than the animals bear.").If(r.Held(), " What else the water comes to by the plan keeps them out.")
	}
	if len(r.Residues) == 0 {
		return figure.Say("Nothing that is dosed here stays in the water to be washed out.").If(r.Held(), " What the water itself comes to by the plan keeps them out.")
	}
	if !r.Told() {
		return figure.Say("How much water is needed cannot be told: no limit is known.")
	}
	x := d.Objects("residues")[r.Governs]
	if r.Needs == 0 {
		return figure.Say(either(r.Held(), "None of it has to be washed out", "No water is needed")+": %s of %s %s, and %s %s.", x.Fig("left"), residueName(x), isThere(x), bear(x, r.who()), x.Fig("limit")).
			If(x.Get("borrowed") == true, " What %s bear of it is not known: that limit is not theirs.", r.who())
	}
	return figure.Say("Before %s come back, let %s of clean water through", r.who(), d.Fig("needs")).
		If(r.Ways[0].Water.OK, ", %s", r.way(d, 0).Fig("water")).If(r.Ways[0].Takes.OK, ", which takes %s at %s", r.way(d, 0).Fig("takes").In(figure.Long), d.Fig("flow")).
		And("; or drain and fill up: %s. %s", r.drains(d), r.governs(d))
}

// governs is what the water is needed for.
func (r RestockReport) governs(d *figure.Object) figure.Phrase {
	x := d.Objects("residues")[r.Governs]
	return figure.Say("It goes by %s: %s %s, and %s %s.", residueName(x), x.Fig("left"), isThere(x), bear(x, "they"), x.Fig("limit")).
		If(x.Get("borrowed") == true, " What these animals bear of it is not known: that limit is not theirs.").
		If(x.Get("guideline") == true, " What these animals bear is not known and may be more: that is a guideline for whole ecosystems, not a limit for stock.").
		If(x.Get("criterion") == true, " What these animals bear is not known and may be more: that is a criterion for all that lives in a water, not a limit for stock.")
}

// isThere says that a residue is in the water, or may be at worst; and of a tank that is held what its clearing alone leaves.
func isThere(x *figure.Object) figure.Phrase {
	if x.Get("of_holding") == true {
		return figure.Say("come to be in the water in the long run of holding it (%s once it is cleared)", x.Fig("left_by_clearing"))
	}
	return figure.Say(either(x.Get("measured") == true, "are in the water", "are in the water at worst"))
}

// bear says whose limit a residue is held to: what animals bear, a limit that is not theirs, or a criterion or guideline for waters.
func bear(x *figure.Object, who string) string {
	switch {
	case x.Get("guideline") == true:
		return "the guideline for ecosystems is"
	case x.Get("criterion") == true:
		return "the criterion for the life of fresh waters is"
	case x.Get("borrowed") == true:
		return "the limit that stands in for theirs is"
	}
	return who + " bear"
}

func (r RestockReport) way(d *figure.Object, i int) *figure.Object { return d.Objects("ways")[i] }

// drains are the ways that only drain, in words.
func (r RestockReport) drains(d *figure.Object) figure.Phrase {
	var parts []any
	for i, w := range r.Ways {
		if x := r.way(d, i); w.Drains > 0 && w.Then == 0 {
			parts = append(parts, figure.Say("%s of %s", drained(w.Drains), x.Fig("share")))
		}
	}
	return figure.And(" or ", parts...)
}

// drained counts drains.
func drained(n int) string { return either(n == 1, "one drain", fmt.Sprintf("%d drains", n)) }

// residueName is a chemical with what is counted of it.
func residueName(x *figure.Object) string {
	c, as := cmp.Or(x.Said("chemical"), "the chemical"), x.Said("as")
	return c + either(as == "", "", " ("+strings.TrimPrefix(as, "as ")+")")
}

func (r RestockReport) residues(t *Text, d *figure.Object) {
	t.Head("What is in the water")
	held := either(slices.ContainsFunc(r.Residues, func(x restock.Residue) bool { return x.Guideline || x.Criterion || x.Borrowed }), ">limit", ">they bear")
	t.each(cols("chemical, mg/L", ">in the water", "", held, ">stop line", ">volumes"), d.Objects("residues"), func(i int, x *figure.Object) []any {
		return []any{residueName(x), unitless(x.Fig("left")), either(r.Residues[i].Long, "if held for long", either(r.Residues[i].Measured, "measured", "at worst")), or(unitless(x.Fig("limit")), "not known"),
			or(unitless(x.Fig("stop_at")), "-"), or(unitless(x.Fig("volumes")), "-")}
	})
	for _, x := range d.Objects("residues") {
		if why, ok := x.Get("why").(figure.Phrase); ok && x.Has("limit") && !r.Stated {
			t.Say("%s: %s %s, %s.", residueName(x), bear(x, "they"), x.Fig("limit"), why)
		}
	}
	if r.ToStop > 0 && r.ToStop < r.Needs {
		t.Say("After %s all of it would be below the stop line, to which a plan holds what stays beside the floc; "+
			"that is not yet what they bear for long.", d.Fig("to_stop"))
	}
}

// ponds is what each of several ponds needs by itself.
func (r RestockReport) ponds(t *Text, d *figure.Object) {
	list := d.Objects("ponds")
	if len(list) == 0 || r.Stated {
		return
	}
	t.Head("Each pond by itself")
	t.each(cols("pond", ">holds", ">volumes", ">clean water", "goes by"), list, func(_ int, x *figure.Object) []any {
		return []any{x.Get("name"), x.Fig("volume"), or(unitless(x.Fig("needs")), "-"), or(x.Fig("water"), "-"), figure.Say("").
			If(x.Has("left"), "%s: %s left, limit %s", residueName(x), unitless(x.Fig("left")), x.Fig("limit"))}
	})
}

func (r RestockReport) ways(t *Text, d *figure.Object) {
	t.Head("Ways to get there")
	t.each(cols("way", ">clean water", ">takes", ">leaves", ">of it"), d.Objects("ways"), func(i int, x *figure.Object) []any {
		return []any{r.wayWords(i, x), or(x.Fig("water"), "-"), or(x.Fig("takes"), "-"), x.Fig("leaves"), x.Fig("left")}
	})
	t.Say("Each drain is filled up again with clean water. The water is taken as well mixed: dead corners keep more; a tank that is filled from one end and drained at the other needs less.%s",
		figure.Say("").If(r.Flow.OK && r.Volume.OK, " Takes is the time that the clean water runs in; draining is not in it."))
}

func (r RestockReport) wayWords(i int, x *figure.Object) figure.Phrase {
	w := r.Ways[i]
	return figure.Say("").If(w.Drains > 0, "%s of %s", drained(w.Drains), x.Fig("share")).
		If(w.Drains > 0 && w.Then > 0, ", then %s", x.Fig("then")).If(w.Drains == 0, "%s let through", x.Fig("then"))
}

// steps are what to do, in order.
func (r RestockReport) steps(d *figure.Object) (out []figure.Phrase) {
	add := func(format string, args ...any) { out = append(out, figure.Say(format, args...)) }
	settled := "Stop dosing and take out the floc that has settled: what lies on the bottom goes back into clean water."
	if len(r.Salts) > 0 {
		settled = "Stop dosing, and wait until the clay has settled: it may stay on the bottom."
	}
	add(settled)
	if r.Needs > 0 {
		out = append(out, figure.Say("Give the water as above").If(r.Salty && r.Salinity.OK, ", mixed to %s of salt before it runs in", d.Fig("salinity")).
			If(r.Salty && !r.Salinity.OK, ", mixed to the salinity that the animals come from before it runs in").And(", and stir or aerate meanwhile."))
	}
	metal := false
	for _, x := range r.Residues {
		metal = metal || x.Metal
	}
	salt := r.Salty || !r.Salinity.OK // of water that nobody tells of too
	add("Measure temperature, pH, alkalinity, %soxygen and total ammonia%s; bring %s to those of the water that the animals come from.", either(salt, "salinity, ", ""), either(metal, ", and the metal", ""),
		either(salt, "temperature, pH and salinity", "temperature and pH"))
	if r.Held() {
		out[len(out)-1] = out[len(out)-1].And(" Let none in before it reads %s.", r.lines(d))
	}
	x := d.Sub("trial")
	add("Put %s animals into that water and as many into the water they come from, and look after %s, longer where that can be waited for: `jarwright new trial back.xlsx --of animals --water --hours \"24 h\"`. None dead of %s proves that fewer than %s would die. One that %s: take all out, and give another volume.",
		x.Fig("animals"), caution.LooksSaid(caution.Looks), x.Fig("animals"), x.Fig("none_dead_proves_fewer_than"), caution.Unfit)
	if len(r.Moults) > 0 {
		add("Look at the shells first: soft animals, and those about to moult, go in last; they bear the least.")
	}
	add("Then the rest, a third at a time, and look as often. Use no more animals than that, and follow local rules on trials with animals.")
	if len(r.Salts) > 0 {
		return out // nothing was taken out of the water
	}
	add("Measure total ammonia and nitrite every day for a week, and feed little: a deep clean takes nitrifying bacteria with it.")
	return out
}

func (r RestockReport) working(t *Text, d *figure.Object) {
	x := d.Objects("residues")[r.Governs]
	t.steps("Working", []string{
		t.opt.Say("let through: ln(left / limit) = ln(%s / %s) = %s", unitless(x.Fig("left")), unitless(x.Fig("limit")), d.Fig("needs")),
		"drains of a share d: ln(left / limit) / −ln(1 − d), rounded up",
		"drains first, then let through: ln(left / limit) less −ln(1 − d) for each drain",
	})
}

// Live adds a sheet on which all of it may be changed.
func (r RestockReport) Live(b *book.Book, o Options) error {
	if !r.Told() {
		return nil
	}
	u := sheetUnits[o.Units]
	x := r.Residues[r.Governs]
	l := newLive(b, "Change it", "Change the tank, see how much water it takes", "Clean water let through a well-mixed tank, or in place of what is drained: ln(left ÷ limit) volumes.", 4, 2, 3, 40, 13, 12, 16)
	l.OnePage()
	const little = 1e-6
	l.section("What is left and what they bear")
	l.input("May be left of "+cmp.Or(x.Chemical, "the chemical"), float64(x.Left), "mg/L", "Left_mg_L", 0, 1e6)
	l.input(either(x.Guideline, "Guideline for ecosystems", either(x.Criterion, "Criterion for the life of fresh waters", either(x.Borrowed, "Limit that stands in for theirs", "The animals bear"))), float64(x.Limit.V), "mg/L", "Limit_mg_L", little, 1e6)
	share := float64(r.Share.Or(0.5).In("%"))
	l.input("Drained at a time", share, "%", "Drained_percent", 1, 99)
	if r.Volume.OK {
		l.input("Water in the tank", r.Volume.V.In(u.volume), u.volume, "Tank_"+u.volume, little, 1e9)
	}
	if r.Flow.OK {
		l.input("Clean water", r.Flow.V.In(u.flow), u.flow, "Flow_"+slugUnit(u.flow), little, 1e9)
	}
	l.row++
	l.section("What follows")
	needs := float64(r.Needs)
	result := func(formula string, v float64, digits int) book.Cell {
		c := book.Calc(u.rename(formula), v, book.Digits(v, digits))
		c.Kind = book.Result
		return c
	}
	l.line("Clean water let through", result("MAX(0,LN(MAX(Left_mg_L,1E-12)/Limit_mg_L))", needs, 3), "volumes", "Volumes")
	drains := math.Ceil(needs/-math.Log1p(-share/100) - 1e-9)
	times := result("MAX(0,ROUNDUP(Volumes/-LN(1-Drained_percent/100)-0.000000001,0))", drains, 3)
	times.Format = "0"
	l.line("or drained and filled up", times, "times", "Drains")
	if r.Volume.OK {
		v := r.Volume.V.In(u.volume)
		l.line("Water let through", book.Calc(u.rename("Volumes*Tank_m3"), needs*v, book.Digits(needs*v, 3)), u.volume, "")
		l.line("Water of the drains", book.Calc(u.rename("Drains*Drained_percent/100*Tank_m3"), drains*share/100*v, book.Digits(drains*share/100*v, 3)), u.volume, "")
		if r.Flow.OK {
			h := needs * v / (r.Flow.V.In(u.flow) * u.perHour)
			l.line("Hours let through", book.Calc(u.rename("Volumes*Tank_m3/Flow_m3_h"), h, book.Digits(h, 3)), "h", "")
		}
	}
	l.end(3, "CAUTION: water alone does not tell that animals live in it. Measure it, and try a few animals first.")
	return nil
}

// toldAway is how to have a sheet made, which who stands at the tank does not do.
var toldAway = regexp.MustCompile(": `jarwright [^`]*`")

// Cards gives the card for the tank.
func (r RestockReport) Cards(o Options) []page.Card {
	d := r.data()
	c := page.Card{Title: "Card: back to stock" + either(r.Name == "", "", ", "+r.Name), Lead: o.Show(r.headline(d))}
	c.Place, c.When, c.Ask = r.Site, dated(o.Date), ask("")
	if r.Told() && r.Needs > 0 {
		c.Numbers = []page.Number{pageNumber(o, Number{For: "Clean water to let through", Value: d.Fig("needs")})}
	}
	for _, s := range r.steps(d) {
		c.Checks = append(c.Checks, toldAway.ReplaceAllString(o.Show(s), "; write down each look"))
	}
	for _, n := range slices.Concat(r.held(), r.Notes.Only(note.Caution)) {
		c.Cautions = append(c.Cautions, remedied(o.Notes(note.List{n})[0].Message, n.Remedy))
	}
	return []page.Card{c}
}
