package book

import (
	"cmp"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/doubt"
	"jarwright/dosing/month"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/draw"
)

// kept compares a layout with the one below testdata; JARWRIGHT_UPDATE=1 writes it anew.
func kept(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".txt")
	if os.Getenv("JARWRIGHT_UPDATE") == "1" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range max(len(g), len(w)) {
		if i >= len(g) || i >= len(w) || g[i] != w[i] {
			t.Errorf("%s, line %d differs from what was reviewed; write it anew with JARWRIGHT_UPDATE=1 and look at it:\n  %q\n  %q",
				file, i+1, g[min(i, len(g)-1)], w[min(i, len(w)-1)])
			return
		}
	}
}

// listing is a described workbook in words: each sheet with its page, rules and
// charts, then its cells; of rows that only repeat the row above in other numbers,
// the first two. Names of sheets limit it to those.
func listing(t *testing.T, b *Book, sheets ...string) string {
	t.Helper()
	write(t, b)
	var out strings.Builder
	for _, s := range b.sheets {
		if len(sheets) > 0 && !slices.Contains(sheets, s.name) {
			continue
		}
		fmt.Fprintf(&out, "== %s: freeze %d %d, repeat %d, landscape %t, one page %t, locked %t\n",
			s.name, s.freezeRows, s.freezeCols, s.repeat, s.landscape, s.onePage, s.protect)
		widths := s.fitWidths()
		fmt.Fprintf(&out, "widths %.1f\n", widths)
		if s.unprinted || len(s.foldedRows)+len(s.foldedCols) > 0 {
			fmt.Fprintf(&out, "unprinted %t, folded rows %v, columns %v\n", s.unprinted, slices.Sorted(maps.Keys(s.foldedRows)), slices.Sorted(maps.Keys(s.foldedCols)))
		}
		if s.printed.Sheet != nil {
			fmt.Fprintf(&out, "printed %s\n", s.printed.A1())
		}
		for _, r := range s.rules {
			fmt.Fprintf(&out, "rule %s %s %s..%s %t %q %q %q\n", r.at.A1(), r.kind, r.low, r.hi, r.strictly, r.title, r.prompt, r.refusal)
		}
		for _, f := range s.flags {
			fmt.Fprintf(&out, "flag %s %s kind %d\n", f.at.A1(), f.formula, f.kind)
		}
		for _, p := range s.charts {
			row, col := s.chartEnd(p)
			fmt.Fprintf(&out, "chart %s to %s, %d x %d, kind %d, %q, %q, x %q, y %q\n", a1(p.row, p.col), a1(row, col), p.width, p.height, p.chart.Kind,
				p.chart.Title, p.chart.Alt, p.chart.XName, p.chart.YName)
			for _, x := range p.chart.Series {
				fmt.Fprintf(&out, "  series %q x %s y %s\n", x.Name, x.X.Ref(), x.Y.Ref())
			}
		}
		rows := slices.Sorted(maps.Keys(s.cells))
		shapes := map[int]string{}
		for i, r := range rows {
			for c, x := range s.cells[r] {
				shapes[r] += fmt.Sprint(c, x.Kind, x.Format, x.Value == nil, x.Formula == "")
			}
			shapes[r] = string(slices.Sorted(slices.Values([]rune(shapes[r]))))
			if i > 1 && shapes[r] == shapes[r-1] && shapes[r] == shapes[r-2] {
				continue
			}
			fmt.Fprintf(&out, "row %d, %.4g high\n", r, s.fitHeight(r, widths))
			for _, c := range slices.Sorted(maps.Keys(s.cells[r])) {
				fmt.Fprintf(&out, "%s %s\n", a1(r, c), inWords(s.cells[r][c]))
			}
		}
	}
	for _, n := range b.names {
		fmt.Fprintf(&out, "name %s %s\n", n.name, n.at.Ref())
	}
	return out.String()
}

func inWords(c Cell) string {
	v := fmt.Sprintf("%v", c.Value)
	switch x := c.Value.(type) {
	case float64:
		v = fmt.Sprintf("%.9g", x)
	case string:
		v = fmt.Sprintf("%q", x)
	case time.Time:
		v = x.Format("2006-01-02")
	}
	s := fmt.Sprintf("%d %s", c.Kind, v)
	for _, x := range []struct {
		is   bool
		word string
	}{{c.Format != "", "as " + c.Format}, {c.Span > 1, fmt.Sprint("span ", c.Span)}, {c.Center, "centred"}, {c.Indent, "indented"}, {c.Formula != "", "=" + c.Formula}} {
		if x.is {
			s += " " + x.word
		}
	}
	return s
}

