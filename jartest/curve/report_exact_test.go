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

// written are models by the formulas that are shown, in the user's units.
var written = map[string]func(d float64, p map[string]float64) float64{
	"exponential fall": func(d float64, p map[string]float64) float64 {
		floor := p["C"] * math.Exp(-p["A"])
		return floor + (p["C"]-floor)*math.Exp(-p["k"]*d)
	},
	"log-logistic fall": func(d float64, p map[string]float64) float64 {
		floor := p["C"] * math.Exp(-p["A"])
		return floor + (p["C"]-floor)/(1+math.Pow(d/p["e"], p["h"]))
	},
	"Weibull fall": func(d float64, p map[string]float64) float64 {
		floor := p["C"] * math.Exp(-p["A"])
		return floor + (p["C"]-floor)*math.Exp(-math.Pow(d/p["e"], p["m"]))
	},
	"log parabola": func(d float64, p map[string]float64) float64 { return p["C"] * math.Exp(-p["b"]*d+p["c"]*d*d) },
	"saturating fall, steady rise": func(d float64, p map[string]float64) float64 {
		return p["C"] * math.Exp(-p["A"]*(1-math.Exp(-p["k"]*d))+p["s"]*d)
	},
	"broken stick": func(d float64, p map[string]float64) float64 {
		floor := p["C"] * math.Exp(-p["A"])
		return p["C"] - (p["C"]-floor)*math.Min(d/p["b"], 1)
	},
	"bent line":            func(d float64, p map[string]float64) float64 { return p["a"] + p["b"]*(d+p["q"]*d*d) },
	"exponential approach": func(d float64, p map[string]float64) float64 { return p["a"] + p["b"]*(1-math.Exp(-p["k"]*d)) },
	"log parabola about the optimum": func(d float64, p map[string]float64) float64 {
		return p["m"] * math.Exp(p["c"]*(d-p["o"])*(d-p["o"]))
	},
}

// values gives a model's parameters by name.
func values(w ModelWeight) map[string]float64 {
	out := map[string]float64{}
	for _, p := range w.Params {
		out[p.Name] = p.Value
	}
	return out
}

// TestModelsInTheUsersUnits: the parameters that are told, put into the formula that is
// told, give the dose that is told for the target, and the sum of squares about the jars.
func TestModelsInTheUsersUnits(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 60, 80}
	for _, c := range []struct {
		name, ask string
		level     float64
		s         jartest.Series
		log       bool
	}{
		{"turbidity", "turbidity <= 6 NTU", 6, jarSeries("x", jartest.Turbidity, doses, []float64{44, 19, 9.1, 5.4, 3.3, 2.4, 2.2}), true},
		{"removal", "turbidity removal >= 80 %", 9.2, func() jartest.Series {
			s := jarSeries("x", jartest.Turbidity, doses, []float64{44, 19, 9.1, 5.4, 3.3, 2.4, 2.2})
			s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(46, "NTU")}
			return s
		}(), true},
		{"pH", "ph <= 6.5", 6.5, jarSeries("x", jartest.PH, doses, []float64{7.4, 7.19, 7.01, 6.8, 6.57, 6.2, 5.7}), false},
	} {
		r := Analyse(c.s, targets(t, c.ask), Options{})
		if r.Outcome != Found {
			t.Fatalf("%s: %s", c.name, r.Outcome)
		}
		checked, share := 0, 0.0
		for _, w := range r.Models {
			share += w.Weight
			f := written[w.Name]
			if f == nil {
				continue
			}
			if w.Name == "broken stick" && !c.log {
				f = func(d float64, p map[string]float64) float64 { return p["a"] + p["c"]*math.Min(d/p["b"], 1) }
			}
			p := values(w)
			if w.HasDose {
				matches(t, c.name+": "+w.Name+" at its dose", f(float64(w.Dose), p), c.level, 1e-6*c.level)
			}
			if c.log {
				rss := 0.0
				for _, j := range r.Jars {
					rss += math.Pow(math.Log(j.Reading/f(float64(j.Dose), p)), 2)
				}
				matches(t, c.name+": "+w.Name+" squares", w.RSS, rss, 0.03*rss+1e-6) // but for the meter's step
				n, k := float64(len(r.Jars))+2, float64(len(w.Params)+1)
				matches(t, w.Name+": criterion", w.Criterion, n*math.Log((w.RSS+2*0.08*0.08)/n)+2*k+2*k*(k+1)/(n-k-1), 1e-9)
			}
			for _, q := range w.Params {
				if q.SE <= 0 || q.Meaning == "" {
					t.Errorf("%s: %s has SE %g, %q", w.Name, q.Name, q.SE, q.Meaning)
				}
			}
			checked++
		}
		if checked < 2 {
			t.Errorf("%s: %d models checked", c.name, checked)
		}
		matches(t, c.name+": shares", share, 1, 1e-9)
	}
}

