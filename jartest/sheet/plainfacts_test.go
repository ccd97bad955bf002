package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
)

func readAny(text string) (Result, error) { return Read("s.csv", strings.NewReader(text), Options{}) }

// TestLinesOfRightSheets: a line that was understood whole is not spoken of.
func TestLinesOfRightSheets(t *testing.T) {
	const jars = "\nJar,Alum (mg/L),Turbidity (NTU)\n1,0,33\n2,10,20\n3,20,9\n4,30,4\n"
	for _, line := range []string{
		"Alum from the beck. Turbidity read three times.", "Trübung zweimal abgelesen.", "Turbidité mesurée trois fois.",
		"Raw 36 NTU; expect about 4 NTU", "Eau brute 36 NTU; attendu environ 4 NTU",
	} {
		if r := mustRead(t, "s.csv", line+jars, Options{}); len(loud(r)) > 0 {
			t.Errorf("%q: %v", line, r.Notes)
		}
	}
	for _, line := range []string{"Raw 36 NTU; expect about 4 NTU", "Rohwasser 36 NTU; erwartet werden 4 NTU"} {
		if r := mustRead(t, "s.csv", line+jars, Options{}); r.Series[0].Raw[jartest.Turbidity].Value != 36 && len(loud(r)) == 0 {
			t.Errorf("%q: raw %v", line, r.Series[0].Raw)
		}
	}
}

// TestFractionsInSentences: a fraction sign and a mixed number count in running text.
func TestFractionsInSentences(t *testing.T) {
	for line, litres := range map[string]float64{
		"1½ L jars of pond water were used": 1.5, "Six 1½ L jars": 1.5, "Six 1 1/2 L jars": 1.5, "Jars: 1-1/2 litre": 1.5, "¾ L jars": .75, "2 ¼ L jars": 2.25,
	} {
		r, err := readAny("Alum stock 10 g/L\n" + line + "\nJar,Alum stock (mL),NTU\n1,0,35\n2,3,20\n3,6,8\n")
		if err != nil || len(r.Series) == 0 {
			t.Errorf("%q: %v", line, err)
			continue
		}
		if got := doses(r.Series[0], 0)[1]; got < 30/litres*.9999 || got > 30/litres*1.0001 {
			t.Errorf("%q: %v mg/L of 3 mL, want %v", line, got, 30/litres)
		}
	}
}

// TestBasisByItsWord: "basis" behind what doses count says no more than "as" before it.
func TestBasisByItsWord(t *testing.T) {
	for head, want := range map[string]string{"Alum mg/L (Al basis)": "as Al", "Alum mg/L product basis": "as product", "Alum mg/L as Al": "as Al", `"Alum, ppm (dry basis)"`: "not stated", "Alaun mg/L (Trockenbasis)": "not stated"} {
		r := mustRead(t, "s.csv", "Jar,"+head+",NTU\n1,0,35\n2,8,20\n3,16,8\n", Options{})
		s := r.Series[0]
		if got := s.Chemicals[0].Basis.String(); !strings.Contains(got, strings.TrimPrefix(want, "as ")) || !slices.Equal(doses(s, 0), []float64{0, 8, 16}) {
			t.Errorf("%s: %s, %v", head, got, doses(s, 0))
		}
		if dry := strings.Contains(strings.ToLower(head), "dry") || strings.Contains(head, "Trocken"); dry != quotes(r, "dry product") || !dry && len(loud(r)) > 0 {
			t.Errorf("%s: %v", head, loud(r))
		}
	}
}

// TestTitleOfCrossTab: the title of a cross-tab that says how turbid the raw water was gives a fact.
func TestTitleOfCrossTab(t *testing.T) {
	for _, title := range []string{"Residual turbidity (NTU) - raw water 52 NTU", "Turbidez residual (uT) – água bruta 52 uT", "Trübung (NTU) - Rohwasser 52 NTU", "Residual turbidity (NTU) (raw 52)"} {
		r := mustRead(t, "s.csv", title+",,,\n,Polymer (mg/L),,\nAlum (mg/L),0,0.1,0.2\n10,38,30,27\n20,20,13,10\n30,9.1,5.2,3.8\n", Options{})
		if got := r.Series[0].Raw[jartest.Turbidity].Value; got != 52 || len(r.Series[0].Jars) != 9 {
			t.Errorf("%q: raw %v of %d jars", title, got, len(r.Series[0].Jars))
		}
	}
}