func eur(v float64, per string) quantity.Price {
	return quantity.Price{Amount: v, Currency: "EUR", Per: per}
}

// storms is a month of two classes of water and three chemicals, one an alkali,
// with days that differ from their week.
func storms() month.Plan {
	week := month.EveryDay(10)
	for d := range week {
		week[d].Delivery = d == int(time.Tuesday) || d == int(time.Friday)
	}
	week[time.Sunday].Operating, week[time.Saturday].Share = false, 0.5
	on := func(d int) month.Date { return month.Date{Year: 2028, Month: time.February, Day: d} }
	uniform := func(lo, hi float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
	}
	return month.Plan{
		Calendar: month.Calendar{
			Month: month.Month{Year: 2028, Month: time.February}, Flow: 20, Season: 0.9, Week: week,
			Exceptions: []month.Exception{
				{Date: on(6), Open: true, Hours: 4}, {Date: on(9), Class: "storm"}, {Date: on(12), Flow: 7.5},
				{Date: on(14), CleanUp: 180000, Remark: "tank 3"}, {Date: on(15), NoDelivery: true}, {Date: on(29), Closed: true},
			},
		},
		Classes: []month.Class{
			{Name: "clear", Share: 0.75, Removed: solids.Same[quantity.Concentration](20)},
			{Name: "storm", Share: 0.25, Removed: solids.Same[quantity.Concentration](100)},
		},
		Chemicals: []month.Chemical{
			{
				Name: "alum", Role: month.Coagulant, Basis: quantity.AsAlum14, Density: 1.335, Stock: 150000,
				Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.485), AlkalinityUse: 0.505, Floc: 0.444},
				Doses:   []month.Dose{{Plan: 20, Quantile: uniform(15, 21)}, {Plan: 40, Quantile: uniform(30, 42)}},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.80, "kg")}, {From: 4, Price: eur(0.70, "kg")}},
					Delivery: quantity.Money{Amount: 15, Currency: "EUR"}},
				Supply: month.Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, MinDays: 3, ShippingFactor: 1.5, OrderPacks: 4, OnOrder: 2, OnOrderDate: on(5)},
			},
			{
				Name: "polymer", Role: month.Polymer, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 0.5}, {Plan: 1}}, Effects: day.Effects{Floc: 1}, Stock: 2000,
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(6, "kg")}}, Delivery: quantity.Money{Amount: 4, Currency: "EUR"}},
				Supply: month.Supply{Opening: 2, OpeningAge: 10, Pack: 1, LeadDays: 2, ShelfDays: 20, MinDays: 2, ShippingFactor: 2},
			},
			{
				Name: "soda ash", Role: month.Alkali, Basis: quantity.AsNa2CO3, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.99)},
				Balance: &day.Balance{Raw: 40, Keep: 32, PerCaCO3: 1.059}, Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.55, "kg")}}},
				Supply: month.Supply{Opening: 10, Pack: 20, LeadDays: 15, ShelfDays: 200, MinDays: month.NoMinDays},
			},
		},
		Skim:     solids.Skimmer{Water: 2, Every: 0.25},
		Disposal: day.Disposal{DrySolids: 0.02, Density: 1.01, Price: eur(30, "m3")},
		Water:    eur(2, "m3"),
		Energy:   month.Energy{Power: 1500, Price: eur(0.20, "kWh")},
		Doubt:    month.Doubt{Flow: doubt.Span{Low: 0.9, High: 1.1}, Solids: doubt.Span{Low: 0.7, High: 1.4}, Seed: 1, Draws: 200},
	}
}

