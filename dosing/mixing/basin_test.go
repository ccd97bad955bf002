package mixing

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestSquareBasin: 4 MGD for 30 s in a square basin 1.25 times as deep as wide (problem 8.1,
// rapid mix basin, in solutions to problems of the Reynolds and Richards kind; 5 ft 4 in read there). 4 × 3,785,411.784 L in 86,400 s are 175.25 L/s, so 5257.5 L;
// the cube root of 5257.5/1.25 is 16.143 dm or 63.56 in: 64 in, 5 ft 4 in, hold it and 63 do not.
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
