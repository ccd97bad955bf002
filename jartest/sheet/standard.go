package sheet

import (
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/words"
)

var (
	// standardWord is what a meter is checked with.
	standardWord = words.NewPattern(`\bstandards?\b|formazin|formazine|\bcalibrants?\b|\bpatr[oó]n\b|\best[aá]ndar|\b[eé]talon|\bpadr[aã]o\b|\bcampione\b|\bstandaard\b|\bwzor(?:zec|ca|cu)|эталон|стандарт|标液|标准液|标准溶液|標準液|표준액|표준용액`)
	// offBy is said of a meter that does not show what it should.
	offBy = words.NewPattern(`\b(?:high|low|too (?:much|little|high|low)|above|below|over|under|off|out by|offset|zu (?:viel|wenig|hoch|niedrig)|de (?:mas|más|menos|trop)|trop (?:haut|bas)|a (?:mais|menos)|te (?:hoog|laag|veel|weinig))\b|偏高|偏低`)
	// checkedAs joins a standard to what was read of it: "standard 20 NTU: 23".
	checkedAs = words.NewPattern(`\d ?(?:ntu|fnu)?\)? ?(?:[:=→]|->) ?\d`)
	// inOrderFound is said of a check that found nothing.
	inOrderFound = words.NewPattern(`\b(?:ok|okay|within|agree[ds]?|pass(?:ed|es)?|fine|good|correct(?:ly)?|in ordnung|conforme?|goed)\b`)
)

// standardShare is how far a reading of a standard may be from it before it bears on others;
// common practice, no source.
const standardShare = 0.02

// ofStandard reports a sentence by which a meter shows another number of a standard than it
// holds: each of its readings may be off by as much.
func (r aside) ofStandard() bool {
	f := withoutDays(r.text)
	shown := spoken()["shows"].in(f) || offBy.MatchString(f) || checkedAs.MatchString(f)
	if !standardWord.MatchString(f) || !shown || inOrderFound.MatchString(f) {
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
