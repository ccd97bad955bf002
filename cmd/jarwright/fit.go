package main

import (
	"fmt"
	"sync/atomic"

	"github.com/spf13/cobra"

	"jarwright/jartest"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/sheet"
	"jarwright/templates"
)

// fitFlags are what fit and next share beyond the bench flags.
type fitFlags struct {
	bench   sheet.Options
	targets []jartest.Target
	scatter string
	worth   float64
	sure    quantity.Fraction
	pairs   pairFlags
}

func (f *fitFlags) add(cmd *cobra.Command) {
	addBenchFlags(cmd, &f.bench)
	p := cmd.Flags()
	p.VarP(all(&f.targets, "TARGET", jartest.ParseTargets), "target", "t", `what the water must meet, such as "turbidity <= 5 NTU" or "turbidity removal >= 90 %" (may repeat; the sheet's own when absent)`)
	p.StringVar(&f.scatter, "scatter", "", `how much jars of one dose differ on this bench, such as "8 %", from your own repeats (8 % when absent, loosely held)`)
	parsed(cmd, &f.sure, "sure", "CHANCE", `how sure a dose to plan with must be, from 50 to 99 %, such as "95 %" or "19 in 20" (90 % when absent)`, quantity.ParseSure)
	f.pairs.add(cmd)
	p.Float64Var(&f.worth, "scatter-jars", 8, "how many repeat jars that figure comes from")
}

func (f *fitFlags) options() (curve.Options, error) {
	o := curve.Options{Sure: f.sure}
	if f.scatter == "" {
		return o, nil
	}
	v, err := quantity.Parse[quantity.Fraction](f.scatter)
	if err != nil {
		return o, usageError{err}
	}
	if v <= 0 || f.worth <= 0 {
		return o, badUsage("--scatter and --scatter-jars must be above zero")
	}
	o.Scatter = &curve.Scatter{CV: v, Worth: f.worth}
	return o, nil
}

// asked is what fit, next and compare work on.
type asked struct {
	series  []jartest.Series
	notes   note.List
	targets []jartest.Target
	opt     curve.Options
}

// read takes the flags apart and reads the bench sheets.
func (f *fitFlags) read(e *env, files []string) (a asked, err error) {
	if a.opt, err = f.options(); err != nil {
		return a, err
	}
	a.targets = f.targets
	a.series, a.notes, err = readBench(e, files, f.bench)
	if err == nil && len(a.series) == 0 {
		err = note.Fault("no-series", "no jar test was found").At(note.Place{File: files[0]}).
			Do("look at what was understood with: jarwright read %s", files[0])
	}
	return a, err
}

// fitted is bench sheets with their fits; Single are the series of one chemical,
// in the order of the results.
type fitted struct {
	Single []jartest.Series
	templates.FitReport
}

// analyse reads bench sheets and fits every series. The error is set where nothing
// could be fitted at all; what went wrong with one series of several stands in its notes.
func (f *fitFlags) analyse(e *env, files []string, forNext bool) (fitted, error) {
	a, err := f.read(e, files)
	if err != nil {
		return fitted{}, err
	}
	a.opt.ForNext = forNext
	var count atomic.Int64
	a.opt.Done = func() bool { count.Add(1); return e.stopped() == nil }
	defer e.telling(func() string { return fmt.Sprintf("fitting %d series, %d done", len(a.series), count.Load()) })()
	single, surfaces, err := f.pairs.split(e.stopped, a.series, a.targets, a.opt)
	if err != nil {
		return fitted{}, err
	}
	r := fitted{single, templates.FitReport{Results: curve.AnalyseAll(single, a.targets, a.opt), Surfaces: surfaces, Notes: a.notes}}
	if err := e.stopped(); err != nil {
		return fitted{}, err
	}
	if len(surfaces) > 0 {
		return r, nil
	}
	var faults note.List
	for _, x := range r.Results {
		bad := x.Notes.Only(note.Error)
		if len(bad) == 0 {
			return r, nil
		}
		faults.Add(bad...)
	}
	return r, faults
}

// newFit fits bench sheets and gives the lowest effective dose.
func newFit(e *env) *cobra.Command {
	var f fitFlags
	cmd := &cobra.Command{
		Use:   "fit FILE… --target T",
		Short: "The lowest dose that works, and how sure that is",
		Long: `Fit the reading against the dose and give the lowest dose that meets the target,
its 90 % interval, and a planning dose on the safe side; or say why no dose can
be given and what to do next. No dose is read off beyond the tested range.

Targets: "turbidity <= 5 NTU", "turbidity removal >= 90 %", "ph >= 6.5",
"zeta between -5 and 5 mV", "turbidity at 30 min <= 5 NTU" (settling time),
"turbidity within 10 % of best", "toc slope 0.3 mg/L per 10 mg/L as Al"
(diminishing returns), "toc enhanced" (the removal of organic carbon that 40 CFR
141.135 asks of this water, reported in that rule's terms). A column of your own counts too. With several, all must be met; without one, the sheet's own is used.

Where two chemicals differ between the jars (or a chemical and the pH set), the
answer is a pair: the cheapest inside what was tested, what it saves against the
first chemical alone, and a picture of the reading over both. Series of one water
that differ in a fixed dose are taken together. Prices come from the sheet or --price;
with --alkali and --disposal the pair's alkali and solids are in its cost, and alkali
then holds --alkalinity-left.

Where jars that had cleared cloud again, the answer says why (acid, a turned charge,
or both) as far as pH, alkalinity, zeta or streaming current tell, and what the next
jars should hold. Where phosphorus was read, moles of metal stand beside those needed.

Exit code 3 means: done, and the answer is that no dose can be recommended.`,
		Example: `  jarwright fit tuesday.xlsx --target "turbidity <= 5 NTU"
  jarwright fit tuesday.xlsx --target "turbidity <= 5 NTU" --target "ph >= 6.5" --explain
  jarwright fit tuesday.xlsx --target "turbidity removal >= 90 %" -o fit.svg
  jarwright fit grid.xlsx --target "turbidity <= 5 NTU" --price "alum=0.42 EUR/kg" --price "polymer=4.50 EUR/kg" --most "polymer=0.5 mg/L"`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error {
			r, err := f.analyse(e, files, false)
			if err != nil {
				return err
			}
			r.Water = templates.FitWater(r.Single, r.Results)
			r.Bench = templates.FitBench(r.Single, r.Results, r.Water)
			r.Settling = templates.FitSettling(r.Single, r.Results)
			if err := e.emit(r.FitReport, files...); err != nil {
				return err
			}
			if !r.Planned() {
				e.noAnswer()
			}
			return nil
		},
	}
	f.add(cmd)
	return cmd
}
