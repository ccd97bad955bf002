package sheet

import (
	"slices"
	"strings"
	"unicode/utf8"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// weighty are the kinds of amounts that a sheet of jars cannot mention without meaning
// a dose, a stock, a jar or a reading.
var weighty = map[words.Kind]bool{words.Conc: true, words.Mass: true, words.Molar: true, words.Turbidity: true, words.FNU: true, words.Drops: true}

var (
	// disturbing words change what the numbers of a table mean.
	disturbing = worded(`\b{disturbing}\b`)
	// rejecting words take a test, or jars, out of use.
	rejecting     = worded(`\b(?:{rejecting}|made.?up (?:numbers|data|values|results|readings)|(?:are|is) (?:all )?(?:made.?up|invented)$|(?:invented|dummy|fictitious) (?:numbers|data|values|results|readings))\b`)
	beforeReading = words.NewPattern(`^before (?:reading|readings|being read|they were read|measur\w*|sampling|use|the test|each reading)`)
	jarIndex      = words.NewPattern(`\b(?:jars?|beakers?|no\.?|glass|becher|vaso|jarra|bocal|copo|row|nr)s? ?#?\d+\b|(?:罐|杯|烧杯) ?\d`)
)

// unheard speaks of a line beside the tables that says something of doses, jars, stock
// or readings and was not taken for anything: its amounts that became no fact, words
// that change what numbers mean, and what else it says of the jars that is not harmless.
func (b *bench) unheard(line fact, dec layout.Decimals) {
	at, text := line.at, line.text
	if !namesJars(words.Fold(text)) {
		text = onceEach(text)
	}
	if slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factRaw && x.at == at }) {
		text = sampleHead.ReplaceAllString(text, "")
	}
	f := words.Fold(text)
	all := layout.ReadHeading(text)
	if b.correctedForWhite(line, all, f) {
		return
	}
	if disturbs(all, f) {
		b.say(note.Caution, "line-changes", at, "%q may change what the numbers of the jars mean; %s", clip(text), b.takenFrom(line)).do(b, "put the right numbers into the table")
		return
	}
	if part := b.exception(line, text, true); part != "" {
		b.notUnderstood(line, part)
		return
	}
	if b.ofOtherTests(all, f) {
		if part := b.alteration(line, text); part != "" {
			b.notUnderstood(line, part)
			return
		}
		if (all.Raw || all.Stage == "before") && all.Amount && len(b.factsOf(line)) == 0 {
			b.rawAside(at, text)
		}
		return // and no fact of this test
	}
	facts := b.factsOf(line)
	if b.notTaken(line, facts, dec) {
		return
	}
	if part := b.exception(line, b.withoutFacts(text, facts, dec), false); part != "" {
		b.notUnderstood(line, part)
	}
}

// onceEach leaves out of a text how often something was done that may be done as often as one likes.
func onceEach(text string) string {
	parts := sentences(text, heedEnd)
	for i, part := range parts {
		if f := words.Fold(part); doneOften.MatchString(f) {
			parts[i] = doneOften.ReplaceAllString(f, "$1")
		}
	}
	return strings.Join(parts, "\n")
}

// sampleHead numbers the water of a line that states its raw reading in brackets, "Sample 2 (raw 41 NTU)".
var sampleHead = words.NewPattern(`(?i)^ *` + sampleWords + ` *\d{1,3} *(?:\(|[-–:] )`)

// rawAside says, once of a line, that it gives no reading of the raw water of this test.
func (b *bench) rawAside(at note.Place, text string) {
	if !slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Code == "raw-aside" && n.Place == at }) {
		b.say(note.Info, "raw-aside", at, "%q gives no reading of the raw water of this test", clip(text))
	}
}

// unheardElsewhere speaks of a line of another page of the book, where it says that the
// numbers are others than they seem; what else stands there is prose.
func (b *bench) unheardElsewhere(line fact) {
	here := func(t *layout.Table) bool { return t.View.File == line.g.File }
	if !slices.ContainsFunc(b.tables, here) {
		return
	}
	text := strings.Join(slices.DeleteFunc(sentences(line.text, heedEnd), instructs), ". ")
	if all, f := layout.ReadHeading(text), words.Fold(text); disturbs(all, f) {
		b.notUnderstood(line, text)
		return
	}
	part := b.alteration(line, text)
	if part == "" {
		part = b.exception(line, text, true)
	}
	if part != "" {
		b.notUnderstood(line, part)
	}
}

