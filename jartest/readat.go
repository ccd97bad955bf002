package jartest

import (
	"cmp"
	"slices"

	"jarwright/jartest/quantity"
)

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

// point is a dose with what was read there, replicate jars taken together.
type point struct {
	dose, read, low, high float64
	n                     float64
	below                 bool
	label                 string
}

// points lists the jars that have a reading of a kind, by the dose of a chemical.
func (s Series) points(chemical int, k Key) []point {
	var out []point
	for _, jar := range s.Jars {
		r := jar.Readings.Of(k)
		known := r.State == Number || r.State == Below && r.Limit
		if !known || chemical >= len(jar.Doses) || !jar.Doses[chemical].Known {
			continue
		}
		d := float64(jar.Doses[chemical].Concentration)
		p := point{d, r.Value, r.Value, r.Value, 1, r.State == Below, jar.Label}
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

// ReadAt is what the jars read of a kind at a dose of one chemical; false where the dose lies
// outside those that have such a reading.
func (s Series) ReadAt(chemical int, k Key, d quantity.Concentration) (JarReading, bool) {
	list := s.points(chemical, k)
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
