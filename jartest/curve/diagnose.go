package curve

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest"
	"jarwright/jartest/curve/lsq"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func sortFloats(v []float64) { slices.Sort(v) }

// readings adds the curve of every reading of the sheet, the target's first.
func (a *analysis) readings() {
	r := a.r
	keys := []jartest.Key{r.Response}
	for _, g := range a.goals {
		if !slices.Contains(keys, g.key) {
			keys = append(keys, g.key)
		}
	}
	if !a.opt.OnlyTarget {
		for _, k := range a.s.Keys() {
			if !slices.Contains(keys, k) && !(r.Factor == "ph" && k == jartest.PH) {
				keys = append(keys, k)
			}
		}
	}
	for _, k := range keys {
		p := a.ready[k]
		if p == nil {
			q := prepare(a.s, k, a.col, false, a.opt.Scatter)
			p = &q
			a.ready[k] = p
		}
		rc := ReadingCurve{Key: k, Scale: p.name, Jars: p.jars, Relative: p.scale != additiveScale}
		c := a.cloud[k]
		if all, exact := p.distinct(); c == nil && all >= fewestDoses && exact >= fewestExact {
			lowest, span := 0.0, p.dmax
			models := modelsFor(p)
			if r.Factor != "dose" {
				lo, hi := testedRange(p)
				lowest, span = float64(lo), float64(hi-lo)
				models = a.optimumModels(p)
			}
			if span > 0 {
				c = a.fit(p, models, lowest, span)
			}
		}
		if c != nil {
			lowest, span := 0.0, p.dmax
			if r.Factor != "dose" {
				lo, hi := testedRange(p)
				lowest, span = float64(lo), float64(hi-lo)
			}
			rc.Curve = a.points(k, p, c, lowest, span)
			rc.Scatter = medianOf(c.sigma)
			a.residuals(p, c)
			best := 0
			for j, pt := range rc.Curve {
				if (pt.Fit < rc.Curve[best].Fit) == !a.upIsGood(k) && pt.Fit != rc.Curve[best].Fit {
					best = j
				}
			}
			rc.Best = Spot{rc.Curve[best].Dose, rc.Curve[best].Fit}
			if r.HasPlanning {
				rc.AtPlanning = at(rc.Curve, r.Planning.Concentration)
			}
		}
		r.Readings = append(r.Readings, rc)
	}
	first := r.Readings[0]
	r.Curve, r.Jars, r.Scale, r.Scatter, r.Relative = first.Curve, first.Jars, first.Scale, first.Scatter, first.Relative
	a.models()
	a.flags()
}

// upIsGood tells whether a high reading is the better one.
func (a *analysis) upIsGood(k jartest.Key) bool {
	for _, g := range a.goals {
		if g.key == k && g.target.Kind == jartest.Absolute {
			return g.target.AtLeast
		}
	}
	return isRemovalKey(k) || k.Known() && !k.Info().LowIsGood
}

// points gives the curve in the user's units, ordered by dose.
func (a *analysis) points(k jartest.Key, p *prepared, c *cloud, lowest, span float64) []Point {
	out := make([]Point, len(c.u))
	for j, u := range c.u {
		lo, hi := p.scale.reading(a.lo[k][j]), p.scale.reading(a.hi[k][j])
		if p.scale.flips() {
			lo, hi = hi, lo
		}
		out[j] = Point{quantity.Concentration(lowest + u*span), p.scale.reading(a.mid[k][j]), lo, hi}
	}
	return out
}

// at interpolates a curve at dose d.
func at(curve []Point, d quantity.Concentration) *Point {
	for j := 1; j < len(curve); j++ {
		if d <= curve[j].Dose && d >= curve[j-1].Dose {
			t := float64((d - curve[j-1].Dose) / (curve[j].Dose - curve[j-1].Dose))
			mix := func(x, y float64) float64 { return x + t*(y-x) }
			return &Point{d, mix(curve[j-1].Fit, curve[j].Fit), mix(curve[j-1].Low, curve[j].Low), mix(curve[j-1].High, curve[j].High)}
		}
	}
	return nil
}

