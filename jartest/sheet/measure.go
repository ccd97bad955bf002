package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// "20 marks = 1 mL", "One press | 2 mL", "1 scoop = 25 g": a line that gives things a volume or a mass makes them a unit of the
// columns of its sheet that count them, whatever they are called.

// measure is a thing with the volume of one, L, or the mass, mg.
type measure struct {
	thing string // folded
	size  float64
	kind  words.Kind // words.Volume or words.Mass
	line  fact
}

var (
	countOfThings = words.NewPattern(`^(?:(\d+(?:[.,]\d+)?|one|a|an|each|every|ein|eine|un|une|una|uno|um|uma|en|et|ett|een) )?`)
	thingNamed    = words.NewPattern(`^(\pL[\pL-]{2,} )?(\pL[\pL-]{2,})(?: (?:of|on|in|from|auf|der|am|an|de|del|du|sur|en|di|da|do|na|på|van) .{2,40})?$`)
	// sizeOfThing is what a name of a volume says besides: "volume of a mark", "press volume".
	sizeOfThing = words.NewPattern(`^(?:volume|size|vol) (?:of|per|de|pro|je) (?:a |an |one |each |1 |the |un |une |una |ein |einem )?|[ -](?:volume|size|vol)$`)
)

// sizeInBrackets is a size that stands in brackets behind its thing, "1 scoop (25 g)".
var sizeInBrackets = words.NewPattern(`^([^()=:]+?) ?\((?:= ?)?([^()=]+)\)$`)

// measureOf reads a text that gives things a volume, 100 mL at most, or what is spooned a mass; said is the part of it that does,
// what it is a volume of may follow: "1 lid = 2 mL of alum stock 10 g/L".
func measureOf(text string, dec layout.Decimals) (m measure, said string, ok bool) {
	if x := sizeInBrackets.FindStringSubmatch(strings.Trim(text, " .;")); x != nil {
		m, _, ok = measureOf(x[1]+" = "+x[2], dec)
		return m, text, ok
	}
	text = strings.Trim(text, " ().;")
	if k := strings.LastIndex(text, ": "); k >= 0 && !bareAmount(text[k+2:]) {
		text = text[k+2:] // "Syringe: 1 mark = 0.05 mL"
	}
	s := sentenceOf(text, dec)
	i := len(s.amounts) - 1
	if k := slices.IndexFunc(s.amounts, func(a amount) bool { return a.Kind == words.Volume }); k >= 0 && ofLiquid(text[s.amounts[k].To:]) {
		i = k
	}
	if i < 0 {
		return m, "", false
	}
	a := s.amounts[i]
	before := strings.TrimRight(words.Fold(text[:a.Start]), " ")
	at := link.FindAllStringIndex(before, -1)
	linked := len(at) > 0 && at[len(at)-1][1] == len(before)
	behind := strings.TrimSpace(text[a.To:])
	if a.Kind != words.Volume && a.Kind != words.Mass || !a.ok || a.num <= 0 || behind != "" && !ofLiquid(behind) || !linked {
		return m, "", false
	}
	name := strings.Trim(before[:at[len(at)-1][0]], " :")
	n := 1.0
	if m := countOfThings.FindStringSubmatch(name); m[0] != "" {
		if x := layout.Numeral(m[1], dec); x.OK() && x.Num > 0 {
			n = x.Num
		}
		name = name[len(m[0]):]
	}
	x := thingNamed.FindStringSubmatch(sizeOfThing.ReplaceAllString(name, ""))
	m.size, m.kind = a.num*a.Factor/n, a.Kind
	if x == nil || m.kind == words.Volume && m.size > largestMeasure || jarWord(x[2]) || len(layout.ReadHeading(x[2]).Chems) > 0 {
		return m, "", false
	}
	if h := layout.ReadHeading(x[2]); x[1] != "" && (h.Dose || h.Stock || h.Volume || h.Raw) {
		return m, "", false
	}
	u, known := words.OnlyUnit(x[2])
	m.thing = x[2]
	return m, text[:a.To], !known && m.kind == words.Volume || known && countable(u)
}

// ofLiquid reports what follows a volume where that says what was measured: "of alum stock 10 g/L".
func ofLiquid(behind string) bool {
	f := words.Fold(strings.TrimSpace(behind))
	h := layout.ReadHeading(f)
	return ofWhat.MatchString(f) && (h.Stock || h.Neat || h.Chem != "") && !h.Raw
}

// ofWhat joins a volume to what it is of.
var ofWhat = words.NewPattern(`^(?:of|de|du|von|di|do|da|van|av) `)

// measureParts gives what a text says one by one; a size in brackets is none by itself.
func measureParts(text string) []string {
	if sizeInBrackets.MatchString(strings.Trim(text, " .;")) {
		return []string{text}
	}
	return partSign.Split(text, -1)
}

// countable reports a unit that has no size of its own: scoops, strokes.
func countable(u words.Unit) bool { return u.Kind == words.Household || u.Kind == words.Knob }

// largestMeasure is more than a bench doses by one stroke of anything, L (common practice, no source).
const largestMeasure = 0.1

