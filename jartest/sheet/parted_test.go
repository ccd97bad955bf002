package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest"
)

// What stands beside the jars in small: the reading of jar 2, or the dose, by hand, and the
// code of what must be said; "" for nothing.
func TestSmallThingsBesideJars(t *testing.T) {
	const rows = "1,0,50\n2,10,12\n3,20,5\n"
	for _, c := range []struct {
		name, sheet string
		dose, ntu   float64
		says        string
	}{
		{"two dates of one name", "Date,3 March 2026\nDate,5 March 2026\n\nJar,Alum (mg/L),NTU\n" + rows, 10, 12, "facts-disagree"},
		{"sampled and tested", "Sampled on,3 March 2026\nTested on,5 March 2026\n\nJar,Alum (mg/L),NTU\n" + rows, 10, 12, ""},
		{"the same date twice", "Date,3 March 2026\nDate,3 March 2026\n\nJar,Alum (mg/L),NTU\n" + rows, 10, 12, ""},
		{"a stock of which", "Stock 10 g/L\nJar volume 1 L\n\nJar,Alum (mL),NTU\n" + rows + "\nJar,PAC (mL),NTU\n" + rows, 10 * 10, 12, "strength-of-which"},
		{"stocks of both", "Both stocks 10 g/L\nJar volume 1 L\n\nJar,Alum (mL),NTU\n" + rows + "\nJar,PAC (mL),NTU\n" + rows, 10 * 10, 12, ""},
		{"two tables of one chemical", "Stock 10 g/L\nJar volume 1 L\n\nJar,Alum (mL),NTU\n" + rows + "\nJar,Alum (mL),NTU\n1,0,51\n2,15,11\n3,25,4\n", 10 * 10, 12, ""},
		{"a dilution beside a stock", "Stock 10 g/L\nDilution 1:10\nJar volume 1 L\n\nJar,Alum stock (mL),NTU\n" + rows, 10 * 10, 12, "dilution-and-strength"},
		{"a limit far from its repeat", "Jar,Alum (mg/L),NTU 1,NTU 2\n1,0,50,48\n2,10,9,<0.5\n3,20,5,5.2\n", 10, 9, "limit-among-repeats"},
		{"a limit above its repeat", "Jar,Alum (mg/L),NTU 1,NTU 2\n1,0,900,>1000\n2,10,9,9\n3,20,5,5.2\n", 10, 9, ""},
		{"a limit far above its repeat", "Jar,Alum (mg/L),NTU 1,NTU 2\n1,0,90,>1000\n2,10,9,9\n3,20,5,5.2\n", 10, 9, "limit-among-repeats"},
		{"limits alone", "Jar,Alum (mg/L),NTU 1,NTU 2\n1,0,50,48\n2,10,9,9\n3,20,<0.5,<0.5\n", 10, 9, ""},
		{"a stranger that is no product", "Jar,Dose zork (mg/L),NTU\n" + rows, 10, 12, "heading-words"},
		{"three facts in a line", "\"1 drop = 0.05 mL, stock 10 g/L, jar volume 1 L\"\n\nJar,Alum (drops),NTU\n" + rows, 10 * 0.05 * 10, 12, ""},
		{"three facts with and", "\"Stock 10 g/L, drop = 0.05 mL and jars 2 L\"\n\nJar,Alum (drops),NTU\n" + rows, 10 * 0.05 * 10 / 2, 12, ""},
		{"Arabic fractions", "Jar,Alum (mg/L),NTU\n1,0,٥٠٫٥\n2,10,١٢٫٢٥\n3,20,٥\n", 10, 12.25, ""},
		{"Arabic thousands", "Jar,Alum (mg/L),NTU\n1,0,١٬٢٥٠\n2,10,١٢\n3,20,٥\n", 10, 12, ""},
	} {
		r := mustRead(t, "s.csv", c.sheet, Options{})
		if len(r.Series) == 0 || len(r.Series[0].Jars) != 3 {
			t.Errorf("%s: %d series, %v", c.name, len(r.Series), r.Notes)
			continue
		}
		j := r.Series[0].Jars[1]
		if dose, ntu := float64(j.Doses[0].Concentration), j.Readings.Of(jartest.Turbidity).Value; !equal([]float64{dose, ntu}, []float64{c.dose, c.ntu}) {
			t.Errorf("%s: %g mg/L, %g NTU, want %g, %g", c.name, dose, ntu, c.dose, c.ntu)
		}
		if got := loud(r); c.says == "" && len(got) > 0 || c.says != "" && !slices.Contains(got, c.says) {
			t.Errorf("%s: says %v, want %q", c.name, got, c.says)
		}
	}
}

