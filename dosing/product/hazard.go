package product

import (
	"regexp"
	"slices"
	"strings"

	"jarwright/dosing/table"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
)

// statement finds the code of a hazard statement of the GHS.
var statement = regexp.MustCompile(`\bH[2-4]\d\d\b`)

// statements are the hazard statements in words that fit on a card (GHS, annex 3, shortened).
var statements = table.Rows(`
H290 | corrodes metal
H302 | harmful if swallowed
H314 | burns skin and eyes
H315 | irritates skin
H317 | may cause skin allergy
H318 | serious eye damage
H319 | irritates eyes
H335 | irritates the airways
H400 | very toxic to water life
H410 | very toxic to water life for long
H411 | toxic to water life for long
H412 | harmful to water life for long
`)

// Danger is what a product does to people, in words without codes: for a card that
// somebody reads who has a drum in his hands.
func (p Product) Danger() note.Phrase {
	text := p.Hazard.Text
	if codes, words, ok := strings.Cut(text, ": "); ok && statement.MatchString(codes) {
		return quantity.Told(words, nil)
	}
	codes := statement.FindAllString(text, -1)
	if codes == nil {
		return p.Hazard.Told()
	}
	var words []string
	for _, f := range statements {
		if slices.Contains(codes, f[0]) {
			words = append(words, f[1])
		}
	}
	return note.Say("%s", strings.Join(words, ", "))
}
