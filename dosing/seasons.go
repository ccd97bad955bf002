package dosing

import (
	"maps"
	"slices"
	"strings"
	"time"

	"jarwright/dosing/site"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// InSeasonCode is that of the note which tells what a season changes.
const InSeasonCode = "in-season"

// InSeason gives a site, and what it points at, as its seasons have it in a month of any year, with
// notes of what they change and of what they leave out because it was found in other water. The site
// that it gives has no seasons any more, so that giving it again changes nothing; a loop that is held is as
// [AsHeld] has it then. What two rows say of
// one month, a row that says nothing, and a dose of no chemical of the site are faults.
func InSeason(s site.Site, g Given, m time.Month) (site.Site, Given, error) {
	if len(s.Seasons) == 0 {
		return AsHeld(s, g)
	}
	x := season{site: s, given: g, month: m, told: map[string]note.Place{}}
	x.site.Seasons, x.site.Notes, x.site.Chemicals = nil, slices.Clone(s.Notes), slices.Clone(s.Chemicals)
	x.given.Bench = maps.Clone(g.Bench)
	at := s.Seasons[0].At
	for i, r := range s.Seasons {
		x.check(r)
		if !r.Holds(m) {
			continue
		}
		if len(x.changed) == 0 {
			at = s.Seasons[i].At
		}
		x.flow(r)
		x.water(r)
		x.dose(r)
	}
	if err := x.faults.Err(); err != nil {
		return s, g, err
	}
	if len(x.changed) == 0 {
		x.site.Notes.Add(note.New(note.Info, "season-none", "no row of Seasons speaks of %s: it is as the other sheets have it", m).At(at))
		return AsHeld(x.site, x.given)
	}
	x.leaveOut()
	if err := x.past(); err != nil {
		return s, g, err
	}
	x.site.Notes.Add(note.New(note.Info, InSeasonCode, "%s is that of Seasons: %s", m, phrases(x.changed)).At(at))
	if len(x.left) > 0 {
		x.site.Notes.Add(note.New(note.Info, "season-left-out", "not used in %s, as it is of other water or another dose: %s", m, phrases(x.left)).At(at))
	}
	return AsHeld(x.site, x.given)
}

// WhichSeason asks for the month where a site has seasons and nobody said which one is planned.
func WhichSeason(s site.Site) (out note.List) {
	if len(s.Seasons) > 0 {
		out.Add(note.New(note.Caution, "season-which", "the site has seasons, and no date says which one it is: the figures of the other sheets stand").
			At(s.Seasons[0].At).Do("give a day, such as --date 2026-01-15, or the date in the site under Place"))
	}
	return out
}

// season puts the rows of one month over a site.
type season struct {
	site  site.Site
	given Given
	month time.Month
	told  map[string]note.Place // where each thing of the month was said first
	// changed and left are what is put over the site, and what of it does not count then.
	changed, left        []note.Phrase
	otherWater, otherJar bool
	toPast               bool // the water has changed that past tests tell a dose by
	faults               note.List
}

// check faults a row that cannot be used in any month.
func (x *season) check(r site.Season) {
	says := r.Flow.OK || r.Least.OK || r.Peak.OK || r.Temperature.OK || r.PH.OK || r.Alkalinity.OK || r.Turbidity.OK || r.ClearDays.OK || r.StormDays.OK
	switch {
	case r.Chemical.OK && !r.Dose.OK:
		x.faults.Add(r.Dose.Missing("the dose of "+r.Chemical.V+" in those months", "give it, or leave the chemical out"))
	case !says && !r.Dose.OK:
		x.faults.Add(note.Fault("season-says-nothing", "the row for %s does not say what is different then", r.From.V).At(r.At).
			Do("give the flow, the water or a dose of those months"))
	}
	if r.Dose.OK && x.chemical(r) < 0 {
		var names []string
		for _, c := range x.site.Chemicals {
			names = append(names, c.Name.V)
		}
		n := note.Fault("season-chemical", "%q is no row of Chemicals%s", r.Chemical.V, note.DidYouMean(r.Chemical.V, names)).At(r.Chemical.At)
		if !r.Chemical.OK {
			n = note.Fault("season-chemical", "the dose %s does not say of which chemical it is", r.Dose.V).At(r.Dose.At)
		}
		x.faults.Add(n.Do("name one of them: %s", strings.Join(names, ", ")))
	}
}

// chemical is the row of Chemicals that a season's row means; the only one needs no name.
func (x *season) chemical(r site.Season) int {
	if !r.Chemical.OK && len(x.site.Chemicals) == 1 {
		return 0
	}
	return slices.IndexFunc(x.site.Chemicals, func(c site.Chemical) bool { return SameName(c.Name.V, r.Chemical.V) })
}

// once reports that a thing is said and was not said before of the month.
func (x *season) once(what string, ok bool, at note.Place) bool {
	if !ok {
		return false
	}
	if first, again := x.told[what]; again {
		x.faults.Add(note.Fault("season-twice", "%s of %s stands twice, here and in %s", what, x.month, first.Cell).At(at).Do("let only one row speak of it"))
		return false
	}
	x.told[what] = at
	return true
}

// over puts a value of a season over that of the site, and tells.
func over[T any](x *season, what string, into *quantity.Known[T], from quantity.Known[T]) bool {
	if !x.once(what, from.OK, from.At) {
		return false
	}
	*into = from
	x.changed = append(x.changed, note.Say(what+" %s", from.V))
	return true
}

// flow puts the flow of a season over that of the site. What a day's flow is made of moves with its
// average; a meter log is of the months that it was written in.
func (x *season) flow(r site.Season) {
	f := &x.site.Flow
	usual, _, err := DayOf(x.site.Flow, x.given.Log)
	if over(x, "flow", &f.Average, r.Flow) {
		if x.given.Log != nil {
			x.given.Log, f.Log = nil, quantity.Known[string]{}
			x.left = append(x.left, note.Say("the meter log"))
		}
		if average := usual.Average(); err == nil && average > 0 {
			if !x.given.Usual.OK { // what is fed a day goes by the usual water
				x.given.Usual = quantity.Some(usual.Volume())
			}
			times := r.Flow.V / average
			for h := range f.ByHour {
				f.ByHour[h].V *= times
			}
			f.Least.V, f.Peak.V = f.Least.V*times, f.Peak.V*times
		}
	}
	least, peak := over(x, "least flow", &f.Least, r.Least), over(x, "peak flow", &f.Peak, r.Peak)
	x.moved(r.Flow.OK && !least, "least flow", f.Least)
	x.moved(r.Flow.OK && !peak, "peak flow", f.Peak)
}

// moved tells an end of the day's flow that moves with its average.
func (x *season) moved(with bool, what string, end quantity.Known[quantity.Flow]) {
	if with && end.OK {
		x.changed = append(x.changed, note.Say(what+" %s with it", end.V))
	}
}

// water puts the raw water of a season over that of the site.
func (x *season) water(r site.Season) {
	w := &x.site.Water
	cold := over(x, "temperature", &w.Temperature, r.Temperature)
	ph, alkalinity := over(x, "pH", &w.PH, r.PH), over(x, "alkalinity", &w.Alkalinity, r.Alkalinity)
	cloudy := !strings.HasPrefix(w.Turbidity.At.Cell, "--") && // what was read today goes before what is usual then
		over(x, "turbidity", &w.Turbidity, r.Turbidity)
	if cloudy {
		leave(x, "suspended solids", &w.TSS)
	}
	x.toPast = x.toPast || cold || alkalinity || cloudy
	over(x, "clear days", &w.ClearDays, r.ClearDays)
	over(x, "storm days", &w.StormDays, r.StormDays)
	x.otherWater = x.otherWater || cold || ph || alkalinity
}

// dose puts the dose of a chemical in a season over that of the site, and over a bench sheet's. The jars are kept: they are
// heard at that dose, as far as they had it, in water that is still theirs.
func (x *season) dose(r site.Season) {
	i := x.chemical(r)
	if i < 0 || !r.Dose.OK {
		return
	}
	c := &x.site.Chemicals[i]
	if !over(x, c.Name.V, &c.Dose, r.Dose) {
		return
	}
	x.otherJar = true
	if b, tested := x.given.Bench[i]; tested {
		if !c.Basis.OK {
			c.Basis = quantity.Known[quantity.Basis]{V: b.Dose.Basis, OK: true, At: c.Bench.At}
		}
		x.left = append(x.left, note.Say("the dose from the bench sheet of %s", c.Name.V))
	}
	delete(x.given.Bench, i)
	c.Bench, c.Series, c.Target = quantity.Known[string]{}, quantity.Known[string]{}, quantity.Known[string]{}
	c.Fed, c.DoseLow, c.DoseHigh = quantity.Known[quantity.MassRate]{}, quantity.Known[quantity.Concentration]{}, quantity.Known[quantity.Concentration]{}
	if c.Storm.OK && c.Storm.V < r.Dose.V {
		x.site.Notes.Add(note.New(note.Caution, "season-over-storm", "%s: %s in %s is more than the %s of storm water", c.Name.V, r.Dose.V, x.month, c.Storm.V).
			At(r.Dose.At).Do("correct one of them"))
	}
}

// past takes the doses that past tests gave anew, for the water of the season. One that they do not reach is refused as a day of such
// water is.
func (x *season) past() error {
	for i, b := range x.given.Bench {
		if !x.toPast || b.Past == nil || b.Past.Again == nil {
			continue
		}
		own, err := b.Past.Again(x.site)
		if err != nil {
			return err
		}
		own.Past.Again, x.given.Bench[i] = b.Past.Again, own
		x.changed = append(x.changed, note.Say("%s %s by past tests of such water", x.site.Chemicals[i].Name.V, own.Dose.Concentration))
	}
	return nil
}

// leave forgets what the site says of another water, and tells.
func leave[T any](x *season, what string, of *quantity.Known[T]) {
	if of.OK {
		x.left = append(x.left, note.Say(what))
	}
	*of = quantity.Known[T]{At: of.At}
}

// leaveOut forgets what was read in water or at a dose that the season has changed.
func (x *season) leaveOut() {
	w := &x.site.Water
	if x.otherWater {
		leave(x, "carbon dioxide", &w.CO2)
	}
	if x.otherWater || x.otherJar {
		leave(x, "pH of the chosen jar", &w.JarPH)
		leave(x, "residual aluminium", &w.ResidualAl)
		leave(x, "residual iron", &w.ResidualFe)
	}
}

// phrases joins phrases with commas.
func phrases(list []note.Phrase) (out note.Phrase) {
	for i, p := range list {
		out = out.If(i > 0, ", ").And("%s", p)
	}
	return out
}
