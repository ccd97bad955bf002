package main

import (
	"errors"

	"github.com/spf13/cobra"

	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// newRead shows what was understood of bench sheets.
func newRead(e *env) *cobra.Command {
	var opt sheet.Options
	var cells bool
	cmd := &cobra.Command{
		Use:   "read FILE…",
		Short: "What was understood of bench sheets, cell by cell",
		Long: `Show what was understood of bench sheets: series, jars, doses, readings, the cell
that each number came from, and what was inferred. Files are .xlsx, .xlsm, or
delimited text in any usual encoding; - reads CSV from standard input.

With --cells the sheet comes back cell by cell: what stands there, whether it was
used, set aside (a mean, a remark, a date) or not understood, and what it was taken
for. Text shows the first cells of a long sheet; JSON and CSV hold them all.

What is inferred wrongly can be overridden with the flags below, or in a small
sheet of the workbook called "jarwright" with a name and a value on each row
(chemical | alum; stock | 10 g/L; jar volume | 1 L; column | Result | turbidity).`,
		Example: `  jarwright read tuesday.xlsx
  jarwright read tuesday.xlsx --cells
  jarwright read tuesday.xlsx --stock "10 g/L" --jar-volume "1 L"
  jarwright read old.csv --column "Result=turbidity NTU" --format json`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error {
			opt.Account = true
			got, readErr := readAll(e, files, opt)
			if usage := (usageError{}); errors.As(readErr, &usage) {
				return readErr
			}
			read := templates.Read{Series: got.Series, Notes: got.Notes}
			var report templates.Report = read
			if cells {
				report = templates.ReadCells{Read: read, Account: got.Account}
			} else {
				read.Notes.Add(got.Account.Unused...)
				report = read
			}
			if err := e.emit(report, files...); err != nil {
				return err
			}
			return readErr
		},
	}
	addBenchFlags(cmd, &opt)
	cmd.Flags().BoolVar(&cells, "cells", false, "show each cell with what it was taken for")
	return cmd
}
