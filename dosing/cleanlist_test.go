package dosing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// muddy is a tank of 60 m3 at 12 m3/h that clears from 80 to 5 NTU in
// ln(16)/0.85 × 5 h = 16.31 h of running, with 20 mg/L of product from 100 g/L of stock:
// 12 × 20 / 100 = 2.4 L an hour, 39.14 L in all.
func muddy() CleaningInput {
	p := holding(0.5, quantity.AsAlum14, 1.25)
	k := clarify.Tank{Key: jartest.Turbidity, Volume: 60000, Flow: 12, Begin: 8, Start: 80, Stop: 5, Removal: 0.85}
	x, err := clarify.Of("alum", p, quantity.AsProduct, clarify.Always(20), 100000, nil)
	if err != nil {
		panic(err)
	}
	k.Chemicals = []clarify.Chemical{x}
	f := FeedInput{Name: "alum", StockName: "alum stock", Stock: Stock{Product: p, PerLitre: 100000}, Work: 0.25, Tank: &Vessel{Name: "day tank", Volume: 20, Usable: 0.9}}
	return CleaningInput{Tank: k, Products: []product.Product{p}, Pumps: []*pump.Pump{nil}, Feeds: []FeedInput{f}}
}

func listOf(c Cleaning) string {
	var out []string
	for _, s := range c.Stages {
		for _, d := range s.Before {
			out = append(out, c.Tank().Clock(s.At)+" "+d.String())
		}
		for range s.Feeds {
			out = append(out, c.Tank().Clock(s.At)+" set")
		}
		for _, d := range s.Do {
			out = append(out, c.Tank().Clock(s.At)+" "+d.String())
		}
	}
	return strings.Join(out, "\n")
}

// TestHeldListMakesUpADay: 1.41667 NTU an hour in 60 m3 are 85 NTU x m3; at 0.85 x 20 NTU that is 5 m3/h, 10 h a day at
// 12 m3/h: 24 L of stock, more than the tank of 18 L holds, so that half of it is made up twice, five hours of running apart. The hours are those
// that the plan of such a day has, 08:00 to 18:00, with a quarter of an hour to make it up. A tank of any size takes all at once.
func TestHeldListMakesUpADay(t *testing.T) {
	for _, x := range []struct {
		says   []string
		change func(*FeedInput)
	}{
		{[]string{"18:41 while it is held make up 12 L of alum stock (1.2 kg of product) at 07:45, 12:45 every day, each used within 24 h"}, func(*FeedInput) {}},
		{[]string{"18:41 while it is held make up 24 L of alum stock (2.4 kg of product) at 07:45 every day, each used within 24 h"}, func(f *FeedInput) { f.Tank = nil }},
		{[]string{"each used within 6 h"}, func(f *FeedInput) { f.Life = quantity.Some[quantity.Time](6) }},
		{[]string{"while it is held make up "}, func(f *FeedInput) { f.From, f.Till = 9, 17 }}, // nobody before nine
	} {
		in := muddy()
		in.Tank.Stop, in.Tank.Level, in.Tank.Rise = 20, 20, 85.0/60
		in.Feeds = slices.Clone(in.Feeds)
		x.change(&in.Feeds[0])
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		list := listOf(c)
		for _, says := range x.says {
			if n := strings.Count(list, says); n != 1 {
				t.Errorf("%d times %q in\n%s", n, says, list)
			}
		}
		shift := shift{in.Feeds[0].From, in.Feeds[0].Till}
		p, ok := (cleanList{&c}).heldDay()
		if !ok || len(p.Feeds[0].Batches) == 0 {
			t.Fatalf("no plan of the day: %v", p.Feeds)
		}
		sum := quantity.Volume(0)
		for _, b := range p.Feeds[0].Batches {
			sum += b.Volume
			if at, ok := shift.latest(b.Start, in.Feeds[0].Work); !ok || math.Abs(float64(at-b.Start)) > 1e-6 {
				t.Errorf("a batch is begun at %v, out of hours", b.Start)
			}
		}
		if math.Abs(float64(sum)/24/float64(p.Feeds[0].Every)-1) > 1e-6 {
			t.Errorf("%v in %d days, want 24 L a day", sum, p.Feeds[0].Every)
		}
	}
}

