package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// readHeadings reads a test of five jars with these headings over its doses and readings.
func readHeadings(t *testing.T, above, dose, reading string) Result {
	t.Helper()
	rows := above + "\n\nJar;" + dose + ";" + reading + "\n"
	for i, r := range [...]string{"40", "22", "9", "3.1", "2.2"} {
		rows += fmt.Sprintf("%d;%d;%s\n", i+1, 10*i, r)
	}
	res, err := Read("t.csv", strings.NewReader(rows), Options{})
	if err != nil {
		t.Fatalf("%s, %s: %v", dose, reading, err)
	}
	return res
}

func codesAt(l note.List, level note.Level) (out []string) {
	for _, n := range l {
		if n.Level == level {
			out = append(out, n.Code)
		}
	}
	return out
}

// What a heading says beyond what its column can use is quoted, or refused where it
// changes the scale; what belongs there is taken in silence.
func TestHeadingsUnderstoodInPlace(t *testing.T) {
	const stock = "Alum stock 10 g/L. Jars of 1 L"
	for _, c := range []struct {
		above, dose, reading string
		dose20               float64 // mg/L of the third jar; NaN where none may stand
		caution, fault       string
	}{
		{"", "Alum (mg/L)", "Turbidity (NTU)", 20, "", ""},
		{"", "Actual alum dose (mg/L)", "NTU after settling 20 min", 20, "", ""},
		{"", "Alum product (mg/L)", "Turbidity (NTU) meter max 1000", 20, "", ""},
		{"", "Alum dose in each jar (mg/L)", "Filtered turbidity (NTU), 0.45 um", 20, "filtered-reading", ""},
		{"", "Plant alum (mg/L)", "NTU", 20, "heading-words", ""},
		{"", "Alum before (mg/L)", "NTU", 20, "heading-words", ""},
		{"", "Alum mg/L?", "NTU", 20, "heading-words", ""},
		{"", "PACl (mg/L of 10 % solution)", "NTU", math.NaN(), "", "unit-not-understood"},
		{"", "PACl 10 % (mg/L)", "NTU", 20, "heading-words", ""},
		{"", "Alum in sludge (mg/L)", "NTU", 20, "heading-words", ""},
		{"", "Alum (mg/L)", "Plant turbidity (NTU)", 20, "heading-words", ""},
		{"", "Alum (mg/L)", "NTU %", 20, "heading-words", ""},
		{"Alum test", "Dose (mg/L zq)", "NTU", 20, "heading-words", ""},
		{"", "Alum (mg/L) / 2", "NTU", math.NaN(), "", "factor-in-heading"},
		{"", "Alum (units of 10 mg/L)", "NTU", math.NaN(), "", "factor-in-heading"},
		{"", "Alum (0.1 mg/L)", "NTU", math.NaN(), "", "factor-in-heading"},
		{"", "Alum (mg/L) x2", "NTU", math.NaN(), "", "factor-in-heading"},
		{"", "Alum (mg/L)", "Turbidity × 100 (NTU)", 20, "", "factor-in-heading"},
		{stock, "mL of stock", "NTU", 200, "", ""},
		{stock, "mL of stock per 10 L", "NTU", 20, "", ""},
		{stock, "mL of stock per m3", "NTU", 0.2, "", ""},
		{"Alum stock 10 g/L. Jars of 2 L", "mL stock in 2 L", "NTU", 100, "", ""},
		{stock, "mL stock in 2 L", "NTU", 100, "facts-disagree", ""},
		{stock, "mL of stock per minute", "NTU", math.NaN(), "", "dose-unit"},
		{stock, "half-strength stock (mL)", "NTU", 200, "heading-words", ""},
	} {
		res := readHeadings(t, c.above, c.dose, c.reading)
		name := c.dose + " | " + c.reading
		if got := strings.Join(codesAt(res.Notes, note.Caution), " "); got != c.caution {
			t.Errorf("%s: cautions %q, want %q", name, got, c.caution)
		}
		if got := codesAt(res.Notes, note.Error); strings.Join(got[:min(len(got), 1)], "") != c.fault {
			t.Errorf("%s: errors %q, want %q", name, got, c.fault)
		}
		switch {
		case math.IsNaN(c.dose20):
			if len(res.Series) > 0 {
				t.Errorf("%s: read although its doses cannot be known", name)
			}
		case len(res.Series) != 1 || float64(res.Series[0].Jars[2].Doses[0].Concentration) != c.dose20:
			t.Errorf("%s: want a dose of %g in the third jar, got %+v", name, c.dose20, res.Series)
		}
	}
}

// A share in the heading of a dose by weight makes it one of product, whatever the
// share is of.
func TestStrengthInHeading(t *testing.T) {
	res := readHeadings(t, "", "Alum 8 % Al2O3 (mg/L)", "NTU")
	if got := res.Series[0].Chemicals[0].Basis; got != "as product" {
		t.Errorf("basis %q", got)
	}
}

