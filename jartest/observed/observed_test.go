package observed

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

func matches(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if got != want && !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.12g, want %.12g ± %g", what, got, want, tol)
	}
}

// row makes a series with one reading a jar, and its design, at doses that count the jars.
func row(k jartest.Key, r ...jartest.Reading) (jartest.Series, Design) {
	var s jartest.Series
	var d Design
	for i, x := range r {
		s.Jars = append(s.Jars, jartest.Jar{Readings: jartest.Readings{{Key: k, Reading: x}}})
		d.At, d.Used, d.Why = append(d.At, engine.Point{X: float64(10 * i)}), append(d.Used, true), append(d.Why, "")
	}
	return s, d
}

func num(v ...float64) (out []jartest.Reading) {
	for _, x := range v {
		out = append(out, jartest.Num(x, ""))
	}
	return out
}

func limit(state jartest.State, v float64) jartest.Reading {
	return jartest.Reading{State: state, Value: v, Limit: true}
}

// TestRemovalAsPublished: the share that a published run left is fitted as the removal that its
// authors print. Ebeling et al. 2003, Aquacultural Engineering 29:23-42 and 2004, North American
// Journal of Aquaculture 66:198-207 (suspended solids, abstracts); a river's turbidity at two
// works (580 and 52 NTU, abstract).
func TestRemovalAsPublished(t *testing.T) {
	s := Scale{kind: residual}
	for _, c := range []struct{ raw, left, removal float64 }{{100, 10, 90.0}, {320, 10, 96.9}, {580, 4.55, 99.2}, {52, 1.5, 97.1}} {
		if got := s.Reading(math.Log(100 * c.left / c.raw)); math.Abs(got-c.removal) > 0.05 {
			t.Errorf("%g to %g: %g %% removed, published %g", c.raw, c.left, got, c.removal)
		}
		if left := s.Left(c.removal) * c.raw / 100; math.Abs(left-c.left) > 0.0005*c.raw {
			t.Errorf("%g %% of %g removed leaves %g, published %g", c.removal, c.raw, left, c.left)
		}
	}
}

// TestScales: which scale a reading is fitted on, and the way there and back.
func TestScales(t *testing.T) {
	for _, c := range []struct {
		k       jartest.Key
		v       []float64
		high    bool
		name    string
		at, one float64 // a reading and its fitted number
	}{
		{jartest.Turbidity, []float64{40, 20, 10, 5}, false, "logarithm of the reading", 10, math.Log(10)},
		{jartest.TurbidityRemoval, []float64{10, 60, 90, 95}, true, "logarithm of what is left (100 % - removal)", 90, math.Log(10)},
		{jartest.PH, []float64{7.5, 7.2, 6.9, 6.6}, true, plainName, 7, 7},
		{jartest.Turbidity, []float64{40, 20, 10, 5}, true, plainName, 10, 10},
		{jartest.Turbidity, []float64{40, 20, 10, -1}, false, plainName, 10, 10},
		{jartest.ResidualAl, []float64{0.02, 0.05, 0.1, 0.2}, false, plainName, 0.1, 0.1}, // only climbs
		{jartest.ResidualAl, []float64{0.2, 0.05, 0.1, 0.2}, false, "logarithm of the reading", 0.1, math.Log(0.1)},
		{jartest.ResidualAl, []float64{0.02, 0.05, 0.1}, false, "logarithm of the reading", 0.1, math.Log(0.1)}, // too few to tell
		{jartest.Turbidity, []float64{5, 8, 16, 46}, false, "logarithm of the reading", 5, math.Log(5)},         // the chemical failed
		{jartest.SettledVolume, []float64{5, 8, 16, 46}, false, plainName, 5, 5},
		{"turbidity_5_min", []float64{5, 8, 16, 46}, false, "logarithm of the reading", 5, math.Log(5)},
		{jartest.Turbidity, []float64{5, 5, 5, 5}, false, "logarithm of the reading", 5, math.Log(5)},
	} {
		s, d := row(c.k, num(c.v...)...)
		r := Of(s, c.k, d, c.high, nil)
		if r.Name != c.name {
			t.Errorf("%s %v: %s, want %s", c.k, c.v, r.Name, c.name)
		}
		matches(t, c.name, r.Scale.Work(c.at), c.one, 1e-12)
		matches(t, c.name+", back", r.Scale.Reading(c.one), c.at, 1e-9)
		if r.Obs.Additive != (c.name == plainName) || r.Obs.V != nil || r.Scale.Log() == r.Obs.Additive {
			t.Errorf("%s %v: additive %v", c.k, c.v, r.Obs.Additive)
		}
		if removal := c.k == jartest.TurbidityRemoval; r.Scale.Removal() != removal || r.Scale.Flips() != removal {
			t.Errorf("%s: removal %v, flips %v", c.k, r.Scale.Removal(), r.Scale.Flips())
		}
		for i, j := range r.Jar {
			matches(t, "observation", r.Scale.Reading(r.Obs.Y[i]), c.v[j], 1e-9)
			matches(t, "dose", r.Obs.U[i], float64(10*j), 0)
		}
	}
	for _, v := range []float64{0, -1} {
		s, _ := scaleOf(jartest.Turbidity, false)
		if !math.IsNaN(s.Work(v)) {
			t.Errorf("the logarithm of %g is %g", v, s.Work(v))
		}
	}
}

