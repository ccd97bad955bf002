package sheet

import (
	"math"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A line "pH 7.4" and nothing else can be of the raw water, or say what the jars below it were held at. Over one of
// several groups of jars it is that of the group.

// onlyPH is a folded text that is a pH and nothing more.
var onlyPH = words.NewPattern(`^ph ?(\d{1,2}(?:[.,]\d+)?)$`)

// pHAlone takes such a line for the raw water's where the jar without a dose reads as much, and asks otherwise.
func (b *bench) pHAlone(line fact) bool {
	m := onlyPH.FindStringSubmatch(words.Fold(strings.TrimSpace(line.text)))
	t := b.owner(line)
	if m == nil || t == nil || t.TitleAt != line.at && line.r > t.HeadTop || t.Under() {
		return false
	}
	for _, o := range b.tables {
		if o != t && o.Area() == t.Area() && onlyPH.MatchString(words.Fold(strings.TrimSpace(o.Title))) {
			return false
		}
	}
	x := layout.Numeral(m[1], b.decimals[line.g])
	if first, ok := b.firstPH(t); ok && x.OK() && math.Abs(first-x.Num) <= mostDrift {
		line.kind, line.key, line.value, line.state = factRaw, jartest.PH, x.Num, layout.Number
		b.facts = append(b.facts, line)
		return true
	}
	b.say(note.Caution, "ph-alone", line.at, "%q can be the pH of the raw water, or that of all jars; it was not taken", line.text).
		do(b, `write "Raw pH" or "All jars at pH" with the number`)
	return true
}

// firstPH gives the pH that a table reads in its first jar, where that got no dose.
func (b *bench) firstPH(t *layout.Table) (float64, bool) {
	ph, dosed := math.NaN(), false
	for _, c := range t.Cols {
		v := layout.ParseValue(t.View.At(t.Rows[0], c.C), b.dec(t))
		switch {
		case c.Head.Reading == jartest.PH && v.OK():
			ph = v.Num
		case c.Head.DoseLike() && v.OK() && v.Num > 0:
			dosed = true
		}
	}
	return ph, !dosed && !math.IsNaN(ph)
}
