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

// TestLevelsByHand: removal from a mean of four readings carries their scatter, 0.2/√4 = 0.1, about
// the goal; what is within some per cent of the best is that above each surface's least value where
// pairs may stand, wherever it stands.
func TestLevelsByHand(t *testing.T) {
	e := engine.New()
	r := response{goal: 1.5, refJars: 4, cloud: &engine.Cloud{}}
	for range 2000 {
		r.cloud.F, r.cloud.Sigma = append(r.cloud.F, []float64{3, 1, 2}), append(r.cloud.Sigma, 0.2)
	}
	var sum, squares float64
	for _, v := range r.levels(e, []int{0, 1, 2}) {
		sum, squares = sum+v, squares+(v-1.5)*(v-1.5)
	}
	matches(t, "middle", sum/2000, 1.5, 0.01)
	matches(t, "spread", math.Sqrt(squares/2000), 0.1, 0.005)
	r = response{hasWithin: true, within: 0.25, cloud: &engine.Cloud{F: [][]float64{{3, 1, 2}, {-1, -2, -3}, {4, 5, 6}}, Sigma: []float64{1, 1, 1}}}
	for _, c := range []struct {
		inside []int
		want   [3]float64
	}{{[]int{0, 1, 2}, [3]float64{1.25, -2.75, 4.25}}, {[]int{0, 2}, [3]float64{2.25, -2.75, 4.25}}, {[]int{1}, [3]float64{1.25, -1.75, 5.25}}} {
		for k, got := range r.levels(e, c.inside) {
			matches(t, fmt.Sprint(c.inside), got, c.want[k], 1e-12)
		}
	}
}

// TestProvable: a jar that reads less than the target itself proves it; one that reads less than
// a little more does not.
func TestProvable(t *testing.T) {
	for limit, refused := range map[float64]bool{4: false, 4.01: true, 3.9: false} {
		s := jars([3]float64{10, 0.2, 60}, [3]float64{25, 0.4, 35}, [3]float64{40, 0.8, 23})
		s.Jars[2].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Below, Value: limit, Limit: true})
		if _, bad := prepare(newDesign(s, everyJar), target(t, "turbidity <= 4 NTU")[0], nil); (bad != nil) != refused {
			t.Errorf("less than %g: %v", limit, bad)
		}
	}
}

// TestRounded: what is proposed can be pipetted and set: three digits of the first chemical, two
// of the second, a pH to a tenth; a pair is proposed once, and no more jars than there are. A jar of
// 2 L that gets 12.3 mg/L of a stock of 10 g/L takes 12.3 · 2 / 10 = 2.46 mL.
func TestRounded(t *testing.T) {
	r := &Result{First: Factor{Chemical: jartest.Chemical{Stock: 10000}}, Second: Factor{Chemical: jartest.Chemical{Stock: 500}}}
	r.design.series.JarVolume = quantity.Volume(2)
	p := planner{r: r, left: 4}
	p.add(Pair{First: 12.345, Second: 0.1234, PH: 6.549}, 2, "a")
	p.add(Pair{First: 12.3, Second: 0.12, PH: 6.5}, 2, "again")
	p.add(Pair{First: 20.04, PH: 6.55}, 3, "b")
	p.add(Pair{First: 30}, 1, "none left")
	if len(p.out) != 2 || p.out[0].Pair != (Pair{First: 12.3, Second: 0.12, PH: 6.5}) || p.out[0].Jars != 2 || p.out[1].Pair != (Pair{First: 20, PH: 6.6}) || p.out[1].Jars != 2 {
		t.Errorf("%+v", p.out)
	}
	matches(t, "first stock", float64(p.out[0].FirstStock), 12.3*2/10000, 1e-12)
	matches(t, "second stock", float64(p.out[0].SecondStock), 0.12*2/500, 1e-12)
	r.Second.PH = true
	p = planner{r: r, left: 1}
	if p.add(Pair{First: 10, PH: 7}, 1, "with acid"); p.out[0].SecondStock != 0 || p.out[0].FirstStock == 0 {
		t.Errorf("%+v", p.out)
	}
}

