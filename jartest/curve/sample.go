package curve

import (
	"math"

	"jarwright/jartest/curve/lsq"
)

// observations are the jars of one reading on the working scale.
type observations struct {
	u, y, w  []float64 // scaled dose; ln of the reading, or the reading; relative precision
	limit    []int8    // -1: less than y, +1: more than y, 0: y itself
	additive bool
	scatter  scatterPrior
}

// scatterPrior says what scatter between jars is expected before looking:
// standard deviation s0 (of ln reading, or of the reading), worth nu0 jars.
type scatterPrior struct{ s0, nu0 float64 }

// draw is one possible curve: model, its shape, its level and the scatter about it.
type draw struct {
	model       int
	shape       [maxParams]float64
	a, b, sigma float64
}

// at gives the working-scale value at scaled dose u.
func (d *draw) at(m *Model, u float64, additive bool) float64 {
	v := m.Value(u, d.shape[:])
	if additive {
		return d.a + d.b*v
	}
	return d.a + v
}

// levelFit is the fit of level (and slope, on the additive scale) for a given shape.
type levelFit struct {
	a, b          float64
	va, vb        float64 // variances of a and b for unit scatter
	rss, logDet   float64
	n             int
	linear        int
	mean, meanOfG float64
}

// level fits the linear parameters exactly: they need no search.
func (o *observations) level(g []float64) levelFit {
	var sw, sy, sg float64
	f := levelFit{linear: 1}
	for i, w := range o.w {
		if o.limit[i] != 0 {
			continue
		}
		f.n++
		sw += w
		sy += w * o.y[i]
		sg += w * g[i]
	}
	if !o.additive {
		f.a, f.va, f.b = (sy-sg)/sw, 1/sw, 1
		for i, w := range o.w {
			if o.limit[i] == 0 {
				d := o.y[i] - f.a - g[i]
				f.rss += w * d * d
			}
		}
		return f
	}
	f.linear = 2
	my, mg := sy/sw, sg/sw
	sgg, sgy := 1e-6*sw, 0.0 // the ridge keeps a shape without contrast harmless
	for i, w := range o.w {
		if o.limit[i] == 0 {
			sgg += w * (g[i] - mg) * (g[i] - mg)
			sgy += w * (g[i] - mg) * (o.y[i] - my)
		}
	}
	f.b = sgy / sgg
	f.a = my - f.b*mg
	f.vb = 1 / sgg
	f.mean, f.meanOfG = 1/sw, mg
	f.logDet = math.Log(sgg)
	for i, w := range o.w {
		if o.limit[i] == 0 {
			d := o.y[i] - f.a - f.b*g[i]
			f.rss += w * d * d
		}
	}
	return f
}

// complete draws scatter and level given the shape and gives the log likelihood
// of the shape, both integrated out; jars beyond a limit enter with the chance of
// that at the level and scatter drawn.
func (o *observations) complete(d *draw, g []float64, z []float64) float64 {
	f := o.level(g)
	nu := o.scatter.nu0 + float64(f.n-f.linear)
	ss := o.scatter.nu0*o.scatter.s0*o.scatter.s0 + f.rss
	d.sigma = math.Sqrt(ss / chiSquared(nu, z[0]))
	if o.additive {
		shift := d.sigma * math.Sqrt(f.vb) * z[2]
		d.b = f.b + shift
		d.a = f.a + d.sigma*math.Sqrt(f.mean)*z[1] - shift*f.meanOfG
	} else {
		d.a, d.b = f.a+d.sigma*math.Sqrt(f.va)*z[1], 1
	}
	ll := -0.5*nu*math.Log(ss) - 0.5*f.logDet
	for i, l := range o.limit {
		if l != 0 {
			x := (o.y[i] - d.a - d.b*g[i]) / d.sigma * math.Sqrt(o.w[i])
			ll += logPhi(-float64(l) * x)
		}
	}
	return ll
}

// modelSample is what one model makes of the jars.
type modelSample struct {
	model    *Model
	index    int
	draws    []draw
	logw     []float64
	evidence float64 // log of the integrated likelihood
	// mode is the penalised least-squares fit: search coordinates, level, slope.
	mode       []float64
	modeFit    lsq.Fit
	sigma      float64
	converged  lsq.Status
	effective  float64 // effective number of draws
	modeShape  []float64
	modeA      float64
	modeB      float64
	modeRSS    float64
	penalty    float64
	linearPart int
}

// sampler draws curves of one model from what the jars say of it.
type sampler struct {
	e *engine
	o *observations
	m *Model
	g []float64
	p [maxParams]float64
}

