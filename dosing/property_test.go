package dosing

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"jarwright/dosing/flow"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/jartest/quantity"
)

// drawFeed draws a chemical of the catalogue with a dose on one of its bases.
func drawFeed(t *rapid.T, i int) FeedInput {
	p := rapid.SampledFrom(products.All()).Draw(t, "product")
	f := FeedInput{Name: fmt.Sprintf("chemical %d", i), Work: 0.25}
	f.Stock = Stock{Product: p}
	if p.Form == product.Dry || rapid.Bool().Draw(t, "diluted") {
		most := math.Min(float64(p.Dilution.High), 5e5)
		f.Stock.PerLitre = quantity.Concentration(rapid.Float64Range(most/50, most).Draw(t, "stock"))
	}
	f.Dose = quantity.Dose{Concentration: quantity.Concentration(rapid.Float64Range(0.01, 200).Draw(t, "dose")), Basis: rapid.SampledFrom(p.Bases()).Draw(t, "basis")}
	f.Pump = &pump.Pump{Calibration: pump.FromNameplate(quantity.FeedRate(rapid.Float64Range(0.1, 1e5).Draw(t, "pump")))}
	return f
}

// drawDay draws a day: one flow, or a table by the hour with idle stretches.
func drawDay(t *rapid.T) flow.Day {
	if rapid.Bool().Draw(t, "constant") {
		from := rapid.Float64Range(0, 12).Draw(t, "from")
		d, err := flow.Constant(quantity.Flow(rapid.Float64Range(0.01, 5000).Draw(t, "flow")),
			flow.Hours{{From: quantity.Time(from), To: quantity.Time(from + rapid.Float64Range(0.5, 12).Draw(t, "hours"))}})
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	var steps []flow.Step
	for h := range 24 {
		q := 0.0
		if rapid.Float64Range(0, 1).Draw(t, "runs") > 0.2 || h == 12 {
			q = rapid.Float64Range(0.01, 500).Draw(t, "flow")
		}
		steps = append(steps, flow.Step{From: quantity.Time(h), Flow: quantity.Flow(q)})
	}
	d, err := flow.ByHour(steps, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func relative(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Abs(a-b) / math.Max(math.Abs(a), math.Abs(b))
}

// Stock used × strength equals dose × water treated, whatever the basis, the
// dilution and the day's shape; the hours add up to the day; and the product of
// the day is what the stock of the day holds.
func TestMassCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := Input{Day: drawDay(t), Start: quantity.Time(rapid.IntRange(0, 23).Draw(t, "start"))}
		for i := range rapid.IntRange(1, 4).Draw(t, "feeds") {
			in.Feeds = append(in.Feeds, drawFeed(t, i))
		}
		p, err := Make(in)
		if err != nil {
			t.Fatal(err)
		}
		for k, f := range p.Feeds {
			if off := relative(float64(f.Closure.Given), float64(f.Closure.Asked)); off > 1e-9 {
				t.Fatalf("%s: closure is off by %g", f.Name, off)
			}
			strength, err := strengthOf(f.Stock, f.Dose.Basis)
			if err != nil {
				t.Fatal(err)
			}
			used, asked := Mass(strength, f.StockUse), Mass(f.Dose.Concentration, p.Treated)
			if relative(float64(used), float64(asked)) > 1e-9 {
				t.Fatalf("%s: stock × strength = %v, dose × water = %v", f.Name, used, asked)
			}
			var hours quantity.Volume
			for _, h := range p.Hours {
				hours += h.Feeds[k].Used
			}
			if relative(float64(hours), float64(f.StockUse)) > 1e-9 {
				t.Fatalf("%s: hours use %v, the day %v", f.Name, hours, f.StockUse)
			}
			if relative(float64(f.Product), float64(Mass(f.PerLitre, f.StockUse))) > 1e-9 {
				t.Fatalf("%s: product %v, in the stock %v", f.Name, f.Product, Mass(f.PerLitre, f.StockUse))
			}
			if d := doseFed(f.Rate, f.Flow, f.PerLitre); relative(float64(d), float64(f.AsProduct.Concentration)) > 1e-9 {
				t.Fatalf("%s: the feed makes %v of the water, wanted %v", f.Name, d, f.AsProduct)
			}
			if d := doseOf(f.Product, f.Flow, p.Running); relative(float64(d), float64(f.AsProduct.Concentration)) > 1e-9 {
				t.Fatalf("%s: the day's product is a dose of %v, wanted %v", f.Name, d, f.AsProduct)
			}
		}
	})
}

