package month

import (
	"testing"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// workDays gives a week in which only Monday to Friday are worked.
func workDays(hours quantity.Time) [7]Pattern {
	w := EveryDay(hours)
	w[time.Saturday].Operating, w[time.Sunday].Operating = false, false
	return w
}

// TestMonthLengths: the Gregorian rules for February, from the rule itself
// (divisible by 4, not by 100 unless by 400).
func TestMonthLengths(t *testing.T) {
	for y := 1896; y <= 2404; y++ {
		want := 28
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			want = 29
		}
		if got := (Month{y, time.February}).Days(); got != want {
			t.Errorf("February %d has %d days, want %d", y, got, want)
		}
		year := 0
		for m := time.January; m <= time.December; m++ {
			year += Month{y, m}.Days()
		}
		if year != 337+want {
			t.Errorf("%d has %d days, want %d", y, year, 337+want)
		}
	}
}

// TestEveryMonthHasWholeWeeks: whatever weekday a month starts on, its days are
// consecutive, and 28 of them hold each weekday four times.
func TestEveryMonthHasWholeWeeks(t *testing.T) {
	for m := (Month{2024, time.January}); m.Year < 2032; m = m.Next() {
		days, err := Calendar{Month: m, Flow: 1, Week: workDays(8)}.Days(3)
		if err != nil {
			t.Fatal(err)
		}
		if len(days) != m.Days()+3 || !days[m.Days()-1].InMonth || days[m.Days()].InMonth {
			t.Fatalf("%s: wrong days", m)
		}
		worked := 0
		for i, d := range days {
			if i > 0 && (days[i-1].Date.DaysTo(d.Date) != 1 || (days[i-1].Date.Weekday()+1)%7 != d.Date.Weekday()) {
				t.Errorf("%s does not follow %s", d.Date, days[i-1].Date)
			}
			if i < 28 && d.Operating {
				worked++
			}
			if weekend := d.Date.Weekday() == time.Saturday || d.Date.Weekday() == time.Sunday; d.Operating == weekend {
				t.Errorf("%s (%s) operating: %v", d.Date, d.Date.Weekday(), d.Operating)
			}
		}
		if worked != 20 {
			t.Errorf("%s: %d worked days in the first 28, want 20", m, worked)
		}
	}
}

