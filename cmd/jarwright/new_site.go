package main

import (
	"bytes"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/site"
	"jarwright/templates/book"
)

func newSite(e *env) *cobra.Command {
	blank := false
	c := &cobra.Command{
		Use:   "site FILE",
		Short: "Write a site workbook (.xlsx) or site.yaml",
		Long: `Writes the description of the place, ready to fill in: flows, water, chemicals,
stocks, pumps, tanks, animals, prices. It holds the values of an invented place as
examples to overwrite; --blank leaves them out. The ending picks the form. With
--units us it is in gallons, pounds, feet, Fahrenheit and dollars.`,
		Example: `  jarwright new site site.xlsx
  jarwright new site site.xlsx --units us
  jarwright new site site.yaml --blank`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			var values site.Values
			if !blank {
				values = site.Example("", "")
			}
			var data []byte
			var err error
			switch strings.ToLower(filepath.Ext(args[0])) {
			case ".xlsx":
				data, err = workbook(siteTitle, e.shown, func(b *book.Book) error { b.SiteIn(values, e.shown.Units); return nil })
			case ".yaml", ".yml":
				var b bytes.Buffer
				err = site.WriteYAML(&b, values.In(e.shown.Units))
				data = b.Bytes()
			default:
				return badUsage("new site writes .xlsx or .yaml, not %q", args[0])
			}
			if err != nil {
				return err
			}
			if err := e.writeFile(args[0], data); err != nil {
				return err
			}
			e.say("wrote %s; next: fill it in, then jarwright plan %s", args[0], args[0])
			return nil
		},
	}
	c.Flags().BoolVar(&blank, "blank", false, "without example values")
	return c
}