// TestCleaningListByHand: with a twentieth to spare 2.52 L an hour and 41.10 L in all, so
// 18 L last 7.143 h of running: from 08:00 till 15:09. As planned 17.14 L are drawn by then, so that there is room
// for 17.14 L; 35.14 L last 13.946 h, till 21:57, and 5.96 L are the rest. The jar test, of an hour, tells
// what stock is wanted and comes before the first is made; at the end the twentieth, 41.10 - 39.14 L, is left.
func TestCleaningListByHand(t *testing.T) {
	c, err := Clean(muddy())
	if err != nil {
		t.Fatal(err)
	}
	want := `06:45 jar test: before you begin, on the tank's own water
07:45 make up 18 L of alum stock (1.8 kg of product), use by 08:00 the day after
08:00 start the circulation
08:00 set
12:05 jar test: the reading has halved: the dose needed falls as the water clears
14:54 make up 17.1 L of alum stock (1.71 kg of product), use by 15:09 the day after
16:09 jar test: the reading has halved: the dose needed falls as the water clears
20:14 jar test: the reading has halved: the dose needed falls as the water clears
21:42 make up 5.96 L of alum stock (0.596 kg of product), use by 21:57 the day after
00:19 the day after clear: stop dosing first, then the circulation; read the tank again after an hour
00:19 the day after about 2 L of alum stock is left: good until 21:57 the day after; let it out after that, not into the tank`
	if got := listOf(c); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	// Till 18:00 and from 08:00 on the next day it stands still: 7.2 L are drawn by 11:00, 25.2 L by 18:00, and what is
	// left of the second batch at night, 9.94 L, is drawn by 11:57 the next day; nobody is there before 07:00 or after 19:00, so that a jar test
	// of the early morning is done the evening before.
	in := muddy()
	in.Tank.Hours, in.Tank.Staffed = flow.Hours{{From: 8, To: 18}}, flow.Hours{{From: 7, To: 19}}
	in.Feeds[0].From, in.Feeds[0].Till = 7, 19
	if c, err = Clean(in); err != nil {
		t.Fatal(err)
	}
	want = `18:00 the day before jar test: before you begin, on the tank's own water
07:45 make up 18 L of alum stock (1.8 kg of product), use by 08:00 the day after
08:00 start the circulation
08:00 set
12:05 jar test: the reading has halved: the dose needed falls as the water clears
14:54 make up 17.1 L of alum stock (1.71 kg of product), use by 15:09 the day after
16:09 jar test: the reading has halved: the dose needed falls as the water clears
18:00 stop dosing first, then the circulation, until 08:00 the day after
08:00 the day after start the circulation again
08:00 the day after set
10:14 the day after jar test: the reading has halved: the dose needed falls as the water clears
11:42 the day after make up 5.96 L of alum stock (0.596 kg of product), use by 11:57 2 days after
14:19 the day after clear: stop dosing first, then the circulation; read the tank again after an hour
14:19 the day after about 2 L of alum stock is left: good until 11:57 2 days after; let it out after that, not into the tank`
	if got := listOf(c); got != want {
		t.Errorf("%s\nwant\n%s", got, want)
	}
	// Without a tank the first batch is what is drawn before it has gone off at 08:00 the next day, 10 h
	// of 2.52 L; the second is the rest, 41.10 - 25.2 = 15.9 L, made before it is needed.
	in.Feeds[0].Tank, in.Feeds[0].From, in.Feeds[0].Till = nil, 0, 0
	if c, err = Clean(in); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"07:45 make up 25.2 L of alum stock (2.52 kg of product), use by 08:00 the day after\n",
		"07:45 the day after make up 15.9 L of alum stock (1.59 kg of product), use by 08:00 2 days after\n08:00 the day after start the circulation again"} {
		if got := listOf(c); !strings.Contains(got, want) {
			t.Errorf("%s\nwant\n%s", got, want)
		}
	}
	// A tank that holds 7 h of it cannot bridge a night of running when nobody is there.
	in = muddy()
	in.Feeds[0].From, in.Feeds[0].Till = 8, 12
	if c, err = Clean(in); err != nil {
		t.Fatal(err)
	}
	if n, ok := noted(c.Notes, "stock-gap"); !ok || !strings.Contains(n.Message, "alum stock runs out at") {
		t.Errorf("%v", c.Notes)
	}
}

