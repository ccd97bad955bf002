package templates

import (
	"math"

	"jarwright/dosing"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
	"jarwright/templates/page"
)

// OnWall implements [WallReport]: the first sheet of a plan is the card of the day.
func (p Plan) OnWall(o Options) Wall {
	w := Wall{Title: "Today’s card", Next: "Why, and what to watch", Ask: ask(p.Keeper), Valid: p.valid(o)}
	if p.Findings.Stopped {
		w.Title, w.Valid = "Today’s card: stopped", ""
		return w
	}
	for _, f := range p.Feeds {
		w.Rulers = append(w.Rulers, p.ruler(f, o))
	}
	return w
}

// valid says for what water and how long the settings of a day hold.
func (p Plan) valid(o Options) string {
	until := clockOf(p.Start) + " the next day"
	if !o.Date.IsZero() {
		until = clockOf(p.Start) + ", " + dated(o.Date.AddDate(0, 0, 1))
	}
	return o.Say("For %s of water. Valid until %s.", water("", p.Day.Average()).In(figure.Brief), until)
}

// ruler tells the knob of a pump for other flows at the planned dose; none where the pump follows the flow,
// has two knobs, or cannot give the feed.
func (p Plan) ruler(f dosing.Feed, o Options) *page.Ruler {
	if f.Setting == nil || !f.Setting.InRange || f.Follows || f.Pump.Calibration.TwoKnobs() || p.Findings.Stopped {
		return nil
	}
	dose, err := product.Convert(f.Dose, f.Stock.Product, quantity.AsProduct)
	if err != nil {
		return nil
	}
	type place struct {
		flow quantity.Flow
		knob float64
	}
	var at []place
	for _, q := range cardFlows(p.Day.Least(), f.Flow, p.Day.Peak(), o.Units) {
		if c := f.Pump.For(dosing.RateFor(dose.Concentration, q, f.PerLitre)); c.Reach == pump.Within {
			at = append(at, place{q, float64(c.Exact.Setting)})
		}
	}
	if len(at) < 3 {
		return nil
	}
	now := float64(f.Setting.Average.Position.Setting)
	step := boardStep(at[len(at)-1].knob - at[0].knob)
	low, high := step*math.Floor(min(at[0].knob, now)/step), step*math.Ceil(max(at[len(at)-1].knob, now)/step)
	on := func(knob float64) float64 { return (knob - low) / (high - low) }
	number := func(f figure.Figure) string { return o.style().Number(f) }
	r := &page.Ruler{Above: "flow of water, " + o.style().Unit(water("", f.Flow)), Below: "knob, %", Blocks: int(math.Round(2 * (high - low) / step)), Now: on(now),
		NowTop: number(water("", f.Flow).In(figure.Brief)), NowLow: o.Show(knob("", f.Setting.Average.Position.Setting, 3).In(figure.Brief))}
	for _, x := range at {
		r.Top = append(r.Top, page.Tick{At: on(x.knob), Words: number(water("", x.flow).In(figure.Brief))})
	}
	for k := low; k <= high+step/1000; k += step {
		r.Bottom = append(r.Bottom, page.Tick{At: on(k), Words: number(knob("", quantity.Setting(k), 3).In(figure.Brief))})
	}
	return r
}

// boardStep is the distance of the numbers under a board so long: one, two or five of a power of ten.
func boardStep(span float64) float64 {
	for step := math.Pow(10, math.Floor(math.Log10(span/8))); ; step *= 10 {
		for _, m := range [...]float64{1, 2, 5} {
			if step*m*8 >= span {
				return step * m
			}
		}
	}
}