// TestPairScale: of two factors a reading fitted as it is runs over one unit, low is
// good, and limits turn with it.
func TestPairScale(t *testing.T) {
	for _, c := range []struct {
		high  bool
		want  []float64 // of pH 6, 7, 8 and more than 8
		last  int8
		flips bool
	}{{false, []float64{-0.5, 0, 0.5, 0.5}, 1, false}, {true, []float64{0.5, 0, -0.5, -0.5}, -1, true}} {
		s, d := row(jartest.PH, append(num(6, 7, 8), limit(jartest.Above, 8))...)
		d.Pair = true
		for i := range d.At {
			d.At[i].Y = float64(i) / 7
		}
		r := Of(s, jartest.PH, d, c.high, nil)
		if r.Scale.Flips() != c.flips || r.Obs.Additive || r.Obs.Limit[3] != c.last {
			t.Errorf("at least %v: flips %v, additive %v, limits %v", c.high, r.Scale.Flips(), r.Obs.Additive, r.Obs.Limit)
		}
		for i, w := range c.want {
			matches(t, "fitted", r.Obs.Y[i], w, 1e-12)
			matches(t, "second factor", r.Obs.V[i], float64(i)/7, 0)
		}
		matches(t, "width", r.Scale.Width(), 2, 0)
		matches(t, "a pH scatters by 0.05, of a range of 2", r.Obs.Scatter.SD, 0.025, 1e-12)
		matches(t, "worth", r.Obs.Scatter.Worth, 2, 0)
	}
	// All alike: the width is not zero.
	s, d := row(jartest.PH, num(7, 7, 7)...)
	d.Pair = true
	if r := Of(s, jartest.PH, d, false, nil); !(r.Scale.Width() > 0) || r.Obs.Y[0] != 0 {
		t.Errorf("width %g, fitted %v", r.Scale.Width(), r.Obs.Y)
	}
	// Against pH a residual may climb and fall.
	s, d = row(jartest.ResidualAl, num(0.02, 0.05, 0.1, 0.2)...)
	d.PH = true
	if r := Of(s, jartest.ResidualAl, d, false, nil); !r.Scale.Log() {
		t.Error("a residual that climbs with pH is not fitted by its logarithm")
	}
	// One factor alone makes a residual that climbs one to be fitted as it is; two do not.
	s, d = row(jartest.ResidualAl, num(0.02, 0.05, 0.1, 0.2)...)
	d.Pair = true
	if r := Of(s, jartest.ResidualAl, d, false, nil); !r.Scale.Log() {
		t.Error("a residual that climbs with the first of two factors is not fitted by its logarithm")
	}
}

// TestOrder: jars come by rising dose, then second factor, then reading, whatever the
// order of the sheet, each with its place there.
func TestOrder(t *testing.T) {
	at := []engine.Point{{X: 20, Y: 1}, {X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 0}, {X: 10, Y: 3}}
	s, d := row(jartest.Turbidity, num(4, 30, 6, 5, 12)...)
	d.At, d.Pair = at, true
	r := Of(s, jartest.Turbidity, d, false, nil)
	if want := []int{1, 4, 3, 2, 0}; !slices.Equal(r.Jar, want) {
		t.Errorf("jars %v, want %v", r.Jar, want)
	}
	for i, j := range r.Jar {
		if r.Obs.At(i) != at[j] {
			t.Errorf("observation %d stands at %v, jar %d at %v", i, r.Obs.At(i), j, at[j])
		}
	}
}

