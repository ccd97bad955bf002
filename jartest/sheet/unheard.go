package sheet

import (
	"math"
	"regexp"
	"strings"

	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// weighty are the kinds of amounts that a sheet of jars cannot mention without meaning
// a dose, a stock, a jar or a reading.
var weighty = map[words.Kind]bool{words.Conc: true, words.Mass: true, words.Molar: true, words.Turbidity: true, words.FNU: true, words.Drops: true}

// disturbing words change what the numbers of a table mean.
var disturbing = regexp.MustCompile(`\b(?:half|halves|halved|double[ds]?|swapped|interchanged|mixed up|multipl\w+|divide[ds]?|wrong\w*|incorrect|in error|mistake\w*|true (?:dose|value)s?|really|actually|instead of|should (?:be|have|read)|read as|corrected|correction|not dosed|without dose|uncertain|doubtful|unreliable|verdoppelt|vertauscht|falsch|el doble|la mitad|equivocad\w+|la moitie|inverse\w*|faux|errad\w+|dobro)\b`)

// unheard speaks of a line beside the tables that says something of doses, jars, stock
// or readings and was not taken for anything: its amounts that became no fact, and
// words that change what numbers mean.
func (b *bench) unheard(line fact, dec layout.Decimals) {
	at, text := line.at, line.text
	f := words.Fold(text)
	all := layout.ReadHeading(text)
	about := all.Dose || all.Stock || all.Jar || all.Chem != "" || all.Reading != "" || all.Value || all.Unit.Known()
	if about && disturbing.MatchString(f) {
		b.say(note.Caution, "line-changes", at, "%q may change what the numbers of the jars mean; nothing was changed for it", clip(text)).do(b, "put the right numbers into the table")
		return
	}
	if all.Summary || all.Chosen || all.Next || all.Old || all.Target || bounded.MatchString(f) || formerly.MatchString(f) || supposed.MatchString(f) || dilutionWord.MatchString(f) || ndText.MatchString(f) || overText.MatchString(f) {
		return // understood, and no fact of this test
	}
	var facts []fact
	for _, x := range b.facts { // its own, and those of the name that it is the value of
		if x.g == line.g && (x.r == line.r && x.c <= line.c || x.r == line.r-1 && x.c == line.c) {
			facts = append(facts, x)
		}
	}
	for _, clause := range clauseEnd.Split(text, -1) {
		for _, a := range sentenceOf(clause, dec).amounts {
			if !weighty[a.Kind] || a.Number == "" || heard(a, facts) {
				continue
			}
			b.say(note.Caution, "line-not-taken", at, "%q was not taken for anything", clip(strings.TrimSpace(clause))).do(b, "write it as a name with its value beside it, or in a column of the table")
		}
	}
}

// heard reports that a fact has the amount.
func heard(a amount, facts []fact) bool {
	for _, x := range facts {
		for _, v := range [...]float64{a.num, a.num * a.Factor, a.num * 1e4, a.num / 1000} {
			if x.value == v || math.Abs(x.value-v) <= 1e-9*math.Abs(v) {
				return true
			}
		}
		if x.kind == factStock || x.kind == factPerMl || x.kind == factTarget || x.kind == factName || x.kind == factDrop {
			return true // its other number
		}
	}
	return false
}
