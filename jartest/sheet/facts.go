package sheet

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/quantity"
	"jarwright/jartest/words"
)

// A fact is something that the sheet says beside its tables.
type factKind uint8

const (
	factStock     factKind = iota // strength of a stock, mg/L
	factVolume                    // water in a jar, L
	factDensity                   // kg/L
	factPerMl                     // mg/L of dose for each mL of stock
	factFixed                     // the same dose in every jar, mg/L
	factChemical                  // the name of the chemical
	factRaw                       // a reading of the raw water
	factLimit                     // detection limit
	factOverLimit                 // end of the meter's range
	factN                         // readings behind each mean
	factTarget
	factRecycle
	factNeat  // doses are of the product as delivered
	factDash  // what a dash means: 0 is nothing dosed, 1 not measured
	factPH    // pH held in all jars
	factBasis // what doses count
	factName  // what the test is called
	factDate  // the day of the test
	// factDilution says that what is dosed was diluted, one part in so many
	factDilution
	factDrop // volume of a drop, L
	// factHolds is what a product holds, %; no dose is computed with it
	factHolds
	factDoseUnit // the unit of the doses
	factAlso     // a chemical that the jars got, and not how much
	// factProtocol is how jars were stirred and sampled
	factProtocol
	// factWhite is what white water reads, by its key
	factWhite
	// factCorrected says that readings are free of white water already
	factCorrected
	// factMeasure is the volume of one of what a column counts, L
	factMeasure
	// factMaybeRecycle is white water that a line does not tell plainly
	factMaybeRecycle
)

type fact struct {
	kind  factKind
	value float64
	unit  words.Unit
	chem  string
	key   jartest.Key
	text  string
	// keyed facts stand as "name | value"; the others were found in running text.
	keyed  bool
	under  bool // the value stands below the name
	sure   bool
	r, c   int
	g      *layout.Area
	at     note.Place
	state  layout.State
	limit  bool
	litres float64   // of the jar that a dose for each mL holds in
	of     float64   // how many times what the text states was diluted
	jars   *jarScope // of a dose: which jars got it, where not all did
	// parts are the amounts that it was worked out of; none where it is one number
	parts []amount
	// strange are the words that tell the doses of a unit from others and are no known chemical
	strange  []string
	protocol *jartest.Protocol
	again    bool // the protocol gives its settling time twice differently
	// written is the number as it stands, where its marks alone do not say how it is read
	written string
	// naming is what a fact on the chemical says beside its name; nil in running text.
	naming *chemNamed
}

var (
	partSign     = clauseSigns{words.NewPattern(`[;()\[\]\n]|, |\. |,$| - | – `)}
	ndText       = worded(`\b({not detected})\b`)
	overText     = worded(`\b({over range})\b`)
	dashText     = words.NewPattern(`^\s*["']?(-+|—|–)["']?\s*(?:=|:|means|is)\s*(.+)$`)
	dilutionWord = worded(`{*dilutes}`)
	dilutionPart = words.NewPattern(`\b1 ?(?::|/|in|to|en|zu|auf|a|dans|em|trong) ?(\d{1,5})\b|\b(\d{1,5}) ?-?(?:x|×|fold|times|倍|fach|veces|vezes|fois|kali|lan|kat|раз|倍|배|เท่า)`)
	meanN        = words.NewPattern(`\bn ?= ?(\d+)\b`)
)

// manyfold are the words for a dilution.
var manyfold = map[string]float64{"twofold": 2, "fivefold": 5, "tenfold": 10, "twentyfold": 20, "fiftyfold": 50, "hundredfold": 100, "thousandfold": 1000}

// dilutionIn reads "1:100 dilution", "diluted 1 in 100", "1+9", "100-fold", "tenfold".
func dilutionIn(text string) (float64, bool) {
	f := words.Fold(text)
	if !dilutionWord.MatchString(f) {
		return 0, false
	}
	for _, w := range words.Tokens(f) {
		if n, ok := manyfold[w.Text]; ok {
			return n, true
		}
	}
	if m := onePlus.FindStringSubmatch(f); m != nil {
		n, err := strconv.ParseFloat(m[1], 64)
		return n + 1, err == nil
	}
	for _, m := range dilutionPart.FindAllStringSubmatch(f, -1) {
		for _, n := range m[1:] {
			if x, err := strconv.ParseFloat(n, 64); err == nil && x > 1 {
				return x, true
			}
		}
	}
	return 0, false
}

var (
	onePlus = words.NewPattern(`\b1 ?\+ ?(\d{1,4})\b`)
	// a dilution of a strength, and a strength that was diluted after
	dilutionOf   = words.NewPattern(`(?:dilut\w*|verdunn\w*|dilu[ci]\w*)(?: 1 ?\S{1,2} ?\d+)? (?:of|from|von|aus|de|du|di)(?: (?:a|an|the|our|einer|una|une|um|un))?(?: stock| solution)?(?: of)? ?$`)
	dilutedAfter = worded(`^[^a-z]*(?:alum|stock|solution|was|is|then|and|,| )*(?:further |1 ?[:/+] ?\d+ |\d+ ?\S{0,4} )?{*dilutes}|^[^a-z]*working\b.*\bof (?:this|that|it|the above|the stock)\b`)
	// aRatio is a dilution without a word for one, of what stands beside it.
	aRatio = words.NewPattern(`\b1 ?(?::|\+| in ) ?(\d{1,5})\b`)
	// backTo speaks of the stock of the sentence before.
	backTo = words.NewPattern(`\b(?:of|from) (?:this|that|it|the above|the (?:stock|mother)|stock)\b`)
)

// stockRatio reads "stock 1:10", "working solution 1:10": a dilution, as a stock is no
// ratio of anything else. A time is none.
func stockRatio(text string) (float64, bool) {
	for _, part := range partSign.Split(text, -1) {
		f := words.Fold(part)
		m := aRatio.FindStringSubmatch(f)
		h := layout.ReadHeading(part)
		if m == nil || !(h.Stock || h.Neat || working(f)) || h.Jar || h.Clock || h.Amount {
			continue
		}
		n, err := strconv.ParseFloat(m[1], 64)
		if strings.Contains(m[0], "+") {
			n++
		}
		return n, err == nil && n > 1
	}
	return 0, false
}

