package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// line is a model that is linear in its parameters, so that all of its answer is known in
// closed form but for one integral: y = a + p₁ x (+ p₂ x²), p ~ N(centre, spread²).
func line(spread ...float64) Model {
	m := Model{Name: "line"}
	for i, s := range spread {
		m.Params = append(m.Params, Param{Name: string(rune('p' + i)), Centre: -1 + 0.5*float64(i), Spread: s})
	}
	m.Values = pointwise(func(at Point, p []float64) float64 {
		v, x := 0.0, at.X
		for i := range spread {
			v += p[i] * x
			x *= at.X
		}
		return v
	})
	return m
}

// noisy are jars about y = 3 - 2x with weights of their own.
func noisy(n int, additive bool) *Observations {
	r := rand.New(rand.NewPCG(3, uint64(n)))
	o := &Observations{Scatter: ScatterPrior{SD: 0.1, Worth: 2}, Additive: additive}
	for i := range n {
		x := float64(i) / float64(n-1)
		o.U, o.Y, o.W, o.Limit = append(o.U, x), append(o.Y, 3-2*x+0.12*r.NormFloat64()), append(o.W, 0.5+r.Float64()), append(o.Limit, 0)
	}
	return o
}

func (o *Observations) shape(m *Model, z ...float64) []float64 {
	var p [MaxParams]float64
	m.Natural(z, p[:])
	g := make([]float64, len(o.U))
	for i := range g {
		g[i] = m.Value(o.At(i), p[:])
	}
	return g
}

// TestLevel: level and slope are those of the normal equations, and jars beyond a limit do
// not enter.
func TestLevel(t *testing.T) {
	for _, additive := range []bool{false, true} {
		o := noisy(7, additive)
		o.Limit[2], o.Y[2] = 1, 99
		g := []float64{0, 0.3, 0.5, 0.9, 1.6, 1.7, 2.5}
		f := o.level(g)
		var sw, sy, sg, sgg, sgy float64
		for i, w := range o.W {
			if i != 2 {
				sw, sy, sg, sgg, sgy = sw+w, sy+w*o.Y[i], sg+w*g[i], sgg+w*g[i]*g[i], sgy+w*g[i]*o.Y[i]
			}
		}
		a, b := (sy-sg)/sw, 1.0
		va, vb, logDet := 1/sw, 0.0, 0.0
		if additive {
			det := sw*sgg - sg*sg
			a, b = (sgg*sy-sg*sgy)/det, (sw*sgy-sg*sy)/det
			va, vb, logDet = sgg/det, sw/det, math.Log(det/sw)
		}
		rss := 0.0
		for i, w := range o.W {
			if i != 2 {
				rss += w * math.Pow(o.Y[i]-a-b*g[i], 2)
			}
		}
		tol := 1e-12
		if additive {
			tol = 1e-5 // the ridge
		}
		matches(t, "level", f.a, a, tol)
		matches(t, "slope", f.b, b, tol)
		matches(t, "sum of squares", f.rss, rss, tol)
		matches(t, "jars", float64(f.n), 6, 0)
		matches(t, "log determinant", f.logDet, logDet, 1e-5)
		if additive {
			matches(t, "linear", float64(f.linear), 2, 0)
			matches(t, "variance of the slope", f.vb, vb, 1e-5)
			matches(t, "variance of the level", f.mean+f.vb*f.meanOfG*f.meanOfG, va, 1e-5)
		} else {
			matches(t, "variance of the level", f.va, va, 1e-12)
			matches(t, "linear", float64(f.linear), 1, 0)
		}
	}
}

