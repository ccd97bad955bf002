package solids

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestDailyListRepeats: the same list day after day, poured minute by minute from a bin just emptied by its last task, never
// runs it over where the list has no task in hours when nobody is there.
func TestDailyListRepeats(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 21))
	repeats, over := 0, 0
	for range 300 {
		tb := anyTub(t, r)
		d := tb.d
		bin := Bin{Name: "B", Volume: quantity.Volume(60 + r.IntN(300))}
		room, start := float64(bin.Room()), quantity.Time(r.IntN(24))
		list, day := bin.Daily(d, tb.l, tb.staffed, start), 0.0
		for m := range 1440 {
			day += tb.minute(m)
		}
		often := 2*day > room+1e-9
		if (len(list) > 0) != often {
			t.Fatalf("%g L a day into %g L: %d emptyings", day, room, len(list))
		}
		if len(list) == 0 {
			continue
		}
		alone := false
		for _, e := range list {
			alone = alone || len(tb.staffed) > 0 && tb.staffed.Last(e.At) < e.At-1e-9
		}
		if alone {
			over++
			continue
		}
		repeats++
		contents, now := 0.0, float64(list[len(list)-1].At-24)*60
		for range 3 {
			for _, e := range list {
				till := float64(e.At) * 60
				for till <= now+1e-6 {
					till += 1440
				}
				for m := now; m < till-1e-9; m = math.Min(math.Floor(m+1e-9)+1, till) {
					contents += tb.minute((int(math.Floor(m+1e-9))%1440+1440)%1440) * (math.Min(math.Floor(m+1e-9)+1, till) - m)
				}
				if contents > room*(1+1e-6) {
					t.Fatalf("%g L in a bin for %g L at %s of %v", contents, room, flow.Clock(e.At), list)
				}
				near(t, "contents", float64(e.Contents), contents, 1e-4*room)
				contents, now = 0, till
			}
		}
	}
	if repeats < 100 || over < 5 {
		t.Errorf("%d lists that repeat, %d that cannot", repeats, over)
	}
}

// TestDailyByHand: 24.6 L/h round the clock into 389 L, somebody there 06:00-20:30: 590 L a day. From 06:00 to 20:30 come
// 14.5 h x 24.6 = 356.7 L, in the 9.5 h of the night 233.7 L.
func TestDailyByHand(t *testing.T) {
	d, err := flow.Constant(3.6, nil)
	if err != nil {
		t.Fatal(err)
	}
	got := Bin{Volume: 432.2222}.Daily(d, Load{PerRunning: 24.6}, flow.Hours{{From: 6, To: 20.5}}, 6)
	if len(got) != 2 || got[0].At != 6 || got[1].At != 20.5 || !got[1].Early || got[0].Early {
		t.Fatalf("%+v", got)
	}
	near(t, "in the morning", float64(got[0].Contents), 233.7, 1e-6)
	near(t, "in the evening", float64(got[1].Contents), 356.7, 1e-6)
}

// TestBinFullAsTheUnitStops: 10 L/h from 08:00 to 12:00 into 40 L. It is full at 12:00 sharp, not at the next start, once a
// day; left full at midnight it takes nothing from 08:00 on.
func TestBinFullAsTheUnitStops(t *testing.T) {
	d, l, bin := day(t, 1, "08:00-12:00"), Load{PerRunning: 10}, Bin{Volume: 80, Usable: 0.5}
	s := bin.Plan(d, l, nil, 8, 7)
	near(t, "full at", float64(s.FullAt), 12, 1e-9)
	near(t, "a day", s.PerDay, 1, 1e-12)
	near(t, "every day", float64(s.Every()), 24, 1e-9)
	if got := bin.Daily(d, l, nil, 8); len(got) != 1 || got[0].At != 12 || got[0].Contents != 40 {
		t.Errorf("%+v", got)
	}
	// 40 L a day: 100 L hold two whole days, 79 L one, which is then emptied every day; neither is full before.
	if s := (Bin{Volume: 100, Usable: 1}).Plan(d, l, nil, 8, 7); s.Every() != 48 || (Bin{Volume: 100, Usable: 1}).Daily(d, l, nil, 8) != nil {
		t.Errorf("100 L: every %s, %+v", s.Every(), s)
	}
	if got := (Bin{Volume: 79, Usable: 1}).Daily(d, l, flow.Hours{{From: 7, To: 15}}, 8); len(got) != 1 || got[0].Contents != 40 {
		t.Errorf("79 L: %+v", got)
	}
	byHour, err := flow.ByHour([]flow.Step{{}, {From: 8, Flow: 1}, {From: 12}}, nil) // the pauses as rows of no flow
	if err != nil {
		t.Fatal(err)
	}
	bin.Now = 40
	for _, same := range []flow.Day{d, byHour} {
		near(t, "left full", float64(bin.Plan(same, l, nil, 0, 7).FullAt), 8, 1e-9)
		// 1 L of float an hour, of 4 L in the first day and 3 in the next: from 08:00 to 11:00 the day after, 7 h of running
		near(t, "skimmed into 7 L", float64(Skimmer{}.Try(1, same, 1, 0.02, Bin{Volume: 7, Usable: 1}).BinIn), 7, 1e-9)
	}
}

// TestEvery: of 24.6 L/h and 389 L the nights of 20:30-06:00 take the evening's emptying on, so two a day, 12 h apart.
func TestEvery(t *testing.T) {
	s := Bin{Volume: 432.2222}.Plan(day(t, 3.6, ""), Load{PerRunning: 24.6}, flow.Hours{{From: 6, To: 20.5}}, 6, 7)
	near(t, "every", float64(s.Every()), 12, 1e-9)
}

// TestDailyBeginsWithAShift: from whatever hour the list is asked, it is cut where a shift begins or ends. One long
// shift as in [TestDailyByHand]; of two short ones, 10 L/h into 150 L, from 08:00 on 12 h and 12 h of 120 L each, where
// from 06:00 on it is 14 h and 10 h, and from 19:00 on 13 h and 11 h.
func TestDailyBeginsWithAShift(t *testing.T) {
	for _, x := range []struct {
		volume  quantity.Volume
		load    quantity.Volume
		staffed flow.Hours
		want    []Emptying
	}{
		{389, 24.6, flow.Hours{{From: 6, To: 20.5}}, []Emptying{{6, 233.7, false}, {20.5, 356.7, true}}},
		{150, 10, flow.Hours{{From: 6, To: 8}, {From: 19, To: 20}}, []Emptying{{8, 120, false}, {20, 120, true}}},
	} {
		got := Bin{Volume: x.volume, Usable: 1}.Daily(day(t, 3.6, ""), Load{PerRunning: x.load}, x.staffed, 3)
		if len(got) != len(x.want) {
			t.Fatalf("%+v, want %+v", got, x.want)
		}
		for i, e := range got {
			near(t, "at", float64(e.At), float64(x.want[i].At), 1e-9)
			near(t, "contents", float64(e.Contents), float64(x.want[i].Contents), 1e-6)
		}
	}
}
