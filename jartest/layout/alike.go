package layout

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest/words"
)

// NotRepeats is the doubt of a cell whose numbers are too far apart for repeats of one reading, or of
// which one stands behind a sign of division: "4 /20".
const NotRepeats = "holds numbers that do not read like repeats of one reading"

// Repeats of one jar in one cell lie within repeatsApart of one another, or within repeatSteps of the
// last place that all of them have (common practice, no source).
const (
	repeatsApart = 1.5
	repeatSteps  = 5
)

// readAlike reports numbers of one cell that read like repeats of one reading, and not like a number
// with its factor.
func readAlike(list []float64, folded string) bool {
	least, most := slices.Min(list), slices.Max(list)
	if divisor.MatchString(folded) {
		return false
	}
	step := 0.0
	for _, n := range anyNumber.FindAllString(folded, -1) {
		digits := 0
		if n = strings.TrimRight(n, ".,"); strings.ContainsAny(n, ".,") {
			digits = len(n) - strings.LastIndexAny(n, ".,") - 1
		}
		step = max(step, math.Pow10(-digits))
	}
	return most <= repeatsApart*least || most-least <= repeatSteps*step
}

// AsReading gives a value as the reading of one jar: numbers that are no repeats of one have no mean.
func (v Value) AsReading() Value {
	if v.Doubt == NotRepeats {
		v.State = Unclear
	}
	return v
}

// divisor is a power of ten behind a sign of division that stands at it alone.
var divisor = words.NewPattern(`\d /10+(?:$|[^\d.,])`)
