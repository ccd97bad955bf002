package surface

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// slope by which the planes below fall with the first factor and the second, scaled.
const fallX, fallY = 3.0, 1.0

// planes is an answer from three hundred equally likely planes, ln f = c_k - 3 x - y, where alum
// runs to 30 mg/L and polymer to 0.6: everything that is read off them is arithmetic. c_k
// are even about 4, a three-hundredth apart.
func planes(t *testing.T, ask string, opt Options) *Result {
	t.Helper()
	var rows [][3]float64
	for _, a := range []float64{0, 15, 30} {
		for _, p := range []float64{0, 0.3, 0.6} {
			rows = append(rows, [3]float64{a, p, math.Exp(4 - fallX*a/30 - fallY*p/0.6)})
		}
	}
	s := jars(rows...)
	r := &Result{Targets: target(t, ask), opt: opt, known: map[engine.Point]float64{}}
	r.design = newDesign(s, func(jartest.Jar) (string, bool) { return "", true })
	d := &r.design
	r.First, r.Second, r.Design, r.Jars = d.first, d.second, d.kind, d.jars
	var used []engine.Point
	for _, j := range d.jars {
		used = append(used, d.point(j.Pair))
	}
	r.region = engine.NewRegion(used)
	resp, bad := prepare(*d, r.Targets[0], nil)
	if bad != nil {
		t.Fatal(bad)
	}
	m := engine.PairModels()[0]
	c := &engine.Cloud{Obs: &resp.Obs, U: []float64{0, 0.2, 0.5, 0.8, 1}, V: []float64{0, 0.25, 0.5, 1}, Models: []engine.ModelSample{{Model: &m}}, Shares: []float64{1}}
	for k := range 300 {
		row := make([]float64, c.Nodes())
		for j := range row {
			q := c.Node(j)
			row[j] = 4 + (float64(k)-149.5)/300 - fallX*q.X - fallY*q.Y
		}
		c.F, c.Sigma = append(c.F, row), append(c.Sigma, 0.1)
	}
	c.Mesh = engine.New().Build(&resp.Obs, engine.PairModels()[:1], meshShare).Mesh
	resp.cloud = c
	resp.mid, resp.low, resp.high = c.Band(0.05, 0.95)
	r.responses = []response{resp}
	r.join(engine.New())
	return r
}

// lineAt is the alum, of 30 mg/L, at which so many in a hundred of the planes meet a level at y.
func lineAt(count int, level, y float64) float64 {
	return 30 * (4 + (3*float64(count)-1-149.5)/300 - math.Log(level) - fallY*y) / fallX
}