// dilutedStock computes the strength of a stock that a sentence calls a dilution of
// another strength, or a strength that was diluted before use.
func (b *bench) dilutedStock(from int, text string, dec layout.Decimals) {
	for _, part := range backJoined(text, sentenceEnd) {
		n, ok := dilutionIn(part)
		if !ok {
			n, ok = stockRatio(part)
		}
		s := sentenceOf(part, dec)
		if !ok || undone.MatchString(words.Fold(part)) {
			continue
		}
		for i, a := range s.amounts {
			if a.Kind != words.Conc || !(dilutionOf.MatchString(strings.TrimRight(s.between[i], " ")) || dilutedAfter.MatchString(s.between[i+1])) {
				continue
			}
			for k := from; k < len(b.facts); k++ {
				if x := &b.facts[k]; x.kind == factStock && has(a, *x) {
					x.value, x.of = round12(x.value/n), n
					b.say(note.Info, "stock-diluted", x.at, "the stock is %s: %s was diluted 1 in %s", quantity.Concentration(x.value), quantity.Concentration(a.num*a.Factor), trimFloat(n))
					b.facts = slices.DeleteFunc(b.facts, func(o fact) bool { return o.kind == factDilution && o.at == x.at })
					break
				}
			}
		}
		b.dilutedPair(from, s, n)
	}
}

// dilutedPair is the same of a stock that was made of two amounts: "10 g made up to 1 L, then diluted 1:10".
func (b *bench) dilutedPair(from int, s sentence, n float64) {
	for k := from; k < len(b.facts); k++ {
		x := &b.facts[k]
		if x.kind != factStock || x.of > 1 || len(x.parts) != 2 {
			continue
		}
		made := x.parts[1]
		at := slices.IndexFunc(s.amounts, func(a amount) bool { return a.Kind == made.Kind && same(a.base(), made.base()) })
		if at < 0 || !dilutedAfter.MatchString(s.between[at+1]) {
			continue
		}
		strong := x.value
		x.value, x.of = round12(strong/n), n
		b.say(note.Info, "stock-diluted", x.at, "the stock is %s: %s was diluted 1 in %s", quantity.Concentration(x.value), quantity.Concentration(strong), trimFloat(n))
		b.facts = slices.DeleteFunc(b.facts, func(o fact) bool { return o.kind == factDilution && o.at == x.at })
		return
	}
}

// backJoined gives the sentences of a text, one that says what was done with the stock of
// the one before it together with that.
func backJoined(text string, end *words.Pattern) []string {
	var out []string
	for _, s := range parted(sentences(text, end)) {
		f := words.Fold(s)
		measured := aRatio.MatchString(f) || slices.ContainsFunc(words.Amounts(s), func(a words.Amount) bool { return a.Kind == words.Volume })
		if last := len(out) - 1; last >= 0 && backTo.MatchString(f) && measured {
			out[last] += ", " + s
			continue
		}
		out = append(out, s)
	}
	return out
}

// parted cuts sentences of several facts at their commas, where each part has a name and no
// number beside its amounts: "1 drop = 0.05 mL, stock 10 g/L, jars 1 L".
func parted(all []string) []string {
	var out []string
	for _, s := range all {
		parts := commaEnd.Split(s, -1)
		if len(parts) > 1 && !slices.ContainsFunc(parts, func(p string) bool { return !wholeFact(p) }) {
			out = append(out, parts...)
			continue
		}
		out = append(out, s)
	}
	return out
}

// oneStrength reports two amounts that state one strength, "2 % (20 g/L)".
func oneStrength(n []words.Amount) bool {
	var said []float64
	for _, a := range n {
		x := layout.Numeral(a.Number, layout.DecimalsUnknown)
		if v, ok := stockStrength(layout.Value{Num: x.Num, Unit: a.Unit}); ok && x.OK() {
			said = append(said, v)
		}
	}
	return len(said) == 2 && same(said[0], said[1])
}

// wholeFact reports a part of a sentence that says one thing by itself: one amount under a name
// that is no mere mass, or two of which one is made of the other.
func wholeFact(part string) bool {
	h, amounts, bare := layout.ReadHeading(part), words.Amounts(part), []byte(part)
	for _, a := range amounts {
		for i := a.Start; i < a.To; i++ {
			bare[i] = ' '
		}
	}
	named := h.Stock || h.Strength || h.Volume || h.Jar || h.All || h.Density || h.Raw || h.Chem != "" || dissolved.MatchString(words.Fold(part)) || strings.Contains(part, "=")
	return named && !bareNum.MatchString(string(bare)) && (len(amounts) == 1 && amounts[0].Kind != words.Mass || len(amounts) == 2 && (strings.Contains(part, "=") || oneStrength(amounts)))
}

var commaEnd = words.NewPattern(`, (?:and )?| and `)

// undone words leave open what was diluted how often.
var undone = words.NewPattern(`\b(?:twice|again|not|or|about|maybe|either)\b|\?`)

