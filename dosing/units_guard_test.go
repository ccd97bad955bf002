package dosing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestOrderOfTasks: what falls on one moment is done in the order of the hands: what sets the pH starts first and stops last, polymer the
// other way round, pumps stop before the unit and start after it. Moments a hair apart are one.
func TestOrderOfTasks(t *testing.T) {
	of := func(g product.Group) Feed {
		return Feed{FeedInput: FeedInput{Stock: Stock{Product: product.Product{Group: g}}}}
	}
	p := Plan{Feeds: []Feed{of(product.Polymer), of(product.AluminiumSalt), of(product.Alkali), of(product.Biopolymer), of(product.Acid)}}
	at := func(kind TaskKind, feed int, when quantity.Time) Task { return Task{Kind: kind, Feed: feed, At: when} }
	for name, x := range map[string]struct {
		tasks []Task
		want  string
	}{
		"start": {[]Task{at(SetPump, 0, 7), at(SetPump, 1, 7), at(SetPump, 2, 7), at(StartUnit, -1, 7)},
			"start unit -1, set pump 2, set pump 1, set pump 0"},
		"stop": {[]Task{at(StopUnit, -1, 7), at(StopPump, 2, 7), at(StopPump, 1, 7), at(StopPump, 0, 7)},
			"stop pump 0, stop pump 1, stop pump 2, stop unit -1"},
		"by hand": {[]Task{at(StopHand, 4, 7), at(StopHand, 3, 7), at(FeedByHand, 3, 7), at(FeedByHand, 4, 7)},
			"stop feeding 3, stop feeding 4, feed by hand 4, feed by hand 3"},
		"stock": {[]Task{at(EmptyBin, -1, 7), at(MakeUp, 0, 7), at(ChangeDrum, 1, 7), at(SetPump, 1, 7), at(MoveStock, 0, 7), at(Stands, 1,
			7)},
			"stands 1, move stock 0, set pump 1, change drum 1, make up 0, empty bin -1"},
		"the clock first": {[]Task{at(EmptyBin, -1, 7), at(StartUnit, -1, 7.25), at(StopPump, 0, 6.9)},
			"stop pump 0, empty bin -1, start unit -1"},
		"less than a hair":       {[]Task{at(MakeUp, 0, 7), at(SetPump, 0, 7+5e-10)}, "set pump 0, make up 0"},
		"more than a hair":       {[]Task{at(MakeUp, 0, 7), at(SetPump, 0, 7+5e-9)}, "make up 0, set pump 0"},
		"a polymer listed first": {[]Task{at(SetPump, 0, 7), at(SetPump, 1, 7)}, "set pump 1, set pump 0"},
	} {
		var got []string
		for _, k := range p.inOrder(x.tasks) {
			got = append(got, fmt.Sprintf("%s %d", k.Kind, k.Feed))
		}
		if s := strings.Join(got, ", "); s != x.want {
			t.Errorf("%s: %s, want %s", name, s, x.want)
		}
	}
}

