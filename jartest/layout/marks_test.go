package layout

import (
	"strings"
	"testing"

	"jarwright/jartest/grid"
)

// TestMarksInColumns: a mark before three digits among whole numbers parts thousands where
// only so the column is in order and its neighbours are of that size; where both fit, or
// neither does, the column leaves it open.
func TestMarksInColumns(t *testing.T) {
	for _, c := range []struct {
		column string
		d      Decimals
		parted string
		open   bool
	}{
		{"1.200 850 140 60", DecimalsUnknown, "1200", false},
		{"12.450 3.120 640 95", DecimalPoint, "12450 3120", false},
		{"1,200 850 140 60", DecimalsMixed, "1200", false},
		{"0 1.000 2.000 3.000", DecimalsUnknown, "", true},
		{"48 30 5.125 3", DecimalsUnknown, "", false},     // falls as a fraction alone
		{"1.125 12 8 5", DecimalsUnknown, "", false},      // in order as 1125, and nothing is near that size
		{"1.125 0.850 0.500", DecimalsUnknown, "", false}, // fractions stand beside it
		{"0.000 1.000 2.000", DecimalsUnknown, "", false}, // written to three places throughout
		{"1.000 2.000 3.000", DecimalsUnknown, "", false}, // no whole number beside them
		{"1.200 850 140 60", DecimalComma, "", false},     // the sheet has settled it
	} {
		g := &Area{Sheet: &grid.Sheet{}}
		for _, s := range strings.Fields(c.column) {
			g.Rows = append(g.Rows, []grid.Cell{{Kind: grid.Textual, Text: s}})
		}
		parted, open := MarksInColumns(g, c.d)
		var got []string
		for _, p := range parted {
			got = append(got, p.Text)
			if g.Part(p); g.Rows[p.R][p.C].Text != p.Text {
				t.Errorf("%s: the cell holds %q", c.column, g.Rows[p.R][p.C].Text)
			}
		}
		if strings.Join(got, " ") != c.parted || open != c.open {
			t.Errorf("%s: parted %q, open %v; want %q, %v", c.column, got, open, c.parted, c.open)
		}
	}
	g := &Area{Sheet: &grid.Sheet{Rows: [][]grid.Cell{{{Kind: grid.Numeric, Num: 1.125, Text: "1.125"}}, {{Kind: grid.Numeric, Num: 850, Text: "850"}}, {{Kind: grid.Numeric, Num: 140, Text: "140"}}}}}
	if parted, open := MarksInColumns(g, DecimalsUnknown); len(parted) > 0 || open {
		t.Error("a number of the file has no marks")
	}
}
