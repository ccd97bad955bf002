package main

import (
	"bufio"
	"bytes"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/site"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// siteForm is how a new site is asked for.
type siteForm struct {
	blank, short bool
	answers      string // file of answers to the short form
	from         string // another site, of which answers change some
}

func newSite(e *env) *cobra.Command {
	var f siteForm
	c := &cobra.Command{
		Use:   "site FILE",
		Short: "Write a site workbook (.xlsx) or site.yaml",
		Long: `Writes the description of the place, ready to fill in: flows, water, chemicals,
stocks, pumps, tanks, animals, prices. It holds the values of an invented place as
examples to overwrite; --blank leaves them out. The ending picks the form. With
--units us it is in gallons, pounds, feet, Fahrenheit and dollars.

--short asks what most sites need, seventeen questions, in the terminal, and says what
each answer that is left out would add; the file then holds what was asked for and
nothing else. Of a pond or tank that is treated where it stands it asks the size in
place of a flow; of one that is cleaned up, also the size and when it is clear enough. Without --short a terminal asks which of the two is wanted. Where there
is no terminal the short form is blank, or --answers names a file with one answer a line. A
line may name what it fills instead, any field of the site, as "Pumps | largest rate | 1.8 L/h",
of a row "Tanks, stock tank | volume | 36 L", "Drawdown, 2 | speed | 50 %".`,
		Example: `  jarwright new site site.xlsx
  jarwright new site site.xlsx --short
  jarwright new site site.xlsx --units us
  jarwright new site site.yaml --blank`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return e.writeSite(args[0], f) },
	}
	c.Flags().BoolVar(&f.blank, "blank", false, "without example values")
	c.Flags().BoolVar(&f.short, "short", false, "ask what most sites need, and leave all else out")
	c.Flags().StringVar(&f.from, "from", "", "site `FILE` of which all is taken over, but for what --answers says of it")
	c.Flags().StringVar(&f.answers, "answers", "", "`FILE` with the answers to the short form, one a line")
	return c
}

// siteValues are what the file is to hold; a terminal is asked which form is wanted.
func (e *env) siteValues(f *siteForm) (site.Values, error) {
	if f.from != "" {
		return nil, nil
	}
	f.short = f.short || f.answers != ""
	lines := bufio.NewScanner(e.In)
	if e.InTerminal && !e.flags.quiet && !f.short && !f.blank {
		e.say("answer %d questions now (q), or have the whole form with an example to overwrite (Enter)?", len(site.Short(e.shown.Units, site.OnceThrough)))
		f.short = lines.Scan() && strings.HasPrefix(strings.ToLower(strings.TrimSpace(lines.Text())), "q")
	}
	switch {
	case f.short:
		return e.shortForm(f.answers, lines)
	case f.blank:
		return nil, nil
	}
	return site.Example("", ""), nil
}

// changedSite is what another site holds, with the answers in place of what they name; its units stay.
func (e *env) changedSite(f siteForm) (site.Values, error) {
	data, err := e.readInput(f.from)
	if err != nil {
		return nil, err
	}
	form := site.ShortForm{}
	if form.Values, err = site.Written(f.from, data); err != nil {
		return nil, err
	}
	if rows := form.Values["Place"]; len(rows) > 0 && rows[0]["units"] == site.UnitsUS {
		form.Units, e.shown.Units = quantity.US, quantity.US
	}
	if f.answers == "" {
		return form.Values, nil
	}
	if data, err = e.readInput(f.answers); err != nil {
		return nil, err
	}
	return form.Values, e.takeNamed(&form, f.answers, string(data))
}

// writeSite writes the file that was asked for.
func (e *env) writeSite(name string, f siteForm) (err error) {
	ending := strings.ToLower(filepath.Ext(name))
	if ending != ".xlsx" && ending != ".yaml" && ending != ".yml" {
		return badUsage("new site writes .xlsx or .yaml, not %q", name)
	}
	values, err := e.siteValues(&f)
	if f.from != "" {
		values, err = e.changedSite(f)
	}
	if err != nil {
		return err
	}
	values = values.In(e.shown.Units) // who was asked wrote in units of their own
	var data []byte
	if ending == ".xlsx" {
		data, err = workbook(siteTitle, e.shown, func(b *book.Book) error {
			if f.short {
				b.ShortSite(values, e.shown.Units)
			} else {
				b.SiteIn(values, e.shown.Units)
			}
			return nil
		})
	} else {
		var b bytes.Buffer
		write := site.WriteYAML
		if f.short {
			write = site.WriteShortYAML
		}
		err = write(&b, values)
		data = b.Bytes()
	}
	if err == nil {
		err = e.writeFile(name, whole(data))
	}
	if err != nil {
		return err
	}
	if e.say("wrote %s; next: %sjarwright plan %s", name, either(f.from == "", "fill it in, then ", ""), name); !f.short && !f.blank && f.from == "" {
		e.say("a short form asks %d questions instead: jarwright new site FILE --short", len(site.Short(e.shown.Units, site.OnceThrough)))
	}
	return nil
}
