package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// What stands in a sentence that gave a fact must be consumed by the fact, or be
// harmless beside facts of its kind: a word that is known somewhere is not for that
// understood here. What is left over speaks, and where it can change the scale of the
// fact, the fact is not taken.

// anywhere are the concepts that no fact is changed by, as kinds or whole.
const anywhere = "stop chem metal place label:control role:date role:flow role:cost role:test role:note role:chemical role:unit role:value role:parameter meta:operator stat:mean"

// beside are the concepts that facts of a kind consume, or may have beside them.
var beside = map[factKind]string{
	factStock:    "role:stock role:dose role:neat role:jar stage:before meta:strength meta:density meta:volume meta:product meta:all label:raw",
	factPerMl:    "role:stock role:dose role:jar meta:strength meta:volume meta:all label:raw stage:before",
	factDrop:     "role:stock role:dose role:jar meta:strength meta:volume",
	factVolume:   "role:jar role:stock role:dose role:replicate meta:volume meta:all meta:strength label:raw stage:before",
	factFixed:    "role:dose role:jar role:stock role:speed role:time meta:all stage:set stage:before stage:after",
	factRaw:      "reading label:raw stage:before removal role:jar role:time role:replicate",
	factWhite:    "reading meta:recycle role:jar role:time",
	factRecycle:  "meta:recycle role:jar role:flow role:replicate meta:all label:raw stage:before",
	factDensity:  "meta:density meta:product meta:strength role:neat role:stock role:dose",
	factNeat:     "role:neat role:dose role:stock meta:product meta:strength",
	factDilution: "dilution role:stock role:dose role:neat meta:strength meta:product",
	factPH:       "reading:ph stage:set meta:all role:jar",
	factHolds:    "role:dose role:stock role:neat role:jar meta:strength meta:product meta:density",
	factBasis:    "role:dose role:neat meta:product",
	factChemical: "role:dose role:stock role:neat role:jar meta:strength meta:product",
}

// scaling are the facts that doses are computed with.
var scaling = map[factKind]bool{factStock: true, factPerMl: true, factDrop: true, factVolume: true, factFixed: true}

var (
	// changing words can change the scale of what they stand with, or its place.
	changing       = worded(`\b(?:{changing}|\w+fold)\b|(?:^|[^a-z0-9.])[x×*/] ?\d|\d ?[x×](?:[^a-z]|$)|\bper \d`)
	dilutionTokens = words.NewPattern(`\b1 ?(?:\+|:|/|in|to) ?\d{1,5}\b|\b\d{1,5} ?-?(?:x|×|fold|times)|\b(?:two|five|ten|twenty|fifty|hundred|thousand)fold\b|\bdilut\w*`)
	dilutedWord    = worded(`{*dilutes}[^\s,.;()]*`)
	doubting       = worded(`\?|~|≈|!!|약|\best\.|\bok\. ?\d|\b{doubting}\b`)
	grouped        = words.NewPattern(`(?:^|[^\d.,\pL])\d{1,3}(?: \d{3})+\b`) // 10 000
	heedEnd        = words.NewPattern(`[.;!]\s+|\n`)
	bareNum        = words.NewPattern(`\d+(?:[.,]\d+)*`)
	// counted numbers name a test, a place, a day; those of jars are told apart.
	counting  = words.NewPattern(`(?:\b(?:test|trial|run|series|set|no|nr|number|pond|tank|well|site|raceway|unit|page|week|day|batch|lot|room|line|train|stage|lake|plant|basin|bed|cage|#|n ?=|version|rev|sop|method|(?:mean|average|avg|median|mittel\w*|media|moyenne|gemiddelde|snitt) (?:of|von|aus|de|di|van|av|af))\.? ?#?|#)$`)
	ofRepeats = words.NewPattern(`\bn ?= ?\d+\b`)
	ofJars    = words.NewPattern(`^ ?(?:x ?)?(?:square |round |glass )?(?:jars?|beakers?|glass\w*|becher\w*|vasos?|jarras?|bechers?|copos?|times|ml|l|litre|st\b|nd\b|rd\b|th\b|days?|weeks?|months?|hours?|h\b|min|m deep|m depth)`)
	ageWord   = words.NewPattern(`^(?:\d{1,2}[-/.]\d{1,2}(?:[-/.]\d{2,4})?|(?:19|20)\d\d|\d{1,2}:\d\d)$`)
	dayMonth  = words.NewPattern(`\b\d{1,2}(?:st|nd|rd|th)? (?:of )?(?:` + layout.Months + `)\b|\b(?:` + layout.Months + `) \d{1,2}\b|` + bareDays)
	bareDay   = words.NewPattern(bareDays)
)

// bareDays are days and times of day without a name of a month.
const bareDays = `\b\d{1,4}[-/.]\d{1,2}[-/.]\d{2,4}\b|\b\d{1,2}[:h]\d\d\b|\b\d{1,2} ?(?:am|pm|uhr|o.?clock)\b|\b(?:19|20)\d\d\b`