// TestComplete: the likelihood of a shape with level (and slope) and scatter integrated out
// by quadrature: σ² of the prior, worth·s₀²/σ² chi-squared, the level flat. Only
// differences between shapes count.
func TestComplete(t *testing.T) {
	for _, additive := range []bool{false, true} {
		o := noisy(6, additive)
		m := line(1)
		brute := func(g []float64) float64 {
			sum := 0.0
			for l := -5.0; l < 1; l += 0.02 { // ln σ
				s := math.Exp(l)
				prior := math.Pow(s, -o.Scatter.Worth) * math.Exp(-o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD/(2*s*s))
				// the level, and the slope on it, are normal: their integral is by Gauss, about the best
				f := o.level(g)
				dim := 1.0
				det := 1 / f.va
				if additive {
					dim, det = 2, math.Exp(f.logDet)/f.mean
				}
				sum += 0.02 * prior * math.Pow(s, -float64(len(g))) * math.Exp(-f.rss/(2*s*s)) * math.Pow(s, dim) / math.Sqrt(det)
			}
			return math.Log(sum)
		}
		var d Draw
		g1, g2 := o.shape(&m, 0.3), o.shape(&m, -1.2)
		if additive { // a shape that is no multiple of the other
			for i, x := range o.U {
				g2[i] = x * x
			}
		}
		z := make([]float64, 3)
		matches(t, "difference of log likelihoods", o.complete(&d, g1, z)-o.complete(&d, g2, z), brute(g1)-brute(g2), 2e-3)
	}
}

// TestCompleteDraws: level, slope and scatter that are drawn have the moments of their
// distributions: σ² = ss/χ², the level normal about its fit, the slope about its own, with
// their covariance.
func TestCompleteDraws(t *testing.T) {
	e := New()
	for _, additive := range []bool{false, true} {
		o := noisy(9, additive)
		g := []float64{0, 0.1, 0.3, 0.5, 0.9, 1.3, 1.6, 1.7, 2.5}
		f := o.level(g)
		nu := 2 + float64(9-f.linear)
		ss := 2*0.01 + f.rss
		const n = 9000
		var s2, a, b, aa, bb, ab float64
		for i := range n {
			var d Draw
			o.complete(&d, g, e.Rough[3*i:3*i+3])
			s2 += d.sigma * d.sigma / n
			x, y := (d.A-f.a)/d.sigma, (d.B-f.b)/d.sigma
			a, b, aa, bb, ab = a+x/n, b+y/n, aa+x*x/n, bb+y*y/n, ab+x*y/n
		}
		matches(t, "mean variance", s2, ss/(nu-2), 0.03*ss/(nu-2))
		matches(t, "level", a, 0, 0.05)
		if !additive {
			matches(t, "variance of the level", aa, f.va, 0.05*f.va)
			matches(t, "slope", bb, 0, 0)
			continue
		}
		matches(t, "slope", b, 0, 0.05)
		matches(t, "variance of the slope", bb, f.vb, 0.05*f.vb)
		matches(t, "variance of the level", aa, f.mean+f.vb*f.meanOfG*f.meanOfG, 0.05*aa)
		matches(t, "covariance", ab, -f.vb*f.meanOfG, 0.1*math.Abs(ab))
	}
}

// TestLimitsInTheLikelihood: a jar beyond a limit adds the log of the chance of that at the
// level and scatter drawn.
func TestLimitsInTheLikelihood(t *testing.T) {
	o := noisy(6, false)
	m := line(1)
	g := o.shape(&m, 0)
	var d Draw
	z := []float64{0.2, -0.4, 0}
	o.Limit[5] = -1
	o.Y[5] = 1.3
	with := o.complete(&d, g, z)
	chance := distuv.Normal{Mu: d.A + g[5], Sigma: d.sigma / math.Sqrt(o.W[5])}.CDF(o.Y[5])
	without := o.Less(5).complete(&d, g[:5], z)
	matches(t, "less than", with-without, math.Log(chance), 1e-9)
	o.Limit[5] = 1
	matches(t, "more than", o.complete(&d, g, z)-without, math.Log(1-chance), 1e-9)
	for _, x := range []float64{-40, -31, -30.001, -29.999, -5, 0, 3} {
		want := math.Log(distuv.UnitNormal.CDF(x))
		if x < -37 { // beyond what a double holds: Abramowitz and Stegun 26.2.12
			want = -x*x/2 - math.Log(-x) - 0.5*math.Log(2*math.Pi) + math.Log(1-1/(x*x))
		}
		matches(t, fmt.Sprint("log of the normal at ", x), logPhi(x), want, 2e-3)
	}
}

