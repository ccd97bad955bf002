package pump

import (
	"math"
	"testing"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestKnob: the nearest position that a knob can stand at, between its ends.
func TestKnob(t *testing.T) {
	for _, c := range []struct {
		k        Knob
		at, want quantity.Setting
	}{
		{Knob{}, 27.4, 27}, {Knob{}, 27.6, 28}, {Knob{}, -3, 0}, {Knob{}, 104, 100}, {Knob{}, 0.3, 0},
		// halfway is the step above, also where arithmetic leaves a hair less: 27.5 % is 22 m3/h of 25 mg/L in 200 g/L on 10 L/h
		{Knob{}, 27.5, 28}, {Knob{}, 47.5, 48}, {Knob{}, 22. * 25 / 200 / 10 * 100, 28}, {Knob{}, quantity.Setting(math.Nextafter(27.5, 0)), 28}, {Knob{}, quantity.Setting(math.Nextafter(47.5, 0)), 48},
		{Knob{}, 27.4999999, 27}, {Knob{Step: 5}, quantity.Setting(math.Nextafter(12.5, 0)), 15}, {Knob{Step: 0.1}, 0.25, 0.3},
		{Knob{Step: 10}, 26, 30}, {Knob{Step: 10}, 24.9, 20}, {Knob{Step: 0.5}, 26.3, 26.5}, {Knob{Step: 0.5}, 0.3, 0.5},
		{Knob{Step: 10, Low: 15, High: 85}, 12, 20}, {Knob{Step: 10, Low: 15, High: 85}, 99, 80}, {Knob{Step: 10, Low: 20, High: 80}, 3, 20},
		{Knob{Step: 10, Low: 20, High: 80}, 99, 80}, {Knob{Step: 2, High: 0.5}, 3, 0}, {Knob{Low: 5}, 5, 5}, {Knob{High: 95}, 95, 95},
		// 2.1/0.7 and 6.3/0.7 are a hair off whole
		{Knob{Step: 0.7, Low: 2.1, High: 6.3}, 1, 2.1}, {Knob{Step: 0.7, Low: 2.1, High: 6.3}, 9, 6.3},
	} {
		near(t, "knob", float64(c.k.round(c.at)), float64(c.want), 1e-9)
	}
}

// TestOff: what has nothing to feed stands still, also where its line would reach none at 3 %, as a line through (20 %, 34 mL/min)
// and (50 %, 94 mL/min) does, and where its knob has a lowest place.
func TestOff(t *testing.T) {
	cal, err := Fit([]Reading{{Position: Position{Setting: 20}, Rate: 34}, {Position: Position{Setting: 50}, Rate: 94}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no feed at", float64(cal.invert(0, 0)), 3, 1e-9)
	for _, p := range []Pump{{Calibration: cal}, {Calibration: cal, Setting: Knob{Low: 10}}} {
		for _, c := range []Choice{p.For(0), Pump{NoLess: true, Calibration: p.Calibration}.For(0), p.AtStroke(0, 0)} {
			if !c.Off() || c.Position.Setting != 0 || c.Exact.Setting != 0 || c.Gives != 0 || c.Reach != Within || len(c.Notes) > 0 {
				t.Errorf("off: %+v", c)
			}
		}
	}
	if (Pump{Calibration: cal}).For(1).Off() {
		t.Error("a feed of 1 mL/min counts as none")
	}
}

// TestScale: half of a knob that reads 60 rpm at its top is 30 rpm.
func TestScale(t *testing.T) {
	near(t, "rpm", Scale{Top: 60, Unit: "rpm"}.Shows(50), 30, 1e-12)
}

// TestReach: a line through zero of 0.4 mL/min at each %, so at most 40, least 4 at 10 to 1.
func TestReach(t *testing.T) {
	p := Pump{Name: "P1", Calibration: FromNameplate(40), Turndown: 10}
	near(t, "largest", float64(p.Capacity()), 40, 1e-12)
	for _, c := range []struct {
		rate  quantity.FeedRate
		reach Reach
		notes string
	}{
		{40, Within, ""}, {40.1, TooMuch, "pump-too-small"}, {4, Within, ""}, {3.9, Within, ""}, {3.7, TooLittle, "pump-too-large"}, {0, Within, ""},
		{0.5, TooLittle, "pump-too-large"},
	} {
		if got := p.For(c.rate); got.Reach != c.reach || codes(got.Notes) != c.notes {
			t.Errorf("%v: reach %v, %v", c.rate, got.Reach, got.Notes)
		}
	}
	says(t, p.For(3.7).Notes, "pump-too-large", "3.7 mL/min is below what pump P1 feeds steadily (4 mL/min, a turndown of 10 to 1)", "")
	// A turndown of the maker's, one below 1 too (a pump that never stops), and a low end of the knob.
	p.Turndown = 20
	near(t, "20 to 1", float64(p.Smallest()), 2, 1e-12)
	p.Turndown = 0.8
	near(t, "0.8 to 1", float64(p.Smallest()), 50, 1e-12)
	// Nobody gave one: 1.6 mL/min, at 4 %, is fed; 0.2 rounds to none.
	p.Turndown = 0
	if got := p.For(1.6); got.Reach != Within || len(got.Notes) != 0 {
		t.Errorf("an assumed turndown refuses: %+v", got)
	}
	if got := p.For(0.1); got.Reach != TooLittle {
		t.Errorf("a setting of nothing: %+v", got)
	}
	says(t, p.For(0.1).Notes, "pump-too-large", "0.1 mL/min is below what pump P1 feeds steadily (0.4 mL/min at the first step of its knob)", "")
	// The knob's step gives the least itself: 3.9 mL/min is asked for, 10 % gives 4, 2.6 % more.
	p.Turndown, p.Setting.Step = 10, 10
	if got := p.For(3.9); got.Reach != Within || got.Gives != 4 {
		t.Errorf("the step gives the least: %+v", got)
	}
	p.Setting.Step = 0
	p.Setting.Low = 15 // 6 mL/min; 5.9 is fed at it, 1.7 % more, 5.6 is not, 7.1 % more
	if got := p.For(5.9); got.Reach != Within {
		t.Errorf("at the knob's low end by its step: %+v", got)
	}
	if got := p.For(5.6); got.Reach != TooLittle || float64(got.Position.Setting) != 15 {
		t.Errorf("under the knob's low end: %+v", got)
	}
	says(t, p.For(5.6).Notes, "pump-too-large", "5.6 mL/min is below what pump P1 feeds steadily (6 mL/min at the lowest setting of its knob)", "")
	if got := p.For(6); got.Reach != Within {
		t.Errorf("at the knob's low end: %+v", got)
	}
	p.Setting.Low = 0.5 // the turndown counts then
	if got := p.For(4); got.Reach != Within || float64(got.Position.Setting) != 10 {
		t.Errorf("%+v", got)
	}
	p.Setting = Knob{High: 80}
	if got := p.For(32); got.Reach != Within || got.Position.Setting != 80 {
		t.Errorf("at the knob's top: %+v", got)
	}
	if got := p.For(32.1); got.Reach != TooMuch || got.Position.Setting != 80 {
		t.Errorf("over the knob's top: %+v", got)
	}
	// A small pump and a line that starts above zero: 1 + 0.1 x feeds 1 with the knob at nothing.
	c := fit(t, one(20, 3), one(80, 9))
	q := Pump{Calibration: c, Turndown: 50}
	if got := q.For(0.95); got.Reach != TooLittle {
		t.Errorf("less than it gives standing still: %+v", got)
	}
	if got := q.For(1.05); got.Reach != Within || got.Position.Setting != 1 && got.Position.Setting != 0 {
		t.Errorf("0.5 %%: %+v", got)
	}
	tiny := Pump{Calibration: FromNameplate(0.4), Turndown: 10}
	if got := tiny.For(0.03); got.Reach != TooLittle {
		t.Errorf("a small pump: %+v", got)
	}
	near(t, "a small setting", float64(tiny.For(0.2).Position.Setting), 50, 0)
	near(t, "share of a small rate", (Pump{Calibration: FromNameplate(0.4), OfScale: 0.01}).For(0.1).Accuracy.In("%"), 4, 1e-9)
	near(t, "error of a small rate", tiny.For(0.2025).Error.In("%"), 100*0.0015/0.2025, 1e-6) // 50.6 → 51 is 0.204
}

// TestCoarse: the rounding of the knob is told above 5 % of the dose.
func TestCoarse(t *testing.T) {
	p := Pump{Calibration: FromNameplate(100), Setting: Knob{Step: 10}}
	for _, c := range []struct {
		rate  quantity.FeedRate
		notes string
		// 30/28.6 is +4.9 %, 30/28.5 +5.3 %; 30/31.5 −4.8 %, 30/31.6 −5.1 %
	}{{28.6, ""}, {28.5, "knob-coarse"}, {31.5, ""}, {31.6, "knob-coarse"}} {
		if got := p.For(c.rate); codes(got.Notes) != c.notes || got.Position.Setting != 30 {
			t.Errorf("%v: %v", c.rate, got.Notes)
		}
	}
	says(t, p.For(28).Notes, "knob-coarse", "the setting, 30 %, feeds 30 mL/min: the dose is 7.1 % high",
		"dilute the stock so that the pump runs higher, or set by drawdown")
	says(t, p.For(33).Notes, "knob-coarse", "the setting, 30 %, feeds 30 mL/min: the dose is 9.1 % low",
		"dilute the stock so that the pump runs higher, or set by drawdown")
}

// TestSafeSide: of the steps of 10 % on 100 mL/min, the nearest unless it falls short by more than 5 % and the one
// above is less than twice as far off; where both are more than 25 % off there is no setting.
func TestSafeSide(t *testing.T) {
	p := Pump{Calibration: FromNameplate(100), Setting: Knob{Step: 10}}
	for _, c := range []struct {
		rate  quantity.FeedRate
		at    quantity.Setting
		notes string
	}{
		{33, 30, "knob-coarse"},        // −9.1 % against +21 %
		{34, 40, "knob-coarse"},        // −11.8 % against +17.6 %
		{64, 70, "knob-coarse"},        // −6.3 % against +9.4 %
		{63, 60, ""},                   // −4.8 %
		{97, 100, ""},                  // +3.1 %
		{16, 20, "knob-coarse"},        // +25 %
		{15.9, 20, "knob-too-coarse"},  // +25.8 %
		{14, 20, "knob-too-coarse"},    // −29 % against +43 %
		{12.5, 10, "knob-coarse"},      // −20 % against +60 %
		{13.3, 10, "knob-coarse"},      // −24.8 % against +50.4 %
		{13.4, 20, "knob-too-coarse"},  // −25.4 % against +49.3 %
		{4, 0, "pump-too-large"},       // nearest standstill
		{104.9, 100, "pump-too-small"}, // there is no step above the last
	} {
		got := p.For(c.rate)
		if codes(got.Notes) != c.notes || got.Position.Setting != c.at {
			t.Errorf("%v stands at %v: %v", c.rate, got.Position.Setting, got.Notes)
		}
		near(t, "gives", float64(got.Gives), float64(c.at), 1e-9)
	}
	says(t, p.For(13.4).Notes, "knob-too-coarse", "13.4 mL/min lies between two steps of the knob of the pump: at the better one, 20 %, it feeds 20 mL/min and the dose is 49 % high",
		"dilute the stock so that the pump runs higher, or use a smaller pump head")
	// At ten steps of the knob half a step is 5 %: 100 mL/min, 7.5 times 13.4.
	near(t, "weaker", p.Fit(Need{Least: 13.4, Peak: 13.4}).Times, 0.875*100/13.4, 1e-9)
}

// TestTested: inside means from the lowest to the highest drawdown, both ends too.
func TestTested(t *testing.T) {
	c := fit(t, one(20, 8), one(80, 32)) // 0.4 mL/min at each %
	p := Pump{Calibration: c}
	for _, s := range []struct {
		setting quantity.Setting
		want    bool
	}{{19, false}, {20, true}, {80, true}, {81, false}} {
		if got := c.Tested(Position{Setting: s.setting}); got != s.want {
			t.Errorf("%v: %v", s.setting, got)
		}
	}
	says(t, p.For(32.4).Notes, "outside-drawdown", "81 % lies outside the drawdown readings (20 % to 80 %)",
		"take a drawdown there before relying on it")
	if !FromNameplate(1).Tested(Position{Setting: 101}) {
		t.Error("a nameplate was never tested, so nothing lies outside")
	}
	if n := FromNameplate(60).Notes; codes(n) != "not-calibrated" || n[0].Level != note.Caution {
		t.Errorf("%v", n)
	}
	if c := FromNameplate(60); c.High != (Position{100, 100}) || c.Low != (Position{}) {
		t.Errorf("%+v", c)
	}
	// the ends of a scale can be tested
	if c = fit(t, two(100, 0, 0), two(100, 100, 40), two(0, 100, 1),
		two(0, 0, 0)); c.Low != (Position{0, 0}) || c.High != (Position{100, 100}) {
		t.Errorf("%+v", c)
	}
}

// TestInvertBend: joined readings 10, 28, 44, 57, 66 at 10 to 90, piece by piece and beyond both ends.
func TestInvertBend(t *testing.T) {
	c := fit(t, one(10, 10), one(30, 28), one(50, 44), one(70, 57), one(90, 66))
	for _, v := range []struct{ rate, setting float64 }{
		{5.5, 5}, {10, 10}, {19, 20}, {28, 30}, {36, 40}, {44, 50}, {50.5, 60}, {57, 70}, {61.5, 80}, {66, 90}, {70.5, 100},
	} {
		near(t, "setting", float64(c.invert(quantity.FeedRate(v.rate), 0)), v.setting, 1e-9)
		near(t, "rate", float64(c.Rate(Position{Setting: quantity.Setting(v.setting)})), v.rate, 1e-9)
	}
	near(t, "never below nothing", float64(c.Rate(Position{Setting: -5})), 0, 0)
	near(t, "nor a line", float64(FromNameplate(10).Rate(Position{Setting: -5})), 0, 0)
}

// TestRefused: what is no drawdown, and the code that says so.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		code string
		l    []Reading
	}{
		{"bad-drawdown", []Reading{one(20, -0.1), one(60, 4)}}, {"bad-drawdown", []Reading{one(20, math.Inf(1)), one(60, 4)}},
		{"bad-setting", []Reading{one(-0.5, 1), one(60, 4)}}, {"bad-setting", []Reading{one(20, 1), one(100.5, 4)}},
		{"bad-setting", []Reading{two(-0.5, 20, 1), two(50, 60, 4)}}, {"bad-setting", []Reading{two(100.5, 20, 1), two(50, 60, 4)}},
		{"stroke-missing", []Reading{two(50, 20, 8), one(60, 20)}}, {"too-few-drawdowns", nil},
		{"too-few-drawdowns", []Reading{one(20, 8), one(20, 9)}},
		{"too-few-drawdowns", []Reading{two(50, 20, 8), two(50, 20, 9)}}, {"line-falls", []Reading{one(20, 8), one(60, 4)}},
		{"line-falls", []Reading{one(20, 8), one(60, 8)}},
		{"line-falls", []Reading{two(40, 20, 8), two(40, 60, 9), two(80, 20, 18), two(80, 60, 4)}}, // at the longer stroke only
		{"line-falls", []Reading{two(40, 20, 8), two(40, 60, 4), two(80, 20, 18), two(80, 60, 40)}},
	} {
		_, err := Fit(c.l)
		if l := note.Of(err, "other"); codes(l) != c.code {
			t.Errorf("%v: %q, want %s", c.l, codes(l), c.code)
		}
	}
	// Each names a cell: of the reading that is wrong, else of the lowest.
	for _, c := range []struct {
		what string
		l    []Reading
		at   int
	}{
		{"negative", []Reading{one(20, -8), one(60, 4)}, 0}, {"over 100 %", []Reading{one(20, 8), one(160, 4)}, 1},
		{"falls", []Reading{one(60, 4), one(20, 9)}, 1}, {"stroke missing", []Reading{two(50, 20, 8), one(60, 20)}, 1},
		{"one setting", []Reading{one(20, 8), one(20, 9)}, 0},
	} {
		for i := range c.l {
			c.l[i].At.Cell = "Z9"
		}
		c.l[c.at].At.Cell = "B2"
		_, err := Fit(c.l)
		if n := note.Of(err, "other"); len(n) != 1 || n[0].Cell != "B2" {
			t.Errorf("%s: %v", c.what, err)
		}
	}
	// zero, at either end of the scale, is a reading like any other
	c := fit(t, one(0, 0), one(100, 40))
	near(t, "through both ends", float64(c.Rate(Position{Setting: 50})), 20, 1e-12)
	if c.TwoKnobs() || c.HasStroke || c.Low.Setting != 0 || c.High.Setting != 100 {
		t.Errorf("%+v", c)
	}
}

// TestPaceByHand: 2 mL/min for each m3/h of a line 0.4 (x − 5): from 4 to 16 m3/h 8 to 32 mL/min, settings 25 to 85.
func TestPaceByHand(t *testing.T) {
	p := Pump{Calibration: fit(t, one(20, 6), one(80, 30))}
	rows, stroke, notes := p.Pace(Pacing{PerFlow: 2, Flows: []quantity.Flow{4, 10, 16}, Drive: &Signal[quantity.Setting]{0, 50}})
	if len(rows) != 3 || stroke != 0 {
		t.Fatalf("%+v", rows)
	}
	for i, want := range [][3]float64{{8, 25, 12}, {20, 55, 21.6}, {32, 85, 31.2}} {
		near(t, "rate", float64(rows[i].Rate), want[0], 1e-12)
		near(t, "setting", float64(rows[i].Position.Setting), want[1], 0)
		near(t, "drive", float64(rows[i].Drive), want[2], 1e-9) // 4 + 16 × setting/50
		if rows[i].HasMeter {
			t.Error("no meter was named")
		}
	}
	// A controller that multiplies: 85 % × 4/16 = 21.25 %, where the line gives 6.5 and not 8.
	says(t, notes, "line-misses-zero",
		"the pump's line does not pass through zero: a controller set right at 16 m3/h that takes the setting as a plain share of the flow doses 19 % low at 4 m3/h",
		"enter two points of the table in the controller, the lowest and the highest")
	// 5 % is let pass: a line 0.4 (x − e) doses 3 e × 0.4/4 of 8 too little at 4 m3/h, over it from e = 1.33 on.
	for _, c := range []struct {
		e     float64
		notes string
	}{{1.3, ""}, {1.4, "line-misses-zero"}, {-1.3, ""}, {-1.4, "line-misses-zero"}} {
		p = Pump{Calibration: fit(t, one(20, 0.4*(20-c.e)), one(80, 0.4*(80-c.e)))}
		if _, _, notes = p.Pace(Pacing{PerFlow: 2, Flows: []quantity.Flow{4, 16}}); codes(notes) != c.notes {
			t.Errorf("meets zero at %g %%: %v", c.e, notes)
		}
	}
	// Said only where both ends are within reach, and there is more than one flow.
	p = Pump{Calibration: fit(t, one(20, 6), one(80, 30)), Turndown: 10}
	for _, f := range [][]quantity.Flow{{16}, {1, 16}, {4, 25}} {
		if _, _, notes = p.Pace(Pacing{PerFlow: 2, Flows: f}); len(notes) != 0 {
			t.Errorf("%v: %v", f, notes)
		}
	}
	// The stroke stays where the largest of the flows needs it: 2 × 18 = 36 mL/min of 0.01 n s at 90 % speed is stroke 40.
	pl := plane{d: 0.01, speed: 1, stroke: 5, topN: 100, topS: 100, testN: [2]float64{20, 100}, testS: [2]float64{20, 80}}
	q := pl.pump(t, 0)
	rows, stroke, _ = q.Pace(Pacing{PerFlow: 2, Flows: []quantity.Flow{17.99, 8, 2}})
	near(t, "stroke", float64(stroke), 40, 0)
	near(t, "speed at 8 m3/h", float64(rows[1].Position.Setting), 40, 0)
	if rows, _, notes = p.Pace(Pacing{PerFlow: 2}); len(rows) != 0 || len(notes) != 0 {
		t.Errorf("no flows: %v %v", rows, notes)
	}
}

// TestEvenFlows: from 3 to 13 in five: 3, 5.5, 8, 10.5 → 10 (half to even), 13.
func TestEvenFlows(t *testing.T) {
	for _, c := range []struct {
		least, peak quantity.Flow
		n           int
		want        []quantity.Flow
	}{
		{3, 13, 5, []quantity.Flow{3, 5.5, 8, 10, 13}}, {2.2, 5.4, 3, []quantity.Flow{2.2, 3.8, 5.4}}, {3.333, 4, 2, []quantity.Flow{3.333, 4}},
		{4, 4, 5, []quantity.Flow{4}}, {2, 6, 1, []quantity.Flow{6}}, {2, 6, 0, nil},
		{1.011, 1.017, 3, []quantity.Flow{1.011, 1.017}}, // 1.014 rounds to 1.0, below the least
		{1.95, 1.953, 3, []quantity.Flow{1.95, 1.953}},   // 1.9515 rounds to 2.0, above the peak
		{1.0, 1.04, 5, []quantity.Flow{1.0, 1.04}},       // 1.01, 1.02, 1.03 round to 1.0, already there
	} {
		got := EvenFlows(c.least, c.peak, c.n)
		if len(got) != len(c.want) {
			t.Errorf("%v to %v in %d: %v", c.least, c.peak, c.n, got)
			continue
		}
		for i := range got {
			near(t, "flow", float64(got[i]), float64(c.want[i]), 1e-12)
		}
	}
}

// TestCare: 30 days and 5 % unless told otherwise; the dates counted on a calendar.
func TestCare(t *testing.T) {
	day := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	three, pair := fit(t, one(20, 6), one(50, 18), one(80, 30)), fit(t, one(20, 6), one(80, 30))
	for _, c := range []struct {
		care        Care
		cal         Calibration
		done, today time.Time
		code, text  string
	}{
		{Care{}, three, day("2026-03-01"), day("2026-03-31"), "recalibrate-by", "calibrate again by 2026-03-31"},
		{Care{}, three, day("2026-03-01"), day("2026-04-01"), "recalibrate-due",
			"the drawdown readings are 31 days old; calibrate every 30 days"},
		{Care{Every: 100 * 24}, three, day("2026-03-01"), day("2026-06-10"), "recalibrate-due",
			"the drawdown readings are 101 days old; calibrate every 100 days"},
		{Care{Every: 9 * 24}, three, day("2026-03-01"), day("2026-03-12"), "recalibrate-due",
			"the drawdown readings are 11 days old; calibrate every 9 days"},
		{Care{Every: 7 * 24}, three, day("2026-03-01"), time.Time{}, "recalibrate-by", "calibrate again by 2026-03-08"},
		{Care{}, three, time.Time{}, day("2026-03-02"), "recalibrate-undated", "the day of the drawdown readings is not given"},
		{Care{}, three, day("2026-03-02"), day("2026-03-01"), "recalibrate-future",
			"the drawdown readings are dated 2026-03-02, after 2026-03-01"},
		{Care{}, three, day("2026-03-01"), day("2026-03-01"), "recalibrate-by", "calibrate again by 2026-03-31"},
		{Care{}, FromNameplate(9), day("2026-03-01"), day("2026-05-01"), "recalibrate", "this pump has no drawdown readings"},
	} {
		l := c.care.Advice(c.cal, c.done, c.today)
		if len(l) != 1 || l[0].Code != c.code || l[0].Message != c.text {
			t.Errorf("%v, want %s: %s", l, c.code, c.text)
		}
	}
	if l := (Care{}).Advice(pair, day("2026-03-01"), day("2026-03-02")); codes(l) != "recalibrate-more recalibrate-by" {
		t.Errorf("two readings: %v", l)
	}
	// Line 18 at 50: 18.8 is 4.4 % high, 19 is 5.6 %, and with a limit of 10 % it passes.
	for _, c := range []struct {
		care Care
		rate float64
		code string
		text string
	}{
		{Care{}, 18.8, "check-good", "the check drawdown of 18.8 mL/min is 4.4 % high against the line: keep the calibration"},
		{Care{}, 19, "check-off", "the check drawdown of 19 mL/min is 5.6 % high against the line (18 mL/min)"},
		{Care{}, 18.95, "check-off", "the check drawdown of 18.95 mL/min is 5.3 % high against the line (18 mL/min)"},
		{Care{}, 17, "check-off", "the check drawdown of 17 mL/min is 5.6 % low against the line (18 mL/min)"},
		{Care{Limit: 0.1}, 19, "check-good", "the check drawdown of 19 mL/min is 5.6 % high against the line: keep the calibration"},
		{Care{}, 0, "check-off", "the check drawdown of 0 mL/min is 100 % low against the line (18 mL/min)"},
	} {
		off, n := c.care.Check(three, one(50, c.rate))
		near(t, "off", float64(off), c.rate/18-1, 1e-9)
		if n.Code != c.code || n.Message != c.text {
			t.Errorf("%s: %s", n.Code, n.Message)
		}
	}
	if off, n := (Care{}).Check(three, one(3, 1)); off != 0 || n.Code != "check-at-zero" { // 0.4 × (3 − 5)
		t.Errorf("%v %v", off, n)
	}
	small := fit(t, one(20, 0.2), one(80, 0.8))
	if _, n := (Care{}).Check(small, one(50, 0.5)); n.Code != "check-good" {
		t.Errorf("a small pump: %v", n)
	}
}