// dayPattern is the pattern for the days of a folded text.
func dayPattern(f string) *words.Pattern {
	if layout.HasMonth(f) {
		return dayMonth
	}
	return bareDay
}

// daysIn gives where days and times of day stand in a folded text; three numbers of which none
// can be a month are readings.
func daysIn(f string) [][]int {
	if !strings.ContainsAny(f, "0123456789") {
		return nil
	}
	return slices.DeleteFunc(dayPattern(f).FindAllStringIndex(f, -1), func(m []int) bool { return !layout.PlausibleDay(f[m[0]:m[1]]) })
}

// withoutDays blanks them out.
func withoutDays(f string) string {
	for _, m := range daysIn(f) {
		f = f[:m[0]] + strings.Repeat(" ", m[1]-m[0]) + f[m[1]:]
	}
	return f
}

// left is what of a sentence nothing consumed.
type left struct {
	pieces []string
	change bool // it can change the scale of the facts beside it
}

func (l *left) add(piece string, change bool) {
	if piece = strings.TrimSpace(piece); piece != "" && !slices.Contains(l.pieces, piece) {
		l.pieces = append(l.pieces, piece)
	}
	l.change = l.change || change
}

// heed speaks of what is left over in the sentences of a line that gave facts, and takes
// the facts back whose scale it can change. It reports whether it spoke.
func (b *bench) heed(line fact, text string, facts []fact, dec layout.Decimals) bool {
	spoke := false
	for _, x := range facts {
		if x.written != "" {
			text = strings.Replace(text, x.written, trimFloat(x.value), 1)
		}
	}
	var parts []sentence
	for _, part := range backJoined(unpowered(text), heedEnd) {
		part = words.Fold(purpose.ReplaceAllString(part, ""))
		parts = append(parts, sentenceOf(grouped.ReplaceAllStringFunc(part, func(s string) string { return s[:1] + strings.ReplaceAll(s[1:], " ", "") }), dec))
	}
	for _, s := range parts {
		var own []fact
		for _, x := range facts {
			stated := func(o sentence) bool { return b.states(o, x) }
			if x.kind == factChemical || x.kind == factNeat || x.kind == factBasis || stated(s) || !slices.ContainsFunc(parts, stated) {
				own = append(own, x)
			}
		}
		if !slices.ContainsFunc(own, func(x fact) bool {
			return scaling[x.kind] || x.kind == factRaw || x.kind == factWhite || x.kind == factRecycle && x.keyed && len(words.Amounts(text)) > 1 || x.kind == factDensity
		}) {
			continue
		}
		l := b.leftIn(s, own, dec)
		if len(l.pieces) == 0 {
			continue
		}
		spoke = true
		changed := b.changedIn(s, own, l.change, dec)
		touched := func(x fact) bool { return changed(x) && !b.untouched(s, x, l) }
		b.say(note.Caution, "fact-words", line.at, "%q in %q is not understood; %s", strings.Join(l.pieces, " … "), clip(strings.TrimSpace(text)), b.keep(own, touched)).
			do(b, "write each fact in a line of its own, its name and its value")
	}
	return spoke
}

// changedIn tells the facts of a sentence whose scale something left over can change: a doubt stays
// with the facts of its clause, one in a clause without a fact is of all.
func (b *bench) changedIn(s sentence, facts []fact, change bool, dec layout.Decimals) func(fact) bool {
	spans := clauseSpans(s.text)
	if !change || len(spans) < 2 {
		return func(fact) bool { return change }
	}
	clean := map[int]bool{} // the facts of clauses that leave nothing over
	found := false
	for _, c := range spans {
		part := sentenceOf(s.text[c[0]:c[1]], dec)
		var own []fact
		var at []int
		for i, x := range facts {
			if b.states(part, x) {
				own, at = append(own, x), append(at, i)
			}
		}
		of := own
		if len(own) == 0 {
			of = facts
		}
		l := b.leftIn(part, of, dec)
		found = found || l.change
		if len(own) == 0 && l.change {
			return func(fact) bool { return true }
		}
		for _, i := range at {
			had, known := clean[i]
			clean[i] = !l.change && (had || !known)
		}
	}
	return func(x fact) bool {
		i := slices.IndexFunc(facts, func(o fact) bool { return o.kind == x.kind && o.at == x.at && o.value == x.value && o.key == x.key })
		return !found || !clean[i]
	}
}

// keep takes back the facts whose scale was changed, and says what was done.
func (b *bench) keep(facts []fact, changed func(fact) bool) string {
	var kept, gone []string
	for _, x := range facts {
		name := factUse[x.kind]
		if x.kind == factRaw {
			name = "raw " + x.key.Info().Label
		}
		switch {
		case !scaling[x.kind] && x.kind != factRaw && x.kind != factDensity:
		case changed(x) && x.kind != factDensity:
			b.facts = slices.DeleteFunc(b.facts, func(o fact) bool {
				return o.kind == x.kind && o.at == x.at && o.value == x.value && o.key == x.key
			})
			gone = append(gone, name)
		default:
			kept = append(kept, name)
		}
	}
	slices.Sort(gone)
	told := "taken from it: " + strings.Join(slices.Compact(kept), ", ")
	switch without := "not taken from it: " + strings.Join(slices.Compact(gone), ", "); {
	case len(gone) == 0:
		return told
	case len(kept) == 0:
		return without
	default:
		return without + "; " + told
	}
}

