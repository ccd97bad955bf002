package flow

import (
	"math"
	"testing"

	"jarwright/jartest/quantity"
)

// TestFirstHours: the first hours of a day from a clock time on, over pauses and midnight, by hand.
func TestFirstHours(t *testing.T) {
	pauses, night := "06:00-07:30, 09:00-10:00, 20:00-22:00", "20-04"
	for _, x := range []struct {
		hours      string
		long, from quantity.Time
		want       string
		rests      quantity.Time
	}{
		{"", 3, 6, "06:00-09:00", 21},
		{"", 10, 18, "00:00-04:00, 18:00-24:00", 14},
		{pauses, 1, 6, "06:00-07:00", 23},
		{pauses, 3, 6, "06:00-07:30, 09:00-10:00, 20:00-20:30", 10}, // 10 h of the day, 9.5 h of the night
		{pauses, 4.5, 6, pauses, 10},
		{pauses, 9, 6, pauses, 10}, // there are no more
		{pauses, 2, 20, "20:00-22:00", 22},
		{pauses, 2.5, 20, "06:00-06:30, 20:00-22:00", 13.5},
		{night, 5, 20, "00:00-01:00, 20:00-24:00", 19},
		{night, 3, 2, "02:00-04:00, 20:00-21:00", 16},
	} {
		h, err := ParseHours(x.hours)
		if err != nil {
			t.Fatal(err)
		}
		got := h.First(x.long, x.from)
		if got.String() != x.want || math.Abs(float64(got.Rests()-x.rests)) > 1e-9 {
			t.Errorf("%g h of %q from %g: %s, at rest for %g h; want %s, %g h", x.long, x.hours, x.from, got, got.Rests(), x.want, x.rests)
		}
	}
	if all := Hours(nil).Rests(); all != 0 {
		t.Errorf("round the clock it rests %g h", all)
	}
}

// TestOutside: of 05:00-09:00 and 16:00-20:00 the hours before 6 and after 18 lie outside 06:00-18:00; none outside a whole day.
func TestOutside(t *testing.T) {
	h := Hours{{5, 9}, {16, 20}}
	if got := h.Outside(Hours{{6, 18}}); got != 3 {
		t.Errorf("%v", got)
	}
	if got := h.Outside(nil); got != 0 {
		t.Errorf("%v", got)
	}
	if got := Hours(nil).Outside(Hours{{6, 18}}); got != 12 {
		t.Errorf("%v", got)
	}
}