// shapes fills s.g with the model's shape at the jars for search coordinates z.
func (s *sampler) shapes(z []float64) {
	s.m.natural(z, s.p[:])
	for i, u := range s.o.u {
		s.g[i] = s.m.Value(u, s.p[:])
	}
}

// sample runs three rounds of importance sampling: from the prior, around the
// optimum, and from the mean and covariance of what was found; the rounds are
// pooled with the balance heuristic (Veach and Guibas 1995; Owen and Zhou 2000;
// from memory), so that a bad round costs draws, not correctness. A model that
// after two rounds is far behind its rival's evidence is spared the third.
func (e *engine) sample(o *observations, m *Model, index int, rival float64) modelSample {
	q := len(m.Params)
	s := &sampler{e: e, o: o, m: m, g: make([]float64, len(o.u))}
	out := modelSample{model: m, index: index, draws: make([]draw, allDraws), logw: make([]float64, allDraws)}
	zs := make([][maxParams]float64, allDraws)
	loglik := make([]float64, allDraws)
	evaluate := func(i int) {
		s.shapes(zs[i][:q])
		d := &out.draws[i]
		d.model = index
		d.shape = s.p
		loglik[i] = o.complete(d, s.g, e.normal[i][maxParams:])
		if !finite(loglik[i]) {
			loglik[i] = math.Inf(-1)
		}
	}
	for i := 0; i < priorDraws; i++ {
		copy(zs[i][:q], e.normal[i][:q])
		evaluate(i)
	}
	s.findMode(&out, zs[:priorDraws], loglik[:priorDraws])

	var around [2]proposal
	around[0] = s.modeProposal(&out)
	for i := priorDraws; i < priorDraws+modeDraws; i++ {
		around[0].place(zs[i][:q], e.normal[i][:q], i)
		evaluate(i)
	}
	var prior, mixed [allDraws]float64 // log prior, and density of the rounds so far
	weigh := func(from, n int) {
		for i := from; i < n; i++ {
			prior[i] = logNormal(zs[i][:q])
			mixed[i] = priorDraws*math.Exp(prior[i]) + modeDraws*around[0].density(zs[i][:q])
		}
		for i := range n {
			if n == allDraws {
				mixed[i] += lastDraws * around[1].density(zs[i][:q])
			}
			out.logw[i] = loglik[i] + prior[i] - math.Log(mixed[i])
		}
	}
	const looked = priorDraws + modeDraws
	weigh(0, looked)
	if logSumExp(out.logw[:looked]) < rival-negligible {
		out.draws, out.logw = out.draws[:looked], out.logw[:looked]
	} else {
		around[1] = refit(zs[:looked], out.logw[:looked], q, around[0])
		for i := looked; i < allDraws; i++ {
			around[1].place(zs[i][:q], e.normal[i][:q], i)
			evaluate(i)
		}
		weigh(looked, allDraws)
	}
	out.evidence = logSumExp(out.logw)
	sum, sq := 0.0, 0.0
	for _, l := range out.logw {
		w := math.Exp(l - out.evidence)
		sum += w
		sq += w * w
	}
	out.effective = sum * sum / sq
	return out
}

// negligible is how far behind in log evidence a model's share is below a thousandth.
const negligible = 7

// findMode searches the penalised optimum from the best prior draws.
func (s *sampler) findMode(out *modelSample, zs [][maxParams]float64, loglik []float64) {
	q := len(s.m.Params)
	order := topIndexes(loglik, 3)
	s.shapes(zs[order[0]][:q])
	f := s.o.level(s.g)
	sigma := s.o.modeScatter(f.rss, f.n)
	var starts [][]float64
	for _, i := range order {
		s.shapes(zs[i][:q])
		starts = append(starts, s.o.start(s.g, zs[i][:q]))
	}
	var fit lsq.Fit
	search := lsq.Coarse
	for round := range 2 {
		fit = search(s.o.penalised(s.m, sigma, 1), starts)
		search = lsq.FromStarts
		if fit.Status == lsq.Failed {
			break
		}
		l := s.o.linear()
		s.shapes(fit.Params[l:])
		rss := s.o.sumSquaresAt(fit.Params, s.g)
		out.modeRSS = rss
		next := s.o.modeScatter(rss, len(s.o.u))
		if round == 1 {
			break // sigma stays the one that the fit was made with
		}
		sigma = next
		starts = [][]float64{fit.Params}
	}
	out.modeFit, out.sigma, out.converged = fit, sigma, fit.Status
	if fit.Status == lsq.Failed {
		return
	}
	l := s.o.linear()
	out.linearPart = l
	out.modeA, out.modeB = fit.Params[0], 1
	if l == 2 {
		out.modeB = fit.Params[1]
	}
	out.mode = append([]float64(nil), fit.Params[l:]...)
	out.modeShape = make([]float64, maxParams)
	s.m.natural(out.mode, out.modeShape)
	for _, z := range out.mode {
		out.penalty += z * z
	}
}

