package pair

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/dosing/caution"
	"jarwright/dosing/product"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/surface"
)

// riverJars is alum on water of 18 C, pH 8.2 and 160 mg/L CaCO3.
func riverJars() jartest.Series {
	return jartest.Series{Name: "river", Chemicals: []jartest.Chemical{{Name: "alum", Basis: quantity.AsAlum14}},
		Raw: map[jartest.Key]jartest.Reading{jartest.PH: jartest.Num(8.2, "pH"), jartest.AlkalinityKey: jartest.Num(160, "mg/L CaCO3"),
			jartest.TemperatureKey: jartest.Num(18, "C")}}
}

// TestAcidOfARiver: 48 mg/L of alum 14-hydrate to pH 6.2 in such water. By hand: 160/50.04 = 3.197 meq/L; pK1 6.396 and pK2 10.39 at 18 C
// (Plummer and Busenberg 1982, from memory), less 0.032 and 0.128 for an ionic strength of 0.0048 mol/L (Davies). At pH 8.2 that is
// 3.219 mmol/L of carbonate, of which 0.407 is alkalinity at pH 6.2. Alum takes 48 x 6/594.35 = 0.485 meq/L. A mineral acid takes the rest,
// 49.04 mg/meq of H2SO4 or 36.46 of HCl; carbon dioxide, 44.01 mg/mmol, makes more carbonate of the same alkalinity.
func TestAcidOfARiver(t *testing.T) {
	k1, k2 := math.Pow(10, -6.396+0.032), math.Pow(10, -10.39+0.128)
	share := func(ph float64) float64 { // alkalinity of one mmol/L of carbonate
		h := math.Pow(10, -ph)
		return (k1*h + 2*k1*k2) / (h*h + k1*h + k1*k2)
	}
	raw, alum := 160/50.0435, 48*6/594.35
	carbonate := raw / share(8.2)
	mineral := raw - alum - carbonate*share(6.2)
	for _, x := range []struct {
		acid           string
		pure, strength float64
		about          float64 // mg/L as sold
	}{
		{"sulfuric-acid", mineral * 98.08 / 2, 0.96, 72},
		{"hydrochloric-acid", mineral * 36.46, 0.32, 160},
		{"carbon-dioxide", ((raw-alum)/share(6.2) - carbonate) * 44.01, 1, 152},
	} {
		sold, err := Sold(x.acid, product.Default())
		if err != nil {
			t.Fatal(err)
		}
		acid, err := NewAcid(sold, quantity.Price{Amount: 0.3, Currency: "EUR", Per: "kg"}, 0)
		if err != nil || acid.Price.Amount != 0.3 {
			t.Fatal(acid, err)
		}
		got, err := SetPH(riverJars(), 0, 48, 6.2, Alkali{}, acid, product.Default())
		if err != nil || !got.Down {
			t.Fatal(got, err)
		}
		if pure := float64(got.Dose) * x.strength; math.Abs(pure-x.pure) > 0.02*x.pure || math.Abs(float64(got.Dose)-x.about) > 0.02*x.about {
			t.Errorf("%s: %.4g as sold, %.4g pure; by hand %.4g pure, about %g", x.acid, float64(got.Dose), pure, x.pure, x.about)
		}
		if s := float64(acid.Product.Strength.V); s != x.strength && acid.Product.ID != gas {
			t.Errorf("%s is sold at %g", x.acid, s)
		}
	}
}

// riverGrid are such jars at five doses and four pH. Their water clears fastest at pH 6.3.
func riverGrid() jartest.Series {
	s := riverJars()
	for _, ph := range []float64{5.8, 6.3, 6.8, 7.3} {
		for _, d := range []float64{0, 15, 30, 45, 60} {
			left := 1.2 + 38*math.Exp(-0.075*d*math.Exp(-math.Pow((ph-6.3)/0.7, 2)))
			left *= 1 + 0.03*math.Sin(2.3*float64(len(s.Jars)+1))
			s.Jars = append(s.Jars, jartest.Jar{Doses: []jartest.JarDose{{Concentration: quantity.Concentration(d), Known: true}},
				Control: d == 0, Settings: map[string]float64{"ph_target": ph},
				Readings: jartest.Readings{{Key: jartest.Turbidity, Reading: jartest.Num(left, "NTU")}}})
		}
	}
	return s
}