// TestUse: which jars are used, which are not and why, and what limits become.
func TestUse(t *testing.T) {
	s, d := row(jartest.Turbidity, jartest.Num(30, "NTU"), jartest.Reading{State: jartest.Missing}, jartest.Reading{State: jartest.Above, Value: 100},
		limit(jartest.Above, 100), limit(jartest.Below, 0.3), jartest.Num(0, "NTU"), jartest.Num(8.25, "NTU"), jartest.Num(7, "NTU"))
	s.Jars[7].Readings = s.Jars[7].Readings.Without(jartest.Turbidity)
	d.Used[6], d.Why[6] = false, "dose not known"
	r := Of(s, jartest.Turbidity, d, false, nil)
	if want := []int{0, 3, 4, 5}; !slices.Equal(r.Jar, want) {
		t.Fatalf("jars %v, want %v", r.Jar, want)
	}
	if want := []int8{0, 1, -1, -1}; !slices.Equal(r.Obs.Limit, want) {
		t.Errorf("limits %v, want %v", r.Obs.Limit, want)
	}
	// The finest digits written are of 8.25: a step of 0.01, which is what a zero is less than.
	matches(t, "a reading of zero", math.Exp(r.Obs.Y[3]), 0.01, 1e-12)
	for i, why := range []string{"", "no reading", "beyond the meter's range, limit not given", "", "", "reads nothing: taken as less than 0.0100", "dose not known", "no reading"} {
		if r.Uses[i].Why != why || r.Uses[i].Used != slices.Contains(r.Jar, i) {
			t.Errorf("jar %d: %+v, want %q", i, r.Uses[i], why)
		}
	}
	// A step above the smallest reading is no step; nothing but zeros go by the step.
	s, d = row(jartest.Turbidity, jartest.Reading{State: jartest.Number, Value: 0.4, Text: "2"}, jartest.Num(0, "NTU"))
	matches(t, "least", math.Exp(Of(s, jartest.Turbidity, d, false, nil).Obs.Y[1]), 0.4, 1e-12)
	s, d = row(jartest.Turbidity, num(0, 0)...)
	if r = Of(s, jartest.Turbidity, d, false, nil); !slices.Equal(r.Obs.Y, []float64{0, 0}) || !slices.Equal(r.Obs.Limit, []int8{-1, -1}) {
		t.Errorf("two zeros of a meter that shows whole numbers: %v, %v", r.Obs.Y, r.Obs.Limit)
	}
	// A removal of everything leaves less than the step; "more than 99 %" leaves less than 1.
	s, d = row(jartest.TurbidityRemoval, jartest.Num(55.5, "%"), limit(jartest.Above, 99), jartest.Num(100, "%"), limit(jartest.Below, 20))
	r = Of(s, jartest.TurbidityRemoval, d, true, nil)
	for i, want := range []float64{44.5, 1, 0.1, 80} {
		matches(t, "left", math.Exp(r.Obs.Y[i]), want, 1e-9)
	}
	if want := []int8{0, -1, -1, 1}; !slices.Equal(r.Obs.Limit, want) {
		t.Errorf("limits of removal %v, want %v", r.Obs.Limit, want)
	}
}

// TestMeanOfRepeats: repeats are averaged, by their logarithms where those are fitted.
func TestMeanOfRepeats(t *testing.T) {
	r := func(v ...float64) jartest.Reading {
		return jartest.Reading{State: jartest.Number, Value: 99, Replicates: num(v...)}
	}
	one := r(4, 9)
	one.Replicates[1].State = jartest.Below
	for _, c := range []struct {
		r    jartest.Reading
		geo  bool
		want float64
	}{{r(4, 9), true, 6}, {r(4, 9), false, 6.5}, {r(4), true, 99}, {r(4, 0), true, 99}, {r(4, 0), false, 2}, {one, true, 99}, {one, false, 99},
		{jartest.Reading{State: jartest.Below, Value: 3, Replicates: num(1, 2)}, false, 3}, {r(1, 10, 100), true, 10}} {
		matches(t, "mean", Mean(c.r, c.geo), c.want, 1e-12)
	}
	s, d := row(jartest.Turbidity, r(4, 9), jartest.Num(3, "NTU"))
	matches(t, "turbidity", Of(s, jartest.Turbidity, d, false, nil).Uses[0].Value, 6, 1e-12)
	s, d = row(jartest.PH, r(6, 8), jartest.Num(7, ""))
	matches(t, "pH", Of(s, jartest.PH, d, false, nil).Uses[0].Value, 7, 1e-12)
}