func scaled(d flow.Day, k float64) flow.Day {
	s := d.Segments()
	for i := range s {
		s[i].Flow *= quantity.Flow(k)
	}
	out, err := flow.FromSegments(s)
	if err != nil {
		panic(err)
	}
	return out
}

// Twice the flow takes twice of everything; a higher dose never a lower setting.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day, f := drawDay(t), drawFeed(t, 0)
		once, err := Make(Input{Day: day, Feeds: []FeedInput{f}})
		if err != nil {
			t.Fatal(err)
		}
		twice, err := Make(Input{Day: scaled(day, 2), Feeds: []FeedInput{f}})
		if err != nil {
			t.Fatal(err)
		}
		a, b := once.Feeds[0], twice.Feeds[0]
		for what, pair := range map[string][2]float64{
			"rate": {float64(a.Rate), float64(b.Rate)}, "product": {float64(a.Product), float64(b.Product)}, "stock": {float64(a.StockUse), float64(b.StockUse)},
			"peak": {float64(a.Peak), float64(b.Peak)}, "least": {float64(a.Least), float64(b.Least)},
		} {
			if relative(2*pair[0], pair[1]) > 1e-9 {
				t.Fatalf("%s: %v became %v at twice the flow", what, pair[0], pair[1])
			}
		}
		f.Dose.Concentration *= quantity.Concentration(rapid.Float64Range(1, 10).Draw(t, "more"))
		more, err := Make(Input{Day: day, Feeds: []FeedInput{f}})
		if err != nil {
			t.Fatal(err)
		}
		if x, y := a.Setting.Average, more.Feeds[0].Setting.Average; y.Exact.Setting < x.Exact.Setting || y.Position.Setting < x.Position.Setting && y.Reach == pump.Within {
			t.Fatalf("setting fell from %v to %v as the dose rose", x.Exact.Setting, y.Exact.Setting)
		}
	})
}

// What a recipe weighs makes the strength that the feed was worked out with.
func TestRecipeMakesTheStock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFeed(t, 0)
		if f.Stock.Neat() {
			return
		}
		v := quantity.Volume(rapid.Float64Range(0.1, 5000).Draw(t, "volume"))
		r, err := f.Stock.Recipe(v)
		if err != nil {
			t.Fatal(err)
		}
		if relative(float64(concentrationIn(r.Product, r.Final)), float64(f.Stock.PerLitre)) > 1e-12 {
			t.Fatalf("%v in %v is not %v", r.Product, r.Final, f.Stock.PerLitre)
		}
		mass := float64(r.Product) + float64(r.Water)*float64(WaterDensity)
		if relative(mass, float64(r.Density)*float64(r.Final)) > 1e-9 {
			t.Fatalf("masses do not add up: %v and %v", mass, float64(r.Density)*float64(r.Final))
		}
		if relative(float64(r.Product)/mass, float64(r.ByMass)) > 1e-9 {
			t.Fatalf("share by mass %v, want %v", float64(r.Product)/mass, r.ByMass)
		}
	})
}

// Dilutions conserve what is dissolved.
func TestDilutionsConserve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := quantity.Fraction(rapid.Float64Range(0.001, 1).Draw(t, "from"))
		to := from * quantity.Fraction(rapid.Float64Range(0, 1).Draw(t, "share"))
		final := quantity.Mass(rapid.Float64Range(0.001, 1e5).Draw(t, "final"))
		d, err := Dilute(final, from, to)
		if err != nil {
			t.Fatal(err)
		}
		if relative(float64(d.Strong)*float64(from), float64(final)*float64(to)) > 1e-12 || relative(float64(d.Strong+d.Water), float64(final)) > 1e-12 {
			t.Fatalf("%v of %v to %v: %+v", final, from, to, d)
		}
	})
}