// TestStandardErrors: of a model's parameters, by the inverse of its information.
func TestStandardErrors(t *testing.T) {
	s := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 60, 80}, []float64{44, 19, 9.1, 5.4, 3.3, 2.4, 2.2})
	e := engine.New()
	r := analyse(e, s, below(6), Options{OnlyTarget: true})
	col, _ := factorColumn(s, 0, "")
	p := prepare(s, jartest.Turbidity, col, false, nil)
	o := p.Obs
	o.U, o.Y = slices.Clone(o.U), slices.Clone(o.Y)
	for i := range o.U {
		o.U[i], o.Y[i] = engine.Steady(o.U[i]/80), engine.Steady(o.Y[i])
	}
	for i, m := range e.Build(&o, engine.Models(), freeShare).Models {
		inv, err := m.Fit.Inverse()
		if err != nil {
			continue
		}
		w := r.Models[i]
		dim := 1 + len(m.Model.Params)
		matches(t, w.Name+": C", w.Params[0].SE, w.Params[0].Value*math.Sqrt(inv[0]), 1e-9*w.Params[0].SE)
		matches(t, w.Name+": C", w.Params[0].Value, math.Exp(m.A), 1e-9)
		for k, q := range m.Model.Params {
			matches(t, w.Name+": "+q.Name, w.Params[1+k].SE, w.Params[1+k].Value*q.Spread*math.Sqrt(inv[(k+1)*dim+k+1]), 1e-9*w.Params[1+k].SE)
			matches(t, w.Name+": "+q.Name, w.Params[1+k].Value, m.Shape[k]*math.Pow(80, float64(q.Dose)), 1e-9*w.Params[1+k].Value)
		}
		units := map[int]string{1: "mg/L", -1: "per mg/L", -2: "per (mg/L)^2", 0: ""}
		for k, q := range m.Model.Params {
			if w.Params[1+k].Unit != units[q.Dose] {
				t.Errorf("%s: %s in %q", w.Name, q.Name, w.Params[1+k].Unit)
			}
		}
	}
}

// TestCurveAtADose: straight lines between the points of the curve.
func TestCurveAtADose(t *testing.T) {
	curve := []Point{{0, 40, 30, 50}, {10, 20, 15, 30}, {30, 10, 5, 12}}
	for d, want := range map[quantity.Concentration]*Point{0: {0, 40, 30, 50}, 5: {5, 30, 22.5, 40}, 10: {10, 20, 15, 30}, 25: {25, 12.5, 7.5, 16.5}, 30: {30, 10, 5, 12}, 31: nil, -1: nil} {
		got := At(curve, d)
		if (got == nil) != (want == nil) || got != nil && *got != *want {
			t.Errorf("at %v: %v, want %v", d, got, want)
		}
	}
}

// TestCurveReachesItsJars: the curve's points at the jars stand at their doses to the last
// digit. 5 of 26 is a fraction that no float holds: the first jar once fell off the curve.
func TestCurveReachesItsJars(t *testing.T) {
	doses := []float64{5, 10, 14, 18, 22, 26}
	r := Analyse(jarSeries("beck", jartest.Turbidity, doses, []float64{42, 25, 12, 7, 4.1, 3}), targets(t, "turbidity <= 5 NTU"), Options{})
	for _, d := range doses {
		if At(r.Curve, quantity.Concentration(d)) == nil || !slices.ContainsFunc(r.Curve, func(p Point) bool { return float64(p.Dose) == d }) {
			t.Errorf("no point of the curve at the jar's %v mg/L", d)
		}
	}
}

