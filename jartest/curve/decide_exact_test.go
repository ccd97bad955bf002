package curve

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// made is an analysis of made-up curves on a grid of doses that runs to top.
func made(top float64, u []float64, ask string, t *testing.T, f ...[]float64) (*analysis, *engine.Cloud, *prepared) {
	t.Helper()
	r := &Result{Factor: "dose", TestedHigh: quantity.Concentration(top), Targets: targets(t, ask)}
	s := jarSeries("made", jartest.Turbidity, []float64{0, top}, []float64{40, 2})
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	c := &engine.Cloud{U: u, F: f, Obs: &engine.Observations{}}
	for range f {
		c.Sigma = append(c.Sigma, 0.1)
	}
	a := &analysis{e: engine.New(), s: s, r: r, ready: map[jartest.Key]*prepared{jartest.Turbidity: &p}, cloud: map[jartest.Key]*engine.Cloud{jartest.Turbidity: c}}
	for _, x := range r.Targets {
		g, n := aim(s, x, &p)
		if n != nil {
			t.Fatal(n)
		}
		a.goals = append(a.goals, g)
	}
	return a, c, &p
}

// TestPlan: which dose is planned with, and why, by the quantiles and the optimum.
func TestPlan(t *testing.T) {
	ten := []float64{5, 10, 15, 20, 25, 30, 35, 40, 45, 50}
	inf := math.Inf(1)
	for _, c := range []struct {
		name       string
		doses      []float64
		best, sure float64 // the fitted optimum and the share of curves that turn up
		plan, conf float64
		rule, code string
	}{
		{"90 %", ten, 60, 0, 47.5, 0.9, "target met with 90 % confidence", ""}, // between the 9th and the 10th of ten
		{"below the optimum", ten, 55, 0.8, 47.5, 0.9, "target met with 90 % confidence", ""},
		{"over-dose not likely", ten, 40, 0.49, 47.5, 0.9, "target met with 90 % confidence", ""},
		{"held", ten, 40, 0.5, 40, 2.0 / 3, "held at the fitted optimum", ""},
		{"held at the estimate", ten, 20, 0.5, 27.5, 0.9 - 0.65, "held at the fitted optimum", ""},
		{"optimum at the end", ten, 60, 0.9, 47.5, 0.9, "target met with 90 % confidence", ""},
		{"beyond", []float64{5, 10, 15, 20, 25, 30, 35, 40, inf, inf}, 60, 0, 0, 0, "", "planning-beyond-range"},
		{"beyond, and held", []float64{5, 10, 15, 20, 25, 30, 35, 40, inf, inf}, 45, 0.6, 45, 0.75, "held at the fitted optimum", ""},
	} {
		a := &analysis{r: &Result{Factor: "dose", doses: c.doses, grid: []float64{0, 30, 60}, met: []float64{0, 0.5, 1}}}
		a.goals = make([]goal, 1)
		a.r.Effective.Value = quantity.Concentration(engine.Quantile(c.doses, 0.5))
		a.r.Best.Dose, a.r.Overdose.Sure = quantity.Concentration(c.best), quantity.Fraction(c.sure)
		a.plan()
		r := a.r
		if r.HasPlanning != (c.plan > 0) || r.Rule != c.rule || (len(r.Notes) > 0) != (c.code != "") || c.code != "" && r.Notes[0].Code != c.code {
			t.Errorf("%s: planning %v, %q, %v", c.name, r.HasPlanning, r.Rule, r.Notes)
		}
		matches(t, c.name+": planning dose", float64(r.Planning.Concentration), c.plan, 1e-9)
		if c.conf == 0.9-0.65 { // on the first straight piece: 27.5 of 30 at half
			c.conf = 27.5 / 60
		}
		matches(t, c.name+": confidence", float64(r.Sure), c.conf, 1e-9)
	}
	beyond := &analysis{r: &Result{Factor: "dose", doses: []float64{5, inf}, grid: []float64{0, 60}, met: []float64{0, 0.5}}, goals: make([]goal, 1)}
	beyond.plan()
	if said := noteOf(*beyond.r, "planning-beyond-range"); !strings.Contains(said, "60.0 mg/L; no planning dose") || !strings.Contains(said, "test 78.0 mg/L and 102 mg/L") {
		t.Errorf("%q", said)
	}
	// With several targets more is held at the dose that meets all of them surest.
	two := &analysis{r: &Result{Factor: "dose", doses: ten, grid: []float64{0, 20, 40, 60}, met: []float64{0, 0.3, 0.7, 0.6}}, goals: make([]goal, 2)}
	two.r.Effective.Value = 27.5
	two.plan()
	matches(t, "two targets", float64(two.r.Planning.Concentration), 40, 0)
	level := &analysis{r: &Result{Factor: "dose", doses: ten, grid: []float64{0, 30, 40, 60}, met: []float64{0, 0.7, 0.7, 0.6}}, goals: make([]goal, 2)}
	level.r.Effective.Value = 27.5
	level.plan()
	matches(t, "two targets, as sure over a stretch: its lower end", float64(level.r.Planning.Concentration), 30, 0)
	two.r.met[3] = 0.8
	two.plan()
	matches(t, "two targets, surest at the end", float64(two.r.Planning.Concentration), 47.5, 1e-9)
}