// TestThreeLevels: to make up three levels of each: of two the middle between them, of one dose none
// and twice as much, of one pH that; what stands already is not asked for.
func TestThreeLevels(t *testing.T) {
	for _, c := range []struct {
		xs, ys []float64
		ph     bool
		want   string
	}{
		{[]float64{10, 30}, []float64{0.2, 0.4}, false, "20+0.2 10+0.3 20+0.3 30+0.3 20+0.4"},
		{[]float64{20}, []float64{0.2, 0.4}, false, "0+0.2 40+0.2 0+0.3 20+0.3 40+0.3 0+0.4 40+0.4"},
		{[]float64{10, 30}, []float64{0}, false, "20+0"},
		{[]float64{10, 30}, []float64{0.2}, false, "10+0 20+0 30+0 20+0.2 10+0.4 20+0.4 30+0.4"},
		{[]float64{10, 30}, []float64{6.5}, true, "20+6.5"},
		{[]float64{10, 15, 30}, []float64{6, 7}, true, "20+6 10+6.5 20+6.5 30+6.5 20+7"},
	} {
		r := &Result{First: Factor{Levels: c.xs}, Second: Factor{Levels: c.ys, PH: c.ph}}
		p := planner{r: r, left: 20}
		for _, x := range c.xs {
			for _, y := range c.ys {
				r.Jars = append(r.Jars, JarUse{Pair: p.with(x, y)})
			}
		}
		p.grid()
		var got []string
		for _, x := range p.out {
			got = append(got, fmt.Sprintf("%g+%g", float64(x.Pair.First), x.Pair.level(c.ph)))
		}
		if said := strings.Join(got, " "); said != c.want {
			t.Errorf("%v %v: %q, want %q", c.xs, c.ys, said, c.want)
		}
	}
}

// TestNarrowGivesAll: however few jars there are, all of them are given away; beside a cheapest pair
// without polymer the target line goes on to one side only, so that five have a place.
func TestNarrowGivesAll(t *testing.T) {
	for n := 1; n <= 6; n++ {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		r.decide()
		p := planner{r: r, left: n}
		p.narrow()
		given := 0
		for _, x := range p.out {
			given += x.Jars
		}
		if given != min(n, 5) || p.left != n-given {
			t.Errorf("of %d jars %d are given: %+v", n, given, p.out)
		}
	}
}

// TestSavingWeighed: of 300 pairs of costs, by hand. A pair of 60 beside 100 alone saves 0.4.
// Where the dose alone is out of reach all is saved, and that bounds what may be said: up to
// half of them the middle is a number, below a twentieth the upper bound is one.
func TestSavingWeighed(t *testing.T) {
	for _, c := range []struct {
		name          string
		pair, alone   float64
		out, neither  int // surfaces that alone does not reach, and that no pair does
		hasAlone      bool
		share, chance float64
		has, hasHigh  bool
		verdict       Verdict
	}{
		{"two fifths", 60, 100, 0, 0, true, 0.4, 1, true, true, Pays},
		{"nothing", 100, 100, 0, 0, true, 0, 0, true, true, AddsNothing},
		{"hardly a fiftieth", 98.1, 100, 0, 0, true, 0.019, 0, true, true, AddsNothing},
		{"more than that", 97.9, 100, 0, 0, true, 0.021, 1, true, true, Pays},
		{"4 % out of reach", 60, 100, 12, 0, true, 0.4, 1, true, true, Pays},
		{"6 % out of reach", 60, 100, 18, 0, true, 0.4, 1, true, false, Pays},
		{"49 % out of reach", 60, 100, 147, 0, true, 0.4, 1, true, false, Pays},
		{"half out of reach", 60, 100, 150, 0, false, 1, 1, false, false, Needed},
		{"half out of reach, one dose alone is sure", 60, 100, 150, 0, true, 1, 1, false, false, Pays},
		{"seven tenths gain", 100, 100, 210, 0, true, 1, 0.7, false, false, CannotTell},
		{"no pair in three quarters", 60, 100, 0, 225, true, 0.4, 1, true, true, Pays},
		{"no pair in more", 60, 100, 0, 226, true, 0, 0, false, false, ""},
	} {
		var s Saving
		s.HasAlone = c.hasAlone
		var pair, alone []float64
		for k := range 300 {
			p, a := c.pair, c.alone
			if k < c.out {
				a = math.Inf(1)
			}
			if k >= 300-c.neither {
				p = math.Inf(1)
			}
			pair, alone = append(pair, p), append(alone, a)
		}
		s.weigh(pair, alone)
		if s.Has != c.has || s.HasHigh != c.hasHigh || s.Verdict != c.verdict {
			t.Errorf("%s: %+v", c.name, s)
		}
		matches(t, c.name+": share", float64(s.Share), c.share, 1e-9)
		matches(t, c.name+": chance", float64(s.Chance), c.chance, 1e-9)
	}
	// 300 shares 0.0005, 0.0015 ... 0.2995, in any order: the 150th, the 15th and the 285th from below.
	var s Saving
	s.HasAlone = true
	var pair, alone []float64
	for k := range 300 {
		pair, alone = append(pair, 1-(float64(k*7%300)+0.5)/1000), append(alone, 1)
	}
	for k := 0; k < 299; k += 2 { // 7 divides no 300: every share once
		pair[k], pair[k+1] = pair[k+1], pair[k]
	}
	s.weigh(pair, alone)
	for what, c := range map[string][2]float64{"middle": {float64(s.Share), 0.1505}, "low": {float64(s.Low), 0.0155}, "high": {float64(s.High), 0.2855}, "chance": {float64(s.Chance), 280.0 / 300}} {
		matches(t, what, c[0], c[1], 1e-9)
	}
}

