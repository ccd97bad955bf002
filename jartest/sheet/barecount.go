package sheet

import (
	"slices"

	"jarwright/jartest/words"
)

// A lone n counts readings, and in headings it is as often another thing: "Trübung n. Absetzen" is
// what was read after settling, "n=1" and "n° 1" number a reading.

var (
	loneN     = words.NewPattern(`(?:^|[^\pL\pN])n(?:[^\pL\pN]|$)`)
	countWord = words.NewPattern(`(?:^|[^\pL\pN])n ?(?:\. ?\pL|\. ?\d|[°º=]|\d)`)
)

// bareCounts takes the count from headings whose n goes on, or that name a reading which no other
// column has: nothing is there to be counted.
func bareCounts(fs []field) {
	for i := range fs {
		h := &fs[i].Head
		if h.Stat != "n" || h.Reading == "" || h.Said || !loneN.MatchString(words.Fold(h.Text)) {
			continue
		}
		alone := !slices.ContainsFunc(fs, func(f field) bool {
			return f.C != fs[i].C && f.Head.Reading == h.Reading && f.Head.Stat != "n" && f.Head.Stat != "sd"
		})
		if alone || countWord.MatchString(words.Fold(h.Text)) {
			h.Stat = ""
		}
	}
}
