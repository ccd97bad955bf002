package lsq

import "math"

// A value known only to lie beyond a limit enters a least-squares fit with the
// residual whose square is twice the negative log likelihood: the sum of squares
// then has the maximum-likelihood fit as its minimum, for a given scatter.

// CensoredResidual gives sqrt(-2 ln Phi(t)), where t is (limit - fitted)/scatter
// for a value below its limit, (fitted - limit)/scatter for one above.
func CensoredResidual(t float64) float64 {
	return math.Sqrt(-2 * logPhi(t))
}

// CensoredSlope is the derivative of CensoredResidual.
func CensoredSlope(t float64) float64 {
	r := CensoredResidual(t)
	if r < 1e-150 {
		return 0
	}
	logDensity := -0.5*t*t - 0.5*math.Log(2*math.Pi)
	return -math.Exp(logDensity-logPhi(t)) / r
}

// logPhi is ln of the standard normal distribution function, good to the far tail.
func logPhi(x float64) float64 {
	switch {
	case x > 5:
		return math.Log1p(-0.5 * math.Erfc(x/math.Sqrt2))
	case x > -30:
		return math.Log(0.5 * math.Erfc(-x/math.Sqrt2))
	default: // asymptotic series of the tail
		y := 1 / (x * x)
		return -0.5*x*x - math.Log(-x) - 0.5*math.Log(2*math.Pi) + math.Log1p(-y*(1-3*y))
	}
}
