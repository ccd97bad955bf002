package sheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"jarwright/jartest/note"
)

// A token more is a word or a unit that nothing has a use for. Wherever it stands in a plain sheet, in front or
// behind, in the heading of the jars, of a dose or of a reading, in a fact or in a target, something at least as
// loud as a caution is said of it: otherwise the sheet would be read to what it may not say.

// tokenSheets are plain and complete: whatever is said of them loudly is said of the token. Cells are parted by
// bars, and a star stands before those that take one.
var tokenSheets = map[string]string{
	"English":    "*Raw turbidity (NTU)|57\n*Target: turbidity <= 3 NTU\n\n*Jar|*Alum (mg/L)|*Turbidity (NTU)|*pH",
	"facts":      "*Raw water: turbidity 57 NTU\n*Stock 10 g/L|*Jars 1 L\n\n*Jar|*Alum stock (mL)|*Turbidity (NTU)|*pH",
	"Chinese":    "*原水浊度|57 NTU\n*目标浊度|3 NTU\n\n杯号|*硫酸铝(mg/L)|*浊度(NTU)|*pH",
	"Chinese ml": "*原水浊度 57 NTU\n*储备液 10 g/L\n*烧杯 1 L\n\n杯号|*硫酸铝储备液(mL)|*浊度(NTU)|*pH",
	"Japanese":   "*原水濁度|57 NTU\n\nジャー|*硫酸アルミニウム(mg/L)|*濁度(NTU)|*pH",
	"Thai":       "*ความขุ่นน้ำดิบ|57 NTU\n\nJar|*สารส้ม (mg/L)|*ความขุ่น (NTU)|*pH",
}

// tokensMore are such words and units, and for scripts without blanks such words of theirs.
var (
	tokensMore = []string{"zwilk", "frobnitz", "kg", "per day", "per jar", "sludge"}
	gluedMore  = map[string][]string{"Chinese": {"差", "昨夜", "备用"}, "Chinese ml": {"旧", "备用"}, "Japanese": {"差", "予備"}, "Thai": {"สำรอง"}}
)

func TestATokenMoreSpeaks(t *testing.T) {
	for name, cells := range tokenSheets {
		plain := strings.ReplaceAll(cells, "*", "")
		before := mustReadAny(t, tokenRows(plain), Options{})
		if len(before.Series) != 1 || len(loud(before)) > 0 {
			t.Fatalf("%s: %d series, %v", name, len(before.Series), before.Notes)
		}
		for at := range strings.Count(cells, "*") {
			for _, more := range tokensMore {
				if !plainThere(strings.Split(cells, "*")[at+1], more) {
					tokenSpeaks(t, name, cells, at, more, " ")
				}
			}
			for _, more := range gluedMore[name] {
				tokenSpeaks(t, name, cells, at, more, "")
			}
		}
	}
}

// plainThere reports a token that a cell may have: a dose, a stock, a volume and a target are those of each jar, and the labels of
// the jars are not understood by words, but have no unit.
func plainThere(cell, more string) bool {
	switch more {
	case "per jar":
		return strings.HasPrefix(cell, "Target") || strings.Contains(cell, "mg/L") || strings.Contains(cell, "mL") || strings.Contains(cell, " L") || strings.Contains(cell, "g/L")
	case "kg", "per day":
		return false
	}
	return strings.HasPrefix(cell, "Jar|")
}

// tokenSpeaks puts a token behind and before the words of a starred cell: it stands with the name, in front of the
// bracket with the unit.
func tokenSpeaks(t *testing.T, name, cells string, at int, more, blank string) {
	t.Helper()
	parts := strings.Split(cells, "*")
	cell := parts[at+1]
	end := strings.IndexAny(cell, "|\n")
	if end < 0 {
		end = len(cell)
	}
	text, after := cell[:end], cell[end:]
	word := len(strings.TrimRight(strings.SplitN(text, "(", 2)[0], " "))
	for _, mutant := range []string{text[:word] + blank + more + text[word:], more + blank + text} {
		with := slices.Clone(parts)
		with[at+1] = mutant + after
		r, err := Read("t.csv", strings.NewReader(tokenRows(strings.Join(with, ""))), Options{})
		heard := err != nil || slices.ContainsFunc(r.Notes, func(n note.Note) bool { return n.Level >= note.Caution })
		if !heard {
			t.Errorf("%s: nothing is said of %q: %v", name, mutant, r.Notes)
		}
	}
}

// tokenRows gives a sheet with its four jars as CSV.
func tokenRows(top string) string {
	var b strings.Builder
	for _, line := range strings.Split(top, "\n") {
		fmt.Fprintf(&b, `"%s"`+"\n", strings.ReplaceAll(line, "|", `","`))
	}
	for i, row := range []string{"10,40,7.2", "20,22,7.1", "30,9,7", "40,4,6.9"} {
		fmt.Fprintf(&b, "%d,%s\n", i+1, row)
	}
	return b.String()
}
