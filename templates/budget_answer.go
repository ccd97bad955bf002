package templates

import (
	"strings"

	"jarwright/dosing/month"
	"jarwright/templates/figure"
)

// marksOf say before a month's cost what its days lack to be run as they are, the gravest first.
func marksOf(p month.Plan) (out []string) {
	for _, x := range [...]struct {
		holds bool
		mark  string
	}{
		{p.Unplanned(), "NO PLAN CAN BE MADE OF ITS DAYS."},
		{p.OutOfReach, "A PUMP IS OUT OF REACH."},
		{p.Unheld, "THE LOOP IS NOT HELD at its level."},
	} {
		if x.holds {
			out = append(out, x.mark)
		}
	}
	return out
}

// answer is what the month costs, how sure that is, and the next order.
func (b Budget) answer(o Options, m month.Budget, d *figure.Object) Answer {
	a := Answer{Title: "The month: " + m.Plan.Calendar.Month.Long(), Place: b.Place, When: dated(o.Date)}
	n := Number{For: "Cost of what is used", Value: d.Fig("cost.total"), Under: o.Say("for %s of water, treated on %s days", d.Fig("treated"), m.Worked)}
	if lacks := m.Lacks(); len(lacks) > 0 {
		n.For = "Cost of what is used, INCOMPLETE: no price is known of " + listed(lacks)
		if m.Total.Amount == 0 {
			n.Words = "Cost not known"
		}
	}
	if m.Plan.Stopped {
		n.For = "STOPPED: what the month would cost, not a plan to run"
	}
	n.For = strings.Join(append(marksOf(m.Plan), n.For), " ")
	l := (*facts)(&n.Beside)
	l.when(m.HasPerM3 && n.Words == "", "Per "+o.thousand(), perThousandFigure(m.PerM3))
	if m.HasPerKg && n.Words == "" {
		price := perKg(m.PerKg)
		_, unit := price.Show(o.Units)
		l.add("Per "+unit[len(unit)-2:]+" of solids removed", figure.Say("%s %s", figure.Figure{Q: figure.Unitless{Q: price}, Form: figure.Full}, m.PerKg.Currency))
	}
	l.when(m.ToPay.Amount > 0, "To pay for deliveries", d.Fig("cost.to_pay"))
	a.Numbers = []Number{n}
	if r := m.Range.Cost; r.P90 > r.P10 && n.Words == "" {
		a.Sure = o.Say("Eight months in ten like this one cost %s to %s, half of them less than %s.",
			unitless(d.Fig("cost.p10")), d.Fig("cost.p90"), unitless(d.Fig("cost.p50")))
	}
	a.Order = nextOrder(o, m, d)
	return a
}

// nextOrder is the order that has to be placed first; that none has to be is an answer too.
func nextOrder(o Options, m month.Budget, d *figure.Object) string {
	if m.Plan.Stopped {
		return "Order nothing before what stops the day is put right."
	}
	first, soonest, of := firstOrder(m)
	if first < 0 {
		return either(storeUntold(m) == "", "Order nothing: the stock lasts through the month and the lead times after it.",
			"When to order cannot be told: what is on hand of "+storeUntold(m)+" is not given.")
	}
	x := d.Objects("deliveries")[first]
	return o.Say("Order %s of %s by %s.", packs(of, x.Get("packs"), packOf(x), x.Fig("amount")), of.Chemical.Name, day(soonest))
}

// firstOrder is the delivery that has to be ordered first, by its place among all of the month, with its day and chemical; below zero
// where none has to be.
func firstOrder(m month.Budget) (first int, by month.Date, of month.Account) {
	first = -1
	at := 0
	for _, a := range m.Accounts {
		for _, x := range a.Deliveries {
			if first < 0 || x.OrderBy.Before(by) {
				first, by, of = at, x.OrderBy, a
			}
			at++
		}
	}
	return first, by, of
}

// togetherAnswer is what several months cost together.
func (b Budget) togetherAnswer(o Options, d *figure.Object) Answer {
	first, last := b.Months[0].Plan.Calendar.Month, b.Months[len(b.Months)-1].Plan.Calendar.Month
	a := Answer{Title: first.Long() + " to " + last.Long() + " together", Place: b.Place, When: dated(o.Date)}
	n := Number{For: "Cost of what is used", Value: d.Fig("total"), Under: o.Say("for %s of water", d.Fig("treated"))}
	if !d.Has("total") {
		n.Words = "Cost not known"
	}
	if lacks := b.lacks(); len(lacks) > 0 {
		n.For = "Cost of what is used, INCOMPLETE without the price of " + listed(lacks)
	}
	a.Numbers, a.Order = []Number{n}, "Order as each month says: it begins with what the one before leaves in store and on order."
	return a
}

// storeUntold names the chemicals of which nobody gave what is on hand, so that nothing tells how long they last.
func storeUntold(m month.Budget) string {
	var out []string
	for _, a := range m.Accounts {
		if a.Chemical.Supply.NotSaid {
			out = append(out, a.Chemical.Name)
		}
	}
	return strings.Join(out, ", ")
}
