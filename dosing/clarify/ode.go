package clarify

import "math"

// system gives the derivative dy of state y at time t (hours).
type system func(t float64, y, dy []float64)

// The embedded Runge–Kutta pair of order 5(4) of Dormand and Prince (1980), as
// in Hairer, Nørsett and Wanner, Solving Ordinary Differential Equations I, table
// II.5.2 (from memory; the tests check its order on known solutions).
var (
	dpC = [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1}
	dpA = [7][6]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	}
	dpE = [7]float64{71. / 57600, 0, -71. / 16695, 71. / 1920, -17253. / 339200, 22. / 525, -1. / 40}
)

// stepper integrates a system with steps that keep the error of each state below
// a tolerance.
type stepper struct {
	f     system
	k     [7][]float64
	tmp   []float64
	rel   float64   // relative tolerance
	scale []float64 // absolute tolerance is rel × scale
	h     float64
}

func newStepper(f system, n int, scale []float64) *stepper {
	s := &stepper{f: f, rel: 1e-10, scale: scale, tmp: make([]float64, n)}
	for i := range s.k {
		s.k[i] = make([]float64, n)
	}
	return s
}

// try makes one step of length h from y into out and gives the scaled error.
func (s *stepper) try(t, h float64, y, out []float64) float64 {
	s.f(t, y, s.k[0])
	for i := 1; i < 7; i++ {
		for j := range y {
			var sum float64
			for m := range i {
				sum += dpA[i][m] * s.k[m][j]
			}
			s.tmp[j] = y[j] + h*sum
		}
		s.f(t+dpC[i]*h, s.tmp, s.k[i])
	}
	copy(out, s.tmp) // the last stage is the fifth-order solution
	var worst float64
	for j := range y {
		var e float64
		for i := range 7 {
			e += dpE[i] * s.k[i][j]
		}
		tol := s.rel * (s.scale[j] + math.Max(math.Abs(y[j]), math.Abs(out[j])))
		worst = math.Max(worst, math.Abs(h*e)/tol)
	}
	return worst
}

// step goes on from (t, y) by at most limit into out and gives how far it went.
func (s *stepper) step(t, limit float64, y, out []float64) float64 {
	h := math.Min(s.h, limit)
	if h <= 0 {
		h = limit
	}
	for {
		e := s.try(t, h, y, out)
		grow := 5.0
		if e > 0 {
			grow = math.Min(5, math.Max(0.2, 0.9*math.Pow(e, -0.2)))
		}
		if e <= 1 || h < 1e-12*math.Max(1, math.Abs(t)) {
			s.h = h * grow
			return h
		}
		h *= grow
	}
}

// cross finds how far from (t, y), within h, a quantity g of the state changes
// sign; it is known to do so between 0 and h. The state there is left in out.
func (s *stepper) cross(t, h float64, y, out []float64, g func(y []float64) float64) float64 {
	lo, hi, sign := float64(0), h, g(y) > 0
	for range 100 {
		mid := (lo + hi) / 2
		if mid <= lo || mid >= hi {
			break
		}
		s.try(t, mid, y, out)
		if (g(out) > 0) == sign {
			lo = mid
		} else {
			hi = mid
		}
	}
	s.try(t, hi, y, out)
	return hi
}
