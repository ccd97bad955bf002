package caution

import (
	"math"
	"slices"

	"jarwright/dosing/water"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// mayBeOff is how many times what a bench may have wrong of the alkalinity a jar has at the most where that tells nothing of its pH
// (our own).
const mayBeOff = 2

// dosedOff is how far a bench's dose may be off, as a share of it (common practice, no source).
const dosedOff = 0.05

// reach is what pH a jar may read by what is not known of it: by the age of its floc, and, where a dose has used up the alkalinity
// but for what may be written down wrong of it, by a little more or less of it too, down to where no metal is dissolved.
type reach struct {
	floc, unheld [2]quantity.PH
	usedUp       bool
}

// mayRead is that of raw water after an addition.
func mayRead(raw water.State, add water.Addition) (r reach) {
	ends := func(a water.Addition) [2]quantity.PH {
		fresh, _ := water.Dose(raw, a)
		x := water.SpreadOf(raw, a)
		return [2]quantity.PH{min(fresh.PH, x.Aged.PH), max(fresh.PH, x.Aged.PH) + x.Ions}
	}
	off := quantity.Alkalinity(RuleNamed("jar-ph-unheld").Limit + dosedOff*math.Abs(float64(add.Acid)))
	more, less := add, add
	more.Acid, less.Acid = add.Acid+off, add.Acid-off
	more.Aluminium, more.Iron = 0, 0
	r.floc = ends(add)
	r.unheld = [2]quantity.PH{ends(more)[0], ends(less)[1]}
	r.usedUp = add.Acid > 0 && raw.Alkalinity-add.Acid <= mayBeOff*off
	return r
}

// holds reports a pH between two, as near as the rule on jars that differ takes one for another.
func holds(between [2]quantity.PH, read quantity.PH, near float64) bool {
	return float64(read) >= float64(between[0])-near && float64(read) <= float64(between[1])+near
}

// Gap is how far the pH read on a jar lies from the computed one.
func (w JarWater) Gap() float64 { return float64(w.ReadPH.V - w.PH) }

// Ages reports that the age of the floc moves the jar's pH by more than the model is good for.
func (w JarWater) Ages() bool { return math.Abs(float64(w.Aged-w.PH)) > float64(water.Uncertainty) }

// jarCauses are what may make the pH of a jar another than the computed one, the likeliest first: floc that is older than fresh, and
// no alkalinity that would hold a pH. What neither explains was written down or read wrong.
var jarCauses = []struct {
	rule string
	is   func(w JarWater, near float64) bool
}{
	{"jar-ph-by-floc", func(w JarWater, near float64) bool { return w.Ages() && holds(w.may.floc, w.ReadPH.V, near) }},
	{"jar-ph-unheld", func(w JarWater, near float64) bool { return w.may.usedUp && holds(w.may.unheld, w.ReadPH.V, near) }},
	{"jar-ph-differs", func(JarWater, float64) bool { return true }},
}

// tellApart tells of jars whose pH is not the computed one, by the likeliest cause of each.
func (b *BenchWater) tellApart() {
	near := RuleNamed("jar-ph-differs").Limit
	left := slices.DeleteFunc(slices.Clone(b.Jars), func(w JarWater) bool { return !w.ReadPH.OK || math.Abs(w.Gap()) <= near })
	for _, c := range jarCauses {
		var of []JarWater
		left = slices.DeleteFunc(left, func(w JarWater) bool {
			is := c.is(w, near)
			if is {
				of = append(of, w)
			}
			return is
		})
		if len(of) == 0 {
			continue
		}
		worst, r := of[0], RuleNamed(c.rule)
		for _, w := range of {
			if math.Abs(w.Gap()) > math.Abs(worst.Gap()) {
				worst = w
			}
		}
		b.Notes.Add(r.note(Words{"jars": labels(of), "gap": fixed(math.Abs(worst.Gap()), 2), "fresh": ph(worst.PH), "aged": ph(worst.Aged),
			"side": note.Say("").If(worst.Gap() > 0, "above").If(worst.Gap() < 0, "below"), "off": amount(r.Limit), "check": b.check(of)}))
	}
}

// labels lists jars.
func labels(jars []JarWater) string {
	var names []string
	for _, j := range jars {
		names = append(names, j.Label)
	}
	if len(names) == 1 {
		return "jar " + names[0]
	}
	return "jars " + join(names)
}

// check is what to look at where nothing in the water explains the pH of some jars: the meter where a jar without chemical is off too,
// or where none was read and all are off alike; where one is off it is that jar; else what grows with the dose.
func (b *BenchWater) check(off []JarWater) string {
	least, most, read, undosed := math.Inf(1), math.Inf(-1), 0, false
	for _, j := range b.Jars {
		if j.ReadPH.OK {
			least, most, read, undosed = min(least, j.Gap()), max(most, j.Gap()), read+1, undosed || !j.dosed()
		}
	}
	alike := !undosed && read > 1 && len(off) == read && most-least <= RuleNamed("jar-ph-differs").Limit
	switch {
	case slices.ContainsFunc(off, func(w JarWater) bool { return !w.dosed() }):
		return "check the meter, and the raw water's pH: a jar without chemical is off too"
	case alike:
		return "check the meter, and the raw water's pH: all jars are off alike, whatever their dose"
	case len(off) == 1 && read > 2:
		return "check the dose of that jar, and read it again"
	}
	return "check the basis of the dose and the raw water's alkalinity"
}

// dosed reports a jar with some chemical.
func (w JarWater) dosed() bool {
	return slices.ContainsFunc(w.Doses, func(d quantity.Concentration) bool { return d > 0 })
}
