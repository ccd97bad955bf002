package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/cmd/jarwright/serve"
	"jarwright/dosing/pair"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
)

// benchFlag is a flag that is parsed when it is met, so that a bad value is a
// wrong command line.
type benchFlag struct {
	kind  string
	shown string
	set   func(string) error
}

func (f *benchFlag) String() string { return f.shown }
func (f *benchFlag) Type() string   { return f.kind }
func (f *benchFlag) Set(s string) error {
	if err := f.set(s); err != nil {
		return errors.New(strings.TrimSpace(err.Error()))
	}
	f.shown = s
	return nil
}

// parsed adds a flag of that kind to a command.
func parsed[T any](c *cobra.Command, into *T, name, kind, usage string, parse func(string) (T, error)) {
	given := ""
	c.Flags().Var(&benchFlag{kind: kind, set: func(s string) (err error) {
		if given != "" && s != given {
			return fmt.Errorf("it is given twice, before as %q: it takes one", given)
		}
		given = s
		*into, err = parse(s)
		return err
	}}, name, usage)
}

// repeated adds one whose every use counts.
func repeated[T any](c *cobra.Command, into *[]T, name, kind, usage string, parse func(string) (T, error)) {
	c.Flags().Var(each(into, kind, parse), name, usage)
}

func each[T any](into *[]T, kind string, parse func(string) (T, error)) *benchFlag {
	return &benchFlag{kind: kind, set: func(s string) error {
		v, err := parse(s)
		*into = append(*into, v)
		return err
	}}
}

// all is each for a text that may say several things.
func all[T any](into *[]T, kind string, parse func(string) ([]T, error)) *benchFlag {
	return &benchFlag{kind: kind, set: func(s string) error {
		v, err := parse(s)
		*into = append(*into, v...)
		return err
	}}
}

// parted reads "CHEMICAL=VALUE".
func parted[T, R any](example string, parse func(string) (T, error), of func(chemical string, v T) R) func(string) (R, error) {
	return func(s string) (out R, err error) {
		name, text, ok := strings.Cut(s, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return out, errors.New(`write it like "` + example + `"`)
		}
		v, err := parse(text)
		return of(name, v), err
	}
}

// chemicalPrice reads "alum=0.42 EUR/kg".
func chemicalPrice(example string) func(string) (pair.Price, error) {
	return parted(example, quantity.ParsePrice, func(chemical string, p quantity.Price) pair.Price { return pair.Price{Chemical: chemical, Price: p} })
}

// addBenchFlags adds the flags with which a user overrides what the reader of
// bench sheets infers.
func addBenchFlags(cmd *cobra.Command, o *sheet.Options) {
	f := cmd.Flags()
	f.StringVar(&o.Sheet, "sheet", "", "read only the sheet called `NAME`")
	f.StringVar(&o.Range, "range", "", "read only the cells of `A5:F11`")
	f.StringVar(&o.Chemical, "chemical", "", "the chemical `NAME` of a dose column that does not say")
	f.BoolVar(&o.Hidden, "hidden", false, "take hidden rows, columns and sheets too")
	f.Var(&benchFlag{kind: "[CHEMICAL=]BASIS", set: func(s string) error {
		x, err := sheet.ParseChemicalBasis(s)
		o.AddBasis(x)
		return err
	}}, "basis", `what doses count: "as product" where the sheet does not say, "alum=as Al" for one chemical whatever it says (may repeat)`)
	parsed(cmd, &o.Stock, "stock", "STRENGTH", `strength of the stock behind doses in mL, such as "10 g/L" or "1 %" (mass by volume)`, sheet.ParseStock)
	parsed(cmd, &o.Density, "density", "DENSITY", `density of a neat product dosed in mL or µL, such as "1.33 kg/L"`, quantity.Parse[quantity.Density])
	parsed(cmd, &o.JarVolume, "jar-volume", "VOLUME", `water in a jar, such as "1 L"`, func(s string) (quantity.Volume, error) {
		v, err := quantity.Parse[quantity.Volume](s)
		if err == nil && v <= 0 {
			err = note.Fault("bad-volume", "a jar volume must be above zero")
		}
		return v, err
	})
	const columns = `what a column is, such as "Result=turbidity NTU", "D=dose mg/L", "X=ignore" (may repeat)`
	repeated(cmd, &o.Columns, "column", "HEADING=MEANING", columns, func(s string) (sheet.Override, error) {
		head, meaning, ok := halves(s, "=")
		if !ok || head == "" {
			return sheet.Override{}, errors.New(`write it like "Result=turbidity NTU"`)
		}
		return sheet.Override{Header: head, Meaning: meaning}, nil
	})
	parsed(cmd, &o.Decimal, "sheet-decimal", "MARK", "how the sheet writes fractions in text: . or , (found out by itself)", func(s string) (rune, error) {
		if s != "." && s != "," {
			return 0, errors.New("use . or ,")
		}
		return rune(s[0]), nil
	})
}

