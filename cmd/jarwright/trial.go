package main

import (
	"bytes"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/product"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// trialFlags describe a trial without a file.
type trialFlags struct {
	groups                    []string
	control, chemical, animal string
	hours                     quantity.Time
	basis                     quantity.Basis
}

// newTrial makes the command that reads trials.
func newTrial(e *env) *cobra.Command {
	var f trialFlags
	var u unitTrialFlags
	c := &cobra.Command{
		Use:   "trial FILE…",
		Short: "What a trial tells: of the unit, of a dose on animals",
		Long: `Reads trials, of a unit or on a few animals; the file tells which.

Of a unit: readings of a tank, or of the unit's inlet and outlet, while the unit runs.
It says what a pass takes out with its interval, what never comes out, when the tank
is at a reading (--to), and holds runs against each other: with and without polymer,
two doses, two flows, two ways of skimming. A file is the workbook of "jarwright new
trial FILE --of unit", or any table with a time and a reading, "Time (h), Tank (NTU)",
with the flow and the volume beside it; runs stand in columns, blocks, sheets or under
a column of names. A column that differs from run to run, such as Polymer (mg/L), Skim
every (min) or Setting, sets them apart, and so do times that begin again. A column of
flow may change within a run, "off" or 0 where the unit stood, and one of volume may
fall. A remark "do not use" takes its reading out; all others are shown, and what was
put in or changed is asked about. What a coagulant makes counts in the balance where
its dose says what it is, as "12 mg/L as alum 14-hydrate"; "Solids per NTU" may be
said. Several files are held against each other; of settings that are not shown to
differ the lower goes into the site.

On animals: groups of them in several doses and one without, and how many were dead
by each look. It says what the deaths prove (no more than so many die, with 95 %
confidence), whether more died than in the control, the dose that half of them die of
with its interval, and what to put into the site, which plan and clarify then go by.
A file is the workbook of "jarwright new trial FILE --of animals", or any table with
a dose (or a name) and the animals and the dead of each group: "Dose (mg/L), Animals,
Dead at 24 h, Dead at 96 h". The dead are all so far; the living, or percent, will do.
Without a file each --group is one: "4 mg/L=4/10" is four dead of ten.`,
		Example: `  jarwright new trial tank.xlsx --of unit --volume "60 m3" --flow "12 m3/h"
  jarwright trial tank.xlsx --to "10 NTU"
  jarwright trial with.csv without.csv --volume "60 m3" --flow "12 m3/h"
  jarwright new trial trial.xlsx --of animals
  jarwright trial --control 0/10 --group "2 mg/L=1/10" --group "4 mg/L=4/10" --group "8 mg/L=8/10" --group "16 mg/L=10/10" --basis "as product" --hours "96 h"
  jarwright trial --control 0/10 --group "tank water=0/10" --hours "24 h"`,
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, files []string) error {
			quick := len(f.groups) > 0
			switch {
			case quick && len(files) > 0:
				return badUsage("trial takes files or --group, not both")
			case quick && u.given(cmd) != "":
				return badUsage("--%s is of a unit, --group of animals", u.given(cmd))
			case quick:
				return e.trialQuick(f)
			case len(files) == 0:
				return badUsage(`trial needs a file, or groups such as --group "4 mg/L=4/10"`)
			}
			for _, name := range []string{"control", "chemical", "animal", "hours", "basis"} {
				if cmd.Flags().Changed(name) {
					return badUsage("--%s goes with --group: a file tells it itself", name)
				}
			}
			if err := u.impossible(cmd); err != nil {
				return err
			}
			return e.trialsOf(files, u)
		},
	}
	p := c.Flags()
	u.add(c)
	p.StringArrayVar(&f.groups, "group", nil, `a group: dose or name, dead and animals, such as "4 mg/L=4/10" or "tank water=0/10" (repeat for more)`)
	p.StringVar(&f.control, "control", "", `dead and animals of the group without the dose, such as "0/10"`)
	p.StringVar(&f.chemical, "chemical", "", "the chemical tested")
	p.StringVar(&f.animal, "animal", "", "the animal tested")
	parsed(c, &f.basis, "basis", "BASIS", `what the doses count, such as "as product"`, quantity.ParseBasis)
	parsed(c, &f.hours, "hours", "TIME", `how long the trial ran, such as "96 h"`, quantity.Parse[quantity.Time])
	return c
}

