package history

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// beck are tests whose dose is 4·NTU^0.3 but for a few per cent.
func beck(ntu ...float64) (out []Test) {
	for i, v := range ntu {
		out = append(out, past(i, muddy(v), 4*math.Pow(v, 0.3)*(1+0.04*float64(i%3-1)), 0.05))
	}
	return out
}

func codes(l note.List) (out []string) {
	for _, n := range l {
		out = append(out, n.Code)
	}
	return out
}

// Copies count once and are told, whatever the order of the files; which place stands is the earliest day's.
func TestCopiesCountOnce(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160)
	again := tests[2]
	again.At.File = "zz.xlsx"
	later := tests[1]
	later.Day = tests[4].Day
	later.At.File = "000-early-name.xlsx"
	other := tests[0]
	other.Chemical.Basis, other.At.File = quantity.AsAl, "zzz.xlsx"
	all := append(tests, again, later, other)
	want := Gather(all, product.Default())
	if len(want.Tests) != 5 || want.Tests[1].At.File != "001.xlsx" {
		t.Fatalf("%+v", want.Tests)
	}
	if got := codes(want.Notes); !slices.Equal(got, []string{"copy-differs", "copy-other-day", "copied-test"}) {
		t.Errorf("%v", got)
	}
	for k := range 5 {
		shuffled := slices.Clone(all)
		rand.New(rand.NewPCG(uint64(k), 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		got := Gather(shuffled, product.Default())
		if !slices.Equal(codes(got.Notes), codes(want.Notes)) || got.Groups[0].Model.V.Coefficients[0] != want.Groups[0].Model.V.Coefficients[0] || got.Tests[3].At != want.Tests[3].At {
			t.Errorf("another order gives another answer")
		}
	}
	bare := []Test{{Outcome: curve.TooFewJars}, {Outcome: curve.TooFewJars}} // too few jars to have a print
	if got := Gather(bare, product.Default()); len(got.Tests) != 2 {
		t.Errorf("%d tests without a print", len(got.Tests))
	}
}

// Chemicals, targets and what all jars got as well are kept apart; bases of one substance are one: 100 mg/L as
// Al2(SO4)3·14H2O (594.4 g/mol) hold 2 x 26.98/594.4 of aluminium, 9.08 mg/L.
func TestKeptApart(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160, 60)
	tests[5].Chemical.Basis = quantity.AsAl
	for _, d := range []*quantity.Concentration{&tests[5].Effective.Value, &tests[5].Effective.Low, &tests[5].Effective.High, &tests[5].TestedHigh} {
		*d *= 2 * 26.9815 / 594.37
	}
	for i, change := range []func(*Test){
		func(x *Test) { x.Chemical.Name = "ferric chloride" },
		func(x *Test) { x.Targets = []jartest.Target{{Key: jartest.Turbidity, Value: 2, Unit: "NTU"}} },
		func(x *Test) { x.Beside = []curve.Fixed{{Chemical: jartest.Chemical{Name: "polymer"}, Dose: 0.2}} },
		func(x *Test) { x.Chemical.Basis = quantity.AsProduct },
		func(x *Test) { x.Pair = true },
	} {
		x := beck(30)[0]
		x.print, x.At.File = "other"+string(rune('0'+i)), "other"
		change(&x)
		tests = append(tests, x)
	}
	h := Gather(tests, product.Default())
	if len(h.Groups) != 6 || len(h.Groups[0].Used) != 6 {
		t.Fatalf("%d groups, the first of %d", len(h.Groups), len(h.Groups[0].Used))
	}
	if d := h.Groups[0].Used[5].Effective.Value; !agree(float64(d), 4*math.Pow(60, 0.3)*1.04, 3) {
		t.Errorf("converted to %v", d)
	}
	turned := h.Groups[0].Notes[slices.Index(codes(h.Groups[0].Notes), "basis-turned")]
	if want := "the doses of 1 of 6 tests were counted as Al, and are turned to as alum 14-hydrate here by what they hold: 1.29 mg/L is 14.2 mg/L"; turned.Message != want || turned.Place != tests[5].At {
		t.Errorf("%v", turned)
	}
	if other := h.Groups[slices.IndexFunc(h.Groups, func(g Group) bool { return g.Chemical.Basis == quantity.AsProduct })]; !h.Alike(other) || !h.Alike(h.Groups[0]) || len(other.Notes) > 0 {
		t.Errorf("%v", other)
	}
	if !slices.ContainsFunc(h.Tests, func(x Test) bool { return x.Chemical.Basis == quantity.AsAl }) {
		t.Error("the test itself stands as its sheet counts it")
	}
	for _, g := range h.Groups[1:] {
		if g.Model.OK || g.Refused.Format == "" {
			t.Errorf("%v has a law of one test", g.Chemical)
		}
	}
}

