package sheet

import (
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
)

// answers looks at the columns that say yes or no of every jar. One that parts a few
// jars from the others may say which of them count, or what they got: it speaks, unless
// its heading asks for what is seen in a jar or for a target that was met.
func (b *bench) answers(t *layout.Table, fs []field) {
	for i := range fs {
		f := &fs[i]
		split, all := b.yesAndNo(t, *f)
		filled := len(split["yes"]) + len(split["no"])
		if !all || filled < 3 || f.rated() {
			continue
		}
		few := split["no"]
		if len(few) == 0 || len(few)*2 > filled {
			few = split["yes"]
		}
		if f.role == asTarget {
			f.role = asNote // whether it was met, not what it is
		}
		if f.role == asDose && f.numbers > 0 || len(few) == 0 || len(few) == filled || f.seen() {
			continue
		}
		const says = "column %q says %s, unlike the other jars; all jars were kept, and it was not used"
		b.say(note.Caution, "answers", f.Place, says, f.Head.Text, clip(strings.Join(few, ", "))).
			do(b, `write "discard" beside a jar that does not count, or give a dose as a number`)
	}
}

// yesAndNo gives the cells of a column that say yes and those that say no; all is false
// where one says something else.
func (b *bench) yesAndNo(t *layout.Table, f field) (split map[string][]string, all bool) {
	split = map[string][]string{}
	for _, r := range t.Rows {
		x := t.View.At(r, f.C)
		if x.Blank() {
			continue
		}
		a := ""
		if len(x.Text) <= longAnswer {
			a = yesNo(x.Text)
		}
		if a == "" {
			return nil, false
		}
		split[a] = append(split[a], x.Text+" at "+t.View.PlaceAt(r, f.C).Cell)
	}
	return split, true
}

// longAnswer is the length in bytes above which a text is more than yes or no.
const longAnswer = 30

// rated reports a column whose 0 and 1 are figures.
func (f *field) rated() bool {
	return f.numbers > 0 && (f.key.Known() || f.role != asReading && f.role != asIgnored && f.role != asNote)
}

// seen reports a heading that asks for what is seen in a jar, or whether a target was met;
// "OK" and "valid" ask whether the jar counts.
func (f *field) seen() bool {
	h := f.Head
	observed := h.Chem == "" && !say(h.Text).is("yes") && len(say(h.Text).left(places.remark)) == 0
	return observed || h.Target || h.Reading != "" || h.Filtered || h.Replicate || h.Text == ""
}

// yesNo gives "yes" or "no" for a text that is one of the two.
func yesNo(text string) string {
	switch s := say(text); {
	case s.text == "1" || s.is("yes"):
		return "yes"
	case s.text == "0" || s.is("no"):
		return "no"
	}
	return ""
}
