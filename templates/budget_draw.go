package templates

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// mostStores is how many stores a picture shows, those of the dearest chemicals.
const mostStores = 3

// Drawing implements [DrawReport]: the stock of the dearest chemicals day by day
// in the first month, with what must always be kept and the deliveries.
func (b Budget) Drawing(o Options) draw.Drawing {
	m := b.Months[0]
	d := o.drawing(joined(", ", "Stock in "+m.Plan.Calendar.Month.Long(), b.Place), "")
	var words []string
	for _, c := range dearest(m) {
		d.Panels = append(d.Panels, stockPanel(o, m, m.Accounts[c]))
		words = append(words, m.Accounts[c].Chemical.Name)
	}
	d.Description = fmt.Sprintf("Stock of %s through %s, with the stock that should always be kept and the deliveries.", listed(words), m.Plan.Calendar.Month.Long())
	return d
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

// stockPanel is the stock of one chemical: up in the morning of a delivery, down with the day's use.
func stockPanel(o Options, m month.Budget, a month.Account) draw.Panel {
	_, unit := a.Stock[0].Full.Show(o.Units)
	in := func(v float64) float64 { return quantity.Mass(v).In(unit) }
	line := draw.Line{Name: "stock of " + a.Chemical.Name}
	first, last := 1.0, float64(m.Plan.Calendar.Month.Days()+1)
	p := draw.Panel{X: draw.Axis{Name: "Day of the month", Least: &first, Most: &last}, Y: draw.Axis{Name: upperFirst(a.Chemical.Name), Unit: unit, Zero: true}}
	delivered := draw.Points{Name: "delivery", Shape: draw.Triangle, Tone: draw.Limit}
	ordered := draw.Points{Name: "on order", Shape: draw.Triangle, Tone: draw.Plain}
	for i, s := range a.Stock[:m.Plan.Calendar.Month.Days()] {
		day := float64(i + 1)
		line.At = append(line.At, draw.XY{X: day, Y: in(float64(s.Start))}, draw.XY{X: day, Y: in(float64(s.Full))}, draw.XY{X: day + 1, Y: in(float64(s.End))})
		if s.OnOrder > 0 {
			ordered.At = append(ordered.At, draw.Point{XY: draw.XY{X: day, Y: in(float64(s.Full))}, Label: o.Say("%s on order", mass("", s.OnOrder, 3))})
		}
		if s.Packs > 0 {
			delivered.At = append(delivered.At, draw.Point{XY: draw.XY{X: day, Y: in(float64(s.Full))}, Label: o.Say("%s x %s", s.Packs, a.Chemical.Supply.Said())})
		}
	}
	p.Layers = append(p.Layers, line)
	for _, points := range [...]draw.Points{ordered, delivered} {
		if len(points.At) > 0 {
			p.Layers = append(p.Layers, points)
		}
	}
	p.Layers = append(p.Layers, draw.Marker{Label: o.Say("always keep %s", mass("", a.Safety, 3)), At: in(float64(a.Safety)), Stroke: draw.Dashed, Tone: draw.Aside})
	return p
}

// Drawing implements [DrawReport]: cost per 1000 m3 of each series with its range.
func (c Compare) Drawing(o Options) draw.Drawing {
	d := o.drawing("Cost per "+o.thousand()+", all in", o.Show(c.answer(o, c.data())))
	p := draw.Panel{X: draw.Axis{Name: "Series"}, Y: draw.Axis{Name: "Cost per " + o.thousand(), Unit: c.Currency, Zero: true}}
	bars := draw.Bars{Name: o.Say("at the planning dose, with the %s range of the dose by the bench", c.data().Fig("confidence")), Hatch: true, Width: 0.4}
	for i, r := range c.placed() {
		p.X.Labels = append(p.X.Labels, shorten(r.Name, 18))
		in := func(m quantity.Money) float64 { v, _ := costPerWater("", m).Q.Show(o.Units); return v }
		b := draw.Bar{XY: draw.XY{X: float64(i), Y: in(r.Total)}}
		if r.HasRange && !r.Open {
			b.Low, b.High = in(r.Low), in(r.High)
		}
		bars.At = append(bars.At, b)
	}
	if len(bars.At) == 0 {
		return draw.Drawing{}
	}
	p.Layers = append(p.Layers, bars)
	d.Panels = append(d.Panels, p)
	return d
}

func shorten(s string, most int) string {
	r := []rune(strings.TrimSpace(s))
	if len(r) <= most {
		return string(r)
	}
	return strings.TrimSpace(string(r[:most-1])) + "…"
}