// Every schedule that is given out keeps aged stock ready, feeds none after its
// life, overfills no tank and asks for no work outside the shift.
func TestSchedulesHold(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		day := drawDay(t)
		m := making{demand: demand{day: day, per: 1}, runStart: quantity.Time(rapid.IntRange(0, 23).Draw(t, "start"))}
		daily := rapid.Float64Range(0.5, 500).Draw(t, "daily")
		m.demand.per = daily / float64(day.Volume())
		m.tank = quantity.Volume(daily * rapid.Float64Range(0.2, 9).Draw(t, "tank"))
		if rapid.Bool().Draw(t, "mixer") {
			m.mix = quantity.Volume(daily * rapid.Float64Range(0.2, 2).Draw(t, "mix"))
		}
		m.ageing = quantity.Time(rapid.SampledFrom([]float64{0, 0, 0.5, 1, 2}).Draw(t, "ageing"))
		m.life = quantity.Time(rapid.SampledFrom([]float64{6, 8, 24, 48, 720}).Draw(t, "life"))
		m.work = 0.25
		if rapid.Bool().Draw(t, "shift") {
			m.shift = shift{quantity.Time(rapid.IntRange(4, 9).Draw(t, "from")), quantity.Time(rapid.IntRange(14, 23).Draw(t, "till"))}
		}
		batches, days, ok := m.schedule()
		if !ok {
			return
		}
		found++
		var sum quantity.Volume
		for _, b := range batches {
			meets := b.Volume
			if b.LetOut { // what stands in the tank is made anew
				meets -= b.Left
			}
			sum += meets
			if b.Aged < b.Made+m.ageing-1e-9 || b.Made < b.Start+m.work-1e-9 || b.Moved < b.Made-1e-9 {
				t.Fatalf("out of order: %+v", b)
			}
			if first := m.demand.next(b.From); b.Aged > first+1e-6 && m.demand.between(b.From, b.Aged) > m.demand.daily()*1e-6 {
				t.Fatalf("fed from %v, aged at %v", first, b.Aged)
			}
			if last := m.demand.last(b.Till); last > b.Expires+1e-6 {
				t.Fatalf("used till %v, expires %v", last, b.Expires)
			}
			if b.Volume > m.tank*(1+1e-9) || m.mix > 0 && b.Volume > m.mix*(1+1e-9) {
				t.Fatalf("batch of %v in a tank of %v, mixer %v", b.Volume, m.tank, m.mix)
			}
			if got := m.demand.between(b.From, b.Till); relative(float64(got), float64(meets)) > 1e-6 {
				t.Fatalf("a batch of %v, of which %v is new, meets a use of %v", b.Volume, meets, got)
			}
			if !m.shift.always() {
				for _, at := range []quantity.Time{b.Start, b.Start + m.work} {
					h := math.Mod(math.Mod(float64(at), 24)+24, 24)
					if h < float64(m.shift.From)-1e-6 && h > 1e-6 || h > float64(m.shift.Till)+1e-6 {
						t.Fatalf("work at %v outside %v", h, m.shift)
					}
				}
			}
		}
		// A draw shorter than touch counts for nothing, once a batch; a run lasts half an hour or more.
		if relative(float64(sum), float64(m.demand.daily())*float64(days)) > 1e-9+2*touch*float64(len(batches)) {
			t.Fatalf("batches make %v, %d days use %v", sum, days, m.demand.daily()*quantity.Volume(days))
		}
	})
	if found < 20 && !testing.Short() {
		t.Errorf("only %d schedules were found: the test looks at too little", found)
	}
}

// Demand and its inverse agree over days, idle hours included.
func TestDemandInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := demand{day: drawDay(t), per: rapid.Float64Range(1e-6, 1).Draw(t, "per")}
		from := quantity.Time(rapid.Float64Range(-48, 48).Draw(t, "from"))
		v := d.daily() * quantity.Volume(rapid.Float64Range(0.001, 5).Draw(t, "share"))
		till := d.until(from, v)
		if got := d.between(from, till); relative(float64(got), float64(v)) > 1e-9 {
			t.Fatalf("from %v till %v draws %v, want %v", from, till, got, v)
		}
	})
}
