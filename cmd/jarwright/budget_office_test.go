package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing/month"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// handPlan is the plant of testdata/budget/hand-month.md, with doubts and an alkali.
func handPlan() month.Plan {
	week := month.EveryDay(10)
	for d := range week {
		week[d].Delivery = d == int(time.Tuesday) || d == int(time.Friday)
	}
	week[time.Sunday].Operating = false
	eur := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "EUR", Per: per}
	}
	day := func(d int) month.Date { return month.Date{Year: 2028, Month: time.February, Day: d} }
	uniform := func(lo, hi float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
	}
	return month.Plan{
		Calendar: month.Calendar{
			Month: month.Month{Year: 2028, Month: time.February}, Flow: 20, Week: week,
			Exceptions: []month.Exception{
				{Date: day(6), Open: true, Hours: 4}, {Date: day(9), Class: "storm"}, {Date: day(10), Class: "storm"}, {Date: day(12), Flow: 7.5},
				{Date: day(14), CleanUp: 180000, Remark: "tank 3"}, {Date: day(15), NoDelivery: true}, {Date: day(29), Closed: true},
			},
		},
		Classes: []month.Class{{Name: "clear", Share: 0.75, Removed: 20}, {Name: "storm", Share: 0.25, Removed: 100}},
		Chemicals: []month.Chemical{
			{
				Name: "alum", Role: month.Coagulant, Basis: quantity.AsAlum14, Strength: 0.485, Doses: []month.Dose{{Plan: 20, Quantile: uniform(15, 21)}, {Plan: 40, Quantile: uniform(30, 42)}},
				AlkalinityUse: 0.505, SolidsYield: 0.444, Density: 1.335,
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.80, "kg")}, {From: 4, Price: eur(0.70, "kg")}, {From: 10, Price: eur(0.62, "kg")}}, Delivery: quantity.Money{Amount: 15, Currency: "EUR"}},
				Supply: month.Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, MinDays: 3, ShippingFactor: 1.5, OrderPacks: 4, OnOrder: 2, OnOrderDate: day(5)},
			},
			{
				Name: "polymer", Role: month.Polymer, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 0.5}, {Plan: 1}}, SolidsYield: 1, Stock: 2000,
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(6, "kg")}}, Delivery: quantity.Money{Amount: 4, Currency: "EUR"}},
				Supply: month.Supply{Opening: 2, OpeningAge: 10, Pack: 1, LeadDays: 2, ShelfDays: 20, MinDays: 2, ShippingFactor: 2},
			},
			{
				Name: "soda ash", Role: month.Alkali, Basis: quantity.AsNa2CO3, Strength: 0.99, Balance: &month.Balance{Raw: 40, Keep: 32, PerCaCO3: 1.059},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.55, "kg")}}},
				Supply: month.Supply{Opening: 10, Pack: 20, LeadDays: 15, ShelfDays: 200, MinDays: month.NoMinDays},
			},
		},
		Disposal: month.Disposal{DrySolids: 0.02, Density: 1.01, Price: eur(30, "m3")},
		Water:    eur(2, "m3"),
		Energy:   month.Energy{Power: 1500, Price: eur(0.20, "kWh")},
		Doubt:    month.Doubt{Flow: month.Span{Low: 0.9, High: 1.1}, Solids: month.Span{Low: 0.7, High: 1.4}, Seed: 1, Draws: 500},
	}
}

// budgetFile budgets a plan and writes its workbook.
func budgetFile(t *testing.T, p month.Plan, name string) string {
	t.Helper()
	m, err := month.Make(p)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := (templates.Budget{Place: "Beckside trout hatchery (example)", Months: []month.Budget{m}}).Book(&b, templates.Options{Date: time.Date(2028, 1, 25, 0, 0, 0, 0, time.UTC)}); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), name+".xlsx")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// named finds the cell that a name stands for, as "Sheet!B4".
func named(t *testing.T, file, name string) string {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, n := range f.GetDefinedName() {
		if strings.EqualFold(n.Name, name) {
			return strings.NewReplacer("'", "", "$", "").Replace(n.RefersTo)
		}
	}
	t.Fatalf("no name %s", name)
	return ""
}

// atWriting tells cells that hold values for the inputs at writing.
func atWriting(at string, stored map[string]string) bool {
	return strings.HasPrefix(at, "Range!") || strings.HasPrefix(at, "Remarks!") || strings.HasPrefix(at, "Summary!") && strings.Contains(stored[at], "at writing")
}

// TestBudgetBookInOffice: the stored figures are those that LibreOffice works
// out, as written and again after flow, dose and price were changed in the
// sheet: then every cell that is not a value at writing equals that of a
// workbook made by the program for the changed plan.
func TestBudgetBookInOffice(t *testing.T) {
	o := newOffice(t)
	file := budgetFile(t, handPlan(), "budget")
	if n := o.checkRecalculation(file); n < 2000 {
		t.Errorf("only %d formulas", n)
	}
	o.look(file, "budget")

	changed := handPlan()
	changed.Calendar.Flow = 31.7
	changed.Chemicals[0].Doses[0].Plan = 27.25
	changed.Chemicals[0].Doses[1].Plan = 33
	changed.Chemicals[0].Prices.Tiers[1].Price.Amount = 0.745
	changed.Chemicals[1].Supply.LeadDays = 5
	want := budgetFile(t, changed, "changed")
	edit := edited(t, file, map[string]any{
		named(t, file, "Flow_m3_h"):            31.7,
		named(t, file, "Dose_alum_clear_mg_L"): 27.25,
		named(t, file, "Dose_alum_storm_mg_L"): 33,
		named(t, file, "Price_2_alum"):         0.745,
		named(t, file, "Lead_polymer_d"):       5,
	})
	fresh := o.recalculated(edit)
	stored, formulas := values(t, want)
	compared, moved := 0, 0
	before, _ := values(t, file)
	for at, f := range formulas {
		if atWriting(at, stored) {
			continue
		}
		compared++
		if before[at] != stored[at] {
			moved++
		}
		if !sameNumbers(stored[at], fresh[at]) {
			t.Errorf("%s =%s: %q after the change in the sheet, %q by the program", at, f, fresh[at], stored[at])
		}
	}
	if compared < 2000 || moved < 300 {
		t.Errorf("%d cells compared, %d of them moved by the change", compared, moved)
	}
	if at := named(t, want, "Total_cost"); stored[at] == before[at] {
		t.Error("the total did not move")
	}
}

func TestBudgetBookIsTheSameEachTime(t *testing.T) {
	a, err := os.ReadFile(budgetFile(t, handPlan(), "a"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(budgetFile(t, handPlan(), "b"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a, b) {
		t.Error("two writings of one budget differ")
	}
}