// modeScatter is the scatter that goes with a residual sum of squares, drawn
// towards what was expected before.
func (o *observations) modeScatter(rss float64, n int) float64 {
	return math.Sqrt((o.scatter.nu0*o.scatter.s0*o.scatter.s0 + rss) / (o.scatter.nu0 + float64(n)))
}

func (o *observations) linear() int {
	if o.additive {
		return 2
	}
	return 1
}

func (o *observations) start(g, z []float64) []float64 {
	f := o.level(g)
	p := []float64{f.a}
	if o.additive {
		p = append(p, f.b)
	}
	return append(p, z...)
}

// sumSquaresAt is the weighted residual sum of squares of the exact readings.
func (o *observations) sumSquaresAt(p, g []float64) float64 {
	s := 0.0
	for i := range o.u {
		if o.limit[i] != 0 {
			continue
		}
		d := o.y[i] - o.predict(p, g[i])
		s += o.w[i] * d * d
	}
	return s
}

func (o *observations) predict(p []float64, g float64) float64 {
	if o.additive {
		return p[0] + p[1]*g
	}
	return p[0] + g
}

// penalised is the least-squares problem of a model with scatter sigma: one
// residual per jar, and one per shape parameter that pulls it towards its prior
// with the given strength (0 for none: plain least squares). A reading beyond a
// limit enters by its signed-root deviance residual, which makes the sum of
// squares twice the negative log likelihood.
func (o *observations) penalised(m *Model, sigma, pull float64) lsq.Problem {
	q, l, n := len(m.Params), o.linear(), len(o.u)
	var p [maxParams]float64
	var g [maxParams]float64
	rows := n
	if pull > 0 {
		rows += q
	}
	return lsq.Problem{N: rows, P: l + q,
		Residuals: func(x, r []float64) {
			m.natural(x[l:], p[:])
			for i, u := range o.u {
				t := math.Sqrt(o.w[i]) / sigma * (o.predict(x, m.Value(u, p[:])) - o.y[i])
				if o.limit[i] != 0 {
					t = lsq.CensoredResidual(float64(o.limit[i]) * t)
				}
				r[i] = t
			}
			if pull > 0 {
				for k := range q {
					r[n+k] = pull * x[l+k]
				}
			}
		},
		Jacobian: func(x, j []float64) {
			m.natural(x[l:], p[:])
			for i, u := range o.u {
				scale := math.Sqrt(o.w[i]) / sigma
				if o.limit[i] != 0 {
					side := float64(o.limit[i])
					t := scale * (o.predict(x, m.Value(u, p[:])) - o.y[i])
					scale *= side * lsq.CensoredSlope(side*t)
				}
				m.Gradient(u, p[:], g[:])
				m.slopes(p[:], g[:])
				row := j[i*(l+q) : (i+1)*(l+q)]
				row[0] = scale
				b := 1.0
				if l == 2 {
					row[1] = scale * m.Value(u, p[:])
					b = x[1]
				}
				for k := range q {
					row[l+k] = scale * b * g[k]
				}
			}
			if pull > 0 {
				clear(j[n*(l+q):])
				for k := range q {
					j[(n+k)*(l+q)+l+k] = pull
				}
			}
		}}
}

// proposal is where draws are placed: a normal about a mean, three in ten of the
// draws two and a half times as wide for the tails.
type proposal struct {
	mean   [maxParams]float64
	chol   [maxParams][maxParams]float64
	logDet float64
	q      int
}

const (
	wideShare = 0.3
	wideScale = 2.5
)

func (p *proposal) place(z, normal []float64, i int) {
	scale := 1.0
	if i%10 < 3 {
		scale = wideScale
	}
	for k := range z {
		z[k] = p.mean[k]
		for c := 0; c <= k; c++ {
			z[k] += scale * p.chol[k][c] * normal[c]
		}
	}
}

