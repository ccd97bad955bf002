package day_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"jarwright/dosing/day"
	"jarwright/dosing/daytest"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

func eur(v float64, per string) quantity.Price {
	return quantity.Price{Amount: v, Currency: "EUR", Per: per}
}

// handDay is 100 m3 in 10 h with alum, a polymer powder, and soda ash that keeps 36
// mg/L of alkalinity (invented).
func handDay() day.Record {
	share := quantity.Some[quantity.Fraction]
	return day.Record{Treated: 100000, Running: 10, Removed: solids.Range[quantity.Concentration]{Low: 10, Likely: 20, High: 30},
		Chemicals: []day.Chemical{
			{Name: "alum", Dose: quantity.Dose{Concentration: 12, Basis: quantity.AsAlum14}, Stock: 150000, Density: 1.2, Price: eur(0.40, "kg"), Freight: eur(0.10, "kg"),
				Effects: day.Effects{Strength: share(0.48), Active: quantity.Some[quantity.Ratio](1), AlkalinityUse: 0.5, Al: 0.09}},
			{Name: "polymer", Dose: quantity.Dose{Concentration: 0.5, Basis: quantity.AsProduct}, Stock: 2000, Carrier: 0.04, Price: eur(5, "kg"),
				Effects: day.Effects{Strength: share(1), Active: quantity.Some[quantity.Ratio](0.9), Floc: 0.9}},
			{Name: "soda ash", Balance: &day.Balance{Raw: 40, Keep: 36, PerCaCO3: 1.06}, Price: eur(0.60, "kg"), Density: 1.3,
				Effects: day.Effects{Strength: share(0.99), AlkalinityUse: -1 / 1.06}},
		},
		Skim: solids.Skimmer{Every: 0.25, Water: 0.5}, Disposal: day.Disposal{DrySolids: 0.02, Density: 1.05, Price: eur(30, "m3")},
		Power: 1500, MakeUp: eur(2, "m3"), Electricity: eur(0.20, "kWh")}
}

