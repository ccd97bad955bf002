package pond

import (
	"math"

	"jarwright/jartest/quantity"
)

// Count parts a mass into whole measures of one weight, and what is left over: nothing where that is
// within a hundredth of a measure, which no scoop or bucket is good for.
func Count(m, each quantity.Mass) (whole int, rest quantity.Mass) {
	if each <= 0 || m <= 0 {
		return 0, m
	}
	n := float64(m / each)
	full := math.Floor(n + fine)
	if rest = m - quantity.Mass(full)*each; rest < fine*each {
		rest = 0
	}
	return int(full), rest
}

const fine = 0.01
