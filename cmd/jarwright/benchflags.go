package main

import (
	"bytes"
	"errors"
	"strings"

	"github.com/spf13/cobra"

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

// addBenchFlags adds the flags with which a user overrides what the reader of
// bench sheets infers.
func addBenchFlags(cmd *cobra.Command, o *sheet.Options) {
	f := cmd.Flags()
	f.StringVar(&o.Sheet, "sheet", "", "read only the sheet called `NAME`")
	f.StringVar(&o.Range, "range", "", "read only the cells of `A5:F11`")
	f.StringVar(&o.Chemical, "chemical", "", "the chemical `NAME` of a dose column that does not say")
	f.BoolVar(&o.Hidden, "hidden", false, "take hidden rows and sheets too")
	add := func(name, kind, usage string, set func(string) error) {
		f.Var(&benchFlag{kind: kind, set: set}, name, usage)
	}
	add("basis", "BASIS", `what the doses count, such as "as product" or "as Al"`, func(s string) (err error) {
		o.Basis, err = quantity.ParseBasis(s)
		return err
	})
	add("stock", "STRENGTH", `strength of the stock behind doses in mL, such as "10 g/L" or "1 %" (mass by volume)`, func(s string) (err error) {
		o.Stock, err = sheet.ParseStock(s)
		return err
	})
	add("density", "DENSITY", `density of a neat product dosed in mL or µL, such as "1.33 kg/L"`, func(s string) (err error) {
		o.Density, err = quantity.Parse[quantity.Density](s)
		return err
	})
	add("jar-volume", "VOLUME", `water in a jar, such as "1 L"`, func(s string) error {
		v, err := quantity.Parse[quantity.Volume](s)
		if err == nil && v <= 0 {
			err = note.Fault("bad-volume", "a jar volume must be above zero")
		}
		o.JarVolume = v
		return err
	})
	add("column", "HEADING=MEANING", `what a column is, such as "Result=turbidity NTU", "D=dose mg/L", "X=ignore" (may repeat)`, func(s string) error {
		head, meaning, ok := strings.Cut(s, "=")
		head, meaning = strings.TrimSpace(head), strings.TrimSpace(meaning)
		if !ok || head == "" || meaning == "" {
			return errors.New(`write it like "Result=turbidity NTU"`)
		}
		o.Columns = append(o.Columns, sheet.Override{Header: head, Meaning: meaning})
		return nil
	})
	add("sheet-decimal", "MARK", "how the sheet writes fractions in text: . or , (found out by itself)", func(s string) error {
		if s != "." && s != "," {
			return errors.New("use . or ,")
		}
		o.Decimal = rune(s[0])
		return nil
	})
}

// readBench reads bench sheets; "-" is standard input as CSV. Notes of all files
// come back together; the error is set when a file cannot be read or a number in
// it cannot be taken, and the series that could be read come with it.
func readBench(e *env, files []string, opt sheet.Options) ([]jartest.Series, note.List, error) {
	var series []jartest.Series
	var notes note.List
	for _, name := range files {
		data, err := e.readInput(name)
		if err != nil {
			if usage := (usageError{}); errors.As(err, &usage) {
				return nil, nil, err
			}
			notes.Add(note.Of(err, "cannot-read")...)
			continue
		}
		o := opt
		o.Columns = append([]sheet.Override(nil), opt.Columns...)
		r, err := sheet.Read(name, bytes.NewReader(data), o)
		if err != nil {
			notes.Add(note.Of(err, "cannot-read")...)
			continue
		}
		series = append(series, r.Series...)
		notes.Add(r.Notes...)
	}
	return series, notes, notes.Err()
}
