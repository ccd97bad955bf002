package sheet

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"jarwright/jartest"
	"jarwright/jartest/grid"
	"jarwright/jartest/layout"
	"jarwright/jartest/note"
	"jarwright/jartest/words"
)

// role is what a column is used for.
type role uint8

const (
	asIgnored role = iota
	asJar
	asTest
	asChemical
	asReplicate
	asNote
	asDose
	asStock // volume of stock or of neat product
	asReading
	asSetting
	asBefore // the water before treatment, for each jar
	asMean
	asSD
	asN
	asParameter
	asUnit
	asQualifier
	asTarget
	asVolume   // water in the jar, by row
	asStrength // of the stock, by row
	asDilution // of the sample that was read, by row
	asStart    // what a burette showed before a jar was dosed
)

// field is a column with its role.
type field struct {
	layout.Column
	role role
	key  jartest.Key // of a reading or setting
	chem string      // of a dose or stock: the name to show
	part string      // what sets this reading apart from others of its kind: another water or chemical
	of   int         // the field that a stock, mean, deviation or count belongs to; -1 for none
	told bool        // --column says what it is
	// unitTold: it says the unit too, which is then no question any more
	unitTold bool
	rep      bool // one of several repeat columns of the same reading
	less     int  // the column of the view, from 1 on, whose volumes are taken off its own; 0 for none
	// spread: its cells hold each reading with its deviation, "41 ± 2"
	spread bool
	// letter is how --column names it where another column of its table has the same heading
	letter string
	// spent are the concepts and words of its heading that told it from other columns
	spent []string
	// counted is the fact that the basis of a dose stands in, where the heading has none
	counted *fact
	// ofOne says that its unit is one that the sheet states for its chemical, or for its kind, and no other
	ofOne bool
	// counts over the data rows
	numbers, texts, blanks int
	votes                  []layout.Vote[role, *evidence] // what the rules say of its role, heaviest first
}

// header is how --column names the column: by its heading, or by its letter where that is not
// its own.
func (f field) header() string { return cmp.Or(f.letter, f.Head.Text) }

// saidAs is how --column says of a dose, or of the stock behind one, what it was taken for.
func (f field) saidAs() string {
	return strings.Join(strings.Fields(map[bool]string{true: "stock", false: "dose"}[f.role == asStock]+" "+f.chem+" "+f.Head.Unit.Name), " ")
}

// margin gives how far the first role of a column is ahead of the second, and the
// second; ok is false where no rule speaks for another.
func (f field) margin() (ahead int, second role, ok bool) {
	for _, v := range f.votes {
		if v.Role != f.role {
			return f.votes[0].Weight - v.Weight, v.Role, true
		}
	}
	return 0, 0, false
}

// why gives the heaviest reason for a role.
func (f field) why(r role) string {
	for _, v := range f.votes {
		if v.Role == r {
			return v.Why
		}
	}
	return ""
}

// roleNames say a role in a message.
var roleNames = [...]string{
	asIgnored: "left out", asJar: "jar label", asTest: "name of the test", asChemical: "name of the chemical", asReplicate: "number of the repeat",
	asNote: "remark", asDose: "dose", asStock: "volume of stock", asReading: "reading", asSetting: "setting", asBefore: "water before treatment",
	asMean: "mean", asSD: "standard deviation", asN: "count", asParameter: "name of the reading", asUnit: "unit",
	asQualifier: "qualifier", asTarget: "target", asVolume: "volume of the jar", asStrength: "strength of the stock", asDilution: "dilution of the sample", asStart: "start of the burette",
}

func (r role) String() string { return roleNames[r] }

// classify gives every column of a table its role: each table of rules in turn looks
// at every column, from left to right.
func (b *bench) classify(t *layout.Table) []field {
	fs := b.countCells(t)
	b.override(t, fs)
	bareCounts(fs)
	b.readingFromTitle(t, fs)
	b.readingFromHead(t, fs)
	b.readingFromLeft(fs)
	e := &evidence{b: b, t: t, fs: fs, labels: b.labelColumn(t, fs), jar: -1, test: -1}
	for step := range columnSteps {
		switch step {
		case stepMasses:
			e.lookOver()
		case stepStats:
			b.burette(t, fs)
			b.sameDoseTwice(t, fs)
			pairStock(fs)
			b.unevenStock(t, fs)
		case stepSettings:
			b.nameKeys(fs)
		case stepBefore:
			b.unnamedReading(fs)
		}
		for i := range fs {
			e.decide(step, i)
		}
	}
	b.products(t, fs)
	b.readingKeys(t, fs)
	return fs
}

// countCells makes a field of every column and counts what its cells hold.
func (b *bench) countCells(t *layout.Table) []field {
	fs := make([]field, len(t.Cols))
	for i, col := range t.Cols {
		fs[i] = field{Column: col, of: -1}
		for _, r := range t.Rows {
			x := t.View.At(r, col.C)
			switch {
			case x.Blank():
				fs[i].blanks++
			case b.finder(t).DataLike(x), col.Head.Dose && b.isDoseText(x.Text, b.dec(t)):
				fs[i].numbers++
			default:
				fs[i].texts++
			}
		}
		fs[i].spread = b.spreadInCells(t, col, fs[i].numbers)
	}
	return fs
}

// lookOver counts the columns of doses and finds the first reading.
func (e *evidence) lookOver() {
	e.firstReading = len(e.fs)
	for i, f := range e.fs {
		switch {
		case f.role == asDose || f.role == asStock:
			e.doses++
		case f.role == asReading && (f.Head.Reading != "" || f.Head.Removal):
			e.firstReading = min(e.firstReading, i)
		}
	}
}

