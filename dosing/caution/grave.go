package caution

import (
	"slices"

	"jarwright/jartest/note"
)

// gravest are the cautions that come before all others, the worst first: what comes
// to a stop within days, what harms at once, what harms in time.
var gravest = [...]string{"loop-later", "nh3-deadly", "nh3-aerated-lethal", "ph-beyond", "loop-ph-high", "nh3-high", "nh3-still", "nh3-unknown", "ph-step", "ph-step-sea", "co2-high", "co2-far", "residual-rises", "water-unknown", "alkalinity-rests",
	"alkalinity-low", "loop-alkalinity-low", "loop-alkalinity-high"}

// gravity is the place of a note among the grave ones, behind them all for any other.
func gravity(n note.Note) int {
	if i := slices.Index(gravest[:], n.Code); i >= 0 {
		return i
	}
	return len(gravest)
}

// Grave gives the cautions, all of which belong before anything is set, the worst first.
func (f Findings) Grave() note.List {
	l := slices.DeleteFunc(slices.Clone(f.Notes), func(n note.Note) bool { return n.Level != note.Caution })
	slices.SortStableFunc(l, func(a, b note.Note) int { return gravity(a) - gravity(b) })
	return l
}