// TestReadingsBest: the best of every reading is its lowest or highest fitted value, as the
// target, or the kind of reading, has it.
func TestReadingsBest(t *testing.T) {
	s := smoothSeries(jartest.Turbidity, eight...)
	s = with(s, jartest.PH, func(d float64) float64 { return 7.4 - 0.01*d })
	s = with(s, jartest.TurbidityRemoval, func(d float64) float64 { return 100 * (1 - smooth(d)/45) })
	s = with(s, jartest.Zeta, func(d float64) float64 { return d - 30 })
	for ask, want := range map[string]map[jartest.Key]float64{
		"turbidity <= 6 NTU": {jartest.Turbidity: 60, jartest.PH: 5, jartest.TurbidityRemoval: 60, jartest.Zeta: 60},
		"zeta <= 5 mV":       {jartest.Turbidity: 60, jartest.Zeta: 5},
		"ph <= 7.2":          {jartest.PH: 60},
	} {
		r := Analyse(s, targets(t, ask), Options{})
		for _, rc := range r.Readings {
			if w, ok := want[rc.Key]; ok {
				within(t, ask+": best of "+string(rc.Key), float64(rc.Best.Dose), w-1e-9, w+1e-9)
			}
			if rc.Relative != (rc.Key == jartest.Turbidity || rc.Key == jartest.TurbidityRemoval) || len(rc.Curve) == 0 {
				t.Errorf("%s: relative %v, %d points", rc.Key, rc.Relative, len(rc.Curve))
			}
			if r.HasPlanning && (rc.AtPlanning == nil || rc.AtPlanning.Dose != r.Planning.Concentration) {
				t.Errorf("%s: at the planning dose %v", rc.Key, rc.AtPlanning)
			}
			for _, p := range rc.Curve {
				if p.Low > p.Fit || p.High < p.Fit {
					t.Errorf("%s: the band %v", rc.Key, p)
				}
			}
		}
		if r.Readings[0].Key != r.Response || len(r.Readings) != 4 {
			t.Errorf("%s: %d readings, the first %s", ask, len(r.Readings), r.Readings[0].Key)
		}
	}
	if r := Analyse(s, targets(t, "turbidity <= 6 NTU"), Options{OnlyTarget: true}); len(r.Readings) != 1 {
		t.Errorf("%d readings of one", len(r.Readings))
	}
}

// TestUnmet: why there is no dose, by hand: a change of less than two scatters of the
// difference is none unless the jars line up ([TestTrend]), the last jar or a curve that still falls by a scatter asks for more.
func TestUnmet(t *testing.T) {
	u := []float64{0, 1.0 / 3, 2.0 / 3, 1}
	for _, c := range []struct {
		name string
		mid  []float64 // ln; scatter 0.1, so that 0.283 is what two jars can differ by
		jars []float64
		want Outcome
		says string
	}{
		{"no change", []float64{3, 2.9, 2.8, 2.718}, []float64{20, 16, 18, 15}, NoResponse, "does not change with dose"},
		{"no change, in line", []float64{3, 2.9, 2.8, 2.718}, []float64{20, 18.2, 16.5, 15}, StillImproving, "is the one with the highest dose, 60.0 mg/L (15.1 NTU)"},
		{"a change", []float64{3, 2.9, 2.8, 2.7165}, []float64{20, 18, 16, 15}, StillImproving, "is the one with the highest dose, 60.0 mg/L (15.1 NTU)"},
		{"still falls", []float64{3, 2.8, 2.6, 2.45}, []float64{20, 16, 12, 12.5}, StillImproving, "the curve still falls at the highest dose"},
		{"hardly falls", []float64{3, 2.8, 2.6, 2.55}, []float64{20, 16, 12, 12.5}, NotReached, "lowest fitted reading is 12.8 NTU at 60.0 mg/L"},
		{"turns", []float64{3, 2.5, 2.4, 2.9}, []float64{20, 12, 11, 18}, NotReached, "no dose in the tested range meets the target"},
		{"only worse", []float64{3, 3.1, 3.2, 3.2835}, []float64{20, 22, 24, 27}, NotReached, "every dose above makes it worse"},
		{"hardly worse", []float64{3, 3.1, 3.2, 3.282}, []float64{20, 24, 22, 26}, NoResponse, "does not change with dose"},
		{"hardly worse, in line", []float64{3, 3.1, 3.2, 3.282}, []float64{20, 22, 24, 26.3}, NotReached, "every dose above makes it worse"},
	} {
		a, cloud, _ := made(60, u, "turbidity <= 5 NTU", t, c.mid)
		s := jarSeries("x", jartest.Turbidity, []float64{0, 20, 40, 60}, c.jars)
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, jartest.Turbidity, col, false, nil)
		for i := range p.Obs.W {
			p.Obs.W[i] = 1
		}
		cloud.Obs = &engine.Observations{U: u, Y: c.mid, W: []float64{1, 1, 1, 1}, Limit: make([]int8, 4)}
		a.r.doses = []float64{20, math.Inf(1), math.Inf(1), math.Inf(1)}
		a.unmet(&p, cloud, c.mid, a.best(&p, cloud, c.mid))
		var said []string
		for _, n := range a.r.Notes {
			said = append(said, n.Message)
		}
		if a.r.Outcome != c.want || !strings.Contains(strings.Join(said, "\n"), c.says) {
			t.Errorf("%s: %s %q", c.name, a.r.Outcome, said)
		}
		if hasNote(*a.r, "nearly-reached") {
			t.Errorf("%s: a quarter of the curves is told as nearly", c.name)
		}
		a.r.Notes, a.r.doses = nil, []float64{20, 20, math.Inf(1), math.Inf(1), math.Inf(1)}
		a.unmet(&p, cloud, c.mid, a.best(&p, cloud, c.mid))
		if said := noteOf(*a.r, "nearly-reached"); !strings.HasPrefix(said, "in 40 of 100 the target is met") {
			t.Errorf("%s: %q", c.name, said)
		}
	}
}

