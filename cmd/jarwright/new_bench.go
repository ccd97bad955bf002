package main

import (
	"bytes"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// benchFlags describe a bench sheet as written on the command line.
type benchFlags struct {
	jars, repeats                   int
	name, chemical, basis, doses    string
	stock, volume, readings, target string
	flotation                       bool
}

// newNewBench makes the command that writes a bench sheet to fill in.
func newNewBench(e *env) *cobra.Command {
	var f benchFlags
	c := &cobra.Command{
		Use:   "bench FILE.xlsx",
		Short: "A bench sheet to print or fill in, for 6 to 24 jars",
		Long: `Write a bench sheet: a workbook with the test, the raw water, the mixing, and a
table of jars. Give the doses and the sheet works out the millilitres of stock
for each jar; write the millilitres that were drawn and it works out the doses.
Filled in and saved, "jarwright read" and "jarwright fit" take it as it is.`,
		Example: `  jarwright new bench tuesday.xlsx
  jarwright new bench tuesday.xlsx --jars 8 --chemical alum --basis "as product" --stock "10 g/L" --jar-volume "1 L" --doses "0,10,20,30,40,50,60,80 mg/L" --target "turbidity <= 5 NTU"
  jarwright new bench float.xlsx --flotation --readings turbidity,tss,ph`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return e.writeBench(args[0], f) },
	}
	p := c.Flags()
	p.IntVar(&f.jars, "jars", 0, "how many jars, 6 to 24 (default 6, or as many as there are doses)")
	p.IntVar(&f.repeats, "repeats", 2, "how often the first reading of a jar is taken, 1 to 4")
	p.StringVar(&f.name, "name", "", "name of the test")
	p.StringVar(&f.chemical, "chemical", "", "the chemical tested")
	p.StringVar(&f.basis, "basis", "", `what the dose counts, such as "as product" or "as Al"`)
	p.StringVar(&f.doses, "doses", "", `doses to test, such as "0,10,20,30,40,60 mg/L"`)
	p.StringVar(&f.stock, "stock", "", `strength of the bench stock, such as "10 g/L"`)
	p.StringVar(&f.volume, "jar-volume", "", `raw water in each jar, such as "1 L"`)
	p.StringVar(&f.readings, "readings", "turbidity,ph", "what is read in each jar, with commas")
	p.StringVar(&f.target, "target", "", `what the water must meet, such as "turbidity <= 5 NTU"`)
	p.BoolVar(&f.flotation, "flotation", false, "fields for white water and flotation instead of settling")
	return c
}

// bench turns the flags into what the workbook needs.
func (f benchFlags) bench() (book.Bench, error) {
	x := book.Bench{Jars: f.jars, Name: f.name, Chemical: f.chemical, Repeats: f.repeats, Flotation: f.flotation}
	var err error
	if x.Basis, err = quantity.ParseBasis(f.basis); err != nil {
		return x, err
	}
	if f.stock != "" {
		if x.Stock, err = quantity.ParseConcentration(f.stock); err != nil {
			return x, err
		}
	}
	if f.volume != "" {
		if x.JarVolume, err = quantity.ParseVolume(f.volume); err != nil {
			return x, err
		}
	}
	if f.target != "" {
		t, err := jartest.ParseTarget(f.target)
		if err != nil {
			return x, err
		}
		x.Target = t.String()
	}
	if x.Doses, err = parseDoses(f.doses); err != nil {
		return x, err
	}
	x.Readings, err = parseReadings(f.readings)
	return x, err
}

// parseDoses reads "0,10,20 mg/L": numbers with commas and the unit of all at the end.
func parseDoses(s string) ([]quantity.Concentration, error) {
	if strings.TrimSpace(s) == "" {
		return nil, nil
	}
	i := strings.LastIndexAny(s, "0123456789.") + 1
	unit := strings.TrimSpace(s[i:])
	if strings.Contains(unit, ",") {
		return nil, note.Fault("bad-doses", "doses %q: one unit stands at the end", s).Do(`write them like "0,10,20 mg/L"`)
	}
	var out []quantity.Concentration
	for _, part := range strings.FieldsFunc(s[:i], func(r rune) bool { return r == ',' || r == ';' || r == ' ' }) {
		d, err := quantity.ParseDose(part + " " + unit)
		if err != nil {
			return nil, err
		}
		out = append(out, d.Concentration)
	}
	return out, nil
}

// parseReadings reads kinds of reading, by key.
func parseReadings(s string) ([]jartest.Key, error) {
	var out []jartest.Key
	for _, part := range strings.Split(s, ",") {
		k := jartest.Slug(part)
		if k == "" {
			continue
		}
		if !k.Known() {
			var names []string
			for _, i := range jartest.Keys() {
				names = append(names, string(i.Key))
			}
			return nil, note.Fault("reading-unknown", "reading %q is not known%s", strings.TrimSpace(part), note.DidYouMean(string(k), names)).
				Do("use %s", strings.Join(names, ", "))
		}
		out = append(out, k)
	}
	return out, nil
}

// writeBench writes the workbook.
func (e *env) writeBench(file string, f benchFlags) error {
	if err := wantsXLSX(file); err != nil {
		return err
	}
	o, err := e.options()
	if err != nil {
		return err
	}
	x, err := f.bench()
	if err != nil {
		return usageError{err}
	}
	b := book.New(book.Meta{Title: "Jar test: bench sheet", Paper: o.Paper, Date: o.Date, Version: o.Version})
	if err := x.Write(b); err != nil {
		return usageError{err}
	}
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		return err
	}
	if err := e.writeFile(file, buf.Bytes()); err != nil {
		return err
	}
	e.say("wrote %s", file)
	e.say("fill it in, save it, then: jarwright read %s", file)
	return nil
}

// wantsXLSX refuses a workbook under another ending.
func wantsXLSX(file string) error {
	if !strings.EqualFold(filepath.Ext(file), ".xlsx") {
		return badUsage("%s: a workbook's name ends in .xlsx", file)
	}
	return nil
}
