package sheet

import (
	"slices"
	"strings"
	"testing"
)

// jarsWith makes a sheet of jars with these doses; the readings fall unevenly.
func jarsWith(doses ...string) string {
	read := each("52 | 31 | 14.2 | 8.1 | 5.3 | 4.4 | 4.1 | 3.9 | 3.8 | 3.6")
	s := "Jar,Alum (mg/L),NTU\n"
	for i, d := range doses {
		s += string(rune('1'+i)) + "," + d + "," + read[i] + "\n"
	}
	return s
}

// A dose a power of ten off asks what it was meant to be, where the others step evenly or one
// after the other; ladders that are wide, or whose last jar is an overdose, are quiet.
func TestADoseAPowerOfTenOffAsks(t *testing.T) {
	for doses, meant := range map[string]string{
		"0 | 10 | 2000 | 30 | 40": "20", "0 | 10 | 20 | 300 | 40 | 50": "30", "0 | 15 | 30 | 45 | 600": "60", "0 | 2 | 4 | 0.6 | 8": "6", "0 | 5 | 10 | 200 | 40 | 60": "20", "400 | 30 | 20 | 10": "40",
		"40 | 10 | 0.2 | 30 | 0": "20", "0 | 10 | 200 | 30 | 0 | 10 | 20 | 30": "20", "50 | 40 | 3 | 20 | 10 | 0": "30", "1 | 2 | 3 | 4000 | 5": "4",
		"0 | 10 | 20 | 30 | 40": "", "0 | 1 | 10 | 100 | 1000": "", "0 | 1 | 2 | 5 | 10 | 20 | 50 | 100": "", "0 | 5 | 10 | 20 | 40 | 80": "", "0 | 0.1 | 1 | 10 | 100": "", "1000 | 100 | 10 | 1 | 0": "",
		"0 | 10 | 20 | 30 | 40 | 100": "", "0 | 3 | 10 | 30 | 100 | 300": "", "20 | 5 | 10 | 40 | 0 | 30": "", "0 | 10 | 20 | 30 | 40 | 20": "", "0 | 0 | 20 | 20 | 40 | 40": "", "5 | 50 | 10 | 100 | 20 | 200": "", "0 | 25 | 250": "", "0 | 5 | 10 | 20 | 30 | 40": "", "0 | 3 | 10 | 20 | 40": "", "5": "", "5 | 50": "", "30 | 10 | 2 | 40 | 0": "20",
	} {
		r := mustRead(t, "s.csv", jarsWith(each(doses)...), Options{})
		said := ""
		for _, n := range r.Notes {
			if n.Code == "odd-dose" {
				said += n.Message + "; " + n.Remedy
			}
		}
		if (meant == "") != (said == "") || meant != "" && !strings.Contains(said, "did you mean "+meant+"?") {
			t.Errorf("%s: %q, want %q asked about", doses, said, meant)
		}
	}
}

// Headings of dose and turbidity that stand over each other's numbers are asked about.
func TestSwappedHeadingsAsk(t *testing.T) {
	for sheet, asks := range map[string]bool{
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,41.3,0\n2,22.7,5\n3,9.4,10\n4,4.6,15\n5,3.1,20\n":          true,
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,22.7,5\n2,9.4,10\n3,4.6,15\n4,3.1,20\n5,3.3,25\n":          true,
		"Jar,Turbidity (NTU),Alum (mg/L)\n1,0,41.3\n2,5,22.7\n3,10,9.4\n4,15,4.6\n5,20,3.1\n":          true,
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,0,41.3\n2,5,22.7\n3,10,9.4\n4,15,4.6\n5,20,3.1\n":          false,
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,0,50\n2,10,40\n3,20,30\n4,30,20\n5,50,10\n":                false,
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,5,50\n2,10,40\n3,20,30\n4,40,20\n5,60,10\n":                false,
		"Jar,Dose (mg/L),Turbidity (NTU)\n1,41.3,0.4\n2,22.7,1.5\n3,9.4,4.1\n4,4.6,11.5\n5,3.1,24.2\n": false,
	} {
		r := mustRead(t, "s.csv", "Alum\n"+sheet, Options{})
		if slices.Contains(loud(r), "headings-swapped") != asks {
			t.Errorf("%s: says %v, want it asked: %v", sheet, loud(r), asks)
		}
	}
}

// A stock per mille is a tenth of a per cent.
func TestStockPerMille(t *testing.T) {
	for sheet, want := range map[string]float64{ // 4 mL of a stock of 3 g/L in 1 L: 12 mg/L
		"Jar,mL of 3 ‰ alum in 1 L,NTU\n1,0,50\n2,2,12\n3,4,5\n":                                 12,
		"Alum stock 3 ‰\nJar volume 1 L\n\nJar,Stock (mL),NTU\n1,0,50\n2,2,12\n3,4,5\n":          12,
		"Stock strength,3 ‰\nJar volume,1 L\n\nJar,Alum stock (mL),NTU\n1,0,50\n2,2,12\n3,4,5\n": 12,
		"Jar,mL of 3 % alum in 1 L,NTU\n1,0,50\n2,2,12\n3,4,5\n":                                 120,
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 3 || float64(r.Series[0].Jars[2].Doses[0].Concentration) != want {
			t.Errorf("%s: %+v, want %g mg/L, says %v", sheet, r.Series, want, loud(r))
		}
	}
}

