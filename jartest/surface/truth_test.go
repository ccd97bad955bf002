package surface

import (
	"flag"
	"fmt"
	"jarwright/jartest/engine"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// Surfaces with known truth. Coagulant runs to 60 mg/L, polymer to 1 mg/L; a
// truth gives the reading (NTU) without scatter. Each is drawn at random within
// what a bench sees: raw water 20 to 400 NTU, most of the fall within the tested
// range. The generator is ours: no claim is made about real water.
type truth struct {
	name string
	// inside is false where no model of the package has this form.
	inside bool
	draw   func(r *rand.Rand) func(d, p float64) float64
}

const (
	topCoagulant = 60.0
	topPolymer   = 1.0
)

func uniform(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }
func logUniform(r *rand.Rand, a, b float64) float64 {
	return math.Exp(uniform(r, math.Log(a), math.Log(b)))
}

func truths() []truth {
	return []truth{
		{"polymer divides the needed dose, with a limit", false, func(r *rand.Rand) func(d, p float64) float64 {
			c, a, k := logUniform(r, 20, 400), uniform(r, 2.5, 4.5), uniform(r, 2, 4)
			b, half := uniform(r, 0.5, 2.5), uniform(r, 0.1, 0.6)
			return func(d, p float64) float64 {
				m := 1 + b*p/(p+half)
				return c * math.Exp(-a*-math.Expm1(-k*d/topCoagulant*m))
			}
		}},
		{"polymer lowers the floor", true, func(r *rand.Rand) func(d, p float64) float64 {
			c, phi, k, q := logUniform(r, 20, 400), logUniform(r, 0.03, 0.15), uniform(r, 3, 8), uniform(r, 0.5, 2)
			return func(d, p float64) float64 {
				f := phi * math.Exp(-q*p)
				return c * (f + (1-f)*math.Exp(-k*d/topCoagulant))
			}
		}},
		{"charges add, with lag and over-dose", true, func(r *rand.Rand) func(d, p float64) float64 {
			c, a, e1, h := logUniform(r, 20, 400), uniform(r, 2.5, 4.5), uniform(r, 0.25, 0.6), uniform(r, 2, 5)
			e2, w := e1*uniform(r, 2.5, 4), uniform(r, 0.2, 0.8)
			return func(d, p float64) float64 {
				u := d/topCoagulant + w*p
				if u <= 0 {
					return c
				}
				s := func(e float64) float64 { return 1 / (1 + math.Pow(u/e, -h)) }
				return c * math.Exp(-a*(s(e1)-s(e2)))
			}
		}},
		{"lag, polymer shifts the needed dose", true, func(r *rand.Rand) func(d, p float64) float64 {
			c, phi, e, h, b := logUniform(r, 20, 400), logUniform(r, 0.005, 0.04), uniform(r, 0.3, 0.6), uniform(r, 2, 4), uniform(r, 0.2, 1)
			return func(d, p float64) float64 {
				return c * (phi + (1-phi)/(1+math.Pow(d/topCoagulant*math.Exp(b*p)/e, h)))
			}
		}},
		{"polymer has a best dose of its own", false, func(r *rand.Rand) func(d, p float64) float64 {
			c, a, k := logUniform(r, 20, 400), uniform(r, 2, 3.5), uniform(r, 2, 5)
			best, gain, width := uniform(r, 0.3, 0.8), uniform(r, 0.4, 1.5), uniform(r, 0.25, 0.5)
			return func(d, p float64) float64 {
				g := math.Exp(-0.5*math.Pow((p-best)/width, 2)) - math.Exp(-0.5*math.Pow(best/width, 2))
				return c * math.Exp(-(a+gain*g)*-math.Expm1(-k*d/topCoagulant))
			}
		}},
		{"broken stick of a product of powers", false, func(r *rand.Rand) func(d, p float64) float64 {
			c, phi, need := logUniform(r, 20, 400), logUniform(r, 0.01, 0.05), uniform(r, 0.5, 0.9)
			q, half := uniform(r, 0.2, 0.6), uniform(r, 0.1, 0.4)
			return func(d, p float64) float64 {
				n := need * math.Pow(1+p/half, -q)
				return c * (1 - (1-phi)*math.Min(1, math.Pow(d/topCoagulant/n, 1.3)))
			}
		}},
		{"polymer catches only the floc that the coagulant made", false, func(r *rand.Rand) func(d, p float64) float64 {
			c, k, m := logUniform(r, 20, 400), uniform(r, 1.2, 2.5), uniform(r, 1, 1.6)
			alone, catch, kp := uniform(r, 0.5, 0.85), uniform(r, 0.9, 0.98), uniform(r, 2, 8)
			return func(d, p float64) float64 {
				made := -math.Expm1(-math.Pow(k*2*d/topCoagulant, m))
				caught := alone + (catch-alone)*-math.Expm1(-kp*p)
				return c * (1 - made*caught)
			}
		}},
		{"polymer does nothing", true, func(r *rand.Rand) func(d, p float64) float64 {
			c, a, k := logUniform(r, 20, 400), uniform(r, 2.5, 4.5), uniform(r, 2, 5)
			return func(d, p float64) float64 { return c * math.Exp(-a*-math.Expm1(-k*d/topCoagulant)) }
		}},
	}
}

// tested lists the pairs of a design.
func tested(design string) (pts [][2]float64) {
	grid := func(n int, zero bool) {
		for i := 0; i < n; i++ {
			for j := 0; j < n; j++ {
				d, p := topCoagulant*float64(i+1)/float64(n), topPolymer*float64(j)/float64(n-1)
				if !zero {
					p = topPolymer * float64(j+1) / float64(n)
				}
				pts = append(pts, [2]float64{d, p})
			}
		}
	}
	switch design {
	case "3x3":
		grid(3, true)
	case "3x3 all with polymer":
		grid(3, false)
	case "3x3 from zero":
		for i := 0; i < 3; i++ {
			for j := 0; j < 3; j++ {
				pts = append(pts, [2]float64{topCoagulant * float64(i) / 2, topPolymer * float64(j) / 2})
			}
		}
	case "4x4":
		grid(4, true)
	case "one at a time":
		for i := 1; i <= 6; i++ {
			pts = append(pts, [2]float64{topCoagulant * float64(i) / 6, 0})
		}
		for j := 1; j <= 5; j++ {
			pts = append(pts, [2]float64{topCoagulant / 2, topPolymer * float64(j) / 5})
		}
	}
	return pts
}

// bench is one drawn test.
type bench struct {
	truth  string
	inside bool
	f      func(d, p float64) float64
	target float64
	prices [2]float64
	pts    [][2]float64
	read   []float64
	best   float64 // the true least cost
	alone  float64 // the true least cost without polymer; 0 if out of reach
}

func (b bench) cost(d, p float64) float64 { return b.prices[0]*d + b.prices[1]*p }

// drawBench draws a truth, a target that the tested range can reach but its
// lowest jar does not, and prices that make the choice a real one.
func drawBench(t truth, design string, scatter float64, r *rand.Rand) bench {
	pts := tested(design)
	reg := hullOf(pts)
	for {
		b := bench{truth: t.name, inside: t.inside, f: t.draw(r), pts: pts}
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			v := b.f(p[0], p[1])
			low, high = math.Min(low, v), math.Max(high, v)
		}
		if high < 4*low {
			continue
		}
		b.target = low * math.Exp(uniform(r, 0.25, 0.6)*math.Log(high/low))
		if b.f(pts[0][0], pts[0][1]) < 1.2*b.target {
			continue
		}
		b.prices = [2]float64{1 / topCoagulant, uniform(r, 0.1, 0.8) / topPolymer}
		b.best, b.alone = math.Inf(1), math.Inf(1)
		const n = 150
		for i := 0; i <= n; i++ {
			for j := 0; j <= n; j++ {
				d, p := topCoagulant*float64(i)/n, topPolymer*float64(j)/n
				if b.f(d, p) > b.target || !reg.Contains(engine.Point{X: d / topCoagulant, Y: p / topPolymer}) {
					continue
				}
				b.best = math.Min(b.best, b.cost(d, p))
				if p == 0 {
					b.alone = math.Min(b.alone, b.cost(d, p))
				}
			}
		}
		if b.best < 0.2 || math.IsInf(b.best, 1) {
			continue
		}
		for _, p := range pts {
			b.read = append(b.read, b.f(p[0], p[1])*math.Exp(scatter*r.NormFloat64()))
		}
		return b
	}
}

