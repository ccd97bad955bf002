package month

import (
	"jarwright/dosing/doubt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"jarwright/dosing"
	"jarwright/dosing/day"
	"jarwright/dosing/daytest"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
)

var catalogued = dosing.Given{Catalogue: product.Default()}

func planned(t require, s site.Site) dosing.Plan { return plannedBy(t, s, catalogued) }

func plannedBy(t require, s site.Site, g dosing.Given) dosing.Plan {
	in, err := dosing.FromSite(s, g)
	if err != nil {
		t.Fatal(err)
	}
	p, err := dosing.Make(in)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func budgeted(t *rapid.T, s site.Site) Budget {
	p, _, err := FromSite(s, Options{Given: catalogued, Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	b, err := Make(p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// thousand holds a property on at least a thousand draws, which take some ten seconds in all.
func thousand(t *testing.T, property func(*rapid.T)) {
	t.Helper()
	for range 10 { // of a hundred each, as it draws where no flag says otherwise
		if rapid.Check(t, property); t.Failed() {
			return
		}
	}
}

// TestMonthOfEqualDays: n equal days are n times the plan, in every quantity, some days
// closed or none. What is paid for goods and deliveries is that of the month's own orders;
// at the usual order of the month it is n times the plan too.
func TestMonthOfEqualDays(t *testing.T) {
	thousand(t, func(t *rapid.T) {
		s := daytest.Site(t)
		n := 31
		if rapid.Bool().Draw(t, "closed days") {
			n = rapid.IntRange(1, 30).Draw(t, "open")
			s.Calendar[0].Till = quantity.Some(s.Calendar[0].From.V.AddDate(0, 0, n-1))
			s.Calendar = append(s.Calendar, site.Day{Runs: quantity.Some(false),
				From: quantity.Some(s.Calendar[0].Till.V.AddDate(0, 0, 1)), Till: quantity.Some(time.Date(2026, 3, 31, 0, 0, 0, 0, time.UTC))})
		}
		p, b := planned(t, s), budgeted(t, s)
		one := CostOf(s, p, Mean(s, catalogued, Month{}))
		for i, a := range b.Accounts {
			u := one.Uses[i]
			for what, x := range map[string][2]float64{"goods": {a.UsualGoods.Amount, u.Goods.Amount}, "deliveries": {a.UsualCharges.Amount, u.Freight.Amount}} {
				if math.Abs(x[0]-float64(n)*x[1]) > 1e-9*math.Max(x[0], 1e-6) {
					t.Fatalf("%s of %s in usual orders: month %.15g, %d days of %.15g", what, u.Chemical, x[0], n, x[1])
				}
			}
		}
		boughtAt(t, b, one)
		for _, d := range daytest.Differ(daytest.Figures(b.Account), daytest.Figures(one.Times(float64(n)))) {
			t.Fatalf("%d days: %s", n, d)
		}
		if b.Worked != n || b.Total.Currency != "EUR" || len(b.Accounts) != len(p.Feeds) {
			t.Fatalf("%d days worked, %d chemicals, %v", b.Worked, len(b.Accounts), b.Total)
		}
		of := func(what string, month, day float64) {
			t.Helper()
			if math.Abs(month-float64(n)*day) > 1e-9*math.Max(math.Abs(month), 1e-6) {
				t.Fatalf("%s: month %.15g, %d days of %.15g", what, month, n, day)
			}
		}
		of("water", float64(b.Treated), float64(p.Treated))
		of("hours", float64(b.Running), float64(p.Running))
		of("cost", b.Total.Amount-b.loss().Amount, one.Total().Amount)
		for i, f := range p.Feeds {
			a := b.Accounts[i]
			of(f.Name+" product", float64(a.Use), float64(f.Product))
			of(f.Name+" goods", a.Goods.Amount, one.Uses[i].Goods.Amount)
			of(f.Name+" freight", a.Freight.Amount, one.Uses[i].Freight.Amount)
			of(f.Name+" water", float64(a.Water), float64(one.Uses[i].Water))
			of(f.Name+" stock", float64(b.Uses[i].Stock), float64(f.StockUse))
			of(f.Name+" active", float64(b.Uses[i].Active), float64(f.Active))
			of(f.Name+" volume", float64(a.UseVolume), float64(f.Volume))
		}
		if d := p.Solids(s); d != nil {
			of("dry low", float64(b.Dry.Low), float64(one.Dry.Low))
			of("dry", float64(b.Dry.Likely), float64(d.Dry.Likely))
			of("dry high", float64(b.Dry.High), float64(one.Dry.High))
			of("wet", float64(b.Wet.Likely), float64(d.Volume.Likely))
			of("float", float64(b.Float.High), float64(one.Float.High))
			of("skimmed", float64(b.Carried), float64(d.Carried))
		}
	})
}

// TestRangeOfDayIsThatOfMonth: what eight days in ten take and make is what eight months in ten of such days
// do, whatever of flow, doses and solids is in doubt. The day roots its logarithms, the month is drawn: they
// differ by a tenth of the range where a dose can only be more, as both ends of what is drawn go up with it.
func TestRangeOfDayIsThatOfMonth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		share := func(what string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
		for i := range s.Chemicals {
			if c := &s.Chemicals[i]; c.Dose.OK && rapid.Bool().Draw(t, "range of dose") {
				c.DoseLow = quantity.Some(c.Dose.V * quantity.Concentration(share("low", 0.5, 1)))
				c.DoseHigh = quantity.Some(c.Dose.V * quantity.Concentration(share("high", 1, 2)))
			}
		}
		s.Flow.Range, s.Solids.Doubt = quantity.Some(quantity.Fraction(share("flow", 0, 0.3))), quantity.Some(quantity.Fraction(share("solids", 0, 0.4)))
		p := planned(t, s)
		made, _, err := FromSite(s, Options{Given: catalogued, Draws: 1000})
		if err != nil {
			t.Fatal(err)
		}
		b, err := Make(made)
		if err != nil {
			t.Fatal(err)
		}
		same := func(what string, low, likely, high, p10, p90 float64) {
			t.Helper()
			if likely <= 0 || low <= 0 { // an alkali that may not be needed at all
				return
			}
			near := 0.02 + 0.12*math.Log(high/low)
			if math.Abs(math.Log(p10/31/low)) > near || math.Abs(math.Log(p90/31/high)) > near {
				t.Fatalf("%s: %g to %g a day, %g to %g in the month's", what, low, high, p10/31, p90/31)
			}
		}
		for i, f := range p.Feeds {
			if low, high := f.Range.ProductLow, f.Range.ProductHigh; f.Range.Known && f.Balance == nil {
				same(f.Name, float64(low), float64(f.Product), float64(high), float64(b.Range.Use[i].P10), float64(b.Range.Use[i].P90))
			}
		}
		if d := p.Solids(s); d != nil {
			same("dry", float64(d.Dry.Low), float64(d.Dry.Likely), float64(d.Dry.High), float64(b.Range.Dry.P10), float64(b.Range.Dry.P90))
		}
	})
}

// TestMonthWithCleanUps: a month of usual days and of clean-ups, on closed days and beside ordinary
// water, is so many times the plan and so many times what clarify makes of the tank, in every
// quantity, whatever volume is typed; the plan of such a date is the clean-up, or the usual day beside it.
func TestMonthWithCleanUps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		s.Solids.Capture = quantity.Some(quantity.Fraction(rapid.Float64Range(0.3, 1).Draw(t, "caught by a pass")))
		s.Solids.TankLongest = quantity.Some[quantity.Time](24 * 60)
		s.Tanks[1].Volume = quantity.Some(quantity.Volume(rapid.Float64Range(0.5, 3).Draw(t, "hours of flow") * 1000 * float64(flowOf(t, s))))
		s.Calendar[0].Till = quantity.Some(time.Date(2026, 3, 20, 0, 0, 0, 0, time.UTC))
		ordinary, cleanUps := 20, rapid.IntRange(1, 11).Draw(t, "clean-ups")
		for d := 21; d <= 31; d++ {
			row := site.Day{From: quantity.Some(time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC)), Runs: quantity.Some(rapid.Bool().Draw(t, "runs")),
				Water: quantity.Some(site.UsualWater)}
			if row.Runs.V {
				ordinary++
			}
			if d-21 < cleanUps {
				row.CleanUp = quantity.Some(quantity.Volume(rapid.Float64Range(1, 1e6).Draw(t, "typed")))
			}
			s.Calendar = append(s.Calendar, row)
		}
		one, b := planned(t, s), budgeted(t, s)
		in, err := dosing.CleaningFromSite(s, catalogued, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		done, err := dosing.Clean(in)
		if err != nil {
			t.Fatal(err)
		}
		for k, first, days := 0, 0, cleanUps; k < days; k++ { // all on days in a row: one that takes several has all of them
			if k > first && 24*quantity.Time(k-first) < done.Time {
				cleanUps--
			} else {
				first = k
			}
		}
		mean := Mean(s, catalogued, Month{})
		usual, clean := CostOf(s, one, mean), CostOfCleaning(s, done, catalogued, Month{})
		boughtAt(t, b, usual)
		boughtAt(t, b, clean)
		want := usual.Times(float64(ordinary)).Plus(clean.Times(float64(cleanUps)))
		for _, d := range daytest.Differ(daytest.Figures(b.Account), daytest.Figures(want)) {
			t.Fatalf("%d days and %d clean-ups: %s", ordinary, cleanUps, d)
		}
		var use []float64
		for i := range b.Accounts {
			sum := 0.0
			for _, d := range b.Accounts[i].Stock[:31] {
				sum += float64(d.Used + d.Short)
			}
			use = append(use, sum)
			if math.Abs(sum-float64(want.Uses[i].Product)) > 1e-9*sum {
				t.Fatalf("the store of %s gives %g, used are %g", b.Accounts[i].Chemical.Name, use, want.Uses[i].Product)
			}
		}
		for _, row := range s.Calendar[1:2] {
			own, g, err := OnDate(s, catalogued, DateOf(row.From.V))
			switch {
			case !row.Runs.V && !row.CleanUp.OK:
				if err == nil {
					t.Fatal("a closed day is planned")
				}
			case err != nil || g.CleansUp == row.Runs.V:
				t.Fatalf("%s: %v, the day is only a clean-up: %v", DateOf(row.From.V), err, g.CleansUp)
			case row.Runs.V:
				if d := daytest.Differ(daytest.Figures(CostOf(own, planned(t, own), mean).Account), daytest.Figures(CostOf(s, one, mean).Account)); len(d) > 0 {
					t.Fatal(d)
				}
			}
		}
	})
}

