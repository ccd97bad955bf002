package templates

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
	"jarwright/templates/figure"
)

// Budget is the answer of "budget": one or more months.
type Budget struct {
	Place  string
	Months []month.Budget
	// Together is what several months come to; nothing of one.
	Together month.Together
	Notes    note.List // beside those of the months
}

// day writes a date with its weekday, because lorries come on weekdays.
func day(d month.Date) string { return datedText(d.String()) }

// dayOfMonth is such a day without the year where that is the month's, which its heading tells.
func dayOfMonth(d month.Date, m month.Budget) string {
	return either(d.Year == m.Plan.Calendar.Month.Year, strings.TrimSuffix(day(d), fmt.Sprintf(" %d", d.Year)), day(d))
}

// Text implements [Report].
func (b Budget) Text(t *Text, o Options) {
	if len(b.Months) > 1 {
		b.together(t, o, togetherData(b))
	}
	for _, m := range b.Months {
		b.month(t, o, m)
	}
	mixes := func(n note.Note) bool { return strings.HasPrefix(n.Code, "mix-") }
	t.minded(slices.DeleteFunc(b.notes(), mixes))
	handlingText(t, slices.DeleteFunc(b.notes(), func(n note.Note) bool { return !mixes(n) }), o)
}

func (b Budget) month(t *Text, o Options, m month.Budget) {
	d := monthData(m)
	t.Answer(b.answer(o, m, d))
	if m.Plan.Stopped {
		t.Para("The day that this month is made of may not be run as it is, and nobody has taken the risk: the stops stand below. The orders are for doses that may not be fed.")
	}
	if s := runsOut(m); s.Format != "" {
		t.Para(o.Show(s))
	}
	orders(t, m, d)
	uses(t, o, m, d)
	costs(t, m, d)
	stores(t, o, m, d)
	matters(t, m, d)
	if o.Explain {
		working(t, o, m, d)
	}
}

// runsOut is what the store comes to, or that nobody said what stands in it; nothing where it lasts.
func runsOut(m month.Budget) (s figure.Phrase) {
	for _, a := range m.Accounts {
		name := upperFirst(a.Chemical.Name)
		s = s.If(s.Format != "" && (a.RunsOut != nil || a.Chemical.Supply.NotSaid), " ").
			If(a.RunsOut != nil && !a.Chemical.Supply.NotSaid, "%s RUNS OUT on %s.", name, shortDay(a)).
			If(a.Chemical.Supply.NotSaid && a.Use > 0, "What is on hand of %s is NOT GIVEN: its orders are those of an empty store.", a.Chemical.Name)
	}
	return s
}

// shortDay is the day on which a chemical runs out.
func shortDay(a month.Account) string {
	if a.RunsOut == nil {
		return ""
	}
	return day(a.RunsOut.Date)
}

// perThousandFigure is the cost of 1000 m3 from that of one.
func perThousandFigure(p quantity.Price) figure.Figure {
	return costPerWater("", quantity.Money{Amount: p.Amount * 1000, Currency: p.Currency}).To(4).In(figure.Full)
}

func orders(t *Text, m month.Budget, d *figure.Object) {
	t.Head("Order")
	var rows [][]any
	next, before := 0, 0
	for i, a := range m.Accounts {
		if u := d.Objects("use")[i]; u.Has("on_order") {
			on := u.Sub("on_order")
			rows = append(rows, []any{a.Chemical.Name, "on order", dayOfMonth(a.Chemical.Supply.OnOrderDate, m), packs(a, on.Get("packs"), packOf(u), on.Fig("amount")),
				or(on.Fig("stock_after"), either(a.Chemical.Supply.NotSaid, "not known", "not in these days")), ""})
		}
		line := func(o *figure.Object, x month.Delivery, by string) {
			rows = append(rows, []any{a.Chemical.Name, by, dayOfMonth(x.Arrives, m), packs(a, x.Packs, packOf(o), o.Fig("amount")),
				or(o.Fig("stock_after"), "not known"), either[any](a.Chemical.Prices.Priced(), o.Fig("cost"), "no price")})
		}
		for _, x := range a.Before {
			line(d.Objects("ordered_before")[before], x, "ordered "+dayOfMonth(x.OrderBy, m))
			before++
		}
		for _, x := range a.Deliveries {
			line(d.Objects("deliveries")[next], x, dayOfMonth(x.OrderBy, m))
			next++
		}
	}
	if len(rows) == 0 {
		t.Para(either(storeUntold(m) == "", "Nothing needs to be ordered: the stock lasts through the month and the lead times after it.",
			"When to order cannot be told: what is on hand of "+storeUntold(m)+" is not given."))
		return
	}
	t.Grid(cols("chemical", "order by", "arrives", ">packs", ">stock then", ">to pay"), rows)
	if slices.ContainsFunc(m.Accounts, func(a month.Account) bool { return slices.ContainsFunc(a.Deliveries, a.Soon) }) {
		t.Say("A lead time counts every day of the calendar; an order is placed from Monday to Friday, the last such day that is early enough. Order for the day of arrival: sent at once, the goods can be there sooner.")
	}
	later := d.Fig("cost.to_pay_later")
	switch {
	case m.ToPay.Amount > 0:
		t.Say("To pay for deliveries that arrive in the month: %s%s.", d.Fig("cost.to_pay"),
			figure.Say("").If(len(notPaid(m)) > 0, ", without %s", listed(notPaid(m))).If(later.Known(), "; %s more for what it orders fall due when that arrives, after it", later).
				If(onOrder(m), "; what is on order counts as paid"))
	case later.Known():
		t.Say("No delivery is to pay in the month; %s for what it orders fall due when that arrives, after it%s.", later,
			figure.Say("").If(len(notPaid(m)) > 0, ", without %s", listed(notPaid(m))))
	case onOrder(m):
		t.Say("What is on order was bought before the month: its price stands in no sum here, and what is used of it counts at the usual order's.")
	}
}

