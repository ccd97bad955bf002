package month

import (
	"math"
	"slices"

	"jarwright/dosing/day"
	"jarwright/dosing/formula"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Make works the budget out. An error lists every fault of the plan at once.
func Make(p Plan) (Budget, error) {
	m, err := summed(p)
	if err != nil {
		return Budget{}, err
	}
	b := Budget{Plan: m.plan, Classes: m.classes, Days: m.days}
	for i := range m.plan.Chemicals {
		b.Accounts = append(b.Accounts, m.account(i))
	}
	b.cost(m)
	b.Range = m.draw(b)
	b.remark(m)
	return b, nil
}

// summed is the plan with its days and what they use.
func summed(p Plan) (*model, error) {
	classes, err := p.classes()
	if err != nil {
		return nil, err
	}
	if err := p.check(classes); err != nil {
		return nil, err
	}
	p.Chemicals = append([]Chemical(nil), p.Chemicals...)
	for i, c := range p.Chemicals {
		if p.Chemicals[i].Prices, err = c.Prices.perKg(c); err != nil {
			return nil, note.Of(err, "price")
		}
	}
	if p.OrderFrom.IsZero() {
		p.OrderFrom = p.Calendar.Month.First()
	}
	days, err := p.days()
	if err != nil {
		return nil, err
	}
	if c := p.CleanUp; c != nil {
		classes = append(classes[:len(classes):len(classes)], Class{Name: CleanUpWater, Removed: c.Removed, CleanUp: true})
	}
	m := newModel(p, classes, days)
	return m, m.look()
}

// model is the plan ready to be summed: the record of a day for each class of water.
type model struct {
	plan    Plan
	classes []Class
	days    []Day
	n       int       // days of the month
	flow    []float64 // m3 of ordinary treatment a day
	clean   []float64 // m3 of clean-ups a day
	class   []int     // of each day, -1 for the usual mix
	wash    int       // class of clean-ups, -1 where they are of the day's
	cum     []float64 // shares of the classes up to each
	records []day.Record
	doses   [][]quantity.Concentration // of the plan, by class and chemical
	use     [][]float64                // kg of product, by chemical and day
	ahead   [][]float64                // of the days looked ahead, as of [Account]
	product []float64                  // of each chemical, per mass of dose
	yield   [][]float64                // likely dry solids per mass of dose, by class and chemical
	rules   *formula.Table
}

func newModel(p Plan, classes []Class, days []Day) *model {
	m := &model{plan: p, classes: classes, days: days, n: p.Calendar.Month.Days(), rules: storeRules(p.Tiers()),
		use: matrix(len(p.Chemicals), len(days)), wash: slices.IndexFunc(classes, func(c Class) bool { return c.CleanUp })}
	raw := len(classes)
	if m.wash >= 0 {
		raw = m.wash
	}
	for _, d := range days {
		m.clean = append(m.clean, d.CleanUp.In("m3"))
		m.flow = append(m.flow, (d.Treated() - d.CleanUp).In("m3"))
		k := 0
		if raw > 1 {
			k = slices.IndexFunc(classes, func(c Class) bool { return c.Name == d.Class })
		}
		m.class = append(m.class, k)
	}
	for _, c := range p.Chemicals {
		m.product = append(m.product, float64(c.Product()))
	}
	var sum float64
	for k, c := range classes {
		sum += float64(c.Share)
		m.cum = append(m.cum, sum)
		r := day.Record{Removed: c.Removed, Skim: p.Skim, Disposal: p.Disposal, Power: p.Energy.Power, MakeUp: p.Water,
			Electricity: p.Energy.Price}
		var yield []float64
		for _, ch := range p.Chemicals {
			r.Chemicals = append(r.Chemicals, ch.in(c, k))
			yield = append(yield, float64(ch.Made(c, k)))
		}
		m.yield = append(m.yield, yield)
		m.records = append(m.records, r)
		m.doses = append(m.doses, r.Doses())
	}
	for i := range days {
		for c, u := range m.day(i).Uses {
			m.use[c][i] = float64(u.Product)
		}
	}
	return m
}

// in is the chemical as the account of a day takes it in water of a class.
func (c Chemical) in(class Class, k int) day.Chemical {
	out := day.Chemical{Name: c.Name, Balance: c.Balance, Effects: c.effects(class, k), Stock: c.Stock, Density: c.Density, Carrier: c.Carrier}
	if class.CleanUp {
		out.Balance = nil
	}
	if out.Balance == nil {
		out.Dose = quantity.Dose{Concentration: c.dose(class, k).Plan, Basis: c.Basis}
	}
	return out
}

// day is the account of day i; that of a day whose water is not known is the mean
// over the classes. A clean-up of a class of its own stands beside it.
func (m *model) day(i int) day.Account {
	d := m.days[i]
	treated, running := d.Treated(), d.Running()
	if m.wash >= 0 {
		treated, running = treated-d.CleanUp, running-d.Cleaning
	}
	on := func(k int, treated quantity.Volume, running quantity.Time) day.Account {
		r := m.records[k]
		r.Treated, r.Running = treated, running
		return r.Account()
	}
	var sum day.Account
	if k := m.class[i]; k >= 0 {
		sum = on(k, treated, running)
	} else {
		for k, c := range m.classes {
			sum = sum.Plus(on(k, treated, running).Times(float64(c.Share)))
		}
	}
	if m.wash >= 0 && d.CleanUp > 0 {
		sum = sum.Plus(on(m.wash, d.CleanUp, d.Cleaning))
	}
	return sum
}

// ofClean is the figure of the clean-ups of day i, of one by class.
func (m *model) ofClean(v []float64, i int) float64 {
	if m.wash >= 0 {
		return v[m.wash]
	}
	return m.at(v, i)
}

// dose of the k-th class.
func (c Chemical) dose(class Class, k int) Dose {
	switch {
	case class.CleanUp:
		return c.Cleaning
	case len(c.Doses) == 1:
		return c.Doses[0]
	}
	return c.Doses[k]
}

// effects are those of a mass of the dose in water of the k-th class.
func (c Chemical) effects(class Class, k int) day.Effects {
	if class.CleanUp || len(c.Doses) > 0 {
		if own := c.dose(class, k).Effects; own != nil {
			return *own
		}
	}
	return c.Effects
}

// Made is the dry solids that a mass of the dose likely makes in water of the k-th class.
func (c Chemical) Made(class Class, k int) quantity.Ratio {
	return c.effects(class, k).SolidsYield().Likely
}

// MeetsPhosphate reports that what a mass of dose makes in a class of water hangs on that dose, as phosphate takes some of its metal.
func (c Chemical) MeetsPhosphate(class Class, k int) bool { return c.effects(class, k).Bound > 0 }

// at is the figure of day i, of one by class; by the share of days where its class is not known.
func (m *model) at(v []float64, i int) float64 {
	if k := m.class[i]; k >= 0 {
		return v[k]
	}
	var mean float64
	for k, c := range m.classes {
		mean += float64(c.Share) * v[k]
	}
	return mean
}

// account works one chemical's month out.
func (m *model) account(c int) Account {
	ch := m.plan.Chemicals[c]
	cur := m.plan.Currency()
	a := Account{Chemical: ch}
	for k, class := range m.classes {
		a.Doses = append(a.Doses, m.doses[k][c])
		a.UsualDose += m.doses[k][c] * quantity.Concentration(class.Share)
	}
	st := ch.Supply.work(m.rules, ch, m.days, m.use[c], m.n, m.plan.OrderFrom)
	a.Store = st
	money := func(v float64) quantity.Money { return quantity.Money{Amount: v, Currency: cur} }
	perKg := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: cur, Per: "kg"} }
	a.Use, a.Wanted = quantity.Mass(st.Cell("use")), quantity.Mass(st.Cell("need"))
	a.PerDay = quantity.MassRate(st.Cell("mean"))
	if ch.Density > 0 {
		a.UseVolume = quantity.Volume(float64(a.Use) / float64(ch.Density))
	}
	a.UsualOrder = int(st.Cell("order"))
	a.UnitPrice, a.UnitFreight = perKg(st.Cell("unit_price")), perKg(st.Cell("unit_freight"))
	a.UsualPrice, a.UsualFreight = perKg(st.Cell("usual_price")), perKg(st.Cell("usual_freight"))
	a.UsualGoods, a.UsualCharges = money(float64(a.Use)*a.UsualPrice.Amount), money(float64(a.Use)*a.UsualFreight.Amount)
	for k := range m.records {
		x := &m.records[k].Chemicals[c]
		x.Price, x.Freight = a.UnitPrice, a.UnitFreight
	}
	a.Safety, a.Reorder = quantity.Mass(st.Cell("safety")), quantity.Mass(st.Cell("reorder"))
	a.Cover = quantity.Time(24 * st.Cell("cover"))
	a.Stock, a.Ahead = stock(st, m.days), m.ahead[c]
	a.ToPay, a.Bought = money(st.Cell("to_pay")), quantity.Mass(st.Cell("bought"))
	a.Expired, a.Loss = quantity.Mass(st.Cell("wasted")), money(st.Cell("loss"))
	booked := 0
	for i, d := range a.Stock {
		if d.Short > slack && a.RunsOut == nil {
			a.RunsOut = &a.Stock[i]
		}
		if n := len(a.Deliveries) + booked; int(st.Row("serial", i)) > n {
			x := Delivery{
				OrderBy: SerialDate(st.Row("order_by", i)), Arrives: d.Date, Packs: d.Packs,
				Amount:     quantity.Mass(d.Packs) * ch.Supply.Pack,
				StockAfter: d.Full, Price: perKg(st.Row("price", i)), Cost: money(st.Row("paid", i)),
			}
			k := slices.IndexFunc(ch.Supply.Booked, func(b Delivery) bool { return b.Arrives == d.Date })
			if k < 0 {
				a.Deliveries = append(a.Deliveries, x)
				continue
			}
			booked++
			if x.OrderBy = ch.Supply.Booked[k].OrderBy; i < m.n {
				a.Before = append(a.Before, x)
			}
		}
	}
	return a
}

