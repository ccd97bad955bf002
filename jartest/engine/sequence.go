package engine

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Sizes of the samples. They are part of the answer (same input, same bytes), so
// a change shows in the last digits of every interval.
const (
	priorDraws = 96  // first look at a model, from its prior
	modeDraws  = 128 // around the model's optimum
	lastDraws  = 176 // from mean and covariance of the draws so far
	allDraws   = priorDraws + modeDraws + lastDraws
	CloudSize  = 960 // equally likely curves that everything is read off
	seqDims    = MaxParams + 3
)

// Engine holds the fixed numbers that every analysis uses, made once.
type Engine struct {
	// normal is a low-discrepancy sequence of standard normal vectors.
	normal [allDraws][seqDims]float64
	// Rough are independent normals for the nonparametric curves.
	Rough []float64
}

// New fills the sequence: the additive recurrence on the powers of the
// generalised golden ratio (M. Roberts 2018, from memory), through the normal quantile.
func New() *Engine {
	e := &Engine{}
	phi := 2.0
	for range 60 {
		phi = math.Pow(1+phi, 1.0/(seqDims+1))
	}
	for k := 0; k < seqDims; k++ {
		alpha := math.Pow(1/phi, float64(k+1))
		for i := range e.normal {
			_, x := math.Modf(0.5 + alpha*float64(i+1))
			e.normal[i][k] = distuv.UnitNormal.Quantile(math.Min(math.Max(x, 1e-9), 1-1e-9))
		}
	}
	r := rand.New(rand.NewPCG(20, 26))
	e.Rough = make([]float64, 1<<15)
	for i := range e.Rough {
		e.Rough[i] = r.NormFloat64()
	}
	return e
}

// chiSquared turns a standard normal into a chi-squared with nu degrees of freedom
// (Wilson and Hilferty 1931, from memory): within 1 % of each quantile used here.
func chiSquared(nu, z float64) float64 {
	c := 2 / (9 * nu)
	root := max(1-c+z*math.Sqrt(c), 0.05)
	return nu * (root * (root * root))
}