// decide lets the rules of one step speak of column i. Their votes join those that
// it has; where they are heavier, its role changes.
func (e *evidence) decide(step, i int) {
	e.i, e.field = i, &e.fs[i]
	if step == stepStats && e.role == asReading && e.Head.Stat == "mean" {
		e.meanOfLeft()
	}
	said := columnSteps[step].Votes(e)
	if len(said) == 0 {
		return
	}
	decided := len(e.votes) == 0 || said[0].Weight > e.votes[0].Weight
	e.votes = append(e.votes, said...)
	layout.ByWeight(e.votes)
	if !decided {
		return
	}
	e.role = said[0].Role
	switch {
	case e.role == asJar && e.jar < 0:
		e.jar = i
	case e.role == asTest && e.test < 0:
		e.test = i
	case step == stepNames && e.role == asDose:
		if e.chem = e.Head.Chem; e.chem == "" {
			e.named()
		}
	case step == stepDoses && e.role == asNote:
		e.chem = ""
	case step == stepMasses && e.role != asReading:
		e.doses++
	}
	if said[0].Then != nil {
		said[0].Then(e)
	}
}

// productCode is the name of a product with its number, either first: ZK-18, Zorp-33, 18-ZK; a short
// one in capitals may stand without the hyphen.
var productCode = words.NewPattern(`\b(?:\p{Lu}\p{L}+-\d{1,4}\p{Lu}?|\d{1,4}-\p{Lu}\p{L}+|\p{Lu}{2,4} ?\d{1,4}\p{Lu}?|\d{1,4} ?\p{Lu}{2,4})\b`)

// named takes a product's name and number in the heading of a dose for the chemical. Words that
// are known are no name, and in a heading of capitals short words are none either.
func (e *evidence) named() {
	name := productCode.FindString(e.Head.Text)
	letters := strings.Trim(name, "0123456789- ")
	_, unit := words.OnlyUnit(letters)
	_, behind, _ := strings.Cut(e.Head.Text, name)
	amount := units(behind) || strings.HasPrefix(behind, ".") || strings.HasPrefix(behind, ",") // "with PE 2 mg/L"
	short := !strings.Contains(name, "-") && (amount || e.Head.Text == strings.ToUpper(e.Head.Text))
	if name == "" || unit || short || !e.Head.Dose || len(words.Find(words.Fold(letters))) > 0 {
		return
	}
	e.chem = name
	for _, t := range words.Tokens(words.Fold(name)) {
		e.spent = append(e.spent, t.Text)
	}
	e.spent = append(e.spent, words.Fold(name))
}

// units reports a text that begins with a unit.
func units(text string) bool {
	us := words.Units(text)
	return len(us) > 0 && strings.TrimSpace(text[:us[0].From]) == ""
}

// meanOfLeft gives a mean that names no reading the one to its left.
func (e *evidence) meanOfLeft() {
	j := readingOf(e.fs, e.i)
	if e.Head.Reading != "" || j < 0 {
		return
	}
	e.Head.Reading = e.fs[j].Head.Reading
	if !e.Head.Unit.Known() {
		e.Head.Unit = e.fs[j].Head.Unit
	}
}

func (b *bench) isDoseText(s string, d layout.Decimals) bool {
	_, ok := b.doseText(s, d)
	return ok
}

// titleReading gives the reading that the title of a table names, or the line below it.
func titleReading(t *layout.Table) (said string, h layout.Heading, ok bool) {
	said = t.Title
	h = layout.ReadHeading(said)
	if h.Reading == "" && t.Foot != "" { // "Residual turbidity in NTU; raw 46 NTU"
		said = clauseEnd.Split(t.Foot, 2)[0]
		h = layout.ReadHeading(said)
	}
	return said, h, h.Reading != "" && h.Stage != "before" && !h.Raw && !h.Amount
}

// readingFromTitle gives the reading that a title names, "Turbidity (NTU) against
// dose", to the columns of a table that names none: its other columns are waters,
// chemicals or repeats.
func (b *bench) readingFromTitle(t *layout.Table, fs []field) {
	said, h, ok := titleReading(t)
	if !ok {
		return
	}
	if slices.ContainsFunc(fs, func(f field) bool { h := f.Head; return h.Reading != "" || h.Removal || h.LogRemoval || h.Value }) {
		return
	}
	dose := slices.IndexFunc(fs, func(f field) bool { return f.numbers > 0 && (f.Head.Dose || f.Head.Unit.Kind == words.Conc) })
	if dose < 0 {
		return
	}
	for i := range fs {
		f := &fs[i]
		own := f.Head.Unit.Known() || f.Head.Dose || f.Head.Stock || f.Head.Note || f.Head.Jar && i < dose
		if i == dose || f.numbers == 0 || own {
			continue
		}
		f.Head.Reading, f.Head.Unit, f.Head.Removal, f.Head.Jar = h.Reading, h.Unit, h.Removal, false
		b.say(note.Info, "reading-from-title", t.TitleAt, "%q says what the columns hold", clip(said))
	}
}

