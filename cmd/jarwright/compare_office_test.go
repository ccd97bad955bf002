package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"jarwright/dosing/compare"
	"jarwright/dosing/day"
	"jarwright/dosing/pair"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// twoChemicals is an invented bench of two coagulants on one storm-muddied water.
const twoChemicals = `test,jar,chemical,dose (mg/L as product),turbidity (NTU)
alum Tue,c,alum,0,60
alum Tue,1,alum,10,31
alum Tue,2,alum,20,11
alum Tue,3,alum,30,4.6
alum Tue,4,alum,40,2.9
alum Tue,5,alum,50,2.6
ferric Tue,c,ferric chloride,0,60
ferric Tue,1,ferric chloride,8,30
ferric Tue,2,ferric chloride,16,9
ferric Tue,3,ferric chloride,24,4.1
ferric Tue,4,ferric chloride,32,2.7
ferric Tue,5,ferric chloride,40,2.5
`

// compareArgs is a comparison of them, in a file, with everything paid for.
func compareArgs(bench, alum, alkalinity string) []string {
	return []string{"compare", bench, "--target", "turbidity <= 5 NTU", "--price", "alum=" + alum, "--price", "ferric chloride=0.50 EUR/kg", "--freight", "alum=0.05 EUR/kg",
		"--alkalinity", alkalinity, "--alkalinity-left", "58 mg/L CaCO3", "--alkali", "soda-ash=0.50 EUR/kg", "--disposal", "30 EUR/m3", "--dry-solids", "2 %"}
}

func compareBook(alum, alkalinity string, more ...string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		bench := filepath.Join(t.TempDir(), "two.csv")
		write(t, bench, twoChemicals)
		by(append(append(compareArgs(bench, alum, alkalinity), "-o", "FILE"), more...)...)(t, file)
	}
}

// pairBook compares a pair and a single chemical at given doses of the pair.
func pairBook(t *testing.T, alum, polymer, removed float64) []byte {
	t.Helper()
	return pairInputs{alum: alum, polymer: polymer, removed: removed, ferric: 18, priceAlum: 0.42, pricePolymer: 4.8, raw: 45, keep: 40, soda: 0.5, disposal: 20,
		water: 1.9, electricity: 0.24}.book(t)
}

// pairInputs are what the sheet of such a comparison lets a reader change.
type pairInputs struct {
	alum, polymer, ferric, removed, priceAlum, pricePolymer, raw, keep, soda, disposal, water, electricity float64
}

