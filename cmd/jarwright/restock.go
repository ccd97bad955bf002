package main

import (
	"slices"

	"github.com/spf13/cobra"

	"jarwright/dosing"
	"jarwright/dosing/restock"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/templates"
)

// restockFlags are what the command line says of the tank and of what is left in it.
type restockFlags struct {
	residual, limit quantity.Concentration
	volume          quantity.Volume
	flow            quantity.Flow
	drain           quantity.Fraction
}

// newRestock makes the command that brings animals back.
func newRestock(e *env) *cobra.Command {
	var f restockFlags
	c := &cobra.Command{
		Use:   "restock [SITE]",
		Short: "Back to stock: clean water, then a few animals",
		Long: `Says how much clean water brings what is left of the chemicals in an emptied or
treated tank down to what the animals bear: let through, or in place of what is
drained; then how to try a few animals in it. The water is taken as well mixed.

From a site it takes what the clean-up of its tank, the treatment of its ponds by
hand, or else its day, leaves at worst (what is measured goes before), and the limits
that these call for care by, whether the animals get the water meanwhile or not. With
--residual and --limit it needs no site; beside a site they go before its own, where
one chemical is left.`,
		Example: `  jarwright restock site.xlsx --flow "6 m3/h" --drain "50 %"
  jarwright restock --residual "17 mg/L" --limit "0.0271 mg/L" --volume "60 m3" --flow "6 m3/h"`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return e.restock(cmd, f, args) },
	}
	parsed(c, &f.residual, "residual", "DOSE", `what is left in the water, measured or at worst, such as "17 mg/L"`, quantity.Parse[quantity.Concentration])
	parsed(c, &f.limit, "limit", "DOSE", `what the animals may come back to, such as "0.0271 mg/L"`, quantity.Parse[quantity.Concentration])
	parsed(c, &f.volume, "volume", "VOLUME", `water in the tank, such as "60 m3"`, quantity.Parse[quantity.Volume])
	parsed(c, &f.flow, "flow", "FLOW", `clean water that can be let through, such as "6 m3/h"`, quantity.Parse[quantity.Flow])
	parsed(c, &f.drain, "drain", "SHARE", `share of the water that is drained at a time, such as "50 %" (a half, three quarters and nine tenths are shown when absent)`, quantity.Parse[quantity.Fraction])
	return c
}

// restock shows the answer; where no limit is known it ends with exit code 3.
func (e *env) restock(cmd *cobra.Command, f restockFlags, args []string) error {
	given := cmd.Flags().Changed
	for name, wrong := range map[string]bool{"residual": f.residual < 0, "limit": f.limit <= 0, "volume": f.volume <= 0, "flow": f.flow <= 0, "drain": f.drain <= 0 || f.drain > 1} {
		if given(name) && wrong {
			return badUsage("--%s has to be above zero%s", name, map[bool]string{true: ", and no more than 100 %"}[name == "drain"])
		}
	}
	var a restock.Answer
	var inputs []string
	if quick := len(args) == 0 && given("residual"); quick {
		if !given("limit") {
			return badUsage("--limit is missing: without a site --residual needs what the animals bear")
		}
		a.Residues = []restock.Residue{{Left: f.residual, Measured: true}}
	} else {
		s, g, files, err := e.wholeSite(args)
		if err != nil {
			return err
		}
		inputs = files
		if a, err = restock.FromSite(s, g, e.today()); err != nil {
			return err
		}
		if given("volume") {
			a = a.Of(f.volume)
		}
		a.Notes.Add(slices.DeleteFunc(dosing.Asked(s, g), func(n note.Note) bool { return n.Code == dosing.LoopNotThere })...)
		if (given("residual") || given("limit")) && len(a.Residues) != 1 {
			return note.Fault("which-residue", "%d chemicals are left of this site, and --residual and --limit are of one", len(a.Residues)).Do("leave the site out, and give both")
		}
		if given("residual") {
			a.Residues[0].Left, a.Residues[0].Measured = f.residual, true
		}
	}
	if given("limit") {
		a.Bears(f.limit)
	}
	put(given("volume"), &a.Volume, f.volume)
	put(given("flow"), &a.Flow, f.flow)
	put(given("drain"), &a.Share, f.drain)
	r := templates.RestockReport{Answer: restock.Make(a), Stated: given("limit")}
	if len(r.Residues) > 0 && !r.Told() || r.Stopped() {
		e.noAnswer()
	}
	return e.emit(r, inputs...)
}

// put puts in what was given.
func put[T any](given bool, at *quantity.Known[T], v T) {
	if given {
		*at = quantity.Some(v)
	}
}
