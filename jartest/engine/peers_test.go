package engine

import (
	"math"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"jarwright/jartest/engine/lsq"
)

// BenchmarkOneFit is one log-logistic fit of six jars from one start, the work
// that general libraries are compared on.
func BenchmarkOneFit(b *testing.B) {
	o := benchObservations()
	m := logLogistic()
	pr := o.Penalised(&m, 1, 0)
	start := []float64{3.5, 0, 0, 0}
	for b.Loop() {
		if f := lsq.Levenberg(pr, start, lsq.Settings{}); f.Status != lsq.Converged {
			b.Fatal(f.Status)
		}
	}
}

// benchObservations are six jars of an invented beck water.
func benchObservations() *Observations {
	o := &Observations{Limit: make([]int8, 6)}
	for i, ntu := range [...]float64{27.1, 13.9, 5.2, 2.6, 1.9, 1.5} {
		o.U, o.Y, o.W = append(o.U, float64(i+1)/6), append(o.Y, math.Log(ntu)), append(o.W, 1)
	}
	return o
}

// BenchmarkPeers times one log-logistic fit of six jars here, and the same model,
// data and start in the general libraries that are installed: curve_fit of scipy
// and nls of R, each with its own default settings. They take their derivatives
// numerically; ours are analytic, which is part of the difference.
func BenchmarkPeers(b *testing.B) {
	o, m := benchObservations(), logLogistic()
	pr := o.Penalised(&m, 1, 0)
	start := []float64{3.5, 0, 0, 0}
	want := lsq.Levenberg(pr, start, lsq.Settings{}).RSS
	b.Run("jarwright", func(b *testing.B) {
		for b.Loop() {
			lsq.Levenberg(pr, start, lsq.Settings{})
		}
	})
	for _, p := range [...]struct{ name, program, script string }{
		{"scipy", "/usr/bin/python3", "testdata/peers.py"},
		{"R", "Rscript", "testdata/peers.R"},
	} {
		b.Run(p.name, func(b *testing.B) {
			program, err := exec.LookPath(p.program)
			if err != nil {
				b.Skip(p.program + " is not installed")
			}
			out, err := exec.Command(program, p.script).Output()
			if err != nil {
				b.Skipf("%s: %v", p.script, err)
			}
			f := strings.Fields(string(out))
			if len(f) != 2 {
				b.Fatalf("%s printed %q", p.script, out)
			}
			us, err := strconv.ParseFloat(f[0], 64)
			if err != nil {
				b.Fatal(err)
			}
			rss, err := strconv.ParseFloat(f[1], 64)
			if err != nil || math.Abs(rss-want) > 1e-5*want {
				b.Errorf("sum of squares %s, ours %g", f[1], want)
			}
			b.ReportMetric(us*1000, "ns/op")
		})
	}
}
