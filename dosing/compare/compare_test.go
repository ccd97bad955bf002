package compare

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/solids"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

func eur(v float64, per string) quantity.Price {
	return quantity.Price{Amount: v, Currency: "EUR", Per: per}
}

// between is a uniform dose range.
func between(lo, hi float64) func(float64) (quantity.Concentration, bool) {
	return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// TestByHand: 1000 m3 with alum, worked by hand (invented figures). Dose 20 mg/L
// as 14-hydrate of a 48 % product: 20 / 0.48 = 41.6667 kg at 0.30 = 12.50; freight
// 0.06 = 2.50. Alkalinity 0.5 × 20 = 10; raw 35, keep 30 lacks 5 mg/L, × 1.07 =
// 5.35 kg of soda ash at 0.40 = 2.14. Solids 0.44 × 20 + 25 = 33.8 kg at 0.9 =
// 30.42. All in 47.56.
func TestByHand(t *testing.T) {
	o := Option{Name: "alum", Outcome: "found", Parts: []Part{{
		Chemical: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsAlum14}, Price: eur(0.30, "kg"), Freight: eur(0.06, "kg"),
		Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.48), AlkalinityUse: 0.5, Floc: 0.44}, Quantile: between(16, 20),
	}}}
	w := Water{Raw: quantity.Some[quantity.Alkalinity](35), Keep: 30, Removed: solids.Same[quantity.Concentration](25), Alkali: pair.Alkali{Per: 1.07, Price: eur(0.40, "kg")}, Disposal: day.Disposal{Price: eur(0.9, "kg dry")}}
	c, err := Make([]Option{o}, w, 0)
	if err != nil {
		t.Fatal(err)
	}
	r := c.Rows[0]
	near(t, "kg", float64(r.Product[0]), 20/0.48)
	near(t, "chemical", r.Chemicals.Amount, 12.5)
	near(t, "freight", r.Freight.Amount, 2.5)
	near(t, "alkalinity used", float64(r.AlkalinityUsed), 10)
	near(t, "left", float64(r.AlkalinityLeft), 25)
	near(t, "alkali", r.Alkali.Amount, 2.14)
	near(t, "dry", float64(r.DrySolids.Likely), 33.8)
	near(t, "solids", r.Solids.Amount, 30.42)
	near(t, "total", r.Total.Amount, 47.56)
	// The 90 % range of a uniform 16 to 20 is 16.2 to 19.8.
	at := func(d float64) float64 { return d/0.48*0.36 + (0.5*d-5)*1.07*0.4 + (0.44*d+25)*0.9 }
	near(t, "low", r.Low.Amount, at(16.2))
	near(t, "high", r.High.Amount, at(19.8))
	near(t, "chance", float64(r.Cheapest), 1)
}

// TestWaterAndEnergyByHand: the same with a stock of 200 g/L of a liquid of 1.25 kg/L,
// 30 L/h of carrier, soda ash at 50 g/L with 0.10 of freight, 250 h at 1.2 kW:
// 41.6667 × (1/0.2 − 1/1.25) = 175 L and 5.35 ÷ 0.05 = 107 L of make-up and 7500 L of
// carrier are 7.782 m3 at 2 = 15.564; 300 kWh at 0.20 = 60; freight 2.50 + 0.535.
func TestWaterAndEnergyByHand(t *testing.T) {
	o := Option{Name: "alum", Outcome: "found", Parts: []Part{{
		Chemical: "alum", Dose: quantity.Dose{Concentration: 20, Basis: quantity.AsAlum14}, Price: eur(0.30, "kg"), Freight: eur(0.06, "kg"),
		Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.48), AlkalinityUse: 0.5}, Stock: 200000, Density: 1.25, Carrier: 0.03,
	}}}
	w := Water{Raw: quantity.Some[quantity.Alkalinity](35), Keep: 30, Alkali: pair.Alkali{Per: 1.07, Price: eur(0.40, "kg"), Freight: eur(0.1, "kg"), Stock: 50000},
		Running: 250, Skim: solids.Skimmer{Every: 0.5, Water: 2}, Power: 1200, MakeUp: eur(2, "m3"), Electricity: eur(0.20, "kWh")}
	c, err := Make([]Option{o}, w, 0)
	if err != nil {
		t.Fatal(err)
	}
	r, sum := c.Rows[0], 0.0
	for i, want := range []float64{12.5, 3.035, 2.14, 0, 15.564, 60} {
		l := r.Lines()[i]
		near(t, l.Name, l.Amount.Amount, want)
		sum += want
	}
	near(t, "total", r.Total.Amount, sum)
	near(t, "skimmed", float64(w.Carried()), 1000)
	near(t, "kWh", float64(w.Energy()), 300)
	near(t, "water of the stock of a kg", float64(o.Parts[0].StockWater()), 4.2)
	if _, err := Make([]Option{o}, Water{Electricity: quantity.Price{Amount: 1, Currency: "GBP", Per: "kWh"}}, 0); err == nil {
		t.Error("two currencies pass")
	}
}

func option(name string, dose float64, q func(float64) (quantity.Concentration, bool)) Option {
	return Option{Name: name, Outcome: "found", Parts: []Part{{Chemical: name, Dose: quantity.Dose{Concentration: quantity.Concentration(dose), Basis: quantity.AsProduct}, Price: eur(1, "kg"), Quantile: q}}}
}

