package dosing

import (
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
)

// fedLoop is a loop of 40 m3 whose new water has 110 mg/L CaCO3, of which 10 % a day is new, cleared at 1 m3/h with 5 mg/L of alum 14-hydrate.
const fedLoop = `place: {name: Loop, purpose: animals, water_passes: recirculating}
water: {temperature: 28 C, ph: 7.6, alkalinity: 110 mg/L CaCO3, alkalinity_is_that_of_new_water: yes, total_ammonia: 0.3 mg/L, turbidity: 15 NTU, new_water: 10 %, water_in_the_system: 40 m3}
flow: {average_flow: 1 m3/h, hours_a_day: 24 h}
chemicals: [{name: alum, product: alum-liquid, dose: 5 mg/L, basis: as alum 14-hydrate, strength: 48.5 %, strength_counts: as alum 14-hydrate, density: 1.335 kg/L, capture: 90 %}]
tanks: [{name: prawn tank, use: animals, volume: 40 m3}]
solids: {unit: flotation, solids_caught: 80 %, tank_to_clean_up: prawn tank, tank_turbidity: 40 NTU, clear_enough_at: 8 NTU}
animals: [{name: prawns, species: giant freshwater prawn, stage: juvenile, reached: always, feed_eaten_a_day: FEED, protein_in_the_feed: 35 %}]
`

// TestCleanUpCountsNitrification: 6 kg/d of feed with 35 % protein bring 0.092 x 0.35 x 6 = 0.1932 kg/d of ammonia nitrogen (Timmons and
// Ebeling, from memory), which take 2 x 50.0437 / 14.007 = 7.145 times as much alkalinity: 1.3805 kg/d, 34.51 mg/L a day of 40 m3. With a tenth
// of the water new a day, 34.51/0.1 x (1 - exp(-0.1 t)) of it is missing after t days. The doses take 0.5051 x 5 mg/L at 24 m3 a day of 40 m3, 1.515 mg/L a
// day, in the same way. The clean-up of 3.33 days is stopped by what stops the plan; with a fifth of the feed nothing stops it and the note says what
// nitrifying takes.
func TestCleanUpCountsNitrification(t *testing.T) {
	for feed, x := range map[string]struct {
		eaten float64
		stops bool
		code  string
	}{"6 kg/d": {6, true, clarify.LoopGone}, "1.2 kg/d": {1.2, false, "alkalinity-nitrified"}} {
		s, err := site.Read("loop.yaml", strings.NewReader(strings.ReplaceAll(fedLoop, "FEED", feed)))
		if err != nil {
			t.Fatal(err)
		}
		in, err := CleaningFromSite(s, Given{Catalogue: products}, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		c, err := Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		days := float64(c.Time) / 24
		missing := func(perDay float64) float64 { return perDay / 0.1 * (1 - math.Exp(-0.1*days)) }
		nitrifying := 0.092 * 0.35 * x.eaten * 2 * 50.0437 / 14.007 / 40 * 1000
		want := 110 - missing(nitrifying) - missing(0.5051*5*24/40)
		if got := float64(c.Final.Alkalinity); math.Abs(got-want) > 0.05 {
			t.Errorf("%s: %g mg/L are left after %g days, by hand %g", feed, got, days, want)
		}
		n, ok := noted(c.Notes, x.code)
		if !ok || c.Stopped != x.stops || (n.Level == note.Stop) != x.stops {
			t.Errorf("%s: stopped %v, %v", feed, c.Stopped, c.Notes)
		}
		p := planOf(t, s, Given{Catalogue: products})
		if _, r := p.Reviewed(s, time.Time{}); r.Stopped != x.stops {
			t.Errorf("%s: the plan is stopped: %v", feed, r.Stopped)
		}
	}
}