// readingFromHead gives the reading named by a heading without figures, "Turbidity
// (NTU)", to the lines of repeats under it, "rep 1" and "rep 2". Only jars across a
// sheet have such lines.
func (b *bench) readingFromHead(t *layout.Table, fs []field) {
	if !t.View.Turned {
		return
	}
	for i := 0; i < len(fs); i++ {
		over := fs[i].Head
		if over.Reading == "" || fs[i].numbers+fs[i].texts > 0 {
			continue
		}
		for k := i + 1; k < len(fs); k++ {
			f := &fs[k]
			h := f.Head
			bare := h.Rest == "" || layout.IsFigure(h.Rest)
			if f.numbers == 0 || h.Reading != "" || h.DoseLike() || h.Unit.Known() || !bare || !(h.Replicate || h.Index != "" || h.Number || h.Stat != "") {
				break
			}
			f.Head.Reading, f.Head.Unit, f.Head.Replicate, f.Head.Jar = over.Reading, over.Unit, false, false
			f.Head.Text = over.Text + ", " + h.Text
			b.say(note.Info, "reading-from-heading", f.Place, "line %q is taken for a repeat under %q", h.Text, over.Text)
		}
	}
}

// readingFromLeft gives the reading of a settling time, "Turbidity (NTU) 5 min", to the columns
// right of it that are headed by a time alone.
func (b *bench) readingFromLeft(fs []field) {
	for i := 1; i < len(fs); i++ {
		h, left := &fs[i].Head, fs[i-1].Head
		bare := h.Timed && h.Rest == "" && h.Extra == "" && h.Reading == "" && !h.DoseLike() && !h.Speed && !h.Jar && !h.Note && !h.Said
		if bare && left.Timed && left.Reading != "" && fs[i].numbers > 0 && fs[i-1].numbers > 0 {
			h.Reading, h.Unit = left.Reading, left.Unit
			b.say(note.Info, "reading-from-heading", fs[i].Place, "column %q is taken for %s at that time, as column %q is", h.Text, h.Reading.Info().Label, left.Text)
		}
	}
}

// override applies the user's own words: --column "header=reading". Several columns of a table
// that the words fit are spoken of.
func (b *bench) override(t *layout.Table, fs []field) {
	for i := range fs {
		for j := range fs {
			if i != j && layout.SameText(fs[i].Head.Text, fs[j].Head.Text) {
				fs[i].letter = grid.ColumnName(fs[i].C)
			}
		}
	}
	for _, o := range b.opt.Columns {
		var met []string
		for i := range fs {
			f := &fs[i]
			if !f.meets(o.Header) {
				continue
			}
			b.used[o.Header] = true
			if strange := strangeIn(o.Meaning); strange != "" {
				b.say(note.Error, "unit-not-understood", f.Place, `%q in --column "%s=%s" is no unit that is known`, strange, o.Header, o.Meaning).
					do(b, `write the unit plainly, such as "NTU" or "mg/L", or leave it out for the one of the sheet`)
				continue
			}
			means := layout.ReadHeading(o.Meaning)
			if name := nameIn(o.Meaning, means); name != "" {
				b.say(note.Caution, "name-not-taken", f.Place, `%q in --column "%s=%s" is no chemical that is known, and was not taken`, name, o.Header, o.Meaning).
					do(b, `name the chemical with --chemical NAME`)
			}
			f.unitTold = means.Unit.Known()
			f.Head, f.told = layout.Overridden(f.Head, o.Meaning), true
			met = append(met, grid.ColumnName(f.C))
		}
		if len(met) > 1 {
			b.say(note.Caution, "column-several", t.View.PlaceAt(t.Head, t.C0), `--column "%s=%s" fits %d columns, %s, and was applied to each`, o.Header, o.Meaning, len(met), strings.Join(met, ", ")).
				do(b, `name one by its letter, --column "%s=%s"`, met[len(met)-1], o.Meaning)
		}
	}
}

// strangeIn is the word of a stated meaning that stands where its unit would and is none, "ntuu" in "turbidity ntuu",
// "mgg/L" in "dose alum mgg/L", "thimbles" in "dose thimbles".
func strangeIn(meaning string) string {
	h := layout.ReadHeading(meaning)
	for i, w := range strings.Fields(meaning) {
		word, below, part := strings.Cut(w, "/")
		strange := word != "" && slices.Contains(strings.Fields(h.Rest), words.Fold(word))
		if strange && (part && below != "" || !h.Unit.Known() && (h.Reading != "" || h.Chem != "" || i > 0 && (h.Dose || h.Stock))) {
			return w
		}
	}
	return ""
}

// nameIn are the words of a stated dose with its unit that are neither, such as a name of the trade that nobody knows.
func nameIn(meaning string, h layout.Heading) string {
	if !(h.Dose || h.Stock) || !h.Unit.Known() {
		return ""
	}
	rest := strings.Fields(h.Rest)
	return strings.Join(slices.DeleteFunc(strings.Fields(meaning), func(w string) bool { return !slices.Contains(rest, words.Fold(w)) }), " ")
}

// meets reports a column that --column names by its heading, by the part of it in its own cell, or
// by its letter.
func (f field) meets(header string) bool {
	return layout.SameText(header, f.Head.Text) || layout.SameText(header, strings.Join(f.Parts, " ")) || strings.EqualFold(header, grid.ColumnName(f.C)) ||
		len(f.Parts) > 0 && layout.SameText(header, f.Parts[0])
}

// plainName gives the words of a heading without brackets, units and "dose".
func plainName(text string) string {
	s := text
	if i := strings.IndexAny(s, "([{,;"); i > 0 {
		s = s[:i]
	}
	var out []string
	for _, w := range strings.Fields(strings.ReplaceAll(s, "_", " ")) {
		if _, ok := words.OnlyUnit(w); ok || words.Means(w, "role:dose") {
			continue
		}
		out = append(out, w)
	}
	return orWord(strings.Join(out, " "), strings.TrimSpace(text))
}