// readFacts collects the facts of a grid outside its tables.
func (b *bench) readFacts(g *layout.Area, tables []*layout.Table) {
	if calculatorPage(g) {
		return
	}
	dec := b.decimals[g]
	v := layout.View{Area: g}
	in := func(r, c int) bool {
		for _, t := range tables {
			if t.Area() == g && t.Box().Has(r, c) && !t.Titles(r) {
				return true
			}
		}
		return false
	}
	if g.Separator == ' ' && slices.ContainsFunc(tables, func(t *layout.Table) bool { return t.View.Origin == g }) {
		mendLines(g, in)
	}
	if g.Separator == ',' {
		b.mendFractions(g, in, dec)
	}
	defer b.plainly(g, in)()
	b.basesOfHeads(g, tables)
	defer b.protocols(g, tables, in)
	count := 0
	for r := range g.Rows {
		for c := range g.Rows[r] {
			x := g.Rows[r][c]
			if x.Kind != grid.Textual || in(r, c) || len(x.Text) > 300 {
				continue
			}
			if count++; count > mostTexts {
				b.say(note.Caution, "not-searched", v.Place(r, c), "what stands beside the tables was looked at as far as here; the rest of the sheet was not").do(b, "put facts above the tables")
				return
			}
			if b.columnApart(v, r, c, tables) || surrounds(v, r, c) {
				continue
			}
			if b.definesMeasure(v.Place(r, c), x.Text) {
				continue
			}
			before := len(b.facts)
			b.factsAt(v, r, c, dec, in)
			if !slices.ContainsFunc(tables, func(t *layout.Table) bool { return t.Area() == g }) {
				line := fact{r: r, c: c, g: g, at: v.Place(r, c), text: strings.TrimSpace(x.Text)}
				b.unheardElsewhere(line)
				if told := b.facts[before:]; slices.ContainsFunc(told, ofTheTest) {
					b.heed(line, b.wholeLine(v, r, c, in, told), slices.Clone(told), dec)
				}
				continue // a page of prose beside the sheet of the jars
			}
			b.dilutedStock(before, unpowered(x.Text), dec)
			line := fact{r: r, c: c, g: g, at: v.Place(r, c), text: unpowered(factText(x.Text))}
			b.alsoDosed(line)
			if len(b.facts) == before && (b.factorBeside(line, v, in) || b.pHAlone(line)) {
				continue
			}
			if !b.heed(line, b.wholeLine(v, r, c, in, b.facts[before:]), slices.Clone(b.facts[before:]), dec) && !b.asked(line.at) {
				b.unheard(line, dec)
			}
			b.basisUnheard(line)
		}
	}
}

// ofTheTest reports a fact of one water, one set of jars or their target, whatever sheet it stands on.
func ofTheTest(x fact) bool {
	return x.kind == factRaw || x.kind == factFixed || x.kind == factTarget
}

// factText is a text beside the tables as its facts are read: a run of blanks parts names that each
// have a number, as a semicolon would, a pH is told from its number, and what a spoon weighs stands for it.
func factText(text string) string {
	text, _ = layout.Unstamped(strings.TrimSpace(text))
	text = bySpoon(degreed(partedReadings(gluedPH.ReplaceAllString(strings.TrimSpace(text), "$1 $2"))))
	parts := blanks.Split(text, -1)
	if len(parts) > 1 && !slices.ContainsFunc(parts, func(s string) bool { return !nameThenNumber.MatchString(s) }) {
		return strings.Join(parts, "; ")
	}
	return text
}

// partedReadings puts a semicolon for a comma or a slash without blanks that parts one reading with its number from
// the next, "45 NTU,pH 7.4/colour 40".
func partedReadings(text string) string {
	all := tightSign.FindAllStringSubmatchIndex(text, -1)
	units := words.Units(text)
	for i := len(all) - 1; i >= 0; i-- {
		at := max(all[i][2], all[i][4])
		next := text[at+1:]
		if k := strings.IndexAny(next, ",;/"); k > 0 {
			next = next[:k]
		}
		ofUnit := slices.ContainsFunc(units, func(u words.UnitAt) bool { return u.From <= at && at < u.To })
		h := layout.ReadHeading(next)
		if !ofUnit && (h.Reading != "" || bareCelsius.MatchString(words.Fold(next))) && !h.Target && bareNum.MatchString(words.Fold(next)) && strings.ContainsAny(text[:at], "0123456789") {
			text = text[:at] + "; " + text[at+1:]
		}
	}
	return text
}

var (
	tightSign      = words.NewPattern(`[\pL\d%)]([,/])\pL|[\pL%)](,)\d`)
	gluedPH        = words.NewPattern(`\b(pH)(\d)`)
	blanks         = words.NewPattern(`[ \x{00a0}\x{3000}]{2,}|\t+`)
	nameThenNumber = words.NewPattern(`^[^\d;]*\pL[^\d;]*\d`)
)

// mendLines puts the lines of jotted notes together again that were torn at their blanks.
func mendLines(g *layout.Area, in func(r, c int) bool) {
	for r, row := range g.Rows {
		var said []string
		for c, x := range row {
			if in(r, c) {
				said = nil
				break
			}
			if !x.Blank() {
				said = append(said, strings.TrimSpace(x.Text))
			}
		}
		if len(said) > 1 {
			g.Rows[r] = []grid.Cell{{Kind: grid.Textual, Text: strings.Join(said, " ")}}
		}
	}
}

// mendFractions puts the number of a reading beside the tables together again that was torn at its
// decimal comma: "pH 7" and "9" for "pH 7,9", for no reading has a second number by itself.
func (b *bench) mendFractions(g *layout.Area, in func(r, c int) bool, dec layout.Decimals) {
	for r, row := range g.Rows {
		for c := 0; c+1 < len(row); c++ {
			x, next := row[c], row[c+1]
			last := c+2 == len(row) || row[c+2].Blank() || !layout.IsFigure(row[c+2].Text)
			if in(r, c) || in(r, c+1) || !last || !tornWhole.MatchString(x.Text) || !tornRest.MatchString(next.Text) || !tears(layout.ReadHeading(x.Text), next.Text) {
				continue
			}
			row[c].Text, row[c+1] = x.Text+","+next.Text, grid.Cell{}
			if dec == layout.DecimalPoint {
				b.say(note.Caution, "comma-torn", g.Place(r, c), "%q is taken for one number with a decimal comma, and the file writes its fractions with points", clip(row[c].Text)).do(b, "write it with a point")
			}
		}
	}
}

// tears reports a name whose number has no second one behind it: that of a reading, or of white water in a share.
func tears(h layout.Heading, rest string) bool {
	return h.Reading != "" || h.Recycle && tornShare.MatchString(rest)
}

var (
	tornShare = words.NewPattern(`^\d{1,2} ?%?$`)
	tornWhole = words.NewPattern(`\pL.*\s\d+$`)
	tornRest  = words.NewPattern(`^\d{1,2}(?:\s*\D*)$`)
)