// TestOneTarget: a single target is opposed by none; of pairs at which it is met the most alum
// is told with the least polymer beside it.
func TestOneTarget(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	if r.opposed() {
		t.Error("one target is opposed")
	}
	if b := r.boundsOf(0); !b.met || b.most != (engine.Point{X: 1, Y: 0}) || b.atLowest {
		t.Errorf("%+v", b)
	}
	if b := planes(t, "turbidity <= 60 NTU", Options{}).boundsOf(0); !b.atLowest || b.least.X != 0 {
		t.Errorf("met at the lowest: %+v", b)
	}
	if b := planes(t, "turbidity <= 0.5 NTU", Options{}).boundsOf(0); b.met { // the least is e⁰
		t.Errorf("never met: %+v", b)
	}
}

// TestScatterTold: nine jars less the level and the model's parameters; chi-squared of a table passes
// 5 in 100 at 15.51 on 8 - 0, 12.59 on 6, 11.07 on 5 degrees (any handbook), and the scatter has
// to be half as much again as expected, 2.25 of the square.
func TestScatterTold(t *testing.T) {
	bound := map[int]float64{6: math.Max(12.592, 2.25*6), 5: math.Max(11.070, 2.25*5), 4: math.Max(9.488, 2.25*4)}
	for _, more := range []bool{true, false} {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		b := &r.responses[0]
		m := &b.cloud.Models[0]
		df := 9 - 1 - len(m.Model.Params)
		least, ok := bound[df]
		if !ok {
			t.Fatalf("%d degrees of freedom", df)
		}
		if m.RSS = 0.0064 * (least - 0.02); more {
			m.RSS = 0.0064 * (least + 0.02)
		}
		r.scattered(b)
		said := noteOf(*r, "scatter")
		if more != (said != "") || more && !strings.Contains(said, fmt.Sprintf("%.0f %% off", 100*math.Sqrt(m.RSS/float64(df)))) || more && !strings.Contains(said, "the 8.0 % that") {
			t.Errorf("%v: %q", more, said)
		}
	}
}

// TestFirstJarOdd: the first jar may be the odd one.
func TestFirstJarOdd(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	b := &r.responses[0]
	b.Obs.Y[0] += 1
	if r.scattered(b); !strings.Contains(noteOf(*r, "odd-jar"), fmt.Sprintf("%q", r.Jars[b.Jar[0]].Label)) {
		t.Errorf("%v", r.Notes)
	}
}

