package sheet

import (
	"fmt"
	"testing"

	"jarwright/jartest"
)

// jarTwo gives the dose of the second jar, which got 1 mL, of a sheet that begins with some lines.
func jarTwo(t *testing.T, lines string) (float64, Result) {
	t.Helper()
	r := mustRead(t, "s.csv", lines+"\nJar|Alum (mL)|Turbidity (NTU)\n1|0|50\n2|1|20\n3|2|8\n", Options{})
	if len(r.Series) != 1 {
		return 0, r
	}
	return float64(r.Series[0].Jars[1].Doses[0].Concentration), r
}

// How much less or more something is, how much of it is left or removed and how full a vessel is says
// nothing of the strength of a stock, and the sheet asks for that; a strength in % is one.
func TestAPortionIsNoStrength(t *testing.T) {
	for _, line := range []string{
		"The pipette delivered 10 % less than set", "Stock left in the bucket: 20 %", "Stock remaining|20 %", "Alum bucket 30 % full", "Alum removed 90 % of it", "Alum 5 % more than planned", "Stock 15 % lost",
		"Stammlösung im Eimer übrig: 20 %", "Quedó 20 % de la solución madre", "Reste 20 % de la solution mère", "Zostało 20 % roztworu alum", "Sobrou 20 % da solução de alum", "Осталось 20 % раствора", "母液剩余 20 %",
	} {
		if dose, r := jarTwo(t, "1 L jars\n"+line); dose != 0 {
			t.Errorf("%s: %g mg/L, says %v", line, dose, loud(r))
		}
	}
	for _, line := range []string{"Stock 1 %", "Stock strength|1 %", "Alum stock 1 % w/v", "Stammlösung 1 %", "Solución madre 1 %", "Stock left in the bucket: 20 %\nStock 10 g/L"} {
		if dose, r := jarTwo(t, "1 L jars\n"+line); dose != 10 || len(loud(r)) > 0 {
			t.Errorf("%s: %g mg/L, says %v", line, dose, loud(r))
		}
	}
}

// A mark before three digits parts fractions where thousands would be denser than any solution; where
// both can be, the sheet asks.
func TestThreeDecimalsOfAStrength(t *testing.T) {
	for line, want := range map[string]float64{"Stock 37.854 g/L": 37.854, "Stock|37.854 g/L": 37.854, "Stock solution: 37,854 g/L": 37.854, "Stock 12.500 mg/L": 12.5, "Stock 1.250 g/L": 0, "Stock|1,250 g/L": 0} {
		if dose, r := jarTwo(t, "1 L jars\n"+line); dose != want {
			t.Errorf("%s: %g mg/L, not %g, says %v", line, dose, want, r.Notes)
		}
	}
}

// A vessel with a weight that no jar gets holds the stock; what is called one of the test is the jar.
func TestBucketsOfStockAndBucketsOfTheTest(t *testing.T) {
	for lines, want := range map[string]float64{
		"20 L bucket with 200 g of alum\ntest buckets 10 L": 1, "Bucket of 20 L with 200 g alum\n1 L jars": 10, "Bucket stock: 500 g per 50 L\nPails of 20 L": 0.5, "Stock 10 g/L\nTest pails 10 L": 1,
		"20 L bucket with 200 g of alum": 0, "1 L jars with 20 mg alum each": 0,
	} {
		if dose, r := jarTwo(t, lines); dose != want {
			t.Errorf("%q: %g mg/L, not %g, says %v", lines, dose, want, r.Notes)
		}
	}
}

// A heading with the formula of phosphate counts what the formula says; one with that of its phosphorus,
// or with the name alone, counts phosphorus.
func TestPhosphateByItsFormula(t *testing.T) {
	for head, share := range map[string]float64{
		"PO4 (mg/L)": jartest.PhosphorusInPhosphate, "Ortho-PO4 mg/L": jartest.PhosphorusInPhosphate, "o-PO4 (mg/L)": jartest.PhosphorusInPhosphate, "PO4 (mg/L as PO4)": jartest.PhosphorusInPhosphate,
		"PO4-P (mg/L)": 1, "PO4 (mg/L as P)": 1, "PO4 mg P/L": 1, "Orthophosphate (mg/L)": 1,
	} {
		r := mustRead(t, "s.csv", fmt.Sprintf("Jar;Alum (mg/L);%s\n1;0;3\n2;12;2\n3;24;1\n", head), Options{})
		if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Phosphate), []float64{3 * share, 2 * share, share}) {
			t.Errorf("%s: %v", head, r.Notes)
		}
	}
}

// Milligrams and litres in Devanagari and Bengali with the points of abbreviations.
func TestDottedUnitsOfIndia(t *testing.T) {
	for _, unit := range []string{"मि.ग्रा./ली.", "मि.ग्रा/लि", "मिग्रा/ली", "মি.গ্রা./লি.", "মিগ্রা/লি"} {
		r := mustRead(t, "s.csv", "जार;फिटकरी ("+unit+");NTU\n1;0;50\n2;10;20\n3;20;8\n", Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 10, 20}) || len(loud(r)) > 0 {
			t.Errorf("%s: %v", unit, r.Notes)
		}
	}
}

// A heading that is merged down onto the row of headings heads its column, and a row of limits below is
// no reason against that.
func TestLabelsUnderAMergedHeading(t *testing.T) {
	r := readBook(t, "Jar,Chemicals,,Settled water,\n,Alum,Polymer,Turbidity,pH\nno.,mg/L,mg/L,NTU,-\nLimit,,,5,6.5 - 8.5\n1,0,0,48,7.5\n2,10,0.1,26,7.4\n3,20,0.1,11,7.2\n",
		"merge|Sheet1|A1:A2", "merge|Sheet1|B1:C1", "merge|Sheet1|D1:E1")
	if len(r.Series) != 1 || r.Series[0].Jars[2].Label != "3" || len(loud(r)) > 0 {
		t.Errorf("%+v, says %v", r.Series, loud(r))
	}
}