// mostTexts is how many texts beside the tables of a sheet are looked at.
const mostTexts = 4000

// asked reports a line whose numbers were asked about.
func (b *bench) asked(at note.Place) bool {
	return slices.ContainsFunc(b.notes, func(n note.Note) bool {
		return n.Place == at && (strings.HasPrefix(n.Code, "raw-") && n.Level == note.Caution || n.Code == "dose-mentioned" || n.Code == "dose-unit-unclear")
	})
}

// notRead are what stands at the top of the pages of our own bench workbook that no test is written on.
var notRead = []string{"the program does not read it", "Choices offered in the other sheets"}

// calculatorPage reports such a page.
func calculatorPage(g *layout.Area) bool {
	for r := range min(len(g.Rows), 4) {
		for _, c := range g.Rows[r] {
			if c.Kind == grid.Textual && slices.ContainsFunc(notRead, func(s string) bool { return strings.Contains(c.Text, s) }) {
				return true
			}
		}
	}
	return false
}

// textCell is a text outside the tables, as the readers of cells take it.
type textCell struct {
	b    *bench
	v    layout.View
	r, c int
	dec  layout.Decimals
	in   func(int, int) bool
	base fact
	text string
	fold string
}

// ofAnother reports the value of a label for the chemical or the water of another time, "old coagulant",
// "raw turbidity yesterday", or for what the figures of a laboratory count.
func (t *textCell) ofAnother() bool {
	left := named{key: t.v.At(t.r, t.c-1).Text}
	left.h = layout.ReadHeading(left.key)
	k, beside := layout.Beside(t.v, t.r, t.c-1)
	water := beside && k == t.c && left.ofOtherWater() && !strings.ContainsAny(left.key, "0123456789") && onlyAmount(t.text)
	figures := beside && k == t.c && onlyBasis(t.text) && ofLaboratory(left.key, left.h)
	return t.namedLeft() && (left.h.Old || left.h.Next) || water || figures
}

// ofLaboratory reports a name of readings or of who took them, which says nothing of doses.
func ofLaboratory(key string, h layout.Heading) bool {
	return (h.Operator || spoken()["of the laboratory"].in(words.Fold(key))) && !h.Dose && !layout.NamesBasis(key)
}

// onlyAmount reports a text that is a number, or one with its unit, and says nothing more.
func onlyAmount(text string) bool { return layout.IsFigure(text) || bareAmount(text) }

// cellReaders read a text cell in turn; the first that takes it ends the reading.
var cellReaders = []struct {
	what string
	take func(*textCell) bool
}{
	{"what a dash means", (*textCell).dash},
	{"the chemical of another time", (*textCell).ofAnother},
	{"a target in several cells", (*textCell).targetRow},
	{"the unit of the doses", (*textCell).unitFact},
	{"a dilution", (*textCell).dilution},
	{"sentences on a stock", func(t *textCell) bool { return t.b.stockSentences(t.base, t.text, t.dec) }},
	{"a limit of the meter", func(t *textCell) bool {
		limit := (ndText.MatchString(t.fold) || overText.MatchString(t.fold)) && strings.ContainsAny(t.fold, "0123456789")
		if limit {
			t.b.textFacts(t.base, t.text, t.dec)
		}
		return limit
	}},
	{"a reading of the raw water", func(t *textCell) bool {
		if !standsRaw(t.v, t.r, t.c, t.text, t.in) {
			return false
		}
		had := len(t.b.facts) + len(t.b.notes)
		if t.nameDoubted() {
			return true
		}
		t.b.rawSentence(t.base, t.text, t.dec)
		if len(t.b.facts)+len(t.b.notes) == had {
			return false // its number may stand beside it
		}
		t.b.basisBesideRaw(t.base, t.text)
		return true
	}},
	{"the raw water under its columns", (*textCell).rawLine},
	{"the raw water under headings of its own", (*textCell).rawHeaded},
	{"a name with its value", (*textCell).named},
	{"running text", func(t *textCell) bool { t.b.textFacts(t.base, t.text, t.dec); return true }},
}

// basisBesideRaw books what a clause beside the raw water says that the doses count: "Pond A (raw 33
// NTU, alum as Al)". Where a reading in mg/L stands in the line, it can be that which counts so.
func (b *bench) basisBesideRaw(base fact, text string) {
	weighed := slices.ContainsFunc(layout.ReadHeading(text).Readings, func(k string) bool { return strings.Contains(jartest.Key(k).Info().Unit, "mg/L") })
	for _, part := range partSign.Split(text, -1) {
		h := layout.ReadHeading(part)
		if as := basisIn(undenied(part)); as != "" && !weighed && !h.Raw && h.Reading == "" && !h.Amount {
			base.kind, base.chem, base.text = factBasis, h.Chem, as
			b.facts = append(b.facts, base)
		}
	}
}

// factsAt reads one text cell: as a name with its value beside or below it, or as
// running text.
func (b *bench) factsAt(v layout.View, r, c int, dec layout.Decimals, in func(int, int) bool) {
	text := b.unmeasured(v.Place(r, c), factText(v.At(r, c).Text))
	plain := unpowered(text)
	t := &textCell{b, v, r, c, dec, in, fact{r: r, c: c, g: v.Area, at: v.Place(r, c), text: text}, plain, words.Fold(plain)}
	for _, reader := range cellReaders {
		if reader.take(t) {
			break
		}
	}
	b.whiteSaid(t.base, plain, dec)
	b.targetSaidAt(t.base, plain, dec)
}

// dash reads "- = not dosed".
func (t *textCell) dash() bool {
	m := dashText.FindStringSubmatch(t.fold)
	if m == nil || t.v.At(t.r, t.c).Formula {
		return false
	}
	d := t.base
	d.kind, d.value = factDash, 1
	if h := layout.ReadHeading(m[2]); h.Control || h.Dose || nothingDosed.MatchString(m[2]) {
		d.value = 0
	}
	t.b.facts = append(t.b.facts, d)
	return true
}

var nothingDosed = words.NewPattern(`^0|zero|none|not dosed`)

