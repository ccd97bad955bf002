package dosing

import (
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestATankThatHoldsTooLittle: 2 m3/h from 07:00 to 17:00 at 20 mg/L from 100 g/L take 0.4 L/h, at most 5 % more: 4.2 L a day, made
// up from 07:00 to 07:15 where somebody is there from 07:00 on. 0.42 L/h draw 0.1 L in a quarter hour; 0.1 L are too little till 07:15.
func TestATankThatHoldsTooLittle(t *testing.T) {
	for _, x := range []struct {
		now            quantity.Volume
		begins         quantity.Time
		tasks          string
		volume, stands quantity.Volume
		says, do       string
	}{
		{0, 7.25, "07:00 make up, 07:15 start unit, 07:15 set pump, 17:00 stop pump, 17:00 stop unit", 4.2, 0,
			"tank holds 0 L when the day starts, too little until more is ready: the unit and its pumps start at 07:15, not at 07:00",
			"to start at 07:00, begin to make it up at 16:45 the day before at the latest"},
		{0.1, 7.25, "07:00 make up, 07:15 start unit, 07:15 set pump, 17:00 stop pump, 17:00 stop unit", 4.1, 0.1, "tank holds 100 mL", "to start at 07:00"},
		// half a litre lasts till 08:11: of it 0.1 L are drawn as planned when the batch is ready
		{0.5, 7, "07:00 start unit, 07:00 set pump, 07:00 make up, 17:00 stop pump, 17:00 stop unit", 4.2 - 0.4, 0.5, "", ""},
		{6, 7, "07:00 start unit, 07:00 set pump, 17:00 stop pump, 17:00 stop unit", 0, 0, "", ""},
	} {
		in := Input{Day: steady(t, 2, 7, 17), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000},
			Tank: &Vessel{Name: "tank", Volume: 10, Usable: 1, Now: quantity.Some(x.now)}, From: 7, Till: 17, Work: 0.25, Pump: nameplate(20), Follows: true}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := listed(p.Tasks); got != x.tasks || p.Begins != x.begins {
			t.Errorf("%v: %s from %v", x.now, got, p.Begins)
		}
		n, ok := noted(p.Notes, "stock-short")
		if ok != (x.says != "") || !strings.Contains(n.Message, x.says) || !strings.Contains(n.Remedy, x.do) {
			t.Errorf("%v: %v", x.now, n)
		}
		for _, k := range p.Tasks {
			if k.Kind == MakeUp {
				near(t, "volume", float64(k.Batch.Volume), float64(x.volume), 1e-9)
				near(t, "stands", float64(k.Batch.Stands), float64(x.stands), 1e-9)
				near(t, "product", float64(k.Batch.Recipe.Product), float64(x.volume)/10, 1e-9)
			}
		}
		// At 17:00 what came in, less what was drawn: 9.75 h from 07:15 on, 10 h from 07:00.
		want := float64(x.now) + float64(x.volume) - 0.4*float64(17-x.begins)
		near(t, "in the tank at the end", float64(p.Hours[9].Feeds[0].Level), want, 1e-9)
		near(t, "water of the first hour, m3", p.Hours[0].Volume.In("m3"), 2*float64(8-x.begins), 1e-9)
		near(t, "drawn in the first hour", float64(p.Hours[0].Feeds[0].Used), 0.4*float64(8-x.begins), 1e-9)
	}
}

// TestAUnitThatStartsLater: stock that is ready at 09:00 only starts the unit then: 2 m3/h from 07:00 on bring no water before, and its
// bin of 90 L fills from then on. A unit that runs round the clock lets its water pass undosed till then, and its bin fills from 07:00.
func TestAUnitThatStartsLater(t *testing.T) {
	for _, x := range []struct {
		from, to, fills quantity.Time
		water           [3]float64
	}{{7, 17, 9, [3]float64{0, 0, 2}}, {0, 24, 7, [3]float64{2, 2, 2}}} {
		in := Input{Day: steady(t, 2, x.from, x.to), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Feeds: []FeedInput{{Name: "alum",
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000},
			Tank: &Vessel{Name: "tank", Volume: 20, Usable: 1, Now: quantity.Some[quantity.Volume](0)}, From: 7, Till: 17, Work: 2, Pump: nameplate(20), Follows: true}}}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		if p.Begins != 9 {
			t.Fatalf("begins at %v", p.Begins)
		}
		for k, want := range x.water {
			if r := p.Hours[k]; math.Abs(r.Volume.In("m3")-want) > 1e-9 || (r.Flow > 0) != (want > 0) || (r.Feeds[0].Rate > 0) != (k == 2) {
				t.Errorf("hour %d: %+v", k, r)
			}
		}
		s := site.Site{Tanks: []site.Tank{{Name: quantity.Some("skip"), Volume: quantity.Some[quantity.Volume](100), Usable: quantity.Some[quantity.Fraction](0.9)}}}
		s.Solids.Bin, s.Solids.Unit, s.Solids.Capture, s.Solids.FloatSolids = quantity.Some("skip"), quantity.Some(site.UnitSettler), quantity.Some[quantity.Fraction](1), quantity.Some[quantity.Fraction](0.01)
		s.Water.TSS = quantity.Some[quantity.Concentration](100)
		d := p.Solids(s)
		perHour := float64(d.Volume.Likely) / float64(p.Running)
		near(t, "full at", float64(d.Emptys.FullAt), float64(x.fills)+90/perHour, 1e-6)
	}
}