// TestAcidOfJars: jars are told as spoilt by acid by their own pH below 5.8 or alkalinity below 5, above the best
// jar and worse than it by more than the scatter.
func TestAcidOfJars(t *testing.T) {
	of := func(raw float64, alk, ph []float64, ntu ...float64) Result {
		s := jarSeries("acid", jartest.Turbidity, []float64{0, 10, 20, 30, 45, 60}, ntu)
		s.Chemicals[0].Basis = quantity.AsAlum14
		if raw > 0 {
			s.Raw = map[jartest.Key]jartest.Reading{jartest.AlkalinityKey: jartest.Num(raw, "mg/L CaCO3")}
		}
		for i := range s.Jars {
			j := &s.Jars[i]
			if alk != nil {
				j.Readings.Set(jartest.AlkalinityKey, jartest.Num(alk[i], "mg/L CaCO3"))
			}
			if ph != nil {
				j.Readings.Set(jartest.PH, jartest.Num(ph[i], ""))
			}
		}
		return Analyse(s, below(3), Options{OnlyTarget: true})
	}
	turned := []float64{60, 30, 12, 6, 14, 35}
	gone, kept := []float64{25, 20, 15, 10.2, 3, 1}, []float64{125, 120, 115, 110.2, 103, 101}
	said := noteOf(of(25, gone, nil, turned...), "alkalinity-ran-out")
	for _, want := range []string{"from 45.0 mg/L on the jars cloud again and their alkalinity is 3.0 mg/L as CaCO3", "so that about 30 mg/L as CaCO3 is left"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not say %q", said, want)
		}
	}
	if said = noteOf(of(0, nil, []float64{7, 6.8, 6.6, 6.4, 5.79, 5}, turned...), "alkalinity-ran-out"); !strings.Contains(said, "from 45.0 mg/L on the jars cloud again and their pH is 5.8") {
		t.Errorf("%q", said)
	}
	for name, r := range map[string]Result{
		"alkalinity kept": of(125, kept, nil, turned...), "pH just above": of(0, nil, []float64{7, 6.8, 6.6, 6.4, 5.8, 5.8}, turned...),
		"no worse than scatter": of(25, gone, nil, 60, 30, 12, 6, 6.3, 6.5), "gone before the best": of(25, []float64{25, 9, 15, 14, 14, 14}, nil, turned...),
	} {
		if hasNote(r, "alkalinity-ran-out") || r.Overdose.Sour.OK {
			t.Errorf("%s: told as acid", name)
		}
	}
	r := of(25, gone, nil, turned...)
	if o := r.Overdose; o.Sour.V != 45 || !o.Sour.OK || fmt.Sprintf("%.6g %.6g", o.Least, o.Worse) != "{30 6} [{45 14} {60 35}]" {
		t.Errorf("what the acid did: %+v", o)
	}
}