// TestReadingStep: the finest digits written, of repeats too; a decimal comma counts, an
// exponent does not.
func TestReadingStep(t *testing.T) {
	text := func(v float64, s string) jartest.Reading {
		return jartest.Reading{State: jartest.Number, Value: v, Text: s}
	}
	for _, c := range []struct {
		r    []jartest.Reading
		want float64
	}{
		{[]jartest.Reading{text(12, "12"), text(3.5, "3.5")}, 0.1}, {[]jartest.Reading{text(3.25, " 3,25 ")}, 0.01}, {[]jartest.Reading{text(3, "3.000")}, 1e-3},
		{[]jartest.Reading{text(1200, "1.2e3")}, 1}, {[]jartest.Reading{text(7, "about 7")}, 1}, {[]jartest.Reading{text(7.5, "about 7.5")}, 0.1},
		{[]jartest.Reading{limit(jartest.Below, 0.05)}, 0}, {nil, 0},
		{[]jartest.Reading{{State: jartest.Number, Value: 5, Replicates: []jartest.Reading{text(5, "5"), text(5.125, "5.125")}}}, 1e-3},
		{[]jartest.Reading{text(0, "0.12345678901234")}, 1e-9},
	} {
		s, _ := row(jartest.Turbidity, c.r...)
		matches(t, "step", readingStep(s, jartest.Turbidity), c.want, 1e-15)
	}
	// Worked out free of white water the step is wider too: 4.7 at 10 % is 5.17, its step 0.11; a repeat of 4.75 has 0.011.
	free := func(s string, v float64) jartest.Reading {
		return jartest.Reading{State: jartest.Number, Value: 1.1 * v, Read: quantity.Some(v), Text: s}
	}
	repeated := free("", 4.7)
	repeated.Replicates = []jartest.Reading{free("4.65", 4.65), free("", 4.75)}
	for want, r := range map[float64]jartest.Reading{0.11: free("4.7", 4.7), 1.1: free("", 4), 0.011: repeated} {
		s, _ := row(jartest.Turbidity, r)
		s.Recycle = 0.1
		matches(t, "step free of white water", readingStep(s, jartest.Turbidity), want, 1e-12)
	}
}

