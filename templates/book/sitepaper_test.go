package book

import (
	"fmt"
	"strings"
	"testing"

	"jarwright/dosing/site"
)

// shownFields are the fields of a sheet that stand in no closed group.
func shownFields(w *Sheet, sh site.Sheet) map[string]bool {
	out := map[string]bool{}
	for i, f := range sh.Fields {
		out[f.Name] = !w.foldedRows[siteHead+1+i]
		if sh.List {
			out[f.Name] = !w.foldedCols[i+2]
		}
	}
	return out
}

// TestFieldsThatAreNeededAreNeverFolded: what is filled in, needed or asked for by the short form is in sight, in a workbook that is blank and
// in one that is filled in; of the rest something is folded.
func TestFieldsThatAreNeededAreNeverFolded(t *testing.T) {
	for name, values := range map[string]site.Values{"blank": nil, "example": site.Example("", "")} {
		b := New(Meta{})
		b.Site(values)
		folded := 0
		for _, sh := range site.Sheets() {
			var s *Sheet
			for _, x := range b.sheets {
				if x.name == sh.Name {
					s = x
				}
			}
			shown := shownFields(s, sh)
			for _, f := range sh.Fields {
				filled := false
				for _, row := range values[sh.Name] {
					filled = filled || row[f.Name] != ""
				}
				if (filled || f.Need == site.Needed || site.InShort(sh, f, values)) && !shown[f.Name] {
					t.Errorf("%s: %s of %s is out of sight", name, f.Name, sh.Name)
				}
				if !shown[f.Name] {
					folded++
				}
			}
		}
		if folded < 100 {
			t.Errorf("%s: %d fields are folded", name, folded)
		}
	}
}

// TestPaperFollowsTheSheets: every value of the example stands on paper, as a formula that points to its cell; what is filled in
// where paper has no line is counted there, each cell once.
func TestPaperFollowsTheSheets(t *testing.T) {
	values := site.Example("", "")
	b := New(Meta{})
	b.Site(values)
	write(t, b)
	var paper *Sheet
	for _, s := range b.sheets {
		if s.name == paperName {
			paper = s
		}
	}
	onIt, count := map[string]bool{}, ""
	for _, c := range paper.all {
		onIt[c.Formula] = true
		if strings.HasPrefix(c.Formula, "COUNTA(") {
			count = c.Formula
		}
	}
	counted := 0
	for _, sh := range site.Sheets() {
		for _, s := range b.sheets {
			if s.name != sh.Name {
				continue
			}
			for at, c := range s.all {
				if c.Kind != Input || c.Value == nil || sh.List && at.Row < siteFirst || !sh.List && at.Col != 2 {
					continue
				}
				if f := fmt.Sprintf(`IF(ISBLANK(%[1]s),"%[2]s",%[1]s)`, at.Ref(), unfilled); !onIt[f] {
					t.Errorf("%s is not on paper", at.Ref())
				}
				counted++
			}
		}
	}
	if counted < 150 {
		t.Errorf("%d values looked at", counted)
	}
	for _, ref := range []string{`'Water'!`, `'Chemicals'!`, `'Seasons'!`, `'Ponds'!`} {
		if !strings.Contains(count, ref) {
			t.Errorf("what is filled in later in %s is not counted: %s", ref, count)
		}
	}
}
