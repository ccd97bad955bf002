package clearing

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/engine/lsq"
)

// points are readings of a tank as the fit takes them: hours since the start, the logarithm of each reading and its
// weight. Errors of turbidity and solids are proportional, so they are even on that scale.
type points struct{ t, y, w []float64 }

// usualScatter is the proportional error of a reading with a hand meter, sampling included, against which the step in
// which a meter shows its numbers is weighed: 5 to 10 %, common practice, no source.
const usualScatter = 0.07

// add puts a reading with the step in which it was written to the points. A step that is lost beside the scatter counts nothing.
func (p *points) add(t, reading, step float64) {
	rounding := step / math.Sqrt(12) / reading
	if rounding < usualScatter/5 {
		rounding = 0
	}
	p.t, p.y = append(p.t, t), append(p.y, math.Log(reading))
	p.w = append(p.w, 1/math.Hypot(1, rounding/usualScatter))
}

// distinct counts the times at which something was read.
func (p points) distinct() int {
	at := map[float64]bool{}
	for _, t := range p.t {
		at[t] = true
	}
	return len(at)
}

// parameter names what of a course is fitted, in the order of its covariance.
type parameter int

const (
	above parameter = iota // ln of the reading at time 0 above the floor
	floor                  // ln of the reading that never comes out
	rate                   // ln of the rate, 1/h
	parameters
)

// shape is a course: exp(above − exp(rate)·t) + exp(floor); a floor of −Inf is none.
type shape [parameters]float64

// at is its reading at an hour.
func (s shape) at(t float64) float64 {
	return math.Exp(s[above]-math.Exp(s[rate])*t) + math.Exp(s[floor])
}

// squares is the weighted sum of squares of a shape.
func (p points) squares(s shape) (sum float64) {
	for i, t := range p.t {
		r := p.w[i] * (math.Log(s.at(t)) - p.y[i])
		sum += r * r
	}
	return sum
}

// reduced is a family of shapes with fewer parameters: those that have something fixed. expand gives a shape and its
// derivatives by each of them.
type reduced struct {
	n      int
	expand func(q []float64) (s shape, d [parameters][parameters]float64)
}

// problem is the least-squares problem of a family.
func (p points) problem(f reduced) lsq.Problem {
	return lsq.Problem{N: len(p.t), P: f.n,
		Residuals: func(q, r []float64) {
			s, _ := f.expand(q)
			for i, t := range p.t {
				r[i] = p.w[i] * (math.Log(s.at(t)) - p.y[i])
			}
		},
		Jacobian: func(q, j []float64) {
			s, d := f.expand(q)
			k, rest := math.Exp(s[rate]), math.Exp(s[floor])
			for i, t := range p.t {
				falls := math.Exp(s[above] - k*t)
				by := shape{above: falls, floor: rest, rate: -k * t * falls}
				for c := range f.n {
					sum := 0.0
					for m := range by {
						if d[c][m] != 0 {
							sum += d[c][m] * by[m]
						}
					}
					j[i*f.n+c] = p.w[i] * sum / (falls + rest)
				}
			}
		}}
}

// the families.
var allFree = reduced{3, func(q []float64) (s shape, d [parameters][parameters]float64) {
	return shape{q[0], q[1], q[2]}, [parameters][parameters]float64{{1}, {0, 1}, {0, 0, 1}}
}}

func atRate(lnRate float64) reduced {
	return reduced{2, func(q []float64) (s shape, d [parameters][parameters]float64) {
		return shape{q[0], q[1], lnRate}, [parameters][parameters]float64{{1}, {0, 1}}
	}}
}

func atFloor(lnFloor float64) reduced {
	return reduced{2, func(q []float64) (s shape, d [parameters][parameters]float64) {
		return shape{q[0], lnFloor, q[1]}, [parameters][parameters]float64{{1}, {0, 0, 1}}
	}}
}

// through are the courses that are at a reading after so many hours: its parameters are the logit of the floor's share
// of that reading, and the rate.
func through(reading, hours float64) reduced {
	return reduced{2, func(q []float64) (s shape, d [parameters][parameters]float64) {
		part := 1 / (1 + math.Exp(-q[0]))
		k := math.Exp(q[1])
		s = shape{math.Log(reading) - softplus(q[0]) + k*hours, math.Log(reading) + q[0] - softplus(q[0]), q[1]}
		return s, [parameters][parameters]float64{{-part, 1 - part}, {k * hours, 0, 1}}
	}}
}

