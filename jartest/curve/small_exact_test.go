package curve

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/engine/lsq"
	"jarwright/jartest/quantity"
)

// TestStockOfASeries: stock and jar volume of the chemical that was varied.
func TestStockOfASeries(t *testing.T) {
	s := jarSeries("x", jartest.Turbidity, eight, eight)
	s.Chemicals[0].Stock, s.JarVolume = 10000, 2
	if o := StockOf(s); o.Stock != 10000 || o.JarVolume != 2 {
		t.Errorf("%+v", o)
	}
	if o := StockOf(jartest.Series{JarVolume: 2}); o.Stock != 0 || o.JarVolume != 2 {
		t.Errorf("no chemical: %+v", o)
	}
}

// TestFallByDirection: how fast a reading gets better, by what is good of it.
func TestFallByDirection(t *testing.T) {
	c := &engine.Cloud{U: []float64{0, 0.5, 1}}
	for _, x := range []struct {
		key     jartest.Key
		atLeast bool
		values  []float64
		want    float64 // at the middle, per unit of scaled dose
	}{
		{jartest.Turbidity, false, []float64{40, 20, 10}, 30}, {jartest.Turbidity, true, []float64{40, 20, 10}, -30},
		{jartest.TurbidityRemoval, false, []float64{20, 60, 90}, 70}, {jartest.PH, false, []float64{7, 6.5, 6}, -1}, {"own", false, []float64{9, 5, 3}, 6},
	} {
		s := jarSeries("x", x.key, []float64{0, 30, 60}, x.values)
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, x.key, col, false, nil)
		var row []float64
		for _, v := range x.values {
			row = append(row, p.Scale.Work(v))
		}
		g := goal{key: x.key, target: jartest.Target{Kind: jartest.Slope, AtLeast: x.atLeast}}
		matches(t, string(x.key), g.fall(c, &p, row, 1), x.want, 1e-9)
		matches(t, string(x.key)+" at the start", g.fall(c, &p, row, 0), x.want/math.Abs(x.want)*2*math.Abs(x.values[1]-x.values[0]), 1e-9)
		matches(t, string(x.key)+" at the end", g.fall(c, &p, row, 2), x.want/math.Abs(x.want)*2*math.Abs(x.values[2]-x.values[1]), 1e-9)
	}
}

// TestForetold: a model gains without a jar what the jar's density was: one over Student's
// density of four degrees, 3/8 (1 + d²/4)^-5/2, of the deviation; nothing for a limit.
func TestForetold(t *testing.T) {
	m := engine.Bent()
	m.Values = func(_ []engine.Place, _, out []float64) { clear(out) }
	o := &engine.Observations{U: []float64{0, 0.5, 1}, Y: []float64{3, 3.2, 3}, W: []float64{1, 4, 1}, Limit: make([]int8, 3)}
	c := &engine.Cloud{Obs: o, Models: []engine.ModelSample{{Model: &m, Sigma: 0.1}}}
	fit := &lsq.Fit{Params: []float64{3.1, 0}}
	d := 0.1 / (0.1 / 2) // of a scatter of 0.1 over the root of the weight
	matches(t, "gain", foretold(c, 0, 1, fit), 0.1/2/(0.375*math.Pow(1+d*d/4, -2.5)), 1e-12)
	matches(t, "gain of one on the curve", foretold(c, 0, 0, &lsq.Fit{Params: []float64{3, 0}}), 0.1/0.375, 1e-12)
	o.Limit[1] = -1
	matches(t, "a limit", foretold(c, 0, 1, fit), 1, 0)
}

// TestPassesByTheReading: what a jar's reading must be, the bounds included.
func TestPassesByTheReading(t *testing.T) {
	s := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30}, []float64{40, 20, 8, 10})
	s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(100, "NTU")}
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	for _, c := range []struct {
		ask  string
		most float64 // that passes
	}{{"turbidity <= 5 NTU", 5}, {"turbidity removal >= 80 %", 20}, {"turbidity removal >= 93 %", 7}, {"turbidity within 25 % of best", 10}} {
		g, n := aim(s, targets(t, c.ask)[0], &p)
		if n != nil {
			t.Fatal(n)
		}
		if !g.passes(c.most-1e-6, &p) || g.passes(c.most+1e-6, &p) {
			t.Errorf("%s: the border is not at %g", c.ask, c.most)
		}
	}
	if g := (goal{target: jartest.Target{Kind: jartest.Slope}}); g.passes(1, &p) {
		t.Error("a reading passes a slope")
	}
	if g := (goal{target: jartest.Target{Kind: jartest.Absolute, AtLeast: true, Value: 6.5}}); g.passes(6.4, &p) || !g.passes(6.5, &p) {
		t.Error("at least")
	}
}

