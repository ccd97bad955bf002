package dosing

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/caution"
	"jarwright/dosing/clarify"
	"jarwright/dosing/day"
	"jarwright/dosing/flow"
	"jarwright/dosing/gauge"
	"jarwright/dosing/product"
	"jarwright/dosing/pump"
	"jarwright/dosing/site"
	"jarwright/dosing/solids"
	"jarwright/dosing/water"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// CleaningInput is what cleaning a tank is worked out from.
type CleaningInput struct {
	Site   string
	Keeper string // of the site's file; empty where not told
	// Alone is true where no site stands behind the tank, so that there is no day plan of it.
	Alone bool
	Name  string // of the tank
	// Trial is the clearing trial that what a pass takes out rests on; empty where none is told.
	Trial string
	Tank  clarify.Tank
	// Products stand beside Tank.Chemicals, one for each.
	Products []product.Product
	// Monomers are those of the makers' certificates, one for each where a site tells of them.
	Monomers []quantity.Known[quantity.Fraction]
	// Pumps stand beside them too; nil where there is none.
	Pumps []*pump.Pump
	// Feeds stand beside them with stocks and tanks; none where no site tells of them.
	Feeds []FeedInput
	// SolidsDoubt is how far the suspended solids may be off, as the site says; zero where it does not.
	SolidsDoubt quantity.Fraction
	// ShareFrom is where the dry solids of float or sludge come from; empty where no site tells of them.
	ShareFrom string
	// Load is what the animals' feed brings; nil where a site does not ask for it.
	Load *Load
	// Around is the water, the animals and what is accepted.
	Around caution.Situation
	// Day is what the cautions say of the site's day, which the run says only as
	// far as it finds the same.
	Day note.List
	// Usual is what the cautions look at on that day, one dose beside each of Tank.Chemicals.
	Usual caution.Situation
	Notes note.List
	// delays counts how often the start was put off to when the first stock is ready, asked is the one asked for.
	delays int
	asked  quantity.Time
	// rested are the times in which the run stands still while stock is made up in the tank that a pump draws from.
	rested []rest
}

// Cleaning is a tank cleaned up on paper.
type Cleaning struct {
	CleaningInput
	clarify.Result
	// Chemistry is the water at the start and at the end, as far as it could be worked out.
	caution.Chemistry
	// Stages are what to do when.
	Stages []Stage
	// MakeUps are the batches of stock of each chemical, at times since the start.
	MakeUps [][]Batch
	// Metals are what all chemicals together leave of a metal, with its limits, as that metal.
	Metals []Metal
	// Stopped is true where a stop stands that nobody has accepted; DayStopped where one stands against the
	// site's day, which does not hold up the run.
	Stopped, DayStopped bool
	// Unset is true where a pump can be set to nothing that the list asks of it.
	Unset    bool
	Taken    []caution.Taken
	Handling note.List
	Notes    note.List
	// Salts are the ions that all passes together leave in the water.
	Salts []caution.Salt
	// Strip is how to strip the carbon dioxide that its doses free; nil where nothing has to.
	Strip *caution.Strip
	// Holding is what a plan says of the tank as it is held, dosed day after day; nil where nothing is dosed for that.
	Holding *caution.Findings
	// Watch is what to look at in the animals that stand in it; nil where none do, or nothing is done that harms them.
	Watch *caution.Watch
	// listNotes are what the list of things to do has to say.
	listNotes note.List
	// late is how much later than it is wanted the first stock is ready.
	late quantity.Time
	// again is when the run starts again after a stop without its stock, againLate how much later that is ready.
	again, againLate quantity.Time
	// rests is the first time in which it has to stand still for a stock; nil where it never has to.
	rests *rest
	// shared are the chemicals from whose tank others draw too, by their places.
	shared []int
}

// Metal is what the whole run leaves of a metal; Bound is all that was dosed over the
// tank's volume.
type Metal struct {
	caution.Residual
	Bound quantity.Concentration
}

// metals takes what a review says of metals.
func (c *Cleaning) metals(all []caution.Residual) {
	for _, r := range all {
		m := Metal{Residual: r}
		for i, x := range c.Tank().Chemicals {
			of := map[string]quantity.Ratio{"Al": x.Al, "Fe": x.Fe}[r.As]
			m.Bound += c.Final.Residuals[i].Bound * quantity.Concentration(of)
		}
		if m.Bound > 0 {
			c.Metals = append(c.Metals, m)
		}
	}
}

// mostDelays is how often a start is put off for stocks at most.
const mostDelays = 3

// mostRests is how often a run stands still for stocks at most.
const mostRests = 40

