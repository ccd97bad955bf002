package sheet

import (
	"slices"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// setAsideAs says what a column of a reading that is not one of the jars was taken for.
func setAsideAs(h layout.Heading) string {
	switch {
	case h.Target || h.Bounded:
		return "a limit or a target"
	case h.Stat != "":
		return "a figure worked out of readings"
	case h.Raw || h.Stage == "before":
		return "the raw water"
	}
	return ""
}

// readingsSetAside asks about a table that has doses and whose only columns of readings were set aside, and
// says for what they were taken.
func (b *bench) readingsSetAside() bool {
	asked := false
	for _, t := range b.tables {
		fs := b.byTable[t]
		if !slices.ContainsFunc(fs, func(f field) bool { return f.dosed() && f.numbers > 0 }) || slices.ContainsFunc(fs, field.reads) {
			continue
		}
		for _, f := range fs {
			what := setAsideAs(f.Head)
			if what == "" || f.Head.Reading == "" || f.numbers == 0 {
				continue
			}
			asked = true
			b.say(note.Error, "readings-aside", f.Place, "column %q is taken for %s, and the jars of this table have no other reading", f.Head.Text, what).
				do(b, `give the readings of the jars a column of their own, or say that they are these with --column "%s=%s"`, f.header(), f.Head.Reading)
		}
	}
	return asked
}