// TestANeatTankIsFilled: 10 mg/L at 100 m3/h round the clock are 1 kg/h, at 1.25 kg/L 0.8 L/h and at most 0.84: 20.16 L a day, so a tank
// of 21 L is filled every day, from 07:00 to 07:15. With 5 L in it 4.8 L stand there when it is full again.
func TestANeatTankIsFilled(t *testing.T) {
	f := FeedInput{Name: "alum", Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25)},
		From: 7, Till: 17, Work: 0.25, Pump: nameplate(30), Follows: true}
	for _, x := range []struct {
		holds  quantity.Volume
		now    quantity.Known[quantity.Volume]
		tasks  string
		volume float64
		every  int
	}{
		{21, quantity.Some[quantity.Volume](5), "07:00 set pump, 07:00 change drum", 16.2, 1},
		{21, quantity.Known[quantity.Volume]{}, "07:00 set pump, 07:00 change drum", 19.2, 1}, // every day what a day takes
		{45, quantity.Known[quantity.Volume]{}, "07:00 set pump, 07:00 change drum", 38.4, 2},
		{45, quantity.Some[quantity.Volume](40), "07:00 set pump", 0, 2},                          // 40 L last two days
		{150, quantity.Known[quantity.Volume]{}, "07:00 set pump", 0, 0},                          // lasts longer than a week: 141 L
		{150, quantity.Some[quantity.Volume](3), "07:00 set pump, 10:04 change drum", 149.657, 0}, // 3 L last 3.5714 h, till 10:34; filled 15 min before, when 2.657 L are drawn
	} {
		f.Tank = &Vessel{Name: "tank", Volume: x.holds, Usable: 1, Now: x.now}
		p, err := Make(Input{Day: steady(t, 100, 0, 24), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Feeds: []FeedInput{f}})
		if err != nil {
			t.Fatal(err)
		}
		if got := listed(p.Tasks); got != x.tasks || p.Feeds[0].Every != x.every {
			t.Errorf("%v: %s every %d", x, got, p.Feeds[0].Every)
		}
		for _, k := range p.Tasks {
			if k.Kind == ChangeDrum {
				near(t, "takes", float64(k.Batch.Volume), x.volume, 0.01)
				near(t, "holds", float64(k.Batch.Full), float64(x.holds), 1e-9)
			}
		}
	}
	// A tank that cannot last the night, 14 h at 0.84 L/h: 11.76 L.
	f.Tank = &Vessel{Name: "tank", Volume: 10, Usable: 1}
	p, err := Make(Input{Day: steady(t, 100, 0, 24), Start: 7, Staffed: flow.Hours{{From: 7, To: 17}}, Feeds: []FeedInput{f}})
	if n, ok := noted(p.Notes, "tank-runs-dry"); err != nil || !ok || !strings.Contains(n.Remedy, "a tank of at least 12 L") && !strings.Contains(n.Remedy, "outside 07:00 to 17:00") {
		t.Errorf("%v %v", p.Notes, err)
	}
}

