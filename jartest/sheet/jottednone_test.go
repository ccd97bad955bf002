package sheet

import (
	"fmt"
	"testing"
)

// A word for nothing in the place of the dose is a jar without chemical; elsewhere it is
// a remark, and the jar has no dose.
func TestNoneInJottedLines(t *testing.T) {
	for first, want := range map[string]string{
		"Jar 1 - none - 85 NTU": "[0 5 10 15]", "Jar 1 - nothing - 85 NTU": "[0 5 10 15]", "Jar 1 - nil - 85 NTU": "[0 5 10 15]",
		"Becher 1 - ohne - 85 NTU": "[0 5 10 15]", "Vaso 1 - sin - 85 NTU": "[0 5 10 15]", "Jar 1 - 0 ppm - 85 NTU": "[0 5 10 15]",
		"Jar 1 - 85 NTU - none": "[5 10 15]", "Jar 1 - 2 ppm - 85 NTU - none": "[2 5 10 15]", "Jar 1 - some - 85 NTU": "[5 10 15]",
	} {
		r := mustRead(t, "s.txt", "Alum\n"+first+"\nJar 2 - 5 ppm - 61 NTU\nJar 3 - 10 ppm - 33 NTU\nJar 4 - 15 ppm - 12 NTU\n", Options{})
		var got []float64
		for _, j := range r.Series[0].Jars {
			got = append(got, float64(j.Doses[0].Concentration))
		}
		if fmt.Sprint(got) != want {
			t.Errorf("%s: doses %v, want %s", first, got, want)
		}
	}
}

// The number of a jar is no reading, and a reading in a jar is not of the raw water.
func TestJarNumberIsNoReading(t *testing.T) {
	for line, want := range map[string]string{
		"Lowest turbidity in jar 5": "", "Best turbidity in jar 5": "", "Lowest pH in jar 5": "", "Lowest turbidity 4 NTU in jar 4": "",
		"Raw turbidity 60 NTU": "turbidity 60", "Raw turbidity 60 NTU in jars 1 to 4": "turbidity 60", "Turbidity in: 60 NTU": "turbidity 60",
	} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		got := ""
		for key, x := range r.Series[0].Raw {
			got += fmt.Sprint(key, " ", x.Value)
		}
		if got != want {
			t.Errorf("%s: raw %q, want %q", line, got, want)
		}
	}
}