// TestEvidenceOfALine: evidence and posterior of linear models against quadrature over the
// search coordinates.
func TestEvidenceOfALine(t *testing.T) {
	e := New()
	for _, o := range []*Observations{noisy(6, false), noisy(12, false)} {
		for _, m := range []Model{line(2), line(1, 3)} {
			got := e.sample(o, &m, 4, math.Inf(-1), thorough)
			q := len(m.Params)
			var d Draw
			zero := make([]float64, 3)
			sum, mean, square := 0.0, 0.0, 0.0
			const h = 0.02
			second := []float64{0}
			if q == 2 {
				second = nil
				for b := -4.0; b < 4; b += 0.04 {
					second = append(second, b)
				}
			}
			for a := -4.0; a < 4; a += h {
				for _, b := range second {
					z := []float64{a, b}[:q]
					l := math.Exp(o.complete(&d, o.shape(&m, z...), zero)+logNormal(z)) * h
					if q == 2 {
						l *= 0.04
					}
					p := m.Params[0].Centre + m.Params[0].Spread*a
					sum, mean, square = sum+l, mean+l*p, square+l*p*p
				}
			}
			mean /= sum
			sd := math.Sqrt(square/sum - mean*mean)
			matches(t, fmt.Sprintf("evidence, %d jars, %d parameters", len(o.U), q), got.evidence, math.Log(sum), 0.06)
			total, squares, m1, m2 := 0.0, 0.0, 0.0, 0.0
			for i := range got.draws {
				w := math.Exp(got.logw[i])
				total, squares = total+w, squares+w*w
				m1, m2 = m1+w*got.draws[i].Shape[0], m2+w*got.draws[i].Shape[0]*got.draws[i].Shape[0]
				if got.draws[i].model != 4 {
					t.Fatal("a draw of another model")
				}
			}
			m1 /= total
			matches(t, "posterior mean", m1, mean, 0.08*sd)
			matches(t, "posterior deviation", math.Sqrt(m2/total-m1*m1), sd, 0.1*sd)
			// The effective number of draws is at most what there are, and most of them count.
			if effective := total * total / squares; effective < 60 || effective > allDraws {
				t.Errorf("%.0f effective draws of %d", effective, len(got.draws))
			}
		}
	}
}

// TestFarBehind: a model far behind its rival is spared the last round, one less far is not.
func TestFarBehind(t *testing.T) {
	e, o, m := New(), noisy(6, false), line(2)
	full := e.sample(o, &m, 0, math.Inf(-1), thorough)
	if len(full.draws) != allDraws || len(full.logw) != allDraws {
		t.Errorf("%d draws", len(full.draws))
	}
	if near := e.sample(o, &m, 0, full.evidence+6.5, thorough); len(near.draws) != allDraws {
		t.Errorf("%d draws of a model 6.5 behind", len(near.draws))
	}
	far := e.sample(o, &m, 0, full.evidence+7.5, thorough)
	if len(far.draws) != priorDraws+modeDraws || len(far.logw) != priorDraws+modeDraws {
		t.Errorf("%d draws of a model 7.5 behind", len(far.draws))
	}
	matches(t, "its evidence", far.evidence, full.evidence, 0.1)
}

// ridge is the penalised optimum of y = a + p x, p = centre + spread z, in closed form:
// level, z and the sum of squares left.
func ridge(o *Observations, m *Model, sigma float64) (a, z, rss float64) {
	c, s := m.Params[0].Centre, m.Params[0].Spread
	var sw, sx, sy float64
	for i, w := range o.W {
		sw, sx, sy = sw+w, sx+w*o.U[i], sy+w*(o.Y[i]-c*o.U[i])
	}
	mx, my := sx/sw, sy/sw
	var sxx, sxy float64
	for i, w := range o.W {
		sxx, sxy = sxx+w*(o.U[i]-mx)*(o.U[i]-mx), sxy+w*(o.U[i]-mx)*(o.Y[i]-c*o.U[i]-my)
	}
	z = s * sxy / (s*s*sxx + sigma*sigma)
	a = my - s*z*mx
	for i, w := range o.W {
		d := o.Y[i] - a - (c+s*z)*o.U[i]
		rss += w * d * d
	}
	return a, z, rss
}

