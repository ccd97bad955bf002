package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// A sentence is running text taken apart: its amounts and the words between them.
// A number belongs to the words it stands with.
type sentence struct {
	text string
	all  layout.Heading // of the whole
	// amounts are the numbers with units, between holds the folded words before each
	// and, last, those after the last.
	amounts []amount
	between []string
}

// amount is a number with its unit, one for "each mL".
type amount struct {
	words.Amount
	num float64
	ok  bool // num is settled
}

// sentenceOf takes a text apart.
func sentenceOf(text string, dec layout.Decimals) sentence {
	s := sentence{text: text, all: layout.ReadHeading(text)}
	last := 0
	for _, u := range words.Units(text) {
		a := amount{Amount: words.Amount{UnitAt: u, Start: u.From}, num: 1, ok: true}
		n, numbered := words.NumberBefore(text, u.From)
		if at := strings.LastIndex(text[:u.From], n); numbered && at >= last {
			x := layout.Numeral(n, dec)
			if s.all.Stock || s.all.Strength {
				x = stockNumeral(n, u.Unit, dec)
			}
			a.Number, a.Start, a.num, a.ok = n, at, x.Num, x.OK()
		} else if oneDrop := u.Kind == words.Drops && sizeOfOne.MatchString(text[u.To:]); !oneDrop && !s.toTheVolume(u, text[last:u.From]) && !eachWord.MatchString(words.Fold(text[last:u.From])) {
			continue
		}
		s.amounts = append(s.amounts, a)
		s.between = append(s.between, words.Fold(text[last:a.Start]))
		last = u.To
	}
	s.between = append(s.between, words.Fold(text[last:]))
	return s
}

// stockNumeral reads the number of a strength: where its mark can part thousands or fractions, what
// no stock has settles which. One of ten ppm is none, nor is one denser than mostStrong.
func stockNumeral(n string, u words.Unit, dec layout.Decimals) layout.Value {
	x := layout.Numeral(n, dec)
	whole := layout.Numeral(strings.NewReplacer(",", "", ".", "").Replace(n), dec)
	switch {
	case x.OK() || u.Kind != words.Conc || strings.Count(n, ".")+strings.Count(n, ",") != 1 && u.Factor > 1:
	case u.Factor <= 1:
		return whole
	case whole.Num*u.Factor > mostStrong:
		return layout.Numeral(strings.Replace(n, ",", ".", 1), layout.DecimalPoint)
	}
	return x
}

// mostStrong is more than any solution holds, mg/L: the densest products weigh 1.6 kg/L in all
// (common practice, no source).
const mostStrong = 2e6

// toTheVolume reports the volume that drops make, "20 drops to the mL".
func (s sentence) toTheVolume(u words.UnitAt, before string) bool {
	n := len(s.amounts)
	return n > 0 && s.amounts[n-1].Kind == words.Drops && u.Kind == words.Volume && toThe.MatchString(words.Fold(before))
}

var (
	toThe    = words.NewPattern(`^(?:make |to |in |are )+(?:the|a|an|one)$`)
	eachWord = words.NewPattern(`(?:^|[^a-z])(?:each|every|per|one|a|1|jeder|jede|je|cada|chaque|setiap|mỗi|moi)$`)
	// sizeOfOne follows a unit that stands for one of it, "drop = 0.05 mL".
	sizeOfOne = words.NewPattern(`^ ?(?:=|:|is|size|volume|of \d|0[.,]0\d)`)
	// link joins a volume of stock to what it holds or adds.
	link = worded(`=|->|→|≙|~|\b{links}\b`)
	// holding links speak of the stock, not of the jar.
	holding   = worded(`\b{holds}\b`)
	madeUpIn  = worded(`\b{made up in}\b`)
	dissolved = worded(`\b{dissolved}`)
	filled    = worded(`\b{filled with}\b`)
	diluteTo  = worded(`\b{diluted to}\b`)
	perLitre  = words.NewPattern(`\b(?:per|in a|in each|in one|je|por|par) (?:l|litres?|liters?|litros?)\b`)
	// stockVessel begins with what stocks are made up in.
	stockVessel = worded(`^ ?-?(?:plastic |clean |white )?{vessel of stock}\b`)
	// tied joins a dose in words to the jars, partly to some of them.
	tied    = worded(`\b{tied}\b|\+`)
	partly  = words.NewPattern(`\bonly\b|\bjars? \d|\bnot in\b|\bexcept\b`)
	dates   = words.NewPattern(`\b\d{1,4}[-/.]\d{1,2}[-/.]\d{2,4}\b|\b\d{1,2}:\d{2}\b`)
	rangeOf = words.Jointed(`^\d[\d.,]* ?(?:-|–|{and}|{to}) ?$`)
	spread  = words.NewPattern(`(?:±|\+/-|\+-) ?$`)
)

