package pair

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/day"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

func find(t *testing.T, id string) product.Product {
	t.Helper()
	p, err := product.Default().Find(id)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func codesOf(l note.List) string {
	var out []string
	for _, n := range l {
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}

// TestPricesOfAPair: what each price becomes per kg of what the dose counts, what is said of it, and whether a price that was given
// is not used. Liquid alum is 48.5 % as 14-hydrate and 1.335 kg/L, cationic polymer 90 % active (catalogue): 0.2/0.485 = 0.41237,
// 0.267 EUR/L is 0.2 EUR/kg, 4.5/0.9 = 5.
func TestPricesOfAPair(t *testing.T) {
	sheet := func(change func(*jartest.Series)) jartest.Series { s := grid(nil); change(&s); return s }
	nothing := func(*jartest.Series) {}
	alum, polymer := price(t, "liquid alum", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "4.5 EUR/kg")
	for name, x := range map[string]struct {
		s       jartest.Series
		prices  []Price
		want    [2]float64
		codes   string
		notUsed bool
	}{
		"none": {sheet(nothing), nil, [2]float64{}, "", false},
		"both": {sheet(nothing), []Price{alum, polymer}, [2]float64{0.41237, 5}, "price-by-strength price-by-strength", false},
		"the later counts": {sheet(nothing), []Price{alum, polymer, price(t, "liquid alum", "0.40 EUR/kg")}, [2]float64{0.82474, 5},
			"price-by-strength price-by-strength", false},
		"one": {sheet(nothing), []Price{alum}, [2]float64{0.41237, 0}, "price-by-strength", false},
		"by the litre": {sheet(nothing), []Price{price(t, "liquid alum", "0.267 EUR/L")}, [2]float64{0.41237, 0}, "price-by-strength",
			false},
		"by the litre of a powder": {sheet(nothing), []Price{alum, price(t, "cationic polyacrylamide", "4.5 EUR/L")}, [2]float64{0.41237,
			0},
			"price-by-strength price-not-used", true},
		"on the sheet": {sheet(func(s *jartest.Series) { s.Chemicals[0].Price, s.Chemicals[0].PriceUnit = 200, "EUR/t" }),
			[]Price{polymer}, [2]float64{0.41237, 5},
			"price-by-strength price-by-strength", false},
		"on the sheet, under 1": {sheet(func(s *jartest.Series) { s.Chemicals[0].Price, s.Chemicals[0].PriceUnit = 0.2, "EUR/kg" }), nil,
			[2]float64{0.41237, 0},
			"price-by-strength", false},
		"on the sheet, in nothing known": {sheet(func(s *jartest.Series) {
			s.Chemicals[0].Price, s.Chemicals[0].PriceUnit = 2,
				"doubloons"
		}), []Price{polymer}, [2]float64{0, 5},
			"price-not-read price-by-strength", true},
		"of no basis": {sheet(func(s *jartest.Series) { s.Chemicals[0].Basis = quantity.NotStated }), []Price{alum, polymer}, [2]float64{0,
			5},
			"basis-missing price-by-strength", true},
		"as product": {sheet(func(s *jartest.Series) { s.Chemicals[0].Basis = quantity.AsProduct }), []Price{alum, polymer},
			[2]float64{0.2, 5}, "price-by-strength", false},
		"what nobody knows": {sheet(func(s *jartest.Series) {
			s.Chemicals[1] = jartest.Chemical{Name: "secret",
				Basis: quantity.AsActive}
		}),
			[]Price{alum, price(t, "secret", "4.5 EUR/kg")}, [2]float64{0.41237, 4.5}, "price-by-strength price-by-basis", false},
		"in two currencies": {sheet(nothing), []Price{alum, price(t, "cationic polyacrylamide", "4.5 USD/kg")}, [2]float64{},
			"price-by-strength price-by-strength currencies", true},
	} {
		opt, notes := Options(x.s, Terms{Prices: x.prices}, product.Default())
		for i, w := range x.want {
			if got := opt.PricePerKg[i]; math.Abs(got.Amount-w) > 1e-4 || (got.Currency != "") != (w > 0) {
				t.Errorf("%s: price %d is %v, want %g", name, i, got, w)
			}
		}
		if got := codesOf(notes); got != x.codes || opt.NotUsed != x.notUsed {
			t.Errorf("%s: %q, not used %v; want %q", name, got, opt.NotUsed, x.codes)
		}
	}
}

// TestCeilingsOfAPair: each holds its own chemical, up to what it says and no further, and names who asks for it; floors likewise. 40 mg/L
// of alum 14-hydrate take 20.2 of 60 mg/L of alkalinity.
func TestCeilingsOfAPair(t *testing.T) {
	s := grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60, jartest.TemperatureKey: 10})
	opt, _ := Options(s, Terms{Ceilings: []Ceiling{{Chemical: "liquid alum", Most: 30}, {Chemical: "cationic", Most: 0.5,
		Why: "for trout"}, {Chemical: "lime", Most: 1}},
		AlkalinityLeft: 39.85, PHLeast: 6.5}, product.Default())
	if len(opt.Limits) != 4 {
		t.Fatalf("%+v", opt.Limits)
	}
	for i, x := range []struct {
		says  string
		keeps map[surface.Pair]bool
	}{
		{"liquid alum at most 30 mg/L", map[surface.Pair]bool{{First: 30}: true, {First: 30.001}: false, {First: 29, Second: 99}: true}},
		{"cationic polyacrylamide at most 0.5 mg/L, for trout", map[surface.Pair]bool{{Second: 0.5}: true, {Second: 0.501}: false,
			{First: 99, Second: 0.1}: true}},
		{"alkalinity left at least 39.9 mg/L CaCO3", map[surface.Pair]bool{{First: 39.8}: true, {First: 40}: false}},
		{"computed pH at least 6.50", map[surface.Pair]bool{{First: 1}: true, {First: 90}: false}},
	} {
		if !strings.HasPrefix(x.says, "alkalinity") && opt.Limits[i].Says != x.says {
			t.Errorf("%q, want %q", opt.Limits[i].Says, x.says)
		}
		for p, want := range x.keeps {
			if opt.Limits[i].Keeps(p) != want {
				t.Errorf("%s: %v keeps it: %v", x.says, p, !want)
			}
		}
	}
	// Jars set to a pH: what is left is that of their carbonate there. 85 mg/L at pH 7.6 are 1.699 (1 + 10^(6.42 − 7.6)) = 1.81 mmol/L of
	// it, at pH 6 1.81/(1 + 10^0.42) = 0.498 meq/L or 24.9 mg/L, at pH 7 1.43 meq/L or 71.8: 40 is left by the second alone.
	set := setJars(t)
	opt, notes := Options(set, Terms{Ceilings: []Ceiling{{Chemical: "alum", Most: 30}}, AlkalinityLeft: 40, PHLeast: 6.2}, product.Default())
	if len(opt.Limits) != 3 || opt.Limits[0].Keeps(surface.Pair{First: 31}) || !opt.Limits[0].Keeps(surface.Pair{First: 30}) {
		t.Fatalf("%+v, %v", opt.Limits, notes)
	}
	for _, l := range opt.Limits[1:] {
		if l.Keeps(surface.Pair{First: 10, PH: 6}) || !l.Keeps(surface.Pair{First: 10, PH: 7}) {
			t.Errorf("%s: pH 6 keeps it, or pH 7 does not", l.Says)
		}
	}
}

