package pump

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/mixing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s: got %g, want %g ± %g", what, got, want, tol)
	}
}

func rate(t *testing.T, s string) quantity.FeedRate {
	t.Helper()
	r, err := quantity.Parse[quantity.FeedRate](s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestPublished holds worked examples of metering pumps.
func TestPublished(t *testing.T) {
	// Turndown of 10:1, the least that API Standard 675 (3rd ed. 2012, as summarised) asks for: 50 gal/h down to 5; 100:1 to 0.5.
	p := Pump{Calibration: FromNameplate(rate(t, "50 gph"))}
	near(t, "10:1", p.Smallest().In("gph"), 5, 1e-9)
	p.Turndown = 100
	near(t, "100:1", p.Smallest().In("gph"), 0.5, 1e-9)
	// The same: 1 % of full scale is 10 % of the set point at a setting of 10 %.
	p.OfScale = 0.01
	near(t, "of set point", p.For(rate(t, "5 gph")).Accuracy.In("%"), 10, 1e-9)
	// Common practice, no source: 1 % of set point at 1000 gal/h is 990 to 1010.
	p = Pump{Calibration: FromNameplate(rate(t, "1000 gph")), OfScale: 0.01}
	c := p.For(rate(t, "1000 gph"))
	near(t, "upper", c.Gives.In("gph")*(1+float64(c.Accuracy)), 1010, 1e-6)
	// A 1 % setting of a 1000 gal/h pump is 10 gal/h, often printed as 1.
	near(t, "1 % of 1000", p.Calibration.Rate(Position{Setting: 1}).In("gph"), 10, 1e-9)
	// Municipal learning page on the drawdown test: mL/min times 0.0158 is gal/h (0.01585).
	near(t, "factor", quantity.FeedRate(1).In("gph"), 0.0158503, 5e-8)
	// Voutchkov 2017 p. 134: two duty pumps share 188 L/h, 94 each.
	r := Pump{Calibration: FromNameplate(rate(t, "107.5 L/h"))}.Fit(Need{Peak: rate(t, "188 L/h")})
	near(t, "two pumps", rate(t, "188 L/h").In("L/h")/float64(r.Pumps), 94, 1e-9)
	// Timing a bucket (equipment dealer): 20 gal in 95 s is 12.6 gpm; 5 gal in 45 s is 6.67 (printed 6.6);
	// well catalogue: 21 gal in 2 min is 10.5 gpm.
	for _, b := range [][3]float64{{20, 95, 12.6316}, {5, 45, 6.66667}, {21, 120, 10.5}} {
		v := quantity.Volume(b[0] * 3.785411784)
		near(t, "bucket", Drawdown(v, quantity.Time(b[1]/3600)).In("gpm"), b[2], 5e-5)
	}
	// Dead time of a pipe (common practice, no source): 30 m of DN100 holds 0.236 m3, which at 30 m3/h takes 28 s.
	v := LineVolume(30, 0.1)
	near(t, "pipe", v.In("m3"), 0.235619, 1e-6)
	near(t, "dead time", mixing.Stay(v, 30).In("s"), 28.3, 0.05)
	// Water Treatment Mathematics vol. 1, section 4: stroke = desired / largest; 30 of 75 is 40 % (numbers ours).
	near(t, "stroke", float64(Pump{Calibration: FromNameplate(75)}.For(30).Position.Setting), 40, 1e-12)
	// Dose-rate control (common practice, no source): k = C/S, 45 mg/L of 572 g/L is 0.0787 L per m3.
	near(t, "per flow", PerFlow(45, 572e3).In("L/h"), 0.0786713, 5e-8)
	// Dosing equations (common practice, no source): 120 m3/h, 45 mg/L, 572 g/L active is 9.44 L/h when the dose is active;
	// as product it is 45 mg/L of a 1.43 kg/L liquid: 3.78 L/h.
	near(t, "as active", (PerFlow(45, 572e3) * 120).In("L/h"), 9.44056, 5e-6)
	near(t, "as product", (PerFlow(45, 1430e3) * 120).In("L/h"), 3.7762, 5e-5)
}

// TestSignals holds worked examples of 4–20 mA loops.
func TestSignals(t *testing.T) {
	// Instrumentation tutorial: 40 % is 10.4 mA.
	near(t, "40 %", float64(Signal[quantity.Setting]{0, 100}.Current(40)), 10.4, 1e-12)
	// Worked solutions to Industrial Instrumentation ch. 6: 1.5 and 0.5 of 0–2 are 16 and 8 mA.
	near(t, "1.5 of 2", float64(Signal[quantity.Flow]{0, 2}.Current(1.5)), 16, 1e-12)
	near(t, "0.5 of 2", float64(Signal[quantity.Flow]{0, 2}.Current(0.5)), 8, 1e-12)
	// Alvord and Blasberg 2019, Advanced Waterworks Mathematics: 15 mA of 0–32 ft is 22 ft.
	near(t, "15 mA", float64(Signal[quantity.Length]{0, 32}.Value(15)), 22, 1e-12)
	// Instrumentation tutorial, reader's problem: 17.52 mA is 2.9 m with 4 mA at 1.2 m, so 20 mA is 3.21 m (printed 3.22).
	near(t, "upper range", float64(Signal[quantity.Length]{1.2, 3.21183}.Value(17.52)), 2.9, 1e-5)
	// A page on scaling a flow meter of 0–50 m3/h prints 37.5, 28.1 and 12.5 m3/h for 12, 9 and 6 mA, forgetting
	// the live zero. Right: 25, 15.6 and 6.25.
	for _, c := range [][2]float64{{12, 25}, {9, 15.625}, {6, 6.25}} {
		near(t, "flow meter", float64(Signal[quantity.Flow]{0, 50}.Value(quantity.Current(c[0]))), c[1], 1e-12)
	}
	rapid.Check(t, func(t *rapid.T) {
		lo := quantity.Flow(rapid.Float64Range(-10, 10).Draw(t, "lo"))
		s := Signal[quantity.Flow]{lo, lo + quantity.Flow(rapid.Float64Range(0.1, 100).Draw(t, "span"))}
		v := quantity.Flow(rapid.Float64Range(-5, 120).Draw(t, "v"))
		if d := math.Abs(float64(s.Value(s.Current(v)) - v)); d > 1e-9 {
			t.Fatalf("off by %g", d)
		}
	})
}

func one(setting, r float64) Reading {
	return Reading{Position: Position{Setting: quantity.Setting(setting)}, Rate: quantity.FeedRate(r)}
}

func two(stroke, speed, r float64) Reading {
	return Reading{Position: Position{quantity.Setting(speed), quantity.Setting(stroke)}, HasStroke: true, Rate: quantity.FeedRate(r)}
}

// norris is the NIST/ITL StRD set of that name, both axes divided by ten.
func norris() []Reading {
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	var l []Reading
	for i := range x {
		l = append(l, one(x[i]/10, y[i]/10))
	}
	return l
}

// TestNorris: the line of a calibration is that of the NIST reference data set
// Norris (NIST/ITL StRD, linear regression), which is 36 points of a meter against
// a reference. Its settings run to 1000, so both axes are divided by ten.
func TestNorris(t *testing.T) {
	c, err := Fit(norris())
	if err != nil {
		t.Fatal(err)
	}
	a, b, ok := c.Line()
	if !ok {
		t.Fatalf("shape %v: the 0.03 rule took a straight set for a bent one", c.Shape)
	}
	near(t, "intercept", float64(a)*10, -0.262323073774029, 1e-10)
	near(t, "slope", float64(b), 1.00211681802045, 1e-12)
	near(t, "residual", float64(c.SD)*10, 0.884796396144373, 1e-10) // the certified values, typed from memory
}

func TestLine(t *testing.T) {
	c, err := Fit([]Reading{one(20, 8.1), one(50, 22.6), one(80, 36.8)})
	if err != nil {
		t.Fatal(err)
	}
	p := Pump{Name: "P1", Calibration: c}
	got := p.For(12)
	// by hand: slope 28.7/60, mean 22.5 at 50
	b := 28.7 / 60
	near(t, "exact", float64(got.Exact.Setting), 50+(12-22.5)/b, 1e-9)
	near(t, "rounded", float64(got.Position.Setting), 28, 0)
	near(t, "gives", float64(got.Gives), 22.5+(28-50)*b, 1e-9)
	near(t, "error", float64(got.Error), (22.5+(28-50)*b-12)/12, 1e-9)
	if !got.Tested || got.Reach != Within || !got.HasBand || got.Low > got.Gives || got.High < got.Gives {
		t.Errorf("%+v", got)
	}
	if got := p.For(45); got.Reach != Within || got.Tested || got.Notes.Worst() != note.Caution {
		t.Errorf("97 %% was not tested: %+v", got)
	}
	if got := p.For(60); got.Reach != TooMuch {
		t.Errorf("60 mL/min: %+v", got)
	}
	p.Turndown = 10
	if got := p.For(2); got.Reach != TooLittle {
		t.Errorf("2 mL/min: %+v", got)
	}
	p.Setting.Step = 10
	if got := p.For(15.5); math.Abs(float64(got.Error)) < 0.05 || got.Notes.Worst() != note.Caution {
		t.Errorf("a coarse knob: %+v", got)
	}
	near(t, "stopwatch", TimeFor(0.1, 20).In("min"), 5, 1e-12)
	for what, bad := range map[string][]Reading{"none": nil, "one": {one(20, 8)}, "same setting": {one(20, 8), one(20, 9)}, "falls": {one(20, 8), one(60, 4)},
		"negative": {one(20, -8), one(60, 4)}, "setting": {one(120, 8), one(60, 4)}, "stroke": {two(50, 20, 8), one(60, 20)}} {
		if _, err := Fit(bad); err == nil {
			t.Errorf("%s passes", what)
		}
	}
}

func TestBend(t *testing.T) {
	// a hose pump that slips at speed
	c, err := Fit([]Reading{one(10, 10), one(30, 28), one(50, 44), one(70, 57), one(90, 66)})
	if err != nil || c.Shape != Between {
		t.Fatalf("%v %v", c.Shape, err)
	}
	p := Pump{Calibration: c}
	near(t, "between", float64(p.For(36).Exact.Setting), 40, 1e-9)
	near(t, "beyond", float64(c.Rate(Position{Setting: 100})), 70.5, 1e-9)
	// a straight one with scatter stays straight
	if c, err = Fit([]Reading{one(10, 5.1), one(30, 14.8), one(50, 25.3), one(70, 34.9), one(90, 45.1)}); err != nil || c.Shape != Straight {
		t.Errorf("%v %v", c.Shape, err)
	}
}

func TestStrokeAndSpeed(t *testing.T) {
	// rate = 0.01 × speed × stroke − 0.02 × speed, made up
	f := func(stroke, speed float64) float64 { return 0.01*speed*stroke - 0.02*speed }
	var l []Reading
	for _, s := range []float64{40, 80} {
		for _, n := range []float64{20, 50, 100} {
			l = append(l, two(s, n, f(s, n)))
		}
	}
	c, err := Fit(l)
	if err != nil || c.Shape != Surface {
		t.Fatalf("%v %v", c.Shape, err)
	}
	near(t, "surface", float64(c.Rate(Position{70, 60})), f(60, 70), 1e-9)
	p := Pump{Calibration: c, Stroke: Knob{Step: 5}}
	for _, r := range []quantity.FeedRate{8, 20, 35, 60} {
		got := p.For(r)
		if got.Reach != Within || math.Abs(float64(got.Error)) > 0.02 || got.Position.Stroke < 30 || got.Position.Setting < 10 {
			t.Errorf("%v: %+v", r, got)
		}
		// no pair that the knobs can stand at is better by the same measure
		for s := quantity.Setting(5); s <= 100; s += 5 {
			if other := p.finish(p.at(r, s)); other.Exact.Setting <= 100 && p.unsure(other) < p.unsure(got)-1e-12 {
				t.Errorf("%v: stroke %v beats %v", r, s, got.Position)
			}
		}
	}
	stroke := p.StrokeFor(30)
	if n := c.invert(30, stroke); n > 90 || n < 60 {
		t.Errorf("peak at stroke %v and speed %v", stroke, n)
	}
	// too few for a surface
	c, err = Fit([]Reading{two(40, 50, 19), two(80, 50, 39), two(80, 100, 78)})
	if err != nil || c.Shape != ByStroke {
		t.Fatalf("%v %v", c.Shape, err)
	}
	near(t, "by stroke", float64(c.Rate(Position{50, 60})), 29, 1e-9)
}

func TestFitNeeds(t *testing.T) {
	p := Pump{Calibration: FromNameplate(100)}
	if r := p.Fit(Need{Least: 15, Peak: 80}); r.Reach != Within || len(r.Notes) > 0 {
		t.Errorf("%+v", r)
	}
	check := func(what string, n Need, reach Reach) Remedy {
		t.Helper()
		r := p.Fit(n)
		if r.Reach != reach || len(r.Notes) != 1 || r.Notes[0].Remedy == "" {
			t.Errorf("%s: %+v", what, r)
		}
		if r.Stock > 0 { // what is advised must work
			k := quantity.FeedRate(n.Stock / r.Stock)
			if again := p.Fit(Need{Least: n.Least * k, Peak: n.Peak * k, Stock: r.Stock}); again.Reach != Within {
				t.Errorf("%s: the advised stock of %v does not fit: %+v", what, r.Stock, again)
			}
		}
		return r
	}
	r := check("small", Need{Least: 2, Peak: 10, Stock: 100e3, Neat: 1.3e6}, TooLittle)
	if r.Stock <= 0 || r.Stock >= 100e3 {
		t.Errorf("dilute to %v", r.Stock)
	}
	r = check("large", Need{Least: 60, Peak: 160, Stock: 100e3, Neat: 1.3e6}, TooMuch)
	near(t, "stronger", float64(r.Stock), 100e3*160/87.5, 1)
	r = check("large and neat", Need{Least: 60, Peak: 160, Stock: 1.3e6, Neat: 1.3e6}, TooMuch)
	if r.Stock != 0 || r.Pumps != 2 {
		t.Errorf("%+v", r)
	}
	check("wide", Need{Least: 2, Peak: 150, Stock: 100e3, Neat: 1.3e6}, TooMuch)
}

func TestPace(t *testing.T) {
	c, err := Fit([]Reading{one(20, 8.1), one(50, 22.6), one(80, 36.8)})
	if err != nil {
		t.Fatal(err)
	}
	p := Pump{Calibration: c}
	meter := Signal[quantity.Flow]{0, 20}
	rows, _, notes := p.Pace(Pacing{PerFlow: 2, Flows: EvenFlows(4, 16, 5), Meter: &meter})
	if len(rows) != 5 || rows[0].Flow != 4 || rows[4].Flow != 16 {
		t.Fatalf("%+v", rows)
	}
	near(t, "rate", float64(rows[4].Rate), 32, 1e-12)
	near(t, "meter", float64(rows[4].Meter), 4+16*16.0/20, 1e-12)
	near(t, "drive", float64(rows[4].Drive), 4+16*float64(rows[4].Position.Setting)/100, 1e-12)
	if notes.Worst() != note.Caution { // the line meets zero at 3 %
		t.Errorf("notes %v", notes)
	}
}

func TestRecalibrate(t *testing.T) {
	c, _ := Fit([]Reading{one(20, 8.1), one(50, 22.6), one(80, 36.8)})
	day := func(s string) time.Time { d, _ := time.Parse("2006-01-02", s); return d }
	var care Care
	if l := care.Advice(c, day("2026-03-01"), day("2026-05-01")); l.Worst() != note.Caution || !strings.Contains(l[0].Message, "61 days") {
		t.Errorf("%v", l)
	}
	if l := care.Advice(c, day("2026-03-01"), day("2026-03-20")); l.Worst() != note.Info || !strings.Contains(l[0].Message, "2026-03-31") {
		t.Errorf("%v", l)
	}
	if l := care.Advice(c, day("2026-03-01"), day("2026-02-01")); l.Worst() != note.Caution {
		t.Errorf("%v", l)
	}
	if off, n := care.Check(c, one(50, 20)); n.Level != note.Caution || math.Abs(off.In("%")+100*2.5/22.5) > 1e-9 {
		t.Errorf("%v %v", off, n)
	}
	if _, n := care.Check(c, one(50, 22.3)); n.Level != note.Info {
		t.Errorf("%v", n)
	}
}

// TestMonotone: a higher rate never takes a lower setting, and inverting gives the rate back.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l []Reading
		b := rapid.Float64Range(0.05, 50).Draw(t, "slope")
		a := rapid.Float64Range(0, 5*b).Draw(t, "intercept")
		bend := rapid.Float64Range(0, 0.004).Draw(t, "bend")
		n := rapid.IntRange(2, 8).Draw(t, "n")
		for i := range n {
			s := 10 + 80*float64(i)/float64(n-1)
			l = append(l, one(s, (a+b*s*(1-bend*s/2))*(1+rapid.Float64Range(-0.01, 0.01).Draw(t, "scatter"))))
		}
		c, err := Fit(l)
		if err != nil {
			t.Skip(err)
		}
		p := Pump{Calibration: c}
		r1 := quantity.FeedRate(rapid.Float64Range(0.01, 1).Draw(t, "r1")) * p.Capacity()
		r2 := quantity.FeedRate(rapid.Float64Range(0.01, 1).Draw(t, "r2")) * p.Capacity()
		if r1 > r2 {
			r1, r2 = r2, r1
		}
		x, y := p.For(r1), p.For(r2)
		if x.Exact.Setting > y.Exact.Setting+1e-9 || x.Position.Setting > y.Position.Setting {
			t.Fatalf("%v at %v, %v at %v", r1, x.Position, r2, y.Position)
		}
		if x.Exact.Setting > 0 {
			if d := math.Abs(float64(c.Rate(x.Exact)-r1)) / float64(r1); d > 1e-9 {
				t.Fatalf("inverted rate is off by %g", d)
			}
		}
	})
}