// notPaid names what is ordered and has no price, or none of its delivery.
func notPaid(m month.Budget) (out []string) {
	var freight []string
	for _, a := range m.Accounts {
		switch p := a.Chemical.Prices; {
		case len(a.Deliveries)+len(a.Before) == 0:
		case !p.Priced():
			out = append(out, a.Chemical.Name)
		case !p.Charged():
			freight = append(freight, a.Chemical.Name)
		}
	}
	if len(freight) > 0 {
		out = append(out, "the delivery of "+listed(freight))
	}
	return out
}

// onOrder reports that something was ordered before the month, which no delivery of the plan pays for.
func onOrder(m month.Budget) bool {
	return slices.ContainsFunc(m.Accounts, func(a month.Account) bool { return a.Chemical.Supply.OnOrder > 0 })
}

// packs is what is ordered: packs of a size, or the amount where no pack is known.
func packs(a month.Account, n any, pack, amount figure.Figure) figure.Phrase {
	if a.Chemical.Supply.Loose {
		return figure.Say("%s", amount)
	}
	return figure.Say("%s x %s", n, pack)
}

func uses(t *Text, o Options, m month.Budget, d *figure.Object) {
	t.Head("Use of product")
	spread := m.Range.Cost.P90 > m.Range.Cost.P10
	lacks := slices.ContainsFunc(d.Objects("use"), func(u *figure.Object) bool { return u.Has("short") })
	t.each(cols("chemical", "usual dose", ">month", either(lacks, ">wanted a day", ">a day"), either(spread, ">8 months in 10", absent), ">may run out"), d.Objects("use"),
		func(i int, u *figure.Object) []any {
			return []any{u.Get("chemical"), either[any](u.Has("per_dry_sludge"), figure.Say("%s of dry sludge", u.Fig("per_dry_sludge")), u.Fig("usual_dose")), u.Fig("product"), u.Fig("per_day"),
				o.between(m.Range.Use[i].P10, m.Range.Use[i].P90),
				either(u.Has("chance_of_running_out"), o.chance(m.Range.RunsOut[i]), "not known")}
		})
	for _, u := range d.Objects("use") {
		if !u.Has("usual_dose_of") {
			continue
		}
		s := figure.Say("Usual dose of %s:", u.Get("chemical"))
		for i, of := range u.Objects("usual_dose_of") {
			s = s.If(i > 0, ",").And(" %s in %s water (%s", of.Fig("dose"), of.Get("water"), of.Fig("share").In(figure.Brief)).If(i == 0, " of days").And(")")
		}
		t.Say("%s.", s)
	}
}

// between is a range in one unit, that of the upper end; one amount where its ends are one.
func (o Options) between(low, high quantity.Mass) figure.Phrase {
	hi, unit := high.Show(o.Units)
	if low == high {
		return figure.Say("%s", worked("", hi, unit, 0))
	}
	lo := hi
	if high != 0 {
		lo = hi * float64(low) / float64(high)
	}
	return figure.Say("%s to %s", plainNumber("", lo, 3), worked("", hi, unit, 0))
}

