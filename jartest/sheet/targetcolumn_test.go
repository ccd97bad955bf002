package sheet

import "testing"

// TestTargetInEachRow: a target that each row repeats is spoken of once, and one with its unit not at all.
func TestTargetInEachRow(t *testing.T) {
	for head, want := range map[string]map[string]int{
		"Target NTU": {"5": 0}, "Target": {"5": 1, "five": 1, "turbidity <= 5 NTU": 0},
	} {
		for target, n := range want {
			r := mustRead(t, "s.csv", "Jar,Alum (mg/L),Turbidity (NTU),"+head+"\n1,0,44,"+target+"\n2,10,30,"+target+"\n3,20,12,"+target+"\n4,30,4.5,"+target+"\n", Options{})
			if len(loud(r)) != n || (len(r.Series[0].Targets) == 1) != (n == 0) {
				t.Errorf("%s, %s: targets %v; says %v", head, target, r.Series[0].Targets, r.Notes)
			}
		}
	}
}

// TestDosesOfFeed: a dose for each litre of "feed" says what was taken; a feed that is dosed is plain.
func TestDosesOfFeed(t *testing.T) {
	for head, says := range map[string]bool{"Alum (ppm of feed)": true, "Alum mg/L feed": true, "Alum feed (mg/L)": false, "Alum (mg/L)": false} {
		r := mustRead(t, "s.csv", "Jar,"+head+",Turbidity (NTU)\n1,0,44\n2,10,30\n3,20,12\n4,30,4.5\n", Options{})
		if got := doses(r.Series[0], 0)[1]; got != 10 || quotes(r, "of the water fed") != says || !says && len(loud(r)) > 0 {
			t.Errorf("%s: %g mg/L; says %v", head, got, r.Notes)
		}
	}
}
