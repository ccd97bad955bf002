package sheet

import (
	"strings"
	"testing"
)

// A vessel is the jar of the test only if its phrase gives it no other use: else the volume of the
// jars is asked for.
func TestVesselOfAnotherUse(t *testing.T) {
	const table = "\nJar,Alum (mL),NTU\n1,0,58\n2,1,31\n3,2,14\n4,3,6\n"
	for line, want := range map[string]float64{
		"Stock bottle 1 L": 0, "Stock flask 500 mL": 0, "Rinse beaker 100 mL": 0, "Stock jar 2 L": 0, "Flasche Stammlösung 1 L": 0, "Carboy of raw water 20 L": 0,
		"Waste jar 5 L": 0, "Measuring cylinder 100 mL": 0, "Bucket for rinsing 10 L": 0, "10 L bucket for rinsing": 0, "2 L stock bottle": 0, "Waste: 5 L jar": 0,
		"Turbidity cell 50 mL": 0, "Rinse beaker: 100 mL": 0, "Frasco de solución madre 1 L": 0, "Vorratskanister 20 L": 0,
		"1 L jars": 1, "Jars of 2 L": 2, "Jar volume: 500 mL": 0.5, "six 2-litre jars": 2, "2 L beakers; stock bottle 1 L": 2, "Stock bottle 1 L; jars 2 L": 2,
		"Vasos de 1 L": 1, "Becher 2 L": 2, "Jars filled with 2 L of raw water": 2, "1 L of raw water in each jar": 1, "Rinse beaker 100 mL, jars 1 L": 1,
	} {
		r, err := Read("s.csv", strings.NewReader("Stock 10 g/L\n\n"+`"`+line+`"`+"\n"+table), Options{})
		asked := err != nil || r.Notes.Err() != nil
		switch got := 0.0; {
		case want == 0 && !asked:
			t.Errorf("%s: taken for the jar, %s", line, pairsOf(r))
		case want > 0 && (asked || len(r.Series) != 1):
			t.Errorf("%s: asked: %v", line, r.Notes)
		case want > 0:
			if got = float64(r.Series[0].Jars[1].Doses[0].Concentration) * want; got < 9.99 || got > 10.01 {
				t.Errorf("%s: 1 mL is %g mg/L", line, got/want)
			}
		}
	}
}

// The unit of a column behind "in" is no volume of water, a flag beats the heading, and a volume that
// is stated beats a heading a hundred times off.
func TestUnitsBehindIn(t *testing.T) {
	for head, want := range map[string]float64{
		"Alum in mL": 10, "Alum put in (mL)": 10, "Alum stock in, mL": 10, "Alum dosed in (ml)": 10, "Alaun in ml": 10, "Stock poured in (mL)": 10,
		"Alum mL in 2 L": 5, "mL of alum per 500 mL": 20, "Alum (mL in 2 L)": 5,
	} {
		r, err := Read("alum.csv", strings.NewReader("Stock 10 g/L\n1 L jars\n\nJar,"+head+",NTU\n1,0,58\n2,1,31\n3,2,14\n4,3,6\n"), Options{})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 4 || len(r.Series[0].Jars[1].Doses) == 0 {
			t.Errorf("%s: %v %v", head, err, r.Notes)
			continue
		}
		if got := float64(r.Series[0].Jars[1].Doses[0].Concentration); got != want {
			t.Errorf("%s: 1 mL is %g mg/L, want %g", head, got, want)
		}
		if want != 10 { // the heading gives volumes of stock by volumes of water, whatever the jar
			continue
		}
		r, err = Read("alum.csv", strings.NewReader("Stock 10 g/L\n1 L jars\n\nJar,"+head+",NTU\n1,0,58\n2,1,31\n3,2,14\n4,3,6\n"), Options{JarVolume: 4})
		if err != nil || len(r.Series) != 1 || float64(r.Series[0].Jars[1].Doses[0].Concentration) != 2.5 {
			t.Errorf("%s: --jar-volume 4 L does not go before the heading: %v", head, r.Notes)
		}
	}
}
