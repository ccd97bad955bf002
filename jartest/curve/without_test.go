package curve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestSlips: a reading ten times off is the odd jar, wherever it stands, and its
// neighbours are not.
func TestSlips(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 14))
	for _, off := range []float64{10, 0.1} {
		for at := range eight {
			s := smoothSeries(jartest.Turbidity, eight...)
			for i, j := range s.Jars {
				v := j.Readings.Of(jartest.Turbidity).Value * math.Exp(0.06*rng.NormFloat64())
				if i == at {
					v *= off
				}
				j.Readings.Set(jartest.Turbidity, jartest.Num(v, "NTU"))
			}
			r := Analyse(s, targets(t, "turbidity <= 6 NTU"), Options{OnlyTarget: true})
			for i, j := range r.Jars {
				if j.Outlier != (i == at) {
					t.Errorf("jar %d read times %g: jar %d odd %v", at+1, off, i+1, j.Outlier)
				}
			}
			if said := noteOf(r, "outlier"); at > 0 && at < 7 && !strings.Contains(said, "about ten times off") {
				t.Errorf("jar %d read times %g: %q", at+1, off, said)
			}
		}
	}
}

// TestDoseTenTimesOff: a dose beyond all the others whose reading is what they have at a
// tenth or ten times of it is what is asked about, not the reading; where they have another
// reading there, or the dose stands among them, it is the reading.
func TestDoseTenTimesOff(t *testing.T) {
	doses, ntu := []float64{6, 8, 10, 12, 14, 16, 18}, []float64{31, 22, 14, 8.1, 4.5, 2.6, 1.9}
	for _, c := range []struct {
		jar        int
		dose, read float64
		want       string
		why        string
	}{
		{4, 140, 4.5, "jar 5 (140 mg/L) reads 4.50, and its dose lies beyond those of the other jars, which read that at about 14.0 mg/L: the dose looks ten times off", "its dose looks ten times off"},
		{4, 1.4, 4.5, "jar 5 (1.40 mg/L) reads 4.50, and its dose lies beyond those of the other jars, which read that at about 14.0 mg/L: the dose looks ten times off", "its dose looks ten times off"},
		{4, 14, 45, "jar 5 (14.0 mg/L) reads 45.0, far from the 4.27 that the other jars point to; it looks about ten times off, 45.0 for 4.50", "far off; the other jars agree without it"},
	} {
		d, y := slices.Clone(doses), slices.Clone(ntu)
		d[c.jar], y[c.jar] = c.dose, c.read
		r := Analyse(jarSeries("slip", jartest.Turbidity, d, y), targets(t, "turbidity <= 5 NTU"), Options{OnlyTarget: true})
		if said := noteOf(r, "outlier"); !strings.HasPrefix(said, c.want) || r.Jars[c.jar].Why != c.why {
			t.Errorf("%g reads %g: %q, %q", c.dose, c.read, said, r.Jars[c.jar].Why)
		}
	}
}

// TestMeantDose: to three scatters of 8 %, 0.24 on the logarithm, about the 4.59 that lies
// half-way (on the logarithm) between 8.1 at 12 and 2.6 at 16, at the ends as well as between.
func TestMeantDose(t *testing.T) {
	doses := []float64{6, 8, 10, 12, 140, 16, 18}
	half := math.Sqrt(8.1 * 2.6)
	for _, c := range []struct{ dose, read, meant float64 }{
		{140, half, 14}, {140, half * math.Exp(0.239), 14}, {140, half * math.Exp(-0.239), 14}, {140, half * math.Exp(0.241), 0}, {140, half * math.Exp(-0.241), 0},
		{1.4, half, 14}, {180, 1.9, 18}, {60, 31, 6}, {0.6, 31, 6}, {190, 1.9, 0}, {59, 31, 0}, {17, half, 0},
	} {
		d, y := slices.Clone(doses), []float64{31, 22, 14, 8.1, c.read, 2.6, 1.9}
		d[4] = c.dose
		s := jarSeries("slip", jartest.Turbidity, d, y)
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, jartest.Turbidity, col, false, nil)
		cloud := &engine.Cloud{Obs: &p.Obs}
		for k := range 1001 {
			cloud.U = append(cloud.U, float64(k)/1000*slices.Max(p.Obs.U))
		}
		if got, ok := p.meantDose(cloud, slices.Index(p.Jar, 4)); ok != (c.meant > 0) || math.Abs(got/p.dmax-c.meant) > 1e-9 {
			t.Errorf("%g reads %.3g: %g (%g), want %g", c.dose, c.read, got, got/p.dmax, c.meant)
		}
	}
}