// TestAccountByHand works handDay out with a pocket calculator.
func TestAccountByHand(t *testing.T) {
	// Alum: 12 mg/L × 100 m3 = 1.2 kg; ÷ 0.48 = 2.5 kg of product; ÷ 1.2 = 2.08333 L; ÷ 150 g/L = 16.66667 L of
	// stock, 14.58333 L of it water. Alkalinity 0.6 kg. Aluminium 0.108 kg: × 78.004/26.982 = 0.312224 kg plain, ×
	// 132.049/26.982 = 0.528548 kg with bound water. 2.5 × 0.40 = 1.00, × 0.10 = 0.25, 0.01458333 m3 × 2 = 0.0291667 EUR.
	al := 0.108 / 26.982
	// Polymer: 0.05 kg of product, 0.045 kg active and solids; ÷ 2 g/L = 25 L of stock, all of it water: 0.05 EUR; 0.25 EUR.
	// Its carrier runs at 40 L/h for 10 h: 400 L, 0.80 EUR.
	// Soda ash: 12 × 0.5 + 36 − 40 = 2 mg/L lack; × 1.06 = 2.12 mg/L or 0.212 kg, ÷ 0.99 = 0.2141414 kg of product,
	// ÷ 1.3 = 0.1647242 L, fed as it is; gives 0.2 kg of alkalinity back; × 0.60 = 0.1284848 EUR.
	low, likely, high := 1+al*78.004+0.045, 2+al*132.049+0.045, 3+al*132.049+0.045
	// Float: dry ÷ (0.02 × 1.05 kg/L). The skimmer carries 0.5 L ÷ 0.25 h × 10 h = 20 L over.
	const perLitre = 0.02 * 1.05
	want := map[string]float64{
		".Treated": 100000, ".Running": 10, ".AlkalinityUsed": 0.4,
		".Uses[0].Dosed": 1.2, ".Uses[0].Active": 1.2, ".Uses[0].Product": 2.5, ".Uses[0].Volume": 2.5 / 1.2, ".Uses[0].Stock": 2.5 / 0.15, ".Uses[0].Water": 2.5/0.15 - 2.5/1.2,
		".Uses[0].Alkalinity": 0.6, ".Uses[0].Solids.Low": al * 78.004, ".Uses[0].Solids.Likely": al * 132.049, ".Uses[0].Solids.High": al * 132.049,
		".Uses[0].Goods.Amount": 1, ".Uses[0].Freight.Amount": 0.25, ".Uses[0].MakeUp.Amount": (2.5/0.15 - 2.5/1.2) / 1000 * 2,
		".Uses[1].Dosed": 0.05, ".Uses[1].Active": 0.045, ".Uses[1].Product": 0.05, ".Uses[1].Volume": 0, ".Uses[1].Stock": 25, ".Uses[1].Water": 25,
		".Uses[1].Alkalinity": 0, ".Uses[1].Solids.Low": 0.045, ".Uses[1].Solids.Likely": 0.045, ".Uses[1].Solids.High": 0.045,
		".Uses[1].Goods.Amount": 0.25, ".Uses[1].Freight.Amount": 0, ".Uses[1].MakeUp.Amount": 0.85,
		".Uses[0].Carrier": 0, ".Uses[1].Carrier": 400, ".Uses[2].Carrier": 0,
		".Uses[2].Dosed": 0.212, ".Uses[2].Active": 0, ".Uses[2].Product": 0.212 / 0.99, ".Uses[2].Volume": 0.212 / 0.99 / 1.3, ".Uses[2].Stock": 0.212 / 0.99 / 1.3, ".Uses[2].Water": 0,
		".Uses[2].Alkalinity": -0.2, ".Uses[2].Solids.Low": 0, ".Uses[2].Solids.Likely": 0, ".Uses[2].Solids.High": 0,
		".Uses[2].Goods.Amount": 0.212 / 0.99 * 0.6, ".Uses[2].Freight.Amount": 0, ".Uses[2].MakeUp.Amount": 0,
		".Removed.Low": 1, ".Removed.Likely": 2, ".Removed.High": 3, ".Dry.Low": low, ".Dry.Likely": likely, ".Dry.High": high,
		".Float.Low": low / perLitre, ".Float.Likely": likely / perLitre, ".Float.High": high / perLitre, ".Carried": 20,
		".Wet.Low": low/perLitre + 20, ".Wet.Likely": likely/perLitre + 20, ".Wet.High": high/perLitre + 20,
		".Energy": 15, ".Electricity.Amount": 3, ".Disposal.Amount": (likely/perLitre + 20) * 30 / 1000,
	}
	a := handDay().Account()
	for _, d := range daytest.Differ(daytest.Figures(a), want) {
		t.Error(d)
	}
	lines := []struct {
		name string
		want float64
	}{{"alum", 1}, {"polymer", 0.25}, {"soda ash", 0.212 / 0.99 * 0.6}, {"delivery charges", 0.25}, {"disposal of solids", want[".Disposal.Amount"]},
		{"make-up water", want[".Uses[0].MakeUp.Amount"] + 0.85}, {"energy", 3}}
	total := 0.0
	for i, l := range a.Lines() {
		total += lines[i].want
		if l.Name != lines[i].name || math.Abs(l.Amount.Amount-lines[i].want) > 1e-12 || l.Amount.Currency != "EUR" {
			t.Errorf("line %d: %+v, want %+v", i, l, lines[i])
		}
	}
	if len(a.Lines()) != len(lines) || math.Abs(a.Total().Amount-total) > 1e-12 || a.Total().Currency != "EUR" {
		t.Errorf("%d lines, all %v, want %v", len(a.Lines()), a.Total(), total)
	}
	if c := a.Uses[0].Cost(); math.Abs(c.Amount-(1.25+want[".Uses[0].MakeUp.Amount"])) > 1e-12 || c.Currency != "EUR" {
		t.Errorf("alum costs %v", c)
	}
	if got := a.Per(a.Uses[0].Dosed); math.Abs(float64(got)-12) > 1e-12 {
		t.Errorf("1.2 kg in 100 m3 are %v", got)
	}
	if got := (day.Account{}).Per(1); got != 0 {
		t.Errorf("without water %v", got)
	}
}

