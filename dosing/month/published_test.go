package month

import (
	"math"
	"testing"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

const (
	davis    = "Davis, Water and Wastewater Engineering (2010), Ex. 5-1, p. 5-4/5-5"
	ufc1     = "UFC 3-280-03 (US DoD, 23 Jul 2003), design example 1, p. 5-2 to 5-7"
	ufc2     = "UFC 3-280-03 (US DoD, 2003), design example 2"
	awm      = "Alvord & Blasberg, Advanced Waterworks Mathematics (2019, CC BY 4.0), answer key p. 310"
	hendrick = "Hendricks, Fundamentals of Water Treatment Unit Processes (2011), App. F, p. 844 (problem read, answer computed)"
)

// lime has the strength of a drum: kg of Ca(OH)2 per kg.
func lime(strength quantity.Fraction) product.Product {
	p, err := product.Default().Find("lime")
	if err != nil {
		panic(err)
	}
	p.Strength = product.Given(strength, "label")
	return p
}

// limeProduct is the mass of hydrated lime as delivered that holds so much CaO.
func limeProduct(t *testing.T, cao quantity.Mass, strength quantity.Fraction) float64 {
	t.Helper()
	d, err := product.Convert(quantity.Dose{Concentration: quantity.Concentration(cao), Basis: quantity.AsCaO}, lime(strength), quantity.AsProduct)
	if err != nil {
		t.Fatal(err)
	}
	return float64(d.Concentration)
}

// perKgAl is the price of a kg of aluminium in liquid alum of that strength as 14-hydrate.
func perKgAl(t *testing.T, price quantity.Price, strength quantity.Fraction) float64 {
	t.Helper()
	p, err := product.Default().Find("alum-liquid")
	if err != nil {
		t.Fatal(err)
	}
	p.Strength = product.Given(strength, "label")
	kg, err := price.PerKg(0, 0)
	if err != nil {
		t.Fatal(err)
	}
	al, err := product.Convert(quantity.Dose{Concentration: 1, Basis: quantity.AsProduct}, p, quantity.AsAl)
	if err != nil {
		t.Fatal(err)
	}
	return kg.Amount / float64(al.Concentration)
}

// flat is a plant with one chemical dosed as product, one price, every day alike.
func flat(flow quantity.Flow, hours quantity.Time, dose quantity.Concentration, price quantity.Price) Plan {
	return Plan{
		Calendar: Calendar{Month: Month{2027, time.April}, Flow: flow, Week: EveryDay(hours)},
		Chemicals: []Chemical{{
			Name: "coagulant", Basis: quantity.AsProduct, Doses: []Dose{{Plan: dose}}, Density: 1.2,
			Prices: PriceList{Tiers: []Tier{{1, price}}, Delivery: quantity.Money{Currency: price.Currency}}, // delivered free
			Supply: Supply{Opening: 1e9, Pack: 25, MinDays: NoMinDays},
		}},
	}
}

func must(t *testing.T, p Plan) Budget {
	t.Helper()
	b, err := Make(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestPublished works the storage, monthly-use, cost and reorder examples of
// books and manuals. The tolerance is half a unit of the printed digit.
func TestPublished(t *testing.T) {
	usd := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "USD", Per: per}
	}
	gal := func(v float64) quantity.Volume {
		u, _ := quantity.Parse[quantity.Volume]("1 gal")
		return quantity.Volume(v) * u
	}
	for _, c := range []struct {
		what      string
		got, want float64
		tol       float64
		source    string
	}{
		{"lime always stored, kg: 3575 kg/d, 10 d and 1.5 × 7 d of shipping", float64(stored(t, 3575, Supply{Pack: 25, MinDays: 10, ShippingFactor: 1.5, LeadDays: 7}).Reorder), 73287.5, 0.05, davis},
		{"lime a month, kg: 106 kg/d, 5 d/wk, 4.33 wk", float64(RoughMonth(106, 5, 4.33)), 2300, 50, ufc1},
		{"the same, as recomputed", float64(RoughMonth(106, 5, 4.33)), 2294.9, 0.05, ufc1},
		{"hydrated lime 96 % for 2300 kg CaO, kg", limeProduct(t, 2300, 0.96), 3170, 5, ufc1},
		{"bags of 45 kg for 3170 kg", float64(stored(t, 3170./30, Supply{Pack: 45}).UsualOrder), 71, 0, ufc1},
		{"ferric chloride a month, kg: 53 kg/d", float64(RoughMonth(53, 5, 4.33)), 1150, 5, ufc1},
		{"lime a month, kg: 280 kg/d", float64(RoughMonth(280, 5, 4.33)), 6100, 50, ufc2},
		{"hydrated lime 90 % for 6100 kg CaO, kg", limeProduct(t, 6100, 0.90), 8960, 5, ufc2},
		{"10 % slurry of 280 kg/d, L/d", stockPerDay(t, 280, 100000), 2800, 0.5, ufc2},
		{"5 % solution of 112 kg/d, L/d", stockPerDay(t, 112, 50000), 2240, 0.5, ufc2},
		{"757 kg/d of dry solids at 2 %, SG 1, for 4 d of sludge storage, L", 4 * wetPerDay(t, 757, 0.02), 151400, 0.5, ufc1},
		{"154.2 gal at 2.75 $/gal", goodsOf(t, gal(154.2), usd(2.75, "gal")), 424.05, 0.005, awm},
		{"685.73 lb at 1.35 $/lb", massCost(t, 685.73*0.45359237, usd(1.35, "lb")), 925.74, 0.005, awm},
		{"liquid alum 181 $/short ton at 48.5 %, $ per kg Al", perKgAl(t, usd(181, "short ton"), 0.485), 4.53, 0.01, hendrick},
	} {
		if math.Abs(c.got-c.want) > c.tol+1e-9*math.Abs(c.want) {
			t.Errorf("%s: %.6g, published %g ± %g (%s)", c.what, c.got, c.want, c.tol, c.source)
		}
	}
}

// stored is the account of a chemical used at so many kg on each of 30 days.
func stored(t *testing.T, kg float64, s Supply) Account {
	t.Helper()
	p := flat(1, 10, quantity.Concentration(kg/10*1000), quantity.Price{Amount: 1, Currency: "USD", Per: "kg"})
	p.Chemicals[0].Supply = s
	return must(t, p).Accounts[0]
}

// stockPerDay budgets a chemical used at so many kg a day from a stock of that
// strength and gives the water for the stock (dry goods take no volume).
func stockPerDay(t *testing.T, kg float64, stock quantity.Concentration) float64 {
	t.Helper()
	p := flat(1, 10, quantity.Concentration(kg/10*1000), quantity.Price{Amount: 1, Currency: "USD", Per: "kg"})
	p.Chemicals[0].Density, p.Chemicals[0].Stock = 0, stock
	return float64(must(t, p).Accounts[0].Water) / 30
}

// wetPerDay budgets a month with that much dry solids a day.
func wetPerDay(t *testing.T, kg float64, share quantity.Fraction) float64 {
	t.Helper()
	p := flat(1, 10, 0, quantity.Price{Amount: 1, Currency: "USD", Per: "kg"})
	p.Classes = []Class{{Name: "all", Share: 1, Removed: solids.Same(quantity.Concentration(kg / 10 * 1000))}}
	p.Disposal = day.Disposal{DrySolids: share, Density: 1}
	return float64(must(t, p).Wet.Likely) / 30
}

// goodsOf budgets a month that uses just that volume of product.
func goodsOf(t *testing.T, v quantity.Volume, price quantity.Price) float64 {
	t.Helper()
	return massCost(t, float64(v)*1.2, price)
}

// massCost budgets a month of 30 days that uses just that mass of product (kg).
func massCost(t *testing.T, kg float64, price quantity.Price) float64 {
	t.Helper()
	// 1 m3/h for 10 h on 30 days is 300 m3; the dose makes it so many kg.
	b := must(t, flat(1, 10, quantity.Concentration(kg/300*1000), price))
	if got := float64(b.Accounts[0].Use); math.Abs(got-kg) > 1e-9*kg {
		t.Fatalf("use %g kg, want %g", got, kg)
	}
	return b.Lines[0].Amount.Amount
}

// TestSavingPerThousandCubicMetres: 48 038.40 $/d against 34 694.40 $/d at 8 MGD
// saves 13 344 $/d, which is 441 $ per 1000 m3 (Alvord & Blasberg 2019, p. 310;
// the division by the flow is ours).
func TestSavingPerThousandCubicMetres(t *testing.T) {
	flow, err := quantity.Parse[quantity.Flow]("8 MGD")
	if err != nil {
		t.Fatal(err)
	}
	perM3 := func(perDay float64) float64 {
		kg := perDay / 0.5 // at 0.5 $/kg
		dose := kg / (float64(flow) * 24) * 1000
		return must(t, flat(flow, 24, quantity.Concentration(dose), quantity.Price{Amount: 0.5, Currency: "USD", Per: "kg"})).PerM3.Amount
	}
	a, b := perM3(48038.4), perM3(34694.4)
	day := (a - b) * float64(flow) * 24
	if math.Abs(day-13344) > 0.5 {
		t.Errorf("saving %.2f $/d, published 13344", day)
	}
	if per := (a - b) * 1000; math.Abs(per-441) > 0.5 {
		t.Errorf("saving %.2f $ per 1000 m3, want 441", per)
	}
}

// TestRoughMonthAgainstCalendar: over a leap cycle of 400 years a calendar of
// five-day weeks uses what 5 × (146097 / 7 / 4800) days a month predict exactly,
// and 4.33 weeks is within half a percent of that (common practice, no source).
func TestRoughMonthAgainstCalendar(t *testing.T) {
	var worked int
	m := Month{2000, time.January}
	for range 4800 {
		days, err := Calendar{Month: m, Flow: 1, Week: workDays(8)}.Days(0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range days {
			if d.Operating {
				worked++
			}
		}
		m = m.Next()
	}
	if worked != 146097*5/7 {
		t.Errorf("%d worked days in 400 years, want %d", worked, 146097*5/7)
	}
	mean := float64(worked) / 4800
	if rough := float64(RoughMonth(1, 5, 4.33)); math.Abs(rough/mean-1) > 0.005 {
		t.Errorf("4.33 weeks of 5 days are %.3f d, the calendar's mean is %.3f", rough, mean)
	}
}
