package sheet

import (
	"slices"
	"strings"
	"testing"
)

// A target names its reading in the words that headings use, in any language; a name that neither a
// column nor the vocabulary has is told.
func TestTargetNames(t *testing.T) {
	for line, want := range map[string]string{
		"Streefwaarde,troebelheid < 3 NTU": "turbidity <= 3 NTU", "Zielwert,Trübung < 3 NTU": "turbidity <= 3 NTU", "Objectif,turbidité < 3 NTU": "turbidity <= 3 NTU",
		"Цель,мутность < 3 NTU": "turbidity <= 3 NTU", "目标,浊度 < 3 NTU": "turbidity <= 3 NTU", "เป้าหมาย,ความขุ่น < 3 NTU": "turbidity <= 3 NTU",
		"Zielwert: Trübung < 3 NTU": "turbidity <= 3 NTU", "Target,turbidity < 3 NTU": "turbidity <= 3 NTU", "Target,krill < 3": "krill <= 3",
		"Objetivo,eliminación de turbidez > 90 %": "turbidity removal >= 90 %",
		"Target,blorp < 3 NTU":                    "blorp <= 3 NTU?", "Ziel,Trübung filtriert < 1 NTU": "trübung_filtriert <= 1 NTU?",
	} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU,Krill\n1,0,50,2\n2,10,12,4\n3,20,5,5\n", Options{})
		got := ""
		for _, x := range r.Series[0].Targets {
			got += x.String()
		}
		if want, doubt := strings.CutSuffix(want, "?"); got != want || slices.Contains(loud(r), "target-unknown") != doubt {
			t.Errorf("%s: %q, want %q; says %v", line, got, want, loud(r))
		}
	}
}
