package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

const plainSix = "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,36\n2,5,22\n3,10,12\n4,20,5.1\n5,30,2.4\n6,40,2.9\n"

// under gives a sheet with a line over six jars.
func under(line string) string { return `"` + line + `"` + "\n" + plainSix }

// TestTwoNumbersForOneReadingAsk: a second number for the raw water, with or without its unit, is asked
// about, and neither is taken; a number of something else is none.
func TestTwoNumbersForOneReadingAsk(t *testing.T) {
	begins := []string{"Intake %s NTU this morning", "Raw water %s NTU", "Raw turbidity %s NTU", "Rohwasser %s NTU", "Agua cruda %s NTU", "Eau brute %s NTU", "Água bruta %s NTU", "Råvatten %s NTU", "Raakavesi %s NTU"}
	ends := []string{", 44 after the rain", ", 44 nach dem Regen", ", 44 despues de la lluvia", ", 44 après la pluie", ", after the rain 44", " (44 after the rain)", ", 44 NTU after the rain", "; 44 this evening"}
	for _, begin := range begins {
		for _, end := range ends {
			line := fmt.Sprintf(begin, "36") + end
			r := mustRead(t, "s.csv", under(line), Options{})
			if _, taken := r.Series[0].Raw[jartest.Turbidity]; taken && !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Level >= note.Caution && n.Place.Cell == "A1" }) {
				t.Errorf("%q: one was taken and nothing said: %v", line, r.Notes)
			}
		}
		for _, end := range []string{"", ", pH 7.2", ", pH 7.2, 12 C", ", 3 Nov 2026", ", alkalinity 80 mg/L", ", jars 1 L"} {
			line := fmt.Sprintf(begin, "36") + end
			r := mustRead(t, "s.csv", under(line), Options{})
			if got := r.Series[0].Raw[jartest.Turbidity].Value; got != 36 {
				t.Errorf("%q: raw turbidity %v, want 36: %v", line, got, r.Notes)
			}
		}
	}
}

// TestOtherDaysAreNotToday: what was read on another day, or only expected, is not the raw water.
func TestOtherDaysAreNotToday(t *testing.T) {
	for _, line := range []string{
		"Last year raw was 60", "Last year raw was 60 NTU", "Raw turbidity last month: 60 NTU", "Raw used to be 60 NTU", "Last spring the raw water was 60 NTU", "Last year, 60 NTU in the raw water",
		"Letztes Jahr Rohwasser 60 NTU", "El año pasado agua cruda 60 NTU", "L'an dernier eau brute 60 NTU", "No ano passado água bruta 60 NTU", "Anno scorso acqua grezza 60 NTU", "Vorig jaar ruw water 60 NTU",
		"Förra året råvatten 60 NTU", "Viime vuonna raakavesi 60 NTU", "W zeszłym roku woda surowa 60 NTU", "В прошлом году исходная вода 60 NTU", "去年原水60 NTU", "昨年の原水 60 NTU", "작년 원수 60 NTU",
		"We expect 60 NTU raw", "Raw water 60 NTU expected", "Rohwasser voraussichtlich erwartet 60 NTU", "Raw turbidity (NTU) hoped for: 60", "Agua cruda estimada 60 NTU",
	} {
		r := mustRead(t, "s.csv", under(line), Options{})
		if raw, taken := r.Series[0].Raw[jartest.Turbidity]; taken {
			t.Errorf("%q: %v was taken", line, raw.Value)
		}
	}
	for _, cells := range []string{"Raw turbidity last year (NTU),60\n", "Last year raw turbidity,60\n", "Expected raw turbidity (NTU),60\n", "Trübung Rohwasser letztes Jahr (NTU),60\n"} {
		r := mustRead(t, "s.csv", cells+plainSix, Options{})
		if raw, taken := r.Series[0].Raw[jartest.Turbidity]; taken {
			t.Errorf("%q: %v was taken", cells, raw.Value)
		}
	}
}