// TestScaleOfFewLevels: one level is scale enough; none leaves the numbers as they are.
func TestScaleOfFewLevels(t *testing.T) {
	for _, c := range []struct {
		pairs  []Pair
		ph     bool
		want   frame
		xs, ys int
	}{
		{[]Pair{{First: 20, Second: 0.4}}, false, frame{x: 20, y: 0.4}, 1, 1},
		{[]Pair{{First: 20}, {First: 40}}, false, frame{x: 40, y: 1}, 2, 1},
		{[]Pair{{Second: 0.4}}, false, frame{x: 1, y: 0.4}, 1, 1},
		{[]Pair{{First: 20, PH: 6.5}}, true, frame{x: 20, y0: 6.5, y: 1e-9}, 1, 1},
		{nil, false, frame{x: 1, y: 1}, 0, 0},
	} {
		d := design{second: Factor{PH: c.ph}}
		for _, p := range c.pairs {
			d.jars = append(d.jars, JarUse{Pair: p, Used: true})
		}
		d.jars = append(d.jars, JarUse{Pair: Pair{First: 99, Second: 9, PH: 9}})
		d.levels()
		if d.scale != c.want || len(d.first.Levels) != c.xs || len(d.second.Levels) != c.ys {
			t.Errorf("%v: %+v, %v, %v", c.pairs, d.scale, d.first.Levels, d.second.Levels)
		}
	}
}

// TestPairKnown: a jar that lacks the dose of either chemical has no pair, wherever its column stands.
func TestPairKnown(t *testing.T) {
	d := design{first: Factor{Name: "alum", Index: 0}, second: Factor{Name: "polymer", Index: 1}}
	known := func(c float64) jartest.JarDose {
		return jartest.JarDose{Concentration: quantity.Concentration(c), Known: true}
	}
	for _, c := range []struct {
		doses []jartest.JarDose
		why   string
	}{
		{[]jartest.JarDose{known(20), known(0.4)}, ""}, {[]jartest.JarDose{known(20)}, "dose of polymer not known"}, {[]jartest.JarDose{known(20), {}}, "dose of polymer not known"},
		{[]jartest.JarDose{{}, known(0.4)}, "dose of alum not known"}, {nil, "dose of alum not known"},
	} {
		p, ok, why := d.pairOf(jartest.Jar{Doses: c.doses})
		if ok != (c.why == "") || why != c.why || ok && p != (Pair{First: 20, Second: 0.4}) {
			t.Errorf("%v: %v %v %q", c.doses, p, ok, why)
		}
	}
}

// TestSurestPair: where no pair is sure enough the surest is told with its confidence: of three hundred
// planes ln f = c - 3 x - y the pair of most of both is surest, and a goal of e^c₁ is met by those below c₁.
func TestSurestPair(t *testing.T) {
	r := planes(t, "turbidity <= 8 NTU", Options{})
	r.responses[0].goal = (199.5 - 149.5) / 300 // at x = y = 1 planes 0 to 199 lie below: two thirds
	r.join(engine.New())
	r.noPlanning()
	if said := noteOf(*r, "no-planning-pair"); !strings.Contains(said, "the surest, 30 mg/L alum with 0.6 mg/L polymer, meets the target with 67 % confidence, and 90 % is asked for") {
		t.Errorf("%q", said)
	}
}

// TestEdgeBeside: at the border the jar that fails is looked for beside the pair, and where the pair
// stands at a jar, among that jar's neighbours too; the nearest that fails is named.
func TestEdgeBeside(t *testing.T) {
	for _, c := range []struct {
		name string
		at   Pair
		want int // index of the jar; alum 0, 15, 30 with polymer 0, 0.3, 0.6 in turn; -1 for none
	}{
		{"at a jar, its neighbour below fails", Pair{First: 15, Second: 0.6}, 2}, {"nine tenths of the way to it", Pair{First: 15 - 0.09*15, Second: 0.6}, 2},
		{"in the middle", Pair{First: 20, Second: 0.4}, -1}, {"between two jars that pass", Pair{First: 22.5, Second: 0.6}, -1},
	} {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		r.decide()
		r.Outcome, r.HasPlanning, r.Planning.Pair = curve.Found, true, c.at
		b := &r.responses[0]
		for i := range b.Obs.Y { // all pass but those without alum
			b.Obs.Y[i] = b.goal - 1
			if b.Obs.U[i] == 0 {
				b.Obs.Y[i] = b.goal + 1
			}
		}
		if jar, ok := r.failingAtEdge(b); ok != (c.want >= 0) || ok && jar != c.want {
			t.Errorf("%s: %d %v", c.name, jar, ok)
		}
	}
}

