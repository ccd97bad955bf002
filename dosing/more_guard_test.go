package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestDrawsOverDays: 2 L/h from 06:00 to 16:00, 20 L a day, from any day of the plan: so many whole days, then hours of running.
func TestDrawsOverDays(t *testing.T) {
	d := demand{day: steady(t, 2, 6, 16), per: 0.001}
	for _, x := range []struct{ from, litres, until, next, last float64 }{
		{6, 45, 6 + 48 + 2.5, 6, -8}, {10, 45, 10 + 48 + 2.5, 10, 10}, {15, 5, 31.5, 15, 15}, {6, 40, 40, 6, -8}, {6, 20, 16, 6, -8}, {30,
			45, 30 + 50.5, 30, 16}, {54.5, 5, 57, 54.5, 54.5},
		{-10, 5, 6.5, -10, -10}, {100, 1, 102.5, 102, 88}, {0, 0.5, 6.25, 6, -8}, {20, 20, 40, 30, 16}, {6, 0, 6, 6, -8}, {16, 2, 31, 30,
			16}, {6, 60.5, 78.25, 6, -8},
	} {
		near(t, "until", float64(d.until(quantity.Time(x.from), quantity.Volume(x.litres))), x.until, 1e-6)
		near(t, "next", float64(d.next(quantity.Time(x.from))), x.next, 1e-6)
		near(t, "last", float64(d.last(quantity.Time(x.from))), x.last, 1e-6)
		near(t, "drawn by then", float64(d.between(quantity.Time(x.from), quantity.Time(x.until))), x.litres, 1e-6)
	}
	near(t, "last, mid-run two days on", float64(d.last(60)), 60, 1e-9)
	near(t, "last, at night", float64(d.last(71)), 64, 1e-9)
	if got := (demand{day: steady(t, 2, 6, 16)}).until(6, 1); !math.IsInf(float64(got), 1) {
		t.Errorf("nothing is drawn, yet %v", got)
	}
}

// TestPumpsOfASite: what a site tells of a pump: two drawdowns make a line, of one the nameplate counts where there is one; a turn of 0.5
// mL at 100 rpm is 50 mL/min, and 5 at least make a turndown of 10.
func TestPumpsOfASite(t *testing.T) {
	rate := func(v quantity.FeedRate) quantity.Known[quantity.FeedRate] { return quantity.Some(v) }
	reading := func(at, gives float64) site.Drawdown {
		return site.Drawdown{Speed: quantity.Some(site.Knob{V: at}), Rate: rate(quantity.FeedRate(gives))}
	}
	turns := site.Pump{PerTurn: quantity.Some[quantity.Volume](0.0005), Scale: quantity.Some(site.Knob{V: 100, Unit: "rpm"}),
		Least: rate(5)}
	for _, x := range []struct {
		what     string
		p        site.Pump
		readings []site.Drawdown
		shape    pump.Shape
		most     float64
		turndown float64
		code     string
	}{
		{"nameplate", site.Pump{Max: rate(30)}, nil, pump.Nominal, 30, 0, ""}, {"by the turn", turns, nil, pump.Nominal, 50, 10, ""},
		{"nameplate before turns", func() site.Pump { p := turns; p.Max = rate(60); return p }(), nil, pump.Nominal, 60, 12, ""},
		{"its own turndown", func() site.Pump { p := turns; p.Turndown = quantity.Some(20.0); return p }(), nil, pump.Nominal, 50, 20, ""},
		{"two drawdowns", site.Pump{Max: rate(60)}, []site.Drawdown{reading(20, 10), reading(80, 40)}, pump.Straight, 50, 0, ""},
		{"one and a nameplate", site.Pump{Max: rate(60)}, []site.Drawdown{reading(20, 10)}, pump.Nominal, 60, 0, "reading-left-out"},
	} {
		got, err := PumpOf(x.p, x.readings)
		if err != nil || got.Calibration.Shape != x.shape || math.Abs(float64(got.Capacity())-x.most) > 1e-9 ||
			math.Abs(got.Turndown-x.turndown) > 1e-9 {
			t.Errorf("%s: %+v, %v", x.what, got, err)
			continue
		}
		if _, said := noted(got.Calibration.Notes, "reading-left-out"); said != (x.code != "") {
			t.Errorf("%s: %v", x.what, got.Calibration.Notes)
		}
	}
	if _, err := PumpOf(site.Pump{}, []site.Drawdown{reading(20, 10)}); err == nil || strings.Contains(err.Error(), "largest rate") {
		t.Errorf("one reading, and no nameplate: %v", err)
	}
	if _, err := PumpOf(site.Pump{Name: quantity.Some("P1")}, nil); err == nil || !strings.Contains(err.Error(),
		"the largest rate of the pump P1") {
		t.Errorf("%v", err)
	}
}