// TestScatterExpected: what is expected of each reading, and whose word goes first.
func TestScatterExpected(t *testing.T) {
	own := &Scatter{CV: 0.1, Worth: 9}
	for k, want := range map[jartest.Key]bool{jartest.TOC: true, jartest.DOC: true, jartest.UV254: true, jartest.COD: true, "manganese_mg_l": true, jartest.UV254 + "_30_min": true,
		jartest.Turbidity: false, jartest.Turbidity + "_30_min": false, jartest.Colour: false, jartest.TurbidityRemoval: false} {
		if r := (&Reading{Key: k}); r.Partly() != want {
			t.Errorf("%s: taken in part %v", k, !want)
		}
	}
	for _, c := range []struct {
		k         jartest.Key
		v         []float64
		own       *Scatter
		sd, worth float64
		usual     string
	}{
		{jartest.Turbidity, []float64{40, 10, 5}, nil, 0.08, 2, "published"}, {jartest.TOC, []float64{8, 5, 4}, nil, 0.02, 2, "no source"},
		{jartest.DOC, []float64{8, 5, 4}, nil, 0.02, 2, "no source"}, {jartest.UV254, []float64{0.3, 0.2, 0.1}, nil, 0.02, 2, "own choice"},
		{jartest.PH, []float64{7.5, 7, 6.5}, nil, 0.05, 2, "no source"}, {jartest.Zeta, []float64{-20, -5, 5}, nil, 0.9, 2, "published sheet"},
		{jartest.Colour, []float64{60, 30, 10}, nil, 0.08, 2, "as for turbidity"}, {jartest.TurbidityRemoval, []float64{20, 60, 90}, nil, 0.08, 2, "as for turbidity"},
		{jartest.AlkalinityKey, []float64{100, 80, 60}, nil, 0.05 * 40, 2, "twentieth"}, {jartest.AlkalinityKey, []float64{80, 80, 80}, nil, 1e-9, 2, "twentieth"},
		{jartest.TOC, []float64{8, 5, 4}, own, 0.1, 9, "own repeats"}, {jartest.PH, []float64{7.5, 7, 6.5}, own, 0.05, 2, "no source"},
	} {
		s, d := row(c.k, num(c.v...)...)
		r := Of(s, c.k, d, false, c.own)
		matches(t, string(c.k)+": scatter", r.Obs.Scatter.SD, c.sd, 1e-12)
		matches(t, string(c.k)+": worth", r.Obs.Scatter.Worth, c.worth, 0)
		if !strings.Contains(r.Usual, c.usual) {
			t.Errorf("%s: %q", c.k, r.Usual)
		}
	}
	s, d := row(jartest.PH, num(7.5, 7, 6.5)...)
	r := Of(s, jartest.PH, d, false, nil)
	if got := r.Expected(0.0612); len(got) != 1 || got[0] != "scatter between jars is expected near 0.05 (two meters' digits; common practice, no source; worth 2 jars) and corrected by what these jars show: about 0.061" {
		t.Errorf("%q", got)
	}
	s, d = row(jartest.Zeta, num(-20, -5, 5)...)
	d.Pair = true
	r = Of(s, jartest.Zeta, d, false, nil)
	if got := r.Expected(0.1)[0]; !strings.Contains(got, "near 0.9 mV (") || !strings.HasSuffix(got, "about 2.5 mV") { // of a range of 25
		t.Errorf("%q", got)
	}
	s.Jars[0].Readings.Set(jartest.Turbidity, jartest.Reading{State: jartest.Number, Value: 4, SD: 0.3})
	d = Design{At: d.At, Used: []bool{true, false, false}, Why: make([]string, 3)}
	r = Of(s, jartest.Turbidity, d, false, nil)
	if got := r.Expected(0.0731); len(got) != 2 || !strings.HasSuffix(got[0], "about 7.3 %") || !strings.Contains(got[1], "given in the sheet weigh the jars") {
		t.Errorf("%q", got)
	}
}

// TestRepeatsGivenAsNumbers: the variance of a jar is half of the usual, which lies
// between beakers, and that of its own readings over their number; by hand.
func TestRepeatsGivenAsNumbers(t *testing.T) {
	const usual = 0.08 * 0.08
	weight := func(own, n float64) float64 { return usual / (usual/2 + own/n) }
	for _, pair := range []bool{false, true} {
		r := []jartest.Reading{{State: jartest.Number, Value: 50, SD: 5}, {State: jartest.Number, Value: 20, SD: 2, N: 4}, {State: jartest.Number, Value: 10, N: 3},
			{State: jartest.Number, Value: 8}, {State: jartest.Number, Value: 6, SD: 3, N: 2, Replicates: num(5, 7)}, limit(jartest.Below, 1)}
		r[5].SD = 0.5
		s, d := row(jartest.Turbidity, r...)
		d.Pair = pair
		got := Of(s, jartest.Turbidity, d, false, nil)
		if !got.Repeats {
			t.Error("spreads are given and not told")
		}
		for i, want := range []float64{weight(0.01, 1), weight(0.01, 4), weight(usual/2, 3), 1, 1, 1} {
			// the digits of the meter, a step of 1, coarsen what is read low
			y := math.Exp(got.Obs.Y[i])
			matches(t, "weight", got.Obs.W[i], want*usual/(usual+1/(12*y*y)), 1e-9)
		}
	}
	// Additive readings: in the reading's own unit, whatever the scale.
	for _, pair := range []bool{false, true} {
		s, d := row(jartest.PH, jartest.Reading{State: jartest.Number, Value: 7.5, SD: 0.2, N: 2}, jartest.Num(7, ""), jartest.Num(6.5, ""))
		d.Pair = pair
		got := Of(s, jartest.PH, d, false, nil)
		matches(t, "weight of a pH", got.Obs.W[0], 0.0025/(0.00125+0.04/2), 1e-9)
		matches(t, "weight of another", got.Obs.W[1], 1, 1e-12)
	}
	s, d := row(jartest.Turbidity, jartest.Reading{State: jartest.Number, Value: 50, N: 1}, jartest.Num(7, ""))
	if got := Of(s, jartest.Turbidity, d, false, nil); got.Repeats {
		t.Error("one reading is told as repeats")
	}
	// A spread of a removal is one of what is left: 2 of 20.
	s, d = row(jartest.TurbidityRemoval, jartest.Reading{State: jartest.Number, Value: 80, SD: 2}, jartest.Num(90, "%"))
	matches(t, "weight of a removal", Of(s, jartest.TurbidityRemoval, d, false, nil).Obs.W[0], weight(0.01, 1)*usual/(usual+1/(12*400.0)), 1e-9)
	// Nothing left has no share.
	if r := (&Reading{Scale: Scale{kind: residual}}); r.onScale(2, 100) != 0 {
		t.Error("a spread about nothing left")
	}
}