// chance writes a probability without claiming more than the draws can tell.
func (o Options) chance(p quantity.Fraction) string {
	switch v := p.In("%"); {
	case p == 0:
		return "no"
	case v < 1:
		return "below 1 %"
	case v > 99:
		return "yes"
	default:
		return o.Show(figure.Of("", p, "%", 2).In(figure.Full))
	}
}

func costs(t *Text, m month.Budget, d *figure.Object) {
	t.Head("Cost of what is used")
	t.Plate(costDrawing(t.opt, m))
	t.PartBehind("The cost by its parts")
	var rows [][]any
	for i, l := range d.Objects("cost.lines") {
		if m.Lines[i].Amount.Amount != 0 {
			rows = append(rows, []any{l.Get("item"), l.Fig("cost"), or(l.Fig("share"), "")})
		}
	}
	if len(rows) == 0 && len(m.Lacks()) > 0 {
		t.Say("Nothing that is used has a price.")
	} else {
		t.Grid(cols("item", ">cost", ">share"), append(rows, []any{either(len(m.Lacks()) > 0, "all, INCOMPLETE", "all"), d.Fig("cost.total"), ""}))
	}
	if d.Sub("cost").Has("at_usual_orders") {
		t.Say("Goods and delivery charges are those of the orders that arrive in the month, spread over what they bring. At the usual orders that `plan` counts, goods would be %s and deliveries %s.",
			d.Fig("cost.at_usual_orders.goods"), d.Fig("cost.at_usual_orders.delivery"))
	}
	for _, l := range d.Objects("cost.lines") {
		if l.Has("delivery_in_it") {
			t.Say("Goods out of date count with their delivery: %s of it is delivery charges.", l.Fig("delivery_in_it"))
		}
	}
	if m.Dry.Likely > 0 {
		t.Say("%s.", figure.Say("Solids: %s dry", d.Fig("dry_solids")).If(m.Wet.Likely > 0, ", %s of "+either(m.Plan.Cake, "drained cake", "float or sludge"), d.Fig("wet_solids")))
	}
	if x := d.Sub("sludge"); d.Has("sludge") {
		t.Say("%s.", figure.Say("Sludge line: %s of sludge with %s dry", x.Fig("volume"), x.Fig("dry")).If(x.Has("cake"), ", %s of cake", x.Fig("cake")).
			If(x.Has("bags"), ", %s bags of %s", x.Fig("bags"), x.Fig("bag")).If(x.Has("polymer"), ", %s of polymer", x.Fig("polymer")).
			If(m.Plan.Sludge.Stated && m.Plan.Cake, "; by the sludge a day that the site states, while disposal counts the solids above"))
	}
}

func stores(t *Text, o Options, m month.Budget, d *figure.Object) {
	t.Behind("Store")
	t.each(cols("chemical", ">opening", ">lasts", ">reorder at", ">always keep", ">lead time", ">closing"), d.Objects("use"),
		func(i int, u *figure.Object) []any {
			lasts := either[any](u.Has("opening_stock"), days(m.Accounts[i], u.Fig("cover")), "")
			return []any{u.Get("chemical"), or(u.Fig("opening_stock"), "not given"), lasts, u.Fig("reorder_point"), u.Fig("minimum_stock"),
				u.Fig("lead_time"), or(u.Fig("closing_stock"), "")}
		})
}

// days is how long a store lasts, or why it lasts no time, not claiming to know what lies years ahead.
func days(a month.Account, f figure.Figure) any {
	switch d := a.Cover.In("d"); {
	case a.Wanted <= 0:
		return "not used"
	case a.Chemical.Supply.Opening <= 0:
		return "none there"
	case d <= 0:
		return "out of date"
	case d > 730:
		return "years"
	default:
		f.Q = figure.Plain{V: d, U: "d"}
		return f
	}
}

func matters(t *Text, m month.Budget, d *figure.Object) {
	if !m.Range.Uncertain() || m.Range.Cost.P90 <= m.Range.Cost.P10 {
		return
	}
	t.Behind("What moves the cost most")
	t.each(cols("unknown", ">at its low "+m.Total.Currency, ">at its high", ">share"), d.Objects("matters"),
		func(_ int, x *figure.Object) []any {
			return []any{x.Get("unknown"), unitless(x.Fig("cost_at_p10")), unitless(x.Fig("cost_at_p90")), x.Fig("share_of_range")}
		})
	t.Say("Low and high are passed one time in ten. Range from %s drawn months, seed %s.", m.Range.Draws, m.Range.Seed)
}

