package sheet

// Remarked is what a remark beside a reading does to it: void takes it out ("spoiled, do not use"), doubt says that something went wrong or asks. It is what the
// same words do to a jar that say nothing of another jar or of its dose, for readers of other tables.
func Remarked(text string) (void, doubt bool) {
	s := say(text)
	if s.meansVoid() {
		return true, false
	}
	return false, remarkTests["question"](&remarkEvidence{saying: s, of: remark{text: text}}) || hitOf(s.hits, "uncertain")
}