// TestWeights: the meter's step s adds s²/12 to the variance, as of a uniform error.
func TestWeights(t *testing.T) {
	s, d := row(jartest.Turbidity, num(40, 2, 0.2)...)
	r := Of(s, jartest.Turbidity, d, false, nil)
	for i, v := range []float64{40, 2, 0.2} {
		matches(t, "weight", r.Obs.W[i], 0.0064/(0.0064+0.01/12/(v*v)), 1e-12)
	}
	if r.PureDF != 0 || r.PureSD != 0 {
		t.Errorf("scatter of replicates where there are none: %g, %d", r.PureSD, r.PureDF)
	}
}

// TestPureScatter: the sum of squares about the means of each dose, by hand; limits do
// not count.
func TestPureScatter(t *testing.T) {
	s, d := row(jartest.Turbidity, append(num(math.E, math.Exp(1.2), math.Exp(0.5), math.Exp(0.1), math.Exp(0.3)), limit(jartest.Below, 1), limit(jartest.Below, 1))...)
	d.At = []engine.Point{{X: 0}, {X: 0}, {X: 10}, {X: 20}, {X: 20}, {X: 20}, {X: 10}}
	r := Of(s, jartest.Turbidity, d, false, nil)
	if r.PureDF != 2 {
		t.Errorf("%d degrees of freedom, want 2", r.PureDF)
	}
	matches(t, "scatter", r.PureSD, math.Sqrt((2*0.1*0.1+2*0.1*0.1)/2), 1e-12)
	// At two levels of a second factor they are no replicates.
	d.At[1].Y, d.Pair = 1, true
	if r = Of(s, jartest.Turbidity, d, false, nil); r.PureDF != 1 {
		t.Errorf("%d degrees of freedom of pairs, want 1", r.PureDF)
	}
}

