package sheet

import (
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// Numbers on the rows of a table are part of it, or are spoken of; they are never the raw
// water.
func TestNumbersBesideTable(t *testing.T) {
	const notJoined, unread = "column-apart", "not-used"
	for _, c := range []struct {
		sheet, caution, note string
		readings             int // of the second jar
	}{
		{"Jar,Alum (mg/L),NTU,,pH\n1,0,30,,7.5\n2,10,9,,7.4\n3,20,5,,7.2\n", "", "", 2},
		{"Jar,Alum (mg/L),NTU,,pH\n1,0,30,,7.5\n2,10,9,,7.4\n3,20,5,,7.2\n,,,,7.2\n,,,,7.1\n", notJoined, "", 1},
		{"Jar,Alum (mg/L),NTU,,Stage\n1,0,30,,7.5\n2,10,9,,7.4\n3,20,5,,7.2\n", "", unread, 1},
		{"Jar,Alum (mg/L),NTU,,,\n1,0,30,,,7.5\n2,10,9,,,7.4\n3,20,5,,,7.2\n", "", unread, 1},
		{"Jar,Alum (mg/L),NTU,,Alum (mg/L),Stock (mL)\n1,0,30,,0,0\n2,10,9,,10,1\n3,20,5,,20,2\n", "", unread, 1},
		{"Jar,Alum (mg/L),NTU,,Remarks\n1,0,30,,cloudy\n2,10,9,,\n3,20,5,,fine\n", "", "", 1},
	} {
		r := mustRead(t, "s.csv", c.sheet, Options{Account: true})
		s := r.Series[0]
		if n := len(s.Jars[1].Readings); n != c.readings || len(s.Raw) > 0 {
			t.Errorf("%s: %d readings, raw %v", c.sheet, n, s.Raw)
		}
		if got := strings.Join(codesAt(r.Notes, note.Caution), " "); got != c.caution {
			t.Errorf("%s: says %q, want %q", c.sheet, got, c.caution)
		}
		got := ""
		for _, n := range r.Account.Unused {
			got = n.Code
		}
		if got != c.note {
			t.Errorf("%s: notes %v, want %q", c.sheet, r.Account.Unused, c.note)
		}
	}
}
