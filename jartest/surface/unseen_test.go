package surface

import (
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/quantity"
)

// TestUnseenFall: a pair between two jars, one far above the target and one below, where nothing else of
// the fall was seen, carries a caution with both jars and what to test between them.
func TestUnseenFall(t *testing.T) {
	grid := func(read ...float64) jartest.Series {
		var rows [][3]float64
		for i, v := range read {
			for _, p := range []float64{0, 0.5, 1} {
				rows = append(rows, [3]float64{60 * float64(i) / float64(len(read)-1), p, v * (1 - 0.03*p)})
			}
		}
		return jars(rows...)
	}
	for _, c := range []struct {
		name string
		read []float64
		ask  string
		said bool
	}{
		{"from 100 to 8.2 at once", []float64{100, 8.2, 4.8}, "turbidity <= 20 NTU", true},
		{"by and by", []float64{100, 50, 24, 12, 6}, "turbidity <= 18 NTU", false},
		{"four fifths at once, less than fivefold", []float64{30, 8, 6.5}, "turbidity <= 12 NTU", false},
	} {
		r := Analyse(grid(c.read...), target(t, c.ask), Options{})
		said := noteOf(r, "fall-unseen")
		if r.Outcome != curve.Found || !r.HasPlanning || (said != "") != c.said {
			t.Errorf("%s: %s, planned %v, %q", c.name, r.Outcome, r.Planning.Pair, said)
		}
		if c.said && (!strings.Contains(said, "turbidity goes from 100 NTU at 0 mg/L alum with 0 mg/L polymer to 8.20 NTU at 30 mg/L alum with 0 mg/L polymer, through the target") ||
			!strings.Contains(said, "test 7.50 mg/L, 15.0 mg/L and 22.5 mg/L of alum")) {
			t.Errorf("%s: %q", c.name, said)
		}
	}
	// Of the planes a row falls by 3, half of it in each gap. Moved by hand, with the goal between: what holds
	// is a fall of 1.6 and two thirds of the whole, and a pair strictly inside of the gap.
	for _, c := range []struct {
		name            string
		first, mid, top float64 // above the goal
		at              float64 // of 30 mg/L
		said            bool
	}{
		{"all in the first gap", 1, -1, -1, 10, true}, {"at the jar that passes", 1, -1, -1, 15, false}, {"past it", 1, -1, -1, 20, false}, {"at the jar that fails", 1, -1, -1, 0, false},
		{"fall of 1.65", 1, -0.65, -0.65, 10, true}, {"fall of 1.55", 1, -0.55, -0.55, 10, false},
		{"seven tenths of it", 1, -1.1, -2, 10, true}, {"three fifths of it", 1, -0.8, -2, 10, false},
		{"both pass", -1, -3, -3, 10, false}, {"both fail", 3, 1, 1, 10, false}, {"just met", 2, 0, 0, 10, true}, {"just not", 0, -2, -2, 10, false}, {"in the second gap", 1, 1, -1, 20, true},
		{"a rise later", 1, -1, 1.95, 10, true}, {"a rise that is half of it", 1, -1, 2.1, 10, false},
	} {
		r := planes(t, "turbidity <= 8 NTU", Options{})
		r.decide()
		b := &r.responses[0]
		r.HasPlanning, r.Planning.Pair = true, Pair{First: quantity.Concentration(c.at), Second: 0.1}
		for i := range b.Obs.Y {
			at := b.Obs.At(i)
			if at.Y == 0 {
				b.Obs.Y[i] = b.goal + map[float64]float64{0: c.first, 0.5: c.mid, 1: c.top}[at.X]
			}
		}
		if _, got := r.unseenFall(b); got != c.said {
			t.Errorf("%s: %v", c.name, got)
		}
		r.HasPlanning = false
		if _, got := r.unseenFall(b); got {
			t.Errorf("%s: told without a plan", c.name)
		}
	}
	b := planes(t, "turbidity <= 8 NTU", Options{}).responses[0]
	b.Obs.U, b.Obs.V, b.Obs.W, b.Obs.Limit, b.Obs.Y = append(b.Obs.U, 0.5), append(b.Obs.V, 0), append(b.Obs.W, 1), append(b.Obs.Limit, 0), append(b.Obs.Y, b.Obs.Y[3]+0.4)
	row := b.row(0)
	if len(row) != 3 || row[1].x != 0.5 || math.Abs(row[1].y-(4-1.5+0.2)) > 1e-9 || row[2].x != 1 {
		t.Errorf("the row %v", row)
	}
}
