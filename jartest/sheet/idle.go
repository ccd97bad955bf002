package sheet

import (
	"slices"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/words"
)

// What sheets say of people, papers, weather, fish, the upkeep of equipment and the marks on
// beakers bears on no number, as long as no word and no amount beside it does.

// idle reports such a sentence.
func (r aside) idle(b *bench) bool {
	if r.without(b) || r.sameVial() {
		return true
	}
	about, left := r.setAside()
	if about == "" || len(r.unknownBut()) > 0 || r.altered() || alters(left) {
		return false
	}
	numbered := r.numbered
	if about == "pictured" { // a picture may be of one jar
		left = ofOneJar.ReplaceAllString(left, " ")
		numbered = namesJars(left)
	}
	return !numbered && !r.weighs(about, left) && !bears(layout.ReadHeading(left)) && !spoken()["subject"].in(left) && !spoken()["read"].in(left)
}

// setAside gives the kind of subject that a sentence has, empty for none, and the sentence without
// the words that its subject is called by: the "meter" of "turbidity meter" is no turbidity, and a
// pond "stocked" with fish is no stock.
func (r aside) setAside() (about, left string) {
	rest, found := []byte(r.text), words.Find(r.text)
	for _, t := range words.Tokens(r.text) {
		k := slices.IndexFunc(idleKinds, func(kind string) bool { return spoken()[kind].has(t.Text) })
		if k < 0 && !r.ofMark(found, t) && !spoken()["equipment"].has(t.Text) {
			continue
		}
		if k >= 0 && about == "" {
			about = idleKinds[k]
		}
		for i := nameFrom(r.text, found, t); i < t.To; i++ {
			rest[i] = ' '
		}
	}
	return about, string(rest)
}

// ofMark reports a word for the colour of a mark on a beaker.
func (r aside) ofMark(found []words.Hit, t words.Token) bool {
	return spoken()["marked"].in(r.text) && slices.ContainsFunc(found, func(x words.Hit) bool { return x.Concept == "reading:colour" && x.From <= t.From && t.To <= x.To })
}

// nameFrom is where the name of a thing begins that ends in a word: with the reading of a meter.
func nameFrom(text string, found []words.Hit, t words.Token) int {
	from := t.From
	for _, x := range found {
		if x.To <= t.From && strings.TrimSpace(text[x.To:t.From]) == "" && strings.HasPrefix(x.Concept, "reading:") {
			from = x.From
		}
	}
	return from
}

// alters reports words by which numbers become others.
func alters(text string) bool {
	return changing.MatchString(text) || disturbing.MatchString(text) || spoken()["alter"].in(text) || spoken()["household"].in(text)
}

// weighs reports an amount that bears on the jars; the mass of fish or feed does not, nor a share of them.
func (r aside) weighs(about, left string) bool {
	ofTopic := spoken()["topic"].in(r.text) && !spoken()["share"].in(r.text)
	return slices.ContainsFunc(words.Amounts(left), func(a words.Amount) bool {
		return scaled[a.Kind] && !(about == "topic" && a.Kind == words.Mass) || a.Kind == words.Percent && !ofTopic
	})
}

// bears reports that words name what numbers of a jar test are of.
func bears(h layout.Heading) bool {
	return h.Dose || h.Stock || h.Chem != "" || h.Reading != "" || h.Raw || h.Target || h.Strength || h.Volume || h.Density || h.Control || h.Removal || h.Replicate
}

// idleKinds are the lists of words for what bears on no number, the more telling first.
var idleKinds = []string{"pictured", "identity", "upkeep", "marked", "topic"}

// ofOneJar is what a picture can be of.
var ofOneJar = words.NewPattern(`\b(?:of|de|del|da|do|von|van|av|fra|di) (?:the )?\pL+ \d+\b`)

// unknownBut gives the words of a sentence that are not known here, and are no names.
func (r aside) unknownBut() []string {
	return slices.DeleteFunc(slices.Clone(r.lower), func(w string) bool {
		return spoken()["equipment"].has(w) || slices.ContainsFunc(idleKinds, func(kind string) bool { return spoken()[kind].has(w) })
	})
}

// sameVial reports a sentence by which readings were taken of one vial, and nothing more.
func (r aside) sameVial() bool {
	lists := spoken()
	return lists["vial"].in(r.text) && !slices.ContainsFunc(words.Tokens(r.text), func(t words.Token) bool {
		return !lists["vial"].has(t.Text) && !lists["sameread"].has(t.Text)
	})
}

// without reports a sentence by which something was not added that no column has: "No
// chlorine was added", "ohne Polymer".
func (r aside) without(b *bench) bool {
	ts := words.Tokens(r.text)
	if len(ts) < 2 || !spoken()["denied"].has(ts[0].Text) || strings.ContainsAny(r.text, "0123456789") {
		return false
	}
	named := reagents(r.text)
	if ts[0].Text == "not" || len(named) == 0 && !spoken()["add"].in(r.text) && !layout.ReadHeading(r.text).Raw {
		return false
	}
	for _, x := range named {
		if b.doses(x.Concept) {
			return false
		}
	}
	isNamed := func(t words.Token) bool {
		return slices.ContainsFunc(named, func(x words.Hit) bool { return x.From <= t.From && t.To <= x.To })
	}
	filler := func(w string) bool {
		return slices.ContainsFunc(layout.Pieces(r.text), func(p layout.Piece) bool { return p.Text == w && p.Concept == layout.SaysFiller })
	}
	for i, t := range ts[1:] {
		switch {
		case isNamed(t), i == 0 && len(named) == 0 && slices.Contains(r.lower, t.Text):
		case spoken()["add"].has(t.Text), spoken()["harmless"].has(t.Text) && !spoken()["speaks"].has(t.Text) && i > 0, spoken()["verb"].has(t.Text), words.Means(t.Text, "label:raw"), filler(t.Text):
		default:
			return false
		}
	}
	return true
}

// doses reports a chemical that a column or a fact of the sheet has.
func (b *bench) doses(chem string) bool {
	for _, t := range b.tables {
		for _, c := range t.Cols {
			if slices.ContainsFunc(c.Head.Chems, func(o string) bool { return related(o, chem) }) {
				return true
			}
		}
	}
	return slices.ContainsFunc(b.facts, func(x fact) bool {
		return (x.kind == factChemical && x.keyed || x.kind == factFixed) && related(x.chem, chem)
	})
}

// idleHeading reports the heading of a column that tells the beakers or the papers apart:
// photos, tape, lids, serial numbers.
func idleHeading(text string) bool {
	told := false
	for _, t := range words.Tokens(words.Fold(text)) {
		mark := slices.ContainsFunc([]string{"pictured", "identity", "marked", "lab number"}, func(kind string) bool { return spoken()[kind].has(t.Text) })
		told = told || mark
		if !mark && !words.Means(t.Text, "role:jar") && !words.Means(t.Text, "reading:colour") && !spoken()["harmless"].has(t.Text) {
			return false
		}
	}
	return told
}
