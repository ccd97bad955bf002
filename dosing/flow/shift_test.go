package flow

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestShifts: when a shift began, when somebody was last there and is next, by day and over midnight.
func TestShifts(t *testing.T) {
	day, night, two := Hours{{6, 20}}, Hours{{0, 4}, {22, 24}}, Hours{{6, 12}, {14, 18}}
	for _, x := range []struct {
		hours          Hours
		at             quantity.Time
		began, lastOut quantity.Time
		next           quantity.Time
	}{
		{day, 7, 6, 7, 7}, {day, 6, 6, 6, 6}, {day, 20, 6, 20, 30}, {day, 22, 6, 20, 30}, {day, 5, -18, -4, 6}, {day, 29, 6, 20, 30},
		{day, 31, 30, 31, 31}, {day, -3, -18, -4, 6},
		{night, 23, 22, 23, 23}, {night, 2, -2, 2, 2}, {night, 5, -2, 4, 22}, {night, 21, -2, 4, 22}, {night, 26, 22, 26, 26},
		{two, 13, 6, 12, 14}, {two, 15, 14, 15, 15}, {two, 19, 14, 18, 30}, {two, 3, -10, -6, 6},
	} {
		if began, last := x.hours.Began(x.at), x.hours.Last(x.at); began != x.began || last != x.lastOut {
			t.Errorf("%v at %v: began %v, want %v; last %v, want %v", x.hours, x.at, began, x.began, last, x.lastOut)
		}
		if next := x.hours.Next(x.at); next != x.next {
			t.Errorf("%v at %v: next %v, want %v", x.hours, x.at, next, x.next)
		}
	}
	if got := Hours(nil).Last(7.5); got != 7.5 {
		t.Errorf("somebody is always there, yet last at %v", got)
	}
}
