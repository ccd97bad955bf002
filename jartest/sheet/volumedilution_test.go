package sheet

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/jartest/quantity"
)

// TestProductByVolume: a product of 1.2 kg/L of which 50 mL are in a litre of what was dosed is 60 g/L of
// product, however that is said; what went into the jars themselves is no dilution.
func TestProductByVolume(t *testing.T) {
	const jars = "\nJars,1 L\n\nJar,mL of dilution,NTU\n1,0,23\n2,0.25,13\n3,0.5,6\n4,1,2\n"
	for line, density := range map[string]string{
		"Dilution,50 mL PACl made up to 1 L with tap water":       "SG of PACl,1.2",
		"Stock: 50 mL PACl made up to 1 L":                        "SG,1.2",
		"Stock: 50 mL PACl per litre":                             "SG,1.2",
		"Stock PACl 50 mL/L":                                      "SG,1.2",
		"PACl 5 % v/v":                                            "SG of PACl,1.2",
		"Stammlösung: 50 mL PACl auf 1 L aufgefüllt":              `Dichte,"1,2 kg/L"`,
		"Solución: 50 mL de PACl aforados a 1 L":                  "Densidad,1.2 kg/L",
		"50 mL de PACl complétés à 1 L":                           "Densité,1.2 kg/L",
		"Soluzione madre: 100 mL di PACl portati a 2 L":           "Densità,1.2 kg/L",
		"Solução: 25 mL de PACl completados para 500 mL":          "Densidade,1.2 kg/L",
		"Dilution,25 mL of the PACl diluted to 500 mL in a flask": "SG of PACl,1.2",
	} {
		r := mustRead(t, "s.csv", line+"\n"+density+jars, Options{})
		if got := doses(r.Series[0], 0); !slices.Equal(got, []float64{0, 15, 30, 60}) || r.Series[0].Chemicals[0].Basis != quantity.AsProduct {
			t.Errorf("%q: %v mg/L %s", line, got, r.Series[0].Chemicals[0].Basis)
		}
	}
	if r, err := readAny("50 mL PACl added to 1 L jars\nSG of PACl,1.2" + jars); err == nil && len(r.Series) > 0 {
		t.Errorf("a dose of the jars is taken for a dilution: %v", doses(r.Series[0], 0))
	}
}

// TestUndilutedProduct: a product that its line calls undiluted is dosed by its density, whatever share of
// it that line states.
func TestUndilutedProduct(t *testing.T) {
	for _, line := range []string{
		"Coagulant: ferric chloride 40 %%, SG 1.42%s neat, by pipette", "Fällmittel: Eisen(III)-chlorid-Lösung 40 %%, Dichte 1.42 kg/l%s unverdünnt mit Pipette",
		"Coagulante: cloruro férrico 40 %%, densidad 1.42 kg/L%s sin diluir", "Coagulant : chlorure ferrique 40 %%, densité 1.42 kg/L%s non dilué",
	} {
		for _, sign := range []string{",", ";"} {
			line := fmt.Sprintf(line, sign)
			r := mustRead(t, "s.csv", quoted(line)+"\nJar volume,1 L\n\nJar,FeCl3 (µL),NTU\n1,0,30\n2,25,9\n3,50,4\n", Options{})
			if got := doses(r.Series[0], 0); !slices.Equal(got, []float64{0, 35.5, 71}) || r.Series[0].Chemicals[0].Basis != quantity.AsProduct {
				t.Errorf("%q: %v mg/L %s", line, got, r.Series[0].Chemicals[0].Basis)
			}
		}
	}
}

// TestOxidationStates: the brackets around the state of a metal part no name.
func TestOxidationStates(t *testing.T) {
	for _, name := range []string{"Eisen(III)-chlorid", "iron(III) chloride", "ferric chloride", "chlorure de fer(III)", "cloruro de hierro(III)"} {
		r := mustRead(t, "s.csv", name+" 25 mg/L in every jar\nJar,Polymer (mg/L),NTU\n1,0.2,14\n2,0.4,7\n3,0.8,3\n", Options{})
		s := r.Series[0]
		if len(s.Chemicals) != 2 || s.Chemicals[1].Name != "ferric chloride" || doses(s, 1)[2] != 25 {
			t.Errorf("%q: %+v, says %v", name, s.Chemicals, loud(r))
		}
	}
}
