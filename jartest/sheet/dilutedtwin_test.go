package sheet

import (
	"fmt"
	"slices"
	"testing"

	"jarwright/jartest"
)

// A column that says it is corrected by a factor is the reading where the column beside it proves the
// factor; what was read of diluted samples is never given as the reading of the jar.
func TestCorrectedReadings(t *testing.T) {
	for _, c := range []struct {
		heads string  // of two columns, the first a fifth of the second
		want  float64 // of jar 2; 0 for none
		says  bool
	}{
		{"Meter reading, diluted (NTU);Turbidity, corrected x5 (NTU)", 62, false},
		{"Meter reading (NTU);Turbidity, corrected x5 (NTU)", 62, false},
		{"Trübung verdünnt (NTU);Trübung berechnet x5 (NTU)", 62, false},
		{"Turbidity diluted 1:5 (NTU);Turbidity (NTU)", 62, true},
		{"Lectura diluida (UNT);Turbiedad corregida (UNT)", 62, true},
		{"Meter reading, diluted (NTU);Turbidity, corrected x10 (NTU)", 0, true}, // not the factor between them
		{"Meter reading (NTU);Turbidity x5 (NTU)", 62, false},
	} {
		text := "Jar;Alum (mg/L);" + c.heads + "\n"
		for i, v := range []float64{19.2, 12.4, 6.3, 2.2} {
			text += fmt.Sprintf("%d;%d;%g;%g\n", i+1, 20*(i+1), v, 5*v)
		}
		r := mustRead(t, "s.csv", text, Options{})
		got := 0.0
		if len(r.Series) > 0 {
			got = r.Series[0].Jars[1].Readings.Of(jartest.Turbidity).Value
		}
		if c.want > 0 && got != c.want || (len(loud(r)) > 0) != c.says {
			t.Errorf("%s: %g, says %v", c.heads, got, loud(r))
		}
	}
	for _, head := range each("Meter reading, diluted (NTU) | Turbidity diluted 1:5 (NTU) | Lectura diluida (UNT) | Trübung verdünnt (NTU) | 稀释后浊度 (NTU)") {
		r := mustRead(t, "s.csv", "Jar;Alum (mg/L);"+head+";pH\n1;0;19.2;7\n2;10;12.4;7\n3;20;6.3;7\n", Options{})
		if !slices.Contains(loud(r), "diluted-reading") && !slices.Contains(loud(r), "factor-in-heading") {
			t.Errorf("%s: says %v", head, loud(r))
		}
		for _, s := range r.Series {
			if x, ok := s.Jars[1].Readings.Get(jartest.Turbidity); ok && x.State == jartest.Number {
				t.Errorf("%s: %g NTU", head, x.Value)
			}
		}
	}
}

// A label and the value beside it are one sentence, also where the label names another chemical.
func TestFixedDoseUnderALabel(t *testing.T) {
	labels := each("Coagulant ahead of polymer: | alum, 30 mg/L in every jar | Coagulant: | alum 30 mg/L in all jars | Coagulant before the polymer: | alum (30 mg/L in all jars) | Koagulant: | siarczan glinu, 30 mg/L w każdej zlewce | " +
		"Coagulante: | sulfato de aluminio, 30 mg/L en todas las jarras | Fällmittel: | Aluminiumsulfat, 30 mg/L in jedem Becherglas | Coagulant : | sulfate d'aluminium, 30 mg/L dans chaque bécher")
	for i := 0; i+1 < len(labels); i += 2 {
		for _, join := range []string{";", " "} {
			r := mustRead(t, "s.csv", labels[i]+join+labels[i+1]+"\n\nJar;Polymer (mg/L);NTU\n1;0.1;50\n2;0.2;12\n3;0.3;5\n", Options{})
			if len(r.Series) != 1 || len(r.Series[0].Chemicals) != 2 || r.Series[0].Chemicals[1].Name != "alum" || float64(r.Series[0].Jars[1].Doses[1].Concentration) != 30 {
				t.Errorf("%s%s%s: %+v %v", labels[i], join, labels[i+1], r.Series, r.Notes)
			}
		}
	}
}
