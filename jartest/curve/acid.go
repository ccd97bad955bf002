package curve

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// FlocWater is the water in which a metal forms good floc.
type FlocWater struct {
	// PH from Least to Most; less alkalinity than Gone tells of too low a pH too.
	Least, Most quantity.PH
	Gone        quantity.Alkalinity
	// Kept is what jars should have left where alkali is given, which leaves the pH above Stays.
	Kept  quantity.Alkalinity
	Stays quantity.PH
}

// flocWaters go by the metal and by what is to be taken out: particles, or what colours the water, which goes
// with floc in sourer water (pH 5 to 6.5 with aluminium, less with iron). Common practice, no source.
var flocWaters = map[string]struct{ particles, organics FlocWater }{
	"Al": {FlocWater{Least: 5.8, Most: 8, Gone: 5, Kept: 30, Stays: 6}, FlocWater{Least: 5, Most: 7, Gone: 1, Kept: 10, Stays: 5.5}},
	"Fe": {FlocWater{Least: 5, Most: 9, Gone: 2, Kept: 30, Stays: 6}, FlocWater{Least: 4, Most: 7, Gone: 0, Kept: 5, Stays: 5}},
}

// organics are the readings of what colours the water.
var organics = []jartest.Key{jartest.Colour, jartest.UV254, jartest.TOC, jartest.DOC}

// FlocWater is what the metal of the series needs for its targets; a chemical that names no iron is taken for aluminium.
func (r *Result) FlocWater() FlocWater {
	metal := "Al"
	if r.Chemical.Basis.Metal() == "Fe" || strings.HasPrefix(words.Salt(words.Fold(r.Chemical.Name)), "ferr") {
		metal = "Fe"
	}
	of := flocWaters[metal]
	if r.ForOrganics() {
		return of.organics
	}
	return of.particles
}

// ForOrganics reports that the reading, or a target, is of what colours the water.
func (r *Result) ForOrganics() bool {
	return slices.Contains(organics, r.Response) ||
		slices.ContainsFunc(r.Targets, func(t jartest.Target) bool { return slices.Contains(organics, t.Key) })
}

// turned finds the jars above the best one that are worse than it by more than the scatter,
// and tells where they are too sour by their own readings.
func (a *analysis) turned(p *prepared) {
	r := a.r
	u, mean, _, _ := p.Obs.Groups()
	if r.Factor != "dose" || !p.Scale.Log() || len(u) < 3 {
		return
	}
	best := slices.Index(mean, slices.Min(mean))
	worse := mean[best] + math.Max(2*r.Scatter, math.Log(1.2))
	spot := func(i int) Spot { return Spot{quantity.Concentration(u[i]), p.Scale.Reading(mean[i])} }
	r.Overdose.Least = spot(best)
	for i := range u {
		if u[i] > u[best] && mean[i] > worse {
			r.Overdose.Worse = append(r.Overdose.Worse, spot(i))
		}
	}
	r.Overdose.Passes = r.Outcome == Found && !slices.ContainsFunc(r.Overdose.Worse, func(s Spot) bool {
		return slices.ContainsFunc(a.goals, func(g goal) bool { return g.key == r.Response && !g.passes(s.Reading, p) })
	})
	from, by, ok := a.soured(p, u[best], worse)
	if ok {
		r.RanOut(quantity.Concentration(from), by)
	}
}

// RanOut tells that jars from a dose on, worse than the best one, are too sour for floc; by is what
// shows it, such as "their pH is 5.4".
func (r *Result) RanOut(from quantity.Concentration, by note.Phrase) {
	r.Overdose.Sour = quantity.Some(from)
	for i := range r.Notes {
		if r.Notes[i].Code == "not-reached" {
			r.Notes[i] = r.Notes[i].Do("give the jars from %s on alkali before trying another chemical", quantity.Full(r.Overdose.Least.Dose, 3))
		}
	}
	if r.Overdose.Passes {
		r.Notes.Add(note.New(note.Info, "alkalinity-ran-out",
			"from %s on the jars are a little worse again, as %s, too sour for good floc; they still meet the target", quantity.Full(from, 3), by).At(r.Place))
		return
	}
	w := r.FlocWater()
	r.Notes.Add(note.New(note.Caution, "alkalinity-ran-out",
		"from %s on the jars cloud again and %s: the acid of the chemical has made them too sour for floc, which spoils jars by itself",
		quantity.Full(from, 3), by).At(r.Place).
		Do("give jars at these doses alkali (soda ash or bicarbonate) so that about %s mg/L as CaCO3 is left and the pH stays above %s",
			quantity.Number(w.Kept), quantity.Number(w.Stays)))
}

// soured is the lowest dose above the best whose jar is worse than that and too sour,
// with what tells it.
func (a *analysis) soured(p *prepared, best, worse float64) (from float64, said note.Phrase, ok bool) {
	from = math.Inf(1)
	for i, x := range p.Obs.U {
		by, sour := a.r.FlocWater().Sour(a.s.Jars[p.Jar[i]].Readings)
		if x > best && x < from && p.Obs.Y[i] > worse && sour {
			from, said, ok = x, by, true
		}
	}
	return from, said, ok
}

// Sour reports a jar that is too sour for floc, by its own pH or alkalinity, and says which.
func (w FlocWater) Sour(read jartest.Readings) (note.Phrase, bool) {
	if v := read.Of(jartest.AlkalinityKey); v.State == jartest.Number && v.Value < float64(w.Gone) ||
		v.State == jartest.Below && v.Value <= float64(w.Gone) && v.Limit {
		return note.Say("their alkalinity is %s mg/L as CaCO3", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	if v := read.Of(jartest.PH); v.State == jartest.Number && v.Value < float64(w.Least) {
		return note.Say("their pH is %s", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	return note.Phrase{}, false
}