// TestDisposalPrices: 100 kg dry at 2 % and 1.02 kg/L are 5 t wet, 4.902 m3; a litre of
// water carried over is 1/1000 t and m3, and holds nothing dry.
func TestDisposalPrices(t *testing.T) {
	for per, x := range map[string]struct{ price, dry, litre float64 }{
		"kg dry": {1, 100, 0}, "t dry": {1000, 100, 0}, "t": {20, 100, 0.02}, "m3": {20 * 1.02, 100, 0.0204}, "": {7, 0, 0},
		// A pound is 0.45359237 kg, a US gallon 3.785411784 L, an imperial one 4.54609 L (NIST Handbook 44, appendix C).
		"kg": {0.02, 100, 0.02}, "lb": {0.02 * 0.45359237, 100, 0.02}, "short ton": {40 * 0.45359237, 100, 0.02},
		"L": {0.0204, 100, 0.0204}, "gal": {0.0204 * 3.785411784, 100, 0.0204}, "1000 gal": {20.4 * 3.785411784, 100, 0.0204},
		"imp gal": {0.0204 * 4.54609, 100, 0.0204}, "1000 m3": {20400, 100, 0.0204}, "pack": {7, 0, 0}, "kWh": {7, 0, 0}, "delivery": {7, 0, 0},
	} {
		d := day.Disposal{DrySolids: 0.02, Density: 1.02, Price: eur(x.price, per)}
		if got := 100 * d.PerKgDry(); math.Abs(got-x.dry) > 1e-9 {
			t.Errorf("%q: 100 kg cost %g, want %g", per, got, x.dry)
		}
		if got := d.PerLitre(); math.Abs(got-x.litre) > 1e-12 {
			t.Errorf("%q: a litre costs %g, want %g", per, got, x.litre)
		}
		if err := d.Check(); (err == nil) != (x.dry > 0) {
			t.Errorf("%q: %v", per, err)
		}
		if err := (day.Disposal{Price: d.Price}).Check(); (err == nil) != (per == "kg dry" || per == "t dry") {
			t.Errorf("%q without dry solids: %v", per, err)
		}
		if b := d.InBulk(); math.Abs(100*b.PerKgDry()-x.dry) > 1e-9 || x.dry > 0 && !slices.Contains([]string{"kg dry", "t dry", "t", "m3"}, b.Price.Per) {
			t.Errorf("%q in bulk: %v", per, b)
		}
		r := handDay()
		r.Disposal = d
		a := r.Account()
		want := float64(a.Dry.Likely)*d.PerKgDry() + 20*d.PerLitre()
		if math.Abs(a.Disposal.Amount-want) > 1e-9 || a.Disposal.Currency != "EUR" {
			t.Errorf("%q: disposal %v, want %g", per, a.Disposal, want)
		}
	}
	if err := (day.Disposal{}).Check(); err != nil {
		t.Errorf("without a price: %v", err)
	}
	if err := (day.Disposal{DrySolids: 0.02, Price: eur(1, "pack")}).Check(); err == nil || err.Error() != "the price of disposal of solids is per pack: give it per m3, t, kg dry, t dry" {
		t.Errorf("by the pack: %v", err)
	}
	if v := (day.Disposal{DrySolids: 0.02}).Volume(1); math.Abs(float64(v)-50) > 1e-12 { // 1 kg/L where not given
		t.Errorf("1 kg dry at 2 %% is %v", v)
	}
	if v := (day.Disposal{}).Volume(1); v != 0 {
		t.Errorf("solids of unknown share take %v", v)
	}
	r := handDay()
	r.Disposal = day.Disposal{Density: 1}
	if a := r.Account(); a.Disposal.Amount != 0 || a.Float.Likely != 0 || a.Wet.Likely != 20 {
		t.Errorf("without price and share: %+v", a)
	}
}

