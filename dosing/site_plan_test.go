package dosing

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// base is a small invented site; tests change single lines of it.
const base = `place:
  name: Test beck
  purpose: animals
  water_passes: once through
flow:
  average_flow: 3.6 m3/h
  run_starts: "06:00"
chemicals:
  - name: polymer
    product: apam-dry
    dose: 0.2 mg/L
    basis: as product
    stock: polymer stock
    pump: pump 2
stocks:
  - name: polymer stock
    product_in_stock: 1 g/L
    tank: day tank
    make_up_tank: mixer
    life: 24 h
    staffed_from: "06:00"
    staffed_till: "21:00"
    work: 15 min
pumps:
  - name: pump 2
    largest_rate: 1.8 L/h
tanks:
  - name: day tank
    use: stock
    volume: 18 L
  - name: mixer
    use: make-up
    volume: 18 L
`

// planned plans base with replacements, given in pairs.
func planned(t *testing.T, swaps ...string) (Plan, error) {
	t.Helper()
	text := base
	for i := 0; i < len(swaps); i += 2 {
		if !strings.Contains(text, swaps[i]) {
			t.Fatalf("%q does not stand in the site", swaps[i])
		}
		text = strings.Replace(text, swaps[i], swaps[i+1], 1)
	}
	s, err := site.Read("site.yaml", strings.NewReader(text))
	if err != nil {
		return Plan{}, err
	}
	in, err := FromSite(s, Given{Catalogue: products})
	if err != nil {
		return Plan{}, err
	}
	return Make(in)
}

func lineOf(text, line string) string {
	for i, l := range strings.Split(text, "\n") {
		if strings.TrimSpace(l) == line {
			return strings.TrimSpace("line " + strconv.Itoa(i+1))
		}
	}
	return "?"
}

// By hand: 0.2 mg/L × 3.6 m3/h = 0.72 g/h; at 1 g/L 0.72 L/h = 12 mL/min, 17.28 L a
// day. 16.2 L usable hold less than a day, so two batches of 8.64 L. The shift begins
// at 06:00; 15 min of work, 2 h of ageing and a quarter hour of reserve put the
// first batch into use at 08:30, for 12 h.
func TestPolymerDayByHand(t *testing.T) {
	p, err := planned(t)
	if err != nil {
		t.Fatal(err)
	}
	f := p.Feeds[0]
	near(t, "feed, mL/min", float64(f.Rate), 720.0/60, 1e-9)
	near(t, "stock, L/d", float64(f.StockUse), 17.28, 1e-9)
	if len(f.Batches) != 2 || f.Every != 1 {
		t.Fatalf("%d batches every %d days", len(f.Batches), f.Every)
	}
	b := f.Batches[0]
	near(t, "batch, L", float64(b.Volume), 8.64, 1e-9)
	near(t, "product, g", b.Recipe.Product.In("g"), 8.64, 1e-9)
	for _, x := range []struct {
		what      string
		got, want quantity.Time
	}{{"start", b.Start, 6}, {"made", b.Made, 6.25}, {"aged", b.Aged, 8.25}, {"moved", b.Moved, 8.25}, {"from", b.From, 8.5}, {"till", b.Till, 20.5}, {"expires", b.Expires, 30.25}} {
		near(t, x.what, float64(x.got), float64(x.want), 1e-9)
	}
	near(t, "tank lasts, h", float64(f.Lasts), 22, 1e-9) // 16.2 L / 0.72 L/h = 22.5 h, but it keeps 24 h and ages 2 h of them
}

