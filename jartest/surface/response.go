package surface

import (
	"math"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/engine"
	"jarwright/jartest/note"
	"jarwright/jartest/observed"
	"jarwright/jartest/quantity"
)

// response is one reading of the design, ready to be fitted, with the goal set by a target.
type response struct {
	observed.Reading
	target jartest.Target
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
	case !r.Scale.Log():
		family = engine.StraightModels()
	case ph:
		family = engine.PHModels()
	}
	r.cloud = e.Build(&r.Obs, family, meshShare)
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

// prepare turns the target's reading into data for the fit.
func prepare(d design, t jartest.Target, own *curve.Scatter) (response, *note.Note) {
	at := observed.Design{Pair: true}
	for _, j := range d.jars {
		q := d.point(j.Pair)
		at.At, at.Used, at.Why = append(at.At, engine.Point{X: engine.Steady(q.X), Y: engine.Steady(q.Y)}), append(at.Used, j.Used), append(at.Why, j.Why)
	}
	r := response{Reading: observed.Of(d.series, t.Key, at, t.Kind == jartest.Absolute && t.AtLeast, own), target: t}
	for i, y := range r.Obs.Y {
		r.Obs.Y[i] = engine.Steady(y)
	}
	if !d.second.PH {
		r.Obs.SecondError = engine.UsualDoseError
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
		if !r.Scale.Log() {
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
		r.goal, r.refJars = r.Scale.Work(ref*(1-t.Value/100)), n
	default:
		r.goal = r.Scale.Work(t.Value)
	}
	if math.IsNaN(r.goal) {
		return bad(note.New(note.Caution, "target-unreachable", "the target %q asks for nothing to be left", t.String()).
			Do("ask for a reading that the meter can show"))
	}
	for i, y := range r.Obs.Y {
		if r.Obs.Limit[i] < 0 && y > r.goal+1e-12 {
			return bad(note.New(note.Caution, "target-below-detection", "the target %q lies below what the meter can show (a jar reads less than %s), so no jar can prove it", t.String(), quantity.Full(quantity.Number(r.Scale.Reading(y)), 3)).
				Do("use a meter that reads lower, or a target at or above its limit"))
		}
	}
	return nil
}

// reference is what removal is counted from, and of how many readings it is the
// mean: the raw water, else the mean of the jars without chemical.
func reference(s jartest.Series, k jartest.Key) (ref float64, what string, readings float64) {
	if r, ok := s.Raw[k.Base()]; ok && r.State == jartest.Number && r.Value > 0 {
		return observed.Mean(r, true), "raw water", 1
	}
	sum, n := 0.0, 0.0
	for _, j := range s.Jars {
		none := true
		for _, d := range j.Doses {
			none = none && d.Known && d.Concentration == 0
		}
		if r := j.Readings.Of(k); none && len(j.Doses) > 0 && r.State == jartest.Number && r.Value > 0 {
			sum += math.Log(observed.Mean(r, true))
			n++
		}
	}
	if n == 0 {
		return 0, "", 0
	}
	return math.Exp(sum / n), "control jar", n
}
