package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// A stock and the working solution that is made of it are two vessels: a strength is that of the
// one that it names, and a column of volumes was drawn from the one that its heading names.

// working reports a folded text on a working solution.
func working(f string) bool {
	return spoken()["working"].in(strings.NewReplacer(":", " ", ",", " ", "(", " ", ")", " ", "=", " ").Replace(f))
}

// ofWorking reports a fact on a working solution.
func (b *bench) ofWorking(x fact) bool {
	return working(words.Fold(b.lineAt(x))) || working(words.Fold(x.text))
}

// vessel gives the strength that the sheet states of the vessel that a column was drawn from. It has
// asked where that is the other one, or open.
func (m *maker) vessel(f field, chem string) (x fact, ok, asked bool) {
	b := m.b
	if x, ok = b.look(m.t, factStock, chem); !ok {
		return x, false, false
	}
	drawn, known := working(words.Fold(f.Head.Text)), f.Head.Stock
	if other, found := m.otherVessel(x, chem); found {
		switch {
		case known && drawn == b.ofWorking(other):
			return other, true, false
		case !known:
			b.say(note.Error, "solution-of-which", other.at, "the sheet tells of a stock and of a working solution, of %s (%s) and of %s, and column %q does not say which was dosed",
				quantity.Concentration(x.value), x.at.Cell, quantity.Concentration(other.value), f.Head.Text).
				do(b, `write "stock" or "working solution" into the heading, or state the strength of what was dosed with --stock "…"`)
			return x, false, true
		}
		return x, true, false
	}
	_, _, diluted := m.dilution(f, chem)
	if drawn && !diluted && !b.ofWorking(x) && saysStock(b.lineAt(x)) {
		b.say(note.Error, "solution-of-which", f.Place, "column %q gives volumes of a working solution, and the sheet states the strength of the stock alone (%s)", f.Head.Text, x.at.Cell).
			do(b, `write "working solution | 1 g/L" beside the table, or state the strength of what was dosed with --stock "…"`)
		return x, false, true
	}
	return x, true, false
}

// otherVessel gives another strength that is stated of the other vessel.
func (m *maker) otherVessel(x fact, chem string) (fact, bool) {
	for _, o := range m.b.facts {
		apart := o.chem != "" && chem != "" && o.chem != chem
		if o.kind != factStock || apart || same(o.value, x.value) || m.b.ofWorking(o) == m.b.ofWorking(x) {
			continue
		}
		if _, near := m.b.rank(m.t, o); near {
			return o, true
		}
	}
	return fact{}, false
}

// otherBuckets takes back the volume of buckets, "Buckets | 20 L", where the sheet says how large its jars are: of the stock
// they are then, or of the water.
func (b *bench) otherBuckets() {
	ofBuckets := func(x fact) bool { return x.kind == factVolume && spoken()["buckets"].begins(words.Fold(b.lineAt(x))) }
	ofJars := slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factVolume && !ofBuckets(x) })
	b.facts = slices.DeleteFunc(b.facts, func(x fact) bool { return ofJars && ofBuckets(x) })
}

// saysStock reports a line that calls its solution the stock.
func saysStock(line string) bool { return spoken()["stock"].in(words.Fold(line)) }

var (
	phraseFrom = words.NewPattern(`.*(?:[;,()]|\b(?:per|in|into|to|and|with|each|y|en|et|dans|und|je|pro)\b)`)
	phraseTo   = words.NewPattern(`[;,()]|\b(?:with|and|plus|y|et|und|mit|con|avec)\b`)
)

// otherwiseUsed reports a vessel that its own phrase gives another use than to be a jar of the test:
// it holds the stock, rinses, waste or the raw water, measures, or is a cell. The phrase is that of the
// folded words around its volume; where the name of the vessel follows, the words before are others'.
func otherwiseUsed(before, after string, last bool) bool {
	if m := phraseTo.FindStringIndex(after); m != nil {
		after = after[:m[0]]
	}
	before = phraseFrom.ReplaceAllString(before, "")
	if jarWord(after) && !strings.HasSuffix(strings.TrimSpace(before), ":") {
		before = ""
	}
	if jarWord(before) && !last { // what follows stands with the next number
		after = ""
	}
	phrase := before + " " + after
	return spoken()["use"].in(phrase) || (jarWord(before) || jarWord(after)) && saysStock(phrase)
}
