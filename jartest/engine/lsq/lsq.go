// Package lsq is nonlinear least squares for small problems: a
// Levenberg-Marquardt search built on Householder QR (the normal equations are
// never formed), polished by Gauss-Newton steps to the last digits, and a
// portfolio of searches for starts that lie far off. A fit says how it ended and
// carries the figures that tell whether to believe it.
//
// The search follows Marquardt's scaling and Nielsen's rule for the damping; the
// convergence measure is the relative offset of Bates and Watts, Nonlinear
// Regression Analysis and Its Applications (1988), section 2.2 (from memory).
package lsq

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
)

// Problem is a sum of squares to be made small.
type Problem struct {
	// N residuals in P parameters.
	N, P int
	// Pulls is how many of the last residuals pull one of the last parameters each, in order:
	// their rows of the Jacobian are a diagonal.
	Pulls int
	// Residuals writes the N residuals at p into r. A residual that cannot be
	// computed is written as NaN; the search then shortens its step.
	Residuals func(p, r []float64)
	// Jacobian writes the N x P derivatives of the residuals, row by row. Where
	// it is nil, central differences are taken; they cost some digits.
	Jacobian func(p, j []float64)
}

// Settings bound a search. The zero value asks for the defaults.
type Settings struct {
	// Iterations is the largest number of Levenberg-Marquardt steps; 0 means 500.
	Iterations int
	// Damping is the first damping relative to the Jacobian's columns; 0 means 1e-3.
	Damping float64
	// Coarse leaves the polish out and stops at about eight digits of the sum of
	// squares; for searches whose end is polished later.
	Coarse bool
	// Enough is a sum of squares that ends the search: lower is not asked.
	Enough float64
	// Known is where another search has ended, if any has. One that comes down to the same
	// place ends there, as it would only arrive a second time.
	Known *Fit
}

// Status says how a search ended.
type Status string

const (
	// Converged: the residual is orthogonal to the tangent plane as far as the
	// arithmetic can tell.
	Converged Status = "converged"
	// Stalled: no step brings the sum of squares down any more, yet the relative
	// offset is not small. Take the parameters with care.
	Stalled Status = "stalled"
	// Exhausted: the iterations ran out.
	Exhausted Status = "ran out of iterations"
	// Failed: the residuals could not be computed at the start.
	Failed Status = "failed"
)

// Fit is where a search ended.
type Fit struct {
	Params []float64
	RSS    float64
	// Offset is the relative offset: the length of the residual's projection on
	// the tangent plane against what is left, both per degree of freedom. Below
	// 0.001 the parameters are known far better than their standard errors.
	Offset     float64
	Iterations int
	Status     Status
	// r is R of the QR decomposition of the Jacobian at Params, P x P.
	r    []float64
	n, p int
}

// ErrSingular says that the Jacobian has no full rank: the data cannot tell all
// parameters apart.
var ErrSingular = errors.New("the data cannot tell all parameters apart")

// work holds the arrays of one search, so that its steps do not allocate.
type work struct {
	n, p, pulls                   int
	r, rNew, j, jOld, a, b, d     []float64
	step, pNew, pLow, rHigh, rLow []float64
	all                           []float64
}

// idle are the arrays of searches that have ended.
var idle = sync.Pool{New: func() any { return new(work) }}

func newWork(n, p int) *work {
	m := n + p
	w := idle.Get().(*work)
	all := slices.Grow(w.all[:0], 4*n+4*p+2*n*p+m*p+m)
	free := all[:cap(all)]
	clear(free)
	f := func(k int) (part []float64) {
		part, free = free[:k:k], free[k:]
		return part
	}
	*w = work{all: all, n: n, p: p, r: f(n), rNew: f(n), j: f(n * p), jOld: f(n * p), a: f(m * p), b: f(m), d: f(p),
		step: f(p), pNew: f(p), pLow: f(p), rHigh: f(n), rLow: f(n)}
	return w
}

