package pair

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// phJars is alum on water of pH 7.6 and 85 mg/L CaCO3 at 15 C, jars set to a pH.
func phJars(t *testing.T) jartest.Series {
	t.Helper()
	return jartest.Series{Name: "set", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(7.6, "pH"), jartest.AlkalinityKey: jartest.Num(85, "mg/L CaCO3"),
			jartest.TemperatureKey: jartest.Num(15, "C")}}
}

func giver(t *testing.T, id string, make func(product.Product, quantity.Price, quantity.Mass) (Alkali, error), price float64) Alkali {
	t.Helper()
	p, err := product.Default().Find(id)
	if err != nil {
		t.Fatal(err)
	}
	a, err := make(p, quantity.Price{Amount: price, Currency: "EUR", Per: "kg"}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// alkalinityAt is the carbonate alkalinity, meq/L, of so much total carbonate, mmol/L, at a pH in
// fresh water of 15 C: pK1 6.43, pK2 10.43 (Plummer and Busenberg 1982: 6.42 and 10.43, from memory).
func alkalinityAt(carbonate, ph float64) float64 {
	h, k1, k2 := math.Pow(10, -ph), math.Pow(10, -6.42), math.Pow(10, -10.43)
	d := h*h + k1*h + k1*k2
	return carbonate * (k1*h + 2*k1*k2) / d
}

// TestSetPHByHand: 30 mg/L of alum take 30 x 6 / 594.35 = 0.3029 meq/L. From the raw
// water's 85 / 50.04 = 1.699 meq/L of pH 7.6 follows its carbonate; what is missing to the
// alkalinity at the pH wanted is acid, 2 meq to 98.08 mg of H2SO4, or caustic, 1 meq to 40.00.
func TestSetPHByHand(t *testing.T) {
	s := phJars(t)
	raw := 85 / 50.0435
	carbonate := raw / alkalinityAt(1, 7.6)
	left := raw - 30*6/594.35
	caustic, acid := giver(t, "caustic-50", NewAlkali, 0.6), giver(t, "sulfuric-acid", NewAcid, 0.3)
	for _, ph := range []float64{6, 6.5, 7.6, 8} {
		x, err := SetPH(s, 0, 30, quantity.PH(ph), caustic, acid, product.Default())
		if err != nil {
			t.Fatal(err)
		}
		aluminate := min(30*2/594.35, 1000*math.Pow(10, ph-12.27)) // pK at 15 C by the US Geological Survey's constants
		needs := alkalinityAt(carbonate, ph) + aluminate - left    // meq/L
		pure, of := needs*40.00, "caustic"
		if needs < 0 {
			pure, of = -needs*98.08/2, "sulfuric"
		}
		got := float64(x.Dose) * float64(x.Of.Product.Strength.V)
		if !strings.Contains(strings.ToLower(x.Of.Name), of) || math.Abs(got-pure) > 0.05*pure+0.3 {
			t.Errorf("pH %g: %v of %s, %g pure; by hand %g of %s", ph, x.Dose, x.Of.Name, got, pure, of)
		}
		if price := map[string]float64{"caustic": 0.6, "sulfuric": 0.3}[of]; x.Of.Price.Amount != price || x.Down != (of == "sulfuric") {
			t.Errorf("pH %g: %+v", ph, x)
		}
	}
	own, err := SetPH(s, 0, 0, 7.604, caustic, acid, product.Default())
	if err != nil || own.Needed || own.Dose != 0 {
		t.Errorf("the raw water's own pH: %+v %v", own, err)
	}
	if x, err := SetPH(s, 0, 30, 6, caustic, Alkali{}, product.Default()); err != nil || !x.Needed || x.Of.Name != "" || x.Dose != 0 {
		t.Errorf("without an acid: %+v %v", x, err)
	}
	if _, err := SetPH(s, 0, 30, 12.5, giver(t, "bicarbonate", NewAlkali, 1), acid, product.Default()); err == nil {
		t.Error("bicarbonate brings water to pH 12.5")
	}
	blank := s
	blank.Raw = nil
	if _, err := SetPH(blank, 0, 30, 6, caustic, acid, product.Default()); err == nil {
		t.Error("the raw water is not known")
	}
	if _, err := NewAcid(caustic.Product, quantity.Price{}, 0); err == nil {
		t.Error("caustic is an acid")
	}
}

// TestSetPHIsInTheCost: a pair's further cost is that of its acid or alkali; one that has no
// price is said, and so is what was counted.
func TestSetPHIsInTheCost(t *testing.T) {
	s := phJars(t)
	for _, ph := range []float64{6, 8.2} {
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: 30, Known: true}}, Settings: map[string]float64{"ph_target": ph}})
	}
	caustic, acid := giver(t, "caustic-50", NewAlkali, 0.6), giver(t, "sulfuric-acid", NewAcid, 0.3)
	opt := surface.Options{PricePerKg: [2]quantity.Money{{Amount: 0.9, Currency: "EUR"}}}
	_, notes := further(s, Terms{Alkali: caustic, Acid: acid}, [2]int{0, -1}, &opt, product.Default())
	for ph, want := range map[float64]string{6: "acid", 8.2: "alkali"} {
		x, err := SetPH(s, 0, 30, quantity.PH(ph), caustic, acid, product.Default())
		if err != nil || x.Dose <= 0 {
			t.Fatal(x, err)
		}
		cost := float64(x.Dose) * map[string]float64{"acid": 0.3, "alkali": 0.6}[want]
		if got := opt.Further(surface.Pair{First: 30, PH: ph}).Amount; math.Abs(got-cost) > 1e-9 {
			t.Errorf("%s at pH %g: %g, want %g", want, ph, got, cost)
		}
	}
	if said := notes.Err(); said != nil || len(notes) != 1 || notes[0].Code != "cost-holds" || !strings.Contains(notes[0].Message, "what sets the pH of its jars (caustic soda solution, 50 % at 0.6 EUR/kg, sulfuric acid at 0.3 EUR/kg)") {
		t.Errorf("%v", notes)
	}
	opt.Further = nil
	_, notes = further(s, Terms{Alkali: caustic}, [2]int{0, -1}, &opt, product.Default())
	if opt.Further == nil || len(notes) != 2 || notes[0].Code != "cost-leaves-out" || !strings.Contains(notes[0].Message, "holds no acid") {
		t.Errorf("%v", notes)
	}
	opt.Further = nil
	s.Raw = nil
	if _, notes = further(s, Terms{Alkali: caustic, Acid: acid}, [2]int{0, -1}, &opt, product.Default()); opt.Further != nil || len(notes) != 1 || notes[0].Code != "cost-leaves-out" {
		t.Errorf("%v", notes)
	}
}

