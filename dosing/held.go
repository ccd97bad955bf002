package dosing

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"jarwright/dosing/clarify"
	"jarwright/dosing/flow"
	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// LoopHeld is the code of the note that tells what a held loop makes of the day.
const LoopHeld = "loop-held"

// LoopHoldsItself is that of one that needs no unit to stay at its level.
const LoopHoldsItself = "loop-holds-itself"

// LoopNotThere is that of one that is above its level today, and comes down to it.
const LoopNotThere = "loop-not-there"

// LoopTooFar is that of one that never gets down to its level.
const LoopTooFar = "loop-too-far"

// AsHeld gives a recirculating site whose unit holds its water at a level, and what it points at, as
// its ordinary day then is: the unit runs the hours that hold it, at the doses of that level, and takes
// out the solids that come in. All of it is the account of the clean-up ([clarify.Hold]), so that no
// command has a loop of its own. Where the unit cannot hold the level it runs all the hours that it is
// let, and reads what it settles at, whether it was ever clear or not. Giving the site again changes nothing. To hold it below
// what it is cleared to is a fault of the site, here as there.
func AsHeld(s site.Site, g Given) (site.Site, Given, error) {
	if s.Place.Passes.V != site.Recirculating || !s.Solids.HoldAt.OK || s.Held != nil {
		return s, g, nil
	}
	in, err := CleaningFromSite(s, g, time.Time{})
	for _, n := range note.Of(err, "hold") {
		if n.Code == clarify.HoldBelowClear {
			return s, g, n
		}
	}
	var run clarify.Result
	if err == nil {
		run, err = in.asSet()
	}
	if err != nil {
		s.Notes = append(slices.Clone(s.Notes), note.New(note.Caution, "loop-not-held", "the day does not count that the loop is held: what that takes cannot be worked out").
			At(s.Solids.HoldAt.At).Do(`"jarwright clarify" says what is missing`))
		return s, g, nil
	}
	hold := in.Tank.Holding()
	if hold == nil { // it stays below that level by itself
		settles, _ := in.Tank.Idle()
		s.Notes = append(slices.Clone(s.Notes), note.New(note.Caution, LoopHoldsItself, "no unit is needed to hold the loop at %s: it settles at %s by itself, by what comes into it. The day runs and doses as the other sheets have it",
			in.Tank.Says(in.Tank.Level), in.Tank.Says(settles)).At(s.Solids.HoldAt.At).Do("look at the feed eaten, the share of it that becomes solids, and the level"))
		return s, g, nil
	}
	k, h := in.Tank, *hold
	runs, reading := h.PerDay.V, h.At
	if h.Fails {
		runs, reading = k.Hours.Length(), h.Settles
	}
	s.Notes, s.Chemicals, g.Bench = slices.Clone(s.Notes), slices.Clone(s.Chemicals), maps.Clone(g.Bench)
	far := run.Outcome == clarify.NeverClears || run.Outcome == clarify.TooLong
	if far {
		s.Notes.Add(note.New(note.Caution, LoopTooFar, "the loop reads %s and does not come down to %s: the day is that of holding it%s, once it is there",
			k.Says(k.Start), k.Says(k.Stop), note.Say("").If(h.At != k.Stop, " at %s", k.Says(h.At))).
			At(s.Solids.TankStart.At).Do(`"jarwright clarify" says why: more flow, more hours, a better capture or less feed come first`))
	}
	if run.Outcome == clarify.Cleared && k.Start > h.At { // today is not that day yet
		s.Notes.Add(note.New(note.Caution, LoopNotThere, "the loop reads %s and is to be held at %s: the hours of this day are those of holding it, once it is there, which takes %s of running by the clean-up",
			k.Says(k.Start), k.Says(h.At), quantity.HoursMinutes(run.Running)).
			At(s.Solids.TankStart.At).Do(`until then go by "jarwright clarify": run the unit all its hours, and stop by the reading`))
	}
	s.Held = &site.Held{Fails: h.Fails || far}
	if per := k.SolidsPerUnit(); per > 0 {
		s.Held.Reaches = quantity.Some(quantity.Concentration(max(reading-k.Floor, 0) * per))
	}
	s.Held.Turbidity = k.NTU(reading)
	s.Solids.TankHours = quantity.Some(k.Hours) // what a clean-up may run stays what it was
	if k.Hours == nil {
		s.Solids.TankHours.V = flow.Hours{{From: 0, To: 24}}
	}
	f := &s.Flow
	f.Average.V, f.Average.OK, f.ByHour, g.Log = k.Flow, true, site.Flow{}.ByHour, nil
	if runs < 24*(1-hair) {
		f.Start = quantity.Known[quantity.Time]{V: h.Begins, OK: true, At: f.Start.At}
		f.Hours = quantity.Known[quantity.Time]{V: runs, OK: true, At: f.Hours.At}
		f.Runs = &h.Runs
	}
	said := heldSo(k, h, runs, reading)
	for i := range s.Chemicals {
		if b, ok := g.Bench[i]; ok && b.Past != nil && !s.Chemicals[i].ByTurbidity.OK {
			x := in.Tank.Chemicals[i]
			b.Dose.Concentration, b.Low, b.High, b.Quantile = x.Fed(x.Rule.At(reading)), 0, 0, nil
			b.Source = fmt.Sprintf("from %d past tests, for the loop as it is held", b.Past.Tests)
			g.Bench[i] = b
			said = said.And("; %s at %s, its dose there", x.Name, b.Dose.Concentration)
		}
		if c := &s.Chemicals[i]; c.ByTurbidity.OK && in.doseAt(c, i, reading) {
			delete(g.Bench, i)
			said = said.And("; %s at %s, its dose there", c.Name.V, c.Dose.V)
		}
	}
	level := note.Info
	if h.Fails {
		level = note.Caution
	}
	s.Notes.Add(note.New(level, LoopHeld, said.Format, said.Args...).At(s.Solids.HoldAt.At))
	return s, g, nil
}

