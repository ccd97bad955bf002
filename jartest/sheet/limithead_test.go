package sheet

import (
	"testing"

	"jarwright/jartest"
)

// A limit in the heading of a column of readings leaves them readings; a column of targets stays one.
func TestLimitInAHeading(t *testing.T) {
	for _, head := range []string{"Settled turbidity (NTU), limit 5", "Turbidity (NTU) target 5", "Turbidity (limit: 5 NTU)", "Turbidity (NTU), limit 5 NTU", "Trübung (NTU), Grenzwert 5"} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),"+quoted(head)+"\n1,0,42\n2,12,23\n3,24,9.5\n4,36,3.6\n", Options{})
		if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{42, 23, 9.5, 3.6}) {
			t.Errorf("%s: %v", head, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),Turbidity (NTU),Target turbidity (NTU)\n1,0,42,5\n2,12,23,5\n3,24,9.5,5\n4,36,3.6,5\n", Options{})
	if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{42, 23, 9.5, 3.6}) || len(r.Series[0].Targets) != 1 {
		t.Errorf("a column of targets: %v", r.Notes)
	}
}