// TestFieldAgainstTable: a reading of the raw water in a field and another in a row or a column are told.
func TestFieldAgainstTable(t *testing.T) {
	column := "Jar,Alum (mg/L),Raw turbidity (NTU),Turbidity (NTU)\n1,0,36,35\n2,5,36,22\n3,10,36,12\n4,20,36,5\n"
	row := "Jar,Alum (mg/L),Turbidity (NTU)\nraw,,36\n1,0,35\n2,5,22\n3,10,12\n4,20,5\n"
	for _, head := range []string{"Raw turbidity (NTU),%v\n", "Raw water %v NTU\n", "Raw water: %v NTU\n"} {
		for _, table := range []string{column, row} {
			for value, says := range map[float64]bool{36: false, 38: false, 45: true, 25: true, 360: true} {
				text := fmt.Sprintf(head, value) + table
				if got := strings.Contains(cautionsOf(mustRead(t, "s.csv", text, Options{})), "facts-disagree"); got != says {
					t.Errorf("said %v, want %v:\n%s", got, says, text)
				}
			}
		}
	}
	for value, says := range map[float64]bool{7.1: false, 7.3: false, 7.9: true} {
		text := fmt.Sprintf("Raw pH,%v\nJar,Alum (mg/L),Raw pH,Turbidity (NTU)\n1,0,7.1,35\n2,5,7.1,22\n3,10,7.1,12\n4,20,7.1,5\n", value)
		if got := strings.Contains(cautionsOf(mustRead(t, "s.csv", text, Options{})), "facts-disagree"); got != says {
			t.Errorf("said %v, want %v:\n%s", got, says, text)
		}
	}
}

// TestBestJarIsNoJar: a row that says which of the other jars was best is none; the best jar itself is one.
func TestBestJarIsNoJar(t *testing.T) {
	for _, best := range []string{"Optimum", "Best", "Chosen", "Optimo", "Optimal", "Selected"} {
		for _, sign := range []string{" = ", ": ", " is ", " -> ", " "} {
			for _, jar := range []string{"jar 5", "becher 5", "jarra 5", "beaker 5"} {
				label := best + sign + jar
				r := mustRead(t, "s.csv", plainSix+label+",40,2.1\n", Options{})
				if n := len(r.Series[0].Jars); n != 6 || !strings.Contains(cautionsOf(r), "row-not-a-jar") {
					t.Errorf("%q: %d jars: %v", label, n, r.Notes)
				}
			}
		}
		r := mustRead(t, "s.csv", strings.Replace(plainSix, "\n5,", "\nJar 5 ("+strings.ToLower(best)+"),", 1), Options{})
		if n := len(r.Series[0].Jars); n != 6 {
			t.Errorf("Jar 5 (%s): %d jars: %v", best, n, r.Notes)
		}
	}
}

// remarked gives six jars with a remark on the fourth.
func remarked(said string) string {
	return strings.Replace(strings.Replace(plainSix, "(NTU)\n", "(NTU),Remarks\n", 1), "4,20,5.1\n", "4,20,5.1,\""+said+"\"\n", 1)
}

// TestVoidMustBeMeant: a word that voids takes its jar out; denied, asked or part of another word it
// leaves the jar in, with a word.
func TestVoidMustBeMeant(t *testing.T) {
	for said, jars := range map[string]int{
		"ignore": 5, "discard": 5, "do not use": 5, "don't use": 5, "void": 5, "void - not stirred": 5, "outlier, ignore": 5, "not valid": 5, "verworfen": 5, "nicht verwenden": 5, "descartado": 5, "no usar": 5,
		"ne pas utiliser": 5, "invalide": 5, "non usare": 5, "не учитывать": 5, "作废": 5, "無効": 5, "무효": 5,

		"nothing to ignore here": 6, "do not discard": 6, "not an outlier": 6, "no outlier": 6, "not void": 6, "keep, do not ignore": 6, "discarded nothing": 6, "never to be discarded": 6, "nicht verwerfen, gut": 6,
		"kein Ausreisser": 6, "nicht ungultig": 6, "no descartar": 6, "nada que descartar": 6, "ne pas ecarter": 6, "não descartar": 6, "non scartare": 6, "niet negeren": 6, "nie pominac": 6, "не исключать": 6,
		"除外しない": 6, "outlier?": 6, "¿descartar?": 6, "is this an outlier": 6, "maybe discard": 6, "vielleicht verworfen": 6, "void space": 6, "void of flocs": 6,
	} {
		r := mustRead(t, "s.csv", remarked(said), Options{})
		if n := len(r.Series[0].Jars); n != jars || !quotes(r, said) {
			t.Errorf("%q: %d jars, want %d: %v", said, n, jars, r.Notes)
		}
	}
}

