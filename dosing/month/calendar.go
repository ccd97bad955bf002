package month

import (
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
	// Cleaning is how much longer the unit runs for the clean-up: at the day's flow,
	// or beside the ordinary water where the day has no hours left.
	Cleaning quantity.Time
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

// cleans works out the running time of a clean-up; design is the flow where the
// day treats nothing else and has none of its own.
func (d *Day) cleans(design quantity.Flow) {
	flow := d.Flow
	if flow <= 0 || !d.Operating && !d.OwnFlow {
		flow = design
	}
	if d.CleanUp <= 0 {
		return
	}
	d.Cleaning = 24
	if d.Operating {
		d.Cleaning -= d.Hours
	}
	if flow > 0 { // else it takes all the time there is
		d.Cleaning = min(d.Cleaning, quantity.Time(d.CleanUp.In("m3")/float64(flow)))
	}
}

// Days lists the days of the month and so many after it.
func (c Calendar) Days(after int) ([]Day, error) {
	var faults note.List
	n := c.Month.Days() + after
	days := make([]Day, n)
	season := float64(c.Season)
	if season == 0 {
		season = 1
	}
	for i := range days {
		date := c.Month.First().AddDays(i)
		p := c.Week[date.Weekday()]
		d := Day{Date: date, Operating: p.Operating, Hours: p.Hours, Class: UsualWater, Delivery: p.Delivery, InMonth: i < c.Month.Days()}
		d.Flow = quantity.Flow(float64(c.Flow) * season * float64(p.Share))
		days[i] = d
	}
	seen := map[Date]bool{}
	for _, e := range c.Exceptions {
		i := c.Month.First().DaysTo(e.Date)
		switch {
		case seen[e.Date]:
			faults.Add(note.Fault("day-twice", "%s stands in the calendar twice", e.Date).Do("keep one row for each day").At(e.At))
			continue
		case e.Closed && e.Open:
			faults.Add(note.Fault("open-and-closed", "%s is marked both open and closed", e.Date).Do("keep one of the two").At(e.At))
			continue
		case e.Hours < 0 || e.Hours > 24:
			faults.Add(note.Fault("bad-hours", "%s has %s of treatment", e.Date, e.Hours).Do("a day has 0 to 24 h").At(e.At))
			continue
		case e.Flow < 0 || e.CleanUp < 0:
			faults.Add(note.Fault("negative-flow", "%s has a negative flow or volume", e.Date).Do("a flow is zero or more").At(e.At))
			continue
		}
		seen[e.Date] = true
		if i < 0 || i >= n {
			continue // a row for another month
		}
		d := &days[i]
		if e.Open {
			d.Operating = true
			if d.Hours == 0 {
				d.Hours = 24
			}
			if d.Flow == 0 {
				d.Flow = quantity.Flow(float64(c.Flow) * season)
			}
		}
		if e.Closed {
			d.Operating = false
		}
		if e.Flow > 0 {
			d.Flow, d.OwnFlow = e.Flow, true
		}
		if e.Hours > 0 {
			d.Hours = e.Hours
		}
		if e.Class != "" {
			d.Class = e.Class
		}
		if e.NoDelivery {
			d.Delivery = false
		}
		d.CleanUp, d.Remark = e.CleanUp, e.Remark
		d.cleans(quantity.Flow(float64(c.Flow) * season))
	}
	return days, faults.Err()
}

// RoughWeeks are the weeks of the handbook's month (UFC 3-280-03, design example 1).
const RoughWeeks = 4.33

// RoughMonth is the handbook's month: so much a day, so many days a week, so
// many weeks a month ([RoughWeeks] is usual). It ignores the calendar and serves as a
// check on it. UFC 3-280-03 (US DoD, 2003), design example 1, uses 5 days and 4.33 weeks.
func RoughMonth(perDay quantity.MassRate, daysPerWeek, weeksPerMonth float64) quantity.Mass {
	return quantity.Mass(float64(perDay) * daysPerWeek * weeksPerMonth)
}