// setJars is alum at three doses and three pH set by hand.
func setJars(t *testing.T) jartest.Series {
	s := phJars(t)
	for i := range 9 {
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(10 + 15*(i%3)), Known: true}},
			Settings: map[string]float64{"ph_target": []float64{6, 6.5, 7}[i/3]},
			Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(float64(30-3*i), "NTU")}}})
	}
	return s
}

// TestGiversOfAlkalinity: 1 kg of soda ash of 99 % gives 0.99 x 100.09/105.99 kg of CaCO3; what gives none is no alkali, what is none no
// acid. A price that cannot be turned into one of a kg is left out, its product is not.
func TestGiversOfAlkalinity(t *testing.T) {
	eur := func(text string) quantity.Price { return price(t, "", text).Price }
	for _, x := range []struct {
		id, price string
		make      func(product.Product, quantity.Price, quantity.Mass) (Alkali, error)
		ok        bool
		per, kg   float64
	}{
		{"soda-ash", "0.5 EUR/kg", NewAlkali, true, 105.99 / 100.09 / 0.99, 0.5}, {"soda-ash", "0.5 EUR/L", NewAlkali, true,
			105.99 / 100.09 / 0.99, 0},
		{"caustic-50", "1.525 EUR/L", NewAlkali, true, 2 * 39.997 / 100.09 / 0.5, 1}, {"apam-dry", "4 EUR/kg", NewAlkali, false, 0, 0},
		{"alum-liquid", "0.2 EUR/kg", NewAlkali, false, 0, 0}, {"sulfuric-acid", "0.3 EUR/kg", NewAlkali, false, 0, 0},
		{"sulfuric-acid", "0.3 EUR/kg", NewAcid, true, 0, 0.3}, {"soda-ash", "0.3 EUR/kg", NewAcid, false, 0, 0}, {"alum-liquid",
			"0.3 EUR/kg", NewAcid, false, 0, 0},
	} {
		a, err := x.make(find(t, x.id), eur(x.price), 0)
		if (err == nil) != x.ok || math.Abs(float64(a.Per)-x.per) > 2e-3 || math.Abs(a.Price.Amount-x.kg) > 1e-9 || x.ok &&
			a.Product.ID != x.id {
			t.Errorf("%s at %s: %+v, %v", x.id, x.price, a, err)
		}
	}
}

