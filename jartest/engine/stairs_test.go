package engine

import (
	"math"
	"testing"
)

// jumps are jars that stand on two levels, 3.4 and 0.7 on the logarithm, but one.
func jumps(odd float64) *Observations {
	o := &Observations{Scatter: UsualScatter, Limit: make([]int8, 6)}
	for i, y := range []float64{3.4, 3.42, 3.38, 0.7, 0.72, 0.7 + odd} {
		o.U, o.Y, o.W = append(o.U, float64(i)/5), append(o.Y, y), append(o.W, 1)
	}
	return o
}

// TestStairsExplain: a jar on a level of several doses is explained by it, one that
// stands alone is not, however well its own level fits it.
func TestStairsExplain(t *testing.T) {
	for _, c := range []struct{ odd, shown float64 }{{0, 6}, {2.3, 5}} {
		o := jumps(c.odd)
		s := o.stairs()
		s.Share = 1
		shown := 0.0
		for i := range o.U {
			if s.Explain(o, i) {
				shown++
			}
		}
		if shown != c.shown {
			t.Errorf("last jar off by %g: %g of 6 jars explained, want %g", c.odd, shown, c.shown)
		}
	}
}

// TestStairsWithout: the density that the other jars gave to one, summed over all that it
// might have read, is what the family counts beforehand with that jar over what it counts
// without, since every number of steps counts one and a jar more makes room for a step
// more. The five jars stand on two levels, so that the step lies in one of four gaps: 1/4
// of one step, down (85 in 100). With the sixth jar that gap is 1/5 of the range, and a second
// step may lie before the sixth: 2 x 1/5 x 1/5, down (85) or up (half of 15).
// (0.2 x 85 + 0.08 x 92.5)/(0.25 x 85) = 1.148.
func TestStairsWithout(t *testing.T) {
	sum := 0.0
	const step = 0.01
	for odd := -8 + step/2; odd < 8; odd += step {
		o := jumps(odd)
		s := o.stairs()
		rest, more := s.Without(o, 5)
		if len(rest.U) != 5 {
			t.Fatalf("%d doses without one of six", len(rest.U))
		}
		sum += step / more
	}
	if math.Abs(sum-1.148) > 0.02 {
		t.Errorf("the density of the sixth jar's reading sums to %.3f", sum)
	}
	o := jumps(0)
	o.Limit[5] = -1
	s := o.stairs()
	if _, more := s.Without(o, 5); more != 1 {
		t.Errorf("a reading below its limit changes the weight by %g", more)
	}
}

// TestStairsLeftOut: between two factors and on the additive scale there are no stairs.
func TestStairsLeftOut(t *testing.T) {
	pair, additive := jumps(0), jumps(0)
	pair.V, additive.Additive = make([]float64, 6), true
	for _, o := range []*Observations{pair, additive} {
		if s := o.stairs(); !math.IsInf(s.evidence, -1) || len(s.ways) > 0 {
			t.Errorf("%d ways", len(s.ways))
		}
	}
}
