package main

import (
	"math"
	"path/filepath"
	"strconv"
	"testing"
)

// tankArgs is an invented pond that a unit clears, with new water and solids coming in.
func tankArgs(volume, flow, capture, rise string, more ...string) []string {
	return append([]string{"clarify", "--volume", volume, "--flow", flow, "--start", "80 NTU", "--stop", "5 NTU", "--capture", capture, "--floor", "0.8 NTU", "--rise", rise,
		"--exchange", "1 m3/h", "--exchange-reading", "3 NTU", "--dose", "12 mg/L as alum 14-hydrate"}, more...)
}

// integrated is the running time that the program's step by
// step integration gives, from its JSON.
func integrated(t *testing.T, args []string) float64 {
	t.Helper()
	var doc struct {
		Time struct{ Value float64 }
	}
	answered(t, &doc, args...)
	return doc.Time.Value
}

// liveClarify is the workbook of a tank, as written and after its volume, flow,
// capture and rise were changed. The sheet's closed form of the first-order
// balance (any textbook on reactors: C = P + (C0 − P) exp(−λt)) is held against
// the program's workbook for the changed tank, and its running time against the
// integration in steps, which knows nothing of the closed form.
func liveClarify(t *testing.T) []liveBook {
	t.Helper()
	file := filepath.Join(t.TempDir(), "tank.xlsx")
	by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...)(t, file)
	book := opened(t, contents(t, file))
	at := func(name string) string { return named(t, book, name) }
	usFile := filepath.Join(t.TempDir(), "tank-us.xlsx")
	by(append(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE"), "--units", "us")...)(t, usFile)
	usBook := opened(t, contents(t, usFile))
	inUS := func(name string) string { return named(t, usBook, name) }
	hours := integrated(t, tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h"))
	after := integrated(t, tankArgs("92 m3", "17 m3/h", "70 %", "0.3 NTU/h"))
	near := func(t *testing.T, cells map[string]string, want float64) {
		t.Helper()
		if got, err := strconv.ParseFloat(cells[at("Running_h")], 64); err != nil || math.Abs(got-want) > 1e-6*want {
			t.Errorf("the sheet runs %q h, the integration %g h", cells[at("Running_h")], want)
		}
	}
	return []liveBook{
		{name: "clarify", formulas: 8 + 2*21,
			write:   by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...),
			changes: map[string]any{at("Tank_m3"): 92, at("Flow_m3_h"): 17, at("Capture_percent"): 70, at("Rise_per_h"): 0.3},
			anew:    by(tankArgs("92 m3", "17 m3/h", "70 %", "0.3 NTU/h", "-o", "FILE")...),
			after: func(t *testing.T, stored, changed map[string]string) {
				near(t, stored, hours)
				near(t, changed, after)
			}},
		// Ten inputs at once.
		{name: "clarify-ten", formulas: 8 + 2*21,
			write: by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...),
			changes: map[string]any{at("Tank_m3"): 48, at("Flow_m3_h"): 9.5, at("Capture_percent"): 62, at("Start_reading"): 65, at("Stop_reading"): 7, at("Outlet_at_best"): 1.1,
				at("New_water_m3_h"): 0.6, at("New_reading"): 4.5, at("Rise_per_h"): 0.2, at("Dose_1_mg_L"): 16},
			anew: by("clarify", "--volume", "48 m3", "--flow", "9.5 m3/h", "--start", "65 NTU", "--stop", "7 NTU", "--capture", "62 %", "--floor", "1.1 NTU", "--rise", "0.2 NTU/h",
				"--exchange", "0.6 m3/h", "--exchange-reading", "4.5 NTU", "--dose", "16 mg/L as alum 14-hydrate", "-o", "FILE")},
		// The same and the hours of a day, in gallons; only the volume and the flows are told otherwise.
		{name: "clarify-us", formulas: 8 + 2*21, write: by(append(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE"), "--units", "us")...),
			changes: map[string]any{inUS("Tank_gal"): 48 * inGallons, inUS("Flow_gpm"): 9.5 * inGpm, inUS("Capture_percent"): 62, inUS("Start_reading"): 65, inUS("Stop_reading"): 7,
				inUS("Outlet_at_best"): 1.1, inUS("New_water_gpm"): 0.6 * inGpm, inUS("New_reading"): 4.5, inUS("Rise_per_h"): 0.2, inUS("Dose_1_mg_L"): 16, inUS("Hours_run"): 16},
			anew: by("clarify", "--volume", "48 m3", "--flow", "9.5 m3/h", "--start", "65 NTU", "--stop", "7 NTU", "--capture", "62 %", "--floor", "1.1 NTU", "--rise", "0.2 NTU/h",
				"--exchange", "0.6 m3/h", "--exchange-reading", "4.5 NTU", "--dose", "16 mg/L as alum 14-hydrate", "--hours", "06:00-22:00", "--units", "us", "-o", "FILE")},
		// A dose of nothing: a pass takes out what is caught undosed. Settles at (0.4 x 12 x 0.8 + 1 x 3 + 0.5 x 60)/(0.4 x 12 + 1) = 6.3517 NTU.
		{name: "clarify-undosed", formulas: 8 + 2*21, write: by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...),
			changes: map[string]any{at("Dose_1_mg_L"): 0, at("Bare_percent"): 40, at("Stop_reading"): 8},
			expect:  map[string]float64{at("Settles_at"): (0.4*12*0.8 + 1*3 + 0.5*60) / (0.4*12 + 1)},
			anew: by("clarify", "--volume", "60 m3", "--flow", "12 m3/h", "--start", "80 NTU", "--stop", "8 NTU", "--capture", "85 %", "--floor", "0.8 NTU", "--rise", "0.5 NTU/h",
				"--exchange", "1 m3/h", "--exchange-reading", "3 NTU", "--dose", "0 mg/L as alum 14-hydrate", "--bare", "40 %", "-o", "FILE")},
		// And where nothing is caught undosed and no water comes in, the tank only rises: 80 NTU and 0.5 NTU/h for a day.
		{name: "clarify-rises", formulas: 8 + 2*21, write: by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...),
			changes: map[string]any{at("Dose_1_mg_L"): 0, at("New_water_m3_h"): 0},
			expect:  map[string]float64{"Change it!G25": 80 + 0.5*24},
			after: func(t *testing.T, _, changed map[string]string) {
				if changed[at("Settles_at")] != "never: it rises" || changed[at("Running_h")] != "never" {
					t.Errorf("a tank that only rises settles at %q after %q h", changed[at("Settles_at")], changed[at("Running_h")])
				}
			}},
		// Solids coming in faster than the unit takes them out: the sheet must say so.
		{name: "clarify-never", formulas: 8 + 2*21,
			write:   by(tankArgs("60 m3", "12 m3/h", "85 %", "0.5 NTU/h", "-o", "FILE")...),
			changes: map[string]any{at("Rise_per_h"): 6},
			after: func(t *testing.T, _, changed map[string]string) {
				if changed[at("Running_h")] != "never" {
					t.Errorf("a tank that never clears runs %q h", changed[at("Running_h")])
				}
			}},
	}
}
