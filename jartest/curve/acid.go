package curve

import (
	"math"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Below these a metal salt has used the water up: its hydroxide no longer forms well.
// Common practice, no source.
const (
	acidPH           = 5.8
	acidAlkalinity   = 10 // mg/L as CaCO3
	alkalinityToKeep = 30 // mg/L as CaCO3
)

// salts are bases that the name of a chemical stands for where the sheet does not state
// one, for an estimate of the acid only.
var salts = []struct {
	word  string
	basis quantity.Basis
}{
	{"ferric chloride", quantity.AsFeCl3}, {"fecl3", quantity.AsFeCl3}, {"ferric sul", quantity.AsFe2SO43}, {"alum", quantity.AsAlum14},
}

// acidBasis is what the doses count, or what the chemical's name lets one take them for.
func acidBasis(c jartest.Chemical) (b quantity.Basis, taken bool) {
	if _, ok := c.Basis.AcidPer(); ok {
		return c.Basis, false
	}
	for _, s := range salts {
		if c.Basis == quantity.NotStated && strings.HasPrefix(strings.ToLower(c.Name), s.word) {
			return s.basis, true
		}
	}
	return quantity.NotStated, false
}

// acid tells where jars cloud again because the acid of the chemical has used up the
// alkalinity, and how much alkali the next jars need.
func (a *analysis) acid(p *prepared) {
	r := a.r
	u, mean, _, _ := p.Obs.Groups()
	if r.Factor != "dose" || !p.Scale.Log() || len(u) < 3 {
		return
	}
	best := slices.Index(mean, slices.Min(mean))
	from, at, ok := a.soured(p, u[best], mean[best]+math.Max(2*r.Scatter, math.Log(1.2)))
	if !ok {
		return
	}
	r.Overdose.Acid = true
	n := note.New(note.Caution, "alkalinity-ran-out", "from %s on the jars cloud again and %s: the acid of the chemical has used up the alkalinity, and that spoils these jars, not too much coagulant as such", a.mgl(from), at).At(a.s.Place)
	for i := range r.Notes {
		if r.Notes[i].Code == "not-reached" {
			r.Notes[i] = r.Notes[i].Do("give the jars from %s on alkali before trying another chemical", a.mgl(u[best]))
		}
	}
	basis, taken := acidBasis(r.Chemical)
	per, ok := basis.AcidPer()
	if !ok {
		r.Notes.Add(n.Do("give the next jars at these doses alkali (soda ash, bicarbonate or lime) so that about %s mg/L as CaCO3 is left and the pH stays above 6", quantity.Number(alkalinityToKeep)))
		return
	}
	top := float64(r.TestedHigh)
	need := per*top + alkalinityToKeep
	has := note.Say("less what the water has")
	if raw, known := a.s.RawReading(jartest.AlkalinityKey); known {
		need, has = math.Max(need-raw, 0), note.Say("beyond the %s mg/L that the water has", quantity.Full(quantity.Number(raw), 2))
	}
	what := note.Say("%s", basis)
	if taken {
		what = note.Say("%s, if that is what the doses count", basis)
	}
	r.Notes.Add(n.Do("give the next jars alkali: %s mg/L as CaCO3 for each mg/L %s, so at %s about %s mg/L as CaCO3 %s, %s mg/L of it to be left (as soda ash %s mg/L, sodium bicarbonate %s, hydrated lime %s, all pure)",
		quantity.Full(quantity.Number(per), 3), what, a.mgl(top), quantity.Full(quantity.Number(need), 2), has, quantity.Number(alkalinityToKeep),
		quantity.Full(quantity.Number(1.059*need), 2), quantity.Full(quantity.Number(1.679*need), 2), quantity.Full(quantity.Number(0.740*need), 2)))
}

// soured is the lowest dose above the best whose jar is worse than that and has no alkalinity
// left, with what tells it.
func (a *analysis) soured(p *prepared, best, worse float64) (from float64, said note.Phrase, ok bool) {
	from = math.Inf(1)
	for i, x := range p.Obs.U {
		by, sour := a.sour(p.Jar[i])
		if x > best && x < from && p.Obs.Y[i] > worse && sour {
			from, said, ok = x, by, true
		}
	}
	return from, said, ok
}

// sour reports a jar whose alkalinity is gone, by its own pH or alkalinity.
func (a *analysis) sour(jar int) (note.Phrase, bool) {
	read := a.s.Jars[jar].Readings
	if v := read.Of(jartest.AlkalinityKey); v.State == jartest.Number && v.Value < acidAlkalinity || v.State == jartest.Below && v.Value <= acidAlkalinity && v.Limit {
		return note.Say("their alkalinity is %s mg/L as CaCO3", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	if v := read.Of(jartest.PH); v.State == jartest.Number && v.Value < acidPH {
		return note.Say("their pH is %s", quantity.Full(quantity.Number(v.Value), 2)), true
	}
	return note.Phrase{}, false
}