// Rows that were not looked through are spoken of, and a long table that holds them is not.
func TestRowsBeyond(t *testing.T) {
	far := strings.Repeat("\n", 2100)
	for _, c := range []struct {
		sheet string
		says  bool
	}{
		{"Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n" + far + "Jar,1,2,3\nAlum (mg/L),0,10,20\nNTU,50,12,5\n", true},
		{"Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n" + far + "Jar,Alum (mg/L),NTU\n1,0,51\n2,11,13\n3,21,6\n", false},
		{"Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n" + far, false},
	} {
		r := mustRead(t, "s.csv", c.sheet, Options{})
		if got := loud(r); slices.Contains(got, "rows-not-searched") != c.says {
			t.Errorf("%.40q: says %v, want it said: %v", c.sheet, got, c.says)
		}
	}
}

// A line on another page of the book that changes the numbers speaks; what else stands there
// is prose.
func TestPagesOfNotes(t *testing.T) {
	for line, speaks := range map[string]bool{
		"All doses on sheet Test are twice the true ones": true, "Samples were filtered before reading": true, "Subtract 0.6 NTU from every reading": true,
		"Las dosis reales son la mitad": true, "Alle Messwerte halbiert": true, "Doses are in mL of stock": true,
		"The jar test finds the dose that clears the water": false, "Stir quickly for a minute, then slowly for twenty": false, "Contact the office for the key": false, "Version of March": false,
	} {
		f := excelize.NewFile()
		for i, row := range [][]any{{"Jar", "Alum (mg/L)", "NTU"}, {1, 0, 50}, {2, 10, 12}, {3, 20, 5}} {
			_ = f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row)
		}
		_, _ = f.NewSheet("Notes")
		_ = f.SetCellStr("Notes", "A1", "Read me")
		_ = f.SetCellStr("Notes", "A2", line)
		b, err := f.WriteToBuffer()
		if err != nil {
			t.Fatal(err)
		}
		r := mustRead(t, "s.xlsx", b.String(), Options{})
		if said := quotes(r, clip(line)); said != speaks || !speaks && len(loud(r)) > 0 {
			t.Errorf("%q: says %v, want it quoted: %v", line, loud(r), speaks)
		}
	}
}

// A remark that works on the number of its jar, or gives it a time of its own, puts the jar
// in doubt; a note on what was seen does not.
func TestRemarksOnNumbers(t *testing.T) {
	for remark, doubts := range map[string]bool{
		"x2": true, "+5": true, "/2": true, "2倍": true, "2x": true, "times 2": true, "60 min": true, "after 60 min": true, "nach 60 min": true, "60分": true, "-2": true, "3 veces": true,
		"flocs after 2 min": false, "clear": false, "ok": false, "+": false, "++": false, "read twice": false, "large flocs": false, "good": false, "claro": false, "-": false,
	} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,Remark\n1,0,50,\n2,10,12,"+remark+"\n3,20,5,clear\n4,30,4,\n", Options{})
		if said := strings.Contains(strings.Join(loud(r), " "), "remark"); said != doubts {
			t.Errorf("%q: says %v, want doubt: %v", remark, loud(r), doubts)
		}
	}
}
