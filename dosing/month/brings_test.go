package month

import (
	"testing"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// TestBinFullByTheCalendar: 30 m3/h with 220 mg/L caught to 92 % at 4 % dry are 151.8 L of float an hour, so that 5400 L are full after
// 35 h 34 min of running. From Thursday 7 January on, with 10 h a day from 07:00 and the weekend closed, that is 10 h on Thursday, Friday
// and Monday, and 5 h 34 min on Tuesday the 12th. Of 6 h on the Monday the Tuesday has 9 h 34 min to run; at 20 m3/h on the Monday, whose
// 10 h bring 1012 L, it is full after 5400 - 2 x 1518 - 1012 = 1352 L, 8 h 54 min, of the Tuesday. Nobody knows the day where a clean-up
// comes before, and none where the works close for good.
func TestBinFullByTheCalendar(t *testing.T) {
	const perHour = 30 * 0.22 * 0.92 / 0.04
	monday := func(r site.Day) site.Day { r.From = on(2027, 1, 11); return r }
	for name, x := range map[string]struct {
		row        site.Day
		at, inside float64
		never      bool
		noDate     bool
	}{
		"weekend":         {monday(site.Day{Hours: quantity.Some[quantity.Time](10)}), 5*24 + 7 + 5400/perHour - 30, 5400 / perHour, false, false},
		"short day":       {monday(site.Day{Hours: quantity.Some[quantity.Time](6)}), 5*24 + 7 + 5400/perHour - 26, 5400 / perHour, false, false},
		"other flow":      {monday(site.Day{Flow: quantity.Some[quantity.Flow](20)}), 5*24 + 7 + (5400-20*perHour-10*perHour*2/3)/perHour, 30 + (5400-20*perHour-10*perHour*2/3)/perHour, false, false},
		"clean-up":        {monday(site.Day{CleanUp: quantity.Some[quantity.Volume](50000)}), 0, 0, false, true},
		"closed for good": {site.Day{From: on(2027, 1, 8), Till: on(2099, 1, 1), Runs: quantity.Some(false)}, 0, 0, true, false},
	} {
		s := listedSite(append(weekdays(), x.row)...)
		s.Tanks[1].Now = quantity.Some[quantity.Volume](0)
		of, p := planOn(t, s, catalogued, Date{2027, 1, 7})
		bin := p.Solids(of)
		if bin.NoDate != x.noDate || !x.noDate && bin.Emptys.Fills == x.never {
			t.Errorf("%s: date not known %v, fills %v", name, bin.NoDate, bin.Emptys.Fills)
			continue
		}
		if x.noDate || x.never {
			continue
		}
		near(t, name+": full at", float64(bin.Emptys.FullAt), x.at)
		near(t, name+": running till then", float64(bin.Emptys.FullIn), x.inside)
	}
}
