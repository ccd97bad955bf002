package curve

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// TestLastWithin: on straight lines between the points, from the first dose that meets.
func TestLastWithin(t *testing.T) {
	u := []float64{0, 1, 2, 4}
	inf := math.Inf(1)
	for _, c := range []struct {
		margin []float64
		first  float64
		want   float64
	}{{[]float64{1, -1, -1, 3}, 0.5, 2.5}, {[]float64{1, -1, -1, -3}, 0.5, inf}, {[]float64{-1, 1, -1, 1}, 0, 0.5}, {[]float64{1, 0, 2, 2}, 1, 1}, {[]float64{1, 1, -1, 1}, 1.5, 3}, {[]float64{1, -1, 0, -1}, 0.5, inf}} {
		matches(t, fmt.Sprint(c.margin), lastWithin(u, c.margin, c.first), c.want, 1e-12)
	}
}

// TestUpperEnd: quantiles of the upper ends, of which there are none where most lie beyond.
func TestUpperEnd(t *testing.T) {
	inf, a := math.Inf(1), &analysis{}
	var all []float64
	for i := range 100 {
		all = append(all, float64(100-i))
	}
	i, ok := a.upperEnd(all)
	matches(t, "middle", float64(i.Value), 50.5, 1e-9)
	matches(t, "low", float64(i.Low), 5.5, 1e-9)
	matches(t, "high", float64(i.High), 95.5, 1e-9)
	if !ok || !i.HasLow || !i.HasHigh || i.Confidence != 0.9 {
		t.Errorf("%+v %v", i, ok)
	}
	for n := range 12 { // the twelve highest lie beyond
		all[99-n] = inf
	}
	if i, ok = a.upperEnd(all); !ok || i.HasHigh || i.High != 0 {
		t.Errorf("open above: %+v %v", i, ok)
	}
	if _, ok = a.upperEnd([]float64{1, inf, inf}); ok {
		t.Error("an upper end where most have none")
	}
	if _, ok = a.upperEnd(nil); ok {
		t.Error("an upper end of nothing")
	}
}

// TestAlone: where one goal is met by itself, by hand from three straight curves.
func TestAlone(t *testing.T) {
	mid := math.Log(5)
	a, _, p := made(60, []float64{0, 0.5, 1}, "turbidity <= 5 NTU; turbidity >= 1 NTU", t,
		[]float64{mid + 1, mid - 1, mid + 1}, []float64{mid + 2, mid - 1, mid + 1}, []float64{mid + 3, mid - 1, mid + 3})
	p.dmax = 60
	s := a.alone(0) // met from 15, 20 and 22.5 mg/L to 45, 45 and 37.5
	matches(t, "from", float64(s.from.Value), 20, 1e-9)
	matches(t, "to", float64(s.to.Value), 45, 1e-9)
	if !s.starts || !s.ends || !s.reachable || !s.from.HasLow || !s.from.HasHigh || !s.to.HasHigh {
		t.Errorf("%+v", s)
	}
	matches(t, "lowest from", float64(s.from.Low), 15, 1e-9)
	matches(t, "highest from", float64(s.from.High), 22.5, 1e-9)
	// At least 1 NTU is met from the start on, and failed at no dose.
	if s = a.alone(1); s.starts || s.ends || !s.reachable || s.from.Value != 0 || s.from.HasLow {
		t.Errorf("%+v", s)
	}
	far, _, q := made(60, []float64{0, 1}, "turbidity <= 1 NTU; turbidity >= 2 NTU", t, []float64{3, 2}, []float64{3, 1}, []float64{3, -1})
	q.dmax = 60
	if s = far.alone(0); s.reachable || s.starts {
		t.Errorf("a goal that one curve in three meets: %+v", s)
	}
	if far.opposed() {
		t.Error("a goal out of reach is told as opposed")
	}
}

