package dosing

import (
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

// JarReading is what the jars read at a dose; see [jartest.JarReading].
type JarReading = jartest.JarReading

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

// Reading is what the jars read of a kind at a dose; false where the dose lies
// outside those that have such a reading.
func (j *Jars) Reading(k jartest.Key, d quantity.Concentration) (JarReading, bool) {
	if j == nil {
		return JarReading{}, false
	}
	return j.Series.ReadAt(j.Chemical, k, d)
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
