package engine

import (
	"math"
	"sort"
)

// Outlook judges jars before they are run: it takes curves of a set as the truth
// in turn, makes the readings they would give in the new jars, weighs the other
// curves by how well they foretell those readings, and measures the interval of
// the answer that is left (preposterior analysis: Raiffa and Schlaifer 1961, from memory).
type Outlook struct {
	value  func(k, j int) float64 // curve k at node j, on the working scale
	sigma  []float64
	answer []float64 // what each curve answers, such as the logarithm of its lowest effective dose
	order  []int     // curves by that answer
	truth  []int     // curves taken as the truth
	noise  []float64 // fixed standard normals
	now    float64   // width of the answer's interval today
}

// truths is how many curves are tried as the truth.
const truths = 24

// Outlook of a set of curves: their values at the nodes where jars may stand,
// their scatter, and their answers.
func (e *Engine) Outlook(value func(k, j int) float64, sigma, answer []float64) *Outlook {
	x := &Outlook{value: value, sigma: sigma, answer: answer, noise: e.Rough[4096:], order: make([]int, len(answer))}
	for k := range x.order {
		x.order[k] = k
	}
	sort.SliceStable(x.order, func(a, b int) bool { return answer[x.order[a]] < answer[x.order[b]] })
	// Truths at equal steps through the answers, so that both ends are tried.
	for i := range truths {
		x.truth = append(x.truth, x.order[(2*i+1)*len(x.order)/(2*truths)])
	}
	even := make([]float64, len(answer))
	for k := range even {
		even[k] = 1
	}
	x.now = x.width(even)
	return x
}

// width is the weighted 90 % interval of the answer.
func (e *Outlook) width(w []float64) float64 {
	total := 0.0
	for _, v := range w {
		total += v
	}
	if !(total > 0) {
		return 0
	}
	low, high, cum := math.NaN(), math.NaN(), 0.0
	for _, k := range e.order {
		cum += w[k] / total
		if math.IsNaN(low) && cum >= (1-IntervalConfidence)/2 {
			low = e.answer[k]
		}
		if math.IsNaN(high) && cum >= (1+IntervalConfidence)/2 {
			high = e.answer[k]
			break
		}
	}
	return high - low
}

// Left gives the share of the interval's width that jars at some nodes would
// leave on average; a node that stands twice gets two jars.
func (e *Outlook) Left(at []int) float64 {
	if e.now <= 0 || len(at) == 0 {
		return 1
	}
	// Jars at one dose count by their mean.
	count := map[int]float64{}
	var points []int
	for _, j := range at {
		if count[j] == 0 {
			points = append(points, j)
		}
		count[j]++
	}
	w := make([]float64, len(e.answer))
	sum := 0.0
	for i, t := range e.truth {
		best := math.Inf(-1)
		for k := range w {
			if k == t {
				w[k] = math.Inf(-1)
				continue
			}
			l := 0.0
			for p, j := range points {
				n := count[j]
				y := e.value(t, j) + e.sigma[t]/math.Sqrt(n)*e.noise[(i*53+p*7)%4096]
				z := (y - e.value(k, j)) * math.Sqrt(n) / e.sigma[k]
				l -= math.Log(e.sigma[k]) + 0.5*z*z
			}
			w[k] = l
			best = math.Max(best, l)
		}
		for k := range w {
			w[k] = exp(w[k] - best)
		}
		sum += e.width(w)
	}
	return math.Min(sum/float64(len(e.truth))/e.now, 1)
}

// Greedy takes one jar after the other among the candidates where it narrows
// most, at least three different ones for the sake of the shape.
func (e *Outlook) Greedy(jars int, candidates []int) []int {
	var at []int
	for k := range jars {
		different := map[int]bool{}
		for _, j := range at {
			different[j] = true
		}
		best, least := -1, math.Inf(1)
		for _, j := range candidates {
			if different[j] && jars-k <= 3-len(different) {
				continue
			}
			if l := e.Left(append(at[:k:k], j)); l < least-1e-12 {
				best, least = j, l
			}
		}
		if best < 0 {
			break
		}
		at = append(at, best)
	}
	return at
}
