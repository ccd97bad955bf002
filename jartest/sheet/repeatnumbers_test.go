package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestRepeatsByNumberAlone: columns that number the repeats of one reading are its repeats, whether each has its name or the first alone; where they
// differ by more than repeats do, the sheet asks.
func TestRepeatsByNumberAlone(t *testing.T) {
	const alike, apart = "1,0,44,45,43\n2,10,30,31,29\n3,20,12,13,11\n4,30,4.5,4.4,4.6\n", "1,0,44,22,10\n2,10,30,12,5\n3,20,12,6,2\n4,30,4.5,2,1\n"
	for _, head := range []string{"NTU n1,n2,n3", "NTU n1,NTU n2,NTU n3", "Turbidity (NTU) r1,r2,r3", "NTU rep 1,rep 2,rep 3", "NTU 1,NTU 2,NTU 3"} {
		r := mustRead(t, "s.csv", "Jar,Alum mg/L,"+head+"\n"+alike, Options{})
		if len(r.Series) != 1 || len(loud(r)) > 0 || !slices.Equal(values(r.Series[0], jartest.Turbidity), []float64{44, 30, 12, 4.5}) {
			t.Errorf("%s: %d series; says %v", head, len(r.Series), r.Notes)
			continue
		}
		if got := len(r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Replicates); got != 3 || len(r.Series[0].Keys()) != 1 {
			t.Errorf("%s: %d repeats, readings %v", head, got, r.Series[0].Keys())
		}
		if r := mustRead(t, "s.csv", "Jar,Alum mg/L,"+head+"\n"+apart, Options{}); !slices.Contains(loud(r), "columns-apart") {
			t.Errorf("%s: %v", head, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum mg/L,NTU n1,Floc n2\n"+strings.ReplaceAll(alike, ",43", ""), Options{})
	if got := len(r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Replicates); got > 1 {
		t.Errorf("a column of another name is a repeat: %v", r.Series[0].Jars[0].Readings)
	}
}
