package dosing

import (
	"math"
	"testing"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// heldSite is a tank of 14 m3 that is to be held at 300 mg/L.
func heldSite() site.Site {
	s := site.Site{}
	s.Tanks = []site.Tank{{Name: quantity.Some("loop"), Use: quantity.Some(site.TankAnimals), Volume: quantity.Some(quantity.Volume(14000))}}
	s.Flow.Average = quantity.Some(quantity.Flow(1))
	s.Solids.Capture = quantity.Some(quantity.Fraction(0.7))
	s.Solids.HoldAt = quantity.Some(site.Reading{V: 300, Key: jartest.TSS})
	s.Animals = []site.Animal{{Feed: quantity.Some(quantity.MassRate(3))}, {Feed: quantity.Some(quantity.MassRate(1))}}
	return s
}

// TestLoadOfFeed: 4 kg of feed with 40 % protein, of which 9.2 % becomes ammonia nitrogen (Timmons and Ebeling, from memory), are
// 147 g of N; two equivalents of alkalinity to 14.007 g, at 50.04 g as CaCO3 each, are 1.05 kg. Phosphorus at 1.2 % is 48 g (from memory).
func TestLoadOfFeed(t *testing.T) {
	in, err := CleaningFromSite(heldSite(), Given{}, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	l := in.Load
	if l == nil || !l.Assumed || l.Share != 0.25 || l.Eaten != 4 || len(in.Around.Stock) != 0 {
		t.Fatalf("%+v, %d animals", l, len(in.Around.Stock))
	}
	for _, x := range []struct {
		what      string
		got, want float64
	}{
		{"alkalinity", float64(l.Alkalinity), 4 * 0.40 * 0.092 * 2 * 50.04 / 14.007},
		{"phosphorus", float64(l.Phosphorus), 0.048},
		{"rise", in.Tank.Rise, 1e6 / 24 / 14000},
		{"start", in.Tank.Start, 300},
		{"stop", in.Tank.Stop, 300},
	} {
		if math.Abs(x.got-x.want) > 1e-3*x.want {
			t.Errorf("%s is %g, want %g", x.what, x.got, x.want)
		}
	}
	if codes(in.Notes) != "feed-solids-assumed" {
		t.Errorf("notes: %v", in.Notes)
	}
}

// TestRiseThatWasReadGoesBeforeFeed: what was measured is what comes in, and the share of the feed is not asked for.
func TestRiseThatWasReadGoesBeforeFeed(t *testing.T) {
	s := heldSite()
	s.Solids.Rise = quantity.Some(site.Reading{V: 2, Key: jartest.TSS})
	in, err := CleaningFromSite(s, Given{}, time.Time{})
	if err != nil || in.Tank.Rise != 2 || in.Load == nil || in.Load.Share != 0 || in.Load.Assumed || len(in.Notes) != 0 {
		t.Errorf("%v %g %+v %v", err, in.Tank.Rise, in.Load, in.Notes)
	}
}

// TestFeedIsCountedWhereAskedFor: a site that holds no level and tells nothing of solids from feed is cleared as ever.
func TestFeedIsCountedWhereAskedFor(t *testing.T) {
	s := heldSite()
	s.Solids.HoldAt = quantity.Known[site.Reading]{}
	s.Solids.TankStart, s.Solids.TankStop = quantity.Some(site.Reading{V: 500, Key: jartest.TSS}), quantity.Some(site.Reading{V: 300, Key: jartest.TSS})
	in, err := CleaningFromSite(s, Given{}, time.Time{})
	if err != nil || in.Load != nil || in.Tank.Rise != 0 {
		t.Errorf("%v %+v %g", err, in.Load, in.Tank.Rise)
	}
	s.Solids.FeedSolids = quantity.Some(quantity.Fraction(0.3)) // then the run counts what comes in
	if in, err = CleaningFromSite(s, Given{}, time.Time{}); err != nil || math.Abs(in.Tank.Rise-1.2e6/24/14000) > 1e-9 {
		t.Errorf("%v %g", err, in.Tank.Rise)
	}
}

// TestHoldingNeedsWhatComesIn: a level without feed, rise or new water cannot be held against anything.
func TestHoldingNeedsWhatComesIn(t *testing.T) {
	s := heldSite()
	s.Animals = nil
	if _, err := CleaningFromSite(s, Given{}, time.Time{}); err == nil || codes(note.Of(err, "?")) != "value-missing" {
		t.Errorf("%v", err)
	}
}
