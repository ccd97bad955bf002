package sheet

import (
	"testing"

	"jarwright/jartest/note"
)

// TestBasicityIsSetAside: a basicity is no strength of a product; it is said once where it is asked for. Another share is
// what the product holds, and a number beside a basicity is its own.
func TestBasicityIsSetAside(t *testing.T) {
	for line, want := range map[string]string{
		"Basicity,70 %": "70 %", "Basicity,70,%": "70 %", "Basicity (%),70": "70 %", "Basicity,0.7": "70 %", "Basizität: 70 %": "70 %", "Coagulant,\"PACl, 10 % Al2O3, basicity 70 %, 1.2 kg/L\"": "70 %",
		"PACl with 70 % basicity": "70 %", "Coagulant,PACl 10 % Al2O3 basicity 70 %": "70 %", "Purity 70 %": "", "Coagulant,\"PACl, 10 % Al2O3\"": "",
	} {
		r := mustRead(t, "s.csv", "Jar test\n"+line+"\n\nJar,PACl (mg/L as product),Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4.5\n", Options{})
		var said []note.Note
		for _, n := range r.Notes {
			if n.Code == "basicity-aside" {
				said = append(said, n)
			}
		}
		if want == "" && len(said) > 0 || want != "" && (len(said) != 1 || !quotes(r, "the basicity of "+want)) || len(loud(r)) != len(said) {
			t.Errorf("%s: %v", line, r.Notes)
		}
	}
}