// published are the jar tests of published sources that stand in these tests, each
// with targets that its jars reach.
func published() map[string][]jartest.Series {
	flocculator := []float64{0.53, 0.53, 1.06, 1.06, 1.59, 1.59, 2.11, 2.11, 2.56, 2.56}
	var d, y []float64
	for i, row := range [][]float64{{7.36, 6.33, 6.97, 7.21, 7.91}, {3.47, 4.52, 3.68, 3.6, 5.43}, {1.7, 2.35, 1.94, 1.89, 2.2},
		{0.98, 1, 1.04, 1.02, 1.01}, {0.7, 0.8, 1.03, 0.74, 0.83}} {
		for _, v := range row {
			d, y = append(d, 19+2*float64(i)), append(y, v)
		}
	}
	falling := jarSeries("2014", jartest.Turbidity, []float64{10, 25, 40, 55, 70, 80}, []float64{35.2, 31.9, 21, 15.9, 13.5, 9})
	removed := jarSeries("humic 9, removal", jartest.Turbidity, flocculator, []float64{78.524, 78.044, 52.481, 51.303, 11.066, 10.266, 5.781, 6.011, 4.355, 5.267})
	removed.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(100, "NTU")}
	return map[string][]jartest.Series{
		"turbidity removal >= 90 %": {removed}, "turbidity removal >= 80 %": {removed},
		"zeta >= -5 mV":       {lakeZeta()},
		"turbidity <= 5 NTU":  {davisAlum()},
		"turbidity <= 7 NTU":  {davisAlum()},
		"turbidity <= 10 NTU": {falling, davisAlum(), jarSeries("humic 9", jartest.Turbidity, flocculator, []float64{78.524, 78.044, 52.481, 51.303, 11.066, 10.266, 5.781, 6.011, 4.355, 5.267})},
		"turbidity <= 15 NTU": {falling},
		"turbidity <= 20 NTU": {falling},
		"turbidity <= 2 NTU":  {jarSeries("medan", jartest.Turbidity, d, y)},
		"turbidity <= 6 NTU":  {jarSeries("humic 0", jartest.Turbidity, flocculator, []float64{11.614, 12.44, 9.332, 8.13, 6.426, 5.86, 4.335, 4.25, 3.119, 3.24})},
	}
}

// lakeZeta is an open data sheet of alum on lake water with plastic particles (Lake
// Ontario, polystyrene): 15 jars, each read three times.
func lakeZeta() jartest.Series {
	s := jartest.Series{Name: "lake", Chemicals: []jartest.Chemical{{Name: "alum"}}}
	for i, r := range [][4]float64{{0, -9, -9.45, -10.3}, {2.5, -9.72, -11.4, -10.2}, {5, -15.5, -13, -14.6}, {25, -6.63, -7.63, -6.86}, {45, 0.237, 0.366, 0.476},
		{0, -9.79, -10.2, -12.5}, {50, 0.746, 0.887, 0.641}, {40, -7.57, -6.61, -2.79}, {0, -9.37, -10.3, -10.1}, {50, -1.17, -0.253, -0.409},
		{50, -1.39, -1.39, -1.44}, {0, -7.76, -9.22, -6.59}, {0, -7.45, -9.85, -9.96}, {50, -1.26, -0.772, -1.33}, {50, -1.17, -1.81, -1.48}} {
		v := jartest.Reading{State: jartest.Number, Unit: "mV"}
		for _, x := range r[1:] {
			v.Value += x / 3
			v.Replicates = append(v.Replicates, jartest.Num(x, "mV"))
		}
		s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1), Control: r[0] == 0, Readings: jartest.Readings{{Key: jartest.Zeta, Reading: v}},
			Doses: []jartest.JarDose{{Concentration: quantity.Concentration(r[0]), Known: true}}})
	}
	return s
}