// instructs reports a sentence that says how to run a test, "Leave a spilt jar empty", and
// nothing of one that was run.
func instructs(said string) bool {
	f := words.Fold(said)
	return spoken()["instruct"].has(first(f)) && !aside{text: f, h: layout.ReadHeading(said)}.reckons()
}

// withoutFacts gives the sentences of a line that none of its facts was taken from. The
// name of a chemical in running text says nothing of the rest.
func (b *bench) withoutFacts(text string, facts []fact, dec layout.Decimals) string {
	parts := sentences(text, heedEnd)
	for k, part := range parts {
		f := words.Fold(part)
		if ofTap(f, layout.ReadHeading(part)) || len(facts) > 0 && spoken()["expected"].in(f) && !namesJars(f) {
			parts[k] = ""
		}
	}
	for _, x := range facts {
		if (x.kind == factChemical || x.kind == factBasis) && !x.keyed || x.kind == factAlso || x.kind == factDoseUnit {
			continue
		}
		states := func(part string) bool { return b.states(sentenceOf(words.Fold(part), dec), x) }
		switch k := slices.IndexFunc(parts, states); {
		case k >= 0:
			parts[k] = ""
		case len(parts) == 1: // the line as a whole
			parts[0] = ""
		}
	}
	return strings.Join(parts, "\n")
}

// notUnderstood speaks of a sentence, and says what was taken from its line all the same.
func (b *bench) notUnderstood(line fact, part string) {
	of := "bears on the test"
	if h := layout.ReadHeading(part); h.Jar || namesJars(words.Fold(part)) {
		of = "speaks of the jars"
	}
	b.say(note.Caution, "line-not-understood", line.at, "%q %s and is not understood; %s", clip(strings.TrimSpace(part)), of, b.takenFrom(line)).
		do(b, "put what it says into the table, or write it as a name with its value beside it")
}

// takenFrom says what facts a line gave.
func (b *bench) takenFrom(line fact) string {
	var told []string
	facts := b.factsOf(line)
	for _, x := range facts {
		if use := factUse[x.kind]; use != "" && x.kind != factName && x.kind != factDate && x.kind != factChemical && x.kind != factMaybeRecycle {
			told = append(told, use)
		}
	}
	switch {
	case len(told) > 0:
		slices.Sort(told)
		return "taken from the line: " + strings.Join(slices.Compact(told), ", ")
	case len(facts) > 0: // names
		return "no number was changed for it"
	}
	return "nothing was changed for it"
}

// ofOtherTests reports a line on another test or water, a limit, a target or what was
// chosen, which is no fact of this test and harms none.
func (b *bench) ofOtherTests(all layout.Heading, f string) bool {
	if isSentence(f) && (namesJars(f) || spoken()["subject"].in(f)) {
		return false // it says so of the numbers themselves
	}
	if bounded(f) || spoken()["formerly"].in(f) || spoken()["elsewhere"].in(f) { // no fact of a test, and harms none
		return !namesJars(f)
	}
	plain := !isSentence(f) && len(strangers(f)) == 0 // else it may be a word of another tongue, and says more
	if all.Target {
		return plain
	}
	ofJars := isSentence(f) && (all.Jar || all.Control)
	return all.Summary && plain && !namesJars(f) || all.Chosen && !ofJars || all.Next && !ofJars
}

// isSentence reports a folded text with a verb; the May of a day is none.
func isSentence(f string) bool { return sentencesTold.Of(f, hasVerb) }

var sentencesTold words.Memory[string, bool]

func hasVerb(f string) bool {
	f = withoutDays(f)
	return spoken()["verb"].in(f) || spoken()["past"].in(f)
}

// readOff reports a folded text that speaks of readings or results, of whatever kind.
func readOff(f string) bool { return spoken()["read"].in(f) }

// calibrated stands with the numbers of standards.
var calibrated = words.NewPattern(`\b(?:c|k)alibr|etalonn|калибр|校准|校正|較正|교정`)

