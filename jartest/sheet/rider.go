package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// rides are the remarks on a fact that scales doses: what stands behind it in brackets, or behind
// a comma at the end.
var rides = words.NewPattern(`[(\[][^()\[\]]{2,80}[)\]]|, ?[^,;()\[\]]{2,80}$`)

// preparedOn is a day without its year, or the number of a batch, behind a word for making.
var preparedOn = words.NewPattern(`\b\d{1,2}[/.]\d{1,2}\b|\b(?:batch|lot|charge|lote|no|nr)\.? ?\d+\b|\b\d{1,2} ?°? ?c\b`)

// ageOf is how long ago a stock was made.
var ageOf = words.NewPattern(`\b\d{1,3} ?(?:h|hours?|d|days?|weeks?) old\b`)

// riders takes the remarks on facts that scale doses by the words of which each is made: those
// that only say how and when a stock was prepared are understood; any other is quoted. One with
// amounts of its own is left to the rules for those.
func (h *held) riders() {
	if !scalingFact(h.facts) {
		return
	}
	h.blank(ageOf.FindAllStringIndex(h.text, -1)...)
	if h.any(func(x fact) bool { return x.kind == factDensity }) {
		h.blank(densitiesIn(h.text)...)
	}
	for _, m := range rides.FindAllStringIndex(string(h.mask), -1) {
		if strings.Trim(string(h.mask[m[0]:m[1]]), "()[], ") == "" {
			continue // it is known already
		}
		said := strings.Trim(h.text[m[0]:m[1]], "()[], ")
		rest := preparedOn.ReplaceAllString(said, " ")
		switch {
		case len(h.amounts) == 0 || m[0] < h.amounts[0].To: // its name
		case strings.ContainsAny(rest, "0123456789=:/"), len(words.Units(rest)) > 0, dilutedWord.MatchString(rest):
		case prepares(rest):
			h.blank(m)
		default:
			h.add(said, false)
			h.blank(m)
		}
	}
}

// prepares reports a remark of words for how a stock is made and kept, and for what the fact
// itself names.
func prepares(f string) bool {
	var known []words.Hit
	for _, x := range words.Find(f) {
		if holds("stop chem metal role:stock role:jar role:chemical role:neat meta:all meta:product meta:strength meta:volume meta:operator role:date", x.Concept) {
			known = append(known, x)
		}
	}
	if doubting.MatchString(asMeant.ReplaceAllString(f, "")) { // a nominal strength is that of the label
		return false
	}
	by, done := false, false // before a name: "prepared by Ana", and not "by eye"
	for _, t := range words.Tokens(f) {
		_, species := words.Species(t.Text)
		named := by || slices.ContainsFunc(known, func(x words.Hit) bool { return x.From <= t.From && t.To <= x.To })
		by = done && spoken()["made by"].has(t.Text)
		done = spoken()["preparing"].has(t.Text)
		if !named && !by && !species && !spoken()["preparing"].has(t.Text) && !layout.IsFigure(t.Text) {
			return false
		}
	}
	return true
}
