package layout

import (
	"slices"
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

var colonKey = words.NewPattern(`^([^:=]{2,40})\s*[:=]\s*(.*)$`)

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
func NamesBasis(text string) bool {
	f := words.Fold(text)
	ts := words.Tokens(f)
	for i, t := range ts {
		next := ""
		if i+1 < len(ts) && f[t.To:ts[i+1].From] == " " {
			next = ts[i+1].Text
		}
		if after, ok := basisWords[t.Text]; ok && (after == "" || next != "" && strings.Contains(after, "|"+next+"|")) {
			return true
		}
	}
	return basisAlone[f] || strings.ContainsFunc(f, unspacedRune) && slices.ContainsFunc(basisUnspaced, func(w string) bool { return strings.Contains(f, w) })
}

// basisWords are words that stand before what a dose counts, with those of which one has to follow; basisAlone are they only
// where nothing else is said, and basisUnspaced are those of scripts without blanks.
var (
	basisWords = map[string]string{"basis": "", "bezugsgrosse": "", "grundlage": "", "dasar": "", "expressed": "|as|", "dose": "|counts|as|", "doses": "|count|as|", "dosis": "|als|", "dosen": "|als|"}
	basisAlone = map[string]bool{"base": true, "bazis": true, "baz": true, "podstawa": true, "zaklad": true, "co so": true, "базис": true, "основа": true, "أساس": true, "الأساس": true}

	basisUnspaced = []string{"基准", "基準", "기준", "ฐาน"}
)

func unspacedRune(r rune) bool { return r >= 0xe00 }
