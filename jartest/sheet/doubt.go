package sheet

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
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
	if time := rate(f); time != "" {
		b.say(note.Error, "dose-unit", f.Place, "column %q gives amounts for each %s, which is a rate and no dose", h.Text, time).do(b, "write the dose in mg/L, or the volume of stock for each jar")
		return false
	}
	left := spare(f)
	if slices.ContainsFunc(left, layout.Piece.Factor) {
		b.say(note.Error, "factor-in-heading", f.Place, "the heading %q has a factor (%s), and nothing says whether it was applied", h.Text, textsOf(left)).
			do(b, `write the values and their unit without it, or say what the numbers are with --column "%s=%s"`, h.Text, want)
		return false
	}
	if len(left) > 0 && f.part == "" && !f.rep && !h.Said {
		what := "the dose of " + orWord(f.chem, "the chemical")
		if reading {
			what = f.key.Info().Label
		}
		b.say(note.Caution, "heading-words", f.Place, "%q in the heading %q is not understood; the column is taken for %s", textsOf(left), h.Text, what).
			do(b, `if it is something else, say so with --column "%s=…"`, h.Text)
	}
	return true
}

// otherRows finds the rows that are labelled otherwise than the jars of a table whose
// labels are numbers or letters: each is no jar until somebody says so.
func (b *bench) otherRows(t *layout.Table, rows []dataRow) []dataRow {
	plain := 0
	for _, d := range rows {
		if d.hasLabel && plainLabel(d.label) {
			plain++
		}
	}
	if plain < 3 || plain*2 < len(rows) {
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
func (b *bench) meanOf(t *layout.Table, d dataRow, above []dataRow) bool {
	if len(above) < 3 || plainLabel(d.label) {
		return false
	}
	n := 0
	for _, f := range b.byTable[t] {
		if f.role != asDose && f.role != asStock && f.role != asReading {
			continue
		}
		v := layout.ParseValue(t.View.At(d.r, f.C), b.dec(t))
		if !v.OK() {
			continue
		}
		var all []float64
		for _, o := range above {
			if x := layout.ParseValue(t.View.At(o.r, f.C), b.dec(t)); x.OK() {
				all = append(all, x.Num)
			}
		}
		if len(all) != len(above) || math.Abs(layout.Mean(all)-v.Num) > 0.006*math.Abs(v.Num)+1e-9 {
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
	h := layout.ReadHeading(s)
	if h.Chosen || h.Summary || h.Next || h.Old || h.Target || h.Stat != "" || h.Control || h.Raw || h.Filtered || h.Place != "" || h.Amount {
		return false
	}
	if strangeWords(h.Rest) != "" {
		return false
	}
	return h.Jar || len([]rune(f)) == 1 || strings.ContainsAny(f, "0123456789")
}

// strangeLabel gives what of a row's label no jar would have: a word that is not
// known, or one that speaks of something else than a jar.
func strangeLabel(s string) string {
	h := layout.ReadHeading(s)
	switch {
	case (h.Control || h.Raw) && len(uncovered(s)) > 0: // a blank of another water
		return strings.Join(uncovered(s), " ")
	case h.Stat != "" && !h.Jar && !h.Replicate:
		return strings.TrimSpace(s)
	case h.Control || h.Raw || h.Replicate || h.Jar && h.Rest == "":
		return ""
	case h.Chem != "" || h.Amount:
		return "" // named by what it got
	case h.Rest != "":
		return h.Rest
	case h.Filtered || h.Chosen || h.Summary || h.Next || h.Old || h.Stat != "" || h.Target || h.Test || h.Stage != "":
		return strings.TrimSpace(s)
	case strings.IndexFunc(s, unicode.IsLetter) >= 0 && !h.Jar:
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
		x := m.t.View.At(d.r, f.C)
		if x.Kind != grid.Textual {
			continue
		}
		if !voids(x.Text) {
			if uncertain(x.Text) {
				m.b.say(note.Caution, "remark", m.t.View.PlaceAt(d.r, f.C), "the remark %q puts jar %q in doubt; it was kept", clip(x.Text), orWord(j.Label, d.labelAt.Cell)).do(m.b, `write "discard" if it does not count`)
			}
			continue
		}
		m.b.say(note.Caution, "jar-voided", m.t.View.PlaceAt(d.r, f.C), "jar %q was left out because of its remark %q", orWord(j.Label, d.labelAt.Cell), clip(x.Text)).do(m.b, "take the remark away if the jar counts")
		return true
	}
	return false
}
