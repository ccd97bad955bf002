package sheet

import (
	"testing"

	"jarwright/jartest"
)

// Lines jotted on a phone in many hands are a table of jars: numbers named by the word before them, what got nothing, times
// of messages.
func TestLinesOfPhones(t *testing.T) {
	type want struct{ dose, ntu []float64 }
	falling := want{[]float64{10, 20, 30}, []float64{20, 8, 5}}
	with0 := want{[]float64{0, 10, 20, 30}, []float64{35, 20, 8, 5}}
	last0 := want{[]float64{10, 20, 30, 0}, []float64{20, 8, 5, 35}}
	for text, w := range map[string]want{
		"10mg/l alum: 20ntu\n20mg/l alum: 8ntu\n30mg/l alum: 5ntu\nno alum: 35ntu\n":                                                      last0,
		"alum 10 ppm gave 20 ntu\nalum 20 ppm gave 8 ntu\nalum 30 ppm gave 5 ntu\nblank 35 ntu\n":                                         last0,
		"Jar 1: dose 0, NTU 35\nJar 2: dose 10, NTU 20\nJar 3: dose 20, NTU 8\nJar 4: dose 30, NTU 5\nAlum mg/L\n":                        with0,
		"alum @ 10 - 20 NTU\nalum @ 20 - 8 NTU\nalum @ 30 - 5 NTU\n":                                                                      falling,
		"[09:12] Tom: jar 1 10 ppm alum 20 ntu\n[09:14] Tom: jar 2 20 ppm alum 8 ntu\n[09:15] Tom: jar 3 30 ppm alum 5 ntu\n":             falling,
		"Alum 10 mg/L  NTU 20  pH 7.1\nAlum 20 mg/L  NTU 8  pH 6.9\nAlum 30 mg/L  NTU 5  pH 6.8\n":                                        falling,
		"alum\n0 ppm = 35\n10 ppm = 20\n20 ppm = 8\n30 ppm = 5 ntu\n":                                                                     with0,
		"Becher 1: 10 mg/l Alaun, 20 NTU\nBecher 2: 20 mg/l Alaun, 8 NTU\nBecher 3: 30 mg/l Alaun, 5 NTU\nBecher 4: ohne Alaun, 35 NTU\n": last0,
	} {
		r := mustRead(t, "s.txt", text, Options{})
		if len(r.Series) != 1 {
			t.Errorf("%q: %d series, %v", text, len(r.Series), r.Notes)
			continue
		}
		if s := r.Series[0]; s.Chemicals[0].Name != "alum" || !equal(doses(s, 0), w.dose) || !equal(values(s, jartest.Turbidity), w.ntu) {
			t.Errorf("%q: %v of %s, %v: %v", text, doses(s, 0), s.Chemicals[0].Name, values(s, jartest.Turbidity), r.Notes)
		}
	}
}

// Of a dose without a unit it is said what was taken for one.
func TestLinesOfPhonesWithoutUnits(t *testing.T) {
	r := mustRead(t, "s.txt", "alum @ 10 - 20 NTU\nalum @ 20 - 8 NTU\nalum @ 30 - 5 NTU\n", Options{})
	if !hasCode(r, "unit-assumed") {
		t.Errorf("silent: %v", r.Notes)
	}
}

// A matrix whose sides name their chemical in every cell.
func TestMatrixNamedInEveryCell(t *testing.T) {
	const body = "10,30,25,20\n20,20,12,9\n30,10,5,4\n"
	for text, spoken := range map[string]bool{
		"Turbidity (NTU),,,\n,Polymer 0,Polymer 0.1,Polymer 0.2\nAlum 10,30,25,20\nAlum 20,20,12,9\nAlum 30,10,5,4\n": true, // no unit
		"Residual NTU: alum (mg/L) down and polymer (mg/L) across,,,\n,0,0.1,0.2\n" + body:                            false,
	} {
		r := mustRead(t, "s.csv", text, Options{})
		if len(r.Series) != 1 || len(r.Series[0].Jars) != 9 || len(r.Series[0].Chemicals) != 2 {
			t.Errorf("%q: %v", text, r.Notes)
			continue
		}
		s := r.Series[0]
		alum := 0
		if s.Chemicals[1].Name == "alum" {
			alum = 1
		}
		for _, j := range s.Jars {
			a, p, x := float64(j.Doses[alum].Concentration), float64(j.Doses[1-alum].Concentration), j.Readings.Of(jartest.Turbidity).Value
			if a == 20 && p == .1 && x != 12 || a == 30 && p == .2 && x != 4 || a == 10 && p == 0 && x != 30 {
				t.Errorf("%q: %v and %v read %v", text, a, p, x)
			}
		}
		if spoken != (len(loud(r)) > 0) {
			t.Errorf("%q: %v", text, r.Notes)
		}
	}
	// numbered columns of one chemical are no doses
	if r := mustRead(t, "s.csv", "NTU,,,\n,Alum 1,Alum 2,Alum 3\n10,30,25,20\n20,20,12,9\n30,10,5,4\n", Options{}); len(r.Series) == 1 && len(loud(r)) == 0 {
		t.Errorf("numbered columns: %v", r.Series)
	}
}
