package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

func mustRead(t *testing.T, name, text string, opt Options) Result {
	t.Helper()
	r, err := Read(name, strings.NewReader(text), opt)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return r
}

func doses(s jartest.Series, c int) []float64 {
	var out []float64
	for _, j := range s.Jars {
		out = append(out, float64(j.Doses[c].Concentration))
	}
	return out
}

func values(s jartest.Series, k jartest.Key) []float64 {
	var out []float64
	for _, j := range s.Jars {
		out = append(out, j.Readings.Of(k).Value)
	}
	return out
}

func equal(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if d := a[i] - b[i]; d > 1e-9 || d < -1e-9 {
			return false
		}
	}
	return true
}

// Davis, Water and Wastewater Engineering (2010), chapter 6, jar test II: alum at
// pH 6, turbidity left.
func TestPublishedAlumScan(t *testing.T) {
	r := mustRead(t, "scan.csv", `jar,pH,alum_dose_mg_per_L,settled_turbidity_NTU
1,6.0,5,14
2,6.0,7,9.5
3,6.0,10,5
4,6.0,12,4.5
5,6.0,15,6
6,6.0,20,13
`, Options{})
	if len(r.Series) != 1 || r.Notes.Worst() > note.Info {
		t.Fatalf("want one series without cautions, got %d: %v", len(r.Series), r.Notes)
	}
	s := r.Series[0]
	if got, want := doses(s, 0), []float64{5, 7, 10, 12, 15, 20}; !equal(got, want) {
		t.Errorf("doses %v, want %v", got, want)
	}
	if got, want := values(s, jartest.Turbidity), []float64{14, 9.5, 5, 4.5, 6, 13}; !equal(got, want) {
		t.Errorf("turbidity %v, want %v", got, want)
	}
	if got := s.Jars[2].Readings.Of(jartest.Turbidity).At.Cell; got != "D4" {
		t.Errorf("the reading of jar 3 is said to stand at %s, want D4", got)
	}
	if s.Chemicals[0].Name != "alum" || s.Name != "scan" {
		t.Errorf("chemical %q, name %q", s.Chemicals[0].Name, s.Name)
	}
}

// Davis, the same chapter, jar test I: pH varied at 10 mg/L of alum.
func TestPublishedPHScan(t *testing.T) {
	r := mustRead(t, "ph.csv", `jar,pH,alum_dose_mg_per_L,settled_turbidity_NTU
1,5.0,10,11
2,5.5,10,7
3,6.0,10,5.5
4,6.5,10,5.7
5,7.0,10,8
6,7.5,10,13
`, Options{})
	if len(r.Series) != 1 || len(r.Series[0].Jars) != 6 {
		t.Fatalf("got %+v %v", r.Series, r.Notes)
	}
	if got := r.Series[0].Jars[3].Settings["ph_target"]; got != 6.5 {
		t.Errorf("the varied pH of jar 4 is %v, want 6.5", got)
	}
}

func TestLongForm(t *testing.T) {
	r := mustRead(t, "long.csv", "test,dose (mg/L),turbidity (NTU),target turbidity (NTU)\nA,0,55,5\nA,10,20,5\nA,20,<2,5\nB,0,60,4\nB,10,30,4\nB,20,12,4\n", Options{})
	if len(r.Series) != 2 {
		t.Fatalf("want two series, got %d: %v", len(r.Series), r.Notes)
	}
	a, b := r.Series[0], r.Series[1]
	if a.Name != "A" || b.Name != "B" {
		t.Errorf("names %q, %q", a.Name, b.Name)
	}
	if x := a.Jars[2].Readings.Of(jartest.Turbidity); x.State != jartest.Below || x.Value != 2 || !x.Limit {
		t.Errorf("<2 was read as %+v", x)
	}
	if len(a.Targets) != 1 || a.Targets[0].String() != "turbidity <= 5 NTU" || len(b.Targets) != 1 || b.Targets[0].String() != "turbidity <= 4 NTU" {
		t.Errorf("targets %v and %v", a.Targets, b.Targets)
	}
}

// Several readings of one jar, as published zeta potential sets have them, are
// replicates of that jar and not jars.
func TestReadingsOfOneJar(t *testing.T) {
	r := mustRead(t, "zeta.csv", `source_record,jar_label,reading_in_jar,alum_dose_mg_per_L,zeta_potential_mV,conductivity_mS_per_cm
570,LO 0 rep1,1,0.0,-9.0,0.319
571,LO 0 rep1,2,0.0,-9.45,0.318
572,LO 0 rep1,3,0.0,-10.3,0.32
573,LO 5 rep1,1,5,-15.5,0.309
574,LO 5 rep1,2,5,-13.0,0.31
575,LO 5 rep1,3,5,-14.6,0.311
`, Options{})
	if len(r.Series) != 1 || len(r.Series[0].Jars) != 2 {
		t.Fatalf("want 2 jars, got %+v %v", r.Series, r.Notes)
	}
	z := r.Series[0].Jars[0].Readings.Of(jartest.Zeta)
	if len(z.Replicates) != 3 || z.Replicates[2].Value != -10.3 || z.N != 3 {
		t.Errorf("zeta of the first jar: %+v", z)
	}
	if c := r.Series[0].Jars[1].Readings.Of(jartest.Conductivity); c.Replicates[0].Value != 309 || c.Unit != "uS/cm" {
		t.Errorf("conductivity of the second jar: %+v", c)
	}
}