// stockSentences books what the sentences of a text say of the stock, and beside them
// of the jars and other amounts; false where none speaks of a stock.
func (b *bench) stockSentences(base fact, text string, dec layout.Decimals) bool {
	found, had := false, len(b.facts)
	var others []sentence
	for _, part := range backJoined(text, sentenceEnd) {
		if one := sentenceOf(part, dec); b.stockSentence(base, one) {
			found = true
		} else {
			others = append(others, one)
		}
	}
	if !found {
		return false
	}
	for _, one := range others { // the strength, the jars may stand in sentences of their own
		b.jarVolumes(base, one)
		for _, part := range partSign.Split(one.text, -1) {
			b.amounts(base, part, dec, one.all)
		}
	}
	named := slices.ContainsFunc(b.facts[had:], func(x fact) bool { return x.kind == factChemical })
	if chem := dosedOf(text); chem != "" && !named && !slices.ContainsFunc(b.facts, func(x fact) bool { return x.kind == factChemical && x.at == base.at }) {
		base.kind, base.chem = factChemical, chem
		b.facts = append(b.facts, base)
	}
	return true
}

// purpose is what something was added for.
var purpose = words.NewPattern(`(?i) (?:for|to (?:hold|keep|set|raise|lower)|to adjust) (?:the )?(?:ph|alkalinity)\b`)

// sentenceWith gives the sentence of a text that a part of it stands in.
func sentenceWith(text, part string) string {
	for _, s := range fullStop.Split(text, -1) {
		if strings.Contains(s, strings.TrimSpace(part)) {
			return s
		}
	}
	return text
}

// dosedOf gives the chemical that a text names as the one dosed. Of several it is the
// one that stands with a word for dosing; a chemical that tells what the water is
// ("lime softened") is none.
func dosedOf(text string) string {
	f := softened.ReplaceAllString(words.Fold(text), " ")
	chems := layout.ReadHeading(f).Chems
	if len(chems) < 2 {
		if len(chems) == 1 {
			return chems[0]
		}
		return ""
	}
	var tied []string
	left := slices.Clone(chems) // without those that a fixed amount is given of
	for _, clause := range clauseEnd.Split(f, -1) {
		h := layout.ReadHeading(clause)
		if len(h.Chems) == 1 && h.Amount {
			left = slices.DeleteFunc(left, func(c string) bool { return c == h.Chems[0] })
		} else if len(h.Chems) == 1 && (h.Dose || h.Stock || h.Chemical || h.Unit.Known()) && !slices.Contains(tied, h.Chems[0]) {
			tied = append(tied, h.Chems[0])
		}
	}
	if len(tied) != 1 {
		tied = left
	}
	if len(tied) == 1 {
		return tied[0]
	}
	return ""
}

// softened is a chemical that tells what was done to the water before the test.
var softened = words.NewPattern(`\b\S+[ -](?:softened|treated|pretreated|pre-treated|conditioned|dosed upstream)\b`)

// stocked books what is known of a stock, and that its chemical is the one dosed.
func (b *bench) stocked(d fact) {
	b.facts = append(b.facts, d)
	if d.chem != "" {
		d.kind, d.keyed = factChemical, true
		b.facts = append(b.facts, d)
	}
}

