package curve

import (
	"runtime"
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
	for i, r := range AnalyseAll(all, target(t, "turbidity <= 5 NTU"), Options{OnlyTarget: true, Done: func() bool { done.Add(1); return true }}) {
		if r.Series != names[i] || r.Outcome != Found {
			t.Errorf("result %d is %s, %s", i, r.Series, r.Outcome)
		}
	}
	if done.Load() != int64(len(all)) {
		t.Errorf("%d of %d told", done.Load(), len(all))
	}
}

// TestAnalyseAllEnds begins no further series once it is told not to go on.
func TestAnalyseAllEnds(t *testing.T) {
	all := make([]jartest.Series, 200)
	for i := range all {
		all[i] = davisAlum()
	}
	var begun atomic.Int64
	results := AnalyseAll(all, target(t, "turbidity <= 5 NTU"), Options{OnlyTarget: true, Done: func() bool { begun.Add(1); return false }})
	if n := begun.Load(); n == 0 || n > int64(2*runtime.GOMAXPROCS(0)+1) {
		t.Errorf("%d series were fitted after the end", n)
	}
	if len(results) != len(all) || results[len(all)-1].Outcome == Found {
		t.Error("what was not begun has an answer")
	}
}