// Levenberg searches from one start.
func Levenberg(pr Problem, start []float64, set Settings) Fit {
	if len(start) != pr.P {
		panic(fmt.Sprintf("lsq: start has %d parameters, problem has %d", len(start), pr.P))
	}
	if set.Iterations == 0 {
		set.Iterations = 500
	}
	if set.Damping == 0 {
		set.Damping = 1e-3
	}
	w := newWork(pr.N, pr.P)
	w.pulls = pr.Pulls
	defer idle.Put(w)
	p := append([]float64(nil), start...)
	pr.Residuals(p, w.r)
	rss := sumSquares(w.r)
	fit := Fit{Params: p, RSS: rss, Offset: math.Inf(1), Status: Failed, n: pr.N, p: pr.P}
	if !finite(rss) {
		return fit
	}
	d := descent{work: w, pr: pr, at: p, rss: rss, lambda: set.Damping, nu: 2, tol: 1e-13, enough: set.Enough, known: set.Known} // the polish goes on from there
	if set.Coarse {
		d.tol = 1e-8
	}
	pr.jacobian(p, w)
	w.scale()
	for fit.Status = goesOn; fit.Status == goesOn; fit.Iterations++ {
		if fit.Iterations >= set.Iterations {
			fit.Status = Exhausted
			break
		}
		fit.Status = d.try()
	}
	fit.RSS = d.rss
	if set.Coarse {
		fit.r, fit.Offset = w.factor()
		return fit
	}
	pr.polish(&fit, w)
	return fit
}

// descent is a search under way.
type descent struct {
	*work
	pr         Problem
	at         []float64
	rss        float64
	lambda, nu float64 // damping, and by how much the next failure raises it
	tol        float64 // a fall of less than this part of rss ends the search
	enough     float64 // and so does less rss than this
	known      *Fit    // and so does another search's end
}

// goesOn is how a search stands that has not ended.
const goesOn Status = ""

// try takes a damped step if it leads down, and says how the search stands.
func (d *descent) try() Status {
	if !d.dampedStep(d.lambda) {
		return d.brake(1e20)
	}
	small := true
	for i, v := range d.at {
		d.pNew[i] = v + d.step[i]
		if math.Abs(d.step[i]) > 1e-14*(math.Abs(v)+1e-14) {
			small = false
		}
	}
	d.pr.Residuals(d.pNew, d.rNew)
	rss := sumSquares(d.rNew)
	predicted := d.predicted(d.lambda, d.rss)
	if !finite(rss) || rss > d.rss {
		if small || predicted <= 1e-16*d.rss {
			return Stalled
		}
		return d.brake(1e25)
	}
	gain, fall := 0.0, d.rss-rss
	if predicted > 0 {
		gain = fall / predicted
	}
	copy(d.at, d.pNew)
	copy(d.r, d.rNew)
	d.rss = rss
	d.pr.jacobian(d.at, d.work)
	d.scale()
	d.lambda *= math.Max(1.0/3, 1-cube(2*gain-1))
	d.lambda, d.nu = math.Max(d.lambda, 1e-16), 2
	if fall <= d.tol*rss || rss <= d.enough || small || d.arrives() {
		return Converged
	}
	return goesOn
}

// arrives reports that another search has ended close by, and what lies between is its valley:
// the sum of squares is higher by what the curvature there makes of the way. At a kink it may
// have stuck.
func (d *descent) arrives() bool {
	const close = 1e-3 // of the sum of squares: a hair beside what the values say of any parameter
	k := d.known
	if k == nil || k.r == nil || !(k.Offset < 0.01) || !(d.rss > k.RSS && d.rss < k.RSS*(1+2*close)) {
		return false
	}
	rise := 0.0
	for i := range d.at {
		s := 0.0
		for j := i; j < d.p; j++ {
			s += k.r[i*d.p+j] * (d.at[j] - k.Params[j])
		}
		rise += s * s
	}
	return rise < close*k.RSS && math.Abs(d.rss-k.RSS-rise) < rise/2
}

// brake raises the damping after a step that led nowhere, up to a most.
func (d *descent) brake(most float64) Status {
	d.lambda, d.nu = d.lambda*d.nu, d.nu*2
	if d.lambda > most {
		return Stalled
	}
	return goesOn
}

// polish takes Gauss-Newton steps while the relative offset falls. A comparison
// of sums of squares goes blind at the square root of the machine's precision;
// the offset does not.
func (pr Problem) polish(fit *Fit, w *work) {
	pr.Residuals(fit.Params, w.r)
	pr.jacobian(fit.Params, w)
	fit.r, fit.Offset = w.factor()
	const enough = 1e-11 // eleven digits or so of a well-posed parameter's standard error
	for k := 0; k < 20 && fit.Offset > enough; k++ {
		if !w.dampedStep(0) {
			break
		}
		better := false
		for _, shrink := range [...]float64{1, 0.5, 0.25} {
			for i := range w.pNew {
				w.pNew[i] = fit.Params[i] + shrink*w.step[i]
			}
			pr.Residuals(w.pNew, w.rNew)
			rss := sumSquares(w.rNew)
			if !finite(rss) || rss > fit.RSS*(1+1e-9) {
				continue
			}
			w.swap()
			pr.jacobian(w.pNew, w)
			r, off := w.factor()
			if off < fit.Offset {
				copy(fit.Params, w.pNew)
				fit.RSS, fit.Offset, fit.r = rss, off, r
				better = true
				break
			}
			w.swap()
		}
		if !better {
			break
		}
	}
	switch {
	case fit.Offset < 1e-5 || fit.RSS == 0:
		fit.Status = Converged
	case fit.Status == Converged:
		fit.Status = Stalled
	}
}