// TestBalance: an alkali gives back what falls short, never less than nothing, and
// counts what another alkali with a dose of its own gives.
func TestBalance(t *testing.T) {
	r := handDay()
	for _, x := range []struct {
		alum, raw, want float64
	}{{12, 40, 2.12}, {12, 30, 12.72}, {0, 40, 0}, {8, 40, 0}, {8.02, 40, 0.0106}} {
		r.Chemicals[0].Dose.Concentration = quantity.Concentration(x.alum)
		r.Chemicals[2].Balance = &day.Balance{Raw: quantity.Alkalinity(x.raw), Keep: 36, PerCaCO3: 1.06}
		d := r.Doses()
		if math.Abs(float64(d[2])-x.want) > 1e-12 || float64(d[0]) != x.alum || d[1] != 0.5 {
			t.Errorf("alum %g, raw %g: %v, want %g", x.alum, x.raw, d, x.want)
		}
	}
	lime := day.Chemical{Name: "lime", Dose: quantity.Dose{Concentration: 3}, Effects: day.Effects{AlkalinityUse: -0.5}}
	r = handDay()
	r.Chemicals = append(r.Chemicals, lime) // gives 1.5 of the 2 mg/L back
	if d := r.Doses()[2]; math.Abs(float64(d)-0.5*1.06) > 1e-12 {
		t.Errorf("beside lime %v", d)
	}
}

// TestStockWithoutFigures: neat product is its own stock, a powder that is not made
// up has none, and stock weaker in volume than its product holds no water.
func TestStockWithoutFigures(t *testing.T) {
	price := eur(2, "m3")
	neat := day.Chemical{Density: 1.25}.Use(1, price)
	if neat.Stock != 0.8 || neat.Volume != 0.8 || neat.Water != 0 || neat.MakeUp.Amount != 0 {
		t.Errorf("neat %+v", neat)
	}
	powder := day.Chemical{}.Use(1, price)
	if powder.Stock != 0 || powder.Water != 0 {
		t.Errorf("powder %+v", powder)
	}
	if u := (day.Chemical{Density: 1.25, Stock: 2e6}).Use(1, price); u.Water != 0 || u.Stock != 0.5 {
		t.Errorf("stock stronger than the product %+v", u)
	}
}

// TestLinear: a day is so much a cubic metre and so much an hour; twice a day is two days.
func TestLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := handDay()
		r.Treated = quantity.Volume(rapid.Float64Range(0, 1e6).Draw(t, "water"))
		r.Running = quantity.Time(rapid.Float64Range(0, 24).Draw(t, "hours"))
		r.Chemicals[0].Dose.Concentration = quantity.Concentration(rapid.Float64Range(0, 50).Draw(t, "dose"))
		a := r.Account()
		parts := r.OfWater(1000).Times(r.Treated.In("m3")).Plus(r.OfHours(1).Times(float64(r.Running)))
		for _, d := range daytest.Differ(daytest.Figures(parts), daytest.Figures(a)) {
			t.Fatal(d)
		}
		n := rapid.IntRange(1, 31).Draw(t, "days")
		var sum day.Account
		for range n {
			sum = sum.Plus(a)
		}
		for _, d := range daytest.Differ(daytest.Figures(sum), daytest.Figures(a.Times(float64(n)))) {
			t.Fatal(d)
		}
		if got := sum.Total(); got.Currency != "EUR" || math.Abs(got.Amount-float64(n)*a.Total().Amount) > 1e-9*got.Amount {
			t.Fatalf("%d days cost %v, one %v", n, got, a.Total())
		}
		if sum.Uses[1].Chemical != "polymer" || a.Times(2).Uses[2].Chemical != "soda ash" {
			t.Fatal("a sum forgets the names")
		}
	})
}
