package dosing

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// anyTold draws such a day on which the tanks hold what they may, some products are fed neat, some
// by hand, and some pumps have two knobs.
func anyTold(t *testing.T, r *rand.Rand) Input {
	in := anyDay(r)
	groups := []product.Group{product.Alkali, product.AluminiumSalt, product.Polymer}
	for i := range in.Feeds {
		f := &in.Feeds[i]
		f.Stock.Product.Group = groups[r.IntN(len(groups))]
		litres := float64(in.Day.Volume()) * float64(f.Dose.Concentration/f.Stock.PerLitre)
		switch r.IntN(6) {
		case 0: // neat: 1.25 kg/L
			f.Stock.PerLitre, f.Mix, f.Ageing = 0, nil, quantity.Known[quantity.Time]{}
			neat := float64(in.Day.Volume()) * float64(f.Dose.Concentration) / 1.25e6
			f.Tank.Volume *= quantity.Volume(neat / litres)
			litres = neat
			f.Pump = &pump.Pump{Calibration: pump.FromNameplate(RateFor(f.Dose.Concentration, in.Day.Peak(), 1.25e6) * 2), Turndown: 50}
		case 1: // dry, by hand
			f.Stock.Product.Form, f.Stock.PerLitre, f.Pump, f.Tank, f.Mix = product.Dry, 0, nil, nil, nil
		case 2: // stroke and speed: half the most at full speed and half the stroke
			top := 2 * RateFor(f.Dose.Concentration, in.Day.Peak(), f.Stock.PerLitre)
			read := func(stroke, speed, of float64) pump.Reading {
				return pump.Reading{Position: pump.Position{Setting: quantity.Setting(speed), Stroke: quantity.Setting(stroke)}, HasStroke: true,
					Rate: top * quantity.FeedRate(of)}
			}
			c, err := pump.Fit([]pump.Reading{read(50, 20, 0.1), read(50, 100, 0.5), read(100, 20, 0.2), read(100, 100, 1)})
			if err != nil {
				t.Fatal(err)
			}
			f.Pump = &pump.Pump{Calibration: c, Stays: quantity.Setting([]float64{0, 50, 60, 100}[r.IntN(4)])}
		}
		if f.Tank != nil && r.IntN(3) > 0 {
			f.Tank.Now = quantity.Some(min(f.Tank.Holds(), quantity.Volume(litres*[]float64{0, 0.02, r.Float64(), 2 * r.Float64()}[r.IntN(4)])))
		}
	}
	return in
}

// again are the batches that follow on those of a list: as the round has them on the days after it, or
// those of the list every few days. None follow where a list of a round of several days has none.
func again(p Plan, f Feed, days int) (out []Batch) {
	every, round := max(f.Every, 1), f.round()
	if every > 1 && len(f.First) > 0 {
		round = f.First
	}
	for _, b := range round {
		at := b.Moved
		for at < p.begin()+24-hair {
			at += quantity.Time(24 * every)
		}
		for ; at < p.Start+quantity.Time(24*days); at += quantity.Time(24 * every) {
			out = append(out, b.later(at-b.Moved))
		}
	}
	return out
}

// carried carries the list of one feed out minute by minute from the plan's start over some days, on
// which it is done again as it says: drawn as fast as is allowed for, from when a task sets the pump.
// It tells what went wrong.
func carried(p Plan, i int) string {
	f := p.Feeds[i]
	draw := f.fastest(p.Day, f.upper)
	level, holds := f.Tank.Now.V, float64(f.Tank.Holds())
	if !f.Tank.Now.OK {
		level, _ = f.level(p.Day, p.Start)
	}
	var fills []Batch
	on := quantity.Time(math.Inf(1))
	for _, k := range p.Tasks {
		if k.Feed != i {
			continue
		}
		switch k.Kind {
		case SetPump:
			on = min(on, k.At)
		case MakeUp, ChangeDrum, MoveStock:
			apart := k.Batch.Moved > k.Batch.Made+hair
			today := math.Abs(float64(k.At-k.Batch.Start)) < 1e-6 || !f.Tank.Now.OK // of one that nobody looked into the round goes on
			if k.Kind == MoveStock || !apart && today {
				fills = append(fills, k.Batch)
			}
		}
	}
	end := p.begin() + 24
	if len(f.First) > 0 || f.Every < 2 {
		days := 1 + max(f.Every, 1)
		end, fills = p.Start+quantity.Time(24*days), append(fills, again(p, f, days)...)
	}
	slices.SortFunc(fills, func(a, b Batch) int { return cmp.Compare(a.Moved, b.Moved) })
	for now := p.Start; now < end; now += 1.0 / 60 {
		for len(fills) > 0 && fills[0].Moved <= now+1e-9 {
			if fills[0].Full > level { // to its mark
				level = fills[0].Full
			}
			if float64(level) > holds*(1+1e-6) {
				return "a tank runs over"
			}
			fills = fills[1:]
		}
		next := min(now+1.0/60, end)
		v := draw.between(max(now, on), max(next, on))
		if len(fills) > 0 && fills[0].Moved < next { // comes in within the minute
			v = draw.between(max(now, on), max(fills[0].Moved, on))
		}
		if level -= v; float64(level) < -1e-6*holds-float64(draw.between(next, next+1.0/60)) {
			return "runs dry at " + flow.Clock(now)
		}
		if v > 0 && f.Mix == nil && f.Ageing > 0 {
			for _, b := range f.First {
				if b.Start < now-1e-6 && next < b.Aged-1e-6 {
					return "young stock at " + flow.Clock(now)
				}
			}
		}
	}
	return ""
}

