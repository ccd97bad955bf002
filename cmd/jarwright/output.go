package main

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"jarwright/cmd/jarwright/serve"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	"jarwright/templates/draw"
	"jarwright/templates/figure"
)

// outputFlags are the flags that every command has.
type outputFlags struct {
	format, out    string
	force, noColor bool
	ascii          bool
	quiet, explain bool
	units, decimal string
	paper, date    string
}

func (f *outputFlags) add(root *cobra.Command) {
	p := root.PersistentFlags()
	p.StringVar(&f.format, "format", "", "form of the answer: text, json or csv (default text, or by the ending of -o)")
	p.StringVarP(&f.out, "output", "o", "", "write the answer to `FILE`; its ending picks .xlsx .html .json .csv .svg .png .txt")
	p.BoolVar(&f.force, "force", false, "replace a file that exists")
	p.BoolVar(&f.noColor, "no-color", false, "no colour (also NO_COLOR)")
	p.BoolVar(&f.ascii, "ascii", false, "plain ASCII characters only, for a terminal that shows no blocks and lines")
	p.BoolVarP(&f.quiet, "quiet", "q", false, "say nothing beside the answer but errors")
	p.BoolVar(&f.explain, "explain", false, "show the working: formulas, inputs, sources")
	p.StringVar(&f.units, "units", "", "units shown: metric or us; left out, those that the site asks for or the flags are written in, else metric")
	p.StringVar(&f.decimal, "decimal", ".", "decimal mark of text, page and CSV: . or ,")
	p.StringVar(&f.paper, "paper", "a4", "paper of workbooks and pages: a4 or letter")
	p.StringVar(&f.date, "date", "", "the `DAY` that documents carry and whose month a budget is of (YYYY-MM-DD or YYYY-MM)")
	for name, values := range choices {
		offers(root, name, values)
	}
}

// choices are what the flags take that take one of a few words.
var choices = map[string][]string{
	"format": {"text", "json", "csv"}, "units": {"metric", "us"}, "paper": {"a4", "letter"}, "decimal": {".", ","},
}

// oneOf reads such a word.
func oneOf(flag, value string) (string, error) {
	word := strings.ToLower(value)
	if !slices.Contains(choices[flag], word) {
		return "", badUsage("--%s %q is not known: use %s", flag, value, strings.Join(choices[flag], " or "))
	}
	return word, nil
}

// must is for errors that only a mistake in this program can cause.
func must(err error) {
	if err != nil {
		panic(err)
	}
}

// options turns the flags into what templates need.
func (e *env) options() (templates.Options, error) {
	f := e.flags
	o := templates.Options{Explain: f.explain, Width: e.Width, Version: version(), Command: again(e.line),
		Color: e.OutTerminal && !e.NoColor && !f.noColor && f.out == "", Blocks: e.Blocks && !f.ascii && f.out == ""}
	units, err := oneOf("units", cmp.Or(f.units, site.UnitsMetric))
	if err != nil {
		return o, err
	}
	if units == site.UnitsUS {
		o.Units = quantity.US
	}
	decimal, err := oneOf("decimal", f.decimal)
	if err != nil {
		return o, err
	}
	o.DecimalComma = decimal == ","
	if o.Paper, err = oneOf("paper", f.paper); err != nil {
		return o, err
	}
	if f.date != "" {
		o.Date, err = parseDay(f.date)
	}
	return o, err
}

// again is the command line that gives the same answer, with all that bears on it: where the answer goes does not. That of the demo is of
// several answers, and of none.
func again(line []string) string {
	if len(line) == 0 || line[0] == "demo" {
		return ""
	}
	var out []string
	for i := 0; i < len(line); i++ {
		name, _, whole := strings.Cut(line[i], "=")
		switch {
		case name == "-o" || name == "--output" || name == "--format":
			if !whole {
				i++ // its value
			}
		case slices.Contains([]string{"--force", "--no-color", "--ascii", "-q", "--quiet"}, line[i]):
		default:
			out = append(out, line[i])
		}
	}
	return serve.CommandLine(out)
}

// parseDay reads YYYY-MM-DD or YYYY-MM (its first day).
func parseDay(s string) (time.Time, error) {
	for _, layout := range [...]string{"2006-01-02", "2006-01"} {
		if d, err := time.Parse(layout, s); err == nil {
			return d, nil
		}
	}
	return time.Time{}, badUsage("--date %q is not a day: write YYYY-MM-DD or YYYY-MM", s)
}

// form is the kind of document asked for: text, json, csv, xlsx, html, svg or png.
func (e *env) form() (string, error) {
	f := e.flags
	if form := strings.ToLower(f.format); slices.Contains(choices["format"], form) {
		return form, nil
	} else if form != "" {
		return "", badUsage("--format %q is not known: use text, json or csv%s", f.format, note.DidYouMean(form, choices["format"]))
	}
	if f.out == "" || f.out == "-" {
		return "text", nil
	}
	switch ext := strings.ToLower(filepath.Ext(f.out)); ext {
	case ".xlsx", ".html", ".json", ".csv", ".svg", ".png":
		return ext[1:], nil
	case ".htm":
		return "html", nil
	case ".txt", ".text":
		return "text", nil
	default:
		return "", badUsage("-o %q: the ending %q is not known: use .xlsx .html .json .csv .svg .png or .txt", f.out, ext)
	}
}

// emit shows or writes a report as the flags ask. Inputs are the files that the
// answer came from; none of them may be the output.
func (e *env) emit(r templates.Report, inputs ...string) error {
	form, err := e.form()
	if err != nil {
		return err
	}
	if e.flags.out == "" && e.Show != nil {
		e.Show(r, e.shown)
		return nil
	}
	if e.flags.out == "" || e.flags.out == "-" {
		return render(e.Out, r, form, e.shown)
	}
	if err := e.writeFile(e.flags.out, func(w io.Writer) error { return render(w, r, form, e.shown) }, inputs...); err != nil {
		return err
	}
	e.say("wrote %s", e.flags.out)
	return nil
}

// say tells something on stderr, unless -q.
func (e *env) say(format string, args ...any) {
	if !e.flags.quiet {
		fmt.Fprintf(e.Err, format+"\n", args...)
	}
}

// render writes a report in one form.
func render(w io.Writer, r templates.Report, form string, o templates.Options) error {
	switch form {
	case "text":
		t := templates.NewText(w, o)
		r.Text(t, o)
		return t.Flush()
	case "json":
		return figure.WriteJSON(w, r.JSON())
	case "csv":
		return templates.WriteCSV(w, r.Table(), o)
	case "xlsx":
		if b, ok := r.(templates.BookReport); ok {
			return b.Book(w, o)
		}
		return templates.WriteBook(w, r, o)
	case "html":
		return templates.WritePage(w, r, o)
	case "svg", "png":
		if d, ok := r.(templates.DrawReport); ok {
			if form == "png" {
				return d.Drawing(o).PNG(w)
			}
			_, err := w.Write(d.Drawing(o).SVG(draw.Wide))
			return err
		}
	}
	return badUsage("this command has no .%s form", form)
}