// TestAFullTankTooSmall: 10 mg/L at 100 m3/h are 0.8 L/h of the product, so a full tank of 1 L lasts till
// 07:15 and its filling takes 2 h: nothing can be filled into it first thing, it is filled when it is empty, and the plan says that it runs dry.
func TestAFullTankTooSmall(t *testing.T) {
	p, err := Make(Input{Day: steady(t, 100, 0, 24), Start: 6, Staffed: flow.Hours{{From: 6, To: 20}}, Feeds: []FeedInput{{Name: "alum",
		Dose: quantity.Dose{Concentration: 10, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25)},
		From: 6, Till: 20, Work: 2, Pump: nameplate(30), Follows: true,
		Tank: &Vessel{Name: "tank", Volume: 1, Usable: 1, Now: quantity.Some[quantity.Volume](1)}}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := listed(p.Tasks); got != "06:00 set pump, 07:15 change drum" || p.Begins != 6 {
		t.Errorf("%s from %v", got, p.Begins)
	}
	if _, ok := noted(p.Notes, "tank-runs-dry"); !ok {
		t.Errorf("%v", p.Notes)
	}
}

// TestFedByHand: 14 mg/L at 12 m3/h are 168 g/h, at 18 m3/h 252; a flow 4 % higher is fed as before. Lime starts before alum and stops after it.
func TestFedByHand(t *testing.T) {
	lime := FeedInput{Name: "lime", Dose: quantity.Dose{Concentration: 14, Basis: quantity.AsProduct}, Stock: Stock{Product: product.Product{Form: product.Dry, Group: product.Alkali}}}
	alum := FeedInput{Name: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000},
		Pump: nameplate(100)}
	p, err := Make(Input{Day: dayOf(t, segment(7, 9, 12), segment(9, 12, 12.48), segment(12, 17, 18)), Start: 7, Feeds: []FeedInput{alum, lime}})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, k := range p.Tasks {
		s := flow.Clock(k.At) + " " + string(k.Kind)
		if k.Feed >= 0 {
			s += " " + p.Feeds[k.Feed].Name
		}
		got = append(got, s)
	}
	want := "07:00 start unit, 07:00 feed by hand lime, 07:00 set pump alum, 09:00 set pump alum, 12:00 feed by hand lime, 12:00 set pump alum, " +
		"17:00 stop pump alum, 17:00 stop feeding lime, 17:00 stop unit"
	if strings.Join(got, ", ") != want {
		t.Errorf("%s", strings.Join(got, ", "))
	}
	near(t, "g/h", p.Tasks[1].Product.In("g/h"), 168, 1e-9)
	near(t, "g/h at noon", p.Tasks[4].Product.In("g/h"), 252, 1e-9)
}

// TestWhatGoesOff: 1 L/h is 16.7 % of a pump of 6 L/h, set to 17 % it gives 1.02; of a stock that keeps
// 24 h it feeds 24.48 L in time. Of 80 L the rest goes off whenever it was made; 20 L are fed by 19:36 (20/1.02 = 19.61 h), since the
// batch of the morning, no smaller than a twentieth of the mixer's 90 L, leaves more than a heel for the one of 19:30 to come in on: what was
// made before 19:36 the day before has gone off then. 8 L are fed with the round, which makes its batches at 18:00 and 06:00.
func TestWhatGoesOff(t *testing.T) {
	for now, says := range map[quantity.Volume]string{
		80: "x: tank holds 80 L when the day starts, and its stock keeps 24 h: as much as 24.5 L of it is fed by then, the rest goes off",
		20: "x: tank holds 20 L when the day starts, and its stock keeps 24 h: the last of it is fed at 19:36, so what was made before 19:36 the day before has gone off by then",
		8:  "",
	} {
		day, err := flow.Constant(10, nil)
		if err != nil {
			t.Fatal(err)
		}
		f := FeedInput{Name: "x", Dose: quantity.Dose{Concentration: 0.1, Basis: quantity.AsProduct}, Work: 0.5, From: 6, Till: 20,
			Life: quantity.Some[quantity.Time](24), Ageing: quantity.Some[quantity.Time](1),
			Tank:  &Vessel{Name: "tank", Volume: 100, Usable: 0.9, Now: quantity.Some(now)},
			Mix:   &Vessel{Name: "mixer", Volume: 100, Usable: 0.9},
			Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 1000},
			Pump:  &pump.Pump{Calibration: pump.FromNameplate(100), Turndown: 100}}
		p, err := Make(Input{Day: day, Feeds: []FeedInput{f}, Staffed: flow.Hours{{From: 6, To: 20}}})
		if err != nil {
			t.Fatal(err)
		}
		n, told := noted(p.Feeds[0].Notes, "stock-old")
		if told != (says != "") || n.Message != says {
			t.Errorf("from %v: %q, want %q", now, n.Message, says)
		}
	}
}