// jarWord reports a word for a jar.
func jarWord(s string) bool { return layout.ReadHeading(s).Jar }

// jarVolumes books the volume of water in a jar. What a jar is filled with stands above its volume by
// name, and that above the size of the vessel, where all speak of the same jars; volumes that differ
// otherwise are all booked, and disagree. The volume of a sample counts only where it can be a jar's.
func (b *bench) jarVolumes(base fact, s sentence) bool {
	var found []fact
	var ranks []jarRank
	some := b.someOf(s.text)
	for i, a := range s.amounts {
		rank := s.jarAt(i)
		if rank == noJar {
			continue
		}
		x := base
		x.kind, x.value, x.unit, x.sure, x.chem, x.jars = factVolume, a.num*a.Factor, a.Unit, true, "", some
		found, ranks = append(found, x), append(ranks, rank)
	}
	if len(found) == 0 {
		return false
	}
	best := slices.Max(ranks)
	apart := some != nil || spoken()["some of"].in(words.Fold(s.text))
	for i, x := range found {
		booked := slices.ContainsFunc(b.facts, func(o fact) bool { return o.kind == x.kind && o.at == x.at && same(o.value, x.value) })
		if (ranks[i] == best || apart) && !booked {
			b.facts = append(b.facts, x)
		}
	}
	return true
}

// jarRank is how near a volume is to the water in a jar.
type jarRank int

const (
	noJar     jarRank = iota
	ofVessel          // how much a jar can hold
	ofVolume          // called the volume
	ofContent         // what was filled in
)

// jarSized reports a volume that a jar of a test can have.
func (a amount) jarSized() bool {
	return a.Kind == words.Volume && a.ok && a.base() >= 0.05 && a.base() <= largestJar
}

// jarAt reports an amount that is the volume of a jar, and how near it is to that of the water in it.
func (s sentence) jarAt(i int) jarRank {
	a, before, after := s.amounts[i], s.between[i], s.between[i+1]
	litres := a.num * a.Factor
	if !a.jarSized() {
		return noJar
	}
	if h := layout.ReadHeading(before); h.Jar || h.Volume { // a comma begins what is said next
		after, _, _ = strings.Cut(after, ",")
	}
	near := layout.ReadHeading(before + " ; " + after)
	if putInto(before) || near.Recycle || near.Stock && !near.Jar || otherwiseUsed(before, after, i == len(s.amounts)-1) {
		return noJar
	}
	water := filled.MatchString(before) || waterAfter.MatchString(after) || ofWater.MatchString(after)
	perJar := slices.ContainsFunc(words.Units(after), func(u words.UnitAt) bool { return strings.HasSuffix(u.Dimensions, "/vessel") }) // "of pond water per jar"
	each := a.Dimensions == "volume/vessel" && !near.Stock || water && perJar || water && eachWord.MatchString(strings.TrimSpace(after))
	named := near.Jar || testVessel.MatchString(before) || near.Volume || near.All || s.all.Jar && water || each
	ofSample := spoken()["sampled"].in(before+" "+after) && (litres < 0.2 || !near.Volume && len(s.amounts) > 1)
	switch {
	case !named || ofSample:
		return noJar
	case water:
		return ofContent
	case near.Volume:
		return ofVolume
	}
	return ofVessel
}

// putInto reports folded words that put a chemical into the vessel whose volume follows, "2 scoops of alum in a bucket of": that
// is the stock's.
func putInto(before string) bool {
	chems := chemicalsIn(before)
	return len(chems) > 0 && vesselOfIt.MatchString(before[chems[len(chems)-1].To:])
}

var vesselOfIt = worded(`^(?: \S+)? (?:in|into|to|im|en|dans|em|i|w|do|na)(?: \S+)? (?:{vessel of stock}|{buckets})\b`)

// testVessel is a vessel that is called one of the test, what else it may serve for.
var testVessel = worded(`\b(?:{of a test} ?-?(?:de )?{vessel of stock}|{vessel of stock} (?:de |d |di |van |av )?{of a test})(?: (?:of|hold|with|de|von))?[ :=]*$`)

