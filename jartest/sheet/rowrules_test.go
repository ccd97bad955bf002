package sheet

import (
	"slices"
	"strings"
	"testing"
)

// rowCases hold every rule for rows: what the rule makes of the second row under the
// headings of a small table, and a row of which it must not speak.
var rowCases = []struct {
	why     string
	yes, no string
	role    rowRole
}{
	{"it is named as a summary", "Average,9,5", "Average control,9,5", rowSummary},
	{"it is named as a mean", "Avg.,9,5", "mean jar,9,5", rowSummary},
	{"it is named as a deviation", "SD,9,5", "SD wiggle,9,5", rowSummary},
	{"it has neither dose nor reading", "2,,", "2,9,", rowBlank},
	{"its label takes it out of the test", "2 void,9,5", "2,9,5", rowVoid},
	{"its label takes it out of the test", "2 (ignore),9,5", "see http://example.invalid,9,5", rowVoid},
	{"it names the dose chosen, which a jar above has", "recommended,0,5", "recommended,9,5", rowChosen},
	{"it is named as the raw water", "raw water,0,5", "2,0,5", rowRaw},
	{"it is named as a control", "control,0,5", "2,0,5", rowControl},
	{"a control and a number", "control 2,0,5", "control wiggle,0,5", rowControl},
	{"raw water and a number", "raw 2,0,5", "raw alum,0,5", rowControl},
	{"nothing says otherwise", "2,9,5", "", rowJar},
}

// rowIn gives the votes on the second row of a table of three jars.
func rowIn(t *testing.T, row string) []vote[rowRole, *rowEvidence] {
	t.Helper()
	b := benchOf(t, "small.csv", []byte("Jar,Alum (mg/L),NTU\n1,0,30\n"+row+"\n3,20,2\n4,30,1\n"), Options{})
	if b == nil || len(b.tables) == 0 {
		t.Fatalf("no table with %s", row)
	}
	tab := b.tables[0]
	fs := b.byTable[tab]
	cols := b.labelColumns(tab, fs)
	d := b.labelled(tab, fs, tab.rows[1], cols, &dataRow{})
	e := &rowEvidence{b: b, t: tab, fs: fs, jar: cols.jar, d: &d}
	e.look()
	return rowRuled.votes(e)
}

func TestRowRules(t *testing.T) {
	proved := map[string]bool{"formulas without a label and a dose": true, "it is hidden": true} // layouts hold these
	for _, c := range rowCases {
		votes := rowIn(t, c.yes)
		is := func(v vote[rowRole, *rowEvidence]) bool { return v.why == c.why }
		if !slices.ContainsFunc(votes, is) || votes[0].role != c.role {
			t.Errorf("%q: %v, want %d for %q", c.yes, votes[0], c.role, c.why)
		}
		if c.no != "" && slices.ContainsFunc(rowIn(t, c.no), is) {
			t.Errorf("%q: the rule %q speaks", c.no, c.why)
		}
		proved[c.why] = true
	}
	for _, r := range rowRules {
		if !proved[r.why] {
			t.Errorf("no row shows the rule %q", r.why)
		}
	}
}

// lineCases hold every rule for lines: the last line of a small table, what it is, and
// how many jars are read in all.
var lineCases = []struct {
	why   string
	below string // what stands under the first three jars
	jars  int
	no    string
	noJar int
}{
	{"two blank lines", "//4,30,1", 3, "/4,30,1", 4},
	{"a blank line, and no data below it", "/Wiggle", 3, "/4,30,1", 4},
	{"a blank line", "/4,30,1", 4, "4,30,1", 4},
	{"the heading once more", "Jar,Alum (mg/L),NTU/4,30,1", 4, "Jar,Alum (mg/L),NTU/1,30,1", 3},
	{"the heading of another table", "Jar,Ferric (mg/L),pH/1,30,7", 3, "4,30,1", 4},
	{"a text that no data follow", "Wiggle/Waggle", 3, "Wiggle/4,30,1", 4},
	{"a text between jars", "Wiggle/4,30,1", 4, "4,30,1", 4},
	{"what stands below a blank line is no jar", "/Wiggle,x,y", 3, "/4,30,1", 4},
	{"a fact below the jars", "Date,7", 3, "4,30,1", 4},
	{"nothing says otherwise", "4,30,1", 4, "", 0},
}

func TestLineRules(t *testing.T) {
	rows := func(below string) int {
		b := benchOf(t, "small.csv", []byte(unfolded.Replace("Jar,Alum (mg/L),NTU/1,0,30/2,10,9/3,20,2/"+below)), Options{})
		return len(b.tables[0].rows)
	}
	proved := map[string]bool{}
	for _, c := range lineCases {
		if got := rows(c.below); got != c.jars {
			t.Errorf("%s: %q gives %d rows, want %d", c.why, c.below, got, c.jars)
		}
		if c.no == "" {
			proved[c.why] = true
			continue
		}
		if got := rows(c.no); got != c.noJar {
			t.Errorf("not %s: %q gives %d rows, want %d", c.why, c.no, got, c.noJar)
		}
		proved[c.why] = true
	}
	for _, r := range lineRules {
		if !proved[r.why] {
			t.Errorf("no sheet shows the rule %q", r.why)
		}
	}
}

func TestSegments(t *testing.T) {
	for head, want := range map[string][][2]int{
		"Jar,Alum (mg/L),NTU":                         {{0, 2}},
		"Jar,Alum (mg/L),NTU,,Jar,Alum (mg/L),NTU":    {{0, 2}, {4, 6}},
		"Jar,Alum (mg/L),NTU,Jar,Alum (mg/L),NTU":     {{0, 2}, {3, 5}},
		"Jar,Alum (mg/L),NTU,Volume,2":                {{0, 2}},
		"Jar,Alum (mg/L),NTU,2":                       {{0, 1}},
		"Jar,Alum (mg/L),2,NTU":                       {{0, 0}, {3, 3}},
		"Jar,Sample volume (mL),Alum (mg/L),NTU,Note": {{0, 4}},
	} {
		grids, _, err := open("s.csv", []byte(head+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		f := newFinder(view{area: grids[0]}, decimalPoint, nil)
		if got := f.segments(0, strings.Count(head, ",")+1); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", head, got, want)
		}
	}
}

func TestPartOf(t *testing.T) {
	for head, want := range map[string]string{
		"Turbidity alum (NTU)":   "alum",
		"Turbidity Pond B (NTU)": "Pond B",
		"Turbidity wiggle (NTU)": "wiggle",
		"Turbidity 2 (NTU)":      "",
		"Turbidity first (NTU)":  "",
		"Turbidity replicate 2":  "",
		"Turbidity (NTU)":        "",
	} {
		f := field{column: column{head: readHeading(head), parts: []string{head}}}
		if got := partOf(f); !strings.EqualFold(got, want) {
			t.Errorf("%s: %q, want %q", head, got, want)
		}
	}
	under := func(own, group string) field {
		return field{column: column{head: readHeading("Turbidity (NTU)"), parts: []string{own}, group: group}}
	}
	if got := partOf(under("NTU", "North beck")); got != "North beck" {
		t.Errorf("under a group of its own: %q", got)
	}
	if got := partOf(under("NTU", "Turbidity")); got != "" {
		t.Errorf("under a group that names the reading: %q", got)
	}
}