// TestWhatACostHolds: alkali, acid and disposal are counted where prices and water are known, else it is said why not. By hand of 40 mg/L
// of alum and 0.8 of polymer with a kg of dry solids at 1 EUR: 3.632 x 132.05/26.982 + 0.8 = 18.57 g/m3, 18.57 EUR per 1000 m3; as
// [TestFurther].
func TestWhatACostHolds(t *testing.T) {
	s := grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60, jartest.TemperatureKey: 10})
	al := 40 * 2 * 26.982 / 594.4
	solids := al*132.05/26.982 + 0.8
	soda := func(text string) Alkali {
		a, _ := NewAlkali(find(t, "soda-ash"), price(t, "", text).Price, 0)
		return a
	}
	both := []Price{price(t, "liquid alum", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "5 EUR/kg")}
	disposal := func(text string) day.Disposal { return day.Disposal{Price: price(t, "", text).Price} }
	third := s
	third.Chemicals = append(slices.Clone(s.Chemicals), jartest.Chemical{Name: "ferric chloride", Basis: quantity.AsFeCl3})
	third.Jars = slices.Clone(s.Jars)
	for i, j := range third.Jars {
		third.Jars[i].Doses = append(slices.Clone(j.Doses), jartest.JarDose{Concentration: 10, Known: true})
	}
	noAlkalinity := grid(nil)
	for name, x := range map[string]struct {
		s     jartest.Series
		terms Terms
		want  float64 // of 40 and 0.8; negative for nothing counted
		why   string
	}{
		"disposal at 1 EUR a kg": {s, Terms{Prices: both, Disposal: disposal("1 EUR/kg dry")}, solids, ""},
		"disposal by the pack": {s, Terms{Prices: both, Disposal: disposal("1 EUR/pack")}, -1,
			"disposal of solids: its price is per pack"},
		"disposal by the m3, no dryness": {s, Terms{Prices: both, Disposal: disposal("30 EUR/m3")}, -1,
			"they are paid by m3 and their dry solids are not known"},
		"in another currency": {s, Terms{Prices: both, Disposal: disposal("1 USD/kg dry")}, -1,
			"its price is in USD, that of the chemicals in EUR"},
		"acid, where no pH is set": {s, Terms{Prices: both, Acid: giver(t, "sulfuric-acid", NewAcid, 0.3)}, -1, ""},
		"nothing asked":            {s, Terms{Prices: both}, -1, ""},
		"one chemical without a price": {s, Terms{Prices: both[:1], Disposal: disposal("1 EUR/kg dry")}, -1,
			"the price of its chemicals is not known"},
		"alkali, alkalinity of the terms": {noAlkalinity, Terms{Prices: both, AlkalinityLeft: 55, Raw: 60, Alkali: soda("0.5 EUR/kg")},
			(al*5.56 - 5) * 1.0697 * 0.5, ""},
		"a little of it": {noAlkalinity, Terms{Prices: both, AlkalinityLeft: 5, Raw: 0.9, Alkali: soda("0.5 EUR/kg")},
			(al*5.56 + 4.1) * 1.0697 * 0.5, ""},
		"alkali, the terms before the sheet": {s, Terms{Prices: both, AlkalinityLeft: 55, Raw: 70, Alkali: soda("0.5 EUR/kg")},
			(al*5.56 - 15) * 1.0697 * 0.5, ""},
		"alkali, alkalinity not known": {noAlkalinity, Terms{Prices: both, AlkalinityLeft: 55, Alkali: soda("0.5 EUR/kg")}, -1,
			"the alkalinity of the raw water is not known"},
		"alkali in another currency": {s, Terms{Prices: both, AlkalinityLeft: 55, Alkali: soda("0.5 USD/kg")}, -1,
			"its price is in USD"},
		"a third that every pair has": {third, Terms{Prices: both, Disposal: disposal("1 EUR/kg dry")}, solids, ""},
		"a third that takes alkalinity": {third, Terms{Prices: both, AlkalinityLeft: 55, Alkali: soda("0.5 EUR/kg")},
			(al*5.56 + 9.255 - 5) * 1.0697 * 0.5, ""},
	} {
		opt, notes := Options(x.s, x.terms, product.Default())
		if (opt.Further != nil) != (x.want >= 0) {
			t.Errorf("%s: counted %v; %v", name, opt.Further != nil, notes)
			continue
		}
		if x.want >= 0 {
			if got := opt.Further(surface.Pair{First: 40, Second: 0.8}); math.Abs(got.Amount/x.want-1) > 5e-3 || got.Currency != "EUR" {
				t.Errorf("%s: %v, want %g", name, got, x.want)
			}
		}
		said := slices.ContainsFunc(notes, func(n note.Note) bool {
			return n.Code == "cost-leaves-out" && strings.Contains(n.Message,
				x.why)
		})
		if said != (x.why != "") && !(x.why == "" && !hasCode(notes, "cost-leaves-out")) {
			t.Errorf("%s: %v", name, notes)
		}
	}
	if got := mostOf(jartest.Series{Jars: []jartest.Jar{{Doses: []jartest.JarDose{{Concentration: 4, Known: true}}},
		{Doses: []jartest.JarDose{{Concentration: 9}}},
		{}, {Doses: []jartest.JarDose{{Concentration: 6, Known: true}, {Concentration: 8, Known: true}}}}}, 0); got != 6 {
		t.Errorf("the most is %v", got)
	}
}