// working shows how each figure came about.
func working(t *Text, o Options, m month.Budget, d *figure.Object) {
	t.Head("Working")
	p := m.Plan
	t.Say("Calendar: %s days in %s, %s of them with water to treat; %s.", p.Calendar.Month.Days(), p.Calendar.Month.Long(), m.Worked, d.Fig("treated").In(figure.Brief))
	for _, c := range m.Classes {
		if len(m.Classes) > 1 {
			when := figure.Say("%s of the days that no one named", figure.Of("", c.Share, "%", 3).In(figure.Full))
			if c.CleanUp {
				when = figure.Say("%s in each", litres("", m.Plan.CleanUp.Treated, 4).In(figure.Full))
			}
			t.Item("-", o.Say("%s water: %s, %s of suspended solids taken out", c.Name, when, mgL("", c.Removed.Likely, 3).In(figure.Full)))
		}
	}
	for i, u := range d.Objects("use") {
		chemicalWorking(t, o, m, i, u)
	}
	if m.Dry.Likely > 0 {
		t.Say("Solids: %s of suspended solids taken out; with what the chemicals make %s dry.", d.Fig("solids_removed"), d.Fig("dry_solids").To(4))
	}
	t.Para("A delivery day brings the usual order when the stock would not last to the next delivery day with the minimum kept: more where that is too little, less where the store or the shelf life asks for it. The range of a month's cost is drawn with the dose intervals, the flow and the solids. The ends that are given for flow and solids are passed one time in ten on either side, those of a dose one time in twenty; P10, P50 and P90 are type 7 quantiles (Hyndman and Fan 1996).")
}

func chemicalWorking(t *Text, o Options, m month.Budget, i int, u *figure.Object) {
	a := m.Accounts[i]
	t.Item("-", o.Show(figure.Say("%s: usual dose %s", a.Chemical.Name, u.Fig("usual_dose").To(4)).
		If(u.Has("strength"), " over a strength of %s", u.Fig("strength")).
		If(!u.Has("short"), "; %s in the month, %s over all its days.", u.Fig("product").To(5), u.Fig("per_day").To(4)).
		If(u.Has("short"), "; %s wanted in the month, %s over all its days; %s of it is not there: %s used.",
			mass("", a.Wanted, 5).In(figure.Full), u.Fig("per_day").To(4), u.Fig("short").To(4), u.Fig("product").To(5))))
	if m.Worked > 0 && a.Wanted > 0 {
		perDay := quantity.MassRate(float64(a.Wanted) / float64(m.Worked))
		week := float64(m.Worked) / float64(m.Plan.Calendar.Month.Days()) * 7
		t.Item(" ", o.Say("Check by the handbook's month of %s weeks: %s on %s days a week give %s.", brief("", month.RoughWeeks),
			figure.Of("", perDay, "kg/d", 4).In(figure.Full), plainNumber("", week, 2),
			mass("", month.RoughMonth(perDay, week, month.RoughWeeks), 4)))
	}
	t.Item(" ", o.Say("Reorder at %s = use a day x (days always kept + factor x lead time of %s). Always keep %s = use a day x (days always kept + (factor - 1) x lead time), the slack for a late delivery.", u.Fig("reorder_point").To(4), u.Fig("lead_time"), u.Fig("minimum_stock").To(4)))
	if u.Has("price") {
		order := figure.Say("in the usual order of %s", packs(a, a.UsualOrder, packOf(u), mass("", quantity.Mass(a.UsualOrder)*a.Chemical.Supply.Pack, 3)))
		if a.Bought > 0 {
			order = figure.Say("for the %s that the month's own orders bring", mass("", a.Bought, 4).In(figure.Full))
		}
		t.Item(" ", o.Say("%s.", figure.Say("Price %s %s", u.Fig("price"), order).If(u.Has("freight"), ", delivery %s", u.Fig("freight"))))
	}
}

// Book implements [BookReport]: the month with live formulas.
func (b Budget) Book(w io.Writer, o Options) error {
	if len(b.Months) != 1 {
		return note.Fault("one-month", "a workbook holds one month, not %d", len(b.Months)).Do("leave --months out, or write .csv or .json")
	}
	a := b.answer(o, b.Months[0], monthData(b.Months[0]))
	return book.Budget(b.Months[0], book.FirstPage{Place: a.Place, When: a.When, Sure: a.Sure, Order: a.Order, Marks: marksOf(b.Months[0].Plan)}, o.Units, o.Notes(b.notes()), book.Meta{Paper: o.Paper, Date: o.Date, Version: o.Version}).Write(w)
}
