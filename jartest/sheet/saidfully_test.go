package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// quietly reads a text that a person reads without a question, and fails where something speaks.
func quietly(t *testing.T, text string) jartest.Series {
	t.Helper()
	r := mustRead(t, "s.txt", text, Options{})
	if len(r.Series) != 1 || len(loud(r)) > 0 {
		t.Fatalf("%q: %d series, %v", text, len(r.Series), r.Notes)
	}
	return r.Series[0]
}

// doseOf gives the first dose of a jar in mg/L.
func doseOf(s jartest.Series, jar int) float64 { return float64(s.Jars[jar].Doses[0].Concentration) }

// Several facts on one line, the vessels by whatever they are called: 2 drops of 0.05 mL of 10 g/L in
// 0.5 L are 2 * 0.05 * 10 / 0.5 = 2 mg/L.
func TestDropsAndCupsOnOneLine(t *testing.T) {
	for _, vessels := range []string{"500 ml cups", "500 ml glasses", "500 ml jam jars", "500 ml tumblers"} {
		s := quietly(t, "alum 1%, 1 drop = 0.05 ml, "+vessels+"\n2 drops 64 NTU\n4 drops 31 NTU\n6 drops 11 NTU\n8 drops 5.2 NTU\n")
		if doseOf(s, 0) != 2 || doseOf(s, 3) != 8 {
			t.Errorf("%s: %v", vessels, s.Jars)
		}
	}
}

// A temperature among facts that strokes part costs none of them.
func TestFactsPartedByStrokes(t *testing.T) {
	raw, says := rawSaid(t, "Raw water: 46 NTU / pH 7.9 / alk 110 / 16 C / colour 40")
	for key, want := range map[jartest.Key]float64{jartest.Turbidity: 46, jartest.PH: 7.9, "alkalinity": 110, jartest.TemperatureKey: 16, jartest.Colour: 40} {
		if x := raw[key]; x.Value != want {
			t.Errorf("raw %s is %v, want %g", key, x, want)
		}
	}
	if len(says) > 0 {
		t.Error(says)
	}
}

// What can be thousands or a fraction is what the jars allow, and said; where both fit, it is asked about.
func TestRawThousandsByTheJars(t *testing.T) {
	raw, says := rawSaid(t, "Raw turbidity: 1,200 NTU")
	if raw[jartest.Turbidity].Value != 1200 || !slices.Equal(says, []string{"raw-by-jars"}) {
		t.Errorf("raw %v; says %v", raw, says)
	}
	r := mustRead(t, "s.csv", "\"Raw turbidity: 9,200 NTU\"\n\nJar;Alum (mg/L);NTU\n1;10;7\n2;20;5\n3;30;4\n4;40;3\n", Options{})
	if len(r.Series[0].Raw) > 0 || !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "raw-unclear" }) {
		t.Errorf("raw %v; says %v", r.Series[0].Raw, r.Notes)
	}
}

// Ordinary wordings of a stock say nothing more in any language. From memory of the languages.
func TestWordingsOfStock(t *testing.T) {
	for _, head := range []string{
		"Volume de solution mère (mL)", "Volume di soluzione madre (mL)", "Volumen de solución madre (mL)", "Volume de solução mãe (mL)", "Volumen der Stammlösung (mL)",
		"Volym stamlösning (mL)", "Objętość roztworu podstawowego (mL)", "Objem zásobního roztoku (mL)", "Объем маточного раствора (мл)", "Volume larutan stok (mL)",
		"Thể tích dung dịch mẹ (mL)", "Stok çözelti hacmi (mL)", "Volum de soluție stoc (mL)", "Kantaliuoksen tilavuus (mL)",
	} {
		s := quietly(t, "Stock alum 10 g/L\nJars 1 L\n\nJar;"+head+";NTU\n1;1;64\n2;2;31\n3;3;11\n4;4;5.2\n")
		if doseOf(s, 0) != 10 || doseOf(s, 3) != 40 {
			t.Errorf("%s: %v", head, s.Jars)
		}
	}
	for _, said := range []string{
		"1 ml auf 1 l Probe = 10 mg/l", "1 mL dans 1 L = 10 mg/L", "1 mL en 1 L = 10 mg/L", "1 mL in 1 L = 10 mg/L", "1 mL på 1 L = 10 mg/L", "1 мл на 1 л = 10 мг/л",
	} {
		if s := quietly(t, said+"\n\nJar;Alum (mL);NTU\n1;1;64\n2;2;31\n3;3;11\n4;4;5.2\n"); doseOf(s, 0) != 10 {
			t.Errorf("%s: %v", said, s.Jars)
		}
	}
}

