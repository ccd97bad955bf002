package templates

import (
	"slices"

	"jarwright/dosing/month"
	"jarwright/jartest/note"
	"jarwright/templates/figure"
)

// togetherData is several months as one: each month in a line, then what pumps and stores have to be
// able to do in all of them.
func togetherData(b Budget) *figure.Object {
	t := b.Together
	o := figure.New(figure.Of("treated", t.Treated, "m3", 4).In(figure.Full)).Bare(amount("total", t.Total).If(t.Total.Amount > 0)).
		Word("currency", t.Total.Currency)
	var rows []*figure.Object
	for i, m := range b.Months {
		r := figure.New(water("flow", t.Days[i].Day.Average()), figure.Of("treated", m.Treated, "m3", 4).In(figure.Full)).
			Set("month", m.Plan.Calendar.Month.String()).Bare(amount("cost", m.Total).If(m.Total.Amount > 0))
		rows = append(rows, r.List("use", objects(m.Accounts, func(a month.Account) *figure.Object {
			return figure.New(doseOf("usual_dose", a.UsualDose, a.Chemical.Basis, 3).In(figure.Full), mass("product", a.Use, 3)).Set("chemical", a.Chemical.Name)
		})))
	}
	return o.List("months", rows).List("use", objects(t.Uses, throughData))
}

func throughData(u month.Through) *figure.Object {
	o := figure.New(mass("product", u.Product, 3), mass("most_in_store", u.Most, 3).If(u.Most > 0)).Set("chemical", u.Name).
		Bare(amount("cost", u.Goods).If(u.Goods.Amount > 0), amount("delivery_cost", u.Freight).If(u.Freight.Amount > 0))
	if u.Most > 0 {
		o.Set("most_on", u.MostOn.String())
	}
	p := u.Pump
	if p == nil {
		return o
	}
	return o.Part("pump", figure.New(rate("least", p.Least, 3), rate("peak", p.Peak, 3), rate("from", p.From, 3), rate("to", p.To, 3)).
		Bare(plainNumber("turndown", float64(p.Needed()), 2).If(p.Needed() > 0)).Set("name", p.Name).Set("reaches", p.Reaches()).
		Set("least_in", p.LeastIn.String()).Word("least_of", p.LeastOf).Set("peak_in", p.PeakIn.String()).Word("peak_of", p.PeakOf))
}

// lacks are the prices that some month has none of.
func (b Budget) lacks() (out []string) {
	for _, m := range b.Months {
		for _, l := range m.Lacks() {
			if !slices.Contains(out, l) {
				out = append(out, l)
			}
		}
	}
	return out
}

// together is the answer for several months, before each of them.
func (b Budget) together(t *Text, o Options, d *figure.Object) {
	t.Answer(b.togetherAnswer(o, d))
	names := []string{"month", ">flow", ">treated"}
	for _, a := range b.Months[0].Accounts {
		names = append(names, ">"+a.Chemical.Name+" mg/L", ">of it")
	}
	t.each(cols(append(names, ">cost")...), d.Objects("months"), func(_ int, r *figure.Object) []any {
		row := []any{r.Get("month"), r.Fig("flow"), r.Fig("treated")}
		for _, u := range r.Objects("use") {
			row = append(row, unitless(u.Fig("usual_dose")), u.Fig("product"))
		}
		return append(row, or(r.Fig("cost"), "no price"))
	})
	t.Para("Each month begins with what the one before leaves in store and on order, and an order stands in the month in which it has to be placed. `budget --date` of a later month begins with what the site has on hand, and may order otherwise.")
	t.Head("What the store holds in these months")
	t.each(cols("chemical", ">used", ">cost", ">delivery", ">most at once", "on"), d.Objects("use"), func(_ int, u *figure.Object) []any {
		on, _ := u.Get("most_on").(string)
		return []any{u.Get("chemical"), u.Fig("product"), or(u.Fig("cost"), "no price"), or(u.Fig("delivery_cost"), ""), or(u.Fig("most_in_store"), "not known"), on}
	})
	pumped := slices.DeleteFunc(slices.Clone(d.Objects("use")), func(u *figure.Object) bool { return !u.Has("pump") })
	if len(pumped) == 0 {
		return
	}
	t.Head("What the pumps have to give in these months")
	t.each(cols("pump", ">least", "in", ">peak", "in", ">turndown", ">it gives", "enough"), pumped, func(_ int, u *figure.Object) []any {
		p := u.Sub("pump")
		when := func(end string) string {
			in, _ := p.Get(end + "_in").(string)
			if water, ok := p.Get(end + "_of").(string); ok {
				return in + ", " + water
			}
			return in
		}
		return []any{p.Get("name"), p.Fig("least"), when("least"), p.Fig("peak"), when("peak"),
			either[any](p.Has("turndown"), figure.Say("%s to 1", p.Fig("turndown")), ""), figure.Say("%s to %s", p.Fig("from"), p.Fig("to")), either(p.Get("reaches") == true, "yes", "NO")}
	})
}

// reach is what to change at a pump that does not give what the months ask for.
func (b Budget) reach() (out note.List) {
	for _, u := range b.Together.Uses {
		if u.Pump == nil {
			continue
		}
		for _, n := range u.Pump.Remedy.Notes {
			n.Message = u.Name + ", over these months: " + n.Message
			out.Add(n)
		}
	}
	return out
}
