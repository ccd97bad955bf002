package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// filledIn writes what somebody types into cells of a workbook.
func filledIn(t *testing.T, file string, cells map[string]map[string]any) {
	t.Helper()
	f, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for sheet, typed := range cells {
		for cell, value := range typed {
			if err := f.SetCellValue(sheet, cell, value); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
}

// TestShortWorkbookFilledIn: the short form in US units, filled in by hand in its workbook: 50 gpm are
// 11.356 m3/h, 16 h of it 181.7 m3; 12.5 mg/L / 0.485 = 25.773 mg/L as product, 4.683 kg or 10.32 lb; of
// 100 g/L 46.83 L or 12.37 gal, 48.78 mL/min, 38.65 % of 2 gph (126.2 mL/min). Who leaves out which stock, pump
// and tank are whose is asked, and not fed neat by hand without a word.
func TestShortWorkbookFilledIn(t *testing.T) {
	file := filepath.Join(t.TempDir(), "site.xlsx")
	answer(t, "new", "site", file, "--short", "--units", "us")
	filledIn(t, file, map[string]map[string]any{
		"Place":     {"B5": "Our mill", "B6": "animals", "B7": "once through"},
		"Water":     {"B5": 7.4, "B6": 85, "B7": 40},
		"Flow":      {"B5": 50, "B6": 16},
		"Chemicals": {"B9": "liquid alum", "C9": 12.5, "D9": "as alum 14-hydrate", "E9": 48.5, "F9": 11.141},
		"Stocks":    {"B9": "alum stock", "C9": 100},
		"Pumps":     {"B9": "the pump", "C9": 2},
		"Tanks":     {"B9": "day tank", "C9": "stock", "D9": 55},
		"Animals":   {"B9": "troughs", "C9": "rainbow trout"},
	})
	says := func(text string, wanted ...string) {
		t.Helper()
		text = strings.Join(strings.Fields(text), " ")
		for _, want := range wanted {
			if !strings.Contains(text, want) {
				t.Errorf("nothing says %q:\n%s", want, text)
			}
		}
	}
	day := []string{"--date", "2026-05-04"}
	for _, command := range []string{"plan", "budget"} {
		says(answer(t, append([]string{command, file}, day...)...), `No chemical is fed from "alum stock"`, `No chemical is fed by "the pump"`, `No stock stands in "day tank"`)
	}
	filledIn(t, file, map[string]map[string]any{"Chemicals": {"G9": "alum stock", "H9": "the pump"}, "Stocks": {"D9": "day tank"}})
	plan := answer(t, append([]string{"plan", file}, day...)...)
	says(plan, "at 50 gpm on average, running 16 h", "10.32 lb/d of product", "12.37 gal a day", "Feed 48.78 mL/min",
		"39 % on the pump", "usable in day tank")
	if strings.Contains(plan, "no chemical is fed") || strings.Contains(plan, "no stock stands") {
		t.Error("asks of rows that are named: " + plan)
	}
	says(answer(t, append([]string{"pump", file}, day...)...), "48.8 mL/min SET 39 %")
	says(answer(t, append([]string{"budget", file}, day...)...), "The month: May 2026 Our mill", "10.3 lb/d", "no price is known of liquid alum")
	_, said, code := program(t, append([]string{"clarify", file}, day...)...)
	if says(said, "the tank to clean up is missing"); code != exitFailed {
		t.Errorf("clarify ended with %d", code)
	}
}
