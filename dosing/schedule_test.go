package dosing

import (
	"math"
	"strings"
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
		{shift{0, 24}, 7, 30, 7, true, 24, 1}, {shift{0, 24}, 7, 1. / 3, 7, true, 24, 1}, {shift{6, 24}, 30.5, 1, 30.5, true, 18, 0},
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
		// Made for 10 % more, one batch a day keeps till the next; the 0.96 L left then, of 10.56, are stirred into it.
		{"a heel", making{demand: demand{day: steady(t, 0.44, 0, 24), per: 0.001}, planned: night, tank: 11, life: 24, work: 0.25, runStart: 6}, 1,
			[]Batch{one(9.6, 5.75, 6, 6, 6, 6, 30, 30)}},
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
		"a drop at a time": {demand: night, tank: 10, life: 24, fixed: 9.6 / 1441},
		"next to nothing":  {demand: night, tank: 10, life: 24, fixed: 1e-300},
		"batch over tank":  {demand: night, tank: 9, life: 24, fixed: 10.1},
		"no shift so long": {demand: night, tank: 10, life: 24, work: 2, shift: shift{6, 7}},
		"life too short":   {demand: night, tank: 10, life: 1, work: 0.25, shift: shift{6, 7}},
	} {
		if b, _, ok := m.schedule(); ok {
			t.Errorf("%s: %+v", what, b)
		}
	}
	// A batch of the user's size: 2.4 L last six hours each.
	got, every, ok := making{demand: night, tank: 10, life: 24, work: 0.25, fixed: 2.4, runStart: 6}.schedule()
	if !ok || every != 1 || len(got) != 4 || math.Abs(float64(got[3].From-24)) > 1e-6 || math.Abs(float64(got[3].Volume)-2.4) > 1e-9 || math.Abs(float64(got[1].Start-11.75)) > 1e-6 {
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
	for _, x := range []struct {
		making
		want string
	}{
		// 9.6 L a day: 3 L last 7.5 h, but nobody is there from 21:00 to 06:00.
		{making{demand: night, tank: 3, mix: 3, ageing: 2, life: 24, work: 0.25, shift: shift{6, 21}, runStart: 6}, "tank, staff"},
		{making{demand: night, tank: 9, mix: 9, ageing: 2, life: 6, work: 0.25, shift: shift{6, 21}, runStart: 6}, "life, staff"},
		// Whatever the tank: what ages in it is drawn before.
		{making{demand: night, tank: 9, ageing: 2, life: 24, work: 0.25, shift: shift{6, 21}, runStart: 6}, "second tank"},
		{making{demand: night, tank: 5, life: 24, work: 0.25, shift: shift{8, 9}, runStart: 6}, "tank, staff"},
		// 20 L are for two days.
		{making{demand: night, tank: 20, life: 24, work: 0.25, fixed: 20, shift: shift{6, 8}, runStart: 6}, "batch, life"},
		{making{demand: night, tank: 20, life: 24, work: 0.25, fixed: 20, runStart: 6}, "batch, life"},
	} {
		m := x.making
		if _, _, ok := m.schedule(); ok {
			t.Errorf("%+v is possible", m)
		}
		ways := m.ways()
		var named []string
		for _, w := range ways {
			named = append(named, w.what)
			if w.what == "life" && m.fixed == 20 && m.shift.always() {
				near(t, "a life for 20 L", w.value, 48, 1e-6)
			}
		}
		if got := strings.Join(named, ", "); got != x.want {
			t.Errorf("%+v: %s, want %s", m, got, x.want)
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

// TestLastDraw: 2 m3/h from 6 to 12 and 4 from 12 to 18, day after day.
func TestLastDraw(t *testing.T) {
	d := demand{day: twoFlows(t), per: 0.001}
	for _, x := range []struct{ t, last, first quantity.Time }{
		{7, 7, 7}, {12, 12, 12}, {18, 18, 30}, {20, 18, 30}, {24, 18, 30}, {30, 18, 30}, {30.5, 30.5, 30.5}, {5, -6, 6}, {6, -6, 6}, {-3, -6, 6}, {47.9, 42, 54},
	} {
		near(t, "last before "+flow.Clock(x.t), float64(d.last(x.t)), float64(x.last), 1e-9)
		near(t, "first from "+flow.Clock(x.t), float64(d.next(x.t)), float64(x.first), 1e-9)
	}
	brief := demand{day: dayOf(t, segment(2, 2, 3), segment(6, 6.5, 0.5), segment(6.5, 12, 0), segment(13, 13, 3)), per: 0.001}
	near(t, "last of half an hour", float64(brief.last(20)), 6.5, 1e-9)
	near(t, "first of half an hour", float64(brief.next(20)), 30, 1e-9)
	near(t, "drawn in half an hour", float64(brief.until(0, 0.125)), 6.25, 1e-9) // 0.25 L a day
	if got := (demand{}).last(7); got != 7 {
		t.Errorf("nothing is drawn: last at %v", got)
	}
	if got := (demand{}).next(7); got != 7 {
		t.Errorf("nothing is drawn: next at %v", got)
	}
	near(t, "a moment before the end is the end", float64(d.next(18-5e-8)), 30, 1e-9)
	near(t, "two are not", float64(d.next(18-2e-7)), 18-2e-7, 0)
}

// TestBatchByHand: one batch of a steady 0.4 L/h, placed as late as it can be. Work
// takes 15 min; stock goes over from a make-up tank 15 min before it is used.
func TestBatchByHand(t *testing.T) {
	night := demand{day: steady(t, 0.4, 0, 24), per: 0.001}
	day := demand{day: steady(t, 0.4, 8, 16), per: 0.001}
	for _, x := range []struct {
		what                       string
		m                          making
		v                          quantity.Volume
		from, till                 quantity.Time
		start, aged, moved, expire quantity.Time // start 99 where there is none
	}{
		{"in the tank", making{demand: night, tank: 10, life: 24, work: 0.25}, 8, 6, 26, 5.75, 6, 6, 30},
		{"at the end of its life", making{demand: night, tank: 10, life: 20, work: 0.25}, 8, 6, 26, 5.75, 6, 6, 26},
		{"beyond its life", making{demand: night, tank: 10, life: 19.9, work: 0.25}, 8, 6, 26, 99, 0, 0, 0},
		{"its life ends in the night, when nothing is drawn", making{demand: day, tank: 10, life: 8, work: 0.25}, 3.2, 8, 32, 7.75, 8, 8, 16},
		{"the last of the old stands there", making{demand: night, tank: 10, life: 48, work: 0.25, shift: shift{8, 20}}, 9, 23, 45.5, 19.75, 20, 20, 68},            // 3 h × 0.4 + 9 = 10.2
		{"and leaves room for it", making{demand: night, tank: 10, life: 48, work: 0.25, shift: shift{8, 20}}, 8.8, 23, 45, 19.75, 20, 20, 68},                      // 1.2 + 8.8 = 10
		{"ageing where it is drawn from", making{demand: night, tank: 10, life: 48, ageing: 1, work: 0.25}, 8, 6, 26, 99, 0, 0, 0},                                  // 0.5 L would be drawn
		{"ageing in the night", making{demand: day, tank: 10, life: 48, ageing: 1, work: 0.25}, 3.2, 8, 32, 6.75, 8, 7, 55},                                         // nothing is drawn
		{"used later than it says", making{demand: day, tank: 10, life: 48, work: 0.25}, 3.2, 2, 26, 7.75, 8, 8, 56},                                                // the first draw counts
		{"from a make-up tank", making{demand: night, tank: 10, mix: 10, life: 48, ageing: 2, work: 0.25}, 8, 6, 26, 3.5, 5.75, 5.75, 51.75},                        // 6 − 0.25 − 2 − 0.25
		{"moved in the shift before", making{demand: night, tank: 10, mix: 10, life: 48, ageing: 2, work: 0.25, shift: shift{8, 20}}, 8, 23, 43, 17.75, 20, 20, 66}, // moved at 20:00, 17:45 begun
		{"begun in the shift before that", making{demand: night, tank: 10, mix: 10, life: 48, ageing: 2, work: 0.25, shift: shift{8, 10}}, 8, 8.5, 28.5, -14.25, -12, 8.25, 34},
		{"no shift as long as the work", making{demand: night, tank: 10, mix: 10, life: 48, work: 3, shift: shift{8, 10}}, 8, 9, 29, 99, 0, 0, 0},
		{"the same in the tank", making{demand: night, tank: 10, life: 48, work: 3, shift: shift{8, 10}}, 8, 9, 29, 99, 0, 0, 0},
	} {
		if x.what == "the last of the old stands there" {
			x.start = 99
		}
		b, ok := x.m.batch(x.v, x.from, x.till)
		ok = ok && x.m.keep([]Batch{b}, x.till-x.from)
		if ok != (x.start != 99) {
			t.Errorf("%s: %v %+v", x.what, ok, b)
		}
		if !ok {
			continue
		}
		for name, v := range map[string][2]quantity.Time{"start": {b.Start, x.start}, "made": {b.Made, x.start + 0.25}, "aged": {b.Aged, x.aged}, "moved": {b.Moved, x.moved},
			"from": {b.From, x.from}, "till": {b.Till, x.till}, "expires": {b.Expires, x.expire}} {
			near(t, x.what+": "+name, float64(v[0]), float64(v[1]), 1e-6)
		}
	}
}

// TestKeepByHand: 0.4 L/h planned, the fastest 10 % more; batches at 6 and 18, each for 12 h: marks of 5.28 L, of which 0.48 L, 9.1 %,
// are left when the next comes in. At 20 % more it is 0.96 of 5.76 L, a sixth, which is drawn till 2.4 h later.
func TestKeepByHand(t *testing.T) {
	for _, x := range []struct {
		more float64
		life quantity.Time
		want bool
	}{{1.1, 12, true}, {1.1, 11.9, false}, {1.2, 12, false}, {1.2, 14.3, false}, {1.2, 14.4, true}} {
		m := making{demand: demand{day: steady(t, quantity.Flow(0.4*x.more), 0, 24), per: 0.001}, planned: demand{day: steady(t, 0.4, 0, 24), per: 0.001}}
		round := []Batch{{Moved: 6, Till: 18, Expires: 6 + x.life}, {Moved: 18, Till: 30, Expires: 18 + x.life}}
		if got := m.keep(round, 24); got != x.want {
			t.Errorf("%g times as fast, life %v: %v", x.more, x.life, got)
		}
	}
}

// TestPatternsByHand: what a schedule tries, and when the make-up tank is free.
func TestPatternsByHand(t *testing.T) {
	night := demand{day: steady(t, 0.4, 0, 24), per: 0.001} // 9.6 L a day
	m := making{demand: night, tank: 4, life: 24, work: 0.25, runStart: 6}
	for _, x := range []struct {
		tank, mix quantity.Volume
		want      []quantity.Volume
	}{{4, 0, []quantity.Volume{4, 4, 1.6}}, {9.6, 0, []quantity.Volume{9.6}}, {20, 3, []quantity.Volume{3, 3, 3, 0.6}}, {4, 9, []quantity.Volume{4, 4, 1.6}}, {0.8, 0, nil}, {0.79, 0, nil}} {
		m := m
		m.tank, m.mix = x.tank, x.mix
		got, ok := m.tankfuls()
		if x.want == nil {
			if ok != (x.tank == 0.8) || len(got) != 12 { // 12 batches of 0.8 L are a day's
				t.Errorf("%v L: %v %v", x.tank, ok, got)
			}
			continue
		}
		if !ok || len(got) != len(x.want) {
			t.Errorf("%v L: %v", x.tank, got)
			continue
		}
		for i := range got {
			near(t, "fills", float64(got[i]), float64(x.want[i]), 1e-9)
		}
	}
	// Times at which the first batch may come into use: the shift's first, the run's start, every quarter hour.
	m.shift, m.ageing = shift{7, 19}, 1
	a := m.anchors()
	if len(a) != 98 || a[0] != 8.25 || a[1] != 6 || a[2] != 6 || a[3] != 6.25 || a[74] != 0 || a[97] != 5.75 {
		t.Errorf("anchors %v", a)
	}
	m.mix = 0.4 // however small
	if a = m.anchors(); a[0] != 8.5 {
		t.Errorf("with a small make-up tank %v", a[:3])
	}
	m.mix, m.shift = 4, shift{22, 23}
	if a = m.anchors(); a[0] != 22+0.25+1+0.25 {
		t.Errorf("with a make-up tank %v", a[:3])
	}
	if m.shift = (shift{23, 4}); m.anchors()[0] != 0.5 {
		t.Errorf("over midnight %v", m.anchors()[:3])
	}
	m.shift = shift{}
	if a = m.anchors(); len(a) != 97 || a[0] != 6 {
		t.Errorf("round the clock %v", a)
	}
	// 4.8 L from a make-up tank: begun at 3:30 for use at 6:00, at 15:30 for 18:00, free from 5:45 on. Ageing for
	// 11:45 begins at 17:45 for 6:00 and for 18:00 at 5:45, the very time the tank is free; a moment more is too long.
	for ageing, want := range map[quantity.Time]bool{2: true, 11.75: true, 11.8: false} {
		m := making{demand: night, tank: 10, mix: 10, life: 48, work: 0.25, ageing: ageing, runStart: 6}
		if _, ok := m.pattern(6, shape{volumes: []quantity.Volume{4.8, 4.8}, days: 1}); ok != want {
			t.Errorf("ageing %v h: %v", ageing, ok)
		}
		m.fixed = 4.8
		if _, _, ok := m.schedule(); ok != want {
			t.Errorf("batches of 4.8 L ageing %v h: %v", ageing, ok)
		}
	}
	// One batch a day is free again when it is moved; 24 h of ageing overlap with the next.
	for ageing, want := range map[quantity.Time]bool{23.75: true, 23.8: false} {
		m := making{demand: night, tank: 10, mix: 10, life: 60, work: 0.25, ageing: ageing, runStart: 6}
		if _, ok := m.pattern(6, shape{volumes: []quantity.Volume{9.6}, days: 1}); ok != want {
			t.Errorf("a day's batch ageing %v h: %v", ageing, ok)
		}
	}
	// Batches of the user's size go on until the day is full: 24 h of 0.4 L/h in fours.
	for _, x := range []struct {
		fixed quantity.Volume
		n     int
		every int
		ok    bool
	}{{0.8, 12, 1, true}, {4, 3, 1, true}, {3.2, 3, 1, true}, {9.6, 1, 1, true}, {19.2, 1, 2, true}, {20, 1, 2, true}, {23, 1, 2, true}, {25, 1, 2, true}, {30, 1, 3, true}, {30.1, 1, 3, true}} {
		m := making{demand: night, tank: 30, life: 72, work: 0.25, fixed: x.fixed, runStart: 6}
		if b, every, ok := m.schedule(); ok != x.ok || len(b) != x.n || every != x.every {
			t.Errorf("%v L: %d batches every %d days, %v", x.fixed, len(b), every, ok)
		}
	}
	// Where nothing is drawn at night, what the day does not take is for the next day: 4 L a day.
	for fixed, want := range map[quantity.Volume][2]int{2: {2, 1}, 3: {2, 1}, 4: {1, 1}, 8: {1, 2}} {
		m := making{demand: demand{day: steady(t, 0.5, 8, 16), per: 0.001}, tank: 30, life: 72, work: 0.25, fixed: fixed, runStart: 8}
		if b, every, ok := m.schedule(); !ok || len(b) != want[0] || every != want[1] {
			t.Errorf("%v L by day: %d batches every %d days, %v", fixed, len(b), every, ok)
		}
	}
	// Twelve batches a day at the most, and seven days at the most.
	for tank, want := range map[quantity.Volume]int{0.8: 12, 0.79: 0, 4.8: 2, 4.7: 3, 19.2: 1, 67.2: 1, 1000: 1} {
		m := making{demand: night, tank: tank, life: 400, work: 0.25, runStart: 6}
		b, every, ok := m.schedule()
		days := max(1, min(7, int(tank/9.6+1e-9)))
		if ok != (want > 0) || len(b) != want || ok && every != days {
			t.Errorf("a tank of %v: %d batches every %d days", tank, len(b), every)
		}
	}
}

// TestDrawThatNeverAddsUp: a draw too small to be counted in hours comes to an end all
// the same, within the day in which it would be taken.
func TestDrawThatNeverAddsUp(t *testing.T) {
	day, err := flow.Constant(1e-300, nil)
	if err != nil {
		t.Fatal(err)
	}
	d := demand{day: day, per: 1e-20}
	for _, v := range []quantity.Volume{1e-310, 1e-300, 1} {
		if got := d.until(6, v); got < 6 || math.IsNaN(float64(got)) {
			t.Errorf("%g L are drawn by %v h", float64(v), float64(got))
		}
	}
}
