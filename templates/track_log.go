package templates

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/dosing/history"
	"jarwright/dosing/logbook"
	"jarwright/dosing/upkeep"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
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
	var lacks []string // what would have to be written
	for _, j := range r.Logs {
		lacks = append(lacks, j.Lacks()...)
		d := logData(j)
		if f := d.Fig("latest.dose_fed"); f.Known() {
			n := Number{For: "Dose really fed of late" + either(j.Plan.Chemical != "", ", "+j.Plan.Chemical, ""), Value: f.NoBasis(), Under: "as product"}
			if p := d.Fig("dose_planned"); p.Known() {
				n.Under = o.Say("as product; planned %s%s", p.NoBasis(), byPastTests(j))
			}
			a.Numbers = append(a.Numbers, n)
		} else if f := d.Fig("latest.stock_per_water"); f.Known() {
			a.Numbers = append(a.Numbers, Number{For: "Stock really fed of late", Value: f, Under: perWaterOf(o)})
		}
		if f := d.Fig("latest.removal"); f.Known() {
			n := Number{For: "Removal of turbidity of late", Value: f}
			if b := d.Fig("bench.removal"); b.Known() {
				n.Under = o.Say("the bench took out %s", b)
			}
			a.Numbers = append(a.Numbers, n)
		}
		for i, x := range j.Drift {
			if x.What == string(logbook.OfRaw) && len(r.Water) == 0 && r.reaches(j.Plan.Chemical, j.Water.V.To) {
				x.Reason = x.Reason.And(`; past tests reach such water: until then ask for its dose with --raw "%s"`, quantity.To(j.Water.V.To, 2))
			}
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
		for i, c := range j.Charts {
			if quiet += either(c.Ready(), 1, 0); !c.Ready() {
				early = append(early, fmt.Sprintf("%s (%d of %d readings)", chartName(j, i), len(c.Ratio), c.Needed()))
			}
		}
	}
	switch {
	case len(orders) > 0:
		a.Order = strings.Join(orders, ". ") + ". " + a.Order
	case quiet > 0 && a.Order == "" && slices.ContainsFunc(r.Logs, func(j logbook.Judged) bool { return j.Water.OK }):
		a.Order = "Nothing but the raw water has moved off, and no less of it is taken out: go on, and write the log."
	case quiet > 0 && a.Order != "":
		a.Order += either(len(early) > 0, " By the log nothing has moved off of what can be judged.", " By the log nothing has moved off.")
	case quiet > 0:
		a.Order = either(len(early) > 0, "Of what can be judged nothing has moved off: go on, and write the log.", "Nothing has moved off: go on, and write the log.")
	case a.Order == "" && len(lacks) > 0:
		a.Order = "Nothing of this log can be judged, however long it is: write " + strings.Join(lacks, ", and ") + "."
	case a.Order == "":
		a.Order = "Go on writing the log: it is too short yet to tell a drift."
	}
	if len(early) > 0 && quiet > 0 && len(orders) == 0 {
		a.Order = strings.TrimSpace(a.Order) + " Not judged yet: " + strings.Join(early, ", ") + "."
	}
	var aside []string
	for _, j := range r.Logs {
		for _, heading := range j.Log.Aside {
			aside = append(aside, strconv.Quote(heading))
		}
	}
	if len(aside) > 0 {
		a.Order += " Not looked at: " + strings.Join(aside, ", ") + "."
	}
	a.Order = strings.TrimSpace(a.Order)
	return a
}

// reaches reports past tests of a chemical, or of any where a log names none, whose law tells the dose of a raw water.
func (r TrackReport) reaches(chemical string, raw quantity.Cloudiness) bool {
	return slices.ContainsFunc(r.Groups, func(g history.Group) bool {
		s := g.Model.V.Range[jartest.Turbidity]
		return g.Model.OK && (chemical == "" || words.Fold(g.Chemical.Name) == words.Fold(chemical)) && s.Low <= float64(raw) && float64(raw) <= s.High
	})
}

