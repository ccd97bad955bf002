package sheet

import (
	"slices"
	"strings"
	"testing"
)

// A reading whose heading has an n that counts nothing is kept; a count beside its readings is none,
// and what is left out is told.
func TestLoneN(t *testing.T) {
	const rows = "1;0;38;7.4\n2;10;21;7.3\n3;20;9.6;7.2\n4;30;4.1;7.0\n"
	for _, heading := range []string{"Trübung n. Absetzen (FNU)", "Turbidity N (NTU)", "Turbidity n° 1 (NTU)", "Trübung n. 30 min (NTU)", "Trübung n Absetzen (NTU)"} {
		r := mustRead(t, "s.csv", "Jar;Alum as product (mg/L);"+heading+";pH\n"+rows, Options{})
		if got := values(r.Series[0], "turbidity"); !slices.Equal(got, []float64{38, 21, 9.6, 4.1}) {
			t.Errorf("%s: %v", heading, got)
		}
	}
	if r, _ := Read("s.csv", strings.NewReader("Jar;Alum as product (mg/L);Turbidity (NTU) n=1;pH\n"+rows), Options{}); told(r, "number-in-heading") == 0 {
		t.Errorf("n=1 is not asked about: %v", r.Notes)
	}
	r := mustRead(t, "s.csv", "Jar;Alum as product (mg/L);Turbidity (NTU);Turbidity SD;Turbidity n\n1;0;38;2;3\n2;10;21;1;3\n3;20;9.6;1;3\n", Options{})
	if got := values(r.Series[0], "turbidity"); !slices.Equal(got, []float64{38, 21, 9.6}) || len(r.Series[0].Jars[0].Readings) != 1 {
		t.Errorf("a count: %v, %v", got, r.Series[0].Jars[0].Readings)
	}
	r = mustRead(t, "s.csv", "Jar;Alum as product (mg/L);n;Turbidity (NTU)\n1;0;3;38\n2;10;3;21\n3;20;3;9.6\n", Options{})
	if len(r.Series[0].Jars[0].Readings) != 1 || told(r, "column-left-out") == 0 {
		t.Errorf("a count of nothing to its left: %v, %v", r.Series[0].Jars[0].Readings, r.Notes)
	}
}