// readBench reads bench sheets; "-" is standard input as CSV. Notes of all files
// come back together; the error is set when a file cannot be read or a number in
// it cannot be taken, and the series that could be read come with it.
func readBench(e *env, files []string, opt sheet.Options) ([]jartest.Series, note.List, error) {
	r, err := readAll(e, files, opt)
	return r.Series, r.Notes, err
}

// other are the notes of a sheet without jars: one alone where it is a file of another kind.
func other(l note.List, name string, data []byte) note.List {
	if err := l.Err(); !slices.ContainsFunc(l, func(n note.Note) bool { return n.Code == "record-table" }) && err != nil {
		if wrong := (note.Note{}); errors.As(unlike(err, &benchFile, name, data), &wrong) {
			return note.List{wrong}
		}
	}
	return l
}

// readAll gives all that was understood of bench sheets.
func readAll(e *env, files []string, opt sheet.Options) (sheet.Result, error) {
	var all sheet.Result
	read := 0
	for _, name := range files {
		if err := e.stopped(); err != nil {
			return sheet.Result{}, err
		}
		data, err := e.readInput(name)
		if err != nil {
			if usage := (usageError{}); errors.As(err, &usage) {
				return sheet.Result{}, err
			}
			all.Notes.Add(note.Of(err, "cannot-read")...)
			continue
		}
		o := opt
		o.Columns = append([]sheet.Override(nil), opt.Columns...)
		r, err := e.readSheet(name, data, o)
		if err != nil {
			all.Notes.Add(note.Of(unlike(err, &benchFile, name, data), "cannot-read")...)
			continue
		}
		if read++; len(r.Series) == 0 {
			r.Notes = other(r.Notes, name, data)
		}
		all.Series = append(all.Series, r.Series...)
		all.Notes.Add(r.Notes...)
		all.Account.Sheets = append(all.Account.Sheets, r.Account.Sheets...)
		all.Account.Unused.Add(r.Account.Unused...)
	}
	all.Notes = metElsewhere(all.Notes, read)
	all.Notes.Add(opt.UnmetBases(all.Series)...)
	return all, all.Notes.Err()
}

// readSheet reads a bench sheet, or gives what was read of it before in the same way. What a site says that doses count is asked
// while it is read, so that such a reading is the site's own.
func (e *env) readSheet(name string, data []byte, o sheet.Options) (sheet.Result, error) {
	if e.Reads == nil || o.Counts != nil {
		return sheet.Read(name, bytes.NewReader(data), o)
	}
	type read struct {
		sheet.Result
		err error
	}
	o.Account = true // which the page of the sheet shows
	r := e.Reads.Once(serve.File{Name: name, Data: data}, fmt.Sprintf("%+v", o), func() any {
		r, err := sheet.Read(name, bytes.NewReader(data), o)
		return read{r, err}
	}).(read)
	return r.Result, r.err
}

// metElsewhere drops the faults of columns that --column names and one of several files has.
func metElsewhere(l note.List, files int) note.List {
	unmet := map[string]int{}
	for _, n := range l {
		if n.Code == "no-such-column" {
			unmet[n.Message]++
		}
	}
	return slices.DeleteFunc(l, func(n note.Note) bool { return n.Code == "no-such-column" && unmet[n.Message] < files })
}
