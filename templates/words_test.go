package templates

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/dosing"
	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/pump"
	"jarwright/dosing/solids"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/figure"
)

// TestReadingsInShort: number, spread, how many, limit, or a dash.
func TestReadingsInShort(t *testing.T) {
	number := func(v, sd float64, n int) jartest.Reading {
		return jartest.Reading{State: jartest.Number, Value: v, SD: sd, N: n}
	}
	for _, c := range []struct {
		r    jartest.Reading
		want string
	}{
		{number(7.41, 0, 0), "7.41"}, {number(7.41, 0, 1), "7.41"}, {number(7.41, 0, 2), "7.41 (2)"}, {number(7.41, 0.02, 1), "7.41 ± 0.02"}, {number(7.41, 0.02, 3), "7.41 ± 0.02 (3)"},
		{jartest.Reading{State: jartest.Number, Value: 5, N: 1, Replicates: []jartest.Reading{{}, {}}}, "5 (2)"},
		{jartest.Reading{State: jartest.Below, Value: 0.5, Limit: true}, "<0.5"}, {jartest.Reading{State: jartest.Below, Value: 0.5}, "<?"},
		{jartest.Reading{State: jartest.Above, Value: 1000, Limit: true}, ">1000"}, {jartest.Reading{State: jartest.Above}, ">?"}, {jartest.Reading{State: jartest.Missing}, "-"},
	} {
		if got := (Options{}).Show(readValue(jartest.PH, c.r)); got != c.want {
			t.Errorf("%+v: %q, want %q", c.r, got, c.want)
		}
	}
	us := Options{Units: quantity.US}
	if got := us.Show(readValue(jartest.TemperatureKey, number(12, 0.5, 1))); got != "53.6 ± 0.5 C" { // 12 × 1.8 + 32; a spread has no zero
		t.Errorf("a temperature in US units: %q", got)
	}
	if got := us.Show(readValue(jartest.Turbidity, number(12, 0, 1))); got != "12" {
		t.Errorf("a turbidity in US units: %q", got)
	}
}

// TestWhenABatchIsUsedUp: times beyond a midnight say how many days on they are.
func TestWhenABatchIsUsedUp(t *testing.T) {
	for _, c := range []struct {
		start, expires quantity.Time
		want           string
	}{{6, 18, "18:00 today"}, {6, 24, "midnight at the end of today"}, {6, 48, "midnight at the end of tomorrow"}, {6, 30.25, "06:15 tomorrow"}, {6, 54, "06:00 in 2 days"}, {30, 54, "06:00 tomorrow"}} {
		if got := useBy(dosing.Batch{Start: c.start, Expires: c.expires}, 0); got != c.want {
			t.Errorf("made at %v, good till %v: %q, want %q", c.start, c.expires, got, c.want)
		}
	}
	// Begun at 21:15 the evening before, 2.75 h before midnight: what ends 24.5 h on ends at 21:45 of the day after that evening.
	evening := dosing.Batch{Start: -2.75, Aged: -0.25, Expires: 21.75}
	if got := dayWord(evening.Start, -1) + ", " + agedAt(evening, -1) + ", " + useBy(evening, -1); got != "the evening before, 23:45, 21:45 of the next day" {
		t.Error(got)
	}
	// Aged past midnight, it says so; on its own day it says no day.
	for aged, want := range map[quantity.Time]string{8.5: "08:30", 24.5: "00:30 tomorrow"} {
		if got := agedAt(dosing.Batch{Start: 6.25, Aged: aged}, 0); got != want {
			t.Errorf("aged at %v: %q, want %q", aged, got, want)
		}
	}
	for h, want := range map[quantity.Time]string{23.5: "23:30", 24: "midnight at the end of today", 48: "midnight at the end of tomorrow", 55.5: "07:30 in 2 days"} {
		if got := dayClock(h); got != want {
			t.Errorf("%v h: %q, want %q", h, got, want)
		}
	}
}

// TestBinsOfTheFirstDay: emptyings until a day after the plan's start, with a reason where early.
func TestBinsOfTheFirstDay(t *testing.T) {
	p := Plan{}
	p.Start = 6
	p.Solids = &dosing.SolidsDay{Bin: &solids.Bin{Name: "bin"}}
	p.Solids.Emptys.Emptyings = []solids.Emptying{{At: 10, Contents: 300}, {At: 29.9, Contents: 356, Early: true}, {At: 30, Contents: 1}, {At: 31, Contents: 1}}
	got := ""
	p.todo = p.WithBin(p.Solids)
	for i, x := range p.data().Objects("tasks") {
		got += fmt.Sprintf("%g %s\n", float64(p.todo[i].At), x.Said("text"))
	}
	if want := "10 empty bin (300 L in it)\n29.9 tomorrow: empty bin (356 L in it): it would run over while nobody is there\n"; got != want {
		t.Errorf("%s, want\n%s", got, want)
	}
}