// doseAt gives a row the dose of its own that belongs to a reading of the tank, as the clean-up feeds it.
func (in CleaningInput) doseAt(c *site.Chemical, i int, reading float64) bool {
	x := in.Tank.Chemicals[i]
	one, err := in.Feeds[i].counted(*c, 1)
	if err != nil || one <= 0 {
		return false
	}
	c.Dose = quantity.Known[quantity.Concentration]{V: x.Fed(x.Rule.At(reading)) / one, OK: true, At: c.ByTurbidity.At}
	if !c.Basis.OK {
		c.Basis = quantity.Known[quantity.Basis]{V: x.Basis, OK: true, At: c.Bench.At}
	}
	c.Bench, c.Series, c.Target = quantity.Known[string]{}, quantity.Known[string]{}, quantity.Known[string]{}
	c.DoseLow, c.DoseHigh = quantity.Known[quantity.Concentration]{}, quantity.Known[quantity.Concentration]{}
	return true
}

// heldSo tells what holding makes of the day. Run in one piece the reading moves by what comes in while the unit rests.
func heldSo(k clarify.Tank, h clarify.Hold, runs quantity.Time, reading float64) note.Phrase {
	n := func(q quantity.Quantity) quantity.Rounded { return quantity.To(q, 3) }
	unit := k.Unit()
	if h.Fails {
		return note.Say("the unit cannot hold the loop at %s: the day runs all the %s that it is let, and counts the %s at which it settles%s",
			k.Says(h.At), n(runs), k.Says(reading), h.Between(k.Says))
	}
	p := note.Say("the loop is held at %s: the day runs the %s that this takes", k.Says(h.At), n(runs))
	return p.If(24-runs > moment, ", %s. Run so the reading moves by about %s %s; parted over the day by a timer the level stands",
		h.Runs.String(), n(quantity.Number(h.Swing)), unit)
}
