package main

import (
	"bytes"
	"cmp"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"jarwright/dosing/bioassay"
	"jarwright/dosing/clearing"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// unitTrialFlags say of a trial of a unit what its files do not.
type unitTrialFlags struct {
	of, to string
	volume clearing.Doubted[quantity.Volume]
	flow   clearing.Doubted[quantity.Flow]
}

// unitTrialNames are those that only a trial of a unit takes.
var unitTrialNames = []string{"to", "volume", "flow"}

func (u *unitTrialFlags) add(c *cobra.Command) {
	p := c.Flags()
	p.StringVar(&u.of, "of", "", "what the trial is of, where the file may be either: "+strings.Join(kindsOfTrial(), " or "))
	p.StringVar(&u.to, "to", "", `of a unit: the reading to be cleared to, such as "10 NTU"`)
	parsed(c, &u.volume, "volume", "VOLUME", `of a unit: all water that goes round, where the file does not say, such as "60 m3" or "60 m3 ± 5 %"`, clearing.ParseDoubted(quantity.Parse[quantity.Volume]))
	parsed(c, &u.flow, "flow", "FLOW", `of a unit: flow through it, where the file does not say, such as "12 m3/h" or "12 m3/h ± 3 %"`, clearing.ParseDoubted(quantity.Parse[quantity.Flow]))
	offers(c, "of", kindsOfTrial())
}

// given is a flag of a trial of a unit that was given, empty for none.
func (u *unitTrialFlags) given(c *cobra.Command) string {
	for _, name := range unitTrialNames {
		if c.Flags().Changed(name) {
			return name
		}
	}
	return ""
}

// impossible is the fault of a flag that says what no tank or running unit has; nil where none does.
func (u *unitTrialFlags) impossible(c *cobra.Command) error {
	for _, f := range []struct {
		name string
		v    float64
	}{{"volume", float64(u.volume.V)}, {"flow", float64(u.flow.V)}} {
		if said := c.Flags().Lookup(f.name); said.Changed && f.v <= 0 {
			return note.Fault("impossible", "%q is no %s", said.Value.String(), f.name).At(note.Place{Cell: "--" + f.name}).Do("give one above 0")
		}
	}
	return nil
}

// input is a file that was read.
type input struct {
	name string
	data []byte
}

// trialsOf reads files of one kind, by what they hold: deaths of animals or the readings of a tank.
func (e *env) trialsOf(files []string, u unitTrialFlags) error {
	if u.of != "" {
		if _, err := kindOfTrial(u.of); err != nil {
			return err
		}
	}
	var in []input
	for _, name := range files {
		data, err := e.readInput(name)
		if err != nil {
			return err
		}
		in = append(in, input{name, data})
		of, err := whichTrial(name, data)
		switch {
		case u.of != "" && len(in) == 1:
			of = strings.ToLower(u.of)
		case err != nil:
			return err
		case len(in) > 1 && of != u.of:
			return badUsage("%s is of %s, %s of %s: give them apart", name, of, files[0], u.of)
		}
		if len(in) == 1 {
			u.of = of
		}
	}
	if u.of == ofUnit {
		return e.trialOfUnit(in, u)
	}
	if u.to != "" || u.volume.V > 0 || u.flow.V > 0 {
		return badUsage("--to, --volume and --flow are of a unit: %s holds none", files[0])
	}
	return e.trialFiles(in)
}

// whichTrial tells what a file is a trial of; a file that is neither is left to the reader of trials on animals, whose fault
// says what is missing. One that may be both is asked about.
func whichTrial(name string, data []byte) (string, error) {
	animals, errA := bioassay.Read(name, bytes.NewReader(data))
	unit, errU := clearing.Read(name, bytes.NewReader(data))
	isAnimals, isUnit := len(animals) > 0 || errA != nil && !only(errA, "no-trial"), len(unit.Runs) > 0 || errU != nil && !only(errU, clearing.NoTrial)
	switch {
	case isAnimals && isUnit && errA == nil && errU == nil:
		return "", note.Fault("trial-of-what", "holds deaths of animals and readings of a tank").At(note.Place{File: name}).Do("say which with --of animals or --of unit")
	case isUnit && (errU == nil || !isAnimals):
		return ofUnit, nil
	case isAnimals:
		return ofAnimals, nil
	case isSite(name, data) || isBench(name, data) || isLog(name, data):
		return ofAnimals, nil
	}
	return "", note.Fault("no-trial", "holds no trial: neither deaths of animals nor readings of a tank over time").At(note.Place{File: name}).
		Do(`for a unit write columns such as Time (h) and Tank (NTU), for animals Dose (mg/L), Animals and Dead at 96 h; or begin with "jarwright new trial FILE.xlsx"`)
}

// only reports an error of that code alone.
func only(err error, code string) bool {
	l := note.Of(err, "")
	return len(l) == 1 && l[0].Code == code
}

// trialOfUnit judges the runs of files together. Where none tells what a pass takes out it ends with exit code 3.
func (e *env) trialOfUnit(files []input, u unitTrialFlags) error {
	var all clearing.Trial
	var names []string
	for _, f := range files {
		t, err := clearing.Read(f.name, bytes.NewReader(f.data))
		if err != nil {
			if !timesGoBack(err) && len(t.Runs) == 0 || isSite(f.name, f.data) {
				err = unlike(err, &unitLog, f.name, f.data)
			}
			return err
		}
		base := strings.TrimSuffix(filepath.Base(f.name), filepath.Ext(f.name))
		for _, r := range t.Runs {
			if same := slices.ContainsFunc(all.Runs, func(x clearing.Run) bool { return x.Name == r.Name }); same || len(files) > 1 && !r.Named {
				if name := runOfFile(base, r.Name, len(t.Runs)); len(t.Runs) == 1 {
					r.CallBy(name)
				} else {
					r.Name = name
				}
			}
			all.Runs = append(all.Runs, r)
		}
		all.Written = append(all.Written, t.Written...)
		all.Name, all.Notes = cmp.Or(all.Name, t.Name), append(all.Notes, t.Notes...)
		if t.Goal.OK {
			all.Goal = t.Goal
		}
		names = append(names, f.name)
	}
	if err := u.complete(&all); err != nil {
		return err
	}
	if u.volume.V > 0 || u.flow.V > 0 {
		all.Written = append(all.Written, water(e.line)...)
	}
	if e.flags.units == "" && usOnly(all.Written) {
		e.shown.Units = quantity.US
	}
	r := templates.Clearing(clearing.Judge(all), fileOf(names[0]))
	if !r.Entered {
		e.noAnswer()
	}
	return e.emit(r, names...)
}

// timesGoBack reports a log of a tank whose times are at fault, whatever else its file looks like.
func timesGoBack(err error) bool {
	return slices.ContainsFunc(note.Of(err, ""), func(n note.Note) bool { return n.Code == "time-back" || n.Code == "hours-of-what" })
}

// fileOf is what a file is called where a trial names it; standard input has no name.
func fileOf(name string) string {
	if name == "-" {
		return ""
	}
	return filepath.Base(name)
}

// runOfFile is what a run is called among those of several files.
func runOfFile(base, name string, runs int) string {
	if runs == 1 {
		return base
	}
	return base + ", " + name
}

// complete puts in what the files do not say.
func (u unitTrialFlags) complete(t *clearing.Trial) error {
	if u.to != "" {
		goal, err := site.ParseReading(u.to)
		if err != nil {
			return usageError{note.Of(err, "bad-reading")[0].At(note.Place{Cell: "--to"})}
		}
		for _, r := range t.Runs {
			if r.Key != goal.Key {
				return badUsage("--to %q is not what was read: %s is in %s", u.to, r.Name, r.Key.Info().Unit)
			}
		}
		t.Goal = quantity.Some(goal.V)
	}
	for i := range t.Runs {
		r := &t.Runs[i]
		if !r.Volume.OK && u.volume.V > 0 {
			r.Volume = quantity.Some(u.volume.V)
		}
		if !r.Flow.OK && u.flow.V > 0 {
			r.Flow = quantity.Some(u.flow.V)
		}
		if r.Volume.V == u.volume.V && r.VolumeUnsure == 0 {
			r.VolumeUnsure = u.volume.Unsure
		}
		if r.Flow.V == u.flow.V && r.FlowUnsure == 0 {
			r.FlowUnsure = u.flow.Unsure
		}
		if r.Volume.OK && u.volume.V > 0 && r.Volume.V != u.volume.V {
			t.Notes.Add(note.New(note.Caution, "flag-and-file", "%s says a volume of %s itself, so --volume %s is not used for it", r.Name, quantity.To(r.Volume.V, 4), quantity.To(u.volume.V, 4)).At(r.Volume.At).Do("correct the one that is wrong"))
		}
		ran := func(f clearing.FlowAt) bool { return f.Flow.OK && f.Flow.V == u.flow.V } // the mean of a run that stood for a while is less
		if r.Flow.OK && !r.Off && u.flow.V > 0 && r.Flow.V != u.flow.V && !slices.ContainsFunc(r.Flows, ran) {
			t.Notes.Add(note.New(note.Caution, "flag-and-file", "%s says a flow of %s itself, so --flow %s is not used for it", r.Name, quantity.To(r.Flow.V, 4), quantity.To(u.flow.V, 4)).At(r.Flow.At).Do("correct the one that is wrong"))
		}
	}
	return nil
}