// labelColumn chooses between several columns that can be jar labels: the one with
// the most different values, then the first. It gives -1 where there is no choice.
func (b *bench) labelColumn(t *layout.Table, fs []field) int {
	best, most, n := -1, 0, 0
	for i, f := range fs {
		h := f.Head
		if !h.Jar || h.Core() || h.Chemical || h.Unit.Kind == words.Volume || f.numbers+f.texts == 0 {
			continue
		}
		n++
		seen := map[string]bool{}
		for _, r := range t.Rows {
			seen[words.Fold(t.View.At(r, f.C).Text)] = true
		}
		if len(seen) > most {
			best, most = i, len(seen)
		}
	}
	if n < 2 {
		return -1
	}
	return best
}

// counts reports a column that numbers its rows 1, 2, 3 …; with words, also one that names some
// instead: "Raw, 1, 2, 3, mean".
func (b *bench) counts(t *layout.Table, c int, named bool) bool {
	last, n := -1.0, 0
	for _, r := range t.Rows {
		x := t.View.At(r, c)
		v := layout.ParseValue(x, b.dec(t))
		switch {
		case named && !x.Blank() && !strings.ContainsAny(x.Text, "0123456789"):
			continue
		case !v.OK(), v.Num != float64(int(v.Num)), n > 0 && v.Num != last+1:
			return false
		}
		last, n = v.Num, n+1
	}
	return n > 2 || n > 0 && n == len(t.Rows)
}

// lettered reports a column with a plain label on every row, each once.
func (b *bench) lettered(t *layout.Table, c int) bool {
	seen := map[string]bool{}
	for _, r := range t.Rows {
		label := b.label(t, r, c)
		if seen[label] || !plainLabel(label) {
			return false
		}
		seen[label] = true
	}
	return len(seen) > 1
}

