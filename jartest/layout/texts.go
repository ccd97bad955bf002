package layout

import (
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/words"
)

// Text is what stands in a cell, without blanks around it.
func Text(c grid.Cell) string { return strings.TrimSpace(c.Text) }

// Beside gives the column of the value right of a name: past the name's merged
// cells and up to two empty ones. It is false for a heading over facts.
func Beside(v View, r, c int) (int, bool) {
	k := c + 1
	if m, ok := v.MergedAt(r, c); ok {
		if m.C1-m.C0 >= 3 {
			return 0, false
		}
		k = m.C1 + 1
	}
	for skip := 0; skip < 2 && v.At(r, k).Blank(); skip++ {
		k++
	}
	return k, true
}

var (
	basisKey = words.NewPattern(`\b(?:basis|dose counts|doses count|expressed as|dose as|doses as|dosis als|dosen als|bezugsgrosse|grundlage|dasar)\b|^(?:base|bazis|baz|podstawa|zaklad|dasar|co so|базис|основа|أساس|الأساس)$|基准|基準|기준|ฐาน`)
	colonKey = words.NewPattern(`^([^:=]{2,40})\s*[:=]\s*(.*)$`)
)

// Keyed takes a text such as "Stock: 10 g/L" apart.
func Keyed(text string) (key, value string, ok bool) {
	m := colonKey.FindStringSubmatch(text)
	if m == nil {
		return "", "", false
	}
	if sign := strings.IndexAny(text, ":="); sign > 0 && sign+1 < len(text) && text[sign] == ':' && isDigit(text[sign-1]) && isDigit(text[sign+1]) {
		return "", "", false // "36 NTU at 8:00", "1:10"
	}
	return m[1], strings.TrimSpace(m[2]), true
}

// NamesBasis reports words that stand before what a dose counts.
func NamesBasis(text string) bool { return basisKey.MatchString(words.Fold(text)) }