// TestWithoutAnyJar: taking any one jar away moves the estimate inside its interval,
// or the answer says that it hangs on that jar and what it would be.
func TestWithoutAnyJar(t *testing.T) {
	tried, told := 0, 0
	for ask, sets := range published() {
		for _, s := range sets {
			r := Analyse(s, targets(t, ask), Options{OnlyTarget: true})
			if r.Outcome != Found {
				t.Fatalf("%s, %s: %s", s.Name, ask, r.Outcome)
			}
			said := noteOf(r, "hangs-on-one-jar")
			for i, j := range s.Jars {
				less := s
				less.Jars = slices.Delete(slices.Clone(s.Jars), i, i+1)
				q := Analyse(less, targets(t, ask), Options{OnlyTarget: true})
				v, e := q.Effective.Value, r.Effective
				inside := q.Outcome == Found && (!e.HasLow || v >= e.Low) && (!e.HasHigh || v <= e.High)
				announced := strings.Contains(said, "jar "+j.Label+" (")
				tried++
				if announced {
					told++
				}
				if !inside && !announced {
					t.Errorf("%s, %s: without jar %s %s %v, outside %v, and it says %q", s.Name, ask, j.Label, q.Outcome, v, e, said)
				}
			}
		}
	}
	if told == 0 || told > tried/5 {
		t.Errorf("%d of %d jars are named as those that carry the answer", told, tried)
	}
}

// TestWithoutAnyJarOfPH: the same of the pH that is best, M. L. Davis, Water and
// Wastewater Engineering, 2010, pages 6-18 and 6-19 (jar test I, 10 mg/L alum).
func TestWithoutAnyJarOfPH(t *testing.T) {
	s := jartest.Series{Name: "ph", Chemicals: []jartest.Chemical{{Name: "alum"}}}
	for i, v := range []float64{11, 7, 5.5, 5.7, 8, 13} {
		s.Jars = append(s.Jars, jartest.Jar{Label: fmt.Sprint(i + 1), Settings: map[string]float64{"ph_target": 5 + 0.5*float64(i)},
			Doses:    []jartest.JarDose{{Concentration: 10, Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(v, "NTU")}}})
	}
	e := Analyse(s, nil, Options{}).Optimum
	for i := range s.Jars {
		less := s
		less.Jars = slices.Delete(slices.Clone(s.Jars), i, i+1)
		q := Analyse(less, nil, Options{})
		if v := q.Optimum.Value; q.Outcome != Found || v < e.Low || v > e.High {
			t.Errorf("without pH %g: %s, best %v, outside %v", 5+0.5*float64(i), q.Outcome, v, e)
		}
	}
}

// fitted is the analysis of a series with its curves, before anything is told.
func fitted(t *testing.T, s jartest.Series, ask string) (*analysis, *engine.Cloud, *prepared, *goal) {
	t.Helper()
	a := begin(engine.New(), s, targets(t, ask), Options{OnlyTarget: true})
	if !a.setGoals() {
		t.Fatal(a.r.Notes)
	}
	a.answer()
	k := a.r.Response
	if a.r.Outcome != Found {
		t.Fatalf("%s %v", a.r.Outcome, a.r.Notes)
	}
	return a, a.cloud[k], a.ready[k], &a.goals[a.r.Binding]
}

