package site

import (
	"strings"

	"jarwright/dosing/gauge"
	"jarwright/jartest"
	"jarwright/jartest/note"
)

// Reading is how muddy a tank is: NTU of turbidity, mg/L of suspended solids, mL/L in a settling cone or cm in a
// turbidity tube.
type Reading struct {
	V   float64
	Key jartest.Key
}

// ParseReading reads "80 NTU", "120 mg/L", "12 mL/L" or "20 cm".
func ParseReading(s string) (Reading, error) {
	v, k, err := gauge.Parse(s)
	return Reading{v, k}, err
}

// size is the reading as far as it can be compared: the depth of a tube as its turbidity by the chart.
func (r Reading) size() float64 {
	if r.Key != gauge.Tube || r.V <= 0 {
		return r.V
	}
	return gauge.ByFormula(r.V)
}

// parseRise reads how much a reading rises in an hour, "0.5 NTU/h"; per day is understood.
func parseRise(s string) (Reading, error) {
	level, hour := strings.CutSuffix(strings.TrimSpace(s), "/h")
	level, day := strings.CutSuffix(level, "/d")
	if hour == day {
		return Reading{}, note.Fault("bad-rise", "%q is no rise of a reading in time", s).Do(`write it like "0.5 NTU/h"`)
	}
	r, err := ParseReading(level)
	if r.Key == gauge.Tube {
		err = note.Fault("bad-rise", "%q: a tube does not tell a rise", s).Do(`write it like "0.5 NTU/h"`)
	}
	if day {
		r.V /= 24
	}
	return r, err
}

// Gauges are the scales of the site's own tube and cone, as far as it has any.
func (s Solids) Gauges() gauge.Gauges { return gauge.Gauges{Tube: s.Tube, Cone: s.Cone} }
