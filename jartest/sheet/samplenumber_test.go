package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// In a list of single results jars are told by what their results share; a number of each sample,
// whatever it is called and wherever it stands, tells none apart, and a series of one dose is said.
func TestNumbersOfSamples(t *testing.T) {
	doses, turb, al := []int{0, 12, 24, 36}, []float64{58, 31, 14, 6.2}, []int{20, 150, 110, 90}
	const want = "0:58/0.02 12:31/0.15 24:14/0.11 36:6.2/0.09"
	answer := func(r Result) string {
		var out []string
		for _, s := range r.Series {
			for _, j := range s.Jars {
				out = append(out, fmt.Sprintf("%g:%g/%g", float64(j.Doses[0].Concentration), j.Readings.Of(jartest.Turbidity).Value, j.Readings.Of(jartest.ResidualAl).Value))
			}
		}
		return strings.Join(out, " ")
	}
	for _, name := range []string{"Lab no", "Sample", "Sample ID", "ID", "No", "Bottle", "Barcode", "Reading no"} {
		for at := range 3 {
			for _, aluminium := range []string{"Aluminium", `"Aluminium, total"`, "Dissolved aluminium"} {
				line := func(id string, fields ...string) string {
					out := append([]string{}, fields[:at]...)
					return strings.Join(append(append(out, id), fields[at:]...), ",") + "\n"
				}
				text := line(name, "Jar", "Alum mg/L", "Determinand", "Result", "Unit")
				for i := range doses {
					text += line(fmt.Sprint(1000+2*i), fmt.Sprint(i+1), fmt.Sprint(doses[i]), "Turbidity", fmt.Sprint(turb[i]), "NTU")
					text += line(fmt.Sprint(1001+2*i), fmt.Sprint(i+1), fmt.Sprint(doses[i]), aluminium, fmt.Sprint(al[i]), "ug/L")
				}
				r, err := Read("s.csv", strings.NewReader(text), Options{})
				if got := answer(r); err != nil || got != want || len(loud(r)) > 0 {
					t.Errorf("%s\nread as %s: %v %v", text, got, err, r.Notes)
				}
			}
		}
	}
	// A label that the results of a jar share tells jars, and so does one where there is one result a jar.
	for text, want := range map[string]string{
		"Sample,Alum mg/L,Determinand,Result\n1,0,Turbidity,58\n1,0,pH,7.5\n2,12,Turbidity,31\n2,12,pH,7.3\n3,12,Turbidity,32\n3,12,pH,7.3\n": "0:58/0 12:31/0 12:32/0",
		"Sample,Alum mg/L,Determinand,Result\n1,0,Turbidity,58\n2,12,Turbidity,31\n3,12,Turbidity,33\n4,24,Turbidity,14\n":                    "0:58/0 12:31/0 12:33/0 24:14/0",
	} {
		if got := answer(mustRead(t, "s.csv", text, Options{})); got != want {
			t.Errorf("%s\nread as %s", text, got)
		}
	}
	// A table whose jars have one dose each time is no test of doses.
	for text, speaks := range map[string]bool{
		"Jar,Alum (mg/L),NTU\n1,20,31\n2,20,30\n3,20,33\n":                         true,
		"Jar,Alum (mg/L),NTU\n1,20,31\n2,20,30\n3,30,13\n":                         false,
		"Jar,Alum (mg/L),pH set,NTU\n1,20,6,31\n2,20,6.5,30\n3,20,7,33\n":          false,
		"Jar,Alum (mg/L),Polymer (mg/L),NTU\n1,20,0,31\n2,20,0.1,20\n3,20,0.2,9\n": false,
	} {
		r := mustRead(t, "s.csv", text, Options{})
		if got := strings.Contains(strings.Join(loud(r), " "), "one-dose"); got != speaks {
			t.Errorf("%s\nsays that there is one dose: %v, want %v", text, got, speaks)
		}
	}
}