// dilution notes a dilution, which may stand in the next cell; the rest is read on.
func (t *textCell) dilution() bool {
	about := t.text
	if next := t.v.At(t.r, t.c+1); next.Kind == grid.Textual && !t.in(t.r, t.c+1) {
		about += " " + next.Text
	}
	h := layout.ReadHeading(about)
	ofNumbers := h.Jar || h.Raw || h.Reading != "" || readOff(words.Fold(about))
	ofSamples := ofNumbers && !h.Stock && h.Chem == "" && !h.Neat // which no stock is
	n, ok := dilutionIn(about)
	if !ok {
		n, ok = stockRatio(about)
	}
	loose := !h.Stock && h.Chem == "" && !h.Neat && !h.Chemical && !t.b.dosesByVolume() // of what, nothing says
	if ok && !ofSamples && !loose {
		d := t.base
		d.kind, d.value, d.sure = factDilution, n, backTo.MatchString(words.Fold(about))
		t.b.facts = append(t.b.facts, d)
	}
	return false
}

// rider reports that what stands before a sign of equality or a colon is an amount with what
// is said of it, and not a name: "48 NTU, n = 3", "48 NTU, sampled 8:30".
func rider(key string) bool {
	return riding.MatchString(words.Fold(key)) && len(words.Amounts(key)) > 0
}

var riding = words.NewPattern(`[,;(] ?(?:n|(?:\pL+ )*\d{1,2}) ?$`)

// namesBeside reports a value that is itself the name of the number in the cell beside, "Before: raw turbidity | 45".
func (t *textCell) namesBeside(val string) bool {
	h := layout.ReadHeading(val)
	names := h.Reading != "" || h.Stock || h.Strength || h.Volume && h.Jar
	if !names || strings.ContainsAny(val, "0123456789") {
		return false
	}
	number, _, _ := t.b.beside(t.v, t.r, t.c, t.in)
	return layout.IsData(number, t.dec)
}

// listedKey reports a key before whose last comma another fact stands: "Stock 10 g/L, jars".
func listedKey(key string) bool {
	i := strings.LastIndex(key, ", ")
	return i > 0 && wholeFact(key[:i]) && len(words.Amounts(key[i:])) == 0
}

// named reads a name with its value: in the same cell, right of it, or below it.
func (t *textCell) named() bool {
	key, val, unit := t.text, "", ""
	var beside grid.Cell
	if k, x, ok := layout.Keyed(t.text); ok && !layout.IsClock(t.fold) && !strings.Contains(k, ";") && !strings.HasSuffix(k, "<") && !strings.HasSuffix(k, ">") && !rider(k) && !listedKey(k) && !t.namesBeside(x) {
		key, val = k, x
	}
	if val == "" && t.namedLeft() {
		return false
	}
	if val == "" {
		key = strings.TrimRight(key, ":= ")
		if val = t.below(key); val != "" {
			t.base.under = true
		} else {
			val, unit, beside = t.b.beside(t.v, t.r, t.c, t.in)
		}
		if !t.base.under && beside.Kind == grid.Textual && (statesItself(key) && namesFact(beside.Text) || onlyChemical(key) && statesItself(beside.Text)) {
			return false // two facts side by side
		}
	}
	if val == "" {
		return false
	}
	t.base.keyed = true
	t.b.dateFact(t.base, key, val, beside)
	t.b.keyFact(t.base, key, val, unit, t.dec)
	return true
}

// statesItself reports a text that states a fact with its number, and needs none from beside it: "Stock 10 g/L".
func statesItself(text string) bool {
	return wholeFact(text) || statesReading(layout.ReadHeading(text), text)
}

// onlyChemical reports the bare name of a chemical.
func onlyChemical(text string) bool {
	h := layout.ReadHeading(text)
	return h.Chem != "" && h.Rest == "" && !h.Chemical && !h.Stock && !h.Product && !h.Dose && !h.Strength && !h.Density && !strings.ContainsAny(text, "0123456789:=")
}

// namesFact reports a text that states a fact or is the name of one, "Jar volume 2 L", "in jars of".
func namesFact(text string) bool {
	h := layout.ReadHeading(text)
	return statesItself(text) || (h.Jar || h.Volume || h.Raw || h.Reading != "" || h.Target || h.Density) && !bareAmount(text)
}

// namedLeft reports the name of a chemical that is the value of the word left of it,
// "Chemical | Alum | Target | …": it has no value of its own.
func (t *textCell) namedLeft() bool {
	left := t.v.At(t.r, t.c-1)
	h := layout.ReadHeading(left.Text)
	k, ok := layout.Beside(t.v, t.r, t.c-1)
	return left.Kind == grid.Textual && !colonValue(left) && h.Chemical && ok && k == t.c && layout.ReadHeading(t.text).Chem != ""
}

// comparing is a limit with its number, which needs none from elsewhere: "turbidity <= 10 NTU".
var comparing = words.NewPattern(`[<>≤≥]=? ?\d`)

// below gives the number under a name that has none of its own and none beside it. A long name is a sentence.
func (t *textCell) below(key string) string {
	x := t.v.At(t.r+1, t.c)
	figure := x.Kind == grid.Numeric && !x.Date() && !x.Clock() || x.Kind == grid.Textual && layout.IsFigure(layout.Text(x))
	if h := layout.ReadHeading(key); t.in(t.r+1, t.c) || !figure || len(h.Text) >= 40 || comparing.MatchString(key) || statesReading(h, key) {
		return ""
	}
	k, ok := layout.Beside(t.v, t.r, t.c)
	if next := t.v.At(t.r, k); ok && !next.Blank() && (next.Kind != grid.Textual || !layout.ReadHeading(next.Text).Bears() || bareAmount(next.Text)) {
		return ""
	}
	return asShown(x)
}