// swap exchanges residuals and Jacobian with those of the step before.
func (w *work) swap() {
	w.r, w.rNew = w.rNew, w.r
	w.j, w.jOld = w.jOld, w.j
}

// jacobian fills w.j.
func (pr Problem) jacobian(p []float64, w *work) {
	if pr.Jacobian != nil {
		pr.Jacobian(p, w.j)
		return
	}
	copy(w.pLow, p)
	for k := range p {
		h := 6e-6 * math.Max(math.Abs(p[k]), 1e-4)
		w.pLow[k] = p[k] + h
		up := w.pLow[k]
		pr.Residuals(w.pLow, w.rHigh)
		w.pLow[k] = p[k] - h
		span := up - w.pLow[k]
		pr.Residuals(w.pLow, w.rLow)
		w.pLow[k] = p[k]
		for i := range w.rHigh {
			w.j[i*w.p+k] = (w.rHigh[i] - w.rLow[i]) / span
		}
	}
}

// scale sets Marquardt's scale of each parameter: its column's length, never
// less than a tenth of what it was.
func (w *work) scale() {
	for k := 0; k < w.p; k++ {
		s := 0.0
		for i := 0; i < w.n; i++ {
			s += w.j[i*w.p+k] * w.j[i*w.p+k]
		}
		s = math.Sqrt(s)
		if !finite(s) {
			s = 0
		}
		w.d[k] = math.Max(s, 0.1*w.d[k])
		if w.d[k] == 0 {
			w.d[k] = 1e-12
		}
	}
}

// dampedStep solves min |J s + r|^2 + lambda |D s|^2 into w.step.
func (w *work) dampedStep(lambda float64) bool {
	full := w.n - w.pulls
	rows := full
	copy(w.a, w.j[:full*w.p])
	for i, v := range w.r[:full] {
		w.b[i] = -v
	}
	if lambda > 0 || w.pulls > 0 {
		rows += w.p
		root := math.Sqrt(lambda)
		clear(w.a[full*w.p : rows*w.p])
		for k := 0; k < w.p; k++ {
			damp, right := root*w.d[k], 0.0
			if i := full + k - (w.p - w.pulls); i >= full { // the pull and the damping of one parameter are one row
				pull := w.j[i*w.p+k]
				all := math.Sqrt(damp*damp + pull*pull)
				if damp = all; all > 0 {
					right = -w.r[i] * pull / all
				}
			}
			w.a[(full+k)*w.p+k], w.b[full+k] = damp, right
		}
	}
	if !householder(w.a, w.b, rows, w.p, full) {
		return false
	}
	return backSolve(w.a, w.b, w.step, w.p)
}

// predicted is the fall of the sum of squares that the linear model promises.
func (w *work) predicted(lambda, rss float64) float64 {
	s := 0.0
	for i := 0; i < w.n; i++ {
		v := w.r[i]
		for k := 0; k < w.p; k++ {
			v += w.j[i*w.p+k] * w.step[k]
		}
		s += v * v
	}
	return rss - s
}

// factor gives R of J = QR and the relative offset at the present residuals.
func (w *work) factor() ([]float64, float64) {
	copy(w.a, w.j)
	copy(w.b, w.r)
	if !householder(w.a, w.b, w.n, w.p, w.n) {
		return nil, math.Inf(1)
	}
	r := make([]float64, w.p*w.p)
	for i := 0; i < w.p && i < w.n; i++ {
		copy(r[i*w.p+i:(i+1)*w.p], w.a[i*w.p+i:(i+1)*w.p])
	}
	tangent, rest := 0.0, 0.0
	for i := 0; i < w.n; i++ {
		if i < w.p {
			tangent += w.b[i] * w.b[i]
		} else {
			rest += w.b[i] * w.b[i]
		}
	}
	tangent /= float64(w.p)
	if w.n > w.p {
		rest /= float64(w.n - w.p)
	}
	if rest == 0 {
		return r, math.Sqrt(tangent)
	}
	return r, math.Sqrt(tangent / rest)
}

// DF is the residual's degrees of freedom.
func (f Fit) DF() int { return f.n - f.p }

