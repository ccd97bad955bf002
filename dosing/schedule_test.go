package dosing

import (
	"math"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// twoFlows is 2 m3/h from 6 to 12 and 4 m3/h from 12 to 18: 36 m3 a day.
func twoFlows(t *testing.T) flow.Day {
	t.Helper()
	d, err := flow.FromSegments([]flow.Segment{{Span: flow.Span{From: 6, To: 12}, Flow: 2}, {Span: flow.Span{From: 12, To: 18}, Flow: 4}})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func steady(t *testing.T, f quantity.Flow, from, to quantity.Time) flow.Day {
	t.Helper()
	d, err := flow.FromSegments([]flow.Segment{{Span: flow.Span{From: from, To: to}, Flow: f}})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestDemandByHand: a litre of stock for 1000 L of water is 2 L/h, then 4 L/h, 36 L a day.
func TestDemandByHand(t *testing.T) {
	d := demand{day: twoFlows(t), per: 0.001}
	near(t, "a day", float64(d.daily()), 36, 1e-9)
	for _, x := range []struct{ from, to, want float64 }{
		{6, 12, 12}, {12, 18, 24}, {0, 6, 0}, {18, 30, 0}, {10, 14, 12}, {10, 34, 36}, {10, 58, 72}, {17, 31, 6}, {-18, 7, 38}, {12, 12, 0}, {13, 12, 0}, {6, 54, 72}, {0, 24, 36}, {0, 72, 108},
	} {
		near(t, flow.Clock(quantity.Time(x.from))+" to "+flow.Clock(quantity.Time(x.to)), float64(d.between(quantity.Time(x.from), quantity.Time(x.to))), x.want, 1e-9)
	}
	for _, x := range []struct{ from, litres, want float64 }{
		{6, 12, 12}, {6, 13, 12.25}, {6, 36, 18}, {6, 37, 30.5}, {12, 30, 33}, {20, 1, 30.5}, {5, 0, 5}, {5, -1, 5}, {-18, 2, -17}, {6, 73, 54.5}, {17, 4, 18}, {17, 6, 31}, {40, 40, 65},
	} {
		near(t, "until", float64(d.until(quantity.Time(x.from), quantity.Volume(x.litres))), x.want, 1e-6)
	}
	if got := (demand{}).until(3, 1); !math.IsInf(float64(got), 1) {
		t.Errorf("nothing is drawn, yet a litre by %v", got)
	}
}

func TestShiftByHand(t *testing.T) {
	for _, x := range []struct {
		shift       shift
		t, work     quantity.Time
		latest      quantity.Time
		ok          bool
		long, whole float64
	}{
		{shift{6, 21}, 10, 1, 10, true, 15, 0}, {shift{6, 21}, 23, 1, 20, true, 15, 0}, {shift{6, 21}, 3, 1, -4, true, 15, 0}, {shift{6, 21}, 30, 1, 30, true, 15, 0},
		{shift{6, 21}, 10, 15, 6, true, 15, 0}, {shift{6, 21}, 10, 16, 0, false, 15, 0}, {shift{22, 4}, 2, 1, 2, true, 6, 0}, {shift{22, 4}, 12, 1, 3, true, 6, 0},
		{shift{5, 5}, 7, 30, 7, true, 24, 1}, {shift{}, 7, 30, 7, true, 24, 1},
	} {
		got, ok := x.shift.latest(x.t, x.work)
		if ok != x.ok || ok && math.Abs(float64(got-x.latest)) > 1e-9 || float64(x.shift.length()) != x.long || x.shift.always() != (x.whole == 1) {
			t.Errorf("%v: latest %v %v, want %v %v; %v long", x, got, ok, x.latest, x.ok, x.shift.length())
		}
	}
}

// TestSchedulesByHand: 9.6 L a day round the clock, and 4 L between 8 and 16.
func TestSchedulesByHand(t *testing.T) {
	night := demand{day: steady(t, 0.4, 0, 24), per: 0.001}
	shifts := demand{day: steady(t, 0.5, 8, 16), per: 0.001}
	one := func(volume float64, start, made, aged, moved, from, till, expires quantity.Time) Batch {
		return Batch{Volume: quantity.Volume(volume), Start: start, Made: made, Aged: aged, Moved: moved, From: from, Till: till, Expires: expires}
	}
	for _, x := range []struct {
		what  string
		m     making
		every int
		want  []Batch
	}{
		{"a week at a time", making{demand: night, tank: 100, life: 1000, work: 0.25, shift: shift{6, 21}, runStart: 6}, 7,
			[]Batch{one(67.2, 6, 6.25, 6.25, 6.25, 6.25, 174.25, 1006.25)}},
		{"five days fill the tank", making{demand: night, tank: 50, life: 1000, work: 0.25, shift: shift{6, 21}, runStart: 6}, 5,
			[]Batch{one(48, 6, 6.25, 6.25, 6.25, 6.25, 126.25, 1006.25)}},
		{"exactly what the tank holds", making{demand: night, tank: 48, life: 1000, work: 0.25, runStart: 6}, 5, []Batch{one(48, 5.75, 6, 6, 6, 6, 126, 1006)}},
		{"four days of life", making{demand: night, tank: 50, life: 100, work: 0.25, shift: shift{6, 21}, runStart: 6}, 4,
			[]Batch{one(38.4, 6, 6.25, 6.25, 6.25, 6.25, 102.25, 106.25)}},
		{"round the clock", making{demand: night, tank: 10, life: 24, work: 0.25, runStart: 6}, 1, []Batch{one(9.6, 5.75, 6, 6, 6, 6, 30, 30)}},
		{"twice a day", making{demand: night, tank: 9, life: 24, work: 0.25, runStart: 6}, 1,
			[]Batch{one(4.8, 5.75, 6, 6, 6, 6, 18, 30), one(4.8, 17.75, 18, 18, 18, 18, 30, 42)}},
		{"aged over night in the tank", making{demand: shifts, tank: 10, ageing: 2, life: 24, work: 0.25, shift: shift{6, 21}, runStart: 8}, 1,
			[]Batch{one(4, -3.25, -3, -1, -3, 8, 32, 21)}},
		{"aged in a make-up tank", making{demand: night, tank: 10, mix: 12, ageing: 2, life: 26, work: 0.25, runStart: 6}, 1, // one batch would go off at 29:45
			[]Batch{one(4.8, 3.5, 3.75, 5.75, 5.75, 6, 18, 29.75), one(4.8, 15.5, 15.75, 17.75, 17.75, 18, 30, 41.75)}},
	} {
		got, every, ok := x.m.schedule()
		if !ok || every != x.every || len(got) != len(x.want) {
			t.Errorf("%s: %+v every %d (%v)", x.what, got, every, ok)
			continue
		}
		for i, b := range got {
			w := x.want[i]
			for name, v := range map[string][2]quantity.Time{"start": {b.Start, w.Start}, "made": {b.Made, w.Made}, "aged": {b.Aged, w.Aged}, "moved": {b.Moved, w.Moved},
				"from": {b.From, w.From}, "till": {b.Till, w.Till}, "expires": {b.Expires, w.Expires}} {
				near(t, x.what+": "+name, float64(v[0]), float64(v[1]), 1e-6)
			}
			near(t, x.what+": volume", float64(b.Volume), float64(w.Volume), 1e-9)
		}
	}
	for what, m := range map[string]making{
		"nothing drawn":    {tank: 10, life: 24},
		"no tank":          {demand: night, life: 24},
		"batch over tank":  {demand: night, tank: 10, life: 24, fixed: 10.1},
		"no shift so long": {demand: night, tank: 10, life: 24, work: 2, shift: shift{6, 7}},
		"life too short":   {demand: night, tank: 10, life: 1, work: 0.25, shift: shift{6, 7}},
	} {
		if b, _, ok := m.schedule(); ok {
			t.Errorf("%s: %+v", what, b)
		}
	}
	// A batch of the user's size: 2.4 L last six hours each.
	got, every, ok := making{demand: night, tank: 10, life: 24, work: 0.25, fixed: 2.4, runStart: 6}.schedule()
	if !ok || every != 1 || len(got) != 4 || math.Abs(float64(got[3].From-24)) > 1e-6 || got[3].Volume != 2.4 || math.Abs(float64(got[1].Start-11.75)) > 1e-6 {
		t.Errorf("batches of 2.4 L: %+v every %d", got, every)
	}
	got, every, ok = making{demand: night, tank: 30, life: 90, work: 0.25, fixed: 28.8, runStart: 6}.schedule()
	if !ok || every != 3 || len(got) != 1 {
		t.Errorf("28.8 L last three days: %+v every %d", got, every)
	}
}

// TestWaysAreLeast: what is offered works, and a twentieth less of it does not.
func TestWaysAreLeast(t *testing.T) {
	night := demand{day: steady(t, 0.4, 0, 24), per: 0.001}
	for _, m := range []making{
		{demand: night, tank: 3, mix: 3, ageing: 2, life: 24, work: 0.25, shift: shift{6, 21}, runStart: 6},
		{demand: night, tank: 9, mix: 9, ageing: 2, life: 6, work: 0.25, shift: shift{6, 21}, runStart: 6},
		{demand: night, tank: 9, ageing: 2, life: 24, work: 0.25, shift: shift{6, 21}, runStart: 6},
		{demand: night, tank: 5, life: 24, work: 0.25, shift: shift{8, 9}, runStart: 6},
		{demand: night, tank: 20, life: 24, work: 0.25, fixed: 15, shift: shift{6, 8}, runStart: 6},
	} {
		if _, _, ok := m.schedule(); ok {
			t.Errorf("%+v is possible", m)
		}
		ways := m.ways()
		if len(ways) == 0 {
			t.Errorf("no way out of %+v", m)
		}
		for _, w := range ways {
			with := func(k float64) bool {
				x := m
				switch w.what {
				case "batch":
					x.fixed = 0
				case "second tank":
					x.mix = quantity.Volume(w.value)
				case "tank":
					x.tank = quantity.Volume(w.value * k)
					if x.mix > 0 {
						x.mix = max(x.mix, x.tank)
					}
				case "life":
					x.life = quantity.Time(w.value * k)
				case "staff":
					x.shift = shift{}
				}
				_, _, ok := x.schedule()
				return ok
			}
			if !with(1 + 1e-9) {
				t.Errorf("%s %g does not help %+v", w.what, w.value, m)
			}
			if (w.what == "tank" || w.what == "life") && with(0.95) {
				t.Errorf("%s %g is more than needed for %+v", w.what, w.value, m)
			}
		}
	}
}