// TestCleaningListCanBeFollowed: of random clean-ups no stock runs dry where nothing is
// said of it, none is fed before it has aged or after its life, no tank runs over, and
// the list is in the order of the clock.
func TestCleaningListCanBeFollowed(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 5))
	pick := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	whole, gaps := 0, 0
	for n := range 300 {
		in := muddy()
		k, f := &in.Tank, &in.Feeds[0]
		k.Flow, k.Begin = quantity.Flow(pick(6, 40)), quantity.Time(r.IntN(24))
		if r.IntN(2) == 0 {
			from := pick(5, 10)
			k.Hours = flow.Hours{{From: quantity.Time(from), To: quantity.Time(from + pick(6, 13))}}
		}
		if r.IntN(2) == 0 {
			f.From, f.Till = quantity.Time(5+r.IntN(4)), quantity.Time(16+r.IntN(7))
			k.Staffed = flow.Hours{{From: f.From, To: f.Till}}
		}
		if r.IntN(2) == 0 {
			rule, err := clarify.ParseRule("60 NTU=30 mg/L, 20 NTU=12 mg/L, 0 NTU=4 mg/L", jartest.Turbidity, gauge.Gauges{}, r.IntN(2) == 0)
			if err != nil {
				t.Fatal(err)
			}
			k.Chemicals[0].Rule = rule
		}
		if r.IntN(2) == 0 {
			p := nameplate(quantity.FeedRate(pick(400, 3000)))
			p.Setting = pump.Knob{Step: 5}
			in.Pumps[0] = p
		}
		f.Tank.Volume = quantity.Volume(pick(15, 120))
		if r.IntN(2) == 0 {
			f.Mix, f.Ageing = &Vessel{Name: "mixer", Volume: quantity.Volume(pick(15, 80)), Usable: 0.9}, quantity.Some(quantity.Time(pick(0, 2)))
		} else if r.IntN(2) == 0 { // in the tank that the pump draws from
			f.Ageing = quantity.Some(quantity.Time(pick(0.2, 2)))
		}
		f.Life = quantity.Some(quantity.Time([]float64{8, 24, 48}[r.IntN(3)]))
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(c.Stages); i++ {
			if c.Stages[i].At < c.Stages[i-1].At {
				t.Fatalf("run %d: %s", n, listOf(c))
			}
		}
		d := cleanList{&c}.feeds(0)[0]
		// one dose throughout counts as asked for, as in a plan of the day
		if got, want := float64(c.Uses[0].Stock)*(1+Spare), float64(d.total()); (in.Pumps[0] == nil || k.Chemicals[0].Rule.Follows()) && math.Abs(got-want) > 1e-6*want {
			t.Fatalf("run %d: %v of stock are used, %v drawn as set", n, got, want)
		}
		drawn, missed, never := quantity.Volume(0), quantity.Volume(0), false // never: not from the start on
		_, said := noted(c.Notes, "stock-gap")
		_, thin := noted(c.Notes, "stock-thin")
		for _, b := range c.MakeUps[0] {
			if got := d.by(b.From); thin && got > drawn && got <= drawn*(1+Spare)+d.total()/100 { // what is to spare lasts until the unit stops
				drawn = got
			} else if said && got > drawn { // none is there till then
				never = never || drawn == 0
				missed += got - drawn
				drawn = got
			}
			if got := d.by(b.From); math.Abs(float64(got-drawn)) > 1e-6*float64(d.total()) {
				t.Fatalf("run %d: %v are drawn when a batch is begun that needs %v", n, got, drawn)
			}
			if over := drawn + b.Volume - d.by(b.Expires); over > d.total()*1e-9 {
				t.Fatalf("run %d: %v of the batch begun at %v go off", n, over, b.From)
			}
			if b.Aged > b.From+1e-6 || b.Moved > b.From+1e-6 || b.Moved < b.Made-1e-6 || f.Mix != nil && b.Moved < b.Aged-1e-6 {
				t.Fatalf("run %d: young at %v: %+v", n, b.From, b)
			}
			if f.Mix == nil && f.Ageing.V > 0 && !said && d.by(b.Aged)-d.by(b.Start) > d.total()*2e-6 {
				t.Fatalf("run %d: drawn while it ages: %+v", n, b)
			}
			drawn += b.Volume
			if last, _ := d.when(drawn); last > b.Expires+1e-6 {
				t.Fatalf("run %d: the last is drawn at %v: %+v", n, last, b)
			}
			if b.Full > f.Tank.Holds()*(1+1e-9) || f.Mix != nil && b.Volume > f.Mix.Holds()*(1+1e-9) {
				t.Fatalf("run %d: too much: %+v", n, b)
			}
			for _, at := range []quantity.Time{b.Start, b.Made, b.Moved} {
				if clock := c.Tank().Begin + at; f.From != f.Till && k.Staffed.Last(clock) < clock-1e-6 {
					t.Fatalf("run %d: work at %v: %+v", n, clock, b)
				}
			}
		}
		if len(c.MakeUps[0]) == 0 && !said {
			t.Fatalf("run %d: nothing is made up, and nothing said of it", n)
		}
		if got := d.total(); thin && drawn*(1+Spare) >= got*(1-1e-2) {
			drawn = max(drawn, got)
		}
		if short := missed > 0 || drawn < d.total()*(1-1e-6); short != said {
			t.Fatalf("run %d: %v of %v, said %v", n, drawn, d.total(), said)
		}
		if n, ok := noted(c.Notes, "stock-gap"); ok && strings.Contains(n.Message, "is wanted from") && drawn > 0 && !never { // what never was does not run out
			t.Fatalf("%v drawn, yet %s", drawn, n.Message)
		}
		if said {
			gaps++
		} else {
			whole++
		}
	}
	if whole < 100 || gaps < 20 {
		t.Errorf("%d whole, %d with a gap", whole, gaps)
	}
}

