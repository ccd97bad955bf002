package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"jarwright/templates"
	"jarwright/templates/book"
)

// newNew makes the command that writes blank workbooks.
func newNew(e *env) *cobra.Command {
	c := &cobra.Command{
		Use:   "new",
		Short: "A blank workbook to print or fill in",
		Example: `  jarwright new bench tuesday.xlsx
  jarwright new site site.xlsx
  jarwright new trial trial.xlsx --of animals`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(newNewBench(e), newSite(e), newNewTrial(e))
	return c
}

// The titles of the workbooks that are written to be filled in.
const (
	benchTitle = "Jar test: bench sheet"
	siteTitle  = "Site workbook"
)

// workbook makes one of them.
func workbook(title string, o templates.Options, fill func(*book.Book) error) ([]byte, error) {
	w := book.New(book.Meta{Title: title, Paper: o.Paper, Date: o.Date, Version: o.Version})
	if err := fill(w); err != nil {
		return nil, usageError{err} // of what was asked for
	}
	var b bytes.Buffer
	err := w.Write(&b)
	return b.Bytes(), err
}