// TestWhoIsThere: the last hour of staff not after a time, and the day of the list, counted from that of the shift in which the run starts.
func TestWhoIsThere(t *testing.T) {
	day, night := flow.Hours{{From: 6, To: 20}}, flow.Hours{{From: 0, To: 6}, {From: 22, To: 24}}
	for _, x := range []struct {
		staffed   flow.Hours
		start, at quantity.Time
		last      quantity.Time
		there     bool
		day       int
		alone     bool
	}{
		{day, 7, 10, 10, true, 0, false}, {day, 7, 21, 20, true, 0, true}, {day, 7, 20, 20, true, 0, false}, {day, 7, 7, 7, true, 0, false},
		{day, 7, 6.5, 6.5, false, 0, false}, {day, 7, 3, 3, false, 0, true}, {day, 20, 23, 20, true, 0, true}, {day, 7, 24, 20, true, 1,
			true},
		{day, 7, 24 - 1e-6, 20, true, 0, true}, {day, 7, 30, 30, true, 1, false}, {day, 7, -1, -1, false, -1, true},
		{night, 2, 2, 2, true, 1, false}, {night, 2, 10, 6, true, 1, true}, {night, 2, -2, -2, false, 0, false}, {night, 2, 26, 26, true,
			2, false},
		{nil, 7, 3, 3, false, 0, false}, {nil, 7, 26, 26, true, 1, false}, {nil, 23, 25, 25, true, 1, false},
	} {
		p := Plan{Input: Input{Staffed: x.staffed, Start: x.start}}
		last, there := p.there(x.at)
		k := Task{At: x.at}
		p.place(&k)
		if there != x.there || math.Abs(float64(last-x.last)) > 1e-5 || k.Day != x.day || k.Alone != x.alone {
			t.Errorf("%v from %v, at %v: %v %v, day %d, alone %v; want %v %v, %d, %v", x.staffed, x.start, x.at, last, there, k.Day,
				k.Alone, x.last, x.there, x.day, x.alone)
		}
	}
	p := Plan{Input: Input{Start: 7}}
	for at, want := range map[quantity.Time]quantity.Time{7: 7, 6: 30, 31: 7, -1: 23, 0: 24, 30.5: 30.5} {
		near(t, "on the plan's day", float64(p.clock(at)), float64(want), 1e-9)
	}
}

// TestUnstaffedWords: what may not be left undone is named with its hour, in the words of the hands; what is done in hours of staff is not.
func TestUnstaffedWords(t *testing.T) {
	p := Plan{Feeds: []Feed{{FeedInput: FeedInput{Name: "alum", Pump: nameplate(9), PumpName: "P1"}}, {FeedInput: FeedInput{Name: "lime"}}}}
	tasks := []Task{{At: 2, Kind: SetPump, Alone: true}, {At: 26.5, Kind: StopPump, Alone: true}, {At: 9, Kind: SetPump}, {At: 3,
		Kind: MakeUp, Alone: true},
		{At: -1, Feed: 1, Kind: FeedByHand, Alone: true}}
	for feed, want := range map[int]string{0: "P1 is to be set at 02:00 and stopped at 02:30, when nobody is there",
		1: "lime is to be fed by hand at 23:00, when nobody is there"} {
		if got := p.unstaffed(feed, tasks); len(got) != 1 || got[0].Message != want {
			t.Errorf("%v, want %q", got, want)
		}
	}
	if got := p.unstaffed(0, tasks[2:4]); got != nil {
		t.Errorf("%v", got)
	}
}

// TestBinOfToday: a bin of which it is known what it holds is emptied by the list of that day, any other by the one that is the same every
// day; one that is emptied seldom as it comes, within the 24 h of the plan.
func TestBinOfToday(t *testing.T) {
	at := func(times ...quantity.Time) (out []solids.Emptying) {
		for _, x := range times {
			out = append(out, solids.Emptying{At: x})
		}
		return out
	}
	for _, x := range []struct {
		told    bool
		daily   []solids.Emptying
		emptied []solids.Emptying
		want    string
		aDay    float64
	}{
		{true, at(10, 20), at(8, 18), "[7 20]", 2}, {false, at(10, 20), at(8, 18), "[10 20]", 2}, {false, at(10), at(9.5), "[10]", 1},
		{true, nil, at(8, 29.9, 30, 40), "[8 29.9]", 0.5}, {false, nil, at(40), "[]", 0.5},
	} {
		s := SolidsDay{Bin: &solids.Bin{}, told: x.told, fromNow: at(7, 20), Daily: x.daily, Emptys: solids.Schedule{Emptyings: x.emptied,
			PerDay: 0.4, Days: 2}}
		got := []float64{}
		for _, e := range s.Today(6) {
			got = append(got, float64(e.At))
		}
		if fmt.Sprint(got) != x.want || math.Abs(s.ADay()-x.aDay) > 1e-12 {
			t.Errorf("%+v: %v, %g a day", x, got, s.ADay())
		}
	}
}