// TestIntervalIsOpen: what a found dose says where the jars bound it on neither side.
func TestIntervalIsOpen(t *testing.T) {
	s := jarSeries("wild", jartest.Turbidity, []float64{5, 10, 20, 30, 40, 50}, []float64{7.29, 5.35, 2.06, 4.56, 4.88, 4.05})
	r := Analyse(s, below(5), Options{})
	if r.Outcome == Found && !r.Effective.HasLow && !r.Effective.HasHigh && !hasNote(r, "no-interval") {
		t.Errorf("nothing is said of an interval without ends: %v", r.Notes)
	}
	a := &analysis{r: &Result{Factor: "dose", Targets: below(5), doses: []float64{5, 5, 5, 12, 20, 20, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, 30, math.Inf(1)}, grid: []float64{5, 50}, met: []float64{0.1, 0.9}}}
	cloud := &engine.Cloud{U: []float64{0.1, 1}, F: [][]float64{{2, 1}, {2, 1}}, Sigma: []float64{0.3, 0.3}, Obs: &engine.Observations{}}
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	p.dmax = 50
	a.s, a.e = s, engine.New()
	a.r.Response = jartest.Turbidity
	a.ready, a.cloud = map[jartest.Key]*prepared{jartest.Turbidity: &p}, map[jartest.Key]*engine.Cloud{jartest.Turbidity: cloud}
	a.mid = map[jartest.Key][]float64{jartest.Turbidity: {2, 1}}
	a.goals = []goal{{key: jartest.Turbidity, level: math.Log(5), target: below(5)[0]}}
	a.levels = [][]float64{{math.Log(5), math.Log(5)}}
	a.decide()
	want := "the jars do not bound the lowest effective dose: 30.0 mg/L is only where the target is met as likely as not, and it may be met at the lowest dose tested, 5.00 mg/L, or not even at the highest, 50.0 mg/L"
	if said := noteOf(*a.r, "no-interval"); len(said) < len(want) || said[:len(want)] != want || a.r.Effective.HasLow || a.r.Effective.HasHigh {
		t.Errorf("%q, %+v", said, a.r.Effective)
	}
}

// TestBareBest: what is told without a curve: the best jar by its mean, as the target has it.
func TestBareBest(t *testing.T) {
	for _, c := range []struct {
		key  jartest.Key
		ask  string
		y    []float64
		best float64
	}{{jartest.Turbidity, "turbidity <= 5 NTU", []float64{40, 7, 9}, 20}, {jartest.PH, "ph >= 7.5", []float64{6.5, 7, 6.8}, 20}, {jartest.PH, "ph <= 6", []float64{6.5, 7, 6.8}, 10}} {
		r := Analyse(jarSeries("x", c.key, []float64{10, 20, 30}, c.y), targets(t, c.ask), Options{})
		if r.Outcome != TooFewJars || float64(r.Best.Dose) != c.best || r.TestedLow != 10 || r.TestedHigh != 30 {
			t.Errorf("%s: %s, best %v, tested %v to %v", c.ask, r.Outcome, r.Best, r.TestedLow, r.TestedHigh)
		}
	}
}

// TestEdgeAsksOneReading: the edge is that of the reading that decides, and of a level.
func TestEdgeAsksOneReading(t *testing.T) {
	s := jarSeries("x", jartest.Turbidity, []float64{10, 20, 30, 40}, []float64{40, 20, 10, 4})
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	for ask, says := range map[string]bool{"turbidity <= 5 NTU": true, "turbidity within 10 % of best": false, "turbidity slope 0.1": false} {
		a, _, _ := made(40, []float64{0, 1}, ask, t, []float64{3, 1})
		a.edge(&p)
		if hasNote(*a.r, "edge-of-range") != says {
			t.Errorf("%s: %v", ask, a.r.Notes)
		}
	}
	a, _, _ := made(40, []float64{0, 1}, "turbidity <= 5 NTU", t, []float64{3, 1})
	a.goals[0].key = jartest.TSS
	if a.edge(&p); len(a.r.Notes) > 0 {
		t.Errorf("the edge of another reading: %v", a.r.Notes)
	}
}

// TestPHWithoutTarget: against pH, where no target is given, within a tenth of the best counts.
func TestPHWithoutTarget(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum"}}}
	for i, v := range []float64{11, 7, 5.5, 5.7, 8, 13} {
		j := jartest.Jar{Settings: map[string]float64{"ph_target": 5 + 0.5*float64(i)}, Doses: []jartest.JarDose{{Concentration: 10, Known: true}}}
		j.Readings.Set(jartest.Turbidity, jartest.Num(v, "NTU"))
		s.Jars = append(s.Jars, j)
	}
	r := Analyse(s, nil, Options{})
	if len(r.Targets) != 1 || r.Targets[0].String() != "turbidity within 10 % of best" {
		t.Errorf("%v", r.Targets)
	}
	if r = Analyse(jarSeries("x", jartest.Turbidity, eight, eight), nil, Options{}); !hasNote(r, "no-target") || r.Outcome != "" {
		t.Errorf("%s %v", r.Outcome, r.Notes)
	}
}

