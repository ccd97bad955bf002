package curve

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// readings adds the curve of every reading of the sheet, the target's first.
func (a *analysis) readings() {
	r := a.r
	for _, k := range a.shown() {
		p := a.ready[k]
		if p == nil {
			q := prepare(a.s, k, a.col, false, a.opt.Scatter)
			p = &q
			a.ready[k] = p
		}
		rc := ReadingCurve{Key: k, Scale: p.Name, Jars: p.jars, Relative: p.Scale.Log()}
		if c := a.curved(k, p); c != nil {
			a.trace(&rc, p, c)
		}
		r.Readings = append(r.Readings, rc)
	}
	first := r.Readings[0]
	r.Curve, r.Jars, r.Scale, r.Scatter, r.Relative = first.Curve, first.Jars, first.Scale, first.Scatter, first.Relative
	a.models()
	a.flags()
	if _, between := a.middle(r.Response); between && r.Outcome == Found && len(first.Curve) > 0 {
		r.Best = first.Best
	}
}

// shown are the readings whose curves are told: those that the targets are about, and the
// others of the sheet where these are asked for.
func (a *analysis) shown() []jartest.Key {
	keys := []jartest.Key{a.r.Response}
	add := func(k jartest.Key) {
		if !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	for _, g := range a.goals {
		add(g.key)
	}
	if a.opt.OnlyTarget {
		return keys
	}
	for _, k := range a.s.Keys() {
		if a.r.Factor != "ph" || k != jartest.PH {
			add(k)
		}
	}
	return keys
}

// span is where the factor of a reading begins and how far it goes.
func (a *analysis) span(p *prepared) (lowest, span float64) {
	if a.r.Factor == "dose" {
		return 0, p.dmax
	}
	return a.lowest, a.wide
}

// curved are the curves of a reading, fitted now where no target asked for them; nil where
// the jars are too few.
func (a *analysis) curved(k jartest.Key, p *prepared) *engine.Cloud {
	if c := a.cloud[k]; c != nil {
		return c
	}
	lowest, span := a.span(p)
	if all, exact := p.distinct(); all < fewestDoses || exact < fewestExact || !(span > 0) {
		return nil
	}
	if a.r.Factor != "dose" {
		return a.fit(p, a.optimumModels(p), lowest, span)
	}
	return a.fit(p, modelsFor(p), lowest, span)
}

// trace tells a reading's curve, its best and what it reads at the planning dose.
func (a *analysis) trace(rc *ReadingCurve, p *prepared, c *engine.Cloud) {
	lowest, span := a.span(p)
	rc.Curve = a.points(rc.Key, p, c, lowest, span)
	rc.Scatter = engine.Median(c.Sigma)
	a.residuals(p, c)
	best, up := 0, a.upIsGood(rc.Key)
	for j, pt := range rc.Curve {
		if most := rc.Curve[best].Fit; up && pt.Fit > most || !up && pt.Fit < most {
			best = j
		}
	}
	if m, between := a.middle(rc.Key); between {
		best = nearest(rc.Curve, m)
	}
	rc.Best = Spot{rc.Curve[best].Dose, rc.Curve[best].Fit}
	if a.r.HasPlanning {
		rc.AtPlanning = At(rc.Curve, a.r.Planning.Concentration)
	}
}

// nearest is the place of a curve where it comes nearest to a reading.
func nearest(c []Point, to float64) (at int) {
	for j, p := range c {
		if math.Abs(p.Fit-to) < math.Abs(c[at].Fit-to) {
			at = j
		}
	}
	return at
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
func (a *analysis) points(k jartest.Key, p *prepared, c *engine.Cloud, lowest, span float64) []Point {
	out := make([]Point, len(c.U))
	for j, u := range c.U {
		lo, hi := p.Scale.Reading(a.lo[k][j]), p.Scale.Reading(a.hi[k][j])
		if p.Scale.Flips() {
			lo, hi = hi, lo
		}
		out[j] = Point{p.asWritten(lowest+u*span, span), p.Scale.Reading(a.mid[k][j]), lo, hi}
	}
	return out
}

// asWritten is a dose of the grid; where it is a jar's, it is that jar's to the last
// digit, or the jar at either end would stand beside the curve.
func (p *prepared) asWritten(dose, span float64) quantity.Concentration {
	for _, j := range p.jars {
		if math.Abs(float64(j.Dose)-dose) < 1e-9*span {
			return j.Dose
		}
	}
	return quantity.Concentration(dose)
}

// At interpolates a curve at a dose; nil where the dose lies outside of it.
func At(curve []Point, d quantity.Concentration) *Point {
	for j := 1; j < len(curve); j++ {
		if d <= curve[j].Dose && d >= curve[j-1].Dose {
			t := float64((d - curve[j-1].Dose) / (curve[j].Dose - curve[j-1].Dose))
			mix := func(x, y float64) float64 { return x + t*(y-x) }
			return &Point{d, mix(curve[j-1].Fit, curve[j].Fit), mix(curve[j-1].Low, curve[j].Low), mix(curve[j-1].High, curve[j].High)}
		}
	}
	return nil
}

// residuals judges every jar by the best model fitted without it (externally
// studentised, with the scatter's prior), and names what lies far off.
func (a *analysis) residuals(p *prepared, c *engine.Cloud) {
	m := &c.Models[c.BestModel()]
	if m.Mode == nil {
		return
	}
	o := c.Obs
	n := len(o.U)
	g, others := make([]float64, n), make([]float64, n)
	m.Model.Values(o.Places(), m.Shape, g)
	full := m.Params(o)
	for i := range o.U {
		j := &p.jars[p.Jar[i]]
		j.Fit = p.Scale.Reading(o.Predict(full, g[i]))
		if o.Limit[i] != 0 {
			continue
		}
		fit, without := c.LeaveOut(m, i)
		if fit == nil {
			continue
		}
		var shape [engine.MaxParams]float64
		l := o.Linear()
		m.Model.Natural(fit.Params[l:], shape[:])
		gi := m.Model.Value(o.At(i), shape[:])
		rss := 0.0
		m.Model.Values(without.Places(), shape[:], others)
		for k := range without.U {
			d := without.Y[k] - o.Predict(fit.Params, others[k])
			rss += without.W[k] * d * d
		}
		s := without.ModeScatter(rss, max(len(without.U)-2, 1))
		// The prediction at the jar left out is itself uncertain: delta method.
		extra := 0.0
		if inv, err := fit.Inverse(); err == nil {
			grad := make([]float64, len(fit.Params))
			var gg [engine.MaxParams]float64
			m.Model.Gradient(o.Places()[i], shape[:], gg[:])
			m.Model.Slopes(shape[:], gg[:])
			grad[0] = 1
			b := 1.0
			if l == 2 {
				grad[1], b = gi, fit.Params[1]
			}
			for k := range m.Model.Params {
				grad[l+k] = b * gg[k]
			}
			for x := range grad {
				for y := range grad {
					extra += grad[x] * inv[x*len(grad)+y] * grad[y]
				}
			}
		}
		sd := math.Sqrt(s*s/o.W[i] + extra)
		j.Residual = (o.Y[i] - o.Predict(fit.Params, gi)) / sd
		df := o.Scatter.Worth + float64(len(without.U)) - 2
		tail := 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Survival(math.Abs(j.Residual))
		j.Outlier = tail*float64(n) < 0.05
		if j.Outlier = j.Outlier && !c.Stairs.Explain(o, i); j.Outlier {
			j.Why = "far off the curve through the other jars"
			j.Expected = p.Scale.Reading(o.Predict(fit.Params, gi))
		}
	}
	a.odd(p, c)
}

// models reports every model as fitted, with its share.
func (a *analysis) models() {
	r := a.r
	c := a.cloud[r.Response]
	p := a.ready[r.Response]
	if c == nil {
		return
	}
	for i, m := range c.Models {
		w := ModelWeight{Name: m.Model.Name, Formula: m.Model.Formula, Weight: c.Shares[i] * (1 - c.Free.Share), RSS: m.RSS, Status: string(m.Status)}
		if m.Mode != nil {
			w.Criterion = criterion(&m, c.Obs)
			w.Params = a.params(&m, c, p)
			if r.Factor == "dose" {
				a.modelDose(&w, &m, c, p)
			}
		}
		r.Models = append(r.Models, w)
	}
	if c.Stairs.Share > 0 {
		r.Models = append(r.Models, a.stairsWeight(c, p))
	}
	free := ModelWeight{Name: "shape only", Formula: "falls, then may rise; straight between jars", Weight: c.Free.Share + c.Stairs.Slopes*(1-c.Free.Share), Status: "converged"}
	if c.Free.Up {
		free.Formula = "rises, then may fall; straight between jars"
	}
	for k := range c.Free.U {
		d := c.Free.Mean[k] - c.Free.Fit[k]
		free.RSS += c.Free.Weight[k] * d * d
	}
	if g := a.goals[r.Binding]; r.Factor == "dose" && g.target.Kind == jartest.Absolute {
		if d := engine.FirstCrossing(c.Free.U, c.Free.Fit, g.level, g.high); !math.IsInf(d, 1) {
			free.Dose, free.HasDose = quantity.Concentration(d*p.dmax), true
		}
	}
	r.Models = append(r.Models, free)
}

// criterion is Akaike's of small samples, in which the scatter's prior counts as the
// readings that it is worth.
func criterion(m *engine.ModelSample, o *engine.Observations) float64 {
	n, k := float64(len(o.U)), float64(o.Linear()+len(m.Model.Params)+1)
	nEff := n + o.Scatter.Worth
	c := nEff*math.Log((m.RSS+o.Scatter.Worth*o.Scatter.SD*o.Scatter.SD)/nEff) + 2*k
	if nEff-k-1 <= 0 {
		return math.Inf(1)
	}
	return c + 2*k*(k+1)/(nEff-k-1)
}

// per is by what a parameter of scaled doses is multiplied to be the user's, and its unit.
func (a *analysis) per(q engine.Param, p *prepared) (times float64, unit string) {
	span, unit := p.dmax, "mg/L"
	if a.r.Factor != "dose" {
		span, unit = a.wide, "pH"
	}
	switch q.Dose {
	case 1:
		return span, unit
	case -1:
		return 1 / span, "per " + unit
	case -2:
		return 1 / span / span, "per (" + unit + ")^2"
	}
	return 1, ""
}

// params are a model's parameters in the user's units, the linear ones first.
func (a *analysis) params(m *engine.ModelSample, c *engine.Cloud, p *prepared) (out []ParamValue) {
	r, unit := a.r, p.Key.Info().Unit
	inv, err := m.Fit.Inverse()
	l, dim := m.Linear, m.Linear+len(m.Model.Params)
	se := func(i int) float64 {
		if err != nil {
			return 0
		}
		return math.Sqrt(inv[i*dim+i])
	}
	if c.Obs.Additive {
		q := m.Model.Size
		if q.Name == "" {
			q = engine.Param{Name: "b", Meaning: "size of the change"}
		}
		f, per := a.per(q, p)
		out = append(out, ParamValue{"a", "reading at zero dose", unit, m.A, se(0)},
			ParamValue{q.Name, q.Meaning, strings.TrimSpace(unit + " " + per), m.B * f, se(1) * f})
	} else {
		level := p.Scale.Reading(m.A)
		if p.Scale.Removal() {
			level = math.Exp(m.A)
		}
		name, meaning := "C", "reading at zero dose"
		if r.Factor != "dose" {
			name, meaning = "m", "reading at the optimum"
		}
		out = append(out, ParamValue{name, meaning, unit, level, level * se(0)})
	}
	for k, q := range m.Model.Params {
		f, u := a.per(q, p)
		v := m.Shape[k] * f
		s := se(l+k) * q.Spread * f
		if q.Positive {
			s = se(l+k) * q.Spread * v
		}
		if q.Dose == 1 && r.Factor != "dose" && q.Name == "o" {
			v += a.lowest
		}
		out = append(out, ParamValue{q.Name, q.Meaning, u, v, s})
	}
	return out
}

// profileFrom is the least share of the answer at which a model's own profile
// interval is worked out.
const profileFrom = 0.1

// modelDose finds where one model's own curve meets the binding target.
func (a *analysis) modelDose(w *ModelWeight, m *engine.ModelSample, c *engine.Cloud, p *prepared) {
	g := a.goals[a.r.Binding]
	if g.target.Kind == jartest.Slope || g.target.Kind == jartest.WithinBest {
		return
	}
	d := engine.Draw{A: m.A, B: m.B}
	copy(d.Shape[:], m.Shape)
	level := g.level
	if g.target.Kind == jartest.Removal {
		level = math.Log((1 - g.target.Value/100) * g.ref)
		if c.Obs.Additive {
			level = (1 - g.target.Value/100) * g.ref
		}
	}
	at := func(u float64) float64 { return d.At(m.Model, engine.Point{X: u}, c.Obs.Additive) }
	f := make([]float64, len(c.U))
	d.Along(m.Model, c.Places(), c.Obs.Additive, f)
	x := engine.FirstCrossing(c.U, f, level, g.high)
	if math.IsInf(x, 1) {
		return
	}
	for range 40 { // the grid's straight line is only the first guess
		v := at(x) - level
		h := 1e-6
		slope := (at(x+h) - at(x-h)) / (2 * h)
		if slope == 0 || !engine.Finite(slope) {
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
	low, high := c.Profile(m, level, x)
	w.Profile = Interval{Value: w.Dose, Confidence: engine.IntervalConfidence}
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
	if a.opt.part {
		return
	}
	found := r.Outcome == Found && r.Factor == "dose"
	if found {
		a.each = a.eachWithout(p, c, &a.goals[r.Binding])
	}
	if r.Factor == "dose" {
		a.refitOdd(p)
		a.firstAgain(p)
	}
	for i, j := range r.Jars {
		if j.Outlier {
			r.Notes.Add(note.New(note.Caution, "outlier", "%s reads %s, %s; it is kept in the fit%s", a.jarName(j), quantity.Full(quantity.Number(j.Reading), 3), a.oddness(p, c, i), a.withoutIt(p, i)).
				At(j.At).Do("check the dose and the reading of that jar, or run it again"))
		}
	}
	a.scatterFlag(p, c)
	a.lackOfFit(p, c)
	if found {
		a.hangs(p)
		a.edges(p)
		a.edge(p)
	}
	a.turned(p)
	if all, _ := p.distinct(); all < 6 && r.Outcome == Found {
		r.Notes.Add(note.New(note.Info, "few-doses", "only %d different doses were tested; six or more give a firmer answer", all))
	}
	limits := 0
	for _, l := range p.Obs.Limit {
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
func (a *analysis) scatterFlag(p *prepared, c *engine.Cloud) {
	if c.Obs.Additive {
		return
	}
	m := c.Models[c.BestModel()]
	ss, df := m.RSS, float64(len(c.Obs.U)-1-len(m.Model.Params))
	if p.PureDF >= 3 {
		ss, df = p.PureSD*p.PureSD*float64(p.PureDF), float64(p.PureDF)
	}
	if c.Stairs.Tell() { // a step that no model follows is no scatter
		ss, df = c.Stairs.Residual(c.Obs)
	}
	if a.r.Overdose.Seen { // nor is a rise that is sharper than the models'
		ss = math.Min(ss, c.Obs.ValleySquares())
	}
	if found, more := c.Obs.Scatter.Exceeded(ss, df); more {
		a.r.Notes.Add(note.New(note.Caution, "scatter", "the jars scatter by about %s %%, more than the usual %s %%; with few jars a 90 %% interval then holds the true dose less often than it says", quantity.Full(quantity.Number(100*found), 2), quantity.To(quantity.Number(100*c.Obs.Scatter.SD), 3)).
			At(a.s.Place).Do("run two or three jars at each dose near the answer"))
	}
}

// plain writes a setting without idle zeros.
func plain(v float64) string { return strconv.FormatFloat(quantity.RoundSig(v, 3), 'g', -1, 64) }

// lackOfFit tests the best model against the replicates' own scatter.
func (a *analysis) lackOfFit(p *prepared, c *engine.Cloud) {
	if p.PureDF < 3 {
		return
	}
	m := c.Models[c.BestModel()]
	u, _, _, _ := p.Obs.Groups()
	dfFit := float64(len(u) - c.Obs.Linear() - len(m.Model.Params))
	pure := p.PureSD * p.PureSD * float64(p.PureDF)
	if dfFit < 1 || pure == 0 || m.RSS <= pure {
		return
	}
	f := (m.RSS - pure) / dfFit / (pure / float64(p.PureDF))
	if tail := (distuv.F{D1: dfFit, D2: float64(p.PureDF)}).Survival(f); tail < 0.05 {
		a.r.Notes.Add(note.New(note.Info, "lack-of-fit", "replicate jars agree better with each other than with any smooth model (F = %s); the answer leans on the fit that only follows the jars", quantity.Full(quantity.Number(f), 3)))
	}
}

// edges tells when the optimum is not bracketed although the target is met.
func (a *analysis) edges(p *prepared) {
	r := a.r
	u, mean, _, _ := p.Obs.Groups()
	if a.bestOf(p, mean) == len(u)-1 && !r.Overdose.Seen {
		r.Notes.Add(note.New(note.Info, "optimum-not-bracketed", "the best jar is the one with the highest dose, so nothing is known of over-dosing").
			Do("give one jar of the next test clearly more"))
	}
}