// untouched reports a reading of the raw water where all that a sentence left over stands in clauses on
// another reading.
func (b *bench) untouched(s sentence, x fact, l left) bool {
	if x.kind != factRaw {
		return false
	}
	found := 0
	for _, clause := range factEnd.Split(s.text, -1) {
		has := func(piece string) bool { return strings.Contains(clause, piece) }
		if !slices.ContainsFunc(l.pieces, has) {
			continue
		}
		key := layout.ReadHeading(clause).Reading
		if key == "" || key == x.key {
			return false
		}
		found++
	}
	return found > 0
}

// factEnd parts the facts of a sentence; a bracket belongs to what stands before it.
var factEnd = words.NewPattern(`;|, |\n`)

// states reports that a sentence gave the number of a fact.
func (b *bench) states(s sentence, x fact) bool {
	for i, a := range s.amounts {
		if has(a, x) {
			return true
		}
		for _, c := range s.amounts[i+1:] { // 50 g in 2 L
			for _, v := range [...]float64{a.num * a.Factor / (c.num * c.Factor), c.num * c.Factor / (a.num * a.Factor), c.num * c.Factor / (a.num * a.Factor * 1000), 1000 * c.num * c.Factor / (a.num * a.Factor), c.num * c.Factor / a.num, a.num * a.Factor / c.num} {
				if same(v, x.value) {
					return true
				}
			}
		}
	}
	if len(s.amounts) > 0 && scaling[x.kind] {
		return false
	}
	for _, n := range bareNum.FindAllString(s.text, -1) {
		if v := layout.Numeral(n, layout.DecimalsUnknown); same(v.Num, x.value) || same(v.Num/1000, x.value) || x.unit.Known() && same(v.Num*x.unit.Factor, x.value) {
			return true
		}
	}
	return false
}

// has reports that a fact is an amount's number.
func has(a amount, x fact) bool {
	scale := []float64{a.num, a.num * a.Factor, a.num / 1000}
	if x.of > 0 {
		scale = []float64{a.num * a.Factor / x.of}
	}
	if a.Kind == words.Percent { // 1 % is 10 g/L, or a share
		percent := a.num * a.Factor
		scale = []float64{percent, percent * 1e4, percent / 100}
	}
	return a.ok && slices.ContainsFunc(scale, func(v float64) bool { return same(v, x.value) })
}

func same(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-9*math.Abs(b) }

// held is a folded sentence held against its facts: what they consume is blanked out.
type held struct {
	sentence
	b     *bench
	facts []fact
	dec   layout.Decimals
	mask  []byte
	left
}

func (h *held) any(test func(fact) bool) bool { return slices.ContainsFunc(h.facts, test) }

func (h *held) blank(spans ...[]int) {
	for _, s := range spans {
		for i := s[0]; i < s[1]; i++ {
			h.mask[i] = ' '
		}
	}
}

// leftIn gives what of a folded sentence its facts did not consume.
func (b *bench) leftIn(s sentence, facts []fact, dec layout.Decimals) left {
	if slices.ContainsFunc(facts, func(x fact) bool { return x.kind == factRaw }) {
		text, _, _ := joined(s.text, dec) // repeats of one reading were joined
		s = sentenceOf(text, dec)
	}
	h := &held{sentence: s, b: b, facts: facts, dec: dec, mask: []byte(s.text)}
	if h.any(diluted) {
		h.blank(dilutionTokens.FindAllStringIndex(s.text, -1)...)
		h.blank(dilutionPart.FindAllStringIndex(s.text, -1)...)
		h.blank(dilutedWord.FindAllStringIndex(string(h.mask), -1)...)
	}
	h.blank(daysIn(s.text)...)
	if h.any(func(x fact) bool { return x.kind == factRaw }) {
		h.blank(spoken()["every test"].spans(s.text)...)
	}
	if h.any(func(x fact) bool { return x.kind == factFixed }) {
		h.blank(turnsIn(s.text)...)
	}
	if h.any(paired) {
		h.blank(linking.FindAllStringIndex(s.text, -1)...)
	}
	if h.any(func(x fact) bool { return x.kind == factDrop }) {
		h.blank(spoken()["drop size"].spans(s.text)...)
	}
	h.blank(spoken()["depth"].spans(s.text)...)
	h.blank(ofRepeats.FindAllStringIndex(s.text, -1)...)
	if scope, _ := jarsNamed(s.text); h.any(func(x fact) bool { return x.jars != nil }) || b.ofAllJars(scope) {
		h.blank(scope.spans...)
	}
	h.measuresTold()
	h.warmthElsewhere()
	h.counts()
	h.riders()
	h.asides()
	for i := range s.amounts {
		h.amount(i)
	}
	h.bareUnits()
	h.blank(ofState.FindAllStringIndex(string(h.mask), -1)...)
	for i, c := range clauseSpans(string(h.mask)) {
		if i == 0 && !bareNum.MatchString(s.text[c[0]:c[1]]) && c[1] < len(s.text) && h.nameOf(s.text[c[0]:c[1]]) == "" {
			continue // what the line is headed with
		}
		h.numbers(string(h.mask[c[0]:c[1]]), facts, dec)
		h.words(string(h.mask[c[0]:c[1]]), facts)
	}
	h.marks()
	for _, x := range misplaced {
		if word := x.word(h); h.any(func(f fact) bool { return f.kind == x.kind }) && word != "" {
			h.add(word, false)
		}
	}
	return h.left
}

