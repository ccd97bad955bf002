package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
)

// twoPumps is an invented hatchery with a one-knob pump and one with stroke and speed,
// which gives rate = 0.006 x stroke x speed.
const twoPumps = `place:
  name: "Ouzel Beck hatchery"
  purpose: "other"
  water_passes: "once through"
  example_values: "no"
  currency: "EUR"
water:
  ph: "7.4"
  alkalinity: "90 mg/L CaCO3"
flow:
  average_flow: "FLOW m3/h"
  least_flow: "LEAST m3/h"
  peak_flow: "PEAK m3/h"
  hours_a_day: "HOURS h"
chemicals:
  - name: "PAC"
    product: "pacl-18"
    dose: "DOSE mg/L"
    basis: "as product"
    strength: "18 %"
    strength_counts: "as Al2O3"
    density: "1.37 kg/L"
    basicity: "42 %"
    stock: "PAC stock"
    pump: "one knob"
  - name: "ferric"
    product: "ferric-chloride"
    dose: "IRON mg/L"
    basis: "as FeCl3"
    strength: "SHARE %"
    strength_counts: "as FeCl3"
    density: "HEAVY kg/L"
    stock: "ferric stock"
    pump: "two knobs"
stocks:
  - name: "PAC stock"
    product_in_stock: "100 g/L"
    tank: "PAC tank"
    life: "24 h"
    work: "15 min"
  - name: "ferric stock"
    product_in_stock: "STOCK g/L"
    tank: "ferric tank"
    life: "72 h"
    work: "15 min"
pumps:
  - name: "one knob"
    largest_rate: "4 L/h"
    least_rate: "LOWEST L/h"
    knob_at_full: "120 rpm"
    knob_step: "1 %"
    knobs: "speed"
  - name: "two knobs"
    largest_rate: "3.6 L/h"
    knob_step: "STEP %"
    stroke_step: "10 %"
    knobs: "speed and stroke"
    stroke_now: "60 %"
drawdown:
  - {pump: "two knobs", speed: "20 %", stroke: "60 %", rate: "7.2 mL/min"}
  - {pump: "two knobs", speed: "80 %", stroke: "60 %", rate: "28.8 mL/min"}
  - {pump: "two knobs", speed: "80 %", stroke: "100 %", rate: "48 mL/min"}
tanks:
  - {name: "PAC tank", use: "stock", volume: "50 L", usable: "90 %"}
  - {name: "ferric tank", use: "stock", volume: "FULL L", usable: "90 %"}
`

// twoPumpsBook plans that hatchery, its words in capitals replaced.
func twoPumpsBook(units string, values ...string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		place := filepath.Join(t.TempDir(), "site.yaml")
		write(t, place, strings.NewReplacer(values...).Replace(twoPumps))
		by("plan", place, "--units", units, "-o", "FILE")(t, file)
	}
}

