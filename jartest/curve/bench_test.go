package curve

import (
	"fmt"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/curve/lsq"
)

// BenchmarkAnalyse is the whole analysis of a six-jar series.
func BenchmarkAnalyse(b *testing.B) {
	s, g := davisAlum(), target(b, "turbidity <= 5 NTU")
	e := newEngine()
	for b.Loop() {
		analyse(e, s, g, Options{})
	}
}

// BenchmarkOneFit is one log-logistic fit of six jars from one start, the work
// that general libraries are compared on.
func BenchmarkOneFit(b *testing.B) {
	o := benchObservations()
	m := logLogistic()
	pr := o.penalised(&m, 1, 0)
	start := []float64{3.5, 0, 0, 0}
	for b.Loop() {
		if f := lsq.Levenberg(pr, start, lsq.Settings{}); f.Status != lsq.Converged {
			b.Fatal(f.Status)
		}
	}
}

// benchObservations are six jars of an invented beck water.
func benchObservations() *observations {
	p := prepare(jarSeries("bench", jartest.Turbidity, []float64{10, 20, 30, 40, 50, 60}, []float64{27.1, 13.9, 5.2, 2.6, 1.9, 1.5}), jartest.Turbidity,
		column{[]float64{10, 20, 30, 40, 50, 60}, []bool{true, true, true, true, true, true}, make([]string, 6)}, false, nil)
	o := p.obs
	for i := range o.u {
		o.u[i], o.w[i] = o.u[i]/60, 1 // plain least squares, as the peers do it
	}
	return &o
}

// BenchmarkManySeries shows that time grows with the number of series alone.
func BenchmarkManySeries(b *testing.B) {
	for _, n := range []int{10, 100, 1000} {
		all := make([]jartest.Series, n)
		for i := range all {
			all[i] = davisAlum()
		}
		g := target(b, "turbidity <= 6 NTU")
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				AnalyseAll(all, g, Options{})
			}
		})
	}
}
