package sheet

import (
	"bytes"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"jarwright/jartest/note"
)

// readBook reads a workbook of one sheet: its cells, and directives as those of the layouts.
func readBook(t *testing.T, cells string, do ...string) Result {
	t.Helper()
	book := excelize.NewFile()
	fillSheet(t, book, "Sheet1", cells)
	for _, line := range do {
		direct(t, book, line)
	}
	buf, err := book.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	r, err := Read("s.xlsx", bytes.NewReader(buf.Bytes()), Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// saidAt gives what is said, more than as information, of a cell.
func saidAt(r Result, cell string) string {
	said := ""
	for _, n := range r.Notes {
		if n.Place.Cell == cell && n.Level != note.Info {
			said += n.Message + "; "
		}
	}
	return said
}

// A number that its format shows as another asks which holds, as a dose, a reading or a fact; a
// format that only writes the unit, in quotes or letter by letter, gives the unit.
func TestFormatsThatShowAnotherNumber(t *testing.T) {
	const cells = "Alum\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,50\n2,10,12.5\n3,20000,20000\n4,30,4\n"
	for format, shown := range map[string]string{"0,": "20", "#,##0,": "20", `0"."00`: "200.00", `0"0"`: "200000", `"<"0`: "<20000"} {
		for _, cell := range []string{"B5", "C5"} {
			if said := saidAt(readBook(t, cells, "format|Sheet1|"+cell+"|"+format), cell); !strings.Contains(said, "is shown as "+shown+" by its number format") {
				t.Errorf("%s as %s: %q, want %q named", cell, format, said, shown)
			}
		}
	}
	if r := readBook(t, "Stock (g/L),10000\nJar volume (L),1\nJar,Stock (mL),Turbidity (NTU)\n1,0,50\n2,1,12.5\n3,2,5\n", "format|Sheet1|B1|0,"); len(loud(r)) == 0 {
		t.Error("a stock of 10000 that shows as 10 is quiet")
	}
	for _, format := range []string{"0.0", "#,##0", `0" mg/L"`, `0\ \m\g\/\L`, "0.0_)", "# ?/?", "0.0E+00"} {
		r := readBook(t, "Alum\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,50\n2,10,12.5\n3,20,5\n4,30,4\n", "format|Sheet1|B3:B6|"+format)
		if len(loud(r)) > 0 || len(r.Series) != 1 || float64(r.Series[0].Jars[2].Doses[0].Concentration) != 20 {
			t.Errorf("%s: %+v, says %v", format, r.Series, loud(r))
		}
	}
	r := readBook(t, "Alum\nJar,Dose,Turbidity (NTU)\n1,0,50\n2,10,12.5\n3,20,5\n4,30,4\n", `format|Sheet1|B3:B6|0\ \g\/\m\3`)
	if len(loud(r)) > 0 || len(r.Series) != 1 {
		t.Errorf("a unit in the format: %v", loud(r))
	}
}

// A formula that holds an error speaks with its cell, also where its value is worked out
// otherwise or where it is a fact; in a column that is not read it is told.
func TestFormulaErrorsSpeak(t *testing.T) {
	for sheet, cell := range map[string]string{
		"Stock (g/L),10\nJar volume (L),1\n\nJar,mL stock,Dose (mg/L),NTU\n1,0,0,50\n2,1,10,12\n3,2,#REF!,5\n4,3,30,4\n": "C7",
		"Stock (g/L),#DIV/0!\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n":                                  "B1",
		"Raw turbidity (NTU),#N/A\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n":                             "B1",
		"Jar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,#VALUE!\n4,30,4\n":                                                   "C4",
		"Jar,Alum (mg/L),NTU\n1,0,50\n2,#NAME?,12\n3,20,6\n4,30,4\n":                                                     "B3",
	} {
		if r := mustRead(t, "s.csv", sheet, Options{}); saidAt(r, cell) == "" {
			t.Errorf("%s: nothing is said of %s: %+v", sheet, cell, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU 1,NTU 2,Mean NTU\n1,0,50,52,#DIV/0!\n2,10,12,12.4,12.2\n3,20,5,5.2,5.1\n4,30,4,4.2,4.1\n", Options{})
	if len(loud(r)) > 0 || len(r.Notes) == 0 {
		t.Errorf("an error among means: %+v", r.Notes)
	}
}

// A unit that the name of the page or the file gives the doses is theirs, where nothing else says
// another; one of a stock, of an amount or of readings is not.
func TestUnitInTheNameOfAPage(t *testing.T) {
	const cells = "Jar,Dose,Turbidity (NTU)\n1,0,50\n2,0.5,12\n3,1,5\n4,2,4\n"
	for name, want := range map[string]float64{ // 2 g/L, 2 gr/gal (US) of 17.118 mg/L each, 2 mmol/L of Al at 26.982 g/mol
		"alum_dose_in_g_per_L.csv": 2000, "alum gr per US gal.csv": 34.236122090, "alum_mmol_Al_per_L.csv": 53.964, "alum mg-L.csv": 2,
		"alum_stock_10_g_per_L.csv": 0, "alum 5 g per L.csv": 0, "alum.csv": 0,
	} {
		r := mustRead(t, name, cells, Options{})
		got := float64(r.Series[0].Jars[3].Doses[0].Concentration)
		assumed := false
		for _, c := range loud(r) {
			assumed = assumed || c == "unit-assumed" || c == "dose-unit-missing"
		}
		if want == 0 && !assumed || want > 0 && (assumed || !within(got, want, 1e-6)) {
			t.Errorf("%s: %g mg/L, says %v, want %g", name, got, loud(r), want)
		}
	}
	r := mustRead(t, "alum g per L.csv", "Jar,Dose (mg/L),Turbidity (NTU)\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
	if got := float64(r.Series[0].Jars[3].Doses[0].Concentration); got != 30 {
		t.Errorf("the heading has a unit: %g mg/L, want 30", got)
	}
}

// A strength that its cell shows in percent is that percentage.
func TestStrengthShownInPercent(t *testing.T) {
	r := readBook(t, "Stock strength (w/v),0.02\nJar volume (L),2\nJar,Alum stock (mL),Turbidity (NTU)\n1,0,50\n2,1,12.5\n3,3,5\n", "format|Sheet1|B1|0.0%")
	if len(r.Series) != 1 || float64(r.Series[0].Jars[2].Doses[0].Concentration) != 30 || len(loud(r)) > 0 { // 3 mL of 20 g/L in 2 L
		t.Errorf("%+v, says %v, want 30 mg/L", r.Series, loud(r))
	}
}

// Fractions in one sign are numbers, whatever mark the sheet has for decimals.
func TestSignsOfFractions(t *testing.T) {
	r := mustRead(t, "s.csv", "Jar,Alum (gr/gal US),NTU\n1,0,50\n2,½,12\n3,1½,5\n4,2 ¼,4\n", Options{})
	for i, want := range []float64{0, 0.5, 1.5, 2.25} {
		if got := float64(r.Series[0].Jars[i].Doses[0].Concentration) / 17.118061045; !within(got, want, 1e-6) {
			t.Errorf("jar %d: %g gr/gal, want %g", i+1, got, want)
		}
	}
	r = mustRead(t, "s.csv", "Jar;Alum (mg/L);NTU\n1;0;50,2\n2;½;12,4\n3;1⅛;5,1\n4;2;4,4\n", Options{})
	if got := float64(r.Series[0].Jars[2].Doses[0].Concentration); got != 1.125 || len(loud(r)) > 0 {
		t.Errorf("with decimal commas: %g, want 1.125", got)
	}
}

// A strength in a unit of densities that is too low for a liquid is that of the stock: half a
// pound in a US gallon is 59.91 g/L.
func TestStocksInPoundsPerGallon(t *testing.T) {
	for _, line := range []string{"Alum stock 0.5 lb/gal", "Stock: 0.5 lb/gal alum", "Alum stock solution of 0.0599132 kg/L"} {
		r := mustRead(t, "s.csv", line+"\nJar volume 1 L\n\nJar,mL stock,NTU\n1,0,50\n2,1,12\n3,2,5\n", Options{})
		if len(r.Series) != 1 || !within(float64(r.Series[0].Jars[2].Doses[0].Concentration), 119.8264, 1e-5) {
			t.Errorf("%s: %+v, says %v", line, r.Series, loud(r))
		}
	}
	r := mustRead(t, "s.csv", "Liquid alum 11.1 lb/gal\n\nJar,Alum (mg/L),NTU\n1,0,50\n2,10,12\n3,20,5\n4,30,4\n", Options{})
	if len(r.Series) != 1 || r.Series[0].Chemicals[0].Stock != 0 {
		t.Errorf("a density: %+v", r.Series)
	}
}