// TestBoundsInWords: a dose with the ends that are known.
func TestBoundsInWords(t *testing.T) {
	a := &analysis{r: &Result{Factor: "dose"}}
	for _, c := range []struct {
		i    Interval
		want string
	}{
		{Interval{Value: 20, Low: 18, High: 22.25, HasLow: true, HasHigh: true}, "20.0 mg/L (18.0 mg/L to 22.2 mg/L)"}, {Interval{Value: 20, High: 22, HasHigh: true}, "20.0 mg/L (22.0 mg/L or less)"},
		{Interval{Value: 20, Low: 18, HasLow: true}, "20.0 mg/L (18.0 mg/L or more)"}, {Interval{Value: 20}, "20.0 mg/L"},
	} {
		if got := a.bound(c.i).String(); got != c.want && got != strings.Replace(c.want, "22.2 ", "22.3 ", 1) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	a.r.Factor = "ph"
	if got := a.mgl(6.514).String(); got != "pH 6.51" {
		t.Errorf("%q", got)
	}
}

// TestClosestJar: the jar that misses by the fewest scatters, with what it misses.
func TestClosestJar(t *testing.T) {
	s := jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50}, []float64{40, 20, 10, 5.6, 3, 2})
	for i, v := range []float64{7.5, 7.2, 7, 6.8, 6.5, 6.2} {
		s.Jars[i].Readings.Set(jartest.PH, jartest.Num(v, ""))
	}
	ask := "turbidity <= 5 NTU; ph >= 7"
	if said := noteOf(Analyse(s, targets(t, ask), Options{}), "targets-opposed"); !strings.Contains(said, "comes closest is jar 4 (30.0 mg/L), which reads turbidity 5.60 NTU and pH 6.80") {
		t.Errorf("%q", said)
	}
	s.Jars[3].Readings = s.Jars[3].Readings.Without(jartest.PH) // without one of the readings it cannot be judged
	if said := noteOf(Analyse(s, targets(t, ask), Options{}), "targets-opposed"); strings.Contains(said, "closest is jar 4") || !strings.Contains(said, "closest is jar") {
		t.Errorf("%q", said)
	}
	// A jar that meets both where the curves do not: only it does.
	s = jarSeries("x", jartest.Turbidity, []float64{0, 10, 20, 30, 40, 50}, []float64{40, 20, 10, 5.6, 3, 2})
	for i, v := range []float64{7.5, 7.2, 7, 6.8, 7.02, 6.2} {
		s.Jars[i].Readings.Set(jartest.PH, jartest.Num(v, ""))
	}
	if r := Analyse(s, targets(t, ask), Options{}); r.Outcome == NotReached && !strings.Contains(noteOf(r, "targets-opposed"), "only jar 5 (40.0 mg/L) meets both") {
		t.Errorf("%v", r.Notes)
	}
}

// TestEdgeNote: only the last dose passes, by the mean of its jars.
func TestEdgeNote(t *testing.T) {
	for _, c := range []struct {
		ask  string
		y    []float64
		says bool
	}{
		{"turbidity <= 5 NTU", []float64{40, 20, 5.1, 4.9}, true}, {"turbidity <= 5 NTU", []float64{40, 20, 4.9, 4.8}, false}, {"turbidity <= 5 NTU", []float64{40, 20, 5.2, 5.1}, false},
		{"turbidity within 10 % of best", []float64{40, 20, 10, 5}, false}, {"turbidity <= 5 NTU", []float64{40, 20, 10, 5}, true},
	} {
		s := jarSeries("x", jartest.Turbidity, []float64{10, 20, 30, 40}, c.y)
		col, _ := factorColumn(s, 0, "")
		p := prepare(s, jartest.Turbidity, col, false, nil)
		a, cloud, _ := made(40, []float64{0, 1}, c.ask, t, []float64{3, 1})
		a.goals[0].key = jartest.Turbidity
		a.cloud[jartest.Turbidity] = cloud
		a.edge(&p)
		said := noteOf(*a.r, "edge-of-range")
		if (said != "") != c.says || c.says && !(strings.Contains(said, "only the highest dose, 40.0 mg/L") && strings.Contains(said, "the jar below it, 30.0 mg/L, fails") && strings.Contains(said, "test 52.0 mg/L and 68.0 mg/L")) {
			t.Errorf("%v: %q", c.y, said)
		}
	}
}

