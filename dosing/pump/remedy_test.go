package pump

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestRemedies: a nameplate of 100 mL/min, least 10 at 10 to 1, loaded to 87.5 %; each remedy by hand.
func TestRemedies(t *testing.T) {
	pump := Pump{Name: "P1", Calibration: FromNameplate(100), Turndown: 10}
	const small, large, wide = "feed-too-small", "feed-too-large", "range-too-wide"
	for _, c := range []struct {
		need            Need
		reach           Reach
		stock, times    float64 // g/L
		head            float64
		pumps           int
		code, say, help string
	}{
		// Least up to 1.15 of the turndown: 11.5/2 = 5.75 weaker; head 10/0.875 = 11.43.
		{Need{Least: 2, Peak: 10, Stock: 100e3}, TooLittle, 100 / 5.75, 5.75, 11.4286, 1, small,
			"the least feed of 2 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock to 17.4 g/L (5.8 times weaker), so that the pump runs between 11.5 mL/min and 57.5 mL/min, or use a pump head of about 11 mL/min"},
		{Need{Least: 2, Peak: 10}, TooLittle, 0, 5.75, 11.4286, 1, small,
			"the least feed of 2 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock 5.8 times, or use a pump head of about 11 mL/min"},
		// The peak does not allow 1.15: twice is the least that helps, and 98 the most it leaves.
		{Need{Least: 5, Peak: 49, Stock: 80e3}, TooLittle, 40, 2, 56, 1, small,
			"the least feed of 5 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock to 40.0 g/L (2.0 times weaker), so that the pump runs between 10 mL/min and 98 mL/min, or use a pump head of about 56 mL/min"},
		// It allows a little more than twice: 87.5/42 = 2.0833.
		{Need{Least: 5, Peak: 42, Stock: 80e3}, TooLittle, 38.4, 87.5 / 42, 48, 1, small,
			"the least feed of 5 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock to 38.4 g/L (2.1 times weaker), so that the pump runs between 10.42 mL/min and 87.5 mL/min, or use a pump head of about 48 mL/min"},
		// Just ten to one, as the pump itself: not too wide.
		{Need{Least: 5, Peak: 50, Stock: 80e3}, TooLittle, 40, 2, 57.1429, 1, small,
			"the least feed of 5 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock to 40.0 g/L (2.0 times weaker), so that the pump runs between 10 mL/min and 100 mL/min, or use a pump head of about 57 mL/min"},
		// Below 1 mL/min.
		{Need{Least: 0.5, Peak: 2, Stock: 80e3}, TooLittle, 80 / 23.0, 23, 2.28571, 1, small,
			"the least feed of 0.5 mL/min is below what pump P1 feeds steadily (10 mL/min)",
			"dilute the stock to 3.48 g/L (23 times weaker), so that the pump runs between 11.5 mL/min and 46 mL/min, or use a pump head of about 2.3 mL/min"},
		// 160/87.5 = 1.829 stronger or as many pumps, head 160/0.875.
		{Need{Least: 60, Peak: 160, Stock: 100e3, Neat: 1300e3}, TooMuch, 182.857, 87.5 / 160, 182.857, 2, large,
			"the peak feed of 160 mL/min is more than pump P1 gives (100 mL/min)",
			"make the stock 183 g/L (1.8 times stronger), use a pump head of about 180 mL/min, or 2 pumps"},
		// No stronger than the least allows: 10/10.4.
		{Need{Least: 10.4, Peak: 103, Stock: 100e3, Neat: 1300e3}, TooMuch, 104, 10 / 10.4, 117.714, 2, large,
			"the peak feed of 103 mL/min is more than pump P1 gives (100 mL/min)",
			"make the stock 104 g/L (1.0 times stronger), use a pump head of about 120 mL/min, or 2 pumps"},
		// Neat product is just strong enough, then not.
		{Need{Least: 60, Peak: 175, Stock: 100e3, Neat: 200e3}, TooMuch, 200, 0.5, 200, 2, large,
			"the peak feed of 175 mL/min is more than pump P1 gives (100 mL/min)",
			"make the stock 200 g/L (2.0 times stronger), use a pump head of about 200 mL/min, or 2 pumps"},
		{Need{Least: 60, Peak: 175, Stock: 100e3, Neat: 190e3}, TooMuch, 0, 1, 200, 2, large,
			"the peak feed of 175 mL/min is more than pump P1 gives (100 mL/min)",
			"even neat product is not strong enough: use a pump head of about 200 mL/min, or 2 pumps"},
		// Fed neat already; or the strength is not known; or the least is not.
		{Need{Least: 60, Peak: 176, Stock: 200e3, Neat: 200e3}, TooMuch, 0, 1, 201.143, 3, large,
			"the peak feed of 176 mL/min is more than pump P1 gives (100 mL/min)", "use a pump head of about 200 mL/min, or 3 pumps"},
		{Need{Least: 60, Peak: 176, Neat: 200e3}, TooMuch, 0, 1, 201.143, 3, large,
			"the peak feed of 176 mL/min is more than pump P1 gives (100 mL/min)", "use a pump head of about 200 mL/min, or 3 pumps"},
		{Need{Peak: 175, Stock: 50e3, Neat: 1300e3}, TooMuch, 100, 0.5, 200, 2, large,
			"the peak feed of 175 mL/min is more than pump P1 gives (100 mL/min)",
			"make the stock 100 g/L (2.0 times stronger), use a pump head of about 200 mL/min, or 2 pumps"},
		// √(2 × 150)/0.875 = 19.8 for the low hours.
		{Need{Least: 2, Peak: 150, Stock: 100e3}, TooMuch, 0, 1, 171.429, 2, wide,
			"the feed goes from 2 mL/min to 150 mL/min, 75 to 1; pump P1 can do 10 to 1",
			"use two pumps, one of about 20 mL/min for the low hours and one of about 170 mL/min for the peak, or even out the flow"},
		{Need{Least: 0.5, Peak: 80, Stock: 100e3}, TooLittle, 0, 1, 91.4286, 2, wide,
			"the feed goes from 0.5 mL/min to 80 mL/min, 160 to 1; pump P1 can do 10 to 1",
			"use two pumps, one of about 7.2 mL/min for the low hours and one of about 91 mL/min for the peak, or even out the flow"},
	} {
		r := pump.Fit(c.need)
		if r.Reach != c.reach || r.Pumps != c.pumps {
			t.Errorf("%+v: reach %v, %d pumps", c.need, r.Reach, r.Pumps)
		}
		near(t, "stock", r.Stock.In("g/L"), c.stock, 1e-3)
		near(t, "times", r.Times, c.times, 1e-9)
		near(t, "head", float64(r.Head), c.head, 1e-3)
		says(t, r.Notes, c.code, c.say, c.help)
	}
	for _, n := range []Need{{Least: 10, Peak: 100}, {Peak: 100}, {Peak: 5}, {Least: 10, Peak: 10}} {
		if r := pump.Fit(n); r.Reach != Within || r.Times != 1 || r.Pumps != 1 || r.Head != 0 || len(r.Notes) != 0 {
			t.Errorf("%+v fits: %+v", n, r)
		}
	}
}

