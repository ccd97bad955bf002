package curve

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestOddJarFirst: where one jar ten times off is all that keeps the others from a planning
// dose, that jar is to be run again, and the dose that is said is the one of the others.
func TestOddJarFirst(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50, 60}
	for _, c := range []struct {
		read []float64
		odd  int
		code string
	}{
		{[]float64{95, 48, 25, 140, 8.1, 4.9, 3.2}, 3, "planning-beyond-range"},
		{[]float64{95, 60, 3.1, 16, 8, 4.1, 2.2}, 2, "planning-beyond-range"},
	} {
		s := jarSeries("slip", jartest.Turbidity, doses, c.read)
		r := Analyse(s, targets(t, "turbidity <= 5 NTU"), Options{})
		less := s
		less.Jars = slices.Delete(slices.Clone(s.Jars), c.odd, c.odd+1)
		q := Analyse(less, targets(t, "turbidity <= 5 NTU"), Options{})
		if r.HasPlanning || !q.HasPlanning {
			t.Fatalf("planned with the slip %v, without it %v", r.HasPlanning, q.HasPlanning)
		}
		jar := fmt.Sprintf("jar %d (%.1f mg/L)", c.odd+1, doses[c.odd])
		want := fmt.Sprintf("run %s again before anything else: without it the planning dose would be %.1f mg/L", jar, float64(q.Planning.Concentration))
		if got := noteOf(r, c.code); !strings.HasSuffix(got, ". "+want) {
			t.Errorf("%q does not advise %q", got, want)
		}
		dose := fmt.Sprintf("without it the lowest effective dose would be %.1f mg/L, not", float64(q.Effective.Value))
		if said := noteOf(r, "outlier"); !strings.Contains(said, dose) {
			t.Errorf("%q does not say %q", said, dose)
		}
	}
}

// TestPassingReading: of several targets the jar that passes is told by the reading that decides,
// not by whichever target stands first; and a jar that passes as read is run again before the
// chemical is blamed.
func TestPassingReading(t *testing.T) {
	doses := []float64{5, 10, 15, 20, 25, 30, 35}
	s := jarSeries("two", jartest.Turbidity, doses, []float64{30, 18, 8, 3, 1.8, 2.9, 6.5})
	for i, v := range []float64{-22, -15, -9, -3, 2, 7, 12} {
		s.Jars[i].Readings.Set(jartest.Zeta, jartest.Num(v, "mV"))
	}
	r := Analyse(s, targets(t, "zeta >= -5 mV; zeta <= 5 mV; turbidity <= 2 NTU"), Options{})
	if r.Outcome != NotReached || !r.HasLowestPassing || r.Response != jartest.Turbidity || r.LowestPassing.Reading != 1.8 {
		t.Errorf("%s, the jar that passes reads %s %v", r.Outcome, r.Response, r.LowestPassing)
	}
	if got, want := noteOf(r, "not-reached"), "run jar 5 (25.0 mg/L) again two or three times"; !strings.Contains(got, want) {
		t.Errorf("%q does not advise %q", got, want)
	}
}

// TestHeldSaysWhy: a planning dose below its confidence is held by another target, by a best that
// no jar has seen, or by the best that the chemical does, and each has its own advice.
func TestHeldSaysWhy(t *testing.T) {
	six := []float64{10, 20, 30, 40, 50, 60}
	falls := []float64{40, 20, 10, 5.1, 3, 2}
	volume := jarSeries("room", jartest.Turbidity, six, falls)
	for i, v := range []float64{5, 9, 14, 20, 26, 31} {
		volume.Jars[i].Readings.Set(jartest.SettledVolume, jartest.Num(v, "mL/L"))
	}
	for _, c := range []struct {
		s          jartest.Series
		targets    string
		said, does string
	}{
		{volume, "turbidity <= 5 NTU; settled volume <= 22 mL/L", "settled volume <= 22 mL/L allows at most 43.", "in small steps, or ease one of the two"},
		{jarSeries("close", jartest.Turbidity, six, []float64{40, 20, 9, 4.8, 4.9, 9}), "turbidity <= 5 NTU",
			"close to the best that this chemical does", "repeat the doses near the optimum"},
	} {
		r := Analyse(c.s, targets(t, c.targets), Options{})
		if said := noteOf(r, "held-at-optimum"); !strings.Contains(said, c.said) || !strings.Contains(said, c.does) {
			t.Errorf("%s: %q", c.s.Name, said)
		}
	}
}