// flowOf is the average flow of a site.
func flowOf(t *rapid.T, s site.Site) quantity.Flow {
	d, _, err := dosing.DayOf(s.Flow, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d.Average()
}

// boughtAt gives the uses of a day the price and the delivery charge of the month's own
// orders, worked out from the list of deliveries; where none arrives the day's own stand.
func boughtAt(t *rapid.T, b Budget, one DayCost) {
	for i, a := range b.Accounts {
		var kg, goods, charges float64
		for _, d := range a.Deliveries {
			if b.Plan.Calendar.Month.First().DaysTo(d.Arrives) < b.Plan.Calendar.Month.Days() {
				kg += float64(d.Amount)
				goods += float64(d.Amount) * d.Price.Amount
				charges += a.Chemical.Prices.Delivery.Amount
			}
		}
		if math.Abs(kg-float64(a.Bought)) > 1e-9*kg || math.Abs(goods+charges-a.ToPay.Amount) > 1e-9*(goods+charges) {
			t.Fatalf("%s: %v kg bought for %v, by its deliveries %g for %g", a.Chemical.Name, a.Bought, a.ToPay, kg, goods+charges)
		}
		if u := &one.Uses[i]; kg > 0 {
			u.Goods.Amount, u.Freight.Amount = float64(u.Product)*goods/kg, float64(u.Product)*charges/kg
		}
	}
}

// TestBoughtIsUsedLeftOrExpired: what stood in the store, came and was on order is
// used, left or out of date, on any site, with short lives and small stores too.
func TestBoughtIsUsedLeftOrExpired(t *testing.T) {
	expired := 0
	thousand(t, func(t *rapid.T) {
		s := daytest.Site(t)
		for i := range s.Prices {
			r := &s.Prices[i]
			r.OnHand = quantity.Some(quantity.Mass(rapid.Float64Range(0, 400).Draw(t, "on hand")))
			r.Shelf = quantity.Some(quantity.Time(24 * rapid.IntRange(1, 60).Draw(t, "shelf")))
			r.Age = quantity.Some(quantity.Time(24 * rapid.IntRange(0, 20).Draw(t, "age")))
			if rapid.Bool().Draw(t, "on order") {
				r.OnOrder = quantity.Some(rapid.IntRange(1, 3).Draw(t, "packs"))
				r.Arrives = quantity.Some(time.Date(2026, 3, rapid.IntRange(1, 31).Draw(t, "arrives"), 0, 0, 0, 0, time.UTC))
			}
		}
		b := budgeted(t, s)
		var lost float64
		for _, a := range b.Accounts {
			var came, packs, used, out, ordered float64
			for _, d := range a.Stock[:b.Plan.Calendar.Month.Days()] {
				came, used, out = came+float64(d.Arrived), used+float64(d.Used), out+float64(d.Expired)
				packs, ordered = packs+float64(d.Packs), ordered+float64(d.OnOrder)
				if d.Start < -slack || d.End < -slack || d.Expired < -slack || d.Used < -slack {
					t.Fatalf("%s: below nothing: %+v", a.Chemical.Name, d)
				}
			}
			in, left := float64(a.Chemical.Supply.Opening)+came, float64(a.Closing(b.Plan.Calendar.Month))
			if math.Abs(in-used-out-left) > 1e-9*math.Max(1, in) {
				t.Fatalf("%s: %g in, %g used, %g out of date, %g left", a.Chemical.Name, in, used, out, left)
			}
			if math.Abs(came-packs*float64(a.Chemical.Supply.Pack)-ordered) > 1e-9*math.Max(1, came) || math.Abs(out-float64(a.Expired)) > 1e-9*math.Max(1, out) {
				t.Fatalf("%s: %g came of %g packs and %g on order; %g or %v out of date", a.Chemical.Name, came, packs, ordered, out, a.Expired)
			}
			lost += out * (a.UnitPrice.Amount + a.UnitFreight.Amount)
			if out > 0 {
				expired++
			}
		}
		if line := b.Lines[len(b.Lines)-1]; line.Name != "goods out of date" || math.Abs(line.Amount.Amount-lost) > 1e-9*math.Max(1, lost) {
			t.Fatalf("%+v, by what went out of date %g", line, lost)
		}
	})
	if expired == 0 {
		t.Error("nothing ever went out of date")
	}
}

// TestDaysOfUnknownWater: a day whose water is not known is the mean of the
// classes, by their share.
func TestDaysOfUnknownWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		s.Water.ClearDays, s.Water.StormDays = quantity.Some(quantity.Fraction(0.25)), quantity.Some(quantity.Fraction(0.15))
		for i := range s.Prices { // at one price, whatever is ordered
			s.Prices[i].Delivery, s.Prices[i].From2.OK = quantity.Known[quantity.Money]{}, false
			s.Prices[i].Price2.OK = false
		}
		on := func(class string) day.Account {
			s.Calendar[0].Water = quantity.Known[string]{V: class, OK: class != ""}
			return budgeted(t, s).Account
		}
		want := on(site.UsualWater).Times(0.6).Plus(on(site.ClearWater).Times(0.25)).Plus(on(site.StormWater).Times(0.15))
		for _, d := range daytest.Differ(daytest.Figures(on("")), daytest.Figures(want)) {
			t.Fatal(d)
		}
	})
}

