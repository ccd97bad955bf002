package templates

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes rows as delimited text. Cells that a spreadsheet would take
// for a formula are made inert; with decimal commas the separator is a semicolon.
func WriteCSV(w io.Writer, rows [][]string, o Options) error {
	c := csv.NewWriter(w)
	if o.DecimalComma {
		c.Comma = ';'
	}
	for _, r := range rows {
		cells := make([]string, len(r))
		for i, s := range r {
			cells[i] = Inert(s)
			if o.DecimalComma {
				cells[i] = commaNumber(cells[i])
			}
		}
		if err := c.Write(cells); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// Inert makes a cell of text safe in a spreadsheet: what would be taken for a
// formula gets an apostrophe in front, numbers stay as they are.
func Inert(s string) string {
	if s == "" || !strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return Visible(s)
	}
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return s
	}
	return "'" + Visible(s)
}

func commaNumber(s string) string {
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return strings.Replace(s, ".", ",", 1)
	}
	return s
}
