package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// carpPond is an invented pond that gets soda the day before its alum, both by the bucket.
const carpPond = `
place: {name: Reed Beck ponds (invented), purpose: animals, water_passes: standing, example_values: "no"}
water: {temperature: 24 C, pH: 7.6, alkalinity: 60 mg/L CaCO3, salinity: 0 g/kg, conductivity: 180 uS/cm, hardness: 80 mg/L}
chemicals:
- {name: alum, product: alum-dry, dose: ALUM g/m3, basis: as alum 14-hydrate, strength: PURE %, bucket: CARRIED kg}
- {name: soda, product: bicarbonate, dose: SODA g/m3, basis: as NaHCO3, strength: CLEAN %, bucket: POT kg}
ponds:
- {name: carp pond, size: AREA m2 x DEEP m, portions: GOES, hours_between: 3 h, first_portion: "06:00"}
animals: [{name: carp, species: common carp, stage: adult}]
prices:
- {chemical: alum, price: 0.42 EUR/kg, pack: SACK kg}
- {chemical: soda, price: 0.60 EUR/kg, pack: BOX kg}
`

// pondBook plans it, its words in capitals replaced.
func pondBook(units string, words ...string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		t.Helper()
		s := filepath.Join(t.TempDir(), "pond.yaml")
		write(t, s, strings.NewReplacer(words...).Replace(carpPond))
		by("plan", s, "--units", units, "-o", "FILE")(t, file)
	}
}

// liveStanding are the workbooks of water that stands and of a tank that is held, as written and after eleven inputs were changed: they give
// what the program gives for the same inputs. By hand: 4000 x 1.5 m3 x 20 g over 90 % are 133.33 kg, 44.44 in each of 3 goes, 6.67 bags of 20 kg,
// 44.4 buckets of 3 kg, one to each 4000 x 3 x 3/133.33 = 270 m2 of a go; 18 g of soda of 95 % are 113.68 kg, which give 18 x 50.0435/84.007 mg/L.
// 17 kg/d x 30 % in 48 m3 are 5.1e6/24/48000 = 4.427 mg/L an hour; held at 45 mg/L with 0.6 m3/h of new water at 20 that is
// (0.6 x (20 - 45) + 4.427 x 48)/(0.62 x (45 - 3)) x 24 = 182.0 m3 a day, over 9.5 m3/h 19.16 h.
func liveStanding(t *testing.T) []liveBook {
	t.Helper()
	first := []string{"ALUM", "25", "PURE", "99", "CARRIED", "2", "SODA", "24", "CLEAN", "98", "POT", "4", "AREA", "5000", "DEEP", "1.2", "GOES", "2", "SACK", "25", "BOX", "20"}
	then := []string{"ALUM", "20", "PURE", "90", "CARRIED", "3", "SODA", "18", "CLEAN", "95", "POT", "5", "AREA", "4000", "DEEP", "1.5", "GOES", "3", "SACK", "20", "BOX", "15"}
	held := []string{"clarify", "--volume", "60 m3", "--flow", "12 m3/h", "--capture", "60 %", "--start", "80 mg/L", "--stop", "36 mg/L", "--hold", "40 mg/L", "--feed", "20 kg/d",
		"--feed-solids", "25 %", "--exchange", "0.25 m3/h", "--exchange-reading", "28 mg/L", "--floor", "2 mg/L", "--dose", "12 mg/L as alum 14-hydrate", "-o", "FILE"}
	after := []string{"clarify", "--volume", "48 m3", "--flow", "9.5 m3/h", "--capture", "62 %", "--start", "95 mg/L", "--stop", "40 mg/L", "--hold", "45 mg/L", "--feed", "17 kg/d",
		"--feed-solids", "30 %", "--exchange", "0.6 m3/h", "--exchange-reading", "20 mg/L", "--floor", "3 mg/L", "--dose", "16 mg/L as alum 14-hydrate", "-o", "FILE"}
	at := func(write func(t *testing.T, file string)) func(name string) string {
		file := filepath.Join(t.TempDir(), "book.xlsx")
		write(t, file)
		book := opened(t, contents(t, file))
		return func(name string) string { return named(t, book, name) }
	}
	pond, tank := at(pondBook("metric", first...)), at(by(held...))
	rise := 17 * 0.30 * 1e6 / 24 / 48000.
	return []liveBook{
		{name: "pond-ten", formulas: 13, write: pondBook("metric", first...),
			changes: map[string]any{pond("Surface_1"): 4000, pond("Depth_1"): 1.5, pond("Goes_1"): 3, pond("Dose_1"): 20, pond("Content_1"): 90, pond("Bag_1"): 20, pond("Bucket_1"): 3,
				pond("Dose_2"): 18, pond("Content_2"): 95, pond("Bag_2"): 15, pond("Bucket_2"): 5},
			expect: map[string]float64{pond("Product_1"): 6000 * 20 / 0.9 / 1000, pond("Each_1"): 6000 * 20 / 0.9 / 1000 / 3, pond("Bags_1"): 6000 * 20 / 0.9 / 1000 / 20,
				pond("Buckets_1"): 6000 * 20 / 0.9 / 1000 / 3, pond("Product_2"): 6000 * 18 / 0.95 / 1000},
			anew: pondBook("metric", then...)},
		{name: "pond-us", formulas: 13, write: pondBook("us", first...)},
		{name: "hold-ten", formulas: 12 + 2*21, write: by(held...),
			changes: map[string]any{tank("Tank_m3"): 48, tank("Flow_m3_h"): 9.5, tank("Capture_percent"): 62, tank("Start_reading"): 95, tank("Stop_reading"): 40, tank("Hold_at"): 45,
				tank("Outlet_at_best"): 3, tank("New_water_m3_h"): 0.6, tank("New_reading"): 20, tank("Feed_a_day"): 17, tank("Feed_solids_percent"): 30, tank("Dose_1_mg_L"): 16},
			expect: map[string]float64{tank("Rise_per_h"): rise, tank("Held_by_a_day"): 24 * (0.6*(20-45) + rise*48) / (0.62 * (45 - 3)),
				tank("Hours_to_hold"): 24 * (0.6*(20-45) + rise*48) / (0.62 * (45 - 3)) / 9.5},
			anew: by(after...)},
	}
}
