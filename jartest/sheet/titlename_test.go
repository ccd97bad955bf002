package sheet

import "testing"

// A few words without number, verb and unit at the head of a page are its title; what speaks of data is
// none, nor is a line of many words.
func TestNamesAtTheHeadAreTitles(t *testing.T) {
	table := "\n\nJar;Alum (mg/L);NTU\n1;0;42\n2;10;12\n3;20;5\n4;30;4\n"
	for _, line := range each("Wastewater lagoon, phosphorus | Beck hatchery, turbidity | Upper lagoon, colour") {
		if r := mustRead(t, "s.csv", line+table, Options{}); len(loud(r)) > 0 {
			t.Errorf("%s: %v", line, r.Notes)
		}
	}
	for _, line := range each("same data sorted by turbidity for the chart | turbidity readings zorked") {
		if r := mustRead(t, "s.csv", line+table, Options{}); len(loud(r)) == 0 {
			t.Errorf("%s: nothing is said", line)
		}
	}
}
