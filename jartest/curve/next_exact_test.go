package curve

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// asked writes the doses of a next series with their jars.
func asked(n Next) string {
	var out []string
	for _, d := range n.Doses {
		s := quantity.Brief(float64(d.Dose), 4)
		if d.Jars != 1 {
			s += fmt.Sprint("x", d.Jars)
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

// TestNextDoses: the doses of each outcome by hand. With 10 g/L of stock into 1 L a
// pipette gives 0.1 mg/L steps up to 10 mg/L, 0.5 up to 100, then 5.
func TestNextDoses(t *testing.T) {
	res := func(o Outcome, low, high, best float64) Result {
		return Result{Factor: "dose", Outcome: o, TestedLow: quantity.Concentration(low), TestedHigh: quantity.Concentration(high), Best: Spot{Dose: quantity.Concentration(best)}}
	}
	worse := res(NotReached, 16, 60, 16)
	worse.worse = true
	never := res(NotReached, 0, 60, 0)
	never.worse = true
	opposed := res(NotReached, 10, 60, 60)
	opposed.apart = [2]float64{20, 30}
	edge := opposed
	edge.TestedLow = 18
	for _, c := range []struct {
		name string
		r    Result
		jars int
		want string
		rule string
	}{
		{"upwards", res(StillImproving, 10, 60, 60), 4, "60 78 100 130", "upwards"}, // 101.4 and 131.8 are 10.0 and 13.0 mL
		{"six jars where none are named", res(StillImproving, 2, 5, 5), 0, "5 6.5 8.5 11 14.5 18.5", "upwards"},
		{"downwards", res(LowestDosePasses, 16, 60, 60), 5, "0 2 4 8 16", "a control jar, and downwards"},
		{"only worse", worse, 5, "0 2 4 8 16", "a control jar, and downwards"},
		{"worse from none on", never, 5, "", "none: the water fails"},
		{"untreated passes", res(UntreatedPasses, 0, 60, 60), 5, "", "none: the untreated"},
		{"opposed", opposed, 6, "16 20 24 28 32 36", "from the dose that one target allows"},
		{"opposed at the edge", edge, 3, "18 27 36", "from the dose that one target allows"},
		{"not reached", res(NotReached, 10, 60, 40), 3, "28 40 52", "around the best"},
		{"not reached, low", res(NotReached, 0, 80, 10), 3, "7 10 13", "around the best"},
		{"not reached, none is best", res(NotReached, 0, 80, 0), 3, "10 12.5 15", "around the best"},
		{"not reached, near the lowest", res(NotReached, 10, 60, 11.5), 3, "10 12.5 15", "around the best"},
		{"no response", res(NoResponse, 9, 30, 20), 3, "3 16.5 90", "wider range"}, // √(3 · 90) = 16.4
		{"no response from none on", res(NoResponse, 0, 48, 20), 3, "2 17 145", "wider range"},
		{"too few", res(TooFewJars, 5, 50, 50), 4, "0 5 27.5 50", "even spread"},
		{"too few, from low", res(TooFewJars, 1, 50, 50), 4, "0 5 27.5 50", "even spread"},
		{"too few, one dose", res(TooFewJars, 20, 20, 20), 4, "0 5 22.5 40", "even spread"},
		{"too few, none known", res(TooFewJars, 0, 0, 0), 4, "", "none: no dose"},
		{"again", res(Ambiguous, 2, 60, 30), 6, "6x2 33x2 60x2", "two jars at each"},
		{"again, one jar", res(Ambiguous, 2, 60, 30), 1, "6x2", "two jars at each"},
		{"again, no range", res(Ambiguous, 60, 60, 30), 6, "", "none: see"},
	} {
		n := c.r.Next(NextOptions{Jars: c.jars, Stock: 10000, JarVolume: 1})
		if asked(n) != c.want || !strings.Contains(n.Rule, c.rule) {
			t.Errorf("%s: %q by %q, want %q by %q", c.name, asked(n), n.Rule, c.want, c.rule)
		}
		for _, d := range n.Doses {
			matches(t, c.name+": volume", d.Stock.In("mL"), float64(d.Dose)/10, 1e-9)
			if d.Why == "" {
				t.Errorf("%s: no reason for %v", c.name, d.Dose)
			}
		}
	}
	if n := res(TooFewJars, 0, 0, 0).Next(NextOptions{}); len(n.Notes) != 1 || n.Notes[0].Code != "no-range" {
		t.Errorf("%v", n.Notes)
	}
}

// TestNextVolumes: what a pipette measures poorly, and what dilutes the jar, is said.
func TestNextVolumes(t *testing.T) {
	for _, c := range []struct {
		dose, stock, litres float64
		code                string
	}{{5, 0, 1, "no-stock"}, {5, 10000, 0, "no-stock"}, {0.99, 10000, 1, "little-stock"}, {1, 10000, 1, ""}, {20, 1000, 1, ""}, {20.5, 1000, 1, "much-stock"}, {20.5, 1000, 2, "much-stock"}, {0, 10000, 1, ""}} {
		opt := NextOptions{Stock: quantity.Concentration(c.stock), JarVolume: quantity.Volume(c.litres)}
		n := Next{Doses: []NextDose{{Dose: quantity.Concentration(c.dose), Jars: 1}}}
		if c.stock > 0 && c.litres > 0 {
			n.Doses[0].Stock = quantity.Volume(c.dose * c.litres / c.stock)
		}
		n.volumes(opt)
		if c.code == "" && len(n.Notes) > 0 || c.code != "" && (len(n.Notes) != 1 || n.Notes[0].Code != c.code) {
			t.Errorf("%g mg/L of %g mg/L into %g L: %v, want %s", c.dose, c.stock, c.litres, n.Notes, c.code)
		}
	}
}

// TestRounded: the nearest that can be measured out, at the ends of each graduation; and
// without stock a round number within a fiftieth.
func TestRounded(t *testing.T) {
	opt := NextOptions{Stock: 1000, JarVolume: 1} // 1 mL is 1 mg/L
	for _, c := range []struct{ dose, step, want float64 }{{0.994, 0, 0.99}, {1, 0, 1}, {1.02, 0, 1}, {1.03, 0, 1.05}, {9.98, 0, 10}, {10.2, 0, 10}, {10.3, 0, 10.5}, {0.001, 0, 0.01}, {0, 0, 0}, {-1, 0, 0}} {
		d, v := rounded(quantity.Concentration(c.dose), opt, c.step)
		matches(t, "dose", float64(d), c.want, 1e-12)
		matches(t, "volume", v.In("mL"), c.want, 1e-12)
	}
	for _, c := range []struct{ dose, step, want float64 }{
		{37.26, 0, 37}, {12.34, 0, 12.4}, {12.34, 0.1, 12.3}, {12.34, 2, 12}, {12.34, 5, 10}, {12.34, 4.9, 12}, {247, 0, 245}, {0.0333, 0, 0.033}, {1234, 20, 1240}, {1234, 0.5, 1234}} {
		d, v := rounded(quantity.Concentration(c.dose), NextOptions{Stock: 1000}, c.step)
		matches(t, fmt.Sprintf("%g by %g", c.dose, c.step), float64(d), c.want, 1e-9)
		if v != 0 {
			t.Errorf("a volume of %v without a jar's", v)
		}
	}
}

// TestNextPH: a quarter beyond the interval of the best pH, or half the range beyond the better end.
func TestNextPH(t *testing.T) {
	found := Result{Factor: "ph", Outcome: Found, TestedLow: 5, TestedHigh: 8, Optimum: Interval{Value: 6.6, Low: 6.4, High: 6.8, HasLow: true, HasHigh: true}}
	open := found
	open.Optimum.HasHigh = false
	for _, c := range []struct {
		r    Result
		jars int
		want string
	}{
		{found, 6, "6.3 6.4 6.5 6.7 6.8 6.9"}, // 0.12 apart
		{found, 1, "6.3"}, {open, 3, "6 7.2 8.4"}, {found, 14, "6.3x2 6.4x2 6.5x2 6.6x2 6.7x2 6.8x2 6.9x2"},
		{Result{Factor: "ph", Outcome: NotReached, TestedLow: 5, TestedHigh: 8, Best: Spot{Dose: 8}}, 6, "6.5 7.1 7.7 8.3 8.9 9.5"},
		{Result{Factor: "ph", Outcome: NotReached, TestedLow: 5, TestedHigh: 8, Best: Spot{Dose: 5}}, 4, "3.5 4.5 5.5 6.5"},
	} {
		n := c.r.Next(NextOptions{Jars: c.jars})
		if asked(n) != c.want {
			t.Errorf("%+v: %q, want %q", c.r.Optimum, asked(n), c.want)
		}
		if c.r.Outcome == Found && n.Before != c.r.Optimum {
			t.Errorf("interval before %+v", n.Before)
		}
	}
}

// TestNextParts: doses tested, quantiles and narrowed intervals by hand.
func TestNextParts(t *testing.T) {
	r := Result{Jars: []JarUse{{Dose: 30, Used: true}, {Dose: 10, Used: true}, {Dose: 10, Used: true}, {Dose: 99}, {Dose: 20, Used: true}}}
	if got := fmt.Sprint(r.testedDoses(6), r.testedDoses(2), Result{}.testedDoses(3)); got != "[10 10 20 20 30 30] [10 20] []" {
		t.Errorf("doses tested %s", got)
	}
	r = Result{doses: []float64{10, 20, 30, math.Inf(1)}, grid: []float64{0, 40}}
	matches(t, "quantile", r.quantileIn(0.375), 20, 1e-12)
	matches(t, "quantile beyond the range", r.quantileIn(0.95), 40, 0)
	i := shrunk(Interval{Value: 20, Low: 10, High: 80, HasLow: true, HasHigh: true}, 0.5)
	matches(t, "low", float64(i.Low), 20/math.Sqrt2, 1e-12)
	matches(t, "high", float64(i.High), 40, 1e-12)
	if i = shrunk(Interval{Value: 20}, 0.5); i.Low != 0 || i.High != 0 || i.Value != 20 {
		t.Errorf("an interval without ends became %+v", i)
	}
	x := expectation{u: []float64{0, 10, 20, 40}}
	for d, want := range map[float64]int{-5: 0, 4.9: 0, 5.1: 1, 29: 2, 31: 3, 99: 3} {
		if got := x.near(d); got != want {
			t.Errorf("nearest to %g is %d, want %d", d, got, want)
		}
	}
}

// TestNarrowChoices: the choices between which `next` decides, by hand from the interval,
// and every narrowed interval from its share of the width.
func TestNarrowChoices(t *testing.T) {
	r := Analyse(smoothSeries("turbidity", append([]float64{0}, eight...)...), below(6), Options{OnlyTarget: true, ForNext: true})
	n := r.Next(NextOptions{Jars: 6, Stock: 1000, JarVolume: 1})
	low, mid, high := r.quantileIn(0.05), float64(r.Effective.Value), r.quantileIn(0.95)
	at := func(share float64) float64 {
		d, _ := rounded(quantity.Concentration(low+share*(high-low)), NextOptions{Stock: 1000, JarVolume: 1}, 0)
		return float64(d)
	}
	m, _ := rounded(quantity.Concentration(mid), NextOptions{Stock: 1000, JarVolume: 1}, 0)
	want := map[string][]float64{
		"lower end, estimate and upper end of the interval":  {at(0), at(0), float64(m), float64(m), at(1), at(1)},
		"equal steps over the interval and a quarter beyond": {at(-0.25), at(0.05), at(0.35), at(0.65), at(0.95), at(1.25)},
		"the same doses again":                               {0, 5, 15, 20, 40, 50},
	}
	taken, best := 0, math.Inf(1)
	for i, c := range n.Choices {
		if w, ok := want[c.Name]; ok {
			for k, d := range c.Doses {
				matches(t, c.Name, float64(d), w[k], 1e-9)
			}
			delete(want, c.Name)
		}
		if c.Taken {
			taken++
			if got := asked(n); got == "" || c.Name != n.Rule {
				t.Errorf("%q is taken, and the rule is %q", c.Name, n.Rule)
			}
		}
		if i < 4 {
			best = math.Min(best, c.Shrink)
		}
		a := shrunk(r.Effective, c.Shrink)
		matches(t, c.Name+": low", float64(c.After.Low), float64(a.Low), 1e-9)
		matches(t, c.Name+": high", float64(c.After.High), float64(a.High), 1e-9)
		if c.Shrink <= 0 || c.Shrink > 1 || c.Jars != 6 && i < 4 {
			t.Errorf("%s: %d jars leave %g", c.Name, c.Jars, c.Shrink)
		}
	}
	if len(want) > 0 || taken != 1 || len(n.Choices) != 6 {
		t.Fatalf("%d choices, %d taken, missing %v", len(n.Choices), taken, want)
	}
	for i, c := range n.Choices {
		if c.Taken && c.Shrink > best+0.02 {
			t.Errorf("%q leaves %.3f, the best %.3f", c.Name, c.Shrink, best)
		}
		if i >= 4 && c.Jars != 6*(i-2) {
			t.Errorf("%s: %d jars of %d doses", c.Name, c.Jars, len(c.Doses))
		}
	}
	if !(n.Choices[5].Shrink <= n.Choices[4].Shrink) {
		t.Errorf("three jars for each leave %.3f, two %.3f", n.Choices[5].Shrink, n.Choices[4].Shrink)
	}
	for _, d := range n.Doses {
		why := "inside"
		switch {
		case float64(d.Dose) < low:
			why = "below"
		case float64(d.Dose) > high:
			why = "above"
		}
		if !strings.HasPrefix(d.Why, why) {
			t.Errorf("%v is said to lie %s, the interval runs from %.3f to %.3f", d.Dose, d.Why, low, high)
		}
		matches(t, "volume", d.Stock.In("mL"), float64(d.Dose), 1e-9)
	}
	// Where a water falls between two jars that is asked first, in equal steps between them.
	cliff := Analyse(jarSeries("cliff", "turbidity", []float64{0, 12, 24, 36, 48, 60}, []float64{31, 30.2, 29.5, 2.1, 2, 2.05}), below(5), Options{OnlyTarget: true, ForNext: true})
	if got := asked(cliff.Next(NextOptions{Jars: 5, Stock: 1000, JarVolume: 1})); got != "26 28 30 32 34" {
		t.Errorf("over a cliff from 24 to 36 mg/L: %s", got)
	}
}

// TestNextOneJar: one jar alone stands in the middle of the interval in every way of choosing.
func TestNextOneJar(t *testing.T) {
	r := Analyse(smoothSeries("turbidity", append([]float64{0}, eight...)...), below(6), Options{OnlyTarget: true, ForNext: true})
	opt := NextOptions{Jars: 1, Stock: 1000, JarVolume: 1}
	n := r.Next(opt)
	low, high := r.quantileIn(0.05), r.quantileIn(0.95)
	middle, _ := rounded(quantity.Concentration((low+high)/2), opt, (high-low)/12)
	for _, c := range n.Choices {
		if strings.HasPrefix(c.Name, "equal steps") && (len(c.Doses) != 1 || c.Doses[0] != middle) {
			t.Errorf("%s: %v, want %v", c.Name, c.Doses, middle)
		}
	}
}

// TestGreedyCandidates: up to a dozen grid doses are all weighed, of more every second.
func TestGreedyCandidates(t *testing.T) {
	r := Analyse(davisAlum(), target(t, "turbidity <= 6 NTU"), Options{ForNext: true})
	e := r.design.expect(engine.New())
	for _, n := range []int{11, 12, 13, 24, 25} {
		from, step := 20, map[int]int{11: 1, 12: 1, 13: 2, 24: 2, 25: 4}[n]
		var want []int
		for j := from; j < from+n; j += step {
			want = append(want, j)
		}
		var doses []float64
		for _, j := range e.Greedy(6, want) {
			doses = append(doses, e.u[j])
		}
		if got := e.greedy(6, e.u[from], e.u[from+n-1]); fmt.Sprint(got) != fmt.Sprint(doses) {
			t.Errorf("of %d doses from %g on: %v, want %v", n, e.u[from], got, doses)
		}
	}
}

// TestGreedyStaysWithin: the doses that are taken one after the other lie inside the bounds given, and
// none is a jar without chemical.
func TestGreedyStaysWithin(t *testing.T) {
	r := Analyse(davisAlum(), target(t, "turbidity <= 6 NTU"), Options{ForNext: true})
	e := r.design.expect(engine.New())
	for _, c := range [][2]float64{{8, 12}, {0, 6}} {
		doses := e.greedy(6, c[0], c[1])
		if len(doses) != 6 {
			t.Errorf("%d doses between %v", len(doses), c)
		}
		for _, d := range doses {
			if d <= 0 || d < c[0] || d > c[1] {
				t.Errorf("%g mg/L does not lie between %v", d, c)
			}
		}
	}
}