// TestSlip: about ten times off, either way, to a quarter of a decade.
func TestSlip(t *testing.T) {
	for _, c := range []struct {
		read, expected float64
		want           string
	}{
		{140, 14, "; it looks about ten times off, 140 for 14.0"}, {1.4, 14.4, "; it looks about ten times off, 1.40 for 14.0"}, {140, 8, "; it looks about ten times off, 140 for 14.0"},
		{140, 7.8, ""}, {140, 24.8, "; it looks about ten times off, 140 for 14.0"}, {140, 25.2, ""}, {0, 14, ""}, {14, 0, ""}, {-140, 14, ""}, {14, 14, ""},
	} {
		if got := slip(c.read, c.expected).String(); got != c.want {
			t.Errorf("%g for %g: %q, want %q", c.read, c.expected, got, c.want)
		}
	}
}

// TestMixture: the middle on the logarithm of the dose, or where most of the weight is.
func TestMixture(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		x, w []float64
		want float64
	}{
		{[]float64{4, 9}, []float64{1, 1}, 6}, {[]float64{2, 16}, []float64{2, 1}, 4}, {[]float64{4, inf}, []float64{1, 0.9}, 4}, {[]float64{4, inf}, []float64{1, 1}, inf},
		{[]float64{4, -inf}, []float64{1, 0.9}, 4}, {[]float64{4, -inf}, []float64{1, 1}, -inf}, {[]float64{4, 9, inf, -inf}, []float64{1, 1, 1, 0.5}, 6},
	} {
		var m mixture
		for i := range c.x {
			m.add(c.x[i], c.w[i])
		}
		matches(t, fmt.Sprint(c.x), m.dose(), c.want, 1e-9)
	}
}

// TestLeaves: a dose leaves the interval from four fifths of the way to an end on, on the
// logarithm, or where it is a fifth off.
func TestLeaves(t *testing.T) {
	r := &Result{Effective: Interval{Value: 20, Low: 18, High: 22, HasLow: true, HasHigh: true}}
	open := &Result{Effective: Interval{Value: 20}}
	low, high := 20*math.Pow(0.9, 0.8), 20*math.Pow(1.1, 0.8)
	for _, c := range []struct {
		r    *Result
		dose float64
		want bool
	}{{r, 20, false}, {r, low * 1.0001, false}, {r, low * 0.9999, true}, {r, high * 0.9999, false}, {r, high * 1.0001, true}, {open, 16.01, false}, {open, 15.99, true}, {open, 23.99, false}, {open, 24.01, true}} {
		if got := c.r.leaves(c.dose); got != c.want {
			t.Errorf("%g: %v", c.dose, got)
		}
	}
}

// TestMeets: where one curve first meets a goal between two doses.
func TestMeets(t *testing.T) {
	a, c, p := made(60, []float64{0, 0.25, 0.5, 0.75, 1}, "turbidity <= 5 NTU", t, []float64{0, 0, 0, 0, 0})
	l := math.Log(5)
	row := []float64{l + 2, l + 1, l - 1, l - 1, l - 2}
	g := &a.goals[0]
	matches(t, "inside", g.meets(c, p, a.e, row, 0, 1), 0.375, 1e-12)
	matches(t, "from the first dose on", g.meets(c, p, a.e, row, 0.5, 1), math.Inf(-1), 0)
	matches(t, "not before the last", g.meets(c, p, a.e, row, 0, 0.25), math.Inf(1), 0)
	matches(t, "up to a dose", g.meets(c, p, a.e, row, 0.25, 0.5), 0.375, 1e-12)
}

