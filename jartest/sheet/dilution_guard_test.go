package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// TestDilutionFactor: millilitres of a diluted product in a jar, by hand. Neat product of 1.33 kg/L holds 1,330,000 mg/L;
// one part in n in all leaves 1/n of that, and d mL of it in V litres make d/1000 × 1330000/n/V mg/L.
func TestDilutionFactor(t *testing.T) {
	for _, c := range []struct {
		words string
		jar   string
		want  []float64
		say   string
	}{
		{"1:100 dilution of PAC", "1 L", []float64{13.3, 26.6, 53.2}, "1 part in 100 in all, so for 13.3 g/L of product"},
		{"PAC diluted 1 in 50", "1 L", []float64{26.6, 53.2, 106.4}, "1 part in 50 in all, so for 26.6 g/L of product"},
		{"20-fold dilution of PAC", "2 L", []float64{33.25, 66.5, 133}, "1 part in 20 in all, so for 66.5 g/L of product"},
	} {
		text := c.words + ",,\nSG,1.33,\njar volume," + c.jar + ",\n,,\njar,PAC dose (mL),turbidity (NTU)\n1,1,20\n2,2,9\n3,4,4\n"
		r := mustRead(t, "diluted.csv", text, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %d series, %v", c.words, len(r.Series), r.Notes)
			continue
		}
		if got := doses(r.Series[0], 0); !equal(got, c.want) {
			t.Errorf("%s: doses %v, want %v", c.words, got, c.want)
		}
		said := false
		for _, n := range append(append(note.List{}, r.Notes...), r.Series[0].Notes...) {
			said = said || n.Code == "diluted-product" && strings.Contains(n.Message, c.say)
		}
		if !said {
			t.Errorf("%s: %q is not said: %v %v", c.words, c.say, r.Notes, r.Series[0].Notes)
		}
	}
}

// TestDilutionWords: what counts as a dilution, and its factor.
func TestDilutionWords(t *testing.T) {
	for text, want := range map[string]float64{
		"1:100 dilution": 100, "diluted 1 in 50": 50, "100-fold dilution": 100, "dilution 1/20": 20, "10x diluted": 10, "verdünnt 1:25": 25,
		"stock 1:100": 0, "dilute before use": 0, "1:1 dilution": 0,
	} {
		if got, ok := dilutionIn(text); got != want || ok != (want > 0) {
			t.Errorf("%q: %g (%v), want %g", text, got, ok, want)
		}
	}
}