// Clean works a cleaning out. It begins when the first of each stock can be ready.
func Clean(in CleaningInput) (Cleaning, error) {
	asked := in
	r, err := in.asSet()
	if err != nil {
		return Cleaning{}, err
	}
	c := Cleaning{CleaningInput: in, Result: r}
	ran := r.Record()
	c.Waste.Dry = in.unsure(ran).dry(r.Waste.Dry.Likely)
	c.Waste.Float = solids.Of(c.Waste.Dry, ran.Disposal.Volume)
	c.chemistry()
	var said []caution.Said
	for _, n := range slices.Concat(in.Notes, r.Notes) {
		n = c.givenBack(n)
		said = append(said, caution.Said{Note: n, Chemical: in.about(n)})
	}
	if s, dosed := c.holding(); dosed {
		f := caution.Review(s)
		c.Holding = &f
	}
	if c.Outcome == clarify.Held && c.Holding != nil { // nothing is cleared: all that there is is the holding
		said = append(said, c.Holding.Said...)
		c.Strip, c.Handling = c.Holding.Strip, c.Holding.Handling
	} else {
		said = c.whileHeld(c.ofRun(said))
	}
	said = append(c.besideDay(said), c.fedWhileHeld()...)
	var notes note.List
	c.Taken, notes, c.Stopped = caution.Accept(said, in.Around.Accepted, in.Around.Today)
	c.DayStopped = !in.Alone && in.Day.Worst() == note.Stop
	if c.Holding != nil { // which is that day
		c.Stopped = c.Stopped || in.Day.Worst() == note.Stop
		c.Holding.Stopped, c.DayStopped = c.Stopped, !in.Alone && c.Stopped
	}
	notes = c.watched(notes)
	c.stages()
	if at := in.Tank.Begin + c.late; c.late > moment && in.delays < mostDelays && at < 24 {
		return asked.from(at)
	}
	if later, ok := asked.restarting(c.again, c.againLate); ok && in.delays < mostDelays {
		return Clean(later)
	}
	if c.rests != nil && len(in.rested) < mostRests {
		return asked.resting(*c.rests)
	}
	notes = append(append(c.withDay(notes), c.listNotes...), in.restNotes()...)
	c.Notes = caution.WorstFirst(notes)
	return c, nil
}

// givenBack has a note of what nitrifying takes of the run name the alkali that a plan of such days does.
func (c Cleaning) givenBack(n note.Note) note.Note {
	if n.Code != clarify.LoopGone && n.Code != clarify.AlkalinityFed {
		return n
	}
	lacks, holds, ok := c.Alkali()
	if !ok || holds <= 0 {
		return n
	}
	takes := c.Tank().Nitrified
	return n.Do("%s", note.Say("give back %s, as CaCO3, for %s to stay", quantity.To(lacks, 3), quantity.To(holds, 3)).
		If(lacks < takes*(1-0.005), " (nitrifying takes %s; new water brings the rest)", quantity.To(takes, 3)))
}

// ofRun adds what the cautions say of all passes of the run together to what is said already.
func (c *Cleaning) ofRun(said []caution.Said) []caution.Said {
	in, r, around := c.CleaningInput, c.Result, c.Around
	around.Loop, around.Accepted = nil, nil // what builds up is worked out here
	around.Flow = quantity.Some(in.Tank.Flow)
	around.Hours = r.Running
	around.Once = []caution.Dose{}
	around.Water.JarPH, around.Water.JarAlkalinityUsed = quantity.Known[quantity.PH]{}, quantity.Known[quantity.Alkalinity]{} // of one pass
	around.Taken = quantity.Known[quantity.Alkalinity]{V: in.Tank.Alkalinity - in.Tank.Dosed(r.Final), OK: in.Tank.HasAlkalinity}
	around.Nitrified = in.Tank.NitrifiedBy(r.Final.At)
	for i, x := range in.Tank.Chemicals { // all passes together are what the water gets
		d := caution.Dose{Name: x.Name, Product: in.Products[i], Dose: quantity.Dose{Concentration: r.Final.Residuals[i].Worst, Basis: x.Basis}}
		d.Left = quantity.Some(r.Expected(r.Final, i))
		if x.HasCapture {
			d.Capture = quantity.Some(x.Capture)
		}
		if i < len(in.Monomers) {
			d.Monomer = in.Monomers[i]
		}
		if i < len(in.Feeds) {
			d.ByHand, d.Neat, d.Carrier, d.At = in.Feeds[i].Pump == nil, in.Feeds[i].Stock.Neat(), in.Feeds[i].Post, in.Feeds[i].At
		}
		around.Doses = append(around.Doses, d)
		d.Dose.Concentration = highest(r, i)
		around.Once = append(around.Once, d)
	}
	around.Water.Turbidity = in.Tank.NTU(lowestDosed(r, in.Products)) // the dangerous moment is when the water is clear
	f := caution.Review(around)
	c.metals(f.Residuals)
	c.Strip, c.Handling = f.Strip, f.Handling
	c.Salts = caution.IonsOf(c.until(c.Final))
	for _, s := range f.Said {
		if !ownCheck(s.Note) {
			said = append(said, s)
		}
	}
	said = append(said, c.course(said)...)
	for i := range said {
		said[i] = in.asListed(in.asAccepted(said[i]))
	}
	return said
}