// bestModel is the model with the largest share.
func (c *cloud) bestModel() int {
	b := 0
	for i, s := range c.shares {
		if s > c.shares[b] {
			b = i
		}
	}
	return b
}

// residuals judges every jar by the best model fitted without it (externally
// studentised, with the scatter's prior), and names what lies far off.
func (a *analysis) residuals(p *prepared, c *cloud) {
	m := &c.models[c.bestModel()]
	if m.mode == nil {
		return
	}
	o := c.o
	n := len(o.u)
	g := make([]float64, n)
	for i, u := range o.u {
		g[i] = m.model.Value(u, m.modeShape)
	}
	full := append([]float64{m.modeA}, m.mode...)
	if o.additive {
		full = append([]float64{m.modeA, m.modeB}, m.mode...)
	}
	for i := range o.u {
		j := &p.jars[p.index[i]]
		j.Fit = p.scale.reading(o.predict(full, g[i]))
		if o.limit[i] != 0 {
			continue
		}
		fit, without := a.leaveOut(c, m, i)
		if fit == nil {
			continue
		}
		var shape [maxParams]float64
		l := o.linear()
		m.model.natural(fit.Params[l:], shape[:])
		gi := m.model.Value(o.u[i], shape[:])
		rss := 0.0
		for k := range without.u {
			d := without.y[k] - o.predict(fit.Params, m.model.Value(without.u[k], shape[:]))
			rss += without.w[k] * d * d
		}
		s := without.modeScatter(rss, max(len(without.u)-2, 1))
		// The prediction at the jar left out is itself uncertain: delta method.
		extra := 0.0
		if inv, err := fit.Inverse(); err == nil {
			grad := make([]float64, len(fit.Params))
			var gg [maxParams]float64
			m.model.Gradient(o.u[i], shape[:], gg[:])
			m.model.slopes(shape[:], gg[:])
			grad[0] = 1
			b := 1.0
			if l == 2 {
				grad[1], b = gi, fit.Params[1]
			}
			for k := range m.model.Params {
				grad[l+k] = b * gg[k]
			}
			for x := range grad {
				for y := range grad {
					extra += grad[x] * inv[x*len(grad)+y] * grad[y]
				}
			}
		}
		sd := math.Sqrt(s*s/o.w[i] + extra)
		j.Residual = (o.y[i] - o.predict(fit.Params, gi)) / sd
		df := o.scatter.nu0 + float64(len(without.u)) - 2
		tail := 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Survival(math.Abs(j.Residual))
		j.Outlier = tail*float64(n) < 0.05
		if j.Outlier = j.Outlier && !c.stairs.explain(o, i); j.Outlier {
			j.Why = "far off the curve through the other jars"
		}
	}
}

// leftOut is a fit without one of the jars.
type leftOut struct {
	fit lsq.Fit
	obs *observations
}

// leaveOut fits the best model again without observation i; the result is kept,
// because two questions are asked of it.
func (a *analysis) leaveOut(c *cloud, m *modelSample, i int) (*lsq.Fit, *observations) {
	if c.left == nil {
		c.left = make([]*leftOut, len(c.o.u))
	}
	if l := c.left[i]; l != nil {
		if l.fit.Status == lsq.Failed {
			return nil, nil
		}
		return &l.fit, l.obs
	}
	o := c.o
	w := &observations{additive: o.additive, scatter: o.scatter}
	for k := range o.u {
		if k != i {
			w.u, w.y, w.w, w.limit = append(w.u, o.u[k]), append(w.y, o.y[k]), append(w.w, o.w[k]), append(w.limit, o.limit[k])
		}
	}
	start := append([]float64{m.modeA}, m.mode...)
	flat := append([]float64{m.modeA}, make([]float64, len(m.mode))...)
	if o.additive {
		start = append([]float64{m.modeA, m.modeB}, m.mode...)
		flat = append([]float64{m.modeA, m.modeB}, make([]float64, len(m.mode))...)
	}
	c.left[i] = &leftOut{lsq.Coarse(w.penalised(m.model, m.sigma, 1), [][]float64{start, flat}), w}
	return a.leaveOut(c, m, i)
}

