package month

import (
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestWhatStandsInAPit: weekends are closed, and on the others 80 m3 leave some 0.9 m3 of sludge at 1 % dry. A skip of 3 m3 is emptied within
// the days that are looked back at, so that it is known what stands in it; in a pit of 100 m3, which they never fill, nobody knows it, unless
// the site says what stood there.
func TestWhatStandsInAPit(t *testing.T) {
	s := site.Site{File: "pit"}
	s.Place.From, s.Place.Till = quantity.Some[quantity.Time](6), quantity.Some[quantity.Time](18)
	s.Flow.Average, s.Flow.Start, s.Flow.Hours = quantity.Some[quantity.Flow](10), quantity.Some[quantity.Time](7), quantity.Some[quantity.Time](8)
	s.Water.TSS = quantity.Some[quantity.Concentration](100)
	s.Chemicals = []site.Chemical{{Name: quantity.Some("alum"), Product: quantity.Some("alum-dry"), Basis: quantity.Some(quantity.AsProduct),
		Dose: quantity.Some[quantity.Concentration](20)}}
	s.Solids.Bin, s.Solids.Unit, s.Solids.Capture, s.Solids.FloatSolids = quantity.Some("pit"), quantity.Some(site.UnitSettler), quantity.Some[quantity.Fraction](1), quantity.Some[quantity.Fraction](0.01)
	for _, day := range []string{"Saturday", "Sunday"} {
		s.Calendar = append(s.Calendar, site.Day{Weekday: quantity.Some(day), Runs: quantity.Some(false)})
	}
	for _, x := range []struct {
		holds quantity.Volume
		now   quantity.Known[quantity.Volume]
		known bool
	}{
		{3000, quantity.Known[quantity.Volume]{}, true},
		{100000, quantity.Known[quantity.Volume]{}, false},
		{100000, quantity.Some[quantity.Volume](500), true},
	} {
		s.Tanks = []site.Tank{{Name: quantity.Some("pit"), Volume: quantity.Some(x.holds), Usable: quantity.Some[quantity.Fraction](1), Now: x.now}}
		e := newCourse(s, catalogued).evening(Date{2026, 6, 10})
		if e == nil {
			t.Fatal("no evening before")
		}
		if e.Bin.OK != x.known || x.known && (e.Bin.V <= 0 || e.Bin.V > x.holds) || x.now.OK && e.Bin.V <= x.now.V {
			t.Errorf("%v, %v: %v", x.holds, x.now, e.Bin)
		}
	}
}