func (p *proposal) density(z []float64) float64 {
	var x [maxParams]float64
	d2 := 0.0
	for k := range z {
		v := z[k] - p.mean[k]
		for c := 0; c < k; c++ {
			v -= p.chol[k][c] * x[c]
		}
		x[k] = v / p.chol[k][k]
		d2 += x[k] * x[k]
	}
	q := float64(p.q)
	base := -0.5*q*math.Log(2*math.Pi) - p.logDet
	return (1-wideShare)*math.Exp(base-0.5*d2) + wideShare*math.Exp(base-q*math.Log(wideScale)-0.5*d2/(wideScale*wideScale))
}

// set takes a covariance and factors it; false if it is not positive definite.
func (p *proposal) set(mean []float64, cov [maxParams][maxParams]float64, q int) bool {
	p.q, p.logDet = q, 0
	copy(p.mean[:], mean)
	for i := 0; i < q; i++ {
		for j := 0; j <= i; j++ {
			v := cov[i][j]
			for k := 0; k < j; k++ {
				v -= p.chol[i][k] * p.chol[j][k]
			}
			if i == j {
				if !(v > 1e-14) {
					return false
				}
				p.chol[i][i] = math.Sqrt(v)
				p.logDet += math.Log(p.chol[i][i])
			} else {
				p.chol[i][j] = v / p.chol[j][j]
			}
		}
	}
	return true
}

// modeProposal stands at the optimum with the curvature's covariance.
func (s *sampler) modeProposal(out *modelSample) proposal {
	q, l := len(s.m.Params), s.o.linear()
	var p proposal
	if out.mode != nil {
		if inv, err := out.modeFit.Inverse(); err == nil {
			var cov [maxParams][maxParams]float64
			for i := 0; i < q; i++ {
				for j := 0; j < q; j++ {
					cov[i][j] = 1.2 * inv[(i+l)*(l+q)+j+l]
				}
			}
			if p.set(out.mode, cov, q) {
				return p
			}
		}
	}
	var cov [maxParams][maxParams]float64
	for i := range cov {
		cov[i][i] = 0.5
	}
	p = proposal{}
	p.set(make([]float64, q), cov, q)
	return p
}

// refit takes mean and covariance of the weighted draws, leaning on the former
// proposal when few draws carry the weight.
func refit(zs [][maxParams]float64, logw []float64, q int, old proposal) proposal {
	total := logSumExp(logw)
	var mean [maxParams]float64
	sq := 0.0
	for i := range zs {
		w := math.Exp(logw[i] - total)
		sq += w * w
		for k := 0; k < q; k++ {
			mean[k] += w * zs[i][k]
		}
	}
	var cov [maxParams][maxParams]float64
	for i := range zs {
		w := math.Exp(logw[i] - total)
		for a := 0; a < q; a++ {
			for b := 0; b <= a; b++ {
				cov[a][b] += w * (zs[i][a] - mean[a]) * (zs[i][b] - mean[b])
			}
		}
	}
	effective := 1 / sq
	lean := 6 / (6 + effective)
	for a := 0; a < q; a++ {
		for b := 0; b <= a; b++ {
			was := 0.0
			for k := 0; k <= b; k++ {
				was += old.chol[a][k] * old.chol[b][k]
			}
			cov[a][b] = 1.1*cov[a][b] + lean*was
		}
	}
	var p proposal
	if !p.set(mean[:q], cov, q) {
		return old
	}
	return p
}

// logNormal is the log density of the prior in search coordinates.
func logNormal(z []float64) float64 {
	s := 0.0
	for _, v := range z {
		s += v * v
	}
	return -0.5*s - 0.5*float64(len(z))*math.Log(2*math.Pi)
}

func logSumExp(l []float64) float64 {
	top := math.Inf(-1)
	for _, v := range l {
		top = math.Max(top, v)
	}
	if math.IsInf(top, -1) {
		return top
	}
	s := 0.0
	for _, v := range l {
		s += math.Exp(v - top)
	}
	return top + math.Log(s)
}

// topIndexes gives the indexes of the k largest values, largest first; ties by index.
func topIndexes(v []float64, k int) []int {
	var out []int
	for range min(k, len(v)) {
		best := -1
		for i := range v {
			taken := false
			for _, o := range out {
				taken = taken || o == i
			}
			if !taken && (best < 0 || v[i] > v[best]) {
				best = i
			}
		}
		out = append(out, best)
	}
	return out
}

func finite(v float64) bool { return v-v == 0 }

// logPhi is the logarithm of the standard normal distribution function.
func logPhi(x float64) float64 {
	if x > -30 {
		return math.Log(0.5 * math.Erfc(-x/math.Sqrt2))
	}
	return -0.5*x*x - math.Log(-x) - 0.5*math.Log(2*math.Pi)
}