// softplus is ln(1 + e^x).
func softplus(x float64) float64 {
	if x > 30 {
		return x
	}
	return math.Log1p(math.Exp(x))
}

// fitted is a fit of a course.
type fitted struct {
	points
	shape
	sse float64
	// cov is the covariance of the parameters; nil where the readings do not tell them apart.
	cov []float64
}

// df is the degrees of freedom of its scatter.
func (f fitted) df() int { return len(f.t) - int(parameters) }

// variance of a reading's logarithm at full weight.
func (f fitted) variance() float64 { return f.sse / float64(f.df()) }

// se is the standard error of a parameter, infinite where it is not told.
func (f fitted) se(p parameter) float64 {
	if f.cov == nil {
		return math.Inf(1)
	}
	return math.Sqrt(f.cov[int(p)*int(parameters)+int(p)])
}

// line fits ln(reading) by a straight line, which a course without a floor is.
func (p points) line() (at0, slope float64) {
	var sw, st, sy, stt, sty float64
	for i, t := range p.t {
		w := p.w[i] * p.w[i]
		sw, st, sy, stt, sty = sw+w, st+w*t, sy+w*p.y[i], stt+w*t*t, sty+w*t*p.y[i]
	}
	slope = (sw*sty - st*sy) / (sw*stt - st*st)
	return (sy - slope*st) / sw, slope
}

// fit is the course of least squares over the logarithms, from several starts: floors from nothing to nearly the lowest
// reading, rates from what the first and the last reading and the line make of them.
func (p points) fit() fitted {
	lowest, first := math.Inf(1), p.y[0]
	for _, y := range p.y {
		lowest = math.Min(lowest, y)
		first = math.Max(first, y)
	}
	at0, slope := p.line()
	length := p.t[len(p.t)-1] - p.t[0]
	var starts [][]float64
	for _, share := range [...]float64{0.02, 0.5, 0.9} {
		for _, k := range [...]float64{math.Max(-slope, 0.05/length), 2 / length, 5 / length} {
			starts = append(starts, []float64{first, lowest + math.Log(share), math.Log(k)})
		}
	}
	got := lsq.Levenberg(p.problem(allFree), lsq.Coarse(p.problem(allFree), starts).Params, lsq.Settings{})
	f := fitted{points: p, shape: shape(got.Params), sse: got.RSS}
	if cov, err := got.Covariance(); err == nil && f.shape[floor] > lowest-15 {
		f.cov = cov
	}
	if slope < 0 {
		if none := (shape{at0, math.Inf(-1), math.Log(-slope)}); p.squares(none) <= f.sse*(1+1e-9) {
			f.shape, f.sse, f.cov = none, p.squares(none), nil
		}
	}
	return f
}

// Limits of sums of squares. allowed is what an imposed value may add to them: the square of Student's t times the
// variance, the profile of one parameter (Bates and Watts 1988, section 6.1, from memory).
func allowed(confidence, variance float64, df int) float64 {
	t := distuv.StudentsT{Sigma: 1, Nu: float64(df)}.Quantile((1 + confidence) / 2)
	return t * t * variance
}

// least is the lowest sum of squares of a family, from where its neighbour ended and from the fit.
func (f fitted) least(r reduced, starts ...[]float64) (sse float64, at []float64) {
	got := lsq.Coarse(f.problem(r), starts)
	if got.Status == lsq.Failed {
		return math.Inf(1), starts[0]
	}
	return got.RSS, got.Params
}

