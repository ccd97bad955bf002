// Package flotation works out a dissolved-air-flotation unit: what air the white water
// sets free in it, what it carries on its surface and how long the water stays, whether
// that is enough, between which flows every guide holds, and how much gas the water that
// leaves it may hold before animals.
//
// Air is counted as mg per litre of the water treated, the same as g per m3.
package flotation
