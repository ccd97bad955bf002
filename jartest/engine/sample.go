package engine

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest/engine/lsq"
)

// The confidence of an interval, and the one-sided one of what is planned with where no other is asked.
const (
	IntervalConfidence = 0.90
	PlanningConfidence = 0.90
)

// Observations are the jars of one reading on the working scale.
type Observations struct {
	U, Y, W  []float64 // scaled dose; ln of the reading, or the reading; relative precision
	V        []float64 // the second factor, scaled; nil where one was varied
	Limit    []int8    // -1: less than y, +1: more than y, 0: y itself
	Additive bool
	Scatter  ScatterPrior
	// DoseError is the standard deviation of the logarithm of the dose that a jar got,
	// about the one that is written; SecondError that of the second factor, where it is a dose.
	DoseError, SecondError float64
}

// UsualDoseError is how far the dose of a jar may be off, as a share of it: pipettes and
// syringes hold some 1 to 3 % (common practice, no source).
const UsualDoseError = 0.015

// At is where jar i stood.
func (o *Observations) At(i int) Point {
	if o.V == nil {
		return Point{X: o.U[i]}
	}
	return Point{o.U[i], o.V[i]}
}

// Places are where the jars stood.
func (o *Observations) Places() []Place {
	at := make([]Place, len(o.U), len(o.U)+1)
	for i := range at {
		if x := o.At(i); i > 0 && x == at[i-1].Point {
			at[i] = at[i-1]
		} else {
			at[i] = placed(x)
		}
	}
	return at
}

// ScatterPrior says what scatter between jars is expected before looking:
// standard deviation s0 (of ln reading, or of the reading), worth nu0 jars.
type ScatterPrior struct{ SD, Worth float64 }

// UsualScatter is the scatter between jars of one water that is expected before
// looking, as a share of the reading, and how many jars that expectation is worth.
// Duplicate jars in published sets scatter by 4 to 13 % (two humic-acid grids of a
// university bench, five raw waters of a diploma thesis).
var UsualScatter = ScatterPrior{SD: 0.08, Worth: 2}

// Exceeded tells the scatter that a sum of squares with df degrees of freedom
// shows, and whether it is more than was expected by half and beyond chance.
func (p ScatterPrior) Exceeded(ss, df float64) (found float64, more bool) {
	if df < 1 {
		return 0, false
	}
	found = math.Sqrt(ss / df)
	return found, found > 1.5*p.SD && distuv.ChiSquared{K: df}.Survival(ss/(p.SD*p.SD)) < 0.05
}

// Steady takes off the last digits, which differ when the same jars are written in
// other units.
func Steady(v float64) float64 { return math.Round(v*1e11) / 1e11 }

// Draw is one possible curve: model, its shape, its level and the scatter about it.
type Draw struct {
	model       int
	Shape       [MaxParams]float64
	A, B, sigma float64
}

// At gives the working-scale value at a place.
func (d *Draw) At(m *Model, at Point, additive bool) float64 {
	var out [1]float64
	d.Along(m, []Place{placed(at)}, additive, out[:])
	return out[0]
}