// cost sums the days of the month, now that the orders say what a kg costs.
func (b *Budget) cost(m *model) {
	for i := range m.n {
		d := m.day(i)
		for c, a := range b.Accounts {
			if s := a.Stock[i]; s.Short > slack && !a.Chemical.Supply.NotSaid {
				d.Uses[c] = d.Uses[c].Fed(quantity.Fraction(s.Used/(s.Used+s.Short)), m.plan.Water)
			}
		}
		b.Account = b.Account.Plus(d)
		if d.Treated > 0 {
			b.Worked++
		}
	}
	cur := m.plan.Currency()
	for c, u := range b.Uses {
		a := &b.Accounts[c]
		a.Goods, a.Freight, a.Water = u.Goods, u.Freight, u.Water
		a.Goods.Currency, a.Freight.Currency = cur, cur
		b.ToPay.Amount += a.ToPay.Amount
	}
	b.Lines, b.Total, b.ToPay.Currency = b.Account.Lines(), b.Account.Total(), cur
	b.Lines = append(b.Lines, day.Line{Name: OutOfDate, Amount: b.loss()})
	b.Total.Amount += b.loss().Amount
	for i := range b.Lines {
		b.Lines[i].Amount.Currency = cur
	}
	b.Total.Currency = cur
	if v := b.Treated.In("m3"); v > 0 {
		b.PerM3, b.HasPerM3 = quantity.Price{Amount: b.Total.Amount / v, Currency: cur, Per: "m3"}, true
	}
	if b.Removed.Likely > 0 {
		b.PerKg, b.HasPerKg = quantity.Price{Amount: b.Total.Amount / float64(b.Removed.Likely), Currency: cur, Per: "kg dry"}, true
	}
}

