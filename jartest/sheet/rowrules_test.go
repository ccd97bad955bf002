package sheet

import (
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/layout"
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
	{"a day between the jars", "4 May 2026,,", "4 May 2026,9,5", rowBlank},
	{"its label takes it out of the test", "2 void,9,5", "2,9,5", rowVoid},
	{"its label says that it is an example", "example,9,5", "2,9,5", rowVoid},
	{"its label takes it out of the test", "2 (ignore),9,5", "see http://example.invalid,9,5", rowVoid},
	{"it names the dose chosen, which a jar above has", "recommended,0,5", "recommended,9,5", rowChosen},
	{"it is named as the raw water", "raw water,0,5", "2,0,5", rowRaw},
	{"it is named as a control", "control,0,5", "2,0,5", rowControl},
	{"a control and a number", "control 2,0,5", "control wiggle,0,5", rowControl},
	{"it is named as the raw water, and as something else", "raw water diluted,,5", "raw water diluted,9,5", rowOther},
	{"raw water and a number", "raw 2,0,5", "raw alum,0,5", rowControl},
	{"a remark says that it is no jar", "2,9,5,average", "2,9,5,good", rowOther},
	{"a remark says that it is no jar", "2,0,0.1,tap water", "2,9,5,tap water", rowOther},
	{"nothing says otherwise", "2,9,5", "", rowJar},
}

// rowIn gives the votes on the second row of a table of three jars.
func rowIn(t *testing.T, row string) []layout.Vote[rowRole, *rowEvidence] {
	t.Helper()
	b := benchOf(t, "small.csv", []byte("Jar,Alum (mg/L),NTU\n1,0,30\n"+row+"\n3,20,2\n4,30,1\n"), Options{})
	if b == nil || len(b.tables) == 0 {
		t.Fatalf("no table with %s", row)
	}
	tab := b.tables[0]
	fs := b.byTable[tab]
	cols := b.labelColumns(tab, fs)
	d := b.labelled(tab, fs, tab.Rows[1], cols, &dataRow{})
	e := &rowEvidence{b: b, t: tab, fs: fs, jar: cols.jar, d: &d}
	e.look()
	return rowRuled.Votes(e)
}

func TestRowRules(t *testing.T) {
	proved := map[string]bool{"formulas without a label and a dose": true, "it is hidden": true, "it is struck out": true} // other tests hold these
	for _, c := range rowCases {
		votes := rowIn(t, c.yes)
		is := func(v layout.Vote[rowRole, *rowEvidence]) bool { return v.Why == c.why }
		if !slices.ContainsFunc(votes, is) || votes[0].Role != c.role {
			t.Errorf("%q: %v, want %d for %q", c.yes, votes[0], c.role, c.why)
		}
		if c.no != "" && slices.ContainsFunc(rowIn(t, c.no), is) {
			t.Errorf("%q: the rule %q speaks", c.no, c.why)
		}
		proved[c.why] = true
	}
	for _, r := range rowRules {
		if !proved[r.Why] {
			t.Errorf("no row shows the rule %q", r.Why)
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
		f := field{Column: layout.Column{Head: layout.ReadHeading(head), Parts: []string{head}}}
		if got := partOf(f); !strings.EqualFold(got, want) {
			t.Errorf("%s: %q, want %q", head, got, want)
		}
	}
	under := func(own, group string) field {
		return field{Column: layout.Column{Head: layout.ReadHeading("Turbidity (NTU)"), Parts: []string{own}, Group: group}}
	}
	if got := partOf(under("NTU", "North beck")); got != "North beck" {
		t.Errorf("under a group of its own: %q", got)
	}
	if got := partOf(under("NTU", "Turbidity")); got != "" {
		t.Errorf("under a group that names the reading: %q", got)
	}
}