func TestOrderAndOverlap(t *testing.T) {
	refused := Option{Name: "polymer", Outcome: "not-reached", Refused: true, Why: "no tested dose meets the target", Parts: []Part{{Chemical: "polymer"}}}
	unpriced := option("tannin", 1, nil)
	unpriced.Parts[0].Price = quantity.Price{}
	c, err := Make([]Option{refused, unpriced, option("ferric", 30, between(25, 31)), option("alum", 20, between(15, 21)), option("pacl", 21, between(14, 22))}, Water{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, r := range c.Rows {
		names = append(names, r.Name)
	}
	if got := strings.Join(names, " "); got != "alum pacl ferric tannin polymer" {
		t.Errorf("order %s", got)
	}
	if !c.Rows[1].Same || c.Rows[2].Same || c.Rows[0].Same {
		t.Errorf("overlap: %v %v %v", c.Rows[0].Same, c.Rows[1].Same, c.Rows[2].Same)
	}
	// Two uniforms: alum in 15..21, pacl in 14..22, ferric never below. By
	// geometry P(alum < pacl) = 1/2, since both are centred on 18.
	if math.Abs(float64(c.Rows[0].Cheapest)-0.5) > 0.005 || math.Abs(float64(c.Rows[1].Cheapest)-0.5) > 0.005 || c.Rows[2].Cheapest != 0 {
		t.Errorf("chances %v %v %v", c.Rows[0].Cheapest, c.Rows[1].Cheapest, c.Rows[2].Cheapest)
	}
	codes := map[string]bool{}
	for _, n := range c.Notes {
		codes[n.Code] = true
	}
	for _, want := range []string{"no-price", "alkalinity-unknown", "solids-not-priced"} {
		if !codes[want] {
			t.Errorf("no note %s in %v", want, c.Notes)
		}
	}
}

// TestNormalChance: two normal doses; the chance that one is lower is a normal
// tail: Φ((μ2 − μ1)/√(σ1² + σ2²)).
func TestNormalChance(t *testing.T) {
	normal := func(m, s float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) {
			return quantity.Concentration(m + s*math.Sqrt2*math.Erfinv(2*p-1)), true
		}
	}
	c, err := Make([]Option{option("a", 20, normal(20, 1)), option("b", 21, normal(21, 2))}, Water{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	want := 0.5 * math.Erfc(-1/math.Sqrt(5)/math.Sqrt2)
	if got := float64(c.Rows[0].Cheapest); math.Abs(got-want) > 0.003 {
		t.Errorf("chance %.4f, exact %.4f", got, want)
	}
}

func TestOpenRange(t *testing.T) {
	c, err := Make([]Option{option("a", 20, func(p float64) (quantity.Concentration, bool) { return 19, p < 0.9 }), option("b", 50, nil)}, Water{}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !c.Rows[0].Open || !c.Rows[1].Same {
		t.Errorf("an option without upper bound cannot be told from a dearer one: %+v", c.Rows[0])
	}
}

func TestImpossible(t *testing.T) {
	o := option("a", 1, nil)
	usd := option("b", 1, nil)
	usd.Parts[0].Price.Currency = "USD"
	for want, try := range map[string]func() error{
		"nothing-to-compare": func() error { _, err := Make(nil, Water{}, 0); return err },
		"currencies":         func() error { _, err := Make([]Option{o, usd}, Water{}, 0); return err },
		"no-dry-solids": func() error {
			_, err := Make([]Option{o}, Water{Disposal: day.Disposal{Price: eur(30, "m3")}}, 0)
			return err
		},
	} {
		l := note.Of(try(), "")
		if len(l) != 1 || l[0].Code != want {
			t.Errorf("%s: %v", want, l)
		}
	}
}

// TestProperties: the order never depends on the order given, a dearer price
// never makes an option cheaper, and the chances add up to one.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 5).Draw(t, "options")
		var opts []Option
		for i := range n {
			lo := rapid.Float64Range(1, 50).Draw(t, "low")
			hi := lo * rapid.Float64Range(1.01, 2).Draw(t, "ratio")
			opts = append(opts, option(string(rune('a'+i)), hi, between(lo, hi)))
		}
		c, err := Make(opts, Water{}, 0)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, r := range c.Rows {
			sum += float64(r.Cheapest)
			if i > 0 && r.Total.Amount < c.Rows[i-1].Total.Amount {
				t.Fatal("not in order of cost")
			}
		}
		if math.Abs(sum-1) > 0.02 {
			t.Fatalf("the chances add up to %g", sum)
		}
		back := append([]Option(nil), opts...)
		for i := range back {
			back[i] = opts[n-1-i]
		}
		d, err := Make(back, Water{}, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i := range c.Rows {
			if c.Rows[i].Total.Amount != d.Rows[i].Total.Amount || math.Abs(float64(c.Rows[i].Cheapest-d.Rows[i].Cheapest)) > 1e-12 {
				t.Fatal("the order given changes the answer")
			}
		}
		opts[0].Parts[0].Price.Amount = 3
		e, err := Make(opts, Water{}, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range e.Rows {
			for _, q := range c.Rows {
				if r.Name == "a" && q.Name == "a" && (r.Total.Amount < q.Total.Amount || r.Cheapest > q.Cheapest+1e-12) {
					t.Fatal("a dearer price makes it cheaper")
				}
			}
		}
	})
}
