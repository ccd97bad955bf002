package curve

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// analysed is the state after a whole analysis.
func analysed(t *testing.T, s jartest.Series, ask string) *analysis {
	t.Helper()
	a := begin(engine.New(), s, targets(t, ask), Options{})
	if !a.setGoals() {
		t.Fatal(a.r.Notes)
	}
	a.answer()
	a.readings()
	return a
}

// TestNothingTested: without a jar there is no range.
func TestNothingTested(t *testing.T) {
	if lo, hi := testedRange(&prepared{}); lo != 0 || hi != 0 {
		t.Errorf("%v to %v", lo, hi)
	}
}

// TestResidualsByDifferences: a jar's residual is its distance from the best model fitted without it, over the
// scatter and the doubt of that fit there; the doubt by central differences of the prediction, which know
// nothing of the model's derivatives.
func TestResidualsByDifferences(t *testing.T) {
	falling := jarSeries("falling", jartest.Turbidity, []float64{5, 10, 15, 20, 25, 30, 40, 50}, []float64{30, 21, 16.5, 10.3, 8.2, 6.1, 3.9, 3.2})
	ph := jarSeries("ph", jartest.PH, []float64{5, 10, 15, 20, 25, 30, 40, 50}, []float64{7.5, 7.37, 7.3, 7.16, 7.12, 6.98, 6.83, 6.6})
	for _, c := range []struct {
		s   jartest.Series
		key jartest.Key
		ask string
	}{{falling, jartest.Turbidity, "turbidity <= 6 NTU"}, {ph, jartest.PH, "ph >= 7"}} {
		a := analysed(t, c.s, c.ask)
		cloud, p := a.cloud[c.key], a.ready[c.key]
		o, m := cloud.Obs, &cloud.Models[cloud.BestModel()]
		for i := range o.U {
			fit, rest := cloud.LeaveOut(m, i)
			if fit == nil {
				t.Fatalf("%s: no fit without jar %d", c.s.Name, i)
			}
			predict := func(z []float64, o *engine.Observations, k int) float64 {
				shape := make([]float64, engine.MaxParams)
				m.Model.Natural(z[o.Linear():], shape)
				return o.Predict(z, m.Model.Value(o.At(k), shape))
			}
			rss := 0.0
			for k := range rest.U {
				d := rest.Y[k] - predict(fit.Params, rest, k)
				rss += rest.W[k] * d * d
			}
			grad := make([]float64, len(fit.Params))
			for k := range grad {
				up, down := append([]float64(nil), fit.Params...), append([]float64(nil), fit.Params...)
				up[k], down[k] = up[k]+1e-4, down[k]-1e-4
				grad[k] = (predict(up, o, i) - predict(down, o, i)) / 2e-4
			}
			inv, err := fit.Inverse()
			if err != nil {
				t.Fatal(err)
			}
			nu, s0 := o.Scatter.Worth, o.Scatter.SD
			variance := (nu*s0*s0 + rss) / (nu + float64(len(rest.U)-2)) / o.W[i]
			for x := range grad {
				for y := range grad {
					variance += grad[x] * inv[x*len(grad)+y] * grad[y]
				}
			}
			want := (o.Y[i] - predict(fit.Params, o, i)) / math.Sqrt(variance)
			if got := p.jars[p.Jar[i]].Residual; math.Abs(got-want) > 1e-3*math.Max(1, math.Abs(want)) {
				t.Errorf("%s, jar %d: residual %.5f, by differences %.5f", c.s.Name, i, got, want)
			}
		}
	}
}

// TestBetweenIsBestInTheMiddle: a zeta potential of d - 30 mV that has to lie between -4 and 8 mV is best at
// 2 mV, so at 32 mg/L.
func TestBetweenIsBestInTheMiddle(t *testing.T) {
	var doses, mv []float64
	for d := 5.0; d <= 60; d += 5 {
		doses, mv = append(doses, d), append(mv, d-30)
	}
	a := analysed(t, jarSeries("zeta", jartest.Zeta, doses, mv), "zeta >= -4 mV; zeta <= 8 mV")
	if m, ok := a.middle(jartest.Zeta); !ok || m != 2 {
		t.Errorf("middle %g, %v", m, ok)
	}
	within(t, "best dose", float64(a.r.Best.Dose), 31.2, 32.8)
	within(t, "best reading", a.r.Best.Reading, 1.2, 2.8)
	if _, ok := a.middle(jartest.PH); ok {
		t.Error("a reading without targets has a middle")
	}
}

// TestOnlyWorseAsks: where the lowest dose is best and fails, lower doses are asked for, a quarter and the half
// of it; where that was none, other means.
func TestOnlyWorseAsks(t *testing.T) {
	for lowest, says := range map[float64]string{8: "test lower, for example 2.00 mg/L, 4.00 mg/L and a jar without chemical", 0: "the water fails it untreated"} {
		var doses, ph []float64
		for i := range 6 {
			doses = append(doses, lowest+8*float64(i))
			ph = append(ph, 7.2-0.02*doses[i])
		}
		r := Analyse(jarSeries("x", jartest.PH, doses, ph), targets(t, "ph >= 7.6"), Options{})
		said := ""
		for _, n := range r.Notes {
			if n.Code == "not-reached" {
				said = n.Remedy
			}
		}
		if r.Outcome != NotReached || !strings.Contains(said, says) {
			t.Errorf("from %g: %s %q", lowest, r.Outcome, said)
		}
	}
}

// TestSuspectsBesideOne: where one jar stands out, it or a neighbour may be the odd one; a reading beyond a limit is not.
func TestSuspectsBesideOne(t *testing.T) {
	s := jarSeries("falling", jartest.Turbidity, []float64{5, 10, 15, 20, 25, 30}, []float64{30, 21, 15, 10.3, 7.2, 5.1})
	for _, c := range []struct {
		out   []int
		limit int
		want  string
	}{{[]int{3}, -1, "[2 3 4]"}, {[]int{0}, -1, "[0 1]"}, {[]int{5}, -1, "[4 5]"}, {[]int{3}, 4, "[2 3]"}, {[]int{1, 4}, -1, "[1 4]"}, {nil, -1, "[]"}, {[]int{5}, 4, "[]"}} {
		a := analysed(t, s, "turbidity <= 8 NTU")
		p, cloud := a.ready[jartest.Turbidity], a.cloud[jartest.Turbidity]
		for i := range p.jars {
			p.jars[i].Outlier = false
		}
		for _, i := range c.out {
			p.jars[p.Jar[i]].Outlier = true
		}
		if c.limit >= 0 {
			cloud.Obs.Limit[c.limit] = -1
		}
		if got := fmt.Sprint(a.suspects(p, cloud)); got != c.want {
			t.Errorf("%v out, %d a limit: %s, want %s", c.out, c.limit, got, c.want)
		}
	}
}

// TestWithoutEach: five doses leave the four that a curve needs without any of them; four do not.
func TestWithoutEach(t *testing.T) {
	doses, ntu := []float64{5, 10, 20, 30, 40}, []float64{30, 21, 10.3, 5.1, 3}
	for n, want := range map[int]int{4: 0, 5: 5} {
		a := analysed(t, jarSeries("falling", jartest.Turbidity, doses[:n], ntu[:n]), "turbidity <= 8 NTU")
		if each := a.eachWithout(a.ready[jartest.Turbidity], a.cloud[jartest.Turbidity], &a.goals[0]); len(each) != want {
			t.Errorf("of %d jars %d are left out in turn", n, len(each))
		}
	}
}
