package pump

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestNoLess: a line of 0.4 mL/min at each %: the step that feeds no less than the rate, and never past the knob's end.
func TestNoLess(t *testing.T) {
	p := Pump{Calibration: FromNameplate(40), NoLess: true}
	for _, c := range []struct{ rate, setting, gives float64 }{
		{10, 25, 10}, {10.1, 26, 10.4}, {10.3, 26, 10.4}, {10.39, 26, 10.4}, {10.41, 27, 10.8}, {39.9, 100, 40}, {40, 100, 40}, {41, 100,
			40}, {0.5, 2, 0.8},
	} {
		got := p.For(quantity.FeedRate(c.rate))
		near(t, "setting", float64(got.Position.Setting), c.setting, 1e-9)
		near(t, "gives", float64(got.Gives), c.gives, 1e-9)
		near(t, "off", float64(got.Error), c.gives/c.rate-1, 1e-9)
	}
	p.Setting = Knob{Step: 10, High: 35} // whole steps end at 30: 12 mL/min
	near(t, "at its end", float64(p.For(11.9).Position.Setting), 30, 1e-9)
	near(t, "a step up", float64(p.For(9).Position.Setting), 30, 1e-9)
}

// TestDiluteByHand: 40 mL/min at most, so 4 at 10 to 1. 2 mL/min alone: 4/2 x 1.15 = 2.3 times weaker, which runs at 4.6; of a
// stock of 0.5 mg/L too. 1 to 20 mL/min: 4.6 times, but 20 may become 35 at most, 1.75 times, and the least then 4 at 4 times.
func TestDiluteByHand(t *testing.T) {
	p := Pump{Name: "P1", Calibration: FromNameplate(40), Turndown: 10}
	for _, c := range []struct {
		n            Need
		times, stock float64
		remedy       string
	}{
		{Need{Least: 2, Peak: 2, Stock: 23000}, 2.3, 10000,
			"dilute the stock to 10.0 g/L (2.3 times weaker), so that the pump runs at 4.6 mL/min, " +
				"or use a pump head of about 2.3 mL/min"},
		{Need{Least: 2, Peak: 8, Stock: 0.575}, 2.3, 0.25,
			"dilute the stock to 0.000250 g/L (2.3 times weaker), so that the pump runs between 4.6 mL/min " +
				"and 18.4 mL/min, or use a pump head of about 9.1 mL/min"},
		{Need{Least: 2, Peak: 2}, 2.3, 0, "dilute the stock 2.3 times, or use a pump head of about 2.3 mL/min"},
		{Need{Least: 2.5, Peak: 24.8, Stock: 1000}, 1.6, 625, ""},
		// An emulsion of 1000 g/L that is made up to 10 at most: a hundred times weaker or not at all; 0.2 x 100 = 20 is within 40, 2 x 100 not.
		{Need{Least: 0.2, Peak: 0.2, Stock: 1e6, MadeUp: 1e4}, 100, 1e4,
			"dilute the stock to 10.0 g/L (100 times weaker), so that the pump runs at 20 mL/min, or use a pump head of about 0.23 mL/min"},
		{Need{Least: 2, Peak: 2, Stock: 1e6, MadeUp: 1e4}, 0, 0, "use a pump head of about 2.3 mL/min"},
		{Need{Least: 2, Peak: 2, Stock: 1e4, MadeUp: 1e4}, 2.3, 1e4 / 2.3, ""},
	} {
		r := p.Fit(c.n)
		near(t, "times", r.Times, c.times, 1e-9)
		near(t, "stock", float64(r.Stock), c.stock, 1e-9)
		if r.Reach != TooLittle || r.Pumps != 1 || len(r.Notes) != 1 || c.remedy != "" && r.Notes[0].Remedy != c.remedy {
			t.Errorf("%+v", r)
		}
	}
	for _, c := range []struct{ name, want string }{{"", "most such pumps"}, {"pump", "most such pumps"}, {"P1", "most pumps like pump P1"}, {"pump 2",
		"most pumps like pump 2"}, {"Hose pump", "most pumps like Hose pump"}} {
		if got := (Pump{Name: c.name}).alike(); got != c.want {
			t.Errorf("%q: %q", c.name, got)
		}
	}
}

// TestPumpsByWholes: 40 mL/min each at 87.5 % is 35: 70 mL/min are two pumps, 70.1 three; and a stock stronger than the neat product is
// none.
func TestPumpsByWholes(t *testing.T) {
	p := Pump{Calibration: FromNameplate(40), Turndown: 10}
	for peak, pumps := range map[quantity.FeedRate]int{41: 2, 70: 2, 70.1: 3, 105: 3, 106: 4} {
		if r := p.Fit(Need{Peak: peak}); r.Pumps != pumps || r.Reach != TooMuch {
			t.Errorf("%v: %d pumps", peak, r.Pumps)
		}
	}
	// 70 to 35 takes twice the strength: of 100 mg/L 200, which neat product of 200 is and of 199 is not
	for neat, stock := range map[quantity.Concentration]float64{200: 200, 199: 0, 0.5: 0} {
		near(t, "stock", float64(p.Fit(Need{Peak: 70, Stock: 100, Neat: neat}).Stock), stock, 1e-9)
	}
	near(t, "weak stock", float64(p.Fit(Need{Peak: 70, Stock: 0.4, Neat: 9}).Stock), 0.8, 1e-9)
}

