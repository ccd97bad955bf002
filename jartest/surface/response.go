package surface

import (
	"math"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// scale is how a reading is turned into the number that is fitted, always so
// that lower is better.
type scale struct {
	name string
	// log is true for logarithms of what is left in the water.
	log bool
	// removal is true where the reading is a removal in percent.
	removal bool
	// sign, mid and width scale a reading that no logarithm may be taken of.
	sign, mid, width float64
}

// work gives the fitted number of a reading; NaN where it has none.
func (s scale) work(v float64) float64 {
	switch {
	case s.removal:
		v = 100 - v
		fallthrough
	case s.log:
		if v <= 0 {
			return math.NaN()
		}
		return math.Log(v)
	}
	return s.sign * (v - s.mid) / s.width
}

// reading is the way back.
func (s scale) reading(w float64) float64 {
	switch {
	case s.removal:
		return 100 - math.Exp(w)
	case s.log:
		return math.Exp(w)
	}
	return s.mid + s.sign*w*s.width
}

// response is one reading of the design, ready to be fitted, with the goal set by a target.
type response struct {
	target jartest.Target
	key    jartest.Key
	scale  scale
	obs    engine.Observations
	jar    []int // index of the jar of each observation
	goal   float64
	// within is the margin above the best fitted value, where the target asks for that.
	within    float64
	hasWithin bool
	reference curve.Reference
	refJars   float64 // how many readings the reference is the mean of
	cloud     *engine.Cloud
	alone     *engine.Joint // where this target alone is met
	// mid, low and high are at the cloud's crossings the middle surface and the bounds of 90 % of them.
	mid, low, high []float64
}

// meshShare is the part of the answer that comes from interpolation between the
// jars: the insurance against a water that follows no model.
const meshShare = 0.2

// fit builds the cloud of the reading and reads its middle and its bounds.
func (r *response) fit(e *engine.Engine, ph bool) {
	family := engine.PairModels()
	switch {
	case r.scale.sign != 0:
		family = engine.StraightModels()
	case ph:
		family = engine.PHModels()
	}
	r.cloud = e.Build(&r.obs, family, meshShare)
	r.mid, r.low, r.high = r.cloud.Band((1-engine.IntervalConfidence)/2, (1+engine.IntervalConfidence)/2)
}

// mean is the middle surface at a pair.
func (r *response) mean(q engine.Point) float64 { return r.cloud.Cell(q).Of(r.mid) }

// scatter is the standard deviation of a jar about the surface, on the fitted scale.
func (r *response) scatter() float64 { return engine.Median(r.cloud.Sigma) }

// levels gives what every surface must get down to. Reference readings scatter
// like any jar's, and what is within some per cent of the best depends on the best.
func (r *response) levels(e *engine.Engine, inside []int) []float64 {
	out := make([]float64, len(r.cloud.F))
	for k, row := range r.cloud.F {
		out[k] = r.goal
		if r.refJars > 0 {
			out[k] += r.cloud.Sigma[k] / math.Sqrt(r.refJars) * e.Rough[(k*31+7)%len(e.Rough)]
		}
		if r.hasWithin {
			best := math.Inf(1)
			for _, j := range inside {
				best = math.Min(best, row[j])
			}
			out[k] = best + r.within
		}
	}
	return out
}

// usable says whether a jar has a reading of that kind that a fit can take.
func usable(j jartest.Jar, k jartest.Key) (why string, ok bool) {
	r, has := j.Readings.Get(k)
	switch {
	case !has || r.State == jartest.Missing:
		return "no reading", false
	case r.State != jartest.Number && !r.Limit:
		return "beyond the meter's range, limit not given", false
	}
	return "", true
}

// mean is a jar's reading with its repeats averaged, geometric for logarithms.
func mean(r jartest.Reading, log bool) float64 {
	if r.State != jartest.Number || len(r.Replicates) < 2 {
		return r.Value
	}
	sum := 0.0
	for _, x := range r.Replicates {
		switch {
		case x.State != jartest.Number || log && x.Value <= 0:
			return r.Value
		case log:
			sum += math.Log(x.Value)
		default:
			sum += x.Value
		}
	}
	sum /= float64(len(r.Replicates))
	if log {
		return math.Exp(sum)
	}
	return sum
}

// prepare turns the target's reading into data for the fit.
func prepare(d design, t jartest.Target, pr engine.ScatterPrior) (response, *note.Note) {
	r := response{target: t, key: t.Key}
	info := t.Key.Info()
	values, jars := make([]float64, 0, len(d.jars)), make([]int, 0, len(d.jars))
	least, low, high := math.Inf(1), math.Inf(1), math.Inf(-1)
	removal := strings.HasSuffix(string(t.Key), "_removal") && info.Unit == "%"
	log := removal || !info.Signed && info.LowIsGood && !(t.Kind == jartest.Absolute && t.AtLeast)
	for i, j := range d.series.Jars {
		if !d.jars[i].Used {
			continue
		}
		x, ok := j.Readings.Get(t.Key)
		if _, fit := usable(j, t.Key); !ok || !fit {
			continue
		}
		v := mean(x, log && !removal)
		low, high = math.Min(low, v), math.Max(high, v)
		left := v
		if removal {
			left = 100 - v
		}
		if left < 0 && !removal {
			log = false
		}
		if left > 0 && x.State == jartest.Number {
			least = math.Min(least, left)
		}
		values = append(values, v)
		jars = append(jars, i)
	}
	switch {
	case removal:
		r.scale = scale{name: "logarithm of what is left (100 % - removal)", removal: true}
	case log:
		r.scale = scale{name: "logarithm of the reading", log: true}
	default:
		sign := 1.0
		if t.AtLeast {
			sign = -1
		}
		r.scale = scale{name: "the reading itself", sign: sign, mid: (low + high) / 2, width: math.Max(high-low, 1e-9)}
		pr = engine.ScatterPrior{SD: 0.05, Worth: 2}
	}
	r.obs.Scatter = pr
	for k, i := range jars {
		y, limit := r.scale.work(values[k]), int8(0)
		switch d.series.Jars[i].Readings.Of(t.Key).State {
		case jartest.Below:
			limit = -1
		case jartest.Above:
			limit = 1
		}
		if r.scale.removal || r.scale.sign < 0 {
			limit = -limit
		}
		if math.IsNaN(y) { // nothing left that the meter can show
			if math.IsInf(least, 1) {
				continue
			}
			y, limit = math.Log(least), -1
		}
		q, o := d.point(d.jars[i].Pair), &r.obs
		r.jar = append(r.jar, i)
		o.U, o.V = append(o.U, engine.Steady(q.X)), append(o.V, engine.Steady(q.Y))
		o.Y, o.W, o.Limit = append(o.Y, engine.Steady(y)), append(o.W, 1), append(o.Limit, limit)
	}
	return r, r.aim(d)
}

// aim sets the goal on the fitted scale.
func (r *response) aim(d design) *note.Note {
	t := r.target
	bad := func(n note.Note) *note.Note { n = n.At(d.series.Place); return &n }
	switch t.Kind {
	case jartest.Slope:
		return bad(note.New(note.Caution, "target-not-for-pairs", "the target %q is about one dose; on two chemicals it has no meaning", t.String()).
			Do("state the target as a reading or a removal"))
	case jartest.WithinBest:
		r.hasWithin = true
		r.within = math.Log1p(t.Value / 100)
		if !r.scale.log && !r.scale.removal {
			return bad(note.New(note.Caution, "target-not-for-pairs", "the target %q needs a reading that is above zero", t.String()).
				Do("state the target as a reading"))
		}
		return nil
	case jartest.Removal:
		ref, what, n := reference(d.series, t.Key)
		if !(ref > 0) {
			return bad(note.New(note.Caution, "no-reference", "removal of %s is counted from the raw water or from a jar without chemical, and the sheet gives neither", t.Key.Info().Label).
				Do("add the raw water's %s to the sheet, run a control jar, or state the target as a reading", t.Key.Info().Label))
		}
		r.reference = curve.Reference{What: what, Value: ref, Unit: t.Key.Info().Unit}
		r.goal, r.refJars = r.scale.work(ref*(1-t.Value/100)), n
	default:
		r.goal = r.scale.work(t.Value)
	}
	if math.IsNaN(r.goal) {
		return bad(note.New(note.Caution, "target-unreachable", "the target %q asks for nothing to be left", t.String()).
			Do("ask for a reading that the meter can show"))
	}
	for i, y := range r.obs.Y {
		if r.obs.Limit[i] < 0 && y > r.goal+1e-12 {
			return bad(note.New(note.Caution, "target-below-detection", "the target %q lies below what the meter can show (a jar reads less than %s), so no jar can prove it", t.String(), quantity.Full(quantity.Number(r.scale.reading(y)), 3)).
				Do("use a meter that reads lower, or a target at or above its limit"))
		}
	}
	return nil
}

// reference is what removal is counted from, and of how many readings it is the
// mean: the raw water, else the mean of the jars without chemical.
func reference(s jartest.Series, k jartest.Key) (ref float64, what string, readings float64) {
	if r, ok := s.Raw[k.Base()]; ok && r.State == jartest.Number && r.Value > 0 {
		return mean(r, true), "raw water", 1
	}
	sum, n := 0.0, 0.0
	for _, j := range s.Jars {
		none := true
		for _, d := range j.Doses {
			none = none && d.Known && d.Concentration == 0
		}
		if r := j.Readings.Of(k); none && len(j.Doses) > 0 && r.State == jartest.Number && r.Value > 0 {
			sum += math.Log(mean(r, true))
			n++
		}
	}
	if n == 0 {
		return 0, "", 0
	}
	return math.Exp(sum / n), "control jar", n
}
