package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// whiteWater gives the series the white water of its jars, what that reads by itself, and takes its
// share out of their readings.
func (m *maker) whiteWater() {
	b := m.b
	if x, ok := b.look(m.t, factRecycle, ""); ok {
		if share, ok := m.shareOf(x.value, x.unit, x.at); ok && share > mostWhite {
			b.say(note.Caution, "recycle-unclear", x.at, "%q: a jar gets no white water of %s %% of its raw water, "+
				"and the readings were not corrected for it", clip(x.text), trimFloat(share)).
				do(b, `check the number, and write it in percent of the raw water, such as "Recycle | 10 %%"`)
		} else if ok {
			m.s.Recycle = quantity.Fraction(share / 100)
		}
	}
	for i, f := range m.fs {
		told := m.s.Recycle > 0 && f.Head.Unit.Kind == words.Volume && m.s.JarVolume == 0 // and what was poured in tells no more
		if f.role == asReading && f.Head.Recycle && !f.key.Known() && !told {
			m.recycleColumn(i)
		}
	}
	var twofold []jartest.Key
	for _, x := range b.near(m.t, factWhite) {
		if had, ok := m.s.White[x.key]; ok {
			if had.Value != x.value {
				b.say(note.Caution, "facts-disagree", x.at, "%s of the white water is %s (%s) and %s; neither was taken",
					x.key.Info().Label, trimFloat(had.Value), had.At.Cell, trimFloat(x.value)).do(b, "keep the right one")
				twofold = append(twofold, x.key)
			}
			continue
		}
		if m.s.White == nil {
			m.s.White = map[jartest.Key]jartest.Reading{}
		}
		m.s.White[x.key] = jartest.Reading{State: jartest.Number, Value: x.value, Unit: x.key.Info().Unit, At: x.at}
		b.took(m.t, x)
	}
	for _, key := range twofold {
		delete(m.s.White, key)
	}
	if x, ok := b.look(m.t, factCorrected, ""); ok {
		b.say(note.Info, "white-water-out", x.at, "%q: the readings stand as they are, free of white water", clip(x.text))
		return
	}
	m.maybeWhite()
	s, said := m.s.Undiluted()
	*m.s = s
	b.notes.Add(said...)
}

// mostWhite is the most white water that benches let into a jar, in percent of its raw water; common practice, no source.
const mostWhite = 60

// shareOf gives white water in percent of the raw water in a jar: a percentage, a ratio of one at most, or
// a volume beside that of the jar. What else it may be is asked, and false.
func (m *maker) shareOf(v float64, u words.Unit, at note.Place) (percent float64, ok bool) {
	switch {
	case v == 0:
		return 0, true
	case u.Kind == words.Percent:
		return round12(v * u.Factor), true
	case u.Kind == words.Volper: // mL/L
		return round12(v * u.Factor / 10), true
	case u.Kind == "" && v <= 1:
		return round12(v * 100), true
	case u.Kind == words.Volume && m.s.JarVolume > 0:
		return round12(v * u.Factor / float64(m.s.JarVolume) * 100), true
	case u.Kind == words.Volume:
		m.b.say(note.Caution, "recycle-unclear", at, "%s %s of white water: its share is not known without the water in the jar, "+
			"and the readings were not corrected for it", trimFloat(v), u.Name).
			do(m.b, `write the jar volume, or the share, such as "Recycle | 10 %%"`)
	default:
		m.b.say(note.Caution, "recycle-unclear", at, "white water of %s: of what, the sheet does not say, "+
			"and the readings were not corrected for it", strings.TrimSpace(trimFloat(v)+" "+u.Name)).
			do(m.b, `write it in percent of the raw water in the jar, such as "Recycle | 10 %%"`)
	}
	return 0, false
}

// recycleColumn gives each jar the white water of its row, under one key whatever its heading.
func (m *maker) recycleColumn(i int) {
	f := m.fs[i]
	for k := range m.s.Jars {
		j := &m.s.Jars[k]
		r, there := j.Readings.Get(f.key)
		if !there || r.State != jartest.Number {
			continue
		}
		share, ok := m.shareOf(r.Value, f.Head.Unit, f.Place)
		if !ok {
			return
		}
		r.Value, r.Unit = share, "%"
		own := j.Readings.Without(f.key)
		own.Set(jartest.RecycleKey, r)
		j.Readings = own
	}
}

var (
	correctedWords = words.NewPattern(`\b(?:corrected|allowed|accounted|undiluted)\b`)
	notCorrected   = words.NewPattern(`\b(?:not|un|never|no|without|to be|should|must)\b|\?`)
)

// correctedForWhite books a sentence which says that readings were worked out free of white water.
func (b *bench) correctedForWhite(line fact, h layout.Heading, f string) bool {
	if !h.Recycle || !correctedFor(f) {
		return false
	}
	line.kind = factCorrected
	b.facts = append(b.facts, line)
	return true
}

// correctedFor reports a folded text which says that something was corrected; of numbers it may have the share of white water.
func correctedFor(f string) bool {
	other := slices.ContainsFunc(words.Amounts(f), func(a words.Amount) bool { return a.Kind != words.Percent })
	return correctedWords.MatchString(f) && !notCorrected.MatchString(f) && !other
}