// TestModeOfALine: mode, level, sum of squares and scatter of a linear model.
func TestModeOfALine(t *testing.T) {
	e, o, m := New(), noisy(8, false), line(0.3)
	got := e.sample(o, &m, 0, math.Inf(-1), thorough)
	a, z, rss := ridge(o, &m, got.Sigma)
	matches(t, "level", got.A, a, 1e-7)
	matches(t, "mode", got.Mode[0], z, 1e-7)
	matches(t, "shape", got.Shape[0], -1+0.3*z, 1e-7)
	matches(t, "sum of squares", got.RSS, rss, 1e-7)
	matches(t, "penalty", got.penalty, z*z, 1e-6)
	matches(t, "slope", got.B, 1, 0)
	matches(t, "scatter", got.Sigma, math.Sqrt((2*0.01+rss)/(2+8)), 0.15*got.Sigma) // of the fit before the last
	if got.Linear != 1 || len(got.Shape) != MaxParams || string(got.Status) != "converged" {
		t.Errorf("%d linear, %d parameters, %s", got.Linear, len(got.Shape), got.Status)
	}
	// On the additive scale the slope is fitted beside the level.
	add := noisy(8, true)
	bent := Bent()
	got = e.sample(add, &bent, 0, math.Inf(-1), thorough)
	matches(t, "two linear", float64(got.Linear), 2, 0)
	f := add.level(add.shape(&bent, got.Mode...))
	matches(t, "level", got.A, f.a, 1e-3)
	matches(t, "slope", got.B, f.b, 1e-3)
	if p := got.Params(add); len(p) != 3 || p[0] != got.A || p[1] != got.B || p[2] != got.Mode[0] {
		t.Errorf("parameters %v", p)
	}
}

// TestProposal: the density sums to one, and draws have the mean and the covariance of the
// mixture: 0.7 + 0.3 · 2.5² = 2.575 of the normal's.
func TestProposal(t *testing.T) {
	var p proposal
	var cov [MaxParams][MaxParams]float64
	cov[0][0], cov[1][0], cov[0][1], cov[1][1] = 0.5, 0.2, 0.2, 0.3
	if !p.set([]float64{0.4, -0.7}, cov, 2) {
		t.Fatal("a covariance was refused")
	}
	matches(t, "log determinant", p.logDet, 0.5*math.Log(0.5*0.3-0.2*0.2), 1e-12)
	sum, at0 := 0.0, 0.0
	const h = 0.04
	for a := -12.0; a < 12; a += h {
		for b := -12.0; b < 12; b += h {
			d := p.density([]float64{a, b})
			sum += d * h * h
			at0 += d * h * h * a
		}
	}
	matches(t, "density", sum, 1, 1e-3)
	matches(t, "mean", at0, 0.4, 2e-3)
	e := New()
	var m0, c00, c01, c11 float64
	const n = 10000
	for i := range n {
		z := make([]float64, 2)
		p.place(z, e.Rough[2*i:2*i+2], i)
		x, y := z[0]-0.4, z[1]+0.7
		m0, c00, c01, c11 = m0+x/n, c00+x*x/n, c01+x*y/n, c11+y*y/n
	}
	matches(t, "mean of draws", m0, 0, 0.05)
	matches(t, "variance", c00, 2.575*0.5, 0.07)
	matches(t, "covariance", c01, 2.575*0.2, 0.04)
	matches(t, "variance of the second", c11, 2.575*0.3, 0.05)
	wide, narrow := make([]float64, 2), make([]float64, 2)
	p.place(wide, []float64{1, 0}, 12)
	p.place(narrow, []float64{1, 0}, 13)
	matches(t, "wide", wide[0]-0.4, 2.5*math.Sqrt(0.5), 1e-12)
	matches(t, "narrow", narrow[0]-0.4, math.Sqrt(0.5), 1e-12)
	cov[1][1] = 0.05
	if p.set([]float64{0, 0}, cov, 2) {
		t.Error("a covariance that is none was taken")
	}
}

