package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// alumTable is a plain table of six jars with lines above and below it.
func alumTable(above, below string) string {
	return above + "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,40\n2,10,21\n3,20,8.5\n4,30,4\n5,40,2.7\n6,50,2.9\n" + below
}

// readSheetText reads a sheet of text.
func readSheetText(t *testing.T, text string) Result {
	t.Helper()
	return readSheetTextWith(t, text, Options{})
}

// readSheetTextWith reads it with options.
func readSheetTextWith(t *testing.T, text string, o Options) Result {
	t.Helper()
	r, err := Read("s.csv", strings.NewReader(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// speaksWith reports a caution or an error of a code at a cell.
func speaksWith(r Result, code, cell string) bool {
	return slices.ContainsFunc(r.Notes, func(n note.Note) bool {
		return n.Level >= note.Caution && n.Code == code && n.Place.Cell == cell
	})
}

// The name of a reading of the raw water is of this test's water where each of its words is: bounds, means over a year, another
// tank and words that nobody knows speak, wherever in the name they stand.
func TestWordsInTheNameOfARawReadingSpeak(t *testing.T) {
	for _, name := range []string{"Max raw turbidity (NTU)", "Annual mean raw turbidity (NTU)", "Maximum allowed raw turbidity (NTU)", "Tank 3 raw turbidity (NTU)",
		"Settled raw turbidity (NTU)", "zorp Raw turbidity (NTU)", "Raw turbidity zorp (NTU)"} {
		if r := readSheetText(t, alumTable(name+",90\n", "")); !speaksWith(r, "fact-words", "A1") {
			t.Errorf("%q: %v", name, r.Notes)
		}
	}
	for _, above := range []string{"Raw turbidity (NTU),90\n", "Jar test of tank 3\nTank 3 raw turbidity (NTU),90\n", "Turbidity of raw water (NTU),90\n"} {
		r := readSheetText(t, alumTable(above, ""))
		if len(r.Series) != 1 || r.Series[0].Raw[jartest.Turbidity].Value != 90 || r.Notes.Worst() >= note.Caution {
			t.Errorf("%q: %v", above, r.Notes)
		}
	}
}

// A row of the raw water that says something else as well is no jar without chemical.
func TestRawWaterWithAnotherWordIsNoControl(t *testing.T) {
	for _, label := range []string{"Raw water diluted", "Raw water filtered", "Raw water pond 9", "Influent (dil.)"} {
		r := readSheetText(t, alumTable("", label+",,44\n"))
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 6 || !speaksWith(r, "raw-and-more", "A8") {
			t.Errorf("%q: %v", label, r.Notes)
		}
	}
}

// With jars across, the line of the jars' numbers may stand anywhere under the title.
func TestJarsAcrossInAnyOrderOfLines(t *testing.T) {
	lines := []string{"Jar,1,2,3,4", "Alum (mg/L),10,20,30,40", "pH,7.4,7.3,7.2,7.1", "Turbidity (NTU),21,8.5,4,2.7"}
	for i := range lines {
		for k := range lines {
			order := slices.Clone(lines)
			order[i], order[k] = order[k], order[i]
			r := readSheetText(t, "\"Jar test, jars across\",,,,\n"+strings.Join(order, "\n")+"\n")
			if len(r.Series) != 1 || len(r.Series[0].Jars) != 4 || r.Series[0].Jars[3].Label != "4" || r.Notes.Worst() >= note.Caution {
				t.Fatalf("%v: %v", order, r.Notes)
			}
			for n, j := range r.Series[0].Jars {
				ntu, ph := j.Readings.Of(jartest.Turbidity).Value, j.Readings.Of(jartest.PH).Value
				if fmt.Sprint(float64(j.Doses[0].Concentration), ntu, ph) != fmt.Sprint(10*float64(n+1), []float64{21, 8.5, 4, 2.7}[n], []float64{7.4, 7.3, 7.2, 7.1}[n]) {
					t.Errorf("%v: jar %d is %v, %v NTU, pH %v", order, n, j.Doses, ntu, ph)
				}
			}
		}
	}
}

// A salt of alumina is a salt, and says nothing of what its doses count.
func TestSaltsOfAluminaAreNoBasis(t *testing.T) {
	for _, title := range []string{"Jar test with sulphate of alumina", "sulfate of alumina", "Alumina sulfate trial", "Sulphate of alumina jar test"} {
		r := readSheetText(t, title+"\nJar,Dose (mg/L),Turbidity (NTU)\n1,0,44\n2,6,20\n3,12,8\n4,18,3.3\n")
		if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != quantity.NotStated || r.Series[0].Chemicals[0].Name != "alum" {
			t.Errorf("%q: %v", title, r.Series)
		}
	}
	if r := readSheetText(t, "Alum jar test\nJar,Alum (mg/L as alumina),Turbidity (NTU)\n1,0,44\n2,6,20\n3,12,8\n"); r.Series[0].Chemicals[0].Basis.String() != "as Al2O3" {
		t.Errorf("as alumina is %s", r.Series[0].Chemicals[0].Basis)
	}
}

// The unit over a column of tubes tells a reading of them from the number of a jar.
func TestTubesInCentimetresAreNoJars(t *testing.T) {
	for _, vessel := range []string{"Bucket", "Tank", "Vessel", "Jar"} {
		r := readSheetText(t, vessel+",Alum (mg/L),NTU,Tube (cm)\nA,0,44,5\nB,6,20,9\nC,12,8,30\nD,18,3.3,50\n")
		j := r.Series[0].Jars[1]
		if j.Label != "B" || j.Readings.Of("tube_cm").Value != 9 {
			t.Errorf("%s: jar %q, %v", vessel, j.Label, j.Readings)
		}
	}
}

// Grains go with gallons; with other large volumes of water "gr" can be grams, and asks.
func TestGrainsOrGramsAsk(t *testing.T) {
	for unit, asks := range map[string]bool{"gr/gal": false, "gr/1000 gal": false, "gr/L": false, "gr/Mgal": true, "gr/acre-ft": true} {
		r := readSheetText(t, "Jar,Alum ("+unit+"),Turbidity (NTU)\n1,1,40\n2,2,21\n3,3,8.5\n")
		if got := speaksWith(r, "unit-not-understood", "B1"); got != asks {
			t.Errorf("%s: asks %v, %v", unit, got, r.Notes)
		}
	}
}

// A last line "Mean" under the names of tests is no test.
func TestMeanUnderTestsIsNoTest(t *testing.T) {
	text := "Test,Jar,Alum (mg/L),Turbidity (NTU)\n"
	for k, test := range []string{"Monday", "Tuesday"} {
		for i := range 4 {
			text += fmt.Sprintf("%s,%d,%d,%d\n", test, i+1, 10*i, 40-9*i+k)
		}
	}
	if r := readSheetText(t, text+"Mean,2.5,15,26.5\n"); len(r.Series) != 2 || len(r.Series[0].Jars) != 4 || len(r.Series[1].Jars) != 4 {
		t.Errorf("%d series, %v", len(r.Series), r.Notes)
	}
}

// What a sheet says of what its doses count, and takes back, is not lost without a word.
func TestBasisTakenBackSpeaks(t *testing.T) {
	if r := readSheetText(t, alumTable("Doses are as product. (old)\n", "")); !speaksWith(r, "basis-not-taken", "A1") {
		t.Errorf("%v", r.Notes)
	}
}

// What a person reads: a unit column with its basis, numbered units, no alum in words, a basis after "по".
func TestReadableSheets(t *testing.T) {
	for name, c := range map[string]struct {
		text, basis string
		jars        int
		reading     float64 // of turbidity in the second jar
	}{
		"unit and basis in a column": {"Jar,Coagulant,Dose,Dose unit,Turbidity,Unit\n1,alum,0,mg/L as Al,40,NTU\n2,alum,1,mg/L as Al,26,NTU\n3,alum,2,mg/L as Al,11,NTU\n", "as Al", 3, 26},
		"numbers against the unit":   {"Jar,PACl mg/L,NTU1,NTU2,NTU3\n1,0,44,45.5,43\n2,6,20,19.5,20.5\n3,12,8,8.4,7.9\n", "not stated", 3, 20},
		"no alum":                    {"notes.txt\nPond 7 jar test\nalum. raw water 74 NTU\nJar 1: no alum, 70 NTU\nJar 2: 10 mg/L, 41 NTU\nJar 3: 20 mg/L, 17 NTU\nJar 4: 30 mg/L, 6 NTU\n", "not stated", 4, 41},
		"counted after по":           {"Стакан;Сульфат алюминия (по Al2O3), мг/л;Мутность, ЕМФ\n1;2;15,1\n2;4;7,7\n3;6;3,2\n", "as Al2O3", 3, 7.7},
		"unfiltered":                 {"Jar,Alum (mg/L),Turbidity unfiltered (NTU),Turbidity filtered (NTU)\n1,0,40,0.9\n2,10,21,0.5\n3,20,8.5,0.3\n", "not stated", 3, 21},
		"suspended solids in Czech":  {"Kádinka;Síran železitý (mg/l);Zákal (ZF);NL (mg/l)\n1;0;35;52\n2;15;20,5;31\n3;30;8,8;14\n", "not stated", 3, 20.5},
	} {
		file, text := "s.csv", c.text
		if notes, ok := strings.CutPrefix(text, "notes.txt\n"); ok {
			file, text = "notes.txt", notes
		}
		r, err := Read(file, strings.NewReader(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Series) != 1 || len(r.Series[0].Jars) != c.jars || r.Series[0].Chemicals[0].Basis.String() != c.basis || r.Series[0].Jars[1].Readings.Of(jartest.Turbidity).Value != c.reading {
			t.Errorf("%s: %+v, %v", name, r.Series, r.Notes)
		}
	}
}

// Targets stand in sentences, with words for their bounds.
func TestTargetsInWords(t *testing.T) {
	for line, want := range map[string]string{
		"Target: settled turbidity under 2 NTU":            "settled_turbidity <= 2 NTU",
		"Goal: settled turbidity below 3 NTU":              "settled_turbidity <= 3 NTU",
		"Target: turbidity at most 5 NTU":                  "turbidity <= 5 NTU",
		"Ziel: Trübung höchstens 5 NTU":                    "turbidity <= 5 NTU",
		"Target: 90 % removal of turbidity":                "turbidity removal >= 90 %",
		"We must get below five NTU":                       "turbidity <= 5 NTU",
		"Target: turbidity at least 5 NTU lower than raw":  "",
		"Settled water must not be used below 5 NTU today": "",
	} {
		r := readSheetText(t, alumTable("Raw turbidity (NTU),44\n"+line+"\n\n", ""))
		got := ""
		for _, x := range r.Series[0].Targets {
			got += x.String()
		}
		if got != want {
			t.Errorf("%q: %q, want %q; %v", line, got, want, r.Notes)
		}
	}
}

// Numbers of photos and papers, and who checked a sheet when, bear on nothing.
func TestPapersAndFootersAreQuiet(t *testing.T) {
	for _, text := range []string{
		"Jar,Alum (mg/L),Turbidity (NTU),Photo no.\n1,0,40,231\n2,10,21,232\n3,20,8.5,233\n", "Jar,Alum (mg/L),Turbidity (NTU),Lab no.\n1,0,40,231\n2,10,21,232\n3,20,8.5,233\n",
		alumTable("", "Checked,14.05.2026\n"),
	} {
		if r := readSheetText(t, text); len(r.Series) != 1 || r.Notes.Worst() >= note.Caution {
			t.Errorf("%s: %v", text, r.Notes)
		}
	}
}

// A word of a correction that is no unit is named, also where the heading keeps its chemical; behind a heading without one it is the
// chemical's own name.
func TestCorrectionsUnitIsHeard(t *testing.T) {
	for meaning, asks := range map[string]bool{"dose furlongs": true, "dose alum furlongs": true, "dose": false, "dose mg/L": false, "dose alum mg/L as Al": false} {
		r := readSheetTextWith(t, "Jar,Alum (g/L),Turbidity (NTU)\n1,0,40\n2,10,21\n3,20,8.5\n4,30,4\n", Options{Columns: []Override{{Header: "Alum (g/L)", Meaning: meaning}}})
		if got := speaksWith(r, "unit-not-understood", "B1"); got != asks {
			t.Errorf("%s: asks %v, %v", meaning, got, r.Notes)
		}
	}
	r := readSheetTextWith(t, "Jar,Drum 4,Turbidity (NTU)\n1,0,40\n2,10,21\n3,20,8.5\n4,30,4\n", Options{Columns: []Override{{Header: "Drum 4", Meaning: "dose Claritas mg/L"}}})
	if speaksWith(r, "unit-not-understood", "B1") || len(r.Series) != 1 {
		t.Errorf("a name of its own: %v", r.Notes)
	}
}