// TestTurnsOfADay: 2 m3/h till noon and 4 after it at 20 mg/L of product from 100 g/L are 0.4 and 0.8 L/h, 6.667 and 13.33 mL/min: of a
// pump of 20 mL/min 33 and 67 %, each for twelve hours. One flow, or a pump that follows by itself, has no turns.
func TestTurnsOfADay(t *testing.T) {
	plan := func(d flow.Day, follows bool) Plan {
		p, err := Make(Input{Day: d, Feeds: []FeedInput{{Name: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct},
			Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000}, Pump: nameplate(20), Follows: follows}}})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	two := dayOf(t, segment(0, 12, 2), segment(12, 24, 4))
	p := plan(two, false)
	got := p.Turns(p.Feeds[0])
	if len(got) != 2 || !Few(got) {
		t.Fatalf("%+v", got)
	}
	for i, want := range []struct{ setting, flow, from, to float64 }{{33, 2, 0, 12}, {67, 4, 12, 24}} {
		k := got[i]
		if float64(k.Choice.Position.Setting) != want.setting || float64(k.Flow) != want.flow || len(k.Hours) != 1 ||
			k.Hours[0] != (flow.Span{From: quantity.Time(want.from), To: quantity.Time(want.to)}) {
			t.Errorf("%+v, want %v", k, want)
		}
	}
	back := plan(dayOf(t, segment(0, 6, 2), segment(6, 12, 4), segment(12, 24, 2)), false)
	if got = back.Turns(back.Feeds[0]); len(got) != 2 || len(got[0].Hours) != 2 || got[0].Hours[1] != (flow.Span{From: 12, To: 24}) ||
		!Few(got) {
		t.Errorf("%+v", got)
	}
	many := plan(dayOf(t, segment(0, 6, 2), segment(6, 12, 4), segment(12, 18, 2), segment(18, 24, 4)), false)
	if got = many.Turns(many.Feeds[0]); Few(got) {
		t.Errorf("four stretches in a line: %+v", got)
	}
	for _, none := range []Plan{plan(steady(t, 2, 0, 24), false), plan(two, true)} {
		if got = none.Turns(none.Feeds[0]); got != nil {
			t.Errorf("%+v", got)
		}
	}
}

// TestRoundOfBatches: batches as they fall into the 24 h from 06:00 on, and what was made up the day before, let over first thing where
// the tank has room for it.
func TestRoundOfBatches(t *testing.T) {
	b := Batch{Start: 1, Made: 2, Aged: 3, Moved: 4, From: 5, Till: 6, Expires: 7, Volume: 8, Left: 9}
	if got := b.later(24); got != (Batch{Start: 25, Made: 26, Aged: 27, Moved: 28, From: 29, Till: 30, Expires: 31, Volume: 8, Left: 9}) {
		t.Errorf("%+v", got)
	}
	var p Plan
	p.Start = 7
	got := p.occurring(Feed{Batches: []Batch{{Moved: 8, Volume: 1}, {Moved: 30, Volume: 2}, {Moved: -2, Volume: 3}, {Moved: 29.5, Volume: 4}}}, 6)
	for i, want := range [][2]float64{{6, 2}, {8, 1}, {22, 3}, {29.5, 4}} {
		if float64(got[i].Moved) != want[0] || float64(got[i].Volume) != want[1] {
			t.Errorf("%+v", got)
		}
	}
	for _, x := range []struct {
		what        string
		start, aged quantity.Time
		volume      quantity.Volume
		moved       quantity.Time
		left, full  quantity.Volume
	}{
		{"aged before the shift", -2, 5, 4, 6, 3, 7}, {"aged in it", -2, 6.5, 4, 6.5, 3, 7}, {"at the start", -2, 7, 4, 7, 3, 7},
		{"too late", -2, 7.1, 4, 9, 0, 0},
		{"to the brim", -2, 5, 7, 6, 3, 10}, {"no room", -2, 5, 7.1, 9, 0, 0}, {"of this day", 6, 6.5, 4, 9, 0, 0},
	} {
		f := Feed{FeedInput: FeedInput{Tank: &Vessel{Volume: 10, Usable: 1, Now: quantity.Some[quantity.Volume](3)}},
			First: []Batch{{Start: x.start, Aged: x.aged, Volume: x.volume, Moved: 9}}}
		p.Feeds = []Feed{f}
		p.waiting(0, 6)
		if g := f.First[0]; g.Moved != x.moved || g.Left != x.left || g.Full != x.full || f.waits(6) != (x.start < 6) {
			t.Errorf("%s: %+v", x.what, g)
		}
	}
	if (Feed{}).waits(6) {
		t.Error("no batch waits")
	}
}

