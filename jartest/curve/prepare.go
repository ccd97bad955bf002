package curve

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// scale is how readings are turned into the numbers that are fitted.
type scale int

const (
	logScale      scale = iota // ln of the reading
	residualScale              // ln of what a removal in % leaves
	additiveScale              // the reading itself
)

func (s scale) work(v float64) float64 {
	switch s {
	case logScale:
		return math.Log(v)
	case residualScale:
		return math.Log(100 - v)
	}
	return v
}

func (s scale) reading(w float64) float64 {
	switch s {
	case logScale:
		return math.Exp(w)
	case residualScale:
		return 100 - math.Exp(w)
	}
	return w
}

// flips reports that high readings are low on the working scale.
func (s scale) flips() bool { return s == residualScale }

// prepared is one reading of a series, ready to be fitted.
type prepared struct {
	key   jartest.Key
	scale scale
	name  string // of the scale, for people
	obs   engine.Observations
	jars  []JarUse
	index []int // jar of each observation
	dmax  float64
	// usual says where the scatter that is expected comes from; repeats that spreads
	// and numbers given in the sheet weigh the jars.
	usual   string
	repeats bool
	// pureSD is the scatter among replicate jars, with its degrees of freedom.
	pureSD float64
	pureDF int
}

// factorOf finds what was varied: the index of the chemical, or -1 and a setting.
func factorOf(s jartest.Series) (chem int, setting string, others []int) {
	f := s.Factors()
	if len(f) > 1 {
		if t := treated(s).Factors(); len(t) > 0 {
			f = t
		}
	}
	if len(f) > 0 {
		return f[0], "", f[1:]
	}
	if v := settingValues(s); len(v) > 1 {
		return -1, "ph", nil
	}
	if len(s.Chemicals) > 0 {
		return 0, "", nil
	}
	return -1, "", nil
}

// treated is the series without the jars that got none of any chemical: a blank
// beside a scan of polymer at one dose of alum does not make alum what was varied.
func treated(s jartest.Series) jartest.Series {
	var jars []jartest.Jar
	for _, j := range s.Jars {
		if slices.ContainsFunc(j.Doses, func(d jartest.JarDose) bool { return !d.Known || d.Concentration > 0 }) {
			jars = append(jars, j)
		}
	}
	s.Jars = jars
	return s
}

// settingValues gives the different pH values at which the jars stood.
func settingValues(s jartest.Series) map[float64]bool {
	out := map[float64]bool{}
	for _, j := range s.Jars {
		if v, ok := jarPH(j); ok {
			out[v] = true
		}
	}
	return out
}

// jarPH is the pH that a jar was set to, or else was read.
func jarPH(j jartest.Jar) (float64, bool) {
	for _, k := range [...]string{"ph_target", "ph"} {
		if v, ok := j.Settings[k]; ok {
			return v, true
		}
	}
	if r, ok := j.Readings.Get(jartest.PH); ok && r.State == jartest.Number {
		return r.Value, true
	}
	return 0, false
}

// column is the factor's values, jar by jar.
type column struct {
	value []float64
	ok    []bool
	why   []string
}

func factorColumn(s jartest.Series, chem int, setting string) (column, note.List) {
	var notes note.List
	n := len(s.Jars)
	c := column{make([]float64, n), make([]bool, n), make([]string, n)}
	usual := usualDoses(s, chem)
	odd := 0
	for i, j := range s.Jars {
		if setting != "" {
			c.value[i], c.ok[i] = jarPH(j)
			if !c.ok[i] {
				c.why[i] = "no pH"
			}
			continue
		}
		if chem < 0 || chem >= len(j.Doses) || !j.Doses[chem].Known {
			c.why[i] = "dose not known"
			continue
		}
		c.value[i], c.ok[i] = float64(j.Doses[chem].Concentration), true
		for k, d := range j.Doses {
			if k != chem && d.Known && float64(d.Concentration) != usual[k] {
				c.ok[i], c.why[i] = false, fmt.Sprintf("%s differs from the other jars", s.Chemicals[k].Name)
				odd++
				break
			}
		}
	}
	if odd > 0 {
		notes.Add(note.New(note.Caution, "co-dose-differs", "%d jar(s) got another dose of a second chemical than the rest and were left out", odd).
			Do("a jar without either chemical is not the zero point of one of them; run a control with the co-dose in it").At(s.Place))
	}
	return c, notes
}