// TestLayouts: how pairs are laid out, by hand.
func TestLayouts(t *testing.T) {
	for _, c := range []struct {
		pairs string
		want  Kind
	}{
		{"1,1 1,2 2,1 2,2", FullGrid}, {"1,1 1,2 1,3", OneAtATime}, {"1,1", OneAtATime},
		{"1,2 2,2 3,2 2,1 2,3", OneAtATime}, {"1,1 2,1 3,1 3,2 3,3", OneAtATime}, // a cross, and a corner
		{"1,2 2,2 3,2 2,1 1,1", PartialGrid}, {"1,1 1,2 2,1 2,3 3,2", PartialGrid}, // five of nine
		{"1,1 2,2 3,3", Scattered}, {"1,1 2,2 3,3 1,2", Scattered}, // four of nine
	} {
		distinct := map[[2]float64]bool{}
		var xs, ys []float64
		for _, p := range strings.Fields(c.pairs) {
			var x, y float64
			if _, err := fmt.Sscanf(p, "%g,%g", &x, &y); err != nil {
				t.Fatal(err)
			}
			distinct[[2]float64{x, y}] = true
			xs, ys = addLevel(xs, x), addLevel(ys, y)
		}
		if got := kindOf(distinct, xs, ys); got != c.want {
			t.Errorf("%s: %s, want %s", c.pairs, got, c.want)
		}
	}
	if l := addLevel(addLevel(addLevel(addLevel(nil, 3), 1), 2), 3); fmt.Sprint(l) != "[1 2 3]" {
		t.Errorf("%v", l)
	}
}

// TestPHSet: where nothing says that the pH was set, but jars of one dose stand at several, it is told
// that they are taken so.
func TestPHSet(t *testing.T) {
	for _, set := range []bool{true, false} {
		s := laundry()
		if !set {
			for i := range s.Jars {
				s.Jars[i].Readings = append(jartest.Readings{{Key: jartest.PH, Reading: jartest.Num(s.Jars[i].Settings["ph_target"], "")}}, s.Jars[i].Readings...)
				s.Jars[i].Settings = nil
			}
		}
		d, said := newDesign(s, everyJar), false
		for _, n := range d.notes {
			said = said || n.Code == "ph-was-set"
		}
		if said == set || !d.second.PH || d.first.Name != "tannin" || d.second.Index != -1 {
			t.Errorf("set %v: %v, %+v", set, d.notes, d.second)
		}
	}
}

// TestPairInWords: a pH is told to a hundredth, doses of pairs that no jar stood at to what means anything.
func TestPairInWords(t *testing.T) {
	r := Result{First: Factor{Name: "alum"}, Second: Factor{Name: "polymer"}}
	if got := r.Words(Pair{First: 12.3456, Second: 0.12345}); got != "12.3 mg/L alum with 0.12 mg/L polymer" {
		t.Errorf("%q", got)
	}
	r.Second = Factor{Name: "pH", PH: true}
	if got := r.Words(Pair{First: 12.3456, PH: 6.5}); got != "12.3 mg/L alum at pH 6.5" {
		t.Errorf("%q", got)
	}
}

// TestTip: a region that ends in a point says nothing of the way there.
func TestTip(t *testing.T) {
	worse := func(hull []engine.Point) *Result { // falling planes turned round: more alum is worse
		r := planes(t, "turbidity <= 8 NTU", Options{})
		for j, v := range r.responses[0].mid {
			r.responses[0].mid[j] = -v
		}
		r.region = engine.NewRegion(hull)
		return r
	}
	if r := worse(points(0, 0, 1, 0, 0, 1, 1, 1)); !r.bestAtLowest(engine.Point{}) || r.bestAtLowest(engine.Point{X: 0.01}) {
		t.Error("more alum makes it worse everywhere, and the best stands at the lowest only")
	}
	if r := worse(points(0, 0, 1, 0, 0, 1)); !r.bestAtLowest(engine.Point{}) {
		t.Error("the tip hides that more alum makes it worse")
	}
	if r := planes(t, "turbidity <= 8 NTU", Options{}); r.bestAtLowest(engine.Point{}) {
		t.Error("more alum makes it better")
	}
	r := planes(t, "turbidity <= 8 NTU", Options{}) // without polymer one dose of alum alone was tested
	r.decide()
	r.Saving, r.region = Saving{}, engine.NewRegion(points(0.5, 0, 0, 1, 1, 1, 0, 0.5, 1, 0.5))
	if r.saving(); r.Saving.Verdict != NotCompared || r.Saving.HasAlone {
		t.Errorf("%+v", r.Saving)
	}
	r.region = engine.NewRegion(points(0, 0.2, 1, 0.2, 0, 1, 1, 1)) // none without polymer
	if r.saving(); r.Saving.Verdict != NotCompared || r.Saving.HasAlone {
		t.Errorf("%+v", r.Saving)
	}
}

