package month

import (
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// remark says what a reader must know before relying on the plan.
func (b *Budget) remark(m *model) {
	p := b.Plan
	if b.Treated == 0 {
		b.Notes.Add(note.New(note.Caution, "nothing-treated", "no water is treated in %s", p.Calendar.Month.Long()).Do("check the flow and the working days"))
	}
	for c, a := range b.Accounts {
		name, s := a.Chemical.Name, a.Chemical.Supply
		if a.RunsOut != nil {
			b.Notes.Add(a.shortage(m))
		}
		if p := b.Range.RunsOut[c]; a.RunsOut == nil && p >= 0.005 {
			b.Notes.Add(note.New(note.Caution, "may-run-out", "%s may run out: in %s %% of the months drawn the planned deliveries are not enough", name, quantity.Full(quantity.Number(p.In("%")), 2)).
				Do("look at the stock every week, or keep more"))
		}
		below, over, expired := -1, -1, quantity.Mass(0)
		for i, d := range a.Stock {
			expired += d.Expired
			if i < m.n && d.End < a.Safety-quantity.Mass(slack) && below < 0 && a.Use > 0 {
				below = i
			}
			if s.Limit > 0 && d.Full > s.Limit+quantity.Mass(slack) && over < 0 {
				over = i
			}
		}
		if below >= 0 && a.RunsOut == nil {
			b.Notes.Add(note.New(note.Caution, "below-minimum", "%s falls below the %s that should always be kept (%s days of use and the slack for a late delivery), first on %s", name, brief(a.Safety),
				short(s.Kept()), a.Stock[below].Date).Do("order sooner, find more room, or accept a smaller minimum"))
		}
		if over >= 0 {
			b.Notes.Add(note.New(note.Caution, "store-overfull", "%s does not fit the store: %s on %s, room for %s", name, brief(a.Stock[over].Full), a.Stock[over].Date, brief(s.Limit)).
				Do("put off what is on order, or find more room"))
		}
		if expired > slack {
			b.Notes.Add(note.New(note.Caution, "out-of-date", "%s of %s will be out of date before it is used", brief(expired), name).Do("buy smaller packs, or use or pass it on in time"))
		} else if e := a.overAge(); e > slack {
			b.Notes.Add(note.New(note.Caution, "out-of-date", "about %s of the %s delivered will be out of date before it is used: it keeps %d days", brief(e), name, s.ShelfDays).Do("buy smaller packs"))
		}
		if s.OnOrder > 0 {
			if i := p.Calendar.Month.First().DaysTo(s.OnOrderDate); i < 0 || i >= len(a.Stock) {
				b.Notes.Add(note.New(note.Caution, "order-outside", "what is on order of %s (%d x %s) arrives on %s, outside this plan", name, s.OnOrder, brief(s.Pack), s.OnOrderDate).Do("add them to the opening stock if they have come"))
			}
		}
		if !a.Chemical.Prices.Priced() && a.Use > 0 {
			b.Notes.Add(note.New(note.Caution, "no-price", "%s has no price and is left out of the cost", name).Do("give its price on the Prices sheet"))
		}
		if s.MinDays < 0 && a.Use > 0 {
			b.Notes.Add(note.New(note.Info, "minimum-stock", "%s: the minimum of %s days and the factor of %s on the lead time are the usual ones", name, short(s.Kept()), short(s.Factor())).
				From("Davis, Water and Wastewater Engineering (2010), table 5-1"))
		}
	}
	for _, n := range b.Range.Open {
		b.Notes.Add(note.New(note.Caution, "dose-range-open", "the dose range of %s has no bound on one side, so its use and cost may lie further out than shown", n).Do("test more jars beyond the tested doses"))
	}
	switch {
	case !b.Range.Uncertain() && p.Doubt.DayToDay == 0 && !m.mixed():
		b.Notes.Add(note.New(note.Info, "no-range", "no dose interval, flow range or solids range was given, so the figures stand without a range").Do("take the dose from a bench sheet, or give a low and a high flow"))
	case b.Range.PlanAt > 0.6 || b.Range.PlanAt < 0.4:
		b.Notes.Add(note.New(note.Info, "plan-in-range", "the planned cost is not the middle of the range: in %s of 100 drawn months the cost stays at or below it (planning doses lie on the safe side of the bench's interval)", quantity.Full(quantity.Number(b.Range.PlanAt.In("%")), 2)))
	}
	unseen := []string{}
	if p.Disposal.Price.Amount == 0 && b.Dry.Likely > 0 {
		unseen = append(unseen, "disposal of solids")
	}
	if len(unseen) > 0 {
		b.Notes.Add(note.New(note.Info, "not-priced", "not in the cost, no price given: %s", unseen[0]))
	}
}

// shortage tells when a chemical runs out and why.
func (a Account) shortage(m *model) note.Note {
	name, s, d := a.Chemical.Name, a.Chemical.Supply, *a.RunsOut
	from := m.plan.OrderFrom
	soonest := from.AddDays(s.LeadDays)
	lack := quantity.Mass(0)
	days := 0
	for _, x := range a.Stock[:m.n] {
		lack += x.Short
		if x.Short > slack {
			days++
		}
	}
	var why, what note.Phrase
	switch {
	case d.Date.Before(soonest):
		why = note.Say("the stock of %s lasts %s d and an order placed on %s arrives on %s at the earliest (%d d)", brief(s.Opening), quantity.Full(quantity.Number(a.Cover.In("d")), 2), from, soonest, s.LeadDays)
		what = note.Say("get %s from elsewhere before %s, or ask for a faster delivery", name, d.Date)
	case s.Limit > 0:
		why = note.Say("what the store holds (%s) does not last from one delivery day to the next", brief(s.Limit))
		what = note.Say("find more room, or ask for more delivery days")
	default:
		why = note.Say("no delivery day comes in time")
		what = note.Say("ask for more delivery days")
	}
	return note.New(note.Caution, "runs-out", "%s runs out on %s (short of %s on %d days of the month): %s", name, d.Date, brief(lack), days, why).Do("%s", what)
}

// overAge is what of the last lots cannot be used in time, looking beyond the days of the plan.
func (a Account) overAge() quantity.Mass {
	worst := 0.0
	for i := range a.Stock {
		worst = max(worst, a.Store.Row("over_age", i))
	}
	return quantity.Mass(worst)
}

// brief is a mass with three digits and no idle zeros.
func brief(m quantity.Mass) quantity.Rounded { return quantity.To(m, 3) }

// short is a number with three digits and no idle zeros.
func short(v float64) quantity.Rounded { return quantity.To(quantity.Number(v), 3) }
