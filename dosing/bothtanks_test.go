package dosing

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/jartest/quantity"
)

// bothTanks carries the list of a feed with a make-up tank out by its tasks alone, from what really stands in both tanks when the
// day starts to the end of the list: stock is made up only in an empty make-up tank, all of it is let over when it has aged, the day tank
// neither runs over nor dry as planned, and the table of hours has what stands in it. It tells what goes wrong.
func bothTanks(p Plan, i int, waits quantity.Volume) string {
	f, begin := p.Feeds[i], p.begin()
	draw, tank, mixer := f.planned(p.Day), f.Tank.Now.V, waits
	holds, ready := f.Tank.Holds(), quantity.Time(math.Inf(-1))
	tasks := slices.DeleteFunc(slices.Clone(p.Tasks), func(k Task) bool { return k.Feed != i || k.Kind != MakeUp && k.Kind != MoveStock })
	now := p.Start
	drawn := func(t quantity.Time) string {
		tank -= draw.between(max(now, p.Begins), max(t, p.Begins))
		now = max(now, t)
		if tank < -1e-6*holds {
			return "the day tank is empty before " + flow.Clock(t)
		}
		return ""
	}
	for _, k := range tasks { // what need not age is made up into the day tank, of which its task says so
		if k.Kind == MakeUp && k.Batch.Moved <= k.Batch.Made+1e-6 {
			tasks = append(tasks, Task{At: k.At + f.Work, Kind: MoveStock, Batch: k.Batch})
		}
	}
	for h, row := range p.Hours {
		at := quantity.Time(math.Floor(float64(p.Start))) + quantity.Time(h+1)
		if at > begin+24+hair && slices.ContainsFunc(p.occurring(f, begin), func(b Batch) bool { return b.Moved+24 <= at+hair }) {
			break // the next list has filled it up
		}
		tasks = append(tasks, Task{At: at, Kind: "read", Batch: Batch{Full: row.Feeds[i].Level}})
	}
	slices.SortStableFunc(tasks, func(a, b Task) int {
		if math.Abs(float64(a.At-b.At)) > 1e-7 {
			return cmp.Compare(a.At, b.At)
		}
		return cmp.Compare(map[TaskKind]int{MoveStock: 0, MakeUp: 1, "read": 2}[a.Kind], map[TaskKind]int{MoveStock: 0, MakeUp: 1, "read": 2}[b.Kind])
	})
	for _, k := range tasks {
		clock := flow.Clock(k.At)
		if fault := drawn(k.At); fault != "" {
			return fault
		}
		switch k.Kind {
		case MakeUp:
			if mixer > 1e-6*holds {
				return fmt.Sprintf("at %s stock is made up in a make-up tank in which %v stand", clock, mixer)
			}
			mixer, ready = k.Batch.Volume, k.At+f.Work+f.Ageing
			if mixer > f.Mix.Holds()*(1+1e-6) {
				return "the make-up tank runs over at " + clock
			}
		case MoveStock:
			if k.At < ready-1e-6 {
				return "young stock is let over at " + clock
			}
			if mixer <= 0 {
				return "nothing stands in the make-up tank to be let over at " + clock
			}
			if k.Batch.LetOut {
				tank = 0
			}
			if spilled := k.Batch.Spilled; spilled > 0 {
				if tank -= spilled; tank < -1e-6*holds {
					return "more is let out than stands there at " + clock
				}
			}
			if tank, mixer = tank+mixer, 0; tank > holds*(1+1e-6) {
				return "the day tank runs over at " + clock
			}
		case "read":
			if math.Abs(float64(tank-k.Batch.Full)) > 1e-6*float64(holds) {
				return fmt.Sprintf("at %s %v stand in the tank, the table has %v", clock, tank, k.Batch.Full)
			}
		}
	}
	return ""
}

