package jartest

import (
	"maps"
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// RecycleKey is the key of a column with the white water of each jar, in percent of the raw water in it.
const RecycleKey Key = "recycle"

// thinned are the readings of what clean white water brings none of, so that it thins them by its
// share. pH does not go by volume, of alkalinity, salts and warmth the white water has its own, a
// volume of float is what it is, and a removal was worked out by somebody who may have known.
var thinned = []Key{Turbidity, TSS, Colour, UV254, TOC, DOC, COD, Phosphate, TotalPhosphorus, ResidualAl, ResidualFe}

// Thinned reports a reading that clean white water thins by its share.
func (k Key) Thinned() bool { return slices.Contains(thinned, k.Base()) }

// WhiteIn is the white water let into a jar over the raw water in it: what its own row says, else
// what the sheet says of all.
func (s Series) WhiteIn(j Jar) quantity.Fraction {
	if r, own := j.Readings.Get(RecycleKey); own && r.State == Number {
		return quantity.Fraction(r.Value / 100)
	}
	return s.Recycle
}

// Undiluted gives the series as its readings would be without the white water that was let into the
// jars: the mass of what was read is that of the raw water alone, so (1 + r) times the reading,
// less r times what the white water itself reads where the sheet says so. Doses count on the raw water
// and stay. A series without white water comes back as it is.
func (s Series) Undiluted() (Series, note.List) {
	var said []note.Phrase
	out := s
	out.Jars = slices.Clone(s.Jars)
	keys := map[Key]bool{}
	for i, j := range s.Jars {
		r := s.WhiteIn(j)
		if r <= 0 {
			continue
		}
		for _, x := range j.Readings {
			if x.thins() {
				keys[x.Key] = true
			}
		}
		out.Jars[i].Readings = undiluted(j.Readings, r, s.White)
		p := note.Say("%s at %s", quantity.To(quantity.Number(1+float64(r)), 4), quantity.To(r, 3))
		if !slices.ContainsFunc(said, func(o note.Phrase) bool { return o.String() == p.String() }) {
			said = append(said, p)
		}
	}
	if len(keys) == 0 {
		return s, nil
	}
	var names []string
	for _, k := range slices.SortedFunc(maps.Keys(keys), byKind) {
		names = append(names, k.Info().Label)
	}
	times := said[0]
	for _, p := range said[1:] {
		times = times.And(", %s", p)
	}
	n := note.New(note.Info, "white-water", "white water thins the water of a jar: what is read of %s is multiplied by %s of the raw water; "+
		"doses count on the raw water alone", strings.Join(names, ", "), times)
	if len(s.White) == 0 {
		n = n.Do(`it is counted as clean: if it is not, write what it reads, such as "White water turbidity | 0.5 NTU"; ` +
			`if the readings are corrected already, write "readings are corrected for the white water"`)
	}
	return out, note.List{n.At(s.Place)}
}

// thins reports a reading that is still thinned.
func (x KeyedReading) thins() bool { return x.State != Missing && x.Key.Thinned() && !x.Read.OK }

// undiluted gives the readings of a jar without its white water.
func undiluted(all Readings, r quantity.Fraction, white map[Key]Reading) Readings {
	out := slices.Clone(all)
	for i, x := range out {
		if x.thins() {
			out[i].Reading = x.Reading.without(float64(r), white[x.Key.Base()].Value)
		}
	}
	return out
}

// without gives a reading without the share r of white water that reads so much itself. Nothing is
// left of what reads less than the white water brings.
func (x Reading) without(r, white float64) Reading {
	x.Read = quantity.Some(x.Value)
	x.Value = max(0, quantity.RoundSig((1+r)*x.Value-r*white, 12))
	x.SD *= 1 + r
	x.Replicates = slices.Clone(x.Replicates)
	for i, y := range x.Replicates {
		x.Replicates[i] = y.without(r, white)
	}
	return x
}
