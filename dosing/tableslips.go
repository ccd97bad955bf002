package dosing

import (
	"cmp"
	"slices"

	"jarwright/dosing/clarify"
	"jarwright/dosing/product"
	"jarwright/dosing/site"
	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// Doses by the reading are asked about where muddier water gets clearly less, where a dose grows by more than
// the reading does and fivefold, and where the table gives the water of the site four times its dose, or a
// quarter (all common practice, no source). Readings below leastReading count as that: the last of the mud
// asks for no dose of its own.
const (
	lessForMud, moreForMud, offRow = 0.7, 1.2, 4.0
	growsAnyway, leastReading      = 5.0, 5.0
)

// tableSlips asks about the doses by the reading of a chemical: each against what is usual and against its jars,
// then each against the next, then all against the dose of its row.
func (f FeedInput) tableSlips(s site.Site, rule clarify.Rule, key jartest.Key, at note.Place) note.List {
	steps := rule.Points()
	for _, x := range steps {
		if x.Dose <= 0 {
			continue
		}
		d := quantity.Dose{Concentration: x.Dose, Basis: f.Dose.Basis}
		for _, n := range product.DoseSlips(f.Stock.Product, d, s.Place.Purpose.V == site.ForWastewater) {
			return note.List{n.After("%s at %s: ", f.Name, readAt(x, key)).At(at)}
		}
		if p := (Feed{FeedInput: f}).againstBench(x.Dose, "the dose at "+readAt(x, key).String()); apart[benchRow].outside(p.value) {
			p.says, p.at = note.Say("%s: %s", f.Name, p.says), at
			return note.List{apart[benchRow].asks(p)}
		}
	}
	if i := outOfLine(steps); i > 0 {
		a, b := steps[i-1], steps[i]
		n := note.New(note.Caution, "dose-table-odd", "%s: %s at %s and %s at %s do not go together%s", f.Name, a.Dose, readAt(a, key), b.Dose, readAt(b, key),
			f.meantAt(steps, key, s)).At(at)
		return note.List{n.Do("correct it, or leave it if the jars say so").From(ownBounds)}
	}
	raw := s.Water.Turbidity
	if !raw.OK || s.Held != nil || key != jartest.Turbidity || f.Dose.Concentration <= 0 || f.Balance != nil || len(steps) == 0 {
		return nil
	}
	if there := rule.At(float64(raw.V)); there > f.Dose.Concentration*offRow || there > 0 && there < f.Dose.Concentration/offRow {
		n := note.New(note.Caution, "dose-table-odd", "%s: by its doses by turbidity water of %s gets %s, and its dose is %s", f.Name, raw.V, there, f.Dose.Concentration)
		return note.List{n.At(at).Do("look at the decimal points of both").From(ownBounds)}
	}
	return nil
}

// benchRow is the place in apart of a dose against the jars.
var benchRow = slices.IndexFunc(apart, func(r apartRule) bool { return r.look == benchLook })

const benchLook = "the dose, its basis and the bench sheet"

func readAt(x clarify.Step, key jartest.Key) note.Phrase {
	return note.Say("%s %s", quantity.To(quantity.Number(x.Reading), 4), key.Info().Unit)
}

// outOfLine is the first dose of a table, lowest reading first, that does not go with the one before it; 0 where all do.
func outOfLine(steps []clarify.Step) int {
	for i := 1; i < len(steps); i++ {
		a, b := steps[i-1], steps[i]
		grows := max(growsAnyway, moreForMud*b.Reading/max(a.Reading, leastReading))
		if a.Dose > 0 && (float64(b.Dose) < lessForMud*float64(a.Dose) || float64(b.Dose) > grows*float64(a.Dose)) {
			return i
		}
	}
	return 0
}

// meantAt asks for the doses with which, their decimal point moved, the table would be in line.
func (f FeedInput) meantAt(steps []clarify.Step, key jartest.Key, s site.Site) note.Phrase {
	var found []note.Phrase
	try := func(dose, read float64) {
		for i, x := range steps {
			x.Dose, x.Reading = x.Dose*quantity.Concentration(dose), x.Reading*read
			other := slices.Replace(slices.Clone(steps), i, i+1, x)
			slices.SortFunc(other, func(a, b clarify.Step) int { return cmp.Compare(a.Reading, b.Reading) })
			d := quantity.Dose{Concentration: x.Dose, Basis: f.Dose.Basis}
			if outOfLine(other) == 0 && len(product.DoseSlips(f.Stock.Product, d, s.Place.Purpose.V == site.ForWastewater)) == 0 {
				found = append(found, note.Say("%s at %s", d.Concentration, readAt(x, key)))
			}
		}
	}
	for _, times := range []float64{0.1, 10, 0.01, 100} {
		try(times, 1)
	}
	if len(found) == 0 {
		try(1, 0.1)
		try(1, 10)
	}
	if len(found) == 0 || len(found) > 2 {
		return note.Say(": is a decimal point wrong?")
	}
	return note.Say("; did you mean %s?", note.AnyOf(found))
}
