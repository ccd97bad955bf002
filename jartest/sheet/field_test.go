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

// told counts the notes of a code.
func told(r Result, code string) int {
	return len(slices.DeleteFunc(slices.Clone(r.Notes), func(n note.Note) bool { return n.Code != code }))
}

// tableOf writes a table of jars whose doses, as they are written, read 8 mg/L a step.
func tableOf(dose string, doses ...string) string {
	var out strings.Builder
	fmt.Fprintf(&out, "Jar\t%s\tTurbidity (NTU)\n", dose)
	for i, d := range doses {
		fmt.Fprintf(&out, "%d\t%s\t%s\n", i+1, d, []string{"45", "28", "12", "5", "3", "3.3"}[i])
	}
	return out.String()
}

// A field above the table gives the unit of the doses, its basis and the raw water: in whatever
// order the fields stand, with a colon or without, above a blank line or right above the table.
func TestFieldsAboveTheTable(t *testing.T) {
	inMg := []string{"0", "8", "16", "24", "32", "40"}
	inG := []string{"0", "0.008", "0.016", "0.024", "0.032", "0.04"}
	raws := []string{"", "Raw turbidity (NTU)%s\t45\n", "Raw turbidity%s\t45\n", "Beaker%s\t5\n", "Plant dose now%s\t30\n"}
	units := []struct {
		said  string
		doses []string
		basis quantity.Basis
	}{{"g/L", inG, ""}, {"mg/L as Al", inMg, "as Al"}, {"mg/L as dry alum", inMg, basisNamed(t, "dry alum")}}
	for _, u := range units {
		for _, raw := range raws {
			for _, colon := range []string{"", ":"} {
				for _, first := range []bool{true, false} {
					for _, blank := range []string{"", "\n"} {
						unit, water := "Dose unit"+colon+"\t"+u.said+"\n", strings.ReplaceAll(raw, "%s", colon)
						text := unit + water
						if !first {
							text = water + unit
						}
						text += blank + tableOf("Alum dose", u.doses...)
						s := mustRead(t, "s.tsv", text, Options{}).Series
						if len(s) != 1 || !equal(doses(s[0], 0), []float64{0, 8, 16, 24, 32, 40}) {
							t.Errorf("%q: %d series, doses %v", text, len(s), s)
							continue
						}
						if got := s[0].Chemicals[0].Basis; u.basis != "" && got != u.basis {
							t.Errorf("%q: basis %q, want %q", text, got, u.basis)
						}
						if got := s[0].Raw[jartest.Turbidity].Value; strings.HasPrefix(raw, "Raw") && got != 45 {
							t.Errorf("%q: raw turbidity %g, want 45", text, got)
						}
					}
				}
			}
		}
	}
}

// Whatever parts the strength of a stock from what it counts, it counts that; of two stocks on one
// line nothing says which.
func TestSignsKeepTheBasisOfAStock(t *testing.T) {
	for _, sign := range []string{" ", ", ", "; ", " - ", " – ", ". ", ": ", " / ", " ("} {
		for said, want := range map[string]string{"as product": "product", "as Al": "Al", "as Al2O3": "Al2O3"} {
			p := plainSheet{syringe: true, facts: [][2]string{{"Stock", "10 g/L" + sign + said + strings.Repeat(")", strings.Count(sign, "("))}}}
			r := mustRead(t, "s.csv", p.sheet(), Options{})
			if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != basisNamed(t, want) {
				t.Errorf("%q%q: %v, want as %s", sign, said, r.Series, want)
			}
		}
	}
	r := mustRead(t, "s.csv", plainSheet{syringe: true, facts: [][2]string{{"Stock", "10 g/L, not as product"}}}.sheet(), Options{})
	if len(r.Series) == 1 && r.Series[0].Chemicals[0].Basis != quantity.NotStated {
		t.Errorf("a denied basis is taken: %v", r.Series[0].Chemicals)
	}
}

// The doses count what the heading says in its language, wherever the brackets stand.
func TestCountedInHeadings(t *testing.T) {
	for _, head := range []string{"聚合氯化铝 (mg/L 以Al2O3计)", "聚合氯化铝 (以Al2O3计)(mg/L)", "PAC投加量 mg/L(以Al2O3计)", "PAC (mg/L Al2O3として)", "PAC (mg/L Al2O3 cinsinden)",
		"PAC (mg/L Al2O3로서)", "PAC (mg/L als Al2O3)", "PAC (mg/L jako Al2O3)", "PAC (mg/L в пересчете на Al2O3)", "PAC (mg/L ως Al2O3)"} {
		r := mustRead(t, "s.tsv", tableOf(head, "0", "8", "16", "24"), Options{})
		if len(r.Series) != 1 || r.Series[0].Chemicals[0].Basis != basisNamed(t, "Al2O3") || len(loud(r)) > 0 {
			t.Errorf("%s: %v, says %v", head, r.Series, loud(r))
		}
	}
}

