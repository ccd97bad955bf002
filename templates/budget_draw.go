package templates

import (
	"cmp"
	"fmt"
	"slices"

	account "jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// mostStores is how many stores a picture shows, those of the dearest chemicals.
const mostStores = 3

// Drawing implements [DrawReport]: the store of the dearest chemicals day by day
// in the first month, with what must always be kept and the deliveries.
func (b Budget) Drawing(o Options) draw.Drawing {
	m := b.Months[0]
	named := m.Plan.Calendar.Month.Long()
	d := o.drawing(joined(", ", "In store, "+named, b.Place), "")
	d.Multiples = true
	var words []string
	for _, c := range dearest(m) {
		d.Panels = append(d.Panels, storePanel(o, m, m.Accounts[c]))
		words = append(words, m.Accounts[c].Chemical.Name)
	}
	if first, by, of := firstOrder(m); first >= 0 && !m.Plan.Stopped {
		d.Title = fmt.Sprintf("Order %s by %s", of.Chemical.Name, day(by))
		d.Note = "In store, day by day, " + named + afterMonth(o, m)
	}
	d.Description = fmt.Sprintf("Store of %s through %s, with what should always be kept and the deliveries.", listed(words), named)
	return d
}

// afterMonth tells of what the month orders and the days shown do not get.
func afterMonth(o Options, m month.Budget) (said string) {
	for _, a := range m.Accounts {
		for _, x := range a.Deliveries {
			if !x.Arrives.Before(m.Plan.Calendar.Month.Next().First()) {
				said += o.Say("; %s of %s arrive on %s, after it", packs(a, x.Packs, packOf(deliveryData(a, x)), mass("", x.Amount, 3)), a.Chemical.Name, dayOfMonth(x.Arrives, m))
			}
		}
	}
	return said
}

// costDrawing shows what the month's cost is made of, with its range.
func costDrawing(o Options, m month.Budget) draw.Drawing {
	if m.Total.Amount <= 0 {
		return draw.Drawing{}
	}
	currency := m.Total.Currency
	lines := sortedLines(m.Lines, func(a, b account.Line) int { return cmp.Compare(b.Amount.Amount, a.Amount.Amount) })
	d := o.drawing(upperFirst(lines[0].Name)+" costs most", o.Say("What the cost of %s is made of, %s in all.", m.Plan.Calendar.Month.Long(), amount("", m.Total)))
	d.Note = currency + " in " + m.Plan.Calendar.Month.Long()
	s := draw.Stack{Total: o.style().Number(amount("", m.Total)), Remark: either(len(m.Lacks()) > 0, "incomplete", "in all")}
	for _, l := range lines {
		s.Parts = append(s.Parts, costPart(l.Name, l.Amount.Amount, o.style().Number(amount("", l.Amount))))
	}
	if r := m.Range.Cost; m.Range.Uncertain() && r.P90 > r.P10 {
		bound := func(v float64) figure.Figure {
			return unitless(amount("", quantity.Money{Amount: v, Currency: currency}))
		}
		s.Low, s.Mid, s.High = r.P10, r.P50, r.P90
		s.Range = o.Say("eight months in ten: %s to %s", bound(r.P10), bound(r.P90))
	}
	d.Panels = []draw.Panel{{X: draw.Axis{Name: "Cost", Unit: currency, Zero: true}, Layers: []draw.Layer{s}}}
	return d
}

// sortedLines are the lines of a cost that cost anything, in an order.
func sortedLines(lines []account.Line, order func(a, b account.Line) int) []account.Line {
	out := slices.DeleteFunc(slices.Clone(lines), func(l account.Line) bool { return l.Amount.Amount <= 0 })
	slices.SortStableFunc(out, order)
	return out
}

// dearest lists the chemicals that are used, by what they cost.
func dearest(m month.Budget) []int {
	var out []int
	for c, a := range m.Accounts {
		if a.Use != 0 {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(m.Accounts[b].Goods.Amount, m.Accounts[a].Goods.Amount) })
	return out[:min(len(out), mostStores)]
}

// storePanel is the store of one chemical: up in the morning of a delivery, down with the day's use.
func storePanel(o Options, m month.Budget, a month.Account) draw.Panel {
	_, unit := a.Stock[0].Full.Show(o.Units)
	in := func(v float64) float64 { return quantity.Mass(v).In(unit) }
	kept := func(v quantity.Mass) string {
		return o.Show(figure.Figure{Q: figure.Plain{V: in(float64(v)), U: unit}, Digits: 3})
	} // in the unit of its axis
	days := a.Stock[:m.Plan.Calendar.Month.Days()]
	first, last := 1.0, float64(len(days)+1)
	p := draw.Panel{X: draw.Axis{Name: "day of the month", Least: &first, Most: &last, Step: 5}, Y: draw.Axis{Name: a.Chemical.Name, Unit: unit + " in store", Zero: true}}
	line := draw.Line{End: kept(days[len(days)-1].End) + " left"}
	var risers []draw.Layer
	for i, s := range days {
		at := float64(i + 1)
		line.At = append(line.At, draw.XY{X: at, Y: in(float64(s.Start))}, draw.XY{X: at, Y: in(float64(s.Full))}, draw.XY{X: at + 1, Y: in(float64(s.End))})
		said := ""
		if s.Packs > 0 {
			said = o.Say("%s x %s arrive", s.Packs, a.Chemical.Supply.Said())
		}
		if s.OnOrder > 0 {
			said = joined("; ", said, kept(s.OnOrder)+" arrive, ordered before")
		}
		if said != "" {
			risers = append(risers, draw.Riser{Label: said, X: at, From: in(float64(s.Start)), To: in(float64(s.Full))})
		}
	}
	p.Layers = append(p.Layers, line)
	p.Layers = append(p.Layers, risers...)
	if a.Reorder > a.Safety {
		p.Layers = append(p.Layers, draw.Marker{Label: "order at " + kept(a.Reorder), At: in(float64(a.Reorder)), Stroke: draw.Dotted})
	}
	p.Layers = append(p.Layers, draw.Marker{Label: "keep " + kept(a.Safety), At: in(float64(a.Safety)), Stroke: draw.Dashed, Tone: draw.Limit})
	return p
}