// TestRemedyOfWideTurndown: 1000 to 1 of 100 mL/min is 0.1; a stock 1/0.1 × 0.105 = 1.05 stronger keeps the least there.
func TestRemedyOfWideTurndown(t *testing.T) {
	p := Pump{Calibration: FromNameplate(100), Turndown: 1000}
	near(t, "stronger", p.Fit(Need{Least: 0.105, Peak: 104, Stock: 100e3, Neat: 1300e3}).Stock.In("g/L"), 105, 1e-9)
	// A line 5 + 0.1 x stops at setting zero whatever it says there: 15 at most, 1.5 at 10 to 1.
	p = Pump{Calibration: fit(t, one(20, 7), one(80, 13))}
	if r := p.Fit(Need{Least: 2, Peak: 14}); r.Reach != Within {
		t.Errorf("%+v", r)
	}
}

// TestRemedyOfLowEnd: where the knob cannot be turned below 15 %, the least is what it gives there.
func TestRemedyOfLowEnd(t *testing.T) {
	p := Pump{Calibration: FromNameplate(100), Setting: Knob{Low: 15}}
	if r := p.Fit(Need{Least: 15, Peak: 90}); r.Reach != Within {
		t.Errorf("%+v", r)
	}
	r := p.Fit(Need{Least: 12, Peak: 60})
	near(t, "weaker", r.Times, 1.15*15/12, 1e-9)
	p.Setting.Low = 0.5 // gives 1 at the nearest whole step, less than the turndown
	if r = p.Fit(Need{Least: 10, Peak: 90}); r.Reach != Within {
		t.Errorf("%+v", r)
	}
	// with two knobs the stroke can be turned down instead
	pl := plane{d: 0.01, speed: 1, stroke: 10, topN: 100, topS: 100, lowN: 20, testN: [2]float64{20, 100}, testS: [2]float64{40, 80}}
	p = pl.pump(t, 0)
	if r = p.Fit(Need{Least: 1, Peak: 90}); r.Reach != Within {
		t.Errorf("%+v", r)
	}
	if r = p.Fit(Need{Least: 0.9, Peak: 90}); r.Reach != TooLittle {
		t.Errorf("%+v", r)
	}
}

// TestDrawdownByHand: the small sums of a drawdown.
func TestDrawdownByHand(t *testing.T) {
	near(t, "100 mL in 2 min", float64(Drawdown(0.1, quantity.Time(2.0/60))), 50, 1e-12)
	near(t, "time for 100 mL at 40 mL/min", TimeFor(0.1, 40).In("s"), 150, 1e-9)
	near(t, "per flow", float64(PerFlow(20, 100e3)), 20/100e3*1e6/60, 1e-12)
	near(t, "10 m of 6 mm", float64(LineVolume(10, 0.006)), 0.282743, 1e-6) // π/4 × 0.36 cm2 × 1000 cm
	for name, want := range map[string]string{"": "the pump", "P1": "pump P1", "Pump 2": "Pump 2", "pump A": "pump A"} {
		if got := (Pump{Name: name}).name(); got != want {
			t.Errorf("%q is called %q", name, got)
		}
	}
}
