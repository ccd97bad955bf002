package main

import (
	"bytes"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// benchFlags describe a bench sheet as written on the command line.
type benchFlags struct {
	jars, repeats                         int
	name, chemical, basis, doses          string
	stock, volume, readings, target, from string
	flotation                             bool
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
  jarwright new bench wednesday.xlsx --from tuesday.xlsx --jars 8
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
	p.StringVar(&f.from, "from", "", "bench sheet `FILE` of the last test: its next doses, chemical, stock and target are filled in")
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
		if x.Stock, err = quantity.Parse[quantity.Concentration](f.stock); err != nil {
			return x, err
		}
	}
	if f.volume != "" {
		if x.JarVolume, err = quantity.Parse[quantity.Volume](f.volume); err != nil {
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
	if f.from != "" {
		if err := e.continueFrom(&x, f); err != nil {
			return err
		}
	}
	b := book.New(book.Meta{Title: "Jar test: bench sheet", Paper: o.Paper, Date: o.Date, Version: o.Version})
	if err := x.Write(b); err != nil {
		return usageError{err}
	}
	var buf bytes.Buffer
	if err := b.Write(&buf); err != nil {
		return err
	}
	var inputs []string
	if f.from != "" {
		inputs = append(inputs, f.from)
	}
	if err := e.writeFile(file, buf.Bytes(), inputs...); err != nil {
		return err
	}
	e.say("wrote %s", file)
	e.say("fill it in, save it, then: jarwright read %s", file)
	return nil
}

// continueFrom fills in what the last test tells: the doses worth testing next,
// and its chemical, basis, stock, jar volume and target where the command line
// does not give them.
func (e *env) continueFrom(x *book.Bench, f benchFlags) error {
	if len(x.Doses) > 0 {
		return badUsage("--from and --doses both name the doses: give one of them")
	}
	fit := fitFlags{}
	fit.bench.Chemical, fit.bench.Basis, fit.bench.JarVolume = f.chemical, x.Basis, x.JarVolume
	if f.target != "" {
		fit.targets = []string{f.target}
	}
	got, err := fit.analyse(e, []string{f.from}, true)
	if err != nil {
		return err
	}
	at := -1
	for i, r := range got.Results {
		if r.Factor == "dose" {
			if at >= 0 {
				return note.Fault("many-series", "%s holds several series, a bench sheet takes one", f.from).
					Do("name the doses with --doses; jarwright next %s lists them", f.from)
			}
			at = i
		}
	}
	if at < 0 {
		return note.Fault("no-series", "%s holds no series of doses to go on from", f.from).Do("name the doses with --doses")
	}
	r, s := got.Results[at], got.Single[at]
	o := curve.StockOf(s)
	if x.Stock == 0 {
		x.Stock = o.Stock
	}
	if x.JarVolume == 0 {
		x.JarVolume = o.JarVolume
	}
	o.Jars, o.Stock, o.JarVolume = max(x.Jars, book.JarsLeast), x.Stock, x.JarVolume
	for _, d := range r.Next(o).Doses {
		for range d.Jars {
			x.Doses = append(x.Doses, d.Dose)
		}
	}
	if x.Chemical == "" {
		x.Chemical = r.Chemical.Name
	}
	if x.Basis == quantity.NotStated {
		x.Basis = r.Chemical.Basis
	}
	if x.Target == "" && len(r.Targets) > 0 {
		x.Target = r.Targets[0].String()
	}
	return nil
}

// wantsXLSX refuses a workbook under another ending.
func wantsXLSX(file string) error {
	if !strings.EqualFold(filepath.Ext(file), ".xlsx") {
		return badUsage("%s: a workbook's name ends in .xlsx", file)
	}
	return nil
}
