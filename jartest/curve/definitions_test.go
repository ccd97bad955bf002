package curve

import (
	"fmt"
	"math"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// smooth is an exponential fall without scatter: C = 42, P = 2, k = 0.08 per mg/L.
func smooth(d float64) float64 { return 2 + 40*math.Exp(-0.08*d) }

func smoothSeries(key jartest.Key, doses ...float64) jartest.Series {
	var y []float64
	for _, d := range doses {
		y = append(y, smooth(d))
	}
	return jarSeries("smooth", key, doses, y)
}

var eight = []float64{5, 10, 15, 20, 30, 40, 50, 60}

// TestDefinitions holds each definition of the effective dose against its formula
// for an exponential fall.
func TestDefinitions(t *testing.T) {
	inverse := func(f float64) float64 { return math.Log(40/(f-2)) / 0.08 }
	s := smoothSeries(jartest.Turbidity, eight...)
	s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(60, "NTU")}
	control := smoothSeries(jartest.Turbidity, append([]float64{0}, eight...)...)
	toc := smoothSeries(jartest.TOC, eight...)
	for _, c := range []struct {
		name, target string
		s            jartest.Series
		want, within float64
	}{
		{"absolute", "turbidity <= 6 NTU", s, inverse(6), 0.03},
		{"removal from raw water", "turbidity removal >= 90 %", s, inverse(6), 0.03},
		{"removal from the control jar", "turbidity removal >= 90 %", control, inverse(4.2), 0.05},
		{"within best", "turbidity within 100 % of best", s, inverse(2 * smooth(60)), 0.06},
		// First dose at which the fall is 0.3 mg/L TOC per 10 mg/L or less:
		// ln(k (C - P) / 0.03) / k for an exponential.
		{"diminishing returns", "toc slope 0.03", toc, math.Log(0.08*40/0.03) / 0.08, 0.08},
	} {
		r := Analyse(c.s, target(t, c.target), Options{})
		if r.Outcome != Found {
			t.Errorf("%s: %s %v", c.name, r.Outcome, r.Notes)
			continue
		}
		within(t, c.name, float64(r.Effective.Value), c.want*(1-c.within), c.want*(1+c.within))
	}
	// A column that holds the removal itself gives the same dose.
	rem := s
	rem.Jars = nil
	for _, j := range s.Jars {
		v := 100 * (1 - j.Readings.Of(jartest.Turbidity).Value/60)
		j.Readings = jartest.Readings{{Key: jartest.TurbidityRemoval, Reading: jartest.Num(v, "%")}}
		rem.Jars = append(rem.Jars, j)
	}
	r := Analyse(rem, target(t, "turbidity removal >= 90 %"), Options{})
	within(t, "removal as read", float64(r.Effective.Value), inverse(6)*0.97, inverse(6)*1.03)
	if r.Response != jartest.TurbidityRemoval {
		t.Errorf("response %s", r.Response)
	}
}

// TestSeveralTargets: all must be met, and the one that asks for most is named.
// Alkalinity falls with the dose, so its target is an upper bound on it.
func TestSeveralTargets(t *testing.T) {
	s := smoothSeries(jartest.Turbidity, eight...)
	for i := range s.Jars {
		d := eight[i]
		s.Jars[i].Readings.Set(jartest.Colour, jartest.Num(5+120*math.Exp(-0.05*d), "Pt-Co"))
		s.Jars[i].Readings.Set(jartest.AlkalinityKey, jartest.Num(80-0.5*d, "mg/L CaCO3"))
	}
	goals := append(target(t, "turbidity <= 6 NTU"), target(t, "colour <= 20 Pt-Co")...)
	r := Analyse(s, goals, Options{})
	want := math.Log(120.0/15) / 0.05
	within(t, "dose for both", float64(r.Effective.Value), want*0.96, want*1.04)
	if r.Outcome != Found || r.Binding != 1 || r.Response != jartest.Colour {
		t.Errorf("%s, binding %d, response %s", r.Outcome, r.Binding, r.Response)
	}
	room := append(goals, target(t, "alkalinity >= 52 mg/L CaCO3")...) // up to 56 mg/L
	if r = Analyse(s, room, Options{}); r.Outcome != Found || float64(r.Planning.Concentration) > 56 {
		t.Errorf("with room: %s, planning %v", r.Outcome, r.Planning)
	}
	none := append(goals, target(t, "alkalinity >= 65 mg/L CaCO3")...) // up to 30 mg/L
	if r = Analyse(s, none, Options{}); r.Outcome == Found {
		t.Errorf("colour needs %.0f mg/L, alkalinity allows 30, and %v was found", want, r.Effective.Value)
	}
	if len(r.Readings) != 3 || len(r.Readings[2].Curve) == 0 {
		t.Errorf("%d readings have curves, want 3", len(r.Readings))
	}
}