func TestImpossiblePlansNameTheCell(t *testing.T) {
	for _, x := range []struct {
		name        string
		swaps       []string
		code, line  string
		says, todo  string
		isErrorItem bool // the plan itself is made, with a note at level Error
	}{
		{"pump too small", []string{"largest_rate: 1.8 L/h", "largest_rate: 0.54 L/h"}, "pump-too-small", "largest_rate: 0.54 L/h", "12 mL/min", "g/L", true},
		{"pump too small at peak", []string{"average_flow: 3.6 m3/h", "average_flow: 3.6 m3/h\n  peak_flow: 12.6 m3/h"}, "pump-too-small", "largest_rate: 1.8 L/h", "42 mL/min", "g/L", true},
		{"stock expires before use", []string{"life: 24 h", "life: 6 h"}, "stock-expires", "life: 6 h", "life 6", "keeps at least", true},
		{"tank smaller than a batch", []string{"    work: 15 min", "    work: 15 min\n    batch: 36 L"}, "tank-too-small", "volume: 18 L", "36 L", "at most 16.2", true},
		{"tank smaller than the night", []string{"volume: 18 L", "volume: 5.4 L"}, "tank-too-small", "volume: 5.4 L", "make-up times", "tank of at least", true},
		{"no second tank to age in", []string{"    make_up_tank: mixer\n", ""}, "stock-schedule", "product_in_stock: 1 g/L", "ageing 2", "make-up tank of its own", true},
		{"no dose", []string{"    dose: 0.2 mg/L\n", ""}, "value-missing", "- name: polymer", "dose", "bench sheet", false},
		{"no flow", []string{"average_flow: 3.6 m3/h", "average_flow:"}, "value-missing", "average_flow:", "flow", "meter log", false},
		{"dry product without stock", []string{"    stock: polymer stock\n", ""}, "dry-without-stock", "- name: polymer", "dry", "grams of product per litre", false},
		{"peak below the average", []string{"average_flow: 3.6 m3/h", "average_flow: 3.6 m3/h\n  peak_flow: 1.8 m3/h"}, "flow-range", "peak_flow: 1.8 m3/h", "below the average", "correct", false},
		{"half a shift", []string{"    staffed_till: \"21:00\"\n", ""}, "value-missing", "- name: polymer stock", "other end", "both", false},
		{"own product without strength", []string{"product: apam-dry", "charge: anionic", "as product", "as active polymer"}, "", "", "strength", "", false},
	} {
		text := base
		for i := 0; i < len(x.swaps); i += 2 {
			text = strings.Replace(text, x.swaps[i], x.swaps[i+1], 1)
		}
		p, err := planned(t, x.swaps...)
		if x.isErrorItem {
			if err != nil {
				t.Errorf("%s: %v", x.name, err)
				continue
			}
			err = p.Notes.Err()
		}
		l := note.Of(err, "?")
		if len(l) == 0 {
			t.Errorf("%s: nothing is wrong with the plan", x.name)
			continue
		}
		n := l[0]
		if x.code != "" && (n.Code != x.code || !strings.Contains(n.Cell+",", lineOf(text, x.line)+",")) {
			t.Errorf("%s: %s at %q, want %s at %s (%s)", x.name, n.Code, n.Cell, x.code, lineOf(text, x.line), n.Error())
		}
		if !strings.Contains(n.Message, x.says) || !strings.Contains(n.Remedy, x.todo) {
			t.Errorf("%s: %s", x.name, n.Error())
		}
	}
}

// What is offered as a way out must be one: doing it makes the plan possible.
func TestWaysOutWork(t *testing.T) {
	small := []string{"volume: 18 L", "volume: 5.4 L"}
	p, err := planned(t, small...)
	if err != nil {
		t.Fatal(err)
	}
	l := p.Notes.Only(note.Error)
	if len(l) != 1 {
		t.Fatalf("%v", p.Notes)
	}
	var litres string
	_, rest, ok := strings.Cut(l[0].Remedy, "tank of at least ")
	if ok {
		litres, _, _ = strings.Cut(rest, ",")
	}
	v, err := quantity.Parse[quantity.Volume](litres)
	if err != nil {
		t.Fatalf("%q: %v", l[0].Remedy, err)
	}
	p, err = planned(t, "volume: 18 L", "volume: "+quantity.Sig(float64(v), 6)+" L")
	if err != nil || p.Notes.Err() != nil {
		t.Errorf("a tank of %v does not do: %v %v", v, err, p.Notes.Err())
	}
	if p, err := planned(t, "volume: 18 L", "volume: "+quantity.Sig(float64(v)*0.8, 6)+" L"); err != nil || p.Notes.Err() == nil {
		t.Errorf("a tank of %v does as well: too much was asked for", v*0.8)
	}
}

func TestUncertaintyIsCarried(t *testing.T) {
	p, err := planned(t, "dose: 0.2 mg/L", "dose: 0.2 mg/L\n    dose_low: 0.1 mg/L\n    dose_high: 0.3 mg/L", "average_flow: 3.6 m3/h", "average_flow: 3.6 m3/h\n  flow_uncertainty: 10 %")
	if err != nil {
		t.Fatal(err)
	}
	r := p.Feeds[0].Range
	// Half the dose one time in twenty, a tenth of the flow off one time in ten, either way.
	down, up := math.Exp(-math.Hypot(tenInTwenty*math.Log(0.5), math.Log(0.9))), math.Exp(math.Hypot(tenInTwenty*math.Log(1.5), math.Log(1.1)))
	near(t, "least feed", float64(r.RateLow), 0.2*3.6*down/1*1000/60, 1e-9)
	near(t, "largest feed", float64(r.RateHigh), 0.2*3.6*up/1*1000/60, 1e-9)
	near(t, "least use, g/d", r.ProductLow.In("g/d"), 0.2*3.6*down*24, 1e-9)
	near(t, "largest use, g/d", r.ProductHigh.In("g/d"), 0.2*3.6*up*24, 1e-9)
	s := p.Feeds[0].Setting
	near(t, "least setting", float64(s.Range[0].Exact.Setting), float64(r.RateLow)/(1800.0/60)*100, 1e-9)
	near(t, "largest setting", float64(s.Range[1].Exact.Setting), float64(r.RateHigh)/(1800.0/60)*100, 1e-9)
}

