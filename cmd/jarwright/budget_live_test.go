package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing/day"
	"jarwright/dosing/month"
	"jarwright/dosing/solids"
	"jarwright/jartest/quantity"
)

// livePlans are months whose workbooks are worked out without an office suite:
// together they take every branch of the store's rule.
func livePlans() map[string]month.Plan {
	eur := func(v float64, per string) quantity.Price {
		return quantity.Price{Amount: v, Currency: "EUR", Per: per}
	}
	// A unit on a beck that runs every day, with a store too small for a month, an
	// order that the program chooses, and a product bought by the litre.
	small := month.Plan{
		Calendar: month.Calendar{Month: month.Month{Year: 2027, Month: time.June}, Flow: 3.6, Season: 0.8, Week: month.EveryDay(20)},
		Chemicals: []month.Chemical{{
			Name: "ferric chloride", Role: month.Coagulant, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 45}}, Density: 1.43, Stock: 100000, Carrier: 0.05,
			Prices: month.PriceList{Tiers: []month.Tier{{From: 2, Price: eur(1.1, "L")}, {From: 5, Price: eur(25, "pack")}}},
			Supply: month.Supply{Opening: 5, Pack: 14.3, LeadDays: 6, Limit: 43, ShelfDays: 90, OpeningAge: 80, MinDays: 1},
		}},
		Water: eur(1.9, "m3"),
		Doubt: month.Doubt{Draws: 100},
	}
	// Nothing to treat, nothing used: every division by the use must stand.
	idle := small
	idle.Calendar.Flow = 0
	// A pack that outlasts its shelf life, nothing on time, an order before the plan
	// that comes after the first arrival, deliveries on one day of the week.
	late := month.Plan{
		Calendar: month.Calendar{Month: month.Month{Year: 2027, Month: time.December}, Flow: 5.4, Week: month.EveryDay(24)},
		Classes:  []month.Class{{Name: "clear", Share: 0.6, Removed: solids.Same[quantity.Concentration](12)}, {Name: "storm", Share: 0.4, Removed: solids.Same[quantity.Concentration](60)}},
		Chemicals: []month.Chemical{
			{
				Name: "polymer", Role: month.Polymer, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 1}, {Plan: 2.5}}, Effects: day.Effects{Floc: 1},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(7, "kg")}}, Delivery: quantity.Money{Amount: 9, Currency: "EUR"}},
				Supply: month.Supply{Opening: 1, OpeningAge: 3, Pack: 5, LeadDays: 9, ShelfDays: 6, MinDays: month.NoMinDays},
			},
			{
				Name: "alum", Role: month.Coagulant, Basis: quantity.AsAlum14, Doses: []month.Dose{{Plan: 15}, {Plan: 25}}, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.485), AlkalinityUse: 0.505, Floc: 0.44},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.8, "kg")}}},
				Supply: month.Supply{Opening: 70, Pack: 20, LeadDays: 3, Limit: 120, MinDays: 2, OnOrder: 4, OnOrderDate: month.Date{Year: 2027, Month: time.December, Day: 16}, Essential: true},
			},
		},
		OrderFrom: month.Date{Year: 2027, Month: time.November, Day: 29},
		Doubt:     month.Doubt{Draws: 100},
	}
	for d := range late.Calendar.Week {
		late.Calendar.Week[d].Delivery = d == int(time.Thursday)
		late.Calendar.Week[d].Operating = d != int(time.Saturday) && d != int(time.Sunday)
	}
	// A tank cleaned up every Saturday, each time for longer than a day.
	cleaned := small
	cleaned.Calendar = month.Calendar{Month: month.Month{Year: 2027, Month: time.June}, Flow: 8, CleanFlow: 8}
	cleaned.Calendar.Week[time.Saturday] = month.Pattern{Share: 1, Delivery: true, CleanUp: 300000}
	// A tank cleaned up on two days, on one of them beside ordinary water, in doses of its own.
	beside := late
	beside.Calendar.CleanFlow, beside.CleanUp = 3, &month.CleanUp{Name: "pond", Treated: 72000, Removed: solids.Same[quantity.Concentration](31)}
	beside.Calendar.Exceptions = []month.Exception{{Date: month.Date{Year: 2027, Month: time.December, Day: 9}, CleanUp: 72000},
		{Date: month.Date{Year: 2027, Month: time.December, Day: 14}, Closed: true, CleanUp: 72000}}
	beside.Chemicals = slices.Clone(late.Chemicals)
	dwindles := late.Chemicals[1].Effects // as phosphate does from pass to pass
	dwindles.Floc = 0.41
	beside.Chemicals[0].Cleaning, beside.Chemicals[1].Cleaning = month.Dose{Plan: 0.7}, month.Dose{Plan: 19, Effects: &dwindles}
	// Deliveries looked ahead for in a month that takes twice as much, and one that takes nothing.
	ahead, stopped := small, small
	ahead.Chemicals = slices.Clone(small.Chemicals)
	ahead.Chemicals[0].Supply.LeadDays = 35
	next := ahead
	next.Calendar.Month, next.Chemicals = month.Month{Year: 2027, Month: time.July}, slices.Clone(ahead.Chemicals)
	next.Chemicals[0].Doses = []month.Dose{{Plan: 90}}
	stopped.Calendar.Month, stopped.Calendar.Flow = month.Month{Year: 2027, Month: time.August}, 0
	ahead.Later = []month.Plan{next, stopped}
	return map[string]month.Plan{"ahead": ahead, "beside": beside, "hand": handPlan(), "small": small, "idle": idle, "late": late, "cleaned": cleaned}
}

