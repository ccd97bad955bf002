package surface

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// TestPairsInvariant: the pair does not depend on the order of the rows, on the unit in which doses or
// readings are counted, on the run, or on the number of processors. What a thousandth of a milligram
// costs is a thousandth of what a milligram does.
func TestPairsInvariant(t *testing.T) {
	designs := []string{"3x3", "3x3 from zero", "4x4", "one at a time"}
	for i, design := range designs {
		b := drawBench(truths()[2*i], design, 0.1, rand.New(rand.NewPCG(71, uint64(i))))
		answer := func(b bench, s jartest.Series) [6]float64 {
			r := Analyse(s, []jartest.Target{{Key: jartest.Turbidity, Value: b.target, Unit: "NTU"}}, b.options())
			return [6]float64{float64(r.Estimate.Pair.First), float64(r.Estimate.Pair.Second), float64(r.Planning.Pair.First), float64(r.Planning.Pair.Second), float64(r.Planning.Confidence), float64(r.Saving.Share)}
		}
		want := answer(b, b.series())
		if want[2] == 0 {
			t.Fatalf("%s: no planning pair", design)
		}
		same := func(what string, got [6]float64, dose, loose float64) {
			t.Helper()
			for k, w := range want {
				if k < 4 {
					w *= dose
				}
				if math.Abs(got[k]-w) > loose*math.Max(math.Abs(w), 1e-3) {
					t.Errorf("%s, %s: number %d is %.17g, want %.17g", design, what, k, got[k], w)
					return
				}
			}
		}
		same("again", answer(b, b.series()), 1, 0)
		was := runtime.GOMAXPROCS(1)
		same("on one core", answer(b, b.series()), 1, 0)
		runtime.GOMAXPROCS(2)
		same("on two cores", answer(b, b.series()), 1, 0)
		runtime.GOMAXPROCS(was)

		turned := b.series()
		slices.Reverse(turned.Jars)
		same("rows from the last", answer(b, turned), 1, 1e-9)
		mixed := b.series()
		rand.New(rand.NewPCG(3, 4)).Shuffle(len(mixed.Jars), func(i, j int) { mixed.Jars[i], mixed.Jars[j] = mixed.Jars[j], mixed.Jars[i] })
		same("rows shuffled", answer(b, mixed), 1, 1e-9)

		in := b
		in.prices = [2]float64{b.prices[0] / 1000, b.prices[1] / 1000}
		s := in.series()
		for j := range s.Jars {
			s.Jars[j].Doses = slices.Clone(s.Jars[j].Doses)
			for k := range s.Jars[j].Doses {
				s.Jars[j].Doses[k].Concentration = quantity.Concentration(1000 * float64(s.Jars[j].Doses[k].Concentration))
			}
		}
		same("doses a thousandfold", answer(in, s), 1000, 1e-9)

		in = b
		in.target, in.read = b.target/1000, slices.Clone(b.read)
		for j := range in.read {
			in.read[j] /= 1000
		}
		same("readings a thousandth", answer(in, in.series()), 1, 1e-8)
	}
}