// TestFactorColumn: which jars can be compared, and why the others cannot.
func TestFactorColumn(t *testing.T) {
	s := jartest.Series{Chemicals: []jartest.Chemical{{Name: "alum"}, {Name: "polymer"}}}
	for _, d := range [][3]float64{{10, 0.2, 1}, {20, 0.2, 1}, {30, 0.5, 1}, {40, 0.2, 1}, {0, 0, 1}, {50, 0.2, 0}} {
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d[0]), Known: d[2] == 1}, {Concentration: quantity.Concentration(d[1]), Known: true}}})
	}
	c, notes := factorColumn(s, 0, "")
	if fmt.Sprint(c.ok) != "[true true false true false false]" || c.why[2] != "polymer differs from the other jars" || c.why[5] != "dose not known" || c.value[3] != 40 {
		t.Errorf("%v %v %v", c.ok, c.why, c.value)
	}
	if len(notes) != 1 || !strings.HasPrefix(notes[0].Message, "2 jar(s) got another dose") {
		t.Errorf("%v", notes)
	}
	if u := usualDoses(s, 0); u[1] != 0.2 || u[0] != 0 {
		t.Errorf("usual doses %v", u)
	}
	tie := s
	tie.Jars = s.Jars[1:3] // one jar each: the higher counts as usual
	if u := usualDoses(tie, 0); u[1] != 0.5 {
		t.Errorf("of 0.2 and 0.5 once each, %v", u)
	}
	if c, _ = factorColumn(s, 5, ""); c.ok[0] || c.why[0] != "dose not known" {
		t.Errorf("a chemical that is none: %v", c.why)
	}
	s.Jars[0].Settings = map[string]float64{"ph_target": 6.5, "ph": 7}
	s.Jars[1].Settings = map[string]float64{"ph": 7}
	s.Jars[2].Readings = jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(7.2, "")}}
	s.Jars[3].Readings = jartest.Readings{{Key: jartest.PH, Reading: jartest.Reading{State: jartest.Below, Value: 4, Limit: true}}}
	c, _ = factorColumn(s, -1, "ph")
	if fmt.Sprint(c.ok[:4]) != "[true true true false]" || fmt.Sprint(c.value[:3]) != "[6.5 7 7.2]" || c.why[3] != "no pH" {
		t.Errorf("against pH: %v %v %v", c.ok, c.value, c.why)
	}
}

// TestThresholds: the level that each curve must get to, by the definition of the target.
func TestThresholds(t *testing.T) {
	u := []float64{0, 0.5, 1}
	row := []float64{math.Log(40), math.Log(8), math.Log(10)}
	for _, c := range []struct {
		ask  string
		raw  float64
		want float64
	}{{"turbidity <= 5 NTU", 0, 5}, {"turbidity within 25 % of best", 0, 10}, {"turbidity removal >= 90 %", 0, 4}, {"turbidity removal >= 75 %", 0, 10}} {
		a, cloud, p := made(60, u, c.ask, t, row)
		matches(t, c.ask, math.Exp(a.goals[0].thresholds(cloud, p, a.e)[0]), c.want, 1e-9)
	}
	// Counted from the raw water, whose reading scatters as a jar's: about 6 of 60.
	a, cloud, p := made(60, u, "turbidity <= 5 NTU", t, row, row, row, row)
	s := a.s
	s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(60, "NTU")}
	g, _ := aim(s, targets(t, "turbidity removal >= 90 %")[0], p)
	if !g.fromRaw || g.ref != 60 {
		t.Errorf("%+v", g)
	}
	for k, l := range g.thresholds(cloud, p, a.e) {
		matches(t, "removal from raw water", l, math.Log(6)+0.1*a.e.Rough[k*31+7], 1e-9)
	}
	g.target.Value = 100
	if l := g.thresholds(cloud, p, a.e); !math.IsInf(l[0], -1) {
		t.Errorf("all removed: %g", l[0])
	}
	// Additive readings keep their own distance from the best, either way.
	z := jarSeries("z", jartest.Zeta, []float64{0, 30, 60}, []float64{-20, -8, 10})
	col, _ := factorColumn(z, 0, "")
	q := prepare(z, jartest.Zeta, col, false, nil)
	best := &engine.Cloud{U: u, F: [][]float64{{-20, -8, 10}}, Sigma: []float64{1}}
	within10 := goal{key: jartest.Zeta, target: jartest.Target{Kind: jartest.WithinBest, Value: 10}}
	matches(t, "low is good", within10.thresholds(best, &q, a.e)[0], -18, 1e-9)
	within10.high = true
	matches(t, "high is good", within10.thresholds(best, &q, a.e)[0], 9, 1e-9)
}

