package engine

import "math"

// expSteps is the number of steps from a power of two to the next in the table of [exp].
const expSteps = 128

// powers are the powers of two between 1 and 2.
var powers = func() (t [expSteps]float64) {
	for i := range t {
		t[i] = math.Exp2(float64(i) / expSteps)
	}
	return t
}()

// exp is e^x to its last two bits. A fit is made of a hundred thousand of
// them, and this takes less than half the time of [math.Exp]: x is the nearest step of
// the table and a rest below 0.003, of which five terms of the series are enough
// (P. T. P. Tang 1989, ACM Transactions on Mathematical Software 15, 144; from memory).
func exp(x float64) float64 {
	if !(math.Abs(x) < 700) {
		return math.Exp(x)
	}
	const (
		whole  = 0x1.8p52              // added and taken off again it leaves a whole number, in the lowest bits
		stepHi = 0x1.62e42fefap-8      // ln 2 / expSteps in two parts; a whole number of steps times the first
		stepLo = 0x1.cf79abc9e3b39p-47 // is exact
	)
	steps := x*(expSteps/math.Ln2) + whole
	k := math.Float64bits(steps)
	steps -= whole
	r := x - steps*stepHi - steps*stepLo
	r2 := r * r
	rest := r + r2*(1.0/2+r*(1.0/6)) + r2*r2*(1.0/24+r*(1.0/120))
	p := powers[k%expSteps]
	return math.Float64frombits(math.Float64bits(p+p*rest) + k/expSteps<<52)
}

// Exp is that for others who take very many.
func Exp(x float64) float64 { return exp(x) }

// tick is a step of the table of [ln]: one over it and its logarithm.
type tick struct{ inverse, log float64 }

// ticks are 0 to 2 in 128ths; the first half is hardly used.
var ticks = func() (t [256]tick) {
	for i := range t {
		c := float64(i) / 128
		t[i] = tick{1 / c, math.Log(c)}
	}
	return t
}()

// ln is the natural logarithm to its last two bits, as [exp] by the nearest step of a table.
func ln(x float64) float64 {
	if !(x >= 0x1p-1022 && x <= math.MaxFloat64) {
		return math.Log(x)
	}
	const (
		rootHalf = 0x3fe6a09e667f3bcd // of its bits
		nearest  = 0x1.8p45           // added and taken off again it leaves 128ths, in the lowest bits
		ln2Hi    = 0x1.62e42feep-1    // ln 2 in two parts; a whole number times the first is exact
		ln2Lo    = 0x1.a39ef35793c76p-33
	)
	bits := math.Float64bits(x) - rootHalf
	k := float64(int64(bits) >> 52)
	m := math.Float64frombits(bits&(1<<52-1) + rootHalf) // x but for its power of two: from the root of a half to that of two
	c := m + nearest
	s := &ticks[math.Float64bits(c)%256]
	r := (m - (c - nearest)) * s.inverse
	r2 := r * r
	rest := r2*(-1.0/2+r*(1.0/3)) + r2*r2*(-1.0/4+r*(1.0/5)+r2*(-1.0/6+r*(1.0/7)))
	return k*ln2Hi + (s.log + (r + (rest + k*ln2Lo)))
}