// bareUnits blanks the units without a number, and adds those that no fact has, and that tell no condition of
// the test: "per day" behind a reading of the raw water.
func (h *held) bareUnits() {
	text := string(h.mask)
	for _, c := range append([][2]int{{0, len(text)}}, clauseSpans(text)...) { // one may show only at the end of its clause
		for _, u := range words.Units(string(h.mask[c[0]:c[1]])) {
			from, to := c[0]+u.From, c[0]+u.To
			if (to-from > 1 || u.Kind == words.Percent) && !passing[u.Kind] && !strings.HasSuffix(u.Dimensions, "/vessel") && !ofFacts(u.Unit, h.facts) { // "T 12 °C" is no tonne
				h.add(text[from:to], scalingFact(h.facts) || u.Kind == words.Percent)
			}
			h.blank([]int{from, to})
		}
	}
	for _, p := range layout.Pieces(text) { // a reading is of no jar, day or tonne, and a stock of no day
		if p.After == "per" && (!scalingFact(h.facts) || p.Unit.Kind == words.Minutes || p.Concept == "role:date") {
			h.add("per "+p.Text, false)
		}
	}
}

// ofFacts reports a unit that one of the facts is in, or of the kind that its reading has.
func ofFacts(u words.Unit, facts []fact) bool {
	return slices.ContainsFunc(facts, func(x fact) bool {
		if x.unit.Kind == u.Kind || x.kind == factRaw && layout.KeyOfUnit(u) == x.key {
			return true
		}
		return slices.ContainsFunc(x.parts, func(a amount) bool { return a.Kind == u.Kind })
	})
}

// nameOf gives the name of a raw reading that stands in a cell of its own, where a clause begins with it: each of its
// words is of the number in the cell beside it.
func (h *held) nameOf(clause string) string {
	for _, x := range h.facts {
		name := words.Fold(h.b.lineAt(x))
		_, value, _ := layout.Keyed(h.b.lineAt(x))
		first, _, _ := strings.Cut(name, " ")
		if x.kind == factRaw && x.keyed && value == "" && strings.HasPrefix(strings.TrimSpace(clause), first) && layout.ReadHeading(clause).Reading == x.key {
			return name
		}
	}
	return ""
}

// misplaced are words that are known, and cannot stand beside facts of a kind without
// changing what they are of.
var misplaced = []struct {
	kind factKind
	word func(*held) string
}{
	{factStock, func(h *held) string { // of what was diluted nothing says how far
		if h.any(diluted) || h.any(func(f fact) bool { return f.kind == factDilution }) || len(h.amounts) > 1 || dilutionTokens.FindString(h.text) == "" && dilutionWord.FindString(h.text) == "" {
			return ""
		}
		return dilutionWord.FindString(h.text)
	}},
	{factStock, func(h *held) string { return ofAnother.FindString(h.text) }},
	{factVolume, func(h *held) string {
		if len(h.amounts) > 1 || h.any(func(f fact) bool { return f.kind == factStock }) {
			return ""
		}
		return dilutionWord.FindString(h.text)
	}},
	{factStock, (*held).ofPlant},
	{factVolume, func(h *held) string { return filledTo.FindString(h.text) }},
	{factRaw, (*held).notRaw},
}

var (
	// ofAnother are shares by volume, and of the metal.
	ofAnother = words.NewPattern(`% ?,? ?\(?v ?/ ?v\b|\d[\d.,]* ?% (?:as )?(?:fe|al|fe2o3|al2o3)\b`)
	filledTo  = words.NewPattern(`\b(?:filled|full|fill) (?:up )?(?:to|with) \d[.,]\d+|, ?\d[.,]\d+ used\b`)
)

// ofPlant gives the word for a vessel of the plant that the stock of a line stands in, "day tank".
func (h *held) ofPlant() string {
	if len(h.amounts) > 1 || h.any(func(f fact) bool { return f.kind == factRaw || f.kind == factVolume }) {
		return ""
	}
	return spoken()["plant vessel"].found(h.text)
}

