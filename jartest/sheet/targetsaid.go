package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A target stands in a line of its own without a colon, or among other facts: "Target turbidity <= 3 NTU at 10 min",
// "Jar 1 L; target turbidity <= 4 NTU".

// targetEnd parts what a line says of one thing from the next; a target has no such marks within.
var targetEnd = words.NewPattern(`[;\n]|\. |\.$|, `)

// targetSaidAt books the targets that a line beside the tables states in running text.
func (b *bench) targetSaidAt(line fact, text string, dec layout.Decimals) {
	if slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factTarget && x.at == line.at }) {
		return
	}
	target := false // what follows one, "…, pH >= 6.5", is one too
	for _, part := range targetEnd.Split(text, -1) {
		f := words.Fold(part)
		said, named := withoutTargetWord(f)
		if !named {
			said, named = obliged(f)
		}
		signed := strings.ContainsAny(part, "<>≤≥")
		h := layout.ReadHeading(part)
		ofOther := h.Next || h.Old || h.Chosen || spoken()["formerly"].in(f)
		if !named && !(target && signed) || ofOther || namesJars(f) || doubting.MatchString(f) || denies(f) {
			continue
		}
		line.kind, line.text = factTarget, strings.TrimSpace("Target | "+said)
		if !readTarget(targetText{line.text, dec}).ok {
			name, value, cut := cutAtNumber(said)
			if line.text = "Target " + name + " | " + value; !cut || !readTarget(targetText{line.text, dec}).ok {
				continue
			}
		}
		target = true
		line.value = readTarget(targetText{line.text, dec}).all[0].Value
		b.facts = append(b.facts, line)
	}
}

// mostWord and leastWord are words for a bound, in front of its number; removedOf is a share removed of a reading.
var (
	mostWord  = worded(`(?i)(?:^|[ ,])(?:{at most}) (\d)`)
	leastWord = worded(`(?i)(?:^|[ ,])(?:{at least}) (\d)`)
	removedOf = words.NewPattern(`(?i)^((?:>= )?)(\d+(?:\.\d+)?) ?% removal (?:of|in|for) (\pL+)$`)
)

// withSigns writes the words for a bound in front of a number as signs, "under 5 NTU" as "<= 5 NTU", and a share
// removed of a reading as its removal.
func withSigns(text string) string {
	for _, s := range [...]string{text, words.Fold(text)} {
		said := leastWord.ReplaceAllString(mostWord.ReplaceAllString(s, " <= $1"), " >= $1")
		if said = removedOf.ReplaceAllString(strings.TrimSpace(said), "$3 removal >= $2 %"); said != strings.TrimSpace(s) {
			return said
		}
	}
	return text
}

// obliged gives the reading and the bound of a folded sentence that says what has to be reached without a word for
// a target, "must get below 5 NTU".
func obliged(f string) (string, bool) {
	said := withSigns(f)
	at := strings.IndexAny(said, "<>")
	if at < 0 || said == f || !spoken()["has to be"].in(said[:at]) {
		return f, false
	}
	h := layout.ReadHeading(said[:at])
	if h.Timed || h.Filtered || h.Raw || h.Chem != "" || h.Dose || h.Stock {
		return f, false
	}
	return strings.TrimSpace(string(h.Reading) + " " + said[at:]), true
}

// untargeted leaves out of a text the sentences on a target.
func untargeted(text string) string {
	return strings.Join(slices.DeleteFunc(factEnds.Split(text, -1), func(s string) bool {
		return layout.ReadHeading(s).Target
	}), "; ")
}

var factEnds = words.NewPattern(`;|\n|\. `)

// withoutTargetWord gives a folded text without the word for a target that it begins with.
func withoutTargetWord(f string) (string, bool) {
	for _, x := range words.Find(f) {
		if x.Concept == "role:target" && strings.TrimSpace(f[:x.From]) == "" {
			return strings.TrimLeft(f[x.To:], " :=of"), true
		}
	}
	return strings.TrimSpace(f), false
}

// cutAtNumber parts the name of a reading without a time from its sign and number, "turbidity 4 NTU".
func cutAtNumber(f string) (name, value string, ok bool) {
	i := strings.IndexAny(f, "<>≤≥0123456789")
	if i <= 0 {
		return "", "", false
	}
	h := layout.ReadHeading(f[:i])
	return strings.TrimSpace(f[:i]), f[i:], h.Reading != "" && h.Rest == "" && !h.Timed && !h.Filtered
}

// timesAsked makes a note of the caution that a reading at several settling times counts at the last, where every target on it says
// its own time.
func (m *maker) timesAsked() {
	for i, n := range m.b.notes {
		of := func(f field) bool { return f.Place == n.Place }
		k := slices.IndexFunc(m.fs, of)
		if n.Code != "settling-times" || n.Level != note.Caution || k < 0 {
			continue
		}
		asked, plain := false, false
		for _, t := range m.s.Targets {
			if t.Key.Base() == m.fs[k].key.Base() || m.fs[k].role == asIgnored {
				asked, plain = asked || t.Minutes > 0, plain || t.Minutes == 0
			}
		}
		if asked && !plain {
			m.b.notes[i] = note.New(note.Info, n.Code, "%s; the target is judged at the time that it names", n.Message).At(n.Place)
		}
	}
}