// TestNoZones: a date taken from a clock time is the day that its own zone
// shows, and the days on which clocks change are days like any other.
func TestNoZones(t *testing.T) {
	west, east := time.FixedZone("west", -11*3600), time.FixedZone("east", 14*3600)
	for _, z := range []*time.Location{time.UTC, west, east} {
		if got := DateOf(time.Date(2026, 3, 29, 0, 30, 0, 0, z)); got != (Date{2026, time.March, 29}) {
			t.Errorf("%v: %s", z, got)
		}
	}
	b := must(t, flat(1, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"}))
	p := flat(1, 24, 10, quantity.Price{Amount: 1, Currency: "EUR", Per: "kg"})
	for _, m := range []Month{{2026, time.March}, {2026, time.October}, {2026, time.November}} { // months with a change of clocks somewhere
		p.Calendar.Month = m
		per := float64(must(t, p).Accounts[0].Use) / float64(m.Days())
		near(t, m.String()+" kg/d", per, float64(b.Accounts[0].Use)/30)
	}
}

func TestExceptions(t *testing.T) {
	d := func(n int) Date { return Date{2027, time.May, n} }
	c := Calendar{Month: Month{2027, time.May}, Flow: 10, Season: 0.5, Week: workDays(8), Exceptions: []Exception{
		{Date: d(1), Open: true},                         // a Saturday
		{Date: d(3), Closed: true, CleanUp: 50000},       // a Monday
		{Date: d(4), Flow: 7, Hours: 4},                  //
		{Date: d(5), Class: "storm", NoDelivery: true},   //
		{Date: Date{2027, time.June, 1}, Closed: true},   // looked at, not counted
		{Date: Date{2027, time.August, 1}, Closed: true}, // another month
	}}
	days, err := c.Days(2)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]float64{0: 40, 1: 0, 2: 50, 3: 28, 4: 40, 7: 0, 31: 0, 32: 40} {
		near(t, days[i].Date.String()+" m3", days[i].Treated().In("m3"), want)
	}
	if days[4].Delivery || days[4].Class != "storm" || !days[3].OwnFlow {
		t.Errorf("5 May: %+v", days[4])
	}
	c.Exceptions = []Exception{{Date: d(1), Open: true, Closed: true}, {Date: d(2), Hours: 25}, {Date: d(3), Flow: -1}, {Date: d(4)}, {Date: d(4)}}
	_, err = c.Days(0)
	if l := note.Of(err, ""); len(l) != 4 {
		t.Errorf("want 4 faults, have %v", err)
	}
}

// TestDayOff: a day off that is worked takes the whole design flow of the season
// for 24 h, unless its weekday or its row says otherwise.
func TestDayOff(t *testing.T) {
	c := Calendar{Month: Month{2027, time.May}, Flow: 10, Season: 0.5}
	c.Week[time.Sunday] = Pattern{Share: 0.4, Hours: 6}
	d := func(n int) Date { return Date{2027, time.May, n} }
	for _, x := range []struct {
		row  Exception
		want float64 // m3
	}{
		{Exception{Date: d(1), Open: true}, 5 * 24},                   // a Saturday, of which the week says nothing
		{Exception{Date: d(1), Open: true, Hours: 3}, 5 * 3},          //
		{Exception{Date: d(1), Open: true, Flow: 0.5}, 0.5 * 24},      //
		{Exception{Date: d(1), Open: true, CleanUp: 500}, 5*24 + 0.5}, //
		{Exception{Date: d(2), Open: true}, 2 * 6},                    // a Sunday
		{Exception{Date: d(2), Open: true, Hours: 24}, 2 * 24},        //
		{Exception{Date: d(2), Flow: 9, Hours: 9}, 0},                 // still off
		{Exception{Date: d(2), Open: true, Hours: 0.5, Flow: 1}, 0.5}, //
	} {
		c.Exceptions = []Exception{x.row}
		days, err := c.Days(0)
		if err != nil {
			t.Fatal(err)
		}
		day := days[x.row.Date.Day-1]
		near(t, x.row.Date.String()+" m3", day.Treated().In("m3"), x.want)
		if day.OwnFlow != (x.row.Flow > 0) || day.Operating != x.row.Open {
			t.Errorf("%+v", day)
		}
	}
	c.Season, c.Exceptions = 0, nil
	c.Week = EveryDay(2)
	days, err := c.Days(1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "without a season", days[31].Treated().In("m3"), 20)
	for _, x := range []Exception{{Date: d(1), Hours: -0.5}, {Date: d(1), Hours: 24.5}, {Date: d(1), Flow: -0.5}, {Date: d(1), CleanUp: -0.5}} {
		c.Exceptions = []Exception{x}
		if _, err := c.Days(0); err == nil {
			t.Errorf("%+v passes", x)
		}
	}
	near(t, "a rough month", float64(RoughMonth(2, 5, 4)), 40)
}

// TestSerial: days as spreadsheets count them: 1 March 1900 is 61 and 1 January
// 2024 is 45292 (read off a spreadsheet), with the 366 days of 2024 after it.
func TestSerial(t *testing.T) {
	for want, d := range map[float64]Date{61: {1900, time.March, 1}, 45292: {2024, time.January, 1}, 45658: {2025, time.January, 1}} {
		if got := d.Serial(); got != want {
			t.Errorf("%s is %g, want %g", d, got, want)
		}
		if got := SerialDate(want); got != d {
			t.Errorf("%g is %s, want %s", want, got, d)
		}
	}
	a, b := Date{2027, time.May, 1}, Date{2027, time.May, 2}
	if !a.Before(b) || b.Before(a) || a.Before(a) || a.DaysTo(b) != 1 || b.DaysTo(a) != -1 {
		t.Error("the 1st is the day before the 2nd")
	}
}