// TestOfTheSite: what a site pays goes under the names of the sheet, and what it says of solids fills in what is not given.
func TestOfTheSite(t *testing.T) {
	eur := func(text string) quantity.Known[quantity.Price] { return quantity.Some(price(t, "", text).Price) }
	s := site.Site{Chemicals: []site.Chemical{
		{Name: quantity.Some("drum A"), Product: quantity.Some("alum-liquid"), Dose: quantity.Some(quantity.Concentration(20)),
			Basis: quantity.Some(quantity.AsAlum14)},
		{Name: quantity.Some("soda"), Product: quantity.Some("soda-ash"), Dose: quantity.Some(quantity.Concentration(5)),
			Basis: quantity.Some(quantity.AsProduct),
			Stock: quantity.Some("soda tank")}},
		Stocks: []site.Stock{{Name: quantity.Some("soda tank"), Product: quantity.Some(quantity.Concentration(50000)),
			Post: quantity.Some(quantity.Flow(0.2))}},
		Prices: []site.Price{{Chemical: quantity.Some("drum A"), Price: eur("0.2 EUR/kg")}, {Chemical: quantity.Some("soda"),
			Price: eur("0.5 EUR/kg")},
			{Chemical: quantity.Some(site.PriceDisposal), Price: eur("30 EUR/m3")}}}
	s.Solids.FloatSolids = quantity.Some(quantity.Fraction(0.03))
	a, err := (&Buyer{Site: s, Catalogue: product.Default()}).Alkali()
	if err != nil || a.Price.Amount != 0.5 || a.Stock != 50000 || a.Carrier != 0.2 || a.Density != 0 || a.Product.ID != "soda-ash" {
		t.Errorf("%+v, %v", a, err)
	}
	if b, err := (&Buyer{Site: s, Catalogue: product.Default()}).Acid(); err != nil || b.Name != "" {
		t.Errorf("%+v, %v", b, err)
	}
	got := (&Buyer{Site: s, Catalogue: product.Default()}).Paid([]jartest.Chemical{{Name: "liquid alum", Basis: quantity.AsAlum14}, {Name: "soda"}, {Name: "lime"}})
	if len(got) != 2 || got[0].Chemical != "liquid alum" || got[0].Amount != 0.2 || got[1].Chemical != "soda" || got[1].Amount != 0.5 {
		t.Errorf("%+v", got)
	}
	for _, x := range []struct {
		own    day.Disposal
		amount float64
		per    string
		share  float64
	}{
		{day.Disposal{}, 30, "m3", 0.03}, {day.Disposal{DrySolids: 0.02}, 30, "m3", 0.02},
		{day.Disposal{Price: price(t, "", "0.4 EUR/kg dry").Price}, 0.4, "kg dry", 0}, {day.Disposal{Price: price(t, "", "9 EUR/m3").Price,
			DrySolids: 0.01}, 9, "m3", 0.01},
	} {
		if d := SiteDisposal(x.own, s); d.Price.Amount != x.amount || d.Price.Per != x.per ||
			math.Abs(float64(d.DrySolids)-x.share) > 1e-12 {
			t.Errorf("%+v: %+v", x.own, d)
		}
	}
	// the names of prices and ceilings: the sheet's, else the site's or the catalogue's for the same product, else the one that ends like
	// it
	series := []jartest.Series{grid(nil), {Chemicals: []jartest.Chemical{{Name: "what the mill sends"}}}}
	for given, want := range map[string]string{"liquid": "liquid", "drum A": "liquid alum", "alum-liquid": "liquid alum",
		"polyacrylamide": "cationic polyacrylamide",
		"mill sends":     "what the mill sends", "sends": "what the mill sends", "sent": "sent", "alum": "liquid alum"} {
		terms := Terms{Prices: []Price{{Chemical: given}}, Ceilings: []Ceiling{{Chemical: given, Most: 3, Why: "trout"}}}.Renamed(series,
			&s, product.Default())
		if len(terms.Prices) != 1 || terms.Prices[0].Chemical != want || terms.Ceilings[0] != (Ceiling{want, 3, "trout"}) {
			t.Errorf("%s: %+v, want %s", given, terms, want)
		}
	}
}