// A day by the hour: rates follow the flow, the pump is set anew where it changes
// and stopped where the unit stands still.
func TestHoursAndTasks(t *testing.T) {
	p, err := planned(t, "average_flow: 3.6 m3/h", "flow_at_06_00: 3.6 m3/h\n  flow_at_12_00: 5.4 m3/h\n  flow_at_18_00: 1.8 m3/h\n  flow_at_22_00: 0 m3/h\n  hours_a_day: 16 h")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "water, m3", p.Treated.In("m3"), 6*3.6+6*5.4+4*1.8, 1e-9)
	near(t, "running, h", float64(p.Running), 16, 1e-9)
	near(t, "first hour", float64(p.Hours[0].Feeds[0].Rate), 720.0/60, 1e-9)
	near(t, "noon", float64(p.Hours[6].Feeds[0].Rate), 1080.0/60, 1e-9)
	near(t, "night", float64(p.Hours[17].Feeds[0].Rate), 0, 1e-12)
	var got []string
	for _, k := range p.Tasks {
		if k.Kind == SetPump || k.Kind == StopPump {
			got = append(got, flow.Clock(k.At)+" "+string(k.Kind))
		}
	}
	want := "06:00 set pump, 12:00 set pump, 18:00 set pump, 22:00 stop pump"
	if strings.Join(got, ", ") != want {
		t.Errorf("tasks %q, want %q", strings.Join(got, ", "), want)
	}
}

func TestSlipsAreSeen(t *testing.T) {
	alum, _ := products.Find("alum-liquid")
	for _, x := range []struct {
		name     string
		strength quantity.Fraction
		basis    quantity.Basis
		density  quantity.Density
		code     string
		says     string
	}{
		{"right", 0.485, quantity.AsAlum14, 1.335, "", ""},
		{"as Al2O3", 0.083, quantity.AsAl2O3, 0, "", ""},
		{"% Al2O3 taken for % alum", 0.083, quantity.AsAlum14, 0, "strength-slip", "as Al2O3"},
		{"% w/v", 0.647, quantity.AsAlum14, 0, "strength-slip", "by volume"},
		{"a share", 0.00485, quantity.AsAlum14, 0, "strength-slip", "share"},
		{"lb/gal", 0, "", 11.1, "density-slip", "lb per US gallon"},
		{"kg/m3 slip", 0, "", 13.35, "density-odd", "far from"},
		{"another product", 0.20, quantity.AsAlum14, 0, "strength-odd", "far from"},
	} {
		l := product.Slips(alum, x.strength, x.basis, x.density)
		switch {
		case x.code == "" && len(l) != 0:
			t.Errorf("%s: %v", x.name, l)
		case x.code != "" && (len(l) != 1 || l[0].Code != x.code || !strings.Contains(l[0].Message, x.says)):
			t.Errorf("%s: %v, want %s", x.name, l, x.code)
		}
	}
}