// usualDoses is the commonest dose of each other chemical.
func usualDoses(s jartest.Series, chem int) []float64 {
	out := make([]float64, len(s.Chemicals))
	for k := range s.Chemicals {
		if k == chem {
			continue
		}
		count := map[float64]int{}
		for _, j := range s.Jars {
			if k < len(j.Doses) && j.Doses[k].Known {
				count[float64(j.Doses[k].Concentration)]++
			}
		}
		best := 0
		for v, n := range count {
			if n > best || n == best && v > out[k] {
				best, out[k] = n, v
			}
		}
	}
	return out
}

// meanReading is a jar's reading with its repeats averaged: geometric where a
// logarithm may be taken.
func meanReading(r jartest.Reading, geometric bool) jartest.Reading {
	if r.State != jartest.Number || len(r.Replicates) < 2 {
		return r
	}
	sum, n := 0.0, 0
	for _, x := range r.Replicates {
		if x.State != jartest.Number || geometric && x.Value <= 0 {
			return r
		}
		if geometric {
			sum += math.Log(x.Value)
		} else {
			sum += x.Value
		}
		n++
	}
	r.Value = sum / float64(n)
	if geometric {
		r.Value = math.Exp(r.Value)
	}
	return r
}

// mergeRepeats joins rows that carry the same jar label and the same doses: they
// are repeat readings of one jar.
func mergeRepeats(s jartest.Series) (jartest.Series, int) {
	type id struct{ label, doses string }
	at := map[id]int{}
	var jars []jartest.Jar
	merged := 0
	for _, j := range s.Jars {
		var d strings.Builder
		for _, x := range j.Doses {
			d.WriteString(strconv.FormatFloat(float64(x.Concentration), 'g', -1, 64))
			d.WriteByte(' ')
		}
		if v, ok := j.Settings["ph_target"]; ok {
			fmt.Fprintf(&d, "at %g", v)
		}
		k := id{strings.TrimSpace(j.Label), d.String()}
		first, seen := at[k]
		if !seen || k.label == "" {
			at[k] = len(jars)
			j.Readings = slices.Clone(j.Readings)
			jars = append(jars, j)
			continue
		}
		merged++
		for _, x := range j.Readings {
			key, r := x.Key, x.Reading
			old := jars[first].Readings.Of(key)
			if old.State == jartest.Missing {
				jars[first].Readings.Set(key, r)
				continue
			}
			if len(old.Replicates) == 0 {
				old.Replicates = []jartest.Reading{old}
			}
			old.Replicates = append(append([]jartest.Reading(nil), old.Replicates...), r)
			jars[first].Readings.Set(key, withMean(old))
		}
	}
	s.Jars = jars
	return s, merged
}

func withMean(r jartest.Reading) jartest.Reading {
	sum, n := 0.0, 0
	for _, x := range r.Replicates {
		if x.State == jartest.Number {
			sum += x.Value
			n++
		}
	}
	if n > 0 {
		r.State, r.Value = jartest.Number, sum/float64(n)
	}
	return r
}

