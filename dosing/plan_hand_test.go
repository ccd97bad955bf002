package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestLevelsByHand: 0.72 L an hour from batches of 8.64 L in use from 08:30 and 20:30,
// each moved a quarter hour before. Each lasts until the next is in use at 0.756 L an
// hour, a twentieth more: from 12.25 h × 0.756 = 9.261 L in the tank at 08:15 and 20:15.
func TestLevelsByHand(t *testing.T) {
	p, err := planned(t)
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range p.Hours {
		end := float64(h.From) + 1
		if end <= 6 {
			end += 24
		}
		since := math.Mod(end+24-8.25, 12) // the last batch came in
		want := 9.261 - 0.72*since
		f := h.Feeds[0]
		if !f.HasLevel || math.Abs(float64(f.Level)-want) > 1e-6 || math.Abs(float64(f.Used)-0.72) > 1e-9 || math.Abs(float64(f.Rate)-12) > 1e-9 {
			t.Errorf("%s: %v in the tank, %v used at %v, want %g L", flow.Clock(h.From), f.Level, f.Used, f.Rate, want)
		}
		// 12 mL/min of 30 is 40 %.
		if f.Setting != 40 {
			t.Errorf("%s: set to %v", flow.Clock(h.From), f.Setting)
		}
	}
	if len(p.Hours) != 24 || p.Hours[0].From != 6 || p.Hours[23].From != 5 {
		t.Errorf("%d hours from %v", len(p.Hours), p.Hours[0].From)
	}
	var got []string
	for _, k := range p.Tasks {
		got = append(got, flow.Clock(k.At)+" "+string(k.Kind))
	}
	want := "06:00 set pump, 06:00 make up, 08:15 move stock, 18:00 make up, 20:15 move stock"
	if strings.Join(got, ", ") != want {
		t.Errorf("tasks %q, want %q", strings.Join(got, ", "), want)
	}
}

