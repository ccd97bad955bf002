package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// fed plans one feed of 20 mg/L as product from 100 g/L: 0.2 L of stock for each
// m3, 6.667 mL/min at 2 m3/h, 3.333 at 1 and 10 at 3.
func fed(t *testing.T, day flow.Day, change func(*FeedInput)) Feed {
	t.Helper()
	f := FeedInput{Name: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000},
		PumpAt: note.Place{Cell: "B7"}, StockAt: note.Place{Cell: "B8"}, BatchAt: note.Place{Cell: "B9"}, Work: 0.25}
	f.Life.At.Cell = "B10"
	change(&f)
	p, err := Make(Input{Day: day, Start: 6, Feeds: []FeedInput{f}})
	if err != nil {
		t.Fatal(err)
	}
	return p.Feeds[0]
}

// TestPumpCannotFollow: which end of the flow a pump cannot feed, whether that stops
// the plan, and which of the heads at hand would do: at least 10 mL/min, and a tenth
// of it no more than 3.333.
func TestPumpCannotFollow(t *testing.T) {
	wide := steady(t, 2, 0, 24).WithRange(1, 3)
	low, err := pump.Fit([]pump.Reading{{Position: pump.Position{Setting: 20}, Rate: 8}, {Position: pump.Position{Setting: 50}, Rate: 14}, {Position: pump.Position{Setting: 80}, Rate: 20}}) // 4 mL/min at nothing
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		what    string
		pump    pump.Pump
		heads   []quantity.FeedRate
		inRange bool
		codes   string
		level   note.Level
		says    string
	}{
		{"wide enough", *nameplate(12), nil, true, "not-calibrated", note.Caution, "nameplate"},
		{"too small at the peak", *nameplate(8), []quantity.FeedRate{9.9, 33.4, 10.1, 20}, false, "not-calibrated pump-too-small", note.Error, "; the head of 0.606 L/h that you have would do"},
		{"a head of ten times the least", *nameplate(8), []quantity.FeedRate{33.3}, false, "not-calibrated pump-too-small", note.Error, "; the head of 2.00 L/h that you have would do"},
		{"no head will do", *nameplate(8), []quantity.FeedRate{9.9, 33.4}, false, "not-calibrated pump-too-small", note.Error, "or 2 pumps"},
		{"too small throughout", *nameplate(5), nil, false, "not-calibrated pump-too-small", note.Error, "10 mL/min is more than"},
		{"too large at the least", pump.Pump{Calibration: nameplate(50).Calibration, Turndown: 10}, nil, false, "not-calibrated feed-too-small", note.Caution, "the least feed of 3.333 mL/min is below"},
		{"below what most feed evenly", *nameplate(50), nil, true, "turndown-assumed", note.Caution,
			"10 to 1, which nobody gave); the setting comes from the nameplate;"},
		{"below the foot of its line", pump.Pump{Calibration: low, Turndown: 1000}, nil, false, "pump-too-large", note.Caution, "3.333 mL/min is below"},
	} {
		f := fed(t, wide, func(f *FeedInput) { f.Pump, f.Heads = &x.pump, x.heads })
		var codes []string
		var last note.Note
		for _, n := range f.Notes {
			if n.Code == "flow-swings" || n.Code == "no-tank" {
				continue
			}
			codes, last = append(codes, n.Code), n
			if n.Cell != "B7" {
				t.Errorf("%s: %s at %q", x.what, n.Code, n.Cell)
			}
		}
		if f.Setting.InRange != x.inRange || strings.Join(codes, " ") != x.codes || last.Level != x.level || !strings.Contains(last.Message+last.Remedy, x.says) {
			t.Errorf("%s: in range %v: %v", x.what, f.Setting.InRange, f.Notes)
		}
		if !x.inRange && x.what != "below the foot of its line" && !strings.HasPrefix(last.Message, "alum: ") {
			t.Errorf("%s: %s", x.what, last.Message)
		}
	}
	// At one flow of 2 m3/h the feed is 6.667 mL/min and a step of 20 % gives 8 of 20: 20 % too much; at 1.9, 6.333, it is 26 %, and there is no
	// setting: at most 0.875 x 20 / 6.333 = 2.8 times weaker, 17.5 mL/min.
	steps := func(flow quantity.Flow) Feed {
		return fed(t, steady(t, flow, 0, 24), func(f *FeedInput) {
			f.Pump = nameplate(20)
			f.Pump.Setting.Step = 20
		})
	}
	none := steps(1.9)
	if n, ok := noted(none.Notes, "knob-too-coarse"); !ok || n.Cell != "B7" || none.Setting.Stands() || !strings.Contains(n.Message, "at the better one, 40 %, it feeds 8 mL/min and the dose is 26 % high") ||
		!strings.Contains(n.Remedy, "(2.8 times weaker), so that the pump runs at 17.5 mL/min, or use a pump head of about 7.2 mL/min") {
		t.Errorf("%v", none.Notes)
	}
	coarse := steps(2)
	if n, ok := noted(coarse.Notes, "knob-coarse"); !ok || n.Cell != "B7" || !coarse.Setting.InRange {
		t.Errorf("%v", coarse.Notes)
	}
	// At 0.35 m3/h of a pump of 20 the feed of 1.167 mL/min is below a tenth, and 5 % give 1, 14.3 % too little: one caution
	// has all three, and to dilute 2 / 1.167 x 1.15 = 1.97 times is what it begins with.
	small := fed(t, steady(t, 0.35, 0, 24), func(f *FeedInput) {
		f.Pump = nameplate(20)
		f.Pump.Setting.Step = 5
	})
	n, ok := noted(small.Notes, "turndown-assumed")
	if !ok || !strings.Contains(n.Message, "(2 mL/min, a turndown of 10 to 1, which nobody gave); the setting, 5 %, feeds 1 mL/min: the dose is 14 % low; the setting comes") ||
		!strings.Contains(n.Remedy, "to 50.7 g/L (2.0 times weaker)") || !strings.Contains(n.Remedy, "; take drawdown readings at three settings") {
		t.Errorf("%v", small.Notes)
	}
	for _, code := range []string{"knob-coarse", "not-calibrated"} {
		if _, twice := noted(small.Notes, code); twice {
			t.Errorf("%s beside it: %v", code, small.Notes)
		}
	}
}

