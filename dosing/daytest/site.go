// Package daytest serves tests of days: it draws sites, and lists the figures of an
// account.
package daytest

import (
	"fmt"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/quantity"
)

// maybe draws a figure that a site may leave out.
func maybe[T ~float64](t *rapid.T, name string, low, high float64) quantity.Known[T] {
	if !rapid.Bool().Draw(t, name+" given") {
		return quantity.Known[T]{}
	}
	return always[T](t, name, low, high)
}

func always[T ~float64](t *rapid.T, name string, low, high float64) quantity.Known[T] {
	return quantity.Some(T(rapid.Float64Range(low, high).Draw(t, name)))
}

func oneOf[T any](t *rapid.T, name string, of ...T) quantity.Known[T] {
	return quantity.Some(of[rapid.IntRange(0, len(of)-1).Draw(t, name)])
}

// Site draws a site that can be planned: flow at one rate or by the hour, a
// coagulant, a polymer and perhaps an alkali whose dose follows from the others,
// any unit, skimmer, bin, animals and prices. It has no pumps and no stock tanks.
// Every day of March 2026 runs alike in the usual water.
func Site(t *rapid.T) site.Site {
	s := site.Site{File: "drawn"}
	s.Place.Purpose = oneOf(t, "purpose", site.ForAnimals, site.ForWastewater)
	s.Place.Passes = quantity.Some(site.OnceThrough)
	s.Place.Date = quantity.Some(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC))
	s.Water = waterOf(t)
	s.Flow = flowOf(t)
	s.Solids, s.Tanks = solidsOf(t)
	chemicals(t, &s)
	prices(t, &s)
	if rapid.Bool().Draw(t, "trout") {
		s.Animals = []site.Animal{{Name: quantity.Some("troughs"), Species: quantity.Some("rainbow trout"),
			Reached: quantity.Some(site.ReachedAlways)}}
	}
	s.Calendar = []site.Day{{From: s.Place.Date, Till: quantity.Some(time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC)),
		Runs: quantity.Some(true), Water: quantity.Some(site.UsualWater)}}
	return s
}

func waterOf(t *rapid.T) site.Water {
	w := site.Water{PH: always[quantity.PH](t, "pH", 6.5, 8.5), Alkalinity: always[quantity.Alkalinity](t, "alkalinity", 10, 150),
		AlkFloor:  always[quantity.Alkalinity](t, "floor", 5, 60),
		Turbidity: maybe[quantity.Cloudiness](t, "turbidity", 1, 300), TSS: maybe[quantity.Concentration](t, "TSS", 1, 500),
		Phosphate:      maybe[quantity.Concentration](t, "phosphate", 0.05, 12),
		ClearTurbidity: maybe[quantity.Cloudiness](t, "clear turbidity", 0.5, 5),
		StormTurbidity: maybe[quantity.Cloudiness](t, "storm turbidity", 100, 900)}
	if rapid.Bool().Draw(t, "shares") {
		w.ClearDays, w.StormDays = quantity.Some(quantity.Fraction(0.3)), quantity.Some(quantity.Fraction(0.2))
	}
	return w
}

func flowOf(t *rapid.T) site.Flow {
	f := site.Flow{Power: maybe[quantity.Power](t, "power", 100, 9000)}
	if rapid.Bool().Draw(t, "by the hour") {
		for h := range f.ByHour {
			if h == 7 || rapid.Bool().Draw(t, fmt.Sprint("flow at ", h)) {
				f.ByHour[h] = always[quantity.Flow](t, fmt.Sprint("flow ", h), 0.1, 60)
			}
		}
	} else {
		f.Average = always[quantity.Flow](t, "flow", 0.1, 200)
	}
	f.Hours = maybe[quantity.Time](t, "hours", 1, 24)
	f.Start = quantity.Some(quantity.Time(6))
	return f
}