// log is what an operating log says.
func (r TrackReport) log(t *Text, o Options, j logbook.Judged) {
	d := logData(j)
	t.Head("Operating log " + j.File)
	var l facts
	l.add("Entries", figure.Say("%s, %s to %s", d.Fig("entries"), datedText(d.Said("from")), datedText(d.Said("to"))))
	latest := d.Sub("latest")
	if f := latest.Fig("dose_fed"); f.Known() {
		l.add("Dose fed", figure.Say("%s as product, by the last %s entries", f.NoBasis(), latest.Fig("entries")).If(d.Fig("dose_planned").Known(), "; planned %s%s", d.Fig("dose_planned").NoBasis(), byPastTests(j)).
			If(latest.Fig("of_planned").Known(), ", so %s of it", latest.Fig("of_planned")))
	} else if f := latest.Fig("stock_per_water"); f.Known() {
		l.add("Stock fed", figure.Say("%s %s, by the last %s entries; with --site it is a dose", f, perWaterOf(o), latest.Fig("entries")))
	}
	if f := latest.Fig("removal"); f.Known() {
		p := figure.Say("%s of the turbidity", f)
		if b := d.Sub("bench"); b.Fig("removal").Known() {
			p = p.And("; at its lowest effective dose the bench took out %s, from %s to %s (%s)", b.Fig("removal"), b.Fig("raw"), b.Fig("left"), datedText(b.Said("date")))
		}
		l.add("Removal", p)
	}
	if k := d.Sub("stock"); d.Has("stock") {
		l.add("Stock", figure.Say("made on %s, %s old at the last entry", datedText(k.Said("made")), k.Fig("age")).If(k.Fig("keeps").Known(), "; it keeps %s", k.Fig("keeps")))
	}
	t.Facts(l)
	t.Blank()
	charts := d.Objects("charts")
	if w := d.Sub("raw_water"); d.Has("raw_water") {
		charts = append(slices.Clone(charts), w)
	}
	t.each(cols("chart", ">readings", ">average now", ">limit", "moved off"), charts, func(i int, c *figure.Object) []any {
		if i == len(j.Charts) {
			return []any{string(logbook.OfRaw), c.Fig("readings"), c.Fig("average"), c.Fig("limit"), either(c.Has("since"), "since "+datedText(c.Said("since")), either(rawBeyond(j), "in the middle alone", "no"))}
		}
		if !j.Charts[i].Ready() {
			return []any{chartName(j, i), c.Fig("readings"), "", "", o.Say("too few yet: %s are needed", c.Fig("needed"))}
		}
		return []any{chartName(j, i), c.Fig("readings"), c.Fig("average"), c.Fig("limit"), either(j.Charts[i].Off, "since "+datedText(c.Said("since")), "no")}
	})
	again := worked("", upkeep.Seldom.RunLength(0), "", 3).In(figure.Brief)
	soon := worked("", upkeep.Seldom.RunLength(2), "", 2).In(figure.Brief)
	t.Say("A chart is off where its moving average is beyond its limit. It cries out over nothing once in %s readings, and finds a move of two scatters in %s on average.", again, soon)
	if d.Has("raw_water") {
		t.Say("The raw water is another where its last three readings or more all lie beyond nearly all before them, by the limit in the middle. Chance alone does so once in ten thousand logs; raw water that goes in spells, such as a beck's, once in ten to twenty logs of two months.")
	}
	for _, c := range j.Charts {
		if c.Ready() {
			panels := logPanels(o, j, c)[:1] // the chart that cries out; the sums, from whose last nothing on its day is looked for, stand in the picture and the workbook
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
			"dose fed = stock used x its strength / water treated; each reading of a chart is the logarithm of its ratio to what is planned, by past tests for the raw water of its row where the site has such, or to the mean of the log's first 20, of what is read once a week of those of its first four weeks, six at least, with limits as much wider as Student's t is",
			"days on which next to nothing was fed are counted by no chart",
			"treated turbidity is held against the raw water's, raised to the power that the first 20 entries tell, from 0 to 1",
			"the raw water is held against all its readings before: the last three at least beyond 19 in 20 of them, their middle half as much again or two thirds; how often that comes over nothing is by the order of 40 readings, and for spells by simulated logs",
			"one entry twice as far and six scatters off those around it is asked about and left out; columns that only grow are running totals",
			"the scatter of a reading is the mean difference of neighbours over 1.128, and 2 % at least",
			t.opt.Say("the moving average (EWMA, 0.2, limit 2.859 of its scatter) cries out; the day it began and its size are those of the step that leaves the least sum of squares, between where the cumulative sum (CUSUM, 0.5, limit 5, over nothing once in %s readings) was last nothing and the first entry beyond", worked("", upkeep.Dating.RunLength(0), "", 3).In(figure.Brief)),
		})
	}
}

// rawBeyond reports raw readings of late whose middle is beyond its limit; not all of them are where nothing is said of the water.
func rawBeyond(j logbook.Judged) bool {
	w, ok := j.Watched()
	return ok && math.Abs(math.Log1p(float64(w.Now))) >= math.Abs(math.Log1p(float64(w.Limit)))
}

