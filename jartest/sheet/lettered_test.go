package sheet

import (
	"fmt"
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

// TestNamesakesByLetter: of columns that bear one unknown heading each is what its own letter says, and the others keep what they
// are; the account names each by its letter, so that a page can too.
func TestNamesakesByLetter(t *testing.T) {
	const text = "Pot,Value,Value,Value\n1,0,40,7.4\n2,10,28,7.2\n3,20,12,7.0\n4,30,5,6.8\n5,40,3,6.7\n6,50,3.2,6.5\n"
	dose, reading, acid := Override{Header: "B", Meaning: "dose alum mg/L"}, Override{Header: "c", Meaning: "turbidity NTU"}, Override{Header: "D", Meaning: "ph"}
	for _, c := range []struct {
		said []Override
		want string
	}{
		{[]Override{dose, reading, acid}, "turbidity 5, ph 6.8"},
		{[]Override{acid, reading, dose}, "turbidity 5, ph 6.8"},
		{[]Override{dose, reading}, "turbidity 5, value 6.8"},
		{[]Override{dose, acid}, "ph 6.8, value 5"},
		{[]Override{dose, reading, {Header: "D", Meaning: "ignore"}}, "turbidity 5"},
	} {
		r, err := Read("t.csv", strings.NewReader(text), Options{Columns: c.said, Account: true})
		if err != nil || len(r.Series) != 1 || len(r.Series[0].Jars) != 6 {
			t.Errorf("%v: %v, %d series, %v", c.said, err, len(r.Series), r.Notes)
			continue
		}
		x := r.Series[0].Jars[3]
		var got []string
		for _, k := range r.Series[0].Keys() {
			v, _ := x.Readings.Get(k)
			got = append(got, fmt.Sprint(k, " ", v.Value))
		}
		if d := x.Doses[0].Concentration.String(); strings.Join(got, ", ") != c.want || d != "30 mg/L" {
			t.Errorf("%v: jar 4 has %s, %v, want %s", c.said, d, got, c.want)
		}
		for _, n := range r.Notes {
			if n.Code == "column-several" || n.Code == "repeats-by-heading" {
				t.Errorf("%v: %s", c.said, n.Message)
			}
		}
		for _, h := range r.Account.Sheets[0].Columns[1:] {
			if h.Heading != h.At[:1] {
				t.Errorf("%v: the column at %s is named %q", c.said, h.At, h.Heading)
			}
		}
	}
}