// TestMonthOfStormDays: a month of storm days is so many times the plan of one, with phosphate too, of which a larger dose
// takes more and yet less for each of its mass.
func TestMonthOfStormDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		s.Water.Phosphate = quantity.Some(quantity.Concentration(rapid.Float64Range(0.05, 12).Draw(t, "phosphate")))
		s.Calendar[0].Water = quantity.Some(site.StormWater)
		own, p := planOn(t, s, catalogued, DateOf(s.Calendar[0].From.V))
		b, one := budgeted(t, s), CostOf(own, p, Mean(s, catalogued, Month{}))
		for what, x := range map[string][2]float64{"dry": {float64(b.Dry.Likely), float64(one.Dry.Likely)}, "wet": {float64(b.Wet.High), float64(one.Wet.High)},
			"alkalinity": {float64(b.AlkalinityUsed), float64(one.AlkalinityUsed)}} {
			if math.Abs(x[0]-31*x[1]) > 1e-9*math.Max(math.Abs(x[0]), 1e-6) {
				t.Fatalf("%s: month %.15g, 31 days of %.15g", what, x[0], x[1])
			}
		}
	})
}

// TestDrawAtTheCentre: drawn without doubt, every month is the sum of its days; so
// is the middle from which the influences are counted, with days of unknown water.
func TestDrawAtTheCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := daytest.Site(t)
		if rapid.Bool().Draw(t, "unknown water") {
			s.Calendar[0].Water = quantity.Known[string]{}
		}
		p, _, err := FromSite(s, Options{Given: catalogued, Draws: 100})
		if err != nil {
			t.Fatal(err)
		}
		p.Doubt.Flow, p.Doubt.Solids = doubt.Span{Low: 1, High: 1}, doubt.Span{Low: 1, High: 1}
		b, err := Make(p)
		if err != nil {
			t.Fatal(err)
		}
		same := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-9*math.Max(math.Abs(want), 1e-6) {
				t.Fatalf("%s: %.15g, sum of days %.15g", what, got, want)
			}
		}
		for _, i := range b.Range.Matters {
			same(i.Name+" at its low", i.Low.Amount, b.Total.Amount)
			same(i.Name+" at its high", i.High.Amount, b.Total.Amount)
		}
		if s.Calendar[0].Water.OK || len(p.Classes) == 1 {
			for q, r := range map[string]Range{"drawn": b.Range} {
				same(q+" cost", r.Cost.P10, b.Total.Amount)
				same(q+" cost", r.Cost.P90, b.Total.Amount)
				same(q+" dry", float64(r.Dry.P50), float64(b.Dry.Likely))
				same(q+" per m3", r.PerM3.P50, b.PerM3.Amount)
				for c := range b.Accounts {
					same(q+" use", float64(r.Use[c].P10), float64(b.Accounts[c].Use))
					same(q+" cost of use", r.UseCost[c].P90, b.Accounts[c].Goods.Amount+b.Accounts[c].Freight.Amount)
				}
			}
		}
	})
}