// The volume of a jar in the measures of shops: a quart is 0.946352946 L, an imperial one 1.1365225 L.
func TestJarsInQuartsAndPints(t *testing.T) {
	for jar, litres := range map[string]float64{
		"1 US quart": 0.946352946, "1 quart": 0.946352946, "2 US quarts": 1.892705892, "1 imperial quart": 1.1365225, "1 US pint": 0.473176473, "1 imperial pint": 0.56826125,
		"1 UK pint": 0.56826125, "1 gallon": 3.785411784, "1 US gallon": 3.785411784, "1 imperial gallon": 4.54609, "32 fl oz": 0.946352946, "32 US fl oz": 0.946352946, "40 imp fl oz": 1.1365225, "2 US cups": 0.473176473,
	} {
		for _, line := range []string{"Jars: " + jar, "Jar volume: " + jar, quoted("Jars of " + jar)} {
			r := mustRead(t, "s.csv", line+"\n\nJar,mL of 10 g/L alum stock,NTU\n1,0,50\n2,2,12\n3,4,5\n", Options{})
			if len(r.Series) != 1 || !within(float64(r.Series[0].JarVolume), litres, 1e-9) {
				t.Errorf("%s: %+v, want jars of %g L, says %v", line, r.Series, litres, loud(r))
			}
		}
	}
}

// A measure that has no fixed weight asks by its name, and so do parts by volume without a
// density.
func TestDosesByMeasureAsk(t *testing.T) {
	for head, want := range map[string]string{
		"teaspoons per 10 gal": "teaspoons", "spoons per jar": "weigh", "scoops": "weigh", "pinches": "pinch", "capfuls per 5 L": "capful", "ppm v/v": "density", "mL/m3": "density", "tbsp per 100 L": "tbsp",
	} {
		r := mustRead(t, "s.csv", "Alum\n\nJar,"+head+",NTU\n1,0,50\n2,1,12\n3,2,5\n4,3,4\n", Options{})
		said := ""
		for _, n := range r.Notes {
			said += n.Message + " " + n.Remedy + "\n"
		}
		if !strings.Contains(said, want) || len(r.Series) > 0 {
			t.Errorf("%s: %q, want %q named and no jars", head, said, want)
		}
	}
}

// Rows of statistics between the repeats are no jars, in whatever column they are named.
func TestStatisticsBetweenRepeats(t *testing.T) {
	for _, names := range [][]string{each("Mean | SD | RSD %"), each("Avg | SD | CV"), each("SD | Mean | n"), each("Average | Stdev | SE"), each("SD | SD | SD")} {
		s := "Dose (mg/L),Replicate,Turbidity (NTU)\n"
		for _, d := range each("0 | 10 | 20") {
			s += d + ",1,41\n" + d + ",2,43\n" + d + ",3,42\n," + names[0] + ",42\n," + names[1] + ",1\n," + names[2] + ",2.4\n"
		}
		r := mustRead(t, "s.csv", "Alum\n\n"+s, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 9 {
			t.Errorf("%v: %+v, want 9 jars", names, r.Series)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,pH\n1,0,50,7\n2,10,sd,7\n3,20,5,7\n4,30,4,7\n", Options{})
	if len(r.Series[0].Jars) != 4 {
		t.Error("a reading without data takes its jar away")
	}
}

// What a meter shows of a standard bears on every reading; that it was calibrated, or shows
// what the standard holds, does not.
func TestReadingsOfStandards(t *testing.T) {
	for line, speaks := range map[string]bool{
		"Turbidimeter reads 0.6 on the 0 standard": true, "turbidimeter read 0.7 NTU high on the standard that day": true, "The meter was 0.3 NTU low on the 10 NTU standard": true,
		"20 NTU standard read 23.1": true, "Formazin standard of 4.00 read 4.9": true, "Standard 20 NTU: 22": true, "Trübungsmesser zeigte 0,6 NTU zu viel am Standard": true,
		"Der Standard von 10 NTU ergab 12": true, "El patrón de 10 NTU marcó 12": true, "L'étalon de 10 NTU affichait 12": true, "O padrão de 10 NTU marcou 12": true, "标准液10 NTU读数为12": true,
		"Meter calibrated with 0.02, 20 and 100 NTU standards": false, "Check standard 5.0 NTU read 5.0": false, "20 NTU standard read 20.1": false, "Standards 0.02, 10 and 1000 NTU all read correctly": false,
		"Standard 20 NTU read 25, not ok": true, "Meter not correct: standard 20 NTU read 23": true, "Standard 10 NTU read 10.1, no complaint": false,
		"Standard reads OK": false, "Standard Methods 2130 B": false, "Discharge standard 5 NTU": false, "Standard jar test procedure, rev 2": false,
	} {
		for _, file := range []string{quoted(line) + "\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", "Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n" + quoted(line) + "\n"} {
			if r := mustRead(t, "s.csv", file, Options{}); (len(loud(r)) > 0) != speaks {
				t.Errorf("%s: says %v, want it spoken of: %v", line, loud(r), speaks)
			}
		}
	}
}