// TestWeighedIsNotDosed: what a laboratory weighs or draws is neither a chemical nor talked about.
func TestWeighedIsNotDosed(t *testing.T) {
	for _, head := range []string{"Filter tare (g)", "Titrant (mL)", "Titrant used (mL)", "Wet sludge (g)", "Wet sludge (mL)", "Sample taken (mL)", "Crucible (g)", "Filter + solids (g)", "Filter dry mass (mg)", "Dry weight (mg)",
		"Float collected (g)", "EDTA (mL)", "Tara (g)", "Probe entnommen (mL)", "Filterpapier leer (g)", "Muestra tomada (mL)", "Lodo húmedo (g)", "Boue humide (g)", "Titulante (mL)", "Тигель (г)"} {
		for _, dose := range []string{"Alum (mg/L)", "Alum stock (mL)"} {
			text := "Alum stock,10 g/L\nJar volume,1 L\nJar," + dose + "," + head + ",Turbidity (NTU)\n1,0,1.2,36\n2,1,1.3,22\n3,2,1.25,12\n4,3,1.31,5\n"
			r := mustRead(t, "s.csv", text, Options{})
			if n := len(r.Series[0].Chemicals); n != 1 || strings.Contains(cautionsOf(r), "chemical-unknown") {
				t.Errorf("%s beside %s: %d chemicals: %v", head, dose, n, r.Notes)
			}
		}
	}
}

// TestStockOfTwoColumns: a column with the strength of the stock of a chemical and one with its volumes
// give the dose: 2 mL of 10 g/L in 2 L are 10 mg/L.
func TestStockOfTwoColumns(t *testing.T) {
	for _, heads := range [][2]string{{"Alum stock (g/L)", "Stock added (mL)"}, {"Alum stock (g/L)", "Volume added (mL)"}, {"Stock strength alum (%)", "Stock added (mL)"}, {"Stock (g/L)", "Alum added (mL)"}} {
		strength := "10"
		if strings.Contains(heads[0], "%") {
			strength = "1"
		}
		text := "Jar volume,2 L\nJar," + heads[0] + "," + heads[1] + ",Turbidity (NTU)\n"
		for i, ntu := range []string{"36", "22", "12", "5"} {
			text += fmt.Sprintf("%d,%s,%d,%s\n", i+1, strength, 2*i, ntu)
		}
		r := mustRead(t, "s.csv", text, Options{})
		for i, j := range r.Series[0].Jars {
			if got := float64(j.Doses[0].Concentration); got != float64(10*i) {
				t.Errorf("%v: jar %d gets %v mg/L, want %d", heads, i+1, got, 10*i)
			}
		}
		if got := r.Series[0].Chemicals[0].Name; got != "alum" {
			t.Errorf("%v: the chemical is %s", heads, got)
		}
	}
}