// standards are the numbers that a meter was calibrated with.
var standards = words.NewPattern(`((?:c|k)alibr\S*|etalonn\S*)(?: (?:with|to|at|against|on|mit|auf|con|a|avec|com|met))?(?: \d[\d.,]*(?: ?(?:,|and|&|und|y|et|e|en))?)+ ntu\b`)

// doneOften is a step that may be done as often as one likes.
var doneOften = worded(`\b({done often}(?: \S+)?) (?:{so often})(?:$|[\s.,;!)])`)

// bounded reports a folded text on a limit.
func bounded(f string) bool {
	return spoken()["bounded"].in(f) || strings.Contains(f, "<=") || strings.Contains(f, "≤")
}

// disturbs reports a line that takes numbers out of use, or changes what they mean.
func disturbs(h layout.Heading, f string) bool {
	ofJars := h.Jar || spoken()["subject"].in(f)
	about := ofJars || h.Dose || h.Stock || h.Chem != "" || h.Reading != "" || h.Value || h.Unit.Known()
	short := lengthOf(f) < 6 && h.Chem == "" && !h.Stock
	return about && disturbing.MatchString(f) || (ofJars || short) && rejecting.MatchString(f)
}

// factsOf gives the facts of a line, and those of the name that it is the value of; what another cell of
// its row states of the raw water takes none of its words.
func (b *bench) factsOf(line fact) []fact {
	var facts []fact
	for _, x := range b.facts {
		if x.g == line.g && x.r == line.r && (x.c == line.c || x.c < line.c && (x.keyed || x.kind != factRaw)) {
			facts = append(facts, x)
		}
	}
	return facts
}

// notTaken speaks of amounts that no fact has, and of numbers of the raw water without
// a unit.
func (b *bench) notTaken(line fact, facts []fact, dec layout.Decimals) bool {
	spoke := false
	if len(facts) == 0 && (b.asideOf(line, line.text).idle(b) || chosenLeft(line)) {
		return false
	}
	told := ""
	speak := func(what string) { // the whole sentence, once
		if what = sentenceWith(line.text, what); what == told {
			return
		}
		spoke, told = true, what
		b.say(note.Caution, "line-not-taken", line.at, "%q was not taken for anything", clip(strings.TrimSpace(what))).do(b, "write it as a name with its value beside it, or in a column of the table")
	}
	for _, clause := range clauseEnd.Split(line.text, -1) {
		if f := words.Fold(clause); ofTap(f, layout.ReadHeading(clause)) || len(facts) > 0 && spoken()["expected"].in(f) {
			continue
		}
		s := sentenceOf(clause, dec)
		for i, a := range s.amounts {
			standard := (a.Kind == words.Turbidity || a.Kind == words.FNU) && calibrated.MatchString(words.Fold(line.text))
			if weighty[a.Kind] && a.Number != "" && !standard && !spread.MatchString(s.between[i]) && !b.meant(line) && !heard(a, facts) {
				speak(clause)
			}
		}
		if len(s.amounts)+len(facts) == 0 && bareRaw(clause, dec) {
			speak(clause)
		}
	}
	return spoke
}

// chosenLeft reports an amount in the cell beside the name of what was chosen, "Chosen dose | 60 ppm": it came of the test,
// and is none of what the jars got.
func chosenLeft(line fact) bool {
	for c := line.c - 1; c >= 0 && c < len(line.g.Rows[line.r]); c-- {
		if x := line.g.Rows[line.r][c]; !x.Blank() {
			h, value := layout.ReadHeading(x.Text), layout.ReadHeading(line.text)
			return h.Chosen && h.Chem == "" && value.Chem == "" && bareAmount(line.text)
		}
	}
	return false
}

// bareRaw reports a number of the raw water without a unit.
func bareRaw(clause string, dec layout.Decimals) bool {
	h := layout.ReadHeading(clause)
	if !h.Raw && h.Stage != "before" || h.Jar || h.Dose {
		return false
	}
	var l left
	l.numbers(withoutDays(words.Fold(clause)), nil, dec)
	return len(l.pieces) > 0
}

// aside is a sentence that gave no fact.
type aside struct {
	text            string // folded
	said            string // as it stands
	h               layout.Heading
	numbered, title bool     // it names single jars, is the title of a table
	run             bool     // it says how the test was run, by whom or when
	strange, lower  []string // its words that are not known; those that are no names
	tables          []*layout.Table
	unit            bool // its line gave the unit of the doses
	denied          bool // it says that a chemical of the table was not dosed
	holds           bool // its line gave what the product holds
	watered         bool // it says what water single jars had
	beside          bool // a word or two on a row of a table, and in none
}