// TestTankThatIsCleaned: the tank that is named, else the first of animals; a site cleans a tank where water passes again and again and
// something is said of it.
func TestTankThatIsCleaned(t *testing.T) {
	tank := func(name, use string) site.Tank {
		return site.Tank{Name: quantity.Some(name), Use: quantity.Some(use)}
	}
	s := site.Site{Tanks: []site.Tank{tank("hall", site.TankAnimals), tank("stock", ""), tank("pond", site.TankAnimals)}}
	for named, want := range map[string]string{"": "hall", "pond": "pond", "stock": "stock", "moon": "hall"} {
		s.Solids.Tank.V = named
		if got, ok := TankToClean(s); !ok || got.Name.V != want {
			t.Errorf("%q: %q", named, got.Name.V)
		}
	}
	s.Solids.Tank.V = ""
	s.Tanks = s.Tanks[1:2]
	if got, ok := TankToClean(s); ok {
		t.Errorf("%q", got.Name.V)
	}
	for _, x := range []struct {
		passes string
		change func(*site.Site)
		want   bool
	}{
		{site.Batch, func(*site.Site) {}, false}, {site.Batch, func(s *site.Site) { s.Solids.Tank = quantity.Some("hall") }, true}, {"",
			func(s *site.Site) { s.Solids.Tank = quantity.Some("hall") }, false},
		{site.Batch, func(s *site.Site) { s.Calendar = []site.Day{{}, {CleanUp: quantity.Some[quantity.Volume](1)}} }, true}, {site.Batch,
			func(s *site.Site) { s.Calendar = []site.Day{{}} }, false},
	} {
		var s site.Site
		s.Place.Passes = quantity.Some(x.passes)
		x.change(&s)
		if CleansTank(s) != x.want {
			t.Errorf("%q: %+v cleans a tank: %v", x.passes, s.Solids.Tank, !x.want)
		}
	}
}

// TestAgeOfATest: from a quarter of a year on it is of another season, from a year on old; a test of tomorrow, or of no day, is not judged.
func TestAgeOfATest(t *testing.T) {
	today := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	for days, want := range map[int]string{0: "", 91: "", 92: "bench-other-season", 365: "bench-other-season", 366: "bench-old", -1: ""} {
		s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum"}}}
		s.Meta = append(s.Meta, jartest.Fact{Name: "date", Value: today.AddDate(0, 0, -days).Format("2006-01-02")})
		f := Feed{FeedInput: FeedInput{Name: "alum", Jars: &Jars{Series: s}}}
		got := ""
		for _, n := range BenchAge([]FeedInput{f.FeedInput, f.FeedInput}, site.Site{}, today) {
			got += n.Code
		}
		if got != want {
			t.Errorf("%d days: %q, want %q", days, got, want)
		}
	}
}

// TestFedByTheHour: a hand gives another amount where the flow moves by more than 5 %: 20 mg/L of product for 2 m3/h are 0.96 kg a day,
// for 4 m3/h 1.92.
func TestFedByTheHour(t *testing.T) {
	p := Plan{Input: Input{Day: dayOf(t, segment(0, 6, 2), segment(6, 12, 2.09), segment(12, 18, 4), segment(18, 24, 0.5))}}
	f := Feed{AsProduct: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}}
	got := p.withoutPump(0, f, flow.Span{From: 0, To: 24})
	if len(got) != 3 {
		t.Fatalf("%+v", got)
	}
	for i, want := range [][2]float64{{0, 0.96}, {12, 1.92}, {18, 0.24}} {
		near(t, "at", float64(got[i].At), want[0], 1e-9)
		near(t, "product", float64(got[i].Product), want[1], 1e-9)
	}
	if got = p.withoutPump(0, f, flow.Span{From: 7, To: 13}); len(got) != 2 || got[0].At != 7 || got[1].At != 12 {
		t.Errorf("%+v", got)
	}
	var polymer product.Product
	polymer.Group = product.Polymer
	if (Feed{FeedInput: FeedInput{Stock: Stock{Product: polymer}}}).turn() != 1 {
		t.Error("polymer comes last")
	}
}
