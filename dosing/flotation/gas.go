package flotation

import (
	"jarwright/jartest/quantity"
)

// UsualDepth is what a unit that does not tell its own counts as: those of works are 2–3 m deep,
// those of farms about a metre (common practice, no source).
const UsualDepth quantity.Length = 1

// Saturates reports that the bubbles are small enough to stay in the water until it holds their gas: those of a stirrer, a millimetre
// across, rise at 0.1 m/s and more and are out of two metres of water in seconds (terminal speed of air bubbles in water, from memory).
func (u Unit) Saturates() bool { return u.Source != Stirred }

// TotalGas is the most that all gases together may press in the water that leaves the unit, in
// percent of the air outside: water in balance with bubbles as deep as the unit, or as deep as is
// usual where its depth is not known. It is worse where white water reaches the outlet or a pump sucks air.
func (u Unit) TotalGas() (total quantity.Number, depth quantity.Length) {
	outside := Barometer(u.Height)
	depth = u.Depth.Or(UsualDepth)
	return quantity.Number(100 * (outside + perMetre*float64(depth)) / outside), depth
}