// besideDay adds what stops the site's day by one pass, of which the run is many.
func (c Cleaning) besideDay(said []caution.Said) []caution.Said {
	if c.Holding != nil { // which is that day
		return said
	}
	for _, n := range c.Day {
		if n.Level == note.Stop && n.Code == "al-acid" {
			said = append(said, caution.Said{Note: n, Chemical: cmp.Or(n.Concerns(), c.about(n))})
		}
	}
	return said
}

// asListed has what is done about polymer in clear water fit the list, which doses on to where its doses by the reading end.
func (in CleaningInput) asListed(s caution.Said) caution.Said {
	if s.Code == "clear-water" {
		limit := caution.RuleNamed(s.Code).Bound()
		s.Note = s.Do("give the dose by the reading, with half of it or none from %s NTU down, and plan it again: this list doses on as it is", quantity.To(limit, 3))
	}
	return s
}

// from is the cleaning that begins later, when its first stock is ready.
func (in CleaningInput) from(at quantity.Time) (Cleaning, error) {
	if in.delays++; in.delays == 1 {
		in.asked = in.Tank.Begin
	}
	in.Tank.Begin = at
	in.rested, in.Tank.Breaks = nil, nil // which counted from the start before
	in.Notes = slices.DeleteFunc(slices.Clone(in.Notes), func(n note.Note) bool { return n.Code == "stock-late" })
	in.Notes.Add(note.New(note.Caution, "stock-late", "the clean-up begins at %s, not at %s: the first of its stock is ready only then", flow.Clock(at), flow.Clock(in.asked)).
		Do("to begin earlier have somebody make it up earlier, or use a stock that keeps longer"))
	return Clean(in)
}

// restarting is the cleaning that starts again later after each stop at a time of the run, when its stock is ready; false where it
// never starts again then, or would not run at all.
func (in CleaningInput) restarting(at, later quantity.Time) (CleaningInput, bool) {
	clock := quantity.Time(math.Mod(float64(in.Tank.Begin+at), 24))
	i := slices.IndexFunc(in.Tank.Hours, func(h flow.Span) bool {
		return math.Abs(math.Remainder(float64(h.From-clock), 24)) < moment && h.From+later < h.To-moment
	})
	if later <= moment || i < 0 {
		return in, false
	}
	in.delays++
	in.rested, in.Tank.Breaks = nil, nil // which were of other hours
	in.Tank.Hours = slices.Clone(in.Tank.Hours)
	in.Tank.Hours[i].From += later
	in.Notes = slices.Clone(in.Notes)
	in.Notes.Add(note.New(note.Caution, "restart-late", "after each stop the circulation starts again at %s, not at %s: its stock is ready only then",
		flow.Clock(clock+later), flow.Clock(clock)).Do("to start earlier have somebody make it up earlier, or use a stock that keeps longer"))
	return in, true
}

// resting is the cleaning that stands still for a time in which there is no stock.
func (in CleaningInput) resting(r rest) (Cleaning, error) {
	in.rested = append(slices.Clone(in.rested), r)
	in.Tank.Breaks = append(slices.Clone(in.Tank.Breaks), r.Span)
	return Clean(in)
}

// restNotes say of each tank when the unit stands still for it.
func (in CleaningInput) restNotes() (out note.List) {
	for i, r := range in.rested {
		same := func(o rest) bool { return o.at == r.at }
		if slices.ContainsFunc(in.rested[:i], same) {
			continue // said of the first
		}
		more := len(slices.DeleteFunc(slices.Clone(in.rested[i+1:]), func(o rest) bool { return !same(o) }))
		clock := in.Tank.Clock
		out.Add(note.New(note.Caution, "stock-rest", "%s", note.Say("%s runs out at %s and ages in %s, which is drawn empty: the unit stands still until %s", r.stock, clock(r.From), r.tank, clock(r.To)).
			If(more == 1, ", and once more").If(more > 1, ", and %d times more", more)).At(r.at).
			Do("use a larger tank or a make-up tank of its own, and it need not stand still"))
	}
	return out
}

