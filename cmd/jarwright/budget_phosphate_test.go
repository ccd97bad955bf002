package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestMonthsWorkbookTellsOfPhosphate: with phosphate in the water the solids of a dose hang on the dose, which no formula of the sheet follows; a line
// beside that cell says so, and none where there is no phosphate.
func TestMonthsWorkbookTellsOfPhosphate(t *testing.T) {
	const site = `place: {name: Alder Beck hatchery, purpose: wastewater, water_passes: once through, example_values: no}
water: {temperature: 12 C, ph: 7.3, alkalinity: 120 mg/L CaCO3, turbidity: 20 NTU, PHOSPHATE}
flow: {average_flow: 20 m3/h}
chemicals: [{name: alum, product: alum-liquid, dose: 30 mg/L, basis: as alum 14-hydrate, strength: 48.5 %, density: 1.335 kg/L}]
`
	for with, want := range map[string]bool{"phosphate: 2 mg/L": true, "hardness: 60 mg/L": false} {
		dir := t.TempDir()
		write(t, filepath.Join(dir, "site.yaml"), []byte(strings.Replace(site, "PHOSPHATE", with, 1)))
		t.Chdir(dir)
		if _, complaints, code := program(t, "budget", "site.yaml", "--date", "2026-03", "-o", "b.xlsx"); code != 0 {
			t.Fatal(with, code, complaints)
		}
		beside := ""
		found := cells(t, "b.xlsx")
		for at, v := range found {
			if strings.HasPrefix(v, "worked out at the doses below with the water's phosphate") {
				beside = at
			}
		}
		if (beside != "") != want {
			t.Errorf("%s: %q", with, beside)
		}
		if want {
			sheet, at, _ := strings.Cut(beside, "!")
			if row := strings.TrimLeft(at, "ABCDEFGH"); found[sheet+"!A"+row] != "solids made" {
				t.Errorf("it stands beside %q", found[sheet+"!A"+row])
			}
		}
	}
}
