package month

import (
	"math"
	"sort"

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
}

func newModel(p Plan, classes []Class, days []Day) *model {
	m := &model{plan: p, classes: classes, days: days, n: p.Calendar.Month.Days()}
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
	st := newStore(ch.Supply, m.days, use, m.n, m.plan.OrderFrom)
	a.Use = quantity.Mass(st.sum[m.n])
	a.PerDay = quantity.MassRate(st.mean)
	if ch.Density > 0 {
		a.UseVolume = quantity.Volume(float64(a.Use) / float64(ch.Density))
	}
	a.Water = m.dilution(ch, float64(a.Use))
	a.UsualOrder = st.order
	a.UnitPrice = ch.Prices.At(st.order)
	a.UnitFreight = quantity.Price{Amount: ch.Prices.Delivery.Amount / (float64(st.order) * float64(ch.Supply.Pack)), Currency: cur, Per: "kg"}
	a.Goods = quantity.Money{Amount: float64(a.Use) * a.UnitPrice.Amount, Currency: cur}
	a.Freight = quantity.Money{Amount: float64(a.Use) * a.UnitFreight.Amount, Currency: cur}
	a.Safety = quantity.Mass(st.safety)
	a.Reorder = ReorderPoint(a.PerDay, ch.Supply.Kept(), ch.Supply.Factor(), ch.Supply.LeadDays)
	a.Cover = st.cover()
	a.Stock = st.run()
	a.ToPay.Currency = cur
	for i, d := range a.Stock {
		if d.Short > slack && a.RunsOut == nil {
			a.RunsOut = &a.Stock[i]
		}
		if d.Packs == 0 {
			continue
		}
		del := Delivery{
			OrderBy: d.Date.AddDays(-ch.Supply.LeadDays), Arrives: d.Date, Packs: d.Packs,
			Amount: quantity.Mass(float64(d.Packs) * float64(ch.Supply.Pack)), StockAfter: d.Full, Price: ch.Prices.At(d.Packs),
		}
		del.Cost = quantity.Money{Amount: float64(del.Amount)*del.Price.Amount + ch.Prices.Delivery.Amount, Currency: cur}
		if i < m.n {
			a.ToPay.Amount += del.Cost.Amount
		}
		if i < m.n || m.plan.Calendar.Month.First().DaysTo(del.OrderBy) < m.n {
			a.Deliveries = append(a.Deliveries, del)
		}
	}
	return a
}

// dilution is the water that makes stock of so much product.
func (m *model) dilution(ch Chemical, product float64) quantity.Volume {
	if ch.Stock == 0 {
		return 0
	}
	v := product * 1e6 / float64(ch.Stock)
	if ch.Density > 0 {
		v -= product / float64(ch.Density)
	}
	return quantity.Volume(math.Max(0, v))
}

// cover counts the days that the opening stock lasts with no delivery at all,
// the last one as a part of its use; what goes out of date is not taken off.
func (st *store) cover() quantity.Time {
	if st.mean == 0 {
		return 0
	}
	opening := float64(st.supply.Opening)
	// The last day on whose morning all use so far was no more than the stock.
	k := sort.Search(len(st.sum), func(i int) bool { return st.sum[i] > opening }) - 1
	use := st.mean
	if k < len(st.use) {
		use = st.use[k]
	}
	return quantity.Time(24 * (float64(k) + (opening-st.sum[k])/use))
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