// The demo site plans without a fault, in both forms alike.
func TestExampleSitePlans(t *testing.T) {
	var b strings.Builder
	if err := site.WriteYAML(&b, site.Example("", "")); err != nil {
		t.Fatal(err)
	}
	s, err := site.Read("site.yaml", strings.NewReader(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	p := planOf(t, s, Given{Catalogue: products})
	if err := p.Notes.Err(); err != nil {
		t.Error(err)
	}
	for _, f := range p.Feeds {
		if len(f.Batches) == 0 || f.Setting == nil || !f.Setting.InRange || relative(float64(f.Closure.Given), float64(f.Closure.Asked)) > 1e-9 {
			t.Errorf("%s: %d batches, setting %+v", f.Name, len(f.Batches), f.Setting)
		}
		if f.Life <= 0 || len(f.Working) < 5 {
			t.Errorf("%s: life %v, %d lines of working", f.Name, f.Life, len(f.Working))
		}
		for _, w := range f.Working {
			if w.Formula == "" || w.Inputs.Format == "" || w.Source == "" || w.Value == nil || !quantity.Finite(w.Value) {
				t.Errorf("%s: working of %s is not whole: %+v", f.Name, w.Figure, w)
			}
		}
	}
	if solids := p.Solids(s); solids == nil || solids.Dry.Likely <= 0 || solids.Bin == nil {
		t.Error("no solids")
	}
	if f := p.Situation(s, time.Time{}); len(f.Doses) != 2 || len(f.Stock) != 1 {
		t.Errorf("the review sees %d doses, %d stocks", len(f.Doses), len(f.Stock))
	}
	if math.IsNaN(float64(p.Treated)) {
		t.Error("treated water is not a number")
	}
}

// A bench dose goes before nothing: it fills in where the site points at a sheet,
// and its own basis holds.
func TestBenchDoseEnters(t *testing.T) {
	s, err := site.Read("site.yaml", strings.NewReader(strings.Replace(base, "    dose: 0.2 mg/L\n", "    bench_sheet: b.xlsx\n", 1)))
	if err != nil {
		t.Fatal(err)
	}
	g := Given{Catalogue: products, Bench: map[int]BenchDose{0: {Dose: quantity.Dose{Concentration: 0.18, Basis: quantity.AsActive}, Low: 0.1, Source: "from b.xlsx"}}}
	p := planOf(t, s, g)
	near(t, "as product", float64(p.Feeds[0].AsProduct.Concentration), 0.2, 1e-12) // 90 % active
	if !p.Feeds[0].Range.Open {
		t.Error("the open upper end was lost")
	}
	differs := false
	for _, n := range p.Notes {
		differs = differs || n.Code == "basis-differs"
	}
	if !differs {
		t.Error("nothing says that the bases differ")
	}
}

// BenchmarkYearOfMinutes plans a site of 5 chemicals and 5 pumps from a meter log
// with a reading a minute for a year (525,600 rows of CSV).
func BenchmarkYearOfMinutes(b *testing.B) {
	var csv strings.Builder
	csv.WriteString("time,flow m3/h\n")
	at := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range 525600 {
		csv.WriteString(at.Format("2006-01-02 15:04:05"))
		csv.WriteString(",")
		csv.WriteString(quantity.Sig(2+math.Sin(float64(i)/700)+0.1*math.Sin(float64(i)), 4))
		csv.WriteString("\n")
		at = at.Add(time.Minute)
	}
	text := csv.String()
	five := strings.Builder{}
	five.WriteString("place:\n  name: five\n  purpose: other\n  water_passes: once through\nflow:\n  run_starts: \"06:00\"\nchemicals:\n")
	for _, id := range []string{"alum-liquid", "ferric-chloride", "apam-dry", "caustic-25", "pacl-10"} {
		five.WriteString("  - {name: " + id + ", product: " + id + ", dose: 2 mg/L, basis: as product, stock: s " + id + ", pump: p " + id + "}\n")
	}
	five.WriteString("stocks:\n")
	for _, id := range []string{"alum-liquid", "ferric-chloride", "apam-dry", "caustic-25", "pacl-10"} {
		five.WriteString("  - {name: s " + id + ", product_in_stock: 2 g/L, tank: t " + id + ", make_up_tank: m " + id + ", life: 24 h}\n")
	}
	five.WriteString("pumps:\n")
	for _, id := range []string{"alum-liquid", "ferric-chloride", "apam-dry", "caustic-25", "pacl-10"} {
		five.WriteString("  - {name: p " + id + ", largest_rate: 6 L/h, turndown: 100}\n")
	}
	five.WriteString("tanks:\n")
	for _, id := range []string{"alum-liquid", "ferric-chloride", "apam-dry", "caustic-25", "pacl-10"} {
		five.WriteString("  - {name: t " + id + ", use: stock, volume: 60 L}\n  - {name: m " + id + ", use: make-up, volume: 60 L}\n")
	}
	b.ReportAllocs()
	for b.Loop() {
		s, err := site.Read("site.yaml", strings.NewReader(five.String()))
		if err != nil {
			b.Fatal(err)
		}
		log, err := flow.Read("log.csv", strings.NewReader(text), flow.Options{})
		if err != nil {
			b.Fatal(err)
		}
		in, err := FromSite(s, Given{Catalogue: products, Log: &log})
		if err != nil {
			b.Fatal(err)
		}
		p, err := Make(in)
		if err != nil {
			b.Fatal(err)
		}
		if len(p.Feeds) != 5 || len(p.Feeds[4].Batches) == 0 {
			b.Fatal("the plan is not whole")
		}
	}
}
