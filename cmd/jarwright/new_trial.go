package main

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/clearing"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// What a trial can be of.
const (
	ofAnimals = "animals"
	ofUnit    = "unit"
)

// trialSheet is what the sheet of a trial is asked for with.
type trialSheet struct {
	animals book.AnimalTrial
	unit    book.UnitTrial
	volume  clearing.Doubted[quantity.Volume]
	flow    clearing.Doubted[quantity.Flow]
	prove   quantity.Fraction
}

// trialKind is something that a trial is of.
type trialKind struct {
	of, title string
	// flags are those that only it takes.
	flags []string
	fill  func(x trialSheet) func(*book.Book) error
}

// trialKinds are the trials that there are sheets for.
var trialKinds = []trialKind{
	{ofAnimals, "Trial on a few animals", []string{"chemical", "animal", "animals", "water", "basis", "doses", "hours", "prove"},
		func(x trialSheet) func(*book.Book) error { return x.animals.Write }},
	{ofUnit, "Clearing trial of the unit", []string{"run", "volume", "flow", "expect", "to", "reads"},
		func(x trialSheet) func(*book.Book) error { return x.unit.Write }},
}

// kindsOfTrial are their names.
func kindsOfTrial() (out []string) {
	for _, k := range trialKinds {
		out = append(out, k.of)
	}
	return out
}

// kindOfTrial is the kind of that name.
func kindOfTrial(of string) (trialKind, error) {
	i := slices.IndexFunc(trialKinds, func(k trialKind) bool { return strings.EqualFold(k.of, of) })
	switch {
	case of == "":
		return trialKind{}, badUsage("--of is missing: say what the trial is of: %s", strings.Join(kindsOfTrial(), " or "))
	case i < 0:
		return trialKind{}, badUsage("--of %q is not known: there is %s%s", of, strings.Join(kindsOfTrial(), " or "), note.DidYouMean(of, kindsOfTrial()))
	}
	return trialKinds[i], nil
}

// newNewTrial makes the command that writes the sheet of a trial to fill in.
func newNewTrial(e *env) *cobra.Command {
	var x trialSheet
	of := ""
	c := &cobra.Command{
		Use:   "trial FILE.xlsx",
		Short: "The sheet of a trial, of the unit or on a few animals, to print or fill in",
		Long: `Write the workbook of a trial. Filled in and saved, "jarwright trial" takes it as it is.

Of a unit: a page for each run (--run, such as "with 0.2 mg/L polymer"), with the
times at which to read the tank, worked out from its volume, the flow and what a pass
is expected to take out, and how to do it so that the answer can be trusted.

On animals: groups with their doses, the animals of each, the dead at each look, the
readings of the water, how to do it and when to stop. --water is for a tank's own
water beside new water, before animals go back into it. --prove says what none dead
shall prove, and works out how many animals that takes.`,
		Example: `  jarwright new trial tank.xlsx --of unit --volume "60 m3" --flow "12 m3/h" --run "with 0.2 mg/L polymer" --run "without polymer"
  jarwright new trial trial.xlsx --of animals
  jarwright new trial trial.xlsx --of animals --chemical polyamine --animal "rainbow trout" --doses "0,1,2,4,8,16 mg/L" --basis "as product"
  jarwright new trial back.xlsx --of animals --water --hours "24 h" --prove "25 %"`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			kind, err := kindOfTrial(of)
			if err != nil {
				return err
			}
			for _, other := range trialKinds {
				for _, name := range other.flags {
					if cmd.Flags().Changed(name) && !slices.Contains(kind.flags, name) {
						return badUsage("--%s is for a trial of %s, not of %s", name, other.of, kind.of)
					}
				}
			}
			if cmd.Flags().Changed("prove") {
				if x.animals.Animals != 0 {
					return badUsage("--prove works out --animals: give one of them")
				}
				if x.animals.Animals = bioassay.Needed(x.prove); x.animals.Animals == 0 {
					return badUsage("--prove: a share between 0 and 100 %% can be proven")
				}
			}
			return e.writeTrial(args[0], kind, x)
		},
	}
	p := c.Flags()
	p.StringVar(&of, "of", "", "what the trial is of: "+strings.Join(kindsOfTrial(), " or "))
	p.StringVar(&x.animals.Name, "name", "", "name of the trial")
	p.StringVar(&x.animals.Chemical, "chemical", "", "on animals: the chemical tested, as the site calls it")
	p.StringVar(&x.animals.Animal, "animal", "", "on animals: the animal tested")
	p.IntVar(&x.animals.Animals, "animals", 0, "on animals: animals in each group (10 when absent)")
	p.BoolVar(&x.animals.Water, "water", false, "on animals: a tank's own water beside new water, without doses")
	parsed(c, &x.animals.Basis, "basis", "BASIS", `on animals: what the dose counts, such as "as product"`, quantity.ParseBasis)
	parsed(c, &x.animals.Doses, "doses", "DOSES", `on animals: doses to test, such as "0,1,2,4,8,16 mg/L"`, parseDoses)
	parsed(c, &x.animals.Hours, "hours", "TIME", `on animals: how long it runs, such as "24 h" (96 h when absent)`, quantity.Parse[quantity.Time])
	parsed(c, &x.prove, "prove", "SHARE", `on animals: none dead shall prove that fewer than this die, such as "10 %"`, quantity.Parse[quantity.Fraction])
	p.StringArrayVar(&x.unit.Runs, "run", nil, `of a unit: a run, by what is set in it, such as "with 0.2 mg/L polymer" (repeat for more; one when absent)`)
	parsed(c, &x.volume, "volume", "VOLUME", `of a unit: all water that goes round, such as "60 m3" or "60 m3 ± 5 %"`, clearing.ParseDoubted(quantity.Parse[quantity.Volume]))
	parsed(c, &x.flow, "flow", "FLOW", `of a unit: flow through it, such as "12 m3/h" or "12 m3/h ± 3 %"`, clearing.ParseDoubted(quantity.Parse[quantity.Flow]))
	parsed(c, &x.unit.Expect, "expect", "SHARE", `of a unit: what a pass is expected to take out, such as "40 %" (60 % when absent)`, quantity.Parse[quantity.Fraction])
	p.StringVar(&x.unit.Goal, "to", "", `of a unit: the reading to be cleared to, such as "10 NTU"`)
	p.StringVar(&x.unit.Reads, "reads", "NTU", `of a unit: what is read: NTU or mg/L`)
	offers(c, "of", kindsOfTrial())
	return c
}

// writeTrial writes the workbook.
func (e *env) writeTrial(file string, kind trialKind, x trialSheet) error {
	a := x.animals
	switch {
	case !strings.EqualFold(filepath.Ext(file), ".xlsx"):
		return badUsage("%s: a workbook's name ends in .xlsx", file)
	case a.Water && (len(a.Doses) > 0 || a.Chemical != "" || a.Basis != quantity.NotStated):
		return badUsage("--water tries the water itself: it takes no chemical, doses or basis")
	}
	e.ownUnits(nil)
	x.unit.Volume, x.unit.VolumeUnsure, x.unit.Flow, x.unit.FlowUnsure = x.volume.V, x.volume.Unsure, x.flow.V, x.flow.Unsure
	x.unit.Name, x.unit.System = a.Name, e.shown.Units
	data, err := workbook(kind.title, e.shown, kind.fill(x))
	if err != nil {
		return err
	}
	if err := e.writeFile(file, whole(data)); err != nil {
		return err
	}
	e.say("wrote %s", file)
	e.say("fill it in, save it, then: jarwright trial %s", file)
	return nil
}