// TestMargins: how far a curve is from its goal, and the point of diminishing returns by
// hand: a reading that falls from 40 by 3, 1, 0.5 and 0.25 per mg/L.
func TestMargins(t *testing.T) {
	u := []float64{0, 0.25, 0.5, 0.75, 1}
	f := []float64{40, 34, 28, 27, 26.5}
	var row []float64
	for _, v := range f {
		row = append(row, math.Log(v))
	}
	a, c, p := made(40, u, "turbidity slope 0.35", t, row)
	p.dmax = 40
	out := make([]float64, 5)
	a.goals[0].margins(c, p, 0, math.NaN(), out)
	// central differences over 20 mg/L, one-sided at the ends: 0.6, 0.6, 0.35, 0.075, 0.05 per mg/L
	for i, want := range []float64{0.25, 0.25, 0, -0.275, -0.3} {
		matches(t, "beyond the slope asked", out[i], want*40, 1e-9)
	}
	a.goals[0].target.Value = 0.61
	a.goals[0].margins(c, p, 0, math.NaN(), out)
	for _, v := range out {
		matches(t, "never so fast", v, 1, 0)
	}
	// Before the steepest part nothing diminishes yet.
	late := []float64{math.Log(40), math.Log(39.9), math.Log(30), math.Log(20), math.Log(19.9)}
	a, c, p = made(40, u, "turbidity slope 0.2", t, late)
	p.dmax = 40
	a.goals[0].margins(c, p, 0, math.NaN(), out)
	if out[0] != 1e-9 || out[1] <= 0 || out[4] >= 0 {
		t.Errorf("%v", out)
	}
	b, d, q := made(40, u, "turbidity <= 30 NTU", t, row)
	b.goals[0].margins(d, q, 0, math.Log(30), out)
	matches(t, "below", out[2], math.Log(28.0/30), 1e-12)
	b.goals[0].high = true
	b.goals[0].margins(d, q, 0, math.Log(30), out)
	matches(t, "above", out[2], math.Log(30.0/28), 1e-12)
}

// TestEnoughForACurve: four doses carry the curve of any reading, three do not, nor do
// readings that are all limits but one.
func TestEnoughForACurve(t *testing.T) {
	s := with(jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50}, []float64{40, 20, 11, 6, 4, 3}), jartest.PH, func(d float64) float64 { return 7.4 - 0.01*d })
	curves := func() (n int) {
		for _, rc := range Analyse(s, below(5), Options{}).Readings {
			if rc.Key == jartest.PH {
				n = len(rc.Curve)
			}
		}
		return n
	}
	for i := range 3 {
		if (curves() > 0) != (i < 3) {
			t.Errorf("pH of %d jars: %d points", 6-i, curves())
		}
		s.Jars[i].Readings = s.Jars[i].Readings.Without(jartest.PH)
	}
	if curves() > 0 {
		t.Error("a curve of three jars")
	}
	few := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30}, []float64{40, 20, 11, 4})
	if r := Analyse(few, below(5), Options{}); r.Outcome == TooFewJars {
		t.Errorf("%s %v", r.Outcome, r.Notes)
	}
	for i := range 2 {
		few.Jars[i].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Above, Value: 12, Limit: true})
	}
	if r := Analyse(few, below(5), Options{}); r.Outcome == TooFewJars {
		t.Errorf("two exact readings: %s %v", r.Outcome, r.Notes)
	}
	few.Jars[2].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Above, Value: 12, Limit: true})
	if r := Analyse(few, below(5), Options{}); r.Outcome != TooFewJars || !strings.Contains(noteOf(r, "too-few-jars"), "only 4 different doses have a reading of turbidity that can be used, 1 of them within the meter's range; a curve needs 4") || r.TestedHigh != 30 || r.Best.Dose != 30 {
		t.Errorf("one exact reading: %s %v, best %v", r.Outcome, r.Notes, r.Best)
	}
	three := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 20}, []float64{40, 20, 4.5, 4.7})
	if r := Analyse(three, below(5), Options{}); r.Outcome != TooFewJars || r.LowestPassing.Dose != 20 || r.PassingJars != 2 {
		t.Errorf("three doses: %s, passing %+v", r.Outcome, r.LowestPassing)
	}
}