// models reports every model as fitted, with its share.
func (a *analysis) models() {
	r := a.r
	c := a.cloud[r.Response]
	p := a.ready[r.Response]
	if c == nil {
		return
	}
	unit := p.key.Info().Unit
	scaleOf := func(q Param) (float64, string) {
		span := p.dmax
		per := "mg/L"
		if r.Factor != "dose" {
			span, per = float64(r.TestedHigh-r.TestedLow), "pH"
		}
		switch q.Dose {
		case 1:
			return span, per
		case -1:
			return 1 / span, "per " + per
		case -2:
			return 1 / span / span, "per (" + per + ")^2"
		}
		return 1, ""
	}
	for i, m := range c.models {
		w := ModelWeight{Name: m.model.Name, Formula: m.model.Formula, Weight: c.shares[i] * (1 - c.flat.share), RSS: m.modeRSS, Status: string(m.converged)}
		if m.mode != nil {
			n, k := float64(len(c.o.u)), float64(c.o.linear()+len(m.model.Params)+1)
			nEff := n + c.o.scatter.nu0
			w.Criterion = nEff*math.Log((m.modeRSS+c.o.scatter.nu0*c.o.scatter.s0*c.o.scatter.s0)/nEff) + 2*k
			if nEff-k-1 > 0 {
				w.Criterion += 2 * k * (k + 1) / (nEff - k - 1)
			} else {
				w.Criterion = math.Inf(1)
			}
			inv, err := m.modeFit.Inverse()
			l, dim := m.linearPart, m.linearPart+len(m.model.Params)
			se := func(i int) float64 {
				if err != nil {
					return 0
				}
				return math.Sqrt(inv[i*dim+i])
			}
			switch {
			case !c.o.additive:
				level := p.scale.reading(m.modeA)
				if p.scale == residualScale {
					level = math.Exp(m.modeA)
				}
				name, meaning := "C", "reading at zero dose"
				if r.Factor != "dose" {
					name, meaning = "m", "reading at the optimum"
				}
				w.Params = append(w.Params, ParamValue{name, meaning, unit, level, level * se(0)})
			default:
				w.Params = append(w.Params, ParamValue{"a", "reading at zero dose", unit, m.modeA, se(0)}, ParamValue{"b", "size of the change", unit, m.modeB, se(1)})
			}
			for k, q := range m.model.Params {
				f, u := scaleOf(q)
				v := m.modeShape[k] * f
				s := se(l+k) * q.Spread * f
				if q.Positive {
					s = se(l+k) * q.Spread * v
				}
				if q.Dose == 1 && r.Factor != "dose" && q.Name == "o" {
					v += float64(r.TestedLow)
				}
				w.Params = append(w.Params, ParamValue{q.Name, q.Meaning, u, v, s})
			}
			if r.Factor == "dose" {
				a.modelDose(&w, &m, c, p)
			}
		}
		r.Models = append(r.Models, w)
	}
	if c.stairs.share > 0 {
		r.Models = append(r.Models, a.stairsWeight(c, p))
	}
	free := ModelWeight{Name: "shape only", Formula: "falls, then may rise; straight between jars", Weight: c.flat.share, Status: "converged"}
	if c.flat.up {
		free.Formula = "rises, then may fall; straight between jars"
	}
	for k := range c.flat.u {
		d := c.flat.mean[k] - c.flat.fit[k]
		free.RSS += c.flat.weight[k] * d * d
	}
	if g := a.goals[r.Binding]; r.Factor == "dose" && g.target.Kind == jartest.Absolute {
		if d := firstCrossing(c.flat.u, c.flat.fit, g.level, g.high); !math.IsInf(d, 1) {
			free.Dose, free.HasDose = quantity.Concentration(d*p.dmax), true
		}
	}
	r.Models = append(r.Models, free)
}

