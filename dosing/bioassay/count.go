// Package bioassay reads a trial on a few animals: so many of them in each dose,
// so many dead by each time. It says what the deaths prove and what they do not:
// exact bounds of a share ([Count.AtMost]), whether more died than without the
// dose ([More]), and the dose that half of them die of ([LC50]). Nothing here
// knows of sites; what the trial is about and where its numbers stood is kept
// for those who print it.
package bioassay

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/quantity"
)

// Sure is the confidence of every bound and interval here.
const Sure quantity.Fraction = 0.95

// Count is so many dead of so many animals.
type Count struct{ Dead, Of int }

// Share is the part that died; 0 of none.
func (c Count) Share() quantity.Fraction {
	if c.Of == 0 {
		return 0
	}
	return quantity.Fraction(float64(c.Dead) / float64(c.Of))
}

// Plus pools two counts.
func (c Count) Plus(d Count) Count { return Count{c.Dead + d.Dead, c.Of + d.Of} }

// AtMost is the share that may die of such animals: with that confidence no more of
// them do. It is the exact one-sided bound (Clopper and Pearson, Biometrika 26, 1934); of none
// dead among n it is 1 − (1 − confidence)^(1/n).
func (c Count) AtMost(confidence quantity.Fraction) quantity.Fraction {
	if c.Dead >= c.Of {
		return 1
	}
	return quantity.Fraction(distuv.Beta{Alpha: float64(c.Dead + 1), Beta: float64(c.Of - c.Dead)}.Quantile(float64(confidence)))
}

// AtLeast is the share that dies of such animals with that confidence, or more.
func (c Count) AtLeast(confidence quantity.Fraction) quantity.Fraction {
	return 1 - Count{c.Of - c.Dead, c.Of}.AtMost(confidence)
}

// Needed is how many animals must all live to prove, with the confidence [Sure], that
// fewer than that share die; 0 for a share that no number proves.
func Needed(share quantity.Fraction) int {
	if share <= 0 || share >= 1 {
		return 0
	}
	n := math.Log1p(-float64(Sure)) / math.Log1p(-float64(share))
	return int(math.Ceil(n - 1e-9))
}

// Comparison is Fisher's exact test of two groups.
type Comparison struct {
	// More is the chance of such a difference, or a larger one the same way, if both died alike: that so many more die in
	// the second group than in the first. Either counts differences both ways.
	More, Either quantity.Fraction
}

// Compare tests whether more died in b than in a (Fisher 1935). Of a difference both ways those
// count that are no likelier than the one seen, as general statistics packages have it.
func Compare(a, b Count) Comparison {
	dead, all := a.Dead+b.Dead, a.Of+b.Of
	seen := hyper(b.Dead, b.Of, dead, all)
	const equal = 1 + 1e-7 // chances that differ by rounding alone
	var c Comparison
	for k := max(0, dead-a.Of); k <= min(dead, b.Of); k++ {
		p := hyper(k, b.Of, dead, all)
		if k >= b.Dead {
			c.More += quantity.Fraction(p)
		}
		if p <= seen*equal {
			c.Either += quantity.Fraction(p)
		}
	}
	c.More, c.Either = min(c.More, 1), min(c.Either, 1)
	return c
}

// hyper is the chance that k of the dead are in a group of n, of so many dead among all.
func hyper(k, n, dead, all int) float64 {
	return math.Exp(choose(dead, k) + choose(all-dead, n-k) - choose(all, n))
}

// choose is the logarithm of n over k.
func choose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}
