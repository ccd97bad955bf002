package surface

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestSurerPairs: over waters whose truth is known the pair to plan with is as sure by its own
// surfaces as was asked, says so, and costs no less for being surer, but for a thousandth,
// which is how finely the search looks.
func TestSurerPairs(t *testing.T) {
	planned := 0
	for i, tr := range truths()[:4] {
		b := drawBench(tr, "3x3", 0.10, rand.New(rand.NewPCG(17, uint64(i))))
		last := 0.0
		for _, sure := range []quantity.Fraction{0.5, 0.75, 0.95, 0.99} {
			opt := b.options()
			opt.Sure = sure
			r := decided(b.series(), []jartest.Target{{Key: jartest.Turbidity, Value: 1.3 * b.target, Unit: "NTU"}}, opt)
			if !r.HasPlanning {
				continue
			}
			planned++
			name := fmt.Sprintf("%s at %v", tr.name, sure)
			if got := r.confidence(r.design.point(r.Planning.Pair)); got < float64(sure) {
				t.Errorf("%s: the pair is sure to %.4f", name, got)
			}
			if cost := r.Planning.Cost.Amount; cost < last*0.999 {
				t.Errorf("%s: it costs %.4f, a less sure one %.4f", name, cost, last)
			} else {
				last = cost
			}
			if want := fmt.Sprintf("met with %.0f %% confidence", 100*float64(sure)); !strings.Contains(r.Rule, want) {
				t.Errorf("%s: %q does not say %q", name, r.Rule, want)
			}
		}
	}
	if planned < 8 {
		t.Errorf("only %d pairs were planned", planned)
	}
}