// tabled holds the table of hours against the list: what stands in a tank at the end of each hour is what stood in
// it, with what the list has come in, less what the pump drew as planned. It tells where they part.
func tabled(p Plan, i int) string {
	f := p.Feeds[i]
	draw := f.planned(p.Day)
	for h, row := range p.Hours {
		t := quantity.Time(math.Floor(float64(p.Start))) + quantity.Time(h+1)
		level, at := f.Tank.Now.V, p.Start
		for _, b := range f.First {
			if b.Moved > t+hair {
				continue
			}
			if level = max(0, level-draw.between(max(at, p.Begins), max(b.Moved, p.Begins))); b.LetOut {
				level = 0
			}
			level, at = min(level+b.Volume, f.Tank.Holds()), b.Moved // of one made the day before what does not go in stays behind
		}
		level = max(0, level-draw.between(max(at, p.Begins), max(t, p.Begins)))
		if t > p.begin()+24+hair { // the next list's
			break
		}
		if math.Abs(float64(level-row.Feeds[i].Level)) > 1e-6*float64(f.Tank.Holds()) {
			return fmt.Sprintf("at %s the list has %v in the tank, the table %v", flow.Clock(t), level, row.Feeds[i].Level)
		}
	}
	return ""
}

// TestTheListCanBeCarriedOut carries the lists of a thousand random sites out, whose tanks hold anything
// from nothing to all when the day starts: the unit starts once a run and pumps after it, when there is
// stock; no tank runs dry or over; nobody makes up or fills two tanks at once, or when nobody is there;
// what is fed by hand follows the flow; a pump keeps its stroke, and its setting rises with the flow.
func TestTheListCanBeCarriedOut(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 8))
	sites, delayed, byHand, filled := 1000, 0, 0, 0
	if testing.Short() {
		sites = 200
	}
	for n := range sites {
		in := anyTold(t, r)
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if p.Begins > p.Start {
			delayed++
		}
		fail := func(format string, args ...any) {
			t.Helper()
			t.Fatalf("site %d: "+format, append([]any{n}, args...)...)
		}
		starts, first := 0, quantity.Time(math.Inf(1))
		var work []Task
		for j, k := range p.Tasks {
			if j > 0 && k.At < p.Tasks[j-1].At-1e-9 {
				fail("%s comes after %s", flow.Clock(k.At), flow.Clock(p.Tasks[j-1].At))
			}
			switch k.Kind {
			case StartUnit:
				starts++
				first = min(first, k.At)
			case SetPump, FeedByHand:
				if k.At < p.Begins-1e-6 && k.At >= p.Start {
					fail("set at %s, before dosing begins at %s", flow.Clock(k.At), flow.Clock(p.Begins))
				}
			case MakeUp, ChangeDrum:
				if k.Alone && k.Batch.Full > 0 {
					fail("%s at %s, when nobody is there", k.Kind, flow.Clock(k.At))
				}
				for _, o := range work {
					if k.At < o.At+o.Batch.Made-o.Batch.Start-1e-6 {
						fail("at %s two tanks are worked on at once", flow.Clock(k.At))
					}
				}
				work = append(work, k)
			}
		}
		if starts != len(p.runs()) && p.Running < 24-1e-6 {
			fail("the unit is started %d times in %d runs", starts, len(p.runs()))
		}
		for i, f := range p.Feeds {
			var last Task
			for _, k := range p.Tasks {
				switch {
				case k.Feed != i:
				case k.Kind == FeedByHand:
					byHand++
					want := float64(f.AsProduct.Concentration) * float64(k.Flow) // g/h
					if math.Abs(k.Product.In("g/h")/want-1) > 1e-9 {
						fail("%v by hand, want %g g/h", k.Product, want)
					}
				case k.Kind == SetPump && last.Kind == SetPump && f.Pump.Stays > 0:
					if a, b := last.Choice.Position, k.Choice.Position; a.Stroke != b.Stroke || (b.Setting-a.Setting)*quantity.Setting(k.Flow-last.Flow) < 0 {
						fail("%v at %v, then %v at %v", a, last.Flow, b, k.Flow)
					}
				}
				if k.Feed == i && k.Kind == SetPump {
					last = k
				}
				if k.Feed == i && k.Kind == ChangeDrum {
					filled++
				}
			}
			if f.Pump == nil && last.Kind != "" {
				fail("a pump that is not there is set")
			}
			_, dry := noted(f.Notes, "tank-runs-dry")
			if f.Tank == nil || len(f.round()) == 0 || dry {
				continue
			}
			fault := carried(p, i)
			if fault == "" && f.Tank.Now.OK {
				fault = tabled(p, i)
			}
			if fault != "" {
				fail("feed %d: %s\n%+v\ntank %+v begins %v start %v", i, fault, f.First, f.Tank, p.Begins, p.Start)
			}
		}
	}
	if delayed < sites/40 || byHand < sites/10 || filled < sites/20 {
		t.Errorf("%d delayed, %d by hand, %d filled: the test looks at too little", delayed, byHand, filled)
	}
	t.Logf("%d delayed, %d by hand, %d filled", delayed, byHand, filled)
}
