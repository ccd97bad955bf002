package month

import (
	"testing"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

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
		days, err := Calendar{Month: m, Flow: 1, Week: WorkDays(8)}.Days(3)
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
	c := Calendar{Month: Month{2027, time.May}, Flow: 10, Season: 0.5, Week: WorkDays(8), Exceptions: []Exception{
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
