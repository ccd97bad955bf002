package engine

import (
	"math"
	"slices"
	"testing"
)

// levels are curves that are level, at the mid-quantiles of a normal of the given deviation, but on node 2, where all agree.
func levels(n int, wide, sigma float64) (o *Outlook) {
	a, s := make([]float64, n), make([]float64, n)
	for i := range a {
		a[i] = wide * math.Sqrt2 * math.Erfinv(2*(float64((i*37)%n)+0.5)/float64(n)-1)
		s[i] = sigma
	}
	return New().Outlook(func(k, j int) float64 {
		if j == 2 {
			return 1
		}
		return a[k]
	}, s, a)
}

// TestOutlookOfNormal: n readings of scatter s narrow a normal answer of deviation w to 1/√(1 + n w²/s²) of its width
// (the conjugate normal); where all curves agree a jar tells nothing.
func TestOutlookOfNormal(t *testing.T) {
	o := levels(600, 0.3, 0.2)
	matches(t, "width today", o.now, 2*1.6449*0.3, 0.01)
	for _, n := range []int{1, 2, 4, 8} {
		want := 1 / math.Sqrt(1+float64(n)*0.09/0.04)
		matches(t, "left", o.Left(slices.Repeat([]int{0}, n)), want, 0.05*want+0.01)
		half := slices.Concat(slices.Repeat([]int{0}, n/2), slices.Repeat([]int{1}, n-n/2))
		matches(t, "left by jars at two places", o.Left(half), want, 0.08*want+0.01)
	}
	matches(t, "left where curves agree", o.Left([]int{2, 2}), 1, 0.02)
	matches(t, "left by no jar", o.Left(nil), 1, 0)
	matches(t, "nothing to narrow", levels(600, 0, 0.2).Left([]int{0}), 1, 0)
}

// TestGreedy: jars go where curves differ, at three different places at least.
func TestGreedy(t *testing.T) {
	o := levels(600, 0.3, 0.2)
	got := o.Greedy(5, []int{0, 1, 2, 3})
	count := map[int]int{}
	for _, j := range got {
		count[j]++
	}
	if len(got) != 5 || len(count) < 3 || count[2] > 0 {
		t.Errorf("%v", got)
	}
	if got := o.Greedy(3, []int{0, 1}); len(got) != 2 {
		t.Errorf("three jars at different places of two: %v", got)
	}
}