// A salt named with its crystal water is the basis, in formula or in words.
func TestHydrateInHeading(t *testing.T) {
	for heading, want := range map[string]quantity.Basis{
		"FeCl3·6H2O (mg/L)": quantity.AsFeCl3x6, "Ferric chloride hexahydrate (mg/L)": quantity.AsFeCl3x6, "FeSO4·7H2O (mg/L)": quantity.AsFeSO4x7,
		"Al2(SO4)3·18H2O (mg/L)": quantity.AsAlum18, "Al2(SO4)3·14H2O (mg/L)": quantity.AsAlum14, "Alum 14-hydrate dose [mg/L]": quantity.AsAlum14, "alum as alum 14-hydrate (mg/L)": quantity.AsAlum14,
		"Alum (mg/L)": quantity.NotStated, "Al2(SO4)3·16H2O (mg/L)": quantity.NotStated, // not known, and said
	} {
		res := readHeadings(t, "", heading, "NTU")
		if got := res.Series[0].Chemicals[0].Basis; got != want {
			t.Errorf("%s: basis %q, want %q", heading, got, want)
		}
		if said := len(codesAt(res.Notes, note.Caution)) > 0; said != strings.Contains(heading, "16H2O") {
			t.Errorf("%s: %v", heading, res.Notes)
		}
	}
}