// within reports a column of which most numbers lie among the readings beside it, as those of their mean do.
func (b *bench) within(t *layout.Table, fs []field, i int) bool {
	in, all := 0, 0
	for _, r := range t.Rows {
		x := layout.ParseValue(t.View.At(r, fs[i].C), b.dec(t))
		if !x.OK() {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for j, f := range fs {
			if v := layout.ParseValue(t.View.At(r, f.C), b.dec(t)); j != i && f.Head.Reading == fs[i].Head.Reading && f.role == asReading && v.OK() {
				low, high = min(low, v.Num), max(high, v.Num)
			}
		}
		slack := 0.02 * math.Abs(high) // the last digit of a mean is rounded
		all++
		if x.Num >= low-slack && x.Num <= high+slack {
			in++
		}
	}
	return in*2 >= all
}

// zeroAt reports a column that begins at zero.
func (b *bench) zeroAt(t *layout.Table, c int) bool {
	return len(t.Rows) > 0 && layout.ParseValue(t.View.At(t.Rows[0], c), b.dec(t)).Num == 0
}

// constant reports a column with one and the same number in every filled row.
func (b *bench) constant(t *layout.Table, c int) bool {
	n, first := 0, 0.0
	for _, r := range t.Rows {
		x := t.View.At(r, c)
		if x.Blank() {
			continue
		}
		v := layout.ParseValue(x, b.dec(t))
		if !v.OK() || n > 0 && v.Num != first {
			return false
		}
		first, n = v.Num, n+1
	}
	return n > 0
}

// distinct reports a column with another text or number in every row.
func (b *bench) distinct(t *layout.Table, c int) bool {
	seen := map[string]bool{}
	for _, r := range t.Rows {
		x := t.View.At(r, c)
		if x.Blank() || seen[words.Fold(x.Text)] {
			return false
		}
		seen[words.Fold(x.Text)] = true
	}
	return true
}

// pairStock joins a column of stock volumes to the dose column that it leads to.
func pairStock(fs []field) {
	doses := 0
	for _, f := range fs {
		if f.role == asDose {
			doses++
		}
	}
	taken := map[int]bool{}
	for i := range fs {
		if fs[i].role != asStock {
			continue
		}
		best := -1
		for j := range fs {
			if fs[j].role != asDose || taken[j] && doses > 1 {
				continue
			}
			same := fs[i].chem == fs[j].chem || fs[i].chem == "" || fs[j].chem == ""
			if same && (best < 0 || max(i-j, j-i) < max(i-best, best-i)) {
				best = j
			}
		}
		if best >= 0 {
			fs[i].of = best
			taken[best] = true
			if fs[best].chem == "" {
				fs[best].chem = fs[i].chem
			}
		}
	}
}

// nameKeys names the readings; a time without a name, "after 30 min", is of what was read at the
// time in the column before it.
func (b *bench) nameKeys(fs []field) {
	for i := range fs {
		if h := &fs[i].Head; i > 0 && fs[i].role == asReading && h.Timed && h.Reading == "" && !h.Unit.Known() && h.Rest == "" && fs[i-1].role == asReading && fs[i-1].Head.Timed {
			h.Reading, h.Unit = fs[i-1].Head.Reading, fs[i-1].Head.Unit
		}
		if f := &fs[i]; f.role == asReading {
			f.key = b.keyOf(fs, f)
		}
	}
}

// readingKeys sorts out several columns of one kind, in each group for itself.
func (b *bench) readingKeys(t *layout.Table, fs []field) {
	type kind struct {
		key   jartest.Key
		group int
	}
	group := groupOf(fs)
	byKind := map[kind][]int{}
	var order []jartest.Key
	for i, f := range fs {
		if f.role != asReading {
			continue
		}
		k := kind{f.key, group[i]}
		byKind[k] = append(byKind[k], i)
		if !slices.Contains(order, f.key) {
			order = append(order, f.key)
		}
	}
	for _, key := range order {
		for g := 0; g <= group[len(fs)-1]; g++ {
			if idx := byKind[kind{key, g}]; len(idx) > 1 {
				b.several(t, fs, key, idx)
			}
		}
	}
}

// unnamedReading takes a lone column called "result" for turbidity, and says so.
func (b *bench) unnamedReading(fs []field) {
	lone, dosed := -1, false
	for i, f := range fs {
		switch {
		case f.role == asDose || f.role == asStock:
			dosed = true
		case f.role != asReading || f.numbers == 0:
		case f.Head.Reading != "" || f.Head.Removal || f.Head.LogRemoval || f.Head.Unit.Known() || lone >= 0:
			return
		case f.Head.Value:
			lone = i
		}
	}
	if lone >= 0 && dosed {
		f := &fs[lone]
		f.key, f.Head.Reading = jartest.Turbidity, jartest.Turbidity
		b.say(note.Caution, "reading-assumed", f.Place, "column %q does not say what was read; turbidity is assumed", f.Head.Text).do(b, `state it with --column "%s=turbidity NTU"`, f.header())
	}
}

// keyOf names one reading.
func (b *bench) keyOf(fs []field, f *field) jartest.Key {
	h := f.Head
	own := jartest.Slug(h.Text)
	if own == "" {
		own = jartest.Slug(grid.ColumnName(f.C))
	}
	switch {
	case h.LogRemoval:
		return own
	case h.Removal && h.Unit.Kind == words.Conc: // an amount, and no share
		return own
	case h.Removal:
		return cmp.Or(b.removalKey(fs, f), own)
	case weighed(h) && h.Unit.Kind == words.Mass, !h.Reading.Known(), h.Note && h.Unit.Kind == words.Minutes, b.otherMeasure(f), b.strangeMeasure(fs, f):
		return own
	}
	return h.Reading
}

// weighed reports a heading of what a laboratory weighed or drew, the tare of a filter, a titrant, wet
// sludge: a mass or a volume that is neither dosed nor a reading of the water.
func weighed(h layout.Heading) bool {
	return (h.Unit.Kind == words.Mass || h.Unit.Kind == words.Volume) && spoken()["weighed"].in(words.Fold(h.Text))
}

// removalKey names what a column gives the removal of; one that does not say so gives
// that of the turbidity beside it.
func (b *bench) removalKey(fs []field, f *field) jartest.Key {
	of := f.Head.Reading
	read := func(o field) bool {
		return o.role == asReading && !o.Head.Removal && o.Head.Reading == jartest.Turbidity
	}
	if of == "" && slices.ContainsFunc(fs, read) {
		b.say(note.Info, "removal-of", f.Place, "column %q is taken for the removal of turbidity", f.Head.Text)
		of = jartest.Turbidity
	}
	return map[jartest.Key]jartest.Key{jartest.Turbidity: jartest.TurbidityRemoval, jartest.TSS: jartest.TSSRemoval}[of]
}

// otherMeasure reports a known word for a reading whose unit makes it another
// measurement, and says so.
func (b *bench) otherMeasure(f *field) bool {
	h := f.Head
	switch turbid := h.Reading == jartest.Turbidity; {
	case turbid && h.Unit.Kind == words.Length:
		b.say(note.Info, "tube", f.Place, "column %q is a length, read through a tube or with a disc; it keeps its own name and is not turned into NTU", h.Text)
		return true
	case turbid && !h.Change && (h.Unit.Kind == words.FAU || h.Unit.Kind == words.JTU):
		b.say(note.Caution, "not-ntu", f.Place, "column %q is in %s, which is another measurement than NTU; it keeps its own name", h.Text, h.Unit.Name)
		return true
	}
	return h.Change || h.Reading == jartest.Colour && h.Unit.Kind == words.ADMI
}

// strangeMeasure reports a known word for a reading by weight that is read in nothing of the kind, "turbidity,
// mg/L of kaolin", where other readings stand beside it.
func (b *bench) strangeMeasure(fs []field, f *field) bool {
	h := f.Head
	if _, ok := scaleOf(h.Reading, h.Unit); ok || h.Unit.Kind != words.Conc || h.Said {
		return false
	}
	besides := slices.ContainsFunc(fs, func(o field) bool { return o.C != f.C && o.role == asReading && o.Head.Reading.Known() })
	if besides {
		b.say(note.Caution, "not-ntu", f.Place, "column %q is in %s, which is not turned into %s; it keeps its own name", h.Text, h.Unit.Name, orWord(h.Reading.Info().Unit, "its unit")).
			do(b, `correct the unit, or say what the column is with --column "%s=…"`, f.header())
	}
	return besides
}

// several decides about columns that read the same thing: each step takes out what it
// can tell apart, and the next looks at what is left.
func (b *bench) several(t *layout.Table, fs []field, key jartest.Key, left []int) {
	if !key.Known() {
		for _, i := range left[1:] {
			fs[i].key = key + jartest.Key("_"+strings.ToLower(grid.ColumnName(fs[i].C)))
		}
		return
	}
	for _, step := range [...]func(*layout.Table, []field, jartest.Key, []int) []int{b.byDilution, b.byTime, b.byPart, b.byKind, b.alike, b.byNumber, b.byScatter} {
		if left = step(t, fs, key, left); len(left) < 2 {
			return
		}
	}
	b.repeats(fs, key, left)
}

// byKind keeps names of their own for what is filtered, or apparent, beside what is
// not: they are different measurements.
func (b *bench) byKind(_ *layout.Table, fs []field, _ jartest.Key, idx []int) []int {
	var plain, other []int
	for _, i := range idx {
		if fs[i].Head.Filtered || strings.Contains(words.Fold(fs[i].Head.Text), "apparent") {
			other = append(other, i)
		} else {
			plain = append(plain, i)
		}
	}
	if len(plain) == 0 || len(other) == 0 {
		return idx
	}
	for _, i := range other {
		fs[i].key = jartest.Slug(fs[i].Head.Text)
	}
	return plain
}

// fraction is a heading that is a number with a fraction.
var fraction = words.NewPattern(`^\D*\d+[.,]\d*[1-9]\D*$`)

// byNumber takes numbers that do not count for settling times.
func (b *bench) byNumber(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	if !unevenNumbers(fs, idx) {
		return idx
	}
	if slices.ContainsFunc(idx, func(i int) bool { return fraction.MatchString(fs[i].Head.Text) }) { // a pH, a dose, hours
		b.say(note.Error, "columns-unnamed", fs[idx[0]].Place, "the columns of %s are headed by numbers (%s), and nothing says of what", key.Info().Label, headTexts(fs, idx)).
			do(b, `write what they are, such as "pH 6.5" or "after 15 min"`)
		return nil
	}
	for _, i := range idx {
		fs[i].Head.Timed = true
		fs[i].Head.Minutes, _ = strconv.ParseFloat(fs[i].Head.Index, 64)
	}
	b.byTime(t, fs, key, idx)
	return nil
}

// byScatter asks about columns that differ by more than repeats do.
func (b *bench) byScatter(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	if !b.apart(t, fs, idx) {
		return idx
	}
	b.say(note.Error, "columns-apart", fs[idx[0]].Place, "the columns of %s (%s) differ by more than repeat readings do, and nothing says whether they are two waters or one", key.Info().Label, headTexts(fs, idx)).
		do(b, `name the waters in the headings, leave one out with --column "%s=ignore", or say that they are repeats with --column "%s=%s" for each`, fs[idx[1]].header(), fs[idx[0]].header(), key)
	return nil
}

// repeats takes what is left for repeat readings, and says so.
func (b *bench) repeats(fs []field, key jartest.Key, idx []int) {
	numbered := true
	for _, i := range idx {
		fs[i].rep = true
		numbered = numbered && (fs[i].Head.Index != "" || fs[i].Head.Replicate || fs[i].Head.Number)
	}
	level, why := note.Info, "repeat readings of each jar"
	if !numbered {
		level, why = note.Caution, "repeat readings of each jar, because nothing tells them apart"
	}
	b.say(level, "replicate-columns", fs[idx[0]].Place, "%d columns of %s (%s) are taken for %s", len(idx), key.Info().Label, headTexts(fs, idx), why)
}

// varies reports a column whose numbers lie further apart than readings of one water.
func (b *bench) varies(t *layout.Table, c int) bool {
	low, high, n := math.Inf(1), 0.0, 0
	for _, r := range t.Rows {
		if v := layout.ParseValue(t.View.At(r, c), b.dec(t)); v.OK() && v.Num > 0 {
			low, high, n = math.Min(low, v.Num), math.Max(high, v.Num), n+1
		}
	}
	return n > 2 && high/low > mostScatter
}

// mostScatter is the ratio of the highest to the lowest reading of one water (common
// practice, no source: duplicates of turbidity agree within a fifth).
const mostScatter = 1.5

// apart reports columns of one reading whose numbers are further from each other than
// two readings of one jar: by half or more in most of the jars.
func (b *bench) apart(t *layout.Table, fs []field, idx []int) bool {
	var ratios []float64
	for _, i := range idx {
		if fs[i].Head.Said {
			return false
		}
	}
	for _, r := range t.Rows {
		low, high, n := math.Inf(1), 0.0, 0
		for _, i := range idx {
			if v := layout.ParseValue(t.View.At(r, fs[i].C), b.dec(t)); v.OK() && v.Num > 0 {
				low, high, n = math.Min(low, v.Num), math.Max(high, v.Num), n+1
			}
		}
		if n > 1 {
			ratios = append(ratios, high/low)
		}
	}
	sort.Float64s(ratios)
	return len(ratios) > 2 && ratios[len(ratios)/2] > mostScatter
}

// unevenNumbers reports headings told apart by numbers that do not count 1, 2, 3,
// such as NTU 5, NTU 15, NTU 30: times, not repeats.
func unevenNumbers(fs []field, idx []int) bool {
	uneven := false
	for k, i := range idx {
		n, err := strconv.Atoi(fs[i].Head.Index)
		if err != nil {
			return false
		}
		uneven = uneven || n != k+1 && n != k
	}
	return uneven
}

// alike keeps the columns whose headings differ in nothing but a number or letter.
// Where others say more, the first that speaks of treated water is the reading and
// the rest keep names of their own.
func (b *bench) alike(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	runningNumbers(fs, idx)
	same := true
	for _, i := range idx {
		same = same && fs[i].Head.Extra == fs[idx[0]].Head.Extra
	}
	if same {
		return idx
	}
	if b.oddWord(t, fs, key, idx) {
		return idx
	}
	main := idx[0]
	for _, i := range idx {
		if slices.Compare(asTheReading(fs[i]), asTheReading(fs[main])) < 0 {
			main = i
		}
	}
	var keep, left []int
	for _, i := range idx {
		if fs[i].Head.Extra == fs[main].Head.Extra {
			keep = append(keep, i)
			continue
		}
		left = append(left, i)
		fs[i].key = jartest.Slug(fs[i].Head.Text)
		if fs[i].key.Known() {
			fs[i].key += jartest.Key("_" + strings.ToLower(grid.ColumnName(fs[i].C)))
		}
	}
	level := note.Caution
	if !slices.ContainsFunc(left, func(i int) bool { return !readLater(fs[i]) }) {
		level = note.Info
	}
	b.say(level, "several-of-a-kind", fs[main].Place, "several columns read %s; %q is taken for the reading of the jar, %s keep their own names", key.Info().Label, fs[main].Head.Text, headTexts(fs, left)).
		do(b, `to take another, use --column "%s=%s"`, fs[left[0]].header(), key)
	return keep
}

// runningNumber is a short word for a repeat with its number: "R1", "rep 2".
var runningNumber = words.NewPattern(`(?:^|[ ,(_-])((r|rep|repl|n|nr|no|x|wdh|rip|rép|lec|lect|mes|det|dup)\.? ?(\d{1,2}))(?:$|[ ,)(_-])`)

// runningNumbers takes the number of such words for that of the column, where several columns have the same
// word with other numbers and say nothing more: whether they are repeats, their readings tell.
func runningNumbers(fs []field, idx []int) {
	word, seen := "", map[string]int{}
	for _, i := range idx {
		m := runningNumber.FindStringSubmatch(words.Fold(fs[i].Head.Text))
		switch {
		case m == nil:
			continue
		case word != "" && m[2] != word, strings.Trim(strings.ReplaceAll(fs[i].Head.Extra, m[1], ""), " .") != "":
			return
		}
		if _, twice := seen[m[3]]; twice {
			return
		}
		word, seen[m[3]] = m[2], i
	}
	if len(seen) < 2 {
		return
	}
	for number, i := range seen {
		fs[i].Head.Extra, fs[i].Head.Index = "", number
	}
}

// readLater reports a heading that says nothing more than that its reading is of another day.
func readLater(f field) bool {
	text := words.Fold(f.Head.Text)
	spans := spoken()["later"].spans(text)
	for _, m := range spans {
		text = text[:m[0]] + strings.Repeat(" ", m[1]-m[0]) + text[m[1]:]
	}
	return len(spans) > 0 && len(layout.ReadHeading(text).Rest) == 0
}

// asTheReading ranks the columns of one reading: it is the smaller the more a column is the reading of the jar: of no dilution, of treated
// water, its heading understood to the last word.
func asTheReading(f field) []int {
	part, early, odd := 0, 1, 0
	if ofDiluted(f) {
		part = 1
	}
	if f.Head.Stage == "after" {
		early = 0
	}
	if len(spare(f)) > 0 {
		odd = 1
	}
	return []int{part, early, odd}
}

// oddWord reports columns numbered one after another, one of which carries words that
// nobody knows: they stay repeats if they read like repeats, and the words are quoted.
func (b *bench) oddWord(t *layout.Table, fs []field, key jartest.Key, idx []int) bool {
	odd := -1
	for k, i := range idx {
		h, number := fs[i].Head, strconv.Itoa(k+1)
		rest := strings.Fields(h.Rest)
		if h.Index != number && !slices.Contains(rest, number) {
			return false
		}
		rest = slices.DeleteFunc(rest, func(s string) bool { return s == number })
		switch {
		case h.Extra == "":
		case odd >= 0 || h.Filtered || h.Stage != "" || h.Extra != strings.Join(slices.Sorted(slices.Values(rest)), " "):
			return false
		default:
			odd = i
		}
	}
	if odd < 0 || len(idx) < 3 || b.apart(t, fs, idx) {
		return false
	}
	b.say(note.Caution, "heading-words", fs[odd].Place, "%q in the heading %q is not understood; the column is taken for one of the repeats of %s", fs[odd].Head.Rest, fs[odd].Head.Text, key.Info().Label).
		do(b, `leave it out with --column "%s=ignore" if it is none`, fs[odd].header())
	return true
}

func headTexts(fs []field, idx []int) string {
	var s []string
	for _, i := range idx {
		s = append(s, `"`+fs[i].Head.Text+`"`)
	}
	return strings.Join(s, ", ")
}

// byTime keeps the last of several settling times as the reading; the others keep
// names of their own.
func (b *bench) byTime(t *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	filtered := func(i int) bool { return fs[i].Head.Filtered }
	if !slices.ContainsFunc(idx, func(i int) bool { return !filtered(i) && !fs[i].Head.Timed }) && slices.ContainsFunc(idx, filtered) {
		idx = b.byKind(t, fs, key, idx)
	}
	times := map[float64][]int{}
	for _, i := range idx {
		if !fs[i].Head.Timed {
			return idx
		}
		times[fs[i].Head.Minutes] = append(times[fs[i].Head.Minutes], i)
	}
	if len(times) < 2 {
		return idx
	}
	var ts []float64
	for m := range times {
		ts = append(ts, m)
	}
	sort.Float64s(ts)
	last := ts[len(ts)-1]
	for m, is := range times {
		for _, i := range is {
			if m != last {
				fs[i].key = jartest.Key(string(key) + "_" + trimFloat(m) + "_min")
			}
			fs[i].rep = len(is) > 1
		}
	}
	b.say(note.Caution, "settling-times", fs[times[last][0]].Place, "%s was read at several settling times; the last one, %s min, is the reading, the others keep their own names", key.Info().Label, trimFloat(last)).
		do(b, `to take another, use --column "%s=%s"`, fs[idx[0]].header(), key)
	return nil
}

// byPart finds columns that read the same thing for different waters or chemicals.
func (b *bench) byPart(_ *layout.Table, fs []field, key jartest.Key, idx []int) []int {
	parts := map[string]bool{}
	for _, i := range idx {
		p := partOf(fs[i])
		if p == "" {
			return idx
		}
		parts[p] = true
	}
	if len(parts) < 2 {
		return idx
	}
	strange := -1
	for _, i := range idx {
		fs[i].part = partOf(fs[i])
		if _, by := namingOfPart(fs[i]); strange < 0 && by == byRest && !nameLike(fs[i].Head) {
			strange = i
		}
	}
	if strange >= 0 {
		b.say(note.Caution, "heading-words", fs[strange].Place, "%q in the heading %q is not understood; the columns %s are taken for %s of different waters", fs[strange].Head.Rest, fs[strange].Head.Text, headTexts(fs, idx), key.Info().Label).
			do(b, "if one is the water before treatment, write \"raw\" into its heading")
	}
	return nil
}

// nameLike reports a heading whose word that is not known is written like a name, "Turbidity Larkmere".
func nameLike(h layout.Heading) bool {
	for _, w := range strings.Fields(h.Rest) {
		for _, own := range strings.FieldsFunc(h.Text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r) }) {
			if first, _ := utf8.DecodeRuneInString(own); words.Fold(own) == w && unicode.IsUpper(first) {
				return true
			}
		}
	}
	return false
}

