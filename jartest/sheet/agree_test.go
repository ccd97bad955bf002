package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestStockFactsAgree: facts of a stock are used up and held against each other. Doses by hand:
// 2 mL of a stock of c mg/L in V litres are 0.002 c/V mg/L.
func TestStockFactsAgree(t *testing.T) {
	one := "Jar volume,1 L"
	for _, c := range []struct {
		above []string
		head  string
		dose  float64 // of the jar that got 2 mL; none where it must ask
		says  string
	}{
		{[]string{`"Stock: 10 g alum in 1 L, then 100 mL of that to 1 L"`, one}, "Alum stock (mL)", 2, ""},                   // 1 g/L
		{[]string{`"Dissolve 20 g alum in 1 L. Take 100 mL of that and make up to 1 L."`, one}, "Alum (mL)", 4, ""},          // 2 g/L
		{[]string{`Stock: 10 g/L; working solution 1:10 of this`, one}, "Alum stock (mL)", 2, ""},                            // 1 g/L
		{[]string{`"Stammlösung 10 g/L, 1:10 verdünnt"`, one}, "Alum (mL)", 2, ""},                                           // 1 g/L
		{[]string{`"Исходный раствор 10 г/л, разбавлен 1:10"`, one}, "Alum (mL)", 2, ""},                                     // 1 g/L
		{[]string{`1 mL of stock = 10 ppm in 500 mL`, one}, "Alum stock (mL)", 10, ""},                                       // half in twice the water
		{[]string{`1 mL of stock = 10 ppm in 500 mL`, "Jar volume,500 mL"}, "Alum stock (mL)", 20, ""},                       //
		{[]string{`1 mL of stock in 1 L = 10 mg/L`, "Stock,10 g/L", one}, "Alum stock (mL)", 20, ""},                         // all three agree
		{[]string{"Stock,10 g/L", one, "Working solution: 1 in 10 of stock"}, "Alum stock (mL)", 2, "diluted-stock"},         //
		{[]string{"Alum stock,10 g/L", "Jars of 2 L"}, "mL stock in 2 L", 10, ""},                                            //
		{[]string{"Stock: 10 mL of 100 g/L alum made up to 1 L", one}, "Alum stock (mL)", 2, ""},                             // 1 g/L
		{[]string{`"Stock: 10 g alum in 1 L, of which 100 mL were used"`, one}, "Alum stock (mL)", 0, "fact-words"},          // what for?
		{[]string{`1 mL of stock adds 10 mg/L`, "Jar volume,2 L", "Stock,10 g/L"}, "Alum stock (mL)", 0, "per-ml-disagrees"}, // 5
		{[]string{"Stock strength,10 g/L,20 g/L", one}, "Alum stock (mL)", 0, "fact-words"},                                  //
		{[]string{"Stock,5 g/L", one}, "mL of 1 % alum", 0, "strength-twofold"},                                              // 10 g/L
		{[]string{`"Stock 1:10, jar 2 L"`}, "FeCl3 40% (mL)", 0, "dilution-and-strength"},                                    //
		{[]string{"1 mL of stock = 10 mg", "Stock,5 g/L", one}, "Alum stock (mL)", 0, "facts-disagree"},                      //
		{[]string{"Stock,10 g/L", one, "Six jars of 2 L"}, "Alum stock (mL)", 0, "facts-disagree"},                           //
		{[]string{"20 drops = 1 mL", "1 drop = 0.04 mL", "Stock,10 g/L", one}, "Alum stock (drops)", 0, "facts-disagree"},    //
		{[]string{"20 drops = 1 mL", "1 drop = 0.05 mL", "Stock,10 g/L", one}, "Alum stock (drops)", 1, ""},                  // 0.1 mL
	} {
		r := mustRead(t, "t.csv", sheetOf(append(c.above, ""), column("Jar", 1, 2, 3), column(c.head, 0, 2, 4), column("NTU", 48, 30, 14)), Options{})
		name := strings.Join(c.above, " / ") + " / " + c.head
		got := 0.0
		if len(r.Series) == 1 && len(r.Series[0].Jars) == 3 && len(r.Series[0].Jars[1].Doses) == 1 {
			got = float64(r.Series[0].Jars[1].Doses[0].Concentration)
		}
		said := cautionsOf(r)
		if !equal([]float64{got}, []float64{c.dose}) || (c.says == "") != (said == "") || !strings.Contains(said, c.says) || c.dose == 0 && r.Notes.Err() == nil {
			t.Errorf("%s: %g mg/L, says %q; want %g, %q\n%v", name, got, said, c.dose, c.says, r.Notes)
		}
	}
}