// TestShifts: work of half an hour within a shift of 06:00-14:00, or one over midnight, and beside other work.
func TestShifts(t *testing.T) {
	day, night := shift{6, 14}, shift{22, 6}
	for _, x := range []struct {
		s       shift
		t, work quantity.Time
		want    quantity.Time
		ok      bool
	}{
		{day, 10, 0.5, 10, true}, {day, 13.5, 0.5, 13.5, true}, {day, 13.6, 0.5, 13.5, true}, {day, 20, 0.5, 13.5, true}, {day, 5, 0.5,
			-10.5, true}, {day, 6, 0.5, 6, true},
		{day, 30, 0.5, 30, true}, {day, 10, 8, 6, true}, {day, 10, 8.1, 0, false}, {night, 23, 0.5, 23, true}, {night, 10, 0.5, 5.5, true},
		{night, 21.9, 1, 5, true},
		{shift{}, 3, 30, 3, true}, {shift{8, 8}, 3, 9, 3, true},
	} {
		got, ok := x.s.latest(x.t, x.work)
		if ok != x.ok || ok && math.Abs(float64(got-x.want)) > 1e-9 {
			t.Errorf("%v, %v of work till %v: %v %v, want %v", x.s, x.work, x.t, got, ok, x.want)
		}
	}
	for s, want := range map[shift]quantity.Time{{6, 14}: 8, {22, 6}: 8, {0, 0}: 24, {7, 7}: 24, {0, 23}: 23} {
		near(t, "length", float64(s.length()), float64(want), 1e-9)
	}
	m := making{shift: day, busy: flow.Hours{{From: 9, To: 10}}}
	for at, want := range map[quantity.Time]quantity.Time{7: 7, 8.4: 8.4, 8.5: 8.5, 8.6: 10, 9.5: 10, 13.5: 13.5, 13.6: 30, 15: 30, 3: 6} {
		near(t, fmt.Sprint("earliest from ", at), float64(m.earliest(at, 0.5)), float64(want), 1e-9)
	}
	for at, want := range map[quantity.Time]quantity.Time{8.4: 8.4, 8.6: 8.5, 9.9: 8.5, 10: 10, 20: 13.5} {
		got, ok := m.latest(at, 0.5)
		near(t, fmt.Sprint("latest till ", at), float64(got), float64(want), 1e-9)
		if !ok {
			t.Error(at)
		}
	}
}

// TestRangesByHand: 20 mg/L of product for 2 m3/h, ten hours a day, from 100 g/L. From 15 mg/L at 1.8 m3/h, 27 g/h, to 20 at 2.2, 44 g/h:
// 4.5 to 7.333 mL/min, 0.27 to 0.44 kg a day.
func TestRangesByHand(t *testing.T) {
	feed := func(low, high quantity.Concentration) FeedInput {
		return FeedInput{Name: "x", Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000}, Tested: true,
			Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Low: low, High: high}
	}
	for _, x := range []struct {
		low, high        quantity.Concentration
		swing            quantity.Fraction
		known, open      bool
		doseLow, doseTop float64 // passed one time in twenty
	}{
		{15, 0, 0.1, true, true, 15, 20}, {15, 26, 0.1, true, false, 15, 26}, {0, 26, 0.1, true, false, 20, 26}, {0, 0, 0.1, true, false,
			20, 20}, {0, 0, 0, false, false, 0, 0}, {0.5, 0, 0, true, true, 0.5, 20},
	} {
		p, err := Make(Input{Day: steady(t, 2, 0, 10), FlowRange: x.swing, Feeds: []FeedInput{feed(x.low, x.high)}})
		if err != nil {
			t.Fatal(err)
		}
		r := p.Feeds[0].Range
		if r.Known != x.known || r.Open != x.open {
			t.Errorf("%+v: %+v", x, r)
		}
		if !x.known {
			continue
		}
		down, up := tenInTwenty*math.Log(x.doseLow/20), tenInTwenty*math.Log(x.doseTop/20)
		less, more := math.Log(1-float64(x.swing)), math.Log(1+float64(x.swing))
		near(t, "low", float64(r.DoseLow.Concentration), 20*math.Exp(down), 1e-9)
		near(t, "high", float64(r.DoseHigh.Concentration), 20*math.Exp(up), 1e-9)
		near(t, "least flow", float64(r.FlowLow), 2*math.Exp(less), 1e-9)
		near(t, "most flow", float64(r.FlowHigh), 2*math.Exp(more), 1e-9)
		near(t, "least rate", float64(r.RateLow), 20*2*math.Exp(-math.Hypot(down, less))/100*1000/60, 1e-9)
		near(t, "most rate", float64(r.RateHigh), 20*2*math.Exp(math.Hypot(up, more))/100*1000/60, 1e-9)
		near(t, "least product", float64(r.ProductLow), 20*2*math.Exp(-math.Hypot(down, less))*10/1000, 1e-9)
		near(t, "most product", float64(r.ProductHigh), 20*2*math.Exp(math.Hypot(up, more))*10/1000, 1e-9)
	}
	near(t, "by hand", float64(quantity.FeedRate(15*1.8/100*1000/60)), 4.5, 1e-12)
}

