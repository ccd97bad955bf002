package observed

import (
	"math"
	"strconv"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/engine"
)

// readingStep guesses the step of a meter from the digits written: the finest last decimal among the
// readings, as much wider as a reading was worked out free of the white water of its jar.
func readingStep(s jartest.Series, key jartest.Key) float64 {
	step := 0.0
	for _, j := range s.Jars {
		r, ok := j.Readings.Get(key)
		if !ok || r.State != jartest.Number {
			continue
		}
		wider := 1.0
		if r.Read.OK {
			wider += float64(s.WhiteIn(j))
		}
		list := r.Replicates
		if len(list) == 0 {
			list = []jartest.Reading{r}
		}
		for _, x := range list {
			if own := wider * writtenStep(x); step == 0 || own < step {
				step = own
			}
		}
	}
	return step
}

// writtenStep is one of the last decimal of a reading as the meter showed it.
func writtenStep(x jartest.Reading) float64 {
	text := strings.TrimSpace(x.Text)
	if _, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err != nil {
		shown := x.Value
		if x.Read.OK {
			shown = x.Read.V
		}
		text = strconv.FormatFloat(shown, 'g', -1, 64)
	}
	n := 0
	if i := strings.LastIndexAny(text, ".,"); i >= 0 && !strings.ContainsAny(text, "eE") {
		n = len(text) - i - 1
	}
	return math.Pow(10, -float64(min(n, 9)))
}

// place is where one jar or several stood, and the mean of what they read.
type place struct {
	at     engine.Point
	jars   []int // observations
	exact  []int // those that are no limits
	level  float64
	within float64 // sum of squares of the exact ones about their mean
}

// places gathers the observations of one place; those of one place stand together.
func (r *Reading) places() []place {
	o := &r.Obs
	var out []place
	for i := range o.U {
		if k := len(out) - 1; k < 0 || out[k].at != o.At(i) {
			out = append(out, place{at: o.At(i)})
		}
		p := &out[len(out)-1]
		if p.jars = append(p.jars, i); o.Limit[i] == 0 {
			p.exact = append(p.exact, i)
		}
	}
	for k := range out {
		p := &out[k]
		for _, i := range p.jars {
			p.level += o.Y[i] / float64(len(p.jars))
		}
		mean := 0.0
		for _, i := range p.exact {
			mean += o.Y[i] / float64(len(p.exact))
		}
		for _, i := range p.exact {
			p.within += (o.Y[i] - mean) * (o.Y[i] - mean)
		}
	}
	return out
}

// weigh sets the jars' relative precision: readings near the meter's step are
// coarser on the logarithmic scale, and where replicate jars show that the scatter
// does not grow in step with the reading, the scale in between is taken.
func (r *Reading) weigh(step float64) {
	o, all := &r.Obs, r.places()
	o.W = make([]float64, len(o.U))
	mean, ss := 0.0, 0.0
	for i := range o.W {
		o.W[i] = 1
		mean += o.Y[i] / float64(len(o.Y))
	}
	for _, p := range all {
		if n := len(p.exact); n > 1 {
			ss += p.within
			r.PureDF += n - 1
		}
	}
	if r.PureDF > 0 {
		r.PureSD = math.Sqrt(ss / float64(r.PureDF))
	}
	if !r.Scale.Log() {
		return
	}
	power, known := r.errorPower(all)
	for _, p := range all {
		w, coarse := 1.0, step*math.Exp(-p.level)
		if known && power < 1 {
			w = math.Exp(2 * (1 - power) * (p.level - mean))
		}
		s2 := o.Scatter.SD * o.Scatter.SD
		for _, i := range p.jars {
			o.W[i] = w * s2 / (s2 + coarse*coarse/12)
		}
	}
	if known {
		switch power {
		case 0.5:
			r.Name += ", scatter growing as the square root of the reading"
		case 0:
			r.Name += ", scatter the same at every reading"
		}
	}
}

// errorPower is the stated rule for the error scale. With replicates at four or
// more doses (enough jars for the slope to mean something) the logarithm of their
// spread is regressed on the logarithm of their mean: slope near 1 means a constant
// coefficient of variation, 0.5 in between, 0 a constant spread; the nearest of the
// three counts, and one is kept unless the data argue against it by two standard
// errors. With fewer replicates six jars cannot tell, and 1 it stays.
func (r *Reading) errorPower(all []place) (float64, bool) {
	var x, y, w []float64
	var sw, sx, sy float64
	for _, p := range all {
		n := float64(len(p.exact))
		sum, squares := 0.0, 0.0
		for _, i := range p.exact {
			v := math.Exp(r.Obs.Y[i])
			sum, squares = sum+v, squares+v*v
		}
		ss := squares - sum*sum/n
		if n < 2 || !(ss > 1e-12*squares) {
			continue // equal readings tell only that the meter's step is coarse
		}
		x, y, w = append(x, p.level), append(y, 0.5*math.Log(ss/(n-1))), append(w, n-1)
		sw, sx, sy = sw+n-1, sx+(n-1)*p.level, sy+(n-1)*y[len(y)-1]
	}
	if len(x) < 4 {
		return 1, false
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
