package jartest

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest/quantity"
)

// TestMergeRepeats: rows of one label, dose and setting are readings of one jar.
func TestMergeRepeats(t *testing.T) {
	jar := func(label string, dose, ntu float64, turn ...func(*Jar)) Jar {
		j := Jar{Label: label, Doses: []JarDose{{Concentration: quantity.Concentration(dose), Known: true}}, Readings: Readings{{Key: Turbidity, Reading: Num(ntu, "NTU")}}}
		for _, f := range turn {
			f(&j)
		}
		return j
	}
	set := func(k string, v float64) func(*Jar) {
		return func(j *Jar) { j.Settings = map[string]float64{k: v} }
	}
	read := func(k Key, r Reading) func(*Jar) { return func(j *Jar) { j.Readings.Set(k, r) } }
	none := func(j *Jar) { j.Readings = nil }
	for _, c := range []struct {
		name string
		jars []Jar
		left int
		ntu  float64 // of the first jar
		n    int     // of its repeats
	}{
		{"one label, one dose", []Jar{jar("1", 10, 4), jar(" 1 ", 10, 6), jar("1", 10, 8)}, 1, 6, 3},
		{"other doses", []Jar{jar("1", 10, 4), jar("1", 20, 6)}, 2, 4, 0},
		{"no label", []Jar{jar("", 10, 4), jar("", 10, 6)}, 2, 4, 0},
		{"two set pH", []Jar{jar("1", 10, 4, set("ph_target", 6)), jar("1", 10, 6, set("ph_target", 7))}, 2, 4, 0},
		{"one set pH", []Jar{jar("1", 10, 4, set("ph_target", 6)), jar("1", 10, 6, set("ph_target", 6))}, 1, 5, 2},
		{"two pH read", []Jar{jar("1", 10, 4, read(PH, Num(6, ""))), jar("1", 10, 6, read(PH, Num(6.6, "")))}, 2, 4, 0},
		{"one pH read", []Jar{jar("1", 10, 4, read(PH, Num(6, ""))), jar("1", 10, 6, read(PH, Num(6.5, "")))}, 1, 5, 2},
		{"pH read once", []Jar{jar("1", 10, 4), jar("1", 10, 6, read(PH, Num(6.5, "")))}, 1, 5, 2},
		{"missing before", []Jar{jar("1", 10, 0, read(Turbidity, Reading{State: Missing})), jar("1", 10, 6)}, 1, 6, 0},
		{"no readings before", []Jar{jar("1", 10, 0, none), jar("1", 10, 6)}, 1, 6, 0},
		{"a limit among them", []Jar{jar("1", 10, 2, read(Turbidity, Reading{State: Below, Value: 2, Limit: true})), jar("1", 10, 6)}, 1, 6, 2},
	} {
		before := c.jars[0].Readings.Of(Turbidity)
		s, notes := Series{Jars: c.jars}.MergeRepeats()
		r := s.Jars[0].Readings.Of(Turbidity)
		if len(s.Jars) != c.left || r.Value != c.ntu || r.State != Number || len(r.Replicates) != c.n {
			t.Errorf("%s: %d jars, %+v", c.name, len(s.Jars), r)
		}
		if merged := len(c.jars) - c.left; merged == 0 && len(notes) > 0 || merged > 0 && (len(notes) != 1 || !strings.HasPrefix(notes[0].Message, fmt.Sprint(merged, " rows repeat"))) {
			t.Errorf("%s: %d rows repeat others, and it says %v", c.name, merged, notes)
		}
		if after := c.jars[0].Readings.Of(Turbidity); after.Value != before.Value || len(after.Replicates) != 0 {
			t.Errorf("%s: the series given was changed", c.name)
		}
	}
}