// standsRaw reports a cell that has a reading of the raw water with its own number: it
// says so, or stands right of a cell that does. It never takes its neighbour's number.
func standsRaw(v layout.View, r, c int, text string, in func(int, int) bool) bool {
	h := layout.ReadHeading(sampleHead.ReplaceAllString(text, ""))
	if k, _, keyed := layout.Keyed(text); keyed && !strings.Contains(k, ";") || !statesReading(h, text) {
		return false
	}
	if h.Reading == jartest.TemperatureKey && h.Amount && h.Stage == "" {
		of := v.At(r, c-1).Text + " " + text
		return !warmElsewhere(layout.ReadHeading(of), words.Fold(of))
	}
	if c == 0 && underRaw(v, r, in) {
		return true
	}
	for k := c; k >= 0 && k > c-12; k-- {
		if x := v.At(r, k); x.Kind == grid.Textual && !in(r, k) {
			l := layout.ReadHeading(x.Text)
			if k < c && unitAlone(h, text) && namesAnother(l, h.Reading) { // "Raw hardness | 200 mg/L CaCO3"
				return false
			}
			if (l.Raw || l.Stage == "before") && !l.Target {
				return true
			}
		}
	}
	return false
}

// unitAlone reports a text of which the unit alone tells the reading, and may be that of others: hardness, acidity and calcium are
// counted as calcium carbonate as alkalinity is, colour as absorbance at 254 nm.
func unitAlone(h layout.Heading, text string) bool {
	ofOthers := h.Reading == jartest.AlkalinityKey || h.Reading == jartest.UV254
	return ofOthers && !slices.ContainsFunc(words.Find(words.Fold(text)), func(x words.Hit) bool { return strings.HasPrefix(x.Concept, "reading:") })
}

// namesAnother reports a name of another reading, or one that nobody knows.
func namesAnother(h layout.Heading, key jartest.Key) bool {
	if f := words.Fold(h.Text); key == jartest.UV254 && h.Wave == 0 && (strings.Contains(f, "254") || strings.Contains(f, "uv")) {
		return false
	}
	return h.Wave > 0 && key == jartest.UV254 || h.Reading != key && (h.Reading != "" || strangeWords(h.Rest) != "" || h.Metal != "")
}

// underRaw reports a line right under one that states a reading of the raw water, or under others that
// stand so: "Raw 38 NTU", and below it "pH 7.9".
func underRaw(v layout.View, r int, in func(int, int) bool) bool {
	for k := r - 1; k >= 0 && k > r-6; k-- {
		x := v.At(k, 0)
		if x.Kind != grid.Textual || in(k, 0) || !v.At(k, 1).Blank() {
			return false
		}
		h := layout.ReadHeading(x.Text)
		if !statesReading(h, x.Text) || h.Raw || h.Stage == "before" {
			return statesReading(h, x.Text)
		}
	}
	return false
}

// statesReading reports a short text that is the name of a reading with its number.
func statesReading(h layout.Heading, text string) bool {
	aside := h.Target || h.Summary || h.Next || h.Old || h.Removal || h.Stage == "after" || h.Stage == "set" || h.Timed || h.Jar || h.Dose || h.Chem != "" || filtered(words.Fold(text)) || warmElsewhere(h, words.Fold(text))
	number := h.Amount || h.Reading == jartest.PH && (h.Number || h.Index != "") && bareNum.MatchString(ordinals.ReplaceAllString(words.Fold(text), " "))
	return h.Reading != "" && !aside && number && len(text) < 60
}

// ofOneWater reports a text with several readings of one water that is not said to be
// treated: "Water: 12 C, pH 7.6".
func ofOneWater(h layout.Heading, text string) bool {
	if h.Stage == "after" || h.Target || h.Summary || h.Next || h.Old || h.Jar || h.Dose || h.Stock || h.Chem != "" || h.Timed {
		return false
	}
	n := 0
	for _, c := range clauses(text) {
		c = words.Fold(c)
		if of := layout.ReadHeading(c); (of.Reading != "" && of.Amount || of.Reading == jartest.PH || bareCelsius.MatchString(c)) && bareNum.MatchString(c) {
			n++
		}
	}
	return n > 1
}

// wholeLine gives a text with the value that its facts took from beside it, and with
// what stands right of that: a rider on the value.
func (b *bench) wholeLine(v layout.View, r, c int, in func(int, int) bool, facts []fact) string {
	text := factText(v.At(r, c).Text)
	stocked := slices.ContainsFunc(facts, func(x fact) bool { return x.kind == factStock && !x.keyed })
	if !slices.ContainsFunc(facts, func(x fact) bool { return x.keyed && !(stocked && x.kind == factChemical) }) {
		return text // what stands beside it is no value of its own
	}
	if slices.ContainsFunc(facts, func(x fact) bool { return x.c != c }) {
		return text // its numbers stand under columns
	}
	if slices.ContainsFunc(facts, func(x fact) bool { return x.under }) {
		return text + " " + strings.TrimSpace(asShown(v.At(r+1, c)))
	}
	k, ok := layout.Beside(v, r, c)
	if _, _, keyed := layout.Keyed(text); !ok || keyed {
		return text
	}
	for ; !v.At(r, k).Blank() && !in(r, k); k++ {
		x := v.At(r, k)
		if x.Kind == grid.Textual && k > c+1 && layout.ReadHeading(x.Text).Bears() && !strings.HasPrefix(strings.TrimSpace(x.Text), "(") && !bareAmount(x.Text) {
			break // the next fact of the row
		}
		if b.nameOfNext(v, r, k, c, in) {
			break
		}
		text += " " + strings.TrimSpace(asShown(x))
	}
	return text
}

// nameOfNext reports a word of its own, behind the value of a name, with a value of its own behind it: the next fact of the row,
// whatever it is of.
func (b *bench) nameOfNext(v layout.View, r, k, c int, in func(int, int) bool) bool {
	x, next := v.At(r, k), v.At(r, k+1)
	return k > c+1 && x.Kind == grid.Textual && !strings.ContainsAny(x.Text, "0123456789(") && !bareAmount(x.Text) && !in(r, k+1) && bareAmount(asShown(next))
}

// bareAmount reports a number with its unit, or a unit, without the name of anything.
func bareAmount(text string) bool {
	_, unit := words.OnlyUnit(text)
	return unit || layout.ParseText(text, layout.DecimalsUnknown).State == layout.Number
}

