package main

import (
	"cmp"

	"github.com/spf13/cobra"

	"jarwright/dosing/bench"
	"jarwright/jartest/curve"
	"jarwright/jartest/note"
	"jarwright/templates"
)

// newNext plans the next jar test.
func newNext(e *env) *cobra.Command {
	var f fitFlags
	jars := 6
	cmd := &cobra.Command{
		Use:   "next FILE… --target T",
		Short: "The doses, and mL of stock, worth testing next",
		Long: `Plan the next jar test from this one: the doses that would narrow the interval of
the lowest effective dose most, how much stock to pipette into each jar, how many
jars, and what the interval would become. Where no dose was found, the doses that
would find one; where the last jars clouded again, with the alkali they lacked, or
in smaller steps.`,
		Example: `  jarwright next tuesday.xlsx --target "turbidity <= 5 NTU"
  jarwright next tuesday.csv --target "turbidity <= 5 NTU" --stock "10 g/L" --jar-volume "1 L" --jars 8`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, files []string) error {
			if jars < 1 || jars > 48 {
				return badUsage("--jars %d is out of range: 1 to 48", jars)
			}
			fit, err := f.analyse(e, files, true)
			if err != nil {
				return err
			}
			r := templates.NextReport{Fits: fit.Results, Surfaces: fit.Surfaces, Jars: jars, Notes: fit.Notes}
			found := templates.FitBench(fit.Single, fit.Results, templates.FitWater(fit.Single, fit.Results))
			for i, x := range fit.Results {
				o := curve.StockOf(fit.Single[i])
				o.Jars = jars
				o.Stock, o.JarVolume = cmp.Or(o.Stock, f.bench.Stock), cmp.Or(o.JarVolume, f.bench.JarVolume)
				n, again := nextOf(x, found[i], o)
				n.Notes.Add(again...)
				r.Series = append(r.Series, n)
			}
			return e.emit(r, files...)
		},
	}
	f.add(cmd)
	cmd.Flags().IntVar(&jars, "jars", jars, "how many jars the next test has")
	return cmd
}

// nextOf plans the jars after a series as every command plans them, and says what they need where the last ones clouded again.
func nextOf(x curve.Result, f bench.Findings, o curve.NextOptions) (n curve.Next, again note.List) {
	o.Span = f.Again.Span()
	n = x.Next(o)
	if a := f.Again; a != nil && (x.Outcome == curve.Found || n.Looks(a.From.Dose)) {
		again.Add(a.Note())
	}
	return n, again
}