// Too few tests refuse with their numbers; tests without a dose or a raw turbidity do not count, and a test that needed more
// than its jars where the law says less is told.
func TestWhatCounts(t *testing.T) {
	tests := beck(10, 20, 40, 80)
	dry := beck(5)[0]
	dry.Raw, dry.print = Water{}, "no turbidity"
	g := group(t, append(tests, dry))
	if g.Model.OK || g.Refused.String() != "4 of 5 tests found a dose and know the raw turbidity; a law takes 5 at least" {
		t.Errorf("%q", g.Refused)
	}
	open := beck(60)[0]
	open.Outcome, open.TestedHigh, open.print = curve.StillImproving, 30, "open"
	passed := beck(60)[0]
	passed.Outcome, passed.TestedLow, passed.print = curve.LowestDosePasses, 2, "passed"
	g = group(t, append(beck(10, 20, 40, 80, 160), open, passed))
	if got := codes(g.Notes); !slices.Equal(got, []string{"few-tests", "needed-more", "needed-less"}) || !strings.HasPrefix(g.Notes[1].Message, "1 test(s) needed more than their highest dose") {
		t.Errorf("%v", g.Notes)
	}
	if g = group(t, beck(10, 20, 40, 80, 160, 15, 30, 60)); len(g.Notes) != 0 {
		t.Errorf("eight tests that agree: %v", g.Notes)
	}
	// Water of one turbidity tells no law of turbidity; one that falls is told.
	if g = group(t, beck(40, 41, 42, 43, 44)); g.Model.V.Form != Constant || codes(g.Notes)[1] != "one-water" {
		t.Errorf("%v %v", g.Model.V.Form, g.Notes)
	}
	falling := beck(10, 20, 40, 80, 160, 15, 30, 60)
	for i := range falling {
		e := &falling[i].Effective
		by := quantity.Concentration(math.Pow(falling[i].Raw[jartest.Turbidity], -0.6))
		e.Value, e.Low, e.High = e.Value*by, e.Low*by, e.High*by
	}
	if g = group(t, falling); !slices.Equal(codes(g.Notes), []string{"falling-law"}) {
		t.Errorf("%v", g.Notes)
	}
}

// A test ten times off, as a slip of the decimal point makes it, is told with what the others say of its water; so is a turbidity
// that is that of a settled jar. Ordinary tests are not.
func TestOddTestsSpeak(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160, 15, 30, 60, 100, 50)
	e := &tests[7].Effective
	e.Value, e.Low, e.High = 10*e.Value, 10*e.Low, 10*e.High
	tests[2].Control = true
	g := group(t, tests)
	if got := codes(g.Notes); !slices.Contains(got, "odd-test") || !slices.Contains(got, "settled-control") {
		t.Fatalf("%v", g.Notes)
	}
	n := g.Notes[slices.IndexFunc(g.Notes, func(n note.Note) bool { return n.Code == "odd-test" })]
	if n.Place.File != "007.xlsx" || !strings.Contains(n.Message, "Wed 8 January 2025") || !strings.Contains(n.Message, "needed 137 mg/L") { // 10 x 4 x 60^0.3
		t.Errorf("%v", n)
	}
	r, odd := rand.New(rand.NewPCG(6, 6)), 0
	for range 40 {
		var tests []Test
		for i := range 12 {
			v := math.Exp(2.3 + 2.7*r.Float64())
			tests = append(tests, past(i, muddy(v), 4*math.Pow(v, 0.3)*math.Exp(0.15*r.NormFloat64()), 0.05))
		}
		odd += either(slices.Contains(codes(group(t, tests).Notes), "odd-test"), 1, 0)
	}
	if odd > 3 {
		t.Errorf("%d of 40 ordinary years have an odd test", odd)
	}
}

