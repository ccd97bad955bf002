package curve

import (
	"sync/atomic"
	"testing"

	"jarwright/jartest"
)

// TestAnalyseAll: results stand in the order of the series, and each is told when it is done.
func TestAnalyseAll(t *testing.T) {
	var done atomic.Int64
	var all []jartest.Series
	names := []string{"a", "b", "c", "d", "e"}
	for _, n := range names {
		s := davisAlum()
		s.Name = n
		all = append(all, s)
	}
	for i, r := range AnalyseAll(all, target(t, "turbidity <= 5 NTU"), Options{OnlyTarget: true, Done: func() { done.Add(1) }}) {
		if r.Series != names[i] || r.Outcome != Found {
			t.Errorf("result %d is %s, %s", i, r.Series, r.Outcome)
		}
	}
	if done.Load() != int64(len(all)) {
		t.Errorf("%d of %d told", done.Load(), len(all))
	}
}