// AtUsual is what the products used and their deliveries would cost in usual orders, as
// the plan of a day counts them; differ tells whether that is not what is really paid.
func (b Budget) AtUsual() (goods, charges quantity.Money, differ bool) {
	goods, charges = quantity.Money{Currency: b.Total.Currency}, quantity.Money{Currency: b.Total.Currency}
	paid := 0.0
	for _, a := range b.Accounts {
		goods.Amount, charges.Amount = goods.Amount+a.UsualGoods.Amount, charges.Amount+a.UsualCharges.Amount
		paid += math.Abs(a.Goods.Amount-a.UsualGoods.Amount) + math.Abs(a.Freight.Amount-a.UsualCharges.Amount)
	}
	return goods, charges, paid > 0.005
}

// Lacks names what is used or paid for and has no price, so that the total lacks it: chemicals, and the disposal of
// solids that go to a bin.
func (b Budget) Lacks() (out []string) {
	for _, a := range b.Accounts {
		if a.Wanted > 0 && !a.Chemical.Prices.Priced() {
			out = append(out, a.Chemical.Name)
		}
	}
	if b.Plan.Disposal.Lacks(b.Account) {
		out = append(out, site.PriceDisposal)
	}
	return out
}

// NotPriced names all that is used and that the cost leaves out, by the names of its lines: what [Budget.Lacks] names, what is
// told as a note, and energy where the power drawn is not known. "delivery of" a chemical stands for its part of the delivery charges.
func (b Budget) NotPriced() (out []string) {
	for _, a := range b.Accounts {
		if a.Wanted > 0 && !a.Chemical.Prices.Priced() {
			out = append(out, a.Chemical.Name)
		}
	}
	out = append(out, b.unpriced()...)
	if !b.KnowsLine(day.EnergyLine) && !slices.Contains(out, day.EnergyLine) {
		out = append(out, day.EnergyLine)
	}
	return out
}