// TestFlowThatSwings: a pump set for 2 m3/h gives 20 mg/L; at 1.81 m3/h the dose is 20/0.905 = 22.1, at 2.19 20/1.095 = 18.3. Within a
// tenth nothing is said: 2/1.1 = 1.818, 2.2.
func TestFlowThatSwings(t *testing.T) {
	for _, x := range []struct {
		least, peak quantity.Flow
		says        string
	}{
		{1.82, 2.19, ""}, {1.81, 2.19, "the flow goes from 1.81 m3/h to 2.19 m3/h; the dose then goes from 18.3 mg/L to 22.1 mg/L"},
		{1.9, 2.21, "the flow goes from 1.9 m3/h to 2.21 m3/h; the dose then goes from 18.1 mg/L to 21.1 mg/L"}, {2, 2, ""},
	} {
		p := Plan{Input: Input{Day: steady(t, 2, 0, 24).WithRange(x.least, x.peak)}}
		f := Feed{FeedInput: FeedInput{Name: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct},
			Pump: nameplate(20)}}
		p.varies(&f)
		if len(f.Notes) > 1 || (len(f.Notes) == 1) != (x.says != "") || x.says != "" && !strings.Contains(f.Notes[0].Message, x.says) {
			t.Errorf("%v to %v: %v", x.least, x.peak, f.Notes)
		}
		f.Notes, f.Pump = nil, nil
		if p.varies(&f); x.says != "" && (len(f.Notes) != 1 || !strings.HasPrefix(f.Notes[0].Message, "alum: feeding by hand is for the flow of the hour, but "+x.says)) {
			t.Errorf("by hand, %v to %v: %v", x.least, x.peak, f.Notes)
		}
		f.Notes, f.Pump, f.Follows = nil, nameplate(20), true
		if p.varies(&f); len(f.Notes) != 0 {
			t.Errorf("a pump that follows: %v", f.Notes)
		}
	}
}

// TestHoursOfASite: eight hours begin at six where nobody says; a run over midnight is two stretches of the day; 24 h have none.
func TestHoursOfASite(t *testing.T) {
	start := func(v quantity.Time) quantity.Known[quantity.Time] { return quantity.Some(v) }
	none := quantity.Known[quantity.Time]{}
	for _, x := range []struct {
		start, hours quantity.Known[quantity.Time]
		begins       quantity.Time
		want         string
	}{
		{none, start(8), 6, "[{6 14}]"}, {start(0), start(8), 0, "[{0 8}]"}, {start(20), start(10), 20, "[{0 6} {20 24}]"}, {start(16),
			start(8), 16, "[{16 24}]"},
		{none, none, 0, "[]"}, {start(9), none, 9, "[]"}, {none, start(24), 0, "[]"}, {none, start(23.5), 6, "[{0 5.5} {6 24}]"},
		{start(24), start(8), 24, "[{0 8}]"},
		{start(25), start(8), 25, "[{1 9}]"},
	} {
		f := site.Flow{Start: x.start, Hours: x.hours}
		got := []string{}
		for _, s := range HoursOf(f) {
			got = append(got, fmt.Sprintf("{%g %g}", float64(s.From), float64(s.To)))
		}
		if fmt.Sprint(got) != x.want || StartOf(f) != x.begins {
			t.Errorf("%v for %v: from %v, %v, want %s", x.start, x.hours, StartOf(f), got, x.want)
		}
	}
}