// TestUsualGap: of 3, 1 and 2 h the middle one is 2 h; of 3, 1, 2 and 5 h the longer of the middle two, 3 h.
func TestUsualGap(t *testing.T) {
	near(t, "of three", float64(usualGap([]quantity.Time{0, 3, 4, 6})), 2, 0)
	near(t, "of four", float64(usualGap([]quantity.Time{0, 3, 4, 6, 11})), 3, 0)
}

// TestCleaningBeginsWhenItsStockIsReady: somebody is there from 07:30 on; 15 min of work and 20 min of ageing in a make-up tank make the first of
// it ready at 08:05, and one of the evening before has gone off. With 12 L in the tank of 18 L, at 2.52 L an hour they last till 12:46: until then
// 11.43 L are drawn as planned, so 0.57 L are left and 17.43 L go in.
func TestCleaningBeginsWhenItsStockIsReady(t *testing.T) {
	in := muddy()
	in.Tank.Hours = flow.Hours{{From: 8, To: 18}}
	in.Feeds[0].From, in.Feeds[0].Till = 7.5, 18
	in.Feeds[0].Mix, in.Feeds[0].Ageing, in.Feeds[0].Life = &Vessel{Name: "mixer", Volume: 20, Usable: 0.9}, quantity.Some[quantity.Time](20.0/60), quantity.Some[quantity.Time](12)
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	n, ok := noted(c.Notes, "stock-late")
	if !ok || !strings.Contains(n.Message, "begins at 08:05, not at 08:00") || len(c.MakeUps[0]) < 3 {
		t.Errorf("%v\n%s", n, listOf(c))
	}
	// The next day its stock is ready at 08:05 too: the circulation waits for it, and no stock is missing.
	again := slices.ContainsFunc(c.Notes, func(n note.Note) bool {
		return n.Code == "restart-late" && n.Message == "after each stop the circulation starts again at 08:05, not at 08:00: its stock is ready only then"
	})
	if gap, short := noted(c.Notes, "stock-gap"); short || !again || !strings.Contains(listOf(c), "\n07:30 make up 18 L") ||
		!strings.Contains(listOf(c), "until 08:05 the day after") || !strings.Contains(listOf(c), "\n08:05 the day after start the circulation again") {
		t.Errorf("%v %v\n%s", gap, c.Notes, listOf(c))
	}
	in = muddy()
	in.Feeds[0].Tank.Now = quantity.Some[quantity.Volume](12)
	if c, err = Clean(in); err != nil {
		t.Fatal(err)
	}
	if got := listOf(c); !strings.Contains(got, "\n12:31 make up 17.4 L") || strings.Contains(got, "07:45") {
		t.Error(got)
	}
}