// prepare turns one reading of the series into observations. wantHigh is true
// where a target asks for "at least".
func prepare(s jartest.Series, key jartest.Key, col column, wantHigh bool, scatter *Scatter) prepared {
	p := prepared{key: key}
	info := key.Info()
	type row struct {
		jar int
		x   float64
		r   jartest.Reading
	}
	var rows []row
	positive, numbers := true, 0
	for i, j := range s.Jars {
		r, ok := j.Readings.Get(key)
		use := JarUse{Label: j.Label, Dose: quantity.Concentration(col.value[i]), State: r.State, At: j.At}
		if r.At.Cell != "" {
			use.At = r.At
		}
		if ok {
			r = meanReading(r, !info.Signed && info.LowIsGood)
			use.Reading = r.Value
		}
		switch {
		case !col.ok[i]:
			use.Why = col.why[i]
		case !ok || r.State == jartest.Missing:
			use.Why = "no reading"
		case r.State != jartest.Number && !r.Limit:
			use.Why = "beyond the meter's range, limit not given"
		default:
			use.Used = true
			rows = append(rows, row{i, col.value[i], r})
			if r.State == jartest.Number {
				numbers++
				if r.Value < 0 {
					positive = false
				}
			}
		}
		p.jars = append(p.jars, use)
	}
	sort.SliceStable(rows, func(a, b int) bool {
		if rows[a].x != rows[b].x {
			return rows[a].x < rows[b].x
		}
		return rows[a].r.Value < rows[b].r.Value
	})

	removal := strings.HasSuffix(string(key), "_removal") && info.Unit == "%"
	switch {
	case removal:
		p.scale, p.name = residualScale, "logarithm of what is left (100 % - removal)"
	case info.Signed || wantHigh || !positive || !info.LowIsGood:
		p.scale, p.name = additiveScale, "the reading itself"
	default:
		p.scale, p.name = logScale, "logarithm of the reading"
	}
	if p.scale == logScale && !wantHigh && len(rows) > 3 {
		// A reading that only climbs with dose, such as a residual, has no fall to fit.
		var y []float64
		for _, r := range rows {
			y = append(y, r.r.Value)
		}
		if fit, turn := engine.Valley(y, nil); turn == 0 && fit[len(fit)-1] > fit[0] {
			p.scale, p.name = additiveScale, "the reading itself"
		}
	}
	for _, r := range rows {
		p.dmax = math.Max(p.dmax, r.x)
	}
	step := readingStep(s, key)
	smallest := math.Inf(1)
	for _, r := range rows {
		if v := p.left(r.r.Value); r.r.State == jartest.Number && v > 0 {
			smallest = math.Min(smallest, v)
		}
	}
	span := [2]float64{math.Inf(1), math.Inf(-1)}
	for _, r := range rows {
		limit := int8(0)
		v := r.r.Value
		switch r.r.State {
		case jartest.Below:
			limit = -1
		case jartest.Above:
			limit = 1
		}
		if p.scale != additiveScale && p.left(v) <= 0 {
			// Zero is what the meter shows for less than its step.
			least := step
			if !(least > 0) || least > smallest {
				least = smallest
			}
			if math.IsInf(least, 1) {
				continue
			}
			if p.scale == residualScale {
				v = 100 - least
			} else {
				v = least
			}
			limit = -1
			if p.scale == residualScale {
				limit = 1
			}
			p.jars[r.jar].Why = "reads nothing: taken as less than " + quantity.Sig(least, 3)
		}
		if p.scale.flips() {
			limit = -limit
		}
		w := p.scale.work(v)
		p.obs.U = append(p.obs.U, r.x)
		p.obs.Y = append(p.obs.Y, w)
		p.obs.Limit = append(p.obs.Limit, limit)
		p.index = append(p.index, r.jar)
		span[0], span[1] = math.Min(span[0], w), math.Max(span[1], w)
	}
	p.obs.Additive = p.scale == additiveScale
	p.obs.Scatter, p.usual = usualScatter(key, p.scale, span[1]-span[0], scatter)
	p.weigh(step)
	p.weighRepeats(s)
	return p
}

// left is what the logarithm is taken of.
func (p *prepared) left(v float64) float64 {
	if p.scale == residualScale {
		return 100 - v
	}
	return v
}

// readingStep guesses the step of a meter from the digits written: the finest
// last decimal among the readings.
func readingStep(s jartest.Series, key jartest.Key) float64 {
	decimals := -1
	for _, j := range s.Jars {
		r, ok := j.Readings.Get(key)
		if !ok || r.State != jartest.Number {
			continue
		}
		list := r.Replicates
		if len(list) == 0 {
			list = []jartest.Reading{r}
		}
		for _, x := range list {
			text := strings.TrimSpace(x.Text)
			if _, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err != nil {
				text = strconv.FormatFloat(x.Value, 'g', -1, 64)
			}
			n := 0
			if i := strings.LastIndexAny(text, ".,"); i >= 0 && !strings.ContainsAny(text, "eE") {
				n = len(text) - i - 1
			}
			decimals = max(decimals, n)
		}
	}
	if decimals < 0 {
		return 0
	}
	return math.Pow(10, -float64(min(decimals, 9)))
}

