package surface

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

func everyJar(jartest.Jar) (string, bool) { return "", true }

// TestFrame: doses count from none to the highest, a pH from the lowest to the highest.
func TestFrame(t *testing.T) {
	d := newDesign(laundry(), everyJar) // 60 to 180 mg/L, pH 4.6 to 8.0
	matches(t, "dose", d.scale.x, 180, 0)
	matches(t, "lowest pH", d.scale.y0, 4.6, 0)
	matches(t, "pH", d.scale.y, 3.4, 1e-12)
	d = newDesign(jars([3]float64{10, 0.2, 60}, [3]float64{25, 0.4, 35}, [3]float64{40, 0.8, 23}), everyJar)
	if d.scale != (frame{x: 40, y: 0.8}) {
		t.Errorf("two chemicals: %+v", d.scale)
	}
}

// TestReferences: removal counts from the raw water, however clear it is, else from the middle
// of the jars without chemicals on the logarithm, √(50 · 60.5) = 55; without either it is refused.
func TestReferences(t *testing.T) {
	s := jars([3]float64{0, 0, 50}, [3]float64{25, 0.4, 35}, [3]float64{0, 0, 60.5}, [3]float64{40, 0.8, 23}, [3]float64{0, 0.4, 44})
	ref, what, n := reference(s, jartest.Turbidity)
	matches(t, "two controls", ref, 55, 1e-9)
	if what != "control jar" || n != 2 {
		t.Errorf("%s, %g jars", what, n)
	}
	ask := target(t, "turbidity removal >= 60 %")[0]
	s.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(0.6, "NTU")}
	resp, bad := prepare(newDesign(s, everyJar), ask, nil)
	if bad != nil {
		t.Fatal(bad)
	}
	matches(t, "two fifths of 0.6", resp.goal, math.Log(0.24), 1e-12)
	s.Raw = nil
	s.Jars = append(s.Jars[1:2:2], s.Jars[3:]...)
	if _, bad = prepare(newDesign(s, everyJar), ask, nil); bad == nil || bad.Code != "no-reference" {
		t.Errorf("without either: %v", bad)
	}
}

// TestOnlyTestedLevels: where only tested levels are advised, a row offers those that lie in
// the tested region on that row, a column the least that will do to a four-hundredth.
func TestOnlyTestedLevels(t *testing.T) {
	all := func(engine.Point) bool { return true }
	for _, c := range []struct {
		hull  []engine.Point
		price float64
		want  float64 // at half the second factor
	}{{points(0, 0, 1, 0, 0, 1), -1, 0}, {points(1, 0, 0, 1, 1, 1), 1, 1}, {points(0, 0, 1, 0, 0, 1, 1, 1), -1, 1}, {points(0, 0, 1, 0, 0, 1, 1, 1), 1, 0}} {
		s := search{region: engine.NewRegion(c.hull), ok: all, cost: func(q engine.Point) float64 { return c.price * q.X }}
		s.region.OnlyXs, s.region.OnlyYs = true, false
		if f := s.row(0.5, 0, 1, 8); f.at != (engine.Point{X: c.want, Y: 0.5}) || f.cost != c.price*c.want {
			t.Errorf("%v: %+v, want %g", c.hull, f, c.want)
		}
	}
	s := search{region: engine.NewRegion(points(0, 0, 1, 0, 0, 1, 1, 1)), ok: func(q engine.Point) bool { return q.X == 1 && q.Y >= 0.301 || q.Y >= 0.702 },
		cost: func(q engine.Point) float64 { return q.X + q.Y }}
	s.region.OnlyXs, s.region.OnlyYs = true, false
	if f, ok := s.columns(); !ok || f.at.X != 0 || math.Abs(f.at.Y-0.7025) > 1e-12 { // 281/400; at 1 the least is 1.3025
		t.Errorf("%+v %v", f, ok)
	}
	s.cost = func(q engine.Point) float64 { return q.Y }
	if f, _ := s.columns(); f.at.X != 1 || math.Abs(f.at.Y-0.3025) > 1e-12 {
		t.Errorf("%+v", f)
	}
}

// TestJoinGivesBack: series that differ in no dose of the second chemical are no surface, and
// come back as they were, each once and in their order.
func TestJoinGivesBack(t *testing.T) {
	part := func(name string, polymer float64) jartest.Series {
		s := jars([3]float64{10, polymer, 40}, [3]float64{20, polymer, 20}, [3]float64{30, polymer, 9})
		s.Name, s.Raw = name, map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(120, "NTU")}
		return s
	}
	for _, c := range []struct {
		polymer []float64
		want    string
	}{{[]float64{0.3, 0.3, 0.3}, "a b c"}, {[]float64{0.3}, "a"}, {[]float64{0.3, 0.6, 0.6}, "a"}} {
		var all []jartest.Series
		for i, p := range c.polymer {
			all = append(all, part(string(rune('a'+i)), p))
		}
		var names []string
		for _, s := range Join(all) {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, " "); !strings.HasPrefix(got, c.want) || len(names) != len(strings.Fields(c.want)) {
			t.Errorf("%v: %q, want %q", c.polymer, got, c.want)
		}
	}
}

