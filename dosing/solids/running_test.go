package solids

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestBinHoursAreThoseOfRunning: 10 m3/h from 12:00 to 24:00 bring 2 L with each m3, 20 L an hour: 90 L take 4.5 h, and with 300 L 15 h: from
// midnight 12 h of one day and 3 h of the next, full at 15:00; from 12:00 on the same 15 h.
func TestBinHoursAreThoseOfRunning(t *testing.T) {
	day, err := flow.Constant(10, flow.Hours{{From: 12, To: 24}})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		room         quantity.Volume
		start        quantity.Time
		full, inside float64
	}{{90, 0, 16.5, 4.5}, {300, 0, 39, 15}, {300, 12, 39, 15}} {
		b := Bin{Name: "skip", Volume: x.room, Usable: 1}
		s := b.Plan(day, Load{PerWater: 2}, nil, x.start, 4)
		if math.Abs(float64(s.FullAt)-x.full) > 1e-9 || math.Abs(float64(s.FullIn)-x.inside) > 1e-9 {
			t.Errorf("%v from %v: full at %v, in %v of running", x.room, x.start, s.FullAt, s.FullIn)
		}
	}
}