// TestOneQuestionACell: what is known of a product goes before what is asked of the number in the same cell, and of no other.
func TestOneQuestionACell(t *testing.T) {
	at := func(code, cell string) note.Note { return note.New(note.Caution, code, "x").At(note.Place{Cell: cell}) }
	for _, x := range []struct {
		ask, known note.Note
		left       int
	}{
		{at("value-unusual", "B4"), at("strength-slip", "B4"), 1}, {at("value-unusual", "B4"), at("strength-slip", "B5"), 2},
		{at("value-unusual", "B4"), at("stock-short", "B4"), 2},
		{at("left-over", "B4"), at("strength-slip", "B4"), 2}, {at("value-unusual", "B4"), at("density-odd", "B4"), 1},
	} {
		if got := Better(note.List{x.ask}, note.List{x.known}); len(got) != x.left || got[len(got)-1].Code != x.known.Code {
			t.Errorf("%v and %v: %v", x.ask, x.known, got)
		}
	}
}

// TestDoseBesideInTheJars: the dose of another chemical that the jars had, wherever its column stands: the most of those known.
func TestDoseBesideInTheJars(t *testing.T) {
	series := func(names ...string) jartest.Series {
		s := jartest.Series{}
		for _, n := range names {
			s.Chemicals = append(s.Chemicals, jartest.Chemical{Name: n, Basis: quantity.AsProduct})
		}
		for _, d := range [][]float64{{0, 0}, {5, 20}, {5, 40}} {
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d[0]), Known: true},
				{Concentration: quantity.Concentration(d[1]), Known: true}}})
		}
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: 99}}})
		return s
	}
	lime := FeedInput{Name: "lime"}
	j := &Jars{Series: series("lime", "alum"), Chemical: 1}
	if d, ok := j.fixedDose(lime); !ok || d.Concentration != 5 || d.Basis != quantity.AsProduct {
		t.Errorf("%v, %v", d, ok)
	}
	j = &Jars{Series: series("alum", "lime"), Chemical: 0}
	if d, ok := j.fixedDose(lime); !ok || d.Concentration != 40 {
		t.Errorf("%v, %v", d, ok)
	}
	if d, ok := j.fixedDose(FeedInput{Name: "soda"}); ok || d.Concentration != 0 {
		t.Errorf("%v, %v", d, ok)
	}
}

// TestProportions: what is usual has both its ends, and what is not known is not asked about; running hours are told in days of the
// calendar.
func TestProportions(t *testing.T) {
	r := apartRule{low: 0.2, high: 5}
	for v, out := range map[float64]bool{0: false, -1: false, 0.19: true, 0.2: false, 1: false, 5: false, 5.01: true} {
		if r.outside(v) != out {
			t.Errorf("%g is asked about: %v", v, !out)
		}
	}
	for _, x := range [][3]float64{{10, 5, 48}, {10, 24, 10}, {10, 0, 10}, {3, 0.5, 144}} {
		near(t, "calendar", float64(calendarTime(quantity.Time(x[0]), quantity.Time(x[1]))), x[2], 1e-9)
	}
	for code, asks := range map[string]bool{"value-unusual": true, "values-disagree": true, "strength-slip": true, "strength-odd": true,
		"density-slip": true, "density-odd": true,
		"stock-short": false, "": false} {
		if AsksFigure(note.New(note.Caution, code, "x")) != asks {
			t.Errorf("%q asks: %v", code, !asks)
		}
	}
}