func (in pairInputs) book(t *testing.T) []byte {
	t.Helper()
	eur := func(v float64) quantity.Price { return quantity.Price{Amount: v, Currency: "EUR", Per: "kg"} }
	part := func(name string, dose float64, b quantity.Basis, share quantity.Fraction, price, freight float64, used, made quantity.Ratio) compare.Part {
		return compare.Part{Chemical: name, Stock: 100000, Density: 1.3, Carrier: 0.03, Dose: quantity.Dose{Concentration: quantity.Concentration(dose), Basis: b}, Price: eur(price), Freight: eur(freight),
			Effects: day.Effects{Strength: quantity.Known[quantity.Fraction]{V: share, OK: share > 0}, AlkalinityUse: used, Floc: made}}
	}
	c, err := compare.Make([]compare.Option{
		{Name: "Tuesday ferric", Outcome: "found", Parts: []compare.Part{part("ferric chloride", in.ferric, quantity.AsFeCl3, 0.4, 0.6, 0.05, 0.93, 0.99)}},
		{Name: "Tuesday alum", Outcome: "found", Parts: []compare.Part{part("alum", in.alum, quantity.AsAlum14, 0.485, in.priceAlum, 0.05, 0.505, 0.44), part("polymer", in.polymer, quantity.AsProduct, 0, in.pricePolymer, 0, 0, 1)}},
	}, compare.Water{Raw: quantity.Some(quantity.Alkalinity(in.raw)), Keep: quantity.Alkalinity(in.keep), Removed: solids.Same(quantity.Concentration(in.removed)),
		Alkali:  pair.Alkali{Name: "soda ash", Per: 1.07, Price: eur(in.soda), Freight: eur(0.1), Stock: 60000, Carrier: 0.02},
		Running: 100, Skim: solids.Skimmer{Every: 0.5, Water: 2}, Power: 1500, MakeUp: quantity.Price{Amount: in.water, Currency: "EUR", Per: "m3"}, Electricity: quantity.Price{Amount: in.electricity, Currency: "EUR", Per: "kWh"},
		Disposal: day.Disposal{DrySolids: 0.02, Price: quantity.Price{Amount: in.disposal, Currency: "EUR", Per: "m3"}}}, 0)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := templates.WriteBook(&b, templates.Compare{Comparison: c}, templates.Options{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// liveCompare are the workbooks of comparisons, as written and after changes: a
// price and an alkalinity that the program is then run with, and doses.
//
// The product of the changed doses is theirs over the strength: 22.5 mg/L of
// 48.5 % is 46.39 kg in 1000 m3, at 0.42 EUR; 0.35 kg of polymer at 4.80 EUR.
func liveCompare(t *testing.T) []liveBook {
	t.Helper()
	file := filepath.Join(t.TempDir(), "compare.xlsx")
	compareBook("0.42 EUR/kg", "60 mg/L CaCO3")(t, file)
	single, pair := opened(t, contents(t, file)), opened(t, pairBook(t, 18, 0.2, 55))
	return []liveBook{
		{name: "compare", formulas: 2 * (3 + 8), write: compareBook("0.42 EUR/kg", "60 mg/L CaCO3"),
			changes: map[string]any{named(t, single, "Price_1_1"): 0.37, named(t, single, "Raw_alkalinity"): 66.5},
			anew:    compareBook("0.37 EUR/kg", "66.5 mg/L CaCO3")},
		{name: "compare-us", formulas: 2 * (3 + 8), write: compareBook("0.42 EUR/kg", "60 mg/L CaCO3", "--units", "us"),
			changes: map[string]any{named(t, single, "Price_1_1"): 0.37 / inPounds, named(t, single, "Raw_alkalinity"): 66.5},
			anew:    compareBook("0.37 EUR/kg", "66.5 mg/L CaCO3", "--units", "us")},
		{name: "compare-pair", formulas: 3*3 + 2*8, write: saved(func(t *testing.T) []byte { return pairBook(t, 18, 0.2, 55) }),
			changes: map[string]any{named(t, pair, "Dose_1_1"): 22.5, named(t, pair, "Dose_1_2"): 0.35, named(t, pair, "Removed_mg_L"): 80},
			expect:  map[string]float64{besideCost(named(t, pair, "Cost_1")): 22.5/0.485*0.42 + 0.35*4.8},
			anew:    saved(func(t *testing.T) []byte { return pairBook(t, 22.5, 0.35, 80) })},
		// Twelve inputs at once, with a dose of nothing: 33 EUR/m3 are 0.033 EUR/L, and 1.65 EUR/kg at 2 % dry.
		{name: "compare-twelve", formulas: 3*3 + 2*8, write: saved(func(t *testing.T) []byte { return pairBook(t, 18, 0.2, 55) }),
			changes: map[string]any{named(t, pair, "Dose_1_1"): 31, named(t, pair, "Dose_1_2"): 0, named(t, pair, "Dose_2_1"): 60, named(t, pair, "Removed_mg_L"): 7,
				named(t, pair, "Price_1_1"): 0.61, named(t, pair, "Price_1_2"): 3.9, named(t, pair, "Raw_alkalinity"): 38, named(t, pair, "Keep_alkalinity"): 44,
				named(t, pair, "Alkali_price"): 0.72, named(t, pair, "Disposal_per_kg"): 1.65, named(t, pair, "Disposal_of_water"): 0.033, named(t, pair, "Water_price"): 2.3,
				named(t, pair, "Electricity_price"): 0.31},
			anew: saved(pairInputs{alum: 31, polymer: 0, ferric: 60, removed: 7, priceAlum: 0.61, pricePolymer: 3.9, raw: 38, keep: 44, soda: 0.72, disposal: 33,
				water: 2.3, electricity: 0.31}.book)},
	}
}

// besideCost is the cell of the chemicals' cost in the row of a total, "Change it!I30".
func besideCost(total string) string {
	i := bytes.IndexByte([]byte(total), '!')
	return total[:i+1] + "C" + total[i+2:]
}