// TestNearestOutOfReach, by hand: 12 m3/h at 20 mg/L of product from 100 g/L are 2.4 L/h, 40 mL/min. A pump of 30 mL/min gives three
// quarters of it, 15 mg/L; one of 1000 with a turndown of 10 no less than 100 mL/min, 50 mg/L; one of 100 gives what is wanted.
func TestNearestOutOfReach(t *testing.T) {
	for most, want := range map[quantity.FeedRate][2]float64{30: {30, 15}, 1000: {100, 50}, 100: {}} {
		in := muddy()
		in.Pumps[0] = &pump.Pump{Calibration: pump.FromNameplate(most), Turndown: 10}
		in.Feeds[0].Pump = in.Pumps[0]
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(c.Stages, func(s Stage) bool { return len(s.Feeds) > 0 })
		rate, dose, ok := c.Stages[i].Feeds[0].Nearest()
		if ok != (want[0] > 0) || math.Abs(float64(rate)-want[0]) > 1e-9 || math.Abs(float64(dose)-want[1]) > 1e-9 {
			t.Errorf("a pump of %v: %v, %v mg/L, %v; want %v", most, rate, float64(dose), ok, want)
		}
	}
}

// barrel is muddy from 08:00 to 17:00 in a shift of 07:00 to 17:30, with a stock that ages 45 min in the barrel that the pump draws from.
func barrel(holds quantity.Volume) CleaningInput {
	in := muddy()
	in.Tank.Hours, in.Tank.Staffed = flow.Hours{{From: 8, To: 17}}, flow.Hours{{From: 7, To: 17.5}}
	f := &in.Feeds[0]
	f.From, f.Till, f.Ageing = 7, 17.5, quantity.Some[quantity.Time](0.75)
	f.Tank = &Vessel{Name: "barrel", Volume: holds, Usable: 1}
	return in
}

// TestNothingAgesInABarrelThatIsDrawn: at 2.4 L/h a barrel of 21.6 L is the nine hours of a day. With a twentieth to spare it would be out at
// 16:34, and no more can age in it before 17:00: the next is made in the morning, an hour before 08:00. Until 17:00 21.6 L have been drawn, nothing
// is left, and the next day's 17.54 L are what 39.14 L leave with a twentieth to spare: 41.10 - 22.68 = 18.42 L.
// One of 18 L is out at 15:08:34: 7.143 h at 2.52 L/h. The unit stands still for an hour, until 15 min of work and 45 of ageing are over, with 18 - 17.14 L
// left in it, and so for once more: the end at 15:19 is put off by two hours, of which 19 min are in the day after, from 08:00.
func TestNothingAgesInABarrelThatIsDrawn(t *testing.T) {
	c, err := Clean(barrel(21.6))
	if err != nil {
		t.Fatal(err)
	}
	n, thin := noted(c.Notes, "stock-thin")
	_, gap := noted(c.Notes, "stock-gap")
	if list := listOf(c); !thin || gap || len(c.MakeUps[0]) != 2 || !strings.Contains(list, "\n07:00 the day after make up 18.4 L") || !strings.Contains(n.Message, "alum stock lasts until the unit stops at 17:00 with nothing to spare") {
		t.Errorf("%v\n%s", c.Notes, list)
	}
	before := c.Time
	if c, err = Clean(barrel(18)); err != nil {
		t.Fatal(err)
	}
	list := listOf(c)
	for _, says := range []string{"15:09 stop dosing first, then the circulation, until 16:09", "15:09 make up 17.1 L of alum stock (1.71 kg of product), aged at 16:09", "16:09 start the circulation again", "16:09 set"} {
		if strings.Count(list, "\n"+says) != 1 {
			t.Errorf("no %q in\n%s", says, list)
		}
	}
	n, rests := noted(c.Notes, "stock-rest")
	if _, gap := noted(c.Notes, "stock-gap"); !rests || gap || !strings.Contains(n.Message, "runs out at 15:09 and ages in barrel, which is drawn empty: the unit stands still until 16:09, and once more") {
		t.Errorf("%v", c.Notes)
	}
	near(t, "later", float64(c.Time-before), 17, 1e-3)
}

