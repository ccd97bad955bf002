package surface

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/jartest"
)

// needs is what the planning pair costs, and the pairs that do with less confidence: nothing
// where the lowest pair does, endless where none does.
func (r *Result) needs() (plan float64, at []float64) {
	for _, conf := range []float64{0.5, 0.7, 0.8, 0.9, 0.95} {
		cost := math.Inf(1)
		if q, ok := r.cheapest(conf, nil, r.cost); ok {
			cost = r.cost(q)
		}
		at = append(at, cost)
	}
	switch {
	case r.HasPlanning:
		return r.Planning.Cost.Amount, at
	case r.HasEstimate:
		return math.Inf(1), at
	}
	return at[3], at
}

// TestMonotoneForPairs: over waters whose truth is known a looser target never needs dearer
// pairs than a tighter one, nor a lower confidence than a higher, but for a thousandth, which
// is how finely the search looks.
func TestMonotoneForPairs(t *testing.T) {
	for i, tr := range truths() {
		for _, design := range []string{"3x3", "3x3 from zero"} {
			b := drawBench(tr, design, 0.10, rand.New(rand.NewPCG(91, uint64(i))))
			last, lastAt := math.Inf(1), []float64(nil)
			for _, looser := range []float64{0.8, 1, 1.2, 1.5} {
				r := decided(b.series(), []jartest.Target{{Key: jartest.Turbidity, Value: looser * b.target, Unit: "NTU"}}, b.options())
				plan, at := r.needs()
				name := fmt.Sprintf("%s, %s, %.1f of the target", design, tr.name, looser)
				if plan > last*1.001 {
					t.Errorf("%s: the planning pair costs %.4f, of a tighter target %.4f", name, plan, last)
				}
				for k := range at {
					if lastAt != nil && at[k] > lastAt[k]*1.001 {
						t.Errorf("%s: %.4f at a confidence for which a tighter target needs %.4f", name, at[k], lastAt[k])
					}
					if k > 0 && at[k-1] > at[k]*1.001 {
						t.Errorf("%s: more confidence costs %.4f, less %.4f", name, at[k], at[k-1])
					}
				}
				last, lastAt = plan, at
			}
		}
	}
}
