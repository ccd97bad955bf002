package plain

import "regexp"

// typeset are signs that paper has and a keyboard does not, and signs that are better told in words.
var typeset = [...]struct {
	is *regexp.Regexp
	to string
}{
	{regexp.MustCompile(`(^|[\s(])-(\d)`), "$1−$2"},
	{regexp.MustCompile(`\b(m|ft)3\b`), "$1³"},
	{regexp.MustCompile(`\b(m|ft)2\b`), "$1²"},
	{regexp.MustCompile(`\bCaCO3\b`), "CaCO₃"},
	{regexp.MustCompile(`\bCO2\b`), "CO₂"},
	{regexp.MustCompile(`\bNH3\b`), "NH₃"},
	{regexp.MustCompile(`\bAl2O3\b`), "Al₂O₃"},
	{regexp.MustCompile(`(\d) C\b`), "$1 °C"},
	{regexp.MustCompile(`(\d) x (\d)`), "$1 × $2"},
	{regexp.MustCompile(`\s+(?:<=|≤)\s*(\d)`), " at most $1"},
	{regexp.MustCompile(`\s+(?:>=|≥)\s*(\d)`), " at least $1"},
}

// Told is words as they stand on paper: on one line, harmless, with a true minus.
func Told(text string) string {
	text = Line(text)
	for _, t := range typeset {
		text = t.is.ReplaceAllString(text, t.to)
	}
	return text
}

var (
	quoted = regexp.MustCompile("`([^`]+)`")
	// measure is a number and what it counts; of what follows a number the short words are units.
	measure = regexp.MustCompile(`(\d) (%|°C|NTU|FNU|[A-Z]{3}\b|[µm]?g\b|[µm]?g/|m?L\b|m?L/|kg\b|kg/|lb\b|gal\b|m\b|m[³²/]|ft[³²/]|mm\b|min\b|[hsdW]\b|rpm\b|kWh?\b)`)
)

// Paper is [Told] for a page, which breaks its own lines: a number stays with its unit, and the names of
// commands stand between quotation marks.
func Paper(text string) string {
	text = quoted.ReplaceAllString(Told(text), "“$1”")
	return measure.ReplaceAllString(text, "$1\u00a0$2")
}