// Review is what stands against the run, as that of a day.
func (c Cleaning) Review() Review {
	return Review{Findings: caution.Findings{Notes: c.Notes, Taken: c.Taken, Stopped: c.Stopped, Handling: c.Handling}}
}

// Unanswered reports that its doses may not be given, or do not bring the tank to where it is to be.
func (c Cleaning) Unanswered() bool {
	return c.Stopped || c.Unset || c.Hold != nil && c.Hold.Fails || slices.Contains([]clarify.Outcome{clarify.NeverClears, clarify.TooLong, clarify.NotHeld}, c.Outcome)
}

// Ending is what the run has to say of how it ends, where it does not simply clear the tank.
func (c Cleaning) Ending() (l note.List) {
	for _, n := range c.Notes {
		if slices.Contains(clarify.Endings(), n.Code) {
			l.Add(n)
		}
	}
	return l
}

// asAccepted gives a stop the run's own name where somebody took its risk by that.
func (in CleaningInput) asAccepted(s caution.Said) caution.Said {
	if s.Level != note.Stop || !buildsUp(s.Note) {
		return s
	}
	own := s
	own.Code = clarify.BuildsUp
	if taken, _, _ := caution.Accept([]caution.Said{own}, in.Around.Accepted, in.Around.Today); len(taken) > 0 {
		return own
	}
	return s
}

// about names the chemical that a note of the run begins with, else all of them: what
// the water has, they make together.
func (in CleaningInput) about(n note.Note) (name string) {
	var all []string
	for _, x := range in.Tank.Chemicals {
		all = append(all, x.Name)
		if strings.HasPrefix(n.Message, x.Name+" ") && len(x.Name) > len(name) {
			name = x.Name
		}
	}
	return cmp.Or(name, strings.Join(all, ", "))
}

// withDay adds what stops the site's day and is not said of the run. It does not
// stop a run of hours, which goes by what builds up in its own tank, but must be known; where a loop is held, that
// is its day, and is stopped with it. An acceptance that only the day calls for is not idle.
func (c Cleaning) withDay(said note.List) (out note.List) {
	have := map[string]bool{}
	for _, n := range said {
		have[n.Code] = true
		idle := n.Code == "accepted-unused" && slices.ContainsFunc(c.Day,
			func(d note.Note) bool { return strings.Contains(n.Message, d.Code) })
		if !idle {
			out.Add(n)
		}
	}
	for _, n := range c.Day {
		if have[n.Code] {
			continue
		}
		if n.Level == note.Stop && c.Holding == nil {
			n.Level = note.Caution
			if c.Alone {
				n = n.After("dosed like this day by day it would be stopped: ")
			} else {
				n = n.After("the day plan of this site is stopped: ")
			}
		}
		out.Add(n)
	}
	return out
}

// ownCheck reports what a single pass says and the run knows better: its water at the worst
// moment, and what builds up of a polymer.
func ownCheck(n note.Note) bool {
	return caution.InCourse(n) || buildsUp(n)
}

// buildsUp reports that a note is of what a polymer leaves in the water.
func buildsUp(n note.Note) bool {
	return slices.ContainsFunc([]string{"cationic-", "anionic-", "polymer-"}, func(start string) bool { return strings.HasPrefix(n.Code, start) })
}

// highest is the largest dose of a chemical in the run.
func highest(r clarify.Result, i int) quantity.Concentration {
	top := quantity.Concentration(0)
	for _, m := range r.Moments {
		top = max(top, r.Tank.Chemicals[i].Fed(m.Doses[i]))
	}
	return top
}

// lowestDosed is the clearest water that polymer goes into.
func lowestDosed(r clarify.Result, products []product.Product) float64 {
	low := r.Tank.Start
	for _, m := range r.Moments {
		for i, d := range m.Doses {
			if g := products[i].Group; d > 0 && (g == product.Polymer || g == product.Biopolymer) {
				low = math.Min(low, m.Reading)
			}
		}
	}
	return low
}

// chemistry works out the pH at the end, as the cautions do.
func (c *Cleaning) chemistry() {
	if !c.Tank().HasAlkalinity || !c.Around.Water.PH.OK {
		return
	}
	s := c.start().Water
	if _, err := water.FromPHAlkalinity(s.Conditions(), s.PH.V, s.Alkalinity.V); err != nil {
		c.CleaningInput.Notes.Add(note.Of(err, "water")[0])
		return
	}
	if w := caution.WaterOf(c.at(c.Final)); w != nil && w.HasPH {
		c.Chemistry = *w
	}
}