// TestPlanesWithoutPrices: the least polymer, then the least alum; half of the planes for the
// estimate, nine in ten for the plan, and each level of polymer by itself.
func TestPlanesWithoutPrices(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	r.decide()
	r.describe()
	if r.Outcome != curve.Found || !r.HasPlanning || r.Design != FullGrid {
		t.Fatalf("%s, %v, %s", r.Outcome, r.Notes, r.Design)
	}
	const fine = 1e-3
	matches(t, "estimate", float64(r.Estimate.Pair.First), lineAt(50, 8, 0), fine)
	matches(t, "estimate's polymer", float64(r.Estimate.Pair.Second), 0, 1e-9)
	matches(t, "plan", float64(r.Planning.Pair.First), lineAt(90, 8, 0), fine)
	matches(t, "confidence of the plan", float64(r.Planning.Confidence), 0.9, 1e-9)
	matches(t, "reading at the plan", r.Planning.Fit, 8*math.Exp(-(269-149.5)/300), 1e-3)
	matches(t, "clearest", r.Clearest.Fit, 1, 1e-9) // exp(4 - 3 - 1) is e⁰
	matches(t, "its alum", float64(r.Clearest.Pair.First), 30, 1e-9)
	matches(t, "its polymer", float64(r.Clearest.Pair.Second), 0.6, 1e-9)
	matches(t, "scatter", r.Scatter, 0.1, 1e-12)
	matches(t, "goal", r.Goal(), 8, 1e-9)
	// Alum 30 alone reads e¹ = 2.7, 15 with 0.6 e^1.5 = 4.5; without prices the least polymer counts first.
	if p := r.LowestPassing; p.Pair.Second != 0 || p.Pair.First != 30 {
		t.Errorf("cheapest jar that passes: %+v", p)
	}
	if len(r.Slices) < 3 {
		t.Fatalf("%d slices", len(r.Slices))
	}
	for _, s := range r.Slices {
		y := s.Level / 0.6
		if !s.Reached || !s.HasPlanning || !s.Effective.HasLow || !s.Effective.HasHigh {
			t.Errorf("at %g mg/L of polymer: %+v", s.Level, s.Effective)
		}
		matches(t, "needed", float64(s.Effective.Value), lineAt(50, 8, y), fine)
		matches(t, "low", float64(s.Effective.Low), lineAt(5, 8, y), fine)
		matches(t, "high", float64(s.Effective.High), lineAt(95, 8, y), fine)
		matches(t, "plan", float64(s.Planning), lineAt(90, 8, y), fine)
		matches(t, "confidence", float64(s.Effective.Confidence), 0.9, 0)
		if len(s.Curve) != 41 {
			t.Fatalf("%d points", len(s.Curve))
		}
		for i, p := range s.Curve {
			matches(t, "dose", float64(p.Dose), 0.75*float64(i), 1e-9)
			want := math.Exp(4 - fallX*float64(i)/40 - fallY*y)
			matches(t, "fit", p.Fit, want, 1e-9*want)
			matches(t, "band, low", p.Low, want*math.Exp((15-149.5)/300), 1e-9*want)
			matches(t, "band, high", p.High, want*math.Exp((285-149.5)/300), 1e-9*want)
		}
	}
	if len(r.Grid.First) != 41 || len(r.Grid.Second) != 25 {
		t.Fatalf("a picture of %d by %d", len(r.Grid.First), len(r.Grid.Second))
	}
	for j, y := range r.Grid.Second {
		matches(t, "level", y, 0.025*float64(j), 1e-9)
		for i, x := range r.Grid.First {
			matches(t, "dose", x, 0.75*float64(i), 1e-9)
			want := math.Exp(4 - fallX*x/30 - fallY*y/0.6)
			matches(t, "surface", r.Grid.Fit[j][i], want, 1e-9*want)
			k := math.Floor(300*math.Log(8/want) + 149.5 + 1 + 1e-4)
			matches(t, "confidence", r.Grid.Confidence[j][i], math.Min(math.Max(k, 0), 300)/300, 0.0034)
		}
	}
	for _, p := range []float64{0.3, 0.5, 0.75, 0.9} {
		q, ok := r.Quantile(p)
		if !ok {
			t.Errorf("no dose at %g", p)
		}
		matches(t, fmt.Sprint("quantile ", p), float64(q), lineAt(int(math.Round(100*p)), 8, 0), fine)
	}
	if c := r.Confidence(Pair{First: 31}); c != 0 {
		t.Errorf("confidence outside: %v", c)
	}
	matches(t, "confidence of a pair", float64(r.Confidence(Pair{First: quantity.Concentration(lineAt(70, 8, 0.5) + 0.01), Second: 0.3})), 0.7, 1e-9)
}

