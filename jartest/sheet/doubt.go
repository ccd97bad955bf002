package sheet

import (
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// headingUnderstood speaks of what stands in the heading of a dose or reading and was
// not understood. It gives false where the numbers below cannot be taken for what the
// heading says.
func (m *maker) headingUnderstood(f field) bool {
	b, h := m.b, f.head
	u := h.unit
	reading := f.role == asReading
	want := "dose mg/L"
	if reading {
		want = string(f.key)
	}
	switch {
	case u.Left != "":
		b.say(note.Error, "unit-not-understood", f.place, "%q in the heading %q is not understood, so the unit is not known", u.Left, h.text).
			do(b, `write the unit plainly, such as "mg/L" or "mg/500 mL", or state it with --column "%s=%s"`, h.text, want)
		return false
	case reading && !f.key.Known():
		return true
	case u.Scale != "" || h.scale != "":
		b.say(note.Error, "transformed", f.place, "column %q does not hold the values themselves (%s)", h.text, u.Scale+h.scale).do(b, "write the values, not their logarithms or roots")
		return false
	case u.Times != 0:
		b.say(note.Error, "factor-in-heading", f.place, "the heading %q has a factor of %s, and nothing says whether it was applied", h.text, trimFloat(u.Times)).
			do(b, `write the values and their unit without it, or say what the numbers are with --column "%s=%s"`, h.text, want)
		return false
	}
	if len(h.chems) > 1 {
		b.say(note.Caution, "mixture", f.place, "column %q names %s; it is taken for the dose of the two together, not of the first", h.text, strings.Join(h.chems, " and ")).
			do(b, "give each chemical a column of its own")
	}
	if h.rest != "" && f.part == "" && !f.rep && (reading || f.head.chem != "") {
		what := "the dose of " + f.chem
		if reading {
			what = f.key.Info().Label
		}
		b.say(note.Caution, "heading-words", f.place, "%q in the heading %q is not understood; the column is taken for %s", h.rest, h.text, what).
			do(b, `if it is something else, say so with --column "%s=…"`, h.text)
	}
	return true
}

// otherRows finds the rows that are labelled otherwise than the jars of a table whose
// labels are numbers or letters: each is no jar until somebody says so.
func (b *bench) otherRows(t *table, rows []dataRow) []dataRow {
	plain := 0
	for _, d := range rows {
		if d.hasLabel && plainLabel(d.label) {
			plain++
		}
	}
	if plain < 3 || plain*10 < len(rows)*6 {
		return rows
	}
	var out []dataRow
	for _, d := range rows {
		if word := strangeLabel(d.label); d.hasLabel && !plainLabel(d.label) && !d.control && !d.rawWater && word != "" {
			b.say(note.Caution, "row-not-a-jar", d.labelAt, "row %q is labelled otherwise than the jars (%q) and was left out", clip(d.label), word).do(b, "if it is a jar, give it a number like the others")
			continue
		}
		out = append(out, d)
	}
	return out
}

// plainLabel reports a number, a letter or a short code, with or without a word for jar.
func plainLabel(s string) bool {
	h := readHeading(s)
	if h.chosen || h.summary || h.next || h.old || h.target || h.stat != "" || h.control || h.raw {
		return false
	}
	if counted := len(words.Tokens(words.Fold(s))) == 2 && strings.ContainsAny(words.Fold(s), "0123456789"); !counted && len([]rune(h.rest)) > 2 && strings.IndexFunc(h.rest, unicode.IsDigit) < 0 {
		return false // one word and a number may be "jar 6" in a language that is not known
	}
	f := strings.Trim(words.Fold(s), " .:#()-")
	switch f {
	case "":
		return false
	case "s", "n", "σ", "x", "x̄": // signs of statistics; S and N do not number jars
		return false
	}
	return len([]rune(f)) == 1 || strings.ContainsAny(f, "0123456789")
}

// strangeLabel gives what of a row's label no jar would have: a word that is not
// known, or one that speaks of something else than a jar.
func strangeLabel(s string) string {
	h := readHeading(s)
	wordy := strings.IndexFunc(h.rest, unicode.IsLetter) >= 0
	switch {
	case (h.control || h.raw) && wordy: // a blank of another water
		return h.rest
	case h.control || h.raw || h.replicate || h.jar && h.rest == "":
		return ""
	case h.chem != "" || h.amount:
		return "" // named by what it got
	case h.rest != "":
		return h.rest
	case h.filtered || h.chosen || h.summary || h.next || h.old || h.stat != "" || h.target || h.test || h.stage != "":
		return strings.TrimSpace(s)
	case strings.IndexFunc(s, unicode.IsLetter) >= 0 && !h.jar:
		return s
	}
	return ""
}

// voids reports a remark that takes a jar out of the test.
func voids(text string) bool {
	for _, x := range words.Find(words.Fold(text)) {
		if x.Concept == "void" {
			return true
		}
	}
	return false
}

// voided speaks of jars whose remark says that they do not count.
func (m *maker) voided(d dataRow, j *jartest.Jar) bool {
	for _, f := range m.fs {
		if f.role != asNote {
			continue
		}
		x := m.t.v.at(d.r, f.c)
		if x.Kind != textual || !voids(x.Text) {
			continue
		}
		m.b.say(note.Caution, "jar-voided", m.t.v.placeAt(d.r, f.c), "jar %q was left out because of its remark %q", orWord(j.Label, d.labelAt.Cell), clip(x.Text)).do(m.b, "take the remark away if the jar counts")
		return true
	}
	return false
}