// Of two columns for one reading that of a dilution is not the jar's; it is said.
func TestDilutedColumn(t *testing.T) {
	for _, odd := range []string{"Meter reading of 1:10 dilution (NTU)", "Turbidity of diluted sample (NTU)", "NTU diluted 10x"} {
		for _, plain := range []string{"Turbidity (NTU)", "Turbidity, true (NTU)"} {
			for _, first := range []bool{true, false} {
				heads, row := []string{odd, plain}, "\t%g\t%g\n"
				text, at := "", 1
				if !first {
					heads, at = []string{plain, odd}, 0
				}
				text = "Jar\tAlum (mg/L)\t" + strings.Join(heads, "\t") + "\n"
				for i, v := range []float64{42, 21, 9, 4} {
					pair := []any{v / 10, v / 10}
					pair[at] = v
					text += fmt.Sprintf("%d\t%d", i+1, 10*i) + fmt.Sprintf(row, pair...)
				}
				r := mustRead(t, "s.tsv", text, Options{})
				switch asked := len(r.Series) == 0; {
				case len(loud(r)) == 0 && !asked:
					t.Errorf("%v: nothing is said", heads)
				case !asked && !equal(values(r.Series[0], jartest.Turbidity), []float64{42, 21, 9, 4}):
					t.Errorf("%v: %v, want 42 21 9 4", heads, values(r.Series[0], jartest.Turbidity))
				}
			}
		}
	}
}

// An absorbance counts for each cm of the water that the light went through.
func TestLightPath(t *testing.T) {
	for head, cm := range map[string]float64{"A254 (per 5 cm)": 5, "UV254 (1/5cm)": 5, "UV254 (5 cm cell)": 5, "Abs 254 nm, 5 cm cell": 5, "UV254, 4 cm cuvette": 4,
		"UV254 (per 50 mm)": 5, "Absorbance 254 nm (1 cm cell)": 1, "UV254 (1/m)": 100, "UV254 (1/cm)": 1} {
		text := "Jar\tAlum (mg/L)\tTurbidity (NTU)\t" + head + "\n1\t0\t45\t1\n2\t10\t28\t0.8\n3\t20\t12\t0.6\n"
		r := mustRead(t, "s.tsv", text, Options{})
		want := []float64{1 / cm, 0.8 / cm, 0.6 / cm}
		if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.UV254), want) || len(loud(r)) > 0 {
			t.Errorf("%s: %v, want %v; says %v", head, r.Series, want, r.Notes)
		}
	}
}

// Whatever the jars are called, their numbers are no reading.
func TestVesselsAreNoReading(t *testing.T) {
	for _, vessel := range []string{"Bucket", "Tub", "Bottle", "Vessel", "Basin", "Glass", "Cylinder", "Pot", "Pail", "Carboy", "Cubeta", "Eimer", "Seau"} {
		for head, key := range map[string]string{"Turbidity (NTU)": "turbidity", "Secchi (cm)": "secchi_cm", "Clarity (cm)": "clarity_cm"} {
			r := mustRead(t, "s.tsv", vessel+"\tAlum (mg/L)\t"+head+"\n1\t0\t15\n2\t10\t22\n3\t20\t40\n4\t30\t62\n", Options{})
			if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 10, 20, 30}) {
				t.Errorf("%s, %s: %v, %v", vessel, head, r.Series, r.Notes)
				continue
			}
			for _, x := range r.Series[0].Jars[0].Readings {
				if string(x.Key) != key {
					t.Errorf("%s, %s: %s is a reading", vessel, head, x.Key)
				}
			}
		}
	}
}

// A percentage by mass with the density beside it is that much of each litre: 10 % of 1.05 kg/L is
// 105 g/L. A product with both is its density's.
func TestMassPercentOfADensity(t *testing.T) {
	for _, said := range []string{"10 % w/w, SG 1.05", "10 % w/w (SG 1.05)", "10 % by weight; density 1.05 kg/L"} {
		r := mustRead(t, "s.csv", plainSheet{syringe: true, facts: [][2]string{{"Stock", said}}}.sheet(), Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0)[:1], []float64{105}) || len(loud(r)) > 0 {
			t.Errorf("%s: %v, says %v", said, r.Series, r.Notes)
		}
	}
	for _, said := range []string{"Product: liquid alum 48 % w/w, SG 1.33", "Product: liquid alum, SG 1.33", "Product\tliquid alum 48 % w/w, SG 1.33"} {
		r := mustRead(t, "s.tsv", said+"\n\n"+tableOf("Alum (µL/L)", "0", "20", "40", "60"), Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 26.6, 53.2, 79.8}) { // 20 µL × 1.33 kg/L
			t.Errorf("%s: %v, says %v", said, r.Series, r.Notes)
		}
	}
}