// modelDose finds where one model's own curve meets the binding target.
func (a *analysis) modelDose(w *ModelWeight, m *modelSample, c *cloud, p *prepared) {
	g := a.goals[a.r.Binding]
	if g.target.Kind == jartest.Slope || g.target.Kind == jartest.WithinBest {
		return
	}
	d := draw{a: m.modeA, b: m.modeB}
	copy(d.shape[:], m.modeShape)
	level := g.level
	if g.target.Kind == jartest.Removal {
		level = math.Log((1 - g.target.Value/100) * g.ref)
		if c.o.additive {
			level = (1 - g.target.Value/100) * g.ref
		}
	}
	f := make([]float64, len(c.u))
	for j, u := range c.u {
		f[j] = d.at(m.model, u, c.o.additive)
	}
	x := firstCrossing(c.u, f, level, g.high)
	if math.IsInf(x, 1) {
		return
	}
	for range 40 { // the grid's straight line is only the first guess
		v := d.at(m.model, x, c.o.additive) - level
		h := 1e-6
		slope := (d.at(m.model, x+h, c.o.additive) - d.at(m.model, x-h, c.o.additive)) / (2 * h)
		if slope == 0 || !finite(slope) {
			break
		}
		next := x - v/slope
		if !(math.Abs(next-x) < 0.05) {
			break
		}
		done := math.Abs(next-x) < 1e-13
		x = next
		if done {
			break
		}
	}
	w.Dose, w.HasDose = quantity.Concentration(x*p.dmax), true
	if w.Weight < profileFrom {
		return
	}
	low, high := c.profile(m, level, x)
	w.Profile = Interval{Value: w.Dose, Confidence: intervalConfidence}
	if !math.IsNaN(low) {
		w.Profile.Low, w.Profile.HasLow = quantity.Concentration(low*p.dmax), true
	}
	if !math.IsNaN(high) {
		w.Profile.High, w.Profile.HasHigh = quantity.Concentration(high*p.dmax), true
	}
}

// flags adds the cautions that come from looking at the jars.
func (a *analysis) flags() {
	r := a.r
	p, c := a.ready[r.Response], a.cloud[r.Response]
	if c == nil {
		return
	}
	for _, j := range r.Jars {
		if j.Outlier {
			r.Notes.Add(note.New(note.Caution, "outlier", "%s reads %s, far from the %s that the other jars point to; it is kept in the fit", a.jarName(j), quantity.Full(quantity.Number(j.Reading), 3), quantity.Full(quantity.Number(j.Fit), 3)).
				At(j.At).Do("check the dose and the reading of that jar, or run it again"))
		}
	}
	a.scatterFlag(p, c)
	a.lackOfFit(p, c)
	if r.Outcome == Found && r.Factor == "dose" {
		a.leaveOneOut(p, c)
		a.edges(p)
	}
	if all, _ := p.distinct(); all < 6 && r.Outcome == Found {
		r.Notes.Add(note.New(note.Info, "few-doses", "only %d different doses were tested; six or more give a firmer answer", all))
	}
	limits := 0
	for _, l := range p.obs.limit {
		if l != 0 {
			limits++
		}
	}
	if limits > 0 {
		r.Notes.Add(note.New(note.Info, "beyond-limit", "%d reading(s) beyond the meter's limit count as \"less than\" or \"more than\", not as the limit itself", limits))
	}
}

func (a *analysis) jarName(j JarUse) note.Phrase {
	if j.Label != "" {
		return note.Say("jar %s (%s)", j.Label, a.mgl(float64(j.Dose)))
	}
	return note.Say("the jar at %s", a.mgl(float64(j.Dose)))
}