// KnowsLine reports that a line of the cost has a figure: it is not one that nothing is known of, which is no cost of zero.
func (b Budget) KnowsLine(name string) bool {
	some := func(known func(Account) bool) bool {
		used := slices.DeleteFunc(slices.Clone(b.Accounts), func(a Account) bool { return a.Wanted <= 0 })
		return len(used) == 0 || slices.ContainsFunc(used, known)
	}
	switch name {
	case day.DeliveryCharges:
		return some(func(a Account) bool { return a.Chemical.Prices.Charged() })
	case OutOfDate:
		return b.loss().Amount > 0 || !slices.ContainsFunc(b.Accounts, func(a Account) bool { return a.Expired > 0 && !a.Chemical.Prices.Priced() })
	case day.EnergyLine:
		e := b.Plan.Energy
		return b.Running == 0 || e.Price.Currency != "" && (e.Power > 0 || e.Price.Amount == 0)
	}
	return !slices.Contains(b.NotPriced(), name)
}

// PayLater is for the deliveries that the month orders and that arrive after it: their own month pays.
func (b Budget) PayLater() quantity.Money {
	sum := quantity.Money{Currency: b.Plan.Currency()}
	for _, a := range b.Accounts {
		for _, d := range a.Deliveries {
			if !d.Arrives.Before(b.Plan.Calendar.Month.Next().First()) {
				sum.Amount += d.Cost.Amount
			}
		}
	}
	return sum
}

// LostFreight is the part of the goods out of date that was paid for their delivery.
func (b Budget) LostFreight() quantity.Money {
	lost := quantity.Money{Currency: b.Plan.Currency()}
	for _, a := range b.Accounts {
		lost.Amount += float64(a.Expired) * a.UnitFreight.Amount
	}
	return lost
}

// loss is what goes out of date in the month, of all chemicals.
func (b Budget) loss() quantity.Money {
	loss := quantity.Money{Currency: b.Plan.Currency()}
	for _, a := range b.Accounts {
		loss.Amount += a.Loss.Amount
	}
	return loss
}