// TestStrongestStock: what a stock may be made up to at most, as the pump's remedy
// has it: the neat liquid, or the catalogue's limit of a powder.
func TestStrongestStock(t *testing.T) {
	day := steady(t, 2, 0, 24)
	for _, x := range []struct {
		what   string
		change func(*product.Product)
		says   string
	}{
		// 6.667 mL/min from a pump of 2 that is to run at 87.5 %: 3.81 times as strong, 381 g/L; neat is 1250, a limit of 200 too weak.
		{"a liquid", func(*product.Product) {}, "make the stock 381 g/L (3.8 times stronger)"},
		{"a powder that keeps at 400 g/L", func(p *product.Product) { p.Form, p.Dilution.High = product.Dry, 400000 }, "make the stock 381 g/L (3.8 times stronger)"},
		{"a powder that does not", func(p *product.Product) { p.Form, p.Dilution.High = product.Dry, 200000 }, "even neat product is not strong enough"},
	} {
		f := fed(t, day, func(f *FeedInput) {
			f.Pump = nameplate(2)
			x.change(&f.Stock.Product)
		})
		if n, ok := noted(f.Notes, "pump-too-small"); !ok || !strings.Contains(n.Remedy, x.says) {
			t.Errorf("%s: %v", x.what, f.Notes)
		}
	}
}