// ends are where a sum of squares has risen by what is allowed, on either side of an estimate; an end beyond least or
// most is infinite. The root of the rise is nearly straight, so few steps of false position (the Illinois rule) find it.
func (f fitted) ends(at, least, most, more float64, squares func(x float64) float64) (low, high float64) {
	beyond := func(x float64) float64 { return math.Sqrt(math.Max(0, squares(x)-f.sse)) - math.Sqrt(more) }
	walk := func(end float64) float64 {
		way := math.Copysign(1, end-at)
		inside, in, step := at, -math.Sqrt(more), 0.01
		for {
			outside := inside + way*step
			last := (outside-end)*way >= 0
			if last {
				outside = end
			}
			out := beyond(outside)
			if out <= 0 {
				if last {
					return math.Inf(int(way))
				}
				inside, in, step = outside, out, 2*step
				continue
			}
			return between(inside, in, outside, out, beyond)
		}
	}
	return walk(least), walk(most)
}

// between is the root of a function between two places of different sign, to seven digits of their distance.
func between(a, fa, b, fb float64, of func(float64) float64) float64 {
	const enough = 1e-7
	x := b
	for range 60 {
		x = (a*fb - b*fa) / (fb - fa)
		if math.Abs(b-a) < enough || !(x-x == 0) {
			break
		}
		fx := of(x)
		switch {
		case math.Abs(fx) < enough*math.Abs(fb-fa):
			return x
		case fx > 0 == (fb > 0):
			b, fb, fa = x, fx, fa/2
		default:
			a, fa, fb = x, fx, fb/2
		}
	}
	return x
}

// far is beyond what any logarithm of a rate or a floor can tell from 0 or from anything.
const far = 12

// rateEnds is the interval of the logarithm of the rate.
func (f fitted) rateEnds(more float64) (low, high float64) {
	warm := []float64{f.shape[above], math.Max(f.shape[floor], f.lowest()-5)}
	squares := func(lnRate float64) float64 {
		starts := [][]float64{warm, {warm[0], f.lowest() - 0.3}}
		sse, at := f.least(atRate(lnRate), starts...)
		warm = at
		return math.Min(sse, f.without(lnRate))
	}
	return f.ends(f.shape[rate], f.shape[rate]-far, f.shape[rate]+far, more, squares)
}

// without is the sum of squares of a course without a floor at a rate.
func (f fitted) without(lnRate float64) float64 {
	k, sum, weight := math.Exp(lnRate), 0.0, 0.0
	for i, t := range f.t {
		w := f.w[i] * f.w[i]
		sum, weight = sum+w*(f.y[i]+k*t), weight+w
	}
	return f.squares(shape{sum / weight, math.Inf(-1), lnRate})
}

// lowest is the logarithm of the lowest reading.
func (p points) lowest() float64 {
	low := math.Inf(1)
	for _, y := range p.y {
		low = math.Min(low, y)
	}
	return low
}

// floorEnds is the interval of what never comes out; 0 where nothing may be left.
func (f fitted) floorEnds(more float64) (low, high float64) {
	from := math.Max(f.shape[floor], f.lowest()-7)
	warm := []float64{f.shape[above], f.shape[rate]}
	squares := func(lnFloor float64) float64 {
		sse, at := f.least(atFloor(lnFloor), warm, []float64{f.shape[above], f.shape[rate]})
		warm = at
		return sse
	}
	l, h := f.ends(from, f.lowest()-7, f.lowest()+3, more, squares)
	if at0, slope := f.line(); slope < 0 && f.squares(shape{at0, math.Inf(-1), math.Log(-slope)}) <= f.sse+more {
		l = math.Inf(-1)
	}
	return math.Exp(l), math.Exp(h)
}

// hoursTo is when the course is at a reading: infinite where it never is, 0 where it is below from the start.
func (s shape) hoursTo(reading float64) float64 {
	left := reading - math.Exp(s[floor])
	if left <= 0 {
		return math.Inf(1)
	}
	return math.Max(0, (s[above]-math.Log(left))/math.Exp(s[rate]))
}