// TestEachWithoutByParts: what is said of the answer without a jar, worked out a second time
// from its parts: models by their shares times what they gain, levels and steps by theirs, and
// the curve that follows the jars by the share it has of any answer; all on the logarithm.
func TestEachWithoutByParts(t *testing.T) {
	s := jarSeries("steep", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50, 60}, []float64{41, 38, 33, 8.2, 3.1, 2.6, 2.4})
	a, c, p, g := fitted(t, s, "turbidity <= 12 NTU")
	if f := c.Stairs.Share; f < 0.02 || f > 0.98 || len(c.Leads()) == 0 {
		t.Fatalf("levels and steps have %g, %d models", f, len(c.Leads()))
	}
	mean := func(weights, doses []float64) float64 {
		sum, all := 0.0, 0.0
		for i, w := range weights {
			sum, all = sum+w*math.Log(doses[i]), all+w
		}
		return math.Exp(sum / all)
	}
	lo, hi := 0.0, 1.0
	free := c.Free.Share
	weights, doses := []float64{free, (1 - free) * c.Stairs.Share}, []float64{g.meets(c, p, a.e, c.ShapeWithout(-1), lo, hi), g.meets(c, p, a.e, c.Stairs.Curve(c.U), lo, hi)}
	for _, k := range c.Leads() {
		m := &c.Models[k]
		weights, doses = append(weights, (1-free)*c.Shares[k]), append(doses, g.meets(c, p, a.e, c.Mode(m, m.Params(c.Obs)), lo, hi))
	}
	all := mean(weights, doses)
	matches(t, "with every jar", a.withAll(p, c, g, c.Leads()), all, 1e-12)
	for _, w := range a.eachWithout(p, c, g) {
		i := w.jar
		if i == 0 || i == len(s.Jars)-1 || w.gone != "" {
			continue
		}
		steps, more := c.Stairs.Without(c.Obs, i)
		weights, doses := []float64{c.Stairs.Share * more}, []float64{g.meets(c, p, a.e, steps.Curve(c.U), lo, hi)}
		for _, k := range c.Leads() {
			if fit, _ := c.LeaveOut(&c.Models[k], i); fit != nil {
				weights, doses = append(weights, c.Shares[k]*foretold(c, k, i, fit)), append(doses, g.meets(c, p, a.e, c.Mode(&c.Models[k], fit.Params), lo, hi))
			}
		}
		sum := 0.0
		for _, x := range weights {
			sum += x
		}
		weights, doses = append(weights, sum*free/(1-free)), append(doses, g.meets(c, p, a.e, c.ShapeWithout(i), lo, hi))
		matches(t, fmt.Sprint("without jar ", i), w.dose, mean(weights, doses)/all*float64(a.r.Effective.Value), 1e-12)
	}
}

// TestHangsLevels: a caution where the dose moves by more than a tenth or no dose is left, a
// note where it moves less or only the range ends; nothing where it stays within.
func TestHangsLevels(t *testing.T) {
	for _, c := range []struct {
		w     without
		says  string
		level note.Level
	}{
		{without{dose: 34}, "the answer hangs on one jar: without jar 1 (0 mg/L) the lowest effective dose would be 34.0 mg/L, not 30.0 mg/L", note.Caution},
		{without{dose: 26}, "would be 26.0 mg/L", note.Caution},
		{without{dose: 32.9}, "would be 32.9 mg/L", note.Info},
		{without{dose: 31}, "", 0},
		{without{dose: math.Inf(1), gone: "no dose of the rest meets the target"}, "without jar 1 (0 mg/L) there would be no answer: no dose of the rest", note.Caution},
		{without{dose: math.Inf(-1), gone: "the lowest", below: true}, "there would be no answer: the lowest", note.Info},
	} {
		a, _, p := made(60, []float64{0, 1}, "turbidity <= 5 NTU", t, []float64{3, 1})
		p.Jar, p.jars = []int{0}, []JarUse{{Label: "1"}}
		a.r.Effective = Interval{Value: 30, Low: 27.5, High: 32.8, HasLow: true, HasHigh: true}
		a.each = []without{c.w}
		a.hangs(p)
		if len(a.r.Notes) != min(len(c.says), 1) {
			t.Fatalf("%+v: %v", c.w, a.r.Notes)
		}
		for _, n := range a.r.Notes {
			if !strings.Contains(noteOf(*a.r, "hangs-on-one-jar"), c.says) || n.Level != c.level {
				t.Errorf("%+v: %v", c.w, n)
			}
		}
	}
}

