package bioassay

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest/quantity"
)

// chances are Fisher's two chances in whole numbers: of the ways to lay the dead among all animals, those with as many in b or more, and those no
// likelier than the table seen, by the hypergeometric distribution (Fisher, The Design of Experiments, 1935).
func chances(a, b Count) (more, either float64) {
	dead, all := int64(a.Dead+b.Dead), int64(a.Of+b.Of)
	ways := func(k int64) *big.Int {
		x := new(big.Int).Binomial(dead, k)
		return x.Mul(x, new(big.Int).Binomial(all-dead, int64(b.Of)-k))
	}
	sumMore, sumEither, seen := new(big.Int), new(big.Int), ways(int64(b.Dead))
	for k := max(0, dead-int64(a.Of)); k <= min(dead, int64(b.Of)); k++ {
		w := ways(k)
		if k >= int64(b.Dead) {
			sumMore.Add(sumMore, w)
		}
		if w.Cmp(seen) <= 0 {
			sumEither.Add(sumEither, w)
		}
	}
	of := func(x *big.Int) float64 {
		f, _ := new(big.Rat).SetFrac(x, new(big.Int).Binomial(all, int64(b.Of))).Float64()
		return f
	}
	return of(sumMore), of(sumEither)
}

// TestCompareByWholeNumbers holds every table of up to eleven and ten animals, and a few large ones, against a count of the ways.
func TestCompareByWholeNumbers(t *testing.T) {
	hold := func(a, b Count) {
		more, either := chances(a, b)
		got := Compare(a, b)
		if math.Abs(float64(got.More)-more) > 1e-9*more || math.Abs(float64(got.Either)-either) > 1e-9*either {
			t.Fatalf("%v against %v: %v and %v, counted %v and %v", b, a, got.More, got.Either, more, either)
		}
	}
	for _, of := range [][2]int{{10, 10}, {11, 7}, {4, 4}, {1, 10}, {5, 11}} {
		for i := range of[0] + 1 {
			for k := range of[1] + 1 {
				hold(Count{i, of[0]}, Count{k, of[1]})
			}
		}
	}
	for _, c := range [][2]Count{{{3, 120}, {17, 95}}, {{0, 200}, {4, 200}}, {{59, 60}, {44, 59}}} {
		hold(c[0], c[1])
	}
}

// averaged is the dose that half die of by another road than the program's sums: deaths that fall are smoothed by the greatest of the least means of
// neighbours (Barlow et al. 1972, from memory), and the quantiles of the curve between the shares cut off are averaged one by one.
func averaged(groups []Dosed) (lc50, trim float64) {
	n := len(groups)
	share := make([]float64, n)
	for k := range n {
		for i := range k + 1 {
			least := 1.0
			for j := k; j < n; j++ {
				dead, of := 0, 0
				for _, g := range groups[i : j+1] {
					dead, of = dead+g.Dead, of+g.Of
				}
				least = min(least, float64(dead)/float64(of))
			}
			share[k] = max(share[k], least)
		}
	}
	trim = max(share[0], 1-share[n-1])
	const slices = 20000
	sum := 0.0
	for s := range slices {
		p := trim + (1-2*trim)*(float64(s)+0.5)/slices
		k := 0
		for share[k+1] < p {
			k++
		}
		from, to := math.Log(float64(groups[k].Dose)), math.Log(float64(groups[k+1].Dose))
		sum += from + (to-from)*(p-share[k])/(share[k+1]-share[k])
	}
	return math.Exp(sum / slices), trim
}

// TestLC50ByAveraging holds the estimate against that road on any trial.
func TestLC50ByAveraging(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		var groups []Dosed
		dose := 1.0
		for range rapid.IntRange(2, 7).Draw(t, "doses") {
			dose *= rapid.Float64Range(1.2, 4).Draw(t, "step")
			of := rapid.IntRange(3, 30).Draw(t, "of")
			groups = append(groups, Dosed{quantity.Concentration(dose), Count{rapid.IntRange(0, of).Draw(t, "dead"), of}})
		}
		e := LC50(Count{}, groups)
		if e.Outcome != Found {
			return
		}
		found++
		want, trim := averaged(groups)
		if math.Abs(float64(e.LC50)-want) > 1e-3*want || math.Abs(float64(e.Trim)-trim) > 1e-9 {
			t.Fatalf("%v trimmed by %v, averaged %v trimmed by %v", e.LC50, e.Trim, want, trim)
		}
	})
	if found == 0 {
		t.Error("no trial enclosed it")
	}
}

// TestLC50IntervalByDrawing draws the trial of 0, 1, 4, 8, 10 of ten again and again (the bootstrap of Efron 1979): ln LC50 spreads as the interval has it,
// but for the nine animals that the method counts for ten, √0.9.
func TestLC50IntervalByDrawing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	dead, of := []int{0, 1, 4, 8, 10}, 10
	const draws = 4000
	sum, squares := 0.0, 0.0
	for range draws {
		again := make([]int, len(dead))
		for i, d := range dead {
			for range of {
				if rng.IntN(of) < d {
					again[i]++
				}
			}
		}
		x := math.Log(float64(LC50(Count{}, trial(doubling, again, tens(5))).LC50))
		sum, squares = sum+x, squares+x*x
	}
	mean := sum / draws
	spread := math.Sqrt(squares/draws - mean*mean)
	e := LC50(Count{}, trial(doubling, dead, tens(5)))
	says := math.Log(float64(e.High/e.Low)) / (2 * 1.96)
	if math.Abs(mean-math.Log(4.594793)) > 0.01 || math.Abs(spread/says-math.Sqrt(0.9)) > 0.03 {
		t.Errorf("drawn: %v, spread %v, which is %.3f of the interval's", math.Exp(mean), spread, spread/says)
	}
}
