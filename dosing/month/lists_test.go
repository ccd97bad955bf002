package month

import (
	"math"
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// listedSite doses a neat product of 0.75 L an hour from a day tank of 22.5 L that lasts longer than a day of ten hours, and floats off solids
// into a bin of 5.4 m3 that lasts longer too.
func listedSite(rows ...site.Day) site.Site {
	s := site.Site{File: "lists", Calendar: rows}
	s.Place.From, s.Place.Till = quantity.Some[quantity.Time](6.5), quantity.Some[quantity.Time](17.5)
	s.Place.Date = on(2027, 1, 4)
	s.Flow.Average, s.Flow.Start, s.Flow.Hours = quantity.Some[quantity.Flow](30), quantity.Some[quantity.Time](7), quantity.Some[quantity.Time](10)
	s.Water.TSS = quantity.Some[quantity.Concentration](220)
	s.Chemicals = []site.Chemical{{Name: quantity.Some("caustic"), Product: quantity.Some("caustic-25"), Dose: quantity.Some[quantity.Concentration](32),
		Basis: quantity.Some(quantity.AsProduct), Stock: quantity.Some("neat"), Pump: quantity.Some("pump"), Density: quantity.Some[quantity.Density](1.28)}}
	s.Stocks = []site.Stock{{Name: quantity.Some("neat"), Tank: quantity.Some("day tank")}}
	s.Pumps = []site.Pump{{Name: quantity.Some("pump"), Max: quantity.Some(quantity.FeedRate(2500. / 60))}}
	s.Tanks = []site.Tank{{Name: quantity.Some("day tank"), Volume: quantity.Some[quantity.Volume](25), Usable: quantity.Some[quantity.Fraction](0.9)},
		{Name: quantity.Some("bin"), Volume: quantity.Some[quantity.Volume](6000), Usable: quantity.Some[quantity.Fraction](0.9)}}
	s.Solids.Bin, s.Solids.Unit, s.Solids.Capture, s.Solids.FloatSolids = quantity.Some("bin"), quantity.Some(site.UnitFlotation), quantity.Some[quantity.Fraction](0.92), quantity.Some[quantity.Fraction](0.04)
	return s
}

// weekdays closes Saturday and Sunday.
func weekdays() (rows []site.Day) {
	for _, day := range []string{"Saturday", "Sunday"} {
		rows = append(rows, site.Day{Weekday: quantity.Some(day), Runs: quantity.Some(false)})
	}
	return rows
}

// TestListsFollowOneAnother: whoever does what the lists of eight weeks say, with a tank and a bin that last longer than a day, finds each
// at the start of a list as the list before left it: no tank is dry, no bin runs over, and what a list says of them at a filling or an
// emptying is what the drawing and floating since the last one comes to, counted here from rate and hours alone.
func TestListsFollowOneAnother(t *testing.T) {
	dated := append(weekdays(), site.Day{From: on(2027, 1, 1), Runs: quantity.Some(false)}, site.Day{From: on(2027, 1, 13), Hours: quantity.Some[quantity.Time](6)},
		site.Day{From: on(2027, 1, 20), Flow: quantity.Some[quantity.Flow](20)})
	for name, rows := range map[string][]site.Day{"no calendar": nil, "weekends closed": weekdays(), "dated rows": dated} {
		t.Run(name, func(t *testing.T) {
			followLists(t, listedSite(rows...))
		})
	}
}

func followLists(t *testing.T, s site.Site) {
	tank, bin, fills, empties := math.NaN(), math.NaN(), 0, 0 // until a list tells them
	for d := (Date{2027, 1, 4}); d.Before(Date{2027, 3, 1}); d = d.AddDays(1) {
		if closedOn(s, d) != nil {
			continue
		}
		of, p := planOn(t, s, catalogued, d)
		if err := p.Notes.Err(); err != nil {
			t.Fatal(d, err)
		}
		f, solids := p.Feeds[0], p.Solids(of)
		flowed, till := float64(of.Flow.Average.V), 7+float64(of.Flow.Hours.V)
		rate, at := flowed*32/1.28e3, 7. // L/h: a product of 1.28 kg/L at 32 mg/L
		caught := flowed * 0.22 * 0.92   // kg/h dry, at 4 % by mass and 1 kg/L
		draw := func(to float64) float64 { return rate * math.Max(0, math.Min(to, till)-7) }
		for _, b := range f.First {
			left := tank - draw(float64(b.Moved))
			if math.Abs(left-float64(b.Left)) > 0.05 {
				t.Errorf("%v: filled at %.3g L, and %.3g L stand there", d, float64(b.Left), left)
			}
			fills, tank = fills+1, float64(b.Full)+draw(float64(b.Moved))
		}
		if tank -= draw(24); tank < -0.05 {
			t.Errorf("%v: the tank is %.3g L short", d, -tank)
		}
		floated := func(to float64) float64 { return caught / 0.04 * math.Max(0, math.Min(to, till)-at) }
		for _, e := range solids.Today(p.Start) {
			if stands := bin + floated(float64(e.At)); math.Abs(stands-float64(e.Contents)) > 50 {
				t.Errorf("%v: emptied of %.4g L, and %.4g L stand there", d, float64(e.Contents), stands)
			}
			empties, bin, at = empties+1, 0, float64(e.At)
		}
		if bin += floated(24); bin > 5400*1.01 {
			t.Errorf("%v: %.4g L in a bin of 5400 L", d, bin)
		}
	}
	if fills < 15 || empties < 10 {
		t.Errorf("only %d fillings, %d emptyings", fills, empties)
	}
}