// notRaw gives the word by which the clause with the reading of the raw water is of water that
// was treated, or of another day.
func (h *held) notRaw() string {
	if len(bareNum.FindAllString(h.text, 2)) == 1 && spoken()["formerly"].in(h.text) {
		return spoken()["formerly"].found(h.text)
	}
	for _, c := range clauseSpans(h.text) {
		part := h.text[c[0]:c[1]]
		of := layout.ReadHeading(part)
		if h.nameOf(part) == "" && !h.any(func(f fact) bool { return f.kind == factRaw && h.b.states(sentenceOf(part, h.dec), f) }) {
			continue
		}
		if year := inYear.FindString(part); year != "" && len(daysNamed(part)) == 0 {
			return strings.TrimSpace(year)
		}
		if other := h.otherPlace(part); other != "" {
			return other
		}
		if word := boundIn(h.nameOf(part)); word != "" {
			return word
		}
		switch before := strings.Contains(part, "before") || strings.Contains(part, "untreated") || saysNot.MatchString(part); {
		case before:
		case spoken()["process"].in(part), len(of.Chems) > 0, of.Control && !strings.Contains(part, "raw"), spoken()["mains"].in(part), fromTap.MatchString(part):
			return strings.TrimSpace(part)
		}
	}
	return ""
}

// boundIn gives the word by which the name of a reading is of its bounds, or of water that has settled.
func boundIn(part string) string {
	if spoken()["bounded"].in(part) {
		return spoken()["bounded"].found(part)
	}
	for _, x := range words.Find(part) {
		if x.Concept == "stage:after" || x.Concept == "stat:other" || x.Concept == "label:summary" {
			return x.Text
		}
	}
	return ""
}

// otherPlace gives the numbered place that the name of a raw reading is of, "Tank 3 raw turbidity", where nothing
// else in the sheet names it.
func (h *held) otherPlace(part string) string {
	part = h.nameOf(part)
	ts := words.Tokens(part)
	for _, x := range words.Find(part) {
		i := slices.IndexFunc(ts, func(t words.Token) bool { return t.From >= x.To })
		if x.Concept != "place" || x.Near != "" || i < 0 || !labelCode.MatchString(ts[i].Text) {
			continue
		}
		place := part[x.From:ts[i].To]
		if !h.b.namedElsewhere(place, h.facts[0]) {
			return place
		}
	}
	return ""
}

// namedElsewhere reports a phrase in another text of the sheet of a fact, or in its name.
func (b *bench) namedElsewhere(phrase string, x fact) bool {
	if x.g == nil || strings.Contains(words.Fold(x.g.Name+" "+x.g.File), phrase) {
		return true
	}
	for r, row := range x.g.Rows {
		for c, cell := range row {
			if (r != x.r || c != x.c) && cell.Kind == grid.Textual && len(cell.Text) <= layout.LongText && strings.Contains(words.Fold(cell.Text), phrase) {
				return true
			}
		}
	}
	return false
}

// inYear is a year that something was read in, and no day of it.
var inYear = words.NewPattern(`\b(?:in|im|en|em|nel|i|w|v|dalam) (?:19|20)\d\d\b`)

// fromTap is a reading of water that was drawn from a tap.
var fromTap = words.NewPattern(`\d (?:ntu |fnu )?\(?tap\b`)

// ofTap reports a clause with a reading of the water of the mains; a tap can be where raw water was drawn.
func ofTap(part string, h layout.Heading) bool {
	read := h.Reading != "" || layout.KeyOfUnit(h.Unit) != ""
	return read && !h.Raw && (spoken()["mains"].in(part) || spoken()["tap"].in(part))
}

// saysNot denies a treatment.
var saysNot = words.NewPattern(`\b(?:un\w+ed|no|not|without|ohne|vor|sin|sans|sem|avant|antes|prima)\b`)

// asides blanks the clauses that were understood and state none of the facts.
func (h *held) asides() {
	for _, c := range clauseSpans(h.text) {
		part := h.text[c[0]:c[1]]
		twice := h.any(func(x fact) bool { return x.kind == factRaw }) && numberAfter(part)
		expected := spoken()["expected"].in(part) && bareNum.MatchString(part) && !scalingFact(h.facts)
		if (setAside(part) || expected) && !twice && h.nameOf(part) == "" && !h.any(func(x fact) bool { return scaling[x.kind] && h.b.states(sentenceOf(part, h.dec), x) }) {
			h.blank(c[:])
		}
	}
}

// numberAfter reports a number with nothing but a word for later beside it: "50 after".
func numberAfter(part string) bool {
	return bareNum.MatchString(part) && !slices.ContainsFunc(layout.Pieces(part), func(p layout.Piece) bool {
		return p.Concept != "stage:after" && p.Concept != layout.SaysNumber && p.Concept != layout.SaysUnit && p.Concept != layout.SaysFiller
	})
}

// ofState is the state of a metal in brackets, "eisen(iii)-chlorid".
var ofState = words.NewPattern(`\((?:ii|iii|iv|vi)\)-?`)

// timesVolume is a number of jars in front of their volume, "6 x 500 mL".
var timesVolume = words.NewPattern(`\b(\d{1,2}) ?[x×] ?\d`)

