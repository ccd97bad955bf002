package dosing

import (
	"strings"
	"testing"

	"jarwright/dosing/flow"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// listed names tasks with the time on the clock, as "08:30 make up".
func listed(tasks []Task) string {
	var out []string
	for _, k := range tasks {
		out = append(out, flow.Clock(k.At)+" "+string(k.Kind))
	}
	return strings.Join(out, ", ")
}

func segment(from, to quantity.Time, q quantity.Flow) flow.Segment {
	return flow.Segment{Span: flow.Span{From: from, To: to}, Flow: q}
}

func dayOf(t *testing.T, s ...flow.Segment) flow.Day {
	t.Helper()
	d, err := flow.FromSegments(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestLevelOverDays: 0.4 L an hour from 28.8 L made every third day, in use from
// 06:00 and moved a quarter hour before, and at most what the tank holds.
func TestLevelOverDays(t *testing.T) {
	f := Feed{FeedInput: FeedInput{Tank: &Vessel{Volume: 40, Usable: 0.9}}, AsProduct: quantity.Dose{Concentration: 20}, PerLitre: 100000, Every: 3,
		Batches: []Batch{{Volume: 28.8, Full: 28.9, Moved: 5.75, From: 6, Till: 78}}}
	day := steady(t, 2, 0, 24)
	for at, want := range map[quantity.Time]float64{
		5.7: 0.4 * 0.3, 5.8: 28.8 + 0.4*0.2, 6: 28.8, 7: 0.4 * 71, 30: 0.4 * 48, 77: 0.4, 78: 28.8, 79: 0.4 * 71, 0: 0.4 * 6, -66: 28.8, 149: 0.4, 150: 28.8,
	} {
		level, ok := f.level(day, at)
		if !ok {
			t.Fatal("no level")
		}
		near(t, flow.Clock(at), float64(level), want, 1e-9)
	}
	f.Every, f.Batches[0].Till, f.Batches[0].Full = 0, 30, 9.7 // no round is as good as every day
	if level, _ := f.level(day, 31); level < 9.2-1e-9 || level > 9.2+1e-9 {
		t.Errorf("%v in use till the next day's batch, want 9.2", level)
	}
	f.Batches = append([]Batch{{Full: 5, Moved: 17.75}}, f.Batches...) // the later of two that came in counts
	for at, want := range map[quantity.Time]float64{17.75: 5, 18.25: 4.8, 5.75: 9.7, 17: 9.7 - 4.5, -6: 4.9} {
		level, _ := f.level(day, at)
		near(t, "of two, "+flow.Clock(at), float64(level), want, 1e-9)
	}
	for _, x := range []Feed{{Batches: f.Batches}, {FeedInput: f.FeedInput}} {
		if _, ok := x.level(day, 7); ok {
			t.Errorf("a level without tank or batches: %+v", x)
		}
	}
}

// TestHoursFromHalfPast: a plan whose start, 06:30, falls into a run begins with that run, once;
// a feed without pump has a rate and no setting, and none when nothing flows.
func TestHoursFromHalfPast(t *testing.T) {
	f := FeedInput{Name: "x", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsProduct}, Stock: Stock{Product: holding(0.5, quantity.AsAlum14, 1.25), PerLitre: 100000}}
	g := f
	g.Pump = nameplate(20)
	p, err := Make(Input{Day: dayOf(t, segment(6, 12, 2), segment(12, 18, 3)), Start: 6.5, Feeds: []FeedInput{f, g}})
	if err != nil {
		t.Fatal(err)
	}
	g.Dose.Concentration, g.Pump = 1, nameplate(1) // a third of a millilitre a minute
	small, err := Make(Input{Day: steady(t, 2, 0, 24), Feeds: []FeedInput{g}})
	if err != nil || small.Hours[0].Feeds[0].Setting != 33 {
		t.Errorf("%+v %v", small.Hours, err)
	}
	for k, h := range p.Hours {
		at := quantity.Time((6 + k) % 24)
		want, used := 0.0, 0.0 // mL/min and L: 0.2 L of stock a m3
		switch {
		case at >= 6 && at < 12:
			want, used = 2*200/60.0, 0.4
		case at >= 12 && at < 18:
			want, used = 3*200/60.0, 0.6
		}
		if h.From != at || h.Feeds[0].Setting != 0 || h.Feeds[0].HasLevel {
			t.Errorf("hour %v, want %v: %+v", h.From, at, h.Feeds[0])
		}
		for i := range h.Feeds {
			near(t, "rate", float64(h.Feeds[i].Rate), want, 1e-9)
			near(t, "used", float64(h.Feeds[i].Used), used, 1e-9)
		}
		near(t, "setting", float64(h.Feeds[1].Setting), want/20*100, 0.5)
	}
	if got := listed(p.Tasks); got != "06:00 start unit, 06:00 feed by hand, 06:00 set pump, 12:00 feed by hand, 12:00 set pump, 18:00 stop feeding, 18:00 stop pump, 18:00 stop unit" {
		t.Errorf("%s", got)
	}
}

// TestSettingsThroughTheDay: set anew only where the knob moves, stopped where
// nothing flows for longer than a moment.
func TestSettingsThroughTheDay(t *testing.T) {
	for _, x := range []struct {
		what  string
		start quantity.Time
		day   []flow.Segment
		want  string
	}{
		{"one flow round the clock", 6, []flow.Segment{segment(0, 24, 2)}, "06:00 set pump"},
		{"one flow that ends before the start", 6, []flow.Segment{segment(0, 5, 2), segment(6, 24, 2)}, "06:00 set pump, 05:00 the day after stop pump"},
		{"the same in two parts", 6, []flow.Segment{segment(0, 12, 2), segment(12, 24, 2)}, "06:00 set pump"},
		{"a step", 6, []flow.Segment{segment(0, 12, 2), segment(12, 24, 3)}, "06:00 set pump, 12:00 set pump, 00:00 the day after set pump"},
		{"a step too small for the knob", 6, []flow.Segment{segment(0, 12, 2), segment(12, 24, 2.001)}, "06:00 set pump"},
		{"an hour off, then as before", 6, []flow.Segment{segment(0, 12, 2), segment(13, 24, 2)}, "06:00 set pump, 12:00 stop pump, 13:00 set pump"},
		{"a moment off", 6, []flow.Segment{segment(0, 12, 2), segment(12+5e-7, 24, 2)}, "06:00 set pump"},
		{"off from the start on: it stops at midnight", 0, []flow.Segment{segment(4, 24, 2)}, "04:00 set pump, 00:00 the day after stop pump"},
		{"on over midnight, off before", 0, []flow.Segment{segment(0, 5, 2), segment(22, 24, 2)}, "00:00 set pump, 05:00 stop pump, 22:00 set pump"},
		{"off at the end", 0, []flow.Segment{segment(0, 20, 2)}, "00:00 set pump, 20:00 stop pump"},
	} {
		d := dayOf(t, x.day...)
		p := Plan{Input: Input{Day: d, Start: x.start}}
		f := Feed{FeedInput: FeedInput{Pump: nameplate(20)}, AsProduct: quantity.Dose{Concentration: 20}, PerLitre: 100000, Setting: &Setting{}}
		if got := listed(p.settings(0, f)); got != x.want {
			t.Errorf("%s: %q, want %q", x.what, got, x.want)
		}
	}
}

// TestTasksOnTheClock: what is made before the start or after midnight comes at its
// time within the 24 h from the start; a drum that lasts the day is not changed.
func TestTasksOnTheClock(t *testing.T) {
	batch := func(start, made, moved quantity.Time) Batch { return Batch{Start: start, Made: made, Moved: moved} }
	neat, stock := Stock{}, Stock{PerLitre: 1000}
	for _, x := range []struct {
		feed Feed
		want string
	}{
		{Feed{FeedInput: FeedInput{Stock: stock}, Batches: []Batch{batch(-3.25, -3, -3)}}, "20:45 make up"},
		{Feed{FeedInput: FeedInput{Stock: stock}, Batches: []Batch{batch(-51.25, -51, -49)}}, "20:45 make up, 23:00 move stock"},
		{Feed{FeedInput: FeedInput{Stock: stock}, Batches: []Batch{batch(3, 3.25, 3.25)}}, "03:00 the day after make up"},
		{Feed{FeedInput: FeedInput{Stock: stock}, Batches: []Batch{batch(8, 8.25, 32)}}, "08:00 move stock, 08:00 make up"},
		{Feed{FeedInput: FeedInput{Stock: stock}, Batches: []Batch{batch(78, 78.25, 80)}}, "06:00 make up, 08:00 move stock"},
		{Feed{FeedInput: FeedInput{Stock: neat}, HasEmpty: true, Empty: 29.5}, "05:30 the day after change drum"},
		{Feed{FeedInput: FeedInput{Stock: neat}, HasEmpty: true, Empty: 30}, ""},
		{Feed{FeedInput: FeedInput{Stock: neat}, Empty: 9}, ""},
		{Feed{FeedInput: FeedInput{Stock: stock}, HasEmpty: true, Empty: 9}, ""},
	} {
		p := Plan{Input: Input{Day: steady(t, 2, 0, 24), Start: 6}, Feeds: []Feed{x.feed}}
		if got := listed(p.tasks()); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	// A pump that follows the meter is set once, and looked at with the flow that then runs: 10 mg/L of 2 m3/h, 20 g/h, are 1 L/h at 20 g/L.
	d := steady(t, 2, 0, 24).WithRange(1, 3)
	f := Feed{FeedInput: FeedInput{Follows: true, Pump: nameplate(20)}, AsProduct: quantity.Dose{Concentration: 10}, PerLitre: 20000, Setting: &Setting{Peak: pump.Choice{Wanted: 25}}}
	if got := (&Plan{Input: Input{Day: d, Start: 6}, Feeds: []Feed{f}}).tasks(); len(got) != 1 || got[0].At != 6 || got[0].Flow != 2 || got[0].Rate != got[0].Choice.Wanted {
		t.Errorf("%+v", got)
	} else {
		near(t, "the look at the pump", float64(got[0].Rate), 1000./60, 1e-9)
	}
}