// start is the situation as the run starts, before any dose; its jars, of one pass, say nothing of a run.
func (c Cleaning) start() caution.Situation {
	s := c.Around
	s.Loop, s.Accepted, s.Doses = nil, nil, nil
	s.Water.Alkalinity = quantity.Known[quantity.Alkalinity]{V: c.Tank().Alkalinity, OK: c.Tank().HasAlkalinity}
	s.Water.JarPH, s.Water.JarAlkalinityUsed = quantity.Known[quantity.PH]{}, quantity.Known[quantity.Alkalinity]{}
	return s
}

// at is the situation at a moment of the run.
func (c Cleaning) at(m clarify.Moment) caution.Situation {
	s := c.start()
	s.Once = c.doses(func(i int) quantity.Concentration { return highest(c.Result, i) })
	s.Doses, s.Since = c.until(m), quantity.Some(m.At)
	s.Taken = quantity.Known[quantity.Alkalinity]{V: c.Tank().Alkalinity - c.Tank().Dosed(m), OK: c.Tank().HasAlkalinity}
	s.Nitrified = min(c.Tank().NitrifiedBy(m.At), max(0, c.Tank().Dosed(m))) // the bacteria stop where none is left
	return s
}

// until are the doses of all passes until a moment that are still in the water, none caught.
func (c Cleaning) until(m clarify.Moment) []caution.Dose {
	return c.doses(func(i int) quantity.Concentration { return m.Residuals[i].Worst })
}

// doses are those of the run's chemicals, as much of each as is said.
func (c Cleaning) doses(much func(int) quantity.Concentration) (out []caution.Dose) {
	for i, x := range c.Tank().Chemicals {
		out = append(out, caution.Dose{Name: x.Name, Product: c.Products[i], Dose: quantity.Dose{Concentration: much(i), Basis: x.Basis}})
	}
	return out
}

// Tank gives the tank that was worked out.
func (c Cleaning) Tank() clarify.Tank { return c.CleaningInput.Tank }

// course judges the water as the run starts and at its worst moments: where it has been moved most,
// when it has least alkalinity, when it has most, and when it has most free ammonia. What no dose
// raises of ammonia is judged where the run has moved the water most, beside what it starts with.
// Of one danger the gravest is told, with its moment; what the run itself says of alkalinity, with
// its time, goes before.
func (c Cleaning) course(said []caution.Said) (out []caution.Said) {
	alkalinity := func(m clarify.Moment) float64 { return float64(c.Tank().Dosed(m)) }
	left := func(m clarify.Moment) float64 { return float64(m.Alkalinity) } // once the feed is nitrified too
	ammonia := func(m clarify.Moment) float64 {
		free, _ := caution.FreeAmmonia(c.at(m))
		return float64(free)
	}
	moved := func(m clarify.Moment) float64 { return math.Abs(alkalinity(m) - float64(c.Tank().Alkalinity)) }
	all := func(note.Note) bool { return true }
	beside := func(n note.Note) bool { return !caution.OfAmmonia(n) }
	none := func(note.Note) bool { return false }
	type look struct {
		at   caution.Situation
		take func(note.Note) bool
	}
	worst := c.extreme(ammonia, 1)
	looks := []look{{c.at(worst), none}, {c.at(c.extreme(moved, 1)), all}}
	if len(c.Moments) > 0 && ammonia(worst) > ammonia(c.Moments[0])*caution.Raises {
		looks[0].take, looks[1].take = caution.OfAmmonia, beside
	}
	for _, x := range append(looks, look{c.at(c.extreme(alkalinity, -1)), beside}, look{c.at(c.extreme(alkalinity, 1)), beside},
		look{c.at(c.extreme(left, -1)), beside}, look{c.start(), beside}) {
		found, _ := caution.Course(x.at)
		for _, s := range found {
			ofRun := slices.ContainsFunc(slices.Concat(said, out), func(x caution.Said) bool { return slices.Contains(graver[s.Code], x.Code) }) ||
				slices.ContainsFunc(said, func(x caution.Said) bool { return x.Code == s.Code })
			if ofRun || !x.take(s.Note) || s.Code == "ph-too-low" && c.fedAlone(said) || slices.ContainsFunc(out, func(x caution.Said) bool { return outdoes(x, s) }) {
				continue
			}
			out = append(slices.DeleteFunc(out, func(x caution.Said) bool { return outdoes(s, x) }), s)
		}
	}
	return out
}

// fedAlone reports a run whose alkalinity the feed takes alone, which a stop tells: its pH is the same danger, and no dose of it is to be changed.
func (c Cleaning) fedAlone(said []caution.Said) bool {
	takes := slices.ContainsFunc(c.Tank().Chemicals, func(x clarify.Chemical) bool { return x.AlkalinityUse > 0 })
	return !takes && slices.ContainsFunc(said, func(s caution.Said) bool { return s.Code == clarify.LoopGone })
}

