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
// on its basis there; that of no other chemical differs between the jars.
type Jars struct {
	Series   jartest.Series
	Chemical int
	// At is the cell of the site that names the sheet.
	At note.Place
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
// tell nothing of it, or another chemical is varied too.
func JarsOf(s jartest.Series, chemical int, at note.Place) *Jars {
	if f := s.Factors(); len(f) != 1 || f[0] != chemical {
		return nil
	}
	return &Jars{s, chemical, at}
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
