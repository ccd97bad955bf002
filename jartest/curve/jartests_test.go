package curve

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// jarSeries makes a series of one chemical: doses in mg/L, one reading a jar.
func jarSeries(name string, key jartest.Key, doses, readings []float64) jartest.Series {
	s := jartest.Series{Name: name, Chemicals: []jartest.Chemical{{Name: "alum"}}}
	for i, d := range doses {
		s.Jars = append(s.Jars, jartest.Jar{
			Label: fmt.Sprint(i + 1), Control: d == 0,
			Doses:    []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}},
			Readings: jartest.Readings{{Key: key, Reading: jartest.Num(readings[i], key.Info().Unit)}},
		})
	}
	return s
}

func target(t testing.TB, text string) []jartest.Target {
	t.Helper()
	g, err := jartest.ParseTarget(text)
	if err != nil {
		t.Fatal(err)
	}
	return []jartest.Target{g}
}

func hasNote(r Result, code string) bool {
	for _, n := range r.Notes {
		if n.Code == code {
			return true
		}
	}
	return false
}

func within(t *testing.T, what string, got, lo, hi float64) {
	t.Helper()
	if !(got >= lo && got <= hi) {
		t.Errorf("%s = %.4g, want %g to %g", what, got, lo, hi)
	}
}

// davisAlum is jar test II of the worked example in M. L. Davis, Water and
// Wastewater Engineering, 2010, chapter 6, pages 6-18 and 6-19: alum at pH 6. The
// book reads its optimum off as about 12.5 mg/L.
func davisAlum() jartest.Series {
	return jarSeries("davis", jartest.Turbidity, []float64{5, 7, 10, 12, 15, 20}, []float64{14, 9.5, 5, 4.5, 6, 13})
}

func TestDavisAlum(t *testing.T) {
	r := Analyse(davisAlum(), target(t, "turbidity <= 5 NTU"), Options{})
	if r.Outcome != Found || !r.HasPlanning {
		t.Fatalf("outcome %s, planning %v; %v", r.Outcome, r.HasPlanning, r.Notes)
	}
	within(t, "best dose", float64(r.Best.Dose), 11.8, 12.6)
	within(t, "best reading", r.Best.Reading, 4.2, 4.9)
	within(t, "lowest effective dose", float64(r.Effective.Value), 10, 11)
	within(t, "low end", float64(r.Effective.Low), 8.5, 10)
	if r.Effective.HasHigh && r.Effective.High < 12 {
		t.Errorf("interval ends at %v: the jars do not tell it that well", r.Effective.High)
	}
	within(t, "planning dose", float64(r.Planning.Concentration), 11.5, 13)
	if !r.Overdose.Seen {
		t.Error("over-dose not seen, though 20 mg/L is as bad as 5 mg/L")
	}
	if !r.HasLowestPassing || r.LowestPassing.Dose != 10 {
		t.Errorf("lowest passing jar %v, want 10 mg/L (it reads exactly 5.0)", r.LowestPassing.Dose)
	}
	if !hasNote(r, "held-at-optimum") {
		t.Error("no note that the planning dose is held at the optimum")
	}
	oneWay, both := 0.0, 0.0
	for _, m := range r.Models {
		switch m.Name {
		case "log parabola", "fall and rise", "saturating fall, steady rise":
			both += m.Weight
		case "shape only", "levels and steps": // which rise where the jars do
		default:
			oneWay += m.Weight
		}
	}
	if oneWay > 0.1*both {
		t.Errorf("one-way models weigh %.3f against %.3f", oneWay, both)
	}
}

// TestMedan is polyaluminium chloride on river water at Hamparan Perak, five raw
// waters at each of five doses, tables 4.2 and 4.3 of an Indonesian diploma
// thesis. At 23 ppm the mean is 2.016 NTU: it fails, and no rounding may make it pass.
func TestMedan(t *testing.T) {
	rows := [][]float64{{7.36, 6.33, 6.97, 7.21, 7.91}, {3.47, 4.52, 3.68, 3.6, 5.43}, {1.7, 2.35, 1.94, 1.89, 2.2}, {0.98, 1, 1.04, 1.02, 1.01}, {0.7, 0.8, 1.03, 0.74, 0.83}}
	var d, y []float64
	for i, row := range rows {
		for _, v := range row {
			d, y = append(d, 19+2*float64(i)), append(y, v)
		}
	}
	r := Analyse(jarSeries("medan", jartest.Turbidity, d, y), target(t, "turbidity <= 2 NTU"), Options{})
	if r.Outcome != Found || !r.HasPlanning {
		t.Fatalf("outcome %s", r.Outcome)
	}
	within(t, "lowest effective dose", float64(r.Effective.Value), 22.8, 23.2)
	if r.LowestPassing.Dose != 25 {
		t.Errorf("lowest passing dose %v, want 25", r.LowestPassing.Dose)
	}
	if r.Planning.Concentration <= r.Effective.Value || r.Planning.Concentration <= 23 {
		t.Errorf("planning dose %v is not above the estimate and 23", r.Planning.Concentration)
	}
	if strings.Contains(r.Scale, "same at every reading") || !r.Relative {
		t.Errorf("scale %q: the spread differs 40-fold between doses", r.Scale)
	}
}

