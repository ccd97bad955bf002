package pair

import (
	"math"
	"testing"

	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

func grid(raw map[jartest.Key]float64) jartest.Series {
	s := jartest.Series{Name: "beck in spate", Chemicals: []jartest.Chemical{{Name: "liquid alum", Basis: quantity.AsAlum14}, {Name: "cationic polyacrylamide", Basis: quantity.AsActive}}, Raw: map[jartest.Key]jartest.Reading{}}
	for k, v := range raw {
		s.Raw[k] = jartest.Num(v, k.Info().Unit)
	}
	for i, ntu := range []float64{60, 25, 13, 30, 9, 4.5, 17, 4.2, 2} {
		a, p := []float64{10, 25, 40}[i%3], []float64{0, 0.4, 0.8}[i/3]
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(a), Known: true}, {Concentration: quantity.Concentration(p), Known: true}},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(ntu, "NTU")}}})
	}
	return s
}

func price(t *testing.T, name, text string) Price {
	t.Helper()
	p, err := quantity.ParsePrice(text)
	if err != nil {
		t.Fatal(err)
	}
	return Price{name, p}
}

// TestPriceOnBasis: 0.20 EUR for a kilogram of liquid alum of 48.5 % as 14-hydrate
// (Hendricks 2011, table F.2, is the catalogue's source) is 0.20/0.485 = 0.412 EUR
// a kilogram of 14-hydrate, which is what the dose counts.
func TestPriceOnBasis(t *testing.T) {
	s := grid(nil)
	opt, notes := Options(s, Terms{Prices: []Price{price(t, "liquid alum", "0.20 EUR/kg")}}, product.Default())
	if got := opt.PricePerKg[0].Amount; math.Abs(got-0.20/0.485) > 1e-6 {
		t.Errorf("price on the basis %.4f, want %.4f; notes %v", got, 0.20/0.485, notes)
	}
	if opt.PricePerKg[1].Currency != "" {
		t.Error("a price that nobody gave")
	}
	s.Chemicals[0].Basis = quantity.AsProduct
	s.Chemicals[0].Price, s.Chemicals[0].PriceUnit = 210, "EUR/t"
	opt, _ = Options(s, Terms{}, product.Default())
	if got := opt.PricePerKg[0].Amount; math.Abs(got-0.21) > 1e-9 {
		t.Errorf("price of the sheet %.4f, want 0.21", got)
	}
}

func TestCurrencies(t *testing.T) {
	opt, notes := Options(grid(nil), Terms{Prices: []Price{price(t, "liquid alum", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "5 USD/kg")}}, product.Default())
	if opt.PricePerKg[0].Currency != "" || len(notes) == 0 {
		t.Error("two currencies are compared")
	}
}

func TestCheck(t *testing.T) {
	s := []jartest.Series{grid(nil)}
	if err := (Terms{Ceilings: []Ceiling{{Chemical: "cationic", Most: 1}}}).Check(s); err != nil {
		t.Error(err)
	}
	if (Terms{Ceilings: []Ceiling{{Chemical: "chitosan", Most: 1}}}).Check(s) == nil {
		t.Error("a chemical that no series has is let pass")
	}
}

// TestFloors: alum 14-hydrate takes 0.505 mg CaCO3 a mg (5.56 a mg of aluminium,
// 0.0908 mg aluminium a mg; Davis 2010, ch. 6), so of 60 mg/L alkalinity 50 are left up to 19.8 mg/L.
func TestFloors(t *testing.T) {
	s := grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60, jartest.TemperatureKey: 10})
	opt, notes := Options(s, Terms{AlkalinityLeft: 50}, product.Default())
	if len(opt.Limits) != 1 {
		t.Fatalf("limits %v, notes %v", opt.Limits, notes)
	}
	if keeps := opt.Limits[0].Keeps; !keeps(surface.Pair{First: 19.6, Second: 0.4}) || keeps(surface.Pair{First: 20, Second: 0.4}) {
		t.Error("the floor of the alkalinity does not stand at 19.8 mg/L of alum")
	}
	opt, _ = Options(s, Terms{PHLeast: 6.8}, product.Default())
	if len(opt.Limits) != 1 || !opt.Limits[0].Keeps(surface.Pair{First: 1}) || opt.Limits[0].Keeps(surface.Pair{First: 100}) {
		t.Error("the floor of the pH does not hold 100 mg/L of alum back")
	}
	opt, notes = Options(grid(nil), Terms{AlkalinityLeft: 50}, product.Default())
	if len(opt.Limits) != 0 || len(notes) == 0 {
		t.Error("a floor that cannot be checked passes without a word")
	}
}

