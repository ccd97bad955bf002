package layout

import (
	"cmp"
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/quantity"
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
	for _, m := range emptyBrackets.FindAllStringIndex(string(masked), -1) {
		blank(m[0], m[1])
	}
	if h.Gravity > 0 && !countsIn(string(masked), words.Volume, words.Volper, words.Drops) { // a fact, not a column of volumes
		h.Gravity = 0
	}
	if h.Gravity+h.Drop+h.Path == 0 {
		return text
	}
	h.Density = h.Gravity > 0
	h.Bare = string(masked)
	return h.Bare
}

// Plain is the text of a heading without what it says of the liquid behind its numbers.
func (h Heading) Plain() string {
	if h.Gravity+h.Drop+h.Weight+h.Path > 0 || h.Bounded {
		return h.Bare
	}
	return h.Text
}

// Stated is what the user says that the column holds, else Plain.
func (h Heading) Stated() string { return cmp.Or(h.Meaning, h.Plain()) }

// boundAtEnd is a number behind a name or a sign at the end of a heading, in brackets or not.
var boundAtEnd = words.NewPattern(`[\s,;:–-]*[(\[（［]?[\s,;]*(\pL[\pL\pM .]*?)?[\s:=]*(<=|>=|[<>≤≥])?\s*(\d+(?:[.,]\d+)?)\s*([\pL%][^\d()\[\]（）［］]*)?[)\]）］]?$`)

// numbersRow is a label that numbers a row, "S-1", and no second to the power of -1.
var numbersRow = words.NewPattern(`^\s*[A-Z]-\d{1,3}\s*$`)

// ColumnHeading reads the heading of a column: a limit or target that it states of its reading, or
// what that was in the raw water, is a remark on it, and the column holds what was read.
func ColumnHeading(text string) Heading {
	h := ReadHeading(text)
	if !strings.ContainsAny(text, "0123456789") || len(text) > longHeading {
		return h
	}
	if numbersRow.MatchString(text) {
		h.Unit = words.Unit{}
		return h
	}
	m := boundAtEnd.FindStringSubmatchIndex(text)
	if m == nil || m[0] == 0 {
		return h
	}
	part := func(i int) string { return text[max(0, m[2*i]):max(0, m[2*i+1])] }
	bare := ReadHeading(text[:m[0]] + closing(text[:m[0]]))
	bracketed := strings.ContainsAny(text[m[0]:], "([（［")
	name, unit := part(1), part(4)
	if name == "" { // "64 NTU in the raw water"
		name, unit = unitFirst(unit)
	}
	named := slices.ContainsFunc(words.Find(words.Fold(name)), func(x words.Hit) bool { return x.Concept == "role:target" && x.From == 0 })
	apart := bracketed || unit != "" || strings.ContainsAny(text[m[0]:], ",;:=–-") // else it numbers the columns of raw water
	ofRaw := apart && part(2) == "" && bare.namesRaw(name)
	if unit != "" && !bare.takeUnit(unit) || !bare.isRead(bracketed) || !(named || ofRaw || name == "" && part(2) != "") {
		return h
	}
	if x := Numeral(strings.Replace(part(3), ",", ".", 1), DecimalPoint); ofRaw && !named {
		bare.Untreated = quantity.Known[float64]{V: x.Num, OK: x.OK()}
	}
	bare.Bare, bare.Bounded, bare.Text = bare.Text, true, h.Text
	return bare
}

// unitFirst parts the unit of a number from the words behind it.
func unitFirst(text string) (name, unit string) {
	us := words.Units(text)
	if len(us) == 0 || us[0].From > 0 {
		return text, ""
	}
	return strings.TrimSpace(text[us[0].To:]), text[:us[0].To]
}

// namesRaw reports words for the raw water and nothing more than the reading of the heading.
func (h Heading) namesRaw(name string) bool {
	of := ReadHeading(name)
	return (of.Raw || of.Stage == "before") && of.Rest == "" && (of.Reading == "" || of.Reading == h.Reading)
}

// takeUnit takes the unit of a bound for that of the reading, where this has none; it is false
// for what is no unit.
func (h *Heading) takeUnit(text string) bool {
	u, unit := words.OnlyUnit(text)
	if unit && !h.Unit.Known() && KeyOfUnit(u) == h.Reading {
		h.Unit = u
	}
	return unit
}

// isRead reports the heading of what was read, with its unit or with a bound in brackets.
func (h Heading) isRead(bracketed bool) bool {
	return h.Reading != "" && !h.Target && !h.Amount && (h.Unit.Known() || h.Reading == jartest.PH || bracketed)
}

// closing is the bracket that a text cut off lacks.
func closing(text string) string {
	for _, b := range [...]string{"()", "[]"} {
		if strings.Count(text, b[:1]) > strings.Count(text, b[1:]) {
			return b[1:]
		}
	}
	return ""
}

// rider notes an amount of a heading that says something of the liquid behind its numbers.
func (h *Heading) rider(a words.Amount, n float64, drops bool) bool {
	v := n * a.Factor
	switch {
	case a.Kind == words.Conc && v >= leastGravity*1e6 && v <= mostGravity*1e6 && a.Factor > 1e5:
		h.Gravity = v / 1e6
	case drops && (a.Kind == words.Volume || a.Dimensions == "volume/drops") && v >= leastDrop && v <= mostDrop: // "0.05 mL per drop"
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