// hoursEnds is the interval of when the course is at a reading; high is infinite where it may never be.
func (f fitted) hoursEnds(reading, more float64) (low, high float64) {
	at := f.hoursTo(reading)
	if at == 0 {
		return 0, 0
	}
	last := f.t[len(f.t)-1]
	never := math.IsInf(at, 1)
	if never { // the soonest that is not ruled out, looked for from beyond what anybody waits for
		at = 50 * last
	}
	part := math.Min(math.Exp(f.shape[floor])/reading, 0.98)
	first := []float64{math.Log(math.Max(part, 1e-6) / (1 - part)), f.shape[rate]}
	warm := first
	squares := func(lnHours float64) float64 {
		hours := math.Exp(lnHours)
		sse, at := f.least(through(reading, hours), warm, first)
		warm = at
		return math.Min(sse, f.passing(reading, hours))
	}
	if never && squares(math.Log(at)) > f.sse+more {
		return math.Inf(1), math.Inf(1)
	}
	l, h := f.ends(math.Log(at), math.Log(last)-far, math.Log(last)+math.Log(60), more, squares)
	return math.Exp(l), math.Exp(h)
}

// passing is the sum of squares of a course without a floor that is at a reading after so many hours.
func (f fitted) passing(reading, hours float64) float64 {
	var top, under float64
	for i, t := range f.t {
		w := f.w[i] * f.w[i]
		top, under = top+w*(hours-t)*(f.y[i]-math.Log(reading)), under+w*(hours-t)*(hours-t)
	}
	k := top / under
	if !(k > 0) {
		return math.Inf(1)
	}
	return f.squares(shape{math.Log(reading) + k*hours, math.Inf(-1), math.Log(k)})
}

// stepsUp finds a reading that is above the one before it because solids came in at once, and that is followed by another: a course to
// which they are added there, and leave as all others do, fits better than chance makes it in any gap (F test, Bonferroni).
func (f fitted) stepsUp(sure float64) (at int, found bool) {
	const exact = 1e-5
	n, df := len(f.t), len(f.t)-int(parameters)-1
	if df < 2 || f.variance() < exact*exact {
		return 0, false
	}
	limit := distuv.F{D1: 1, D2: float64(df)}.Quantile(1 - (1-sure)/float64(n))
	for i := 1; i < n-1; i++ {
		if f.y[i] <= f.y[i-1] || f.t[i] == f.t[i-1] {
			continue
		}
		pr := lsq.Problem{N: n, P: 4, Residuals: func(q, r []float64) {
			for j, t := range f.t {
				c := shape(q[:3]).at(t)
				if j >= i {
					c += math.Exp(q[3] - math.Exp(q[2])*(t-f.t[i]))
				}
				r[j] = f.w[j] * (math.Log(c) - f.y[j])
			}
		}}
		low, came := f.lowest(), math.Log(math.Exp(f.y[i])-math.Exp(f.y[i-1]))
		var starts [][]float64
		for _, up := range [...]float64{0, 0.5, 1} {
			starts = append(starts, []float64{f.y[0], low - 0.5, f.shape[rate] + up, came})
		}
		got := lsq.Coarse(pr, starts)
		if got.Status == lsq.Failed {
			continue
		}
		if better := (f.sse - got.RSS) / (got.RSS / float64(df)); better > limit {
			at, found, limit = i, true, better
		}
	}
	return at, found
}

// sourceGrows tests whether what comes in grows while the unit runs: a course whose floor rises by the hour fits better
// than chance makes it (F test). Readings that fall and rise again are told so.
func (f fitted) sourceGrows(sure float64) bool {
	const exact = 1e-5 // readings that agree better leave nothing to test
	df := len(f.t) - int(parameters) - 1
	if df < 2 || f.variance() < exact*exact {
		return false
	}
	pr := lsq.Problem{N: len(f.t), P: 4, Residuals: func(q, r []float64) {
		for i, t := range f.t {
			r[i] = f.w[i] * (math.Log(shape(q[:3]).at(t)+q[3]*t) - f.y[i])
		}
	}}
	low := math.Max(f.shape[floor], f.lowest()-5)
	length := f.t[len(f.t)-1]
	var starts [][]float64
	for _, up := range [...]float64{0.1, 0.5, 1} {
		starts = append(starts, []float64{f.shape[above], low - up, f.shape[rate] + up, up * math.Exp(f.lowest()) / length})
	}
	got := lsq.Coarse(pr, starts)
	if got.Status == lsq.Failed || got.Params[3] <= 0 {
		return false
	}
	better := (f.sse - got.RSS) / (got.RSS / float64(df))
	return better > distuv.F{D1: 1, D2: float64(df)}.Quantile(2*sure-1) // one-sided
}
