package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// The readings of one settling time are the reading; those of others have names of their own,
// and a jar that was not read then has no reading under the common name.
func TestReadingsOfOneTime(t *testing.T) {
	for _, x := range []struct {
		name, columns string
		turbidity     []float64 // of the doses 0, 10, 20, 30; -1 for none
		other         jartest.Key
		others        []float64
		says          string
	}{
		{"all at both", "30 60 30 60 30 60 30 60:0 0 10 10 20 20 30 30:62 50 31 25 12 9 6 4", []float64{50, 25, 9, 4}, "turbidity_30_min", []float64{62, 31, 12, 6}, "the last time of each jar is the reading"},
		{"fewer at the last", "30 60 30 60 30 60 30:0 0 10 10 20 20 30:62 50 31 25 12 9 6", []float64{62, 31, 12, 6}, "turbidity_60_min", []float64{50, 25, 9, -1}, "those at 30 min"},
		{"one at neither", "30 60 30 60 60 30:0 0 10 10 20 30:62 50 31 25 9 6", []float64{50, 25, 9, -1}, "turbidity_30_min", []float64{62, 31, -1, 6}, "had none then: 4"},
		{"one looked at once more", "30 30 30 30 120:0 10 20 30 30:62 31 12 6 2", []float64{62, 31, 12, 6}, "turbidity_120_min", []float64{-1, -1, -1, 2}, "at which most jars were read"},
		{"one after the other", "15 30 16 32 17 34 18 36:0 0 10 10 20 20 30 30:80 62 50 31 20 12 9 6", []float64{62, 31, 12, 6}, "turbidity_15_min", []float64{80, -1, -1, -1}, "from 30 to 36 min"},
	} {
		p := strings.Split(x.columns, ":")
		times, doses, turb := strings.Fields(p[0]), strings.Fields(p[1]), strings.Fields(p[2])
		text := "Jar,Alum (mg/L),Settling time (min),Turbidity (NTU)\n"
		jar := map[string]string{"0": "1", "10": "2", "20": "3", "30": "4"}
		for i := range times {
			text += jar[doses[i]] + "," + doses[i] + "," + times[i] + "," + turb[i] + "\n"
		}
		_, res := codesOf(t, text)
		if len(res.Series) != 1 || len(res.Series[0].Jars) != 4 {
			t.Errorf("%s: %d series", x.name, len(res.Series))
			continue
		}
		for _, j := range res.Series[0].Jars {
			i := int(j.Doses[0].Concentration) / 10
			for key, want := range map[jartest.Key]float64{jartest.Turbidity: x.turbidity[i], x.other: x.others[i]} {
				if r, ok := j.Readings.Get(key); ok != (want >= 0) || ok && r.Value != want {
					t.Errorf("%s: %s of jar %s is %v (%v), want %v", x.name, key, j.Label, r.Value, ok, want)
				}
			}
		}
		said := ""
		for _, n := range res.Notes {
			said += n.Message + "\n"
		}
		if !strings.Contains(said, x.says) {
			t.Errorf("%s: want %q in %s", x.name, x.says, said)
		}
	}
}

// Hours are minutes in the name of a reading: 0.5 h is 30 min.
func TestTimesInHours(t *testing.T) {
	_, res := codesOf(t, "Jar,Alum (mg/L),Settling time (h),Turbidity (NTU)\n1,0,0.5,62\n1,0,1,50\n2,10,0.5,31\n2,10,1,25\n")
	if r, ok := res.Series[0].Jars[0].Readings.Get("turbidity_30_min"); !ok || r.Value != 62 {
		t.Errorf("at 30 min %v (%v), want 62", r.Value, ok)
	}
}

// A time of stirring is no time of settling: jars stirred for 10 and for 20 min are two series.
func TestStirringIsNoSettling(t *testing.T) {
	for _, head := range []string{"Slow mix time (min)", "Flocculation time (min)", "Mixing time (min)", "Contact time (min)"} {
		codes, res := codesOf(t, "Alum (mg/L),"+head+",Turbidity (NTU)\n0,10,62\n10,10,31\n20,10,12\n0,20,60\n10,20,25\n20,20,8\n")
		if len(res.Series) != 2 {
			t.Errorf("%s: %d series (%q), want 2", head, len(res.Series), codes)
		}
	}
}
