package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest"
)

// TestColumnsNamedByLetter: a sheet whose headings are all unknown is read where its columns are named by their letters,
// in either case and in whatever order; one letter alone is asked for the other and not called a heading that is not there.
func TestColumnsNamedByLetter(t *testing.T) {
	const text = "Werk;Nord;\nDatum;2026-03-02;\n\nTopf;Menge;Wert\n1;0;38,4\n2;5;24,1\n3;10;13,3\n4;15;6,8\n5;20;4,1\n6;25;2,8\n7;30;3,5\n"
	dose, reading := Override{Header: "B", Meaning: "dose mg/L alum as product"}, Override{Header: "c", Meaning: "turbidity NTU"}
	for _, said := range [][]Override{{dose, reading}, {reading, dose}, {{Header: "Menge", Meaning: dose.Meaning}, reading}} {
		r, err := Read("t.csv", strings.NewReader(text), Options{Columns: said})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 7 {
			t.Fatalf("%v: %v, %d series, %v", said, err, len(r.Series), r.Notes)
		}
		x := r.Series[0].Jars[4]
		if at, ok := x.Readings.Get(jartest.Turbidity); len(x.Doses) != 1 || x.Doses[0].Concentration.String() != "20 mg/L" || !ok || at.Value != 4.1 {
			t.Errorf("%v: jar 5 has %v, %v", said, x.Doses, at)
		}
		for _, n := range r.Notes {
			if n.Code == "no-such-column" || n.Code == "column-several" {
				t.Errorf("%v: %s", said, n.Message)
			}
		}
	}
	for _, c := range []struct{ letter, code string }{{"C", "no-doses"}, {"Q", "no-such-column"}} {
		r, err := Read("t.csv", strings.NewReader(text), Options{Columns: []Override{{Header: c.letter, Meaning: reading.Meaning}}})
		if err != nil || len(r.Series) > 0 {
			t.Fatalf("%s: %v, %d series %v", c.letter, err, len(r.Series), r.Notes)
		}
		codes := ""
		for _, n := range r.Notes {
			codes += " " + n.Code
		}
		if !strings.Contains(codes, c.code) || c.letter == "C" && strings.Contains(codes, "no-such-column") {
			t.Errorf("%s alone: %s", c.letter, codes)
		}
	}
}
