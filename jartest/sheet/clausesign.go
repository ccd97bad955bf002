package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/words"
)

// clauseSigns part what a text says. The brackets around the oxidation state of a metal part
// nothing: they stand within a name, "Eisen(III)-chlorid".
type clauseSigns struct{ signs *words.Pattern }

var (
	oxidationState = words.NewPattern(`(?i)\pL\((?:i{1,3}|iv|vi{0,2})\)`)
	nameBrackets   = strings.NewReplacer("(", "\x01", ")", "\x02")
)

// FindAllStringIndex gives where the signs stand.
func (c clauseSigns) FindAllStringIndex(text string, n int) [][]int {
	return c.signs.FindAllStringIndex(oxidationState.ReplaceAllStringFunc(text, nameBrackets.Replace), n)
}

// Split gives what stands between the signs, at most n parts where n is not below 0.
func (c clauseSigns) Split(text string, n int) []string {
	var out []string
	from := 0
	for _, m := range c.FindAllStringIndex(text, -1) {
		if n >= 0 && len(out) == n-1 {
			break
		}
		out, from = append(out, text[from:m[0]]), m[1]
	}
	return slices.Clip(append(out, text[from:]))
}
