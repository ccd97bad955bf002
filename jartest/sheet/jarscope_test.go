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
		{"Polymer 0.3 mg/L in jars 4 to 2", of(0, 0.3, 0.3, 0.3), ""},
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

// A label may have leading zeros, and a dose for all does not hide the control from a
// dose for all but it.
func TestJarsNamed(t *testing.T) {
	lines := "\"Lime 20 mg/L in all jars\"\n\"Polymer 0.3 mg/L in all jars but the control\"\n\n"
	r := mustRead(t, "s.csv", lines+"Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
	if j := r.Series[0].Jars; len(j[0].Doses) != 3 || j[0].Doses[1].Concentration != 20 || j[0].Doses[2].Concentration != 0 || j[1].Doses[2].Concentration != 0.3 {
		t.Errorf("%+v", j)
	}
	r = mustRead(t, "s.csv", "\"Polymer 0.3 mg/L in jars 2 to 4\"\n\nJar,Alum (mg/L),NTU\n01,0,50\n02,10,12\n03,20,5\n04,30,4\n", Options{})
	if j := r.Series[0].Jars; len(j[0].Doses) != 2 || j[0].Doses[1].Concentration != 0 || j[3].Doses[1].Concentration != 0.3 {
		t.Errorf("%+v", j)
	}
}

// Rows of one label are repeats only where nothing that was set parts them.
func TestRowsThatRepeat(t *testing.T) {
	for _, c := range []struct {
		rows string
		jars int
	}{
		{"1,7,20,20.3\n1,7,20,19.7\n2,7,30,9\n3,7,40,4\n", 3},
		{"1,5,20,20.3\n1,7,20,8.1\n2,5,30,9\n2,7,30,4\n", 4},
	} {
		n := 0
		for _, s := range mustRead(t, "s.csv", "Jar,pH set,Alum (mg/L),Turbidity (NTU)\n"+c.rows, Options{}).Series {
			n += len(s.Jars)
		}
		if n != c.jars {
			t.Errorf("%q: %d jars, want %d", c.rows, n, c.jars)
		}
	}
}

// Three columns that say the same of the water part it once, whatever their order.
func TestManyColumnsOfOneWater(t *testing.T) {
	for _, head := range []string{"River,Remarks,Season", "River,Comment,Season", "River,Remarks,Storm"} {
		csv := head + ",Alum (mg/L),Turbidity (NTU)\n"
		for k, w := range []string{"Upper beck,low,dry", "Mill beck,mid,wet", "Lower beck,high,storm"} {
			for _, d := range []string{"0,50", "10,20", "20,8", "30,4"} {
				csv += fmt.Sprintf("%s,%s.%d\n", w, d, k) // copies would be left out
			}
		}
		if r := mustRead(t, "s.csv", csv, Options{}); len(r.Series) != 3 {
			t.Errorf("%s: %d series", head, len(r.Series))
		}
	}
}