// TestJoinNeedsARawReading: series are of one water where a reading of it is stated for both
// and none differs; where none is stated nobody knows.
func TestJoinNeedsARawReading(t *testing.T) {
	part := func(polymer float64, raw map[jartest.Key]jartest.Reading) jartest.Series {
		s := jars([3]float64{10, polymer, 40}, [3]float64{20, polymer, 20}, [3]float64{30, polymer, 9})
		s.Raw = raw
		return s
	}
	says := func(ntu, ph float64) map[jartest.Key]jartest.Reading {
		out := map[jartest.Key]jartest.Reading{}
		if ntu > 0 {
			out[jartest.Turbidity] = jartest.Num(ntu, "NTU")
		}
		if ph > 0 {
			out[jartest.PH] = jartest.Num(ph, "")
		}
		return out
	}
	for _, c := range []struct {
		a, b map[jartest.Key]jartest.Reading
		one  bool
	}{{says(120, 0), says(120, 0), true}, {says(120, 7), says(120, 7), true}, {says(120, 7), says(120, 0), true}, {says(120, 7), says(120, 8), false}, {says(120, 0), says(90, 0), false},
		{says(120, 0), says(0, 7), false}, {says(0, 0), says(0, 0), false}, {nil, nil, false}} {
		if got := Join([]jartest.Series{part(0, c.a), part(0.5, c.b)}); (len(got) == 1) != c.one {
			t.Errorf("%v and %v: %d series", c.a, c.b, len(got))
		}
	}
}

// TestBestAtAnEdge: where the best pair stands at the highest polymer tested, or the highest
// alum, more may do it; where it stands inside, more does not.
func TestBestAtAnEdge(t *testing.T) {
	for _, c := range []struct {
		alum, polymer float64 // where the reading is least
		outcome       curve.Outcome
	}{{25, 0.8, curve.StillImproving}, {40, 0.4, curve.StillImproving}, {25, 0.4, curve.NotReached}} {
		var rows [][3]float64
		for _, d := range []float64{10, 17.5, 25, 32.5, 40} {
			for _, p := range []float64{0, 0.2, 0.4, 0.6, 0.8} {
				x, y := (d-c.alum)/15, (p-c.polymer)/0.4
				rows = append(rows, [3]float64{d, p, 12 * math.Exp(0.9*x*x+0.5*y*y)})
			}
		}
		if r := Analyse(jars(rows...), target(t, "turbidity <= 4 NTU"), Options{}); r.Outcome != c.outcome || !has(r, string(c.outcome)) {
			t.Errorf("least at %g with %g: %s %v", c.alum, c.polymer, r.Outcome, r.Notes)
		}
	}
}

// TestBreakEven: a kilogram of polymer saves so many of alum; without any polymer in the pair
// there is nothing to say.
func TestBreakEven(t *testing.T) {
	for _, price := range []float64{3, 300} {
		r := planes(t, "turbidity <= 8 NTU", Options{PricePerKg: [2]quantity.Money{{Amount: 1, Currency: "EUR"}, {Amount: price, Currency: "EUR"}}})
		r.decide()
		want, s := 0.0, r.Saving
		if p := r.Planning.Pair; p.Second > 0 {
			want = float64((s.Alone.Pair.First - p.First) / p.Second)
		}
		if !s.HasAlone || (price < 100) != (want > 0) {
			t.Errorf("polymer at %g: %+v, planned %+v", price, s, r.Planning)
		}
		matches(t, "break-even", s.BreakEven, want, 1e-12)
	}
}

