package dosing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// drop is a part of the stock in a tank that was made at one time.
type drop struct {
	volume       float64
	ready, stale float64 // hours
}

// fill is stock that comes into a tank up to a mark.
type fill struct {
	at, mark, aged, expires float64
	letOut                  bool
}

// filling is a batch as it comes into its tank, so much later.
func filling(b Batch, later float64) fill {
	return fill{float64(b.Moved) + later, float64(b.Full), float64(b.Aged) + later, float64(b.Expires) + later, b.LetOut}
}

// followed carries out a feed's tasks minute by minute over so many days and tells what
// went wrong; the draw as planned is also held against the life of the stock. Tanks are filled to the
// mark of each batch; stock is drawn first in, first out.
func followed(f Feed, draw demand, slow bool, days int) string {
	period := 24 * f.Every
	var fills []fill
	for round := -1; round*period <= 24*days; round++ {
		for _, b := range f.Batches {
			fills = append(fills, filling(b, float64(round*period)))
		}
	}
	slices.SortFunc(fills, func(a, b fill) int { return int(math.Copysign(1, a.at-b.at)) })
	upTo := func(t float64) float64 { return float64(draw.upTo(quantity.Time(t))) }
	return drawnDown(f, nil, fills, fills[0].at, float64(24*days), upTo, slow)
}

// drawnDown goes minute by minute from now to an end, from what stands in the tank on.
func drawnDown(f Feed, tank []drop, fills []fill, now, end float64, upTo func(float64) float64, slow bool) string {
	started := len(tank) > 0
	holds, before := float64(f.Tank.Holds()), upTo(now)
	// Times between which nothing happens but drawing: every minute, and every fill.
	for now < end {
		for len(fills) > 0 && fills[0].at <= now+1e-9 {
			in := fills[0]
			fills = fills[1:]
			level := 0.0
			if in.letOut {
				tank = nil
			}
			for _, d := range tank {
				level += d.volume
			}
			if level <= float64(Heel)*in.mark*(1+1e-6) { // stirred in
				tank, level = nil, 0
			}
			tank = append(tank, drop{in.mark - level, in.aged, in.expires})
			if in.mark > holds*(1+1e-6) {
				return "a tank runs over"
			}
			started = true
		}
		next := math.Min(now+1.0/60, end)
		if len(fills) > 0 {
			next = math.Min(next, fills[0].at)
		}
		drawn := upTo(next)
		v := drawn - before
		before = drawn
		for v > 1e-7*holds && started {
			if len(tank) == 0 {
				return "runs dry at " + flow.Clock(quantity.Time(now))
			}
			d := &tank[0]
			if slow && now > d.stale+1.0/60 {
				return "old stock at " + flow.Clock(quantity.Time(now))
			}
			if d.ready > next+1e-6 {
				return "young stock at " + flow.Clock(quantity.Time(now))
			}
			take := math.Min(v, d.volume)
			d.volume -= take
			v -= take
			if d.volume <= 1e-9*holds {
				tank = tank[1:]
			}
		}
		now = next
	}
	return ""
}

// opened carries a plan's first day out from what stands in a feed's tank, which is as old as the
// round's last batch.
func opened(p Plan, f Feed) string {
	draw := f.planned(p.Day)
	made := math.Inf(-1)
	for _, b := range f.Batches {
		period := float64(24 * f.Every)
		made = max(made, float64(b.Made)-period*math.Ceil(float64(b.Moved-p.Start)/period-1e-9))
	}
	var fills []fill
	for _, b := range f.First {
		fills = append(fills, filling(b, 0))
	}
	upTo := func(t float64) float64 { return float64(draw.upTo(max(quantity.Time(t), p.Begins))) }
	tank := []drop{{float64(f.Tank.Now.V), math.Inf(-1), made + float64(f.good())}}
	return drawnDown(f, tank, fills, float64(p.Start), float64(max(p.begin(), p.Start)+24), upTo, true)
}