// beside gives the value right of a name, the unit right of that, and the value's cell.
func (b *bench) beside(v layout.View, r, c int, in func(int, int) bool) (string, string, grid.Cell) {
	k, ok := layout.Beside(v, r, c)
	if !ok {
		return "", "", grid.Cell{} // a heading over facts, not the name of one
	}
	x := v.At(r, k)
	if x.Blank() || in(r, k) || x.Kind == grid.Faulty || b.titlesOther(v, r, c, k) {
		return "", "", grid.Cell{}
	}
	if _, ok := words.OnlyUnit(x.Text); x.Kind == grid.Textual && (ok || strings.HasSuffix(strings.TrimSpace(x.Text), ":")) {
		return "", "", grid.Cell{} // the value has not been filled in, or the next fact begins
	}
	if x.Kind == grid.Numeric && (x.Date() || x.Clock()) {
		return "date", "", x
	}
	text := asShown(x)
	if u := v.At(r, k+1); u.Kind == grid.Textual && !in(r, k+1) {
		if _, ok := words.OnlyUnit(u.Text); ok || scaleOfDegrees(v.At(r, c).Text, u.Text) {
			return text, u.Text, x
		}
	}
	return text, "", x
}

// asShown gives the text of a cell with what its number format adds: percent, a unit, another
// number than the one that is stored.
func asShown(x grid.Cell) string {
	switch {
	case x.Kind != grid.Numeric:
		return x.Text
	case x.Shown() != "":
		return x.Text + " (shown as " + x.Shown() + ")"
	case x.Percent():
		return strconv.FormatFloat(round12(x.Num*100), 'g', 15, 64) + " %"
	case x.Suffix() != "":
		return x.Text + " " + x.Suffix()
	}
	return x.Text
}

// chemicalFact books a chemical named in a text.
func (b *bench) chemicalFact(base fact, text string) bool {
	h := layout.ReadHeading(text)
	d := base
	d.kind, d.text = factChemical, text
	switch {
	case h.Chem != "":
		d.chem = h.Chem
	case base.keyed && strings.ContainsFunc(text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) && text != "date" && len(text) < 50 && !h.Stock:
		d.chem = strings.TrimSpace(text)
		if h.Metal != "" {
			d.chem = map[string]string{"Al": "aluminium coagulant", "Fe": "ferric"}[h.Metal]
		}
	default:
		return false
	}
	if base.keyed {
		key, _, keyed := layout.Keyed(base.text)
		if !keyed {
			key = base.text
		}
		n := namingOf(key, text, b.ofAllJars)
		if d.naming = &n; n.open() {
			d.chem = strings.TrimSpace(text)
		}
	}
	b.facts = append(b.facts, d)
	return true
}

// dense reports a unit in which the densities of products are given: kg/L, lb/gal.
func dense(u words.Unit) bool { return u.Kind == words.Conc && u.Factor > 1e5 }

// leastDensity is below that of any liquid product, kg/L.
const leastDensity = 0.5

// factorOr1 gives kg/L for one of the unit.
func factorOr1(u words.Unit) float64 {
	if u.Factor == 0 || u.Kind != words.Conc {
		return 1
	}
	return u.Factor / 1e6
}

// stockStrength gives the strength of a stock in mg/L. A percentage is mass by
// volume, as benches mean it for what they make up (1 % is 10 g/L).
func stockStrength(p layout.Value) (float64, bool) {
	switch p.Unit.Kind {
	case words.Conc:
		return p.Num * p.Unit.Factor, p.Num > 0
	case words.Percent:
		percent := p.Num * p.Unit.Factor
		return percent * 1e4, percent > 0 && percent <= 60
	}
	return 0, false
}

// textFacts finds amounts in running text, part by part: "2 L jars, stock 20 g/L alum".
func (b *bench) textFacts(base fact, text string, dec layout.Decimals) {
	f := words.Fold(text)
	all := layout.ReadHeading(text)
	raw := all.Raw || all.Stage == "before"
	old := all.Old && layout.ReadHeading(ageOf.ReplaceAllString(f, " ")).Old
	if (all.Next || old && !asMeant.MatchString(f)) && !raw {
		if old && basisOf(text) != "" {
			b.basisNotTaken(base, text)
		}
		return
	}
	add := func(kind factKind, value float64, chem, said string) {
		d := base
		d.kind, d.value, d.chem, d.text = kind, value, chem, said
		d.keyed = d.keyed && kind != factChemical
		b.facts = append(b.facts, d)
	}
	if n := meanN.FindStringSubmatch(f); n != nil && !strings.Contains(f, "ph") {
		x, _ := strconv.ParseFloat(n[1], 64)
		add(factN, x, base.chem, base.text)
	}
	if basis := basisOf(text); basis != "" {
		add(factBasis, base.value, base.chem, basis)
	} else if chem, as := chemicalCounts(text); as != "" {
		add(factBasis, base.value, chem, as)
	} else if raw {
		b.basisBesideRaw(base, text)
	}
	if ndText.MatchString(f) || overText.MatchString(f) {
		b.limits(base, text, dec)
		return
	}
	if chem := dosedOf(text); chem != "" {
		add(factChemical, base.value, chem, base.text)
	}
	if all.Neat {
		add(factNeat, base.value, all.Chem, base.text)
	}
	if raw || ofOneWater(all, text) {
		b.rawSentence(base, text, dec)
	}
	if b.stockSentences(base, text, dec) {
		return
	}
	for _, part := range sentences(text, sentenceEnd) {
		b.jarVolumes(base, sentenceOf(part, dec))
	}
	for _, part := range factParts(text) {
		b.amounts(base, part, dec, all)
	}
}

