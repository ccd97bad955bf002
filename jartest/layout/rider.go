package layout

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/words"
)

// Bounds of what a heading can state of the liquid behind its numbers (common practice, no source).
const (
	leastGravity, mostGravity = 0.7, 2.5     // of liquid products, kg/L
	leastDrop, mostDrop       = 2e-5, 1.5e-4 // of pipettes and droppers, L
)

// gravityAfter is the number of a density behind its name: "SG 1.33", "density = 1.2".
var gravityAfter = words.NewPattern(`^[\s:=.]*(\d[.,]\d+)`)

var emptyBrackets = words.NewPattern(`[(\[][\s,;]*[)\]]`)

// takeRiders notes what a heading says of the liquid behind its numbers, the density of a
// product, the volume of a drop and the path of light, and gives the text without.
func (h *Heading) takeRiders(text string) string {
	if !strings.ContainsAny(text, "0123456789") {
		return text
	}
	masked := []byte(text)
	blank := func(from, to int) {
		for i := from; i < to; i++ {
			masked[i] = ' '
		}
	}
	for _, a := range words.Amounts(text) {
		if x := Numeral(a.Number, DecimalPoint); x.OK() && h.rider(a, x.Num, countsIn(text, words.Drops)) {
			blank(a.Start, a.To)
		}
	}
	if h.Drop > 0 {
		for i, c := range masked {
			if c == '=' {
				masked[i] = ' '
			}
		}
	}
	h.takeGravity(masked, blank)
	h.takePath(text, blank)
	h.takeLimit(text, blank)
	for _, m := range emptyBrackets.FindAllStringIndex(string(masked), -1) {
		blank(m[0], m[1])
	}
	if h.Gravity > 0 && !countsIn(string(masked), words.Volume, words.Volper, words.Drops) { // a fact, not a column of volumes
		h.Gravity = 0
	}
	if h.Gravity+h.Drop+h.Path == 0 && !h.Limited {
		return text
	}
	h.Density = h.Gravity > 0
	h.Bare = string(masked)
	return h.Bare
}

// limitAfter is the number of a limit behind its name or sign.
var limitAfter = words.NewPattern(`^[\s:=<>≤≥]*\d+(?:[.,]\d+)?\s*`)

// takeLimit notes that the heading of a reading states the limit of it, "Turbidity (NTU), limit 5",
// "(≤ 5 NTU)": the numbers below are readings all the same.
func (h *Heading) takeLimit(text string, blank func(from, to int)) {
	limit := func(from, to int) {
		m := limitAfter.FindStringIndex(text[to:])
		if m == nil || from == 0 || ReadHeading(strings.TrimRight(text[:from], " ,;([:")).Reading == "" {
			return
		}
		to += m[1]
		for _, u := range words.Units(text[to:]) {
			if u.From == 0 {
				to += u.To
			}
			break
		}
		h.Limited = true
		blank(from, to)
	}
	for _, t := range words.Tokens(text) {
		if words.Means(t.Text, "role:target") {
			limit(t.From, t.To)
		}
	}
	if i := strings.IndexAny(text, "≤≥"); i >= 0 && !h.Limited {
		limit(i, i+len("≤"))
	}
}

// Plain is the text of a heading without what it says of the liquid behind its numbers, and of
// the limit of a reading.
func (h Heading) Plain() string {
	if h.Gravity+h.Drop+h.Path > 0 || h.Limited {
		return h.Bare
	}
	return h.Text
}

// rider notes an amount of a heading that says something of the liquid behind its numbers.
func (h *Heading) rider(a words.Amount, n float64, drops bool) bool {
	v := n * a.Factor
	switch {
	case a.Kind == words.Conc && v >= leastGravity*1e6 && v <= mostGravity*1e6 && a.Factor > 1e5:
		h.Gravity = v / 1e6
	case drops && a.Kind == words.Volume && v >= leastDrop && v <= mostDrop:
		h.Drop = v
	case drops && a.Kind == words.Dropper && v > 0:
		h.Drop = 1 / v
	default:
		return drops && a.Kind == words.Drops && n == 1 // "1 drop = 0.05 mL"
	}
	return true
}

// countsIn reports a heading whose numbers are in a unit of these kinds.
func countsIn(text string, kinds ...words.Kind) bool {
	return slices.ContainsFunc(words.Units(text), func(u words.UnitAt) bool {
		_, counted := words.NumberBefore(text, u.From)
		return !counted && slices.Contains(kinds, u.Kind)
	})
}

// takeGravity notes a density by its name, and takes the name of one that its unit told.
func (h *Heading) takeGravity(masked []byte, blank func(from, to int)) {
	ts := words.Tokens(string(masked))
	for i := range ts {
		for j := min(i+2, len(ts)-1); j >= i; j-- {
			from, to := ts[i].From, ts[j].To
			if !words.Means(string(masked[from:to]), "meta:density") {
				continue
			}
			if m := gravityAfter.FindStringSubmatchIndex(string(masked[to:])); m != nil {
				if x := Numeral(string(masked[to+m[2]:to+m[3]]), DecimalPoint); x.OK() && x.Num >= leastGravity && x.Num <= mostGravity {
					h.Gravity, to = x.Num, to+m[3]
				}
			}
			if h.Gravity > 0 {
				blank(from, to)
			}
			break
		}
	}
}

// lightPath is the length of water that light went through: "per 5 cm", "1/5 cm", "5 cm cell".
var lightPath = words.NewPattern(`(?i)((?:\bper|/|\b1 ?/|\bpro|\bpor|\bpar) ?)?(\d+(?:[.,]\d+)?) ?(cm|mm)\b((?:[ -](?:quartz|optical|path|light|glass))*[ -](?:cells?|cuvettes?|path(?:[ -]?length)?|küvetten?|cubetas?|cuves?|kyvett\w*|cuvett\w*|celda|cella|кювет\pL*))?`)

// takePath notes the path of light in a heading for an absorbance.
func (h *Heading) takePath(text string, blank func(from, to int)) {
	absorbed := slices.ContainsFunc(words.Find(words.Fold(text)), func(x words.Hit) bool { return x.Concept == "reading:"+string(jartest.UV254) })
	m := lightPath.FindStringSubmatchIndex(text)
	if !absorbed || m == nil || m[2] < 0 && m[8] < 0 {
		return
	}
	x := Numeral(strings.Replace(text[m[4]:m[5]], ",", ".", 1), DecimalPoint)
	if !x.OK() || x.Num <= 0 {
		return
	}
	if h.Path = x.Num; strings.EqualFold(text[m[6]:m[7]], "mm") {
		h.Path = x.Num / 10
	}
	blank(m[0], m[1])
}