// TestConfidenceAndQuantiles: straight lines between the grid's doses, nothing outside.
func TestConfidenceAndQuantiles(t *testing.T) {
	r := Result{grid: []float64{10, 20, 40}, met: []float64{0.1, 0.5, 0.9}, doses: []float64{12, 20, 30, math.Inf(1)}}
	for d, want := range map[float64]float64{9.99: 0, 10: 0.1, 15: 0.3, 20: 0.5, 30: 0.7, 40: 0.9, 40.01: 0} {
		matches(t, fmt.Sprintf("confidence at %g", d), float64(r.Confidence(quantity.Concentration(d))), want, 1e-12)
	}
	if (Result{}).Confidence(0) != 0 {
		t.Error("a confidence of nothing")
	}
	one := Result{grid: []float64{10}, met: []float64{0.4}}
	matches(t, "one dose", float64(one.Confidence(10)), 0.4, 0)
	if q, ok := r.Quantile(0.5); !ok || math.Abs(float64(q)-25) > 1e-12 {
		t.Errorf("half: %v %v", q, ok)
	}
	if _, ok := r.Quantile(0.9); ok {
		t.Error("a quantile beyond the range")
	}
	if _, ok := (Result{}).Quantile(0.5); ok {
		t.Error("a quantile of nothing")
	}
}

// TestStartPasses: no chemical is needed at 90 % of the curves, not at fewer.
func TestStartPasses(t *testing.T) {
	for _, c := range []struct {
		lowest float64
		at     int // of ten curves that pass at the lowest dose
		want   Outcome
		code   string
	}{{0, 10, UntreatedPasses, "untreated-passes"}, {5, 10, LowestDosePasses, "lowest-dose-passes"}, {0, 7, "", "untreated-may-pass"}, {5, 7, "", "lowest-dose-may-pass"}, {0, 4, "", ""}} {
		a := &analysis{r: &Result{Factor: "dose"}}
		for i := range 10 {
			d := c.lowest
			if i >= c.at {
				d = 20
			}
			a.r.doses = append(a.r.doses, d)
		}
		passes := a.startPasses(c.lowest, engine.Quantile(a.r.doses, 0.5))
		if passes != (c.want != "") || a.r.Outcome != c.want || (len(a.r.Notes) == 0) != (c.code == "") || c.code != "" && a.r.Notes[0].Code != c.code {
			t.Errorf("%d of ten from %g: %v, %q, %v", c.at, c.lowest, passes, a.r.Outcome, a.r.Notes)
		}
	}
}

// TestBestIsTheVertex: the optimum of a parabola, also between the grid's doses; at an
// end of the grid it is the end.
func TestBestIsTheVertex(t *testing.T) {
	u := []float64{0, 0.1, 0.3, 0.6, 0.8, 1}
	for _, v := range []float64{0.42, 0.25, 0.75} {
		var mid []float64
		for _, x := range u {
			mid = append(mid, 1+3*(x-v)*(x-v))
		}
		a, c, p := made(60, u, "turbidity <= 5 NTU", t, mid)
		at := a.best(p, c, mid)
		matches(t, "optimum", float64(a.r.Best.Dose), 60*v, 1e-9)
		matches(t, "its reading", a.r.Best.Reading, math.Exp(mid[at]), 1e-9)
		if mid[at] != slices.Min(mid) {
			t.Errorf("the best of %v is not at %d", mid, at)
		}
	}
	for _, mid := range [][]float64{{1, 2, 3, 4, 5, 6}, {6, 5, 4, 3, 2, 1}} {
		a, c, p := made(60, u, "turbidity <= 5 NTU", t, mid)
		at := a.best(p, c, mid)
		matches(t, "optimum at an end", float64(a.r.Best.Dose), 60*u[at], 0)
		if at != 0 && at != 5 {
			t.Errorf("at %d", at)
		}
	}
	// Against pH the scale runs from the lowest to the highest.
	a, c, p := made(60, u, "turbidity <= 5 NTU", t, []float64{3, 2, 1, 2, 3, 4})
	a.r.Factor, a.lowest, a.wide = "ph", 5, 3
	a.best(p, c, c.F[0])
	within(t, "best pH", float64(a.r.Best.Dose), 5.8, 6.1)
	matches(t, "pH at half", a.natural(p, 0.5), 6.5, 1e-12)
}

