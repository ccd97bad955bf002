package bioassay

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
)

// near holds a figure to a share of the wanted one.
func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within*max(math.Abs(want), 1e-3) {
		t.Errorf("%s: %.7g, want %.7g", what, got, want)
	}
}

// trial makes groups of doses.
func trial(doses []float64, dead, of []int) (out []Dosed) {
	for i, d := range doses {
		out = append(out, Dosed{quantity.Concentration(d), Count{dead[i], of[i]}})
	}
	return out
}

func tens(n int) (out []int) {
	for range n {
		out = append(out, 10)
	}
	return out
}

var doubling = []float64{1, 2, 4, 8, 16}

// The estimate by another route: the smoothed curve turned round and averaged over two million shares (numpy 1.24, run by hand). Its
// interval without a control by the paper's own terms, one for each group (from memory, n − 1 for n), with a control by central
// differences of that average. The first row is simple enough for paper: ln LC50 = Σ Δp × midpoint, and variance
// Σ p(1 − p)/9 × (ln 2)².
func TestLC50(t *testing.T) {
	for name, c := range map[string]struct {
		control             Count
		groups              []Dosed
		lc50, low, high     float64
		trim                float64
		smoothed, bracketed bool
	}{
		"none to all":        {Count{}, trial(doubling, []int{0, 1, 4, 8, 10}, tens(5)), 4.594793, 3.346551, 6.308622, 0, false, false},
		"trimmed":            {Count{}, trial(doubling, []int{1, 1, 4, 8, 9}, tens(5)), 4.756828, 3.260799, 6.939225, 0.1, false, false},
		"smoothed":           {Count{}, trial(doubling, []int{0, 3, 2, 8, 9}, tens(5)), 4.882094, 3.234849, 7.368147, 0.1, true, false},
		"a step":             {Count{}, trial(doubling, []int{0, 4, 4, 8, 10}, tens(5)), 3.732132, 2.597895, 5.361576, 0, false, false},
		"unequal, top fell":  {Count{}, trial(doubling, []int{0, 1, 4, 8, 10}, []int{10, 12, 8, 10, 20}), 4.563055, 1.567741, 13.281193, 0.4, true, false},
		"six doses":          {Count{}, trial([]float64{0.5, 1, 2, 4, 8, 16}, []int{1, 2, 7, 6, 13, 19}, []int{20, 20, 20, 20, 20, 20}), 4.489849, 3.306777, 6.096191, 0.05, true, false},
		"with control":       {Count{1, 20}, trial(doubling, []int{1, 3, 4, 8, 10}, tens(5)), 4.187753, 2.667383, 6.574713, 1.0 / 19, false, false},
		"control, unequal":   {Count{1, 20}, trial([]float64{1.5, 3, 7, 10}, []int{2, 3, 9, 17}, []int{20, 20, 18, 20}), 6.516521, 5.063656, 8.386241, 3.0 / 19, false, false},
		"two doses":          {Count{0, 10}, trial([]float64{2, 4}, []int{3, 8}, tens(2)), 2.639016, 1.978401, 3.520219, 0.3, false, false},
		"nothing in between": {Count{}, trial([]float64{1, 2, 4, 8}, []int{0, 0, 20, 20}, []int{20, 20, 20, 20}), math.Sqrt(8), 2, 4, 0, false, true},
	} {
		e := LC50(c.control, c.groups)
		if e.Outcome != Found || e.Smoothed != c.smoothed || e.Bracketed != c.bracketed {
			t.Errorf("%s: %s, smoothed %v, bracketed %v", name, e.Outcome, e.Smoothed, e.Bracketed)
		}
		near(t, name, float64(e.LC50), c.lc50, 1e-5)
		near(t, name+", low", float64(e.Low), c.low, 1e-4)
		near(t, name+", high", float64(e.High), c.high, 1e-4)
		near(t, name+", trim", float64(e.Trim), c.trim, 1e-9)
	}
}

