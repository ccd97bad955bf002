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
	cmd := &cobra.Command{
		Use:   "read FILE…",
		Short: "Show what was understood of bench sheets, with the cell of each number",
		Long: `Show what was understood of bench sheets: series, jars, doses, readings, the cell
that each number came from, and what was inferred. Files are .xlsx, .xlsm, or
delimited text in any usual encoding; - reads CSV from standard input.

What is inferred wrongly can be overridden with the flags below, or in a small
sheet of the workbook called "jarwright" with a name and a value on each row
(chemical | alum; stock | 10 g/L; jar volume | 1 L; column | Result | turbidity).`,
		Example: `  jarwright read tuesday.xlsx
  jarwright read tuesday.xlsx --stock "10 g/L" --jar-volume "1 L"
  jarwright read old.csv --column "Result=turbidity NTU" --format json`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error {
			series, notes, readErr := readBench(e, files, opt)
			if usage := (usageError{}); errors.As(readErr, &usage) {
				return readErr
			}
			if err := e.emit(templates.Read{Series: series, Notes: notes}, files...); err != nil {
				return err
			}
			return readErr
		},
	}
	addBenchFlags(cmd, &opt)
	return cmd
}