// TestStrengthOfWhich: one stock that names no chemical is asked about where volumes of two
// are dosed, in columns or on lines, and not where it is said to be of both, or the other has its own.
func TestStrengthOfWhich(t *testing.T) {
	columns := sheetOf(nil, column("Alum (mL)", 0, 1, 2), column("PAC (mL)", 0, 2, 1), column("NTU", 48, 30, 14))
	lines := "Chemical,Stock (mL),NTU\nalum,1,30\nalum,2,14\nalum,3,6\nPAC,1,25\nPAC,2,10\nPAC,3,3\n"
	for _, c := range []struct {
		above, table string
		asks         bool
	}{
		{"Stock 10 g/L", columns, true},
		{"1 mL = 10 mg/L", columns, true},
		{"Stock 10 g/L", lines, true},
		{"Both stocks 10 g/L", columns, false},
		{"Alum stock 10 g/L\nPAC stock 5 g/L", columns, false},
		{"Stock 10 g/L\nPAC stock 5 g/L", columns, false},
		{"Stock 10 g/L", "Alum (mL),PAC (mg/L),NTU\n0,5,48\n1,5,30\n2,5,14\n", false},
	} {
		r := mustRead(t, "t.csv", c.above+"\nJar volume 1 L\n\n"+c.table, Options{})
		if asks := strings.Contains(cautionsOf(r), "strength-of-which"); asks != c.asks {
			t.Errorf("%s over %q: asks %v: %v", c.above, c.table, asks, r.Notes)
		}
	}
	r := mustRead(t, "t.csv", "Jar volume 1 L\n\n"+columns, Options{Stock: 10000})
	if !strings.Contains(cautionsOf(r), "strength-of-which") {
		t.Errorf("--stock for two chemicals: %v", r.Notes)
	}
}

// TestRawTwice: the raw water of a row or column and that of a line are one water, or it is said.
func TestRawTwice(t *testing.T) {
	jars := "Jar,Alum (mg/L),NTU\n"
	rows := "1,0,48\n2,10,30\n3,20,14\n"
	for _, c := range []struct{ text, want string }{
		{"Raw turbidity 52 NTU\n" + jars + "Raw,-,50\n" + rows, ""},
		{"Raw turbidity 60 NTU\n" + jars + "Raw,-,50\n" + rows, "facts-disagree"},
		{"Raw turbidity 80 NTU\n" + jars + "Raw,-,50\n" + rows, "facts-disagree"},
		{"Raw turbidity 65 NTU\nJar,Alum (mg/L),Raw NTU,NTU\n1,0,66,48\n2,10,64,30\n3,20,65,14\n", ""},
		{"Raw turbidity 65 NTU\nJar,Alum (mg/L),Raw NTU,NTU\n1,0,31,20\n2,10,30,14\n3,20,30,9\n", "facts-disagree"},
	} {
		if got := cautionsOf(mustRead(t, "t.csv", c.text, Options{})); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

// TestAxesThatNameThemselves: pH set points across are a grid of dose and pH; readings of pH,
// numbered or timed, are none.
func TestAxesThatNameThemselves(t *testing.T) {
	grid := mustRead(t, "t.csv", "Final turbidity (NTU)\nAlum (mg/L),pH 6.0,pH 6.5,pH 7.0\n10,22,20,25\n20,14,11,16\n30,9,6,11\n", Options{})
	if cautionsOf(grid) != "" || len(grid.Series) != 1 || len(grid.Series[0].Jars) != 9 {
		t.Fatalf("a pH grid: %v", grid.Notes)
	}
	j := grid.Series[0].Jars[4] // 20 mg/L at pH 6.5
	if float64(j.Doses[0].Concentration) != 20 || j.Settings["ph_target"] != 6.5 || j.Readings.Of(jartest.Turbidity).Value != 11 {
		t.Errorf("jar 5: %+v", j)
	}
	two := mustRead(t, "t.csv", "Settled turbidity (NTU)\npH,10 mg/L alum,20 mg/L alum,30 mg/L alum\n6,22,12,9\n6.5,14,7,5\n7,9,4,3\n", Options{})
	if cautionsOf(two) != "" || len(two.Series) != 1 || len(two.Series[0].Jars) != 9 || !equal(doses(two.Series[0], 0)[3:6], []float64{20, 20, 20}) {
		t.Errorf("doses across: %v", two.Notes)
	}
	for _, heads := range [...]string{"pH 1,pH 2,pH 3", "pH 5,pH 15,pH 30"} {
		r := mustRead(t, "t.csv", "Alum (mg/L),"+heads+",NTU\n10,7.1,7.0,7.1,22\n20,7.0,6.9,6.9,14\n30,6.8,6.8,6.7,9\n", Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 3 || r.Series[0].Jars[0].Readings.Of(jartest.Turbidity).Value != 22 {
			t.Errorf("%s: %v", heads, r.Notes)
		}
	}
}