// scarce is a month of one water and one product that is bought by the litre and
// runs out; without it, nothing is treated at all.
func scarce(flow quantity.Flow) month.Plan {
	return month.Plan{
		Calendar: month.Calendar{Month: month.Month{Year: 2027, Month: time.June}, Flow: flow, Week: month.EveryDay(20)},
		Chemicals: []month.Chemical{{
			Name: "12 % PACl (new)", Role: month.Coagulant, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 45}}, Density: 1.43,
			Prices: month.PriceList{Tiers: []month.Tier{{From: 2, Price: eur(1.1, "L")}}},
			Supply: month.Supply{Opening: 5, Pack: 14.3, LeadDays: 6, Limit: 43, ShelfDays: 90, OpeningAge: 80, MinDays: 1},
		}},
		Disposal: day.Disposal{DrySolids: 0.05, Price: eur(80, "t")},
		Doubt:    month.Doubt{Draws: 100},
	}
}

func remarks() note.List {
	return note.List{
		note.New(note.Info, "a", "invented figures"),
		note.New(note.Caution, "b", "the tank is small").Do("take a larger one"),
	}
}

// TestKeptLayouts shows the layout of every workbook that is described here; it
// proves no number.
func TestKeptLayouts(t *testing.T) {
	budget := func(p month.Plan, place string, units quantity.System, l note.List) *Book {
		m, err := month.Make(p)
		if err != nil {
			t.Fatal(err)
		}
		return Budget(m, FirstPage{Place: place}, units, l, Meta{})
	}
	bench := func(x Bench) *Book {
		b := New(Meta{})
		if err := x.Write(b); err != nil {
			t.Fatal(err)
		}
		return b
	}
	sites := func(v site.Values) *Book {
		b := New(Meta{Paper: "letter"})
		b.Site(v)
		return b
	}
	parts := map[string][]string{"budget-us": {"Summary", "Inputs", "Days"}, "budget-scarce": {"Summary", "Inputs", "Deliveries"}, "budget-idle": {"Summary", "Days"}}
	for name, b := range map[string]*Book{
		"bench-blank": bench(Bench{}),
		"bench-done": bench(Bench{
			Jars: 7, Name: "storm", Chemical: "alum", Basis: quantity.AsAlum14, Doses: []quantity.Concentration{0, 10, 25}, Stock: 10000, JarVolume: 2, Repeats: 3,
			Readings: []jartest.Key{jartest.Turbidity, jartest.TemperatureKey, jartest.PH}, Target: "turbidity <= 5 NTU", Flotation: true,
			Done: &Done{Date: "2026-03-02", By: "me", Raw: map[jartest.Key]float64{jartest.Turbidity: 42, jartest.PH: 7.4}, Mixing: []float64{200, 30, 40},
				Jars: [][]any{{42, 41, 43, 8, 7.4}, {20, 21, 19}}, Remarks: []string{"", "spilt"}},
		}),
		"site-example":  sites(site.Example("bench.xlsx", "turbidity <= 5 NTU")),
		"budget-storms": budget(storms(), "Beckside", quantity.Metric, remarks()), "budget-us": budget(storms(), "", quantity.US, nil),
		"budget-scarce": budget(scarce(3.6), "Beckside", quantity.Metric, nil), "budget-idle": budget(scarce(0), "", quantity.US, nil),
	} {
		t.Run(name, func(t *testing.T) { kept(t, name, listing(t, b, parts[name]...)) })
	}
}

// TestKeptParts shows the written parts of a workbook with every kind of cell, rule and chart.
func TestKeptParts(t *testing.T) {
	b := rich()
	s := b.Sheet("Kinds")
	s.Landscape()
	s.OnePage()
	s.Freeze(1, 0)
	s.Repeat(1, 2)
	for k := Text; k <= Stop; k++ {
		s.Row(T(k, "words of the kind %d", k), Cell{Kind: k, Value: 12.345}, Cell{Kind: k, Value: 7}, Cell{Kind: k}, Cell{Kind: k, Value: "c", Center: true},
			Cell{Kind: k, Value: "i", Indent: true}, Cell{Kind: k, Value: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}, Cell{Kind: k, Value: "over two cells", Span: 2})
	}
	s.Number(s.At(1, 1), 0.5, 12, "Number", "A number.")
	s.Hint(s.At(2, 1), "Hint", "Words.")
	data := b.Sheet("Plots")
	row := 1
	for _, d := range plots() {
		row = s.Plot(row, 11, 400, 200, data, d)
	}
	p := parts(t, write(t, b))
	var out strings.Builder
	for _, n := range slices.SortedFunc(maps.Keys(p), func(a, b string) int { return cmp.Or(cmp.Compare(len(a), len(b)), cmp.Compare(a, b)) }) {
		if strings.Contains(n, "theme") || strings.ContainsAny(strings.TrimPrefix(n, "xl/charts/"), "234") {
			continue
		}
		fmt.Fprintf(&out, "== %s\n%s\n", n, strings.NewReplacer("><", ">\n<").Replace(p[n]))
	}
	kept(t, "parts", out.String())
}

