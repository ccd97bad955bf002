package month

import (
	"jarwright/dosing/doubt"
	"math"
	"strings"
	"testing"
	"time"

	"jarwright/dosing/day"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// TestBalance: alum takes 0.5 mg CaCO3 per mg; raw 40, keep 30. Clear water at 20
// mg/L needs nothing, storm water at 40 mg/L lacks 10 mg/L, which 10.6 mg/L of
// soda ash give back (1.06 kg/kg; worked by hand).
func TestBalance(t *testing.T) {
	p := handMonth()
	p.Chemicals[0].AlkalinityUse = 0.5
	p.Chemicals = append(p.Chemicals, Chemical{
		Name: "soda ash", Role: Alkali, Basis: quantity.AsNa2CO3, Balance: &day.Balance{Raw: 40, Keep: 30, PerCaCO3: 1.06},
		Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.99)}, Supply: Supply{Opening: 100, Pack: 25},
	})
	b := must(t, p)
	a := b.Accounts[2]
	near(t, "clear", float64(a.Doses[0]), 0)
	near(t, "storm", float64(a.Doses[1]), 10.6)
	near(t, "usual", float64(a.UsualDose), 2.65)
	near(t, "kg", float64(a.Use), (4580*2.65+400*10.6)/1000/0.99)
	if _, ok := has(b.Notes, "no-price"); !ok {
		t.Error("an unpriced chemical passes without a word")
	}
}