// weigh sets the jars' relative precision: readings near the meter's step are
// coarser on the logarithmic scale, and where replicate jars show that the scatter
// does not grow in step with the reading, the scale in between is taken.
func (p *prepared) weigh(step float64) {
	o := &p.obs
	o.W = make([]float64, len(o.U))
	for i := range o.W {
		o.W[i] = 1
	}
	p.pure()
	if o.Additive {
		return
	}
	power, known := p.errorPower()
	mean := 0.0
	for i := range o.Y {
		mean += o.Y[i] / float64(len(o.Y))
	}
	u, level, _, _ := o.Groups()
	for i := range o.W {
		at := o.Y[i]
		for k := range u {
			if u[k] == o.U[i] {
				at = level[k]
			}
		}
		if known && power < 1 {
			o.W[i] = math.Exp(2 * (1 - power) * (at - mean))
		}
		f := math.Exp(at)
		s2 := o.Scatter.SD * o.Scatter.SD
		o.W[i] *= s2 / (s2 + step*step/12/(f*f))
	}
	if known {
		switch power {
		case 0.5:
			p.name += ", scatter growing as the square root of the reading"
		case 0:
			p.name += ", scatter the same at every reading"
		}
	}
}

// pure finds the scatter among replicate jars, on the working scale.
func (p *prepared) pure() {
	u, _, _, count := p.obs.Groups()
	ss := 0.0
	for k := range u {
		if count[k] < 2 {
			continue
		}
		m, n := 0.0, 0.0
		for i := range p.obs.U {
			if p.obs.U[i] == u[k] && p.obs.Limit[i] == 0 {
				m += p.obs.Y[i]
				n++
			}
		}
		if n < 2 {
			continue
		}
		m /= n
		for i := range p.obs.U {
			if p.obs.U[i] == u[k] && p.obs.Limit[i] == 0 {
				ss += (p.obs.Y[i] - m) * (p.obs.Y[i] - m)
			}
		}
		p.pureDF += int(n) - 1
	}
	if p.pureDF > 0 {
		p.pureSD = math.Sqrt(ss / float64(p.pureDF))
	}
}

// errorPower is the stated rule for the error scale. With replicates at four or
// more doses (enough jars for the slope to mean something) the logarithm of their
// spread is regressed on the logarithm of their mean: slope near 1 means a constant
// coefficient of variation, 0.5 in between, 0 a constant spread; the nearest of the
// three counts, and one is kept unless the data argue against it by two standard
// errors. With fewer replicates six jars cannot tell, and 1 it stays.
func (p *prepared) errorPower() (float64, bool) {
	u, level, _, _ := p.obs.Groups()
	var x, y, w []float64
	for k := range u {
		ss, n := 0.0, 0.0
		m, arith := 0.0, 0.0
		for i := range p.obs.U {
			if p.obs.U[i] == u[k] && p.obs.Limit[i] == 0 {
				v := math.Exp(p.obs.Y[i])
				m += v
				arith += v * v
				n++
			}
		}
		if n < 2 {
			continue
		}
		ss = arith - m*m/n
		if !(ss > 1e-12*arith) {
			continue // equal readings tell only that the meter's step is coarse
		}
		x, y, w = append(x, level[k]), append(y, 0.5*math.Log(ss/(n-1))), append(w, n-1)
	}
	if len(x) < 4 {
		return 1, false
	}
	var sw, sx, sy float64
	for i := range x {
		sw += w[i]
		sx += w[i] * x[i]
		sy += w[i] * y[i]
	}
	sx, sy = sx/sw, sy/sw
	var sxx, sxy float64
	for i := range x {
		sxx += w[i] * (x[i] - sx) * (x[i] - sx)
		sxy += w[i] * (x[i] - sx) * (y[i] - sy)
	}
	if sxx < 1e-6 {
		return 1, false
	}
	slope := sxy / sxx
	// ln s of nu degrees of freedom has variance near 1/(2 nu), so the weights are 2 nu.
	se := 1 / math.Sqrt(2*sxx)
	switch {
	case slope > 1-2*se || slope > 0.75:
		return 1, true
	case slope > 0.25:
		return 0.5, true
	}
	return 0, true
}