// TestSmallRates: limits at nought are nought. A pump of 4 mL/min, so 0.4 at 10 to 1, with its knob in steps of 1 %.
func TestSmallRates(t *testing.T) {
	p := Pump{Calibration: FromNameplate(4), Turndown: 10}
	for rate, reach := range map[quantity.FeedRate]Reach{0: Within, 0.1: TooLittle, 0.36: TooLittle, 0.4: Within, 0.6: Within} {
		if got := p.For(rate); got.Reach != reach {
			t.Errorf("%v: %+v", rate, got)
		}
	}
	says(t, p.For(0.3).Notes, "pump-too-large", "0.3 mL/min is below what the pump feeds steadily (0.4 mL/min, a turndown of 10 to 1)", "")
	// fed with nothing there is no accuracy to speak of; half of full scale is fed twice as inaccurately
	p.OfScale = 0.01
	near(t, "standing still", float64(p.For(0).Accuracy), 0, 0)
	near(t, "at a fifth", float64(p.For(0.8).Accuracy), 0.05, 1e-12)
	near(t, "at 0.4", float64(p.For(0.4).Accuracy), 0.1, 1e-12)
	if low, high, ok := p.Calibration.Band(Position{Setting: 50}); ok || low != 0 || high != 0 {
		t.Error("a nameplate has no band")
	}
	if off, n := (Care{}).Check(p.Calibration, Reading{Position: Position{Setting: 10},
		Rate: 0.41}); math.Abs(float64(off)-0.025) > 1e-9 || n.Code != "check-good" {
		t.Errorf("%v, %v", off, n)
	}
	if off, n := (Care{}).Check(p.Calibration, Reading{Position: Position{Setting: 0}, Rate: 0.4}); off != 0 || n.Code != "check-at-zero" {
		t.Errorf("%v, %v", off, n)
	}
	for off, want := range map[quantity.Fraction]string{0: "0 % high", 0.02: "2.0 % high", -0.02: "2.0 % low"} {
		if got := offBy(off).String(); got != want {
			t.Errorf("%v: %q, want %q", off, got, want)
		}
	}
}

// TestLeaveOne: one rate is enough to leave a stroke for; 18 mL/min of 0.01 n s, tested from stroke 40 and speed 20: the shortest stroke.
func TestLeaveOne(t *testing.T) {
	pl := plane{d: 0.01, speed: 1, stroke: 5, topN: 100, topS: 80, testN: [2]float64{20, 80}, testS: [2]float64{40, 80}}
	p := pl.pump(t, 0)
	near(t, "one rate", float64(p.Leave(18).Stays), 40, 0) // at 45 % speed
	// 62 mL/min takes the longest stroke, 77.5 % of speed at 80, as 82.7 at 75 was not tested
	near(t, "the longest", float64(p.Leave(62).Stays), 80, 0)
	// the peak at 90 % of speed just fits: 36 at stroke 40
	near(t, "for the peak", float64(p.StrokeFor(36)), 40, 0)
	near(t, "more than that", float64(p.StrokeFor(36.1)), 45, 0)
}

// TestNoLessSaysNothingOfItsOwnStep, by hand on a line of 2 mL/min at each %: 30.1 stands at 15.05 %, so 16 % feeds 32, 6.3 % over, and 15 % would feed
// 30, 0.3 % under: the step is meant. So is 22 for 20.1, 9.5 % over; 20 for 18.1 is 10.5 % over: there half a step is more than a twentieth, and the knob
// is coarse. Without the rule 15 % it is, and where the nearest feeds more than enough it stays.
func TestNoLessSaysNothingOfItsOwnStep(t *testing.T) {
	p := Pump{Calibration: FromNameplate(200)}
	if c := p.For(30.1); c.Position.Setting != 15 || c.Raised {
		t.Errorf("%+v", c)
	}
	p.NoLess = true
	c := p.For(30.1)
	near(t, "setting", float64(c.Position.Setting), 16, 1e-9)
	near(t, "over", float64(c.Error), 32/30.1-1, 1e-9)
	if !c.Raised || c.Coarse() || len(c.Notes) > 0 || c.Reach != Within {
		t.Errorf("%+v", c)
	}
	if c = p.For(29.9); c.Position.Setting != 15 || c.Raised || len(c.Notes) > 0 {
		t.Errorf("%+v", c)
	}
	if c = p.For(20.1); c.Position.Setting != 11 || c.Coarse() || len(c.Notes) > 0 {
		t.Errorf("%+v", c)
	}
	if c = p.For(18.1); c.Position.Setting != 10 || !c.Coarse() || len(c.Notes) != 1 || c.Notes[0].Code != "knob-coarse" {
		t.Errorf("%+v", c)
	}
	p.Stays, p.Calibration = 50, FromNameplateOfTwo(400) // at half the stroke as before
	if c = p.For(30.1); c.Position != (Position{16, 50}) || !c.Raised || len(c.Notes) > 0 {
		t.Errorf("%+v", c)
	}
	if c = p.AtStroke(30.1, 50); c.Position.Setting != 16 {
		t.Errorf("%+v", c)
	}
}
