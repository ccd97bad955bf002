package sheet

import (
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// surroundings are lines that touch no jar: how warm the air was, and how finely a balance weighs.
var surroundings = []*words.Pattern{
	words.NewPattern(`^(?:room|ambient|air|outside|outdoor|office|raumluft|raum|lufttemperatur|umgebung|ambiente|ambiante?)(?: air)?(?: (?:temperature|temp\.?))?[ :=]*(?:(?:is|was|at) )?-?\d+(?:[.,]\d+)? ?(?:deg(?:rees?)? ?)?°? ?[cf]?$`),
	words.NewPattern(`^(?:scales?|balance|waage)(?: (?:resolution|readability|accuracy|precision|(?:reads? )?to))*[ :=]*(?:± ?)?\d+(?:[.,]\d+)? ?(?:mg|g|kg)$`),
}

// surrounds reports a cell of such a line: the line as a whole, its name or its value.
func surrounds(v layout.View, r, c int) bool {
	cell := func(c int) string { return strings.TrimRight(strings.TrimSpace(v.At(r, c).Text), ":= .") }
	here := cell(c)
	for _, text := range [...]string{here, here + " " + cell(c+1), here + " " + cell(c+1) + " " + cell(c+2), cell(c-1) + " " + here, cell(c-2) + " " + cell(c-1) + " " + here} {
		for _, line := range surroundings {
			if line.MatchString(strings.TrimSpace(words.Fold(text))) {
				return true
			}
		}
	}
	return false
}