// trialFiles reads the trials of files. The answer is shown of those that can be read; what is wrong with others ends the run.
func (e *env) trialFiles(files []input) error {
	var trials []bioassay.Trial
	var names []string
	for _, f := range files {
		got, err := bioassay.Read(f.name, bytes.NewReader(f.data))
		if err != nil {
			if len(got) == 0 || isSite(f.name, f.data) { // whose rows are no groups
				err = unlike(err, &trialFile, f.name, f.data)
			}
			return err
		}
		trials, names = append(trials, got...), append(names, f.name)
	}
	return e.showTrials(trials, names...)
}

// trialQuick reads a trial from the command line.
func (e *env) trialQuick(f trialFlags) error {
	t := bioassay.Trial{Chemical: f.chemical, Animal: f.animal, Basis: f.basis, Times: []quantity.Known[quantity.Time]{{V: f.hours, OK: f.hours > 0}}}
	var faults note.List
	add := func(flag, text, count string, g bioassay.Group) {
		dead, of, ok := counted(count)
		g.At = note.Place{Cell: "--" + flag}
		if !ok {
			faults.Add(note.Fault("bad-count", "%q is no count of dead and animals", text).At(g.At).Do(`write dead/animals, such as "4/10"`))
		}
		g.Animals, g.Dead = of, []quantity.Known[int]{quantity.Some(dead)}
		t.Groups = append(t.Groups, g)
	}
	if f.control != "" {
		add("control", f.control, f.control, bioassay.Group{Name: "control", Control: true})
	}
	for _, text := range f.groups {
		what, count, _ := strings.Cut(text, "=")
		g := bioassay.Group{Name: strings.TrimSpace(what)}
		if strings.ContainsAny(what, "0123456789") {
			d, err := bioassay.ParseDose(g.Name)
			if err != nil {
				faults.Add(note.Of(err, "bad-dose")[0].At(note.Place{Cell: "--group"}))
				continue
			}
			if g = (bioassay.Group{Dose: quantity.Some(d.Concentration)}); d.Concentration == 0 {
				g = bioassay.Group{Control: true}
			}
			if d.Basis != quantity.NotStated {
				t.Basis = d.Basis
			}
		}
		add("group", text, count, g)
	}
	if err := faults.Err(); err != nil {
		return usageError{err}
	}
	return e.showTrials([]bioassay.Trial{t})
}

// counted reads "4/10".
func counted(s string) (dead, of int, ok bool) {
	a, b, _ := strings.Cut(s, "/")
	dead, err := strconv.Atoi(strings.TrimSpace(a))
	of, err2 := strconv.Atoi(strings.TrimSpace(b))
	return dead, of, err == nil && err2 == nil && 0 <= dead && dead <= of && of > 0
}

// showTrials judges trials and shows them; one that gives the site nothing to go by ends with exit code 3, where it was
// asked for a dose.
func (e *env) showTrials(trials []bioassay.Trial, files ...string) error {
	var r templates.TrialReport
	for _, t := range trials {
		got, err := bioassay.Judge(t)
		if err != nil {
			return err
		}
		a := templates.TrialAnswer{Result: got}
		if a.Entry, a.Why, _ = got.Enter(product.Default()); unanswered(got) {
			e.noAnswer()
		}
		r.Trials = append(r.Trials, a)
	}
	return e.emit(r, files...)
}

// unanswered reports a trial of which no figure comes: its controls died, nothing lay between none and all dead of few, each dose killed half or more; or one after
// which the animals are to stay out.
func unanswered(r bioassay.Result) bool {
	x := r.Last()
	o := x.Outcome
	return x.KeepOut() || o == bioassay.Found && x.Bracketed && x.Low == 0 || o == bioassay.Invalid || o == bioassay.Below || o == bioassay.Above && r.Last().Safe == 0
}