// TestJarTestIsDoneInTime: the reading has halved at 12:05 and 16:09, and a test takes an hour. Where the unit stops at 17:00 the second tells the
// dose of the next morning and is done from 07:00 to 08:00, whether a shift of 07:00 to 17:30 is told or none. In a shift of 08:00 to 17:00 nobody is there
// then: the test begins at 16:00. Where the unit stops at 18:00 there is time for it.
func TestJarTestIsDoneInTime(t *testing.T) {
	shifts := map[string]flow.Hours{"none": nil, "long": {{From: 7, To: 17.5}}, "short": {{From: 8, To: 17}}}
	for _, x := range []struct {
		shift string
		stops quantity.Time
		want  string
	}{
		{"none", 17, "07:00 the day after jar test before it starts again: the reading has halved"},
		{"long", 17, "07:00 the day after jar test before it starts again: the reading has halved"},
		{"short", 17, "16:00 jar test: by 16:09 the reading has halved"},
		{"none", 18, "16:09 jar test: the reading has halved"},
	} {
		in := muddy()
		in.Tank.Hours, in.Tank.Staffed = flow.Hours{{From: 8, To: x.stops}}, shifts[x.shift]
		if shift := shifts[x.shift]; shift != nil {
			in.Feeds[0].From, in.Feeds[0].Till = shift[0].From, shift[0].To
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		if list := listOf(c); strings.Count(list, "\n"+x.want) != 1 {
			t.Errorf("%s, %v: no %q in\n%s", x.shift, x.stops, x.want, list)
		}
	}
}

// TestTwoPumpsDrawFromOneTank: a second pump of half the dose draws 1.26 L/h beside 2.52 L/h. 18 L last both 4.762 h, until 12:46, and a quarter of
// an hour before there is room for what they have drawn as planned, 18/1.05 = 17.14 L.
func TestTwoPumpsDrawFromOneTank(t *testing.T) {
	in := muddy()
	second := in.Tank.Chemicals[0]
	second.Name, second.Rule = "alum back", clarify.Always(10)
	f := in.Feeds[0]
	f.Name = "alum back"
	in.Tank.Chemicals, in.Feeds = append(in.Tank.Chemicals, second), append(in.Feeds, f)
	in.Products, in.Pumps = append(in.Products, in.Products[0]), append(in.Pumps, nil)
	c, err := Clean(in)
	if err != nil {
		t.Fatal(err)
	}
	list := listOf(c)
	if !strings.Contains(list, "\n12:31 make up 17.1 L of alum stock") || len(c.MakeUps[0]) < 3 || len(c.MakeUps[1]) != 0 {
		t.Error(list)
	}
	sum := quantity.Volume(0)
	for _, b := range c.MakeUps[0] {
		if sum += b.Volume; b.Full > 18*(1+1e-9) {
			t.Errorf("%v in a tank of 18 L", b.Full)
		}
	}
	near(t, "made up", float64(sum), float64(c.Uses[0].Stock+c.Uses[1].Stock)*(1+Spare), 1e-5)
}