// TestPlanesWithPrices: along the target line alum falls by 10 mg/L over all the polymer; so
// 0.6 mg/L of it pays below 16.7 times the price of alum, and what it saves is arithmetic.
func TestPlanesWithPrices(t *testing.T) {
	price := func(alum, polymer float64) Options {
		return Options{PricePerKg: [2]quantity.Money{{Amount: alum, Currency: "EUR"}, {Amount: polymer, Currency: "EUR"}}}
	}
	for _, c := range []struct {
		polymer float64
		y       float64
		verdict Verdict
	}{{3, 1, Pays}, {16, 1, Pays}, {17, 0, AddsNothing}, {40, 0, AddsNothing}} {
		r := planes(t, "turbidity <= 8 NTU", price(1, c.polymer))
		r.decide()
		matches(t, "polymer planned", float64(r.Planning.Pair.Second), 0.6*c.y, 1e-6)
		matches(t, "alum planned", float64(r.Planning.Pair.First), lineAt(90, 8, c.y), 5e-3)
		matches(t, "cost", r.Planning.Cost.Amount, lineAt(90, 8, c.y)+c.polymer*0.6*c.y, 5e-3)
		s := r.Saving
		matches(t, "alum alone", float64(s.Alone.Pair.First), lineAt(90, 8, 0), 2e-3)
		if !s.HasAlone || !s.OfCost || !s.Has || !s.HasHigh {
			t.Errorf("%+v", s)
		}
		pair := func(k int) float64 { // the saving on one plane
			alone := lineAt(k, 8, 0)
			return 1 - math.Min(alone, alone-10+0.6*c.polymer)/alone
		}
		matches(t, "saved", float64(s.Share), pair(50), 2e-3)
		matches(t, "at least", float64(s.Low), pair(95), 2e-3) // the more alum is needed the less is saved
		matches(t, "at most", float64(s.High), pair(5), 2e-3)
		chance := 0.0
		for k := 1; k <= 100; k++ {
			if pair(k) > 0.02 {
				chance += 0.01
			}
		}
		matches(t, "chance", float64(s.Chance), chance, 0.011)
		if want := c.verdict; c.polymer != 16 && s.Verdict != want {
			t.Errorf("polymer at %g: %s, want %s", c.polymer, s.Verdict, want)
		}
		if c.y == 1 {
			matches(t, "break even", s.BreakEven, 10/0.6, 5e-3)
		}
	}
	dear := planes(t, "turbidity <= 8 NTU", Options{PricePerKg: [2]quantity.Money{{Amount: 1, Currency: "EUR"}, {Amount: 1, Currency: "GBP"}}})
	if dear.priced() {
		t.Error("prices in two currencies are compared")
	}
	if free := planes(t, "turbidity <= 8 NTU", price(0, 1)); free.priced() {
		t.Error("alum for nothing is a price")
	}
	more := planes(t, "turbidity <= 8 NTU", price(2, 3))
	more.opt.Further = func(p Pair) quantity.Money { return quantity.Money{Amount: 0.5 * float64(p.First)} }
	matches(t, "money", more.money(Pair{First: 10, Second: 0.2}).Amount, 20+0.6+5, 1e-12)
	// The planning pair of least residual has no polymer at all; with a limit on alum it needs some.
	limit := price(1, 3)
	limit.Limits = []Limit{{Says: "at most 18 mg/L", Keeps: func(p Pair) bool { return p.First <= 18 }}}
	r := planes(t, "turbidity <= 8 NTU", limit)
	r.Limits = []string{"at most 18 mg/L"}
	r.decide()
	matches(t, "least left", float64(r.LeastLeft.Pair.Second), 0.6*(lineAt(90, 8, 0)-18)/10, 0.04) // to a row of the search
	if !r.HasLeastLeft || !strings.HasSuffix(r.Rule, "keeping: at most 18 mg/L") || r.Saving.HasAlone {
		t.Errorf("%v %q %+v", r.HasLeastLeft, r.Rule, r.Saving)
	}
}