// plots are drawings with every layer that becomes a chart.
func plots() []draw.Drawing {
	least := 0.0
	return []draw.Drawing{
		{Title: "Fit", Description: "One of each", Panels: []draw.Panel{{X: draw.Axis{Name: "dose", Unit: "mg/L", Zero: true}, Y: draw.Axis{Name: "turbidity", Unit: "NTU", Log: true}, Layers: []draw.Layer{
			draw.Band{Name: "band", At: []draw.Span{{X: 0, Low: 30, High: 50}, {X: 20, Low: 2, High: 5}}},
			draw.Line{Name: "line", Tone: draw.Doubt, Stroke: draw.Dotted, At: []draw.XY{{X: 0, Y: 40}, {X: 20, Y: 3}}},
			draw.Marker{Label: "target", At: 5, Stroke: draw.Dashed, Tone: draw.Limit}, draw.Marker{Label: "dose", Vertical: true, At: 12},
			draw.Points{Name: "jar", Shape: draw.Cross, At: []draw.Point{{XY: draw.XY{X: 0, Y: 42}, Spread: 2}, {XY: draw.XY{X: 10, Y: 12}}, {XY: draw.XY{X: 20, Y: 1}, Censor: draw.Under}, {XY: draw.XY{X: 5, Y: 60}, Censor: draw.Over}}},
			draw.Line{Name: "empty"}, draw.Band{Name: "nothing"},
		}}}},
		{Title: "Day", Panels: []draw.Panel{
			{X: draw.Axis{Clock: true, Step: 6}, Y: draw.Axis{Name: "feed", Unit: "mL/min", Least: &least}, Layers: []draw.Layer{
				draw.Steps{Name: "feed", At: []draw.XY{{X: 0, Y: 10}, {X: 6, Y: 30}, {X: 24, Y: 30}}}, draw.Marker{Label: "noon", Vertical: true, At: 12}, draw.Marker{Label: "most", At: 40}}},
			{X: draw.Axis{Name: "hour", Unit: "h"}, Y: draw.Axis{Name: "nothing"}},
		}},
		{Title: "Cost", Panels: []draw.Panel{{X: draw.Axis{Name: "chemical", Labels: []string{"alum", "ferric"}}, Y: draw.Axis{Name: "cost", Unit: "EUR"}, Layers: []draw.Layer{
			draw.Bars{Name: "chemical", At: []draw.Bar{{XY: draw.XY{X: 0, Y: 20}}, {XY: draw.XY{X: 1, Y: 25}}, {XY: draw.XY{X: 7, Y: 1}}}},
			draw.Bars{Name: "rest", Tone: draw.Limit, Hatch: true, At: []draw.Bar{{XY: draw.XY{X: 0, Y: 30}, Base: 20, Low: 25, High: 38}, {XY: draw.XY{X: 1, Y: 45}, Base: 25, Low: 40, High: 50}}},
			draw.Marker{Label: "limit", At: 40, Stroke: draw.Dashed},
		}}}},
		{Title: "Side by side", Panels: []draw.Panel{{X: draw.Axis{Labels: []string{"a"}}, Layers: []draw.Layer{draw.Bars{Name: "b", At: []draw.Bar{{XY: draw.XY{X: 0, Y: 3}}}}}}}},
		{Title: "Surface", Panels: []draw.Panel{{X: draw.Axis{Name: "a"}, Y: draw.Axis{Name: "b"}, Layers: []draw.Layer{
			draw.Contours{Name: "turbidity", Unit: "NTU", Levels: []float64{1.5, 2.5}, Grid: draw.Grid{X: []float64{0, 1, 2}, Y: []float64{0, 1, 2}, Z: [][]float64{{1, 2, 3}, {2, 3, 2}, {3, 2, 1}}}}}}}},
	}
}
