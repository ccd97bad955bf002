package sheet

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/jartest"
)

// The raw water of a cross-tab is that of each column, wherever its row stands and in whatever language;
// the name of the doses may have a row of its own under the top.
func TestRawWaterOfCrosstabs(t *testing.T) {
	for _, name := range each("Raw water | Raw | Agua cruda | Água bruta | Eau brute | Rohwasser | Woda surowa | Исходная вода | 原水 | Nước thô | Ham su") {
		for _, first := range []bool{true, false} {
			jars, raw := "10,21,35,60\n20,9,17,33\n30,3.5,7,14\n", name+",32,51,88\n"
			body := jars + raw
			if first {
				body = raw + jars
			}
			for _, dates := range []string{"2026-05-02,2026-05-09,2026-05-16", "2 May 2026,9 May 2026,16 May 2026"} {
				sheet := "Settled turbidity (NTU)\nAlum (mg/L)," + dates + "\n" + body
				r := mustRead(t, "s.csv", sheet, Options{})
				var got []string
				for _, s := range r.Series {
					got = append(got, fmt.Sprint(len(s.Jars), s.Raw[jartest.Turbidity].Value, s.Jars[1].Readings.Of(jartest.Turbidity).Value))
				}
				if strings.Join(got, ", ") != "3 32 9, 3 51 17, 3 88 33" || len(loud(r)) > 0 {
					t.Errorf("%s: %v, %v", sheet, got, r.Notes)
				}
			}
		}
	}
}

func TestDoseNamedUnderTheTop(t *testing.T) {
	for _, c := range each("Dosis (mg/L) | Dose (mg/L) | Alum (mg/L) | Dosierung (mg/L)") {
		for title := range strings.SplitSeq("Settled turbidity (NTU) – alum/Turbiedad residual (UNT) según dosis y pH – alumbre/Alum: turbidity (NTU) vs pH", "/") {
			sheet := title + "\n;pH 5.5;pH 6.5;pH 7.5\n" + c + "\n20;31;25;35\n40;18;10;22\n60;9.9;4.1;13\n80;8.2;3.3;10.5\n"
			r := mustRead(t, "s.csv", sheet, Options{})
			n, dose, ntu := 0, 0.0, 0.0
			for _, s := range r.Series {
				n += len(s.Jars)
				for _, j := range s.Jars {
					if j.Settings["ph_target"] == 6.5 && float64(j.Doses[0].Concentration) == 40 {
						dose, ntu = 40, j.Readings.Of(jartest.Turbidity).Value
					}
				}
			}
			if n != 12 || dose != 40 || ntu != 10 || len(loud(r)) > 0 {
				t.Errorf("%s: %d jars, %g mg/L %g NTU, %v", sheet, n, dose, ntu, r.Notes)
			}
		}
	}
}