// outdoes reports that one finding of a run is of the same danger as another and no less grave: the
// same rule for the same animal, or a pH on the same side, of which a stop speaks for all animals.
func outdoes(a, b caution.Said) bool {
	ph := func(s caution.Said) bool { return strings.HasPrefix(s.Code, "ph-") && s.Beyond != 0 }
	same := a.Code == b.Code && a.Place == b.Place || ph(a) && ph(b) && a.Level > b.Level
	return same && a.Beyond*b.Beyond >= 0 && (a.Level > b.Level || a.Level == b.Level && math.Abs(a.Beyond) >= math.Abs(b.Beyond))
}

// graver are the cautions of a run that another of the same danger makes needless.
var graver = map[string][]string{"alkalinity-low": {"alkalinity-gone", clarify.LoopGone}, "alkalinity-stands": {"alkalinity-gone", "alkalinity-low"},
	"co2-high": ofRun, "co2-far": ofRun, "co2-about": ofRun, "co2-run-some": {"co2-run"}}

var ofRun = []string{"co2-run", "co2-run-some"}

// enough are the moments of a run that are looked at for its worst: it goes smoothly between them.
const enough = 200

// extreme is the moment at which a measure is highest, or lowest with a sign below zero; the
// last of those that are equal.
func (c Cleaning) extreme(measure func(clarify.Moment) float64, sign float64) clarify.Moment {
	worst, most := c.Final, sign*measure(c.Final)
	for i := 0; i < len(c.Moments); i += 1 + len(c.Moments)/enough {
		if v := sign * measure(c.Moments[i]); v > most {
			worst, most = c.Moments[i], v
		}
	}
	return worst
}

// CleansTank reports that a site treats no water day by day but cleans a tank up, the
// same water passing the unit until it is clear.
func CleansTank(s site.Site) bool {
	described := s.Solids.Tank.OK || s.Solids.TankStop.OK || s.Solids.HoldAt.OK
	for _, r := range s.Calendar {
		described = described || r.CleanUp.OK
	}
	return s.Place.Passes.V == site.Batch && described
}

// Priced is the record of the whole run with what the site pays for all but the chemicals.
func (c Cleaning) Priced(s site.Site) day.Record {
	r, all := c.Record(), RecordOf(s, site.UsualWater)
	r.Disposal, r.Power, r.MakeUp, r.Electricity = all.Disposal, all.Power, all.MakeUp, all.Electricity
	for i, f := range c.Feeds {
		r.Chemicals[i].Carrier = f.Post
	}
	return r
}

// CleaningFromSite gathers the cleaning of the tank that a site names.
func CleaningFromSite(s site.Site, g Given, today time.Time) (CleaningInput, error) {
	in := CleaningInput{Site: s.Place.Name.V, Keeper: s.Place.Keeper.V}
	Surroundings(&in.Around, s, today)
	u, scale, errs := gauged(s.Solids)
	tank := tankOf(s, u)
	in.Name, in.Trial = tank.Name.V, u.Trial.V
	errs = append(errs, tank.missing()...)
	water, _, err := DayOf(s.Flow, g.Log)
	errs = append(errs, note.Of(err, "flow")...)
	k := clarify.Tank{Key: tank.key, Scale: scale, Volume: tank.Volume.V, Flow: water.Average(), Hours: u.TankHours.Or(water.Runs()),
		Begin: u.TankBegin.Or(s.Flow.Start.Or(s.Flow.Opens.Or(usualStart))),
		Start: tank.start.V.V, Stop: tank.stop.V.V, Level: u.HoldAt.V.V, Floor: u.Outlet.V.V, Rise: u.Rise.V.V, Removal: u.Capture.V, Bare: u.Bare.V,
		Longest: u.TankLongest.V,
		Density: u.SG.V, Skim: SkimmerOf(s), Staffed: Staffed(s), HasAlkalinity: s.Water.Alkalinity.OK, Alkalinity: s.Water.Alkalinity.V,
		NewAlkalinity: s.Water.Alkalinity.V, Works: in.Around.Works()}
	if asks, who, more := in.Around.AlkalinityAsked(); more {
		k.Asks, k.AskedBy = asks, who
	}
	k.Share, in.ShareFrom = ShareOf(s)
	k.Bin, _ = BinOf(s)
	in.SolidsDoubt = u.Doubt.V
	if k.Key == jartest.Turbidity {
		k.PerUnit = PerNTU(s).V
	}
	in.renewed(s, tank, &k)
	if k.Key == gauge.Cone {
		in.Notes.Add(note.New(note.Info, "cone-not-weighed", "what a mL/L in the cone weighs is not known: dry solids, float or sludge and bins are not worked out").
			At(cmp.Or(u.TankStart.At, u.HoldAt.At)).Do(`give "cone pairs": mL/L with the suspended solids in mg/L measured in the same water`))
		k.Bin, k.Share = solids.Bin{}, 0
	}
	in.Notes = append(in.Notes, byChart(s.Solids, scale)...)
	errs = append(errs, in.fed(s, &k)...)
	if below := k.HeldBelow(); below != nil {
		errs.Add(note.Of(below, "hold")[0].At(u.HoldAt.At))
	}
	errs = append(errs, in.treated(s, g, &k, Running{Site: s, Flow: water.Average(), Peak: water.Peak(), Hours: water.Running(), Today: today, Unattended: Unattended(water, Staffed(s))})...)
	in.Notes = append(in.Notes, unitNotes(s, k.Flow, quantity.Concentration(k.Start*k.SolidsPerUnit()))...) // most that reaches the unit, as dry solids
	in.Tank, in.Around.Tank = k, k.Volume
	return in, errs.Err()
}

