package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// headingUnderstood speaks of what stands in the heading of a dose or reading and was
// not understood. It gives false where the numbers below cannot be taken for what the
// heading says.
func (m *maker) headingUnderstood(f field) bool {
	b, h := m.b, f.Head
	u := h.Unit
	reading := f.role == asReading
	want := "dose mg/L"
	if reading {
		want = string(f.key)
	}
	switch {
	case u.Left != "":
		b.say(note.Error, "unit-not-understood", f.Place, "%q in the heading %q is not understood, so the unit is not known", u.Left, h.Text).
			do(b, `write the unit plainly, such as "mg/L" or "mg/500 mL", or state it with --column "%s=%s"`, h.Text, want)
		return false
	case reading && !f.key.Known():
		if u.Kind == words.Conc && h.Reading == "" && h.Stage != "after" && len(m.rows) > 2 && b.constant(m.t, f.C) {
			b.say(note.Caution, "column-unknown", f.Place, "column %q is the same for every jar, and nothing says whether it was dosed or read; it is kept as a reading", h.Text).
				do(b, `if it was dosed, say so with --column "%s=dose mg/L"`, h.Text)
		}
		return true
	case u.Scale != "" || h.Scale != "":
		b.say(note.Error, "transformed", f.Place, "column %q does not hold the values themselves (%s)", h.Text, u.Scale+h.Scale).do(b, "write the values, not their logarithms or roots")
		return false
	case u.Times != 0:
		b.say(note.Error, "factor-in-heading", f.Place, "the heading %q has a factor of %s, and nothing says whether it was applied", h.Text, trimFloat(u.Times)).
			do(b, `write the values and their unit without it, or say what the numbers are with --column "%s=%s"`, h.Text, want)
		return false
	}
	if len(h.Chems) > 1 {
		b.say(note.Caution, "mixture", f.Place, "column %q names %s; it is taken for the dose of the two together, not of the first", h.Text, strings.Join(h.Chems, " and ")).
			do(b, "give each chemical a column of its own")
	}
	if len(slices.Compact(slices.Sorted(slices.Values(h.Readings)))) > 1 && reading || reading && f.key.Known() && h.Chem != "" && f.part == "" && u.Kind == words.Conc {
		b.say(note.Caution, "heading-twofold", f.Place, "the heading %q names more than one thing; the column is taken for %s", h.Text, f.key.Info().Label).
			do(b, `say what it is with --column "%s=…"`, h.Text)
	}
	if h.Rest != "" && f.part == "" && !f.rep && (reading || f.Head.Chem != "") {
		what := "the dose of " + f.chem
		if reading {
			what = f.key.Info().Label
		}
		b.say(note.Caution, "heading-words", f.Place, "%q in the heading %q is not understood; the column is taken for %s", h.Rest, h.Text, what).
			do(b, `if it is something else, say so with --column "%s=…"`, h.Text)
	}
	return true
}