// Covariance gives the parameters' covariance, s^2 (J'J)^-1 with s^2 = RSS/DF
// (expected information), row by row, or ErrSingular.
func (f Fit) Covariance() ([]float64, error) {
	if f.DF() <= 0 {
		return nil, fmt.Errorf("%d parameters and %d values leave no degree of freedom", f.p, f.n)
	}
	c, err := f.Inverse()
	if err != nil {
		return nil, err
	}
	s2 := f.RSS / float64(f.DF())
	for i := range c {
		c[i] *= s2
	}
	return c, nil
}

// Inverse gives (J'J)^-1 at the fit, row by row, or ErrSingular.
func (f Fit) Inverse() ([]float64, error) {
	if f.r == nil {
		return nil, ErrSingular
	}
	p := f.p
	inv := make([]float64, p*p) // inverse of the triangle R
	for c := 0; c < p; c++ {
		for i := c; i >= 0; i-- {
			if f.r[i*p+i] == 0 {
				return nil, ErrSingular
			}
			v := 0.0
			if i == c {
				v = 1
			}
			for k := i + 1; k <= c; k++ {
				v -= f.r[i*p+k] * inv[k*p+c]
			}
			inv[i*p+c] = v / f.r[i*p+i]
		}
	}
	out := make([]float64, p*p)
	for i := 0; i < p; i++ {
		for j := 0; j < p; j++ {
			for k := max(i, j); k < p; k++ {
				out[i*p+j] += inv[i*p+k] * inv[j*p+k]
			}
			if !finite(out[i*p+j]) {
				return nil, ErrSingular
			}
		}
	}
	return out, nil
}

// StandardErrors gives the square roots of the covariance's diagonal.
func (f Fit) StandardErrors() ([]float64, error) {
	c, err := f.Covariance()
	if err != nil {
		return nil, err
	}
	se := make([]float64, f.p)
	for i := range se {
		se[i] = math.Sqrt(c[i*f.p+i])
	}
	return se, nil
}

// householder turns the first rows x cols of a into R, in place, and applies the
// same reflections to b. Below the first full rows stands a diagonal, whose rows are still
// nothing but zeros where a column before theirs is turned. It reports whether all values
// stayed finite.
func householder(a, b []float64, all, cols, full int) bool {
	var few [16]float64
	dots := few[:]
	if cols > len(dots) {
		dots = make([]float64, cols)
	}
	for k := 0; k < cols && k < all; k++ {
		rows := min(all, full+k+1)
		norm := length(a[k*cols+k:(rows-1)*cols+k+1], cols)
		if !finite(norm) {
			return false
		}
		if norm == 0 {
			continue
		}
		if a[k*cols+k] > 0 {
			norm = -norm
		}
		// v = x - norm e1, H = I - v v' / (norm^2 - norm x1)
		a[k*cols+k] -= norm
		scale := -norm * a[k*cols+k]
		dots, dotB := dots[:cols-k], 0.0 // of v with the columns from its own on; its own is not needed
		clear(dots)
		for i := k; i < rows; i++ {
			row := a[i*cols+k : (i+1)*cols]
			v := row[0]
			for c := 1; c < len(row); c++ {
				dots[c] += v * row[c]
			}
			dotB += v * b[i]
		}
		for c := range dots {
			dots[c] /= scale
		}
		dotB /= scale
		for i := k; i < rows; i++ {
			row := a[i*cols+k : (i+1)*cols]
			v := row[0]
			for c := 1; c < len(row); c++ {
				row[c] -= dots[c] * v
			}
			b[i] -= dotB * v
		}
		a[k*cols+k] = norm
	}
	return true
}

// length is the root of the sum of squares of every so many-th value; it does not overflow.
func length(v []float64, every int) float64 {
	sum := 0.0
	for i := 0; i < len(v); i += every {
		sum += v[i] * v[i]
	}
	if sum > 1e-280 && sum < 1e280 {
		return math.Sqrt(sum)
	}
	largest := 0.0
	sum = 0
	for i := 0; i < len(v); i += every {
		largest = max(largest, math.Abs(v[i]))
	}
	if largest == 0 || !finite(largest) {
		return largest
	}
	for i := 0; i < len(v); i += every {
		sum += v[i] / largest * (v[i] / largest)
	}
	return largest * math.Sqrt(sum)
}

// backSolve solves the triangle of a against b into x.
func backSolve(a, b, x []float64, p int) bool {
	for i := p - 1; i >= 0; i-- {
		v := b[i]
		for k := i + 1; k < p; k++ {
			v -= a[i*p+k] * x[k]
		}
		if a[i*p+i] == 0 {
			return false
		}
		x[i] = v / a[i*p+i]
		if !finite(x[i]) {
			return false
		}
	}
	return true
}

func sumSquares(r []float64) float64 {
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	return s
}

func finite(v float64) bool { return v-v == 0 }

func cube(v float64) float64 { return v * v * v }
