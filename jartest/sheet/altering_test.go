package sheet

import (
	"strings"
	"testing"
)

// A sentence that makes the numbers of a sheet others than they seem is quoted wherever it
// stands, though it names no jar, dose or reading, or is made of known words alone; one on
// the weather, the papers or how the test was run is not.
func TestSentencesThatAlter(t *testing.T) {
	const jars = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n"
	for line, speaks := range map[string]bool{
		// operations on numbers
		"The total adds 0.6 NTU": true, "Subtract 0.6 from all": true, "All x 10": true, "x 10": true, "everything weighs 20 % less": true, "Restar 0,6 a todo": true,
		"Von allem 0,6 abziehen": true, "Soustraire 0,6 partout": true, "Subtrair 0,6 de tudo": true, "全部减去0.6": true, "すべて0.6を引く": true, "Вычесть 0,6": true, "Correction 0.9": true,
		// what a meter shows of clear water
		"Zero standard gave 0.8 NTU": true, "Blank read 0.4": true, "Destilliertes Wasser zeigte 0,4 NTU": true, "El blanco marcaba 0,5 NTU": true, "L'eau distillée affichait 0,6 NTU": true,
		// another thing than it seems
		"Water from the settling lagoon, not the beck": true, "Tap water instead of beck water": true, "Wasser aus dem Absetzteich statt aus dem Bach": true, "Agua del tanque en lugar del río": true,
		// a water that something was done to
		"Water was from the hatchery drain after settling a day": true, "The water had stood for a day": true, "Raw water was aged two days before the test": true, "Water was diluted with tap water": true,
		"The water had already been dosed at the plant": true, "Das Wasser war schon dosiert": true, "El agua fue decantada un día": true, "L'eau était décantée une nuit": true, "A água foi diluída antes do ensaio": true,
		"原水静置过夜": true, "原水は一晩静置した": true,
		// accidents
		"Someone knocked the bench": true, "Drop counter jammed": true, "Syringe leaked": true, "Power cut during slow mix": true, "Lost count of drops": true, "Jar 4: lost count of drops": true,
		// units and kinds of numbers
		"Doses in mg of product": true, "Doses in g": true, "Doses refer to 500 mL": true, "Readings in FTU": true, "Die Werte sind in FTU": true, "Lecturas en FTU": true, "Readings in mg/L SiO2": true,
		"Measurements given as suspended solids": true, "Numbers copied from last year's sheet": true,

		"Weather was fine": false, "Photos are on the shared drive": false, "Fish were fed at 7": false, "Report sent to the manager": false, "Results will be sent to the manager": false,
		"Water was taken from the inlet at 8 am": false, "Water came from the beck": false, "The test was run in the new lab": false, "Jar test no. 12": false, "Alum from the co-op": false,
		"Readings in NTU": false, "Readings are NTU": false, "Doses in mg/L": false, "Dosis en mg/L": false, "Lecturas en NTU": false, "Trübung in NTU": false, "Doses in mg/L of alum": false,
		"Rapid mix 1 min at 200 rpm, slow mix 20 min at 40 rpm, settle 30 min": false, "Turbidity meter calibrated with 0.1, 15 and 100 NTU standards": false, "Form QA-12 rev 1.2": false,
		"Wetter: sonnig": false, "Tiempo soleado": false, "天気は晴れ": false, "Los flóculos eran grandes": false, "Floc was slow to form": false, "Settled for 30 min": false, "Sampled at 7.30 am": false,
		"Results sent to office 3.11.2026": false, "Le temps était beau": false, "Die Fische wurden gefüttert": false,
	} {
		for place, file := range map[string]string{"first": quoted(line) + "\n\n" + jars, "below": jars + "\n" + quoted(line) + "\n", "under a fact": "Raw turbidity 65 NTU\n" + quoted(line) + "\n\n" + jars} {
			r := mustRead(t, "s.csv", file, Options{})
			if said := quotes(r, clip(line)) || len(r.Notes) > 0 && strings.Contains(line, ": lost") && quotes(r, "lost count"); said != speaks || !speaks && len(loud(r)) > 0 {
				t.Errorf("%s, %q: says %v, want it quoted: %v", place, line, loud(r), speaks)
			}
			if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
				t.Errorf("%s, %q: %d series", place, line, len(r.Series))
			}
		}
	}
}
