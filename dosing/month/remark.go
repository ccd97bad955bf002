package month

import (
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/day"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// row is a note, and whether what it tells holds.
type row struct {
	holds bool
	note  note.Note
}

// told lists the notes of the rows that hold.
func told(rows ...row) (l note.List) {
	for _, r := range rows {
		if r.holds {
			l.Add(r.note)
		}
	}
	return l
}

// remark says what a reader must know before relying on the plan.
func (b *Budget) remark(m *model) {
	p := b.Plan
	b.Notes.Add(told(row{b.Treated == 0, note.New(note.Caution, "nothing-treated", "no water is treated in %s", p.Calendar.Month.Long()).
		Do("check the flow and the working days")})...)
	for c, a := range b.Accounts {
		b.Notes.Add(a.storeRemarks(m, b.Range.RunsOut[c])...)
		b.Notes.Add(a.purchaseRemarks(m)...)
	}
	for _, n := range b.Range.Open {
		remedy := "give both ends of its dose in the site under Chemicals"
		if c := slices.IndexFunc(p.Chemicals, func(c Chemical) bool { return c.Name == n }); c >= 0 && p.Chemicals[c].Tested {
			remedy = "test more jars beyond the tested doses"
		}
		b.Notes.Add(note.New(note.Caution, "dose-range-open",
			"the dose range of %s has no bound on one side, so its use and cost may lie further out than shown", n).Do("%s", remedy))
	}
	sure, at := m.sure(b.Range), b.Range.PlanAt
	none := b.unpriced()
	b.Notes.Add(told(
		row{sure, note.New(note.Info, "no-range", "no dose interval, flow range or solids range was given, so the figures stand without a range").
			Do("take the dose from a bench sheet, or give a low and a high flow")},
		row{!sure && b.Range.Cost.P90 > b.Range.Cost.P10 && (at > 0.6 || at < 0.4), note.New(note.Info, "plan-in-range",
			"the planned cost is not the middle of the range: in %s of 100 drawn months the cost stays at or below it%s",
			quantity.Full(quantity.Number(at.In("%")), 2), p.offMiddle())},
		row{len(none) > 0, note.New(note.Info, "not-priced", "not in the cost, no price given: %s", strings.Join(none, ", ")).
			Do("give it in the site under Prices; what costs nothing has a price of 0")},
	)...)
}

// offMiddle says why the doses of a plan do not stand in the middle of what is drawn;
// nothing where none of them is in doubt.
func (p Plan) offMiddle() string {
	why := ""
	for _, c := range p.Chemicals {
		switch {
		case c.Tested:
			return " (planning doses lie on the safe side of the bench's interval)"
		case slices.ContainsFunc(c.Doses, func(d Dose) bool { return d.Quantile != nil }):
			why = " (the doses stated do not stand in the middle of their own range)"
		}
	}
	return why
}

// unpriced names what the month takes that no price is known for, apart from the
// chemicals themselves, of which each has a caution.
func (b Budget) unpriced() (out []string) {
	var water quantity.Volume
	for i, a := range b.Accounts {
		if a.Wanted > 0 && a.Chemical.Prices.Priced() && !a.Chemical.Prices.Charged() {
			out = append(out, "delivery of "+a.Chemical.Name)
		}
		water += b.Uses[i].Water + b.Uses[i].Carrier
	}
	p := b.Plan
	return append(out, others(b.Account, water, p.Disposal.Price, p.Water, p.Energy.Price)...)
}

// others names what of an account is used and has no price, beside the chemicals.
func others(a day.Account, water quantity.Volume, disposal, makeUp, electricity quantity.Price) (out []string) {
	for _, x := range []struct {
		name  string
		used  bool
		price quantity.Price
	}{
		{day.DisposalLine, a.Dry.Likely > 0 || a.Wet.Likely > 0, disposal},
		{day.WaterLine, water > 0, makeUp},
		{day.EnergyLine, a.Energy > 0, electricity},
	} {
		if x.used && x.price.Currency == "" {
			out = append(out, x.name)
		}
	}
	return out
}

// first is the first of the days that are so; false where none is.
func first(days []StockDay, so func(StockDay) bool) (StockDay, bool) {
	if i := slices.IndexFunc(days, so); i >= 0 {
		return days[i], true
	}
	return StockDay{}, false
}

// storeRemarks are about what is in the store; chance is that of running out in the months drawn.
func (a Account) storeRemarks(m *model, chance quantity.Fraction) (l note.List) {
	name, s := a.Chemical.Name, a.Chemical.Supply
	if s.NotSaid {
		return nil // told where the site is read
	}
	if a.RunsOut != nil {
		l.Add(a.shortage(m))
	}
	low, below := first(a.Stock[:m.n], func(d StockDay) bool { return d.End < a.Safety-slack })
	soonest, _, kept := a.heldBack(low.Date.AddDays(1))
	more := note.Say("order sooner, find more room, or accept a smaller minimum")
	switch {
	case soonest.IsZero() || low.Date.Before(soonest): // of the orders of these days none comes in time
		more = note.Say("no order that can still be placed comes by then: look at what is left every day until one does, or ask for a faster delivery")
		if a.Stock[0].Start >= a.Safety-slack {
			more = note.Say("order sooner if the month is still ahead; in it no order comes by then: look at what is left every day until one does, or ask for a faster delivery")
		}
	case kept: // an order that comes sooner is held back too
		more = note.Say("accept a smaller minimum or ask for more delivery days: no more is ordered than can be used in the %d days that it keeps", s.ShelfDays)
	}
	full, over := first(a.Stock, func(d StockDay) bool { return d.Full > s.Limit+slack })
	fits := note.Say("check what is on hand and the room for it, or find more room")
	if s.OnOrder > 0 && !full.Date.Before(s.OnOrderDate) {
		fits = note.Say("put off what is on order, or find more room")
	}
	var expired quantity.Mass
	for _, d := range a.Stock {
		expired += d.Expired
	}
	unused := a.overAge()
	l = append(l, a.tooSoon()...)
	return append(l, told(
		row{a.RunsOut == nil && chance >= 0.005, note.New(note.Caution, "may-run-out",
			"%s may run out: in %s %% of the months drawn the planned deliveries are not enough",
			name, quantity.Full(quantity.Number(chance.In("%")), 2)).
			Do("look at the stock every week, or keep more")},
		row{a.RunsOut == nil && below && a.Wanted > 0, note.New(note.Caution, "below-minimum",
			"%s falls below the %s that should always be kept "+
				"(%s days of use and the slack for a late delivery), first on %s", name, brief(a.Safety), short(s.Kept()), low.Date).
			Do("%s", more)},
		row{s.Limit > 0 && a.Reorder > s.Limit+slack && a.Wanted > 0, note.New(note.Info, "reorder-above-room",
			"%s is to be reordered at %s, and the store holds %s: it is always below that, so that an order is due for every delivery day",
			name, brief(a.Reorder), brief(s.Limit)).
			Do("find more room, or keep fewer days of use (days kept in the site under Prices)")},
		row{over && s.Limit > 0, note.New(note.Caution, "store-overfull",
			"%s does not fit the store: %s on %s, room for %s", name, brief(full.Full), full.Date, brief(s.Limit)).
			Do("%s", fits)},
		row{expired > slack, note.New(note.Caution, "out-of-date", "%s of %s will be out of date before it is used: it keeps %d days", brief(expired), name, s.ShelfDays).
			Do("buy smaller packs, or use or pass it on in time")},
		row{expired <= slack && unused > slack, note.New(note.Caution, "out-of-date",
			"about %s of the %s delivered will be out of date before it is used: it keeps %d days", brief(unused), name, s.ShelfDays).
			Do("buy smaller packs")},
	)...)
}

// tooSoon is about orders that have to be placed so much before the lead time asks for them, as before a weekend, that goods
// sent at once would find no room.
func (a Account) tooSoon() (l note.List) {
	name, s := a.Chemical.Name, a.Chemical.Supply
	for _, x := range a.Deliveries {
		soon := x.OrderBy.AddDays(s.LeadDays)
		then, ok := first(a.Stock, func(d StockDay) bool { return d.Date == soon })
		if ok && soon.Before(x.Arrives) && s.Limit > 0 && then.Full+x.Amount > s.Limit+slack {
			l.Add(note.New(note.Caution, "order-comes-soon",
				"%s ordered on %s can be there on %s by its lead time of %d days, when %s stand in a store of %s: %s more do not fit before they are planned for, on %s",
				name, x.OrderBy, soon, s.LeadDays, brief(then.Full), brief(s.Limit), brief(x.Amount), x.Arrives).
				Do("order it for %s", x.Arrives.Spelled()))
		}
	}
	return l
}

// shutOrders is about orders whose last day is one on which the calendar shuts the plant: who is to place them is not there.
func (a Account) shutOrders(m *model) (l note.List) {
	shut := func(d Date) bool {
		return slices.ContainsFunc(m.days, func(x Day) bool { return x.Date == d && !x.Operating })
	}
	for _, x := range a.Deliveries {
		if !shut(x.OrderBy) {
			continue
		}
		before := x.OrderBy
		for shut(before) || before.Weekday() == time.Saturday || before.Weekday() == time.Sunday {
			before = before.AddDays(-1)
		}
		l.Add(note.New(note.Caution, "order-while-shut", "%s is to be ordered by %s, and the calendar shuts that day", a.Chemical.Name, x.OrderBy).
			Do("place the order by %s, or make sure that somebody does on the day", before.Spelled()))
	}
	return l
}

// Soon reports that an order is to be placed earlier than its lead time asks: an order is placed from Monday to Friday alone.
func (a Account) Soon(x Delivery) bool {
	return x.OrderBy.AddDays(a.Chemical.Supply.LeadDays).Before(x.Arrives)
}

// purchaseRemarks are about what is bought and on its way.
func (a Account) purchaseRemarks(p *model) note.List {
	name, s := a.Chemical.Name, a.Chemical.Supply
	arrives := p.plan.Calendar.Month.First().DaysTo(s.OnOrderDate)
	lost := a.Chemical.LetOut * quantity.Mass(p.running())
	aDay := float64(a.Wanted+lost) / float64(p.n)
	shut := s.OnOrder > 0 && slices.ContainsFunc(p.days, func(d Day) bool { return d.Date == s.OnOrderDate && !d.Delivery })
	return append(a.shutOrders(p), told(
		row{lost > slack, note.New(note.Caution, "let-out-not-counted", "%s", note.Say(
			"%s: the plan of the usual day lets %s of product out with stock that has gone off, about %s in the month, which neither the use nor the bill nor the store here counts", name, brief(a.Chemical.LetOut), brief(lost)).
			If(!s.NotSaid && s.Opening > 0, ": with it %s on hand last %s d", brief(s.Opening), quantity.Full(quantity.Number(float64(s.Opening)/aDay), 3))).
			Do("make that stock up more often or use one that keeps longer, or order so much more")},
		row{shut, note.New(note.Caution, "order-on-closed-day",
			"what is on order of %s (%d x %s) arrives on %s, on which the calendar takes no delivery: it counts as there from that day on", name, s.OnOrder, s.Said(), s.OnOrderDate).
			Do("ask on which day it really comes, and who takes it in")},
		row{s.OnOrder > 0 && (arrives < 0 || arrives >= len(a.Stock)), note.New(note.Caution, "order-outside",
			"what is on order of %s (%d x %s) arrives on %s, outside this plan", name, s.OnOrder, s.Said(), s.OnOrderDate).
			Do("add them to the opening stock if they have come")},
		row{!a.Chemical.Prices.Priced() && a.Wanted > 0, note.New(note.Caution, "no-price", "the cost leaves out %s: no price is given",
			name).
			Do("give its price in the site under Prices")},
		row{s.MinDays < 0 && a.Wanted > 0, note.New(note.Info, "minimum-stock",
			"%s: the minimum of %s days and the factor of %s on the lead time are the usual ones", name, short(s.Kept()),
			short(s.Factor())).
			From("Davis, Water and Wastewater Engineering (2010), table 5-1")},
	)...)
}

// shortage tells when a chemical runs out and why.
func (a Account) shortage(m *model) note.Note {
	name, d := a.Chemical.Name, *a.RunsOut
	var lack quantity.Mass
	days := 0
	for _, x := range a.Stock[:m.n] {
		lack += x.Short
		if x.Short > slack {
			days++
		}
	}
	why, what := a.shortOf(m, d.Date)
	return note.New(note.Caution, "runs-out",
		"%s runs out on %s (short of %s on %d days of the month): %s; what it is short of is neither used nor paid for here, "+
			"while water and solids count as if it were there", name, d.Date, brief(lack), days, why).
		Do("%s", what)
}

// heldBack is the first day on which an order can come, and what kept the last one before a day smaller than is lacking: the
// room in the store, or how long the goods keep.
func (a Account) heldBack(out Date) (first Date, filled, kept bool) {
	for i, x := range a.Stock {
		if !x.Date.Before(out) && !first.IsZero() {
			break
		}
		if a.Store.Row("can", i) != 0 {
			if first.IsZero() {
				first = x.Date
			}
			packs := float64(x.Packs)
			wanted := math.Max(a.Store.Row("lack", i)/float64(a.Chemical.Supply.Pack), a.Store.Cell("order"))
			lacks := a.Store.Row("lack", i) > slack && packs+1 <= wanted+1-slack && packs < math.Ceil(wanted)
			filled = lacks && packs >= a.Store.Row("room", i)
			kept = lacks && !filled && packs >= a.Store.Row("keeps", i)
		}
	}
	return first, filled, kept
}

// shortOf says why a chemical runs out on a day, and what can be done about it.
func (a Account) shortOf(m *model, out Date) (why, what note.Phrase) {
	name, s, from := a.Chemical.Name, a.Chemical.Supply, nextWorkday(m.plan.OrderFrom)
	first, filled, kept := a.heldBack(out)
	soonest := from.AddDays(s.LeadDays)
	lasts := note.Say("the stock of %s lasts %s d", brief(s.Opening), quantity.Full(quantity.Number(a.Cover.In("d")), 2))
	switch {
	case out.Before(soonest):
		return note.Say("%s and an order placed on %s arrives on %s at the earliest (%d d)", lasts, from, soonest, s.LeadDays).
				If(!first.IsZero() && soonest.Before(first), "; the first day with deliveries then is %s", first),
			note.Say("get %s from elsewhere before %s, or ask for a faster delivery", name, out.Spelled())
	case first.IsZero(), out.Before(first):
		return note.Say("no delivery day comes in time: %s and an order placed on %s could be there on %s", lasts, from, soonest).
				If(!first.IsZero(), ", but the first day with deliveries then is %s", first),
			note.Say("get %s from elsewhere before %s, or ask for more delivery days", name, out.Spelled())
	case filled:
		return note.Say("what the store holds (%s) does not last from one delivery day to the next", brief(s.Limit)),
			note.Say("find more room, or ask for more delivery days")
	case kept:
		return note.Say("no more is ordered than can be used in the %d days that it keeps", s.ShelfDays),
			note.Say("ask for more delivery days, or buy smaller packs")
	}
	return note.Say("no delivery day comes in time"), note.Say("ask for more delivery days")
}

// running counts the days of the month on which the plant runs.
func (m *model) running() (n int) {
	for _, d := range m.days[:m.n] {
		if d.Operating {
			n++
		}
	}
	return n
}

// nextWorkday is the first day from one on, from Monday to Friday: an order is placed on no other.
func nextWorkday(d Date) Date {
	for d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
		d = d.AddDays(1)
	}
	return d
}

// overAge is what of the last lots cannot be used in time, looking beyond the days of the plan.
func (a Account) overAge() quantity.Mass {
	var worst float64
	for i := range a.Stock {
		worst = max(worst, a.Store.Row("over_age", i))
	}
	return quantity.Mass(worst)
}

// brief is a mass with three digits and no idle zeros.
func brief(m quantity.Mass) quantity.Rounded { return quantity.To(m, 3) }

// short is a number with three digits and no idle zeros.
func short(v float64) quantity.Rounded { return quantity.To(quantity.Number(v), 3) }
