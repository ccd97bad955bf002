package main

import (
	"cmp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// sheetFlag is where a bench sheet is named that a site does not name.
const sheetFlag = "--bench"

// addBench adds the flag that takes a site's doses from another bench sheet than it names.
func (e *env) addBench(c *cobra.Command) {
	c.Flags().StringArrayVar(&e.bench, "bench", nil, "bench sheet `FILE` that the site's dose is taken from today, in place of what the site says; \"alum=FILE\" where it doses several (may repeat)")
}

// onBench gives a site whose doses come from the bench sheets that were asked for, and says so: the site's own target and
// sureness stay, a test that only the site's own sheet has does not.
func (e *env) onBench(s site.Site) (site.Site, error) {
	s.Chemicals, s.Notes = slices.Clone(s.Chemicals), slices.Clone(s.Notes)
	for _, asked := range e.bench {
		rows, file, err := rowsOfBench(s, asked)
		if err != nil {
			return s, err
		}
		for _, i := range rows {
			c := &s.Chemicals[i]
			was := "a dose that the site does not give"
			switch {
			case c.Dose.OK || c.Fed.OK:
				was = "the dose that the site states"
			case c.Bench.OK && c.Bench.V != file:
				was = c.Bench.V + ", which the site names"
			case c.Bench.OK:
				continue
			}
			c.Bench = quantity.Known[string]{V: file, OK: true, At: note.Place{Cell: sheetFlag}}
			c.Dose.OK, c.DoseLow.OK, c.DoseHigh.OK, c.Fed.OK, c.Hand.OK = false, false, false, false, false
			s.Notes.Add(note.New(note.Info, "bench-of-today", "%s: the dose is from the bench sheet %s, in place of %s", c.Name.V, file, was).At(c.Bench.At))
		}
	}
	return s, nil
}

// rowsOfBench are the chemicals that a value of --bench is of: the one that it names, else all that take their dose from one
// sheet, else the only one that the site doses.
func rowsOfBench(s site.Site, asked string) (rows []int, file string, err error) {
	name, file, named := strings.Cut(asked, "=")
	if named {
		for i, c := range s.Chemicals {
			if strings.EqualFold(strings.TrimSpace(name), c.Name.V) {
				return []int{i}, strings.TrimSpace(file), nil
			}
		}
	}
	var takes, from, all []string
	for i, c := range s.Chemicals {
		all = append(all, c.Name.V)
		if c.Bench.OK && !c.Dose.OK && !c.Fed.OK {
			rows, takes = append(rows, i), append(takes, c.Name.V)
			if !slices.Contains(from, c.Bench.V) {
				from = append(from, c.Bench.V)
			}
		}
	}
	file = strings.TrimSpace(asked)
	if len(rows) == 0 && len(s.Chemicals) == 1 {
		rows = []int{0}
	}
	if file == "" || len(rows) == 0 || len(from) > 1 {
		which := cmp.Or(strings.Join(takes, ", "), strings.Join(all, ", "))
		return nil, "", usageError{note.Fault("bench-which", "%s %q does not say whose dose it gives: the site doses %s", sheetFlag, asked, which).
			Do(`name one of them before the file, such as %s "%s=%s"`, sheetFlag, cmp.Or(slices.Concat(takes, all, []string{"alum"})[0]), cmp.Or(file, "bench.xlsx"))}
	}
	return rows, file, nil
}

// benchFile is the file that a chemical's bench sheet is read from: one of the site lies beside it, one that was asked for where the
// command line says.
func (e *env) benchFile(siteFile string, c site.Chemical) string {
	if c.Bench.At.Cell == sheetFlag {
		return c.Bench.V
	}
	return e.beside(siteFile, c.Bench.V)
}