var waterAfter = words.NewPattern(`^(?:of water|of raw|water)`)

// rawSentence books the readings of the water before treatment: each number with the
// words beside it. What is a limit, of another day, of treated or filtered water is
// none; what is said twice differently is asked about.
func (b *bench) rawSentence(base fact, text string, dec layout.Decimals) {
	found, said := map[jartest.Key][]fact{}, base.text
	if base.keyed {
		said = text
	}
	var order []jartest.Key                                              // so that the same sheet says the same in the same order
	text = inBrackets.ReplaceAllStringFunc(text, func(s string) string { // "turbidity (NTU) 45"
		if _, ok := words.OnlyUnit(s); ok {
			return " " + strings.Trim(s, "()[] ") + " "
		}
		return s
	})
	text = atCelsius.ReplaceAllString(text, "; $1 °C; ")
	if f := words.Fold(text); len(rawNumber.FindAllString(f, -1)) == 1 && spoken()["supposed"].in(f) {
		return
	}
	text = b.listed(base, text, dec)
	old := false // what was said of another day holds for the numbers behind it: "Last year raw 60 NTU, pH 7"
	for _, clause := range clauses(text) {
		clause, ofWater := withoutJars(clause)
		f := words.Fold(clause)
		if past := spoken()["formerly"].in(f); old && (spoken()["today"].in(f) || says(f, "label:raw") && !past) {
			old = false
		} else if old = old || past && len(order) == 0; old {
			continue
		}
		h := layout.ReadHeading(clause)
		if n := len(order); n > 0 && (b.rivals(f, h, found[order[n-1]][0].value, dec) || afterIt(f, h, text)) {
			found[order[n-1]] = append(found[order[n-1]], fact{value: math.NaN()})
			continue
		}
		b.rawBounded(base, clause, h, len(order) > 0 || base.keyed || h.Raw || h.Stage == "before")
		if at := tapBehind(f); at != "" && !old && ofTap(f, h) {
			b.rawUnread(base, clause, at)
		}
		if !ofWater || warmElsewhere(h, f) || ofTap(f, h) || bounded(f) || spoken()["formerly"].in(f) || spoken()["supposed"].in(f) || filtered(f) || h.Target || h.Stage == "after" && !h.Raw {
			continue
		}
		had := len(b.notes)
		d, ok := b.rawClause(base, clause, h, dec)
		if !ok {
			if per := perWhat(clause); per != "" && (h.Raw || h.Stage == "before" || len(order) > 0) && len(b.notes) == had {
				b.rawUnread(base, clause, per)
			}
			continue
		}
		if found[d.key] == nil {
			order = append(order, d.key)
		}
		found[d.key] = append(found[d.key], d)
	}
	for _, key := range order {
		fs := found[key]
		for _, x := range fs[1:] {
			if x.value != fs[0].value {
				b.say(note.Caution, "raw-twice", base.at, "%q gives two readings of %s of the raw water; neither was taken", clip(said), key.Info().Label).do(b, "write the one of this test")
				fs = nil
				break
			}
		}
		if len(fs) > 0 {
			b.facts = append(b.facts, fs[0])
		}
	}
}

// rivals reports a clause behind a reading of the raw water that holds one more number and nothing that
// it is of, "44 after the rain": it can be the same reading again.
func (b *bench) rivals(f string, h layout.Heading, read float64, dec layout.Decimals) bool {
	lists := spoken()
	ofOther := h.Reading != "" || h.Unit.Known() || h.Jar || h.Chem != "" || h.Stat != "" || h.Target || h.Replicate || h.Operator || h.Test || h.Speed || h.Dilution || h.Old || h.Next || h.Removal
	aside := lists["process"].in(f) || bounded(f) || lists["formerly"].in(f) || lists["supposed"].in(f) || lists["mains"].in(f) || lists["sampled"].in(f) || filtered(f) || dilutionWord.MatchString(f) || bareCelsius.MatchString(f)
	if ofOther || aside || len(words.Units(f)) > 0 || spread.MatchString(f[:min(len(f), 4)]) {
		return false
	}
	var l left
	l.numbers(withoutDays(f), nil, dec)
	for _, n := range l.pieces {
		if x := layout.Numeral(n, dec); x.OK() && x.Num > 0 && max(x.Num, read) < rivalsApart*min(x.Num, read) {
			return true
		}
	}
	return false
}