// What is asked of water within the tests has a dose by the law's own numbers, between the ends of its range, the higher the surer;
// none outside. A water on the border is inside.
func TestPredict(t *testing.T) {
	g := group(t, beck(10, 20, 40, 80, 160, 15, 30, 60))
	m := g.Model.V
	if m.Form != Power || math.Abs(m.Coefficients[1].Value-0.3) > 0.02 || math.Abs(m.Coefficients[0].Value-4) > 0.3 {
		t.Fatalf("%v %v", m.Form, m.Coefficients)
	}
	p, ok := g.Predict(muddy(85), 0.9)
	if !ok || !p.Inside || !agree(float64(p.Value), m.Coefficients[0].Value*math.Pow(85, m.Coefficients[1].Value), 9) {
		t.Fatalf("%+v", p)
	}
	if !(p.Low < p.Value && p.Value < p.Planning.V && p.Planning.V < p.High) {
		t.Errorf("%v, %v, %v, %v", p.Low, p.Value, p.Planning.V, p.High)
	}
	surer, _ := g.Predict(muddy(85), 0.95)
	if !agree(float64(surer.Planning.V), float64(p.High), 9) { // nine in ten on both sides leave one in twenty above
		t.Errorf("%v, %v", surer.Planning.V, p.High)
	}
	for _, v := range []float64{10, 160} {
		if p, ok := g.Predict(muddy(v), 0.9); !ok || !p.Inside || !p.Planning.OK {
			t.Errorf("%v NTU: %+v", v, p)
		}
	}
	for _, v := range []float64{9.9, 161} {
		if p, ok := g.Predict(muddy(v), 0.9); !ok || p.Inside || p.Planning.OK || p.Value != 0 || !slices.Equal(p.Outside, []jartest.Key{jartest.Turbidity}) {
			t.Errorf("%v NTU: %+v", v, p)
		}
	}
	// the water tested that comes nearest to one outside is the end that it lies beyond, and one inside is its own
	for asked, want := range map[float64]float64{2: 10, 9.9: 10, 10: 10, 85: 85, 160: 160, 400: 160} {
		p, _ := g.Predict(muddy(asked), 0.9)
		if got := p.Nearest()[jartest.Turbidity]; got != want || p.Raw[jartest.Turbidity] != asked {
			t.Errorf("nearest to %v NTU: %v, want %v", asked, got, want)
		}
	}
}

// What a jar says against a predicted dose is said: none had so much, one clouded again at less, or the last like water needed more.
func TestPredictionsSpeak(t *testing.T) {
	tests := beck(10, 20, 40, 80, 160, 15, 30, 60)
	for i := range tests {
		tests[i].TestedHigh = 12
	}
	tests[3].Clouds = quantity.Some(quantity.Concentration(11))
	p, _ := group(t, tests).Predict(muddy(80), 0.9)
	if got := codes(p.Notes); !slices.Equal(got, []string{"may-cloud", "beyond-jars"}) {
		t.Errorf("%v", p.Notes)
	}
	open := past(98, muddy(75), 0, 0)
	open.Outcome, open.TestedHigh = curve.StillImproving, 30
	p, _ = group(t, append(beck(10, 20, 40, 80, 160, 15, 30, 60), open)).Predict(muddy(80), 0.9)
	if got := codes(p.Notes); !slices.Equal(got, []string{"like-water-unreached"}) || !strings.Contains(p.Notes[0].Message, "75 NTU, had not cleared at 30 mg/L") {
		t.Errorf("%v", p.Notes)
	}
	odd := past(99, muddy(42), 30, 0.05)
	p, _ = group(t, append(beck(10, 20, 40, 80, 160, 15, 30, 60, 12, 18, 25, 35, 50, 70, 100, 140), odd)).Predict(muddy(40), 0.9)
	if got := codes(p.Notes); !slices.Equal(got, []string{"like-water-needed-more", "odd-test"}) {
		t.Errorf("%v", p.Notes)
	}
}