// anyDay draws a day with one to three pumped chemicals that are made up in tanks.
func anyDay(r *rand.Rand) Input {
	day := flow.Day{}
	pick := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	if r.IntN(2) == 0 {
		day, _ = flow.Constant(quantity.Flow(pick(0.5, 300)), nil)
		if r.IntN(2) == 0 {
			from := pick(0, 12)
			day, _ = flow.Constant(day.Average(), flow.Hours{{From: quantity.Time(from), To: quantity.Time(from + pick(3, 12))}})
		}
	} else {
		var steps []flow.Step
		base := pick(1, 100)
		for h := range 24 {
			q := 0.0
			if h == 12 || r.IntN(5) > 0 {
				q = base * pick(0.3, 1.5)
			}
			steps = append(steps, flow.Step{From: quantity.Time(h), Flow: quantity.Flow(q)})
		}
		day, _ = flow.ByHour(steps, nil)
	}
	in := Input{Day: day, Start: quantity.Time(r.IntN(24)), FlowRange: quantity.Fraction([]float64{0, 0.05, 0.1, 0.25}[r.IntN(4)])}
	from, till := quantity.Time(0), quantity.Time(0)
	if r.IntN(3) > 0 {
		from, till = quantity.Time(4+r.IntN(6)), quantity.Time(14+r.IntN(10))
		in.Staffed = flow.Hours{{From: from, To: till}}
	}
	for range 1 + r.IntN(3) {
		rate := pick(0.05, 30) // mL/min for each m3/h
		dose := quantity.Dose{Concentration: quantity.Concentration(pick(0.1, 50)), Basis: quantity.AsProduct}
		f := FeedInput{Name: "x", Dose: dose, From: from, Till: till, Work: quantity.Time(pick(0.05, 0.5))}
		f.Stock = Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: dose.Concentration * quantity.Concentration(1e6/60/rate)}
		if f.Stock.PerLitre > 1e6 {
			f.Stock.PerLitre = 1e6
		}
		litres := float64(day.Volume()) * float64(dose.Concentration/f.Stock.PerLitre)
		f.Tank = &Vessel{Name: fmt.Sprintf("tank %d", len(in.Feeds)), Volume: quantity.Volume(litres * pick(0.6, 9)), Usable: 0.9}
		if r.IntN(2) == 0 {
			f.Mix = &Vessel{Name: "mixer", Volume: quantity.Volume(litres * pick(0.6, 3)), Usable: 0.9}
			f.Ageing = quantity.Some(quantity.Time([]float64{0, 0.5, 1, 2}[r.IntN(4)]))
		}
		f.Life = quantity.Some(quantity.Time([]float64{24, 24, 48, 720}[r.IntN(4)]))
		if from == till && r.IntN(3) == 0 {
			f.Life.V = 8
		}
		top := float64(RateFor(dose.Concentration, day.Peak(), f.Stock.PerLitre))
		f.Pump = &pump.Pump{Calibration: pump.FromNameplate(quantity.FeedRate(top * pick(1.05, 4))), Turndown: 50,
			Setting: pump.Knob{Step: quantity.Setting([]float64{0.1, 1, 5}[r.IntN(3)])}}
		f.Follows = r.IntN(4) == 0
		in.Feeds = append(in.Feeds, f)
	}
	return in
}

// TestTheDayCanBeFollowed carries a thousand random days out minute by minute, as
// planned and with as much more drawn as the reserve allows: no stock runs dry, none is
// fed before it has aged or after its life, no tank runs over, nobody works on two
// stocks at once or outside the shift, and the list is in the order of the clock.
func TestTheDayCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 4))
	days, followedFeeds, letOut, rejected := 1000, 0, 0, 0
	if testing.Short() {
		days = 150
	}
	for n := range days {
		p, err := Make(anyDay(r))
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(p.Tasks); i++ {
			if p.Tasks[i].At < p.Tasks[i-1].At-1e-9 || p.Tasks[i].At >= p.Tasks[0].At+24+1e-9 {
				t.Fatalf("day %d: %s comes after %s", n, flow.Clock(p.Tasks[i].At), flow.Clock(p.Tasks[i-1].At))
			}
		}
		var work []Task
		for _, k := range p.Tasks {
			if k.Kind == MakeUp || k.Kind == MoveStock {
				if k.Alone {
					t.Fatalf("day %d: %s at %s, when nobody is there", n, k.Kind, flow.Clock(k.At))
				}
			}
			if k.Kind == MakeUp {
				for _, o := range work {
					if k.At < o.At+o.Batch.Made-o.Batch.Start-1e-6 {
						t.Fatalf("day %d: at %s two stocks are made at once", n, flow.Clock(k.At))
					}
				}
				work = append(work, k)
			}
		}
		for _, f := range p.Feeds {
			if len(f.Batches) == 0 {
				rejected++
				continue
			}
			followedFeeds++
			span := 2 + f.Every
			for slow, draw := range map[bool]demand{true: f.planned(p.Day), false: f.fastest(p.Day, f.upper)} {
				if fault := followed(f, draw, slow, span); fault != "" {
					t.Fatalf("day %d, as planned %v: %s\n%+v", n, slow, fault, f.Batches)
				}
			}
			for _, b := range f.Batches {
				if b.LetOut {
					letOut++
				}
				if b.Volume > f.Tank.Holds()*(1+1e-9) || f.Mix != nil && b.Volume > f.Mix.Holds()*(1+1e-9) || b.Volume < -1e-9 {
					t.Fatalf("day %d: a batch of %v", n, b.Volume)
				}
			}
		}
	}
	if followedFeeds < days || letOut == 0 || rejected == 0 {
		t.Errorf("followed %d feeds, %d let out, %d impossible: the test looks at too little", followedFeeds, letOut, rejected)
	}
	t.Logf("%d feeds, %d batches let out, %d impossible", followedFeeds, letOut, rejected)
}

// TestTheFirstDayCanBeFollowed carries the first of a thousand random days out from whatever stands
// in the tanks, drawn as planned: stock that is fed after its life was told of.
func TestTheFirstDayCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 5))
	days, told, feeds := 1000, 0, 0
	if testing.Short() {
		days = 150
	}
	for n := range days {
		in := anyDay(r)
		for i := range in.Feeds {
			k := in.Feeds[i].Tank
			k.Now = quantity.Some(k.Holds() * quantity.Volume(r.Float64()))
		}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range p.Feeds {
			if len(f.Batches) == 0 {
				continue
			}
			feeds++
			if _, ok := noted(f.Notes, "stock-old"); ok {
				told++
				continue
			}
			if fault := opened(p, f); fault != "" {
				t.Errorf("day %d from %v: %s: starts %v, begins %v, holds %v, keeps %v\n%+v", n, f.Tank.Now.V, fault, p.Start, p.Begins, f.Tank.Holds(), f.Life, f.First)
			}
		}
	}
	if feeds-told < days/4 {
		t.Errorf("%d feeds, %d told of old stock: the test looks at too little", feeds, told)
	}
}
