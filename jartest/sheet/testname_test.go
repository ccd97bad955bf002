package sheet

import (
	"fmt"
	"testing"

	"jarwright/jartest"
)

// The number behind a word for a test or a place, in whatever language, counts nothing of the raw water
// beside it; behind a word that is not known it speaks.
func TestNumbersOfTestsAndPlacesAreNames(t *testing.T) {
	for _, name := range each("Percobaan | Ujian | Test | Trial | Essai | Ensayo | Ensaio | Prova | Versuch | Kolam | Estanque | Teich | Bassin") {
		for n := 1; n < 4; n++ {
			line := fmt.Sprintf("%s %d: raw water 65 NTU", name, n)
			if raw, says := rawSaid(t, line); raw[jartest.Turbidity].Value != 65 || len(says) > 0 {
				t.Errorf("%s: %v, %v", line, raw, says)
			}
		}
	}
	for _, line := range each("Zorkal 2 raw water 65 NTU | Raw water 3 65 NTU") {
		if _, says := rawSaid(t, line); len(says) == 0 {
			t.Errorf("%s: nothing is said", line)
		}
	}
}
