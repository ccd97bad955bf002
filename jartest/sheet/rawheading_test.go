package sheet

import (
	"testing"

	"jarwright/jartest"
)

// A word for the raw water with a number in a heading is a fact about the water, and the column stays
// what was read of the jars; the word alone, and the number of a column, say what the column is.
func TestRawWaterInAHeading(t *testing.T) {
	for _, head := range []string{"Turbidity, NTU (raw 64)", "Turbidity (NTU), raw = 64", "Turbidity NTU [raw: 64]", "Turbidity (start 64 NTU)", "Turbidity NTU - initial 64", "Trübung NTU (Rohwasser 64)", "Turbiedad NTU (cruda: 64)", "浊度 NTU (原水 64)"} {
		for _, turned := range []bool{false, true} {
			text := "Jar;PACl (mg/L);" + head + ";pH (raw 7.8)\n1;5;39;7.7\n2;10;21;7.6\n3;15;9;7.5\n4;20;4;7.4\n"
			if turned {
				text = "Jar;1;2;3;4\nPACl (mg/L);5;10;15;20\n" + head + ";39;21;9;4\npH (raw 7.8);7.7;7.6;7.5;7.4\n"
			}
			r := mustRead(t, "s.csv", text, Options{})
			if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{39, 21, 9, 4}) || !equal(values(r.Series[0], jartest.PH), []float64{7.7, 7.6, 7.5, 7.4}) ||
				r.Series[0].Raw[jartest.Turbidity].Value != 64 || r.Series[0].Raw[jartest.PH].Value != 7.8 || len(loud(r)) > 0 {
				t.Errorf("%s: %+v, says %v", head, r.Series, r.Notes)
			}
		}
	}
	r := mustRead(t, "s.csv", "Jar;PACl (mg/L);Raw turbidity (NTU);Turbidity (NTU)\n1;5;64;39\n2;10;64;21\n3;15;64;9\n4;20;64;4\n", Options{})
	if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{39, 21, 9, 4}) || r.Series[0].Raw[jartest.Turbidity].Value != 64 {
		t.Errorf("a column of raw water: %v", r.Notes)
	}
	for _, head := range []string{"Turbidity NTU (raw 2)", "Turbidity NTU (raw zork 64)", "Turbidity NTU (raw > 64)"} {
		if r := mustRead(t, "s.csv", "Jar;PACl (mg/L);"+head+"\n1;5;39\n2;10;21\n3;15;9\n4;20;4\n", Options{}); len(loud(r)) == 0 {
			t.Errorf("%s: silent, %v", head, r.Notes)
		}
	}
}