// TestSwingsByHand: 2 m3/h at the hours that are known, more and less at others. A
// tenth either way is no swing.
func TestSwingsByHand(t *testing.T) {
	for _, x := range []struct {
		least, peak quantity.Flow
		says        string
	}{
		{1.82, 2.19, ""}, {1.81, 2.1, "from 19 mg/L to 22.1 mg/L as product"}, {1.82, 2.21, "from 18.1 mg/L to 22 mg/L as product"}, {1, 2.1, "from 19 mg/L to 40 mg/L as product"},
		{1.67, 2.39, "from 16.7 mg/L to 24 mg/L as product"}, {1.67, 2.41, "from 16.6 mg/L to 24 mg/L as product"}, {1.66, 2.1, "from 19 mg/L to 24.1 mg/L as product"},
	} {
		f := fed(t, steady(t, 2, 0, 24).WithRange(x.least, x.peak), func(f *FeedInput) { f.Pump = nameplate(20) })
		n, ok := noted(f.Notes, "flow-swings")
		if ok != (x.says != "") || !strings.Contains(n.Message, x.says) {
			t.Errorf("%v to %v: %v", x.least, x.peak, n)
		}
		if far := x.least < 2/1.2 || x.peak >= 2*1.2; ok && (n.Level == note.Caution) != far { // by a fifth a dose is off anyway
			t.Errorf("%v to %v: %v", x.least, x.peak, n.Level)
		}
		f = fed(t, steady(t, 2, 0, 24).WithRange(x.least, x.peak), func(*FeedInput) {})
		if n, ok := noted(f.Notes, "flow-swings"); ok != (x.says != "") || ok && (!strings.HasPrefix(n.Message, "alum: feeding by hand is for the flow of the hour") || !strings.Contains(n.Message, x.says)) {
			t.Errorf("no pump: %v", f.Notes)
		}
	}
	// Swings that the plan knows by the hour are none: 10 × 2/4 would be the lowest.
	f := fed(t, twoFlows(t), func(f *FeedInput) { f.Pump = nameplate(20) })
	if n, ok := noted(f.Notes, "flow-swings"); ok {
		t.Errorf("%v", n)
	}
	// A dose of nothing is off by no factor.
	f = fed(t, steady(t, 2, 0, 24), func(f *FeedInput) { f.Dose.Concentration, f.High = 0, 5 })
	if r := f.Range; r.Known {
		t.Errorf("%+v", r)
	}
}