// TestBasisOfTitlesAndColumns: a title over a grid or a table, and a column, say what doses count.
func TestBasisOfTitlesAndColumns(t *testing.T) {
	grid := "pH,10 mg/L,20 mg/L,30 mg/L\n6,12,5,3\n7,14,7,4\n8,20,12,9\n"
	table := "Jar,Ferric chloride (mg/L),Turbidity (NTU)\n1,0,36\n2,10,12\n3,20,6\n4,30,4\n"
	for text, want := range map[string]quantity.Basis{
		"\"pH x dose, turbidity NTU, ferric chloride as FeCl3\"\n" + grid:         "as FeCl3",
		"\"pH x Dosis, Trübung NTU, Eisenchlorid als FeCl3\"\n" + grid:            "as FeCl3",
		"\"pH x dose, turbidity NTU, alum as product\"\n" + grid:                  "as product",
		"Doses are as Fe\n\"pH x dose, ferric chloride, turbidity NTU\"\n" + grid: "as Fe",
		"Basis,as FeCl3\n\"pH x dose, ferric chloride, turbidity NTU\"\n" + grid:  "as FeCl3",
		"\"Turbidity NTU, ferric chloride as FeCl3\"\n" + table:                   "as FeCl3",
		"\"Jar test, ferric chloride as product\"\n" + table:                      "as product",
		"\"Jar test, ferric chloride 40 % as FeCl3\"\n" + table:                   quantity.NotStated, // of the product
		"\"Jar test, ferric chloride\"\n" + table:                                 quantity.NotStated,
	} {
		r := mustRead(t, "s.csv", text, Options{})
		if got := r.Series[0].Chemicals[0].Basis; got != want {
			t.Errorf("counts %s, want %s:\n%s%v", got, want, text, r.Notes)
		}
	}
	for _, head := range []string{"Basis", "Expressed", "Remarks", ""} {
		for _, said := range []string{"as FeCl3", "als FeCl3", "como FeCl3"} {
			text := "Jar,Ferric chloride (mg/L)," + head + ",Turbidity (NTU)\n1,0,,36\n2,10," + said + ",12\n3,20," + said + ",6\n4,30," + said + ",4\n"
			r := mustRead(t, "s.csv", text, Options{})
			if got := r.Series[0].Chemicals[0].Basis; got != "as FeCl3" || strings.Contains(cautionsOf(r), "remark") {
				t.Errorf("%q under %q: counts %s: %v", said, head, got, r.Notes)
			}
		}
	}
}

// TestUnknownWordsThatPartColumnsSpeak: columns of one reading told apart by words that nobody knows are
// waters of their own with a word; names are named without.
func TestUnknownWordsThatPartColumnsSpeak(t *testing.T) {
	for heads, says := range map[[2]string]bool{{"brelk", "wuggish"}: true, {"Larkmere", "Fernbeck"}: false} {
		text := fmt.Sprintf("Jar,Alum (mg/L),Turbidity %s (NTU),Turbidity %s (NTU)\n1,0,36,35\n2,5,36,22\n3,10,36,12\n4,20,36,5\n", heads[0], heads[1])
		if got := strings.Contains(cautionsOf(mustRead(t, "s.csv", text, Options{})), "heading-words"); got != says {
			t.Errorf("%v: said %v, want %v", heads, got, says)
		}
	}
}

// TestBeforeAndAfterInManyTongues: the column before treatment is the raw water, the one after the reading.
func TestBeforeAndAfterInManyTongues(t *testing.T) {
	for _, x := range [][2]string{{"før", "efter"}, {"før", "etter"}, {"före", "efter"}, {"fyrir", "eftir"}, {"ennen", "jälkeen"}, {"enne", "pärast"}, {"pirms", "pēc"}, {"prieš", "po"}, {"przed", "po"}, {"před", "po"}, {"pred", "po"},
		{"prije", "poslije"}, {"преди", "след"}, {"до", "после"}, {"πριν", "μετά"}, {"önce", "sonra"}, {"előtt", "után"}, {"înainte", "după"}, {"abans", "després"}, {"aurretik", "ondoren"}, {"전", "후"}, {"前", "后"}} {
		text := fmt.Sprintf("Jar,Alum (mg/L),Turbidity %s (NTU),Turbidity %s (NTU)\n1,0,36.5,35\n2,5,36.5,22\n3,10,36.5,12\n4,20,36.5,5\n", x[0], x[1])
		r := mustRead(t, "s.csv", text, Options{})
		last, _ := r.Series[0].Jars[3].Readings.Get(jartest.Turbidity)
		if raw := r.Series[0].Raw[jartest.Turbidity].Value; len(r.Series) != 1 || raw != 36.5 || last.Value != 5 {
			t.Errorf("%v: %d series, raw %v, last %v: %v", x, len(r.Series), raw, last.Value, r.Notes)
		}
	}
}

