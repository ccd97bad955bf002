package site

import (
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// Reading is how muddy a tank is, in NTU of turbidity or mg/L of suspended solids.
type Reading struct {
	V   float64
	Key jartest.Key
}

// ParseReading reads "80 NTU" or "120 mg/L".
func ParseReading(s string) (Reading, error) {
	v, k, err := jartest.ParseReading(s, jartest.Turbidity, jartest.TSS)
	return Reading{v, k}, err
}

// parseRise reads how much a reading rises in an hour, "0.5 NTU/h"; per day is understood.
func parseRise(s string) (Reading, error) {
	level, hour := strings.CutSuffix(strings.TrimSpace(s), "/h")
	level, day := strings.CutSuffix(level, "/d")
	if hour == day {
		return Reading{}, note.Fault("bad-rise", "%q is no rise of a reading in time", s).Do(`write it like "0.5 NTU/h"`)
	}
	r, err := ParseReading(level)
	if day {
		r.V /= 24
	}
	return r, err
}