// scatterFlag compares the scatter found with the scatter expected.
func (a *analysis) scatterFlag(p *prepared, c *cloud) {
	if c.o.additive {
		return
	}
	m := c.models[c.bestModel()]
	ss, df := m.modeRSS, float64(len(c.o.u)-1-len(m.model.Params))
	if p.pureDF >= 3 {
		ss, df = p.pureSD*p.pureSD*float64(p.pureDF), float64(p.pureDF)
	}
	s0 := c.o.scatter.s0
	if c.stairs.tell() { // a step that no model follows is no scatter
		ss, df = c.stairs.residual(c.o)
	}
	if df < 1 {
		return
	}
	found := math.Sqrt(ss / df)
	if tail := (distuv.ChiSquared{K: df}).Survival(ss / (s0 * s0)); tail < 0.05 && found > 1.5*s0 {
		a.r.Notes.Add(note.New(note.Caution, "scatter", "the jars scatter by about %s %%, more than the usual %s %%; with few jars a 90 %% interval then holds the true dose less often than it says", quantity.Full(quantity.Number(100*found), 2), quantity.To(quantity.Number(100*s0), 3)).
			At(a.s.Place).Do("run two or three jars at each dose near the answer"))
	}
}

// plain writes a setting without idle zeros.
func plain(v float64) string { return strconv.FormatFloat(quantity.RoundSig(v, 3), 'g', -1, 64) }

// lackOfFit tests the best model against the replicates' own scatter.
func (a *analysis) lackOfFit(p *prepared, c *cloud) {
	if p.pureDF < 3 {
		return
	}
	m := c.models[c.bestModel()]
	u, _, _, _ := p.obs.groups()
	dfFit := float64(len(u) - c.o.linear() - len(m.model.Params))
	pure := p.pureSD * p.pureSD * float64(p.pureDF)
	if dfFit < 1 || pure == 0 || m.modeRSS <= pure {
		return
	}
	f := (m.modeRSS - pure) / dfFit / (pure / float64(p.pureDF))
	if tail := (distuv.F{D1: dfFit, D2: float64(p.pureDF)}).Survival(f); tail < 0.05 {
		a.r.Notes.Add(note.New(note.Info, "lack-of-fit", "replicate jars agree better with each other than with any smooth model (F = %s); the answer leans on the fit that only follows the jars", quantity.Full(quantity.Number(f), 3)))
	}
}

// leaveOneOut names a jar without which the answer moves by more than a fifth.
func (a *analysis) leaveOneOut(p *prepared, c *cloud) {
	r := a.r
	g := a.goals[r.Binding]
	if g.target.Kind != jartest.Absolute {
		return
	}
	m := &c.models[c.bestModel()]
	if m.mode == nil {
		return
	}
	crossing := func(params []float64) float64 {
		var shape [maxParams]float64
		l := c.o.linear()
		m.model.natural(params[l:], shape[:])
		f := make([]float64, len(c.u))
		for j, u := range c.u {
			f[j] = c.o.predict(params, m.model.Value(u, shape[:]))
		}
		return firstCrossing(c.u, f, g.level, g.high)
	}
	full := append([]float64{m.modeA}, m.mode...)
	if c.o.additive {
		full = append([]float64{m.modeA, m.modeB}, m.mode...)
	}
	all := crossing(full)
	if math.IsInf(all, 1) || all <= 0 {
		return
	}
	worst, jar := 0.2, -1
	for i := range c.o.u {
		fit, _ := a.leaveOut(c, m, i)
		if fit == nil {
			continue
		}
		d := crossing(fit.Params)
		move := math.Abs(d/all - 1)
		if math.IsInf(d, 1) {
			move = math.Abs(1/all - 1)
		}
		if move > worst {
			worst, jar = move, i
		}
	}
	if jar >= 0 {
		j := p.jars[p.index[jar]]
		r.Notes.Add(note.New(note.Caution, "hangs-on-one-jar", "the answer hangs on %s: without it the dose would move by %s %%", a.jarName(j), quantity.Full(quantity.Number(100*worst), 2)).
			At(j.At).Do("run that dose again"))
	}
}

// edges tells when the optimum is not bracketed although the target is met.
func (a *analysis) edges(p *prepared) {
	r := a.r
	u, mean, _, _ := p.obs.groups()
	best := 0
	for k := range mean {
		if mean[k] < mean[best] != a.highIsBest(p) && mean[k] != mean[best] {
			best = k
		}
	}
	if best == len(u)-1 && !r.Overdose.Seen {
		r.Notes.Add(note.New(note.Info, "optimum-not-bracketed", "the best jar is the one with the highest dose, so nothing is known of over-dosing"))
	}
}
