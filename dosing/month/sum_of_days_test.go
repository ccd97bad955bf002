package month

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/daytest"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

// daysAndStores draws a March of usual, storm, clear and closed days, each a row of the calendar, and a store of each chemical that may run
// out, be delivered to and go out of date.
func daysAndStores(t *rapid.T, s *site.Site) {
	s.Calendar = nil
	for i := range 31 {
		on := quantity.Some(time.Date(2026, 3, i+1, 0, 0, 0, 0, time.UTC))
		kind := rapid.SampledFrom([]string{site.UsualWater, site.UsualWater, site.StormWater, site.ClearWater, ""}).Draw(t, "day")
		d := site.Day{From: on, Till: on, Runs: quantity.Some(kind != "")}
		if kind != "" {
			d.Water = quantity.Some(kind)
		}
		s.Calendar = append(s.Calendar, d)
	}
	for i := range s.Prices {
		r := &s.Prices[i]
		if !rapid.Bool().Draw(t, "store told") {
			continue
		}
		// Of half of them all that is used in a day is more than what stands there.
		r.OnHand = quantity.Some(quantity.Mass(math.Pow(10, rapid.Float64Range(-3, 3).Draw(t, "on hand"))))
		r.Shelf = quantity.Some(quantity.Time(24 * rapid.IntRange(1, 60).Draw(t, "shelf")))
		r.Age = quantity.Some(quantity.Time(24 * rapid.IntRange(0, 20).Draw(t, "age")))
		if rapid.Bool().Draw(t, "on order") {
			r.OnOrder = quantity.Some(rapid.IntRange(1, 3).Draw(t, "packs"))
			r.Arrives = quantity.Some(time.Date(2026, 3, rapid.IntRange(1, 31).Draw(t, "arrives"), 0, 0, 0, 0, time.UTC))
		}
	}
}

// layers is a store by its lots, the oldest first: what of a day's use there is, and what has gone out of date by then.
type layers []struct {
	day  int
	left float64
}

func (l layers) take(day, shelf int, wanted float64) (used, gone float64) {
	for i := range l {
		if shelf > 0 && day-l[i].day >= shelf {
			gone, l[i].left = gone+l[i].left, 0
		}
		x := min(l[i].left, wanted-used)
		used, l[i].left = used+x, l[i].left-x
	}
	return used, gone
}

// TestMonthIsTheSumOfItsDays: each day by its own plan, its use out of a store kept by lots: water, hours, product used, short and out of
// date, goods, deliveries, disposal, make-up water, energy and the total of a month are those of its days, also where the store runs
// out, is delivered to, or has goods that go out of date.
func TestMonthIsTheSumOfItsDays(t *testing.T) {
	seen := map[string]int{}
	thousand(t, func(t *rapid.T) {
		s := daytest.Site(t)
		daysAndStores(t, &s)
		b := budgeted(t, s)
		n := len(b.Accounts)
		used, wanted, gone := make([]float64, n), make([]float64, n), make([]float64, n)
		stores := make([]layers, n)
		type dayOf struct {
			plan dosing.Plan
			cost DayCost
		}
		usual := Mean(s, catalogued, Month{})
		kinds := map[string]dayOf{} // by the water of the day
		for c, a := range b.Accounts {
			stores[c] = layers{{-a.Chemical.Supply.OpeningAge, float64(a.Chemical.Supply.Opening)}}
		}
		var water, hours, dry, disposal, energy, makeUp float64
		for i, row := range s.Calendar {
			want, today := make([]float64, n), make([]day.Use, n)
			if row.Runs.V {
				x, ok := kinds[row.Water.V]
				if !ok {
					own, g, err := OnDate(s, catalogued, DateOf(row.From.V))
					if err != nil {
						t.Fatal(err)
					}
					in, err := dosing.FromSite(own, g)
					if err != nil {
						t.Fatal(err)
					}
					if x.plan, err = dosing.Make(in); err != nil {
						t.Fatal(err)
					}
					x.cost = CostOf(own, x.plan, usual)
					kinds[row.Water.V] = x
				}
				p, one := x.plan, x.cost
				water, hours, dry = water+float64(p.Treated), hours+float64(p.Running), dry+float64(one.Dry.Likely)
				disposal, energy = disposal+one.Disposal.Amount, energy+one.Electricity.Amount
				for c, f := range p.Feeds {
					want[c] = float64(f.Product)
					today[c] = one.Uses[c]
				}
			}
			for c, a := range b.Accounts {
				if x := float64(a.Stock[i].Arrived); x > 0 {
					stores[c] = append(stores[c], layers{{i, x}}...)
					seen["deliveries"]++
				}
				have, old := stores[c].take(i, a.Chemical.Supply.ShelfDays, want[c])
				if a.Chemical.Supply.NotSaid {
					have = want[c]
				} else if have < want[c]-1e-9 {
					seen["short"]++
				}
				if old > 1e-9 {
					seen["expired"]++
				}
				litres := float64(today[c].Carrier)
				if want[c] > 0 {
					litres += have / want[c] * float64(today[c].Water)
				}
				makeUp += litres / 1000 * 1.9 // what daytest asks for a m3 of water
				used[c], wanted[c], gone[c] = used[c]+have, wanted[c]+want[c], gone[c]+old
			}
		}
		same := func(what string, month, days float64) {
			t.Helper()
			if math.Abs(month-days) > 1e-8*math.Max(1, math.Abs(days)) {
				t.Fatalf("%s: month %.12g, its days %.12g", what, month, days)
			}
		}
		total := disposal + energy
		for c, a := range b.Accounts {
			same(a.Chemical.Name+" wanted", float64(a.Wanted), wanted[c])
			same(a.Chemical.Name+" used", float64(a.Use), used[c])
			same(a.Chemical.Name+" used in the account", float64(b.Uses[c].Product), used[c])
			same(a.Chemical.Name+" wanted", float64(a.Wanted), wanted[c])
			same(a.Chemical.Name+" out of date", float64(a.Expired), gone[c])
			same(a.Chemical.Name+" goods", a.Goods.Amount, used[c]*a.UnitPrice.Amount)
			same(a.Chemical.Name+" deliveries", a.Freight.Amount, used[c]*a.UnitFreight.Amount)
			total += (used[c] + gone[c]) * (a.UnitPrice.Amount + a.UnitFreight.Amount)
		}
		same("water", float64(b.Treated), water)
		same("hours", float64(b.Running), hours)
		same("dry solids", float64(b.Dry.Likely), dry)
		same("disposal", b.Disposal.Amount, disposal)
		same("energy", b.Electricity.Amount, energy)
		same("total", b.Total.Amount, total+makeUp)
	})
	for _, what := range []string{"short", "deliveries", "expired"} {
		if seen[what] < 100 {
			t.Errorf("%s on %d days of all that were drawn", what, seen[what])
		}
	}
}