// TestDailyOfASite: 20 mg/L of product for 3.6 m3/h round the clock are 20 x 86.4 / 1000 = 1.728 kg a day; of a site without a flow, or
// of what it does not dose, nothing is told. A liquid acid has its density, dry soda none.
func TestDailyOfASite(t *testing.T) {
	s := site.Site{Chemicals: []site.Chemical{
		{Name: quantity.Some("soda"), Product: quantity.Some("soda-ash"), Dose: quantity.Some(quantity.Concentration(5)),
			Basis: quantity.Some(quantity.AsProduct)},
		{Name: quantity.Some("acid"), Product: quantity.Some("sulfuric-acid"), Dose: quantity.Some(quantity.Concentration(20)),
			Basis: quantity.Some(quantity.AsProduct)}},
		Prices: []site.Price{{Chemical: quantity.Some("acid"), Price: quantity.Some(price(t, "", "0.3 EUR/kg").Price)},
			{Chemical: quantity.Some("soda"), Price: quantity.Some(price(t, "", "0.5 EUR/kg").Price)}}}
	if got := (&Buyer{Site: s, Catalogue: product.Default()}).daily("acid"); got != 0 {
		t.Errorf("without a flow %v", got)
	}
	s.Flow.Average = quantity.Some[quantity.Flow](3.6)
	for name, want := range map[string]float64{"acid": 1.728, "soda": 0.432, "lime": 0} {
		if got := (&Buyer{Site: s, Catalogue: product.Default()}).daily(name); math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("%s: %v a day, want %g", name, got, want)
		}
	}
	acid, err := (&Buyer{Site: s, Catalogue: product.Default()}).Acid()
	soda, other := (&Buyer{Site: s, Catalogue: product.Default()}).Alkali()
	if err != nil || other != nil || acid.Density != find(t, "sulfuric-acid").Density.V || acid.Density == 0 || soda.Density != 0 ||
		soda.Price.Amount != 0.5 {
		t.Errorf("%+v, %v; %+v, %v", acid, err, soda, other)
	}
}

