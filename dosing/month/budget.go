package month

import (
	"math"

	"jarwright/dosing/formula"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Make works the budget out. An error lists every fault of the plan at once.
func Make(p Plan) (Budget, error) {
	classes, err := p.classes()
	if err != nil {
		return Budget{}, err
	}
	if err := p.check(classes); err != nil {
		return Budget{}, err
	}
	for _, s := range []struct {
		what string
		span Span
	}{{"flow", p.Doubt.Flow}, {"solids", p.Doubt.Solids}} {
		if err := s.span.check(s.what); err != nil {
			return Budget{}, err
		}
	}
	p.Chemicals = append([]Chemical(nil), p.Chemicals...)
	ahead := 0
	for i, c := range p.Chemicals {
		ahead = max(ahead, c.Supply.LeadDays)
		if p.Chemicals[i].Prices, err = c.Prices.perKg(c); err != nil {
			return Budget{}, note.Of(err, "price")
		}
	}
	if p.OrderFrom.IsZero() {
		p.OrderFrom = p.Calendar.Month.First()
	}
	days, err := p.Calendar.Days(ahead)
	if err != nil {
		return Budget{}, err
	}
	b := Budget{Plan: p, Classes: classes, Days: days}
	m := newModel(p, classes, days)
	b.totals(m)
	for i := range p.Chemicals {
		b.Accounts = append(b.Accounts, m.account(i))
	}
	b.cost(m)
	b.Range = m.draw(b)
	b.remark(m)
	return b, nil
}

// model is the plan in plain numbers.
type model struct {
	plan    Plan
	classes []Class
	days    []Day
	n       int       // days of the month
	flow    []float64 // m3 of ordinary treatment a day
	clean   []float64 // m3 of clean-ups a day
	class   []int     // of each day, -1 for the usual mix
	perM3   [][]float64
	usual   []float64 // perM3 over the mix of classes
	removed []float64 // g/m3 by class
	yield   []float64 // dry solids of the chemicals, g/m3 by class
	rules   *formula.Table
	water   []float64 // by chemical, L that make stock of one kg
}

func newModel(p Plan, classes []Class, days []Day) *model {
	m := &model{plan: p, classes: classes, days: days, n: p.Calendar.Month.Days(), rules: storeRules(p.Tiers()), water: make([]float64, len(p.Chemicals))}
	for _, d := range days {
		f := 0.0
		if d.Operating {
			f = float64(d.Flow) * float64(d.Hours)
		}
		m.flow = append(m.flow, f)
		m.clean = append(m.clean, float64(d.CleanUp)/1000)
		k := -1
		for i, c := range classes {
			if c.Name == d.Class {
				k = i
			}
		}
		if len(classes) == 1 {
			k = 0
		}
		m.class = append(m.class, k)
	}
	for _, c := range classes {
		m.removed = append(m.removed, float64(c.Removed))
	}
	doses := m.doses(func(c, k int) float64 { return float64(p.Chemicals[c].dose(k).Plan) })
	m.perM3, m.yield = m.needs(doses)
	for c := range p.Chemicals {
		m.usual = append(m.usual, m.mix(m.perM3[c]))
	}
	return m
}

// dose of a class.
func (c Chemical) dose(class int) Dose {
	if len(c.Doses) == 1 {
		return c.Doses[0]
	}
	return c.Doses[class]
}

// doses gives every chemical's dose for every class, mg/L on its basis; those
// with a balance are worked out from the others.
func (m *model) doses(of func(chemical, class int) float64) [][]float64 {
	out := make([][]float64, len(m.plan.Chemicals))
	for c := range out {
		out[c] = make([]float64, len(m.classes))
	}
	m.fillDoses(out, of)
	return out
}

func (m *model) fillDoses(out [][]float64, of func(chemical, class int) float64) {
	for k := range m.classes {
		eaten := 0.0
		for c := range m.plan.Chemicals {
			ch := &m.plan.Chemicals[c]
			if ch.Balance == nil {
				out[c][k] = of(c, k)
				eaten += out[c][k] * float64(ch.AlkalinityUse)
			}
		}
		for c := range m.plan.Chemicals {
			if b := m.plan.Chemicals[c].Balance; b != nil {
				out[c][k] = math.Max(0, eaten+float64(b.Keep)-float64(b.Raw)) * float64(b.PerCaCO3)
			}
		}
	}
}

// needs turns doses into product, and the dry solids they make, per m3 of water (g/m3).
func (m *model) needs(doses [][]float64) (product [][]float64, yield []float64) {
	product = make([][]float64, len(doses))
	yield = make([]float64, len(m.classes))
	for c, ch := range m.plan.Chemicals {
		product[c] = make([]float64, len(m.classes))
		for k, d := range doses[c] {
			product[c][k] = d / ch.strength()
			yield[k] += d * float64(ch.SolidsYield)
		}
	}
	return product, yield
}

// mix weighs a figure per class by the share of days.
func (m *model) mix(v []float64) float64 {
	s := 0.0
	for k, c := range m.classes {
		s += float64(c.Share) * v[k]
	}
	return s
}

// at is the figure of day i.
func (m *model) at(v []float64, i int) float64 {
	if m.class[i] < 0 {
		return m.mix(v)
	}
	return v[m.class[i]]
}

// use of a chemical on day i, kg of product.
func (m *model) use(c, i int) float64 { return (m.flow[i] + m.clean[i]) * m.at(m.perM3[c], i) / 1000 }

func (b *Budget) totals(m *model) {
	for i := range m.n {
		v := m.flow[i] + m.clean[i]
		if v > 0 {
			b.Worked++
		}
		b.Treated += quantity.Volume(v * 1000)
		b.Removed += quantity.Mass(v * m.at(m.removed, i) / 1000)
		b.Dry += quantity.Mass(v * (m.at(m.removed, i) + m.at(m.yield, i)) / 1000)
		if m.days[i].Operating {
			b.EnergyUsed += quantity.Energy(float64(m.days[i].Hours) * float64(m.plan.Energy.Power) / 1000)
		}
	}
	b.Wet = quantity.Volume(m.plan.Disposal.volume(float64(b.Dry)))
}

// account works one chemical's month out.
func (m *model) account(c int) Account {
	ch := m.plan.Chemicals[c]
	cur := m.plan.Currency()
	a := Account{Chemical: ch}
	for _, v := range m.perM3[c] {
		a.Doses = append(a.Doses, quantity.Concentration(v*ch.strength()))
	}
	a.UsualDose = quantity.Concentration(m.usual[c] * ch.strength())
	use := make([]float64, len(m.days))
	for i := range use {
		use[i] = m.use(c, i)
	}
	st := ch.Supply.work(m.rules, ch, m.days, use, m.n, m.plan.OrderFrom)
	a.Store = st
	money := func(v float64) quantity.Money { return quantity.Money{Amount: v, Currency: cur} }
	perKg := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: cur, Per: "kg"} }
	a.Use = quantity.Mass(st.Cell("use"))
	a.PerDay = quantity.MassRate(st.Cell("mean"))
	if ch.Density > 0 {
		a.UseVolume = quantity.Volume(float64(a.Use) / float64(ch.Density))
	}
	m.water[c] = st.Cell("water")
	a.Water = quantity.Volume(st.Cell("dilution"))
	a.UsualOrder = int(st.Cell("order"))
	a.UnitPrice, a.UnitFreight = perKg(st.Cell("unit_price")), perKg(st.Cell("unit_freight"))
	a.Goods, a.Freight = money(st.Cell("goods")), money(st.Cell("freight"))
	a.Safety, a.Reorder = quantity.Mass(st.Cell("safety")), quantity.Mass(st.Cell("reorder"))
	a.Cover = quantity.Time(24 * st.Cell("cover"))
	a.Stock = stock(st, m.days)
	a.ToPay = money(st.Cell("to_pay"))
	for i, d := range a.Stock {
		if d.Short > slack && a.RunsOut == nil {
			a.RunsOut = &a.Stock[i]
		}
		if n := len(a.Deliveries); int(st.Row("serial", i)) > n {
			a.Deliveries = append(a.Deliveries, Delivery{
				OrderBy: SerialDate(st.Row("order_by", i)), Arrives: d.Date, Packs: d.Packs, Amount: quantity.Mass(float64(d.Packs)) * ch.Supply.Pack, StockAfter: d.Full,
				Price: perKg(st.Row("price", i)), Cost: money(st.Row("paid", i)),
			})
		}
	}
	return a
}

