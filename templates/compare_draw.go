package templates

import (
	"cmp"

	"jarwright/dosing/compare"
	account "jarwright/dosing/day"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// costTones are the tones of the parts of a cost by their names, and those that are left white.
var costTones = map[string]struct {
	tone draw.Tone
	open bool
}{"solids": {tone: draw.Mud}, "disposal of solids": {tone: draw.Mud}, "chemical": {tone: draw.Doubt}, "freight": {open: true}, "delivery charges": {open: true}}

// costPart is a part of a cost bar.
func costPart(name string, value float64, shown string) draw.Part {
	look := costTones[name]
	return draw.Part{Name: name, Figure: shown, Value: value, Tone: look.tone, Open: look.open}
}

// Drawing implements [DrawReport]: what the cost of each series is made of, with its range.
func (c Compare) Drawing(o Options) draw.Drawing {
	placed := c.placed()
	if len(placed) == 0 {
		return draw.Drawing{}
	}
	title := upperFirst(placed[0].Name) + either(c.alone(), " by itself", " costs least")
	if same := c.same(); len(same) > 0 && !c.alone() {
		title += "; not told apart from " + listed(same)
	}
	var costs []any
	for _, r := range placed {
		costs = append(costs, figure.Say("%s costs %s", upperFirst(r.Name), c.costData(r).Fig("value")))
	}
	d := o.drawing(title, o.Say("%s per %s of water.", figure.And("; ", costs...), o.thousand()))
	d.Note = o.Say("%s per %s", c.Currency, o.thousand())
	if c.ranged() {
		d.Note += o.Say("; blue: %s range of the whole, from the interval of the dose", c.data().Fig("confidence"))
	}
	p := draw.Panel{X: draw.Axis{Name: "Cost", Unit: c.Currency + " per " + o.thousand(), Zero: true}}
	for i, r := range placed {
		p.Layers = append(p.Layers, c.stack(o, r, i, placed[0]))
	}
	d.Panels = append(d.Panels, p)
	return d
}

// stack is the cost of a series as a lying bar.
func (c Compare) stack(o Options, r compare.Row, place int, least compare.Row) draw.Stack {
	in := func(m quantity.Money) float64 { v, _ := costPerWater("", m).Q.Show(o.Units); return v }
	cost := c.costData(r)
	s := draw.Stack{Name: upperFirst(r.Name), Note: o.Show(c.doseOf(r)), Total: o.style().Number(cost.Fig("value"))}
	for _, l := range dearestFirst(least.Lines(), r.Lines()) {
		s.Parts = append(s.Parts, costPart(l.Name, in(l.Amount), o.style().Number(costPerWater("", l.Amount))))
	}
	more := quantity.Money{Amount: r.Total.Amount - least.Total.Amount, Currency: c.Currency}
	switch {
	case c.alone():
	case place == 0:
		s.Remark = "costs least"
	case r.Same:
		s.Remark = "not told apart"
	default:
		s.Remark = o.style().Number(costPerWater("", more)) + " more"
	}
	if r.HasRange && !r.Open && r.High.Amount > r.Low.Amount {
		s.Low, s.High = in(r.Low), in(r.High)
		s.Range = o.Show(figure.Say("%s to %s", unitless(cost.Fig("low")), unitless(cost.Fig("high"))))
	}
	return s
}

// doseOf is the planning dose of a series, of a pair both.
func (c Compare) doseOf(r compare.Row) figure.Phrase {
	var all []any
	for _, part := range r.Parts {
		all = append(all, figure.Dose("", part.Dose, 3))
	}
	return figure.And(" + ", all...)
}

// dearestFirst are the lines of a cost that cost anything, in the order in which those of another cost most.
func dearestFirst(by, lines []account.Line) []account.Line {
	at := map[string]float64{}
	for _, l := range by {
		at[l.Name] = l.Amount.Amount
	}
	return sortedLines(lines, func(a, b account.Line) int { return cmp.Compare(at[b.Name], at[a.Name]) })
}