// TestWhatCannotBeCounted: an alkali among the two gives nothing back for itself; of what nobody knows neither alkalinity nor solids are
// counted, and it is said.
func TestWhatCannotBeCounted(t *testing.T) {
	soda, err := NewAlkali(find(t, "soda-ash"), price(t, "", "0.5 EUR/kg").Price, 0)
	if err != nil {
		t.Fatal(err)
	}
	s := grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60, jartest.TemperatureKey: 10})
	s.Chemicals = []jartest.Chemical{{Name: "lime", Basis: quantity.AsProduct}, {Name: "cationic polyacrylamide", Basis: quantity.AsActive}}
	terms := Terms{Prices: []Price{price(t, "lime", "0.20 EUR/kg"), price(t, "cationic polyacrylamide", "5 EUR/kg")}, AlkalinityLeft: 70,
		Alkali: soda}
	opt, notes := Options(s, terms, product.Default())
	if opt.Further != nil || !slices.ContainsFunc(notes, func(n note.Note) bool {
		return strings.Contains(n.Message, "the cost of a pair holds no alkali: lime is one itself")
	}) {
		t.Errorf("%v", notes)
	}
	s.Chemicals[0] = jartest.Chemical{Name: "secret", Basis: quantity.AsProduct}
	terms.Prices[0].Chemical, terms.Disposal = "secret", day.Disposal{Price: price(t, "", "1 EUR/kg dry").Price}
	opt, notes = Options(s, terms, product.Default())
	if !hasCode(notes, "effects-unknown") || opt.Further == nil {
		t.Fatalf("%v", notes)
	}
	// 40 mg/L of the unknown and 0.8 of polymer: 0.8 g of solids a m3, and 10 of alkalinity from 60 to 70, 1.0697 x 10 x 0.5
	if got := opt.Further(surface.Pair{First: 40, Second: 0.8}).Amount; math.Abs(got-(0.8+5.3485)) > 0.01 {
		t.Errorf("%g", got)
	}
	opt, _ = Options(grid(map[jartest.Key]float64{jartest.PH: 7.4, jartest.AlkalinityKey: 60}), Terms{AlkalinityLeft: 0.5,
		Ceilings: []Ceiling{{Chemical: "liquid alum", Most: 12.3456}}},
		product.Default())
	if len(opt.Limits) != 2 || opt.Limits[0].Says != "liquid alum at most 12.3 mg/L" {
		t.Errorf("%+v", opt.Limits)
	}
}
