package dosing

import (
	"math"
	"math/rand/v2"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// TestBesideAClosedDay: 2 m3/h at 20 mg/L from 100 g/L take 0.4 L/h from 07:00 to 17:00, at most 5 % more, of a stock that is made up
// at 07:00 and ready at 07:15: 4.2 L stand there then, of which 0.2 L are left a day later. Before a closed day 0.42 L/h for 9.75 h are
// enough. After one, what was made 48 h before has gone off if it keeps 47: the unit starts at 07:15, with stock for 9.75 h and the next quarter hour.
func TestBesideAClosedDay(t *testing.T) {
	const usual, late = "07:00 start unit, 07:00 set pump, 07:00 make up, 17:00 stop pump, 17:00 stop unit",
		"07:00 make up, 07:15 start unit, 07:15 set pump, 17:00 stop pump, 17:00 stop unit"
	for _, x := range []struct {
		name   string
		rest   Rest
		life   quantity.Time
		tasks  string
		volume float64
	}{
		{"open on both sides", Rest{}, 47, usual, 4},
		{"closed tomorrow", Rest{After: 24}, 47, usual, 0.42*9.75 - 0.2},
		{"closed yesterday", Rest{Before: 24}, 47, late, 4.2},
		{"closed on both sides", Rest{24, 24}, 47, late, 0.42 * 9.75},
		{"a stock that keeps over it", Rest{24, 24}, 48, usual, 4},
	} {
		in := Input{Day: steady(t, 2, 7, 17), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Rest: x.rest, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000},
			Tank: &Vessel{Name: "tank", Volume: 5, Usable: 1}, From: 7, Till: 17, Work: 0.25, Pump: nameplate(20), Follows: true, Life: quantity.Some(x.life)}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := listed(p.Tasks); got != x.tasks {
			t.Errorf("%s: %s, want %s", x.name, got, x.tasks)
		}
		for _, k := range p.Tasks {
			if k.Kind == MakeUp {
				near(t, x.name, float64(k.Batch.Volume), x.volume, 1e-9)
				near(t, x.name+", product", float64(k.Batch.Recipe.Product), x.volume/10, 1e-9)
			}
		}
		treated, running, begunLate := p.Late() // from 07:15 till 17:00 at 2 m3/h
		if want := x.tasks == late; begunLate != want || want && (math.Abs(float64(running)-9.75) > 1e-9 || math.Abs(treated.In("m3")-19.5) > 1e-9) {
			t.Errorf("%s: %v, %v in %v", x.name, begunLate, treated, running)
		}
		if n, told := noted(p.Notes, "stock-rested"); told != (x.rest.Before > 0 && x.life < 48) {
			t.Errorf("%s: %v", x.name, n)
		}
	}
}

// TestRoundTheClockStops: a unit that runs round the clock is started after a closed day and stopped before one.
func TestRoundTheClockStops(t *testing.T) {
	for rest, want := range map[Rest]string{
		{}:           "06:00 set pump",
		{Before: 24}: "06:00 start unit, 06:00 set pump",
		{After: 48}:  "06:00 set pump, 06:00 the day after stop pump, 06:00 the day after stop unit",
	} {
		in := Input{Day: steady(t, 2, 0, 24), Start: 6, Staffed: flow.Hours{{From: 6, To: 22}}, Rest: rest, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25)}, Pump: nameplate(20)}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := listed(p.Tasks); got != want {
			t.Errorf("%v: %s, want %s", rest, got, want)
		}
		if last := p.Tasks[len(p.Tasks)-1]; rest.After > 0 && (last.At != 30 || last.Day != 1) {
			t.Errorf("the stop is at %v of day %d", last.At, last.Day)
		}
	}
}

// TestClosedDaysCanBeFollowed carries random days beside closed ones out minute by minute: no stock is fed young, or older than
// its life, and none runs dry; what is made for a closed day is no more than the reserve.
func TestClosedDaysCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 9))
	days, feeds := 400, 0
	if testing.Short() {
		days = 100
	}
	for n := range days {
		in := anyDay(r)
		in.Rest = Rest{Before: quantity.Time(24 * r.IntN(3)), After: quantity.Time(24 * r.IntN(3))}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range p.Feeds {
			if len(f.Batches) == 0 || !f.goesOff(p.Rest.Before) {
				continue
			}
			feeds++
			end := p.begin() + 24
			if f.goesOff(p.Rest.After) {
				end = p.Start + 24
			}
			draw := f.planned(p.Day)
			var fills []fill
			for _, b := range f.First {
				if b.Start < p.begin()-hair {
					t.Fatalf("day %d: a batch is begun at %s, when the unit stood still", n, flow.Clock(b.Start))
				}
				fills = append(fills, filling(b, 0))
			}
			upTo := func(t float64) float64 { return float64(draw.upTo(min(max(quantity.Time(t), p.Begins), p.Start+24))) }
			if fault := drawnDown(f, []drop{{0, 0, math.Inf(1)}}, fills, float64(p.Start), float64(end), upTo, true); fault != "" {
				t.Errorf("day %d %v: %s: starts %v, begins %v, keeps %v\n%+v", n, in.Rest, fault, p.Start, p.Begins, f.Life, f.First)
			}
			if len(f.First) == 0 {
				t.Fatalf("day %d %v: nothing is made: starts %v, %v %v %v, list from %v %+v", n, in.Rest, p.Start, p.Staffed, p.Running, p.Day.Segments(), p.begin(), f.Batches)
			}
			last := f.First[len(f.First)-1]
			// a quarter for the flow's range, with what the knob's step adds
			if rest := last.Full - f.planned(p.Day).between(max(last.Moved, p.Begins), p.Start+24); f.goesOff(p.Rest.After) && rest > 0.3*last.Full {
				t.Errorf("day %d: %v of %v are left when the unit stops", n, rest, last.Full)
			}
		}
	}
	if feeds < days/8 {
		t.Errorf("%d feeds: the test looks at too little", feeds)
	}
}

// TestLateDayOverMidnight: a day of a unit that runs round the clock begins at 20:00 with an empty tank; stock is made by 20:15, so 23 h 45 min
// are dosed, at 2 m3/h 47.5 m3. Hours that go over midnight count as far as they are left.
func TestLateDayOverMidnight(t *testing.T) {
	for _, x := range []struct {
		day   flow.Day
		hours float64
	}{{steady(t, 2, 0, 24), 23.75}, {flow.Day{}, 9.75}} {
		if x.hours < 20 { // from 20:00 till 06:00
			var err error
			if x.day, err = flow.Constant(2, flow.Hours{{From: 0, To: 6}, {From: 20, To: 24}}); err != nil {
				t.Fatal(err)
			}
		}
		in := Input{Day: x.day, Start: 20, Staffed: flow.Hours{{From: 20, To: 24}}, Feeds: []FeedInput{{Name: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct},
			Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000}, Work: 0.25, From: 20, Till: 24, Pump: nameplate(20), Follows: true,
			Tank: &Vessel{Name: "tank", Volume: 20, Usable: 1, Now: quantity.Some(quantity.Volume(0))}}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		treated, running, late := p.Late()
		if !late || math.Abs(float64(running)-x.hours) > 1e-9 || math.Abs(treated.In("m3")-2*x.hours) > 1e-9 {
			t.Errorf("%v: %v, %v in %v", x.hours, late, treated, running)
		}
	}
}