// factParts cuts a text into the parts that facts are read of: a chemical by itself is named for the
// amount behind it, "alum, 30 mg/L in every jar".
func factParts(text string) []string {
	parts := partSign.Split(text, -1)
	for i := 0; i+1 < len(parts); {
		h, next := layout.ReadHeading(parts[i]), layout.ReadHeading(parts[i+1])
		alone := h.Chem != "" && h.Rest == "" && !h.Stock && !h.Dose && !strings.ContainsAny(parts[i], "0123456789") && len(words.Tokens(words.Fold(parts[i]))) <= 3
		if !alone || next.Chem != "" || !next.Amount {
			i++
			continue
		}
		parts[i] = strings.TrimSpace(parts[i]) + " " + parts[i+1]
		parts = slices.Delete(parts, i+1, i+2)
	}
	return parts
}

// basisOf reads "doses as Al", "all doses in mg/L as dry alum", "注入率はAl2O3換算": what the
// doses of a table count, "" where a text says nothing of it.
func basisOf(text string) string {
	for _, part := range sentences(text, sentenceEnd) {
		part = undenied(part)
		h, f := layout.ReadHeading(part), words.Fold(part)
		counted, isCounted := words.CountedAs(part)
		_, known := quantity.BasisOf(counted)
		ofDoses := h.Dose || spoken()["dose"].in(f) || layout.NamesBasis(part)
		if spoken()["former"].in(f) || spoken()["formerly"].in(f) || !ofDoses && spoken()["of the laboratory"].in(f) {
			continue // other doses, and what a laboratory reports
		}
		ofFigures := isCounted && known && spoken()["subject"].in(f) // "figures as dry alum"
		ofUnit, counts := unitSaid(part)
		_, alone := words.CountsOnly(part)                                                              // "as alum 14-hydrate"
		alone = alone || slices.Contains(words.Counted(part), words.CountedAt{As: counted, To: len(f)}) // "as Fe"
		if !ofDoses && !ofFigures && !ofUnit && !(known && (counts != "" || alone)) || h.Reading != "" || h.Stock {
			continue
		}
		if isCounted {
			return counted
		}
		if all := countedIn(part); len(all) == 1 && (ofUnit || spoken()["counted"].in(f)) {
			return all[0]
		}
		if h.Metal != "" && h.Chem == "" && (ofUnit || spoken()["counted"].in(f)) { // "in terms of iron", "iron basis"
			return strings.ToLower(h.Metal)
		}
		if as := productIn(f, h); as != "" {
			return as
		}
		if h.Chem != "" && !h.Amount && !denies(f) && aProduct.MatchString(f) {
			return string(quantity.AsProduct)
		}
		if at, ok := words.Active(f); ok && ofDoses && counts == "" && len(words.Units(part)) > 0 && !h.Amount { // "dosing in mg/L, active"
			return at.As
		}
	}
	return ""
}

// chemicalCounts gives the chemical that a clause of a title names with what its doses count, "ferric
// chloride as FeCl3": one with an amount tells what a product holds.
func chemicalCounts(text string) (chem, as string) {
	for _, part := range partSign.Split(undenied(text), -1) {
		h := layout.ReadHeading(part)
		counted, isCounted := words.CountedAs(part)
		_, known := quantity.BasisOf(counted)
		if h.Chem == "" || !isCounted || !known || h.Amount || h.Reading != "" || h.Stock || h.Stage != "" || len(uncounted(h.Rest)) > 0 || !countsIn(h.Chem, counted) || strings.ContainsAny(part, "%?") {
			continue
		}
		if as != "" && (as != counted || chem != h.Chem) {
			return "", ""
		}
		chem, as = h.Chem, counted
	}
	return chem, as
}

// uncounted gives the words of what was not understood that are none for counting, as the "als" of "als Fe".
func uncounted(rest string) []string {
	return slices.DeleteFunc(strings.Fields(rest), func(w string) bool { return len(words.Counted(w+" fe")) > 0 })
}

// unitSaid reports a sentence that begins with the unit of doses and goes on, "mg/L refers to the
// product", and gives what a unit of doses in it counts, "(mg/L as Fe)"; one with a number is an amount.
func unitSaid(part string) (begins bool, counts string) {
	for _, u := range words.Units(part) {
		if _, amount := words.NumberBefore(part, u.From); amount || u.Kind != words.Conc {
			continue
		}
		begins = begins || u.From == 0 && u.To < len(strings.TrimRight(part, " ."))
		if u.Factor == 1 { // else it is another unit than mg/L as well, which others speak of
			counts = cmp.Or(counts, u.As)
		}
	}
	return begins, counts
}

// aProduct is a word for how a product is sold that stands before the name of the chemical: "liquid alum product".
var aProduct = words.NewPattern(`\b(?:liquid|commercial|trade|delivered|supplied)\b[^.;]*\bproduct\b`)

// productIn gives the product that a folded sentence says the doses are of: as it is
// delivered, or dry.
func productIn(f string, h layout.Heading) string {
	said := strings.Trim(f, " .!")
	switch goods := spoken()["goods"].in(said) || h.Neat; {
	case h.Amount || denies(f):
	case spoken()["dried"].in(said) && (goods || h.Product || lengthOf(said) < 5):
		return "dry product"
	case goods:
		return string(quantity.AsProduct)
	}
	return ""
}

// countedIn gives what a dose can count and a text names.
func countedIn(text string) []string {
	var out []string
	for _, w := range chemicalWord.FindAllString(text, -1) {
		if as, ok := words.Species(words.Fold(w)); ok && w != words.Fold(w) && !slices.Contains(out, as) {
			if _, basis := quantity.BasisOf(as); basis {
				out = append(out, as)
			}
		}
	}
	return out
}

var chemicalWord = words.NewPattern(`[A-Z][A-Za-z0-9]*(?:\([A-Za-z0-9]+\)[A-Za-z0-9]*)*`)

// limits books what a meter can tell: its detection limit, the end of its range.
func (b *bench) limits(base fact, text string, dec layout.Decimals) {
	f, d := words.Fold(text), base
	d.kind, d.key = factLimit, layout.ReadHeading(text).Reading
	if overText.MatchString(f) && !ndText.MatchString(f) {
		d.kind = factOverLimit
	}
	for _, a := range words.Amounts(text) {
		if x := layout.Numeral(a.Number, dec); x.OK() {
			d.value, d.unit = x.Num, a.Unit
			b.facts = append(b.facts, d)
		}
	}
}
