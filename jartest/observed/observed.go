// Package observed makes one reading of a series ready to be fitted: the jars that
// have it, on the scale that is fitted, each with its weight and with the scatter that
// is expected before looking. One chemical or two, it is the same work, so that
// jartest/curve and jartest/surface both begin here; what comes out is what
// jartest/engine takes.
package observed

import (
	"cmp"
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/engine"
	"jarwright/jartest/quantity"
)

// Design says where the jars of a series stand, jar by jar.
type Design struct {
	At   []engine.Point // the dose, and the level of a second factor
	Used []bool
	Why  []string // why a jar is not used
	Pair bool     // two factors were varied
	PH   bool     // the place is a pH, not a dose
}

// Use is what became of one jar's reading.
type Use struct {
	Value float64 // in the unit of its key, repeats averaged
	Used  bool
	Why   string // why it was left out, or how it was taken
}

// Reading is one reading of a series, ready to be fitted.
type Reading struct {
	Key   jartest.Key
	Scale Scale
	// Name of the scale, for people.
	Name string
	// Obs holds the jars by rising dose.
	Obs  engine.Observations
	Jar  []int // the jar of each observation
	Uses []Use // jar by jar
	// Usual says where the scatter that is expected comes from, Repeats that spreads and
	// numbers of readings given in the sheet weigh the jars.
	Usual   string
	Repeats bool
	// PureSD is the scatter among replicate jars on the fitted scale, with its degrees
	// of freedom.
	PureSD float64
	PureDF int
}

// Usable says whether a jar has a reading of that kind that a fit can take.
func Usable(j jartest.Jar, k jartest.Key) (why string, ok bool) {
	r, has := j.Readings.Get(k)
	switch {
	case !has || r.State == jartest.Missing:
		return "no reading", false
	case r.State != jartest.Number && !r.Limit:
		return "beyond the meter's range, limit not given", false
	}
	return "", true
}

// Of makes a reading of a series ready. high is true where a target asks for "at
// least"; own replaces the expected scatter.
func Of(s jartest.Series, k jartest.Key, d Design, high bool, own *Scatter) Reading {
	r := Reading{Key: k, Uses: make([]Use, len(s.Jars))}
	info := k.Info()
	var values []float64
	negative := false
	for i, j := range s.Jars {
		use := &r.Uses[i]
		x := j.Readings.Of(k)
		use.Value = Mean(x, !info.Signed && info.LowIsGood)
		if use.Why, use.Used = d.Why[i], d.Used[i]; use.Used {
			use.Why, use.Used = Usable(j, k)
		}
		if use.Used {
			r.Jar, values = append(r.Jar, i), append(values, use.Value)
			negative = negative || x.State == jartest.Number && use.Value < 0
		}
	}
	slices.SortStableFunc(r.Jar, func(a, b int) int {
		return cmp.Or(cmp.Compare(d.At[a].X, d.At[b].X), cmp.Compare(d.At[a].Y, d.At[b].Y), cmp.Compare(r.Uses[a].Value, r.Uses[b].Value))
	})
	r.Scale, r.Name = scaleOf(k, high || negative)
	if r.Scale.kind == logarithm && !d.Pair && !d.PH && r.climbs() {
		r.Scale, r.Name = plain, plainName
	}
	if r.Scale.kind == itself && d.Pair && len(values) > 0 {
		r.Scale = spread(slices.Min(values), slices.Max(values), high)
	}
	r.observe(s, d)
	r.expect(own)
	if !d.PH {
		r.Obs.DoseError = engine.UsualDoseError
	}
	r.weigh(readingStep(s, k))
	r.weighRepeats(s)
	return r
}

// fouling are the readings that a chemical is dosed against. Where they only climb it has
// failed, and their logarithm keeps the curve from falling below nothing.
var fouling = []jartest.Key{jartest.Turbidity, jartest.TSS, jartest.Colour, jartest.UV254, jartest.TOC, jartest.DOC, jartest.COD, jartest.Phosphate, jartest.TotalPhosphorus}

// climbs reports a reading that only climbs with dose because the chemical brings it,
// such as a residual or sludge: there is no fall to fit.
func (r *Reading) climbs() bool {
	if len(r.Jar) < 4 || slices.Contains(fouling, r.Key.Base()) {
		return false
	}
	y := make([]float64, len(r.Jar))
	for i, j := range r.Jar {
		y[i] = r.Uses[j].Value
	}
	fit, turn := engine.Valley(y, nil)
	return turn == 0 && fit[len(fit)-1] > fit[0]
}

// observe puts the jars in use on the scale. A reading with nothing left to take a
// logarithm of is what the meter shows for less than its step.
func (r *Reading) observe(s jartest.Series, d Design) {
	smallest := math.Inf(1)
	for _, i := range r.Jar {
		if v := r.Scale.Left(r.Uses[i].Value); s.Jars[i].Readings.Of(r.Key).State == jartest.Number && v > 0 {
			smallest = math.Min(smallest, v)
		}
	}
	least := readingStep(s, r.Key)
	if !(least > 0) || least > smallest {
		least = smallest
	}
	jars := r.Jar
	r.Jar = nil
	for _, i := range jars {
		y, limit := r.Scale.Work(r.Uses[i].Value), int8(0)
		switch s.Jars[i].Readings.Of(r.Key).State {
		case jartest.Below:
			limit = -1
		case jartest.Above:
			limit = 1
		}
		if r.Scale.Flips() {
			limit = -limit
		}
		if r.Scale.Log() && r.Scale.Left(r.Uses[i].Value) <= 0 {
			if math.IsInf(least, 1) {
				continue
			}
			y, limit = math.Log(least), -1
			r.Uses[i].Why = "reads nothing: taken as less than " + quantity.Sig(least, 3)
		}
		o := &r.Obs
		o.U, o.Y, o.Limit = append(o.U, d.At[i].X), append(o.Y, y), append(o.Limit, limit)
		if d.Pair {
			o.V = append(o.V, d.At[i].Y)
		}
		r.Jar = append(r.Jar, i)
	}
	r.Obs.Additive = !r.Scale.Log() && !d.Pair
}

// Mean is a jar's reading with its repeats averaged: geometric where a logarithm may be
// taken.
func Mean(r jartest.Reading, geometric bool) float64 {
	if r.State != jartest.Number || len(r.Replicates) < 2 {
		return r.Value
	}
	sum := 0.0
	for _, x := range r.Replicates {
		switch {
		case x.State != jartest.Number || geometric && x.Value <= 0:
			return r.Value
		case geometric:
			sum += math.Log(x.Value)
		default:
			sum += x.Value
		}
	}
	if sum /= float64(len(r.Replicates)); geometric {
		return math.Exp(sum)
	}
	return sum
}
