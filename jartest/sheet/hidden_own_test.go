package sheet

import (
	"testing"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
)

// TestOwnListsAreNoHiddenSheet: the page of choices of our own workbook is hidden, and nobody is asked about it; any other is told.
func TestOwnListsAreNoHiddenSheet(t *testing.T) {
	for text, told := range map[string]bool{"Choices offered in the other sheets": false, "Wednesday": true} {
		b := &bench{}
		g := &layout.Area{Sheet: &grid.Sheet{Name: "Lists", Hidden: true, Rows: [][]grid.Cell{{{Kind: grid.Textual, Text: text}}}}}
		if b.wanted("bench.xlsx", g) || (len(b.notes) > 0) != told {
			t.Errorf("%s: %v", text, b.notes)
		}
	}
}
