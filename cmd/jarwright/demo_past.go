package main

import (
	"jarwright/jartest"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// demoPast are finished tests of the demo's beck, alum on waters of a year: day, raw turbidity, temperature,
// alkalinity, doses and what each jar read. Invented, as all of the demo.
var demoPast = []struct {
	day            string
	ntu, warm, alk float64
	doses          []quantity.Concentration
	readings       []float64
}{
	{"2025-03-18", 33, 6, 62, []quantity.Concentration{0, 4, 7, 9, 12, 15, 20}, []float64{28, 15, 8.5, 5.9, 4.3, 3.4, 2.3}},
	{"2025-04-09", 12, 9, 66, []quantity.Concentration{0, 3, 5, 7, 8, 11, 14}, []float64{9.3, 7.8, 6.4, 5.6, 4.9, 3.2, 2.2}},
	{"2025-05-27", 58, 12, 63, []quantity.Concentration{0, 6, 11, 15, 19, 24, 32}, []float64{47, 21, 10.3, 6.4, 4.5, 3.3, 2.2}},
	{"2025-07-02", 18, 15, 68, []quantity.Concentration{0, 3, 6, 8, 11, 14, 18}, []float64{15.5, 11.1, 7.5, 5.3, 4.4, 3, 2.1}},
	{"2025-08-14", 96, 16, 61, []quantity.Concentration{0, 5, 10, 14, 18, 23, 29}, []float64{80, 31, 13.5, 7.7, 4.3, 3.4, 2.1}},
	{"2025-09-30", 25, 12, 65, []quantity.Concentration{0, 4, 7, 9, 12, 15, 19}, []float64{21, 11.7, 7.8, 5.8, 4, 3.3, 2.2}},
	{"2025-10-21", 130, 9, 58, []quantity.Concentration{0, 8, 14, 20, 26, 32, 42}, []float64{105, 37, 15.6, 7.2, 4.2, 3.5, 2.2}},
	{"2025-11-25", 74, 6, 60, []quantity.Concentration{0, 6, 11, 15, 19, 25, 32}, []float64{63, 25, 11.5, 6.9, 4.6, 3.5, 2.2}},
	{"2026-01-13", 160, 4, 57, []quantity.Concentration{0, 8, 14, 20, 26, 32, 42}, []float64{136, 41, 16.9, 7, 4.2, 3.2, 2.2}},
}

// pastBenches are their sheets.
func pastBenches() (out []book.Bench) {
	for _, p := range demoPast {
		b := book.Bench{Name: "Beck, alum", Chemical: "alum", Basis: quantity.AsAlum14, Target: demoTarget, Doses: p.doses, Jars: len(p.doses), Stock: 10000, JarVolume: 1,
			Readings: []jartest.Key{jartest.Turbidity}, Repeats: 1, Done: &book.Done{Date: p.day, By: "early shift", Mixing: []float64{200, 60, 40, 8, 20}, Remarks: make([]string, len(p.doses)),
				Raw: map[jartest.Key]float64{jartest.Turbidity: p.ntu, jartest.PH: 7.4, jartest.AlkalinityKey: p.alk, jartest.TemperatureKey: p.warm}}}
		for _, r := range p.readings {
			b.Done.Jars = append(b.Done.Jars, []any{r})
		}
		out = append(out, b)
	}
	return out
}
