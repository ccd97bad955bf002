package month

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing/daytest"
	"jarwright/jartest/quantity"
)

// parcel is what came on one day: its mass, and the first day on which it is out of date.
type parcel struct {
	kg   float64
	till int
}

// shelf keeps parcels as a storeman does: the oldest is used first, and each morning what
// is out of date is thrown away.
type shelf struct{ parcels []parcel }

func (s *shelf) morning(day int) (thrown float64) {
	var good []parcel
	for _, p := range s.parcels {
		if day >= p.till {
			thrown += p.kg
		} else {
			good = append(good, p)
		}
	}
	s.parcels = good
	return thrown
}

func (s *shelf) take(kg float64) (short float64) {
	for kg > 0 && len(s.parcels) > 0 {
		x := math.Min(kg, s.parcels[0].kg)
		kg -= x
		if s.parcels[0].kg -= x; s.parcels[0].kg <= 0 {
			s.parcels = s.parcels[1:]
		}
	}
	return kg
}

func (s *shelf) holds() (kg float64) {
	for _, p := range s.parcels {
		kg += p.kg
	}
	return kg
}

// TestBillByAnotherRoute: stores kept parcel by parcel, skimming counted pass by pass,
// disposal by the barrow and freight by the lorry come to the bill of any site.
func TestBillByAnotherRoute(t *testing.T) {
	thousand(t, func(t *rapid.T) {
		s := daytest.Site(t)
		for i := range s.Prices {
			r := &s.Prices[i]
			r.OnHand = quantity.Some(quantity.Mass(rapid.Float64Range(0, 300).Draw(t, "on hand")))
			r.Shelf = quantity.Some(quantity.Time(24 * rapid.IntRange(1, 50).Draw(t, "shelf")))
			r.Age = quantity.Some(quantity.Time(24 * rapid.IntRange(0, 9).Draw(t, "age")))
			if rapid.Bool().Draw(t, "on order") {
				r.OnOrder = quantity.Some(rapid.IntRange(1, 3).Draw(t, "packs"))
				r.Arrives = quantity.Some(time.Date(2026, 3, rapid.IntRange(1, 31).Draw(t, "arrives"), 0, 0, 0, 0, time.UTC))
			}
		}
		b := budgeted(t, s)
		same := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-7*math.Max(1, math.Abs(want)) {
				t.Fatalf("%s: %.12g, by another route %.12g", what, got, want)
			}
		}
		days := b.Plan.Calendar.Month.Days()
		var bill float64
		for c, a := range b.Accounts {
			life := a.Chemical.Supply.ShelfDays
			store := shelf{}
			if kg := float64(a.Chemical.Supply.Opening); kg > 0 {
				store.parcels = append(store.parcels, parcel{kg, life - a.Chemical.Supply.OpeningAge})
			}
			var thrown, kg, goods, lorries float64
			for i, d := range a.Stock[:days] {
				out := store.morning(i)
				thrown += out
				if d.OnOrder > 0 {
					store.parcels = append(store.parcels, parcel{float64(a.Chemical.Supply.OnOrder) * float64(a.Chemical.Supply.Pack), i + life})
				}
				if d.Packs > 0 {
					load := float64(d.Packs) * float64(a.Chemical.Supply.Pack)
					store.parcels = append(store.parcels, parcel{load, i + life})
					price := a.Chemical.Prices.Tiers[0].Price.Amount
					for _, tier := range a.Chemical.Prices.Tiers {
						if d.Packs >= tier.From {
							price = tier.Price.Amount
						}
					}
					kg, goods, lorries = kg+load, goods+load*price, lorries+1
				}
				wanted := float64(d.Used + d.Short)
				short := store.take(wanted)
				same(a.Chemical.Name+" thrown away", float64(d.Expired), out)
				same(a.Chemical.Name+" short", float64(d.Short), short)
				same(a.Chemical.Name+" in the evening", float64(d.End), store.holds())
			}
			if kg > 0 { // else the usual order's price, which no lorry has shown
				charge := a.Chemical.Prices.Delivery.Amount
				same(a.Chemical.Name+" freight", a.Freight.Amount, float64(a.Use)*lorries*charge/kg)
				same(a.Chemical.Name+" goods", a.Goods.Amount, float64(a.Use)*goods/kg)
				same(a.Chemical.Name+" out of date", a.Loss.Amount, thrown*(goods+lorries*charge)/kg)
			}
			bill += a.Goods.Amount + a.Freight.Amount + a.Loss.Amount
			same("water of stock and carrier", float64(b.Uses[c].MakeUp.Amount), b.Uses[c].Water.In("m3")*1.9+b.Uses[c].Carrier.In("m3")*1.9)
			bill += b.Uses[c].MakeUp.Amount
		}
		// Passes of the skimmer, each with its water; barrows of float that weigh what their density says.
		passes := 0.0
		if every := s.Solids.SkimEvery; every.OK && s.Solids.SkimWater.OK {
			passes = float64(b.Running) / float64(every.V)
		}
		skimmed := passes * float64(s.Solids.SkimWater.V) // L
		share, density := float64(b.Plan.Disposal.DrySolids), float64(b.Plan.Disposal.Density)
		if density == 0 {
			density = 1
		}
		wet := float64(b.Dry.Likely) / share // kg of float or sludge
		var disposal float64
		switch p := b.Plan.Disposal.Price; p.Per {
		case "m3":
			disposal = (wet/density + skimmed) / 1000 * p.Amount
		case "t":
			disposal = (wet + skimmed) / 1000 * p.Amount
		case "kg dry":
			disposal = float64(b.Dry.Likely) * p.Amount
		case "t dry":
			disposal = float64(b.Dry.Likely) / 1000 * p.Amount
		default:
			t.Fatalf("disposal is paid per %s", p.Per)
		}
		same("skimmed", float64(b.Carried), skimmed)
		same("bin", float64(b.Wet.Likely), wet/density+skimmed)
		same("disposal", b.Account.Disposal.Amount, disposal)
		energy := s.Flow.Power.V.In("kW") * float64(b.Running) * 0.24
		same("energy", b.Electricity.Amount, energy)
		same("total", b.Total.Amount, bill+disposal+energy)
	})
}