// TestHangsSaysTheValue: the dose without the jar is about what a fit without it gives.
func TestHangsSaysTheValue(t *testing.T) {
	s := jarSeries("lever", jartest.Turbidity, []float64{0, 10, 20, 30, 45, 60, 80}, []float64{60, 45, 32, 4.2, 14, 7.5, 5})
	ask := targets(t, "turbidity <= 10 NTU")
	r := Analyse(s, ask, Options{})
	_, after, ok := strings.Cut(noteOf(r, "hangs-on-one-jar"), "without jar 4 (30.0 mg/L) the lowest effective dose would be ")
	if r.Outcome != Found || !ok {
		t.Fatalf("%s %v", r.Outcome, r.Notes)
	}
	for _, n := range r.Notes { // a dose that moves by more than a tenth is no quiet remark
		if n.Code == "hangs-on-one-jar" && n.Level != note.Caution {
			t.Errorf("level %s", n.Level)
		}
	}
	var v float64
	if _, err := fmt.Sscan(after, &v); err != nil {
		t.Fatal(err)
	}
	s.Jars = slices.Delete(s.Jars, 3, 4)
	q := Analyse(s, ask, Options{})
	within(t, "dose said against dose fitted without it", v, 0.93*float64(q.Effective.Value), 1.07*float64(q.Effective.Value))
}

// TestSpreadsWeigh: a mean that the sheet gives with a wide spread counts less, one of
// more repeats more; repeat readings that stand one by one weigh as before.
func TestSpreadsWeigh(t *testing.T) {
	dose := func(turn func(r jartest.Reading) jartest.Reading) (float64, Result) {
		s := smoothSeries(jartest.Turbidity, eight...)
		r := s.Jars[4].Readings.Of(jartest.Turbidity) // at 30 mg/L, beside the answer, read too high
		r.Value *= 1.3
		s.Jars[4].Readings.Set(jartest.Turbidity, turn(r))
		got := Analyse(s, targets(t, "turbidity <= 6 NTU"), Options{})
		return float64(got.Effective.Value), got
	}
	plain, without := dose(func(r jartest.Reading) jartest.Reading { return r })
	wide, with := dose(func(r jartest.Reading) jartest.Reading { r.SD = 0.5 * r.Value; return r })
	many, _ := dose(func(r jartest.Reading) jartest.Reading { r.SD, r.N = 0.5*r.Value, 100; return r })
	ten, _ := dose(func(r jartest.Reading) jartest.Reading { r.N = 10; return r })
	truth := math.Log(40.0/4) / 0.08
	if !(wide < plain && math.Abs(wide-truth) < 0.7*math.Abs(plain-truth)) {
		t.Errorf("a jar with a spread of half its reading: %.2f, without spread %.2f, truth %.2f", wide, plain, truth)
	}
	if !(many > wide && ten > plain) {
		t.Errorf("means of many: %.2f against %.2f, %.2f against %.2f", many, wide, ten, plain)
	}
	list, _ := dose(func(r jartest.Reading) jartest.Reading {
		r.N, r.Replicates = 3, []jartest.Reading{r, r, r}
		return r
	})
	if math.Abs(list-plain) > 1e-9 {
		t.Errorf("three readings of one jar gave %.4f, one %.4f", list, plain)
	}
	says := func(r Result) bool {
		return strings.Contains(strings.Join(r.Method, "\n"), "given in the sheet weigh the jars")
	}
	if says(without) || !says(with) {
		t.Error("the working does not say whether spreads weighed")
	}
}
