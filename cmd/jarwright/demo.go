package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
	"jarwright/templates/book"
)

// The demo's place, animals, water and numbers are invented from end to end: a
// trout hatchery on a beck that storms turn muddy.
const demoTarget = "turbidity <= 5 NTU"

// demoAlum is a finished bench sheet: alum on storm water.
var demoAlum = demoBench("alum", quantity.AsAlum14, []quantity.Concentration{0, 5, 8, 11, 14, 18, 24}, [][]any{
	{38.4, 37.6, 7.41, 0.02}, {24.1, 24.9, 7.22, 0.11}, {13.3, 12.8, 7.13, 0.10}, {6.8, 7.1, 7.05, 0.08},
	{4.0, 3.9, 6.98, 0.06}, {2.8, 2.7, 6.90, 0.06}, {3.5, 3.6, 6.78, 0.09},
}, "no floc", "pin floc", "", "", "good floc", "clear", "clear, light floc")

// demoPACl is the same water with another coagulant, for a comparison.
var demoPACl = demoBench("polyaluminium chloride", quantity.AsProduct, []quantity.Concentration{0, 10, 16, 22, 28, 36, 48}, [][]any{
	{38.1, 37.9, 7.40, 0.02}, {21.7, 22.4, 7.35, 0.07}, {9.9, 10.3, 7.32, 0.06}, {5.2, 5.0, 7.30, 0.05},
	{3.4, 3.3, 7.27, 0.05}, {2.5, 2.6, 7.24, 0.05}, {4.4, 4.1, 7.18, 0.08},
}, "no floc", "", "", "good floc", "good floc", "clear", "cloudy again")

// demoBench is a finished bench sheet of the demo's storm water: each jar's two
// readings of turbidity, its pH and residual aluminium.
func demoBench(chemical string, basis quantity.Basis, doses []quantity.Concentration, jars [][]any, remarks ...string) book.Bench {
	return book.Bench{
		Name: "Beck in spate, " + chemical, Chemical: chemical, Basis: basis, Target: demoTarget,
		Doses: doses, Jars: len(jars), Stock: 10000, JarVolume: 1,
		Readings: []jartest.Key{jartest.Turbidity, jartest.PH, jartest.ResidualAl}, Repeats: 2,
		Done: &book.Done{
			Date: "2026-03-02", By: "early shift",
			Raw:    map[jartest.Key]float64{jartest.Turbidity: 46, jartest.PH: 7.4, jartest.AlkalinityKey: 64, jartest.TemperatureKey: 8},
			Mixing: []float64{200, 60, 40, 8, 20},
			Jars:   jars, Remarks: remarks,
		},
	}
}

// demoTrial is a filled-in clearing trial of the rearing tank: alum alone, and with polymer.
var demoTrial = book.UnitTrial{
	Name: "Rearing tank after the spate", Runs: []string{"with 0.2 mg/L polymer", "without polymer"}, Volume: 21600, Flow: 3.6, Goal: "5 NTU", Reads: "NTU",
	Done: []book.DoneRun{
		{Date: "2026-03-05", Polymer: 0.2, Coagulant: "12.5 mg/L as alum 14-hydrate", Temperature: 8, Skim: 30, Float: 110, Dry: 3.1, By: "early shift",
			At: []float64{0, 5, 10, 16, 24, 32, 42, 52}, Tank: []float64{84.8, 48, 30.3, 14.1, 7.92, 4.44, 3.87, 3.3}},
		{Date: "2026-03-09", Polymer: 0.0, Coagulant: "12.5 mg/L as alum 14-hydrate", Temperature: 8, Skim: 30, Float: 118, Dry: 2.9, By: "early shift",
			At: []float64{0, 5, 10, 16, 24, 32, 42, 52}, Tank: []float64{94.2, 60.1, 44.5, 28.9, 17.4, 12, 7.54, 6.09}},
	},
}

func newDemo(e *env) *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "The whole job on an invented trout hatchery",
		Long: `Write filled-in demo workbooks into DIR (default jarwright-demo) and run the whole
job on them: read, fit, plan, budget, compare, track, trial. The place and every number in it
are invented. Files that an earlier demo wrote are replaced, nothing else is.`,
		Example: "  jarwright demo\n  jarwright demo /tmp/try",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := "jarwright-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			return e.demo(cmd.Context(), dir)
		},
	}
}

// demo writes the inputs, then runs the commands that a user would run on them.
func (e *env) demo(ctx context.Context, dir string) error {
	if e.flags.out != "" || e.flags.format != "" {
		return badUsage("demo takes neither -o nor --format: it writes its files into DIR and shows text")
	}
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := os.MkdirAll(in("past"), 0o755); err != nil {
		return note.Fault("cannot-write", "the folder cannot be made: %s", plain(err)).At(note.Place{File: in("past")}).Do("name another folder")
	}
	if err := e.demoInputs(in); err != nil {
		return err
	}
	steps := []struct {
		title string
		args  []string
	}{
		{"1. What was understood of the bench sheet", []string{"read", in("bench.xlsx")}},
		{"2. The lowest dose that works", []string{"fit", in("bench.xlsx")}},
		{"3. Today's plan", []string{"plan", in("site.xlsx")}},
		{"4. The month", []string{"budget", in("site.xlsx")}},
		{"5. Would another coagulant be cheaper?", []string{"compare", in("bench.xlsx"), in("bench-pacl.xlsx"), "--site", in("site.xlsx"), "--price", "PACl=0.62 EUR/kg"}},
		{"6. And if the beck turns muddier? What past tests say", []string{"track", in("past"), in("bench.xlsx"), "--raw", "85 NTU"}},
		{"7. What the unit takes out of a tank, and what the polymer does for it", []string{"trial", in("trial.xlsx")}},
		{"8. Does the pump feed what is planned? What the operating log says", []string{"track", in("log.csv"), "--site", in("site.xlsx")}},
	}
	t := templates.NewText(e.Out, e.shown)
	t.Para("A trout hatchery on a storm-muddied beck: invented, every number of it. " +
		"The beck is in spate; the intake water goes through a small flotation unit before it reaches the fry.")
	if err := t.Flush(); err != nil {
		return err
	}
	for _, s := range steps {
		if err := e.demoStep(ctx, s.title, s.args); err != nil {
			return err
		}
	}
	return e.demoResults(ctx, in)
}

