package month

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestMonthsInARow: the second month starts with what the first left, and
// together they use what the calendar says, without a delivery listed twice.
func TestMonthsInARow(t *testing.T) {
	p := handMonth()
	b, err := Months(p, 3)
	if err != nil {
		t.Fatal(err)
	}
	if b[1].Plan.Calendar.Month != (Month{2028, time.March}) || b[2].Plan.Calendar.Month != (Month{2028, time.April}) {
		t.Fatalf("months %s, %s", b[1].Plan.Calendar.Month, b[2].Plan.Calendar.Month)
	}
	for c := range p.Chemicals {
		seen := map[Date]bool{}
		for i := range b {
			if i > 0 {
				near(t, "opening", float64(b[i].Accounts[c].Stock[0].Start), float64(b[i-1].Accounts[c].Closing(b[i-1].Plan.Calendar.Month)))
			}
			for _, d := range b[i].Accounts[c].Deliveries {
				if seen[d.Arrives] {
					t.Errorf("%s of %s twice", d.Arrives, p.Chemicals[c].Name)
				}
				seen[d.Arrives] = true
			}
		}
	}
	// On 1 March 1.0125 kg of polymer: the pack of 22 February, 8 days old, and what is left of that of the 15th.
	u := b[1].Plan.Chemicals[1].Supply
	if u.OpeningAge != 15 || len(u.Fresher) != 1 || u.Fresher[0].Age != 8 {
		t.Errorf("polymer on 1 March %+v", u)
	}
	near(t, "fresh polymer", float64(u.Fresher[0].Amount), 1)
	for _, m := range b[1:] { // the packs are small enough that nothing need go out of date
		for _, d := range m.Accounts[1].Stock {
			if d.Expired > 1e-9 {
				t.Errorf("%s: %s out of date", d.Date, d.Expired)
			}
		}
	}
}

// TestMonthsNeverRunDry: a plant that can be served for one month can be served for a year.
func TestMonthsNeverRunDry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPlan(t)
		s := &p.Chemicals[0].Supply
		for d := range p.Calendar.Week {
			p.Calendar.Week[d].Delivery = true
		}
		s.ShelfDays, s.OnOrder, s.Limit = 0, 0, 0
		day := float64(p.Calendar.Flow) * float64(p.Calendar.Week[0].Hours) * float64(p.Chemicals[0].Doses[0].Plan) / 1000
		s.Opening = 0
		p.OrderFrom = p.Calendar.Month.First().AddDays(-s.LeadDays)
		b, err := Months(p, 4)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range b {
			if a := m.Accounts[0]; a.RunsOut != nil {
				t.Fatalf("short on %s by %s of %g a day", a.RunsOut.Date, a.RunsOut.Short, day)
			}
		}
	})
}