// TestStockCannotBeKept: 9.6 L of stock a day (0.2 L/m3 × 48 m3) that no batches
// supply, and what would, rounded up to what can be bought or asked for.
func TestStockCannotBeKept(t *testing.T) {
	day := steady(t, 2, 0, 24)
	tank := func(litres quantity.Volume) *Vessel {
		return &Vessel{Name: "day tank", Volume: litres, Usable: 0.8, At: note.Place{Cell: "B11"}}
	}
	mixer := func(litres quantity.Volume) *Vessel {
		return &Vessel{Name: "mixer", Volume: litres, Usable: 0.5, At: note.Place{Cell: "B12"}}
	}
	for _, x := range []struct {
		what       string
		change     func(*FeedInput)
		code, cell string
		says, do   []string
	}{
		// At 0.4 L/h ageing for 2 h and 15 min of work mean that 0.9 L are drawn on the way.
		{"ages in the tank it is drawn from", func(f *FeedInput) {
			f.Tank, f.Ageing, f.Life = tank(20), quantity.Some[quantity.Time](2), quantity.Some[quantity.Time](24)
		},
			"stock-schedule", "B8", []string{"9.6 L a day, tank 16 L, ageing 2 h, life 24 h, as stated"}, []string{"age it in a make-up tank of its own, about 16 L usable"}},
		// With a twentieth to spare 4.8 L last 4.8/0.42 = 11.43 h: from 07:45 until 19:10, when somebody has to be there.
		// Between 06:00 and 08:00 a tank of 4.8 L can be filled twice, at 06:00 and once more: 22 h × 0.4 L/h = 8.8 L have to stand there at 07:45.
		{"a tank too small for the night", func(f *FeedInput) { f.Tank, f.From, f.Till = tank(6), 6, 8 },
			"tank-too-small", "B11", []string{"tank 4.8 L", "life 24 h, common practice, no source"}, []string{"use a tank of at least 12 L", "have somebody to make it up from 19:10 to 08:00"}},
		// 16 L last 40 h; free, the plan makes 9.6 L a day.
		{"a batch that outlives its stock", func(f *FeedInput) { f.Tank, f.Batch = tank(26), 20 },
			"stock-expires", "B10", []string{"9.6 L a day, tank 20.8 L", "life 24 h"}, []string{"leave the batch volume free (it is 20 L), or use a stock that keeps at least 48 h"}},
		// What is made by 22:00 feeds until the next is made at 06:15.
		{"a life of an hour", func(f *FeedInput) { f.Tank, f.From, f.Till, f.Life = tank(20), 6, 22, quantity.Some[quantity.Time](1) },
			"stock-expires", "", []string{"life 1 h"}, []string{"use a stock that keeps at least 8.25 h"}},
		{"a batch over the tank", func(f *FeedInput) { f.Tank, f.Batch = tank(20), 16.4 },
			"tank-too-small", "B11", []string{"a batch of 16.4 L does not go into day tank, which holds 16 L usable"}, []string{"at most 16 L, or use a tank of at least 20.5 L"}},
		{"a batch over the make-up tank", func(f *FeedInput) { f.Tank, f.Mix, f.Batch = tank(20), mixer(20), 12 },
			"tank-too-small", "B12", []string{"does not go into mixer, which holds 10 L usable"}, []string{"at most 10 L, or use a tank of at least 24 L"}},
		{"a batch over the tank beside a large make-up tank", func(f *FeedInput) { f.Tank, f.Mix, f.Batch = tank(10), mixer(100), 12 },
			"tank-too-small", "B11", []string{"does not go into day tank, which holds 8 L usable"}, []string{"at most 8 L, or use a tank of at least 15 L"}},
	} {
		f := fed(t, day, x.change)
		l := f.Notes.Only(note.Error)
		if len(l) != 1 || f.Batches != nil || f.Every != 0 {
			t.Errorf("%s: %d batches, %v", x.what, len(f.Batches), f.Notes)
			continue
		}
		n := l[0]
		if x.code != "" && n.Code != x.code || x.cell != "" && n.Cell != x.cell {
			t.Errorf("%s: %s at %q", x.what, n.Code, n.Cell)
		}
		for _, s := range x.says {
			if !strings.Contains(n.Message, s) {
				t.Errorf("%s: %q does not say %q", x.what, n.Message, s)
			}
		}
		for _, s := range x.do {
			if !strings.Contains(n.Remedy, s) {
				t.Errorf("%s: %q does not say %q", x.what, n.Remedy, s)
			}
		}
	}
	// What no single change helps: an hour of life and an hour of ageing that is longer than the shift.
	f := fed(t, day, func(f *FeedInput) {
		f.Tank, f.Work, f.From, f.Till, f.Life = tank(0), 4, 6, 8, quantity.Some[quantity.Time](1)
	})
	if n, ok := noted(f.Notes, "stock-schedule"); !ok || !strings.Contains(n.Remedy, "use a larger tank, a stock that keeps longer and more hours with somebody there, all of them") {
		t.Errorf("%v", f.Notes)
	}
	if f = fed(t, day, func(f *FeedInput) { f.Tank, f.Batch, f.Life = tank(20), 16, quantity.Some[quantity.Time](40) }); len(f.Batches) == 0 {
		t.Errorf("a batch that fills the tank: %v", f.Notes)
	}
	if f = fed(t, day, func(f *FeedInput) { f.Stock.PerLitre, f.Tank = 0, tank(20) }); f.Batches != nil || len(f.Notes) != 0 {
		t.Errorf("a neat product is made up: %v", f.Notes)
	}
}
