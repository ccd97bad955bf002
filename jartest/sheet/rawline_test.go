package sheet

import (
	"encoding/csv"
	"strings"
	"testing"

	"jarwright/jartest"
)

// rawOf gives the raw turbidity and pH of a sheet with one series, and its cautions.
func rawOf(t *testing.T, sheet string) (ntu, ph float64, loudly []string) {
	t.Helper()
	r := mustRead(t, "s.csv", sheet, Options{})
	if len(r.Series) != 1 {
		t.Fatalf("%s\nhas %d series: %v", sheet, len(r.Series), r.Notes)
	}
	return r.Series[0].Raw[jartest.Turbidity].Value, r.Series[0].Raw[jartest.PH].Value, loud(r)
}

// The raw water stands in a line of its own above the headings or under the jars, its readings
// under their columns, in any language; one whose numbers stand under no column of readings,
// under a dose, or twice under one reading, gives nothing silently.
func TestRawWaterUnderItsColumns(t *testing.T) {
	const jars = "Jar,Alum (mg/L),NTU,pH\n1,0,44,7.6\n2,10,20,7.4\n3,20,8,7.2\n4,30,5,7.1\n"
	for _, name := range []string{"Raw water", "raw", "Água bruta", "Rohwasser", "Eau brute", "Agua cruda", "Acqua grezza", "Ruw water", "Urenset vand", "Orenat vatten", "Urenset vann",
		"Исходная вода", "原水", "Nieoczyszczona woda", "Nečištěná voda", "Puhdistamaton vesi", "Tisztítatlan víz", "Ungereinigtes Wasser", "Eau non épurée", "Agua sin depurar", "Неочищенная вода"} {
		for place, sheet := range map[string]string{
			"above":        name + ",,46,7.5\n" + jars,
			"above, apart": name + ",,46,7.5\n\n" + jars,
			"below":        jars + name + ",,46,7.5\n",
			"below, apart": jars + "\n" + name + ",,46,7.5\n",
			"with a dash":  jars + "\n" + name + ",-,46,7.5\n",
			"with a title": "Jar test\n" + name + ",,46,7.5\n" + jars,
		} {
			if ntu, ph, loudly := rawOf(t, sheet); ntu != 46 || ph != 7.5 || len(loudly) > 0 {
				t.Errorf("%s %s: raw %g NTU, pH %g, %v", name, place, ntu, ph, loudly)
			}
		}
	}
	for sheet, want := range map[string]float64{
		jars + "\nRaw water,46,,7.5\n":                                       0, // under the dose
		jars + "\nRaw water (settled),,46,7.5\n":                             0,
		"Jar,Alum (mg/L),NTU 1,NTU 2\n1,0,44,45\n2,10,20,21\n\nRaw,,46,90\n": 0, // which of the two
	} {
		r := mustRead(t, "s.csv", sheet, Options{})
		if got := r.Series[0].Raw[jartest.Turbidity].Value; got != want || len(loud(r)) == 0 {
			t.Errorf("%s\nraw %g NTU, %v", sheet, got, r.Notes)
		}
	}
}

