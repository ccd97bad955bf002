package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestUSWorkbookFilledIn: the whole workbook in US units, filled in as somebody in a hatchery would, and read by plan, clarify and budget.
// 50 gpm for 16 h are 48 kgal, 181.7 m3 or 11.356 m3/h; 12.5 / 0.485 = 25.773 mg/L as product, 4.683 kg or 10.32 lb, 48.78 mL/min of
// 100 g/L, of 2 gph (126.18 mL/min) 38.66 %, so 39 %, 49.2 mL/min. The tank of 5000 gal: 5000 / 50 = 100 min a turnover, ln(80/5)/0.9 = 3.081 of them,
// 5.134 h: 5 h 08 min. The month of 31 days: 1488 kgal, 320.1 lb at 0.30 USD.
func TestUSWorkbookFilledIn(t *testing.T) {
	file := filepath.Join(t.TempDir(), "site.xlsx")
	answer(t, "new", "site", file, "--units", "us", "--blank")
	filledIn(t, file, map[string]map[string]any{
		"Place":     {"B5": "Our mill", "B6": "other", "B7": "once through", "B8": "no", "B11": "USD", "B12": "2026-03-01"},
		"Water":     {"B5": 59, "B6": 7.4, "B7": 85, "B12": 40},
		"Flow":      {"B5": 50, "B9": "06:00", "B10": 16},
		"Chemicals": {"B9": "liquid alum", "C9": "alum-liquid", "D9": 12.5, "E9": "as alum 14-hydrate", "K9": 48.5, "L9": "as alum 14-hydrate", "M9": 11.141, "P9": "alum stock", "Q9": "the pump"},
		"Stocks":    {"B9": "alum stock", "C9": 100, "E9": "day tank"},
		"Pumps":     {"B9": "the pump", "C9": 2, "F9": "1 %"},
		"Tanks":     {"B9": "day tank", "C9": "stock", "D9": 55, "B10": "the pond", "C10": "other", "D10": 5000},
		"Solids":    {"B7": 90, "B43": "the pond", "B44": 80, "B45": 5},
		"Prices":    {"B9": "liquid alum", "C9": "0.30 USD/lb", "D9": 600, "H9": 500},
	})
	for command, want := range map[string][]string{
		"plan":    {"48000 gal at 50 gpm", "10.32 lb/d of product", "set to 39 % (gives 49.2 mL/min"},
		"clarify": {"3.08 turnovers of 5000 gal at 50 gpm", "5 h 08 min"},
		"budget":  {"96.02 USD for 1.488 million gal of water, treated on 31 days", "320 lb"},
	} {
		text := strings.Join(strings.Fields(answer(t, command, file)), " ")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("%s lacks %q:\n%s", command, w, text)
			}
		}
		if m := metricUnit.FindString(text); m != "" {
			t.Errorf("%s speaks of %q to US readers", command, m)
		}
	}
}