// Cold water that needs more makes temperature a term; water whose temperature is not told is answered without it, and asked for it.
func TestTemperatureHelps(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	var tests []Test
	for i := range 20 {
		v, warm := math.Exp(2.3+2.7*r.Float64()), 2+18*r.Float64()
		tests = append(tests, past(i, Water{jartest.Turbidity: v, jartest.TemperatureKey: warm}, 6*math.Pow(v, 0.3)*math.Exp(-0.04*(warm-10)+0.03*r.NormFloat64()), 0.04))
	}
	g := group(t, tests)
	m := g.Model.V
	if !slices.Equal(m.Terms, []jartest.Key{jartest.TemperatureKey}) || math.Abs(m.Coefficients[2].Value+0.04) > 0.006 || m.Coefficients[2].Name != "k_temperature" {
		t.Fatalf("%v %v", m.Terms, m.Coefficients)
	}
	cold, _ := g.Predict(Water{jartest.Turbidity: 60, jartest.TemperatureKey: 4}, 0.9)
	warm, _ := g.Predict(Water{jartest.Turbidity: 60, jartest.TemperatureKey: 18}, 0.9)
	if ratio := float64(cold.Value / warm.Value); math.Abs(ratio-math.Exp(0.04*14)) > 0.15 {
		t.Errorf("cold needs %v times as much", ratio)
	}
	bare, ok := g.Predict(muddy(60), 0.9)
	if !ok || len(bare.Model.Terms) != 0 || !slices.Equal(codes(bare.Notes), []string{"reading-helps"}) || bare.High-bare.Low < cold.High-cold.Low {
		t.Errorf("%+v", bare)
	}
	if p, _ := g.Predict(Water{jartest.Turbidity: 60, jartest.TemperatureKey: 30}, 0.9); p.Inside || !slices.Equal(p.Outside, []jartest.Key{jartest.TemperatureKey}) {
		t.Errorf("30 C: %+v", p)
	}
	// Where a third of the tests lack it, it is left.
	for i := range 9 {
		delete(tests[i].Raw, jartest.TemperatureKey)
	}
	if m := group(t, tests).Model.V; len(m.Terms) != 0 {
		t.Errorf("%v by 11 of 20 tests", m.Terms)
	}
}

// Classes end where tests end, their dose is that of their dirtiest water, and the one to test next has no test.
func TestClassesAndNext(t *testing.T) {
	g := group(t, beck(12, 14, 16, 18, 130, 140, 150))
	var got []string
	for _, c := range g.Classes(0.9, nil) {
		got = append(got, c.Low.String()+" "+c.High.String())
		if c.Planning.OK != (c.Low >= 12 && c.High <= 150) {
			t.Errorf("%v to %v: %v", c.Low, c.High, c.Planning)
		}
		if c.Planning.OK {
			if p, _ := g.Predict(muddy(float64(c.High)), 0.9); p.Planning.V != c.Planning.V {
				t.Errorf("%v: %v, asked alone %v", c.High, c.Planning.V, p.Planning.V)
			}
		}
	}
	if want := "5 NTU 10 NTU,10 NTU 12 NTU,12 NTU 20 NTU,20 NTU 50 NTU,50 NTU 100 NTU,100 NTU 150 NTU,150 NTU 200 NTU,200 NTU 500 NTU"; strings.Join(got, ",") != want {
		t.Errorf("%v", got)
	}
	list := g.Next()
	n := list[0]
	if len(list) != 2 || n.Low != 20 || n.High != 50 || n.Beyond || n.Tests != 0 || n.Doses[0] != 0 || len(n.Doses) != 6 {
		t.Errorf("%+v", n)
	}
	if need := 4 * math.Pow(32, 0.3); float64(n.Doses[1]) > need || float64(n.Doses[5]) < 1.2*need {
		t.Errorf("%v do not hold %v", n.Doses, need)
	}
	if n = list[1]; n.Low != 10 || n.High != 12 || !n.Beyond || n.Tests != 0 || n.Doses[0] != 0 {
		t.Errorf("cleaner water: %+v", n)
	}
	if n = group(t, beck(11, 25, 60, 70, 140, 30, 15, 160)).Next()[0]; n.Low != 160 || !n.Beyond {
		t.Errorf("%+v", n)
	}
	if list := group(t, beck(10, 20)).Next(); len(list) != 0 {
		t.Errorf("%+v of two tests", list)
	}
	if list := group(t, beck(3, 8, 15, 30, 60, 100)).Next(); len(list) != 1 { // water below 3 NTU meets a target of 5 NTU as it is
		t.Errorf("%+v", list)
	}
}

