package caution

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestExchangeThatHoldsALoop: new water of 85 mg/L CaCO3 has to bring what the doses take above 50. 36 m3 a day take 22.73 mg/L at every pass
// (45 mg/L of alum x 0.5052), 818.4 g, so that 818.4/35 = 23.4 m3/d hold a loop of any size, all 24 hours dosed; new water of 45 holds 50 in no amount.
func TestExchangeThatHoldsALoop(t *testing.T) {
	for _, x := range []struct {
		alkalinity quantity.Alkalinity
		volume     quantity.Volume
		exchange   quantity.Known[quantity.Flow]
		want       string
	}{
		{85, 14000, quantity.Known[quantity.Flow]{}, "exchange 23.4 m3/d of new water of 85 mg/L CaCO3, or dose less"},
		{85, 14000, known(quantity.Flow(0.1)), "exchange 23.4 m3/d of new water of 85 mg/L CaCO3 in all, or dose less"},
		{85, 28000, known(quantity.Flow(0.1)), "exchange 23.4 m3/d of new water of 85 mg/L CaCO3 in all, or dose less"},
		{45, 14000, known(quantity.Flow(0.1)), "exchange more water, or dose less"},
	} {
		s := fedLoop(t, 0, false, dose(t, "alum-liquid", 45, quantity.AsAlum14))
		s.Water.Feed, s.Water.Ammonia = quantity.Known[quantity.MassRate]{}, quantity.Known[quantity.Concentration]{}
		s.Water.Alkalinity.V, s.Flow.V, s.Hours = x.alkalinity, 1.5, 24
		s.Loop = &Loop{Volume: x.volume, Exchange: x.exchange}
		f := Review(s)
		level(t, f, "loop-alkalinity-gone", note.Stop)
		for _, n := range f.Notes {
			if n.Code == "loop-alkalinity-gone" && !strings.Contains(n.Remedy, x.want) {
				t.Errorf("%+v: %s", x, n.Remedy)
			}
		}
	}
}