func hullOf(pts [][2]float64) engine.Region {
	var ps []engine.Point
	for _, p := range pts {
		ps = append(ps, engine.Point{X: p[0] / topCoagulant, Y: p[1] / topPolymer})
	}
	return engine.NewRegion(ps)
}

// series puts a drawn test into the form that a bench sheet is read into.
func (b bench) series() jartest.Series {
	s := jartest.Series{Name: b.truth, Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsProduct}, {Name: "polymer", Basis: quantity.AsProduct}}}
	for i, p := range b.pts {
		s.Jars = append(s.Jars, jartest.Jar{
			Label:    fmt.Sprint(i + 1),
			Doses:    []jartest.JarDose{{Concentration: quantity.Concentration(p[0]), Known: true}, {Concentration: quantity.Concentration(p[1]), Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(b.read[i], "NTU")}},
		})
	}
	return s
}

func (b bench) options() Options {
	// A truth whose water is clear enough without chemical would need no test; prices are per mg/L.
	return Options{PricePerKg: [2]quantity.Money{{Amount: b.prices[0], Currency: "EUR"}, {Amount: b.prices[1], Currency: "EUR"}}}
}

// score is what a set of tests came to.
type score struct {
	tests, advised, unsafe, over, outside int
	cost, jar                             []float64 // against the true optimum; of the advice, of the cheapest passing jar
	said                                  map[Verdict]int
}

