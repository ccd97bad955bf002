package curve

import (
	"math"
	"slices"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Below these a metal salt has used the water up: its hydroxide no longer forms well.
// KeptAlkalinity is what jars should have left. Common practice, no source.
const (
	SourPH         quantity.PH         = 5.8
	SourAlkalinity quantity.Alkalinity = 10
	KeptAlkalinity quantity.Alkalinity = 30
)

// turned finds the jars above the best one that are worse than it by more than the scatter,
// and tells where they have no alkalinity left by their own readings.
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
	from, by, ok := a.soured(p, u[best], worse)
	if ok {
		r.RanOut(quantity.Concentration(from), by)
	}
}

// RanOut tells that jars from a dose on, worse than the best one, have no alkalinity left; by is what
// shows it, such as "their pH is 5.4".
func (r *Result) RanOut(from quantity.Concentration, by note.Phrase) {
	r.Overdose.Sour = quantity.Some(from)
	for i := range r.Notes {
		if r.Notes[i].Code == "not-reached" {
			r.Notes[i] = r.Notes[i].Do("give the jars from %s on alkali before trying another chemical", quantity.Full(r.Overdose.Least.Dose, 3))
		}
	}
	r.Notes.Add(note.New(note.Caution, "alkalinity-ran-out", "from %s on the jars cloud again and %s: the acid of the chemical has used up the alkalinity, which spoils jars by itself", quantity.Full(from, 3), by).At(r.Place).
		Do("give the next jars at these doses alkali (soda ash, bicarbonate or lime) so that about %s mg/L as CaCO3 is left and the pH stays above 6", quantity.Number(KeptAlkalinity)))
}

// soured is the lowest dose above the best whose jar is worse than that and has no alkalinity
// left, with what tells it.
func (a *analysis) soured(p *prepared, best, worse float64) (from float64, said note.Phrase, ok bool) {
	from = math.Inf(1)
	for i, x := range p.Obs.U {
		by, sour := Sour(a.s.Jars[p.Jar[i]].Readings)
		if x > best && x < from && p.Obs.Y[i] > worse && sour {
			from, said, ok = x, by, true
		}
	}
	return from, said, ok
}

// Sour reports a jar whose alkalinity is gone, by its own pH or alkalinity, and says which.
func Sour(read jartest.Readings) (note.Phrase, bool) {
	if v := read.Of(jartest.AlkalinityKey); v.State == jartest.Number && v.Value < float64(SourAlkalinity) ||
		v.State == jartest.Below && v.Value <= float64(SourAlkalinity) && v.Limit {
		return note.Say("their alkalinity is %s mg/L as CaCO3", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	if v := read.Of(jartest.PH); v.State == jartest.Number && v.Value < float64(SourPH) {
		return note.Say("their pH is %s", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	return note.Phrase{}, false
}
