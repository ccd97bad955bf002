package sheet

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/words"
)

// checkedAs joins a standard to what was read of it: "standard 20 NTU: 23".
var checkedAs = words.NewPattern(`\d ?(?:ntu|fnu)?\)? ?(?:[:=→]|->) ?\d`)

// standardShare is how far a reading of a standard may be from it before it bears on others;
// common practice, no source.
const standardShare = 0.02

// ofStandard reports a sentence by which a meter shows another number of a standard than it
// holds: each of its readings may be off by as much.
func (r aside) ofStandard() bool {
	f := withoutDays(r.text)
	shown := spoken()["shows"].in(f) || spoken()["off"].in(f) || checkedAs.MatchString(f)
	if found := spoken()["in order"].in(f) && !denies(f); !spoken()["standard"].in(f) || !shown || found {
		return false
	}
	var read []float64
	for _, s := range bareNum.FindAllString(f, -1) {
		if x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64); err == nil {
			read = append(read, x)
		}
	}
	off := func(x float64) bool { return !within(x, read[0], standardShare) }
	return len(read) == 1 || len(read) > 1 && slices.ContainsFunc(read, off)
}