// counts blanks the number of jars that stands with their volume, where a table has as many.
func (h *held) counts() {
	if !h.any(func(x fact) bool { return x.kind == factVolume }) {
		return
	}
	for _, m := range timesVolume.FindAllStringSubmatchIndex(h.text, -1) {
		n, _ := strconv.Atoi(h.text[m[2]:m[3]])
		if slices.ContainsFunc(h.b.tables, func(t *layout.Table) bool { return max(len(t.Rows)-n, n-len(t.Rows)) <= 1 }) {
			h.blank([]int{m[0], m[1] - 1})
		}
	}
}

// diluted reports a stock that was computed from a stronger one.
func diluted(x fact) bool { return x.kind == factStock && x.of > 0 }

// paired reports a fact that is computed from two amounts.
func paired(x fact) bool { return x.kind == factStock || x.kind == factPerMl || x.kind == factDrop }

// amount adds an amount that no fact has.
func (h *held) amount(i int) {
	a := h.amounts[i]
	kept := strings.TrimSpace(string(h.mask[a.Start:a.To]))
	h.blank([]int{a.Start, a.To})
	used := h.any(func(x fact) bool { return x.unit.Kind == a.Kind })
	pair := h.any(paired)
	switch {
	case kept != "" && unitOfUnit(a.Unit):
		h.add(kept, true)
	case kept != "" && h.misread(i):
		h.add(kept, a.Kind == words.Percent)
	case kept == "" || h.harmless(i), a.Left != "" && a.As == "" && (a.Times == 0 || a.Times == 1) && prepares(a.Left): // "10 g/L in distilled water"
	case a.Times != 0 && a.Times != 1, a.Left != "":
		h.add(kept, true)
	case h.any(func(x fact) bool { return h.spent(i, x) }):
	default:
		h.add(kept, used || a.Kind == words.Percent || pair && (weighty[a.Kind] || a.Kind == words.Volume))
	}
}

// spent reports that a fact was worked out of an amount.
func (h *held) spent(i int, x fact) bool {
	a := h.amounts[i]
	if x.kind == factRaw && !readIn(a.Unit, x) { // "41 ppb NTU"
		return false
	}
	if len(x.parts) == 0 {
		return has(a, x) || paired(x) && inPair(h.sentence, i, []fact{x})
	}
	if strength, ok := stockStrength(layout.Value{Num: a.num, Unit: a.Unit}); x.kind == factStock && ok && same(strength, x.value) {
		return true // it says the same once more
	}
	equal := func(o amount) bool { return o.Kind == a.Kind && same(o.base(), a.base()) }
	left := 0 // of the equal amounts of the fact, once those that stand before are taken
	for _, o := range x.parts {
		if equal(o) {
			left++
		}
	}
	for _, o := range h.amounts[:i] {
		if equal(o) {
			left--
		}
	}
	return left > 0
}

// harmless reports an amount that tells how the test was run, the spread of another, the
// size of a jar that is filled less, what a stock was diluted to, the strength of a product.
func (h *held) harmless(i int) bool {
	switch a := h.amounts[i]; a.Kind {
	case words.Volume:
		jar := h.any(func(x fact) bool { return x.unit.Kind == words.Volume })
		return jar && (filled.MatchString(h.between[i+1]) || ofWater.MatchString(h.text)) || diluteTo.MatchString(h.text) && h.any(func(x fact) bool { return diluted(x) && len(x.parts) == 0 })
	case words.Percent:
		return !h.any(func(x fact) bool { return paired(x) || x.kind == factRecycle && x.keyed })
	default:
		return conditions[a.Kind] || a.Number == "" || spread.MatchString(h.between[i])
	}
}

// marks adds the words and signs that change or doubt what they stand with.
func (h *held) marks() {
	for i, a := range h.amounts {
		if sign := limitBefore.FindString(h.text[:a.Start]); sign != "" && h.any(func(x fact) bool { return scaling[x.kind] && h.spent(i, x) }) {
			h.add(sign+h.text[a.Start:a.To], true)
		}
	}
	rest := string(h.mask)
	for _, m := range append(h.countsNothing(), h.denied()...) {
		h.add(m, false)
	}
	if m := timesBefore.FindString(h.text); m != "" {
		h.add(m, true)
	}
	if m := changing.FindString(rest); m != "" {
		h.add(m, true)
	}
	if m := someJars.FindString(rest); m != "" {
		h.add(m, true)
	}
	ofStock := h.any(func(x fact) bool { return scaling[x.kind] || x.kind == factDensity || x.kind == factChemical })
	if m := dilutionWord.FindString(h.text); m != "" && !ofStock { // of the raw water
		h.add(m, false)
	}
	if m := doubting.FindString(rest); m != "" {
		h.add(m, false)
	}
}

// limitBefore is a sign of a limit in front of an amount.
var limitBefore = words.NewPattern(`[<>≤≥]=? ?$`)

// conditions are the kinds of amounts that tell how a test was run.
var conditions = map[words.Kind]bool{
	words.Minutes: true, words.Clock: true, words.Length: true, words.Area: true, words.Flow: true, words.Feed: true, words.Speed: true, words.Pressure: true,
}

