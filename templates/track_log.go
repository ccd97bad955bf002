package templates

import (
	"fmt"
	"math"
	"strings"

	"jarwright/dosing/logbook"
	"jarwright/dosing/upkeep"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// logged is of when the operating logs are.
func (r TrackReport) logged() string {
	n, first, last := 0, "", ""
	for _, j := range r.Logs {
		n += len(j.Days)
		if day := j.Days[0].Day().String(); first == "" || day < first {
			first = day
		}
		last = max(last, j.Days[len(j.Days)-1].Day().String())
	}
	return fmt.Sprintf("%d entries, %s to %s", n, datedText(first), datedText(last))
}

// upkeep adds what the operating logs say to an answer: how things stand, and first what has to be done.
func (r TrackReport) upkeep(a Answer, o Options) Answer {
	var orders []string
	quiet := 0
	var early []string // what cannot be judged yet
	for _, j := range r.Logs {
		d := logData(j)
		if f := d.Fig("latest.dose_fed"); f.Known() {
			n := Number{For: "Dose really fed of late" + either(j.Plan.Chemical != "", ", "+j.Plan.Chemical, ""), Value: f.NoBasis(), Under: "as product"}
			if p := d.Fig("dose_planned"); p.Known() {
				n.Under = o.Say("as product; planned %s", p.NoBasis())
			}
			a.Numbers = append(a.Numbers, n)
		} else if f := d.Fig("latest.stock_per_water"); f.Known() {
			a.Numbers = append(a.Numbers, Number{For: "Stock really fed of late", Value: f, Under: "for a cubic metre of water"})
		}
		if f := d.Fig("latest.removal"); f.Known() {
			n := Number{For: "Removal of turbidity of late", Value: f}
			if b := d.Fig("bench.removal"); b.Known() {
				n.Under = o.Say("the bench took out %s", b)
			}
			a.Numbers = append(a.Numbers, n)
		}
		for i, x := range j.Drift {
			since := o.Say("since %s %s", x.Since.Spelled(), x.Reason)
			if n := len(orders) - 1; i > 0 && j.Drift[i-1].Advice == x.Advice { // one order, and each of its reasons
				if x.Since == j.Drift[i-1].Since { // the day was just said
					since = o.Say("%s", x.Reason)
				}
				orders[n] += "; " + since
				continue
			}
			orders = append(orders, upperFirst(string(x.Advice))+": "+since)
		}
		for _, c := range j.Charts {
			if quiet += either(c.Ready(), 1, 0); !c.Ready() {
				early = append(early, fmt.Sprintf("%s (%d of %d readings)", c.What, len(c.Ratio), c.Needed()))
			}
		}
	}
	switch {
	case len(orders) > 0:
		a.Order = strings.Join(orders, ". ") + ". " + a.Order
	case a.Order == "" && quiet > 0:
		a.Order = either(len(early) > 0, "Of what can be judged nothing has moved off: go on, and write the log.", "Nothing has moved off: go on, and write the log.")
	case a.Order == "":
		a.Order = "Go on writing the log: it is too short yet to tell a drift."
	}
	if len(early) > 0 && quiet > 0 && len(orders) == 0 {
		a.Order = strings.TrimSpace(a.Order) + " Not judged yet: " + strings.Join(early, ", ") + "."
	}
	a.Order = strings.TrimSpace(a.Order)
	return a
}

// log is what an operating log says.
func (r TrackReport) log(t *Text, o Options, j logbook.Judged) {
	d := logData(j)
	t.Head("Operating log " + j.File)
	var l facts
	l.add("Entries", figure.Say("%s, %s to %s", d.Fig("entries"), datedText(d.Said("from")), datedText(d.Said("to"))))
	latest := d.Sub("latest")
	if f := latest.Fig("dose_fed"); f.Known() {
		l.add("Dose fed", figure.Say("%s as product, by the last %s entries", f.NoBasis(), latest.Fig("entries")).If(d.Fig("dose_planned").Known(), "; planned %s", d.Fig("dose_planned").NoBasis()).
			If(latest.Fig("of_planned").Known(), ", so %s of it", latest.Fig("of_planned")))
	} else if f := latest.Fig("stock_per_water"); f.Known() {
		l.add("Stock fed", figure.Say("%s for a cubic metre of water, by the last %s entries; with --site it is a dose", f, latest.Fig("entries")))
	}
	if f := latest.Fig("removal"); f.Known() {
		p := figure.Say("%s of the turbidity", f)
		if b := d.Sub("bench"); b.Fig("removal").Known() {
			p = p.And("; at its lowest effective dose the bench took out %s, from %s to %s (%s)", b.Fig("removal"), b.Fig("raw"), b.Fig("left"), datedText(b.Said("date")))
		}
		l.add("Removal", p)
	}
	t.Facts(l)
	t.Blank()
	t.each(cols("chart", ">readings", ">average now", ">limit", "moved off"), d.Objects("charts"), func(i int, c *figure.Object) []any {
		if !j.Charts[i].Ready() {
			return []any{c.Said("what"), c.Fig("readings"), "", "", o.Say("too few yet: %s are needed", c.Fig("needed"))}
		}
		return []any{c.Said("what"), c.Fig("readings"), c.Fig("average"), c.Fig("limit"), either(j.Charts[i].Off, "since "+datedText(c.Said("since")), "no")}
	})
	again := worked("", upkeep.Seldom.RunLength(0), "", 3).In(figure.Brief)
	soon := worked("", upkeep.Seldom.RunLength(2), "", 2).In(figure.Brief)
	t.Say("A chart is off where its moving average is beyond its limit. It cries out over nothing once in %s readings, and finds a move of two scatters in %s on average.", again, soon)
	for _, c := range j.Charts {
		if c.Ready() {
			panels := logPanels(o, j, c)[:1] // the chart that cries out; the sums that date it stand in the picture and the workbook
			d := draw.Drawing{Title: panels[0].Title, Description: describeLog(c), Panels: panels, DecimalComma: o.DecimalComma, Foot: civil(o.Date)}
			d.Panels[0].Title = ""
			t.Blank()
			t.Picture(d, 76, 14)
		}
	}
	t.Notes(j.Notes)
	if o.Explain {
		t.steps("Working: how the log is judged", []string{
			"what a row counts of stock and water went since the row before; a level and a meter give the difference, a flow the mean of both rows times the hours",
			"dose fed = stock used x its strength / water treated; each reading of a chart is the logarithm of its ratio to what is planned, or to the mean of the log's first 20, of what is read once a week of those of its first four weeks, six at least, with limits as much wider as Student's t is",
			"days on which next to nothing was fed are counted by no chart",
			"treated turbidity is held against the raw water's, raised to the power that the first 20 entries tell, from 0 to 1",
			"the scatter of a reading is the mean difference of neighbours over 1.128, and 2 % at least",
			t.opt.Say("the moving average (EWMA, 0.2, limit 2.859 of its scatter) cries out; the day it began is where the cumulative sum (CUSUM, 0.5, limit 5, over nothing once in %s readings) was last nothing", worked("", upkeep.Dating.RunLength(0), "", 3).In(figure.Brief)),
		})
	}
}

// logData is an operating log with what it tells.
func logData(j logbook.Judged) *figure.Object {
	n := len(j.Days)
	o := figure.New().Set("file", j.File).Word("chemical", j.Plan.Chemical).Bare(figure.Count("entries", n)).
		Set("from", j.Days[0].Day().String()).Set("to", j.Days[n-1].Day().String()).
		Put(productDose("dose_planned", j.Plan.Dose.V.Concentration).If(j.Plan.Dose.OK))
	late := j.Late()
	o.Part("latest", figure.New().Bare(figure.Count("entries", late.Entries)).Put(productDose("dose_fed", late.Fed.V).If(late.Fed.OK), worked("of_planned", 100*float64(late.OfPlanned.V), "%", 3).If(late.OfPlanned.OK),
		perCubic("stock_per_water", late.PerWater.V).If(late.PerWater.OK), removed("removal", late.Removal.V).If(late.Removal.OK)))
	if j.Bench.OK {
		b := j.Bench.V
		o.Set("bench", figure.New(ntu("raw", b.Raw), ntu("left", b.Left), removed("removal", b.Removal())).Word("date", b.Day))
	}
	o.List("charts", objects(j.Charts, func(c logbook.Chart) *figure.Object {
		x := figure.New().Set("what", string(c.What)).Set("against", either(c.Own, "the log's first readings", "the plan")).Bare(figure.Count("readings", len(c.Ratio)), figure.Count("needed", c.Needed()))
		if !c.Ready() {
			return x
		}
		k := len(c.Average) - 1
		x.Put(share("average", c.AsShare(c.Average[k])), share("limit", c.AsShare(math.Copysign(c.Limit[k], c.Average[k]))), worked("scatter", 100*c.SD, "%", 2)).
			Bare(worked("run_length", upkeep.Seldom.RunLength(0), "", 3).In(figure.Brief), worked("sum_above", c.Sums.Up[k], "", 3), worked("sum_below", c.Sums.Down[k], "", 3),
				worked("sum_limit", upkeep.Dating.Limit, "", 3), worked("sum_run_length", upkeep.Dating.RunLength(0), "", 3).In(figure.Brief)).Set("off", c.Off)
		if c.Off {
			x.Set("since", j.Days[c.Days[c.Since]].Day().String())
		}
		return x
	}))
	return o.List("days", objects(j.Days, logDay))
}

// productDose is a dose counted as product.
func productDose(key string, c quantity.Concentration) figure.Figure {
	return doseOf(key, c, quantity.AsProduct, 3)
}

// perCubic is stock for a cubic metre of water.
func perCubic(key string, f quantity.Fraction) figure.Figure {
	return worked(key, 1e6*float64(f), "mL", 3)
}

// removed is the share taken out.
func removed(key string, f quantity.Fraction) figure.Figure {
	return worked(key, 100*float64(f), "%", 3)
}

// logDay is an entry with what it tells.
func logDay(d logbook.Day) *figure.Object {
	o := figure.New().Set("date", d.Day().String())
	put := func(f figure.Figure, ok bool) { o.Put(f.If(ok)) }
	put(ntu("raw", d.Raw.V), d.Raw.OK)
	put(ntu("treated", d.Treated.V), d.Treated.OK)
	put(removed("removal", d.Removal.V), d.Removal.OK)
	put(worked("stock_used", d.Stock.V.In("L"), "L", 4), d.Stock.OK)
	put(worked("water_treated", d.Gone.V.In("m3"), "m3", 4), d.Gone.OK)
	put(productDose("dose_fed", d.Fed.V), d.Fed.OK)
	put(perCubic("stock_per_water", d.PerWater.V), d.PerWater.OK)
	put(worked("drawdown", float64(d.Drawdown.V), "mL/min", 4), d.Drawdown.OK)
	put(worked("drawdown_by_calibration", float64(d.Line.V), "mL/min", 4), d.Line.OK)
	return o.Word("remark", d.Remark)
}

// logDrift is what has moved off.
func logDrift(d logbook.Drift) *figure.Object {
	o := figure.New().Set("what", d.What).Set("since", d.Since.String()).Set("seen", d.Seen.String())
	if d.Readings > 0 {
		o.Bare(figure.Count("readings", d.Readings))
	}
	return o.Put(share("size", d.Size)).Set("advice", string(d.Advice)).Phrase("reason", d.Reason)
}

// logRows adds the days of logs to a table of tests, under columns of their own.
func logRows(t *figure.Table, logs []logbook.Judged) {
	own := figure.Columns("treated_turbidity treated NTU", "removal removal %", "stock_used stock_used L", "water_treated water_treated m3", "dose_fed dose_fed mg/L", "stock_per_m3 stock_per_water mL",
		"drawdown drawdown mL/min", "drawdown_by_calibration drawdown_by_calibration mL/min", "remark")
	t.Cols = append(t.Cols, own...)
	for _, j := range logs {
		for _, x := range j.Days {
			d := logDay(x)
			d.Set("name", "operating log").Word("chemical", j.Plan.Chemical).Set("file", x.Place.File).Word("sheet", x.Place.Sheet)
			if f := d.Fig("raw"); f.Known() {
				d.Set("raw", figure.New(ntu("turbidity", x.Raw.V)))
			}
			t.Rows = append(t.Rows, d.Only(t.Cols))
		}
	}
}

// sumsShown is how many limits of a cumulative sum its picture shows.
const sumsShown = 3

// logPanels are the pictures of a chart: each reading with their moving average within its limits, and below it the cumulative
// sums within theirs; both with the day on which it moved off.
func logPanels(o Options, j logbook.Judged, c logbook.Chart) []draw.Panel {
	start := j.Days[0].Time
	at := func(i int) float64 { return float64(j.Days[c.Days[i]].Time-start)/24 + 1 }
	from, to := 0.0, math.Ceil(at(len(c.Days)-1))
	p := draw.Panel{Title: upperFirst(string(c.What)) + " by the operating log", X: draw.Axis{Name: "day of the log", Least: &from, Most: &to},
		Y: draw.Axis{Name: joined(" ", either(c.What == logbook.OfRemoval, "left of the same raw water,", ""), either(c.Own, "off the first weeks", "off the plan")), Unit: "%"}, High: 3 * lowPanel} // the three of a log stand on one sheet
	points, line, band := draw.Points{Name: "entry", Quiet: true}, draw.Line{Name: "moving average"}, draw.Band{Name: "limits"}
	for i, v := range c.Ratio {
		points.At = append(points.At, draw.Point{XY: draw.XY{X: at(i), Y: 100 * (math.Exp(v) - 1)}})
	}
	for i, z := range c.Average {
		x := at(c.From + i)
		line.At = append(line.At, draw.XY{X: x, Y: c.AsShare(z).In("%")})
		band.At = append(band.At, draw.Span{X: x, Low: c.AsShare(-c.Limit[i]).In("%"), High: c.AsShare(c.Limit[i]).In("%")})
	}
	p.Layers = []draw.Layer{band, points, line}
	end := sumsShown * upkeep.Dating.Limit
	low := -end
	sums := draw.Panel{Title: p.Title + ", cumulative sums", X: p.X, Y: draw.Axis{Name: "sum off the middle", Unit: "scatters", Least: &low, Most: &end}, High: 2 * lowPanel}
	for _, side := range []struct {
		name string
		sign float64
		sum  []float64
	}{{"above", 1, c.Sums.Up}, {"below", -1, c.Sums.Down}} {
		l := draw.Line{Name: side.name}
		before := draw.XY{}
		for i, v := range side.sum {
			here := draw.XY{X: at(c.From + i), Y: side.sign * v}
			if v > end { // to the edge, beyond which a sum that runs away says no more
				f := (side.sign*end - before.Y) / (here.Y - before.Y)
				l.At = append(l.At, draw.XY{X: before.X + f*(here.X-before.X), Y: side.sign * end})
				break
			}
			l.At = append(l.At, here)
			before = here
		}
		sums.Layers = append(sums.Layers, l, draw.Marker{Label: either(side.sign > 0, "limit", ""), At: side.sign * upkeep.Dating.Limit, Stroke: draw.Dashed, Tone: draw.Limit})
	}
	if c.Off {
		since := draw.Marker{Label: "since " + j.Days[c.Days[c.Since]].Day().Spelled(), Vertical: true, At: at(c.Since), Stroke: draw.Dashed, Tone: draw.Plain}
		p.Layers = append(p.Layers, since)
		since.Label = ""
		sums.Layers = append(sums.Layers, since)
	}
	return []draw.Panel{p, sums}
}

// describeLog tells a chart to those who cannot see it.
func describeLog(c logbook.Chart) string {
	return fmt.Sprintf("%s by the operating log: its moving average is %s its limits; below it the cumulative sums, which tell the day on which a move began.",
		upperFirst(string(c.What)), either(c.Off, "beyond", "within"))
}