// demoInputs writes the workbooks that the demo starts from.
func (e *env) demoInputs(in func(string) string) error {
	inputs := []struct {
		name, title string
		fill        func(*book.Book) error
	}{
		{"bench.xlsx", benchTitle, demoAlum.Write},
		{"bench-pacl.xlsx", benchTitle, demoPACl.Write},
		{"trial.xlsx", "Clearing trial of the unit", demoTrial.Write},
		{"site.xlsx", siteTitle, func(b *book.Book) error { b.Site(site.Example("bench.xlsx", demoTarget)); return nil }},
	}
	for i, b := range pastBenches() {
		inputs = append(inputs, inputs[0])
		x := &inputs[len(inputs)-1]
		x.name, x.fill = filepath.Join("past", demoPast[i].day+".xlsx"), b.Write
	}
	if err := e.replaceFile(in("log.csv"), demoLogText()); err != nil {
		return err
	}
	for _, b := range inputs {
		data, err := workbook(b.title, e.shown, b.fill)
		if err == nil {
			err = e.replaceFile(in(b.name), data)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// replaceFile writes one of the demo's own files, which an earlier demo may have written.
func (e *env) replaceFile(name string, data []byte) error {
	f := e.flags.force
	e.flags.force = true
	defer func() { e.flags.force = f }()
	return e.writeFile(name, whole(data))
}

// demoStep shows a command and what it answers.
func (e *env) demoStep(ctx context.Context, title string, args []string) error {
	t := templates.NewText(e.Out, e.shown)
	t.Blank()
	t.Head(title)
	t.Para("$ jarwright " + shown(args))
	t.Blank()
	if err := t.Flush(); err != nil {
		return err
	}
	return e.again(ctx, args, e.flags)
}

// again runs another command of this program with its own flags, on the same
// streams. An answer of "no dose" there is not a failure here.
func (e *env) again(ctx context.Context, args []string, f outputFlags) error {
	sub := &env{streams: e.streams}
	words := append([]string(nil), args...)
	words = append(words, "--units", f.units, "--decimal", f.decimal, "--paper", f.paper)
	if f.date != "" {
		words = append(words, "--date", f.date)
	}
	if f.noColor {
		words = append(words, "--no-color")
	}
	if f.quiet {
		words = append(words, "--quiet")
	}
	return sub.execute(ctx, words)
}

// demoResults writes the answers in their other forms and names the files.
func (e *env) demoResults(ctx context.Context, in func(string) string) error {
	files := []struct {
		name, what string
		args       []string
	}{
		{"bench.xlsx", "the bench sheet, filled in", nil},
		{"bench-pacl.xlsx", "the same water with polyaluminium chloride", nil},
		{"past", "nine tests of the beck in earlier waters", nil},
		{"site.xlsx", "the site workbook: flow, chemicals, pumps, tanks, animals, prices", nil},
		{"trial.xlsx", "a clearing trial of the rearing tank, filled in", nil},
		{"log.csv", "five weeks of the plant's operating log", nil},
		{"fit.xlsx", "the fit, with its chart", []string{"fit", in("bench.xlsx"), "-o"}},
		{"fit.html", "the fit, to read on a phone or print", []string{"fit", in("bench.xlsx"), "-o"}},
		{"fit.png", "the curve, to send to somebody", []string{"fit", in("bench.xlsx"), "-o"}},
		{"plan.xlsx", "the plan, with live formulas", []string{"plan", in("site.xlsx"), "-o"}},
		{"plan.html", "the plan, one page for the pump house wall", []string{"plan", in("site.xlsx"), "-o"}},
		{"budget.xlsx", "the month, with live formulas: change flow, dose or price", []string{"budget", in("site.xlsx"), "-o"}},
		{"trial.html", "what the trial tells, with its picture", []string{"trial", in("trial.xlsx"), "-o"}},
		{"bench-next.xlsx", "the next bench sheet: its doses, stirred and floated like the plant", []string{"new", "bench", "--site", in("site.xlsx"), "--from", in("bench.xlsx")}},
	}
	quiet := e.flags
	quiet.quiet = true
	var made []templates.Fact
	for _, f := range files {
		if f.args != nil {
			if err := e.again(ctx, append(f.args, in(f.name), "--force"), quiet); err != nil {
				return err
			}
		}
		made = append(made, templates.Fact{Label: in(f.name), Value: f.what})
	}
	t := templates.NewText(e.Out, e.shown)
	t.Blank()
	t.Head("Files made")
	t.Facts(made)
	t.Blank()
	t.Para("Open the bench sheet, change a reading, save it, and run the commands above again. " +
		"For your own place: jarwright new bench FILE.xlsx and jarwright new site FILE.xlsx.")
	return t.Flush()
}

// shown writes a command line as one would type it.
func shown(args []string) string {
	out := make([]string, len(args))
	for i, a := range args {
		if out[i] = a; strings.ContainsAny(a, " <>=") {
			out[i] = `"` + a + `"`
		}
	}
	return strings.Join(out, " ")
}