// TestBesideTheLine: rows beside the cheapest pair stand half a gap of the levels about it away, at
// most half the range; each at the alum at which half of the planes meet the target.
func TestBesideTheLine(t *testing.T) {
	for _, c := range []struct {
		levels []float64
		at     float64 // of the polymer's range
		rows   []float64
	}{{[]float64{0, 0.2, 1}, 0.6, []float64{0.2, 1}}, {[]float64{0, 0.2, 1}, 0.1, []float64{0, 0.2}}, {[]float64{0, 0.2, 1}, 0.2, []float64{0.1, 0.3}}, {[]float64{0, 1}, 0.5, []float64{0, 1}}} {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		var hull []engine.Point
		for _, y := range c.levels {
			hull = append(hull, engine.Point{Y: y}, engine.Point{X: 1, Y: y})
		}
		r.region = engine.NewRegion(hull)
		r.region.OnlyXs, r.region.OnlyYs = false, false
		r.decide()
		r.Estimate.Pair.Second = quantity.Concentration(0.6 * c.at)
		out := (&planner{r: r, left: 9}).plain()
		if len(out) != 4 || !r.HasPlanning {
			t.Fatalf("%v: %+v", c.levels, out)
		}
		for k, y := range c.rows {
			q := out[2+k]
			matches(t, "row", q.at.Y, y, 1e-9)
			matches(t, "alum", 30*q.at.X, lineAt(50, 8, y), 0.02)
		}
	}
}

// TestSlantedBorder: a pair counts as on a side within a thousandth of the range, however long the side is.
func TestSlantedBorder(t *testing.T) {
	for _, c := range []struct {
		hull []engine.Point
		at   func(off float64) engine.Point
	}{
		{points(0.2, 0.2, 1, 0.2, 0.2, 1), func(off float64) engine.Point { return engine.Point{X: 0.7 - off/math.Sqrt2, Y: 0.5 - off/math.Sqrt2} }},
		{points(0.5, 0.5, 1, 0.5, 1, 0.6, 0.5, 0.6), func(off float64) engine.Point { return engine.Point{X: 1 - off, Y: 0.55} }},
	} {
		r := &Result{region: engine.NewRegion(c.hull)}
		for off, want := range map[float64]bool{0: true, 0.9e-3: true, 1.1e-3: false, 5e-3: false} {
			if r.border(c.at(off)) != want {
				t.Errorf("%v: %g from the side: %v", c.hull, off, !want)
			}
		}
	}
}

// TestComputedJars: the computed jars are proposed where they take more of what is left of the interval
// than the plain ones by a fiftieth, and only there.
func TestComputedJars(t *testing.T) {
	seen := map[bool]bool{}
	for _, level := range []string{"3", "5", "8", "12", "20"} {
		for _, prices := range [][2]float64{{0, 0}, {1, 3}, {1, 30}, {1, 100}} {
			var opt Options
			if prices[0] > 0 {
				opt.PricePerKg = [2]quantity.Money{{Amount: prices[0], Currency: "EUR"}, {Amount: prices[1], Currency: "EUR"}}
			}
			r := planes(t, "turbidity <= "+level+" NTU", opt)
			r.decide()
			if !r.HasPlanning {
				continue
			}
			p := planner{r: r, left: 3}
			var at []int
			for _, j := range p.plain() {
				for range j.n {
					if len(at) < 3 {
						at = append(at, r.near(j.at))
					}
				}
			}
			o := r.outlook()
			picked := o.Greedy(3, r.telling())
			want := len(picked) == 3 && o.Left(picked) < o.Left(at)-0.02
			p.narrow()
			if computed := strings.Contains(p.out[0].Why, "(computed)"); computed != want {
				t.Errorf("%s NTU, %v: computed %v; they leave %.3f, the plain ones %.3f", level, prices, computed, o.Left(picked), o.Left(at))
			}
			seen[want] = true
		}
	}
	t.Logf("computed or plain: %v", seen)
}
