package main

import (
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/bioassay"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates/book"
)

// trialKind is something that a trial is of.
type trialKind struct {
	of, title string
	fill      func(x book.AnimalTrial) func(*book.Book) error
}

// trialKinds are the trials that there are sheets for.
var trialKinds = []trialKind{
	{"animals", "Trial on a few animals", func(x book.AnimalTrial) func(*book.Book) error { return x.Write }},
}

// kindsOfTrial are their names.
func kindsOfTrial() (out []string) {
	for _, k := range trialKinds {
		out = append(out, k.of)
	}
	return out
}

// newNewTrial makes the command that writes the sheet of a trial to fill in.
func newNewTrial(e *env) *cobra.Command {
	var x book.AnimalTrial
	of := ""
	var prove quantity.Fraction
	c := &cobra.Command{
		Use:   "trial FILE.xlsx",
		Short: "The sheet of a trial on a few animals, to print or fill in",
		Long: `Write the workbook of a trial: groups with their doses, the animals of each, the dead
at each look, the readings of the water, how to do it and when to stop. Filled in and
saved, "jarwright trial" takes it as it is. --water is for a tank's own water beside
new water, before animals go back into it. --prove says what none dead shall prove,
and works out how many animals that takes.`,
		Example: `  jarwright new trial trial.xlsx --of animals
  jarwright new trial trial.xlsx --of animals --chemical polyamine --animal "rainbow trout" --doses "0,1,2,4,8,16 mg/L" --basis "as product"
  jarwright new trial back.xlsx --of animals --water --hours "24 h" --prove "25 %"`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("prove") {
				if x.Animals != 0 {
					return badUsage("--prove works out --animals: give one of them")
				}
				if x.Animals = bioassay.Needed(prove); x.Animals == 0 {
					return badUsage("--prove: a share between 0 and 100 %% can be proven")
				}
			}
			return e.writeTrial(args[0], of, x)
		},
	}
	p := c.Flags()
	p.StringVar(&of, "of", "", "what the trial is of: "+strings.Join(kindsOfTrial(), " or "))
	p.StringVar(&x.Name, "name", "", "name of the trial")
	p.StringVar(&x.Chemical, "chemical", "", "the chemical tested, as the site calls it")
	p.StringVar(&x.Animal, "animal", "", "the animal tested")
	p.IntVar(&x.Animals, "animals", 0, "animals in each group (10 when absent)")
	p.BoolVar(&x.Water, "water", false, "a tank's own water beside new water, without doses")
	parsed(c, &x.Basis, "basis", "BASIS", `what the dose counts, such as "as product"`, quantity.ParseBasis)
	parsed(c, &x.Doses, "doses", "DOSES", `doses to test, such as "0,1,2,4,8,16 mg/L"`, parseDoses)
	parsed(c, &x.Hours, "hours", "TIME", `how long it runs, such as "24 h" (96 h when absent)`, quantity.Parse[quantity.Time])
	parsed(c, &prove, "prove", "SHARE", `none dead shall prove that fewer than this die, such as "10 %"`, quantity.Parse[quantity.Fraction])
	must(c.RegisterFlagCompletionFunc("of", cobra.FixedCompletions(kindsOfTrial(), cobra.ShellCompDirectiveNoFileComp)))
	return c
}

// writeTrial writes the workbook.
func (e *env) writeTrial(file, of string, x book.AnimalTrial) error {
	i := slices.IndexFunc(trialKinds, func(k trialKind) bool { return strings.EqualFold(k.of, of) })
	switch {
	case of == "":
		return badUsage("--of is missing: say what the trial is of: %s", strings.Join(kindsOfTrial(), " or "))
	case i < 0:
		return badUsage("--of %q is not known: there is %s%s", of, strings.Join(kindsOfTrial(), " or "), note.DidYouMean(of, kindsOfTrial()))
	case !strings.EqualFold(filepath.Ext(file), ".xlsx"):
		return badUsage("%s: a workbook's name ends in .xlsx", file)
	case x.Water && (len(x.Doses) > 0 || x.Chemical != "" || x.Basis != quantity.NotStated):
		return badUsage("--water tries the water itself: it takes no chemical, doses or basis")
	}
	data, err := workbook(trialKinds[i].title, e.shown, trialKinds[i].fill(x))
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