// TestAcidInOtherMoney: what sets the pH is not added to a cost in other money.
func TestAcidInOtherMoney(t *testing.T) {
	acid := giver(t, "sulfuric-acid", NewAcid, 0.3)
	acid.Price.Currency = "USD"
	opt := surface.Options{PricePerKg: [2]quantity.Money{{Amount: 0.9, Currency: "EUR"}}}
	_, notes := further(phJars(t), Terms{Alkali: giver(t, "caustic-50", NewAlkali, 0.6), Acid: acid}, [2]int{0, -1}, &opt, product.Default())
	if opt.Further != nil || len(notes) != 1 || notes[0].Code != "cost-leaves-out" || !strings.Contains(notes[0].Message, "its price is in USD, that of the chemicals in EUR") {
		t.Errorf("%v", notes)
	}
}

// TestPHOutOfReach: bicarbonate cannot bring water beyond its own pH of about 8.3 (from
// memory), so a pair there is none, however cheap its alum, and the jars' pH is named.
func TestPHOutOfReach(t *testing.T) {
	s := phJars(t)
	for _, ph := range []float64{7, 9.5} {
		s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: 30, Known: true}}, Settings: map[string]float64{"ph_target": ph}})
	}
	opt := surface.Options{PricePerKg: [2]quantity.Money{{Amount: 0.9, Currency: "EUR"}}}
	_, notes := further(s, Terms{Alkali: giver(t, "sodium-bicarbonate", NewAlkali, 0.5), Acid: giver(t, "sulfuric-acid", NewAcid, 0.3)}, [2]int{0, -1}, &opt, product.Default())
	if got := opt.Further(surface.Pair{First: 30, PH: 9.5}).Amount; !math.IsInf(got, 1) {
		t.Errorf("pH 9.5 costs %g", got)
	}
	if got := opt.Further(surface.Pair{First: 30, PH: 7}).Amount; math.IsInf(got, 1) || got <= 0 {
		t.Errorf("pH 7 costs %g", got)
	}
	k := slices.IndexFunc(notes, func(n note.Note) bool { return n.Code == "ph-not-reached" })
	if k < 0 || !strings.Contains(notes[k].Message, "to pH 9.5 at") {
		t.Errorf("%v", notes)
	}
}

// TestSiteAcid: the first acid of a site that has a price there.
func TestSiteAcid(t *testing.T) {
	s := site.Site{Chemicals: []site.Chemical{{Name: quantity.Some("drum"), Product: quantity.Some("sulfuric-acid"), Dose: quantity.Some(quantity.Concentration(1)), Basis: quantity.Some(quantity.AsProduct)}},
		Prices: []site.Price{{Chemical: quantity.Some("drum"), Price: quantity.Some(quantity.Price{Amount: 0.3, Currency: "EUR", Per: "kg"})}}}
	a, err := (&Buyer{Site: s, Catalogue: product.Default()}).Acid()
	if err != nil || a.Name == "" || a.Price.Amount != 0.3 {
		t.Errorf("%+v %v", a, err)
	}
	if b, err := (&Buyer{Site: s, Catalogue: product.Default()}).Alkali(); err != nil || b.Name != "" {
		t.Errorf("an alkali of acid: %+v %v", b, err)
	}
}
