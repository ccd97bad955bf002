package jartest

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// sameJarPH is how far the pH of two readings of one jar may differ; beyond, they are
// two jars that were set to different pH under one label.
const sameJarPH = 0.5

// MergeRepeats joins rows that carry the same label, doses and settings: they are
// repeat readings of one jar, which counts once.
func (s Series) MergeRepeats() (Series, note.List) {
	at := map[string]int{}
	var jars []Jar
	merged := 0
	for _, j := range s.Jars {
		label := strings.TrimSpace(j.Label)
		var id strings.Builder
		fmt.Fprintf(&id, "%s|", label)
		id.WriteString(j.doses())
		for _, k := range slices.Sorted(maps.Keys(j.Settings)) {
			fmt.Fprintf(&id, "|%s %g", k, j.Settings[k])
		}
		first, seen := at[id.String()]
		if !seen || label == "" || !jars[first].onePH(j) {
			at[id.String()] = len(jars)
			j.Readings = slices.Clone(j.Readings)
			jars = append(jars, j)
			continue
		}
		merged++
		for _, x := range j.Readings {
			key, r := x.Key, x.Reading
			old := jars[first].Readings.Of(key)
			if old.State == Missing {
				jars[first].Readings.Set(key, r)
				continue
			}
			jars[first].Readings.Set(key, old.With(r))
		}
	}
	s.Jars = jars
	if merged == 0 {
		return s, nil
	}
	return s, note.List{note.New(note.Info, "repeat-readings", "%d rows repeat the reading of a jar that stands above them; a jar counts once, with the mean of its readings", merged).
		At(s.Place).Do("give every beaker a label of its own if these were separate jars")}
}

// Repeats reports a row that can be of the same jar as another of its label: the same
// doses and settings, and nothing in the pH that was read parts them.
func (j Jar) Repeats(k Jar) bool {
	return j.doses() == k.doses() && maps.Equal(j.Settings, k.Settings) && j.onePH(k)
}

// onePH reports that nothing in the pH that was read parts two rows.
func (j Jar) onePH(k Jar) bool {
	a, b := j.Readings.Of(PH), k.Readings.Of(PH)
	return a.State != Number || b.State != Number || math.Abs(a.Value-b.Value) <= sameJarPH
}

// With joins a repeat reading of the same jar: the value is the mean of the repeats that are
// numbers; where none is, it is the last of their limits.
func (r Reading) With(x Reading) Reading {
	if len(r.Replicates) == 0 {
		r.Replicates = []Reading{r}
	}
	r.Replicates = append(slices.Clone(r.Replicates), x)
	sum, n := 0.0, 0
	for _, x := range r.Replicates {
		switch {
		case x.State == Number:
			sum, n = sum+x.Value, n+1
		case x.State != Missing && n == 0:
			r.State, r.Value, r.Limit = x.State, x.Value, x.Limit
		}
	}
	if n > 0 {
		r.State, r.Value, r.Limit, r.N = Number, quantity.RoundSig(sum/float64(n), 12), false, n
	}
	return r
}