// TestRefit: mean and covariance of weighted draws by hand, leaning on the old one by 6 of 6
// and the effective number.
func TestRefit(t *testing.T) {
	var old proposal
	var cov [MaxParams][MaxParams]float64
	cov[0][0], cov[1][1] = 0.4, 0.9
	old.set([]float64{0, 0}, cov, 2)
	zs := make([][MaxParams]float64, 3)
	zs[0], zs[1], zs[2] = [MaxParams]float64{1, 0}, [MaxParams]float64{3, 1}, [MaxParams]float64{1, 4}
	w := []float64{0.5, 0.25, 0.25}
	p := refit(zs, []float64{math.Log(0.5) + 8, math.Log(0.25) + 8, math.Log(0.25) + 8}, 2, old)
	m := [2]float64{}
	for i := range zs {
		m[0], m[1] = m[0]+w[i]*zs[i][0], m[1]+w[i]*zs[i][1]
	}
	lean := 6 / (6 + 1/(0.25+2*0.0625))
	for a := range 2 {
		matches(t, "mean", p.mean[a], m[a], 1e-12)
		for b := range a + 1 {
			want := lean * cov[a][b]
			for i := range zs {
				want += 1.1 * w[i] * (zs[i][a] - m[a]) * (zs[i][b] - m[b])
			}
			got := 0.0
			for k := range b + 1 {
				got += p.chol[a][k] * p.chol[b][k]
			}
			matches(t, fmt.Sprintf("covariance %d %d", a, b), got, want, 1e-12)
		}
	}
}

// TestSmallSums: what the sampling rests on, by hand.
func TestSmallSums(t *testing.T) {
	matches(t, "log of a sum", logSumExp([]float64{math.Log(2), math.Log(3), math.Inf(-1)}), math.Log(5), 1e-12)
	matches(t, "of large ones", logSumExp([]float64{1000, 1000}), 1000+math.Ln2, 1e-9)
	matches(t, "of nothing", logSumExp([]float64{math.Inf(-1)}), math.Inf(-1), 0)
	matches(t, "normal", logNormal([]float64{1, -2}), math.Log(distuv.UnitNormal.Prob(1)*distuv.UnitNormal.Prob(2)), 1e-12)
	if got := topIndexes([]float64{3, 9, 3, 7}, 3); !slices.Equal(got, []int{1, 3, 0}) {
		t.Errorf("the largest three %v", got)
	}
	if got := topIndexes([]float64{3}, 3); !slices.Equal(got, []int{0}) {
		t.Errorf("of one %v", got)
	}
	for v, want := range map[float64]bool{1: true, math.Inf(1): false, math.NaN(): false} {
		if Finite(v) != want {
			t.Errorf("%g finite", v)
		}
	}
	matches(t, "steady", Steady(0.123456789012345), 0.12345678901, 1e-16)
	matches(t, "mode scatter", (&Observations{Scatter: ScatterPrior{SD: 0.1, Worth: 3}}).ModeScatter(0.5, 7), math.Sqrt((3*0.01+0.5)/10), 1e-12)
	for _, c := range []struct {
		ss, df, found float64
		more          bool
	}{{0.0064, 1, 0.08, false}, {5 * 0.0064, 1, 0.08 * math.Sqrt(5), true}, {9 * 0.0064, 4, 0.12, false}, {10 * 0.0064, 4, 0.08 * math.Sqrt(2.5), true}, {9.4 * 0.0064, 4, 0.08 * math.Sqrt(2.35), false}, {1, 0.5, 0, false}, {44 * 0.0064, 20, 0.08 * math.Sqrt(2.2), false}, {46 * 0.0064, 20, 0.08 * math.Sqrt(2.3), true}} {
		found, more := UsualScatter.Exceeded(c.ss, c.df)
		matches(t, "scatter found", found, c.found, 1e-12)
		if more != c.more {
			t.Errorf("%g of %g: exceeded %v", c.ss, c.df, more)
		}
	}
	for _, nu := range []float64{4, 6, 9} {
		for _, p := range []float64{0.05, 0.5, 0.95} {
			want := distuv.ChiSquared{K: nu}.Quantile(p)
			matches(t, fmt.Sprintf("chi-squared %g of %g", p, nu), chiSquared(nu, distuv.UnitNormal.Quantile(p)), want, 0.02*want+0.02)
		}
	}
	matches(t, "chi-squared far below", chiSquared(2, -9), 2*math.Pow(0.05, 3), 1e-12)
}