// A jar that was left out was not kept: it is said once.
func TestLeftOutIsNotKept(t *testing.T) {
	r := readSheetText(t, "Jar,Alum (mg/L),NTU\n1,10,64\n2,20,31\n3,30,11\n4,40,5.2\n20 NTU std,,19.8\n")
	if says := loud(r); !slices.Equal(says, []string{"no-dose"}) {
		t.Error(says)
	}
	r = readSheetText(t, "Jar,Alum (mg/L),NTU\n1,10,64\n2,20,31\n3,30,11\n4,40,5.2\n5 second go,50,4\n")
	if says := loud(r); !slices.Equal(says, []string{"label-doubt"}) {
		t.Error(says)
	}
}

// The only reading being a limit, or worked out of others, the refusal says so, and names the column.
func TestTheOnlyReadingWasSetAside(t *testing.T) {
	for head, as := range map[string]string{
		"Trübungsgrenzwert (NTU)": "a limit or a target", "Turbidity limit (NTU)": "a limit or a target", "浊度最大值(NTU)": "a figure worked out of readings", "Raw turbidity (NTU)": "the raw water",
	} {
		r := readSheetText(t, "Jar,Alum (mg/L),"+head+"\n1,10,5\n2,20,5\n3,30,5\n4,40,5\n")
		want := `column "` + head + `" is taken for ` + as
		if len(r.Series) > 0 || !slices.ContainsFunc(r.Notes, func(n note.Note) bool {
			return n.Level == note.Error && strings.Contains(n.Message, want) && n.Place.Cell == "C1"
		}) {
			t.Errorf("%s: %v", head, r.Notes)
		}
	}
}

// Jotted lines name the chemical, or tell in words what a jar got and read.
func TestJottedInWords(t *testing.T) {
	for _, text := range []string{
		"Jar 1 alum 10 mg/L = 22 ntu\nJar 2 alum 20 mg/L = 12 ntu\nJar 3 alum 30 mg/L = 6 ntu\nJar 4 alum 40 mg/L = 3 ntu\n",
		"Alum\nThe first jar got 10 mg/l and read 22 NTU.\nThe second jar got 20 mg/l and read 12 NTU.\nThe third got 30 mg/l and read 6 NTU.\nThe fourth got 40 mg/l and read 3 NTU.\n",
		"Alum\njar 1 got 10 mg/l and read 22 NTU\njar 2 got 20 mg/l and read 12 NTU\njar 3 got 30 mg/l and read 6 NTU\njar 4 got 40 mg/l and read 3 NTU\n",
		"Alaun\nerstes Glas bekam 10 mg/l und zeigte 22 NTU\nzweites Glas bekam 20 mg/l und zeigte 12 NTU\ndrittes Glas bekam 30 mg/l und zeigte 6 NTU\nviertes Glas bekam 40 mg/l und zeigte 3 NTU\n",
	} {
		s := quietly(t, text)
		if s.Chemicals[0].Name != "alum" || doseOf(s, 0) != 10 || doseOf(s, 3) != 40 || s.Jars[3].Readings[0].Value != 3 {
			t.Errorf("%q: %v %v", text, s.Chemicals, s.Jars)
		}
	}
	r := mustRead(t, "s.txt", "Alum\njar 1 got twice 10 mg/l and read 22 NTU\njar 2 got twice 20 mg/l and read 12 NTU\njar 3 got twice 30 mg/l and read 6 NTU\njar 4 got twice 40 mg/l and read 3 NTU\n", Options{})
	if len(loud(r)) == 0 {
		t.Errorf("nothing is said of doses that were given twice: %v", r.Series)
	}
}

// A stock of another chemical is named where it was not used.
func TestStockOfAnother(t *testing.T) {
	r := readSheetText(t, "Polymer stock 1 g/L\nJars 1 L\n\nJar,Alum (mL),NTU\n1,1,64\n2,2,31\n3,3,11\n4,4,5.2\n")
	if err := r.Notes.Err(); err == nil || !strings.Contains(err.Error(), `"Polymer stock 1 g/L" is of polymer`) {
		t.Error(r.Notes)
	}
}