// TestPlanesOutcomes: each answer without a pair, by the level asked of the planes.
func TestPlanesOutcomes(t *testing.T) {
	for _, c := range []struct {
		ask     string
		outcome curve.Outcome
		code    string
	}{
		{"turbidity <= 0.9 NTU", curve.StillImproving, "still-improving"}, {"turbidity <= 54 NTU", curve.Found, ""}, // the untreated jar reads e⁴ = 54.6
		// ln 60 is 0.094 above 4, where 59 % of the planes are, ln 80 has 88 % and ln 82 has 91 %: no chemical needs 90 % as any pair does.
		{"turbidity <= 60 NTU", curve.Found, "untreated-may-pass"}, {"turbidity <= 80 NTU", curve.Found, "untreated-may-pass"}, {"turbidity <= 82 NTU", curve.UntreatedPasses, "untreated-passes"},
		{"turbidity removal >= 80 %", curve.Found, ""}, {"turbidity removal >= 99 %", curve.StillImproving, "still-improving"},
		{"turbidity within 50 % of best", curve.Found, ""},
	} {
		r := planes(t, c.ask, Options{})
		r.decide()
		if r.Outcome != c.outcome || c.code != "" && noteOf(*r, c.code) == "" || r.HasEstimate != (c.outcome == curve.Found) {
			t.Errorf("%s: %s %v", c.ask, r.Outcome, r.Notes)
		}
	}
	within := planes(t, "turbidity within 50 % of best", Options{})
	within.decide()
	matches(t, "half above the best", within.Goal(), 1.5, 1e-9)
	removal := planes(t, "turbidity removal >= 80 %", Options{})
	removal.decide()
	matches(t, "a fifth of the untreated", removal.Goal(), 0.2*math.Exp(4), 1e-9)
	if removal.Reference.What != "control jar" || removal.Reference.Unit != "NTU" {
		t.Errorf("%+v", removal.Reference)
	}
	// The plan needs more than the estimate: 1.5 NTU is met by half of the planes at most.
	r := planes(t, "turbidity <= 1.3 NTU", Options{})
	r.decide()
	if r.Outcome != curve.Found || r.HasPlanning || !strings.Contains(noteOf(*r, "no-planning-pair"), "meets the target with 76 % confidence, and 90 % is asked for") {
		t.Errorf("%s %v", r.Outcome, r.Notes) // ln 1.3 = 0.262, and half of the planes lie below 0
	}
	forbid := planes(t, "turbidity <= 8 NTU", Options{Limits: []Limit{{Says: "no alum", Keeps: func(p Pair) bool { return p.First == 0 }}}})
	if forbid.decide(); forbid.Outcome != curve.NotReached || noteOf(*forbid, "limits-forbid") == "" {
		t.Errorf("%s %v", forbid.Outcome, forbid.Notes)
	}
}

// TestPlanesLimitsForbid: it is the limits that forbid where the clearest pair meets the
// target as likely as not without them: of 300 planes about e⁰ there, 156 lie below 1.0192
// NTU (150.5 + 300 ln 1.0192 = 156.2) and 147 below 0.99.
func TestPlanesLimitsForbid(t *testing.T) {
	none := Options{Limits: []Limit{{Says: "no alum", Keeps: func(p Pair) bool { return p.First == 0 }}}}
	for ask, want := range map[string]bool{"turbidity <= 1.0192 NTU": true, "turbidity <= 0.99 NTU": false} {
		r := planes(t, ask, none)
		r.decide()
		if got := noteOf(*r, "limits-forbid") != ""; got != want || r.Outcome == curve.Found {
			t.Errorf("%s: forbidden by limits %v, %s", ask, got, r.Outcome)
		}
	}
}