// TestCleanUps: a clean-up runs the unit as long as its water takes at the day's
// flow: on a closed day for itself, on a full day beside the ordinary water.
func TestCleanUps(t *testing.T) {
	for _, x := range []struct {
		what        string
		hours, flow float64
		closed      bool
		m3, want    float64
	}{
		{"after ordinary hours", 10, 20, false, 180, 19},
		{"a full day", 24, 20, false, 180, 24},
		{"only part of it fits", 20, 20, false, 180, 24},
		{"on a closed day", 10, 20, true, 180, 9},
		{"more than a closed day holds", 10, 20, true, 1000, 24},
		{"none", 10, 20, false, 0, 10},
		{"none, closed", 10, 20, true, 0, 0},
		{"without flow", 10, 0, true, 180, 24},
	} {
		p := flat(quantity.Flow(x.flow), quantity.Time(x.hours), 10, eurPerKg(1))
		p.Energy = Energy{Power: 2000, Price: quantity.Price{Amount: 1, Currency: "EUR", Per: "kWh"}}
		p.Calendar.Exceptions = []Exception{{Date: p.Calendar.Month.First(), Closed: x.closed, CleanUp: quantity.Volume(x.m3 * 1000)}}
		d := must(t, p).Days[0]
		near(t, x.what, float64(d.Running()), x.want)
		ordinary := x.flow * x.hours
		if x.closed {
			ordinary = 0
		}
		near(t, x.what+": water", d.Treated().In("m3"), ordinary+x.m3)
	}
	// A weekday off treats no share of the design flow; a clean-up on it runs at that flow all the same.
	p := flat(20, 10, 10, eurPerKg(1))
	first := p.Calendar.Month.First()
	p.Calendar.Week[first.Weekday()] = Pattern{Operating: false}
	p.Calendar.Exceptions = []Exception{{Date: first, CleanUp: 100000}}
	near(t, "on a weekday off", float64(must(t, p).Days[0].Running()), 5)
	p.Calendar.Season = 2
	near(t, "in a season of twice the flow", float64(must(t, p).Days[0].Running()), 2.5)
	// 40 m3 at a design flow of 20 m3/h: the day's own flow where it has one.
	for _, x := range []struct {
		what string
		day  Day
		want quantity.Time
	}{
		{"half the design flow on this weekday", Day{Operating: true, Flow: 10, Hours: 8}, 4},
		{"that weekday off", Day{Flow: 10, Hours: 8}, 2},
		{"off, with a flow of its own", Day{Flow: 5, OwnFlow: true}, 8},
		{"worked, with a flow of its own", Day{Operating: true, Flow: 5, OwnFlow: true, Hours: 8}, 8},
		{"worked without flow", Day{Operating: true, Hours: 8}, 2},
		{"slower than 1 m3/h", Day{Operating: true, Flow: 0.5, OwnFlow: true, Hours: 23}, 1},
	} {
		x.day.CleanUp = 40000
		x.day.cleans(20, 0)
		near(t, x.what, float64(x.day.Cleaning), float64(x.want))
	}
	d := Day{Operating: true, Hours: 8, CleanUp: 400}
	d.cleans(0.5, 0)
	near(t, "0.4 m3 at 0.5 m3/h", float64(d.Cleaning), 0.8)
}

func eurPerKg(v float64) quantity.Price {
	return quantity.Price{Amount: v, Currency: "EUR", Per: "kg"}
}