// TestBestOf: the first of the best, low or high as the reading has it.
func TestBestOf(t *testing.T) {
	for _, c := range []struct {
		ask  string
		v    []float64
		want int
	}{
		{"turbidity <= 5 NTU", []float64{3, 1, 1, 2}, 1}, {"turbidity <= 5 NTU", []float64{1, 2, 3}, 0}, {"turbidity <= 5 NTU", []float64{3, 2, 1}, 2},
	} {
		a, _, p := made(60, []float64{0, 1}, c.ask, t)
		if got := a.bestOf(p, c.v); got != c.want {
			t.Errorf("best of %v is at %d", c.v, got)
		}
	}
	s := jarSeries("ph", jartest.PH, []float64{0, 60}, []float64{7, 6})
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.PH, col, true, nil)
	a := &analysis{r: &Result{}, goals: []goal{{key: jartest.PH, high: true}}}
	for want, v := range [][]float64{{9, 2, 9}, {1, 9, 9}, {1, 8, 9}} {
		if got := a.bestOf(&p, v); got != want {
			t.Errorf("highest of %v is at %d", v, got)
		}
	}
}

// TestSour: a jar of aluminium is too sour for floc of particles where its alkalinity is below 5 mg/L, or its pH
// below 5.8; a limit tells it only where it is no more than 5 (common practice, no source).
func TestSour(t *testing.T) {
	limit := func(state jartest.State, v float64) jartest.Reading {
		return jartest.Reading{State: state, Value: v, Limit: true, Unit: "mg/L CaCO3"}
	}
	for _, c := range []struct {
		key  jartest.Key
		read jartest.Reading
		want bool
	}{
		{jartest.AlkalinityKey, jartest.Num(4.9, "mg/L CaCO3"), true}, {jartest.AlkalinityKey, jartest.Num(5, "mg/L CaCO3"), false},
		{jartest.AlkalinityKey, limit(jartest.Below, 5), true}, {jartest.AlkalinityKey, limit(jartest.Below, 6), false},
		{jartest.AlkalinityKey, limit(jartest.Above, 4), false}, {jartest.AlkalinityKey, jartest.Reading{State: jartest.Below, Value: 4}, false},
		{jartest.PH, jartest.Num(5.7, ""), true}, {jartest.PH, jartest.Num(5.8, ""), false}, {jartest.PH, limit(jartest.Below, 5), false},
		{jartest.Turbidity, jartest.Num(1, "NTU"), false},
	} {
		if _, got := (&Result{}).FlocWater().Sour(jartest.Readings{{Key: c.key, Reading: c.read}}); got != c.want {
			t.Errorf("%s %+v: %v", c.key, c.read, got)
		}
	}
}

// TestFlocWater: what colours the water goes in sourer water than particles, and iron bears more acid than aluminium: pH 5
// to 6.5 for colour with aluminium, 5.8 up for particles, iron from 5 and 4 (common practice, no source).
func TestFlocWater(t *testing.T) {
	for _, c := range []struct {
		name        string
		basis       quantity.Basis
		response    jartest.Key
		target      string
		least       quantity.PH
		kept        quantity.Alkalinity
		forOrganics bool
	}{
		{"alum", quantity.AsAlum14, jartest.Turbidity, "turbidity <= 5 NTU", 5.8, 30, false},
		{"PACl", quantity.AsProduct, jartest.Colour, "colour <= 15 Pt-Co", 5, 10, true},
		{"alum", quantity.AsAl, jartest.Turbidity, "toc <= 3 mg/L", 5, 10, true},
		{"alum", quantity.AsAl, jartest.UV254, "turbidity <= 5 NTU", 5, 10, true},
		{"alum", quantity.AsAl, jartest.DOC, "doc <= 5 mg/L", 5, 10, true},
		{"any", quantity.AsFeCl3, jartest.Turbidity, "turbidity <= 5 NTU", 5, 30, false},
		{"Ferric chloride", quantity.AsProduct, jartest.Turbidity, "turbidity <= 5 NTU", 5, 30, false},
		{"ferric sulphate", quantity.NotStated, jartest.Colour, "colour <= 15 Pt-Co", 4, 5, true},
	} {
		r := Result{Chemical: jartest.Chemical{Name: c.name, Basis: c.basis}, Response: c.response, Targets: targets(t, c.target)}
		if w := r.FlocWater(); w.Least != c.least || w.Kept != c.kept || r.ForOrganics() != c.forOrganics || w.Most < w.Stays || w.Stays < w.Least {
			t.Errorf("%s %s for %s: %+v", c.name, c.basis, c.target, w)
		}
	}
}