// TestReachWithout: curves that expected a jar less weigh more without it, exp(½ z²) σ.
func TestReachWithout(t *testing.T) {
	a, c, _ := made(60, []float64{0, 1}, "turbidity <= 5 NTU", t, []float64{3, 1}, []float64{3, 2})
	c.Obs = &engine.Observations{U: []float64{0, 1}, Y: []float64{3, 1.1}, W: []float64{1, 1}, Limit: []int8{0, 0}}
	a.first = []float64{20, math.Inf(1)}
	a.r.doses = a.first
	// Curve 1 lies one scatter off, curve 2 nine: none above the sum over √2.
	w := []float64{0.1 * math.Exp(0.5), 0.1 * math.Exp(40.5)}
	most := (w[0] + w[1]) / math.Sqrt2
	matches(t, "reach", a.reachWithout(c, 1), math.Min(w[0], most)/(math.Min(w[0], most)+math.Min(w[1], most)), 1e-9)
	c.Obs.Y[1] = 1.5 // both five off: alike
	matches(t, "reach alike", a.reachWithout(c, 1), 0.5, 1e-9)
	matches(t, "of the first jar, which both meet", a.reachWithout(c, 0), 0.5, 1e-9)
	c.Obs.Limit[1] = -1
	c.Obs.Y[1] = 1.1
	matches(t, "a limit says nothing", a.reachWithout(c, 1), 0.5, 1e-9)
}

// TestBestBetweenBounds: a reading that is to lie between two bounds is best half-way between them,
// not at its highest: zeta of -20 + 1.2 d is 0 at 16.7 mg/L, and between -10 and 5 best at 14.6.
func TestBestBetweenBounds(t *testing.T) {
	var doses, zeta []float64
	for d := 5.0; d <= 30; d += 5 {
		doses, zeta = append(doses, d), append(zeta, -20+1.2*d)
	}
	s := jarSeries("zeta", jartest.Zeta, doses, zeta)
	for ask, want := range map[string]float64{"zeta between -5 and 5 mV": 20 / 1.2, "zeta between -10 and 5 mV": 17.5 / 1.2} {
		r := Analyse(s, targets(t, ask), Options{})
		if r.Outcome != Found {
			t.Fatalf("%s: %s %v", ask, r.Outcome, r.Notes)
		}
		within(t, ask, float64(r.Best.Dose), want-0.5, want+0.5)
		within(t, ask+" of the reading", float64(r.Readings[0].Best.Dose), want-0.5, want+0.5)
	}
	r := Analyse(s, targets(t, "zeta >= -5 mV"), Options{})
	within(t, "one bound", float64(r.Best.Dose), 30, 30)
}

// TestBoundsOfThree: of several targets that ask for more the one that asks for most bounds
// the dose below, and the one that allows least above, in whatever order they stand.
func TestBoundsOfThree(t *testing.T) {
	doses := []float64{0, 10, 20, 30, 40, 50, 60}
	s := jarSeries("three", jartest.Turbidity, doses, []float64{60, 30, 15, 7.5, 3.8, 1.9, 1})
	for i, j := range s.Jars {
		x := doses[i]
		j.Readings.Set(jartest.TOC, jartest.Num(8*math.Exp(-x/40), "mg/L"))
		j.Readings.Set(jartest.PH, jartest.Num(7.6-x/50, ""))
		j.Readings.Set(jartest.Zeta, jartest.Num(-20+x, "mV"))
		s.Jars[i] = j
	}
	asks := []string{"turbidity <= 12 NTU", "toc <= 3.4 mg/L", "pH >= 7", "zeta <= 4 mV"} // from 23 and 34, up to 30 and 24 mg/L
	for _, order := range [][]int{{0, 1, 2, 3}, {3, 2, 1, 0}, {1, 3, 0, 2}, {2, 0, 3, 1}} {
		var ask []string
		for _, i := range order {
			ask = append(ask, asks[i])
		}
		a := begin(engine.New(), s, targets(t, strings.Join(ask, "; ")), Options{OnlyTarget: true})
		if !a.setGoals() {
			t.Fatal(a.r.Notes)
		}
		a.answer()
		most, least, ok := a.bounds()
		if !ok || a.r.Targets[most.goal].Key != jartest.TOC || a.r.Targets[least.goal].Key != jartest.Zeta {
			t.Errorf("%v: %v, from %+v to %+v", ask, ok, most, least)
		}
		within(t, "from", float64(most.from.Value), 33, 35.5)
		within(t, "to", float64(least.to.Value), 23, 25)
	}
}
