package sheet

import (
	"math"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

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