// setAside reports a clause that was understood and is no fact of this test's water.
func setAside(part string) bool {
	h := layout.ReadHeading(part)
	aside := ofTap(part, h) || h.Speed || h.Operator || filtered(part) || h.Target || h.Next || h.Clock || h.Stage == "after" || clearWater(part, h) || bounded(part) || spoken()["formerly"].in(part)
	return aside && !changing.MatchString(part)
}

// inPair reports an amount of a pair that a fact was computed from.
func inPair(s sentence, i int, facts []fact) bool {
	a := s.amounts[i]
	for k, c := range s.amounts {
		if k == i || !a.ok || !c.ok {
			continue
		}
		for _, x := range facts {
			if !scaling[x.kind] {
				continue
			}
			for _, p := range [...][2]amount{{a, c}, {c, a}} {
				v := p[0].num * p[0].Factor / (p[1].num * p[1].Factor)
				if same(v, x.value) || same(v/1000, x.value) || same(v*1000, x.value) || same(v*p[1].Factor, x.value) {
					return true
				}
			}
			if x.kind == factPerMl && (a.Kind == words.Volume || c.Kind == words.Volume) {
				return true // the jar that the mL goes into
			}
		}
	}
	return false
}

// numbers adds the numbers without a unit that no fact has, and that count nothing.
func (l *left) numbers(part string, facts []fact, dec layout.Decimals) {
	for _, m := range bareNum.FindAllStringIndex(part, -1) {
		v := layout.Numeral(part[m[0]:m[1]], dec).Num
		if !countsOrNames(part, m[0], m[1]) && !slices.ContainsFunc(facts, func(x fact) bool { return x.kind == factDilution || x.states(v) }) {
			l.add(part[m[0]:m[1]], scalingFact(facts))
		}
	}
}

// states reports that a bare number is the fact's, in mL, or in the unit of its name.
func (x fact) states(v float64) bool {
	valued := scaling[x.kind] || x.kind == factRaw || x.kind == factDensity || x.kind == factPH
	perMl := x.kind == factDrop && x.keyed && v > 0 && same(1/v, x.value*1000) // "Drops per mL | 20"
	return perMl || valued && (same(v, x.value) || same(v/1000, x.value) || x.unit.Known() && same(v*x.unit.Factor, x.value))
}

// countsOrNames reports a number that names a test, a place, a day, counts jars, is part of a
// formula or the spread of another.
func countsOrNames(part string, from, to int) bool {
	letter := func(i int) bool { return i >= 0 && i < len(part) && part[i] >= 'a' && part[i] <= 'z' }
	before := strings.TrimRight(part[:from], " ")
	last := slices.DeleteFunc(words.Find(before), func(x words.Hit) bool { return x.To < len(before) || x.Near != "" })
	is := func(concepts ...string) bool {
		return slices.ContainsFunc(last, func(x words.Hit) bool { return slices.Contains(concepts, x.Concept) })
	}
	named := is("role:test", "place") && !is("label:raw", "stage:before", "reading:turbidity")
	behind := strings.TrimLeft(part[to:], " ")
	sampled := numberedSample.MatchString(before) && (behind == "" || strings.ContainsAny(behind[:1], "(-:,;")) // "Sample 2 (raw 41 NTU)"
	return named || sampled || letter(from-1) || letter(to) || from > 0 && part[from-1] == ')' || ageWord.MatchString(part[from:to]) ||
		counting.MatchString(before) || spread.MatchString(before) || ofJars.MatchString(part[to:])
}

// sampleWords are words for a sample of water.
const sampleWords = `(?:samples?|probe|muestra|amostra|echantillon|campione|monster|prov|prove|nayte|probka|vzorek|numune|sampel|mau)`

// numberedSample is such a word, and nothing before it, that a number follows.
var numberedSample = words.NewPattern(`^ *` + sampleWords + `\.?$`)

func scalingFact(facts []fact) bool {
	return slices.ContainsFunc(facts, func(x fact) bool { return scaling[x.kind] })
}

// words adds the words that no fact holds.
func (l *left) words(part string, facts []fact) {
	named, made := namesOfPlaces(part), slices.ContainsFunc(facts, paired)
	into := func(w string) bool { return made && spoken()["made up in"].has(w) } // "1 mL auf 1 L", though "op" and "na" are readings elsewhere
	hits := words.Find(part)
	for _, x := range hits {
		if !into(x.Text) && !holds(anywhere, x.Concept) && !slices.ContainsFunc(facts, func(f fact) bool { return holds(beside[f.kind], x.Concept) }) && !spoken()["harmless"].has(x.Text) &&
			!slices.ContainsFunc(hits, func(o words.Hit) bool {
				return o.From <= x.From && o.To >= x.To && o.Concept != x.Concept && (holds(anywhere, o.Concept) || slices.ContainsFunc(facts, func(f fact) bool { return holds(beside[f.kind], o.Concept) }))
			}) {
			l.add(part[x.From:x.To], false)
		}
	}
	for _, w := range unknownIn(part) {
		of, unit := words.OnlyUnit(w)
		unit = unit && (passing[of.Kind] || ofFacts(of, facts)) // "second" may count
		_, species := words.Species(w)
		species = species && ofAmounts(facts)
		if !into(w) && !spoken()["harmless"].has(w) && !named[w] && !unit && !species {
			l.add(w, false)
		}
	}
}

