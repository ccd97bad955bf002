package templates

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"jarwright/templates/figure"
)

// WriteCSV writes a table as delimited text, in the reader's units. Cells that a spreadsheet would take
// for a formula are made inert; with decimal commas the separator is a semicolon.
func WriteCSV(w io.Writer, t figure.Table, o Options) error {
	c := csv.NewWriter(w)
	if o.DecimalComma {
		c.Comma = ';'
	}
	for k, r := range t.For(o.Units).Strings() {
		for i, s := range r {
			if words, ok := o.worded(t, k-1, i); ok {
				s = words
			}
			r[i] = o.inert(s)
		}
		if err := c.Write(r); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// worded is a cell that tells notes, as its reader has them; the head is row -1.
func (o Options) worded(t figure.Table, row, col int) (string, bool) {
	if row < 0 {
		return "", false
	}
	words, ok := t.Rows[row].Get(t.Cols[col].Path).(figure.Worded)
	if !ok {
		return "", false
	}
	return words(o.Notes), true
}

// inert makes a cell of text safe in a spreadsheet: what would be taken for a
// formula gets an apostrophe in front; numbers have the reader's decimal mark.
func (o Options) inert(s string) string {
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return o.style().Decimal(s)
	}
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + Visible(s)
	}
	return Visible(s)
}