// reverseOsmosis turns no numbers round.
var reverseOsmosis = words.NewPattern(`\brevers(?:e|ed|al) osmosis\b`)

// asideKey is what the reading of a sentence hangs on: where it stands, and the facts known by then.
type asideKey struct {
	at    note.Place
	said  string
	facts int
}

// asideOf reads a sentence of a line.
func (b *bench) asideOf(line fact, said string) aside {
	key := asideKey{line.at, said, len(b.facts)}
	r, known := b.asides[key]
	if !known {
		r = b.readAside(line, said)
		if b.asides == nil {
			b.asides = map[asideKey]aside{}
		}
		b.asides[key] = r
	}
	return r
}

func (b *bench) readAside(line fact, said string) aside {
	part := standards.ReplaceAllString(unremarked(words.Fold(said)), "$1")
	part = withoutPages(reverseOsmosis.ReplaceAllString(part, "osmosis"))
	r := aside{text: part, said: said, h: layout.ReadHeading(part), numbered: namesJars(part), strange: strangers(part), tables: b.tables}
	r.run = r.h.Speed || r.h.Operator || r.h.Date
	scope, _ := jarsNamed(part)
	r.watered = namesJars(withoutAmounts(part)) && !b.ofAllJars(scope) && (r.h.Raw || spoken()["water"].in(part) || spoken()["mains"].in(part))
	called, from := names(line.text), origins(said)
	r.strange = slices.DeleteFunc(r.strange, func(w string) bool { return from[w] })
	for _, w := range r.strange {
		if !called[w] || strings.HasPrefix(part, w) {
			r.lower = append(r.lower, w)
		}
	}
	r.title = b.titled(line, r)
	r.unit = slices.ContainsFunc(b.factsOf(line), func(x fact) bool { return x.kind == factDoseUnit })
	r.holds = slices.ContainsFunc(b.factsOf(line), func(x fact) bool { return x.kind == factHolds })
	r.denied = spoken()["denied"].has(first(part)) && spoken()["add"].in(part) && !r.numbered && slices.ContainsFunc(r.h.Chems, b.doses)
	raw := slices.ContainsFunc(b.factsOf(line), func(x fact) bool { return x.kind == factRaw })
	r.beside = remarkLike(part) && b.besideTable(line) && !raw
	return r
}

// remarkLike reports a word or two without a number that is no factor.
func remarkLike(part string) bool {
	numbered := strings.ContainsAny(part, "0123456789") && !dilutionWord.MatchString(part) && !timesSign.MatchString(part)
	return !numbered && lengthOf(bareNum.ReplaceAllString(part, " ")) <= 2
}

// besideTable reports a line on a row of a table, and in none.
func (b *bench) besideTable(line fact) bool {
	return slices.ContainsFunc(b.tables, func(t *layout.Table) bool {
		return t.View.Origin == nil && !t.View.Turned && t.Area() == line.g && line.r >= t.HeadTop && line.r <= t.Box().R1 && !t.Box().Has(line.r, line.c)
	})
}

// withoutAmounts takes numbers with their units out of a folded text: "jars 1 L" names no jar.
func withoutAmounts(f string) string {
	for _, a := range words.Amounts(f) {
		f = f[:a.Start] + strings.Repeat(" ", a.To-a.Start) + f[a.To:]
	}
	return f
}

// numberedPage is the number of a page behind a word, "page 1 of 2".
var numberedPage = words.NewPattern(`(\pL+)[.:]? ?\d{1,3}(?: ?(?:/|\b(?:of|von|de|di|av|af|z|sur|van)\b|из) ?\d{1,3})?(?:[^\d.,]|$)`)

// withoutPages takes the numbers of pages out of a folded text.
func withoutPages(f string) string {
	return numberedPage.ReplaceAllStringFunc(f, func(s string) string {
		if word, _, _ := strings.Cut(numberedPage.FindStringSubmatch(s)[1], " "); spoken()["page"].has(word) {
			return " "
		}
		return s
	})
}

