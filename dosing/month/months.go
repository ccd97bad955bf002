package month

import (
	"slices"

	"jarwright/jartest/quantity"
)

// Months budgets n months in a row, each starting with what the one before
// leaves in the store; of gives the plan of each month after the first, nil where all are alike.
func Months(p Plan, n int, of func(Month) (Plan, error)) ([]Budget, error) {
	var out []Budget
	for i := range n {
		b, err := Make(p)
		if err != nil {
			return nil, err
		}
		if i+1 < n {
			p = b.next()
			b.keepArrivals()
			if of != nil {
				q, err := of(p.Calendar.Month)
				if err != nil {
					return nil, err
				}
				p = q.with(p)
			}
		}
		out = append(out, b)
	}
	return out, nil
}

// keepArrivals drops deliveries that arrive after the month; the next month lists them.
func (b *Budget) keepArrivals() {
	end := b.Plan.Calendar.Month.Next().First()
	for i := range b.Accounts {
		d := &b.Accounts[i].Deliveries
		*d = slices.DeleteFunc(*d, func(d Delivery) bool { return !d.Arrives.Before(end) })
	}
}

// next is the plan of the month after, with the closing stock lot by lot.
func (b Budget) next() Plan {
	p := b.Plan
	n := p.Calendar.Month.Days()
	p.Calendar.Month = p.Calendar.Month.Next()
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