// TestMomentsPicked: of a run of eleven moments five stand evenly in the time it runs, the first and
// the last among them; a run no longer than asked for stands whole.
func TestMomentsPicked(t *testing.T) {
	var r ClarifyReport
	for i := range 11 {
		r.Moments = append(r.Moments, clarify.Moment{At: quantity.Time(i), Running: quantity.Time(i)})
	}
	r.Time, r.Running = 10, 10
	for n, want := range map[int]string{5: "[0 3 5 8 10]", 2: "[0 10]", 11: "[0 1 2 3 4 5 6 7 8 9 10]", 12: "[0 1 2 3 4 5 6 7 8 9 10]", 10: "[0 2 3 4 5 6 7 8 9 10]"} {
		var at []float64
		for _, m := range r.sample(n) {
			at = append(at, float64(m.At))
		}
		if got := fmt.Sprint(at); got != want {
			t.Errorf("%d of 11: %s, want %s", n, got, want)
		}
	}
	// Ten hours of a night without the unit, after four: no row of it but that of the stop, and that of the morning where the run goes on.
	for i := range r.Moments {
		if i > 4 {
			r.Moments[i].At, r.Moments[i].Running = quantity.Time(i+10), quantity.Time(i)
		}
	}
	night := clarify.Moment{At: 9, Running: 4}
	r.Moments, r.Time = slices.Insert(r.Moments, 5, night, clarify.Moment{At: 14, Running: 4}), 20
	var at []float64
	for _, m := range r.sample(6) {
		at = append(at, float64(m.At))
	}
	if got := fmt.Sprint(at); got != "[0 2 4 16 18 20]" {
		t.Errorf("over a night: %s", got)
	}
}

// TestNamesListed puts "and" before the last.
func TestNamesListed(t *testing.T) {
	for want, names := range map[string][]string{"": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		if got := listed(names); got != want {
			t.Errorf("%v: %q", names, got)
		}
	}
}

// TestAcceptedIsSaidOnce: a note of an accepted stop is left out below, others stay.
func TestAcceptedIsSaidOnce(t *testing.T) {
	l := note.List{note.New(note.Stop, "x", "stop it"), note.New(note.Caution, "x", "accepted by the keeper"), note.New(note.Caution, "x", "high"),
		note.New(note.Caution, "y", "accepted by nobody"), note.New(note.Info, "z", "known")}
	taken := []caution.Taken{{Stop: note.New(note.Stop, "x", "stop it")}}
	got := ""
	for _, n := range below(l, note.Stop, taken) {
		got += n.Message + "; "
	}
	if want := "high; accepted by nobody; known; "; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestOnePumpsPicture: one pump gives its name to the picture, and a comma stands in its labels.
func TestOnePumpsPicture(t *testing.T) {
	r := pumpReport(t, 1.0123457, nil, settlerWorks)
	r.Pumps = r.Pumps[:1]
	d := r.Drawing(Options{})
	if d.Title != "Pump 1 (alum) at 38 % feeds 11.1 mL/min" || len(d.Panels) != 1 {
		t.Errorf("%q with %d plots", d.Title, len(d.Panels))
	}
	for s, want := range map[quantity.Setting]string{37.26: "37,3 %", 38: "38 %"} {
		if got := (Options{DecimalComma: true}).Show(knob("", s, 3)); got != want {
			t.Errorf("%v is written %q, want %q", s, got, want)
		}
	}
	a := r.Pumps[0]
	for rate, want := range map[quantity.FeedRate]float64{0: 100, 5: 5, 5.01: 10, 10: 10, 10.3: 20, 20.1: 50, 4000: 5000, 6000: 10000} { // at least a minute's feed
		if got := a.column(rate).In("mL"); got != want {
			t.Errorf("at %v a column of %v mL, want %v", rate, got, want)
		}
	}
	if a.Column = 0.25; a.column(10).In("mL") != 250 {
		t.Error("a column that is there goes first")
	}
	if (PumpAnswer{}).end(pump.Position{Setting: 20, Stroke: 60}).Fig("setting").Form != figure.Brief {
		t.Error("a knob's place has no idle zeros")
	}
}