// TestStillFalling is a university coagulation report of 18 March 2014, table
// 2-1: six jars of alum, still falling at 80 mg/L. A parabola through them would
// put the optimum at 152 mg/L.
func TestStillFalling(t *testing.T) {
	s := jarSeries("cn", jartest.Turbidity, []float64{10, 25, 40, 55, 70, 80}, []float64{35.2, 31.9, 21, 15.9, 13.5, 9})
	r := Analyse(s, target(t, "turbidity <= 5 NTU"), Options{})
	if r.Outcome != StillImproving || r.HasPlanning || r.Effective.Value != 0 {
		t.Fatalf("outcome %s, planning %v", r.Outcome, r.HasPlanning)
	}
	// No false diminishing returns: the fall goes on.
	if g := Analyse(s, target(t, "turbidity slope 0.1"), Options{}); g.Outcome == Found && float64(g.Effective.Value) < 75 {
		t.Errorf("diminishing returns seen at %v", g.Effective.Value)
	}
}

// TestBenchFlocculator: polyaluminium chloride as Al with humic acid, research
// notebook of a university water programme; interpolated means give 1.65 mg/L (100
// NTU, humic acid 9 mg/L) and 1.89 mg/L (50 NTU, none) for a log removal of 1.
func TestBenchFlocculator(t *testing.T) {
	doses := []float64{0.53, 0.53, 1.06, 1.06, 1.59, 1.59, 2.11, 2.11, 2.56, 2.56}
	for _, c := range []struct {
		name       string
		raw        float64
		log, ntu   []float64
		want, past float64
	}{
		{"humic 9", 100, []float64{0.105, 0.10766046, 0.28, 0.28985507, 0.956, 0.98861284, 1.238, 1.22105263, 1.361, 1.27846791},
			[]float64{78.524, 78.044, 52.481, 51.303, 11.066, 10.266, 5.781, 6.011, 4.355, 5.267}, 1.65, 0.06},
		{"humic 0", 50, []float64{0.634, 0.60414962, 0.729, 0.78887946, 0.891, 0.93107239, 1.062, 1.07058107, 1.205, 1.18842499},
			[]float64{11.614, 12.44, 9.332, 8.13, 6.426, 5.86, 4.335, 4.25, 3.119, 3.24}, 1.89, 0.06},
	} {
		s := jarSeries(c.name, jartest.Turbidity, doses, c.ntu)
		s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(c.raw, "NTU")}
		r := Analyse(s, target(t, "turbidity removal >= 90 %"), Options{})
		if r.Outcome != Found {
			t.Fatalf("%s: outcome %s %v", c.name, r.Outcome, r.Notes)
		}
		within(t, c.name+" by turbidity", float64(r.Effective.Value), c.want*(1-c.past), c.want*(1+c.past))
		if r.Reference.What != "raw water" {
			t.Errorf("%s: removal counted from %q", c.name, r.Reference.What)
		}
		if r.TestedLow != 0.53 {
			t.Errorf("%s: tested from %v; a zero-dose jar was made up", c.name, r.TestedLow)
		}
		r = Analyse(jarSeries(c.name, "log10_removal_pcstar", doses, c.log), target(t, "log10_removal_pcstar >= 1"), Options{})
		if r.Outcome != Found {
			t.Fatalf("%s: outcome %s %v", c.name, r.Outcome, r.Notes)
		}
		within(t, c.name+" by log removal", float64(r.Effective.Value), c.want*(1-c.past), c.want*(1+c.past))
		delete(s.Raw, jartest.Turbidity)
		if r = Analyse(s, target(t, "turbidity removal >= 90 %"), Options{}); r.Outcome == Found || !hasNote(r, "no-reference") {
			t.Errorf("%s: removal without raw water or control gave %s", c.name, r.Outcome)
		}
	}
}

// TestDavisPH is jar test I of the same example: pH at 10 mg/L alum; the book
// reads about pH 6.0.
func TestDavisPH(t *testing.T) {
	s := jartest.Series{Name: "ph", Chemicals: []jartest.Chemical{{Name: "alum"}}}
	for i, v := range []float64{11, 7, 5.5, 5.7, 8, 13} {
		ph := 5 + 0.5*float64(i)
		s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1), Settings: map[string]float64{"ph_target": ph},
			Doses:    []jartest.JarDose{{Concentration: 10, Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(v, "NTU")}}})
	}
	r := Analyse(s, nil, Options{})
	if r.Factor != "ph" || r.Outcome != Found {
		t.Fatalf("factor %s, outcome %s, %v", r.Factor, r.Outcome, r.Notes)
	}
	within(t, "best pH", float64(r.Optimum.Value), 5.9, 6.4)
	if !r.Optimum.HasLow || !r.Optimum.HasHigh || r.Optimum.Low > 6.05 || r.Optimum.High < 6.2 || r.HasPlanning {
		t.Errorf("optimum %+v, planning %v", r.Optimum, r.HasPlanning)
	}
}

// TestNoiseFree: on curves without noise every model finds its own parameters,
// and the answer lies near the truth whichever model it came from.
func TestNoiseFree(t *testing.T) {
	doses := []float64{5, 10, 15, 20, 25, 30, 40, 50}
	for _, m := range engine.Models() {
		p := make([]float64, engine.MaxParams)
		m.Natural(make([]float64, len(m.Params)), p)
		var y []float64
		for _, d := range doses {
			y = append(y, 40*math.Exp(m.Value(engine.Point{X: d / 50}, p)))
		}
		level := 40 * math.Exp(m.Value(engine.Point{X: 0.5}, p)) // met at 25 mg/L, where a jar stands
		r := Analyse(jarSeries(m.Name, jartest.Turbidity, doses, y), target(t, fmt.Sprintf("turbidity <= %.12g NTU", level)), Options{})
		if r.Outcome != Found {
			t.Errorf("%s: %s", m.Name, r.Outcome)
			continue
		}
		within(t, m.Name+": answer", float64(r.Effective.Value), 24, 26)
		for _, w := range r.Models {
			if w.Name == m.Name {
				within(t, m.Name+": own dose", float64(w.Dose), 24.9999, 25.0001)
			}
		}
	}
}
