package sheet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// What sentences say of the stock, the jar and the sample, each dose by hand: the first
// cell under "mL" is 2.
func TestSentencesOfStockAndJar(t *testing.T) {
	for _, c := range []struct {
		facts, head string
		dose        float64 // of the jar that got 2
	}{
		{"1 mL of stock = 10 mg; 2 L beakers", "Alum (mL)", 2 * 10 / 2.0},
		{"2 mL of stock = 20 mg alum; 1 L jars", "Alum (mL)", 2 * 20 / 2.0},
		{"each mL of stock adds 10 mg/L alum to the jar", "Alum (mL)", 2 * 10},
		{"1 mL of stock in a 1 L jar gives 5 mg/L", "Alum (mL)", 2 * 5},
		{"Alum stock: 10 g made up to 500 mL. Test in 2 L beakers.", "Alum (mL)", 2 * (10_000 / 500.0) / 2},
		{"Alum solution: 20 g in 2 L of water. Each beaker holds 1000 mL.", "Alum (mL)", 2 * (20_000 / 2000.0) / 1},
		{"Alum stock 10 g/L. Six 2-litre jars filled with 1 L of water.", "Alum (mL)", 2 * 10 / 1.0},
		{"Alum stock 10^4 mg/L. 1 L jars", "Alum (mL)", 2 * 10},
		{"Alum stock 10 g/L. One drop is 0.05 mL. 1 L jars", "Alum (drops)", 2 * 0.05 * 10},
		{"Alum stock 10 g/L. 20 drops is 1 mL. 1 L jars", "Alum (drops)", 2 * (1 / 20.0) * 10},
		{"Ferric chloride 40 % solution, density 1.42, diluted 1:100. 1 L beakers", "FeCl3 (mL)", 2 * 0.40 * 1.42e6 / 100 / 1000},
	} {
		r := mustRead(t, "s.csv", `"`+c.facts+`"`+"\nJar,"+c.head+",NTU\n1,0,30\n2,2,12\n3,4,5\n4,6,4\n", Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 {
			t.Errorf("%s: %d series, %v", c.facts, len(r.Series), r.Notes)
			continue
		}
		if got := float64(r.Series[0].Jars[1].Doses[0].Concentration); math.Abs(got-c.dose) > 1e-9*c.dose {
			t.Errorf("%s: %g mg/L, want %g", c.facts, got, c.dose)
		}
	}
}

// What is said of the raw water: the reading taken, 0 for none, and the code of what
// has to be said.
func TestSentencesOfRawWater(t *testing.T) {
	for line, want := range map[string]struct {
		raw  float64
		says string
	}{
		"Raw turbidity 84.2 ± 1.9 NTU":                                     {84.2, ""},
		"River intake 3/2/25 raw 45 NTU":                                   {45, ""},
		"Turbidity of treated water must be below 5 NTU; raw turbidity 36": {36, ""},
		"Raw water between 30 and 40 NTU":                                  {0, "raw-range"},
		"Raw turbidity 38-42 NTU":                                          {0, "raw-range"},
		"Raw water 62 NTU (yesterday 48 NTU)":                              {62, ""},
		"Raw turbidity was 36 NTU in the morning and 55 NTU at noon":       {0, "raw-twice"},
		"Expected raw turbidity 100 NTU":                                   {0, ""},
		"Raw turbidity in the kestrel 75 NTU":                              {75, "fact-words"},
		"Raw turbidity 2 NTU":                                              {2, "raw-below-jars"},
	} {
		r := mustRead(t, "s.csv", `"`+line+`"`+"\n\nJar,Alum (mg/L),NTU\n1,0,30\n2,10,12\n3,20,5\n", Options{})
		got := float64(0)
		if x, ok := r.Series[0].Raw[jartest.Turbidity]; ok {
			got = x.Value
		}
		var codes []string
		for _, n := range r.Notes {
			codes = append(codes, n.Code)
		}
		if got != want.raw || want.says != "" && !slices.Contains(codes, want.says) {
			t.Errorf("%s: raw %g, want %g; says %v, want %q", line, got, want.raw, codes, want.says)
		}
	}
}

// A column of dilutions multiplies the readings that were taken through it, and asks.
func TestDilutedSamples(t *testing.T) {
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,pH,Dilution\n1,0,9.2,7.4,1:10\n2,10,66,7.3,2\n3,20,20,7.2,none\n", Options{})
	for i, want := range [][2]float64{{9.2 * 10, 7.4}, {66 * 2, 7.3}, {20, 7.2}} {
		j := r.Series[0].Jars[i]
		if ntu, ph := j.Readings.Of(jartest.Turbidity).Value, j.Readings.Of(jartest.PH).Value; ntu != want[0] || ph != want[1] {
			t.Errorf("jar %d: %g NTU, pH %g, want %v", i+1, ntu, ph, want)
		}
	}
	if !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "sample-diluted" }) {
		t.Error("nothing asks whether the readings were corrected")
	}
}

// Repeats of a reading and its spread are diluted with it: two readings of a tenfold dilution, and a mean ± spread of a
// twofold one.
func TestDilutedRepeats(t *testing.T) {
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU 1,NTU 2,Dilution\n1,0,9,9.4,1:10\n2,10,30,31,\n3,20,20,22,\n", Options{})
	got := r.Series[0].Jars[0].Readings.Of(jartest.Turbidity)
	if len(got.Replicates) != 2 || got.Replicates[0].Value != 90 || got.Replicates[1].Value != 94 || got.Value != 92 {
		t.Errorf("repeats %+v", got)
	}
	r = mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,SD,Dilution\n1,0,9.2,0.4,1:2\n2,10,30,1,\n3,20,20,1,\n", Options{})
	if got = r.Series[0].Jars[0].Readings.Of(jartest.Turbidity); got.Value != 18.4 || got.SD != 0.8 {
		t.Errorf("%g with a spread of %g, want 18.4 and 0.8", got.Value, got.SD)
	}
}

// Headings without a reading are no table of jars that waits to be filled in.
func TestHeadingsWithoutAReading(t *testing.T) {
	for text, code := range map[string]string{"Jar,Alum (mg/L),Notes\n": "no-jars", "Jar,Alum (mg/L),Turbidity (NTU)\n": "no-numbers"} {
		r, err := Read("s.csv", strings.NewReader(text), Options{})
		if err != nil || len(r.Notes) != 1 || r.Notes[0].Code != code {
			t.Errorf("%q: %v, %v, want %s", text, r.Notes, err, code)
		}
	}
}
