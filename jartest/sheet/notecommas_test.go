package sheet

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"jarwright/jartest"
)

// noteLines are the lines of a note from the bench in one language: raw water, stock and jars.
var noteLines = []struct{ raw, stock, jars, remark, comma string }{
	{"Raw", "alum stock 10 g/L", "1 L jars", "slightly hazy", "."},
	{"Eau brute", "sulfate d'alumine 10 g/L", "béchers de 1 L", "un peu trouble", ","},
	{"Rohwasser", "Alaun 10 g/l", "Becher 1 l", "etwas trüb", ","},
	{"Agua cruda", "sulfato de aluminio 10 g/L", "jarra 1 L", "algo turbia", ","},
	{"Água bruta", "sulfato de alumínio 10 g/L", "jarros de 1 L", "um pouco turva", ","},
}

// TestCommasOfNotes: a note whose commas part clauses and fractions gives whole numbers, on one line or on
// several, in any language; a remark in brackets takes no reading away.
func TestCommasOfNotes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(noteLines).Draw(t, "language")
		num := func(tenths int) string {
			return strings.Replace(fmt.Sprintf("%d.%d", tenths/10, tenths%10), ".", l.comma, 1)
		}
		ph := rapid.IntRange(61, 89).Filter(func(n int) bool { return n%10 != 0 }).Draw(t, "pH")
		facts := []string{l.raw + " 38 NTU" + rapid.SampledFrom([]string{", ", "\n"}).Draw(t, "pH after") + "pH " + num(ph), l.stock, l.jars}
		text := strings.Join(facts, rapid.SampledFrom([]string{", ", "\n"}).Draw(t, "facts parted by")) + "\n" + rapid.SampledFrom([]string{"", "\n"}).Draw(t, "gap")
		remark := rapid.IntRange(1, 4).Draw(t, "jar with a remark")
		ntu := []int{370, 211, 95, 42, 26}
		for k, n := range ntu {
			text += fmt.Sprintf("%d mL -> %s NTU", k, num(n))
			if k == remark {
				text += " (" + l.remark + ")"
			}
			text += "\n"
		}
		r, err := Read("n.txt", strings.NewReader(text), Options{})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != len(ntu) {
			t.Fatalf("%q: %v, %d series", text, err, len(r.Series))
		}
		s := r.Series[0]
		dose, read := doses(s, 0), values(s, jartest.Turbidity)
		for k, n := range ntu {
			if read[k] != float64(n)/10 || dose[k] != float64(10*k) {
				t.Errorf("%q: jar %d is %v NTU at %v mg/L", text, k, read[k], dose[k])
			}
		}
		if raw := s.Raw[jartest.PH].Value; raw != float64(ph)/10 {
			t.Errorf("%q: raw pH %v; says %v", text, raw, loud(r))
		}
		if raw := s.Raw[jartest.Turbidity].Value; raw != 38 {
			t.Errorf("%q: raw turbidity %v", text, raw)
		}
	})
}

// TestTornFractions: in a table parted by commas the reading that a decimal comma tore is put together, and
// spoken of where the file writes points.
func TestTornFractions(t *testing.T) {
	const jars = "Bécher,Alum (mg/L),NTU\n1,0,37\n2,10,21\n3,20,%s\n4,30,4\n"
	for _, c := range []struct {
		fact, third string
		ph          float64
		says        bool
	}{
		{"Eau brute 38 NTU, pH 7,9", "9", 7.9, false},
		{"Eau brute 38 NTU, pH 7,9", "9.5", 7.9, true},
		{"Eau brute 38 NTU, pH 7.9", "9.5", 7.9, false},
	} {
		r := mustRead(t, "s.csv", c.fact+"\n"+fmt.Sprintf(jars, c.third), Options{})
		if raw := r.Series[0].Raw[jartest.PH].Value; raw != c.ph || quotes(r, "pH 7,9") != c.says {
			t.Errorf("%q above %q: raw pH %v, says %v", c.fact, c.third, raw, loud(r))
		}
	}
}
