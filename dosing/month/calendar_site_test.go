package month

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func on(year int, month time.Month, day int) quantity.Known[time.Time] {
	return quantity.Some(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// laidOut is the calendar of May 2027, which begins on a Saturday, after a site's rules. The
// plant runs at 4 m3/h every day but Sunday.
func laidOut(rules ...site.Day) (Calendar, *adapter) {
	a := &adapter{site: site.Site{Calendar: rules}}
	p := Plan{Calendar: Calendar{Month: Month{2027, time.May}, Flow: 4, Week: EveryDay(10)}}
	p.Calendar.Week[time.Sunday].Operating = false
	a.calendar(&p)
	return p.Calendar, a
}

// TestDatedRules: a rule holds from its first day to its last, both counted.
func TestDatedRules(t *testing.T) {
	yes, no := quantity.Some(true), quantity.Some(false)
	for _, x := range []struct {
		what string
		rule site.Day
		want []Exception
	}{
		{"one day", site.Day{From: on(2027, 5, 4), Runs: no}, []Exception{{Date: Date{2027, 5, 4}, Closed: true}}},
		{"from and till one day", site.Day{From: on(2027, 5, 4), Till: on(2027, 5, 4), Runs: no}, []Exception{{Date: Date{2027, 5, 4}, Closed: true}}},
		{"over the end of a month", site.Day{From: on(2027, 4, 30), Till: on(2027, 5, 1), Runs: yes}, []Exception{{Date: Date{2027, 4, 30}}, {Date: Date{2027, 5, 1}}}},
		{"a Sunday worked, a Monday as ever", site.Day{From: on(2027, 5, 2), Till: on(2027, 5, 3), Runs: yes}, []Exception{{Date: Date{2027, 5, 2}, Open: true}, {Date: Date{2027, 5, 3}}}},
		{"no delivery", site.Day{From: on(2027, 5, 4), Runs: yes, Brings: no}, []Exception{{Date: Date{2027, 5, 4}, NoDelivery: true}}},
		{"a delivery", site.Day{From: on(2027, 5, 4), Runs: yes, Brings: yes}, []Exception{{Date: Date{2027, 5, 4}}}},
		{"all that a rule can say", site.Day{From: on(2027, 5, 4), Runs: yes, Flow: quantity.Some[quantity.Flow](5), Hours: quantity.Some[quantity.Time](6), CleanUp: quantity.Some[quantity.Volume](700),
			Water: quantity.Some("storm"), Note: quantity.Some("tank 3"), At: note.Place{Cell: "A8"}},
			[]Exception{{Date: Date{2027, 5, 4}, Flow: 5, Hours: 6, CleanUp: 700, Class: "storm", Remark: "tank 3", At: note.Place{Cell: "A8"}}}},
	} {
		c, a := laidOut(x.rule)
		if len(a.faults) > 0 || len(c.Exceptions) != len(x.want) {
			t.Errorf("%s: %+v %v", x.what, c.Exceptions, a.faults)
			continue
		}
		for i, want := range x.want {
			if c.Exceptions[i] != want {
				t.Errorf("%s: %+v, want %+v", x.what, c.Exceptions[i], want)
			}
		}
	}
	// Twenty years are 7305 days; the first 3700 are enough for any budget.
	c, a := laidOut(site.Day{From: on(2020, 1, 1), Till: on(2039, 12, 31), Runs: no})
	if last := c.Exceptions[len(c.Exceptions)-1].Date; len(c.Exceptions) != 3700 || len(a.faults) > 0 || last != (Date{2020, 1, 1}).AddDays(3699) {
		t.Errorf("%d days to %s", len(c.Exceptions), last)
	}
}

// TestRuleFaults: one fault for a rule, with its cell; the other rules stand.
func TestRuleFaults(t *testing.T) {
	no := quantity.Some(false)
	good := site.Day{From: on(2027, 5, 10), Till: on(2027, 5, 12), Runs: no}
	again := site.Day{From: on(2027, 5, 11), Till: on(2027, 5, 14), Runs: no}
	again.From.At = note.Place{Cell: "A4"}
	backwards := site.Day{From: on(2027, 5, 4), Till: on(2027, 5, 3), Runs: no}
	backwards.Till.At = note.Place{Cell: "A5"}
	for code, x := range map[string]struct {
		rule site.Day
		cell string
	}{"day-twice": {again, "A4"}, "days-backwards": {backwards, "A5"}, "rule-without-day": {site.Day{Runs: no, At: note.Place{Cell: "A6"}}, "A6"}} {
		c, a := laidOut(good, x.rule)
		if len(a.faults) != 1 || a.faults[0].Code != code || a.faults[0].Place.Cell != x.cell {
			t.Errorf("%s: %v", code, a.faults)
		}
		if len(c.Exceptions) != 3 {
			t.Errorf("%s: %v", code, c.Exceptions)
		}
	}
}

// TestWeeklyRules: the first flow of a week stands for the design flow where there
// is none; a day that says nothing keeps its hours and deliveries.
func TestWeeklyRules(t *testing.T) {
	a := &adapter{}
	c := Calendar{Week: EveryDay(10)}
	rule := func(d time.Weekday, r site.Day) {
		r.Runs = quantity.Some(true)
		a.weekly(&c, d, r)
	}
	rule(time.Monday, site.Day{Flow: quantity.Some[quantity.Flow](8)})
	rule(time.Tuesday, site.Day{Flow: quantity.Some[quantity.Flow](6), Hours: quantity.Some[quantity.Time](5), Brings: quantity.Some(false)})
	rule(time.Saturday, site.Day{Brings: quantity.Some(true)})
	for d, want := range map[time.Weekday]Pattern{
		time.Monday: {true, 1, 10, true, 0}, time.Tuesday: {true, 0.75, 5, false, 0}, time.Wednesday: {true, 1, 10, true, 0},
		time.Saturday: {true, 1, 10, true, 0}, time.Sunday: {true, 1, 10, false, 0},
	} {
		if c.Week[d] != want {
			t.Errorf("%s: %+v, want %+v", d, c.Week[d], want)
		}
	}
	if c.Flow != 8 || len(a.notes) > 0 {
		t.Errorf("%v %v", c.Flow, a.notes)
	}
	a.notes = nil
	rule(time.Friday, site.Day{Water: quantity.Some("storm")})
	if n, ok := has(a.notes, "rule-ignored"); !ok || len(a.notes) != 1 || !strings.Contains(n.Message, "every Friday") {
		t.Errorf("%v", a.notes)
	}
	rule(time.Thursday, site.Day{CleanUp: quantity.Some[quantity.Volume](700)})
	if w := c.Week[time.Thursday]; w.CleanUp != 700 || len(a.notes) != 1 {
		t.Errorf("%+v %v", w, a.notes)
	}
	week, _ := laidOut(site.Day{Weekday: quantity.Some("tuesday"), Runs: quantity.Some(false)})
	for d, p := range week.Week {
		if off := d == int(time.Sunday) || d == int(time.Tuesday); p.Operating == off || len(week.Exceptions) > 0 {
			t.Errorf("%s: %+v %v", time.Weekday(d), p, week.Exceptions)
		}
	}
}

// TestSeasonByHand: 6 m3/h on every day of a month of 4 m3/h are a season of 1.5,
// closed days aside; anything else leaves the rules' flow as it is.
func TestSeasonByHand(t *testing.T) {
	month := Month{2027, time.May}
	for _, x := range []struct {
		what  string
		spoil func(c *Calendar, byDate map[Date]Exception)
		want  quantity.Ratio
	}{
		{"every day", func(*Calendar, map[Date]Exception) {}, 1.5},
		{"a closed day", func(_ *Calendar, m map[Date]Exception) { m[Date{2027, 5, 9}] = Exception{Closed: true} }, 1.5},
		{"slower than ever", func(c *Calendar, m map[Date]Exception) {
			for d := range m {
				m[d] = Exception{Flow: 0.5}
			}
		}, 0.125},
		{"the last day without a rule", func(_ *Calendar, m map[Date]Exception) { delete(m, Date{2027, 5, 31}) }, 0},
		{"the first day without flow", func(_ *Calendar, m map[Date]Exception) { m[Date{2027, 5, 1}] = Exception{Class: "storm"} }, 0},
		{"two flows", func(_ *Calendar, m map[Date]Exception) { m[Date{2027, 5, 20}] = Exception{Flow: 7} }, 0},
		{"a weekday of its own", func(c *Calendar, _ map[Date]Exception) { c.Week[3].Share = 0.9 }, 0},
		{"no design flow", func(c *Calendar, _ map[Date]Exception) { c.Flow = 0 }, 0},
		{"all closed", func(_ *Calendar, m map[Date]Exception) {
			for d := range m {
				m[d] = Exception{Closed: true}
			}
		}, 0},
	} {
		c := Calendar{Month: month, Flow: 4, Week: EveryDay(10)}
		byDate := map[Date]Exception{}
		for i := range 31 {
			byDate[month.First().AddDays(i)] = Exception{Flow: 6, Remark: "summer"}
		}
		x.spoil(&c, byDate)
		flows := map[Date]quantity.Flow{}
		for d, e := range byDate {
			flows[d], e.Date = e.Flow, d
			c.Exceptions = append(c.Exceptions, e)
		}
		april := Exception{Date: Date{2027, 4, 30}, Flow: 9}
		c.Exceptions = append(c.Exceptions, april)
		a := &adapter{}
		a.season(&c)
		if last := len(c.Exceptions) - 1; c.Exceptions[last] != april {
			t.Errorf("%s: another month %+v", x.what, c.Exceptions[last])
		}
		if math.Abs(float64(c.Season-x.want)) > 1e-12 || len(a.notes) > 0 != (x.want > 0) {
			t.Errorf("%s: season %v, want %v; %v", x.what, c.Season, x.want, a.notes)
		}
		for _, e := range c.Exceptions[:len(byDate)] {
			if x.want > 0 && e.Flow != 0 || x.want == 0 && e.Flow != flows[e.Date] {
				t.Errorf("%s: %s has %v, before %v", x.what, e.Date, e.Flow, flows[e.Date])
			}
		}
		if n, ok := has(a.notes, "season"); ok && x.want == 1.5 && !strings.Contains(n.Message, "May 2027 is planned at 6 m3/h throughout, 1.50 times the average flow") {
			t.Error(n.Message)
		}
	}
}