// TestOverdoseShare: over-dose is seen where three quarters of the curves turn up by more
// than one scatter, before the last dose.
func TestOverdoseShare(t *testing.T) {
	u := []float64{0, 0.5, 1}
	up, level, down := []float64{3, 1, 1.11}, []float64{3, 1, 1.09}, []float64{3, 1, 0.5}
	for _, c := range []struct {
		f    [][]float64
		best int
		sure float64
		seen bool
	}{
		{[][]float64{up, up, up, level}, 1, 0.75, true}, {[][]float64{up, up, level, level}, 1, 0.5, false}, {[][]float64{up, up, up, down}, 1, 0.75, true},
		{[][]float64{up, up, up, up}, 2, 0, false},
	} {
		a, cloud, p := made(60, u, "turbidity <= 5 NTU", t, c.f...)
		a.r.Best.Dose = 33
		a.overdose(p, cloud, c.best)
		matches(t, "share", float64(a.r.Overdose.Sure), c.sure, 1e-12)
		if a.r.Overdose.Seen != c.seen || c.seen && a.r.Overdose.From != 33 {
			t.Errorf("%v: %+v", c.f, a.r.Overdose)
		}
	}
}

// TestCrossOfTwo: where curves meet two goals, and which of the goals decides, by hand on
// straight lines: turbidity falls to ln 5 at 20, 30 and 40 mg/L, and to ln 10 before that.
func TestCrossOfTwo(t *testing.T) {
	line := func(at float64) []float64 { // through ln 5 at that dose, ln 10 at half of it
		slope := math.Log(2) / (at / 2)
		return []float64{math.Log(5) + slope*at, math.Log(5) - slope*(60-at)}
	}
	a, _, p := made(60, []float64{0, 1}, "turbidity <= 10 NTU; turbidity <= 5 NTU", t, line(20), line(30), line(40))
	p.dmax = 60
	a.cross()
	for i, want := range []float64{20, 30, 40} {
		matches(t, "first met", a.r.doses[i], want, 1e-9)
		matches(t, "in the order of the curves", a.first[i], want, 1e-9)
		if !math.IsInf(a.upper[i], 1) {
			t.Errorf("an upper end at %g", a.upper[i])
		}
	}
	if a.r.Binding != 1 {
		t.Errorf("target %d decides", a.r.Binding)
	}
	matches(t, "met nowhere at 0", a.r.met[0], 0, 0)
	matches(t, "met by all at 60", a.r.met[1], 1, 0)
	matches(t, "reach", a.reach(), 1, 0)
	a.r.doses[2] = math.Inf(1)
	matches(t, "reach of two in three", a.reach(), 2.0/3, 1e-12)
}

// TestGridsOfTwoReadings: grids with other doses are put together over what both reach,
// and margins carried over on straight lines.
func TestGridsOfTwoReadings(t *testing.T) {
	a, b := &engine.Cloud{U: []float64{0, 0.5, 1}}, &engine.Cloud{U: []float64{0.1, 0.5 + 1e-12, 0.7, 0.9}}
	if got := fmt.Sprintf("%.2f", commonGrid([]*engine.Cloud{a, b})); got != "[0.10 0.50 0.70 0.90]" {
		t.Errorf("common grid %s", got)
	}
	out := make([]float64, 5)
	resample([]float64{0, 0.5, 1}, []float64{4, 2, 6}, []float64{0, 0.25, 0.5, 0.75, 1}, out)
	if fmt.Sprint(out) != "[4 3 2 4 6]" {
		t.Errorf("resampled %v", out)
	}
	resample([]float64{0.2, 0.6}, []float64{4, 2}, []float64{0, 0.2, 0.5, 0.6, 1}, out)
	if want := []float64{4, 4, 2.5, 2, 2}; !slices.EqualFunc(out, want, func(x, y float64) bool { return math.Abs(x-y) < 1e-12 }) {
		t.Errorf("resampled beyond the ends %v", out)
	}
}