// A sentence on what doses count is the basis of the columns that can count so; where a
// heading says otherwise it counts, and that is said.
func TestBasisInSentence(t *testing.T) {
	for _, c := range []struct {
		line, heading, says string
		want                quantity.Basis
	}{
		{"All doses as Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3}, {"Doses expressed as product", "Alum (mg/L)", "", quantity.AsProduct},
		{"Dosis als Al", "Alum (mg/L)", "", quantity.AsAl}, {"Dosen berechnet als Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3},
		{"Doses exprimées en Al", "Alum (mg/L)", "", quantity.AsAl}, {"Dosis expresada como producto", "Alum (mg/L)", "", quantity.AsProduct},
		{"Dawki jako Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3}, {"Doses en mg/L de produit commercial", "Alum (mg/L)", "", quantity.AsProduct},
		{"All doses in mg/L as dry alum", "Alum (mg/L)", "", quantity.AsAlum14}, {"Doses as listed", "Alum (mg/L)", "line-not-understood", quantity.NotStated},
		{"All doses as Al", "Lime (mg/L)", "basis-of-other", quantity.NotStated}, {"All doses as Al", "Alum (mg/L as Al)", "", quantity.AsAl},
		{"剂量以Al计", "Alum (mg/L)", "", quantity.AsAl}, {"注入率はAl2O3換算", "Alum (mg/L)", "", quantity.AsAl2O3}, {"주입량은 Al2O3 기준", "Alum (mg/L)", "", quantity.AsAl2O3},
		{"기준: Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3}, {"Dozlar Al2O3 cinsinden", "Alum (mg/L)", "", quantity.AsAl2O3}, {"الجرعات محسوبة على أساس Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3},
		{"Дозы по Al2O3", "Alum (mg/L)", "", quantity.AsAl2O3}, {"Doses as Fe", "Alum (mg/L)", "basis-of-other", quantity.NotStated}, {"Doses as CaO", "Alum (mg/L)", "basis-of-other", quantity.NotStated},
		{"Dosis como Al2O3", "FeCl3 (mg/L)", "basis-of-other", quantity.NotStated}, {"", "Alum (mg/L as Fe)", "basis-of-other", quantity.NotStated}, {"", "Ferric chloride (mg/L as Al)", "basis-of-other", quantity.NotStated},
		{"Doses as FeCl3", "FeCl3 (mg/L)", "", quantity.AsFeCl3}, {"Doses as Fe", "Ferric sulfate (mg/L)", "", quantity.AsFe},
		{"All doses as Al", "Alum (mg/L as Al2O3)", "basis-twice", quantity.AsAl2O3}, {"Doses as Al are ten times too high", "Alum (mg/L)", "line-not-understood", quantity.AsAl},
	} {
		res := readHeadings(t, c.line, c.heading, "NTU")
		if got := res.Series[0].Chemicals[0].Basis; got != c.want {
			t.Errorf("%s over %s: basis %q, want %q", c.line, c.heading, got, c.want)
		}
		if got := strings.Join(codesAt(res.Notes, note.Caution), " "); got != c.says {
			t.Errorf("%s over %s: says %q, want %q", c.line, c.heading, got, c.says)
		}
	}
}

// A dose as it was meant is the dose where no other stands; one that was replaced is not.
func TestDoseAsMeant(t *testing.T) {
	for heading, want := range map[string]float64{"Nominal alum dose (mg/L)": 20, "Alum dose planned (mg/L)": 20, "Superseded alum dose (mg/L)": 0} {
		res := readHeadings(t, "", heading, "NTU")
		got := 0.0
		if len(res.Series) == 1 {
			got = float64(res.Series[0].Jars[2].Doses[0].Concentration)
		}
		if cautions := codesAt(res.Notes, note.Caution); got != want || want > 0 && len(cautions) != 1 {
			t.Errorf("%s: dose %g, want %g; says %v", heading, got, want, cautions)
		}
	}
	res, err := Read("t.csv", strings.NewReader("Jar,Nominal alum (mg/L),Alum (mg/L),NTU\n1,10,9,30\n2,20,18,15\n3,30,27,6\n"), Options{})
	if err != nil || len(res.Series) != 1 || len(res.Series[0].Jars[0].Doses) != 1 || res.Series[0].Jars[0].Doses[0].Concentration != 9 {
		t.Errorf("the dose as it was stands beside that meant: %+v, %v", res, err)
	}
}

// What is left of a metal counts as what its unit says. Shares by hand from standard
// atomic weights: Al 26.982, Fe 55.845, O 15.999, Cl 35.45.
func TestResidualAs(t *testing.T) {
	for _, c := range []struct {
		heading string
		key     jartest.Key
		want    float64 // of 9
	}{
		{"Residual Al (mg/L as Al)", jartest.ResidualAl, 9},
		{"Residual Al (mg/L as Al2O3)", jartest.ResidualAl, 9 * 53.964 / 101.961},
		{"Residual Al (mmol/L)", jartest.ResidualAl, 9 * 26.982},
		{"Residual Fe (mg/L as Fe2O3)", jartest.ResidualFe, 9 * 111.69 / 159.687},
		{"Residual Fe (mg/L FeCl3)", jartest.ResidualFe, 9 * 55.845 / 162.195},
	} {
		res := readHeadings(t, "", "Alum (mg/L)", c.heading)
		if got := res.Series[0].Jars[2].Readings.Of(c.key).Value; math.Abs(got-c.want) > 1e-6*c.want {
			t.Errorf("%s: %g, want %g", c.heading, got, c.want)
		}
	}
	res := readHeadings(t, "", "Alum (mg/L)", "Residual Al (mg/L as SO4)")
	if len(codesAt(res.Notes, note.Error)) == 0 {
		t.Errorf("aluminium as sulfate was read: %+v", res.Series)
	}
}

// Two columns of doses of one chemical are a question, never a pair of chemicals.
func TestDosedTwice(t *testing.T) {
	for _, c := range []struct {
		table string
		asks  bool
	}{
		{"Jar,Alum (mg/L),Alum second dose (mg/L),NTU\n1,10,5,30\n2,20,5,15\n3,30,5,6\n", true},
		{"Jar,Alum (mg/L),Dose given (mg/L),NTU\n1,10,8,30\n2,20,5,15\n3,30,33,6\n", true},
		{"Jar,Alum (mg/L),Polymer A (mg/L),Polymer B (mg/L),NTU\n1,10,0.1,0.2,30\n2,20,0.1,0.3,15\n3,30,0.2,0.1,6\n", false},
		{"Alum test\n\nJar,Dose (mg/L),Polymer (mg/L),NTU\n1,10,0.1,30\n2,20,0.1,15\n3,30,0.2,6\n", false},
	} {
		res, err := Read("t.csv", strings.NewReader(c.table), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(strings.Join(codesAt(res.Notes, note.Error), " "), "dose-twofold"); got != c.asks {
			t.Errorf("%q: asks %v, want %v: %+v", c.table, got, c.asks, res.Notes)
		}
	}
}

// A column of units beside a reading counts row by row; two readings in one cell are
// no repeats of one.
func TestUnitsByRowAndPairs(t *testing.T) {
	res, err := Read("t.csv", strings.NewReader("Jar,Alum (mg/L),Turbidity,Unit\n1,10,30,NTU\n2,20,15,FAU\n3,30,6,NTU\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := codesAt(res.Notes, note.Error); len(got) != 1 || got[0] != "wrong-unit" {
		t.Errorf("FAU among NTU: %v", res.Notes)
	}
	res, err = Read("t.csv", strings.NewReader("Jar,Alum (mg/L),NTU,pH / temp\n1,10,30,7.4 / 18\n2,20,15,7.2 / 18\n3,30,6,7.0 / 18\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := codesAt(res.Notes, note.Error); len(got) != 1 || got[0] != "heading-twofold" {
		t.Errorf("two readings in a cell: %v", res.Notes)
	}
	if _, ok := res.Series[0].Jars[0].Readings.Get(jartest.TemperatureKey); ok {
		t.Error("a temperature was made of pH and temperature")
	}
}
