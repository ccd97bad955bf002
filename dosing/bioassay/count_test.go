package bioassay

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// Of none dead among n: 1 − 0.05^(1/n). The others by scipy 1.10.1, stats.beta.ppf(0.95, k + 1, n − k) and
// ppf(0.05, k, n − k + 1), run by hand.
func TestBoundsOfAShare(t *testing.T) {
	for _, c := range []struct {
		count       Count
		least, most float64
	}{
		{Count{0, 10}, 0, 1 - math.Pow(0.05, 1.0/10)}, // 25.9 %
		{Count{0, 20}, 0, 1 - math.Pow(0.05, 1.0/20)}, // 13.9 %
		{Count{0, 59}, 0, 1 - math.Pow(0.05, 1.0/59)}, // 5.0 %
		{Count{1, 10}, 0.005116197, 0.3941633},
		{Count{4, 10}, 0.1500282, 0.6964628},
		{Count{3, 20}, 0.04216941, 0.3436638},
		{Count{9, 10}, 0.6058367, 0.9948838},
		{Count{10, 10}, math.Pow(0.05, 1.0/10), 1},
	} {
		near(t, "most", float64(c.count.AtMost(Sure)), c.most, 1e-6)
		near(t, "least", float64(c.count.AtLeast(Sure)), c.least, 1e-6)
		// The bound is the share at which so few deaths have a chance of 5 %.
		if p := float64(c.count.AtMost(Sure)); p < 1 {
			chance := 0.0
			for k := range c.count.Dead + 1 {
				chance += math.Exp(choose(c.count.Of, k)) * math.Pow(p, float64(k)) * math.Pow(1-p, float64(c.count.Of-k))
			}
			near(t, "chance", chance, 0.05, 1e-6)
		}
	}
}

// So many animals, all of which live: the smallest n with (1 − p)^n ≤ 0.05.
func TestNeeded(t *testing.T) {
	for share, want := range map[float64]int{0.5: 5, 0.25: 11, 0.2: 14, 0.1: 29, 0.05: 59, 0.01: 299, 0: 0, 1: 0} {
		if got := Needed(quantity.Fraction(share)); got != want {
			t.Errorf("%v: %d, want %d", share, got, want)
		}
		if n := Needed(quantity.Fraction(share)); n > 0 && (math.Pow(1-share, float64(n)) > 0.05 || math.Pow(1-share, float64(n-1)) <= 0.05) {
			t.Errorf("%v: %d is not the least", share, n)
		}
	}
}

// By scipy 1.10.1, stats.fisher_exact, "greater" and "two-sided", run by hand. The first by hand: C(10,4)/C(20,4) = 210/4845; Fisher's
// tea (The Design of Experiments, 1935, chapter II): 3 of 4 told rightly, (16 + 1)/70.
func TestCompare(t *testing.T) {
	for _, c := range []struct {
		a, b         Count
		more, either float64
	}{
		{Count{0, 10}, Count{4, 10}, 210.0 / 4845, 420.0 / 4845},
		{Count{1, 4}, Count{3, 4}, 17.0 / 70, 34.0 / 70},
		{Count{0, 10}, Count{5, 10}, 0.016253870, 0.032507740},
		{Count{1, 10}, Count{9, 10}, 0.00054666696, 0.0010933339},
		{Count{1, 20}, Count{4, 10}, 0.031240790, 0.031240790},
		{Count{3, 15}, Count{2, 15}, 0.83524904, 1},
		{Count{0, 10}, Count{0, 10}, 1, 1},
		{Count{2, 20}, Count{14, 25}, 0.0014139914, 0.0017083135},
	} {
		got := Compare(c.a, c.b)
		near(t, "more", float64(got.More), c.more, 1e-6)
		near(t, "either", float64(got.Either), c.either, 1e-6)
	}
}
