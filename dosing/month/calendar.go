package month

import (
	"cmp"
	"math"
	"time"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// UsualWater is the class of a day whose water is not known beforehand: its
// doses are the classes' doses weighted by their share of days.
const UsualWater = "usual mix"

// Pattern is what happens on one day of the week.
type Pattern struct {
	Operating bool
	// Share of the design flow that is treated on this day.
	Share quantity.Fraction
	// Hours of treatment, 0 to 24.
	Hours quantity.Time
	// Delivery is true where a delivery may arrive on this day.
	Delivery bool
	// CleanUp is as in [Exception].
	CleanUp quantity.Volume
}

// Exception is a day of the month that differs from its weekday. Fields that
// are left at zero follow the weekday.
type Exception struct {
	Date Date
	// Closed means that nothing is treated; Open that the day is worked although its weekday is free.
	Closed, Open bool
	// Flow replaces the flow of the day.
	Flow  quantity.Flow
	Hours quantity.Time
	// CleanUp is water passed through the unit to clean a tank, on top of the ordinary flow.
	CleanUp quantity.Volume
	// Class of the raw water expected.
	Class string
	// NoDelivery means that nothing can be delivered (a holiday).
	NoDelivery bool
	Remark     string
	At         note.Place
}

// Calendar is how a month is worked.
type Calendar struct {
	Month Month
	// Flow is the design flow; a day treats Flow × Season × the share of its weekday.
	Flow quantity.Flow
	// Season is the flow of this month over the design flow; zero counts as 1.
	Season     quantity.Ratio
	Week       [7]Pattern // by time.Weekday: Sunday first
	Exceptions []Exception
	// CleanFlow is the flow through the unit in clean-ups that count as a whole on the day on which
	// they begin, however long they take; zero lets them run at the day's flow for what is left of it.
	CleanFlow quantity.Flow
	// CleanTime is how long one of these takes by the clock: on days in a row that all have one it goes on while it lasts.
	CleanTime quantity.Time
}

// EveryDay gives a week in which each day treats the whole design flow for so
// many hours, with deliveries from Monday to Friday.
func EveryDay(hours quantity.Time) [7]Pattern {
	var w [7]Pattern
	for d := range w {
		wd := time.Weekday(d)
		w[d] = Pattern{Operating: true, Share: 1, Hours: hours, Delivery: wd != time.Saturday && wd != time.Sunday}
	}
	return w
}

// Day is one day as the calendar plans it.
type Day struct {
	Date      Date
	Operating bool
	Flow      quantity.Flow // while treating
	// OwnFlow is true where Flow was given for this day and does not follow the design flow.
	OwnFlow bool
	Hours   quantity.Time
	CleanUp quantity.Volume
	// Cleaning is how much longer the unit runs for the clean-up: as long as it takes where it counts
	// as a whole, else at the day's flow, or beside the ordinary water where the day has no hours left.
	Cleaning quantity.Time
	// GoesOn is true where a clean-up of the days before goes on, with which it counts.
	GoesOn   bool
	Class    string // UsualWater where none was named
	Delivery bool   // a delivery may arrive
	// InMonth is false for the days after the month that are only looked at to place orders in time.
	InMonth bool
	Remark  string
}

// Treated is the water treated on the day: flow times hours, and the clean-up.
func (d Day) Treated() quantity.Volume {
	v := d.CleanUp
	if d.Operating {
		v += quantity.Volume(float64(d.Flow) * float64(d.Hours) * 1000)
	}
	return v
}

// Running gives how long the unit runs on the day.
func (d Day) Running() quantity.Time {
	if !d.Operating {
		return d.Cleaning
	}
	return d.Hours + d.Cleaning
}

// cleans works out the running time of a clean-up: all of it at a flow of its own, else at
// most what is left of the day; design is the flow where the day treats nothing else and
// has none of its own.
func (d *Day) cleans(design, own quantity.Flow) {
	switch d.Cleaning = 0; {
	case d.CleanUp <= 0:
		return
	case own > 0:
		d.Cleaning = quantity.Time(d.CleanUp.In("m3") / float64(own))
		return
	}
	flow := d.Flow
	if flow <= 0 || !d.Operating && !d.OwnFlow {
		flow = design
	}
	left := quantity.Time(24)
	if d.Operating {
		left -= d.Hours
	}
	d.Cleaning = min(left, quantity.Time(d.CleanUp.In("m3")/float64(flow))) // without flow all the time there is
}

// lookBack is how many days before a month are looked at for a clean-up that goes on into it.
const lookBack = 62

// Days lists the days of the month and so many after it.
func (c Calendar) Days(after int) ([]Day, error) {
	days, err := c.withBefore(after)
	return days[c.before():], err
}

// before is how many days before the month matter to it: those from which a clean-up could go on.
func (c Calendar) before() int {
	if c.CleanTime > 24 {
		return lookBack
	}
	return 0
}

// withBefore is [Calendar.Days] with the days before the month that matter to it.
func (c Calendar) withBefore(after int) ([]Day, error) {
	design := c.Flow * quantity.Flow(cmp.Or(c.Season, 1))
	before := c.before()
	start := c.Month.First().AddDays(-before)
	days := make([]Day, before+c.Month.Days()+after)
	for i := range days {
		date := start.AddDays(i)
		p := c.Week[date.Weekday()]
		days[i] = Day{Date: date, Operating: p.Operating, Flow: design * quantity.Flow(p.Share), Hours: p.Hours, Class: UsualWater,
			Delivery: p.Delivery, InMonth: MonthOf(date) == c.Month, CleanUp: p.CleanUp}
		days[i].cleans(design, c.CleanFlow)
	}
	var faults note.List
	seen := map[Date]bool{}
	for _, e := range c.Exceptions {
		found := e.check(seen[e.Date])
		faults.Add(found...)
		if len(found) > 0 {
			continue
		}
		seen[e.Date] = true
		if i := start.DaysTo(e.Date); i >= 0 && i < len(days) { // else a row for another month
			days[i].change(e, design)
			days[i].cleans(design, c.CleanFlow)
		}
	}
	c.goOn(days)
	return days, faults.Err()
}

// goOn leaves of a clean-up that days in a row have the first of the days that it takes, where it counts as a whole. A row that
// begins before all days that are looked at counts from one fixed day, so that each month goes on where the one before ends.
func (c Calendar) goOn(days []Day) {
	takes := max(1, math.Ceil(float64(c.CleanTime/24)))
	endless := c.before() > 0
	for i, first := 0, -1; i < len(days); i++ {
		switch d := &days[i]; {
		case d.CleanUp <= 0:
			first, endless = -1, false
		case endless && first < 0 && math.Mod(d.Date.Serial(), takes) != 0:
			d.CleanUp, d.Cleaning, d.GoesOn = 0, 0, true
		case first >= 0 && quantity.Time(24*(i-first)) < c.CleanTime:
			d.CleanUp, d.Cleaning, d.GoesOn = 0, 0, true
		default:
			first = i
		}
	}
}

// check finds what is impossible in a row of the calendar.
func (e Exception) check(twice bool) note.List {
	bad := func(code, remedy, format string, args ...any) note.Note {
		return note.Fault(code, format, args...).Do("%s", remedy).At(e.At)
	}
	return told(
		row{twice, bad("day-twice", "keep one row for each day", "%s stands in the calendar twice", e.Date)},
		row{e.Closed && e.Open, bad("open-and-closed", "keep one of the two", "%s is marked both open and closed", e.Date)},
		row{e.Hours < 0 || e.Hours > 24, bad("bad-hours", "a day has 0 to 24 h", "%s has %s of treatment", e.Date, e.Hours)},
		row{e.Flow < 0 || e.CleanUp < 0, bad("negative-flow", "a flow is zero or more", "%s has a negative flow or volume", e.Date)},
	)
}

// change makes the day what its row of the calendar says, at the design flow where
// it is worked although its weekday is free.
func (d *Day) change(e Exception, design quantity.Flow) {
	if e.Open {
		d.Operating, d.Hours, d.Flow = true, cmp.Or(d.Hours, 24), cmp.Or(d.Flow, design)
	}
	d.Operating, d.Delivery = d.Operating && !e.Closed, d.Delivery && !e.NoDelivery
	d.OwnFlow, d.Flow = e.Flow > 0, cmp.Or(e.Flow, d.Flow)
	d.Hours, d.Class = cmp.Or(e.Hours, d.Hours), cmp.Or(e.Class, d.Class)
	if d.Remark = e.Remark; e.CleanUp > 0 || e.Closed {
		d.CleanUp = e.CleanUp
	}
}

// RoughWeeks are the weeks of the handbook's month (UFC 3-280-03, design example 1).
const RoughWeeks = 4.33

// RoughMonth is the handbook's month: so much a day, so many days a week, so
// many weeks a month ([RoughWeeks] is usual). It ignores the calendar and serves as a
// check on it. UFC 3-280-03 (US DoD, 2003), design example 1, uses 5 days and 4.33 weeks.
func RoughMonth(perDay quantity.MassRate, daysPerWeek, weeksPerMonth float64) quantity.Mass {
	return quantity.Mass(float64(perDay) * daysPerWeek * weeksPerMonth)
}