// namesJars reports single jars by their numbers.
func namesJars(f string) bool {
	f = otherNumber.ReplaceAllString(f, " ")
	scope, _ := jarsNamed(f)
	return jarIndex.MatchString(f) || someJars.MatchString(f) || numberThenJar.MatchString(f) || len(scope.only)+len(scope.but) > 0
}

// otherNumber is the number of what is no jar.
var otherNumber = words.NewPattern(`\b(?:test|trial|run|sheet|bench|experiment|batch|lot|lote|lotto|charge|chargen|serial|serie|series|model|form|page|order|report|project|certificate|delivery|drum|bag|product|tank|pond|meter|tel) (?:no|nr|n|number)\.? ?[#:º°]? ?\d[\d-]*`)

var someJars = words.NewPattern(`\b(?:first|last|other|remaining|some|odd|even) (?:of the )?(?:(?:one|two|three|four|five) )?(?:jars?|beakers?)\b`)

var numberThenJar = words.NewPattern(`^\d{1,2} ?(?:と|、|和|및|〜|~|-) ?\d{1,2} ?(?:は|号|番|번)|\d ?(?:(?:号|號|番|번)(?:[^池塘井厂廠槽库庫호]|$)|numara|numarali|no'?lu|ая|-й|й )`)

// counts reports a sentence that speaks of what the numbers of a table are or come from.
func (r aside) counts() bool {
	return r.h.Dose || r.h.Stock || r.h.Reading != "" || r.h.Chem != "" || spoken()["subject"].in(r.text) || spoken()["of"].in(r.text) || spoken()["reagent"].in(r.text)
}

// foreign reports a sentence of a tongue that is not known here, with a number that counts
// something.
func (r aside) foreign() bool {
	if of := len(words.Tokens(bareNum.ReplaceAllString(r.text, " "))); len(r.lower) < 3 || 10*len(r.lower) < 7*of {
		return false
	}
	var l left
	l.numbers(withoutDays(r.text), nil, layout.DecimalsUnknown)
	return len(l.pieces) > 0
}

// longestName is of how many words the name of a place or a test is that no word of ours tells.
const longestName = 5

// titled reports a sentence that is the title of a sheet or of a table: it has no verb, and
// names a test, a chemical or places; one that names a chemical has no number but that of a day.
func (b *bench) titled(line fact, r aside) bool {
	if isSentence(r.text) || r.numbered || len(r.lower) > 4 {
		return false
	}
	heads := b.heads(line)
	numberless := !strings.ContainsAny(withoutDays(r.text), "0123456789")
	switch {
	case r.h.Test && len(r.lower) == 0:
		return true
	case (heads || b.above(line)) && (r.h.Test || len(r.lower) == 0 || spoken()["title"].in(r.text)):
		return true
	case !heads || r.ofDoses():
		return false
	}
	onlyChemical := r.h.Chem != "" && r.h.Reading == "" && (len(r.lower) <= 2 || numberless)
	return onlyChemical || numberless && r.short()
}

// ofDoses reports a sentence that speaks of jars, doses or stocks.
func (r aside) ofDoses() bool {
	return r.h.Jar || r.h.Dose || r.h.Stock || spoken()["of"].in(r.text)
}

// short reports a few words that name no reading and no unit.
func (r aside) short() bool {
	return lengthOf(r.text) <= longestName && !spoken()["subject"].in(r.text) && !readOff(r.text) && len(words.Units(r.text)) == 0
}

// above reports a line that stands above all tables of its page.
func (b *bench) above(line fact) bool {
	return !slices.ContainsFunc(b.tables, func(t *layout.Table) bool { return t.Area() == line.g && t.Box().R0 <= line.r })
}