// livePlan is the workbook of that plan, as written and after ten inputs were changed: it
// gives what the program plans for the same inputs, at the stroke that stands. A second
// one with a dose of nothing, a third with more than the stroke feeds.
//
// By hand: 24 mg/L as FeCl3 of 38 % is 63.158 mg/L as product; 4 m3/h over 120 g/L is
// 35.088 mL/min, at stroke 60 by 0.36 mL/min a per cent 97.5 %: too fast for what was tested.
func livePlan(t *testing.T) []liveBook {
	t.Helper()
	base := []string{"FLOW", "3", "LEAST", "2.5", "PEAK", "3.5", "HOURS", "16", "DOSE", "12", "IRON", "20", "SHARE", "40", "HEAVY", "1.42", "STOCK", "142",
		"LOWEST", "0.3", "STEP", "5", "FULL", "60"}
	with := func(changes ...string) func(t *testing.T, file string) {
		return twoPumpsBook("metric", append(changes, base...)...)
	}
	withUS := func(changes ...string) func(t *testing.T, file string) {
		return twoPumpsBook("us", append(changes, base...)...)
	}
	file, usFile := filepath.Join(t.TempDir(), "plan.xlsx"), filepath.Join(t.TempDir(), "plan-us.xlsx")
	with()(t, file)
	withUS()(t, usFile)
	stored, _ := values(t, file)
	row := rowsOfChange(stored)
	inUS, _ := values(t, usFile)
	usRow := rowsOfChange(inUS)
	cell := func(rows map[string]int, col, label string) string {
		if rows[label] == 0 {
			t.Fatalf("no row %q", label)
		}
		return fmt.Sprintf("Change it!%s%d", col, rows[label])
	}
	at := func(col, label string) string { return cell(row, col, label) }
	us := func(col, label string) string { return cell(usRow, col, label) }
	return []liveBook{
		{name: "plan-ten", formulas: 2 * 12, write: with(),
			changes: map[string]any{at("C", "Average flow while the unit runs"): 3.2, at("C", "Least flow"): 2.75, at("C", "Peak flow"): 3.6, at("C", "Hours run a day"): 11.5,
				at("C", "Dose"): 9, at("D", "Dose"): 17, at("D", "Content of that in the product"): 38, at("D", "Mass of a litre of product"): 1.39,
				at("D", "Product in a litre of stock"): 120, at("C", "Pump: the least it feeds evenly"): 4, at("D", "Pump: step of the knob"): 2, at("D", "Usable in the tank"): 36},
			expect: map[string]float64{at("D", "FEED RATE"): 17 / 0.38 * 3.2 / 120 * 1000 / 60, at("D", "PUMP SETTING"): 56, at("C", "PUMP SETTING"): 7, at("C", "what its knob then shows"): 8.4},
			anew: with("FLOW", "3.2", "LEAST", "2.75", "PEAK", "3.6", "HOURS", "11.5", "DOSE", "9", "IRON", "17", "SHARE", "38", "HEAVY", "1.39", "STOCK", "120",
				"LOWEST", "0.24", "STEP", "2", "FULL", "40")},
		// The same in gallons and pounds: a gallon of stock holds 120 x 3.785411784 / 28.349523125 oz.
		{name: "plan-twelve-us", formulas: 2 * 12, write: withUS(),
			changes: map[string]any{us("C", "Average flow while the unit runs"): 3.2 * inGpm, us("C", "Least flow"): 2.75 * inGpm, us("C", "Peak flow"): 3.6 * inGpm, us("C", "Hours run a day"): 11.5,
				us("C", "Dose"): 9, us("D", "Dose"): 17, us("D", "Content of that in the product"): 38, us("D", "Mass of a gallon of product"): 1.39 * inPounds * 3.785411784,
				us("D", "Product in a gallon of stock"): 120 * 3.785411784 / 28.349523125, us("C", "Pump: the least it feeds evenly"): 4, us("D", "Pump: step of the knob"): 2,
				us("D", "Usable in the tank"): 36 / 3.785411784},
			expect: map[string]float64{us("D", "FEED RATE"): 17 / 0.38 * 3.2 / 120 * 1000 / 60, us("D", "PUMP SETTING"): 56, us("C", "PUMP SETTING"): 7},
			anew: withUS("FLOW", "3.2", "LEAST", "2.75", "PEAK", "3.6", "HOURS", "11.5", "DOSE", "9", "IRON", "17", "SHARE", "38", "HEAVY", "1.39", "STOCK", "120",
				"LOWEST", "0.24", "STEP", "2", "FULL", "40")},
		{name: "plan-nothing", formulas: 2 * 12, write: with(),
			changes: map[string]any{at("C", "Dose"): 0, at("C", "Hours run a day"): 8}, anew: with("DOSE", "0", "HOURS", "8")},
		{name: "plan-moves", formulas: 2 * 12, write: with(),
			changes: map[string]any{at("C", "Dose"): 0, at("D", "Dose"): 24, at("C", "Average flow while the unit runs"): 4, at("D", "Content of that in the product"): 38,
				at("D", "Product in a litre of stock"): 120},
			after: func(t *testing.T, _, changed map[string]string) {
				for a, want := range map[string]string{"C": "off", "D": "STROKE MAY HAVE TO MOVE: run the program again"} {
					if got := changed[fmt.Sprintf("Change it!%s%d", a, row["the pump then feeds"]+1)]; got != want {
						t.Errorf("%s: %q, want %q", a, got, want)
					}
				}
			}},
	}
}

// rowsOfChange are the rows of the sheet "Change it" by their first labels.
func rowsOfChange(stored map[string]string) map[string]int {
	row := map[string]int{}
	for a, v := range stored {
		var n int
		if _, err := fmt.Sscanf(a, "Change it!A%d", &n); err == nil && (row[v] == 0 || n < row[v]) {
			row[v] = n
		}
	}
	return row
}