// tankRead is the tank that a site names, with the readings it is cleared from and to.
type tankRead struct {
	site.Tank
	site.Solids
	found       bool
	start, stop quantity.Known[site.Reading]
	// onlyHeld is true where nothing says when it is clear: it is cleared to the level at which it is held, if it is not there.
	onlyHeld bool
	key      jartest.Key
	unread   error // readings that are not of one kind
}

// tankOf finds that tank; u are the Solids with their readings as a meter has them.
func tankOf(s site.Site, u site.Solids) tankRead {
	x := tankRead{Solids: u, start: u.TankStart, stop: u.TankStop, onlyHeld: u.HoldAt.OK && !u.TankStop.OK}
	x.Tank, x.found = TankToClean(s)
	if x.onlyHeld {
		x.stop = u.HoldAt
	}
	switch {
	case x.start.OK:
	case x.onlyHeld:
		x.start = u.HoldAt
	default:
		x.start = quantity.Known[site.Reading]{V: site.Reading{V: float64(s.Water.Turbidity.V), Key: jartest.Turbidity}, OK: s.Water.Turbidity.OK}
	}
	x.key, x.unread = readIn(u)
	return x
}

// missing is what a site does not say of the tank and has to.
func (x tankRead) missing() (errs note.List) {
	u := x.Solids
	for _, need := range []struct {
		there bool
		fault error
	}{
		{x.found, u.Tank.Missing("the tank to clean up", "name its row in Tanks")},
		{x.unread == nil, x.unread},
		{x.start.OK, u.TankStart.Missing("the tank's turbidity", `give it, such as "80 NTU"`)},
		{x.stop.OK, u.TankStop.Missing("the turbidity at which the tank is clear enough", `give it, such as "5 NTU"`)},
		{u.Capture.OK, u.Capture.Missing("the share of solids that a pass takes out", `give "solids caught", such as "85 %": 1 - outlet / inlet of the unit`)},
	} {
		if !need.there {
			errs = append(errs, note.Of(need.fault, "tank")...)
		}
	}
	return errs
}

// renewed puts the new water of a site into its tank, with what it reads: never clear where nobody read it and the tank is held.
func (in *CleaningInput) renewed(s site.Site, x tankRead, k *clarify.Tank) {
	if !s.Water.Exchange.OK && !x.TankNew.OK {
		return
	}
	k.Exchange = x.TankNew.Or(quantity.Flow(float64(s.Water.Exchange.V) * k.Volume.In("m3") / 24))
	assumed := func(level note.Level, code, format string, reading float64, at note.Place, do string) {
		k.New = reading
		in.Notes.Add(note.New(level, code, format, k.Says(k.New)).At(at).Do("%s", do))
	}
	const clear = "new water is taken to read %s"
	switch {
	case x.HoldAt.OK && !s.Water.TSS.OK && !s.Water.Turbidity.OK:
		assumed(note.Caution, "new-water-unread", "is new water as dirty as the tank that is held? Neither its solids nor its turbidity is given, so it is taken to read %s",
			cmp.Or(k.Level, k.Stop), x.HoldAt.At, `it is surely clearer, and the tank then settles lower: give "suspended solids" or "turbidity" of the new water under Water`)
	case !x.TankStart.OK && !x.onlyHeld: // then the raw water's turbidity is the tank's, and says nothing of new water
		assumed(note.Info, "new-water-clear", clear, k.Stop, x.TankStart.At, `give "tank turbidity", so that the raw water's own is used`)
	case x.key == jartest.TSS:
		k.New = float64(s.Water.TSS.V)
		if !s.Water.TSS.OK { // by its turbidity, where that is all that was read
			k.New = float64(s.Water.Turbidity.V) * cmp.Or(PerNTU(s).V, solids.PerNTU)
		}
		in.cloudy(s.Water.TSS.At, x.onlyHeld, *k)
	case x.key == gauge.Cone:
		assumed(note.Info, "new-water-clear", clear, k.Stop, x.TankStart.At, `give "cone pairs" and the suspended solids of the raw water`)
	default:
		k.New = float64(s.Water.Turbidity.V)
		in.cloudy(s.Water.Turbidity.At, x.onlyHeld, *k)
	}
}