// TestSoured: the lowest dose past the best that is both worse and sour.
func TestSoured(t *testing.T) {
	s := jarSeries("acid", jartest.Turbidity, []float64{10, 20, 30, 40, 50}, []float64{20, 4, 4.2, 9, 30})
	for i, ph := range []float64{5, 6.5, 5.5, 5.2, 4.5} {
		s.Jars[i].Readings.Set(jartest.PH, jartest.Num(ph, ""))
	}
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	a := &analysis{s: s, r: &Result{Factor: "dose"}}
	if from, _, ok := a.soured(&p, 20, math.Log(5)); !ok || from != 40 { // 30 is sour but no worse than ln 5, 10 lies before the best
		t.Errorf("from %g, %v", from, ok)
	}
	if _, _, ok := a.soured(&p, 20, math.Log(31)); ok {
		t.Error("no jar is worse")
	}
}

// TestHolds counts doses inside an interval, its ends with it; an open end holds all.
func TestHolds(t *testing.T) {
	u := []float64{10, 20, 30, 40}
	for _, c := range []struct {
		i    Interval
		want int
	}{
		{Interval{Low: 20, High: 30, HasLow: true, HasHigh: true}, 2}, {Interval{High: 30, HasHigh: true}, 3}, {Interval{Low: 30, HasLow: true}, 2},
		{Interval{}, 4}, {Interval{Low: 21, High: 29, HasLow: true, HasHigh: true}, 0},
	} {
		if got := c.i.holds(u); got != c.want {
			t.Errorf("%+v holds %d", c.i, got)
		}
	}
}

// TestNotesOfLimits: readings beyond the meter are counted, and nothing is said where there are none.
func TestNotesOfLimits(t *testing.T) {
	s := jarSeries("low", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50}, []float64{40, 22, 12, 6, 3, 2})
	if said := noteOf(Analyse(s, targets(t, "turbidity <= 8 NTU"), Options{}), "beyond-limit"); said != "" {
		t.Errorf("%q", said)
	}
	for _, i := range []int{4, 5} {
		s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Below, Value: 3, Limit: true, Unit: "NTU"})
	}
	if said := noteOf(Analyse(s, targets(t, "turbidity <= 8 NTU"), Options{}), "beyond-limit"); !strings.HasPrefix(said, "2 reading(s) beyond the meter's limit") {
		t.Errorf("%q", said)
	}
}

// TestSlopeNever says by how much the reading changes at most: from 5.2 to 4.4 over 10 mg/L, 0.080 a mg/L.
func TestSlopeNever(t *testing.T) {
	s := jarSeries("toc", jartest.TOC, []float64{0, 10, 20, 30, 40, 50, 60}, []float64{5.2, 4.4, 3.7, 3.2, 2.9, 2.75, 2.68})
	if said := noteOf(Analyse(s, targets(t, "toc slope 3 mg/L per 10 mg/L"), Options{}), "slope-never"); !strings.Contains(said, "changes by 0.080 mg/L per mg/L at most") {
		t.Errorf("%q", said)
	}
}

// TestLackOfFitByHand: F is what the best model leaves beyond the pairs' own scatter, by degree of
// freedom, over that scatter: the six doses less the level and the model's parameters, and six pairs.
func TestLackOfFitByHand(t *testing.T) {
	s := jarSeries("pairs", jartest.Turbidity, []float64{10, 10, 20, 20, 30, 30, 40, 40, 50, 50, 60, 60}, []float64{40, 40.4, 12, 12.1, 20, 20.2, 6, 6.06, 10, 10.1, 3, 3.03})
	r := Analyse(s, targets(t, "turbidity <= 8 NTU"), Options{})
	best := 0
	for i, m := range r.Models {
		if m.Params != nil && m.Weight > r.Models[best].Weight {
			best = i
		}
	}
	pure := 0.0
	for i := 0; i < len(s.Jars); i += 2 {
		d := math.Log(s.Jars[i].Readings.Of(jartest.Turbidity).Value / s.Jars[i+1].Readings.Of(jartest.Turbidity).Value)
		pure += d * d / 2
	}
	f := (r.Models[best].RSS - pure) / float64(6-len(r.Models[best].Params)) / (pure / 6)
	var said float64
	if _, err := fmt.Sscanf(noteOf(r, "lack-of-fit"), "replicate jars agree better with each other than with any smooth model (F = %g)", &said); err != nil || math.Abs(said/f-1) > 0.005 {
		t.Errorf("F %g, by hand %g, %v: %q", said, f, err, noteOf(r, "lack-of-fit"))
	}
}
