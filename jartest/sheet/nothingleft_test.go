package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

// Words and numbers that a reader may not pass over: what is said of them, "" for nothing loud, and the raw turbidity
// and the dose of the second jar that come of the sheet; zero for none. The doses are worked beside their lines.
func TestNothingIsLeftOverInSilence(t *testing.T) {
	const rows = "1,10,64\n2,20,31\n3,30,11\n4,40,5.2\n"
	for _, c := range []struct {
		name, top string
		says      string
		raw, dose float64
	}{
		{"s.csv", "\"Raw NTU before storm 12; after storm 140\"\nJar,Alum (mg/L),NTU\n", "raw-twice", 0, 20},
		{"s.csv", "\"Raw NTU 80 (12 after settling)\"\nJar,Alum (mg/L),NTU\n", "", 80, 20},
		{"s.csv", "Raw turbidity,30 NTU\nJar,Alum (mg/L),NTU\n", "raw-below-jars", 30, 20},
		{"s.csv", "Raw turbidity,50 NTU\nJar,Alum (mg/L),NTU\n", "", 50, 20},
		{"s.csv", "Raw turbidity yesterday,80 NTU\nJar,Alum (mg/L),NTU\n", "line-not-taken", 0, 20},
		{"s.csv", "\"Raw water: turbidity 80 NTU; pH 7.3 max\"\nJar,Alum (mg/L),NTU\n", "raw-bound", 80, 20},
		{"s.csv", "Raw turbidity per day 80 NTU\nJar,Alum (mg/L),NTU\n", "fact-words", 80, 20},
		{"s.csv", "Day tank stock 50 g/L\nJars 1 L\nJar,Alum stock (mL),NTU\n", "fact-words", 0, 20 * 50 / 1.0},
		{"kaolin_water.csv", "Jar,Dose (mg/L),NTU\n", "chemical", 0, 20},
		{"s.csv", "Jar,\"Ferric sulfate, mL of 1% stock per 2-L jar\",NTU\n", "", 0, 20 * 10 / 2.0}, // 1 % is 10 g/L
		{"s.csv", "Jar,Alum (mL 2% / 500 mL),NTU\n", "", 0, 20 * 20 / 0.5},                          // 2 % is 20 g/L
		{"s.csv", "\"Alum stock: 400 g in a 20 L bucket of water. Test jars 1 L.\"\nJar,Alum stock (mL),NTU\n", "", 0, 20 * 400 / 20.0},
		{"s.csv", "Jar,Alum (kg/dam3),NTU\n", "", 0, 20}, // a cubic decametre is 1000 m3
	} {
		r := mustReadAny(t, c.top+rows, Options{})
		if c.name != "s.csv" {
			r = mustRead(t, "/some/where/"+c.name, c.top+rows, Options{})
		}
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
			t.Errorf("%s: %d series, %v", c.top, len(r.Series), r.Notes)
			continue
		}
		s := r.Series[0]
		if got := float64(s.Jars[1].Doses[0].Concentration); math.Abs(got-c.dose) > 1e-9*c.dose {
			t.Errorf("%s: %g mg/L, want %g", c.top, got, c.dose)
		}
		if got := s.Raw[jartest.Turbidity].Value; got != c.raw {
			t.Errorf("%s: raw %g NTU, want %g", c.top, got, c.raw)
		}
		if codes := loud(r); c.says == "" && len(codes) > 0 || c.says != "" && !slices.Contains(codes, c.says) {
			t.Errorf("%s: says %v, want %q", c.top, codes, c.says)
		}
		for _, n := range r.Notes {
			if strings.Contains(n.Message, "/some/where") {
				t.Errorf("%s: the path is said: %s", c.top, n.Message)
			}
		}
	}
}

// Readings by weight, and amounts removed, are kept under names of their own beside others; FTU counts as NTU and
// says so like FNU.
func TestOtherMeasuresKeepTheirNames(t *testing.T) {
	const rows = "1,10,9,40\n2,20,12,22\n3,30,15,9\n4,40,22,4\n"
	for head, key := range map[string]jartest.Key{"\"Мутность, мг/л (по каолину)\"": jartest.Turbidity, "TSS removed (mg/L)": jartest.TSSRemoval, "Alk. consumed (mg/L CaCO3)": jartest.AlkalinityKey} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),"+head+",pH\n"+strings.NewReplacer(",40\n", ",7\n", ",22\n", ",7\n", ",9\n", ",7\n", ",4\n", ",7\n").Replace(rows), Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %v", head, r.Notes)
			continue
		}
		read := map[jartest.Key]jartest.Reading{}
		r.Series[0].Jars[0].Readings.Into(read)
		if _, standing := read[key]; standing || len(read) != 2 {
			t.Errorf("%s: read %v", head, read)
		}
	}
	for _, unit := range []string{"FTU", "FNU"} {
		r := mustRead(t, "s.csv", "Raw turbidity,60 "+unit+"\nJar,Alum (mg/L),Turbidity ("+unit+")\n1,10,40\n2,20,22\n3,30,9\n", Options{})
		if told(r, "fnu") < 2 || len(loud(r)) > 0 { // of the raw water and of the column
			t.Errorf("%s: %v", unit, r.Notes)
		}
	}
}
