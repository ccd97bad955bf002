package month

import (
	"math"
	"testing"
)

// TestWhatIsNotThereIsNotUsed, by hand: 30 days at 2 kg want 60 kg; 20 kg stand there and 15 kg come on the 21st, at 2 EUR/kg. Ten days
// eat the 20, ten are short, seven eat 14 of the 15, one has 1 of its 2, two are short: used 35, short 25, 70 EUR; what is
// wanted a day stays 2 kg.
func TestWhatIsNotThereIsNotUsed(t *testing.T) {
	p := flat(10, 10, 20, eurPerKg(2))
	first := p.Calendar.Month.First()
	p.Chemicals[0].Supply = Supply{Opening: 20, Pack: 15, OnOrder: 1, OnOrderDate: first.AddDays(20), LeadDays: 60}
	p.Doubt.Draws = 200
	b := must(t, p)
	a := b.Accounts[0]
	near(t, "used", float64(a.Use), 35)
	near(t, "wanted a day", float64(a.PerDay)*24, float64(must(t, flat(10, 10, 20, eurPerKg(2))).Accounts[0].PerDay)*24)
	near(t, "goods", a.Goods.Amount, 70)
	near(t, "total", b.Total.Amount, 70)
	near(t, "product of the account", float64(b.Uses[0].Product), 35)
	near(t, "arrived", float64(a.Arrived(b.Plan.Calendar.Month)), 15)
	if got := b.Range.Cost.P50; math.Abs(got-70) > 1e-9 {
		t.Errorf("half of the months cost less than %g, of which nothing is in doubt: 70", got)
	}
	var sum float64
	for _, d := range a.Stock[:b.Plan.Calendar.Month.Days()] {
		sum += float64(d.Used)
	}
	near(t, "sum of the days", sum, float64(a.Use))
	// Of a store that nobody described nothing is short: the month uses what it wants.
	p.Chemicals[0].Supply = Supply{NotSaid: true, Pack: 15, LeadDays: 60}
	near(t, "used of a store not told", float64(must(t, p).Accounts[0].Use), 60)
}
