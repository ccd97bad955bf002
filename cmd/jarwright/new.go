package main

import "github.com/spf13/cobra"

// newNew makes the command that writes blank workbooks.
func newNew(e *env) *cobra.Command {
	c := &cobra.Command{
		Use:   "new",
		Short: "Write a blank workbook, ready to print or fill in",
		Example: `  jarwright new bench tuesday.xlsx
  jarwright new site site.xlsx`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	c.AddCommand(newNewBench(e), newSite(e))
	return c
}