// TestProfileOfALine: the bounds where imposing the dose at which the line meets a level
// makes the penalised fit worse by t² of its degrees of freedom, against a scan of the
// closed form.
func TestProfileOfALine(t *testing.T) {
	e, o, m := New(), noisy(8, false), line(3)
	s := e.sample(o, &m, 0, math.Inf(-1), thorough)
	c := &Cloud{Obs: o, U: []float64{0, 0.25, 0.5, 0.75, 1}}
	level := 2.0
	at := (level - s.A) / s.Shape[0]
	low, high := c.Profile(&s, level, at)
	limit := distuv.StudentsT{Sigma: 1, Nu: 2 + 8 - 1 - 1}.Quantile(0.95)
	rss := func(u float64) float64 { // least over z of Σ w (level - y + p (x - u))²/σ² + z²
		var szz, sz, s0 float64
		for i, w := range o.W {
			d, b := level-o.Y[i]-1*(o.U[i]-u), 3*(o.U[i]-u)
			k := w / (s.Sigma * s.Sigma)
			szz, sz, s0 = szz+k*b*b, sz+k*b*d, s0+k*d*d
		}
		return s0 - sz*sz/(szz+1)
	}
	least := rss(at)
	for u := 0.0; u < 1; u += 1e-4 {
		least = math.Min(least, rss(u))
	}
	lo, hi := at, at
	for rss(lo)-least < limit*limit {
		lo -= 1e-4
	}
	for rss(hi)-least < limit*limit {
		hi += 1e-4
	}
	matches(t, "low", low, lo, 0.01*(hi-lo)+2e-4)
	matches(t, "high", high, hi, 0.01*(hi-lo)+2e-4)
	// A level that the line meets near its end has no bound inside, none is told.
	if _, high = c.Profile(&s, s.A+0.99*s.Shape[0], 0.99); !math.IsNaN(high) {
		t.Errorf("a bound at %g", high)
	}
	add := &Cloud{Obs: noisy(8, true), U: c.U}
	if low, high = add.Profile(&s, level, at); !math.IsNaN(low) || !math.IsNaN(high) {
		t.Error("a profile on the additive scale")
	}
}

// TestLeaveOutOfALine: the fit without a jar is the ridge of the rest at the same scatter.
func TestLeaveOutOfALine(t *testing.T) {
	e, o, m := New(), noisy(8, false), line(0.5)
	s := e.sample(o, &m, 0, math.Inf(-1), thorough)
	c := &Cloud{Obs: o, U: []float64{0, 0.5, 1}, Models: []ModelSample{s}}
	for _, i := range []int{0, 3, 7} {
		fit, rest := c.LeaveOut(&s, i)
		a, z, _ := ridge(o.Less(i), &m, s.Sigma)
		matches(t, "level", fit.Params[0], a, 1e-4)
		matches(t, "mode", fit.Params[1], z, 1e-4)
		if len(rest.U) != 7 || slices.Contains(rest.U, o.U[i]) {
			t.Errorf("without %d: %v", i, rest.U)
		}
		again, _ := c.LeaveOut(&s, i)
		if again != fit {
			t.Error("a fit is made twice")
		}
		row := c.Mode(&s, fit.Params)
		for k, u := range c.U {
			matches(t, "its curve", row[k], fit.Params[0]+(-1+0.5*fit.Params[1])*u, 1e-9)
		}
	}
}

