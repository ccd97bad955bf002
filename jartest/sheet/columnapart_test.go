package sheet

import (
	"slices"
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
		{"Jar,Alum (mg/L),NTU,,,\n1,0,30,,,7.5\n2,10,9,,,7.4\n3,20,5,,,7.2\n", "column-beside", "", 1},
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

// Numbers on the rows of a table that nothing heads speak, wherever they were pasted; facts and
// remarks beside it do not.
func TestFiguresBesideATable(t *testing.T) {
	for beside, speaks := range map[string]bool{
		",,;,,60;,,29;,,13;,,5.1":          true, // two columns away
		",,,;,,,60;,,,29;,,,13;,,,5.1":     true, // three
		",,;,,60;,,;,,;,,":                 false,
		",;,Notes;,stirred;,;,":            false,
		",,;,Stock (g/L),10;,Jar (L),1;,,": false,
		",,;,,;,,;,,;,,":                   false,
	} {
		rows := []string{"Jar,Alum (mg/L),Turbidity (NTU)", "1,0,62", "2,10,31", "3,20,12", "4,30,5.4"}
		text := ""
		for i, x := range strings.Split(beside+";;", ";")[:5] {
			text += rows[i] + x + "\n"
		}
		codes, _ := codesOf(t, text)
		if got := slices.Contains(codes, "column-beside"); got != speaks {
			t.Errorf("%s: spoken of %v, want %v (%q)", beside, got, speaks, codes)
		}
	}
	codes, _ := codesOf(t, "7.5,,Jar,Alum (mg/L),Turbidity (NTU)\n7.4,,1,0,62\n7.3,,2,10,31\n7.2,,3,20,12\n")
	if len(codes) == 0 {
		t.Error("numbers left of a table, one beside its headings: nothing is said")
	}
	codes, _ = codesOf(t, ",,Jar,Alum (mg/L),Turbidity (NTU)\n7.4,,1,0,62\n7.3,,2,10,31\n7.2,,3,20,12\n")
	if !slices.Contains(codes, "column-beside") {
		t.Errorf("numbers left of a table: %q", codes)
	}
}

// Fractions that do not rise under no heading are readings rather than labels; repeats are
// numbered by rising ones.
func TestFractionsForLabels(t *testing.T) {
	for labels, speaks := range map[string]bool{"7.5|7.3|7.1|7.0": true, "1.1|1.2|2.1|2.2": false, "4|3|2|1": false, "A1|A2|B1|B2": false} {
		codes, _ := codesOf(t, table("|"+labels, "Alum (mg/L)|0|10|20|30", "Turbidity (NTU)|62|31|12|5.4"))
		if got := slices.Contains(codes, "headless-columns"); got != speaks {
			t.Errorf("%s: spoken of %v, want %v (%q)", labels, got, speaks, codes)
		}
	}
}