// TestErrorScale: the stated rule picks the scale from replicates, and leaves it
// alone without them.
func TestErrorScale(t *testing.T) {
	z := []float64{-1, 0.6, 0.4, -0.7, 0.7} // sum zero
	level := []float64{40, 22, 12, 7, 4.5, 3.2}
	of := func(power float64, doses int) Reading {
		var v []float64
		var at []engine.Point
		for k, f := range level[:doses] {
			for _, e := range z {
				v, at = append(v, f+0.15*math.Pow(f, power)*math.Pow(2, 1-power)*e), append(at, engine.Point{X: float64(k)})
			}
		}
		s, d := row(jartest.Turbidity, num(v...)...)
		d.At = at
		return Of(s, jartest.Turbidity, d, false, nil)
	}
	for _, c := range []struct {
		power, want float64
		says        string
	}{{1, 1, "logarithm of the reading"}, {0.5, 0.5, "logarithm of the reading, scatter growing as the square root of the reading"}, {0, 0, "logarithm of the reading, scatter the same at every reading"}} {
		r := of(c.power, 6)
		if got, known := r.errorPower(r.places()); !known || got != c.want || r.Name != c.says {
			t.Errorf("scatter growing as reading^%g was taken for %g (%v): %s", c.power, got, known, r.Name)
		}
		// a jar's weight is its precision on the logarithm, level^(2 - 2 power), about the mean of the logarithms
		mean := 0.0
		for _, y := range r.Obs.Y {
			mean += y / float64(len(r.Obs.Y))
		}
		for _, p := range r.places() {
			for _, i := range p.jars {
				matches(t, "weight", r.Obs.W[i], math.Exp(2*(1-c.want)*(p.level-mean)), 1e-3*r.Obs.W[i])
			}
		}
	}
	few := of(0, 3)
	if got, known := few.errorPower(few.places()); known || got != 1 {
		t.Errorf("replicates at three doses chose scale %g", got)
	}
	four := of(0, 4)
	if got, known := four.errorPower(four.places()); !known || got != 0 {
		t.Errorf("replicates at four doses chose scale %g (%v)", got, known)
	}
	s, d := row(jartest.Turbidity, num(level...)...)
	r := Of(s, jartest.Turbidity, d, false, nil)
	if got, known := r.errorPower(r.places()); known || got != 1 {
		t.Errorf("six single jars chose scale %g", got)
	}
	// Duplicates that read the same show the meter's step and not the scatter.
	s, d = row(jartest.Turbidity, num(40, 40, 20, 20, 10, 10, 5, 5)...)
	for i := range d.At {
		d.At[i].X = float64(i / 2)
	}
	r = Of(s, jartest.Turbidity, d, false, nil)
	if _, known := r.errorPower(r.places()); known {
		t.Error("equal duplicates chose a scale")
	}
}

// TestErrorScaleBySlope: of duplicates whose spread goes as the reading to a power, one
// is kept unless the slope lies two standard errors below it; with many the nearest of
// 1, ½ and 0 counts.
func TestErrorScaleBySlope(t *testing.T) {
	of := func(power float64, pairs int, ratio float64) float64 {
		var v []float64
		var at []engine.Point
		for k := range pairs {
			f := 100 * math.Pow(ratio, float64(k))
			for _, e := range []float64{-1, 1} {
				v, at = append(v, f*math.Exp(0.01*math.Pow(f, power-1)*e)), append(at, engine.Point{X: float64(k)})
			}
		}
		s, d := row(jartest.Turbidity, num(v...)...)
		d.At = at
		r := Of(s, jartest.Turbidity, d, false, nil)
		got, known := r.errorPower(r.places())
		if !known {
			t.Errorf("%d pairs chose no scale", pairs)
		}
		return got
	}
	// The squares of k·ln ratio about their middle sum to 770 ln² ratio for 21 pairs, so that
	// two standard errors are 2/√1540/0.23 = 0.22 where the readings fall from 100 to 1.
	for power, want := range map[float64]float64{1.2: 1, 0.76: 1, 0.74: 0.5, 0.5: 0.5, 0.26: 0.5, 0.24: 0, 0: 0, -0.5: 0} {
		if got := of(power, 21, math.Exp(-0.23)); got != want {
			t.Errorf("slope %g: %g, want %g", power, got, want)
		}
	}
	// Four pairs, ratio ½: Sxx = 5 ln² 2 = 2.40, two standard errors are 0.913.
	for power, want := range map[float64]float64{0.1: 1, 0.05: 0} {
		if got := of(power, 4, 0.5); got != want {
			t.Errorf("four pairs, slope %g: %g, want %g", power, got, want)
		}
	}
}

// TestMoreScatterWeighsLess: a jar given with a wider spread never weighs more.
func TestMoreScatterWeighsLess(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 3))
	for range 50 {
		v, sd := 1+99*rng.Float64(), rng.Float64()*5
		at := func(sd float64, n int) float64 {
			s, d := row(jartest.Turbidity, jartest.Reading{State: jartest.Number, Value: v, SD: sd, N: n}, jartest.Reading{State: jartest.Number, Value: 3, SD: 1})
			return Of(s, jartest.Turbidity, d, false, nil).Obs.W[0]
		}
		if !(at(sd*1.5, 1) < at(sd, 1) && at(sd, 1) < at(sd, 2)) {
			t.Errorf("reading %g, spread %g: weights %g, %g wider, %g of two", v, sd, at(sd, 1), at(sd*1.5, 1), at(sd, 2))
		}
	}
}