func (s *score) take(b bench) {
	s.tests++
	r := decided(b.series(), []jartest.Target{{Key: jartest.Turbidity, Value: b.target, Unit: "NTU"}}, b.options())
	jar := math.Inf(1)
	for i, p := range b.pts {
		if b.read[i] <= b.target {
			jar = math.Min(jar, b.cost(p[0], p[1]))
		}
	}
	s.jar = append(s.jar, jar/b.best)
	if s.said == nil {
		s.said = map[Verdict]int{}
	}
	s.said[r.Saving.Verdict]++
	if !r.HasPlanning {
		s.cost = append(s.cost, math.Inf(1))
		return
	}
	s.advised++
	d, p := float64(r.Planning.Pair.First), float64(r.Planning.Pair.Second)
	s.cost = append(s.cost, b.cost(d, p)/b.best)
	if !hullOf(b.pts).Contains(engine.Point{X: d / topCoagulant, Y: p / topPolymer}) {
		s.outside++
	}
	if v := b.f(d, p); v > 1.2*b.target {
		s.unsafe++
	} else if v > b.target {
		s.over++
	}
}

func (s *score) add(o score) {
	s.tests, s.advised, s.unsafe, s.over, s.outside = s.tests+o.tests, s.advised+o.advised, s.unsafe+o.unsafe, s.over+o.over, s.outside+o.outside
	s.cost, s.jar = append(s.cost, o.cost...), append(s.jar, o.jar...)
}

