package solids

import (
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestStaffAroundMidnight: times of emptying where shifts lie about midnight, 10 L/h into a bin that takes what is said. All by
// counting hours on the clock; `early` is what is emptied at the end of a shift because it would fill with nobody there.
func TestStaffAroundMidnight(t *testing.T) {
	night := flow.Hours{{From: 0, To: 0.5}, {From: 23, To: 24}}
	for _, c := range []struct {
		name    string
		room    quantity.Volume
		staffed flow.Hours
		start   quantity.Time
		days    int
		want    []Emptying
	}{
		// full at 05:00; the shift ended at 00:30, with 5 L in it; then full at 10:30, nobody there since: it runs over
		{"first half hour of the day", 50, night, 0, 1, []Emptying{{0.5, 5, true}, {5.5, 50, false}, {10.5, 50, false},
			{15.5, 50, false}, {20.5, 50, false}}},
		// from 10:00, full at 01:00 of the next day: the last shift ended at 00:30, 145 L; then 15 h later, 15:30, over
		{"past midnight", 150, night, 10, 1, []Emptying{{24.5, 145, true}}},
		{"and the day after", 150, night, 34, 1, []Emptying{{48.5, 145, true}}},
		// full at the minute the shift ends: emptied then, all of it, once; full again 12 h later when nobody is there
		{"just as the shift ends", 120, flow.Hours{{From: 6, To: 20}}, 8, 1, []Emptying{{20, 120, true}, {32, 120, false}}},
		// from the end of a shift on there is no shift before the bin is full, so nothing is emptied at that end again
		{"from the end of a shift", 50, flow.Hours{{From: 6, To: 20}}, 20, 1, []Emptying{{25, 50, false}, {30, 50, false},
			{35, 50, false}, {40, 50, false}}},
	} {
		s := Bin{Volume: c.room, Usable: 1}.Plan(day(t, 1, ""), Load{PerWater: 10}, c.staffed, c.start, c.days)
		if len(s.Emptyings) < len(c.want) {
			t.Errorf("%s: %+v", c.name, s.Emptyings)
			continue
		}
		for i, w := range c.want {
			got := s.Emptyings[i]
			near(t, c.name+", at", float64(got.At), float64(w.At), 1e-9)
			near(t, c.name+", contents", float64(got.Contents), float64(w.Contents), 1e-9)
			if got.Early != w.Early {
				t.Errorf("%s: %+v", c.name, got)
			}
		}
	}
}

// TestManyEmptyings: 1 L an hour into 0.001 L is 24,000 emptyings a day; the list stops at 500.
func TestManyEmptyings(t *testing.T) {
	s := Bin{Volume: 0.001, Usable: 1}.Plan(day(t, 1, ""), Load{PerWater: 1}, nil, 0, 1)
	if len(s.Emptyings) != 500 {
		t.Errorf("%d emptyings", len(s.Emptyings))
	}
	near(t, "the last, of 0.001 h each", float64(s.Emptyings[499].At), 0.5, 1e-9)
}

// TestDailyOfLittle: limits at nought are nought: of 0.96 L a day a bin of 0.5 L is emptied when it is full, 12.5 h after
// midnight, and at midnight again with the 0.46 L since; nobody minds the hour.
func TestDailyOfLittle(t *testing.T) {
	got := Bin{Volume: 0.5, Usable: 1}.Daily(day(t, 1, ""), Load{PerRunning: 0.04}, nil, 0)
	if len(got) != 2 {
		t.Fatalf("%+v", got)
	}
	near(t, "at", float64(got[0].At), 0, 0)
	near(t, "contents", float64(got[0].Contents), 0.46, 1e-9)
	near(t, "at", float64(got[1].At), 12.5, 1e-9)
	near(t, "contents", float64(got[1].Contents), 0.5, 1e-9)
	// the same of skimming: 0.02 L a m3 and no water carried over, 24 m3 a day: 0.48 L, 2 % dry; 0.24 L last 12 h
	s := Skimmer{}.Try(1, day(t, 1, ""), 0.02, 0.02, Bin{Volume: 0.24, Usable: 1})
	near(t, "dry", float64(s.Solids), 0.02, 1e-12)
	near(t, "bin", float64(s.BinIn), 12, 1e-9)
}

// TestDailyFromAnyHour: the list of a day is the same from whatever hour it is asked with nobody there; only its order changes. 24.6 L/h
// round the clock as in [TestDailyByHand], 233.7 L at 06:00 and 356.7 L at 20:30.
func TestDailyFromAnyHour(t *testing.T) {
	for _, start := range []quantity.Time{0, 1, 3, 5.5, 6, 20.5, 21.25, 23} {
		got := Bin{Volume: 389, Usable: 1}.Daily(day(t, 3.6, ""), Load{PerRunning: 24.6}, flow.Hours{{From: 6, To: 20.5}}, start)
		want := map[bool]quantity.Volume{true: 233.7, false: 356.7} // by: in the morning
		if len(got) != 2 || got[0].At > got[1].At || got[0].At < start || got[1].At >= start+24 {
			t.Fatalf("from %g: %+v", start, got)
		}
		for _, e := range got {
			clock := quantity.Wrapped(e.At, 24)
			near(t, "contents", float64(e.Contents), float64(want[clock < 12]), 1e-6)
			near(t, "clock", float64(clock), map[bool]float64{true: 6, false: 20.5}[clock < 12], 1e-9)
		}
	}
}

// TestDailyNeverAtNightAlone: where somebody is there for a part of the day, the list has an emptying while they are:
// the last one of the round falls on a shift. A list that began at any hour of the night would be one emptying shorter here:
// 10 L/h into 239 L, staff 06:00-07:00: emptied at 07:00 only would run over (240 L), so two, at 06:00 and 07:00.
func TestDailyNeverAtNightAlone(t *testing.T) {
	got := Bin{Volume: 239, Usable: 1}.Daily(day(t, 1, ""), Load{PerWater: 10}, flow.Hours{{From: 6, To: 7}}, 1)
	if len(got) != 2 {
		t.Fatalf("%+v", got)
	}
	near(t, "at", float64(got[0].At), 6, 1e-9)
	near(t, "contents", float64(got[0].Contents), 230, 1e-9)
	near(t, "at", float64(got[1].At), 7, 1e-9)
	near(t, "contents", float64(got[1].Contents), 10, 1e-9)
}

// TestBinOfTwoFlowsOverMidnight: 1 m3/h from 22:00 to 02:00 and 2 from then to 04:00, one run: of 1 L a m3 a bin of 7 L takes the 4 h of
// the one and 1.5 of the other.
func TestBinOfTwoFlowsOverMidnight(t *testing.T) {
	d, err := flow.ByHour([]flow.Step{{Flow: 1}, {From: 2, Flow: 2}, {From: 4}, {From: 22, Flow: 1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "bin", float64(Skimmer{}.Try(1, d, 1, 0.02, Bin{Volume: 7, Usable: 1}).BinIn), 5.5, 1e-6)
	if got := (Bin{}).Daily(d, Load{PerWater: 1}, nil, 0); got != nil {
		t.Errorf("a bin of no room: %+v", got)
	}
}