func TestPrices(t *testing.T) {
	for text, want := range map[string]float64{
		"0.42 EUR/kg": 0.42, "420 EUR/t": 0.42, "1.2 EUR/L": 1, "1200 EUR/m3": 1, "30 EUR/pack": 1.2, "30 EUR/drum": 1.2, "1 EUR per kg": 1,
	} {
		p, err := quantity.ParsePrice(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		kg, err := p.PerKg(1.2, 25)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		near(t, text, kg.Amount, want)
	}
	for _, bad := range []string{"", "5", "5 EUR", "5 /kg", "-1 EUR/kg", "5 EUR/kq", "x EUR/kg"} {
		if _, err := quantity.ParsePrice(bad); err == nil {
			t.Errorf("%q passes for a price", bad)
		}
	}
	l := PriceList{Tiers: []Tier{{2, quantity.Price{Amount: 3}}, {5, quantity.Price{Amount: 2}}}}
	for packs, want := range map[int]float64{1: 3, 2: 3, 4: 3, 5: 2, 50: 2} {
		if got := l.At(packs).Amount; got != want {
			t.Errorf("%d packs: %g, want %g", packs, got, want)
		}
	}
	if _, err := (quantity.Price{Amount: 1, Currency: "EUR", Per: "L"}).PerKg(0, 0); err == nil {
		t.Error("a price by volume without density passes")
	}
}

func TestDisposalPrices(t *testing.T) {
	// 100 kg dry at 2 % and 1.02 kg/L are 5 t wet, 4.902 m3.
	for per, price := range map[string]float64{"kg dry": 1, "t dry": 1000, "t": 20, "m3": 20 * 1.02} {
		d := day.Disposal{DrySolids: 0.02, Density: 1.02, Price: quantity.Price{Amount: price, Currency: "EUR", Per: per}}
		near(t, per, 100*d.PerKgDry(), 100)
	}
}

func TestImpossiblePlans(t *testing.T) {
	for want, spoil := range map[string]func(*Plan){
		"no-chemical":     func(p *Plan) { p.Chemicals = nil },
		"no-month":        func(p *Plan) { p.Calendar.Month.Month = 13 },
		"negative-flow":   func(p *Plan) { p.Calendar.Flow = -1 },
		"chemical-name":   func(p *Plan) { p.Chemicals[1].Name = "ALUM" },
		"bad-strength":    func(p *Plan) { p.Chemicals[0].Strength.V = 1.2 },
		"doses":           func(p *Plan) { p.Chemicals[0].Doses = append(p.Chemicals[0].Doses, Dose{}) },
		"negative-dose":   func(p *Plan) { p.Chemicals[0].Doses[0].Plan = -1 },
		"shares":          func(p *Plan) { p.Classes[0].Share = 0.5 },
		"bad-class":       func(p *Plan) { p.Classes[0].Removed.Likely = -1 },
		"class-unknown":   func(p *Plan) { p.Calendar.Exceptions[0].Class = "strom" },
		"currencies":      func(p *Plan) { p.Water.Currency = "USD" },
		"tiers":           func(p *Plan) { p.Chemicals[0].Prices.Tiers[1].From = 1 },
		"no-dry-solids":   func(p *Plan) { p.Disposal.DrySolids = 0 },
		"bad-price":       func(p *Plan) { p.Chemicals[0].Prices.Delivery.Amount = -1 },
		"day-twice":       func(p *Plan) { p.Calendar.Exceptions[1].Date = p.Calendar.Exceptions[0].Date },
		"bad-hours":       func(p *Plan) { p.Calendar.Exceptions[0].Hours = 30 },
		"open-and-closed": func(p *Plan) { p.Calendar.Exceptions[3].Open = true },
	} {
		p := handMonth()
		spoil(&p)
		_, err := Make(p)
		n, ok := has(note.Of(err, ""), want)
		if !ok || n.Remedy == "" {
			t.Errorf("%s: %v", want, err)
		}
	}
	p := handMonth()
	p.Calendar.Exceptions[0].Class = "strom"
	if _, err := Make(p); err == nil || !strings.Contains(err.Error(), `did you mean "storm"`) {
		t.Errorf("no suggestion: %v", err)
	}
}

func TestClosedMonth(t *testing.T) {
	p := handMonth()
	p.Calendar.Flow = 0
	p.Calendar.Exceptions = nil
	b := must(t, p)
	if _, ok := has(b.Notes, "nothing-treated"); !ok || b.HasPerM3 || b.HasPerKg || b.Accounts[0].Use != 0 || len(b.Accounts[0].Deliveries) != 0 {
		t.Errorf("a month without water: %+v", b.Total)
	}
}

func TestParseDate(t *testing.T) {
	if d, err := ParseDate("2028-02-29"); err != nil || d != (Date{2028, time.February, 29}) || MonthOf(d) != (Month{2028, time.February}) {
		t.Errorf("%v %v", d, err)
	}
	for _, bad := range []string{"", "2026", "2026-02", "02/03/2026", "2027-02-29"} {
		if _, err := ParseDate(bad); err == nil {
			t.Errorf("%q passes for a day", bad)
		}
	}
}

// TestAtTheEdge: what is just possible passes.
func TestAtTheEdge(t *testing.T) {
	for what, change := range map[string]func(*Plan){
		"January":               func(p *Plan) { p.Calendar.Month.Month, p.Calendar.Exceptions = 1, nil },
		"December":              func(p *Plan) { p.Calendar.Month.Month, p.Calendar.Exceptions = 12, nil },
		"no flow":               func(p *Plan) { p.Calendar.Flow = 0 },
		"strength of 1":         func(p *Plan) { p.Chemicals[0].Strength.V = 1 },
		"no strength":           func(p *Plan) { p.Chemicals[0].Strength.V = 0 },
		"no dose":               func(p *Plan) { p.Chemicals[0].Doses[0].Plan = 0 },
		"one dose for all":      func(p *Plan) { p.Chemicals[0].Doses = p.Chemicals[0].Doses[:1] },
		"shares all but right":  func(p *Plan) { p.Classes[0].Share += 9e-7 },
		"no clear days":         func(p *Plan) { p.Classes[0].Share, p.Classes[1].Share = 0, 1 },
		"no solids":             func(p *Plan) { p.Classes[0].Removed = solids.Range[quantity.Concentration]{} },
		"solids by the kg":      func(p *Plan) { p.Disposal.DrySolids, p.Disposal.Price.Per = 0, "kg dry" },
		"solids for nothing":    func(p *Plan) { p.Disposal.DrySolids, p.Disposal.Price.Amount = 0, 0 },
		"the usual mix by name": func(p *Plan) { p.Calendar.Exceptions[0].Class = UsualWater },
		"24 hours":              func(p *Plan) { p.Calendar.Exceptions[0].Hours = 24 },
	} {
		p := handMonth()
		change(&p)
		if _, err := Make(p); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	for code, spoil := range map[string]func(*Plan){
		"no-month":      func(p *Plan) { p.Calendar.Month.Month = 0 },
		"bad-strength":  func(p *Plan) { p.Chemicals[0].Strength.V = -0.1 },
		"negative-dose": func(p *Plan) { p.Chemicals[0].Doses[1].Plan = quantity.Concentration(math.Inf(1)) },
		"shares":        func(p *Plan) { p.Classes[0].Share += 2e-6 },
		"bad-class":     func(p *Plan) { p.Classes[0].Share, p.Classes[1].Share = -0.5, 1.5 },
		"no-dry-solids": func(p *Plan) {
			p.Disposal.DrySolids, p.Disposal.Price = 0, quantity.Price{Amount: 0.5, Currency: "EUR", Per: "t"}
		},
		"negative-flow": func(p *Plan) { p.Calendar.Flow = -0.5 },
		"chemical-name": func(p *Plan) { p.Chemicals[0].Name = " " },
		"bad-range":     func(p *Plan) { p.Doubt.Solids = doubt.Span{Low: 2, High: 3} },
		"price":         func(p *Plan) { p.Chemicals[1].Prices.Tiers[0].Price.Per = "L" },
	} {
		p := handMonth()
		spoil(&p)
		_, err := Make(p)
		if l := note.Of(err, "price"); len(l) == 0 || code != "price" && (len(l) != 1 || l[0].Code != code) {
			t.Errorf("%s: %v", code, l)
		}
	}
	low := handMonth()
	low.Classes[1].Removed.Low = -0.5
	if _, err := Make(low); err == nil {
		t.Error("negative solids pass")
	}
	p := handMonth()
	p.Classes = p.Classes[:1]
	p.Chemicals[0].Doses, p.Chemicals[1].Doses, p.Calendar.Exceptions = p.Chemicals[0].Doses[:1], p.Chemicals[1].Doses[:1], nil
	if b := must(t, p); b.Classes[0].Share != 1 { // one class is all water, whatever its share
		t.Errorf("%+v", b.Classes)
	}
}

// TestCurrency: any price tells it; nothing priced has none.
func TestCurrency(t *testing.T) {
	eur := quantity.Price{Amount: 1, Currency: "EUR"}
	for what, set := range map[string]func(*Plan){
		"goods":       func(p *Plan) { p.Chemicals[1].Prices.Tiers = []Tier{{1, eur}} },
		"freight":     func(p *Plan) { p.Chemicals[1].Prices.Delivery.Currency = "EUR" },
		"disposal":    func(p *Plan) { p.Disposal.Price = eur },
		"water":       func(p *Plan) { p.Water = eur },
		"electricity": func(p *Plan) { p.Energy.Price = eur },
	} {
		p := Plan{Chemicals: make([]Chemical, 2)}
		if p.Currency() != "" {
			t.Error("nothing has a currency")
		}
		if set(&p); p.Currency() != "EUR" {
			t.Errorf("%s: %q", what, p.Currency())
		}
	}
}