// treated puts the site's chemicals into the tank, and what is said of the day that they are dosed on.
func (in *CleaningInput) treated(s site.Site, g Given, k *clarify.Tank, run Running) (errs note.List) {
	feeds, notes, err := gathered(s, g, feedOf)
	in.Notes = append(in.Notes, notes...)
	met, _ := metBy(s.Water)
	k.Phosphate = met.V
	if err != nil {
		return note.Of(err, "chemical")
	}
	run.Feeds = feeds
	_, away := run.reached(site.UsualWater)
	in.Notes = append(in.Notes, unreachedNote(away)...)
	errs = in.dosed(s, feeds, away, k)
	r := run.Review()
	if in.Day, in.Usual = r.Told(), run.situation(site.UsualWater); s.Held != nil { // the day is that of holding it
		in.Day = r.ToldOfLoop(s)
	}
	return errs
}

// cloudy says so of new water that reads no less than the tank is to be held at, which may be the tank's own reading.
func (in *CleaningInput) cloudy(at note.Place, held bool, k clarify.Tank) {
	if held && k.Exchange > 0 && k.New >= k.Stop && !strings.HasPrefix(at.Cell, "--") { // a flag is of new water alone
		in.Notes.Add(note.New(note.Info, "new-water-cloudy", "new water is taken to read %s, as the raw water does, no less than what the tank is to be held at", k.Says(k.New)).At(at).Do("where that is the tank's own reading, new water brings less than is counted here: measure it"))
	}
}

// dosed puts the site's chemicals into the tank, but for those that no pump feeds.
func (in *CleaningInput) dosed(s site.Site, feeds, away []FeedInput, k *clarify.Tank) (errs note.List) {
	for i, f := range feeds {
		if slices.ContainsFunc(away, func(o FeedInput) bool { return o.Name == f.Name }) {
			continue
		}
		row := s.Chemicals[i]
		rule, err := f.cleaning(row, k.Key, s.Solids.Gauges())
		at := row.ByTurbidity.At
		if f.Past != nil && !row.ByTurbidity.OK {
			var said note.List
			rule, said, err = f.followed(*k)
			in.Notes, at = append(in.Notes, said...), f.DoseAt
		}
		var x clarify.Chemical
		if err == nil {
			at = f.DoseAt
			x, err = clarify.Of(f.Name, f.Stock.Product, f.Dose.Basis, rule, f.Stock.PerLitre, in.Around.Stock)
		}
		if err != nil {
			errs = append(errs, note.Of(err, "chemical")[0].At(at))
			continue
		}
		if row.ByTurbidity.OK {
			in.Notes = append(in.Notes, f.tableSlips(s, rule, k.Key, row.ByTurbidity.At)...)
		}
		x.ForBack(f.Stock.Product, in.Around.Back)
		x.Capture, x.HasCapture = row.Capture.V, row.Capture.OK
		x.Bound, x.Phosphate = f.Phosphates(f.Dose)
		k.Chemicals = append(k.Chemicals, x)
		in.Products, in.Monomers = append(in.Products, f.Stock.Product), append(in.Monomers, row.Monomer)
		in.Pumps = append(in.Pumps, f.Pump)
		in.Feeds = append(in.Feeds, f)
	}
	return errs
}

// readIn tells what the tank to clean up is read by; all its readings must be of that kind.
func readIn(u site.Solids) (jartest.Key, error) {
	key := jartest.Turbidity
	switch {
	case u.TankStart.OK:
		key = u.TankStart.V.Key
	case u.HoldAt.OK && !u.TankStop.OK:
		key = u.HoldAt.V.Key
	}
	var errs note.List
	for _, r := range []quantity.Known[site.Reading]{u.TankStop, u.Outlet, u.Rise, u.HoldAt} {
		if r.OK && r.V.Key != key {
			errs.Add(note.Fault("bad-reading", "%s %s is %s, the tank is read by %s", quantity.Number(r.V.V), gauge.Unit(r.V.Key),
				gauge.Label(r.V.Key), gauge.Label(key)).
				At(r.At).Do("use one unit for all readings"))
		}
	}
	return key, errs.Err()
}
