package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// What bears on the numbers of a table without naming a jar: the product that the doses
// may count, another day's numbers, a household measure, an order of the jars.
func TestWhatBearsOnTheNumbersSpeaks(t *testing.T) {
	for line, code := range map[string]string{
		"Liquid alum 48.5 %": "product-unused", "As Al2O3 8 %": "product-unused", "The alum holds 8 % Al2O3": "product-unused",
		"Dose is on 100 % alum": "line-not-understood", "Alum column is product volume": "line-not-understood", "Doses in mg of product": "line-not-understood",
		"Copied from last year": "line-not-understood", "We used the small spoon": "line-not-understood", "Jar numbers run right to left": "line-not-understood",
		"Product density 1.33": "", "Copied from the notebook": "", "Stirred with a spoon": "", "Jars stand left to right": "", "Doses in mg/L as product": "", "Alum removal 48.5 %": "",
	} {
		r := mustRead(t, "s.csv", line+"\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		if codes := loud(r); code == "" && len(codes) > 0 || code != "" && !slices.Contains(codes, code) {
			t.Errorf("%s: says %v, want %q", line, codes, code)
		}
	}
	// a stated basis settles what the strength leaves open; parts by volume need the density
	for sheet, speaks := range map[string]bool{
		"Liquid alum 48.5 %\nDoses in mg/L as product\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n": false,
		"Liquid alum 48.5 %\n\nJar,Alum (mg/L as Al),NTU\n1,0,50\n2,1,12\n3,2,5\n":                       false,
		"Product density 1.33\n\nJar,Alum (ppm),NTU\n1,0,50\n2,10,12\n3,20,5\n":                          true,
	} {
		if r := mustRead(t, "s.csv", sheet, Options{}); slices.Contains(loud(r), "product-unused") != speaks {
			t.Errorf("%s: says %v, want the product spoken of: %v", sheet, loud(r), speaks)
		}
	}
}

// A word for nothing, with or without the name of the chemical, is no dose in any tongue.
func TestNothingDosed(t *testing.T) {
	for _, cell := range []string{"none", "nothing", "nil", "no alum", "without alum", "tanpa tawas", "tanpa", "sin coagulante", "sans coagulant", "sem coagulante", "senza coagulante",
		"ohne Alaun", "zonder", "utan", "uden koagulant", "bez koagulantu", "без коагулянта", "koagülant yok", "brak", "无", "なし", "없음", "không phèn"} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,"+cell+",50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 || !r.Series[0].Jars[0].Control || len(loud(r)) > 0 {
			t.Errorf("%s: %d series, says %v", cell, len(r.Series), loud(r))
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,not measured,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
	if len(r.Series[0].Jars) != 3 {
		t.Errorf("a dose that was not measured: %d jars, want 3", len(r.Series[0].Jars))
	}
}

// A unit that nobody knows is named, and parts by volume ask for the density: neither is
// led to the strength of a stock.
func TestUnitsThatAsk(t *testing.T) {
	for head, want := range map[string][2]string{ // what is asked for, and what is not
		"Alum (zorks/L)": {`"zorks/l"`, "stock"}, "Alum zorks/L": {`"zorks/l"`, "stock"}, "Alum (ppm v/v)": {"density", "stock"}, "Alum (mL/m3)": {"density", "neat"}, "Alum (mL stock)": {"stock", "density"},
	} {
		r := mustRead(t, "s.csv", "Jar,"+head+",NTU\n1,0,50\n2,10,12\n3,20,5\n", Options{})
		said := ""
		for _, n := range r.Notes {
			if n.Level == note.Error {
				said += n.Message + " " + n.Remedy
			}
		}
		if !strings.Contains(said, want[0]) || strings.Contains(said, "--"+want[1]) || strings.Contains(said, want[1]+" of") && want[1] == "density" {
			t.Errorf("%s: %q, want %v asked for", head, said, want)
		}
	}
}

// A chemical that all jars got as much of is shown beside the one whose stock was varied.
func TestCodoseBesideAStock(t *testing.T) {
	r := mustRead(t, "s.csv", "Alum stock 10 g/L, 1 L jars\nBentonite 10 mg/L in all jars\n\nJar,Stock mL,NTU\n1,0,50\n2,1,12\n3,2,5\n", Options{})
	var got []string
	for k, c := range r.Series[0].Chemicals {
		got = append(got, fmt.Sprint(c.Name, " ", float64(r.Series[0].Jars[2].Doses[k].Concentration)))
	}
	if s := strings.Join(got, ", "); s != "alum 20, bentonite 10" || len(loud(r)) > 0 { // 2 mL x 10 g/L in 1 L
		t.Errorf("doses %s, says %v", s, loud(r))
	}
}

// A page of directions beside the sheet of jars says how to run a test, and nothing of this one.
func TestDirectionsAreNoFacts(t *testing.T) {
	for said, is := range map[string]bool{
		"Leave a spilt or spoilt jar empty and say so under Remark": true, "Read the first reading twice": true, "Draw the sample of every jar at the same depth": true,
		"Read all values x 10": false, "Half the dose went into jar 3": false, "Measure, then subtract 0.6 NTU": false, "The doses are twice those shown": false,
	} {
		if instructs(said) != is {
			t.Errorf("%q: %v, want %v", said, !is, is)
		}
	}
}

// Drops are sized by a word or by how many make a millilitre, in one line with other facts.
func TestDropsInOneLine(t *testing.T) {
	const jars = "\nJar 1 - 0 drops - 60 NTU\nJar 2 - 2 drops - 41 NTU\nJar 3 - 4 drops - 22 NTU\nJar 4 - 6 drops - 9 NTU\n"
	for line, want := range map[string]float64{ // mg/L of jar 3: 4 drops x mL x g/L / L
		"1 drop = 0.05 mL, stock 10 g/L, jars 1 L":     2,
		"stock alum 1%, drop 0.05 mL, 500 mL jars":     4,
		"20 drops to the mL; stock 1 %; jars 1 L":      2,
		"25 drops make a mL, stock 5 g/L, jars 500 mL": 1.6,
		"stock 10 g/L, jars 1 L":                       math.NaN(), // no drop is sized
		"5 drops in 1 L jars, stock 10 g/L":            math.NaN(),
	} {
		r := mustRead(t, "s.txt", "Alum\n"+line+jars, Options{})
		got := math.NaN()
		if len(r.Series) == 1 && len(r.Series[0].Jars) == 4 {
			got = float64(r.Series[0].Jars[2].Doses[0].Concentration)
		}
		if math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: jar 3 got %g mg/L, want %g; says %v", line, got, want, loud(r))
		}
	}
}

