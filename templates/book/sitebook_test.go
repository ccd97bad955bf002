package book

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"jarwright/dosing/site"
)

// TestSiteReadsBack writes the example site as a workbook and as YAML and reads
// both: the places differ, the site does not.
func TestSiteReadsBack(t *testing.T) {
	values := site.Example("", "")
	b := New(Meta{})
	b.Site(values)
	got, err := site.Read("site.xlsx", bytes.NewReader(write(t, b)))
	if err != nil {
		t.Fatal(err)
	}
	var y bytes.Buffer
	if err := site.WriteYAML(&y, values); err != nil {
		t.Fatal(err)
	}
	want, err := site.Read("site.yaml", &y)
	if err != nil {
		t.Fatal(err)
	}
	got.File, want.File, got.Notes, want.Notes = "", "", nil, nil
	places := cmp.FilterPath(func(p cmp.Path) bool {
		return p.Last().Type() != nil && p.Last().Type().Name() == "Place" && strings.HasSuffix(p.Last().Type().PkgPath(), "note")
	}, cmp.Ignore())
	if d := cmp.Diff(want, got, places); d != "" {
		t.Errorf("the workbook reads otherwise than the YAML:\n%s", d)
	}
}

// TestEveryFieldStandsInTheSiteWorkbook looks for name, meaning and need of each field.
func TestEveryFieldStandsInTheSiteWorkbook(t *testing.T) {
	b := New(Meta{})
	b.Site(nil)
	on := map[string]map[string]bool{}
	for _, s := range b.sheets {
		on[s.name] = map[string]bool{}
		for _, row := range s.cells {
			for _, c := range row {
				if v, ok := c.Value.(string); ok {
					on[s.name][v] = true
				}
			}
		}
	}
	for _, sh := range site.Sheets() {
		for _, f := range sh.Fields {
			if !on[sh.Name][f.Name] {
				t.Errorf("%s: no field %q", sh.Name, f.Name)
			}
			if !on[sh.Name][f.Meaning] && !on[sh.Name][sentenceOf(f.Meaning)] {
				t.Errorf("%s: the meaning of %q is not told", sh.Name, f.Name)
			}
			if f.Unit != "" && !on[sh.Name][f.Unit] {
				t.Errorf("%s: %q has no unit %q", sh.Name, f.Name, f.Unit)
			}
		}
	}
	write(t, b)
}
