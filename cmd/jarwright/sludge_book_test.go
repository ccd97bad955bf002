package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// sludgeSite is a farm whose backwash goes to bags and beds, with a polymer that the water never gets.
const sludgeSite = `
place: {name: Mill Pool trout (invented), purpose: animals, water_passes: once through, example_values: no, date: "2026-05-01", currency: EUR}
water: {temperature: 12 C, ph: 7.5, alkalinity: 90 mg/L CaCO3, hardness: 110 mg/L, doc: 2.2 mg/L, total_ammonia: 0.1 mg/L, turbidity: 20 NTU}
flow: {average_flow: 100 m3/h}
chemicals:
  - {name: alum, product: alum-liquid, dose: 4 mg/L, basis: as alum 14-hydrate, strength: 48.5 %, density: 1.335 kg/L}
  - {name: cpam, product: cpam-dry, basis: as product}
solids: {unit: settler}
animals: [{name: trout, species: rainbow trout, reached: always}]
prices:
  - {chemical: alum, price: "0.4 EUR/kg", pack: "1000 kg", on_hand: "500 kg", lead_time: "5 d", delivery: "0 EUR"}
  - {chemical: cpam, price: "4 EUR/kg", pack: "25 kg", on_hand: "10 kg", lead_time: "5 d", delivery: "0 EUR"}
  - {chemical: disposal of solids, price: "40 EUR/m3"}
sludge: {sludge_a_day: 40 m3/d, solids_in_it: 1500 mg/L, polymer: cpam, polymer_dose: 6 mg/L, bag_holds: 8 m3, beds: 300 m2, filtrate_returns: yes, land: 2 ha,
  nitrogen: 4 %, phosphorus: 2 %}
`

// ofSludge runs a command on that site.
func ofSludge(command string, more ...string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		s := filepath.Join(t.TempDir(), "mill.yaml")
		if err := os.WriteFile(s, []byte(sludgeSite), 0o600); err != nil {
			t.Fatal(err)
		}
		by(append([]string{command, s, "-o", "FILE"}, more...)...)(t, file)
	}
}

// liveSludge are its workbooks. On the plan's sheet 50 m3 of 1,200 mg/L with 5 mg/L of polymer are 60 kg dry, 250 g or 4.17 kg to the tonne; 90 % kept at 15 %
// dry are 54/0.15 = 360 L, a bag of 6 m3 in 16.7 d; beds of 400 m2 under 0.25 m take 100 m3, 48 h, and 50/0.25 x 14 = 2800 m2 are needed; 49.64 m3 drain off
// with 6 kg, 2.5 mg/L of 2,400 m3. On 3 ha 54 x 3 % x 365/3 = 197.1 kg of nitrogen and 54 x 1 % x 365/3 = 65.7 of phosphorus.
func liveSludge(t *testing.T) []liveBook {
	t.Helper()
	file := filepath.Join(t.TempDir(), "mill.xlsx")
	ofSludge("plan")(t, file)
	stored, _ := values(t, file)
	row := rowsOfChange(stored)
	at := func(label string) string {
		if row[label] == 0 {
			t.Fatalf("no row %q", label)
		}
		return fmt.Sprintf("Change it!C%d", row[label])
	}
	return []liveBook{
		{name: "plan-sludge", formulas: 19, write: ofSludge("plan"),
			changes: map[string]any{at("Sludge a day"): 50000, at("Solids in it"): 1200, at("Polymer in it, as product"): 5, at("Solids that bag or bed keeps"): 90,
				at("Dry solids of the cake"): 15, at("A bag holds"): 6000, at("Beds"): 400, at("Layer on a bed"): 0.25, at("A layer dries in"): 14,
				at("Land"): 3, at("Nitrogen in the dry solids"): 3, at("Phosphorus in the dry solids"): 1},
			expect: map[string]float64{at("DRY SOLIDS"): 60, at("POLYMER FOR THE SLUDGE"): 0.25, at("of dry solids"): 5 / 1.2, at("Cake"): 360,
				at("A BAG IS FULL IN"): 6000. / 360, at("Beds are covered in"): 48, at("BEDS NEEDED"): 2800, at("Filtrate"): 49640, at("Solids that it brings back"): 2.5,
				at("Nitrogen to land in a year"): 197.1, at("Phosphorus to land in a year"): 65.7}},
		{name: "plan-sludge-us", formulas: 18, write: ofSludge("plan", "--units", "us")},
	}
}