// TestBothTanksCanBeFollowed: a thousand sites with a make-up tank beside the day tank, in both of which anything may stand when the day
// starts, or nobody looked into the make-up tank, which then holds what the round has there.
func TestBothTanksCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 21))
	days, followed, held, empty, letOut := 1000, 0, 0, 0, 0
	if testing.Short() {
		days = 200
	}
	for n := range days {
		in := anyDay(r)
		in.Feeds = in.Feeds[:1]
		f := &in.Feeds[0]
		f.Mix = &Vessel{Name: "mixer", Volume: f.Tank.Volume * quantity.Volume(0.3+r.Float64()), Usable: 0.9}
		f.Ageing = quantity.Some(quantity.Time([]float64{0, 0.5, 1, 2}[r.IntN(4)]))
		f.Tank.Now = quantity.Some(f.Tank.Holds() * quantity.Volume(r.Float64()))
		if r.IntN(3) > 0 {
			f.Mix.Now = quantity.Some(f.Mix.Holds() * quantity.Volume([]float64{0, r.Float64(), 1}[r.IntN(3)]))
		}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		g := p.Feeds[0]
		if len(g.Batches) == 0 {
			continue
		}
		waits := min(f.Mix.Now.V, f.Tank.Holds()) // what has no room at all is let out, as a note says
		if n, ok := noted(p.Notes, "stock-found"); ok && strings.HasPrefix(n.Remedy, "let them out before") {
			waits = 0
			letOut++
		}
		if !f.Mix.Now.OK && g.waits(p.begin()) {
			waits = g.First[0].Volume
		}
		if f.Mix.Now.OK && waits > 0 {
			held++
		} else if f.Mix.Now.OK {
			empty++
		}
		followed++
		if fault := bothTanks(p, 0, waits); fault != "" {
			t.Errorf("day %d from %v and %v (%v): %s: starts %v, begins %v, list from %v, tank %v, mixer %v, ages %v, work %v\n%+v\n%s", n, f.Tank.Now.V, f.Mix.Now.V, f.Mix.Now.OK, fault, p.Start, p.Begins, p.begin(),
				f.Tank.Holds(), f.Mix.Holds(), g.Ageing, g.Work, g.First, listed(p.Tasks))
		}
	}
	t.Logf("%d followed, %d with stock in the make-up tank, %d let out, %d with none", followed, held, letOut, empty)
	if followed < days/2 || held < days/8 || empty < days/8 {
		t.Errorf("%d followed, %d with stock in the make-up tank, %d with none: the test looks at too little", followed, held, empty)
	}
}

// TestWhatStandsInTheMakeUpTank: 0.3 mg/L from 1 g/L at 40 m3/h are 12 L/h, at most 12.6, of a day tank of 180 L, from 06:00 on. 140 L that
// stand in the make-up tank have room beside 60 L when 20 L are drawn, at 07:40; 150 L at 08:30, and beside 30 L at once. 180 L have room
// beside 180 L when all of those are drawn, at 21:00, but may be needed from 20:17 on, when 12.6 L/h have drawn them: of the 8.57 L
// that 12 L/h leave then as much has to be let out. Nothing is made up while they stand there.
func TestWhatStandsInTheMakeUpTank(t *testing.T) {
	for _, x := range []struct {
		now, mix   float64
		moved      quantity.Time
		spilled    float64
		code, says string
	}{
		{60, 140, 7 + 40./60, 0, "stock-found", "140 L stand in mixer when the day starts: they count as aged"},
		{60, 150, 8.5, 0, "stock-found", "150 L"},
		{30, 150, 6, 0, "stock-found", "150 L"}, // there is room at once
		{180, 180, 6 + 180/12.6, 180 - 12*180/12.6, "stock-found", "180 L"},
	} {
		in := Input{Day: steady(t, 40, 0, 24), Start: 6, Staffed: flow.Hours{{From: 6, To: 22}}, Feeds: []FeedInput{{Name: "polymer",
			Dose: quantity.Dose{Concentration: 0.3, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.9, quantity.AsProduct, 1), PerLitre: 1000},
			Tank: &Vessel{Name: "day tank", Volume: 200, Usable: 0.9, Now: quantity.Some(quantity.Volume(x.now))},
			Mix:  &Vessel{Name: "mixer", Volume: 200, Usable: 0.9, Now: quantity.Some(quantity.Volume(x.mix))},
			From: 6, Till: 22, Work: 1. / 3, Life: quantity.Some[quantity.Time](24), Ageing: quantity.Some[quantity.Time](1), Pump: nameplate(20), Follows: true}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		n, ok := noted(p.Feeds[0].Notes, x.code)
		if !ok || !strings.Contains(n.Message, x.says) {
			t.Errorf("%v and %v: %v", x.now, x.mix, p.Feeds[0].Notes)
		}
		first := Task{}
		for _, k := range p.Tasks {
			if k.Kind == MoveStock {
				first = k
				break
			}
			if k.Kind == MakeUp {
				t.Errorf("%v and %v: %s makes up stock where the make-up tank is full", x.now, x.mix, flow.Clock(k.At))
			}
		}
		near(t, "let over at", float64(first.At), float64(x.moved), 1e-6)
		near(t, "let over", float64(first.Batch.Volume), x.mix, 1e-9)
		near(t, "let out", float64(first.Batch.Spilled), x.spilled, 1e-6)
		if fault := bothTanks(p, 0, quantity.Volume(x.mix)); fault != "" {
			t.Errorf("%v and %v: %s", x.now, x.mix, fault)
		}
	}
}