// TestLowestPassingJars: the lowest dose whose jars meet all targets, by their mean, be it
// none at all; a jar beyond its limit or without one of the readings does not count.
func TestLowestPassingJars(t *testing.T) {
	doses := []float64{0, 10, 20, 20, 30, 40}
	for _, c := range []struct {
		name string
		ntu  []float64
		ask  string
		dose float64
		jars int
		read float64
		turn func(s jartest.Series)
	}{
		{"the blank", []float64{4.9, 4.1, 4, 4, 3.5, 3}, "turbidity <= 5 NTU", 0, 1, 4.9, nil},
		{"by the mean", []float64{11, 9, 4, 7, 4.5, 3}, "turbidity <= 5 NTU", 30, 1, 4.5, nil},
		{"two at a dose", []float64{11, 9, 4, 5.8, 4.5, 3}, "turbidity <= 5 NTU", 20, 2, 4.9, nil},
		{"equal is met", []float64{9, 5, 4, 5.8, 4.5, 3}, "turbidity <= 5 NTU", 10, 1, 5, nil},
		{"none", []float64{9, 9, 9, 9, 9, 9}, "turbidity <= 5 NTU", 0, 0, 0, nil},
		{"beyond a limit", []float64{9, 4, 4, 4, 4.5, 3}, "turbidity <= 5 NTU", 20, 2, 4, func(s jartest.Series) {
			s.Jars[1].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Above, Value: 4, Limit: true})
		}},
		{"removal of the blank", []float64{40, 21, 20, 20, 4, 3}, "turbidity removal >= 50 %", 20, 2, 20, nil},
		{"removal of the raw water", []float64{40, 21, 20, 20, 4, 3}, "turbidity removal >= 80 %", 20, 2, 20, func(s jartest.Series) { s.Raw[jartest.Turbidity] = jartest.Num(100, "NTU") }},
		{"within the best", []float64{40, 4.1, 3.9, 3.9, 4, 3.2}, "turbidity within 25 % of best", 20, 2, 3.9, nil},
		{"two targets", []float64{40, 4, 3, 3, 2, 2}, "turbidity <= 5 NTU; ph >= 6.5", 30, 1, 2, func(s jartest.Series) {
			for i, v := range []float64{7, 6.4, 6, 6.2, 6.5, 6.6} {
				s.Jars[i].Readings.Set(jartest.PH, jartest.Num(v, ""))
			}
		}},
		{"one reading missing", []float64{40, 4, 3, 3, 2, 2}, "turbidity <= 5 NTU; ph >= 6.5", 30, 1, 2, func(s jartest.Series) { s.Jars[4].Readings.Set(jartest.PH, jartest.Num(7, "")) }},
	} {
		s := jarSeries(c.name, jartest.Turbidity, doses, c.ntu)
		s.Raw = map[jartest.Key]jartest.Reading{}
		if c.turn != nil {
			c.turn(s)
		}
		r := Analyse(s, targets(t, c.ask), Options{OnlyTarget: true})
		if r.HasLowestPassing != (c.jars > 0) || r.PassingJars != c.jars {
			t.Errorf("%s: %v, %d jars, %+v", c.name, r.HasLowestPassing, r.PassingJars, r.LowestPassing)
		}
		matches(t, c.name+": dose", float64(r.LowestPassing.Dose), c.dose, 0)
		matches(t, c.name+": reading", r.LowestPassing.Reading, c.read, 1e-9)
	}
}

// TestPassesTwice: two doses that clearly pass about one that clearly fails contradict a
// single lowest dose, by how many scatters each is off.
func TestPassesTwice(t *testing.T) {
	u := []float64{0, 0.25, 0.5, 0.75, 1}
	for _, c := range []struct {
		off  []float64 // scatters by which each of four doses lies above the target
		want string
	}{
		{[]float64{5, -2.1, 3.1, -2.1}, "20.0 mg/L and 60.0 mg/L meet the target but 40.0 mg/L"}, {[]float64{5, -1.9, 3.1, -2.1}, ""},
		{[]float64{5, -2.1, 2.9, -2.1}, ""}, {[]float64{5, -2.1, 3.1, -1.9}, ""}, {[]float64{-2.1, -2.1, 3.1, -2.1}, "20.0 mg/L and 60.0 mg/L"}, {[]float64{5, -3, -3, 3}, ""},
	} {
		a, cloud, _ := made(60, u, "turbidity <= 5 NTU", t, []float64{0, 0, 0, 0, 0})
		cloud.Sigma = []float64{0.1}
		var y []float64
		for _, off := range c.off {
			y = append(y, 5*math.Exp(0.1*off))
		}
		s := jarSeries("x", jartest.Turbidity, []float64{10, 20, 40, 60}, y)
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, jartest.Turbidity, col, false, nil)
		for i := range p.Obs.W {
			p.Obs.W[i] = 1
		}
		got := a.contradiction(&p)
		if said := noteOf(*a.r, "passes-twice"); got != (c.want != "") || !strings.HasPrefix(said, c.want) || got != (a.r.Outcome == Ambiguous) {
			t.Errorf("%v: %v %q", c.off, got, said)
		}
	}
}