// TestStruckFactsAreNotUsed: a value, a name or a part of a sentence that is struck out states nothing.
func TestStruckFactsAreNotUsed(t *testing.T) {
	struck := func(f *excelize.File, sheet, cell string) {
		style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
		if err == nil {
			err = f.SetCellStyle(sheet, cell, cell, style)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	part := func(f *excelize.File, sheet, cell string) {
		if err := f.SetCellRichText(sheet, cell, []excelize.RichTextRun{{Text: "60 NTU", Font: &excelize.Font{Strike: true}}, {Text: " 36 NTU"}}); err != nil {
			t.Fatal(err)
		}
	}
	for name, mark := range map[string]func(*excelize.File){
		"the value":                   func(f *excelize.File) { struck(f, "Sheet1", "B1") },
		"the name":                    func(f *excelize.File) { struck(f, "Sheet1", "A1") },
		"a part of the value":         func(f *excelize.File) { part(f, "Sheet1", "B1") },
		"the value on another page":   func(f *excelize.File) { struck(f, "Info", "B1") },
		"a part on another page":      func(f *excelize.File) { part(f, "Info", "B1") },
		"a sentence right of a table": func(f *excelize.File) { struck(f, "Sheet1", "E4") },
	} {
		f := excelize.NewFile()
		if _, err := f.NewSheet("Info"); err != nil {
			t.Fatal(err)
		}
		page, rows := "Sheet1", [][]any{{}, {}, {"Jar", "Alum (mg/L)", "Turbidity (NTU)"}, {1, 0, 36}, {2, 10, 12}, {3, 20, 6}, {4, 30, 4}}
		switch {
		case strings.Contains(name, "another page"):
			page = "Info"
		case strings.Contains(name, "right of"):
			rows[3] = append(rows[3], "", "Raw water 60 NTU")
			page = ""
		}
		for i, row := range rows {
			if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
				t.Fatal(err)
			}
		}
		if page != "" {
			if err := f.SetSheetRow(page, "A1", &[]any{"Raw turbidity", "60 NTU"}); err != nil {
				t.Fatal(err)
			}
		}
		mark(f)
		buf, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		r, err := Read("b.xlsx", bytes.NewReader(buf.Bytes()), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if raw := r.Series[0].Raw[jartest.Turbidity]; raw.Value == 60 || !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "struck-out" }) {
			t.Errorf("%s: raw %v: %v", name, raw.Value, r.Notes)
		}
	}
}

// TestPhoneNotes: lines jotted on the spot, with numbers run into their units and jars run into their numbers.
func TestPhoneNotes(t *testing.T) {
	for text, doses := range map[string][]float64{
		"stock 10 g/l alum 1 L jars\nj1 0ml 38ntu\nj2 1ml 22ntu\nj3 2ml 12ntu\nj4 3ml 5ntu\n":                             {0, 10, 20, 30},
		"5 g alum in a litre, jars 2 litres\njar 1 0 ml 36 ntu\njar 2 2 ml 22 ntu\njar 3 4 ml 12 ntu\njar 4 8 ml 5 ntu\n": {0, 5, 10, 20},
		"alum\njar1 0ppm 38ntu\njar2 10ppm 22ntu\njar3 20ppm 12ntu\njar4 30ppm 5ntu\n":                                    {0, 10, 20, 30},
		"alum\nturbidity in NTU\n0 mg/l 38\n10 mg/l 22\n20 mg/l 12\n30 mg/l 5\n":                                          {0, 10, 20, 30},
		"five grams alum in half a litre, one-litre jars\nj1 0ml 38ntu\nj2 1ml 22ntu\nj3 2ml 12ntu\nj4 3ml 5ntu\n":        {0, 10, 20, 30},
		"1 % alum weight by volume, jars 500 ml\nj1 0ml 38ntu\nj2 1ml 22ntu\nj3 2ml 12ntu\nj4 3ml 5ntu\n":                 {0, 20, 40, 60},
	} {
		r, err := Read("notes.txt", strings.NewReader(text), Options{})
		if err != nil || len(r.Series) != 1 {
			t.Errorf("%s%v %v", text, err, r.Notes)
			continue
		}
		for i, j := range r.Series[0].Jars {
			read, _ := j.Readings.Get(jartest.Turbidity)
			if got := float64(j.Doses[0].Concentration); got != doses[i] || read.Value != []float64{38, 22, 12, 5}[i] && i > 0 {
				t.Errorf("jar %d: %v mg/L, want %v, read %v:\n%s", i+1, got, doses[i], read.Value, text)
			}
		}
	}
	r, err := Read("notes.txt", strings.NewReader("0 mg/l 38\n10 mg/l 22\n20 mg/l 12\n30 mg/l 5\n"), Options{})
	if err != nil || r.Notes.Worst() < note.Error {
		t.Errorf("what nothing names was read: %v %v", err, r.Notes)
	}
}

