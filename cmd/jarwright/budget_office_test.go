package main

import (
	"bytes"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"jarwright/dosing/day"
	"jarwright/dosing/doubt"
	"jarwright/dosing/month"
	"jarwright/dosing/solids"
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
	on := func(d int) month.Date { return month.Date{Year: 2028, Month: time.February, Day: d} }
	uniform := func(lo, hi float64) func(float64) (quantity.Concentration, bool) {
		return func(p float64) (quantity.Concentration, bool) { return quantity.Concentration(lo + p*(hi-lo)), true }
	}
	return month.Plan{
		Calendar: month.Calendar{
			Month: month.Month{Year: 2028, Month: time.February}, Flow: 20, Week: week,
			Exceptions: []month.Exception{
				{Date: on(6), Open: true, Hours: 4}, {Date: on(9), Class: "storm"}, {Date: on(10), Class: "storm"}, {Date: on(12), Flow: 7.5},
				{Date: on(14), CleanUp: 180000, Remark: "tank 3"}, {Date: on(15), NoDelivery: true}, {Date: on(29), Closed: true},
			},
		},
		Classes: []month.Class{{Name: "clear", Share: 0.75, Removed: solids.Same[quantity.Concentration](20)}, {Name: "storm", Share: 0.25, Removed: solids.Same[quantity.Concentration](100)}},
		Chemicals: []month.Chemical{
			{
				Name: "alum", Role: month.Coagulant, Basis: quantity.AsAlum14, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.485), AlkalinityUse: 0.505, Floc: 0.444}, Doses: []month.Dose{{Plan: 20, Quantile: uniform(15, 21)}, {Plan: 40, Quantile: uniform(30, 42)}},
				Density: 1.335,
				Prices:  month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.80, "kg")}, {From: 4, Price: eur(0.70, "kg")}, {From: 10, Price: eur(0.62, "kg")}}, Delivery: quantity.Money{Amount: 15, Currency: "EUR"}},
				Supply:  month.Supply{Opening: 60, Pack: 25, LeadDays: 4, Limit: 200, MinDays: 3, ShippingFactor: 1.5, OrderPacks: 4, OnOrder: 2, OnOrderDate: on(5)},
			},
			{
				Name: "polymer", Role: month.Polymer, Basis: quantity.AsProduct, Doses: []month.Dose{{Plan: 0.5}, {Plan: 1}}, Effects: day.Effects{Floc: 1}, Stock: 2000,
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(6, "kg")}}, Delivery: quantity.Money{Amount: 4, Currency: "EUR"}},
				Supply: month.Supply{Opening: 2, OpeningAge: 10, Pack: 1, LeadDays: 2, ShelfDays: 20, MinDays: 2, ShippingFactor: 2},
			},
			{
				Name: "soda ash", Role: month.Alkali, Basis: quantity.AsNa2CO3, Effects: day.Effects{Strength: quantity.Some[quantity.Fraction](0.99)}, Balance: &day.Balance{Raw: 40, Keep: 32, PerCaCO3: 1.059},
				Prices: month.PriceList{Tiers: []month.Tier{{From: 1, Price: eur(0.55, "kg")}}},
				Supply: month.Supply{Opening: 10, Pack: 20, LeadDays: 15, ShelfDays: 200, MinDays: month.NoMinDays},
			},
		},
		Disposal: day.Disposal{DrySolids: 0.02, Density: 1.01, Price: eur(30, "m3")},
		Water:    eur(2, "m3"),
		Energy:   month.Energy{Power: 1500, Price: eur(0.20, "kWh")},
		Doubt:    month.Doubt{Flow: doubt.Span{Low: 0.9, High: 1.1}, Solids: doubt.Span{Low: 0.7, High: 1.4}, Seed: 1, Draws: 500},
	}
}

