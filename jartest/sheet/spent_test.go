package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// cautioned reports a caution or an error at one of the cells.
func cautioned(r Result, cells ...string) bool {
	return slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Level >= note.Caution && slices.Contains(cells, n.Place.Cell) })
}

const plainJars = "Jar,Alum (mg/L),NTU\n1,0,41\n2,10,24\n3,20,12\n4,30,6\n"

// TestEachVolumeOfStock: each mL is one mL, in whatever language, and a volume beside a strength that no
// fact has used leaves the strength open. One mL in 1 L that is 10 mg/L there is a stock of 10 g/L.
func TestEachVolumeOfStock(t *testing.T) {
	const jars = "\nJar 1 L\nJar,Stock (mL),NTU\n1,0,41\n2,1,24\n3,2,12\n4,3,6\n"
	for _, said := range []string{"Alum stock: each mL adds 10 mg/L", "Stock: each mL = 10 mg/L in the jar", "Alum stock: every mL is 10 mg/L", "Alum stock: each mL brings 10 mg/L",
		"Alum stock: cada mL aporta 10 mg/L", "Alum stock: chaque mL apporte 10 mg/L", "Alum stock: jeder ml ergibt 10 mg/L", "Alum stock: ogni mL = 10 mg/L", "Alum stock: elke mL geeft 10 mg/L",
		"Alum stock: każdy mL = 10 mg/L", "Alum stock: her mL = 10 mg/L", "Alum stock: mỗi mL = 10 mg/L", "Alum stock: tiap mL = 10 mg/L", "Alum stock: 1 mL = 10 mg/L"} {
		r := mustRead(t, "s.csv", said+jars, Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[2].Doses[0].Concentration != 20 || cautioned(r, "A1") {
			t.Errorf("%s: %s%v", said, answer(r), r.Notes)
		}
	}
	for _, said := range []string{"Alum stock: mL zorbs 10 mg/L", "Alum stock 10 mg/L when 1 mL is added", "Alum stock, mL 10 g/L", "Stock 10 mg g/L, alum"} {
		r := mustRead(t, "s.csv", said+jars, Options{})
		if len(r.Series) > 0 || !cautioned(r, "A1") {
			t.Errorf("%s: %s%v", said, answer(r), r.Notes)
		}
	}
}

// TestStockDilutedAfterwards: 10 g in 1 L, diluted tenfold, is 1 g/L.
func TestStockDilutedAfterwards(t *testing.T) {
	for _, said := range []string{"Stock alum 10 g made up to 1 L then diluted 1:10", "Alum stock: 10 g in 1 L, diluted 1:10"} {
		r := mustRead(t, "s.csv", said+"\nJar 1 L\nJar,Stock (mL),NTU\n1,0,41\n2,1,24\n3,2,12\n4,3,6\n", Options{})
		if len(r.Series) != 1 || r.Series[0].Jars[2].Doses[0].Concentration != 2 {
			t.Errorf("%q: %s%v", said, answer(r), r.Notes)
		}
	}
}

// TestUnitsSpentInFacts: a unit, a factor or a bound that the reading of the raw water has no use for is quoted, and where
// it can change the number, that is not taken.
func TestUnitsSpentInFacts(t *testing.T) {
	for fact, taken := range map[string]bool{
		"Raw turbidity,ln 41 NTU": false, "% Raw turbidity,41 NTU": false, "Raw turbidity,4.1 ×10 NTU": false, "Raw turbidity limit,41 NTU": false,
		"Raw turbidity 41 max NTU,": false, "Raw turbidity 41 NTU per 2 L,": false, "Raw turbidity,half 41 NTU": false,
		"Raw turbidity,41 ppb NTU": true, "Raw turbidity,122 m3 NTU": true, "Raw cfu turbidity,41 NTU": true, "Raw turbidity 41 NTU as Al,": true, "Raw turbidity,41 NTU kg/ha": true,
		"Raw turbidity 36 kg/ha NTU,": true, "Raw mmol turbidity,41 NTU": true,
	} {
		r := mustRead(t, "s.csv", fact+"\n"+plainJars, Options{})
		if !cautioned(r, "A1", "B1") {
			t.Errorf("%q: nothing is said: %v", fact, r.Notes)
			continue
		}
		if _, ok := r.Series[0].Raw[jartest.Turbidity]; ok && !taken {
			t.Errorf("%q: %s", fact, answer(r))
		}
	}
	for _, fact := range []string{"Raw turbidity (NTU),41", "Raw turbidity,41 NTU", "Raw: 41 NTU; 12 °C; pH 7.4,", "Raw turbidity NTU,41 NTU", "Raw turbidity at 8:30,41 NTU", "Raw alkalinity,80 mg/L as CaCO3"} {
		if r := mustRead(t, "s.csv", fact+"\n"+plainJars, Options{}); r.Notes.Worst() >= note.Caution || len(r.Series[0].Raw) == 0 {
			t.Errorf("%q: %s%v", fact, answer(r), r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "\"Raw water: turbidity 41 NTU, pH 7.6 tap water\"\n"+plainJars, Options{})
	if !cautioned(r, "A1") {
		t.Errorf("tap water behind a number: %v", r.Notes)
	}
	for _, target := range []string{"Target ×5", "Target times 5", "Raw turbidity limit"} {
		if r := mustRead(t, "s.csv", target+",5 NTU\n"+plainJars, Options{}); len(r.Series[0].Targets) > 0 || !cautioned(r, "A1") {
			t.Errorf("%q: %s%v", target, answer(r), r.Notes)
		}
	}
}

// TestUnitsSpentInHeadings: a unit that the numbers of a column have no use for is asked about.
func TestUnitsSpentInHeadings(t *testing.T) {
	for _, head := range []string{"Alum stock (mL m3)", "Alum stock (mL) ppb", "Alum stock (mL) ppm", "Alum stock (mL mg/L)", "Volume stock g (mL)", "Alum stock (mL) %", "Alum drops %"} {
		r := mustRead(t, "s.csv", "Stock 10 g/L\n1 drop = 0.05 mL\nJar 1 L\nJar,"+head+",NTU\n1,0,41\n2,1,24\n3,2,12\n4,3,6\n", Options{})
		if len(r.Series) > 0 || !slices.ContainsFunc(r.Notes, func(n note.Note) bool {
			return n.Level == note.Error && n.Place.Cell == "B4" && strings.Contains(n.Message, head)
		}) {
			t.Errorf("%q: %s%v", head, answer(r), r.Notes)
		}
	}
	for _, head := range []string{"NTU as Al", "Turbidity (NTU) per week", "Turbidity (NTU) m3", "NTU ppb"} {
		if r := mustRead(t, "s.csv", strings.Replace(plainJars, "NTU", head, 1), Options{}); !cautioned(r, "C1") {
			t.Errorf("%q: %v", head, r.Notes)
		}
	}
	for _, head := range []string{"Jar NTU", "°C Jar", "Jar ×10", "/100 Jar", "Jar (except jar 3 spilled)", "Jar zorble", "Jar ?", "ln Jar", "Jar filtered", "Jar as Al", "Jar max", "Jar per week", "Jar %"} {
		if r := mustRead(t, "s.csv", strings.Replace(plainJars, "Jar", head, 1), Options{}); !cautioned(r, "A1") || len(r.Series) == 1 && len(r.Series[0].Jars[0].Readings) != 1 {
			t.Errorf("%q: %s%v", head, answer(r), r.Notes)
		}
	}
	for _, head := range []string{"Jar", "Jar no.", "Jar number", "Beaker #", "Jar / sample", "Test jar", "Glas Nr.", "Vaso n.º", "Jar (1 L)", "Jar position"} {
		if r := mustRead(t, "s.csv", strings.Replace(plainJars, "Jar", head, 1), Options{}); r.Notes.Worst() >= note.Caution {
			t.Errorf("%q: %v", head, r.Notes)
		}
	}
}

// TestFactorsInLabels: the number of a jar has no factor and no unit.
func TestFactorsInLabels(t *testing.T) {
	for _, label := range []string{"3 ×10", "3 ÷10", "3 /1000", "x2 3", "3 g", "mL 3"} {
		if r := mustRead(t, "s.csv", strings.Replace(plainJars, "\n3,", "\n"+label+",", 1), Options{}); !cautioned(r, "A4") {
			t.Errorf("%q: %v", label, r.Notes)
		}
	}
	for _, sheet := range []string{strings.NewReplacer("\n1,", "\n1 e,", "\n2,", "\n1 f,", "\n3,", "\n1 g,", "\n4,", "\n1 h,").Replace(plainJars), strings.NewReplacer("\n1,", "\n4/1,", "\n2,", "\n4/2,", "\n3,", "\n4/3,", "\n4,", "\n4/4,").Replace(plainJars)} {
		if r := mustRead(t, "s.csv", sheet, Options{}); r.Notes.Worst() >= note.Caution || len(r.Series[0].Jars) != 4 {
			t.Errorf("%s: %v", sheet, r.Notes)
		}
	}
}

// TestDoseOfAllJars: a dose named for all jars is that of each.
func TestDoseOfAllJars(t *testing.T) {
	for _, said := range []string{"All jars: 0.2 mg/L anionic polymer", "Polymer 0.2 mg/L in every jar", "Every jar: 0.2 mg/L polymer"} {
		r := mustRead(t, "s.csv", said+"\n"+strings.Replace(plainJars, "Alum", "Ferric chloride", 1), Options{})
		if len(r.Series[0].Chemicals) != 2 || r.Series[0].Jars[3].Doses[1].Concentration != 0.2 || r.Notes.Worst() >= note.Caution {
			t.Errorf("%q: %s%v", said, answer(r), r.Notes)
		}
	}
}
