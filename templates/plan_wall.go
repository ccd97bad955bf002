package templates

import (
	"math"
	"slices"

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
	if f.Setting == nil || !f.Setting.Stands() || f.Setting.Average.Off() || f.Follows || f.Pump.Calibration.TwoKnobs() || p.Findings.Stopped {
		return nil
	}
	dose, err := product.Convert(f.Dose, f.Stock.Product, quantity.AsProduct)
	if err != nil {
		return nil
	}
	var at []mark
	for _, q := range cardFlows(p.Day.Least(), f.Flow, p.Day.Peak(), o.Units) {
		at = append(at, mark{water("", q), f.Pump.For(dosing.RateFor(dose.Concentration, q, f.PerLitre))})
	}
	return knobRuler(o, at, mark{water("", f.Flow), f.Setting.Average})
}

// mark is a flow of water, or a feed, with where it stands on a knob.
type mark struct {
	of figure.Figure
	pump.Choice
}

// knobRuler is a board of a knob with what it is set to for each of some flows or feeds; none where fewer than three are in reach.
func knobRuler(o Options, at []mark, now mark) *page.Ruler {
	at = slices.DeleteFunc(at, func(m mark) bool { return m.Reach != pump.Within })
	if len(at) < 3 || now.Reach != pump.Within {
		return nil
	}
	r := &page.Ruler{Above: "flow of water, " + o.style().Unit(now.of), Below: "knob, %"}
	if _, fed := now.of.Q.(quantity.FeedRate); fed {
		r.Above = "feed, " + o.style().Unit(now.of)
	}
	on := laidOut(r, float64(at[0].Exact.Setting), float64(at[len(at)-1].Exact.Setting), float64(now.Position.Setting),
		func(v float64) string { return o.style().Number(knob("", quantity.Setting(v), 3).In(figure.Brief)) })
	number := func(f figure.Figure) string { return o.style().Number(f.In(figure.Brief)) }
	r.NowTop, r.NowLow = number(now.of), o.Show(knob("", now.Position.Setting, 3).In(figure.Brief))
	for _, x := range at {
		r.Top = append(r.Top, page.Tick{At: on(float64(x.Exact.Setting)), Words: number(x.of)})
	}
	return r
}

// laidOut lays the lower scale of a ruler out from one value to another, round at both ends and with room for where it stands
// now, and gives the place of a value on it.
func laidOut(r *page.Ruler, from, to, now float64, words func(float64) string) func(float64) float64 {
	step := boardStep(to - from)
	low, high := step*math.Floor(min(from, now)/step), step*math.Ceil(max(to, now)/step)
	on := func(v float64) float64 { return (v - low) / (high - low) }
	r.Blocks, r.Now = int(math.Round(2*(high-low)/step)), on(now)
	for v := low; v <= high+step/1000; v += step {
		r.Bottom = append(r.Bottom, page.Tick{At: on(v), Words: words(v)})
	}
	return on
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