// Along writes the working-scale values at places into out.
func (d *Draw) Along(m *Model, at []Place, additive bool, out []float64) {
	m.Values(at, d.Shape[:], out)
	for i, v := range out[:len(at)] {
		if additive {
			v *= d.B
		}
		out[i] = d.A + v
	}
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
func (o *Observations) level(g []float64) levelFit {
	var sw, sy, sg float64
	f := levelFit{linear: 1}
	limit, y := o.Limit[:len(o.W)], o.Y[:len(o.W)]
	g = g[:len(o.W)]
	for i, w := range o.W {
		if limit[i] != 0 {
			continue
		}
		f.n++
		sw += w
		sy += w * y[i]
		sg += w * g[i]
	}
	if !o.Additive {
		f.a, f.va, f.b = (sy-sg)/sw, 1/sw, 1
		for i, w := range o.W {
			if limit[i] == 0 {
				d := y[i] - f.a - g[i]
				f.rss += w * d * d
			}
		}
		return f
	}
	f.linear = 2
	my, mg := sy/sw, sg/sw
	sgg, sgy := 1e-6*sw, 0.0 // the ridge keeps a shape without contrast harmless
	for i, w := range o.W {
		if o.Limit[i] == 0 {
			sgg += w * (g[i] - mg) * (g[i] - mg)
			sgy += w * (g[i] - mg) * (o.Y[i] - my)
		}
	}
	f.b = sgy / sgg
	f.a = my - f.b*mg
	f.vb = 1 / sgg
	f.mean, f.meanOfG = 1/sw, mg
	f.logDet = ln(sgg)
	for i, w := range o.W {
		if o.Limit[i] == 0 {
			d := o.Y[i] - f.a - f.b*g[i]
			f.rss += w * d * d
		}
	}
	return f
}

// complete draws scatter and level given the shape and gives the log likelihood
// of the shape, both integrated out; jars beyond a limit enter with the chance of
// that at the level and scatter drawn.
func (o *Observations) complete(d *Draw, g []float64, z []float64) float64 {
	f := o.level(g)
	nu := o.Scatter.Worth + float64(f.n-f.linear)
	ss := o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD + f.rss
	d.sigma = math.Sqrt(ss / chiSquared(nu, z[0]))
	if o.Additive {
		shift := d.sigma * math.Sqrt(f.vb) * z[2]
		d.B = f.b + shift
		d.A = f.a + d.sigma*math.Sqrt(f.mean)*z[1] - shift*f.meanOfG
	} else {
		d.A, d.B = f.a+d.sigma*math.Sqrt(f.va)*z[1], 1
	}
	ll := -0.5*nu*ln(ss) - 0.5*f.logDet
	for i, l := range o.Limit {
		if l != 0 {
			x := (o.Y[i] - d.A - d.B*g[i]) / d.sigma * math.Sqrt(o.W[i])
			ll += logPhi(-float64(l) * x)
		}
	}
	return ll
}

// ModelSample is what one model makes of the jars.
type ModelSample struct {
	Model    *Model
	index    int
	drawing  *drawing
	draws    []Draw
	logw     []float64
	evidence float64 // log of the integrated likelihood
	// Mode is the penalised least-squares fit: search coordinates, level, slope.
	Mode    []float64
	Fit     lsq.Fit
	Sigma   float64
	Status  lsq.Status
	Shape   []float64
	A       float64
	B       float64
	RSS     float64
	penalty float64
	Linear  int
}

// drawing is room for the draws of one model.
type drawing struct {
	draws [allDraws]Draw
	logw  [allDraws]float64
}

// drawings are those that nobody needs.
var drawings = sync.Pool{New: func() any { return new(drawing) }}

// forget gives the draws' room back, once the curves of a cloud are drawn.
func (m *ModelSample) forget() {
	if m.drawing == nil {
		return
	}
	drawings.Put(m.drawing)
	m.drawing, m.draws, m.logw = nil, nil, nil
}

// sampler draws curves of one model from what the jars say of it.
type sampler struct {
	o *Observations
	m *Model
	// at are the places of the jars, one where neighbours share it; jar i stands at at[of[i]].
	at   []Place
	of   []int
	v, g []float64 // the shape at the places, and at the jars
	p    [MaxParams]float64
	// zs are the draws in search coordinates, with the log likelihood of each, its log
	// prior, and the density of the rounds so far.
	zs                   [allDraws][MaxParams]float64
	loglik, prior, mixed [allDraws]float64
}

// samplers are those at rest: their arrays are too large to be made for every model.
var samplers = sync.Pool{New: func() any { return new(sampler) }}

// shapes fills s.g with the model's shape at the jars for search coordinates z.
func (s *sampler) shapes(z []float64) {
	s.m.Natural(z, s.p[:])
	s.m.Values(s.at, s.p[:], s.v)
	for i, k := range s.of {
		s.g[i] = s.v[k]
	}
}

// stand looks up where the jars stand.
func (s *sampler) stand() {
	n := len(s.o.U)
	s.g, s.at, s.of = slices.Grow(s.g[:0], n)[:n], s.at[:0], s.of[:0]
	for i := range n {
		if at := s.o.At(i); i == 0 || at != s.at[len(s.at)-1].Point {
			s.at = append(s.at, placed(at))
		}
		s.of = append(s.of, len(s.at)-1)
	}
	s.v = slices.Grow(s.v[:0], len(s.at))[:len(s.at)]
}

// effort is how many draws a model gets in each round, and from how many starts its optimum
// is searched.
type effort struct {
	prior, mode, last, starts int
	polish                    bool
}

var (
	// thorough is for models that the whole answer may hang on and whose parameters are reported.
	thorough = effort{priorDraws, modeDraws, lastDraws, 3, true}
	// brief is for readings told beside the answer, and for the falls of branches, of which there
	// are many and each draws a few curves.
	brief = effort{priorDraws / 2, modeDraws / 2, lastDraws / 2, 1, false}
)

// sample runs three rounds of importance sampling: from the prior, around the
// optimum, and from the mean and covariance of what was found; the rounds are
// pooled with the balance heuristic (Veach and Guibas 1995; Owen and Zhou 2000;
// from memory), so that a bad round costs draws, not correctness. A model that
// after two rounds is far behind its rival's evidence is spared the third.
func (e *Engine) sample(o *Observations, m *Model, index int, rival float64, by effort) ModelSample {
	q := len(m.Params)
	s := samplers.Get().(*sampler)
	defer samplers.Put(s)
	s.o, s.m = o, m
	s.stand()
	zs, loglik := s.zs[:], s.loglik[:]
	d := drawings.Get().(*drawing)
	out := ModelSample{Model: m, index: index, drawing: d, draws: d.draws[:], logw: d.logw[:]}
	evaluate := func(i int) {
		s.shapes(zs[i][:q])
		d := &out.draws[i]
		d.model = index
		d.Shape = s.p
		loglik[i] = o.complete(d, s.g, e.normal[i][MaxParams:])
		if !Finite(loglik[i]) {
			loglik[i] = math.Inf(-1)
		}
	}
	for i := range by.prior {
		copy(zs[i][:q], e.normal[i][:q])
		evaluate(i)
	}
	s.findMode(&out, zs[:by.prior], loglik[:by.prior], by)

	var around [2]proposal
	around[0] = s.modeProposal(&out)
	looked, all := by.prior+by.mode, by.prior+by.mode+by.last
	for i := by.prior; i < looked; i++ {
		around[0].place(zs[i][:q], e.normal[i][:q], i)
		evaluate(i)
	}
	prior, mixed := s.prior[:], s.mixed[:]
	weigh := func(from, n int) {
		for i := from; i < n; i++ {
			prior[i] = logNormal(zs[i][:q])
			mixed[i] = float64(by.prior)*exp(prior[i]) + float64(by.mode)*around[0].density(zs[i][:q])
		}
		for i := range n {
			if n == all {
				mixed[i] += float64(by.last) * around[1].density(zs[i][:q])
			}
			out.logw[i] = loglik[i] + prior[i] - ln(mixed[i])
		}
	}
	weigh(0, looked)
	if logSumExp(out.logw[:looked]) < rival-negligible {
		all = looked
	} else {
		around[1] = refit(zs[:looked], out.logw[:looked], q, around[0])
		for i := looked; i < all; i++ {
			around[1].place(zs[i][:q], e.normal[i][:q], i)
			evaluate(i)
		}
		weigh(looked, all)
	}
	out.draws, out.logw = out.draws[:all], out.logw[:all]
	out.evidence = logSumExp(out.logw)
	return out
}

// negligible is how far behind in log evidence a model's share is below a thousandth.
const negligible = 7

// findMode searches the penalised optimum from the best prior draws.
func (s *sampler) findMode(out *ModelSample, zs [][MaxParams]float64, loglik []float64, by effort) {
	q := len(s.m.Params)
	order := topIndexes(loglik, by.starts)
	s.shapes(zs[order[0]][:q])
	f := s.o.level(s.g)
	sigma := s.o.ModeScatter(f.rss, f.n)
	var starts [][]float64
	for _, i := range order {
		s.shapes(zs[i][:q])
		starts = append(starts, s.o.start(s.g, zs[i][:q]))
	}
	var fit lsq.Fit
	search := lsq.Coarse
	for round := range 2 {
		fit = search(s.o.Penalised(s.m, sigma, 1), starts)
		if by.polish {
			search = lsq.FromStarts
		}
		if fit.Status == lsq.Failed {
			break
		}
		l := s.o.Linear()
		s.shapes(fit.Params[l:])
		rss := s.o.sumSquaresAt(fit.Params, s.g)
		out.RSS = rss
		next := s.o.ModeScatter(rss, len(s.o.U))
		if round == 1 {
			break // sigma stays the one that the fit was made with
		}
		sigma = next
		starts = [][]float64{fit.Params}
	}
	out.Fit, out.Sigma, out.Status = fit, sigma, fit.Status
	if fit.Status == lsq.Failed {
		return
	}
	l := s.o.Linear()
	out.Linear = l
	out.A, out.B = fit.Params[0], 1
	if l == 2 {
		out.B = fit.Params[1]
	}
	out.Mode = append([]float64(nil), fit.Params[l:]...)
	out.Shape = make([]float64, MaxParams)
	s.m.Natural(out.Mode, out.Shape)
	for _, z := range out.Mode {
		out.penalty += z * z
	}
}

// ModeScatter is the scatter that goes with a residual sum of squares, drawn
// towards what was expected before.
func (o *Observations) ModeScatter(rss float64, n int) float64 {
	return math.Sqrt((o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD + rss) / (o.Scatter.Worth + float64(n)))
}

func (o *Observations) Linear() int {
	if o.Additive {
		return 2
	}
	return 1
}

func (o *Observations) start(g, z []float64) []float64 {
	f := o.level(g)
	p := []float64{f.a}
	if o.Additive {
		p = append(p, f.b)
	}
	return append(p, z...)
}

// sumSquaresAt is the weighted residual sum of squares of the exact readings.
func (o *Observations) sumSquaresAt(p, g []float64) float64 {
	s := 0.0
	for i := range o.U {
		if o.Limit[i] != 0 {
			continue
		}
		d := o.Y[i] - o.Predict(p, g[i])
		s += o.W[i] * d * d
	}
	return s
}

func (o *Observations) Predict(p []float64, g float64) float64 {
	if o.Additive {
		return p[0] + p[1]*g
	}
	return p[0] + g
}

// Penalised is the least-squares problem of a model with scatter sigma: one
// residual per jar, and one per shape parameter that pulls it towards its prior
// with the given strength (0 for none: plain least squares). A reading beyond a
// limit enters by its signed-root deviance residual, which makes the sum of
// squares twice the negative log likelihood.
func (o *Observations) Penalised(m *Model, sigma, pull float64) lsq.Problem {
	q, l, n := len(m.Params), o.Linear(), len(o.U)
	at := o.Places()
	var p [MaxParams]float64
	v, room, g := m.rooms(n)
	shape := m.keeping(at, p[:], v)
	pulls := 0
	if pull > 0 {
		pulls = q
	}
	return lsq.Problem{N: n + pulls, P: l + q, Pulls: pulls,
		Residuals: func(x, r []float64) {
			shape(x[l:])
			for i := range o.U {
				t := math.Sqrt(o.W[i]) / sigma * (o.Predict(x, v[i]) - o.Y[i])
				if o.Limit[i] != 0 {
					t = lsq.CensoredResidual(float64(o.Limit[i]) * t)
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
			shape(x[l:])
			m.gradients(at, p[:], v, room, g)
			for i := range o.U {
				scale := math.Sqrt(o.W[i]) / sigma
				if o.Limit[i] != 0 {
					side := float64(o.Limit[i])
					t := scale * (o.Predict(x, v[i]) - o.Y[i])
					scale *= side * lsq.CensoredSlope(side*t)
				}
				row := j[i*(l+q) : (i+1)*(l+q)]
				row[0] = scale
				b := 1.0
				if l == 2 {
					row[1] = scale * v[i]
					b = x[1]
				}
				for k := range q {
					row[l+k] = scale * b * g[i*q+k]
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
	mean         [MaxParams]float64
	chol         [MaxParams][MaxParams]float64
	logDet       float64
	q            int
	narrow, wide float64 // the density of either part at the mean, with its share
}

const (
	wideShare = 0.3
	wideScale = 2.5
)

var log2Pi, logWide = math.Log(2 * math.Pi), math.Log(wideScale)

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
	var x [MaxParams]float64
	d2 := 0.0
	for k := range z {
		v := z[k] - p.mean[k]
		for c := 0; c < k; c++ {
			v -= p.chol[k][c] * x[c]
		}
		x[k] = v / p.chol[k][k]
		d2 += x[k] * x[k]
	}
	return p.narrow*exp(-0.5*d2) + p.wide*exp(-0.5*d2/(wideScale*wideScale))
}

// set takes a covariance and factors it; false if it is not positive definite.
func (p *proposal) set(mean []float64, cov [MaxParams][MaxParams]float64, q int) bool {
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
				p.logDet += ln(p.chol[i][i])
			} else {
				p.chol[i][j] = v / p.chol[j][j]
			}
		}
	}
	base := -0.5*float64(q)*log2Pi - p.logDet
	p.narrow, p.wide = (1-wideShare)*exp(base), wideShare*exp(base-float64(q)*logWide)
	return true
}

// modeProposal stands at the optimum with the curvature's covariance.
func (s *sampler) modeProposal(out *ModelSample) proposal {
	q, l := len(s.m.Params), s.o.Linear()
	var p proposal
	if out.Mode != nil {
		if inv, err := out.Fit.Inverse(); err == nil {
			var cov [MaxParams][MaxParams]float64
			for i := 0; i < q; i++ {
				for j := 0; j < q; j++ {
					cov[i][j] = 1.2 * inv[(i+l)*(l+q)+j+l]
				}
			}
			if p.set(out.Mode, cov, q) {
				return p
			}
		}
	}
	var cov [MaxParams][MaxParams]float64
	for i := range cov {
		cov[i][i] = 0.5
	}
	p = proposal{}
	p.set(make([]float64, q), cov, q)
	return p
}

// refit takes mean and covariance of the weighted draws, leaning on the former
// proposal when few draws carry the weight.
func refit(zs [][MaxParams]float64, logw []float64, q int, old proposal) proposal {
	total := logSumExp(logw)
	var mean [MaxParams]float64
	var weights [allDraws]float64
	sq := 0.0
	for i := range zs {
		w := exp(logw[i] - total)
		weights[i] = w
		sq += w * w
		for k := 0; k < q; k++ {
			mean[k] += w * zs[i][k]
		}
	}
	var cov [MaxParams][MaxParams]float64
	for i := range zs {
		w := weights[i]
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
	return -0.5*s - 0.5*float64(len(z))*log2Pi
}

func logSumExp(l []float64) float64 {
	top := math.Inf(-1)
	for _, v := range l {
		top = max(top, v)
	}
	if math.IsInf(top, -1) {
		return top
	}
	s := 0.0
	for _, v := range l {
		s += exp(v - top)
	}
	return top + ln(s)
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

func Finite(v float64) bool { return v-v == 0 }

// logPhi is the logarithm of the standard normal distribution function.
func logPhi(x float64) float64 {
	if x > -30 {
		return ln(0.5 * math.Erfc(-x/math.Sqrt2))
	}
	return -0.5*x*x - ln(-x) - 0.5*ln(2*math.Pi)
}
