package sheet

import (
	"strings"
	"testing"
)

// Rows that look like jars and stand below the table, after a gap or under a line of their own, are read or
// spoken of; what has headings of its own, or a word that says what it is, needs no such word.
func TestRowsBelowSpeak(t *testing.T) {
	const head, three, more = "Jar,Alum (mg/L),Turbidity (NTU)\n", "1,0,38\n2,10,22\n3,20,9\n", "4,30,4.1\n5,40,3\n6,50,3.1\n"
	for text, rows := range map[string]string{
		head + three + ",,\n,,\n" + more:                            "3 rows, 7 to 9, hold",
		head + three + ",,\n,,\n4,30,4.1\n":                         "row 7 holds",
		"pond b\n" + head + three + ",,\npond c\n" + more:           "3 rows, 8 to 10, hold",
		head + three + ",,\n,,\nJar,pH\n1,7.4\n2,7.2\n":             "",
		head + three + ",,\n,,\nchosen,20,\n":                       "",
		head + three + more + ",,\n" + "Mean,25,13.2\n":             "",
		head + three + ",,\n" + head + "1,0,50\n2,10,31\n3,20,15\n": "",
	} {
		r, err := Read("f.csv", strings.NewReader(text), Options{})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, n := range r.Notes {
			if n.Code == "rows-below" {
				said += n.Message
			}
		}
		if (said == "") != (rows == "") || !strings.HasPrefix(said, rows) {
			t.Errorf("%q: %q, want %q", text, said, rows)
		}
	}
}
