package sheet

import (
	"jarwright/jartest"
	"jarwright/jartest/note"
)

// oneDose speaks of a series whose jars all got the same of every chemical, with nothing else set
// apart on purpose: no curve can be drawn of it.
func (b *bench) oneDose(series []jartest.Series) {
	for _, s := range series {
		if len(s.Jars) < 2 || !alikeDosed(s.Jars) {
			continue
		}
		b.say(note.Caution, "one-dose", s.Place, "all %d jars of %q got the same dose: this is no test of doses", len(s.Jars), s.Name).
			do(b, "if the jars stand apart in the sheet, point at the table with --range, or leave out what parts them with --column \"heading=ignore\"")
	}
}

// alikeDosed reports jars with the same doses and settings.
func alikeDosed(jars []jartest.Jar) bool {
	first := jars[0]
	for _, j := range jars[1:] {
		for k := range j.Doses {
			if k >= len(first.Doses) || j.Doses[k].Known != first.Doses[k].Known || j.Doses[k].Concentration != first.Doses[k].Concentration {
				return false
			}
		}
		for name, x := range j.Settings {
			if was, ok := first.Settings[name]; !ok || was != x {
				return false
			}
		}
	}
	return len(first.Doses) > 0
}