func (s *score) String() string {
	return fmt.Sprintf("advice in %5.1f %%, cost %.3f of the optimum (cheapest passing jar %.3f), unsafe %.2f %%, above the target at all %.1f %%",
		100*float64(s.advised)/float64(s.tests), median(s.cost), median(s.jar), 100*float64(s.unsafe)/float64(max(s.advised, 1)), 100*float64(s.over+s.unsafe)/float64(max(s.advised, 1)))
}

func median(v []float64) float64 {
	v = append([]float64(nil), v...)
	sort.Float64s(v)
	return v[len(v)/2]
}

var studySeed = flag.Int("studyseed", 80808, "seed of the long study")

var study = flag.Int("study", 0, "run the long study with that many tests for each truth and design")

// TestKnownTruth draws surfaces whose truth is known, reads jars off them with
// 10 % scatter, and judges the advice: what the planning pair truly costs against
// the true optimum, and whether the truth there is over 1.2 times the target
// (unsafe). Four of the eight truths have a form that no model of the package has. The
// bounds are those of the project's task; figures of the long run
// (go test -run KnownTruth -study 150 -v) stand in the guide for contributors.
func TestKnownTruth(t *testing.T) {
	n, seed := 3, uint64(70501)
	if *study > 0 {
		n, seed = *study, uint64(*studySeed)
	}
	all := map[string]*score{}
	var inAll score
	for _, design := range []string{"3x3", "3x3 from zero", "3x3 all with polymer", "4x4", "one at a time"} {
		if *study == 0 && design == "3x3 all with polymer" {
			continue
		}
		sum := &score{}
		for i, tr := range truths() {
			var s score
			r := rand.New(rand.NewPCG(seed, uint64(i)))
			for range n {
				s.take(drawBench(tr, design, 0.10, r))
			}
			if *study > 0 {
				t.Logf("%-20s %-56s %v %v", design, tr.name, &s, s.said)
			}
			sum.add(s)
		}
		t.Logf("%-20s %v", design, sum)
		all[design] = sum
		inAll.add(*sum)
	}
	t.Logf("%-20s %v", "all", &inAll)
	few, many := 1.15, 1.08
	if *study == 0 { // the median of 24 tests strays by some 0.03
		few, many = 1.18, 1.11
	} else if met := 1 - float64(inAll.over+inAll.unsafe)/float64(inAll.advised); met < 0.88 || met > 0.97 {
		t.Errorf("the target is truly met at %.1f %% of the pairs that have 90 %% confidence", 100*met)
	}
	if c := median(all["3x3"].cost); c > few {
		t.Errorf("3 x 3: median cost %.3f of the true optimum, more than %g", c, few)
	}
	if c := median(all["4x4"].cost); c > many {
		t.Errorf("4 x 4: median cost %.3f of the true optimum, more than %g", c, many)
	}
	if a, b := median(all["3x3"].cost), median(all["4x4"].cost); b > a-0.01 {
		t.Errorf("4 x 4 costs %.3f, not clearly less than 3 x 3 (%.3f)", b, a)
	}
	if 100*inAll.unsafe > inAll.advised {
		t.Errorf("%d of %d planning pairs are unsafe, more than 1 %%", inAll.unsafe, inAll.advised)
	}
	if inAll.outside > 0 {
		t.Errorf("%d planning pairs lie outside the hull of the tested pairs", inAll.outside)
	}
	if 100*inAll.advised < 95*inAll.tests {
		t.Errorf("advice in %d of %d tests only", inAll.advised, inAll.tests)
	}
	if c, j := median(inAll.cost), median(inAll.jar); c > j-0.03 {
		t.Errorf("median cost %.3f is no better than the cheapest passing jar's %.3f", c, j)
	}
}

func BenchmarkAnalyse(b *testing.B) {
	t := drawBench(truths()[0], "3x3", 0.1, rand.New(rand.NewPCG(1, 1)))
	s, opt := t.series(), t.options()
	for b.Loop() {
		Analyse(s, []jartest.Target{{Key: jartest.Turbidity, Value: t.target, Unit: "NTU"}}, opt)
	}
}