// TestOnePercentIsToldWhole: what a caution says of a number is the number.
func TestOnePercentIsToldWhole(t *testing.T) {
	for _, line := range []string{"Stock 10 % Al2O3", "Stock 12.5 % Al2O3", "alum stock, 8.3 % as Al2O3"} {
		number := line[strings.IndexAny(line, "0123456789"):strings.Index(line, " %")]
		r := mustReadAny(t, `"`+line+`"`+"\nJar,Alum stock (mL),Turbidity (NTU)\n1,0,36\n2,1,12\n3,2,6\n4,3,4\n", Options{})
		if !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "fact-words" && strings.Contains(n.Message, number+" %") }) {
			t.Errorf("%s: %v", line, r.Notes)
		}
	}
}

// TestFactsRightOfATableAreHeard: a fact that was taken is not called not understood.
func TestFactsRightOfATableAreHeard(t *testing.T) {
	for _, fact := range []string{"Raw turbidity,36 NTU", "Raw pH,7.4", "Raw 36 NTU,", "Jar volume,1 L", "Raw water: 36 NTU,"} {
		text := strings.Replace(strings.Replace(plainSix, "(NTU)\n", "(NTU),,,\n", 1), "2,5,22\n", "2,5,22,,"+fact+"\n", 1)
		if got := cautionsOf(mustRead(t, "s.csv", text, Options{})); got != "" {
			t.Errorf("%s: %s", fact, got)
		}
	}
}

// TestSmallSignsOfFacts: a clock parts no name from its value, a raised digit is none of the number, a name
// behind a colon has its number beside it, and grams in a litre, or in every mL, are a strength.
func TestSmallSignsOfFacts(t *testing.T) {
	for line, raw := range map[string]float64{"\"Raw water, 8:30, 36 NTU\"": 36, "Raw pH 7.6²": 7.6, "Before: raw turbidity (NTU),36": 36} {
		key := jartest.Turbidity
		if strings.Contains(line, "pH") {
			key = jartest.PH
		}
		r := mustRead(t, "s.csv", line+"\n\n"+plainSix, Options{})
		if got, ok := r.Series[0].Raw[key]; ok && got.Value != raw || !ok && r.Notes.Worst() < note.Caution {
			t.Errorf("%s: raw %v, want %v: %v", line, got.Value, raw, r.Notes)
		}
	}
	for line, strength := range map[string]float64{"5 g alum in a litre": 5, "10 mg in every mL of stock": 10, "Stock ten grams in one litre": 10, "Stock 5 g alum in half a litre": 10} {
		r := mustRead(t, "s.csv", line+"\nJars 1 L\nJar,Alum stock (mL),Turbidity (NTU)\n1,0,36\n2,1,12\n3,2,6\n4,3,4\n", Options{})
		if got := float64(r.Series[0].Jars[1].Doses[0].Concentration); got != strength {
			t.Errorf("%s: 1 mL in 1 L gives %v mg/L, want %v: %v", line, got, strength, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Ferric strength chloride (kg/10 L),Polymer (mg/L),Turbidity (NTU)\n1,0.02,0.05,36\n2,0.04,0.1,12\n3,0.06,0.15,6\n4,0.08,0.2,4\n", Options{})
	if !strings.Contains(cautionsOf(r), "strength-unused") {
		t.Errorf("a strength of a chemical that is not dosed: %v", r.Notes)
	}
}