// What the doses do not enclose is a bound: ten of ten, four of ten at the top; five animals prove nothing.
func TestBounds(t *testing.T) {
	few := trial(doubling, []int{0, 0, 0, 0, 0}, []int{4, 4, 4, 4, 4})
	for name, c := range map[string]struct {
		groups []Dosed
		want   Outcome
		safe   quantity.Concentration
	}{
		"none dies":       {trial(doubling, []int{0, 0, 0, 0, 0}, tens(5)), Above, 16},
		"some at the top": {trial(doubling, []int{0, 0, 0, 0, 4}, tens(5)), Above, 8}, // 4 of 10: up to 69.6 %
		"half at the top": {trial(doubling, []int{0, 0, 0, 0, 5}, tens(5)), Above, 8},
		"four a dose":     {few, Above, 0},                                                 // 1 − 0.05^(1/4) = 52.7 %
		"all die":         {trial(doubling, []int{10, 10, 10, 10, 10}, tens(5)), Below, 0}, // not even the lowest
		"one dose":        {trial([]float64{1}, []int{0}, tens(1)), TooFew, 1},
	} {
		if e := LC50(Count{}, c.groups); e.Outcome != c.want || e.LC50 != 0 {
			t.Errorf("%s: %s %v", name, e.Outcome, e.LC50)
		}
		if got := Safe(c.groups); got != c.safe {
			t.Errorf("%s: safe %v, want %v", name, got, c.safe)
		}
	}
	// All or nothing with five a dose: no end of 95 % is proven (0.5^5 = 3.1 % > 2.5 %), with six both are (1.6 %).
	for n, want := range map[int]quantity.Concentration{5: 0, 6: 2} {
		e := LC50(Count{}, trial([]float64{1, 2, 4, 8}, []int{0, 0, n, n}, []int{n, n, n, n}))
		if e.Low != want || e.High != 2*want || !e.Bracketed || e.From != 2 || e.To != 4 {
			t.Errorf("%d animals: %v to %v", n, e.Low, e.High)
		}
	}
}

// Where the doses lie and in which order they stand moves nothing: the estimate goes with the doses, groups of
// one dose are one group.
func TestLC50Properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "doses")
		var groups, scaled, split []Dosed
		dose, by := 1.0, rapid.Float64Range(0.01, 100).Draw(t, "by")
		for range n {
			dose *= rapid.Float64Range(1.2, 4).Draw(t, "step")
			of := rapid.IntRange(2, 30).Draw(t, "of")
			dead := rapid.IntRange(0, of).Draw(t, "dead")
			one := rapid.IntRange(0, dead).Draw(t, "one")
			groups = append(groups, Dosed{quantity.Concentration(dose), Count{dead, of}})
			scaled = append([]Dosed{{quantity.Concentration(dose * by), Count{dead, of}}}, scaled...)
			split = append(split, Dosed{quantity.Concentration(dose), Count{one, one + (of-dead)/2}}, Dosed{quantity.Concentration(dose), Count{dead - one, of - one - (of-dead)/2}})
		}
		of := rapid.IntRange(0, 20).Draw(t, "control")
		control := Count{rapid.IntRange(0, of/10).Draw(t, "control dead"), of}
		e, s, p := LC50(control, groups), LC50(control, scaled), LC50(control, split)
		if e.Outcome != s.Outcome || e.Outcome != p.Outcome {
			t.Fatalf("%s, %s scaled, %s split", e.Outcome, s.Outcome, p.Outcome)
		}
		for i := 1; i < len(e.Died); i++ {
			if e.Died[i] < e.Died[i-1] {
				t.Fatalf("deaths fall: %v", e.Died)
			}
		}
		if e.Outcome != Found {
			return
		}
		near := func(a, b quantity.Concentration) bool { return math.Abs(float64(a-b)) <= 1e-6*float64(max(a, b)) }
		if !near(s.LC50, e.LC50*quantity.Concentration(by)) || !near(p.LC50, e.LC50) || !near(p.High, e.High) {
			t.Fatalf("%v, %v scaled by %v, %v split", e.LC50, s.LC50, by, p.LC50)
		}
		if e.LC50 < groups[0].Dose*0.999999 || e.LC50 > groups[n-1].Dose*1.000001 {
			t.Fatalf("%v lies outside the doses", e.LC50)
		}
		if !e.Bracketed && (e.Low > e.LC50 || e.High < e.LC50 || e.Trim >= 0.5) {
			t.Fatalf("%v from %v to %v, trimmed by %v", e.LC50, e.Low, e.High, e.Trim)
		}
	})
}