// A table and a question about one water give a dose, or none, at the same places: within the tests' range, its ends too, and nowhere else.
func TestClassesGiveWhereQuestionsGive(t *testing.T) {
	for _, tests := range [][]float64{{50, 51, 52, 54, 57, 53}, {12, 25, 60, 100, 160}, {10, 20, 50, 100, 33}, {40, 40, 40, 40, 40}, {0.3, 0.4, 0.9, 2, 7}} {
		g := group(t, beck(tests...))
		least, most := slices.Min(tests), slices.Max(tests)
		count := 0
		classes := g.Classes(0.9, nil)
		for i, c := range classes {
			if count += c.Tests; i > 0 && c.Low != classes[i-1].High {
				t.Errorf("%v: %v does not go on from %v", tests, c, classes[i-1])
			}
			for _, at := range []float64{float64(c.Low) * 1.001, float64(c.High) * 0.999, float64(c.High)} {
				p, _ := g.Predict(muddy(at), 0.9)
				if at >= float64(c.Low) && at <= float64(c.High) && at != least && p.Planning.OK != c.Planning.OK {
					t.Errorf("%v: class %v to %v has a dose: %t, water of %v: %t", tests, c.Low, c.High, c.Planning.OK, at, p.Planning.OK)
				}
			}
			if c.Planning.OK && (float64(c.Low) < least || float64(c.High) > most) {
				t.Errorf("%v: %v", tests, c)
			}
		}
		if count != len(tests) {
			t.Errorf("%v: %d tests in the classes", tests, count)
		}
	}
}

// Days as sheets write them; what can be read in two ways is none.
func TestDays(t *testing.T) {
	for text, want := range map[string]string{
		"2026-03-02": "2026-03-02", "2 March 2026": "2026-03-02", "Mon, 2 Mar 2026": "2026-03-02", "March 2, 2026": "2026-03-02", "2026/3/2": "2026-03-02", "20260302": "2026-03-02",
		"17.03.2026": "2026-03-17", "3/17/2026": "2026-03-17", "04/04/2026": "2026-04-04", "2026-03-02T08:15": "2026-03-02",
		"3 mars 2025": "2025-03-03", "17 мая 2025": "2025-05-17", "2025年6月10日": "2025-06-10", "Sonntag, 2. März 2025": "2025-03-02",
		"02/03/2026": "0000-00-00", "Tuesday": "0000-00-00", "": "0000-00-00", "31/02/2026": "0000-00-00",
	} {
		if got := readDay(text).String(); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	s := jartest.Series{Place: note.Place{File: "tests/2025/alum 2026-03-02 b.xlsx"}}
	if d := dayOf(s); d.String() != "2026-03-02" || !d.Named {
		t.Errorf("%+v", d)
	}
	s.Meta = []jartest.Fact{{Name: "date", Value: "02/03/2026"}}
	if d := dayOf(s); d.String() != "02/03/2026" || d.Named {
		t.Errorf("%+v", d)
	}
	late, early := past(1, muddy(10), 8, 0.1), past(0, muddy(20), 9, 0.1)
	none := past(2, muddy(30), 10, 0.1)
	none.Day, early.Day.Named = Day{Text: "02/03/2026"}, true
	h := Gather([]Test{none, late, early}, product.Default())
	if h.Tests[0].print != "0" || h.Tests[2].print != "2" || !slices.Equal(codes(h.Notes), []string{"day-unclear", "day-from-name"}) {
		t.Errorf("%v", h.Notes)
	}
}

// A test's own uncertainty by its interval: of 90 %, so 1.645 standard errors to each side, on the logarithm.
func TestRelative(t *testing.T) {
	for _, c := range []struct {
		e    curve.Interval
		want float64
	}{
		{curve.Interval{Value: 10, Low: 8, High: 12.5, HasLow: true, HasHigh: true}, math.Log(12.5/8) / 3.2897},
		{curve.Interval{Value: 10, Low: 8, HasLow: true}, math.Log(1.25) / 1.64485},
		{curve.Interval{Value: 10, High: 15, HasHigh: true}, math.Log(1.5) / 1.64485},
		{curve.Interval{Value: 10}, 0.4},
		{curve.Interval{Value: 10, Low: 10, High: 10, HasLow: true, HasHigh: true}, 0.4},
	} {
		if got := (Test{Effective: c.e}).relative(); !agree(got, c.want, 4) {
			t.Errorf("%+v: %v, want %v", c.e, got, c.want)
		}
	}
}
