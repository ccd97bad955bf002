package sheet

import (
	"math"
	"slices"
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
		if u.Kind == words.Conc && h.reading == "" && h.stage != "after" && len(m.rows) > 2 && b.constant(m.t, f.c) {
			b.say(note.Caution, "column-unknown", f.place, "column %q is the same for every jar, and nothing says whether it was dosed or read; it is kept as a reading", h.text).
				do(b, `if it was dosed, say so with --column "%s=dose mg/L"`, h.text)
		}
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
	if len(slices.Compact(slices.Sorted(slices.Values(h.readings)))) > 1 && reading || reading && f.key.Known() && h.chem != "" && f.part == "" && u.Kind == words.Conc {
		b.say(note.Caution, "heading-twofold", f.place, "the heading %q names more than one thing; the column is taken for %s", h.text, f.key.Info().Label).
			do(b, `say what it is with --column "%s=…"`, h.text)
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
		if mean := b.meanOf(t, d, out); mean {
			b.say(note.Caution, "row-not-a-jar", d.labelAt, "row %q gives the means of the jars above it and was left out", clip(d.label)).do(b, "if it is a jar, give it a number like the others")
			continue
		}
		if word := strangeLabel(d.label); d.hasLabel && !plainLabel(d.label) && !d.control && !d.rawWater && word != "" {
			b.say(note.Caution, "row-not-a-jar", d.labelAt, "row %q is labelled otherwise than the jars (%q) and was left out", clip(d.label), word).do(b, "if it is a jar, give it a number like the others")
			continue
		}
		out = append(out, d)
	}
	return out
}

// meanOf reports a row whose every number is the mean of the rows above it.
func (b *bench) meanOf(t *table, d dataRow, above []dataRow) bool {
	if len(above) < 3 || plainLabel(d.label) {
		return false
	}
	n := 0
	for _, f := range b.byTable[t] {
		if f.role != asDose && f.role != asStock && f.role != asReading {
			continue
		}
		v := parseValue(t.v.at(d.r, f.c), b.dec(t))
		if !v.ok() {
			continue
		}
		var all []float64
		for _, o := range above {
			if x := parseValue(t.v.at(o.r, f.c), b.dec(t)); x.ok() {
				all = append(all, x.num)
			}
		}
		if len(all) != len(above) || math.Abs(mean(all)-v.num) > 0.006*math.Abs(v.num)+1e-9 {
			return false
		}
		n++
	}
	return n >= 2
}

// plainLabel reports a number, a letter or a short code, with or without a word for
// jar, and nothing else: digits number a jar only where no word is left.
func plainLabel(s string) bool {
	f := strings.Trim(words.Fold(s), " .:#()-")
	switch f {
	case "", "s", "n", "σ", "x", "x̄": // signs of statistics; S and N do not number jars
		return false
	}
	h := readHeading(s)
	if h.chosen || h.summary || h.next || h.old || h.target || h.stat != "" || h.control || h.raw || h.filtered || h.place != "" || h.amount {
		return false
	}
	if strangeWords(h.rest) != "" {
		return false
	}
	return h.jar || len([]rune(f)) == 1 || strings.ContainsAny(f, "0123456789")
}

// strangeLabel gives what of a row's label no jar would have: a word that is not
// known, or one that speaks of something else than a jar.
func strangeLabel(s string) string {
	h := readHeading(s)
	wordy := strings.IndexFunc(h.rest, unicode.IsLetter) >= 0
	switch {
	case (h.control || h.raw) && wordy: // a blank of another water
		return h.rest
	case h.stat != "" && !h.jar && !h.replicate:
		return strings.TrimSpace(s)
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

// uncovered gives the words of a text that the vocabulary has no concept for, the
// little ones too.
func uncovered(s string) []string {
	f := words.Fold(s)
	hits := words.Find(f)
	var out []string
	for _, k := range words.Tokens(f) {
		known := false
		for _, x := range hits {
			known = known || k.From >= x.From && k.To <= x.To
		}
		if !known && len([]rune(k.Text)) > 1 && strings.IndexFunc(k.Text, unicode.IsLetter) >= 0 {
			out = append(out, k.Text)
		}
	}
	return out
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

// uncertain reports a remark that puts a jar in doubt.
func uncertain(text string) bool {
	for _, x := range words.Find(words.Fold(text)) {
		if x.Concept == "uncertain" && x.Near == "" {
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
		if x.Kind != textual {
			continue
		}
		if !voids(x.Text) {
			if uncertain(x.Text) {
				m.b.say(note.Caution, "remark", m.t.v.placeAt(d.r, f.c), "the remark %q puts jar %q in doubt; it was kept", clip(x.Text), orWord(j.Label, d.labelAt.Cell)).do(m.b, `write "discard" if it does not count`)
			}
			continue
		}
		m.b.say(note.Caution, "jar-voided", m.t.v.placeAt(d.r, f.c), "jar %q was left out because of its remark %q", orWord(j.Label, d.labelAt.Cell), clip(x.Text)).do(m.b, "take the remark away if the jar counts")
		return true
	}
	return false
}