// TestUnseen: a best more than two scatters below the jars on either side of it is one that no
// jar has seen. The jars read ln 4.5 and ln 20 at 20 and 60 mg/L, and curves scatter by 0.1.
func TestUnseen(t *testing.T) {
	for _, c := range []struct {
		best float64
		want bool
	}{{math.Log(4.5) - 0.21, true}, {math.Log(4.5) - 0.19, false}} {
		a, _, _ := made(60, []float64{0, 0.5, 1}, "turbidity <= 5 NTU", t, []float64{3, c.best, 3})
		p := prepare(jarSeries("gap", jartest.Turbidity, []float64{20, 60}, []float64{4.5, 20}), jartest.Turbidity, column{value: []float64{20, 60}, ok: []bool{true, true}, why: make([]string, 2)}, false, nil)
		a.ready[jartest.Turbidity], a.mid = &p, map[jartest.Key][]float64{jartest.Turbidity: {3, c.best, 3}}
		a.r.Response, a.r.Best.Dose, a.r.Planning.Concentration, a.r.Sure = jartest.Turbidity, 30, 30, 0.8
		if low, high, ok := a.unseen(); ok != c.want || low != 20 || high != 60 {
			t.Errorf("a best of %g: from %g to %g, %v", c.best, low, high, ok)
		}
		n := a.held()
		if said := "best where no jar stood, between 20.0 mg/L and 60.0 mg/L"; strings.Contains(n.Message, said) != c.want {
			t.Errorf("%q", n.Message)
		}
		if does := "test 30.0 mg/L, 40.0 mg/L and 50.0 mg/L"; strings.Contains(n.Remedy, does) != c.want { // quarters of the 40 between
			t.Errorf("%q", n.Remedy)
		}
	}
}

// TestPHMeetsAllTargets: against pH every target counts. Turbidity is 3·exp(2(pH − 6.75)²), at most
// 5 within √(ln(5/3)/2) = 0.505 of 6.75, and aluminium 0.1·exp(3(pH − 7)²), at most 0.15 within
// √(ln 1.5/3) = 0.368 of 7: both from 6.632 to 7.255.
func TestPHMeetsAllTargets(t *testing.T) {
	scan := func(best float64) jartest.Series {
		s := jartest.Series{Name: "ph", Chemicals: []jartest.Chemical{{Name: "alum"}}}
		for i := range 7 {
			ph := 5.5 + 0.5*float64(i)
			s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1), Settings: map[string]float64{"ph_target": ph},
				Doses: []jartest.JarDose{{Concentration: 30, Known: true}},
				Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(3*math.Exp(2*math.Pow(ph-6.75, 2)), "NTU")},
					{Key: jartest.ResidualAl, Reading: jartest.Num(0.1*math.Exp(3*math.Pow(ph-best, 2)), "mg/L")}}})
		}
		return s
	}
	both := Analyse(scan(7), targets(t, "turbidity <= 5 NTU; residual al <= 0.15 mg/L"), Options{})
	w := both.Window
	if both.Outcome != Found || !w.Seen || !w.Low.HasLow || !w.High.HasHigh {
		t.Fatalf("%s %+v", both.Outcome, w)
	}
	within(t, "lower end", float64(w.Low.Value), 6.632-0.08, 6.632+0.08)
	within(t, "upper end", float64(w.High.Value), 7.255-0.08, 7.255+0.08)
	within(t, "best pH is that of the first", float64(both.Optimum.Value), 6.70, 6.80)
	if !(w.Low.Low < w.Low.Value && w.Low.Value < w.Low.High && w.High.Low < w.High.Value && w.High.Value < w.High.High) {
		t.Errorf("ends %+v", w)
	}
	wide := Analyse(scan(7), targets(t, "turbidity <= 3000 NTU"), Options{}).Window // 3·exp(6.125) = 1370 NTU at 8.5
	if !wide.Seen || wide.Low.Value != 5.5 || wide.High.Value != 8.5 || wide.Low.HasLow || wide.High.HasHigh {
		t.Errorf("met everywhere: %+v", wide)
	}
	for ask, want := range map[string][2]string{
		"turbidity <= 5 NTU; residual al <= 0.05 mg/L": {"not-reached", "no pH in the tested range meets residual al <= 0.05 mg/L; the best fitted reading of the first target is turbidity 3.0"},
		"turbidity <= 2 NTU; residual al <= 0.05 mg/L": {"not-reached", "turbidity <= 2 NTU or residual al <= 0.05 mg/L"},
	} {
		r := Analyse(scan(7), targets(t, ask), Options{})
		if said := noteOf(r, want[0]); r.Outcome != NotReached || r.Window.Seen || !strings.Contains(said, want[1]) {
			t.Errorf("%s: %s %q", ask, r.Outcome, said)
		}
	}
	// Aluminium about 7.9 instead is at most 0.15 from 7.53 on; turbidity at most 3.5 up to 7.03.
	apart := Analyse(scan(7.9), targets(t, "turbidity <= 3.5 NTU; residual al <= 0.15 mg/L"), Options{})
	if said := noteOf(apart, "targets-opposed"); apart.Outcome != NotReached || !strings.Contains(said, "no pH tested meets all of them; the jar that comes closest is jar ") {
		t.Errorf("%s %q", apart.Outcome, said)
	}
}