// afterIt reports a clause with a number after something that another clause of the text has its number before: "before the
// storm 12, after the storm 140".
func afterIt(f string, h layout.Heading, text string) bool {
	if h.Stage != "after" || h.Reading != "" || h.Jar || !bareNum.MatchString(f) || spoken()["process"].in(f) || filtered(f) {
		return false
	}
	event := func(part string, stage string) (of []string) { // what stands between the word and the number
		begun := false
		for _, p := range layout.Pieces(part) {
			switch {
			case p.Concept == stage:
				begun, of = true, nil
			case begun && p.Concept == layout.SaysNumber || p.Counted:
				return of
			case begun && p.Concept != layout.SaysFiller && p.Concept != layout.SaysUnit:
				of = append(of, p.Text)
			}
		}
		return of
	}
	after := event(f, "stage:after")
	return len(after) > 0 && slices.ContainsFunc(clauses(text), func(part string) bool {
		return layout.ReadHeading(part).Stage == "before" && slices.Equal(event(words.Fold(part), "stage:before"), after)
	})
}

// rawBounded speaks of a clause among those on the raw water that gives a bound of a reading, "pH 7.3 max", or a number of
// the water once it was treated: neither is a reading of the raw water.
func (b *bench) rawBounded(base fact, clause string, h layout.Heading, among bool) {
	f := words.Fold(clause)
	treated := spoken()["process"].in(f) || h.Stage == "after" && !h.Raw
	switch {
	case !among || h.Target && !h.Raw && h.Stage != "before" && !(base.keyed && len(layout.Pieces(f)) > 1 && spoken()["bounded"].in(f)) || !bareNum.MatchString(f):
	case bounded(f) && !treated && h.Reading != "":
		b.say(note.Caution, "raw-bound", base.at, "%q gives a bound, as %q says, and no reading: not taken: raw %s", clip(strings.TrimSpace(clause)), spoken()["bounded"].found(f), h.Reading.Info().Label).
			do(b, "write the reading of the raw water in a line of its own")
	case treated && len(words.Units(f)) == 0 && h.Reading == "":
		b.rawAside(base.at, strings.TrimSpace(clause))
	}
}

// rivalsApart is how far two readings of one water on one day may lie apart; common practice, no source.
const rivalsApart = 10

// clearWater reports words for water that is no water to be treated; a blank can be a jar.
func clearWater(f string, h layout.Heading) bool {
	return spoken()["clear"].in(f) && !h.Control && !h.Raw
}

// listed puts one number in the place of several that share a unit, "50, 52 and 54
// NTU": their mean, where they read like repeats; others are asked about, and left out.
func (b *bench) listed(base fact, text string, dec layout.Decimals) string {
	out, of, alike := joined(text, dec)
	switch {
	case of == 0:
	case alike:
		b.say(note.Info, "raw-mean", base.at, "%q: the raw water is taken for the mean of %d readings", clip(text), of)
	default:
		b.say(note.Caution, "raw-list", base.at, "%q gives several numbers for the raw water; none was taken", clip(text)).do(b, "write the one of this test")
	}
	return out
}