func solidsOf(t *rapid.T) (site.Solids, []site.Tank) {
	u := site.Solids{PerNTU: maybe[float64](t, "per NTU", 0.5, 3), Capture: maybe[quantity.Fraction](t, "caught", 0.3, 1),
		FloatSolids: maybe[quantity.Fraction](t, "dry share", 0.005, 0.06),
		SG:          maybe[quantity.Density](t, "SG", 0.9, 1.1), SkimEvery: maybe[quantity.Time](t, "skim every", 0.03, 2),
		SkimWater: maybe[quantity.Volume](t, "skim water", 0.1, 5)}
	if rapid.Bool().Draw(t, "unit given") {
		u.Unit = oneOf(t, "unit", site.UnitFlotation, site.UnitSettler)
	}
	u.Bin, u.Tank = quantity.Some("bin"), quantity.Some("rearing tank")
	u.TankStart, u.TankStop = quantity.Some(site.Reading{V: 80, Key: jartest.Turbidity}), quantity.Some(site.Reading{V: 10,
		Key: jartest.Turbidity})
	return u, []site.Tank{
		{Name: quantity.Some("bin"), Use: quantity.Some(site.TankBin), Volume: always[quantity.Volume](t, "bin", 50, 5000),
			Usable: maybe[quantity.Fraction](t, "usable", 0.5, 1)},
		{Name: quantity.Some("rearing tank"), Use: quantity.Some(site.TankAnimals), Volume: always[quantity.Volume](t, "tank", 5000, 100000)},
	}
}

func chemicals(t *rapid.T, s *site.Site) {
	alum := site.Chemical{Name: quantity.Some("alum"), Product: quantity.Some("alum-liquid"),
		Basis: oneOf(t, "alum counts", quantity.AsProduct, quantity.AsAlum14, quantity.AsAl),
		Dose:  always[quantity.Concentration](t, "alum dose", 0.5, 40), Storm: maybe[quantity.Concentration](t, "storm dose", 1, 60),
		Strength: maybe[quantity.Fraction](t, "alum strength", 0.3, 0.5)}
	if alum.Strength.OK {
		alum.Counts = quantity.Some(quantity.AsAlum14)
	}
	polymer := site.Chemical{Name: quantity.Some("polymer"), Product: oneOf(t, "polymer", "apam-dry", "cpam-dry"),
		Basis: oneOf(t, "polymer counts", quantity.AsProduct, quantity.AsActive),
		Dose:  always[quantity.Concentration](t, "polymer dose", 0.005, 2), Clear: maybe[quantity.Concentration](t, "clear dose", 0.001, 1),
		Capture: maybe[quantity.Fraction](t, "polymer caught", 0, 0.99)}
	s.Chemicals = []site.Chemical{alum, polymer}
	if rapid.Bool().Draw(t, "alkali") {
		s.Chemicals = append(s.Chemicals, site.Chemical{Name: quantity.Some("soda"), Product: quantity.Some("soda-ash"),
			Basis: quantity.Some(quantity.AsNa2CO3)})
	}
	for i := range s.Chemicals {
		c := &s.Chemicals[i]
		c.Stock = quantity.Some(c.Name.V + " stock")
		s.Stocks = append(s.Stocks, site.Stock{Name: c.Stock, Product: always[quantity.Concentration](t, c.Stock.V, 1000, 5000),
			Post: maybe[quantity.Flow](t, c.Name.V+" carrier", 0.001, 0.5)})
	}
}

func prices(t *rapid.T, s *site.Site) {
	eur := func(v float64, per string) quantity.Known[quantity.Price] {
		return quantity.Some(quantity.Price{Amount: v, Currency: "EUR", Per: per})
	}
	for _, c := range s.Chemicals {
		r := site.Price{Chemical: c.Name, Price: eur(rapid.Float64Range(0.1, 9).Draw(t, "price"), "kg"),
			Pack: maybe[quantity.Mass](t, "pack", 1, 1000),
			Room: maybe[quantity.Mass](t, "room", 2000, 9000), Lead: maybe[quantity.Time](t, "lead", 24, 400),
			Shelf: maybe[quantity.Time](t, "shelf", 2000, 9000)}
		if rapid.Bool().Draw(t, "delivery") {
			r.Delivery = quantity.Some(quantity.Money{Amount: rapid.Float64Range(1, 90).Draw(t, "charge"), Currency: "EUR"})
		}
		if rapid.Bool().Draw(t, "tiers") {
			r.From2, r.Price2 = quantity.Some(3), eur(0.1, "kg")
		}
		s.Prices = append(s.Prices, r)
	}
	per := oneOf(t, "disposal by", "m3", "t", "kg dry", "t dry").V
	s.Prices = append(s.Prices, site.Price{Chemical: quantity.Some(site.PriceDisposal),
		Price: eur(rapid.Float64Range(0.1, 99).Draw(t, "disposal"), per)},
		site.Price{Chemical: quantity.Some(site.PriceWater), Price: eur(1.9, "m3")}, site.Price{Chemical: quantity.Some(site.PriceElectricity),
			Price: eur(0.24, "kWh")})
}