// TestAdvice: how many doses the interval holds, and how wide it is, is said.
func TestAdvice(t *testing.T) {
	a, cloud, p := made(60, []float64{0, 1}, "turbidity <= 5 NTU", t, []float64{3, 1})
	p.Obs.U, p.Obs.Y, p.Obs.W, p.Obs.Limit = []float64{10, 20, 30, 40}, []float64{4, 3, 2, 1}, []float64{1, 1, 1, 1}, make([]int8, 4)
	p.dmax = 60
	a.r.Response, a.r.Outcome, a.r.HasPlanning = jartest.Turbidity, Found, true
	for _, c := range []struct {
		i      Interval
		inside string
		wide   string
	}{
		{Interval{Value: 25, Low: 20, High: 30, HasLow: true, HasHigh: true}, "2 of the tested doses", ""},
		{Interval{Value: 25, Low: 20.1, High: 30, HasLow: true, HasHigh: true}, "", ""},
		{Interval{Value: 25, Low: 20, High: 29.9, HasLow: true, HasHigh: true}, "", ""},
		{Interval{Value: 25, Low: 20}, "4 of the tested doses", ""},
		{Interval{Value: 25, Low: 20, HasLow: true}, "3 of the tested doses", ""},
		{Interval{Value: 25, High: 30, HasHigh: true}, "3 of the tested doses", ""},
		{Interval{Value: 25, Low: 20, High: 31, HasLow: true, HasHigh: true}, "2 of the tested doses", "its upper end is 1.6 times its lower"},
	} {
		a.r.Notes, a.r.Effective = nil, c.i
		a.advise()
		if said := noteOf(*a.r, "cannot-tell-apart"); (said != "") != (c.inside != "") || !strings.HasPrefix(said, c.inside) {
			t.Errorf("%+v: %q", c.i, said)
		}
		if said := noteOf(*a.r, "wide-interval"); (said != "") != (c.wide != "") || !strings.Contains(said, c.wide) {
			t.Errorf("%+v: %q", c.i, said)
		}
	}
	a.r.Notes, a.r.HasPlanning = nil, false
	if a.advise(); len(a.r.Notes) > 0 {
		t.Errorf("advice without a planning dose: %v", a.r.Notes)
	}
	cloud.Free.Share, cloud.Stairs.Share = 0.1, 0.4
	p.Obs.DoseError = 0
	a.advise()
	said := strings.Join(a.r.Method, "\n")
	for _, want := range []string{"beside the models, 36 % of the answer comes from curves that are level", "a further 10 % of the answer", "logarithm of the reading; so a jar counts by how many per cent it lies off", "show: about 10 %"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not in the method: %s", want, said)
		}
	}
	const off = "every curve is drawn with the doses off by some 1.5 % either way"
	if strings.Contains(said, off) {
		t.Error("doses that are taken as written are said to be off")
	}
	p.Obs.DoseError = 0.015
	if a.advise(); !strings.Contains(strings.Join(a.r.Method, "\n"), off) {
		t.Error("the method is silent on doses that are off")
	}
	if cloud.Stairs.Share = 0; true {
		if a.advise(); strings.Contains(strings.Join(a.r.Method, "\n"), "beside the models") {
			t.Error("stairs without a share are told")
		}
	}
}

// TestRemovalReference: what removal is counted from: the raw water's number, else the blank.
func TestRemovalReference(t *testing.T) {
	ask := targets(t, "turbidity removal >= 90 %")[0]
	for _, c := range []struct {
		name string
		raw  jartest.Reading
		from float64 // the lowest dose
		ref  float64
		code string
	}{
		{"raw water", jartest.Num(60, "NTU"), 0, 60, ""}, {"repeats of it", jartest.Reading{State: jartest.Number, Value: 65, Replicates: []jartest.Reading{jartest.Num(50, "NTU"), jartest.Num(72, "NTU")}}, 0, 60, ""},
		{"a limit", jartest.Reading{State: jartest.Above, Value: 60, Limit: true}, 0, 40, ""}, {"zero", jartest.Num(0, "NTU"), 0, 40, ""}, {"the blank", jartest.Reading{}, 0, 40, ""},
		{"neither", jartest.Reading{}, 5, 0, "no-reference"},
	} {
		s := jarSeries("x", jartest.Turbidity, []float64{c.from, 10, 20, 30}, []float64{40, 20, 11, 4})
		if c.raw.State == jartest.Number || c.raw.Limit {
			s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: c.raw}
		}
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, jartest.Turbidity, col, false, nil)
		g, n := aim(s, ask, &p)
		if (n != nil) != (c.code != "") || n != nil && n.Code != c.code || g.high {
			t.Errorf("%s: %v", c.name, n)
		}
		matches(t, c.name, g.ref, c.ref, 1e-9)
	}
	for text, code := range map[string]string{"turbidity <= 0 NTU": "target-unreachable", "turbidity_removal >= 100 %": ""} {
		s := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30}, []float64{40, 20, 11, 4})
		r := Analyse(s, targets(t, text), Options{})
		if code != "" && !hasNote(r, code) || r.Outcome == Found {
			t.Errorf("%s: %s %v", text, r.Outcome, r.Notes)
		}
	}
}