// TestRepeatReadings: three readings of one jar are not three jars. Zeta potential
// of lake water with plastic particles and alum, from an open data sheet: jar to
// jar the scatter is 0.9 mV, reading to reading 0.3 mV (jars at 0 and 50 mg/L).
func TestRepeatReadings(t *testing.T) {
	doses := []float64{0, 2.5, 5, 25, 45, 0, 50, 40, 0, 50}
	readings := [][]float64{{-9.0, -9.45, -10.3}, {-9.72, -11.4, -10.2}, {-15.5, -13.0, -14.6}, {-6.63, -7.63, -6.86}, {0.237, 0.366, 0.476},
		{-9.79, -10.2, -12.5}, {0.746, 0.887, 0.641}, {-7.57, -6.61, -2.79}, {-9.37, -10.3, -10.1}, {-1.17, -0.253, -0.409}}
	var rows, means jartest.Series
	rows.Chemicals, means.Chemicals = []jartest.Chemical{{Name: "alum"}}, []jartest.Chemical{{Name: "alum"}}
	for i, d := range doses {
		jar := jartest.Jar{Label: fmt.Sprint("jar ", i), Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}}}
		sum := 0.0
		for _, v := range readings[i] {
			j := jar
			j.Readings = jartest.Readings{{Key: jartest.Zeta, Reading: jartest.Num(v, "mV")}}
			rows.Jars = append(rows.Jars, j)
			sum += v
		}
		jar.Readings = jartest.Readings{{Key: jartest.Zeta, Reading: jartest.Num(sum/3, "mV")}}
		means.Jars = append(means.Jars, jar)
	}
	goal := target(t, "zeta >= -5 mV")
	a, b := Analyse(rows, goal, Options{}), Analyse(means, goal, Options{})
	if len(a.Jars) != 10 || !hasNote(a, "repeat-readings") {
		t.Fatalf("%d jars, want 10; %v", len(a.Jars), a.Notes)
	}
	if a.Outcome != b.Outcome || math.Abs(float64(a.Effective.Value-b.Effective.Value)) > 1e-6*float64(b.Effective.Value) || a.Effective.High != b.Effective.High {
		t.Errorf("rows give %s %+v, means %s %+v", a.Outcome, a.Effective, b.Outcome, b.Effective)
	}
	if a.Outcome == Found {
		within(t, "zero crossing of -5 mV", float64(a.Effective.Value), 25, 45)
	}
	if a.Scatter < 0.5 {
		t.Errorf("scatter %.2f mV: that of the readings, not of the jars", a.Scatter)
	}
}

// TestControlWithoutBoth: a control that lacks two chemicals is not the zero-dose
// point of either.
func TestControlWithoutBoth(t *testing.T) {
	s := smoothSeries(jartest.Turbidity, append([]float64{0}, eight...)...)
	s.Chemicals = append(s.Chemicals, jartest.Chemical{Name: "polymer"})
	for i := range s.Jars {
		p := quantity.Concentration(0.5)
		if i == 0 {
			p = 0
			s.Jars[0].Readings.Set(jartest.Turbidity, jartest.Num(400, "NTU"))
		}
		s.Jars[i].Doses = append(s.Jars[i].Doses, jartest.JarDose{Concentration: p, Known: true})
	}
	r := Analyse(s, target(t, "turbidity <= 6 NTU"), Options{})
	if r.Jars[0].Used || !hasNote(r, "co-dose-differs") {
		t.Errorf("the control without polymer was used: %+v", r.Jars[0])
	}
	within(t, "dose", float64(r.Effective.Value), 27, 30.5)
	s.Jars[0].Doses[1].Concentration = 0.5
	if r = Analyse(s, target(t, "turbidity <= 6 NTU"), Options{}); !r.Jars[0].Used || hasNote(r, "co-dose-differs") {
		t.Errorf("the control with polymer was left out: %+v", r.Jars[0])
	}
}

// TestScanOfTheSecond: polymer varied at one dose of alum answers for the polymer, whichever column stands first,
// though a blank without either makes alum vary too.
func TestScanOfTheSecond(t *testing.T) {
	for _, first := range []int{0, 1} {
		s := smoothSeries(jartest.Turbidity, append([]float64{0}, eight...)...)
		for i := range s.Jars {
			polymer, alum := s.Jars[i].Doses[0], jartest.JarDose{Concentration: 30, Known: true}
			if i == 0 {
				alum.Concentration = 0
				s.Jars[0].Readings.Set(jartest.Turbidity, jartest.Num(400, "NTU"))
			}
			s.Jars[i].Doses = []jartest.JarDose{polymer, alum}
			if first == 1 {
				s.Jars[i].Doses = []jartest.JarDose{alum, polymer}
			}
		}
		s.Chemicals = []jartest.Chemical{{Name: "polymer"}, {Name: "alum"}}
		if first == 1 {
			s.Chemicals = []jartest.Chemical{{Name: "alum"}, {Name: "polymer"}}
		}
		r := Analyse(s, target(t, "turbidity <= 6 NTU"), Options{})
		if r.Outcome != Found || r.Chemical.Name != "polymer" || r.Jars[0].Used || hasNote(r, "two-chemicals") {
			t.Fatalf("%s for %s, blank used %v, %v", r.Outcome, r.Chemical.Name, r.Jars[0].Used, r.Notes)
		}
		if len(r.Beside) != 1 || r.Beside[0].Chemical.Name != "alum" || r.Beside[0].Dose != 30 { // not the blank's none
			t.Errorf("beside %+v", r.Beside)
		}
		within(t, "dose", float64(r.Effective.Value), 27, 30.5)
	}
}