// TestCheapestIsAllIn: the cost of a pair holds its alum (0.35 EUR/kg at 48.5 %), the acid to its pH (0.25) and the caustic (0.45, 50 %) that
// brings 140 mg/L CaCO3 back, and no pair of the same confidence costs less. 1 mg/L is 1 kg in 1000 m3. What is given back by hand: alum takes
// 3 x 100.09/594.35 a mg/L, pure acid 100.09/98.08, and caustic gives 100.09/(2 x 40.00).
func TestCheapestIsAllIn(t *testing.T) {
	s := riverGrid()
	acid, caustic := giver(t, "sulfuric-acid", NewAcid, 0.25), giver(t, "caustic-50", NewAlkali, 0.45)
	prices := []Price{{Chemical: "alum", Price: quantity.Price{Amount: 0.35, Currency: "EUR", Per: "kg"}}}
	target, err := jartest.ParseTarget("turbidity <= 5 NTU")
	if err != nil {
		t.Fatal(err)
	}
	var before surface.Result
	for _, keep := range []float64{0, 140} {
		terms := Terms{Prices: prices, Acid: acid, Alkali: caustic, AlkalinityLeft: quantity.Alkalinity(keep)}
		opt, notes := Options(s, terms, product.Default())
		r := surface.Analyse(s, []jartest.Target{target}, opt)
		if !r.HasPlanning {
			t.Fatal(r.Outcome, notes)
		}
		parts := func(p surface.Pair) (sour, gives float64) {
			x, err := SetPH(s, 0, p.First, quantity.PH(p.PH), caustic, acid, product.Default())
			if err != nil || !x.Down && x.Needed {
				return 0, math.Inf(1)
			}
			left := 160 - float64(p.First)*3*100.09/594.35 - float64(x.Dose)*0.96*100.09/98.08
			return float64(x.Dose), max(0, keep-left) / (100.09 / 80.0) / 0.5
		}
		cost := func(p surface.Pair) float64 {
			sour, gives := parts(p)
			return float64(p.First)/0.485*0.35 + sour*0.25 + gives*0.45
		}
		plan := r.Planning
		if want := cost(plan.Pair); math.Abs(plan.Cost.Amount-want) > 1e-3*want {
			t.Errorf("keeping %g: %+v costs %g, by hand %g", keep, plan.Pair, plan.Cost.Amount, want)
		}
		sour, gives := parts(plan.Pair)
		want := map[surface.Purpose]float64{surface.SetsPH: sour}
		if keep > 0 {
			want[surface.Restores] = gives
		}
		if len(plan.Beside) != len(want) {
			t.Fatalf("keeping %g: %+v", keep, plan.Beside)
		}
		for _, b := range plan.Beside {
			price := map[surface.Purpose]float64{surface.SetsPH: 0.25, surface.Restores: 0.45}[b.For]
			if d := float64(b.Dose.Concentration); math.Abs(d-want[b.For]) > 2e-3*d || math.Abs(b.Cost.Amount-d*price) > 1e-9 || b.Taken {
				t.Errorf("keeping %g: %+v, by hand %g", keep, b, want[b.For])
			}
		}
		checked := 0
		for j, ph := range r.Grid.Second {
			for i, d := range r.Grid.First {
				if p := (surface.Pair{First: quantity.Concentration(d), PH: ph}); (i+j)%3 == 0 && r.Grid.Confidence[j][i] >= 0.9 {
					checked++
					if c := cost(p); c < plan.Cost.Amount*(1-2e-3) {
						t.Errorf("keeping %g: %+v costs %g, the planning pair %g", keep, p, c, plan.Cost.Amount)
					}
				}
			}
		}
		if checked < 20 {
			t.Errorf("%d pairs of the grid are sure", checked)
		}
		if keep > 0 && plan.Pair.PH <= before.Planning.Pair.PH+0.1 { // what gives back makes sour water dear
			t.Errorf("pH %g, without what gives back %g", plan.Pair.PH, before.Planning.Pair.PH)
		}
		said := slices.ContainsFunc(terms.After(s, r, product.Default()), func(n note.Note) bool { return n.Code == "alkalinity-after-acid" })
		if said == (keep > 0) {
			t.Errorf("keeping %g: that nothing is given back is said: %v", keep, said)
		}
		before = r
	}
}

