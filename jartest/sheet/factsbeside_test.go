package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest"
	"jarwright/jartest/note"
)

// placeOf gives the cell of the first note with a code.
func placeOf(r Result, code string) string {
	i := slices.IndexFunc(r.Notes, func(n note.Note) bool { return n.Code == code })
	if i < 0 {
		return ""
	}
	return r.Notes[i].Cell
}

// Facts that lie in neighbouring cells each stand in their own cell, and none is the value of another.
func TestFactsInNeighbouringCells(t *testing.T) {
	const jars = "\nJar,Alum stock (mL),NTU\n1,0,35\n2,3,20\n3,6,8\n" // 3 mL × 10 g/L in 2 L is 15 mg/L
	for line, cells := range map[string][2]string{
		"Alum stock 10 g/L,Jar volume 2 L,Raw 35 NTU":        {"A1", "B1"},
		"Stock 10 g/L,2 L jars,Raw 35 NTU":                   {"A1", "B1"},
		"Alum,2 L jars,1% stock,raw 35 NTU":                  {"C1", "B1"},
		"Raw 35 NTU,Stock 10 g/L,Jar volume 2 L":             {"B1", "C1"},
		"Stock 10 g/L,in jars of,2 L,Raw,35 NTU":             {"A1", "B1"},
		"Jar volume,2 L,Stock,10 g/L,Sample,50 mL":           {"C1", "A1"},
		"Stock strength,10 g/L,Jar volume,2 L,Raw,35 NTU":    {"A1", "C1"},
		"Stock:,10,g/L,Jar volume:,2,L,Operator,AB,Place,P4": {"A1", "D1"},
	} {
		r := mustRead(t, "s.csv", line+jars, Options{})
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 15, 30}) || len(loud(r)) > 0 {
			t.Errorf("%q: %v", line, r.Notes)
			continue
		}
		if stock, jar := placeOf(r, "stock-strength"), placeOf(r, "jar-volume"); stock != cells[0] || jar != cells[1] {
			t.Errorf("%q: stock at %s, jar at %s, want %v", line, stock, jar, cells)
		}
		if raw := r.Series[0].Raw[jartest.Turbidity].Value; strings.Contains(line, "35 NTU") && raw != 35 {
			t.Errorf("%q: raw %v", line, raw)
		}
	}
	// what bears on the value all the same is quoted
	for _, line := range []string{"Stock 10 g/L,half of it,Jar volume 2 L", "Jar volume,2 L,but 1 L in jar 3,Stock 10 g/L"} {
		if r := mustReadAny(t, line+jars, Options{}); len(loud(r)) == 0 && r.Notes.Err() == nil {
			t.Errorf("%q is silent: %v", line, r.Notes)
		}
	}
}

// A heading that says how much a jar holds is one of labels, and its volume that of the jars; another volume asks.
func TestJarsSizedByTheirHeading(t *testing.T) {
	for head, litres := range map[string]float64{"Jar (1 L)": 1, "Beaker (500 mL)": .5, "Jar 2 L": 2, "Glas (2 l)": 2} {
		r := mustRead(t, "s.csv", head+",Alum 1% stock (mL),NTU\n1,0,35\n2,3,20\n3,6,8\n", Options{})
		want := []float64{0, 30 / litres, 60 / litres} // 3 mL × 10 g/L
		if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), want) || r.Series[0].Jars[1].Label != "2" || len(r.Series[0].Keys()) != 1 {
			t.Errorf("%s: %v", head, r.Notes)
		}
	}
	for _, line := range []string{"4 L of raw water per jar", "Jar volume 2 L", "4 L of pond water per jar"} {
		r := mustReadAny(t, line+"\nJar (1 L),Alum 1% stock (mL),NTU\n1,0,35\n2,3,20\n3,6,8\n", Options{})
		if r.Notes.Err() == nil && !slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Code == "facts-disagree" }) {
			t.Errorf("%q beside a heading of 1 L: %v", line, r.Notes)
		}
	}
	// a column of volumes is no column of labels
	r := mustReadAny(t, "Jar,Jar volume (L),Alum 1% stock (mL),NTU\n1,1,0,35\n2,2,6,20\n3,1,6,8\n", Options{})
	if len(r.Series) != 1 || !equal(doses(r.Series[0], 0), []float64{0, 30, 60}) {
		t.Errorf("a column of volumes: %v", r.Notes)
	}
}

// A line on the target or on how the jars were set up names no test.
func TestSetUpNamesNoTest(t *testing.T) {
	for line, want := range map[string]string{
		"Target 5 NTU": "s", "Goal: 5 NTU": "s", "Jar volume 1 L": "s", "2 L beakers": "s", "Zielwert 5 NTU": "s", "Pond 3; 2 L jars": "Pond 3",
		"Pond A (raw 33 NTU)": "Pond A (raw 33 NTU)", "Storm of May": "Storm of May", "\"Jar test, storm water\",6 jars": "Jar test, storm water",
	} {
		r := mustRead(t, "s.csv", line+"\nJar,Alum (mg/L),NTU\n1,0,35\n2,10,20\n3,20,8\n", Options{})
		if len(r.Series) != 1 || r.Series[0].Name != want {
			t.Errorf("%q names %q, want %q", line, r.Series[0].Name, want)
		}
	}
}

// The bucket into which a chemical is put is none of the jars.
func TestBucketOfTheStockIsNoJar(t *testing.T) {
	for _, line := range []string{"2 scoops of alum in a bucket of 10 L", "50 g of alum into a bucket of 10 L", "Alum in a bucket of 10 L"} {
		r := mustReadAny(t, line+"\nJar,Stock (mL),NTU\n1,0,35\n2,10,20\n3,20,8\n", Options{Stock: 5000})
		if r.Notes.Err() == nil || placeOf(r, "jar-volume") != "" {
			t.Errorf("%q: %v", line, r.Notes)
		}
	}
}