// TestFormulasOfBudgets works every formula of the budgets' workbooks out anew,
// each from the stored values of the cells that it points to: where all agree, so
// does the whole workbook.
func TestFormulasOfBudgets(t *testing.T) {
	t.Parallel()
	t.Run("demo", func(t *testing.T) {
		t.Parallel()
		dir := t.TempDir()
		demoInputs(t, dir)
		file := filepath.Join(dir, "budget.xlsx")
		by("budget", filepath.Join(dir, "site.xlsx"), "-o", "FILE")(t, file)
		pointwise(t, opened(t, contents(t, file)), 600)
	})
	for name := range livePlans() {
		for units, suffix := range map[quantity.System]string{quantity.Metric: "", quantity.US: "-us"} {
			t.Run(name+suffix, func(t *testing.T) {
				t.Parallel()
				pointwise(t, opened(t, keptBudget(t, name, units)), 600)
			})
		}
	}
}

// TestFormulasOfBooks does the same for every other workbook with live formulas.
func TestFormulasOfBooks(t *testing.T) {
	t.Parallel()
	for _, b := range liveBooks(t) {
		if strings.HasPrefix(b.name, "budget") {
			continue
		}
		t.Run(b.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "book.xlsx")
			b.write(t, file)
			pointwise(t, opened(t, contents(t, file)), b.formulas)
		})
	}
}

// TestFormulasFollowTheInputs: a plan that differs in its inputs alone is
// written with the same formulas, so none of them holds an input as a number; and
// TestFormulasOfBudgets holds for the changed plan too.
func TestFormulasFollowTheInputs(t *testing.T) {
	t.Parallel()
	p := handPlan()
	p.Calendar.Flow, p.Calendar.Season = 31.7, 1.1
	p.Classes[0].Removed, p.Disposal.DrySolids, p.Disposal.Price.Amount, p.Water.Amount, p.Energy.Power = solids.Same[quantity.Concentration](24), 0.03, 28, 3, 900
	p.OrderFrom = month.Date{Year: 2028, Month: time.January, Day: 30}
	alum, polymer, soda := &p.Chemicals[0], &p.Chemicals[1], &p.Chemicals[2]
	alum.Doses = []month.Dose{{Plan: 27.25}, {Plan: 33}}
	alum.Prices.Tiers[1], alum.Prices.Delivery.Amount = month.Tier{From: 3, Price: quantity.Price{Amount: 0.745, Currency: "EUR", Per: "kg"}}, 17
	alum.Supply = month.Supply{Opening: 44, OpeningAge: 2, Pack: 20, LeadDays: 3, Limit: 190, ShelfDays: 30, MinDays: 2, ShippingFactor: 1.3, OrderPacks: 0, OnOrder: 3, OnOrderDate: month.Date{Year: 2028, Month: time.February, Day: 4}}
	polymer.Stock, polymer.Supply.LeadDays, polymer.Supply.OrderPacks = 2500, 5, 2
	soda.Strength.V, soda.Balance = 0.95, &day.Balance{Raw: 42, Keep: 35, PerCaCO3: 1.1}
	for _, units := range []quantity.System{quantity.Metric, quantity.US} {
		changed := opened(t, budgetBook(t, p, units))
		_, was := valuesOf(t, opened(t, keptBudget(t, "hand", units)))
		_, is := valuesOf(t, changed)
		for _, at := range sortedKeys(was) {
			if was[at] != is[at] {
				t.Errorf("%s =%s becomes %s", at, was[at], is[at])
			}
		}
		if len(was) != len(is) {
			t.Errorf("%d formulas become %d", len(was), len(is))
		}
		pointwise(t, changed, 2000)
	}
}

// pointwise recalculates each formula of a workbook by itself.
func pointwise(t *testing.T, f *excelize.File, least int) {
	t.Helper()
	stored, formulas := valuesOf(t, f)
	if len(formulas) < least {
		t.Fatalf("%d formulas, want at least %d", len(formulas), least)
	}
	split := func(at string) (string, string) {
		i := strings.LastIndexByte(at, '!')
		return at[:i], at[i+1:]
	}
	still := func(at string) {
		s, cell := split(at)
		var v any = stored[at]
		var x float64
		if _, err := fmt.Sscan(stored[at], &x); err == nil {
			v = x
		}
		if err := f.SetCellValue(s, cell, v); err != nil {
			t.Fatal(err)
		}
	}
	for at := range formulas {
		still(at)
	}
	// The library takes an empty cell for unequal to "", which no spreadsheet
	// program does: here are the inputs of a budget's day that formulas compare so.
	if days, err := f.GetRows("Days"); err == nil {
		for r := 5; r <= len(days); r++ {
			for _, col := range "EFGIJ" {
				if at := fmt.Sprintf("%c%d", col, r); stored["Days!"+at] == "" {
					if err := f.SetCellValue("Days", at, ""); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
	for _, at := range sortedKeys(formulas) {
		if strings.HasPrefix(formulas[at], "IF(ABS(") {
			continue // whether inputs have changed: the library cannot read a comparison of two ABS
		}
		s, cell := split(at)
		if err := f.SetCellFormula(s, cell, formulas[at]); err != nil {
			t.Fatal(err)
		}
		got, err := f.CalcCellValue(s, cell, excelize.Options{RawCellValue: true})
		if err != nil || !sameNumbers(got, stored[at]) {
			t.Errorf("%s =%s gives %q (%v), stored is %q", at, formulas[at], got, err, stored[at])
		}
		still(at)
	}
}