// exceptions are the ways in which such a sentence says more than harmless words do;
// always, where that counts in whatever sentence it stands.
var exceptions = []struct {
	why    string
	always bool
	says   func(aside) bool
}{
	{"a word or an amount that is known, and not as a part of such a sentence", true, func(r aside) bool {
		return slices.ContainsFunc(layout.Pieces(r.text), r.unsettling)
	}},
	{"a word that makes the numbers others", true, aside.altered},
	{"a chemical that was dosed and is denied", true, func(r aside) bool { return r.denied }},
	{"single jars and times of their own", true, func(r aside) bool {
		return len(r.times()) > 1 && (r.numbered || r.listed())
	}},
	{"single jars and a water of their own", true, func(r aside) bool { return r.watered }},
	{"a reading beside its column that is of another stage", true, func(r aside) bool { return r.beside && saysBefore(r.text) }},
	{"two readings that are said to be one", true, func(r aside) bool {
		return isSentence(r.text) && spoken()["subject"].in(r.text) && len(slices.Compact(slices.Sorted(slices.Values(r.h.Readings)))) > 1
	}},
	{"a unit that is neither mg/L nor of a heading", false, func(r aside) bool {
		return slices.ContainsFunc(words.Units(r.text), func(u words.UnitAt) bool {
			return u.Kind == words.Conc && u.Factor != 1 && !r.unit && !r.headed(u.Unit)
		})
	}},
	{"a unit of the doses or readings that is not that of their heading", true, aside.otherUnit},
	{"doses of something that no basis was taken from", true, func(r aside) bool {
		return spoken()["dose"].in(r.text) && (len(countedIn(r.said)) > 0 || r.asChemical()) && basisOf(r.said) == "" && !r.h.Amount
	}},
	{"readings of something that no column has", true, aside.otherReading},
	{"what the numbers are of, other than the headings say", true, aside.otherKind},
	{"an order of the jars that is not that of their numbers", true, func(r aside) bool { return spoken()["backward"].in(r.text) }},
	{"doses for one volume in jars of another", true, func(r aside) bool {
		if r.unit {
			return false
		}
		vs := r.volumes()
		return spoken()["dose"].in(r.text) && !r.h.Stock && (len(vs) > 1 && vs[0] != vs[1] || len(vs) == 1 && vs[0] != 1 && !r.h.Jar)
	}},
	{"doses for each jar", true, func(r aside) bool { return !r.unit && spoken()["dose"].in(r.text) && perJar.MatchString(r.text) }},
	{"a word that is not known; a title has names", false, func(r aside) bool {
		return !r.title && (len(r.lower) > 0 || !r.run && len(r.strange) > 0)
	}},
	{"a word that changes", false, func(r aside) bool {
		return changing.MatchString(r.text) && !r.seenFrom() && (r.numbered || r.h.Jar || spoken()["subject"].in(r.text) || r.counts() && !r.title)
	}},
	{"a dilution that no column gives", false, func(r aside) bool {
		given := func(c layout.Column) bool { return c.Head.Dilution }
		return dilutionWord.MatchString(r.text) && !slices.ContainsFunc(r.tables, func(t *layout.Table) bool { return slices.ContainsFunc(t.Cols, given) })
	}},
	{"read before the treatment", false, func(r aside) bool {
		return saysBefore(r.text) && !r.h.Raw && (r.h.Reading != "" || spoken()["subject"].in(r.text))
	}},
	{"single jars differ", false, func(r aside) bool {
		return r.numbered && (spoken()["topic"].in(r.text) || r.h.Dose || r.h.Chem != "" || r.h.Place != "" || r.h.Replicate || spoken()["denied"].in(r.text) || saysBefore(r.text) || len(weekday.FindAllString(r.text, 2)) > 1)
	}},
	{"a word of doubt", false, func(r aside) bool {
		return slices.ContainsFunc(words.Find(r.text), func(x words.Hit) bool { return x.Concept == "uncertain" || x.Concept == "void" })
	}},
}

// asChemical reports a word for counting with a chemical or a metal behind it, "doses as ferric".
func (r aside) asChemical() bool {
	m := countedBehind.FindStringSubmatch(r.text)
	h := layout.Heading{}
	if m != nil {
		h = layout.ReadHeading(m[1])
	}
	return h.Chem != "" || h.Metal != ""
}

var countedBehind = words.NewPattern(`\b(?:as|als|como|comme|come|som|jako|ca|kao|sebagai) (\S+)`)

// seenFrom reports what was seen in the jars from one on: "good flocs from jar 4 on".
func (r aside) seenFrom() bool {
	return fromJarOn.MatchString(r.text) && spoken()["seen"].in(r.text) && !r.counts() && len(r.strange) == 0 && !changing.MatchString(fromJarOn.ReplaceAllString(r.text, " "))
}