// TestBelowTheMeter: readings below the meter's limit count as that; a target
// below it cannot be proven.
func TestBelowTheMeter(t *testing.T) {
	s := smoothSeries(jartest.Turbidity, eight...)
	cut := 0
	for i := range s.Jars {
		if v := s.Jars[i].Readings.Of(jartest.Turbidity).Value; v < 4 {
			s.Jars[i].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Below, Limit: true, Value: 4, Unit: "NTU"})
			cut++
		}
	}
	if cut < 2 {
		t.Fatal("nothing cut off")
	}
	r := Analyse(s, target(t, "turbidity <= 6 NTU"), Options{})
	if r.Outcome != Found {
		t.Fatalf("%s: %v", r.Outcome, r.Notes)
	}
	want := math.Log(40.0/4) / 0.08
	within(t, "dose", float64(r.Effective.Value), want*0.95, want*1.05)
	if r = Analyse(s, target(t, "turbidity <= 3 NTU"), Options{}); r.Outcome != Ambiguous || !hasNote(r, "target-below-detection") || r.HasPlanning {
		t.Errorf("target below the meter's limit: %s, %v", r.Outcome, r.Notes)
	}
}

// TestFlags: a jar far off is named and kept; scatter beyond the usual is said;
// so is an answer that hangs on one jar.
func TestFlags(t *testing.T) {
	s := smoothSeries(jartest.Turbidity, eight...)
	if r := Analyse(s, target(t, "turbidity <= 6 NTU"), Options{}); hasNote(r, "outlier") || hasNote(r, "scatter") || hasNote(r, "hangs-on-one-jar") {
		t.Errorf("smooth data raised %v", r.Notes)
	}
	s.Jars[5].Readings.Set(jartest.Turbidity, jartest.Num(3*smooth(40), "NTU"))
	r := Analyse(s, target(t, "turbidity <= 6 NTU"), Options{})
	if !hasNote(r, "outlier") || !r.Jars[5].Outlier || !r.Jars[5].Used {
		t.Errorf("jar read three times too high: %+v, %v", r.Jars[5], r.Notes)
	}
	wild := smoothSeries(jartest.Turbidity, 10, 10, 20, 20, 30, 30, 40, 40, 50, 50)
	for i := range wild.Jars {
		f := 1.35
		if i%2 == 0 {
			f = 1 / f
		}
		wild.Jars[i].Readings.Set(jartest.Turbidity, jartest.Num(smooth(float64(10+10*(i/2)))*f, "NTU"))
	}
	if r = Analyse(wild, target(t, "turbidity <= 8 NTU"), Options{}); !hasNote(r, "scatter") {
		t.Errorf("replicates that differ by four fifths: %v", r.Notes)
	}
}

// TestAveragedAgainstProfile: where the models agree, the averaged interval and
// the models' own profile-likelihood intervals must tell much the same.
func TestAveragedAgainstProfile(t *testing.T) {
	r := Analyse(jarSeries("x", jartest.Turbidity, []float64{10, 20, 30, 40, 50, 60}, []float64{24.1, 14.9, 8.2, 5.6, 3.9, 3.5}), target(t, "turbidity <= 6 NTU"), Options{})
	var low, high, weight float64
	for _, m := range r.Models {
		if m.Profile.HasLow && m.Profile.HasHigh {
			low += m.Weight * float64(m.Profile.Low)
			high += m.Weight * float64(m.Profile.High)
			weight += m.Weight
			if m.Dose <= m.Profile.Low || m.Dose >= m.Profile.High {
				t.Errorf("%s: %v outside its own interval %v to %v", m.Name, m.Dose, m.Profile.Low, m.Profile.High)
			}
		}
	}
	if weight < 0.4 {
		t.Fatalf("profiles of %.0f %% of the answer only", 100*weight)
	}
	within(t, "low end against profiles", float64(r.Effective.Low), 0.96*low/weight, 1.04*low/weight)
	within(t, "high end against profiles", float64(r.Effective.High), 0.96*high/weight, 1.04*high/weight)
}

// TestOwnScatter: a bench that knows its scatter gets the interval that goes with it.
func TestOwnScatter(t *testing.T) {
	s := davisAlum()
	goal := target(t, "turbidity <= 7 NTU")
	width := func(cv float64) float64 {
		r := Analyse(s, goal, Options{Scatter: &Scatter{CV: quantity.Fraction(cv), Worth: 20}})
		return float64(r.Effective.High - r.Effective.Low)
	}
	if a, b := width(0.04), width(0.16); !(a > 0 && b > 1.5*a) {
		t.Errorf("interval %.2f wide at 4 %%, %.2f at 16 %%", a, b)
	}
}
