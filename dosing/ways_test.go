package dosing

import (
	"testing"

	"jarwright/jartest/quantity"
)

// TestWaysTogether, by hand: stock that ages 45 min after 10 min of work, fed from 06:00 to 18:00, somebody there in the same hours, a life of
// 5 h. In the tank that the pump draws from it cannot age while the pump runs; in a make-up tank the first of the day has
// to be begun at 06:00 − 15 min − 45 min − 10 min = 04:50, or made the evening before at 18:00 and kept till the first of the
// day is fed. Only two changes together do, and each pair does.
func TestWaysTogether(t *testing.T) {
	day := demand{day: steady(t, 1, 6, 18), per: 0.00108}
	m := making{demand: day, tank: 7.6, ageing: 0.75, life: 5, work: 1. / 6, shift: shift{6, 18}, runStart: 6}
	if m.works() || len(m.ways()) != 0 {
		t.Fatalf("possible, or by %+v", m.ways())
	}
	pairs := m.pairs()
	staffed := false
	for _, p := range pairs {
		with := m
		for _, w := range p {
			switch w.what {
			case "second tank":
				with.mix = quantity.Volume(w.value)
			case "tank":
				with.tank = quantity.Volume(w.value)
			case "life":
				with.life = quantity.Time(w.value)
			case "staff":
				with.shift, staffed = w.shift, true
				near(t, "somebody there from", float64(w.shift.From), 4+50./60, 1e-6)
			}
		}
		if !with.works() {
			t.Errorf("%+v does not help", p)
		}
	}
	if len(pairs) < 2 || !staffed {
		t.Errorf("%+v", pairs)
	}
}

// TestSmallBatchBeforeTheFirst: with a life of 14 h and a make-up tank, what is made before 18:00 is fed until the first of the day is
// ready, and two batches do the rest: three a day, where equal ones would have to be seven.
func TestSmallBatchBeforeTheFirst(t *testing.T) {
	day := demand{day: steady(t, 1, 6, 18), per: 0.001134}
	m := making{demand: day, tank: 7.6, mix: 7.6, ageing: 0.75, life: 14, work: 1. / 6, shift: shift{5.5, 18}, runStart: 6}
	b, days, ok := m.schedule()
	if !ok || days != 1 || len(b) > 3 {
		t.Errorf("%v: %d batches every %d days: %+v", ok, len(b), days, b)
	}
}