// The age of a stock is no reason to leave it out.
func TestAgeOfAStock(t *testing.T) {
	for _, said := range []string{"10 g/L, made 3 March, 12 days old", "10 g/L, 3 days old", "10 g/L (2 weeks old)", "10 g/L, 6 h old"} {
		plainSheet{syringe: true, facts: [][2]string{{"Stock", said}}}.quiet(t, said)
	}
	plainSheet{syringe: true, facts: [][2]string{{"Stock", "10 g/L, old bottle"}}}.speaks(t, "an old bottle")
}

// A title without a number besides that of a day changes nothing.
func TestPlainTitles(t *testing.T) {
	for _, title := range []string{"Village works jar test 3 May 2026", "Jar test in duplicate", "Science club: cleaning pond water with alum", "River Works jar test, 3 May 2026"} {
		r := mustRead(t, "s.tsv", title+"\n\n"+tableOf("Alum (mg/L)", "0", "8", "16", "24", "32", "40"), Options{})
		if len(r.Series) != 1 || len(loud(r)) > 0 {
			t.Errorf("%s: %d series, says %v", title, len(r.Series), r.Notes)
		}
	}
	for _, title := range []string{"Jar test with half doses", "Jar test, all readings x 10", "Doses are twice those shown"} {
		plainSheet{top: title}.speaks(t, title)
	}
}

// A cell with a unit of its own is held against its column in the unit of the heading; a ditto mark
// is told.
func TestCellsOfOtherUnits(t *testing.T) {
	for _, cell := range []string{"0.024 g/L", "24000 ug/L", "24 mg/L"} {
		r := mustRead(t, "s.tsv", tableOf("Alum (mg/L)", "0", "8", "16", cell, "32", "40"), Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 8, 16, 24, 32, 40}) || len(loud(r)) > 0 {
			t.Errorf("%s: %v, says %v", cell, r.Series, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,45\n2,8,28\n3,\"\"\"\",12\n4,24,5\n", Options{})
	if !equal(doses(r.Series[0], 0), []float64{0, 8, 8, 24}) || told(r, "dose-ditto") != 1 {
		t.Errorf("a ditto mark: %v, says %v", r.Series, r.Notes)
	}
}

// A row of another water is left out with a word, wherever it stands; the jars below it are kept.
func TestTapRowAmongJars(t *testing.T) {
	jars := []string{"1\t0\t45", "2\t8\t28", "3\t16\t12", "4\t24\t5"}
	for i := 1; i <= len(jars); i++ {
		rows := append(append(append([]string{}, jars[:i]...), "Tap water\t\t0.4"), jars[i:]...)
		r := mustRead(t, "s.tsv", "Jar\tAlum (mg/L)\tTurbidity (NTU)\n"+strings.Join(rows, "\n")+"\n", Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 8, 16, 24}) || told(r, "row-not-a-jar") != 1 {
			t.Errorf("below jar %d: %v, says %v", i, r.Series, r.Notes)
		}
	}
}

// Of several times the last is the reading, also where the later headings only say when, and what
// was filtered has a name of its own.
func TestTimesBesideFiltered(t *testing.T) {
	for _, heads := range []string{"turbidity after 10 min (NTU)\tturbidity after 30 min (NTU)\tfiltered turbidity (NTU)", "turbidity after 10 min\tafter 30 min\tfiltered turbidity"} {
		r := mustRead(t, "s.tsv", "Jar\tAlum (mg/L)\t"+heads+"\n1\t0\t42\t40\t12\n2\t10\t21\t15\t5\n3\t20\t9\t4\t1\n", Options{})
		if len(r.Series) != 1 || !equal(values(r.Series[0], jartest.Turbidity), []float64{40, 15, 4}) || told(r, "settling-times") != 1 {
			t.Errorf("%s: %v, says %v", heads, r.Series, r.Notes)
		}
	}
}

// Moles of a metal that the chemical does not hold speak.
func TestMolesOfAnotherMetal(t *testing.T) {
	r := mustRead(t, "s.tsv", tableOf("Alum (mmol/L iron as Al)", "0", "0.1", "0.2", "0.3"), Options{})
	if len(r.Series) > 0 && len(loud(r)) == 0 {
		t.Errorf("alum counted as iron: %v", r.Series[0].Chemicals)
	}
}
