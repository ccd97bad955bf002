package templates

import (
	"slices"
	"strings"

	account "jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// useData is a chemical over the month.
func useData(m month.Budget, i int) *figure.Object {
	a, r := m.Accounts[i], m.Range
	u := r.Use[i]
	money := func(key string, v float64) figure.Figure {
		return amount(key, quantity.Money{Amount: v, Currency: m.Total.Currency})
	}
	o := figure.New(doseOf("usual_dose", a.UsualDose, a.Chemical.Basis, 3).In(figure.Full), mass("product", a.Use, 3)).Set("chemical", a.Chemical.Name).
		Bare(money("cost", a.Goods.Amount).If(a.Wanted <= 0 || a.Chemical.Prices.Priced()), money("delivery_cost", a.Freight.Amount).If(a.Freight.Amount > 0), money("out_of_date_cost", a.Loss.Amount).If(a.Loss.Amount > 0))
	if m.Mixed(a) {
		o.List("usual_dose_of", mixData(m, a))
	}
	s := a.Chemical.Supply
	said := !s.NotSaid // else what an empty store would come to is no figure of this one
	o.Put(mass("p10", u.P10, 3), mass("p50", u.P50, 3), mass("p90", u.P90, 3)).
		Bare(plainNumber("chance_of_running_out", float64(r.RunsOut[i]), 3).If(said))
	if a.RunsOut != nil && said {
		o.Set("runs_out_on", a.RunsOut.Date.String())
	}
	o.Put(mass("opening_stock", s.Opening, 3).If(said), mass("closing_stock", a.Closing(m.Plan.Calendar.Month), 3).If(said),
		figure.Of("cover", figure.Fixed{Q: a.Cover, Unit: "d"}, "d", 3).In(figure.Full).If(said && a.Wanted > 0),
		mass("reorder_point", a.Reorder, 3), mass("minimum_stock", a.Safety, 3), figure.Of("per_day", a.PerDay, "kg/d", 3).In(figure.Full))
	if x := m.Plan.Sludge; a.Chemical.ForSludge {
		o.Put(figure.Of("per_dry_sludge", perTonne{x.PerDry()}, "kg/t", 2).In(figure.Full))
	}
	packed(o, s.Pack, s.PackVolume).Put(figure.Of("strength", a.Chemical.Strength.V, "%", 4).In(figure.Full).If(a.Chemical.Strength.V != 0 && a.Chemical.Strength.V != 1))
	if a.Chemical.Prices.Priced() {
		o.Put(pricePer("price", perKg(a.UnitPrice), 4), pricePer("freight", perKg(a.UnitFreight), 3).If(a.UnitFreight.Amount > 0))
	}
	came := a.Arrived(m.Plan.Calendar.Month) // with what was ordered before the month
	o.Put(mass("bought", a.Bought, 4).If(a.Bought > 0), mass("arrived", came, 4).If(came > a.Bought), mass("out_of_date", a.Expired, 3).If(a.Expired > 0),
		mass("short", a.Wanted-a.Use, 3).If(a.Wanted > a.Use))
	if s.OnOrder > 0 {
		o.Part("on_order", onOrderData(a))
	}
	lead := figure.Plain{V: float64(s.LeadDays), U: "d"}
	return o.Put(figure.Of("lead_time", lead, "d", 3)).Set("usual_order_packs", a.UsualOrder)
}

// mixData is the usual dose by the waters that it is the mean of.
func mixData(m month.Budget, a month.Account) (out []*figure.Object) {
	for k, c := range m.Classes {
		if c.Share > 0 {
			out = append(out, figure.New(figure.Of("share", c.Share, "%", 3).In(figure.Full), mgL("dose", a.Doses[k], 3).In(figure.Full)).
				Set("water", c.Name))
		}
	}
	return out
}

// onOrderData is what was ordered before the month; it has no stock to come to where
// it arrives outside the days of the plan.
func onOrderData(a month.Account) *figure.Object {
	s := a.Chemical.Supply
	o := figure.New(mass("amount", quantity.Mass(s.OnOrder)*s.Pack, 3)).Set("packs", s.OnOrder).Set("arrives", s.OnOrderDate.String())
	for _, d := range a.Stock {
		if d.OnOrder > 0 && !s.NotSaid {
			o.Put(mass("stock_after", d.Full, 3))
		}
	}
	return o
}

func deliveryData(a month.Account, d month.Delivery) *figure.Object {
	s := a.Chemical.Supply
	return packed(figure.New(mass("amount", d.Amount, 3), mass("stock_after", d.StockAfter, 3).If(!s.NotSaid)), s.Pack, s.PackVolume).Set("chemical", a.Chemical.Name).
		Set("order_by", d.OrderBy.String()).Set("arrives", d.Arrives.String()).Set("packs", d.Packs).Bare(amount("cost", d.Cost).If(a.Chemical.Prices.Priced()))
}

// monthCost is what the month costs, in its lines and as a range.
func monthCost(m month.Budget) *figure.Object {
	money := func(key string, v float64) figure.Figure {
		return amount(key, quantity.Money{Amount: v, Currency: m.Total.Currency})
	}
	r := m.Range.Cost
	lost, lacks, none, later := m.LostFreight(), m.Lacks(), m.NotPriced(), m.PayLater()
	known := m.Total.Amount > 0 || len(lacks) == 0
	o := figure.New().Bare(amount("total", m.Total).If(known), money("p10", r.P10).If(known), money("p50", r.P50).If(known), money("p90", r.P90).If(known),
		plainNumber("per_m3", m.PerM3.Amount, 4).If(known && m.HasPerM3), plainNumber("per_kg_removed", m.PerKg.Amount, 3).If(known && m.HasPerKg)).
		Set("currency", m.Total.Currency).Bare(amount("to_pay", m.ToPay), amount("to_pay_later", later).If(later.Amount > 0))
	if len(lacks) > 0 {
		o.Set("lacks_the_price_of", lacks)
	}
	if len(none) > 0 {
		o.Set("not_priced", none)
	}
	if goods, charges, differ := m.AtUsual(); differ {
		o.Part("at_usual_orders", figure.New().Bare(amount("goods", goods), amount("delivery", charges)))
	}
	return o.List("lines", objects(m.Lines, func(l account.Line) *figure.Object {
		part := figure.Of("share", quantity.Fraction(l.Amount.Amount/m.Total.Amount), "%", 3).In(figure.Full)
		return figure.New().Set("item", l.Name).Bare(amount("cost", l.Amount).If(m.KnowsLine(l.Name))).Put(part.If(m.Total.Amount > 0 && m.KnowsLine(l.Name))).
			Bare(amount("delivery_in_it", lost).If(l.Name == month.OutOfDate && lost.Amount > 0))
	}))
}

// monthData is a month as its object.
func monthData(m month.Budget) *figure.Object {
	r := m.Range
	var use, deliveries, before []*figure.Object
	for i, a := range m.Accounts {
		use = append(use, useData(m, i))
		for _, d := range a.Deliveries {
			deliveries = append(deliveries, deliveryData(a, d))
		}
		for _, d := range a.Before {
			before = append(before, deliveryData(a, d))
		}
	}
	matters := objects(r.Matters, func(i month.Influence) *figure.Object {
		return figure.New().Set("unknown", i.Name).Bare(amount("cost_at_p10", i.Low), amount("cost_at_p90", i.High),
			brief("share", float64(i.Share))).
			Put(figure.Of("share_of_range", i.Share, "%", 2).In(figure.Full))
	})
	month := m.Plan.Calendar.Month
	o := figure.New().Set("month", month.String()).Set("days", month.Days()).Set("days_treated", m.Worked).
		Put(figure.Of("treated", m.Treated, "m3", 4).In(figure.Full)).List("use", use).List("deliveries", deliveries).Set("cost", monthCost(m)).
		Put(mass("solids_removed", m.Removed.Likely, 4), mass("dry_solids", m.Dry.Likely, 3),
			litres("wet_solids", m.Wet.Likely, 3).In(figure.Full))
	if len(before) > 0 { // that arrive in this month
		o.List("ordered_before", before)
	}
	o.Part("sludge", monthSludge(m))
	if m.Plan.Unheld {
		o.Set("unheld", true)
	}
	if m.Plan.Stopped {
		o.Set("stopped", true)
	}
	if m.Plan.OutOfReach {
		o.Set("out_of_reach", true)
	}
	if m.Plan.Unplanned() {
		o.Set("unplanned", true)
	}
	return o.Set("draws", r.Draws).Set("seed", r.Seed).Bare(plainNumber("plan_at_quantile", float64(r.PlanAt), 3)).List("matters", matters)
}

// monthSludge is what a month brings to the sludge line; nil where the site has none.
func monthSludge(m month.Budget) *figure.Object {
	x, times := m.Plan.Sludge, float64(m.SludgeTimes())
	if times <= 0 {
		return nil
	}
	of := func(v quantity.Volume) quantity.Volume { return v * quantity.Volume(times) }
	bag := x.Bag > 0
	return figure.New(litres("volume", of(x.Volume), 3).In(figure.Full), mass("dry", x.Dry()*quantity.Mass(times), 3),
		mass("polymer", x.Line.Polymer()*quantity.Mass(times), 3).If(x.Dose > 0), litres("cake", of(x.CakeVolume()), 3).In(figure.Full).If(x.Drains()),
		litres("bag", x.Bag, 3).In(figure.Full).If(bag)).Bare(brief("bags", float64(of(x.CakeVolume())/max(x.Bag, 1))).If(bag))
}

func (b Budget) notes() note.List {
	later := month.After(b.Months[0].Plan.Calendar.Month, b.Months[0].Notes)
	for _, m := range b.Months[1:] {
		later.Add(m.Plan.Calendar.Month, m.Notes)
	}
	l := append(later.Notes(), b.reach()...)
	l.Add(b.Notes...)
	return l.Joined("no-price", "no-supply")
}

// JSON implements [Report].
func (b Budget) JSON() any {
	o := figure.New().Set("schema", "jarwright.budget/1").Word("place", b.Place)
	if len(b.Months) > 1 {
		o.Part("together", togetherData(b))
	}
	return o.List("months", objects(b.Months, monthData)).Set("notes", Notes(b.notes()))
}

// Table implements [Report]: one row a day and chemical. What arrives stands on its day with the day by which it is ordered and what
// is then to pay; what is to be ordered on a day stands there with the day on which it arrives. Its costs sum up to those of the chemical in the month: goods used, their
// delivery, and what goes out of date.
func (b Budget) Table() figure.Table {
	t := figure.Table{Cols: figure.Columns("month", "date", "weekday", "treated = m3", "chemical", "used = kg", "arrived = kg", "packs_ordered", "out_of_date = kg", "short = kg", "stock = kg", "cost", "currency", "on_order = kg", "delivery_cost", "out_of_date_cost", "order_by", "packs_to_order", "arrives", "to_pay")}
	for _, m := range b.Months {
		for i := range m.Plan.Calendar.Month.Days() {
			for _, a := range m.Accounts {
				t.Rows = append(t.Rows, stockData(m, i, a))
			}
		}
	}
	return t
}

// stockData is one day of one chemical's store; of one that nobody described, what an empty store would be short of is used.
func stockData(m month.Budget, i int, a month.Account) *figure.Object {
	d, s := m.Days[i], a.Stock[i]
	said := !a.Chemical.Supply.NotSaid
	if !said {
		s.Used += s.Short
	}
	money := func(key string, kg quantity.Mass, each float64) figure.Figure {
		return amount(key, quantity.Money{Amount: float64(kg) * each, Currency: m.Total.Currency})
	}
	unit, freight, ordered := a.UnitPrice.Amount, a.UnitFreight.Amount, ""
	var order int
	var pay float64
	var arrives []string
	for _, x := range slices.Concat(a.Before, a.Deliveries) {
		if x.Arrives == d.Date { // the packs stand on the day of their arrival
			ordered, pay = x.OrderBy.String(), x.Cost.Amount
		}
		if x.OrderBy == d.Date {
			order, arrives = order+x.Packs, append(arrives, x.Arrives.String())
		}
	}
	prices := a.Chemical.Prices
	return figure.New(figure.Of("treated", d.Treated(), "m3", 4), mass("used", s.Used, 3), mass("arrived", s.Arrived, 3), mass("on_order", s.OnOrder, 3), mass("out_of_date", s.Expired, 3), mass("short", s.Short, 3).If(said), mass("stock", s.End, 3).If(said)).
		Bare(money("cost", s.Used, unit).If(prices.Priced()), money("delivery_cost", s.Used, freight).If(prices.Charged()), money("out_of_date_cost", s.Expired, unit+freight).If(prices.Priced()),
			money("to_pay", 1, pay).If(prices.Priced())).Set("month", m.Plan.Calendar.Month.String()).Set("date", d.Date.String()).Set("weekday", d.Date.Weekday().String()).Set("chemical", a.Chemical.Name).
		Set("packs_ordered", s.Packs).Set("currency", m.Total.Currency).Word("order_by", ordered).
		Set("packs_to_order", order).Word("arrives", strings.Join(arrives, " and "))
}