// TestFeedByHand: rates, share at the dosing point, tank, closure, range.
func TestFeedByHand(t *testing.T) {
	day := steady(t, 2, 6, 16) // 20 m3
	alum := holding(0.5, quantity.AsAlum14, 1.3)
	in := Input{Day: day.WithRange(1, 3), FlowRange: 0.1, Start: 6, Feeds: []FeedInput{{
		Name: "alum", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsAlum14}, Low: 8, High: 15, Stock: Stock{Product: alum, PerLitre: 100000}, Post: 0.05,
		Pump: &pump.Pump{Calibration: pump.FromNameplate(20)}, Tank: &Vessel{Volume: 10, Usable: 0.8, Now: quantity.Some[quantity.Volume](4)}, Work: 0.25,
	}}}
	p, err := Make(in)
	if err != nil {
		t.Fatal(err)
	}
	f := p.Feeds[0]
	// 10 mg/L ÷ 0.5 = 20 mg/L as product; × 2 m3/h = 40 g/h; ÷ 100 g/L = 0.4 L/h = 6.6667 mL/min; least half, peak 1.5 times.
	near(t, "as product", float64(f.AsProduct.Concentration), 20, 1e-12)
	near(t, "rate", float64(f.Rate), 400.0/60, 1e-9)
	near(t, "least", float64(f.Least), 200.0/60, 1e-9)
	near(t, "peak", float64(f.Peak), 600.0/60, 1e-9)
	near(t, "product, kg/d", float64(f.Product), 0.4, 1e-12)
	near(t, "active, kg/d", float64(f.Active), 0.2, 1e-12)
	near(t, "volume, L/d", float64(f.Volume), 0.4/1.3, 1e-12)
	near(t, "stock, L/d", float64(f.StockUse), 4, 1e-12)
	near(t, "asked", float64(f.Closure.Asked), 0.4, 1e-12)
	near(t, "given", float64(f.Closure.Given), 0.4, 1e-12)
	// Stock: 0.1 kg/L + 0.998 × (1 − 0.1/1.3) = 1.021231 kg/L, 9.7921 % by mass; 0.4 L/h of it is 0.408492 kg/h in 50 L × 0.998 = 49.9 kg/h.
	density := 0.1 + 0.998*(1-0.1/1.3)
	near(t, "at the dosing point", float64(f.AtPoint), 0.1/density*(0.4*density)/(0.4*density+49.9), 1e-12)
	near(t, "setting", float64(f.Setting.Average.Exact.Setting), 400.0/60/20*100, 1e-9)
	near(t, "setting at least flow", float64(f.Setting.Least.Exact.Setting), 200.0/60/20*100, 1e-9)
	near(t, "setting at peak flow", float64(f.Setting.Peak.Exact.Setting), 600.0/60/20*100, 1e-9)
	r := f.Range
	if !r.Known || r.Open || !f.Setting.HasRange {
		t.Errorf("range %+v", r)
	}
	// One time in twenty below 8 and above 15 mg/L, so one in ten below 10 × 0.8^0.7791 = 8.404 and above 10 × 1.5^0.7791 = 13.715.
	// With a tenth of the flow either way: ln 0.8404 = -0.17386 and ln 0.9 = -0.10536 rooted to -0.20329, 0.8160; 0.31591 and 0.09531 to 0.32998, 1.3909.
	low, high := 10*math.Pow(0.8, tenInTwenty), 10*math.Pow(1.5, tenInTwenty)
	down, up := math.Exp(-math.Hypot(math.Log(low/10), math.Log(0.9))), math.Exp(math.Hypot(math.Log(high/10), math.Log(1.1)))
	near(t, "down", down, 0.8160, 5e-5)
	near(t, "up", up, 1.3909, 5e-5)
	for what, v := range map[string][2]float64{
		"low dose": {float64(r.DoseLow.Concentration), low}, "high dose": {float64(r.DoseHigh.Concentration), high}, "low flow": {float64(r.FlowLow), 1.8}, "high flow": {float64(r.FlowHigh), 2.2},
		"low rate": {float64(r.RateLow), 20 * 2 * down / 100 * 1000 / 60}, "high rate": {float64(r.RateHigh), 20 * 2 * up / 100 * 1000 / 60},
		"low product": {float64(r.ProductLow), 20 * 2 * down * 10 / 1000}, "high product": {float64(r.ProductHigh), 20 * 2 * up * 10 / 1000},
		"low setting": {float64(f.Setting.Range[0].Exact.Setting), 20 * 2 * down / 100 * 1000 / 60 / 20 * 100}, "high setting": {float64(f.Setting.Range[1].Exact.Setting), 20 * 2 * up / 100 * 1000 / 60 / 20 * 100},
	} {
		near(t, what, v[0], v[1], 1e-9)
	}
	// 8 L usable last 20 h at 0.4 L/h, but the stock keeps a day, 10 h of them running; the 4 L that stand there run those of the first day.
	near(t, "lasts", float64(f.Lasts), 10, 1e-9)
	if !f.HasEmpty || math.Abs(float64(f.Empty)-16) > 1e-6 {
		t.Errorf("empty at %v", f.Empty)
	}
	swing, ok := noted(f.Notes, "flow-swings") // 1 to 3 m3/h about a flow of 2: 10 × 2/3 to 10 × 2/1
	if !ok || !strings.Contains(swing.Message, "from 6.67 mg/L to 20 mg/L") || !strings.Contains(swing.Message, "from 1 m3/h to 3 m3/h") {
		t.Errorf("%v", f.Notes)
	}
	in.Feeds[0].High, in.FlowRange = 0, 0
	if p, err = Make(in); err != nil || p.Feeds[0].Range.Open || p.Feeds[0].Range.DoseHigh.Concentration != 10 { // as stated: exact above
		t.Errorf("%+v %v", p.Feeds[0].Range, err)
	}
	in.Feeds[0].Tested = true
	if p, err = Make(in); err != nil || !p.Feeds[0].Range.Open || p.Feeds[0].Range.DoseHigh.Concentration != 10 {
		t.Errorf("%+v %v", p.Feeds[0].Range, err)
	}
	in.Feeds[0].Low = 0
	if p, err = Make(in); err != nil || p.Feeds[0].Range.Known {
		t.Errorf("%+v %v", p.Feeds[0].Range, err)
	}
	in.Day = steady(t, 2, 6, 16).WithRange(1.9, 2.1) // a swing of a twentieth is none
	if p, err = Make(in); err != nil {
		t.Fatal(err)
	}
	if n, ok := noted(p.Notes, "flow-swings"); ok {
		t.Errorf("%v", n)
	}
	in.Day = steady(t, 2, 6, 16).WithRange(1, 3)
	in.Feeds[0].Follows = true
	if p, err = Make(in); err != nil {
		t.Fatal(err)
	}
	if n, ok := noted(p.Notes, "flow-swings"); ok || len(p.Tasks) < 3 || p.Tasks[1].Kind != StartUnit || p.Tasks[2].Kind != SetPump || p.Tasks[2].Flow != 2 {
		t.Errorf("a pump that follows: %v %+v", n, p.Tasks)
	}
}

