package draw

import (
	"regexp"

	"jarwright/templates/plain"
)

// typeset are signs that paper has and a keyboard does not.
var typeset = [...]struct {
	is *regexp.Regexp
	to string
}{
	{regexp.MustCompile(`(^|[\s(])-(\d)`), "$1−$2"},
	{regexp.MustCompile(`\b(m|ft)3\b`), "$1³"},
	{regexp.MustCompile(`\bCaCO3\b`), "CaCO₃"},
	{regexp.MustCompile(`\bCO2\b`), "CO₂"},
	{regexp.MustCompile(`\bNH3\b`), "NH₃"},
}

// told is words as they stand on paper: on one line, harmless, with a true minus.
func told(text string) string {
	text = plain.Line(text)
	for _, t := range typeset {
		text = t.is.ReplaceAllString(text, t.to)
	}
	return text
}