// TestFurther works one pair out by hand. 40 mg/L of alum 14-hydrate is 3.63 mg/L
// of aluminium (26.98·2/594.4) and takes 5.56 mg CaCO3 a mg of it (Davis 2010, ch.
// 6): 20.2 mg/L. Of 60 mg/L 39.8 are left, 15.2 short of 55; soda ash gives back
// 1 mg/L for 1.06 (105.99/100.09). The metal makes 132.05/26.98 its mass of
// solids, the polymer its own.
func TestFurther(t *testing.T) {
	s := grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60, jartest.TemperatureKey: 10})
	soda, err := product.Default().Find("soda-ash")
	if err != nil {
		t.Fatal(err)
	}
	terms := Terms{AlkalinityLeft: 55, Prices: []Price{price(t, "liquid alum", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "5 EUR/kg")}}
	if terms.Alkali, err = NewAlkali(soda, price(t, "", "0.50 EUR/kg").Price, 0); err != nil {
		t.Fatal(err)
	}
	terms.Disposal.Price = price(t, "", "400 EUR/t dry").Price
	opt, notes := Options(s, terms, product.Default())
	if opt.Further == nil {
		t.Fatalf("nothing is counted; notes %v", notes)
	}
	near := func(p surface.Pair, want float64) {
		t.Helper()
		if got := opt.Further(p); math.Abs(got.Amount-want) > 0.02*want+1e-9 || got.Currency != "EUR" {
			t.Errorf("beside its chemicals %v costs %v, want %.3f EUR", p, got, want)
		}
	}
	al := 40 * 2 * 26.982 / 594.4
	near(surface.Pair{First: 40, Second: 0.8}, (al*5.56-5)*1.059*0.50+(al*132.05/26.982+0.8)*0.4)
	near(surface.Pair{First: 5, Second: 0}, 5*2*26.982/594.4*132.05/26.982*0.4) // 57.5 left: no alkali
	if len(opt.Limits) != 0 {
		t.Error("the alkalinity to keep limits pairs although alkali holds it at a price")
	}
	if !hasCode(notes, "cost-holds") {
		t.Errorf("not said what was counted: %v", notes)
	}
	for name, change := range map[string]func(*Terms, *jartest.Series){
		"chemicals without prices": func(x *Terms, _ *jartest.Series) { x.Prices = x.Prices[:1] },
		"another currency": func(x *Terms, _ *jartest.Series) {
			x.Alkali.Price.Currency, x.Disposal.Price.Currency = "USD", "USD"
		},
		"wet solids of unknown dryness, alkalinity not known": func(x *Terms, s *jartest.Series) {
			x.Disposal.Price.Per = "m3"
			s.Raw = nil
		},
	} {
		x, s := terms, s
		change(&x, &s)
		if opt, notes := Options(s, x, product.Default()); opt.Further != nil || !hasCode(notes, "cost-leaves-out") {
			t.Errorf("%s: counted, or left out without a word", name)
		}
	}
}

// TestFurtherMovesTheChoice: dear disposal of hydroxide makes less alum and more polymer the cheapest pair.
func TestFurtherMovesTheChoice(t *testing.T) {
	s := grid(nil)
	target, err := jartest.ParseTarget("turbidity <= 12 NTU")
	if err != nil {
		t.Fatal(err)
	}
	plan := func(disposal string) surface.Choice {
		terms := Terms{Prices: []Price{price(t, "liquid alum", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "14 EUR/kg")}}
		if disposal != "" {
			terms.Disposal.Price = price(t, "", disposal).Price
		}
		opt, _ := Options(s, terms, product.Default())
		r := surface.Analyse(s, []jartest.Target{target}, opt)
		if !r.HasPlanning {
			t.Fatal("no planning pair")
		}
		return r.Planning
	}
	cheap, dear := plan(""), plan("4000 EUR/t dry")
	if dear.Pair.First >= cheap.Pair.First || dear.Cost.Amount <= cheap.Cost.Amount {
		t.Errorf("with dear disposal %v at %v, without %v at %v", dear.Pair, dear.Cost, cheap.Pair, cheap.Cost)
	}
}

func hasCode(l note.List, code string) bool {
	for _, n := range l {
		if n.Code == code {
			return true
		}
	}
	return false
}
