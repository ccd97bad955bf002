package curve

import (
	"fmt"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// BenchmarkAnalyse is the whole analysis of a six-jar series.
func BenchmarkAnalyse(b *testing.B) {
	s, g := davisAlum(), target(b, "turbidity <= 5 NTU")
	e := engine.New()
	for b.Loop() {
		analyse(e, s, g, Options{})
	}
}

// BenchmarkAllReadings is that with a pH beside every turbidity.
func BenchmarkAllReadings(b *testing.B) {
	s, g := davisAlum(), target(b, "turbidity <= 6 NTU")
	for i, ph := range []float64{7.32, 7.25, 7.14, 7.09, 6.97, 6.8} {
		s.Jars[i].Readings.Set(jartest.PH, jartest.Num(ph, ""))
	}
	e := engine.New()
	for b.Loop() {
		analyse(e, s, g, Options{})
	}
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