// TestWhatHasNoPriceSpeaks: the acid that no price was given for is named by its dose, as taken and without a cost, and the cost says that it
// lacks it; jars that none needs to be raised ask for no alkali.
func TestWhatHasNoPriceSpeaks(t *testing.T) {
	s := riverGrid()
	s.Jars = s.Jars[:15] // to pH 6.8
	prices := []Price{{Chemical: "alum", Price: quantity.Price{Amount: 0.35, Currency: "EUR", Per: "kg"}}}
	pair := surface.Pair{First: 48, PH: 6.2}
	for name, x := range map[string]struct {
		terms Terms
		lacks string
		costs float64 // beside the alum
	}{
		"nothing priced": {Terms{}, "", 0},
		"no acid":        {Terms{Prices: prices}, "holds no acid", 0},
		"all":            {Terms{Prices: prices, Acid: giver(t, "sulfuric-acid", NewAcid, 1)}, "", 71.5},
	} {
		opt, notes := Options(s, x.terms, product.Default())
		got := opt.Beside(pair)
		if len(got) != 1 || got[0].Name != "sulfuric acid" || math.Abs(float64(got[0].Dose.Concentration)-72) > 1.5 ||
			got[0].Taken != (x.costs == 0) || math.Abs(got[0].Cost.Amount-x.costs) > 0.02*x.costs {
			t.Errorf("%s: %+v", name, got)
		}
		var lacks []string
		for _, n := range notes {
			if n.Code == "cost-leaves-out" {
				lacks = append(lacks, n.Message)
			}
		}
		if x.lacks == "" && lacks != nil || x.lacks != "" && (len(lacks) != 1 || !strings.Contains(lacks[0], x.lacks)) {
			t.Errorf("%s: %q", name, lacks)
		}
	}
}

// The acid to a pH at which fresh floc dissolves holds what the ions of the metal bind, and that is told where it is a tenth or more. By
// hand: at pH 4.5 all of 60 mg/L of alum, 60·2/594.35 = 0.202 mmol/L of aluminium, is dissolved with two to three charges each: 0.40 to
// 0.61 meq/L, which are 20 to 30 mg/L of H2SO4, 21 to 31 as sold at 96 %. At pH 6.2 hardly any is.
func TestAcidOfDissolvedMetalIsTold(t *testing.T) {
	s := riverJars()
	s.Raw[jartest.AlkalinityKey] = jartest.Num(60, "mg/L CaCO3")
	r := surface.Result{HasPlanning: true, Second: surface.Factor{PH: true}, Planning: surface.Choice{Pair: surface.Pair{First: 60, PH: 4.5}}}
	told := func() (note.Note, bool) {
		l := Terms{AlkalinityLeft: 20}.dissolving(s, [2]int{0, -1}, r.Planning.Pair, product.Default())
		if len(l) == 0 {
			return note.Note{}, false
		}
		return l[0], true
	}
	n, ok := told()
	if !ok || n.Code != "acid-counts-dissolved" || !strings.Contains(n.Message, "sulfuric acid") || !strings.Contains(n.Message, "fresh floc leaves dissolved") {
		t.Fatal(n)
	}
	acid, _ := Terms{}.acid(product.Default())
	b, err := caution.Jars(s, product.Default())
	if err != nil {
		t.Fatal(err)
	}
	with, _ := setPH(b, s, 0, 60, 4.5, Alkali{}, acid)
	bare, _ := setPH(b.WithoutMetal(), s, 0, 60, 4.5, Alkali{}, acid)
	if d := float64(with.Dose - bare.Dose); !with.Down || !bare.Down || d < 21 || d > 31 {
		t.Errorf("%v and %v", with.Dose, bare.Dose)
	}
	if all := (Terms{AlkalinityLeft: 20}).After(s, r, product.Default()); !slices.ContainsFunc(all, func(n note.Note) bool { return n.Code == "acid-counts-dissolved" }) {
		t.Errorf("the answer does not say it: %v", all)
	}
	s.Raw[jartest.AlkalinityKey], r.Planning.Pair.PH = jartest.Num(160, "mg/L CaCO3"), 6.2
	if n, ok := told(); ok {
		t.Errorf("told where hardly any is dissolved: %v", n)
	}
}