// joined gives a text with its list of numbers that share a unit joined to one, the
// numbers in the list, and whether they read like repeats of one reading; those that do
// not are blanked out.
func joined(text string, dec layout.Decimals) (string, int, bool) {
	if between.MatchString(words.Fold(text)) {
		return text, 0, false // a range
	}
	for _, m := range shared.FindAllStringSubmatchIndex(text, -1) {
		from, to := m[2], m[3]
		us := words.Units(text[to:])
		if len(us) == 0 || strings.TrimSpace(text[to:to+us[0].From]) != "" {
			continue
		}
		had := layout.ReadHeading(text[:from]).Readings
		if len(had) > 0 && had[len(had)-1] != string(layout.KeyOfUnit(us[0].Unit)) {
			continue // pH 7.6, 11 C
		}
		var xs []float64
		for _, n := range listParts.Split(text[from:to], -1) {
			x := layout.Numeral(strings.TrimSpace(n), dec)
			if !x.OK() {
				return text, 0, false
			}
			xs = append(xs, x.Num)
		}
		if len(xs) < 2 {
			continue // a decimal comma
		}
		if slices.Max(xs) > mostApart*slices.Min(xs) || orWords.MatchString(text[from:to]) {
			end := to + us[0].To
			return text[:from] + strings.Repeat(" ", end-from) + text[end:], len(xs), false
		}
		return text[:from] + strconv.FormatFloat(round12(layout.Mean(xs)), 'f', -1, 64) + " " + text[to:], len(xs), true
	}
	return text, 0, false
}

// mostApart is how far repeats of one turbidity lie apart; common practice, no source.
const mostApart = 1.15

// filtered reports a word for filtered water.
func filtered(f string) bool {
	return slices.ContainsFunc(words.Find(f), func(x words.Hit) bool { return x.Concept == "filtered" })
}

// strangeWords leaves the numbers and single letters out of what was not understood; a sign of a script
// without blanks is a word.
func strangeWords(rest string) string {
	var out []string
	for _, w := range strings.Fields(rest) {
		if strings.IndexFunc(w, unicode.IsLetter) >= 0 && (len([]rune(w)) > 1 || words.Spaceless(w)) {
			out = append(out, w)
		}
	}
	return strings.Join(out, " ")
}

// rawClause reads one number of the raw water: "45 NTU", "pH 7.6 ± 0.1", "colour < 5".
func (b *bench) rawClause(base fact, clause string, h layout.Heading, dec layout.Decimals) (fact, bool) {
	d := base
	f := words.Fold(clause)
	f = dates.ReplaceAllStringFunc(f, func(s string) string {
		if layout.PlausibleDay(s) {
			return " "
		}
		return s
	})
	f = ordinals.ReplaceAllString(f, " ")
	key, unit := h.Reading, h.Unit
	if key == "" {
		key = layout.KeyOfUnit(unit)
	}
	if h.Reading = key; key == jartest.UV254 && h.Wave > 0 || unitAlone(h, clause) && (strangeWords(h.Rest) != "" || h.Metal != "") { // "raw calcium 120 mg/L CaCO3"
		return d, false
	}
	if m := bareCelsius.FindStringSubmatch(f); m != nil && key == "" { // "11 C"
		f, key, unit = m[1], jartest.TemperatureKey, words.Unit{Kind: words.Temp, Factor: 1, Name: "C"}
	}
	m := ownNumber(f, h)
	if key == "" || m == nil {
		return d, false
	}
	num, rest := f[m[4]:m[5]], f[m[5]:]
	x := layout.Numeral(strings.Trim(num, ".,"), dec)
	if x.OK() && commaFraction.MatchString(num) && pointFraction.MatchString(base.text) { // "colour 40,12 C, pH 7.4"
		x = layout.Value{State: layout.Unclear, Doubt: "has a comma, and another number of the line a point"}
	}
	if !x.OK() {
		x = b.rawByJars(base, key, strings.Trim(num, ".,"), x)
	}
	if !x.OK() {
		b.say(note.Caution, "raw-unclear", base.at, "%q in what is said of the raw water %s; it was not taken", num, orWord(x.Doubt, "is not a number")).do(b, "write it without a thousands mark, or state --decimal")
		return d, false
	}
	if rangeAfter.MatchString(rest) || between.MatchString(f) {
		b.say(note.Caution, "raw-range", base.at, "%q gives a range for %s of the raw water; it was not taken", clip(clause), key.Info().Label).do(b, "write one reading")
		return d, false
	}
	d.kind, d.key, d.value, d.unit, d.state = factRaw, key, x.Num, unit, layout.Number
	if x.Text != "" {
		d.written = x.Text
	}
	if sign := f[m[2]:m[3]]; sign != "" {
		d.state, d.limit = layout.Below, true
		if strings.Contains(">≥", sign[:1]) {
			d.state = layout.Above
		}
	}
	return d, true
}

