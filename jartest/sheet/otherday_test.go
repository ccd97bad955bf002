package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// A raw reading with a day or a numbered place of its own speaks where the test has another, and is
// quiet where it has the same or none.
func TestRawWaterOfAnotherDayOrPlace(t *testing.T) {
	table := "\n\nJar;Alum (mg/L);NTU\n1;0;42\n2;10;12\n3;20;5\n4;30;4\n"
	lines := func(own, test string) []string {
		return []string{
			fmt.Sprintf("\"Raw water of %s: 88 NTU. This test %s\"", own, test),
			fmt.Sprintf("\"Raw water of %s: 88 NTU; test of %s\"", own, test),
			fmt.Sprintf("Jar test %s\n\"Raw water of %s: 88 NTU\"", test, own),
			fmt.Sprintf("\"Jars filled with water of %s. Raw water of %s: 88 NTU\"", test, own),
		}
	}
	says := func(text string) bool {
		r := mustRead(t, "s.csv", text+table, Options{})
		return slices.Contains(loud(r), "raw-of-another") || len(r.Series) > 0 && len(r.Series[0].Raw) == 0
	}
	for _, pair := range [][2]string{{"12 May", "14 May"}, {"12/05/2026", "14/05/2026"}, {"2026-05-12", "2026-05-14"}, {"12 May", "12 June"}, {"May 12", "May 14"}, {"12 May", "2026-05-14"}, {"pond 3", "pond 4"}, {"tank 1", "tank 12"}} {
		for _, text := range lines(pair[0], pair[1]) {
			if !says(text) {
				t.Errorf("%s: nothing is said", text)
			}
		}
		for _, same := range pair {
			for _, text := range lines(same, same) {
				if says(text) {
					t.Errorf("%s: one day or place speaks", text)
				}
			}
		}
	}
	for _, text := range []string{"Date;14 May 2026\n\"Raw 12 May 2026 88 NTU\"", "Date;2026-05-14\n\"Raw water 12 May: 88 NTU\""} {
		if !says(text) {
			t.Errorf("%s: nothing is said", text)
		}
	}
	for _, text := range []string{"Date;14 May 2026\n\"Raw 14 May 2026 88 NTU\"", "Date;14 May 2026\n\"Raw water 88 NTU\"", "\"Raw water of 12 May: 88 NTU\"", "Date;2026-05-14\n\"Raw water 14.05.2026: 88 NTU\""} {
		r := mustRead(t, "s.csv", text+table, Options{})
		if said := loud(r); len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 88 || len(said) > 0 {
			t.Errorf("%s: %v", strings.ReplaceAll(text, "\n", " / "), said)
		}
	}
}
