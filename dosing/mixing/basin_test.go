package mixing

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestSquareBasin: 4 MGD for 30 s in a square basin 1.25 times as deep as wide: 5 ft 4 in,
// rounded up to the inch (problem 8.1 of the Reynolds and Richards type, printed answer).
func TestSquareBasin(t *testing.T) {
	q, err := quantity.Parse[quantity.Flow]("4 MGD")
	if err != nil {
		t.Fatal(err)
	}
	stay := func(inches float64) float64 { // in seconds
		width := inches * 0.254 // dm
		return float64(Stay(quantity.Volume(1.25*width*width*width), q)) * 3600
	}
	if long, short := stay(64), stay(63); long < 30 || short >= 30 {
		t.Errorf("5 ft 4 in holds it %g s, an inch less %g s", long, short)
	}
}
