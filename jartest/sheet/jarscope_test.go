package sheet

import (
	"fmt"
	"testing"
)

// A second chemical beside the table: its dose in the jars 1 to 4, nil where none is
// taken, and what has to be said.
func TestSecondChemicalInSentence(t *testing.T) {
	of := func(xs ...float64) []float64 { return xs }
	for _, c := range []struct {
		line string
		want []float64
		says string
	}{
		{"Polymer 0.3 mg/L in all jars", of(0.3, 0.3, 0.3, 0.3), ""},
		{"All jars got 0.3 mg/L anionic polymer except jar 1", of(0, 0.3, 0.3, 0.3), ""},
		{"0.5 mg/L polymer in jars 2 to 4, none in jar 1", of(0, 0.5, 0.5, 0.5), ""},
		{"0.3 mg/L polymer in all jars but the control", of(0, 0.3, 0.3, 0.3), ""},
		{"Polymer 0,3 mg/L in Becher 2 bis 4", of(0, 0.3, 0.3, 0.3), ""},
		{"Polymer: 0.3 mg/L (jars 3 and 4 only)", of(0, 0, 0.3, 0.3), ""},
		{"Polymer 0.3 mg/L in jars 1, 2 and 4", of(0.3, 0.3, 0, 0.3), ""},
		{"Polymer 0.3 mg/L in jars 2-8", nil, "dose-mentioned"},
		{"Polymer 0.3 mg/L in jars 3 and 4, 0.1 mg/L in jar 2", nil, "fact-words"},
		{"Lime was added to all jars", nil, "dose-unstated"},
		{"Every jar also got polymer", nil, "dose-unstated"},
		{"Acid was added to all jars", nil, "dose-unstated"},
		{"Alum with polymer", nil, "dose-unstated"},
		{"Sulfato de aluminio con polímero", nil, "dose-unstated"},
		{"Kireç ve alüm birlikte", nil, "dose-unstated"},
		{"No polymer was added", nil, ""},
		{"Lime softened water, alum added by syringe", nil, ""},
		{"Alum was added with a syringe", nil, ""},
		{"Alum or PACl", nil, ""},
	} {
		r := mustRead(t, "s.csv", `"`+c.line+`"`+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		var got []float64
		for _, j := range r.Series[0].Jars {
			if len(j.Doses) == 2 {
				got = append(got, float64(j.Doses[1].Concentration))
			}
		}
		codes := loud(r)
		if fmt.Sprint(got) != fmt.Sprint(c.want) || fmt.Sprint(codes) != fmt.Sprint(oneOf(c.says)) {
			t.Errorf("%s: doses %v, want %v; says %v, want %q", c.line, got, c.want, codes, c.says)
		}
	}
}

// oneOf gives a list of one code, none for "".
func oneOf(code string) []string {
	if code == "" {
		return nil
	}
	return []string{code}
}
