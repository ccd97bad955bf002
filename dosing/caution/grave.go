package caution

import (
	"cmp"
	"slices"

	"jarwright/jartest/note"
)

// gravest are the cautions that come before all others, the worst first: what comes
// to a stop within days, what harms at once, what harms in time.
var gravest = [...]string{"loop-later", "loop-alkalinity-low", "nh3-deadly", "nh3-aerated-lethal", "ph-beyond", "loop-ph-high", "nh3-high", "nh3-still", "nh3-unknown", "go-past-stop", passesPH, passedTAN, "watch-passed-ph", "ph-step", "ph-step-sea", "fed-in-slugs", "co2-high", "co2-far", "residual-rises", "water-unknown", "own-unknown", "animals-unnamed", "acid-left-out", "basicity-assumed", "alkalinity-rests",
	"alkalinity-low", "loop-alkalinity-high"}

// guidelines are cautions of what a whole ecosystem should have, which come behind all that is of the animals themselves.
var guidelines = [...]string{"al-marine", "al-marine-stock"}

// gravity is the place of a note among the grave ones, behind them all for any other, and a guideline's behind those.
func gravity(n note.Note) int {
	if i := slices.Index(gravest[:], n.Code); i >= 0 && n.Level == note.Caution {
		return i
	}
	if slices.Contains(guidelines[:], n.Code) {
		return len(gravest) + 1
	}
	return len(gravest)
}

// Gravest reports a caution that comes before all others.
func Gravest(n note.Note) bool { return gravity(n) < len(gravest) }

// WorstFirst gives notes by their level, the grave cautions before all others.
func WorstFirst(l note.List) note.List {
	l = l.Sorted()
	slices.SortStableFunc(l, func(a, b note.Note) int { return cmp.Or(cmp.Compare(b.Level, a.Level), gravity(a)-gravity(b)) })
	return l
}

// Grave gives the cautions, all of which belong before anything is set, the worst first.
func (f Findings) Grave() note.List {
	return WorstFirst(slices.DeleteFunc(slices.Clone(f.Notes), func(n note.Note) bool { return n.Level != note.Caution }))
}