// naming is how the part of a table that a reading belongs to is named.
type naming uint8

const (
	unnamed naming = iota
	byChemical
	byPlace
	byRest
	byOwnWords // all that the column's own header cells say
	byGroup
)

// partEvidence is what the name of a part rests on: a column, with what its own header
// cells say and what stands above them.
type partEvidence struct {
	field
	own, over layout.Heading
}

func (e partEvidence) ownWords() string { return strings.Join(e.Parts, " ") }

var partTests = map[string]func(partEvidence) bool{
	"chem":        func(e partEvidence) bool { return e.Head.Chem != "" },
	"place":       func(e partEvidence) bool { return e.Head.Place != "" },
	"replicate":   func(e partEvidence) bool { return e.Head.Replicate },
	"rest":        func(e partEvidence) bool { return e.Head.Rest != "" },
	"number":      func(e partEvidence) bool { return layout.IsFigure(e.Head.Rest) },
	"ordinal":     func(e partEvidence) bool { return layout.Ordinal(e.Head.Rest) },
	"own-words":   func(e partEvidence) bool { return len(e.Parts) > 0 },
	"own-place":   func(e partEvidence) bool { return e.own.Place != "" },
	"own-reading": func(e partEvidence) bool { return e.own.Reading != "" },
	"own-test":    func(e partEvidence) bool { return e.own.Test || e.own.Raw },
	"own-role": func(e partEvidence) bool {
		o := e.own
		return o.Unit.Known() || o.Replicate || o.Stage != "" || o.Stat != "" || o.Timed
	},
	"group":        func(e partEvidence) bool { return strings.TrimSpace(e.Group) != "" },
	"over-reading": func(e partEvidence) bool { return e.over.Reading != "" || e.over.Stage != "" || e.over.Timed },
}

