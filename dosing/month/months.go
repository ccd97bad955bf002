package month

import (
	"slices"

	"jarwright/jartest/quantity"
)

// Months budgets n months in a row, each starting with what the one before
// leaves in the store and has ordered; of gives the plan of each month after the first, nil where all are alike.
func Months(p Plan, n int, of func(Month) (Plan, error)) ([]Budget, error) {
	var out []Budget
	for i := range n {
		if p.Later = nil; p.Varies && of != nil {
			var err error
			if p.Later, err = p.later(of); err != nil {
				return nil, err
			}
		}
		b, err := Make(p)
		if err != nil {
			return nil, err
		}
		out = append(out, b)
		if i+1 == n {
			break
		}
		p = b.next()
		if of != nil {
			q, err := of(p.Calendar.Month)
			if err != nil {
				return nil, err
			}
			p = q.with(p)
		}
	}
	return out, nil
}

// days are those of the month, of the longest lead time after it and on to the eve of a day that takes
// deliveries, so that the last order of the month covers the days without any.
func (p Plan) days() ([]Day, error) {
	ahead := 0
	for _, c := range p.Chemicals {
		ahead = max(ahead, c.Supply.LeadDays)
	}
	const weeks = 14
	days, err := p.Calendar.Days(ahead + weeks)
	if err != nil {
		return nil, err
	}
	after := p.Calendar.Month.Next().First()
	end := p.Calendar.Month.Days() + ahead + after.DaysTo(nextWorkday(after)) // an order that falls on its first weekend is placed before
	if k := slices.IndexFunc(days[end:], func(d Day) bool { return d.Delivery }); k > 0 {
		end += k
	}
	return days[:end], nil
}

// later are the months that the days looked ahead lie in.
func (p Plan) later(of func(Month) (Plan, error)) (out []Plan, err error) {
	days, err := p.days()
	if err != nil {
		return nil, err
	}
	for m := p.Calendar.Month.Next(); !days[len(days)-1].Date.Before(m.First()); m = m.Next() {
		q, err := of(m)
		if err != nil {
			return nil, err
		}
		out = append(out, q)
	}
	return out, nil
}

// look puts what the later months use in place of what this month would use on their days.
func (m *model) look() error {
	m.ahead = matrix(len(m.use), len(m.days)-m.n)
	for c := range m.ahead {
		for i := range m.ahead[c] {
			m.ahead[c][i] = 1
		}
	}
	for _, q := range m.plan.Later {
		later, err := summed(q)
		if err != nil {
			return err
		}
		for c, ch := range m.plan.Chemicals {
			k := slices.IndexFunc(q.Chemicals, func(o Chemical) bool { return o.Name == ch.Name })
			first := m.plan.Calendar.Month.First().DaysTo(q.Calendar.Month.First())
			for i := first; k >= 0 && i < min(first+later.n, len(m.days)); i++ {
				used := later.use[k][i-first]
				m.ahead[c][i-m.n], m.use[c][i] = used/m.use[c][i], used
			}
		}
	}
	return nil
}

// next is the plan of the month after, with the closing stock lot by lot and what is ordered and has not come.
func (b Budget) next() Plan {
	p := b.Plan
	n := p.Calendar.Month.Days()
	p.Calendar.Month = p.Calendar.Month.Next()
	if p.OrderFrom.Before(p.Calendar.Month.First()) {
		p.OrderFrom = p.Calendar.Month.First()
	}
	p.Chemicals = append([]Chemical(nil), p.Chemicals...)
	for c, a := range b.Accounts {
		s := &p.Chemicals[c].Supply
		lots := closingLots(a, n)
		s.Opening, s.OpeningAge, s.Fresher = a.Stock[n-1].End, 0, nil
		if len(lots) > 0 {
			s.OpeningAge, s.Fresher = lots[0].Age, lots[1:]
		}
		if s.OnOrderDate.Before(p.Calendar.Month.First()) {
			s.OnOrder, s.OnOrderDate = 0, Date{}
		}
		s.Booked = slices.DeleteFunc(slices.Concat(s.Booked, a.Deliveries), func(d Delivery) bool { return d.Arrives.Before(p.Calendar.Month.First()) })
	}
	return p
}

// with is the plan with the stores that another leaves, and with its first day to order on.
func (p Plan) with(before Plan) Plan {
	p.OrderFrom = before.OrderFrom
	p.Chemicals = slices.Clone(p.Chemicals)
	for i, c := range p.Chemicals {
		if k := slices.IndexFunc(before.Chemicals, func(b Chemical) bool { return b.Name == c.Name }); k >= 0 {
			p.Chemicals[i].Supply = before.Chemicals[k].Supply
		}
	}
	return p
}

// closingLots says what the stock after n days is made of, the oldest first; the
// oldest is used first, so the newest are there.
func closingLots(a Account, n int) []Lot {
	s := a.Chemical.Supply
	var newest []Lot
	left := a.Stock[n-1].End
	take := func(m quantity.Mass, age int) {
		if m = min(m, left); m > quantity.Mass(slack) {
			newest = append(newest, Lot{m, age})
			left -= m
		}
	}
	for i := n - 1; i >= 0; i-- {
		take(a.Stock[i].Arrived, n-i)
	}
	for i := len(s.Fresher) - 1; i >= 0; i-- {
		take(s.Fresher[i].Amount, s.Fresher[i].Age+n)
	}
	take(left, s.OpeningAge+n)
	slices.Reverse(newest)
	return newest
}