// measures finds the lines that give things a size, and makes these the units of the columns that count them.
func (b *bench) measures() {
	for _, g := range b.grids {
		v := layout.View{Area: g}
		in := func(r, c int) bool {
			return slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.Area() == g && t.Box().Has(r, c) && !t.Titles(r) })
		}
		var found []measure
		for r := range g.Rows {
			for c, x := range g.Rows[r] {
				if x.Kind != grid.Textual || len(x.Text) > 100 || in(r, c) {
					continue
				}
				text := x.Text
				if value, unit, _ := b.beside(v, r, c, in); value != "" && !strings.ContainsAny(text, "=:") {
					text += " = " + value + " " + unit
				}
				for _, part := range measureParts(text) {
					if m, said, ok := measureOf(part, b.decimals[g]); ok {
						m.line = fact{kind: factMeasure, value: m.size, r: r, c: c, g: g, at: v.Place(r, c), text: said}
						found = append(found, m)
					}
				}
			}
		}
		for i, x := range found {
			other := slices.IndexFunc(found, func(o measure) bool {
				return samething(o.thing, x.thing) && (o.kind != x.kind || !same(o.size, x.size))
			})
			if other < 0 {
				b.measured(g, x)
			} else if other < i {
				first := found[other].line
				b.say(note.Caution, "facts-disagree", x.line.at, "%q and %q (%s) disagree; neither was taken",
					clip(x.line.text), clip(first.text), first.at.Cell).
					do(b, "keep the right one")
			}
		}
	}
}

// measured gives a thing's size to the columns of a sheet that count it.
func (b *bench) measured(g *layout.Area, x measure) {
	for _, t := range b.tables {
		if t.Area() != g {
			continue
		}
		for i := range t.Cols {
			if h, ok := x.heading(t.Cols[i].Head); ok {
				t.Cols[i].Head = h
				b.facts = append(b.facts, x.line)
				b.took(t, x.line)
			}
		}
	}
}

// heading reads a heading whose numbers count the thing as one of drops of its volume, or of grams times its mass.
func (x measure) heading(h layout.Heading) (layout.Heading, bool) {
	if h.Unit.Known() && !countable(h.Unit) || h.Reading != "" || h.Drop > 0 {
		return h, false
	}
	f := words.Fold(h.Text)
	for _, k := range words.Tokens(f) {
		if !samething(x.thing, f[k.From:k.To]) {
			continue
		}
		unit := "drops"
		if x.kind == words.Mass {
			unit = "mg"
		}
		bare := f[:k.From] + unit + f[k.To:]
		counted := layout.ReadHeading(bare)
		counted.Text, counted.Bare, counted.Chem = h.Text, bare, h.Chem
		if x.kind == words.Mass {
			counted.Weight = x.size
			counted.Unit.Factor *= x.size
			return counted, counted.Unit.Kind == words.Mass
		}
		counted.Drop = x.size
		return counted, counted.Unit.Kind == words.Drops
	}
	return h, false
}

// samething reports two forms of a word that differ in their ending at most.
func samething(a, b string) bool {
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n >= 3 && len(a)-n <= 2 && len(b)-n <= 3 && n >= max(len(a), len(b))*2/3
}

// oneSpoon is one of what things are spooned with and its mass behind it, "1 scoop (25 g)"; of several nobody knows whether each
// or all weigh as much.
var oneSpoon = worded(`(?i)(?:^|\b)(?:(?:1|one|a|an|ein|eine|een|un|une|una|um|uma|en|et) )?{household} \((?:= ?)?(\d+(?:[.,]\d+)? ?[mk]?g)\)`)

// bySpoon puts into a text what one spoon weighs in its place.
func bySpoon(text string) string {
	if !strings.Contains(text, "(") || sizeInBrackets.MatchString(strings.Trim(text, " .;")) || !spoken()["household"].in(words.Fold(text)) {
		return text
	}
	return oneSpoon.ReplaceAllStringFunc(text, func(s string) string { return oneSpoon.FindStringSubmatch(s)[1] })
}

// definesMeasure reports a line that gave a column its unit, and says nothing else.
func (b *bench) definesMeasure(at note.Place, text string) bool {
	return len(measureParts(strings.TrimRight(text, " .;"))) == 1 &&
		slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factMeasure && x.at == at })
}

// unmeasured leaves out of a line what gave a column its unit, with the "of" behind it.
func (b *bench) unmeasured(at note.Place, text string) string {
	for _, x := range b.facts {
		if k := strings.Index(text, x.text); x.kind == factMeasure && x.at == at && k >= 0 {
			rest := strings.TrimLeft(text[k+len(x.text):], " ;,.)")
			text = strings.TrimSpace(text[:k] + ofWhat.ReplaceAllString(rest, ""))
		}
	}
	return text
}

// measuresTold blanks the clauses of a line that gave a column its unit.
func (h *held) measuresTold() {
	for _, x := range h.b.facts {
		if x.kind != factMeasure {
			continue
		}
		if at := strings.Index(h.text, words.Fold(x.text)); at >= 0 {
			h.blank([]int{at, at + len(words.Fold(x.text))})
		}
	}
}
