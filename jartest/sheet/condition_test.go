package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// codesOf gives the codes of what is said of a sheet of text beyond notes.
func codesOf(t *testing.T, text string) (codes []string, res Result) {
	t.Helper()
	res, err := Read("t.csv", strings.NewReader(text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range res.Notes {
		if n.Level >= note.Caution {
			codes = append(codes, n.Code)
		}
	}
	return codes, res
}

// table writes columns as a sheet of text: a heading and its cells each.
func table(columns ...string) string {
	var rows []string
	for i, c := range columns {
		for k, cell := range strings.Split(c, "|") {
			if i == 0 {
				rows = append(rows, cell)
			} else {
				rows[k] += "," + cell
			}
		}
	}
	return strings.Join(rows, "\n") + "\n"
}

const (
	sixDoses = "Alum (mg/L)|0|10|20|30|40|50"
	sixTurb  = "Turbidity (NTU)|62|31|12|5.4|3.8|4.9"
)

// What was set otherwise for some jars speaks, whatever its name; what was read in them, or is
// alike in all, does not.
func TestConditionsThatDiffer(t *testing.T) {
	for column, speaks := range map[string]bool{
		"Settling time (min)|30|30|30|60|60|60":               true,
		"Settling time (min)|30|30|30|30|30|30":               false,
		"Settled (min)|30|30|30|30|45|30":                     true, // one jar only
		"Settling time (h)|0.5|0.5|0.5|1|1|1":                 true,
		"Settling time (min)|30|30|30|1 h|1 h|1 h":            true,
		"Settling time (min)|60|60|60|1 h|1 h|1 h":            false, // 1 h is 60 min
		"Settled|30 min|30 min|30 min|1 h|1 h|1 h":            true,
		"Absetzzeit (min)|30|30|30|60|60|60":                  true,
		"沉淀时间(min)|30|30|30|60|60|60":                         true,
		"Flocculation time (min)|10|10|10|20|20|20":           true,
		"Stirring (rpm)|40|40|40|40|80|80":                    true,
		"Stirring (rpm)|40|40|40|40|40|40":                    false,
		"Temperature (C)|5|5|5|18|18|18":                      true,
		"Temperature (C)|11.2|11.4|11.5|11.8|12.0|12.1":       false, // the bench warmed up
		"Filtered|no|no|no|yes|yes|yes":                       true,
		"Filtered|no|no|no|no|no|no":                          false,
		"Settling time (min)|60|45|30|20|15|10":               true,  // each its own, in round numbers
		"Settling time (min)|22|12|9|7|6|6":                   false, // seen, not set
		"Time to settle (min)|20|10|10|5|5|5":                 false,
		"Read after (min)|60|45|30|20|15|10":                  true,
		"Settling|15|15|15|30|30|30":                          true, // minutes or not
		"Settling|1|2|2|3|3|3":                                false,
		"Mixing time|60 s|60 s|60 s|120 s|120 s|120 s":        true,
		"Settling time|15 min|15 min|15 min|1 h|1 h|1 h":      true,
		"Mixing time|60 s|60 s|60 s|60 s|60 s|60 s":           false,
		"Settling|15 min|15 min|15 min|30 min|30 min|30 min":  true,
		"Settling|15 min|15 min|15 min|15 min|15 min|15 min":  false,
		"Settling|0:15|0:15|0:15|0:30|0:30|0:30":              true,
		"Settling|good|good|good|poor|poor|poor":              false,
		"First floc (min)||12|8|5|4|4":                        false, // seen, not set
		"CST (s)|40|22|15|12|10|9":                            false,
		"Floc size|0|1|2|3|3|4":                               false,
		"Read at|10:30|10:31|10:32|10:33|10:34|10:35":         false,
		"Remarks|cloudy|pin floc|pin floc|good|good|good":     false,
		"Colour (Pt-Co)|60|40|20|10|10|10":                    false,
		"Operator|first|first|first|second|second|second":     false,
		"Rapid mix (s)|60|60|60|60|60|60":                     false,
		"Rapid mix (rpm)|200|200|200|100|100|100":             true,
		"Tiempo de sedimentación (min)|30|30|30|60|60|60":     true,
		"Pore size of filter (µm)|0.45|0.45|0.45|1.2|1.2|1.2": true,
	} {
		codes, _ := codesOf(t, table("Jar|1|2|3|4|5|6", sixDoses, column, sixTurb))
		if got := slices.Contains(codes, "conditions-differ"); got != speaks {
			t.Errorf("%s: spoken of %v, want %v (%q)", column, got, speaks, codes)
		}
	}
}

// Of a column that nobody knows only a dose that comes again under another value tells that
// it was set.
func TestUnknownConditions(t *testing.T) {
	again := "Alum (mg/L)|0|10|20|20|30|40"
	for _, x := range []struct {
		doses, column string
		speaks        bool
	}{
		{again, "Zorp|1|1|1|2|2|2", true},
		{again, "Lid|A|A|A|B|B|B", true},
		{again, "Zorp|1|2|3|3|4|5", false}, // it goes with the dose
		{again, "Zorp|1|2|1|2|1|2", false}, // it comes and goes
		{sixDoses, "Zorp|1|1|1|2|2|2", false},
	} {
		codes, _ := codesOf(t, table("Jar|1|2|3|4|5|6", x.doses, x.column, sixTurb))
		if got := slices.Contains(codes, "conditions-differ"); got != x.speaks {
			t.Errorf("%s with %s: spoken of %v, want %v (%q)", x.column, x.doses, got, x.speaks, codes)
		}
	}
}

// A line between the jars that goes on with the same series speaks, unless it says no more
// than that the table goes on.
func TestLineBetween(t *testing.T) {
	for line, speaks := range map[string]bool{"60 min": true, "filtered": true, "Pond B": true, "new stock from here": true, "continued": false, "page 2": false, "- - -": false, "(jar 3 done again)": false} {
		codes, _ := codesOf(t, "Jar,Alum (mg/L),Turbidity (NTU)\n1,0,62\n2,10,31\n3,20,12\n"+line+",,\n4,30,6\n5,40,4\n")
		if got := slices.Contains(codes, "line-between"); got != speaks {
			t.Errorf("%s: spoken of %v, want %v (%q)", line, got, speaks, codes)
		}
	}
}

// TestConditionsSaidOnce: all conditions of a series are one matter, said at the heading of the
// first, with an override that works, and a time in the cells is no remark.
func TestConditionsSaidOnce(t *testing.T) {
	columns := []string{"Jar|1|2|3|4|5|6", sixDoses, "Settling|15 min|15 min|15 min|1 h|1 h|1 h", "Stirring (rpm)|40|40|40|80|80|80", sixTurb}
	codes, res := codesOf(t, table(columns...))
	if !slices.Equal(codes, []string{"conditions-differ"}) {
		t.Fatalf("says %q\n%v", codes, res.Notes)
	}
	i := slices.IndexFunc(res.Notes, func(n note.Note) bool { return n.Code == "conditions-differ" })
	if n := res.Notes[i]; !strings.Contains("C1 D1", n.Place.Cell) || !strings.Contains(n.Remedy, `--column "Settling=ignore"`) || !strings.Contains(n.Remedy, `--column "Stirring (rpm)=ignore"`) {
		t.Errorf("at %s: %s", n.Place.Cell, n.Remedy)
	}
	res = mustRead(t, "t.csv", table(columns...), Options{Columns: []Override{{Header: "Settling", Meaning: "ignore"}, {Header: "Stirring (rpm)", Meaning: "ignore"}}})
	if got := cautionsOf(res); got != "" {
		t.Errorf("with both left out: says %q", got)
	}
}