// TestLeads: the models with a tenth or more, the largest first, at most three; else the best.
func TestLeads(t *testing.T) {
	fitted := func(shares ...float64) *Cloud {
		c := &Cloud{Shares: shares}
		for range shares {
			c.Models = append(c.Models, ModelSample{Mode: []float64{0}})
		}
		return c
	}
	for _, c := range []struct {
		shares []float64
		want   []int
	}{{[]float64{0.1, 0.4, 0.2, 0.3}, []int{1, 3, 2}}, {[]float64{0.05, 0.1, 0.09}, []int{1}}, {[]float64{0.05, 0.02, 0.09}, []int{2}}} {
		if got := fitted(c.shares...).Leads(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v, want %v", c.shares, got, c.want)
		}
	}
	failed := fitted(0.5, 0.4)
	failed.Models[0].Mode = nil
	if got := failed.Leads(); !slices.Equal(got, []int{1}) {
		t.Errorf("a model that failed leads: %v", got)
	}
	failed.Models[1].Mode, failed.Shares = nil, []float64{0.05, 0.04}
	if got := failed.Leads(); len(got) != 0 {
		t.Errorf("models that failed lead: %v", got)
	}
}

// TestShapeAlone: the fit that falls, then may rise, by hand, with each jar and without.
func TestShapeAlone(t *testing.T) {
	o := &Observations{U: []float64{0, 0.25, 0.5, 0.75, 1}, Y: []float64{4, 2, 3, 1, 1.5}, W: []float64{1, 1, 3, 1, 1}, Limit: make([]int8, 5)}
	c := &Cloud{Obs: o, U: []float64{0, 0.25, 0.4375, 0.5, 0.75, 1}}
	// 2 and 3 are out of order: pooled at (2 + 3·3)/4 = 2.75, drawn together to their mean dose 0.4375.
	for i, want := range []float64{4, 4 - 1.25*0.25/0.4375, 2.75, 2.75 - 1.75*0.0625/0.3125, 1, 1.5} {
		matches(t, "with all", c.ShapeWithout(-1)[i], want, 1e-12)
	}
	matches(t, "squares", o.ValleySquares(), 0.75*0.75+3*0.25*0.25, 1e-12)
	for i, want := range []float64{4, 3.5, 4 - 0.4375/0.5, 3, 1, 1.5} {
		matches(t, "without the second", c.ShapeWithout(1)[i], want, 1e-12)
	}
	matches(t, "squares without it", o.Less(1).ValleySquares(), 0, 1e-12)
	o.Limit[1] = 1
	matches(t, "a limit has no square", o.ValleySquares(), 3*0.25*0.25, 1e-12)
	up := &Cloud{Obs: &Observations{U: []float64{0, 1}, Y: []float64{1, 2}, W: []float64{1, 1}, Limit: make([]int8, 2)}, U: []float64{0, 0.5, 1}}
	up.Free.Up = true
	for i, want := range []float64{1, 1.5, 2} {
		matches(t, "rising", up.ShapeWithout(-1)[i], want, 1e-12)
	}
	v := &Observations{U: []float64{1, 2}, V: []float64{3, 4}, Y: []float64{5, 6}, W: []float64{7, 8}, Limit: []int8{0, 1}, Additive: true, Scatter: UsualScatter}
	if l := v.Less(0); l.U[0] != 2 || l.V[0] != 4 || l.Y[0] != 6 || l.W[0] != 8 || l.Limit[0] != 1 || !l.Additive || l.Scatter != UsualScatter {
		t.Errorf("%+v", l)
	}
}
