package engine

import "math"

// Valley gives the weighted least-squares fit that falls, then may rise, and the
// index of its lowest value.
func Valley(y, w []float64) ([]float64, int) {
	out := make([]float64, len(y))
	var v valleyFitter
	turn := v.fit(y, w, out)
	return out, turn
}

func weight(w []float64, i int) float64 {
	if w == nil {
		return 1
	}
	return w[i]
}

// pooler is the stack of pooled blocks of a rising fit.
type pooler struct {
	mean, weight []float64
	size         []int
}

func (p *pooler) reset(n int) {
	if cap(p.mean) < n {
		p.mean, p.weight, p.size = make([]float64, 0, n), make([]float64, 0, n), make([]int, 0, n)
	}
	p.mean, p.weight, p.size = p.mean[:0], p.weight[:0], p.size[:0]
}

func (p *pooler) push(v, w float64) {
	size := 1
	for k := len(p.mean) - 1; k >= 0 && p.mean[k] >= v; k-- {
		v = (v*w + p.mean[k]*p.weight[k]) / (w + p.weight[k])
		w += p.weight[k]
		size += p.size[k]
		p.mean, p.weight, p.size = p.mean[:k], p.weight[:k], p.size[:k]
	}
	p.mean, p.weight, p.size = append(p.mean, v), append(p.weight, w), append(p.size, size)
}

func (p *pooler) expand(out []float64) {
	i := 0
	for k, m := range p.mean {
		for range p.size[k] {
			out[i] = m
			i++
		}
	}
}

// valleyFitter tries every turning point; with the dozen doses of a jar test that
// is a matter of microseconds.
type valleyFitter struct {
	p    pooler
	left []float64
	try  []float64
}

func (v *valleyFitter) fit(y, w, out []float64) int {
	n := len(y)
	if len(v.try) != n {
		v.left, v.try = make([]float64, n), make([]float64, n)
	}
	best, turn := math.Inf(1), 0
	for t := n - 1; t >= 0; t-- {
		v.p.reset(n)
		for i := 0; i <= t; i++ {
			v.p.push(-y[i], weight(w, i))
		}
		v.p.expand(v.try[:t+1])
		for i := 0; i <= t; i++ {
			v.try[i] = -v.try[i]
		}
		v.p.reset(n)
		for i := t + 1; i < n; i++ {
			v.p.push(y[i], weight(w, i))
		}
		v.p.expand(v.try[t+1:])
		sse := 0.0
		for i := range y {
			d := y[i] - v.try[i]
			sse += weight(w, i) * d * d
		}
		if sse < best-1e-15 {
			best, turn = sse, t
			copy(out, v.try)
		}
	}
	// The lowest value: the turning point or its right neighbour.
	for i := range out {
		if out[i] < out[turn] {
			turn = i
		}
	}
	return turn
}
