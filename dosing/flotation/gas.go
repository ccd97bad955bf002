package flotation

import (
	"jarwright/jartest/quantity"
)

// TotalGas is the most that all gases together may press in the water that leaves the unit, in
// percent of the air outside: water in balance with bubbles as deep as the unit. False where the
// depth is not known. It is worse where white water reaches the outlet or a pump sucks air.
func (u Unit) TotalGas() (quantity.Number, bool) {
	outside := Barometer(u.Height)
	return quantity.Number(100 * (outside + perMetre*float64(u.Depth.V)) / outside), u.Depth.OK
}
