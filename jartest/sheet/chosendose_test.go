package sheet

import (
	"slices"
	"testing"
)

// The dose that was chosen is what came of the test, not what every jar got; of another chemical it
// may be both, and is asked about.
func TestChosenDose(t *testing.T) {
	for line, want := range map[string]string{
		"Dosis elegida: 60 ppm": "", "Dosis elegida,60 ppm": "", "Chosen dose,60 ppm": "", "Selected dose,60 mg/L": "", "Chosen dose,60 ppm polymer": "dose-mentioned", "La dosis elegida fue 60 ppm": "", "Dose choisie : 60 ppm": "", "Gewählte Dosis: 60 mg/L": "", "Dose escolhida,60 ppm": "",
		"Valgt dose: 60 ppm": "", "Gekozen dosis: 60 ppm": "", "Dawka wybrana: 60 ppm": "", "Seçilen doz: 60 ppm": "", "Dosis dipilih: 60 ppm": "", "Liều chọn: 60 ppm": "", "Chosen dose: 60 ppm": "",
		"Chosen polymer dose: 0.5 mg/L": "dose-mentioned", "Dosis elegida de polímero: 0.5 mg/L": "dose-mentioned", "Polymer dose: 0.5 mg/L": "fixed", "Dosis de polímero en todas las jarras: 0.5 mg/L": "fixed",
	} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
		fixed := len(r.Series[0].Chemicals) > 1
		if said := loud(r); fixed != (want == "fixed") || want == "" && len(said) > 0 || want != "" && want != "fixed" && !slices.Contains(said, want) {
			t.Errorf("%s: chemicals %v, want %q; says %v", line, r.Series[0].Chemicals, want, said)
		}
	}
}
