package sheet

import (
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// "Alum (ppm of feed)": feed is the water fed to a plant, and to a keeper of fish what these eat.

// ofFeed is a share of a feed that is not called water.
var ofFeed = words.NewPattern(`\b(?:ppm|mg/l|g/m3|%|l) (?:of |on |in )?(?:the )?feed(?:$|[)\],;:])`)

// feedDoses says of each such column what was taken.
func (m *maker) feedDoses() {
	for _, i := range m.dose {
		if f := m.fs[i]; ofFeed.MatchString(words.Fold(f.Head.Text)) {
			m.b.say(note.Caution, "dose-of-feed", f.Place, "%q is taken for a dose for each litre of the water fed", f.Head.Text).
				do(m.b, `write "mg/L" where that is so, and the dose in mg/L where it is not`)
		}
	}
}
