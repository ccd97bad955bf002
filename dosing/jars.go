package dosing

import (
	"cmp"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Jars are the jars of the test that a chemical was tried in: what they read tells
// what the planned dose does. Doses are those of one chemical of the series, in mg/L
// on its basis there; that of one other chemical may differ between the jars too.
type Jars struct {
	Series   jartest.Series
	Chemical int
	// Other is the index of that other chemical, where there is one.
	Other quantity.Known[int]
	// At is the cell of the site that names the sheet.
	At note.Place
	// Targets are what the readings have to meet: the site's, else the sheet's own.
	Targets []jartest.Target
}

// JarReading is what the jars read at a dose between two of them: the value on the
// straight line, and the lower and the higher of the two.
type JarReading struct {
	V, Low, High float64
	// Below is true where one of the jars read less than the meter shows: the limit
	// stands for it then, which is the safe side.
	Below bool
	// Between are the labels of the two jars; the same where the dose is a jar's own.
	Between [2]string
}

// JarsOf gives the jars of a series in which the chemical is tried; nil where they
// tell nothing of it, or more than one other chemical is varied too.
func JarsOf(s jartest.Series, chemical int, at note.Place) *Jars {
	j := &Jars{Series: s, Chemical: chemical, At: at}
	switch f := s.Factors(); {
	case !slices.Contains(f, chemical) || len(f) > 2:
		return nil
	case len(f) == 2:
		j.Other = quantity.Some(f[0] + f[1] - chemical)
	}
	return j
}

// dosedIn is the dose of a chemical in a jar, on the series' basis.
func dosedIn(jar jartest.Jar, chemical int) (quantity.Concentration, bool) {
	if chemical >= len(jar.Doses) || !jar.Doses[chemical].Known {
		return 0, false
	}
	return jar.Doses[chemical].Concentration, true
}

// with gives the jars that have one dose of the other chemical.
func (j *Jars) with(other quantity.Concentration) *Jars {
	out := *j
	out.Other.OK = false
	out.Series.Jars = slices.DeleteFunc(slices.Clone(j.Series.Jars), func(jar jartest.Jar) bool {
		d, ok := dosedIn(jar, j.Other.V)
		return !ok || d != other
	})
	return &out
}

// pairReading is what the jars read of a kind at a dose beside a dose of the other
// chemical: on the straight line between what they read at its nearest doses. It is
// false where either dose lies outside those that have such a reading.
func (j *Jars) pairReading(k jartest.Key, d, other quantity.Concentration) (JarReading, bool) {
	var below, above JarReading
	var at [2]quantity.Concentration
	var found [2]bool
	for _, jar := range j.Series.Jars {
		level, ok := dosedIn(jar, j.Other.V)
		nearer := level <= other && (!found[0] || level > at[0]) || level > other && (!found[1] || level < at[1])
		if !ok || !nearer {
			continue
		}
		r, ok := j.with(level).Reading(k, d)
		switch {
		case !ok:
		case level <= other:
			below, at[0], found[0] = r, level, true
		default:
			above, at[1], found[1] = r, level, true
		}
	}
	switch {
	case !found[0] || !found[1] && at[0] != other:
		return JarReading{}, false
	case at[0] == other:
		return below, true
	}
	share := float64((other - at[0]) / (at[1] - at[0]))
	return JarReading{V: below.V + share*(above.V-below.V), Low: min(below.Low, above.Low), High: max(below.High, above.High),
		Below: below.Below || above.Below, Between: [2]string{below.Between[0], above.Between[1]}}, true
}

// Basis is that of the doses.
func (j *Jars) Basis() quantity.Basis { return j.Series.Chemicals[j.Chemical].Basis }

// point is a dose with what was read there, replicate jars taken together.
type point struct {
	dose, read, low, high float64
	n                     float64
	below                 bool
	label                 string
}

// points lists the jars that have a reading of a kind, by dose.
func (j *Jars) points(k jartest.Key) []point {
	var out []point
	for _, jar := range j.Series.Jars {
		r := jar.Readings.Of(k)
		known := r.State == jartest.Number || r.State == jartest.Below && r.Limit
		if !known || j.Chemical >= len(jar.Doses) || !jar.Doses[j.Chemical].Known {
			continue
		}
		d := float64(jar.Doses[j.Chemical].Concentration)
		p := point{d, r.Value, r.Value, r.Value, 1, r.State == jartest.Below, jar.Label}
		i := slices.IndexFunc(out, func(o point) bool { return o.dose == d })
		if i < 0 {
			out = append(out, p)
			continue
		}
		o := &out[i]
		o.read = (o.read*o.n + p.read) / (o.n + 1)
		o.n, o.low, o.high, o.below = o.n+1, min(o.low, p.low), max(o.high, p.high), o.below || p.below
	}
	slices.SortStableFunc(out, func(a, b point) int { return cmp.Compare(a.dose, b.dose) })
	return out
}

// Reading is what the jars read of a kind at a dose; false where the dose lies
// outside those that have such a reading.
func (j *Jars) Reading(k jartest.Key, d quantity.Concentration) (JarReading, bool) {
	if j == nil {
		return JarReading{}, false
	}
	list := j.points(k)
	i := slices.IndexFunc(list, func(p point) bool { return p.dose >= float64(d) })
	if i < 0 || i == 0 && list[0].dose != float64(d) {
		return JarReading{}, false
	}
	b := list[i]
	a := b
	share := 0.0
	if b.dose != float64(d) {
		a = list[i-1]
		share = (float64(d) - a.dose) / (b.dose - a.dose)
	}
	return JarReading{V: a.read + share*(b.read-a.read), Low: min(a.low, b.low), High: max(a.high, b.high), Below: a.below || b.below,
		Between: [2]string{a.label, b.label}}, true
}

// Tested gives the least dose above zero and the largest of the jars.
func (j *Jars) Tested() (least, most quantity.Concentration) {
	for _, jar := range j.Series.Jars {
		if j.Chemical >= len(jar.Doses) || !jar.Doses[j.Chemical].Known || jar.Doses[j.Chemical].Concentration <= 0 {
			continue
		}
		d := jar.Doses[j.Chemical].Concentration
		most = max(most, d)
		if least == 0 || d < least {
			least = d
		}
	}
	return least, most
}
