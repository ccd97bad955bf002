package pond

import (
	"math"

	"jarwright/jartest/quantity"
)

// Count parts a mass into whole measures of one weight and what is left over. What is left counts as nothing, or as a
// whole one, where it is within a hundredth of a measure, or a twentieth of it and half a per cent of the mass:
// no bucket is filled so well (common practice, no source).
func Count(m, each quantity.Mass) (whole int, rest quantity.Mass) {
	if each <= 0 || m <= 0 {
		return 0, m
	}
	little := max(each/100, min(each/20, m/200))
	full := math.Floor(float64((m + little) / each))
	if rest = m - quantity.Mass(full)*each; rest < little {
		rest = 0
	}
	return int(full), rest
}