func (b *Budget) cost(m *model) {
	cur := m.plan.Currency()
	line := func(name string, v float64) {
		b.Lines = append(b.Lines, Line{name, quantity.Money{Amount: v, Currency: cur}})
		b.Total.Amount += v
	}
	b.Total.Currency, b.ToPay.Currency = cur, cur
	water := 0.0
	freight := 0.0
	for _, a := range b.Accounts {
		line(a.Chemical.Name, a.Goods.Amount)
		freight += a.Freight.Amount
		water += float64(a.Water)
		b.ToPay.Amount += a.ToPay.Amount
	}
	line("delivery charges", freight)
	line("disposal of solids", float64(b.Dry)*m.plan.Disposal.PerKgDry())
	line("make-up water", water/1000*m.plan.Water.Amount)
	line("energy", float64(b.EnergyUsed)*m.plan.Energy.Price.Amount)
	if v := b.Treated.In("m3"); v > 0 {
		b.PerM3, b.HasPerM3 = quantity.Price{Amount: b.Total.Amount / v, Currency: cur, Per: "m3"}, true
	}
	if b.Removed > 0 {
		b.PerKg, b.HasPerKg = quantity.Price{Amount: b.Total.Amount / float64(b.Removed), Currency: cur, Per: "kg dry"}, true
	}
}