// TestOptimumByHand: of a reading ln f = ln 2 + 0.4 (pH - 6.4)², the best pH, and its end where
// the range ends before it.
func TestOptimumByHand(t *testing.T) {
	series := func(shift float64, ph ...float64) jartest.Series {
		s := jartest.Series{Name: "ph", Chemicals: []jartest.Chemical{{Name: "alum"}}}
		for i, v := range ph {
			s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1), Settings: map[string]float64{"ph_target": v},
				Doses:    []jartest.JarDose{{Concentration: 10, Known: true}},
				Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(2*math.Exp(0.4*math.Pow(v-6.4-shift, 2)), "NTU")}}})
		}
		return s
	}
	six := []float64{5.2, 5.7, 6.2, 6.7, 7.2, 7.7}
	for _, c := range []struct {
		name, ask string
		shift     float64
		want      Outcome
		best      float64
	}{
		{"inside", "turbidity <= 2.3 NTU", 0, Found, 6.4}, {"not reached", "turbidity <= 1 NTU", 0, NotReached, 6.4},
		{"beyond the end", "turbidity <= 1 NTU", 3, StillImproving, 7.7}, {"before the start", "turbidity <= 1 NTU", -2, StillImproving, 5.2},
	} {
		r := Analyse(series(c.shift, six...), targets(t, c.ask), Options{})
		if r.Outcome != c.want || !hasNote(r, "ph-series") || r.HasPlanning || r.TestedLow != 5.2 || r.TestedHigh != 7.7 {
			t.Errorf("%s: %s %v", c.name, r.Outcome, r.Notes)
		}
		if len(r.Beside) != 1 || r.Beside[0].Chemical.Name != "alum" || r.Beside[0].Dose != 10 {
			t.Errorf("%s: beside %+v", c.name, r.Beside)
		}
		within(t, c.name, float64(r.Optimum.Value), c.best-0.06, c.best+0.06)
		if c.want == Found {
			if !r.Optimum.HasLow || !r.Optimum.HasHigh || r.Optimum.Low >= r.Optimum.Value || r.Optimum.High <= r.Optimum.Value || r.Optimum.Confidence != 0.9 {
				t.Errorf("%+v", r.Optimum)
			}
			matches(t, "met at the best", float64(r.Confidence(6.4)), 1, 0.02)
			matches(t, "met at an end", float64(r.Confidence(5.2)), 0, 0.02)
			for _, w := range r.Models {
				if f := written[w.Name]; f != nil && w.Name == "log parabola about the optimum" {
					p := values(w)
					matches(t, "optimum of the parabola", p["o"], 6.4, 0.02)
					matches(t, "its curvature", p["c"], 0.4, 0.05)
					matches(t, "its value", f(6.4, p), 2, 0.05)
				}
			}
			if r.LowestPassing.Dose != 6.2 {
				t.Errorf("lowest passing jar at %v", r.LowestPassing.Dose)
			}
		}
	}
	if r := Analyse(series(0, 5.7, 6.2, 6.7), targets(t, "turbidity <= 3 NTU"), Options{}); r.Outcome != TooFewJars || !strings.Contains(noteOf(r, "too-few-jars"), "only 3 different pH") {
		t.Errorf("three pH: %s %v", r.Outcome, r.Notes)
	}
}

// TestScatterSaid: duplicate jars that scatter by 30 % on four degrees of freedom, where 8 %
// is usual, are said to, in those numbers; by 11 %, less than one and a half times the usual, not.
func TestScatterSaid(t *testing.T) {
	a, cloud, p := made(60, []float64{0, 1}, "turbidity <= 5 NTU", t, []float64{3, 1})
	m := engine.Models()[0]
	cloud.Models, cloud.Shares = []engine.ModelSample{{Model: &m}}, []float64{1}
	cloud.Obs.Scatter = engine.UsualScatter
	for _, c := range []struct {
		sd   float64
		says string
	}{{0.3, "the jars scatter by about 30 %, more than the usual 8 %;"}, {0.11, ""}} {
		a.r.Notes, p.PureSD, p.PureDF = nil, c.sd, 4
		a.scatterFlag(p, cloud)
		if said := noteOf(*a.r, "scatter"); (said != "") != (c.says != "") || !strings.HasPrefix(said, c.says) {
			t.Errorf("%g: %q", c.sd, said)
		}
	}
}