func noted(l note.List, code string) (note.Note, bool) {
	for _, n := range l {
		if n.Code == code {
			return n, true
		}
	}
	return note.Note{}, false
}

// TestPlanFaults: what cannot be planned says what is wrong.
func TestPlanFaults(t *testing.T) {
	feed := FeedInput{Name: "alum", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsAlum14}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.3)}}
	for code, spoil := range map[string]func(*Input){
		"no-flow":          func(in *Input) { in.Day = flow.Day{} },
		"no-chemical":      func(in *Input) { in.Feeds = nil },
		"basis-missing":    func(in *Input) { in.Feeds[0].Dose.Basis = quantity.NotStated },
		"negative-dose":    func(in *Input) { in.Feeds[0].Dose.Concentration = -1 },
		"density-unknown":  func(in *Input) { in.Feeds[0].Stock.Product.Density.OK = false },
		"strength-unknown": func(in *Input) { in.Feeds[0].Stock.Product.Strength.OK = false },
		"dry-without-stock": func(in *Input) {
			in.Feeds[0].Stock.Product.Form, in.Feeds[0].Pump = product.Dry, &pump.Pump{Calibration: pump.FromNameplate(9)}
		},
	} {
		in := Input{Day: steady(t, 2, 0, 24), Feeds: []FeedInput{feed}}
		spoil(&in)
		_, err := Make(in)
		n, ok := noted(note.Of(err, "?"), code)
		if !ok || n.Remedy == "" || len(in.Feeds) > 0 && code != "no-flow" && !strings.HasPrefix(n.Message, "alum: ") {
			t.Errorf("%s: %v", code, err)
		}
	}
	light := Input{Day: steady(t, 2, 0, 24), Feeds: []FeedInput{feed}}
	light.Feeds[0].Stock.Product = holding(0.5, quantity.AsAlum14, 0.8)
	if p, err := Make(light); err != nil || !p.Feeds[0].HasVolume || math.Abs(float64(p.Feeds[0].Volume)-20*48/1000.0/0.8) > 1e-9 { // 20 mg/L of 48 m3
		t.Errorf("%v %v", p.Feeds, err)
	}
	dry := Input{Day: steady(t, 2, 0, 24), Feeds: []FeedInput{feed}}
	dry.Feeds[0].Stock.Product.Form = product.Dry
	p, err := Make(dry)
	// 20 mg/L × 2 m3/h = 40 g an hour for a dry feeder.
	if n, ok := noted(p.Notes, "dry-feed"); err != nil || !ok || !strings.Contains(n.Message, "40 g an hour") || p.Feeds[0].Fed || p.Feeds[0].HasVolume {
		t.Errorf("%v %v", err, p.Notes)
	}
}