// partRules say what tells the waters or chemicals of reading columns apart. A number
// alone tells repeats apart, not waters.
var partRules = []layout.Rule[naming, partEvidence]{
	{byChemical, 90, "chem", "", "a chemical is named", nil},
	{byOwnWords, 85, "place own-place", "replicate rest own-reading", "the column's own words name a place", nil},
	{byPlace, 80, "place", "replicate rest", "a place is named", nil},
	{unnamed, 75, "ordinal", "", "first, second, top or bottom", nil},
	{unnamed, 75, "number", "", "a number", nil},
	{byOwnWords, 65, "rest own-words", "own-reading", "words of its own that name no reading", nil},
	{byRest, 60, "rest", "", "words that are not known", nil},
	{byOwnWords, 50, "own-words own-test", "own-reading own-role", "a test or a raw water of its own", nil},
	{byGroup, 40, "group", "over-reading", "words above it that name no reading", nil},
}

var partRuled = layout.NewRules(partTests, partRules)

// namingOfPart says how the part of a reading column is named.
func namingOfPart(f field) (partEvidence, naming) {
	e := partEvidence{field: f, over: layout.ReadHeading(strings.TrimSpace(f.Group))}
	e.own = layout.ReadHeading(e.ownWords())
	by, _ := partRuled.Decide(e)
	return e, by
}

// partOf names what a reading column belongs to, besides its kind: a chemical, a
// water, a place.
func partOf(f field) string {
	e, by := namingOfPart(f)
	switch by {
	case byChemical:
		return f.Head.Chem
	case byPlace:
		return f.Head.Place
	case byRest:
		return f.Head.Rest
	case byOwnWords:
		return e.ownWords()
	case byGroup:
		return strings.TrimSpace(f.Group)
	}
	return ""
}