// namesOfPlaces gives the words of a folded text that stand at a word for a place, and can be its name:
// "intake Fernbeck".
func namesOfPlaces(f string) map[string]bool {
	const near = 2
	names, ts := map[string]bool{}, words.Tokens(f)
	for _, x := range words.Find(f) {
		if x.Concept != "place" {
			continue
		}
		for i, t := range ts {
			if t.From < x.From || t.To > x.To {
				continue
			}
			for _, o := range ts[max(0, i-near):min(len(ts), i+near+1)] {
				names[o.Text] = true
			}
		}
	}
	return names
}

// holds reports that a list of concepts has one, or its kind.
func holds(list, concept string) bool {
	kind, _, _ := strings.Cut(concept, ":")
	for _, c := range strings.Fields(list) {
		if c == concept || c == kind {
			return true
		}
	}
	return false
}

// sentences parts a text at its ends of sentences; the point of an abbreviation is none.
func sentences(text string, end *words.Pattern) []string {
	var out []string
	last := 0
	for _, m := range end.FindAllStringIndex(text, -1) {
		if text[m[0]] == '.' && shortened.MatchString(strings.ToLower(text[last:m[0]])) {
			continue
		}
		out = append(out, text[last:m[0]])
		last = m[1]
	}
	return append(out, text[last:])
}

var (
	shortened = worded(`\b{shortened}$`)
	ofWater   = words.NewPattern(`\bof (?:the )?(?:raw |pond |river |lake |beck )?water\b`)
	power     = words.NewPattern(`(?:(\d+(?:\.\d+)?) ?[x×·*.] ?)?\b10 ?\^ ?(\d{1,2})\b`)
)

// mixedNumber is a whole number with a fraction behind it, in front of a unit: "1 1/2 L".
var mixedNumber = words.NewPattern(`\b(\d{1,2})[ -]([1-3])/([2-8])( ?-?(?:[lL]|m[lL]|lit\pL+|g|kg|gal)\b)`)

// unmixed writes such numbers with decimals.
func unmixed(text string) string {
	return mixedNumber.ReplaceAllStringFunc(text, func(s string) string {
		m := mixedNumber.FindStringSubmatch(s)
		whole, _ := strconv.ParseFloat(m[1], 64)
		over, _ := strconv.ParseFloat(m[2], 64)
		under, _ := strconv.ParseFloat(m[3], 64)
		return strconv.FormatFloat(whole+over/under, 'f', 6, 64) + m[4]
	})
}

// unpowered writes powers of ten out, 2·10^3 and 2E3 are 2000, fractions with decimals, and numbers in
// words as digits.
func unpowered(text string) string {
	text = eachOne(unmixed(layout.Fractions(words.Figures(text))))
	text = exponential.ReplaceAllStringFunc(text, func(s string) string {
		x, err := strconv.ParseFloat(strings.TrimRight(strings.Replace(s, ",", ".", 1), " "), 64)
		if err != nil || math.IsInf(x, 0) {
			return s
		}
		return strconv.FormatFloat(round12(x), 'f', -1, 64)
	})
	if strings.ContainsAny(text, "⁰¹²³⁴⁵⁶⁷⁸⁹") {
		text = raised.ReplaceAllStringFunc(text, func(s string) string {
			return "10^" + lowered.Replace(strings.TrimPrefix(s, "10"))
		})
		text = footed.ReplaceAllStringFunc(text, func(s string) string { // no digit of the number: "7.6²"
			at := strings.IndexAny(s, "⁰¹²³⁴⁵⁶⁷⁸⁹")
			return s[:at] + " ^" + lowered.Replace(s[at:])
		})
	}
	return power.ReplaceAllStringFunc(text, func(s string) string {
		m := power.FindStringSubmatch(s)
		n, p := 1.0, 0.0
		if m[1] != "" {
			n, _ = strconv.ParseFloat(m[1], 64)
		}
		p, _ = strconv.ParseFloat(m[2], 64)
		return strconv.FormatFloat(round12(n*math.Pow(10, p)), 'f', -1, 64)
	})
}

// exponential is a number with its power of ten as programs write it: with a fraction, a sign, or
// in front of a unit; a letter among other digits is part of a name.
var exponential = words.NewPattern(`\b(?:\d+[.,]\d+[eE][+-]?|\d+[eE][+-])\d{1,2}\b`)

var lowered = strings.NewReplacer("⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9")

// footed is a number with a raised digit behind it, of a power or a footnote.
var footed = words.NewPattern(`(?:^|[^\pL\d.,^])\d+(?:[.,]\d+)?[⁰¹²³⁴⁵⁶⁷⁸⁹]+`)

var raised = words.NewPattern(`\b10[⁰¹²³⁴⁵⁶⁷⁸⁹]+`)

// clauseSpans gives where the clauses of a folded sentence stand.
func clauseSpans(s string) [][2]int { return clausesOf(s, partSign) }
