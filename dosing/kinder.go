package dosing

import (
	"jarwright/dosing/mixing"
	"jarwright/dosing/settler"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Beside is one figure of the jars beside that of the plant. Kinder is true where the jars have it so much better
// that they look better than the plant will be.
type Beside[T ~float64] struct {
	Bench, Plant T
	Kinder       bool
}

// Kinder sets beside the plant what, besides mixing, makes a jar look better than the plant; a part is not known
// where either does not tell.
type Kinder struct {
	// Rate is the surface loading that the jars' samples stand for, drawn at Depth After settling.
	Rate  quantity.Known[Beside[quantity.Loading]]
	Depth quantity.Length
	After quantity.Time
	// Temperature is that of the water in the jars, on average.
	Temperature quantity.Known[Beside[quantity.Temperature]]
	// White is the white water over the raw water.
	White quantity.Known[Beside[quantity.Fraction]]
}

// kinderBy is by how much the jars may have it better until that is a caution: settling rate, thickness of the water
// (8 to 10 C) and white water alike (own bound).
const kinderBy = 1.25

// kinderOf works it out for the jars of the first chemical that was tried in any.
func (p Plan) kinderOf(s site.Site) (k Kinder, at note.Place) {
	var j *Jars
	for _, f := range p.Feeds {
		if f.Jars != nil && j == nil {
			j = f.Jars
		}
	}
	if q := p.Day.Average(); j != nil && q > 0 {
		k.settled(j, s, q)
		k.warmer(j.Series, s)
		k.bubbled(j.Series, s, q)
		at = j.At
	}
	return k, at
}

// settled compares how long the jars stood with the settler: with jars read at several times the settler is held to
// their curve instead.
func (k *Kinder) settled(j *Jars, s site.Site, q quantity.Flow) {
	depth := s.Solids.JarDepth
	if !depth.OK {
		depth = j.Series.Protocol.Depth
	}
	after := j.settledFor()
	u, ok := SettlerOf(s, q)
	if load := u.At(q).Loading; ok && load.OK && depth.OK && after.OK && !u.Tubes {
		x := Beside[quantity.Loading]{Bench: settler.RateOf(depth.V, after.V), Plant: load.V}
		x.Kinder = x.Plant > kinderBy*x.Bench*(1+1e-9)
		k.Rate, k.Depth, k.After = quantity.Some(x), depth.V, after.V
	}
}

// settledFor is how long the jars stood before the only reading of the kind that the first target asks for.
func (j *Jars) settledFor() quantity.Known[quantity.Time] {
	key, times := settledKeys(j.Targets)[0], 0
	out := j.Series.Protocol.Settle
	for _, k := range j.Series.Keys() {
		if k.Base() != key {
			continue
		}
		times++
		if minutes, ok := timeOf(j.Series, k); ok {
			out = quantity.Some(quantity.Time(minutes / 60))
		}
	}
	if times != 1 {
		out.OK = false
	}
	return out
}

// warmer compares the water in the jars, where it was read in them, with the plant's: in warmer, thinner water flocs
// fall and rise faster, as much as it is thinner (Stokes).
func (k *Kinder) warmer(t jartest.Series, s site.Site) {
	sum, n := 0.0, 0
	for _, j := range t.Jars {
		if r := j.Readings.Of(jartest.TemperatureKey); r.State == jartest.Number {
			sum, n = sum+r.Value, n+1
		}
	}
	if n == 0 || !s.Water.Temperature.OK {
		return
	}
	x := Beside[quantity.Temperature]{Bench: quantity.Temperature(sum / float64(n)), Plant: s.Water.Temperature.V}
	x.Kinder = mixing.Viscosity(x.Plant) > kinderBy*mixing.Viscosity(x.Bench)
	k.Temperature = quantity.Some(x)
}

// bubbled compares the white water.
func (k *Kinder) bubbled(t jartest.Series, s site.Site, q quantity.Flow) {
	unit, ok := UnitOf(s, q)
	most := t.Recycle
	for _, j := range t.Jars {
		most = max(most, t.WhiteIn(j))
	}
	if ok && unit.White.OK && most > 0 {
		x := Beside[quantity.Fraction]{Bench: most, Plant: quantity.Fraction(unit.White.V / q)}
		x.Kinder = x.Bench > kinderBy*x.Plant*(1+1e-9)
		k.White = quantity.Some(x)
	}
}

// kinder works it out, and says in one caution what the jars had so much better that the plant will not be like them.
func (o *UnitDay) kinder(p Plan, s site.Site) {
	k, at := p.kinderOf(s)
	o.Kinder = k
	var had, do []note.Phrase
	if x := k.Rate; x.OK && x.V.Kinder {
		had = append(had, note.Say("settling at %s (plant %s)", quantity.To(x.V.Bench, 3), quantity.To(x.V.Plant, 3)))
		do = append(do, note.Say("sample after %s", quantity.To(settler.TimeFor(k.Depth, x.V.Plant), 3)))
	}
	if x := k.Temperature; x.OK && x.V.Kinder {
		had = append(had, note.Say("water of %s (plant %s)", quantity.To(x.V.Bench, 2), quantity.To(x.V.Plant, 2)))
		do = append(do, note.Say("keep the jars at %s", quantity.To(x.V.Plant, 2)))
	}
	if x := k.White; x.OK && x.V.Kinder {
		had = append(had, note.Say("%s of white water (plant %s)", quantity.To(x.V.Bench, 2), quantity.To(x.V.Plant, 2)))
		do = append(do, note.Say("let in %s of white water", quantity.To(x.V.Plant, 2)))
	}
	if len(had) > 0 {
		o.Notes.Add(note.New(note.Caution, "jars-kinder", "the jars had it easier than the plant, which will not do as well: %s", phrases(had)).
			At(at).Do("test the dose again as the plant has it: %s", phrases(do)).From(ownBounds))
	}
}