// The same facts hold whether their values stand beside or below their names, whatever marks
// part them in a sentence, and in whatever form their numbers are written.
func TestFactsHoweverTheyStand(t *testing.T) {
	const jars = "\nJar,Alum (mL),NTU\n1,0,44\n2,2,20\n3,4,8\n4,6,5\n"
	facts := []string{"alum made up 5 g in 0.5 litre", "0.5 litre per beaker", "raw water 5.5E1 NTU"}
	orders := [][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}}
	var sheets []string
	for _, sign := range []string{"; ", ". ", ", "} {
		for _, o := range orders {
			sheets = append(sheets, quoted(strings.Join([]string{facts[o[0]], facts[o[1]], facts[o[2]]}, sign))+"\n"+jars)
		}
	}
	names, vals := []string{"Stock (g/L)", "Jar volume (L)", "Raw turbidity (NTU)"}, []string{"10", "0.5", "55"}
	for _, o := range orders {
		line := func(of []string) string { return of[o[0]] + "," + of[o[1]] + "," + of[o[2]] + "\n" }
		sheets = append(sheets, line(names)+line(vals)+jars)
		pairs := []string{names[o[0]] + ":," + vals[o[0]], names[o[1]] + ":," + vals[o[1]], names[o[2]] + ":," + vals[o[2]]}
		sheets = append(sheets, strings.Join(pairs, ",,")+"\n"+jars, "Form 7\n"+pairs[0]+",,"+pairs[1]+"\n"+pairs[2]+",Raw pH:,7.4\n"+jars)
	}
	for _, sheet := range sheets {
		r := mustRead(t, "s.csv", sheet, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%s: %v", sheet, r.Notes)
			continue
		}
		s := r.Series[0]
		if dose, raw := float64(s.Jars[1].Doses[0].Concentration), s.Raw[jartest.Turbidity].Value; dose != 2*10/0.5 || raw != 55 || len(loud(r)) > 0 {
			t.Errorf("%s: dose %g, raw %g, %v", sheet, dose, raw, r.Notes)
		}
	}
}

// Each test has its chemical, its stock, its jars and its water in its own title.
func TestAllInTheTitleOfATest(t *testing.T) {
	const jars = "Jar,mL,NTU\n1,1,15\n2,2,6.6\n3,3,2.9\n4,4,2.5\n"
	for _, chem := range []string{"alum", "ferric sulphate", "PACl"} {
		for _, strength := range []string{"10 g/L", "1 %", "5 g/500 mL"} {
			title := quoted("Test 1: " + chem + " " + strength + ", 2 L jars, raw 29 NTU")
			other := quoted("Test 2: alum 20 g/L, 1 L jars, raw 33 NTU")
			r := mustRead(t, "s.csv", title+"\n"+jars+"\n"+other+"\n"+jars, Options{})
			if len(r.Series) != 2 {
				t.Errorf("%s: %d series, %v", title, len(r.Series), r.Notes)
				continue
			}
			a, b := r.Series[0], r.Series[1]
			if x, y := doses(a, 0), doses(b, 0); x[1] != 2*10/2.0 || y[1] != 2*20 || a.Raw[jartest.Turbidity].Value != 29 || b.Raw[jartest.Turbidity].Value != 33 || len(loud(r)) > 0 {
				t.Errorf("%s: %v, %v, raw %v and %v, %v", title, x, y, a.Raw, b.Raw, r.Notes)
			}
		}
	}
}

// One column for each date: every date a test with its own raw water, from the first row.
func TestDatesAcrossWithTheirRawWater(t *testing.T) {
	for _, raw := range []string{"raw water", "Rohwasser", "agua cruda", "0"} {
		for _, at := range []string{"top", "end"} {
			lines := []string{raw + ",18.5,31,64", "10,9,14,26", "15,5.1,8.2,17", "20,2.6,4.4,9.3"}
			if at == "end" && raw != "0" {
				lines = append(lines[1:], lines[0])
			}
			sheet := "Settled turbidity (NTU) by date of test\nAlum dose (mg/L),2026-03-02,2026-03-16,2026-04-01\n" + strings.Join(lines, "\n") + "\n"
			if _, err := csv.NewReader(strings.NewReader(sheet)).ReadAll(); err == nil && strings.Count(lines[0], ",") != 3 {
				t.Fatal("a line of another length")
			}
			r := mustRead(t, "s.csv", sheet, Options{})
			if len(r.Series) != 3 {
				t.Errorf("%s: %d series, %v", sheet, len(r.Series), r.Notes)
				continue
			}
			for i, want := range []float64{18.5, 31, 64} {
				s := r.Series[i]
				if got := s.Raw[jartest.Turbidity].Value; raw != "0" && (got != want || len(s.Jars) != 3 || doses(s, 0)[0] != 10) || raw == "0" && len(s.Jars) != 4 {
					t.Errorf("%s: test %d: raw %g, doses %v, %v", sheet, i+1, got, doses(s, 0), r.Notes)
				}
			}
		}
	}
}