// TestStockNotes: a stock outside what the catalogue knows, hot water, no tank.
func TestStockNotes(t *testing.T) {
	base := Stock{Product: holding(0.5, quantity.AsActive, 1.1), PerLitre: 5000}
	base.Product.Group = product.Polymer
	base.Product.Dilution = product.Figure[quantity.Concentration]{Low: 1000, High: 5000, Source: "a data sheet", Status: product.Memory}
	hot, warm := quantity.Temperature(40.5), quantity.Temperature(40)
	for _, x := range []struct {
		stock quantity.Concentration
		water *quantity.Temperature
		want  string
	}{{5000, nil, ""}, {1000, &warm, ""}, {5001, nil, "stock-too-strong"}, {999, nil, "stock-too-weak"}, {2000, &hot, "make-up-water-hot"}} {
		f := Feed{FeedInput: FeedInput{Name: "polymer", Stock: base, MakeWater: x.water}, PerLitre: x.stock}
		Plan{}.stockNotes(&f)
		if x.want == "" && len(f.Notes) > 0 || x.want != "" && (len(f.Notes) != 1 || f.Notes[0].Code != x.want) {
			t.Errorf("%v: %v", x.stock, f.Notes)
		}
		if len(f.Notes) > 0 && x.stock != 2000 && !strings.Contains(f.Notes[0].Message, map[string]string{"stock-too-strong": "5.001 g/L", "stock-too-weak": "0.9990 g/L"}[x.want]) {
			t.Errorf("%s", f.Notes[0].Message)
		}
		if x.want == "stock-too-strong" && !strings.Contains(f.Notes[0].Source, "a data sheet, from memory") {
			t.Errorf("%+v", f.Notes[0])
		}
	}
}

// TestLifeAndAgeing: thin polymer goes off within a working day, by its charge.
func TestLifeAndAgeing(t *testing.T) {
	p := product.Product{Group: product.Polymer, Charge: product.Cationic, Life: product.Given[quantity.Time](48, "label"), Ageing: product.Given[quantity.Time](1, "label")}
	anionic := p
	anionic.Charge = product.Anionic
	for _, x := range []struct {
		s    Stock
		want quantity.Time
		aged quantity.Time
	}{
		{Stock{Product: p, PerLitre: 999}, 6, 1}, {Stock{Product: anionic, PerLitre: 999}, 8, 1}, {Stock{Product: p, PerLitre: 1000}, 48, 1},
		{Stock{Product: p}, 48, 0}, {Stock{Product: product.Product{}, PerLitre: 5}, 24, 0},
	} {
		life, from := x.s.LifeOf()
		aged := x.s.Ageing()
		if life != x.want || aged != x.aged || from == "" {
			t.Errorf("%+v: %v (%s), %v", x.s.PerLitre, life, from, aged)
		}
	}
}

// TestSiteHours: the hours of a site, over midnight too.
func TestSiteHours(t *testing.T) {
	hours := func(start, length float64) string {
		f := site.Flow{Start: quantity.Some(quantity.Time(start)), Hours: quantity.Some(quantity.Time(length))}
		return HoursOf(f).String()
	}
	for _, x := range []struct {
		start, length float64
		want          string
	}{{6, 16, "06:00-22:00"}, {0, 24, "00:00-24:00"}, {6, 18, "06:00-24:00"}, {6, 19, "00:00-01:00, 06:00-24:00"}, {24, 5, "00:00-05:00"}, {6, 25, "00:00-24:00"}, {6, 24, "00:00-24:00"}, {6, 23.5, "00:00-05:30, 06:00-24:00"}} {
		if got := hours(x.start, x.length); got != x.want {
			t.Errorf("%g h from %g: %s, want %s", x.length, x.start, got, x.want)
		}
	}
	staff := func(from, till float64) string {
		var s site.Site
		s.Place.From, s.Place.Till = quantity.Some(quantity.Time(from)), quantity.Some(quantity.Time(till))
		h := Staffed(s)
		if h == nil {
			return "always"
		}
		return h.String()
	}
	for _, x := range []struct {
		from, till float64
		want       string
	}{{6, 20, "06:00-20:00"}, {22, 6, "00:00-06:00, 22:00-24:00"}, {20, 0, "20:00-24:00"}, {6, 6, "always"}} {
		if got := staff(x.from, x.till); got != x.want {
			t.Errorf("%g to %g: %s, want %s", x.from, x.till, got, x.want)
		}
	}
}