var fromJarOn = words.NewPattern(`\b(?:from|ab|desde|a partir de|des) (?:the )?(?:jar|beaker|becher|vaso|jarra|copo) \d+(?: (?:on|onwards?|up|upwards?|an))?\b`)

// scaled are the kinds of units that numbers of a table can be in.
var scaled = map[words.Kind]bool{words.Conc: true, words.Volper: true, words.Volume: true, words.Mass: true, words.Drops: true, words.Molar: true, words.Turbidity: true}

var (
	perJar        = words.NewPattern(`\b(?:per|for each|in each|je|por|par) (?:\d|jar|beaker)`)
	listedNumbers = words.Jointed(`\b\d{1,2}(?: ?[-–~〜] ?| (?:{to}|{and}|{and of numbers}) )\d{1,2}\b`)
	weekday       = worded(`\b{weekday}\b`)
)

// listed reports numbers of jars that stand without a word for them.
func (r aside) listed() bool {
	units := words.Units(r.text)
	return slices.ContainsFunc(listedNumbers.FindAllStringIndex(r.text, -1), func(m []int) bool {
		return !slices.ContainsFunc(units, func(u words.UnitAt) bool { return u.From >= m[1] && strings.TrimSpace(r.text[m[1]:u.From]) == "" })
	})
}

// otherKind reports a sentence by which the numbers are volumes, of stock or of product,
// where no heading says so and no basis was taken from it.
func (r aside) otherKind() bool {
	if !isSentence(r.text) || !spoken()["subject"].in(r.text) || r.h.Amount || basisOf(r.said) != "" || r.h.Jar {
		return false
	}
	volumes := func(c layout.Column) bool {
		return c.Head.Stock || c.Head.Volume || c.Head.Unit.Kind == words.Volume || c.Head.Unit.Kind == words.Volper
	}
	given := slices.ContainsFunc(r.tables, func(t *layout.Table) bool { return slices.ContainsFunc(t.Cols, volumes) })
	return r.h.Product || r.h.Neat || r.h.Volume && r.h.Chemical || (r.h.Volume || r.h.Stock) && !given
}

// volumes gives the volumes of a sentence, in litres.
func (r aside) volumes() []float64 {
	var out []float64
	for _, a := range sentenceOf(r.text, layout.DecimalsUnknown).amounts {
		if a.Kind == words.Volume {
			out = append(out, a.base())
		}
	}
	return out
}

// times gives the spans of time of a sentence.
func (r aside) times() []float64 {
	var out []float64
	for _, u := range words.Units(r.text) { // also "an hour"
		if u.Kind == words.Minutes {
			out = append(out, u.Factor)
		}
	}
	return out
}

// unsettling reports what makes the numbers of a table others than they seem, wherever
// it is said of them.
func (r aside) unsettling(p layout.Piece) bool {
	switch p.Concept {
	case "operation", "uncertain":
		return true
	case "filtered": // others than turbidity are read so as a rule
		return p.Text != "dissolved" && (r.beside || r.h.Reading == jartest.Turbidity || r.h.Reading == "" && (r.h.Jar || spoken()["subject"].in(r.text)))
	case layout.SaysUnit:
		of := r.holds || r.h.Removal || r.h.Recycle || r.h.Chem != "" && !(r.h.Dose && isSentence(r.text)) || r.h.Stock || r.h.Density || r.h.Strength
		return p.Unit.Kind == words.FAU || p.Unit.Kind == words.JTU || p.Unit.Kind == words.Percent && p.Counted && !of
	}
	return false
}

// unremarked leaves out what a remark begins with: "Note: …".
func unremarked(f string) string {
	if label, said, ok := strings.Cut(f, ":"); ok && spoken()["remark"].is(strings.TrimSpace(label)) {
		return strings.TrimLeft(said, " ")
	}
	return f
}

// exception gives the sentence of a line that speaks of jars, doses, readings or their
// table and is not made of harmless words alone.
func (b *bench) exception(line fact, text string, always bool) string {
	for _, said := range sentences(text, heedEnd) {
		r := b.asideOf(line, said)
		if r.idle(b) {
			continue
		}
		about := r.about()
		if !always && (r.alters(false) || !about && r.foreign()) {
			return said
		}
		if !about || r.told(always) {
			continue
		}
		for _, x := range exceptions {
			if (x.always || !always) && x.says(r) {
				return said
			}
		}
	}
	return ""
}

