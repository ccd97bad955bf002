package solids

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestBinOnDay: 10 L an hour come into a bin that takes 100 L, emptied every day at 08:00 and 17:00, from 06:00 till 06:00. By hand: 30 L
// at the start are 50 by 08:00 and 90 by 17:00; 85 L are full at 07:30, 5 L by 08:00; of a shift from 07:40 nobody is there then,
// nor before: it is emptied when it is full all the same.
func TestBinOnDay(t *testing.T) {
	day, err := flow.Constant(1, nil)
	if err != nil {
		t.Fatal(err)
	}
	b, load := Bin{Volume: 100, Usable: 1}, Load{PerRunning: 10}
	daily := []Emptying{{At: 8}, {At: 17}}
	for _, x := range []struct {
		name    string
		now     quantity.Volume
		staffed flow.Hours
		start   quantity.Time
		at, in  []float64
	}{
		{"some in it", 30, nil, 6, []float64{8, 17}, []float64{50, 90}},
		{"nearly full", 85, nil, 6, []float64{7.5, 8, 17}, []float64{100, 5, 90}},
		{"nobody there", 85, flow.Hours{{From: 7 + 2./3, To: 18}}, 6, []float64{7.5, 8, 17}, []float64{100, 5, 90}},
		{"fills after who is there has gone", 15, flow.Hours{{From: 6, To: 7}, {From: 16, To: 18}}, 6, []float64{8, 17}, []float64{35, 90}},
		{"twice as fast in the night", 95, flow.Hours{{From: 5, To: 6.25}, {From: 7, To: 18}}, 6, []float64{6.25, 8, 17}, []float64{97.5, 17.5, 90}},
		{"a start after the first", 0, nil, 9, []float64{17}, []float64{80}},
		{"empty at the time", 0, nil, 8, []float64{17}, []float64{90}},
	} {
		b.Now = x.now
		got := b.OnDay(day, load, x.staffed, daily, x.start, 30)
		ok := len(got) == len(x.at)
		for i := range x.at {
			ok = ok && math.Abs(float64(got[i].At)-x.at[i]) < 1e-6 && math.Abs(float64(got[i].Contents)-x.in[i]) < 1e-6
		}
		if !ok {
			t.Errorf("%s: %+v, not at %v with %v", x.name, got, x.at, x.in)
		}
	}
}
