package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

func hasCode(r Result, code string) bool {
	return slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == code })
}

// A range in a cell of readings is read as its middle, and said; one that falls, and one of doses, is asked about.
func TestRangesAsReadings(t *testing.T) {
	for cell, want := range map[string]float64{"3-4": 3.5, "3 - 4": 3.5, "3–4": 3.5, "3 to 4": 3.5, "8 bis 10": 9, "3..4": 3.5, "3.0-4.5 NTU": 3.75, "12 … 16": 14} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,0,35\n2,10,20\n3,20,"+cell+"\n", Options{})
		x := r.Series[0].Jars[2].Readings.Of(jartest.Turbidity)
		if x.State != jartest.Number || x.Value != want || !quotes(r, cell) || !quotes(r, "middle") {
			t.Errorf("%q is read as %v, want %v: %v", cell, x.Value, want, r.Notes)
		}
	}
	for _, cell := range []string{"4-3", "10 to 8"} {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,0,35\n2,10,20\n3,20,"+cell+"\n", Options{})
		if x := r.Series[0].Jars[2].Readings.Of(jartest.Turbidity); x.State != jartest.Missing || len(loud(r)) == 0 {
			t.Errorf("%q is read as %v: %v", cell, x.Value, r.Notes)
		}
	}
	if r := mustReadAny(t, "Jar,Alum (mg/L),NTU\n1,0,35\n2,10-12,20\n3,20,8\n", Options{}); !hasCode(r, "unclear-dose") {
		t.Errorf("a range of doses: %v", r.Notes)
	}
}

// A mark behind a number leaves the number and speaks.
func TestMarksBehindNumbers(t *testing.T) {
	for _, cell := range strings.Fields("8? 8* 8! 8† 8~ 8✓") {
		r := mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU\n1,0,35\n2,10,20\n3,20,"+cell+"\n", Options{})
		if x := r.Series[0].Jars[2].Readings.Of(jartest.Turbidity); x.Value != 8 || !quotes(r, cell) {
			t.Errorf("%q is read as %v: %v", cell, x.Value, r.Notes)
		}
	}
}

// "ppt" is used for parts per thousand and for parts per trillion: a dose in it asks, the salinity of the water does not.
func TestUnitOfTwoMeanings(t *testing.T) {
	r := mustReadAny(t, "Jar,Alum (ppt),NTU\n1,0,35\n2,10,20\n3,20,8\n", Options{})
	if !hasCode(r, "unit-doubtful") || r.Notes.Err() == nil || len(r.Series) > 0 {
		t.Errorf("a dose in ppt: %v", r.Notes)
	}
	r = mustRead(t, "s.csv", "Jar,Alum (mg/L),NTU,Salinity (ppt)\n1,0,35,28\n2,10,20,28\n3,20,8,28\n", Options{})
	if len(loud(r)) > 0 || len(r.Series) != 1 {
		t.Errorf("salinity in ppt: %v", r.Notes)
	}
}

// A number that only counts readings is none.
func TestOrdinalsAreNoReadings(t *testing.T) {
	r := mustRead(t, "s.csv", "Raw pH | 2nd,7.4\nRaw turbidity | 2nd,34\nJar,Alum (mg/L),NTU\n1,0,35\n2,10,20\n3,20,8\n", Options{})
	if raw := r.Series[0].Raw; raw[jartest.PH].Value == 2 || raw[jartest.Turbidity].Value == 2 || !quotes(r, "2nd") {
		t.Errorf("raw %v: %v", raw, r.Notes)
	}
}

// The unit in the brackets of a title that names the chemical is that of a dose without one.
func TestUnitInTheTitle(t *testing.T) {
	for _, title := range []string{"Koagulering med jernklorid (mg Fe/l)", "Flockungsversuch mit Eisenchlorid (mg Fe/l)", "Jar test of ferric chloride (mg Fe/L)"} {
		r := mustRead(t, "s.csv", title+"\nGlas,Dosis,NTU\n1,0,35\n2,2,20\n3,4,8\n", Options{})
		if len(loud(r)) > 0 || r.Series[0].Chemicals[0].Basis.String() != "as Fe" || !equal(doses(r.Series[0], 0), []float64{0, 2, 4}) {
			t.Errorf("%q: %v, %v", title, r.Series[0].Chemicals, r.Notes)
		}
	}
	r := mustRead(t, "s.csv", "Jar test of alum (g/L)\nJar,Dose,NTU\n1,0,35\n2,0.02,20\n3,0.04,8\n", Options{})
	if !equal(doses(r.Series[0], 0), []float64{0, 20, 40}) {
		t.Errorf("in g/L: %v, %v", doses(r.Series[0], 0), r.Notes)
	}
}

// A word that a point cuts short is the one word that begins so.
func TestWordsCutShort(t *testing.T) {
	r := mustRead(t, "s.csv", "Sklenice,Síran hlinitý (mg/l),Zákal (NTU),Al zbytk. (mg/l)\n1,0,35,0.02\n2,10,20,0.1\n3,20,8,0.12\n", Options{})
	if got := values(r.Series[0], jartest.ResidualAl); !equal(got, []float64{.02, .1, .12}) || len(r.Series[0].Chemicals) != 1 {
		t.Errorf("residual aluminium %v: %v", got, r.Notes)
	}
}