// about reports a sentence that speaks of jars or of the numbers of their table.
func (r aside) about() bool {
	return r.beside || r.h.Jar || r.h.UnitColumn || r.numbered || r.counts() || r.altered() || len(r.bareUnits()) > 1 || len(r.times()) > 1 && r.listed()
}

// alteration gives the sentence of a line on another test that changes the numbers of this.
func (b *bench) alteration(line fact, text string) string {
	for _, said := range sentences(text, heedEnd) {
		if r := b.asideOf(line, said); r.alters(true) && !r.idle(b) {
			return said
		}
	}
	return ""
}

// altered reports a word that makes the numbers of a table others than they seem: half,
// centrifuged, filtered (others than turbidity are read so as a rule).
func (r aside) altered() bool {
	ofAll := r.h.Place == "" && (spoken()["of"].in(r.text) || spoken()["subject"].in(r.text))
	reads := r.beside || r.h.Reading == jartest.Turbidity || r.h.Reading == "" && (r.h.Jar || ofAll || isSentence(r.text) || filteredRead.MatchString(r.text))
	if r.beside && dilutionWord.MatchString(r.text) {
		return true
	}
	ofStock := (r.h.Stock || r.h.Chem != "") && dilutionWord.MatchString(r.text) // diluted tenfold
	return !ofStock && spoken()["alter"].in(r.text) || reads && spoken()["filter"].in(r.text) || throughFilter.MatchString(r.text) && r.h.Reading == ""
}

var (
	ratio         = words.NewPattern(`\b1 ?: ?\d`)
	filteredRead  = words.NewPattern(`测|測|측정|\b(?:read|measured)\b`)
	throughFilter = words.NewPattern(`\bthrough (?:an? |the )?(?:\S+ ){0,3}(?:filter|mesh|sieve|paper|cloth|membrane|strainer)s?\b`)
)

// told reports a sentence that is a name with its value or too short to say something, or
// says how the test was run and names nothing that it could change.
func (r aside) told(always bool) bool {
	key, value, keyed := layout.Keyed(r.text)
	if keyed && !r.numbered && !ratio.MatchString(r.text) {
		return !always && (lengthOf(value) < 3 || len(r.lower) == 0 || spoken()["skies"].is(strings.TrimSpace(key)))
	}
	if always && (r.h.Jar || r.altered()) {
		return lengthOf(r.text) < 2 && !r.beside
	}
	if r.beside && always {
		return false
	}
	return lengthOf(r.text) < 3 || !always && r.run && !(r.counts() && len(r.lower) > 0)
}

// lengthOf counts the words of a text, two letters for one where words stand against one
// another.
func lengthOf(text string) int {
	n := 0
	for _, t := range words.Tokens(text) {
		if n++; unspaced(t.Text) {
			n += utf8.RuneCountInString(t.Text)/2 - 1
		}
	}
	return n
}

// saysBefore reports a word for what was not treated yet; "in" is too little a word.
func saysBefore(part string) bool {
	return slices.ContainsFunc(words.Find(part), func(x words.Hit) bool {
		return x.Concept == "stage:before" && x.Text != "in" && !beforeReading.MatchString(part[x.From:])
	})
}

// heads reports the title of a table, and the first text of a sheet.
func (b *bench) heads(line fact) bool {
	for _, t := range b.tables {
		if t.TitleAt == line.at {
			return true
		}
	}
	for r := 0; r < line.r; r++ {
		for _, c := range line.g.Rows[r] {
			if !c.Blank() {
				return false
			}
		}
	}
	return true
}

// meant reports a line of which the mean of several readings was taken.
func (b *bench) meant(line fact) bool {
	return slices.ContainsFunc(b.notes, func(n note.Note) bool { return n.Place == line.at && n.Code == "raw-mean" })
}

// heard reports that a fact has the amount, or was computed from it.
func heard(a amount, facts []fact) bool {
	return slices.ContainsFunc(facts, func(x fact) bool {
		named := x.kind == factName && a.Kind != words.Turbidity && a.Kind != words.FNU
		return has(a, x) || x.kind == factStock || x.kind == factPerMl || x.kind == factTarget || named || x.kind == factDrop
	})
}