// TestPlanesNext: what is run next of the planes, by hand: the target line, the plan, and
// the line a quarter of the polymer to either side.
func TestPlanesNext(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{PricePerKg: [2]quantity.Money{{Amount: 1, Currency: "EUR"}, {Amount: 3, Currency: "EUR"}}})
	r.decide()
	p := &planner{r: r, left: 20}
	got := p.plain()
	want := []engine.Point{{X: lineAt(50, 8, 1) / 30, Y: 1}, {X: lineAt(90, 8, 1) / 30, Y: 1}, {X: lineAt(50, 8, 0.75) / 30, Y: 0.75}}
	if len(got) != len(want) || got[0].n != 2 || got[1].n != 2 || got[2].n != 1 {
		t.Fatalf("%+v", got)
	}
	for i, w := range want {
		matches(t, "first", got[i].at.X, w.X, 2e-4)
		matches(t, "second", got[i].at.Y, w.Y, 1e-4)
	}
	out, notes := r.Next(9)
	jarsGiven := 0
	text := ""
	for _, x := range out {
		jarsGiven += x.Jars
		text += fmt.Sprintf("%g+%g ", float64(x.Pair.First), float64(x.Pair.Second))
	}
	if jarsGiven > 9 || len(notes) == 0 || !strings.Contains(text, "+0.78") || !strings.Contains(text, fmt.Sprintf("%g+0 ", quantity.RoundSig(lineAt(90, 8, 0), 3))) {
		t.Errorf("%d jars: %s", jarsGiven, text)
	}
	proposals := func(r *Result, jars int) string {
		out, _ := r.Next(jars)
		var s []string
		for _, x := range out {
			s = append(s, fmt.Sprintf("%d of %g+%g", x.Jars, float64(x.Pair.First), float64(x.Pair.Second)))
		}
		return strings.Join(s, ", ")
	}
	up := planes(t, "turbidity <= 0.9 NTU", Options{})
	up.decide()
	if got := proposals(up, 6); got != "1 of 39+0.6, 1 of 50.7+0.6, 1 of 30+0.78, 1 of 39+0.78" {
		t.Errorf("upwards: %s", got)
	}
	down := planes(t, "turbidity <= 82 NTU", Options{})
	down.decide()
	if got := proposals(down, 3); got != "1 of 0+0, 1 of 10.5+0, 1 of 7.5+0" {
		t.Errorf("downwards: %s", got)
	}
	flat := planes(t, "turbidity <= 0.9 NTU", Options{})
	flat.decide()
	flat.Outcome = curve.NoResponse
	if got := proposals(flat, 6); got != "1 of 6+0.3, 1 of 60+0.3, 1 of 120+0.3" {
		t.Errorf("wider: %s", got)
	}
	flat.Outcome = curve.NotReached
	if got := proposals(flat, 4); got != "2 of 30+0.6, 1 of 39+0.6, 1 of 50.7+0.6" {
		t.Errorf("not reached: %s", got)
	}
	flat.responses = nil
	if got := proposals(flat, 9); got != "" {
		t.Errorf("all levels are there: %s", got)
	}
	flat.First.Levels, flat.Jars = []float64{10, 30}, flat.Jars[:1]
	if got := proposals(flat, 4); got != "1 of 10+0, 1 of 20+0, 1 of 30+0, 1 of 10+0.3" {
		t.Errorf("three levels: %s", got)
	}
	flat.First.Levels, flat.Jars = []float64{10}, nil
	if got := proposals(flat, 3); got != "1 of 0+0, 1 of 10+0, 1 of 20+0" {
		t.Errorf("three levels about one: %s", got)
	}
	// What to pipette: 20 mg/L of 10 g/L stock into 2 L are 4 mL.
	d := &r.design
	d.series.JarVolume = 2
	r.First.Chemical.Stock, r.Second.Chemical.Stock = 10000, 0
	q := &planner{r: r, left: 3}
	q.add(Pair{First: 20, Second: 0.3}, 5, "x")
	q.add(Pair{First: 20.004, Second: 0.302}, 1, "the same when rounded")
	q.add(Pair{First: 21}, 1, "none left")
	if len(q.out) != 1 || q.out[0].Jars != 3 || q.left != 0 || q.out[0].SecondStock != 0 {
		t.Fatalf("%+v", q.out)
	}
	matches(t, "stock", q.out[0].FirstStock.In("mL"), 4, 1e-9)
}

// TestPlanesTelling: a jar tells something where 3 to 97 in a hundred of the planes meet
// the target.
func TestPlanesTelling(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	r.decide()
	for _, j := range r.telling() {
		if c := r.met.Met(r.met.Grid.Node(j)); c <= 0.03 || c >= 0.97 {
			t.Errorf("a jar where %g of the planes meet the target", c)
		}
	}
	n := 0
	for j := range r.met.Margin {
		if c := r.met.Met(r.met.Grid.Node(j)); c > 0.03 && c < 0.97 {
			n++
		}
	}
	if len(r.telling()) != n || n == 0 {
		t.Errorf("%d places, counted %d", len(r.telling()), n)
	}
	need := r.needed(0)
	matches(t, "planes asked", float64(len(need)), 300, 0)
	for k, x := range need {
		matches(t, "needed alone", 30*x, 30*(4+(float64(k)-149.5)/300-math.Log(8))/fallX, 1e-3)
	}
}

func matches(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tol)
	}
}