// Three numbers of which none can be a month are repeats, not a day.
func TestThreeReadingsAreNoDay(t *testing.T) {
	r := mustRead(t, "s.csv", "Raw turbidity 61/62/63\n\nJar,Alum (mg/L),NTU\n1,0,61/62/63\n2,10,41/42/40\n3,20,20/21/22\n4,30,8/9/7\n", Options{})
	for i, want := range []float64{62, 41, 21, 8} {
		if got := r.Series[0].Jars[i].Readings.Of(jartest.Turbidity); got.Value != want || got.N != 3 {
			t.Errorf("jar %d: %g of %d, want %g of 3", i+1, got.Value, got.N, want)
		}
	}
	if len(loud(r)) == 0 { // the raw water's three are not taken without a word
		t.Error("nothing is said of the raw water")
	}
	if r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,0,50\n2,10,10/11/12\n3,20,5\n", Options{}); len(loud(r)) == 0 {
		t.Error("what can be a day is taken for readings")
	}
}

// The raised digit of a footnote leaves a label a label, and a word for remarks makes no tests.
func TestHeadingsOfLabels(t *testing.T) {
	for sheet, jars := range map[string]int{
		"Jar²,Alum (mg/L),NTU\n1,0,61\n2,10,41\n3,20,20\n4,30,8\nMean,,33\n":                                              4,
		"Jar,Alum (mg/L),NTU,pH,test Remarks\n1,2,20,7.4,clear\n2,4,13.3,7.3,small flocs\n3,6,10,7.2,\n4,8,8,7.1,clear\n": 4,
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != jars || r.Series[0].Jars[3].Label != "4" {
			t.Errorf("%s: %d series, says %v", sheet, len(r.Series), loud(r))
		}
	}
}

// A column of two chemicals with two doses in each cell is refused once, by its name.
func TestTwoDosesInACell(t *testing.T) {
	for _, cells := range [][]string{{"0+0", "10+0.1", "20+0.2"}, {"0 + 0", "10 + 0.1", "20 + 0.2"}, {"0/0", "10/0.1", "20/0.2"}} {
		r := mustRead(t, "s.csv", fmt.Sprintf("Jarra,PAC + polímero (mg/L),Turbidez NTU\n1,%s,50\n2,%s,12\n3,%s,5\n", cells[0], cells[1], cells[2]), Options{})
		if codes := loud(r); len(r.Series) > 0 || len(codes) != 1 || codes[0] != "dose-twofold" || r.Notes[len(r.Notes)-1].Place.Cell == "" {
			t.Errorf("%v: %d series, says %v", cells, len(r.Series), codes)
		}
	}
}