// budgetBook budgets a plan and gives its workbook.
func budgetBook(t *testing.T, p month.Plan, units quantity.System) []byte {
	t.Helper()
	data, err := writtenBudget(p, units)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func writtenBudget(p month.Plan, units quantity.System) ([]byte, error) {
	m, err := month.Make(p)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = (templates.Budget{Place: "Beckside trout hatchery (example)", Months: []month.Budget{m}}).
		Book(&b, templates.Options{Date: time.Date(2028, 1, 25, 0, 0, 0, 0, time.UTC), Units: units})
	return b.Bytes(), err
}

// writtenBudgets are the workbooks of keptBudget, each the function that makes it once.
var writtenBudgets sync.Map

// keptBudget is the workbook of one of livePlans, made once for all tests.
func keptBudget(t *testing.T, plan string, units quantity.System) []byte {
	t.Helper()
	type key struct {
		plan  string
		units quantity.System
	}
	made, _ := writtenBudgets.LoadOrStore(key{plan, units}, sync.OnceValues(func() ([]byte, error) { return writtenBudget(livePlans()[plan], units) }))
	data, err := made.(func() ([]byte, error))()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// named finds the cell that a name stands for, as "Sheet!B4".
func named(t *testing.T, f *excelize.File, name string) string {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if strings.EqualFold(n.Name, name) {
			return strings.NewReplacer("'", "", "$", "").Replace(n.RefersTo)
		}
	}
	t.Fatalf("no name %s", name)
	return ""
}

// liveBudget is the budget's workbook, as written and after flow, doses, a price
// and a lead time were changed in the sheet: then every formula must give what
// the program stores for the changed plan, but for what is said of the inputs at writing.
func liveBudget(t *testing.T) []liveBook {
	t.Helper()
	metric, us := keptBudget(t, "hand", quantity.Metric), keptBudget(t, "hand", quantity.US)
	written, inUS := opened(t, metric), opened(t, us)
	changed := handPlan()
	changed.Calendar.Flow = 31.7
	changed.Chemicals[0].Doses[0].Plan = 27.25
	changed.Chemicals[0].Doses[1].Plan = 33
	changed.Chemicals[0].Prices.Tiers[1].Price.Amount = 0.745
	changed.Chemicals[1].Supply.LeadDays = 5
	m, err := month.Make(changed)
	if err != nil {
		t.Fatal(err)
	}
	check := checkLine(t, written)
	many := fourteenChanges()
	return []liveBook{{
		name: "budget-fourteen", formulas: 2000,
		write: saved(func(*testing.T) []byte { return metric }),
		changes: map[string]any{
			named(t, written, "Flow_m3_h"): 13.3, named(t, written, "Season"): 0.9, weekCell(t, written, "Tuesday", "D"): 6.5, weekCell(t, written, "Thursday", "D"): 0,
			named(t, written, "Dose_alum_storm_mg_L"): 0, named(t, written, "Dose_polymer_clear_mg_L"): 0, named(t, written, "Price_polymer"): 7.25, named(t, written, "Charge_polymer"): 11,
			named(t, written, "Shelf_polymer_d"): 12, named(t, written, "Opening_alum_kg"): 35, named(t, written, "Price_disposal"): 41, named(t, written, "Price_electricity"): 0.33,
			named(t, written, "Price_water"): 3.1, named(t, written, "Alkalinity_raw"): 37,
		},
		anew:   saved(func(t *testing.T) []byte { return budgetBook(t, many, quantity.Metric) }),
		except: func(cell string) bool { return cell == check },
	}, {
		// The same in gallons and pounds.
		name: "budget-fourteen-us", formulas: 2000,
		write: saved(func(*testing.T) []byte { return us }),
		changes: map[string]any{
			named(t, inUS, "Flow_gpm"): 13.3 * inGpm, named(t, inUS, "Season"): 0.9, weekCell(t, inUS, "Tuesday", "D"): 6.5, weekCell(t, inUS, "Thursday", "D"): 0,
			named(t, inUS, "Dose_alum_storm_mg_L"): 0, named(t, inUS, "Dose_polymer_clear_mg_L"): 0, named(t, inUS, "Price_polymer"): 7.25 / inPounds, named(t, inUS, "Charge_polymer"): 11,
			named(t, inUS, "Shelf_polymer_d"): 12, named(t, inUS, "Opening_alum_lb"): 35 * inPounds, named(t, inUS, "Price_disposal"): 41 * perGallon * 1000, named(t, inUS, "Price_electricity"): 0.33,
			named(t, inUS, "Price_water"): 3.1 * perGallon * 1000, named(t, inUS, "Alkalinity_raw"): 37,
		},
		anew:   saved(func(t *testing.T) []byte { return budgetBook(t, many, quantity.US) }),
		except: func(cell string) bool { return cell == check },
	}, {
		name: "budget", formulas: 2000,
		write: saved(func(*testing.T) []byte { return metric }),
		changes: map[string]any{
			named(t, written, "Flow_m3_h"): 31.7, named(t, written, "Dose_alum_clear_mg_L"): 27.25, named(t, written, "Dose_alum_storm_mg_L"): 33,
			named(t, written, "Price_2_alum"): 0.745, named(t, written, "Lead_polymer_d"): 5,
		},
		expect: map[string]float64{
			named(t, written, "Total_cost"): m.Total.Amount, named(t, written, "Use_alum_kg"): float64(m.Accounts[0].Use), named(t, written, "Use_soda_ash_kg"): float64(m.Accounts[2].Use),
			named(t, written, "To_pay"): m.ToPay.Amount, named(t, written, "Water_m3"): m.Treated.In("m3"), named(t, written, "Cost_per_1000_m3"): m.PerM3.Amount * 1000,
			named(t, written, "Reorder_alum_kg"): float64(m.Accounts[0].Reorder), named(t, written, "Cover_alum_d"): m.Accounts[0].Cover.In("d"),
		},
		anew: saved(func(t *testing.T) []byte { return budgetBook(t, changed, quantity.Metric) }),
		// The line that says whether the inputs are those at writing.
		except: func(cell string) bool { return cell == check },
	}, {
		name: "budget-us", formulas: 2000,
		write: saved(func(*testing.T) []byte { return us }),
		changes: map[string]any{
			named(t, inUS, "Flow_gpm"): 31.7 * inGpm, named(t, inUS, "Dose_alum_clear_mg_L"): 27.25, named(t, inUS, "Dose_alum_storm_mg_L"): 33,
			named(t, inUS, "Price_2_alum"): 0.745 / inPounds, named(t, inUS, "Lead_polymer_d"): 5,
		},
		expect: map[string]float64{
			named(t, inUS, "Total_cost"): m.Total.Amount, named(t, inUS, "Use_alum_lb"): float64(m.Accounts[0].Use) * inPounds, named(t, inUS, "To_pay"): m.ToPay.Amount,
			named(t, inUS, "Water_gal"): m.Treated.In("m3") * inGallons, named(t, inUS, "Cost_per_1000_gal"): m.PerM3.Amount * 1000 * perGallon,
		},
		anew:   saved(func(t *testing.T) []byte { return budgetBook(t, changed, quantity.US) }),
		except: func(cell string) bool { return cell == check },
	}, {
		// Prices that nobody gave are filled in afterwards, and given ones are emptied: what hangs on them is not known then.
		name: "budget-priced", formulas: 2000,
		write: saved(func(t *testing.T) []byte { return budgetBook(t, withoutPrices(), quantity.Metric) }),
		changes: map[string]any{named(t, written, "Price_polymer"): 6, named(t, written, "Charge_polymer"): 4, named(t, written, "Price_water"): 2,
			named(t, written, "Price_electricity"): 0.20, named(t, written, "Power_W"): 1500, named(t, written, "Price_disposal"): 30},
		anew:   saved(func(*testing.T) []byte { return metric }),
		except: func(cell string) bool { return cell == check },
	}, {
		name: "budget-emptied", formulas: 2000,
		write: saved(func(*testing.T) []byte { return metric }),
		changes: map[string]any{named(t, written, "Price_polymer"): nil, named(t, written, "Charge_polymer"): nil, named(t, written, "Price_water"): nil,
			named(t, written, "Price_electricity"): nil, named(t, written, "Power_W"): nil, named(t, written, "Price_disposal"): nil},
		anew:   saved(func(t *testing.T) []byte { return budgetBook(t, withoutPrices(), quantity.Metric) }),
		except: func(cell string) bool { return cell == check },
	}}
}

// withoutPrices is the hand-made month of a site that prices neither its polymer nor solids, water and energy; what solids are paid by is said.
func withoutPrices() month.Plan {
	p := handPlan()
	p.Chemicals[1].Prices = month.PriceList{}
	p.Disposal.Price, p.Water, p.Energy = quantity.Price{Per: "m3"}, quantity.Price{}, month.Energy{}
	return p
}

// fourteenChanges is the hand-made month with as many inputs changed, two doses and the
// hours of a weekday to nothing.
func fourteenChanges() month.Plan {
	p := handPlan()
	p.Calendar.Flow, p.Calendar.Season = 13.3, 0.9
	p.Calendar.Week[time.Tuesday].Hours, p.Calendar.Week[time.Thursday].Hours = 6.5, 0
	alum, polymer := &p.Chemicals[0], &p.Chemicals[1]
	alum.Doses[1].Plan, polymer.Doses[0].Plan = 0, 0
	polymer.Prices.Tiers[0].Price.Amount, polymer.Prices.Delivery.Amount, polymer.Supply.ShelfDays = 7.25, 11, 12
	alum.Supply.Opening = 35
	p.Disposal.Price.Amount, p.Energy.Price.Amount, p.Water.Amount = 41, 0.33, 3.1
	p.Chemicals[2].Balance = &day.Balance{Raw: 37, Keep: 32, PerCaCO3: 1.059}
	return p
}

// weekCell finds the cell of a weekday on the sheet of inputs.
func weekCell(t *testing.T, f *excelize.File, weekday, column string) string {
	t.Helper()
	at, err := f.SearchSheet("Inputs", weekday)
	if err != nil || len(at) != 1 {
		t.Fatalf("%v %v", at, err)
	}
	return "Inputs!" + column + strings.TrimLeft(at[0], "ABCDEFGH")
}

// checkLine finds the cell that tells whether inputs have changed.
func checkLine(t *testing.T, f *excelize.File) string {
	t.Helper()
	at, err := f.SearchSheet("Summary", "The cost of the month is that at writing, and this range is its own.")
	if err != nil || len(at) != 1 {
		t.Fatalf("%v %v", at, err)
	}
	return "Summary!" + at[0]
}

func TestBudgetBookIsTheSameEachTime(t *testing.T) {
	t.Parallel()
	if !bytes.Equal(keptBudget(t, "hand", quantity.Metric), budgetBook(t, handPlan(), quantity.Metric)) {
		t.Error("two writings of one budget differ")
	}
}

// TestChangedBudgetMoves: the changes of liveBudget move totals and order dates
// at all, so that the comparison in the office means something.
func TestChangedBudgetMoves(t *testing.T) {
	t.Parallel()
	b := liveBudget(t)[1]
	dir := t.TempDir()
	b.write(t, filepath.Join(dir, "a.xlsx"))
	b.anew(t, filepath.Join(dir, "b.xlsx"))
	before := cells(t, filepath.Join(dir, "a.xlsx"))
	after, formulas := values(t, filepath.Join(dir, "b.xlsx"))
	moved, orders := 0, 0
	for at := range formulas {
		if before[at] != after[at] {
			moved++
			if strings.HasPrefix(at, "Deliveries!B") || strings.HasPrefix(at, "Deliveries!C") {
				orders++
			}
		}
	}
	if moved < 300 || orders < 4 {
		t.Errorf("%d cells and %d dates of orders moved", moved, orders)
	}
}

// TestHostileNames: names from a user's file stay text in the workbook, in
// sheets, formulas and charts, and two that look alike keep apart.
func TestHostileNames(t *testing.T) {
	t.Parallel()
	p := handPlan()
	p.Chemicals[0].Name = `=HYPERLINK("x")!A0`
	p.Chemicals[1].Name = "Al'um [1]: <b>&\x07\u202e a name far too long for the tab of a sheet"
	p.Chemicals[2].Name = "=hyperlink(x)!a0 "
	_, formulas := valuesOf(t, opened(t, budgetBook(t, p, quantity.Metric)))
	// A quoted sheet name in a reference is only a name.
	quotedName := regexp.MustCompile(`'(?:[^']|'')*'`)
	for at, fx := range formulas {
		if strings.Contains(strings.ToUpper(quotedName.ReplaceAllString(fx, "")), "HYPERLINK(") {
			t.Errorf("%s: %s", at, fx)
		}
	}
	if len(formulas) < 2000 {
		t.Errorf("only %d formulas were looked at", len(formulas))
	}
}