// TestRefusedTargets: a target that no jar can prove contradicts itself; one that only lacks
// its reference has too little to go by.
func TestRefusedTargets(t *testing.T) {
	grid := func() jartest.Series {
		var rows [][3]float64
		for _, d := range []float64{10, 25, 40} {
			for _, p := range []float64{0.2, 0.4, 0.8} {
				rows = append(rows, [3]float64{d, p, 80 * math.Exp(-2*d/40*(1+p))})
			}
		}
		return jars(rows...)
	}
	limit := grid()
	limit.Jars[8].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Below, Value: 5, Limit: true})
	for _, c := range []struct {
		s       jartest.Series
		ask     string
		outcome curve.Outcome
		code    string
	}{
		{limit, "turbidity <= 2 NTU", curve.Ambiguous, "target-below-detection"},
		{grid(), "turbidity removal >= 100 %", curve.TooFewJars, "no-reference"},
		{grid(), "turbidity removal >= 80 %", curve.TooFewJars, "no-reference"},
	} {
		r := Analyse(c.s, target(t, c.ask), Options{})
		if r.Outcome != c.outcome || !has(r, c.code) {
			t.Errorf("%s: %s %v", c.ask, r.Outcome, r.Notes)
		}
	}
	whole := grid()
	whole.Raw = map[jartest.Key]jartest.Reading{jartest.Turbidity: jartest.Num(120, "NTU")}
	if r := Analyse(whole, target(t, "turbidity removal >= 100 %"), Options{}); r.Outcome != curve.Ambiguous || !has(r, "target-unreachable") {
		t.Errorf("all removed: %s %v", r.Outcome, r.Notes)
	}
	// Cautions stand before notes, and the working says what the interpolation has of the confidence.
	r := Analyse(grid(), target(t, "turbidity <= 4 NTU"), Options{})
	for i := 1; i < len(r.Notes); i++ {
		if r.Notes[i].Level > r.Notes[i-1].Level {
			t.Errorf("%s stands after %s", r.Notes[i].Code, r.Notes[i-1].Code)
		}
	}
	if r.Outcome != curve.Found || len(r.Notes) < 2 || !strings.Contains(strings.Join(r.Method, "\n"), "\n20 % of the confidence comes from interpolation") {
		t.Errorf("%s, %d notes, %v", r.Outcome, len(r.Notes), r.Method)
	}
}

// TestOpposedByHand: 0.06 mg/L of residual is met to 20/3 mg/L of alum alone and to 20/3 / 0.82
// = 8.13 with 0.6 mg/L of polymer, to a crossing of the grid; the next jars stand there, at what turbidity needs
// and, twice, half-way.
func TestOpposedByHand(t *testing.T) {
	both := append(target(t, "turbidity <= 4 NTU"), target(t, "residual al <= 0.06 mg/L")...)
	s := twoReadings([]float64{0, 10, 20, 30}, jartest.ResidualAl, func(a, p float64) float64 { return 0.02 + 0.006*a*(1-0.3*p) })
	r := decided(s, both, Options{})
	if len(r.apart) != 2 {
		t.Fatalf("%v", r.Notes)
	}
	needs, allows := r.apart[0], r.apart[1]
	matches(t, "allows", float64(allows.First), 20.0/3/0.82, 1)
	r.describe()
	next, _ := r.Next(6)
	matches(t, "half-way, alum", float64(next[0].Pair.First), float64(needs.First+allows.First)/2, 0.02*float64(needs.First))
	matches(t, "half-way, polymer", float64(next[0].Pair.Second), float64(needs.Second+allows.Second)/2, 0.02)
	// The jar that comes closest is the one that misses by the fewest scatters, be it the first.
	for _, at := range []int{0, 5, len(r.Jars) - 1} {
		for k := range r.responses {
			b := &r.responses[k]
			for i, jar := range b.Jar {
				b.Obs.Y[i] = b.goal + 3
				if jar == at {
					b.Obs.Y[i] = b.goal + 2.9
				}
			}
		}
		if said, want := r.closest().String(), "the jar that comes closest is jar "+r.Jars[at].Label+" ("; !strings.HasPrefix(said, want) {
			t.Errorf("%q, want %q", said, want)
		}
	}
	for k := range r.responses {
		b := &r.responses[k]
		b.Obs.Y[0] = b.goal
	}
	if said := r.closest().String(); !strings.HasPrefix(said, "only jar "+r.Jars[0].Label+" (") {
		t.Errorf("%q", said)
	}
}

// TestFirstBinds: of targets that are as hard to meet at a pair the first is told.
func TestFirstBinds(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	r.responses = append(r.responses, r.responses[0])
	r.Binding = 1
	if r.bind(engine.Point{X: 0.6, Y: 0.3}); r.Binding != 0 {
		t.Errorf("target %d binds", r.Binding)
	}
}

// TestNear: the crossing of the grid that lies nearest.
func TestNear(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{}) // crossings at 0, 0.2, 0.5, 0.8, 1 and 0, 0.25, 0.5, 1
	for _, c := range []struct{ at, want engine.Point }{
		{engine.Point{X: 0.34, Y: 0.1}, engine.Point{X: 0.2, Y: 0}}, {engine.Point{X: 0.36, Y: 0.13}, engine.Point{X: 0.5, Y: 0.25}},
		{engine.Point{X: 0.81, Y: 0.76}, engine.Point{X: 0.8, Y: 1}}, {engine.Point{X: 0.91, Y: 0.74}, engine.Point{X: 1, Y: 0.5}},
	} {
		if got := r.met.Grid.Node(r.near(c.at)); got != c.want {
			t.Errorf("nearest to %v: %v, want %v", c.at, got, c.want)
		}
	}
}