// byPastTests says whose planned dose it is.
func byPastTests(j logbook.Judged) string {
	return either(j.Plan.Law != nil, " for such water by past tests", "")
}

// chartName is what a chart watches, and against what where another watches the same.
func chartName(j logbook.Judged, i int) string {
	c := j.Charts[i]
	for k, x := range j.Charts {
		if k != i && x.What == c.What {
			return string(c.What) + either(c.Own, ", against first weeks", ", against plan")
		}
	}
	return string(c.What)
}

// logData is an operating log with what it tells.
func logData(j logbook.Judged) *figure.Object {
	n := len(j.Days)
	o := figure.New().Set("file", j.File).Word("chemical", j.Plan.Chemical).Bare(figure.Count("entries", n)).
		Set("from", j.Days[0].Day().String()).Set("to", j.Days[n-1].Day().String()).
		Word("planned_by", either(j.Plan.Law != nil, "past tests, by each row's raw water", ""))
	late := j.Late()
	if j.Plan.Law == nil {
		late.Planned = quantity.Known[quantity.Concentration]{V: j.Plan.Dose.V.Concentration, OK: j.Plan.Dose.OK}
	}
	o.Put(productDose("dose_planned", late.Planned.V).If(late.Planned.OK))
	o.Part("latest", figure.New().Bare(figure.Count("entries", late.Entries)).Put(productDose("dose_fed", late.Fed.V).If(late.Fed.OK), worked("of_planned", 100*float64(late.OfPlanned.V), "%", 3).If(late.OfPlanned.OK),
		perCubic("stock_per_water", late.PerWater.V).If(late.PerWater.OK), removed("removal", late.Removal.V).If(late.Removal.OK)))
	if j.Bench.OK {
		b := j.Bench.V
		o.Set("bench", figure.New(ntu("raw", b.Raw), ntu("left", b.Left), removed("removal", b.Removal())).Word("date", b.Day))
	}
	if made, ok := j.Made(); ok {
		k := figure.New(worked("age", float64(made.DaysTo(j.Days[n-1].Day())), "d", 3).In(figure.Brief)).Set("made", made.String())
		o.Set("stock", k.Put(worked("keeps", j.Plan.Keeps.V.In("d"), "d", 3).In(figure.Brief).If(j.Plan.Keeps.OK)))
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
	if w, ok := j.Watched(); ok {
		x := figure.New().Bare(figure.Count("readings", w.Readings)).Put(share("average", w.Now), share("limit", w.Limit)).Set("off", j.Water.OK)
		if j.Water.OK {
			x.Set("since", j.Days[j.Water.V.Since].Day().String())
		}
		o.Set("raw_water", x)
	}
	return o.List("days", objects(j.Days, logDay))
}

// productDose is a dose counted as product.
func productDose(key string, c quantity.Concentration) figure.Figure {
	return doseOf(key, c, quantity.AsProduct, 3)
}

// perCubic is stock for a cubic metre of water, to readers of US units for a million gallons.
func perCubic(key string, f quantity.Fraction) figure.Figure {
	return figure.Of(key, stockShare{f}, "mL", 3).In(figure.Full)
}

// stockShare is stock by water: as many mL for a cubic metre as gallons for a million gallons.
type stockShare struct{ quantity.Fraction }

// Show gives mL or gal, of the water that perWaterOf names.
func (s stockShare) Show(u quantity.System) (float64, string) {
	return 1e6 * float64(s.Fraction), either(u == quantity.US, "gal", "mL")
}

// perWaterOf is the water that stock is counted for.
func perWaterOf(o Options) string {
	return either(o.Units == quantity.US, "for a million gallons of water", "for a cubic metre of water")
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
	put(litres("stock_used", d.Stock.V, 4), d.Stock.OK)
	put(figure.Of("water_treated", d.Gone.V, "m3", 4), d.Gone.OK)
	put(productDose("dose_fed", d.Fed.V), d.Fed.OK)
	put(productDose("dose_planned", d.Planned.V), d.Planned.OK)
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
	own := figure.Columns("treated_turbidity treated NTU", "removal removal %", "stock_used stock_used L", "water_treated water_treated m3", "dose_fed dose_fed mg/L", "dose_planned dose_planned mg/L", "stock_per_m3 stock_per_water mL",
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
	return fmt.Sprintf("%s by the operating log: its moving average is %s its limits; below it the cumulative sums, from whose last nothing on the day is looked for.",
		upperFirst(string(c.What)), either(c.Off, "beyond", "within"))
}
