package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// rawOfAnother speaks of a reading of the raw water whose own day or numbered place is not that
// of the test.
func (m *maker) rawOfAnother() {
	facts := m.b.near(m.t, factRaw)
	for _, key := range jartest.KindsOf(m.s.Raw) {
		i := slices.IndexFunc(facts, func(x fact) bool { return x.key == key && x.at == m.s.Raw[key].At })
		if i < 0 || m.b.cautioned(facts[i].at) {
			continue
		}
		x := facts[i]
		own, rest := m.b.saidWith(x)
		day, testDay := apartIn(daysNamed(own), m.testDays(x, rest), layout.SameDay)
		place, testPlace := apartIn(placesNamed(own), m.named(x, rest, placesNamed), func(a, b string) bool { return a == b })
		for _, of := range [...][2]string{{day, testDay}, {place, testPlace}} {
			if of[0] != "" {
				m.b.say(note.Caution, "raw-of-another", x.at, "%q gives %s of the raw water of %s, and the test is of %s; it was taken", clip(x.text), key.Info().Label, of[0], of[1]).
					do(m.b, "keep the reading of the water that was tested")
				break
			}
		}
	}
}

// apartIn gives the first of some days or places and the first of those of the test where none of
// them is one of the test's.
func apartIn(own, test []string, alike func(a, b string) bool) (string, string) {
	if len(own) == 0 || len(test) == 0 || slices.ContainsFunc(own, func(a string) bool {
		return slices.ContainsFunc(test, func(b string) bool { return alike(a, b) })
	}) {
		return "", ""
	}
	return own[0], test[0]
}

// saidWith parts the line of a fact: what is said with its reading, and the clauses that speak of the
// test or are sentences of their own.
func (b *bench) saidWith(x fact) (own string, rest []string) {
	line := x.text
	if at := b.lineAt(x); !strings.Contains(line, at) {
		line = at + " " + line
	}
	parts := sentences(line, heedEnd)
	said := max(0, slices.IndexFunc(parts, func(part string) bool {
		return b.states(sentenceOf(words.Fold(part), layout.DecimalsUnknown), x)
	}))
	for i, part := range parts {
		part = words.Fold(part)
		if i != said {
			rest = append(rest, part)
			continue
		}
		for _, c := range clauseSpans(part) {
			if clause := part[c[0]:c[1]]; ofTest(clause) {
				rest = append(rest, clause)
			} else if !spoken()["sampling"].in(clause) {
				own += " " + clause
			}
		}
	}
	return own, rest
}

// ofTest reports a clause that speaks of the test or its jars.
func ofTest(clause string) bool {
	h := layout.ReadHeading(clause)
	return (h.Jar || says(clause, "role:jar") || spoken()["tested"].in(clause)) && !h.Raw && h.Stage != "before"
}

// daysNamed gives the days of a folded text, those that name a day of a month.
func daysNamed(f string) []string {
	var out []string
	for _, m := range daysIn(f) {
		if day := f[m[0]:m[1]]; layout.IsDate(day) || layout.NamesDay(day) {
			out = append(out, day)
		}
	}
	return out
}

// numberAfterPlace is the number of a pond or tank behind its word.
var numberAfterPlace = words.NewPattern(`^ ?(?:no\.? ?|nr\.? ?|#)?(\d{1,3})(?:[^\d.,a-z]|[.,](?:\D|$)|$)`)

// placesNamed gives the numbered places of a folded text, "pond 3".
func placesNamed(f string) []string {
	var out []string
	for _, x := range words.Find(f) {
		if m := numberAfterPlace.FindStringSubmatch(f[x.To:]); x.Concept == "place" && m != nil {
			out = append(out, f[x.From:x.To]+" "+m[1])
		}
	}
	return out
}

// testDays gives the days that the test is said to be of.
func (m *maker) testDays(x fact, rest []string) []string {
	if d, ok := m.b.look(m.t, factDate, ""); ok {
		rest = append(rest, words.Fold(d.text))
	}
	return m.named(x, rest, daysNamed)
}

// named gives the days or places in texts, in the title of the table and in the lines of its page that
// speak of the test, but for the line of a fact itself.
func (m *maker) named(x fact, texts []string, in func(string) []string) []string {
	if m.t.TitleAt != x.at {
		texts = append(texts, words.Fold(m.t.Title))
	}
	g := m.t.Area()
	for r, row := range g.Rows {
		for c := range row {
			text := words.Fold(g.At(r, c).Text)
			if g.Place(r, c) != x.at && strings.ContainsAny(text, "0123456789") && strings.Contains(text, " ") && !m.b.inTable(g, r, c) && ofTest(text) {
				texts = append(texts, text)
			}
		}
	}
	var out []string
	for _, text := range texts {
		out = append(out, in(text)...)
	}
	return out
}