// ownNumber finds the number of a clause: the one before its unit, of a pair with ± the
// first; without a unit the first after the name of the reading.
func ownNumber(f string, h layout.Heading) []int {
	all := rawNumber.FindAllStringSubmatchIndex(f, -1)
	if h.Unit.Known() && h.Unit.Kind != words.NoUnit {
		for _, a := range words.Amounts(f) {
			for i, m := range all {
				if m[5] <= a.From && strings.TrimSpace(f[m[5]:a.From]) == "" {
					return all[firstOf(f, all, i)]
				}
			}
		}
	}
	for _, x := range words.Find(f) {
		if x.Concept != "reading:"+string(h.Reading) {
			continue
		}
		if i := slices.IndexFunc(all, func(m []int) bool { return m[4] >= x.To }); i >= 0 {
			return all[i]
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all[0]
}

// firstOf gives the first number of the range or of the pair with ± that number i ends.
func firstOf(f string, all [][]int, i int) int {
	from := all[i][4]
	dashed := f[from] == '-' && from > 0 && f[from-1] >= '0' && f[from-1] <= '9' // "38-42"
	if i > 0 && (dashed || spread.MatchString(f[:from]) || rangeOf.MatchString(f[all[i-1][4]:from])) {
		return i - 1
	}
	return i
}

var (
	shared      = words.Jointed(`(?:^|[^\d.,])(\d+(?:[.,]\d+)?(?:(?:, ?| ?(?:/|&|,? (?:{and}|{or})|{and}|{and of numbers}|{or}) ?)\d+(?:[.,]\d+)?)+)\s*`)
	listParts   = words.Jointed(` ?(?:, (?:{and}|{or}) |/|&|, | (?:{and}|{and of numbers}|{or}) ) ?`)
	orWords     = words.Jointed(` (?:{or}) `)
	bareCelsius = words.NewPattern(`(?:^|\s)(-?\d+(?:[.,]\d+)?) ?c\s*$`)
	atCelsius   = words.NewPattern(`(?:\b(?:at|bei) |@ ?)(-?\d+(?:[.,]\d+)?) ?(?:° ?|deg ?)?C\b`)
	ordinals    = worded(`\b\d{1,2}(?:{ordinal ending})\b`) // "2nd" numbers a reading, and is none
	rawNumber   = words.NewPattern(`([<>≤≥]?)\s*((?:\b|-)(?:\d{1,3}(?: \d{3}\b)+|\d[\d.,]*))`)
	rangeAfter  = words.Jointed(`^ ?(?:-|–|{to}) ?\d`)
	between     = words.NewPattern(`\b(?:between|zwischen|entre)\b.*\d.*\d`)
	// commaFraction ends in a decimal comma with its digits, pointFraction is a number with a decimal point.
	commaFraction = words.NewPattern(`^\d+,\d{1,2}$`)
	pointFraction = words.NewPattern(`(?:^|[^\d.,])\d+\.\d+(?:$|[^\d.])`)
	fullStop      = words.NewPattern(`[.!?]\s+|\n`)
	sentenceEnd   = words.NewPattern(`[.;!?]\s+|\n`)
	inBrackets    = words.NewPattern(`[(\[][^()\[\]]{1,20}[)\]]`)
	rangeEnd      = clauseSigns{words.NewPattern(`[;()\n]|, |\. `)}
	clauseEnd     = clauseSigns{words.NewPattern(`[;()\n]|, |/ | and | und | y | et | e |\. `)}
)

// clauses parts a text where a new number may stand with new words, but keeps
// "between 30 and 40" whole.
func clauses(text string) []string {
	if between.MatchString(words.Fold(text)) {
		return rangeEnd.Split(text, -1)
	}
	return clauseEnd.Split(text, -1)
}
